"""Ends of a straight tube or pipe, plane or coped to a round: lengths along every edge, curves, templates.

A tube runs along its own axis from an origin; `across` and `deep` [m] place a line in its section, and an end's
`reach` is the distance along the tube from the origin to the end on that line [m]. Sections are centred on the axis.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Literal

from pitwright.errors import LayoutError
from pitwright.geometry.curves import Template, wrap_template
from pitwright.geometry.numeric import lowest, require_positive, within
from pitwright.geometry.planes import TubeAxes, cut_normal
from pitwright.geometry.round import sagitta
from pitwright.parts import Vec, dot, unit

FaceName = Literal["outer", "inner", "front", "back"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaneEnd:
    """An end cut by a plane that meets the tube's axis at `at` [m]; `normal` in the tube's axes, along it."""

    at: float
    normal: Vec

    def reach(self, across: float, deep: float) -> float:
        """Distance along the tube to the end on a line of its section [m]."""
        return self.at - (self.normal[0] * across + self.normal[1] * deep) / self.normal[2]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundEnd:
    """An end coped to the outside of a cylinder.

    radius       of the cylinder [m]
    point, axis  a point [m] and the unit direction of its axis, in the tube's origin and axes
    far          the tube starts on the far side of the cylinder (it runs away from it) instead of ending on the near
    """

    radius: float
    point: Vec
    axis: Vec
    far: bool = False

    def reach(self, across: float, deep: float) -> float:
        """Distance along the tube to the end on a line of its section [m]."""
        start = (across - self.point[0], deep - self.point[1], -self.point[2])
        near, far = _round_hits(start, (0.0, 0.0, 1.0), self.axis, self.radius)
        return far if self.far else near


End = PlaneEnd | RoundEnd


def _round_hits(start: Vec, direction: Vec, axis: Vec, radius: float) -> tuple[float, float]:
    """Both distances along a unit direction at which a line meets a cylinder about an axis through the origin."""
    slope, offset = dot(direction, axis), dot(start, axis)
    across = 1.0 - slope * slope
    half = dot(start, direction) - offset * slope
    # Clearance of the line from the axis, squared: from the part of the start square to the axis and the line.
    square = half * half - across * (dot(start, start) - offset * offset - radius * radius)
    if across < 1e-12 or square < 0.0:
        raise LayoutError(
            "this line misses the round",
            field="line",
            value=start,
            allowed="a line that passes nearer to the axis than the radius",
            remedy="Lean it more, or bring its foot nearer.",
        )
    root = math.sqrt(square)
    return (-half - root) / across, (-half + root) / across


def plane_end(axes: TubeAxes, origin: Vec, point: Vec, normal: Vec) -> PlaneEnd:
    """A plane end from a point [m] and normal in the pit; `origin` is where the tube's reaches start."""
    own = cut_normal(axes, normal)
    off = axes.seen((point[0] - origin[0], point[1] - origin[1], point[2] - origin[2]))
    return PlaneEnd(at=dot(own, off) / own[2], normal=own)


def round_end(
    axes: TubeAxes,
    origin: Vec,
    radius: float,
    *,
    point: Vec = (0.0, 0.0, 0.0),
    axis: Vec = (1.0, 0.0, 0.0),
    far: bool = False,
) -> RoundEnd:
    """A coped end from a cylinder in the pit (the vessel: about x); `origin` is where the tube's reaches start [m]."""
    require_positive("radius", radius)
    off = axes.seen((point[0] - origin[0], point[1] - origin[1], point[2] - origin[2]))
    return RoundEnd(radius=radius, point=off, axis=axes.seen(unit(axis)), far=far)


@dataclass(frozen=True, slots=True, kw_only=True)
class TubeLengths:
    """Lengths between a tube's two ends [m].

    centre       along its axis
    corners      along its four edges: (+across, +deep), (-across, +deep), (-across, -deep), (+across, -deep)
    long_point   greatest length anywhere on the outside; short_point the least
    """

    centre: float
    corners: tuple[float, float, float, float]
    long_point: float
    short_point: float


