"""The build order: steps with what is needed at hand, how it is lifted, what holds the work up, and what goes on beside."""

from __future__ import annotations

from functools import partial

from pitwright.layout.model import Pit
from pitwright.sheets.blocks import BigFigures, Block, Heading, Notes, Pairs
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, new_board
from pitwright.sheets.views.spread import ByWidth, spread
from pitwright.sheets.views.wall import HELD, wall_figures
from pitwright.shop.hours import stage_hours
from pitwright.shop.order import Hold, Order, Step, build_order

CODE, TITLE = "ORDER", "Build order"


def order_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Steps, hold points, then hours and the four numbers."""
    order = build_order(pit)
    board = partial(
        new_board,
        pit,
        paper,
        CODE,
        TITLE,
        key=("steps", str(len(order.steps))),
        check=("outside diagonal of the rails", pit.tape.fine(pit.base.diagonal)),
    )
    return (
        *spread(board, (), (step_table(pit, order),), columns=1),
        *spread(board, (), (hold_table(pit, order),), columns=1),
        *spread(board, (), (*_four(pit), _lift(pit, order), _hours(pit, order), _notes())),
    )


ORDER = SheetMaker(code=CODE, title=TITLE, whose="everyone", make=order_sheets)


def step_table(pit: Pit, order: Order) -> Table:
    """One row a step."""
    rows = tuple(_row(pit, s) for s in order.steps)
    columns = (
        Column("", align="right", bold=True),
        Column("step", wrap=True, bold=True, least=24.0),
        Column("for", wrap=True, least=20.0),
        Column("after", wrap=True),
        Column("beside it", wrap=True, least=14.0),
        Column("at hand", wrap=True, least=20.0),
        Column("what is done, what is welded", wrap=True, least=52.0),
        Column("heaviest lift", wrap=True, least=18.0),
        Column("hours", align="right"),
        Column("done", blank=True),
    )
    return Table(columns, rows, title="Steps", size=2.0)


def _row(pit: Pit, step: Step) -> tuple[str, ...]:
    if step.cuts and not pit.cleared:
        do = "held back: no cut marks before the vessel is cleared"
    else:
        do = " ".join(step.do)
    if step.tacked:
        do += " TACK: " + ", ".join(w.name for w in step.tacked) + "."
    if step.welds:
        do += " WELD, in this order: " + ", ".join(w.name for w in step.welds) + "."
    if step.shuts:
        do += " LAST CHANCE: after this nobody reaches " + " nor ".join(_said(s) for s in step.shuts) + "."
    lift = "–"
    if step.lift is not None:
        lift = f"{step.lift.what}, {pit.tape.mass(step.lift.mass)}: {step.lift.how}"
    return (
        str(step.number),
        step.title + (" (done)" if step.done else ""),
        step.who,
        _numbers(step.after),
        _numbers(step.beside),
        " ".join(p.mark + (f" x{p.quantity}" if p.quantity > 1 else "") for p in step.parts) or "–",
        do,
        lift,
        f"{step.hours:.1f}",
        "",
    )


def _said(space: str) -> str:
    return {"the vessel can be rolled": "round the vessel (it cannot be rolled any more)"}.get(space, f"the {space}")


def _numbers(numbers: tuple[int, ...]) -> str:
    """`1-4, 7` for 1, 2, 3, 4, 7."""
    out: list[str] = []
    first = 0
    for i, n in enumerate(numbers):
        if i + 1 < len(numbers) and numbers[i + 1] == n + 1:
            continue
        low = numbers[first]
        out.append(str(n) if low == n else f"{low}-{n}")
        first = i + 1
    return ", ".join(out) or "–"


def want_text(pit: Pit, hold: Hold) -> str:
    """What it must be, or that it is held back."""
    return HELD if hold.cut and not pit.cleared else hold.want


def hold_table(pit: Pit, order: Order) -> Table:
    """Hold points: nobody goes on before the box is filled."""
    rows: list[tuple[str, ...]] = []
    starts: list[int] = []
    for step in order.steps:
        if step.holds and rows:
            starts.append(len(rows))
        for i, hold in enumerate(step.holds):
            rows.append(
                (
                    str(step.number) if i == 0 else "",
                    step.title if i == 0 else "",
                    hold.what,
                    want_text(pit, hold),
                    hold.give or "–",
                    "",
                )
            )
    columns = (
        Column("", align="right", bold=True),
        Column("step", wrap=True),
        Column("measure", wrap=True),
        Column("it must be", align="right", wrap=True, bold=True),
        Column("within", align="right"),
        Column("got", blank=True),
    )
    return Table(columns, tuple(rows), title="Hold points: measure and write down before going on", rules=tuple(starts))


def _four(pit: Pit) -> tuple[Block, ...]:
    four = wall_figures(pit)
    figures = ByWidth(BigFigures(four, across=2, size=7.0), BigFigures(four, across=1, size=7.0), least=150.0)
    return (Heading("The four numbers that bind all three"), figures)


def _lift(pit: Pit, order: Order) -> Pairs:
    tape, vessel = pit.tape, pit.vessel
    lift = next(s.lift for s in order.steps if s.key == "set")
    assert lift is not None
    if pit.upright is not None:
        turned = (
            ("weight turned up", tape.mass(lift.mass)),
            ("how", lift.how),
            ("bottom seam off the floor, standing", tape.length(vessel.seam_z)),
            ("who", "a rigger: hoist at the top, bottom on timber, nobody beside it"),
        )
        return Pairs(turned, title="Standing the vessel up")
    fire, hook, stack = (tape.length(vessel.station(x)) for x in lift.x)
    first, second = lift.slings
    pairs = (
        ("weight on the hook", tape.mass(lift.mass)),
        ("hook over station", hook),
        ("baskets round the shell at stations", f"{fire} and {stack}"),
        (
            "sling, hook to top of shell, fire end",
            f"{tape.length(first.length)} at {tape.angle(first.angle, 0)} off level",
        ),
        (
            "sling, hook to top of shell, stack end",
            f"{tape.length(second.length)} at {tape.angle(second.angle, 0)} off level",
        ),
        ("pull in them", f"{tape.force(first.tension)} and {tape.force(second.tension)}"),
    )
    return Pairs(pairs, title="Setting the vessel on: unequal slings hang it level")


def _hours(pit: Pit, order: Order) -> Table:
    rows = tuple((s.stage, f"{s.hours:.1f}", s.why, "") for s in stage_hours(pit) if s.hours > 0.0)
    total = (("one person", f"{order.alone:.0f}", "three people side by side: "
              f"{order.crew:.0f} on the clock", ""),)  # fmt: skip
    columns = (
        Column("stage", bold=True),
        Column("hours", align="right", bold=True),
        Column("driven by", wrap=True),
        Column("clocked", blank=True),
    )
    return Table(columns, (*rows, *total), title="Hours, by the shop's own rates", rules=(len(rows),))


def _notes() -> Notes:
    lines = (
        "Numbers are the order for one person. “Beside it” names steps of the other two that do not wait for this one.",
        "Tack before weld, always: legs and stack are welded only when everything has been tried.",
        f"By hand: {23.0:.0f} kg (51 lb) for one person at best (NIOSH 94-110, revised 2021). Nobody under a load, nobody between it "
        "and a wall, tag line on.",
        "Hours rest on common practice until the shop's clock has taught its own: write them in and feed them back.",
    )
    return Notes(lines, title="How to read it")
