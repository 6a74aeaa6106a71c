"""Strips that wrap round a pipe and carry the line of its cut end, generator lines numbered, with a tab to tape."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from pitwright.geometry.numeric import turning_values
from pitwright.layout.model import Pit
from pitwright.parts import Point2
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.shapes import Motion
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.templates.record import lettered, traced
from pitwright.sheets.views.common import pit_sketch
from pitwright.tape import INCH, MILLIMETRE

_NUMBER = 3.5  # lettering of the line numbers [mm]


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """What a strip is made from.

    title    first line of its lettering
    reach    distance along the pipe from any square datum to its end, by clock [m, rad]; the pipe lies beyond it
    radius   outside, of the pipe [m]
    lines    how many generator lines
    sides    what some lines stand on, by number
    breaks   clocks at which the cut has a corner [rad]
    notes    further lines of its lettering
    """

    title: str
    reach: Callable[[float], float]
    radius: float
    lines: int
    sides: Mapping[int, str]
    breaks: tuple[float, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StripFigures:
    """Sizes of a strip [m].

    girth  once round the pipe: pi x outside diameter
    tab    past line 0, to go under
    band   from the strip's straight edge to the cut where the pipe is shortest
    depth  how much longer the pipe is at its longest side
    most   reach where the pipe is shortest
    """

    girth: float
    tab: float
    band: float
    depth: float
    most: float

    @property
    def tall(self) -> float:
        """From the straight edge to the cut where the pipe is longest [m]."""
        return self.band + self.depth

    @property
    def straight(self) -> float:
        """Reach of the strip's straight edge [m]."""
        return self.most + self.band


def strip_figures(pit: Pit, strip: Strip) -> StripFigures:
    """Sizes of the strip; the band is a round figure of the shop's tape."""
    _, least, _, most = turning_values(strip.reach, max(48, 3 * strip.lines))
    inch = pit.tape.inch
    return StripFigures(
        girth=2.0 * math.pi * strip.radius,
        tab=INCH if inch else 25.0 * MILLIMETRE,
        band=2.0 * INCH if inch else 50.0 * MILLIMETRE,
        depth=most - least,
        most=most,
    )


def strip_curve(pit: Pit, strip: Strip, over: float = 0.0) -> tuple[Point2, ...]:
    """The cut on the strip: tape from line 0, height over the cut where the pipe is shortest (0 or less) [m].

    The cut end hangs down. over: how far the curve goes on past the last line, on the tab [m].
    """
    figures = strip_figures(pit, strip)

    def at(clock: float) -> Point2:
        return (strip.radius * clock, strip.reach(math.remainder(clock, 2.0 * math.pi)) - figures.most)

    turn = 2.0 * math.pi
    breaks = [b % turn + k * turn for b in strip.breaks for k in (0, 1)]
    return traced(at, 0.0, turn + over / strip.radius, (turn, *breaks), pieces=max(strip.lines, 16))


def strip_drawing(pit: Pit, strip: Strip, *, turned_over: bool = False) -> Drawing:
    """The strip at true size, printed side out, cut end down, clock growing to the right.

    turned_over: clock growing to the left (a left-hand piece).
    """
    figures = strip_figures(pit, strip)
    s = pit_sketch(pit)
    girth, tab, top = figures.girth, figures.tab, figures.band
    whole = strip_curve(pit, strip, tab)
    last = next(i for i, p in enumerate(whole) if p[0] >= girth - 1e-9)
    curve, on_tab = whole[: last + 1], whole[last:]
    s.lines(curve, "cut")
    s.lines(((0.0, curve[0][1]), (0.0, top), (girth, top), (girth, curve[-1][1])), "outline")
    s.lines(((girth, top), (girth + tab, top), (girth + tab, on_tab[-1][1])), "hidden")
    s.lines(on_tab, "hidden")
    step = girth / strip.lines
    every = 1 if step > 0.012 else 2
    for number in range(strip.lines + 1):
        x = number * step
        y = strip.reach(math.remainder(x / strip.radius, 2.0 * math.pi)) - figures.most
        if 0 < number < strip.lines:
            s.line((x, top), (x, y), "mark" if number in strip.sides else "thin")
        if number % every:
            continue
        if figures.band - y > 0.1 and 0 < number < strip.lines:
            at = (x, y + 0.01)
            s.text(at, str(number), height=_NUMBER, anchor="middle", bold=True, plate=True)
        aside = 0.0035 if number == 0 else -0.0035 if number == strip.lines else 0.0
        s.text(
            (x + aside, top - 0.003), str(number), height=_NUMBER, anchor="middle", seat="top", bold=True, plate=True
        )
    named = sorted(strip.sides)
    for number in named:
        x = number * step + (0.0022 if number < strip.lines else -0.0022)
        name = strip.sides[number]
        s.text(
            (x, top - 0.009), name, height=2.8, anchor="right", seat="top", angle=math.pi / 2.0, bold=True, plate=True
        )
    s.text(
        (girth + tab / 2.0, top - 0.009),
        "tab: goes under line 0",
        height=2.5,
        anchor="right",
        seat="middle",
        angle=math.pi / 2.0,
        plate=True,
    )
    _words(s, strip, figures, named, step)
    drawing = s.drawing()
    return drawing.through(Motion.mirror((girth / 2.0, 0.0))) if turned_over else drawing


def _words(s: Sketch, strip: Strip, figures: StripFigures, named: Sequence[int], step: float) -> None:
    """Lettering in the gaps between named lines: what it is, then how it lies."""
    stops = [n * step for n in named] + [figures.girth]
    first, room = stops[0] + 0.008, stops[1] - stops[0] - 0.014
    floor = -0.2 * figures.depth + 0.003
    size = 2.6 if room > 0.06 else 2.0
    what: list[tuple[str, float, bool]] = [(strip.title, 1.3 * size, True)]
    what.append(("printed side out; this straight edge square round the pipe", size, False))
    lettered(s, what, first, figures.band - 0.009, room, floor)
    if len(stops) > 2:
        how: list[tuple[str, float, bool]] = [(n, size, False) for n in strip.notes]
        lettered(s, how, stops[1] + 0.008, figures.band - 0.009, stops[2] - stops[1] - 0.014, floor)


def strip_lines(pit: Pit, strip: Strip) -> tuple[str, ...]:
    """How any strip is laid."""
    figures, tape = strip_figures(pit, strip), pit.tape
    return (
        f"Cut the strip out along its straight edge, line 0 and the heavy curve; leave the tab on. Wrap it round the pipe, "
        f"printed side out, the curve towards the end to be cut. Line {strip.lines} lies on line 0, tab under.",
        f"Both ends of the straight edge must meet: then it is square. It stands {tape.length(figures.band)} back from the cut "
        f"where the pipe is shortest and {tape.fine(figures.tall)} from it where the pipe is longest.",
        f"Its length is pi x the outside of the pipe, {tape.fine(figures.girth)}. If line {strip.lines} misses line 0 by more than "
        f"{tape.length(2.0 * tape.step)}, the pipe is not the one listed: measure its tape-around and print again.",
    )
