"""Blocks of lettering on a sheet: headings, notes, pairs, big figures. Tables are in pitwright.sheets.table.

A block knows how tall it is at a width, draws itself, and can be split where a sheet ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import KW_ONLY, dataclass, replace
from typing import Protocol

from pitwright.sheets import lettering
from pitwright.sheets.ink import Ink, Words, line
from pitwright.sheets.lettering import LINE
from pitwright.sheets.shapes import Role

HEADING = 3.2
"""Height of block headings [mm]."""
_BAND = 7.4  # from the top of a heading to what follows it


class Block(Protocol):
    """Anything that stands in a column of a sheet."""

    def height(self, width: float) -> float:
        """How tall it is at a width [mm]."""
        ...

    def draw(self, x: float, y: float, width: float) -> tuple[Ink, ...]:
        """Its ink with its top left corner at (x, y) [mm]."""
        ...

    def split(self, width: float, room: float) -> tuple[Block | None, Block | None]:
        """(what fits into a room [mm], what is left); (None, itself) where nothing of it fits."""
        ...


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading with a rule under it."""

    text: str
    size: float = HEADING

    def height(self, width: float) -> float:
        """How tall it is [mm]."""
        return self.size + _BAND - HEADING

    def draw(self, x: float, y: float, width: float) -> tuple[Ink, ...]:
        """Its ink."""
        return heading(self.text, x, y, width, self.size)

    def split(self, width: float, room: float) -> tuple[Block | None, Block | None]:
        """A heading is never cut, nor left alone at the foot of a column."""
        return (self, None) if self.height(width) + 12.0 <= room else (None, self)


@dataclass(frozen=True, slots=True)
class Gap:
    """Empty room between two blocks [mm]."""

    size: float = 4.0

    def height(self, width: float) -> float:
        """How tall it is [mm]."""
        return self.size

    def draw(self, x: float, y: float, width: float) -> tuple[Ink, ...]:
        """Nothing."""
        return ()

    def split(self, width: float, room: float) -> tuple[Block | None, Block | None]:
        """A gap at the foot of a column is dropped."""
        return (self, None) if self.size <= room else (None, None)


@dataclass(frozen=True, slots=True)
class Notes:
    """Lines of plain text, wrapped. numbered: 1, 2, 3 before them; otherwise a dash; `bold` for cautions."""

    lines: tuple[str, ...]
    _: KW_ONLY
    title: str = ""
    numbered: bool = False
    first: int = 1
    bold: bool = False
    size: float = 2.3

    def height(self, width: float) -> float:
        """How tall it is at a width [mm]."""
        return self._head() + sum(self._tall(n) for n in self._wrapped(width))

    def draw(self, x: float, y: float, width: float) -> tuple[Ink, ...]:
        """Its ink."""
        ink: list[Ink] = list(heading(self.title, x, y, width)) if self.title else []
        y += self._head()
        for i, wrapped in enumerate(self._wrapped(width)):
            sign = f"{self.first + i}." if self.numbered else "–"
            ink.append(Words((x, y + self.size), sign, self.size, bold=self.numbered or self.bold))
            ink.extend(
                Words((x + self._indent(), y + self.size * (1.0 + LINE * k)), text, self.size, bold=self.bold)
                for k, text in enumerate(wrapped)
            )
            y += self._tall(wrapped)
        return tuple(ink)

    def split(self, width: float, room: float) -> tuple[Block | None, Block | None]:
        """Split between two lines of notes."""
        wrapped = self._wrapped(width)
        used, count = self._head(), 0
        while count < len(wrapped) and used + self._tall(wrapped[count]) <= room + 1e-9:
            used += self._tall(wrapped[count])
            count += 1
        if count == len(wrapped):
            return self, None
        if count == 0:
            return None, self
        rest = replace(self, lines=self.lines[count:], title=continued(self.title), first=self.first + count)
        return replace(self, lines=self.lines[:count]), rest

    def _indent(self) -> float:
        return self.size * (2.6 if self.numbered else 1.6)

    def _head(self) -> float:
        return _BAND if self.title else 0.0

    def _wrapped(self, width: float) -> list[tuple[str, ...]]:
        return [lettering.wrap(t, width - self._indent(), self.size, self.bold) for t in self.lines]

    def _tall(self, wrapped: tuple[str, ...]) -> float:
        return self.size * (LINE * len(wrapped) + 0.35)


