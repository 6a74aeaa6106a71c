"""The trailer: the frame on axles, with a tongue; where the axles go so that the hitch carries the share ordered.

share = (c.g. - axle) / (coupler - axle), taken along the pit; the axle group moves with the axle, so with
T the whole weight, G the group's, S the moment of all the rest and c the coupler's place:
axle = (S - share T c) / (T (1 - share) - G)
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence

from pitwright.errors import LayoutError
from pitwright.layout.balance import carried_along
from pitwright.layout.base_sizes import BaseSizes
from pitwright.layout.cross_members import Borne
from pitwright.layout.draft import Draft
from pitwright.layout.model import BaseLayout, DoorLayout, FireboxLayout, GrateLayout, VesselLayout
from pitwright.layout.skid import Frame, lay_out_skid
from pitwright.layout.trailer_axles import BEAM, Group, axle_group
from pitwright.layout.trailer_tongue import Drawn, lay_out_tongue
from pitwright.masses import Balance, Mass, combine
from pitwright.parts import Placement
from pitwright.tape import INCH

LEAST, MOST = 0.10, 0.15
REFUSE_UNDER, REFUSE_OVER = 0.08, 0.18
TONGUE_SOURCE = "10 to 15 %: makers' towing instructions; 8 and 18 %: common practice, no source"
LEGAL_WIDTH = 102.0 * INCH
WIDTH_SOURCE = "8 ft 6 in: 23 CFR 658.15; 2.55 m in many other countries; local law rules"
ROAD_STATES = ("empty", "carrying", "loaded")
BUMP = 2.5 * INCH  # an axle comes up this far on its springs (common practice, no source)
LEAST_REACH = 0.5  # least distance from ball to axle [m]
EDGE = 2.0 * INCH  # hanger's middle in from the rail's end, at least


def lay_out_trailer(
    draft: Draft,
    vessel: VesselLayout,
    firebox: FireboxLayout,
    sizes: BaseSizes,
    borne: Sequence[Borne],
    doors: Sequence[DoorLayout],
    grates: GrateLayout,
) -> BaseLayout:
    """Frame, tongue and axles. All that the trailer carries must be laid out before it.

    Raises LayoutError where a tongue or springs cannot be.
    """
    rules = draft.rules.trailer
    way = 1 if rules.tongue_end == "stack" else -1
    half = sizes.cross.width / 2.0

    def also(x0: float, x1: float) -> list[Borne]:
        x = x1 - half if way > 0 else x0 + half
        return [Borne(name="", x=x, foot_y=0.0, tied=3.0 * half, label="the tongue")]

    frame = Frame(kind="trailer", pockets=rules.pockets, eyes=False, also=also)
    base = lay_out_skid(draft, vessel, firebox, sizes, borne, frame)
    drawn = lay_out_tongue(draft, vessel, base, sizes)
    group, middle = _axles(draft, vessel, base, sizes, drawn, grates)
    for gear in group.gear:
        draft.add(
            gear.letters,
            gear.name,
            "base",
            gear.shape,
            [_moved(p, middle) for p in gear.places],
            gear.stock,
            assumed=gear.assumed,
            notes=gear.notes,
        )
    axles = tuple(
        dataclasses.replace(a, x=a.x + middle, hangers=tuple(h + middle for h in a.hangers)) for a in group.axles
    )
    base = dataclasses.replace(base, axles=axles, tongue=drawn.tongue, supports=(drawn.jack,))
    _notes(draft, base)
    _clear(draft, vessel, firebox, base, drawn, group, middle)
    return base


def _moved(p: Placement, x: float) -> Placement:
    return dataclasses.replace(p, origin=(p.origin[0] + x, p.origin[1], p.origin[2]))


def _meat(grates: GrateLayout) -> list[Mass]:
    """Meat on every level, as the loaded state has it."""
    wanted = min(grates.meat_wanted or grates.meat_capacity, grates.meat_capacity)
    return [
        Mass(mass=wanted * level.area / grates.area, centre=((level.x0 + level.x1) / 2.0, 0.0, level.z))
        for level in grates.levels
    ]


def _axles(
    draft: Draft, vessel: VesselLayout, base: BaseLayout, sizes: BaseSizes, drawn: Drawn, grates: GrateLayout
) -> tuple[Group, float]:
    """The axle group and the x of its middle, from the balance of the whole."""
    rules, ledger, order = draft.rules.trailer, draft.ledger, draft.job.order
    rest = combine(mass for part in draft.parts for mass in draft.placed(part))
    load = combine([*_meat(grates), *carried_along(draft, vessel)])
    over = 1.0 + draft.rules.shop.weld_and_paint
    one = axle_group(draft, base, sizes, 1)
    heavy = over * (rest.mass + one.mass) + load.mass
    by_weight = 1 if heavy <= rules.one_axle_most else 2
    count = by_weight if rules.axles == "auto" else rules.axles
    tape = draft.tape
    ledger.note(
        "trailer.axles",
        count,
        "count",
        kind="solved" if rules.axles == "auto" else "proportion",
        because=f"it weighs {tape.mass(heavy)} loaded; one axle takes {tape.mass(rules.one_axle_most)}"
        if rules.axles == "auto"
        else "the shop says so",
        source="common practice, no source",
    )
    group = one if count == 1 else axle_group(draft, base, sizes, count)
    ticket = draft.job.measured.weight
    factor = over if ticket is None else ticket / (rest.mass + group.mass)
    whole = factor * (rest.mass + group.mass) + load.mass
    moment = factor * rest.mass * rest.centre[0] + load.mass * load.centre[0]
    share, coupler = order.tongue_share, drawn.tongue.coupler[0]
    ledger.note("order.tongue_share", share, "ratio", kind="fixed", because="part of the loaded weight on the hitch, as ordered")  # fmt: skip
    ledger.note("trailer.group", group.mass, "mass", because="axles, wheels, springs and fenders: they move with the axle", kind="assumed")  # fmt: skip
    best = (moment - share * whole * coupler) / (whole * (1.0 - share) - factor * group.mass)
    station = ledger.choose(
        "trailer.axle",
        vessel.station(best),
        kind="solved",
        because=("the axle" if count == 1 else "middle of the two axles") + f" for {share:.1%} of the loaded weight on the hitch",
        formula="(moment of the rest - share x whole x coupler) / (whole x (1 - share) - axle group)",
        source="moments about the coupler",
        rests_on=("order.tongue_share", "trailer.tongue_reach", "trailer.group"),
    )  # fmt: skip
    middle = vessel.x_at(station)
    if (coupler - middle) * drawn.tongue.end < LEAST_REACH:
        raise LayoutError(
            f"the axle would stand {tape.length((coupler - middle) * drawn.tongue.end)} behind the ball",
            field="override.trailer.axle" if ledger.overridden("trailer.axle") else "proportions.trailer.tongue_reach",
            value=tape.length(station),
            allowed=f"{tape.length(LEAST_REACH)} or more behind it",
            remedy="Set the axle further back, or lengthen the tongue.",
        )
    return group, middle


def _notes(draft: Draft, base: BaseLayout) -> None:
    ledger, tongue = draft.ledger, base.tongue
    assert tongue is not None
    ball = tongue.coupler[0]
    middle = sum(a.x for a in base.axles) / len(base.axles)
    ledger.note(
        "trailer.axle_to_ball", abs(ball - middle), because="ball to the axle (the middle of two)", rests_on=("trailer.axle",)
    )  # fmt: skip
    ledger.note("trailer.track", base.axles[0].track, because="tyre middle to tyre middle", rests_on=("base.rails_outside",))  # fmt: skip
    width = 2.0 * base.axles[0].fender
    ledger.note(
        "trailer.width", width, because="over the fenders (or tyres)", source=WIDTH_SOURCE, rests_on=("trailer.track",)
    )
    for i, axle in enumerate(base.axles, start=1):
        ledger.note(
            f"trailer.square_{i}",
            square(base, i - 1),
            because=f"ball to the tyre's middle at each end of the {axle.name}; both ways alike when it tows straight",
            formula="sqrt(axle to ball2 + (track / 2)2), at one level",
            rests_on=("trailer.axle_to_ball", "trailer.track"),
        )
    if width > LEGAL_WIDTH:
        draft.find(
            "trailer.wide",
            "warn",
            f"It is {draft.tape.length(width)} wide over the fenders; without a permit {draft.tape.length(LEGAL_WIDTH)} is the "
            "most on United States national roads.",
            pieces=("fender", "wheel and tyre"),
            clearance=(LEGAL_WIDTH - width) / 2.0,
            remedy="Bring the rails together, take narrower tyres, or ask for a permit.",
            source=WIDTH_SOURCE,
        )


def square(base: BaseLayout, axle: int) -> float:
    """From the ball to the tyre's middle at one end of an axle, in plan [m]: alike on both sides when it is square."""
    assert base.tongue is not None
    one = base.axles[axle]
    dx, dy = base.tongue.coupler[0] - one.x, one.track / 2.0
    return float((dx * dx + dy * dy) ** 0.5)


