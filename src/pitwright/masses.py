"""Weight and centre of gravity of every piece, from its exact shape. No meshes, no B-rep kernel: fast enough to drag.

    Bar      table weight per length x mean length of what the cuts leave (volume over section area). Plane ends in
             closed form; copes, notches and holes by `pitwright.remains`, rounded corners included.
    Plate    outline moments in closed form (Green's theorem, arcs exact) x thickness.
    Shell    ring or sector less its windows, holes and sloping ends, by `pitwright.remains`.
    Head     `pitwright.geometry.heads` (plate of even thickness, true ellipse outside) less its cuts.
    Bought   as stated.

Against the B-rep kernel they agree within 0.03 % of the piece on random shapes and 0.01 % on the pits of examples/ (most of
it the kernel's own; tests/solid/test_step.py, benchmarks/bench_solids.py).
Left out everywhere: weld metal, mill scale, paint, bevels. A cut that reaches through two walls takes from both.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from pitwright.errors import LayoutError
from pitwright.head_cuts import apart, end_view, taken_out
from pitwright.knives import Knife, cylinder_knife, end_knife, plane_knife, prism_knife, window_knife
from pitwright.meridian import bends, head_form, stands_out
from pitwright.parts import (
    Bar,
    Bought,
    CylinderCut,
    Head,
    Part,
    PlaneCut,
    Plate,
    Shape,
    Shell,
    ShellCutting,
    Vec,
    Window,
)
from pitwright.remains import Left, Row, Threads, disc_threads, left_over, ring_threads, wall_threads
from pitwright.stock import STEEL_DENSITY, Profile


@dataclass(frozen=True, slots=True, kw_only=True)
class Mass:
    """A weight and where it acts [kg, m]."""

    mass: float
    centre: Vec


@dataclass(frozen=True, slots=True, kw_only=True)
class Volume:
    """Steel of a shape and its centroid in the shape's own frame [m3, m]."""

    volume: float
    centre: Vec


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """A sum of weights, in one frame.

    mass     [kg]; centre [m], the frame's origin where nothing weighs
    assumed  the share of it whose weight is stated, not solved from shape [kg]
    """

    mass: float
    centre: Vec
    assumed: float = 0.0


# ---------------------------------------------------------------- sections of bars


def section_walls(profile: Profile) -> tuple[tuple[float, float, float, float, float], ...]:
    """Straight walls (y0, z0, y1, z1, thickness) of a profile's section [m]; none where it is round.

    Seen along +x from the start (y to the left, z up): an angle's heel is bottom left, a channel's back is left.
    """
    b, h, t, f = profile.width / 2.0, profile.height / 2.0, profile.wall, profile.flange
    if profile.kind == "tube":
        r = profile.corner_radius
        y, z = b - t / 2.0, h - t / 2.0
        walls = (
            (-b + r, z, b - r, z, t),
            (-b + r, -z, b - r, -z, t),
            (y, -h + r, y, h - r, t),
            (-y, -h + r, -y, h - r, t),
        )
        return tuple(w for w in walls if math.hypot(w[2] - w[0], w[3] - w[1]) > 1e-9)
    if profile.kind == "angle":
        return ((b - t / 2.0, -h, b - t / 2.0, h, t), (-b, -h + t / 2.0, b - t, -h + t / 2.0, t))
    if profile.kind == "channel":
        y = b - t / 2.0
        flanges = tuple((-b, s * (h - f / 2.0), b - t, s * (h - f / 2.0), f) for s in (-1.0, 1.0))
        return ((y, -h, y, h, t), *flanges)
    if profile.kind == "flat":
        return ((0.0, -h, 0.0, h, 2.0 * b),) if h >= b else ((-b, 0.0, b, 0.0, 2.0 * h),)
    return ()


def _section_threads(profile: Profile, lines: Sequence[Vec] = ()) -> Threads:
    """Threads of a profile, parted across its walls where a cut's edge runs inside one."""
    rows: list[Row] = []
    for wall in section_walls(profile):
        rows += wall_threads(*wall, lines)
    half = profile.height / 2.0
    if profile.kind == "tube":
        r = profile.corner_radius
        inner = max(r - profile.wall, 0.0)
        for k, (sy, sz) in enumerate(((1.0, 1.0), (1.0, -1.0), (-1.0, -1.0), (-1.0, 1.0))):
            middle = sy * (profile.width / 2.0 - r), sz * (half - r)
            rows += ring_threads(inner, r, k * math.pi / 2.0, (k + 1) * math.pi / 2.0, *middle, lines)
    elif profile.kind == "pipe":
        rows += ring_threads(half - profile.wall, half, -math.pi, math.pi, lines=lines)
    elif profile.kind == "round":
        touching = sorted({0.0, half, *(r for r in (abs(g) / math.hypot(a, b) for a, b, g in lines) if r < half)})
        rows += disc_threads(touching)
    return Threads.of(rows)


