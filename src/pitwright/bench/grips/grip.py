"""A grip: one thing on the drawings that a hand can take, the figure it stands for, and what it snaps to.

A drag is read against the place where the grip stands, so that taking a thing and letting go of it changes nothing.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal

from pitwright.bench.documents import Edit
from pitwright.bench.drawings import View
from pitwright.bench.keep import Keep
from pitwright.errors import JobError, PitwrightError
from pitwright.layout.model import Pit
from pitwright.parts import Point2
from pitwright.tape import INCH, MILLIMETRE, Tape

Moves = Literal["along", "across", "both", "arc"]
Measure = Literal["length", "angle"]
SNAP: Final = 0.5 * INCH  # how near something has to come to snap [m of tape]
_STILL: Final = 1e-9
_PROBE: Final = 1e-4  # how far a view is felt at to see which way a grip moves [m]
_FINER: Final = (32, 64, 128)
_KEPT: Final = 32


@dataclass(frozen=True, slots=True, kw_only=True)
class Snap:
    """A value that draws a grip to itself.

    value  of the figure [SI]
    words  what it is, in the shop's words
    edits  what sets it, where that is something else than writing the value down
    """

    value: float
    words: str
    edits: tuple[Edit, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruled:
    """The shop's own answer, asked for only when a hand comes near: snapping to it takes the job's lines out.

    names   the lines that would be taken out; figure: the figure the answer is read from
    """

    pit: Pit
    names: tuple[str, ...]
    figure: str

    def found(self) -> Snap | None:
        """The answer; None where the shop's rule allows no pit."""
        make = functools.partial(_asked, self.pit, self.names, self.figure)
        return _ruled.made(self.pit, make, (*self.names, self.figure))


