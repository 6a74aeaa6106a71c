"""What the fire has to say about a pit: findings, each with the change that mends it and by how much.

A remedy is never a guess: the changed pit is solved and the size told is the one that does it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Final

import numpy as np

from pitwright.findings import Finding, worst_first
from pitwright.fire import change
from pitwright.fire.case import FireCase, Wall
from pitwright.fire.coefficients import Values
from pitwright.fire.gas import viscosity
from pitwright.fire.result import NoFire, Outcome, SteadyFire
from pitwright.fire.sizing import bisect, inlet_for_spread, throat_for_share
from pitwright.fire.steady import steady
from pitwright.tape import Tape

TOUCH: Final = 333.15  # K, 60 C: bare metal, adults, 5 s; the limit usually drawn from ASTM C1055 (number from memory)
TOUCH_SOURCE: Final = (
    "ASTM C1055, 5 s contact with bare metal, 60 °C (number from memory); ISO 13732-1 sets no limits itself"
)
TAR: Final = 373.15  # K; smoke leaves tar and water on steel colder than this: common practice, no source
THROAT_SHARE: Final = 0.35  # of the draught; common practice, no source
THROAT_AIM: Final = 0.25
GRATE_MOST: Final = 6.0 * 0.45359237 / 3600.0 / 0.3048**2  # kg/s m2: 6 lb an hour on a square foot
GRATE_SOURCE: Final = "2 to 6 lb of wood an hour on a square foot of fire grate: common practice, no source"
RELOAD: Final = 45 * 60.0
_PRACTICE: Final = "common practice, no source"
_MODEL: Final = "flow network and heat balance, docs/fire-model.md"


def findings(case: FireCase, outcome: Outcome, tape: Tape, values: Values | None = None) -> tuple[Finding, ...]:
    """Everything the fire finds, worst first. `outcome` is the case solved."""
    if isinstance(outcome, NoFire):
        return (_no_fire(case, outcome, tape, values),)
    found: list[Finding] = []
    for check in (_uneven, _throat, _short_stack, _roll_out, _condenses, _hot, _grate, _sooty, _reload, _ranges):
        found += check(case, outcome, tape, values)
    return worst_first(found)


def _solved(case: FireCase, values: Values | None) -> Outcome:
    """A changed pit solved, its doors left shut: what the search for a remedy asks."""
    return steady(case, values, doors=False)


def _burns(case: FireCase, values: Values | None) -> bool:
    return isinstance(_solved(case, values), SteadyFire)


def _no_fire(case: FireCase, outcome: NoFire, tape: Tape, values: Values | None) -> Finding:
    code = {"starved": "fire.starved", "not_hot": "fire.not_hot", "unsettled": "fire.unsettled"}.get(
        outcome.reason, "fire.will_not_draw"
    )
    text = outcome.text
    if outcome.reason == "starved":
        text += (
            f" It needs about {tape.mass_rate(outcome.wood_need)} of dry wood; the air burns "
            f"{tape.mass_rate(outcome.wood_air)} at most"
        )  # fmt: skip
        reached = outcome.hottest > case.weather.temperature + 5.0
        text += f", and the grate stays at {tape.temperature(outcome.hottest)}." if reached else "."
    return Finding(
        code=code,
        severity="unchecked" if outcome.reason == "unsettled" else "stop",
        text=text,
        pieces=("air inlet", "throat", "stack"),
        remedy=_make_it_burn(case, tape, values) if outcome.reason != "not_hot" else "",
        source=_MODEL,
    )


def _make_it_burn(case: FireCase, tape: Tape, values: Values | None) -> str:
    """The smallest single change that gives a fire, tried in the order of what it costs."""
    settings = case.settings
    if settings.inlet_open < 1.0 and _burns(change.inlet_open(case, 1.0), values):
        share = _least(lambda s: change.inlet_open(case, s), settings.inlet_open + 1e-3, 1.0, values)
        return f"Open the air inlet to {100 * share:.0f} percent of its area."
    if settings.damper_open < 1.0 and _burns(change.damper_open(case, 1.0), values):
        share = _least(lambda s: change.damper_open(case, s), settings.damper_open + 1e-3, 1.0, values)
        return f"Open the damper to {100 * share:.0f} percent."
    case = replace(case, settings=replace(settings, inlet_open=1.0, damper_open=1.0))
    inlet, throat = change.inlet_total(case), case.throat.area
    if inlet > 0.0 and _burns(change.inlet_area(case, 20.0 * inlet), values):
        area = _least(lambda a: change.inlet_area(case, a), inlet, 20.0 * inlet, values)
        return f"Make the air inlet {tape.small_area(area)} instead of {tape.small_area(inlet)}."
    if _burns(change.throat_area(case, 8.0 * throat), values):
        area = _least(lambda a: change.throat_area(case, a), throat, 8.0 * throat, values)
        return f"Open the throat to {tape.small_area(area)} instead of {tape.small_area(throat)}."
    for pipe in change.stack_pipes():
        if pipe.inside > case.stack.diameter * 1.01 and _burns(change.stack_diameter(case, pipe.inside), values):
            return f"Use {pipe.name} for the stack."
    height = case.stack.height
    if _burns(change.stack_height(case, height + 4.0), values):
        taller = _least(lambda h: change.stack_height(case, h), height, height + 4.0, values)
        return f"Make the stack {tape.length(taller - height)} taller."
    if case.weather.wind > 0.0 and _burns(replace(case, weather=replace(case.weather, wind=0.0)), values):
        return "In still air it burns: turn the air inlet out of the wind, or shield the stack top."
    return "No one size mends it: inlet, throat and stack must grow together; have them sized for the order."


def _least(alter: Callable[[float], FireCase], low: float, high: float, values: Values | None) -> float:
    """The least size that burns, to a percent or so, with that much in hand."""
    size = bisect(lambda s: -1.0 if _burns(alter(s), values) else 1.0, low, high, steps=10)
    return min(size * 1.03, high)


def _uneven(case: FireCase, fire: SteadyFire, tape: Tape, values: Values | None) -> list[Finding]:
    limit = case.wanted.spread
    if fire.spread <= limit:
        return []
    grate = fire.grates[0]
    warm = "fire" if grate.gas[0] >= grate.gas[-1] else "far"
    text = (
        f"The grate differs by {tape.temperature_difference(fire.spread)} from its hottest to its coldest place, "
        f"{tape.temperature_difference(limit)} is the order's limit; it is hottest toward the {warm} end."
    )  # fmt: skip
    return [
        Finding(code="fire.uneven", severity="warn", text=text, pieces=("main grate",),
                remedy=_even_out(case, tape, values), source=_MODEL)
    ]  # fmt: skip


def _even_out(case: FireCase, tape: Tape, values: Values | None) -> str:
    limit = case.wanted.spread

    def met(changed: FireCase) -> SteadyFire | None:
        found = _solved(changed, values)
        return found if isinstance(found, SteadyFire) and found.spread <= 1.005 * limit else None

    def told(what: str, found: SteadyFire) -> str:
        return f"{what} (spread {tape.temperature_difference(found.spread)}, {tape.mass_rate(found.wood)} of wood)."

    now = change.inlet_total(case)
    opened = change.inlet_open(case, 1.0)
    if case.settings.inlet_open < 1.0 and met(opened):
        area = inlet_for_spread(opened, limit, now, values)
        share = min(area / now * 1.01, 1.0)
        if good := met(change.inlet_open(case, share)):
            return told(f"Open the air inlet to {100 * share:.0f} percent of its area", good)
    most = max(1.5 * case.throat.area, 1.2 * now)
    area = inlet_for_spread(opened, limit, most, values) * 1.01
    if area > now and (good := met(change.inlet_area(opened, area))):
        return told(f"Make the air inlet {tape.small_area(area)} instead of {tape.small_area(now)}", good)
    for pipe in change.stack_pipes():
        if case.stack.diameter * 1.01 < pipe.inside < 0.5 * case.chamber.diameter:
            wider = change.stack_diameter(opened, pipe.inside)
            area = max(inlet_for_spread(wider, limit, most, values) * 1.01, now)
            if good := met(change.inlet_area(wider, area)):
                return told(f"Use {pipe.name} for the stack with an air inlet of {tape.small_area(area)}", good)
    wrapped = replace(case, chamber=replace(case.chamber, wall=replace(case.chamber.wall, insulation=0.05)))
    if good := met(wrapped):
        return told(f"Wrap the chamber in {tape.length(0.05)} of insulation", good)
    return "Openings alone do not do it: try tuning plates, insulate the chamber, or take a shorter grate."


def _throat(case: FireCase, fire: SteadyFire, tape: Tape, values: Values | None) -> list[Finding]:
    spent = sum(s.spent for s in fire.draw if s.name == "throat")
    share = spent / fire.draught
    if share <= THROAT_SHARE:
        return []
    area = throat_for_share(case, THROAT_AIM, values)
    return [
        Finding(
            code="fire.throat_starves",
            severity="warn",
            text=f"The throat takes {100 * share:.0f} percent of the draft ({tape.pressure_draft(spent)}): it starves the fire.",
            pieces=("throat",),
            remedy=f"Open it to {tape.small_area(area)} instead of {tape.small_area(case.throat.area)}.",
            source=f"{100 * THROAT_SHARE:.0f} percent: {_PRACTICE}",
        )
    ]


def _short_stack(case: FireCase, fire: SteadyFire, tape: Tape, values: Values | None) -> list[Finding]:
    """Smoke pressed out at the closed cook doors: the neutral level lies under their upper edge."""
    doors = [d for d in fire.doors if d.room == "chamber" and d.upper > 0.0]
    if not doors:
        return []
    highest = max(d.z_high for d in case.chamber.doors)

    def over(height: float) -> float:
        found = _solved(change.stack_height(case, height), values)
        return highest - found.neutral if isinstance(found, SteadyFire) else 1.0

    now = case.stack.height
    tall = bisect(over, now, now + 4.0, steps=12)
    cure = (
        f"Make the stack {tape.length(tall - now)} taller"
        if tall < now + 3.9
        else "Open the damper or use a larger stack pipe"
    )
    return [
        Finding(
            code="fire.stack_short",
            severity="warn",
            text=(
                f"Above {tape.length(fire.neutral)} from the floor the chamber presses outward, and the doors reach "
                f"{tape.length(highest)}: smoke leaks at their upper edges."
            ),
            pieces=tuple(d.name for d in doors),
            remedy=f"{cure}, and see that the damper stands open.",
            source=_MODEL,
        )
    ]  # fmt: skip


def _roll_out(case: FireCase, fire: SteadyFire, tape: Tape, values: Values | None) -> list[Finding]:
    found = []
    for check in fire.doors:
        if check.room != "firebox" or check.open_out <= 0.02 * fire.smoke:
            continue
        door = next(d for d in case.firebox.doors if d.name == check.name)
        lower = door.z_high - check.open_neutral
        found.append(
            Finding(
                code="fire.rolls_out",
                severity="warn",
                text=(
                    f"With the {check.name} open, smoke rolls out over its upper {tape.length(lower)} "
                    f"at {tape.speed(check.open_speed)}."
                ),
                pieces=(check.name,),
                remedy=(
                    f"Keep its upper edge at {tape.length(check.open_neutral)} from the floor, {tape.length(lower)} lower; "
                    "open damper and inlet full before opening it, open it slowly and stand aside."
                ),
                source=_MODEL,
            )
        )  # fmt: skip
    return found


def _condenses(case: FireCase, fire: SteadyFire, tape: Tape, values: Values | None) -> list[Finding]:
    coldest = fire.stack_skin_inside
    if coldest >= TAR:
        return []
    wet = coldest < fire.dew_point
    target = fire.dew_point + 2.0 if wet else TAR

    def short(thickness: float) -> float:
        wall = replace(case.stack.wall, insulation=thickness)
        found = _solved(replace(case, stack=replace(case.stack, wall=wall)), values)
        return target - found.stack_skin_inside if isinstance(found, SteadyFire) else 1.0

    wrap = bisect(short, 0.003, 0.10, steps=10)
    thick = tape.length(wrap, tape.step) if wrap < 0.099 else ""
    goal = "the dew point" if wet else tape.temperature(TAR)
    what = "water runs" if wet else "tar and soot settle"
    return [
        Finding(
            code="fire.condenses",
            severity="warn" if wet else "note",
            text=(
                f"The stack's inside falls to {tape.temperature(coldest)} (dew point of the smoke "
                f"{tape.temperature(fire.dew_point)}): {what} in it and drip back."
            ),
            pieces=("stack",),
            remedy=(
                f"Wrap the stack in {thick} of insulation to keep it over {goal}."
                if thick
                else "Insulation alone does not keep it warm: shorten it, or give it a clean-out and a drip edge."
            ),
            source=f"dew point: Tetens 1930; tar under {tape.temperature(TAR)}: {_PRACTICE}",
        )
    ]  # fmt: skip


def _hot(case: FireCase, fire: SteadyFire, tape: Tape, values: Values | None) -> list[Finding]:
    """Skins that burn: in the nature of bare steel, a warning where the shop has insulated against it."""
    walls = {"firebox": case.firebox.wall, "chamber": case.chamber.wall}
    found = []
    for name, skin in _hottest_skins(fire).items():
        if skin <= TOUCH:
            continue
        wrap = _wrap_for_touch(case, name, values)
        cure = f"{tape.length(wrap)} of insulation brings it under that; else" if wrap else "Insulation is not enough:"
        found.append(
            Finding(
                code="fire.hot_skin",
                severity="warn" if walls.get(name, case.stack.wall).insulation else "note",
                text=f"The {name} skin reaches {tape.temperature(skin)}; bare metal burns a hand at {tape.temperature(TOUCH)} in 5 s.",
                pieces=(name,),
                remedy=f"{cure} guard it, keep people and anything that burns away, and say so on the placard.",
                source=TOUCH_SOURCE,
            )
        )
    return found


def _hottest_skins(fire: SteadyFire) -> dict[str, float]:
    hot: dict[str, float] = {}
    for skin in fire.skins:
        name = "chamber" if skin.name.startswith("chamber") else skin.name
        hot[name] = max(hot.get(name, 0.0), skin.temperature)
    return hot


def _wrap_for_touch(case: FireCase, name: str, values: Values | None) -> float:
    """Insulation that brings a skin under the touch limit [m]; 0 where 150 mm does not."""

    def wrapped(thickness: float) -> FireCase:
        def wrap(wall: Wall) -> Wall:
            return replace(wall, insulation=thickness)

        if name == "firebox":
            return replace(case, firebox=replace(case.firebox, wall=wrap(case.firebox.wall)))
        if name == "chamber":
            return replace(case, chamber=replace(case.chamber, wall=wrap(case.chamber.wall)))
        return replace(case, stack=replace(case.stack, wall=wrap(case.stack.wall)))

    def over(thickness: float) -> float:
        found = _solved(wrapped(thickness), values)
        return _hottest_skins(found)[name] - TOUCH if isinstance(found, SteadyFire) else 1.0

    size = bisect(over, 0.003, 0.15, steps=10)
    return size * 1.02 if size < 0.149 else 0.0


def _grate(case: FireCase, fire: SteadyFire, tape: Tape, values: Values | None) -> list[Finding]:
    area = case.firebox.grate.area
    if fire.wood <= GRATE_MOST * area:
        return []
    need = fire.wood / GRATE_MOST
    return [
        Finding(
            code="fire.grate_small",
            severity="warn",
            text=f"{tape.mass_rate(fire.wood)} of wood is more than {tape.small_area(area)} of fire grate burns cleanly.",
            pieces=("fire grate",),
            remedy=f"Make the fire grate {tape.small_area(need)} or more.",
            source=GRATE_SOURCE,
        )
    ]


def _sooty(case: FireCase, fire: SteadyFire, tape: Tape, values: Values | None) -> list[Finding]:
    if fire.excess_air >= 0.5:
        return []

    def short(area: float) -> float:
        found = _solved(change.inlet_area(case, area), values)
        return 0.5 - found.excess_air if isinstance(found, SteadyFire) else 1.0

    now = change.inlet_total(case)
    area = bisect(short, now, 10.0 * now, steps=10)
    cure = f"Give it an air inlet of {tape.small_area(area)}" if area < 9.9 * now else "Give it more throat and stack"
    return [
        Finding(
            code="fire.sooty",
            severity="warn",
            text=f"Only {100 * fire.excess_air:.0f} percent more air than the wood needs: it smoulders and the smoke is bitter.",
            pieces=("air inlet",),
            remedy=f"{cure} for half as much air again as the wood needs.",
            source=f"50 percent: {_PRACTICE}",
        )
    ]


def _reload(case: FireCase, fire: SteadyFire, tape: Tape, values: Values | None) -> list[Finding]:
    held = 0.5 * case.firebox.volume * case.fuel.bulk
    seconds = held / fire.wood_dry
    if seconds >= RELOAD:
        return []
    need = fire.wood_dry * RELOAD / (0.5 * case.fuel.bulk)
    return [
        Finding(
            code="fire.reload",
            severity="note",
            text=f"The firebox holds wood for {seconds / 60:.0f} minutes; 45 between reloads is usual.",
            pieces=("firebox",),
            remedy=f"{tape.volume(need)} of firebox holds 45 minutes of wood over its coals.",
            source=_PRACTICE,
        )
    ]


def _ranges(case: FireCase, fire: SteadyFire, tape: Tape, values: Values | None) -> list[Finding]:
    """Where a law is used outside the range it was measured in."""
    mu = float(viscosity(np.array([0.5 * (fire.stack_in + fire.stack_out)]))[0])
    reynolds = 4.0 * fire.smoke / (math.pi * case.stack.diameter * mu)
    out = []
    if 2300.0 < reynolds < 4000.0:
        out.append("the stack's flow lies between smooth and turbulent")
    if fire.fire_gas > 2400.0:
        out.append("the firebox gas is hotter than its radiation law covers")
    if max(_hottest_skins(fire).values()) > 873.0:
        out.append("steel is hotter than its heat capacity was measured to")
    if not out:
        return []
    return [
        Finding(
            code="fire.out_of_range",
            severity="note",
            text=f"Outside measured ranges: {'; '.join(out)}. The figures are less sure than their bands.",
            source="docs/fire-model.md, ranges",
        )
    ]
