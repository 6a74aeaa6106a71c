"""The frame of every base: rails, cross members, fork pockets, drag eyes, and the figures that prove it square.

A skid is this frame alone; a stand, a cart and a trailer put casters, wheels or springs under it.

Cross members stand flush with the rail tops, between the rails. Fork pockets lie between the rails too, for forks
from the side: their openings are cut through both rails. What gives way, in this order: pockets keep the weight
balanced; a cross member ties every leg set; no bay of rail stays longer than the shop likes.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

from pitwright.errors import LayoutError
from pitwright.layout.base_sizes import BaseSizes
from pitwright.layout.cross_members import Borne, cross_members
from pitwright.layout.draft import Draft
from pitwright.layout.model import BaseLayout, FireboxLayout, VesselLayout
from pitwright.layout.skid_parts import skid_parts
from pitwright.masses import combine
from pitwright.tape import INCH

SHORTEST = 0.3  # least length of rail [m]
POCKETS_OFF = 2.0 * INCH  # how far the weight may lie beside the middle of the pockets


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """How the frame of one kind of base differs from a skid's.

    pockets, eyes  whether it may have them (the shop's rules for bases stand over it)
    also           further places that want a cross member, from the rails' ends
    past_stack     rail past the last set at the stack end, at least: what stands on it there [m]
    """

    kind: Literal["skid", "saddles", "stand", "cart", "trailer"] = "skid"
    pockets: bool = True
    eyes: bool = True
    also: Callable[[float, float], Sequence[Borne]] = lambda x0, x1: ()
    past_stack: float = 0.0


SKID, ON_SADDLES = Frame(), Frame(kind="saddles")


def lay_out_skid(
    draft: Draft,
    vessel: VesselLayout,
    firebox: FireboxLayout,
    sizes: BaseSizes,
    borne: Sequence[Borne],
    frame: Frame = SKID,
) -> BaseLayout:
    """Rails, cross members, pockets and eyes with their pieces, reasons and findings.

    The pieces laid out so far (all but the base) say where the weight lies, for the fork pockets.
    """
    x0, x1 = _rail_ends(draft, vessel, firebox, sizes, borne, frame.past_stack)
    pockets = _pockets(draft, vessel, sizes, x0, x1) if frame.pockets else ()
    crosses = cross_members(draft, firebox, sizes, [*borne, *frame.also(x0, x1)], pockets, (x0, x1))
    length = x1 - x0
    diagonal = math.hypot(length, sizes.rails_outside)
    ends = (max(borne, key=lambda b: b.x), min(borne, key=lambda b: b.x))
    feet = math.hypot(ends[0].x - ends[1].x, ends[0].foot_y + ends[1].foot_y)
    ledger = draft.ledger
    ledger.note(
        "base.diagonal",
        diagonal,
        because="outside corner to outside corner; both ways alike when it is square",
        formula="sqrt(length2 + outside2)",
        rests_on=("base.rail_length", "base.rails_outside"),
    )
    ledger.note(
        "base.feet_diagonal",
        feet,
        because="between the foot marks of the end sets, corner to corner",
        formula="sqrt(span2 + spread2)",
    )
    eighth = INCH / 8.0
    ledger.note(
        "base.skew",
        skew(eighth, diagonal, length),
        because=f"how far one rail runs ahead of the other where the diagonals differ {draft.tape.length(eighth)}",
        formula="difference x diagonal / (2 length)",
        rests_on=("base.diagonal",),
    )
    base = BaseLayout(
        kind=frame.kind,
        rail=sizes.rail,
        cross=sizes.cross,
        rail_x0=x0,
        rail_x1=x1,
        rail_y=sizes.rail_y,
        rails_outside=sizes.rails_outside,
        rail_top=sizes.rail_top,
        floor_gap=sizes.floor_gap,
        crosses=crosses,
        pockets=pockets,
        pocket=sizes.pocket,
        eyes=draft.rules.base.drag_eyes and frame.eyes,
        diagonal=diagonal,
        feet_diagonal=feet,
    )
    skid_parts(draft, base, sizes)
    return base


def skew(difference: float, diagonal: float, length: float) -> float:
    """How far one rail runs ahead of the other [m] where the diagonals differ by `difference` [m].

    difference x D / (2 L): exact in the limit of a small skew.
    """
    return difference * diagonal / (2.0 * length)


# ---------------------------------------------------------------- rails


def _rail_ends(
    draft: Draft,
    vessel: VesselLayout,
    firebox: FireboxLayout,
    sizes: BaseSizes,
    borne: Sequence[Borne],
    past_stack: float,
) -> tuple[float, float]:
    ledger, tape = draft.ledger, draft.tape
    over = draft.share(draft.rules.base.overhang, vessel.outer_radius, vessel.length)
    last, first = max(b.x for b in borne), min(b.x for b in borne)
    gave = ""
    under = first - over
    if _rail_passes(firebox, sizes):
        under = min(under, firebox.x0)
        because = "under the firebox to its end, so that the skid carries it"
    else:
        under = max(under, min(firebox.x1, first - sizes.cross.width))
        because = "past the last leg set at the fire end"
        gave = f"the rails stop short of the firebox: it hangs {tape.length(firebox.bottom_z)} off the floor, between them there is no room"
        draft.find(
            "base.firebox_hangs",
            "warn",
            f"The rails cannot run under the firebox (its bottom is {tape.length(firebox.bottom_z)} off the floor, the rail top "
            f"{tape.length(sizes.rail_top)}): {tape.length(firebox.x1 - firebox.x0)} of firebox hangs on the throat plate alone.",
            pieces=("firebox", "rails"),
            clearance=firebox.bottom_z - sizes.rail_top,
            remedy="Raise the grate or the firebox, use lower rails, or give the firebox its own legs to the floor.",
        )
    fire_end = ledger.choose(
        "base.rail_fire_end", vessel.station(under), because=because, rests_on=("vessel.length",), gave_way=gave
    )
    room = over < past_stack - 1e-9
    stack_end = ledger.choose(
        "base.rail_stack_end",
        vessel.station(last + max(over, past_stack)),
        because="past the last leg set by "
        + (f"{tape.length(past_stack)}, what stands there" if room else draft.said(draft.rules.base.overhang)),
        rests_on=("vessel.length",),
    )
    x0, x1 = sorted((vessel.x_at(fire_end), vessel.x_at(stack_end)))
    if x1 - x0 < SHORTEST:
        raise LayoutError(
            "there is no rail between those ends",
            field="override.base.rail_fire_end",
            value=tape.length(fire_end),
            allowed=f"at least {tape.length(SHORTEST)} from base.rail_stack_end ({tape.length(stack_end)})",
            remedy="Take the lines out and the rails follow the legs.",
        )
    ledger.note(
        "base.rail_length",
        x1 - x0,
        because="longest edge of each rail",
        rests_on=("base.rail_fire_end", "base.rail_stack_end"),
    )
    for b in borne:
        if not x0 <= b.x <= x1:
            draft.find(
                "base.rail_short",
                "stop",
                f"The rails end {tape.length(max(x0 - b.x, b.x - x1))} short of set {b.name}.",
                pieces=("rails", b.name),
                clearance=min(b.x - x0, x1 - b.x),
                remedy="Lengthen the rails.",
            )
    return x0, x1


def _rail_passes(firebox: FireboxLayout, sizes: BaseSizes) -> bool:
    """Whether the rails run under or beside the firebox."""
    low = firebox.bottom_z
    if low >= sizes.rail_top:
        return True
    skin = firebox.double_gap + firebox.outer_skin if firebox.double_gap else 0.0
    half = firebox.width / 2.0 + skin
    if firebox.shape == "round":
        below = min(sizes.rail_top - firebox.centre_z, 0.0)
        half = math.sqrt(max(half * half - below * below, 0.0))
    return half <= sizes.between / 2.0


# ---------------------------------------------------------------- fork pockets


def _pockets(draft: Draft, vessel: VesselLayout, sizes: BaseSizes, x0: float, x1: float) -> tuple[float, ...]:
    rules, ledger, tape = draft.rules.base, draft.ledger, draft.tape
    if not rules.pockets:
        return ()
    if sizes.pocket.height > sizes.rail.height + 1e-6:
        draft.find(
            "base.pocket_tall",
            "warn",
            f"A fork pocket {tape.length(sizes.pocket.height)} tall does not go through a rail of "
            f"{tape.length(sizes.rail.height)}: the pockets are left out.",
            pieces=("fork pockets", "rails"),
            clearance=sizes.rail.height - sizes.pocket.height,
            remedy=f"Use rails {tape.length(sizes.pocket.height)} tall, lower pockets, or set base.pockets = false.",
        )
        return ()
    weight = combine(mass for part in draft.parts for mass in draft.placed(part))
    spread = ledger.choose(
        "base.pocket_spread",
        rules.pocket_spread,
        because="fork pockets, centre to centre, the shop's habit",
        limits=(0.2, 1.5),
    )
    middle = ledger.choose(
        "base.pocket_middle",
        vessel.station(weight.centre[0]),
        kind="solved",
        because="fork pockets stand evenly about the weight of what the base carries",
        rests_on=("vessel.length",),
    )
    x = vessel.x_at(middle)
    half = sizes.pocket.width / 2.0
    low, high = x - spread / 2.0, x + spread / 2.0
    if low - half < x0 or high + half > x1:
        draft.find(
            "base.pocket_off_rail",
            "warn",
            "The fork pockets would run past the rails' ends: left out.",
            pieces=("fork pockets", "rails"),
            clearance=min(low - half - x0, x1 - high - half),
            remedy="Set them nearer together, or lengthen the rails.",
        )
        return ()
    return (low, high)


def check_pockets(draft: Draft, vessel: VesselLayout, base: BaseLayout, weight_x: float) -> None:
    """Note where the weight of the finished pit does not lie between the fork pockets, or lies off their middle [m]."""
    if not base.pockets:
        return
    tape = draft.tape
    low, high = base.pockets
    off = weight_x - (low + high) / 2.0
    if abs(off) <= POCKETS_OFF:
        return
    outside = not low < weight_x < high
    draft.find(
        "base.pockets_off",
        "stop" if outside else "warn",
        f"The pit's weight lies {tape.length(abs(off))} to the {'stack' if off > 0.0 else 'fire'} end of the middle of the fork "
        f"pockets{': outside them it tips off the forks' if outside else ''}.",
        pieces=("fork pockets",),
        clearance=(high - low) / 2.0 - abs(off),
        remedy=f"Set base.pocket_middle to station {tape.length(vessel.station(weight_x))}.",
    )
