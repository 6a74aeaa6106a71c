"""Weights, parts, cautions and cut sheets: sums that close, states that agree with the pit, sources that are named."""

from __future__ import annotations

import pytest

from detail_sheets import EXAMPLES, example, text, wants
from pitwright.masses import mass_of
from pitwright.parts import Bar
from pitwright.sheets.lettered import Dimension
from pitwright.sheets.paper import A4, LETTER, TABLOID
from pitwright.sheets.views.cautions import caution_sheets
from pitwright.sheets.views.cuts import cut_sheets
from pitwright.sheets.views.eye import from_working_side
from pitwright.sheets.views.lists import balance_view, group_weights, parts_sheets, parts_table, weight_sheets
from pitwright.shop.cuts import cut_plan


@pytest.mark.parametrize("name", EXAMPLES)
def test_groups_add_up_to_the_pieces_and_the_pit(name: str) -> None:
    pit = example(name)
    pieces = sum(mass_of(p).mass * p.quantity for p in pit.parts)
    groups = group_weights(pit)
    assert sum(g[2] for g in groups) == pytest.approx(pieces)
    assert pit.reasons["weight.pieces"].value == pytest.approx(pieces)
    assert sum(g[3] for g in groups) == pytest.approx(pit.balance["empty"].assumed)
    assert sum(g[1] for g in groups) == sum(p.quantity for p in pit.parts)
    found = wants(weight_sheets(pit, TABLOID.landscape()))
    assert found["scale ticket, empty"] == pit.tape.mass(pit.balance["empty"].mass)
    share = pit.job.proportions.shop.weld_and_paint
    assert pit.balance["empty"].mass == pytest.approx(pieces * (1.0 + share))


@pytest.mark.parametrize("name", EXAMPLES)
def test_states_stand_at_their_station(name: str) -> None:
    pit = example(name)
    tape = pit.tape
    shown = text(weight_sheets(pit, LETTER))
    for state, balance in pit.balance.items():
        assert any(state.startswith(t) for t in shown)
        assert tape.mass(balance.mass) in shown
        assert tape.length(pit.vessel.station(balance.centre[0])) in shown
    view = balance_view(pit, from_working_side(pit.vessel.hand))
    level = next(d for d in view.primitives if isinstance(d, Dimension) and d.along[0])
    assert level.text == tape.length(abs(level.b[0] - level.a[0]))


def test_assumed_weights_are_flagged() -> None:
    pit = example("orchard-30")
    rows = {r[0]: r for r in parts_table(pit).rows}
    for part in pit.parts:
        assert rows[part.mark][5].endswith("*") == part.assumed
    shown = text(weight_sheets(pit, LETTER))
    assert "Assumed weights: weigh them" in shown


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_piece_is_on_the_parts_list_once(name: str) -> None:
    pit = example(name)
    rows = parts_table(pit).rows
    assert [r[0] for r in rows].count("") == 0
    assert sorted(r[0] for r in rows) == sorted(p.mark for p in pit.parts)
    assert wants(parts_sheets(pit, LETTER)) != {}


def test_sizes_of_the_vessel_are_held_back_until_it_is_cleared() -> None:
    rows = {r[0]: r for r in parts_table(example("yard-37", cleared=False)).rows}
    for part in example("yard-37").parts:
        assert (rows[part.mark][4] == "held back") == (part.stock == "of the vessel")


def test_cautions_name_their_sources_and_never_call_a_vessel_safe() -> None:
    shown = " ".join(text(caution_sheets(example("yard-37"), LETTER)))
    for source in ("29 CFR 1910.252(a)(3), from memory", "AWS F4.1", "NFPA 326", "1910.146, from memory", "NFPA 51B, from memory",
                   "AWS Fact Sheet 25", "ASTM C1055", "ISO 13732-1", "NIOSH 94-110", "USDA"):  # fmt: skip
        assert source in shown, source
    assert "Pitwright never calls a vessel safe" in shown
    assert "Local codes" in shown
    assert "145 °F" in shown
    assert "propane" in shown
    held = " ".join(text(caution_sheets(example("yard-37", cleared=False), LETTER)))
    assert "NOT COMPLETE: do not heat, cut or grind" in held


def test_cautions_speak_the_shops_units() -> None:
    shown = " ".join(text(caution_sheets(example("receiver-metric"), A4)))
    assert "63 °C" in shown
    assert "°F" not in shown


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_stick_and_every_bar_is_on_the_cut_sheets(name: str) -> None:
    pit = example(name)
    plan = cut_plan(pit)
    shown = text(cut_sheets(pit, LETTER))
    for stock in plan.stocks:
        assert stock.plan is not None
        for stick in stock.plan.sticks:
            assert any(t.startswith(f"Stick {stick.number}: {stick.label}") for t in shown)
            for cut in stick.cuts:
                assert pit.tape.length(cut.at) in shown
        for entry in stock.plan.buy:
            assert entry.label in shown
    for part in pit.parts:
        if isinstance(part.shape, Bar):
            assert part.mark in shown
