"""The stack of a vessel on end: straight up out of the middle of its top, or out of its back near the top and up."""

from __future__ import annotations

import math

from pitwright.errors import LayoutError
from pitwright.geometry.curves import Saddle
from pitwright.layout.clock import GIRTH_CAP
from pitwright.layout.draft import Draft
from pitwright.layout.model import Opening, StackLayout, VesselLayout
from pitwright.layout.place import bar_along
from pitwright.layout.stack import END_STAND_OFF, HOLE_POINTS, STEPS, damper_and_cap
from pitwright.layout.stack_place import stack_pipe
from pitwright.parts import Bar, CylinderCut, HeadCut, Placement, PlaneCut
from pitwright.tape import FOOT, INCH

BACK = math.pi  # clock of a stack out of the back


def lay_out_upright_stack(draft: Draft, vessel: VesselLayout) -> StackLayout:
    """Place and shape the stack; its pieces come with `upright_stack_parts`.

    Raises LayoutError where the pipe is too wide for the vessel.
    """
    rules, own, ledger, tape = draft.rules.stack, draft.rules.upright, draft.ledger, draft.tape
    profile = stack_pipe(draft, vessel)
    r = profile.height / 2.0
    if r >= 0.9 * vessel.inner_radius:
        raise LayoutError(
            "the stack is nearly as wide as the vessel",
            field="proportions.stack.profile",
            value=profile.designation,
            allowed=f"under {tape.length(1.8 * vessel.inner_radius)}",
            remedy="Choose a smaller pipe.",
        )
    head = vessel.stack_head
    plate = draft.rules.firebox.end_plate if head is None else head.depth
    top = vessel.seam_z + vessel.stack_tangent + plate
    height = ledger.choose(
        "stack.height", rules.height, because="stack over the top of the vessel, the shop's height",
        limits=(4.0 * INCH, 20.0 * FOOT),
    )  # fmt: skip
    top_z = top + height
    if own.stack == "head":
        ledger.note(
            "stack.length", height, rests_on=("stack.height",),
            because="square both ends: on the middle of the top a round meets it level all round, nothing to cope much",
        )  # fmt: skip
        return StackLayout(
            place="head", profile=profile, x=0.0, y=0.0, clock=0.0, length=height, ordinates=(),
            step=2.0 * math.pi * r / STEPS, hole_around=profile.height, hole_along=profile.height, base_z=top,
            top_z=top_z, inlet_z=top, reach_in=0.0, damper=rules.damper, cap=rules.cap,
        )  # fmt: skip
    at = ledger.choose(
        "stack.x",
        vessel.length - GIRTH_CAP - draft.rules.clock.girth_seam_clear - r,
        because="stack stub over the bottom seam: as near the top seam as its cap allows",
        rests_on=("vessel.length",),
        limits=(r, vessel.length - r),
    )
    wrap = Saddle(header_radius=vessel.outer_radius, branch_radius=r).template(STEPS)
    base_z, y = vessel.seam_z + at, -(vessel.outer_radius + END_STAND_OFF + r)
    ledger.note(
        "stack.length", top_z - base_z + r, because="riser, long point of the mitre to the top",
        rests_on=("stack.height", "stack.x"),
    )  # fmt: skip
    return StackLayout(
        place="back", profile=profile, x=0.0, y=y, clock=BACK, length=top_z - base_z + r,
        ordinates=tuple(step.ordinate for step in wrap.steps[:-1]), step=wrap.tape_step,
        hole_around=2.0 * vessel.outer_radius * math.asin(r / vessel.outer_radius), hole_along=2.0 * r, base_z=base_z,
        top_z=top_z, inlet_z=base_z, reach_in=0.0, damper=rules.damper, cap=rules.cap,
    )  # fmt: skip


