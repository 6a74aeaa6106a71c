"""A firebox from its outer end inward: fire grate over the ash, doors and inlets round it; the same on every vessel."""

from __future__ import annotations

import math
from typing import Literal

from pitwright.errors import LayoutError
from pitwright.layout.draft import Draft
from pitwright.layout.firebox_front import lay_out_front, lay_out_inlets
from pitwright.layout.firebox_size import FireSizes
from pitwright.layout.model import FireboxLayout, VesselLayout
from pitwright.tape import INCH

Joint = Literal["cut", "dished", "flat", "side"]
ASH_SHARE = 0.4  # most of the firebox's inside height the ash space takes


def lay_out_inside(
    draft: Draft, vessel: VesselLayout, sizes: FireSizes, *, inside: float, x1: float, drop: float, joint: Joint
) -> FireboxLayout:
    """The firebox with a single wall, `inside` long [m], its vessel end at x1, `drop` under the vessel's middle [m].

    Raises LayoutError where fire grate, doors or inlets do not fit.
    """
    rules, ledger, tape = draft.rules.firebox, draft.ledger, draft.tape
    centre_z = vessel.centre_z - drop
    bottom = centre_z - sizes.height / 2.0 + sizes.wall
    deep = sizes.height - 2.0 * sizes.wall
    ash = min(rules.ash_height, ASH_SHARE * deep)
    up = ledger.choose(
        "firebox.fire_grate",
        max(draft.share(rules.fire_grate_up, sizes.width / 2.0, vessel.length), ash),
        because="fire grate over the inside bottom: ash room and air under the fire",
        rests_on=("firebox.width",),
        gave_way=""
        if ash == rules.ash_height
        else f"ash space of {tape.length(rules.ash_height)}: the firebox is too low",
        limits=(1.0 * INCH, deep),
    )
    grate_z, section = bottom + up, sizes.section(drop)
    half = section.half_width(grate_z - vessel.centre_z)
    if half <= 0.0:
        raise LayoutError(
            "the fire grate would lie over the firebox",
            field="proportions.firebox.fire_grate_up",
            value=tape.length(up),
            allowed=f"under {tape.length(deep)}",
            remedy="Lower the fire grate.",
        )
    front = lay_out_front(draft, section, vessel.centre_z, grate_z, up)
    wanted = ledger.choose(
        "firebox.inlet_area",
        rules.inlet_share * math.pi * vessel.inner_radius**2,
        "area",
        because="open inlets: the shop's share of the chamber's section",
        rests_on=("vessel.diameter",),
        limits=(1.0 * INCH**2, math.inf),
    )
    inlets = lay_out_inlets(draft, section, vessel.centre_z, front, wanted, bottom, grate_z)
    return FireboxLayout(
        shape=rules.shape,
        width=sizes.width,
        height=sizes.height,
        wall=sizes.wall,
        end_plate=rules.end_plate,
        double_gap=0.0,
        outer_skin=0.0,
        x0=x1 - inside - rules.end_plate,
        x1=x1,
        drop=drop,
        centre_z=centre_z,
        joint=joint,
        grate_z=grate_z,
        grate_width=2.0 * half - 0.5 * INCH,
        grate_length=inside - 0.5 * INCH,
        ash_depth=up,
        door_width=front.door_width,
        door_height=front.door_height,
        door_z=front.door_z,
        ash_height=front.ash_height,
        inlets=rules.inlets,
        inlet_area=inlets.area,
        inlet_width=inlets.width,
        inlet_height=inlets.height,
        inlet_z=inlets.z,
    )
