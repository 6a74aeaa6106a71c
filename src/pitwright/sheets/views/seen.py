"""How one copy of a piece looks from an eye: its edges, the patch of paper it covers, and how near it is.

Edges turned away from the eye are left out; what other pieces hide is worked out in `pitwright.sheets.views.layers`.
Rounds seen end-on stay true circles and arcs; bars end where their cuts really end them. A hollow piece covers its bore
too, and a coped one covers what its near side does: behind the far side stands what it is coped to.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from pitwright.knives import end_knife
from pitwright.meridian import faces
from pitwright.parts import (
    Bar,
    Bought,
    CylinderCut,
    Head,
    Outline,
    Part,
    Placement,
    PlaneCut,
    Plate,
    Point2,
    Shape,
    Shell,
    Vec,
    bulge_of,
    cross,
    dot,
)
from pitwright.sheets.shapes import Circle, Line, Polyline, Primitive
from pitwright.sheets.views.eye import Eye
from pitwright.stock import Profile

_ROUND, _ROD = 48, 16  # points on a bar's round section, where it is not seen end-on; on a thin rod's
_THIN = 0.03  # [m]
_EDGE_ON = 1e-6
_END_ON = 1e-9
_FLAT = 2e-4  # how far an arc seen aslant may stray [m]


@dataclass(frozen=True, slots=True)
class Seen:
    """A copy as it is seen.

    edges   lines, runs and circles on the paper [m]
    covers  closed rings of paper on which it hides what is behind it [m]
    holes   rings in them that can be looked through [m]
    near    its nearest point to the eye [m]
    """

    edges: tuple[Primitive, ...]
    covers: tuple[tuple[Point2, ...], ...]
    near: float
    holes: tuple[tuple[Point2, ...], ...] = ()


def see(part: Part, placement: Placement, eye: Eye) -> Seen:
    """A copy of a piece from an eye."""
    return see_shape(part.shape, placement, eye)


def see_shape(shape: Shape, placement: Placement, eye: Eye) -> Seen:
    """A shape, placed, from an eye."""
    if isinstance(shape, Bar):
        return _bar(shape, placement, eye)
    if isinstance(shape, Plate):
        return _plate(shape, placement, eye)
    if isinstance(shape, Shell):
        return _shell(shape, placement, eye)
    if isinstance(shape, Head):
        return _head(shape, placement, eye)
    return _bought(shape, placement, eye)


# ---------------------------------------------------------------- bars


def section_corners(profile: Profile) -> tuple[list[Point2], bool]:
    """The outer edge of a bar's section as (y, z), turning left, tube corners sharp; and whether it is round."""
    b, h, t, f = profile.width / 2.0, profile.height / 2.0, profile.wall, profile.flange
    if profile.kind in ("pipe", "round"):
        count = _ROUND if h > _THIN else _ROD
        turns = [2.0 * math.pi * i / count for i in range(count)]
        return [(h * math.cos(a), h * math.sin(a)) for a in turns], True
    if profile.kind == "angle":
        return [(b, -h), (b, h), (b - t, h), (b - t, -h + t), (-b, -h + t), (-b, -h)], False
    if profile.kind == "channel":
        web = b - t
        return [(b, -h), (b, h), (-b, h), (-b, h - f), (web, h - f), (web, -h + f), (-b, -h + f), (-b, -h)], False
    return [(-b, -h), (b, -h), (b, h), (-b, h)], False


def bar_ends(bar: Bar) -> tuple[list[Vec], list[Vec]]:
    """Corners of a bar's start and finish in its own frame [m], where its end cuts leave them."""
    corners, _ = section_corners(bar.profile)
    y, z = (np.array(column) for column in zip(*corners, strict=True))
    start = end_knife(bar.start, -1).taken(y, z)[1][:, 0]
    finish = end_knife(bar.finish, 1).taken(y, z)[0][:, 0]
    return (
        [(float(x), *c) for x, c in zip(start, corners, strict=True)],
        [(float(x), *c) for x, c in zip(finish, corners, strict=True)],
    )


