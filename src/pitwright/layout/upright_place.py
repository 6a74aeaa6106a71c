"""Standing the pieces of a vessel on end: its own frame in the pit, plan figures of a swinging door.

The vessel's frame: x up its axis, y away from the firebox, z to the front (clock 0). The pit's: x away from the
firebox, y to the front, z up.
"""

from __future__ import annotations

import math

from pitwright.layout.model import DoorLayout
from pitwright.layout.swing import swung
from pitwright.masses import Mass
from pitwright.parts import Placement, Point2


def on_axis(z: float, where: str = "") -> Placement:
    """A round piece standing on the vessel's axis with its own x = 0 at a height over the floor [m]."""
    return Placement(origin=(0.0, 0.0, z), x=(0.0, 0.0, 1.0), y=(1.0, 0.0, 0.0), z=(0.0, 1.0, 0.0), where=where)


def hanging(z: float) -> Placement:
    """A head hanging from the vessel's axis: its own x runs down from a height over the floor [m]."""
    return Placement(origin=(0.0, 0.0, z), x=(0.0, 0.0, -1.0), y=(1.0, 0.0, 0.0), z=(0.0, -1.0, 0.0))


def plan(radius: float, clock: float) -> Point2:
    """(x, y) of a point at a radius and clock, seen from above [m]."""
    return (radius * math.sin(clock), radius * math.cos(clock))


def turned_open(pin: Point2, point: Point2, swing: float, side: int) -> Point2:
    """A point of the open door in plan; side +1: the pins stand away from the firebox, and it opens that way."""
    u, v = swung((-side * pin[0], pin[1]), (-side * point[0], point[1]), swing)
    return (-side * u, v)


def swung_upright(mass: Mass, door: DoorLayout) -> Mass:
    """A weight of the tall door that stands open at its stop."""
    side = 1 if door.hinge_clock > door.edge_clock else -1
    x, y = turned_open(door.pin, (mass.centre[0], mass.centre[1]), door.stop, side)
    return Mass(mass=mass.mass, centre=(x, y, mass.centre[2]))
