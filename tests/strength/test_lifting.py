"""Slings, lugs, forks, hands: balance, limits, and what must only go one way."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.strength import forks, lifting, manual
from pitwright.strength.lifting import Lug, LugPlate
from pitwright.strength.manual import Lift
from pitwright.strength.stability import MassPoint
from pitwright.strength.steel import PLATE_STEEL
from pitwright.tape import INCH, LB, STANDARD_GRAVITY, Tape

TAPE = Tape.for_system("inch")


def four(x: float = 1.0, y: float = 0.4) -> list[Lug]:
    return [
        Lug(name=n, x=sx * x, y=sy * y, z=0.2) for n, sx, sy in (("A", -1, -1), ("B", 1, -1), ("C", 1, 1), ("D", -1, 1))
    ]


@given(st.floats(-0.6, 0.6), st.floats(-0.2, 0.2), st.floats(0.3, 3.0))
def test_four_slings_hold_the_pit_still(x: float, y: float, hook: float) -> None:
    """Upright forces add to the weight and balance about its centre; every sling meets at the hook."""
    assume(abs(x) + abs(y) * 2.5 < 0.95)
    weight = MassPoint(mass=900.0, x=x, y=y, z=0.8)
    slings = lifting.hang(four(), weight, hook)
    assert sum(s.share for s in slings) == pytest.approx(900.0 * STANDARD_GRAVITY)
    for axis in ("x", "y"):
        moment = sum(s.share * (getattr(lug, axis) - getattr(weight, axis)) for s, lug in zip(slings, four()))
        assert moment == pytest.approx(0.0, abs=1e-6)
    assert all(s.tension * math.sin(s.angle) == pytest.approx(s.share) for s in slings)
    assert all(s.alone >= s.tension - 1e-9 for s in slings)
    assert all(s.length * math.sin(s.angle) == pytest.approx(hook) for s in slings)


@given(st.floats(0.05, 0.95), st.floats(0.3, 3.0))
def test_two_slings_pull_alike_sideways(share: float, hook: float) -> None:
    """The two level pulls cancel at the hook: the closed triangle of forces."""
    lugs = [Lug(name="A", x=0.0, y=0.0, z=0.0), Lug(name="B", x=2.0, y=0.0, z=0.0)]
    a, b = lifting.hang(lugs, MassPoint(mass=500.0, x=2.0 * share, y=0.0, z=0.5), hook)
    assert a.tension * math.cos(a.angle) == pytest.approx(b.tension * math.cos(b.angle))
    assert a.share == pytest.approx((1 - share) * 500 * STANDARD_GRAVITY)


def test_equal_slings_level_only_over_the_middle() -> None:
    lugs = (Lug(name="A", x=0.0, y=0.0, z=1.0), Lug(name="B", x=2.0, y=0.0, z=1.0))
    assert lifting.tilt_with_equal(lugs, MassPoint(mass=1.0, x=1.0, y=0, z=0.5), 1.5) == pytest.approx(0.0)
    tilt = lifting.tilt_with_equal(lugs, MassPoint(mass=1.0, x=1.3, y=0, z=0.5), 1.5)
    assert tilt == pytest.approx(math.atan(0.3 / (math.sqrt(1.25) + 0.5)))
    with pytest.raises(LayoutError, match="reach"):
        lifting.tilt_with_equal(lugs, MassPoint(mass=1.0, x=1.0, y=0, z=0.5), 0.9)
    with pytest.raises(LayoutError, match="turns over"):
        lifting.tilt_with_equal(lugs, MassPoint(mass=1.0, x=1.0, y=0, z=5.0), 1.5)


def test_weight_outside_the_lugs_is_refused() -> None:
    with pytest.raises(LayoutError, match="not between"):
        lifting.hang(four(), MassPoint(mass=1.0, x=3.0, y=0.0, z=0.0), 1.0)
    with pytest.raises(LayoutError, match="must rise"):
        lifting.sling_factor(0.0)
    with pytest.raises(LayoutError, match="two or four"):
        lifting.hang(four()[:3], MassPoint(mass=1.0, x=0.0, y=0.0, z=0.0), 1.0)


def test_sling_findings() -> None:
    flat = lifting.hang(four(2.0), MassPoint(mass=500.0, x=0.0, y=0.0, z=0.5), 0.8)
    (found,) = lifting.sling_findings(flat, TAPE)
    assert (found.code, found.severity) == ("lift.flat_sling", "stop")
    steep = lifting.hang(four(0.5), MassPoint(mass=500.0, x=0.0, y=0.0, z=0.5), 2.5)
    assert lifting.sling_findings(steep, TAPE) == ()
    checks = lifting.sling_checks(steep, 1e4, "four slings")
    assert all(c.passes for c in checks)


LUG = LugPlate(width=0.08, thickness=0.0127, hole=0.027, pin=0.0254, edge=0.04, height=0.045)


def test_lug_by_hand() -> None:
    """BTH-1 forms worked by hand for a 1/2 in lug, 1 in pin: be = 0.6 b sqrt(Fu/Fy d/b), Cr, planes of shear."""
    checks = {c.name: c for c in lifting.lug_checks("lug", "sling", LUG, PLATE_STEEL, 8000.0, math.radians(60))}
    fy, fu, b = PLATE_STEEL.yield_stress, PLATE_STEEL.tensile, 0.0265
    be = min(b, 4 * 0.0127, 0.6 * b * math.sqrt(fu / fy * 0.027 / b))
    cr = 1 - 0.275 * math.sqrt(1 - (0.0254 / 0.027) ** 2)
    assert checks["lug beside the hole"].capacity == pytest.approx(cr * fu / 3.6 * 2 * 0.0127 * be)
    assert checks["pin on the hole"].capacity == pytest.approx(1.25 * fy / 3 * 0.0254 * 0.0127)
    bent = 8000 * math.cos(math.radians(60)) * 0.045 / (0.08**2 * 0.0127 / 6)
    assert checks["lug at its weld"].demand == pytest.approx(8000 * math.sin(math.radians(60)) / (0.08 * 0.0127) + bent)


@given(st.floats(0.0, 0.3), st.floats(0.5, 1.5))
def test_pull_aside_is_never_better(aside: float, angle: float) -> None:
    straight = lifting.lug_checks("lug", "sling", LUG, PLATE_STEEL, 8000.0, angle)
    off = lifting.lug_checks("lug", "sling", LUG, PLATE_STEEL, 8000.0, angle, aside)
    assert off[-1].demand >= straight[-1].demand * (1.0 - 0.05 * aside)


def test_lug_and_pin_limits() -> None:
    with pytest.raises(LayoutError, match="does not fit"):
        LugPlate(width=0.08, thickness=0.01, hole=0.02, pin=0.025, edge=0.04, height=0.04)
    pin = lifting.pin_check("pin", "sling", 0.0254, PLATE_STEEL, 1.0)
    assert pin.capacity == pytest.approx(PLATE_STEEL.yield_stress / 3 / math.sqrt(3) * math.pi * 0.0254**2 / 2)
    assert lifting.weld_load(1000.0) == pytest.approx(1800.0)


@given(st.floats(0.3, 2.5), st.floats(0.05, 1.0))
def test_farther_out_a_truck_lifts_less(centre: float, more: float) -> None:
    truck = forks.Truck(capacity=2268.0)
    assert forks.truck_capacity(truck, centre + more) <= forks.truck_capacity(truck, centre)
    moment = forks.truck_capacity(truck, 1.5) * (1.5 + truck.axle_ahead)
    assert moment == pytest.approx(2268.0 * (truck.load_centre + truck.axle_ahead))


@given(st.lists(st.floats(0.0, 3.0), min_size=1, max_size=5), st.floats(1.0, 2.0))
def test_clear_pockets_are_clear(stations: list[float], centre: float) -> None:
    crosses = [(s, 0.076) for s in stations]
    found = forks.clear_pockets(centre, 0.7, 0.178, crosses, narrow=0.4, wide=1.5)
    if found is not None:
        assert sum(found) / 2 == pytest.approx(centre)
        assert all(abs(p - s) >= (0.178 + 0.076) / 2 - 1e-9 for p in found for s in stations)
        assert forks.pocket_shares(found, centre) == pytest.approx((0.5, 0.5))


def test_fork_findings() -> None:
    truck = forks.Truck(capacity=5000 * LB)
    codes = [f.code for f in forks.fork_findings(truck, 3000 * LB, 65.8 * INCH, 120 * INCH, "from the fire end", TAPE)]
    assert codes == ["lift.truck", "lift.forks_short"]
    assert forks.fork_findings(truck, 1834 * LB, 16 * INCH, 34 * INCH, "from the side", TAPE) == ()
    uneven = forks.pocket_findings((1.0, 2.0), 0.18, [], 1.2, TAPE)
    assert [f.code for f in uneven] == ["lift.uneven_forks"]
    assert forks.side_tip(1.0, 0.5) == pytest.approx(math.pi / 4)


@given(st.floats(0.25, 0.6), st.floats(0.0, 1.7), st.floats(0.0, 1.7), st.floats(0.2, 15.0))
def test_recommended_weight_never_over_the_constant(reach: float, height: float, travel: float, rate: float) -> None:
    lift = Lift(reach=reach, height=height, travel=travel, rate=rate)
    assert 0.0 <= manual.recommended_weight(lift) <= manual.LOAD_CONSTANT
    farther = Lift(reach=reach + 0.03, height=height, travel=travel, rate=rate)
    assert manual.recommended_weight(farther) <= manual.recommended_weight(lift)


def test_frequency_steps_and_cuts() -> None:
    assert manual.multipliers(Lift(reach=0.3, height=0.8, rate=4, duration="medium"))[4] == 0.72
    assert manual.multipliers(Lift(reach=0.3, height=0.8, rate=4.5, duration="long"))[4] == pytest.approx(0.4)
    assert manual.multipliers(Lift(reach=0.3, height=0.7, rate=13))[4] == 0.0
    assert manual.multipliers(Lift(reach=0.3, height=0.8, rate=13))[4] == 0.34
    assert manual.multipliers(Lift(reach=0.3, height=0.8, rate=16))[4] == 0.0


@given(st.floats(0.3, 1.1))
def test_handles_balance_the_cart(axle: float) -> None:
    """Moments about the axle: weight against handles; and a negative lift says so."""
    weights = [MassPoint(mass=150.0, x=0.6, y=0.0, z=0.5), MassPoint(mass=40.0, x=0.9, y=0.0, z=0.5)]
    lift = manual.handle_lift(weights, axle, -0.7)
    assert lift * (axle + 0.7) == pytest.approx(150.0 * (axle - 0.6) + 40.0 * (axle - 0.9))
    if lift < 0.0:
        assert [f.code for f in manual.handle_findings(lift, TAPE)] == ["lift.handles_fly"]
    assert manual.handle_check(45.0).passes
    assert not manual.handle_check(46.0).passes
    with pytest.raises(LayoutError):
        manual.handle_lift(weights, 1.0, 1.0)
