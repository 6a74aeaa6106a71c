"""What the vessel stands on, as one: legs on a frame of rails, or saddles on theirs; and what is under the rails."""

from __future__ import annotations

from collections.abc import Mapping

from pitwright.errors import LayoutError
from pitwright.layout.base_sizes import BaseSizes, base_sizes
from pitwright.layout.cart import check_cart, lay_out_cart
from pitwright.layout.cross_members import Borne
from pitwright.layout.draft import Draft
from pitwright.layout.legs import lay_out_legs, leg_zones
from pitwright.layout.model import (
    BaseLayout,
    DoorLayout,
    FireboxLayout,
    GrateLayout,
    LegSet,
    SaddleLayout,
    VesselLayout,
)
from pitwright.layout.patches import Patch
from pitwright.layout.saddles import lay_out_saddles, saddle_zones
from pitwright.layout.skid import ON_SADDLES, check_pockets, lay_out_skid
from pitwright.layout.stand import check_stand, lay_out_stand
from pitwright.layout.trailer import check_trailer, lay_out_trailer
from pitwright.masses import Balance

ON_LEGS = ("skid", "stand", "cart", "trailer")


def contact_zones(draft: Draft, vessel: VesselLayout) -> list[Patch]:
    """Skin that legs or saddles need undisturbed, before the vessel is turned; writes reasons, no findings, no pieces."""
    sizes = _sizes(draft, vessel)
    return leg_zones(draft, vessel, sizes) if draft.job.order.base in ON_LEGS else saddle_zones(draft, vessel)


def lay_out_base(
    draft: Draft,
    vessel: VesselLayout,
    firebox: FireboxLayout,
    doors: tuple[DoorLayout, ...],
    grates: GrateLayout,
) -> tuple[BaseLayout, tuple[LegSet, ...], tuple[SaddleLayout, ...]]:
    """Legs or saddles and the base under them. Everything the base carries must be laid out before it.

    Raises LayoutError for bases that are not laid out here, and where legs or saddles cannot be.
    """
    sizes = _sizes(draft, vessel)
    kind = draft.job.order.base
    if kind == "saddles":
        saddles = lay_out_saddles(draft, vessel, sizes)
        # A saddle stands on its own cross member: it may not move off it by more than half its width.
        tied = max((sizes.cross.width - saddles[0].thickness) / 2.0, 0.0)
        borne = [Borne(name=s.name, x=s.x, foot_y=min(s.width / 2.0, sizes.rail_y), tied=tied) for s in saddles]
        return lay_out_skid(draft, vessel, firebox, sizes, borne, ON_SADDLES), (), saddles
    legs = lay_out_legs(draft, vessel, sizes, firebox)
    reach = draft.rules.base.cross_reach
    borne = [Borne(name=s.name, x=s.legs[0].x, foot_y=abs(s.legs[0].foot_y), tied=reach) for s in legs]
    if kind == "stand":
        base = lay_out_stand(draft, vessel, firebox, sizes, borne, legs)
    elif kind == "cart":
        base = lay_out_cart(draft, vessel, firebox, sizes, borne, legs)
    elif kind == "trailer":
        base = lay_out_trailer(draft, vessel, firebox, sizes, borne, doors, grates)
    else:
        base = lay_out_skid(draft, vessel, firebox, sizes, borne)
    return base, legs, ()


def check_base(draft: Draft, vessel: VesselLayout, base: BaseLayout, states: Mapping[str, Balance]) -> None:
    """Findings on the base that want the weight of the finished pit, by state."""
    check_pockets(draft, vessel, base, states["empty"].centre[0])
    if base.kind == "stand":
        check_stand(draft, vessel, base, states)
    elif base.kind == "cart":
        check_cart(draft, vessel, base, states)
    elif base.kind == "trailer":
        check_trailer(draft, vessel, base, states)


def _sizes(draft: Draft, vessel: VesselLayout) -> BaseSizes:
    base = draft.job.order.base
    if base not in (*ON_LEGS, "saddles"):
        raise LayoutError(
            f"a {base} base is not laid out: the leg and saddle rules do not apply to it",
            field="order.base",
            value=base,
            allowed=", ".join((*ON_LEGS, "saddles")),
            remedy="Take one of these, or build the base by hand.",
        )
    return base_sizes(draft, vessel.outer_radius, vessel.length)
