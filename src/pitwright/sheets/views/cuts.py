"""The cut list in stick order: one stick a line, its cuts as one pull of the tape, set-ups of the saw, what to buy."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from pitwright.layout.model import Pit
from pitwright.sheets import lettering
from pitwright.sheets.blocks import Block, Notes, heading
from pitwright.sheets.dimension import spread as spaced
from pitwright.sheets.ink import Ink, Patch, Path, Words, line, rectangle
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, new_board, wide
from pitwright.sheets.views.spread import spread
from pitwright.shop.cuts import BarCut, CutPlan, StockPlan, cut_plan, stick_choices
from pitwright.shop.sticks import PlannedStick, SawCut
from pitwright.tape import decimals

CODE, TITLE = "CUTS", "Cut list in stick order"
_HEAD, _TALL, _JOG = 4.6, 6.4, 4.0  # title, bar, and what leads from it to the figures [mm]
_FIGURE, _LABEL = 2.1, 1.9  # lettering under and in the bar [mm]
_STOCK = 8.0  # heading of a stock [mm]
_IN = 2.0  # bar in from the column, for figures at its ends [mm]


def cut_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """What to buy and the saw's set-ups, then every stick."""
    plan = cut_plan(pit)
    sticks = sum(len(s.plan.sticks) for s in plan.stocks if s.plan is not None)
    pieces = sum(c.quantity for s in plan.stocks for c in s.cuts)
    board = partial(
        new_board,
        pit,
        paper,
        CODE,
        TITLE,
        key=("sticks", str(sticks)),
        check=("pieces out of them", str(pieces)),
    )
    first = spread(board, (), (*_buy(pit, plan), *_pieces(pit, plan), *_notes(pit, plan)))
    blocks = tuple(b for stock in plan.stocks for b in _stock_blocks(pit, stock))
    columns = 2 if wide(paper) else 1
    return first + spread(board, (), blocks, columns=columns) if blocks else first


CUTS = SheetMaker(code=CODE, title=TITLE, whose="base and legs", make=cut_sheets)


# ---------------------------------------------------------------- a stick drawn


@dataclass(frozen=True, slots=True)
class StickStrip:
    """A stick with its pieces, as long as its column is wide, and under each cut what the tape reads there.

    stock  heading over the first stick of a stock
    """

    pit: Pit
    stick: PlannedStick
    stock: str = ""

    def height(self, width: float) -> float:
        """How tall it is [mm]."""
        return self._top() + _HEAD + _TALL + _JOG + self._deepest() + 1.0

    def split(self, width: float, room: float) -> tuple[Block | None, Block | None]:
        """A stick is never cut by a sheet."""
        return (self, None) if self.height(width) <= room + 1e-9 else (None, self)

    def draw(self, x: float, y: float, width: float) -> tuple[Ink, ...]:
        """Its ink with its top left corner at (x, y) [mm]."""
        stick, scale = self.stick, (width - 2.0 * _IN) / self.stick.length
        rack = " off the rack" if stick.on_hand else ""
        keep = ", keep it" if stick.keep else ""
        title = f"Stick {stick.number}: {stick.label}{rack}, drop {self.pit.tape.length(stick.drop)}{keep}"
        ink: list[Ink] = list(heading(self.stock, x, y, width)) if self.stock else []
        y += self._top()
        ink += [Words((x, y + 2.6), title, 2.6, bold=True)]
        ink += self._bar(x + _IN, y + _HEAD, scale)
        return (*ink, *self._figures(x + _IN, y + _HEAD + _TALL, scale))

    def _top(self) -> float:
        return _STOCK if self.stock else 0.0

    def _texts(self) -> list[tuple[float, str]]:
        return sorted((c.at, self.pit.tape.length(c.at)) for c in self.stick.cuts)

    def _deepest(self) -> float:
        return max((lettering.width(text, _FIGURE) for _, text in self._texts()), default=0.0)

    def _figures(self, x: float, y: float, scale: float) -> Iterator[Ink]:
        wanted = [x + at * scale for at, _ in self._texts()]
        places = spaced(wanted, 1.5 * _FIGURE)
        for place, at, (_, text) in zip(places, wanted, self._texts(), strict=True):
            yield line((at, y), (place, y + _JOG), "dimension")
            foot = (place + _FIGURE / 2.0, y + _JOG + 0.6)
            yield Words(foot, text, _FIGURE, anchor="right", angle=math.pi / 2.0)

    def _bar(self, x: float, y: float, scale: float) -> Iterator[Ink]:
        stick, foot = self.stick, y + _TALL
        end = x + stick.length * scale
        if stick.drop * scale > 1.0:
            left = end - stick.drop * scale
            yield Patch((Path(((left, y), (end, y), (end, foot), (left, foot)), closed=True),), 0.12)
            yield from self._label("drop", left, end, y)
        yield rectangle((x, y, end, foot), "outline")
        for cut in stick.cuts:
            yield line((x + cut.at * scale, y), (x + cut.across * scale, foot), "cut")
        row = sorted(stick.pieces, key=lambda one: one.start)
        for i, piece in enumerate(row):
            text = f"{piece.mark}  {self.pit.tape.length(piece.finish - piece.start)}"
            # Slanted neighbours lap along the stick: lettering keeps to what is this piece's alone.
            low = max(piece.start, row[i - 1].finish if i else 0.0)
            high = min(piece.finish, row[i + 1].start if i + 1 < len(row) else stick.length)
            ends = (x + low * scale, x + high * scale)
            yield from self._label(text if _fits(text, ends) else piece.mark, *ends, y)

    def _label(self, text: str, left: float, right: float, y: float) -> Iterator[Ink]:
        if _fits(text, (left, right)):
            at = ((left + right) / 2.0, y + (_TALL + _LABEL) / 2.0)
            yield Words(at, text, _LABEL, anchor="middle", plate=True)


