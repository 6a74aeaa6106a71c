"""Tipping, towing and tie-downs against published rules and hand-worked numbers of imagined pits.

49 CFR 393.102, .106, .108, .110 as quoted on fmcsa.dot.gov, reglogic.com and trade copies of the tables; towing range
10 to 15 % from a maker's manual; the worked numbers are our own arithmetic on imagined pits, done by hand.
"""

from __future__ import annotations

import math

import pytest

from pitwright.strength import floor, forks, rock, spread, stability, towing
from pitwright.strength.shell import Band
from pitwright.strength.stability import Footing, MassPoint, Slide
from pitwright.tape import FOOT, INCH, LB, LBF, Tape

TAPE = Tape.for_system("inch")


def base(width: float, length: float, trail: float = 0.0) -> list[Footing]:
    return [
        Footing(name=f"{side}{end}", x=x * INCH, y=y * INCH, trail=trail * INCH)
        for side, y in (("front ", width / 2), ("back ", -width / 2))
        for end, x in (("left", 0.0), ("right", length))
    ]


def test_skid_tips_at_27_degrees() -> None:
    """34 in over the rails, weight 0.9 in front of the middle and 31-5/8 up: 27 degrees."""
    weight = MassPoint(mass=1834 * LB, x=34 * INCH, y=0.9 * INCH, z=31.625 * INCH)
    assert math.degrees(stability.tip_angle(base(34, 120), weight)) == pytest.approx(27, abs=0.1)


@pytest.mark.parametrize(("width", "tip", "push"), [(20, 3.3, 91), (26, 8.3, 233), (30, 11.5, 327)])
def test_event_cart_with_six_slides(width: float, tip: float, push: float) -> None:
    """1,240 lb, 34 high, six slides of 25 + 60 lb pulling 17, doors add 180 in-lb, casters trail 1-3/4."""
    feet = base(width, 200, 1.75)
    empty = MassPoint(mass=1240 * LB, x=100 * INCH, y=1.0 * INCH, z=34 * INCH)
    slides = [Slide(own=25 * LB, meat=60 * LB, travel=17 * INCH)] * 6
    angles = stability.slides_out(feet, empty, slides, doors=180 * LBF * INCH)
    assert math.degrees(angles[-1]) == pytest.approx(tip, abs=0.05)
    all_out = MassPoint(mass=1600 * LB, x=100 * INCH, y=(1240 + 180 + 6 * 85 * 17) / 1600 * INCH, z=34 * INCH)
    side = min(stability.sides(feet, all_out), key=lambda s: s.angle)
    assert stability.push_to_tip(side, all_out, 34 * INCH) / LBF == pytest.approx(push, abs=1)


def test_how_many_slides_at_once() -> None:
    """20 in base: fails with two out (8.5); 26: four (10.6); 30: all six."""
    empty = MassPoint(mass=1240 * LB, x=100 * INCH, y=1.0 * INCH, z=34 * INCH)
    slides = [Slide(own=25 * LB, meat=60 * LB, travel=17 * INCH)] * 6
    angles = {w: stability.slides_out(base(w, 200, 1.75), empty, slides, 180 * LBF * INCH) for w in (20, 26, 30)}
    assert math.degrees(angles[20][2]) == pytest.approx(8.5, abs=0.05)
    assert math.degrees(angles[26][4]) == pytest.approx(10.6, abs=0.05)
    assert [stability.slide_limit(angles[w]) for w in (20, 26, 30)] == [1, 4, 6]
    assert [f.code for f in stability.slide_findings(angles[20], TAPE)] == ["stand.slides"]
    assert stability.slide_findings(angles[30], TAPE) == ()


def test_upright() -> None:
    """34 in square, weight 44 high: 21 degrees closed; a 60 lb door swung 15 in beyond the front: about 19."""
    shut = MassPoint(mass=900 * LB, x=17 * INCH, y=0.0, z=44 * INCH)
    assert math.degrees(stability.tip_angle(base(34, 34), shut)) == pytest.approx(21, abs=0.2)
    moved = 60 * 27 / 900 * INCH
    open_door = MassPoint(mass=900 * LB, x=17 * INCH, y=moved, z=44 * INCH)
    assert math.degrees(stability.tip_angle(base(34, 34), open_door)) == pytest.approx(19, abs=0.3)


