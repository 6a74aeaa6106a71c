"""What a template is, and the small things every family draws with: true curves, lettering in a band, arrows."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pitwright.layout.model import Pit
from pitwright.parts import Point2
from pitwright.sheets import lettering
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.lettering import LINE
from pitwright.sheets.sketch import Sketch

STRAY = 2e-5
"""How far the chords of a drawn curve may stray from it [m]."""
_DEEPEST = 14  # halvings of one piece of a curve


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """One template at true size.

    slug     short name for its files, without spaces
    name     what the shop calls it
    marks    piece marks it belongs to
    drawing  at true size [m], as seen with the printed side out
    how      where to lay it, which way round, what meets what
    check    (what it is, the figure): measured on the steel or on the template, it proves the template
    """

    slug: str
    name: str
    marks: tuple[str, ...]
    drawing: Drawing
    how: tuple[str, ...]
    check: tuple[str, str]


def traced(
    curve: Callable[[float], Point2], start: float, end: float, breaks: Sequence[float] = (), pieces: int = 16
) -> tuple[Point2, ...]:
    """Points [m] along a curve given by its running figure, closer together where it bends more.

    breaks  where it has a corner or ends on a rim
    """
    stops = sorted({start, end, *(b for b in breaks if start < b < end)})
    out = [curve(start)]
    for low, high in pairwise(stops):
        marks = [low + (high - low) * i / pieces for i in range(pieces + 1)]
        for a, b in pairwise(marks):
            out.extend(_halved(curve, a, curve(a), b, curve(b), _DEEPEST))
    return tuple(out)


def _halved(
    curve: Callable[[float], Point2], a: float, at_a: Point2, b: float, at_b: Point2, deep: int
) -> tuple[Point2, ...]:
    middle = (a + b) / 2.0
    at = curve(middle)
    dx, dy = at_b[0] - at_a[0], at_b[1] - at_a[1]
    long = math.hypot(dx, dy)
    stray = abs((at[0] - at_a[0]) * dy - (at[1] - at_a[1]) * dx) / long if long > 0.0 else math.dist(at, at_a)
    if deep == 0 or stray <= STRAY / 2.0:
        return (at, at_b)
    return (*_halved(curve, a, at_a, middle, at, deep - 1), *_halved(curve, middle, at, b, at_b, deep - 1))


def lettered(
    s: Sketch, lines: Sequence[tuple[str, float, bool]], x: float, y: float, room: float, deepest: float = -math.inf
) -> float:
    """Lines (text, height [mm], bold) wrapped into `room` [m], from the top left (x, y) [m] down; the height they end at.

    Lettering that would go under `deepest` [m] is left off: every template's page of instructions says it too.
    """
    for text, size, bold in lines:
        for line in lettering.wrap(text, room * 1000.0, size, bold):
            if y - 1.35 * size / 1000.0 < deepest:
                return y
            s.text((x, y), line, height=size, seat="top", bold=bold, plate=True)
            y -= LINE * size / 1000.0
    return y


def arrow(s: Sketch, tail: Point2, tip: Point2, size: float = 0.006) -> None:
    """A struck arrow from `tail` to `tip` [m]."""
    way = math.atan2(tip[1] - tail[1], tip[0] - tail[0])
    s.line(tail, tip, "mark")
    for turn in (math.radians(160.0), math.radians(-160.0)):
        s.line(tip, (tip[0] + size * math.cos(way + turn), tip[1] + size * math.sin(way + turn)), "mark")


def fire_arrow(s: Sketch, pit: Pit, at: Point2, long: float = 0.03) -> None:
    """An arrow towards the fire end, its words over it, for a template seen from outside with stations across.

    `at` is its middle. From outside at the working side the fire lies to the right of a right-hand pit.
    """
    way = float(pit.vessel.hand)
    arrow(s, (at[0] - way * long / 2.0, at[1]), (at[0] + way * long / 2.0, at[1]))
    s.text((at[0], at[1] + 0.002), "fire end", height=3.0, anchor="middle", bold=True, plate=True)


def round_step(pit: Pit, x: float) -> float:
    """A length rounded down to a figure easily found on the shop's tape: whole inches, or 25 mm [m]."""
    step = 0.0254 if pit.tape.inch else 0.025
    return math.floor(x / step + 1e-9) * step
