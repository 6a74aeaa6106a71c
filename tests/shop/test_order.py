"""The build order: every piece and weld once, nothing asked for that is shut off, hours that add up."""

from __future__ import annotations

import dataclasses
import json
import math
from collections import Counter
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

import standing_pits
import workbench
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.masses import mass_of
from pitwright.shop.hours import stage_hours
from pitwright.shop.lift import ONE, TWO, how_to_lift
from pitwright.shop.order import PEOPLE, Order, Step, build_order
from pitwright.shop.welds import weld_list
from pitwright.tape import STANDARD_GRAVITY

PITS = sorted(standing_pits.FACTS)
DOORS = st.sampled_from([{}, {"doors": {"count": 1}}, {"doors": {"count": 3}}])
FIRE = st.sampled_from([{}, {"firebox": {"double_wall": "2 in"}}, {"firebox": {"shape": "box"}}])
BASE = st.sampled_from(["skid", "saddles", "stand", "cart", "trailer"])
ENDS = st.sampled_from(["ellipsoidal", "none"])
JOINT = st.sampled_from(["cut", "dished"])


@cache
def solved(doors: str, fire: str, base: str, end: str, joint: str) -> Pit:
    rules = workbench.merged(
        workbench.merged(json.loads(doors), json.loads(fire)), {"shelf": {"depth": "12"}, "legs": {"pads": "always"}}
    )
    if joint == "dished" and end != "none":
        rules = workbench.merged(rules, {"firebox": {"joint": "dished"}})
    facts = {
        "vessel": {"head_a": {"type": end}, "head_b": {"type": end}},
        "order": {
            "base": base,
            "levels": [{"above": "8"}],
            "grate_height": "37" if base in ("skid", "saddles") else "48",
        },
        "proportions": rules,
    }
    return solve(workbench.job(facts))


@pytest.mark.parametrize(
    ("base", "wanted", "pieces"),
    [
        ("stand", ["running"], {"caster", "wheel of a caster"}),
        ("cart", ["running"], {"axle", "wheel", "rest leg", "rest foot", "handle bar", "grip bar"}),
        (
            "trailer",
            ["running", "road"],
            {"axle", "wheel and tyre", "leaf spring", "spring hanger", "coupler", "tongue jack"},
        ),
    ],
)
def test_what_the_base_rolls_on_has_its_own_step(base: str, wanted: list[str], pieces: set[str]) -> None:
    facts = {"order": {"base": base, "grate_height": "46"}, "proportions": {"stand": {"stretcher": "8", "knee": "6"}}}
    pit = solve(workbench.job(facts))
    order = build_order(pit)
    check_order(pit, order)
    found = keys(order)
    assert all(key in found for key in wanted)
    assert pieces <= {p.name for p in found["running"].parts}
    assert found["base"].number < found["running"].number < found["legs"].number
    assert found["running"].hours > 0.0
    if base == "stand":
        assert {p.name for p in found["legs"].parts} >= {"stretcher, set A", "knee brace, set A, working"}
    if base == "trailer":
        assert {p.name for p in found["road"].parts} == {"tail light", "plate bracket", "wiring", "safety chain"}
        assert found["paint"].number < found["road"].number < found["load"].number
        assert "tongue beam to rail" in {w.name for w in found["base"].welds}


def keys(order: Order) -> dict[str, Step]:
    return {s.key: s for s in order.steps}


def check_order(pit: Pit, order: Order) -> None:
    assert Counter(p.mark for s in order.steps for p in s.parts) == Counter(p.mark for p in pit.parts)
    assert Counter(w.name for s in order.steps for w in s.welds) == Counter(w.name for w in weld_list(pit))
    assert [s.number for s in order.steps] == list(range(1, len(order.steps) + 1))
    for step in order.steps:
        assert all(n < step.number for n in step.after)
        first = order.before(step.number)
        # Whatever order is taken, what shuts a space off comes after all that need it.
        for space in step.shuts:
            for other in order.steps:
                assert space not in other.needs or other.number in first, (
                    other.key,
                    "cannot be reached after",
                    step.key,
                )
        # A weld waits for its pieces.
        here = {p.mark for p in step.parts} | {p.mark for s in order.steps if s.number in first for p in s.parts}
        for weld in step.welds:
            assert set(weld.marks) <= here, (weld.name, step.key)
        for number in step.beside:
            other = order.steps[number - 1]
            assert other.who != step.who
            assert number not in first
            assert step.number not in order.before(number)
            assert step.number in other.beside
    assert order.alone == pytest.approx(sum(s.hours for s in stage_hours(pit)))
    assert max(s.hours for s in order.steps) <= order.crew <= order.alone + 1e-9
    for person in PEOPLE:
        assert sum(s.hours for s in order.steps if s.who == person) <= order.crew + 1e-9


