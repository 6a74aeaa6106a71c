"""Growth along the pit: how much, whether the legs can flex with it, and what must not be welded solid."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.findings import Finding
from pitwright.strength.bending import OMEGA
from pitwright.strength.check import Check
from pitwright.strength.steel import Steel, growth, hot
from pitwright.tape import INCH, Tape

SLOT_SPARE = INCH / 8.0
"""Room a slot has over the growth (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A hot length between two places: from a fixed leg set to another, or the firebox to its far support.

    name      what it lies between; length [m]; rise: of its mean temperature over the base it stands on [K]
    """

    name: str
    length: float
    rise: float

    @property
    def growth(self) -> float:
        """How much longer it gets than its base [m]."""
        return growth(self.length, self.rise)


def flex_check(piece: str, case: str, inertia: float, modulus: float, height: float, moved: float, steel: Steel, temperature: float = 293.15) -> Check:  # fmt: skip
    """Bending of a leg whose top is carried off by growth, welded at both ends: 6 E I d / h2, against My / 1.67.

    inertia, modulus: I [m4] and S [m3] for bending along the pit; height: clear of both welds [m]; moved: d [m].
    """
    metal = hot(steel, temperature)
    return Check(
        name="leg bent by growth",
        piece=piece,
        case=case,
        demand=6.0 * metal.stiffness * inertia * abs(moved) / height**2,
        capacity=metal.yield_stress * modulus / OMEGA,
        measure="moment",
        equation="6 E I d / h²; Fy S / 1.67",
        source="slope-deflection, both ends fixed; AISC 360-16 omega",
    )


def growth_findings(stretches: Sequence[Stretch], checks: Sequence[Check], tape: Tape) -> tuple[Finding, ...]:
    """What grows, and which end must be free; checks: the leg of each stretch that moves, in the same order."""
    out = []
    for stretch, check in zip(stretches, checks):
        more = tape.decimal(stretch.growth)
        slot = tape.length(stretch.growth + SLOT_SPARE)
        if check.passes:
            text, remedy = f"{stretch.name} grows {more} hot; {check.piece} flexes with it.", ""
        else:
            text = f"{stretch.name} grows {more} hot, more than {check.piece} can flex."
            remedy = f"Do not weld that end solid: slot its feet {slot} along the pit, bolts finger tight and locked."
        out.append(
            Finding(
                code="stand.growth",
                severity="note" if check.passes else "warn",
                text=text,
                pieces=(check.piece,),
                remedy=remedy,
                source=f"12e-6 x L x rise; {check.equation}",
            )
        )
    return tuple(out)
