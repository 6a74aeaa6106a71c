"""Light solids: every piece as a closed mesh, for pictures, the GLB file and the check that no two pieces overlap.

Rounds are cut into at most 96 facets; their corners stand a little outside and their middles a little inside the true
round, so that areas and volumes are true: on a 1 m vessel the skin is within 0.2 mm, and pieces that touch in truth
may lap by that much. No weight or cutting figure is taken from these meshes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from manifold3d import CrossSection, FillRule, Manifold
from numpy.typing import NDArray

from pitwright.knives import end_knife
from pitwright.meridian import faces
from pitwright.parts import (
    Bar,
    Bought,
    CylinderCut,
    Head,
    HeadCut,
    Outline,
    Part,
    Placement,
    PlaneCut,
    Plate,
    Point2,
    PrismCut,
    Shape,
    Shell,
    Vec,
    Window,
    arc_of,
    cross,
    dot,
    unit,
)
from pitwright.stock import Profile

Array = NDArray[np.float64]
Ring = list[Point2]

_ALONG_X = ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
_MARGIN = 0.01
_MERIDIAN = 20


def facets(radius: float) -> int:
    """How many facets a full round gets; a multiple of four, so that top, bottom and sides are corners."""
    for least, count in ((0.12, 96), (0.04, 64), (0.012, 40)):
        if radius >= least:
            return count
    return 24


def _true_area(step: float) -> float:
    """Factor on the corner radius that gives facets of `step` [rad] the area of the round."""
    return math.sqrt(step / math.sin(step))


def _swept(radius: float, start: float, sweep: float, y: float = 0.0, x: float = 0.0) -> Ring:
    """Corners of an arc round (x, y), angle from +x towards +y, ends on the arc, area of the sector true."""
    n = max(2, math.ceil(abs(sweep) / (2.0 * math.pi) * facets(radius) - 1e-9))
    step = sweep / n
    # (n - 2) r^2 + 2 R r = R^2 x sweep / sin(step): the inner corners' radius r that makes up for the chords.
    r = radius * step / math.sin(step) * n / (1.0 + math.sqrt(1.0 + (n - 2) * n * step / math.sin(step)))
    radii = [radius, *[r] * (n - 1), radius]
    return [(x + r * math.cos(start + i * step), y + r * math.sin(start + i * step)) for i, r in enumerate(radii)]


def _arc(radius: float, clock0: float, clock1: float, y: float = 0.0, z: float = 0.0) -> Ring:
    """Corners (y, z) of an arc in the section plane, clock from +z towards +y."""
    return [(b, a) for a, b in _swept(radius, clock0, clock1 - clock0, y, z)]


def _round(radius: float) -> Ring:
    n = facets(radius)
    step = 2.0 * math.pi / n
    r = radius * _true_area(step)
    return [(r * math.sin(i * step), r * math.cos(i * step)) for i in range(n)]


def _flattened(outline: Outline) -> Iterable[Ring]:
    """The outline and its holes as rings of corners, arcs cut as rounds are."""
    ring: Ring = []
    for i, bulge in enumerate(outline.bulges):
        p, q = outline.points[i], outline.points[(i + 1) % len(outline.points)]
        if bulge:
            (cx, cy), radius, start, sweep = arc_of(p, q, bulge)
            ring += _swept(radius, start, sweep, cy, cx)[:-1]
        else:
            ring.append(p)
    yield ring
    for hole in outline.holes:
        yield from _flattened(hole)


def _drawn(rings: Iterable[Ring]) -> CrossSection:
    return CrossSection([np.array(ring) for ring in rings], FillRule.EvenOdd)


def _moved(solid: Manifold, x: Vec, y: Vec, z: Vec, origin: Vec = (0.0, 0.0, 0.0)) -> Manifold:
    return solid.transform(np.column_stack([x, y, z, origin]))


def _square_to(axis: Vec) -> tuple[Vec, Vec, Vec]:
    """A right-handed frame whose third axis is `axis`."""
    helper = (1.0, 0.0, 0.0) if abs(axis[0]) < 0.9 else (0.0, 1.0, 0.0)
    u = unit(cross(helper, axis))
    return u, cross(axis, u), axis


def _along_x(section: CrossSection, x0: float, x1: float) -> Manifold:
    return _moved(Manifold.extrude(section, x1 - x0), *_ALONG_X, (x0, 0.0, 0.0))


def _turned(ring: Ring, axis: tuple[Vec, Vec, Vec], origin: Vec, radius: float) -> Manifold:
    """The ring (rho, x) turned about an axis."""
    n = facets(radius)
    factor = _true_area(2.0 * math.pi / n)
    section = _drawn([[(rho * factor, x) for rho, x in ring]])
    return _moved(Manifold.revolve(section, n), *axis, origin)


# ---------------------------------------------------------------- cutting


def _reach(solid: Manifold, point: Vec, axis: Vec) -> tuple[float, float]:
    """How far the solid reaches along an axis from a point [m]."""
    b = solid.bounding_box()
    corners = [(b[i], b[j], b[k]) for i in (0, 3) for j in (1, 4) for k in (2, 5)]
    along = [dot((c[0] - point[0], c[1] - point[1], c[2] - point[2]), axis) for c in corners]
    return min(along), max(along)


def _behind(solid: Manifold, point: Vec, normal: Vec) -> Manifold:
    """The part of a solid behind a plane."""
    n = unit(normal)
    return solid.trim_by_plane((-n[0], -n[1], -n[2]), -dot(n, point))


def _without(solid: Manifold, cut: PlaneCut | CylinderCut | PrismCut | Window, outer_radius: float = 0.0) -> Manifold:
    if isinstance(cut, PlaneCut):
        return _behind(solid, cut.point, cut.normal)
    if isinstance(cut, Window):
        wide, tight = outer_radius * 1.2, outer_radius * 0.4
        sector = _arc(wide, cut.clock0, cut.clock1) + _arc(tight, cut.clock1, cut.clock0)
        return solid - _along_x(_drawn([sector]), cut.x0, cut.x1)
    if isinstance(cut, CylinderCut):
        axis = unit(cut.axis)
        low, high = _reach(solid, cut.point, axis)
        low, high = max(low - _MARGIN, cut.reach[0]), min(high + _MARGIN, cut.reach[1])
        return solid if high <= low else solid - _rod(cut.point, axis, cut.radius, low, high)
    w = unit(cross(cut.u, cut.v))
    low, high = _reach(solid, cut.origin, w)
    tool = Manifold.extrude(_drawn(_flattened(cut.outline)), high - low + 2.0 * _MARGIN)
    foot = tuple(o + (low - _MARGIN) * c for o, c in zip(cut.origin, w, strict=True))
    return solid - _moved(tool, cut.u, cut.v, w, (foot[0], foot[1], foot[2]))


def _rod(point: Vec, axis: Vec, radius: float, low: float, high: float) -> Manifold:
    foot = (point[0] + low * axis[0], point[1] + low * axis[1], point[2] + low * axis[2])
    return _moved(Manifold.extrude(_drawn([_round(radius)]), high - low), *_square_to(axis), foot)


def _ended(solid: Manifold, cut: PlaneCut | CylinderCut | HeadCut, way: int) -> Manifold:
    """A bar with one end made; see `pitwright.knives.end_knife` for what a cope does beside the round."""
    if isinstance(cut, PlaneCut):
        return _behind(solid, cut.point, cut.normal)
    axis = unit(cut.axis)
    if isinstance(cut, HeadCut) and abs(axis[0]) > math.sqrt(0.5):
        sign = math.copysign(way, axis[0] * way)
        stop = (axis[0] * sign, axis[1] * sign, axis[2] * sign)
    else:
        ax = axis[0]
        stop = (way * (1.0 - ax * ax), -way * ax * axis[1], -way * ax * axis[2])
    solid = _behind(solid, cut.point, stop)
    low, high = _reach(solid, cut.point, axis)
    if isinstance(cut, CylinderCut):
        return solid - _rod(cut.point, axis, cut.radius, low - _MARGIN, high + _MARGIN)
    behind = min(low - _MARGIN, -_MARGIN)
    ring = [(0.0, behind), (cut.radius, behind), *_outside_of(cut)]
    return solid - _turned(ring, _square_to(axis), cut.point, cut.radius)


def _outside_of(cut: HeadCut) -> Ring:
    """The head's outside as points (rho, x) from the rim to the axis."""
    n = 4 * _MERIDIAN
    if not cut.crown:
        quarter = [i * math.pi / 2.0 / n for i in range(n + 1)]
        return [(cut.radius * math.cos(a), cut.depth * math.sin(a)) for a in quarter]
    seam, height = cut.seam
    turn = math.asin(seam / cut.crown)
    ring, low = cut.radius - cut.knuckle, cut.crown * math.cos(turn) - height
    knuckle = [(math.pi / 2.0 - turn) * i / n for i in range(n)]
    crown = [turn * (1.0 - i / n) for i in range(n + 1)]
    return [
        *((ring + cut.knuckle * math.cos(a), cut.knuckle * math.sin(a)) for a in knuckle),
        *((cut.crown * math.sin(a), cut.crown * math.cos(a) - low) for a in crown),
    ]


