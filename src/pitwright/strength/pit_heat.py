"""Heat in a solved pit's steel: how hot the legs under the fire get, how much the pit grows, what must not be welded solid.

Temperatures along the pit come from its own fire. The strength of a leg under the firebox is taken at the hottest skin met
there in use, 700 °F, or at the fire's own figure where that is hotter: the mean skin of the model has hotter places.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from pitwright.findings import Finding
from pitwright.fire.of_pit import outcome_of
from pitwright.fire.result import SteadyFire
from pitwright.layout.model import LegSet, Pit
from pitwright.strength.check import Check
from pitwright.strength.heat import Flexing, Stretch, flex_check, growth_findings
from pitwright.strength.pit_patches import shell_patch
from pitwright.strength.shell import rolling_stiffness
from pitwright.strength.steel import GROWTH, STIFFNESS, steel_for

HOT_SKIN = 644.0
"""Firebox skin a leg under it may meet [K]: 350 to 700 °F (common practice, no source)."""

SHELL_SKIN = 380.0
"""Shell where no fire holds that could be reckoned [K]: 225 °F (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Heat:
    """Steel temperatures [K].

    outside  the day the order names; firebox: mean skin; hottest: what legs under the firebox are reckoned at
    x, shell along the vessel, its lower half
    """

    outside: float
    firebox: float
    hottest: float
    x: tuple[float, ...]
    shell: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Growth:
    """How the pit grows along: of shell and firebox [m], how far each leg set's top is carried off (toward the stack
    end) [m], and the checks of its legs."""

    shell: float
    firebox: float
    moved: Mapping[str, float]
    checks: tuple[Check, ...]
    findings: tuple[Finding, ...]


def heat_of(pit: Pit) -> Heat:
    """Temperatures from the pit's own steady fire; usual ones where none holds."""
    outcome, outside = outcome_of(pit), pit.job.order.outside
    if isinstance(outcome, SteadyFire):
        skin = next((s.temperature for s in outcome.skins if s.name == "firebox"), outcome.fire_wall)
        x, shell = tuple(float(v) for v in outcome.x), tuple(float(v) for v in outcome.shell_lower)
        return Heat(outside=outside, firebox=skin, hottest=max(HOT_SKIN, skin), x=x, shell=shell)
    length = pit.vessel.length
    return Heat(outside=outside, firebox=HOT_SKIN, hottest=HOT_SKIN, x=(0.0, length), shell=(SHELL_SKIN, SHELL_SKIN))


def hot_legs(pit: Pit, heat: Heat) -> dict[str, float]:
    """Temperature of the steel of legs that carry the firebox, by set [K]."""
    return {s.name: heat.hottest for s in pit.leg_sets if s.x < 0.0}


def growth_of(pit: Pit, heat: Heat) -> Growth:
    """Growth along the pit against a base that stays cold, and the legs that must bend with it."""
    box = pit.firebox
    shell = _carried(heat, pit.vessel.length)
    firebox = GROWTH * (heat.firebox - heat.outside) * (box.x1 - box.x0)
    sets = [s for s in pit.leg_sets if s.legs]
    moved: dict[str, float] = {}
    checks: list[Check] = []
    findings: list[Finding] = []
    if len(sets) > 1:
        carried = [_carried(heat, s.x) for s in sets]
        stiff = [_along_stiffness(s) for s in sets]
        still = sum(c * k for c, k in zip(carried, stiff, strict=True)) / sum(stiff)
        moved = {s.name: c - still for s, c in zip(sets, carried, strict=True)}
        checks = [_flex(pit, s, moved[s.name], heat) for s in sets]
        findings = list(_told(pit, sets, moved, checks))
    return Growth(shell=shell, firebox=firebox, moved=moved, checks=tuple(checks), findings=tuple(findings))


def _carried(heat: Heat, x: float) -> float:
    """How far the hot pit has moved at x, toward the stack end, against the fire-end seam [m]."""
    if x < 0.0:
        return GROWTH * (heat.firebox - heat.outside) * x
    at = np.linspace(0.0, x, 33)
    rise = np.interp(at, heat.x, heat.shell) - heat.outside
    return float(GROWTH * np.trapezoid(rise, at))


def _height(leg_set: LegSet) -> float:
    leg = leg_set.legs[0]
    return leg.centre_length * math.cos(leg.true_lean)


def _along_stiffness(leg_set: LegSet) -> float:
    """Two legs, fixed at both ends, bent along the pit [N/m]."""
    return 2.0 * 12.0 * STIFFNESS * leg_set.profile.iy / _height(leg_set) ** 3


def _flex(pit: Pit, leg_set: LegSet, moved: float, heat: Heat) -> Check:
    piece = next((p.mark for p in pit.parts if p.group == "legs" and p.name.startswith(f"leg, set {leg_set.name}")), "")
    return flex_check(
        piece or f"leg {leg_set.name}",
        "hot, both ends welded",
        Flexing(
            inertia=leg_set.profile.iy,
            modulus=leg_set.profile.sy,
            height=_height(leg_set),
            moved=moved,
            pitch=math.inf
            if leg_set.x < 0.0
            else rolling_stiffness(shell_patch(pit, leg_set, leg_set.legs[0]), "pitch").best,
        ),
        steel_for(leg_set.profile.kind),
        heat.hottest if leg_set.x < 0.0 else 293.15,
    )


def _told(pit: Pit, sets: Sequence[LegSet], moved: Mapping[str, float], checks: Sequence[Check]) -> tuple[Finding, ...]:
    """One line for the two end sets that are carried farthest."""
    order = sorted(range(len(sets)), key=lambda i: sets[i].x)
    first, last = sets[order[0]], sets[order[-1]]
    between = abs(moved[last.name] - moved[first.name])
    far = max(order, key=lambda i: abs(moved[sets[i].name]))
    span = last.x - first.x
    stretch = Stretch(name=f"Between leg sets {first.name} and {last.name} the pit", length=span, rise=between / GROWTH / span)  # fmt: skip
    return growth_findings([stretch], [checks[far]], pit.tape)


def firebox_tied(pit: Pit, growth: Growth) -> str:
    """What must not be welded solid, in the shop's words."""
    tape = pit.tape
    return (
        f"The firebox grows {tape.decimal(growth.firebox)} and the shell {tape.decimal(growth.shell)}, hot. Do not weld firebox "
        "and both leg sets to one stiff base: leave the firebox's outer end free to slide on its support."
        if any(s.x < 0.0 for s in pit.leg_sets)
        else f"The firebox grows {tape.decimal(growth.firebox)} and the shell {tape.decimal(growth.shell)}, hot. Weld nothing "
        "from the firebox's outer end to the base: it must be free to move."
    )
