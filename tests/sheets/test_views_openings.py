"""Firebox, stack, door and grate sheets: figures against the pit, the trade notes (B5, B7) and independent geometry."""

from __future__ import annotations

import cmath
import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Polygon

import pits
from detail_sheets import EXAMPLES, example, text, variant, wants, worked
from pitwright.geometry.curves import HeadCope
from pitwright.layout.model import Pit
from pitwright.meridian import head_form
from pitwright.sheets.lettered import Dimension, Running
from pitwright.sheets.paper import LETTER, TABLOID
from pitwright.sheets.shapes import Polyline
from pitwright.sheets.views.chart import even_steps
from pitwright.sheets.views.doors import door_sheets, flat_view, hold_lines, swing_view
from pitwright.sheets.views.firebox import firebox_sheets, outer_end, section_view
from pitwright.sheets.views.grates import along_view, grate_sheets, ledge_top, panel_diagonal, plan_view
from pitwright.sheets.views.stack import hole_view, lengths, saddle_of, stack_sheets
from pitwright.sheets.views.throat import diagonal, half_width, hash_heights, window, window_view
from pitwright.tape import INCH

ALL = [*EXAMPLES]


# ---------------------------------------------------------------- throat and firebox


@pytest.mark.parametrize("name", ALL)
def test_hash_marks_measure_the_window(name: str) -> None:
    """Half widths at the hash marks, exact arcs, against a level line through the fine polygon of the window."""
    pit = example(name)
    outline = window(pit)
    shape = Polygon(outline.flattened(1e-6))
    for up in hash_heights(pit)[1:-1]:
        v = pit.throat.bottom + up
        _, _, x1, _ = LineString(((-5.0, v), (5.0, v))).intersection(shape).bounds
        assert half_width(outline, v) == pytest.approx(x1, abs=2e-5)


@given(seed=st.integers(0, 60))
def test_half_width_of_any_throat(seed: int) -> None:
    pit = pits.solved(seed)
    if pit is None:
        return
    outline = window(pit)
    shape = Polygon(outline.flattened(1e-6))
    low, high = pit.throat.bottom, pit.throat.top
    for i in range(1, 8):
        v = low + (high - low) * i / 8
        _, _, x1, _ = LineString(((-5.0, v), (5.0, v))).intersection(shape).bounds
        assert half_width(outline, v) == pytest.approx(x1, abs=2e-5)
    assert max(half_width(outline, v) for v in (low, pit.throat.widest_at, high - 1e-9)) == pytest.approx(
        pit.throat.widest / 2.0, abs=1e-4
    )


@pytest.mark.parametrize("name", ALL)
def test_firebox_figures_are_the_pits(name: str) -> None:
    pit = example(name)
    tape, box, throat = pit.tape, pit.firebox, pit.throat
    pages = firebox_sheets(pit, TABLOID.landscape())
    found, shown = wants(pages), text(pages)
    assert tape.length(box.drop) in shown
    assert found["bottom off the floor"] == tape.length(box.bottom_z)
    assert found["fire grate, top off the floor"] == tape.length(box.grate_z)
    assert found["length inside"] == tape.length(box.depth_inside)
    assert found["grease dam, up from the inside bottom of the vessel"] == tape.length(throat.dam)
    assert found["widest, across"] == tape.length(throat.widest)
    assert found["dam corner to top, each side"] == tape.fine(diagonal(pit))
    assert box.centre_z + box.drop == pytest.approx(pit.vessel.centre_z)
    assert any(t.startswith(tape.length(box.centre_z) + " + ") for t in shown)


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize("view", [section_view, outer_end, window_view])
def test_figures_of_firebox_views_are_where_they_are_drawn(name: str, view) -> None:
    pit = example(name)
    for p in view(pit).primitives:
        if isinstance(p, Running):
            for stop in p.stops:
                assert stop.text.endswith(pit.tape.length(abs(stop.at[1] - p.datum[1])))
        if isinstance(p, Dimension) and not any(word in p.text for word in ("inside", "door")):
            span = abs(sum((p.b[i] - p.a[i]) * p.along[i] for i in (0, 1)))
            assert p.text in (pit.tape.length(span), pit.tape.fine(span))


