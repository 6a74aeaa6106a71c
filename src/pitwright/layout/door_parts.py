"""The pieces of a chamber door: skin out of the vessel, bands, hinges and handle, counterweight."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.layout.draft import Draft
from pitwright.layout.model import VesselLayout
from pitwright.masses import combine
from pitwright.parts import Bar, Bought, Part, Placement, Point2, Shell
from pitwright.stock import Profile, find_profile
from pitwright.tape import INCH

ARM_STOCK = "2 x 1/2 flat"  # counterweight arm
WEIGHT_DENSITY = 7200.0  # kg/m3, cast iron weights, for their size on a picture (from memory)


@dataclass(frozen=True, slots=True, kw_only=True)
class DoorEdges:
    """One door opening on the skin: x [m] and clock [rad]."""

    x0: float
    x1: float
    hinge: float
    edge: float


def polar(vessel: VesselLayout, radius: float, clock: float) -> Point2:
    """(y, z) of a point at a radius and clock [m]."""
    return (radius * math.sin(clock), vessel.centre_z + radius * math.cos(clock))


def band_sizes(band: Profile) -> tuple[float, float]:
    """(width, thickness) of a flat bar [m]."""
    return max(band.height, band.width), min(band.height, band.width)


def weigh(draft: Draft, pieces: list[Part]) -> tuple[float, float, float]:
    """(mass [kg], y, z [m]) of the moving pieces together."""
    whole = combine(mass for part in pieces for mass in draft.placed(part))
    return whole.mass, whole.centre[1], whole.centre[2]


def door_parts(draft: Draft, vessel: VesselLayout, edges: DoorEdges, name: str) -> list[Part]:
    """Skin (out of the vessel), bands on the lower edge and both ends, hinges and handle."""
    rules, shop = draft.rules.doors, draft.rules.shop
    radius, kerf = vessel.outer_radius, shop.plate_kerf
    band = find_profile(rules.band, field="proportions.doors.band")
    length = edges.x1 - edges.x0
    angle_kerf = kerf / radius
    at = Placement(origin=(edges.x0 + kerf, 0.0, vessel.centre_z))
    skin = draft.add(
        "D",
        f"{name} skin",
        "doors",
        Shell(
            outer_radius=radius,
            wall=vessel.wall,
            length=length - 2.0 * kerf,
            clock0=edges.hinge + angle_kerf,
            clock1=edges.edge - angle_kerf,
        ),
        at,
        "of the vessel",
        moving=name,
        notes=("hinges on first, strongbacks across, leave tabs; leave the line",),
    )
    out = [skin]
    strip, thick = band_sizes(band)
    lap = rules.band_overlap
    out.append(
        draft.add(
            "D",
            f"{name} end band",
            "doors",
            Shell(
                outer_radius=radius + thick,
                wall=thick,
                length=strip,
                clock0=edges.hinge,
                clock1=edges.edge + (lap - strip) / radius,
            ),
            [Placement(origin=(x, 0.0, vessel.centre_z)) for x in (edges.x0 - lap, edges.x1 + lap - strip)],
            band.designation,
            moving=name,
            notes=("roll the easy way to the outside of the skin; ends on the lower band",),
        )
    )
    # the lower band lies flat on the skin, its middle a little past the edge so that it laps the gap
    middle = edges.edge + (lap - strip / 2.0) / radius
    c, s = math.cos(middle), math.sin(middle)
    r = radius + thick / 2.0
    upright = band.width > band.height
    out.append(
        draft.add(
            "D",
            f"{name} lower band",
            "doors",
            Bar.square(band, length + 2.0 * lap),
            Placement(
                origin=(edges.x0 - lap, r * s, vessel.centre_z + r * c),
                x=(1.0, 0.0, 0.0),
                y=(0.0, c, -s) if upright else (0.0, s, c),
                z=(0.0, s, c) if upright else (0.0, -c, s),
            ),
            band.designation,
            moving=name,
        )
    )
    mid = (edges.hinge + edges.edge) / 2.0
    grip = polar(vessel, radius + rules.handle_out / 2.0, edges.edge - 0.5 * (edges.edge - mid) * 0.2)
    out.append(
        draft.add(
            "H",
            f"{name} hinges and handle",
            "doors",
            Bought(mass=rules.hardware, size=(0.6 * length, 2.0 * INCH, 2.0 * INCH)),
            Placement(origin=((edges.x0 + edges.x1) / 2.0, grip[0], grip[1])),
            "bought",
            assumed=True,
            moving=name,
            notes=("weight taken at the handle",),
        )
    )
    return out


def counterweight_parts(draft: Draft, x: float, name: str, pin: Point2, arm_angle: float, weight: float) -> None:
    """The arm at x along the pit, square to the pins, and the weight on its end [kg].

    arm_angle  from straight forward, upward, with the door shut [rad]
    """
    rules = draft.rules.doors
    along = (0.0, math.cos(arm_angle), math.sin(arm_angle))
    square = (0.0, along[2], -along[1])
    arm = find_profile(ARM_STOCK, field="counterweight arm")
    side = (weight / WEIGHT_DENSITY) ** (1.0 / 3.0)
    to_weight = rules.counterweight_arm - side / 2.0
    if to_weight > 0.0:
        draft.add(
            "D",
            f"{name} counterweight arm",
            "doors",
            Bar.square(arm, to_weight),
            Placement(origin=(x, pin[0], pin[1]), x=along, y=(1.0, 0.0, 0.0), z=square),
            arm.designation,
            moving=name,
        )
    tip = (x, pin[0] + rules.counterweight_arm * along[1], pin[1] + rules.counterweight_arm * along[2])
    draft.add(
        "H",
        f"{name} counterweight",
        "doors",
        Bought(mass=weight, size=(side, side, side)),
        Placement(origin=tip, x=along, y=(1.0, 0.0, 0.0), z=square),
        "bought",
        assumed=True,
        moving=name,
    )
