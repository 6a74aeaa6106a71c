"""Inside a vessel on end: round grates in halves on ledges, the plate or pan that spreads the fire, the drain.

A grate wider than the door's clear opening comes out in two halves, parted from side to side, so that each half rests
on ledge at both its ends: no piece of ledge is needed across the door.
"""

from __future__ import annotations

import math

from pitwright.layout.draft import Draft
from pitwright.layout.grates import DRAIN_SIZE, GROWTH, MESH, PANEL_GAP
from pitwright.layout.model import GrateLayout, GrateLevel, Opening, VesselLayout
from pitwright.layout.upright_model import RoundGrate, Spreader
from pitwright.layout.upright_place import on_axis, plan
from pitwright.layout.upright_sizes import PAN_RIM, Heights
from pitwright.parts import Bar, Outline, Placement, Plate, Point2, Shell, bulge_of
from pitwright.stock import find_profile
from pitwright.tape import INCH

RING = "1 x 3/16 flat"  # rolled on edge round a half, and straight across it
RING_DEEP, RING_WALL = 1.0 * INCH, 3.0 / 16.0 * INCH
LEDGE_THICK = 0.25 * INCH
SIDE_BACK = math.radians(128.0)  # how far back the side ledges reach, from the front line
BACK_HALF = math.radians(25.0)  # half of the ledge at the back
DOOR_CLEAR = 2.0 * INCH  # ledge to door opening: room for the opening's edge and its band
HALF_ROOM = 1.0 * INCH  # a piece that goes in through the door is this much narrower than the opening
LEAST_LEDGE = math.radians(12.0)  # front half: ledge in front of the parting line, at least
BEARER = "1 x 1 x 1/8 angle"
BEARERS = 3
SHEET = 0.1196 * INCH  # 11 gauge, rim of a water pan


def ledge_places(draft: Draft, radius: float, sweep: float) -> tuple[Point2, ...]:
    """(middle clock, half angle) of the pieces of ledge under every grate, clear of the door."""
    front = sweep / 2.0 + DOOR_CLEAR / radius
    if math.pi / 2.0 - front < LEAST_LEDGE:
        draft.find(
            "grates.front_half",
            "warn",
            "The door is so wide that the front halves of the grates have hardly any ledge in front of their parting line: "
            "they tip when they are loaded at the front.",
            pieces=("grates", "door 1"),
            remedy="Carry the parting line on a bar from side to side, or ask for a narrower door.",
            source="the middle of a half round lies 0.42 of its radius in front of its straight edge",
        )
        front = min(front, SIDE_BACK - LEAST_LEDGE)
    middle, half = (front + SIDE_BACK) / 2.0, (SIDE_BACK - front) / 2.0
    return ((middle, half), (math.pi, BACK_HALF), (-middle, half))


def lay_out_round_grates(
    draft: Draft, vessel: VesselLayout, heights: Heights, clear: float
) -> tuple[GrateLayout, tuple[RoundGrate, ...]]:
    """Grates, and what they carry."""
    rules, order, tape = draft.rules.grates, draft.job.order, draft.tape
    inner = vessel.inner_radius
    diameter = 2.0 * (inner - rules.side_clear) - 2.0 * inner * GROWTH
    halves = 1 if diameter <= clear - HALF_ROOM else 2
    draft.ledger.note(
        "grates.diameter", diameter, because="inside diameter less clearance each side and growth",
        formula="2 (Ri - clearance) - growth", rests_on=("vessel.diameter", "vessel.wall"),
    )  # fmt: skip
    across = diameter if halves == 1 else diameter / 2.0
    if across > clear - HALF_ROOM:
        draft.find(
            "grates.through_door",
            "warn",
            f"Half a grate is {tape.length(across)} deep and the door is {tape.length(clear)} clear: it goes in only on edge.",
            pieces=("grates", "door 1"),
            remedy="Ask for a wider door, or make the grates in three strips.",
        )
    if order.grate_slides:
        draft.find(
            "grates.no_slides",
            "note",
            "The order asks for a main grate that slides out. Round grates on ledges lift out; nothing slides.",
            pieces=("main grate",),
        )
    radius = diameter / 2.0
    levels, rounds = [], []
    for name, x in heights.grates:
        z = heights.seam_z + x
        area = math.pi * radius**2 - (diameter * PANEL_GAP if halves == 2 else 0.0)
        levels.append(
            GrateLevel(
                name=name, z=z, above_centre=z - vessel.centre_z, chord=2.0 * inner, width=diameter, x0=-radius,
                x1=radius, panels=halves, panel_length=diameter, slides=False, travel=0.0, area=area,
            )
        )  # fmt: skip
        rounds.append(RoundGrate(name=name, z=z, x=x, diameter=diameter, halves=halves))
    area = sum(level.area for level in levels)
    capacity = area * rules.meat_per_area
    meat = order.meat if order.meat is not None else (order.people or 0) * rules.meat_per_person
    draft.ledger.note("grates.area", area, "area", because="all grates together", rests_on=("grates.diameter",))
    draft.ledger.note(
        "grates.meat", capacity, "mass", kind="assumed", because="raw meat these grates take",
        rests_on=("grates.area",), source="common practice, no source",
    )  # fmt: skip
    if meat > capacity * 1.02:
        draft.find(
            "grates.meat",
            "warn",
            f"The order asks for {tape.mass(meat)} of meat at once; these grates take about {tape.mass(capacity)}.",
            remedy="Set the grates nearer each other, or cook in two turns.",
            source="common practice, no source",
        )
    return GrateLayout(
        levels=tuple(levels), plates=(), drain_x=vessel.fire_tangent, drain_clock=0.0, return_area=0.0, area=area,
        meat_capacity=capacity, meat_wanted=meat,
    ), tuple(rounds)  # fmt: skip


