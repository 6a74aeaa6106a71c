"""A vessel on end: the trade's figures, what is refused, and what must hold of any such pit.

Figures marked S6 are the trade scenario of that name: 30 OD standing 72 tall, firebox low at its side, one door with 22
clear opening; geometry exact, weights and price common practice, no source.
"""

from __future__ import annotations

import dataclasses
import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

import uprights
from pitwright.errors import JobError, LayoutError
from pitwright.layout.pit import solve
from pitwright.layout.upright_door import first_inside
from pitwright.layout.upright_place import plan, turned_open
from pitwright.masses import combine, placed_mass
from pitwright.shop.order import build_order
from pitwright.shop.price import price
from pitwright.solid.mesh import overlaps
from pitwright.strength.stability import Footing, MassPoint, sides, tip_angle
from pitwright.tape import INCH, LB

S6 = {
    "vessel__around": "94.2478",  # 30 OD
    "vessel__length": "57",  # 72 over both 2:1 heads
    "proportions__stack": {"profile": "6 sch 40 pipe", "height": "30"},
}


@pytest.fixture(scope="module")
def tower():
    return uprights.small(**S6)


# ---------------------------------------------------------------- the trade's figures


def test_s6_door_is_94_degrees_and_24_11_16_round_the_skin(tower):
    door = tower.doors[0]
    assert math.degrees(abs(door.hinge_clock - door.edge_clock)) == pytest.approx(94.3, abs=0.05)
    assert tower.tape.length(door.arc) == '24-11/16"'
    assert tower.tape.length(door.chord) == '22"'


def test_s6_base_is_34_square_and_its_diagonal_pythagoras(tower):
    assert tower.upright.square == pytest.approx(34.0 * INCH, abs=1e-6)
    assert tower.upright.diagonal == pytest.approx(34.0 * math.sqrt(2.0) * INCH, rel=1e-9)


def test_s6_stands_72_tall_over_its_heads(tower):
    vessel = tower.vessel
    tall = vessel.length + vessel.fire_head.depth + vessel.stack_head.depth
    assert tall == pytest.approx(72.0 * INCH, abs=0.4 * INCH)  # a 2:1 head is a little deeper outside than D/4


def test_s6_weight_and_price(tower):
    assert 800.0 <= tower.balance["empty"].mass / LB <= 1000.0
    quote = price(tower)
    assert 7000.0 <= quote.price <= 11000.0


def square(half):
    return [Footing(name=f"{x}{y}", x=x * half, y=y * half) for x in (-1.0, 1.0) for y in (-1.0, 1.0)]


def door_moved(pit, stop):
    """How far the door's own weight moves in plan, shut to a stop [m]."""
    door = pit.doors[0]
    pieces = (m for p in pit.parts if p.moving == door.name for m in placed_mass(p))
    c = combine(pieces).centre
    x, y = turned_open(door.pin, (c[0], c[1]), stop, pit.upright.door.hinge_side)
    return x - c[0], y - c[1]


def test_s6_tips_at_21_shut_and_about_19_with_a_60_lb_door_open(tower):
    feet, weight = square(17.0 * INCH), 900.0 * LB
    shut = MassPoint(mass=weight, x=0.0, y=0.0, z=44.0 * INCH)
    assert math.degrees(tip_angle(feet, shut)) == pytest.approx(21.0, abs=0.3)
    dx, dy = door_moved(tower, math.radians(150.0))
    share = 60.0 / 900.0
    opened = dataclasses.replace(shut, x=share * dx, y=share * dy)
    assert math.degrees(tip_angle(feet, opened)) == pytest.approx(19.0, abs=0.3)


def test_leg_rules_do_not_apply_and_the_tool_says_so(tower):
    assert tower.leg_sets == ()
    assert tower.saddles == ()
    (said,) = [f for f in tower.findings if f.code == "base.no_legs"]
    assert "Leg rules do not apply" in said.text


def test_hinge_edge_is_plumb_and_the_pull_is_friction_alone(tower):
    door = tower.doors[0]
    assert {p for _, p in door.pulls} == {door.worst_pull}
    # by hand: friction 0.3 at a 3/8 in pin radius under W, and under the two side loads W x lever / spread
    weight, own = door.weight * 9.80665, tower.upright.door
    spread = own.hinge_x[-1] - own.hinge_x[0]
    torque = 0.3 * 0.375 * INCH * (weight + 2.0 * weight * door.lever / spread)
    assert door.worst_pull == pytest.approx(torque / door.handle_radius, rel=1e-9)
    assert own.lean_pull == pytest.approx(weight * door.lever * math.sin(math.radians(1.0)) / door.handle_radius)