def _bar(bar: Bar, placement: Placement, eye: Eye) -> Seen:
    corners, is_round = section_corners(bar.profile)
    n = len(corners)
    starts, finishes = ([placement.point(p) for p in end] for end in bar_ends(bar))
    turned = _turned_left(corners)
    front = []
    for i, (y, z) in enumerate(corners):
        dy, dz = corners[(i + 1) % n][0] - y, corners[(i + 1) % n][1] - z
        normal = placement.direction((0.0, turned * dz, -turned * dy))
        front.append(dot(normal, eye.toward) > _EDGE_ON * math.hypot(dy, dz))
    low, high = eye.points(starts), eye.points(finishes)
    edges: list[Primitive] = []
    rings: list[tuple[Point2, ...]] = []
    for ends, cut in ((low, bar.start), (high, bar.finish)):
        if isinstance(cut, PlaneCut) and dot(placement.direction(cut.normal), eye.toward) > _EDGE_ON:
            edges.extend(_end_face(bar, placement, eye, ends, cut, is_round=is_round))
            rings.append(tuple(ends))
        else:
            edges.extend(_run([ends[i % n] for i in run]) for run in _runs(front))
    for i in range(n):
        sides = (front[i - 1], front[i])
        if (sides[0] != sides[1]) if is_round else any(sides):
            edges.append(Line(low[i], high[i]))
    for run in _runs(front):
        rings.append(tuple([low[i % n] for i in run] + [high[i % n] for i in reversed(run)]))
    cut_edges, holes = _cut_through(bar, placement, eye)
    near = max(eye.near(p) for p in (*starts, *finishes))
    return Seen((*edges, *cut_edges), tuple(rings), near, holes)


def _cut_through(
    bar: Bar, placement: Placement, eye: Eye
) -> tuple[tuple[Primitive, ...], tuple[tuple[Point2, ...], ...]]:
    """Holes and slots that are looked straight through: their edges, and the rings of paper they leave open."""
    edges: list[Primitive] = []
    rings: list[tuple[Point2, ...]] = []
    for cut in bar.cuts:
        if isinstance(cut, CylinderCut):
            if abs(abs(dot(placement.direction(cut.axis), eye.toward)) - 1.0) < _END_ON:
                centre = eye.point(placement.point(cut.point))
                edges.append(Circle(centre, cut.radius))
                rings.append(Outline.circle(*centre, cut.radius).flattened(_FLAT))
            continue
        own = Placement(
            origin=placement.point(cut.origin),
            x=placement.direction(cut.u),
            y=placement.direction(cut.v),
            z=placement.direction(cross(cut.u, cut.v)),
        )
        if abs(abs(dot(own.z, eye.toward)) - 1.0) < _END_ON:
            edges.append(_on_paper(cut.outline, own, eye))
            rings.append(tuple(_flat(cut.outline, own, eye, 0.0)))
    return tuple(edges), tuple(rings)


def _end_face(
    bar: Bar, placement: Placement, eye: Eye, ends: list[Point2], cut: PlaneCut, *, is_round: bool
) -> Iterator[Primitive]:
    """The edge of an end that faces the eye, and of its bore where it is looked into squarely."""
    square = abs(abs(dot(placement.x, eye.toward)) - 1.0) < _END_ON
    if not square:
        yield Polyline(tuple(ends), closed=True)
        return
    centre = eye.point(placement.point((dot(cut.point, cut.normal) / cut.normal[0], 0.0, 0.0)))
    half, wall = bar.profile.height / 2.0, bar.profile.wall
    if is_round:
        yield Circle(centre, half)
        if bar.profile.kind == "pipe":
            yield Circle(centre, half - wall)
        return
    yield Polyline(tuple(ends), closed=True)
    if bar.profile.kind == "tube":
        share_y, share_z = 1.0 - 2.0 * wall / bar.profile.width, 1.0 - 2.0 * wall / bar.profile.height
        corners = [(y * share_y, z * share_z) for y, z in section_corners(bar.profile)[0]]
        yield Polyline(tuple(eye.points(placement.point((0.0, y, z)) for y, z in corners)), closed=True)


def _turned_left(ring: Sequence[Point2]) -> float:
    """+1 where a ring turns left, -1 where it turns right."""
    n = len(ring)
    twice = sum(ring[i][0] * ring[(i + 1) % n][1] - ring[(i + 1) % n][0] * ring[i][1] for i in range(n))
    return math.copysign(1.0, twice)


def _runs(front: Sequence[bool]) -> Iterator[list[int]]:
    """Corner numbers of each unbroken run of sides that face the eye, not taken round modulo n."""
    n = len(front)
    if all(front):
        yield list(range(n + 1))
        return
    first = next((i for i in range(n) if front[i] and not front[i - 1]), None)
    if first is None:
        return
    i = first
    while i < first + n:
        if not front[i % n]:
            i += 1
            continue
        run = [i]
        while front[i % n] and i < first + n:
            i += 1
            run.append(i)
        yield run


