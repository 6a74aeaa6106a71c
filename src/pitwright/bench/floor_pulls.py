"""Marks of one step as a person pulls them: running figures, every group from one datum, figures that close it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from pitwright.layout.model import DoorLayout, LegLayout, Pit
from pitwright.sheets.views.pulls import arc_steps, hole_points, pulls
from pitwright.sheets.views.wall import HELD
from pitwright.sheets.views.wants import Want, fire_heights, heights, rail_wants, stack_station, stations

_NUMBERED = re.compile(r"(?P<word>[a-z]+) (?P<number>\d+|[A-Z]{1,2}) (?P<rest>.+)")
_END = re.compile(r", (?:fire|stack|bottom|top) (?:end|seam)$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One mark. text: the running figure as the tape reads it; also: a second figure that goes with it."""

    what: str
    text: str
    also: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pull:
    """A group of marks pulled in one go. datum: where the tape is hooked; closes: the figure that proves the pull."""

    title: str
    datum: str
    stops: tuple[Stop, ...]
    closes: str = ""


def pulls_of(pit: Pit, key: str) -> tuple[Pull, ...]:
    """Everything pulled with a tape at one step of the build order; groups without marks are left out."""
    make = _door if key.startswith("door ") else _MAKERS.get(key)
    return () if make is None else tuple(p for p in make(pit, key) if p.stops)


def _lines(pit: Pit, key: str) -> Iterator[Pull]:
    tape, vessel = pit.tape, pit.vessel
    zero = "the survey's zero mark" if vessel.long_seam_clock is None else "the long seam"
    first = "front line" if vessel.on_end else "top line"
    yield Pull(
        title=f"{first.capitalize()} from {zero}",
        datum=f"{zero}, clockwise seen at end A",
        stops=(Stop(what=f"{first}, both ends", text=tape.length(vessel.top_from_seam)),),
    )
    names = (
        ("to the right of it", "back line", "to the left of it")
        if vessel.on_end
        else ("working spring line", "bottom line", "back spring line")
    )
    yield Pull(
        title="Quarter arounds, both ends",
        datum=f"{first}, towards the working side" if not vessel.on_end else f"{first}, away from the firebox",
        stops=tuple(
            Stop(what=name, text=tape.length(k * vessel.around / 4.0)) for k, name in enumerate(names, start=1)
        ),
        closes=f"right round {tape.length(vessel.around)}",
    )


def _marks(pit: Pit, key: str) -> Iterator[Pull]:
    tape, vessel = pit.tape, pit.vessel
    if not vessel.on_end:
        far = tape.length(vessel.length)
        yield Pull(
            title="Stations along the pit",
            datum=f"{vessel.datum} seam, hooked once",
            stops=_running(pit, (*stations(pit), *stack_station(pit))),
            closes=f"far seam at {far}",
        )
    else:
        yield Pull(
            title="Heights up the shell",
            datum="bottom seam, hooked once",
            stops=_grouped(pit, lambda m: m.along, tape.length),
            closes=f"top seam at {tape.length(vessel.length)}",
        )
    yield Pull(
        title="Arounds on the skin",
        datum="front line, away from the firebox" if vessel.on_end else "top line, towards the working side",
        stops=_grouped(pit, lambda m: m.around, tape.length),
        closes=f"right round {tape.length(vessel.around)}",
    )


def _grouped(pit: Pit, figure: Callable[..., float], text: Callable[[float], str]) -> tuple[Stop, ...]:
    """Marks of the shell that fall on one figure as one stop; those that place a cut only once the vessel is cleared."""
    found: dict[str, tuple[float, dict[str, None]]] = {}
    for mark in pit.marks:
        if mark.on == "shell" and (pit.cleared or not mark.needs):
            value = figure(mark)
            names = found.setdefault(text(value), (value, {}))[1]
            names[_END.sub("", mark.what)] = None
    rising = sorted(found.items(), key=lambda item: item[1][0])
    return tuple(Stop(what=_listed(names), text=said) for said, (_, names) in rising)


def _listed(names: Iterable[str]) -> str:
    """`door 1, 2, 3 hinge edge; stack centre`: names that differ in their number or letter only are told together."""
    kept = list(names)
    centres = tuple(n.removesuffix("centre") + "footprint" for n in kept if n.endswith(" centre"))
    alike: dict[tuple[str, str], list[str]] = {}
    for name in kept:
        found = _NUMBERED.fullmatch(name)
        if found is not None:
            alike.setdefault((found["word"], found["rest"]), []).append(found["number"])
        elif not centres or not name.startswith(centres):  # an edge on the centre's own line says nothing more
            alike.setdefault((name, ""), [])
    return "; ".join(" ".join(filter(None, (word, ", ".join(n), rest))) for (word, rest), n in alike.items())


