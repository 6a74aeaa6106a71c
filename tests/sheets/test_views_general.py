"""Side, end and plan views: every figure is the drawn distance and the pit's own, and the other hand is its mirror."""

import math

import pytest
from shapely import LineString, union_all

import standing_pits
from pitwright.parts import Outline
from pitwright.sheets.lettered import Callout, Dimension, Running
from pitwright.sheets.shapes import Arc, Circle, Line, Polyline
from pitwright.sheets.views.ends import fire_end_view, stack_end_view
from pitwright.sheets.views.plan import plan_view
from pitwright.sheets.views.side import side_view
from pitwright.sheets.views.wants import end_wants, fire_heights, heights, rail_wants, stations
from pitwright.tape import parse_length

VIEWS = {"side": side_view, "stack end": stack_end_view, "fire end": fire_end_view, "plan": plan_view}


@pytest.fixture(params=standing_pits.FACTS)
def pit(request):
    return standing_pits.pit(request.param)


def figure(pit, text):
    """The length at the end of a stop's text [m]."""
    return parse_length(text.split("  ")[-1], unit=pit.tape.unit)


@pytest.mark.parametrize("view", VIEWS)
def test_every_running_figure_is_the_distance_it_stands_at(pit, view):
    """The figure read back from its text, against where the stop is drawn."""
    count = 0
    for running in (p for p in VIEWS[view](pit).primitives if isinstance(p, Running)):
        for stop in running.stops:
            along = sum((stop.at[i] - running.datum[i]) * running.along[i] for i in (0, 1))
            assert abs(along) == pytest.approx(figure(pit, stop.text), abs=pit.tape.step / 2.0 + 1e-9), stop.text
            count += 1
    assert count >= 4


@pytest.mark.parametrize("view", VIEWS)
def test_every_dimension_is_the_distance_it_spans(pit, view):
    found = [p for p in VIEWS[view](pit).primitives if isinstance(p, Dimension)]
    for d in found:
        span = abs(sum((d.b[i] - d.a[i]) * d.along[i] for i in (0, 1)))
        assert parse_length(d.text, unit=pit.tape.unit) == pytest.approx(span, abs=pit.tape.step / 2.0 + 1e-9)


@pytest.mark.parametrize("view", VIEWS)
def test_dimensions_about_a_length_show_that_length(pit, view):
    shown = set()
    for p in VIEWS[view](pit).primitives:
        if p.about:
            assert p.about in pit.reasons
        if isinstance(p, Dimension) and p.about and p.about != "stack.x":
            reason = pit.reasons[p.about]
            assert p.text == pit.tape.figure(reason.value, reason.measure), p.about
            shown.add(p.about)
    wanted = {
        "side": {"order.grate_height", "firebox.drop", "overall.length"},
        "stack end": {"base.rails_outside", "overall.width_open"},
        "fire end": {"firebox.drop"},
        "plan": {"vessel.length", "base.rails_outside", "firebox.width"},
    }
    assert wanted[view] <= shown


def test_the_heights_that_matter_are_on_the_side_view(pit):
    texts = {s.text for p in side_view(pit).primitives if isinstance(p, Running) for s in p.stops}
    tape, vessel = pit.tape, pit.vessel
    for name, value in (
        ("main grate", pit.job.order.grate_height),
        ("centre", vessel.centre_z),
        ("rail top", pit.base.rail_top),
        ("stack top", pit.stack.top_z),
        ("shell bottom", vessel.centre_z - vessel.outer_radius),
        ("seam", vessel.length),
    ):
        assert f"{name}  {tape.length(value)}" in texts
    for door in pit.doors:
        for x in (door.x0, door.x1):
            assert f"{door.name}  {tape.length(vessel.station(x))}" in texts
    for leg_set in pit.leg_sets:
        assert f"legs {leg_set.name}  {tape.length(vessel.station(leg_set.legs[0].x))}" in texts


def test_check_lists_rise_and_ask_for_what_the_views_show(pit):
    for wants in (stations(pit), heights(pit), fire_heights(pit), rail_wants(pit)):
        values = [w.value for w in wants]
        assert values == sorted(values)
    rails = [m.along for m in pit.marks if m.on == "rails"]
    assert [w.value for w in rail_wants(pit)] == sorted(rails)
    assert {w.value for w in end_wants(pit)} >= {d.reach for d in pit.doors}


