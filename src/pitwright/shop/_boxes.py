"""Parts as boxes on sheets: quick and the same every time; and straight shear cuts from edge to edge.

Free rectangles by rectpack: the maximal-rectangles rules for a cutting table, the guillotine rules for a shear
(Jylanki, "A Thousand Ways to Pack the Bin", 2010).
"""

from __future__ import annotations

import itertools
import math
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeAlias

from pitwright.shop._nest_records import ShearCut, SheetStock
from pitwright.shop._plate_shapes import Item, flat_angle, outer, turned

UNIT = 1e-5
"""Boxes are counted in hundredths of a millimetre, up for parts and down for sheets [m]."""

Lying: TypeAlias = tuple[Item, float, float, float]
"""An item with its place: x, y [m], turn [rad]."""

Box: TypeAlias = tuple[float, float, float, float]


@dataclass(slots=True)
class Laid:
    """One sheet with the items on it."""

    stock: SheetStock
    items: list[Lying] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Boxed:
    item: Item
    turn: float
    x0: float
    y0: float
    width: int
    height: int
    may_turn: bool


def box_of(item: Item) -> tuple[float, Box]:
    """(turn, bounds) that lay the part in its smallest box, as far as it may be turned."""
    turn = flat_angle(item.part) if item.rotation == "any" else 0.0
    return turn, tuple(turned(outer(item.part), turn).bounds)


def _boxed(item: Item, gap: float) -> _Boxed:
    turn, (x0, y0, x1, y1) = box_of(item)
    width, height = (math.ceil((side + gap) / UNIT - 1e-4) for side in (x1 - x0, y1 - y0))
    return _Boxed(item, turn, x0, y0, max(1, width), max(1, height), item.rotation in ("any", "right angles"))


def rack(sheets: Sequence[SheetStock]) -> list[SheetStock]:
    """Every sheet on the rack, smallest first."""
    return [s for s in sorted(sheets, key=lambda s: s.width * s.length) for _ in range(s.on_hand or 0)]


def _rules(shear: bool) -> list[Any]:
    import rectpack.guillotine as cut
    import rectpack.maxrects as table

    if not shear:
        return [table.MaxRectsBssf, table.MaxRectsBl, table.MaxRectsBaf, table.MaxRectsBlsf]
    return [
        getattr(cut, f"Guillotine{choice}{split}")
        for choice, split in itertools.product(
            ("Bssf", "Baf", "Blsf"), ("Maxas", "Minas", "Slas", "Llas", "Sas", "Las")
        )
    ]


_ORDERS: tuple[Callable[[_Boxed], tuple[int, ...]], ...] = (
    lambda b: (-b.width * b.height, -max(b.width, b.height)),
    lambda b: (-max(b.width, b.height), -min(b.width, b.height)),
    lambda b: (-min(b.width, b.height), -max(b.width, b.height)),
    lambda b: (-b.width - b.height, -b.width * b.height),
)


class _Bin:
    """A sheet being filled by one of rectpack's rules."""

    def __init__(self, stock: SheetStock, rule: Any, gap: float, margin: float, length: float | None = None):
        self.stock, self.margin = stock, margin
        room = [math.floor((side - 2.0 * margin + gap) / UNIT + 1e-4) for side in (length or stock.length, stock.width)]
        self.rule = rule(*(max(1, side) for side in room), rot=True, merge=False)
        self.laid = Laid(stock)

    def add(self, boxed: _Boxed) -> bool:
        self.rule.rot = boxed.may_turn
        rect = self.rule.add_rect(boxed.width, boxed.height)
        if rect is None:
            return False
        turn, x0, y0 = boxed.turn, boxed.x0, boxed.y0
        if (rect.width, rect.height) != (boxed.width, boxed.height):
            turn += 0.5 * math.pi
            x0, y0, *_ = turned(outer(boxed.item.part), turn).bounds
        x, y = self.margin + rect.x * UNIT - x0, self.margin + rect.y * UNIT - y0
        self.laid.items.append((boxed.item, x, y, turn))
        return True


def _fill(
    boxes: Sequence[_Boxed], ready: Sequence[SheetStock], more: SheetStock | None, rule: Any, gap: float, margin: float
) -> list[Laid] | None:
    """First sheet with room, in order; a new sheet of `more` when there is none."""
    bins = [_Bin(stock, rule, gap, margin) for stock in ready]
    for boxed in boxes:
        if any(sheet.add(boxed) for sheet in bins):
            continue
        if more is None:
            return None
        bins.append(_Bin(more, rule, gap, margin))
        if not bins[-1].add(boxed):
            return None
    return [sheet.laid for sheet in bins if sheet.laid.items]


