"""The meat: how it takes up heat and how it dries.

One lump of one temperature, spread evenly along the grate: a fair picture of the surface, which is what heat and steam
cross; the middle of a thick piece lags hours behind and is not foretold here.
"""

from __future__ import annotations

import math
from typing import Final, NamedTuple

import numpy as np

from pitwright.fire.case import Load
from pitwright.fire.coefficients import Values
from pitwright.fire.films import churchill_chu_1975_cylinder
from pitwright.fire.gas import H2O, LATENT_HEAT_25C, MOLAR_MASS, vapour_pressure, vapour_pressure_slope

_WATER_HEAT: Final = 4186.0  # J/kg K
_LEWIS: Final = 0.90  # Le^(2/3) of water vapour in air
_GAS_HEAT: Final = 1020.0  # J/kg K
_FULL: Final = 0.97  # a vapour share of one cannot be reached


class Drying(NamedTuple):
    """Film [W/m2 K], water leaving [kg/s] and its slope with the meat's temperature, heat a kilogram takes [J/kg]."""

    film: float
    steam: float
    slope: float
    latent: float


def latent_heat(temperature: float) -> float:
    """Heat that water at this temperature needs to become vapour at 298.15 K [J/kg] (the rest is the vapour's warmth)."""
    return LATENT_HEAT_25C - _WATER_HEAT * (temperature - 298.15)


def drying(
    load: Load,
    values: Values,
    *,
    meat: float,
    around: float,
    gas_flow: float,
    gas_steam: float,
    molar: float,
    pressure: float,
    guess: float = 0.0,
) -> Drying:
    """How the meat dries in the gas that passes.

    m = h A w / (cp Le^(2/3)) * 0.622 ln((p - p_gas) / (p - p_meat)): Lewis' analogy with Stefan's flow. The vapour
    pressure of the gas counts the meat's own steam, so the two are solved together.

    gas_flow   gas passing [kg/s], of which gas_steam [kg/s] is vapour before the meat adds its own
    molar      molar mass of that gas without the meat's steam [kg/mol]
    guess      steam to begin the search from [kg/s]
    """
    diameter = 1.5 * (load.piece / 1050.0 / 8.0) ** (1.0 / 3.0)
    film = float(churchill_chu_1975_cylinder(np.array([meat]), around, diameter, pressure)[0]) * values.inside_film
    rate = values.wetness * film * load.surface / (_GAS_HEAT * _LEWIS) * 0.622
    wet = vapour_pressure(meat)
    full = _FULL * pressure
    wet, wet_slope = (wet, vapour_pressure_slope(meat)) if wet < full else (full, 0.0)
    dry_moles = max((gas_flow / molar) - gas_steam / float(MOLAR_MASS[H2O]), 1e-9)
    had = gas_steam / float(MOLAR_MASS[H2O])

    water = float(MOLAR_MASS[H2O])

    def share(steam: float) -> float:
        moles = max(had + steam / water, 0.0)
        return min(moles / (moles + dry_moles), _FULL)

    # steam = rate ln((1 - y(steam)) / (1 - y_meat)) has one root, for the right side falls as steam rises: Newton's
    # method, held between the bounds it finds
    low = -had * water
    high = max(rate * math.log(1.0 / (1.0 - wet / pressure)), 1e-12)
    steam = min(max(guess, low), high)
    for _ in range(80):
        y = share(steam)
        error = steam - rate * math.log((1.0 - y) / (1.0 - wet / pressure))
        if error > 0.0:
            high = steam
        else:
            low = steam
        dy = (1.0 - y) ** 2 / dry_moles / water
        new = steam - error / (1.0 + rate * dy / (1.0 - y))
        if not low <= new <= high:
            new = 0.5 * (low + high)
        moved, steam = abs(new - steam), new
        if moved <= 1e-15 + 1e-14 * abs(steam):
            break
    y = share(steam)
    dy = (1.0 - y) ** 2 / dry_moles / water if y < _FULL else 0.0
    slope = rate * wet_slope / (pressure - wet) / (1.0 + rate * dy / (1.0 - y))
    return Drying(film=film, steam=steam, slope=slope, latent=latent_heat(meat))
