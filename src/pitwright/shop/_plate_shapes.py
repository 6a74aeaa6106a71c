"""Parts as polygons: turned, placed, and checked against one another with shapely before anybody cuts."""

from __future__ import annotations

import functools
import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

from pitwright.shop._nest_records import FlatPart, Placed, Rotation

Polygon: TypeAlias = Any

HAIR = 1e-6
"""Slack in a gap or a margin that is only arithmetic [m]."""

_QUARTER = 8
"""Straight pieces to a quarter of a round corner."""

_STRICT: tuple[Rotation, ...] = ("any", "right angles", "half turn", "none")


@dataclass(frozen=True, slots=True)
class Item:
    """A copy of a part to be placed, with the parts already laid in its holes (placed in the host's own frame)."""

    part: FlatPart
    guests: tuple[tuple[FlatPart, Placed], ...] = ()

    @property
    def rotation(self) -> Rotation:
        """The strictest rule of the part and its guests."""
        return max((self.part.allow_rotation, *(p.allow_rotation for p, _ in self.guests)), key=_STRICT.index)

    @property
    def area(self) -> float:
        """Area of steel, guests included [m2]."""
        return float(shape(self.part).area) + sum(float(shape(part).area) for part, _ in self.guests)

    def placed(self, x: float, y: float, rotation: float) -> tuple[Placed, ...]:
        """The part and its guests on the sheet, the host turned by `rotation` [rad] and moved to (x, y)."""
        host = Placed(mark=self.part.mark, x=x, y=y, rotation=_wrapped(rotation))
        c, s = math.cos(rotation), math.sin(rotation)
        guests = (
            Placed(
                mark=guest.mark,
                x=guest.x * c - guest.y * s + x,
                y=guest.x * s + guest.y * c + y,
                rotation=_wrapped(guest.rotation + rotation),
                inside=guest.inside,
            )
            for _, guest in self.guests
        )
        return (host, *guests)


def _wrapped(angle: float) -> float:
    turned = math.remainder(angle, 2.0 * math.pi)
    return turned if turned > -math.pi + 1e-12 else math.pi


@functools.lru_cache(maxsize=4096)
def shape(part: FlatPart) -> Polygon:
    """The part as drawn, holes taken out."""
    from shapely import Polygon as Shape

    return Shape(part.outline, part.holes)


@functools.lru_cache(maxsize=4096)
def outer(part: FlatPart) -> Polygon:
    """The part as drawn, holes filled."""
    from shapely import Polygon as Shape

    return Shape(part.outline)


def turned(polygon: Polygon, rotation: float) -> Polygon:
    """A polygon turned about (0, 0) [rad]; quarter turns are exact."""
    from shapely import affinity

    quarter = round(rotation / (0.5 * math.pi))
    if abs(rotation - quarter * 0.5 * math.pi) < 1e-12:
        c, s = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[quarter % 4]
    else:
        c, s = math.cos(rotation), math.sin(rotation)
    return affinity.affine_transform(polygon, (c, -s, s, c, 0.0, 0.0))


def moved(polygon: Polygon, x: float, y: float) -> Polygon:
    """A polygon moved by (x, y)."""
    from shapely import affinity

    return affinity.translate(polygon, x, y)


def grown(polygon: Polygon, distance: float) -> Polygon:
    """A polygon grown (or shrunk) by no less than `distance` [m], its round corners drawn on the outside."""
    if distance == 0.0:
        return polygon
    return polygon.buffer(distance / math.cos(math.pi / (4.0 * _QUARTER)), quad_segs=_QUARTER)


def on_sheet(part: FlatPart, placed: Placed) -> Polygon:
    """The part as it lies on the sheet."""
    return moved(turned(shape(part), placed.rotation), placed.x, placed.y)


@functools.lru_cache(maxsize=4096)
def looks_round(part: FlatPart) -> bool:
    """Whether turning the part changes next to nothing (a disc)."""
    whole = outer(part)
    centre = whole.centroid
    there = moved(whole, -centre.x, -centre.y)
    return bool(there.symmetric_difference(turned(there, 0.65)).area < 0.003 * whole.area)


@functools.lru_cache(maxsize=4096)
def flat_angle(part: FlatPart) -> float:
    """The turn [rad] that brings the part into its smallest box, 0 where that gains less than 1 %."""
    whole = outer(part)
    x0, y0, x1, y1 = whole.bounds
    box = whole.minimum_rotated_rectangle
    if box.geom_type != "Polygon" or box.area > 0.99 * (x1 - x0) * (y1 - y0):
        return 0.0
    (ax, ay), (bx, by) = box.exterior.coords[0], box.exterior.coords[1]
    return -math.atan2(by - ay, bx - ax)


def turns(rotation: Rotation, part: FlatPart, *, step: float = 15.0) -> tuple[float, ...]:
    """The turns worth trying [rad]: every `step` degrees and into the smallest box, where any is allowed."""
    if rotation == "none":
        return (0.0,)
    if looks_round(part):
        return (0.0,)
    if rotation == "half turn":
        return (0.0, math.pi)
    quarters = tuple(k * 0.5 * math.pi for k in range(4))
    if rotation == "right angles":
        return quarters
    flat = flat_angle(part)
    many = (k * math.radians(step) for k in range(round(360.0 / step)))
    return tuple(dict.fromkeys((*quarters, *(flat + q for q in quarters if flat), *many)))


def faults(
    parts: Iterable[FlatPart],
    sheets: Sequence[tuple[float, float, Sequence[Placed]]],
    *,
    gap: float,
    margin: float,
) -> list[str]:
    """What is wrong with a layout, empty when it can be cut: (length, width, parts) of every sheet.

    Every copy once, every part inside its sheet by the margin, every two parts the gap apart, turns as allowed.
    """
    from shapely import STRtree

    known: Mapping[str, FlatPart] = {part.mark: part for part in parts}
    found: list[str] = []
    made = Counter(placed.mark for _, _, here in sheets for placed in here)
    for mark in sorted({*known, *made}):
        wanted = known[mark].quantity if mark in known else 0
        if made[mark] != wanted:
            found.append(f"{mark} lies {made[mark]} times instead of {wanted}")
    for number, (length, width, here) in enumerate(sheets, start=1):
        shapes = [on_sheet(known[placed.mark], placed) for placed in here if placed.mark in known]
        for placed, polygon in zip(here, shapes):
            x0, y0, x1, y1 = polygon.bounds
            if min(x0, y0, length - x1, width - y1) < margin - HAIR:
                found.append(f"{placed.mark} is outside sheet {number}")
            if not _may_lie(known[placed.mark].allow_rotation, placed.rotation):
                found.append(f"{placed.mark} is turned on sheet {number} as it may not be")
        tree = STRtree(shapes)
        for first, polygon in enumerate(shapes):
            for second in tree.query(polygon, predicate="dwithin", distance=gap + HAIR):
                if second <= first:
                    continue
                other = shapes[second]
                near = polygon.distance(other) < gap - HAIR
                if near or (
                    gap <= HAIR and polygon.intersection(other).area > HAIR * min(polygon.length, other.length)
                ):
                    found.append(f"{here[first].mark} and {here[second].mark} are too close on sheet {number}")
    return found


def _may_lie(rule: Rotation, rotation: float) -> bool:
    step = {"right angles": 0.5 * math.pi, "half turn": math.pi, "none": 2.0 * math.pi}.get(rule)
    return step is None or abs(math.remainder(rotation, step)) < 1e-9
