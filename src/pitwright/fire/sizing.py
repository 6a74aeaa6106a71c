"""Sizing: which throat, stack, inlet and firebox the order asks for, in sizes one can buy or cut.

The order gives temperature, meat, weather and the spread allowed. Asked for is the smallest pit of openings that
meets it with something in hand:

1. inlet    the area at which the spread comes to the wanted one, less a margin
2. throat   so large that it spends no more than a stated share of the draught, and no larger (a small throat stirs)
3. stack    the smallest pipe on the list that lets 1 and 2 be met without an inlet out of reach; then its height
4. firebox  room for the wood of one reload over a bed of coals

Each answer is given exact and as the nearest size on sale, with what its neighbours would do.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from pitwright.fire import change
from pitwright.fire.case import Deck, FireCase
from pitwright.fire.change import PipeSize, stack_pipes
from pitwright.fire.chokes import Trial, trial
from pitwright.fire.coefficients import Values
from pitwright.fire.result import NoFire, Outcome, SteadyFire
from pitwright.fire.steady import steady


@dataclass(frozen=True, slots=True, kw_only=True)
class SizingRule:
    """What the shop wants in hand. Shares are ours to set: common practice, no source.

    spread_margin  how far under the order's spread to aim [-]
    throat_share   most of the draught the throat may spend [-]
    stack_share    most of the draught the stack may spend [-]
    reload         time between reloads [s]
    coal_share     share of the firebox kept for coals and flame [-]
    area_step      openings are cut to this step [m2]
    height_step    stacks are cut to this step [m]
    pipes          stack pipes on sale
    inlet_most     largest inlet thought of, against the throat [-]
    """

    spread_margin: float = 0.10
    throat_share: float = 0.15
    stack_share: float = 0.35
    reload: float = 45 * 60.0
    coal_share: float = 0.5
    area_step: float = 0.0254**2
    height_step: float = 0.0254
    pipes: tuple[PipeSize, ...] = ()
    inlet_most: float = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Sized:
    """One answer: exact, as bought or cut, and what the sizes beside it would do."""

    name: str
    exact: float
    chosen: float
    label: str
    smaller: Trial
    larger: Trial


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizing:
    """The sizes, the pit with them, and how it burns.

    met   True where the order's spread is met; else `why` names what stands in the way
    case  the pit with every chosen size in place
    """

    met: bool
    why: str
    case: FireCase
    outcome: Outcome
    sizes: tuple[Sized, ...]
    firebox_volume: float
    firebox_volume_now: float


def bisect(function: Callable[[float], float], low: float, high: float, *, steps: int = 24) -> float:
    """Where a falling function of a size crosses nought, in logarithmic halves; the end it favours if it does not."""
    if function(high) >= 0.0:
        return high
    if function(low) <= 0.0:
        return low
    for _ in range(steps):
        middle = math.sqrt(low * high)
        if function(middle) > 0.0:
            low = middle
        else:
            high = middle
        if high / low < 1.002:
            break
    return math.sqrt(low * high)


def inlet_for_spread(case: FireCase, spread: float, most: float, values: Values | None = None) -> float:
    """Inlet area that brings the spread down to this [m2], at most `most`; more air, less spread."""

    def over(area: float) -> float:
        found = steady(change.inlet_area(case, area), values, doors=False)
        return found.spread - spread if isinstance(found, SteadyFire) else 1e3

    return bisect(over, most / 60.0, most, steps=12)


def throat_for_share(case: FireCase, share: float, values: Values | None = None) -> float:
    """Throat area at which it spends this share of the draught [m2]."""

    def over(area: float) -> float:
        found = steady(change.throat_area(case, area), values, doors=False)
        if isinstance(found, NoFire):
            return 1.0
        spent = sum(s.spent for s in found.draw if s.name == "throat")
        return spent / found.draught - share

    now = case.throat.area
    return bisect(over, 0.2 * now, 4.0 * now, steps=12)


def size(case: FireCase, rule: SizingRule | None = None, values: Values | None = None) -> Sizing:
    """Solve throat, stack, inlet and firebox for the order in the case; the case's own sizes are where it starts."""
    rule = rule or SizingRule()
    aim = case.wanted.spread * (1.0 - rule.spread_margin)
    pipes = rule.pipes or stack_pipes()
    best, met = case, False
    exact_inlet = change.inlet_total(case)
    exact_throat = case.throat.area
    for pipe in pipes:
        if pipe.inside > 0.6 * case.chamber.diameter:
            break
        tried = change.stack_diameter(case, pipe.inside)
        for _ in range(2):  # throat and inlet lean on each other; twice is enough for a step of a square inch
            most = rule.inlet_most * tried.throat.area
            exact_inlet = inlet_for_spread(tried, aim, most, values)
            tried = change.inlet_area(tried, exact_inlet)
            exact_throat = throat_for_share(tried, rule.throat_share, values)
            tried = change.throat_area(tried, exact_throat)
        found = steady(tried, values, doors=False)
        best = tried
        if isinstance(found, SteadyFire):
            stack = sum(s.spent for s in found.draw if s.name.startswith(("stack", "leaving")))
            if found.spread <= case.wanted.spread and stack <= rule.stack_share * found.draught:
                met = True
                break
    diameter = best.stack.diameter
    inlet = math.ceil(exact_inlet / rule.area_step - 1e-9) * rule.area_step
    throat = math.ceil(exact_throat / rule.area_step - 1e-9) * rule.area_step
    best = change.throat_area(change.inlet_area(best, inlet), throat)
    exact_height = _least_height(best, case.wanted.spread, values) if met else best.stack.height
    height = math.ceil(exact_height / rule.height_step - 1e-9) * rule.height_step
    best = change.stack_height(best, height)
    outcome = steady(best, values)
    if not isinstance(outcome, SteadyFire):
        return Sizing(
            met=False, why=outcome.text, case=best, outcome=outcome, sizes=(), firebox_volume=case.firebox.volume,
            firebox_volume_now=case.firebox.volume,
        )  # fmt: skip
    name = next((p.name for p in pipes if abs(p.inside - diameter) < 1e-9), "")
    less, more = change.neighbours(diameter)
    down = less.inside if less else diameter / change.STEP
    up = more.inside if more else diameter * change.STEP
    beside = [
        ("air inlet", exact_inlet, inlet, "", inlet / change.STEP, inlet * change.STEP, change.inlet_area),
        ("throat", exact_throat, throat, "", throat / change.STEP, throat * change.STEP, change.throat_area),
        ("stack pipe", diameter, diameter, name, down, up, change.stack_diameter),
        ("stack height", exact_height, height, "", max(height - change.HEIGHT_STEP, 0.1), height + change.HEIGHT_STEP,
         change.stack_height),
    ]  # fmt: skip
    sizes = tuple(
        Sized(
            name=what,
            exact=exact,
            chosen=chosen,
            label=label,
            smaller=trial(alter(best, small), outcome, small, values=values),
            larger=trial(alter(best, large), outcome, large, values=values),
        )
        for what, exact, chosen, label, small, large, alter in beside
    )
    met = outcome.spread <= case.wanted.spread
    return Sizing(
        met=met,
        why="" if met else "No size on the list brings the grate within the order's spread: plates, insulation or a longer way are needed.",
        case=best,
        outcome=outcome,
        sizes=sizes,
        firebox_volume=firebox_volume(best, outcome, rule),
        firebox_volume_now=case.firebox.volume,
    )  # fmt: skip


