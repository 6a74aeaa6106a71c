"""On the road: tongue weight and its range, where the axle must be, ratings wanted, tie-downs.

Tongue = W (axle - c.g.) / (axle - coupler); x runs from the coupler back. 10 to 15 % is the usual range (makers'
towing instructions); under 8 % a trailer may sway, over 18 % it overloads the hitch: no frame sheet is printed then.
Road law, lights, brakes, chains and plates differ by place: ask the local authority before it is towed.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pitwright.errors import LayoutError
from pitwright.findings import Finding
from pitwright.strength.check import Check
from pitwright.strength.stability import PRACTICE, MassPoint, gather
from pitwright.tape import FOOT, LB, STANDARD_GRAVITY, Tape

LEAST, MOST = 0.10, 0.15
REFUSE_UNDER, REFUSE_OVER = 0.08, 0.18
WANTED = 0.125
TONGUE_SOURCE = "10 to 15 %: makers' towing instructions; 8 and 18 %: common practice, no source"

COUPLER_CLASSES = ((1, 2000.0 * LB), (2, 3500.0 * LB), (3, 5000.0 * LB), (4, 10000.0 * LB))
"""Gross trailer weight by coupler class (SAE J684, from memory) [kg]."""

RESERVE = 1.15
"""Tyres and axles are taken 15 % over their heaviest load (common practice, no source)."""

ROAD = {"down": 3.0, "braking": 0.8, "cornering": 0.5}
"""Road loads as shares of weight: 3 g down on a bad hole (common practice, no source); 0.8 g and 0.5 g are the
securement figures of 49 CFR 393.102(a)(1)."""

FORWARD, REARWARD, SIDEWAYS = 0.435, 0.5, 0.25
"""Accelerations tie-downs must hold within their working load limit, in g: 49 CFR 393.102(a)(2)."""

CAUTION = (
    "Weigh the tongue before the first mile and after every change of load. Chains crossed, coupler pinned, lights and "
    "brakes tried. Fire out and ash out: never tow a lit pit. Road law and plates are the owner's duty to ask about."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tongue:
    """Tongue weight in one state of loading [kg]; share of the whole; what the axle or axles carry [kg]."""

    state: str
    mass: float
    tongue: float
    share: float
    axle: float


def tongue(state: str, weights: Sequence[MassPoint], axle: float, coupler: float = 0.0) -> Tongue:
    """Tongue weight of a state; axle: the axle, or the middle of two that share by an equalizer [m]."""
    if axle - coupler < 1e-6:
        raise LayoutError("the axle must be behind the coupler", field="axle", value=axle, allowed=f"over {coupler} m")
    whole = gather(weights)
    force = whole.mass * (axle - whole.x) / (axle - coupler)
    return Tongue(state=state, mass=whole.mass, tongue=force, share=force / whole.mass, axle=whole.mass - force)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rolling:
    """Axles, wheels, springs and fenders: what moves along when the axle is moved [kg], and where it is now [m]."""

    mass: float = 0.0
    x: float = 0.0


STILL = Rolling()


def axle_for(
    weights: Sequence[MassPoint], share: float = WANTED, coupler: float = 0.0, rolling: Rolling = STILL
) -> float:
    """Axle position that gives a tongue share [m]: moments about the coupler.

    (W c.g. - share W coupler) / (W (1 - share)), the rolling gear taken out of the first moment and off the lower sum.
    """
    if not 0.0 <= share < 1.0:
        raise LayoutError("a tongue share is under 1", field="tongue", value=share, allowed="0 to under 1")
    whole = gather(weights)
    moment = whole.mass * (whole.x - share * coupler) - rolling.mass * rolling.x
    return moment / (whole.mass * (1.0 - share) - rolling.mass)


def axle_window(
    states: Mapping[str, Sequence[MassPoint]],
    low: float = LEAST,
    high: float = MOST,
    coupler: float = 0.0,
    rolling: Rolling = STILL,
) -> tuple[float, float]:
    """Axle positions that keep every state between two shares [m]; the first is past the second where none does."""
    return (
        max(axle_for(w, low, coupler, rolling) for w in states.values()),
        min(axle_for(w, high, coupler, rolling) for w in states.values()),
    )


def best_axle(states: Mapping[str, Sequence[MassPoint]], coupler: float = 0.0, rolling: Rolling = STILL) -> float:
    """Axle position that keeps the worst state nearest to 12-1/2 % [m]: least and greatest share even about it."""
    places = [axle_for(w, WANTED, coupler, rolling) for w in states.values()]
    low, high = min(places), max(places)

    def lean(axle: float) -> float:
        shares = [tongue(name, w, axle, coupler).share for name, w in states.items()]
        return min(shares) + max(shares) - 2.0 * WANTED

    for _ in range(50):
        middle = (low + high) / 2.0
        if lean(middle) < 0.0:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Ratings:
    """What must be bought [kg]: each axle, each tyre, coupler (gross weight), its class, tongue jack."""

    axle: float
    tyre: float
    coupler: float
    coupler_class: int
    jack: float


def ratings(states: Sequence[Tongue], axles: int, tyres: int) -> Ratings:
    """Ratings over all states, with the reserve; class 0 where no usual coupler is enough."""
    on_axles, gross = max(t.axle for t in states), max(t.mass for t in states)
    return Ratings(
        axle=RESERVE * on_axles / axles,
        tyre=RESERVE * on_axles / tyres,
        coupler=gross,
        coupler_class=next((number for number, most in COUPLER_CLASSES if gross <= most), 0),
        jack=RESERVE * max(t.tongue for t in states),
    )


def tongue_checks(states: Sequence[Tongue]) -> tuple[Check, ...]:
    """Tongue share of every state, off the middle of the range a frame sheet is printed for, against half that range."""
    middle, half = (REFUSE_UNDER + REFUSE_OVER) / 2.0, (REFUSE_OVER - REFUSE_UNDER) / 2.0
    return tuple(
        Check(
            name="tongue share off 13 %",
            piece="tongue weight",
            case=t.state,
            demand=abs(t.share - middle),
            capacity=half,
            measure="figure",
            equation="W (axle - c.g.) / (axle - coupler), 8 to 18 % of W",
            source=f"moment about the axle; {TONGUE_SOURCE}",
        )
        for t in states
    )


def load_window(
    weights: Sequence[Sequence[MassPoint]], load: float, axle: float, low: float = LEAST, high: float = MOST
) -> tuple[float, float]:
    """Where a load [kg] may lie behind the coupler so that every state with it stays between two shares [m].

    The first is past the second where no place does.
    """
    places = []
    for state in weights:
        whole = gather(state)
        own, both = whole.mass * (axle - whole.x), whole.mass + load
        places.append([axle - (share * axle * both - own) / load for share in (high, low)])
    return max(p[0] for p in places), min(p[1] for p in places)


def may_print(states: Sequence[Tongue]) -> bool:
    """Whether a frame sheet may be printed: every state from 8 to 18 %."""
    return all(REFUSE_UNDER <= t.share <= REFUSE_OVER for t in states)


def tongue_findings(
    states: Mapping[str, Sequence[MassPoint]],
    axle: float,
    tape: Tape,
    coupler: float = 0.0,
    rolling: Rolling = STILL,
) -> tuple[Finding, ...]:
    """Tongue weights out of range, all states in one, with how far the axle must go."""
    found = [tongue(name, w, axle, coupler) for name, w in states.items()]
    wrong = [t for t in found if not LEAST <= t.share <= MOST]
    if not wrong:
        return ()
    low, high = axle_window(states, coupler=coupler, rolling=rolling)
    move = best_axle(states, coupler, rolling) - axle
    way = f"Move the axle {tape.length(abs(move))} {'back' if move > 0.0 else 'forward'}"
    if low > high:
        way += "; no place keeps every state in 10 to 15%, so carry the wood or water nearer the axle as well"
    refused = any(not REFUSE_UNDER <= t.share <= REFUSE_OVER for t in wrong)
    says = "; ".join(f"{t.state} {t.share:.1%} ({tape.mass(t.tongue)})" for t in wrong)
    least, most = min(t.share for t in wrong), max(t.share for t in wrong)
    means = []
    if least < 0.0:
        means.append("the hitch lifts and it will sway")
    elif least < LEAST:
        means.append("it may sway")
    if most > MOST:
        means.append("it overloads hitch and car")
    return (
        Finding(
            code="tow.tongue",
            severity="stop" if refused else "warn",
            text=f"The tongue carries too {'little' if most < LEAST else 'much' if least > MOST else 'little or too much'}: "
            f"{says}. {' and '.join(means).capitalize()}."
            + (" No frame sheet below 8% or over 18%." if refused else ""),
            pieces=("tongue", "axle"),
            remedy=way + ".",
            source=TONGUE_SOURCE,
        ),
    )


# ---------------------------------------------------------------- carried as cargo

CHAIN_LIMITS = {
    ("5/16", 30): 1900.0,
    ("5/16", 43): 3900.0,
    ("5/16", 70): 4700.0,
    ("5/16", 80): 4500.0,
    ("3/8", 30): 2650.0,
    ("3/8", 43): 5400.0,
    ("3/8", 70): 6600.0,
    ("3/8", 80): 7100.0,
    ("1/2", 30): 4500.0,
    ("1/2", 43): 9200.0,
    ("1/2", 70): 11300.0,
    ("1/2", 80): 12000.0,
}
"""Working load limit of chain by size [in] and grade [lb]: 49 CFR 393.108 tables."""


def chain_limit(size: str, grade: int) -> float:
    """Working load limit of a chain [kg]."""
    try:
        return CHAIN_LIMITS[size, grade] * LB
    except KeyError:
        raise LayoutError(
            "no such chain in the table",
            field="chain",
            value=f"{size} grade {grade}",
            allowed=", ".join(f"{s} grade {g}" for s, g in CHAIN_LIMITS),
        ) from None


EITHER_SIDE = 2
"""One tie-down on either side at the least, whatever the rule lets pass (common practice, no source)."""


def least_tie_downs(length: float, mass: float, *, blocked: bool = False) -> int:
    """Least number of tie-downs for an article [m, kg]: 49 CFR 393.110(b), blocked against moving forward (c)."""
    feet, pounds = length / FOOT - 1e-9, mass / LB
    if blocked:
        return max(1, math.ceil(feet / 10.0))
    if feet <= 5.0 and pounds <= 1100.0 + 1e-9:
        return 1
    return 2 if feet <= 10.0 else 2 + math.ceil((feet - 10.0) / 10.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class TieDowns:
    """Tie-downs for a pit carried on a truck or trailer.

    count      to be used: enough for length and for strength, and never fewer than one on either side
    by_rule    393.110 count; by_strength: half the weight over what each counts for
    aggregate  working load limit wanted in all [kg]
    forward, rearward, sideways  what they must hold within their working load limit [N]
    """

    count: int
    by_rule: int
    by_strength: int
    aggregate: float
    forward: float
    rearward: float
    sideways: float


def tie_downs(length: float, mass: float, limit: float, *, over: bool = False, blocked: bool = False) -> TieDowns:
    """Tie-downs of one working load limit [kg]: `over` the pit and back to the deck, else from the pit to the deck
    (each then counts half: 393.106(d))."""
    by_rule = least_tie_downs(length, mass, blocked=blocked)
    aggregate = mass / 2.0
    each = limit if over else limit / 2.0
    by_strength = math.ceil(aggregate / each - 1e-9)
    weight = mass * STANDARD_GRAVITY
    return TieDowns(
        count=max(by_rule, by_strength, EITHER_SIDE),
        by_rule=by_rule,
        by_strength=by_strength,
        aggregate=aggregate,
        forward=FORWARD * weight,
        rearward=REARWARD * weight,
        sideways=SIDEWAYS * weight,
    )


def tie_down_check(found: TieDowns, used: int, limit: float, *, over: bool = False) -> Check:
    """Aggregate working load limit of what is used against half the weight [kg]."""
    return Check(
        name="tie-downs together",
        piece="tie-downs",
        case="carried on a truck",
        demand=found.aggregate,
        capacity=used * (limit if over else limit / 2.0),
        measure="mass",
        equation="aggregate working load limit of half the weight",
        source="49 CFR 393.106(d)",
    )


def rating_checks(needed: Ratings, axle: float, tyre: float, coupler: float) -> tuple[Check, ...]:
    """Ratings of what is bought [kg] against what is wanted."""

    def check(piece: str, demand: float, capacity: float, equation: str) -> Check:
        return Check(
            name="rating",
            piece=piece,
            case="heaviest state",
            demand=demand,
            capacity=capacity,
            measure="mass",
            equation=equation,
            source=PRACTICE,
        )

    return (
        check("axle", needed.axle, axle, "1.15 x load / axles"),
        check("tyre", needed.tyre, tyre, "1.15 x load / tyres"),
        check("coupler", needed.coupler, coupler, "gross weight"),
    )
