"""All the solved pieces a check may look at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.layout.model import (
    BaseLayout,
    DoorLayout,
    FireboxLayout,
    GrateLayout,
    LegSet,
    SaddleLayout,
    StackLayout,
    ThroatLayout,
    VesselLayout,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """All the solved pieces a check may look at."""

    vessel: VesselLayout
    doors: Sequence[DoorLayout]
    stack: StackLayout
    grates: GrateLayout
    firebox: FireboxLayout
    leg_sets: Sequence[LegSet]
    saddles: Sequence[SaddleLayout]
    base: BaseLayout
    throat: ThroatLayout
