"""Two sheets of money: what the customer gets for it, and the shop's own price by stage that a change order is priced from."""

from __future__ import annotations

from functools import partial

from pitwright.layout.model import Pit
from pitwright.sheets.blocks import BigFigure, BigFigures, Block, Notes, Pairs
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, figure, known, new_board
from pitwright.sheets.views.spread import spread
from pitwright.shop.price import Quote, price
from pitwright.tape import Tape

QUOTE_CODE, QUOTE_TITLE = "QUOTE", "Quote"
PRICE_CODE, PRICE_TITLE = "PRICE", "Price by stage (for the shop)"
_ROUND = 50.0  # what a customer reads is rounded to this


def quote_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """For the customer: price with its range, what it is, what is and is not in it, and blanks for the agreement."""
    quote = price(pit)
    board = partial(
        new_board,
        pit,
        paper,
        QUOTE_CODE,
        QUOTE_TITLE,
        key=("price", _rounded(pit, quote.price)),
        check=("main grate off the floor", pit.tape.length(pit.job.order.grate_height)),
    )
    return spread(
        board,
        (),
        (_price(pit, quote), what_you_get(pit), sizes(pit), *_in_and_out(pit), _movers(pit, quote), _agreed()),
    )


QUOTE = SheetMaker(code=QUOTE_CODE, title=QUOTE_TITLE, whose="the customer", make=quote_sheets)


def price_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """For the shop: hours and goods by stage, what each hour and kilogram costs, and the margin in it."""
    quote = price(pit)
    board = partial(
        new_board,
        pit,
        paper,
        PRICE_CODE,
        PRICE_TITLE,
        key=("price", money(pit, quote.price)),
        check=("hours in all", f"{quote.hours:.0f}"),
    )
    return spread(board, (), (_stages(pit, quote), _goods(pit, quote), _sum(pit, quote), _rates(pit)))


PRICE = SheetMaker(code=PRICE_CODE, title=PRICE_TITLE, whose="the shop", make=price_sheets)


def money(pit: Pit, value: float) -> str:
    """Money with the shop's sign."""
    return pit.tape.money(value, pit.job.proportions.rates.currency)


def _rounded(pit: Pit, value: float) -> str:
    return money(pit, round(value / _ROUND) * _ROUND)


# ---------------------------------------------------------------- for the customer


def _price(pit: Pit, quote: Quote) -> Block:
    return BigFigures(
        (
            BigFigure("price", _rounded(pit, quote.price), "as drawn in this revision"),
            BigFigure("it will lie between", f"{_rounded(pit, quote.low)} and {_rounded(pit, quote.high)}", "until steel and hours are known"),
        ),
        across=1,
        size=9.0,
    )  # fmt: skip


def what_you_get(pit: Pit) -> Pairs:
    """What the customer gets: grates, doors, firebox, wall; no money."""
    tape, order = pit.tape, pit.job.order
    doors = f"{len(pit.doors)}, {tape.length(pit.doors[0].x1 - pit.doors[0].x0)} long each"
    if pit.upright is not None:
        door = pit.upright.door
        doors = f"1, {tape.length(door.head_z - door.sill_z)} tall, {tape.length(door.clear)} clear"
    pairs = [
        ("cooking grates", f"{len(pit.grates.levels)}, together {tape.area(pit.grates.area)}"),
        ("raw meat at once, about", tape.mass(pit.grates.meat_capacity, 2)),
        (
            "main grate off the floor" if pit.upright is None else "lowest grate off the floor",
            tape.length(order.grate_height),
        ),
        ("cooking doors", doors),
        ("hardest pull on a door", tape.force(max(d.worst_pull for d in pit.doors), 2)),
        ("firebox", f"{tape.length(pit.firebox.width)}, {_wall(tape, pit.firebox.wall)} wall"),
        ("vessel wall", _wall(tape, pit.vessel.wall)),
        ("smoke", _smoke(pit)),
    ]
    return Pairs(tuple(pairs), title="What you get", size=2.6)


def _wall(tape: Tape, wall: float) -> str:
    """A wall as it is sold; in decimals where it lies between two marks of the tape."""
    return tape.length(wall) if abs(tape.left_over(wall)) < 2e-5 else tape.decimal(wall)


def _smoke(pit: Pit) -> str:
    if pit.upright is not None:
        return f"up past {len(pit.grates.levels)} grates to the stack"
    return "turns back over the fire end" if pit.job.order.flow == "reverse" else "straight through to the far end"