@lru_cache(maxsize=256)
def _section(profile: Profile) -> tuple[float, float, float, float, float, float]:
    """Moments of a section about the bar's axis: area, y, z, yy, yz, zz [m2 .. m4]."""
    threads = _section_threads(profile)
    g, w = np.polynomial.legendre.leggauss(8)
    share = np.concatenate([(k + 0.5 + g / 2.0) / 4.0 for k in range(4)])
    y, z = threads.at(np.broadcast_to(share, (len(threads.area), 32)))
    area = threads.area[:, None] * np.tile(w / 8.0, 4)
    moments = [float((area * f).sum()) for f in (np.ones_like(y), y, z, y * y, y * z, z * z)]
    return moments[0], moments[1], moments[2], moments[3], moments[4], moments[5]


def section_area(profile: Profile) -> float:
    """Area of the section as drawn: nominal walls, tube corners round, angle and channel corners sharp [m2]."""
    return _section(profile)[0]


def _slope(cut: PlaneCut) -> tuple[float, float, float]:
    """x = c + a y + b z on a plane: (c, a, b)."""
    nx, ny, nz = cut.normal
    x, y, z = cut.point
    return x + (ny * y + nz * z) / nx, -ny / nx, -nz / nx


def _plane_ended(bar: Bar, start: PlaneCut, finish: PlaneCut) -> Left | None:
    """Volume and first moments of an uncut bar between two planes, None where they cross inside it."""
    (c1, a1, b1), (c2, a2, b2) = _slope(start), _slope(finish)
    c, a, b = c2 - c1, a2 - a1, b2 - b1
    if c < abs(a) * bar.profile.width / 2.0 + abs(b) * bar.profile.height / 2.0:
        return None
    area, y, z, yy, yz, zz = _section(bar.profile)

    def squared(c: float, a: float, b: float) -> float:
        return c * c * area + a * a * yy + b * b * zz + 2.0 * (c * a * y + c * b * z + a * b * yz)

    return (
        c * area + a * y + b * z,
        (squared(c2, a2, b2) - squared(c1, a1, b1)) / 2.0,
        c * y + a * yy + b * yz,
        c * z + a * yz + b * zz,
    )


def _bar(bar: Bar) -> Left:
    knives = [end_knife(bar.start, -1), end_knife(bar.finish, 1), *(knife_of(cut) for cut in bar.cuts)]
    if not bar.cuts and isinstance(bar.start, PlaneCut) and isinstance(bar.finish, PlaneCut):
        closed = _plane_ended(bar, bar.start, bar.finish)
        if closed is not None:
            return closed
    return left_over(_section_threads(bar.profile, [line for knife in knives for line in knife.lines]), knives)


# ---------------------------------------------------------------- plates, shells, heads


def _plate(plate: Plate) -> Left:
    area, x, y = plate.outline.moments()
    t = plate.thickness
    return area * t, x * t, y * t, area * t * t / 2.0


def knife_of(cut: ShellCutting, length: float = math.inf) -> Knife:
    """A cut of a shell, head or bar, ready to meet lines along x; `length` of the shell it is in [m]."""
    if isinstance(cut, PlaneCut):
        return plane_knife(cut, 0.0, length)
    if isinstance(cut, CylinderCut):
        return cylinder_knife(cut)
    if isinstance(cut, Window):
        return window_knife(cut)
    return prism_knife(cut)


def _shell(shell: Shell) -> Left:
    inner, outer = shell.outer_radius - shell.wall, shell.outer_radius
    if not shell.cuts:
        turn = shell.clock1 - shell.clock0
        volume = (outer * outer - inner * inner) * turn / 2.0 * shell.length
        arm = (outer**3 - inner**3) / 3.0 * shell.length
        return (
            volume,
            volume * shell.length / 2.0,
            arm * (math.cos(shell.clock0) - math.cos(shell.clock1)),
            arm * (math.sin(shell.clock1) - math.sin(shell.clock0)),
        )
    threads = Threads.of(ring_threads(inner, outer, shell.clock0, shell.clock1))
    return left_over(threads, [knife_of(cut, shell.length) for cut in shell.cuts], 0.0, shell.length)


