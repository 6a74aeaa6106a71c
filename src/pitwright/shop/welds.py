"""The weld list: every joint of a pit with its kind, size, length, filler and arc time.

Sizes are least sizes for the thinner part (AISC 360 Table J2.4) or the shop's usual one where that is larger, with a
straight-cut leg's fit-up gap added; `pitwright.strength` says where a load asks for more. Filler: a fillet's section
is leg^2 / 2, a full groove's is wall^2 x tan 30 (60 degree vee from one side, edges touching), both 10 % over for the crown.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from pitwright.geometry.curves import Saddle
from pitwright.layout.model import LegLayout, LegSet, Pit
from pitwright.parts import Bar, Part, Plate, Shell
from pitwright.stock import STEEL_DENSITY, Profile
from pitwright.strength.welds import GAP_FREE, GAP_MOST, usual_leg
from pitwright.tape import HOUR, INCH, LB

Kind = Literal["fillet", "stitch fillet", "groove"]
WeldStage = Literal[
    "base",
    "running gear",
    "inside the vessel",
    "grates",
    "throat",
    "firebox",
    "outer skin",
    "pads",
    "legs",
    "stack",
    "doors",
    "fittings",
]
CROWN = 1.10  # metal over the bare triangle (common practice, no source)
VEE = math.tan(math.radians(30.0))
STITCH = 2.0 * INCH
STITCH_PITCH = 8.0 * INCH
SHORT = 2.0 * INCH  # a hinge leaf, a frame corner
WIRE_YIELD = 0.93  # weld metal from solid wire (common practice, no source)
STICK_YIELD = 0.60  # weld metal from stick electrodes (common practice, no source)
DEPOSIT = 6.0 * LB / HOUR  # kg/s, solid wire, arc on (common practice, no source)
GAS = 35.0 * 0.3048**3 / HOUR  # m3/s, shielding gas at 35 cubic feet an hour (common practice, no source)
ARC_ON = 0.27  # share of the welder's hours with the arc on (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Weld:
    """One joint, or several alike.

    leg      fillet leg, or depth of a groove [m]; length: of one joint, as welded (a stitch counts its stitches) [m]
    count    joints alike; gap: fit-up gap allowed for in the leg [m]
    marks    pieces it joins to what stands already
    stage    when in the build; note: what to mind
    """

    name: str
    kind: Kind
    leg: float
    length: float
    count: int
    thinner: float
    gap: float
    stage: WeldStage
    marks: tuple[str, ...] = ()
    note: str = ""

    @property
    def section(self) -> float:
        """Section of the weld metal, crown included [m2]."""
        return CROWN * (self.leg**2 * VEE if self.kind == "groove" else self.leg**2 / 2.0)

    @property
    def run(self) -> float:
        """Length of all of them [m]."""
        return self.length * self.count

    @property
    def metal(self) -> float:
        """Weld metal of all of them [kg]."""
        return self.section * self.run * STEEL_DENSITY


@dataclass(frozen=True, slots=True, kw_only=True)
class WeldTotals:
    """What the weld list takes: run [m], metal, wire or sticks [kg], gas [m3], arc time and hours at the job [s]."""

    run: float
    metal: float
    wire: float
    sticks: float
    gas: float
    arc: float
    work: float


def weld_list(pit: Pit) -> tuple[Weld, ...]:
    """Every joint of the pit, in build order. A joint longer than nothing; none where the pit has no such piece."""
    if pit.upright is not None:
        from pitwright.shop.welds_upright import upright_welds

        return tuple(w for w in upright_welds(pit, pit.upright) if w.run > 0.0)
    from pitwright.shop.running import running_welds

    found = (
        *base_welds(pit),
        *running_welds(pit),
        *_pads(pit),
        *inside_welds(pit),
        *_fire_end(pit),
        *_legs(pit),
        *_stack(pit),
        *_doors(pit),
        *small_welds(pit),
    )
    return tuple(w for w in found if w.run > 0.0)


def totals(welds: tuple[Weld, ...]) -> WeldTotals:
    """Consumables and time of a weld list."""
    metal = sum(w.metal for w in welds)
    arc = metal / DEPOSIT
    return WeldTotals(
        run=sum(w.run for w in welds),
        metal=metal,
        wire=metal / WIRE_YIELD,
        sticks=metal / STICK_YIELD,
        gas=arc * GAS,
        arc=arc,
        work=arc / ARC_ON,
    )


def fillet(
    name: str,
    length: float,
    thinner: float,
    stage: WeldStage,
    *,
    marks: tuple[str, ...] = (),
    count: int = 1,
    gap: float = 0.0,
    note: str = "",
    stitch: bool = False,
) -> Weld:
    """A fillet of the shop's usual leg for the thinner part, its fit-up gap added, whole or in stitches [m]."""
    leg = usual_leg(thinner, gap)
    run = length if not stitch else max(2, math.ceil(length / STITCH_PITCH)) * STITCH
    return Weld(
        name=name,
        kind="stitch fillet" if stitch and run < length else "fillet",
        leg=leg,
        length=min(run, length),
        count=count,
        thinner=thinner,
        gap=gap,
        stage=stage,
        marks=marks,
        note=note,
    )