def test_no_piece_runs_into_another(tower):
    assert overlaps(tower.parts) == ()


def test_long_seam_is_turned_out_of_door_window_and_posts(tower):
    assert not [f for f in tower.findings if f.code in ("skin.opening_on_seam", "clock.tight")]


def test_every_figure_can_say_why(tower):
    for name in ("doors.arc", "window.skin_area", "base.square", "vessel.seam", "grates.diameter", "door 1.pull"):
        assert tower.reasons[name].because


def test_left_hand_pit_is_the_mirror_image(tower):
    left = uprights.small(**S6, order__firebox_side="left")
    assert left.vessel.hand == -1
    assert left.balance["empty"].mass == pytest.approx(tower.balance["empty"].mass, rel=1e-12)
    assert left.doors[0].arc == tower.doors[0].arc


# ---------------------------------------------------------------- refused, clearly


def test_a_door_wider_than_the_vessel_is_refused():
    with pytest.raises(LayoutError) as error:
        uprights.small(proportions__upright={"door_clear": "32"})
    assert error.value.field == "proportions.upright.door_clear"
    assert "wider than a vessel" in error.value.message
    assert "up to" in error.value.allowed


def test_a_lowest_grate_in_the_window_is_refused_with_the_least_height():
    with pytest.raises(LayoutError) as error:
        uprights.small(order__grate_height="30")
    assert error.value.field == "order.grate_height"
    least = error.value.allowed.split("at least ")[1].split('"')[0]
    assert uprights.small(order__grate_height=least).upright.grates[0].z > 0.0


def test_a_window_that_meets_the_door_is_refused():
    facts = {"door_below": "10", "door_clear": "26", "firebox_size": "18 in"}
    with pytest.raises(LayoutError) as error:
        uprights.small(order__grate_height="39", proportions__upright=facts)
    assert "into the door" in error.value.message


def test_a_window_over_the_bottom_seam_is_refused():
    with pytest.raises(JobError):
        uprights.small(override={"firebox.over_seam": "4"})


def test_a_firebox_wider_than_the_vessel_is_refused():
    with pytest.raises(LayoutError) as error:
        uprights.small(proportions__upright={"firebox_size": "30 in"})
    assert error.value.field == "proportions.upright.firebox_size"


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"order__flow": "reverse"}, "order.flow"),
        ({"proportions__firebox": {"double_wall": "2"}}, "proportions.firebox.double_wall"),
        ({"proportions__upright": {"grates": 9}}, "proportions.upright.grates"),
        ({"proportions__upright": {"square": "31"}}, "proportions.upright.square"),
        ({"measured": {"legs": [{"set": "A", "lean": "10"}]}}, "measured.legs"),
        ({"order__levels": [{"above": "40"}]}, "order.levels"),
    ],
)
def test_what_no_vessel_on_end_can_have_is_refused(changes, field):
    with pytest.raises((JobError, LayoutError)) as error:
        uprights.small(**changes)
    assert error.value.field == field
    assert error.value.remedy


def test_seam_through_the_window_is_found_where_the_shop_fixes_the_turn():
    # front line a quarter round from the long seam: the seam runs up the firebox line
    quarter = "23 9/16"
    found = []
    for turn in (quarter, "70 11/16"):
        pit = uprights.small(proportions__clock={"top_from_seam": turn, "fire_end": "A"})
        found += [f for f in pit.findings if f.code == "skin.opening_on_seam" and "firebox window" in f.pieces]
    assert len(found) == 1
    assert "runs through" in found[0].text


# ---------------------------------------------------------------- properties


@settings(max_examples=200, deadline=None)
@given(st.floats(0.25, 2.0), st.floats(0.15, 0.97))
def test_arc_and_chord_go_round(diameter, share):
    """Clear opening to arc and back: chord = OD sin(arc / OD)."""
    clear = share * diameter
    arc = diameter * math.asin(clear / diameter)
    assert diameter * math.sin(arc / diameter) == pytest.approx(clear, rel=1e-12)


@settings(max_examples=25, deadline=None)
@given(st.floats(12.0, 28.0), st.floats(75.0, 126.0), st.sampled_from(["away from the firebox", "firebox side"]))
def test_door_as_laid_out_has_the_clear_opening_asked_for(clear, around, hinge):
    assume(clear < 0.9 * around / math.pi)
    try:
        pit = uprights.small(
            vessel__around=f"{around}", order__grate_height="46", vessel__length="70",
            proportions__upright={"door_clear": f"{clear}", "hinge": hinge, "firebox_size": "0.55 diameter"},
        )  # fmt: skip
    except LayoutError:
        return
    door = pit.doors[0]
    assert door.chord == pytest.approx(clear * INCH, rel=1e-9)
    assert 2.0 * pit.vessel.outer_radius * math.sin(door.arc / 2.0 / pit.vessel.outer_radius) == pytest.approx(
        door.chord
    )
    a, b = pit.vessel.skin(0.0, door.hinge_clock), pit.vessel.skin(0.0, door.edge_clock)
    assert math.dist(a, b) == pytest.approx(clear * INCH, rel=1e-9)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.05, math.pi / 2.0), st.floats(0.05, 1.2), st.sampled_from([-1, 1]), st.floats(300.0, 900.0))
