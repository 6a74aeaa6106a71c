"""The overlap of two circles, against fine polygons, thin slices and the shop's own sums."""

import math

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.geometry import lens as ls
from pitwright.geometry.numeric import integrate_closely

INCH = 0.0254
RADII = st.floats(0.2, 3.0)
SHARES = st.floats(0.02, 0.98)


def circle(radius, height, count=4000):
    step = 2.0 * math.pi / count
    return shapely.Polygon([(radius * math.cos(k * step), height + radius * math.sin(k * step)) for k in range(count)])


def drop_between(upper, lower, share):
    """A drop at which the two really form a lens."""
    return abs(upper - lower) + share * (upper + lower - abs(upper - lower))


@given(RADII, RADII, SHARES)
def test_area_agrees_with_the_textbook_formula(upper, lower, share):
    drop = drop_between(upper, lower, share)
    a = (drop**2 + upper**2 - lower**2) / (2.0 * drop)
    expected = (
        upper**2 * math.acos(a / upper)
        - a * math.sqrt(upper**2 - a**2)
        + lower**2 * math.acos((drop - a) / lower)
        - (drop - a) * math.sqrt(lower**2 - (drop - a) ** 2)
    )
    shape = ls.lens(upper, lower, drop)
    assert shape.kind == "lens"
    assert shape.area == pytest.approx(expected, rel=1e-7)
    # Corners lie on both circles.
    assert math.hypot(shape.half_width, shape.corner) == pytest.approx(upper, rel=1e-12)
    assert math.hypot(shape.half_width, shape.corner + drop) == pytest.approx(lower, rel=1e-12)


@pytest.mark.parametrize(
    ("upper", "lower", "drop"), [(1.0, 0.8, 1.2), (1.0, 0.3, 0.9), (0.4, 1.0, 0.8), (1.0, 1.0, 0.1)]
)
def test_window_agrees_with_fine_polygons(upper, lower, drop):
    shape = ls.lens(upper, lower, drop)
    both = circle(upper, 0.0).intersection(circle(lower, -drop))
    assert shape.area == pytest.approx(both.area, rel=1e-5)
    assert shape.centroid == pytest.approx(both.centroid.y, abs=1e-5)
    assert shape.widest == pytest.approx(both.bounds[2] - both.bounds[0], rel=1e-5)
    assert (shape.bottom, shape.top) == pytest.approx((both.bounds[1], both.bounds[3]), abs=1e-5)
    for share in (0.1, 0.3, 0.6, 0.9):
        dam = shape.bottom + share * shape.height
        open_part = both.intersection(shapely.box(-5.0, dam, 5.0, 5.0))
        window = ls.window_above(shape, dam)
        assert window.area == pytest.approx(open_part.area, rel=1e-5)
        assert window.area + window.closed == pytest.approx(shape.area, rel=1e-13)
        assert window.centroid == pytest.approx(open_part.centroid.y, abs=1e-5)
        assert window.widest == pytest.approx(open_part.bounds[2] - open_part.bounds[0], rel=1e-5)
        assert window.height == pytest.approx(open_part.bounds[3] - open_part.bounds[1], rel=1e-5)


@pytest.mark.parametrize(("upper", "lower"), [(1.0, 0.3), (0.3, 1.0), (0.5, 0.5)])
def test_one_circle_inside_the_other(upper, lower):
    shape = ls.lens(upper, lower, abs(upper - lower) * 0.6)
    small = min(upper, lower)
    assert shape.kind == ("upper inside lower" if upper < lower else "lower inside upper")
    assert shape.area == pytest.approx(math.pi * small**2)
    centre = -shape.drop if lower <= upper else 0.0
    half = ls.window_above(shape, centre)
    assert half.area == pytest.approx(shape.area / 2.0)
    assert half.centroid - centre == pytest.approx(4.0 * small / (3.0 * math.pi))


@given(RADII, RADII, SHARES, SHARES)
def test_drop_comes_back(upper, lower, share, dam_share):
    shape = ls.lens(upper, lower, drop_between(upper, lower, share))
    dam = shape.bottom + dam_share * shape.height
    area = ls.window_above(shape, dam).area
    assume(area > 1e-4 * shape.area)
    assert ls.drop_for_area(upper, lower, area, dam) == pytest.approx(shape.drop, rel=1e-8)


@given(RADII, RADII, SHARES, SHARES)
def test_a_lower_firebox_and_a_higher_dam_leave_less(upper, lower, share, dam_share):
    shape = ls.lens(upper, lower, drop_between(upper, lower, share))
    further = ls.lens(upper, lower, drop_between(upper, lower, min(share * 1.01, 0.99)))
    dam = shape.bottom + dam_share * shape.height
    assert ls.window_above(shape, dam).area <= shape.area
    assert further.area <= shape.area * (1.0 + 1e-12)
    if dam < further.top:
        assert ls.window_above(further, dam).area <= ls.window_above(shape, dam).area * (1.0 + 1e-9) + 1e-12


@given(RADII, RADII, SHARES, st.floats(0.1, 10.0))
def test_scale(upper, lower, share, scale):
    drop = drop_between(upper, lower, share)
    small, large = ls.lens(upper, lower, drop), ls.lens(scale * upper, scale * lower, scale * drop)
    assert large.area == pytest.approx(scale**2 * small.area, rel=1e-9)
    assert large.widest == pytest.approx(scale * small.widest, rel=1e-9)
    assert large.centroid == pytest.approx(scale * small.centroid, rel=1e-9)


@given(RADII, RADII, SHARES)
def test_width_adds_up_to_the_area(upper, lower, share):
    shape = ls.lens(upper, lower, drop_between(upper, lower, share))
    below = integrate_closely(shape.width_at, shape.bottom, shape.corner, relative=1e-9, depth=20)
    above = integrate_closely(shape.width_at, shape.corner, shape.top, relative=1e-9, depth=20)
    assert below + above == pytest.approx(shape.area, rel=1e-7)
    assert shape.width_at(shape.top + 1.0) == 0.0


def test_worked_throat():
    """Shop sums: firebox inside radius 11.625, vessel inside radius 14.79 in, drops 17, 18 and 19 in."""
    for drop, area in ((17.0, 131.0), (18.0, 111.0), (19.0, 93.0)):
        assert ls.lens(14.79, 11.625, drop).area == pytest.approx(area, abs=0.6)
    shape = ls.lens(14.79 * INCH, 11.625 * INCH, 18.0 * INCH)
    assert shape.widest / INCH == pytest.approx(19.0625, abs=1 / 32)
    assert shape.widest_at / INCH == pytest.approx(-11.3125, abs=1 / 32)
    assert shape.height / INCH == pytest.approx(8.4375, abs=1 / 32)
    assert shape.top / INCH == pytest.approx(-6.375, abs=1 / 64)
    window = ls.window_above(shape, shape.bottom + 2.0 * INCH)
    assert window.area / INCH**2 == pytest.approx(91.0, abs=0.6)
    assert window.closed / INCH**2 == pytest.approx(20.0, abs=0.6)


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: ls.lens(1.0, 0.5, 1.5), "drop"),
        (lambda: ls.lens(1.0, 0.5, -0.1), "drop"),
        (lambda: ls.lens(1.0, 0.0, 0.5), "lower"),
        (lambda: ls.window_above(ls.lens(1.0, 0.5, 1.0), -0.5), "dam"),
        (lambda: ls.drop_for_area(1.0, 0.5, 1.0, -0.9), "area"),
    ],
)
def test_impossible_windows_are_refused(call, field):
    with pytest.raises(LayoutError) as error:
        call()
    assert error.value.field == field
