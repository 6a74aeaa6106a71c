"""What a pit takes besides steel: wire, gas and discs from its welds and edges, paint by area and heat.

Areas are of the outside that is painted: the vessel by its skin and heads, tubes and pipes by their outside, plates on
both faces. Grates, fire grate, tray and everything inside stay bare (they are seasoned); what a weld or a seat covers is not
taken off. Litres: area x coats / cover.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pitwright.layout.model import Pit
from pitwright.meridian import head_form
from pitwright.parts import Bar, Head, Part, Plate, Shell
from pitwright.shop.nesting import flat_parts
from pitwright.shop.welds import WeldTotals, around_section, totals, weld_list
from pitwright.stock import STEEL_DENSITY
from pitwright.tape import FOOT, Tape

Zone = Literal["high heat", "shell", "ordinary"]
ZONES: tuple[Zone, ...] = ("high heat", "shell", "ordinary")
ZONE_OF: dict[str, Zone] = {
    "firebox": "high heat",
    "throat": "high heat",
    "stack": "high heat",
    "vessel": "shell",
    "doors": "shell",
    "fittings": "shell",
    "legs": "ordinary",
    "saddles": "ordinary",
    "base": "ordinary",
    "shelf": "ordinary",
    "lifting": "ordinary",
}
BARE = ("fire grate bar", "fire grate bearer", "ash tray", "firebox insulation", "damper blade")


@dataclass(frozen=True, slots=True, kw_only=True)
class Coat:
    """Paint of one heat zone: area [m2], litres as [m3] for all coats, money."""

    zone: Zone
    area: float
    paint: float
    cost: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Consumables:
    """Totals of one pit.

    welding  wire, gas and arc time; discs: how many, whole; edges: plate edge dressed [m]
    coats    paint by heat zone
    goods    money for wire, gas and discs; without the small goods that go by the hour
    """

    welding: WeldTotals
    discs: int
    edges: float
    coats: tuple[Coat, ...]
    goods: float

    @property
    def paint_cost(self) -> float:
        """Money for all paint."""
        return sum(c.cost for c in self.coats)


def consumables(pit: Pit) -> Consumables:
    """Wire, gas, discs and paint of a pit at the shop's prices."""
    rates = pit.job.proportions.rates
    welding = totals(weld_list(pit))
    edges = sum(plate_edges(pit).values())
    discs = math.ceil(rates.discs_weld * welding.run + rates.discs_edge * edges)
    areas = painted(pit)
    price = {"high heat": rates.paint_high_heat, "shell": rates.paint_shell, "ordinary": rates.paint_plain}
    coats = []
    for zone in ZONES:
        litres = areas[zone] * rates.coats / rates.paint_cover
        coats.append(Coat(zone=zone, area=areas[zone], paint=litres / 1000.0, cost=litres * price[zone]))
    return Consumables(
        welding=welding,
        discs=discs,
        edges=edges,
        coats=tuple(coats),
        goods=welding.wire * rates.wire + welding.gas * rates.gas + discs * rates.disc,
    )


def plate_edges(pit: Pit) -> dict[str, float]:
    """Edge of each flat part by mark, holes and copies included [m]."""
    return {
        part.mark: (outline.perimeter + sum(h.perimeter for h in outline.holes)) * part.quantity
        for part, outline in flat_parts(pit)
        if part.density > 0.5 * STEEL_DENSITY
    }


def painted(pit: Pit) -> dict[Zone, float]:
    """Painted area by heat zone [m2]."""
    out: dict[Zone, float] = dict.fromkeys(ZONES, 0.0)
    for part in pit.parts:
        zone = ZONE_OF.get(part.group)
        if zone is not None and part.name not in BARE:
            out[zone] += outside(part) * part.quantity
    out["shell"] += pit.vessel.around * pit.vessel.length
    return out


def outside(part: Part) -> float:
    """Painted outside of one piece [m2]. Shell and door skins count nothing (the whole skin is taken at once), nor bought things."""
    shape = part.shape
    if isinstance(shape, Plate):
        faces = 1.0 if part.name in ("throat plate", "stack-end plate", "firebox end plate", "closing plate") else 2.0
        return faces * shape.outline.area + shape.outline.perimeter * shape.thickness
    if isinstance(shape, Bar):
        return around_section(shape.profile) * (shape.x1 - shape.x0)
    if isinstance(shape, Head):
        return head_form(shape).figures().outside_area
    if isinstance(shape, Shell) and part.stock != "of the vessel":
        return shape.outer_radius * (shape.clock1 - shape.clock0) * shape.length
    return 0.0


def run_text(tape: Tape, length: float) -> str:
    """A length of weld or edge, as far as it matters: whole feet, or tenths of a metre."""
    return f"{length / FOOT:.0f} ft" if tape.inch else f"{length:.1f} m"
