"""Frames against handbook cases and two reference codes.

Handbook: continuous beams (AWC Design Aid 6 figures 29 to 31, AISC Table 3-22c and 3-23, CISC Handbook p. 5-138 as
quoted in PyNite's own tests), portals (Kleinlogel's forms, from memory), an A-frame by statics.
Reference codes: PyNite (MIT) and OpenSees (tests only), each given the same random frames as its own model.
"""

from __future__ import annotations

import dataclasses
import itertools
import math

import numpy as np
import pytest

import sample_frame
from pitwright.strength.frame import Beam, Case, Frame, Hold, Joint, Load
from pitwright.strength.frame_solve import Solved, solve
from pitwright.strength.steel import STIFFNESS

INERTIA = 4e-6
LIGHT = {"area": 1.0, "ix": INERTIA, "iy": INERTIA, "j": INERTIA}  # so stiff lengthwise that only bending counts
DOWN = (0.0, 0.0, -1.0)


def beam_on(supports: dict[float, bool], places: list[float], load: float = 0.0, points: dict[float, float] | None = None) -> Solved:  # fmt: skip
    """A straight beam on props; load by length [N/m] as its own weight in a unit field, points down [N]."""
    joints = tuple(Joint(name=f"{x:g}", x=x, y=0.0, z=0.0) for x in places)
    beams = tuple(
        Beam(name=f"{a:g}-{b:g}", piece="beam", start=f"{a:g}", end=f"{b:g}", mass_per_length=load, **LIGHT)
        for a, b in itertools.pairwise(places)
    )
    holds = [Hold(name=f"at {x:g}", joint=f"{x:g}", direction=(0, 0, 1), one_way=False) for x in supports]
    loads = tuple(Load(joint=f"{x:g}", force=(0.0, 0.0, -p)) for x, p in (points or {}).items())
    case = Case(name="c", holds=tuple(h.name for h in holds), field=DOWN, loads=loads)
    return solve(Frame(joints=joints, beams=beams, holds=tuple(holds)), [case])


def reactions(solved: Solved) -> list[float]:
    return list(solved.cases["c"].reactions.values())


def test_two_equal_spans() -> None:
    """R = 3/8, 10/8, 3/8 w l; M = w l2 / 8 over the middle; deflection w l4 / 185 E I (0.2 %)."""
    w, l = 1000.0, 2.0  # noqa: E741
    found = beam_on({0: True, l: True, 2 * l: True}, [0, l, 2 * l], w)
    assert reactions(found) == pytest.approx([3 / 8 * w * l, 10 / 8 * w * l, 3 / 8 * w * l], rel=1e-6)
    moment = found.cases["c"].forces[0, -1, 4]
    assert abs(moment) == pytest.approx(w * l**2 / 8, rel=1e-6)
    at = [round(0.4215 * l, 4), round(2 * l - 0.4215 * l, 4)]
    sag = beam_on({0: True, l: True, 2 * l: True}, [0, at[0], l, at[1], 2 * l], w)
    assert -sag.shift("c", f"{at[0]:g}")[2] == pytest.approx(w * l**4 / (185 * STIFFNESS * INERTIA), rel=2e-3)


def test_printed_middle_moment() -> None:
    """w = 10, spans 120 and 120: 18,000 over the middle support (PyNite's test)."""
    found = beam_on({0: True, 120: True, 240: True}, [0, 120, 240], 10.0)
    assert abs(found.cases["c"].forces[0, -1, 4]) == pytest.approx(18000.0, rel=1e-6)


def test_overhang() -> None:
    """l 10, overhang 3, w 10: M over the support w a2 / 2 = 45; in the span 103.51 at its highest (CISC diagram 24)."""
    at = 10.0 / 2 * (1 - 9 / 100)
    found = beam_on({0: True, 10: True}, [0, at, 10, 13], 10.0)
    forces = found.cases["c"].forces
    assert abs(forces[1, -1, 4]) == pytest.approx(45.0, rel=1e-6)
    assert abs(forces[0, -1, 4]) == pytest.approx(103.51, abs=5e-3)


