"""The fields of the input panel, in the order a pit is thought out, each with what is in force beside a blank.

    groups(document, pit)                  the groups with their fields, as the page takes them
    in_units(document, beside, "metric")   the changes that show a job in the other units and leave every size as it is

A bare number always means the job's own units.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from pydantic import BaseModel

from pitwright.bench import labels
from pitwright.bench.blank import FACTS
from pitwright.bench.documents import Document, Edit, blanks, dotted, read_job, value_at
from pitwright.bench.fields import (
    Read,
    as_in_force,
    choices_of,
    field_for,
    help_of,
    in_words,
    kind_of,
    unit_hint,
    with_unit,
)
from pitwright.bench.handles import grips
from pitwright.errors import JobError, PitwrightError
from pitwright.job.facts import Job
from pitwright.job.faults import measure_of, model_in
from pitwright.job.file import toml_tables
from pitwright.job.proportions import Proportions
from pitwright.layout.model import Pit
from pitwright.tape import Tape

Path = tuple[str | int, ...]

_GROUPS: Final[tuple[tuple[str, str, tuple[str, ...]], ...]] = (
    ("vessel", "Vessel as found", ("job", "vessel", "make_safe", "proportions.clock")),
    (
        "grates",
        "Grates and meat",
        (
            "order.grate_height",
            "order.grate_slides",
            "order.levels",
            "order.people",
            "order.meat",
            "proportions.grates",
            "proportions.baffle",
        ),
    ),
    (
        "fire",
        "Fire",
        (
            "order.firebox_side",
            "order.flow",
            "order.cook_temperature",
            "order.spread",
            "order.outside",
            "order.altitude",
            "order.weather",
            "proportions.firebox",
            "proportions.throat",
            "proportions.stack",
        ),
    ),
    ("doors", "Doors and shelf", ("proportions.doors", "proportions.shelf")),
    ("stand", "What it stands on", ("order.base", "order.passages", "order")),
    ("shop", "The shop", ("proportions.shop", "proportions.rates")),
    ("measured", "What I got: measured on the build", ("measured",)),
)
_BASES: Final[Mapping[str, tuple[str, ...]]] = {
    "skid": ("legs", "base"),
    "saddles": ("saddles", "base"),
    "stand": ("legs", "stand", "base"),
    "cart": ("legs", "cart", "base"),
    "trailer": ("legs", "trailer", "base"),
    "upright": ("upright",),
}
_LEFT_OUT: Final = frozenset({"job.units", "vessel.assumed"})
_NO_FIGURE: Final = frozenset({"proportions.firebox.fire_grate"})  # stock, of the same name as a height
_WHY: Final[Mapping[str, str]] = {
    "vessel.outside_diameter": "vessel.diameter",
    "order.grate_height": "order.grate_height",
    "proportions.clock.top_from_seam": "clock.top_from_seam",
    "proportions.clock.fire_end": "clock.fire_end",
    "proportions.stack.at": "stack.x",
    "proportions.stack.profile": "stack.pipe",
    "proportions.stack.share": "stack.area",
    "proportions.firebox.size": "firebox.width",
    "proportions.firebox.fire_grate_up": "firebox.fire_grate",
    "proportions.firebox.inlet_share": "firebox.inlet_area",
    "proportions.throat.share": "throat.wanted",
    "proportions.doors.below_grate": "doors.edge_clock",
    "proportions.doors.count": "doors.width",
    "proportions.doors.open_stop": "door 1.stop",
    "proportions.baffle.under_grate": "baffle.under_grate",
    "proportions.base.overhang": "base.rail_stack_end",
    "proportions.legs.clock": "legs.A.contact",
}


@dataclass(frozen=True, slots=True)
class _Room:
    """What the fields are made from."""

    document: Document
    pit: Pit | None
    tape: Tape
    missing: frozenset[str]


def groups(document: Document, pit: Pit | None) -> list[dict[str, Any]]:
    """Groups of fields, in the order a pit is thought out.

    pit  the solved pit of the document, None where there is none: then nothing is in force but starting habits
    """
    about = document.get("job")
    units = about.get("units") if isinstance(about, Mapping) else None
    tape = pit.tape if pit is not None else Tape.for_system("metric" if units == "metric" else "inch")
    room = _Room(document, pit, tape, frozenset(blanks(document)))
    out = []
    for name, title, heads in _GROUPS:
        fields: list[dict[str, Any]] = []
        seen: set[str] = set()
        for head in heads:
            fields += [f for f in _under(room, head) if not (dotted(f["path"]) in seen or seen.add(dotted(f["path"])))]  # type: ignore[func-returns-value]
        if name == "stand":
            for table in _BASES[_base(document)]:
                fields += _under(room, f"proportions.{table}")
            if _base(document) != "upright":
                fields += _under(room, "proportions.lift")
        out.append({"group": name, "title": title, "fields": _in_order(fields)})
    own = list(_own(room))
    if own:
        out.insert(-1, {"group": "own", "title": "Set for this job alone", "fields": own})
    return out


def _in_order(fields: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Under every heading the lines that matter first come first; what is stated is not folded away, but for a second gauging of the wall."""
    parts = list(dict.fromkeys(f["part"] for f in fields))
    for field in fields:
        again = field["path"][:2] == ["vessel", "wall"] and len(field["path"]) > 2 and field["path"][2] > 0
        bare = field["text"] in (None, "") and not field["blank"]
        field["more"] = again or (bare and not labels.comes_first(field["path"]))
        if again:
            field["help"] = ""
    return sorted(fields, key=lambda f: (parts.index(f["part"]), labels.order_of(f["path"])))


