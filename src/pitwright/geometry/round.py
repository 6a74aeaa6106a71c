"""The circle: chords, segments, bands between two level lines, arcs of plate, and boxes cut by a circle.

Lengths [m], areas [m2], angles [rad]. `rise` is the height of a segment from the bottom (or from its chord
to its arc); `offset` is a height above the circle's centre, negative below.
Formulas: E. W. Weisstein, CRC Concise Encyclopedia of Mathematics, "Circular segment", unless said otherwise.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from pitwright.errors import LayoutError
from pitwright.geometry.numeric import find_root, require_positive, within


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """A circle segment.

    radius    of the circle [m]
    angle     whole angle of the arc seen from the centre [rad], 0 to 2 pi
    rise      from the middle of the chord to the middle of the arc [m]
    chord     [m]
    arc       length along the arc [m]
    area      [m2]
    centroid  distance of the area's centroid from the circle's centre [m]
    """

    radius: float
    angle: float
    rise: float
    chord: float
    arc: float
    area: float
    centroid: float


def _angle_less_sine(angle: float) -> float:
    """angle - sin(angle) without loss of digits at small angles."""
    if angle >= 1.0:
        return angle - math.sin(angle)
    term, total, square = angle, 0.0, angle * angle
    for k in range(1, 9):
        term *= -square / ((2 * k) * (2 * k + 1))
        total -= term
    return total


def _half_chord(radius: float, offset: float) -> float:
    return math.sqrt(max((radius - offset) * (radius + offset), 0.0))


def chord_at(radius: float, offset: float) -> float:
    """Chord [m] at a height `offset` [m] above (below: negative) the centre: 2 sqrt(R2 - y2)."""
    require_positive("radius", radius)
    offset = within("offset", offset, -radius, radius, "from minus the radius to the radius")
    return 2.0 * _half_chord(radius, offset)


def chord_at_rise(radius: float, rise: float) -> float:
    """Chord [m] at a height `rise` [m] above the lowest point of the circle: 2 sqrt(h(2R - h))."""
    require_positive("radius", radius)
    rise = within("rise", rise, 0.0, 2.0 * radius, "from 0 to the diameter")
    return 2.0 * math.sqrt(rise * (2.0 * radius - rise))


def offset_of_chord(radius: float, chord: float) -> float:
    """Distance [m] of a chord from the centre: sqrt(R2 - (c/2)2)."""
    require_positive("radius", radius)
    chord = within("chord", chord, 0.0, 2.0 * radius, "from 0 to the diameter")
    return _half_chord(radius, chord / 2.0)


def sagitta(radius: float, chord: float) -> float:
    """Rise [m] of the smaller arc over a chord: R - sqrt(R2 - (c/2)2)."""
    return chord * chord / (4.0 * (radius + offset_of_chord(radius, chord)))


def radius_from_chord(chord: float, rise: float) -> float:
    """Radius [m] of the arc that rises `rise` over `chord`: c2/(8h) + h/2."""
    require_positive("chord", chord)
    require_positive("rise", rise)
    return chord * chord / (8.0 * rise) + rise / 2.0


def segment_area_from_angle(radius: float, angle: float) -> float:
    """Area [m2] of a segment from its whole angle [rad]: R2 (a - sin a)/2."""
    return radius * radius * _angle_less_sine(angle) / 2.0


def segment_angle(radius: float, rise: float) -> float:
    """Whole angle [rad] of a segment from its rise [m]: 2 acos(1 - h/R)."""
    return 2.0 * math.atan2(chord_at_rise(radius, rise) / 2.0, radius - rise)


def segment_area(radius: float, rise: float) -> float:
    """Area [m2] of a segment from its rise [m]."""
    return segment_area_from_angle(radius, segment_angle(radius, rise))


def segment_from_angle(radius: float, angle: float) -> Segment:
    """The segment of a whole angle [rad] between 0 and 2 pi."""
    require_positive("radius", radius)
    angle = within("angle", angle, 0.0, 2.0 * math.pi, "from 0 to a full turn")
    sine = math.sin(angle / 2.0)
    lens = _angle_less_sine(angle)
    return Segment(
        radius=radius,
        angle=angle,
        rise=2.0 * radius * math.sin(angle / 4.0) ** 2,
        chord=2.0 * radius * sine,
        arc=radius * angle,
        area=radius * radius * lens / 2.0,
        centroid=4.0 * radius * sine**3 / (3.0 * lens) if lens > 0.0 else radius,
    )


def segment_from_rise(radius: float, rise: float) -> Segment:
    """The segment that rises `rise` [m], 0 to the diameter."""
    return segment_from_angle(radius, segment_angle(radius, rise))


def segment_from_chord(radius: float, chord: float) -> Segment:
    """The smaller of the two segments on a chord [m]."""
    return segment_from_angle(radius, 2.0 * math.atan2(chord / 2.0, offset_of_chord(radius, chord)))


def segment_from_arc(radius: float, arc: float) -> Segment:
    """The segment under an arc of a given length [m]."""
    require_positive("radius", radius)
    return segment_from_angle(radius, arc / radius)


def segment_from_chord_and_rise(chord: float, rise: float) -> Segment:
    """The segment a straightedge finds: chord [m] and rise [m] give the radius."""
    return segment_from_rise(radius_from_chord(chord, rise), rise)


def segment_from_area(radius: float, area: float) -> Segment:
    """The segment of a wanted area [m2], up to the whole circle."""
    require_positive("radius", radius)
    whole = math.pi * radius * radius
    area = within("area", area, 0.0, whole, "from 0 to the area of the circle")
    wanted = 2.0 * area / (radius * radius)
    return segment_from_angle(
        radius, find_root(lambda angle: _angle_less_sine(angle) - wanted, 0.0, 2.0 * math.pi, field="area")
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """The part of a circle between two level lines.

    area      [m2]
    centroid  height of its centroid above the circle's centre [m]
    widest    greatest width [m]
    """

    area: float
    centroid: float
    widest: float


def band(radius: float, low: float, high: float) -> Band:
    """The band between the heights `low` and `high` [m] above the circle's lowest point (a window over a dam)."""
    low = within("low", low, 0.0, high, "from 0 to the upper line")
    area = segment_area(radius, high) - segment_area(radius, low)
    low_chord, high_chord = chord_at_rise(radius, low), chord_at_rise(radius, high)
    moment = (low_chord**3 - high_chord**3) / 12.0
    middle = (low + high) / 2.0 - radius
    across = low <= radius <= high
    return Band(
        area=area,
        centroid=moment / area if area > 0.0 else middle,
        widest=2.0 * radius if across else max(low_chord, high_chord),
    )


