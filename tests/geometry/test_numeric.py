"""Roots, integrals and turning values against closed forms and scipy."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from pitwright.errors import LayoutError
from pitwright.geometry.numeric import find_root, integrate, integrate_closely, lowest, turning_values, within


@given(st.floats(1e-6, 1e3))
def test_root_agrees_with_scipy(value):
    def cubic(x):
        return x**3 + x - value

    ours = find_root(cubic, 0.0, 20.0)
    assert ours == pytest.approx(brentq(cubic, 0.0, 20.0, xtol=1e-15, rtol=1e-15), rel=1e-13)


def test_root_at_an_end_and_none_at_all():
    assert find_root(lambda x: x - 2.0, 0.0, 2.0) == 2.0
    assert find_root(lambda x: x, 0.0, 2.0) == 0.0
    with pytest.raises(LayoutError) as error:
        find_root(lambda x: x + 1.0, 0.0, 2.0, field="rise")
    assert error.value.field == "rise"


def test_steep_root_is_found():
    assert find_root(lambda x: math.exp(60.0 * x) - 2.0, -10.0, 10.0) == pytest.approx(math.log(2.0) / 60.0, rel=1e-12)


def test_integrals_have_closed_forms():
    assert integrate(math.sin, 0.0, math.pi) == pytest.approx(2.0, abs=1e-14)
    # A quarter circle: the edge is vertical at the far end.
    assert integrate_closely(lambda x: math.sqrt(max(1.0 - x * x, 0.0)), 0.0, 1.0) == pytest.approx(
        math.pi / 4.0, abs=1e-13
    )


def test_lowest_counts_the_ends():
    assert lowest(lambda x: (x - 0.3) ** 2, 0.0, 1.0)[0] == pytest.approx(0.3, abs=1e-7)
    assert lowest(lambda x: x, 0.25, 1.0) == (0.25, 0.25)
    assert lowest(lambda x: -x, 0.25, 1.0) == (1.0, -1.0)


@given(st.floats(-3.0, 3.0), st.floats(0.1, 10.0))
def test_turning_values_of_a_shifted_cosine(shift, size):
    low_at, low, high_at, high = turning_values(lambda x: size * math.cos(x - shift))
    assert low == pytest.approx(-size, rel=1e-13)
    assert high == pytest.approx(size, rel=1e-13)
    assert math.cos(high_at - shift) == pytest.approx(1.0, abs=1e-12)
    assert math.cos(low_at - shift) == pytest.approx(-1.0, abs=1e-12)


def test_within_forgives_rounding_only():
    assert within("level", 1.0 + 1e-14, 0.0, 1.0, "0 to 1") == 1.0
    assert within("level", -1e-14, 0.0, 1.0, "0 to 1") == 0.0
    for wrong in (1.0001, -0.0001, math.nan, math.inf):
        with pytest.raises(LayoutError):
            within("level", wrong, 0.0, 1.0, "0 to 1")
    with pytest.raises(LayoutError):
        within("crown", math.inf, 0.0, math.inf, "0 or more")
