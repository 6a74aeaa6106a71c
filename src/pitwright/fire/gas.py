"""Wood, air and smoke: what burns, how much air it takes, and what the gas that comes of it carries.

Analysis   the elements of dry wood by mass
Gas        a mixture of N2, O2, Ar, CO2 and H2O by mass; its enthalpy counts from 298.15 K with all water as vapour
Fuel heat  the higher heating value counts water as liquid, the lower as vapour
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

GAS_CONSTANT: Final = 8.314462618  # J/mol K, CODATA 2018
STEFAN_BOLTZMANN: Final = 5.670374419e-8  # W/m2 K4, CODATA 2018
GRAVITY: Final = 9.80665  # m/s2, standard gravity
REFERENCE_TEMPERATURE: Final = 298.15  # K
LATENT_HEAT_25C: Final = 2_441_700.0  # J/kg, water at 298.15 K (steam tables; check value 4.29)
STANDARD_PRESSURE: Final = 101_325.0  # Pa

SPECIES: Final = ("N2", "O2", "AR", "CO2", "H2O")
MOLAR_MASS: Final[Array] = np.array([28.014, 31.998, 39.95, 44.009, 18.015]) * 1e-3  # kg/mol
N2, O2, AR, CO2, H2O = range(5)

# cp/R = a1 + a2 T + a3 T^2 + a4 T^3 + a5 T^4. Source: GRI-Mech 3.0 thermodynamic data (NASA 7-coefficient form).
_BREAK: Final = 1000.0
_LOW: Final[Array] = np.array(
    [
        [3.298677, 0.0014082404, -3.963222e-06, 5.641515e-09, -2.444854e-12],
        [3.78245636, -0.00299673416, 9.84730201e-06, -9.68129509e-09, 3.24372837e-12],
        [2.5, 0.0, 0.0, 0.0, 0.0],
        [2.35677352, 0.00898459677, -7.12356269e-06, 2.45919022e-09, -1.43699548e-13],
        [4.19864056, -0.0020364341, 6.52040211e-06, -5.48797062e-09, 1.77197817e-12],
    ]
)
_HIGH: Final[Array] = np.array(
    [
        [2.92664, 0.0014879768, -5.68476e-07, 1.0097038e-10, -6.753351e-15],
        [3.28253784, 0.00148308754, -7.57966669e-07, 2.09470555e-10, -2.16717794e-14],
        [2.5, 0.0, 0.0, 0.0, 0.0],
        [3.85746029, 0.00441437026, -2.21481404e-06, 5.23490188e-10, -4.72084164e-14],
        [3.03399249, 0.00217691804, -1.64072518e-07, -9.7041987e-11, 1.68200992e-14],
    ]
)
# Outside this band the heat capacity is held at its end value, so that the enthalpy stays smooth and rising.
_COLDEST: Final = 220.0
_HOTTEST: Final = 3000.0
_POWERS: Final[Array] = np.array([1.0, 2.0, 3.0, 4.0, 5.0])


_PER_MOLAR: Final[Array] = 1.0 / MOLAR_MASS


def _at(c: Array, t: float) -> float:
    return float((((c[4] * t + c[3]) * t + c[2]) * t + c[1]) * t + c[0])


def _horner(c: Array, t: Array) -> Array:
    result: Array = (((c[4] * t + c[3]) * t + c[2]) * t + c[1]) * t + c[0]
    return result


class Gas:
    """A gas mixture of fixed composition: enthalpy and heat capacity against temperature.

    mass_fractions  of SPECIES, summing to one [-]
    molar_mass      mean [kg/mol]
    """

    __slots__ = ("_table", "mass_fractions", "molar_mass")

    def __init__(self, mass_fractions: Array) -> None:
        self.mass_fractions = mass_fractions
        self.molar_mass = float(1.0 / (mass_fractions @ _PER_MOLAR))
        self._table: tuple[Array, Array, Array, Array, float, float] | None = None

    def _polynomials(self) -> tuple[Array, Array, Array, Array, float, float]:
        """Heat capacity and enthalpy polynomials, cold and hot, and what the enthalpies count from."""
        if self._table is None:
            per_kg = GAS_CONSTANT * self.mass_fractions * _PER_MOLAR
            cp_low, cp_high = per_kg @ _LOW, per_kg @ _HIGH
            h_low, h_high = cp_low / _POWERS, cp_high / _POWERS
            t = REFERENCE_TEMPERATURE
            offset_low = _at(h_low, t) * t
            offset_high = _at(h_high, _BREAK) * _BREAK - (_at(h_low, _BREAK) * _BREAK - offset_low)
            self._table = (cp_low, cp_high, h_low, h_high, offset_low, offset_high)
        return self._table

    def enthalpy_and_cp(self, temperature: Array) -> tuple[Array, Array]:
        """Sensible enthalpy above 298.15 K [J/kg] and heat capacity [J/kg K] at a temperature [K].

        Source: GRI-Mech 3.0 polynomials, 300 to 3000 K; the enthalpy is continuous at 1000 K by construction.
        """
        cp_low, cp_high, h_low, h_high, offset_low, offset_high = self._polynomials()
        inside = np.minimum(np.maximum(temperature, _COLDEST), _HOTTEST)
        if inside.max() <= _BREAK:
            cp = _horner(cp_low, inside)
            h = _horner(h_low, inside) * inside - offset_low
        else:
            hot = inside > _BREAK
            cp = np.where(hot, _horner(cp_high, inside), _horner(cp_low, inside))
            h = np.where(
                hot,
                _horner(h_high, inside) * inside - offset_high,
                _horner(h_low, inside) * inside - offset_low,
            )
        return h + cp * (temperature - inside), cp

    def enthalpy(self, temperature: float) -> float:
        """Sensible enthalpy above 298.15 K at one temperature [J/kg]."""
        return float(self.enthalpy_and_cp(np.atleast_1d(np.float64(temperature)))[0][0])

    def temperature(self, enthalpy: float) -> float:
        """The temperature at which the gas carries this sensible enthalpy [K] (Newton)."""
        t = REFERENCE_TEMPERATURE + enthalpy / 1050.0
        for _ in range(60):
            h, cp = self.enthalpy_and_cp(np.atleast_1d(np.float64(t)))
            step = (enthalpy - float(h[0])) / float(cp[0])
            t += step
            if abs(step) < 1e-9:
                break
        return t

    def density(self, temperature: float, pressure: float) -> float:
        """Ideal-gas density p M / (R T) [kg/m3]."""
        return pressure * self.molar_mass / (GAS_CONSTANT * temperature)

    def mole_fraction(self, species: int) -> float:
        """Mole fraction of one of SPECIES by its index [-]."""
        return float(self.mass_fractions[species] / MOLAR_MASS[species] * self.molar_mass)


# Dry air by volume. Source: US Standard Atmosphere 1976, the trace gases counted as nitrogen.
_DRY_MOLES: Final[Array] = np.array([0.78116, 0.209476, 0.00934, 0.000024, 0.0])
DRY_AIR_MASS: Final[Array] = _DRY_MOLES * MOLAR_MASS / float(np.sum(_DRY_MOLES * MOLAR_MASS))


def vapour_pressure(temperature: float) -> float:
    """Saturation pressure of water over liquid [Pa] at a temperature [K].

    p = 610.78 exp(17.27 c / (c + 237.3)), c in degrees Celsius: Tetens 1930, within 1 percent over 0 to 100 C.
    """
    c = temperature - 273.15
    return 610.78 * math.exp(17.27 * c / (c + 237.3))


def vapour_pressure_slope(temperature: float) -> float:
    """The slope of vapour_pressure [Pa/K] at a temperature [K]."""
    c = temperature - 273.15
    return vapour_pressure(temperature) * 17.27 * 237.3 / (c + 237.3) ** 2


def dew_point(partial_pressure: float) -> float:
    """The temperature at which vapour of this pressure [Pa] starts to condense [K] (Tetens turned round)."""
    x = math.log(max(partial_pressure, 1e-3) / 610.78)
    return 273.15 + 237.3 * x / (17.27 - x)


def moist_air(temperature: float, pressure: float, humidity: float) -> Gas:
    """Air of a temperature [K], pressure [Pa] and relative humidity [-, 0 to 1]."""
    partial = min(humidity * vapour_pressure(temperature), 0.5 * pressure)
    dry_molar = float(1.0 / np.sum(DRY_AIR_MASS / MOLAR_MASS))
    ratio = partial / (pressure - partial) * MOLAR_MASS[H2O] / dry_molar
    mass = DRY_AIR_MASS.copy()
    mass[H2O] += ratio
    return Gas(mass / (1.0 + ratio))


@dataclass(frozen=True, slots=True, kw_only=True)
class Analysis:
    """Ultimate analysis of dry wood, mass fractions [-], and its measured higher heating value.

    higher_heating_value  [J/kg dry], measured; where none was measured use `channiwala_parikh_2002`
    """

    name: str
    carbon: float
    hydrogen: float
    oxygen: float
    nitrogen: float
    sulphur: float
    ash: float
    higher_heating_value: float
    source: str


_BTU_PER_LB: Final = 2326.0  # J/kg, exact by the international table Btu
_TABLE_41: Final = "Babcock & Wilcox, Steam, 35th ed. 1919, Table 41 (dry basis)"


def _wood(name: str, c: float, h: float, n: float, o: float, ash: float, btu: float) -> Analysis:
    return Analysis(
        name=name,
        carbon=c / 100,
        hydrogen=h / 100,
        oxygen=o / 100,
        nitrogen=n / 100,
        sulphur=0.0,
        ash=ash / 100,
        higher_heating_value=btu * _BTU_PER_LB,
        source=_TABLE_41,
    )


WOODS: Final[dict[str, Analysis]] = {
    "oak": _wood("oak", 50.16, 6.02, 0.09, 43.36, 0.37, 8316),
    "ash": _wood("ash", 49.18, 6.27, 0.07, 43.91, 0.57, 8480),
    "beech": _wood("beech", 49.06, 6.11, 0.09, 44.17, 0.57, 8391),
    "birch": _wood("birch", 48.88, 6.06, 0.10, 44.67, 0.29, 8586),
    "pine": _wood("pine", 50.31, 6.20, 0.04, 43.08, 0.37, 9153),
}


def channiwala_parikh_2002(wood: Analysis) -> float:
    """Higher heating value of dry fuel from its elements [J/kg].

    HHV = 0.3491 C + 1.1783 H + 0.1005 S - 0.1034 O - 0.0151 N - 0.0211 A (MJ/kg, percent by mass).
    Source: Channiwala and Parikh, Fuel 81 (2002) 1051 (from memory); C 0-92 %, O 0-50 %, ash 0-71 %; error 1.5 %.
    """
    return 1e8 * (
        0.3491 * wood.carbon
        + 1.1783 * wood.hydrogen
        + 0.1005 * wood.sulphur
        - 0.1034 * wood.oxygen
        - 0.0151 * wood.nitrogen
        - 0.0211 * wood.ash
    )


def lower_heating_value(wood: Analysis, higher: float) -> float:
    """Heat of burning dry wood with the water of its hydrogen left as vapour [J/kg dry]."""
    return higher - wood.hydrogen * (18.015 / 2.016) * LATENT_HEAT_25C


def stoichiometric_air(wood: Analysis) -> float:
    """Dry air that burns a unit of dry wood completely [kg/kg]: oxygen for C, H and S less the wood's own."""
    oxygen = (
        wood.carbon * 31.998 / 12.011
        + wood.hydrogen * 31.998 / (4 * 1.008)
        + wood.sulphur * 31.998 / 32.06
        - wood.oxygen
    )
    return oxygen / float(DRY_AIR_MASS[O2])