def _least_height(case: FireCase, spread: float, values: Values | None) -> float:
    """The shortest stack that still keeps the spread [m], between a foot and twice what it is."""

    def over(height: float) -> float:
        found = steady(change.stack_height(case, height), values, doors=False)
        return found.spread - spread if isinstance(found, SteadyFire) else 1e3

    return bisect(over, 0.3, 2.0 * case.stack.height, steps=12)


def firebox_volume(case: FireCase, outcome: SteadyFire, rule: SizingRule) -> float:
    """Room for one reload of wood over coals and flame [m3]: dry wood x time / (bulk x share left for wood)."""
    return outcome.wood_dry * rule.reload / (case.fuel.bulk * (1.0 - rule.coal_share))


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateTrial:
    """One layout of plates, and how the pit burns with it."""

    name: str
    outcome: Outcome


def compare_plates(
    case: FireCase, layouts: Iterable[tuple[str, tuple[Deck, ...]]], values: Values | None = None
) -> tuple[PlateTrial, ...]:
    """The pit with each layout of tuning plates (an empty layout is the open floor), the most even first."""
    tried = [
        PlateTrial(name=name, outcome=steady(replace(case, chamber=replace(case.chamber, decks=decks)), values))
        for name, decks in layouts
    ]
    return tuple(sorted(tried, key=lambda p: p.outcome.spread if isinstance(p.outcome, SteadyFire) else math.inf))
