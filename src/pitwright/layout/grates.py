"""Cooking grates, the ledges that carry them, plates under them, and the drain."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from pitwright.errors import LayoutError
from pitwright.geometry.round import chord_at
from pitwright.layout.baffle import lay_out_baffle
from pitwright.layout.draft import Draft
from pitwright.layout.model import GrateLayout, GrateLevel, Opening, PlacedFitting, VesselLayout
from pitwright.layout.place import across_pit, along_pit
from pitwright.parts import Bar, Outline, Placement, Plate
from pitwright.stock import find_profile
from pitwright.tape import INCH

MESH = 3.0 / 16.0 * INCH  # thickness of expanded metal on its frame
PANEL_GAP = 1.0 / 8.0 * INCH
SLIDE_ROOM = 0.5 * INCH  # a slide is this much narrower, so that it runs without binding
BEARING = 3.0 / 8.0 * INCH  # least a frame lies on its ledge
GROWTH = 6.5e-6 * 1.8 * 140.0  # steel, 6.5e-6 per degree F, heated by 250 F
USEFUL = 0.85  # of the radius: a main grate lies no further from the centre line
DRAIN_SIZE = 2.0 * INCH
DRAIN_IN = 6.0 * INCH  # in from the low end (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class DoorSpan:
    """Where one door opens along the pit [m]."""

    x0: float
    x1: float


def main_grate_offset(draft: Draft, radius: float, length: float) -> float:
    """Height of the main grate over the vessel's centre [m], negative below it."""
    most = USEFUL * radius
    below = draft.ledger.choose(
        "grates.below_centre",
        draft.share(draft.rules.grates.below_centre, radius, length),
        because="the shop sets its main grate this far under the vessel's centre line",
        limits=(-most, most),
    )
    if not -most <= below <= most:
        raise LayoutError(
            "the main grate would not fit the round",
            field="proportions.grates.below_centre",
            value=draft.tape.length(below),
            allowed=f"within {draft.tape.length(most)} of the centre line",
            remedy="Bring the grate nearer the centre line.",
        )
    return -below


def lay_out_grates(
    draft: Draft,
    vessel: VesselLayout,
    doors: Sequence[DoorSpan],
    fittings: Sequence[PlacedFitting],
    throat_top: float = -math.inf,
) -> GrateLayout:
    """Levels, panels, ledges, baffle or tuning plates and drain.

    throat_top  highest point of the throat over the vessel's centre [m]
    Raises LayoutError where a level does not fit the round or two levels meet.
    """
    order, rules = draft.job.order, draft.rules.grates
    main_above = order.grate_height - vessel.centre_z
    wanted = [("main grate", main_above, order.grate_slides)]
    for i, more in enumerate(sorted(order.levels, key=lambda one: one.above), start=2):
        wanted.append((f"grate {i}", main_above + more.above, more.slides))
    levels = [_level(draft, vessel, name, above, slides, doors) for name, above, slides in wanted]
    for low, high in pairwise(levels):
        if high.above_centre - low.above_centre < 4.0 * INCH:
            draft.find(
                "grates.close",
                "warn",
                f"{high.name} is {draft.tape.length(high.above_centre - low.above_centre)} over {low.name}: no room for meat.",
                remedy=f"Leave at least {draft.tape.length(6.0 * INCH)} between levels.",
                source="common practice, no source",
            )
    for level in levels:
        _grate_parts(draft, vessel, level, doors)
    deep = MESH + find_profile(rules.frame).height + find_profile(rules.support).height
    plates, return_area = lay_out_baffle(draft, vessel, levels[0], deep, throat_top)
    area = sum(level.area for level in levels)
    capacity = area * rules.meat_per_area
    ledger = draft.ledger
    ledger.note(
        "grates.area",
        area,
        "area",
        because="all levels together",
        rests_on=tuple(f"grates.{level.name}.width" for level in levels),
    )
    ledger.note(
        "grates.meat",
        capacity,
        "mass",
        because="grate area times the shop's raw meat to the area",
        rests_on=("grates.area",),
        kind="assumed",
        band=(0.8 * capacity, 1.2 * capacity),
        source="common practice, no source",
    )
    meat = order.meat if order.meat is not None else (order.people or 0) * rules.meat_per_person
    if meat > capacity * 1.02:
        short = meat / rules.meat_per_area - area
        draft.find(
            "grates.meat",
            "warn",
            f"The order asks for {draft.tape.mass(meat)} of meat at once; these grates take about {draft.tape.mass(capacity)}.",
            remedy=f"Add a level or {draft.tape.area(short)} of grate, or cook in two turns.",
            source="common practice, no source",
        )
    drain_x, drain_clock = _drain(draft, vessel, fittings)
    return GrateLayout(
        levels=tuple(levels),
        plates=plates,
        drain_x=drain_x,
        drain_clock=drain_clock,
        return_area=return_area,
        area=area,
        meat_capacity=capacity,
        meat_wanted=meat,
    )


