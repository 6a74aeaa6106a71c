"""Cuts that meet lines along x: what a plane, a round, a head, an outline or a window takes out of each line, exactly.

Used by `pitwright.remains` to add up the steel that is left. A knife also says where, seen along x, it begins and
ends to meet the lines; between those places the length it takes changes smoothly.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pitwright.errors import LayoutError
from pitwright.parts import (
    CylinderCut,
    HeadCut,
    Outline,
    PlaneCut,
    Point2,
    PrismCut,
    Vec,
    Window,
    arc_of,
    cross,
    dot,
    unit,
)

Array = NDArray[np.float64]
Intervals = tuple[Array, Array]
FAR = 1e3
"""Further than any piece reaches [m]."""
_FLAT = 1e-9
_EMPTY = math.inf


@dataclass(frozen=True, slots=True)
class Knife:
    """A cut, ready to meet lines along x.

    taken    (y, z) of n lines -> starts and ends of what is taken out, each n by k
    lines    (a, b, g): the cut begins or ends to meet the lines where a y + b z = g
    circles  (y, z, radius): the same on a circle
    corners  (y, z) of corners of the cut seen along x
    end_on   it runs along x: a line is taken whole or not at all
    """

    taken: Callable[[Array, Array], Intervals]
    lines: tuple[Vec, ...] = ()
    circles: tuple[Vec, ...] = ()
    corners: tuple[Point2, ...] = ()
    end_on: bool = False


def plane_knife(cut: PlaneCut, x0: float = -math.inf, x1: float = math.inf) -> Knife:
    """Takes everything in front of a plane; the lines part where it passes the stations x0 and x1."""
    nx, ny, nz = cut.normal
    d = dot(cut.normal, cut.point)

    def taken(y: Array, z: Array) -> Intervals:
        rest = d - ny * y - nz * z
        if nx > _FLAT:
            return (rest / nx)[:, None], np.full((len(y), 1), _EMPTY)
        if nx < -_FLAT:
            return np.full((len(y), 1), -_EMPTY), (rest / nx)[:, None]
        return np.where(rest < 0.0, -_EMPTY, _EMPTY)[:, None], np.full((len(y), 1), _EMPTY)

    stations = (0.0,) if abs(nx) <= _FLAT else (x for x in (x0, x1) if math.isfinite(x))
    return Knife(taken, lines=tuple((ny, nz, d - nx * x) for x in stations))


def _round_edges(point: Vec, axis: Vec, radius: float) -> tuple[tuple[Vec, ...], tuple[Vec, ...]]:
    """Where a cylinder begins to meet lines along x: two lines, or a circle when its axis lies along x."""
    side = cross(axis, (1.0, 0.0, 0.0))
    n = math.sqrt(dot(side, side))
    if n < 1e-7:
        return (), ((point[1], point[2], radius),)
    middle = dot(side, point) / n
    return tuple((side[1] / n, side[2] / n, middle + r) for r in (-radius, radius)), ()


def _round_roots(point: Vec, axis: Vec, radius: float, y: Array, z: Array) -> tuple[Array, Array, Array]:
    """(middle, half length, distance along the axis at x = 0) of lines along x in a cylinder; half < 0 is a miss."""
    ax, ay, az = axis
    dy, dz = y - point[1], z - point[2]
    along = ay * dy + az * dz - ax * point[0]
    a = 1.0 - ax * ax
    c = point[0] * point[0] + dy * dy + dz * dz - along * along - radius * radius
    if a < 1e-14:
        return np.zeros_like(y), np.where(c < 0.0, FAR, -1.0), along
    middle = (point[0] + ax * along) / a
    square = middle * middle - c / a
    return middle, np.where(square > 0.0, np.sqrt(np.maximum(square, 0.0)), -1.0), along


def cylinder_knife(cut: CylinderCut) -> Knife:
    """Takes the inside of a cylinder, within its reach."""
    axis = unit(cut.axis)
    low, high = cut.reach
    lines, circles = _round_edges(cut.point, axis, cut.radius)
    if abs(axis[0]) < 1e-7:
        base = dot(axis, cut.point)
        lines += tuple((axis[1], axis[2], base + s) for s in (low, high) if math.isfinite(s))

    def taken(y: Array, z: Array) -> Intervals:
        middle, half, along = _round_roots(cut.point, axis, cut.radius, y, z)
        start = np.where(half > 0.0, middle - half, _EMPTY)
        end = middle + half
        if abs(axis[0]) < 1e-7:
            start = np.where((along > low) & (along < high), start, _EMPTY)
        else:
            first, last = (low, high) if axis[0] > 0.0 else (high, low)
            start = np.maximum(start, (first - along) / axis[0])
            end = np.minimum(end, (last - along) / axis[0])
        return start[:, None], np.maximum(start, end)[:, None]

    return Knife(taken, lines=lines, circles=circles, end_on=bool(circles) and not math.isfinite(high - low))


def window_knife(cut: Window) -> Knife:
    """Takes a window out of a round shell."""

    def taken(y: Array, z: Array) -> Intervals:
        turned = np.mod(np.arctan2(y, z) - cut.clock0, 2.0 * math.pi)
        inside = turned <= cut.clock1 - cut.clock0
        return np.where(inside, cut.x0, _EMPTY)[:, None], np.where(inside, cut.x1, _EMPTY)[:, None]

    return Knife(taken, lines=tuple((math.cos(c), -math.sin(c), 0.0) for c in (cut.clock0, cut.clock1)))


@dataclass(frozen=True, slots=True)
class _Edges:
    """An outline as edges that rise or fall steadily in c: straight ones, and arcs t = centre + side sqrt(r2 - c2)."""

    low: Array
    high: Array
    t: Array
    slope: Array
    middle: Array
    radius: Array
    side: Array

    def crossings(self, c: Array) -> Array:
        """Sorted t of all crossings of the level lines c, n by even k, filled up with inf."""
        level = c[:, None]
        across = (self.low <= level) & (level < self.high)
        off = level - self.middle
        t = self.t + self.slope * off + self.side * np.sqrt(np.maximum(self.radius * self.radius - off * off, 0.0))
        t = np.sort(np.where(across, t, _EMPTY), axis=1)
        most = int(across.sum(axis=1).max(initial=0))
        return t[:, : most + most % 2]


def _loops(outline: Outline) -> Iterable[Outline]:
    yield outline
    for hole in outline.holes:
        yield from _loops(hole)


def _split(outline: Outline, turn: Callable[[Point2], Point2], flips: bool) -> _Edges:
    """The outline's edges in the turned plane (t, c), arcs parted at their highest and lowest points."""
    rows: list[tuple[float, ...]] = []
    for loop in _loops(outline):
        points = [turn(p) for p in loop.points]
        for i, bulge in enumerate(loop.bulges):
            p, q = points[i], points[(i + 1) % len(points)]
            if not bulge:
                if p[1] != q[1]:
                    slope = (q[0] - p[0]) / (q[1] - p[1])
                    rows.append((min(p[1], q[1]), max(p[1], q[1]), p[0], slope, p[1], 0.0, 0.0))
                continue
            (ct, cc), radius, start, sweep = arc_of(p, q, -bulge if flips else bulge)
            first, last = sorted((start, start + sweep))
            k0, k1 = math.ceil(first / math.pi - 0.5), math.floor(last / math.pi - 0.5)
            stops = [first, *((k + 0.5) * math.pi for k in range(k0, k1 + 1)), last]
            ends = {first: p[1] if sweep > 0 else q[1], last: q[1] if sweep > 0 else p[1]}
            levels = [ends.get(a, cc + radius * math.sin(a)) for a in stops]
            for (a, ca), (b, cb) in pairwise(zip(stops, levels, strict=True)):
                side = math.copysign(1.0, math.cos((a + b) / 2.0))
                rows.append((min(ca, cb), max(ca, cb), ct, 0.0, cc, radius, side))
    return _Edges(*np.array(rows, dtype=float).reshape(-1, 7).T)


