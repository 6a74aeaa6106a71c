"""Stands and carts: what they stand on, ties between legs, axle, rest legs, handles.

Worked figures of the trade notes (common practice, no source): S1 a pipe on casters, S4 a barrow, S10 bases 20, 26 and
30 between casters of 1-3/4 trail; each caster rated for a third of the weight.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

import workbench
from pitwright.errors import LayoutError
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.masses import combine, placed_mass
from pitwright.saw import saw_cut
from pitwright.shop.price import price
from pitwright.tape import INCH, LB, STANDARD_GRAVITY
from workbench import codes, found, job, merged

FLAT = {"type": "flat", "wall": "3/8"}
S1: dict[str, Any] = {
    "vessel": {"around": "75 3/8", "wall": "3/8", "length": "60", "head_a": FLAT, "head_b": FLAT},
    "order": {"grate_height": "39", "base": "stand"},
    "proportions": {
        "grates": {"below_centre": "1/2", "side_clear": "0"},
        "firebox": {"joint": "flat", "size": "18"},
        "stack": {"profile": "6 sch 40 pipe", "height": "40"},
        "legs": {"profile": "2-1/2 x 2-1/2 x 3/16 tube", "set_in": "1", "clock": "40", "end": "straight"},
        "base": {"rails_outside": "30.587 in"},
    },
}
S4: dict[str, Any] = {
    "vessel": {"around": None, "outside_diameter": "20", "wall": "1/4", "length": "48", "head_a": FLAT, "head_b": FLAT},
    "order": {"grate_height": "35 1/2", "base": "cart"},
    "proportions": {
        "legs": {"profile": "2 x 2 x 3/16 tube", "set_in": "1", "clock": "50", "end": "straight"},
        "base": {
            "rails_outside": "28.0486 in",
            "rail": "2 x 2 x 3/16 tube",
            "cross": "2 x 2 x 3/16 tube",
            "overhang": "3",
        },
        "firebox": {"size": "14", "wall": "1/4", "end_plate": "1/4", "joint": "flat", "length": "18"},
        "stack": {"profile": "4 sch 40 pipe"},
    },
}


def stand(changes: dict | None = None, **rules: Any) -> Pit:
    return solve(job(merged(merged(S1, {"proportions": {"stand": rules}}), changes or {})))


def cart(changes: dict | None = None, **rules: Any) -> Pit:
    plain = {k: v for k, v in workbench.WORKED["vessel"].items() if k != "around"}
    facts = merged(merged(S4, {"proportions": {"cart": rules}}), changes or {})
    return solve(job(facts, base={**workbench.WORKED, "vessel": plain}))


# ---------------------------------------------------------------- stand


def test_s1_the_pipe_on_its_stand():
    pit = stand()
    leg = pit.leg_sets[0].legs[0]
    assert (pit.vessel.centre_z - leg.foot_z) / INCH == pytest.approx(29.0)
    assert math.degrees(leg.lean) == pytest.approx(14.9, abs=0.1)
    assert math.degrees(leg.top_cut) == pytest.approx(25.1, abs=0.2)
    # Foot plane: caster 7-1/2 and rail 3.
    assert pit.base.rail_top / INCH == pytest.approx(10.5)
    assert len(pit.base.supports) == 4
    assert [s.top / INCH for s in pit.base.supports] == pytest.approx([7.5] * 4)
    assert 1100 <= pit.balance["empty"].mass / LB <= 1350
    assert 9000.0 <= price(pit).price <= 13000.0
    asked = float(pit.reasons["stand.caster_rating"].value)
    assert asked == pytest.approx(max(b.mass for b in pit.balance.values()) / 3.0)


@pytest.mark.parametrize(("apart", "outrigger"), [("20", False), ("26", True), ("30", True)])
def test_s10_bases_between_casters(apart, outrigger):
    pit = stand({"proportions": {"base": {"rails_outside": "23"}, "legs": {"clock": "35"}}}, casters_apart=apart)
    ys = sorted({s.y for s in pit.base.supports})
    assert (ys[1] - ys[0]) / INCH == pytest.approx(float(apart))
    assert [s.trail / INCH for s in pit.base.supports] == pytest.approx([1.75] * 4)
    assert bool([p for p in pit.parts if p.name == "outrigger"]) is outrigger
    for part in pit.parts:
        if part.name == "outrigger":  # from the rail's outside to past the caster's swivel, over its plate
            for at, support in zip(part.placements, pit.base.supports):
                near, far = at.origin[1], at.point((part.shape.x1, 0.0, 0.0))[1]
                assert abs(near) == pytest.approx(pit.base.rails_outside / 2.0)
                assert abs(far) == pytest.approx(abs(support.y) + 2.0 * INCH)
                assert math.copysign(1.0, near) == math.copysign(1.0, support.y)


def test_casters_too_far_in_have_nothing_to_bolt_to():
    lower = {"proportions": {"base": {"cross": "2 x 2 x 3/16 tube"}}}
    with pytest.raises(LayoutError, match="nothing to bolt to") as caught:
        stand(lower, casters_apart="16")
    assert caught.value.field == "proportions.stand.casters_apart"
    assert stand(casters_apart="16").base.supports[0].y / INCH == pytest.approx(8.0)


def test_ratings_are_asked_for_and_held_against():
    assert found(stand().findings, "stand.ask_rating").severity == "note"
    weak = stand(caster_rating="380 lb")
    assert found(weak.findings, "stand.weak_caster").severity == "warn"
    assert weak.base.supports[0].rating == pytest.approx(380 * LB * STANDARD_GRAVITY)
    assert found(stand(caster_rating="200 lb").findings, "stand.weak_caster").severity == "stop"
    strong = stand(caster_rating="600 lb")
    assert not {"stand.ask_rating", "stand.weak_caster"} & set(codes(strong.findings))


def test_where_they_stand():
    sets = [{"from": "stack seam", "by": "6"}, {"from": "middle"}, {"from": "fire seam", "by": "6"}]
    three = {"proportions": {"legs": {"sets": sets}}}
    ends = stand(three)
    xs = sorted({s.x for s in ends.base.supports})
    assert xs == pytest.approx(sorted({s.legs[0].x for s in ends.leg_sets if s.name != "B"}))
    assert len(stand(three, at="every set").base.supports) == 6
    out = stand(at="rail ends")
    xs = sorted({s.x for s in out.base.supports})
    assert xs == pytest.approx([out.base.rail_x0 + 2 * INCH, out.base.rail_x1 - 2 * INCH])


def test_weight_over_the_end_is_told():
    heavy = {"proportions": {"firebox": {"wall": "3/4", "end_plate": "3/4", "length": "36", "size": "22"}}}
    heavy["proportions"]["legs"] = {"sets": [{"from": "stack seam", "by": "6"}, {"from": "middle", "by": "6"}]}
    pit = stand(heavy | {"order": {"grate_height": "44"}})
    assert found(pit.findings, "stand.overhang").severity == "stop"
    assert "rail ends" in found(pit.findings, "stand.overhang").remedy


@pytest.mark.parametrize("on", ["casters", "levelling feet", "foot plates"])
def test_every_piece_stands_between_floor_and_rail(on):
    pit = stand(on=on)
    names = ("caster", "wheel of a caster", "levelling screw", "floor plate")
    for part in pit.parts:
        if part.name in names:
            assert part.quantity == 4
            for mass in placed_mass(part):
                assert 0.0 < mass.centre[2] < pit.base.floor_gap
                assert mass.mass > 0.0
    kinds = {"casters": 7.5, "levelling feet": 4.0, "foot plates": 0.5}
    assert pit.base.floor_gap / INCH == pytest.approx(kinds[on])


def test_a_measured_rail_top_stands_on_what_is_really_under_it():
    pit = stand({"measured": {"rail_top": "10 3/4"}})
    assert pit.base.floor_gap / INCH == pytest.approx(7.75)
    assert [s.top / INCH for s in pit.base.supports] == pytest.approx([7.75] * 4)
    assert pit.grates.levels[0].z / INCH == pytest.approx(39.0)  # the promised height is kept: the legs give way


def test_a_stretcher_fits_between_leaning_legs():
    pit = stand(stretcher="9")
    for leg_set in pit.leg_sets:
        leg = leg_set.legs[0]
        (part,) = [p for p in pit.parts if p.name == f"stretcher, set {leg_set.name}"]
        cut = saw_cut(part.shape)
        # Its ends take the legs' lean; both long points below, where the legs stand further apart.
        assert math.degrees(cut.start.mitre) == pytest.approx(math.degrees(leg.lean))
        assert (cut.shape, cut.face) == ("trapezoid", "bottom")
        # At mid height: feet apart, less the lean of both legs, less both half widths along the level.
        want = 2.0 * (leg.foot_y - 9 * INCH * math.tan(leg.lean) - 1.25 * INCH / math.cos(leg.lean))
        assert (cut.long_point + cut.short_point) / 2.0 == pytest.approx(want)
    assert len(pit.base.braces) == 2
    with pytest.raises(LayoutError, match="no room between the legs"):
        stand(stretcher="26")


def test_knee_braces_run_from_rail_to_leg():
    pit = stand(knee="8")
    assert len(pit.base.braces) == 4
    for brace in pit.base.braces:
        assert brace.start[2] == pytest.approx(pit.base.rail_top)
        assert math.dist(brace.start, brace.stop) == pytest.approx(8 * INCH * math.sqrt(2.0))
    pieces = [p for p in pit.parts if p.name.startswith("knee brace")]
    assert len(pieces) == 4
    for part in pieces:
        assert saw_cut(part.shape).long_point > 8 * INCH


# ---------------------------------------------------------------- cart


def test_s4_the_barrow():
    pit = cart()
    base, leg = pit.base, pit.leg_sets[0].legs[0]
    assert (pit.vessel.centre_z - leg.foot_z) / INCH == pytest.approx(26.0)
    assert math.degrees(leg.lean) == pytest.approx(12.5, abs=0.2)
    assert math.degrees(leg.top_cut) == pytest.approx(37.5, abs=0.2)
    assert pit.vessel.station(base.axles[0].x) / INCH == pytest.approx(44.0)
    assert pit.vessel.station(base.handles.grip[0]) / INCH == pytest.approx(-26.0)
    assert base.handles.grip[2] / INCH == pytest.approx(35.0)
    # The notes' lift: 430 lb with its c.g. at station 30, axle 44, grips -26: 86 lb.
    weight_x = pit.vessel.x_at(30 * INCH)
    assert 430 * (weight_x - base.axles[0].x) / (base.handles.grip[0] - base.axles[0].x) == pytest.approx(86.0)
    assert base.axles[0].x < pit.balance["empty"].centre[0] < base.supports[0].x


def test_wheels_stand_outside_the_rails_and_bear_at_the_floor():
    base = cart().base
    (axle,) = base.axles
    assert axle.radius / INCH == pytest.approx(8.0)
    assert base.floor_gap / INCH == pytest.approx(8.5)  # half the wheel, half of a 1 in axle
    assert axle.track / 2.0 - axle.width / 2.0 - base.rails_outside / 2.0 == pytest.approx(0.75 * INCH)
    assert [s.kind for s in base.supports] == ["rest leg", "rest leg"]


def test_handles_are_two_straight_pieces_that_meet():
    pit = cart()
    (riser,) = [p for p in pit.parts if p.name == "handle bar"]
    (level,) = [p for p in pit.parts if p.name == "grip bar"]
    slope = float(pit.reasons["cart.handle_slope"].value)
    for lower, upper in zip(riser.placements, level.placements):
        assert lower.point((riser.shape.x1, 0.0, 0.0)) == pytest.approx(upper.origin)
        assert upper.x == pytest.approx((1.0, 0.0, 0.0))
        assert lower.origin[2] == pytest.approx(pit.base.rail_top)
    low, high = saw_cut(riser.shape), saw_cut(level.shape)
    # The mitre halves the turn, and the foot is cut level on the rail.
    assert abs(low.finish.mitre) == pytest.approx(slope / 2.0)
    assert abs(high.start.mitre) == pytest.approx(slope / 2.0)
    assert abs(low.start.mitre) == pytest.approx(math.pi / 2.0 - slope)
    with pytest.raises(LayoutError, match="cannot come up to the grips"):
        cart(grips_past="2")
    with pytest.raises(LayoutError, match="grips stand"):
        cart(grip_height="24", wheel="46")


def test_lifted_it_clears_the_ground():
    pit = cart()
    base = pit.base
    arm = base.handles.grip[0] - base.axles[0].x
    # Turned about the axle by 4 in at the grips.
    want = 4 * INCH * (base.supports[0].x - base.axles[0].x) / arm
    assert float(pit.reasons["cart.rest_clear"].value) == pytest.approx(want)
    near = cart({"proportions": {"legs": {"sets": [{"from": "middle"}, {"from": "fire seam", "by": "8"}]}}}, lift="2")
    assert found(near.findings, "cart.rest_low").severity == "warn"


def test_weight_must_lie_between_axle_and_rest_legs():
    back = cart(axle_in="22")
    assert found(back.findings, "cart.balance").severity == "stop"
    assert "drops on its firebox" in found(back.findings, "cart.balance").text


@pytest.mark.parametrize("side", ["left", "right"])
def test_either_hand_is_the_same_cart(side):
    pit, other = cart({"order": {"firebox_side": side}}), cart()
    assert pit.balance["empty"].mass == pytest.approx(other.balance["empty"].mass)
    assert pit.balance["empty"].centre[0] == pytest.approx(other.balance["empty"].centre[0])
    whole = combine(m for part in pit.parts for m in placed_mass(part))
    assert pit.balance["empty"].centre == pytest.approx(whole.centre, abs=1e-9)
