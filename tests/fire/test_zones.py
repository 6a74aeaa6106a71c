"""The heat balance: exact limits, closed books, and independence of the number of zones."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fire_pits import random_pit, reverse_flow, thirty_inch
from pitwright.fire import flow as flow_module
from pitwright.fire import zones as zones_module
from pitwright.fire.case import FireCase
from pitwright.fire.gas import Gas, combustion_products
from pitwright.fire.grid import below_share, span_shares
from pitwright.fire.moment import Fire
from pitwright.fire.result import SteadyFire
from pitwright.fire.solve import Model, settle
from pitwright.fire.steady import steady


def quiet(monkeypatch: pytest.MonkeyPatch, film: float) -> None:
    """Every inside film the same, no glow of gas, no mixing between the layers, no loop."""
    monkeypatch.setattr(zones_module, "turbulent_natural", lambda a, b, c, p: np.full_like(a, film))
    monkeypatch.setattr(zones_module, "duct_film", lambda a, f, d: np.zeros_like(a))
    monkeypatch.setattr(zones_module, "gas_emissivity", lambda t, path: np.zeros_like(t))
    monkeypatch.setattr(flow_module, "turbulent_natural", lambda a, b, c, p: np.zeros_like(a))


def bare_case(case: FireCase, **changed: float) -> FireCase:
    values = {"radiant_share": 0.0, "burnout": 1.0, "door_gap": 1e-7, "circulation": 1e-9, "layer_mixing": 1e-9}
    return replace(case, coefficients=case.coefficients.with_values({**values, **changed}))


def test_without_losses_the_gas_is_everywhere_at_the_adiabatic_mixture_temperature(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    quiet(monkeypatch, 1e-9)
    case = bare_case(thirty_inch(meat=0.0), outside_film=1.0)
    model = Model(case)
    state = settle(model, burn=7e-4)
    assert state.closed
    t, g, flow = state.t, model.grid, state.flow
    dry, water = state.fire.dry, state.fire.water
    air = model.draw.outside
    mixed = air.mass_fractions * flow.fire_air + combustion_products(case.fuel.wood, 0.25) * dry
    total = float(mixed.sum())
    heat = dry * model.zones.lower - water * 2_441_700.0 + flow.fire_air * air.enthalpy(model.air)
    adiabatic = Gas(mixed / total).temperature(heat / total)
    assert float(t[g.fire]) == pytest.approx(adiabatic, abs=0.01)
    assert t[g.upper] == pytest.approx(adiabatic, abs=0.5)  # a trace of air still leaks in at the doors
    assert t[g.stack_gas] == pytest.approx(adiabatic, abs=0.5)


def test_plug_flow_cools_by_the_exponential_law(monkeypatch: pytest.MonkeyPatch) -> None:
    """With films the same everywhere and steel held at the day's temperature: T - Ta = (T0 - Ta) e^-(h A / m cp)."""
    quiet(monkeypatch, 5.0)
    monkeypatch.setattr(
        zones_module.Zones,
        "_outside",
        lambda self, t: (
            1e7 * (t[self.grid.out] - t[-1]), np.full(len(self.grid.out), 1e7), t[self.grid.out],
        ),
    )  # fmt: skip
    case = bare_case(reverse_flow(thirty_inch(meat=0.0)))
    for zones in (8, 16, 32):
        model = Model(case, zones=zones)
        model.grid.rad_g[:] = 0.0
        model.grid.con_g[:] = 0.0
        model.grid.link_area[np.isin(model.grid.link_wall, model.grid.plate)] = 1e-9  # the plate out of the way
        state = settle(model, burn=7e-4)
        assert state.closed
        g, t, air = model.grid, state.t, model.air
        last = int(np.sum(g.edges[1:] < 1.9))  # zones whole before the gas begins to leave through the gap
        area = model.grid.link_area[np.isin(model.grid.link_gas, g.under[:last])].sum()
        flow = state.flow.through
        warm = float(t[g.fire]) - air
        end = float(t[g.under[last - 1]]) - air
        gas = state.flow.chamber_gas
        cp = (gas.enthalpy(air + warm) - gas.enthalpy(air + end)) / (warm - end)
        assert end == pytest.approx(warm * np.exp(-5.0 * area / (flow * cp)), rel=5e-3)


