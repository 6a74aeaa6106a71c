"""A job as the bench keeps it: the tables of its file as they were typed, changed one line at a time.

A *document* is what a job file reads: tables, lists, text, numbers, true or false; dates stand as text
(`2026-05-18`). An *edit* names one line by its path and gives its new value; no value takes the line out. Everything
here is pure: nothing is read from disk, nothing given is changed.
"""

from __future__ import annotations

import copy
import datetime
import difflib
import itertools
import typing
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final, TypedDict

from pydantic import BaseModel

from pitwright.bench.document_shape import (
    DEEPEST,
    LONGEST_NAME,
    LONGEST_TEXT,
    Document,
    Path,
    Step,
    checked,
    dotted,
)
from pitwright.errors import JobError
from pitwright.job.facts import Job
from pitwright.job.faults import model_in
from pitwright.job.file import SCHEMA, job_from, toml_tables

__all__ = [
    "FILE_LIMIT",
    "Document",
    "Edit",
    "Path",
    "Step",
    "apply_edits",
    "blanks",
    "bounded_tables",
    "changed_name",
    "checked",
    "dotted",
    "from_toml",
    "new_document",
    "read_job",
    "to_toml",
    "value_at",
]

FILE_LIMIT: Final = 1_000_000  # bytes of one job file or file beside it
_MOST_EDITS: Final = 200  # of one change
_LONGEST_LIST: Final = 500
_NAME: Final = 80  # letters of a job's name
_DATES: Final = (("job", "date"), ("make_safe", "signed_on"))
_HEAD: Final = '# A Pitwright job: only what somebody stated. Sizes in any shop way: "37 1/2", "952.5 mm".\n'
_NEW: Final[Document] = {
    "vessel": {
        "head_a": {"type": "ellipsoidal"},
        "head_b": {"type": "ellipsoidal"},
        "seams": [{"kind": "long", "around": "0"}],
    },
    "order": {"base": "skid", "firebox_side": "right", "flow": "offset"},
}
_FACTS: Final[dict[str, tuple[tuple[str, ...], ...]]] = {
    "name": (("job", "name"),),
    "customer": (("job", "customer"),),
    "shop": (("job", "shop"),),
    "number": (("job", "number"),),
    "units": (("job", "units"),),
    "around": (("vessel", "around"),),
    "wall": (("vessel", "wall"),),
    "length": (("vessel", "length"),),
    "held": (("vessel", "held"),),
    "nominal": (("vessel", "nominal"),),
    "heads": (("vessel", "head_a", "type"), ("vessel", "head_b", "type")),
    "grate_height": (("order", "grate_height"),),
    "people": (("order", "people"),),
    "base": (("order", "base"),),
    "firebox_side": (("order", "firebox_side"),),
    "flow": (("order", "flow"),),
}


class Edit(TypedDict):
    """One line changed. path: headings, list places (counted from 0) and the line's name; value: None takes it out."""

    path: list[Step]
    value: Any


# ---------------------------------------------------------------- changing


def apply_edits(document: Mapping[str, Any], edits: Sequence[Edit]) -> Document:
    """The document with the edits done in order; headings that are not there yet are made.

    A list may be lengthened by one: the place after its last. A line taken out that is not there is no fault.
    Raises JobError for a path no job file has, and for values no job file can hold.
    """
    if isinstance(edits, str) or not isinstance(edits, Sequence) or len(edits) > _MOST_EDITS:
        raise JobError(
            "this is not a list of changed lines",
            field="edits",
            allowed=f"up to {_MOST_EDITS} of them",
            remedy="Send fewer at a time.",
        )
    out: Document = copy.deepcopy(dict(document))
    for edit in edits:
        path, value = _sound(edit)
        if value is None:
            _take_out(out, path)
        else:
            _put(out, path, value)
    checked(out)
    return out


