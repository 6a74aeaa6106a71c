"""Reading and writing sizes the way a shop does."""

from __future__ import annotations

import contextlib
import math
import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import constants

from pitwright import tape
from pitwright.errors import TapeError
from pitwright.tape import INCH, Tape, parse_angle, parse_figure, parse_length, range_text

INCHES = Tape.for_system("inch")
METRIC = Tape.for_system("metric")

READ_INCHES = [
    ("37 1/2", 37.5), ("37-1/2", 37.5), ('37-1/2"', 37.5), ("37 - 1/2", 37.5), ("37 1 / 2 in", 37.5), ("37½", 37.5),
    ("3' 1 1/2\"", 37.5), ("3'-1 1/2\"", 37.5), ("3′ 1½″", 37.5), ("3 ft 1-1/2 in.", 37.5), ("3’ 1 1/2”", 37.5),
    ("3'1 1/2''", 37.5), ("7'10 1/2", 94.5), ("5ft 3.25in", 63.25), ("5' 3", 63.0), ("6'-0\"", 72.0), ("3'", 36.0),
    ("3-1/2 ft", 42.0), ("37.5 in", 37.5), ("37.5 inches", 37.5), ("952.5 mm", 37.5), ("952.5mm", 37.5),
    ("95.25 cm", 37.5), ("0.9525 m", 37.5), ("0.9525 metres", 37.5), ("-3/16", -0.1875), ("−3/16", -0.1875),
    ("- 3/16\"", -0.1875), ("+3/16", 0.1875), ("-3'-1 1/2\"", -37.5), (".188", 0.188), ("5/4", 1.25), ("0", 0.0),
    (37.5, 37.5), (37, 37.0), (-0.5, -0.5), ("1/64", 0.015625),
]  # fmt: skip


@pytest.mark.parametrize(("typed", "inches"), READ_INCHES)
def test_lengths_a_shop_types(typed: object, inches: float) -> None:
    assert parse_length(typed, unit="in") == pytest.approx(inches * INCH, rel=1e-15, abs=1e-18)


def test_bare_number_is_read_in_the_job_s_unit() -> None:
    assert parse_length("952", unit="mm") == 0.952
    assert parse_length(0.1, unit="mm") == 0.0001
    assert parse_length("37-1/2 in", unit="mm") == 0.9525


REFUSED = [
    ("9-4-1/2", "94-1/2 (inches) or 9'-4 1/2\""), ("10GA", "gauge"), ("10 gauge", "gauge"), ("371/2", "37-1/2?"),
    ("945/8", "94-5/8?"), ("111/16", "1-11/16 or 11-1/16"), ("37.1/2", "37-1/2?"), ("1/3", '5/16"'),
    ("37 5/4", "whole inch"), ("1,200", "point"), ("37,5", "point"), ("2x3", "One length"), ("2 x 3/16", "One length"),
    ("6\"1/2", '6-1/2"'), ("7' 14\"", "8'-2\""), ("37 1/0", "below the line"),
]  # fmt: skip


@pytest.mark.parametrize(("typed", "meant"), REFUSED)
def test_likely_slips_are_named(typed: str, meant: str) -> None:
    with pytest.raises(TapeError) as caught:
        parse_length(typed, unit="in", field="around")
    assert meant in caught.value.remedy
    assert caught.value.field == "around"
    assert caught.value.value == typed
    assert caught.value.allowed


@pytest.mark.parametrize(
    "typed",
    ["", " ", "abc", "nan", "inf", "1e3", "--3", "5 yd", "1/2/4", "٣", "1.2.3", "5' 3 mm", "3.5' 2\"", "3' 2'", "999999",
     "9" * 100, True, None, math.nan, math.inf, 1e30, 10**400, [1], b"3"],
)  # fmt: skip
def test_what_is_no_length_is_refused(typed: object) -> None:
    with pytest.raises(TapeError):
        parse_length(typed, unit="in")


def test_lone_fraction_in_a_metric_job_is_asked_about() -> None:
    with pytest.raises(TapeError, match="write 37-1/2 in"):
        parse_length("37-1/2", unit="mm")


@given(st.text(alphabet="0123456789 -+/.,'\"½ftinmcgaxdeg°′″", max_size=14))
@settings(max_examples=600)
def test_any_text_gives_a_length_or_our_own_error(text: str) -> None:
    for measure in ("length", "angle", "mass", "slope", "temperature", "money", "ratio"):
        for system in ("inch", "metric"):
            with contextlib.suppress(TapeError):
                assert math.isfinite(float(parse_figure(text, measure, system=system)))


