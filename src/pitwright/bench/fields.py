"""What a field of the job file is: its kind, choices and unit, and how a value of it is written."""

from __future__ import annotations

import re
import typing
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from pydantic import BaseModel

from pitwright.errors import PitwrightError
from pitwright.job.faults import measure_of, model_in
from pitwright.job.quantities import Share
from pitwright.tape import System, Tape, parse_figure, plain_text

_UNITS: Final[dict[str, tuple[str, str]]] = {
    "length": ("in", "mm"),
    "share": ("in", "mm"),
    "mass": ("lb", "kg"),
    "volume": ("gal", "L"),
    "temperature": ("F", "C"),
    "temperature difference": ("F", "C"),
    "area": ("in2", "cm2"),
    "force": ("lb", "N"),
}
_SAID: Final = re.compile(r"\[(.+?)\]")
_WORD: Final = re.compile(r"[a-z]+")
_SHARES: Final = re.compile(
    r"^part of|over chamber section|over the inside diameter|over the solved weight|^share of|over what the"
)
_BARE: Final = (
    (_SHARES, "share"),
    (re.compile("part of the loaded weight"), "share"),
    (re.compile("money per kg"), "money per kg"),
    (re.compile("^money"), "money"),
    (re.compile("^hours"), "hours"),
)
_POUNDS_A_FOOT: Final = 0.45359237 / 0.3048**2  # one lb/ft2 [kg/m2]
_HINTS: Final[dict[str, tuple[str, str]]] = {
    "length": ("in", "mm"),
    "share": ("in", "mm"),
    "angle": ("°", "°"),
    "mass": ("lb", "kg"),
    "volume": ("gal", "L"),
    "temperature": ("°F", "°C"),
    "temperature difference": ("°F", "°C"),
    "area": ("in²", "cm²"),
    "force": ("lb", "N"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """What shares are taken of on one vessel [m]."""

    radius: float
    seam_length: float
    around: float

    def length(self, share: Share) -> float:
        """A share as a length [m]."""
        return share.length(radius=self.radius, seam_length=self.seam_length, around=self.around)


def field_for(model: type[BaseModel], path: Sequence[str | int]) -> tuple[Any, type[BaseModel] | None]:
    """(field, table it stands in) a path leads to; (None, None) where it leads nowhere."""
    here: type[BaseModel] | None = model
    info: Any = None
    table: type[BaseModel] | None = None
    for step in path:
        if isinstance(step, int):
            continue
        if here is None:
            return None, None
        table = here
        info = next((f for n, f in here.model_fields.items() if step in (n, f.alias)), None)
        if info is None:
            return None, None
        here = model_in(info.annotation)
    return info, table


def kind_of(info: Any) -> str:
    """length, angle, temperature, mass, volume, choice, yes-no, count, number or text."""
    measure = measure_of(info)
    if measure:
        return {"share": "length", "temperature difference": "temperature"}.get(measure, measure)
    if choices_of(info):
        return "choice"
    kinds = set(_plain(info.annotation))
    if bool in kinds:
        return "yes-no"
    if float in kinds:
        return "number"
    return "count" if int in kinds else "text"


def _plain(annotation: Any) -> list[type]:
    if isinstance(annotation, type):
        return [annotation]
    return [t for inner in typing.get_args(annotation) for t in _plain(inner)]


def choices_of(info: Any) -> list[str]:
    """What may be picked, where that is all there is."""
    return _literals(info.annotation)


def _literals(annotation: Any) -> list[str]:
    if typing.get_origin(annotation) is typing.Literal:
        return [str(a) for a in typing.get_args(annotation)]
    return [c for a in typing.get_args(annotation) for c in _literals(a)]


def unit_hint(measure: str, tape: Tape, help_text: str = "") -> str:
    """The unit a bare number is read in; that of its description where the file knows one unit only; else empty."""
    if not measure:
        if match := _SAID.search(help_text):
            return match[1].replace("m2", "m²")
        return next((unit for words, unit in _BARE if words.search(help_text)), "")
    return _HINTS[measure][0 if tape.inch else 1] if measure in _HINTS else ""


def as_in_force(value: Any, info: Any, tape: Tape, read: Read | None) -> str:
    """A value as the shop reads it; a share with what it comes to. Empty where there is none."""
    if value is None or value == "" or value == ():
        return ""
    if isinstance(value, Share):
        if not value.of:
            return tape.length(value.factor)
        return value.text if read is None else f"{value.text} = {tape.length(read.length(value))}"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ", ".join(as_in_force(v, info, tape, read) for v in value)
    measure = measure_of(info)
    if measure == "length" and isinstance(value, float):
        return tape.length(value) if abs(tape.left_over(value)) < 2e-5 else tape.decimal(value)
    if measure and isinstance(value, int | float):
        return tape.figure(float(value), measure)
    if isinstance(value, float):
        return f"{value:.4g}{_beside(value, info.description or '', tape)}"
    return str(value)


def _beside(value: float, said: str, tape: Tape) -> str:
    """What a bare figure comes to in words the shop uses: a share in percent, a weight by area in lb/ft2."""
    if "[kg/m2]" in said:
        return f" kg/m² = {value / _POUNDS_A_FOOT:.3g} lb/ft²" if tape.inch else ""
    if "slope" in said:
        return f' = {value * 12.0:.3g}" in a foot' if tape.inch else f" = {value * 1000.0:.3g} mm in a metre"
    return f" = {value * 100.0:.3g} %" if _SHARES.search(said) or "part of the loaded weight" in said else ""


def help_of(info: Any, label: str = "") -> str:
    """The description of a line without its unit, which stands beside the field; empty where the label says it all."""
    said = re.sub(r" ?\[.+?\]", "", info.description or "").strip()
    if set(_WORD.findall(said.lower())) <= set(_WORD.findall(label.lower())):
        said = ""
    if measure_of(info) != "share":
        return said
    share = "or a share, such as 0.5 radius"
    return f"{said}; {share}" if said else share


def in_words(name: str) -> str:
    """A line's name as words."""
    return name.replace("_", " ").replace(".", " ")


def with_unit(value: Any, measure: str, system: str) -> str | None:
    """A bare value with its unit written out; None where it has one, or needs none."""
    if measure not in _UNITS or value is None or isinstance(value, bool | list | dict):
        return None
    plain = "length" if measure == "share" else measure
    own: System = "inch" if system == "inch" else "metric"
    other: System = "metric" if system == "inch" else "inch"
    try:
        read = parse_figure(value, plain, system=own)
    except PitwrightError:
        return None
    try:
        if parse_figure(value, plain, system=other) == read:
            return None
    except PitwrightError:
        pass  # a bare fraction means nothing in millimetres
    text = plain_text(value) if isinstance(value, str) else f"{value:g}"
    return f"{text} {_UNITS[measure][0 if system == 'inch' else 1]}"