def test_a_firebox_pipe_on_a_dished_end_has_its_wrap() -> None:
    """Ordinates of the sheet against the height of the head's true ellipse, worked here by itself."""
    pit = example("yard-37")
    head, box = pit.vessel.fire_head, pit.firebox
    assert head is not None
    shown = text(firebox_sheets(pit, LETTER))
    cope = HeadCope(head=head_form(head), branch_radius=box.width / 2.0, drop=box.drop)
    r = box.width / 2.0
    heights = []
    for i in range(32):
        clock = 2.0 * math.pi * i / 32
        rho = math.hypot(r * math.sin(clock), box.drop - r * math.cos(clock))
        inside = max(1.0 - (rho / head.outer_radius) ** 2, 0.0)
        heights.append(head.depth * math.sqrt(inside))
    for step, height in zip(cope.template(32).steps, heights, strict=False):
        assert step.ordinate == pytest.approx(max(heights) - height, abs=1e-6)
        assert pit.tape.length(step.ordinate) in [t.split(" ")[0] for t in shown] or not step.meets
    assert any(t.endswith("square") for t in shown)


# ---------------------------------------------------------------- stack


def ordinates(pit: Pit) -> list[str]:
    """The sheet's ordinates at the 16 steps, by step number."""
    out: dict[int, str] = {}
    for page in stack_sheets(pit, LETTER)[1:]:
        rows: dict[float, list] = {}
        for item in page.ink:
            if getattr(item, "text", "") and item.angle == 0.0:
                rows.setdefault(round(item.at[1], 2), []).append(item)
        for row in rows.values():
            cells = [w.text for w in sorted(row, key=lambda w: w.at[0])]
            if len(cells) == 6 and cells[0].isdigit():
                out[int(cells[0])], out[int(cells[3])] = cells[2], cells[5]
    return [out[i] for i in range(17)]


def test_ordinates_on_the_top_line() -> None:
    """B5, stack on the top line: 0, 1/16, 5/16, 9/16, 5/8 repeated."""
    pit = worked({"proportions": {"stack": {"behind_top": "0", "profile": "8 sch 20 pipe"}}})
    quarter = ['0"', '1/16"', '5/16"', '9/16"', '5/8"']
    assert ordinates(pit) == [*quarter, *quarter[-2::-1], *quarter[1:], *quarter[-2::-1]]
    assert wants(stack_sheets(pit, TABLOID))["pipe's foot on the skin, along x around"] == '8-5/8" x 8-3/4"'


def test_ordinates_four_behind() -> None:
    """B5, 4 in behind: 9/16, 1-1/8, 1-3/4, 2-5/16, 2-1/2 on the way to the back; foot 9-1/8 round."""
    pit = worked({"proportions": {"stack": {"behind_top": "4", "profile": "8 sch 20 pipe"}}})
    found = ordinates(pit)
    assert found[16] == found[0] == '9/16"'
    assert found[15:11:-1] == ['1-1/8"', '1-3/4"', '2-5/16"', '2-1/2"']
    assert wants(stack_sheets(pit, TABLOID))["pipe's foot on the skin, along x around"] == '8-5/8" x 9-1/8"'


@pytest.mark.parametrize("name", ALL)
def test_stack_sheet_says_what_the_pit_says(name: str) -> None:
    pit = example(name)
    tape, stack = pit.tape, pit.stack
    long, short = lengths(pit)
    assert long == pytest.approx(stack.length)
    assert long - short == pytest.approx(max(stack.ordinates), abs=2e-4)
    found = wants(stack_sheets(pit, TABLOID.landscape()))
    assert found["length, long side"] == tape.length(stack.length)
    assert found["top off the floor"] == tape.length(stack.top_z)
    steps = saddle_of(pit).template(16).steps
    assert [s.ordinate for s in steps[:-1]] == pytest.approx(list(stack.ordinates))
    rings = [p for p in hole_view(pit).primitives if isinstance(p, Polyline) and p.closed]
    foot = next(p for p in rings if p.role == "mark")
    xs, ys = zip(*foot.points, strict=True)
    assert max(xs) - min(xs) == pytest.approx(stack.hole_along, abs=1e-4)
    assert max(ys) - min(ys) == pytest.approx(stack.hole_around, abs=1e-3)


def test_an_end_stack_is_mitred() -> None:
    shown = text(stack_sheets(variant("end stack, counterweight"), LETTER))
    assert "45.0° off square" in shown
    assert any("Elbow" in t for t in shown)


# ---------------------------------------------------------------- doors

B7 = {
    "proportions": {
        "doors": {
            "hinge_clock": "15", "pin_out": "1/2", "handle_out": "0", "end_margin": "6", "mullion": "4",
            "longest": "40", "open_stop": "105",
        }
    },
    "override": {"doors.edge_clock": "96"},
}  # fmt: skip


