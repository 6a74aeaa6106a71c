"""Towing: what moving the axle does, windows that hold, ratings over every state."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.strength import towing
from pitwright.strength.stability import MassPoint
from pitwright.tape import Tape

TAPE = Tape.for_system("inch")
points = st.lists(
    st.builds(MassPoint, mass=st.floats(10, 2000), x=st.floats(1.0, 6.0), y=st.just(0.0), z=st.just(1.0)),
    min_size=1,
    max_size=4,
)


@given(points, st.floats(2.0, 6.0), st.floats(0.01, 1.0))
def test_axle_farther_back_raises_the_tongue(weights: list[MassPoint], axle: float, more: float) -> None:
    here, back = (towing.tongue("loaded", weights, a) for a in (axle, axle + more))
    assert back.tongue > here.tongue
    assert here.tongue + here.axle == pytest.approx(here.mass)
    assert here.tongue * 0.0 + here.axle * axle == pytest.approx(sum(w.mass * w.x for w in weights))


@given(points, st.floats(0.05, 0.3), st.floats(-0.5, 0.5))
def test_axle_for_gives_that_share(weights: list[MassPoint], share: float, coupler: float) -> None:
    axle = towing.axle_for(weights, share, coupler)
    assert towing.tongue("loaded", weights, axle, coupler).share == pytest.approx(share)


@given(points, points)
def test_window_and_best_place(first: list[MassPoint], second: list[MassPoint]) -> None:
    states = {"empty": first, "loaded": [*first, *second]}
    low, high = towing.axle_window(states)
    if low <= high:
        for axle in (low, (low + high) / 2, high):
            assert all(0.1 - 1e-9 <= towing.tongue(n, w, axle).share <= 0.15 + 1e-9 for n, w in states.items())
        assert towing.tongue_findings(states, (low + high) / 2, TAPE) == ()
    best = towing.best_axle(states)
    shares = [towing.tongue(n, w, best).share for n, w in states.items()]
    assert min(shares) + max(shares) == pytest.approx(2 * towing.WANTED, abs=1e-6)


def test_ratings_cover_every_state() -> None:
    pit = MassPoint(mass=1500.0, x=3.3, y=0.0, z=1.0)
    wood = MassPoint(mass=200.0, x=1.5, y=0.0, z=1.0)
    states = [towing.tongue("empty", [pit], 3.8), towing.tongue("wood", [pit, wood], 3.8)]
    need = towing.ratings(states, axles=2, tyres=4)
    assert need.axle == pytest.approx(1.15 * max(s.axle for s in states) / 2)
    assert need.tyre == pytest.approx(need.axle / 2)
    assert need.coupler == pytest.approx(1700.0)
    assert need.coupler_class == 3
    assert all(c.ratio == pytest.approx(1.0) for c in towing.rating_checks(need, need.axle, need.tyre, need.coupler))
    assert (
        towing.ratings([towing.tongue("empty", [MassPoint(mass=9000.0, x=3.0, y=0, z=1)], 4.0)], 3, 6).coupler_class
        == 0
    )
    assert [c.passes for c in towing.tongue_checks(states)] == [
        towing.REFUSE_UNDER <= s.share <= towing.REFUSE_OVER for s in states
    ]


@given(st.floats(1.0, 9.0), st.floats(100.0, 8000.0), st.floats(100.0, 5000.0))
def test_tie_downs_hold_half_the_weight(length: float, mass: float, limit: float) -> None:
    direct, over = towing.tie_downs(length, mass, limit), towing.tie_downs(length, mass, limit, over=True)
    assert towing.tie_down_check(direct, direct.count, limit).passes
    assert over.count <= direct.count
    assert direct.count >= towing.least_tie_downs(length, mass)
    assert towing.least_tie_downs(length, mass, blocked=True) <= towing.least_tie_downs(length, mass)


def test_refusals() -> None:
    pit = [MassPoint(mass=1.0, x=1.0, y=0.0, z=1.0)]
    with pytest.raises(LayoutError, match="behind the coupler"):
        towing.tongue("empty", pit, 0.0)
    with pytest.raises(LayoutError, match="under 1"):
        towing.axle_for(pit, 1.0)
    with pytest.raises(LayoutError, match="no such chain"):
        towing.chain_limit("9/16", 70)
    heavy = towing.tongue_findings({"all wood": [MassPoint(mass=900.0, x=2.0, y=0.0, z=1.0)]}, 3.0, TAPE)
    assert "overloads" in heavy[0].text
    low = towing.tongue_findings({"empty": [MassPoint(mass=900.0, x=2.73, y=0.0, z=1.0)]}, 3.0, TAPE)
    assert (low[0].severity, "may sway" in low[0].text) == ("warn", True)
