"""Doors of a solved pit as a hand meets them: the pull over the swing, and where fingers are caught."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.layout.model import Pit

PINCH = (
    "Fingers are caught between door and shell, at the hinge barrels, and between a counterweight arm and the shell: one "
    "person moves a door, by its handle, the other hand off the pit.",
    "A door past its balance falls the other way by itself. Stand beside it, not in front; drop the prop or latch before "
    "you reach in.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DoorPull:
    """Hand pull of one door [N]: shut, the most and at what swing [rad], and at its stop; negative: it wants to rise."""

    door: str
    first: float
    worst: float
    worst_at: float
    at_stop: float
    over_centre: float
    stop: float


def door_pulls(pit: Pit) -> tuple[DoorPull, ...]:
    """Pull of every door over its swing. One over the shop's limit is told with the doors themselves."""
    pulls = []
    for door in pit.doors:
        at, _ = max(door.pulls, key=lambda p: abs(p[1]), default=(0.0, 0.0))
        last = min(door.pulls, key=lambda p: abs(p[0] - door.stop), default=(0.0, 0.0))[1]
        pulls.append(
            DoorPull(
                door=door.name, first=door.first_pull, worst=door.worst_pull, worst_at=at, at_stop=last,
                over_centre=door.over_centre if math.isfinite(door.over_centre) else math.inf, stop=door.stop,
            )
        )  # fmt: skip
    return tuple(pulls)
