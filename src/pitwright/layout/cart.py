"""The cart: the frame on one axle near the fire, rest legs and two handles at the other end, for one or two people.

Standing, it bears on its wheels and the rest legs; lifted by the grips it turns about the axle:
    lift = W (c.g. - axle) / (grips - axle)
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping, Sequence

from pitwright.errors import LayoutError
from pitwright.layout.base_sizes import BaseSizes
from pitwright.layout.cross_members import Borne
from pitwright.layout.draft import Draft
from pitwright.layout.model import BaseLayout, FireboxLayout, LegSet, VesselLayout
from pitwright.layout.place import level_plate
from pitwright.layout.running import Axle, Handles, Support
from pitwright.layout.skid import Frame, lay_out_skid
from pitwright.layout.struts import across, strut
from pitwright.masses import Balance
from pitwright.parts import Bar, Bought, Outline, Placement, Plate, Vec
from pitwright.stock import Profile, find_profile
from pitwright.tape import INCH, STANDARD_GRAVITY

OFF_REST = 1.5 * INCH  # rest legs off the ground while rolling, at least (common practice, no source)
KNUCKLES = 4.0 * INCH  # grips to hot steel, at least (common practice, no source)
STEEP, MIDDLING = math.radians(80.0), math.radians(45.0)  # slope of the handles between rail and grips
HUB_OUT = 1.0 * INCH  # axle past the wheel, for collar and pin


def lay_out_cart(
    draft: Draft,
    vessel: VesselLayout,
    firebox: FireboxLayout,
    sizes: BaseSizes,
    borne: Sequence[Borne],
    leg_sets: Sequence[LegSet],
) -> BaseLayout:
    """Frame, axle and wheels, rest legs and handles. The legs must be laid out.

    Raises LayoutError where the handles cannot reach from the rails to the grips.
    """
    rules, ledger = draft.rules.cart, draft.ledger
    rest = find_profile(rules.rest, field="proportions.cart.rest")
    foot_x = max(s.legs[0].x for s in leg_sets)
    station = ledger.choose(
        "cart.axle",
        vessel.station(draft.share(rules.axle_in, vessel.outer_radius, vessel.length)),
        because=f"in from the fire seam by {draft.said(rules.axle_in)}",
        rests_on=("vessel.length",),
    )
    axle_x = vessel.x_at(station)

    def also(x0: float, x1: float) -> list[Borne]:
        return [
            Borne(name="", x=axle_x, foot_y=0.0, tied=draft.rules.base.cross_reach, label="the axle"),
            Borne(name="", x=min(foot_x, x1 - rest.width / 2.0), foot_y=0.0, tied=draft.rules.base.cross_reach, label="the rest legs"),
        ]  # fmt: skip

    handle = find_profile(rules.handle, field="proportions.cart.handle")
    leg = max(s.profile.width for s in leg_sets) / 2.0
    past = leg + handle.height / math.sin(MIDDLING) + 0.75 * INCH  # the handle's foot stands on the rail behind the leg
    frame = Frame(kind="cart", pockets=False, eyes=False, also=also, past_stack=past)
    base = lay_out_skid(draft, vessel, firebox, sizes, borne, frame)
    axle = _axle(draft, base, sizes, axle_x)
    rests = _rest_legs(draft, base, sizes, rest, foot_x)
    handles = _handles(draft, vessel, base)
    base = dataclasses.replace(base, supports=rests, axles=(axle,), handles=handles)
    _notes(draft, vessel, firebox, base)
    return base


def _axle(draft: Draft, base: BaseLayout, sizes: BaseSizes, x: float) -> Axle:
    rules, tape = draft.rules.cart, draft.tape
    stock = find_profile(rules.axle, field="proportions.cart.axle")
    radius = sizes.floor_gap - stock.height / 2.0
    inside = base.rails_outside / 2.0 + rules.wheel_clear
    track = 2.0 * inside + rules.wheel_width
    length = track + rules.wheel_width + 2.0 * HUB_OUT
    if not base.rail_x0 + INCH <= x <= base.rail_x1 - INCH:
        raise LayoutError(
            "the axle does not lie under the rails",
            field="override.cart.axle" if draft.ledger.overridden("cart.axle") else "proportions.cart.axle_in",
            value=tape.length(draft.ledger.value("cart.axle")),
            allowed="a place between the rails' ends",
            remedy="Move the axle, or lengthen the rails.",
        )
    draft.add(
        "AX", "axle", "base", Bar.square(stock, length), across(x, -length / 2.0, radius), stock.designation,
        notes=("under both rails, square across; a washer and pin outside each wheel",),
    )  # fmt: skip
    # The axle passes through the hub: the wheel's bore is not drawn, its weight is as bought.
    draft.add(
        "WH", "wheel", "base",
        Bought(mass=rules.wheel_weight, size=(rules.wheel_width, 2.0 * radius, 2.0 * radius), form="cylinder"),
        [across(x, s * track / 2.0, radius, "working side" if s > 0.0 else "back") for s in (1.0, -1.0)],
        f"wheel, {tape.length(2.0 * radius)} x {tape.length(rules.wheel_width)}, for a {tape.length(stock.height)} axle",
        assumed=True,
    )  # fmt: skip
    rating = 0.0 if rules.wheel_rating is None else rules.wheel_rating * STANDARD_GRAVITY
    return Axle(
        name="axle", x=x, track=track, radius=radius, width=rules.wheel_width, sprung=False, hangers=(x,),
        fender=track / 2.0 + rules.wheel_width / 2.0 + HUB_OUT, tyre_rating=rating,
    )  # fmt: skip


def _rest_legs(
    draft: Draft, base: BaseLayout, sizes: BaseSizes, profile: Profile, foot_x: float
) -> tuple[Support, ...]:
    """Two short legs under the rails at the handles' end, plumb, each on its plate."""
    rules = draft.rules.cart
    x = min(foot_x, base.rail_x1 - profile.width / 2.0)
    height = sizes.floor_gap - rules.rest_plate
    sides = ((1.0, "working side"), (-1.0, "back"))
    if height <= 2.0 * profile.width:
        raise LayoutError(
            "no height for rest legs under the rails",
            field="proportions.cart.wheel",
            value=draft.tape.length(2.0 * base.floor_gap),
            allowed=f"wheels over {draft.tape.length(2.0 * (rules.rest_plate + 2.0 * profile.width))}",
            remedy="Take larger wheels.",
        )
    draft.add(
        "RL", "rest leg", "base", Bar.square(profile, height),
        [
            Placement(origin=(x, s * base.rail_y, rules.rest_plate), x=(0.0, 0.0, 1.0), y=(0.0, 1.0, 0.0), z=(-1.0, 0.0, 0.0), where=side)
            for s, side in sides
        ],
        profile.designation, notes=("plumb under the rail",),
    )  # fmt: skip
    size = rules.rest_foot
    draft.add(
        "FT", "rest foot", "base",
        Plate(outline=Outline.rectangle(0.0, 0.0, size, size), thickness=rules.rest_plate),
        [level_plate(x - size / 2.0, s * base.rail_y - size / 2.0, 0.0, side) for s, side in sides],
        draft.plate(rules.rest_plate),
    )  # fmt: skip
    draft.ledger.note("cart.rest_length", height, because="under the rail, less its foot plate", rests_on=("cart.wheel",))  # fmt: skip
    return tuple(
        Support(
            kind="rest leg",
            name=f"rest leg, {side}",
            x=x,
            y=s * base.rail_y,
            top=sizes.floor_gap,
            pad=rules.rest_foot,
        )
        for s, side in sides
    )