def back_hole(stack: StackLayout, vessel: VesselLayout) -> CylinderCut | None:
    """The cut through the shell for a stack out of the back, in the shell's own frame; None where it leaves the top."""
    if stack.place != "back":
        return None
    return CylinderCut(
        point=(stack.base_z - vessel.seam_z, 0.0, 0.0),
        axis=(0.0, 0.0, -1.0),
        radius=stack.profile.height / 2.0 - stack.profile.wall,
        reach=(0.2 * vessel.outer_radius, math.inf),
    )


def upright_stack_parts(draft: Draft, vessel: VesselLayout, stack: StackLayout) -> None:
    """Pipe or stub and riser, damper and cap, and the opening the stack needs."""
    bore = stack.profile.height / 2.0 - stack.profile.wall
    if stack.place == "head":
        _straight(draft, vessel, stack)
        ring = tuple(
            (bore * math.cos(2 * math.pi * i / HOLE_POINTS), bore * math.sin(2 * math.pi * i / HOLE_POINTS))
            for i in range(HOLE_POINTS)
        )
        draft.openings.append(Opening(name="stack hole", on="top", outline=ring, area=math.pi * bore**2))
    else:
        _bent(draft, vessel, stack)
        along, around = Saddle(header_radius=vessel.outer_radius, branch_radius=bore).outline(HOLE_POINTS)
        at = stack.base_z - vessel.seam_z
        hole = tuple((at + float(s), vessel.outer_radius * BACK + float(a)) for s, a in zip(along, around, strict=True))
        draft.openings.append(Opening(name="stack hole", on="shell", outline=hole, area=math.pi * bore**2))
    damper_and_cap(draft, stack)


def _straight(draft: Draft, vessel: VesselLayout, stack: StackLayout) -> None:
    head, rise = vessel.stack_head, stack.top_z - stack.base_z
    start: PlaneCut | HeadCut = PlaneCut(point=(0.0, 0.0, 0.0), normal=(-1.0, 0.0, 0.0))
    if head is not None and head.kind != "flat":
        start = HeadCut(
            point=(-head.depth, 0.0, 0.0),
            axis=(1.0, 0.0, 0.0),
            radius=head.outer_radius,
            depth=head.depth,
            crown=head.crown,
            knuckle=head.knuckle,
        )
    draft.add(
        "S",
        "stack",
        "stack",
        Bar(
            profile=stack.profile,
            x0=0.0,
            x1=rise,
            start=start,
            finish=PlaneCut(point=(rise, 0.0, 0.0), normal=(1.0, 0.0, 0.0)),
        ),
        Placement(origin=(0.0, 0.0, stack.base_z), x=(0.0, 0.0, 1.0), y=(0.0, -1.0, 0.0), z=(1.0, 0.0, 0.0)),
        stack.profile.designation,
        notes=("plumb on the middle of the top",),
    )


def _bent(draft: Draft, vessel: VesselLayout, stack: StackLayout) -> None:
    half, radius, z = math.sqrt(0.5), vessel.outer_radius, stack.base_z
    run = -stack.y - radius
    draft.add(
        "S",
        "stack stub",
        "stack",
        Bar(
            profile=stack.profile,
            x0=0.0,
            x1=run,
            start=CylinderCut(point=(-radius, 0.0, 0.0), axis=(0.0, 0.0, 1.0), radius=radius),
            finish=PlaneCut(point=(run, 0.0, 0.0), normal=(half, 0.0, half)),
        ),
        bar_along((0.0, -radius, z), (0.0, stack.y, z), (0.0, 0.0, 1.0)),
        stack.profile.designation,
        notes=("coped to the shell, mitred to the riser",),
    )
    rise = stack.top_z - z
    draft.add(
        "S",
        "stack riser",
        "stack",
        Bar(
            profile=stack.profile,
            x0=0.0,
            x1=rise,
            start=PlaneCut(point=(0.0, 0.0, 0.0), normal=(-half, 0.0, -half)),
            finish=PlaneCut(point=(rise, 0.0, 0.0), normal=(1.0, 0.0, 0.0)),
        ),
        bar_along((0.0, stack.y, z), (0.0, stack.y, z + rise), (0.0, -1.0, 0.0)),
        stack.profile.designation,
    )