def band_top_for_area(radius: float, low: float, area: float) -> float:
    """Height `high` [m] of the upper line that leaves `area` [m2] above a dam at `low` [m]; inverse of `band`."""
    closed = segment_area(radius, low)
    _check_net_area(radius, area, math.pi * radius * radius - closed)
    return segment_from_area(radius, closed + area).rise


def band_dam_for_area(radius: float, high: float, area: float) -> float:
    """Height `low` [m] of the dam that leaves `area` [m2] under the line at `high` [m]; inverse of `band`."""
    whole = segment_area(radius, high)
    _check_net_area(radius, area, whole)
    return segment_from_area(radius, max(whole - area, 0.0)).rise


def _check_net_area(radius: float, area: float, room: float) -> None:
    if not 0.0 < area <= room + 1e-12 * radius * radius:
        raise LayoutError(
            "the circle has no such opening left",
            field="area",
            value=area,
            allowed="more than 0, up to what the circle leaves open",
            remedy="Ask for less area, or move the closed part.",
        )


def thin_arc_centroid(radius: float, angle: float) -> float:
    """Distance [m] from the axis to the centroid of a thin curved plate: R sin(a/2)/(a/2), whole angle `angle`."""
    require_positive("radius", radius)
    half = angle / 2.0
    return radius * (math.sin(half) / half if half != 0.0 else 1.0)


