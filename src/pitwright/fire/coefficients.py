"""The figures that are not known well: each with its best value, the range it can lie in, and where that comes from.

Most are factors on a published correlation (1 = as published). `Values` is the same set as plain numbers, one run.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Final, NamedTuple

from pitwright.errors import JobError

_JUDGED = "our judgement, no source"


class Values(NamedTuple):
    """One value for every coefficient, in the units given in `Coefficients`."""

    inside_film: float
    outside_film: float
    firebox_film: float
    gas_radiation: float
    skin_emissivity: float
    insulation: float
    circulation: float
    layer_mixing: float
    radiant_share: float
    burnout: float
    heating_value: float
    wood_moisture: float
    discharge: float
    door_gap: float
    bed_resistance: float
    roughness: float
    wetness: float
    burn_time: float
    wind_inlet: float
    wind_stack: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Coefficient:
    """One uncertain figure.

    value, low, high  best value and the ends of its 90 percent range, in `unit`
    what              what it is, in the shop's words
    source            where the figure and its range come from
    """

    value: float
    low: float
    high: float
    unit: str
    what: str
    source: str

    def __post_init__(self) -> None:
        if not self.low <= self.value <= self.high:
            raise JobError(
                f"{self.what}: the best value must lie in its range",
                field="coefficient",
                value=self.value,
                allowed=f"{self.low} to {self.high}",
            )


def _c(value: float, low: float, high: float, unit: str, what: str, source: str) -> Coefficient:
    return Coefficient(value=value, low=low, high=high, unit=unit, what=what, source=source)


PUBLISHED: Final[Mapping[str, Coefficient]] = {
    "inside_film": _c(
        1.0,
        0.6,
        1.7,
        "-",
        "how readily the chamber gas gives heat to the shell",
        "factor on turbulent natural convection, Nu = C Ra^(1/3); enclosures with jets scatter this wide ("
        + _JUDGED
        + ")",
    ),
    "outside_film": _c(
        1.0,
        0.8,
        1.25,
        "-",
        "how readily skins give heat to the air outside",
        "Churchill and Chu 1975 is quoted to about 20 percent",
    ),
    "firebox_film": _c(
        1.0,
        0.6,
        2.0,
        "-",
        "how readily the firebox gas gives heat to its walls",
        "factor on turbulent natural convection; flames licking the wall raise it (" + _JUDGED + ")",
    ),
    "gas_radiation": _c(
        1.0,
        0.5,
        1.8,
        "-",
        "how strongly the smoke gas glows",
        "factor on Smith, Shen and Friedman 1982; soot and tar raise it (" + _JUDGED + ")",
    ),
    "skin_emissivity": _c(
        1.0,
        0.85,
        1.08,
        "-",
        "how strongly the outside skin glows",
        "factor on the wall's emissivity; oxidised and painted steel 0.75 to 0.95 (infrared instrument manuals)",
    ),
    "insulation": _c(
        1.0,
        0.85,
        1.5,
        "-",
        "how well the insulation conducts",
        "factor; handbook figures are for room temperature and dry, tight wool (" + _JUDGED + ")",
    ),
    "circulation": _c(
        1.0,
        0.4,
        2.2,
        "-",
        "how much gas the jet and the hot ceiling current carry round inside the chamber",
        "factor on Thring and Newby 1953 and Benjamin 1968 (" + _JUDGED + ")",
    ),
    "layer_mixing": _c(
        1.0,
        0.4,
        2.5,
        "-",
        "how fast gas above and below the grate change places",
        "factor on shear entrainment 0.05 and the wall draught of Eckert and Jackson 1951 (" + _JUDGED + ")",
    ),
    "radiant_share": _c(
        0.25,
        0.15,
        0.35,
        "-",
        "share of the fire's heat that leaves it as radiation",
        "open wood fires 0.2 to 0.35 (fire engineering handbooks, from memory)",
    ),
    "burnout": _c(
        0.95,
        0.85,
        0.99,
        "-",
        "share of the wood's heat set free before the throat",
        "carbon monoxide, tar and char lost by a small wood fire (" + _JUDGED + ")",
    ),
    "heating_value": _c(
        1.0,
        0.96,
        1.04,
        "-",
        "heat in a pound of dry wood",
        "scatter of measured woods about their analysis (Steam 1919 Table 41 against Channiwala and Parikh 2002)",
    ),
    "wood_moisture": _c(
        1.0,
        0.7,
        1.4,
        "-",
        "wetness of the wood against what was stated",
        "factor; " + _JUDGED,
    ),
    "discharge": _c(
        0.62,
        0.57,
        0.75,
        "-",
        "how much of a sharp opening the air really fills",
        "sharp slot pi/(pi+2) = 0.611; 0.6 to 0.65 measured, more for thick or guided edges",
    ),
    "door_gap": _c(
        0.0004,
        0.0001,
        0.0012,
        "m",
        "mean gap along closed door edges",
        "common practice, no source",
    ),
    "bed_resistance": _c(
        1.0,
        0.3,
        3.0,
        "-",
        "resistance of ash and coals to the air under the fire",
        "factor on Ergun 1952 for a loose bed of coals (" + _JUDGED + ")",
    ),
    "roughness": _c(
        0.0003,
        0.00005,
        0.001,
        "m",
        "roughness of the stack's inside",
        "new pipe 0.045 mm, rusted or sooted 0.3 to 1 mm (pipe handbooks)",
    ),
    "wetness": _c(
        0.5,
        0.15,
        1.0,
        "-",
        "how wet the meat's surface is",
        "1 = free water; " + _JUDGED,
    ),
    "burn_time": _c(
        1.0,
        0.6,
        1.6,
        "-",
        "how long a split burns",
        "factor on charring at 0.50 to 0.65 mm a minute (EN 1995-1-2)",
    ),
    "wind_inlet": _c(
        0.0,
        -0.4,
        0.6,
        "-",
        "wind pressure at the air inlet, in velocity heads",
        "boxes in wind: +0.6 facing, -0.4 in the lee (wind loading texts, from memory)",
    ),
    "wind_stack": _c(
        -0.3,
        -0.7,
        0.2,
        "-",
        "wind pressure at the stack top, in velocity heads",
        "open top in a cross wind sucks, -0.2 to -0.7; a downdraught can press (from memory)",
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Coefficients:
    """Every uncertain figure of the fire. Change some with `with_values`; bands and sensitivities use the ranges."""

    table: Mapping[str, Coefficient] = field(default_factory=lambda: PUBLISHED)

    def __getitem__(self, name: str) -> Coefficient:
        return self.table[name]

    def values(self) -> Values:
        """The best values, as plain numbers."""
        return Values(*(self.table[name].value for name in Values._fields))

    def with_values(self, changed: Mapping[str, float]) -> Coefficients:
        """The same set with other best values; a range is stretched to hold its value."""
        new: dict[str, Coefficient] = {}
        for name, value in changed.items():
            if name not in Values._fields:
                raise JobError(
                    "no such coefficient",
                    field="coefficients",
                    value=name,
                    allowed=", ".join(Values._fields),
                )
            old = self.table[name]
            new[name] = replace(old, value=value, low=min(old.low, value), high=max(old.high, value))
        return Coefficients(table={**self.table, **new})

    def with_ranges(self, learned: Mapping[str, tuple[float, float, float]], source: str) -> Coefficients:
        """The same set with best value, low and high as learned from burns."""
        new = {
            name: replace(self.table[name], value=value, low=min(low, value), high=max(high, value), source=source)
            for name, (value, low, high) in learned.items()
        }
        return Coefficients(table={**self.table, **new})

    def items(self) -> tuple[tuple[str, Coefficient], ...]:
        """Every coefficient with its name, in the order of `Values`."""
        return tuple((name, self.table[name]) for name in Values._fields)
