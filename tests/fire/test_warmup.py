"""The pit in time: closed books, other integrators, exact decay, and what doors, splits and shut dampers do."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from fire_pits import fahrenheit, random_pit, reverse_flow, thirty_inch
from pitwright.fire import flow as flow_module
from pitwright.fire import zones as zones_module
from pitwright.fire.case import Settings
from pitwright.fire.result import SteadyFire
from pitwright.fire.solve import Model
from pitwright.fire.steady import steady
from pitwright.fire.warmup import Burn, DoorOpened, Reset, SplitAdded, _Run, _start, course
from pitwright.tape import LB

HOUR = 3600.0


def test_trade_notes_warm_up() -> None:
    """12 lb/h: about 40 minutes ideal, 50 to 80 real; within 40 percent (common practice, no source). Books to 1e-9."""
    run = course(thirty_inch(), Burn())
    assert 0.6 * 40 <= run.ready / 60 <= 1.4 * 80
    assert run.ready_wood / LB == pytest.approx(12.0 * run.ready / HOUR + 0.8 / LB, rel=0.1)
    assert run.energy_error < 1e-9
    assert run.wood_error < 1e-9
    assert not run.rough
    assert fahrenheit(float(run.grate_mean[-1])) == pytest.approx(250, abs=1.0)


@given(st.integers(0, 1000))
@settings(max_examples=8)
def test_books_close_for_pits_at_random(seed: int) -> None:
    case = random_pit(seed)
    run = course(case, Burn(seconds=HOUR, events=(SplitAdded(at=1200.0, mass=2.0),)))
    assert run.energy_error < 1e-9
    assert run.wood_error < 1e-9
    assert np.all(np.isfinite(run.grate))
    assert len(run.time) == len(run.grate_mean)
    assert run.time[-1] == pytest.approx(HOUR)


@pytest.mark.parametrize("case", [thirty_inch(), reverse_flow()], ids=["offset", "reverse flow"])
def test_the_steady_fire_stays_put(case: object) -> None:
    """Started from the steady fire and fed what it burns, nothing moves: both solvers mean the same pit."""
    run = course(case, Burn(seconds=2 * HOUR, start="steady", tending="even"))  # type: ignore[arg-type]
    found = steady(case)  # type: ignore[arg-type]
    assert isinstance(found, SteadyFire)
    assert run.grate_mean == pytest.approx(found.grate_mean, abs=0.3)
    assert float(run.fire_gas[-1]) == pytest.approx(found.fire_gas, abs=1.0)


def test_another_integrator() -> None:
    burn = Burn(seconds=HOUR)
    one = course(thirty_inch(), burn, tight=1e-6)
    assert solve_other(burn) == pytest.approx(one.grate_mean[-1], abs=0.3)


def solve_other(burn: Burn) -> float:
    """The same equations by a Runge and Kutta method (Radau) in place of the multistep one."""
    model = Model(thirty_inch())
    hold = steady(thirty_inch())
    assert isinstance(hold, SteadyFire)
    run = _Run(model, burn, hold.wood)
    y = _start(model, burn, hold.wood)
    scale = np.append(0.02 * model.zones.capacities(np.full(model.grid.pieces, 350.0)), np.full(11, 1e-5))
    solved = solve_ivp(
        run.rate, (0.0, burn.seconds), y, method="Radau", jac=run.slope, rtol=1e-5, atol=scale * 0.1, first_step=0.1
    )
    assert solved.success
    t = model.zones.temperatures(solved.y[: run.n, -1])
    return float(run.mean @ t)


def test_small_explicit_steps_agree() -> None:
    """Two minutes of a warm pit by steps of a twentieth of a second of Heun's method, which knows nothing of slopes."""
    burn = Burn(seconds=120.0, start="steady", tending="events", events=(SplitAdded(at=0.0, mass=1.5),))
    case = thirty_inch()
    fast = course(case, burn, tight=1e-6)
    hold = steady(case)
    assert isinstance(hold, SteadyFire)
    model = Model(case)
    run = _Run(model, burn, hold.wood)
    y = _start(model, burn, hold.wood)
    y[run.n + 3] += 1.5
    h = 0.05
    for _ in range(2400):
        k1 = run.rate(0.0, y)
        k2 = run.rate(0.0, y + h * k1)
        y = y + 0.5 * h * (k1 + k2)
    t = model.zones.temperatures(y[: run.n])
    assert float(run.mean @ t) == pytest.approx(float(fast.grate_mean[-1]), abs=0.2)


