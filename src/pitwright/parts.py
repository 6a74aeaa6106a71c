"""The pieces of a pit: what each is cut from, its true shape, and where its copies stand.

Frames. A *placement* carries a piece from its own frame into the pit frame: x along the vessel from the fire-end
girth seam (x = 0) to the stack end, y to the working side, z up from the floor [m]. Shapes are exact (planes,
cylinders, arcs); meshes and B-rep solids are made from them elsewhere, weights by `pitwright.masses`.

Shapes, each in its own frame:
    Bar      straight stock along +x; section width along y, height along z, section centred on the x axis
    Plate    flat outline in the x-y plane, thickness along +z
    Shell    round shell or a sector of one, axis along +x; clock 0 at +z, positive towards +y
    Head     vessel head, axis along +x, tangent line at x = 0, bulging to +x
    Bought   a thing with a stated weight and a plain envelope (box or cylinder along +x)
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal

from pitwright.stock import STEEL_DENSITY, Profile

Vec = tuple[float, float, float]
Point2 = tuple[float, float]

Group = Literal[
    "vessel",
    "doors",
    "firebox",
    "throat",
    "stack",
    "grates",
    "legs",
    "base",
    "saddles",
    "shelf",
    "fittings",
    "lifting",
]
State = Literal["open", "cut", "tacked", "welded"]


def dot(a: Vec, b: Vec) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vec, b: Vec) -> Vec:
    """Vector product."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def unit(a: Vec) -> Vec:
    """The vector at length one."""
    n = math.sqrt(dot(a, a))
    return (a[0] / n, a[1] / n, a[2] / n)


# ---------------------------------------------------------------- placement


@dataclass(frozen=True, slots=True)
class Placement:
    """Where one copy stands: p_pit = origin + x*px + y*py + z*pz.

    A mirrored copy (the axes are left-handed) is the piece turned over left for right.
    """

    origin: Vec = (0.0, 0.0, 0.0)
    x: Vec = (1.0, 0.0, 0.0)
    y: Vec = (0.0, 1.0, 0.0)
    z: Vec = (0.0, 0.0, 1.0)
    where: str = ""

    def point(self, p: Vec) -> Vec:
        """A point of the piece, in the pit frame [m]."""
        o, a, b, c = self.origin, self.x, self.y, self.z
        return (
            o[0] + p[0] * a[0] + p[1] * b[0] + p[2] * c[0],
            o[1] + p[0] * a[1] + p[1] * b[1] + p[2] * c[1],
            o[2] + p[0] * a[2] + p[1] * b[2] + p[2] * c[2],
        )

    def direction(self, d: Vec) -> Vec:
        """A direction of the piece, in the pit frame."""
        p, o = self.point(d), self.origin
        return (p[0] - o[0], p[1] - o[1], p[2] - o[2])

    @property
    def mirrored(self) -> bool:
        """Whether this copy is left-handed."""
        return dot(cross(self.x, self.y), self.z) < 0.0


# ---------------------------------------------------------------- cuts (in the frame of the shape they cut)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaneCut:
    """Everything on the side the normal points to is cut away."""

    point: Vec
    normal: Vec


@dataclass(frozen=True, slots=True, kw_only=True)
class CylinderCut:
    """Everything inside an endless cylinder is cut away (a cope against a round; a drilled hole).

    `reach` limits the cut to axis parameters s in (low, high) from `point`, s in metres along `axis`.
    """

    point: Vec
    axis: Vec
    radius: float
    reach: tuple[float, float] = (-math.inf, math.inf)


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadCut:
    """Everything inside a dished head is cut away (a pipe coped to a head).

    The head: tangent point on its axis, unit axis pointing outward, and the outside profile: half an ellipsoid of
    revolution, x_out = depth * sqrt(1 - (rho/radius)^2), or where `crown` is stated a ball of that radius and a
    knuckle round (outside radii; for bars along the head's axis only). The shell cylinder goes on behind it.
    """

    point: Vec
    axis: Vec
    radius: float
    depth: float
    crown: float = 0.0
    knuckle: float = 0.0

    @property
    def seam(self) -> tuple[float, float]:
        """Where crown and knuckle meet: distance from the axis and height over the tangent line [m]."""
        sine = (self.radius - self.knuckle) / (self.crown - self.knuckle)
        return self.crown * sine, self.knuckle * math.sqrt(1.0 - sine * sine)


@dataclass(frozen=True, slots=True, kw_only=True)
class PrismCut:
    """An outline in the plane (u, v) through `origin`, cut through along w = u x v, both ways."""

    outline: Outline
    origin: Vec
    u: Vec
    v: Vec


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """A window in a round shell: between two stations and two clocks [m, rad], corners square."""

    x0: float
    x1: float
    clock0: float
    clock1: float