def _fits(text: str, ends: tuple[float, float]) -> bool:
    return lettering.width(text, _LABEL) <= ends[1] - ends[0] - 1.2


# ---------------------------------------------------------------- lettering


def _buy(pit: Pit, plan: CutPlan) -> tuple[Block, ...]:
    tape = pit.tape
    rows: list[tuple[str, ...]] = []
    for stock in plan.stocks:
        for entry in (*stock.plan.from_rack, *stock.plan.buy) if stock.plan is not None else ():
            rows.append(
                (stock.stock, entry.label, str(entry.count), decimals(entry.cost, 0) if entry.cost else "–", "")
            )
    for cut in plan.to_length:
        rows.append((cut.part.stock, f"cut to {tape.length(cut.cut.tip_to_tip)}", str(cut.quantity), "–", ""))
    if plan.cost:
        rows.append(("sticks in all", "", "", decimals(plan.cost, 0), ""))
    columns = (
        Column("stock", bold=True, wrap=True),
        Column("stick", wrap=True),
        Column("how many", align="right", bold=True),
        Column("about", align="right"),
        Column("got", blank=True),
    )
    return (Table(columns, tuple(rows), title="Buy list"), *_choices(pit, plan))


def _choices(pit: Pit, plan: CutPlan) -> tuple[Block, ...]:
    """What buying one stick length only would come to; nothing where the shop buys one length anyway."""
    found = stick_choices(pit, plan)
    if len(found) < 2:
        return ()
    rows = tuple(
        (one.label, str(one.sticks), decimals(one.cost, 0) if one.cost else "–", ", ".join(one.too_short) or "–")
        for one in found
    )
    columns = (
        Column("sticks", bold=True, wrap=True),
        Column("how many", align="right"),
        Column("about", align="right", bold=True),
        Column("too short for", wrap=True),
    )
    return (Table(columns, rows, title="Buying one length only"),)


def _pieces(pit: Pit, plan: CutPlan) -> tuple[Block, ...]:
    rows: list[tuple[str, ...]] = []
    starts: list[int] = []
    for stock in plan.stocks:
        starts.append(len(rows))
        rows += [_piece_row(pit, cut) for cut in stock.cuts]
    starts.append(len(rows))
    rows += [_piece_row(pit, cut) for cut in (*plan.to_length, *plan.already)]
    columns = (
        Column("mark", bold=True),
        Column("off", align="right"),
        Column("stock", wrap=True),
        Column("long point", align="right", bold=True),
        Column("short point", align="right"),
        Column("left, right: off square", align="right", wrap=True),
        Column("between the cuts", wrap=True),
        Column("got", blank=True),
    )
    return (
        Table(columns, tuple(rows), title="Pieces at the saw", rules=tuple(s for s in starts if 0 < s < len(rows))),
    )


