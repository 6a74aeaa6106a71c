"""Paper: sheet sizes, areas of a sheet, and the standard scales a drawing is put on it at."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from pitwright.errors import OutputError
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.ink import Box, Ink, extent
from pitwright.sheets.laying import lay
from pitwright.tape import System


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper [mm]."""

    name: str
    width: float
    height: float

    def landscape(self) -> Paper:
        """Its long side level."""
        return Paper(self.name, max(self.width, self.height), min(self.width, self.height))

    def portrait(self) -> Paper:
        """Its long side upright."""
        return Paper(self.name, min(self.width, self.height), max(self.width, self.height))

    @staticmethod
    def roll(width: float, height: float) -> Paper:
        """A piece off a roll [mm]."""
        return Paper("roll", width, height)


LETTER = Paper("Letter", 215.9, 279.4)
TABLOID = Paper("Tabloid", 279.4, 431.8)
A4 = Paper("A4", 210.0, 297.0)
A3 = Paper("A3", 297.0, 420.0)
PAPERS: dict[str, Paper] = {p.name: p for p in (LETTER, TABLOID, A4, A3)}


@dataclass(frozen=True, slots=True)
class Area:
    """A part of a sheet: left, top, width, height [mm]."""

    x: float
    y: float
    width: float
    height: float

    @property
    def box(self) -> Box:
        """(x0, y0, x1, y1)."""
        return (self.x, self.y, self.x + self.width, self.y + self.height)

    def inset(self, by: float) -> Area:
        """The same area, smaller all round [mm]."""
        return Area(self.x + by, self.y + by, self.width - 2.0 * by, self.height - 2.0 * by)

    def top(self, height: float, gap: float = 0.0) -> tuple[Area, Area]:
        """(a strip along the top, what is left below it)."""
        left = Area(self.x, self.y + height + gap, self.width, self.height - height - gap)
        return Area(self.x, self.y, self.width, height), left

    def bottom(self, height: float, gap: float = 0.0) -> tuple[Area, Area]:
        """(a strip along the bottom, what is left above it)."""
        strip = Area(self.x, self.y + self.height - height, self.width, height)
        return strip, Area(self.x, self.y, self.width, self.height - height - gap)

    def left(self, width: float, gap: float = 0.0) -> tuple[Area, Area]:
        """(a strip along the left, what is left beside it)."""
        rest = Area(self.x + width + gap, self.y, self.width - width - gap, self.height)
        return Area(self.x, self.y, width, self.height), rest

    def right(self, width: float, gap: float = 0.0) -> tuple[Area, Area]:
        """(a strip along the right, what is left beside it)."""
        strip = Area(self.x + self.width - width, self.y, width, self.height)
        return strip, Area(self.x, self.y, self.width - width - gap, self.height)

    def columns(self, shares: Sequence[float], gap: float = 6.0) -> tuple[Area, ...]:
        """Side by side, widths in proportion to `shares`."""
        room = self.width - gap * (len(shares) - 1)
        out: list[Area] = []
        x = self.x
        for share in shares:
            wide = room * share / sum(shares)
            out.append(Area(x, self.y, wide, self.height))
            x += wide + gap
        return tuple(out)

    def rows(self, shares: Sequence[float], gap: float = 6.0) -> tuple[Area, ...]:
        """One under another, heights in proportion to `shares`."""
        room = self.height - gap * (len(shares) - 1)
        out: list[Area] = []
        y = self.y
        for share in shares:
            tall = room * share / sum(shares)
            out.append(Area(self.x, y, self.width, tall))
            y += tall + gap
        return tuple(out)


@dataclass(frozen=True, slots=True)
class StatedScale:
    """A scale as it is written on the sheet: size on paper over true size."""

    ratio: float
    text: str


def _inch(numerator: str, ratio: Fraction) -> StatedScale:
    return StatedScale(float(ratio), f'{numerator}" = 1\'-0" (1:{ratio.denominator})')


