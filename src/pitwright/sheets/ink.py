"""Ink: what stands on paper, in millimetres from the sheet's top left corner, x to the right and y down.

    Stroke   a line of one role      Patch   a filled area      Words   one line of lettering
    Clip     ink seen through a window

Line weights and dashes hang on roles here and nowhere else. Angles are as seen, turning left [rad].
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import KW_ONLY, dataclass, replace
from typing import TypeAlias

from pitwright.parts import Outline, Point2, arc_of
from pitwright.sheets import lettering
from pitwright.sheets.lettered import Anchor, Seat
from pitwright.sheets.shapes import Role

Box: TypeAlias = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Style:
    """How a role is drawn: line weight [mm], dash pattern [mm], grey (0 white to 1 black)."""

    weight: float
    dash: tuple[float, ...] = ()
    tone: float = 1.0


STYLES: dict[Role, Style] = {
    "outline": Style(0.5),
    "hidden": Style(0.25, (2.6, 1.2)),
    "centre": Style(0.18, (9.0, 1.4, 1.6, 1.4)),
    "thin": Style(0.18),
    "cut": Style(0.7),
    "mark": Style(0.35),
    "bend": Style(0.35, (7.0, 1.3, 1.3, 1.3, 1.3, 1.3)),
    "dimension": Style(0.18),
    "ground": Style(0.7),
    "ghost": Style(0.25, (5.0, 1.4, 1.0, 1.4), 0.7),
    "accent": Style(0.9),
    "wrong": Style(0.9, (1.6, 1.0)),
    "fill": Style(0.0),
}


@dataclass(frozen=True, slots=True)
class Path:
    """A run of straight and round pieces on paper; bulges as in a drawing but for y down (so of opposite sign)."""

    points: tuple[Point2, ...]
    bulges: tuple[float, ...] = ()
    closed: bool = False

    def edges(self) -> Iterator[tuple[Point2, Point2, float]]:
        """(from, to, bulge) of each piece."""
        n = len(self.points)
        for i in range(n if self.closed else n - 1):
            yield self.points[i], self.points[(i + 1) % n], self.bulges[i] if self.bulges else 0.0

    def shifted(self, dx: float, dy: float) -> Path:
        """The same path elsewhere [mm]."""
        return replace(self, points=tuple((x + dx, y + dy) for x, y in self.points))

    def corners(self) -> Iterator[Point2]:
        """Points whose bounds are the path's bounds [mm]."""
        yield from self.points
        if self.bulges:
            for p, q, bulge in self.edges():
                if bulge:
                    yield from _arc_reach(p, q, bulge)

    def chords(self, step: float = 3.0) -> Iterator[tuple[Point2, Point2]]:
        """Straight pieces that follow the path, arcs in chords about `step` long [mm]."""
        for p, q, bulge in self.edges():
            if not bulge:
                yield p, q
                continue
            centre, radius, start, sweep = arc_of(p, q, bulge)
            n = max(2, math.ceil(radius * abs(sweep) / step))
            before = p
            for i in range(1, n + 1):
                a = start + sweep * i / n
                here = (centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a))
                yield before, here
                before = here


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line on paper."""

    path: Path
    role: Role = "thin"
    _: KW_ONLY
    about: str = ""
    title: str = ""
    layer: str = ""

    def shifted(self, dx: float, dy: float) -> Stroke:
        """The same stroke elsewhere [mm]."""
        return replace(self, path=self.path.shifted(dx, dy))


@dataclass(frozen=True, slots=True)
class Patch:
    """A filled area, holes (inner paths) left white. tone: 0 white to 1 black."""

    paths: tuple[Path, ...]
    tone: float = 1.0
    role: Role = "fill"
    _: KW_ONLY
    about: str = ""
    title: str = ""
    layer: str = ""

    def shifted(self, dx: float, dy: float) -> Patch:
        """The same patch elsewhere [mm]."""
        return replace(self, paths=tuple(p.shifted(dx, dy) for p in self.paths))


@dataclass(frozen=True, slots=True)
class Words:
    """One line of lettering, `at` on its base line. tone: 0 white to 1 black.

    loose: not counted where clashes are looked for (a watermark, which belongs to the sheet and not to the work).
    """

    at: Point2
    text: str
    height: float
    _: KW_ONLY
    anchor: Anchor = "left"
    angle: float = 0.0
    bold: bool = False
    plate: bool = False
    tone: float = 1.0
    loose: bool = False
    role: Role = "dimension"
    about: str = ""
    title: str = ""
    layer: str = ""

    @property
    def width(self) -> float:
        """Width of the line [mm]."""
        return lettering.width(self.text, self.height, self.bold)

    def shifted(self, dx: float, dy: float) -> Words:
        """The same words elsewhere [mm]."""
        return replace(self, at=(self.at[0] + dx, self.at[1] + dy))

    def corners(self, pad: float = 0.0) -> tuple[Point2, Point2, Point2, Point2]:
        """The four corners of the lettering's box, tails included, `pad` [mm] larger all round."""
        wide = self.width
        x0 = {"left": 0.0, "middle": -wide / 2.0, "right": -wide}[self.anchor] - pad
        x1 = x0 + wide + 2.0 * pad
        y0, y1 = -self.height - pad, lettering.hang(self.text, self.height) + pad
        c, s = math.cos(self.angle), math.sin(self.angle)
        ax, ay = self.at
        return (
            (ax + x0 * c + y0 * s, ay - x0 * s + y0 * c),
            (ax + x1 * c + y0 * s, ay - x1 * s + y0 * c),
            (ax + x1 * c + y1 * s, ay - x1 * s + y1 * c),
            (ax + x0 * c + y1 * s, ay - x0 * s + y1 * c),
        )


