"""The stack: which pipe, where it stands, its cope and hole, out of the end, over the fire end."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.errors import LayoutError, PitwrightError
from pitwright.layout.patches import Patch, skin_gap
from pitwright.layout.stack import hole_clocks, stack_hole, stack_parts
from pitwright.meridian import head_form
from pitwright.parts import Bar, CylinderCut, HeadCut, PlaneCut
from pitwright.tape import INCH
from workbench import Upper, codes, merged, upper


def stack(**lines: Any) -> dict[str, Any]:
    return {"proportions": {"stack": lines}}


VESSELS = {
    "20": {"vessel": {"around": "62 13/16", "wall": "3/16", "length": "48"}, "order": {"grate_height": "36"}},
    "24": {"vessel": {"around": "75 3/8", "length": "60"}, "order": {"grate_height": "36"}},
    "30": {},
    "37": {"vessel": {"around": "117 13/16", "length": "108"}, "order": {"grate_height": "38"}},
    "41": {"vessel": {"around": "128 13/16", "wall": "5/16", "length": "150"}, "order": {"grate_height": "40"}},
    "48": {"vessel": {"around": "150 13/16", "wall": "3/8", "length": "192"}, "order": {"grate_height": "42"}},
    "metric": {"job": {"units": "metric"}, "vessel": {"around": 2043, "wall": 6, "length": 1750},
               "order": {"grate_height": 920}},
}  # fmt: skip


def parts_of(changes: dict[str, Any]) -> tuple[Upper, dict[str, Any]]:
    pit = upper(changes)
    before = len(pit.draft.parts)
    stack_parts(pit.draft, pit.vessel, pit.stack)
    return pit, {p.name: p for p in pit.draft.parts[before:]}


# ---------------------------------------------------------------- which pipe


@pytest.mark.parametrize(
    ("vessel", "pipe"),
    [("20", "5 in sch 40"), ("24", "6 in sch 40"), ("30", "8 in sch 20"), ("37", "10 in sch 20"), ("41", "10 in sch 20"),
     ("48", "14 in sch 20"), ("metric", "6 in sch 40")],
)  # fmt: skip
def test_the_pipe_nearest_to_the_shops_share(vessel: str, pipe: str) -> None:
    pit = upper(VESSELS[vessel])
    assert pit.stack.profile.designation.startswith(pipe)
    share = pit.stack.inside_area / (math.pi * pit.vessel.inner_radius**2)
    assert 0.055 < share < 0.095


def test_the_shops_own_pipe_is_kept() -> None:
    assert upper(stack(profile="6 sch 40 pipe")).stack.profile.height == pytest.approx(6.625 * INCH)
    assert upper({"override": {"stack.area": "80"}}).stack.profile.designation.startswith("10 in sch 20")


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        (stack(profile="4 x 4 x 1/4 tube"), "proportions.stack.profile"),
        (stack(profile="8 sch pipe x"), "proportions.stack.profile"),
        (stack(profile="36 OD x 3/8 pipe"), "proportions.stack.profile"),
        (stack(profile="30 OD x 1/4 pipe", place="end"), "proportions.stack.profile"),
        (stack(profile="12 sch 20 pipe", behind_top="12"), "proportions.stack.behind_top"),
        ({"order": {"flow": "reverse"}, **stack(place="end")}, "proportions.stack.place"),
        ({"override": {"stack.height": "1"}}, "override.stack.height"),
        ({"override": {"stack.behind_top": "14"}}, "override.stack.behind_top"),
        ({"override": {"stack.x": "-4"}}, "override.stack.x"),
        ({"override": {"stack.end_height": "20"}, **stack(place="end")}, "override.stack.end_height"),
    ],
)
def test_stacks_that_cannot_be(changes: dict[str, Any], field: str) -> None:
    with pytest.raises(PitwrightError) as caught:
        upper(changes)
    assert caught.value.field == field
    assert caught.value.allowed


# ---------------------------------------------------------------- where it stands


@pytest.mark.parametrize("vessel", VESSELS)
@pytest.mark.parametrize("flow", ["offset", "reverse"])
def test_it_stands_just_far_enough_behind_for_edge_and_swing(vessel: str, flow: str) -> None:
    changes = merged(VESSELS[vessel], {"order": {"flow": flow}})
    pit = upper(changes)
    assert clear_of_doors(pit)
    step = 0.25 if vessel != "metric" else 5.0
    behind = -pit.stack.y / (INCH if vessel != "metric" else 0.001)
    assert behind / step == pytest.approx(round(behind / step))
    if behind > 0.0:
        assert not clear_of_doors(upper(merged(changes, stack(behind_top=behind - step))))
    reason = pit.draft.ledger.close()["stack.behind_top"]
    assert reason.kind == "solved"
    assert ("door" in reason.because) == (behind > 0.0)
    seam = 0.0 if flow == "reverse" else pit.vessel.length
    assert abs(pit.stack.x - seam) >= pit.stack.profile.height / 2.0 + 2.25 * INCH - 1e-9


def clear_of_doors(pit: Upper) -> bool:
    """By the door layouts and the tape distance between hole and opening."""
    rules, radius = pit.draft.rules, pit.vessel.outer_radius
    back, front = hole_clocks(pit.stack, pit.vessel)
    half = pit.stack.hole_along / 2.0
    hole = Patch(name="", x0=pit.stack.x - half, x1=pit.stack.x + half, clock0=back, clock1=front)
    for door in pit.doors:
        opening = Patch(name="", x0=door.x0, x1=door.x1, clock0=door.hinge_clock, clock1=door.edge_clock)
        if skin_gap(hole, opening, radius) < rules.shop.ligament - 1e-9:
            return False
        stop = rules.doors.open_stop + rules.doors.touch_clear
        if any(t.travel < stop - 1e-9 for t in door.touches if t.against == "stack"):
            return False
    return True


def test_a_wide_stack_moves_in_from_its_seam_and_says_so() -> None:
    pit = upper(stack(profile="14 sch 20 pipe", at="8"))
    assert pit.vessel.length - pit.stack.x == pytest.approx((7.0 + 2.0 + 0.25) * INCH)
    assert '8"' in pit.draft.ledger.close()["stack.x"].gave_way


def test_stated_places_are_kept() -> None:
    pit = upper({"override": {"stack.x": "60", "stack.height": "48"}, **stack(behind_top="5", profile="8 sch 20 pipe")})
    assert pit.stack.x == pytest.approx(60 * INCH)
    assert pit.stack.y == pytest.approx(-5 * INCH)
    assert pit.stack.top_z == pytest.approx(pit.vessel.centre_z + pit.vessel.outer_radius + 48 * INCH)
    assert math.sin(pit.stack.clock) * pit.vessel.outer_radius == pytest.approx(-5 * INCH)


# ---------------------------------------------------------------- cope and hole


@pytest.mark.parametrize("behind", ["0", "2", "4", "6"])
@pytest.mark.parametrize("reach_in", ["0", "1"])
def test_the_cope_lies_on_the_skin_all_round(behind: str, reach_in: str) -> None:
    pit, parts = parts_of(stack(profile="8 sch 20 pipe", behind_top=behind, reach_in=reach_in))
    made, laid = parts["stack"], pit.stack
    bar = made.shape
    assert isinstance(bar, Bar)
    (at,) = made.placements
    r, radius = laid.profile.height / 2.0, pit.vessel.outer_radius
    # ordinates: the pipe's end falls away from its shortest side as the skin does
    fall = []
    for i in range(16):
        clock = 2.0 * math.pi * i / 16
        y = laid.y + r * math.sin(clock)
        fall.append(math.sqrt(radius**2 - y * y))
    assert laid.ordinates == pytest.approx([max_of(pit) - f for f in fall], abs=1e-9)
    assert laid.step == pytest.approx(math.pi * laid.profile.height / 16)
    assert at.point((bar.x1, 0.0, 0.0))[2] == pytest.approx(laid.top_z)
    if reach_in == "0":
        assert isinstance(bar.start, CylinderCut)
        axis, point = at.direction(bar.start.axis), at.point(bar.start.point)
        assert abs(axis[0]) == pytest.approx(1.0)
        assert point[1:] == pytest.approx((0.0, pit.vessel.centre_z))
        assert bar.start.radius == pytest.approx(radius)
        assert laid.inlet_z == pytest.approx(pit.vessel.centre_z + min(fall), abs=1e-9)
    else:
        assert isinstance(bar.start, PlaneCut)
        wall = math.sqrt(radius**2 - laid.y**2) - pit.vessel.wall
        assert laid.inlet_z == pytest.approx(pit.vessel.centre_z + wall - INCH)
    assert laid.length == pytest.approx(laid.top_z - laid.inlet_z)
    assert at.point((0.0, 0.0, 0.0))[1] == pytest.approx(laid.y)


def max_of(pit: Upper) -> float:
    """Height of the skin where the pipe is shortest [m]."""
    r, y0 = pit.stack.profile.height / 2.0, pit.stack.y
    ys = np.clip(np.linspace(y0 - r, y0 + r, 20001), None, None)
    return float(np.sqrt(pit.vessel.outer_radius**2 - ys**2).max())


@given(st.floats(0.0, 7.0), st.floats(2.0, 5.0))
def test_the_hole_is_where_the_pipe_meets_the_skin(behind: float, size: float) -> None:
    pit = upper(stack(profile=f"{2 * size:.3f} OD x 1/4 round tube", behind_top=behind))
    laid, radius = pit.stack, pit.vessel.outer_radius
    r = laid.profile.height / 2.0
    turn = np.linspace(0.0, 2.0 * math.pi, 20001)
    y = laid.y + r * np.sin(turn)
    clocks = np.arcsin(y / radius)
    assert laid.hole_around == pytest.approx(radius * (clocks.max() - clocks.min()), rel=1e-6)
    assert laid.hole_along == pytest.approx(2.0 * r, rel=1e-9)
    assert hole_clocks(laid, pit.vessel) == pytest.approx((clocks.min(), clocks.max()), abs=1e-6)


@pytest.mark.parametrize("behind", ["0", "5"])
def test_the_hole_through_the_shell_is_the_bore(behind: str) -> None:
    pit, _ = parts_of(stack(profile="8 sch 20 pipe", behind_top=behind))
    cut = stack_hole(pit.stack, pit.vessel)
    assert cut is not None
    assert cut.point[:2] == pytest.approx((pit.stack.x, pit.stack.y))
    assert cut.radius == pytest.approx(pit.stack.profile.height / 2.0 - pit.stack.profile.wall)
    opening = next(o for o in pit.draft.openings if o.name == "stack hole")
    arounds = [a / pit.vessel.outer_radius for _, a in opening.outline]
    ys = [pit.vessel.outer_radius * math.sin(a) for a in arounds]
    assert max(ys) - min(ys) == pytest.approx(2.0 * cut.radius, rel=2e-3)
    assert opening.area == pytest.approx(pit.stack.inside_area)


# ---------------------------------------------------------------- out of the end


@pytest.mark.parametrize("head", ["ellipsoidal", "hemispherical", "torispherical", "flat", "none"])
@pytest.mark.parametrize("below", ["1", "-4"])
def test_an_end_stack_starts_on_the_end_and_its_pieces_meet(head: str, below: str) -> None:
    flange = "1" if head in ("ellipsoidal", "torispherical") else "0"
    pit, parts = parts_of(
        {"vessel": {"head_b": {"type": head, "flange": flange}},
         "proportions": {"stack": {"place": "end"}, "grates": {"below_centre": below}}}
    )  # fmt: skip
    laid, stub, riser = pit.stack, parts["stack stub"], parts["stack riser"]
    (at,), (up,) = stub.placements, riser.placements
    v = laid.base_z - pit.vessel.centre_z
    body = pit.vessel.stack_head
    if body is None:
        outside = pit.draft.rules.firebox.end_plate  # the plate that closes the open end
    elif body.kind == "flat":
        outside = body.depth
    else:
        outside = head_form(body).outside_height(abs(v))
    face = at.point((stub.shape.x0, 0.0, 0.0))
    assert face[0] == pytest.approx(pit.vessel.stack_tangent + outside, abs=1e-6)
    assert isinstance(stub.shape.start, PlaneCut if head in ("flat", "none") else HeadCut)
    # stub and riser end on one mitre plane at their common corner
    corner = at.point((stub.shape.x1, 0.0, 0.0))
    assert corner == pytest.approx(up.point((riser.shape.x0, 0.0, 0.0)))
    one, other = at.direction(stub.shape.finish.normal), up.direction(riser.shape.start.normal)
    assert tuple(-c for c in other) == pytest.approx(one)
    assert up.point((riser.shape.x1, 0.0, 0.0)) == pytest.approx((laid.x, 0.0, laid.top_z))
    # the riser stands clear of the head, the stub inside the round
    deepest = pit.vessel.stack_tangent + (outside if body is None else body.depth)
    assert laid.x - laid.profile.height / 2.0 == pytest.approx(deepest + 2 * INCH)
    assert abs(v) + laid.profile.height / 2.0 < pit.vessel.inner_radius
    assert laid.length == pytest.approx(riser.shape.x1 + laid.profile.height / 2.0)
    assert stack_hole(laid, pit.vessel) is None
    assert next(o for o in pit.draft.openings if o.name == "stack hole").on == "stack end"


def test_an_end_stack_draws_at_the_main_grate() -> None:
    pit = upper(stack(place="end"))
    assert pit.stack.base_z > pit.vessel.centre_z + pit.grates.levels[0].above_centre


def test_no_door_swing_meets_an_end_stack() -> None:
    assert {t.against for d in upper(stack(place="end")).doors for t in d.touches} == {"vessel skin"}


# ---------------------------------------------------------------- damper, cap, words


def test_damper_and_cap_fit_the_pipe() -> None:
    pit, parts = parts_of({})
    bore = pit.stack.profile.height - 2.0 * pit.stack.profile.wall
    blade = parts["damper blade"].shape.outline
    assert blade.bounds()[2] == pytest.approx(bore / 2.0 - 0.125 * INCH)
    assert parts["rain cap"].placements[0].origin[2] == pytest.approx(pit.stack.top_z)
    _, bare = parts_of(stack(damper="none", cap="none"))
    assert set(bare) == {"stack"}


def test_metric_reasons_are_in_millimetres() -> None:
    pit = upper(merged(VESSELS["metric"], stack(at=230)))
    reason = pit.draft.ledger.close()["stack.x"].because
    assert "230 mm from the stack seam" in reason


@given(
    st.floats(60.0, 160.0),
    st.floats(40.0, 200.0),
    st.floats(0.02, 0.4),
    st.floats(2.0, 30.0),
    st.booleans(),
    st.booleans(),
)
@settings(max_examples=40)
def test_any_stack_solves_or_is_refused_in_words(
    around: float, length: float, share: float, at: float, end: bool, reverse: bool
) -> None:
    changes = {"vessel": {"around": around, "length": length},
               "order": {"grate_height": 45, "flow": "reverse" if reverse else "offset"},
               **stack(share=share, at=at, place="end" if end else "top")}  # fmt: skip
    try:
        pit: Upper | None = upper(changes)
    except PitwrightError as problem:
        pit = None
        assert isinstance(problem, LayoutError)  # noqa: PT017
    if pit is not None:
        assert pit.stack.length > 0.0
        assert "stack.pipe" in pit.draft.ledger.close()
        assert not {c for c in codes(pit.draft.findings) if c.startswith("stack")}