def around_section(profile: Profile, slant: float = 0.0) -> float:
    """Weld right round a bar whose end face slants by an angle off square [m]."""
    if profile.kind in ("pipe", "round"):
        a, b = profile.height / 2.0 / math.cos(slant), profile.height / 2.0
        h = ((a - b) / (a + b)) ** 2  # Ramanujan's ellipse, first form
        return math.pi * (a + b) * (1.0 + 3.0 * h / (10.0 + math.sqrt(4.0 - 3.0 * h)))
    return 2.0 * profile.width + 2.0 * profile.height / math.cos(slant)


def named(pit: Pit, *names: str) -> tuple[Part, ...]:
    """The pieces whose names begin with one of these."""
    return tuple(p for p in pit.parts if p.name.startswith(names))


def marks_of(pit: Pit, *names: str) -> tuple[str, ...]:
    """Marks of the pieces whose names begin with one of these."""
    return tuple(p.mark for p in named(pit, *names))


def thickness_of(part: Part, other: float) -> float:
    """The thinner of a piece and what it joins [m]."""
    shape = part.shape
    if isinstance(shape, Plate):
        return min(shape.thickness, other)
    if isinstance(shape, Shell):
        return min(shape.wall, other)
    return min(shape.profile.wall, other) if isinstance(shape, Bar) else other


def _longer(part: Part) -> float:
    assert isinstance(part.shape, Plate)
    x0, y0, x1, y1 = part.shape.outline.bounds()
    return max(x1 - x0, y1 - y0)


def base_welds(pit: Pit) -> Iterator[Weld]:
    """Cross members, fork pockets, drag eyes."""
    base = pit.base
    if base.crosses:
        yield fillet(
            "cross member to rail",
            around_section(base.cross) * 0.75,
            min(base.cross.wall, base.rail.wall),
            "base",
            marks=marks_of(pit, "cross member", "end rail"),
            count=2 * len(base.crosses),
            note="tack all, square up by the diagonals, then weld from the middle outward; the underside waits",
        )
    if base.pockets:
        yield fillet(
            "fork pocket to rail",
            around_section(base.pocket),
            min(base.pocket.wall, base.rail.wall),
            "base",
            marks=marks_of(pit, "fork pocket"),
            count=2 * len(base.pockets),
            note="all round, before the rails are cut out",
        )
    for part in named(pit, "drag eye"):
        yield fillet("drag eye", 2.0 * _longer(part), base.rail.wall, "base", marks=(part.mark,), count=part.quantity)


def _pads(pit: Pit) -> Iterator[Weld]:
    for part in named(pit, "lifting lug"):
        if part.flat is None:
            yield fillet(
                part.name,
                2.0 * (pit.lugs[0].width + pit.lugs[0].thickness),
                min(pit.lugs[0].thickness, pit.lugs[0].pad_thickness),
                "pads",
                marks=(part.mark,),
                count=part.quantity,
                note="to its pad, all round; look it over before it is loaded",
            )
    for part in named(pit, "leg pad", "saddle wear pad", "lifting lug pad"):
        if part.flat is not None:
            yield fillet(
                part.name,
                part.flat.perimeter,
                thickness_of(part, pit.vessel.wall),
                "pads",
                marks=(part.mark,),
                count=part.quantity,
                note="leave the lowest corner open to vent",
            )


