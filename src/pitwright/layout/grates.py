"""Cooking grates, the ledges that carry them, plates under them, and the drain."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from pitwright.errors import LayoutError
from pitwright.layout.draft import Draft
from pitwright.layout.model import BafflePlate, GrateLayout, GrateLevel, Opening, PlacedFitting, VesselLayout
from pitwright.layout.round import chord_at
from pitwright.parts import Bar, Outline, Placement, Plate
from pitwright.stock import find_profile
from pitwright.tape import INCH

PANEL_GAP = 1.0 / 8.0 * INCH
SLIDE_ROOM = 1.0 * INCH  # slide rails take this much of the chord, both sides together
DRAIN_SIZE = 2.0 * INCH
# An inch of fall into the drain end; the drain stands this far in from the low end (common practice, no source).
DRAIN_IN = 6.0 * INCH


@dataclass(frozen=True, slots=True, kw_only=True)
class DoorSpan:
    """Where one door opens along the pit [m]."""

    x0: float
    x1: float


def main_grate_offset(draft: Draft, radius: float, length: float) -> float:
    """Height of the main grate over the vessel's centre [m], negative below it."""
    below = draft.ledger.choose(
        "grates.below_centre",
        draft.share(draft.rules.grates.below_centre, radius, length),
        because="the shop sets its main grate this far under the vessel's centre line",
    )
    if not -0.85 * radius < below < 0.85 * radius:
        raise LayoutError(
            "the main grate would not fit the round",
            field="proportions.grates.below_centre",
            value=draft.tape.length(below),
            allowed=f"within {draft.tape.length(0.85 * radius)} of the centre line",
            remedy="Bring the grate nearer the centre line.",
        )
    return -below


