"""A value typed on a dimension: which figure it sets, when the drawing shows that figure in another way.

A stack's height is kept over the shell, and its top is shown over the floor; a door's edge is kept as a clock and shown
by tape round the skin. Every way a figure is shown is a *reading*; what was shown, or else the nearest reading, decides.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from pitwright.bench.documents import Edit
from pitwright.bench.grips.grip import angle_text, length_text, override, put
from pitwright.errors import JobError, PitwrightError, TapeError
from pitwright.layout.clock import sense
from pitwright.layout.model import Pit
from pitwright.reasons import Reason
from pitwright.tape import parse_figure

_TOKEN: Final = re.compile(
    r"-?(?:\d+'[-\s]?)?\d+(?:[-\s]\d+/\d+|\.\d+|/\d+)?\s*(?:\"|''|mm\b|cm\b|m\b|in\b|ft\b|°|deg\b|lb\b|kg\b|in²|cm²)?"
)
_UNIT: Final = re.compile(r"[\"'°²]|[a-z]", re.IGNORECASE)
_SAME: Final = 0.6  # of a step of the tape


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One way a figure is shown: its value so, the measure, and the changes for a new value."""

    value: float
    measure: str
    edits: Callable[[float, str], tuple[Edit, ...]]


def typed(pit: Pit, name: str, text: str, shown: str = "") -> tuple[Edit, ...]:
    """The changes that a value typed on a dimension asks for; an empty text lets the shop's rule stand again.

    shown  what stood there before, lettering and all: it says which way the figure is read
    Raises JobError where the figure follows from others (it names what to set instead), was measured, or the text
    cannot be read; LayoutError where no such pit can be.
    """
    reason = pit.reasons.get(name)
    if reason is None:
        raise JobError("no figure of this pit has that name", field=name, remedy="Pick it on the drawing.")
    if not isinstance(text, str):
        raise JobError("this is not a value", field=name, value=text, allowed="text as typed")
    if reason.kind == "measured":
        raise JobError(
            "this was measured on the build",
            field=name,
            value=text,
            allowed=pit.tape.figure(reason.value, reason.measure),
            remedy="Change what was measured, or take it out.",
        )
    said = text.strip()
    if not said:
        return _taken_out(pit, name)
    _survey(pit, name, said)
    if isinstance(reason.value, str):
        edits = override(pit, name, said)
    else:
        edits = _by_reading(pit, name, reason, said, shown)
    _try(pit, reason, edits)
    return edits


def _by_reading(pit: Pit, name: str, reason: Reason, said: str, shown: str) -> tuple[Edit, ...]:
    ways = list(readings(pit, name, reason))
    was = [w for w in ways if _shows(pit, w, shown)]
    if was:
        value, plain = figure_in(said, was[0].measure, pit, name)
        return was[0].edits(value, plain)
    found: list[tuple[float, Reading, float, str]] = []
    problem: PitwrightError | None = None
    for way in ways:
        try:
            value, plain = figure_in(said, way.measure, pit, name)
        except TapeError as fault:
            problem = problem or fault
            continue
        off = abs(value - way.value)
        strange = (
            1.0 if way.measure == reason.measure or _UNIT.search(plain) else 1e3
        )  # a bare number is the figure's own
        found.append((off * strange, way, value, plain))
    if not found:
        assert problem is not None
        raise problem
    _, way, value, plain = min(found, key=lambda f: f[0])
    return way.edits(value, plain)


def _shows(pit: Pit, way: Reading, shown: str) -> bool:
    """Whether a text on the drawing shows a figure in this way."""
    if not shown.strip():
        return False
    try:
        value, _ = figure_in(shown, way.measure, pit, "")
    except PitwrightError:
        return False
    step = math.radians(0.05) if way.measure == "angle" else pit.tape.step
    if way.measure not in ("angle", "length"):
        step = 0.005 * abs(way.value)
    return abs(value - way.value) <= _SAME * step