def _head(head: Head) -> Left:
    figures = head_form(head).figures()
    volume, arm = figures.plate_volume, figures.plate_volume * figures.plate_centroid
    if not head.cuts:
        return volume, arm, 0.0, 0.0
    openings = [outline for outline in map(end_view, head.cuts) if outline is not None]
    if len(openings) == len(head.cuts) and apart(openings):
        out = [taken_out(head, outline) for outline in openings]
        v, x, y, z = (math.fsum(column) for column in zip(*out, strict=True))
        return volume - v, arm - x, -y, -z
    knives = [knife_of(cut) for cut in head.cuts]
    slanting = any(not knife.end_on for knife in knives)
    threads = Threads.of(disc_threads(_radii(head, knives, 12 if slanting else 2)))
    first, last = stands_out(head, threads.radius)
    whole = left_over(threads, (), first, last)
    left = left_over(threads, knives, first, last, 32 if slanting else 4)
    return volume + left[0] - whole[0], arm + left[1] - whole[1], left[2] - whole[2], left[3] - whole[3]


def _radii(head: Head, knives: Iterable[Knife], pieces: int) -> list[float]:
    """Radii at which a head's rings are parted: evenly, at its own bends, and where the cuts touch a ring."""
    radius = head.outer_radius
    found = [radius * k / pieces for k in range(pieces + 1)] + list(bends(head))
    for knife in knives:
        found += [abs(g) / math.hypot(a, b) for a, b, g in knife.lines]
        found += [math.hypot(y, z) for y, z in knife.corners]
        for y, z, r in knife.circles:
            found += [abs(math.hypot(y, z) - r), math.hypot(y, z) + r]
    stops = sorted(r for r in found if r <= radius)
    return [r for i, r in enumerate(stops) if i == 0 or r - stops[i - 1] > 1e-9 * radius]


# ---------------------------------------------------------------- what others ask


@lru_cache(maxsize=1024)
def volume_of(shape: Shape) -> Volume:
    """Steel of a shape [m3] and its centroid [m], cuts taken off. A bought thing counts as its envelope."""
    if isinstance(shape, Bar):
        volume, x, y, z = _bar(shape)
    elif isinstance(shape, Plate):
        volume, x, y, z = _plate(shape)
    elif isinstance(shape, Shell):
        volume, x, y, z = _shell(shape)
    elif isinstance(shape, Head):
        volume, x, y, z = _head(shape)
    else:
        a, b, c = shape.size
        share = math.pi / 4.0 if shape.form == "cylinder" else 1.0
        return Volume(volume=a * b * c * share, centre=shape.centre)
    if not volume > 0.0:
        raise LayoutError(
            "the cuts leave nothing of this piece",
            field=type(shape).__name__.lower(),
            value=volume,
            allowed="some steel left between the cuts",
            remedy="Look at its length and at the cuts through it.",
        )
    return Volume(volume=volume, centre=(x / volume, y / volume, z / volume))


def mass_of(part: Part) -> Mass:
    """Weight [kg] and centre of gravity [m] of one copy of a part, in the part's own frame."""
    shape = part.shape
    if isinstance(shape, Bought):
        return Mass(mass=shape.mass, centre=shape.centre)
    solid = volume_of(shape)
    if isinstance(shape, Bar):
        per_volume = shape.profile.mass_per_length / section_area(shape.profile) * part.density / STEEL_DENSITY
    elif isinstance(shape, Plate) and shape.mass_per_area is not None:
        per_volume = shape.mass_per_area / shape.thickness
    else:
        per_volume = part.density
    return Mass(mass=solid.volume * per_volume, centre=solid.centre)


def placed_mass(part: Part) -> tuple[Mass, ...]:
    """Weight and centre of gravity of every copy, in the pit frame [kg, m]."""
    own = mass_of(part)
    return tuple(Mass(mass=own.mass, centre=placement.point(own.centre)) for placement in part.placements)


def combine(items: Iterable[Mass | Balance]) -> Balance:
    """Weights in one frame added up, with the common centre of gravity."""
    mass = assumed = x = y = z = 0.0
    for item in items:
        mass += item.mass
        x += item.mass * item.centre[0]
        y += item.mass * item.centre[1]
        z += item.mass * item.centre[2]
        if isinstance(item, Balance):
            assumed += item.assumed
    centre = (x / mass, y / mass, z / mass) if mass > 0.0 else (0.0, 0.0, 0.0)
    return Balance(mass=mass, centre=centre, assumed=assumed)
