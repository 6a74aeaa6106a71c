"""Lettering and dimensions of a drawing.

Their points are in metres; heights of lettering and distances between dimension lines are in millimetres of paper,
so that they read the same at any scale.
"""

from __future__ import annotations

import math
from dataclasses import KW_ONLY, dataclass, replace
from typing import Literal

from pitwright.parts import Point2
from pitwright.sheets.shapes import Motion, Primitive, Role, polar

Anchor = Literal["left", "middle", "right"]
Seat = Literal["base", "middle", "top"]
Side = Literal["below", "above", "left", "right"]
SymbolKind = Literal["centre", "punch", "gravity", "datum", "target"]

LETTERING = 2.5
"""Usual height of figures and capitals [mm of paper]; ISO 3098 steps are 1.8, 2.5, 3.5, 5, 7, 10."""


_SIDES: dict[Side, tuple[Point2, Point2]] = {
    "below": ((1.0, 0.0), (0.0, -1.0)),
    "above": ((1.0, 0.0), (0.0, 1.0)),
    "left": ((0.0, 1.0), (-1.0, 0.0)),
    "right": ((0.0, 1.0), (1.0, 0.0)),
}
_OTHER_END: dict[Anchor, Anchor] = {"left": "right", "right": "left", "middle": "middle"}


def side_ways(side: Side) -> tuple[Point2, Point2]:
    """(along, out) of dimensions on one side of a view."""
    return _SIDES[side]


@dataclass(frozen=True, slots=True)
class Text(Primitive):
    """Lettering at a point. One line a piece; `height` of its capitals [mm of paper], `angle` of its base line [rad].

    plate: a white plate under it, so that lines behind do not run through it.
    """

    at: Point2
    text: str
    _: KW_ONLY
    height: float = LETTERING
    anchor: Anchor = "left"
    seat: Seat = "base"
    angle: float = 0.0
    bold: bool = False
    plate: bool = False
    role: Role = "dimension"

    def through(self, motion: Motion) -> Text:
        """The same text after a rigid motion; it never turns into mirror writing."""
        angle, anchor = motion.angle(self.angle), self.anchor
        if motion.flips:
            angle = math.remainder(angle + math.pi, 2.0 * math.pi)
            anchor = _OTHER_END[anchor]
        return replace(self, at=motion.point(self.at), angle=angle, anchor=anchor)

    def reach(self) -> tuple[Point2, ...]:
        """The point it sits at [m]."""
        return (self.at,)


@dataclass(frozen=True, slots=True)
class Dimension(Primitive):
    """The distance between two points, measured along one direction.

    along   unit direction measured; out: unit direction towards the dimension line, square to it
    base    a point on the line the dimension rows are counted from (usually the edge of the view)
    row     None lets the placing choose: short ones near, long ones outside, none over another
    gap     from the base line to the first row [mm of paper]

    Dimensions of one drawing with the same `along`, `out` and base line share their rows.
    """

    a: Point2
    b: Point2
    text: str
    _: KW_ONLY
    along: Point2
    out: Point2
    base: Point2
    height: float = LETTERING
    row: int | None = None
    gap: float = 8.0
    bold: bool = False

    def through(self, motion: Motion) -> Dimension:
        """The same dimension after a rigid motion."""
        return replace(
            self,
            a=motion.point(self.a),
            b=motion.point(self.b),
            along=motion.way(self.along),
            out=motion.way(self.out),
            base=motion.point(self.base),
        )

    def reach(self) -> tuple[Point2, ...]:
        """The two points measured [m]."""
        return (self.a, self.b)


@dataclass(frozen=True, slots=True)
class Stop(Primitive):
    """One stop of a running list: a point and the figure the tape shows there."""

    at: Point2
    text: str

    def through(self, motion: Motion) -> Stop:
        """The same stop after a rigid motion."""
        return replace(self, at=motion.point(self.at))

    def reach(self) -> tuple[Point2, ...]:
        """The point [m]."""
        return (self.at,)


@dataclass(frozen=True, slots=True)
class Running(Primitive):
    """Running dimensions: one pull of the tape from `datum`, a figure at each stop.

    along, out, base, gap as in `Dimension`. Figures that would touch are pushed apart and joined by a small jog.
    """

    datum: Point2
    stops: tuple[Stop, ...]
    _: KW_ONLY
    along: Point2
    out: Point2
    base: Point2
    gap: float = 8.0
    datum_text: str = "0"
    height: float = LETTERING

    def through(self, motion: Motion) -> Running:
        """The same list after a rigid motion."""
        return replace(
            self,
            datum=motion.point(self.datum),
            stops=tuple(s.through(motion) for s in self.stops),
            along=motion.way(self.along),
            out=motion.way(self.out),
            base=motion.point(self.base),
        )

    def reach(self) -> tuple[Point2, ...]:
        """The datum and every stop [m]."""
        return (self.datum, *(s.at for s in self.stops))


