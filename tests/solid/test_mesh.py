"""Mesh solids against closed forms, and pieces found in one place."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import sample_pieces as sample
from pitwright.parts import Bar, CylinderCut, Head, Outline, Part, Placement, PlaneCut, Plate, Shell
from pitwright.solid.mesh import overlaps, pit_solids, placed, solid_of, triangles
from pitwright.stock import pipe, tube

RADII = st.floats(0.02, 1.0)


def block(mark, size, *origins):
    a, b, c = size
    return Part(
        mark=mark,
        name="block",
        group="base",
        shape=Plate(outline=Outline.rectangle(0.0, 0.0, a, b), thickness=c),
        stock="plate",
        placements=tuple(Placement(origin=o) for o in origins),
    )


@given(RADII, st.floats(0.002, 0.015))
def test_rounds_have_true_area_and_stay_near_the_true_skin(radius, wall):
    shell = solid_of(Shell(outer_radius=radius, wall=wall, length=1.0))
    assert shell.volume() == pytest.approx(math.pi * wall * (2.0 * radius - wall), rel=1e-5)
    corners, faces = triangles(shell)
    rho = np.hypot(corners[:, 1], corners[:, 2])
    out = rho > radius - wall / 2.0
    assert np.abs(rho[out] - radius).max() < 0.4e-3 * max(radius, 0.5)
    # The middles of the facets are the deepest of the skin.
    skin = faces[out[faces].all(axis=1) & (np.ptp(corners[faces][:, :, 0], axis=1) > 0.5)]
    deep = np.hypot(*((corners[skin].min(axis=1) + corners[skin].max(axis=1)) / 2.0)[:, 1:].T)
    assert len(skin) > 40
    assert np.abs(deep - radius).max() < 0.4e-3 * max(radius, 0.5)


def test_round_corners_of_tube():
    stock = tube(0.1, 0.06, 0.005, system="metric")
    solid = solid_of(Bar.square(stock, 1.0))
    assert solid.volume() == pytest.approx(stock.area_nominal, rel=1e-6)
    square = solid_of(Bar.square(stock, 1.0), True)
    assert square.volume() == pytest.approx(0.1 * 0.06 - 0.09 * 0.05, rel=1e-6)


@pytest.mark.parametrize("kind", ["ellipsoidal", "hemispherical", "torispherical"])
def test_heads_stay_near_their_true_faces(kind):
    head = Head(kind=kind, outer_radius=0.5, wall=0.008, depth=0.26, crown=1.0, knuckle=0.06)
    corners, _ = triangles(solid_of(head))
    rho = np.hypot(corners[:, 1], corners[:, 2])
    if kind == "hemispherical":
        off = np.minimum(abs(np.hypot(rho, corners[:, 0]) - 0.5), abs(np.hypot(rho, corners[:, 0]) - 0.492))
        assert off.max() < 0.6e-3
    assert corners[:, 0].max() == pytest.approx(solid_of(head).bounding_box()[3])
    depth = {"ellipsoidal": 0.26, "hemispherical": 0.5, "torispherical": 1.0 - math.sqrt(0.94**2 - 0.44**2)}[kind]
    assert corners[:, 0].max() == pytest.approx(depth, abs=1e-6)


def test_cope_follows_the_round_it_sits_on():
    # Every corner of the cope lies on the header's true skin within its own facets.
    radius = 0.45
    bar = Bar(
        profile=pipe(0.2, 0.006, system="metric"),
        x0=0.0,
        x1=0.5,
        start=CylinderCut(point=(-radius, 0.12, 0.0), axis=(0.0, 0.0, 1.0), radius=radius),
        finish=PlaneCut(point=(0.5, 0.0, 0.0), normal=(1.0, 0.0, 0.0)),
    )
    corners, _ = triangles(solid_of(bar))
    cope = corners[corners[:, 0] < 0.4]
    assert len(cope) > 100
    assert np.abs(np.hypot(cope[:, 0] + radius, cope[:, 1] - 0.12) - radius).max() < 0.25e-3


def test_mirrored_copies_are_whole_solids():
    leg = next(p for p in sample.sample_pit() if p.mark == "L1")
    solid = solid_of(leg.shape)
    over = placed(solid, Placement(origin=(0.0, 0.0, 1.0), y=(0.0, -1.0, 0.0)))
    assert over.volume() == pytest.approx(solid.volume(), rel=1e-9)
    x0, y0, z0, x1, y1, z1 = solid.bounding_box()
    assert over.bounding_box() == pytest.approx((x0, -y1, z0 + 1.0, x1, -y0, z1 + 1.0))


def test_every_copy_is_there_once():
    parts = sample.sample_pit()
    solids = pit_solids(parts)
    assert len(solids) == sum(p.quantity for p in parts)
    assert len({(p.mark, copy) for p, copy, _ in solids}) == len(solids)
    assert all(not solid.is_empty() for _, _, solid in solids)


def test_blocks_in_one_place_are_found_with_their_depth():
    parts = (block("A", (1.0, 1.0, 0.1), (0.0, 0.0, 0.0)), block("B", (0.5, 0.5, 0.1), (0.2, 0.2, 0.097)))
    (found,) = overlaps(parts)
    assert found.volume == pytest.approx(0.5 * 0.5 * 0.003, rel=1e-9)
    assert found.depth == pytest.approx(2 * 0.25 * 0.003 / (2 * 0.25 + 4 * 0.5 * 0.003), rel=1e-9)
    assert (found.first.mark, found.second.mark) == ("A", "B")
    assert found.low == pytest.approx((0.2, 0.2, 0.097))
    assert found.high == pytest.approx((0.7, 0.7, 0.1))
    assert overlaps(parts, tolerance=0.004) == ()


def test_touching_and_standing_apart_is_no_overlap():
    assert overlaps((block("A", (1.0, 1.0, 0.1), (0.0, 0.0, 0.0), (0.0, 0.0, 0.1), (0.0, 0.0, 0.5)),)) == ()


def test_the_deepest_overlap_comes_first_and_copies_are_told_apart():
    parts = (
        block("A", (1.0, 1.0, 0.1), (0.0, 0.0, 0.0)),
        block("B", (1.0, 1.0, 0.1), (0.0, 0.0, 0.09), (0.0, 0.0, -0.05)),
    )
    found = overlaps(parts)
    assert [(o.second.mark, o.second_copy) for o in found] == [("B", 1), ("B", 0)]


def test_pieces_that_touch_in_truth_do_not_overlap():
    # Coped legs, a coped stack and a coped firebox against a round vessel: only facets keep them from touching.
    assert overlaps(sample.sample_pit()) == ()