def inside_welds(pit: Pit) -> Iterator[Weld]:
    """Ledges and baffle inside the vessel; grates."""
    wall = pit.vessel.wall
    for part in pit.parts:
        shape, marks = part.shape, (part.mark,)
        if part.name.endswith("ledge") and isinstance(shape, Bar):
            yield fillet(part.name, shape.x1 - shape.x0, min(shape.profile.wall, wall), "inside the vessel", marks=marks,
                          count=part.quantity, stitch=True, note="before the ends close; ventilate")  # fmt: skip
        elif part.name == "baffle" and isinstance(shape, Plate):
            yield fillet("baffle to shell", 2.0 * _longer(part), min(shape.thickness, wall), "inside the vessel",
                          marks=marks, note="smoke tight along both sides; leave the far end free to grow")  # fmt: skip
        elif part.name.endswith("frame side") and isinstance(shape, Bar):
            yield fillet(part.name.replace("side", "corner"), SHORT, shape.profile.wall, "grates", marks=marks,
                          count=2 * part.quantity, note="clamp flat")  # fmt: skip
        elif part.name.endswith("mesh") and isinstance(shape, Plate):
            yield fillet(part.name, shape.outline.perimeter, 0.125 * INCH, "grates", marks=marks, count=part.quantity,
                          stitch=True, note="from the middle outward")  # fmt: skip


def _fire_end(pit: Pit) -> Iterator[Weld]:
    vessel, box, throat = pit.vessel, pit.firebox, pit.throat
    ring = 2.0 * math.pi * vessel.outer_radius
    round_box = math.pi * box.width if box.shape == "round" else 2.0 * (box.width + box.height)
    body = marks_of(pit, "firebox body", "firebox side", "firebox roof", "firebox bottom")
    for part in named(pit, "stack-end plate"):
        yield fillet("stack-end plate to shell", ring, thickness_of(part, vessel.wall), "throat", marks=(part.mark,),
                      note="short runs on opposite sides")  # fmt: skip
    for part in named(pit, "throat plate"):
        yield fillet("throat plate to shell", ring, thickness_of(part, vessel.wall), "throat", marks=(part.mark,),
                      note="grease tight; short runs on opposite sides")  # fmt: skip
    for part in named(pit, "closing plate"):
        assert isinstance(part.shape, Plate)
        yield fillet("closing plate", part.shape.outline.perimeter, thickness_of(part, box.wall), "throat",
                      marks=(part.mark,), note="grease tight")  # fmt: skip
    if box.joint == "cut":
        yield fillet("firebox to throat plate", round_box, min(box.wall, throat.plate_thickness), "throat", marks=body)
    else:
        yield fillet("firebox to the vessel's end", throat.perimeter * 1.2, min(vessel.wall, box.wall), "throat", marks=body,
                      note="grease tight along the dam")  # fmt: skip
    if box.shape == "box":
        yield fillet("firebox corner", box.x1 - box.x0, box.wall, "firebox", marks=body, count=4)
    yield fillet("firebox end plate", round_box, min(box.wall, box.end_plate), "firebox",
                  marks=marks_of(pit, "firebox end plate"))  # fmt: skip
    yield fillet("fire grate bearer", box.grate_width, box.wall, "firebox", marks=marks_of(pit, "fire grate bearer"),
                  count=sum(p.quantity for p in named(pit, "fire grate bearer")), stitch=True)  # fmt: skip
    yield fillet(
        "fire door hinges and latch", SHORT, box.end_plate, "firebox", marks=marks_of(pit, "fire door"), count=3
    )
    yield fillet("ash door hinges and latch", SHORT, box.end_plate, "firebox", marks=marks_of(pit, "ash door"),
                  count=3 * len(named(pit, "ash door")))  # fmt: skip
    if box.double_gap:
        yield fillet("firebox outer skin", round_box, box.outer_skin, "outer skin",
                      marks=marks_of(pit, "firebox outer"), count=2, stitch=True,
                      note="inner welds checked first: they cannot be reached afterwards")  # fmt: skip


def _legs(pit: Pit) -> Iterator[Weld]:
    for leg_set in pit.leg_sets:
        for leg in leg_set.legs:
            yield from _leg(pit, leg_set, leg)
    for saddle in pit.saddles:
        marks = marks_of(pit, "saddle plate")
        thinner = min(saddle.thickness, pit.vessel.wall)
        note = "ends of the arc first, then the middle"
        yield fillet(
            f"saddle {saddle.name} to shell", saddle.arc, thinner, "legs", marks=marks, count=2, stitch=True, note=note
        )
        foot = min(saddle.thickness, pit.base.cross.wall)
        yield fillet(f"saddle {saddle.name} to base", saddle.width, foot, "legs", marks=marks, count=2)
    for part in named(pit, "saddle stiffener"):
        assert isinstance(part.shape, Plate)
        yield fillet("saddle stiffener", part.shape.outline.perimeter, part.shape.thickness, "legs",
                      marks=(part.mark,), count=part.quantity)  # fmt: skip


