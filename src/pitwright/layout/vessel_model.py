"""The vessel in a solved pit: turned and set, with the seams and fittings it brought along.

Figures of a vessel are in its own frame: x along its axis, clock and around on its skin; see `pitwright.layout.model`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pitwright.parts import Head, Vec


@dataclass(frozen=True, slots=True, kw_only=True)
class VesselLayout:
    """The vessel, clocked and set at its height.

    outer_radius  from the tape-around (around / 2 pi) or the diameter [m]
    oval          half the difference of the largest and smallest radius [m]; 0 = round
    oval_clock    clock of the largest radius [rad]
    fire_head, stack_head  the head left on each end, None where the end is open or cut off
    centre_z      centre line over the floor; on end: the middle of the shell over the floor [m]
    top_from_seam around from the long seam to the top line, clockwise seen at survey end A [m]
    fire_end      which survey end gets the fire; on end: which one stands at the bottom
    on_end        it stands on end: x runs up from the bottom seam, clocks from the front line
    """

    outer_radius: float
    wall: float
    length: float
    fire_head: Head | None
    stack_head: Head | None
    centre_z: float
    oval: float
    oval_clock: float
    hand: int
    datum: Literal["stack", "fire"]
    fire_end: Literal["A", "B"]
    top_from_seam: float
    long_seam_clock: float | None
    girth_seams: tuple[float, ...]
    fittings: tuple[PlacedFitting, ...]
    keep_outs: tuple[KeepOut, ...]
    on_end: bool = False

    @property
    def inner_radius(self) -> float:
        """Inside radius [m]."""
        return self.outer_radius - self.wall

    @property
    def around(self) -> float:
        """Tape right round the outside skin [m]."""
        return 2.0 * math.pi * self.outer_radius

    @property
    def stack_tangent(self) -> float:
        """Where the stack-end head's dish begins: past its straight flange [m]."""
        return self.length + (0.0 if self.stack_head is None else self.stack_head.flange)

    @property
    def fire_tangent(self) -> float:
        """Where the fire-end head's dish begins: past its straight flange [m]."""
        return 0.0 if self.fire_head is None else -self.fire_head.flange

    def station(self, x: float) -> float:
        """What a tape hooked on the datum seam reads at x [m]."""
        return self.length - x if self.datum == "stack" else x

    def x_at(self, station: float) -> float:
        """The x of a station [m]."""
        return self.length - station if self.datum == "stack" else station

    def around_at(self, clock: float) -> float:
        """Tape from the top line on the outside skin, positive to the working side [m]."""
        return self.outer_radius * clock

    @property
    def seam_z(self) -> float:
        """On end: the bottom seam over the floor [m]."""
        return self.centre_z - self.length / 2.0

    def skin(self, x: float, clock: float, out: float = 0.0) -> Vec:
        """A point of the outside skin (moved `out` along the radius), in the pit frame [m]."""
        r = self.outer_radius + out
        if self.on_end:
            return (r * math.sin(clock), r * math.cos(clock), self.seam_z + x)
        return (x, r * math.sin(clock), self.centre_z + r * math.cos(clock))

    def radius_at(self, clock: float) -> float:
        """Measured outside radius at a clock; equals outer_radius on a round vessel [m]."""
        return self.outer_radius + self.oval * math.cos(2.0 * (clock - self.oval_clock))

    def skin_turn(self, clock: float) -> float:
        """How far the real skin faces away from the round one at a clock, positive to higher clock [rad]."""
        return 2.0 * self.oval / self.outer_radius * math.sin(2.0 * (clock - self.oval_clock))


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedFitting:
    """A fitting of the survey, in the clocked pit."""

    name: str
    on: Literal["shell", "fire head", "stack head"]
    x: float
    clock: float
    size: float
    plan: str
    serves: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepOut:
    """A strip of skin where no edge may land (a seam, a patch, a fitting), with the room it wants [m, rad]."""

    name: str
    x0: float
    x1: float
    clock0: float
    clock1: float
    clear: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockChoice:
    """One way to turn the vessel: what is least clear, and by how much."""

    fire_end: Literal["A", "B"]
    top_from_seam: float
    least_clear: float
    against: str
    serves: tuple[str, ...]
    score: float