@given(st.integers(0, 4000), st.sampled_from([2, 4, 8, 16, 32, 64]), st.data())
def test_fractions_are_exact(whole: int, bottom: int, data: st.DataObject) -> None:
    top = data.draw(st.integers(1, bottom - 1))
    for text in (f"{whole} {top}/{bottom}", f'{whole}-{top}/{bottom}"', f"{whole // 12}' {whole % 12} {top}/{bottom}"):
        assert parse_length(text, unit="in") == float((whole * bottom + top) * 254) / (bottom * 10000)


lengths = st.floats(-200.0, 200.0, allow_nan=False)


@given(lengths, st.sampled_from([2, 8, 16, 32, 64]), st.booleans())
def test_inch_text_reads_back_within_half_a_step(x: float, parts: int, feet: bool) -> None:
    shop = Tape(system="inch", step=INCH / parts)
    text = shop.length(x, feet=feet)
    assert parse_length(text, unit="in") == pytest.approx(x, abs=shop.step / 2 * (1 + 1e-6))
    assert parse_length(text, unit="mm") == pytest.approx(shop.rounded(x), abs=1e-12)
    assert parse_length(shop.bare(x, feet=feet), unit="in") == pytest.approx(shop.rounded(x), abs=1e-12)


@given(lengths, st.sampled_from([0.0001, 0.0005, 0.001, 0.005]))
def test_metric_text_reads_back_within_half_a_step(x: float, step: float) -> None:
    shop = Tape(system="metric", step=step)
    for text in (shop.length(x), shop.bare(x)):
        assert parse_length(text, unit="mm") == pytest.approx(x, abs=step / 2 * (1 + 1e-6))
    assert parse_length(shop.length(x), unit="in") == pytest.approx(shop.rounded(x), abs=1e-12)


@given(lengths)
def test_rounding_is_told_and_even_handed(x: float) -> None:
    for shop in (INCHES, METRIC):
        assert shop.rounded(x) + shop.left_over(x) == pytest.approx(x, abs=1e-12)
        assert abs(shop.left_over(x)) <= shop.step / 2 * (1 + 1e-6)
        assert shop.rounded(-x) == -shop.rounded(x)
        assert shop.length(-x).lstrip("-") == shop.length(x).lstrip("-")
        assert not shop.length(x).startswith(('-0"', "-0 mm", "-0'"))


@pytest.mark.parametrize(
    ("inches", "text", "feet"),
    [(37.5, '37-1/2"', "3'-1 1/2\""), (94.5, '94-1/2"', "7'-10 1/2\""), (-0.1875, '-3/16"', '-3/16"'),
     (-0.01, '0"', '0"'), (0.0, '0"', '0"'), (72.0, '72"', "6'-0\""), (11.97, '12"', "1'-0\""),
     (-37.5, '-37-1/2"', "-3'-1 1/2\""), (0.46875, '1/2"', '1/2"'), (24.846, '24-7/8"', "2'-0 7/8\"")],
)  # fmt: skip
def test_inch_text(inches: float, text: str, feet: str) -> None:
    assert INCHES.length(inches * INCH) == text
    assert INCHES.length(inches * INCH, feet=True) == feet
    assert INCHES.bare(inches * INCH) == text.removesuffix('"')


def test_diagonals_to_half_a_step() -> None:
    """The 120 x 34 base of the trade's own example: 124-23/32 across."""
    assert INCHES.fine(math.hypot(120, 34) * INCH) == '124-23/32"'
    assert METRIC.fine(0.95249) == "952.5 mm"


def test_metric_text() -> None:
    assert METRIC.length(0.9525) == "953 mm"
    assert METRIC.length(-0.0004) == "0 mm"
    assert METRIC.bare(1.2) == "1200"
    assert Tape(system="metric", step=0.0005).length(0.95249) == "952.5 mm"


def test_a_step_no_tape_has_is_refused() -> None:
    for system, step in (("inch", INCH / 3), ("inch", 0.001), ("inch", 2 * INCH), ("metric", 0.0), ("metric", 1e-7)):
        with pytest.raises(TapeError):
            Tape(system=system, step=step)
    with pytest.raises(TapeError):
        INCHES.length(1.0, step=INCH / 10)
    with pytest.raises(TapeError):
        INCHES.length(math.nan)


