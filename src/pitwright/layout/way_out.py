"""The standing pit's overall size against the ways it has to pass, and welds that must be made before it closes."""

from __future__ import annotations

from pitwright.layout.draft import Draft
from pitwright.layout.extent import Box, box_of
from pitwright.layout.model import FireboxLayout, StackLayout, VesselLayout
from pitwright.layout.scene import Scene
from pitwright.tape import INCH

OVER_ALL = {
    "stand": ("", "rails, outriggers, casters"),
    "cart": (", or the grips", "wheels, rails"),
    "trailer": (", or the coupler", "fenders, rails"),
}
"""What else may stand furthest out, along and across, by kind of base."""

SPARE = 1.0 * INCH  # wanted on each way out


def ends(box: FireboxLayout, vessel: VesselLayout, stack: StackLayout) -> tuple[float, float]:
    """How far what stands on the base reaches along the pit, from the fire door's gear to head or stack [m]."""
    head = vessel.stack_head.depth if vessel.stack_head is not None else 0.0
    return box.x0 - 2.0 * INCH, max(vessel.stack_tangent + head, stack.x + stack.profile.height / 2.0)


def overall(scene: Scene, handle_out: float, under: Box) -> tuple[float, float, float, float]:
    """(length, width shut, width with doors open, height) of the standing pit [m]; under: the box its base fills."""
    vessel, box, stack = scene.vessel, scene.firebox, scene.stack
    low, high = under
    first, last = ends(box, vessel, stack)
    x0, x1 = min(first, low[0]), max(last, high[0])
    half = max(vessel.outer_radius, -low[1], high[1], box.width / 2.0 + box.double_gap + box.outer_skin)
    handle = vessel.outer_radius + handle_out
    shut = half + max(half, handle)
    reach = max((d.reach for d in scene.doors), default=0.0)
    slid = max((level.travel + level.width / 2.0 for level in scene.grates.levels), default=0.0)
    top = max(stack.top_z, high[2], *(d.edge_top_z for d in scene.doors))
    return x1 - x0, shut, half + max(half, handle, reach, slid), top


def check_passages(draft: Draft, scene: Scene) -> None:
    """Overall sizes, and the gates and lifts the pit has to pass."""
    ledger = draft.ledger
    base, out = scene.base, scene.base.rails_outside / 2.0
    rails: Box = ((base.rail_x0, -out, 0.0), (base.rail_x1, out, base.rail_top))
    pieces = [part for part in draft.parts if part.group == "base"]
    under = box_of(pieces) if pieces else rails
    length, width, open_width, height = overall(scene, draft.rules.doors.handle_out, under)
    far, wide = OVER_ALL.get(base.kind, ("", "rails"))
    ledger.note("overall.length", length, because=f"firebox end (or rail) to stack end{far}")
    ledger.note("overall.width", width, because=f"over {wide}, shell and door handles, doors shut")
    ledger.note("overall.width_open", open_width, because="doors open and slides out")
    ledger.note("overall.height", height, because="floor to the top of the stack or an open door")
    passes(draft, length, width, height)


def passes(draft: Draft, length: float, width: float, height: float) -> None:
    """Whether a pit of these sizes goes through every gate and lift of the order [m]."""
    tape, mass = draft.tape, draft.ledger.value("weight.empty")
    for passage in draft.job.order.passages:
        for what, has, room in (("width", min(width, length), passage.width), ("height", height, passage.height)):
            if room is not None and has > room - SPARE:
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


def check_reach(draft: Draft, scene: Scene) -> None:
    """Welds that cannot be reached once something is closed."""
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
