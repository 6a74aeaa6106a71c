"""Steel: yield, tensile strength and stiffness, cold and hot.

Hot steel by EN 1993-1-2: Table 3.1 for stiffness, Table E.1 for the 0.2 % proof strength.
A pit is hot every day it works, not once in a fire, so members use the 0.2 % proof strength. Creep is not in it: over
400 °C (750 °F) in daily use these figures are too good, and a finding says so.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.tape import KSI, ZERO_CELSIUS

STIFFNESS = 29_000.0 * KSI
"""Young's modulus, 29,000 ksi = 199.9 GPa (AISC 360)."""

POISSON = 0.3
SHEAR_STIFFNESS = 11_200.0 * KSI
"""Shear modulus, 11,200 ksi = 77.2 GPa (AISC 360)."""

GROWTH = 12e-6
"""Growth per kelvin, mean of 20 to 300 °C: EN 1993-1-2 3.4.1.1 gives 12.0e-6 to 12.7e-6; 6.5e-6 per °F is 11.7e-6."""


DAILY_LIMIT = 400.0 + ZERO_CELSIUS
"""Above this, daily use brings creep and scale, which no figure here covers [K]."""

_CELSIUS = (20.0, 100.0, 200.0, 300.0, 400.0, 500.0, 600.0, 700.0, 800.0, 900.0, 1000.0, 1100.0, 1200.0)
_PROOF = (1.0, 1.0, 0.89, 0.78, 0.65, 0.53, 0.30, 0.13, 0.07, 0.05, 0.03, 0.02, 0.0)
_MODULUS = (1.0, 1.0, 0.9, 0.8, 0.7, 0.6, 0.31, 0.13, 0.09, 0.0675, 0.045, 0.0225, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Steel:
    """A grade of steel.

    name, source   as on the order, and where the figures come from
    yield_stress   minimum yield [Pa]
    tensile        minimum tensile strength [Pa]
    stiffness      Young's modulus [Pa]; shear_stiffness [Pa]
    """

    name: str
    yield_stress: float
    tensile: float
    source: str
    stiffness: float = STIFFNESS
    shear_stiffness: float = SHEAR_STIFFNESS


_FROM_MEMORY = "ASTM minimums as tabled in the AISC Manual, from memory"
TUBE_STEEL = Steel(name="A500 grade B", yield_stress=46 * KSI, tensile=58 * KSI, source=_FROM_MEMORY)
PIPE_STEEL = Steel(name="A53 grade B", yield_stress=35 * KSI, tensile=60 * KSI, source=_FROM_MEMORY)
PLATE_STEEL = Steel(name="A36", yield_stress=36 * KSI, tensile=58 * KSI, source=_FROM_MEMORY)
FOUND_STEEL = Steel(
    name="found vessel, grade not known",
    yield_stress=30 * KSI,
    tensile=50 * KSI,
    source="our judgement for unmarked mild steel, no source",
)


def steel_for(kind: str) -> Steel:
    """The weakest usual grade of a kind of stock: tube, pipe, else plate and bar."""
    return {"tube": TUBE_STEEL, "pipe": PIPE_STEEL}.get(kind, PLATE_STEEL)


def _table(values: Sequence[float], temperature: float) -> float:
    celsius = min(max(temperature - ZERO_CELSIUS, _CELSIUS[0]), _CELSIUS[-1])
    for low, high, a, b in zip(_CELSIUS, _CELSIUS[1:], values, values[1:]):
        if celsius <= high:
            return a + (b - a) * (celsius - low) / (high - low)
    return values[-1]


def proof_share(temperature: float) -> float:
    """0.2 % proof strength, hot over cold, at a temperature [K]: EN 1993-1-2 Table E.1."""
    return _table(_PROOF, temperature)


def stiffness_share(temperature: float) -> float:
    """Young's modulus, hot over cold, at a temperature [K]: EN 1993-1-2 Table 3.1."""
    return _table(_MODULUS, temperature)


def hot(steel: Steel, temperature: float) -> Steel:
    """The same steel at a temperature [K]: proof strength and stiffness taken down, tensile with the proof strength.

    Never less than the 1100 °C row, so that a ratio can still be formed.
    """
    temperature = min(temperature, 1100.0 + ZERO_CELSIUS)
    strength, modulus = proof_share(temperature), stiffness_share(temperature)
    if strength == 1.0 and modulus == 1.0:
        return steel
    return dataclasses.replace(
        steel,
        name=f"{steel.name}, hot",
        yield_stress=steel.yield_stress * strength,
        tensile=steel.tensile * strength,
        stiffness=steel.stiffness * modulus,
        shear_stiffness=steel.shear_stiffness * modulus,
        source=f"{steel.source}; EN 1993-1-2 Tables 3.1 and E.1",
    )


def growth(length: float, rise: float) -> float:
    """How much a length [m] grows over a rise of temperature [K]: 12e-6 x L x rise [m]."""
    return GROWTH * length * rise