def _handles(draft: Draft, vessel: VesselLayout, base: BaseLayout) -> Handles:
    """From each rail's end up to grip height, then level as far as a hand takes hold: two straight pieces, mitred."""
    rules, ledger, tape = draft.rules.cart, draft.ledger, draft.tape
    profile = find_profile(rules.handle, field="proportions.cart.handle")
    grips = ledger.choose(
        "cart.grips",
        vessel.station(vessel.length + draft.share(rules.grips_past, vessel.outer_radius, vessel.length)),
        because=f"middle of the grips past the stack seam by {draft.said(rules.grips_past)}",
        rests_on=("vessel.length",),
    )
    height = ledger.choose(
        "cart.grip_height", rules.grip_height, because="grips over the floor, the shop's habit", limits=(0.5, 1.3)
    )
    x, half = vessel.x_at(grips), rules.grip_length / 2.0
    rise = height - base.rail_top
    if rise < profile.height:
        raise LayoutError(
            f"the grips stand {tape.length(height)} over the floor and the rails {tape.length(base.rail_top)}",
            field="proportions.cart.grip_height",
            value=tape.length(height),
            allowed=f"over {tape.length(base.rail_top + profile.height)}",
            remedy="Raise the grips, or take smaller wheels.",
        )
    reach = x - half - base.rail_x1
    slope = min(max(math.atan2(rise, max(reach, 1e-9)), MIDDLING), STEEP)
    foot = base.rail_x1 - profile.height / 2.0 / math.sin(slope) - 0.25 * INCH
    knee = foot + rise / math.tan(slope)
    if knee > x - half + 1e-9:
        raise LayoutError(
            f"the handles cannot come up to the grips: they stand {tape.length(x - base.rail_x1)} past the rails' end",
            field="override.cart.grips" if ledger.overridden("cart.grips") else "proportions.cart.grips_past",
            value=tape.length(x - vessel.length),
            allowed=f"{tape.length(knee + half - vessel.length)} or more",
            remedy="Set the grips further out.",
        )
    # The mitre at the knee halves the turn: both pieces are sawn half the slope off square.
    mitre: Vec = (math.cos(slope / 2.0), 0.0, math.sin(slope / 2.0))
    back: Vec = (-mitre[0], 0.0, -mitre[2])
    risers, levels = [], []
    for s, side in ((1.0, "working side"), (-1.0, "back")):
        y = s * base.rail_y
        corner: Vec = (knee, y, height)
        risers.append(strut(profile, (foot, y, base.rail_top), corner, (0.0, 1.0, 0.0), (0.0, 0.0, -1.0), mitre, side))
        levels.append(strut(profile, corner, (x + half, y, height), (0.0, 1.0, 0.0), back, None, side))
    draft.add("HB", "handle bar", "base", risers[0][0], [at for _, at in risers], profile.designation,
              notes=("stands on the rail's top, mitred to the grip bar",))  # fmt: skip
    draft.add("HB", "grip bar", "base", levels[0][0], [at for _, at in levels], profile.designation,
              notes=("cap the end; grips over it",))  # fmt: skip
    ledger.note("cart.handle_slope", slope, "angle", because="handle bars off level, from the rails' end up to the grips", rests_on=("cart.grips", "cart.grip_height"))  # fmt: skip
    return Handles(end=1, beam=profile, grip=(x, 0.0, height), half=base.rail_y)