def test_unequal_spans() -> None:
    """120 and 180, w 0.1: M 315; R 3.375, 19.375, 7.250."""
    found = beam_on({0: True, 120: True, 300: True}, [0, 120, 300], 0.1)
    assert abs(found.cases["c"].forces[0, -1, 4]) == pytest.approx(315.0, rel=1e-6)
    assert reactions(found) == pytest.approx([3.375, 19.375, 7.250], rel=1e-6)


def test_point_loads() -> None:
    """A load P in the middle of each of two spans: R = 5/16, 11/8, 5/16 P; M = 3/16 P l."""
    found = beam_on({0: True, 2: True, 4: True}, [0, 1, 2, 3, 4], points={1: 800.0, 3: 800.0})
    assert reactions(found) == pytest.approx([250.0, 1100.0, 250.0], rel=1e-6)
    assert abs(found.cases["c"].forces[1, -1, 4]) == pytest.approx(3 / 16 * 800 * 2, rel=1e-6)


def portal(fixed: bool) -> Solved:
    h, span = 60.0, 96.0
    at = {"a": (0, 0), "b": (0, h), "c": (span, h), "d": (span, 0)}
    joints = [Joint(name=n, x=x, y=0.0, z=z) for n, (x, z) in at.items()]
    beams = [
        Beam(
            name=a + b, piece="p", start=a, end=b, mass_per_length=0.1 if a + b == "bc" else 0.0, up=(0, 1, 0), **LIGHT
        )
        for a, b in ("ab", "bc", "cd")
    ]
    holds = [Hold(name=f"{n}{d}", joint=n, direction=v, one_way=False) for n in "ad" for d, v in (("x", (1, 0, 0)), ("y", (0, 1, 0)), ("z", (0, 0, 1)))]  # fmt: skip
    if fixed:  # a stiff member under each foot, held at its far end too, clamps the foot against turning in the plane
        joints += [Joint(name=n + "0", x=x, y=0.0, z=-1.0) for n, x in (("a", 0), ("d", span))]
        stiff = {"area": 1e6, "ix": 1.0, "iy": 1.0, "j": 1.0}
        beams += [Beam(name=n + "0", piece="p", start=n + "0", end=n, up=(0, 1, 0), **stiff) for n in "ad"]
        holds += [Hold(name=f"{n}0x", joint=n + "0", direction=(1, 0, 0), one_way=False) for n in "ad"]
    case = Case(name="c", holds=tuple(h.name for h in holds), field=DOWN)
    return solve(Frame(joints=tuple(joints), beams=tuple(beams), holds=tuple(holds)), [case])


def test_pinned_portal() -> None:
    """h 60, L 96, equal I, w 0.1: H = w L2 / (4 h (2k + 3)) = 0.90353; knee 54.21."""
    found = portal(fixed=False).cases["c"]
    assert abs(found.reactions["ax"]) == pytest.approx(0.90353, abs=5e-6)
    assert np.abs(found.forces[0, -1, 4:]).max() == pytest.approx(54.21, abs=5e-3)


def test_fixed_portal() -> None:
    """Same, bases fixed: H = w L2 / (4 h (k + 2)) = 1.46286; base 29.257, knee 58.514."""
    found = portal(fixed=True).cases["c"]
    assert np.abs(found.forces[0, 0, 4:]).max() == pytest.approx(29.257, rel=1e-4)
    assert np.abs(found.forces[0, -1, 4:]).max() == pytest.approx(58.514, rel=1e-4)
    assert abs(found.forces[0, 0, 1:3]).max() == pytest.approx(1.46286, rel=1e-4)


