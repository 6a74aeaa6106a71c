"""The frame of a pit: balance of every case, mirror images, lift-off by hand, and what a cross member is for."""

from __future__ import annotations

import dataclasses
import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import sample_frame
from pitwright.errors import LayoutError
from pitwright.strength import frame_cases, frame_report
from pitwright.strength.frame import STIFF, Beam, Case, Frame, Hold, Joint, Load, Weight
from pitwright.strength.frame_report import Spot
from pitwright.strength.frame_solve import Ready, Solved, solve
from pitwright.strength.members import Force, member_checks
from pitwright.strength.shell_section import shell_section
from pitwright.strength.steel import FOUND_STEEL, STIFFNESS
from pitwright.tape import STANDARD_GRAVITY, Tape

TAPE = Tape.for_system("inch")
PIT = sample_frame.skid()
SOLVED = solve(PIT.frame, PIT.cases)


def total_mass(frame: Frame) -> float:
    places = {j.name: np.array([j.x, j.y, j.z]) for j in frame.joints}
    bars = sum(
        b.mass_per_length * float(np.linalg.norm(places[b.end] + b.arm_end - places[b.start] - b.arm_start))
        for b in frame.beams
    )
    return bars + sum(w.mass for w in frame.weights)


def spread(solved: Solved, pit: sample_frame.Skid, case: str) -> float:
    """The widest opening of any leg set's feet."""
    spots = {f.name: Spot(joint=f.joint, arm=(0, 0, 0), place=(f.x, f.y, 0.0)) for f in pit.feet}
    sets = {f.leg_set for f in pit.feet}
    return max(frame_report.opening(solved, case, *(spots[f.name] for f in pit.feet if f.leg_set == s)) for s in sets)


def test_every_case_balances() -> None:
    """Reactions, weights and moments about the world's origin, worked again from the model: 1e-6 of the weight."""
    places = {j.name: np.array([j.x, j.y, j.z]) for j in PIT.frame.joints}
    holds = {h.name: h for h in PIT.frame.holds}
    for case in PIT.cases:
        found = SOLVED.cases[case.name]
        assert found.stands, case.name
        assert found.out_of_balance < 1e-6
        force, moment = np.zeros(3), np.zeros(3)
        for name, size in found.reactions.items():
            push = size * np.array(holds[name].direction) / np.linalg.norm(holds[name].direction)
            force += push
            moment += np.cross(places[holds[name].joint], push)
            assert size >= -1e-6 or not holds[name].one_way
        field = np.array(case.field)
        for w in PIT.frame.weights:
            force += w.mass * field
            moment += np.cross(places[w.joint] + w.arm, w.mass * field)
        for b in PIT.frame.beams:
            ends = places[b.start] + b.arm_start, places[b.end] + b.arm_end
            weight = b.mass_per_length * np.linalg.norm(ends[1] - ends[0]) * field
            force += weight
            moment += np.cross((ends[0] + ends[1]) / 2, weight)
        scale = total_mass(PIT.frame) * STANDARD_GRAVITY
        assert np.abs(force).max() < 1e-6 * scale, case.name
        assert np.abs(moment).max() < 1e-6 * scale, case.name


def test_reactions_add_to_the_weight() -> None:
    weight = total_mass(PIT.frame) * STANDARD_GRAVITY
    for name in ("true floor", "forks from the side", "floor settled under foot 1F"):
        assert sum(SOLVED.cases[name].reactions.values()) == pytest.approx(weight, rel=1e-9)


@settings(max_examples=12)
@given(st.integers(100, 140))
def test_mirror_image(seed: int) -> None:
    """A pit and its mirror image carry alike, foot by foot and ratio by ratio."""
    pit = sample_frame.random_pit(seed)
    here = sample_frame.skid(roll=6e4, half_spread=0.3 + (seed - 100) / 200)
    there = sample_frame.skid(roll=6e4, half_spread=0.3 + (seed - 100) / 200, mirror=True)
    a, b = solve(here.frame, here.cases), solve(there.frame, there.cases)
    for name in ("true floor", "floor settled under foot 0F", "only set 0 and set 2 carry"):
        assert list(a.cases[name].reactions.values()) == pytest.approx(
            list(b.cases[name].reactions.values()), rel=1e-6, abs=1e-3
        )
        assert np.abs(np.abs(a.cases[name].forces) - np.abs(b.cases[name].forces)).max() < 1e-3
    assert all(c.out_of_balance < 1e-6 for c in solve(pit.frame, pit.cases).cases.values())