# ---------------------------------------------------------------- outlines


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed flat outline: vertices and, for each edge leaving a vertex, its bulge.

    bulge = tan(included angle / 4), positive where the arc turns to the left, 0 for a straight edge (the DXF rule).
    `holes` are outlines inside it. A full circle is two half-circle edges. A bulge under 1e-9 (half a nanometre on a
    metre) is a straight edge.
    """

    points: tuple[Point2, ...]
    bulges: tuple[float, ...]
    holes: tuple[Outline, ...] = ()

    def __post_init__(self) -> None:
        if any(0.0 < abs(b) < 1e-9 for b in self.bulges):
            object.__setattr__(self, "bulges", tuple(b if abs(b) >= 1e-9 else 0.0 for b in self.bulges))

    @staticmethod
    def polygon(points: tuple[Point2, ...], holes: tuple[Outline, ...] = ()) -> Outline:
        """Straight edges only."""
        return Outline(points, (0.0,) * len(points), holes)

    @staticmethod
    def rectangle(x0: float, y0: float, x1: float, y1: float, holes: tuple[Outline, ...] = ()) -> Outline:
        """An upright rectangle."""
        return Outline.polygon(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), holes)

    @staticmethod
    def circle(cx: float, cy: float, radius: float, holes: tuple[Outline, ...] = ()) -> Outline:
        """A full circle."""
        return Outline(((cx - radius, cy), (cx + radius, cy)), (1.0, 1.0), holes)

    def _edges(self) -> list[tuple[Point2, Point2, float]]:
        n = len(self.points)
        return [(self.points[i], self.points[(i + 1) % n], self.bulges[i]) for i in range(n)]

    def moments(self) -> tuple[float, float, float]:
        """(area, first moment about y = integral x dA, integral y dA) by Green's theorem, arcs exact [m2, m3, m3].

        Holes are taken off. Area is positive whichever way round the outline runs.
        """
        area = sx = sy = 0.0
        for (x0, y0), (x1, y1), bulge in self._edges():
            chord_area = 0.5 * (x0 * y1 - x1 * y0)
            area += chord_area
            sx += chord_area * (x0 + x1) / 3.0
            sy += chord_area * (y0 + y1) / 3.0
            if bulge:
                segment, cx, cy = _bulge_segment((x0, y0), (x1, y1), bulge)
                area += segment
                sx += segment * cx
                sy += segment * cy
        if area < 0.0:
            area, sx, sy = -area, -sx, -sy
        for hole in self.holes:
            a, hx, hy = hole.moments()
            area, sx, sy = area - a, sx - hx, sy - hy
        return area, sx, sy

    @property
    def area(self) -> float:
        """Area less the holes [m2]."""
        return self.moments()[0]

    @property
    def perimeter(self) -> float:
        """Length of the outer edge [m]."""
        return sum(_edge_length(p, q, b) for p, q, b in self._edges())

    def flattened(self, step: float) -> tuple[Point2, ...]:
        """The outer edge as points, arcs in pieces whose sagitta is at most `step` [m]; points lie on the arc."""
        out: list[Point2] = []
        for p, q, bulge in self._edges():
            out.append(p)
            if bulge:
                centre, radius, start, sweep = arc_of(p, q, bulge)
                cosine = max(-1.0, 1.0 - step / radius)
                n = max(2, math.ceil(abs(sweep) / (2.0 * math.acos(cosine))))
                for i in range(1, n):
                    a = start + sweep * i / n
                    out.append((centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)))
        return tuple(out)

    def bounds(self) -> tuple[float, float, float, float]:
        """(x0, y0, x1, y1) of the outer edge, arcs included [m]."""
        xs = [p[0] for p in self.points]
        ys = [p[1] for p in self.points]
        for p, q, bulge in self._edges():
            if bulge:
                centre, radius, start, sweep = arc_of(p, q, bulge)
                for k in range(-4, 9):
                    a = k * math.pi / 2.0
                    if min(start, start + sweep) <= a <= max(start, start + sweep):
                        xs.append(centre[0] + radius * math.cos(a))
                        ys.append(centre[1] + radius * math.sin(a))
        return min(xs), min(ys), max(xs), max(ys)


def arc_of(p: Point2, q: Point2, bulge: float) -> tuple[Point2, float, float, float]:
    """(centre, radius, start angle, signed sweep) of a bulged edge [m, rad]."""
    sweep = 4.0 * math.atan(bulge)
    dx, dy = q[0] - p[0], q[1] - p[1]
    chord = math.hypot(dx, dy)
    radius = abs(chord / (2.0 * math.sin(sweep / 2.0)))
    apothem = chord / 2.0 * (1.0 - bulge * bulge) / (2.0 * bulge)
    cx = (p[0] + q[0]) / 2.0 - dy / chord * apothem
    cy = (p[1] + q[1]) / 2.0 + dx / chord * apothem
    return (cx, cy), radius, math.atan2(p[1] - cy, p[0] - cx), sweep


def bulge_of(sweep: float) -> float:
    """The bulge of an arc that turns through `sweep` [rad]."""
    return math.tan(sweep / 4.0)


def _edge_length(p: Point2, q: Point2, bulge: float) -> float:
    if not bulge:
        return math.hypot(q[0] - p[0], q[1] - p[1])
    _, radius, _, sweep = arc_of(p, q, bulge)
    return radius * abs(sweep)


def _bulge_segment(p: Point2, q: Point2, bulge: float) -> tuple[float, float, float]:
    """Signed area and centroid of the segment between a chord and its bulged edge."""
    centre, radius, start, sweep = arc_of(p, q, bulge)
    theta = abs(sweep)
    # theta - sin(theta) loses its digits on shallow arcs; there its series is exact to rounding.
    lens = (
        theta - math.sin(theta) if theta > 0.1 else theta**3 / 6.0 * (1.0 - theta**2 / 20.0 * (1.0 - theta**2 / 42.0))
    )
    area = 0.5 * radius * radius * lens
    arm = 4.0 * radius * math.sin(theta / 2.0) ** 3 / (3.0 * lens)
    middle = start + sweep / 2.0
    cx, cy = centre[0] + arm * math.cos(middle), centre[1] + arm * math.sin(middle)
    return math.copysign(area, sweep), cx, cy


# ---------------------------------------------------------------- shapes

BarCutting = PlaneCut | CylinderCut | HeadCut
ShellCutting = PlaneCut | CylinderCut | PrismCut | Window


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """Straight stock. Its ends are made by `start` and `finish`; `x0`, `x1` are where the section's centre line ends.

    Seen from the start along +x (y to the left, z up) an angle's heel is bottom left and a channel's back is left.

    A PlaneCut end has its outward normal; a CylinderCut or HeadCut end is a cope (the stock stops on the outside
    of that round). `cuts` are further cuts (notches, a pipe's fire door), as true shapes.
    """

    profile: Profile
    x0: float
    x1: float
    start: BarCutting
    finish: BarCutting
    cuts: tuple[CylinderCut | PrismCut, ...] = ()

    @staticmethod
    def square(profile: Profile, length: float) -> Bar:
        """A piece cut square at both ends, from x = 0 to `length` [m]."""
        return Bar(
            profile=profile,
            x0=0.0,
            x1=length,
            start=PlaneCut(point=(0.0, 0.0, 0.0), normal=(-1.0, 0.0, 0.0)),
            finish=PlaneCut(point=(length, 0.0, 0.0), normal=(1.0, 0.0, 0.0)),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """A flat piece. `mass_per_area` [kg/m2] overrides density x thickness (expanded metal, for one)."""

    outline: Outline
    thickness: float
    mass_per_area: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Shell:
    """A round shell (or a sector of one between two clocks) from x = 0 to `length`, with its cuts."""

    outer_radius: float
    wall: float
    length: float
    clock0: float = -math.pi
    clock1: float = math.pi
    cuts: tuple[ShellCutting, ...] = ()

    @property
    def whole(self) -> bool:
        """Whether it goes all the way round."""
        return self.clock1 - self.clock0 >= 2.0 * math.pi - 1e-9


HeadKind = Literal["ellipsoidal", "hemispherical", "torispherical", "flat"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """A vessel head. `depth` is the outside depth from the tangent line [m]; a flat head's depth is its thickness.

    crown, knuckle: outside crown and knuckle radii of a torispherical head [m], 0 for the other kinds.
    flange: the straight flange from x = -flange to 0 [m].
    """

    kind: HeadKind
    outer_radius: float
    wall: float
    depth: float
    flange: float = 0.0
    crown: float = 0.0
    knuckle: float = 0.0
    cuts: tuple[PrismCut | CylinderCut, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """A thing bought or guessed: a stated weight, its centre, and an envelope for pictures and clearances.

    size: (x, y, z) of the box centred at `centre`, or (length, diameter, diameter) of a cylinder along x.
    """

    mass: float
    size: Vec
    centre: Vec = (0.0, 0.0, 0.0)
    form: Literal["box", "cylinder"] = "box"


Shape = Bar | Plate | Shell | Head | Bought


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One piece with all its copies.

    mark        our piece mark, such as `L1`; twins share it
    name        what the shop calls it
    stock       what it is cut from, as bought
    assumed     the weight is a stated assumption, not solved from shape
    moving      what it swings or slides with (`door 1`, `slide 2`), empty for fixed pieces
    state       how far the shop has got with it
    flat        the developed blank of a rolled piece (length x, developed arc y), where it is cut flat
    notes       lines for the cut list
    """

    mark: str
    name: str
    group: Group
    shape: Shape
    stock: str
    placements: tuple[Placement, ...]
    material: str = "mild steel"
    density: float = STEEL_DENSITY
    assumed: bool = False
    moving: str = ""
    state: State = "open"
    flat: Outline | None = None
    notes: tuple[str, ...] = field(default=())

    @property
    def quantity(self) -> int:
        """How many copies."""
        return len(self.placements)

    @property
    def handed(self) -> tuple[int, int]:
        """(copies as drawn, copies mirrored)."""
        mirrored = sum(p.mirrored for p in self.placements)
        return self.quantity - mirrored, mirrored