def value_at(document: Mapping[str, Any], path: Path) -> Any:
    """What stands at a path, None where nothing does."""
    here: Any = document
    for step in path:
        try:
            here = here[step]
        except (KeyError, IndexError, TypeError):
            return None
    return here


def _sound(edit: Any) -> tuple[list[Step], Any]:
    """Path and value of an edit, both looked at.

    Raises JobError.
    """
    if not isinstance(edit, Mapping) or set(edit) != {"path", "value"}:
        raise JobError("this is not one changed line", field="edits", allowed="a path and a value")
    path = edit["path"]
    if not isinstance(path, list | tuple) or not 1 <= len(path) <= DEEPEST or not all(map(_is_step, path)):
        raise JobError(
            "this names no line",
            field="path",
            value=path,
            allowed=f"1 to {DEEPEST} headings or list places",
            remedy="Name the heading first, then the line.",
        )
    path = list(path)
    if path[0] == "override" and len(path) > 2 and all(isinstance(step, str) for step in path):
        path = ["override", ".".join(path[1:])]
    if edit["value"] is not None:
        _known(path, edit["value"])
    return path, edit["value"]


def _is_step(step: Any) -> bool:
    if isinstance(step, str):
        return 0 < len(step) <= LONGEST_NAME
    return isinstance(step, int) and not isinstance(step, bool) and 0 <= step < _LONGEST_LIST


def _known(path: list[Step], value: Any) -> None:
    """Refuse a line that no job file has.

    Raises JobError.
    """
    if isinstance(value, Mapping):
        kind, _ = _kind(path)
        if kind == "value":
            raise JobError("this is one line, not a heading", field=dotted(path), allowed="one value")
        for key, inner in value.items():
            _known([*path, key], inner)
    elif isinstance(value, list | tuple) and value and isinstance(value[0], Mapping):
        for i, inner in enumerate(value):
            _known([*path, i], inner)
    else:
        kind, _ = _kind(path)
        if kind == "heading":
            raise JobError(
                "this is a heading with lines under it, not one value",
                field=dotted(path),
                value=value,
                remedy="Name the line under it.",
            )


def _kind(path: list[Step]) -> tuple[str, type[BaseModel] | None]:
    """("heading" | "list" | "value" | "names", its table) of what a path leads to.

    Raises JobError where it leads nowhere.
    """
    kind, model = "heading", typing.cast("type[BaseModel] | None", Job)
    for i, step in enumerate(path):
        if i == 0 and step == "shop":
            kind, model = "shop", None
        elif kind == "shop":
            if step != "file":
                raise _no_such(path[: i + 1], ["file"])
            kind = "value"
        elif kind == "heading" and model is not None:
            kind, model = _under(path[: i + 1], model)
        elif kind == "list":
            if not isinstance(step, int):
                raise JobError(
                    "this is a list", field=dotted(path[:i]), value=step, allowed="a place in it, counted from 0"
                )
            kind = "heading" if model is not None else "value"
        elif kind == "names" and isinstance(step, str):
            kind, model = "value", None
        else:
            raise JobError(
                "there is nothing under this line", field=dotted(path[:i]), value=step, allowed="the line itself"
            )
    return ("heading" if kind == "shop" else kind), model


def _under(path: list[Step], model: type[BaseModel]) -> tuple[str, type[BaseModel] | None]:
    """What a line of a heading is: another heading, a list (of tables or values), names of any kind, or a value."""
    fields = {f.alias or name: f for name, f in model.model_fields.items()}
    step = path[-1]
    field = fields.get(step) if isinstance(step, str) else None
    if field is None:
        raise _no_such(path, [*fields, "shop"] if model is Job else list(fields))
    annotation = field.annotation
    inner = model_in(annotation)
    origins = {typing.get_origin(a) or a for a in (annotation, *typing.get_args(annotation))}
    if dict in origins and inner is None:
        return "names", None
    if tuple in origins:
        return "list", inner
    return ("heading", inner) if inner is not None else ("value", None)