@dataclass(frozen=True, slots=True, kw_only=True)
class Dragged:
    """What a drag asks for: changes of the document (none where nothing moved), and what it snapped to."""

    edits: tuple[Edit, ...]
    snapped: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Grip:
    """One thing that can be dragged.

    id, label  stable name, and what it is in the shop's words
    name       figure it shows, empty where the ledger has none
    places     where it stands on each view that shows it [m]
    value      the figure now [m or rad]
    read       the figure a place on a view stands for, but for a constant
    edits      the changes that set the figure
    arm        metres of tape to a unit of the figure: the radius for an angle on the skin
    zero, way  a tape reads way x (figure - zero) x arm; for figures a tape pulls from the other end
    step       finest step of the figure, where that is not a step of the tape
    far        the big step of the keyboard, where that is not an inch or 10 mm
    snaps      what it is drawn to
    low, high  what it is held between
    text       the figure as the shop reads it, where that is not the plain figure
    fixed      why it cannot be moved; empty where it can
    arc        it goes round
    """

    id: str
    label: str
    name: str
    places: Mapping[View, Point2]
    value: float
    read: Callable[[View, float, float], float]
    edits: Callable[[float], tuple[Edit, ...]]
    measure: Measure = "length"
    arm: float = 1.0
    zero: float = 0.0
    way: float = 1.0
    step: float = 0.0
    far: float = 0.0
    snaps: tuple[Snap | Ruled, ...] = ()
    low: float = -math.inf
    high: float = math.inf
    text: str = ""
    fixed: str = ""
    arc: bool = False

    def at(self, view: View, u: float, v: float) -> float:
        """The figure for a place of the pointer on a view [SI]."""
        return self.value + self.read(view, u, v) - self.read(view, *self.places[view])

    def least(self, tape: Tape) -> float:
        """The finest step of the figure [SI]."""
        return self.step or tape.step / self.arm

    def great(self, tape: Tape) -> float:
        """The big step of the keyboard [SI]."""
        if self.far:
            return self.far
        return max((INCH if tape.inch else 10.0 * MILLIMETRE) / self.arm, self.step)

    def on_tape(self, value: float, tape: Tape) -> float:
        """The nearest mark of the tape (or step) [SI]."""
        step = self.least(tape)
        reads = self.way * (value - self.zero)
        return self.zero + self.way * math.floor(reads / step + 0.5 + 1e-9) * step

    def taken_to(self, view: View, u: float, v: float, tape: Tape, *, free: bool) -> Dragged:
        """The changes a drag to a place asks for.

        Raises JobError where it is fixed.
        """
        self.refuse()
        return self.set_to(self.at(view, u, v), tape, free=free)

    def set_to(self, wanted: float, tape: Tape, *, free: bool) -> Dragged:
        """The changes that bring the figure to a value: snapped, else to the nearest mark of the tape."""
        wanted = min(max(wanted, self.low), self.high)
        half = 0.5 * self.least(tape)
        if abs(wanted - self.value) < half:
            return Dragged(edits=())
        if not free:
            drawn = (s.found() if isinstance(s, Ruled) else s for s in self.snaps)
            near = [s for s in drawn if s is not None and abs(s.value - wanted) * self.arm <= SNAP]
            if near:
                best = min(near, key=lambda s: abs(s.value - wanted))
                if abs(best.value - self.value) < _STILL and best.edits is None:
                    return Dragged(edits=(), snapped=best.words)
                return Dragged(edits=self.edits(best.value) if best.edits is None else best.edits, snapped=best.words)
        return Dragged(edits=self.edits(self.on_tape(wanted, tape)))

    def refuse(self) -> None:
        """Say why it cannot be moved.

        Raises JobError where it cannot.
        """
        if self.fixed:
            raise JobError(
                self.fixed,
                field=self.name or self.id,
                allowed="what it is now",
                remedy="Type what you measured, or set the piece open again.",
            )

    def slope(self, view: View) -> Point2:
        """How the figure changes to the right and up on a view [SI per m]."""
        u, v = self.places[view]
        du = self.read(view, u + _PROBE, v) - self.read(view, u - _PROBE, v)
        dv = self.read(view, u, v + _PROBE) - self.read(view, u, v - _PROBE)
        return du / (2.0 * _PROBE), dv / (2.0 * _PROBE)

    def moves(self, view: View) -> Moves:
        """Which way it goes on a view: along (left and right), across (up and down), or round."""
        if self.arc:
            return "arc"
        du, dv = (abs(s) for s in self.slope(view))
        if min(du, dv) > 0.2 * max(du, dv):
            return "both"
        return "along" if du >= dv else "across"

    def place_for(self, view: View, value: float) -> Point2:
        """A place of the pointer that stands for a value of the figure [m]."""
        u, v = self.places[view]
        for _ in range(12):
            du = (self.read(view, u + _PROBE, v) - self.read(view, u - _PROBE, v)) / (2.0 * _PROBE)
            dv = (self.read(view, u, v + _PROBE) - self.read(view, u, v - _PROBE)) / (2.0 * _PROBE)
            steep = du * du + dv * dv
            miss = value - self.at(view, u, v)
            if steep < 1e-12 or abs(miss) < 1e-10:
                break
            u, v = u + miss * du / steep, v + miss * dv / steep
        return u, v


# ---------------------------------------------------------------- edits and their texts


def put(*path: str | int, value: Any) -> Edit:
    """One change: the line at a path gets a value; None takes it out."""
    return {"path": list(path), "value": value}


def length_text(tape: Tape, x: float) -> str:
    """A length as it is written into a job: a mark of the tape where it is one, else as fine as it takes."""
    if tape.inch:
        for parts in (round(INCH / tape.step), *_FINER):
            step = INCH / parts
            if abs(tape.left_over(x, step)) < 1e-8:
                return tape.length(x, step)
        return f"{x / INCH:.5f}".rstrip("0").rstrip(".") + " in"
    return f"{x / MILLIMETRE:.4f}".rstrip("0").rstrip(".") + " mm"


def angle_text(x: float) -> str:
    """An angle as it is written into a job, in degrees."""
    text = f"{math.degrees(x):.5f}".rstrip("0").rstrip(".")
    return ("0" if text == "-0" else text) + " deg"


def written(tape: Tape, value: float, measure: Measure) -> str:
    """A value as it is written into a job."""
    return angle_text(value) if measure == "angle" else length_text(tape, value)


