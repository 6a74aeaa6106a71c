"""The cover: the finished pit, its key figures, the four numbers on the wall, what was found, what is in the set."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.findings import worst_first
from pitwright.layout.model import Pit
from pitwright.masses import mass_of
from pitwright.parts import Point2
from pitwright.sheets.blocks import BigFigure, BigFigures, Block, Heading, Notes, Pairs
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.ink import extent, shifted
from pitwright.sheets.laying import lay
from pitwright.sheets.page import Board, Page, flow
from pitwright.sheets.paper import Area, Paper
from pitwright.sheets.shapes import Polyline
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import new_board, side_by_side, wide
from pitwright.sheets.views.wall import wall_figures
from pitwright.strength.standing import stand
from pitwright.summary import key_figures

CODE, TITLE = "COVER", "Plan set"
_WORDS = {"stop": "STOP", "warn": "WATCH", "note": "note", "unchecked": "not checked"}
LEAST_PICTURE = 40.0  # the picture's height where a warning stands over it [mm]
_SIGNERS = ("vessel and doors", "base and legs", "firebox and plate")


@dataclass(frozen=True, slots=True, kw_only=True)
class ContentsLine:
    """One sheet of the set: its page, its code, what it shows, who works from it."""

    pages: str
    code: str
    title: str
    whose: str


def cover_pages(
    pit: Pit, paper: Paper, picture: Sequence[Sequence[Point2]], contents: Sequence[ContentsLine]
) -> tuple[Page, ...]:
    """The cover and what flows over from it.

    picture  lines of the finished pit in the plane of some view [m]; none leaves their room to the figures
    """
    board = _board(pit, paper)
    left: tuple[Block, ...] = (*_cleared(pit), *_findings(pit), *_as_built(pit))
    right: tuple[Block, ...] = (*_weights(pit), *_ways_up(pit))
    over = _over_limit(pit)
    if wide(paper):
        picture_room, text = side_by_side(board, 0.4)
        left = (*board.column((_contents(contents), *_figures(pit)), text), *left)
    else:
        picture_room = board.area
        left = (_contents(contents), *_figures(pit), *left)
    if over:
        left_for = picture_room.height - _tall(_wall(pit), picture_room.width)
        if left_for - _tall(over, picture_room.width) < LEAST_PICTURE:
            left, over = (*over[1:], *left), over[:1]  # what to do about it goes with the findings
        warning, picture_room = picture_room.top(_tall(over, picture_room.width), 2.0)
        board.column(over, warning)
    _picture_over(board, picture_room, picture, _wall(pit))
    second = _board(pit, paper)
    rooms = _columns(second)
    waiting = (*second.column(left, rooms[0]), *second.column(right, rooms[1]))
    return (board.page(), second.page(), *flow(waiting, lambda: _board(pit, paper), _columns))


def _board(pit: Pit, paper: Paper) -> Board:
    tape = pit.tape
    return new_board(pit, paper, CODE, TITLE, check=("grate off the floor", tape.length(pit.job.order.grate_height)))


def _columns(board: Board) -> tuple[Area, ...]:
    return board.area.columns((1.0, 1.0), 8.0)


# ---------------------------------------------------------------- picture and wall


def _tall(blocks: Sequence[Block], width: float) -> float:
    """How much of a column blocks take [mm]."""
    return sum(b.height(width) for b in blocks) + 5.0 * len(blocks)


def _picture_over(board: Board, area: Area, picture: Sequence[Sequence[Point2]], under: Sequence[Block]) -> None:
    """The picture, as large as it goes, over the blocks that stand at the foot of the area."""
    strip, room = area.bottom(_tall(under, area.width), 4.0)
    board.column(under, strip)
    if not picture or room.height < LEAST_PICTURE / 2.0:
        return
    drawing = Drawing(tuple(Polyline(tuple(run), role="mark") for run in picture if len(run) > 1))
    x0, y0, x1, y1 = drawing.bounds()
    ratio = min(room.width / (x1 - x0), room.height / (y1 - y0)) / 1000.0
    ink = lay(drawing, ratio)
    left, top, right, bottom = extent(ink)
    dx = room.x + (room.width - right - left) / 2.0
    dy = room.y + (room.height - bottom - top) / 2.0
    board.add("picture", shifted(ink, dx, dy), room)


def _over_limit(pit: Pit) -> tuple[Block, ...]:
    """Large and plain, where a check of standing, lifting or towing is past its limit; nothing else."""
    report = stand(pit)
    over = [c for c in report.checks if c.ratio > 1.0]
    unfit = report.towing is not None and not report.towing.fit
    if not over and not unfit:
        return ()
    built = [c for c in over if c.name != "ground pressure"]  # the ground is no fault of the pit: pads mend it
    worst = next(iter(built or over), None)
    figures = []
    if worst is not None:
        ratio = "over any limit" if math.isinf(worst.ratio) else f"{worst.ratio:.2f}"
        said = f"{worst.piece}: {worst.name}, {worst.case}. 1.00 is the limit."
        head = "DO NOT BUILD OR MOVE IT SO: worst ratio" if built else "SET IT ON PADS: ground pressure, ratio"
        figures.append(BigFigure(head, ratio, said, role="wrong"))
    if unfit:
        figures.append(BigFigure("NOT FIT TO TOW", "tongue", "out of 8 to 18 %: see sheet TOW", role="wrong"))
    told = [f for f in report.findings if f.severity == "stop" or f.code == "stand.sinks"]
    ways = tuple(f"{f.text} {f.remedy}".strip() for f in told)
    more = f"{len(over)} checks are past their limit; all are on sheet STAND." if len(over) > 1 else ""
    lines = (*ways[:3], *((more,) if more else ()))
    blocks: tuple[Block, ...] = (BigFigures(tuple(figures), across=len(figures), size=11.0),)
    return (*blocks, Notes(lines, bold=True, size=2.6)) if lines else blocks


def _wall(pit: Pit) -> tuple[Block, ...]:
    """The four numbers at which the three men meet, and room for their names."""
    columns = tuple(Column(f"signed, {who}", blank=True) for who in _SIGNERS)
    return (
        Heading("On the wall: these four may not change unless all three sign the new sheet"),
        BigFigures(wall_figures(pit), across=2, size=8.0),
        Table(columns, (("",) * 3,)),
    )


# ---------------------------------------------------------------- figures and contents


def _figures(pit: Pit) -> tuple[Block, ...]:
    """Key figures; those of legs and saddles stand on their own sheets."""
    sections = [(t, rows) for t, rows in key_figures(pit) if not t.startswith(("leg set", "saddle"))]
    titles = ["The pit", *(t.capitalize() for t, _ in sections[1:])]
    return tuple(Pairs(tuple(rows), title=t, size=2.3) for t, (_, rows) in zip(titles, sections, strict=True))


def _contents(contents: Sequence[ContentsLine]) -> Table:
    columns = (
        Column("sheet", align="right"),
        Column("code", bold=True),
        Column("shows", wrap=True),
        Column("for", wrap=True),
    )
    rows = tuple((line.pages, line.code, line.title, line.whose) for line in contents)
    return Table(columns, rows, title="In this set")


# ---------------------------------------------------------------- what was found


def _cleared(pit: Pit) -> tuple[Block, ...]:
    record = pit.job.make_safe
    if pit.cleared:
        lines = (
            f"It held {record.held}. {record.method[:1].upper()}{record.method[1:]}. Signed by {record.signed_by}, {record.signed_on}.",
            "Pitwright only keeps this record: it cannot call a vessel safe. Test again before every heat, cut or grind.",
        )
    else:
        lines = (
            "The make-safe record is not complete: no figure in this set places a cut on the vessel, and none may be made.",
            "Fill and sign the hold tag: what it held, how it was emptied and cleared, who signs, and the date.",
        )
    return (Notes(lines, title="Make-safe record", bold=not pit.cleared),)


def _findings(pit: Pit) -> tuple[Block, ...]:
    found = worst_first(pit.findings)
    if not found:
        return (Notes(("Nothing stands in the way of anything else.",), title="What was found"),)
    columns = (Column("", bold=True), Column("what, and the way out", wrap=True))
    rows = tuple((_WORDS[f.severity], f.text + (f"\nWay out: {f.remedy}" if f.remedy else "")) for f in found)
    return (Table(columns, rows, title="What was found, worst first", size=2.1),)


def _as_built(pit: Pit) -> tuple[Block, ...]:
    """What moved since the last revision, verdicts on cut pieces, sheets to throw away."""
    out: list[Block] = []
    if pit.moved:
        out.append(Notes(pit.moved, title=f"Moved by what was measured, now revision {pit.revision}"))
    if pit.verdicts:
        columns = (Column("piece", bold=True), Column("verdict", bold=True), Column("what to do", wrap=True))
        rows = tuple((v.mark, v.verdict, v.text) for v in pit.verdicts)
        out.append(Table(columns, rows, title="Pieces already cut", size=2.1))
    if pit.dead_sheets:
        out.append(Notes(pit.dead_sheets, title="Sheets to throw away", bold=True))
    return tuple(out)


def _weights(pit: Pit) -> tuple[Block, ...]:
    """Weight of each group of pieces, and of the whole."""
    tape = pit.tape
    groups: dict[str, tuple[int, float]] = {}
    for part in pit.parts:
        count, mass = groups.get(part.group, (0, 0.0))
        groups[part.group] = (count + part.quantity, mass + part.quantity * mass_of(part).mass)
    rows = [(name, str(count), tape.mass(mass)) for name, (count, mass) in groups.items()]
    pieces = sum(mass for _, mass in groups.values())
    rows.append(("all pieces", str(sum(count for count, _ in groups.values())), tape.mass(pieces)))
    rows.append(("whole pit, empty, with weld and paint", "", tape.mass(pit.balance["empty"].mass)))
    columns = (Column("group", wrap=True), Column("pieces", align="right"), Column("weight", align="right", bold=True))
    return (Table(columns, tuple(rows), title="Weights", rules=(len(groups),)),)


def _ways_up(pit: Pit) -> tuple[Block, ...]:
    """The chosen way to turn the vessel and its runners-up."""
    if len(pit.clock_choices) < 2:
        return ()
    tape = pit.tape
    columns = (
        Column("", bold=True),
        Column("fire on end" if pit.upright is None else "bottom end"),
        Column(
            "top line from the long seam" if pit.upright is None else "front line from the long seam", align="right"
        ),
        Column("least clear", align="right"),
        Column("between", wrap=True),
        Column("serves", wrap=True),
    )
    rows = tuple(
        (
            "chosen" if i == 0 else f"{i + 1}.",
            c.fire_end,
            tape.length(c.top_from_seam),
            tape.length(c.least_clear),
            c.against,
            ", ".join(c.serves) or "–",
        )
        for i, c in enumerate(pit.clock_choices)
    )
    return (Table(columns, rows, title="Ways to turn the vessel", size=2.1),)