def _no_such(path: list[Step], known: list[str]) -> JobError:
    near = difflib.get_close_matches(str(path[-1]), known, n=1, cutoff=0.5)
    return JobError(
        "no such line",
        field=dotted(path),
        value=path[-1],
        allowed=f"did you mean {near[0]}" if near else ", ".join(sorted(known)),
        remedy="Correct the name.",
    )


def _put(document: Document, path: list[Step], value: Any) -> None:
    here: Any = document
    for i, (step, after) in enumerate(itertools.pairwise(path)):
        if isinstance(here, list):
            _within(here, step, path[: i + 1])
            if step == len(here):
                here.append([] if isinstance(after, int) else {})
            here = here[typing.cast(int, step)]
        elif isinstance(here, dict) and isinstance(step, str):
            here = here.setdefault(step, [] if isinstance(after, int) else {})
        else:
            raise _blocked(path[:i], here)
    last = path[-1]
    if isinstance(here, list):
        if isinstance(last, int):
            _within(here, last, path)
        here.append(None) if last == len(here) else None
        here[_place(last, path)] = copy.deepcopy(value)
    elif isinstance(here, dict) and isinstance(last, str):
        here[last] = copy.deepcopy(value)
    else:
        raise _blocked(path[:-1], here)


def _place(step: Step, path: list[Step]) -> int:
    if not isinstance(step, int):
        raise JobError("this is a list", field=dotted(path[:-1]), value=step, allowed="a place in it, counted from 0")
    return step


def _within(here: list[Any], step: Step, path: list[Step]) -> None:
    if _place(step, path) > len(here):
        raise JobError(
            "this list is not that long",
            field=dotted(path),
            value=typing.cast(int, step) + 1,
            allowed=f"up to no. {len(here) + 1}",
            remedy="Fill the places before it first.",
        )


def _blocked(path: list[Step], there: Any) -> JobError:
    return JobError(
        "a value stands where this line's heading belongs",
        field=dotted(path),
        value=there,
        allowed="a heading",
        remedy="Take that line out first.",
    )


def _take_out(document: Document, path: list[Step]) -> None:
    here = value_at(document, path[:-1]) if len(path) > 1 else document
    last = path[-1]
    if isinstance(here, dict) and isinstance(last, str):
        here.pop(last, None)
    elif isinstance(here, list) and isinstance(last, int) and last < len(here):
        del here[last]


# ---------------------------------------------------------------- looking


def blanks(document: Mapping[str, Any]) -> list[str]:
    """The facts a pit cannot be worked without and nobody has stated yet, by dotted name, in the order of the file."""
    vessel = _table(document, "vessel")
    nominal = _given(vessel, "nominal")
    rounds = vessel.get("rounds")
    taped = isinstance(rounds, list) and any(isinstance(r, Mapping) and _is_given(r.get("around")) for r in rounds)
    around = taped or _given(vessel, "around") or _given(vessel, "outside_diameter") or nominal
    wanted = (
        ("job.name", _given(_table(document, "job"), "name")),
        ("vessel.around", around),
        ("vessel.wall", _given(vessel, "wall") or nominal),
        ("vessel.length", _given(vessel, "length") or nominal),
        ("order.grate_height", _given(_table(document, "order"), "grate_height")),
    )
    return [name for name, given in wanted if not given]


