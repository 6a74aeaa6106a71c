"""What stands in the way of what: edges on seams, openings too close, moving pieces, floor, gates, welds out of reach.

Each check names the pieces, the clearance and a way out. Swings of the doors are swept in `doors`, cross members and
fork pockets in `skid`; this is the rest, on the solved pit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from pitwright.layout.draft import Draft
from pitwright.layout.firebox_front import INLET_FILL
from pitwright.layout.fittings import check_fittings
from pitwright.layout.grates import MESH
from pitwright.layout.model import VesselLayout
from pitwright.layout.patches import Patch, door_patch, foot_patch, keep_patch, skin_gap
from pitwright.layout.running_checks import check_running
from pitwright.layout.scene import Scene
from pitwright.layout.stack import hole_clocks
from pitwright.layout.way_out import check_passages, check_reach
from pitwright.stock import find_profile
from pitwright.tape import INCH

LEG_CLEAR = 2.0 * INCH  # door edge to leg toe (common practice, no source)
DRAIN_WIDTH = 2.4 * INCH  # over the nipple
DRAIN_CLEAR = 1.0 * INCH
MEAT_HEIGHT = 4.0 * INCH  # over an upper grate, to the door's hinge edge
DRAIN_ROOM = 6.0 * INCH  # for a bucket under the drain (common practice, no source)


def find_conflicts(draft: Draft, scene: Scene) -> None:
    """Run every check; what it finds goes to the draft."""
    cut_out = opening_patches(scene)
    openings_on_seams(draft, scene.vessel, cut_out)
    openings_close(draft, scene.vessel, cut_out)
    _doors_over_legs(draft, scene)
    _shell_and_rail(draft, scene)
    _firebox_and_base(draft, scene)
    _slides(draft, scene)
    _drain(draft, scene)
    check_running(draft, scene)
    check_fittings(draft, scene, cut_out)
    check_passages(draft, scene)
    check_reach(draft, scene)


def opening_patches(scene: Scene) -> list[Patch]:
    """Everything that is cut out of the shell."""
    out = [door_patch(d) for d in scene.doors]
    stack, radius = scene.stack, scene.vessel.outer_radius
    if stack.place == "top":
        half = stack.hole_along / 2.0
        back, front = hole_clocks(stack, scene.vessel)
        out.append(Patch(name="stack hole", x0=stack.x - half, x1=stack.x + half, clock0=back, clock1=front))
    half, g = 1.25 * INCH, scene.grates
    out.append(
        Patch(
            name="drain",
            x0=g.drain_x - half,
            x1=g.drain_x + half,
            clock0=g.drain_clock - half / radius,
            clock1=g.drain_clock + half / radius,
        )
    )
    return out


def openings_on_seams(draft: Draft, vessel: VesselLayout, openings: Sequence[Patch]) -> None:
    """Openings whose edges come too near a seam, a patch or a fitting."""
    tape, radius = draft.tape, vessel.outer_radius
    serving = {f.name for f in vessel.fittings if f.serves}
    for opening in openings:
        for keep in vessel.keep_outs:
            if keep.name in serving:
                continue
            gap = skin_gap(opening, keep_patch(keep), radius)
            if gap >= keep.clear - 1e-6:
                continue
            through, door, seam = gap < 0.0, opening.name.startswith("door"), "seam" in keep.name
            if through:
                after = (
                    "The cut-out skin will spring along the old weld."
                    if door and seam
                    else "Deal with it before the cut."
                )
            else:
                after = "Its cap lies under the band." if door and seam else "Welds that near pull on each other."
            draft.find(
                "skin.opening_on_seam",
                "warn",
                f"{opening.name}: {keep.name} runs {'through the opening' if through else tape.length(gap) + ' from its edge'}; "
                f"the shop wants {tape.length(keep.clear)}. {after}",
                pieces=(opening.name, keep.name),
                clearance=gap,
                source="common practice, no source",
                remedy="Turn the vessel (see the other ways up on the cover), or move the opening.",
            )


def openings_close(
    draft: Draft, vessel: VesselLayout, patches: Sequence[Patch], seams: tuple[str, str] = ("fire seam", "stack seam")
) -> None:
    """Openings too near each other, or past a seam; `seams` are the names of those at x = 0 and at the other end."""
    tape, radius = draft.tape, vessel.outer_radius
    want = draft.rules.shop.ligament
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
    for p in patches:
        for name, past in zip(seams, (-p.x0, p.x1 - vessel.length), strict=True):
            if past > 1e-9:
                draft.find(
                    "skin.past_end",
                    "stop",
                    f"{p.name} runs {tape.length(past)} over the {name}.",
                    pieces=(p.name,),
                    clearance=-past,
                    remedy="Move it in from the end.",
                )


def _doors_over_legs(draft: Draft, scene: Scene) -> None:
    tape, vessel = draft.tape, scene.vessel
    radius = vessel.outer_radius
    for leg_set in scene.leg_sets:
        if leg_set.x < 0.0:
            continue
        for leg in leg_set.legs:
            foot = foot_patch(leg_set, leg, radius)
            clock = math.pi - leg.contact
            half = (foot.clock1 - foot.clock0) / 2.0
            for door in scene.doors:
                gap = skin_gap(door_patch(door), foot, radius)
                if gap >= LEG_CLEAR - 1e-6:
                    continue
                edge, line, toe = (vessel.around_at(c) for c in (door.edge_clock, clock, clock - half))
                past = edge - line
                draft.find(
                    "doors.over_leg",
                    "stop" if gap < 0.0 else "warn",
                    f"{door.name}: its lower edge ({tape.length(edge)} around) "
                    + (
                        f"is {tape.length(past)} past the line of {foot.name} ({tape.length(line)}): the leg lands on the door."
                        if gap < 0.0 and past > 0.0
                        else f"laps the toe of {foot.name} by {tape.length(-gap)}."
                        if gap < 0.0
                        else f"stands {tape.length(gap)} from {foot.name} at {tape.length(line)}."
                    ),
                    pieces=(door.name, foot.name),
                    clearance=gap,
                    remedy=f"The leg's toe is at {tape.length(toe)}: keep the edge above {tape.length(toe - LEG_CLEAR)}, "
                    "or move the leg set.",
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
    swings = box.inlets * box.inlet_width / INLET_FILL if box.ash_height else box.door_width
    sill = box.inlet_z - box.ash_height / 2.0 if box.ash_height else box.door_z
    name = "ash door" if box.ash_height else "fire door"
    if base.rail_x0 < box.x0 and sill < base.rail_top and 1.5 * swings > rail_in:
        draft.find(
            "firebox.door_and_rail",
            "warn",
            f"The rails run {tape.length(box.x0 - base.rail_x0)} past the firebox end and stand {tape.length(base.rail_top - sill)} "
            f"over the {name}'s sill: it meets the rail as it swings.",
            pieces=(name, "rails"),
            clearance=sill - base.rail_top,
            remedy=f"Hinge the {name} at its top or make it a lift-out, or end the rails at the firebox end.",
        )


def _slides(draft: Draft, scene: Scene) -> None:
    tape, vessel = draft.tape, scene.vessel
    frame = find_profile(draft.rules.grates.frame, field="proportions.grates.frame")
    for level in scene.grates.levels:
        if not level.slides:
            continue
        under = level.above_centre - MESH - frame.height
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
            if level.above_centre + MEAT_HEIGHT > head:
                draft.find(
                    "slides.head",
                    "stop" if level.above_centre > head else "warn",
                    f"{level.name} stands {tape.length(level.above_centre)} over the centre: "
                    f"{'it' if level.above_centre > head else 'meat on it'} meets the hinge edge of {door.name}.",
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
        gap = abs(member.x - x) - base.cross.width / 2.0 - DRAIN_WIDTH / 2.0
        if gap < DRAIN_CLEAR - 1e-6:
            draft.find(
                "drain.on_cross",
                "warn",
                f"The drain at {tape.length(scene.vessel.station(x))} stands {'over' if gap < 0 else tape.length(gap) + ' from'} a cross member: "
                "no room for a valve and bucket.",
                pieces=("drain", "cross member"),
                clearance=gap,
                remedy=f"Move the drain {tape.length(DRAIN_CLEAR - gap)}.",
            )
    for saddle in scene.saddles:
        gap = abs(saddle.x - x) - saddle.thickness / 2.0 - DRAIN_WIDTH / 2.0
        if gap < DRAIN_CLEAR - 1e-6:
            draft.find(
                "drain.on_saddle",
                "stop",
                f"The drain at {tape.length(scene.vessel.station(x))} lands on saddle {saddle.name}.",
                pieces=("drain", f"saddle {saddle.name}"),
                clearance=gap,
                remedy=f"Move the drain {tape.length(DRAIN_CLEAR - gap)}.",
            )