def _running(pit: Pit, wants: Iterable[Want]) -> tuple[Stop, ...]:
    rising = sorted(wants, key=lambda w: w.value)
    return tuple(Stop(what=w.what, text=pit.tape.length(w.value)) for w in rising)


def _base(pit: Pit, key: str) -> Iterator[Pull]:
    tape, base = pit.tape, pit.base
    yield Pull(
        title="Along both rails",
        datum="stack end of the rail",
        stops=_running(pit, rail_wants(pit)),
        closes=f"outside diagonals {tape.fine(base.diagonal)}, both ways",
    )


def _under(pit: Pit, key: str) -> Iterator[Pull]:
    """What the base rolls or stands on, along the rails and along the tongue."""
    other = ("rail end", "cross member", "leg set", "saddle", "fork pocket")
    stops = _running(pit, (w for w in rail_wants(pit) if not w.what.startswith(other)))
    yield Pull(title="Along both rails", datum="stack end of the rail", stops=stops)
    tongue = sorted((m for m in pit.marks if m.on == "tongue"), key=lambda m: m.along)
    yield Pull(
        title="Along the tongue",
        datum="the rails' end it stands out of",
        stops=tuple(Stop(what=m.what, text=pit.tape.length(m.along)) for m in tongue),
    )


def _legs(pit: Pit, key: str) -> Iterator[Pull]:
    tape = pit.tape
    yield Pull(
        title="Feet along the rails",
        datum="stack end of the rail",
        stops=_running(pit, (w for w in rail_wants(pit) if "foot" in w.what or "saddle" in w.what)),
        closes=f"corner to corner {tape.fine(pit.base.feet_diagonal)}, both ways" if pit.base.feet_diagonal else "",
    )
    yield Pull(
        title="Feet across",
        datum="centre line of the base, to each side",
        stops=tuple(
            Stop(what=_leg(s.name, leg), text=tape.length(abs(leg.foot_y))) for s in pit.leg_sets for leg in s.legs
        ),
    )
    yield Pull(
        title="Leg tops on the skin",
        datum="bottom line, to each side",
        stops=tuple(
            Stop(what=_leg(s.name, leg), text=tape.length(leg.around))
            for s in pit.leg_sets
            if s.x >= 0.0
            for leg in s.legs
        ),
    )
    yield Pull(
        title="Saddle plates, heights",
        datum="lower edge of the plate",
        stops=tuple(
            Stop(what=f"saddle {s.name}, {where}", text=tape.length(value))
            for s in pit.saddles
            for where, value in (("in the middle", s.middle_height), ("at its edges", s.edge_height))
        ),
    )


def _leg(name: str, leg: LegLayout) -> str:
    return f"set {name}, {leg.side} side"


def _set(pit: Pit, key: str) -> Iterator[Pull]:
    tape, vessel = pit.tape, pit.vessel
    if vessel.on_end:
        seam = Stop(what="bottom seam", text=tape.length(vessel.seam_z))
        middle = Stop(what="middle of the shell", text=tape.length(vessel.centre_z))
        yield Pull(title="Heights", datum="floor, plumb up", stops=(seam, middle))
    else:
        yield Pull(title="Heights", datum="floor, plumb up", stops=_running(pit, heights(pit)))


def _throat(pit: Pit, key: str) -> Iterator[Pull]:
    tape, throat = pit.tape, pit.throat
    if pit.vessel.on_end:
        return
    if not pit.cleared:
        yield _held("Throat window", "spring lines")
        return
    places = (
        ("window top", throat.top),
        (f"widest, {tape.length(throat.widest)} across", throat.widest_at),
        ("window bottom, edge of the dam", throat.bottom),
    )
    stops = tuple(
        Stop(what=f"{what}, {'under' if v < 0.0 else 'over'}", text=tape.length(abs(v)))
        for what, v in sorted(places, key=lambda p: abs(p[1]))
    )
    yield Pull(title="Throat window", datum="spring lines (vessel's centre)", stops=stops)


def _hang(pit: Pit, key: str) -> Iterator[Pull]:
    yield Pull(title="Firebox heights", datum="floor, plumb up", stops=_running(pit, fire_heights(pit)))


