"""Reading what a person typed: lengths, angles, weights and the rest, to SI.

A *bare* number has no unit and is read in the job's own. Lengths stay exact fractions until the last step.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping
from fractions import Fraction
from typing import Literal

from pitwright.errors import TapeError
from pitwright.tape.units import (
    DEGREE_F,
    FOOT,
    INCH,
    LB,
    LBF,
    LITRE,
    STANDARD_GRAVITY,
    US_GALLON,
    ZERO_CELSIUS,
    ZERO_FAHRENHEIT,
    LengthUnit,
    System,
)
from pitwright.tape.writing import inch_text

LENGTHS_ALLOWED = "37-1/2, 37 1/2 in, 3'-1 1/2\", 37.5 in, 952.5 mm, 95.25 cm, 1.2 m"
_LONGEST = 10_000  # m; nothing in a shop is longer, and no place to cook is higher
_FEET = r"(?P<feet>[\d\s./-]+?)\s*(?:'|ft\.?|feet|foot)\s*-?\s*(?P<rest>.*)"
_ONE = r"(?P<amount>[\d\s./-]+?)\s*(?P<unit>\"|[a-z]*)\.?"
_MIXED = r"(?:(\d+)(?:\s*-\s*|\s+))?(\d+)/(\d+)"
_DECIMAL = r"\d+(?:\.\d*)?|\.\d+"
_LENGTH_UNITS = {
    **dict.fromkeys(('"', "in", "inch", "inches"), Fraction(254, 10000)),
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), Fraction(1, 1000)),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), Fraction(1, 100)),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), Fraction(1)),
}
_MARKS = str.maketrans(dict.fromkeys("′’‘´`ʹ", "'") | dict.fromkeys("″”“ʺ", '"') | dict.fromkeys("−–—‐‑", "-")
                       | dict.fromkeys("⁄∕", "/") | dict.fromkeys("º˚", "°"))  # fmt: skip


def plain_text(text: str) -> str:
    """Typed text in lower case with plain quotes, dashes and fractions: `37½″` becomes `37 1/2"`."""
    spread = "".join(
        f" {unicodedata.normalize('NFKC', c)} " if unicodedata.decomposition(c).startswith("<fraction>") else c
        for c in text.translate(_MARKS)
    )
    plain = unicodedata.normalize("NFKC", spread).translate(_MARKS).lower().replace("''", '"')
    return re.sub(r"\s*/\s*", "/", " ".join(plain.split()))


def _typed(value: object, *, field: str, what: str, allowed: str) -> Fraction | str:
    """A typed value as an exact number, or as plain text."""
    if isinstance(value, str):
        if len(value) > 60 or not value.strip():
            raise TapeError(f"not {what}", field=field, value=value[:60], allowed=allowed)
        return plain_text(value)
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) <= 1e15:
        raise TapeError(f"{str(value)[:60]} is not {what}", field=field, value=str(value)[:60], allowed=allowed)
    return Fraction(str(float(value)))


def _amount(text: str) -> Fraction | None:
    """`37.5`, `1/2`, `37 1/2` or `37-1/2` as an exact number; None where it is none of these."""
    if match := re.fullmatch(_MIXED, text, re.ASCII):
        whole, top, bottom = match.groups()
        if int(bottom) not in (1, 2, 4, 8, 16, 32, 64, 128) or (whole and int(top) >= int(bottom)):
            return None
        return int(whole or 0) + Fraction(int(top), int(bottom))
    return (
        Fraction(text.rstrip(".") if text.endswith(".") else text) if re.fullmatch(_DECIMAL, text, re.ASCII) else None
    )


def _signed(text: str) -> tuple[int, str]:
    """(+1 or -1, the text without its sign)."""
    return (-1 if text[:1] == "-" else 1), (text[1:].lstrip() if text[:1] in ("-", "+") else text)


def parse_length(value: object, *, unit: LengthUnit, field: str = "") -> float:
    """A length as typed [m].

    `value` is a bare number (read in `unit`) or text such as `37-1/2"`, `37 1/2`, `7'10 1/2`, `5ft 3.25in`,
    `952.5 mm`, `-3/16`. Fractions are halves to 128ths. Raises TapeError, with what was probably meant.
    """
    typed = _typed(value, field=field, what="a length", allowed=LENGTHS_ALLOWED)
    if isinstance(typed, Fraction):
        metres = typed * _LENGTH_UNITS[unit]
    else:
        sign, text = _signed(typed)
        feet = re.fullmatch(_FEET, text, re.ASCII)
        found = _feet_and_inches(feet, value, field) if feet else _one_unit(text, unit, value, field)
        if found is None:
            raise TapeError(f"cannot read {value!r} as a length", field=field, value=value,
                            allowed=LENGTHS_ALLOWED, remedy=_likely(text))  # fmt: skip
        metres = sign * found
    if abs(metres) > _LONGEST:
        raise TapeError(f"{value} is longer than {_LONGEST} m", field=field, value=value, allowed=LENGTHS_ALLOWED)
    return float(metres)


def _feet_and_inches(match: re.Match[str], value: object, field: str) -> Fraction | None:
    feet, rest = _amount(match["feet"].strip()), match["rest"].strip()
    if feet is None or not rest:
        return None if feet is None else feet * 12 * _LENGTH_UNITS["in"]
    one = re.fullmatch(_ONE, rest, re.ASCII)
    inches = _amount(one["amount"].strip()) if one and one["unit"] in ("", '"', "in", "inch", "inches") else None
    if inches is None or feet.denominator != 1:
        return None
    if inches >= 12:
        carried, left = divmod(inches, 12)
        raise TapeError(f"{match['rest']} past {feet} ft is a foot or more", field=field, value=value,
                        allowed="inches below 12 after feet",
                        remedy=f"Did you mean {inch_text(left, int(feet + carried))}?")  # fmt: skip
    return (feet * 12 + inches) * _LENGTH_UNITS["in"]


def _one_unit(text: str, unit: LengthUnit, value: object, field: str) -> Fraction | None:
    match = re.fullmatch(_ONE, text, re.ASCII)
    if match is None or (match["unit"] and match["unit"] not in _LENGTH_UNITS):
        return None
    amount = _amount(match["amount"].strip())
    if amount is None or _run_together(match["amount"].strip()):
        return None
    if unit == "mm" and not match["unit"] and "/" in text:
        raise TapeError(f"{text} is a fraction without a unit in a job that works in mm", field=field, value=value,
                        allowed=LENGTHS_ALLOWED, remedy=f'If it was read in inches, write {text} in.')  # fmt: skip
    return amount * _LENGTH_UNITS[match["unit"] or unit]


def _run_together(text: str) -> list[str]:
    """What `371/2` may stand for: 37-1/2 (a lone fraction of two or more digits over a smaller number)."""
    match = re.fullmatch(_MIXED, text, re.ASCII)
    if not match or match[1] or int(match[2]) <= int(match[3]) or len(match[2]) < 2:
        return []
    top, bottom = match[2], int(match[3])
    splits = [(top[:i], top[i:]) for i in range(1, len(top))]
    return [f"{a}-{b}/{bottom}" for a, b in splits if b[0] != "0" and int(b) < bottom and int(b) % 2]


def _likely(text: str) -> str:
    """What a length that cannot be read was probably meant to be."""
    if match := re.fullmatch(r"(\d+)-(\d+)-(\d+/\d+)(.*)", text):
        a, b, fraction, _ = match.groups()
        return f"Two dashes: did you mean {a}{b}-{fraction} (inches) or {a}'-{b} {fraction}\" (feet and inches)?"
    if match := re.fullmatch(r"(\d+)\.(\d+/\d+)(.*)", text):
        return f"A point before a fraction: did you mean {match[1]}-{match[2]}?"
    if match := re.search(r"(\d+)\"\s*(\d+/\d+)", text):
        return f'The inch mark goes last: did you mean {match[1]}-{match[2]}"?'
    if re.search(r"\d\s*(?:ga|gauge|gage)\b", text):
        return "A gauge number names a sheet or a wall, it is not a length. Measure it and write the thickness."
    if re.search(r"\d[\s\"a-z]*(?:x|×|by)\s*\d", text):
        return "One length at a time: this looks like two sizes."
    if meant := _run_together(text.strip(' "')):
        return f"Did you mean {' or '.join(meant)}? Leave a space or a dash before the fraction."
    if match := re.search(r"(\d+)/(\d+)", text):
        top, bottom = int(match[1]), int(match[2])
        if bottom == 0:
            return f"{match[0]} has nothing below the line."
        if bottom & (bottom - 1):
            near = Fraction(round(Fraction(top, bottom) * 16), 16)
            return f"A tape has halves, quarters, 8ths, 16ths, 32nds: {match[0]} is near {inch_text(near)}."
        if top >= bottom:
            return f"{match[0]} is a whole inch or more: carry it into the whole number."
    if "," in text:
        return "Write the decimal with a point and leave thousands unmarked: 952.5 or 1200."
    return ""


_DEGREES = r"(?P<d>[\d\s./-]+?)\s*(?:°|degrees?|deg\.?)?\s*(?:(?<=[°g.s\s])(?P<m>[\d.]+)\s*(?:'|min)\s*(?:(?P<s>[\d.]+)\s*(?:\"|sec))?)?"


def parse_angle(value: object, *, field: str = "") -> float:
    """An angle as typed in degrees, `11.3`, `11-1/2 deg`, `11° 20'`, `0.2 rad` [rad]."""
    allowed = "degrees between -360 and 360, such as 11.3, 11-1/2 deg, 11 deg 20'"
    typed = _typed(value, field=field, what="an angle", allowed=allowed)
    degrees: float | None = None
    if isinstance(typed, Fraction):
        degrees = float(typed)
    else:
        sign, text = _signed(typed)
        if text.endswith("rad") and (turned := _amount(text[:-3].strip())) is not None:
            degrees = sign * math.degrees(turned)
        elif match := re.fullmatch(_DEGREES, text, re.ASCII):
            whole, minutes, seconds = (_amount((match[k] or "0").strip()) for k in ("d", "m", "s"))
            if whole is not None and minutes is not None and seconds is not None and max(minutes, seconds) < 60:
                degrees = sign * float(whole + minutes / 60 + seconds / 3600)
    if degrees is None:
        raise TapeError(f"cannot read {value!r} as an angle", field=field, value=value, allowed=allowed)
    if abs(degrees) > 360.0:
        raise TapeError(f"{value} is more than a full turn", field=field, value=value, allowed=allowed)
    return math.radians(degrees)


def _units(table: Mapping[str, float]) -> dict[str, float]:
    """`{"lb,lbs,pound": f}` as one entry per word."""
    return {word: factor for words, factor in table.items() for word in words.split(",")}


_MASS_UNITS = _units({"lb,lbs,pound,pounds,#": LB, "kg,kgs,kilo,kilos": 1.0, "g": 0.001, "oz": LB / 16.0,
                      "ton,tons,us ton": 2000.0 * LB, "t,tonne,tonnes": 1000.0})  # fmt: skip
_VOLUME_UNITS = _units({"gal,gallon,gallons,us gal,us gallon,us gallons": US_GALLON,
                        "l,litre,litres,liter,liters": LITRE, "m3,cubic metres": 1.0, "cm3,ml": 1e-6,
                        "ft3,cu ft,cubic feet": FOOT**3, "in3,cu in,cubic inches": INCH**3})  # fmt: skip
_AREA_UNITS = _units({"in2,sq in,square inches": INCH**2, "ft2,sq ft,square feet": FOOT**2, "mm2": 1e-6,
                      "cm2,sq cm": 1e-4, "m2,sq m": 1.0})  # fmt: skip
_FORCE_UNITS = _units({"lb,lbs,lbf": LBF, "n": 1.0, "kn": 1e3, "kg,kgf": STANDARD_GRAVITY})
_SLOPE_UNITS = _units({"per foot,per ft,/ft,in/ft,in per ft,in per foot,\" per ft,\" per foot": INCH / FOOT,
                       "mm/m,mm per m": 0.001, "%": 0.01, "": 1.0})  # fmt: skip


def _scaled(value: object, units: dict[str, float], unit: str, what: str, field: str, *, signed: bool = False) -> float:
    """A typed number with one of `units`, times its factor; thousands commas allowed (`1,830 lb`)."""
    first_names = {factor: word for word, factor in reversed(units.items()) if word}
    named = ", ".join(word for word in units if first_names.get(units[word]) == word)
    allowed = "a number" + (f" with {named}" if named else "") + (f" (bare: {unit})" if unit else "")
    typed = _typed(value, field=field, what=what, allowed=allowed)
    if isinstance(typed, Fraction):
        result: float | None = float(typed) * units[unit.lower()]
    else:
        sign, text = _signed(typed)
        match = re.fullmatch(r"(?P<n>\d{1,3}(?:,\d{3})+(?:\.\d*)?|[\d\s./-]+?)\s*(?P<unit>[^\d\s.,/-][^,]*)?", text,
                             re.ASCII)  # fmt: skip
        amount = _amount(match["n"].replace(",", "").strip()) if match else None
        word = (match["unit"] or "").strip().rstrip(".") if match else ""
        factor = units.get(word or unit.lower())
        result = sign * float(amount) * factor if amount is not None and factor is not None else None
    if result is None or not math.isfinite(result):
        raise TapeError(f"cannot read {value!r} as {what}", field=field, value=value, allowed=allowed)
    if result < 0.0 and not signed:
        raise TapeError(f"{value} is less than nothing", field=field, value=value, allowed="0 or more")
    return result


def parse_mass(value: object, *, unit: Literal["lb", "kg"], field: str = "") -> float:
    """A weight as typed, `1,830 lb`, `830 kg` [kg]."""
    return _scaled(value, _MASS_UNITS, unit, "a weight", field)


def parse_volume(value: object, *, unit: Literal["gal", "L"], field: str = "") -> float:
    """A volume as typed, `250 gal` (US), `945 L`, `0.9 m3` [m3]."""
    return _scaled(value, _VOLUME_UNITS, unit, "a volume", field)


def parse_area(value: object, *, unit: Literal["in2", "cm2"], field: str = "") -> float:
    """An area as typed, `91 in2`, `91 sq in`, `590 cm²` [m2]."""
    return _scaled(value, _AREA_UNITS, unit, "an area", field)


def parse_force(value: object, *, unit: Literal["lb", "N"], field: str = "") -> float:
    """A push or pull as typed, `35 lb`, `150 N` [N]."""
    return _scaled(value, _FORCE_UNITS, unit, "a force", field, signed=True)


def parse_slope(value: object, *, field: str = "") -> float:
    """A fall as typed, `1/8 per ft`, `10 mm per m`, `1 %`; a bare number is rise over run [-]."""
    return _scaled(value, _SLOPE_UNITS, "", "a slope", field, signed=True)


def parse_temperature(value: object, *, unit: Literal["F", "C"], field: str = "") -> float:
    """A temperature as typed, `250`, `250 °F`, `121 C` [K]."""
    degrees, word = _degrees_of(value, unit, field)
    kelvin = degrees if word == "k" else (
        ZERO_CELSIUS + degrees if word == "c" else ZERO_FAHRENHEIT + degrees * DEGREE_F)  # fmt: skip
    if kelvin < 0.0:
        raise TapeError(f"{value} is colder than anything can be", field=field, value=value,
                        allowed="-459.67 °F or -273.15 °C and up")  # fmt: skip
    return kelvin


def parse_temperature_difference(value: object, *, unit: Literal["F", "C"], field: str = "") -> float:
    """A difference of temperature as typed, `25 °F`, `14 C` [K]."""
    degrees, word = _degrees_of(value, unit, field)
    return degrees * (DEGREE_F if word == "f" else 1.0)


def _degrees_of(value: object, unit: Literal["F", "C"], field: str) -> tuple[float, str]:
    allowed = f"a number, or a number with F or C; without a unit it is read in °{unit}"
    typed = _typed(value, field=field, what="a temperature", allowed=allowed)
    if isinstance(typed, Fraction):
        return float(typed), unit.lower()
    match = re.fullmatch(
        r"(-?)\s*([\d.]+)\s*(?:°|deg\.?|degrees)?\s*([fck])?(?:ahrenheit|elsius|elvin)?", typed, re.ASCII
    )
    amount = _amount(match[2]) if match else None
    if match is None or amount is None:
        raise TapeError(f"cannot read {value!r} as a temperature", field=field, value=value, allowed=allowed)
    return (-1.0 if match[1] else 1.0) * float(amount), match[3] or unit.lower()


def parse_money(value: object, *, field: str = "") -> float:
    """An amount of money as typed, `$1,340`, `1340.50` [currency of the shop]."""
    return _scaled(value.strip().lstrip("$€£").strip() if isinstance(value, str) else value, {"": 1.0}, "",
                   "an amount of money", field, signed=True)  # fmt: skip


def parse_figure(value: object, measure: str, *, system: System, field: str = "") -> float | str:
    """A typed value read as a measure (`length`, `angle`, `mass`, ...), bare numbers in `system` [SI]."""
    inch = system == "inch"
    match measure:
        case "length":
            return parse_length(value, unit="in" if inch else "mm", field=field)
        case "angle":
            return parse_angle(value, field=field)
        case "mass":
            return parse_mass(value, unit="lb" if inch else "kg", field=field)
        case "area":
            return parse_area(value, unit="in2" if inch else "cm2", field=field)
        case "volume":
            return parse_volume(value, unit="gal" if inch else "L", field=field)
        case "temperature":
            return parse_temperature(value, unit="F" if inch else "C", field=field)
        case "temperature difference":
            return parse_temperature_difference(value, unit="F" if inch else "C", field=field)
        case "force":
            return parse_force(value, unit="lb" if inch else "N", field=field)
        case "slope":
            return parse_slope(value, field=field)
        case "money":
            return parse_money(value, field=field)
        case "count" | "ratio":
            return _scaled(value, {"": 1.0, "%": 0.01}, "", "a number", field, signed=True)
        case "text":
            return str(value)
    raise TapeError(f"a {measure} cannot be typed in", field=field, value=value)
