"""What is seen of many pieces that stand before one another: nearer ones hide the edges of those behind them."""

from __future__ import annotations

import functools
import math
from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from typing import Any

from pitwright.parts import Outline, Part, Placement, Point2, Shape
from pitwright.sheets.shapes import Arc, Circle, Line, Polyline, Primitive, Role
from pitwright.sheets.views.eye import Eye
from pitwright.sheets.views.seen import Seen, see, see_shape

_LEAST = 2e-3  # shorter bits of an edge are not drawn [m]
_STEPS = 180  # chords a circle is cut up with
_ARC_STEP = 5e-5  # how far a cut-up arc may stray [m]


@dataclass(frozen=True, slots=True)
class Trace:
    """Line work on a skin (a seam, a fitting): hidden by what is nearer, hiding nothing itself."""

    edges: tuple[Primitive, ...]
    near: float
    role: Role = "thin"
    title: str = ""


@dataclass(frozen=True, slots=True)
class Shown:
    """A copy of a piece with what is left of it to see.

    spot  a point well inside what shows of it [m]
    area  how much of it shows [m2]
    """

    part: Part
    copy: int
    spot: Point2
    area: float


@dataclass(frozen=True, slots=True)
class Look:
    """What is seen from an eye: lines in their roles, and the copies of pieces that show, the nearest first."""

    lines: tuple[Primitive, ...]
    shown: tuple[Shown, ...]


def look(
    parts: Iterable[Part],
    eye: Eye,
    *,
    traces: Iterable[Trace] = (),
    through: Collection[str] = (),
    dashed: Collection[str] = (),
    slack: float = 0.0,
) -> Look:
    """What is seen of every copy of every part; grates and plates inside the vessel are left out.

    through  marks of pieces that go through the skin: the vessel hides them
    dashed   groups whose hidden edges are drawn as hidden lines
    slack    a piece of which no more than a rim this wide shows is left out [m]: for drawings made while a hand
             moves, where pieces that did not change are not looked at anew either
    """
    from shapely import Polygon, union

    seen_as, covering = (see, _cover) if slack <= 0.0 else (_see_again, _cover_again)

    stack: list[tuple[float, int, Part, int, Seen]] = []
    for part in parts:
        if part.group == "grates":
            continue
        for copy, placement in enumerate(part.placements):
            one = seen_as(part, placement, eye)
            if one.covers:
                near = -math.inf if part.mark in through else one.near
                stack.append((near, len(stack), part, copy, one))
    stack.sort(key=lambda s: (-s[0], -s[1]))
    waiting = sorted(traces, key=lambda t: -t.near)
    hidden: Any = Polygon()
    lines: list[Primitive] = []
    shown: list[Shown] = []
    for near, _, part, copy, one in stack:
        while waiting and waiting[0].near > near:
            lines.extend(_traced(waiting.pop(0), hidden))
        cover = covering(one)
        if part.group not in dashed and hidden.covers(cover):
            continue
        left = cover.difference(hidden)
        if part.group not in dashed and left.area < slack * cover.length:
            continue
        title = f"{part.mark}  {part.name}"
        for edge in one.edges:
            lines.extend(outside(edge, hidden, _role(part), title))
            if part.group in dashed:
                lines.extend(within(edge, hidden, "hidden", title))
        if left.area > 1e-6:
            spot = left.representative_point()
            shown.append(Shown(part, copy, (float(spot.x), float(spot.y)), float(left.area)))
        hidden = union(hidden, cover)
    for trace in waiting:
        lines.extend(_traced(trace, hidden))
    return Look(tuple(lines), tuple(shown))


def _see_again(part: Part, placement: Placement, eye: Eye) -> Seen:
    return _see_shape(part.shape, placement, eye)


@functools.lru_cache(maxsize=4096)
def _see_shape(shape: Shape, placement: Placement, eye: Eye) -> Seen:
    return see_shape(shape, placement, eye)