def _called(path: Path) -> dict[str, Any]:
    """The words a line is called by, alone and under its heading."""
    return {"label": labels.label_of(path), "plain": labels.plain_label(path), "part": labels.part_of(path)}


def _base(document: Document) -> str:
    order = document.get("order")
    base = order.get("base", "skid") if isinstance(order, Mapping) else "skid"
    return base if base in _BASES else "skid"


def _under(room: _Room, head: str) -> list[dict[str, Any]]:
    """The fields of one heading, or one line of it."""
    if head == "order":  # what no other group asks for
        taken = {h for _, _, heads in _GROUPS for h in heads}
        info, _ = field_for(Job, ("order",))
        inner = model_in(info.annotation)
        assert inner is not None
        rest = _table(room, ("order",), inner, _force(room, ("order",)))
        return [f for f in rest if f"order.{f['path'][1]}" not in taken]
    steps = tuple(head.split("."))
    info, _ = field_for(Job, steps)
    force = _force(room, steps)
    if info is None:
        return []
    inner = model_in(info.annotation)
    if inner is None:
        return list(_lines(room, steps, info, force))
    if "tuple" in str(info.annotation):
        return list(_many(room, steps, info, inner, force))
    return list(_table(room, steps, inner, force))


def _force(room: _Room, steps: Path) -> Any:
    """What is in force at a path: of the solved job, else of the starting habits where no shop file is named."""
    here: Any
    if room.pit is not None:
        here = room.pit.job
    elif "shop" not in room.document and steps[0] == "proportions":
        here, steps = Proportions(), steps[1:]
    else:
        return None
    for step in steps:
        if isinstance(step, int):
            here = here[step] if isinstance(here, Sequence) and step < len(here) else None
        else:
            here = getattr(here, "start" if step == "from" else step, None)
    return here


def _table(room: _Room, path: Path, model: type[BaseModel], force: Any) -> Iterator[dict[str, Any]]:
    for name, info in model.model_fields.items():
        here = (*path, info.alias or name)
        if dotted(here) in _LEFT_OUT:
            continue
        value = getattr(force, name, None)
        inner = model_in(info.annotation)
        if inner is None and "dict" not in str(info.annotation):
            yield from _lines(room, here, info, value)
        elif inner is None:
            continue
        elif "tuple" in str(info.annotation):
            yield from _many(room, here, info, inner, value)
        else:
            yield from _table(room, here, inner, value)


def _many(room: _Room, path: Path, info: Any, model: type[BaseModel], force: Any) -> Iterator[dict[str, Any]]:
    """Entries of a list: those stated, each line a field, and one more to begin where there is room for it."""
    stated = value_at(room.document, path)
    count = len(stated) if isinstance(stated, list) else 0
    for i in range(count):
        inside = force[i] if isinstance(force, tuple) and i < len(force) else None
        yield _entry(room, (*path, i))
        for field in _table(room, (*path, i), model, inside):
            needed = _needed(model, field["path"][len(path) + 1])
            if needed and field["text"] in (None, ""):
                field["blank"] = "measure this"
            yield field
    if count == 0 and isinstance(force, tuple) and force:
        yield _shown_list(room, path, info, model, force)
    first = next(((f.alias or n, f) for n, f in model.model_fields.items() if f.is_required()), None)
    if first is None:
        first = next((f.alias or n, f) for n, f in model.model_fields.items())
    most = next((m.max_length for m in info.metadata if hasattr(m, "max_length")), 40)
    if count < (most or 40):
        one_more = _field(room, (*path, count, first[0]), first[1], None)
        one_more["label"] = one_more["plain"] = labels.one_more(path, first[0])
        one_more["shown"] = None
        yield one_more


