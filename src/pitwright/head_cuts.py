"""What an opening cut straight along its axis takes out of a vessel head, by a sum along the opening's edge.

Over a point of the end view the steel is T(rho) high, so the volume over a region is the integral of T dA. By Green's
theorem that is the integral of F(rho) d(theta) round its edge, F(rho) = integral of T r dr from the axis out; moments
alike. F is summed once along the meridian and read between by cubic Hermite pieces (its slope T rho is known). The
edge is summed by Gauss points, arcs as arcs. Good to about 1e-5 of the opening.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from pitwright.meridian import Array, face_lines
from pitwright.parts import CylinderCut, Head, Outline, Point2, PrismCut, arc_of, unit
from pitwright.remains import Left

_END_ON = 1e-7
_SPANS = 64


def _nodes(order: int, spans: int) -> tuple[Array, Array]:
    """Gauss points and weights on 0 to 1, in so many even spans."""
    g, w = np.polynomial.legendre.leggauss(order)
    return ((np.arange(spans)[:, None] + 0.5 + g / 2.0) / spans).ravel(), np.tile(w / (2.0 * spans), spans)


_ALONG = _nodes(3, _SPANS)
_EDGE = _nodes(6, 12)


# ---------------------------------------------------------------- the head, summed from its axis out


@dataclass(frozen=True, slots=True)
class _Sums:
    """Running sums from the axis out to rho: of x r, x2 r / 2 and x r2, with the height x at rho."""

    rho: Array
    x: Array
    sums: Array

    def at(self, rho: Array) -> Array:
        """The three sums out to any rho, 3 by n; what lies beyond the last one counts nothing."""
        k = np.clip(np.searchsorted(self.rho, rho, side="right") - 1, 0, len(self.rho) - 2)
        a, b, xa, xb = self.rho[k], self.rho[k + 1], self.x[k], self.x[k + 1]
        h = b - a
        t = np.clip((rho - a) / h, 0.0, 1.0)
        s = 1.0 - t
        rise_a = np.array([xa * a, xa * xa * a / 2.0, xa * a * a])
        rise_b = np.array([xb * b, xb * xb * b / 2.0, xb * b * b])
        ends = self.sums[:, k] * (s * s * (1.0 + 2.0 * t)) + self.sums[:, k + 1] * (t * t * (3.0 - 2.0 * t))
        return np.asarray(ends + h * (rise_a * (t * s * s) - rise_b * (t * t * s)))


def _under_face(head: Head, offset: float) -> _Sums:
    """Running sums under one face of a formed head."""
    shares, weights = _ALONG
    x: list[Array] = []
    rho, sums = [np.zeros(1)], [np.zeros((3, 1))]
    knots = face_lines(head, offset, np.arange(_SPANS + 1) / _SPANS)
    for (r, z, slope), (knot_r, knot_z, _) in zip(face_lines(head, offset, shares), knots, strict=True):
        step = slope * weights
        steps = np.array([z * r * step, z * z * r * step / 2.0, z * r * r * step])
        sums.append(sums[-1][:, -1:] + np.cumsum(steps.reshape(3, _SPANS, -1).sum(axis=2), axis=1))
        rho.append(knot_r[1:])
        x.append(knot_z[1 if x else 0 :])
    return _Sums(np.concatenate(rho), np.concatenate(x), np.concatenate(sums, axis=1))


def _level(height: float, rho: Array) -> Array:
    """The same sums under a level face."""
    return np.array([height * rho**2 / 2.0, height**2 * rho**2 / 4.0, height * rho**3 / 3.0])


def _steel(head: Head, rho: Array) -> Array:
    """Sums of the steel's height, of its moment about the tangent line, and of height x radius, out to rho."""
    rho = np.minimum(rho, head.outer_radius)
    if head.kind == "flat":
        return _level(head.depth, rho)
    bore = head.outer_radius - head.wall
    beyond = np.maximum(rho, bore)
    flange = _level(-head.flange, beyond) - _level(-head.flange, np.full_like(rho, bore))
    return _under_face(head, head.wall).at(rho) - _under_face(head, 0.0).at(np.minimum(rho, bore)) - flange


