"""The grate sheets: chords and widths by level, panels, ledges, slides, the plates under them, and the drain."""

from __future__ import annotations

import math
from functools import partial

from pitwright.layout.marks import skin_around
from pitwright.layout.model import GrateLevel, Pit
from pitwright.masses import mass_of
from pitwright.parts import Bar, Part, Plate
from pitwright.sheets.blocks import Block, Notes
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.lettered import Side, Stop
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, known, new_board, pit_sketch
from pitwright.sheets.views.eye import from_above, from_stack_end, from_working_side
from pitwright.sheets.views.seen import see
from pitwright.sheets.views.spread import spread, verdicts, want_list, withheld

CODE, TITLE = "GRATES", "Grates, plates under them and drain"


def grate_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Section and levels, then each level from above with the section along the pit."""
    tape, main = pit.tape, pit.grates.levels[0]
    board = partial(
        new_board,
        pit,
        paper,
        CODE,
        TITLE,
        key=("main grate off the floor", tape.length(main.z)),
        check=(f"panel of the {main.name}, corner to corner", tape.fine(panel_diagonal(main))),
    )
    views = [("Across, from the stack end", across_view(pit))]
    pages = spread(board, views, tuple(b for level in pit.grates.levels for b in _level_blocks(pit, level)))
    plans = [(f"{level.name.capitalize()}, from above", plan_view(pit, level)) for level in pit.grates.levels]
    plans.append(("Along, from the working side", along_view(pit)))
    return pages + spread(board, plans, _under_blocks(pit))


GRATES = SheetMaker(code=CODE, title=TITLE, whose="firebox and plate", make=grate_sheets)


def panel_diagonal(level: GrateLevel) -> float:
    """Corner to corner of one panel [m]."""
    return math.hypot(level.width, level.panel_length)


def _piece(pit: Pit, name: str) -> Part:
    return next(p for p in pit.parts if p.name == name)


def ledge_top(pit: Pit, level: GrateLevel) -> float:
    """Top of a level's ledges over the floor [m]."""
    ledge = _piece(pit, f"{level.name} ledge")
    assert isinstance(ledge.shape, Bar)
    return ledge.placements[0].origin[2] + ledge.shape.profile.height / 2.0


# ---------------------------------------------------------------- views


def across_view(pit: Pit) -> Drawing:
    """The round with its levels, ledges and plates; heights off the floor."""
    s = pit_sketch(pit)
    vessel, tape = pit.vessel, pit.tape
    eye = from_stack_end(vessel.hand)
    hand, r = float(vessel.hand), vessel.outer_radius
    centre = (0.0, vessel.centre_z)
    s.circle(centre, r)
    s.circle(centre, vessel.inner_radius)
    s.centre_lines(centre, r, over=0.05)
    for part in pit.parts:
        if part.group != "grates" or not part.name.endswith(("frame side", "ledge")):
            continue
        for placement in part.placements:
            if placement.origin[0] == max(p.origin[0] for p in part.placements if p.y == placement.y):
                s.add(Drawing(see(part, placement, eye).edges))
    stops = []
    side: Side = "left" if hand > 0.0 else "right"
    edge = -hand * r
    for level in pit.grates.levels:
        w = level.width / 2.0
        s.line((-w, level.z), (w, level.z), about=known(pit, f"grates.{level.name}.width"))
        if level.travel:
            a, b = sorted((hand * (level.travel - w), hand * (level.travel + w)))
            s.line((a, level.z), (b, level.z), "ghost")
            s.dim((hand * w, level.z), (hand * (w + level.travel), level.z), "above",
                  f"slides out {tape.length(level.travel)}", base=vessel.centre_z + r)  # fmt: skip
        s.dim((-w, level.z), (w, level.z), "above", base=level.z, gap=5.0)
        stops.append(
            Stop(
                (edge, level.z),
                f"{level.name}  {tape.length(level.z)}",
                about=known(pit, f"grates.{level.name}.height"),
            )
        )
    for plate in pit.grates.plates[:1] + pit.grates.plates[1:][-1:]:
        z = plate.z0 if plate is pit.grates.plates[0] else plate.z1
        s.line((-plate.width / 2.0, z), (plate.width / 2.0, z), "hidden")
        end = "high end" if plate is pit.grates.plates[0] else "low end"
        stops.append(Stop((edge, z), f"{plate.name}, {end}  {tape.length(z)}"))
    stops.append(Stop((edge, vessel.centre_z), f"spring lines  {tape.length(vessel.centre_z)}"))
    s.line((-r, 0.0), (r, 0.0), "ground")
    s.running((edge, 0.0), stops, side, base=edge, datum_text="floor  0")
    return s.drawing()


