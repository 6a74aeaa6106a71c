"""The stack: where it stands, its saddle or elbow, its hole, damper and cap."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from pitwright.errors import LayoutError
from pitwright.geometry.curves import Saddle
from pitwright.layout.door_parts import DoorEdges
from pitwright.layout.draft import Draft
from pitwright.layout.model import Opening, StackLayout, VesselLayout
from pitwright.layout.place import bar_along
from pitwright.layout.stack_place import stack_behind, stack_pipe
from pitwright.meridian import outer_face
from pitwright.parts import Bar, CylinderCut, HeadCut, Outline, Placement, PlaneCut, Plate
from pitwright.stock import Profile
from pitwright.tape import FOOT, INCH

STEPS = 16  # tape steps round the pipe on the sheet
HOLE_POINTS = 64
SEAM_CAP = 0.25 * INCH  # half the width of a girth seam's weld cap
END_STAND_OFF = 2.0 * INCH  # an end stack's riser stands this far clear of the head
DAMPER_THICKNESS = 0.1345 * INCH  # 10 gauge
CAP_LAP = 0.5 * INCH


def lay_out_stack(
    draft: Draft, vessel: VesselLayout, grate_above: float, doors: Sequence[DoorEdges] = ()
) -> StackLayout:
    """Place and shape the stack; its pieces come with `stack_parts`.

    grate_above  main grate over the vessel's centre, which an end stack draws from [m]
    doors        openings it has to stand clear of
    Raises LayoutError where the pipe does not land on the vessel.
    """
    rules, ledger = draft.rules.stack, draft.ledger
    profile = stack_pipe(draft, vessel)
    reverse = draft.job.order.flow == "reverse"
    if rules.place == "end":
        if reverse:
            raise LayoutError(
                "a reverse-flow stack stands over the fire end, where the firebox is",
                field="proportions.stack.place",
                value="end",
                allowed="top",
                remedy='Set place = "top".',
            )
        return _end_stack(draft, vessel, profile, grate_above)
    r = profile.height / 2.0
    if r >= vessel.outer_radius:
        raise LayoutError(
            "the stack is wider than the vessel",
            field="proportions.stack.profile",
            value=profile.designation,
            allowed=f"under {draft.tape.length(2.0 * vessel.outer_radius)}",
            remedy="Choose a smaller pipe.",
        )
    seam = "fire" if reverse else "stack"
    at = draft.share(rules.at, vessel.outer_radius, vessel.length)
    least = r + SEAM_CAP + draft.rules.clock.girth_seam_clear
    gave = ""
    if at < least - 1e-9:
        gave = f"the shop's {draft.tape.length(at)}: the hole would come too near the {seam} seam"
        at = least
    x = ledger.choose(
        "stack.x",
        at if reverse else vessel.length - at,
        because=f"stack centre {draft.said(rules.at)} from the {seam} seam",
        rests_on=("vessel.length",),
        gave_way=gave,
        limits=(r, vessel.length - r),
    )
    behind = stack_behind(draft, vessel, profile, x, doors)
    radius = vessel.outer_radius
    try:
        saddle = Saddle(header_radius=radius, branch_radius=r, offset=-behind)
    except LayoutError as problem:
        raise LayoutError(
            problem.message,
            field="proportions.stack.behind_top",
            value=draft.tape.length(behind),
            allowed=f"within {draft.tape.length(radius - r)} of the top line",
            remedy=problem.remedy,
        ) from problem
    wrap = saddle.template(STEPS)
    back, front = (math.asin((s * r - behind) / radius) for s in (-1.0, 1.0))
    height = _height(draft)
    skin_z = vessel.centre_z + math.sqrt(radius**2 - behind**2)
    top_z = vessel.centre_z + radius + height
    longest = vessel.centre_z + min(step.reach for step in wrap.steps)
    lowest = longest if rules.reach_in == 0.0 else skin_z - vessel.wall - rules.reach_in
    ledger.note(
        "stack.length",
        top_z - lowest,
        because="from the longest point of the saddle to the top",
        rests_on=("stack.height", "stack.behind_top"),
    )
    ledger.note(
        "stack.cope",
        wrap.depth,
        because="depth of the saddle cut",
        formula="max - sqrt(R^2 - (e + r sin c)^2)",
        rests_on=("vessel.diameter", "stack.behind_top"),
        source="intersection of two cylinders",
    )
    return StackLayout(
        place="top",
        profile=profile,
        x=x,
        y=-behind,
        clock=-math.asin(behind / radius),
        length=top_z - lowest,
        ordinates=tuple(step.ordinate for step in wrap.steps[:-1]),
        step=wrap.tape_step,
        hole_around=radius * (front - back),
        hole_along=2.0 * r,
        base_z=skin_z,
        top_z=top_z,
        inlet_z=lowest,
        reach_in=rules.reach_in,
        damper=rules.damper,
        cap=rules.cap,
    )


def _end_stack(draft: Draft, vessel: VesselLayout, profile: Profile, grate_above: float) -> StackLayout:
    """A level stub out of the stack-end head, an elbow mitred at 45 degrees, a riser."""
    rules, ledger = draft.rules.stack, draft.ledger
    r = profile.height / 2.0
    room = vessel.inner_radius - r - 1.0 * INCH
    if room <= 0.0:
        raise LayoutError(
            "the stack is wider than the vessel's end",
            field="proportions.stack.profile",
            value=profile.designation,
            allowed=f"under {draft.tape.length(2 * vessel.inner_radius)}",
            remedy="Choose a smaller pipe.",
        )
    low = min(max(grate_above + 0.5 * r, -room), room)
    v = ledger.choose(
        "stack.end_height",
        low,
        because="an end stack draws at the main grate, so that smoke stays on the meat",
        rests_on=("grates.below_centre",),
        limits=(-room, room),
    )
    height = _height(draft)
    head = vessel.stack_head
    deepest = draft.rules.firebox.end_plate if head is None else head.depth
    x = vessel.stack_tangent + deepest + END_STAND_OFF + r
    top_z = vessel.centre_z + vessel.outer_radius + height
    ledger.note(
        "stack.length",
        top_z - (vessel.centre_z + v) + r,
        because="riser, long point of the mitre to the top",
        rests_on=("stack.height", "stack.end_height"),
    )
    return StackLayout(
        place="end",
        profile=profile,
        x=x,
        y=0.0,
        clock=0.0,
        length=top_z - (vessel.centre_z + v) + r,
        ordinates=(),
        step=2.0 * math.pi * r / STEPS,
        hole_around=profile.height,
        hole_along=profile.height,
        base_z=vessel.centre_z + v,
        top_z=top_z,
        inlet_z=vessel.centre_z + v,
        reach_in=0.0,
        damper=rules.damper,
        cap=rules.cap,
    )


def _height(draft: Draft) -> float:
    """Top of the stack over the top of the shell [m]."""
    return draft.ledger.choose(
        "stack.height",
        draft.rules.stack.height,
        because="stack over the top of the shell, the shop's height",
        limits=(4.0 * INCH, 20.0 * FOOT),
    )


def _head_height(vessel: VesselLayout, plate: float, v: float) -> float:
    """How far the stack end stands out past its tangent line at a height from the axis [m]; `plate` closes an open end."""
    head = vessel.stack_head
    if head is None:
        return plate
    return float(outer_face(head, np.array([abs(v)]))[0])


def hole_clocks(stack: StackLayout, vessel: VesselLayout) -> tuple[float, float]:
    """Clocks of the hole's back and front edges on the shell [rad]; it is not even about its centre where set behind."""
    radius, r = vessel.outer_radius, stack.profile.height / 2.0
    return math.asin(max((stack.y - r) / radius, -1.0)), math.asin(min((stack.y + r) / radius, 1.0))


