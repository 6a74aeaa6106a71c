"""The throat: the opening from firebox to cook chamber, sized for a net area over its grease dam.

End view: y across, v up from the vessel's centre [m]. The opening is the part of the vessel's inside circle that the
firebox's inside also covers, over the dam line (v = -Ri + dam) and, for a segment or rectangle, under its top line.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from pitwright.errors import LayoutError
from pitwright.geometry.lens import drop_for_area
from pitwright.geometry.numeric import find_root
from pitwright.layout.draft import Draft
from pitwright.parts import Outline, Point2, bulge_of


@dataclass(frozen=True, slots=True, kw_only=True)
class FireRound:
    """Inside of a round firebox in the end view: radius, drop of its centre under the vessel's [m]."""

    radius: float
    drop: float

    @property
    def top(self) -> float:
        """Highest inside point [m]."""
        return self.radius - self.drop

    @property
    def bottom(self) -> float:
        """Lowest inside point [m]."""
        return -self.radius - self.drop

    def half_width(self, v: float) -> float:
        """Half the inside width at a height; negative outside [m]."""
        s = self.radius**2 - (v + self.drop) ** 2
        return math.sqrt(s) if s > 0.0 else -1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class FireBox:
    """Inside of a box firebox in the end view [m]."""

    width: float
    height: float
    drop: float

    @property
    def top(self) -> float:
        """Highest inside point [m]."""
        return self.height / 2.0 - self.drop

    @property
    def bottom(self) -> float:
        """Lowest inside point [m]."""
        return -self.height / 2.0 - self.drop

    def half_width(self, v: float) -> float:
        """Half the inside width at a height; negative outside [m]."""
        return self.width / 2.0 if self.bottom <= v <= self.top else -1.0


Section = FireRound | FireBox
RECTANGLE = 1.2  # width of a rectangular throat over the vessel's inside radius, where the shop sets none


def _arc_bulge(radius: float, a: Point2, b: Point2, centre_v: float) -> float:
    """Bulge of the anticlockwise arc from a to b on a circle centred at (0, centre_v)."""
    sweep = math.atan2(b[1] - centre_v, b[0]) - math.atan2(a[1] - centre_v, a[0])
    return bulge_of(sweep % (2.0 * math.pi))


def opening(vessel_inner: float, fire: Section, low: float, high: float, width: float = math.inf) -> Outline | None:
    """The outline between two heights, inside vessel, firebox and (for a rectangle) a width; None where empty [m].

    Runs anticlockwise from the lower left corner: dam edge, right side, top, left side. Arcs are exact.
    """
    low = max(low, fire.bottom, -vessel_inner)
    high = min(high, fire.top, vessel_inner)
    if high <= low + 1e-9:
        return None
    limits: list[tuple[str, Callable[[float], float]]] = [
        ("vessel", lambda v: math.sqrt(max(vessel_inner**2 - v * v, 0.0))),
        ("fire", lambda v: max(fire.half_width(min(max(v, fire.bottom), fire.top)), 0.0)),
    ]
    if width < math.inf:
        limits.append(("width", lambda v: width / 2.0))
    heights = sorted({low, high, *(v for v in _crossings(vessel_inner, fire, width) if low < v < high)})
    right: list[tuple[Point2, float]] = []  # vertex, bulge of the edge leaving it upward
    for v0, v1 in pairwise(heights):
        middle = (v0 + v1) / 2.0
        name, edge = min(limits, key=lambda item: item[1](middle))
        a, b = (edge(v0), v0), (edge(v1), v1)
        bulge = 0.0
        if name == "vessel":
            bulge = _arc_bulge(vessel_inner, a, b, 0.0)
        elif name == "fire" and isinstance(fire, FireRound):
            bulge = _arc_bulge(fire.radius, a, b, -fire.drop)
        right.append((a, bulge))
    name, edge = min(limits, key=lambda item: item[1](high - 1e-12))
    right.append(((edge(high), high), 0.0))
    points = [(-p[0], p[1]) for p, _ in reversed(right)]
    bulges = [bulge for _, bulge in reversed(right[:-1])] + [0.0]
    # right side upward, then left side downward; the last left vertex closes to the first right one along the dam
    all_points = [p for p, _ in right] + points
    all_bulges = [b for _, b in right[:-1]] + [0.0] + bulges
    keep: list[int] = []
    for i, p in enumerate(all_points):
        q = all_points[(i + 1) % len(all_points)]
        if math.dist(p, q) > 1e-9:
            keep.append(i)
    return Outline(tuple(all_points[i] for i in keep), tuple(all_bulges[i] for i in keep))


def _crossings(vessel_inner: float, fire: Section, width: float) -> list[float]:
    """Heights at which the limiting edge may change."""
    out: list[float] = []
    if isinstance(fire, FireRound):
        if fire.drop > 1e-12:
            out.append((fire.radius**2 - fire.drop**2 - vessel_inner**2) / (2.0 * fire.drop))
        if width < 2.0 * fire.radius:
            s = math.sqrt(fire.radius**2 - width**2 / 4.0)
            out += [s - fire.drop, -s - fire.drop]
    elif fire.width < 2.0 * vessel_inner:
        s = math.sqrt(vessel_inner**2 - fire.width**2 / 4.0)
        out += [s, -s]
    if width < 2.0 * vessel_inner:
        s = math.sqrt(vessel_inner**2 - width**2 / 4.0)
        out += [s, -s]
    return out


def lens_drop(draft: Draft, vessel_inner: float, radius: float, dam: float, wanted: float) -> float:
    """Drop of a round firebox's centre at which the lens over the dam has the wanted net area [m].

    Raises LayoutError where the firebox is too small for it at any drop.
    """
    try:
        return drop_for_area(vessel_inner, radius, wanted, -vessel_inner + dam)
    except LayoutError as problem:
        highest = FireRound(radius=radius, drop=abs(vessel_inner - radius))
        most = opening(vessel_inner, highest, -vessel_inner + dam, math.inf)
        area = draft.tape.small_area(0.0 if most is None else most.area)
        raise LayoutError(
            f"a firebox {draft.tape.length(2 * radius)} inside can give a throat of at most {area}, "
            f"the shop's share asks for {draft.tape.small_area(wanted)}",
            field="proportions.throat.share",
            value=draft.tape.small_area(wanted),
            allowed=f"up to {area} with this firebox",
            remedy="Choose a larger firebox or a smaller throat share.",
        ) from problem


def widest(outline: Outline) -> tuple[float, float]:
    """(full width, height it is at) of a throat outline symmetrical about y = 0 [m]."""
    _, _, x1, _ = outline.bounds()
    best = max(outline.flattened(1e-4), key=lambda p: p[0])
    return 2.0 * x1, best[1]


def flat_top(vessel_inner: float, fire_width: float, low: float, wanted: float, rectangle: bool) -> float:
    """Top line of a segment (or rectangle) over the dam, as wide as a box firebox allows, for an area [m].

    As high as the round goes where it cannot give the whole area.
    """
    tall = FireBox(width=fire_width, height=4.0 * vessel_inner, drop=0.0)
    width = RECTANGLE * vessel_inner if rectangle else math.inf

    def area_at(top: float) -> float:
        found = opening(vessel_inner, tall, low, top, width)
        return 0.0 if found is None else found.area

    aim = min(wanted, 0.98 * area_at(vessel_inner))
    return find_root(lambda top: area_at(top) - aim, low, vessel_inner, field="proportions.throat.share")
