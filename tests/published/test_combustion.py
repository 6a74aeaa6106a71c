"""Wood, air and gas against published analyses, handbook tables and a reference library (Cantera, GRI-Mech 3.0)."""

from __future__ import annotations

import cantera
import numpy as np
import pytest

from pitwright.fire.case import Load, dry_basis, pressure_at
from pitwright.fire.gas import (
    DRY_AIR_MASS,
    LATENT_HEAT_25C,
    N2,
    O2,
    SPECIES,
    WOODS,
    Analysis,
    Gas,
    channiwala_parikh_2002,
    combustion_products,
    conductivity,
    dew_point,
    lower_heating_value,
    stoichiometric_air,
    vapour_pressure,
    vapour_pressure_slope,
    viscosity,
)
from pitwright.tape import BTU, FOOT, LB

BTU_LB = BTU / LB
RED_OAK = Analysis(
    name="red oak sawdust", carbon=0.4996, hydrogen=0.0592, oxygen=0.4377, nitrogen=0.0003, sulphur=0.0001, ash=0.0031,
    higher_heating_value=19.89e6, source="trmiles.com/alkali/fuelsc2, dry analysis",
)  # fmt: skip


@pytest.fixture(scope="module")
def gri() -> cantera.Solution:
    return cantera.Solution("gri30.yaml")


@pytest.mark.parametrize(
    ("wood", "air"), [("oak", 5.966), ("ash", 5.915), ("beech", 5.835), ("birch", 5.775), ("pine", 6.057)]
)
def test_stoichiometric_air_of_table_41(wood: str, air: float) -> None:
    """Steam 1919 Table 41 analyses; air by 23.14 percent oxygen in the check values, 0.2 percent."""
    assert stoichiometric_air(WOODS[wood]) == pytest.approx(air, rel=2e-3)


def test_six_of_air_per_wood() -> None:
    """Kubler, Wood and Fiber Science: wood burning consumes 6 g of air a gram, oven-dry."""
    assert stoichiometric_air(WOODS["oak"]) == pytest.approx(6.0, rel=0.04)


@pytest.mark.parametrize(
    ("excess", "co2", "o2"), [(0.0, 20.5, 0.0), (0.5, 13.62, 6.98), (1.0, 10.21, 10.46), (2.0, 6.80, 13.93)]
)
def test_dry_smoke_of_red_oak(excess: float, co2: float, o2: float) -> None:
    """Dry CO2 and O2 by volume at stated excess air; check value 4.33, 0.5 percent."""
    from pitwright.fire.gas import CO2, H2O, MOLAR_MASS

    air = stoichiometric_air(RED_OAK) * (1.0 + excess)
    assert stoichiometric_air(RED_OAK) == pytest.approx(5.891, rel=2e-3)
    moles = (DRY_AIR_MASS * air + combustion_products(RED_OAK, 0.129)) / MOLAR_MASS
    dry = moles / (moles.sum() - moles[H2O])
    assert 100 * dry[CO2] == pytest.approx(co2, rel=5e-3)
    assert 100 * dry[O2] == pytest.approx(o2, rel=5e-3, abs=0.02)


@pytest.mark.parametrize("wood", sorted(WOODS))
def test_heating_value_formula_against_measured(wood: str) -> None:
    """Channiwala and Parikh 2002 against the bomb values of Table 41: within 5 percent."""
    entry = WOODS[wood]
    assert channiwala_parikh_2002(entry) == pytest.approx(entry.higher_heating_value, rel=0.05)


def test_heating_value_of_oak_by_formula() -> None:
    """8,646 Btu/lb, 4.0 percent over the measured 8,316: check value 4.35."""
    assert channiwala_parikh_2002(WOODS["oak"]) / BTU_LB == pytest.approx(8646, rel=1e-3)


def test_heating_value_against_moisture() -> None:
    """20 percent on the dry basis: 0.17 lb of water and 0.83 of wood in a pound; 8,600 becomes about 7,167 Btu/lb."""
    assert pytest.approx(0.83, abs=0.005) == 1.0 / 1.2
    assert pytest.approx(7167, rel=1e-3) == 8600 / 1.2
    assert dry_basis(0.5) == pytest.approx(1.0)  # AP-42 1.6: 4,500 Btu/lb at 50 percent is 9,000 dry
    assert 9000 / (1.0 + dry_basis(0.5)) == pytest.approx(4500)


def test_lower_heating_value_takes_the_hydrogen_water() -> None:
    """9 kg of water a kg of hydrogen, by 18.015/2.016, at 2,441.7 kJ/kg."""
    oak = WOODS["oak"]
    lower = lower_heating_value(oak, oak.higher_heating_value)
    assert oak.higher_heating_value - lower == pytest.approx(0.0602 * 8.936 * 2.4417e6, rel=1e-3)


def test_latent_heat_of_water() -> None:
    """2,441.7 kJ/kg at 25 C: steam tables."""
    assert pytest.approx(2441.7e3, rel=1e-4) == LATENT_HEAT_25C


