"""Whole pits rebuilt by the OCCT B-rep kernel: an independent witness of their weights, their legs and their joints.

The kernel makes every piece of 200 random pits from planes, cylinders and curves of its own and sums over its own
faces; lines shot through its solids and distances between its faces measure what the layout solved in closed form.
On an oval vessel the pieces are drawn on the mean round, so nothing that touches the skin is measured there.
"""

from __future__ import annotations

import dataclasses
import math
from functools import cache, lru_cache

import numpy as np
import pytest

import pits
from pitwright.masses import combine, mass_of, placed_mass, volume_of
from pitwright.parts import Bar, Bought, CylinderCut, HeadCut, Plate, Shell
from pitwright.solid.mesh import overlaps, pit_solids
from pitwright.stock import STEEL_DENSITY

pytest.importorskip(
    "OCP.gp", reason="the solid kernel (extra `step`) does not start on this system", exc_type=ImportError
)

SEEDS, CHUNK = 216, 8
CHUNKS = [range(first, first + CHUNK) for first in range(0, SEEDS, CHUNK)]
NEAR = 1e-4  # contact points, long points and coped edges agree to a tenth of a millimetre
SHARE = 0.005  # weights and centres agree to half a percent
WELD_PREP = 0.8e-3  # 1/32 in: mean depth two pieces may share; facets, and a coped box edge cut in straight steps


def drawn(chunk):
    return [(seed, pit) for seed in chunk if (pit := pits.solved(seed)) is not None]


def chunked(test):
    return pytest.mark.parametrize("chunk", CHUNKS, ids=lambda chunk: f"{chunk.start}-{chunk.stop - 1}")(test)


# ---------------------------------------------------------------- the kernel's measuring tools


@lru_cache(maxsize=256)
def kernel_volume(shape):
    from pitwright.solid.brep import brep_mass, brep_of

    return brep_mass(brep_of(shape))


@lru_cache(maxsize=256)
def placed(shape, placement):
    """The kernel's solid of a copy, in the pit frame."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
    from OCP.gp import gp_Ax2, gp_Ax3, gp_Dir, gp_Pnt, gp_Trsf

    from pitwright.solid.brep import brep_of

    solid = brep_of(shape)
    if placement.mirrored:
        turn = gp_Trsf()
        turn.SetMirror(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 1, 0)))
        solid = BRepBuilderAPI_Transform(solid, turn, True).Shape()
    there = gp_Trsf()
    there.SetTransformation(
        gp_Ax3(gp_Pnt(*(1e3 * c for c in placement.origin)), gp_Dir(*placement.z), gp_Dir(*placement.x)),
        gp_Ax3(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1), gp_Dir(1, 0, 0)),
    )
    return BRepBuilderAPI_Transform(solid, there, True).Shape()


def crossed(solid, point, way):
    """Where a line through a point [m] enters and leaves a kernel solid: distances along it [m], in order."""
    from OCP.gp import gp_Dir, gp_Lin, gp_Pnt
    from OCP.IntCurvesFace import IntCurvesFace_ShapeIntersector

    shot = IntCurvesFace_ShapeIntersector()
    shot.Load(solid, 1e-7)
    shot.Perform(gp_Lin(gp_Pnt(*(1e3 * c for c in point)), gp_Dir(*way)), -1e5, 1e5)
    return sorted(shot.WParameter(i) / 1e3 for i in range(1, shot.NbPnt() + 1))


def faces_of(solid):
    from OCP.TopAbs import TopAbs_FACE
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    seeker = TopExp_Explorer(solid, TopAbs_FACE)
    while seeker.More():
        yield TopoDS.Face(seeker.Current())
        seeker.Next()


def skins(solid, radius):
    """The kernel's round faces of one radius [m]."""
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.GeomAbs import GeomAbs_Cylinder

    out = []
    for face in faces_of(solid):
        surface = BRepAdaptor_Surface(face)
        if surface.GetType() == GeomAbs_Cylinder and abs(surface.Cylinder().Radius() / 1e3 - radius) < 1e-7:
            out.append(face)
    return out


def dishes(solid):
    """The kernel's faces that are turned about an axis but are no cylinders: an ellipsoid, a ball, a knuckle."""
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.GeomAbs import GeomAbs_Cone, GeomAbs_Cylinder, GeomAbs_Plane

    plain = (GeomAbs_Plane, GeomAbs_Cylinder, GeomAbs_Cone)
    return [face for face in faces_of(solid) if BRepAdaptor_Surface(face).GetType() not in plain]


