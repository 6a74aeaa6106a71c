"""What the floor carries: foot and caster loads, ground pressure, the pad a foot wants, and caster ratings."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pitwright.errors import LayoutError
from pitwright.findings import Finding
from pitwright.strength.check import Check
from pitwright.strength.stability import PRACTICE, Footing, MassPoint
from pitwright.tape import STANDARD_GRAVITY, Tape

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


def foot_loads(feet: Sequence[Footing], weight: MassPoint) -> tuple[float, ...]:
    """Load on each foot of a stiff base on an even, springy floor [N], as if none could lift: the least-squares share.

    R = W (1/n + linear terms in x and y about the middle of the feet). A negative one wants to lift off.
    """
    n = len(feet)
    if n < 3:
        raise LayoutError("a base needs three feet", field="feet", value=n, allowed="3 or more")
    cx, cy = sum(f.x for f in feet) / n, sum(f.y for f in feet) / n
    xx = sum((f.x - cx) ** 2 for f in feet)
    yy = sum((f.y - cy) ** 2 for f in feet)
    xy = sum((f.x - cx) * (f.y - cy) for f in feet)
    det = xx * yy - xy * xy
    if det <= 1e-12 * (xx + yy) ** 2:
        raise LayoutError("the feet stand in one line", field="feet", value=n, allowed="feet on two sides")
    ex, ey = weight.x - cx, weight.y - cy
    a, b = (ex * yy - ey * xy) / det, (ey * xx - ex * xy) / det
    force = weight.mass * STANDARD_GRAVITY
    return tuple(force * (1.0 / n + a * (f.x - cx) + b * (f.y - cy)) for f in feet)


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