def prism_knife(cut: PrismCut) -> Knife:
    """Takes an outline, right through."""
    ux, vx = cut.u[0], cut.v[0]
    n = math.hypot(ux, vx)
    u0, v0 = dot(cut.u, cut.origin), dot(cut.v, cut.origin)
    if n < 1e-7:
        return _end_on_knife(cut, u0, v0)
    ct, st = ux / n, vx / n
    edges = _split(cut.outline, lambda p: (p[0] * ct + p[1] * st, -p[0] * st + p[1] * ct), False)
    cy, cz = cut.v[1] * ct - cut.u[1] * st, cut.v[2] * ct - cut.u[2] * st
    c0 = v0 * ct - u0 * st
    ty, tz = cut.u[1] * ct + cut.v[1] * st, cut.u[2] * ct + cut.v[2] * st
    t0 = u0 * ct + v0 * st

    def taken(y: Array, z: Array) -> Intervals:
        x = (edges.crossings(cy * y + cz * z - c0) - (ty * y + tz * z - t0)[:, None]) / n
        return x[:, 0::2], x[:, 1::2]

    levels = sorted({*edges.low.tolist(), *edges.high.tolist()})
    return Knife(taken, lines=tuple((cy, cz, c0 + level) for level in levels))


def _end_on_knife(cut: PrismCut, u0: float, v0: float) -> Knife:
    """A prism along x: each line is taken whole or not at all."""
    edges = _split(cut.outline, lambda p: p, False)

    def seen(p: Point2) -> Point2:
        return (
            (p[0] + u0) * cut.u[1] + (p[1] + v0) * cut.v[1],
            (p[0] + u0) * cut.u[2] + (p[1] + v0) * cut.v[2],
        )

    def taken(y: Array, z: Array) -> Intervals:
        u = cut.u[1] * y + cut.u[2] * z - u0
        t = edges.crossings(cut.v[1] * y + cut.v[2] * z - v0)
        inside = np.count_nonzero(t <= u[:, None], axis=1) % 2 == 1
        return np.where(inside, -_EMPTY, _EMPTY)[:, None], np.full((len(y), 1), _EMPTY)

    lines: list[Vec] = []
    circles: list[Vec] = []
    corners: list[Point2] = []
    for loop in _loops(cut.outline):
        for i, bulge in enumerate(loop.bulges):
            p, q = loop.points[i], loop.points[(i + 1) % len(loop.points)]
            (py, pz), (qy, qz) = seen(p), seen(q)
            corners.append((py, pz))
            if bulge:
                centre, radius, _, _ = arc_of(p, q, bulge)
                circles.append((*seen(centre), radius))
            else:
                a, b = pz - qz, qy - py
                lines.append((a, b, a * py + b * pz))
    return Knife(taken, lines=tuple(lines), circles=tuple(circles), corners=tuple(corners), end_on=True)


