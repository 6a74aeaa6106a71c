"""Whole pits of any vessel: sensible from the starting habits, consistent in their reasons, the same in both units."""

from __future__ import annotations

import dataclasses
import math
import re
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.errors import PitwrightError
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.masses import mass_of
from pitwright.tape import INCH
from workbench import job, merged

VESSELS: dict[str, dict[str, Any]] = {
    "20": {"vessel": {"around": "62 13/16", "wall": "3/16", "length": "48"}, "order": {"grate_height": "36"}},
    "24": {"vessel": {"around": "75 3/8", "length": "60"}, "order": {"grate_height": "36"}},
    "30": {"vessel": {"around": "94 1/4", "length": "84"}},
    "37": {"vessel": {"around": "117 13/16", "length": "108"}, "order": {"grate_height": "38"}},
    "41": {"vessel": {"around": "128 13/16", "wall": "5/16", "length": "150"}, "order": {"grate_height": "40"}},
    "48": {"vessel": {"around": "150 13/16", "wall": "3/8", "length": "192"}, "order": {"grate_height": "42"}},
    "metric": {"job": {"units": "metric"}, "vessel": {"around": 2043, "wall": 6, "length": 1750},
               "order": {"grate_height": 920}},
}  # fmt: skip
KINDS: dict[str, dict[str, Any]] = {
    "plain": {},
    "saddles": {"order": {"base": "saddles"}},
    "stand": {"order": {"base": "stand"}, "proportions": {"stand": {"stretcher": "6", "knee": "5"}}},
    "cart": {"order": {"base": "cart"}, "proportions": {"cart": {"axle_in": "1/6 seam length"}}},
    "trailer": {"order": {"base": "trailer"}},
    "reverse": {"order": {"flow": "reverse"}},
    "slides": {"order": {"grate_slides": True, "levels": [{"above": "8"}]}},
    "box": {"proportions": {"firebox": {"shape": "box"}}},
    "dished": {"proportions": {"firebox": {"joint": "dished", "double_wall": "2"}}},
    "end stack": {"proportions": {"stack": {"place": "end"}, "baffle": {"kind": "tuning plates"}}},
    "counterweights": {"proportions": {"doors": {"hold": "counterweight"}}},
}


RAISED = {"stand": 7.5, "cart": 8.5, "trailer": 15.5}  # what stands under the rails lifts the whole pit [in]


def kind(vessel: str, what: str) -> dict[str, Any]:
    raised = RAISED.get(what, 0.0)
    if not raised:
        return merged(VESSELS[vessel], KINDS[what])
    stated = VESSELS[vessel].get("order", {}).get("grate_height", "37")
    more = stated + round(raised * 25.4) if isinstance(stated, int) else f"{int(stated) + raised!r} in"
    return merged(merged(VESSELS[vessel], KINDS[what]), {"order": {"grate_height": more}})


# ---------------------------------------------------------------- starting habits


@pytest.mark.parametrize("vessel", VESSELS)
def test_an_ordinary_vessel_gives_a_pit_without_a_stop(vessel: str) -> None:
    pit = solve(job(VESSELS[vessel]))
    assert not [f.text for f in pit.findings if f.severity == "stop"]
    # what is warned of is weight the starting habits cannot help, and air for the two largest fireboxes
    warned = {f.code for f in pit.findings if f.severity == "warn"}
    assert warned <= ({"doors.heavy", "firebox.inlet_room"} if vessel in ("37", "41", "48") else set())


@pytest.mark.parametrize("what", KINDS)
@pytest.mark.parametrize("vessel", ["24", "30", "37", "metric"])
def test_nor_does_any_kind_of_pit(vessel: str, what: str) -> None:
    pit = solve(job(kind(vessel, what)))
    assert not [f.text for f in pit.findings if f.severity == "stop"]


@pytest.mark.parametrize("vessel", VESSELS)
def test_the_starting_habits_keep_proportion(vessel: str) -> None:
    pit = solve(job(VESSELS[vessel]))
    diameter = 2.0 * pit.vessel.outer_radius
    assert 0.55 <= pit.firebox.width / diameter <= 0.86
    assert 16 * INCH <= pit.firebox.depth_inside <= 40.1 * INCH
    assert pit.firebox.bottom_z >= 3 * INCH - 1e-9
    assert pit.throat.net_area == pytest.approx(0.13 * math.pi * pit.vessel.inner_radius**2)
    assert pit.throat.top < pit.grates.levels[0].above_centre - 2 * INCH
    for door in pit.doors:
        assert 20 * INCH <= door.x1 - door.x0 <= 60 * INCH
    assert pit.firebox.door_width >= 9 * INCH
    assert pit.firebox.door_height >= 5 * INCH


# ---------------------------------------------------------------- reasons


