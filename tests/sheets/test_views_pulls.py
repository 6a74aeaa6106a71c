"""Shell pulls: figures against the round they lie on, and nothing issued before its time."""

import math

import pytest

import standing_pits
from pitwright.layout.stack import STEPS
from pitwright.sheets.clash import clashes
from pitwright.sheets.ink import Words
from pitwright.sheets.views.pulls import arc_steps, hole_points, pull_sheets, pulls


@pytest.fixture(params=standing_pits.FACTS)
def pit(request):
    return standing_pits.pit(request.param)


def test_every_opening_of_the_shell_is_pulled(pit):
    names = {p.name for p in pulls(pit)}
    assert names == {o.name for o in pit.openings if o.on == "shell" and o.name != "drain"}
    for pull in pulls(pit):
        (opening,) = [o for o in pit.openings if o.name == pull.name]
        xs, arounds = [p[0] for p in opening.outline], [p[1] for p in opening.outline]
        assert (pull.x0, pull.x1) == pytest.approx((min(xs), max(xs)), abs=2e-4)
        edges = (pull.high * pit.vessel.outer_radius, pull.low * pit.vessel.outer_radius)
        assert edges == pytest.approx((min(arounds), max(arounds)), abs=2e-4)


def test_arc_steps_are_points_of_the_round(pit):
    vessel = pit.vessel
    for door in pit.doors:
        start = vessel.skin(0.0, door.hinge_clock)
        steps = arc_steps(pit, door)
        assert steps[0].from_hinge == 0.0
        assert steps[-1].from_hinge == pytest.approx(door.arc)
        assert steps[-1].chord == pytest.approx(door.chord)
        assert len(steps) <= 12
        for step in steps:
            clock = step.around / vessel.outer_radius
            here = vessel.skin(0.0, clock)
            assert step.chord == pytest.approx(math.dist(start, here), abs=1e-12)
            assert step.height == pytest.approx(here[2])


def test_hole_points_lie_on_the_bore(pit):
    stack, vessel = pit.stack, pit.vessel
    bore = stack.profile.height / 2.0 - (0.0 if stack.reach_in else stack.profile.wall)
    points = hole_points(pit)
    assert len(points) == STEPS
    for number, station, around in points:
        x, y, _ = vessel.skin(vessel.x_at(station), around / vessel.outer_radius)
        assert math.hypot(x - stack.x, y - stack.y) == pytest.approx(bore)
        turn = math.atan2(y - stack.y, x - stack.x) - 2.0 * math.pi * number / STEPS
        assert math.remainder(turn, 2.0 * math.pi) == pytest.approx(0.0, abs=1e-9)


def test_sheets_are_clean_and_held_back_until_cleared(pit):
    name = next(k for k in standing_pits.FACTS if standing_pits.pit(k) is pit)
    for paper in standing_pits.PAPERS:
        pages = pull_sheets(pit, paper)
        assert all(clashes(p) == () for p in pages)
        held = pull_sheets(standing_pits.pit(name, cleared=False), paper)
        assert all(clashes(p) == () for p in held)
        text = " ".join(i.text for p in held for i in p.ink if isinstance(i, Words))
        assert "Held back" in text
        assert "door 1" not in text
        said = " ".join(i.text for p in pages for i in p.ink if isinstance(i, Words))
        assert pit.tape.fine(pit.doors[0].diagonal) in said
        assert "see DOORS" in said
