"""Where a licensed engineer must look at a solved pit, whatever the ratios say."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pitwright.findings import Finding
from pitwright.layout.model import Pit
from pitwright.layout.patches import Patch, door_patch, foot_patch, skin_gap
from pitwright.strength.pit_heat import Heat
from pitwright.strength.steel import DAILY_LIMIT

HALF_ROUND = math.pi
"""An opening wider than half the way round is no longer a shell with a hole in it."""


def engineer_findings(pit: Pit, heat: Heat) -> Iterator[Finding]:
    """One note for each reason this pit gives; the general ones stand among the cautions."""
    for why, pieces in (*_near_openings(pit), *_wide_doors(pit), *_road(pit), *_hot(pit, heat)):
        yield Finding(
            code="stand.engineer",
            severity="note",
            text=f"{why} A licensed engineer must look at it: the figures here do not cover it.",
            pieces=pieces,
            source="limits of the shell series and of the short-time steel tables",
        )


def _near_openings(pit: Pit) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Legs and lugs within half a radius of a door opening."""
    radius = pit.vessel.outer_radius
    borne = [foot_patch(s, leg, radius) for s in pit.leg_sets if s.x >= 0.0 for leg in s.legs]
    for lug in pit.lugs:
        half, turn = lug.pad_size / 2.0, lug.pad_around / 2.0 / radius
        borne.append(
            Patch(
                name=f"lug, {lug.name}", x0=lug.x - half, x1=lug.x + half, clock0=lug.clock - turn, clock1=lug.clock + turn
            )
        )  # fmt: skip
    near = [
        (patch.name, door.name, gap)
        for patch in borne
        for door in pit.doors
        if (gap := skin_gap(patch, door_patch(door), radius)) < radius / 2.0
    ]
    if near:
        tape = pit.tape
        said = "; ".join(f"{who}, {tape.length(max(gap, 0.0))} from {door}" for who, door, gap in near)
        yield (
            f"Nearer a door's opening than half the radius ({tape.length(radius / 2.0)}): {said}.",
            tuple(dict.fromkeys(who for who, _, _ in near)),
        )


def _wide_doors(pit: Pit) -> Iterator[tuple[str, tuple[str, ...]]]:
    for door in pit.doors:
        if abs(door.edge_clock - door.hinge_clock) > HALF_ROUND:
            yield f"{door.name} opens more than half the way round.", (door.name,)


def _road(pit: Pit) -> Iterator[tuple[str, tuple[str, ...]]]:
    if pit.base.tongue is not None:
        yield "It is a trailer for the road.", ("tongue",)


def _hot(pit: Pit, heat: Heat) -> Iterator[tuple[str, tuple[str, ...]]]:
    if heat.firebox > DAILY_LIMIT:
        yield f"The firebox skin runs at {pit.tape.temperature(heat.firebox)} day by day.", ("firebox",)
