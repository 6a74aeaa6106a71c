"""A vessel on end as the fire sees it: the gas path runs up the vessel, from the middle of the window to the top.

What the model calls *along the pit* is height over the window's middle here, so its main grate runs from the lowest
grate to the highest, and its spread is from the lowest to the highest. The section is parted in two alike halves, which
trade gas as the layers of a lying chamber do. Heights are true: the draw counts the whole hot column from the inlet to
the stack's top. The shell under the window's middle and the bottom are the near end wall, so the whole standing skin
loses heat. What of that no burn has proved yet is said by `upright_fire_findings`.
"""

from __future__ import annotations

import math

from pitwright.findings import Finding
from pitwright.fire.case import Chamber, Door, Shelf, Stack, Throat, Wall
from pitwright.layout.model import Pit
from pitwright.meridian import head_form
from pitwright.parts import Head

GRATE_BAND = 0.02  # m, half the stretch of path read at one grate
LONE_BAND = 0.05  # m, the same where there is one grate only


def path_start(pit: Pit) -> float:
    """Where the gas path begins: the window's middle over the floor [m]."""
    return pit.vessel.centre_z + (pit.throat.bottom + pit.throat.top) / 2.0


def upright_throat(pit: Pit) -> Throat:
    """The window, square to the firebox; where the spreader leaves less, what it leaves."""
    assert pit.upright is not None
    spreader = pit.upright.spreader
    area = pit.throat.net_area if spreader is None else min(pit.throat.net_area, spreader.passage)
    return Throat(area=area, z_low=pit.vessel.centre_z + pit.throat.bottom, z_high=pit.vessel.centre_z + pit.throat.top)


def upright_chamber(pit: Pit, steel: float, inner_steel: float) -> Chamber:
    """The standing cylinder. steel, inner_steel: of the vessel and its door, of the grates [kg]."""
    vessel, levels = pit.vessel, pit.grates.levels
    start, inner = path_start(pit), vessel.inner_radius
    top_seam = vessel.seam_z + vessel.length
    length = top_seam - start
    section, skin = math.pi * inner**2, 2.0 * math.pi * inner
    under = skin * (start - vessel.seam_z) + _end(vessel.fire_head, section) - pit.throat.gross_area
    first, last = levels[0].z - start, levels[-1].z - start
    if last - first < 2.0 * LONE_BAND:
        first, last = first - LONE_BAND, last + LONE_BAND
    doors = tuple(
        Door(
            name=d.name,
            room="chamber",
            x0=max(vessel.seam_z + d.x0 - start, 0.0),
            x1=vessel.seam_z + d.x1 - start,
            z_low=vessel.seam_z + d.x0,
            z_high=vessel.seam_z + d.x1,
            width=d.arc,
            side=d.x1 - d.x0,
        )
        for d in pit.doors
    )
    return Chamber(
        length=length,
        z_low=vessel.seam_z - _deep(vessel.fire_head),
        z_grate=levels[0].z,
        z_high=top_seam + _deep(vessel.stack_head),
        flow_below=section / 2.0,
        flow_above=section / 2.0,
        skin_below=skin / 2.0,
        skin_above=skin / 2.0,
        grate_width=2.0 * inner,
        grate_x0=max(first, 0.0),
        grate_x1=min(last, length),
        ends=(under + _end(vessel.stack_head, section)) / 2.0,
        diameter=2.0 * vessel.outer_radius,
        steel=steel,
        inner_steel=inner_steel,
        wall=Wall(thickness=vessel.wall),
        doors=doors,
    )


def _end(head: Head | None, section: float) -> float:
    return section if head is None else head_form(head).figures().inside_area


def _deep(head: Head | None) -> float:
    """How far an end reaches past its seam, inside [m]."""
    if head is None or head.kind == "flat":
        return 0.0
    return head.flange + head.depth - head.wall


def upright_shelves(pit: Pit) -> tuple[Shelf, ...]:
    """Every grate over the lowest, a short stretch of the path each."""
    start = path_start(pit)
    return tuple(
        Shelf(
            name=level.name,
            z=level.z,
            x0=level.z - start - GRATE_BAND,
            x1=level.z - start + GRATE_BAND,
            width=level.width,
        )
        for level in pit.grates.levels[1:]
    )


def upright_stack(pit: Pit) -> Stack:
    """The stack out of the top, or out of the back with its bend."""
    vessel, stack = pit.vessel, pit.stack
    bore, start = stack.profile.height - 2.0 * stack.profile.wall, path_start(pit)
    wall = Wall(thickness=stack.profile.wall)
    if stack.place == "back":
        return Stack(
            x=stack.base_z - start,
            z_mouth_low=stack.base_z - bore / 2.0,
            z_mouth_high=stack.base_z + bore / 2.0,
            z_top=stack.top_z,
            diameter=bore,
            wall=wall,
            mitres=1,
        )
    mouth = vessel.seam_z + vessel.length + _deep(vessel.stack_head)
    return Stack(
        x=vessel.seam_z + vessel.length - start, z_mouth_low=mouth, z_mouth_high=mouth, z_top=stack.top_z,
        diameter=bore, wall=wall,
    )  # fmt: skip


def upright_fire_findings(pit: Pit) -> tuple[Finding, ...]:
    """What the fire of a vessel on end rests on and no burn has proved."""
    if pit.upright is None:
        return ()
    return (
        Finding(
            code="fire.on_end",
            severity="unchecked",
            text="The fire is reckoned up the vessel: wood, draw, choke and mean heat follow from heights, areas and skin. The "
            "spread from the lowest to the highest grate rests on mixing measured in lying chambers, and the plate over "
            "the window counts as an opening only. In a real vessel on end the top may run as hot as the bottom.",
            pieces=("grates",),
            remedy="Hang a thermometer at every grate on the first burn and type in what they read.",
            source="docs/upright.md",
        ),
    )
