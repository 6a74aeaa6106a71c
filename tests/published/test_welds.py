"""Welds against printed values.

AISC Design Examples V14 J.1 as asserted in a public package's weld tests (0.928 kip/in per 1/16 in, 5.57 kip/in
nominal for 3/16); AISC 360-05 Table J2.4 and J2.2b as printed in the Structural Steel Designer's Handbook; the fit-up
rule of AWS D1.1 as given in an AWS forum thread; a worked weld group shown on a public calculator page (two vertical
welds 200 mm long, 100 mm apart, 50 kN at 150 mm: 430.06 N/mm); weld-line formulas of Blodgett's tables as printed on
a public reference page.
"""

from __future__ import annotations

import math

import pytest

from pitwright.errors import LayoutError
from pitwright.strength import welds
from pitwright.strength.welds import WeldLoad
from pitwright.tape import INCH, LBF

KIP_IN = 1000.0 * LBF / INCH


def test_fillet_per_sixteenth() -> None:
    assert welds.fillet_strength(INCH / 16) / KIP_IN == pytest.approx(0.928, abs=5e-4)
    assert welds.OMEGA_WELD * welds.fillet_strength(3 * INCH / 16) / KIP_IN == pytest.approx(5.57, abs=5e-3)
    assert 0.75 * welds.OMEGA_WELD * welds.fillet_strength(INCH / 16) / KIP_IN == pytest.approx(1.392, abs=5e-4)


def test_pull_across_is_half_as_strong_again() -> None:
    assert welds.fillet_strength(1.0, angle=math.pi / 2) == pytest.approx(1.5 * welds.fillet_strength(1.0), rel=1e-12)


@pytest.mark.parametrize(
    ("thinner", "leg"),
    [(1 / 8, 2), (1 / 4, 2), (5 / 16, 3), (1 / 2, 3), (9 / 16, 4), (3 / 4, 4), (1.0, 5)],
)
def test_least_legs(thinner: float, leg: int) -> None:
    assert welds.least_leg(thinner * INCH) == pytest.approx(leg * INCH / 16, rel=1e-12)


def test_greatest_leg() -> None:
    assert welds.greatest_leg(3 * INCH / 16) == pytest.approx(3 * INCH / 16)
    assert welds.greatest_leg(INCH / 4) == pytest.approx(3 * INCH / 16)


def test_gap_allowance() -> None:
    """Up to 1/16 nothing, then the gap is added, over 3/16 no fillet."""
    leg = 3 * INCH / 16
    assert welds.leg_for_gap(leg, INCH / 16) == leg
    assert welds.leg_for_gap(leg, INCH / 8) == pytest.approx(5 * INCH / 16)
    assert welds.leg_for_gap(leg, 3 * INCH / 16) == pytest.approx(6 * INCH / 16)
    with pytest.raises(LayoutError, match="too wide"):
        welds.leg_for_gap(leg, 0.21 * INCH)  # the loose leg of a mid-build survey


def test_worked_group() -> None:
    group = welds.weld_group([(-0.05, -0.1, -0.05, 0.1), (0.05, -0.1, 0.05, 0.1)])
    assert group.length == pytest.approx(0.4)
    assert group.ix * 1e9 == pytest.approx(1.333e6, rel=1e-3)
    assert group.iy * 1e9 == pytest.approx(1.000e6, rel=1e-3)
    flow = welds.worst_flow(group, WeldLoad(y=50e3, twist=50e3 * 0.15))
    assert flow / 1000.0 == pytest.approx(430.06, abs=0.01)


def test_box_and_round_lines() -> None:
    """Box: Ix = d2 (3b + d) / 6, Sx = d (3b + d) / 3; round: pi d3 / 8."""
    b, d = 0.08, 0.11
    box = welds.box_group(b, d)
    assert box.ix == pytest.approx(d**2 * (3 * b + d) / 6, rel=1e-12)
    assert box.iy == pytest.approx(b**2 * (3 * d + b) / 6, rel=1e-12)
    assert welds.worst_flow(box, WeldLoad(moment_x=1000.0)) == pytest.approx(1000.0 / (d * (3 * b + d) / 3), rel=1e-12)
    ring = welds.round_group(0.2)
    assert ring.ix == pytest.approx(math.pi * 0.2**3 / 8, rel=1e-12)
    assert welds.worst_flow(ring, WeldLoad(twist=500.0)) == pytest.approx(500.0 * 0.1 / (2 * ring.ix), rel=1e-12)