def figure_in(text: str, measure: str, pit: Pit, name: str) -> tuple[float, str]:
    """(value [SI], the figure alone as typed) of a text that may carry words, as dimensions do: `stack top  91"`.

    Raises TapeError where it holds no such figure.
    """
    system = pit.tape.system
    for part in (text, re.split(r"\s{2,}", text)[-1]):
        try:
            return float(parse_figure(part, measure, system=system, field=name)), part.strip()
        except TapeError as fault:
            problem = fault
    tokens = [m.group().strip() for m in _TOKEN.finditer(text)]
    for token in [*(t for t in tokens if _UNIT.search(t)), *reversed(tokens)]:
        if measure != "angle" and ("°" in token or "deg" in token):
            continue
        try:
            return float(parse_figure(token, measure, system=system, field=name)), token
        except TapeError:
            continue
    raise problem


# ---------------------------------------------------------------- readings


def readings(pit: Pit, name: str, reason: Reason) -> Iterator[Reading]:
    """The ways a figure is shown, its own first."""
    value = float(reason.value)
    yield Reading(value=value, measure=reason.measure, edits=lambda v, plain: _fact(pit, name, v, plain))
    yield from _others(pit, name, value)


def _length(pit: Pit, value: float, name: str, back: Callable[[float], float]) -> Reading:
    """A figure of a length shown as another length; `back` makes it of what is shown."""
    return Reading(
        value=value,
        measure="length",
        edits=lambda v, plain: override(pit, name, length_text(pit.tape, back(v))),
    )


def _others(pit: Pit, name: str, value: float) -> Iterator[Reading]:
    vessel, radius = pit.vessel, pit.vessel.outer_radius
    if pit.upright is not None:
        return
    top = vessel.centre_z + radius
    if name == "stack.height":
        yield _length(pit, pit.stack.top_z, name, lambda v: v - top)
    elif name in ("stack.x", "drain.x"):
        yield _length(pit, vessel.station(value), name, vessel.x_at)
    elif name == "clock.top_from_seam" and vessel.long_seam_clock is not None:
        yield _seam_round(pit, vessel.around_at(vessel.long_seam_clock) % vessel.around)
    elif name in ("stack.behind_top", "grates.below_centre") and value < 0.0:
        yield _length(pit, -value, name, lambda v: -v)
    elif name == "firebox.fire_grate":
        low = pit.firebox.grate_z - pit.firebox.ash_depth
        yield _length(pit, pit.firebox.grate_z, name, lambda v: v - low)
    elif name in ("doors.hinge_clock", "doors.edge_clock"):
        yield Reading(
            value=vessel.around_at(value),
            measure="length",
            edits=lambda v, plain: override(pit, name, angle_text(v / radius)),
        )
        yield Reading(
            value=vessel.centre_z + radius * math.cos(value),
            measure="length",
            edits=lambda v, plain: override(pit, name, angle_text(_clock_at(pit, v))),
        )
    elif name.startswith("grates.grate ") and name.endswith(".height"):
        main = pit.grates.levels[0].z
        yield Reading(value=value - main, measure="length", edits=lambda v, plain: _level(pit, name, v))


def _seam_round(pit: Pit, around: float) -> Reading:
    """The turn of the vessel, shown as where its long seam lies by tape from the top line."""
    vessel = pit.vessel
    way = sense(vessel.fire_end, vessel.hand)

    def edits(v: float, plain: str) -> tuple[Edit, ...]:
        top = (vessel.top_from_seam + way * (around - v)) % vessel.around
        return _fact(pit, "clock.top_from_seam", top, length_text(pit.tape, top))

    return Reading(value=around, measure="length", edits=edits)


def _clock_at(pit: Pit, z: float) -> float:
    """The clock of the skin at a height over the floor, on the working side [rad]."""
    up = (z - pit.vessel.centre_z) / pit.vessel.outer_radius
    return math.acos(min(max(up, -1.0), 1.0))