@pytest.mark.parametrize("roll", [2e4, 8e4, math.inf])
@pytest.mark.parametrize("half_spread", [0.32, 0.39, 0.45])
def test_taking_cross_members_out_never_narrows(roll: float, half_spread: float) -> None:
    tied = sample_frame.skid(roll=roll, half_spread=half_spread)
    bare = sample_frame.skid(roll=roll, half_spread=half_spread, crosses=False)
    a, b = solve(tied.frame, tied.cases), solve(bare.frame, bare.cases)
    assert spread(b, bare, "true floor") >= spread(a, tied, "true floor") - 1e-9


def test_softer_shell_spreads_more() -> None:
    soft, hard = (sample_frame.skid(roll=r, crosses=False) for r in (2e4, 2e5))
    assert spread(solve(soft.frame, soft.cases), soft, "true floor") > spread(
        solve(hard.frame, hard.cases), hard, "true floor"
    )


def three_props(gap: float, load: float) -> Solved:
    """A beam 2 x 1 m on three one-way props, the middle one low by a gap."""
    places = (0.0, 1.0, 2.0)
    frame = Frame(
        joints=tuple(Joint(name=f"{x:g}", x=x, y=0.0, z=0.0) for x in places),
        beams=tuple(
            Beam(name=f"{a:g}", piece="b", start=f"{a:g}", end=f"{b:g}", area=1.0, ix=1e-6, iy=1e-6, j=1e-6)
            for a, b in ((0.0, 1.0), (1.0, 2.0))
        ),
        holds=tuple(Hold(name=f"{x:g}", joint=f"{x:g}", direction=(0, 0, 1)) for x in places),
    )
    case = Case(name="c", holds=("0", "1", "2"), gaps={"1": gap}, loads=(Load(joint="1", force=(0, 0, -load)),))
    return solve(frame, [case])


@given(st.floats(0.0, 0.01), st.floats(10.0, 5e3))
def test_lift_off_by_hand(gap: float, load: float) -> None:
    """The middle prop takes what bending over the gap leaves: R = P - 48 E I gap / l3, never under nought."""
    found = three_props(gap, load).cases["c"]
    middle = max(load - 48.0 * STIFFNESS * 1e-6 * gap / 2.0**3, 0.0)
    assert found.reactions["1"] == pytest.approx(middle, rel=1e-6, abs=1e-5 * load)
    assert found.reactions["0"] == pytest.approx((load - middle) / 2, rel=1e-6, abs=1e-5 * load)
    assert found.stands


def test_stands_exactly_where_forces_can_balance() -> None:
    """Random pits, every case: it stands where non-negative least squares (scipy) finds holding forces that balance."""
    from scipy.optimize import nnls

    fallen = 0
    for seed in (222, 231, 233, 239, 244, 250, 254, 261, 268, 289, 297, 311):
        pit = sample_frame.random_pit(seed)
        solved = solve(pit.frame, pit.cases)
        holds = {h.name: h for h in pit.frame.holds}
        places = {j.name: np.array([j.x, j.y, j.z]) for j in pit.frame.joints}
        for case in pit.cases:
            found, field = solved.cases[case.name], np.array(case.field)
            total = np.zeros(6)
            for w in pit.frame.weights:
                total += [*(w.mass * field), *np.cross(places[w.joint] + w.arm, w.mass * field)]
            for b in pit.frame.beams:
                ends = places[b.start] + b.arm_start, places[b.end] + b.arm_end
                force = b.mass_per_length * np.linalg.norm(ends[1] - ends[0]) * field
                total += [*force, *np.cross((ends[0] + ends[1]) / 2, force)]
            columns = []
            for name in case.holds:
                way = np.array(holds[name].direction) / np.linalg.norm(holds[name].direction)
                columns.append([*way, *np.cross(places[holds[name].joint], way)])
                if not holds[name].one_way:
                    columns.append([-v for v in columns[-1]])
            _, left = nnls(np.array(columns).T, -total)
            assert found.stands == (left < 1e-6 * np.abs(total).max()), (seed, case.name)
            if found.stands:
                assert found.out_of_balance < 1e-6
            fallen += not found.stands
    assert fallen > 3


