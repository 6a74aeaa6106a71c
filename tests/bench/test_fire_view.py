"""The fire as the page reads it: the same figures as the terminal's, laws of heat and draft, and nothing accepted unread.

Temperatures: °F = 1.8 K - 459.67 and °C = K - 273.15 (definitions of the scales). Wet-basis and dry-basis moisture:
d = w / (1 - w) (definition). The rest are laws: pressure made is pressure spent round the loop; shares make the whole.
"""

from __future__ import annotations

import json
import math
import re
import statistics
import time
from pathlib import Path
from typing import Any

import pytest

from pits import solved
from pitwright.bench.fire_view import fire
from pitwright.cli import main
from pitwright.errors import JobError
from pitwright.job.file import load_job
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@pytest.fixture(scope="module")
def pit() -> Pit:
    return solve(load_job(EXAMPLES / "orchard-30.toml"))


@pytest.fixture(scope="module")
def metric() -> Pit:
    return solve(load_job(EXAMPLES / "receiver-metric.toml"))


def number(text: str) -> float:
    found = re.search(r"-?[\d,.]+", text)
    assert found, text
    return float(found.group().replace(",", ""))


def figure(answer: dict[str, Any], label: str) -> float:
    return number(next(f["text"] for f in answer["figures"] if f["label"] == label))


def value(answer: dict[str, Any], key: str) -> Any:
    return next(s["value"] for s in answer["sliders"] if s["key"] == key)


def test_the_jobs_own_day_reads_as_the_terminal_prints_it(pit: Pit, capsys: pytest.CaptureFixture[str]) -> None:
    answer = fire(pit, {})
    main(["fire", str(EXAMPLES / "orchard-30.toml"), "--runs", "0"])
    printed = capsys.readouterr().out
    assert answer["burns"]
    assert answer["own_day"]
    for label in ("wood", "draft, all rises"):
        line = next(row for row in printed.splitlines() if row.startswith(label))
        assert next(f["text"] for f in answer["figures"] if f["label"] == label) in line
    assert value(answer, "outside") == 45.0, "the order says 45 F"


def test_a_day_tried_that_is_the_jobs_own_day_changes_nothing(pit: Pit) -> None:
    own = fire(pit, {})
    same = fire(pit, {s["key"]: s["value"] for s in own["sliders"]})
    assert same["own_day"]
    assert same["curve"] == own["curve"]


@pytest.mark.parametrize(
    ("key", "low", "high", "label", "way"),
    [
        ("outside", 0, 90, "wood", -1),
        ("wood_wetness", 12, 40, "wood", 1),
        ("inlet", 40, 100, "air through the fire", 1),
    ],
)
def test_what_a_slider_does_is_what_heat_and_draft_do(
    pit: Pit, key: str, low: float, high: float, label: str, way: int
) -> None:
    """A cold day and wet wood take more wood; a wider inlet lets more air in."""
    one, two = fire(pit, {key: low}), fire(pit, {key: high})
    assert one["burns"]
    assert two["burns"]
    assert way * (figure(two, label) - figure(one, label)) > 0.0
    assert not one["own_day"]
    own = next(f for f in one["figures"] if f["label"] == label)["own"]
    assert own == next(f["text"] for f in fire(pit, {})["figures"] if f["label"] == label)


def test_degrees_are_the_jobs_degrees(pit: Pit, metric: Pit) -> None:
    cold, mild = fire(pit, {"outside": 32}), fire(metric, {"outside": 0})
    assert value(cold, "outside") == 32.0
    assert value(mild, "outside") == 0.0
    for answer, kelvin in ((cold, lambda t: (t + 459.67) / 1.8), (mild, lambda t: t + 273.15)):
        for tick in answer["curve"]["up"]:
            assert tick["at"] == pytest.approx(kelvin(number(tick["text"])), abs=1e-3)
    assert all(t["text"].endswith("°F") for t in cold["curve"]["up"])
    assert all(t["text"].endswith("°C") for t in mild["curve"]["up"])


def test_wetness_is_of_the_woods_own_weight(pit: Pit) -> None:
    from pitwright.bench import fire_view
    from pitwright.fire.from_pit import fire_case

    case = fire_view._tried(fire_case(pit), {"wood_wetness": 20.0}, pit.tape)
    assert case.fuel.moisture == pytest.approx(0.25, rel=1e-12)  # 20 % of the whole is 25 % of the dry
    assert value(fire(pit, {}), "wood_wetness") == pytest.approx(100.0 * 0.25 / 1.25, abs=0.05)


