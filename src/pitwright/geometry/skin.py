"""The round skin of a vessel: tape round it, angles, developed points, and blanks for rolled plate.

Lengths [m], angles [rad]. *Clock* is the angle from the top line, positive to the working side; *around* is the
same by tape on the outside skin. The vessel's axis is x; y is to the working side, z up, both from the axis.
"""

from __future__ import annotations

import math

from pitwright.geometry.numeric import require_positive, within

Vec = tuple[float, float, float]


def radius_from_around(around: float) -> float:
    """Outside radius [m] from a tape pulled right round [m]: around / (2 pi)."""
    require_positive("around", around)
    return around / (2.0 * math.pi)


def around_from_clock(outside_radius: float, clock: float) -> float:
    """Tape [m] on the outside skin from the top line to a clock [rad]."""
    return outside_radius * clock


def clock_from_around(outside_radius: float, around: float) -> float:
    """Clock [rad] of a tape mark [m] from the top line."""
    require_positive("outside_radius", outside_radius)
    return around / outside_radius


def half_turn_clock(clock: float) -> float:
    """The same clock between minus half a turn (not included) and half a turn (included) [rad]."""
    turned = math.remainder(clock, 2.0 * math.pi)
    return math.pi if turned == -math.pi else turned


def wrap_diagonal(length: float, arc: float) -> float:
    """Diagonal [m] of a patch `length` along and `arc` around, tape laid on the skin: sqrt(L2 + a2)."""
    return math.hypot(length, arc)


def chord_across(outside_radius: float, arc: float) -> float:
    """Straight distance [m] between two skin marks `arc` [m] apart around, less than once round: 2 R sin(a/2R)."""
    require_positive("outside_radius", outside_radius)
    arc = within("arc", arc, 0.0, 2.0 * math.pi * outside_radius, "from 0 to once round")
    return 2.0 * outside_radius * math.sin(arc / (2.0 * outside_radius))


def blank_length(outside_radius: float, wall: float, angle: float = 2.0 * math.pi, neutral: float = 0.5) -> float:
    """Flat length [m] of plate rolled through `angle` [rad]: (R - t + k t) x angle.

    neutral (k) is where plate neither stretches nor shrinks, as a share of the wall from the inside; 0.5 (the middle)
    suits plate rolled to a radius many times its wall (common practice, no source).
    """
    require_positive("outside_radius", outside_radius)
    wall = within("wall", wall, 0.0, outside_radius, "from 0 to the outside radius")
    return (outside_radius - wall + neutral * wall) * angle


def skin_point(outside_radius: float, station: float, around: float) -> Vec:
    """Point (x, y, z) [m] of the mark at a station and an around [m]."""
    clock = clock_from_around(outside_radius, around)
    return station, outside_radius * math.sin(clock), outside_radius * math.cos(clock)


def mark_of_point(point: Vec) -> tuple[float, float]:
    """Station and around [m] of a skin point (x, y, z) [m], around between minus and plus half the girth."""
    x, y, z = point
    return x, math.hypot(y, z) * math.atan2(y, z)
