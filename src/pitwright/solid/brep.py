"""Exact B-rep solids of the pieces, by the OCCT kernel, in millimetres.

Planes, cylinders, arcs and true ellipses stay what they are; the inside of an ellipsoidal head is the offset of its
outside. The kernel is imported only when asked for (`pitwright.solid.kernel`).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Any

from pitwright.geometry.formed_heads import TorisphericalHead
from pitwright.masses import Volume
from pitwright.meridian import head_form
from pitwright.parts import (
    Bar,
    Bought,
    CylinderCut,
    Head,
    HeadCut,
    Outline,
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
    unit,
)
from pitwright.solid.kernel import kernel
from pitwright.stock import Profile

MM = 1000.0
"""Kernel lengths per metre."""
_X: Vec = (1.0, 0.0, 0.0)
_ORIGIN: Vec = (0.0, 0.0, 0.0)
_FAR = 80.0
"""Size of cutting tools [m]: longer than any piece."""
_OVERLENGTH = 3.0
"""How far raw stock reaches past where a bar's centre line ends [m]."""


def _point(p: Sequence[float]) -> Any:
    return kernel().gp_Pnt(p[0] * MM, p[1] * MM, p[2] * MM)


def _way(d: Vec) -> Any:
    return kernel().gp_Dir(*d)


def _vector(d: Vec, length: float) -> Any:
    return kernel().gp_Vec(d[0] * length * MM, d[1] * length * MM, d[2] * length * MM)


def _along(p: Vec, d: Vec, s: float) -> Vec:
    return (p[0] + d[0] * s, p[1] + d[1] * s, p[2] + d[2] * s)


class _Frame:
    """A plane in space that outlines are drawn on: (u, v) -> origin + u U + v V."""

    def __init__(self, origin: Vec, u: Vec, v: Vec):
        self.origin, self.u, self.v = origin, u, v
        self.w = cross(u, v)

    def at(self, p: Point2) -> Vec:
        return _along(_along(self.origin, self.u, p[0]), self.v, p[1])


