"""Tables: columns fitted to the lettering, thin rules, a blank column to write what was got beside what was wanted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import KW_ONLY, dataclass, replace

from pitwright.errors import OutputError
from pitwright.sheets import lettering
from pitwright.sheets.blocks import Block, continued, heading
from pitwright.sheets.ink import Ink, Words, line, rectangle
from pitwright.sheets.lettered import Anchor
from pitwright.sheets.lettering import LINE

_SIDE = 1.4  # clear room left and right of a cell's lettering [mm]
_HEAD = 2.0  # height of column heads [mm]
_BAND = 7.4
_BLANK = 16.0
_WRITING = 7.2  # least height of a row with a blank to write in [mm]
_BREAK = 22.0  # a wrapped column may break words longer than this [mm]
_LEAST = 1.8  # smallest lettering of a table [mm]


@dataclass(frozen=True, slots=True)
class Column:
    """One column.

    wrap   its cells may be broken over lines     blank  an empty box to write in; its cells are not printed
    bold   its figures stand out                  least  least width [mm]
    """

    head: str
    _: KW_ONLY
    align: Anchor = "left"
    wrap: bool = False
    blank: bool = False
    bold: bool = False
    least: float = 0.0


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells, one for each column; a row is kept on one sheet, the head is repeated on the next.

    size    height of lettering [mm]; made smaller, not under 1.8, where the table would be too wide
    rules   numbers of rows that have a heavier rule above them (the start of a group)
    about   names of the figures of the rows, in order
    """

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    _: KW_ONLY
    title: str = ""
    size: float = 2.3
    rules: tuple[int, ...] = ()
    about: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if any(len(row) != len(self.columns) for row in self.rows):
            raise ValueError("a table row has not as many cells as the table has columns")

    def height(self, width: float) -> float:
        """How tall it is at a width [mm]."""
        size, widths = self._fit(width)
        return self._head(widths) + sum(self._tall(row, widths, size) for row in self.rows)

    def draw(self, x: float, y: float, width: float) -> tuple[Ink, ...]:
        """Its ink."""
        size, widths = self._fit(width)
        lefts = [x + sum(widths[:i]) for i in range(len(widths))]
        right = x + sum(widths)
        ink: list[Ink] = list(heading(self.title, x, y, sum(widths))) if self.title else []
        top = y + (_BAND if self.title else 0.0)
        under = y + self._head(widths)
        for column, left, wide in zip(self.columns, lefts, widths, strict=True):
            lines = lettering.wrap(column.head, wide - 2.0 * _SIDE, _HEAD, bold=True)
            for k, text in enumerate(lines):
                base = under - 1.4 - _HEAD * LINE * (len(lines) - 1 - k)
                ink.append(_cell(text, left, wide, base, _HEAD, column.align, bold=True))
        ink.append(line((x, under), (right, under), "mark"))
        if not self.title:
            ink.append(line((x, top), (right, top), "thin"))
        y = under
        for i, row in enumerate(self.rows):
            tall = self._tall(row, widths, size)
            about = self.about[i] if i < len(self.about) else ""
            for column, cell, left, wide in zip(self.columns, row, lefts, widths, strict=True):
                if column.blank:
                    ink.append(rectangle((left + 0.8, y + 0.7, left + wide - 0.8, y + tall - 0.7), "thin"))
                    continue
                lines = self._lines(column, cell, wide, size)
                base = y + (tall - size * (1.0 + LINE * (len(lines) - 1))) / 2.0 + size
                for k, text in enumerate(lines):
                    words = _cell(text, left, wide, base + k * LINE * size, size, column.align, bold=column.bold)
                    ink.append(replace(words, about=about) if about else words)
            y += tall
            ink.append(line((x, y), (right, y), "mark" if i + 1 in self.rules else "thin"))
        return tuple(ink)

    def split(self, width: float, room: float) -> tuple[Block | None, Block | None]:
        """Split between two rows; the rest carries the head again."""
        size, widths = self._fit(width)
        used, count = self._head(widths), 0
        while count < len(self.rows) and used + self._tall(self.rows[count], widths, size) <= room + 1e-9:
            used += self._tall(self.rows[count], widths, size)
            count += 1
        if count == len(self.rows):
            return self, None
        first = replace(self, rows=self.rows[:count], about=self.about[:count])
        while count and first.height(width) > room + 1e-9:  # fewer rows may share the width out otherwise
            count -= 1
            first = replace(self, rows=self.rows[:count], about=self.about[:count])
        if count == 0:
            return None, self
        rest = replace(
            self,
            rows=self.rows[count:],
            title=continued(self.title),
            rules=tuple(r - count for r in self.rules if r > count),
            about=self.about[count:],
        )
        return first, rest

    def _head(self, widths: Sequence[float]) -> float:
        deep = max(
            len(lettering.wrap(c.head, w - 2.0 * _SIDE, _HEAD, bold=True))
            for c, w in zip(self.columns, widths, strict=True)
        )
        return (_BAND if self.title else 0.0) + _HEAD * (1.0 + LINE * (deep - 1)) + 2.8

    def _tall(self, row: tuple[str, ...], widths: Sequence[float], size: float) -> float:
        deep = max(len(self._lines(c, cell, w, size)) for c, cell, w in zip(self.columns, row, widths, strict=True))
        tall = size * (1.0 + LINE * (deep - 1)) + 2.6
        return max(tall, _WRITING) if any(c.blank for c in self.columns) else tall

    def _lines(self, column: Column, cell: str, wide: float, size: float) -> tuple[str, ...]:
        if column.blank:
            return ("",)
        if column.wrap:
            return lettering.wrap(cell, wide - 2.0 * _SIDE + 1e-6, size, column.bold)
        return tuple(cell.split("\n"))

    def _fit(self, width: float) -> tuple[float, list[float]]:
        """(height of lettering, column widths) that fill `width` [mm]."""
        size = self.size
        while True:
            least = [self._column_width(i, size, whole=not c.wrap) for i, c in enumerate(self.columns)]
            whole = [self._column_width(i, size, whole=True) for i in range(len(self.columns))]
            if sum(least) <= width + 1e-9:
                return size, _shared(least, whole, [c.blank for c in self.columns], width)
            if size <= _LEAST:
                raise OutputError(
                    f"the table “{self.title or self.columns[0].head}” is wider than the sheet",
                    allowed=f"{width:.0f} mm at lettering {_LEAST} mm",
                    remedy="Let more of its columns wrap, or turn the sheet.",
                )
            size = max(_LEAST, size - 0.1)

    def _column_width(self, i: int, size: float, *, whole: bool) -> float:
        column = self.columns[i]
        if column.blank:
            return max(_BLANK, column.least)
        head = max(lettering.width(w, _HEAD, bold=True) for w in column.head.split(" "))
        wide = head
        for row in self.rows:
            parts = row[i].split("\n") if whole else row[i].replace("\n", " ").split(" ")
            wide = max([wide, *(lettering.width(p, size, column.bold) for p in parts)])
        if not whole:
            wide = max(head, min(wide, _BREAK))
        return max(wide + 2.0 * _SIDE, column.least)


def _shared(least: list[float], whole: list[float], blank: list[bool], width: float) -> list[float]:
    """Widths between least and whole; what is over goes to the blanks, then to all alike."""
    wanted = [w - n for w, n in zip(whole, least, strict=True)]
    over = width - sum(least)
    if sum(wanted) > over:
        part = over / sum(wanted)
        return [n + part * w for n, w in zip(least, wanted, strict=True)]
    over -= sum(wanted)
    boxes = sum(blank)
    extra = min(over, 14.0 * boxes) / boxes if boxes else 0.0
    over -= extra * boxes
    scale = over / sum(whole)
    return [w + (extra if b else 0.0) + w * scale for w, b in zip(whole, blank, strict=True)]


def _cell(text: str, left: float, wide: float, base: float, size: float, align: Anchor, *, bold: bool) -> Words:
    x = {"left": left + _SIDE, "middle": left + wide / 2.0, "right": left + wide - _SIDE}[align]
    return Words((x, base), text, size, anchor=align, bold=bold)
