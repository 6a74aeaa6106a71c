"""Faces of heads against the head module's own heights, and openings in heads by two ways of adding up."""

import math
import random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import sample_pieces as sample
from pitwright import masses
from pitwright.head_cuts import apart, end_view, taken_out
from pitwright.meridian import bends, faces, head_form, stands_out
from pitwright.parts import CylinderCut, Head, Outline, PrismCut

KINDS = ["ellipsoidal", "hemispherical", "torispherical"]


def head(kind, depth=0.24, flange=0.03):
    return Head(kind=kind, outer_radius=0.5, wall=0.01, depth=depth, flange=flange, crown=0.9, knuckle=0.08)


@pytest.mark.parametrize("kind", KINDS)
def test_heights_agree_with_the_head_module(kind):
    own = head(kind)
    form = head_form(own)
    rho = np.linspace(0.0, 0.489, 40)
    inside, outside = stands_out(own, rho)
    assert inside == pytest.approx([form.inside_height(r) for r in rho], abs=1e-9)
    assert outside == pytest.approx([form.outside_height(r) for r in rho], abs=1e-9)
    rim_inside, _ = stands_out(own, np.array([0.495]))
    assert rim_inside == pytest.approx([-0.03])


@pytest.mark.parametrize("kind", KINDS)
def test_faces_are_one_plate_apart_and_end_on_the_flange(kind):
    outside, inside = faces(head(kind), 20)
    assert len(outside) == len(inside)
    gaps = [math.dist(p, q) for p, q in zip(outside, inside, strict=True)]
    assert gaps == pytest.approx([0.01] * len(gaps), abs=1e-12)
    assert outside[-1] == pytest.approx((0.5, -0.03))
    assert outside[0][0] == pytest.approx(0.0, abs=1e-12)
    assert all(0.0 < r < 0.5 for r in bends(head(kind)))


def test_flat_heads_have_plain_faces():
    flat = Head(kind="flat", outer_radius=0.5, wall=0.01, depth=0.01)
    assert faces(flat) == ([(0.0, 0.01), (0.5, 0.01), (0.5, 0.0)], [(0.0, 0.0), (0.5, 0.0)])
    inside, outside = stands_out(flat, np.array([0.1]))
    assert (inside[0], outside[0]) == (0.0, 0.01)


@given(st.integers(0, 10**6))
def test_openings_by_their_edge_and_by_lines_through_them(seed):
    # Green's theorem round the edge against lines through the steel: two methods with nothing in common but the head.
    rng = random.Random(seed)
    kind = rng.choice([*KINDS, "flat"])
    own = head(kind, depth=0.01 if kind == "flat" else 0.24, flange=rng.choice((0.0, 0.03)))
    spot = (0.0, rng.uniform(-0.3, 0.3), rng.uniform(-0.3, 0.3))
    if rng.random() < 0.5:
        cut = CylinderCut(point=spot, axis=(1.0, 0.0, 0.0), radius=rng.uniform(0.02, 0.2))
    else:
        outline = sample._outline(rng, rng.uniform(0.05, 0.15))
        u, v = rng.choice((((0, 1, 0), (0, 0, 1)), ((0, 0, 1), (0, 1, 0)), ((0, 0.6, 0.8), (0, -0.8, 0.6))))
        cut = PrismCut(outline=outline, origin=spot, u=u, v=v)
    knives = [masses.knife_of(cut)]
    threads = masses.Threads.of(masses.disc_threads(masses._radii(own, knives, 2)))
    first, last = stands_out(own, threads.radius)
    whole = masses.left_over(threads, (), first, last)
    left = masses.left_over(threads, knives, first, last, 4)
    by_lines = [a - b for a, b in zip(whole, left, strict=True)]
    by_edge = taken_out(own, end_view(cut))
    assert by_edge == pytest.approx(by_lines, rel=2e-3, abs=2e-3 * by_edge[0])


def test_openings_that_run_slanting_or_end_inside_are_left_to_the_lines():
    assert end_view(CylinderCut(point=(0, 0, 0), axis=(1.0, 0.1, 0.0), radius=0.1)) is None
    assert end_view(CylinderCut(point=(0, 0, 0), axis=(1, 0, 0), radius=0.1, reach=(0.0, 1.0))) is None
    tilted = PrismCut(outline=Outline.circle(0, 0, 0.1), origin=(0, 0, 0), u=(0.6, 0.8, 0.0), v=(0.0, 0.0, 1.0))
    assert end_view(tilted) is None


def test_openings_that_meet_are_told():
    one, other, far = Outline.circle(0, 0, 0.1), Outline.circle(0.15, 0, 0.1), Outline.circle(0.3, 0, 0.05)
    assert not apart([one, other])
    assert apart([one, far])


def test_openings_that_lap_are_not_taken_twice():
    lapped = Head(
        kind="flat",
        outer_radius=0.5,
        wall=0.01,
        depth=0.01,
        cuts=tuple(CylinderCut(point=(0.0, y, 0.0), axis=(1.0, 0.0, 0.0), radius=0.1) for y in (-0.05, 0.05)),
    )
    # Two circles of radius r at distance d = r share 2 r2 (pi/3 - sqrt(3)/4) (Weisstein, "Lens").
    both = 0.02 * math.pi - 2.0 * 0.01 * (math.pi / 3.0 - math.sqrt(3.0) / 4.0)
    assert masses.volume_of(lapped).volume == pytest.approx((0.25 * math.pi - both) * 0.01, rel=3e-4)
