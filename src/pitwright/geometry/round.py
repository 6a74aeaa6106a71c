"""The circle: chords and segments.

Lengths [m], areas [m2], angles [rad]. `rise` is the height of a segment from the bottom (or from its chord
to its arc); `offset` is a height above the circle's centre, negative below.
Formulas: E. W. Weisstein, CRC Concise Encyclopedia of Mathematics, "Circular segment", unless said otherwise.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.geometry.numeric import require_positive, within


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
