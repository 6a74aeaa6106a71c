"""Circle figures against fluids, shapely and each other, and the rules they must keep."""

import math

import fluids.geometry as fluids
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.geometry import round as r

RADII = st.floats(0.01, 5.0)
SHARES = st.floats(0.0, 1.0)
INCH = 0.0254


def polygon(radius, count=20000):
    step = 2.0 * math.pi / count
    return shapely.Polygon([(radius * math.cos(k * step), radius * math.sin(k * step)) for k in range(count)])


@given(RADII, st.floats(1e-6, 1.0))
def test_segment_area_agrees_with_fluids(radius, share):
    rise = 2.0 * radius * share
    assert r.segment_area(radius, rise) == pytest.approx(
        fluids.A_partial_circle(2.0 * radius, rise), rel=1e-9, abs=1e-13 * radius**2
    )


@given(RADII, st.floats(1e-9, 1.0))
def test_segment_from_its_own_figures(radius, share):
    rise = 2.0 * radius * share
    segment = r.segment_from_angle(radius, r.segment_angle(radius, rise))
    assert segment.rise == pytest.approx(rise, rel=1e-12)
    assert segment.area == pytest.approx(r.segment_area(radius, rise), rel=1e-12)
    assert segment.chord == pytest.approx(r.chord_at_rise(radius, rise), rel=1e-9, abs=1e-7 * radius)
    if share < 0.5:
        assert r.sagitta(radius, segment.chord) == pytest.approx(rise, rel=1e-6)


@given(RADII, SHARES, SHARES)
def test_more_rise_is_more_area(radius, one, other):
    low, high = sorted((2.0 * radius * one, 2.0 * radius * other))
    assert r.segment_area(radius, low) <= r.segment_area(radius, high)


@given(st.floats(0.1, 10.0), st.floats(0.0, 2.0 * math.pi))
def test_segment_scales(scale, angle):
    small, large = r.segment_from_angle(1.0, angle), r.segment_from_angle(scale, angle)
    assert large.chord == pytest.approx(scale * small.chord, rel=1e-12)
    assert large.centroid == pytest.approx(scale * small.centroid, rel=1e-12)
    assert large.area == pytest.approx(scale**2 * small.area, rel=1e-12)


def test_tiny_segment_keeps_its_digits():
    # Parabola limit: area = 2/3 chord rise, centroid 2/5 of the rise up from the chord.
    segment = r.segment_from_angle(1.0, 1e-4)
    assert segment.area == pytest.approx(2.0 / 3.0 * segment.chord * segment.rise, rel=1e-8)
    assert segment.centroid - (1.0 - segment.rise) == pytest.approx(0.4 * segment.rise, rel=1e-6)


def test_whole_circle_and_nothing():
    whole, nothing = r.segment_from_angle(2.0, 2.0 * math.pi), r.segment_from_angle(2.0, 0.0)
    assert (whole.rise, whole.area) == pytest.approx((4.0, 4.0 * math.pi))
    assert whole.centroid == pytest.approx(0.0, abs=1e-12)
    assert (nothing.rise, nothing.chord, nothing.area) == (0.0, 0.0, 0.0)


@pytest.mark.parametrize("rise", [0.1, 0.5, 1.0, 1.4, 1.9])
def test_centroid_agrees_with_a_fine_polygon(rise):
    below = polygon(1.0).intersection(shapely.box(-2.0, -2.0, 2.0, rise - 1.0))
    segment = r.segment_from_angle(1.0, r.segment_angle(1.0, rise))
    assert segment.area == pytest.approx(below.area, rel=1e-6)
    assert -segment.centroid == pytest.approx(below.centroid.y, abs=1e-6)


def test_worked_grate_chords():
    # Shop sums: chords at 1 below, 5 above and 7 above the centre of the same vessel.
    for offset, chord in ((-1.0, 29.5), (5.0, 27.8125), (7.0, 26.0625)):
        assert r.chord_at(14.79 * INCH, offset * INCH) / INCH == pytest.approx(chord, abs=1 / 32)
    assert r.offset_of_chord(0.5, r.chord_at(0.5, 0.2)) == pytest.approx(0.2)


@pytest.mark.parametrize(
    ("radius", "width", "degrees", "gap"),
    [(10.0, 3.0, 0.0, 0.113), (10.0, 4.0, 40.0, 0.347), (24.0, 4.0, 30.0, 0.111), (11.995, 2.5, 25.1, 0.080)],
)
def test_worked_gaps_under_a_straight_cut(radius, width, degrees, gap):
    # Shop sums: what a straight cut leaves open at both edges of a tube that touches a round in its middle.
    assert r.sagitta(radius, width / math.cos(math.radians(degrees))) == pytest.approx(gap, abs=0.001)


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: r.chord_at(1.0, 1.5), "offset"),
        (lambda: r.chord_at(0.0, 0.0), "radius"),
        (lambda: r.chord_at(float("nan"), 0.0), "radius"),
        (lambda: r.chord_at_rise(1.0, -0.1), "rise"),
        (lambda: r.sagitta(1.0, 2.5), "chord"),
        (lambda: r.segment_from_angle(1.0, 7.0), "angle"),
    ],
)
def test_unusable_sizes_are_refused(call, field):
    with pytest.raises(LayoutError) as error:
        call()
    assert error.value.field == field