# ---------------------------------------------------------------- shapes


def section_rings(profile: Profile, square: bool = False) -> list[Ring]:
    """The edges of a bar's section as rings in (y, z) [m]; `square` leaves tube corners sharp."""
    b, h = profile.width / 2.0, profile.height / 2.0
    if profile.kind == "round":
        return [_round(h)]
    if profile.kind == "pipe":
        return [_round(h), _round(h - profile.wall)]
    if profile.kind == "tube":
        outer = 0.0 if square else profile.corner_radius
        inner = max(outer - profile.wall, 0.0)
        return [_rounded(b, h, outer), _rounded(b - profile.wall, h - profile.wall, inner)]
    t, f = profile.wall, profile.flange
    if profile.kind == "angle":
        return [[(b, -h), (b, h), (b - t, h), (b - t, -h + t), (-b, -h + t), (-b, -h)]]
    if profile.kind == "channel":
        return [[(b, -h), (b, h), (-b, h), (-b, h - f), (b - t, h - f), (b - t, -h + f), (-b, -h + f), (-b, -h)]]
    return [[(-b, -h), (b, -h), (b, h), (-b, h)]]


def _rounded(b: float, h: float, radius: float) -> Ring:
    if radius <= 0.0:
        return [(-b, -h), (b, -h), (b, h), (-b, h)]
    ring: Ring = []
    for k, (sy, sz) in enumerate(((1.0, 1.0), (1.0, -1.0), (-1.0, -1.0), (-1.0, 1.0))):
        ring += _arc(radius, k * math.pi / 2.0, (k + 1) * math.pi / 2.0, sy * (b - radius), sz * (h - radius))
    return ring