def _level(
    draft: Draft, vessel: VesselLayout, name: str, above: float, slides: bool, doors: Sequence[DoorSpan]
) -> GrateLevel:
    rules, tape = draft.rules.grates, draft.tape
    inner = vessel.inner_radius
    frame = find_profile(rules.frame, field="proportions.grates.frame")
    support = find_profile(rules.support, field="proportions.grates.support")
    tight = max(abs(above), abs(above - MESH - frame.height))
    under = above - MESH - frame.height - support.height  # bottom of the ledge
    if max(tight, abs(under)) >= 0.93 * inner:
        main = name == "main grate"
        measured = main and draft.job.measured.height is not None
        raise LayoutError(
            f"{name} would sit {tape.length(abs(above))} {'over' if above > 0.0 else 'under'} the centre line, past the "
            f"useful round of a {tape.length(2 * inner)} inside diameter",
            field="measured.height" if measured else ("proportions.grates.below_centre" if main else "order.levels"),
            value=tape.length(above),
            allowed=f"within {tape.length(0.93 * inner)} of the centre line, frame and ledge included",
            remedy="Bring the level nearer the centre line, or choose a larger vessel.",
        )
    chord = chord_at(inner, above)
    growth = chord * GROWTH
    width = chord_at(inner, tight) - 2.0 * rules.side_clear - (SLIDE_ROOM if slides else 0.0) - growth
    if width <= 4.0 * frame.width:
        raise LayoutError(
            f"{name} would be {tape.length(max(width, 0.0))} wide",
            field="proportions.grates.side_clear",
            value=tape.length(rules.side_clear),
            allowed=f"a grate over {tape.length(4.0 * frame.width)} wide",
            remedy="Bring the level nearer the centre line, or leave less clearance.",
        )
    x0, x1 = rules.growth_gap, vessel.length - rules.growth_gap
    if slides:
        lengths = [d.x1 - d.x0 - 2.0 * rules.growth_gap for d in doors]
        panels, panel = len(doors), max(min(lengths), 2.0 * frame.width + INCH)
    else:
        panels = max(1, math.ceil((x1 - x0 + PANEL_GAP) / (rules.panel_longest + PANEL_GAP) - 1e-9))
        panel = (x1 - x0 - PANEL_GAP * (panels - 1)) / panels
    key = f"grates.{name}"
    draft.ledger.note(
        f"{key}.height",
        vessel.centre_z + above,
        kind="fixed" if name == "main grate" else "solved",
        because="promised to the customer" if name == "main grate" else "ordered over the main grate",
    )
    draft.ledger.note(
        f"{key}.chord",
        chord,
        because="inside chord at the grate's height",
        formula="2 sqrt(Ri^2 - y^2)",
        rests_on=("vessel.diameter", "vessel.wall", f"{key}.height"),
    )
    draft.ledger.note(
        f"{key}.width",
        width,
        because="chord at the tightest edge of the frame, less clearance each side, growth"
        + (" and room to slide" if slides else ""),
        rests_on=(f"{key}.chord",),
    )
    return GrateLevel(
        name=name,
        z=vessel.centre_z + above,
        above_centre=above,
        chord=chord,
        width=width,
        x0=x0,
        x1=x1,
        panels=panels,
        panel_length=panel,
        slides=slides,
        travel=rules.slide_travel * width if slides else 0.0,
        area=width * panel * panels,
    )


