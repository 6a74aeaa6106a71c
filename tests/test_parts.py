"""Outlines and placements against closed forms, shapely, and points carried by hand."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from pitwright.parts import Outline, Part, Placement, Plate, arc_of, bulge_of

SIZES = st.floats(0.01, 3.0)
SPOTS = st.floats(-2.0, 2.0)
BENDS = st.floats(-0.9, 0.9)


@given(SPOTS, SPOTS, SIZES)
def test_circle_has_its_closed_form(x, y, r):
    circle = Outline.circle(x, y, r)
    area, sx, sy = circle.moments()
    assert area == pytest.approx(math.pi * r * r, rel=1e-12)
    assert (sx, sy) == pytest.approx((area * x, area * y), rel=1e-9, abs=1e-12)
    assert circle.perimeter == pytest.approx(2.0 * math.pi * r, rel=1e-12)
    assert circle.bounds() == pytest.approx((x - r, y - r, x + r, y + r), abs=1e-9)


def test_half_disc_centroid():
    # 4 r / (3 pi) from the diameter: any table of plane areas (Machinery's Handbook, from memory).
    half = Outline(((0.0, 0.0), (2.0, 0.0)), (0.0, 1.0))
    area, sx, sy = half.moments()
    assert area == pytest.approx(math.pi / 2.0)
    assert sy / area == pytest.approx(4.0 / (3.0 * math.pi))
    assert sx / area == pytest.approx(1.0)


@given(st.lists(st.tuples(st.floats(0.5, 1.5), BENDS), min_size=3, max_size=8))
def test_moments_of_bent_polygons_against_shapely(rays):
    n = len(rays)
    # Bulges small enough that neighbouring arcs cannot cross.
    points = tuple(
        (r * math.cos(2 * math.pi * i / n), r * math.sin(2 * math.pi * i / n)) for i, (r, _) in enumerate(rays)
    )
    outline = Outline(points, tuple(0.2 * b for _, b in rays))
    fine = Polygon(outline.flattened(1e-6))
    area, sx, sy = outline.moments()
    assert area == pytest.approx(fine.area, rel=2e-5)
    assert (sx / area, sy / area) == pytest.approx((fine.centroid.x, fine.centroid.y), abs=2e-5)
    assert outline.perimeter == pytest.approx(fine.length, rel=2e-5)
    assert outline.bounds() == pytest.approx(fine.bounds, abs=2e-5)


@given(st.lists(BENDS, min_size=4, max_size=4))
def test_the_way_round_does_not_matter(bends):
    points = ((0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0))
    there = Outline(points, tuple(0.3 * b for b in bends))
    back = Outline(points[::-1], tuple(-0.3 * b for b in (bends[2], bends[1], bends[0], bends[3])))
    assert there.moments() == pytest.approx(back.moments(), rel=1e-9, abs=1e-12)


def test_holes_are_taken_off():
    plate = Outline.rectangle(
        0.0, 0.0, 2.0, 1.0, (Outline.circle(0.5, 0.5, 0.2), Outline.rectangle(1.0, 0.2, 1.5, 0.4))
    )
    assert plate.area == pytest.approx(2.0 - math.pi * 0.04 - 0.1)


@given(SPOTS, SPOTS, st.floats(0.1, 2.0), st.floats(0.2, 3.0), st.floats(-6.0, 6.0))
def test_arc_of_turns_back_what_made_it(x, y, radius, start, sweep):
    if abs(sweep) < 0.05:
        return
    p = (x + radius * math.cos(start), y + radius * math.sin(start))
    q = (x + radius * math.cos(start + sweep), y + radius * math.sin(start + sweep))
    centre, r, a, s = arc_of(p, q, bulge_of(sweep))
    assert centre == pytest.approx((x, y), abs=1e-8)
    assert (r, s) == pytest.approx((radius, sweep), rel=1e-9)
    assert math.cos(a - start) == pytest.approx(1.0)


@given(st.floats(1e-5, 1e-2))
def test_flattened_points_lie_on_the_arc_within_the_step(step):
    points = Outline.circle(0.0, 0.0, 1.0).flattened(step)
    for p, q in pairwise(points):
        assert math.hypot(*p) == pytest.approx(1.0)
        assert 1.0 - math.hypot((p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0) <= step * (1.0 + 1e-9)


def test_placement_carries_points_and_knows_its_hand():
    turned = Placement(origin=(1.0, 2.0, 3.0), x=(0.0, 1.0, 0.0), y=(-1.0, 0.0, 0.0))
    assert turned.point((1.0, 2.0, 3.0)) == pytest.approx((-1.0, 3.0, 6.0))
    assert turned.direction((1.0, 0.0, 0.0)) == pytest.approx((0.0, 1.0, 0.0))
    assert not turned.mirrored
    over = Placement(y=(0.0, -1.0, 0.0))
    assert over.mirrored
    piece = Part(
        mark="A1",
        name="plate",
        group="base",
        shape=Plate(outline=Outline.rectangle(0, 0, 1, 1), thickness=0.01),
        stock="plate",
        placements=(turned, over, over),
    )
    assert (piece.quantity, piece.handed) == (3, (1, 2))