FULL_SIZE = StatedScale(1.0, "full size (1:1)")
INCH_SCALES: tuple[StatedScale, ...] = (
    FULL_SIZE,
    _inch("6", Fraction(1, 2)),
    _inch("3", Fraction(1, 4)),
    _inch("1-1/2", Fraction(1, 8)),
    _inch("1", Fraction(1, 12)),
    _inch("3/4", Fraction(1, 16)),
    _inch("1/2", Fraction(1, 24)),
    _inch("3/8", Fraction(1, 32)),
    _inch("1/4", Fraction(1, 48)),
    _inch("3/16", Fraction(1, 64)),
    _inch("1/8", Fraction(1, 96)),
    _inch("1/16", Fraction(1, 192)),
)
"""Scales of an inch rule, largest first."""
METRIC_SCALES: tuple[StatedScale, ...] = (
    FULL_SIZE,
    *(StatedScale(1.0 / n, f"1:{n}") for n in (2, 5, 10, 15, 20, 25, 50, 100, 200)),
)
"""Scales of a metric rule (ISO 5455 with the shop's 1:15 and 1:25), largest first."""
SCALES: dict[System, tuple[StatedScale, ...]] = {"inch": INCH_SCALES, "metric": METRIC_SCALES}


@dataclass(frozen=True, slots=True)
class Fitted:
    """A drawing laid at the scale that was chosen for it: its ink about (0, 0) and how far that reaches [mm]."""

    scale: StatedScale
    ink: tuple[Ink, ...]
    box: Box

    @property
    def width(self) -> float:
        """Width on paper, lettering included [mm]."""
        return self.box[2] - self.box[0]

    @property
    def height(self) -> float:
        """Height on paper, lettering included [mm]."""
        return self.box[3] - self.box[1]


Sizes = Sequence[tuple[float, float]]


def laid(drawing: Drawing, scale: StatedScale, most: tuple[float, float] = (math.inf, math.inf)) -> Fitted:
    """A drawing at a given scale, its callouts kept within `most` (width, height) [mm] where they can be."""
    ink = lay(drawing, scale.ratio, most=most)
    return Fitted(scale, ink, extent(ink))


def fit_scale(drawing: Drawing, width: float, height: float, system: System = "inch") -> Fitted:
    """The largest standard scale at which a drawing with all its lettering fits into a room [mm].

    Raises OutputError where even the smallest scale is too large.
    """
    return fit_together((drawing,), ((width, height),), system)[0]


def fit_together(drawings: Sequence[Drawing], rooms: Sizes, system: System = "inch") -> tuple[Fitted, ...]:
    """The largest one standard scale at which each drawing fits into its own (width, height) [mm]."""
    return largest(drawings, lambda fitted: rooms if _all_fit(fitted, rooms) else (), system)


def largest(
    drawings: Sequence[Drawing], rooms: Callable[[Sequence[Fitted]], Sizes], system: System = "inch"
) -> tuple[Fitted, ...]:
    """The drawings at the largest one standard scale at which they can be given room.

    rooms  (width, height) for each drawing, seen without its callouts; empty where there is not room for all

    Raises OutputError where even the smallest scale is too large.
    """
    for scale in SCALES[system]:
        if not rooms([_bare(d, scale) for d in drawings]):
            continue
        given = rooms([_uncalled(d, scale) for d in drawings])
        if not given:
            continue
        fitted = tuple(laid(d, scale, room) for d, room in zip(drawings, given, strict=True))
        if _all_fit(fitted, given):
            return fitted
    raise OutputError(
        "the drawing does not fit on the sheet at any standard scale",
        allowed=f"a room of at least its size at {SCALES[system][-1].text}",
        remedy="Choose larger paper, or give the view more room on the sheet.",
    )


def _all_fit(fitted: Sequence[Fitted], rooms: Sizes) -> bool:
    return all(f.width <= w + 1e-6 and f.height <= h + 1e-6 for f, (w, h) in zip(fitted, rooms, strict=True))


def _bare(drawing: Drawing, scale: StatedScale) -> Fitted:
    f = 1000.0 * scale.ratio
    x0, y0, x1, y1 = drawing.bounds()
    return Fitted(scale, (), (x0 * f, y0 * f, x1 * f, y1 * f))


def _uncalled(drawing: Drawing, scale: StatedScale) -> Fitted:
    return Fitted(scale, (), extent(lay(drawing, scale.ratio, callouts_too=False)))