def end_knife(cut: PlaneCut | CylinderCut | HeadCut, way: int) -> Knife:
    """The end of a bar: takes everything beyond it. way +1 for the end towards +x, -1 for the other.

    A cope stops each line where it first meets the round. A line that passes the round by stops level with it: at
    the plane through the cylinder's axis square to the bar (a head met more along than across its axis: at the
    plane of its tangent line).
    """
    if isinstance(cut, PlaneCut):
        if cut.normal[0] * way <= 1e-6:
            raise LayoutError(
                "this end is cut lengthwise or faces the wrong way",
                field="bar end",
                value=cut.normal,
                allowed="an end that crosses the bar",
                remedy="Turn the cut so that it crosses the bar.",
            )
        return plane_knife(cut)
    axis = unit(cut.axis)
    head = isinstance(cut, HeadCut)
    if not head and 1.0 - axis[0] * axis[0] < 1e-8:
        raise LayoutError(
            "cannot be cut: the round runs along the bar",
            field="bar end",
            value=cut.axis,
            allowed="a round that crosses the bar",
            remedy="Cut this end square, or cut the round's shape out of the side.",
        )
    lines, circles = _round_edges(cut.point, axis, cut.radius)
    if isinstance(cut, HeadCut) and cut.crown:
        return _dished_knife(cut, axis, way, circles)

    def taken(y: Array, z: Array) -> Intervals:
        middle, half, along = _round_roots(cut.point, axis, cut.radius, y, z)
        if isinstance(cut, HeadCut):
            stop = _head_stop(cut, axis, way, y, z, (middle, half, along))
        else:
            stop = middle - way * np.maximum(half, 0.0)
        far = np.full((len(y), 1), way * _EMPTY)
        return (stop[:, None], far) if way > 0 else (far, stop[:, None])

    return Knife(taken, lines=lines, circles=circles)