def plan_view(pit: Pit, level: GrateLevel) -> Drawing:
    """A level's panels from above, working side at the foot; stations from the datum seam."""
    s = pit_sketch(pit)
    vessel, tape = pit.vessel, pit.tape
    eye = from_above(vessel.hand)
    mesh = _piece(pit, f"{level.name} mesh")
    assert isinstance(mesh.shape, Plate)
    inset = (level.panel_length - mesh.shape.outline.bounds()[2]) / 2.0
    w = level.width / 2.0
    wall = vessel.inner_radius
    for x in (0.0, vessel.length):
        s.line(eye.point((x, -wall, 0.0)), eye.point((x, wall, 0.0)), "centre")
    edges = []
    for placement in mesh.placements:
        a = placement.origin[0] - inset
        b = a + level.panel_length
        s.rectangle(*eye.point((a, w, 0.0)), *eye.point((b, -w, 0.0)))
        if level.travel:
            s.rectangle(*eye.point((a, w + level.travel, 0.0)), *eye.point((b, -w + level.travel, 0.0)), "ghost")
        edges += [a, b]
    datum = eye.point((vessel.x_at(0.0), w, 0.0))
    far = vessel.length if vessel.datum == "fire" else 0.0
    stops = [Stop(eye.point((x, -w, 0.0)), tape.length(vessel.station(x))) for x in (*edges, far)]
    s.running((datum[0], -datum[1]), stops, "above")
    first = mesh.placements[0].origin[0] - inset
    a, b = sorted((eye.point((first, 0.0, 0.0))[0], eye.point((first + level.panel_length, 0.0, 0.0))[0]))
    s.dim_aligned((a, -w), (b, w), tape.fine(panel_diagonal(level)), gap=0.0)
    s.dim((a, -w), (b, -w), "below")
    right = max(eye.point((x, 0.0, 0.0))[0] for x in (0.0, vessel.length))
    s.dim((right, -w), (right, w), "right", about=known(pit, f"grates.{level.name}.width"))
    return s.drawing()


def along_view(pit: Pit) -> Drawing:
    """Cut along the middle: inside of the shell, levels, plates with their fall, and the drain."""
    s = pit_sketch(pit)
    vessel, tape = pit.vessel, pit.tape
    eye = from_working_side(vessel.hand)
    low, high = vessel.centre_z - vessel.inner_radius, vessel.centre_z + vessel.inner_radius

    def at(x: float, z: float) -> tuple[float, float]:
        return eye.point((x, 0.0, z))

    for z in (low, high):
        s.line(at(0.0, z), at(vessel.length, z))
    for x in (0.0, vessel.length):
        s.line(at(x, low), at(x, high), "centre")
    for level in pit.grates.levels:
        s.line(at(level.x0, level.z), at(level.x1, level.z), "hidden")
    ends = [at(x, low)[0] for x in (0.0, vessel.length)]
    stops = []
    for plate in pit.grates.plates:
        s.lines((at(plate.x0, plate.z0), at(plate.x1, plate.z1), at(plate.x1, plate.z1 - plate.thickness),
                 at(plate.x0, plate.z0 - plate.thickness)), closed=True)  # fmt: skip
        stops += [plate.x0, plate.x1]
    if pit.cleared or _served(pit):
        s.symbol(at(pit.grates.drain_x, low), "target")
        s.callout(
            at(pit.grates.drain_x, low),
            f"drain: station {tape.length(vessel.station(pit.grates.drain_x))}",
            toward=-math.pi / 2.0,
        )
    if stops:
        marks = [Stop(at(x, low), tape.length(vessel.station(x))) for x in stops]
        s.running(at(vessel.x_at(0.0), low), marks, "below", base=low, gap=14.0)
        first, last = pit.grates.plates[0], pit.grates.plates[-1]
        for x, z in ((first.x0, first.z0), (last.x1, last.z1)):
            px = at(x, z)[0]
            right = abs(px - max(ends)) < abs(px - min(ends))
            s.dim((px, low), (px, z), "right" if right else "left", base=max(ends) if right else min(ends))
    return s.drawing()