def test_pressure_made_is_pressure_spent_and_shares_make_the_whole(pit: Pit, metric: Pit) -> None:
    for one, trial in ((pit, {}), (pit, {"outside": 10, "weather": "wind"}), (metric, {"inlet": 50})):
        answer = fire(one, trial)
        made, spent = (sum(s[k] for s in answer["draw"]) for k in ("made", "spent"))
        assert made == pytest.approx(spent, rel=2e-3)
        assert sum(s["share"] for s in answer["heat"]) == pytest.approx(1.0, abs=2e-4)
        most = max(answer["draw"], key=lambda s: s["spent"])
        assert [s["name"] for s in answer["draw"] if s["chokes"]] == [most["name"]]


def test_the_curve_its_ticks_and_its_table_are_one(pit: Pit) -> None:
    curve = fire(pit, {})["curve"]
    assert curve["x"] == sorted(curve["x"])
    assert len(curve["x"]) == len(curve["gas"]) == len(curve["reading"])
    assert curve["up"][0]["at"] <= min(*curve["gas"], *curve["reading"])
    assert curve["up"][-1]["at"] >= max(*curve["gas"], *curve["reading"])
    first, last = curve["rows"][0], curve["rows"][-1]
    assert number(first["gas"]) == round(1.8 * curve["gas"][0] - 459.67)
    assert number(last["bare"]) == round(1.8 * curve["reading"][-1] - 459.67)
    step = [t["at"] for t in curve["along"]]
    assert step[1] - step[0] == pytest.approx(0.3048, abs=1e-4)  # a foot


def test_what_takes_longer_comes_only_when_asked_for(pit: Pit) -> None:
    quick = fire(pit, {})
    assert quick["chokes"] is None
    assert quick["findings"] is None
    assert quick["warm_up"] is None
    assert quick["curve"]["low"] is None
    full = fire(pit, {"more": True, "warm_up": True})
    assert full["curve"] == quick["curve"]
    assert {c["name"] for c in full["chokes"]} >= {"air inlet", "throat", "stack pipe", "stack height"}
    assert all(f["text"] for f in full["findings"])
    warm = full["warm_up"]
    assert warm["t"][0] == 0.0
    assert warm["t"] == sorted(warm["t"])
    assert len(warm["t"]) <= 320
    assert warm["grate"][0] == pytest.approx((45.0 + 459.67) / 1.8, abs=2.0), "it starts at the day's temperature"
    assert f"{warm['ready']['at'] / 60.0:.0f} minutes" in warm["ready"]["text"]
    json.dumps(full, allow_nan=False)


def test_bands_hold_the_curve_between_them(pit: Pit, monkeypatch: pytest.MonkeyPatch) -> None:
    from pitwright.bench import fire_view

    few = fire_view.bands_of
    monkeypatch.setattr(fire_view, "bands_of", lambda p, case: few(p, 40, case=case))
    answer = fire(pit, {"bands": True})
    curve = answer["curve"]
    assert all(low < high for low, high in zip(curve["low"], curve["high"], strict=True))
    assert all(
        " to " in f["sure"] for f in answer["figures"] if f["label"] in ("wood", "hottest to coldest on the grate")
    )
    assert all(r["band"] for r in curve["rows"])
    assert answer["sure"] == ""
    assert "until one burn" in fire(pit, {})["sure"]


@pytest.mark.parametrize(
    ("trial", "field"),
    [
        ({"outside": "cold"}, "Outside"),
        ({"outside": math.nan}, "Outside"),
        ({"outside": True}, "Outside"),
        ({"outside": 900}, "Outside"),
        ({"wood_wetness": -1}, "Water in the wood"),
        ({"inlet": 101}, "Air inlet open"),
        ({"inlet": [50]}, "Air inlet open"),
        ({"weather": "gale"}, "weather"),
        ({"weather": ["still"]}, "weather"),
        ({"__class__": 1}, "__class__"),
    ],
)
def test_what_is_no_value_is_refused_with_what_is(pit: Pit, trial: dict[str, Any], field: str) -> None:
    with pytest.raises(JobError) as told:
        fire(pit, trial)
    assert told.value.field == field
    assert told.value.allowed


@pytest.mark.parametrize("seed", range(8))
def test_pits_at_random_answer_whole(seed: int) -> None:
    one = solved(seed)
    if one is None:
        pytest.skip("these facts allow no pit")
    for trial in ({}, {"inlet": 5}):
        answer = json.loads(json.dumps(fire(one, trial), allow_nan=False))
        assert answer["figures"]
        assert answer["burns"] or answer["text"]


def test_a_move_of_a_slider_is_answered_fast(pit: Pit) -> None:
    fire(pit, {})
    took = []
    for i in range(30):
        start = time.perf_counter()
        json.dumps(fire(pit, {"outside": 10 + i, "wood_wetness": 15 + i % 7}))
        took.append(time.perf_counter() - start)
    assert statistics.median(took) < 0.15
