"""A solved pit that is moved: towed on its axles, pushed by its handles, or tied down on somebody else's deck."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pitwright.findings import Finding
from pitwright.layout.model import Pit
from pitwright.layout.running import Tongue
from pitwright.strength.check import Check
from pitwright.strength.manual import (
    ONE_PERSON,
    Lift,
    axle_for_lift,
    handle_check,
    handle_findings,
    handle_lift,
    recommended_weight,
)
from pitwright.strength.pit_floor import point_of
from pitwright.strength.stability import PRACTICE, Footing, MassPoint, outline, sides
from pitwright.strength.towing import (
    ROAD,
    Ratings,
    Rolling,
    TieDowns,
    axle_window,
    best_axle,
    chain_limit,
    load_window,
    may_print,
    rating_checks,
    ratings,
    tie_down_check,
    tie_downs,
    tongue,
    tongue_checks,
    tongue_findings,
)
from pitwright.strength.towing import Tongue as TongueWeight
from pitwright.tape import LB, STANDARD_GRAVITY

WOOD = 300.0 * LB
"""Wood taken along on a trailer [kg] (common practice, no source)."""

CHAIN = ("3/8", 70)
"""Chain a pit is tied down with, size [in] and grade."""

REACH = 0.30
"""Hands ahead of the ankles at the handles [m] (our judgement)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Towing:
    """A pit as a trailer.

    states    tongue weight in every state of loading
    wood      taken along [kg]; wood_at: where it must lie, along the pit, from and to [m]; None where no place will do
    wood_x    where it is taken to lie: the middle of that, else over the axles
    place     where the axle (the middle of two) is, behind the coupler [m]; window: places that keep every state in
              10 to 15 %, the first past the second where none does; best: the middle of it
    needed    ratings to buy; fit: whether a frame sheet may be given
    chains    breaking strength wanted of each safety chain [kg]
    roll      side pull of a bend that tips it, as a share of its weight
    """

    states: tuple[TongueWeight, ...]
    wood: float
    wood_at: tuple[float, float] | None
    wood_x: float
    place: float
    window: tuple[float, float]
    best: float
    needed: Ratings
    fit: bool
    chains: float
    roll: float
    checks: tuple[Check, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HandLift:
    """Lifting a cart by its handles: what the hands hold by state, how many people, what one is advised to lift [kg]."""

    states: Mapping[str, float]
    people: int
    advised: float
    checks: tuple[Check, ...]
    findings: tuple[Finding, ...]


def behind(coupler: Tongue, x: float) -> float:
    """How far a place lies behind the coupler [m]."""
    return (coupler.coupler[0] - x) * coupler.end


def towing_of(pit: Pit) -> Towing | None:
    """Tongue weights, ratings and findings of a trailer; None of a pit with no tongue or no axle."""
    base = pit.base
    if base.tongue is None or not base.axles:
        return None
    tow = base.tongue
    axle = sum(behind(tow, a.x) for a in base.axles) / len(base.axles)
    wood_at = _wood_places(pit, tow, axle)
    wood_x = sum(wood_at) / 2.0 if wood_at else sum(a.x for a in base.axles) / len(base.axles)
    wood = MassPoint(mass=WOOD, x=behind(tow, wood_x), y=0.0, z=base.rail_top + 0.3)
    states: dict[str, list[MassPoint]] = {}
    for name in _road_states(pit):
        p = point_of(pit.balance[name])
        whole = MassPoint(mass=p.mass, x=behind(tow, p.x), y=p.y, z=p.z)
        states[name] = [whole]
        states[f"{name}, wood aboard"] = [whole, wood]
    found = tuple(tongue(name, weights, axle) for name, weights in states.items())
    needed = ratings(found, len(base.axles), 2 * len(base.axles))
    checks = [*tongue_checks(found), *_bought(pit, needed)]
    heavy = point_of(pit.balance["loaded"])
    track = min(a.track for a in base.axles)
    roll = (track / 2.0 - abs(heavy.y)) / heavy.z
    checks.append(
        Check(
            name="rolls over in a bend", piece="wheels", case=f"bend, {ROAD['cornering']:g} g", demand=ROAD["cornering"],
            capacity=max(roll, 0.0), measure="figure", equation="(half track - offset) / height of the weight",
            source=f"statics, springs and tyres taken stiff; {PRACTICE}",
        )
    )  # fmt: skip
    rolling = Rolling(mass=_rolling_mass(pit), x=axle)
    findings = list(tongue_findings(states, axle, pit.tape, rolling=rolling))
    if roll < ROAD["cornering"]:
        findings.append(
            Finding(
                code="tow.roll",
                severity="stop",
                text=f"A bend of {roll:.2f} g turns it over; {ROAD['cornering']:g} g is wanted.",
                pieces=("axle",),
                remedy=f"A track {pit.tape.length(2.0 * (ROAD['cornering'] * heavy.z + abs(heavy.y)))} wide, or hang the pit lower.",
                source="statics",
            )
        )
    return Towing(
        states=found,
        wood=WOOD,
        wood_at=wood_at,
        wood_x=wood_x,
        place=axle,
        window=axle_window(states, rolling=rolling),
        best=best_axle(states, rolling=rolling),
        needed=needed,
        fit=may_print(found),
        chains=max(t.mass for t in found),
        roll=roll,
        checks=tuple(checks),
        findings=tuple(findings),
    )


def _rolling_mass(pit: Pit) -> float:
    """Axles, wheels, springs and fenders [kg], with their share of weld and paint, or as the scale corrects it."""
    value = {name: float(pit.reasons[name].value) for name in ("trailer.group", "weight.pieces", "weight.empty")}
    return value["trailer.group"] * value["weight.empty"] / value["weight.pieces"]


def _road_states(pit: Pit) -> tuple[str, ...]:
    """The states it travels in; what rides along is aboard in all but the first."""
    return tuple(name for name in ("empty", "carrying", "loaded") if name in pit.balance)


def _wood_places(pit: Pit, tow: Tongue, axle: float) -> tuple[float, float] | None:
    """Where on the frame the wood may lie so that the tongue stays in 10 to 15 %, empty and loaded [m]."""
    weights = []
    for name in _road_states(pit):
        p = point_of(pit.balance[name])
        weights.append([MassPoint(mass=p.mass, x=behind(tow, p.x), y=p.y, z=p.z)])
    ends = sorted((behind(tow, pit.base.rail_x0), behind(tow, pit.base.rail_x1)))
    low, high = load_window(weights, WOOD, axle)
    low, high = max(low, ends[0]), min(high, ends[1])
    if low > high:
        return None
    first, last = sorted(tow.coupler[0] - tow.end * d for d in (low, high))
    return first, last


def _bought(pit: Pit, needed: Ratings) -> tuple[Check, ...]:
    """Ratings stated of what is bought; nothing of what has none stated."""
    base, g = pit.base, STANDARD_GRAVITY
    assert base.tongue is not None
    axle = min(a.axle_rating for a in base.axles) / g
    tyre = min(a.tyre_rating for a in base.axles) / g
    given = {"axle": axle, "tyre": tyre, "coupler": base.tongue.rating / g}
    return tuple(c for c in rating_checks(needed, axle, tyre, given["coupler"]) if given[c.piece] > 0.0)


# ---------------------------------------------------------------- by hand, and as cargo


def hands_of(pit: Pit) -> HandLift | None:
    """What hands hold at the handles; None of a pit with none."""
    base = pit.base
    if base.handles is None or not base.axles:
        return None
    axle, handles = sum(a.x for a in base.axles) / len(base.axles), base.handles
    lifts = {name: handle_lift([point_of(b)], axle, handles.grip[0]) for name, b in pit.balance.items()}
    empty = point_of(pit.balance["empty"])
    nearer = abs(axle - axle_for_lift([empty], handles.grip[0])) if lifts["empty"] > ONE_PERSON else 0.0
    return HandLift(
        states=lifts,
        people=2 if lifts["empty"] > ONE_PERSON else 1,
        advised=recommended_weight(Lift(reach=REACH, height=min(handles.grip[2], 1.7))),
        checks=(handle_check(max(lifts["empty"], 0.0)),),
        findings=handle_findings(lifts["empty"], pit.tape, nearer),
    )


def tied_down(pit: Pit, prints: Sequence[Footing]) -> tuple[TieDowns, Check, tuple[Finding, ...]]:
    """Tie-downs for the empty pit on a deck, by its whole length: 3/8 chain of grade 70 from the pit to the deck."""
    limit = chain_limit(*CHAIN)
    found = tie_downs(float(pit.reasons["overall.length"].value), pit.balance["empty"].mass, limit)
    return found, tie_down_check(found, found.count, limit), _tall_on_deck(pit, prints)


def _tall_on_deck(pit: Pit, prints: Sequence[Footing]) -> tuple[Finding, ...]:
    """What a bend does to a pit on a deck that tips sooner than the side push its tie-downs are there for."""
    weight, pushed = point_of(pit.balance["empty"]), ROAD["cornering"]
    rim = {f.name: f for f in outline(prints)}
    first = min(sides(prints, weight), key=lambda s: s.angle)
    if not 0.0 < math.tan(first.angle) < pushed or pit.base.tongue is not None:
        return ()  # what falls over by itself is told elsewhere
    at = rim[first.feet[0]]
    across = max(math.cos(first.facing) * (at.x - f.x) + math.sin(first.facing) * (at.y - f.y) for f in rim.values())
    held = weight.mass * STANDARD_GRAVITY * (pushed * weight.z - first.margin) / across
    return (
        Finding(
            code="tow.deck",
            severity="note",
            text=f"Carried on a deck, a push of {math.tan(first.angle):.2f} g tips it over "
            f"{first.feet[0]} and {first.feet[1]}; a bend or a hard stop gives {pushed:g} g.",
            pieces=("tie-downs",),
            remedy=f"Chain it down at every corner, so that the far side can hold {pit.tape.force(held)}; block its wheels or feet.",
            source="moment about the side it tips over; 0.5 g: 49 CFR 393.102(a)(1)",
        ),
    )