def _served(pit: Pit) -> bool:
    return any(f.serves == "drain" for f in pit.vessel.fittings)


# ---------------------------------------------------------------- lettering


def _level_blocks(pit: Pit, level: GrateLevel) -> tuple[Block, ...]:
    tape, rules = pit.tape, pit.job.proportions.grates
    top = ledge_top(pit, level)
    off = top - pit.vessel.centre_z
    pieces = [
        p for p in pit.parts if p.group == "grates" and p.name.startswith(f"{level.name} ") and "ledge" not in p.name
    ]
    weight = sum(mass_of(p).mass * p.quantity for p in pieces) / level.panels
    wants = [
        ("top of the grate off the floor", tape.length(level.z)),
        ("inside chord at that height", tape.length(level.chord)),
        ("width of the grate", tape.length(level.width)),
        ("panels", f"{level.panels} x {tape.length(level.panel_length)}"),
        ("panel, corner to corner, both ways", tape.fine(panel_diagonal(level))),
        ("top of the ledges off the floor", tape.length(top)),
        (f"top of the ledges {'over' if off > 0.0 else 'under'} the spring lines", tape.length(abs(off))),
        ("left free each side, cold", tape.length(rules.side_clear)),
        ("left free at each end", tape.length(rules.growth_gap)),
    ]
    if level.slides:
        wants.append(("slides out, to its stop", tape.length(level.travel)))
    wants.append(("one panel weighs", tape.mass(weight)))
    about = [f"grates.{level.name}.{n}" for n in ("height", "chord", "width")]
    return (want_list(level.name.capitalize(), wants, about), *verdicts(pit, [p.mark for p in pieces]))


def _under_blocks(pit: Pit) -> tuple[Block, ...]:
    tape, grates, vessel = pit.tape, pit.grates, pit.vessel
    out: list[Block] = []
    if grates.plates:
        rows = tuple(
            (
                p.name,
                f"{tape.length(p.x1 - p.x0)} x {tape.length(p.width)} x {tape.decimal(p.thickness)}",
                tape.length(p.z0),
                tape.length(p.z1),
                "",
            )
            for p in grates.plates
        )
        columns = (
            Column("plate", bold=True),
            Column("long x wide x thick", wrap=True),
            Column("top off floor, fire end", align="right", bold=True, wrap=True),
            Column("stack end", align="right", bold=True),
            Column("got", blank=True),
        )
        out.append(Table(columns, rows, title="Plates under the main grate"))
        first = grates.plates[0]
        fall = tape.slope((first.z0 - first.z1) / (first.x1 - first.x0))
        wants = [("fall away from the fire", fall), ("free at the fire end", tape.length(first.x0))]
        if len(grates.plates) > 1:
            wants.append(("gap between plates", tape.length(grates.plates[1].x0 - first.x1)))
        if grates.return_area:
            wants.append(
                ("return passage at the far end, along the pit", tape.length(vessel.length - grates.plates[-1].x1))
            )
            wants.append(("return passage opens", tape.small_area(grates.return_area)))
        out.append(want_list("Set the plates", wants))
    if pit.cleared or _served(pit):
        x = grates.drain_x
        wants = [
            ("station", tape.length(vessel.station(x))),
            ("around, on the bottom line", tape.length(skin_around(vessel, grates.drain_clock))),
        ]
        fitting = next((f for f in vessel.fittings if f.serves == "drain"), None)
        out.append(want_list("Drain" if fitting is None else f"Drain: the vessel's {fitting.name}", wants))
    else:
        out += withheld(pit, "The drain's marks")
    lines = [
        "Measure the chord at each ledge before cutting frames: a found vessel is not quite round.",
        "Grates and plates grow when hot: leave every gap stated here. Nothing under the grates is welded fast at both ends.",
        "Ledges are levelled by water level from the spring lines, not from the grinder's eye.",
        f"All levels together take about {tape.mass(grates.meat_capacity)} of raw meat (common practice, no source).",
    ]  # fmt: skip
    if any(level.slides for level in grates.levels):
        lines.append(
            "A loaded slide pulled out moves the weight forward: one at a time unless the weights sheet says otherwise."
        )
    return (*out, Notes(tuple(lines), title="Notes"))
