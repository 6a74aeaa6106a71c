"""What a pit stands on, before its legs: rails, their spread, and the height of the rail top.

What is under the rails depends on the base: a skid plate, casters or feet, a wheel and its axle, a tyre with axle and
spring. Whatever it is, the legs see one foot plane: the rail top.
"""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.errors import LayoutError
from pitwright.layout.draft import Draft
from pitwright.stock import Profile, find_profile


@dataclass(frozen=True, slots=True, kw_only=True)
class BaseSizes:
    """Stock and sizes that legs and rails share [m]. rail_top is the foot plane over the floor; floor_gap: under the rails."""

    rail: Profile
    cross: Profile
    pocket: Profile
    rails_outside: float
    floor_gap: float
    rail_top: float

    @property
    def rail_y(self) -> float:
        """Half the distance between the rails' centre lines [m]."""
        return (self.rails_outside - self.rail.width) / 2.0

    @property
    def between(self) -> float:
        """Clear distance between the rails [m]."""
        return self.rails_outside - 2.0 * self.rail.width


def base_sizes(draft: Draft, radius: float, length: float) -> BaseSizes:
    """The shop's rails under a vessel of this radius and length [m]; what was measured wins.

    Raises JobError for unknown stock, LayoutError where the rails leave no room between them.
    """
    rules, ledger, got = draft.rules.base, draft.ledger, draft.job.measured
    rail = find_profile(rules.rail, field="proportions.base.rail")
    cross = find_profile(rules.cross, field="proportions.base.cross")
    pocket = find_profile(rules.pocket, field="proportions.base.pocket")
    if pocket.height > pocket.width:
        pocket = pocket.turned()
    if got.rails_outside is not None:
        outside = got.rails_outside
        ledger.note("base.rails_outside", outside, kind="measured", because="over the outside of the rails as welded")
    else:
        outside = ledger.choose(
            "base.rails_outside",
            draft.share(rules.rails_outside, radius, length),
            because=f"over the outside of the rails: {rules.rails_outside.text}",
            rests_on=("vessel.diameter",),
            limits=(0.1, 5.0),
        )
    gap, because, rests_on = under_rails(draft)
    if got.rail_top is not None:
        top = got.rail_top
        gap = max(top - rail.height, 0.0)
        ledger.note("base.rail_top", top, kind="measured", because="rail top over the floor as it stands")
    else:
        top = gap + rail.height
        ledger.note("base.rail_top", top, because=f"rail height and {because}", rests_on=rests_on, kind="solved")
    sizes = BaseSizes(rail=rail, cross=cross, pocket=pocket, rails_outside=outside, floor_gap=gap, rail_top=top)
    if sizes.between < cross.width:
        raise LayoutError(
            f"the rails leave {draft.tape.length(max(sizes.between, 0.0))} between them",
            field="proportions.base.rails_outside",
            value=draft.tape.length(outside),
            allowed=f"more than {draft.tape.length(2.0 * rail.width + cross.width)}",
            remedy="Spread the rails, or use narrower rail stock.",
        )
    ledger.note(
        "base.cross_length",
        sizes.between,
        because="cross members fit between the rails",
        formula="over the outside less both rails",
        rests_on=("base.rails_outside",),
    )
    return sizes


def under_rails(draft: Draft) -> tuple[float, str, tuple[str, ...]]:
    """What stands between floor and rails: its height [m], what it is, and the figures it rests on.

    Raises JobError for unknown axle stock, LayoutError where springs have no room.
    """
    rules, ledger, base = draft.rules, draft.ledger, draft.job.order.base
    if base == "stand":
        stand = rules.stand
        height = {"casters": stand.caster_height, "levelling feet": stand.foot_height, "foot plates": stand.foot_plate}
        up = ledger.choose("stand.height", height[stand.on], because=f"{stand.on} under the rails", limits=(0.003, 0.6))
        return up, f"the {stand.on} under it", ("stand.height",)
    if base == "cart":
        wheel = ledger.choose(
            "cart.wheel", rules.cart.wheel, because="wheel diameter, the shop's habit", limits=(0.1, 1.2)
        )
        axle = find_profile(rules.cart.axle, field="proportions.cart.axle")
        return wheel / 2.0 + axle.height / 2.0, "half the wheel and half the axle under it", ("cart.wheel",)
    if base == "trailer":
        trailer = rules.trailer
        tyre = ledger.choose(
            "trailer.tyre", trailer.tyre, because="tyre diameter under load, as bought", limits=(0.3, 1.3)
        )
        drop = ledger.choose(
            "trailer.axle_drop", trailer.axle_drop, because="dropped axle, as bought", limits=(0.0, 0.3)
        )
        ride = ledger.choose("trailer.ride", trailer.ride, because="axle to rail, springs loaded", limits=(0.03, 0.5))
        up = tyre / 2.0 - drop + ride
        if up < trailer.road_clear:
            raise LayoutError(
                f"the rails would hang {draft.tape.length(up)} over the road",
                field="proportions.trailer.ride",
                value=draft.tape.length(ride),
                allowed=f"at least {draft.tape.length(trailer.road_clear - tyre / 2.0 + drop)}",
                remedy="Take larger tyres, an axle with less drop, or more height over the axle.",
            )
        return up, "half the tyre, less the axle's drop, and the spring under it", ("trailer.tyre", "trailer.axle_drop", "trailer.ride")  # fmt: skip
    return (
        ledger.choose("base.feet", rules.base.feet, because="foot or skid plate under the rails", limits=(0.0, 0.5)),
        "what is under it",
        ("base.feet",),
    )
