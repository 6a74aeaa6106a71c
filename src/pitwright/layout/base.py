"""What the vessel stands on, as one: legs on a skid, or saddles on their base."""

from __future__ import annotations

from pitwright.errors import LayoutError
from pitwright.layout.base_sizes import BaseSizes, base_sizes
from pitwright.layout.cross_members import Borne
from pitwright.layout.draft import Draft
from pitwright.layout.legs import lay_out_legs, leg_zones
from pitwright.layout.model import BaseLayout, FireboxLayout, LegSet, SaddleLayout, VesselLayout
from pitwright.layout.patches import Patch
from pitwright.layout.saddles import lay_out_saddles, saddle_zones
from pitwright.layout.skid import ON_SADDLES, lay_out_skid


def contact_zones(draft: Draft, vessel: VesselLayout) -> list[Patch]:
    """Skin that legs or saddles need undisturbed, before the vessel is turned; writes reasons, no findings, no pieces."""
    sizes = _sizes(draft, vessel)
    return leg_zones(draft, vessel, sizes) if draft.job.order.base == "skid" else saddle_zones(draft, vessel)


def lay_out_base(
    draft: Draft, vessel: VesselLayout, firebox: FireboxLayout
) -> tuple[BaseLayout, tuple[LegSet, ...], tuple[SaddleLayout, ...]]:
    """Legs or saddles and the skid under them. Everything the base carries must be laid out before it.

    Raises LayoutError for bases that are not laid out here, and where legs or saddles cannot be.
    """
    sizes = _sizes(draft, vessel)
    if draft.job.order.base == "skid":
        legs = lay_out_legs(draft, vessel, sizes, firebox)
        reach = draft.rules.base.cross_reach
        borne = [Borne(name=s.name, x=s.legs[0].x, foot_y=abs(s.legs[0].foot_y), tied=reach) for s in legs]
        return lay_out_skid(draft, vessel, firebox, sizes, borne), legs, ()
    saddles = lay_out_saddles(draft, vessel, sizes)
    # A saddle stands on its own cross member: it may not move off it by more than half its width.
    tied = (sizes.cross.width - saddles[0].thickness) / 2.0
    borne = [Borne(name=s.name, x=s.x, foot_y=min(s.width / 2.0, sizes.rail_y), tied=max(tied, 0.0)) for s in saddles]
    return lay_out_skid(draft, vessel, firebox, sizes, borne, ON_SADDLES), (), saddles


def _sizes(draft: Draft, vessel: VesselLayout) -> BaseSizes:
    base = draft.job.order.base
    if base not in ("skid", "saddles"):
        raise LayoutError(
            f"a {base} base is not laid out: the leg and saddle rules do not apply to it",
            field="order.base",
            value=base,
            allowed="skid, saddles",
            remedy="Take one of these, or build the base by hand.",
        )
    return base_sizes(draft, vessel.outer_radius, vessel.length)
