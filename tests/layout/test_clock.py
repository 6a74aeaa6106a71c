"""Turning the vessel. The senses are proved by rolling a vessel in space, with no formula of the module."""

from __future__ import annotations

import math
from itertools import product
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.job.facts import EndName
from pitwright.job.proportions import ClockRules
from pitwright.layout.clock import (
    NOTHING_NEAR,
    Feature,
    clock_of,
    ends_for_fire,
    features_of,
    placed_features,
    search,
    sense,
)
from pitwright.layout.model import ClockChoice
from pitwright.layout.patches import Patch, skin_gap
from pitwright.parts import Head
from pitwright.tape import INCH
from workbench import job

RADIUS, LENGTH = 15.04 * INCH, 84.0 * INCH
AROUND = 2.0 * math.pi * RADIUS
RULES = ClockRules()
HEAD = Head(kind="ellipsoidal", outer_radius=RADIUS, wall=0.25 * INCH, depth=7.6 * INCH)
FLAT = Head(kind="flat", outer_radius=RADIUS, wall=0.25 * INCH, depth=0.25 * INCH)
DOOR = Patch(name="door 1", x0=6 * INCH, x1=40 * INCH, clock0=math.radians(15), clock1=math.radians(96))
STACK = Patch(name="stack hole", x0=70 * INCH, x1=79 * INCH, clock0=-0.3, clock1=0.3)


def boss(
    around: float = 20.0, station: float = 70.0, size: float = 2.0, serves: tuple[str, ...] = (), name: str = "boss"
) -> Feature:
    half = size / 2.0
    return Feature(
        name=name,
        station0=(station - half) * INCH,
        station1=(station + half) * INCH,
        around=around * INCH,
        width=size * INCH,
        clear=INCH,
        serves=serves,
    )


def seam(around: float = 0.0) -> Feature:
    return Feature(
        name="long seam", station0=0.0, station1=LENGTH, around=around * INCH, width=0.5 * INCH, clear=2.0 * INCH
    )


def find(
    features: tuple[Feature, ...], zones: tuple[Patch, ...] = (DOOR, STACK), **more: Any
) -> tuple[ClockChoice, ...]:
    given_ = {"radius": RADIUS, "length": LENGTH, "hand": 1, "drain_x": (0.55 * LENGTH, LENGTH), "rules": RULES}
    return search(features=features, zones=zones, **{**given_, **more})


# ---------------------------------------------------------------- which way round: rolled in space


def rolled(around: float, top: float, fire_end: EndName, fire_on_right: bool) -> float:
    """Clock of a mark after the vessel is rolled until `top` is up, from the working side positive [rad].

    A person stands south of the pit and looks north at it: right is east, towards the person is south.
    """
    up, south, east = np.array([0.0, 0.0, 1.0]), np.array([0.0, -1.0, 0.0]), np.array([1.0, 0.0, 0.0])
    fire = east if fire_on_right else -east
    to_b = -fire if fire_end == "A" else fire  # from end A to end B
    # someone at end A, looking along the vessel at it, sees the zero mark up and clockwise to the right hand
    right_hand = np.cross(to_b, up)
    mark, crown = (math.cos(s / RADIUS) * up + math.sin(s / RADIUS) * right_hand for s in (around, top))
    # roll the vessel about its axis until `crown` points up, whichever way that is
    turn = math.atan2(np.dot(np.cross(crown, up), to_b), np.dot(crown, up))
    lifted = (
        mark * math.cos(turn) + np.cross(to_b, mark) * math.sin(turn) + to_b * np.dot(to_b, mark) * (1 - math.cos(turn))
    )
    return math.atan2(float(np.dot(lifted, south)), float(np.dot(lifted, up)))


@given(
    st.floats(0.0, AROUND), st.floats(0.0, AROUND), st.sampled_from(["A", "B"]), st.booleans()
)  # fmt: skip
def test_a_mark_lands_where_a_rolled_vessel_puts_it(around: float, top: float, end: EndName, right: bool) -> None:
    clock = clock_of(around, top, RADIUS, sense(end, 1 if right else -1))
    apart = math.remainder(clock - rolled(around, top, end, right), 2.0 * math.pi)
    assert abs(apart) < 1e-9
    assert -math.pi <= clock <= math.pi