def _piece_row(pit: Pit, cut: BarCut) -> tuple[str, ...]:
    tape, saw = pit.tape, cut.cut
    ends = [_end_text(pit, abs(e.mitre), abs(e.tilt), e.kind == "cope") for e in (saw.start, saw.finish)]
    between = "–" if saw.shape in ("square", "one end mitred") else "roll 180" if saw.roll else "do not roll"
    if cut.cut_already:
        between = f"{cut.part.state} already"
    short = "same" if tape.length(saw.short_point) == tape.length(saw.long_point) else tape.length(saw.short_point)
    return (
        cut.mark,
        str(cut.quantity),
        cut.part.stock,
        tape.length(saw.long_point),
        short,
        ", ".join(ends) if ends != ["square", "square"] else "square",
        between,
        "",
    )


def _end_text(pit: Pit, mitre: float, tilt: float, cope: bool) -> str:
    tape = pit.tape
    text = "square" if mitre < 1e-9 else tape.angle(mitre)
    if tilt > 1e-9:
        text += f" + tilt {tape.angle(tilt)}"
    return text + (" then cope" if cope else "")


def _notes(pit: Pit, plan: CutPlan) -> tuple[Block, ...]:
    tape, shop = pit.tape, pit.job.proportions.shop
    lines = [
        f"Kerf {tape.decimal(shop.kerf)} is in every figure. Measure all marks of a stick in one pull from its near end.",
        "Chalked face towards you, near end at your left hand. Angles are off square: 0 is a square cut.",
        "Coped ends are sawn straight first, at the angle given, and coped to their template afterwards.",
    ]
    if shop.end_trim:
        lines.append(f"{tape.length(shop.end_trim)} is trimmed off each end of a new stick.")
    lines.append(
        "Every plan is proven: no way to cut these pieces long point to long point comes to less."
        if plan.proven
        else "Not every plan is proven best; how far off it may be is said below."
    )
    told = {f.text for f in plan.findings if f.code != "sticks.shared_mitres"}
    return (Notes((*lines, *sorted(told)), title="Notes"),)


def _stock_blocks(pit: Pit, stock: StockPlan) -> tuple[Block, ...]:
    plan = stock.plan
    if plan is None:
        return (Notes((stock.problem,), title=f"{stock.stock}: CANNOT BE CUT", bold=True),)
    proof = "proven best" if plan.proven else f"within {100.0 * plan.gap:.1f} % of the best there can be"
    many = "" if len(plan.sticks) == 1 else "s"
    title = f"{stock.stock}: {len(plan.sticks)} stick{many}, {plan.used:.0%} used, {proof}"
    out: list[Block] = []
    for stick in plan.sticks:
        out.append(StickStrip(pit, stick, "" if out else title))
        if any(c.angle or c.tilt for c in stick.cuts):
            out.append(_cuts(pit, stick))
    out += _setups(pit, stock)
    shared = tuple(f.text for f in plan.findings if f.code == "sticks.shared_mitres")
    return (*out, *((Notes(shared),) if shared else ()))


def _cuts(pit: Pit, stick: PlannedStick) -> Table:
    columns = (
        Column("cut", align="right"),
        Column("measure to", align="right", bold=True),
        Column("off square", align="right", bold=True),
        Column("face", wrap=True),
        Column("before it", wrap=True),
        Column("finishes"),
        Column("starts"),
        Column("got", blank=True),
    )
    return Table(columns, tuple(_cut_row(pit, c, last=c is stick.cuts[-1]) for c in stick.cuts))


def _cut_row(pit: Pit, cut: SawCut, *, last: bool) -> tuple[str, ...]:
    shared = " (one cut for both)" if cut.shared else ""
    nothing = "the drop" if last else "–"
    return (
        str(cut.number),
        pit.tape.length(cut.at),
        _end_text(pit, cut.angle, cut.tilt, False),
        "chalk up" if cut.chalk_up else "chalk down",
        "roll 180" if cut.roll else "–",
        cut.finishes or "–",
        (cut.starts or nothing) + shared,
        "",
    )


def _setups(pit: Pit, stock: StockPlan) -> tuple[Block, ...]:
    assert stock.plan is not None
    if len(stock.plan.setups) < 2:
        return ()
    rows = tuple(
        (
            _end_text(pit, setup.angle, setup.tilt, False),
            str(len(setup.cuts)),
            ", ".join(f"{stick}.{cut}" for stick, cut in setup.cuts),
        )
        for setup in stock.plan.setups
    )
    columns = (
        Column("saw set to", bold=True),
        Column("cuts", align="right"),
        Column("stick.cut", wrap=True),
    )
    return (Table(columns, rows, title="Set the saw once for"),)