_SECTION = _Frame(_ORIGIN, (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
_MERIDIAN = _Frame(_ORIGIN, (0.0, 0.0, 1.0), _X)


# ---------------------------------------------------------------- faces


def _line(frame: _Frame, p: Point2, q: Point2) -> Any:
    return kernel().BRepBuilderAPI_MakeEdge(_point(frame.at(p)), _point(frame.at(q))).Edge()


def _bend(frame: _Frame, p: Point2, q: Point2, bulge: float) -> Any:
    (cx, cy), radius, start, sweep = arc_of(p, q, bulge)
    middle = (cx + radius * math.cos(start + sweep / 2.0), cy + radius * math.sin(start + sweep / 2.0))
    arc = kernel().GC_MakeArcOfCircle(*(_point(frame.at(x)) for x in (p, middle, q)))
    return kernel().BRepBuilderAPI_MakeEdge(arc.Value()).Edge()


def _wire(edges: Iterable[Any]) -> Any:
    maker = kernel().BRepBuilderAPI_MakeWire()
    for edge in edges:
        maker.Add(edge)
    return maker.Wire()


def _outline_wire(frame: _Frame, outline: Outline) -> Any:
    """The outer edge; edges shorter than the kernel can tell (10 nm) are left out."""
    n = len(outline.points)
    ends: list[tuple[Point2, Point2, float]] = []
    start = outline.points[0]
    for i in range(n):
        end = outline.points[(i + 1) % n]
        if math.dist(start, end) > 1e-8:
            ends.append((start, end, outline.bulges[i]))
            start = end
    last, _, bulge = ends[-1]
    ends[-1] = (last, ends[0][0], bulge)
    return _wire(_bend(frame, p, q, b) if b else _line(frame, p, q) for p, q, b in ends)


def _counter_clockwise(outline: Outline) -> Outline:
    """The same outline walked to the left, without its holes."""
    turn = 0.0
    n = len(outline.points)
    for i in range(n):
        (x0, y0), (x1, y1) = outline.points[i], outline.points[(i + 1) % n]
        turn += 0.5 * (x0 * y1 - x1 * y0)
        if outline.bulges[i]:
            _, radius, _, sweep = arc_of((x0, y0), (x1, y1), outline.bulges[i])
            turn += 0.5 * radius * radius * (sweep - math.sin(sweep))
    if turn > 0.0:
        return Outline(outline.points, outline.bulges)
    bulges = tuple(-outline.bulges[(n - 2 - i) % n] for i in range(n))
    return Outline(outline.points[::-1], bulges)


def _face(frame: _Frame, outline: Outline) -> Any:
    """A flat face with holes."""
    maker = kernel().BRepBuilderAPI_MakeFace(_outline_wire(frame, _counter_clockwise(outline)), True)
    for hole in outline.holes:
        maker.Add(kernel().TopoDS.Wire(_outline_wire(frame, _counter_clockwise(hole)).Reversed()))
    return maker.Face()


def _prism(frame: _Frame, outline: Outline, low: float, high: float) -> Any:
    """An outline pushed out along the frame's normal from `low` to `high` [m]."""
    moved = _Frame(_along(frame.origin, frame.w, low), frame.u, frame.v)
    return kernel().BRepPrimAPI_MakePrism(_face(moved, outline), _vector(frame.w, high - low)).Shape()


def _revolved(face: Any, point: Vec, axis: Vec, turn: float | None = None) -> Any:
    about = kernel().gp_Ax1(_point(point), _way(axis))
    whole = turn is None or abs(turn) >= 2.0 * math.pi - 1e-9
    maker = kernel().BRepPrimAPI_MakeRevol
    return (maker(face, about) if whole else maker(face, about, turn)).Shape()


# ---------------------------------------------------------------- cutting


def _cut(solid: Any, tool: Any) -> Any:
    return kernel().BRepAlgoAPI_Cut(solid, tool).Shape()


def _in_front(point: Vec, normal: Vec) -> Any:
    """A great block in front of a plane."""
    n = unit(normal)
    u = unit(cross(n, (0.0, 0.0, 1.0) if abs(n[2]) < 0.9 else _X))
    half = _FAR / 2.0
    square = Outline.rectangle(-half, -half, half, half)
    return _prism(_Frame(point, u, cross(n, u)), square, 0.0, _FAR)


def _rod(cut: CylinderCut) -> Any:
    axis = unit(cut.axis)
    low, high = max(cut.reach[0], -_FAR / 2.0), min(cut.reach[1], _FAR / 2.0)
    if high <= low:
        return None
    frame = kernel().gp_Ax2(_point(_along(cut.point, axis, low)), _way(axis))
    return kernel().BRepPrimAPI_MakeCylinder(frame, cut.radius * MM, (high - low) * MM).Shape()


def _sector(inner: float, outer: float, x0: float, x1: float, clock0: float, clock1: float) -> Any:
    """A piece of ring about x between two clocks."""
    out: Vec = (0.0, math.sin(clock0), math.cos(clock0))
    section = _face(_Frame(_ORIGIN, _X, out), Outline.rectangle(x0, inner, x1, outer))
    return _revolved(section, _ORIGIN, (-1.0, 0.0, 0.0), clock1 - clock0)


def _without(solid: Any, cut: PlaneCut | CylinderCut | PrismCut | Window, outer_radius: float = 0.0) -> Any:
    if isinstance(cut, PlaneCut):
        return _cut(solid, _in_front(cut.point, cut.normal))
    if isinstance(cut, CylinderCut):
        tool = _rod(cut)
        return solid if tool is None else _cut(solid, tool)
    if isinstance(cut, Window):
        tool = _sector(0.4 * outer_radius, 1.2 * outer_radius, cut.x0, cut.x1, cut.clock0, cut.clock1)
        return _cut(solid, tool)
    return _cut(solid, _prism(_Frame(cut.origin, cut.u, cut.v), cut.outline, -_FAR / 2.0, _FAR / 2.0))


def _ended(solid: Any, cut: PlaneCut | CylinderCut | HeadCut, way: int) -> Any:
    """A bar with one end made; see `pitwright.knives.end_knife` for what a cope does beside the round."""
    if isinstance(cut, PlaneCut):
        return _cut(solid, _in_front(cut.point, cut.normal))
    axis = unit(cut.axis)
    if isinstance(cut, HeadCut) and abs(axis[0]) > math.sqrt(0.5):
        sign = math.copysign(1.0, axis[0] * way)
        stop: Vec = (axis[0] * sign, axis[1] * sign, axis[2] * sign)
    else:
        ax = axis[0]
        stop = (way * (1.0 - ax * ax), -way * ax * axis[1], -way * ax * axis[2])
    solid = _cut(solid, _in_front(cut.point, stop))
    if isinstance(cut, CylinderCut):
        return _cut(solid, _rod(CylinderCut(point=cut.point, axis=cut.axis, radius=cut.radius)))
    frame = _Frame(cut.point, unit(cross(axis, (0.0, 0.0, 1.0) if abs(axis[2]) < 0.9 else _X)), axis)
    r, d = cut.radius, cut.depth
    back = -_FAR / 2.0
    corners = [(0.0, d), (0.0, back), (r, back), (r, 0.0)]
    edges = [_line(frame, p, q) for p, q in pairwise(corners)]
    if cut.crown:
        seam = cut.seam
        turn = math.asin(seam[0] / cut.crown)
        edges.append(_bend(frame, (r, 0.0), seam, math.tan((math.pi / 2.0 - turn) / 4.0)))
        edges.append(_bend(frame, seam, (0.0, d), math.tan(turn / 4.0)))
    else:
        edges.append(_oval(frame, r, d, 0.0))
    face = kernel().BRepBuilderAPI_MakeFace(_wire(edges), True).Face()
    return _cut(solid, _revolved(face, cut.point, axis))


# ---------------------------------------------------------------- shapes


def _oval(frame: _Frame, across: float, along: float, inward: float) -> Any:
    """The quarter of an ellipse from the rim (u = across) to the axis (v = along), or its offset inward."""
    k = kernel()
    wide = across >= along
    major, minor = (frame.u, frame.v) if wide else (frame.v, frame.u)
    plane = k.gp_Ax2(_point(frame.origin), _way(cross(major, minor)), _way(major))
    long, short = max(across, along) * MM, min(across, along) * MM
    curve = k.Geom_Ellipse(k.gp_Elips(plane, long, short))
    if inward:
        # OCCT offsets along tangent x direction, which points out of a curve that turns to the left about it.
        curve = k.Geom_OffsetCurve(curve, -inward * MM, _way(cross(major, minor)))
    return k.BRepBuilderAPI_MakeEdge(curve, 0.0, math.pi / 2.0).Edge()


def _ring(r: float) -> Outline:
    return Outline.circle(0.0, 0.0, r)


def section_outline(profile: Profile) -> Outline:
    """A bar's section with its bore as a hole, in (y, z), corners as true arcs [m]."""
    b, h, t, f = profile.width / 2.0, profile.height / 2.0, profile.wall, profile.flange
    if profile.kind == "round":
        return _ring(h)
    if profile.kind == "pipe":
        return Outline.circle(0.0, 0.0, h, (_ring(h - t),))
    if profile.kind == "tube":
        outer = profile.corner_radius
        bore = _rounded(b - t, h - t, max(outer - t, 0.0))
        whole = _rounded(b, h, outer)
        return Outline(whole.points, whole.bulges, (bore,))
    if profile.kind == "angle":
        return Outline.polygon(((b, -h), (b, h), (b - t, h), (b - t, -h + t), (-b, -h + t), (-b, -h)))
    if profile.kind == "channel":
        return Outline.polygon(
            ((b, -h), (b, h), (-b, h), (-b, h - f), (b - t, h - f), (b - t, -h + f), (-b, -h + f), (-b, -h))
        )
    return Outline.rectangle(-b, -h, b, h)


def _rounded(b: float, h: float, r: float) -> Outline:
    if r <= 1e-9:
        return Outline.rectangle(-b, -h, b, h)
    k = math.tan(math.pi / 8.0)
    points = ((-b + r, -h), (b - r, -h), (b, -h + r), (b, h - r), (b - r, h), (-b + r, h), (-b, h - r), (-b, -h + r))
    return Outline(points, (0.0, k) * 4)


def _bar(bar: Bar) -> Any:
    stock = section_outline(bar.profile)
    solid = _prism(_SECTION, stock, bar.x0 - _OVERLENGTH, bar.x1 + _OVERLENGTH)
    solid = _ended(_ended(solid, bar.start, -1), bar.finish, 1)
    for cut in bar.cuts:
        solid = _without(solid, cut)
    return solid


def _shell(shell: Shell) -> Any:
    inner = shell.outer_radius - shell.wall
    solid = _sector(inner, shell.outer_radius, 0.0, shell.length, shell.clock0, shell.clock1)
    for cut in shell.cuts:
        solid = _without(solid, cut, shell.outer_radius)
    return solid


def _head(head: Head) -> Any:
    r, t, f = head.outer_radius, head.wall, head.flange
    if head.kind == "flat":
        solid = _prism(_SECTION, _ring(r), 0.0, head.depth)
    else:
        solid = _revolved(_formed_face(head, r, t, f), _ORIGIN, _X)
    for cut in head.cuts:
        solid = _without(solid, cut)
    return solid


def _formed_face(head: Head, r: float, t: float, f: float) -> Any:
    """The plate of a formed head, cut along its meridian."""
    form = head_form(head)
    frame = _MERIDIAN
    if isinstance(form, TorisphericalHead):
        crown_out, crown_in = form.outside_depth, form.inside_depth
        s, c = math.sin(form.crown_angle), math.cos(form.crown_angle)
        low = form.crown - form.inside_depth
        knuckle = form.crown_angle - math.pi / 2.0
        outer_edges: list[Any] = []
        inner_edges: list[Any] = []
        for edges, o, depth in ((outer_edges, t, crown_out), (inner_edges, 0.0, crown_in)):
            seam = ((form.crown + o) * s, (form.crown + o) * c - low)
            rim = (form.radius + o, 0.0)
            edges.append(_bend(frame, (0.0, depth), seam, -math.tan(form.crown_angle / 4.0)))
            if form.knuckle + o > 1e-9:
                edges.append(_bend(frame, seam, rim, math.tan(knuckle / 4.0)))
    else:
        crown_out, crown_in = head.depth, head.depth - t
        if head.kind == "hemispherical":
            crown_out, crown_in = r, r - t
        outer_edges = [_oval(frame, r, crown_out, 0.0)]
        inner_edges = [_oval(frame, r, crown_out, t)]
    rim_edges = [_line(frame, p, q) for p, q in pairwise([(r, 0.0), (r, -f), (r - t, -f), (r - t, 0.0)]) if p != q]
    axis_edge = _line(frame, (0.0, crown_in), (0.0, crown_out))
    return (
        kernel().BRepBuilderAPI_MakeFace(_wire([axis_edge, *outer_edges, *rim_edges, *inner_edges[::-1]]), True).Face()
    )


def _bought(thing: Bought) -> Any:
    a, b, c = thing.size
    x, y, z = thing.centre
    frame = _Frame((x, y, z), _SECTION.u, _SECTION.v)
    outline = _ring(b / 2.0) if thing.form == "cylinder" else Outline.rectangle(-b / 2.0, -c / 2.0, b / 2.0, c / 2.0)
    return _prism(frame, outline, -a / 2.0, a / 2.0)


@lru_cache(maxsize=512)
def brep_of(shape: Shape) -> Any:
    """The exact solid of a shape in its own frame, a TopoDS_Shape in millimetres."""
    if isinstance(shape, Bar):
        return _bar(shape)
    if isinstance(shape, Plate):
        return _prism(_Frame(_ORIGIN, _X, (0.0, 1.0, 0.0)), shape.outline, 0.0, shape.thickness)
    if isinstance(shape, Shell):
        return _shell(shape)
    if isinstance(shape, Head):
        return _head(shape)
    return _bought(shape)


def brep_mass(shape: Any) -> Volume:
    """Volume [m3] and centroid [m] of an exact solid, by the kernel's sums over its faces.

    Exact to rounding on plain faces; on faces trimmed by copes and holes the sums are good to about 0.02 %.
    """
    properties = kernel().GProp_GProps()
    kernel().BRepGProp.VolumeProperties_s(shape, properties)
    centre = properties.CentreOfMass()
    return Volume(volume=properties.Mass() / MM**3, centre=(centre.X() / MM, centre.Y() / MM, centre.Z() / MM))


def is_sound(shape: Any) -> bool:
    """Whether the kernel finds nothing wrong with a solid."""
    return bool(kernel().BRepCheck_Analyzer(shape).IsValid())
