"""Shell pulls: every opening of the vessel's skin by station and around, with the steps that carry its edges round."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.geometry.skin import chord_across, wrap_diagonal
from pitwright.layout.marks import skin_around
from pitwright.layout.model import DoorLayout, Pit, VesselLayout
from pitwright.layout.stack import STEPS, hole_clocks
from pitwright.layout.upright_model import UprightLayout
from pitwright.sheets.blocks import Block, Notes
from pitwright.sheets.page import Board, Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.table import Column, Table
from pitwright.sheets.templates.stack import hole_saddle
from pitwright.sheets.views.common import SheetMaker, new_board
from pitwright.sheets.views.spread import spread, withheld
from pitwright.tape import INCH, MILLIMETRE

CODE, TITLE = "PULLS", "Shell pulls: openings"
_STEPS_INCH = (1.0, 2.0, 3.0, 4.0, 6.0, 8.0)
_STEPS_METRIC = (25.0, 50.0, 75.0, 100.0, 150.0, 200.0)
_MOST = 10  # arc steps down one door end


@dataclass(frozen=True, slots=True, kw_only=True)
class Pull:
    """An opening as it is pulled on the skin: stations of its ends, arounds of its edges as the tape runs [m].

    high, low  clocks of the edge nearer the top line's back and of the other [rad]
    """

    name: str
    x0: float
    x1: float
    high: float
    low: float
    kerf: str

    def arc(self, vessel: VesselLayout) -> float:
        """Round the skin from edge to edge [m]."""
        return vessel.outer_radius * (self.low - self.high)


@dataclass(frozen=True, slots=True, kw_only=True)
class ArcStep:
    """One step down a door's end from the hinge edge: by tape, by trammel straight, and its place [m].

    from_hinge  by tape; chord: straight from the hinge edge's corner
    around      by tape from the top line; height: over the floor
    """

    from_hinge: float
    chord: float
    around: float
    height: float


def pulls(pit: Pit) -> tuple[Pull, ...]:
    """Doors, then the stack's hole where it goes through the skin; the firebox's window of a vessel on end."""
    if pit.upright is not None:
        return _pulls_on_end(pit, pit.upright)
    out = [
        Pull(
            name=door.name,
            x0=door.x0,
            x1=door.x1,
            high=door.hinge_clock,
            low=door.edge_clock,
            kerf="on the door's side of the line",
        )
        for door in pit.doors
    ]
    if pit.stack.place == "top":
        hole = hole_saddle(pit).hole()
        r = pit.vessel.outer_radius
        out.append(
            Pull(
                name="stack hole",
                x0=pit.stack.x + hole.station_low,
                x1=pit.stack.x + hole.station_high,
                high=hole.around_low / r,
                low=hole.around_high / r,
                kerf="inside the hole",
            )
        )
    return tuple(out)


def _pulls_on_end(pit: Pit, own: UprightLayout) -> tuple[Pull, ...]:
    """The door from its edge nearer the firebox on, the window, the stack's hole out of the back."""
    door, window, stack, vessel = pit.doors[0], own.window, pit.stack, pit.vessel
    low, high = sorted((door.hinge_clock, door.edge_clock))
    out = [
        Pull(name=door.name, x0=door.x0, x1=door.x1, high=low, low=high, kerf="on the door's side of the line"),
        Pull(
            name="firebox window", x0=window.x0, x1=window.x1, high=window.clock - window.half_clock,
            low=window.clock + window.half_clock, kerf="inside the window",
        ),
    ]  # fmt: skip
    if stack.place == "back":
        at, turn = stack.base_z - vessel.seam_z, stack.hole_around / 2.0 / vessel.outer_radius
        half = stack.hole_along / 2.0
        out.append(
            Pull(name="stack hole", x0=at - half, x1=at + half, high=stack.clock - turn, low=stack.clock + turn, kerf="inside the hole")
        )  # fmt: skip
    return tuple(out)