def test_a_gap_never_carries_more() -> None:
    loads = [three_props(g, 1000.0).cases["c"].reactions["1"] for g in np.linspace(0.0, 0.002, 9)]
    assert all(b <= a + 1e-9 for a, b in itertools.pairwise(loads))


def test_weight_outside_the_feet_falls() -> None:
    heavy = dataclasses.replace(PIT.frame, weights=(Weight(joint="V0", mass=20000.0, arm=(-3.0, 0.0, 0.0)),))
    solved = solve(heavy, PIT.cases[:1])
    assert not solved.cases["true floor"].stands
    (found,) = frame_report.fallen_findings(solved)
    assert (found.code, found.severity) == ("stand.falls", "stop")
    assert frame_report.fallen_findings(SOLVED) == ()


def test_a_hook_out_of_line_does_not_hang_level() -> None:
    """The hook off the weight's plumb line: no sling forces balance, and the case says so."""
    off = (PIT.lugs[0].x + 0.2, 0.0, 3.0)
    holds = frame_cases.sling_holds(PIT.lugs, off)
    frame = dataclasses.replace(PIT.frame, holds=holds)
    solved = solve(frame, frame_cases.sling_cases(PIT.lugs))
    assert not solved.cases["hung on 4 slings"].stands
    with pytest.raises(LayoutError, match="under a lug"):
        frame_cases.sling_holds(PIT.lugs, (0.0, 0.0, -1.0))


def test_slings_pull_what_the_lift_sheet_says() -> None:
    """Upright parts of the four sling forces add to the weight; the frame shares them, the pairs across cannot differ."""
    found = SOLVED.cases["hung on 4 slings"]
    holds = {h.name: np.array(h.direction) / np.linalg.norm(h.direction) for h in PIT.frame.holds}
    upright = sum(size * holds[name][2] for name, size in found.reactions.items())
    assert upright == pytest.approx(total_mass(PIT.frame) * STANDARD_GRAVITY, rel=1e-9)


def test_dragging_pulls_friction_times_weight() -> None:
    case = frame_cases.dragged(Ready(PIT.frame), PIT.feet, (1.0, 0.0, 0.0), friction=0.5)
    found = solve(PIT.frame, [case]).cases["dragged"]
    weight = total_mass(PIT.frame) * STANDARD_GRAVITY
    assert found.stands
    assert found.reactions["drag"] == pytest.approx(0.5 * weight, rel=1e-3)
    assert sum(found.reactions[f.name] for f in PIT.feet) == pytest.approx(weight, rel=1e-6)


def test_road_fields() -> None:
    hole, still = SOLVED.cases["road, 3 g down"], SOLVED.cases["true floor"]
    assert sum(v for n, v in hole.reactions.items() if n.endswith("down")) == pytest.approx(
        3 * sum(still.reactions.values()), rel=1e-9
    )
    brake = SOLVED.cases["road, braking 0.8 g, fire end first"]
    weight = total_mass(PIT.frame) * STANDARD_GRAVITY
    assert sum(v for n, v in brake.reactions.items() if n.endswith("along")) == pytest.approx(0.8 * weight, rel=1e-9)


