"""Plate layouts set side by side: the same open plan shared out differently."""

import dataclasses

import pytest

import workbench
from pitwright.fire.from_pit import fire_case
from pitwright.fire.plates import plate_layouts
from pitwright.fire.result import SteadyFire
from pitwright.fire.sizing import compare_plates
from pitwright.layout.pit import solve


@pytest.fixture(scope="module", params=["none", "tuning plates"])
def case(request):
    return fire_case(solve(workbench.job({"proportions": {"baffle": {"kind": request.param}}})))


def test_layouts_are_decks_of_this_pit(case):
    layouts = plate_layouts(case)
    names = [name for name, _ in layouts]
    assert len(set(names)) == len(names)
    assert ("as it is" in names) == bool(case.chamber.decks)
    for name, decks in layouts:
        dataclasses.replace(case.chamber, decks=decks)  # accepted: under the grate, over the floor
        if decks and name != "as it is":
            (deck,) = decks
            assert sum(g.area for g in deck.gaps) == pytest.approx(0.25 * case.chamber.length * deck.width)
            assert all(0.0 < g.x < case.chamber.length for g in deck.gaps)


def test_the_most_even_stands_first(case):
    tried = compare_plates(case, plate_layouts(case))
    spreads = [p.outcome.spread for p in tried if isinstance(p.outcome, SteadyFire)]
    assert len(spreads) >= 4
    assert spreads == sorted(spreads)
    own = next((p for p in tried if p.name == "as it is"), None)
    assert (own is None) == (not case.chamber.decks)


def test_more_way_up_at_the_fire_makes_the_fire_end_hotter(case):
    """Gaps narrowing from the fire against gaps widening from it: heat goes up where the gas does."""
    by_name = {p.name.split(", ")[-1]: p.outcome for p in compare_plates(case, plate_layouts(case))}
    narrowing = by_name["gaps narrowing from the fire to a third"]
    widening = by_name["gaps widening from the fire to three times"]
    assert narrowing.grates[0].end_to_end > widening.grates[0].end_to_end
