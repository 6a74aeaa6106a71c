"""Flat parts on plate: which part lies where on which sheet, one thickness at a time.

Boxes first: quick, and the same every time. True shape then, as long as the time lasts; it is taken when it saves a
sheet or more than 3 % of the plate used, because a true-shape layout never comes out twice the same and has to be
kept. Small parts go into the holes and between the others. Every layout is checked part against part before it is
handed over.
"""

from __future__ import annotations

import math
import time
from collections import Counter
from collections.abc import Callable, Sequence

from pitwright.errors import PitwrightError
from pitwright.findings import Finding, worst_first
from pitwright.shop._boxes import Laid, box_of
from pitwright.shop._nest_records import (
    FlatPart,
    Method,
    NestPlan,
    Placed,
    PlannedSheet,
    PlateDrop,
    ShearCut,
    SheetLine,
    SheetStock,
    safe_ring,
)
from pitwright.shop._nest_search import (
    best_boxes,
    best_true_shape,
    better,
    box_area,
    cuts_of,
    fewest_sheets,
    gain_text,
    nothing_to_gain,
    placements,
    reach,
    used,
)
from pitwright.shop._plate_shapes import Item, faults, on_sheet, outer, shape, turned, turns
from pitwright.shop._pockets import rectangles_left, with_guests
from pitwright.tape import Tape

__all__ = [
    "FlatPart",
    "NestPlan",
    "Placed",
    "PlannedSheet",
    "PlateDrop",
    "ShearCut",
    "SheetLine",
    "SheetStock",
    "plan_nest",
    "safe_ring",
]

Progress = Callable[[str, float], None]

BOXY = 0.97
"""Parts that fill their boxes this well are not tried as true shapes."""


def plan_nest(
    parts: Sequence[FlatPart],
    sheets: Sequence[SheetStock],
    *,
    gap: float,
    margin: float,
    time_budget: float = 15.0,
    method: Method = "true shape",
    keep_drop: float = 0.3,
    tape: Tape | None = None,
    progress: Progress | None = None,
) -> NestPlan:
    """The parts of one plate thickness on the fewest and cheapest sheets found in the time.

    gap          least distance between two parts, the kerf included [m]
    margin       least distance from a part to the edge of the sheet [m]
    time_budget  about how long the whole search may take [s]
    method       `true shape`: the better of boxes and true shape; `boxes`: the quick way only; `shear`: straight
                 cuts from edge to edge, for a shop without a table
    keep_drop    least short side of a drop worth keeping [m]
    tape         how lengths in messages read (inches when not given)
    progress     told now and then what is going on and how far it is (0 to 1)
    """
    begun = time.monotonic()
    tape = tape or Tape.for_system("inch")
    stocks = tuple(stock for stock in sheets if stock.on_hand != 0)
    _check(parts, stocks, gap, margin, keep_drop, time_budget, tape)

    def tell(text: str) -> None:
        if progress is not None:
            progress(text, min(1.0, (time.monotonic() - begun) / max(time_budget, 1e-9)))

    shear = method == "shear"
    tell("Laying small parts in the holes of large ones")
    items = (
        [Item(part) for part in parts for _ in range(part.quantity)]
        if shear
        else with_guests(parts, gap=gap, until=begun + 0.15 * time_budget)
    )
    tell("Laying the parts as boxes")
    layout = best_boxes(items, stocks, gap=gap, margin=margin, shear=shear, begun=begun, budget=time_budget)
    chosen: Method = "shear" if shear else "boxes"
    why = "Straight cuts from edge to edge; every part comes off as a rectangle."
    if not shear:
        why = "Laid as boxes; the same parts give the same layout again."
    if method == "true shape":
        area = sum(item.area for item in items)
        filled = area / sum(box_area(item) for item in items)
        if layout is not None and filled > BOXY:
            why = "The parts fill their boxes, so nothing is gained by nesting true shapes. Same layout every time."
        elif layout is not None and nothing_to_gain(layout, area, stocks, margin):
            why = "Boxes leave hardly anything that true shape could gain. Same layout every time."
        else:
            until = begun + time_budget
            other = best_true_shape(parts, items, stocks, layout, gap=gap, margin=margin, until=until, tell=tell)
            if other is not None and (layout is None or better(other, layout, margin)):
                chosen = "true shape"
                why = gain_text(other, layout, margin) + " Keep this layout: nesting again will not give the same one."
                layout = other
            elif other is not None:
                why = "True shape saves no sheet and less than 3 % of the plate. Boxes give the same layout every time."
    if layout is None:
        raise PitwrightError(
            "the sheets on the rack are not enough for these parts" if any(s.on_hand for s in stocks) else
            "no layout was found in the time",
            field="sheets",
            remedy="Add a sheet that the store has, or give the search more time.",
        )  # fmt: skip
    tell("Checking every part against every other")
    plan = _plan(parts, stocks, layout, chosen, why, gap, margin, keep_drop, tape)
    tell("Done")
    return plan


