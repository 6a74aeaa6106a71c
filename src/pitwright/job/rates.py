"""What the shop's time, steel, wire and paint cost: the figures a price is made from.

Every starting value is common practice without a source; a shop replaces them with its own and lets the clocked hours
correct them (`pitwright.shop.records`). Money is in the shop's own currency.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal, get_args

from pydantic import Field

from pitwright.job.quantities import Strict

Stage = Literal[
    "make safe",
    "layout",
    "firebox",
    "throat",
    "base",
    "legs",
    "doors",
    "stack",
    "grates",
    "shelf",
    "fittings",
    "weld-out",
    "grind",
    "paint",
    "burn-in",
    "load",
]
STAGES: tuple[Stage, ...] = get_args(Stage)


def _hours(start: float, what: str, most: float = 40.0) -> Any:
    return Field(start, ge=0.0, le=most, description=f"hours {what}; common practice, no source")


def _money(start: float, what: str, most: float = 100000.0) -> Any:
    return Field(start, ge=0.0, le=most, description=f"money {what}; common practice, no source")


class RateRules(Strict):
    """Hours for each kind of work, and what an hour and the goods cost."""

    currency: str = Field("$", min_length=1, max_length=4, description="sign written before money")
    hour: float = _money(75.0, "for one hour of the shop", 1000.0)
    margin: float = Field(0.15, ge=0.0, le=0.6, description="share of the price kept; common practice, no source")
    vessel: float = _money(450.0, "for the vessel as it was bought")
    steel_over: float = Field(
        0.15, ge=0.0, le=1.0, description="steel bought over what the pieces weigh; common practice, no source"
    )
    hardware: float = _money(140.0, "for valve, rod, bolts and other small goods of one pit")
    hardware_door: float = _money(110.0, "for hinges, handle and thermometer of one cooking door")
    hardware_fire: float = _money(60.0, "for hinges and latch of the fire door")
    running_gear: float = _money(9.0, "for a kg of casters, wheels, axles and coupler", 500.0)
    wire: float = _money(5.5, "for a kg of wire", 200.0)
    gas: float = _money(15.0, "for a m3 of shielding gas", 500.0)
    disc: float = _money(5.0, "for one disc", 200.0)
    small_goods: float = _money(1.0, "for tips, chalk, rags and blades, by the hour", 50.0)
    discs_weld: float = Field(
        0.35, ge=0.0, le=10.0, description="discs to dress a metre of weld; common practice, no source"
    )
    discs_edge: float = Field(
        0.12, ge=0.0, le=10.0, description="discs to dress a metre of plate edge; common practice, no source"
    )
    paint_high_heat: float = _money(55.0, "for a litre of high-heat paint", 1000.0)
    paint_shell: float = _money(45.0, "for a litre of paint for the shell", 1000.0)
    paint_plain: float = _money(25.0, "for a litre of ordinary paint", 1000.0)
    paint_cover: float = Field(
        9.0, gt=0.5, le=30.0, description="m2 that a litre covers once; common practice, no source"
    )
    coats: int = Field(2, ge=1, le=6, description="coats of paint; common practice, no source")

    make_safe: float = _hours(3.0, "to empty, clean and test a vessel, however small")
    make_safe_volume: float = _hours(3.0, "more for each m3 it holds")
    datum_lines: float = _hours(2.0, "to cradle, level and punch the four lines")
    mark: float = _hours(0.11, "for one mark pulled and punched", 5.0)
    saw_piece: float = _hours(0.25, "to saw one bar, both ends", 10.0)
    plate_edge: float = _hours(0.35, "to cut and clean a metre of plate edge", 10.0)
    skin_cut: float = _hours(0.6, "to cut a metre of the vessel's skin", 10.0)
    fit: float = _hours(0.3, "to fit and tack one piece", 10.0)
    firebox: float = _hours(4.0, "to set up and square one firebox")
    fire_door: float = _hours(1.8, "to hang, seal and latch a fire or ash door")
    throat: float = _hours(4.5, "to hang the firebox and close the throat")
    base_square: float = _hours(2.5, "to square and level the base")
    bought_fit: float = _hours(0.35, "to fit one caster, wheel, spring or other bought piece under the base", 10.0)
    leg: float = _hours(1.0, "more for each leg stood up")
    saddle: float = _hours(1.5, "more for each saddle set")
    set_vessel: float = _hours(1.8, "to lift the vessel on and check its heights")
    door: float = _hours(5.5, "for hinges, strongbacks, bands and seal of one cooking door")
    stack: float = _hours(2.5, "to cope, set and plumb the stack")
    shelf: float = _hours(2.5, "for each metre of shelf", 20.0)
    fittings: float = _hours(2.2, "for bungs and thermometers")
    fitting: float = _hours(0.6, "more for each boss or drain", 20.0)
    joint: float = _hours(0.08, "to set up for one weld; the arc itself is reckoned from its metal", 5.0)
    grind: float = _hours(0.38, "to dress a metre of weld", 10.0)
    paint_start: float = _hours(1.5, "to mask and clean before paint")
    paint_area: float = _hours(0.35, "to clean and paint a m2", 10.0)
    burn_in: float = _hours(4.0, "to burn in and season")
    load: float = _hours(2.0, "to load and tie down")
    load_weight: float = _hours(1.2, "more for each 1000 kg", 20.0)
    hours_give: float = Field(
        0.15, ge=0.0, le=1.0, description="how far the hours may come out off; common practice, no source"
    )
    goods_give: float = Field(
        0.10, ge=0.0, le=1.0, description="how far bought goods may come out off; common practice, no source"
    )
    factors: dict[Stage, Annotated[float, Field(gt=0.1, le=10.0)]] = Field(
        default_factory=dict,
        description="hours clocked over hours reckoned, by stage; learned from the shop's own clock",
    )