def _door(pit: Pit, key: str) -> Iterator[Pull]:
    tape, vessel = pit.tape, pit.vessel
    if not pit.cleared:
        yield _held(f"Edges of {key}", "datum seam and top line")
        return
    if vessel.on_end:
        return
    door = next(d for d in pit.doors if d.name == key)
    pull = next(p for p in pulls(pit) if p.name == key)
    ends = sorted(vessel.station(x) for x in (pull.x0, pull.x1))
    yield Pull(
        title="Both ends",
        datum=f"{vessel.datum} seam",
        stops=tuple(Stop(what=f"end {i}", text=tape.length(v)) for i, v in enumerate(ends, start=1)),
        closes=f"wrap diagonals {tape.fine(door.diagonal)}, both ways alike",
    )
    yield Pull(
        title="Long edges",
        datum="top line, towards the working side",
        stops=tuple(
            Stop(what=what, text=tape.length(vessel.around_at(clock)))
            for what, clock in (("hinge edge", pull.high), ("lower edge", pull.low))
        ),
    )
    yield _arc(pit, door)


def _arc(pit: Pit, door: DoorLayout) -> Pull:
    tape = pit.tape
    return Pull(
        title="Down both ends",
        datum="hinge edge, tape on the skin",
        stops=tuple(
            Stop(
                what="lower edge" if i == len(steps) - 1 else f"step {i}",
                text=tape.length(a.from_hinge),
                also=f"straight {tape.fine(a.chord)}",
            )
            for steps in (arc_steps(pit, door),)
            for i, a in enumerate(steps)
            if i
        ),
        closes=f"straight across {tape.length(door.chord)}",
    )


def _stack(pit: Pit, key: str) -> Iterator[Pull]:
    tape, vessel, stack = pit.tape, pit.vessel, pit.stack
    top = Stop(what="top of the stack", text=tape.length(stack.top_z))
    if stack.place == "top" and not pit.cleared:
        yield _held("Stack hole", "datum seam and top line")
    elif stack.place == "top":
        yield Pull(
            title="Stack centre",
            datum=f"{vessel.datum} seam",
            stops=(
                Stop(
                    what="stack centre",
                    text=tape.length(vessel.station(stack.x)),
                    also=f"{tape.length(abs(stack.y))} {'behind' if stack.y < 0.0 else 'before'} the top line, plumb",
                ),
            ),
        )
        points = [(n, tape.length(x), tape.length(a)) for n, x, a in hole_points(pit)]
        stops = tuple(Stop(what=f"strip line {n}", text=x, also=f"around {a}") for n, x, a in points)
        yield Pull(title="Edge of the hole", datum=f"{vessel.datum} seam; arounds from the top line", stops=stops)
    yield Pull(title="Height", datum="floor, plumb up", stops=(top,))


def _grates(pit: Pit, key: str) -> Iterator[Pull]:
    stops = tuple(Stop(what=level.name, text=pit.tape.length(level.z)) for level in pit.grates.levels)
    yield Pull(title="Top of the grates", datum="floor, plumb up", stops=stops)


def _inside(pit: Pit, key: str) -> Iterator[Pull]:
    tape = pit.tape
    if pit.vessel.on_end:
        return
    stops = tuple(
        Stop(
            what=f"{level.name}, {'under' if level.above_centre < 0.0 else 'over'} the spring lines",
            text=tape.length(abs(level.above_centre)),
            also=f"wall to wall {tape.length(level.chord)}",
        )
        for level in pit.grates.levels
    )
    yield Pull(title="Top of the grates", datum="spring lines, by water level", stops=stops)


def _fittings(pit: Pit, key: str) -> Iterator[Pull]:
    vessel = pit.vessel
    served = any(f.serves == "drain" for f in vessel.fittings)
    if vessel.on_end:
        return
    where = Stop(what="drain, on the bottom line", text=pit.tape.length(vessel.station(pit.grates.drain_x)))
    yield Pull(
        title="Drain",
        datum=f"{vessel.datum} seam",
        stops=(where,) if pit.cleared or served else (Stop(what="drain", text=HELD),),
    )


def _held(title: str, datum: str) -> Pull:
    why = "no cut marks before the make-safe record is complete"
    return Pull(title=title, datum=datum, stops=(Stop(what=why, text=HELD),))


_MAKERS: dict[str, Callable[[Pit, str], Iterator[Pull]]] = {
    "lines": _lines,
    "marks": _marks,
    "base": _base,
    "running": _under,
    "legs": _legs,
    "set": _set,
    "throat": _throat,
    "hang": _hang,
    "inside": _inside,
    "stack": _stack,
    "grates": _grates,
    "try": _grates,
    "fittings": _fittings,
    "weld out": _set,
}