@functools.lru_cache(maxsize=4096)
def _cover_again(one: Seen) -> Any:
    return _cover(one)


def _role(part: Part) -> Role:
    """Small loose things and things with a stated envelope are drawn thin."""
    return "thin" if part.assumed or part.moving in ("inlets", "damper", "ash tray") else "outline"


def _traced(trace: Trace, hidden: Any) -> Iterable[Primitive]:
    for edge in trace.edges:
        yield from outside(edge, hidden, trace.role, trace.title)


def outside(edge: Primitive, region: Any, role: Role, title: str = "") -> tuple[Primitive, ...]:
    """The bits of an edge outside a region (a shapely geometry); circles stay true."""
    from shapely import LineString

    line = LineString(_points(edge))
    if not line.intersects(region):
        return (_whole(edge, role, title),)
    return _bits(edge, line.difference(region), role, title)


def within(edge: Primitive, region: Any, role: Role, title: str = "") -> tuple[Primitive, ...]:
    """The bits of an edge inside a region; circles stay true."""
    from shapely import LineString

    line = LineString(_points(edge))
    if region.contains(line):
        return (_whole(edge, role, title),)
    return _bits(edge, line.intersection(region), role, title)


def _bits(edge: Primitive, left: Any, role: Role, title: str) -> tuple[Primitive, ...]:
    pieces = [p for p in getattr(left, "geoms", [left]) if p.geom_type == "LineString" and p.length > _LEAST]
    runs = [[(float(x), float(y)) for x, y in p.coords] for p in pieces]
    if isinstance(edge, Circle):
        return tuple(_arc(edge, run, role, title) for run in _joined(runs))
    if isinstance(edge, Polyline) and edge.closed:
        runs = _joined(runs)
    return tuple(
        Line(r[0], r[1], role=role, title=title) if len(r) == 2 else Polyline(tuple(r), role=role, title=title)
        for r in runs
    )


def _whole(edge: Primitive, role: Role, title: str) -> Primitive:
    assert isinstance(edge, Line | Polyline | Circle)  # `see` makes no other kind
    return replace(edge, role=role, title=title)


def _points(edge: Primitive) -> list[Point2]:
    if isinstance(edge, Line):
        return [edge.a, edge.b]
    if isinstance(edge, Circle):
        (x, y), r = edge.centre, edge.radius
        turns = [2.0 * math.pi * i / _STEPS for i in range(_STEPS + 1)]
        return [(x + r * math.cos(a), y + r * math.sin(a)) for a in turns]
    assert isinstance(edge, Polyline)
    ring = list(Outline(edge.points, edge.bulges).flattened(_ARC_STEP)) if edge.bulges else list(edge.points)
    return [*ring, ring[0]] if edge.closed else ring


def _joined(runs: list[list[Point2]]) -> list[list[Point2]]:
    """Runs of a closed edge, the last joined to the first where the edge was opened."""
    if len(runs) > 1 and math.dist(runs[-1][-1], runs[0][0]) < 1e-9:
        return [runs[-1] + runs[0][1:], *runs[1:-1]]
    return runs


def _arc(circle: Circle, run: list[Point2], role: Role, title: str) -> Arc:
    x, y = circle.centre

    def turn(p: Point2) -> float:
        return math.atan2(p[1] - y, p[0] - x)

    start = turn(run[0])
    sweep = (turn(run[-1]) - start) % (2.0 * math.pi)
    return Arc(circle.centre, circle.radius, start, sweep or 2.0 * math.pi, role=role, title=title)


def _cover(one: Seen) -> Any:
    """The region of paper a copy covers."""
    from shapely import Polygon, make_valid, union_all

    def joined(rings: Iterable[tuple[Point2, ...]]) -> Any:
        return union_all([make_valid(Polygon(ring)) for ring in rings if len(ring) > 2])

    whole = joined(one.covers)
    return whole.difference(joined(one.holes)) if one.holes else whole