def _table(document: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    table = document.get(name)
    return table if isinstance(table, Mapping) else {}


def _given(table: Mapping[str, Any], line: str) -> bool:
    return _is_given(table.get(line))


def _is_given(value: Any) -> bool:
    return value is not None and (not isinstance(value, str) or bool(value.strip())) and value != []


def read_job(document: Mapping[str, Any], beside: Mapping[str, bytes]) -> Job:
    """The checked job of a document and the files beside it; no disk is touched.

    Raises JobError.
    """
    return job_from(copy.deepcopy(dict(document)), beside=beside)


def new_document(facts: Mapping[str, Any]) -> Document:
    """A new job from what is known so far, as typed: name, around, wall, length, grate_height and more of _FACTS.

    What is not given stays blank. Raises JobError for a fact nobody knows and for values no job file can hold.
    """
    unknown = [str(name) for name in facts if name not in _FACTS]
    if unknown:
        raise JobError("no such fact", field=unknown[0], allowed=", ".join(_FACTS), remedy="Correct the name.")
    out: Document = {"schema": SCHEMA, "job": {"units": "inch"}, **copy.deepcopy(_NEW)}
    edits: list[Edit] = []
    for name, value in facts.items():
        if _is_given(value):
            edits += [{"path": list(path), "value": value} for path in _FACTS[name]]
    return apply_edits(out, edits)


def changed_name(document: Mapping[str, Any], ending: str) -> Document:
    """The document with something added to the job's name, kept to the length a name may have."""
    out: Document = copy.deepcopy(dict(document))
    about = out.get("job")
    if isinstance(about, dict):
        about["name"] = str(about.get("name") or "")[: _NAME - len(ending)] + ending
    return out


# ---------------------------------------------------------------- TOML


def from_toml(data: bytes, where: str = "the file") -> Document:
    """The document of a job file: dates as text, overrides by their full name.

    Raises JobError where it is too large, is not TOML, holds what no job file can hold, or is no job.
    """
    document = typing.cast(Document, _plain(bounded_tables(data, where)))
    if isinstance(document.get("override"), dict):
        document["override"] = dict(_flat(document["override"]))
    checked(document)
    if not isinstance(document.get("job"), dict) and not isinstance(document.get("vessel"), dict):
        raise JobError(
            "this is no job file", field=where, allowed="a file with the headings [job], [vessel] and [order]"
        )
    return document


def bounded_tables(data: bytes, where: str) -> dict[str, Any]:
    """The tables of a TOML file from outside, kept to a size and a shape that reads in no time.

    Raises JobError.
    """
    if len(data) > FILE_LIMIT:
        raise JobError(
            "this file is too large", field=where, value=f"{len(data)} bytes", allowed=f"up to {FILE_LIMIT} bytes"
        )
    if max(map(len, data.splitlines()), default=0) > 4 * LONGEST_TEXT:
        raise JobError("a line of this file is too long", field=where, allowed=f"up to {4 * LONGEST_TEXT} letters")
    return toml_tables(data, where)


def to_toml(document: Mapping[str, Any]) -> bytes:
    """The job file of a document; `from_toml` of it is the same document."""
    import tomlkit

    out: dict[str, Any] = _ordered(document)
    for table, line in _DATES:
        if isinstance(out.get(table), dict) and isinstance(out[table].get(line), str):
            out[table][line] = _date(out[table][line])
    return (_HEAD + tomlkit.dumps(out)).encode()


def _ordered(table: Mapping[str, Any]) -> dict[str, Any]:
    """Lines before headings, one list of tables after another, as TOML wants them."""

    def rank(value: Any) -> int:
        return 2 if _of_tables(value) else 1 if isinstance(value, Mapping) else 0

    ordered = sorted(table.items(), key=lambda item: rank(item[1]))
    return {key: _ordered_value(value) for key, value in ordered}


def _ordered_value(value: Any) -> Any:
    if isinstance(value, Mapping):
        return _ordered(value)
    return [_ordered_value(v) for v in value] if isinstance(value, list) else value


def _of_tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(v, Mapping) for v in value)


def _date(text: str) -> Any:
    try:
        date = datetime.date.fromisoformat(text)
    except ValueError:
        return text
    return date if date.isoformat() == text else text


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_plain(inner) for inner in value]
    return value.isoformat() if isinstance(value, datetime.date | datetime.time) else value


def _flat(table: Mapping[str, Any], before: str = "") -> Iterator[tuple[str, Any]]:
    for key, value in table.items():
        if isinstance(value, Mapping):
            yield from _flat(value, f"{before}{key}.")
        else:
            yield f"{before}{key}", value