def test_the_open_door_turns_about_its_pin(pit):
    """The ghost's hinge edge keeps its distance from the pin, and its lower edge comes to the height the pit says."""
    door = pit.doors[0]
    ghosts = [p for p in stack_end_view(pit).primitives if isinstance(p, Line) and p.title == f"{door.name}, open"]
    assert len(ghosts) == 2
    top = max(q[1] for g in ghosts for q in (g.a, g.b))
    assert top == pytest.approx(door.edge_top_z, abs=1e-9)
    arcs = [p for p in stack_end_view(pit).primitives if isinstance(p, Arc) and p.title == f"{door.name}, open"]
    assert {round(a.radius, 9) for a in arcs} == {round(pit.vessel.outer_radius, 9), round(pit.vessel.inner_radius, 9)}
    ends = [q for g in ghosts for q in (g.a, g.b)]
    for arc in arcs:  # each runs from the hinge edge to the lower edge
        for turn in (arc.start, arc.start + arc.sweep):
            assert min(math.dist(arc.at(turn), q) for q in ends) < 1e-9
    pin = (pit.vessel.hand * door.pin[0], door.pin[1])
    reach = math.dist(door.pin, (0.0, pit.vessel.centre_z))
    assert all(math.dist(a.centre, pin) == pytest.approx(reach, abs=1e-9) for a in arcs)


def test_views_show_the_true_rounds(pit):
    vessel = pit.vessel
    rounds = [(p.centre, p.radius) for p in stack_end_view(pit).primitives if isinstance(p, Circle | Arc)]
    assert ((0.0, vessel.centre_z), vessel.outer_radius) in rounds
    stack = pit.stack.profile.height / 2.0
    radii = [p.radius for p in plan_view(pit).primitives if isinstance(p, Circle)]
    assert any(r >= stack for r in radii)


def strokes(drawing, hand=1.0):
    """All the lines of a drawing as one geometry, turned left for right where `hand` is -1."""
    runs = []
    for p in drawing.primitives:
        if isinstance(p, Line):
            run = [p.a, p.b]
        elif isinstance(p, Polyline):
            edge = Outline(p.points, p.bulges or (0.0,) * len(p.points)).flattened(1e-5)
            run = [*edge, edge[0]] if p.closed else edge
        elif isinstance(p, Circle):
            run = [*Outline.circle(*p.centre, p.radius).flattened(1e-5)]
        else:
            continue
        runs.append(LineString([(hand * x, y) for x, y in run]))
    return union_all(runs)


def texts(drawing):
    words = [p.text for p in drawing.primitives if isinstance(p, Dimension | Callout)]
    return sorted(words + [s.text for p in drawing.primitives if isinstance(p, Running) for s in p.stops])


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("name", ["left forty-one", "metric reverse"])
def test_the_other_hand_is_the_mirror_picture_with_the_same_figures(name, view):
    """Vessels with one plain long seam, so that both hands come out alike: only left and right change places."""
    right = VIEWS[view](standing_pits.pit(name, firebox_side="right"))
    left = VIEWS[view](standing_pits.pit(name, firebox_side="left"))
    one, other = strokes(right), strokes(left, -1.0)
    assert one.length > 5.0
    assert one.difference(other.buffer(1e-4)).length < 0.002 * one.length  # edges that lie on one another
    assert other.difference(one.buffer(1e-4)).length < 0.002 * one.length  # edges that lie on one another
    assert texts(left) == texts(right)


@pytest.mark.parametrize("view", VIEWS)
def test_nothing_that_places_a_cut_is_dimensioned_before_the_vessel_is_cleared(view):
    cleared, held = (standing_pits.pit("worked", cleared=c) for c in (True, False))
    tape = cleared.tape
    cuts = {tape.length(m.along) for m in cleared.marks if m.on == "shell" and m.needs}
    cuts -= {tape.length(m.along) for m in cleared.marks if not m.needs}
    shown = {t.split("  ")[-1] for t in texts(VIEWS[view](held)) if t.startswith(("door", "stack c", "drain"))}
    assert not shown & cuts
    if view == "side":
        assert {t.split("  ")[-1] for t in texts(side_view(cleared))} & cuts
    assert not any("from the top line" in t for t in texts(VIEWS[view](held)))
