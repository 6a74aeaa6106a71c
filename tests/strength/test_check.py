"""Checks as records, and growth."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

import sample_frame
from pitwright.stock import find_profile
from pitwright.strength import heat, steel
from pitwright.strength.check import Check, finding_of, worst, worst_by_piece
from pitwright.strength.frame import STIFF, Beam, Case, Frame, Hold, Joint
from pitwright.strength.frame_solve import solve
from pitwright.strength.heat import Flexing, Stretch
from pitwright.tape import INCH, Tape

TAPE = Tape.for_system("inch")


def check(demand: float, capacity: float = 10.0, piece: str = "L1") -> Check:
    return Check(
        name="push", piece=piece, case="true floor", demand=demand, capacity=capacity, measure="force", equation="E3",
        source="AISC 360-16",
    )  # fmt: skip


def test_ratios() -> None:
    assert (check(5.0).ratio, check(5.0).passes) == (0.5, True)
    assert check(0.0, 0.0).ratio == 0.0
    assert math.isinf(check(1.0, 0.0).ratio)
    assert "over any limit" in check(1.0, 0.0).text(TAPE)
    assert worst([]) is None
    first = worst([check(2.0), check(9.0), check(4.0)])
    assert first is not None
    assert first.demand == 9.0
    assert [c.piece for c in worst_by_piece([check(2.0), check(3.0, piece="L2"), check(1.0, piece="L2")])] == [
        "L2",
        "L1",
    ]


@given(st.floats(0.01, 100.0))
def test_findings_start_near_the_limit(demand: float) -> None:
    found = finding_of(check(demand), "stand.member", TAPE, "Next size up.")
    severities = [f.severity for f in found]
    assert severities == (["stop"] if demand > 10.0 else ["warn"] if demand > 9.0 else [])


@pytest.mark.parametrize("pitch", [math.inf, 1e5, 2e4, 3e3])
def test_a_flexing_leg_against_the_frame(pitch: float) -> None:
    """A leg with its foot held and its top carried off against a wall that gives, by the frame."""
    leg = find_profile("2x2x3/16")
    h, d = 0.6, 0.003
    joints = [Joint(name=n, x=0.0, y=0.0, z=z) for n, z in (("g", -0.1), ("a", 0.0), ("b", h), ("t", h + 0.1))]
    beams = [
        Beam(
            name=a + b,
            piece="x",
            start=a,
            end=b,
            area=1.0,
            ix=i,
            iy=i,
            j=1.0,
            up=(0, 1, 0),
            spring_end=(math.inf, pitch, pitch) if a + b == "ab" else STIFF,
        )
        for a, b, i in (("g", "a", 10.0), ("a", "b", leg.ix), ("b", "t", 10.0))
    ]
    held = [Hold(name=n + d_, joint=n, direction=v, one_way=False) for n in "ga" for d_, v in (("x", (1, 0, 0)), ("y", (0, 1, 0)), ("z", (0, 0, 1)))]  # fmt: skip
    held += [Hold(name=n + "x", joint=n, direction=(1, 0, 0), one_way=False) for n in "bt"]
    held += [Hold(name=n + "y", joint=n, direction=(0, 1, 0), one_way=False) for n in "bt"]
    case = Case(name="c", holds=tuple(h_.name for h_ in held), gaps={"bx": d, "tx": d})
    found = solve(Frame(joints=tuple(joints), beams=tuple(beams), holds=tuple(held)), [case]).cases["c"]
    moment = abs(found.forces[1, :, 4:]).max()
    flexing = Flexing(inertia=leg.ix, modulus=leg.sx, height=h, moved=d, pitch=pitch)
    by_hand = heat.flex_check("L1", "hot", flexing, steel.TUBE_STEEL)
    assert moment == pytest.approx(by_hand.demand, rel=1e-4)


def test_growth_findings() -> None:
    """84 in over a 180 °F rise: a tall small leg flexes, a short stout one wants a slot."""
    stretch = Stretch(name="Fire set to stack set", length=84 * INCH, rise=100.0)
    tall, stout = find_profile("2x2x3/16"), find_profile("4x4x1/4")
    checks = [
        heat.flex_check(f"L{i}", "hot", leg, steel.TUBE_STEEL)
        for i, leg in enumerate(
            Flexing(inertia=p.ix, modulus=p.sx, height=h, moved=stretch.growth) for p, h in ((tall, 0.65), (stout, 0.2))
        )
    ]
    found = heat.growth_findings([stretch, stretch], checks, TAPE)
    assert [f.severity for f in found] == ["note", "warn"]
    assert "slot" in found[1].remedy
    one = Flexing(inertia=tall.ix, modulus=tall.sx, height=0.65, moved=stretch.growth)
    hotter = heat.flex_check("L0", "hot", one, steel.TUBE_STEEL, 650.0)
    assert hotter.capacity < checks[0].capacity


def test_sample_patch_is_usable() -> None:
    assert sample_frame.leg_patch().wall == pytest.approx(INCH / 4)
