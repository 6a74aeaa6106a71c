"""What a person, two people or a hoist lifts at one step, and how the vessel hangs while it is set on its base.

By hand: 23 kg is the most for one person even in the best posture (NIOSH 94-110, revised 2021); two people share up to
twice that at three quarters each (common practice, no source). Everything over it goes on a hoist.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from pitwright.layout.model import Pit
from pitwright.masses import Balance, Mass, combine, mass_of
from pitwright.parts import Part
from pitwright.strength.lifting import Lug, Sling, hang
from pitwright.strength.stability import MassPoint

ONE = 23.0
"""Most for one person [kg]."""

TWO = 2.0 * 0.75 * ONE
"""Most for two people [kg]."""

HOOK = 1.2
"""Least height of the hook over the top of the shell; higher where a sling would lie flatter than 45 degrees [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """The heaviest thing lifted at one step.

    slings  two baskets where the vessel is hung, the fire end's first; x: where they and the hook between them are [m]
    """

    what: str
    mass: float
    how: str
    slings: tuple[Sling, ...] = ()
    x: tuple[float, ...] = ()


def how_to_lift(mass: float) -> str:
    """By whom or by what a weight is lifted [kg]."""
    if mass <= ONE:
        return "one person"
    return "two people" if mass <= TWO else "hoist or forks, nobody under it"


def heaviest(parts: Iterable[Part]) -> Lift | None:
    """The heaviest single piece; None for no pieces."""
    found = sorted(((mass_of(p).mass, p.mark, p.name) for p in parts), reverse=True)
    if not found:
        return None
    mass, mark, name = found[0]
    return Lift(what=f"{mark} {name}", mass=mass, how=how_to_lift(mass))


def together(parts: Iterable[Part]) -> Balance:
    """Weight and centre of gravity of pieces as they stand in the pit."""
    return combine(
        Mass(mass=m.mass, centre=placement.point(m.centre))
        for part in parts
        for m in (mass_of(part),)
        for placement in part.placements
    )


def vessel_lift(pit: Pit, parts: Iterable[Part]) -> Lift:
    """The vessel hung in two baskets round the shell, the hook over its centre of gravity, as it is set on its base."""
    whole = together(parts)
    vessel = pit.vessel
    at = [s.x for s in pit.leg_sets] + [s.x for s in pit.saddles]
    inside = [min(max(x, 0.1 * vessel.length), 0.9 * vessel.length) for x in at]
    low, high = min(inside), max(inside)
    top = vessel.centre_z + vessel.outer_radius
    low, high = min(low, whole.centre[0] - 0.15), max(high, whole.centre[0] + 0.15)
    lugs = (
        Lug(name="fire end", x=low, y=whole.centre[1], z=top),
        Lug(name="stack end", x=high, y=whole.centre[1], z=top),
    )
    hook = max(HOOK, whole.centre[0] - low, high - whole.centre[0])
    weight = MassPoint(mass=whole.mass, x=whole.centre[0], y=whole.centre[1], z=whole.centre[2])
    return Lift(
        what="vessel with all that is on it",
        mass=whole.mass,
        how=how_to_lift(whole.mass),
        slings=hang(lugs, weight, hook),
        x=(low, whole.centre[0], high),
    )
