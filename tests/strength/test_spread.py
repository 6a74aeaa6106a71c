"""Leaning legs: a tie never makes it worse, a nearer tie never opens more, forces close."""

from __future__ import annotations

import dataclasses
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.strength import spread
from pitwright.strength.shell import Band
from pitwright.strength.spread import LeaningLeg
from pitwright.tape import INCH, Tape

TAPE = Tape.for_system("inch")
LEG = LeaningLeg(
    name="L1",
    load=2040.0,
    lean=math.radians(11.3),
    height=0.62,
    bend=2e11 * 1.02e-6,
    roll=Band(low=3e4, best=6e4, high=1e5),
    rail_bend=2e11 * 1.02e-6,
    rail_twist=7.7e10 * 1.68e-6,
    bay=1.7,
    tie=0.15,
    tie_stretch=2e11 * 1.2e-3 / 0.71,
)


@given(st.floats(0.0, 1.7), st.floats(1.0, 3.0))
def test_no_tie_is_never_better(tie: float, factor: float) -> None:
    tied = spread.spread(dataclasses.replace(LEG, tie=tie), "x", factor)
    free = spread.spread(dataclasses.replace(LEG, tie=math.inf), "x", factor)
    for name in ("low", "best", "high"):
        assert getattr(tied.tied, name) <= getattr(free.tied, name) + 1e-15
        assert getattr(free.tied, name) == getattr(free.loose, name)
    assert free.held.high == 0.0


@given(st.floats(0.0, 0.84), st.floats(0.0, 0.84))
def test_a_nearer_tie_opens_less(a: float, b: float) -> None:
    near, far = sorted((a, b))
    closer = spread.spread(dataclasses.replace(LEG, tie=near))
    farther = spread.spread(dataclasses.replace(LEG, tie=far))
    assert closer.tied.best <= farther.tied.best + 1e-15
    assert closer.rail_turn <= farther.rail_turn + 1e-15


@given(st.floats(0.0, 1.7))
def test_tie_and_leg_share_the_thrust(tie: float) -> None:
    """Push = what the tie takes + what is left bending the leg; both open the foot alike."""
    leg = dataclasses.replace(LEG, tie=tie)
    found = spread.spread(leg)
    for opened, held, roll in ((found.tied.best, found.held.best, leg.roll.best),):
        assert opened == pytest.approx(held * spread.tie_give(leg), rel=1e-9)
        assert opened == pytest.approx((found.thrust - held) * spread.foot_give(leg, roll), rel=1e-9)


def test_bending_share_against_a_cantilever() -> None:
    """Stiff shell: the free foot opens as a cantilever of its own length under V sin(lean) across it, seen level."""
    stiff = dataclasses.replace(LEG, roll=Band(low=1e15, best=1e15, high=1e15), tie=math.inf)
    length = LEG.height / math.cos(LEG.lean)
    across = LEG.load * math.sin(LEG.lean) * length**3 / (3 * LEG.bend) * math.cos(LEG.lean)
    # V tan(lean) h^2 L / 3EI = V sin(lean) cos(lean) L^3 / 3EI
    assert spread.spread(stiff).loose.best == pytest.approx(across, rel=1e-9)
    assert 0.003 < across / INCH < 0.012  # "a tube bends only 0.005 to 0.01" (common practice, no source)


def test_upright_legs_do_not_push() -> None:
    found = spread.spread(dataclasses.replace(LEG, lean=0.0))
    assert (found.thrust, found.loose.high, found.held.high) == (0.0, 0.0, 0.0)


def test_findings() -> None:
    bare = dataclasses.replace(LEG, tie=math.inf, roll=Band(low=3e3, best=6e3, high=1e4))
    codes = [(f.code, f.severity) for f in spread.spread_findings(bare, 0.0048, False, TAPE)]
    assert codes == [("stand.spread", "stop"), ("stand.pad", "warn")]
    assert spread.spread_findings(LEG, 0.00635, False, TAPE) == ()
    with pytest.raises(LayoutError, match="outside its bay"):
        spread.tie_give(dataclasses.replace(LEG, tie=3.0))
