"""The day of a fire: where the hand has set things, the weather, the wood, the meat, and what is wanted."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal

from pitwright.errors import JobError
from pitwright.fire.gas import STANDARD_PRESSURE, WOODS, Analysis


def positive(kind: object, *names: str) -> None:
    """Refuse any of these fields that is not a positive size."""
    for name in names:
        value = getattr(kind, name)
        if not (math.isfinite(value) and value > 0.0):
            raise JobError("must be more than nought", field=name, value=value, allowed="a positive size")


def share(kind: object, *names: str) -> None:
    """Refuse any of these fields that is not a share, 0 to 1."""
    for name in names:
        value = getattr(kind, name)
        if not 0.0 <= value <= 1.0:
            raise JobError("is a share", field=name, value=value, allowed="0 to 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Where the hand has set things: inlet and damper, as the open share of their full area [-]."""

    inlet_open: float = 1.0
    damper_open: float = 1.0

    def __post_init__(self) -> None:
        share(self, "inlet_open", "damper_open")


@dataclass(frozen=True, slots=True, kw_only=True)
class Weather:
    """The day: air temperature [K], pressure [Pa], relative humidity [-], wind [m/s]."""

    temperature: float = 288.15
    pressure: float = STANDARD_PRESSURE
    humidity: float = 0.5
    wind: float = 0.0

    def __post_init__(self) -> None:
        positive(self, "temperature", "pressure")
        share(self, "humidity")
        if not 220.0 <= self.temperature <= 330.0:
            raise JobError("air this hot or cold is not weather", field="temperature", value=self.temperature,
                           allowed="220 K to 330 K")  # fmt: skip


def pressure_at(altitude: float) -> float:
    """Air pressure [Pa] at a height above the sea [m]; US Standard Atmosphere 1976, to 11,000 m."""
    return float(STANDARD_PRESSURE * (1.0 - 2.25577e-5 * altitude) ** 5.25588)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fuel:
    """The wood.

    wood        ultimate analysis, dry
    moisture    water per DRY wood [kg/kg]; see `dry_basis` for a figure stated on wet weight
    split       mass of one split as fired [kg]
    thickness   of a split [m]
    bulk        dry mass of wood in a unit of filled firebox [kg/m3]
    hardwood    sets the charring rate
    """

    wood: Analysis = field(default_factory=lambda: WOODS["oak"])
    moisture: float = 0.25
    split: float = 1.4
    thickness: float = 0.09
    bulk: float = 320.0
    hardwood: bool = True

    def __post_init__(self) -> None:
        positive(self, "split", "thickness", "bulk")
        if not 0.0 <= self.moisture <= 2.0:
            raise JobError("water per dry wood", field="moisture", value=self.moisture, allowed="0 to 2")


def dry_basis(wet_basis: float) -> float:
    """Water per dry wood from water per wet wood [kg/kg]: w / (1 - w)."""
    return wet_basis / (1.0 - wet_basis)


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """The meat: mass [kg], mass of one piece [kg], water, protein, fat and ash shares [-], start temperature [K]."""

    mass: float = 0.0
    piece: float = 5.5
    water: float = 0.65
    protein: float = 0.18
    fat: float = 0.16
    ash: float = 0.01
    temperature: float = 278.15

    def __post_init__(self) -> None:
        share(self, "water", "protein", "fat", "ash")
        positive(self, "piece", "temperature")
        if self.mass < 0.0:
            raise JobError("cannot be less than nought", field="mass", value=self.mass, allowed="0 or more")
        if abs(self.water + self.protein + self.fat + self.ash - 1.0) > 0.02:
            raise JobError("water, protein, fat and ash must make the whole", field="load",
                           value=round(self.water + self.protein + self.fat + self.ash, 3), allowed="1")  # fmt: skip

    @property
    def heat_capacity(self) -> float:
        """Of the meat [J/kg K] near 20 C: Choi and Okos 1986 (ASHRAE Refrigeration ch. 9 table 1) by mass shares."""
        return 4129.27 * self.water + 2031.85 * self.protein + 2011.75 * self.fat + 1128.92 * self.ash

    @property
    def surface(self) -> float:
        """Area of all pieces [m2]: slabs of 1 to 2 to 4 at 1,050 kg/m3, that is 7 (m / rho)^(2/3) each."""
        return float(self.mass / self.piece * 7.0 * (self.piece / 1050.0) ** (2.0 / 3.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """The order: grate temperature [K], where it is read, and the most the grate may differ end to end [K].

    read_by  "gas": the gas at the grate; "thermometer": a bare thermometer lying there, which also sees the walls
    """

    temperature: float = 394.26
    at: Literal["mean", "middle"] = "mean"
    spread: float = 33.0
    read_by: Literal["gas", "thermometer"] = "gas"

    def __post_init__(self) -> None:
        positive(self, "temperature", "spread")
