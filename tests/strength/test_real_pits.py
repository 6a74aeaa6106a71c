"""Real pits drawn at random, as frames: another frame code agrees, forces balance, ties never widen, weights are kept.

Reference code: OpenSees (tests only), given the same joints, members, arms and springs as its own model.
"""

from __future__ import annotations

import dataclasses
import functools
import itertools

import numpy as np
import pytest

import sample_frame
from pits import solved as pit_of_seed
from pitwright.layout.model import Pit
from pitwright.strength.frame import Case, Frame, Hold, Load
from pitwright.strength.frame_solve import Solved, solve
from pitwright.strength.from_pit import PitFrame, pit_frame
from pitwright.strength.pit_joints import feet_opened
from pitwright.strength.standing import stand
from pitwright.tape import STANDARD_GRAVITY

COUNT = 50


@functools.cache
def pits() -> tuple[Pit, ...]:
    found = (p for seed in itertools.count(1) if (p := pit_of_seed(seed)) is not None and p.base.kind != "upright")
    return tuple(itertools.islice(found, COUNT))


@functools.cache
def framed(i: int) -> tuple[PitFrame, Solved]:
    made = pit_frame(pits()[i])
    return made, made.ready.solve(made.cases)


def held(made: PitFrame) -> tuple[Frame, Case]:
    """The pit's frame on two-way feet and just enough sideways, with its weight and a push: one case both codes do."""
    under = {f.joint: f for f in made.feet}
    holds = [Hold(name=n, joint=n, direction=(0.0, 0.0, 1.0), one_way=False) for n in under]
    first, far = made.feet[0], max(made.feet, key=lambda f: abs(f.x - made.feet[0].x))
    holds += [
        Hold(name="a", joint=first.joint, direction=(1.0, 0.0, 0.0), one_way=False),
        Hold(name="b", joint=first.joint, direction=(0.0, 1.0, 0.0), one_way=False),
        Hold(name="c", joint=far.joint, direction=(0.0, 1.0, 0.0), one_way=False),
    ]
    frame = Frame(joints=made.frame.joints, beams=made.frame.beams, holds=tuple(holds), weights=made.frame.weights)
    push = Load(joint="vessel 1", force=(300.0, 500.0, -200.0), moment=(50.0, -80.0, 120.0))
    return frame, Case(name="held", holds=tuple(h.name for h in holds), field=(1.0, 2.0, -9.80665), loads=(push,))


@pytest.mark.parametrize("i", range(COUNT))
def test_another_frame_code_agrees(i: int) -> None:
    """Movements and member end forces within 0.1 percent of OpenSees, shell walls that roll included."""
    pytest.importorskip("openseespy.opensees", reason="OpenSees is not here", exc_type=(ImportError, RuntimeError))
    frame, case = held(framed(i)[0])
    ours = solve(frame, [case])
    moved, forces = sample_frame.in_opensees(frame, case)
    movement = ours.cases["held"].movement
    for part in (slice(0, 3), slice(3, 6)):
        theirs = np.array([moved[n][part] for n in ours.joints])
        assert np.abs(movement[:, part] - theirs).max() < 1e-3 * np.abs(theirs).max()
    most = max(np.abs(f).max() for f in forces.values())
    for k, name in enumerate(ours.beams):
        start, end = ours.cases["held"].forces[k][0], ours.cases["held"].forces[k][-1]
        # OpenSees: end forces on the member, local x along, y across, z upright
        at = forces[name]
        there = np.array([-at[0], at[6], at[3], at[9]])
        here = np.array([start[0], end[0], start[3], end[3]])
        assert np.abs(np.abs(here) - np.abs(there)).max() < 1e-3 * most
        bending = np.array([at[4], at[5], at[10], at[11]])
        mine = np.array([start[4], start[5], end[4], end[5]])
        assert np.abs(np.abs(mine) - np.abs(bending)).max() < 1e-3 * most


def balance(made: PitFrame, solved: Solved, case: Case) -> tuple[np.ndarray, np.ndarray, float]:
    """What is left of all forces and of their moments about the world's origin, worked again from the model; the weight."""
    frame = made.frame
    places = {j.name: np.array([j.x, j.y, j.z]) for j in frame.joints}
    holds = {h.name: h for h in frame.holds}
    force, moment, weight = np.zeros(3), np.zeros(3), 0.0
    for name, size in solved.cases[case.name].reactions.items():
        h = holds[name]
        push = size * np.array(h.direction) / np.linalg.norm(h.direction)
        force += push
        moment += np.cross(places[h.joint] + h.arm, push)
        assert size >= -1e-6 or not h.one_way
    field = np.array(case.field)
    pulls = [(w.mass, places[w.joint] + w.arm) for w in frame.weights]
    for b in frame.beams:
        p, q = places[b.start] + b.arm_start, places[b.end] + b.arm_end
        pulls.append((b.mass_per_length * float(np.linalg.norm(q - p)), (p + q) / 2.0))
    for mass, at in pulls:
        force += mass * field
        moment += np.cross(at, mass * field)
        weight += mass * STANDARD_GRAVITY
    for load in case.loads:
        force += load.force
        moment += np.array(load.moment) + np.cross(places[load.joint], load.force)
    return force, moment, weight


@pytest.mark.parametrize("i", range(COUNT))
def test_every_case_balances(i: int) -> None:
    made, solved = framed(i)
    for case in made.cases:
        found = solved.cases[case.name]
        if not found.stands:
            assert not case.name.startswith(("true floor", "forks from the side", "hung on"))
            continue
        force, moment, weight = balance(made, solved, case)
        assert np.abs(force).max() < 1e-6 * weight, case.name
        assert np.abs(moment).max() < 1e-6 * weight * 1.0, case.name


@pytest.mark.parametrize("i", range(COUNT))
def test_the_floor_carries_the_weight(i: int) -> None:
    made, solved = framed(i)
    weight = pits()[i].balance["loaded"].mass * STANDARD_GRAVITY
    for name, case in solved.cases.items():
        if case.stands and name.startswith(("true", "floor", "only", "rocking")):
            assert sum(case.reactions[f.name] for f in made.feet) == pytest.approx(weight, rel=1e-6)


@pytest.mark.parametrize("i", range(0, COUNT, 5))
def test_taking_a_cross_member_out_never_narrows(i: int) -> None:
    pit = pits()[i]
    made, solved = framed(i)
    if not pit.leg_sets or len(pit.base.crosses) < 3:
        return
    tied = abs(feet_opened(pit, made, solved)["true floor"])
    for gone in range(len(pit.base.crosses)):
        left = tuple(c for k, c in enumerate(pit.base.crosses) if k != gone)
        bare = dataclasses.replace(pit, base=dataclasses.replace(pit.base, crosses=left))
        frame = pit_frame(bare)
        opened = abs(feet_opened(bare, frame, frame.ready.solve(frame.cases[:1]))["true floor"])
        assert opened >= tied - 1e-6


@pytest.mark.parametrize("i", range(COUNT))
def test_every_pit_has_a_whole_report(i: int) -> None:
    report = stand(pits()[i])
    assert report.checks
    assert all(c.ratio >= 0.0 and c.source and c.equation for c in report.checks)
    assert all(f.source for f in report.findings)
    assert len({c.piece for c in report.checks}) == len(report.checks)
    assert report.worst == report.checks[0].ratio
