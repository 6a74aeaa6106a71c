"""The pieces the vessel itself becomes: the shell with its openings, and what closes the stack end."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence

from pitwright.layout.draft import Draft
from pitwright.layout.model import DoorLayout, GrateLayout, StackLayout, VesselLayout
from pitwright.layout.place import end_plate
from pitwright.layout.stack import stack_hole
from pitwright.parts import CylinderCut, Outline, Placement, Plate, PrismCut, Shell, ShellCutting, Window
from pitwright.tape import INCH

DRAIN_BORE = 1.0335 * INCH  # inside radius of 2 in schedule 40 pipe


def shell_parts(
    draft: Draft, vessel: VesselLayout, doors: Sequence[DoorLayout], stack: StackLayout, grates: GrateLayout
) -> None:
    """Add shell and stack end. The fire end comes with the firebox."""
    cuts: list[ShellCutting] = [Window(x0=d.x0, x1=d.x1, clock0=d.hinge_clock, clock1=d.edge_clock) for d in doors]
    hole = stack_hole(stack, vessel)
    if hole is not None:
        cuts.append(hole)
    if any(o.name == "drain" for o in draft.openings):
        cuts.append(
            CylinderCut(
                point=(grates.drain_x, 0.0, 0.0),
                axis=(0.0, 0.0, -1.0),
                radius=DRAIN_BORE,
                reach=(0.5 * vessel.outer_radius, math.inf),
            )
        )
    draft.add(
        "V",
        "shell",
        "vessel",
        Shell(outer_radius=vessel.outer_radius, wall=vessel.wall, length=vessel.length, cuts=tuple(cuts)),
        Placement(origin=(0.0, 0.0, vessel.centre_z)),
        "of the vessel",
    )
    _stack_end(draft, vessel, stack)


def _stack_end(draft: Draft, vessel: VesselLayout, stack: StackLayout) -> None:
    bore = Outline.circle(0.0, stack.base_z - vessel.centre_z, stack.profile.height / 2.0 - stack.profile.wall)
    holes = (bore,) if stack.place == "end" else ()
    head = vessel.stack_head
    if head is None:
        thickness = draft.rules.firebox.end_plate
        disc = Outline.circle(0.0, 0.0, vessel.outer_radius, holes)
        draft.add(
            "V",
            "stack-end plate",
            "vessel",
            Plate(outline=disc, thickness=thickness),
            end_plate(vessel.length, vessel.centre_z),
            draft.plate(thickness),
            notes=("closes the open end",),
        )
        return
    cuts = tuple(PrismCut(outline=h, origin=(0.0, 0.0, 0.0), u=(0.0, 1.0, 0.0), v=(0.0, 0.0, 1.0)) for h in holes)
    draft.add(
        "V",
        "stack-end head",
        "vessel",
        dataclasses.replace(head, cuts=cuts),
        Placement(origin=(vessel.stack_tangent, 0.0, vessel.centre_z)),
        "of the vessel",
    )
