"""Tape and angle on a round skin."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.geometry import skin

RADII = st.floats(0.05, 3.0)


@given(RADII, st.floats(-5.0, 5.0), st.floats(-0.99, 0.99))
def test_a_mark_comes_back(radius, station, share):
    around = share * math.pi * radius
    point = skin.skin_point(radius, station, around)
    assert math.hypot(point[1], point[2]) == pytest.approx(radius, rel=1e-14)
    assert skin.mark_of_point(point) == pytest.approx((station, around), abs=1e-12)
    mirrored = skin.mark_of_point((point[0], -point[1], point[2]))
    assert mirrored == pytest.approx((station, -around), abs=1e-12)


@given(RADII, st.floats(0.0, 1.0))
def test_chord_is_the_distance_between_the_marks(radius, share):
    arc = share * 2.0 * math.pi * radius
    one, other = skin.skin_point(radius, 0.0, 0.3), skin.skin_point(radius, 0.0, 0.3 + arc)
    assert skin.chord_across(radius, arc) == pytest.approx(math.dist(one, other), abs=1e-12)


@given(st.floats(-50.0, 50.0))
def test_half_turn(clock):
    turned = skin.half_turn_clock(clock)
    assert -math.pi < turned <= math.pi
    assert math.cos(turned - clock) == pytest.approx(1.0, abs=1e-12)


def test_half_turn_keeps_the_bottom_positive():
    assert skin.half_turn_clock(-math.pi) == math.pi
    assert skin.half_turn_clock(math.pi) == math.pi


def test_worked_door_lines():
    # Shop sums on a vessel 94-1/2 in around: hinge 15 degrees, lower edge 96, leg 135, and the wrap diagonal.
    radius = skin.radius_from_around(94.5)
    assert 2.0 * radius == pytest.approx(30.08, abs=0.005)
    for degrees, around in ((15.0, 3.9375), (93.8, 24.625), (96.0, 25.1875), (135.0, 35.4375), (180.0, 47.25)):
        assert skin.around_from_clock(radius, math.radians(degrees)) == pytest.approx(around, abs=1 / 32)
    assert skin.clock_from_around(radius, 1.0) == pytest.approx(math.radians(3.81), abs=1e-4)
    assert skin.wrap_diagonal(34.0, 21.25) == pytest.approx(40.09375, abs=1 / 64)


def test_blank_of_rolled_plate():
    # The middle of the wall, once round: pi (D - t).
    assert skin.blank_length(12.0, 0.25) == pytest.approx(math.pi * (24.0 - 0.25))
    assert skin.blank_length(12.0, 0.25, neutral=1.0) == pytest.approx(math.pi * 24.0)
    assert skin.blank_length(12.0, 0.25, math.pi, 0.0) == pytest.approx(math.pi * 11.75)


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: skin.radius_from_around(0.0), "around"),
        (lambda: skin.chord_across(1.0, 7.0), "arc"),
        (lambda: skin.clock_from_around(-1.0, 1.0), "outside_radius"),
        (lambda: skin.blank_length(1.0, 1.5), "wall"),
    ],
)
def test_unusable_sizes_are_refused(call, field):
    with pytest.raises(LayoutError) as error:
        call()
    assert error.value.field == field
