"""Firebox: size, drop, throat, front, floor."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, box
from shapely.geometry import Point

from pitwright.errors import JobError, LayoutError, PitwrightError
from pitwright.layout.firebox import throat_opening
from pitwright.layout.firebox_front import DOOR_EDGE, INLET_FILL
from pitwright.layout.firebox_parts import firebox_parts
from pitwright.masses import mass_of
from pitwright.parts import Outline
from pitwright.stock import STEEL_DENSITY
from pitwright.tape import INCH
from workbench import WORKED, Upper, codes, found, merged, upper


def rules(**tables: Any) -> dict[str, Any]:
    return {"proportions": tables}


def refused(changes: dict[str, Any]) -> PitwrightError:
    with pytest.raises(PitwrightError) as caught:
        upper(changes)
    assert caught.value.field
    assert caught.value.allowed
    assert caught.value.remedy
    return caught.value


# ---------------------------------------------------------------- size


@pytest.mark.parametrize(
    ("size", "inches"),
    [("0.8 diameter", 24), ("24", 24), ("25", 24), ("25 1/4", 26), ("1 radius", 16), ("3/4 diameter", 22)],
)
def test_size_by_the_shops_share_in_steps_one_can_buy(size: str, inches: float) -> None:
    assert upper(rules(firebox={"size": size})).firebox.width == pytest.approx(inches * INCH)


def test_a_share_gives_way_to_the_floor_and_says_so() -> None:
    low = {"order": {"grate_height": "31"}}
    pit = upper(low)
    assert pit.firebox.width < 24 * INCH
    assert pit.firebox.bottom_z >= 3.0 * INCH
    reason = pit.draft.ledger.close()["firebox.width"]
    assert '24"' in reason.gave_way
    assert "firebox.floor" not in codes(pit.draft.findings)
    # one step larger would not have cleared
    larger = upper(merged(low, rules(firebox={"size": f"{pit.firebox.width / INCH + 2:.0f}"})))
    assert larger.firebox.bottom_z < 3.0 * INCH


def test_a_stated_size_is_kept_and_the_floor_told() -> None:
    pit = upper({"order": {"grate_height": "31"}, **rules(firebox={"size": "24"})})
    assert pit.firebox.width == pytest.approx(24 * INCH)
    told = found(pit.draft.findings, "firebox.floor")
    assert told.severity == "warn"
    assert "lowest grate" in told.remedy


def test_a_firebox_below_the_floor_is_a_stop_in_plain_words() -> None:
    pit = upper({"order": {"grate_height": "26"}, **rules(firebox={"size": "24"})})
    told = found(pit.draft.findings, "firebox.floor")
    assert told.severity == "stop"
    assert "below the floor" in told.text
    assert "-" not in told.text.split("below")[0].replace("-1", "").replace("-3", "").replace("-5", "").replace(
        "-7", ""
    )


def test_a_long_vessel_does_not_make_a_firebox_no_arm_reaches_into() -> None:
    pit = upper({"vessel": {"length": "192"}})
    assert pit.firebox.depth_inside == pytest.approx(40 * INCH)
    assert "longer than a log" in pit.draft.ledger.close()["firebox.length"].gave_way
    assert upper(
        {"vessel": {"length": "192"}, **rules(firebox={"length": "50"})}
    ).firebox.depth_inside == pytest.approx(50 * INCH)


def test_a_box_is_as_high_as_wide_unless_the_shop_says() -> None:
    pit = upper(rules(firebox={"shape": "box", "size": "22"}))
    assert (pit.firebox.width, pit.firebox.height) == (pytest.approx(22 * INCH), pytest.approx(22 * INCH))
    pit = upper(rules(firebox={"shape": "box", "size": "22", "height": "18"}))
    assert pit.firebox.height == pytest.approx(18 * INCH)
    low = {"order": {"grate_height": "30"}, **rules(firebox={"shape": "box"})}
    pit = upper(low)
    assert pit.firebox.bottom_z >= 3.0 * INCH
    assert pit.firebox.width == pytest.approx(24 * INCH)
    assert pit.firebox.height < pit.firebox.width


@pytest.mark.parametrize("size", ["-24", "0 radius", "3", "9 diameter"])
def test_sizes_that_are_no_firebox(size: str) -> None:
    assert refused(rules(firebox={"size": size})).field == "proportions.firebox.size"


@pytest.mark.parametrize("length", ["-10", "0", "2", "500"])
def test_lengths_that_are_no_firebox(length: str) -> None:
    assert refused(rules(firebox={"length": length})).field == "proportions.firebox.length"


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("firebox.width", "-3"), ("firebox.length", "1"), ("firebox.drop", "-2"), ("throat.wanted", "0"), ("throat.dam", "90"),
        ("firebox.fire_grate", "0"), ("firebox.door_width", "60"), ("firebox.door_height", "0"), ("firebox.inlet_area", "0"),
    ],
)  # fmt: skip
def test_overrides_are_held_to_what_can_be_built(name: str, typed: str) -> None:
    problem = refused({"override": {name: typed}})
    assert isinstance(problem, JobError)
    assert problem.field == f"override.{name}"


@pytest.mark.parametrize(
    ("name", "typed", "take"),
    [
        ("firebox.width", "26", lambda p: p.firebox.width / INCH),
        ("firebox.length", "33", lambda p: p.firebox.depth_inside / INCH),
        ("firebox.drop", "17", lambda p: p.firebox.drop / INCH),
        ("throat.wanted", "100", lambda p: p.throat.net_area / INCH**2),
        ("firebox.fire_grate", "8", lambda p: p.firebox.ash_depth / INCH),
        ("firebox.door_height", "9", lambda p: p.firebox.door_height / INCH),
        ("firebox.inlet_area", "20", lambda p: p.firebox.inlet_area / INCH**2),
    ],
)
def test_overrides_are_taken(name: str, typed: str, take: Any) -> None:
    assert take(upper({"override": {name: typed}})) == pytest.approx(float(typed))


# ---------------------------------------------------------------- throat


@pytest.mark.parametrize("share", [0.06, 0.13, 0.2])
@pytest.mark.parametrize("shape", ["lens", "segment", "rectangle"])
@pytest.mark.parametrize("fire", ["round", "box"])
def test_the_throat_has_the_wanted_area_over_its_dam(share: float, shape: str, fire: str) -> None:
    pit = upper(rules(throat={"share": share, "shape": shape}, firebox={"shape": fire}))
    throat, inner = pit.throat, pit.vessel.inner_radius
    assert throat.wanted_area == pytest.approx(share * math.pi * inner**2)
    assert throat.net_area == pytest.approx(throat.wanted_area, rel=1e-6)
    assert throat.bottom == pytest.approx(-inner + throat.dam)
    assert Outline(throat.points, throat.bulges).perimeter == pytest.approx(throat.perimeter)
    assert throat_opening(throat).area == throat.net_area
    # every point of it lies in both rounds (or round and box)
    drawn = Polygon(throat_opening(throat).outline)
    vessel = Point(0.0, 0.0).buffer(inner + 1e-6, quad_segs=512)
    fire_inside = Point(0.0, -pit.firebox.drop).buffer(pit.firebox.inside_width / 2.0 + 1e-6, quad_segs=512)
    if fire == "box":
        half, tall = pit.firebox.inside_width / 2.0 + 1e-6, pit.firebox.inside_height / 2.0 + 1e-6
        fire_inside = box(-half, -pit.firebox.drop - tall, half, -pit.firebox.drop + tall)
    assert drawn.difference(vessel.intersection(fire_inside)).area < 1e-5
    assert throat.gross_area >= throat.net_area
    assert "throat.area" not in codes(pit.draft.findings)


def test_a_stated_drop_gives_the_throat_it_gives() -> None:
    pit = upper(rules(firebox={"drop": "17", "size": "24"}))
    assert pit.firebox.drop == pytest.approx(17 * INCH)
    assert pit.throat.net_area > pit.throat.wanted_area
    assert found(pit.draft.findings, "throat.area").severity == "note"
    pit = upper(rules(firebox={"drop": "20", "size": "24"}))
    assert found(pit.draft.findings, "throat.area").severity == "warn"


def test_a_throat_near_the_grate_is_told() -> None:
    pit = upper(rules(firebox={"drop": "14", "size": "24"}))
    told = found(pit.draft.findings, "throat.over_grate")
    assert "deflector" in told.remedy
    top = -14 * INCH + pit.firebox.inside_width / 2.0
    assert told.clearance == pytest.approx(-1 * INCH - top)


def test_a_dam_over_the_opening_is_refused() -> None:
    problem = refused(rules(throat={"dam": "7"}, firebox={"drop": "22", "size": "24"}))
    assert isinstance(problem, LayoutError)
    assert problem.field == "proportions.throat.dam"


@given(st.floats(0.6, 1.6))
@settings(max_examples=20)
def test_a_larger_vessel_of_one_shape_has_a_larger_throat_of_one_shape(by: float) -> None:
    sizes = {"vessel": {"around": 94.5 * by, "wall": 0.25 * by, "length": 84 * by}, "order": {"grate_height": 37 * by},
             **rules(grates={"below_centre": 1.0 * by}, throat={"dam": 2.0 * by, "plate": 0.375 * by},
                     firebox={"round_to": 2.0 * by, "wall": 0.375 * by})}  # fmt: skip
    one, other = upper(), upper(sizes)
    assert other.throat.net_area == pytest.approx(one.throat.net_area * by**2, rel=1e-6)
    for name in ("top", "bottom", "widest", "widest_at", "dam"):
        assert getattr(other.throat, name) == pytest.approx(getattr(one.throat, name) * by, rel=1e-6)
    assert other.firebox.drop == pytest.approx(one.firebox.drop * by, rel=1e-6)
    assert other.firebox.width == pytest.approx(one.firebox.width * by, rel=1e-9)


# ---------------------------------------------------------------- front and inside


def check_front(pit: Upper) -> None:
    """Openings of the outer end lie inside the firebox with steel round them, apart from each other."""
    fire, c = pit.firebox, pit.firebox.centre_z
    inside = Point(0.0, 0.0).buffer(fire.inside_width / 2.0 - 0.99 * DOOR_EDGE, quad_segs=256)
    if fire.shape == "box":
        half = fire.inside_width / 2.0 - 0.99 * DOOR_EDGE
        inside = box(-half, -fire.inside_height / 2.0, half, fire.inside_height / 2.0 - 0.99 * DOOR_EDGE)
    door = box(-fire.door_width / 2.0, fire.door_z - c, fire.door_width / 2.0, fire.door_z + fire.door_height - c)
    wide = fire.inlets * fire.inlet_width / INLET_FILL
    tall = fire.ash_height or fire.inlet_height
    ash = box(-wide / 2.0, fire.inlet_z - tall / 2.0 - c, wide / 2.0, fire.inlet_z + tall / 2.0 - c)
    for opening in (door, ash):
        corners = (Point(x, y) for x, y in opening.exterior.coords)
        assert all(inside.covers(p) for p in corners)
    assert door.distance(ash) > 1.0 * INCH
    assert fire.inlet_height <= tall + 1e-9
    assert fire.inlets * fire.inlet_width * fire.inlet_height == pytest.approx(fire.inlet_area)
    # the fire grate lies on the round, under the door
    assert fire.grate_z < fire.door_z
    assert math.hypot(fire.grate_width / 2.0, fire.grate_z - c) < fire.inside_width / 2.0 * (
        1.0 if fire.shape == "round" else 2.0
    )
    assert fire.grate_z == pytest.approx(c - fire.inside_height / 2.0 + fire.ash_depth)


@pytest.mark.parametrize("shape", ["round", "box"])
@pytest.mark.parametrize("size", ["14", "18", "24", "30"])
@pytest.mark.parametrize("ash", ["0", "4", "7"])
def test_the_front_fits_the_firebox(shape: str, size: str, ash: str) -> None:
    pit = upper({"order": {"grate_height": "42"}, **rules(firebox={"shape": shape, "size": size, "ash_height": ash})})
    check_front(pit)


@given(
    st.floats(0.45, 1.1), st.floats(0.06, 0.25), st.floats(0.0, 8.0), st.floats(4.0, 20.0), st.floats(1.0, 20.0),
    st.sampled_from(["round", "box"]), st.integers(1, 4),
)  # fmt: skip
@settings(max_examples=60)
def test_any_firebox_fits_or_is_refused_in_words(
    share: float, throat: float, ash: float, door: float, up: float, shape: str, inlets: int
) -> None:
    changes = {"order": {"grate_height": "44"},
               **rules(firebox={"shape": shape, "size": f"{share:.3f} diameter", "ash_height": ash, "door_height": door,
                                "fire_grate_up": up, "inlets": inlets}, throat={"share": throat})}  # fmt: skip
    try:
        pit = upper(changes)
    except PitwrightError as problem:
        pit = None
        text = problem.text()
    if pit is None:
        assert "proportions." in text
    else:
        check_front(pit)


def test_inlets_by_share_or_as_many_as_there_is_room_for() -> None:
    pit = upper()
    assert pit.firebox.inlet_area == pytest.approx(0.045 * math.pi * pit.vessel.inner_radius**2)
    pit = upper(rules(firebox={"inlet_share": 0.12}))
    told = found(pit.draft.findings, "firebox.inlet_room")
    assert pit.firebox.inlet_area < 0.12 * math.pi * pit.vessel.inner_radius**2
    assert f"{pit.firebox.inlet_area / INCH**2:.1f} in²" in told.text


def test_no_room_for_a_door_or_an_inlet_is_refused() -> None:
    assert refused(rules(firebox={"fire_grate_up": "21"})).field == "proportions.firebox.size"
    assert refused(rules(firebox={"fire_grate_up": "60"})).field == "proportions.firebox.fire_grate_up"
    low = rules(firebox={"shape": "box", "fire_grate_up": "1", "ash_height": "0"})
    assert refused(low).field == "proportions.firebox.fire_grate_up"


def parts_of(changes: dict[str, Any] | None = None) -> tuple[Upper, dict[str, Any]]:
    pit = upper(changes)
    before = len(pit.draft.parts)
    firebox_parts(pit.draft, pit.vessel, pit.firebox, pit.throat)
    return pit, {p.name: p for p in pit.draft.parts[before:]}


def test_the_body_is_a_pipe_of_its_length() -> None:
    pit, parts = parts_of()
    fire = pit.firebox
    section = math.pi / 4.0 * (fire.width**2 - fire.inside_width**2)
    assert mass_of(parts["firebox body"]).mass == pytest.approx(section * fire.depth_inside * STEEL_DENSITY, rel=2e-3)
    (at,) = parts["firebox body"].placements
    assert at.origin == pytest.approx((fire.x0 + fire.end_plate, 0.0, fire.centre_z))


def test_box_plates_close_the_box_and_weigh_it() -> None:
    pit, parts = parts_of(rules(firebox={"shape": "box", "size": "24", "height": "20"}))
    fire = pit.firebox
    ring = fire.width * fire.height - fire.inside_width * fire.inside_height
    total = sum(mass_of(parts[n]).mass * parts[n].quantity for n in ("firebox bottom", "firebox roof", "firebox side"))
    assert total == pytest.approx(ring * fire.depth_inside * STEEL_DENSITY, rel=1e-9)


@pytest.mark.parametrize("shape", ["round", "box"])
def test_a_double_wall_keeps_its_gap(shape: str) -> None:
    changes = {"order": {"grate_height": "42"}, **rules(firebox={"shape": shape, "double_wall": "2", "size": "22"})}
    pit, parts = parts_of(changes)
    fire = pit.firebox
    assert fire.bottom_z == pytest.approx(fire.centre_z - fire.height / 2.0 - 2.125 * INCH)
    assert {"firebox insulation"} <= set(parts)
    assert any("outer skin" in name for name in parts)
    single, _ = parts_of({"order": {"grate_height": "42"}, **rules(firebox={"shape": shape, "size": "22"})})
    assert single.firebox.bottom_z > fire.bottom_z


def test_grate_bars_lie_inside_the_round_and_meet_the_grate_height() -> None:
    pit, parts = parts_of()
    fire, bars = pit.firebox, parts["fire grate bar"]
    radius = fire.inside_width / 2.0
    for at in bars.placements:
        y, z = at.origin[1], at.origin[2] - fire.centre_z
        assert math.hypot(y, z) + bars.shape.profile.height / 2.0 < radius
        assert at.origin[2] + bars.shape.profile.height / 2.0 == pytest.approx(fire.grate_z)
    gaps = {round((b.origin[1] - a.origin[1]) / INCH, 6) for a, b in pairwise(bars.placements)}
    assert gaps == {1.5}


def test_door_leaves_lap_their_openings_and_stay_on_the_end_plate() -> None:
    pit, parts = parts_of()
    fire = pit.firebox
    plate = Polygon(parts["firebox end plate"].shape.outline.flattened(1e-4)).buffer(1e-5)
    for name in ("fire door", "ash door"):
        leaf = Polygon(parts[name].shape.outline.points)
        assert plate.covers(leaf)
    holes = [Polygon(hole.points) for hole in parts["firebox end plate"].shape.outline.holes]
    leaves = [Polygon(parts[n].shape.outline.points) for n in ("fire door", "ash door")]
    for leaf, hole in zip(leaves, holes, strict=True):
        assert leaf.covers(hole)
    assert leaves[0].distance(leaves[1]) > 0.0
    assert fire.door_width == pytest.approx(holes[0].bounds[2] * 2.0)


def test_the_worked_job_has_nothing_to_say() -> None:
    pit, _ = parts_of(WORKED)
    assert not [f for f in pit.draft.findings if f.code.startswith(("firebox", "throat"))]
