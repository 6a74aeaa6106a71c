"""Quantities and shares of a job file."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from pitwright.errors import TapeError
from pitwright.job.quantities import Angle, Length, Mass, Share, ShareLength, Strict, Temperature, habit


class Sample(Strict):
    length: Length = habit("1 in")
    angle: Angle = habit("0")
    mass: Mass = habit("0")
    temperature: Temperature = habit("250 F")
    share: ShareLength = habit("1 in")


def read(units: str = "inch", **typed: object) -> Sample:
    return Sample.model_validate(typed, context={"system": units})


@pytest.mark.parametrize(
    ("typed", "units", "metres"),
    [
        ("37 1/2", "inch", 0.9525),
        ('37-1/2"', "inch", 0.9525),
        ("3' 1 1/2\"", "inch", 0.9525),
        ("37.5 in", "metric", 0.9525),
        ("952.5 mm", "inch", 0.9525),
        ("95.25 cm", "inch", 0.9525),
        (952.5, "metric", 0.9525),
        (37.5, "inch", 0.9525),
    ],
)
def test_lengths_in_any_shop_way(typed: object, units: str, metres: float) -> None:
    # the ways a length may be typed, from the order of work; 1 in = 25.4 mm exactly (NIST SP 811)
    assert read(units, length=typed).length == pytest.approx(metres, rel=1e-15)


def test_starting_values_do_not_change_with_the_units_of_the_job() -> None:
    assert read("inch") == read("metric")
    assert read("metric").temperature == pytest.approx(394.261, abs=1e-3)


def test_bare_numbers_follow_the_units_of_the_job() -> None:
    assert read("inch", length=10, mass=10).length == pytest.approx(0.254)
    assert read("metric", length=10, mass=10).length == pytest.approx(0.010)
    assert read("inch", mass=10).mass == pytest.approx(4.5359237)
    assert read("metric", mass=10).mass == 10.0
    assert read("metric", angle=30).angle == pytest.approx(math.pi / 6.0)


@pytest.mark.parametrize(
    ("typed", "factor", "of"),
    [
        ("1/2 radius", 0.5, "radius"),
        ("half the radius", 0.5, "radius"),
        ("Half of the seam length", 0.5, "seam length"),
        ("a quarter of the seam length", 0.25, "seam length"),
        ("one eighth of the around", 0.125, "around"),
        ("1/4 of the seam length", 0.25, "seam length"),
        ("1/4 length", 0.25, "seam length"),
        ("1/8 around", 0.125, "around"),
        ("0.8 diameter", 0.8, "diameter"),
        (".8 diameter", 0.8, "diameter"),
        ("80% of the diameter", 0.8, "diameter"),
        ("1 1/2 radius", 1.5, "radius"),
        ("1-1/2 radius", 1.5, "radius"),
        ("½ radius", 0.5, "radius"),
        ("1 diameter", 1.0, "diameter"),
    ],
)
def test_shares(typed: str, factor: float, of: str) -> None:
    share = read(share=typed).share
    assert (share.factor, share.of, share.text) == (pytest.approx(factor), of, typed)


def test_a_share_is_taken_from_the_vessel_it_is_laid_on() -> None:
    sizes = {"radius": 0.4, "seam_length": 2.0, "around": 2.0 * math.pi * 0.4}
    assert read(share="1/2 radius").share.length(**sizes) == pytest.approx(0.2)
    assert read(share="1/2 diameter").share.length(**sizes) == pytest.approx(0.4)
    assert read(share="1/4 seam length").share.length(**sizes) == pytest.approx(0.5)
    assert read(share="1/8 around").share.length(**sizes) == pytest.approx(math.pi * 0.1)
    assert read(share="8 in").share.length(**sizes) == pytest.approx(0.2032)
    assert read("metric", share=8).share.length(**sizes) == pytest.approx(0.008)


@pytest.mark.parametrize(
    "typed",
    ["1/0 radius", "1 2 radius", "1 5/4 radius", "1 half radius", "radius", "-1/2 radius", "1/2 wall", "", "9" * 70, "nan radius",
     None, True, [1]],
)  # fmt: skip
def test_what_is_no_share_says_what_one_looks_like(typed: object) -> None:
    with pytest.raises(ValidationError) as caught:
        read(share=typed)
    cause = caught.value.errors()[0]["ctx"]["error"]
    assert isinstance(cause, TapeError)
    assert "1/2 radius" in cause.allowed


@given(st.fractions(min_value=Fraction(1, 64), max_value=20, max_denominator=64), st.sampled_from(["radius", "around"]))
def test_any_fraction_of_the_vessel(part: Fraction, of: str) -> None:
    whole, rest = divmod(part, 1)
    text = " ".join(t for t in (str(whole) if whole else "", str(rest) if rest else "") if t)
    assert read(share=f"{text} of the {of}").share.factor == pytest.approx(float(part), rel=1e-12)


def test_a_share_that_was_read_is_kept() -> None:
    share = Share(0.5, "radius", "half the radius")
    assert read(share=share).share is share
    assert read(share=share).model_dump()["share"] == "half the radius"