@pytest.mark.parametrize("case", [thirty_inch(), reverse_flow()], ids=["offset", "reverse flow"])
def test_books_close_in_every_column(case: FireCase) -> None:
    """What leaves one piece arrives in another: columns of the slope sum to nought with air and steam counted."""
    model = Model(case)
    rng = np.random.default_rng(5)
    t = model.with_air(rng.uniform(300, 500, model.grid.pieces))
    fire = Fire(8e-4, 2e-4)
    flow = model.draw.solve(t, fire, model.draw.solve(t, fire))
    balance = model.zones.balance(t, fire, flow)
    assert float(balance.gain.sum()) + balance.latent == pytest.approx(model.zones.freed_heat(fire), rel=1e-9)
    columns = balance.slope[:, : model.grid.pieces].sum(axis=0)
    columns[model.grid.meat] += flow.drying.slope * flow.drying.latent
    # a gas's own outflow less inflow differs by the wood's mass, which comes without warmth
    assert np.abs(columns).max() < 1e-9 * np.abs(balance.slope).max()


def test_slope_is_the_derivative_where_films_and_flows_are_held() -> None:
    """Against differences, with the film's own part of the slope (a third of it) allowed for."""
    model = Model(thirty_inch())
    state = settle(model)
    t, fire, flow = state.t, state.fire, state.flow
    base = model.zones.balance(t, fire, flow)
    for piece in (
        model.grid.fire,
        int(model.grid.upper[3]),
        int(model.grid.shell_lower[5]),
        int(model.grid.stack_wall[1]),
    ):
        moved = t.copy()
        moved[piece] += 0.01
        change = (model.zones.balance(moved, fire, flow).gain - base.gain) / 0.01
        assert change[piece] == pytest.approx(base.slope[piece, piece], rel=0.2)


def test_stored_heat_goes_both_ways() -> None:
    model = Model(reverse_flow())
    t = np.random.default_rng(2).uniform(270, 700, model.grid.pieces)
    assert model.zones.temperatures(model.zones.stored(t)) == pytest.approx(t, abs=1e-8)


@pytest.mark.parametrize("case", [thirty_inch(), reverse_flow()], ids=["offset", "reverse flow"])
def test_the_number_of_zones_does_not_matter(case: FireCase) -> None:
    coarse, fine = steady(case, zones=16), steady(case, zones=64)
    assert isinstance(coarse, SteadyFire)
    assert isinstance(fine, SteadyFire)
    assert coarse.wood == pytest.approx(fine.wood, rel=0.015)
    assert coarse.air == pytest.approx(fine.air, rel=0.005)
    assert coarse.spread == pytest.approx(fine.spread, rel=0.06)
    quarter = np.linspace(0.15, 0.85, 15) * case.chamber.length
    there = np.interp(quarter, coarse.grates[0].x, coarse.grates[0].gas)
    here = np.interp(quarter, fine.grates[0].x, fine.grates[0].gas)
    assert there == pytest.approx(here, abs=2.5)


@given(st.integers(0, 2**31))
@settings(max_examples=25)
def test_shares_sum_to_one(seed: int) -> None:
    rng = np.random.default_rng(seed)
    edges = np.linspace(0.0, 2.0, 17)
    low, high = np.sort(rng.uniform(-0.2, 2.2, 2))
    assert span_shares(edges, float(low), float(high)).sum() == pytest.approx(1.0)
    assert 0.0 <= below_share(float(low), float(high), 1.0) <= 1.0
    model = Model(random_pit(seed))
    assert model.zones.fire_share().sum() == pytest.approx(1.0)
    assert model.grid.look.sum() == pytest.approx(1.0)