def test_two_slides_and_open_doors() -> None:
    """34 in over the rails, 1,994 lb with 160 lb of meat, 3.0 in front: margin 14.0, tips at 22.9, 824 lb at 34 up."""
    out = MassPoint(mass=(1834 + 160) * LB, x=54 * INCH, y=3.0 * INCH, z=14.0 / math.tan(math.radians(22.9)) * INCH)
    side = min(stability.sides(base(34, 120), out), key=lambda s: s.angle)
    assert side.margin / INCH == pytest.approx(14.0)
    assert math.degrees(side.angle) == pytest.approx(22.9, abs=0.05)
    assert out.z / INCH == pytest.approx(33.1, abs=0.1)  # the weight stands higher with the doors open
    assert stability.push_to_tip(side, out, 34 * INCH) / LBF == pytest.approx(824, abs=5)


def test_leg_sets_carry_by_their_lever() -> None:
    """1,834 lb at station 54-1/8 on sets at 8 and 76: 589 and 1,245 lb; 622 a leg at the fire end, a third over W / 4."""
    far, fire = (share * 1834 for share in forks.pocket_shares((8 * INCH, 76 * INCH), 54.125 * INCH))
    assert far == pytest.approx(589, abs=2)
    assert fire == pytest.approx(1245, abs=2)
    assert fire / 2 == pytest.approx(622, abs=1)
    assert fire / 2 / (1834 / 4) == pytest.approx(4 / 3, rel=0.02)


def test_all_four_loadings_stay_in_range() -> None:
    """150 in to the coupler, 1,800 lb 18 ahead: 12 %. 300 lb of wood must lie where all stays in 10 to 15 %: not 60 ahead."""
    pit = MassPoint(mass=1800 * LB, x=132 * INCH, y=0.0, z=1.0)
    first, last = towing.load_window([[pit]], 300 * LB, 150 * INCH)
    for x, share in ((first, 0.15), (last, 0.10)):
        wood = MassPoint(mass=300 * LB, x=x, y=0.0, z=1.0)
        assert towing.tongue("wood", [pit, wood], 150 * INCH).share == pytest.approx(share)
    assert not first <= 90 * INCH <= last


def test_caster_rating() -> None:
    assert floor.caster_check(1200.0, 400.0).ratio == pytest.approx(1.0)


def test_tongue_weight() -> None:
    """1,800 lb, 150 in to the coupler, weight 18 ahead: 216 lb, 12 %. 300 lb of wood 60 ahead: 120 more, 16 % of 2,100."""
    pit = MassPoint(mass=1800 * LB, x=132 * INCH, y=0.0, z=1.0)
    wood = MassPoint(mass=300 * LB, x=90 * INCH, y=0.0, z=1.0)
    dry, full = towing.tongue("no wood", [pit], 150 * INCH), towing.tongue("wood", [pit, wood], 150 * INCH)
    assert dry.tongue / LB == pytest.approx(216)
    assert dry.share == pytest.approx(0.12)
    assert (full.tongue - dry.tongue) / LB == pytest.approx(120)
    assert full.share == pytest.approx(0.16)
    states = {"no wood": [pit], "wood": [pit, wood]}
    assert [f.code for f in towing.tongue_findings(states, 150 * INCH, TAPE)] == ["tow.tongue"]
    assert towing.may_print([dry, full])


def test_axle_ahead_of_the_middle_is_refused() -> None:
    """Bad input: axles 11 in ahead of the weight give a tongue that lifts."""
    pit = {"empty": [MassPoint(mass=3000 * LB, x=250 * INCH, y=0.0, z=1.0)]}
    (found,) = towing.tongue_findings(pit, 239 * INCH, TAPE)
    assert found.severity == "stop"
    assert "-4.6%" in found.text
    assert "back" in found.remedy
    assert not towing.may_print([towing.tongue("empty", pit["empty"], 239 * INCH)])


