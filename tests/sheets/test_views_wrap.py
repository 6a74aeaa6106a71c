"""The wrap map and its lists: every mark once, rising, both tapes closing, nothing issued before its time."""

import math

import pytest

import standing_pits
from pitwright.sheets.lettered import Running, Text
from pitwright.sheets.pdf import page_svg
from pitwright.sheets.shapes import Fill, Polyline
from pitwright.sheets.views.skin_points import along_name, along_pulls, around_name, round_pulls, skin_points
from pitwright.sheets.views.wrap import checks, running_lists, wrap_pages
from pitwright.sheets.views.wrap_map import wrap_map
from pitwright.tape import parse_length


@pytest.fixture(params=standing_pits.FACTS)
def pit(request):
    return standing_pits.pit(request.param)


def test_every_mark_of_the_skin_is_in_the_list_as_the_tape_reads_it(pit):
    tape = pit.tape
    marks = {(tape.length(m.along), tape.length(m.around), m.what) for m in pit.marks if m.on == "shell"}
    listed = {(tape.length(p.station), tape.length(p.around), p.what) for p in skin_points(pit) if not p.there}
    assert listed == marks


def test_lists_rise_and_name_every_mark(pit):
    for pulls, name in ((along_pulls(pit), along_name), (round_pulls(pit)[:-1], around_name)):
        figures = [p.figure for p in pulls]
        assert figures == sorted(set(figures))
        named = {n for p in pulls for n in p.what}
        assert named == {name(p.what) for p in skin_points(pit)}


def test_both_tapes_add_up_to_the_closing_figure_on_every_line(pit):
    tape = pit.tape
    for pulls, whole in ((along_pulls(pit), pit.vessel.length), (round_pulls(pit), pit.vessel.around)):
        for p in pulls:
            assert p.figure + p.back == pytest.approx(tape.rounded(whole), abs=1e-12)
            assert tape.left_over(p.back) == pytest.approx(0.0, abs=1e-9)  # the second tape reads whole marks too
    assert round_pulls(pit)[-1].figure == tape.rounded(pit.vessel.around)


def test_the_printed_lists_are_the_same_list_read_both_ways(pit):
    first_along, first_round, second_along, second_round, marks = running_lists(pit)
    for first, second, whole in (
        (first_along, second_along, pit.vessel.length),
        (first_round, second_round, pit.vessel.around),
    ):
        assert [r[1] for r in second.rows] == [r[1] for r in first.rows][::-1]
        for a, b in zip(first.rows, second.rows[::-1], strict=True):
            total = sum(parse_length(r[0], unit=pit.tape.unit) for r in (a, b))
            assert total == pytest.approx(pit.tape.rounded(whole), abs=1e-9)
        assert all(r[2] == "" for r in (*first.rows, *second.rows))
        assert first.columns[2].blank
        assert second.columns[2].blank
    assert len(marks.rows) == len(skin_points(pit))


def test_map_figures_are_the_distances_they_stand_at(pit):
    for running in (p for p in wrap_map(pit).primitives if isinstance(p, Running)):
        for stop in running.stops:
            along = sum((stop.at[i] - running.datum[i]) * running.along[i] for i in (0, 1))
            shown = parse_length(stop.text.split("  ")[-1], unit=pit.tape.unit)
            assert abs(along) == pytest.approx(shown, abs=pit.tape.step / 2.0 + 1e-9), stop.text


def test_doors_lie_on_the_map_where_the_pit_has_them_and_carry_their_wrap_diagonal(pit):
    vessel = pit.vessel
    drawing = wrap_map(pit)
    words = [p.text for p in drawing.primitives if isinstance(p, Text)]
    for door in pit.doors:
        (edge,) = [p for p in drawing.primitives if isinstance(p, Polyline) and p.title == door.name]
        assert edge.role == "cut"
        xs, ys = [p[0] for p in edge.points], [p[1] for p in edge.points]
        assert sorted({-vessel.hand * door.x0, -vessel.hand * door.x1}) == pytest.approx(sorted(set(xs)))
        assert -max(ys) == pytest.approx(vessel.outer_radius * door.hinge_clock)
        assert -min(ys) == pytest.approx(vessel.outer_radius * door.edge_clock)
        diagonal = math.hypot(max(xs) - min(xs), max(ys) - min(ys))
        assert f"wrap {pit.tape.fine(diagonal)}" in words


def test_everything_drawn_lies_within_the_skin(pit):
    vessel = pit.vessel
    x0, x1 = sorted((0.0, -vessel.hand * vessel.length))
    for p in wrap_map(pit).primitives:
        if isinstance(p, Fill) or (isinstance(p, Polyline) and p.role in ("cut", "mark")):
            for x, y in p.reach():
                assert x0 - 1e-9 <= x <= x1 + 1e-9
                assert -vessel.around - 1e-9 <= y <= 1e-9


def test_leg_contacts_lie_on_the_map_at_their_around(pit):
    """From the bottom line by tape, as the leg sheet says it; on both sides."""
    vessel = pit.vessel
    symbols = {
        round(-p.at[1], 6) for p in wrap_map(pit).primitives if p.title.startswith("leg ") and hasattr(p, "kind")
    }
    for leg_set in pit.leg_sets:
        for leg in leg_set.legs:
            if leg_set.x > 0.0:
                side = 1.0 if leg.side == "working" else -1.0
                around = vessel.around / 2.0 - side * leg.around
                assert min(abs(s - around) for s in symbols) <= 1e-4


@pytest.mark.parametrize("name", standing_pits.FACTS)
def test_nothing_is_issued_for_a_vessel_that_is_not_cleared(name):
    pit = standing_pits.pit(name, cleared=False)
    assert not any(p.cut for p in skin_points(pit))
    drawing = wrap_map(pit)
    assert not any(getattr(p, "role", "") == "cut" for p in drawing.primitives)
    assert len(checks(pit)) == 1
    held = [m.what for m in pit.marks if m.needs and "," in m.what]
    assert held
    for page in wrap_pages(pit, standing_pits.PAPERS[0]):
        text = page_svg(page)
        assert "NO CUT MARKS" in text
        assert "HOLD" in text
        assert not any(what in text for what in held)
        assert not any(f">{d.name}<" in text for d in pit.doors)


def test_the_map_says_which_way_up_it_is_held(pit):
    svg = page_svg(wrap_pages(pit, standing_pits.PAPERS[0])[0])
    hand = "right" if pit.vessel.hand > 0 else "left"
    assert f"the fire is on your {hand}" in svg
    assert "Hook the tape there once" in svg
