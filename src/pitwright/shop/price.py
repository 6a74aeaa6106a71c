"""The price of a pit by stage, with its range, and what a change does to it.

price = (vessel + steel bought x its price + hardware + consumables + paint + hours x rate) / (1 - margin)

Rates and prices are the shop's own (`[proportions.rates]`); the starting ones are common practice without a source.
"""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.errors import JobError
from pitwright.job.rates import STAGES, Stage
from pitwright.layout.model import Pit
from pitwright.masses import mass_of
from pitwright.parts import Bought
from pitwright.shop.consumables import consumables
from pitwright.shop.hours import STAGE_OF, stage_hours


@dataclass(frozen=True, slots=True, kw_only=True)
class Goods:
    """One kind of bought goods: money, the stage it is used in, and what it rests on (in words without figures)."""

    name: str
    cost: float
    stage: Stage
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StagePrice:
    """One stage: hours [h], money for its goods, and its share of the price. The shares add up to the price."""

    stage: Stage
    hours: float
    goods: float
    price: float
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """A price with everything it is made of.

    steel   bought [kg]; hours: all stages [h]; labour, material, cost, margin, price: money
    low, high  the price where hours and goods all come out on one side of what the shop gives them
    mass    empty [kg]; height, length: over all [m]
    """

    goods: tuple[Goods, ...]
    stages: tuple[StagePrice, ...]
    steel: float
    hours: float
    labour: float
    material: float
    cost: float
    margin: float
    price: float
    low: float
    high: float
    mass: float
    height: float
    length: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeLine:
    """One figure before and after a change; measure says how it is written (`mass`, `length`, `money`, `hours`)."""

    name: str
    measure: str
    before: float
    after: float

    @property
    def delta(self) -> float:
        """After less before."""
        return self.after - self.before


def sell_price(
    *,
    vessel: float,
    steel: float,
    steel_price: float,
    hardware: float,
    consumables: float,
    paint: float,
    hours: float,
    hour: float,
    margin: float,
) -> float:
    """(vessel + steel x price + hardware + consumables + paint + hours x rate) / (1 - margin), money.

    steel and steel_price in the same unit of weight; hours [h]; margin: share of the price, 0 to under 1.

    Raises JobError for a margin that leaves nothing.
    """
    if not 0.0 <= margin < 1.0:
        raise JobError("a margin is a share of the price", field="margin", value=margin, allowed="0 to under 1",
                       remedy="Write 0.15 for 15 percent.")  # fmt: skip
    return (vessel + steel * steel_price + hardware + consumables + paint + hours * hour) / (1.0 - margin)


def price(pit: Pit, *, bought: float | None = None) -> Quote:
    """The pit's price at its shop's rates.

    bought  weight of steel bought [kg] where the cut and plate plans have said it; else the pieces' weight and the shop's
            share over it
    """
    rates, shop = pit.job.proportions.rates, pit.job.proportions.shop
    hours = {s.stage: s for s in stage_hours(pit)}
    steel_by_stage = _steel(pit)
    over = 1.0 + rates.steel_over if bought is None else bought / max(sum(steel_by_stage.values()), 1e-9)
    steel_by_stage = {stage: mass * over for stage, mass in steel_by_stage.items()}
    goods = _goods(pit, steel_by_stage, sum(s.hours for s in hours.values()))
    spent = {stage: sum(g.cost for g in goods if g.stage == stage) for stage in STAGES}
    labour = {stage: hours[stage].hours * rates.hour for stage in STAGES}
    keep = 1.0 - rates.margin
    material, all_labour = sum(spent.values()), sum(labour.values())
    cost = material + all_labour
    give = rates.goods_give * material + rates.hours_give * all_labour
    return Quote(
        goods=goods,
        stages=tuple(
            StagePrice(
                stage=stage,
                hours=hours[stage].hours,
                goods=spent[stage],
                price=(spent[stage] + labour[stage]) / keep,
                why=hours[stage].why,
            )
            for stage in STAGES
        ),
        steel=sum(steel_by_stage.values()),
        hours=sum(s.hours for s in hours.values()),
        labour=all_labour,
        material=material,
        cost=cost,
        margin=cost / keep - cost,
        price=sell_price(
            vessel=rates.vessel,
            steel=sum(steel_by_stage.values()),
            steel_price=shop.steel_price,
            hardware=sum(g.cost for g in goods if g.name.startswith("hardware")),
            consumables=sum(g.cost for g in goods if g.name in ("wire, gas and discs", "small goods")),
            paint=sum(g.cost for g in goods if g.name == "paint"),
            hours=sum(s.hours for s in hours.values()),
            hour=rates.hour,
            margin=rates.margin,
        ),
        low=(cost - give) / keep,
        high=(cost + give) / keep,
        mass=pit.balance["empty"].mass,
        height=float(pit.reasons["overall.height"].value),
        length=float(pit.reasons["overall.length"].value),
    )


