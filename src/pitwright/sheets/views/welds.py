"""The weld list: every joint in build order with its size, and what all of them take."""

from __future__ import annotations

from functools import partial

from pitwright.layout.model import Pit
from pitwright.sheets.blocks import Block, Notes, Pairs
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, new_board
from pitwright.sheets.views.spread import spread
from pitwright.shop.consumables import consumables, run_text
from pitwright.shop.welds import Weld, weld_list
from pitwright.strength.welds import GAP_FREE, GAP_MOST
from pitwright.tape import HOUR, LITRE

CODE, TITLE = "WELDS", "Weld list"


def weld_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Joints, totals and cautions."""
    welds = weld_list(pit)
    board = partial(
        new_board,
        pit,
        paper,
        CODE,
        TITLE,
        key=("joints", str(sum(w.count for w in welds))),
        check=("weld in all", run_text(pit.tape, sum(w.run for w in welds))),
    )
    return spread(board, (), (weld_table(pit, welds),), columns=1) + spread(board, (), (*_totals(pit), _notes(pit)))


WELDS = SheetMaker(code=CODE, title=TITLE, whose="everyone", make=weld_sheets)


def weld_table(pit: Pit, welds: tuple[Weld, ...]) -> Table:
    """Every joint; a heavier rule where the next part of the build starts."""
    tape = pit.tape
    rows = tuple(
        (
            str(i),
            w.name,
            " ".join(w.marks) or "–",
            w.kind,
            tape.length(w.leg),
            tape.length(w.length),
            str(w.count),
            tape.mass(w.metal, 2),
            w.note or "–",
            "",
        )
        for i, w in enumerate(welds, start=1)
    )
    columns = (
        Column("", align="right"),
        Column("joint", wrap=True, bold=True),
        Column("pieces", wrap=True, least=15.0),
        Column("kind", wrap=True),
        Column("size", align="right", bold=True),
        Column("each", align="right"),
        Column("off", align="right"),
        Column("filler", align="right"),
        Column("mind", wrap=True),
        Column("done", blank=True),
    )
    starts = tuple(i for i in range(1, len(welds)) if welds[i].stage != welds[i - 1].stage)
    return Table(
        columns,
        rows,
        title="In build order; size is the leg of a fillet, the depth of a groove",
        size=2.1,
        rules=starts,
    )


def _totals(pit: Pit) -> tuple[Block, ...]:
    tape, used = pit.tape, consumables(pit)
    weld = used.welding
    pairs = (
        ("weld metal", tape.mass(weld.metal, 2)),
        ("solid wire to buy", tape.mass(weld.wire, 2)),
        ("or stick electrodes", tape.mass(weld.sticks, 2)),
        ("shielding gas", f"{weld.gas / 0.3048**3:.0f} ft³" if tape.inch else f"{weld.gas:.1f} m³"),
        ("arc on", f"{weld.arc / HOUR:.1f} h"),
        ("at the joint, about", f"{weld.work / HOUR:.0f} h"),
        ("discs, about", str(used.discs)),
        ("plate edge to dress", run_text(tape, used.edges)),
    )
    rows = tuple(
        (
            coat.zone,
            {"high heat": "firebox, throat, stack", "shell": "vessel and doors", "ordinary": "base, legs, shelf"}[
                coat.zone
            ],
            tape.area(coat.area),
            f"{coat.paint / LITRE:.1f} L" if not tape.inch else f"{coat.paint / LITRE / 0.946352946:.1f} qt",
        )
        for coat in used.coats
    )
    columns = (
        Column("paint", bold=True),
        Column("on", wrap=True),
        Column("area", align="right"),
        Column(f"{pit.job.proportions.rates.coats} coats", align="right", bold=True),
    )
    return (Pairs(pairs, title="What it takes"), Table(columns, rows, title="Paint by heat"))


def _notes(pit: Pit) -> Notes:
    lines = (
        "Sizes are the least for the thinner part (AISC 360 Table J2.4) or what the shop runs anyway, the gap of a straight-cut leg "
        f"added (AWS D1.1: over {pit.tape.length(GAP_FREE)} is added, over {pit.tape.length(GAP_MOST)} is fitted again). The sheet on how "
        "it stands says where a load asks for more (see STAND).",
        "Filler is the bare triangle and a tenth for the crown; yields, gas and arc time are common practice, no source.",
        "Tack all, measure, then weld. Short runs on opposite sides; let it cool; look at the heights again.",
        "Grease-tight welds are tried with chalk on one side and thin oil on the other.",
        "Fume, light and heat hurt: ventilate, screen, gloves and hood; on coated steel strip first. Inside the vessel never alone.",
        "How each hand welds cannot be reckoned here: procedures and inspection are for those licensed to judge them.",
    )
    return Notes(lines, title="Notes")
