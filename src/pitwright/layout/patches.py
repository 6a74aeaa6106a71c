"""Rectangles on the unrolled skin, and the tape distance between them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.layout.model import DoorLayout, KeepOut, LegLayout, LegSet, PlacedFitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """A rectangle on the unrolled skin: x and clock ranges."""

    name: str
    x0: float
    x1: float
    clock0: float
    clock1: float


def skin_gap(a: Patch, b: Patch, radius: float) -> float:
    """Tape distance between two patches of skin [m]; negative by the overlap."""
    dx = max(a.x0 - b.x1, b.x0 - a.x1)
    turn = 2.0 * math.pi
    middle = abs((a.clock0 + a.clock1 - b.clock0 - b.clock1) / 2.0) % turn
    apart = min(middle, turn - middle)
    da = (apart - (a.clock1 - a.clock0 + b.clock1 - b.clock0) / 2.0) * radius
    if dx > 0.0 and da > 0.0:
        return math.hypot(dx, da)
    return max(dx, da)


def door_patch(door: DoorLayout) -> Patch:
    """A door's opening."""
    return Patch(name=door.name, x0=door.x0, x1=door.x1, clock0=door.hinge_clock, clock1=door.edge_clock)


def keep_patch(keep: KeepOut) -> Patch:
    """Skin where no edge may land."""
    return Patch(name=keep.name, x0=keep.x0, x1=keep.x1, clock0=keep.clock0, clock1=keep.clock1)


def fitting_patch(fitting: PlacedFitting, radius: float) -> Patch:
    """A fitting on the shell."""
    half = fitting.size / 2.0
    return Patch(
        name=fitting.name,
        x0=fitting.x - half,
        x1=fitting.x + half,
        clock0=fitting.clock - half / radius,
        clock1=fitting.clock + half / radius,
    )


def foot_patch(leg_set: LegSet, leg: LegLayout, radius: float) -> Patch:
    """What a leg's top end (and its pad) covers of the shell."""
    clock = (math.pi - leg.contact) * (1.0 if leg.side == "working" else -1.0)
    face = leg_set.profile.height / math.cos(leg.top_cut)
    half_x = max(leg_set.profile.width, leg_set.pad_size) / 2.0
    half_c = max(face, leg_set.pad_size) / 2.0 / radius
    return Patch(
        name=f"leg {leg_set.name} {leg.side}",
        x0=leg_set.x - half_x,
        x1=leg_set.x + half_x,
        clock0=clock - half_c,
        clock1=clock + half_c,
    )


def lies_inside(inner: Patch, outer: Patch, radius: float) -> float:
    """How deep a patch lies inside another, to its nearest edge by tape [m]; negative where it does not."""
    turn = 2.0 * math.pi
    middle = abs((inner.clock0 + inner.clock1 - outer.clock0 - outer.clock1) / 2.0) % turn
    apart = min(middle, turn - middle)
    da = ((outer.clock1 - outer.clock0 - inner.clock1 + inner.clock0) / 2.0 - apart) * radius
    return min(inner.x0 - outer.x0, outer.x1 - inner.x1, da)
