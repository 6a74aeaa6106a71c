"""The best layout found in the time: what counts as better, the box layouts compared, and the true shapes."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Sequence

from pitwright.shop._boxes import Laid, all_on_one, box_layouts, box_of, drawn_together, shear_cuts
from pitwright.shop._nest_records import FlatPart, Placed, ShearCut, SheetStock
from pitwright.shop._plate_shapes import Item, faults, outer, turned
from pitwright.shop._strips import fill_pockets, true_shape_layout

WORTH = 0.03
"""A true-shape layout that saves no sheet is taken when it uses this much less plate."""
DENSEST = 0.93
"""True shapes are hardly ever nested more densely than this, so boxes that come near it are left as they are."""


def counted(layout: Sequence[Laid]) -> float:
    """What a layout costs: money, or the area bought where no prices are given."""
    if any(sheet.stock.price for sheet in layout):
        return sum(sheet.stock.price for sheet in layout)
    return sum(sheet.stock.width * sheet.stock.length for sheet in layout if sheet.stock.on_hand is None)


def reach(sheet: Laid, margin: float) -> float:
    """How far along the sheet the parts reach, margin included [m]."""
    return max(float(turned(outer(item.part), turn).bounds[2]) + x for item, x, _, turn in sheet.items) + margin


def used(layout: Sequence[Laid], margin: float) -> float:
    """Plate used: whole sheets, and of the emptiest sheet as far as its parts reach [m2]."""
    whole = sum(sheet.stock.width * sheet.stock.length for sheet in layout)
    return whole - max(sheet.stock.width * (sheet.stock.length - reach(sheet, margin)) for sheet in layout)


def rank(layout: Sequence[Laid], margin: float) -> tuple[float, int, float]:
    """How layouts are compared: what they cost, how many sheets, how much plate."""
    return round(counted(layout), 6), len(layout), used(layout, margin)


def better(first: Sequence[Laid], second: Sequence[Laid], margin: float) -> bool:
    """Whether `first` saves money, a sheet, or more than `WORTH` of the plate against `second`."""
    a, b = rank(first, margin), rank(second, margin)
    return a[:2] < b[:2] or (a[:2] == b[:2] and a[2] < (1.0 - WORTH) * b[2])


def nothing_to_gain(layout: Sequence[Laid], area: float, stocks: Sequence[SheetStock], margin: float) -> bool:
    """Whether even a very dense nest would save no sheet and less than `WORTH` of the plate."""
    return len(layout) <= fewest_sheets(area, stocks, margin) and area / DENSEST > (1.0 - WORTH) * used(layout, margin)


def gain_text(first: Sequence[Laid], second: Sequence[Laid] | None, margin: float) -> str:
    """What true shape gains, in a sentence."""
    if second is None:
        return "Only true shape gets the parts onto the sheets."
    if len(first) < len(second):
        saved = len(second) - len(first)
        return f"True shape saves {saved} {'sheet' if saved == 1 else 'sheets'} against boxes."
    if rank(first, margin)[0] < rank(second, margin)[0]:
        return "True shape needs cheaper sheets than boxes."
    return f"True shape uses {1.0 - used(first, margin) / used(second, margin):.0%} less plate than boxes."


def best_boxes(
    items: Sequence[Item],
    stocks: Sequence[SheetStock],
    *,
    gap: float,
    margin: float,
    shear: bool,
    begun: float,
    budget: float,
) -> list[Laid] | None:
    """The best of all box layouts: cheapest, fewest sheets, least plate used; the last sheet drawn together."""
    best: list[Laid] | None = None
    for layout in box_layouts(items, stocks, gap=gap, margin=margin, shear=shear, until=begun + 0.3 * budget):
        if shear and not all(cuts_of(sheet) for sheet in layout):
            continue
        if best is None or rank(layout, margin) < rank(best, margin):
            best = layout
    if best is None:
        return None
    until = begun + 0.4 * budget
    if not shear:
        best = _less_by_pockets(best, gap=gap, margin=margin, until=until)
    last = max(range(len(best)), key=lambda place: best[place].stock.length - reach(best[place], margin))
    alone = [item for item, *_ in best[last].items]
    bought = best[last].stock
    for stock in sorted((s for s in stocks if s.on_hand is None), key=lambda s: (s.price, s.width * s.length)):
        if bought.on_hand is not None or (stock.price, stock.width * stock.length) >= (
            bought.price,
            bought.width * bought.length,
        ):
            break
        smaller = all_on_one(alone, stock, gap=gap, margin=margin, shear=shear)
        if smaller is not None and (not shear or cuts_of(smaller)):
            best[last] = smaller
            break
    closer = drawn_together(best[last], gap=gap, margin=margin, shear=shear, until=until)
    if not shear or cuts_of(closer):
        best[last] = closer
    return best


def _less_by_pockets(layout: list[Laid], *, gap: float, margin: float, until: float) -> list[Laid]:
    """The emptiest sheet's parts put between the parts of the others, where all of them find room."""
    if len(layout) < 2:
        return layout
    last = min(range(len(layout)), key=lambda place: sum(item.area for item, *_ in layout[place].items))
    if layout[last].stock.on_hand is not None:
        return layout
    rest = [item for item, *_ in layout[last].items]
    others = [Laid(sheet.stock, list(sheet.items)) for place, sheet in enumerate(layout) if place != last]
    for sheet in others:
        rest = fill_pockets(sheet, rest, gap=gap, margin=margin, until=until)
    return layout if rest else others


