"""How a pit stands, as the page draws it, against statics worked out from the JSON alone.

Standard gravity 9.80665 m/s2 (CGPM 1901). Distances to the rim of the base by shapely; tip angle atan(margin / height)
and tongue weight by moments are statics.
"""

from __future__ import annotations

import json
import math
import re
from pathlib import Path

import pytest
from shapely.geometry import LineString, Point, Polygon

from pitwright.bench.stand_view import stand
from pitwright.job.file import load_job
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
GRAVITY = 9.80665
JOBS = ("orchard-30", "receiver-metric", "pipe-24-saddles", "stand-24", "cart-20", "trailer-48", "upright-30")


def number(text: str) -> float:
    found = re.search(r"-?[\d,.]+", text)
    assert found, text
    return float(found.group().replace(",", ""))


@pytest.fixture(scope="module", params=JOBS)
def shown(request: pytest.FixtureRequest):
    pit: Pit = solve(load_job(EXAMPLES / f"{request.param}.toml"))
    return pit, json.loads(json.dumps(stand(pit), allow_nan=False))


def test_what_the_supports_push_back_is_the_weight(shown) -> None:
    """On every floor the reactions of a standing pit sum to its loaded weight."""
    pit, data = shown
    weight = pit.balance[data["state"]].mass * GRAVITY
    floors = [c for c in data["cases"] if c == "true floor" or c.startswith(("floor settled", "rocking"))]
    assert "true floor" in floors
    for case in floors:
        assert sum(r["newtons"] for r in data["reactions"][case]) == pytest.approx(weight, rel=1e-4), case


def test_the_weight_acts_where_the_reactions_meet(shown) -> None:
    """Moments of the reactions about both level axes give the centre of gravity back (statics)."""
    pit, data = shown
    loads = data["reactions"]["true floor"]
    whole = sum(r["newtons"] for r in loads)
    for k in (0, 1):
        middle = sum(r["newtons"] * r["at"][k] for r in loads) / whole
        assert middle == pytest.approx(pit.balance[data["state"]].centre[k], abs=2e-3)


def test_members_tell_their_own_worst(shown) -> None:
    _, data = shown
    checked = [m for m in data["members"] if m["by"]]
    assert checked
    for m in checked:
        assert len(m["by"]) == len(data["cases"])
        assert m["worst"] == max(m["by"])
        assert m["by"][data["cases"].index(m["case"])] == m["worst"]
    assert data["worst"]["ratio"] == max(c["ratio"] for c in data["checks"])
    assert data["worst"]["over"] == any(not c["passes"] for c in data["checks"])
    assert all(c["equation"] and c["source"] for c in data["checks"])


def test_tip_angles_are_those_of_the_drawn_base(shown) -> None:
    pit, data = shown
    tip = data["tip"]
    base = Polygon(tip["outline"])
    assert base.exterior.is_ccw
    for state in tip["states"]:
        spot = Point(state["at"])
        assert base.contains(spot)
        margin = base.exterior.distance(spot)
        angle = math.degrees(math.atan2(margin, pit.balance[state["state"]].centre[2]))
        assert number(state["angle"]) == pytest.approx(angle, abs=0.06)
        assert LineString(state["side"]).distance(spot) == pytest.approx(margin, abs=2e-4), (
            "the side is the nearest one"
        )


def test_the_hook_hangs_over_the_weight_and_slings_are_as_long_as_drawn(shown) -> None:
    pit, data = shown
    lift = data["lift"]
    if lift["hook"] is None:
        assert lift["slings"] == []
        return
    centre = pit.balance["empty"].centre
    assert lift["hook"][0] == pytest.approx(centre[0], abs=1e-3)
    unit = 0.0254 if pit.tape.inch else 0.001
    for sling in lift["slings"]:
        drawn = math.dist(sling["from"], sling["to"]) / unit
        whole, _, part = sling["length"].rstrip('" m').partition("-")
        top, _, bottom = part.partition("/")
        assert drawn == pytest.approx(float(whole) + (float(top) / float(bottom) if part else 0.0), abs=1.0)


def test_the_tongue_carries_its_moment() -> None:
    pit = solve(load_job(EXAMPLES / "trailer-48.toml"))
    data = stand(pit)
    tow = data["tow"]
    coupler = tow["coupler"][0]
    axle = sum(a["at"][0] for a in tow["axles"]) / len(tow["axles"])
    for state in tow["states"]:
        if state["state"] not in pit.balance:
            continue  # wood aboard is no state of the pit's own
        x = pit.balance[state["state"]].centre[0]
        assert state["share"] == pytest.approx((axle - x) / (axle - coupler), abs=2e-4)
        assert state["text"] == f"{state['share']:.1%}"
    assert tow["good"][0] < tow["good"][1]
    assert tow["refuse"][0] < tow["good"][0]
    assert all(r["text"] for r in tow["ratings"])
    assert stand(solve(load_job(EXAMPLES / "orchard-30.toml")))["tow"] is None


def test_cautions_and_what_was_not_checked_always_come_along(shown) -> None:
    _, data = shown
    assert any("engineer" in c for c in data["cautions"])
    assert data["not_made"]
    for finding in data["findings"]:
        assert finding["severity"] in ("stop", "warn", "note", "unchecked")
        assert finding["text"]