def _bar(bar: Bar, square: bool) -> Manifold:
    rings = section_rings(bar.profile, square)
    y, z = np.array(rings[0]).T
    start = end_knife(bar.start, -1).taken(y, z)[1].min()
    finish = end_knife(bar.finish, 1).taken(y, z)[0].max()
    solid = _along_x(_drawn(rings), float(start) - _MARGIN, float(finish) + _MARGIN)
    solid = _ended(_ended(solid, bar.start, -1), bar.finish, 1)
    for cut in bar.cuts:
        solid = _without(solid, cut)
    return solid


def _shell(shell: Shell) -> Manifold:
    inner = shell.outer_radius - shell.wall
    if shell.whole:
        rings = [_round(shell.outer_radius), _round(inner)]
    else:
        rings = [_arc(shell.outer_radius, shell.clock0, shell.clock1) + _arc(inner, shell.clock1, shell.clock0)]
    solid = _along_x(_drawn(rings), 0.0, shell.length)
    for cut in shell.cuts:
        solid = _without(solid, cut, shell.outer_radius)
    return solid


def _head(head: Head) -> Manifold:
    outside, inside = _evened(*faces(head, _MERIDIAN))
    solid = _turned(outside + inside[::-1], _ALONG_X, (0.0, 0.0, 0.0), head.outer_radius)
    for cut in head.cuts:
        solid = _without(solid, cut)
    return solid


