"""From a drawing in metres to ink in millimetres, at one scale."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pitwright.parts import Outline, Point2, bulge_of
from pitwright.sheets import callouts, dimension
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.ink import Ink, Patch, Path, Scale, Stroke, Words, disc, line, seated
from pitwright.sheets.lettered import (
    AngleDimension,
    Callout,
    Dimension,
    RoundDimension,
    Running,
    Slope,
    Symbol,
    Text,
)
from pitwright.sheets.shapes import Arc, Circle, Fill, Hatch, Line, Polyline, Primitive

_FLAT = 0.02  # how far a hatched edge may stray from its arc [mm]


def lay(
    drawing: Drawing,
    ratio: float,
    origin: Point2 = (0.0, 0.0),
    *,
    callouts_too: bool = True,
    most: tuple[float, float] = (math.inf, math.inf),
) -> tuple[Ink, ...]:
    """The ink of a drawing at a scale (paper over true size), its (0, 0) standing at `origin` [mm].

    Tones lie under lines and lines under lettering, whatever order they were drawn in. Callouts keep the whole
    within `most` (width, height) [mm] where they can.
    """
    scale = Scale(ratio, origin)
    ink: list[Ink] = []
    straight: list[Dimension | Running] = []
    called: list[Callout] = []
    for primitive in drawing.primitives:
        if isinstance(primitive, Dimension | Running):
            straight.append(primitive)
        elif isinstance(primitive, Callout):
            called.append(primitive)
        else:
            ink.extend(dimension.tag(item, primitive) for item in _one(primitive, scale))
    ink.extend(dimension.rows(straight, scale))
    if called and callouts_too:
        ink.extend(callouts.place(called, scale, ink, most))
    return tuple(sorted(ink, key=_depth))


def _depth(item: Ink) -> int:
    if isinstance(item, Patch) and item.role == "fill":
        return 0
    return 2 if isinstance(item, Words) else 1


def _one(primitive: Primitive, scale: Scale) -> Iterator[Ink]:
    match primitive:
        case Line():
            yield line(scale.point(primitive.a), scale.point(primitive.b), primitive.role)
        case Polyline():
            points = tuple(scale.point(p) for p in primitive.points)
            bulges = tuple(-b for b in primitive.bulges)
            yield Stroke(Path(points, bulges, primitive.closed), primitive.role)
        case Arc():
            yield Stroke(_arc_path(primitive, scale), primitive.role)
        case Circle():
            yield Stroke(disc(scale.point(primitive.centre), primitive.radius * scale.factor), primitive.role)
        case Fill():
            outline = primitive.outline
            yield Patch((scale.path(outline), *(scale.path(h) for h in outline.holes)), primitive.tone)
        case Hatch():
            yield from (line(a, b, primitive.role) for a, b in _hatching(primitive, scale))
        case Text():
            at = seated(scale.point(primitive.at), primitive.height, primitive.seat, primitive.angle)
            yield Words(
                at,
                primitive.text,
                primitive.height,
                anchor=primitive.anchor,
                angle=primitive.angle,
                bold=primitive.bold,
                plate=primitive.plate,
                role=primitive.role,
            )
        case AngleDimension():
            yield from dimension.angle(primitive, scale)
        case RoundDimension():
            yield from dimension.round_dimension(primitive, scale)
        case Slope():
            yield from dimension.slope(primitive, scale)
        case Symbol():
            yield from _symbol(primitive, scale)


def _arc_path(arc: Arc, scale: Scale) -> Path:
    pieces = max(1, math.ceil(abs(arc.sweep) / math.pi))
    points = tuple(scale.point(arc.at(arc.start + arc.sweep * i / pieces)) for i in range(pieces + 1))
    return Path(points, (-bulge_of(arc.sweep / pieces),) * pieces)


def _hatching(hatch: Hatch, scale: Scale) -> Iterator[tuple[Point2, Point2]]:
    """Slanting lines inside the outline, outside its holes."""
    c, s = math.cos(hatch.slant), math.sin(hatch.slant)
    step = _FLAT / scale.factor

    def turned(outline: Outline) -> list[Point2]:
        return [(x * c + y * s, y * c - x * s) for x, y in outline.flattened(step)]

    loops = [turned(o) for o in (hatch.outline, *hatch.outline.holes)]
    edges = [(loop[i - 1], loop[i]) for loop in loops for i in range(len(loop))]
    pitch = hatch.pitch / scale.factor
    low = min(p[1] for p in loops[0])
    high = max(p[1] for p in loops[0])
    for k in range(math.ceil(low / pitch), math.floor(high / pitch) + 1):
        y = k * pitch
        crossed = sorted(
            a[0] + (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1]) for a, b in edges if (a[1] <= y) != (b[1] <= y)
        )
        for x0, x1 in zip(crossed[::2], crossed[1::2], strict=False):
            yield scale.point((x0 * c - y * s, x0 * s + y * c)), scale.point((x1 * c - y * s, x1 * s + y * c))


def _symbol(symbol: Symbol, scale: Scale) -> Iterator[Ink]:
    x, y = scale.point(symbol.at)
    half = symbol.size / 2.0

    def cross(reach: float) -> Iterator[Ink]:
        yield line((x - reach, y), (x + reach, y), symbol.role)
        yield line((x, y - reach), (x, y + reach), symbol.role)

    match symbol.kind:
        case "centre":
            yield from cross(half)
        case "punch":
            yield Stroke(disc((x, y), 0.6 * half), symbol.role)
            yield from cross(half)
        case "target":
            yield Stroke(disc((x, y), half), symbol.role)
            yield from cross(1.6 * half)
        case "gravity":
            yield Patch((disc((x, y), half),), 0.0, symbol.role)
            for a in (0.0, math.pi):
                start = (x + half * math.cos(a), y + half * math.sin(a))
                end = (x - half * math.sin(a), y + half * math.cos(a))
                yield Patch((Path(((x, y), start, end), (0.0, bulge_of(math.pi / 2.0), 0.0), True),), 1.0, symbol.role)
            yield Stroke(disc((x, y), half), symbol.role)
        case "datum":
            up = (-math.sin(symbol.angle), -math.cos(symbol.angle))
            bx, by = x + symbol.size * up[0], y + symbol.size * up[1]
            corners = ((x, y), (bx - half * up[1], by + half * up[0]), (bx + half * up[1], by - half * up[0]))
            yield Patch((Path(corners, closed=True),), 1.0, symbol.role)