def test_loose_frames_are_named() -> None:
    pin = (0.0, 0.0, 0.0)
    joints = tuple(Joint(name=n, x=x, y=0.0, z=0.0) for n, x in (("a", 0.0), ("b", 1.0), ("c", 2.0)))
    figures = {"area": 1e-3, "ix": 1e-6, "iy": 1e-6, "j": 1e-6}
    two = tuple(Beam(name=n, piece=n, start=n, end=e, spring_start=pin, **figures) for n, e in ("ab", "bc"))
    with pytest.raises(LayoutError, match="loose"):
        solve(Frame(joints=joints, beams=two, holds=()), [])
    spun = (Beam(name="ab", piece="x", start="a", end="b", spring_start=pin, spring_end=pin, **figures),)
    with pytest.raises(LayoutError, match="spin"):
        solve(Frame(joints=joints[:2], beams=spun, holds=()), [])


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"start": "nowhere"}, "no joint"),
        ({"area": 0.0}, "over 0"),
        ({"up": (1.0, 0.0, 0.0)}, "upright"),
        ({"end": "a"}, "no length"),
    ],
)
def test_bad_frames(change: dict[str, object], says: str) -> None:
    joints = (Joint(name="a", x=0.0, y=0.0, z=0.0), Joint(name="b", x=1.0, y=0.0, z=0.0))
    beam = Beam(name="ab", piece="x", start="a", end="b", area=1e-3, ix=1e-6, iy=1e-6, j=1e-6)
    with pytest.raises(LayoutError, match=says):
        solve(Frame(joints=joints, beams=(dataclasses.replace(beam, **change),), holds=()), [])
    with pytest.raises(LayoutError, match="two of one name"):
        Frame(joints=(*joints, joints[0]), beams=(beam,), holds=())
    frame = Frame(joints=joints, beams=(beam,), holds=())
    with pytest.raises(LayoutError, match="no such hold"):
        solve(frame, [Case(name="c", holds=("x",))])
    with pytest.raises(LayoutError, match="no joint"):
        solve(frame, [Case(name="c", holds=(), loads=(Load(joint="x", force=(0, 0, 1)),))])


@given(st.floats(1e3, 1e7))
def test_end_spring_by_hand(spring: float) -> None:
    """A cantilever on a turning spring: P L2 / k + P L3 / 3 E I at the tip."""
    joints = tuple(Joint(name=n, x=x, y=0.0, z=0.0) for n, x in (("w", -0.5), ("a", 0.0), ("t", 1.0)))
    wall = Beam(name="w", piece="w", start="w", end="a", area=1.0, ix=1.0, iy=1.0, j=1.0)
    arm = Beam(
        name="arm", piece="a", start="a", end="t", area=1e-3, ix=1e-6, iy=1e-6, j=1e-6,
        spring_start=(STIFF[0], spring, STIFF[2]),
    )  # fmt: skip
    holds = tuple(
        Hold(name=f"{j}{i}", joint=j, direction=tuple(float(i == k) for k in range(3)), one_way=False)  # type: ignore[arg-type]
        for j in "wa"
        for i in range(3)
    )
    case = Case(name="c", holds=tuple(h.name for h in holds), loads=(Load(joint="t", force=(0, 0, -100.0)),))
    found = solve(Frame(joints=joints, beams=(wall, arm), holds=holds), [case])
    expected = 100.0 / spring + 100.0 / (3 * STIFFNESS * 1e-6)
    assert -found.shift("c", "t")[2] - found.turn("c", "a")[1] == pytest.approx(expected, rel=1e-5)


# ---------------------------------------------------------------- what it says


def test_ratios_agree_with_single_checks() -> None:
    found = frame_report.ratios(SOLVED, PIT.members)
    worst, case, piece = found.worst()
    assert 0.0 < worst < 1.0
    row, column = found.cases.index(case), int(np.argmax(found.table[found.cases.index(case)]))
    beam = found.beams[column]
    cuts = [
        Force(axial=r[0], shear_x=r[1], shear_y=r[2], torsion=r[3], moment_x=r[4], moment_y=r[5])
        for r in SOLVED.cases[case].forces[SOLVED.beams.index(beam)]
    ]
    checks = {c.name: c for c in member_checks(PIT.members[beam], case, cuts)}
    assert checks["all together"].ratio == pytest.approx(found.table[row, column], rel=1e-9)
    assert PIT.members[beam].piece == piece
    all_checks = frame_report.worst_checks(SOLVED, PIT.members, found)
    assert {c.piece for c in all_checks} == set(found.pieces)
    assert frame_report.Ratios(cases=(), beams=(), pieces=(), table=np.zeros((0, 0))).worst() == (0.0, "", "")


