"""The round skin of a vessel: clocks, pulls of the tape on it, and blanks for rolled plate.

Lengths [m], angles [rad]. *Clock* is the angle from the top line, positive to the working side.
"""

from __future__ import annotations

import math

from pitwright.geometry.numeric import require_positive, within


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
