"""Quantities in a job file: typed in any shop way, kept in SI, each knowing its measure.

A bare number is read in the job's unit (`validation context {"system": "inch" | "metric"}`).
A *share* is a length said as a part of something: `half the radius`, `1/4 of the seam length`, `1/8 around`, or `8 in`.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Annotated, Any, Literal, cast

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, PlainSerializer, ValidationInfo

from pitwright import tape
from pitwright.errors import TapeError

System = Literal["inch", "metric"]


def system_of(info: ValidationInfo) -> System:
    """The unit system bare numbers are read in."""
    context = info.context or {}
    system: System = context.get("system", "inch")
    return system


def _reader(measure: str) -> Callable[[Any, ValidationInfo], Any]:
    def read(value: Any, info: ValidationInfo) -> Any:
        return tape.parse_figure(value, measure, system=system_of(info), field=info.field_name or "")

    return read


class Quantity:
    """Marks a field's measure, for forms, help, printing and scaling."""

    def __init__(self, measure: str):
        self.measure = measure


def _quantity(measure: str) -> Any:
    return Annotated[float, BeforeValidator(_reader(measure)), Field(allow_inf_nan=False), Quantity(measure)]


if TYPE_CHECKING:
    Length = float
    Angle = float
    Mass = float
    Temperature = float
    TemperatureDifference = float
    Volume = float
else:
    Length = _quantity("length")
    Angle = _quantity("angle")
    Mass = _quantity("mass")
    Temperature = _quantity("temperature")
    TemperatureDifference = _quantity("temperature difference")
    Volume = _quantity("volume")

ShareOf = Literal["", "radius", "diameter", "seam length", "around"]
_SHARE = re.compile(
    r"(?:(?P<whole>\d{1,3})[ -])?(?:(?P<top>\d{1,4})/(?P<bottom>\d{1,4})|(?P<plain>\d{1,4}(?:\.\d{1,12})?|\.\d{1,12})"
    r"|(?:an? |one )?(?P<word>half|third|quarter|fourth|eighth|sixteenth))"
    r" ?(?P<percent>%)? ?(?:of )?(?:the )?(?P<of>radius|diameter|seam length|length|around)",
    re.ASCII,
)
_PARTS = {"half": 2, "third": 3, "quarter": 4, "fourth": 4, "eighth": 8, "sixteenth": 16}
_SHARE_ALLOWED = (
    "a length such as `8 in`, or a share such as `1/2 radius`, `half the radius`, `1/4 seam length`, `1/8 around`"
)


@dataclass(frozen=True, slots=True)
class Share:
    """A length, or a part of the vessel's radius, diameter, seam length or around.

    factor  metres where `of` is empty, else the fraction
    """

    factor: float
    of: ShareOf
    text: str

    def length(self, *, radius: float, seam_length: float, around: float) -> float:
        """The length on a given vessel [m]."""
        base = {
            "": 1.0,
            "radius": radius,
            "diameter": 2.0 * radius,
            "seam length": seam_length,
            "around": around,
        }[self.of]
        return self.factor * base


def _share(value: Any, info: ValidationInfo) -> Any:
    if isinstance(value, Share):
        return value
    field = info.field_name or ""
    match = _SHARE.fullmatch(tape.plain_text(value)) if isinstance(value, str) and len(value) <= 60 else None
    if match is not None:
        return Share(float(_factor(match, value, field)), _base(match["of"]), value.strip())
    try:
        return Share(_reader("length")(value, info), "", str(value).strip())
    except TapeError as problem:
        raise TapeError(
            "not a length nor a share", field=field, value=value, allowed=_SHARE_ALLOWED, remedy=problem.remedy
        ) from problem


def _factor(match: re.Match[str], value: str, field: str) -> Fraction:
    """The part of the vessel a share names."""
    if match["word"]:
        factor = Fraction(1, _PARTS[match["word"]])
    elif match["bottom"]:
        if int(match["bottom"]) == 0:
            raise TapeError("nothing below the line", field=field, value=value, allowed=_SHARE_ALLOWED)
        factor = Fraction(int(match["top"]), int(match["bottom"]))
    else:
        factor = Fraction(match["plain"])
    if match["whole"]:
        if not match["bottom"] or factor >= 1:
            raise TapeError("not a length nor a share", field=field, value=value, allowed=_SHARE_ALLOWED)
        factor += int(match["whole"])
    return factor / 100 if match["percent"] else factor


def _base(said: str) -> ShareOf:
    return "seam length" if said in ("length", "seam length") else cast(ShareOf, said)


if TYPE_CHECKING:
    ShareLength = Share
else:
    ShareLength = Annotated[
        Share, BeforeValidator(_share), PlainSerializer(lambda s: s.text, return_type=str), Quantity("share")
    ]


def habit(typed: Any, **limits: Any) -> Any:
    """A field that starts at a typed value (read like the shop's own typing), with its limits and description."""
    return Field(typed, **limits)


class Strict(BaseModel):
    """The base of every job table: no unknown fields, nothing changed after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, validate_default=True, arbitrary_types_allowed=True)