def _run(points: Sequence[Point2]) -> Primitive:
    """A run of points as one line where they lie on one."""
    a = min(points)
    b = max(points)
    length = math.dist(a, b)
    if length > 0.0:
        ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
        if all(abs((p[1] - a[1]) * ux - (p[0] - a[0]) * uy) < 1e-7 for p in points):
            return Line(a, b)
    return Polyline(tuple(points))


# ---------------------------------------------------------------- plates


def _plate(plate: Plate, placement: Placement, eye: Eye) -> Seen:
    outline, t = plate.outline, plate.thickness
    facing = dot(placement.z, eye.toward)
    x0, y0, x1, y1 = outline.bounds()
    near = max(eye.near(placement.point((x, y, z))) for x in (x0, x1) for y in (y0, y1) for z in (0.0, t))
    top = t if facing > 0.0 else 0.0
    if abs(abs(facing) - 1.0) < _END_ON:
        edges_on = tuple(_on_paper(loop, placement, eye) for loop in _loops(outline))
        rings = tuple(tuple(_flat(loop, placement, eye, top)) for loop in _loops(outline))
        return Seen(edges_on, rings[:1], near, rings[1:])
    both = [*_flat(outline, placement, eye, 0.0), *_flat(outline, placement, eye, t)]
    around = hull(both)
    edges: list[Primitive] = [Polyline(around, closed=True)]
    if abs(facing) > _EDGE_ON:
        edges += [Polyline(tuple(_flat(loop, placement, eye, top)), closed=True) for loop in _loops(outline)]
    return Seen(tuple(edges), (around,), near)


def _loops(outline: Outline) -> Iterator[Outline]:
    yield outline
    for hole in outline.holes:
        yield from _loops(hole)


def _flat(loop: Outline, placement: Placement, eye: Eye, z: float) -> list[Point2]:
    return eye.points(placement.point((x, y, z)) for x, y in loop.flattened(_FLAT))


def _on_paper(loop: Outline, placement: Placement, eye: Eye) -> Primitive:
    """A loop seen square on, its arcs still arcs."""
    points = tuple(eye.points(placement.point((x, y, 0.0)) for x, y in loop.points))
    if len(points) == 2 and all(abs(abs(b) - 1.0) < 1e-12 for b in loop.bulges):
        (ax, ay), (bx, by) = points
        return Circle(((ax + bx) / 2.0, (ay + by) / 2.0), math.dist(*points) / 2.0)
    ax, ay = dot(placement.x, eye.right), dot(placement.x, eye.up)
    bx, by = dot(placement.y, eye.right), dot(placement.y, eye.up)
    hand = math.copysign(1.0, ax * by - ay * bx)
    return Polyline(points, tuple(hand * b for b in loop.bulges), closed=True)


def hull(points: Sequence[Point2]) -> tuple[Point2, ...]:
    """Corners of the tight convex ring round points, turning left (Andrew's monotone chain)."""
    ordered = sorted({(round(x, 9), round(y, 9)) for x, y in points})
    if len(ordered) < 3:
        return tuple(ordered)

    def chain(line: Sequence[Point2]) -> list[Point2]:
        out: list[Point2] = []
        for p in line:
            while len(out) > 1 and _turn(out[-2], out[-1], p) <= 1e-12:
                out.pop()
            out.append(p)
        return out[:-1]

    return tuple(chain(ordered) + chain(ordered[::-1]))


def _turn(a: Point2, b: Point2, c: Point2) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


# ---------------------------------------------------------------- rounds


