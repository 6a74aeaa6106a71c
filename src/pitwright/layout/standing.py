"""The pieces as they really stand: the pit frame is mirrored along x where the firebox is on the left."""

from __future__ import annotations

import dataclasses

from pitwright.layout.model import Pit
from pitwright.parts import Part, Placement, Vec


def standing_parts(pit: Pit) -> tuple[Part, ...]:
    """Every piece with its copies in a right-handed frame: x to the stack end (hand 1) or away from it (hand -1) [m]."""
    if pit.vessel.hand > 0:
        return pit.parts
    return tuple(
        dataclasses.replace(part, placements=tuple(_mirrored(p) for p in part.placements)) for part in pit.parts
    )


def _mirrored(p: Placement) -> Placement:
    def turn(v: Vec) -> Vec:
        return (-v[0], v[1], v[2])

    return Placement(origin=turn(p.origin), x=turn(p.x), y=turn(p.y), z=turn(p.z), where=p.where)
