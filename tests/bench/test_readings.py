"""Typing back what a dimension shows moves nothing, whatever way the drawing shows the figure."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from xml.etree import ElementTree

import pytest

from bench_jobs import NAMES, pit
from pitwright.bench.dims import live_dims
from pitwright.bench.drawings import VIEWS, as_svg, lettered, ratio_for
from pitwright.bench.handles import grips
from pitwright.bench.readings import figure_in, typed
from pitwright.bench.remedies import with_edits
from pitwright.errors import JobError, PitwrightError
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.tape import INCH

LYING = [n for n in NAMES if not n.startswith("upright")]


def shown(p: Pit) -> Iterator[tuple[str, str]]:
    """(figure, text) of every dimension, grip and live dimension a person can press."""
    for view in VIEWS:
        svg = ElementTree.fromstring(as_svg(lettered(p, view), ratio_for(p, view)))
        for node in svg.iter("{http://www.w3.org/2000/svg}text"):
            if node.get("data-about"):
                yield str(node.get("data-about")), "".join(node.itertext())
    for one in grips(p):
        if one.name in p.reasons:
            yield one.name, one.text or p.tape.figure(one.value, one.measure)
        for line in live_dims(p, one.id):
            if line.name:
                yield line.name, line.text


@pytest.mark.parametrize("name", LYING)
def test_typing_back_what_is_shown_moves_nothing(name: str) -> None:
    p = pit(name)
    told = 0
    for figure, text in sorted(set(shown(p))):
        try:
            edits = typed(p, figure, text, text)
            after = solve(with_edits(p.job, edits))
        except PitwrightError:
            continue  # it follows from others, or holds no size
        if figure == "firebox.inlet_area":  # the figure is what is wanted, the drawing shows what there is room for
            assert after.firebox.inlet_area == pytest.approx(p.firebox.inlet_area, rel=0.01)
            continue
        old, new = p.reasons[figure], after.reasons[figure]
        assert isinstance(old.value, float)
        assert isinstance(new.value, float)
        room = {"length": p.tape.step, "angle": math.radians(0.2)}.get(old.measure, 0.01 * abs(old.value))
        assert abs(new.value - old.value) <= room, (figure, text, edits)
        told += 1
    assert told >= 15


def after(p: Pit, name: str, text: str, was: str = "") -> Pit:
    return solve(with_edits(p.job, typed(p, name, text, was)))


def test_a_stack_is_typed_over_the_shell_or_over_the_floor() -> None:
    p = pit("orchard-30")
    assert after(p, "stack.height", "40", '38"').stack.top_z == pytest.approx(p.stack.top_z + 2.0 * INCH)
    assert after(p, "stack.height", 'stack top  95"', 'stack top  91"').stack.top_z == pytest.approx(
        95.0 * INCH, abs=1e-4
    )
    assert after(p, "stack.height", "95").stack.top_z == pytest.approx(95.0 * INCH, abs=1e-4), "the nearest reading"
    assert after(p, "stack.height", "40").reasons["stack.height"].value == pytest.approx(40.0 * INCH)


def test_a_station_is_pulled_from_the_datum() -> None:
    p = pit("orchard-30")
    moved = after(p, "stack.x", "12", 'station 10"')
    assert moved.vessel.station(moved.stack.x) == pytest.approx(12.0 * INCH)
    across = after(p, "stack.x", 'station 80"', 'station 10"')
    assert across.vessel.station(across.stack.x) == pytest.approx(80.0 * INCH)


def test_a_doors_edge_is_typed_round_the_skin_by_its_height_or_by_its_angle() -> None:
    p = pit("yard-37")
    door, vessel = p.doors[0], p.vessel
    around = p.tape.length(vessel.around_at(door.hinge_clock))
    moved = after(p, "doors.hinge_clock", "6", f"{around} from the top line")
    assert moved.vessel.around_at(moved.doors[0].hinge_clock) == pytest.approx(6.0 * INCH, abs=1e-5)
    assert after(p, "doors.hinge_clock", "20°").doors[0].hinge_clock == pytest.approx(math.radians(20.0))
    high = vessel.centre_z + vessel.outer_radius * math.cos(door.edge_clock)
    lower = after(p, "doors.edge_clock", p.tape.length(high - INCH), f"door edge  {p.tape.length(high)}")
    level = lower.vessel.centre_z + lower.vessel.outer_radius * math.cos(lower.doors[0].edge_clock)
    assert level == pytest.approx(high - INCH, abs=p.tape.step)


def test_an_upper_grate_is_typed_off_the_floor_or_over_the_main_grate() -> None:
    p = pit("orchard-30")
    assert after(p, "grates.grate 2.height", 'grate 2  46"', 'grate 2  45"').grates.levels[1].z == pytest.approx(
        46.0 * INCH
    )
    assert after(p, "grates.grate 2.height", "9", '8-1/2" over the main grate').grates.levels[1].z == pytest.approx(
        p.grates.levels[0].z + 9.0 * INCH
    )


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ('door 3  7"', 7.0),
        ('4-9/16" from the top line', 4.5625),
        ('station 10"', 10.0),
        ('grate 2  45-1/2"', 45.5),
        ("firebox end  126 9/16", 126.5625),
        ("38", 38.0),
        ("-3 1/4", -3.25),
    ],
)
def test_the_size_is_found_among_the_words(text: str, inches: float) -> None:
    assert figure_in(text, "length", pit("orchard-30"), "")[0] == pytest.approx(inches * INCH)


def test_what_holds_no_size_is_told() -> None:
    with pytest.raises(PitwrightError, match="length"):
        typed(pit("orchard-30"), "stack.height", "tall", "")
    with pytest.raises(JobError, match="nothing of its own"):
        typed(pit("orchard-30"), "stack.height", " ")
    assert re.match("override", typed(pit("orchard-30"), "stack.height", "41", '38"')[0]["path"][0])  # type: ignore[arg-type]
