"""Standing a piece in the pit: right-handed placements from the ends of a bar or the face of a plate."""

from __future__ import annotations

import math

from pitwright.parts import Placement, Vec, cross, unit


def bar_along(start: Vec, finish: Vec, up: Vec, where: str = "") -> Placement:
    """A bar from `start` towards `finish`, its section's height (local z) along `up`, local y = up x along [m]."""
    x = unit((finish[0] - start[0], finish[1] - start[1], finish[2] - start[2]))
    y = unit(cross(up, x))
    return Placement(origin=start, x=x, y=y, z=cross(x, y), where=where)


def along_pit(x0: float, x1: float, y: float, z: float, *, heel_out: int = 1, where: str = "") -> Placement:
    """A level bar along the pit with an angle's heel up and out: out is +y for heel_out = 1, -y for -1 [m]."""
    start, finish = ((x1, y, z), (x0, y, z)) if heel_out > 0 else ((x0, y, z), (x1, y, z))
    return bar_along(start, finish, (0.0, 0.0, -1.0), where)


def across_pit(x: float, y0: float, y1: float, z: float, *, heel: int = 1, where: str = "") -> Placement:
    """A level bar across the pit with an angle's heel up and towards +x for heel = 1, -x for -1 [m]."""
    start, finish = ((x, y0, z), (x, y1, z)) if heel > 0 else ((x, y1, z), (x, y0, z))
    return bar_along(start, finish, (0.0, 0.0, -1.0), where)


def end_plate(x: float, centre_z: float, where: str = "") -> Placement:
    """A plate across the pit drawn in (y, up from centre_z); its near face stands at x, thickness runs to +x [m]."""
    return Placement(origin=(x, 0.0, centre_z), x=(0.0, 1.0, 0.0), y=(0.0, 0.0, 1.0), z=(1.0, 0.0, 0.0), where=where)


def level_plate(x: float, y: float, z: float, where: str = "") -> Placement:
    """A level plate drawn in (x, y) from a corner, its under face at z [m]."""
    return Placement(origin=(x, y, z), where=where)


def tilted_along(x: float, y: float, z: float, fall: float, where: str = "") -> Placement:
    """A plate or bar that falls along the pit by `fall` [rad], starting at (x, y, z)."""
    c, s = math.cos(fall), math.sin(fall)
    return Placement(origin=(x, y, z), x=(c, 0.0, -s), y=(0.0, 1.0, 0.0), z=(s, 0.0, c), where=where)
