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
    segment = r.segment_from_rise(radius, 2.0 * radius * share)
    assert segment.rise == pytest.approx(2.0 * radius * share, rel=1e-12)
    assert r.segment_from_area(radius, segment.area).rise == pytest.approx(segment.rise, rel=1e-9)
    assert r.segment_from_arc(radius, segment.arc).rise == pytest.approx(segment.rise, rel=1e-12)
    assert segment.chord == pytest.approx(r.chord_at_rise(radius, segment.rise), rel=1e-9, abs=1e-7 * radius)
    if share < 0.5:
        assert r.segment_from_chord(radius, segment.chord).rise == pytest.approx(segment.rise, rel=1e-6)
        assert r.sagitta(radius, segment.chord) == pytest.approx(segment.rise, rel=1e-6)
        again = r.segment_from_chord_and_rise(segment.chord, segment.rise)
        assert again.radius == pytest.approx(radius, rel=1e-12)


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
    whole, nothing = r.segment_from_area(2.0, 4.0 * math.pi), r.segment_from_area(2.0, 0.0)
    assert whole.rise == pytest.approx(4.0)
    assert whole.centroid == pytest.approx(0.0, abs=1e-12)
    assert (nothing.rise, nothing.chord, nothing.area) == (0.0, 0.0, 0.0)


@pytest.mark.parametrize("rise", [0.1, 0.5, 1.0, 1.4, 1.9])
def test_centroid_agrees_with_a_fine_polygon(rise):
    below = polygon(1.0).intersection(shapely.box(-2.0, -2.0, 2.0, rise - 1.0))
    segment = r.segment_from_rise(1.0, rise)
    assert segment.area == pytest.approx(below.area, rel=1e-6)
    assert -segment.centroid == pytest.approx(below.centroid.y, abs=1e-6)


@pytest.mark.parametrize(("low", "high"), [(0.0, 0.7), (0.2, 0.7), (0.2, 1.5), (1.2, 1.6), (0.0, 2.0)])
def test_band_agrees_with_a_fine_polygon(low, high):
    part = polygon(1.0).intersection(shapely.box(-2.0, low - 1.0, 2.0, high - 1.0))
    band = r.band(1.0, low, high)
    assert band.area == pytest.approx(part.area, rel=1e-6)
    assert band.centroid == pytest.approx(part.centroid.y, abs=1e-6)
    assert band.widest == pytest.approx(part.bounds[2] - part.bounds[0], rel=1e-6)


@given(RADII, st.floats(0.0, 0.9), st.floats(0.01, 0.99))
def test_band_inverse(radius, dam_share, share):
    dam = 2.0 * radius * dam_share
    area = share * (math.pi * radius**2 - r.segment_area(radius, dam))
    top = r.band_top_for_area(radius, dam, area)
    assert r.band(radius, dam, top).area == pytest.approx(area, rel=1e-9)
    assert r.band_dam_for_area(radius, top, area) == pytest.approx(dam, rel=1e-8, abs=1e-8 * radius)


def test_worked_throat_segment():
    # Shop sum: 90 in2 of a vessel of 14.79 in inside radius needs a rise of 5-9/16 and a chord of 23-1/8 in.
    segment = r.segment_from_area(14.79 * INCH, 90.0 * INCH**2)
    assert segment.rise / INCH == pytest.approx(5.5625, abs=1 / 32)
    assert segment.chord / INCH == pytest.approx(23.125, abs=1 / 32)


def test_worked_grate_chords():
    # Shop sums: chords at 1 below, 5 above and 7 above the centre of the same vessel.
    for offset, chord in ((-1.0, 29.5), (5.0, 27.8125), (7.0, 26.0625)):
        assert r.chord_at(14.79 * INCH, offset * INCH) / INCH == pytest.approx(chord, abs=1 / 32)
    assert r.offset_of_chord(0.5, r.chord_at(0.5, 0.2)) == pytest.approx(0.2)


def test_worked_local_radius():
    # Shop sum: 12 in straightedge, 1.249 in gap: 15.04 in.
    assert r.radius_from_chord(12.0 * INCH, 1.249 * INCH) / INCH == pytest.approx(15.04, abs=0.005)


@given(RADII, st.floats(0.01, 0.99), st.floats(0.01, 2.0 * math.pi))
def test_thick_plate_centroid_tends_to_thin(outer, share, angle):
    inner = outer * share
    thick = r.ring_sector_centroid(outer, inner, angle)
    whole = r.ring_sector_area(outer, 0.0, angle) * r.ring_sector_centroid(outer, 0.0, angle)
    hole = r.ring_sector_area(inner, 0.0, angle) * r.ring_sector_centroid(inner, 0.0, angle)
    assert thick * r.ring_sector_area(outer, inner, angle) == pytest.approx(whole - hole, rel=1e-9, abs=1e-12)
    nearly = r.ring_sector_centroid(outer, outer * (1.0 - 1e-6), angle)
    assert nearly == pytest.approx(r.thin_arc_centroid(outer * (1.0 - 5e-7), angle), rel=1e-9, abs=1e-12)


