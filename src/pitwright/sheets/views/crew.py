"""One page a person: the figures each of the three works by, big enough to read at arm's length off the wall."""

from __future__ import annotations

import math
from functools import partial

from pitwright.errors import OutputError
from pitwright.layout.model import LegLayout, Pit
from pitwright.sheets import lettering
from pitwright.sheets.blocks import BigFigure, BigFigures, Block, Notes, Pairs
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.views import running
from pitwright.sheets.views.common import SheetMaker, known, new_board
from pitwright.sheets.views.wall import HELD, wall_figures
from pitwright.shop.order import Order, Person, build_order

_SIZES = (13.0, 12.0, 11.0, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0, 6.5, 6.0)
"""Heights tried, largest first; 8.5 mm is 24 points and reads at arm's length [mm]."""

VESSEL_CODE, BASE_CODE, PLATE_CODE = "MAN1", "MAN2", "MAN3"


def vessel_page(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Vessel and doors."""
    tape, vessel = pit.tape, pit.vessel
    quarter = vessel.around / 4.0
    figures = [
        _fig(pit, "tape around", tape.length(vessel.around), f"quarters {', '.join(tape.length(quarter * k) for k in (1, 2, 3))}", "vessel.around"),
        _fig(pit, "top line from the long seam", tape.length(vessel.top_from_seam), f"clockwise at end A; fire on end {vessel.fire_end}", "clock.top_from_seam"),
        _fig(pit, f"far seam from the {vessel.datum} seam", tape.length(vessel.length), "stations run from there", "vessel.length"),
    ]  # fmt: skip
    for door in pit.doors:
        ends = sorted(vessel.station(x) for x in (door.x0, door.x1))
        figures += [
            _cut(
                pit, f"{door.name} from, to", f"{tape.length(ends[0])}, {tape.length(ends[1])}", "stations, both ends"
            ),
            _cut(pit, f"{door.name} diagonal", tape.fine(door.diagonal), "wrapped on the skin, both ways alike"),
        ]
    first = pit.doors[0]
    figures += [
        _cut(pit, f"{what} edge", tape.length(vessel.around_at(clock)), "around from the top line")
        for what, clock in (("hinge", first.hinge_clock), ("lower", first.edge_clock))
    ]
    if pit.stack.place == "top":
        y = pit.stack.y
        side = (
            "on the top line"
            if abs(y) < 1e-6
            else f"{tape.length(abs(y))} {'behind' if y < 0 else 'in front of'} the top line"
        )
        figures.append(_cut(pit, "stack station", tape.length(vessel.station(pit.stack.x)), side))
    figures.append(_fig(pit, "drain station", tape.length(vessel.station(pit.grates.drain_x)), "bottom line", "drain.station")
                   if pit.cleared else BigFigure("drain station", HELD, "not before the vessel is cleared"))  # fmt: skip
    notes = (
        "Hinges and strongbacks on before the last side is cut. Leave the line on the shell, the kerf in the door.",
        "Never heat, cut or grind before the hold tag is signed.",
    )
    return crew_page(pit, paper, VESSEL_CODE, "vessel and doors", figures, notes)


def base_page(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Base and legs, or saddles."""
    tape, base, vessel = pit.tape, pit.base, pit.vessel
    figures = [
        _fig(pit, "rails, each", tape.length(base.rail_x1 - base.rail_x0), base.rail.designation, "base.rail_length"),
        _fig(
            pit,
            "outside of the rails",
            tape.length(base.rails_outside),
            "both ends and the middle",
            "base.rails_outside",
        ),
        _fig(pit, "outside diagonals", tape.fine(base.diagonal), "both ways alike"),
        _fig(pit, "rail top off the floor", tape.length(base.rail_top), "", "base.rail_top"),
    ]
    figures += [_fig(pit, what, want) for what, want in dict(running.wants(pit)).items()]
    for leg_set in pit.leg_sets:
        for leg in _kinds(leg_set.legs):
            name = f"set {leg_set.name}" + ("" if len(_kinds(leg_set.legs)) == 1 else f", {leg.side}")
            figures += [
                _fig(pit, f"{name}: long, short", f"{tape.length(leg.long_point)}, {tape.length(leg.short_point)}",
                     f"{leg.end} top; {'ROLL the tube 180 between cuts' if leg.roll else 'do NOT roll the tube'}"),
                _fig(pit, f"{name}: top, foot cut", f"{tape.angle(leg.top_cut)}, {tape.angle(leg.foot_cut)}", "degrees off square"),
                _fig(pit, f"{name}: lean", tape.angle(leg.lean), f"foot station {tape.length(vessel.station(leg.x))}"),
            ]  # fmt: skip
    if pit.leg_sets:
        figures.append(_fig(pit, "feet, corner to corner", tape.fine(base.feet_diagonal), "end sets, both ways alike"))
    for saddle in pit.saddles:
        figures += [
            _fig(pit, f"saddle {saddle.name} station", tape.length(vessel.station(saddle.x)), f"cut radius {tape.length(saddle.cut_radius)}"),
            _fig(pit, f"saddle {saddle.name}: edge, middle", f"{tape.length(saddle.edge_height)}, {tape.length(saddle.middle_height)}", "plate height"),
        ]  # fmt: skip
    figures.append(
        _fig(
            pit,
            "vessel centre off the floor",
            tape.length(vessel.centre_z),
            "four corners, before and after welding",
            "vessel.centre",
        )
    )
    notes = (
        "Tie each pair of legs across before the vessel comes down on them.",
        "Tack all, square up, then weld from the middle outward.",
    )
    return crew_page(pit, paper, BASE_CODE, "base and legs", figures, notes)


def plate_page(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Firebox and plate."""
    tape, box, throat = pit.tape, pit.firebox, pit.throat
    round_box = box.shape == "round"
    square = f"diagonal {tape.fine(math.hypot(box.width, box.height))}"
    figures = [
        _fig(pit, "firebox", tape.length(box.width) if round_box else f"{tape.length(box.width)} x {tape.length(box.height)}",
             "outside diameter" if round_box else f"outside, wide x high; {square}"),
        _fig(pit, "firebox wall", tape.decimal(box.wall), f"end plate {tape.decimal(box.end_plate)}"),
        _fig(pit, "inside length", tape.length(box.depth_inside), f"{tape.length(box.x1 - box.x0)} over all"),
        _fig(pit, "firebox drop", tape.length(box.drop), "spring line down to firebox centre", "firebox.drop"),
        _fig(pit, "firebox centre off the floor", tape.length(box.centre_z), "", "firebox.centre"),
        _fig(pit, "fire grate off the floor", tape.length(box.grate_z), f"{tape.length(box.grate_width)} x {tape.length(box.grate_length)}", "firebox.fire_grate"),
        _fig(pit, "fire door opening", f"{tape.length(box.door_width)} x {tape.length(box.door_height)}", f"sill {tape.length(box.door_z)} off the floor"),
        _cut(pit, "throat window, widest", tape.length(throat.widest), f"{tape.length(abs(throat.widest_at))} {_over(throat.widest_at)} the vessel's centre"),
        _cut(pit, "window top", tape.length(abs(throat.top)), f"{_over(throat.top)} the vessel's centre"),
        _cut(pit, "window bottom", tape.length(abs(throat.bottom)), f"{_over(throat.bottom)} the vessel's centre; edge of the dam"),
        _cut(pit, "grease dam", tape.length(throat.dam), "over the lowest inside"),
        _fig(pit, "air inlets, open", tape.small_area(box.inlet_area), f"{box.inlets} of {tape.length(box.inlet_width)} x {tape.length(box.inlet_height)}"),
    ]  # fmt: skip
    notes = (
        "The firebox hangs on a jack or hoist until its last weld is run.",
        "Inner welds looked at before anything covers them.",
    )
    return crew_page(pit, paper, PLATE_CODE, "firebox and plate", figures, notes)


MAN_VESSEL = SheetMaker(code=VESSEL_CODE, title="For vessel and doors", whose="vessel and doors", make=vessel_page)
MAN_BASE = SheetMaker(code=BASE_CODE, title="For base and legs", whose="base and legs", make=base_page)
MAN_PLATE = SheetMaker(code=PLATE_CODE, title="For firebox and plate", whose="firebox and plate", make=plate_page)


def _fig(pit: Pit, label: str, figure: str, note: str = "", about: str = "") -> BigFigure:
    return BigFigure(label, figure, note, known(pit, about) if about else "")


def _cut(pit: Pit, label: str, figure: str, note: str) -> BigFigure:
    return BigFigure(label, figure, note) if pit.cleared else BigFigure(label, HELD, "not before the vessel is cleared")


def _over(v: float) -> str:
    return "under" if v < 0.0 else "over"


def _kinds(legs: tuple[LegLayout, ...]) -> tuple[LegLayout, ...]:
    """One leg of each kind: twins across the pit are cut alike."""
    found: dict[tuple[float, ...], LegLayout] = {}
    for leg in legs:
        found.setdefault(
            tuple(round(v, 5) for v in (leg.long_point, leg.short_point, leg.top_cut, leg.foot_cut, leg.lean)), leg
        )
    return tuple(found.values())


def crew_page(
    pit: Pit, paper: Paper, code: str, who: Person, figures: list[BigFigure], notes: tuple[str, ...]
) -> tuple[Page, ...]:
    """One page: his figures as large as they go, the four numbers, his steps."""
    new = partial(
        new_board,
        pit,
        paper,
        code,
        f"For {who}",
        check=("outside diagonal of the rails", pit.tape.fine(pit.base.diagonal)),
    )
    tail: tuple[Block, ...] = (_four(pit), Notes((_steps(build_order(pit), who), *notes), title="Mind", size=2.8))
    ways = [BigFigures(tuple(figures), across=across, size=size) for size in _SIZES for across in (2, 3, 4, 5)]
    for block in sorted(ways, key=lambda way: -_smallest(way, new().area.width)):
        board = new()
        if block.height(board.area.width) > board.area.height:
            continue
        rest = board.put(block, board.area)
        left = [board.column((one,), room) for one, room in zip(tail, rest.columns((1.0, 1.0), 8.0), strict=True)]
        if not any(left):
            return (board.page(),)
    raise OutputError("the figures of one man do not go on one page", remedy="Choose larger paper.")


def _smallest(block: BigFigures, width: float) -> float:
    """Height of the smallest figure once each fits its own box [mm]."""
    room = width / block.across - 5.0
    return min(lettering.shrunk(f.figure, room, block.size, 2.5, bold=True) for f in block.figures)


def _four(pit: Pit) -> Pairs:
    pairs = tuple((f.label, f.figure) for f in wall_figures(pit))
    return Pairs(pairs, title="The four that bind all three", size=2.8)


def _steps(order: Order, who: Person) -> str:
    mine = [str(s.number) for s in order.steps if s.who == who]
    return f"Steps of the build order (see ORDER): {', '.join(mine)}."
