"""The work shelf along the doors: a plate on brackets, under the lower door edge."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pitwright.layout.base import contact_zones
from pitwright.layout.draft import Draft
from pitwright.layout.model import DoorLayout, VesselLayout
from pitwright.layout.patches import Patch
from pitwright.layout.place import level_plate
from pitwright.parts import Outline, Placement, Plate, bulge_of
from pitwright.tape import INCH

BRACKET_APART = 30.0 * INCH
BRACKET_THICKNESS = 0.25 * INCH
PAD = 4.0 * INCH
BESIDE = 0.5 * INCH  # a bracket stands this far clear of a leg, its pad or a saddle


def shelf_parts(draft: Draft, vessel: VesselLayout, doors: Sequence[DoorLayout]) -> None:
    """Add shelf and brackets where the shop builds one (shelf.depth over 0)."""
    rules = draft.rules.shelf
    if rules.depth == 0.0:
        return
    radius = vessel.outer_radius
    x0, x1 = doors[0].x0, doors[-1].x1
    edge = max(d.edge_clock for d in doors)
    top = radius * math.cos(edge) - rules.below_door  # over the vessel's centre
    under = top - rules.thickness
    tall = min(5.0 * INCH, under + 0.9 * radius)
    if tall < 2.0 * INCH:
        draft.find(
            "shelf.low",
            "warn",
            "The shelf would lie under the vessel.",
            remedy="Raise the door's lower edge or leave the shelf off.",
        )
        return
    inner = math.sqrt(radius**2 - top**2) + 1e-4  # the skin's nearest point at the shelf's top face
    inner = max(inner, math.sqrt(max(radius**2 - under**2, 0.0)) + 1e-4)
    z = vessel.centre_z
    draft.ledger.note(
        "shelf.height",
        z + top,
        because="under the door's lower edge by the handle's drop and the shop's gap",
        rests_on=("doors.edge_clock",),
    )
    draft.add(
        "W",
        "shelf",
        "shelf",
        Plate(outline=Outline.rectangle(0.0, 0.0, x1 - x0, rules.depth), thickness=rules.thickness),
        level_plate(x0, inner, z + under),
        draft.plate(rules.thickness),
    )
    skin = radius + 1e-4
    upper, lower = (math.sqrt(max(skin**2 - v * v, 0.0)) for v in (under, under - tall))
    turn = math.atan2(under - tall, lower) - math.atan2(under, upper)
    bracket = Outline(
        ((upper, under), (lower, under - tall), (inner + 0.8 * rules.depth, under)), (bulge_of(turn), 0.0, 0.0)
    )
    count = max(2, math.ceil((x1 - x0) / BRACKET_APART) + 1)
    zones = contact_zones(draft, vessel)
    _shelf_meets(draft, zones, (x0, x1), math.atan2(inner, under))
    clocks = math.atan2(upper, under), math.atan2(lower, under - tall)
    taken = [(b.x0 - BESIDE, b.x1 + BESIDE) for b in zones if b.clock0 < clocks[1] and b.clock1 > clocks[0]]
    draft.add(
        "W",
        "shelf bracket",
        "shelf",
        Plate(outline=bracket, thickness=BRACKET_THICKNESS),
        [
            Placement(
                origin=(_beside(x0 + 2.0 * INCH + i * (x1 - x0 - 4.0 * INCH) / (count - 1), taken, (x0, x1)), 0.0, z),
                x=(0.0, 1.0, 0.0),
                y=(0.0, 0.0, 1.0),
                z=(1.0, 0.0, 0.0),
            )
            for i in range(count)
        ],
        draft.plate(BRACKET_THICKNESS),
        notes=(f"on a pad {draft.tape.length(PAD)} square: hot skin, and the wall dents without one",),
    )


def _beside(x: float, taken: Sequence[tuple[float, float]], span: tuple[float, float]) -> float:
    """The place nearest to x along the shelf where a bracket stands clear of what is taken; x where there is none [m]."""
    spots = [x, *(low - BRACKET_THICKNESS for low, _ in taken), *(high for _, high in taken)]
    free = [
        s
        for s in spots
        if span[0] <= s <= span[1] - BRACKET_THICKNESS
        and not any(low - BRACKET_THICKNESS < s < high for low, high in taken)
    ]
    return min(free, key=lambda s: abs(s - x), default=x)


def _shelf_meets(draft: Draft, zones: Sequence[Patch], span: tuple[float, float], clock: float) -> None:
    """Say what on the skin the shelf's inner edge runs into."""
    for zone in zones:
        if zone.clock0 < clock < zone.clock1 and zone.x0 < span[1] and zone.x1 > span[0]:
            draft.find(
                "shelf.notch",
                "warn",
                f"The shelf's inner edge runs into {zone.name}.",
                remedy="Notch the shelf round it, or raise the door's lower edge.",
            )