def arc_steps(pit: Pit, door: DoorLayout) -> tuple[ArcStep, ...]:
    """Steps down a door's end, a round figure of the shop's tape apart; the last is the lower edge."""
    vessel = pit.vessel
    unit, steps = (INCH, _STEPS_INCH) if pit.tape.inch else (MILLIMETRE, _STEPS_METRIC)
    step = next((s * unit for s in steps if door.arc / (s * unit) <= _MOST), steps[-1] * unit)
    count = int(door.arc / step - 0.15)
    out = []
    for down in (*(i * step for i in range(count + 1)), door.arc):
        clock = door.hinge_clock + down / vessel.outer_radius
        out.append(
            ArcStep(
                from_hinge=down,
                chord=chord_across(vessel.outer_radius, down),
                around=skin_around(vessel, clock),
                height=vessel.skin(0.0, clock)[2],
            )
        )
    return tuple(out)


def hole_points(pit: Pit) -> tuple[tuple[int, float, float], ...]:
    """(line of the saddle strip, station, around from the top line as the tape runs) of the hole's edge [m]."""
    saddle, vessel = hole_saddle(pit), pit.vessel
    out = []
    for number in range(STEPS):
        x, y, z = saddle.point(2.0 * math.pi * number / STEPS)
        clock = math.atan2(y, z)
        out.append((number, vessel.station(pit.stack.x + x), skin_around(vessel, clock)))
    return tuple(out)


