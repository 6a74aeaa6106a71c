"""Clocks, pulls and blanks of a round skin."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.geometry import skin

RADII = st.floats(0.05, 3.0)


@given(RADII, st.floats(0.0, 1.0))
def test_chord_is_the_distance_between_the_marks(radius, share):
    arc = share * 2.0 * math.pi * radius
    one, other = (
        (radius * math.sin(around / radius), radius * math.cos(around / radius)) for around in (0.3, 0.3 + arc)
    )
    assert skin.chord_across(radius, arc) == pytest.approx(math.dist(one, other), abs=1e-12)


@given(st.floats(-50.0, 50.0))
def test_half_turn(clock):
    turned = skin.half_turn_clock(clock)
    assert -math.pi < turned <= math.pi
    assert math.cos(turned - clock) == pytest.approx(1.0, abs=1e-12)


def test_half_turn_keeps_the_bottom_positive():
    assert skin.half_turn_clock(-math.pi) == math.pi
    assert skin.half_turn_clock(math.pi) == math.pi


def test_worked_wrap_diagonal():
    # Shop sum: a door 34 in along and 21-1/4 in around.
    assert skin.wrap_diagonal(34.0, 21.25) == pytest.approx(40.09375, abs=1 / 64)


def test_blank_of_rolled_plate():
    # The middle of the wall, once round: pi (D - t).
    assert skin.blank_length(12.0, 0.25) == pytest.approx(math.pi * (24.0 - 0.25))
    assert skin.blank_length(12.0, 0.25, neutral=1.0) == pytest.approx(math.pi * 24.0)
    assert skin.blank_length(12.0, 0.25, math.pi, 0.0) == pytest.approx(math.pi * 11.75)


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: skin.chord_across(1.0, 7.0), "arc"),
        (lambda: skin.blank_length(0.0, 0.01), "outside_radius"),
        (lambda: skin.blank_length(1.0, 1.5), "wall"),
    ],
)
def test_unusable_sizes_are_refused(call, field):
    with pytest.raises(LayoutError) as error:
        call()
    assert error.value.field == field