def _steel(pit: Pit) -> dict[Stage, float]:
    """Weight of the pieces cut from bought steel, by stage [kg]."""
    out: dict[Stage, float] = {}
    for part in pit.parts:
        if part.stock != "of the vessel" and not isinstance(part.shape, Bought):
            stage = STAGE_OF[part.group]
            out[stage] = out.get(stage, 0.0) + mass_of(part).mass * part.quantity
    return out


def _running_gear(pit: Pit) -> float:
    """Weight of what is bought for the base [kg]."""
    return sum(mass_of(p).mass * p.quantity for p in pit.parts if p.group == "base" and isinstance(p.shape, Bought))


def _goods(pit: Pit, steel: dict[Stage, float], hours: float) -> tuple[Goods, ...]:
    rates, shop = pit.job.proportions.rates, pit.job.proportions.shop
    used = consumables(pit)
    out = [Goods(name="vessel", cost=rates.vessel, stage="make safe", why="as it was bought")]
    out += [
        Goods(name=f"steel, {stage}", cost=mass * shop.steel_price, stage=stage, why="with what is cut off")
        for stage, mass in steel.items()
    ]
    out += [
        Goods(name="hardware, cooking doors", cost=rates.hardware_door * len(pit.doors), stage="doors",
              why="hinges, handle and thermometer a door"),
        Goods(name="hardware, fire door", cost=rates.hardware_fire, stage="firebox", why="hinges and latch"),
        Goods(name="hardware, running gear", cost=rates.running_gear * _running_gear(pit), stage="base",
              why="casters, wheels, axles and coupler, by weight"),
        Goods(name="hardware, other", cost=rates.hardware, stage="fittings", why="valve, rod, bolts"),
        Goods(name="wire, gas and discs", cost=used.goods, stage="weld-out", why="from the weld list and the plate edges"),
        Goods(name="small goods", cost=rates.small_goods * hours, stage="grind", why="tips, chalk, rags and blades, by the hour"),
        Goods(name="paint", cost=used.paint_cost, stage="paint", why="area, coats and cover"),
    ]  # fmt: skip
    return tuple(g for g in out if g.cost or not g.name.endswith("running gear"))


def change(before: Pit, after: Pit) -> tuple[ChangeLine, ...]:
    """What a change order does: weight, sizes, hours and price, then every stage whose price moves."""
    old, new = price(before), price(after)
    lines = [
        ChangeLine(name="weight empty", measure="mass", before=old.mass, after=new.mass),
        ChangeLine(name="height over all", measure="length", before=old.height, after=new.height),
        ChangeLine(name="length over all", measure="length", before=old.length, after=new.length),
        ChangeLine(name="steel bought", measure="mass", before=old.steel, after=new.steel),
        ChangeLine(name="hours", measure="hours", before=old.hours, after=new.hours),
        ChangeLine(name="price", measure="money", before=old.price, after=new.price),
    ]
    lines += [
        ChangeLine(name=f"of which {a.stage}", measure="money", before=a.price, after=b.price)
        for a, b in zip(old.stages, new.stages, strict=True)
        if abs(a.price - b.price) > 0.5
    ]
    return tuple(lines)


def change_text(pit: Pit, line: ChangeLine) -> str:
    """What a line moves by, signed, as the shop reads it; `no change` where it would read as nothing."""
    nothing, moved = (_written(pit, line.measure, v) for v in (0.0, abs(line.delta)))
    return "no change" if moved == nothing else ("+" if line.delta > 0.0 else "-") + moved


def _written(pit: Pit, measure: str, value: float) -> str:
    if measure == "hours":
        return f"{value:,.1f} h"
    if measure == "money":
        return pit.tape.money(value, pit.job.proportions.rates.currency)
    return pit.tape.figure(value, measure)
