"""The wrap map sheets: the map, and the running lists for two people with a tape each."""

from __future__ import annotations

from collections.abc import Iterable

from pitwright.layout.model import Pit
from pitwright.sheets.blocks import Block, Notes
from pitwright.sheets.page import Board, Page, flow
from pitwright.sheets.paper import Area, Paper
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, new_board, side_by_side, wide
from pitwright.sheets.views.skin_points import Pull, along_pulls, round_pulls, skin_points
from pitwright.sheets.views.wrap_map import wrap_map

CODE = "WRAP"
TITLE = "Wrap map: the skin laid flat"


def wrap_pages(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """The map on its own sheet, then the lists."""
    board = _board(pit, paper)
    waiting: tuple[Block, ...] = ()
    if wide(paper):
        drawing, text = side_by_side(board, 0.33)
        waiting = board.column((how_it_lies(pit), *checks(pit)), text)
    else:
        drawing = board.area
        waiting = (how_it_lies(pit), *checks(pit))
    board.view(wrap_map(pit), drawing, title="Outside skin, seen from outside")
    lists = flow((*waiting, *running_lists(pit)), lambda: _board(pit, paper, lists=True), _columns)
    return (board.page(), *lists)


WRAP = SheetMaker(code=CODE, title="Wrap map and running lists", whose="vessel and doors", make=wrap_pages)


def how_it_lies(pit: Pit) -> Notes:
    """Which way round the map is held, where the tape is hooked, and what to leave."""
    vessel, tape = pit.vessel, pit.tape
    hand = "right" if vessel.hand > 0 else "left"
    step = tape.length(tape.step)
    lines = (
        [
            "The vessel lies on rolls, its bottom on your "
            + hand
            + ". The upper edge of the map is the front line. The tape runs "
            "down the far side, under the back, up the firebox side, and closes on the front line again.",
            "Datum: the bottom seam where it crosses the front line. Hook the tape there once for all heights; never step one mark "
            "off another.",
        ]
        if vessel.on_end
        else [
            f"Stand at the working side: the fire is on your {hand}. The upper edge of the map is the top line. The tape runs "
            "down the working side, under the belly, up the back, and closes on the top line again.",
            f"Datum: the {vessel.datum} seam where it crosses the top line. Hook the tape there once for all stations; never "
            "step one mark off another.",
        ]
    )
    lines += [
        _top_line(pit),
        "Dark grey: weld seams and fittings. Light grey: the room they want; no edge and no "
        f"{'post' if vessel.on_end else 'leg'} goes there.",
        f"Figures are on the outside skin, rounded once to {step}. Both tapes add up to the closing figure on every line: "
        "where they do not, pull again before any cut.",
    ]
    if vessel.oval > 0.5 * tape.step:
        lines.append(
            f"The shell is out of round by {tape.length(2.0 * vessel.oval)}: equal arounds are not equal angles. Strike "
            "the grate line by water level, the door edges by tape."
        )
    if pit.cleared:
        lines.append(
            "Leave the line: the kerf goes on the inside of every opening. Doors: hinges and strongbacks on first, "
            "leave tabs: see DOORS."
        )
    else:
        lines.append(
            "No cut marks are on this sheet: the make-safe record is not complete. Pitwright cannot call a vessel safe."
        )
    return Notes(tuple(lines), title="How to hold this sheet", numbered=True)


def _top_line(pit: Pit) -> str:
    vessel, tape = pit.vessel, pit.tape
    if vessel.on_end:
        if vessel.long_seam_clock is None:
            return (
                "Front line: no long seam was found, so any line will do. Strike it, punch both ends, and keep to it."
            )
        return (
            f"Front line: {tape.length(vessel.top_from_seam)} round from the long seam, clockwise as seen at survey end A. "
            f"Survey end {vessel.fire_end} is the bottom. Punch it at both seams."
        )
    if vessel.long_seam_clock is None:
        return "Top line: no long seam was found, so any way up will do. Strike it, punch both ends, and keep to it."
    return (
        f"Top line: {tape.length(vessel.top_from_seam)} round from the long seam, clockwise as seen at survey end A. "
        f"Survey end {vessel.fire_end} gets the fire. Punch it at both seams."
    )


_LYING = ("stack", "fire", "top", "spring", "bottom")
"""Seams and lines of a vessel that lies."""


def checks(pit: Pit) -> tuple[Block, ...]:
    """Closing figure, and the doors' sizes on the skin where cut marks are issued."""
    vessel, tape = pit.vessel, pit.tape
    want = (Column("what", wrap=True), Column("want", align="right", bold=True), Column("got", blank=True))
    quarter = vessel.around / 4.0
    names = ("top", "bottom", "front", "far side", "back") if vessel.on_end else _LYING
    closing = Table(
        want,
        (
            (f"tape right round, at the {names[0]} seam", tape.length(vessel.around), ""),
            ("tape right round, in the middle", tape.length(vessel.around), ""),
            (f"tape right round, at the {names[1]} seam", tape.length(vessel.around), ""),
            (f"quarter of it: {names[2]} line to {names[3]} line", tape.length(quarter), ""),
            (f"seam to seam along the {names[2]} line", tape.length(vessel.length), ""),
            (f"seam to seam along the {names[4]} line", tape.length(vessel.length), ""),
        ),
        title="Closing figures",
        about=("vessel.around",) * 4 + ("vessel.length",) * 2,
    )
    if not pit.cleared:
        return (closing,)
    got = Column("got", blank=True)
    columns: list[Column] = [Column("door")]
    for head in ("along", "round", "wrap diagonal"):
        columns += [Column(head, align="right", bold=True), got]
    rows = tuple(
        (d.name, tape.length(d.x1 - d.x0), "", tape.length(d.arc), "", tape.fine(d.diagonal), "") for d in pit.doors
    )
    return closing, Table(tuple(columns), rows, title="Doors on the skin, before cutting; both diagonals alike")


def running_lists(pit: Pit) -> tuple[Block, ...]:
    """Both pulls for the first tape, the same read from the far ends for the second, then mark by mark."""
    tape, vessel = pit.tape, pit.vessel
    far = "fire" if vessel.datum == "stack" else "stack"
    near, line, out, back = str(vessel.datum), "top line", "working side", "back"
    if vessel.on_end:
        near, far, line, out, back = "bottom", "top", "front line", "far side", "firebox side"
    along, rounds = along_pulls(pit), round_pulls(pit)
    points = skin_points(pit)
    rows = tuple(
        (tape.bare(p.station), tape.bare(p.around), p.what + (" (there already)" if p.there else ""), "", "")
        for p in points
    )
    starts = tuple(i for i in range(1, len(points)) if points[i].station != points[i - 1].station)
    unit = "in" if tape.inch else "mm"
    marks = Table(
        (
            Column(f"along, {unit}", align="right", bold=True),
            Column(f"round, {unit}", align="right", bold=True),
            Column("mark", wrap=True),
            Column("got along", blank=True),
            Column("got round", blank=True),
        ),
        rows,
        title="Every mark, by station",
        rules=starts,
    )
    return (
        _pull_table(pit, along, f"First tape, along: hooked at the {near} seam (datum)", back=False),
        _pull_table(pit, rounds, f"First tape, round: from the {line} over the {out}", back=False),
        _pull_table(pit, along, f"Second tape, along: hooked at the {far} seam, reads back", back=True),
        _pull_table(pit, rounds, f"Second tape, round: from the {line} over the {back}, reads back", back=True),
        marks,
    )


def _pull_table(pit: Pit, pulls: Iterable[Pull], title: str, *, back: bool) -> Table:
    ordered = list(pulls)
    if back:
        ordered.reverse()
    rows = []
    for pull in ordered:
        what = "; ".join(pull.what) + (" (there already)" if pull.there else "")
        rows.append((pit.tape.length(pull.back if back else pull.figure), what, ""))
    columns = (Column("want", align="right", bold=True), Column("what", wrap=True), Column("got", blank=True))
    return Table(columns, tuple(rows), title=title)


def _board(pit: Pit, paper: Paper, *, lists: bool = False) -> Board:
    vessel, tape = pit.vessel, pit.tape
    title = "Wrap lists: two tapes, one datum" if lists else TITLE
    check = ("closes at, tape right round", tape.length(vessel.around))
    key = ("seam to seam", tape.length(vessel.length))
    return new_board(pit, paper, CODE, title, check=check, key=key)


def _columns(board: Board) -> tuple[Area, ...]:
    return board.area.columns((1.0, 1.0, 1.0) if wide(board.paper) else (1.0, 1.0), 8.0)
