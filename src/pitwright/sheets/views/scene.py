"""The pit itself in a view: its pieces with what hides what, seams and fittings on the skin, piece marks."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable

from pitwright.layout.model import Pit, PlacedFitting, VesselLayout
from pitwright.parts import Vec
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.shapes import Line, Polyline
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.views.eye import Eye
from pitwright.sheets.views.layers import Look, Shown, Trace, look

_ON_SKIN = 1e-3
_LEAST_SHOWN = 2.5e-3  # a piece that shows less of itself gets no balloon [m2]


def draw_pit(sketch: Sketch, pit: Pit, eye: Eye, *, dashed: Collection[str] = (), slack: float = 0.0) -> Look:
    """Draw every piece that shows from an eye, and the seams and fittings of the vessel; gives back what shows.

    slack  as `layers.look` has it: 0 on paper
    """
    through = [p.mark for p in pit.parts if p.group == "stack" and p.name == "stack"] if pit.stack.reach_in else []
    seen = look(pit.parts, eye, traces=_traces(pit, eye), through=through, dashed=dashed, slack=slack)
    sketch.add(Drawing(seen.lines))
    return seen


def _traces(pit: Pit, eye: Eye) -> Iterable[Trace]:
    """Seams as thin lines where they face the eye, fittings of the shell as the rounds they are; none along the axis."""
    vessel = pit.vessel
    if abs(eye.toward[2 if vessel.on_end else 0]) > 0.5:
        return
    if vessel.on_end:
        near, side = vessel.outer_radius + _ON_SKIN, math.atan2(eye.toward[0], eye.toward[1])
    else:
        near = eye.near((0.0, 0.0, vessel.centre_z)) + _ON_SKIN
        side = math.atan2(eye.toward[1], eye.toward[2])
    for x in vessel.girth_seams:
        ends = [eye.point(vessel.skin(x, side + s * math.pi / 2.0)) for s in (-1.0, 1.0)]
        yield Trace((Line(*ends),), near, title="girth seam")
    for keep in vessel.keep_outs:
        clock = (keep.clock0 + keep.clock1) / 2.0
        if "seam" not in keep.name or keep.name.startswith("girth") or math.cos(clock - side) < 0.02:
            continue
        ends = [eye.point(vessel.skin(x, clock)) for x in (keep.x0, keep.x1)]
        yield Trace((Line(*ends),), near, title=keep.name)
    for fitting in vessel.fittings:
        if fitting.on != "shell" or fitting.plan == "cut away" or math.cos(fitting.clock - side) < 0.02:
            continue
        ring = eye.points(_rim(vessel, fitting))
        yield Trace((Polyline(tuple(ring), closed=True),), near + _ON_SKIN, title=fitting.name)


def _rim(vessel: VesselLayout, fitting: PlacedFitting) -> list[Vec]:
    """The round of a fitting of the shell, flat where it stands on the skin [m]."""
    c, s, half = math.cos(fitting.clock), math.sin(fitting.clock), fitting.size / 2.0
    x, y, z = vessel.skin(fitting.x, fitting.clock)
    turns = [2.0 * math.pi * k / 32 for k in range(32)]
    if vessel.on_end:
        return [(x + half * math.cos(a) * c, y - half * math.cos(a) * s, z + half * math.sin(a)) for a in turns]
    return [(x + half * math.cos(a), y + half * math.sin(a) * c, z - half * math.sin(a) * s) for a in turns]


def balloons(
    sketch: Sketch, shown: Iterable[Shown], centre: tuple[float, float], leave: Collection[str] = ()
) -> list[str]:
    """A piece mark on every piece that shows enough of itself, led away from the middle of the view.

    leave  marks that stand in another view already. Gives back the marks drawn.
    """
    best: dict[str, Shown] = {}
    for one in shown:
        if one.part.mark in leave or one.area < _LEAST_SHOWN:
            continue
        if one.part.mark not in best or one.area > best[one.part.mark].area:
            best[one.part.mark] = one
    for mark, one in sorted(best.items()):
        dx, dy = one.spot[0] - centre[0], one.spot[1] - centre[1]
        sketch.balloon(one.spot, mark, toward=math.atan2(dy, dx or 1e-9), title=one.part.name)
    return sorted(best)