def points_along_edges(faces, each=4):
    """Points along every edge of some faces [m]."""
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.TopAbs import TopAbs_EDGE
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    for face in faces:
        seeker = TopExp_Explorer(face, TopAbs_EDGE)
        while seeker.More():
            curve = BRepAdaptor_Curve(TopoDS.Edge(seeker.Current()))
            first, last = curve.FirstParameter(), curve.LastParameter()
            for i in range(each):
                p = curve.Value(first + (last - first) * (i + 0.5) / each)
                yield p.X() / 1e3, p.Y() / 1e3, p.Z() / 1e3
            seeker.Next()


def gap(point, faces):
    """Distance from a point to the nearest of some faces, by the kernel [m]."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
    from OCP.BRepExtrema import BRepExtrema_DistShapeShape
    from OCP.gp import gp_Pnt

    vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*(1e3 * c for c in point))).Vertex()
    return min(BRepExtrema_DistShapeShape(vertex, face).Value() for face in faces) / 1e3


def shared(first, second):
    """Volume two kernel solids have in common [m3]."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Common

    from pitwright.solid.brep import brep_mass

    return brep_mass(BRepAlgoAPI_Common(first, second).Shape()).volume


# ---------------------------------------------------------------- weights


def test_there_are_two_hundred_pits_of_every_kind():
    found = [pit for _, pit in drawn(range(SEEDS))]
    assert len(found) >= 200
    kinds = {
        (pit.job.order.base, pit.job.order.flow, pit.firebox.shape, pit.firebox.joint, pit.vessel.hand) for pit in found
    }
    for i, want in enumerate(
        ({"skid", "saddles"}, {"offset", "reverse"}, {"round", "box"}, {"cut", "dished", "flat"}, {1, -1})
    ):
        assert {kind[i] for kind in kinds} == want
    assert {pit.throat.shape for pit in found} == {"lens", "segment", "rectangle"}
    assert {len(pit.doors) for pit in found} == {1, 2, 3}
    assert {pit.stack.place for pit in found} == {"top", "end"}
    assert {leg.end for pit in found for s in pit.leg_sets for leg in s.legs} == {"straight", "coped"}
    widths = [2.0 * pit.vessel.outer_radius / 0.0254 for pit in found]
    assert min(widths) < 22.0
    assert max(widths) > 46.0


@chunked
def test_every_piece_and_the_whole_pit_weigh_what_the_kernel_says(chunk):
    for seed, pit in drawn(chunk):
        weights, whole = [], []
        for part in pit.parts:
            own = mass_of(part)
            if isinstance(part.shape, Bought):
                mass, centre = own.mass, own.centre
            else:
                kernel, exact = kernel_volume(part.shape), volume_of(part.shape)
                assert exact.volume == pytest.approx(kernel.volume, rel=2e-4), (seed, part.mark)
                assert exact.centre == pytest.approx(kernel.centre, abs=NEAR), (seed, part.mark)
                mass, centre = kernel.volume * part.density, kernel.centre
                if isinstance(part.shape, Plate) and part.shape.mass_per_area is not None:
                    mass *= part.shape.mass_per_area / part.shape.thickness / part.density
                assert own.mass == pytest.approx(mass, rel=SHARE), (seed, part.mark)
            for placement in part.placements:
                weights.append(mass)
                whole.append((mass, placement.point(centre)))
        total = sum(weights)
        middle = [sum(m * c[k] for m, c in whole) / total for k in range(3)]
        assert pit.reasons["weight.pieces"].value == pytest.approx(total, rel=SHARE), seed
        found = combine([m for part in pit.parts for m in placed_mass(part)])
        assert found.mass == pytest.approx(total, rel=SHARE)
        size = (pit.vessel.length, 2.0 * pit.vessel.outer_radius, pit.vessel.centre_z)
        for k in range(3):
            assert abs(found.centre[k] - middle[k]) < SHARE * size[k], seed
            assert abs(pit.balance["empty"].centre[k] - middle[k]) < SHARE * size[k], seed


def test_steel_weighs_what_the_handbooks_say():
    # 490 lb per cubic foot: the figure behind the section tables (see tests/published/test_sections.py).
    assert pytest.approx(490.0 * 0.45359237 / 0.3048**3, rel=1e-3) == STEEL_DENSITY


# ---------------------------------------------------------------- legs


