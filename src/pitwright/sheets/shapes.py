"""Shapes of a drawing: lines, arcs, tones and hatching in metres, and the rigid motions that carry them about.

A *role* says what a line is (outline, hidden, cut ...); weight, dash and colour follow from it, never the reverse.
"""

from __future__ import annotations

import math
from dataclasses import KW_ONLY, dataclass, replace
from typing import Literal

from pitwright.parts import Outline, Point2, arc_of

Role = Literal[
    "outline",  # an edge that is seen
    "hidden",  # an edge behind something
    "centre",  # centre line
    "thin",  # hatching, table rules, light helping lines
    "cut",  # where steel is cut
    "mark",  # where a line is struck or a point punched
    "bend",  # where plate is bent
    "dimension",  # dimension lines and all lettering
    "ground",  # floor, table edge
    "ghost",  # the old or the moving position
    "accent",  # what the sheet is about
    "wrong",  # what must not stay so
    "fill",  # no line at all: a grey tone
]
ROLES: tuple[Role, ...] = (
    "outline",
    "hidden",
    "centre",
    "thin",
    "cut",
    "mark",
    "bend",
    "dimension",
    "ground",
    "ghost",
    "accent",
    "wrong",
    "fill",
)


# ---------------------------------------------------------------- motion


@dataclass(frozen=True, slots=True)
class Motion:
    """A rigid motion of the plane, turning and mirroring included: p -> (a x + c y + dx, b x + d y + dy)."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    dx: float = 0.0
    dy: float = 0.0

    @staticmethod
    def move(dx: float, dy: float) -> Motion:
        """A plain shift [m]."""
        return Motion(dx=dx, dy=dy)

    @staticmethod
    def turn(angle: float, about: Point2 = (0.0, 0.0)) -> Motion:
        """A turn to the left [rad] about a point."""
        c, s = math.cos(angle), math.sin(angle)
        x, y = about
        return Motion(c, s, -s, c, x - c * x + s * y, y - s * x - c * y)

    @staticmethod
    def mirror(point: Point2 = (0.0, 0.0), direction: Point2 = (0.0, 1.0)) -> Motion:
        """A reflection in the line through `point` along `direction`."""
        n = math.hypot(*direction)
        u, v = direction[0] / n, direction[1] / n
        a, b, d = u * u - v * v, 2.0 * u * v, v * v - u * u
        x, y = point
        return Motion(a, b, b, d, x - a * x - b * y, y - b * x - d * y)

    @property
    def flips(self) -> bool:
        """Whether left becomes right."""
        return self.a * self.d - self.b * self.c < 0.0

    def point(self, p: Point2) -> Point2:
        """Where a point goes."""
        return (self.a * p[0] + self.c * p[1] + self.dx, self.b * p[0] + self.d * p[1] + self.dy)

    def way(self, v: Point2) -> Point2:
        """Where a direction goes."""
        return (self.a * v[0] + self.c * v[1], self.b * v[0] + self.d * v[1])

    def angle(self, angle: float) -> float:
        """Where a direction given as an angle goes [rad]."""
        x, y = self.way((math.cos(angle), math.sin(angle)))
        return math.atan2(y, x)

    def outline(self, outline: Outline) -> Outline:
        """Where an outline goes; holes go with it."""
        sign = -1.0 if self.flips else 1.0
        return Outline(
            tuple(self.point(p) for p in outline.points),
            tuple(sign * b for b in outline.bulges),
            tuple(self.outline(h) for h in outline.holes),
        )


# ---------------------------------------------------------------- primitives: shape


@dataclass(frozen=True, slots=True)
class Primitive:
    """What every drawn thing carries.

    about   dotted name of the figure it shows, empty where it shows none
    title   one line a person reads when pointing at it on the screen
    layer   layer of the cut file, in plain words; empty takes the role's own (see `layer_of`)
    """

    _: KW_ONLY
    about: str = ""
    title: str = ""
    layer: str = ""

    def through(self, motion: Motion) -> Primitive:
        """The same thing after a rigid motion."""
        raise NotImplementedError

    def reach(self) -> tuple[Point2, ...]:
        """Points whose bounds are the bounds of the shape [m]; lettering not counted."""
        raise NotImplementedError


@dataclass(frozen=True, slots=True)
class Line(Primitive):
    """A straight line from `a` to `b` [m]."""

    a: Point2
    b: Point2
    _: KW_ONLY
    role: Role = "outline"

    def through(self, motion: Motion) -> Line:
        """The same line after a rigid motion."""
        return replace(self, a=motion.point(self.a), b=motion.point(self.b))

    def reach(self) -> tuple[Point2, ...]:
        """Its two ends [m]."""
        return (self.a, self.b)


@dataclass(frozen=True, slots=True)
class Polyline(Primitive):
    """A run of straight and round pieces.

    bulges: one for each piece (tan of a quarter of the included angle, positive turning left), empty for all straight.
    """

    points: tuple[Point2, ...]
    bulges: tuple[float, ...] = ()
    _: KW_ONLY
    closed: bool = False
    role: Role = "outline"

    def edges(self) -> tuple[tuple[Point2, Point2, float], ...]:
        """(from, to, bulge) of each piece."""
        n = len(self.points)
        count = n if self.closed else n - 1
        bulges = self.bulges or (0.0,) * count
        return tuple((self.points[i], self.points[(i + 1) % n], bulges[i]) for i in range(count))

    def through(self, motion: Motion) -> Polyline:
        """The same run after a rigid motion."""
        sign = -1.0 if motion.flips else 1.0
        return replace(
            self,
            points=tuple(motion.point(p) for p in self.points),
            bulges=tuple(sign * b for b in self.bulges),
        )

    def reach(self) -> tuple[Point2, ...]:
        """Its points and the outermost points of its arcs [m]."""
        out = list(self.points)
        for p, q, bulge in self.edges():
            if bulge:
                centre, radius, start, sweep = arc_of(p, q, bulge)
                out.extend(_quadrants(centre, radius, start, sweep))
        return tuple(out)


@dataclass(frozen=True, slots=True)
class Arc(Primitive):
    """Part of a circle: from angle `start`, turning left through `sweep` (negative: right) [m, rad]."""

    centre: Point2
    radius: float
    start: float
    sweep: float
    _: KW_ONLY
    role: Role = "outline"

    def at(self, angle: float) -> Point2:
        """The point of the circle at an angle [m]."""
        return polar(self.centre, self.radius, angle)

    def through(self, motion: Motion) -> Arc:
        """The same arc after a rigid motion."""
        return replace(
            self,
            centre=motion.point(self.centre),
            start=motion.angle(self.start),
            sweep=-self.sweep if motion.flips else self.sweep,
        )

    def reach(self) -> tuple[Point2, ...]:
        """Its ends and outermost points [m]."""
        ends = (self.at(self.start), self.at(self.start + self.sweep))
        return ends + _quadrants(self.centre, self.radius, self.start, self.sweep)


@dataclass(frozen=True, slots=True)
class Circle(Primitive):
    """A full circle [m]."""

    centre: Point2
    radius: float
    _: KW_ONLY
    role: Role = "outline"

    def through(self, motion: Motion) -> Circle:
        """The same circle after a rigid motion."""
        return replace(self, centre=motion.point(self.centre))

    def reach(self) -> tuple[Point2, ...]:
        """Its outermost points [m]."""
        (x, y), r = self.centre, self.radius
        return ((x - r, y), (x + r, y), (x, y - r), (x, y + r))


@dataclass(frozen=True, slots=True)
class Fill(Primitive):
    """A grey tone inside an outline, holes left white. tone: 0 white to 1 black."""

    outline: Outline
    _: KW_ONLY
    tone: float = 0.12

    def through(self, motion: Motion) -> Fill:
        """The same tone after a rigid motion."""
        return replace(self, outline=motion.outline(self.outline))

    def reach(self) -> tuple[Point2, ...]:
        """Corners of its bounds [m]."""
        x0, y0, x1, y1 = self.outline.bounds()
        return ((x0, y0), (x1, y1))


@dataclass(frozen=True, slots=True)
class Hatch(Primitive):
    """Cut steel: slanting thin lines inside an outline. pitch [mm of paper], slant [rad]."""

    outline: Outline
    _: KW_ONLY
    pitch: float = 1.6
    slant: float = math.pi / 4.0
    role: Role = "thin"

    def through(self, motion: Motion) -> Hatch:
        """The same hatching after a rigid motion."""
        return replace(self, outline=motion.outline(self.outline), slant=motion.angle(self.slant))

    def reach(self) -> tuple[Point2, ...]:
        """Corners of its bounds [m]."""
        x0, y0, x1, y1 = self.outline.bounds()
        return ((x0, y0), (x1, y1))


def polar(centre: Point2, radius: float, angle: float) -> Point2:
    """The point at a distance and an angle from another [m, rad]."""
    return (centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle))


def _quadrants(centre: Point2, radius: float, start: float, sweep: float) -> tuple[Point2, ...]:
    low, high = min(start, start + sweep), max(start, start + sweep)
    quarter = math.pi / 2.0
    first, last = math.ceil(low / quarter), math.floor(high / quarter)
    return tuple(polar(centre, radius, k * quarter) for k in range(first, last + 1))