@given(doors=DOORS, fire=FIRE, base=BASE, end=ENDS, joint=JOINT)
def test_any_pit_can_be_built_in_its_order(
    doors: dict[str, object], fire: dict[str, object], base: str, end: str, joint: str
) -> None:
    pit = solved(json.dumps(doors), json.dumps(fire), base, end, joint)
    check_order(pit, build_order(pit))


@pytest.mark.parametrize("name", PITS)
def test_the_sample_pits_can_be_built(name: str) -> None:
    pit = standing_pits.pit(name)
    check_order(pit, build_order(pit))


def test_nothing_cuts_the_vessel_before_it_is_safe_and_marked() -> None:
    order = build_order(standing_pits.pit("worked"))
    by_key = keys(order)
    for step in order.steps:
        if step.cuts:
            assert {by_key["safe"].number, by_key["marks"].number} <= order.before(step.number)


def test_hinges_come_before_bands_and_tacks_before_the_last_weld() -> None:
    order = build_order(standing_pits.pit("worked"))
    by_key = keys(order)
    names = [w.name for w in by_key["door 1"].welds]
    assert names.index("door 1 hinges and handle") < names.index("door 1 bands")
    tops = [w for w in by_key["weld out"].welds if w.name.startswith("leg ")]
    assert {w.name for w in tops} <= {w.name for w in by_key["legs"].tacked}
    assert by_key["set"].number in order.before(by_key["weld out"].number)


def test_ledges_go_in_by_the_open_end_or_else_through_the_doors() -> None:
    cut = keys(build_order(standing_pits.pit("worked")))
    assert cut["inside"].number < cut["set"].number < cut["throat"].number
    whole = keys(build_order(standing_pits.pit("left forty-one")))
    assert "open" not in whole
    assert whole["inside"].number > whole["door 1"].number


def test_hold_points_carry_the_pits_own_figures() -> None:
    pit = standing_pits.pit("worked")
    tape, by_key = pit.tape, keys(build_order(pit))
    wants = {h.what: h.want for s in by_key.values() for h in s.holds}
    assert wants["outside diagonals, both alike"] == tape.fine(pit.base.diagonal)
    assert wants["closing around"] == tape.length(pit.vessel.around)
    assert wants["firebox drop, spring line to firebox centre"] == tape.length(pit.firebox.drop)
    assert wants["vessel centre off the floor, four corners"] == tape.length(pit.vessel.centre_z)
    # Both diagonals of a rectangle as long as the rails and as wide as they stand.
    base = pit.base
    long = base.rail_x1 - base.rail_x0
    assert base.diagonal == pytest.approx(math.hypot(long, base.rails_outside), abs=2e-3)


def test_the_vessel_hangs_with_its_hook_over_its_weight() -> None:
    """Moments about the hook: the upright shares of both baskets balance and add up to the weight."""
    pit = standing_pits.pit("worked")
    lift = keys(build_order(pit))["set"].lift
    assert lift is not None
    low, hook, high = lift.x
    fire, stack = (s.tension * math.sin(s.angle) for s in lift.slings)
    assert fire + stack == pytest.approx(lift.mass * STANDARD_GRAVITY)
    assert fire * (hook - low) == pytest.approx(stack * (high - hook))
    assert min(s.angle for s in lift.slings) >= math.radians(45.0) - 1e-9
    steel = sum(mass_of(p).mass * p.quantity for p in pit.parts if p.stock == "of the vessel")
    assert steel < lift.mass < 1.2 * steel


def test_lifts_by_weight() -> None:
    assert how_to_lift(ONE) == "one person"
    assert how_to_lift(ONE + 0.1) == "two people"
    assert how_to_lift(TWO + 0.1).startswith("hoist")


def test_a_step_whose_pieces_are_welded_in_is_done() -> None:
    pit = standing_pits.pit("worked")
    parts = tuple(dataclasses.replace(p, state="welded") if p.group == "base" else p for p in pit.parts)
    by_key = keys(build_order(dataclasses.replace(pit, parts=parts)))
    assert by_key["base"].done
    assert not by_key["legs"].done