def _notes(draft: Draft, vessel: VesselLayout, firebox: FireboxLayout, base: BaseLayout) -> None:
    """What the lifted cart clears, and hands off the hot end."""
    ledger, tape, axle, handles = draft.ledger, draft.tape, base.axles[0], base.handles
    assert handles is not None
    arm = handles.grip[0] - axle.x
    ledger.note("cart.axle_to_grips", arm, because="axle to the middle of the grips", rests_on=("cart.axle", "cart.grips"))  # fmt: skip
    ledger.note("cart.track", axle.track, because="wheel middle to wheel middle", rests_on=("base.rails_outside",))
    ledger.note(
        "cart.square",
        math.hypot(arm, axle.track / 2.0 - handles.half),
        because="each grip's middle to the wheel's middle on its side, in plan; alike on both sides when it is square",
        rests_on=("cart.axle_to_grips", "cart.track"),
    )
    turn = draft.rules.cart.lift / arm
    rise = turn * (base.supports[0].x - axle.x)
    ledger.note(
        "cart.rest_clear",
        rise,
        because=f"rest legs off the ground with the grips lifted {tape.length(draft.rules.cart.lift)}",
        formula="lift x (rest legs to axle) / (grips to axle)",
        rests_on=("cart.axle_to_grips",),
    )
    if rise < OFF_REST:
        draft.find(
            "cart.rest_low",
            "warn",
            f"With the grips lifted {tape.length(draft.rules.cart.lift)} the rest legs clear the ground by {tape.length(max(rise, 0.0))}: "
            "they catch on the first stone.",
            pieces=("rest leg",),
            clearance=rise - OFF_REST,
            remedy="Set the rest legs further from the axle, or the grips nearer to it.",
        )
    drop = firebox.bottom_z - turn * max(axle.x - firebox.x0, 0.0)
    ledger.note("cart.fire_clear", drop, because="firebox over the ground while it is lifted", rests_on=("cart.rest_clear",))  # fmt: skip
    if drop < OFF_REST:
        draft.find(
            "cart.fire_low",
            "stop" if drop <= 0.0 else "warn",
            f"Lifted by its grips the firebox comes down to {tape.length(max(drop, 0.0))} over the ground.",
            pieces=("firebox",),
            clearance=drop - OFF_REST,
            remedy="Raise the grate, take a smaller firebox, or set the axle nearer to the fire.",
        )
    head = vessel.stack_head.depth if vessel.stack_head is not None else 0.0
    room = handles.grip[0] - draft.rules.cart.grip_length / 2.0 - (vessel.stack_tangent + head)
    if room < KNUCKLES:
        draft.find(
            "cart.hot_hands",
            "warn",
            f"The grips begin {tape.length(max(room, 0.0))} past the hot end of the vessel.",
            pieces=("grip bar", "shell"),
            clearance=room - KNUCKLES,
            remedy="Set the grips further out (cart.grips_past).",
            source="common practice, no source",
        )


def check_cart(draft: Draft, vessel: VesselLayout, base: BaseLayout, states: Mapping[str, Balance]) -> None:
    """Whether the cart stands on its rest legs in every state: the weight must lie between axle and rest legs."""
    tape, axle, rest = draft.tape, base.axles[0].x, base.supports[0].x
    for name, state in states.items():
        ahead, behind = state.centre[0] - axle, rest - state.centre[0]
        room = min(ahead, behind)
        if room >= 2.0 * INCH:
            continue
        over = "the axle: it drops on its firebox" if ahead < behind else "the rest legs: it drops on its grips"
        draft.find(
            "cart.balance",
            "stop" if room <= 0.0 else "warn",
            f"{name}: the weight lies at station {tape.length(vessel.station(state.centre[0]))}, "
            + (f"{tape.length(-room)} past {over}." if room <= 0.0 else f"only {tape.length(room)} inside {over}."),
            pieces=("axle", "rest leg"),
            clearance=room,
            remedy=f"Set the axle at station {tape.length(vessel.station(state.centre[0] - 6.0 * INCH))}."
            if ahead < behind
            else "Set the rest legs further out.",
        )
        break