def _evened(outside: Ring, inside: Ring) -> tuple[Ring, Ring]:
    """Both faces of a head with their corners moved so that chords keep the plate's area and thickness.

    Square to the plate, the outside corners go out by two thirds of the chords' sagitta, the inside ones follow at
    thickness / cos(half the bend).
    """
    out, within = list(outside), list(inside)
    for i in range(1, min(len(outside), len(inside)) - 1):
        (px, py), (x, y), (qx, qy) = outside[i - 1], outside[i], outside[i + 1]
        bend = math.atan2(y - py, x - px) - math.atan2(qy - y, qx - x)
        thick = math.hypot(x - inside[i][0], y - inside[i][1])
        nx, ny = (x - inside[i][0]) / thick, (y - inside[i][1]) / thick
        lift = bend * (math.hypot(x - px, y - py) + math.hypot(qx - x, qy - y)) / 24.0
        out[i] = (x + lift * nx, y + lift * ny)
        deep = lift - thick / math.cos(bend / 2.0)
        within[i] = (x + deep * nx, y + deep * ny)
    return out, within


def _bought(thing: Bought) -> Manifold:
    a, b, c = thing.size
    x, y, z = thing.centre
    if thing.form == "cylinder":
        return _along_x(_drawn([_round(b / 2.0)]), -a / 2.0, a / 2.0).translate((x, y, z))
    return Manifold.cube((a, b, c), True).translate((x, y, z))


@lru_cache(maxsize=1024)
def solid_of(shape: Shape, square: bool = False) -> Manifold:
    """The mesh solid of a shape in its own frame [m]; `square` leaves tube corners sharp, for pictures."""
    if isinstance(shape, Bar):
        return _bar(shape, square)
    if isinstance(shape, Plate):
        return Manifold.extrude(_drawn(_flattened(shape.outline)), shape.thickness)
    if isinstance(shape, Shell):
        return _shell(shape)
    if isinstance(shape, Head):
        return _head(shape)
    return _bought(shape)


def placed(solid: Manifold, placement: Placement) -> Manifold:
    """A solid where a copy stands; left-handed copies are turned over."""
    return _moved(solid, placement.x, placement.y, placement.z, placement.origin)


def pit_solids(parts: Iterable[Part], square: bool = False) -> list[tuple[Part, int, Manifold]]:
    """Every copy of every part as (part, copy number from 0, solid in the pit frame)."""
    return [
        (part, copy, placed(solid_of(part.shape, square), placement))
        for part in parts
        for copy, placement in enumerate(part.placements)
    ]


def triangles(solid: Manifold) -> tuple[Array, NDArray[np.int64]]:
    """Corners (n by 3) [m] and triangles (m by 3) of a solid."""
    mesh = solid.to_mesh64()
    return np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts, dtype=np.int64)


# ---------------------------------------------------------------- pieces in one place


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlap:
    """Two copies in one place.

    volume  they share [m3]; depth: its mean thickness, 2 x volume / surface [m]
    low, high  corners of the box around it, in the pit frame [m]
    """

    first: Part
    first_copy: int
    second: Part
    second_copy: int
    volume: float
    depth: float
    low: Vec
    high: Vec


def overlaps(parts: Sequence[Part], tolerance: float = 0.5e-3) -> tuple[Overlap, ...]:
    """Copies that share steel deeper than `tolerance` [m], deepest first.

    Facets alone make touching rounds lap by up to 0.2 mm on a 1 m vessel; keep the tolerance above that.
    """
    solids = pit_solids(parts)
    boxes = np.array([solid.bounding_box() for _, _, solid in solids]).reshape(-1, 6)
    low, high = boxes[:, None, :3], boxes[:, None, 3:]
    meet = (np.minimum(high, high.transpose(1, 0, 2)) - np.maximum(low, low.transpose(1, 0, 2))).min(axis=2)
    found = []
    for i, j in np.argwhere(np.triu(meet > tolerance, 1)).tolist():
        shared = solids[i][2] ^ solids[j][2]
        volume = shared.volume()
        if volume <= 0.0:
            continue
        depth = 2.0 * volume / shared.surface_area()
        if depth > tolerance:
            b = shared.bounding_box()
            found.append(
                Overlap(
                    first=solids[i][0],
                    first_copy=solids[i][1],
                    second=solids[j][0],
                    second_copy=solids[j][1],
                    volume=volume,
                    depth=depth,
                    low=(b[0], b[1], b[2]),
                    high=(b[3], b[4], b[5]),
                )
            )
    return tuple(sorted(found, key=lambda o: (-o.depth, o.first.mark, o.second.mark)))