def _check(
    parts: Sequence[FlatPart],
    sheets: Sequence[SheetStock],
    gap: float,
    margin: float,
    keep_drop: float,
    time_budget: float,
    tape: Tape,
) -> None:
    for name, value in (("gap", gap), ("margin", margin), ("keep_drop", keep_drop), ("time_budget", time_budget)):
        if not (math.isfinite(value) and value >= 0.0):
            raise PitwrightError(f"{value} is no size", field=name, value=value, allowed="0 or more")
    if not parts:
        raise PitwrightError("no parts to lay on plate", field="parts", remedy="Add a part.")
    if not sheets:
        raise PitwrightError("no sheet to lay the parts on", field="sheets", remedy="Add a sheet size.")
    twice = next((mark for mark, count in Counter(part.mark for part in parts).items() if count > 1), None)
    if twice is not None:
        raise PitwrightError(f"{twice} is listed twice", field="parts", value=twice,
                             remedy="Give one mark one line, with how many.")  # fmt: skip
    bought = [stock for stock in sheets if stock.on_hand is None]
    if any(stock.price for stock in bought) and not all(stock.price for stock in bought):
        free = next(stock.label for stock in bought if not stock.price)
        raise PitwrightError(f"sheet {free} has no price and others have", field="price", value=0.0,
                             remedy="Give every sheet of the store a price, or none.")  # fmt: skip
    largest = max(sheets, key=lambda stock: stock.width * stock.length)
    for part in parts:
        if not any(_fits(part, stock, margin) for stock in sheets):
            x0, y0, x1, y1 = box_of(Item(part))[1]
            raise PitwrightError(
                f"{part.mark} is {tape.length(max(x1 - x0, y1 - y0))} x {tape.length(min(x1 - x0, y1 - y0))} and goes "
                f"on no sheet: the largest ({largest.label}) is {tape.length(largest.length)} x "
                f"{tape.length(largest.width)} with {tape.length(margin)} kept clear along the edges",
                field="parts",
                value=part.mark,
                remedy="Add a larger sheet, or make the part of two pieces.",
            )


def _fits(part: FlatPart, stock: SheetStock, margin: float) -> bool:
    room = stock.length - 2.0 * margin + 1e-9, stock.width - 2.0 * margin + 1e-9
    for turn in turns(part.allow_rotation, part):
        x0, y0, x1, y1 = turned(outer(part), turn).bounds
        if x1 - x0 <= room[0] and y1 - y0 <= room[1]:
            return True
    return False


def _lines(stocks: Sequence[SheetStock], layout: Sequence[Laid], *, rack: bool) -> tuple[SheetLine, ...]:
    count = Counter(sheet.stock for sheet in layout)
    return tuple(
        SheetLine(
            label=stock.label,
            store=stock.store,
            width=stock.width,
            length=stock.length,
            count=count[stock],
            price=stock.price,
            cost=count[stock] * stock.price,
        )
        for stock in dict.fromkeys(stocks)
        if count[stock] and (stock.on_hand is not None) == rack
    )


def _plan(
    parts: Sequence[FlatPart],
    stocks: Sequence[SheetStock],
    layout: list[Laid],
    method: Method,
    why: str,
    gap: float,
    margin: float,
    keep_drop: float,
    tape: Tape,
) -> NestPlan:
    layout.sort(key=lambda sheet: (sheet.stock.on_hand is None, -reach(sheet, margin) / sheet.stock.length))
    lying = placements(layout)
    wrong = faults(parts, lying, gap=gap, margin=margin)
    if wrong:
        raise PitwrightError(
            f"the layout did not pass its check: {wrong[0]}",
            field="parts",
            remedy="Lay the parts as boxes, or report this job.",
        )
    known = {part.mark: part for part in parts}
    area = {part.mark: shape(part).area for part in parts}
    sheets: list[PlannedSheet] = []
    for number, (sheet, (length, width, here)) in enumerate(zip(layout, lying), start=1):
        boxes = [on_sheet(known[placed.mark], placed).bounds for placed in here if not placed.inside]
        sheets.append(
            PlannedSheet(
                number=number,
                label=sheet.stock.label,
                store=sheet.stock.store,
                width=width,
                length=length,
                on_hand=sheet.stock.on_hand is not None,
                parts=here,
                density=sum(area[placed.mark] for placed in here) / (width * length),
                used_length=reach(sheet, margin),
                drops=rectangles_left(length, width, boxes, gap=0.0 if method == "shear" else gap, least=keep_drop),
                cuts=(cuts_of(sheet) or ()) if method == "shear" else (),
            )
        )
    total = sum(area[part.mark] * part.quantity for part in parts)
    buy, from_rack = _lines(stocks, layout, rack=False), _lines(stocks, layout, rack=True)
    return NestPlan(
        sheets=tuple(sheets),
        buy=buy,
        from_rack=from_rack,
        method=method,
        why=why,
        repeatable=method != "true shape",
        lower_bound=fewest_sheets(total, stocks, margin),
        density=total / sum(sheet.width * sheet.length for sheet in sheets),
        strip_density=total / used(layout, margin),
        cost=sum(line.cost for line in (*buy, *from_rack)),
        gap=gap,
        margin=margin,
        findings=worst_first(_blanks(parts, tape) if method == "shear" else []),
    )


def _blanks(parts: Sequence[FlatPart], tape: Tape) -> list[Finding]:
    """Parts that a shear leaves as a rectangle still to be cut to shape."""
    found = []
    for part in parts:
        x0, y0, x1, y1 = box_of(Item(part))[1]
        if outer(part).area < (x1 - x0) * (y1 - y0) - 1e-6:
            found.append(
                Finding(
                    code="nest.shear_blank",
                    severity="note",
                    text=f"{part.mark} is sheared as a blank {tape.length(x1 - x0)} x {tape.length(y1 - y0)} and cut "
                    "to shape afterwards.",
                    pieces=(part.mark,),
                )
            )
    return found
