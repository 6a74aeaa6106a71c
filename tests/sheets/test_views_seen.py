"""Pieces as they are seen: shadows against the mesh solids, hiding against closed forms and areas that must add up."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon, union_all

import standing_pits
from pitwright.parts import Bar, Head, Outline, Part, Placement, PlaneCut, Plate, Shell, dot
from pitwright.sheets.shapes import Arc, Circle, Line, Polyline
from pitwright.sheets.views import eye as eyes
from pitwright.sheets.views.layers import look
from pitwright.sheets.views.seen import hull, see
from pitwright.solid.mesh import placed, solid_of
from pitwright.stock import tube

EYES = {
    "working side": eyes.from_working_side(1),
    "stack end": eyes.from_stack_end(1),
    "fire end": eyes.from_fire_end(1),
    "above": eyes.from_above(1),
}


def part(mark, shape, *placements):
    return Part(
        mark=mark, name="piece", group="base", shape=shape, stock="stock", placements=placements or (Placement(),)
    )


def covered(seen):
    whole = union_all([Polygon(ring).buffer(0) for ring in seen.covers])
    return whole.difference(union_all([Polygon(ring).buffer(0) for ring in seen.holes]))


def shadow(piece, placement, eye):
    """Area of the shadow of the mesh solid: turned so that the eye looks down z, then projected."""
    solid = placed(solid_of(piece.shape, True), placement)
    turn = np.array([[*eye.right, 0.0], [*eye.up, 0.0], [*eye.toward, 0.0]])
    return solid.transform(turn).project().area()


def plain(piece, placement, eye):
    """Pieces whose shadow is all they cover: not looked into along a bore, not coped, no opening cut in a round."""
    shape = piece.shape
    along = abs(dot(placement.x, eye.toward)) > 0.999
    if isinstance(shape, Bar):
        flat_ends = isinstance(shape.start, PlaneCut) and isinstance(shape.finish, PlaneCut)
        return flat_ends and not (along and shape.profile.kind in ("tube", "pipe"))
    if isinstance(shape, Shell):
        return not shape.whole and along
    return not (isinstance(shape, Head) and shape.cuts)


@pytest.mark.parametrize("name", standing_pits.FACTS)
def test_a_piece_covers_as_much_paper_as_its_mesh_solid_casts_shadow(name):
    """Independent method: manifold3d's projection of the mesh. Rounds there are polygons: 1 percent, or 1.5 cm2."""
    checked = 0
    for piece in standing_pits.pit(name).parts:
        placement = piece.placements[0]
        for view, eye in EYES.items():
            if piece.group == "grates" or not plain(piece, placement, eye):
                continue
            area, cast = covered(see(piece, placement, eye)).area, shadow(piece, placement, eye)
            assert area == pytest.approx(cast, rel=0.01, abs=1.5e-4), (piece.mark, piece.name, view)
            checked += 1
    assert checked > 60


@pytest.mark.parametrize("view", EYES)
@pytest.mark.parametrize("name", standing_pits.FACTS)
def test_what_shows_of_all_pieces_adds_up_to_the_shadow_of_the_pit(name, view):
    pit, eye = standing_pits.pit(name), EYES[view]
    covers = [
        covered(see(piece, placement, eye))
        for piece in pit.parts
        if piece.group != "grates"
        for placement in piece.placements
    ]
    whole = union_all(covers).area
    assert sum(s.area for s in look(pit.parts, eye).shown) == pytest.approx(whole, abs=2e-4)


def test_a_disc_half_behind_a_plate_is_drawn_as_half_a_circle():
    disc = Plate(outline=Outline.circle(0.0, 0.0, 1.0), thickness=0.01)
    front = Plate(outline=Outline.rectangle(0.0, -2.0, 2.0, 2.0), thickness=0.01)
    level = Placement()
    raised = Placement(origin=(0.0, 0.0, 1.0))
    eye = eyes.from_above(-1)  # right is +x, up is -y
    lines = look([part("A", disc, level), part("B", front, raised)], eye).lines
    (arc,) = [line for line in lines if isinstance(line, Arc)]
    assert arc.radius == 1.0
    assert abs(arc.sweep) == pytest.approx(math.pi, abs=1e-3)
    assert arc.at(arc.start + arc.sweep / 2.0)[0] == pytest.approx(-1.0, abs=1e-6)


