"""What stands in the way of what on a vessel on end, and every point a person pulls with a tape.

Stations of a vessel on end are pulled from its bottom seam, arounds from its front line, positive away from the firebox:
the shell is marked lying on rolls, before it is stood up.
"""

from __future__ import annotations

import math

from pitwright.errors import LayoutError
from pitwright.layout.conflicts import openings_close, openings_on_seams
from pitwright.layout.draft import Draft
from pitwright.layout.fittings import check_shell_fittings
from pitwright.layout.marks import skin_around
from pitwright.layout.model import BaseLayout, DoorLayout, FireboxLayout, Mark, StackLayout, VesselLayout
from pitwright.layout.patches import Patch, skin_gap
from pitwright.layout.upright_model import Post, SideWindow
from pitwright.layout.upright_place import turned_open
from pitwright.layout.way_out import passes
from pitwright.tape import INCH

SEAMS = ("bottom seam", "top seam")


def door_opening(door: DoorLayout) -> Patch:
    """The door's opening; its hinge edge may be at the higher clock."""
    low, high = sorted((door.hinge_clock, door.edge_clock))
    return Patch(name=door.name, x0=door.x0, x1=door.x1, clock0=low, clock1=high)


def window_patch(window: SideWindow, radius: float) -> Patch:
    """What the firebox covers of the skin, weld and all."""
    xs, arounds = zip(*window.joint, strict=True)
    turn = (max(arounds) - min(arounds)) / radius
    return Patch(
        name="firebox window",
        x0=min(xs),
        x1=max(xs),
        clock0=window.clock - turn / 2.0,
        clock1=window.clock + turn / 2.0,
    )


def stack_patch(stack: StackLayout, vessel: VesselLayout) -> list[Patch]:
    """The hole of a stack out of the back."""
    if stack.place != "back":
        return []
    at, half = stack.base_z - vessel.seam_z, stack.hole_along / 2.0
    turn = stack.hole_around / 2.0 / vessel.outer_radius
    return [Patch(name="stack hole", x0=at - half, x1=at + half, clock0=math.pi - turn, clock1=math.pi + turn)]


def post_patches(posts: tuple[Post, ...], vessel: VesselLayout, width: float) -> list[Patch]:
    """Skin under the posts."""
    half = width / 2.0 / vessel.outer_radius
    return [
        Patch(name=f"post {i}", x0=0.0, x1=post.z1 - vessel.seam_z, clock0=post.clock - half, clock1=post.clock + half)
        for i, post in enumerate(posts, start=1)
    ]


def window_and_door(draft: Draft, radius: float, length: float, window: Patch, door: Patch) -> None:
    """Refuse a firebox whose weld runs into the door or over a girth seam.

    Raises LayoutError.
    """
    tape = draft.tape
    gap = skin_gap(window, door, radius)
    if gap < 0.0:
        raise LayoutError(
            f"the firebox runs {tape.length(-gap)} into the door: its weld ends {tape.length(window.x1)} over the bottom "
            f"seam, the door begins at {tape.length(door.x0)}",
            field="order.grate_height",
            value=tape.length(draft.job.order.grate_height),
            allowed=f"at least {tape.length(draft.job.order.grate_height - gap)}",
            remedy="Raise the lowest grate, set the door's edge nearer under it, or take a smaller firebox or a narrower door.",
        )
    for name, past in zip(SEAMS, (-window.x0, window.x1 - length), strict=True):
        if past > 0.0:
            raise LayoutError(
                f"the firebox runs {tape.length(past)} over the {name}",
                field="override.firebox.over_seam"
                if draft.ledger.overridden("firebox.over_seam")
                else "proportions.upright.firebox_size",
                value=tape.length((window.x0 + window.x1) / 2.0),
                allowed=f"{tape.length((window.x1 - window.x0) / 2.0)} to {tape.length(length - (window.x1 - window.x0) / 2.0)}",
                remedy="Keep the firebox on the straight shell.",
            )