def test_doors_of_the_worked_vessel() -> None:
    """B6, B7: 34 x 21-1/4 skin, wrap diagonal 40-3/32; open at 105 its lower edge is 67-7/8 high, 17-1/4 out."""
    pit = worked(B7)
    found = wants(door_sheets(pit, LETTER))
    assert found["along the pit"] == '34"'
    assert found["round the skin"] == '21-1/4"'
    assert found["wrap diagonal on the skin, one way"] == '40-3/32"'
    assert found["hinge edge, around from the top line"] == '3-15/16"'
    assert found["lower edge, around from the top line"] == '25-3/16"'
    assert found["lower edge off the floor, open"] == '67-7/8"'
    # 17-3/16 here: the paper's 17-1/4 rounds 17.21 up.
    assert found["stands out from the vessel's centre, open"] in ('17-3/16"', '17-1/4"')


@pytest.mark.parametrize("name", ALL)
def test_the_swing_is_drawn_where_it_comes_to_stand(name: str) -> None:
    """The lower edge at the stop, turned about the pin as a complex number, against the sheet's own height."""
    pit = example(name)
    for door in pit.doors:
        _, y, z = pit.vessel.skin(0.0, door.edge_clock)
        pin = complex(*door.pin)
        open_edge = pin + (complex(y, z) - pin) * cmath.exp(1j * door.stop)
        assert open_edge.imag == pytest.approx(door.edge_top_z, abs=1e-9)
        texts = {p.text for p in swing_view(pit, door).primitives if isinstance(p, Dimension)}
        assert pit.tape.length(open_edge.imag) in texts
        dims = {p.text for p in flat_view(pit, door).primitives if isinstance(p, Dimension)}
        assert dims == {pit.tape.fine(door.diagonal), pit.tape.length(door.arc), pit.tape.length(door.x1 - door.x0)}


def test_a_counterweight_that_makes_it_heavier_is_said() -> None:
    pit = variant("end stack, counterweight")
    door = pit.doors[0]
    lines = " ".join(hold_lines(pit, door))
    bare = door.weight * 9.80665 * door.lever * math.cos(door.lever_angle) / door.handle_radius
    assert ("HEAVIER" in lines) == (door.first_pull > bare)
    assert pit.tape.force(bare) in lines
    assert pit.tape.force(door.first_pull) in lines


def test_a_sprung_door_is_told() -> None:
    shown = " ".join(text(door_sheets(variant("as built"), LETTER)))
    assert 'Measured chord 20-1/4"' in shown


@given(low=st.floats(-500, 0), span=st.floats(0.01, 1e4), unit=st.sampled_from((1.0, 4.448)))
def test_axis_steps_cover_the_figures(low: float, span: float, unit: float) -> None:
    steps = even_steps(low, low + span, unit)
    assert steps[0] <= low + 1e-6 * span
    assert steps[-1] >= low + span - 1e-6 * span
    assert 2 <= len(steps) <= 8
    assert all(b - a == pytest.approx(steps[1] - steps[0]) for a, b in pairwise(steps))


# ---------------------------------------------------------------- grates


@pytest.mark.parametrize("name", ALL)
def test_grate_figures_are_the_pits(name: str) -> None:
    pit = example(name)
    tape = pit.tape
    shown = text(grate_sheets(pit, TABLOID.landscape()))
    for level in pit.grates.levels:
        chord = 2.0 * math.sqrt(pit.vessel.inner_radius**2 - level.above_centre**2)
        assert tape.length(chord) in shown
        for figure in (level.z, level.width, ledge_top(pit, level)):
            assert tape.length(figure) in shown
        assert tape.fine(panel_diagonal(level)) in shown
        assert f"{level.panels} x {tape.length(level.panel_length)}" in shown
    for plate in pit.grates.plates:
        assert tape.length(plate.z0) in shown
        assert tape.length(plate.z1) in shown


@pytest.mark.parametrize("name", ALL)
def test_stations_of_panels_are_where_they_are_drawn(name: str) -> None:
    pit = example(name)
    for drawing in (*(plan_view(pit, level) for level in pit.grates.levels), along_view(pit)):
        for p in drawing.primitives:
            if isinstance(p, Running):
                for stop in p.stops:
                    assert stop.text == pit.tape.length(abs(stop.at[0] - p.datum[0]))


def test_grate_widths_of_the_worked_vessel() -> None:
    """B8: chord 1 in below the centre 29-1/2, 7 in over it 26-1/16."""
    pit = worked({"order": {"levels": [{"above": "8"}]}})
    shown = text(grate_sheets(pit, LETTER))
    assert '29-1/2"' in shown
    assert '26-1/16"' in shown
    assert pit.vessel.inner_radius == pytest.approx(14.79 * INCH, abs=1e-4)