def sizes(pit: Pit) -> Pairs:
    """How large and heavy it is, and what it must pass; no money."""
    tape = pit.tape
    reason = pit.reasons["weight.empty"]
    band = "" if reason.band is None else f" ({tape.mass(reason.band[0])} to {tape.mass(reason.band[1])})"
    pairs = [
        ("long x wide x high", " x ".join(figure(pit, f"overall.{n}") for n in ("length", "width", "height"))),
        (
            "wide with doors open and slides out" if pit.upright is None else "wide with its door open",
            figure(pit, "overall.width_open"),
        ),
        ("weight empty", tape.mass(pit.balance["empty"].mass) + band),
    ]
    pairs += [
        (f"must pass: {p.name}", " x ".join(tape.length(v) for v in (p.width, p.height) if v is not None) or "as told")
        for p in pit.job.order.passages
    ]
    about = (known(pit, "overall.length"), known(pit, "overall.width_open"), known(pit, "weight.empty"))
    return Pairs(tuple(pairs), title="Size and weight: look at your gate, lane and floor", size=2.6, about=about)


def _in_and_out(pit: Pit) -> tuple[Block, ...]:
    ins = (
        "Vessel bought, checked and made safe by a competent person; steel, hardware, welding, paint, burn-in.",
        "This plan set in the revision above, the placard and the first-fire card.",
    )
    outs = (
        "Carriage, foundations, permits and their fees, hoods and anything local codes ask for at your place.",
        "Changes after the deposit: each is priced by stage before it is built.",
        "The vessel is a found one: should it prove unfit, the price is settled anew or the deposit goes back.",
    )
    return (Notes(ins, title="In the price", size=2.5), Notes(outs, title="Not in the price", size=2.5))


def _movers(pit: Pit, quote: Quote) -> Table:
    top = sorted(quote.stages, key=lambda s: -s.price)[:4]
    rows = tuple((s.stage, _rounded(pit, s.price)) for s in top)
    columns = (Column("the largest parts of the price", bold=True), Column("about", align="right", bold=True))
    return Table(columns, rows, title="What moves the price most", size=2.5)


def _agreed() -> Table:
    rows = tuple((w, "", "") for w in ("deposit", "when the vessel stands on its base", "on delivery"))
    columns = (Column("to be agreed"), Column("money", blank=True, least=26.0), Column("date", blank=True, least=26.0))
    return Table(columns, rows, title="Payments and signatures", size=2.5)


# ---------------------------------------------------------------- for the shop


def _stages(pit: Pit, quote: Quote) -> Table:
    rows: list[tuple[str, ...]] = [
        (s.stage, f"{s.hours:.1f}", money(pit, s.goods) if s.goods else "–", money(pit, s.price), s.why)
        for s in quote.stages
        if s.price > 0.0
    ]
    count = len(rows)
    rows.append(("all", f"{quote.hours:.1f}", money(pit, quote.material), money(pit, quote.price), ""))
    columns = (
        Column("stage", bold=True),
        Column("hours", align="right"),
        Column("goods", align="right"),
        Column("price", align="right", bold=True),
        Column("driven by", wrap=True),
    )
    return Table(columns, tuple(rows), title="By stage; a change order moves only its own lines", rules=(count,))


def _goods(pit: Pit, quote: Quote) -> Table:
    rows = tuple((g.name, money(pit, g.cost), g.why) for g in quote.goods)
    columns = (Column("goods", bold=True), Column("cost", align="right"), Column("from", wrap=True))
    return Table(columns, rows, title="Goods")


def _sum(pit: Pit, quote: Quote) -> Pairs:
    rates = pit.job.proportions.rates
    pairs = (
        ("goods", money(pit, quote.material)),
        (f"{quote.hours:.1f} h at {money(pit, rates.hour)}", money(pit, quote.labour)),
        ("cost", money(pit, quote.cost)),
        (f"margin, {rates.margin * 100.0:.0f} % of the price", money(pit, quote.margin)),
        ("price = cost / (1 - margin)", money(pit, quote.price)),
        ("likely from, to", f"{money(pit, quote.low)}, {money(pit, quote.high)}"),
        ("an hour more costs the price", money(pit, rates.hour / (1.0 - rates.margin))),
    )
    return Pairs(pairs, title="The sum")


def _rates(pit: Pit) -> Notes:
    rates, shop = pit.job.proportions.rates, pit.job.proportions.shop
    taught = ", ".join(f"{stage} x {factor:.2f}" for stage, factor in rates.factors.items()) or "none yet"
    kilo = f"{rates.currency}{shop.steel_price:,.2f} a kg"
    steel = f"{rates.currency}{shop.steel_price * 0.45359237:,.2f} a lb" if pit.tape.inch else kilo
    lines = (
        f"Steel {steel}, {rates.steel_over * 100.0:.0f} % bought over what the pieces weigh.",
        f"Hours give or take {rates.hours_give * 100.0:.0f} %, goods {rates.goods_give * 100.0:.0f} %: both ends of the range at once.",
        f"Learned from the clock: {taught}.",
        "All rates stand in the shop's file under [rates]; the starting ones are common practice, no source.",
    )
    return Notes(lines, title="Rates")