# ---------------------------------------------------------------- openings


def end_view(cut: PrismCut | CylinderCut) -> Outline | None:
    """The opening as an outline in (y, z), None where it does not run along x or is not endless."""
    if isinstance(cut, CylinderCut):
        axis = unit(cut.axis)
        if 1.0 - abs(axis[0]) > _END_ON**2 or math.isfinite(cut.reach[1] - cut.reach[0]):
            return None
        return Outline.circle(cut.point[1], cut.point[2], cut.radius)
    if math.hypot(cut.u[0], cut.v[0]) > _END_ON:
        return None
    return _seen(cut, cut.outline)


def _seen(cut: PrismCut, outline: Outline) -> Outline:
    u, v, o = cut.u, cut.v, cut.origin
    flips = u[1] * v[2] - u[2] * v[1] < 0.0
    points = tuple((o[1] + a * u[1] + b * v[1], o[2] + a * u[2] + b * v[2]) for a, b in outline.points)
    bulges = tuple(-b for b in outline.bulges) if flips else outline.bulges
    return Outline(points, bulges, tuple(_seen(cut, hole) for hole in outline.holes))


def apart(outlines: Sequence[Outline]) -> bool:
    """Whether the boxes round the outlines keep clear of each other."""
    boxes = [outline.bounds() for outline in outlines]
    return not any(
        a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3] for i, a in enumerate(boxes) for b in boxes[:i]
    )


def taken_out(head: Head, opening: Outline) -> Left:
    """Volume and first moments of the steel an opening along x takes out of an uncut head [m3, m4]."""
    edges = [edge for loop, sign in _loops(opening, 1.0) for edge in _walked(loop, sign)]
    y, z, dy, dz = (np.concatenate(column) for column in zip(*edges, strict=True))
    square = np.maximum(y * y + z * z, 1e-24)
    turn = (y * dz - z * dy) / square
    volume, arm, across = _steel(head, np.sqrt(square))
    rho = np.sqrt(square)
    return (
        float(volume @ turn),
        float(arm @ turn),
        float((across * y / rho) @ turn),
        float((across * z / rho) @ turn),
    )


def _loops(outline: Outline, sign: float) -> Iterator[tuple[Outline, float]]:
    """Every loop with +1 where what it holds is taken, -1 where it stays."""
    yield outline, sign
    for hole in outline.holes:
        yield from _loops(hole, -sign)


def _walked(loop: Outline, sign: float) -> Iterator[tuple[Array, Array, Array, Array]]:
    """Gauss points along a loop and its steps there, walked to the left; sign -1 walks it the other way."""
    shares, weights = _EDGE
    found = []
    area = 0.0
    n = len(loop.points)
    for i, bulge in enumerate(loop.bulges):
        p, q = loop.points[i], loop.points[(i + 1) % n]
        y, z, dy, dz = _edge(p, q, bulge, shares)
        area += float((y * dz - z * dy) @ weights) / 2.0
        found.append((y, z, dy * weights, dz * weights))
    way = sign * math.copysign(1.0, area)
    return ((y, z, dy * way, dz * way) for y, z, dy, dz in found)


def _edge(p: Point2, q: Point2, bulge: float, shares: Array) -> tuple[Array, Array, Array, Array]:
    if not bulge:
        dy, dz = q[0] - p[0], q[1] - p[1]
        return p[0] + dy * shares, p[1] + dz * shares, np.full_like(shares, dy), np.full_like(shares, dz)
    (cy, cz), radius, start, sweep = arc_of(p, q, bulge)
    angle = start + sweep * shares
    out, up = radius * np.cos(angle), radius * np.sin(angle)
    return cy + out, cz + up, -up * sweep, out * sweep