def _dished_knife(cut: HeadCut, axis: Vec, way: int, rim: tuple[Vec, ...]) -> Knife:
    """A bar along the axis of a head of crown and knuckle: each line stops on the ball or on the knuckle round."""
    if not rim or axis[0] * way > 0.0:
        raise LayoutError(
            "cannot be cut: the bar does not run along the axis of the dished end",
            field="bar end",
            value=cut.axis,
            allowed="a bar that meets the end square on",
            remedy="Set the bar along the vessel.",
        )
    seam, height = cut.seam
    ring = cut.radius - cut.knuckle
    low = math.sqrt(cut.crown**2 - seam * seam) - height

    def taken(y: Array, z: Array) -> Intervals:
        rho = np.hypot(y - cut.point[1], z - cut.point[2])
        on_crown = np.sqrt(np.maximum(cut.crown**2 - rho * rho, 0.0)) - low
        on_knuckle = np.sqrt(np.maximum(cut.knuckle**2 - (rho - ring) ** 2, 0.0))
        out = np.where(rho >= cut.radius, 0.0, np.where(rho <= seam, on_crown, on_knuckle))
        stop = (cut.point[0] + axis[0] * out)[:, None]
        far = np.full((len(y), 1), way * _EMPTY)
        return (stop, far) if way > 0 else (far, stop)

    return Knife(taken, circles=(*rim, (cut.point[1], cut.point[2], seam)))


def _head_stop(cut: HeadCut, axis: Vec, way: int, y: Array, z: Array, cylinder: tuple[Array, Array, Array]) -> Array:
    """Where lines along x, coming from the side -way, first meet a head or the shell behind it."""
    middle, half, along = cylinder
    ax = axis[0]
    if abs(ax) > math.sqrt(0.5):
        level = -along / ax
    else:
        level = middle
    # Shell part: where along + x ax <= 0. Head part: the ellipsoid, where along + x ax >= 0.
    k = (cut.radius / cut.depth) ** 2
    dy, dz = y - cut.point[1], z - cut.point[2]
    a = 1.0 + (k - 1.0) * ax * ax
    b = -cut.point[0] + (k - 1.0) * ax * along
    c = cut.point[0] ** 2 + dy * dy + dz * dz + (k - 1.0) * along * along - cut.radius**2
    square = b * b - a * c
    root = np.sqrt(np.maximum(square, 0.0))
    stop = level
    meets_head = square > 0.0
    meets_shell = half > 0.0
    for meets, low, high, sign in (
        (meets_head, (-b - root) / a, (-b + root) / a, 1.0),
        (meets_shell, middle - half, middle + half, -1.0),
    ):
        first, last = low, high
        if abs(ax) > _FLAT:
            seam = -along / ax
            if sign * ax > 0.0:
                first = np.maximum(low, seam)
            else:
                last = np.minimum(high, seam)
        else:
            meets = meets & (sign * along >= 0.0)
        meets = meets & (first <= last)
        hit = first if way > 0 else last
        stop = np.where(meets, np.minimum(stop, hit) if way > 0 else np.maximum(stop, hit), stop)
    return stop