def combustion_products(wood: Analysis, moisture: float) -> Array:
    """What a unit of dry wood adds to the air it burns in, by SPECIES [kg/kg dry]; oxygen is negative.

    moisture  water per dry wood [kg/kg]. Nitrogen of the fuel goes to N2; sulphur is counted as CO2 (woods: none).
    """
    added = np.zeros(5)
    added[CO2] = wood.carbon * 44.009 / 12.011 + wood.sulphur * 44.009 / 32.06
    added[H2O] = wood.hydrogen * 18.015 / 2.016 + moisture
    added[N2] = wood.nitrogen
    added[O2] = (1.0 - wood.ash + moisture) - float(np.sum(added))
    return added


def viscosity(temperature: Array) -> Array:
    """Dynamic viscosity of air and thin smoke [Pa s]; Sutherland 1893: 1.458e-6 T^1.5/(T + 110.4), 200 to 1900 K."""
    result: Array = 1.458e-6 * temperature * np.sqrt(temperature) / (temperature + 110.4)
    return result


def conductivity(temperature: Array) -> Array:
    """Thermal conductivity of air [W/m K]; 2.646e-3 T^1.5/(T + 245.4 10^(-12/T)): US Standard Atmosphere 1976."""
    result: Array = (
        2.64638e-3 * temperature * np.sqrt(temperature) / (temperature + 245.4 * np.exp(-27.631 / temperature))
    )
    return result


# Weighted sum of grey gases, water to carbon dioxide 2 to 1. Source: Smith, Shen and Friedman, J. Heat Transfer
# 104 (1982) 602; range 600 to 2400 K and 0.001 to 10 atm m. Below 600 K this is an extension of the polynomials.
_GREY_K: Final = (0.4201, 6.516, 131.9)
_GREY_B: Final = (
    (0.6508, -5.551e-4, 3.029e-7, -5.353e-11),
    (-0.2504e-1, 6.112e-4, -3.882e-7, 6.528e-11),
    (2.718e-1, -3.118e-4, 1.221e-7, -1.612e-11),
)


def gas_emissivity(temperature: Array, path: Array | float) -> Array:
    """Total emissivity of a CO2 and H2O gas [-].

    path  partial pressure of CO2 plus H2O times mean beam length [atm m]
    """
    t = np.minimum(np.maximum(temperature, 300.0), 2400.0)
    total: Array = np.zeros_like(t)
    for k, b in zip(_GREY_K, _GREY_B):
        total = total + (((b[3] * t + b[2]) * t + b[1]) * t + b[0]) * (1.0 - np.exp(-k * path))
    return np.maximum(total, 0.0)
