"""What the floor carries: foot and caster loads, ground pressure, the pad a foot wants, and caster ratings."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pitwright.errors import LayoutError
from pitwright.findings import Finding
from pitwright.strength.check import Check
from pitwright.strength.stability import PRACTICE
from pitwright.tape import Tape

GROUND = {
    "concrete slab": 2.0e6,
    "asphalt, warm": 0.35e6,
    "packed gravel": 0.20e6,
    "firm lawn": 0.10e6,
    "soft or wet ground": 0.05e6,
}
"""Pressure a ground takes under a small foot [Pa]: rounded presumptive values, common practice, no source."""

FEET_THAT_CARRY = 3
"""Each caster is rated for the whole weight over three: one of four often hangs free (common practice, no source)."""


def caster_check(weight: float, rating: float, case: str = "rolling") -> Check:
    """A caster's rating against a third of the whole weight, both as weight [kg]."""
    return Check(
        name="caster rating",
        piece="casters",
        case=case,
        demand=weight / FEET_THAT_CARRY,
        capacity=rating,
        measure="mass",
        equation="W / 3",
        source=PRACTICE,
    )


def pressure(load: float, area: float) -> float:
    """Pressure under a foot [Pa]."""
    return load / area


def pad_side(load: float, ground: str) -> float:
    """Side of the square pad a foot wants on a ground [m]: sqrt(load / pressure)."""
    return math.sqrt(load / allowed(ground))


def allowed(ground: str) -> float:
    """Pressure a ground takes [Pa]."""
    try:
        return GROUND[ground]
    except KeyError:
        raise LayoutError(
            f"no ground called {ground}", field="ground", value=ground, allowed=", ".join(GROUND)
        ) from None


def floor_checks(loads: Sequence[tuple[str, float]], area: float, ground: str, case: str) -> tuple[Check, ...]:
    """Ground pressure under each foot (name, load N) on feet of one area [m2]."""
    return tuple(
        Check(
            name="ground pressure",
            piece=name,
            case=case,
            demand=pressure(load, area),
            capacity=allowed(ground),
            measure="pressure",
            equation="load / foot area",
            source=PRACTICE,
        )
        for name, load in loads
    )


def floor_findings(loads: Sequence[tuple[str, float]], area: float, ground: str, tape: Tape) -> tuple[Finding, ...]:
    """The pad the heaviest foot wants, where it would sink."""
    name, load = max(loads, key=lambda pair: pair[1])
    if pressure(load, area) <= allowed(ground):
        return ()
    side = pad_side(load, ground)
    return (
        Finding(
            code="stand.sinks",
            severity="warn",
            text=f"{name} carries {tape.force(load)} and presses {tape.pressure(pressure(load, area))} on {ground}, "
            f"which takes about {tape.pressure(allowed(ground))}.",
            pieces=(name,),
            remedy=f"Set every foot on a pad {tape.length(side)} square or more.",
            source=PRACTICE,
        ),
    )
