"""Writing SI figures the way one shop reads them: inches in fractions and °F, or millimetres and °C."""

from __future__ import annotations

import functools
import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from pitwright.errors import TapeError
from pitwright.tape.units import (
    BTU,
    DEGREE_F,
    FOOT,
    HOUR,
    INCH,
    INCH_OF_WATER,
    KSI,
    LB,
    LBF,
    LITRE,
    MILE_PER_HOUR,
    MILLIMETRE,
    PSI,
    US_GALLON,
    ZERO_CELSIUS,
    ZERO_FAHRENHEIT,
    LengthUnit,
    System,
)

_HALF = 0.5 + 1e-9  # a half step rounds away from zero, whatever the last binary digit says


def inch_number(inches: Fraction, feet: int | None = None) -> str:
    """Exact inches as a tape names them, without the inch mark: `37-1/2`, `3'-1 1/2`, `0`. Never negative."""
    whole, part = divmod(inches, 1)
    fraction = f"{part.numerator}/{part.denominator}" if part else ""
    if feet is None:
        return "-".join(p for p in (str(whole) if whole or not part else "", fraction) if p)
    return f"{feet}'-{whole} {fraction}".rstrip()


def inch_text(inches: Fraction, feet: int | None = None) -> str:
    """`inch_number` with the inch mark."""
    return inch_number(inches, feet) + '"'


def decimals(value: float, places: int) -> str:
    """A number with a thousands comma and no negative zero: `1,830`, `0.0`."""
    rounded = round(value, places)
    return f"{rounded if rounded else 0.0:,.{max(places, 0)}f}"


def significant(value: float, figures: int = 3, most: int = 2) -> str:
    """A number to so many significant figures and `most` decimals: `4.32`, `76.5`, `554`, `1,830`.

    More decimals only where it would read as nothing: `0.003`.
    """
    if value == 0.0 or not math.isfinite(value):
        return decimals(value, 0)
    rounded = float(f"{value:.{figures - 1}e}")
    first = -math.floor(math.log10(abs(rounded)))
    return decimals(rounded, max(min(most, figures - 1 + first), min(first, figures - 1 + first)))


