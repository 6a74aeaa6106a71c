"""The work shelf along the doors: a plate on brackets, under the lower door edge."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pitwright.layout.draft import Draft
from pitwright.layout.model import DoorLayout, VesselLayout
from pitwright.layout.place import level_plate
from pitwright.parts import Outline, Placement, Plate
from pitwright.tape import INCH

BRACKET_APART = 30.0 * INCH
BRACKET_THICKNESS = 0.25 * INCH
PAD = 4.0 * INCH


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
    low = math.sqrt(max(radius**2 - (under - tall) ** 2, 0.0)) + 1e-4
    bracket = Outline.polygon(((inner, under), (low, under - tall), (inner + 0.8 * rules.depth, under)))
    count = max(2, math.ceil((x1 - x0) / BRACKET_APART) + 1)
    draft.add(
        "W",
        "shelf bracket",
        "shelf",
        Plate(outline=bracket, thickness=BRACKET_THICKNESS),
        [
            Placement(
                origin=(x0 + 2.0 * INCH + i * (x1 - x0 - 4.0 * INCH) / (count - 1), 0.0, z),
                x=(0.0, 1.0, 0.0),
                y=(0.0, 0.0, 1.0),
                z=(1.0, 0.0, 0.0),
            )
            for i in range(count)
        ],
        draft.plate(BRACKET_THICKNESS),
        notes=(f"on a pad {draft.tape.length(PAD)} square: hot skin, and the wall dents without one",),
    )
