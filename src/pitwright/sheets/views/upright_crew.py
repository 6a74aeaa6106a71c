"""Figures each of the three men works by, and the check sheet, of a vessel on end."""

from __future__ import annotations

from functools import partial

from pitwright.layout.grates import MESH
from pitwright.layout.model import Pit
from pitwright.layout.upright_inside import RING_DEEP
from pitwright.sheets.blocks import BigFigure, Block, Notes
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.views.check import given, want_table
from pitwright.sheets.views.common import SheetMaker, known, new_board
from pitwright.sheets.views.crew import BASE_CODE, PLATE_CODE, VESSEL_CODE, crew_page
from pitwright.sheets.views.spread import spread, withheld
from pitwright.sheets.views.upright_wants import HELD, chamber_heights, firebox_heights, of, seam_heights, widths
from pitwright.shop._order_steps import LEVEL_GIVE, TAPE_GIVE


def _fig(pit: Pit, label: str, figure: str, note: str = "", about: str = "") -> BigFigure:
    return BigFigure(label, figure, note, known(pit, about) if about else "")


def _cut(pit: Pit, label: str, figure: str, note: str) -> BigFigure:
    return BigFigure(label, figure, note) if pit.cleared else BigFigure(label, HELD, "not before the vessel is cleared")


def vessel_man(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Vessel and door."""
    tape, vessel, door, own = pit.tape, pit.vessel, pit.doors[0], of(pit)
    quarter = vessel.around / 4.0
    low, high = (tape.length(vessel.around_at(abs(c))) for c in (door.hinge_clock, door.edge_clock))
    figures = [
        _fig(pit, "tape around", tape.length(vessel.around), f"quarters {', '.join(tape.length(quarter * k) for k in (1, 2, 3))}", "vessel.around"),
        _fig(pit, "front line from the long seam", tape.length(vessel.top_from_seam), f"clockwise at end A; end {vessel.fire_end} is the bottom", "clock.top_from_seam"),
        _fig(pit, "top seam from the bottom seam", tape.length(vessel.length), "heights run from the bottom seam", "vessel.length"),
        _cut(pit, "door from, to", f"{tape.length(door.x0)}, {tape.length(door.x1)}", "over the bottom seam"),
        _cut(pit, "door edges", low if low == high else f"{low}, {high}", "each way round from the front line"),
        _cut(pit, "door diagonal", tape.fine(door.diagonal), "wrapped on the skin, both ways alike"),
        _cut(pit, "door, clear", tape.length(own.door.clear), "straight across"),
        _cut(pit, "window middle", tape.length((own.window.x0 + own.window.x1) / 2.0), "over the bottom seam, on the firebox line"),
        _cut(pit, "window, widest", tape.length(2.0 * own.window.half_clock * vessel.outer_radius), "round the skin"),
        _fig(pit, "ledge tops", ", ".join(tape.length(g.x - _deep(pit)) for g in own.grates), "over the bottom seam"),
    ]  # fmt: skip
    notes = (
        "Hinges and upright strongbacks on before the last side is cut; all pins on one plumb line.",
        "Never heat, cut or grind before the hold tag is signed.",
    )
    return crew_page(pit, paper, VESSEL_CODE, "vessel and doors", figures, notes)


def _deep(pit: Pit) -> float:
    return MESH + RING_DEEP


def base_man(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Base and posts."""
    tape, base, own, vessel = pit.tape, pit.base, of(pit), pit.vessel
    post = own.posts[0]
    figures = [
        _fig(pit, "base, square", tape.length(own.square), "over the outside, both ways", "base.square"),
        _fig(pit, "corner to corner", tape.fine(own.diagonal), "both ways alike", "base.diagonal"),
        _fig(pit, "rail top off the floor", tape.length(base.rail_top), base.rail.designation, "base.rail_top"),
        _fig(pit, "posts, length", tape.length(post.z1 - post.z0), f"four, square both ends; {own.post.designation}", "base.post_length"),
        _fig(pit, "posts, face to face", tape.length(2.0 * vessel.outer_radius), "across the middle"),
        _fig(pit, "posts, round", tape.angle(post.clock), "from front and back, each way", "base.post_clock"),
        _fig(pit, "bottom seam off the floor", tape.length(vessel.seam_z), "four quarters, before and after welding", "vessel.seam"),
        _fig(pit, "grates, over the round", tape.length(own.grates[0].diameter), "in halves", "grates.diameter"),
    ]  # fmt: skip
    notes = (
        "No lean and no leg cuts: leg rules do not apply to a vessel on end.",
        "Tack all, square up by the diagonals, then weld from the middle outward.",
    )
    return crew_page(pit, paper, BASE_CODE, "base and legs", figures, notes)


def plate_man(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Firebox and plate."""
    tape, box, own = pit.tape, pit.firebox, of(pit)
    round_box = box.shape == "round"
    figures = [
        _fig(pit, "firebox", tape.length(box.width) if round_box else f"{tape.length(box.width)} x {tape.length(box.height)}",
             "outside diameter" if round_box else "outside, wide x high"),
        _fig(pit, "inside length", tape.length(box.depth_inside), "on the middle, to the skin", "firebox.length"),
        _fig(pit, "firebox centre off the floor", tape.length(box.centre_z), "", "firebox.centre"),
        _fig(pit, "fire grate off the floor", tape.length(box.grate_z), f"{tape.length(box.grate_width)} x {tape.length(box.grate_length)}", "firebox.fire_grate"),
        _fig(pit, "fire door opening", f"{tape.length(box.door_width)} x {tape.length(box.door_height)}", f"sill {tape.length(box.door_z)} off the floor"),
        _fig(pit, "air inlets, open", tape.small_area(box.inlet_area), f"{box.inlets} of {tape.length(box.inlet_width)} x {tape.length(box.inlet_height)}"),
        _cut(pit, "dam", tape.length(own.window.dam), "skin left over the firebox's inside bottom"),
    ]  # fmt: skip
    if "firebox.cope" in pit.reasons:
        cope = float(pit.reasons["firebox.cope"].value)
        figures.insert(
            2, _fig(pit, "cope, deep", tape.fine(cope), "sides longest, top and bottom shortest", "firebox.cope")
        )
    if own.spreader is not None:
        figures.append(_fig(pit, own.spreader.kind, tape.length(own.spreader.diameter), f"its top {tape.length(own.spreader.z)} off the floor", "spreader.diameter"))  # fmt: skip
    notes = (
        "The firebox hangs on a jack or hoist until its last weld is run.",
        "Offer it up and scribe before the window is cut.",
    )
    return crew_page(pit, paper, PLATE_CODE, "firebox and plate", figures, notes)


MAN_VESSEL = SheetMaker(code=VESSEL_CODE, title="For vessel and doors", whose="vessel and doors", make=vessel_man)
MAN_BASE = SheetMaker(code=BASE_CODE, title="For base and posts", whose="base and legs", make=base_man)
MAN_PLATE = SheetMaker(code=PLATE_CODE, title="For firebox and plate", whose="firebox and plate", make=plate_man)


# ---------------------------------------------------------------- check sheet


def check_pages(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """One table a place of measuring."""
    tape, vessel, own, door = pit.tape, pit.vessel, of(pit), pit.doors[0]
    mark, level = tape.length(TAPE_GIVE), tape.length(LEVEL_GIVE)
    board = partial(
        new_board, pit, paper, "CHECK", "Check sheet", check=("base, corner to corner", tape.fine(own.diagonal))
    )
    quarter = vessel.around / 4.0
    shell: list[tuple[str, str, str, str]] = [
        ("tape around, both ends and middle", tape.length(vessel.around), mark, known(pit, "vessel.around")),
        ("seam to seam", tape.length(vessel.length), mark, known(pit, "vessel.length")),
        ("wall by gauge, thinnest", tape.decimal(vessel.wall), "10 %", known(pit, "vessel.wall")),
        *((f"front line to quarter line {k}, both ends", tape.length(quarter * k), mark, "") for k in (1, 2, 3)),
    ]
    doors: list[tuple[str, str, str, str]] = [
        ("opens to", tape.angle(door.stop, 0), "5°", known(pit, f"{door.name}.stop"))
    ]
    if pit.cleared:
        doors = [
            ("lower to upper edge", tape.length(door.x1 - door.x0), mark, known(pit, "doors.width")),
            ("round the skin", tape.length(door.arc), mark, known(pit, "doors.arc")),
            ("wrap diagonals, both", tape.fine(door.diagonal), mark, ""),
            ("straight across", tape.length(door.chord), level, known(pit, "doors.clear")),
            ("pins: string from first to last, off by", "0", mark, ""),
            *doors,
        ]
    base = [
        ("outside corners, one way", tape.fine(own.diagonal), mark, ""),
        ("outside corners, other way", tape.fine(own.diagonal), mark, ""),
        *given(pit, widths(pit), mark),
    ]
    tables = [
        ("Vessel, by tape", shell),
        ("Over the bottom seam", given(pit, seam_heights(pit), mark)),
        ("Off the floor, vessel", given(pit, chamber_heights(pit), mark)),
        ("Off the floor, firebox", given(pit, firebox_heights(pit), level)),
        ("Base, posts, level sizes", base),
        ("Door", doors),
    ]
    notes = Notes(
        (
            "Heights over the seam: tape hooked on the bottom seam, vessel lying. Heights off the floor: standing, four quarters.",
            "“Within” is what shops hold by hand (common practice, no source). A figure outside it: write it in and have the rest "
            "solved again before anything more is cut.",
            "Signed and dated by who measured, one line under the table.",
        ),
        title="How to use it",
    )
    blocks: tuple[Block, ...] = (
        *withheld(pit, "Heights and arounds of cuts"),
        *(want_table(title, rows) for title, rows in tables),
        notes,
    )
    return spread(board, (), blocks)


CHECK = SheetMaker(code="CHECK", title="Check sheet", whose="everyone", make=check_pages)