@pytest.mark.parametrize("species", SPECIES)
def test_enthalpy_and_heat_capacity_against_cantera(species: str, gri: cantera.Solution) -> None:
    fractions = np.array([1.0 if s == species else 0.0 for s in SPECIES])
    gas = Gas(fractions)
    for t in (300.0, 400.0, 700.0, 999.0, 1001.0, 1500.0, 2500.0):
        gri.TPY = 298.15, 101325.0, {species: 1.0}
        base = gri.enthalpy_mass
        gri.TPY = t, 101325.0, {species: 1.0}
        h, cp = gas.enthalpy_and_cp(np.array([t]))
        # the library's own heat capacity of steam jumps a little at 1000 K; the enthalpies then part by that much
        assert float(h[0]) == pytest.approx(gri.enthalpy_mass - base, rel=2e-4, abs=50.0)
        assert float(cp[0]) == pytest.approx(gri.cp_mass, rel=1e-6)


@pytest.mark.parametrize(
    ("excess", "moisture", "kelvin", "gas_mass"),
    [
        (2.0, 0.0, 1184, 18.59),
        (4.0, 0.0, 867, 30.33),
        (2.0, 0.25, 1138, None),
        (4.0, 0.25, 842, None),
        (1.0, 0.0, 1530, 12.73),
    ],
)
def test_adiabatic_smoke_temperature(excess: float, moisture: float, kelvin: float, gas_mass: float | None) -> None:
    """Cantera equilibrium of red oak, dry and at 20 percent of wet weight: check values 4.40 and 4.41, 1 percent."""
    air = stoichiometric_air(RED_OAK) * (1.0 + excess)
    flow = DRY_AIR_MASS * air + combustion_products(RED_OAK, moisture)
    total = float(flow.sum())
    if gas_mass is not None:
        assert total == pytest.approx(gas_mass, rel=0.01)
    heat = lower_heating_value(RED_OAK, 19.89e6) - moisture * LATENT_HEAT_25C
    assert Gas(flow / total).temperature(heat / total) == pytest.approx(kelvin, rel=0.01)


@pytest.mark.parametrize(
    ("f", "density"),
    [(59, 0.07651), (70, 0.07491), (225, 0.05793), (250, 0.05588), (275, 0.05398), (500, 0.04132), (900, 0.02916)],
)
def test_density_of_dry_air(f: float, density: float) -> None:
    """CoolProp 8.0 at 1 atm, lb/ft3 (check value 4.8), 0.1 percent."""
    t = (f - 32) / 1.8 + 273.15
    assert Gas(DRY_AIR_MASS).density(t, 101325.0) / (LB / FOOT**3) == pytest.approx(density, rel=1e-3)


def test_pressure_at_a_mile() -> None:
    """US Standard Atmosphere 1976: 83,432 Pa at 5,280 ft, 101,325 Pa at the sea."""
    assert pressure_at(5280 * FOOT) == pytest.approx(83_432, rel=2e-4)
    assert pressure_at(0.0) == pytest.approx(101_325)


def test_air_is_made_of_what_the_standard_says() -> None:
    """23.14 percent oxygen by mass; 28.96 g/mol."""
    assert DRY_AIR_MASS[O2] == pytest.approx(0.2314, rel=1e-3)
    assert DRY_AIR_MASS[N2] > 0.75
    assert Gas(DRY_AIR_MASS).molar_mass == pytest.approx(0.0289652, rel=2e-4)


def test_transport_of_air_against_cantera(gri: cantera.Solution) -> None:
    """Viscosity within 3 percent and conductivity within 5, 280 to 900 K."""
    gri.transport_model = "mixture-averaged"
    for t in np.linspace(280, 900, 10):
        gri.TPX = float(t), 101325.0, {"N2": 0.79, "O2": 0.21}
        assert float(viscosity(np.array([t]))[0]) == pytest.approx(gri.viscosity, rel=0.03)
        assert float(conductivity(np.array([t]))[0]) == pytest.approx(gri.thermal_conductivity, rel=0.05)


@pytest.mark.parametrize(("c", "kpa"), [(0.01, 0.6117), (25, 3.169), (60, 19.95), (100, 101.42)])
def test_vapour_pressure(c: float, kpa: float) -> None:
    """Steam tables (IAPWS, from memory), 1 percent; the slope against a difference, the dew point backward."""
    t = c + 273.15
    assert vapour_pressure(t) / 1000 == pytest.approx(kpa, rel=0.011)
    assert vapour_pressure_slope(t) == pytest.approx(
        (vapour_pressure(t + 0.01) - vapour_pressure(t - 0.01)) / 0.02, rel=1e-5
    )
    assert dew_point(vapour_pressure(t)) == pytest.approx(t, abs=1e-6)


@pytest.mark.parametrize(
    ("parts", "published", "tolerance"),
    [
        ((0.745, 0.22, 0.025, 0.01), 3600, 0.06),  # lean beef, Morley 1972 in James, Meat Refrigeration, table 13.2
        ((0.51, 0.17, 0.31, 0.01), 2890, 0.12),  # fatty beef, the same; water-rich fat melts within the range measured
        ((0.5518, 0.1694, 0.2654, 0.0080), 3190, 0.03),  # brisket, ASHRAE 2006 ch. 9 table 3 (from memory)
    ],
)
def test_heat_capacity_of_meat(parts: tuple[float, float, float, float], published: float, tolerance: float) -> None:
    water, protein, fat, ash = parts
    load = Load(mass=1.0, water=water, protein=protein, fat=fat, ash=ash)
    assert load.heat_capacity == pytest.approx(published, rel=tolerance)