def leg_marks(pit: Pit, leg_set: LegSet, leg: LegLayout) -> tuple[str, ...]:
    """Marks of one leg's piece (twins share a mark)."""
    own = marks_of(pit, f"leg, set {leg_set.name}, {leg.side}")
    return own or marks_of(pit, f"leg, set {leg_set.name}")


def _leg(pit: Pit, leg_set: LegSet, leg: LegLayout) -> Iterator[Weld]:
    profile = leg_set.profile
    seat = leg_set.pad_thickness or pit.vessel.wall
    gap = leg.gap if leg.end == "straight" else 0.0
    note = ""
    if gap > GAP_MOST:
        note = f"a gap of {pit.tape.fine(gap)} is too wide to weld: cope the top or cut it again"
    elif gap > GAP_FREE:
        note = "gap added to the fillet"
    if leg.angle_shell < math.radians(60.0) or leg.angle_foot < math.radians(60.0):
        note = f"{note}; inside corner is tight: prepare that toe before tacking".removeprefix("; ")
    name, marks = f"leg {leg_set.name}, {leg.side} side", leg_marks(pit, leg_set, leg)
    yield fillet(f"{name}, top", around_section(profile, leg.top_cut), min(profile.wall, seat), "legs", marks=marks,
                  gap=gap, note=note)  # fmt: skip
    yield fillet(f"{name}, foot", around_section(profile, leg.foot_cut), min(profile.wall, pit.base.rail.wall), "legs",
                  marks=marks)  # fmt: skip


def _stack(pit: Pit) -> Iterator[Weld]:
    stack, vessel = pit.stack, pit.vessel
    thinner, marks = min(stack.profile.wall, vessel.wall), tuple(p.mark for p in pit.parts if p.name == "stack")
    if stack.place == "end":
        yield fillet("stack stub to the end", math.pi * stack.profile.height, thinner, "stack", marks=marks)
        yield fillet(
            "stack elbow", around_section(stack.profile, math.pi / 4.0), stack.profile.wall, "stack", marks=marks
        )
    else:
        saddle = Saddle(header_radius=vessel.outer_radius, branch_radius=stack.profile.height / 2.0, offset=stack.y)
        turn = np.linspace(0.0, 2.0 * math.pi, 145)
        curve = np.array([saddle.point(float(c)) for c in turn])
        length = float(np.linalg.norm(np.diff(curve, axis=0), axis=1).sum())
        yield fillet(
            "stack to shell", length, thinner, "stack", marks=marks, note="tack at four quarters, plumb, then weld"
        )
    for part in named(pit, "rain cap"):
        yield fillet("rain cap hinge", SHORT, thickness_of(part, stack.profile.wall), "stack", marks=(part.mark,))


def _doors(pit: Pit) -> Iterator[Weld]:
    wall = pit.vessel.wall
    for door in pit.doors:
        bands = marks_of(pit, f"{door.name} end band", f"{door.name} lower band")
        yield fillet(f"{door.name} hinges and handle", 6.0 * INCH, wall, "doors", count=3,
                      marks=marks_of(pit, f"{door.name} hinges"), note="first: before the last side is cut")  # fmt: skip
        yield fillet(f"{door.name} bands", door.x1 - door.x0 + 2.0 * door.arc, wall, "doors", marks=bands, stitch=True,
                      note="strongbacks stay until the bands are on")  # fmt: skip


def small_welds(pit: Pit) -> Iterator[Weld]:
    """Drain, shelf, plugs and patches."""
    wall = pit.vessel.wall
    for part in pit.parts:
        shape, marks = part.shape, (part.mark,)
        if part.name == "drain nipple" and isinstance(shape, Bar):
            yield fillet("drain nipple", around_section(shape.profile), min(shape.profile.wall, wall), "fittings",
                          marks=marks, note="grease tight")  # fmt: skip
        elif part.name == "shelf bracket" and isinstance(shape, Plate):
            low, high = shape.outline.bounds()[1::2]
            yield fillet("shelf bracket", 2.0 * (high - low), min(shape.thickness, wall), "fittings", marks=marks,
                          count=part.quantity)  # fmt: skip
        elif part.name == "shelf" and isinstance(shape, Plate):
            yield fillet("shelf to brackets", _longer(part), shape.thickness, "fittings", marks=marks, stitch=True)
    for fitting in pit.vessel.fittings:
        if fitting.plan == "plug":
            yield fillet(f"plug of {fitting.name}", math.pi * fitting.size, wall, "fittings")
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