def test_opening_the_door_lowers_the_tip_angle_on_its_side(swing, half_sweep, side, mass):
    """Up to a quarter turn the door's weight moves out to its hinge side and to the front: both sides lose margin.

    The pins stand out from the skin, so a door first swings a little away from its hinges: its lag, twice over, is left out.
    """
    radius, door = 0.38, 30.0
    pin = plan(radius + 0.02, side * half_sweep)
    centre = (0.0, radius * math.sin(half_sweep) / half_sweep)
    lag = math.atan2(pin[1] - centre[1], abs(pin[0]))
    assume(swing > 2.0 * max(lag, 0.0) + 0.01)
    moved = turned_open(pin, centre, swing, side)
    feet = square(0.45)

    def margin(x, y):
        weight = MassPoint(mass=mass, x=door / mass * x, y=door / mass * y, z=1.0)
        found = {round(s.facing, 6): s.angle for s in sides(feet, weight)}
        out = {"hinge": 0.0 if side > 0 else math.pi, "front": math.pi / 2.0}
        return [min(found.items(), key=lambda f: abs(math.remainder(f[0] - a, 2 * math.pi)))[1] for a in out.values()]

    shut, opened = margin(*centre), margin(*moved)
    assert opened[0] < shut[0]
    assert opened[1] < shut[1] or swing > math.pi / 2.0 - half_sweep / 2.0


def test_a_door_on_the_firebox_side_meets_the_firebox():
    box = (-1.2, -0.25, -0.38, 0.25)
    pin = plan(0.40, -0.8)
    skin = [plan(0.38, -0.8 + 1.6 * i / 20) for i in range(21)]
    met = first_inside(pin, skin, box, -1)
    assert math.pi / 2.0 < met < 2.0 * math.pi
    just_before = [turned_open(pin, p, met - math.radians(0.01), -1) for p in skin]
    assert not any(box[0] < x < box[2] and box[1] < y < box[3] for x, y in just_before)
    away = first_inside(plan(0.40, 0.8), [plan(0.38, 0.8 - 1.6 * i / 20) for i in range(21)], box, 1)
    assert away > met


@pytest.mark.parametrize("seed", range(12))
def test_any_tower_stands_clear_and_adds_up(seed):
    pit = uprights.solved(seed)
    if pit is None:
        pytest.skip("the seed's facts allow no pit")
    assert overlaps(pit.parts) == ()
    own, vessel = pit.upright, pit.vessel
    assert own.posts[0].z0 == pit.base.rail_top
    assert own.posts[0].z1 > vessel.seam_z
    assert pit.doors[0].x1 <= vessel.length
    assert own.grates[-1].x < pit.doors[0].x1
    for post in own.posts:
        assert math.hypot(post.x, post.y) == pytest.approx(vessel.outer_radius + own.post.height / 2.0)
    steel = combine(m for p in pit.parts for m in placed_mass(p))
    assert {p.mark for p in pit.parts} == {p.mark for step in build_order(pit).steps for p in step.parts}
    share = 1.0 + pit.job.proportions.shop.weld_and_paint
    assert pit.balance["empty"].mass == pytest.approx(steel.mass * share, rel=1e-9)
    assert pit.balance["empty"].centre == pytest.approx(steel.centre, abs=1e-9)


def test_measured_door_and_height_are_taken(tower):
    pit = uprights.small(**S6, measured={"doors": [{"door": 1, "arc": "25"}]})
    assert pit.tape.length(pit.doors[0].arc) == '25"'
    assert any(f.code == "doors.clear" for f in pit.findings)
    centre = tower.tape.decimal(tower.vessel.centre_z + 0.0127, 4).rstrip('"')
    stood = uprights.small(**S6, measured={"height": centre})
    assert stood.vessel.seam_z == pytest.approx(tower.vessel.seam_z + 0.0127, abs=2e-5)
    assert stood.upright.grates[0].z == pytest.approx(tower.upright.grates[0].z)


def test_unsigned_vessel_issues_no_cut_marks():
    pit = solve(uprights.job(make_safe={"held": "air"}))
    assert not pit.cleared
    assert any(m.needs for m in pit.marks)