@dataclass(frozen=True, slots=True)
class AngleDimension(Primitive):
    """The angle at `vertex` from direction `start` through `sweep` [rad].

    The arc is drawn at `radius` [mm of paper], but not larger than `within` [m] (and never under 8 mm).
    """

    vertex: Point2
    start: float
    sweep: float
    text: str
    _: KW_ONLY
    radius: float = 14.0
    within: float = math.inf
    height: float = LETTERING

    def through(self, motion: Motion) -> AngleDimension:
        """The same angle after a rigid motion."""
        return replace(
            self,
            vertex=motion.point(self.vertex),
            start=motion.angle(self.start),
            sweep=-self.sweep if motion.flips else self.sweep,
        )

    def reach(self) -> tuple[Point2, ...]:
        """The vertex [m]."""
        return (self.vertex,)


@dataclass(frozen=True, slots=True)
class RoundDimension(Primitive):
    """Radius or diameter of a circle; the leader meets it at angle `at` [rad] and runs `reach_out` [mm] outside.

    across: a diameter, with a line right across the circle; otherwise a radius, from the centre when `from_centre`.
    """

    centre: Point2
    radius: float
    at: float
    text: str
    _: KW_ONLY
    across: bool = False
    from_centre: bool = False
    reach_out: float = 8.0
    height: float = LETTERING

    def through(self, motion: Motion) -> RoundDimension:
        """The same dimension after a rigid motion."""
        return replace(self, centre=motion.point(self.centre), at=motion.angle(self.at))

    def reach(self) -> tuple[Point2, ...]:
        """Where it meets the circle [m]."""
        return (polar(self.centre, self.radius, self.at),)


@dataclass(frozen=True, slots=True)
class Slope(Primitive):
    """A fall or lean shown as a small right triangle standing on the line at `at`, which runs at `angle` [rad]."""

    at: Point2
    angle: float
    text: str
    _: KW_ONLY
    length: float = 16.0
    height: float = LETTERING

    def through(self, motion: Motion) -> Slope:
        """The same slope after a rigid motion."""
        return replace(self, at=motion.point(self.at), angle=motion.angle(self.angle))

    def reach(self) -> tuple[Point2, ...]:
        """The point it stands on [m]."""
        return (self.at,)


@dataclass(frozen=True, slots=True)
class Symbol(Primitive):
    """A small sign of fixed size on paper [mm].

    centre   a cross            punch   a cross in a small circle
    target   a ring and cross   gravity a quartered disc, the centre of gravity
    datum    a solid triangle standing with its point on the datum, apex turned by `angle` [rad] from up
    """

    at: Point2
    kind: SymbolKind = "centre"
    _: KW_ONLY
    size: float = 3.0
    angle: float = 0.0
    role: Role = "mark"

    def through(self, motion: Motion) -> Symbol:
        """The same sign after a rigid motion."""
        return replace(self, at=motion.point(self.at), angle=motion.angle(self.angle))

    def reach(self) -> tuple[Point2, ...]:
        """The point it marks [m]."""
        return (self.at,)


@dataclass(frozen=True, slots=True)
class Callout(Primitive):
    """A note or a piece mark with a leader to `tip`.

    offset   where the lettering sits from the tip [mm of paper, x right, y up]; None lets the placing find a free spot
    toward   the direction it would like best [rad], when the placing chooses
    balloon  a piece mark in a round balloon
    dot      the leader ends in a dot on a surface, not in an arrow on an edge
    Lines of text are split at line ends.
    """

    tip: Point2
    text: str
    _: KW_ONLY
    offset: Point2 | None = None
    toward: float = math.pi / 4.0
    balloon: bool = False
    dot: bool = False
    bold: bool = False
    height: float = LETTERING

    def through(self, motion: Motion) -> Callout:
        """The same callout after a rigid motion."""
        offset = None if self.offset is None else motion.way(self.offset)
        return replace(self, tip=motion.point(self.tip), offset=offset, toward=motion.angle(self.toward))

    def reach(self) -> tuple[Point2, ...]:
        """The point it speaks of [m]."""
        return (self.tip,)