@pytest.mark.parametrize(
    ("typed", "degrees"),
    [(11.3, 11.3), ("11.3", 11.3), ("11.3 deg", 11.3), ("11.3°", 11.3), ("11 deg 20'", 11 + 1 / 3), ("11-1/2", 11.5),
     ("11° 20′ 30″", 11 + 20.5 / 60), ("-5 degrees", -5.0), ("0.2 rad", math.degrees(0.2)), ("360", 360.0)],
)  # fmt: skip
def test_angles(typed: object, degrees: float) -> None:
    assert parse_angle(typed) == pytest.approx(math.radians(degrees), rel=1e-14)


@pytest.mark.parametrize("typed", ["361", "x", "11 deg 70'", "", "11 in", None])
def test_what_is_no_angle_is_refused(typed: object) -> None:
    with pytest.raises(TapeError):
        parse_angle(typed)


def test_angle_text() -> None:
    assert INCHES.angle(math.radians(11.3)) == "11.3°"
    assert INCHES.angle(-1e-9) == "0.0°"
    assert INCHES.angle(math.radians(-33.68), 0) == "-34°"


@given(st.floats(-359.0, 359.0))
def test_angle_text_reads_back(degrees: float) -> None:
    assert parse_angle(INCHES.angle(math.radians(degrees))) == pytest.approx(
        math.radians(degrees), abs=math.radians(0.051)
    )


@pytest.mark.parametrize(
    ("typed", "measure", "system", "si"),
    [("1,830 lb", "mass", "metric", 1830 * constants.lb), (100, "mass", "inch", 100 * constants.lb),
     ("12 1/2 lbs.", "mass", "metric", 12.5 * constants.lb), ("830", "mass", "metric", 830.0),
     ("250 gal", "volume", "metric", 250 * constants.gallon), ("945 L", "volume", "inch", 0.945),
     ("0.9 m³", "volume", "inch", 0.9), ("91 in²", "area", "metric", 91 * constants.inch**2),
     ("91 sq in", "area", "metric", 91 * constants.inch**2), (590, "area", "metric", 0.059),
     ("250 °F", "temperature", "metric", constants.convert_temperature(250, "F", "K")),
     ("-40", "temperature", "metric", constants.convert_temperature(-40, "F", "K")),
     ("121 deg C", "temperature", "inch", 394.15), ("300 K", "temperature", "inch", 300.0),
     ("25 °F", "temperature difference", "metric", 25 * constants.degree_Fahrenheit),
     (25, "temperature difference", "metric", 25.0), ("35 lb", "force", "metric", 35 * constants.lbf),
     ('1/8" per ft', "slope", "inch", 1 / 96), ("1/8 per ft", "slope", "metric", 1 / 96), ("10 mm per m", "slope", "inch", 0.01),
     ("1 %", "slope", "inch", 0.01), ("$1,340.50", "money", "inch", 1340.5), ("1/2", "ratio", "inch", 0.5),
     ("35 %", "ratio", "inch", 0.35), ("3", "count", "metric", 3.0), ("37-1/2", "length", "inch", 0.9525),
     ("11.3", "angle", "metric", math.radians(11.3))],
)  # fmt: skip
def test_other_measures(typed: object, measure: str, system: tape.System, si: float) -> None:
    """scipy.constants is the second source of every factor here."""
    assert parse_figure(typed, measure, system=system) == pytest.approx(si, rel=1e-12)


@pytest.mark.parametrize(
    ("typed", "measure"),
    [("5 stone", "mass"), ("-5 lb", "mass"), ("1,23,4", "mass"), ("-500 F", "temperature"), ("hot", "temperature"),
     ("1.2.3", "temperature"), ("-1 gal", "volume"), ("5", "moment"), ("12 lb", "volume"), ("5:3", "ratio")],
)  # fmt: skip
def test_what_is_no_such_measure_is_refused(typed: str, measure: str) -> None:
    with pytest.raises(TapeError):
        parse_figure(typed, measure, system="inch", field="x")


