"""What a pit stands on, before its legs: rails, their spread, and the height of the rail top."""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.errors import LayoutError
from pitwright.layout.draft import Draft
from pitwright.stock import Profile, find_profile


@dataclass(frozen=True, slots=True, kw_only=True)
class BaseSizes:
    """Stock and sizes that legs and rails share [m]. rail_top is the foot plane over the floor."""

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
    gap = ledger.choose("base.feet", rules.feet, because="foot or skid plate under the rails", limits=(0.0, 0.5))
    if got.rail_top is not None:
        top = got.rail_top
        gap = max(top - rail.height, 0.0)
        ledger.note("base.rail_top", top, kind="measured", because="rail top over the floor as it stands")
    else:
        top = gap + rail.height
        ledger.note(
            "base.rail_top", top, because="rail height and what is under it", rests_on=("base.feet",), kind="solved"
        )
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