def test_half_ring_and_door_skin():
    assert r.thin_arc_centroid(1.0, math.pi) == pytest.approx(2.0 / math.pi)
    assert r.thin_arc_centroid(1.0, 0.0) == 1.0
    # Shop sum: a door from 15 to 96 degrees on a mean radius of 14.915 in balances 13.70 in from the axis.
    assert r.thin_arc_centroid(14.915, math.radians(81.0)) == pytest.approx(13.70, abs=0.01)


@given(RADII, SHARES)
def test_box_fits_exactly(radius, share):
    width = 2.0 * radius * share
    top = r.box_top_in_circle(radius, width)
    assert r.box_width_in_circle(radius, -top, top) == pytest.approx(width, rel=1e-9, abs=1e-7 * radius)
    assert r.box_clearance_in_circle(radius, -width / 2.0, width / 2.0, -top, top) == pytest.approx(
        0.0, abs=1e-12 * radius
    )


EDGES = st.floats(-1.5, 1.5)


@given(EDGES, EDGES, EDGES, EDGES)
def test_box_window_agrees_with_a_fine_polygon(a, b, c, d):
    (left, right), (bottom, top) = sorted((a, b)), sorted((c, d))
    if right - left < 0.05 or top - bottom < 0.05:
        return
    shape = shapely.intersection(POLYGON, shapely.box(left, bottom, right, top))
    if shape.area < 1e-3:
        return
    window = r.box_in_circle(1.0, left, right, bottom, top)
    assert window.area == pytest.approx(shape.area, rel=1e-3, abs=1e-5)
    assert window.across == pytest.approx(shape.centroid.x, abs=2e-4)
    assert window.up == pytest.approx(shape.centroid.y, abs=2e-4)


POLYGON = polygon(1.0, 2000)


@given(st.floats(0.1, 10.0), EDGES, EDGES)
def test_box_window_mirrors_and_scales(scale, a, b):
    left, right = sorted((a, b))
    if right - left < 0.05 or left > 0.9 or right < -0.9:
        return
    one = r.box_in_circle(1.0, left, right, -0.3, 0.8)
    other = r.box_in_circle(1.0, -right, -left, -0.3, 0.8)
    large = r.box_in_circle(scale, scale * left, scale * right, -0.3 * scale, 0.8 * scale)
    assert one.area == pytest.approx(other.area, rel=1e-12)
    assert one.across == pytest.approx(-other.across, abs=1e-12)
    assert large.area == pytest.approx(scale**2 * one.area, rel=1e-11)
    assert large.up == pytest.approx(scale * one.up, rel=1e-10, abs=1e-12)


def test_box_inside_and_circle_inside():
    inside = r.box_in_circle(10.0, -1.0, 3.0, -2.0, 4.0)
    assert (inside.area, inside.across, inside.up) == (24.0, 1.0, 1.0)
    around = r.box_in_circle(1.0, -2.0, 2.0, -2.0, 2.0)
    assert around.area == pytest.approx(math.pi)
    assert around.up == pytest.approx(0.0, abs=1e-15)


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: r.chord_at(1.0, 1.5), "offset"),
        (lambda: r.chord_at(0.0, 0.0), "radius"),
        (lambda: r.chord_at(float("nan"), 0.0), "radius"),
        (lambda: r.chord_at_rise(1.0, -0.1), "rise"),
        (lambda: r.sagitta(1.0, 2.5), "chord"),
        (lambda: r.segment_from_area(1.0, 4.0), "area"),
        (lambda: r.band(1.0, 0.5, 0.4), "low"),
        (lambda: r.band_top_for_area(1.0, 1.0, 3.0), "area"),
        (lambda: r.band_dam_for_area(1.0, 1.0, 3.0), "area"),
        (lambda: r.radius_from_chord(1.0, 0.0), "rise"),
        (lambda: r.ring_sector_centroid(1.0, 1.5, 1.0), "inner"),
        (lambda: r.box_in_circle(1.0, 2.0, 3.0, -1.0, 1.0), "box"),
        (lambda: r.box_in_circle(1.0, -1.0, 1.0, 2.0, 3.0), "box"),
        (lambda: r.box_in_circle(1.0, 1.0, -1.0, 0.0, 1.0), "box"),
    ],
)
def test_unusable_sizes_are_refused(call, field):
    with pytest.raises(LayoutError) as error:
        call()
    assert error.value.field == field
