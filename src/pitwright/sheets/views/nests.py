"""Plate nests: each sheet of each thickness with its parts, the drops worth keeping, and what to buy."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from pitwright.layout.model import Pit
from pitwright.parts import Outline
from pitwright.sheets.blocks import Block, Notes
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.page import Board, Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.plates import inside_point, nest_name, shear_lines
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, new_board, pit_sketch
from pitwright.sheets.views.spread import spread
from pitwright.shop.nesting import PlateNest, nest_findings, placed_outline, plan_plates
from pitwright.shop.nests import PlannedSheet

CODE, TITLE = "NEST", "Plate nests"
_PAPER = 120.0  # a sheet of plate comes out about so long on paper [mm]
_ROOMY = 6.5  # a part this wide on paper has its mark inside it [mm]
_PER_PAGE = 2
_LITTLE = 0.2  # a sheet used less than this is drawn as the piece that does


def nest_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """What to buy first, then two nested sheets on a page."""
    nests = plan_plates(pit)
    if not nests:
        return ()
    sheets = [(nest, sheet) for nest in nests if nest.plan is not None for sheet in nest.plan.sheets]
    pieces = sum(p.quantity for nest in nests for p in nest.pieces)
    board = partial(
        new_board,
        pit,
        paper,
        CODE,
        TITLE,
        key=("sheets of plate", str(len(sheets))),
        check=("parts laid out", str(pieces)),
    )
    pages = spread(board, (), (_buy(pit, nests), *_told(pit, nests)))
    for first in range(0, len(sheets), _PER_PAGE):
        some = sheets[first : first + _PER_PAGE]
        views = [(_title(n, s), nest_view(pit, n, s)) for n, s in some]
        pages += _page(board, views, tuple(_laid(pit, n, s) for n, s in some))
    return pages


NESTS = SheetMaker(code=CODE, title=TITLE, whose="firebox and plate", make=nest_sheets)


def _page(new: Callable[[], Board], views: Sequence[tuple[str, Drawing]], lists: Sequence[Block]) -> tuple[Page, ...]:
    """Nests under one another, what is on each beside them."""
    board = new()
    beside, room = board.area.right(max(0.3 * board.area.width, 78.0), 8.0)
    board.views(room, [[view] for view in views], together=False)
    left = board.column(lists, beside)
    return (board.page(), *spread(new, (), left)) if left else (board.page(),)


def _title(nest: PlateNest, sheet: PlannedSheet) -> str:
    assert nest.plan is not None
    part = ", a piece of it" if shown(nest, sheet) != (sheet.length, sheet.width) else ""
    return f"{nest.stock}, sheet {sheet.number} of {len(nest.plan.sheets)}{part}"


def nest_view(pit: Pit, nest: PlateNest, sheet: PlannedSheet) -> Drawing:
    """A sheet with its parts toned, each with its mark, drops dashed and lettered."""
    s = pit_sketch(pit)
    long, wide = shown(nest, sheet)
    s.rectangle(0.0, 0.0, long, wide)
    known = {p.mark: p.outline for p in nest.pieces}
    for placed in sheet.parts:
        outline = placed_outline(known[placed.mark], placed)
        s.fill(outline, 0.12)
        s.outline(outline, "cut")
        _mark(s, outline, placed.mark, max(long, wide))
    for i, drop in enumerate(sheet.drops if (long, wide) == (sheet.length, sheet.width) else ()):
        s.rectangle(drop.x, drop.y, drop.x + drop.length, drop.y + drop.width, "hidden")
        middle = (drop.x + drop.length / 2.0, drop.y + drop.width / 2.0)
        s.text(middle, f"drop {_letter(i)}", anchor="middle", seat="middle", plate=True)
    for ends in shear_lines(sheet):
        s.line(*ends, "mark")
    s.dim((0.0, 0.0), (long, 0.0), "below")
    s.dim((0.0, 0.0), (0.0, wide), "left")
    return s.drawing()


def shown(nest: PlateNest, sheet: PlannedSheet) -> tuple[float, float]:
    """Length and width of what is drawn: the whole sheet, or where little of it is used the piece that does [m]."""
    long, wide = nest.used(sheet)
    if sheet.cuts or long * wide > _LITTLE * sheet.length * sheet.width:
        return sheet.length, sheet.width
    return long, wide


def _mark(s: Sketch, outline: Outline, mark: str, long: float) -> None:
    x0, y0, x1, y1 = outline.bounds()
    roomy = min(x1 - x0, y1 - y0) / long * _PAPER > _ROOMY
    if roomy:
        s.text(inside_point(outline), mark, height=2.6, anchor="middle", seat="middle", bold=True, plate=True)
    else:
        s.balloon(inside_point(outline), mark)


def _letter(i: int) -> str:
    return chr(ord("a") + i % 26)


# ---------------------------------------------------------------- lists


def _buy(pit: Pit, nests: tuple[PlateNest, ...]) -> Table:
    tape = pit.tape
    rows: list[tuple[str, ...]] = []
    for nest in nests:
        if nest.plan is None:
            rows.append((nest.stock, "–", "goes on no sheet", "", tape.area(nest.area), "", ""))
            continue
        for line in nest.plan.buy:
            sheets = [s for s in nest.plan.sheets if s.label == line.label and not s.on_hand]
            enough = max((nest.used(s) for s in sheets), key=lambda u: u[0] * u[1])
            least = f"{tape.length(enough[0])} x {tape.length(enough[1])}" if len(sheets) == 1 else "whole sheets"
            rows.append(
                (
                    nest.stock,
                    str(line.count),
                    f"{tape.length(line.width)} x {tape.length(line.length)}",
                    least,
                    tape.area(nest.area),
                    f"{nest.plan.density * 100.0:.0f} %",
                    tape.mass(nest.bought),
                )
            )
    columns = (
        Column("plate", bold=True),
        Column("sheets", align="right"),
        Column("of", wrap=True),
        Column("a piece of this size does", wrap=True),
        Column("parts", align="right"),
        Column("used", align="right"),
        Column("weight bought", align="right", wrap=True),
    )
    return Table(columns, tuple(rows), title="Plate to buy or to find on the rack")


def _told(pit: Pit, nests: tuple[PlateNest, ...]) -> tuple[Block, ...]:
    shop = pit.job.proportions.shop
    tape = pit.tape
    ways = tuple(f"{n.stock}: {n.plan.why}" for n in nests if n.plan is not None)
    lines = (
        f"{tape.length(shop.plate_gap + shop.plate_kerf)} from part to part, kerf of {tape.length(shop.plate_kerf)} in it; "
        f"{tape.length(shop.plate_margin + shop.plate_kerf / 2.0)} kept clear along the edges.",
        "The cut files carry the same layouts: CUT the parts, MARK the sheet's edge, TEXT the piece marks.",
        "A part is cut on its line with the kerf in the waste. Where little of a sheet is used, look on the rack first.",
        *ways,
    )
    found = tuple(f.text for f in nest_findings(nests))
    blocks: tuple[Block, ...] = (Notes(lines, title="How it is laid out"),)
    return (*blocks, Notes(found, title="To mind", bold=True)) if found else blocks


def _laid(pit: Pit, nest: PlateNest, sheet: PlannedSheet) -> Table:
    """Parts and drops of one sheet."""
    tape = pit.tape
    names = {p.mark: p.name for p in nest.pieces}
    counts: dict[str, int] = {}
    for placed in sheet.parts:
        counts[placed.mark] = counts.get(placed.mark, 0) + 1
    rows = [(mark, str(count), names[mark]) for mark, count in counts.items()]
    starts = len(rows)
    rows += [
        (f"drop {_letter(i)}", "", f"{tape.length(d.length)} x {tape.length(d.width)}, keep it")
        for i, d in enumerate(sheet.drops)
    ]
    title = f"{nest.stock}, sheet {sheet.number}: {nest_name(nest, sheet)}.dxf"
    columns = (Column("mark", bold=True), Column("off", align="right"), Column("piece", wrap=True))
    return Table(columns, tuple(rows), title=title, rules=(starts,) if sheet.drops else ())
