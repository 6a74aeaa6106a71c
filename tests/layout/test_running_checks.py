"""Wheels, fenders, casters, tongue and handles against the rest of the pit; marks and overall sizes with them."""

from __future__ import annotations

import math

import pytest

from pitwright.layout.extent import box_of
from pitwright.layout.pit import solve
from pitwright.tape import INCH
from workbench import codes, found, job, merged

TRAILER = {"order": {"grate_height": "44", "base": "trailer"}, "proportions": {"firebox": {"size": "20"}}}


def pit_of(base: dict, changes: dict | None = None):
    return solve(job(merged(base, changes or {})))


def test_an_ordinary_trailer_has_no_clash():
    assert not {c for c in codes(pit_of(TRAILER).findings) if c.startswith(("wheels.", "trailer."))}


def test_a_fender_by_the_shell():
    near = {
        "order": {"grate_height": "41"},
        "proportions": {
            "base": {"rails_outside": "26"},
            "firebox": {"size": "14"},
            "legs": {"clock": "35"},
            "trailer": {"tyre": "30", "axle_drop": "0"},
        },
    }
    by = found(pit_of(TRAILER, near).findings, "wheels.on_shell")
    # Fender 33 up, 13 out; centre 42 up, skin 15.04 out (trade notes' vessel).
    assert by.clearance / INCH == pytest.approx(math.hypot(13.0, 42.0 - 33.0) - 15.04, abs=0.01)
    assert by.severity == "warn"


def test_a_door_over_a_large_wheel():
    large = {"tyre": "46", "axle_drop": "10", "tyre_over": "5", "ride": "4"}
    pit = pit_of(
        TRAILER,
        {"order": {"grate_height": "48"}, "proportions": {"trailer": large, "base": {"rails_outside": "28"}}},
    )
    told = [f for f in pit.findings if f.code == "wheels.under_door"]
    assert {f.pieces[0] for f in told} == {"door 1", "door 2"}
    assert all("fender" in f.text for f in told)


def test_rubber_beside_the_fire():
    pit = pit_of(TRAILER, {"override": {"trailer.axle": "84"}, "proportions": {"firebox": {"size": "26"}}})
    by = found(pit.findings, "wheels.by_firebox")
    assert "rubber" in by.text
    assert by.clearance < 0.0


def test_drain_over_an_axle():
    first = pit_of(TRAILER)
    at = first.vessel.station(first.base.axles[0].x) / INCH
    moved = pit_of(TRAILER, {"override": {"drain.x": f"{84 - at!r} in", "trailer.axle": f"{at!r} in"}})
    if abs(moved.grates.drain_x - moved.base.axles[0].x) < 3 * INCH:
        assert "wheels.drain" in codes(moved.findings)
    else:
        pytest.fail("the drain was not moved over the axle")


def test_a_short_tongue_meets_the_tailgate():
    pit = pit_of(TRAILER, {"proportions": {"trailer": {"tongue_reach": "24", "tongue": "straight"}}})
    assert {"trailer.tailgate", "trailer.jack"} <= set(codes(pit.findings))


def test_towed_by_the_fire():
    pit = pit_of(TRAILER, {"proportions": {"trailer": {"tongue_end": "fire"}}})
    assert "trailer.fire_ahead" in codes(pit.findings)
    assert pit.base.tongue.coupler[0] < pit.base.rail_x0


def test_a_caster_that_swings_into_the_firebox():
    low = {
        "order": {"grate_height": "39", "base": "stand"},
        "proportions": {
            "stand": {"at": "rail ends", "casters_apart": "26", "caster_height": "10", "caster_wheel": "8"},
            "firebox": {"size": "24"},
            "base": {"rails_outside": "34"},
        },
        "override": {"base.rail_fire_end": "100"},
    }
    pit = solve(job(low))
    assert pit.firebox.bottom_z < pit.base.floor_gap
    assert found(pit.findings, "stand.caster_on_firebox").severity == "stop"


@pytest.mark.parametrize("base", ["stand", "cart", "trailer", "skid"])
def test_overall_sizes_hold_the_base(base):
    pit = solve(job(merged(TRAILER, {"order": {"base": base}})))
    low, high = box_of(p for p in pit.parts if p.group == "base")
    assert float(pit.reasons["overall.length"].value) >= high[0] - low[0] - 1e-9
    assert float(pit.reasons["overall.width"].value) >= high[1] - low[1] - 1e-9
    assert low[2] == pytest.approx(0.0, abs=1e-9)
    if base == "trailer":
        assert high[0] >= pit.base.tongue.coupler[0]
        assert high[1] == pytest.approx(pit.base.axles[0].fender)


@pytest.mark.parametrize(
    ("base", "wanted"),
    [
        ("stand", {"caster 1 middle", "caster 2 middle"}),
        ("cart", {"axle middle", "rest leg middle"}),
        ("trailer", {"axle middle", "spring eye, axle, stack side", "spring eye, axle, fire side"}),
    ],
)
def test_every_new_thing_is_marked_along_the_rails(base, wanted):
    pit = solve(job(merged(TRAILER, {"order": {"base": base}})))
    marks = {m.what: m.along for m in pit.marks if m.on == "rails"}
    assert wanted <= set(marks)
    end = pit.base.rail_x1
    if base == "trailer":
        assert marks["axle middle"] == pytest.approx(end - pit.base.axles[0].x)
        (ball,) = [m for m in pit.marks if m.what == "middle of the ball"]
        assert ball.along == pytest.approx(pit.base.tongue.coupler[0] - end)


def test_a_stretcher_under_the_drain():
    facts = {"order": {"grate_height": "44", "base": "stand"}, "proportions": {"stand": {"stretcher": "8"}}}
    clear = solve(job(merged(facts, {"override": {"drain.x": "60"}})))
    assert "stand.drain" not in codes(clear.findings)
    at = clear.leg_sets[0].legs[0].x / INCH
    under = solve(job(merged(facts, {"override": {"drain.x": f"{at!r} in"}})))
    assert found(under.findings, "stand.drain").clearance < 0.0
