"""Films and steel against `ht`, EN 1993-1-2 and handbook examples."""

from __future__ import annotations

import ht
import numpy as np
import pytest

from pitwright.fire.films import (
    PRANDTL,
    churchill_bernstein_1977,
    churchill_chu_1975_cylinder,
    duct_film,
    outside_film,
    steel_energy,
    steel_heat_capacity,
    steel_temperature,
    turbulent_natural,
)
from pitwright.fire.gas import GAS_CONSTANT, GRAVITY, STEFAN_BOLTZMANN, conductivity, viscosity


def air(film: float) -> tuple[float, float]:
    rho = 101325 * 0.0289652 / (GAS_CONSTANT * film)
    t = np.array([film])
    return float(conductivity(t)[0]), float(viscosity(t)[0]) / rho


@pytest.mark.parametrize("diameter", [0.1, 0.2, 0.6, 1.2])
@pytest.mark.parametrize("surface", [300.0, 340.0, 400.0, 600.0])
def test_cylinder_in_still_air(diameter: float, surface: float) -> None:
    """Churchill and Chu 1975 as in ht.Nu_horizontal_cylinder_Churchill_Chu (whose own check: Pr 0.69, Gr 2.63e9)."""
    assert ht.Nu_horizontal_cylinder_Churchill_Chu(0.69, 2.63e9) == pytest.approx(139.1349, rel=1e-6)
    film = 0.5 * (surface + 290.0)
    k, nu = air(film)
    grashof = GRAVITY * (surface - 290.0) * diameter**3 / (film * nu**2)
    expected = ht.Nu_horizontal_cylinder_Churchill_Chu(PRANDTL, grashof) * k / diameter
    assert float(churchill_chu_1975_cylinder(np.array([surface]), 290.0, diameter, 101325.0)[0]) == pytest.approx(
        expected, rel=1e-9
    )


@pytest.mark.parametrize("diameter", [0.1, 0.6, 1.2])
@pytest.mark.parametrize("wind", [0.5, 3.0, 10.0])
def test_cylinder_in_wind(diameter: float, wind: float) -> None:
    """Churchill and Bernstein 1977 as in ht.Nu_cylinder_Churchill_Bernstein."""
    k, nu = air(0.5 * (360.0 + 290.0))
    expected = ht.Nu_cylinder_Churchill_Bernstein(wind * diameter / nu, PRANDTL) * k / diameter
    found = float(churchill_bernstein_1977(np.array([360.0]), 290.0, diameter, wind, 101325.0)[0])
    assert found == pytest.approx(expected, rel=1e-9)


def test_wind_and_still_air_join() -> None:
    t = np.array([360.0])
    still = float(outside_film(t, 290.0, 0.8, 0.0, 101325.0)[0])
    blown = float(churchill_bernstein_1977(t, 290.0, 0.8, 5.0, 101325.0)[0])
    both = float(outside_film(t, 290.0, 0.8, 5.0, 101325.0)[0])
    assert both == pytest.approx((still**3 + blown**3) ** (1 / 3))


def test_turbulent_natural_convection_of_an_upright_wall() -> None:
    """Nu = C Ra^(1/3) with C 0.125 lies within 15 percent of Churchill and Chu 1975 over Ra 1e9 to 1e12 (ht)."""
    for rayleigh in (1e9, 1e10, 1e11, 1e12):
        whole = ht.Nu_vertical_plate_Churchill(PRANDTL, rayleigh / PRANDTL)
        assert 0.125 * rayleigh ** (1 / 3) == pytest.approx(whole, rel=0.15)
    hot, cold = np.array([400.0]), np.array([340.0])
    k, nu = air(370.0)
    group = GRAVITY * 60.0 * PRANDTL / (370.0 * nu**2)
    assert float(turbulent_natural(hot, cold, 0.125, 101325.0)[0]) == pytest.approx(
        0.125 * k * group ** (1 / 3), rel=1e-9
    )


def test_duct_film_limits() -> None:
    """3.66 k/D with hardly any flow (fully developed laminar), Dittus and Boelter well over Re 10,000."""
    t, d = np.array([400.0]), 0.2
    k = float(conductivity(t)[0])
    assert float(duct_film(t, 1e-6, d)[0]) == pytest.approx(3.66 * k / d, rel=1e-3)
    reynolds = 2e5
    flux = reynolds * float(viscosity(t)[0]) / d
    expected = ht.conv_internal.turbulent_Dittus_Boelter(reynolds, PRANDTL, heating=True, revised=True)
    assert float(duct_film(t, flux, d)[0]) == pytest.approx(expected * k / d, rel=0.01)


def test_radiation() -> None:
    """Black at 400 K 1451.6 W/m2; 0.85, 400 to 305 K 816.78 W/m2: ht.q_rad docstring."""
    assert pytest.approx(1451.6, rel=1e-4) == STEFAN_BOLTZMANN * 400**4
    assert pytest.approx(816.78, rel=1e-5) == 0.85 * STEFAN_BOLTZMANN * (400**4 - 305**4)


@pytest.mark.parametrize(
    ("c", "capacity"), [(20, 439.8), (100, 487.6), (200, 529.8), (300, 564.7), (400, 605.9), (600, 759.9)]
)
def test_heat_capacity_of_steel(c: float, capacity: float) -> None:
    """EN 1993-1-2 clause 3.4.1.2, 0.1 percent."""
    assert float(steel_heat_capacity(np.array([c + 273.15]))[0]) == pytest.approx(capacity, rel=1e-3)


def test_steel_energy_is_the_integral_and_goes_both_ways() -> None:
    t = np.linspace(230.0, 1000.0, 40)
    step = (steel_energy(t + 0.01) - steel_energy(t - 0.01)) / 0.02
    assert step == pytest.approx(steel_heat_capacity(t), rel=1e-6)
    assert steel_temperature(steel_energy(t)) == pytest.approx(t, abs=1e-9)