def stack_hole(stack: StackLayout, vessel: VesselLayout) -> CylinderCut | None:
    """The cut through the shell, in the shell's own frame (x from the fire seam, axis at z = 0); None for an end stack."""
    if stack.place == "end":
        return None
    radius = stack.profile.height / 2.0 - (0.0 if stack.reach_in else stack.profile.wall)
    return CylinderCut(
        point=(stack.x, stack.y, 0.0), axis=(0.0, 0.0, 1.0), radius=radius, reach=(0.2 * vessel.outer_radius, math.inf)
    )


def stack_parts(draft: Draft, vessel: VesselLayout, stack: StackLayout) -> None:
    """Pipe, elbow, damper and cap, and the opening the stack needs."""
    if stack.place == "top":
        _top_pipe(draft, vessel, stack)
    else:
        _end_pipes(draft, vessel, stack)
    damper_and_cap(draft, stack)


def damper_and_cap(draft: Draft, stack: StackLayout) -> None:
    """The damper's blade in the pipe and the cap on it, as the shop fits them."""
    bore = stack.profile.height - 2.0 * stack.profile.wall
    if stack.damper == "flap":
        blade = Plate(outline=Outline.circle(0.0, 0.0, bore / 2.0 - 0.125 * INCH), thickness=DAMPER_THICKNESS)
        z = stack.base_z + 0.35 * (stack.top_z - stack.base_z)
        draft.add(
            "S",
            "damper blade",
            "stack",
            blade,
            Placement(origin=(stack.x, stack.y, z)),
            draft.plate(DAMPER_THICKNESS),
            moving="damper",
            notes=(f"turns on a {draft.tape.length(0.5 * INCH)} rod; never let it shut the stack full",),
        )
    if stack.cap == "hinged":
        cap = Plate(outline=Outline.circle(0.0, 0.0, stack.profile.height / 2.0 + CAP_LAP), thickness=DAMPER_THICKNESS)
        draft.add(
            "S",
            "rain cap",
            "stack",
            cap,
            Placement(origin=(stack.x, stack.y, stack.top_z)),
            draft.plate(DAMPER_THICKNESS),
            moving="cap",
            notes=("open before lighting",),
        )


