"""Why a number is what it is.

A *reason* ties one figure to where it comes from: a fixed fact, a shop proportion, a formula with its source,
an override, a measurement. A `Ledger` gathers them while a pit is laid out; `Pit.reasons` keeps them.
"""

from __future__ import annotations

import difflib
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from pitwright.errors import JobError

Kind = Literal["fixed", "proportion", "solved", "override", "measured", "assumed"]
Measure = Literal[
    "length",
    "angle",
    "mass",
    "area",
    "volume",
    "temperature",
    "count",
    "ratio",
    "text",
    "force",
    "moment",
    "slope",
]
Figure = float | int | str


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One figure and its grounds.

    name      dotted name, such as `legs.A.lean`
    value     SI value (or text)
    measure   what kind of quantity it is, so that a tape can print it
    kind      where it comes from
    because   one line in the shop's words
    formula   the equation used, where there is one
    source    where the equation or fact comes from
    rests_on  names of the figures it was made from
    gave_way  the rule that lost to a stronger one, and what that cost
    band      (low, high) where the value is an estimate
    """

    name: str
    value: Figure
    measure: Measure
    kind: Kind
    because: str
    formula: str = ""
    source: str = ""
    rests_on: tuple[str, ...] = ()
    gave_way: str = ""
    band: tuple[float, float] | None = None


class Ledger:
    """Gathers reasons during one layout and applies the job's overrides.

    overrides  dotted name -> what the shop typed (text or number, not yet read)
    read       reads a typed value as a measure: (typed, measure, field) -> SI value
    show       writes a figure by its measure, for the limits in an error
    """

    def __init__(
        self,
        overrides: Mapping[str, object] | None = None,
        read: Callable[[object, Measure, str], Figure] | None = None,
        show: Callable[[float, Measure], str] | None = None,
    ):
        self._overrides = dict(overrides or {})
        self._read = read
        self._show = show or (lambda value, measure: f"{value:g}")
        self._choices: set[str] = set()
        self._reasons: dict[str, Reason] = {}

    def note(
        self,
        name: str,
        value: Figure,
        measure: Measure = "length",
        *,
        because: str,
        kind: Kind = "solved",
        formula: str = "",
        source: str = "",
        rests_on: tuple[str, ...] = (),
        gave_way: str = "",
        band: tuple[float, float] | None = None,
    ) -> None:
        """Write down a figure that follows from others (it cannot be overridden)."""
        self._reasons[name] = Reason(
            name=name,
            value=value,
            measure=measure,
            kind=kind,
            because=because,
            formula=formula,
            source=source,
            rests_on=rests_on,
            gave_way=gave_way,
            band=band,
        )

    def choose(
        self,
        name: str,
        value: float,
        measure: Measure = "length",
        *,
        because: str,
        kind: Kind = "proportion",
        formula: str = "",
        source: str = "",
        rests_on: tuple[str, ...] = (),
        gave_way: str = "",
        limits: tuple[float, float] | None = None,
    ) -> float:
        """A free choice: the job's override of the same name wins. Returns the value to use [SI].

        limits  least and most an override may be [SI]
        Raises JobError where an override is no such figure, or lies outside its limits.
        """
        self._choices.add(name)
        if name in self._overrides:
            taken = self._typed(name, measure, limits)
            self.note(name, taken, measure, because=f"set by the shop; without it: {because}", kind="override")
            return taken
        self.note(
            name,
            value,
            measure,
            because=because,
            kind=kind,
            formula=formula,
            source=source,
            rests_on=rests_on,
            gave_way=gave_way,
        )
        return value

    def _typed(self, name: str, measure: Measure, limits: tuple[float, float] | None) -> float:
        """The override of a figure, read and held to its limits."""
        typed, field = self._overrides[name], f"override.{name}"
        taken = self._read(typed, measure, field) if self._read else typed
        if isinstance(taken, bool) or not isinstance(taken, int | float) or not math.isfinite(taken):
            raise JobError(
                "not a number",
                field=field,
                value=typed,
                allowed=f"a {measure}",
                remedy="Type one, or take the line out.",
            )
        if limits is not None and not limits[0] <= taken <= limits[1]:
            low, high = limits
            least = self._show(low, measure)
            allowed = f"{least} or more" if math.isinf(high) else f"{least} to {self._show(high, measure)}"
            raise JobError(
                f"{typed} is out of range",
                field=field,
                value=typed,
                allowed=allowed,
                remedy="Change it, or take the line out and the shop's rule stands.",
            )
        return float(taken)

    def overridden(self, name: str) -> bool:
        """Whether the job sets this figure itself."""
        return name in self._overrides

    def value(self, name: str) -> float:
        """The number written under a name."""
        return float(self._reasons[name].value)

    def close(self) -> dict[str, Reason]:
        """All reasons, by name.

        Raises JobError where an override names no figure of this pit.
        """
        unknown = [name for name in self._overrides if name not in self._choices]
        if unknown:
            name = unknown[0]
            near = difflib.get_close_matches(name, sorted(self._choices), n=3, cutoff=0.4)
            allowed = ", ".join(near) if near else "see `pitwright why JOB` for the names"
            known = name in self._reasons
            raise JobError(
                "this figure follows from others" if known else "no free choice of this pit has that name",
                field=f"override.{name}",
                value=self._overrides[name],
                allowed=allowed,
                remedy="Set what it rests on instead." if known else "Correct the name or take the line out.",
            )
        return self._reasons
