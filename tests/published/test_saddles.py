"""Saddle curves against values worked from the closed form of the intersection of two cylinders.

No published ordinate table was found; the closed form is in every text on pipe development, and that the curve is not
a plane ellipse unless both radii are equal is stated at mathcentral.uregina.ca (QQ.09.00/charlie1).
"""

import math

import pytest

from pitwright.geometry.curves import Saddle

EIGHTHS = [0.0, 45.0, 90.0, 135.0, 180.0]
LAST_DIGIT = 0.6e-4


@pytest.mark.parametrize(
    ("header", "branch", "degrees", "reaches", "depth"),
    [
        (2.25, 1.1875, 90.0, [2.2500, 2.0874, 1.9111, 2.0874, 2.2500], 0.3389),
        (2.25, 2.25, 90.0, [2.2500, 1.5910, 0.0000, 1.5910, 2.2500], 2.2500),
        (2.25, 1.1875, 45.0, [4.3695, 3.7918, 2.7027, 2.1124, 1.9945], 2.3750),
        (18.0, 4.3125, 90.0, [18.0000, 17.7398, 17.4758, 17.7398, 18.0000], 0.5242),
    ],
)
def test_reaches_and_depth(header, branch, degrees, reaches, depth):
    saddle = Saddle(header_radius=header, branch_radius=branch, angle=math.radians(degrees))
    assert [saddle.reach(math.radians(clock)) for clock in EIGHTHS] == pytest.approx(reaches, abs=LAST_DIGIT)
    assert saddle.template(16).depth == pytest.approx(depth, abs=LAST_DIGIT)


def test_depth_in_closed_form():
    """Square: R - sqrt(R2 - r2). Leaning 45 degrees, small branch: 2 r cot a."""
    square = Saddle(header_radius=2.25, branch_radius=1.1875)
    assert square.template().depth == pytest.approx(2.25 - math.sqrt(2.25**2 - 1.1875**2), rel=1e-12)
    leaning = Saddle(header_radius=2.25, branch_radius=1.1875, angle=math.pi / 4.0)
    assert leaning.template().depth == pytest.approx(2.0 * 1.1875, rel=1e-12)


def test_equal_pipes_meet_in_two_plane_ellipses():
    """Equal radii crossing square: the joint lies in the planes z = +x and z = -x."""
    saddle = Saddle(header_radius=1.0, branch_radius=1.0)
    for k in range(48):
        x, _, z = saddle.point(2.0 * math.pi * k / 48)
        assert abs(x) == pytest.approx(z, abs=1e-12)
    # Sine curve on the flat: area 4 r2 for a square joint.
    assert saddle.hole().area == pytest.approx(4.0, rel=1e-10)


def test_opening_developed_on_the_header():
    """Row worked from the closed form: 18 and 4.3125 in radii give 58.855 in2 on the flat skin; pi r2 = 58.426."""
    saddle = Saddle(header_radius=18.0, branch_radius=4.3125)
    assert saddle.hole().area == pytest.approx(58.855, abs=0.0005)
    assert math.pi * 4.3125**2 == pytest.approx(58.426, abs=0.0005)