def tongue_share(base: BaseLayout, state: Balance) -> float:
    """Part of a state's weight that the hitch carries, the frame level: (c.g. - axle) / (coupler - axle)."""
    assert base.tongue is not None
    axle = sum(a.x for a in base.axles) / len(base.axles)
    return (state.centre[0] - axle) / (base.tongue.coupler[0] - axle)


def axle_for(base: BaseLayout, state: Balance, group: float, share: float) -> float:
    """Where the axle would have to be for a share of a state's weight, the group [kg] moving with it [m]."""
    assert base.tongue is not None
    axle = sum(a.x for a in base.axles) / len(base.axles)
    rest = state.mass * state.centre[0] - group * axle
    return (rest - share * state.mass * base.tongue.coupler[0]) / (state.mass * (1.0 - share) - group)


def check_trailer(draft: Draft, vessel: VesselLayout, base: BaseLayout, states: Mapping[str, Balance]) -> None:
    """Tongue weight of every state it travels in; what is out of range, and how far the axle must go."""
    ledger, tape = draft.ledger, draft.tape
    assert base.tongue is not None
    group, want = ledger.value("trailer.group"), base.tongue.wanted
    axle = sum(a.x for a in base.axles) / len(base.axles)
    for name in ROAD_STATES:
        if name not in states:
            continue
        state = states[name]
        share = tongue_share(base, state)
        ledger.note(
            f"trailer.share.{name}",
            share,
            "ratio",
            because=f"part of the weight on the hitch, {name}",
            formula="(c.g. - axle) / (coupler - axle)",
            source="moments about the axle",
            rests_on=("trailer.axle", "weight.empty"),
        )
        ledger.note(f"trailer.tongue.{name}", share * state.mass, "mass", because=f"on the hitch, {name}", rests_on=(f"trailer.share.{name}",))  # fmt: skip
        if LEAST - 1e-9 <= share <= MOST + 1e-9:
            continue
        factor = 1.0 + draft.rules.shop.weld_and_paint
        move = (axle_for(base, state, factor * group, want) - axle) * -base.tongue.end
        refused = not REFUSE_UNDER <= share <= REFUSE_OVER
        if share < 0.0:
            says = f"Tongue is {share:.0%} {name}: the hitch lifts and it will sway."
        elif share < LEAST:
            says = f"Tongue is {share:.1%} {name} ({tape.mass(share * state.mass)}): it may sway."
        else:
            says = f"Tongue is {share:.1%} {name} ({tape.mass(share * state.mass)}): it overloads hitch and car."
        draft.find(
            "trailer.tongue",
            "stop" if refused else "warn",
            says + (" No frame sheet is printed below 8 % or over 18 %." if refused else ""),
            pieces=("tongue beam", "axle"),
            remedy=f"The axle{'s' if len(base.axles) > 1 else ''} must go {'back' if move > 0.0 else 'forward'} "
            f"{tape.length(abs(move))} for {want:.0%}: set trailer.axle to station "
            f"{tape.length(vessel.station(axle - move * base.tongue.end))}.",
            source=TONGUE_SOURCE,
        )


