"""The survey card of a found vessel, in the order a tape is pulled, with the cautions; blank, or beside what a job states."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import partial

from pitwright import __version__
from pitwright.job.facts import SurveyHead, Vessel
from pitwright.layout.model import Pit
from pitwright.sheets.blocks import Block, Notes
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.page import Board, Page, numbered
from pitwright.sheets.paper import A4, LETTER, Paper
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.stamp import Stamp
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, new_board
from pitwright.sheets.views.spread import spread
from pitwright.tape import System, Tape

CODE, TITLE = "SURVEY", "Survey card of the vessel"
_FITTINGS = 6  # least lines for fittings
_SEAMS = 4


def survey_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """What the job states, and a box beside each to measure it again."""
    board = partial(
        new_board,
        pit,
        paper,
        CODE,
        TITLE,
        check=("seam to seam", pit.tape.length(pit.vessel.length)),
    )
    return _pages(board, pit.tape, pit.job.vessel, pit)


SURVEY = SheetMaker(code=CODE, title=TITLE, whose="vessel and doors", make=survey_sheets)


def blank_survey(system: System, paper: Paper | None = None) -> tuple[Page, ...]:
    """An empty card, with no job at all: to print and take to the yard. Letter for inches, A4 for millimetres if not said."""
    paper = (paper or (LETTER if system == "inch" else A4)).landscape()
    tape = Tape.for_system(system)
    stamp = Stamp(
        shop="____________________",
        job="vessel found at ____________________",
        title=f"{CODE}  {TITLE}",
        revision="–",
        date="____________",
        who=f"Pitwright {__version__}",
        note="surveyed by ____________________",
        key=("vessel, tape around", "________"),
        check=("seam to seam", "________"),
        hold="HOLD: do not heat, cut or grind before the vessel is proven clear and a competent person has signed.",
    )
    return numbered(*_pages(lambda: Board(paper, stamp, system=system), tape, None, None))


def _pages(board: Callable[[], Board], tape: Tape, vessel: Vessel | None, pit: Pit | None) -> tuple[Page, ...]:
    first: tuple[Block, ...] = (_cautions(), _first(tape, vessel, pit), _sizes(tape, vessel), _heads(tape, vessel))
    view = (("The skin unrolled: what is pulled from where", skin_key(tape)),)
    then: tuple[Block, ...] = (_rounds(tape, vessel), _walls(tape, vessel))
    last: tuple[Block, ...] = (_seams(tape, vessel), _fittings(tape, vessel), _sign())
    return (*spread(board, (), first), *spread(board, view, then), *spread(board, (), last, columns=1))


def skin_key(tape: Tape) -> Drawing:
    """A little strip map: end A, the datum seam, the long seam, a fitting, station and around as they are pulled."""
    s = Sketch(length=tape.length)
    long, around = 2.1, 2.4
    s.rectangle(0.0, 0.0, long, around)
    s.line((0.0, around), (long, around), "mark")
    s.text((long / 2.0, around), "long seam = 0 around", anchor="middle", plate=True, seat="middle")
    s.circle((1.3, 1.0), 0.1)
    s.callout((1.3, 0.9), "a fitting", toward=-math.pi / 4.0)
    s.line((0.0, 1.0), (1.2, 1.0), "thin")
    s.line((1.3, 1.1), (1.3, around), "thin")
    s.text((0.62, 1.0), "station, from end A", anchor="middle", plate=True, seat="middle")
    s.text((1.3, 1.75), "around", anchor="middle", plate=True, seat="middle")
    s.callout((0.0, 0.5), "girth seam at end A = 0 station", toward=math.pi * 0.8)
    s.callout((long, 0.5), "girth seam at end B", toward=math.pi * 0.2)
    s.text((0.1, 0.1), "clockwise seen at end A is down on this strip", height=2.1)
    return s.drawing()


# ---------------------------------------------------------------- tables

_WHAT = Column("what", wrap=True, bold=True)


def _table(title: str, rows: list[tuple[str, str, str]], stated: bool) -> Table:
    """Rows of (what, how, stated)."""
    if stated:
        shown = (Column("stated", align="right", wrap=True), Column("got", blank=True, least=26.0))
        return Table((_WHAT, Column("how", wrap=True), *shown), tuple((a, b, c, "") for a, b, c in rows), title=title)
    got = Column("got", blank=True, least=34.0)
    return Table((_WHAT, Column("how", wrap=True), got), tuple((a, b, "") for a, b, _ in rows), title=title)


def _cautions() -> Notes:
    lines = (
        "Until it is proven clear: no heat, no cutting, no grinding, no hammering, no smoking beside it. Look, measure and write only.",
        "No valve or plug is opened in the yard by whoever only came to measure. Smell, frost, hiss or liquid: leave it and say so.",
        "Contents not known, gas cylinder, galvanized or lined: better left alone. Ask the gas supplier or a licensed firm.",
        "It can roll: chock it both sides before a tape goes under it. Full of water it weighs several times what it does empty.",
        "This card is a record. Nothing on it and nobody who sells a plan can call a vessel safe.",
    )
    return Notes(lines, title="Before the tape comes out", bold=True, size=2.5)


def _first(tape: Tape, vessel: Vessel | None, pit: Pit | None) -> Table:
    held = "" if vessel is None else vessel.held
    coat = "" if vessel is None else vessel.coating
    record = None if pit is None else pit.job.make_safe
    signed = "" if record is None else (f"{record.signed_by or 'not signed'}, {record.signed_on or 'not dated'}")
    holds = "" if vessel is None or vessel.capacity is None else tape.volume(vessel.capacity)
    rows = [
        ("what it held", "from the owner, the plate, the fittings", held),
        ("who says so", "name and telephone", ""),
        ("hold tag signed by, on", "a competent person; blank = nothing is cut", signed),
        ("coating outside and in", "bare, painted, galvanized, lined", coat),
        ("stated capacity", "off the plate", holds),
        ("plate or stamp", "copy every letter of it, photograph it", ""),
        ("rust, pits, dents, patches", "where, how deep", ""),
    ]
    return _table("First: what it is", rows, vessel is not None)


def _sizes(tape: Tape, vessel: Vessel | None) -> Table:
    def said(value: float | None) -> str:
        return "" if vessel is None else "measure this" if value is None else tape.length(value)

    rows = [
        ("end A", "paint A on it: the end every station is pulled from", ""),
        ("seam to seam", "girth weld to girth weld, along the top", said(vessel.length if vessel else None)),
        ("the same along the bottom", "must agree", ""),
        ("tape around, middle", "steel tape pulled tight, square round", said(vessel.around if vessel else None)),
        ("bow", "string end to end on a side, widest gap", said(vessel.bow if vessel else None)),
        ("whole length, heads and all", "plumb lines down both ends", ""),
    ]
    return _table("Along and around", rows, vessel is not None)


def _rounds(tape: Tape, vessel: Vessel | None) -> Table:
    """Three stations; under a job the stated figure stands before its box."""
    found = () if vessel is None else vessel.rounds
    rows: list[tuple[str, ...]] = []
    for i, usual in enumerate(("near A", "middle", "near B")):
        one = found[i] if i < len(found) else None
        place = usual if one is None else f"station {tape.length(one.station)}"
        for what, value in (
            ("tape around", None if one is None else one.around),
            ("across, through the long seam", None if one is None else one.across_seam),
            ("across, square to it", None if one is None else one.across_side),
        ):
            stated = "" if vessel is None else "–" if value is None else tape.length(value)
            rows.append((place, what, stated, ""))
            place = ""
    columns = (
        Column("at", bold=True, wrap=True),
        Column("what", wrap=True),
        *(() if vessel is None else (Column("stated", align="right"),)),
        Column("got", blank=True, least=26.0),
    )
    kept = tuple(row if vessel is not None else (*row[:2], row[3]) for row in rows)
    return Table(columns, kept, title="Round it is: three stations", rules=(3, 6))


def _walls(tape: Tape, vessel: Vessel | None) -> Table:
    columns = (
        Column("wall by gauge", bold=True),
        *(Column(f"at {where}", blank=True) for where in ("the seam", "quarter", "opposite", "3 quarters")),
    )
    stated = "" if vessel is None else f"; stated {', '.join(tape.decimal(w) for w in vessel.wall)}"
    rows = tuple((f"{place}", "", "", "", "") for place in ("near A", "middle", "near B", "head A", "head B"))
    return Table(columns, rows, title=f"Wall at four clocks{stated}")


def _heads(tape: Tape, vessel: Vessel | None) -> Table:
    def said(head: SurveyHead | None, name: str) -> str:
        if head is None:
            return ""
        value = getattr(head, name)
        return value if isinstance(value, str) else "–" if value is None else tape.length(value)

    a, b = (None, None) if vessel is None else (vessel.head_a, vessel.head_b)
    names = (
        ("type", "shape: even dish, crown and knuckle, flat, none"),
        ("depth", "depth outside, seam to crown, by straightedge"),
        ("crown", "crown radius, by straightedge and rise"),
        ("knuckle", "knuckle radius, by template"),
        ("flange", "straight flange, seam to where it bends"),
    )
    if vessel is None:
        columns = (
            Column("heads", wrap=True, bold=True),
            Column("end A", blank=True, least=22.0),
            Column("end B", blank=True, least=22.0),
        )
        return Table(columns, tuple((how, "", "") for _, how in names), title="Heads")
    given = (
        Column("heads", wrap=True, bold=True),
        Column("A stated", align="right"),
        Column("A", blank=True),
        Column("B stated", align="right"),
        Column("B", blank=True),
    )
    return Table(given, tuple((how, said(a, n), "", said(b, n), "") for n, how in names), title="Heads")


def _seams(tape: Tape, vessel: Vessel | None) -> Table:
    heads = ("long seam, girth or patch", "from station", "to station", "around", "cap wide")
    found = () if vessel is None else vessel.seams
    rows = [
        (
            str(s.kind),
            "–" if s.station is None else tape.length(s.station),
            "–" if s.to_station is None else tape.length(s.to_station),
            tape.length(s.around),
            tape.length(s.width),
        )
        for s in found
    ]
    return _on_skin("Seams and patches: the long seam is 0 around", heads, rows, _SEAMS, vessel is None)


def _fittings(tape: Tape, vessel: Vessel | None) -> Table:
    heads = (
        "boss, manway, leg",
        "station",
        "around, clockwise at A",
        "size",
        "shell or head",
        "reuse, plug, cut away, keep",
    )
    found = () if vessel is None else vessel.fittings
    rows = [
        (f.name, tape.length(f.station), tape.length(f.around), tape.length(f.size), str(f.on), str(f.plan))
        for f in found
    ]
    return _on_skin("Everything that stands on the skin, rising station", heads, rows, _FITTINGS, vessel is None)


def _on_skin(title: str, heads: tuple[str, ...], rows: Sequence[tuple[str, ...]], least: int, blank: bool) -> Table:
    """Boxes to fill; or what is stated with two boxes beside it, and empty lines for what was not seen before."""
    if blank:
        columns = tuple(Column(head, blank=True, least=18.0) for head in heads)
        return Table(columns, (("",) * len(heads),) * least, title=title)
    columns = (
        *(Column(head, wrap=True, bold=i == 0, least=34.0 if i == 0 else 16.0) for i, head in enumerate(heads)),
        Column("station got", blank=True),
        Column("around got", blank=True),
    )
    lines = [(*row, "", "") for row in rows]
    lines += [("",) * len(columns)] * max(0, least - len(lines))
    return Table(columns, tuple(lines), title=title)


def _sign() -> Notes:
    lines = (
        "Surveyed by ____________________   on ____________   read back by ____________________",
        "A line left blank means: measure this. No plan is drawn from a guessed figure.",
    )
    return Notes(lines, title="Signed", size=2.6)