def test_the_simplest_case_by_hand() -> None:
    # firebox right, fire at end B: end A is the stack end on the left. Seen from there, clockwise runs from the top
    # towards the person at the working side, so a mark 10 past the top line lands on the working side.
    assert clock_of(10 * INCH, 0.0, RADIUS, sense("B", 1)) == pytest.approx(10 * INCH / RADIUS)
    assert clock_of(10 * INCH, 0.0, RADIUS, sense("A", 1)) == pytest.approx(-10 * INCH / RADIUS)
    assert clock_of(10 * INCH, 0.0, RADIUS, sense("B", -1)) == pytest.approx(-10 * INCH / RADIUS)


def placed(vessel: dict[str, Any], choice: ClockChoice, hand: int = 1, **more: Any) -> Any:
    facts = job({"vessel": vessel}).vessel
    features = features_of(facts, LENGTH, RULES)
    return placed_features(
        features, facts, choice, radius=RADIUS, length=LENGTH, hand=hand, rules=RULES,
        drain_x=(0.55 * LENGTH, LENGTH), **more,
    )  # fmt: skip


def choice_of(end: EndName = "A", top: float = 0.0, serves: tuple[str, ...] = ()) -> ClockChoice:
    return ClockChoice(
        fire_end=end, top_from_seam=top * INCH, least_clear=0.0, against="", serves=serves, score=0.0
    )  # fmt: skip


@pytest.mark.parametrize(("end", "hand"), list(product(["A", "B"], [1, -1])))
def test_the_best_choice_puts_the_drain_boss_at_the_bottom_of_the_low_end(end: EndName, hand: int) -> None:
    station = 70.0 if end == "A" else 14.0
    fitting = {"name": "boss", "station": station, "around": 60, "size": 2, "plan": "reuse", "good_for": ["drain"]}
    facts = job({"vessel": {"seams": [], "fittings": [fitting]}}).vessel
    features = features_of(facts, LENGTH, RULES)
    best = find(features, hand=hand, rules=ClockRules(fire_end=end))[0]
    assert best.serves == ("boss",)
    _, fittings, _, _ = placed_features(
        features, facts, best, radius=RADIUS, length=LENGTH, hand=hand, rules=RULES, drain_x=(0.55 * LENGTH, LENGTH)
    )
    assert fittings[0].serves == "drain"
    assert fittings[0].x == pytest.approx(70 * INCH)  # from the fire-end seam, whichever end that is
    # and the vessel, rolled so that the chosen top line is up, really has it within an inch of the bottom
    clock = rolled(60 * INCH, best.top_from_seam, end, hand == 1)
    assert abs(abs(clock) - math.pi) * RADIUS <= INCH + 1e-9
    assert math.remainder(clock - fittings[0].clock, 2.0 * math.pi) == pytest.approx(0.0, abs=1e-9)


# ---------------------------------------------------------------- ranking


def exhaustive(features: tuple[Feature, ...], zones: tuple[Patch, ...], end: EndName, top: float) -> float:
    """Least clearance less what each feature wants, patch by patch [m]."""
    spare = math.inf
    for feature, zone in product(features, zones):
        clock = clock_of(feature.around, top, RADIUS, sense(end, 1))
        x0, x1 = feature.station0, feature.station1
        if end == "B":
            x0, x1 = LENGTH - x1, LENGTH - x0
        half = feature.width / 2.0 / RADIUS
        a = Patch(name="", x0=x0, x1=x1, clock0=clock - half, clock1=clock + half)
        b = Patch(name="", x0=zone.x0, x1=zone.x1, clock0=zone.clock0, clock1=zone.clock1)
        spare = min(spare, skin_gap(a, b, RADIUS) - feature.clear)
    return spare


@given(
    st.floats(0.0, 94.0), st.floats(8.0, 76.0), st.floats(1.0, 9.0), st.floats(0.0, 94.0),
    st.floats(0.1, 0.6), st.floats(1.2, 2.2),
)  # fmt: skip
def test_no_turn_of_the_search_is_better_than_the_best(
    place: float, station: float, size: float, line: float, low: float, high: float
) -> None:
    features = (seam(line), boss(place, station, size))
    zones = (Patch(name="door 1", x0=0.2, x1=1.2, clock0=low, clock1=high), STACK)
    best = find(features, zones)[0]
    for end in ("A", "B"):
        for top in np.arange(0.0, AROUND, 2.0 * INCH):
            assert exhaustive(features, zones, end, float(top)) <= best.score + RULES.turn_step
    assert exhaustive(features, zones, best.fire_end, best.top_from_seam) == pytest.approx(best.score, abs=1e-9)