def _disc(radius: float, halves: int) -> Outline:
    """A whole round, or the front half of one with the parting line's gap taken off [m]."""
    if halves == 1:
        return Outline.circle(0.0, 0.0, radius)
    low = PANEL_GAP / 2.0
    a = math.sqrt(radius**2 - low**2)
    sweep = math.pi - 2.0 * math.asin(low / radius)
    return Outline(((-a, low), (a, low)), (0.0, bulge_of(sweep)))


def grate_parts(
    draft: Draft, vessel: VesselLayout, grates: tuple[RoundGrate, ...], ledges: tuple[Point2, ...], ledge_in: float
) -> None:
    """Mesh, rings and cross bars of the grates, and their ledges; all levels are alike and share their marks."""
    rules = draft.rules.grates
    bar = find_profile(RING, field="grate ring")
    upright = bar.turned() if bar.width > bar.height else bar  # straight bars stand on edge
    radius, halves = grates[0].diameter / 2.0, grates[0].halves
    low = PANEL_GAP / 2.0
    ways = ((1.0, ", front half"), (-1.0, ", back half")) if halves == 2 else ((1.0, ""),)
    copies = [(s, g.z - MESH, f"{g.name}{half}") for g in grates for s, half in ways]
    draft.add(
        "G",
        "grate mesh",
        "grates",
        Plate(outline=_disc(radius, halves), thickness=MESH, mass_per_area=rules.mesh_weight),
        [Placement(origin=(0.0, 0.0, top), x=(s, 0.0, 0.0), y=(0.0, s, 0.0), where=w) for s, top, w in copies],
        "expanded metal",
    )
    turn = math.pi / 2.0 - math.asin((low + RING_WALL) / radius) if halves == 2 else math.pi
    draft.add(
        "G",
        "grate ring",
        "grates",
        Shell(outer_radius=radius, wall=RING_WALL, length=RING_DEEP, clock0=-turn, clock1=turn),
        [
            Placement(origin=(0.0, 0.0, top - RING_DEEP), x=(0.0, 0.0, 1.0), y=(s, 0.0, 0.0), z=(0.0, s, 0.0), where=w)
            for s, top, w in copies
        ],
        bar.designation,
        notes=("roll on edge to the inside of the mesh's line",),
    )
    if halves == 2:
        chord = 2.0 * math.sqrt(radius**2 - (low + RING_WALL) ** 2)
        draft.add(
            "G",
            "grate parting bar",
            "grates",
            Bar.square(upright, chord),
            [
                Placement(
                    origin=(-s * chord / 2.0, s * (low + RING_WALL / 2.0), top - RING_DEEP / 2.0),
                    x=(s, 0.0, 0.0),
                    y=(0.0, s, 0.0),
                    where=w,
                )
                for s, top, w in copies
            ],
            bar.designation,
        )
    inside = radius - RING_WALL - 0.001
    ends = (low + RING_WALL, inside) if halves == 2 else (-inside, inside)
    draft.add(
        "G",
        "grate middle bar",
        "grates",
        Bar.square(upright, ends[1] - ends[0]),
        [
            Placement(origin=(0.0, s * ends[0], top - RING_DEEP / 2.0), x=(0.0, s, 0.0), y=(-s, 0.0, 0.0), where=w)
            for s, top, w in copies
        ],
        bar.designation,
    )
    _ledges(draft, grates, vessel.inner_radius, ledges, ledge_in)


def _ledges(
    draft: Draft, grates: tuple[RoundGrate, ...], inner: float, ledges: tuple[Point2, ...], ledge_in: float
) -> None:
    """Pieces of flat ring cut from plate, welded to the wall under every grate."""
    by_half: dict[float, list[float]] = {}
    for middle, half in ledges:
        by_half.setdefault(half, []).append(middle)
    for half, middles in by_half.items():
        draft.add(
            "G",
            f"grate ledge, {'side' if len(middles) > 1 else 'back'}",
            "grates",
            Plate(outline=ring_piece(inner - ledge_in, inner, half), thickness=LEDGE_THICK),
            [
                Placement(
                    origin=(0.0, 0.0, g.z - MESH - RING_DEEP - LEDGE_THICK),
                    x=(math.sin(c), math.cos(c), 0.0),
                    y=(-math.cos(c), math.sin(c), 0.0),
                    where=g.name,
                )
                for g in grates
                for c in middles
            ],
            draft.plate(LEDGE_THICK),
            notes=("weld under it through the door; level all three before the second tack",),
        )