def find_upright_conflicts(
    draft: Draft,
    vessel: VesselLayout,
    door: DoorLayout,
    window: SideWindow,
    stack: StackLayout,
    firebox: FireboxLayout,
    base: BaseLayout,
    posts: tuple[Post, ...],
    overall_z: float,
) -> None:
    """Every check; what it finds goes to the draft."""
    cut = [door_opening(door), window_patch(window, vessel.outer_radius), *stack_patch(stack, vessel)]
    openings_on_seams(draft, vessel, cut)
    openings_close(draft, vessel, cut, SEAMS)
    check_shell_fittings(draft, vessel, cut)
    tape = draft.tape
    for post in post_patches(posts, vessel, 0.5 * INCH):
        for opening in cut:
            gap = skin_gap(post, opening, vessel.outer_radius)
            if gap < 0.25 * INCH:
                draft.find(
                    "base.post_on_opening",
                    "stop" if gap < 0.0 else "warn",
                    f"{post.name} stands {tape.length(max(gap, 0.0))} from {opening.name}.",
                    pieces=(post.name, opening.name),
                    clearance=gap,
                    remedy="Turn the posts further round, or shorten their lap.",
                )
    draft.find(
        "base.no_legs",
        "note",
        "Leg rules do not apply: the vessel stands on end on four plumb posts, square at both ends, on a base "
        f"{tape.length(base.rails_outside)} square. There is no lean, no leg cut and no spreading.",
        pieces=("post",),
    )
    draft.find(
        "welds.inside",
        "note",
        "Ledges and bearers are welded through the door opening, the inside of the window before the grates go in. "
        "The vessel is a confined space: ventilate, and keep a second person outside.",
        source="29 CFR 1910.146 (from memory); local rules apply",
    )
    draft.find(
        "base.handling",
        "note",
        "It is built lying on rolls and stood up last. Stood up it is tall and narrow: lift it by forks under the base and "
        "strap it to the mast, or lay it down on timber for the road. A rigger decides how it is turned up.",
        pieces=("base",),
        source="common practice, no source",
    )
    _way_out(draft, vessel, door, firebox, stack, base, overall_z)


def _way_out(
    draft: Draft,
    vessel: VesselLayout,
    door: DoorLayout,
    firebox: FireboxLayout,
    stack: StackLayout,
    base: BaseLayout,
    overall_z: float,
) -> None:
    ledger, rules = draft.ledger, draft.rules.doors
    half = max(base.rails_outside / 2.0, vessel.outer_radius)
    x0 = min(firebox.x0 - 2.0 * INCH, -half)
    r = stack.profile.height / 2.0
    back = -min(-half, stack.y - r)
    front = max(half, vessel.outer_radius + rules.handle_out)
    side = 1 if door.hinge_clock > door.edge_clock else -1
    edge = vessel.skin(0.0, door.edge_clock, rules.handle_out)
    out = turned_open(door.pin, (edge[0], edge[1]), door.stop, side)
    length, width = half - x0, back + front
    open_width = back + max(front, door.reach)
    ledger.note("overall.length", length, because="firebox end to the other side of the base")
    ledger.note("overall.width", width, because="back to front over base, shell and door handle, door shut")
    ledger.note("overall.width_open", open_width, because="back to front, door open")
    ledger.note("overall.side_open", max(abs(out[0]), half), because="how far the open door reaches to its hinge side")
    ledger.note("overall.height", overall_z, because="floor to the top of the stack")
    passes(draft, length, width, overall_z)


def set_out_upright(
    draft: Draft,
    vessel: VesselLayout,
    door: DoorLayout,
    window: SideWindow,
    stack: StackLayout,
    base: BaseLayout,
    posts: tuple[Post, ...],
) -> None:
    """Add all marks to the draft."""

    def skin(x: float, clock: float, what: str, *, cut: bool = False) -> None:
        draft.marks.append(
            Mark(on="shell", along=vessel.station(x), around=skin_around(vessel, clock), what=what, needs=cut)
        )

    for name, clock in (
        ("front line", 0.0),
        ("far side line", math.pi / 2.0),
        ("back line", math.pi),
        ("firebox line", -math.pi / 2.0),
    ):
        skin(0.0, clock, f"{name}, bottom seam")
        skin(vessel.length, clock, f"{name}, top seam")
    for x, end in ((door.x0, "lower end"), (door.x1, "upper end")):
        skin(x, door.hinge_clock, f"{door.name} hinge edge, {end}", cut=True)
        skin(x, door.edge_clock, f"{door.name} latch edge, {end}", cut=True)
    middle = (window.x0 + window.x1) / 2.0
    skin(middle, window.clock, "firebox window centre", cut=True)
    skin(window.x0, window.clock, "firebox window, lower edge", cut=True)
    skin(window.x1, window.clock, "firebox window, upper edge", cut=True)
    for turn, side in ((window.half_clock, "front side"), (-window.half_clock, "back side")):
        skin(middle, window.clock + turn, f"firebox window, {side}", cut=True)
    for i, post in enumerate(posts, start=1):
        skin(0.0, post.clock, f"post {i} centre")
    if stack.place == "back":
        at, half = stack.base_z - vessel.seam_z, stack.hole_along / 2.0
        skin(at, stack.clock, "stack centre", cut=True)
        skin(at - half, stack.clock, "stack footprint, lower edge", cut=True)
        skin(at + half, stack.clock, "stack footprint, upper edge", cut=True)
    far = base.rail_x1
    found = [(0.0, "rail end (far side)"), (far - base.rail_x0, "rail end (firebox side)")]
    found += [(far - cross.x, f"cross member, {cross.under}") for cross in base.crosses]
    for along, what in sorted(found):
        draft.marks.append(Mark(on="rails", along=along, around=0.0, what=what))