def test_the_runners_up_are_other_ways_up() -> None:
    choices = find((seam(), boss(30.0)))
    assert len(choices) >= 2
    scores = [min(c.score, 0.0) for c in choices]
    assert scores == sorted(scores, reverse=True)
    for a, b in product(choices, choices):
        if a is not b and a.fire_end == b.fire_end:
            apart = abs(math.remainder(a.top_from_seam - b.top_from_seam, AROUND))
            assert apart > INCH


def test_clearance_beats_use_and_use_beats_more_clearance() -> None:
    harmless = boss(60.0, serves=("drain",))
    assert find((harmless,), rules=ClockRules(fire_end="A"))[0].serves == ("boss",)
    # a long seam so placed that the drain boss at the bottom would put it in the middle of the door
    clash = (seam(60.0 - 94.5 / 2.0 - 14.0), harmless)
    best = find(clash, rules=ClockRules(fire_end="A"))[0]
    assert best.score >= 0.0
    assert best.serves == ()


def test_a_thermometer_boss_may_sit_in_a_door_but_not_on_its_edge() -> None:
    one = (boss(0.0, station=62.0, serves=("thermometer",)),)
    door = Patch(name="door 2", x0=44 * INCH, x1=78 * INCH, clock0=math.radians(15), clock1=math.radians(96))
    best = find(one, (door,), rules=ClockRules(fire_end="A"))[0]
    assert best.serves == ("boss",)
    assert best.score == math.inf
    assert best.against == NOTHING_NEAR
    clock = clock_of(0.0, best.top_from_seam, RADIUS, sense("A", 1))
    assert math.radians(45) < clock < math.radians(90)
    narrow = Patch(name="door 2", x0=44 * INCH, x1=78 * INCH, clock0=math.radians(60), clock1=math.radians(70))
    assert find(one, (narrow,), rules=ClockRules(fire_end="A"))[0].score < math.inf


def test_a_fitting_that_goes_may_go_with_a_door() -> None:
    fitting = {"name": "collar", "station": 20, "around": 40, "size": 9, "plan": "cut away"}
    vessel = job({"vessel": {"seams": [], "fittings": [fitting]}}).vessel
    features = features_of(vessel, LENGTH, RULES)
    round_door = Patch(name="door 1", x0=2 * INCH, x1=82 * INCH, clock0=-3.0, clock1=3.0)
    best = find(features, (round_door,))[0]
    assert best.score == math.inf  # all of it lies in the door
    boss_that_stays = find((boss(40.0, 20.0, 9.0),), (round_door,))[0]
    assert boss_that_stays.score < 0.0


def test_a_fixed_clock_is_kept() -> None:
    rules = ClockRules(top_from_seam="20", fire_end="B")  # type: ignore[arg-type]
    (only,) = find((seam(), boss()), rules=rules)
    assert only.top_from_seam == pytest.approx(20 * INCH)
    assert only.fire_end == "B"


def test_a_bare_skin_goes_any_way_up() -> None:
    (only,) = find(())
    assert only.against == NOTHING_NEAR
    assert only.least_clear == math.inf
    assert find((), ends=("B",))[0].fire_end == "B"


@pytest.mark.parametrize(
    ("joint", "heads", "ends"),
    [
        ("cut", (HEAD, HEAD), ("A", "B")),
        ("cut", (HEAD, None), ("B",)),
        ("cut", (None, None), ("A", "B")),
        ("dished", (HEAD, FLAT), ("A",)),
        ("dished", (None, HEAD), ("B",)),
        ("flat", (HEAD, FLAT), ("B",)),
        ("flat", (HEAD, HEAD), ("A", "B")),  # neither suits: told when the firebox is laid out
    ],
)
def test_ends_that_suit_the_joint(joint: str, heads: tuple[Head | None, Head | None], ends: tuple[str, ...]) -> None:
    assert ends_for_fire(joint, {"A": heads[0], "B": heads[1]}) == ends


# ---------------------------------------------------------------- placing


