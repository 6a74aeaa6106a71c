"""Sizing, the choke table, changed pits and plates."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fire_pits import IN2, reverse_flow, thirty_inch, with_plates
from pitwright.fire import change
from pitwright.fire.case import Gap
from pitwright.fire.chokes import chokes
from pitwright.fire.result import SteadyFire
from pitwright.fire.sizing import SizingRule, bisect, compare_plates, inlet_for_spread, size
from pitwright.fire.steady import steady
from pitwright.tape import INCH


def test_the_table_says_the_inlet_is_the_choke() -> None:
    """Trade notes: at 8 in the inlet chokes, and a bigger stack buys little (common practice, no source)."""
    case = thirty_inch()
    base = steady(case)
    assert isinstance(base, SteadyFire)
    table = chokes(case, base)
    by_name = {row.name: row for row in table}
    assert table[0].name == "air inlet"
    inlet, stack = by_name["air inlet"], by_name["stack pipe"]
    assert inlet.larger.spread < base.spread < inlet.smaller.spread
    assert base.spread - inlet.larger.spread > base.spread - stack.larger.spread
    assert stack.larger.name.startswith("10 in")
    assert stack.smaller.name.startswith("6 in")
    assert sum(row.spent for row in table) == pytest.approx(base.draught, rel=1e-6)
    assert by_name["stack height"].larger.draught > base.draught
    for row in table:
        assert row.larger.burns
        assert row.smaller.burns


def test_the_table_of_a_reverse_flow_has_its_plates() -> None:
    case = replace(reverse_flow(), settings=replace(reverse_flow().settings, damper_open=0.6))
    base = steady(case)
    assert isinstance(base, SteadyFire)
    table = chokes(case, base)
    assert {"plates", "damper"} <= {row.name for row in table}
    assert sum(row.spent for row in table) == pytest.approx(base.draught, rel=1e-6)


def test_a_size_that_starves_says_so_in_the_table() -> None:
    case = thirty_inch(inlet=4.2)
    base = steady(case)
    assert isinstance(base, SteadyFire)
    inlet = next(row for row in chokes(case, base) if row.name == "air inlet")
    assert not inlet.smaller.burns
    assert inlet.smaller.why


def test_sizes_for_the_order() -> None:
    found = size(thirty_inch(inlet=12.0, throat=40.0))
    assert found.met, found.why
    assert isinstance(found.outcome, SteadyFire)
    assert found.outcome.spread <= found.case.wanted.spread
    names = [s.name for s in found.sizes]
    assert names == ["air inlet", "throat", "stack pipe", "stack height"]
    inlet, throat, stack, height = found.sizes
    assert inlet.chosen / IN2 == pytest.approx(round(inlet.chosen / IN2), abs=1e-6)  # cut to whole square inches
    assert throat.chosen / IN2 == pytest.approx(round(throat.chosen / IN2), abs=1e-6)
    assert height.chosen / INCH == pytest.approx(round(height.chosen / INCH), abs=1e-6)
    assert stack.label.endswith("pipe")
    assert inlet.smaller.spread > found.outcome.spread > inlet.larger.spread
    spent = sum(s.spent for s in found.outcome.draw if s.name == "throat")
    assert spent <= SizingRule().throat_share * found.outcome.draught * 1.1
    assert 0 < found.firebox_volume < found.firebox_volume_now


def test_an_order_no_opening_meets() -> None:
    case = replace(thirty_inch(), wanted=replace(thirty_inch().wanted, spread=2.0))
    found = size(case, SizingRule(pipes=change.stack_pipes()[5:7]))
    assert not found.met
    assert "plates" in found.why


def test_inlet_for_a_spread_is_right() -> None:
    case = thirty_inch()
    area = inlet_for_spread(case, 36.0, 80 * IN2)
    found = steady(change.inlet_area(case, area))
    assert isinstance(found, SteadyFire)
    assert found.spread == pytest.approx(36.0, rel=0.02)


def test_halving_in_logarithms() -> None:
    assert bisect(lambda x: 7.0 - x, 1.0, 100.0) == pytest.approx(7.0, rel=0.002)
    assert bisect(lambda x: -1.0, 1.0, 100.0) == 1.0
    assert bisect(lambda x: 1.0, 1.0, 100.0) == 100.0


def test_plates_compared() -> None:
    case = thirty_inch()
    length = case.chamber.length
    even = with_plates(case, tuple(Gap(x=length * (i + 0.5) / 6, area=0.012) for i in range(6))).chamber.decks
    far = with_plates(
        case, tuple(Gap(x=length * (i + 0.5) / 6, area=0.004 + 0.003 * i) for i in range(6))
    ).chamber.decks
    trials = compare_plates(case, [("open floor", ()), ("even gaps", even), ("wider to the far end", far)])
    assert {t.name for t in trials} == {"open floor", "even gaps", "wider to the far end"}
    spreads = [t.outcome.spread for t in trials if isinstance(t.outcome, SteadyFire)]
    assert spreads == sorted(spreads)


def test_pipes_on_sale() -> None:
    """8 in standard pipe has 7.981 in inside, 6 in 6.065: ASME B36.10 (from memory), stock table."""
    sizes = {p.name: p.inside / INCH for p in change.stack_pipes()}
    assert sizes["8 in sch 40 pipe"] == pytest.approx(7.981, abs=0.001)
    assert sizes["6 in sch 40 pipe"] == pytest.approx(6.065, abs=0.001)
    less, more = change.neighbours(7.981 * INCH)
    assert less is not None
    assert less.name == "6 in sch 40 pipe"
    assert more is not None
    assert more.name == "10 in sch 40 pipe"
