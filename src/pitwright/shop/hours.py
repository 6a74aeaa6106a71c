"""Hours by stage, from what the pit asks for: pieces, saw cuts, plate edge, welds, doors, marks, painted area.

hours of a stage = sum(count or length x the shop's rate) x the factor its own clock has taught (1 until then). The
starting rates give the trade's split of 133 h for a 30 in pit within a quarter; they are common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from pitwright.job.rates import STAGES, RateRules, Stage
from pitwright.layout.model import Pit
from pitwright.parts import Bar, Bought, Outline, Part
from pitwright.shop.consumables import painted, plate_edges, run_text
from pitwright.shop.welds import named, totals, weld_list
from pitwright.tape import HOUR

STAGE_OF: dict[str, Stage] = {
    "doors": "doors",
    "firebox": "firebox",
    "throat": "throat",
    "stack": "stack",
    "grates": "grates",
    "legs": "legs",
    "saddles": "legs",
    "base": "base",
    "lifting": "base",
    "shelf": "shelf",
    "fittings": "fittings",
    "vessel": "throat",
}
"""Which stage cuts and fits the pieces of a group."""


THIN = 0.027
"""Bars up to this size are sawn in bundles [m]; common practice, no source."""

BUNDLE = 0.25
"""Share of one bar's saw time that a bar in a bundle takes; common practice, no source."""

