"""Partly filled vessels against fluids over a grid of levels, and the rules a level must keep."""

import math

import fluids.geometry as fluids
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.geometry import fill
from pitwright.geometry import heads as hd

RADIUS, LENGTH, THICK = 0.5, 2.0, 0.01
LEVELS = [0.01, 0.1, 0.3, 0.5, 0.62, 0.9, 0.999, 1.0]
HEADS = {
    "ellipsoidal": hd.two_to_one_head(RADIUS, THICK),
    "hemispherical": hd.hemispherical_head(RADIUS, THICK),
    "torispherical": hd.torispherical_head(2.0 * RADIUS, 1.0, 0.06, THICK),
    "spherical": hd.dished_head(RADIUS, 0.3, THICK),
    "conical": hd.ConicalHead(radius=RADIUS, depth=0.4, thickness=THICK),
    "flat": hd.FlatHead(radius=RADIUS, plate_radius=RADIUS, thickness=THICK),
    "outside": hd.head_from_outside("ellipsoidal", outer_radius=RADIUS + THICK, wall=THICK, depth=0.26),
}


LYING = {
    "ellipsoidal": lambda h: fluids.V_horiz_ellipsoidal(2.0 * RADIUS, LENGTH, RADIUS / 2.0, h),
    "hemispherical": lambda h: fluids.V_horiz_ellipsoidal(2.0 * RADIUS, LENGTH, RADIUS, h),
    "torispherical": lambda h: fluids.V_horiz_torispherical(2.0 * RADIUS, LENGTH, 1.0, 0.06, h),
    "spherical": lambda h: fluids.V_horiz_spherical(2.0 * RADIUS, LENGTH, 0.3, h),
    "conical": lambda h: fluids.V_horiz_conical(2.0 * RADIUS, LENGTH, 0.4, h),
    "flat": lambda h: LENGTH * fluids.A_partial_circle(2.0 * RADIUS, h),
}
STANDING = {
    "ellipsoidal": lambda h: fluids.V_vertical_ellipsoidal(2.0 * RADIUS, RADIUS / 2.0, h),
    "hemispherical": lambda h: fluids.V_vertical_ellipsoidal(2.0 * RADIUS, RADIUS, h),
    "torispherical": lambda h: fluids.V_vertical_torispherical(2.0 * RADIUS, 1.0, 0.06, h),
    "spherical": lambda h: fluids.V_vertical_spherical(2.0 * RADIUS, 0.3, h),
    "conical": lambda h: fluids.V_vertical_conical(2.0 * RADIUS, 0.4, h),
}


@pytest.mark.parametrize("name", LYING)
@pytest.mark.parametrize("level", LEVELS)
def test_lying_against_fluids(name, level):
    ours = fill.lying_volume(RADIUS, LENGTH, (HEADS[name], HEADS[name]), level)
    assert ours == pytest.approx(LYING[name](level), rel=1e-9)


@pytest.mark.parametrize("name", STANDING)
@pytest.mark.parametrize("level", [0.02, 0.1, 0.2, 0.4, 1.0, 1.9])
def test_standing_against_fluids(name, level):
    """The reference knows the bottom head and the shell over it; the flat top adds nothing."""
    ours = fill.standing_volume(RADIUS, LENGTH, HEADS[name], HEADS["flat"], level)
    assert ours == pytest.approx(STANDING[name](level), rel=1e-9)


@pytest.mark.parametrize("name", HEADS)
def test_full_is_full_either_way_up(name):
    head = HEADS[name]
    whole = fill.vessel_volume(RADIUS, LENGTH, (head, head))
    assert fill.lying_volume(RADIUS, LENGTH, (head, head), 2.0 * RADIUS) == pytest.approx(whole, rel=1e-12)
    assert fill.lying_volume(RADIUS, LENGTH, (head, head), RADIUS) == pytest.approx(whole / 2.0, rel=1e-12)
    height = LENGTH + 2.0 * max(head.inside_depth, 0.0)
    assert fill.standing_volume(RADIUS, LENGTH, head, head, height) == pytest.approx(whole, rel=1e-12)
    assert fill.standing_volume(RADIUS, LENGTH, head, head, height / 2.0) == pytest.approx(whole / 2.0, rel=1e-12)


@given(st.sampled_from(sorted(HEADS)), st.floats(0.0, 1.0))
def test_level_comes_back(name, share):
    heads = (HEADS[name], HEADS["flat"])
    volume = share * fill.vessel_volume(RADIUS, LENGTH, heads)
    level = fill.lying_level(RADIUS, LENGTH, heads, volume)
    assert fill.lying_volume(RADIUS, LENGTH, heads, level) == pytest.approx(volume, rel=1e-9, abs=1e-12)


@given(st.sampled_from(sorted(HEADS)), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_higher_holds_more_and_two_levels_make_a_whole(name, one, other):
    head = HEADS[name]
    low, high = sorted((one, other))
    assert fill.lying_head_volume(head, low) <= fill.lying_head_volume(head, high) + 1e-15
    both = fill.lying_head_volume(head, low) + fill.lying_head_volume(head, 1.0 - low)
    assert both == pytest.approx(fill.lying_head_volume(head, 1.0), rel=1e-9, abs=1e-15)


def test_straight_flanges_and_a_plate_let_in_change_the_length():
    plain = fill.vessel_volume(RADIUS, LENGTH, (HEADS["ellipsoidal"], HEADS["flat"]))
    flanged = hd.two_to_one_head(RADIUS, THICK, 0.05)
    let_in = hd.FlatHead(radius=RADIUS, plate_radius=RADIUS, thickness=THICK, set_in=0.02)
    changed = fill.vessel_volume(RADIUS, LENGTH, (flanged, let_in))
    assert changed - plain == pytest.approx(math.pi * RADIUS**2 * 0.03)
    assert fill.lying_volume(RADIUS, LENGTH, (flanged, let_in), RADIUS) == pytest.approx(changed / 2.0)
    assert fill.standing_volume(RADIUS, LENGTH, let_in, flanged, LENGTH + 0.03 + 0.25) == pytest.approx(changed)
    assert fill.standing_volume(RADIUS, LENGTH, let_in, flanged, 0.5) == pytest.approx(math.pi * RADIUS**2 * 0.5)


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: fill.lying_volume(0.5, 1.0, (HEADS["flat"], HEADS["flat"]), 1.2), "level"),
        (lambda: fill.lying_level(0.5, 1.0, (HEADS["flat"], HEADS["flat"]), 9.0), "volume"),
        (lambda: fill.standing_volume(0.5, 1.0, HEADS["flat"], HEADS["flat"], 1.2), "level"),
        (lambda: fill.crown_volume(HEADS["ellipsoidal"], 0.4), "height"),
        (lambda: fill.vessel_volume(0.5, 0.0, (HEADS["flat"], HEADS["flat"])), "length"),
    ],
)
def test_impossible_levels_are_refused(call, field):
    with pytest.raises(LayoutError) as error:
        call()
    assert error.value.field == field