@pytest.mark.parametrize(
    ("method", "si", "inch", "metric"),
    [("area", 6.5, "70.0 ft²", "6.50 m²"), ("small_area", 0.0587, "91.0 in²", "587 cm²"), ("volume", 0.998, "264 gal", "998 L"),
     ("mass", 831.9, "1,830 lb", "832 kg"), ("mass", 0.0, "0 lb", "0 kg"), ("mass", 0.0014, "0.003 lb", "0.001 kg"),
     ("mass_per_length", 6.4289, "4.32 lb/ft", "6.43 kg/m"), ("density", 7849.0, "490 lb/ft³", "7,850 kg/m³"),
     ("force", 2040.0, "459 lb", "2.04 kN"), ("force", 920.0, "207 lb", "920 N"), ("moment", 252.0, "2,230 in-lb", "252 N·m"),
     ("stress", 149e6, "21.6 ksi", "149 MPa"), ("pressure", 93e3, "13.5 psi", "93.0 kPa"),
     ("pressure_draft", 6.7254, "0.027 in wc", "6.7 Pa"), ("pressure_draft", -1e-4, "0.000 in wc", "0.0 Pa"),
     ("temperature", 394.26, "250 °F", "121 °C"), ("temperature", 255.3, "0 °F", "-18 °C"),
     ("temperature_difference", 32.2, "58 °F", "32 °C"), ("power", 8294.0, "28,300 Btu/h", "8.29 kW"),
     ("energy", 29.9e6, "28,300 Btu", "29.9 MJ"), ("mass_rate", 0.000844, "6.7 lb/h", "3.0 kg/h"),
     ("mass_rate", 0.041, "330 lb/h", "150 kg/h"), ("speed", 2.3, "7.5 ft/s", "2.3 m/s"), ("wind", 5.364, "12 mph", "19 km/h"),
     ("slope", 1 / 96, '1/8" per ft', "10 mm per m"), ("money", 14965.2, "$14,965", "$14,965"), ("money", -2.6, "-$3", "-$3"),
     ("decimal", 0.0034036, '0.134"', "3.4 mm")],
)  # fmt: skip
def test_text_of_other_measures(method: str, si: float, inch: str, metric: str) -> None:
    assert getattr(INCHES, method)(si) == inch
    assert getattr(METRIC, method)(si) == metric


def test_signed_left_over() -> None:
    x = 37.514 * INCH
    assert INCHES.decimal(INCHES.left_over(x), signed=True) == '+0.014"'
    assert INCHES.decimal(-0.3 * INCH, 1, signed=True) == '-0.3"'
    assert INCHES.decimal(0.0, signed=True) == '0.000"'


def test_figure_writes_by_measure_and_reads_back() -> None:
    for shop in (INCHES, METRIC):
        for measure, si in (("length", 1.0), ("angle", 0.5), ("mass", 90.0), ("volume", 1.0), ("area", 0.1), ("area", 9.0),
                            ("temperature", 400.0), ("temperature difference", 30.0), ("slope", 1 / 48)):  # fmt: skip
            text = shop.figure(si, measure)
            read = parse_figure(text, measure, system="metric" if shop.inch else "inch")
            assert read == pytest.approx(si, rel=0.02), text
    assert INCHES.figure("left", "text") == "left"
    assert INCHES.figure(2, "count") == "2"
    with pytest.raises(TapeError):
        INCHES.figure(1.0, "smell")


def test_ranges() -> None:
    assert range_text(277.6, 316.5, INCHES.temperature) == "40 to 110 °F"
    assert range_text(316.5, 277.6, INCHES.temperature) == "40 to 110 °F"
    assert range_text(0.5, 0.6, INCHES.length) == '19-11/16 to 23-5/8"'
    assert range_text(500.0, 2000.0, METRIC.force) == "500 N to 2.00 kN"
    assert range_text(10.0, 10.01, METRIC.mass) == "10.0 kg"
    assert range_text(2.0, 3.0, INCHES.area) == "21.5 to 32.3 ft²"
    assert range_text(1000.0, 1500.0, INCHES.money) == "$1,000 to $1,500"


def test_reading_a_size_loads_nothing_heavy() -> None:
    code = "import sys, pitwright.tape; print([m for m in ('numpy', 'scipy', 'pydantic', 'csv', 'json') if m in sys.modules])"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_a_range_says_its_whole_unit_once() -> None:
    tape = Tape.for_system("inch")
    assert range_text(0.00098, 0.0015, tape.mass_rate) == "7.8 to 12 lb/h"
    assert range_text(0.01, 0.02, tape.length) == '3/8 to 13/16"'