def _top_pipe(draft: Draft, vessel: VesselLayout, stack: StackLayout) -> None:
    top = PlaneCut(point=(stack.top_z - stack.base_z, 0.0, 0.0), normal=(1.0, 0.0, 0.0))
    start: PlaneCut | CylinderCut
    if stack.reach_in:
        start = PlaneCut(point=(stack.inlet_z - stack.base_z, 0.0, 0.0), normal=(-1.0, 0.0, 0.0))
        x0 = stack.inlet_z - stack.base_z
    else:
        # local x is up, local y along the pit's +y reversed; the vessel's axis lies along the pit's x = local z
        start = CylinderCut(
            point=(vessel.centre_z - stack.base_z, stack.y, 0.0), axis=(0.0, 0.0, 1.0), radius=vessel.outer_radius
        )
        x0 = 0.0
    pipe = Bar(profile=stack.profile, x0=x0, x1=stack.top_z - stack.base_z, start=start, finish=top)
    draft.add(
        "S",
        "stack",
        "stack",
        pipe,
        Placement(origin=(stack.x, stack.y, stack.base_z), x=(0.0, 0.0, 1.0), y=(0.0, -1.0, 0.0), z=(1.0, 0.0, 0.0)),
        stack.profile.designation,
        notes=("roll the seam to the back",),
    )
    station, around = Saddle(
        header_radius=vessel.outer_radius,
        branch_radius=stack.profile.height / 2.0 - (0.0 if stack.reach_in else stack.profile.wall),
        offset=stack.y,
    ).outline(HOLE_POINTS)
    hole = tuple((stack.x + float(s), float(a)) for s, a in zip(station, around))
    area = math.pi / 4.0 * (stack.profile.height - 2.0 * stack.profile.wall) ** 2
    draft.openings.append(Opening(name="stack hole", on="shell", outline=hole, area=area))


def _end_pipes(draft: Draft, vessel: VesselLayout, stack: StackLayout) -> None:
    z, v = stack.base_z, stack.base_z - vessel.centre_z
    half = math.sqrt(0.5)
    head = vessel.stack_head
    face = vessel.stack_tangent + _head_height(vessel, draft.rules.firebox.end_plate, v)
    start: PlaneCut | HeadCut
    if head is None or head.kind == "flat":
        start = PlaneCut(point=(0.0, 0.0, 0.0), normal=(-1.0, 0.0, 0.0))
    else:
        start = HeadCut(
            point=(vessel.stack_tangent - face, 0.0, -v),
            axis=(1.0, 0.0, 0.0),
            radius=head.outer_radius,
            depth=head.depth,
            crown=head.crown,
            knuckle=head.knuckle,
        )
    run = stack.x - face
    stub = Bar(
        profile=stack.profile,
        x0=0.0,
        x1=run,
        start=start,
        finish=PlaneCut(point=(run, 0.0, 0.0), normal=(half, 0.0, half)),
    )
    draft.add(
        "S",
        "stack stub",
        "stack",
        stub,
        bar_along((face, 0.0, z), (stack.x, 0.0, z), (0.0, 0.0, 1.0)),
        stack.profile.designation,
    )
    rise = stack.top_z - z
    riser = Bar(
        profile=stack.profile,
        x0=0.0,
        x1=rise,
        start=PlaneCut(point=(0.0, 0.0, 0.0), normal=(-half, 0.0, -half)),
        finish=PlaneCut(point=(rise, 0.0, 0.0), normal=(1.0, 0.0, 0.0)),
    )
    draft.add(
        "S",
        "stack riser",
        "stack",
        riser,
        bar_along((stack.x, 0.0, z), (stack.x, 0.0, z + rise), (1.0, 0.0, 0.0)),
        stack.profile.designation,
    )
    bore = stack.profile.height / 2.0 - stack.profile.wall
    ring = tuple(
        (bore * math.cos(2 * math.pi * i / HOLE_POINTS), v + bore * math.sin(2 * math.pi * i / HOLE_POINTS))
        for i in range(HOLE_POINTS)
    )
    draft.openings.append(Opening(name="stack hole", on="stack end", outline=ring, area=math.pi * bore**2))
