"""The build order: what is done after what, with which pieces, and what is measured before it goes on.

Every open piece belongs to one step and every weld to one. A step says what it must be able to reach and what it shuts
off for good; a step that shuts something off comes after all that need it. Numbers follow the order in which one man
would build; steps of different people that do not wait for one another can be done side by side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pitwright.job.rates import Stage
from pitwright.layout.model import Pit
from pitwright.parts import Part
from pitwright.shop._order_base import base_steps, fire_steps, set_steps, throat_steps
from pitwright.shop._order_steps import (
    LEVEL_GIVE,
    PEOPLE,
    SHARES,
    TAPE_GIVE,
    Hold,
    Person,
    Plan,
    Space,
    step_of,
    weld_step,
)
from pitwright.shop._order_upright import upright_steps
from pitwright.shop._order_vessel import door_steps, last_steps, vessel_steps
from pitwright.shop.hours import stage_hours
from pitwright.shop.lift import Lift, heaviest, how_to_lift, together, vessel_lift
from pitwright.shop.welds import Weld, weld_list

__all__ = ["LEVEL_GIVE", "PEOPLE", "TAPE_GIVE", "Hold", "Order", "Person", "Space", "Step", "build_order"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step.

    number  in the order one man would build; key: its short name; who: which of the three
    parts   pieces needed at hand, each piece of the pit at one step only
    do      what is done, in order; welds: run now; tacked: only tacked now, run at the step that lists them
    lift    the heaviest lift; holds: measured before the work goes on
    needs   what it must be able to reach; shuts: what cannot be reached any more once it is done
    after   numbers of the steps that must be done before; beside: steps of the others that can go on meanwhile
    hours   for one man [h]; cuts: it cuts the vessel, so nothing of it before the make-safe record is complete
    done    whether all its pieces are welded in already
    """

    number: int
    key: str
    title: str
    who: Person
    parts: tuple[Part, ...]
    do: tuple[str, ...]
    welds: tuple[Weld, ...]
    tacked: tuple[Weld, ...]
    lift: Lift | None
    holds: tuple[Hold, ...]
    needs: tuple[Space, ...]
    shuts: tuple[Space, ...]
    after: tuple[int, ...]
    beside: tuple[int, ...]
    hours: float
    cuts: bool
    done: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """All steps. alone: hours of one man; crew: hours on the clock with the three at work [h]."""

    steps: tuple[Step, ...]
    alone: float
    crew: float

    def before(self, number: int) -> frozenset[int]:
        """Numbers of all steps that must be done before one, near and far."""
        known = {s.number: s.after for s in self.steps}
        found: set[int] = set()
        waiting = list(known[number])
        while waiting:
            one = waiting.pop()
            if one not in found:
                found.add(one)
                waiting.extend(known[one])
        return frozenset(found)


_MAKERS = (vessel_steps, base_steps, set_steps, fire_steps, throat_steps, door_steps, last_steps)


def build_order(pit: Pit) -> Order:
    """The order in which this pit is built."""
    makers = _MAKERS if pit.upright is None else (upright_steps,)
    every = tuple(plan for make in makers for plan in make(pit))
    number = {plan.key: i for i, plan in enumerate(every, start=1)}
    welds = weld_list(pit)
    hours = _hours(pit, every, welds)
    bare = tuple(_step(pit, plan, number, welds, hours[plan.key]) for plan in every)
    order = Order(steps=bare, alone=sum(s.hours for s in bare), crew=_crew_hours(bare))
    return replace(order, steps=tuple(replace(s, beside=_beside(order, s)) for s in bare))


def _step(pit: Pit, plan: Plan, number: dict[str, int], welds: Sequence[Weld], hours: float) -> Step:
    parts = tuple(p for p in pit.parts if step_of(p) == plan.key)
    marks = {p.mark for p in parts}
    mine = tuple(w for w in welds if weld_step(w) == plan.key)
    tacked = tuple(w for w in welds if weld_step(w) != plan.key and marks & set(w.marks))
    return Step(
        number=number[plan.key],
        key=plan.key,
        title=plan.title,
        who=plan.who,
        parts=parts,
        do=plan.do,
        welds=mine,
        tacked=tacked,
        lift=_lift(pit, plan.key, parts),
        holds=plan.holds,
        needs=plan.needs,
        shuts=plan.shuts,
        after=tuple(sorted({number[k] for k in plan.after if k in number})),
        beside=(),
        hours=hours,
        cuts=plan.cuts,
        done=bool(parts) and all(p.state == "welded" for p in parts),
    )


def _lift(pit: Pit, key: str, parts: Sequence[Part]) -> Lift | None:
    if key == "set" and pit.upright is not None:
        mass = together(_on_the_vessel(pit)).mass
        return Lift(what="vessel with all that is on it, turned up on end", mass=mass, how=how_to_lift(mass))
    if key == "set":
        return vessel_lift(pit, _on_the_vessel(pit))
    if key == "hang":
        mass = together(p for p in pit.parts if step_of(p) in ("firebox", "outer skin", "front")).mass
        return Lift(what="firebox with its front and doors", mass=mass, how=how_to_lift(mass))
    return heaviest(parts)


def _on_the_vessel(pit: Pit) -> tuple[Part, ...]:
    """What hangs on the hook when the vessel is set on: shell with its door skins still in, heads, pads, ledges."""
    on_it = {"lines", "pads", "inside"}
    return tuple(
        p for p in pit.parts if step_of(p) in on_it or (p.name.endswith("skin") and p.stock == "of the vessel")
    )


def _hours(pit: Pit, every: Sequence[Plan], welds: Sequence[Weld]) -> dict[str, float]:
    """Hours of each step: its share of its stage, and of the welding by the metal of its welds."""
    stages: dict[Stage, float] = {s.stage: s.hours for s in stage_hours(pit)}
    keys = [plan.key for plan in every]
    out = dict.fromkeys(keys, 0.0)
    metal = {key: sum(w.metal for w in welds if weld_step(w) == key) for key in keys}
    for stage, hours in stages.items():
        shares = metal if stage == "weld-out" else {k: SHARES.get(_plain(k), {}).get(stage, 0.0) for k in keys}
        total = sum(shares.values())
        for key in keys:
            out[key] += hours * shares[key] / total if total else 0.0
    return out


def _plain(key: str) -> str:
    return "door" if key.startswith("door ") else key


def _beside(order: Order, step: Step) -> tuple[int, ...]:
    """Steps of the other two that neither wait for this one nor are waited for."""
    first = order.before(step.number)
    return tuple(
        s.number
        for s in order.steps
        if s.who != step.who
        and s.number not in first
        and step.number not in order.before(s.number)
        and s.number != step.number
    )


def _crew_hours(steps: Sequence[Step]) -> float:
    """Hours on the clock with one step a man at a time, each begun as soon as it may be, in the order of the numbers."""
    end: dict[int, float] = {}
    free: dict[str, float] = {}
    for step in steps:
        begin = max([free.get(step.who, 0.0), *(end[n] for n in step.after)])
        end[step.number] = free[step.who] = begin + step.hours
    return max(end.values())
