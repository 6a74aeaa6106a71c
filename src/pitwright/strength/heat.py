"""Growth along the pit: how much, whether the legs can flex with it, and what must not be welded solid."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.findings import Finding
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Flexing:
    """A leg whose top is carried off by growth.

    inertia, modulus  I [m4] and S [m3] for bending along the pit
    height            clear of both welds [m]; moved: of its top against its foot [m]
    pitch             stiffness of the shell wall at its top against turning, for one leg [N m/rad]
    """

    inertia: float
    modulus: float
    height: float
    moved: float
    pitch: float = math.inf


def flex_moment(leg: Flexing, stiffness: float) -> float:
    """Greatest bending of the leg [N m]: fixed at its foot, turning against the wall at its top (slope-deflection).

    With a stiff wall 6 E I d / h2 at both ends; with a wall that gives, at most half of it comes off.
    """
    bend, slope = stiffness * leg.inertia / leg.height, abs(leg.moved) / leg.height
    turn = 0.0 if math.isinf(leg.pitch) else 6.0 * bend * slope / (4.0 * bend + leg.pitch)
    return 2.0 * bend * (3.0 * slope - turn)


def flex_check(piece: str, case: str, leg: Flexing, steel: Steel, temperature: float = 293.15) -> Check:
    """Bending of a leg by growth against first yield: growth is used up by it, so no 1.67 goes on top."""
    metal = hot(steel, temperature)
    return Check(
        name="leg bent by growth",
        piece=piece,
        case=case,
        demand=flex_moment(leg, metal.stiffness),
        capacity=metal.yield_stress * leg.modulus,
        measure="moment",
        equation="6 E I d / h² less what the wall gives; Fy S, for growth limits itself",
        source="slope-deflection; first yield is half of what pressure vessel codes allow such a range (from memory)",
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