def pull_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Lists of every opening; only the hold note before the make-safe record is complete."""

    def board() -> Board:
        return new_board(
            pit, paper, CODE, TITLE, check=("closes at, tape right round", pit.tape.length(pit.vessel.around))
        )

    if not pit.cleared:
        return spread(board, (), withheld(pit, "Openings in the shell, their stations, arounds and diagonals"))
    blocks: list[Block] = [_edges(pit), _sizes(pit), *(_arcs(pit) if pit.upright is None else ())]
    if pit.stack.place == "top":
        blocks.append(_hole(pit))
    return spread(board, (), (*blocks, _notes(pit)))


PULLS = SheetMaker(code=CODE, title=TITLE, whose="vessel and doors", make=pull_sheets)


def _edges(pit: Pit) -> Table:
    tape, vessel = pit.tape, pit.vessel
    rows: list[tuple[str, ...]] = []
    for pull in pulls(pit):
        ends = sorted(vessel.station(x) for x in (pull.x0, pull.x1))
        edges = [tape.bare(skin_around(vessel, c)) for c in (pull.high, pull.low)]
        rows.append((pull.name, tape.bare(ends[0]), "", tape.bare(ends[1]), "", edges[0], "", edges[1], ""))
    unit = "in" if tape.inch else "mm"
    got = Column("got", blank=True)
    columns: list[Column] = [Column("opening", bold=True)]
    for head in ("station from", "station to", "around from", "around to"):
        columns += [Column(f"{head}, {unit}", align="right", bold=True, wrap=True), got]
    return Table(
        tuple(columns),
        tuple(rows),
        title="Edges: doors from hinge to lower edge; arounds from the top line over the working side"
        if pit.upright is None
        else "Edges: heights from the bottom seam; arounds from the front line, away from the firebox",
    )


def _sizes(pit: Pit) -> Table:
    tape, vessel = pit.tape, pit.vessel
    rows = []
    for pull in pulls(pit):
        long, arc = pull.x1 - pull.x0, pull.arc(vessel)
        door = pull.name.startswith("door")
        rows.append(
            (
                pull.name,
                tape.length(long),
                tape.length(arc),
                tape.fine(chord_across(vessel.outer_radius, arc)),
                tape.fine(wrap_diagonal(long, arc)) if door else "–",
                "",
                "" if door else "–",
                pull.kerf,
            )
        )
    columns = (
        Column("opening", bold=True),
        Column("along", align="right"),
        Column("round", align="right"),
        Column("chord across", align="right", wrap=True),
        Column("wrap diagonal, both ways", align="right", bold=True, wrap=True),
        Column("got one", blank=True),
        Column("got other", blank=True),
        Column("kerf", wrap=True),
    )
    return Table(columns, tuple(rows), title="Sizes on the skin")


def _arcs(pit: Pit) -> list[Block]:
    tape = pit.tape
    columns = (
        Column("from the hinge edge, by tape", align="right", bold=True, wrap=True),
        Column("straight from the hinge corner", align="right", wrap=True),
        Column("around", align="right", bold=True),
        Column("off the floor", align="right", wrap=True),
        Column("got", blank=True),
    )
    found: dict[tuple[float, float], list[DoorLayout]] = {}
    for door in pit.doors:
        found.setdefault((round(door.hinge_clock, 9), round(door.edge_clock, 9)), []).append(door)
    out: list[Block] = []
    for doors in found.values():
        names = " and ".join(d.name for d in doors) if len(doors) < 3 else f"{doors[0].name} to {doors[-1].name}"
        rows = tuple(
            (tape.length(a.from_hinge), tape.fine(a.chord), tape.length(a.around), tape.length(a.height), "")
            for a in arc_steps(pit, doors[0])
        )
        out.append(Table(columns, rows, title=f"Arc steps down both ends of {names}; the last is the lower edge"))
    return out


def _hole(pit: Pit) -> Table:
    tape = pit.tape
    back, front = hole_clocks(pit.stack, pit.vessel)
    where = "across the top line" if back < 0.0 < front else "on one side of the top line"
    rows = tuple((str(n), tape.length(x), tape.length(a), "") for n, x, a in hole_points(pit))
    columns = (
        Column("line", align="right"),
        Column("station", align="right", bold=True),
        Column("around", align="right", bold=True),
        Column("got", blank=True),
    )
    return Table(columns, rows, title=f"Stack hole by the strip's lines ({where})")


def _notes(pit: Pit) -> Notes:
    if pit.upright is not None:
        return Notes(
            (
                "Vessel lying on rolls. Two tapes, one datum: every height from the bottom seam, every around from the front line; "
                "none from another mark.",
                "Strike the door's four edges, then both wrap diagonals with the tape lying on the skin. They must be alike.",
                "The window's edge point by point: see FIREBOX. It is cut to the scribe of the coped firebox, not to the tape.",
                "Kerf: leave the line. A door's kerf lies in the door, a hole's kerf in the hole.",
                "Order of cutting that keeps the door from springing, strongbacks and tabs: see DOORS.",
                "Cut nothing, heat nothing and grind nothing before the make-safe record is signed; ventilate, keep a fire watch.",
            ),
            title="How to pull and cut",
            numbered=True,
        )
    lines = [
        "Two tapes, one datum: pull every station from the datum seam and every around from the top line; none from another mark.",
        "Strike a door's four edges, then both wrap diagonals with the tape lying on the skin. They must be alike before any cut.",
        "Carry each end round at its arc steps: punch by tape, prove with the trammel from the hinge corner; then bend a batten "
        "through the punches.",
        "Heights off the floor hold only with the vessel set and level; on an out-of-round shell tape and level differ: doors follow "
        "the tape, the grate line follows the level.",
        "Kerf: leave the line. A door's kerf lies in the door, a hole's kerf in the hole.",
        "Order of cutting that keeps a door from springing, strongbacks and tabs: see DOORS. Paper corners and the hole: full-size "
        "templates.",
        "Cut nothing, heat nothing and grind nothing before the make-safe record is signed; ventilate, and keep a fire watch.",
    ]
    if pit.stack.place == "top":
        lines.insert(
            5, "The stack's hole is cut after its pipe has been tried on the skin; never larger than the pipe's inside."
        )
    return Notes(tuple(lines), title="How to pull and cut", numbered=True)