LOOSE = ("fire grate bar",)
"""Pieces that are laid in, not fitted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StageHours:
    """Hours of one stage [h].

    reckoned  from the rates; hours: times the factor of the shop's own clock
    why       what drives it, in a few words and figures
    """

    stage: Stage
    reckoned: float
    hours: float
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Work:
    """What the pieces of one stage ask for: bars sawn, thin ones sawn in bundles, plate edge [m], pieces fitted."""

    bars: int
    bundled: int
    edge: float
    pieces: int

    def hours(self, rates: RateRules) -> float:
        sawn = self.bars + self.bundled * BUNDLE
        return rates.saw_piece * sawn + rates.plate_edge * self.edge + rates.fit * self.pieces


def stage_hours(pit: Pit) -> tuple[StageHours, ...]:
    """Every stage in build order; stages a pit does not have stand at 0."""
    rates = pit.job.proportions.rates
    found = _reckon(pit, rates)
    return tuple(
        StageHours(stage=stage, reckoned=hours, hours=hours * rates.factors.get(stage, 1.0), why=why)
        for stage in STAGES
        for hours, why in (found[stage],)
    )


def _reckon(pit: Pit, rates: RateRules) -> Mapping[Stage, tuple[float, str]]:
    welding, work, tape = totals(weld_list(pit)), _work(pit), pit.tape
    joints = sum(w.count for w in weld_list(pit))
    area = sum(painted(pit).values())
    volume = float(pit.reasons["vessel.volume"].value)
    mass = pit.balance["empty"].mass
    doors, fire_doors = len(pit.doors), len(named(pit, "fire door", "ash door")) - len(named(pit, "fire door hinges"))
    stands = sum(len(s.legs) for s in pit.leg_sets), len(pit.saddles)
    shelf = sum(_long(p) for p in pit.parts if p.name == "shelf")
    bosses = sum(f.plan != "keep" for f in pit.vessel.fittings) + len(named(pit, "drain nipple"))
    skin = {
        "doors": sum(2.0 * (d.x1 - d.x0 + d.arc) for d in pit.doors),
        "stack": sum(_round(o.outline) for o in pit.openings if o.name == "stack hole"),
        "throat": pit.vessel.around if pit.firebox.joint == "cut" else pit.throat.perimeter,
    }

    def of(stage: Stage) -> float:
        return work[stage].hours(rates) + rates.skin_cut * skin.get(stage, 0.0)

    def pieces(stage: Stage) -> str:
        done = work[stage]
        said = [_count(done.pieces, "piece")] if done.pieces else []
        said += [f"{done.bars + done.bundled} at the saw"] if done.bars + done.bundled else []
        said += [f"{run_text(tape, done.edge)} of plate edge"] if done.edge else []
        said += [f"{run_text(tape, skin[stage])} of skin cut"] if skin.get(stage) else []
        return ", ".join(said)

    gear = sum(p.quantity for p in pit.parts if p.group == "base" and isinstance(p.shape, Bought))
    shelf_hours = rates.shelf * shelf + of("shelf")
    return {
        "make safe": (rates.make_safe + rates.make_safe_volume * volume, f"holds {tape.volume(volume)}"),
        "layout": (rates.datum_lines + rates.mark * len(pit.marks), f"four lines, {len(pit.marks)} marks"),
        "firebox": (
            rates.firebox + rates.fire_door * fire_doors + of("firebox"),
            f"{pieces('firebox')}, {_count(fire_doors, 'door')}",
        ),
        "throat": (rates.throat + of("throat"), pieces("throat")),
        "base": (
            rates.base_square + of("base") + rates.bought_fit * gear,
            pieces("base") + (f", {_count(gear, 'bought piece')} fitted" if gear else ""),
        ),
        "legs": (
            rates.leg * stands[0] + rates.saddle * stands[1] + rates.set_vessel + of("legs"),
            f"{pieces('legs')}, vessel set on",
        ),
        "doors": (rates.door * doors + of("doors"), f"{_count(doors, 'door')}, {pieces('doors')}"),
        "stack": (rates.stack + of("stack"), pieces("stack")),
        "grates": (of("grates"), pieces("grates")),
        "shelf": (shelf_hours, f"{run_text(tape, shelf)} of shelf" if shelf else "no shelf"),
        "fittings": (
            rates.fittings + rates.fitting * bosses + of("fittings"),
            f"thermometers, {_count(bosses, 'boss or drain', 'bosses and drains')}",
        ),
        "weld-out": (
            welding.work / HOUR + rates.joint * joints,
            f"{tape.mass(welding.metal)} of weld in {joints} joints, arc on {welding.arc / HOUR:.1f} h",
        ),
        "grind": (rates.grind * welding.run, f"{run_text(tape, welding.run)} of weld"),
        "paint": (rates.paint_start + rates.paint_area * area, tape.area(area)),
        "burn-in": (rates.burn_in, "first fires"),
        "load": (rates.load + rates.load_weight * mass / 1000.0, tape.mass(mass)),
    }


def _work(pit: Pit) -> dict[Stage, _Work]:
    edges = plate_edges(pit)
    groups: dict[Stage, list[Part]] = {stage: [] for stage in STAGES}
    for part in pit.parts:
        if part.stock != "of the vessel":
            groups[STAGE_OF[part.group]].append(part)
    return {
        stage: _Work(
            bars=sum(p.quantity for p in parts if _bar(p) > THIN),
            bundled=sum(p.quantity for p in parts if 0.0 < _bar(p) <= THIN),
            edge=sum(edges.get(p.mark, 0.0) for p in parts),
            pieces=sum(p.quantity for p in parts if not isinstance(p.shape, Bought) and p.name not in LOOSE),
        )
        for stage, parts in groups.items()
    }


def _bar(part: Part) -> float:
    """Size of a bar's stock across [m], 0 for anything else."""
    return max(part.shape.profile.height, part.shape.profile.width) if isinstance(part.shape, Bar) else 0.0


def _long(part: Part) -> float:
    outline = getattr(part.shape, "outline", None)
    if not isinstance(outline, Outline):
        return 0.0
    x0, y0, x1, y1 = outline.bounds()
    return max(x1 - x0, y1 - y0) * part.quantity


def _round(points: tuple[tuple[float, float], ...]) -> float:
    return sum(math.dist(a, b) for a, b in zip(points, (*points[1:], points[0]), strict=True))


def _count(number: int, what: str, many: str = "") -> str:
    return f"{number} {what if number == 1 else many or what + 's'}"