def best_true_shape(
    parts: Sequence[FlatPart],
    items: Sequence[Item],
    stocks: Sequence[SheetStock],
    boxes: Sequence[Laid] | None,
    *,
    gap: float,
    margin: float,
    until: float,
    tell: Callable[[str], None],
) -> list[Laid] | None:
    """The best true-shape layout that passes the check: on the boxes' kind of sheet, then on each other kind."""
    store = [stock for stock in stocks if stock.on_hand is None]
    if boxes is not None:
        main = [sheet.stock for sheet in boxes if sheet.stock.on_hand is None]
        store.sort(key=lambda stock: -main.count(stock))
    best: list[Laid] | None = None
    kinds: list[SheetStock | None] = [*store] or [None]
    for place, more in enumerate(kinds):
        now = time.monotonic()
        share = now + (until - now) / (len(kinds) - place)
        if share - now < 2.0 and place:
            break
        layout = true_shape_layout(items, stocks, more, gap=gap, margin=margin, until=share, tell=tell)
        if layout is None or faults(parts, placements(layout), gap=gap, margin=margin):
            continue
        if best is None or rank(layout, margin) < rank(best, margin):
            best = layout
    return best


def placements(layout: Sequence[Laid]) -> list[tuple[float, float, tuple[Placed, ...]]]:
    """(length, width, parts and their guests) of every sheet."""
    return [
        (
            sheet.stock.length,
            sheet.stock.width,
            tuple(placed for item, x, y, turn in sheet.items for placed in item.placed(x, y, turn)),
        )
        for sheet in layout
    ]


def cuts_of(sheet: Laid) -> tuple[ShearCut, ...] | None:
    """The shear cuts of a sheet, None where straight cuts cannot free the parts."""
    boxes = []
    for item, x, y, turn in sheet.items:
        x0, y0, x1, y1 = turned(outer(item.part), turn).bounds
        boxes.append((x0 + x, y0 + y, x1 + x, y1 + y))
    cuts = shear_cuts(boxes, sheet.stock.length, sheet.stock.width)
    return cuts if cuts or cuts is None or len(boxes) == 1 else None


def fewest_sheets(area: float, sheets: Sequence[SheetStock], margin: float) -> int:
    """Fewest sheets whose room inside the margin is at least `area`, largest sheets first."""
    count = 0
    by_room = sorted(sheets, key=lambda s: -(s.width - 2.0 * margin) * (s.length - 2.0 * margin))
    for stock in by_room:
        room = (stock.width - 2.0 * margin) * (stock.length - 2.0 * margin)
        if room <= 0.0:
            continue
        need = math.ceil(area / room - 1e-9)
        take = need if stock.on_hand is None else min(need, stock.on_hand)
        count += take
        area -= take * room
        if area <= 1e-12:
            break
    return count


def box_area(item: Item) -> float:
    """Area of the smallest box a part may lie in [m2]."""
    x0, y0, x1, y1 = box_of(item)[1]
    return float((x1 - x0) * (y1 - y0))