@dataclass(frozen=True, slots=True)
class Pairs:
    """Names and figures in one or more columns: `name ........ figure`. about: names of the figures, in order."""

    pairs: tuple[tuple[str, str], ...]
    _: KW_ONLY
    title: str = ""
    columns: int = 1
    size: float = 2.5
    about: tuple[str, ...] = ()
    gutter: float = 8.0

    def height(self, width: float) -> float:
        """How tall it is at a width [mm]."""
        each = self._each(width)
        tall = [self._tall(i, each) for i in range(len(self.pairs))]
        return (_BAND if self.title else 0.0) + max(sum(tall[i] for i in c) for c in self._columns())

    def draw(self, x: float, y: float, width: float) -> tuple[Ink, ...]:
        """Its ink."""
        ink: list[Ink] = list(heading(self.title, x, y, width)) if self.title else []
        y += _BAND if self.title else 0.0
        each = self._each(width)
        for k, column in enumerate(self._columns()):
            left, down = x + k * (each + self.gutter), y
            for i in column:
                ink.extend(self._pair(i, left, down, each))
                down += self._tall(i, each)
        return tuple(ink)

    def split(self, width: float, room: float) -> tuple[Block | None, Block | None]:
        """Pairs stay together."""
        return (self, None) if self.height(width) <= room + 1e-9 else (None, self)

    def _pair(self, i: int, x: float, y: float, each: float) -> list[Ink]:
        figure = self.pairs[i][1]
        about = self.about[i] if i < len(self.about) else ""
        ink: list[Ink] = [
            Words((x, y + self.size * (1.0 + LINE * k)), text, self.size) for k, text in enumerate(self._name(i, each))
        ]
        end = x + each
        size = lettering.shrunk(figure, each * 0.62, self.size, 1.6, bold=True)
        ink.append(Words((end, y + self.size), figure, size, anchor="right", bold=True, about=about))
        ink.append(line((x, y + self._tall(i, each) - 0.9), (end, y + self._tall(i, each) - 0.9), "thin"))
        return ink

    def _name(self, i: int, each: float) -> tuple[str, ...]:
        name, figure = self.pairs[i]
        taken = min(lettering.width(figure, self.size, bold=True), each * 0.62)
        return lettering.wrap(name, each - taken - 3.0, self.size)

    def _tall(self, i: int, each: float) -> float:
        return self.size * (LINE * len(self._name(i, each)) + 0.75)

    def _each(self, width: float) -> float:
        return (width - self.gutter * (self.columns - 1)) / self.columns

    def _columns(self) -> list[range]:
        per = -(-len(self.pairs) // self.columns)
        return [range(k * per, min(len(self.pairs), (k + 1) * per)) for k in range(self.columns)]


@dataclass(frozen=True, slots=True)
class BigFigure:
    """One figure to be read at arm's length: what it is, the figure, and one line under it."""

    label: str
    figure: str
    note: str = ""
    about: str = ""
    role: Role = "dimension"


@dataclass(frozen=True, slots=True)
class BigFigures:
    """Big figures in rows of `across`, `size` high [mm], each in its own box of thin lines."""

    figures: tuple[BigFigure, ...]
    _: KW_ONLY
    across: int = 3
    size: float = 9.0

    def height(self, width: float) -> float:
        """How tall it is at a width [mm]."""
        return self._rows() * self._tall()

    def draw(self, x: float, y: float, width: float) -> tuple[Ink, ...]:
        """Its ink."""
        ink: list[Ink] = []
        each = width / self.across
        for i, f in enumerate(self.figures):
            left, top = x + (i % self.across) * each, y + (i // self.across) * self._tall()
            room = each - 5.0
            label = lettering.shrunk(f.label, room, 2.5, 1.6)
            size = lettering.shrunk(f.figure, room, self.size, 2.5, bold=True)
            ink.append(line((left, top), (left, top + self._tall() - 3.0), "outline"))
            ink.append(Words((left + 2.5, top + 2.6), f.label, label))
            ink.append(
                Words((left + 2.5, top + 5.6 + self.size), f.figure, size, bold=True, about=f.about, role=f.role)
            )
            if f.note:
                note = lettering.shrunk(f.note, room, 2.1, 1.6)
                ink.append(Words((left + 2.5, top + 8.9 + 1.3 * self.size), f.note, note))
        return tuple(ink)

    def split(self, width: float, room: float) -> tuple[Block | None, Block | None]:
        """Split between rows."""
        fit = int((room + 1e-9) // self._tall())
        if fit >= self._rows():
            return self, None
        if fit == 0:
            return None, self
        count = fit * self.across
        return replace(self, figures=self.figures[:count]), replace(self, figures=self.figures[count:])

    def _rows(self) -> int:
        return -(-len(self.figures) // self.across)

    def _tall(self) -> float:
        return 1.3 * self.size + (13.4 if any(f.note for f in self.figures) else 10.0)


def heading(text: str, x: float, y: float, width: float, size: float = HEADING) -> tuple[Ink, ...]:
    """A heading's lettering and rule, from the top left corner [mm]."""
    fitted = lettering.shrunk(text, width, size, 2.0, bold=True)
    rule = y + size + 1.9
    return (Words((x, y + size), text, fitted, bold=True), line((x, rule), (x + width, rule), "mark"))


def continued(title: str) -> str:
    """The title of what is left over for the next sheet."""
    return f"{title} (continued)" if title and not title.endswith("(continued)") else title


def total_height(blocks: Sequence[Block], width: float) -> float:
    """Height of blocks one under another [mm]."""
    return sum(b.height(width) for b in blocks)
