"""The input says what is wrong with itself; the round chamber's closed forms; the meat."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fire_pits import thirty_inch
from pitwright.errors import JobError
from pitwright.fire.case import (
    Chamber,
    Deck,
    Door,
    Fuel,
    Gap,
    Inlet,
    Load,
    Settings,
    Stack,
    Throat,
    Wall,
    Wanted,
    Weather,
    dry_basis,
    round_chamber,
)
from pitwright.fire.coefficients import Coefficient, Coefficients
from pitwright.fire.gas import H2O, Gas, gas_emissivity, moist_air
from pitwright.fire.meat import drying


def chamber(grate: float, d: float = 0.75) -> Chamber:
    return round_chamber(
        inside_diameter=d,
        length=2.0,
        z_centre=1.0,
        z_grate=grate,
        ends=0.4,
        inner_steel=40.0,
        wall=Wall(thickness=0.006),
    )


@given(st.floats(-0.36, 0.36))
def test_round_chamber_adds_up(rise: float) -> None:
    """Circle segment: the two parts make the circle; chord 2 sqrt(R^2 - y^2); mirrored levels swap the parts."""
    c, m = chamber(1.0 + rise), chamber(1.0 - rise)
    assert c.flow_above + c.flow_below == pytest.approx(math.pi * 0.375**2)
    assert c.skin_above + c.skin_below == pytest.approx(math.pi * 0.75)
    assert c.grate_width == pytest.approx(2 * math.sqrt(0.375**2 - rise**2))
    assert c.flow_above == pytest.approx(m.flow_below)


def test_trade_notes_chord() -> None:
    """29-1/2 in wide 1 in under the middle of 14.79 in inside radius: trade notes B8 (geometry)."""
    assert thirty_inch().chamber.grate_width / 0.0254 == pytest.approx(29.5, abs=0.03)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Wall(thickness=0.0),
        lambda: Wall(thickness=0.006, insulation=-0.1),
        lambda: Wall(thickness=0.006, emissivity=1.2),
        lambda: Inlet(name="a", area=-1.0, z=0.0),
        lambda: Throat(area=0.05, z_low=1.0, z_high=0.9),
        lambda: Door(name="d", room="chamber", x0=0, x1=1, z_low=1.0, z_high=0.9, width=1, side=1),
        lambda: Deck(z=0.8, thickness=0.006, width=0.5, gaps=()),
        lambda: Gap(x=0.1, area=0.0),
        lambda: chamber(1.5),
        lambda: Stack(x=1, z_mouth_low=1, z_mouth_high=1, z_top=0.9, diameter=0.2, wall=Wall(thickness=0.004)),
        lambda: Settings(inlet_open=1.2),
        lambda: Weather(temperature=100.0),
        lambda: Weather(humidity=2.0),
        lambda: Fuel(moisture=5.0),
        lambda: Load(mass=-1.0),
        lambda: Load(mass=1.0, water=0.9),
        lambda: Wanted(spread=0.0),
        lambda: replace(thirty_inch(), stack=replace(thirty_inch().stack, x=9.0)),
        lambda: replace(thirty_inch(), firebox=replace(thirty_inch().firebox, inlets=())),
        lambda: replace(
            thirty_inch().chamber, decks=(Deck(z=9.0, thickness=0.006, width=0.5, gaps=(Gap(x=1, area=0.1),)),)
        ),
        lambda: Coefficient(value=2.0, low=0.0, high=1.0, unit="-", what="a", source="b"),
        lambda: Coefficients().with_values({"draught": 1.0}),
    ],
)
def test_bad_input_says_what_is_allowed(make: object) -> None:
    assert callable(make)
    with pytest.raises(JobError) as caught:
        make()
    assert caught.value.allowed


def test_moisture_bases() -> None:
    assert dry_basis(0.2) == pytest.approx(0.25)


def test_coefficients_keep_their_range_round_a_changed_value() -> None:
    c = Coefficients().with_values({"circulation": 5.0})
    assert c["circulation"].high == 5.0
    assert c.values().circulation == 5.0
    assert Coefficients().values().circulation == 1.0


def test_moist_air() -> None:
    """At 30 C and 80 percent the vapour is 0.8 x 4.25 kPa of the pressure (steam tables, from memory)."""
    air = moist_air(303.15, 101_325.0, 0.8)
    assert air.mole_fraction(H2O) == pytest.approx(0.8 * 4247 / 101_325, rel=0.01)
    assert air.mass_fractions.sum() == pytest.approx(1.0)


@given(st.floats(300, 2400), st.floats(1e-4, 1.0), st.floats(1.1, 5.0))
def test_gas_emissivity_is_sane(t: float, path: float, more: float) -> None:
    one, two = (float(gas_emissivity(np.array([t]), p)[0]) for p in (path, path * more))
    assert 0.0 <= one <= two <= 1.0
    assert float(gas_emissivity(np.array([t]), 0.0)[0]) == 0.0


@given(st.floats(280, 365), st.floats(340, 450), st.floats(0.0, 0.3))
def test_drying_meets_its_own_law(meat: float, around: float, steam: float) -> None:
    """Wet steam slows drying; the slope is that of a difference; a heavier load dries more."""
    load = Load(mass=40.0)
    values = Coefficients().values()

    def run(t: float, had: float = 0.001, mass: float = 40.0) -> float:
        return drying(
            replace(load, mass=mass),
            values,
            meat=t,
            around=around,
            gas_flow=0.05,
            gas_steam=had,
            molar=0.0285,
            pressure=101325.0,
        ).steam

    base = drying(
        load, values, meat=meat, around=around, gas_flow=0.05, gas_steam=0.001, molar=0.0285, pressure=101325.0
    )
    assert run(meat, had=0.001 + 0.04 * steam) <= base.steam + 1e-12
    assert run(meat, mass=80.0) >= base.steam if base.steam > 0 else True
    film_held = (run(meat + 0.01) - run(meat - 0.01)) / 0.02
    if base.steam > 1e-6 and meat < around - 10:
        assert base.slope == pytest.approx(film_held, rel=0.6)  # the film's own change is left out of the slope


def test_enthalpy_inverse() -> None:
    gas = Gas(moist_air(300.0, 101_325.0, 0.5).mass_fractions)
    for t in (250.0, 298.15, 900.0, 1500.0, 3500.0):
        assert gas.temperature(gas.enthalpy(t)) == pytest.approx(t, abs=1e-6)
