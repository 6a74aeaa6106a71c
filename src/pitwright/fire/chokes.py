"""What chokes: for every opening and every rise, what it costs or makes, and what the next size either way would do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pitwright.fire import change
from pitwright.fire.case import FireCase
from pitwright.fire.change import Change
from pitwright.fire.coefficients import Values
from pitwright.fire.result import SteadyFire
from pitwright.fire.steady import steady


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """The pit with one size changed, and how its main figures come out against the pit as it is.

    size     the size tried [m or m2], and its name where it is one from a list
    burns    False where no steady fire holds; then every figure is that of the pit as it is and `why` tells
    """

    size: float
    name: str
    burns: bool
    why: str
    spread: float
    wood: float
    air: float
    draught: float
    excess_air: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Choke:
    """One line of the table.

    size      as it is: area [m2] of an opening, diameter [m] of the stack, height [m] of the stack
    measure   how to write it
    spent     pressure it costs [Pa]; made, what it makes
    share     of the whole draught [-]
    smaller, larger  the next sizes tried
    """

    name: str
    measure: Literal["area", "length"]
    size: float
    spent: float
    made: float
    share: float
    smaller: Trial
    larger: Trial


def trial(case: FireCase, base: SteadyFire, size: float, name: str = "", values: Values | None = None) -> Trial:
    """One changed pit, solved."""
    found = steady(case, values, doors=False)
    burns = isinstance(found, SteadyFire)
    shown = found if isinstance(found, SteadyFire) else base
    return Trial(
        size=size,
        name=name,
        burns=burns,
        why="" if isinstance(found, SteadyFire) else found.text,
        spread=shown.spread,
        wood=shown.wood,
        air=shown.air,
        draught=shown.draught,
        excess_air=shown.excess_air,
    )


def chokes(case: FireCase, base: SteadyFire, values: Values | None = None) -> tuple[Choke, ...]:
    """The table, the dearest opening first, then the stack's height. `base` is the same case solved."""
    cost = {step.name: step.spent for step in base.draw}
    rows: list[Choke] = []

    def cost_of(*names: str) -> float:
        return sum(spent for name, spent in cost.items() if any(name.startswith(n) for n in names))

    def opening(name: str, size: float, spent: float, alter: Change, most: float = float("inf")) -> None:
        less, more = size / change.STEP, min(size * change.STEP, most)
        rows.append(
            Choke(
                name=name,
                measure="area",
                size=size,
                spent=spent,
                made=0.0,
                share=spent / base.draught,
                smaller=trial(alter(case, less), base, less, values=values),
                larger=trial(alter(case, more), base, more, values=values),
            )
        )

    opening("air inlet", change.inlet_total(case), cost_of("inlet:"), change.inlet_area)
    grate = case.firebox.grate
    opening(
        "fire grate and coals",
        grate.area * grate.open_share,
        cost_of("fire grate"),
        lambda c, area: change.grate_open(c, area / grate.area),
        most=0.9 * grate.area,
    )
    opening("throat", case.throat.area, cost_of("throat"), change.throat_area)
    if case.chamber.decks:
        opening("plates", sum(g.area for g in case.chamber.decks[0].gaps), cost_of("pass and gaps"), change.gap_area)
    rows.append(
        _stack_row(case, base, cost_of("stack mouth", "stack pipe", "stack bends", "leaving the stack"), values)
    )
    if case.settings.damper_open < 1.0:
        area = case.stack.area
        opening(
            "damper",
            area * case.settings.damper_open,
            cost_of("damper"),
            lambda c, open_area: change.damper_open(c, open_area / area),
            most=area,
        )
    rows.sort(key=lambda row: -row.spent)
    height = case.stack.height
    made = sum(step.made for step in base.draw if step.name == "rise in the stack")
    step = change.HEIGHT_STEP
    rows.append(
        Choke(
            name="stack height",
            measure="length",
            size=height,
            spent=0.0,
            made=made,
            share=made / base.draught,
            smaller=trial(
                change.stack_height(case, max(height - step, 0.1)), base, max(height - step, 0.1), values=values
            ),
            larger=trial(change.stack_height(case, height + step), base, height + step, values=values),
        )
    )
    return tuple(rows)


def _stack_row(case: FireCase, base: SteadyFire, spent: float, values: Values | None) -> Choke:
    now = case.stack.diameter
    less, more = change.neighbours(now)
    small = (less.inside, less.name) if less else (now / change.STEP**0.5, "")
    large = (more.inside, more.name) if more else (now * change.STEP**0.5, "")
    return Choke(
        name="stack pipe",
        measure="length",
        size=now,
        spent=spent,
        made=0.0,
        share=spent / base.draught,
        smaller=trial(change.stack_diameter(case, small[0]), base, small[0], small[1], values),
        larger=trial(change.stack_diameter(case, large[0]), base, large[0], large[1], values),
    )