def box_layouts(
    items: Sequence[Item], sheets: Sequence[SheetStock], *, gap: float, margin: float, shear: bool, until: float
) -> Iterator[list[Laid]]:
    """Layouts by every rule and order, each on the rack first and then on one kind of store sheet."""
    boxes = [_boxed(item, gap) for item in items]
    store: list[SheetStock | None] = [stock for stock in sheets if stock.on_hand is None]
    for order, rule in itertools.product(_ORDERS, _rules(shear)):
        for more in store or [None]:
            layout = _fill(sorted(boxes, key=order), rack(sheets), more, rule, gap, margin)
            if layout is not None:
                yield layout
            if time.monotonic() > until:
                return


def fill_sheet(items: Sequence[Item], stock: SheetStock, *, gap: float, margin: float) -> Laid:
    """As many items as boxes allow on one sheet, largest first."""
    sheet = _Bin(stock, _rules(False)[0], gap, margin)
    for boxed in sorted((_boxed(item, gap) for item in items), key=_ORDERS[0]):
        sheet.add(boxed)
    return sheet.laid


def all_on_one(
    items: Sequence[Item], stock: SheetStock, *, gap: float, margin: float, shear: bool, length: float | None = None
) -> Laid | None:
    """All the items on one sheet (on its first `length` [m] where given), or None when no rule manages it."""
    boxes = [_boxed(item, gap) for item in items]
    for order, rule in itertools.product(_ORDERS, _rules(shear)):
        sheet = _Bin(stock, rule, gap, margin, length)
        if all(sheet.add(boxed) for boxed in sorted(boxes, key=order)):
            return sheet.laid
    return None


def drawn_together(laid: Laid, *, gap: float, margin: float, shear: bool, until: float) -> Laid:
    """The same items on as short a part of the sheet as the rules manage, so that the drop is long."""
    items = [item for item, *_ in laid.items]
    area = sum((b[2] - b[0] + gap) * (b[3] - b[1] + gap) for _, b in map(box_of, items))
    low = area / (laid.stock.width - 2.0 * margin + gap)
    high = laid.stock.length
    best = laid
    for _ in range(10):
        if time.monotonic() > until or high - low < 2e-3:
            break
        middle = 0.5 * (low + high)
        tried = all_on_one(items, laid.stock, gap=gap, margin=margin, shear=shear, length=middle)
        if tried is None:
            low = middle
        else:
            best, high = tried, middle
    return best


def shear_cuts(boxes: Sequence[Box], length: float, width: float) -> tuple[ShearCut, ...] | None:
    """Straight cuts from edge to edge that free every box, or None where no such cuts exist.

    Any cut that passes no box through leaves two pieces that can still be cut, so the first found will do; the one
    that frees the largest empty piece is taken first.
    """
    cuts: list[ShearCut] = []
    pieces: list[tuple[Box, list[Box]]] = [((0.0, 0.0, length, width), list(boxes))]
    slack = UNIT
    while pieces:
        piece, inside = pieces.pop()
        if not inside:
            continue
        x0, y0, x1, y1 = piece
        options: list[tuple[float, str, float]] = []
        for axis, low, high in ((0, x0, x1), (1, y0, y1)):
            for line in sorted({box[axis + side] for box in inside for side in (0, 2)}):
                if not (low + slack < line < high - slack):
                    continue
                if any(box[axis] + slack < line < box[axis + 2] - slack for box in inside):
                    continue
                before = [box for box in inside if box[axis + 2] <= line + slack]
                empty = (high - line) if len(before) == len(inside) else (line - low) if not before else 0.0
                across = (y1 - y0) if axis == 0 else (x1 - x0)
                options.append((empty * across, "width" if axis == 0 else "length", line))
        if not options:
            box = inside[0]
            if len(inside) > 1 or any(abs(a - b) > slack for a, b in zip(box, piece)):
                return None
            continue
        _, across_, line = max(options, key=lambda option: (option[0], option[1], -option[2]))
        axis = 0 if across_ == "width" else 1
        cuts.append(
            ShearCut(
                number=len(cuts) + 1,
                piece=piece,
                across="width" if axis == 0 else "length",
                at=line - piece[axis],
            )
        )
        before = [box for box in inside if box[axis + 2] <= line + slack]
        after = [box for box in inside if box[axis + 2] > line + slack]
        near = (x0, y0, line, y1) if axis == 0 else (x0, y0, x1, line)
        far = (line, y0, x1, y1) if axis == 0 else (x0, line, x1, y1)
        pieces += [(far, after), (near, before)]
    return tuple(cuts)
