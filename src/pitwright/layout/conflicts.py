"""What stands in the way of what: edges on seams, openings too close, moving pieces, floor, gates, welds out of reach.

Each check names the pieces, the clearance and a way out. Swings of the doors are swept in `doors`, cross members and
fork pockets in `skid`; this is the rest, on the solved pit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.layout.draft import Draft
from pitwright.layout.model import (
    BaseLayout,
    DoorLayout,
    FireboxLayout,
    GrateLayout,
    KeepOut,
    LegSet,
    SaddleLayout,
    StackLayout,
    VesselLayout,
)
from pitwright.layout.stack import hole_clocks
from pitwright.tape import INCH

DRAIN_ROOM = 6.0 * INCH  # for a bucket under the drain (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """A rectangle on the unrolled skin: x and clock ranges."""

    name: str
    x0: float
    x1: float
    clock0: float
    clock1: float


def skin_gap(a: Patch, b: Patch, radius: float) -> float:
    """Tape distance between two patches of skin [m]; negative by the overlap."""
    dx = max(a.x0 - b.x1, b.x0 - a.x1)
    turn = 2.0 * math.pi
    middle = abs((a.clock0 + a.clock1 - b.clock0 - b.clock1) / 2.0) % turn
    apart = min(middle, turn - middle)
    da = (apart - (a.clock1 - a.clock0 + b.clock1 - b.clock0) / 2.0) * radius
    if dx > 0.0 and da > 0.0:
        return math.hypot(dx, da)
    return max(dx, da)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """All the solved pieces a check may look at."""

    vessel: VesselLayout
    doors: Sequence[DoorLayout]
    stack: StackLayout
    grates: GrateLayout
    firebox: FireboxLayout
    leg_sets: Sequence[LegSet]
    saddles: Sequence[SaddleLayout]
    base: BaseLayout


def find_conflicts(draft: Draft, scene: Scene) -> None:
    """Run every check; what it finds goes to the draft."""
    _openings_on_seams(draft, scene)
    _openings_close(draft, scene)
    _doors_over_legs(draft, scene)
    _shell_and_rail(draft, scene)
    _firebox_and_base(draft, scene)
    _slides(draft, scene)
    _drain(draft, scene)
    _passages(draft, scene)
    _unreachable(draft, scene)


def _opening_patches(scene: Scene) -> list[Patch]:
    out = [Patch(name=d.name, x0=d.x0, x1=d.x1, clock0=d.hinge_clock, clock1=d.edge_clock) for d in scene.doors]
    stack, radius = scene.stack, scene.vessel.outer_radius
    if stack.place == "top":
        half = stack.hole_along / 2.0
        back, front = hole_clocks(stack, scene.vessel)
        out.append(Patch(name="stack hole", x0=stack.x - half, x1=stack.x + half, clock0=back, clock1=front))
    d = 1.25 * INCH
    g = scene.grates
    out.append(
        Patch(
            name="drain",
            x0=g.drain_x - d,
            x1=g.drain_x + d,
            clock0=g.drain_clock - d / radius,
            clock1=g.drain_clock + d / radius,
        )
    )
    return out


def _as_patch(keep: KeepOut) -> Patch:
    return Patch(name=keep.name, x0=keep.x0, x1=keep.x1, clock0=keep.clock0, clock1=keep.clock1)


def _openings_on_seams(draft: Draft, scene: Scene) -> None:
    tape, radius = draft.tape, scene.vessel.outer_radius
    serving = {f.name for f in scene.vessel.fittings if f.serves}
    for opening in _opening_patches(scene):
        for keep in scene.vessel.keep_outs:
            if keep.name in serving:
                continue
            gap = skin_gap(opening, _as_patch(keep), radius)
            if gap >= keep.clear - 1e-6:
                continue
            through = gap < 0.0
            draft.find(
                "skin.opening_on_seam",
                "warn",
                f"{opening.name}: {keep.name} runs {'through the opening' if through else tape.length(gap) + ' from its edge'}; "
                f"the shop wants {tape.length(keep.clear)}. "
                + (
                    "The cut-out skin will spring along the old weld."
                    if "seam" in keep.name
                    else "It has to be dealt with before the cut."
                ),
                pieces=(opening.name, keep.name),
                clearance=gap,
                source="common practice, no source",
                remedy="Turn the vessel (see the other ways up on the cover), or move the opening.",
            )


def _openings_close(draft: Draft, scene: Scene) -> None:
    tape, radius = draft.tape, scene.vessel.outer_radius
    want = draft.rules.shop.ligament
    patches = _opening_patches(scene)
    for i, a in enumerate(patches):
        for b in patches[i + 1 :]:
            gap = skin_gap(a, b, radius)
            if gap < want - 1e-6:
                draft.find(
                    "skin.ligament",
                    "stop" if gap < 0.0 else "warn",
                    f"Only {tape.length(max(gap, 0.0))} of skin between {a.name} and {b.name}; the shop wants {tape.length(want)}."
                    if gap >= 0.0
                    else f"{a.name} and {b.name} run into each other by {tape.length(-gap)}.",
                    pieces=(a.name, b.name),
                    clearance=gap,
                    remedy=f"Move one of them {tape.length(want - gap)} away, or frame the edge with flat bar.",
                )
    ends = (("fire seam", 0.0), ("stack seam", scene.vessel.length))
    for p in patches:
        for name, x in ends:
            if p.x0 - 1e-9 < x < p.x1 + 1e-9:
                draft.find(
                    "skin.past_end",
                    "stop",
                    f"{p.name} runs over the {name}.",
                    pieces=(p.name,),
                    clearance=-min(x - p.x0, p.x1 - x),
                    remedy="Move it in from the end.",
                )


def _doors_over_legs(draft: Draft, scene: Scene) -> None:
    tape, vessel = draft.tape, scene.vessel
    radius = vessel.outer_radius
    for leg_set in scene.leg_sets:
        if leg_set.x < 0.0:
            continue
        for leg in leg_set.legs:
            half_x = max(leg_set.profile.width, leg_set.pad_size) / 2.0
            half_c = max(leg_set.profile.height / 2.0, leg_set.pad_size / 2.0) / radius
            clock = (math.pi - leg.contact) * (1.0 if leg.side == "working" else -1.0)
            foot = Patch(
                name=f"leg {leg_set.name} {leg.side}",
                x0=leg_set.x - half_x,
                x1=leg_set.x + half_x,
                clock0=clock - half_c,
                clock1=clock + half_c,
            )
            for door in scene.doors:
                patch = Patch(name=door.name, x0=door.x0, x1=door.x1, clock0=door.hinge_clock, clock1=door.edge_clock)
                gap = skin_gap(patch, foot, radius)
                if gap < 2.0 * INCH:
                    edge, line = vessel.around_at(door.edge_clock), vessel.around_at(abs(clock))
                    toe = vessel.around_at(abs(clock) - half_c)
                    draft.find(
                        "doors.over_leg",
                        "stop" if gap < 0.0 else "warn",
                        f"{door.name}: its lower edge ({tape.length(edge)} around) "
                        + (
                            f"is {tape.length(edge - line)} past the leg line ({tape.length(line)}): the leg lands on the door."
                            if edge > line
                            else f"stands {tape.length(max(gap, 0.0))} from the leg at {tape.length(line)}."
                        ),
                        pieces=(door.name, foot.name),
                        clearance=gap,
                        remedy=f"The leg's toe is at {tape.length(toe)}: keep the edge above {tape.length(toe - 2.0 * INCH)}, or move the leg set.",
                    )


def _shell_and_rail(draft: Draft, scene: Scene) -> None:
    tape, vessel, base = draft.tape, scene.vessel, scene.base
    low = vessel.centre_z - vessel.outer_radius
    if scene.leg_sets and low - base.rail_top < DRAIN_ROOM:
        short = DRAIN_ROOM - (low - base.rail_top)
        grate = draft.job.order.grate_height
        draft.find(
            "base.shell_low",
            "stop" if low < base.rail_top else "warn",
            f"A grate {tape.length(grate)} off the floor puts the shell bottom at {tape.length(low)}, "
            + (
                f"{tape.length(base.rail_top - low)} below"
                if low < base.rail_top
                else f"{tape.length(low - base.rail_top)} over"
            )
            + f" the rail top ({tape.length(base.rail_top)}); the drain wants {tape.length(DRAIN_ROOM)}.",
            clearance=low - base.rail_top,
            remedy=f"With {tape.length(DRAIN_ROOM)} clear for the drain the lowest grate is {tape.length(grate + short)}; "
            "or use saddles, or lower rails.",
        )


def _firebox_and_base(draft: Draft, scene: Scene) -> None:
    tape, box, base = draft.tape, scene.firebox, scene.base
    skin = box.double_gap + box.outer_skin
    half = box.width / 2.0 + skin
    low = box.bottom_z
    rail_in = base.rail_y - base.rail.width / 2.0
    over = base.rail_x0 < box.x1 and base.rail_x1 > box.x0
    if over and low < base.rail_top:
        # the round's width at the rail top, or the box's
        at = base.rail_top - box.centre_z
        wide = half if box.shape == "box" else math.sqrt(max((box.height / 2.0 + skin) ** 2 - min(at, 0.0) ** 2, 0.0))
        gap = rail_in - wide
        if gap < 0.0:
            draft.find(
                "firebox.on_rail",
                "stop",
                f"The firebox is {tape.length(2 * wide)} wide at the rail top and the rails stand {tape.length(2 * rail_in)} apart inside: "
                f"it runs {tape.length(-gap)} into each rail.",
                pieces=("firebox", "rails"),
                clearance=gap,
                remedy=f"Set the rails {tape.length(2.0 * (wide + base.rail.width))} over the outside, stop them short of the firebox, or raise it.",
            )
        for member in base.crosses:
            if box.x0 - base.cross.width / 2.0 < member.x < box.x1 + base.cross.width / 2.0:
                draft.find(
                    "firebox.on_cross",
                    "stop",
                    f"A cross member at {tape.length(scene.vessel.station(member.x))} runs through the firebox, whose bottom is "
                    f"{tape.length(base.rail_top - low)} under the rail top.",
                    pieces=("firebox", "cross member"),
                    clearance=low - base.rail_top,
                    remedy="Set that cross member under the rails, or past the firebox end.",
                )
    door_low = box.inlet_z - box.ash_height / 2.0 if box.ash_height else box.door_z
    if base.rail_x0 < box.x0 and door_low < base.rail_top and box.door_width / 2.0 > rail_in - box.door_width:
        draft.find(
            "firebox.door_and_rail",
            "warn",
            f"The rails run {tape.length(box.x0 - base.rail_x0)} past the firebox end and stand {tape.length(base.rail_top - door_low)} "
            "over the ash door's sill: the door meets the rail as it swings.",
            pieces=("ash door", "rails"),
            clearance=door_low - base.rail_top,
            remedy="Hinge the ash door at its top or make it a lift-out, or end the rails at the firebox end.",
        )


def _slides(draft: Draft, scene: Scene) -> None:
    tape, vessel = draft.tape, scene.vessel
    for level in scene.grates.levels:
        if not level.slides:
            continue
        under = level.above_centre - 1.0 * INCH
        for door in scene.doors:
            sill = vessel.outer_radius * math.cos(door.edge_clock)
            if under < sill - 1e-6:
                draft.find(
                    "slides.sill",
                    "stop",
                    f"{level.name} cannot slide out of {door.name}: its frame is {tape.length(sill - under)} under the door's lower edge.",
                    pieces=(level.name, door.name),
                    clearance=under - sill,
                    remedy="Raise the level or lower the door's edge under the grate.",
                )
            head = vessel.outer_radius * math.cos(door.hinge_clock)
            if level.above_centre + 4.0 * INCH > head:
                draft.find(
                    "slides.head",
                    "stop",
                    f"{level.name} stands {tape.length(level.above_centre)} over the centre: meat on it meets the hinge edge of "
                    f"{door.name}.",
                    pieces=(level.name, door.name),
                    clearance=head - level.above_centre,
                    remedy="Move the hinge line up or the level down.",
                )
        for leg_set in scene.leg_sets:
            for leg in leg_set.legs:
                top = vessel.centre_z - vessel.outer_radius * math.cos(leg.contact)
                if leg.side == "working" and level.z - 1.5 * INCH < top:
                    draft.find(
                        "slides.leg",
                        "stop",
                        f"{level.name} slides out into leg {leg_set.name} on the working side.",
                        pieces=(level.name, f"leg {leg_set.name}"),
                        clearance=level.z - top,
                        remedy="Bring the leg's contact down the round.",
                    )


def _drain(draft: Draft, scene: Scene) -> None:
    tape, base = draft.tape, scene.base
    x = scene.grates.drain_x
    for member in base.crosses:
        gap = abs(member.x - x) - base.cross.width / 2.0 - 1.2 * INCH
        if gap < 1.0 * INCH:
            draft.find(
                "drain.on_cross",
                "warn",
                f"The drain at {tape.length(scene.vessel.station(x))} stands {'over' if gap < 0 else tape.length(gap) + ' from'} a cross member: "
                "no room for a valve and bucket.",
                pieces=("drain", "cross member"),
                clearance=gap,
                remedy=f"Move the drain {tape.length(1.0 * INCH - gap)}.",
            )
    for saddle in scene.saddles:
        gap = abs(saddle.x - x) - saddle.thickness / 2.0 - 1.2 * INCH
        if gap < 1.0 * INCH:
            draft.find(
                "drain.on_saddle",
                "stop",
                f"The drain at {tape.length(scene.vessel.station(x))} lands on saddle {saddle.name}.",
                pieces=("drain", f"saddle {saddle.name}"),
                clearance=gap,
                remedy=f"Move the drain {tape.length(1.0 * INCH - gap)}.",
            )


def overall(scene: Scene, handle_out: float) -> tuple[float, float, float, float]:
    """(length, width shut, width with doors open, height) of the standing pit [m]."""
    vessel, box, base, stack = scene.vessel, scene.firebox, scene.base, scene.stack
    end = vessel.stack_tangent + (vessel.stack_head.depth if vessel.stack_head is not None else 0.0)
    x0 = min(box.x0 - 2.0 * INCH, base.rail_x0)
    x1 = max(end, base.rail_x1, stack.x + stack.profile.height / 2.0)
    half = max(vessel.outer_radius, base.rails_outside / 2.0, box.width / 2.0 + box.double_gap + box.outer_skin)
    handle = vessel.outer_radius + handle_out
    shut = half + max(half, handle)
    reach = max((d.reach for d in scene.doors), default=0.0)
    slid = max((level.travel + level.width / 2.0 for level in scene.grates.levels), default=0.0)
    return x1 - x0, shut, half + max(half, handle, reach, slid), max(stack.top_z, *(d.edge_top_z for d in scene.doors))


def _passages(draft: Draft, scene: Scene) -> None:
    tape, ledger = draft.tape, draft.ledger
    length, width, open_width, height = overall(scene, draft.rules.doors.handle_out)
    ledger.note("overall.length", length, because="firebox end (or rail) to stack end")
    ledger.note("overall.width", width, because="over rails, shell and door handles, doors shut")
    ledger.note("overall.width_open", open_width, because="doors open and slides out")
    ledger.note("overall.height", height, because="floor to the top of the stack or an open door")
    mass = ledger.value("weight.empty")
    for passage in draft.job.order.passages:
        for what, has, room in (("width", min(width, length), passage.width), ("height", height, passage.height)):
            if room is not None and has > room - 1.0 * INCH:
                draft.find(
                    "passage.too_narrow",
                    "stop" if has > room else "warn",
                    f"{passage.name}: the pit's {what} is {tape.length(has)}, the way is {tape.length(room)}.",
                    pieces=("whole pit",),
                    clearance=room - has,
                    remedy="Take the stack off for the move (flange it)."
                    if what == "height"
                    else "Choose another way out before the steel is cut.",
                )
        if passage.weight is not None and mass > passage.weight:
            draft.find(
                "passage.too_heavy",
                "stop",
                f"{passage.name}: the pit weighs {tape.mass(mass)}, the limit is {tape.mass(passage.weight)}.",
                pieces=("whole pit",),
                remedy="Another way, or ship firebox and grates apart.",
            )


def _unreachable(draft: Draft, scene: Scene) -> None:
    vessel = scene.vessel
    if scene.firebox.joint == "dished":
        draft.find(
            "welds.inside",
            "note",
            "Both ends stay on: every inside weld (ledges, plate rests, throat edge) has to be done through the door openings. "
            "Cut the doors before fitting ledges, and ventilate: the vessel is a confined space.",
            source="29 CFR 1910.146 (from memory); local rules apply",
        )
    elif vessel.stack_head is not None:
        draft.find(
            "welds.inside",
            "note",
            "Weld ledges, plate rests and the inside of the stack before the throat plate closes the fire end; afterwards only "
            "the door openings are left to reach through.",
        )
    if scene.firebox.double_gap:
        draft.find(
            "welds.double_wall",
            "note",
            "The firebox's inner welds cannot be reached once the outer skin is on: finish and check them first.",
        )
