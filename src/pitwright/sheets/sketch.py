"""The pad a drawing is made on.

sketch = Sketch(length=tape_text, angle=angle_text)
sketch.circle((0.0, 0.0), 0.38)
sketch.dim((-0.38, 0.0), (0.38, 0.0), "below")
drawing = sketch.drawing()
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from typing import TypedDict, Unpack

from pitwright.parts import Outline, Point2
from pitwright.sheets.drawing import Drawing, bounds_of
from pitwright.sheets.lettered import (
    LETTERING,
    Anchor,
    AngleDimension,
    Callout,
    Dimension,
    RoundDimension,
    Running,
    Seat,
    Side,
    Slope,
    Stop,
    Symbol,
    SymbolKind,
    Text,
    side_ways,
)
from pitwright.sheets.shapes import Arc, Circle, Fill, Hatch, Line, Polyline, Primitive, Role

Formatter = Callable[[float], str]


class Tags(TypedDict, total=False):
    """Tags any sketch call takes: `about`, `title`, `layer` (see `Primitive`)."""

    about: str
    title: str
    layer: str


class Sketch:
    """The pad a drawing is made on.

    length     writes a length [m] as the shop's tape reads it; used where a dimension is given no text
    angle      writes an angle [rad]; used where an angle is given no text
    lettering  height of figures and capitals [mm of paper]

    Every call takes `about`, `title` and `layer`; inside `with sketch.about(name):` they are given to all.
    Dimensions without a `base` stand outside everything drawn so far when `drawing()` is called.
    """

    def __init__(
        self, *, length: Formatter | None = None, angle: Formatter | None = None, lettering: float = LETTERING
    ):
        self._length = length
        self._angle = angle
        self._lettering = lettering
        self._drawn: list[Primitive] = []
        self._unbased: set[int] = set()
        self._tags: Tags = {}

    # ------------------------------------------------ shapes

    def line(self, a: Point2, b: Point2, role: Role = "outline", **tags: Unpack[Tags]) -> None:
        """A straight line [m]."""
        self._put(Line(a, b, role=role), tags)

    def lines(
        self,
        points: Sequence[Point2],
        role: Role = "outline",
        *,
        bulges: Sequence[float] = (),
        closed: bool = False,
        **tags: Unpack[Tags],
    ) -> None:
        """A run of straight (or, with bulges, round) pieces through points [m]."""
        self._put(Polyline(tuple(points), tuple(bulges), closed=closed, role=role), tags)

    def outline(self, outline: Outline, role: Role = "outline", **tags: Unpack[Tags]) -> None:
        """The edge of an outline and of its holes; a full circle stays a circle."""
        circle = _as_circle(outline)
        if circle:
            self._put(Circle(*circle, role=role), tags)
        else:
            self._put(Polyline(outline.points, outline.bulges, closed=True, role=role), tags)
        for hole in outline.holes:
            self.outline(hole, role, **tags)

    def rectangle(
        self, x0: float, y0: float, x1: float, y1: float, role: Role = "outline", **tags: Unpack[Tags]
    ) -> None:
        """An upright rectangle [m]."""
        self.lines(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), role, closed=True, **tags)

    def circle(self, centre: Point2, radius: float, role: Role = "outline", **tags: Unpack[Tags]) -> None:
        """A full circle [m]."""
        self._put(Circle(centre, radius, role=role), tags)

    def arc(
        self,
        centre: Point2,
        radius: float,
        start: float,
        sweep: float,
        role: Role = "outline",
        **tags: Unpack[Tags],
    ) -> None:
        """Part of a circle, turning left from `start` through `sweep` [m, rad]."""
        self._put(Arc(centre, radius, start, sweep, role=role), tags)

    def fill(self, outline: Outline, tone: float = 0.12, **tags: Unpack[Tags]) -> None:
        """A grey tone, 0 white to 1 black. Draw it before the lines that lie on it."""
        self._put(Fill(outline, tone=tone), tags)

    def hatch(
        self, outline: Outline, *, pitch: float = 1.6, slant: float = math.pi / 4.0, **tags: Unpack[Tags]
    ) -> None:
        """Cut steel: slanting thin lines, `pitch` [mm of paper] apart."""
        self._put(Hatch(outline, pitch=pitch, slant=slant), tags)

    def symbol(
        self,
        at: Point2,
        kind: SymbolKind = "centre",
        *,
        size: float = 3.0,
        role: Role = "mark",
        **tags: Unpack[Tags],
    ) -> None:
        """A small sign of fixed size on paper [mm]."""
        self._put(Symbol(at, kind, size=size, role=role), tags)

    def centre_lines(self, centre: Point2, radius: float, *, over: float = 0.12, **tags: Unpack[Tags]) -> None:
        """A cross of centre lines through a circle, standing out by `over` of the radius."""
        (x, y), r = centre, radius * (1.0 + over)
        self.line((x - r, y), (x + r, y), "centre", **tags)
        self.line((x, y - r), (x, y + r), "centre", **tags)

    def add(self, drawing: Drawing) -> None:
        """Everything of another drawing, where it stands."""
        self._drawn.extend(drawing.primitives)

    # ------------------------------------------------ lettering

    def text(
        self,
        at: Point2,
        text: str,
        *,
        height: float | None = None,
        anchor: Anchor = "left",
        seat: Seat = "base",
        angle: float = 0.0,
        bold: bool = False,
        plate: bool = False,
        role: Role = "dimension",
        **tags: Unpack[Tags],
    ) -> None:
        """One line of lettering at a point [m]; height [mm of paper], angle [rad]."""
        self._put(
            Text(
                at,
                text,
                height=height or self._lettering,
                anchor=anchor,
                seat=seat,
                angle=angle,
                bold=bold,
                plate=plate,
                role=role,
            ),
            tags,
        )

    def callout(
        self,
        tip: Point2,
        text: str,
        *,
        toward: float = math.pi / 4.0,
        offset: Point2 | None = None,
        dot: bool = False,
        bold: bool = False,
        height: float | None = None,
        **tags: Unpack[Tags],
    ) -> None:
        """A note with a leader to `tip`; without `offset` [mm of paper] it finds a free spot, best `toward` [rad]."""
        self._put(
            Callout(tip, text, toward=toward, offset=offset, dot=dot, bold=bold, height=height or self._lettering),
            tags,
        )

    def balloon(
        self,
        tip: Point2,
        mark: str,
        *,
        toward: float = math.pi / 4.0,
        offset: Point2 | None = None,
        dot: bool = True,
        height: float | None = None,
        **tags: Unpack[Tags],
    ) -> None:
        """A piece mark in a balloon, placed like a callout."""
        self._put(
            Callout(
                tip,
                mark,
                toward=toward,
                offset=offset,
                dot=dot,
                balloon=True,
                bold=True,
                height=height or self._lettering,
            ),
            tags,
        )

    # ------------------------------------------------ dimensions

    def dim(
        self,
        a: Point2,
        b: Point2,
        side: Side,
        text: str = "",
        *,
        base: float | None = None,
        row: int | None = None,
        gap: float = 8.0,
        bold: bool = False,
        **tags: Unpack[Tags],
    ) -> None:
        """The level or upright distance between two points, on one side of the view.

        base  where rows are counted from [m]: y for below and above, x for left and right; None: edge of the drawing
        row   0 nearest; None lets the placing stack it so that nothing overlaps
        gap   from base to the first row [mm of paper]
        """
        along, out = side_ways(side)
        span = abs((b[0] - a[0]) * along[0] + (b[1] - a[1]) * along[1])
        at, unbased = _base_point(side, base)
        self._put(
            Dimension(
                a,
                b,
                text or self._length_text(span),
                along=along,
                out=out,
                base=at,
                row=row,
                gap=gap,
                height=self._lettering,
                bold=bold,
            ),
            tags,
            unbased=unbased,
        )

    def dim_aligned(
        self,
        a: Point2,
        b: Point2,
        text: str = "",
        *,
        gap: float = 8.0,
        flip: bool = False,
        bold: bool = False,
        **tags: Unpack[Tags],
    ) -> None:
        """The true distance between two points, its line parallel to them and `gap` [mm] to the left of a-b.

        flip: to the right instead. gap 0 puts the dimension on the line itself, as for a diagonal.
        """
        length = math.hypot(b[0] - a[0], b[1] - a[1])
        along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
        out = (along[1], -along[0]) if flip else (-along[1], along[0])
        self._put(
            Dimension(
                a,
                b,
                text or self._length_text(length),
                along=along,
                out=out,
                base=a,
                row=0,
                gap=gap,
                height=self._lettering,
                bold=bold,
            ),
            tags,
        )

    def running(
        self,
        datum: Point2,
        stops: Iterable[Point2 | tuple[Point2, str] | Stop],
        side: Side,
        *,
        base: float | None = None,
        gap: float = 8.0,
        datum_text: str = "0",
        **tags: Unpack[Tags],
    ) -> None:
        """Running dimensions from one datum, as a tape is pulled; a stop without text is written by `length`."""
        along, out = side_ways(side)
        made = tuple(self._stop(datum, along, s) for s in stops)
        at, unbased = _base_point(side, base)
        self._put(
            Running(
                datum,
                made,
                along=along,
                out=out,
                base=at,
                gap=gap,
                datum_text=datum_text,
                height=self._lettering,
            ),
            tags,
            unbased=unbased,
        )

    def dim_angle(
        self,
        vertex: Point2,
        start: float,
        sweep: float,
        text: str = "",
        *,
        radius: float = 14.0,
        within: float = math.inf,
        **tags: Unpack[Tags],
    ) -> None:
        """The angle at a vertex from direction `start` through `sweep` [rad].

        radius of its arc [mm of paper], not larger than `within` [m] so that it stays inside the thing measured.
        """
        if not text:
            if self._angle is None:
                raise ValueError("give the dimension its text, or the sketch its angle formatter")
            text = self._angle(abs(sweep))
        self._put(
            AngleDimension(vertex, start, sweep, text, radius=radius, within=within, height=self._lettering),
            tags,
        )

    def dim_radius(
        self,
        centre: Point2,
        radius: float,
        at: float,
        text: str = "",
        *,
        from_centre: bool = False,
        reach_out: float = 8.0,
        **tags: Unpack[Tags],
    ) -> None:
        """A radius, its leader meeting the circle at angle `at` [rad]."""
        text = text or "R " + self._length_text(radius)
        self._put(
            RoundDimension(
                centre,
                radius,
                at,
                text,
                from_centre=from_centre,
                reach_out=reach_out,
                height=self._lettering,
            ),
            tags,
        )

    def dim_diameter(
        self,
        centre: Point2,
        radius: float,
        at: float,
        text: str = "",
        *,
        across: bool = False,
        reach_out: float = 8.0,
        **tags: Unpack[Tags],
    ) -> None:
        """A diameter; `across` draws its line right through the circle."""
        text = text or "Ø " + self._length_text(2.0 * radius)
        self._put(
            RoundDimension(centre, radius, at, text, across=across, reach_out=reach_out, height=self._lettering),
            tags,
        )

    def slope(self, at: Point2, angle: float, text: str, *, length: float = 16.0, **tags: Unpack[Tags]) -> None:
        """A fall or lean as a small right triangle on a line running at `angle` [rad]; length [mm of paper]."""
        self._put(Slope(at, angle, text, length=length, height=self._lettering), tags)

    # ------------------------------------------------ the pad itself

    @contextmanager
    def about(self, name: str, title: str = "") -> Iterator[None]:
        """Everything drawn inside is about the figure `name`."""
        before = self._tags
        self._tags = {**before, "about": name, "title": title}
        try:
            yield
        finally:
            self._tags = before

    def bounds(self) -> tuple[float, float, float, float]:
        """(x0, y0, x1, y1) of everything drawn so far [m]."""
        return bounds_of(self._drawn)

    def drawing(self) -> Drawing:
        """The finished drawing."""
        x0, y0, x1, y1 = self.bounds()
        out: list[Primitive] = []
        for i, p in enumerate(self._drawn):
            if i in self._unbased and isinstance(p, Dimension | Running):
                low = p.out[0] + p.out[1] < 0.0
                p = replace(p, base=(x0, y0) if low else (x1, y1))
            out.append(p)
        return Drawing(tuple(out))

    def _put(self, primitive: Primitive, tags: Tags, *, unbased: bool = False) -> None:
        if unbased:
            self._unbased.add(len(self._drawn))
        marked: Tags = {**self._tags, **tags}
        if marked:
            primitive = replace(
                primitive,
                about=marked.get("about", ""),
                title=marked.get("title", ""),
                layer=marked.get("layer", ""),
            )
        self._drawn.append(primitive)

    def _stop(self, datum: Point2, along: Point2, stop: Point2 | tuple[Point2, str] | Stop) -> Stop:
        if isinstance(stop, Stop):
            return stop
        first, second = stop
        if isinstance(first, tuple) and isinstance(second, str):
            return Stop(first, second)
        at = (_number(first), _number(second))
        span = (at[0] - datum[0]) * along[0] + (at[1] - datum[1]) * along[1]
        return Stop(at, self._length_text(span))

    def _length_text(self, length: float) -> str:
        if self._length is None:
            raise ValueError("give the dimension its text, or the sketch its length formatter")
        return self._length(length)


def _number(value: object) -> float:
    assert isinstance(value, int | float)
    return float(value)


def _base_point(side: Side, base: float | None) -> tuple[Point2, bool]:
    if base is None:
        return (0.0, 0.0), True
    return ((0.0, base) if side in ("below", "above") else (base, 0.0)), False


def _as_circle(outline: Outline) -> tuple[Point2, float] | None:
    if len(outline.points) != 2 or any(abs(abs(b) - 1.0) > 1e-12 for b in outline.bulges):
        return None
    (ax, ay), (bx, by) = outline.points
    return ((ax + bx) / 2.0, (ay + by) / 2.0), math.hypot(bx - ax, by - ay) / 2.0