@cache
def lines_of(bar):
    """A bar with sharp corners, cut by the kernel: (y, z, start, finish) of lines along its outside [m]."""
    from pitwright.solid.brep import brep_of

    profile = bar.profile
    sharp = dataclasses.replace(profile, corner_radius=0.0) if profile.kind == "tube" else profile
    solid = brep_of(dataclasses.replace(bar, profile=sharp))
    if profile.kind == "tube":
        b, h = profile.width / 2.0 - 1e-6, profile.height / 2.0 - 1e-6
        marks = [(b, h), (-b, h), (-b, -h), (b, -h)]
    else:
        r = profile.height / 2.0 - 1e-6
        marks = [(r * math.cos(math.pi * i / 60), r * math.sin(math.pi * i / 60)) for i in range(120)]
    out = []
    for y, z in marks:
        hits = crossed(solid, (0.0, y, z), (1.0, 0.0, 0.0))
        out.append((y, z, hits[0], hits[-1]))
    return np.array(out)


def long_and_short(bar):
    """Long and short point of a piece as it is sawn: straight through the edge marks of a cope, round stock square."""
    y, z, start, finish = lines_of(bar).T
    if isinstance(bar.finish, CylinderCut):
        if bar.profile.kind == "pipe":
            finish = np.full_like(finish, finish.max())
        else:
            fit = np.linalg.lstsq(np.column_stack([np.ones_like(y), y, z]), finish, rcond=None)[0]
            sawn = fit[0] + fit[1] * y + fit[2] * z
            finish = sawn + (finish - sawn).max()
    return (finish - start).max(), (finish - start).min()


def legs_of(pit):
    """Every leg with its set, its piece and the copy that is this leg."""
    for leg_set in pit.leg_sets:
        for leg in leg_set.legs:
            names = {
                f"leg, set {leg_set.name}",
                f"leg, set {leg_set.name}, {'working side' if leg.side == 'working' else 'back'}",
            }
            (part,) = [p for p in pit.parts if p.group == "legs" and p.name in names]
            (copy,) = [c for c in part.placements if (c.origin[1] > 0.0) == (leg.side == "working")]
            yield leg_set, leg, part, copy


def carried(pit, leg_set):
    """Radius, axis height and x range of the round a leg set meets, pads and all [m]."""
    box = pit.firebox
    if leg_set.x < 0.0:
        outer = box.width / 2.0 + (box.double_gap + box.outer_skin if box.double_gap else 0.0)
        return outer + leg_set.pad_thickness, box.centre_z, box.x0
    return pit.vessel.outer_radius + leg_set.pad_thickness, pit.vessel.centre_z, 0.0


@chunked
def test_legs_stand_and_are_cut_as_the_kernel_measures_them(chunk):
    for seed, pit in drawn(chunk):
        for leg_set, leg, part, copy in legs_of(pit):
            long_point, short_point = long_and_short(part.shape)
            assert leg.long_point == pytest.approx(long_point, abs=NEAR), (seed, part.mark)
            assert leg.short_point == pytest.approx(short_point, abs=NEAR), (seed, part.mark)
            for y, z, start, _ in lines_of(part.shape):
                assert copy.point((start, y, z))[2] == pytest.approx(pit.base.rail_top, abs=NEAR), (seed, part.mark)
            if pit.vessel.oval and leg_set.x >= 0.0:
                continue
            radius, centre_z, x0 = carried(pit, leg_set)
            round_ = Shell(outer_radius=radius, wall=0.01, length=10.0)
            hits = crossed(
                placed(round_, pits.at(x0 - 2.0, 0.0, centre_z)), copy.origin, copy.x
            )  # the centre line, from the middle of the foot
            first = min(h for h in hits if h > 0.0)
            assert leg.centre_length == pytest.approx(first, abs=NEAR), (seed, part.mark)
            x, y, z = copy.point((first, 0.0, 0.0))
            assert x == pytest.approx(leg_set.x, abs=NEAR), (seed, part.mark)
            up = math.atan2(abs(y), centre_z - z)
            assert abs(up - leg.contact) * radius < NEAR, (seed, part.mark)
            assert leg.around == pytest.approx(up * (radius - leg_set.pad_thickness), abs=NEAR), (seed, part.mark)


