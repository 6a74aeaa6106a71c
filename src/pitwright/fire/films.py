"""Films: how fast heat crosses from gas to steel and from steel to the weather.

Every correlation is written for arrays, so that all zones of a pit are one call; the tests hold each against the
same correlation in the `ht` library over a grid.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from pitwright.fire.gas import GAS_CONSTANT, GRAVITY, Array, conductivity, viscosity

AIR_MOLAR: Final = 0.0289652  # kg/mol, US Standard Atmosphere 1976
PRANDTL: Final = 0.70  # air and thin smoke, 250 to 900 K, within 2 percent

# Nu = C Ra^(1/3), turbulent, so that the film does not depend on the size of the surface.
CEILING: Final = 0.15  # hot gas under a cool plate (or cool gas on a hot floor): Incropera eq. 9.31, Ra 1e7 to 1e11
SIDE: Final = 0.125  # upright wall: Churchill and Chu 1975 at Ra 1e9 to 1e11 (0.825 + 0.387 Ra^(1/6) f)^2
UPPER_HALF: Final = 0.5 * (CEILING + SIDE)  # half ceiling, half sides
LOWER_HALF: Final = 0.5 * (SIDE + 0.05)  # half sides, half a floor under warm gas (stable layer; 0.27 Ra^(1/4))


def _air(film_temperature: Array, pressure: float) -> tuple[Array, Array]:
    """Conductivity [W/m K] and kinematic viscosity [m2/s] of air."""
    density = pressure * AIR_MOLAR / (GAS_CONSTANT * film_temperature)
    return conductivity(film_temperature), viscosity(film_temperature) / density


def turbulent_natural(hot: Array, cold: Array, constant: Array | float, pressure: float) -> Array:
    """Film of turbulent natural convection h = C k (g |dT| Pr / (T nu^2))^(1/3) [W/m2 K]."""
    film = 0.5 * (hot + cold)
    k, nu = _air(film, pressure)
    group = GRAVITY * np.abs(hot - cold) * PRANDTL / (film * nu * nu)
    film_coefficient: Array = constant * k * np.cbrt(group)
    return film_coefficient


def churchill_chu_1975_cylinder(surface: Array, air: float, diameter: Array | float, pressure: float) -> Array:
    """Film on a horizontal cylinder in still air [W/m2 K].

    Nu = (0.60 + 0.387 Ra^(1/6) / (1 + (0.559/Pr)^(9/16))^(8/27))^2, Ra to 1e12.
    Source: Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1049.
    """
    film = 0.5 * (surface + air)
    k, nu = _air(film, pressure)
    rayleigh = GRAVITY * np.abs(surface - air) * diameter**3 * PRANDTL / (film * nu * nu)
    factor = (1.0 + (0.559 / PRANDTL) ** (9 / 16)) ** (8 / 27)
    film_coefficient: Array = (0.60 + 0.387 * rayleigh ** (1 / 6) / factor) ** 2 * k / diameter
    return film_coefficient


def churchill_bernstein_1977(
    surface: Array, air: float, diameter: Array | float, wind: float, pressure: float
) -> Array:
    """Film on a cylinder across the wind [W/m2 K]; Re Pr over 0.2.

    Nu = 0.3 + 0.62 Re^(1/2) Pr^(1/3) / (1 + (0.4/Pr)^(2/3))^(1/4) (1 + (Re/282000)^(5/8))^(4/5).
    Source: Churchill and Bernstein, J. Heat Transfer 99 (1977) 300.
    """
    film = 0.5 * (surface + air)
    k, nu = _air(film, pressure)
    reynolds = wind * diameter / nu
    factor = (1.0 + (0.4 / PRANDTL) ** (2 / 3)) ** 0.25
    nusselt = 0.3 + 0.62 * np.sqrt(reynolds) * PRANDTL ** (1 / 3) / factor * (1 + (reynolds / 282_000) ** 0.625) ** 0.8
    film_coefficient: Array = nusselt * k / diameter
    return film_coefficient


def outside_film(surface: Array, air: float, diameter: Array | float, wind: float, pressure: float) -> Array:
    """Film from steel to the weather [W/m2 K]: still air and wind joined as cubes (Churchill and Usagi's blend)."""
    still = churchill_chu_1975_cylinder(surface, air, diameter, pressure)
    if wind <= 0.0:
        return still
    blown = churchill_bernstein_1977(surface, air, diameter, wind, pressure)
    both: Array = np.cbrt(still**3 + blown**3)
    return both


def duct_film(gas: Array, flux: Array | float, hydraulic_diameter: Array | float) -> Array:
    """Film of gas driven through a duct [W/m2 K].

    flux  mass flow over flow area [kg/m2 s]
    Nu = (3.66^3 + (0.023 Re^0.8 Pr^0.4)^3)^(1/3): fully developed laminar flow joined to Dittus and Boelter 1930
    (Re over 10,000). Between Re 2,300 and 10,000 this is a blend, not a law; the inside-film band covers it.
    """
    reynolds = np.abs(flux) * hydraulic_diameter / viscosity(gas)
    turbulent = 0.023 * reynolds**0.8 * PRANDTL**0.4
    film: Array = np.cbrt(3.66**3 + turbulent**3) * conductivity(gas) / hydraulic_diameter
    return film


def steel_energy(temperature: Array) -> Array:
    """Heat held by carbon steel above 273.15 K [J/kg]; the integral of `steel_heat_capacity`."""
    c = temperature - 273.15
    result: Array = (((2.22e-6 / 4 * c - 1.69e-3 / 3) * c + 0.773 / 2) * c + 425.0) * c
    return result


def steel_heat_capacity(temperature: Array) -> Array:
    """Heat capacity of carbon steel [J/kg K]; c = 425 + 0.773 T - 1.69e-3 T^2 + 2.22e-6 T^3, T in C.

    Source: EN 1993-1-2 clause 3.4.1.2, 20 to 600 C; used from -60 to 700 C.
    """
    c = temperature - 273.15
    result: Array = ((2.22e-6 * c - 1.69e-3) * c + 0.773) * c + 425.0
    return result


def steel_temperature(energy: Array) -> Array:
    """The temperature at which steel holds this much heat above 273.15 K [K] (Newton, to the last digit)."""
    t = 273.15 + energy / (425.0 + 0.38 * energy / 470.0)
    for _ in range(6):
        step = (energy - steel_energy(t)) / steel_heat_capacity(t)
        t = t + step
        if np.max(np.abs(step)) < 1e-9:
            break
    return t


STEEL_CONDUCTIVITY: Final = 50.0  # W/m K, EN 1993-1-2: 54 - 0.0333 T; 47 to 53 over the skins of a pit