def test_a_disc_that_nothing_hides_stays_a_circle():
    disc = Plate(outline=Outline.circle(0.2, 0.1, 0.5, (Outline.circle(0.2, 0.1, 0.3),)), thickness=0.01)
    lines = look([part("A", disc)], eyes.from_above(-1)).lines
    assert sorted(line.radius for line in lines if isinstance(line, Circle)) == [0.3, 0.5]


def test_hidden_edges_of_a_dashed_group_are_drawn_dashed():
    low = Plate(outline=Outline.rectangle(0.0, 0.0, 1.0, 1.0), thickness=0.01)
    high = Plate(outline=Outline.rectangle(-1.0, 0.25, 2.0, 0.75), thickness=0.01)
    over = Placement(origin=(0.0, 0.0, 1.0))
    lines = look([part("A", low), part("B", high, over)], eyes.from_above(-1), dashed=("base",)).lines
    dashed = [line for line in lines if line.role == "hidden"]
    length = sum(math.dist(p, q) for line in dashed for p, q in zip(_points(line), _points(line)[1:], strict=False))
    assert length == pytest.approx(1.0, abs=1e-6)  # half of each of two sides


def _points(line):
    if isinstance(line, Line):
        return [line.a, line.b]
    assert isinstance(line, Polyline)
    return [*line.points, line.points[0]] if line.closed else list(line.points)


@given(
    lean=st.floats(-0.9, 0.9),
    foot=st.floats(-0.7, 0.7),
    top=st.floats(-0.7, 0.7),
    turn=st.floats(0.0, math.pi / 2.0),
)
def test_a_square_tube_covers_the_tight_ring_round_its_corners(lean, foot, top, turn):
    """A straight tube with plane ends is convex: seen from anywhere it covers the hull of its eight corners."""
    bar = Bar(
        profile=tube(0.05, 0.05, 0.005),
        x0=0.0,
        x1=0.8,
        start=PlaneCut(point=(0.0, 0.0, 0.0), normal=(-math.cos(foot), 0.0, -math.sin(foot))),
        finish=PlaneCut(point=(0.8, 0.0, 0.0), normal=(math.cos(top), math.sin(top), 0.0)),
    )
    c, s = math.cos(lean), math.sin(lean)
    u, v = math.cos(turn), math.sin(turn)
    placement = Placement(x=(0.0, s, c), y=(u, -v * c, v * s), z=(v, u * c, -u * s))
    assert dot(placement.x, placement.y) == pytest.approx(0.0, abs=1e-12)
    half = 0.025
    corners = []
    for y in (-half, half):
        for z in (-half, half):
            corners.append((-z * math.tan(foot), y, z))
            corners.append((0.8 - y * math.tan(top), y, z))
    for eye in EYES.values():
        ring = Polygon(hull([eye.point(placement.point(p)) for p in corners]))
        assert covered(see(part("A", bar, placement), placement, eye)).area == pytest.approx(ring.area, abs=1e-7)


@given(st.lists(st.tuples(st.floats(-5.0, 5.0), st.floats(-5.0, 5.0)), min_size=3, max_size=40))
def test_the_hull_is_the_one_shapely_finds(points):
    from shapely import MultiPoint

    points = [(round(x, 3), round(y, 3)) for x, y in points]
    ring = hull(points)
    area = Polygon(ring).area if len(ring) > 2 else 0.0
    assert area == pytest.approx(MultiPoint(points).convex_hull.area, abs=1e-6)


@pytest.mark.parametrize("hand", [1, -1])
def test_the_side_view_has_the_firebox_on_the_side_it_is_on(hand):
    fire_end, stack_end = (-0.5, 0.0, 0.3), (2.0, 0.0, 1.0)
    eye = eyes.from_working_side(hand)
    assert (eye.point(fire_end)[0] > eye.point(stack_end)[0]) == (hand > 0)
    assert eyes.from_stack_end(hand).point((0.0, 1.0, 0.0))[0] == hand
    assert eyes.from_fire_end(hand).point((0.0, 1.0, 0.0))[0] == -hand
    assert eyes.from_above(hand).point((0.0, 1.0, 0.0))[1] == -1.0
