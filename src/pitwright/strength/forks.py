"""Fork trucks: load centre, what a truck is good for there, pockets against cross members.

The truck's own plate rules. Forks shorter than two thirds of the load's depth do not carry it (common practice).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.findings import Finding
from pitwright.strength.check import Check
from pitwright.strength.stability import PRACTICE
from pitwright.tape import INCH, Tape

AXLE_AHEAD = 16.0 * INCH
"""Fork face ahead of the front axle [m]; trucks of 4,000 to 6,000 lb have 14 to 18 in (common practice, no source)."""

FORK_WIDTH = 5.0 * INCH


@dataclass(frozen=True, slots=True, kw_only=True)
class Truck:
    """A truck by its plate: capacity [kg] at a load centre [m], its fork length, fork face ahead of its axle [m]."""

    capacity: float
    load_centre: float = 24.0 * INCH
    forks: float = 48.0 * INCH
    axle_ahead: float = AXLE_AHEAD


def truck_capacity(truck: Truck, load_centre: float) -> float:
    """What it lifts at a longer load centre [kg]: the same moment about its front axle. Never more than its plate."""
    share = (truck.load_centre + truck.axle_ahead) / (load_centre + truck.axle_ahead)
    return truck.capacity * min(share, 1.0)


def truck_check(truck: Truck, mass: float, load_centre: float, case: str) -> Check:
    """The pit's weight [kg] against the truck at that load centre [m]."""
    return Check(
        name="truck at that load centre",
        piece="fork truck",
        case=case,
        demand=mass,
        capacity=truck_capacity(truck, load_centre),
        measure="mass",
        equation="plate capacity x (c + a) / (load centre + a), moment about the front axle",
        source=PRACTICE,
    )


def pocket_stations(centre: float, spread: float) -> tuple[float, float]:
    """Pockets even about the centre of gravity [m]: centre -+ half the spread."""
    return centre - spread / 2.0, centre + spread / 2.0


def pocket_shares(pockets: tuple[float, float], centre: float) -> tuple[float, float]:
    """Share of the weight on each fork."""
    low, high = pockets
    far = (centre - low) / (high - low)
    return 1.0 - far, far


def clear_pockets(
    centre: float, spread: float, width: float, crosses: Sequence[tuple[float, float]], *, narrow: float, wide: float
) -> tuple[float, float] | None:
    """The pair of pockets even about the centre of gravity, nearest the wanted spread, that misses every cross member.

    crosses: (station, width) [m]. None where no spread from `narrow` to `wide` is clear.
    """
    bounds = {spread}
    for station, member in crosses:
        for reach in (-(member + width) / 2.0, (member + width) / 2.0):
            bounds.add(2.0 * abs(station + reach - centre))
    found = [
        s for s in bounds if narrow - 1e-9 <= s <= wide + 1e-9 and not _hits(pocket_stations(centre, s), width, crosses)
    ]
    return pocket_stations(centre, min(found, key=lambda s: abs(s - spread))) if found else None


def _hits(
    pockets: tuple[float, float], width: float, crosses: Sequence[tuple[float, float]]
) -> list[tuple[float, float]]:
    return [
        (pocket, station)
        for pocket in pockets
        for station, member in crosses
        if abs(pocket - station) < (member + width) / 2.0 - 1e-9
    ]


def pocket_findings(
    pockets: tuple[float, float], width: float, crosses: Sequence[tuple[float, float]], centre: float, tape: Tape
) -> tuple[Finding, ...]:
    """Pockets that land on a cross member, and pockets uneven about the weight; stations as the tape reads them."""
    out = []
    for pocket, station in _hits(pockets, width, crosses):
        better = clear_pockets(centre, pockets[1] - pockets[0], width, crosses, narrow=16.0 * INCH, wide=60.0 * INCH)
        remedy = f"Move that cross member {tape.length((width + INCH) / 2.0 + abs(pocket - station))} along"
        if better:
            remedy = (
                f"Set the pockets at {tape.length(better[0])} and {tape.length(better[1])}, or move the cross member"
            )
        out.append(
            Finding(
                code="lift.pocket",
                severity="warn",
                text=f"The fork pocket at {tape.length(pocket)} lands on the cross member at {tape.length(station)}.",
                remedy=remedy + ".",
                source="pocket and cross member widths",
            )
        )
    worst = max(pocket_shares(pockets, centre))
    if worst > 0.6:
        out.append(
            Finding(
                code="lift.uneven_forks",
                severity="stop" if worst >= 1.0 else "warn",
                text=f"One fork carries {worst:.0%} of the weight: it turns off the forks when a fork bounces.",
                remedy=f"Centre the pockets on the weight at {tape.length(centre)}.",
                source=PRACTICE,
            )
        )
    return tuple(out)


def fork_findings(
    truck: Truck, mass: float, load_centre: float, reach: float, case: str, tape: Tape
) -> tuple[Finding, ...]:
    """What a truck cannot do: too far out, or forks too short for what they must reach through [m]."""
    out = []
    check = truck_check(truck, mass, load_centre, case)
    if not check.passes:
        out.append(
            Finding(
                code="lift.truck",
                severity="stop",
                text=f"{case}: {tape.mass(mass)} at a load centre of {tape.length(load_centre)} is more than this truck's "
                f"{tape.mass(check.capacity)} there.",
                remedy="Take it from the side, a bigger truck, or two slings.",
                source=check.equation,
            )
        )
    if truck.forks < 2.0 / 3.0 * reach:
        out.append(
            Finding(
                code="lift.forks_short",
                severity="warn",
                text=f"{case}: forks {tape.length(truck.forks)} long reach less than two thirds of {tape.length(reach)}.",
                remedy="Fork extensions no longer than half again the forks, pinned; or lift from the other way.",
                source="29 CFR 1910.178 appendix and ASME B56.1 practice, from memory",
            )
        )
    return tuple(out)


def side_tip(spread: float, centre_height: float, offset: float = 0.0) -> float:
    """Side slope at which a load on two forks rolls off them [rad]: atan((half spread - offset) / height over forks)."""
    return math.atan2(spread / 2.0 - abs(offset), centre_height)
