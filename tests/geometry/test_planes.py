"""Compound cuts against the shop's own sums, plain turning of vectors, and the rules of mirror images."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.geometry import planes as pl
from pitwright.parts import dot

LEANS = st.floats(-1.0, 1.0)
SETTINGS = st.floats(-1.4, 1.4)
UP = (0.0, 0.0, 1.0)


def degrees(*angles):
    return tuple(math.degrees(a) for a in angles)


@given(LEANS, LEANS)
def test_axes_are_square_and_right_handed(lean_in, lean_along):
    axes = pl.leaning_axes(lean_in, lean_along)
    rows = (axes.across, axes.deep, axes.along)
    for i, one in enumerate(rows):
        for k, other in enumerate(rows):
            assert dot(one, other) == pytest.approx(1.0 if i == k else 0.0, abs=1e-14)
    assert axes.deep[0] > 0.0
    assert axes.across[0] == 0.0
    # Lean as each view shows it.
    assert math.atan2(-axes.along[1], axes.along[2]) == pytest.approx(lean_in, abs=1e-14)
    assert math.atan2(axes.along[0], axes.along[2]) == pytest.approx(lean_along, abs=1e-14)
    assert math.acos(min(1.0, axes.along[2])) == pytest.approx(pl.true_lean(lean_in, lean_along), abs=1e-7)


@given(LEANS, LEANS, SETTINGS, SETTINGS)
def test_directions_go_there_and_back(lean_in, lean_along, a, b):
    axes = pl.leaning_axes(lean_in, lean_along)
    assert axes.seen(axes.placed((a, b, 0.5))) == pytest.approx((a, b, 0.5), abs=1e-14)


@given(SETTINGS, SETTINGS)
def test_saw_setting_is_the_blade_turned(mitre, tilt):
    """The blade starts square (normal along the tube), tilts about the across axis, then turns about the deep axis."""
    x, y, z = 0.0, math.sin(tilt), math.cos(tilt)
    turned = (x * math.cos(mitre) + z * math.sin(mitre), y, -x * math.sin(mitre) + z * math.cos(mitre))
    setting = pl.saw_setting(turned)
    assert (setting.mitre, setting.tilt) == pytest.approx((mitre, tilt), abs=1e-12)
    assert math.cos(setting.off_square) == pytest.approx(turned[2], abs=1e-12)


@given(LEANS, LEANS)
def test_mirrored_lean_mirrors_the_tilt_only(lean_in, lean_along):
    one = pl.saw_setting(pl.cut_normal(pl.leaning_axes(lean_in, lean_along), UP))
    other = pl.saw_setting(pl.cut_normal(pl.leaning_axes(lean_in, -lean_along), UP))
    assert other.mitre == pytest.approx(one.mitre, abs=1e-14)
    assert other.tilt == pytest.approx(-one.tilt, abs=1e-14)


@given(LEANS)
def test_plain_lean_needs_no_tilt(lean):
    setting = pl.saw_setting(pl.cut_normal(pl.leaning_axes(lean), UP))
    assert setting.mitre == pytest.approx(lean, abs=1e-14)
    assert setting.tilt == 0.0
    assert setting.off_square == pytest.approx(abs(lean), abs=1e-12)


def test_worked_lean_both_ways():
    """Shop sum: 11.3 in and 6 along make a true lean of 12.7; the foot cut is mitre 11.35 and tilt 5.77."""
    lean = math.radians(11.3), math.radians(6.0)
    setting = pl.saw_setting(pl.cut_normal(pl.leaning_axes(*lean), UP))
    # The sum carries the lean unrounded (11.29), so its last digit may differ by one.
    assert degrees(setting.mitre, abs(setting.tilt)) == pytest.approx((11.35, 5.77), abs=0.015)
    assert math.degrees(pl.true_lean(*lean)) == pytest.approx(12.7, abs=0.05)
    assert setting.off_square == pytest.approx(pl.true_lean(*lean), rel=1e-12)
    assert setting.tilt < 0.0


def test_worked_corner_angles():
    """Shop sums: inside and outside, 78.7 and 101.3 at the foot, 56.3 and 123.7 at the shell (lean 11.3, clock 45)."""
    axes = pl.leaning_axes(math.radians(11.3))
    inner = tuple(-c for c in axes.across)
    foot = pl.angle_between_faces(inner, UP), pl.angle_between_faces(axes.across, UP)
    assert degrees(*foot) == pytest.approx((78.7, 101.3), abs=0.01)
    skin = (0.0, math.sin(math.radians(45.0)), -math.cos(math.radians(45.0)))
    shell = pl.angle_between_faces(inner, skin), pl.angle_between_faces(axes.across, skin)
    assert degrees(*shell) == pytest.approx((56.3, 123.7), abs=0.01)
    assert pl.angle_between_faces((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)) == pytest.approx(math.pi / 2.0)


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: pl.leaning_axes(math.pi / 2.0), "lean_in"),
        (lambda: pl.leaning_axes(0.0, math.nan), "lean_along"),
        (lambda: pl.cut_normal(pl.leaning_axes(0.0), (0.0, 1.0, 0.0)), "normal"),
    ],
)
def test_impossible_cuts_are_refused(call, field):
    with pytest.raises(LayoutError) as error:
        call()
    assert error.value.field == field