def _shell(shell: Shell, placement: Placement, eye: Eye) -> Seen:
    """A round shell or a sector of one, seen along its axis or square to it.

    A whole shell counts as near as its axis, so that what lies on it, or meets it from this side, is before it.
    """
    r = shell.outer_radius
    ends = [placement.point((x, 0.0, 0.0)) for x in (0.0, shell.length)]
    reach = max(eye.near(p) for p in ends)
    if abs(dot(placement.x, eye.toward)) > 0.5:
        centre = eye.point(ends[0])
        if shell.whole:
            ring = Outline.circle(*centre, r).flattened(_FLAT)
            return Seen((Circle(centre, r),), (ring,), reach)
        sector = _sector(shell, placement, eye)
        return Seen((Polyline(sector.points, sector.bulges, closed=True),), (sector.flattened(_FLAT),), reach)
    middle = math.atan2(dot(placement.y, eye.toward), dot(placement.z, eye.toward))
    span = _facing(shell, middle)
    if span is None:
        return Seen((), (), reach)
    lo, hi = span

    def at(x: float, clock: float) -> Point2:
        return eye.point(placement.point((x, r * math.sin(clock), r * math.cos(clock))))

    ring = (at(0.0, lo), at(shell.length, lo), at(shell.length, hi), at(0.0, hi))
    nearest = min(max(middle, lo), hi)
    stands = 0.0 if shell.whole else r * math.cos(nearest - middle)
    return Seen((Polyline(ring, closed=True),), (ring,), reach + stands)


def _facing(shell: Shell, middle: float) -> tuple[float, float] | None:
    """The clocks of a shell that face the eye."""
    quarter = math.pi / 2.0
    if shell.whole:
        return middle - quarter, middle + quarter
    for turn in (0.0, 2.0 * math.pi, -2.0 * math.pi):
        lo, hi = max(shell.clock0, middle + turn - quarter), min(shell.clock1, middle + turn + quarter)
        if hi - lo > 1e-9:
            return lo, hi
    return None


def _sector(shell: Shell, placement: Placement, eye: Eye) -> Outline:
    """The ring sector of a shell seen along its axis."""
    radii = (shell.outer_radius, shell.outer_radius - shell.wall)
    (a, b), (c, d) = (
        [
            eye.point(placement.point((0.0, r * math.sin(k), r * math.cos(k))))
            for r, k in zip(radii, clocks, strict=True)
        ]
        for clocks in ((shell.clock0, shell.clock0), (shell.clock1, shell.clock1))
    )
    centre = eye.point(placement.origin)
    sweep = shell.clock1 - shell.clock0
    turn = math.atan2(a[1] - centre[1], a[0] - centre[0])
    quarter = placement.point((0.0, radii[0] * math.sin(shell.clock0 + 0.1), radii[0] * math.cos(shell.clock0 + 0.1)))
    ahead = eye.point(quarter)
    left = math.remainder(math.atan2(ahead[1] - centre[1], ahead[0] - centre[0]) - turn, 2.0 * math.pi) > 0.0
    bulge = bulge_of(sweep) * (1.0 if left else -1.0)
    return Outline((a, c, d, b), (bulge, 0.0, -bulge, 0.0))


def _head(head: Head, placement: Placement, eye: Eye) -> Seen:
    """A head from its end, or from the side, where it counts as near as its axis."""
    outside, _ = faces(head, 24)
    tip = eye.near(placement.point((head.depth, 0.0, 0.0)))
    if abs(dot(placement.x, eye.toward)) > 0.5:
        centre = eye.point(placement.origin)
        ring = Outline.circle(*centre, head.outer_radius).flattened(_FLAT)
        return Seen((Circle(centre, head.outer_radius),), (ring,), max(tip, eye.near(placement.origin)))
    across = placement.y if abs(dot(placement.y, eye.toward)) < 0.5 else placement.z
    reach = eye.near(placement.origin)

    def at(rho: float, x: float) -> Point2:
        o, a = placement.origin, placement.x
        p = (
            o[0] + x * a[0] + rho * across[0],
            o[1] + x * a[1] + rho * across[1],
            o[2] + x * a[2] + rho * across[2],
        )
        return eye.point(p)

    points = [at(rho, x) for rho, x in reversed(outside)] + [at(-rho, x) for rho, x in outside[1:]]
    return Seen((Polyline(tuple(points), closed=True),), (tuple(points),), reach)


def _bought(thing: Bought, placement: Placement, eye: Eye) -> Seen:
    a, b, c = (s / 2.0 for s in thing.size)
    x, y, z = thing.centre
    if thing.form == "cylinder":
        turns = [2.0 * math.pi * i / _ROUND for i in range(_ROUND)]
        corners = [(x + s * a, y + b * math.cos(t), z + b * math.sin(t)) for s in (-1.0, 1.0) for t in turns]
    else:
        signs = (-1.0, 1.0)
        corners = [(x + i * a, y + j * b, z + k * c) for i in signs for j in signs for k in signs]
    placed = [placement.point(p) for p in corners]
    around = hull(eye.points(placed))
    return Seen((Polyline(around, closed=True),), (around,), max(eye.near(p) for p in placed))
