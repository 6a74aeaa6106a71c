"""The skin of a solved pit under what presses on it: legs and their pads, lugs and theirs."""

from __future__ import annotations

import math

from pitwright.layout.model import LegLayout, LegSet, Pit
from pitwright.strength.shell import ShellPatch


def shell_patch(pit: Pit, leg_set: LegSet, leg: LegLayout) -> ShellPatch:
    """The skin under one leg (or under its pad)."""
    vessel = pit.vessel
    along = max(leg_set.profile.width, leg_set.pad_size if leg_set.pad_thickness else 0.0)
    around = max(leg_set.profile.height / math.cos(leg.top_cut), leg_set.pad_size if leg_set.pad_thickness else 0.0)
    return ShellPatch(
        radius=vessel.outer_radius - vessel.wall / 2.0,
        wall=vessel.wall,
        length=vessel.length,
        station=min(max(leg_set.x, along / 2.0), vessel.length - along / 2.0),
        along=along,
        around=around,
    )


def lug_patch(pit: Pit, x: float, along: float, around: float) -> ShellPatch:
    """The skin under a lug's pad."""
    vessel = pit.vessel
    return ShellPatch(
        radius=vessel.outer_radius - vessel.wall / 2.0,
        wall=vessel.wall,
        length=vessel.length,
        station=min(max(x, along / 2.0), vessel.length - along / 2.0),
        along=along,
        around=around,
    )