def _grate_parts(draft: Draft, vessel: VesselLayout, level: GrateLevel, doors: Sequence[DoorSpan]) -> None:
    rules = draft.rules.grates
    frame = find_profile(rules.frame, field="proportions.grates.frame")
    if level.slides:
        starts = [(d.x0 + d.x1 - level.panel_length) / 2.0 for d in doors]
    else:
        starts = [level.x0 + i * (level.panel_length + PANEL_GAP) for i in range(level.panels)]
    moving = level.name if level.slides else ""
    leg = frame.height
    # angles stand heel up and out under the mesh, whose top is the grate; the ends of a panel butt between its sides
    z = level.z - MESH - leg / 2.0
    half = level.width / 2.0 - frame.width / 2.0
    draft.add(
        "G",
        f"{level.name} frame side",
        "grates",
        Bar.square(frame, level.panel_length),
        [along_pit(x, x + level.panel_length, s * half, z, heel_out=s) for x in starts for s in (1, -1)],
        frame.designation,
        moving=moving,
    )
    reach = level.width / 2.0 - leg
    draft.add(
        "G",
        f"{level.name} frame end",
        "grates",
        Bar.square(frame, 2.0 * reach),
        [
            across_pit(x + at, -reach, reach, z, heel=heel)
            for x in starts
            for at, heel in ((frame.width / 2.0, -1), (level.panel_length - frame.width / 2.0, 1))
        ],
        frame.designation,
        moving=moving,
    )
    inset = frame.wall
    mesh = Outline.rectangle(0.0, 0.0, level.panel_length - 2.0 * inset, level.width - 2.0 * inset)
    draft.add(
        "G",
        f"{level.name} mesh",
        "grates",
        Plate(outline=mesh, thickness=MESH, mass_per_area=rules.mesh_weight),
        [Placement(origin=(x + inset, -level.width / 2.0 + inset, level.z - MESH)) for x in starts],
        "expanded metal",
        moving=moving,
    )
    _ledges(draft, vessel, level, level.z - MESH - leg)


def _ledges(draft: Draft, vessel: VesselLayout, level: GrateLevel, top: float) -> None:
    """One ledge along each wall, under the frame: as far out as the round lets it.

    top  upper face of the ledge over the floor [m]
    """
    tape, support = draft.tape, find_profile(draft.rules.grates.support, field="proportions.grates.support")
    high = top - vessel.centre_z
    low = high - support.height
    reach = min(chord_at(vessel.inner_radius, low), chord_at(vessel.inner_radius, high)) / 2.0
    y = reach - support.width / 2.0 - 1e-4
    bearing = level.width / 2.0 - (reach - support.width)
    if bearing < BEARING - tape.step / 2.0:
        draft.find(
            "grates.ledge",
            "warn",
            f"{level.name} lies only {tape.length(max(bearing, 0.0))} on its ledges; the wall falls away from it there.",
            pieces=(level.name,),
            clearance=bearing - BEARING,
            remedy=f"Take ledges {tape.length(BEARING - bearing)} wider, or bring the level nearer the centre line.",
            source="common practice, no source",
        )
    crosses_doors = high > vessel.outer_radius * math.cos(draft.ledger.value("doors.edge_clock"))
    draft.add(
        "G",
        f"{level.name} ledge",
        "grates",
        Bar.square(support, level.x1 - level.x0),
        [along_pit(level.x0, level.x1, s * y, top - support.height / 2.0, heel_out=s) for s in (1, -1)],
        support.designation,
        notes=("working side: crosses the door openings; weld it at the skin between them",) if crosses_doors else (),
    )


def _drain(draft: Draft, vessel: VesselLayout, fittings: Sequence[PlacedFitting]) -> tuple[float, float]:
    """Where the grease leaves: a boss that serves, else a new hole at the bottom of the low end."""
    for fitting in fittings:
        if fitting.serves == "drain":
            draft.ledger.note(
                "drain.station",
                vessel.station(fitting.x),
                kind="fixed",
                because=f"{fitting.name} of the vessel serves as the drain",
            )
            return fitting.x, fitting.clock
    x = draft.ledger.choose(
        "drain.x",
        vessel.length - DRAIN_IN,
        because="at the bottom of the end away from the fire",
        rests_on=("vessel.length",),
        limits=(DRAIN_SIZE, vessel.length - DRAIN_SIZE),
    )
    draft.ledger.note("drain.station", vessel.station(x), because="from the datum seam", rests_on=("drain.x",))
    points = tuple(
        (x + DRAIN_SIZE / 2.0 * math.cos(a), vessel.around_at(math.pi) + DRAIN_SIZE / 2.0 * math.sin(a))
        for a in (i * math.pi / 16.0 for i in range(32))
    )
    draft.openings.append(Opening(name="drain", on="shell", outline=points, area=math.pi / 4.0 * DRAIN_SIZE**2))
    bung = find_profile("2 sch 40 pipe", field="drain")
    length = 3.0 * INCH
    draft.add(
        "H",
        "drain nipple",
        "fittings",
        Bar.square(bung, length),
        Placement(
            origin=(x, 0.0, vessel.centre_z - vessel.outer_radius),
            x=(0.0, 0.0, -1.0),
            y=(0.0, 1.0, 0.0),
            z=(1.0, 0.0, 0.0),
        ),
        bung.designation,
    )
    return x, math.pi
