"""Weld metal and consumables against the trade's worked figures and sizes against the printed table.

Least fillet sizes: AISC 360 Table J2.4 (1/8 in to 1/4, 3/16 to 1/2, 1/4 to 3/4, 5/16 over, by the thinner part), as
printed in the Structural Steel Designer's Handbook. Filler weights, yields, arc-on share and gas flow: common practice,
no source (worked there as lb/ft = leg^2/2 x 12 x 0.2836 x 1.1).
"""

from __future__ import annotations

import pytest

from pitwright.shop.welds import Weld, totals
from pitwright.strength.welds import least_leg
from pitwright.tape import FOOT, HOUR, INCH, LB


def fillet(sixteenths: float, feet: float) -> Weld:
    leg = sixteenths * INCH / 16.0
    return Weld(name="x", kind="fillet", leg=leg, length=feet * FOOT, count=1, thinner=leg, gap=0.0, stage="base")


@pytest.mark.parametrize(("sixteenths", "pounds"), [(3, 0.066), (4, 0.117), (5, 0.183)])
def test_filler_by_the_foot(sixteenths: float, pounds: float) -> None:
    assert fillet(sixteenths, 1.0).metal / LB == pytest.approx(pounds, abs=6e-4)


@pytest.mark.parametrize(
    ("thinner", "sixteenths"),
    [(0.1345, 2), (0.1875, 2), (0.25, 2), (0.3125, 3), (0.375, 3), (0.5, 3), (0.625, 4), (0.75, 4), (1.0, 5)],
)
def test_least_sizes(thinner: float, sixteenths: int) -> None:
    assert least_leg(thinner * INCH) * 16.0 / INCH == pytest.approx(sixteenths)


def test_a_whole_pit_of_welds() -> None:
    """46 ft of 1/4 and 60 ft of 3/16 fillet and 20 ft of groove at 0.15 lb/ft: 12.4 lb in, 13.3 wire or 20.6 sticks,
    2.1 arc hours, about 8 h of work, 73 cubic feet of gas."""
    groove_leg = (0.15 / 0.117) ** 0.5 * 4.0  # a fillet of the same metal by the foot
    all_of_it = totals((fillet(4, 46.0), fillet(3, 60.0), fillet(groove_leg, 20.0)))
    assert all_of_it.metal / LB == pytest.approx(12.4, abs=0.1)
    assert all_of_it.wire / LB == pytest.approx(13.3, abs=0.1)
    assert all_of_it.sticks / LB == pytest.approx(20.6, abs=0.15)
    assert all_of_it.arc / HOUR == pytest.approx(2.1, abs=0.05)
    assert all_of_it.work / HOUR == pytest.approx(8.0, abs=0.4)
    assert all_of_it.gas / FOOT**3 == pytest.approx(73.0, abs=1.5)


def test_a_vee_groove_weighs_about_what_the_trade_says() -> None:
    """0.15 lb/ft for a quarter-inch groove, root gap and all; edges touching it is somewhat less."""
    weld = Weld(
        name="x", kind="groove", leg=0.25 * INCH, length=FOOT, count=1, thinner=0.25 * INCH, gap=0.0, stage="fittings"
    )
    assert 0.8 * 0.15 < weld.metal / LB < 0.15
