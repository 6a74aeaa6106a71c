"""What stands in the way of what, found on solved pits; the skin distance by brute force."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.findings import Finding
from pitwright.layout.conflicts import find_conflicts
from pitwright.layout.model import CrossMember, Pit
from pitwright.layout.patches import Patch, fitting_patch, foot_patch, lies_inside, skin_gap
from pitwright.layout.pit import solve
from pitwright.layout.scene import Scene
from pitwright.tape import INCH
from workbench import codes, draft_of, found, job, merged

FIXED = {"proportions": {"clock": {"top_from_seam": "47 1/4", "fire_end": "A"}}}  # long seam at the bottom


def pit_of(changes: dict[str, Any] | None = None) -> Pit:
    return solve(job(changes or {}))


def told(changes: dict[str, Any], code: str) -> Finding:
    return found(pit_of(changes).findings, code)


# ---------------------------------------------------------------- distances on the skin


def brute(a: Patch, b: Patch, radius: float) -> float:
    """Least tape distance between two patches by points on their edges and inside; 0 where they share skin."""

    def points(p: Patch) -> np.ndarray:
        s, t = np.meshgrid(np.linspace(p.x0, p.x1, 13), np.linspace(p.clock0, p.clock1, 13) * radius)
        return np.stack([s.ravel(), t.ravel()], axis=1)

    one, other = points(a), points(b)
    dx = one[:, None, 0] - other[None, :, 0]
    da = one[:, None, 1] - other[None, :, 1]
    around = 2.0 * math.pi * radius
    da = (da + around / 2.0) % around - around / 2.0
    return float(np.hypot(dx, da).min())


patches = st.builds(
    lambda x, w, c, h: Patch(name="", x0=x, x1=x + w, clock0=c - h, clock1=c + h),
    st.floats(0.0, 2.0), st.floats(0.01, 0.8), st.floats(-6.0, 6.0), st.floats(0.02, 1.4),
)  # fmt: skip


@given(patches, patches)
def test_the_gap_is_the_least_tape_distance(a: Patch, b: Patch) -> None:
    gap, least = skin_gap(a, b, 0.38), brute(a, b, 0.38)
    assert gap == pytest.approx(skin_gap(b, a, 0.38), abs=1e-9)
    if gap > 0.0:
        # by points the distance comes out a little long
        assert gap <= least + 1e-9
        assert least < gap + 0.09
    else:
        assert least < 0.09


@given(patches, patches)
def test_lying_inside(outer: Patch, inner: Patch) -> None:
    depth = lies_inside(inner, outer, 0.38)
    if depth >= 0.0:
        assert skin_gap(inner, outer, 0.38) <= 0.0
        assert inner.x0 >= outer.x0 - 1e-9
        assert inner.x1 <= outer.x1 + 1e-9
        middle = math.remainder((inner.clock0 + inner.clock1 - outer.clock0 - outer.clock1) / 2.0, 2.0 * math.pi)
        assert abs(middle) + (inner.clock1 - inner.clock0) / 2.0 <= (outer.clock1 - outer.clock0) / 2.0 + 1e-9


# ---------------------------------------------------------------- openings and seams


def test_a_door_on_the_long_seam_is_told() -> None:
    seam = {"vessel": {"seams": [{"kind": "long"}]}, "proportions": {"clock": {"top_from_seam": "73", "fire_end": "A"}}}
    pit = pit_of(seam)
    line = pit.vessel.long_seam_clock
    assert line is not None
    hits = [f for f in pit.findings if f.code == "skin.opening_on_seam"]
    doors = [d for d in pit.doors if d.hinge_clock < line < d.edge_clock]
    assert {f.pieces[0] for f in hits} >= {d.name for d in doors}
    assert all("spring along the old weld" in f.text for f in hits)


def test_a_door_near_a_patch_or_a_girth_seam_is_told() -> None:
    patch = merged(FIXED, {"vessel": {"seams": [{"kind": "girth", "station": "42 1/2"}]}})
    hits = [f for f in pit_of(patch).findings if f.code == "skin.opening_on_seam"]
    assert [f.pieces for f in hits] == [("door 2", "girth seam")]
    assert hits[0].clearance == pytest.approx(1.25 * INCH)
    assert "under the band" in hits[0].text


def test_openings_too_close_are_told() -> None:
    near = {"proportions": {"stack": {"profile": "8 sch 20 pipe", "behind_top": "1"}}}
    hit = told(near, "skin.ligament")
    assert hit.severity == "warn"
    assert hit.pieces == ("door 2", "stack hole")
    assert (
        told({"proportions": {"stack": {"profile": "8 sch 20 pipe", "behind_top": "-2"}}}, "skin.ligament").severity
        == "stop"
    )
    assert told({"proportions": {"doors": {"mullion": "30 mm"}}}, "skin.ligament").pieces == ("door 1", "door 2")


def test_an_opening_over_the_end_is_a_stop() -> None:
    assert told({"proportions": {"stack": {"at": "2 seam length"}}}, "skin.past_end").pieces == ("stack hole",)


# ---------------------------------------------------------------- fittings


def boss(**more: Any) -> dict[str, Any]:
    own = {"name": "boss", "station": "23", "around": "47", "size": "2", **more}
    return {
        "vessel": {"seams": [], "fittings": [own]},
        "proportions": {"clock": {"top_from_seam": "64", "fire_end": "A"}},
    }


def test_where_the_boss_of_these_tests_lands() -> None:
    pit = pit_of(boss())
    (fitting,) = pit.vessel.fittings
    # fire end A on the right: arounds run away from the working side, so 47 - 64 = -17 lands 17 towards it
    assert pit.vessel.around_at(fitting.clock) == pytest.approx(17 * INCH)
    assert lies_inside(fitting_patch(fitting, pit.vessel.outer_radius), _door(pit), pit.vessel.outer_radius) > 0.0


def _door(pit: Pit) -> Patch:
    d = pit.doors[0]
    return Patch(name=d.name, x0=d.x0, x1=d.x1, clock0=d.hinge_clock, clock1=d.edge_clock)


def test_a_fitting_to_be_kept_in_a_door_is_a_stop() -> None:
    assert told(boss(plan="keep"), "fittings.cut_out").pieces == ("boss", "door 1")


def test_a_plug_in_a_door_is_warned_of() -> None:
    assert told(boss(plan="plug"), "skin.opening_on_seam").pieces == ("door 1", "boss")


def test_a_fitting_that_goes_with_the_door_is_not_worth_a_word() -> None:
    found_ = codes(pit_of(boss(plan="cut away")).findings)
    assert not {c for c in found_ if c.startswith("fittings")}
    assert "skin.opening_on_seam" not in found_


def test_a_patch_over_a_door_edge_is_told() -> None:
    assert told(boss(plan="cut away", station="40"), "fittings.patch_on_edge").severity == "warn"
    assert told(boss(plan="cut away", around="10"), "fittings.patch").severity == "note"


def test_a_fitting_put_to_no_use_is_told() -> None:
    assert "plug it" in told(boss(plan="reuse", around="20"), "fittings.not_used").text
    served = boss(plan="reuse", good_for=["thermometer"])
    assert "fittings.not_used" not in codes(pit_of(served).findings)


def test_fittings_on_heads() -> None:
    stack = {"proportions": {"stack": {"place": "end"}, "clock": {"fire_end": "A"}}}
    on_stack = merged(stack, {"vessel": {"fittings": [
        {"name": "gauge", "on": "head B", "station": "6", "around": "0", "size": "3"}]}})  # fmt: skip
    assert told(on_stack, "fittings.on_head").severity in ("stop", "warn")
    on_fire = merged(
        boss(on="head A", station="11", around="64", size="3"), {"proportions": {"firebox": {"joint": "dished"}}}
    )
    assert "fittings.on_head" not in codes(pit_of(on_fire).findings)  # high on the head, clear of the throat
    low = merged(on_fire, {"vessel": {"fittings": [
        {"name": "gauge", "on": "head A", "station": "7", "around": "16 3/4", "size": "3"}]}})  # fmt: skip
    assert "the throat" in told(low, "fittings.on_head").text
    inside = merged(on_fire, {"vessel": {"fittings": [
        {"name": "gauge", "on": "head A", "station": "10", "around": "16 3/4", "size": "2"}]}})  # fmt: skip
    assert "fittings.on_head" not in codes(pit_of(inside).findings)  # it goes with the cut
    cut = merged(low, {"proportions": {"firebox": {"joint": "cut"}}})
    assert "fittings.on_head" not in codes(pit_of(cut).findings)  # the whole head goes


# ---------------------------------------------------------------- legs, rails, floor, slides, drain


def test_a_door_edge_near_a_leg_is_told_with_where_to_keep_it() -> None:
    near = {"proportions": {"legs": {"clock": "45"}}, "override": {"doors.edge_clock": "126"}}
    pit = pit_of(near)
    hits = [f for f in pit.findings if f.code == "doors.over_leg"]
    assert hits
    legs = {f"leg {s.name} {leg.side}": (s, leg) for s in pit.leg_sets for leg in s.legs}
    for hit in hits:
        leg_set, leg = legs[hit.pieces[1]]
        door = next(d for d in pit.doors if d.name == hit.pieces[0])
        patch = Patch(name="", x0=door.x0, x1=door.x1, clock0=door.hinge_clock, clock1=door.edge_clock)
        foot = foot_patch(leg_set, leg, pit.vessel.outer_radius)
        assert hit.clearance == pytest.approx(skin_gap(patch, foot, pit.vessel.outer_radius))
        assert hit.severity == ("stop" if (hit.clearance or 0.0) < 0.0 else "warn")
        # the toe stands half the cut face from the leg's line
        face = leg_set.profile.height / math.cos(leg.top_cut)
        toe = pit.vessel.outer_radius * (math.pi - leg.contact) - face / 2.0
        assert pit.tape.length(toe) in hit.remedy
    assert "doors.over_leg" not in codes(pit_of().findings)


def test_a_shell_near_the_rails_is_told() -> None:
    low_set = {"order": {"grate_height": "21"}, "proportions": {"firebox": {"size": "16"}}}
    pit, hit = pit_of(low_set), told(low_set, "base.shell_low")
    low = pit.vessel.centre_z - pit.vessel.outer_radius
    assert hit.clearance == pytest.approx(low - pit.base.rail_top)
    assert "base.shell_low" not in codes(pit_of().findings)


def again(pit: Pit, **changes: Any) -> list[Finding]:
    """The conflicts of a pit some of whose layouts are set otherwise by hand."""
    draft = draft_of()
    for name in ("weight.empty", "doors.edge_clock"):
        draft.ledger.note(name, float(pit.reasons[name].value), because="")
    layouts = {name: getattr(pit, name) for name in ("vessel", "doors", "stack", "grates", "firebox", "leg_sets", "saddles",
                                                     "base", "throat")}  # fmt: skip
    find_conflicts(draft, Scene(**{**layouts, **changes}))
    return draft.findings


def test_a_firebox_in_the_way_of_rails_and_cross_members_is_told() -> None:
    low = {"order": {"grate_height": "32"},
           "proportions": {"firebox": {"shape": "box", "size": "28", "height": "24"}, "base": {"rails_outside": "31"}}}  # fmt: skip
    pit = pit_of(low)
    assert pit.firebox.bottom_z < pit.base.rail_top
    assert pit.base.rail_x0 >= pit.firebox.x1  # as laid out the rails end short of it
    assert "firebox.on_rail" not in codes(pit.findings)
    long = dataclasses.replace(pit.base, rail_x0=pit.firebox.x0, crosses=(CrossMember(x=-0.4, length=0.6, under="x"),))
    hits = again(pit, base=long)
    inside = pit.base.rail_y - pit.base.rail.width / 2.0
    assert found(hits, "firebox.on_rail").clearance == pytest.approx(inside - pit.firebox.width / 2.0)
    assert found(hits, "firebox.on_cross").severity == "stop"


def test_an_ash_door_that_swings_into_a_rail_is_told() -> None:
    pit = pit_of()
    past = dataclasses.replace(pit.base, rail_x0=pit.firebox.x0 - 0.3, rail_top=pit.firebox.inlet_z + 0.1)
    hit = found(again(pit, base=past), "firebox.door_and_rail")
    assert "ash door" in hit.text
    narrow = dataclasses.replace(pit.firebox, inlet_width=0.05)
    assert "firebox.door_and_rail" not in codes(again(pit, base=past, firebox=narrow))
    assert "firebox.door_and_rail" not in codes(again(pit))


def test_a_drain_over_a_cross_member_is_told() -> None:
    pit = pit_of()
    on = dataclasses.replace(pit.base, crosses=(CrossMember(x=pit.grates.drain_x + 0.02, length=0.6, under="x"),))
    hit = found(again(pit, base=on), "drain.on_cross")
    assert "over a cross member" in hit.text
    assert "drain.on_cross" not in codes(pit.findings)


def test_slides_come_out_of_their_doors() -> None:
    fine = {"order": {"levels": [{"above": "8"}], "grate_slides": True}}
    assert not {c for c in codes(pit_of(fine).findings) if c.startswith("slides")}
    sill = {"order": {"grate_slides": True}, "override": {"doors.edge_clock": "92"}}
    assert {f.severity for f in pit_of(sill).findings if f.code == "slides.sill"} == {"stop"}
    high = {"order": {"levels": [{"above": "10"}]}, "proportions": {"doors": {"hinge_clock": "35"}}}
    hits = [f for f in pit_of(high).findings if f.code == "slides.head"]
    assert [f.pieces for f in hits] == [("grate 2", "door 1"), ("grate 2", "door 2")]


def test_a_drain_on_a_saddle_is_a_stop() -> None:
    on = {"order": {"base": "saddles"}, "override": {"drain.x": "63"}}
    assert told(on, "drain.on_saddle").severity == "stop"
    assert "drain.on_saddle" not in codes(pit_of({"order": {"base": "saddles"}}).findings)


# ---------------------------------------------------------------- the way out, welds


@pytest.mark.parametrize(
    ("passage", "severity"),
    [({"width": "20"}, "stop"), ({"width": "50"}, ""), ({"height": "80"}, "stop"), ({"height": "120"}, ""),
     ({"weight": "900 lb"}, "stop"), ({"weight": "3000 lb"}, "")],
)  # fmt: skip
def test_gates_and_lifts(passage: dict[str, Any], severity: str) -> None:
    pit = pit_of({"order": {"passages": [{"name": "yard gate", **passage}]}})
    hits = [f for f in pit.findings if f.code.startswith("passage")]
    assert [f.severity for f in hits] == ([severity] if severity else [])


def test_a_gate_just_wide_enough_is_warned_of() -> None:
    width = float(pit_of().reasons["overall.width"].value)
    hit = told({"order": {"passages": [{"name": "gate", "width": f"{width + 0.01} m"}]}}, "passage.too_narrow")
    assert hit.severity == "warn"
    assert hit.clearance == pytest.approx(0.01, abs=1e-6)


def test_overall_sizes_hold_every_piece() -> None:
    pit = pit_of()
    size = {n: float(pit.reasons[f"overall.{n}"].value) for n in ("length", "width", "width_open", "height")}
    assert size["height"] >= pit.stack.top_z
    assert size["width_open"] >= size["width"] >= 2.0 * pit.vessel.outer_radius
    assert size["length"] >= pit.vessel.length - pit.firebox.x0


@pytest.mark.parametrize(
    ("changes", "code"),
    [({}, "welds.inside"), ({"proportions": {"firebox": {"joint": "dished"}}}, "welds.inside"),
     ({"proportions": {"firebox": {"double_wall": "2"}}}, "welds.double_wall")],
)  # fmt: skip
def test_welds_that_must_come_first(changes: dict[str, Any], code: str) -> None:
    assert told(changes, code).severity == "note"
    if changes.get("proportions", {}).get("firebox", {}).get("joint"):
        assert "ventilate" in told(changes, code).text