def _entry(room: _Room, path: Path) -> dict[str, Any]:
    """A whole entry of a list: it stands, or is taken out."""
    return {
        "path": list(path),
        **_called(path),
        "text": "stands",
        "shown": None,
        "kind": "choice",
        "choices": [["stands", "stands"]],
        "none": "take it out",
        "help": "",
        "unit_hint": "",
        "blank": None,
        "why": None,
    }


def _needed(model: type[BaseModel], name: Any) -> bool:
    info = next((f for n, f in model.model_fields.items() if name in (n, f.alias)), None)
    return info is not None and info.is_required()


def _shown_list(room: _Room, path: Path, info: Any, model: type[BaseModel], force: Any) -> dict[str, Any]:
    """A list the shop has and the job does not state: said in one line."""
    said = []
    for entry in force:
        values = [
            as_in_force(getattr(entry, n), f, room.tape, _read(room))
            for n, f in model.model_fields.items()
            if getattr(entry, n) is not None
        ]
        said.append(", ".join(v for v in values if v))
    field = _field(room, path, info, None)
    return {**field, "kind": "said", "shown": "; ".join(said), "text": None}


def _lines(room: _Room, path: Path, info: Any, force: Any) -> Iterator[dict[str, Any]]:
    """One line; a list of plain values is a line for each, and one more."""
    stated = value_at(room.document, path)
    if "tuple" not in str(info.annotation):
        yield _field(room, path, info, force)
        return
    if not isinstance(stated, list):
        only = force[0] if isinstance(force, tuple) and len(force) == 1 else None
        many = isinstance(force, tuple) and len(force) > 1
        if path[-1] == "wall" or isinstance(stated, str):
            field = _field(room, path, info, only)
            if many and field["shown"] is None:
                field["shown"] = ", ".join(as_in_force(v, info, room.tape, _read(room)) for v in force)
            yield field
            return
        stated = []
    for i in range(len(stated) + 1):
        value = force[i] if isinstance(force, tuple) and i < len(force) else None
        field = _field(room, (*path, i), info, value if i < len(stated) else None)
        if i >= len(stated):
            field["blank"] = None
        yield field


def _field(room: _Room, path: Path, info: Any, force: Any) -> dict[str, Any]:
    """One field as the page takes it."""
    stated = value_at(room.document, path)
    name = dotted(path)
    text = None if stated is None or isinstance(stated, list | dict) else stated
    kind, choices = kind_of(info), choices_of(info)
    shown = as_in_force(force, info, room.tape, _read(room)) or None
    if text is not None and shown is not None and _same(str(text), shown):
        shown = None
    why = _why(room, path)
    if text is None and shown is None and room.pit is not None and why is not None:
        reason = room.pit.reasons[why]
        if reason.measure == {"share": "length"}.get(measure_of(info), measure_of(info)):
            shown = room.tape.figure(reason.value, reason.measure)
    asked = next((n for n in room.missing if n == name or name == f"{n}[0]"), None)
    return {
        "path": list(path),
        **_called(path),
        "text": text if isinstance(text, str | bool) or text is None else str(text),
        "shown": shown if not (kind == "yes-no" and text is not None) else None,
        "kind": kind,
        "choices": choices,
        "help": help_of(info, labels.plain_label(path)),
        "unit_hint": unit_hint(measure_of(info), room.tape, info.description or ""),
        "blank": FACTS[asked][1] if asked is not None and asked in FACTS else None,
        "why": why,
    }


def _read(room: _Room) -> Read | None:
    """How shares come out on this vessel."""
    if room.pit is None:
        return None
    vessel = room.pit.vessel
    return Read(radius=vessel.outer_radius, seam_length=vessel.length, around=vessel.around)


def _same(text: str, shown: str) -> bool:
    """Whether what is in force only repeats what was typed."""

    def bare(s: str) -> str:
        s = s.strip().removesuffix('"').removesuffix(" mm").removesuffix(" in").removesuffix("°")
        s = s.removesuffix("F").removesuffix("C").removesuffix("°")
        return s.replace("-", " ").replace("  ", " ").strip().lower()

    return bare(text) == bare(shown)


def _why(room: _Room, path: Path) -> str | None:
    """The figure a field leads to."""
    if room.pit is None:
        return None
    name = dotted(path)
    if name in _NO_FIGURE:
        return None
    reasons = room.pit.reasons
    tries = [_WHY.get(name, ""), name, name.removeprefix("proportions.")]
    if path[:2] == ("proportions", "legs"):
        tries.append(f"legs.{room.pit.leg_sets[0].name}.{path[-1]}" if room.pit.leg_sets else "")
    return next((t for t in tries if t in reasons), None)