def _level(pit: Pit, name: str, above: float) -> tuple[Edit, ...]:
    order = sorted(range(len(pit.job.order.levels)), key=lambda i: pit.job.order.levels[i].above)
    place = order[int(name.split(" ")[1].split(".")[0]) - 2]
    return (put("order", "levels", place, "above", value=length_text(pit.tape, above)),)


def _fact(pit: Pit, name: str, value: float, plain: str) -> tuple[Edit, ...]:
    """The changes for a figure shown as it is kept: a stated fact, or the job's own figure; as typed."""
    tape, vessel = pit.tape, pit.vessel
    if name in ("order.grate_height", "grates.main grate.height"):
        return (put("order", "grate_height", value=plain),)
    if name in ("vessel.length", "vessel.wall", "vessel.around"):
        return (put(*name.split("."), value=plain),)
    if name == "clock.top_from_seam":
        clock = ("proportions", "clock")
        return (put(*clock, "top_from_seam", value=plain), put(*clock, "fire_end", value=vessel.fire_end))
    if name.startswith("grates.grate ") and name.endswith(".height") and pit.upright is None:
        return _level(pit, name, value - pit.grates.levels[0].z)
    if name == "drain.station" and "drain.x" in pit.reasons:
        return override(pit, "drain.x", length_text(tape, vessel.x_at(value)))
    if name == "firebox.centre" and "firebox.drop" in pit.reasons:
        return override(pit, "firebox.drop", length_text(tape, vessel.centre_z - value))
    if name.startswith("legs.") and name.endswith(".around"):
        one = next(s for s in pit.leg_sets if s.name == name.split(".")[1])
        leg = one.legs[0]
        contact = leg.contact + (value - leg.around) * leg.contact / leg.around
        return override(pit, f"legs.{one.name}.contact", angle_text(contact))
    return override(pit, name, plain)


def _taken_out(pit: Pit, name: str) -> tuple[Edit, ...]:
    """The job's own line of a figure taken out."""
    if name == "clock.top_from_seam":
        clock = ("proportions", "clock")
        return (put(*clock, "top_from_seam", value=None), put(*clock, "fire_end", value=None))
    if name in pit.job.override:
        return override(pit, name, None)
    raise JobError(
        "the job sets nothing of its own here",
        field=name,
        allowed=pit.tape.figure(pit.reasons[name].value, pit.reasons[name].measure),
        remedy="Type a value, or leave it.",
    )


def _survey(pit: Pit, name: str, said: str) -> None:
    """Refuse what only the survey can say.

    Raises JobError.
    """
    stated = pit.job.vessel.around is not None
    if name == "vessel.diameter" or (name == "vessel.around" and not stated):
        raise JobError(
            "this follows from the survey",
            field=name,
            value=said,
            allowed="vessel.around" if stated else "vessel.rounds",
            remedy="Change what the tape read.",
        )


def _try(pit: Pit, reason: Reason, edits: tuple[Edit, ...]) -> None:
    """Lay the pit out with the job's own figures, so that what follows from others is told apart.

    Raises JobError or LayoutError.
    """
    from pitwright.layout.pit import as_drawn

    if any(e["path"][0] != "override" for e in edits):
        return
    left = dict(pit.job.override)
    for edit in edits:
        left.pop(str(edit["path"][1]), None)
        if edit["value"] is not None:
            left[str(edit["path"][1])] = edit["value"]
    try:
        as_drawn(pit.job.model_copy(update={"override": left}))
    except JobError as problem:
        if problem.field == f"override.{reason.name}" and problem.message == "this figure follows from others":
            raise JobError(
                problem.message,
                field=reason.name,
                value=edits[0]["value"],
                allowed=", ".join(reason.rests_on) or "what it rests on",
                remedy="Set one of these instead.",
            ) from problem
        raise
