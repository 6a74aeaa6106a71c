"""The box a piece fills, and the box all pieces of a base fill together."""

from __future__ import annotations

from collections.abc import Iterable

from pitwright.errors import LayoutError
from pitwright.parts import Bar, BarCutting, Bought, Part, PlaneCut, Plate, Vec

Box = tuple[Vec, Vec]


def _corners(part: Part) -> list[Vec]:
    """Corner points of a piece in its own frame, its slanted ends as they are cut [m]."""
    shape = part.shape
    if isinstance(shape, Bar):
        b, h = shape.profile.width / 2.0, shape.profile.height / 2.0
        return [
            (_end(cut, at, y, z), y, z)
            for cut, at in ((shape.start, shape.x0), (shape.finish, shape.x1))
            for y in (-b, b)
            for z in (-h, h)
        ]
    if isinstance(shape, Plate):
        x0, y0, x1, y1 = shape.outline.bounds()
        return [(x, y, z) for x in (x0, x1) for y in (y0, y1) for z in (0.0, shape.thickness)]
    if isinstance(shape, Bought):
        (a, b, c), (x, y, z) = (tuple(s / 2.0 for s in shape.size), shape.centre)
        return [(x + i * a, y + j * b, z + k * c) for i in (-1.0, 1.0) for j in (-1.0, 1.0) for k in (-1.0, 1.0)]
    raise LayoutError("no straight piece", field=part.mark, value=part.name, allowed="bars, plates and bought things")


def _end(cut: BarCutting, at: float, y: float, z: float) -> float:
    if not isinstance(cut, PlaneCut) or not cut.normal[0]:
        return at
    n, p = cut.normal, cut.point
    return p[0] - (n[1] * (y - p[1]) + n[2] * (z - p[2])) / n[0]


def box_of(parts: Iterable[Part]) -> Box:
    """Least and greatest x, y, z over every copy of some bars, plates and bought things, in the pit frame [m].

    Raises LayoutError for rounds and heads.
    """
    points = [at.point(c) for part in parts for c in _corners(part) for at in part.placements]
    low: Vec = (min(p[0] for p in points), min(p[1] for p in points), min(p[2] for p in points))
    high: Vec = (max(p[0] for p in points), max(p[1] for p in points), max(p[2] for p in points))
    return low, high