def test_lumped_steel_cools_by_the_exponential_law(monkeypatch: pytest.MonkeyPatch) -> None:
    """The firebox wall alone, a constant film, a constant heat capacity: T - Ta = dT e^(-h A t / m c)."""
    film, heat = 8.0, 480.0
    for name in ("turbulent_natural", "duct_film", "gas_emissivity"):
        monkeypatch.setattr(zones_module, name, lambda *a: np.full_like(np.asarray(a[0], float), 1e-12))
    monkeypatch.setattr(flow_module, "turbulent_natural", lambda *a: np.zeros_like(a[0]))
    monkeypatch.setattr(zones_module, "outside_film", lambda s, a, d, w, p: np.full_like(s, film))
    monkeypatch.setattr(zones_module, "steel_energy", lambda t: heat * (t - 273.15))
    monkeypatch.setattr(zones_module, "steel_heat_capacity", lambda t: np.full_like(t, heat))
    monkeypatch.setattr(zones_module, "steel_temperature", lambda e: 273.15 + e / heat)
    case = thirty_inch(meat=0.0)
    model = Model(case)
    model.grid.out_eps[:] = 0.0
    burn = Burn(tending="events", kindling=0.0)
    run = _Run(model, burn, 0.0)
    t = np.full(model.grid.pieces, model.air)
    t[model.grid.fire_wall] = model.air + 200.0
    y = np.append(model.zones.stored(t), np.zeros(11))
    solved = solve_ivp(run.rate, (0.0, 3000.0), y, method="BDF", jac=run.slope, rtol=1e-8, atol=1e-3)
    end = float(model.zones.temperatures(solved.y[: run.n, -1])[model.grid.fire_wall])
    rate = film * case.firebox.skin / (case.firebox.steel * heat)
    assert end - model.air == pytest.approx(200.0 * np.exp(-rate * 3000.0), rel=1e-4)


def test_a_door_opened_dips_and_recovers() -> None:
    burn = Burn(
        seconds=2 * HOUR, start="steady", events=(DoorOpened(at=1800.0, door="cook door 1", seconds=60.0),)
    )  # fmt: skip
    run = course(thirty_inch(), burn)
    (dip,) = run.dips
    assert dip.lowest < dip.before - 20
    assert 60.0 <= dip.recovery < 1800.0
    assert run.energy_error < 1e-9
    longer = course(thirty_inch(), replace(burn, events=(DoorOpened(at=1800.0, door="cook door 1", seconds=300.0),)))
    assert longer.dips[0].recovery > dip.recovery


def test_a_split_added_warms_the_pit_and_passes() -> None:
    run = course(
        thirty_inch(),
        Burn(seconds=5 * HOUR, start="steady", tending="even", events=(SplitAdded(at=600.0, mass=1.4),)),
    )
    peak = int(run.grate_mean.argmax())
    assert run.grate_mean[peak] > run.grate_mean[0] + 8
    assert 600.0 < run.time[peak] < 2 * HOUR
    assert run.grate_mean[-1] < run.grate_mean[peak] - 6


def test_cooling_with_everything_shut() -> None:
    shut = Reset(at=0.0, settings=Settings(inlet_open=0.0, damper_open=0.05))
    run = course(thirty_inch(), Burn(seconds=4 * HOUR, start="steady", tending="events", events=(shut,)))
    assert run.energy_error < 1e-9
    assert run.time[-1] == pytest.approx(4 * HOUR)
    warm = run.shell - Model(thirty_inch()).air
    assert warm[-1] < 0.25 * warm[0]
    assert np.isinf(run.ready) or run.ready < 60.0


def test_insulation_warms_faster_and_more_wood_warms_faster() -> None:
    bare = course(thirty_inch(), Burn(seconds=3 * HOUR))
    wrapped = course(thirty_inch(chamber_wrap=0.05, firebox_wrap=0.05), Burn(seconds=3 * HOUR))
    fast = course(thirty_inch(), Burn(seconds=3 * HOUR, warm_rate=16 * LB / HOUR))
    assert wrapped.ready < bare.ready
    assert fast.ready < bare.ready


def test_a_pit_that_cannot_get_there_says_never() -> None:
    run = course(thirty_inch(inlet=1.0), Burn(seconds=2 * HOUR))
    assert np.isinf(run.ready)
    assert run.energy_error < 1e-9
