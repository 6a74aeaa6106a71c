"""The same pit with one size changed: what the choke table, the sizing and the remedies all try."""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from pitwright.fire.case import FireCase, Gap, Settings
from pitwright.stock.tables import pipes

Change = Callable[[FireCase, float], FireCase]


def stack_diameter(case: FireCase, diameter: float) -> FireCase:
    """Another stack pipe, inside diameter [m]; a cap's curtain grows with its diameter."""
    scale = diameter / case.stack.diameter
    return replace(case, stack=replace(case.stack, diameter=diameter, cap=case.stack.cap * scale))


def stack_height(case: FireCase, height: float) -> FireCase:
    """Another stack height, mouth to top [m]."""
    return replace(case, stack=replace(case.stack, z_top=case.stack.z_mouth + height))


def throat_area(case: FireCase, area: float) -> FireCase:
    """Another throat [m2]: the lower lip stays (the grease dam), the upper lip moves in proportion."""
    throat = case.throat
    high = throat.z_low + (throat.z_high - throat.z_low) * area / throat.area
    ceiling = max(case.chamber.z_grate, throat.z_high)
    return replace(case, throat=replace(throat, area=area, z_high=min(high, ceiling)))


def inlet_area(case: FireCase, area: float) -> FireCase:
    """Another total air inlet, fully open [m2]; every inlet in the same proportion."""
    now = inlet_total(case)
    inlets = tuple(replace(i, area=i.area * area / now) for i in case.firebox.inlets)
    return replace(case, firebox=replace(case.firebox, inlets=inlets))


def inlet_total(case: FireCase) -> float:
    """Clear area of all air inlets, fully open [m2]."""
    return sum(i.area for i in case.firebox.inlets)


def inlet_open(case: FireCase, share: float) -> FireCase:
    """The air inlet set to an open share [-]."""
    return replace(case, settings=Settings(inlet_open=min(share, 1.0), damper_open=case.settings.damper_open))


def damper_open(case: FireCase, share: float) -> FireCase:
    """The damper set to an open share [-]."""
    return replace(case, settings=Settings(inlet_open=case.settings.inlet_open, damper_open=min(share, 1.0)))


def gap_area(case: FireCase, area: float) -> FireCase:
    """Another total of the ways up past the plates [m2]; every gap in the same proportion."""
    deck = case.chamber.decks[0]
    now = sum(g.area for g in deck.gaps)
    gaps = tuple(Gap(x=g.x, area=g.area * area / now) for g in deck.gaps)
    return replace(case, chamber=replace(case.chamber, decks=(replace(deck, gaps=gaps),)))


def grate_open(case: FireCase, share: float) -> FireCase:
    """Another open share of the fire grate [-]."""
    firebox = case.firebox
    return replace(case, firebox=replace(firebox, grate=replace(firebox.grate, open_share=min(share, 0.9))))


@dataclass(frozen=True, slots=True, kw_only=True)
class PipeSize:
    """A pipe one can buy for a stack: its name and inside diameter [m]."""

    name: str
    inside: float


@functools.cache
def stack_pipes() -> tuple[PipeSize, ...]:
    """Standard-wall pipe from 3 to 24 in, by inside diameter; source: the pipe table of `pitwright.stock`."""
    sizes: dict[float, PipeSize] = {}
    for pipe in pipes():
        inside = pipe.height - 2.0 * pipe.wall
        name = pipe.designation
        if 0.07 < inside < 0.62 and ("sch 40" in name or " std" in name):
            sizes.setdefault(round(inside, 4), PipeSize(name=name, inside=inside))
    return tuple(sizes[key] for key in sorted(sizes))


STEP: Final = 4.0 / 3.0  # where no list of sizes exists, the next size is a third more or a quarter less
HEIGHT_STEP: Final = 0.3048  # m


def neighbours(diameter: float) -> tuple[PipeSize | None, PipeSize | None]:
    """The next smaller and the next larger pipe than a diameter [m]."""
    smaller = [p for p in stack_pipes() if p.inside < 0.985 * diameter]
    larger = [p for p in stack_pipes() if p.inside > 1.015 * diameter]
    return (smaller[-1] if smaller else None), (larger[0] if larger else None)