def test_a_frame() -> None:
    """Legs 15 degrees off plumb, 2 on top, pinned feet: thrust 0.26795, push in a leg 1.03528."""
    lean = math.radians(15)
    joints = (
        Joint(name="l", x=-math.sin(lean), y=0.0, z=0.0),
        Joint(name="t", x=0.0, y=0.0, z=math.cos(lean)),
        Joint(name="r", x=math.sin(lean), y=0.0, z=0.0),
    )
    beams = tuple(Beam(name=a + b, piece="leg", start=a, end=b, up=(0, 1, 0), **LIGHT) for a, b in ("lt", "rt"))
    holds = tuple(Hold(name=f"{n}{d}", joint=n, direction=v, one_way=False) for n in "lr" for d, v in (("x", (1, 0, 0)), ("y", (0, 1, 0)), ("z", (0, 0, 1))))  # fmt: skip
    case = Case(name="c", holds=tuple(h.name for h in holds), loads=(Load(joint="t", force=(0, 0, -2.0)),))
    found = solve(Frame(joints=joints, beams=beams, holds=holds), [case]).cases["c"]
    assert abs(found.reactions["lx"]) == pytest.approx(0.26795, abs=5e-6)
    assert found.forces[0, 0, 0] == pytest.approx(-1.03528, abs=5e-6)


def test_shear_movement_of_a_deep_cantilever() -> None:
    """Timoshenko: P L3 / 3 E I + P L / G As at the tip."""
    tip = Joint(name="t", x=1.0, y=0.0, z=0.0)
    joints = (Joint(name="w", x=-0.01, y=0.0, z=0.0), Joint(name="a", x=0.0, y=0.0, z=0.0), tip)
    stiff = Beam(name="wall", piece="w", start="w", end="a", area=10.0, ix=10.0, iy=10.0, j=10.0)
    deep = Beam(name="arm", piece="a", start="a", end="t", area=0.01, ix=1e-4, iy=1e-4, j=1e-4, shear_area_y=5e-3)
    frame = Frame(joints=joints, beams=(stiff, deep), holds=tuple(Hold(name=f"{j}{i}", joint=j, direction=tuple(float(i == k) for k in range(3)), one_way=False) for j in "wa" for i in range(3)))  # type: ignore[arg-type]  # fmt: skip
    case = Case(name="c", holds=tuple(h.name for h in frame.holds), loads=(Load(joint="t", force=(0, 0, -1e3)),))
    found = solve(frame, [case])
    bent = 1e3 / (3 * STIFFNESS * 1e-4)
    sheared = 1e3 / (deep.shear_stiffness * 5e-3)
    turned = found.turn("c", "a")[1]
    assert -found.shift("c", "t")[2] - turned == pytest.approx(bent + sheared, rel=1e-6)


# ---------------------------------------------------------------- reference codes


def test_fifty_random_pits_in_opensees() -> None:
    """Movements and the end forces of all members within 0.1 % of the largest (found: 2e-11)."""
    pytest.importorskip("openseespy.opensees", reason="OpenSees is not here", exc_type=(ImportError, RuntimeError))
    for seed in range(50):
        frame, case = sample_frame.held(sample_frame.random_pit(seed))
        solved = solve(frame, [case])
        ours = solved.cases["held"]
        moved, forces = sample_frame.in_opensees(frame, case)
        theirs = np.array([moved[j] for j in solved.joints])
        assert np.abs(ours.movement - theirs).max() < 1e-3 * np.abs(theirs).max(), seed
        most = max(float(np.abs(p).max()) for p in forces.values())
        for i, name in enumerate(solved.beams):
            p = forces[name]
            assert np.abs(ours.forces[i, 0] + p[:6]).max() < 1e-3 * most, (seed, name)
            assert np.abs(ours.forces[i, -1] - p[6:]).max() < 1e-3 * most, (seed, name)


@pytest.mark.parametrize("seed", [0, 7, 23])
def test_random_pits_in_pynite(seed: int) -> None:
    """The kept frame library, stiff arms as very stiff members: within 0.1 %."""
    frame, case = sample_frame.held(sample_frame.random_pit(seed))
    frame = dataclasses.replace(
        frame,
        beams=tuple(dataclasses.replace(b, shear_area_x=math.inf, shear_area_y=math.inf) for b in frame.beams),
    )
    solved = solve(frame, [case])
    moved = sample_frame.in_pynite(frame, case)
    theirs = np.array([moved[j] for j in solved.joints])
    assert np.abs(solved.cases["held"].movement - theirs).max() < 1e-3 * np.abs(theirs).max()
