"""Chamber doors: lines, pieces, swing against brute force, pull against the energy of the door."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon, box
from shapely.affinity import rotate
from shapely.geometry import Point

from pitwright.errors import PitwrightError
from pitwright.layout.doors import half_width_between, pin_and_skin
from pitwright.layout.swing import Lift, furthest_back, swung, touch_round, touch_upright
from pitwright.masses import mass_of
from pitwright.parts import Bar, Part, Shell
from pitwright.stock import STEEL_DENSITY
from pitwright.tape import INCH, LB, STANDARD_GRAVITY
from workbench import Upper, codes, found, upper


def doors(**lines: Any) -> dict[str, Any]:
    return {"proportions": {"doors": lines}}


def moving(pit: Upper, name: str = "door 1") -> list[Part]:
    return [p for p in pit.draft.parts if p.moving == name]


def refused(changes: dict[str, Any]) -> PitwrightError:
    with pytest.raises(PitwrightError) as caught:
        upper(changes)
    assert caught.value.field
    assert caught.value.allowed
    assert caught.value.remedy
    return caught.value


# ---------------------------------------------------------------- lines


@pytest.mark.parametrize(
    ("length", "count", "width"),
    [
        ("48", 1, 36.0),
        ("52", 1, 40.0),
        ("60", 2, 22.0),
        ("84", 2, 34.0),
        ("108", 3, 88.0 / 3.0),
        ("192", 3, 172.0 / 3.0),
    ],
)
def test_doors_share_the_shell_between_the_margins(length: str, count: int, width: float) -> None:
    pit = upper({"vessel": {"length": length}})
    assert len(pit.doors) == count
    for door in pit.doors:
        assert door.x1 - door.x0 == pytest.approx(width * INCH)
    assert pit.doors[0].x0 == pytest.approx(6 * INCH)
    assert pit.doors[-1].x1 == pytest.approx(pit.vessel.length - 6 * INCH)
    for a, b in pairwise(pit.doors):
        assert b.x0 - a.x1 == pytest.approx(4 * INCH)
    assert ("doors.count" in codes(pit.draft.findings)) == (length == "192")


def test_the_lower_edge_lies_just_under_the_main_grate() -> None:
    (door, *_) = upper().doors
    assert upper().vessel.outer_radius * math.cos(door.edge_clock) == pytest.approx(-1.5 * INCH)
    assert door.arc == pytest.approx(upper().vessel.outer_radius * (door.edge_clock - door.hinge_clock))


def test_a_sliding_main_grate_lowers_the_edge_under_its_frame() -> None:
    pit = upper({"order": {"grate_slides": True}})
    sill = pit.vessel.outer_radius * math.cos(pit.doors[0].edge_clock)
    frame = pit.grates.levels[0].above_centre - (1.0 + 3.0 / 16.0) * INCH
    assert sill == pytest.approx(frame - 0.25 * INCH)
    assert "it slides" in pit.draft.ledger.close()["doors.edge_clock"].gave_way


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        (doors(end_margin="40"), "proportions.doors.end_margin"),
        (doors(hinge_clock=68, below_grate="-5"), "proportions.doors.hinge_clock"),
        ({"vessel": {"length": "40"}, **doors(count=3, mullion="8")}, "proportions.doors.count"),
        ({"override": {"doors.width": "80"}}, "override.doors.width"),
        ({"override": {"doors.width": "-1"}}, "override.doors.width"),
        ({"override": {"doors.edge_clock": "20"}}, "override.doors.edge_clock"),
        ({"override": {"door 1.stop": "300"}}, "override.door 1.stop"),
        ({"measured": {"doors": [{"door": 3, "width": "20"}]}}, "measured.doors"),
        ({"measured": {"doors": [{"door": 1, "arc": "1"}]}}, "measured.doors no. 1"),
    ],
)
def test_doors_that_cannot_be(changes: dict[str, Any], field: str) -> None:
    assert refused(changes).field == field


def test_an_opening_as_cut_is_kept() -> None:
    pit = upper({"measured": {"doors": [{"door": 2, "width": "34 1/4", "arc": "21 1/2"}]}})
    asked, cut = pit.doors
    assert cut.x1 - cut.x0 == pytest.approx(34.25 * INCH)
    assert cut.arc == pytest.approx(21.5 * INCH)
    assert cut.hinge_clock == asked.hinge_clock
    assert (cut.x0 + cut.x1) / 2.0 == pytest.approx(61 * INCH)
    assert asked.x1 - asked.x0 == pytest.approx(34 * INCH)


@pytest.mark.parametrize(("off", "word"), [(0.375, "Pull it in"), (-0.25, "Spread it"), (0.03, "")])
def test_a_sprung_skin_is_told_with_which_way_to_pull(off: float, word: str) -> None:
    chord = upper().doors[0].chord / INCH
    pit = upper({"measured": {"doors": [{"door": 1, "chord": chord + off}]}})
    if word:
        assert word in found(pit.draft.findings, "doors.sprung").remedy
    else:
        assert "doors.sprung" not in codes(pit.draft.findings)


# ---------------------------------------------------------------- pieces


def test_the_skin_is_the_opening_less_a_kerf_all_round() -> None:
    pit = upper()
    skin = next(p for p in moving(pit) if p.name == "door 1 skin")
    assert isinstance(skin.shape, Shell)
    door, kerf = pit.doors[0], 0.125 * INCH
    assert skin.shape.length == pytest.approx(door.x1 - door.x0 - 2.0 * kerf)
    assert pit.vessel.outer_radius * (skin.shape.clock1 - skin.shape.clock0) == pytest.approx(door.arc - 2.0 * kerf)
    (at,) = skin.placements
    assert at.origin[0] == pytest.approx(door.x0 + kerf)
    opening = next(o for o in pit.draft.openings if o.name == "door 1")
    assert opening.area == pytest.approx((door.x1 - door.x0) * door.arc)


def test_bands_lap_the_gap_and_do_not_lie_on_each_other() -> None:
    pit = upper()
    door, radius = pit.doors[0], pit.vessel.outer_radius
    end = next(p for p in moving(pit) if p.name == "door 1 end band")
    low = next(p for p in moving(pit) if p.name == "door 1 lower band")
    assert isinstance(end.shape, Shell)
    assert isinstance(low.shape, Bar)
    xs = sorted(at.origin[0] for at in end.placements)
    assert xs[0] == pytest.approx(door.x0 - 0.75 * INCH)
    assert xs[1] + end.shape.length == pytest.approx(door.x1 + 0.75 * INCH)
    # the lower band in the end view: a thin box square to the skin's radius
    (at,) = low.placements
    corners = [at.point((0.0, s * low.shape.profile.width / 2.0, t * low.shape.profile.height / 2.0))
               for s, t in ((1, 1), (1, -1), (-1, -1), (-1, 1))]  # fmt: skip
    strip = Polygon([(p[1], p[2] - pit.vessel.centre_z) for p in corners])
    assert strip.area == pytest.approx(1.5 * 0.25 * INCH**2)
    skin = Point(0.0, 0.0).buffer(radius, quad_segs=1024)
    assert strip.intersection(skin).area < 1e-9
    assert strip.distance(skin) < 1e-5
    arc = [(r * math.sin(c), r * math.cos(c))
           for r, cs in ((radius, np.linspace(end.shape.clock0, end.shape.clock1, 200)),
                         (radius + end.shape.wall, np.linspace(end.shape.clock1, end.shape.clock0, 200))) for c in cs]  # fmt: skip
    band = Polygon(arc)
    assert band.intersection(strip).area < 2e-7
    assert band.distance(strip) < 1e-4
    # half the lower band stands past the edge, half on the skin
    clocks = [math.atan2(y, z) for y, z in strip.exterior.coords]
    assert (max(clocks) + min(clocks)) / 2.0 == pytest.approx(door.edge_clock, abs=1e-3)


def test_the_door_weighs_what_its_pieces_weigh() -> None:
    pit = upper()
    assert pit.doors[0].weight == pytest.approx(sum(mass_of(p).mass * p.quantity for p in moving(pit)))
    skin = next(p for p in moving(pit) if p.name == "door 1 skin")
    kerfs = 2.0 * 0.125 * INCH
    middle = 1.0 - 0.125 * INCH / pit.vessel.outer_radius  # the plate weighs by its middle line
    area = (pit.doors[0].x1 - pit.doors[0].x0 - kerfs) * (pit.doors[0].arc - kerfs) * middle
    assert mass_of(skin).mass == pytest.approx(area * 0.25 * INCH * STEEL_DENSITY, rel=1e-6)


def test_a_counterweight_is_a_piece_that_swings_and_is_not_the_doors_own_weight() -> None:
    pit = upper(doors(hold="counterweight"))
    weight = next(p for p in moving(pit) if p.name == "door 1 counterweight")
    arm = next(p for p in moving(pit) if p.name == "door 1 counterweight arm")
    needed = pit.doors[0].hold_needed / STANDARD_GRAVITY / (12 * INCH * -math.cos(math.radians(155.0)))
    assert mass_of(weight).mass == pytest.approx(math.ceil(needed / LB) * LB)
    door = pit.doors[0]
    assert door.weight == pytest.approx(
        sum(mass_of(p).mass * p.quantity for p in moving(pit)) - mass_of(weight).mass - mass_of(arm).mass
    )
    (at,) = weight.placements
    tip = (at.origin[1], at.origin[2])
    assert math.dist(tip, door.pin) == pytest.approx(12 * INCH)
    open_tip = swung(door.pin, tip, door.stop)
    assert math.degrees(math.atan2(open_tip[1] - door.pin[1], open_tip[0] - door.pin[0])) == pytest.approx(155.0)
    (at,) = arm.placements
    assert at.point((12 * INCH, 0.0, 0.0)) == pytest.approx(weight.placements[0].origin)


# ---------------------------------------------------------------- pulls: the slope of the door's energy


def energy(pit: Upper, swing: float) -> float:
    """Potential energy of all that swings with door 1 [J], from its placed pieces turned about the pin."""
    door, total = pit.doors[0], 0.0
    for part in moving(pit):
        mass = mass_of(part)
        for at in part.placements:
            p = at.point(mass.centre)
            turned = rotate(Point(p[1], p[2]), swing, origin=door.pin, use_radians=True)
            total += mass.mass * STANDARD_GRAVITY * turned.y
    return total


@pytest.mark.parametrize(
    "changes",
    [
        {},
        doors(hinge_clock=-10),
        doors(open_stop=140, handle_out="1"),
        doors(hold="counterweight", counterweight="60", counterweight_arm="15"),
        {"vessel": {"around": "130", "wall": "3/8"}, **doors(pin_out="2")},
    ],
)
def test_the_pull_is_the_slope_of_the_energy(changes: dict[str, Any]) -> None:
    pit = upper(changes)
    door = pit.doors[0]
    arm = next((p for p in moving(pit) if p.name.endswith("counterweight arm")), None)
    for swing, pull in door.pulls:
        h = 1e-4
        moment = (energy(pit, swing + h) - energy(pit, swing - h)) / (2.0 * h)
        if arm is not None:  # the steel of the arm itself is not in the pull
            turn = pit.draft.rules.doors.counterweight_rise - door.stop + swing
            moment -= mass_of(arm).mass * STANDARD_GRAVITY * 0.5 * arm.shape.x1 * math.cos(turn)  # type: ignore[union-attr]
        assert pull * door.handle_radius == pytest.approx(moment, abs=1e-3)
    dense = [Lift(load=door.weight * STANDARD_GRAVITY, lever=door.lever, angle=door.lever_angle).moment(s)
             for s in np.linspace(0.0, door.stop, 2000)]  # fmt: skip
    if arm is None:
        assert door.worst_pull * door.handle_radius == pytest.approx(max(dense), rel=1e-6)
        assert door.hold_needed == pytest.approx(max(dense[-1], 0.0))
    assert door.worst_pull >= max(p for _, p in door.pulls) - 1e-9
    assert door.first_pull == door.pulls[0][1]


@given(st.floats(-1.5, 1.5), st.floats(0.05, 1.0), st.floats(0.0, 900.0), st.floats(-1.0, 3.0), st.floats(0.3, 3.0))
def test_over_centre_and_worst_pull(angle: float, lever: float, counter: float, arm: float, stop: float) -> None:
    lift = Lift(load=300.0, lever=lever, angle=angle, counter=counter, arm_angle=arm)
    swings = np.linspace(0.0, stop, 3000)
    moments = np.array([lift.moment(float(s)) for s in swings])
    assert lift.worst(stop) == pytest.approx(moments.max(), rel=1e-5, abs=1e-4)
    over = lift.over_centre
    if over == 0.0:
        assert lift.moment(0.0) < 0.0
    elif over < math.inf:
        assert lift.moment(over) == pytest.approx(0.0, abs=1e-9 * (300.0 * lever + counter) + 1e-9)
        assert lift.moment(over + 1e-6) < 0.0 < lift.moment(max(over - 1e-3, 0.0)) + 1e-12
    # it falls over somewhere within the stop only where the moment changes its sign there
    if moments[0] > 0.0 and moments[-1] < 0.0:
        assert 0.0 < over < stop


# ---------------------------------------------------------------- swing: turned step by step


def first_hit(pin: tuple[float, float], moving_line: LineString, fixed: Polygon, start: float = 0.0) -> float:
    """First swing in degrees at which the turned line meets the fixed shape, by steps of a quarter degree."""
    for step in range(int(start * 4), 4 * 300):
        if rotate(moving_line, step / 4.0, origin=pin).intersects(fixed):
            return step / 4.0
    return math.inf


@pytest.mark.parametrize("hinge", [0.0, 15.0, 30.0])
@pytest.mark.parametrize("behind", ["2", "4", "7"])
@pytest.mark.parametrize("pin_out", ["0", "3/4", "2"])
def test_first_touches_by_turning_the_door_step_by_step(hinge: float, behind: str, pin_out: str) -> None:
    pit = upper({"proportions": {"doors": {"hinge_clock": hinge, "pin_out": pin_out},
                                 "stack": {"profile": "8 sch 20 pipe", "behind_top": behind, "at": "16"}}})  # fmt: skip
    edges, stack, vessel = pit.edges[1], pit.stack, pit.vessel
    pin, skin = pin_and_skin(pit.draft, vessel, edges)
    touches = {t.against: math.degrees(t.travel) for t in pit.doors[1].touches if t.moving == "door"}
    line = LineString(skin)
    half = half_width_between(stack.profile.height / 2.0, stack.x, edges.x0, edges.x1)
    assert half is not None
    pipe = box(stack.y - half, vessel.centre_z, stack.y + half, stack.top_z)
    hit = first_hit(pin, line, pipe, start=0.0)
    if hit > 0.0:
        assert touches["stack"] == pytest.approx(hit, abs=0.3)
    # the vessel's own skin: the part behind the pin, reached past a quarter turn
    round_ = Point(0.0, vessel.centre_z).buffer(vessel.outer_radius - 1e-5, quad_segs=1024)
    back = LineString(skin[1:])
    assert touches["vessel skin"] == pytest.approx(first_hit(pin, back, round_, start=95.0), abs=0.3)


def test_a_door_aside_of_the_stack_does_not_meet_it() -> None:
    pit = upper()
    assert [t.against for t in pit.doors[0].touches] == ["vessel skin"]
    assert [t.against for t in pit.doors[1].touches] == ["vessel skin", "stack"]
    # beside the pipe's middle it comes forward less far
    assert half_width_between(4.0, 10.0, 0.0, 6.0) is None
    assert half_width_between(5.0, 10.0, 0.0, 7.0) == pytest.approx(4.0)
    assert half_width_between(5.0, 10.0, 0.0, 20.0) == pytest.approx(5.0)


def counterweighted(at: str, width: str = "36") -> Upper:
    margin = (48.0 - float(width)) / 2.0
    return upper({"vessel": {"length": "48"},
                  "proportions": {"doors": {"hold": "counterweight", "counterweight_arm": "16", "end_margin": margin},
                                  "stack": {"profile": "8 sch 20 pipe", "behind_top": "6", "at": at}}})  # fmt: skip


def test_a_counterweight_stands_aside_of_the_stack() -> None:
    tip = next(p for p in moving(counterweighted("10")) if p.name == "door 1 counterweight").placements[0].origin
    assert tip[0] == pytest.approx(24 * INCH)  # the door's middle, the stack is far enough
    pit = counterweighted("20")
    tip = next(p for p in moving(pit) if p.name == "door 1 counterweight").placements[0].origin
    assert tip[0] == pytest.approx(pit.doors[0].x0 + 3 * INCH)
    assert [t.moving for t in pit.doors[0].touches] == ["door", "door"]


def test_a_counterweight_behind_the_pins_meets_the_stack() -> None:
    pit = counterweighted("24", width="12")
    touch = next(t for t in pit.doors[0].touches if t.moving == "counterweight")
    assert touch.against == "stack"
    door = pit.doors[0]
    tip = next(p for p in moving(pit) if p.name == "door 1 counterweight").placements[0].origin
    at = swung(door.pin, (tip[1], tip[2]), touch.travel)
    face = half_width_between(pit.stack.profile.height / 2.0, pit.stack.x, tip[0] - 3 * INCH, tip[0] + 3 * INCH)
    assert face is not None
    assert at[0] == pytest.approx(pit.stack.y + face)
    assert "counterweight meets the stack" in found(pit.draft.findings, "doors.touch").text


def test_touching_is_told_with_an_angle_to_stop_at() -> None:
    changes = {"proportions": {"stack": {"profile": "8 sch 20 pipe", "behind_top": "3"}, "doors": {"open_stop": 140}}}
    pit = upper(changes)
    told = found(pit.draft.findings, "doors.touch")
    travel = min(t.travel for t in pit.doors[1].touches)
    assert told.severity == ("stop" if travel < math.radians(140) else "warn")
    assert f"{math.degrees(travel):.1f}°" in told.text
    assert f"{math.degrees(travel) - 10.0:.1f}°" in told.remedy


@given(st.floats(-2.5, 0.2), st.floats(0.1, 1.0), st.floats(0.1, 3.1))
def test_the_furthest_back_of_a_swing(start: float, reach: float, swing: float) -> None:
    pin, point = (0.1, 0.4), (0.1 + reach * math.cos(start), 0.4 + reach * math.sin(start))
    least = min(swung(pin, point, float(s))[0] for s in np.linspace(0.0, swing, 2000))
    assert furthest_back(pin, [point], swing) == pytest.approx(least, abs=1e-5 * reach)


def test_points_that_never_meet() -> None:
    assert touch_upright((0.0, 0.0), [(0.5, -0.1)], -0.9, 5.0) == math.inf
    assert touch_upright((0.0, 0.0), [(0.5, -0.1)], -0.3, -1.0) == math.inf  # the wall ends under the door's path
    assert touch_round((0.0, 1.1), [(0.05, 1.05)], 1.0, (0.0, 0.0)) == math.inf


# ---------------------------------------------------------------- what holds it


def test_a_heavy_door_is_told_once_for_all_doors_alike() -> None:
    pit = upper({"vessel": {"wall": "3/8"}})
    told = found(pit.draft.findings, "doors.heavy")
    assert told.pieces == ("door 1", "door 2")
    assert told.text.startswith("door 1, door 2: ")


def test_a_counterweight_that_only_holds_open_is_told() -> None:
    pit = upper(doors(hold="counterweight"))
    told = found(pit.draft.findings, "doors.counterweight_heavier")
    bare = upper().doors[0].first_pull / STANDARD_GRAVITY / LB
    assert f"{bare:.1f} lb without it" in told.text
    assert "doors.will_not_stay" not in codes(pit.draft.findings)


def test_a_light_counterweight_does_not_hold() -> None:
    pit = upper(doors(hold="counterweight", counterweight="20"))
    assert "needs" in found(pit.draft.findings, "doors.will_not_stay").text


def test_a_counterweight_that_opens_the_door_by_itself_is_told() -> None:
    pit = upper(doors(hold="counterweight", counterweight="200", counterweight_rise=205, open_stop=60))
    assert pit.doors[0].over_centre == 0.0
    assert "opens by itself" in found(pit.draft.findings, "doors.opens_itself").text


@pytest.mark.parametrize(("rise", "severity"), [(155, ""), (185, "warn"), (225, "stop")])
def test_an_arm_that_runs_into_the_shell_is_told(rise: float, severity: str) -> None:
    pit = upper(doors(hold="counterweight", counterweight_rise=rise, pin_out="2"))
    hits = [f for f in pit.draft.findings if f.code == "doors.arm_hits_shell"]
    assert [f.severity for f in hits] == ([severity] if severity else [])


def test_an_unheld_door_is_told() -> None:
    assert "pinched" in found(upper(doors(hold="none")).draft.findings, "doors.falls").text
    assert "doors.falls" not in codes(upper(doors(hold="none", open_stop=145, touch_clear=0)).draft.findings)


def test_reach_and_height_of_the_open_door() -> None:
    pit = upper()
    door = pit.doors[0]
    pin, skin = pin_and_skin(pit.draft, pit.vessel, pit.edges[0])
    turned = rotate(LineString(skin[:-1]), math.degrees(door.stop), origin=pin)
    assert door.reach == pytest.approx(turned.bounds[2], abs=0.3 * INCH)
    assert door.edge_top_z == pytest.approx(turned.coords[-1][1], abs=0.3 * INCH)


@given(
    st.floats(60.0, 160.0), st.floats(40.0, 200.0), st.floats(-20.0, 60.0), st.floats(40.0, 145.0), st.floats(0.0, 5.0)
)
@settings(max_examples=40)
def test_any_door_solves_or_is_refused_in_words(
    around: float, length: float, hinge: float, stop: float, pin_out: float
) -> None:
    changes = {"vessel": {"around": around, "length": length}, "order": {"grate_height": 45},
               **doors(hinge_clock=hinge, open_stop=stop, pin_out=pin_out)}  # fmt: skip
    try:
        pit: Upper | None = upper(changes)
    except PitwrightError as problem:
        pit = None
        text = problem.text()
    if pit is None:
        assert "Allowed" in text
        return
    for door in pit.doors:
        assert 0.0 < door.chord <= door.arc <= door.diagonal
        assert door.handle_radius > 0.0
        assert all(math.isfinite(pull) for _, pull in door.pulls)
        assert door.reach >= door.pin[0] - pit.vessel.outer_radius * 0.2
