"""A base that rocks, and a base out of square: from four or six measured heights and two diagonals."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from pitwright.errors import LayoutError
from pitwright.findings import Finding
from pitwright.tape import INCH, Tape

LEVEL = INCH / 32.0
"""A rock less than this is left alone: half a 1/16 in."""

SKEW_LEFT = INCH / 8.0
"""Skew up to this is left alone (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FootHeight:
    """A foot's place [m] and its measured height: how far its sole is over a level line (or the floor's own height
    under it taken negative) [m]."""

    name: str
    x: float
    y: float
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Rock:
    """How a base rocks.

    gaps      clear gap under each foot when it rests on three, the others pressed down [m]
    rests_on  the feet it rests on
    shims     what to put under each foot so that all touch and none is cut [m]
    trims     what to cut off each leg instead, so that all touch [m]
    winding   how far the fourth corner is out of the plane of the other three [m]
    """

    gaps: tuple[tuple[str, float], ...]
    rests_on: tuple[str, ...]
    shims: tuple[tuple[str, float], ...]
    trims: tuple[tuple[str, float], ...]
    winding: float


def _heights(three: Sequence[FootHeight], feet: Sequence[FootHeight]) -> list[float]:
    """Each foot's height over the plane through three of them."""
    plane = np.linalg.solve(np.array([(1.0, f.x, f.y) for f in three]), np.array([f.height for f in three]))
    return [f.height - float(plane @ (1.0, f.x, f.y)) for f in feet]


def rock(feet: Sequence[FootHeight], centre: tuple[float, float]) -> Rock:
    """How the base stands on a true floor, its weight over `centre` (x, y) [m].

    It rests on the three feet whose plane no other foot pierces and whose triangle holds the weight.
    """
    if len(feet) < 4:
        raise LayoutError("a base with three feet cannot rock", field="feet", value=len(feet), allowed="4 or more")
    best: tuple[float, tuple[FootHeight, ...], list[float]] | None = None
    for three in combinations(feet, 3):
        (x1, y1), (x2, y2), (x3, y3) = ((f.x, f.y) for f in three)
        det = (x2 - x1) * (y3 - y1) - (x3 - x1) * (y2 - y1)
        if abs(det) < 1e-9:
            continue
        b = ((centre[0] - x1) * (y3 - y1) - (x3 - x1) * (centre[1] - y1)) / det
        c = ((x2 - x1) * (centre[1] - y1) - (centre[0] - x1) * (y2 - y1)) / det
        shares = (1.0 - b - c, b, c)
        if min(shares) < -1e-9:
            continue
        gaps = _heights(three, feet)
        pierced = max(0.0, -min(gaps))
        if best is None or pierced < best[0] - 1e-12:
            best = (pierced, three, gaps)
    if best is None:
        raise LayoutError("the weight is not over the feet", field="centre", value=centre, allowed="inside the base")
    gaps = [g if g > 1e-12 else 0.0 for g in best[2]]
    return Rock(
        gaps=tuple((f.name, g) for f, g in zip(feet, gaps)),
        rests_on=tuple(f.name for f in best[1]),
        shims=tuple((f.name, g) for f, g in zip(feet, gaps) if g > 0.0),
        trims=_trims(feet),
        winding=_winding(feet),
    )


def _trims(feet: Sequence[FootHeight]) -> tuple[tuple[str, float], ...]:
    """Cut the long legs to the plane through the feet that need least cutting in all."""
    best: list[float] | None = None
    for three in combinations(feet, 3):
        (x1, y1), (x2, y2), (x3, y3) = ((f.x, f.y) for f in three)
        if abs((x2 - x1) * (y3 - y1) - (x3 - x1) * (y2 - y1)) < 1e-9:
            continue
        cuts = [-g for g in _heights(three, feet)]
        if min(cuts) >= -1e-9 and (best is None or sum(cuts) < sum(best)):
            best = cuts
    found = best if best is not None else [max(f.height for f in feet) - f.height for f in feet]
    return tuple((f.name, c) for f, c in zip(feet, found) if c > 1e-9)


def _winding(feet: Sequence[FootHeight]) -> float:
    xs, ys = [f.x for f in feet], [f.y for f in feet]
    mid_x, mid_y = (min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0

    def corner(right: bool, up: bool) -> float:
        found = max(feet, key=lambda f: (1 if right else -1) * (f.x - mid_x) + (1 if up else -1) * (f.y - mid_y))
        return found.height

    return (corner(True, True) - corner(False, True)) - (corner(True, False) - corner(False, False))


@dataclass(frozen=True, slots=True, kw_only=True)
class Skew:
    """A rectangle out of square: how far one side has run ahead of the other, and by what angle [m, rad]."""

    shift: float
    angle: float


def skew(length: float, width: float, first: float, second: float) -> Skew:
    """Skew of a base from its two diagonals [m]: (d1^2 - d2^2) / (4 L), the exact form of diff x D / (2 L).

    A parallelogram with sides L and w; the shift is measured along L.
    """
    if min(length, width, first, second) <= 0.0:
        raise LayoutError("sizes must be over 0", field="base", value=min(length, width, first, second))
    shift = (first**2 - second**2) / (4.0 * length)
    if abs(shift) >= width:
        raise LayoutError(
            "these diagonals do not belong to this base",
            field="diagonals",
            value=(first, second),
            allowed="close to each other",
            remedy="Measure both again, corner to corner on the same edge.",
        )
    return Skew(shift=shift, angle=math.asin(shift / width))


def skew_findings(found: Skew, tape: Tape) -> tuple[Finding, ...]:
    """Which rail has run ahead, and how to bring it back."""
    if abs(found.shift) < LEVEL:
        return ()
    ahead, behind = ("working", "back") if found.shift > 0.0 else ("back", "working")
    return (
        Finding(
            code="stand.skew",
            severity="note" if abs(found.shift) <= SKEW_LEFT else "warn",
            text=f"The base is out of square: the {ahead} rail has run {tape.length(abs(found.shift), tape.step / 2.0)} past the "
            f"{behind} one toward the stack end.",
            pieces=("rails",),
            remedy=f"Pull the longer diagonal together until the {ahead} rail goes back by it, before the cross members are "
            "welded out; or move the leg marks by as much."
            if abs(found.shift) > SKEW_LEFT
            else "Leave it: under 1/8 in of skew no leg stands cocked.",
            source="(d1² - d2²) / (4 L)",
        ),
    )


def rock_findings(found: Rock, tape: Tape) -> tuple[Finding, ...]:
    """Which leg to shim, or which to trim."""
    if not found.shims or max(g for _, g in found.shims) < LEVEL:
        return ()
    shims = ", ".join(f"{name} {tape.length(g)}" for name, g in found.shims if g >= LEVEL)
    trims = ", ".join(f"{name} {tape.length(t)}" for name, t in found.trims if t >= LEVEL)
    return (
        Finding(
            code="stand.rocks",
            severity="warn",
            text=f"On a true floor it rests on {', '.join(found.rests_on)}; clear of the floor: {shims}. "
            f"In winding by {tape.length(abs(found.winding))}.",
            pieces=tuple(name for name, _ in found.shims),
            remedy=f"Shim {shims}." + (f" Or trim {trims}, once, and try again." if trims else ""),
            source="plane through three feet",
        ),
    )