def range_text(low: float, high: float, formatter: Callable[[float], str]) -> str:
    """Two figures with the unit said once: `40 to 110 °F`; one figure where both read the same."""
    first, second = (formatter(v) for v in sorted((low, high)))
    if first == second:
        return first
    unit = re.search(r"\D*\Z", second, re.ASCII)
    mark = unit.group() if unit else ""
    return f"{first.removesuffix(mark) if mark else first} to {second}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tape:
    """How one shop reads: its unit system and its step, the smallest division it works to [m]."""

    system: System
    step: float

    def __post_init__(self) -> None:
        self._check(self.step)

    @staticmethod
    @functools.cache
    def for_system(system: System) -> Tape:
        """The usual tape: 1/16 in, or 1 mm."""
        return Tape(system=system, step=INCH / 16.0 if system == "inch" else MILLIMETRE)

    @property
    def inch(self) -> bool:
        """Whether this shop reads inches."""
        return self.system == "inch"

    @property
    def unit(self) -> LengthUnit:
        """The unit bare lengths are read and written in."""
        return "in" if self.inch else "mm"

    # lengths

    def _check(self, step: float) -> int:
        """Parts of an inch in an inch step (16 for 1/16), decimals of a millimetre in a metric one."""
        if self.inch:
            parts = round(INCH / step) if 0.0 < step <= INCH * 1.0001 else 0
            if parts in (1, 2, 4, 8, 16, 32, 64, 128) and abs(parts * step / INCH - 1.0) < 1e-6:
                return parts
            raise TapeError(f"a step of {step / INCH:g} in is on no tape", field="step", value=step,
                            allowed="1, 1/2, 1/4, 1/8, 1/16, 1/32, 1/64 or 1/128 in")  # fmt: skip
        millimetres = step / MILLIMETRE
        for places in range(4):
            if millimetres > 0.0 and abs(millimetres * 10**places - round(millimetres * 10**places)) < 1e-6:
                return places
        raise TapeError(f"a step of {millimetres:g} mm is on no tape", field="step", value=step,
                        allowed="0.001 mm or more, in thousandths")  # fmt: skip

    def _ticks(self, x: float, step: float) -> int:
        if not math.isfinite(x):
            raise TapeError(f"{x} is not a length", value=x)
        return int(math.copysign(math.floor(abs(x) / step + _HALF), x))

    def rounded(self, x: float, step: float | None = None) -> float:
        """The nearest mark on the tape [m]."""
        step = self.step if step is None else step
        return self._ticks(x, step) * step

    def left_over(self, x: float, step: float | None = None) -> float:
        """What rounding leaves: true size less the nearest mark [m], positive where the true size is longer."""
        return x - self.rounded(x, step)

    def bare(self, x: float, step: float | None = None, *, feet: bool = False) -> str:
        """A length without its unit, for tables: `37-1/2`, `952`; `feet` gives `3'-1 1/2` on an inch tape."""
        step = self.step if step is None else step
        scale, ticks = self._check(step), self._ticks(x, step)
        sign = "-" if ticks < 0 else ""
        if not self.inch:
            return f"{sign}{abs(ticks) * step / MILLIMETRE:.{scale}f}"
        inches = Fraction(abs(ticks), scale)
        if feet and inches >= 12:
            return sign + inch_number(inches % 12, int(inches // 12))
        return sign + inch_number(inches)

    def length(self, x: float, step: float | None = None, *, feet: bool = False) -> str:
        """A length [m] to the nearest step: `37-1/2"`, `952 mm`; `feet` gives `3'-1 1/2"` on an inch tape."""
        return self.bare(x, step, feet=feet) + ('"' if self.inch else " mm")

    def fine(self, x: float) -> str:
        """A length to half a step, for diagonals: `124-23/32"`, `952.5 mm`."""
        return self.length(x, self.step / 2.0)

    def decimal(self, x: float, places: int | None = None, *, signed: bool = False) -> str:
        """A length in decimals, for walls and check figures: `0.134"`, `3.4 mm`; signed: `+0.014"`."""
        places = places if places is not None else (3 if self.inch else 1)
        text = decimals(x / INCH, places) + '"' if self.inch else decimals(x / MILLIMETRE, places) + " mm"
        return f"+{text}" if signed and not text.startswith("-") and re.search("[1-9]", text) else text

    def angle(self, x: float, digits: int = 1) -> str:
        """An angle [rad] in degrees: `11.3°`."""
        return decimals(math.degrees(x), digits) + "°"

    def slope(self, x: float) -> str:
        """A fall (rise over run): `1/8" per ft`, `10 mm per m`."""
        if self.inch:
            return self.length(x * FOOT, INCH / 16.0) + " per ft"
        return decimals(x * 1000.0, 0) + " mm per m"

    # everything else

    def _pick(self, x: float, inch: float, inch_unit: str, metric: float, metric_unit: str, figures: int = 3) -> str:
        factor, unit = (inch, inch_unit) if self.inch else (metric, metric_unit)
        return f"{significant(x / factor, figures)} {unit}"

    def area(self, x: float, figures: int = 3) -> str:
        """A surface [m2]: `70 ft²`, `6.5 m²`."""
        return self._pick(x, FOOT**2, "ft²", 1.0, "m²", figures)

    def small_area(self, x: float, figures: int = 3) -> str:
        """An opening or a section [m2]: `91 in²`, `587 cm²`."""
        return self._pick(x, INCH**2, "in²", 1e-4, "cm²", figures)

    def volume(self, x: float, figures: int = 3) -> str:
        """A volume [m3]: `264 gal` (US), `998 L`."""
        return self._pick(x, US_GALLON, "gal", LITRE, "L", figures)

    def mass(self, x: float, figures: int = 3) -> str:
        """A weight [kg], to the three figures a computed weight is good for: `554 lb`, `1,830 lb`, `830 kg`."""
        return self._pick(x, LB, "lb", 1.0, "kg", figures)

    def mass_per_length(self, x: float, figures: int = 3) -> str:
        """Weight of a bar by its length [kg/m]: `4.32 lb/ft`, `6.43 kg/m`."""
        return self._pick(x, LB / FOOT, "lb/ft", 1.0, "kg/m", figures)

    def density(self, x: float, figures: int = 3) -> str:
        """A density [kg/m3]: `490 lb/ft³`, `7,850 kg/m³`."""
        return self._pick(x, LB / FOOT**3, "lb/ft³", 1.0, "kg/m³", figures)

    def force(self, x: float, figures: int = 3) -> str:
        """A push, pull or load [N]: `458 lb`, `920 N`, `2.04 kN`."""
        if self.inch or abs(x) < 999.5:
            return self._pick(x, LBF, "lb", 1.0, "N", figures)
        return self._pick(x, LBF, "lb", 1e3, "kN", figures)

    def moment(self, x: float, figures: int = 3) -> str:
        """A moment [N m]: `2,230 in-lb`, `252 N·m`."""
        return self._pick(x, LBF * INCH, "in-lb", 1.0, "N·m", figures)

    def stress(self, x: float, figures: int = 3) -> str:
        """A stress [Pa]: `21.6 ksi`, `149 MPa`."""
        return self._pick(x, KSI, "ksi", 1e6, "MPa", figures)

    def pressure(self, x: float, figures: int = 3) -> str:
        """A pressure [Pa]: `13.5 psi`, `93.1 kPa`."""
        return self._pick(x, PSI, "psi", 1e3, "kPa", figures)

    def pressure_draft(self, x: float) -> str:
        """A draft [Pa]: `0.027 in wc`, `6.7 Pa`."""
        if self.inch:
            return decimals(x / INCH_OF_WATER, 3) + " in wc"
        return decimals(x, 1) + " Pa"

    def temperature(self, x: float, places: int = 0) -> str:
        """A temperature [K]: `250 °F`, `121 °C`."""
        if self.inch:
            return decimals((x - ZERO_FAHRENHEIT) / DEGREE_F, places) + " °F"
        return decimals(x - ZERO_CELSIUS, places) + " °C"

    def temperature_difference(self, x: float, places: int = 0) -> str:
        """A difference of temperature [K]: `58 °F`, `32 °C`."""
        return f"{decimals(x / DEGREE_F, places)} °F" if self.inch else f"{decimals(x, places)} °C"

    def power(self, x: float, figures: int = 3) -> str:
        """A flow of heat [W]: `28,300 Btu/h`, `8.29 kW`."""
        return self._pick(x, BTU / HOUR, "Btu/h", 1e3, "kW", figures)

    def energy(self, x: float, figures: int = 3) -> str:
        """An amount of heat [J]: `28,300 Btu`, `29.9 MJ`."""
        return self._pick(x, BTU, "Btu", 1e6, "MJ", figures)

    def mass_rate(self, x: float, figures: int = 2) -> str:
        """A flow of wood or gas [kg/s], two figures: `6.7 lb/h`, `330 lb/h`, `3 kg/h`."""
        return self._pick(x, LB / HOUR, "lb/h", 1.0 / HOUR, "kg/h", figures)

    def speed(self, x: float, figures: int = 2) -> str:
        """A speed of gas [m/s]: `7.5 ft/s`, `2.3 m/s`."""
        return self._pick(x, FOOT, "ft/s", 1.0, "m/s", figures)

    def wind(self, x: float) -> str:
        """A speed of wind or road [m/s]: `12 mph`, `19 km/h`."""
        return self._pick(x, MILE_PER_HOUR, "mph", 1000.0 / HOUR, "km/h", 2)

    def money(self, x: float, mark: str = "$") -> str:
        """An amount of money, whole: `$14,965`."""
        text = decimals(x, 0)
        return f"-{mark}{text[1:]}" if text.startswith("-") else mark + text

    def figure(self, value: float | str, measure: str) -> str:
        """A figure written by its measure (`length`, `angle`, `mass`, `temperature`, ...)."""
        if isinstance(value, str):
            return value
        plain: dict[str, Callable[[float], str]] = {
            "length": self.length, "angle": self.angle, "mass": self.mass, "volume": self.volume,
            "area": self.small_area if abs(value) < 0.25 else self.area, "force": self.force, "moment": self.moment,
            "temperature": self.temperature, "temperature difference": self.temperature_difference,
            "slope": self.slope, "stress": self.stress, "pressure": self.pressure, "draft": self.pressure_draft,
            "power": self.power, "energy": self.energy, "mass rate": self.mass_rate, "speed": self.speed,
            "density": self.density, "money": self.money, "count": lambda v: decimals(v, 0), "ratio": significant,
        }  # fmt: skip
        if measure not in plain:
            raise TapeError(f"no way to write a {measure}", value=value, allowed=", ".join(plain))
        return plain[measure](value)
