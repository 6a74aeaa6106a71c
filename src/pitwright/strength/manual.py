"""What a person lifts: the revised NIOSH equation, and the handles of a cart.

Recommended weight = 23 kg x HM VM DM AM FM CM (NIOSH 94-110, revised 2021). It is for two-handed lifting of a free
load; for cart handles it is a yardstick, not a limit in law.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from pitwright.errors import LayoutError
from pitwright.findings import Finding
from pitwright.strength.check import Check
from pitwright.strength.stability import MassPoint, gather
from pitwright.tape import LB, Tape

LOAD_CONSTANT = 23.0
"""NIOSH load constant [kg]; 51 lb in its inch form."""

ONE_PERSON = 50.0 * LB
"""Lift at cart handles above which two people are called for [kg] (common practice, no source)."""

TWO_PEOPLE = 2.0 * ONE_PERSON

Duration = Literal["short", "medium", "long"]
Coupling = Literal["good", "fair", "poor"]

_RATES = (0.2, 0.5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15)
_FREQUENCY: dict[Duration, tuple[float, ...]] = {
    "short": (1.0, 0.97, 0.94, 0.91, 0.88, 0.84, 0.80, 0.75, 0.70, 0.60, 0.52, 0.45, 0.41, 0.37, 0.34, 0.31, 0.28),
    "medium": (0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.60, 0.50, 0.42, 0.35, 0.30, 0.26, 0.23, 0.21, 0.0, 0.0, 0.0),
    "long": (0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0.15, 0.13, 0.0, 0.0, 0.0, 0.0, 0.0),
}
_LOW_CUT: dict[Duration, float] = {"short": 12.0, "medium": 12.0, "long": 10.0}
_COUPLING: dict[Coupling, tuple[float, float]] = {"good": (1.0, 1.0), "fair": (0.95, 1.0), "poor": (0.90, 0.90)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """One lift by hand.

    reach      hands ahead of the ankles [m]; height of the hands at the start [m]; travel up or down [m]
    twist      off straight ahead [rad]
    rate       lifts a minute; duration of the work: short to 1 h, medium to 2 h, long to 8 h
    coupling   how good the grip is
    """

    reach: float
    height: float
    travel: float = 0.0
    twist: float = 0.0
    rate: float = 0.2
    duration: Duration = "short"
    coupling: Coupling = "good"


def multipliers(lift: Lift) -> tuple[float, float, float, float, float, float]:
    """HM, VM, DM, AM, FM, CM, metric forms."""
    reach, height, travel = lift.reach * 100.0, lift.height * 100.0, lift.travel * 100.0
    degrees = abs(math.degrees(lift.twist))
    horizontal = 0.0 if reach > 63.0 else 25.0 / max(reach, 25.0)
    vertical = 0.0 if height > 175.0 or height < 0.0 else 1.0 - 0.003 * abs(height - 75.0)
    distance = 0.0 if travel > 175.0 else 0.82 + 4.5 / max(travel, 25.0)
    turned = 0.0 if degrees > 135.0 else 1.0 - 0.0032 * degrees
    low = height < 75.0
    coupling = _COUPLING[lift.coupling][0 if low else 1]
    return horizontal, vertical, distance, turned, _frequency(lift.rate, lift.duration, low), coupling


def _frequency(rate: float, duration: Duration, low: bool) -> float:
    if rate > _RATES[-1] or (low and rate > _LOW_CUT[duration]):
        return 0.0
    row = _FREQUENCY[duration]
    for a, b, fa, fb in zip(_RATES, _RATES[1:], row, row[1:]):
        if rate <= b:
            return fa if rate <= a else fa + (fb - fa) * (rate - a) / (b - a)
    return row[-1]


def recommended_weight(lift: Lift) -> float:
    """Recommended weight limit [kg]."""
    return LOAD_CONSTANT * math.prod(multipliers(lift))


def handle_lift(weights: Iterable[MassPoint], axle: float, handles: float) -> float:
    """What a person holds at the handles of a cart [kg]: moment about the axle over its distance to the handles.

    axle, handles: their stations along x [m]. Negative: the handles want to fly up.
    """
    if abs(axle - handles) < 1e-6:
        raise LayoutError("the handles are over the axle", field="handles", value=handles, allowed="away from the axle")
    whole = gather(weights)
    return whole.mass * (axle - whole.x) / (axle - handles)


def handle_findings(lift: float, tape: Tape, move: float = 0.0) -> tuple[Finding, ...]:
    """What a lift at the handles [kg] asks of people; move: how far nearer the weight the axle must be for one [m]."""
    if lift < 0.0:
        return (
            Finding(
                code="lift.handles_fly",
                severity="stop",
                text=f"The handles lift by themselves with {tape.mass(-lift)}: the cart falls over backward.",
                remedy="Move the axle toward the far end from the handles.",
                source="moment about the axle",
            ),
        )
    if lift <= ONE_PERSON:
        return ()
    two = lift <= TWO_PEOPLE
    return (
        Finding(
            code="lift.handles",
            severity="warn" if two else "stop",
            text=f"The handles lift {tape.mass(lift)}; one person is asked for no more than {tape.mass(ONE_PERSON)}.",
            remedy=(f"Move the axle {tape.length(move)} nearer the weight, or " if move > 0.0 else "Or ")
            + ("put a plate on it: two people." if two else "move it by machine."),
            source="common practice, no source; NIOSH 94-110 as a yardstick",
        ),
    )


def handle_check(lift: float) -> Check:
    """The lift at the handles [kg] against what two people are asked for."""
    return Check(
        name="lift at the handles",
        piece="handles",
        case="moved by two people",
        demand=lift,
        capacity=TWO_PEOPLE,
        measure="mass",
        equation="W (axle - c.g.) / (axle - handles), 50 lb a person",
        source="moment about the axle; common practice, no source",
    )


def axle_for_lift(weights: Iterable[MassPoint], handles: float, lift: float = ONE_PERSON) -> float:
    """Where the axle must be for a lift at the handles [m]: (W c.g. - lift x handles) / (W - lift)."""
    whole = gather(weights)
    return (whole.mass * whole.x - lift * handles) / (whole.mass - lift)
