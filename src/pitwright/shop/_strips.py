"""True-shape nesting: spyrrow packs an open strip of fixed width; this module makes sheets of it.

spyrrow has no sheets, no holes and no part inside another, it counts in 32-bit figures and its answer depends on how
far it got in the time it had. So: parts go in already widened by half the gap, a sheet is the best window of the
strip, small parts then fill the pockets, and every layout is checked with shapely before it is used.
"""

from __future__ import annotations

import math
import threading
import time
from collections import Counter
from collections.abc import Callable, Sequence
from typing import Any

from pitwright.shop._boxes import Laid, Lying, fill_sheet, rack
from pitwright.shop._nest_records import SheetStock
from pitwright.shop._plate_shapes import Item, moved, outer, turned, turns
from pitwright.shop._pockets import fill_opening, free_room

MILLI = 1000.0
"""spyrrow is given millimetres."""
FINE = 2e-5
"""Parts are widened by this much more than half the gap, for 32-bit figures [m]."""

Tell = Callable[[str], None]


def _orientations(item: Item, height: float) -> list[float]:
    """Turns [degrees] in which the widened part is no taller than the strip."""
    good = []
    for turn in turns(item.rotation, item.part):
        _, y0, _, y1 = turned(outer(item.part), turn).bounds
        if y1 - y0 <= height:
            good.append(math.degrees(turn) % 360.0)
    return good


def _ease(gap: float) -> float:
    """How far a part's corners may be smoothed, always outward [m]."""
    return min(1.5e-4, gap / 20.0)


def _widened(item: Item, gap: float) -> list[tuple[float, float]]:
    ease = _ease(gap)
    grown = outer(item.part).buffer(0.5 * gap + FINE + ease, join_style="mitre", mitre_limit=2.0)
    shape = grown.simplify(ease) if ease else grown
    return [(x * MILLI, y * MILLI) for x, y in list(shape.exterior.coords)[:-1]]


def solve_strip(
    items: Sequence[Item], width: float, *, gap: float, seconds: float, tell: Tell | None = None
) -> list[Lying] | None:
    """All the items in a strip `width` across and as short as the time allows, or None when spyrrow gives up.

    Items keep half the gap from the strip's edges. The strip runs along x from 0.
    """
    import spyrrow

    kinds = list(Counter(items).items())
    given = []
    for place, (item, count) in enumerate(kinds):
        allowed = _orientations(item, width - gap - 2.0 * (FINE + _ease(gap)))
        if not allowed:
            return None
        given.append(spyrrow.Item(str(place), _widened(item, gap), count, allowed))
    queue = spyrrow.ProgressQueue()
    answer: list[Any] = []

    def work() -> None:
        try:
            whole = max(2, min(60, round(seconds)))
            tuned = spyrrow.StripPackingConfig(
                exploration_time=max(1, round(0.8 * whole)),
                compression_time=max(1, round(0.2 * whole)),
                total_computation_time=None,
                seed=1,
            )
            answer.append(spyrrow.StripPackingInstance("plate", width * MILLI, given).solve(tuned, queue))
        except BaseException:  # a panic in the library is no Exception; the layout is then made another way
            answer.clear()

    worker = threading.Thread(target=work, daemon=True)
    worker.start()
    while worker.is_alive():
        worker.join(0.25)
        reports = queue.drain()
        if tell is not None and reports:
            tell(f"Nesting {len(items)} parts: {reports[-1][1].density:.0%} of the strip used")
    if not answer:
        return None
    return [
        (
            kinds[int(one.id)][0],
            one.translation[0] / MILLI,
            one.translation[1] / MILLI,
            math.radians(one.rotation),
        )
        for one in answer[0].placed_items
    ]


