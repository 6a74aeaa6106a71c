"""Leaning legs push their feet apart: how hard, what opens, and what a cross member does about it.

A leg leaning b off plumb under a load V pushes its foot out with V tan b. If nothing holds the foot, the moment
V x e (e: how far the foot stands out from where the leg meets the shell) rolls the shell wall at the leg and bends the
leg; the feet creep out. A tie takes the push instead. Rolling stiffness comes as a band from `shell`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.errors import LayoutError
from pitwright.findings import Finding
from pitwright.strength.shell import Band
from pitwright.tape import INCH, Tape

CASES = (("even on all feet", 1.0), ("rocking on three", 1.6), ("road shock", 3.0))
"""Load on a leg over its even share: four feet with one off the floor put about 1.6 on the worst; 3 g on the road
(common practice, no source)."""

NEAR = 12.0 * INCH
"""A tie farther than this from the legs no longer holds them (common practice, no source)."""

CREEP = INCH / 16.0
"""Opening that can be felt [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeaningLeg:
    """A leg and what ties its foot.

    name          mark
    load          its even share [N]
    lean          off plumb, in the end view [rad]
    height        foot to where it meets the shell, plumb [m]
    bend          stiffness of the leg in the end view, E I [N m2]
    roll          stiffness of the shell wall against rolling under the leg, for one leg [N m/rad]
    rail_bend     stiffness of the rail sideways, E I [N m2]; rail_twist: G J [N m2]
    bay           distance between the cross members on either side of the leg, or the whole rail [m]
    tie           distance from the leg to the nearest cross member [m]; infinite where there is none
    tie_stretch   stiffness of the cross member as a strut, E A / length [N/m]
    """

    name: str
    load: float
    lean: float
    height: float
    bend: float
    roll: Band
    rail_bend: float
    rail_twist: float
    bay: float
    tie: float
    tie_stretch: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """One case of one leg.

    load, thrust   on the foot, down and out [N]
    moment         at the leg top where the foot is free to slide [N m]
    shell_turn     roll of the shell wall then [rad], a band
    loose          opening of one foot with nothing to tie it [m], a band
    tied           opening of one foot with the cross member there is [m], a band
    held           what the tie takes [N], a band
    rail_turn      twist of the rail under a foot welded to it, between its cross members [rad]
    """

    case: str
    load: float
    thrust: float
    moment: float
    shell_turn: Band
    loose: Band
    tied: Band
    held: Band
    rail_turn: float


def thrust(load: float, lean: float) -> float:
    """Outward push of a leaning leg's foot [N]: V tan(lean)."""
    return load * math.tan(lean)


def foot_give(leg: LeaningLeg, roll: float) -> float:
    """How far a foot moves outward for a unit outward pull on it [m/N]: shell roll h2/k and leg bending.

    Leg bending: a cantilever from the shell, pulled level: (L cos b)2 L / (3 E I), L its length.
    """
    length = leg.height / math.cos(leg.lean)
    return leg.height**2 / roll + leg.height**2 * length / (3.0 * leg.bend)


def tie_give(leg: LeaningLeg) -> float:
    """How far a foot moves against its tie for a unit push [m/N]: the rail bent sideways in its bay, and the strut.

    Rail held at two cross members: a2 c2 / (3 E I bay). With one tie at the distance a and the rail running on free,
    or none at all, the rail does not hold the foot sideways: infinite.
    """
    if not (math.isfinite(leg.tie) and math.isfinite(leg.bay)):
        return math.inf
    far = leg.bay - leg.tie
    if far < -1e-9:
        raise LayoutError("the tie lies outside its bay", field="tie", value=leg.tie, allowed=f"0 to {leg.bay}")
    bent = (leg.tie * max(far, 0.0)) ** 2 / (3.0 * leg.rail_bend * leg.bay) if leg.bay > 0.0 else 0.0
    return bent + 0.5 / leg.tie_stretch  # each of the two feet has half of the strut's stretch


def spread(leg: LeaningLeg, case: str = "even on all feet", factor: float = 1.0) -> Spread:
    """Thrust and opening of one leg in one case."""
    load = leg.load * factor
    push = thrust(load, leg.lean)
    moment = push * leg.height  # = V x e
    give = tie_give(leg)
    loose, tied, held = [], [], []
    for roll in (leg.roll.high, leg.roll.best, leg.roll.low):
        own = foot_give(leg, roll)
        # a leg under V with a free foot bends as under the same level push V tan b
        free = push * own
        loose.append(free)
        share = 0.0 if math.isinf(give) else own / (own + give)
        held.append(push * share)
        tied.append(free * (1.0 - share))
    turns = [moment / roll for roll in (leg.roll.high, leg.roll.best, leg.roll.low)]
    reach = leg.tie if math.isfinite(leg.tie) else leg.bay
    return Spread(
        case=case,
        load=load,
        thrust=push,
        moment=moment,
        shell_turn=Band(low=turns[0], best=turns[1], high=turns[2]),
        loose=Band(low=loose[0], best=loose[1], high=loose[2]),
        tied=Band(low=tied[0], best=tied[1], high=tied[2]),
        held=Band(low=min(held), best=held[1], high=max(held)),
        rail_turn=moment * reach / leg.rail_twist,
    )


def spreads(leg: LeaningLeg, cases: Sequence[tuple[str, float]] = CASES) -> tuple[Spread, ...]:
    """All cases of one leg."""
    return tuple(spread(leg, name, factor) for name, factor in cases)


def spread_findings(leg: LeaningLeg, wall: float, padded: bool, tape: Tape) -> tuple[Finding, ...]:
    """What a leaning leg still wants: a tie near it, a pad on a thin wall."""
    out = []
    worst = spread(leg, *CASES[1])
    if not math.isfinite(leg.tie) or leg.tie > NEAR:
        there = f"the nearest is {tape.length(leg.tie)} away" if math.isfinite(leg.tie) else "there is none"
        out.append(
            Finding(
                code="stand.spread",
                severity="stop" if not math.isfinite(leg.tie) and worst.loose.best > CREEP else "warn",
                text=f"{leg.name} pushes out with {tape.force(thrust(leg.load, leg.lean))}, {tape.force(worst.thrust)} "
                f"rocking on three: {there}. Free, each foot opens {tape.decimal(worst.loose.low)} to "
                f"{tape.decimal(worst.loose.high)}.",
                pieces=(leg.name,),
                remedy=f"Cross member within {tape.length(NEAR)} of the legs, welded before the vessel's weight comes on.",
                source="V tan(lean); shell roll by double Fourier series, band is our judgement",
            )
        )
    if wall < 0.25 * INCH - 1e-6 and not padded:
        out.append(
            Finding(
                code="stand.pad",
                severity="warn",
                text=f"{leg.name} stands on a {tape.decimal(wall)} wall with no pad.",
                pieces=(leg.name,),
                remedy="Pad every leg on walls under 1/4 in.",
                source="common practice, no source",
            )
        )
    return tuple(out)