def lay_out_grates(
    draft: Draft, vessel: VesselLayout, doors: Sequence[DoorSpan], fittings: Sequence[PlacedFitting]
) -> GrateLayout:
    """Levels, panels, ledges, baffle or tuning plates and drain.

    Raises LayoutError where a level does not fit the round or two levels meet.
    """
    order, rules = draft.job.order, draft.rules.grates
    main_above = order.grate_height - vessel.centre_z
    wanted = [("main grate", main_above, order.grate_slides)]
    for i, level in enumerate(sorted(order.levels, key=lambda one: one.above), start=2):
        wanted.append((f"grate {i}", main_above + level.above, level.slides))
    levels = [_level(draft, vessel, name, above, slides, doors) for name, above, slides in wanted]
    for low, high in pairwise(levels):
        if high.above_centre - low.above_centre < 4.0 * INCH:
            draft.find(
                "grates.close",
                "warn",
                f"{high.name} is {draft.tape.length(high.above_centre - low.above_centre)} over {low.name}: no room for meat.",
                remedy="Leave at least 6 in between levels.",
                source="common practice, no source",
            )
    for level in levels:
        _grate_parts(draft, vessel, level, doors)
    plates, return_area = _plates(draft, vessel, levels[0])
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
    tight = max(abs(above), abs(above - frame.height))
    if tight >= 0.93 * inner:
        raise LayoutError(
            f"{name} would sit {tape.length(above)} over the centre line, past the useful round of a "
            f"{tape.length(2 * inner)} inside diameter",
            field="order.levels",
            value=tape.length(above),
            allowed=f"within {tape.length(0.93 * inner)} of the centre line",
            remedy="Bring the level down, or choose a larger vessel.",
        )
    chord = chord_at(inner, above)
    growth = chord * 6.5e-6 * 1.8 * 140.0
    width = chord_at(inner, tight) - 2.0 * rules.side_clear - (SLIDE_ROOM if slides else 0.0) - growth
    x0, x1 = rules.growth_gap, vessel.length - rules.growth_gap
    if slides:
        lengths = [d.x1 - d.x0 - 2.0 * rules.growth_gap for d in doors]
        panels, panel = len(doors), min(lengths)
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
        + (" and slide rails" if slides else ""),
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
    support = find_profile(rules.support, field="proportions.grates.support")
    if level.slides:
        starts = [(d.x0 + d.x1 - level.panel_length) / 2.0 for d in doors]
    else:
        starts = [level.x0 + i * (level.panel_length + PANEL_GAP) for i in range(level.panels)]
    moving = level.name if level.slides else ""
    leg = frame.height
    down = leg / 2.0
    # angles stand heel out: local y across, local z up; the four sides of a panel butt at the corners
    long_bar, cross_bar = Bar.square(frame, level.panel_length), Bar.square(frame, level.width - 2.0 * leg)
    z = level.z - down
    draft.add(
        "G",
        f"{level.name} frame side",
        "grates",
        long_bar,
        [
            Placement(
                origin=(x, side * (level.width / 2.0 - frame.width / 2.0), z),
                y=(0.0, side, 0.0),
                x=(1.0, 0.0, 0.0),
                z=(0.0, 0.0, 1.0),
            )
            for x in starts
            for side in (1.0, -1.0)
        ],
        frame.designation,
        moving=moving,
    )
    draft.add(
        "G",
        f"{level.name} frame end",
        "grates",
        cross_bar,
        [
            Placement(
                origin=(x + offset, -(level.width / 2.0 - leg), z),
                x=(0.0, 1.0, 0.0),
                y=(turn, 0.0, 0.0),
                z=(0.0, 0.0, 1.0),
            )
            for x in starts
            for offset, turn in ((frame.width / 2.0, -1.0), (level.panel_length - frame.width / 2.0, 1.0))
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
        Plate(outline=mesh, thickness=0.1875 * INCH, mass_per_area=rules.mesh_weight),
        [Placement(origin=(x + inset, -level.width / 2.0 + inset, level.z)) for x in starts],
        "expanded metal",
        moving=moving,
    )
    # ledges: one along each wall, under the frame, shortened clear of the ends
    ledge_z = level.z - leg - support.height / 2.0
    low = ledge_z - support.height / 2.0 - vessel.centre_z
    reach = min(chord_at(vessel.inner_radius, low), chord_at(vessel.inner_radius, low + support.height)) / 2.0
    y = min(reach - support.width / 2.0 - 1e-4, level.width / 2.0 - support.width / 2.0 + rules.side_clear)
    draft.add(
        "G",
        f"{level.name} ledge",
        "grates",
        Bar.square(support, level.x1 - level.x0),
        [
            Placement(origin=(level.x0, side * y, ledge_z), y=(0.0, side, 0.0), x=(1.0, 0.0, 0.0), z=(0.0, 0.0, -1.0))
            for side in (1.0, -1.0)
        ],
        support.designation,
    )


def _plates(draft: Draft, vessel: VesselLayout, main: GrateLevel) -> tuple[tuple[BafflePlate, ...], float]:
    """Tuning plates, or the baffle of a reverse-flow pit, and the return passage at its far end [m2]."""
    rules, ledger = draft.rules.baffle, draft.ledger
    reverse = draft.job.order.flow == "reverse"
    kind = "baffle" if reverse else rules.kind
    if kind == "none":
        return (), 0.0
    top = ledger.choose(
        "baffle.under_grate", rules.under_grate, because="the shop sets its plate this far under the main grate"
    )
    z0 = main.z - top
    if chord_at(vessel.inner_radius, z0 - vessel.centre_z) <= 0.0:
        raise LayoutError(
            "the plate would lie under the vessel",
            field="proportions.baffle.under_grate",
            value=draft.tape.length(top),
            allowed="inside the round",
            remedy="Bring it nearer the grate.",
        )
    section = math.pi * vessel.inner_radius**2
    gap_x = rules.end_gap
    passage = 0.0
    if kind == "baffle":
        chord = chord_at(vessel.inner_radius, z0 - vessel.centre_z)
        passage = rules.return_share * section
        gap_x = ledger.choose(
            "baffle.return_gap",
            passage / chord,
            because="return passage at the far end: its share of the chamber section",
            formula="gap = share x section / chord at the plate",
            rests_on=("vessel.diameter",),
        )
        passage = gap_x * chord
        if gap_x > 0.35 * vessel.length:
            draft.find(
                "baffle.short",
                "warn",
                f"The return passage takes {draft.tape.length(gap_x)} of a {draft.tape.length(vessel.length)} vessel.",
                remedy="Lower baffle.return_share, or set the plate nearer the centre.",
            )
    x0, x1 = rules.end_gap, vessel.length - gap_x
    count = 1 if kind == "baffle" else rules.plates
    gap = 0.0 if kind == "baffle" else rules.gap
    length = (x1 - x0 - gap * (count - 1)) / count
    z_end = z0 - rules.slope * (x1 - x0)
    low_chord = chord_at(vessel.inner_radius, z_end - rules.thickness - vessel.centre_z)
    width = min(chord_at(vessel.inner_radius, z0 - vessel.centre_z), low_chord) - 2.0 * draft.rules.grates.side_clear
    ledger.note(
        "baffle.width",
        width,
        because="chord at the low end of the plate less clearance each side",
        rests_on=("vessel.diameter", "vessel.wall", "baffle.under_grate"),
    )
    angle = math.atan(rules.slope)
    plates = []
    for i in range(count):
        a = x0 + i * (length + gap)
        b = a + length
        plates.append(
            BafflePlate(
                name="baffle" if kind == "baffle" else f"tuning plate {i + 1}",
                x0=a,
                x1=b,
                z0=z0 - rules.slope * (a - x0),
                z1=z0 - rules.slope * (b - x0),
                width=width,
                thickness=rules.thickness,
            )
        )
    run = length / math.cos(angle)
    draft.add(
        "B",
        "baffle" if kind == "baffle" else "tuning plate",
        "grates",
        Plate(outline=Outline.rectangle(0.0, 0.0, run, width), thickness=rules.thickness),
        [
            Placement(
                origin=(
                    p.x0 - rules.thickness * math.sin(angle),
                    -width / 2.0,
                    p.z0 - rules.thickness * math.cos(angle),
                ),
                x=(math.cos(angle), 0.0, -math.sin(angle)),
                y=(0.0, 1.0, 0.0),
                z=(math.sin(angle), 0.0, math.cos(angle)),
                where=p.name,
            )
            for p in plates
        ],
        f"{draft.tape.length(rules.thickness, step=INCH / 64)} plate",
        notes=("lies loose on its ledges: do not weld, it grows",)
        if kind != "baffle"
        else ("seal weld the sides only after fit-up",),
    )
    ledge = find_profile(draft.rules.grates.support, field="proportions.grates.support")
    drop = z_end - rules.thickness - ledge.height - vessel.centre_z
    y = chord_at(vessel.inner_radius, drop) / 2.0 - ledge.width / 2.0 - 1e-4
    y = min(y, width / 2.0 - ledge.width / 2.0 + draft.rules.grates.side_clear)
    slope_length = (x1 - x0) / math.cos(angle)
    z_mid = z0 - (rules.thickness + ledge.height / 2.0) * math.cos(angle)
    draft.add(
        "B",
        "plate ledge",
        "grates",
        Bar.square(ledge, slope_length),
        [
            Placement(
                origin=(x0 - (rules.thickness + ledge.height / 2.0) * math.sin(angle), side * y, z_mid),
                x=(math.cos(angle), 0.0, -math.sin(angle)),
                y=(0.0, side, 0.0),
                z=(-math.sin(angle), 0.0, -math.cos(angle)),
            )
            for side in (1.0, -1.0)
        ],
        ledge.designation,
    )
    return tuple(plates), passage


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
            return fitting.x, math.pi
    x = draft.ledger.choose("drain.x", vessel.length - DRAIN_IN, because="at the bottom of the end away from the fire")
    draft.ledger.note("drain.station", vessel.station(x), because="from the datum seam", rests_on=("drain.x",))
    points = tuple(
        (x + DRAIN_SIZE / 2.0 * math.cos(a), vessel.around_at(math.pi) + DRAIN_SIZE / 2.0 * math.sin(a))
        for a in (i * math.pi / 16.0 for i in range(32))
    )
    draft.openings.append(Opening(name="drain", on="shell", outline=points, area=math.pi / 4.0 * DRAIN_SIZE**2))
    bung = find_profile("2 sch 40 pipe", field="drain")
    length = 3.0 * INCH
    draft.add(
        "F",
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
