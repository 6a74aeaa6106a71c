"""A small chart of one figure over another, drawn straight on the paper."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import KW_ONLY, dataclass, field

from pitwright.sheets.blocks import Block, heading
from pitwright.sheets.ink import Ink, Path, Stroke, Words, disc, line

Point = tuple[float, float]

_BAND = 7.4  # from the top of the heading to the chart [mm]
_LETTERS = 2.1
_LEFT = 17.0  # room for figures at the upright axis [mm]
_FOOT = 10.0  # room under the level axis [mm]
_RIGHT = 6.0


@dataclass(frozen=True, slots=True)
class Chart:
    """A curve through points (x, y), with axes that write their figures as the shop reads them.

    across, up  write a figure of the level and of the upright axis
    steps_x     ticks of the level axis; those of the upright one come in even steps
    name_x, name_y  what the axes are
    limit       a level line of its own, with its name; drawn where it lies within the chart
    spots       points to mark on the curve
    tall        height of the chart itself [mm]
    """

    title: str
    points: tuple[Point, ...]
    _: KW_ONLY
    across: Callable[[float], str]
    up: Callable[[float], str]
    steps_x: tuple[float, ...]
    steps_y: tuple[float, ...]
    name_x: str
    name_y: str
    limit: tuple[float, str] | None = None
    spots: tuple[Point, ...] = field(default=())
    tall: float = 42.0

    def height(self, width: float) -> float:
        """How tall it is at a width [mm]."""
        return _BAND + self.tall + _FOOT

    def split(self, width: float, room: float) -> tuple[Block | None, Block | None]:
        """A chart is never cut."""
        return (self, None) if self.height(width) <= room + 1e-9 else (None, self)

    def draw(self, x: float, y: float, width: float) -> tuple[Ink, ...]:
        """Its ink with its top left corner at (x, y) [mm]."""
        left, right = x + _LEFT, x + width - _RIGHT
        top, foot = y + _BAND + 4.0, y + _BAND + self.tall
        x0, x1 = self.steps_x[0], self.steps_x[-1]
        y0, y1 = self.steps_y[0], self.steps_y[-1]

        def at(p: Point) -> Point:
            return (
                left + (p[0] - x0) / (x1 - x0) * (right - left),
                foot - (p[1] - y0) / (y1 - y0) * (foot - top),
            )

        ink: list[Ink] = list(heading(self.title, x, y, width))
        for step in self.steps_y:
            _, level = at((x0, step))
            ink.append(line((left - 1.2, level), (right, level), "thin"))
            ink.append(Words((left - 2.0, level + _LETTERS / 2.0), self.up(step), _LETTERS, anchor="right"))
        for step in self.steps_x:
            place, _ = at((step, y0))
            ink.append(line((place, foot), (place, foot + 1.2), "outline"))
            ink.append(Words((place, foot + 2.0 + _LETTERS), self.across(step), _LETTERS, anchor="middle"))
        ink += [line((left, top), (left, foot), "outline"), line((left, foot), (right, foot), "outline")]
        if self.limit is not None and y0 <= self.limit[0] <= y1:
            _, level = at((x0, self.limit[0]))
            ink.append(line((left, level), (right, level), "wrong"))
            ink.append(Words((right, level - 1.0), self.limit[1], _LETTERS, anchor="right", plate=True))
        ink.append(Stroke(Path(tuple(at(p) for p in self.points)), "accent"))
        ink += [Stroke(disc(at(p), 1.0), "accent") for p in self.spots]
        ink.append(Words((left, foot + 5.8 + _LETTERS), self.name_x, _LETTERS))
        ink.append(Words((x, y + _BAND + _LETTERS), self.name_y, _LETTERS, bold=True))
        return tuple(ink)


def even_steps(low: float, high: float, unit: float, count: int = 4) -> tuple[float, ...]:
    """Round steps of a unit that cover low to high, about so many: 1, 2, 2.5 or 5 times a power of ten of it."""
    least = max((high - low) / unit / count, 1e-9)
    power = 10.0 ** math.floor(math.log10(least))
    step = next(f * power for f in (1.0, 2.0, 2.5, 5.0, 10.0) if f * power >= least - 1e-12) * unit
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return tuple(k * step for k in range(first, max(last, first + 1) + 1))
