"""How large a firebox is: the shop's share of the vessel, in the steps one can buy, and clear of the floor."""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass

from pitwright.errors import LayoutError
from pitwright.geometry.lens import drop_for_area
from pitwright.job.quantities import Share
from pitwright.layout.draft import Draft
from pitwright.layout.throat import FireBox, FireRound, Section, flat_top
from pitwright.tape import INCH

LEAST_SHARE = 0.5  # of the shop's own size; a firebox is not taken in further than that for the floor
LEAST = 6.0 * INCH
FLAT_SPARE = 1.25  # a flat-topped throat in a round firebox wants a lens this much larger than itself


@dataclass(frozen=True, slots=True, kw_only=True)
class FireSizes:
    """Outside sizes of the firebox before its drop is known [m]."""

    shape: str
    width: float
    height: float
    wall: float

    def section(self, drop: float) -> Section:
        """Its inside in the end view, at a drop."""
        if self.shape == "round":
            return FireRound(radius=self.width / 2.0 - self.wall, drop=drop)
        return FireBox(width=self.width - 2.0 * self.wall, height=self.height - 2.0 * self.wall, drop=drop)


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """What the firebox hangs in: the vessel's outside and inside radius, length, and centre over the floor [m]."""

    outer_radius: float
    inner_radius: float
    length: float
    centre_z: float


def size_firebox(draft: Draft, room: Room) -> FireSizes:
    """Outside sizes from the shop's share, in the steps one can buy; taken in where it would come too near the floor."""
    rules, ledger, tape = draft.rules.firebox, draft.ledger, draft.tape
    if rules.shape == "box" and rules.height is None:
        wide = _stepped(draft, rules.size, room)
        first = FireSizes(shape="box", width=wide, height=wide, wall=rules.wall)
    else:
        tall = _stepped(draft, rules.size if rules.shape == "round" or rules.height is None else rules.height, room)
        first = FireSizes(shape=rules.shape, width=_stepped(draft, rules.size, room), height=tall, wall=rules.wall)
    sizes = first
    leading = rules.height if rules.shape == "box" and rules.height is not None else rules.size
    if leading.of and rules.drop is None and not ledger.overridden("firebox.drop"):
        sizes = _over_the_floor(draft, first, room)
    steps = f", in steps of {tape.length(rules.round_to)}"
    lost = "over the floor it would leave less than the shop wants"
    width = ledger.choose(
        "firebox.width",
        sizes.width,
        because=_said(rules.size, "the shop's firebox size") + steps,
        rests_on=("vessel.diameter",) if rules.size.of else (),
        gave_way=f"{tape.length(first.width)}: {lost}" if sizes.width < first.width else "",
        limits=(LEAST, 4.0 * room.outer_radius),
    )
    if rules.shape == "round":
        return FireSizes(shape="round", width=width, height=width, wall=rules.wall)
    height = ledger.choose(
        "firebox.height",
        sizes.height,
        because=("as high as wide" if rules.height is None else _said(rules.height, "the shop's firebox height"))
        + steps,
        gave_way=f"{tape.length(first.height)}: {lost}" if sizes.height < first.height else "",
        limits=(LEAST, 4.0 * room.outer_radius),
    )
    return FireSizes(shape="box", width=width, height=height, wall=rules.wall)


def _said(share: Share, otherwise: str) -> str:
    return f"{share.text} of the vessel" if share.of else otherwise


def _stepped(draft: Draft, share: Share, room: Room) -> float:
    """A size in the steps one can buy [m]."""
    rules, tape = draft.rules.firebox, draft.tape
    wanted = draft.share(share, room.outer_radius, room.length)
    size = round(wanted / rules.round_to) * rules.round_to
    if not LEAST - 1e-9 <= size <= 4.0 * room.outer_radius:
        raise LayoutError(
            f"a firebox {tape.length(wanted)} across is no firebox for this vessel",
            field="proportions.firebox.size",
            value=share.text,
            allowed=f"{tape.length(LEAST)} to {tape.length(4.0 * room.outer_radius)}",
            remedy="Type a size, or a share such as 0.8 diameter.",
        )
    return size


def _over_the_floor(draft: Draft, sizes: FireSizes, room: Room) -> FireSizes:
    """The largest size up to the shop's own that keeps the shop's clearance over the floor; its own where none does."""
    rules = draft.rules.firebox
    skin = rules.double_wall + rules.outer_skin if rules.double_wall else 0.0
    tried = sizes
    while tried.height >= max(LEAST_SHARE * sizes.height, LEAST):
        drop = _drop(draft, tried, room)
        if drop is None:
            break
        if room.centre_z - drop - tried.height / 2.0 - skin >= rules.floor_clear - 1e-9:
            return tried
        width = tried.width - rules.round_to if tried.shape == "round" else tried.width
        tried = dataclasses.replace(tried, width=width, height=tried.height - rules.round_to)
    return sizes


def _drop(draft: Draft, sizes: FireSizes, room: Room) -> float | None:
    """The drop a firebox of these sizes would get from its throat [m]; None where it cannot give that throat."""
    rules = draft.rules.throat
    wanted, low = throat_area(draft, room.inner_radius), -room.inner_radius + rules.dam
    if sizes.shape == "box":
        top = flat_top(room.inner_radius, sizes.width - 2.0 * sizes.wall, low, wanted, rules.shape == "rectangle")
        return sizes.height / 2.0 - sizes.wall - top
    try:
        spare = 1.0 if rules.shape == "lens" else FLAT_SPARE
        return drop_for_area(room.inner_radius, sizes.width / 2.0 - sizes.wall, spare * wanted, low)
    except LayoutError:
        return None


def throat_area(draft: Draft, inner_radius: float) -> float:
    """Net throat area by the shop's share of the chamber's section [m2]."""
    return draft.rules.throat.share * math.pi * inner_radius**2
