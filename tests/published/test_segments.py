"""Circle segments against published worked values."""

import math

import pytest

from pitwright.geometry import round as r

# Segments of a circle of radius 1, laid out as in Machinery's Handbook; formulas in the CRC Concise Encyclopedia of
# Mathematics ("Circular segment"); digits of the handbook table from memory, recomputed from the formulas.
TABLE = [
    # angle, arc, rise, chord, area, share of the circle
    (45, 0.78540, 0.07612, 0.76537, 0.03915, 0.01246),
    (60, 1.04720, 0.13397, 1.00000, 0.09059, 0.02883),
    (90, 1.57080, 0.29289, 1.41421, 0.28540, 0.09085),
    (120, 2.09440, 0.50000, 1.73205, 0.61418, 0.19550),
    (150, 2.61799, 0.74118, 1.93185, 1.05900, 0.33709),
]
LAST_DIGIT = 0.6e-5


@pytest.mark.parametrize(("degrees", "arc", "rise", "chord", "area", "share"), TABLE)
def test_unit_circle_table(degrees, arc, rise, chord, area, share):
    segment = r.segment_from_angle(1.0, math.radians(degrees))
    assert segment.arc == pytest.approx(arc, abs=LAST_DIGIT)
    assert segment.rise == pytest.approx(rise, abs=LAST_DIGIT)
    assert segment.chord == pytest.approx(chord, abs=LAST_DIGIT)
    assert segment.area == pytest.approx(area, abs=LAST_DIGIT)
    assert segment.area / math.pi == pytest.approx(share, abs=LAST_DIGIT)


def test_chord_21_rise_6():
    """MatheAss help, "Circular Sections": chord 21, height 6, of a radius of 12.1875."""
    radius = 12.1875
    assert r.sagitta(radius, 21.0) == pytest.approx(6.0, rel=1e-7)
    segment = r.segment_from_angle(radius, r.segment_angle(radius, 6.0))
    assert segment.chord == pytest.approx(21.0, rel=1e-7)
    assert math.degrees(segment.angle) == pytest.approx(118.97953, rel=1e-7)
    assert segment.arc == pytest.approx(25.308373, rel=1e-7)
    assert segment.area == pytest.approx(89.254148, rel=1e-7)


def test_arc_1_angle_45():
    """MatheAss help, "Circular Sections": arc 1, angle 45 degrees."""
    radius = 1.0 / math.radians(45.0)
    segment = r.segment_from_angle(radius, 1.0 / radius)
    assert radius == pytest.approx(1.2732395, rel=1e-7)
    assert segment.chord == pytest.approx(0.97449536, rel=1e-7)
    assert segment.rise == pytest.approx(0.096919589, rel=1e-7)
    assert segment.area == pytest.approx(0.063460604, rel=1e-7)


# Share of a lying tank that is full, by depth over diameter; area over diameter squared.
# fluids.geometry.A_partial_circle; older handbook tables (Perry's) agree from memory.
TANK = [
    (0.10, 0.05204, 0.040875),
    (0.20, 0.14238, 0.111824),
    (0.25, 0.19550, 0.153546),
    (0.30, 0.25232, 0.198168),
    (0.40, 0.37353, 0.293370),
    (0.50, 0.50000, 0.392699),
]


@pytest.mark.parametrize(("depth", "share", "area"), TANK)
def test_lying_tank_table(depth, share, area):
    assert r.segment_area(0.5, depth) == pytest.approx(area, abs=1e-6)
    assert r.segment_area(0.5, depth) / (math.pi / 4.0) == pytest.approx(share, abs=LAST_DIGIT)
