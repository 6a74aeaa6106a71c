"""What a document may hold: how deep, how much, which letters and numbers; whatever comes from outside is held to it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any, Final

from pitwright.errors import JobError

Document = dict[str, Any]
Step = str | int
Path = Sequence[Step]

DEEPEST: Final = 8  # headings within headings
_MOST_VALUES: Final = 20_000  # of one document
LONGEST_TEXT: Final = 4_000  # letters of one value
LONGEST_NAME: Final = 120  # letters of one line's name
_LARGEST: Final = 2**53  # numbers up to here are the same in every program that reads them


def dotted(path: Path) -> str:
    """A path as a person counts it: `measured.legs no. 1.lean`."""
    out = ""
    for step in path:
        out += f" no. {step + 1}" if isinstance(step, int) else f".{step}" if out else step
    return out


def checked(document: Any, *, spare: bool = False) -> None:
    """Refuse what no job file can hold: too deep, too many values, too long, letters no printer has, odd numbers.

    spare  blanks and a few more headings are allowed (a list of edits holds documents' parts)

    Raises JobError.
    """
    if not isinstance(document, dict):
        raise JobError("this is not a job", field="document", allowed="headings with lines under them")
    left = _MOST_VALUES
    for path, value in _values(document, (), DEEPEST + (4 if spare else 0)):
        left -= 1
        if left < 0:
            raise JobError("this job holds too much", field="document", allowed=f"up to {_MOST_VALUES} values")
        if value is not None or not spare:
            _checked_value(path, value)


def _values(value: Any, path: tuple[Step, ...], deepest: int) -> Iterator[tuple[tuple[Step, ...], Any]]:
    yield path, value
    if len(path) > deepest:
        raise JobError("too many headings within headings", field=dotted(path[:3]), allowed=f"up to {deepest} of them")
    if isinstance(value, dict):
        for key, inner in value.items():
            if not isinstance(key, str) or not key or len(key) > LONGEST_NAME or not _printable(key):
                raise JobError(
                    "not a line's name",
                    field=dotted(path),
                    value=str(key)[:LONGEST_NAME].encode(errors="replace").decode(),
                    allowed=f"1 to {LONGEST_NAME} letters",
                )
            yield from _values(inner, (*path, key), deepest)
    elif isinstance(value, list):
        for i, inner in enumerate(value):
            yield from _values(inner, (*path, i), deepest)


def _checked_value(path: tuple[Step, ...], value: Any) -> None:
    where = dotted(path)
    if isinstance(value, str):
        if len(value) > LONGEST_TEXT:
            raise JobError("too long", field=where, allowed=f"up to {LONGEST_TEXT} letters", remedy="Say it shorter.")
        if not _printable(value):
            raise JobError("this text holds a sign that cannot be printed", field=where, remedy="Type it again.")
    elif isinstance(value, float) and not math.isfinite(value):
        raise JobError("no tape reads that", field=where, value=value, allowed="a number")
    elif isinstance(value, int) and abs(value) > _LARGEST:
        raise JobError("no tape reads that", field=where, allowed="a smaller number")
    elif not isinstance(value, bool | int | float | dict | list):
        raise JobError("no job file holds that", field=where, allowed="text, a number, true, false or a list")


def _printable(text: str) -> bool:
    return all((c >= " " and not "\x7f" <= c <= "\x9f" and not "\ud800" <= c <= "\udfff") or c in "\n\t" for c in text)