def _own(room: _Room) -> Iterator[dict[str, Any]]:
    """Figures the job sets itself, each can be taken out again."""
    own = room.document.get("override")
    if not isinstance(own, Mapping):
        return
    called = {} if room.pit is None else {g.name: g.label for g in grips(room.pit) if g.name}
    for name in sorted(own):
        reason = room.pit.reasons.get(name) if room.pit is not None else None
        measure = "text" if reason is None else reason.measure
        shown = None if reason is None else room.tape.figure(reason.value, reason.measure)
        text = str(own[name])
        yield {
            "path": ["override", name],
            "label": f"{called[name]} ({in_words(name)})" if name in called else in_words(name),
            "text": text,
            "shown": None if shown is None or _same(text, shown) else shown,
            "kind": "length" if measure == "length" else "angle" if measure == "angle" else "text",
            "choices": [],
            "help": "" if reason is None else f"{reason.because}. Leave it blank and the shop's rule stands.",
            "unit_hint": unit_hint(measure, room.tape),
            "blank": None,
            "why": name if reason is not None else None,
        }


# ---------------------------------------------------------------- the other units


def in_units(document: Document, beside: Mapping[str, bytes], units: str) -> tuple[Edit, ...]:
    """The changes that show a job in the other units: bare numbers get the unit they were typed in, and stay what they are.

    Raises JobError where the shop's own file does not say its units, so that it would be read anew.
    """
    if units not in ("inch", "metric"):
        raise JobError("no such units", field="job.units", value=units, allowed="inch, metric", remedy="Pick one.")
    about = document.get("job")
    now = about.get("units", "inch") if isinstance(about, Mapping) else "inch"
    if now == units:
        return ()
    shop = document.get("shop")
    file = shop.get("file") if isinstance(shop, Mapping) else None
    tables = toml_tables(beside[file], file) if isinstance(file, str) and file in beside else {}
    if tables and "units" not in tables:
        raise JobError(
            "the shop's own file does not say its units, it would be read in the new ones",
            field=str(file),
            allowed=f'units = "{now}" at its top',
            remedy="Add that line to the file and put it beside the job again.",
        )
    edits: list[Edit] = [{"path": ["job", "units"], "value": units}]
    for path, info in _stated(document, (), Job):
        text = with_unit(value_at(document, path), measure_of(info), now)
        if text is not None:
            edits.append({"path": list(path), "value": text})
    edits += _own_with_units(document, beside, now)
    rules = tables.get("shop")
    if (isinstance(rules, Mapping) and "tape_step" in rules) or value_at(
        document, ("proportions", "shop", "tape_step")
    ):
        edits.append({"path": ["proportions", "shop", "tape_step"], "value": "1/16 in" if units == "inch" else "1 mm"})
    return tuple(edits)


def _stated(document: Any, path: Path, model: type[BaseModel]) -> Iterator[tuple[Path, Any]]:
    """Every stated line with its field."""
    if not isinstance(document, Mapping):
        return
    for name, info in model.model_fields.items():
        key = info.alias or name
        if key not in document or key == "override":
            continue
        value, inner, here = document[key], model_in(info.annotation), (*path, key)
        if inner is not None and isinstance(value, list):
            for i, entry in enumerate(value):
                for deep, deeper in _stated(entry, (), inner):
                    yield (*here, i, *deep), deeper
        elif inner is not None:
            for deep, deeper in _stated(value, (), inner):
                yield (*here, *deep), deeper
        elif isinstance(value, list):
            for i in range(len(value)):
                yield (*here, i), info
        else:
            yield here, info


def _own_with_units(document: Document, beside: Mapping[str, bytes], now: str) -> list[Edit]:
    """Figures the job sets itself, with the unit of their measure."""
    own = document.get("override")
    if not isinstance(own, Mapping) or not own:
        return []
    from pitwright.layout.pit import solve

    try:
        reasons = solve(read_job(document, beside)).reasons
    except PitwrightError as problem:
        raise JobError(
            "the units can be changed once the pit can be laid out",
            field="job.units",
            remedy=f"First: {problem.text()}",
        ) from problem
    out: list[Edit] = []
    for name, value in own.items():
        text = with_unit(value, reasons[name].measure, now) if name in reasons else None
        if text is not None:
            out.append({"path": ["override", str(name)], "value": text})
    return out