@pytest.mark.parametrize("what", KINDS)
@pytest.mark.parametrize("vessel", ["24", "37"])
def test_every_figure_rests_on_figures_that_are_there(vessel: str, what: str) -> None:
    pit = solve(job(kind(vessel, what)))
    for name, reason in pit.reasons.items():
        missing = [other for other in reason.rests_on if other not in pit.reasons]
        assert not missing, f"{name} rests on {missing}"
        assert reason.because, name
        if isinstance(reason.value, float):
            assert not math.isnan(reason.value), name


def rests_on_itself(pit: Pit, name: str, above: tuple[str, ...] = ()) -> bool:
    if name in above:
        return True
    return any(rests_on_itself(pit, other, (*above, name)) for other in pit.reasons[name].rests_on)


@pytest.mark.parametrize("what", ["plain", "saddles", "reverse", "stand", "cart", "trailer"])
def test_no_figure_rests_on_itself(what: str) -> None:
    pit = solve(job(kind("30", what)))
    assert not [name for name in pit.reasons if rests_on_itself(pit, name)]


def choices(pit: Pit) -> list[str]:
    """Names of all figures a shop may set."""
    out = []
    for name in pit.reasons:
        if name.startswith(("vessel.", "order.", "weight.", "overall.")):
            continue
        try:
            solve(pit.job.model_copy(update={"override": {name: "1"}}))
        except PitwrightError as problem:
            if "follows from others" in problem.text():
                continue
        out.append(name)
    return out


def test_every_choice_can_be_set_to_what_it_is() -> None:
    # an override at the value the rules give changes nothing but the reason
    pit = solve(job(kind("30", "slides")))
    names = choices(pit)
    assert len(names) > 20
    for name in names:
        reason = pit.reasons[name]
        if reason.measure == "text":
            continue
        typed = {"length": f"{reason.value!r} m", "angle": f"{reason.value!r} rad", "area": f"{reason.value!r} m2",
                 "mass": f"{reason.value!r} kg"}.get(reason.measure, reason.value)  # fmt: skip
        if isinstance(typed, str) and "e-" in typed:
            typed = "0"
        again = solve(pit.job.model_copy(update={"override": {name: typed}}))
        assert again.reasons[name].kind == "override"
        assert again.balance["empty"].mass == pytest.approx(pit.balance["empty"].mass, rel=1e-6), name


# ---------------------------------------------------------------- the same pit in both units, on either hand


def metric_twin(changes: dict[str, Any]) -> dict[str, Any]:
    """The same facts in millimetres."""
    sizes = {"around": 94.5, "wall": 0.25, "length": 84.0, "grate_height": 37.0} | changes
    mm = {k: v * 25.4 for k, v in sizes.items()}
    return {"job": {"units": "metric"}, "vessel": {k: mm[k] for k in ("around", "wall", "length")},
            "order": {"grate_height": mm["grate_height"]},
            # the two usual steps that follow the units of the job
            "proportions": {"stack": {"behind_top": "3 in"}}}  # fmt: skip


def inch_twin(changes: dict[str, Any]) -> dict[str, Any]:
    sizes = {"around": 94.5, "wall": 0.25, "length": 84.0, "grate_height": 37.0} | changes
    return {"vessel": {k: sizes[k] for k in ("around", "wall", "length")}, "order": {"grate_height": sizes["grate_height"]},
            "proportions": {"stack": {"behind_top": "3 in"}}}  # fmt: skip


def numbers(thing: Any) -> list[float]:
    """All numbers of a layout, in order."""
    if isinstance(thing, float):
        return [thing]
    if dataclasses.is_dataclass(thing):
        return [x for f in dataclasses.fields(thing) for x in numbers(getattr(thing, f.name))]
    if isinstance(thing, tuple):
        return [x for item in thing for x in numbers(item)]
    return []


@pytest.mark.parametrize(
    "sizes",
    [{}, {"around": 75.4, "wall": 0.3, "length": 61.0}, {"around": 118.0, "length": 100.5, "grate_height": 39.5}],
)
def test_inches_or_millimetres_are_the_same_pit(sizes: dict[str, float]) -> None:
    inch, metric = solve(job(inch_twin(sizes))), solve(job(metric_twin(sizes)))
    for name in ("vessel", "throat", "firebox", "stack", "doors", "grates", "leg_sets", "base"):
        assert numbers(getattr(metric, name)) == pytest.approx(numbers(getattr(inch, name)), rel=1e-9, abs=1e-9), name
    assert [p.mark for p in metric.parts] == [p.mark for p in inch.parts]
    for a, b in zip(metric.parts, inch.parts, strict=True):
        assert mass_of(a).mass == pytest.approx(mass_of(b).mass, rel=1e-9)
        for one, other in zip(a.placements, b.placements, strict=True):
            assert one.origin == pytest.approx(other.origin, abs=1e-9)
    assert {f.code for f in metric.findings} == {f.code for f in inch.findings}