def tube_lengths(start: End, finish: End, width: float, depth: float) -> TubeLengths:
    """Lengths of a rectangular tube, `width` across and `depth` deep [m], between two ends."""
    require_positive("width", width)
    require_positive("depth", depth)
    if (isinstance(start, RoundEnd) and not start.far) or (isinstance(finish, RoundEnd) and finish.far):
        raise LayoutError(
            "the tube runs through the round it should stop at",
            field="end",
            allowed="a start on the far side of a round, a finish on its near side",
        )
    half, other = width / 2.0, depth / 2.0

    def length(across: float, deep: float) -> float:
        return finish.reach(across, deep) - start.reach(across, deep)

    corners = (length(half, other), length(-half, other), length(-half, -other), length(half, -other))
    # A coped length dips between the corners and never rises between them: only its least needs a search.
    shortest = min(corners)
    if isinstance(start, RoundEnd) or isinstance(finish, RoundEnd):
        for sign in (1.0, -1.0):
            shortest = min(
                shortest,
                _dip(partial(length, sign * half), other),
                _dip(partial(_swapped, length, sign * other), half),
            )
    return TubeLengths(centre=length(0.0, 0.0), corners=corners, long_point=max(corners), short_point=shortest)


def _dip(length: Callable[[float], float], half: float) -> float:
    """Least of a length with one valley over -half to half [m]; searched only where both ends run downhill."""
    low, high, step = length(-half), length(half), 1e-6 * half
    if length(step - half) < low and length(half - step) < high:
        return lowest(length, -half, half)[1]
    return min(low, high)


def _swapped(function: Callable[[float, float], float], second: float, first: float) -> float:
    return function(first, second)


def face_curve(
    end: End, face: FaceName, width: float, depth: float, points: int = 25
) -> tuple[tuple[float, float], ...]:
    """The end's edge on one outside face, as (distance from the face's middle, reach) [m], for a paper template.

    outer, inner: the faces at +across and -across, drawn over `deep`; front, back: at +deep and -deep, over `across`.
    """
    if points < 2:
        raise LayoutError("a curve needs two points or more", field="points", value=points, allowed="2 or more")
    side = 1.0 if face in ("outer", "front") else -1.0
    over = depth if face in ("outer", "inner") else width
    marks = [over * (k / (points - 1) - 0.5) for k in range(points)]
    if face in ("outer", "inner"):
        return tuple((t, end.reach(side * width / 2.0, t)) for t in marks)
    return tuple((t, end.reach(t, side * depth / 2.0)) for t in marks)


def pipe_wrap(end: End, radius: float, steps: int, *, finish: bool) -> Template:
    """The wrap for a pipe leg's end; clock 0 is the +across side. `finish`: the pipe ends here, else it starts here.

    Its reaches are counted from the tube's origin towards the rest of the pipe, so a finish has them negative.
    """
    way = -1.0 if finish else 1.0
    return wrap_template(
        lambda clock: way * end.reach(radius * math.cos(clock), radius * math.sin(clock)), radius, steps
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ArcTemplate:
    """The cut on a tube's side face where a leg that leans one way only meets a round: a true arc of its radius.

    radius      of the arc [m]
    difference  how much longer the tube is along its outer edge than along its inner edge [m]
    chord       straight between the two edge marks [m], `off_square` [rad]
    rise        of the arc over the middle of that chord, into the tube [m]
    """

    radius: float
    difference: float
    chord: float
    off_square: float
    rise: float


def arc_template(radius: float, miss: float, width: float) -> ArcTemplate:
    """The arc for a tube `width` wide whose axis passes the round's axis at a distance `miss` [m]."""
    require_positive("radius", radius)
    require_positive("width", width)
    half = width / 2.0
    within("miss", abs(miss) + half, 0.0, radius, "both edges of the tube nearer to the axis than the radius")
    inner, outer = miss - half, miss + half
    # sqrt(R2 - inner2) - sqrt(R2 - outer2), without loss of digits.
    height = math.sqrt(max((radius - inner) * (radius + inner), 0.0))
    low = math.sqrt(max((radius - outer) * (radius + outer), 0.0))
    difference = 2.0 * miss * width / (height + low) if miss != 0.0 else 0.0
    chord = math.hypot(width, difference)
    return ArcTemplate(
        radius=radius,
        difference=difference,
        chord=chord,
        off_square=math.atan2(difference, width),
        rise=sagitta(radius, chord),
    )
