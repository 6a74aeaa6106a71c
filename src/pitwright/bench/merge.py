"""Two people at one job: what changed between two documents, and whether an edit steps on it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from pitwright.bench.documents import Document, Edit, Step, apply_edits, dotted, value_at
from pitwright.errors import PitwrightError


class Conflict(PitwrightError):
    """Somebody else changed the same lines meanwhile; nothing was changed.

    theirs  the lines as they stand now; mine: the edits that met them; paths: the lines both changed
    """

    def __init__(self, theirs: list[Edit], mine: list[Edit], paths: list[list[Step]]):
        self.theirs = theirs
        self.mine = mine
        self.paths = paths
        named = dotted(paths[0]) if paths else "the job"
        super().__init__(
            "somebody else changed this meanwhile",
            field=named,
            value=theirs[0]["value"] if theirs else "",
            remedy="Look at what stands there now, then set it again or leave it.",
        )


def changed(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[list[Step]]:
    """Paths of the lines that differ. A list that grew or shrank has changed as a whole: its places mean other things."""
    return [list(path) for path in _changed(before, after, ())]


def _changed(before: Any, after: Any, path: tuple[Step, ...]) -> Iterator[tuple[Step, ...]]:
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        for key in dict.fromkeys([*before, *after]):
            yield from _changed(before.get(key), after.get(key), (*path, key))
    elif isinstance(before, Mapping) and after is None:
        yield from _changed(before, {}, path) if before else ()
    elif isinstance(after, Mapping) and before is None:
        yield from _changed({}, after, path) if after else ()
    elif isinstance(before, list) and isinstance(after, list) and len(before) == len(after):
        for i, (one, other) in enumerate(zip(before, after, strict=True)):
            yield from _changed(one, other, (*path, i))
    elif type(before) is not type(after) or before != after:
        yield path


def merged(base: Document, head: Document, edits: Sequence[Edit]) -> Document:
    """The edits made on `base`, applied to `head`.

    Raises Conflict where head differs from base in a line that an edit sets otherwise, a line under it, or a heading
    over it; JobError as apply_edits.
    """
    theirs = changed(base, head)
    met: list[Edit] = []
    paths: list[list[Step]] = []
    for edit in edits:
        path = list(edit["path"])
        if path[0] == "override" and len(path) > 2:
            path = ["override", ".".join(str(step) for step in path[1:])]
        over = [p for p in theirs if _overlap(p, path)]
        if over and not _agree(head, path, edit["value"]):
            met.append(edit)
            paths += [p for p in over if p not in paths]
    if met:
        raise Conflict([{"path": p, "value": value_at(head, p)} for p in paths], met, paths)
    return apply_edits(head, edits)


def _overlap(one: Sequence[Step], other: Sequence[Step]) -> bool:
    return all(a == b for a, b in zip(one, other))


def _agree(head: Document, path: Sequence[Step], value: Any) -> bool:
    """Whether the line already stands as the edit wants it. Taking out a place of a list never does: others moved up."""
    if value is None and isinstance(path[-1], int):
        return False
    there = value_at(head, path)
    return type(there) is type(value) and bool(there == value)