def test_overloaded_legs_are_told() -> None:
    heavy = dataclasses.replace(
        PIT.frame, weights=tuple(dataclasses.replace(w, mass=w.mass * 400) for w in PIT.frame.weights)
    )
    solved = solve(heavy, PIT.cases[:1])
    found = frame_report.ratios(solved, PIT.members)
    checks = frame_report.worst_checks(solved, PIT.members, found)
    codes = {f.code for f in frame_report.member_findings(SOLVED, checks, PIT.members, TAPE)}
    assert "stand.member" in codes
    glowing = {n: dataclasses.replace(m, temperature=750.0) for n, m in PIT.members.items() if m.piece == "L0"}
    assert [f.code for f in frame_report.member_findings(SOLVED, (), glowing, TAPE)] == ["stand.hot"]
    assert frame_report.member_findings(SOLVED, (), PIT.members, TAPE) == ()


def corners(arc: float = 0.6) -> tuple[Spot, Spot, Spot, Spot]:
    joints = {j.name: j for j in PIT.frame.joints}
    spots = []
    for name, a in (("V2", 0.5), ("V4", 0.5), ("V4", 0.5 + arc), ("V2", 0.5 + arc)):
        arm = (0.0, 0.38 * math.sin(a), 0.38 * math.cos(a))
        j = joints[name]
        spots.append(Spot(joint=name, arm=arm, place=(j.x, j.y + arm[1], j.z + arm[2])))
    return spots[0], spots[1], spots[2], spots[3]


def test_doors_rack_more_on_a_rocking_floor() -> None:
    even = abs(frame_report.racking(SOLVED, "true floor", corners()))
    rocking = max(abs(frame_report.racking(SOLVED, c, corners())) for c in SOLVED.cases if c.startswith("rocking"))
    assert rocking > even
    case, off = frame_report.worst_racking(SOLVED, corners())
    assert off >= rocking
    assert frame_report.door_findings("door 1", case, off, TAPE) == ()
    assert [f.code for f in frame_report.door_findings("door 1", case, off, TAPE, room=1e-9)] == ["stand.door"]


@given(st.floats(-0.01, 0.01), st.floats(-0.01, 0.01), st.floats(-0.01, 0.01))
def test_stiff_motion_opens_and_racks_nothing(rx: float, ry: float, rz: float) -> None:
    """A pit moved as one piece: no opening, no racking (to the square of the turn)."""
    turn = np.array([rx, ry, rz])
    places = {j.name: np.array([j.x, j.y, j.z]) for j in PIT.frame.joints}
    moved = np.array([[*np.cross(turn, places[j]), *turn] for j in SOLVED.joints])
    case = dataclasses.replace(SOLVED.cases["true floor"], movement=moved)
    solved = dataclasses.replace(SOLVED, cases={"true floor": case})
    a, b, c, d = corners()
    assert frame_report.racking(solved, "true floor", (a, b, c, d)) == pytest.approx(0.0, abs=1e-12)
    assert frame_report.opening(solved, "true floor", a, b) == pytest.approx(0.0, abs=1e-12)


def test_vessel_beside_a_door() -> None:
    """A whole shell: N / A + M / S by hand; an opening turned with its moments: the same stress."""
    whole = shell_section(0.38, 0.006)
    rows = np.array([[1000.0, 0, 0, 0, 3000.0, 0.0]])
    (check,) = frame_report.opening_checks("vessel", "true floor", whole, 0.38, 0.0, rows, FOUND_STEEL)
    assert check.demand == pytest.approx(1000.0 / whole.area + 3000.0 / (whole.i_across / 0.38))
    cut = shell_section(0.38, 0.006, 1.4)
    for clock in (0.0, 0.7, 2.0):
        turned = np.array([[0.0, 0, 0, 0, 3000.0 * math.cos(clock), 3000.0 * math.sin(clock)]])
        (found,) = frame_report.opening_checks("vessel", "x", cut, 0.38, clock, turned, FOUND_STEEL)
        assert found.demand == pytest.approx(3000.0 / min(cut.s_edge, cut.s_back))