def ring_piece(inside: float, outside: float, half: float) -> Outline:
    """A piece of a flat ring, even about +x [m, rad]."""
    s, c = math.sin(half), math.cos(half)
    return Outline(
        ((outside * c, -outside * s), (outside * c, outside * s), (inside * c, inside * s), (inside * c, -inside * s)),
        (bulge_of(2.0 * half), 0.0, bulge_of(-2.0 * half), 0.0),
    )


def lay_out_spreader(draft: Draft, vessel: VesselLayout, heights: Heights, clear: float, net: float) -> Spreader | None:
    """The plate or water pan over the window: what goes in through the door and leaves the gas its way round."""
    own, tape, ledger = draft.rules.upright, draft.tape, draft.ledger
    if own.pan == "none":
        draft.find(
            "grates.no_spreader",
            "note",
            "Nothing stands between the fire's window and the lowest grate: it scorches on the firebox side.",
            pieces=("main grate",),
            remedy='Set upright.pan = "plate" or "water pan".',
            source="common practice, no source",
        )
        return None
    inner = vessel.inner_radius
    wanted = own.pan_share * 2.0 * inner
    diameter = ledger.choose(
        "spreader.diameter",
        min(wanted, clear - HALF_ROOM),
        because="plate over the window: the shop's share of the inside diameter",
        gave_way=f"{tape.length(wanted)}: it has to go in through the door" if wanted > clear - HALF_ROOM else "",
        rests_on=("vessel.diameter", "doors.clear"),
        limits=(4.0 * INCH, 2.0 * inner - 2.0 * INCH),
    )
    passage = math.pi * (inner**2 - diameter**2 / 4.0)
    ledger.note(
        "spreader.passage", passage, "area", because="left open round the plate", formula="pi (Ri^2 - r^2)",
        rests_on=("spreader.diameter",),
    )  # fmt: skip
    if passage < net:
        draft.find(
            "spreader.chokes",
            "warn",
            f"Round the {own.pan} {tape.small_area(passage)} is left open, the window opens {tape.small_area(net)}: it chokes "
            "the fire.",
            pieces=("spreader",),
            remedy="Take a smaller plate.",
        )
    r, top, under = diameter / 2.0, heights.seam_z + heights.pan_top, heights.seam_z + heights.pan_under
    thick = draft.rules.baffle.thickness
    draft.add(
        "T",
        "spreader plate" if own.pan == "plate" else "spreader pan bottom",
        "grates",
        Plate(outline=Outline.circle(0.0, 0.0, r), thickness=thick),
        Placement(origin=(0.0, 0.0, under)),
        draft.plate(thick),
        notes=("loose on its bearers; goes in through the door on edge",),
    )
    if own.pan == "water pan":
        draft.add(
            "T",
            "spreader pan rim",
            "grates",
            Shell(outer_radius=r, wall=SHEET, length=PAN_RIM - thick),
            on_axis(under + thick),
            draft.plate(SHEET),
            notes=("roll and close with one seam; water tight",),
        )
    bearer = find_profile(BEARER, field="spreader bearer")
    wall = math.sqrt(inner**2 - (bearer.width / 2.0) ** 2) - 0.0005
    start = r - 1.5 * INCH
    clocks = [2.0 * math.pi * (i + 0.5) / BEARERS for i in range(BEARERS)]
    draft.add(
        "T",
        "spreader bearer",
        "grates",
        Bar.square(bearer, wall - start),
        [
            Placement(
                origin=(*plan(start, c), under - bearer.height / 2.0),
                x=(math.sin(c), math.cos(c), 0.0),
                y=(math.cos(c), -math.sin(c), 0.0),
                z=(0.0, 0.0, -1.0),
            )
            for c in clocks
        ],
        bearer.designation,
        notes=("one leg flat under the plate; weld to the wall",),
    )
    return Spreader(kind=own.pan, z=top, diameter=diameter, passage=passage)


def lay_out_drain(draft: Draft, bottom_z: float) -> float:
    """A nipple out of the middle of the bottom; returns its mouth over the floor [m]."""
    bung, length = find_profile("2 sch 40 pipe", field="drain"), 3.0 * INCH
    draft.add(
        "H",
        "drain nipple",
        "fittings",
        Bar.square(bung, length),
        Placement(origin=(0.0, 0.0, bottom_z), x=(0.0, 0.0, -1.0), y=(0.0, 1.0, 0.0), z=(1.0, 0.0, 0.0)),
        bung.designation,
        notes=("out of the middle of the bottom, with a valve",),
    )
    ring = tuple(
        (DRAIN_SIZE / 2.0 * math.cos(i * math.pi / 16.0), DRAIN_SIZE / 2.0 * math.sin(i * math.pi / 16.0))
        for i in range(32)
    )
    draft.openings.append(Opening(name="drain", on="bottom", outline=ring, area=math.pi / 4.0 * DRAIN_SIZE**2))
    mouth = bottom_z - length
    draft.ledger.note("drain.mouth", mouth, because="mouth of the drain over the floor", rests_on=("vessel.seam",))
    return mouth