def frame_refused(base: BaseLayout, balance: Mapping[str, Balance]) -> bool:
    """Whether no frame sheet may be printed: a travelling state outside 8 to 18 % on the hitch."""
    if base.tongue is None:
        return False
    return any(
        not REFUSE_UNDER <= tongue_share(base, balance[name]) <= REFUSE_OVER for name in ROAD_STATES if name in balance
    )


def _clear(
    draft: Draft,
    vessel: VesselLayout,
    firebox: FireboxLayout,
    base: BaseLayout,
    drawn: Drawn,
    group: Group,
    middle: float,
) -> None:
    """Hangers on the rails; axles and tongue clear of the firebox; firebox clear of the road."""
    tape, tongue = draft.tape, drawn.tongue
    hangers = [h for a in base.axles for h in a.hangers]
    short = max(base.rail_x0 + EDGE - min(hangers), max(hangers) - (base.rail_x1 - EDGE))
    if short > 0.0:
        draft.find(
            "trailer.hanger_off",
            "stop",
            f"A spring hanger would stand {tape.length(short)} past the rails.",
            pieces=("spring hanger", "rails"),
            clearance=-short,
            remedy="Lengthen the rails at that end (base.rail_fire_end, base.rail_stack_end), or carry weight further forward.",
        )
    roots = [r[0] for r in tongue.roots]
    for h in hangers:
        if min(roots) - EDGE < h < max(roots) + EDGE and draft.rules.trailer.tongue == "a-frame":
            draft.find(
                "trailer.hanger_on_tongue",
                "stop",
                "A spring hanger lands where the tongue runs under the rail.",
                pieces=("spring hanger", "tongue beam"),
                remedy="Shorten the tongue's run under the frame (trailer.tongue_bite), or take a straight tongue.",
            )
            break
    for axle in base.axles:
        top = axle.radius - axle.drop + BEAM / 2.0 + BUMP
        if firebox.x0 - BEAM / 2.0 < axle.x < firebox.x1 + BEAM / 2.0 and firebox.bottom_z < top:
            draft.find(
                "trailer.axle_under_firebox",
                "stop",
                f"The {axle.name} comes up to {tape.length(top)} on its springs; the firebox over it hangs down to "
                f"{tape.length(firebox.bottom_z)}.",
                pieces=("axle", "firebox"),
                clearance=firebox.bottom_z - top,
                remedy="Raise the firebox (a smaller one, less drop), take more axle drop, or a longer tongue to bring the axle "
                "forward.",
            )
    if tongue.end < 0 and firebox.bottom_z < drawn.top:
        draft.find(
            "trailer.tongue_under_firebox",
            "stop",
            f"The tongue's top lies {tape.length(drawn.top)} over the road and the firebox hangs down to {tape.length(firebox.bottom_z)}.",
            pieces=("tongue beam", "firebox"),
            clearance=firebox.bottom_z - drawn.top,
            remedy='Tow it by the stack end (trailer.tongue_end = "stack"), or raise the firebox.',
        )
    low, want = firebox.bottom_z, draft.rules.trailer.road_clear
    if low < want - 1e-9:
        draft.find(
            "trailer.road_clear",
            "warn",
            f"The firebox hangs {tape.length(low)} over the road; the shop wants {tape.length(want)}.",
            pieces=("firebox",),
            clearance=low - want,
            remedy=f"Raise the grate {tape.length(want - low)}, take a smaller firebox, or less drop.",
            source="common practice, no source",
        )