def test_on_the_other_hand_only_the_vessel_is_turned_otherwise() -> None:
    right = solve(job(kind("30", "plain")))
    left = solve(job(merged(VESSELS["30"], {"order": {"firebox_side": "left"}})))
    assert left.vessel.hand == -right.vessel.hand
    for name in ("throat", "firebox", "stack", "doors", "grates", "leg_sets", "base"):
        assert numbers(getattr(left, name)) == pytest.approx(numbers(getattr(right, name)), abs=1e-12), name
    assert [(m.on, m.what) for m in left.marks] == [(m.on, m.what) for m in right.marks]
    assert [x for m in left.marks for x in (m.along, m.around)] == pytest.approx(
        [x for m in right.marks for x in (m.along, m.around)]
    )


# ---------------------------------------------------------------- words


PROGRAMMERS = re.compile(
    r"\b(none|null|nan|inf|tuple|list|dict|index|parameter|constraint|entity|node|mesh|vertex|instance|boolean"
    r"|azimuth|theta|radians?|module|config|default|invalid|payload|kwarg|exception)\b",
    re.IGNORECASE,
)
LONG_DECIMAL = re.compile(r"\d\.\d{4,}")


@pytest.mark.parametrize("what", KINDS)
@pytest.mark.parametrize("vessel", ["20", "48", "metric"])
def test_findings_and_reasons_are_in_the_shops_words(vessel: str, what: str) -> None:
    pit = solve(job(kind(vessel, what)))
    metric = pit.tape.system == "metric"
    said = [f"{f.text} {f.remedy}" for f in pit.findings]
    said += [f"{r.because} {r.gave_way}" for r in pit.reasons.values()]
    for text in said:
        assert not PROGRAMMERS.search(text), text
        assert not LONG_DECIMAL.search(text), text
        if metric:
            assert '"' not in text, text
            assert not re.search(r"\d (?:in|lb|ft)\b", text), text


# ---------------------------------------------------------------- anything at all


orders = st.fixed_dictionaries(
    {
        "around": st.floats(30.0, 460.0),
        "wall": st.floats(0.05, 0.7),
        "length": st.floats(10.0, 400.0),
        "grate": st.floats(12.0, 78.0),
        "base": st.sampled_from(["skid", "saddles", "stand", "cart", "trailer"]),
        "flow": st.sampled_from(["offset", "reverse"]),
        "side": st.sampled_from(["left", "right"]),
        "levels": st.lists(st.floats(1.0, 20.0), max_size=2),
        "slides": st.booleans(),
        "joint": st.sampled_from(["cut", "dished", "flat"]),
        "shape": st.sampled_from(["round", "box"]),
        "heads": st.tuples(*[st.sampled_from(["ellipsoidal", "hemispherical", "torispherical", "flat", "none"])] * 2),
        "place": st.sampled_from(["top", "end"]),
        "hold": st.sampled_from(["none", "counterweight", "prop"]),
        "baffle": st.sampled_from(["none", "tuning plates", "baffle"]),
        "seams": st.lists(st.floats(0.0, 100.0), max_size=2),
    }
)


@given(orders)
@settings(max_examples=120)
def test_random_vessels_and_orders_raise_only_our_own_errors(order: dict[str, Any]) -> None:
    changes = {
        "vessel": {
            "around": order["around"], "wall": order["wall"], "length": order["length"],
            "head_a": {"type": order["heads"][0]}, "head_b": {"type": order["heads"][1]},
            "seams": [{"kind": "long", "around": a} for a in order["seams"]],
        },
        "order": {
            "grate_height": order["grate"], "base": order["base"], "flow": order["flow"], "firebox_side": order["side"],
            "levels": [{"above": a} for a in order["levels"]], "grate_slides": order["slides"],
        },
        "proportions": {
            "firebox": {"joint": order["joint"], "shape": order["shape"]}, "stack": {"place": order["place"]},
            "doors": {"hold": order["hold"]}, "baffle": {"kind": order["baffle"]},
        },
    }  # fmt: skip
    try:
        pit: Pit | None = solve(job(changes))
    except PitwrightError as problem:
        pit = None
        told = problem
    if pit is None:
        assert told.field.split(".")[0] in ("vessel", "order", "proportions", "measured", "override"), told.text()
        assert told.message
        assert not LONG_DECIMAL.search(told.text()), told.text()
        assert told.allowed or told.remedy
        assert not PROGRAMMERS.search(told.text().replace(told.field, "")), told.text()
        return
    assert pit.balance["empty"].mass > 0.0
    assert all(part.placements for part in pit.parts)
    assert pit.grates.levels[0].z == pit.job.order.grate_height
    top = pit.grates.levels[0]
    assert top.z == pytest.approx(pit.vessel.centre_z + top.above_centre)
    for part in pit.parts:
        assert mass_of(part).mass > 0.0, part.name
    for f in pit.findings:
        assert f.text
        assert not LONG_DECIMAL.search(f.text), f.text