def _window(laid: Sequence[Lying], room: float, gap: float) -> tuple[list[Lying], list[Item]]:
    """(items in the best window `room` long, moved to begin at 0; items left over)."""
    spans = []
    for item, x, y, turn in laid:
        x0, _, x1, _ = moved(turned(outer(item.part), turn), x, y).bounds
        spans.append((x0 - 0.5 * gap, x1 + 0.5 * gap, item.area))
    slack = 1e-7
    best_start, best_area = 0.0, -1.0
    for start in sorted({0.0, *(span[0] for span in spans)}):
        area = sum(a for x0, x1, a in spans if x0 >= start - slack and x1 <= start + room + slack)
        if area > best_area + 1e-12:
            best_start, best_area = start, area
    here, rest = [], []
    for (item, x, y, turn), (x0, x1, _) in zip(laid, spans):
        if x0 >= best_start - slack and x1 <= best_start + room + slack:
            here.append((item, x - best_start, y, turn))
        else:
            rest.append(item)
    return here, rest


def fill_pockets(sheet: Laid, rest: Sequence[Item], *, gap: float, margin: float, until: float) -> list[Item]:
    """Small items laid between those on the sheet; returns the ones still left."""
    if not rest or time.monotonic() > until:
        return list(rest)
    lying = [moved(turned(outer(item.part), turn), x, y) for item, x, y, turn in sheet.items]
    room = free_room(sheet.stock.length, sheet.stock.width, lying, gap=gap, margin=margin)
    waiting = dict(Counter(rest))
    sheet.items.extend(fill_opening(room, waiting, gap=gap, until=until, step=90.0))
    return [item for item, count in waiting.items() for _ in range(count)]


def _true_shape_sheet(
    items: Sequence[Item], stock: SheetStock, *, gap: float, margin: float, seconds: float, tell: Tell | None
) -> tuple[Laid, list[Item]] | None:
    """(one sheet of the strip of all the items, the items left over), or None when spyrrow gives up."""
    across = stock.width - 2.0 * margin
    fitting = [item for item in items if _orientations(item, across - 2.0 * _ease(gap))]
    if not fitting:
        return Laid(stock), list(items)
    strip = solve_strip(fitting, across + gap + 2.0 * FINE, gap=gap, seconds=seconds, tell=tell)
    if strip is None:
        return None
    here, over = _window(strip, stock.length - 2.0 * margin + gap, gap)
    x_shift, y_shift = margin - 0.5 * gap, margin - 0.5 * gap - FINE
    sheet = Laid(stock, [(item, x + x_shift, y + y_shift, turn) for item, x, y, turn in here])
    return sheet, [*over, *(Counter(items) - Counter(fitting)).elements()]


def true_shape_layout(
    items: Sequence[Item],
    sheets: Sequence[SheetStock],
    more: SheetStock | None,
    *,
    gap: float,
    margin: float,
    until: float,
    tell: Tell | None = None,
) -> list[Laid] | None:
    """The items on the sheets of the rack and then on sheets of `more`, or None when it does not work out."""
    rest = list(items)
    done: list[Laid] = []
    ready = rack(sheets)
    large = max(stock.length * stock.width for stock in sheets)
    while rest:
        stock = ready.pop(0) if ready else more
        if stock is None:
            return None
        left = until - time.monotonic()
        area = stock.length * stock.width
        if left < 2.0 or (stock.on_hand is not None and area < 0.5 * large):
            sheet = fill_sheet(rest, stock, gap=gap, margin=margin)
            over = list((Counter(rest) - Counter(item for item, *_ in sheet.items)).elements())
        else:
            sheets_left = math.ceil(sum(item.area for item in rest) / (0.7 * area))
            laid = _true_shape_sheet(rest, stock, gap=gap, margin=margin, seconds=left / (sheets_left + 0.4), tell=tell)
            if laid is None:
                return None
            sheet, over = laid
        rest = over
        rest = fill_pockets(sheet, rest, gap=gap, margin=margin, until=until)
        if sheet.items:
            done.append(sheet)
        elif stock is more:
            return None
    return done
