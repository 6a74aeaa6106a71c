"""What I got: the boxes of each step, what belongs in them, and which lines of the job file they fill.

A box is known by its *field*: `height`, `legs.A.working.lean`, `doors.1.arc`, `feet`, `diagonals`. Boxes of several
figures (`feet`, `diagonals`) are sent whole, for one of them alone says nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from pitwright.bench.documents import Document, Edit, Path, value_at
from pitwright.errors import JobError, PitwrightError
from pitwright.layout.model import LegLayout, Pit
from pitwright.shop.order import LEVEL_GIVE, TAPE_GIVE
from pitwright.tape import parse_figure

_ANGLE_GIVE: Final = "0.5°"
_LONGEST: Final = 40  # letters of one figure
_LEG: Final[dict[str, str]] = {
    "long_point": "length",
    "short_point": "length",
    "top_cut": "angle",
    "foot_cut": "angle",
    "lean": "angle",
    "spread": "length",
    "station": "length",
}
_PLAIN: Final[dict[str, str]] = {
    "around": "length",
    "wall": "length",
    "length": "length",
    "long_seam": "length",
    "height": "length",
    "rail_top": "length",
    "rails_outside": "length",
    "weight": "mass",
}
_DOOR: Final = ("width", "arc", "chord")
SEVERAL: Final = ("feet", "diagonals")


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """One thing that can be measured.

    want   as drawn; within: what it may be off (common practice, no source); got: as typed, one text a part
    parts  names of its figures where it has several; whole: they are sent together
    """

    field: str
    label: str
    want: str
    within: str
    got: tuple[str, ...]
    measure: str
    parts: tuple[str, ...] = ()


def boxes(pit: Pit, drawn: Pit, document: Mapping[str, Any], key: str) -> tuple[Box, ...]:
    """The boxes of one step of the build order.

    drawn  the pit as it was before anything was measured, for what was wanted where something was got
    """
    make = _door if key.startswith("door ") else _MAKERS.get(key)
    return () if make is None else tuple(make(pit, drawn, document, key))


_Maker = Callable[[Pit, Pit, Mapping[str, Any], str], Iterator[Box]]


def _box(
    pit: Pit, document: Mapping[str, Any], field: str, label: str, want: str, within: float | str = TAPE_GIVE
) -> Box:
    return Box(
        field=field,
        label=label,
        want=want,
        within=within if isinstance(within, str) else pit.tape.length(within),
        got=typed_at(document, field) or ("",),
        measure=measure_of(field),
    )


def _lines(pit: Pit, drawn: Pit, document: Mapping[str, Any], key: str) -> Iterator[Box]:
    tape, vessel = pit.tape, drawn.vessel
    yield _box(pit, document, "around", "tape right round, cleaned", tape.length(vessel.around))
    yield _box(pit, document, "length", "seam to seam, cleaned", tape.length(vessel.length))
    yield _box(pit, document, "wall", "wall by gauge, thinnest", tape.decimal(vessel.wall), "10 %")
    if vessel.long_seam_clock is not None:
        seam = vessel.around_at(vessel.long_seam_clock)
        line = "front line" if vessel.on_end else "top line"
        yield _box(pit, document, "long_seam", f"long seam, around from the {line}", tape.length(seam))


def _base(pit: Pit, drawn: Pit, document: Mapping[str, Any], key: str) -> Iterator[Box]:
    tape, base = pit.tape, drawn.base
    yield _box(pit, document, "rails_outside", "over the outside of the rails", tape.length(base.rails_outside))
    yield Box(
        field="diagonals",
        label="outside corner to outside corner",
        want=tape.fine(base.diagonal),
        within=tape.length(TAPE_GIVE),
        got=typed_at(document, "diagonals") or ("", ""),
        measure="length",
        parts=("from the fire end's back corner", "the other way"),
    )
    if not pit.vessel.on_end:
        yield _box(pit, document, "rail_top", "rail top off the floor", tape.length(base.rail_top))


def _legs(pit: Pit, drawn: Pit, document: Mapping[str, Any], key: str) -> Iterator[Box]:
    for leg_set in drawn.leg_sets:
        for leg in leg_set.legs:
            yield from _leg(pit, document, leg_set.name, leg)


def _leg(pit: Pit, document: Mapping[str, Any], name: str, leg: LegLayout) -> Iterator[Box]:
    tape, station = pit.tape, pit.vessel.station(leg.x)
    wants = {
        "long_point": ("long point", tape.length(leg.long_point)),
        "short_point": ("short point", tape.length(leg.short_point)),
        "top_cut": ("top cut, off square", tape.angle(leg.top_cut)),
        "foot_cut": ("foot cut, off square", tape.angle(leg.foot_cut)),
        "lean": ("lean off plumb, as it stands", tape.angle(leg.lean)),
        "spread": ("foot centre from the centre line", tape.length(abs(leg.foot_y))),
        "station": ("station as tacked", tape.length(station)),
    }
    for line, (label, want) in wants.items():
        within: float | str = _ANGLE_GIVE if _LEG[line] == "angle" else TAPE_GIVE
        yield _box(
            pit, document, f"legs.{name}.{leg.side}.{line}", f"set {name}, {leg.side} side: {label}", want, within
        )


def _height(pit: Pit, drawn: Pit, document: Mapping[str, Any], key: str) -> Iterator[Box]:
    what = "middle of the shell off the floor" if pit.vessel.on_end else "vessel centre off the floor"
    within = TAPE_GIVE if key == "set" else LEVEL_GIVE
    yield _box(pit, document, "height", what, pit.tape.length(drawn.vessel.centre_z), within)


def _feet(pit: Pit, drawn: Pit, document: Mapping[str, Any], key: str) -> Iterator[Box]:
    names = feet_of(pit)
    if len(names) >= 4:
        found = dict(zip(_feet_named(document), typed_at(document, "feet") or (), strict=True))
        yield Box(
            field="feet",
            label="each foot's sole over one level line (all of them)",
            want="all alike",
            within=pit.tape.length(TAPE_GIVE),
            got=tuple(found.get(name, "") for name in names),
            measure="length",
            parts=names,
        )


def feet_of(pit: Pit) -> tuple[str, ...]:
    """The feet whose heights show a rock, called as the STAND sheet does; none for a base on wheels or on end."""
    base = pit.base
    if pit.vessel.on_end or base.axles:
        return ()
    if base.supports:
        return tuple(s.name for s in base.supports)
    places = [f"set {s.name}" for s in pit.leg_sets] + [f"saddle {s.name}" for s in pit.saddles]
    return tuple(f"{place}, {side}" for place in places for side in ("working", "back"))


def _door(pit: Pit, drawn: Pit, document: Mapping[str, Any], key: str) -> Iterator[Box]:
    tape = pit.tape
    if not pit.cleared:
        return
    number = next(i for i, d in enumerate(drawn.doors, start=1) if d.name == key)
    door = drawn.doors[number - 1]
    wants = (
        ("width", "opening as cut, along", tape.length(door.x1 - door.x0)),
        ("arc", "opening as cut, round the skin", tape.length(door.arc)),
        ("chord", "straight across the cut-out skin, after", tape.length(door.chord)),
    )
    for line, label, want in wants:
        yield _box(pit, document, f"doors.{number}.{line}", label, want, LEVEL_GIVE)


def _weight(pit: Pit, drawn: Pit, document: Mapping[str, Any], key: str) -> Iterator[Box]:
    yield _box(pit, document, "weight", "scale ticket", pit.tape.mass(drawn.balance["empty"].mass), "5 %")


_MAKERS: dict[str, _Maker] = {
    "lines": _lines,
    "base": _base,
    "legs": _legs,
    "set": _height,
    "try": _feet,
    "weld out": _height,
    "load": _weight,
}


# ---------------------------------------------------------------- lines of the job file


def measure_of(field: str) -> str:
    """`length`, `angle` or `mass` of a field.

    Raises JobError for a field nobody can measure.
    """
    parts = field.split(".")
    if field in _PLAIN:
        return _PLAIN[field]
    if field in SEVERAL:
        return "length"
    if len(parts) == 4 and parts[0] == "legs" and parts[2] in ("working", "back") and parts[3] in _LEG:
        return _LEG[parts[3]]
    if len(parts) == 3 and parts[0] == "doors" and parts[1] in ("1", "2", "3") and parts[2] in _DOOR:
        return "length"
    raise JobError(
        "nothing of that name is measured", field=field[:80], allowed=", ".join((*_PLAIN, *SEVERAL, "legs, doors"))
    )


def typed_at(document: Mapping[str, Any], field: str) -> tuple[str, ...] | None:
    """What stands in the job file for a field, as typed; None where nothing does."""
    if field == "feet":
        feet = value_at(document, ("measured", "feet"))
        found = [str(f.get("height", "")) for f in feet if isinstance(f, Mapping)] if isinstance(feet, list) else []
        return tuple(found) or None
    path = _path(document, field)
    value = None if path is None else value_at(document, path)
    if value is None:
        return None
    return tuple(str(v) for v in value) if isinstance(value, list) else (str(value),)


def _feet_named(document: Mapping[str, Any]) -> tuple[str, ...]:
    feet = value_at(document, ("measured", "feet"))
    return tuple(str(f.get("foot", "")) for f in feet if isinstance(f, Mapping)) if isinstance(feet, list) else ()


def _path(document: Mapping[str, Any], field: str) -> Path | None:
    """Where a field stands in the document; None where its leg or door has no entry yet."""
    parts = field.split(".")
    if parts[0] == "legs":
        at = _entry(document, "legs", {"set": parts[1], "side": parts[2]})
        return None if at is None else ("measured", "legs", at, parts[3])
    if parts[0] == "doors":
        at = _entry(document, "doors", {"door": int(parts[1])})
        return None if at is None else ("measured", "doors", at, parts[2])
    return ("measured", field)


def _entry(document: Mapping[str, Any], table: str, named: Mapping[str, Any]) -> int | None:
    entries = value_at(document, ("measured", table))
    for i, entry in enumerate(entries if isinstance(entries, list) else ()):
        whole = {"side": "working", **entry} if isinstance(entry, Mapping) else {}
        if all(whole.get(k) == v for k, v in named.items()):
            return i
    return None


def edits_for(document: Document, field: str, values: Sequence[str], names: Sequence[str] = ()) -> list[Edit]:
    """The edits that put figures into the job file, or take them out where all are empty.

    values  one text a figure; names: of the feet they belong to
    Raises JobError for a field nobody can measure and for what no tape reads.
    """
    measure_of(field)
    several = {"feet": len(names), "diagonals": 2}.get(field, 1)
    if len(values) != several or not all(isinstance(v, str) and len(v) <= _LONGEST for v in values):
        raise JobError(
            "not the figures of this box", field=field, allowed=f"{several} of up to {_LONGEST} letters each"
        )
    texts = [v.strip() for v in values]
    if any(texts) and not all(texts):
        raise JobError("these belong together", field=field, allowed="all of them", remedy="Fill the empty ones.")
    _readable(document, field, texts)
    if not texts[0]:
        return _taken_out(document, field)
    if field == "feet":
        rows = [{"foot": name, "height": text} for name, text in zip(names, texts, strict=True)]
        return [{"path": ["measured", "feet"], "value": rows}]
    if field == "diagonals":
        return [{"path": ["measured", "diagonals"], "value": texts}]
    path = _path(document, field)
    if path is not None:
        return [{"path": list(path), "value": texts[0]}]
    table, *named, line = field.split(".")
    entries = value_at(document, ("measured", table))
    entry = {"set": named[0], "side": named[1]} if table == "legs" else {"door": int(named[0])}
    at = len(entries) if isinstance(entries, list) else 0
    return [{"path": ["measured", table, at], "value": {**entry, line: texts[0]}}]


def _taken_out(document: Document, field: str) -> list[Edit]:
    path = _path(document, field)
    if path is None:
        return []
    entry = value_at(document, path[:-1])
    alone = isinstance(path[-2], int) and isinstance(entry, Mapping) and set(entry) <= {"set", "side", "door", path[-1]}
    return [{"path": list(path[:-1] if alone else path), "value": None}]


def _readable(document: Document, field: str, texts: Sequence[str]) -> None:
    """Refuse what no tape, gauge or scale reads. Raises JobError."""
    units = value_at(document, ("job", "units"))
    for text in texts:
        if text:
            try:
                parse_figure(text, measure_of(field), system="metric" if units == "metric" else "inch", field=field)
            except PitwrightError as problem:
                raise JobError(
                    problem.message, field=field, value=text, allowed=problem.allowed, remedy=problem.remedy
                ) from problem