def test_features_of_a_survey() -> None:
    facts = job(
        {
            "vessel": {
                "seams": [
                    {"kind": "long"},
                    {"kind": "long", "station": "40", "to_station": "10", "around": "30"},
                    {"kind": "girth", "station": "42"},
                    {"kind": "patch", "station": "20", "to_station": "26", "around": "12", "width": "5"},
                ],
                "fittings": [
                    {"name": "boss", "station": "70", "around": "1", "size": "2"},
                    {"name": "boss", "station": "30", "around": "9", "size": "2"},
                    {"name": "collar", "station": "30", "around": "50", "size": "9", "plan": "cut away"},
                    {"name": "eye", "station": "0", "around": "0", "size": "2", "on": "head B"},
                ],
            }
        }
    ).vessel
    features = features_of(facts, LENGTH, RULES)
    assert [f.name for f in features] == ["long seam", "long seam 2", "patch 1", "boss", "boss 2", "collar"]
    assert [f.goes for f in features] == [False] * 5 + [True]
    assert (features[1].station0, features[1].station1) == (pytest.approx(10 * INCH), pytest.approx(40 * INCH))
    keep, fittings, girths, line = placed_features(
        features, facts, choice_of("A"), radius=RADIUS, length=LENGTH, hand=1, rules=RULES
    )
    assert girths == pytest.approx((0.0, 42 * INCH, LENGTH))
    kept = [f.name for f in features if not f.goes]
    assert [k.name for k in keep] == [*kept, "girth seam", "girth seam", "girth seam"]
    assert [f.name for f in fittings] == ["boss", "boss 2", "collar", "eye"]
    assert fittings[3].on == "stack head"
    assert line == pytest.approx(0.0)


def test_turned_end_for_end_stations_run_from_the_other_seam() -> None:
    vessel = {"seams": [{"kind": "girth", "station": "30"}], "fittings": [
        {"name": "boss", "station": "70", "around": "10", "size": "2", "on": "shell"}]}  # fmt: skip
    keep, fittings, girths, _ = placed(vessel, choice_of("B"))
    assert fittings[0].x == pytest.approx(14 * INCH)
    assert girths == pytest.approx((0.0, 54 * INCH, LENGTH))
    assert (keep[0].x0, keep[0].x1) == (pytest.approx(13 * INCH), pytest.approx(15 * INCH))


def test_a_seam_that_is_really_elsewhere_takes_everything_with_it() -> None:
    vessel = {"fittings": [{"name": "boss", "station": "70", "around": "20", "size": "2"}]}
    _, before, _, line = placed(vessel, choice_of("B", 30.0))
    keep, after, _, moved = placed(vessel, choice_of("B", 30.0), seam_at=line + 0.05)
    assert moved == pytest.approx(line + 0.05)
    assert after[0].clock == pytest.approx(before[0].clock + 0.05)
    assert (keep[0].clock0 + keep[0].clock1) / 2.0 == pytest.approx(line + 0.05)


def test_a_boss_good_for_two_things_serves_as_what_it_lands_as() -> None:
    fitting = {"name": "boss", "station": "70", "around": "0", "size": "2", "plan": "reuse",
               "good_for": ["thermometer", "drain"]}  # fmt: skip
    vessel = {"seams": [], "fittings": [fitting]}
    assert placed(vessel, choice_of("B", 94.5 / 2.0))[1][0].serves == ""  # at the bottom, but of the high end
    assert placed(vessel, choice_of("A", 94.5 / 2.0))[1][0].serves == "drain"
    assert placed(vessel, choice_of("A", 94.5 * 0.18))[1][0].serves == "thermometer"
    assert placed({**vessel, "fittings": [{**fitting, "plan": "plug"}]}, choice_of("A", 94.5 / 2.0))[1][0].serves == ""


@given(st.floats(0.0, 94.0), st.floats(0.0, 94.0), st.sampled_from(["A", "B"]))
def test_a_mirrored_pit_mirrors_its_clock(around: float, top: float, end: EndName) -> None:
    right = clock_of(around * INCH, top * INCH, RADIUS, sense(end, 1))
    left = clock_of(around * INCH, top * INCH, RADIUS, sense(end, -1))
    assert math.remainder(right + left, 2.0 * math.pi) == pytest.approx(0.0, abs=1e-9)
