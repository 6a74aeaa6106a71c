"""One check: what is asked of a piece, what it can give, by which equation. Every number of the report is one of these."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from pitwright.findings import Finding, Severity
from pitwright.tape import Tape

Measure = Literal["force", "moment", "length", "angle", "stress", "pressure", "mass", "figure"]

CLOSE = 0.9
"""A ratio over this is said aloud even though it passes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One check of one piece in one case.

    name      what is checked, in the shop's words
    piece     mark or name of the piece
    case      how the pit stands, hangs or rolls
    demand    what is asked [SI unit of `measure`]
    capacity  what is allowed [same unit]
    measure   `force` N, `moment` N m, `length` m, `angle` rad, `stress` Pa, `pressure` Pa, `mass` kg, `figure` plain
    equation  clause or formula
    source    the standard, or "common practice, no source"
    """

    name: str
    piece: str
    case: str
    demand: float
    capacity: float
    measure: Measure
    equation: str
    source: str

    @property
    def ratio(self) -> float:
        """Demand over capacity; 1 is the limit, infinite where nothing is allowed."""
        if self.demand <= 0.0:
            return 0.0
        return self.demand / self.capacity if self.capacity > 0.0 else math.inf

    @property
    def passes(self) -> bool:
        """Whether the ratio is 1 or less."""
        return self.ratio <= 1.0

    def text(self, tape: Tape) -> str:
        """`legs: 458 lb of 12,200 lb, ratio 0.04`, in the shop's units."""
        ratio = ratio_text(self.ratio) if math.isinf(self.ratio) else f"ratio {self.ratio:.2f}"
        return f"{self.measured(tape)}, {ratio}"

    def measured(self, tape: Tape) -> str:
        """`458 lb of 12,200 lb`, in the shop's units; what is wanted first where more is better, such as a tip angle."""
        return f"{self.amount(self.demand, tape)} of {self.amount(self.capacity, tape)}"

    def amount(self, value: float, tape: Tape) -> str:
        """A demand or capacity as the shop reads it."""
        return f"{value:.2f}" if self.measure == "figure" else tape.figure(value, self.measure)


def ratio_text(ratio: float) -> str:
    """A ratio to read; where nothing at all is allowed it is over any limit."""
    return "over any limit" if math.isinf(ratio) else f"{ratio:.2f}"


def worst(checks: Iterable[Check]) -> Check | None:
    """The check with the highest ratio; None of none."""
    return max(checks, key=lambda c: c.ratio, default=None)


def worst_by_piece(checks: Iterable[Check]) -> tuple[Check, ...]:
    """The worst check of each piece, worst piece first."""
    found: dict[str, Check] = {}
    for check in checks:
        held = found.get(check.piece)
        if held is None or check.ratio > held.ratio:
            found[check.piece] = check
    return tuple(sorted(found.values(), key=lambda c: -c.ratio))


def finding_of(check: Check, code: str, tape: Tape, remedy: str, *, over: Severity = "stop") -> tuple[Finding, ...]:
    """The finding a check deserves: `over` past its limit, a warning when close, nothing else."""
    if check.ratio <= CLOSE:
        return ()
    severity = over if check.ratio > 1.0 else "warn"
    word = "is over its limit" if check.ratio > 1.0 else "is close to its limit"
    return (
        Finding(
            code=code,
            severity=severity,
            text=f"{check.piece}, {check.case}: {check.name} {word}: {check.text(tape)}.",
            pieces=(check.piece,),
            remedy=remedy,
            source=f"{check.equation}; {check.source}",
        ),
    )