@chunked
def test_copes_touch_along_their_edge_and_straight_tops_leave_the_gap_stated(chunk):
    for seed, pit in drawn(chunk):
        for leg_set, leg, part, copy in legs_of(pit):
            radius, centre_z, x0 = carried(pit, leg_set)
            if pit.vessel.oval and leg_set.x >= 0.0:
                continue
            skin = skins(
                placed(Shell(outer_radius=radius, wall=0.01, length=10.0), pits.at(x0 - 2.0, 0.0, centre_z)), radius
            )
            if leg.end == "coped":
                edges = list(points_along_edges(skins(placed(part.shape, copy), radius), each=2))
                assert edges, (seed, part.mark)
                assert max(gap(p, skin) for p in edges) < NEAR, (seed, part.mark)
            elif leg.lean_along == 0.0 and part.shape.profile.kind == "tube":
                ends = [copy.point((finish, y, z)) for y, z, _, finish in lines_of(part.shape)]
                assert max(gap(p, skin) for p in ends) == pytest.approx(leg.gap, abs=NEAR), (seed, part.mark)


def piece(pit, name):
    return next((part for part in pit.parts if part.name == name), None)


@chunked
def test_stack_and_firebox_pipe_touch_the_vessel_along_their_edge(chunk):
    for seed, pit in drawn(chunk):
        shell, stack = piece(pit, "shell"), piece(pit, "stack")
        if stack is not None and isinstance(stack.shape.start, CylinderCut):
            radius = pit.vessel.outer_radius
            skin = skins(placed(shell.shape, shell.placements[0]), radius)
            edges = list(points_along_edges(skins(placed(stack.shape, stack.placements[0]), radius)))
            assert edges, seed
            assert max(gap(p, skin) for p in edges) < NEAR, seed
        for name, on in (("firebox body", "fire-end head"), ("firebox outer skin", "fire-end head"), ("stack stub", "stack-end head")):  # fmt: skip
            pipe = piece(pit, name)
            if pipe is None or not isinstance(pipe.shape, Bar):
                continue
            if not any(isinstance(cut, HeadCut) for cut in (pipe.shape.start, pipe.shape.finish)):
                continue
            head = piece(pit, on)
            whole = placed(dataclasses.replace(head.shape, cuts=()), head.placements[0])
            edges = list(points_along_edges(dishes(placed(pipe.shape, pipe.placements[0]))))
            assert edges, (seed, name)
            assert max(gap(p, dishes(whole)) for p in edges) < NEAR, (seed, name)


# ---------------------------------------------------------------- pieces in one place


def told(pit, overlap):
    """Whether a finding already says that these two meet: the shelf is to be notched."""
    groups = {overlap.first.group, overlap.second.group}
    codes = {finding.code for finding in pit.findings}
    return "shelf" in groups and groups & {"legs", "saddles"} and "shelf.notch" in codes


@chunked
def test_no_two_pieces_are_in_one_place(chunk):
    for seed, pit in drawn(chunk):
        on_skin = {"legs", "saddles", "vessel"}
        for found in overlaps(pit.parts, WELD_PREP):
            if told(pit, found):
                continue
            allowed = WELD_PREP
            if {found.first.group, found.second.group} <= on_skin:
                allowed += pit.vessel.oval
            assert found.depth <= allowed, (seed, found.first.mark, found.second.mark, found.depth)


def test_the_kernel_finds_the_same_steel_shared_where_a_leg_is_pushed_up():
    tried = 0
    for seed, pit in drawn(range(40)):
        bare = [x for x in legs_of(pit) if x[0].pad_thickness == 0.0 and x[0].x > 0.0]
        if not bare or pit.vessel.oval:
            continue
        _, _, part, copy = bare[0]
        shell = piece(pit, "shell")
        seat = placed(shell.shape, shell.placements[0])
        assert shared(placed(part.shape, copy), seat) < 1e-8, seed
        higher = dataclasses.replace(copy, origin=(copy.origin[0], copy.origin[1], copy.origin[2] + 0.004))
        (found,) = overlaps((shell, dataclasses.replace(part, placements=(higher,))), WELD_PREP)
        kernel = shared(placed(part.shape, higher), seat)
        assert kernel > 1e-7, seed
        assert found.volume == pytest.approx(kernel, rel=0.06), seed
        tried += 1
    assert tried >= 4


@pytest.mark.parametrize("seed", [0, 1, 5, 53])
def test_pieces_that_only_touch_share_nothing_in_the_kernel(seed):
    pit = pits.solved(seed)
    assert pit is not None
    names = {"shell", "stack", "firebox body", "fire-end head", "throat plate", "stack-end head", "shelf bracket"}
    near = [(p, copy) for p, copy, _ in pit_solids([p for p in pit.parts if p.name in names])]
    for i, (a, ia) in enumerate(near):
        for b, ib in near[i + 1 :]:
            if a.mark != b.mark:
                common = shared(placed(a.shape, a.placements[ia]), placed(b.shape, b.placements[ib]))
                assert common < 1e-8, (seed, a.name, b.name)