def ring_sector_area(outer: float, inner: float, angle: float) -> float:
    """Area [m2] of a sector of a ring, whole angle `angle` [rad]."""
    return (outer - inner) * (outer + inner) * angle / 2.0


def ring_sector_centroid(outer: float, inner: float, angle: float) -> float:
    """Distance [m] from the axis to the centroid of a thick curved plate: (2/3) sin(a/2)/(a/2) (R3-r3)/(R2-r2)."""
    require_positive("outer", outer)
    inner = within("inner", inner, 0.0, outer, "from 0 to the outer radius")
    return thin_arc_centroid(2.0 / 3.0 * (outer * outer + outer * inner + inner * inner) / (outer + inner), angle)


def box_width_in_circle(radius: float, bottom: float, top: float) -> float:
    """Widest box [m], centred, that fits a circle between two heights above (below: negative) its centre."""
    return min(chord_at(radius, bottom), chord_at(radius, top))


def box_top_in_circle(radius: float, width: float) -> float:
    """Greatest height [m] above the centre at which a centred box of `width` still fits the circle."""
    return offset_of_chord(radius, width)


def box_clearance_in_circle(radius: float, left: float, right: float, bottom: float, top: float) -> float:
    """Gap [m] from the worst corner of a box to the circle, square to the circle; negative: it does not fit."""
    require_positive("radius", radius)
    return radius - math.hypot(max(abs(left), abs(right)), max(abs(bottom), abs(top)))


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxWindow:
    """The part of a box inside a circle: `area` [m2], centroid `across` and `up` from the circle's centre [m]."""

    area: float
    across: float
    up: float


def box_in_circle(radius: float, left: float, right: float, bottom: float, top: float) -> BoxWindow:
    """The part of a box (edges [m] from the circle's centre) that lies inside a circle.

    Cut into level strips where the edge of the circle passes a side of the box; each strip is in closed form.
    """
    require_positive("radius", radius)
    if not (left < right and bottom < top):
        raise LayoutError("the box has no size", field="box", allowed="left below right, bottom below top")
    low, high = max(bottom, -radius), min(top, radius)
    levels = {low, max(low, high)}
    for side in (left, right):
        if abs(side) < radius:
            levels |= {y for y in (_half_chord(radius, side), -_half_chord(radius, side)) if low < y < high}
    ordered = sorted(levels)
    area = across = up = 0.0
    for y0, y1 in pairwise(ordered):
        edge = _half_chord(radius, (y0 + y1) / 2.0)
        if -edge >= right or edge <= left:
            continue
        # Each edge is a straight side of the box or the circle: integrals of x, x2/2 and xy along both.
        for sign, straight in ((1.0, right if right < edge else None), (-1.0, left if left > -edge else None)):
            flat, bent, tilted = _edge_integrals(radius, sign, straight, y0, y1)
            area += sign * flat
            across += sign * bent
            up += sign * tilted
    if area <= 0.0:
        raise LayoutError("the box lies outside the circle", field="box", allowed="a box that overlaps the circle")
    return BoxWindow(area=area, across=across / area, up=up / area)


def _edge_integrals(radius: float, sign: float, side: float | None, y0: float, y1: float) -> tuple[float, float, float]:
    """Integrals over y of x, x2/2 and x y along a straight side, or along the circle where `side` is None."""
    if side is not None:
        height = y1 - y0
        return side * height, side * side * height / 2.0, side * (y1 - y0) * (y1 + y0) / 2.0

    def primitives(y: float) -> tuple[float, float, float]:
        half = _half_chord(radius, y)
        return (
            (y * half + radius * radius * math.asin(max(-1.0, min(1.0, y / radius)))) / 2.0,
            (radius * radius * y - y**3 / 3.0) / 2.0,
            -(half**3) / 3.0,
        )

    upper, lower = primitives(y1), primitives(y0)
    return sign * (upper[0] - lower[0]), upper[1] - lower[1], sign * (upper[2] - lower[2])
