"""The weld list: every joint of a pit with its kind, size, length, filler and arc time.

Sizes are least sizes for the thinner part (AISC 360 Table J2.4) or the shop's usual one where that is larger, with a
straight-cut leg's fit-up gap added; `pitwright.strength` says where a load asks for more. Filler: a fillet's section
is leg^2 / 2, 10 % over for its crown; a full groove's is the wall squared over 2 (60 degree vee, one side).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from pitwright.layout.curves import Saddle
from pitwright.layout.model import LegLayout, LegSet, Pit
from pitwright.parts import Bar, Plate
from pitwright.stock import STEEL_DENSITY, Profile
from pitwright.strength.welds import GAP_FREE, GAP_MOST, least_leg, leg_for_gap
from pitwright.tape import HOUR, INCH, LB

Kind = Literal["fillet", "stitch fillet", "groove"]
SIXTEENTH = INCH / 16.0
USUAL_LEG = 0.25 * INCH  # a shop runs the wall's own size up to this (common practice, no source)
CROWN = 1.10  # metal over the bare triangle (common practice, no source)
STITCH = 2.0 * INCH
STITCH_PITCH = 8.0 * INCH
WIRE_YIELD = 0.93  # weld metal from solid wire (common practice, no source)
STICK_YIELD = 0.60  # weld metal from stick electrodes (common practice, no source)
DEPOSIT = 6.0 * LB / HOUR  # kg/s, solid wire, arc on (common practice, no source)
GAS = 35.0 * 0.3048**3 / HOUR  # m3/s, shielding gas at 35 cubic feet an hour (common practice, no source)
ARC_ON = 0.27  # share of the welder's hours with the arc on (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Weld:
    """One joint.

    leg     fillet leg or groove depth [m]; length: of one joint, as welded (a stitch counts its stitches) [m]
    count   joints alike; gap: fit-up gap allowed for in the leg [m]
    metal   weld metal of all of them [kg]
    stage   when in the build; note: what to mind
    """

    name: str
    kind: Kind
    leg: float
    length: float
    count: int
    thinner: float
    gap: float
    stage: str
    note: str = ""

    @property
    def metal(self) -> float:
        """Weld metal of all of them [kg]."""
        section = self.leg**2 / 2.0 * CROWN
        return section * self.length * self.count * STEEL_DENSITY


@dataclass(frozen=True, slots=True, kw_only=True)
class WeldTotals:
    """What the weld list takes: metal, wire or sticks [kg], gas [m3], arc time and hours at the job [s]."""

    metal: float
    wire: float
    sticks: float
    gas: float
    arc: float
    work: float


def weld_list(pit: Pit) -> tuple[Weld, ...]:
    """Every joint of the pit, in build order."""
    return (
        *_base(pit),
        *_inside(pit),
        *_fire_end(pit),
        *_legs(pit),
        *_stack(pit),
        *_doors(pit),
        *_small(pit),
    )


def totals(welds: tuple[Weld, ...]) -> WeldTotals:
    """Consumables and time of a weld list."""
    metal = sum(w.metal for w in welds)
    arc = metal / DEPOSIT
    return WeldTotals(
        metal=metal, wire=metal / WIRE_YIELD, sticks=metal / STICK_YIELD, gas=arc * GAS, arc=arc, work=arc / ARC_ON
    )


def _fillet(
    name: str,
    length: float,
    thinner: float,
    stage: str,
    *,
    count: int = 1,
    gap: float = 0.0,
    note: str = "",
    stitch: bool = False,
) -> Weld:
    usual = math.floor(min(thinner, USUAL_LEG) / SIXTEENTH + 1e-6) * SIXTEENTH
    leg = max(least_leg(thinner), usual)
    if GAP_FREE < gap <= GAP_MOST:
        leg = leg_for_gap(leg, gap)
    run = length if not stitch else max(2, math.ceil(length / STITCH_PITCH)) * STITCH
    return Weld(
        name=name,
        kind="stitch fillet" if stitch else "fillet",
        leg=leg,
        length=min(run, length),
        count=count,
        thinner=thinner,
        gap=gap,
        stage=stage,
        note=note,
    )


def around_section(profile: Profile, slant: float = 0.0) -> float:
    """Weld right round a bar whose end face slants by an angle off square [m]."""
    if profile.kind == "pipe":
        a, b = profile.height / 2.0 / math.cos(slant), profile.height / 2.0
        h = ((a - b) / (a + b)) ** 2  # Ramanujan's ellipse, first form
        return math.pi * (a + b) * (1.0 + 3.0 * h / (10.0 + math.sqrt(4.0 - 3.0 * h)))
    return 2.0 * profile.width + 2.0 * profile.height / math.cos(slant)


def _base(pit: Pit) -> Iterator[Weld]:
    base = pit.base
    if base.crosses:
        yield _fillet(
            "cross member to rail",
            around_section(base.cross) * 0.75,
            min(base.cross.wall, base.rail.wall),
            "base",
            count=2 * len(base.crosses),
            note="tack all, square up by the diagonals, then weld from the middle outward",
        )
    if base.pockets:
        yield _fillet(
            "fork pocket to rail",
            2.0 * base.pocket.width,
            min(base.pocket.wall, base.rail.wall),
            "base",
            count=2 * len(base.pockets),
        )
    for part in pit.parts:
        if part.name == "drag eye" and isinstance(part.shape, Plate):
            x0, y0, x1, y1 = part.shape.outline.bounds()
            yield _fillet("drag eye", 2.0 * max(x1 - x0, y1 - y0), base.rail.wall, "base", count=part.quantity)


def _inside(pit: Pit) -> Iterator[Weld]:
    wall = pit.vessel.wall
    for part in pit.parts:
        if part.name.endswith("ledge") and isinstance(part.shape, Bar):
            yield _fillet(
                part.name,
                part.shape.x1 - part.shape.x0,
                min(part.shape.profile.wall, wall),
                "inside the vessel",
                count=part.quantity,
                stitch=True,
                note="before the ends close; ventilate",
            )
        if part.name.endswith("frame side"):
            yield _fillet(
                part.name.replace("side", "corner"),
                2.0 * INCH,
                part.shape.profile.wall if isinstance(part.shape, Bar) else wall,
                "grates",
                count=2 * part.quantity,
            )


def _fire_end(pit: Pit) -> Iterator[Weld]:
    vessel, box, throat = pit.vessel, pit.firebox, pit.throat
    ring = 2.0 * math.pi * vessel.outer_radius
    if box.joint == "cut":
        yield _fillet("throat plate to shell", ring, min(vessel.wall, throat.plate_thickness), "throat",
                      note="grease tight; short runs on opposite sides")  # fmt: skip
    else:
        yield _fillet("firebox to the vessel's end", throat.perimeter * 1.2, min(vessel.wall, box.wall), "throat")
    round_box = math.pi * box.width if box.shape == "round" else 2.0 * (box.width + box.height)
    if box.joint == "cut":
        yield _fillet("firebox to throat plate", round_box, min(box.wall, throat.plate_thickness), "firebox")
    yield _fillet("firebox end plate", round_box, min(box.wall, box.end_plate), "firebox")
    if box.shape == "box":
        yield _fillet("firebox corner", box.x1 - box.x0, box.wall, "firebox", count=4)
    if box.double_gap:
        yield _fillet(
            "firebox outer skin",
            round_box,
            box.outer_skin,
            "firebox",
            count=2,
            stitch=True,
            note="inner welds checked first: they cannot be reached afterwards",
        )
    if vessel.stack_head is None:
        yield _fillet("stack-end plate to shell", ring, min(vessel.wall, box.end_plate), "throat")


def _legs(pit: Pit) -> Iterator[Weld]:
    for leg_set in pit.leg_sets:
        for leg in leg_set.legs:
            yield from _leg(pit, leg_set, leg)
    for saddle in pit.saddles:
        yield _fillet(
            f"saddle {saddle.name} to shell",
            saddle.arc,
            min(saddle.thickness, pit.vessel.wall),
            "legs and saddles",
            count=2,
            stitch=True,
        )


def _leg(pit: Pit, leg_set: LegSet, leg: LegLayout) -> Iterator[Weld]:
    profile = leg_set.profile
    seat = leg_set.pad_thickness or pit.vessel.wall
    gap = leg.gap if leg.end == "straight" else 0.0
    name = f"leg {leg_set.name}, {leg.side} side"
    yield _fillet(
        f"{name}, top",
        around_section(profile, leg.top_cut),
        min(profile.wall, seat),
        "legs and saddles",
        gap=gap,
        note="gap added to the fillet" if gap > GAP_FREE else "",
    )
    yield _fillet(
        f"{name}, foot",
        around_section(profile, leg.foot_cut),
        min(profile.wall, pit.base.rail.wall),
        "legs and saddles",
    )
    if leg_set.pad_thickness:
        yield _fillet(
            f"{name}, pad",
            4.0 * leg_set.pad_size,
            min(leg_set.pad_thickness, pit.vessel.wall),
            "legs and saddles",
            note="leave 1/2 in open at the low corner to vent",
        )


def _stack(pit: Pit) -> Iterator[Weld]:
    stack, vessel = pit.stack, pit.vessel
    thinner = min(stack.profile.wall, vessel.wall)
    if stack.place == "end":
        r = stack.profile.height
        yield _fillet("stack stub to the end", math.pi * r, thinner, "stack")
        yield _fillet("stack elbow", around_section(stack.profile, math.pi / 4.0), stack.profile.wall, "stack")
        return
    saddle = Saddle(header_radius=vessel.outer_radius, branch_radius=stack.profile.height / 2.0, offset=stack.y)
    turn = np.linspace(0.0, 2.0 * math.pi, 145)
    curve = np.array([saddle.point(float(c)) for c in turn])
    length = float(np.linalg.norm(np.diff(curve, axis=0), axis=1).sum())
    yield _fillet("stack to shell", length, thinner, "stack")


def _doors(pit: Pit) -> Iterator[Weld]:
    wall = pit.vessel.wall
    for door in pit.doors:
        yield _fillet(
            f"{door.name} bands",
            door.x1 - door.x0 + 2.0 * door.arc,
            wall,
            "doors",
            stitch=True,
            note="hinges on before the last side is cut; strongbacks stay until the bands are on",
        )
        yield _fillet(f"{door.name} hinges and handle", 6.0 * INCH, wall, "doors", count=3)


def _small(pit: Pit) -> Iterator[Weld]:
    wall = pit.vessel.wall
    for part in pit.parts:
        if part.name == "drain nipple" and isinstance(part.shape, Bar):
            yield _fillet("drain nipple", around_section(part.shape.profile), min(part.shape.profile.wall, wall), "fittings",
                          note="grease tight")  # fmt: skip
        if part.name == "shelf bracket" and isinstance(part.shape, Plate):
            low, high = part.shape.outline.bounds()[1::2]
            yield _fillet("shelf bracket", 2.0 * (high - low), part.shape.thickness, "fittings", count=part.quantity)
    for fitting in pit.vessel.fittings:
        if fitting.plan == "plug":
            yield _fillet(f"plug of {fitting.name}", math.pi * fitting.size, wall, "fittings")
        if fitting.plan == "cut away":
            yield Weld(
                name=f"patch of {fitting.name}",
                kind="groove",
                leg=wall,
                length=math.pi * fitting.size,
                count=1,
                thinner=wall,
                gap=0.0,
                stage="fittings",
                note="flush patch rolled to the shell",
            )