@dataclass(frozen=True, slots=True)
class Clip:
    """Ink seen through a window (x0, y0, x1, y1) [mm]."""

    window: Box
    ink: tuple[Ink, ...]

    def shifted(self, dx: float, dy: float) -> Clip:
        """The same window and ink elsewhere [mm]."""
        x0, y0, x1, y1 = self.window
        return Clip((x0 + dx, y0 + dy, x1 + dx, y1 + dy), shifted(self.ink, dx, dy))


Ink = Stroke | Patch | Words | Clip


def shifted(ink: Iterable[Ink], dx: float, dy: float) -> tuple[Ink, ...]:
    """The same ink elsewhere [mm]."""
    return tuple(i.shifted(dx, dy) for i in ink)


def seated(at: Point2, height: float, seat: Seat, angle: float = 0.0) -> Point2:
    """The base-line point of lettering whose base, middle or top is to stand at a point [mm]."""
    drop = {"base": 0.0, "middle": height / 2.0, "top": height}[seat]
    return (at[0] + drop * math.sin(angle), at[1] + drop * math.cos(angle))


def extent(ink: Iterable[Ink]) -> Box:
    """(x0, y0, x1, y1) of ink, lettering included [mm]; zeros where there is none."""
    xs: list[float] = []
    ys: list[float] = []
    for item in ink:
        for x, y in _corners(item):
            xs.append(x)
            ys.append(y)
    return (min(xs), min(ys), max(xs), max(ys)) if xs else (0.0, 0.0, 0.0, 0.0)


def line(a: Point2, b: Point2, role: Role = "thin") -> Stroke:
    """A straight stroke [mm]."""
    return Stroke(Path((a, b)), role)


def rectangle(box: Box, role: Role = "thin") -> Stroke:
    """The edge of a box [mm]."""
    x0, y0, x1, y1 = box
    return Stroke(Path(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), closed=True), role)


def block(box: Box, tone: float = 1.0) -> Patch:
    """A filled box [mm]."""
    x0, y0, x1, y1 = box
    return Patch((Path(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), closed=True),), tone)


def disc(centre: Point2, radius: float) -> Path:
    """A circle as a path [mm]."""
    x, y = centre
    return Path(((x - radius, y), (x + radius, y)), (1.0, 1.0), closed=True)


@dataclass(frozen=True, slots=True)
class Scale:
    """How a drawing's metres become millimetres of paper: size on paper over true size, and where (0, 0) stands."""

    ratio: float
    origin: Point2 = (0.0, 0.0)

    @property
    def factor(self) -> float:
        """Millimetres of paper for one metre."""
        return 1000.0 * self.ratio

    def point(self, p: Point2) -> Point2:
        """A point on paper [mm]."""
        return (self.origin[0] + p[0] * self.factor, self.origin[1] - p[1] * self.factor)

    def way(self, v: Point2) -> Point2:
        """A direction on paper."""
        return (v[0], -v[1])

    def path(self, outline: Outline) -> Path:
        """The edge of an outline on paper [mm]."""
        return Path(tuple(self.point(p) for p in outline.points), tuple(-b for b in outline.bulges), closed=True)


def _corners(item: Ink) -> Iterator[Point2]:
    match item:
        case Stroke():
            yield from item.path.corners()
        case Patch():
            for path in item.paths:
                yield from path.corners()
        case Words():
            yield from item.corners()
        case Clip():
            x0, y0, x1, y1 = item.window
            yield (x0, y0)
            yield (x1, y1)


def _arc_reach(p: Point2, q: Point2, bulge: float) -> Iterator[Point2]:
    centre, radius, start, sweep = arc_of(p, q, bulge)
    low, high = min(start, start + sweep), max(start, start + sweep)
    quarter = math.pi / 2.0
    for k in range(math.ceil(low / quarter), math.floor(high / quarter) + 1):
        a = k * quarter
        yield (centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a))