def test_tie_down_rules() -> None:
    """393.110(b): 12 ft, 6,000 lb wants 3, aggregate 3,000 lb; 393.102(a)(2) shares."""
    found = towing.tie_downs(12 * FOOT, 6000 * LB, 4700 * LB)
    assert found.by_rule == 3
    assert found.aggregate / LB == pytest.approx(3000)
    assert found.count == 3
    assert found.forward / LBF == pytest.approx(0.435 * 6000)
    assert found.rearward / LBF == pytest.approx(0.5 * 6000)
    assert found.sideways / LBF == pytest.approx(0.25 * 6000)


@pytest.mark.parametrize(
    ("feet", "pounds", "blocked", "count"),
    [(5, 1100, False, 1), (5, 1101, False, 2), (10, 9000, False, 2), (10.1, 9000, False, 3), (21, 9000, False, 4), (21, 9000, True, 3)],
)  # fmt: skip
def test_tie_down_counts(feet: float, pounds: float, blocked: bool, count: int) -> None:
    assert towing.least_tie_downs(feet * FOOT, pounds * LB, blocked=blocked) == count


def test_chain_table() -> None:
    assert towing.chain_limit("3/8", 70) / LB == pytest.approx(6600)
    assert towing.chain_limit("5/16", 43) / LB == pytest.approx(3900)


def test_thrust_of_leaning_legs() -> None:
    """1,834 lb on four legs leaning 11.3: 458 lb, 92 out each, 146 rocking; 2,230 in-lb at the top of a free leg."""
    height = (35 - 15.04 * math.cos(math.radians(45))) * INCH
    leg = spread.LeaningLeg(
        name="L1", load=1834 / 4 * LBF, lean=math.atan2(15.5 - 15.04 * math.sin(math.radians(45)), height / INCH),
        height=height, bend=2.46 * INCH**4 * 2e11, roll=Band(low=4e4, best=8e4, high=12e4), rail_bend=2e5, rail_twist=1e5,
        bay=1.7, tie=0.1, tie_stretch=3e8,
    )  # fmt: skip
    even, rocking, _road = spread.spreads(leg)
    assert even.load / LBF == pytest.approx(458.5, abs=0.1)
    assert even.thrust / LBF == pytest.approx(92, abs=0.5)
    assert rocking.thrust / LBF == pytest.approx(146, abs=1)
    assert even.moment / (LBF * INCH) == pytest.approx(2230, abs=5)


def test_a_frame_thrust() -> None:
    """Legs 15 degrees off plumb, 2 kip on top: 0.26795 kip a foot = P tan(15) / 2."""
    assert spread.thrust(1.0, math.radians(15)) == pytest.approx(0.26795, abs=5e-6)


def test_skew_from_diagonals() -> None:
    """Rails 120 x 34 outside: diagonals 1/8 apart are 1/16 of skew."""
    found = rock.skew(120 * INCH, 34 * INCH, 124.78125 * INCH, 124.65625 * INCH)
    assert found.shift / INCH == pytest.approx(1 / 16, abs=0.005)


def test_one_long_leg_rocks() -> None:
    """A foot 3/32 proud at one corner of a 68 x 31 base: rocks on the other diagonal; cap of 3/32 lifts one leg."""
    feet = [
        rock.FootHeight(name=n, x=x * INCH, y=y * INCH, height=h * INCH)
        for n, x, y, h in (("A", 0, 0, 0.0), ("B", 68, 0, 0.0), ("C", 68, 31, -3 / 32), ("D", 0, 31, 0.0))
    ]
    found = rock.rock(feet, (30 * INCH, 15 * INCH))
    assert "C" in found.rests_on
    assert found.winding / INCH == pytest.approx(-3 / 32)
    assert max(g for _, g in found.shims) / INCH == pytest.approx(3 / 32, abs=1e-9)
    assert [n for n, _ in found.trims] == ["C"]