def overrides(pit: Pit, names: Iterable[str], measure: Measure) -> Callable[[float], tuple[Edit, ...]]:
    """Changes that set some figures of the shop's free choice to one value."""
    names, tape = tuple(names), pit.tape
    return lambda value: tuple(e for n in names for e in override(pit, n, written(tape, value, measure)))


def override(pit: Pit, name: str, text: Any) -> tuple[Edit, ...]:
    """The changes that set one free figure; what it rules out is taken out.

    text  as typed; None takes the line out, and the shop's rule stands again
    """
    out = [put("override", name, value=text)] if text is not None or name in pit.job.override else []
    if text is not None:
        out += [put("override", other, value=None) for other in _rivals(name) if other in pit.job.override]
    return tuple(out)


_WAYS = ("inboard", "contact", "lean", "length")


def _rivals(name: str) -> tuple[str, ...]:
    """Figures that cannot be set beside this one: other ways to say the same thing."""
    head, _, last = name.rpartition(".")
    if not head.startswith("legs."):
        return ()
    if last in _WAYS:
        return tuple(f"{head}.{way}" for way in _WAYS if way != last)
    if last in ("half_spread", "set_in"):
        return (f"{head}.{'set_in' if last == 'half_spread' else 'half_spread'}",)
    return ()


# ---------------------------------------------------------------- what the shop's rule says

_ruled: Keep[Snap | None] = Keep(_KEPT)


def by_rule(pit: Pit, names: Sequence[str], figure: str = "") -> tuple[Ruled, ...]:
    """The shop's own answer as a snap, where the job sets a figure itself.

    names   the lines that would be taken out; figure: the figure it is read from, the first of them where not given
    """
    if not any(n in pit.job.override for n in names):
        return ()
    return (Ruled(pit=pit, names=tuple(names), figure=figure or names[0]),)


def _asked(pit: Pit, names: Sequence[str], figure: str) -> Snap | None:
    from pitwright.layout.pit import solve

    left = {k: v for k, v in pit.job.override.items() if k not in names}
    try:
        ruled = solve(pit.job.model_copy(update={"override": left}).with_burns(pit.job.burns))
    except PitwrightError:
        return None
    reason = ruled.reasons.get(figure)
    if reason is None or isinstance(reason.value, str):
        return None
    out = tuple(put("override", n, value=None) for n in names if n in pit.job.override)
    return Snap(value=float(reason.value), words=f"the shop's rule: {reason.because}", edits=out)


# ---------------------------------------------------------------- places


def x_of(pit: Pit, u: float) -> float:
    """Along the pit, from the side view, the plan or the wrap map [m]."""
    return -pit.vessel.hand * u


def y_of(pit: Pit, view: View, u: float, v: float) -> float:
    """Across the pit, from an end view or the plan [m]."""
    if view == "plan":
        return -v
    return pit.vessel.hand * u * (1.0 if view == "stack end" else -1.0)


def clock_of(pit: Pit, view: View, u: float, v: float) -> float:
    """Clock of a place round the vessel, from an end view or the wrap map [rad]."""
    if view == "wrap map":
        return -v / pit.vessel.outer_radius
    if view == "side":
        up = (v - pit.vessel.centre_z) / pit.vessel.outer_radius
        return math.acos(min(max(up, -1.0), 1.0))
    return math.atan2(y_of(pit, view, u, v), v - pit.vessel.centre_z)


def figure(pit: Pit, name: str) -> float:
    """A number of the pit."""
    return float(pit.reasons[name].value)


def state_of(pit: Pit, *marks: str, groups: Iterable[str] = ()) -> str:
    """Why pieces cannot move: the first that is cut, tacked or welded; empty where all are open."""
    groups = tuple(groups)
    for part in pit.parts:
        if (part.mark in marks or part.group in groups) and part.state != "open":
            return f"{part.name} ({part.mark}) is {part.state}: it stays as it is"
    return ""


def shares(length: float, words: str, parts: int = 4) -> tuple[Snap, ...]:
    """Halves and quarters of a length."""
    out = []
    for i in range(1, parts):
        common = math.gcd(i, parts)
        out.append(Snap(value=length * i / parts, words=f"{i // common}/{parts // common} of the {words}"))
    return tuple(out)
