"""Wheels, fenders, casters, tongue and handles against doors, slides, firebox, drain and the hot end."""

from __future__ import annotations

import math

from pitwright.layout.draft import Draft
from pitwright.layout.model import DoorLayout
from pitwright.layout.running import Axle
from pitwright.layout.scene import Scene
from pitwright.tape import INCH

HAND = 2.0 * INCH  # under a door's handle (common practice, no source)
SKIN = 1.0 * INCH  # fender to shell
TYRE_HEAT = 6.0 * INCH  # tyre to firebox (common practice, no source)
DRAIN_ROOM = 3.0 * INCH
DRAIN_HALF = 2.25 * INCH  # half a drain and a hand beside it
CRANK = 8.0 * INCH  # jack's crank to steel
TAILGATE = 30.0 * INCH  # ball to the first steel behind it (common practice, no source)


def check_running(draft: Draft, scene: Scene) -> None:
    """Run every check on what the base rolls or stands on; what it finds goes to the draft."""
    for axle in scene.base.axles:
        _fender_and_shell(draft, scene, axle)
        _wheel_and_firebox(draft, scene, axle)
        _drain(draft, scene, axle)
        for door in scene.doors:
            _door_over_wheel(draft, scene, axle, door)
        _slides_over_wheel(draft, scene, axle)
    _casters_and_firebox(draft, scene)
    _stretchers_and_drain(draft, scene)
    _tongue(draft, scene)
    _handles(draft, scene)


def _top(draft: Draft, scene: Scene, axle: Axle) -> float:
    """Highest steel or rubber of a wheel over the floor [m]."""
    fender = scene.base.kind == "trailer" and draft.rules.trailer.fenders != "none"
    return 2.0 * axle.radius + (draft.rules.trailer.tyre_over if fender else 0.0)


def _half_length(draft: Draft, scene: Scene, axle: Axle) -> float:
    return _top(draft, scene, axle) - axle.radius


def _named(scene: Scene) -> str:
    return "fender" if scene.base.kind == "trailer" else "wheel"


def _fender_and_shell(draft: Draft, scene: Scene, axle: Axle) -> None:
    tape, vessel = draft.tape, scene.vessel
    inner, top = scene.base.rails_outside / 2.0, _top(draft, scene, axle)
    if axle.x + _half_length(draft, scene, axle) < 0.0 or axle.x - _half_length(draft, scene, axle) > vessel.length:
        return
    gap = math.hypot(inner, max(vessel.centre_z - top, 0.0)) - vessel.outer_radius
    if gap < SKIN:
        draft.find(
            "wheels.on_shell",
            "stop" if gap < 0.0 else "warn",
            f"The {_named(scene)} by the {axle.name} comes within {tape.length(max(gap, 0.0))} of the shell."
            if gap >= 0.0
            else f"The {_named(scene)} by the {axle.name} runs {tape.length(-gap)} into the shell.",
            pieces=(_named(scene), "shell"),
            clearance=gap,
            remedy="Spread the rails, raise the grate, or take smaller wheels.",
        )


def _wheel_and_firebox(draft: Draft, scene: Scene, axle: Axle) -> None:
    tape, box = draft.tape, scene.firebox
    if axle.x + axle.radius < box.x0 or axle.x - axle.radius > box.x1 or box.bottom_z > 2.0 * axle.radius + TYRE_HEAT:
        return
    half = box.width / 2.0 + (box.double_gap + box.outer_skin if box.double_gap else 0.0)
    gap = axle.track / 2.0 - axle.width / 2.0 - half
    if gap < TYRE_HEAT:
        draft.find(
            "wheels.by_firebox",
            "stop" if gap < 0.0 else "warn",
            f"A wheel of the {axle.name} stands {tape.length(max(gap, 0.0))} from the firebox's side: rubber that near to the "
            "fire is spoiled and may burn."
            if gap >= 0.0
            else f"A wheel of the {axle.name} stands {tape.length(-gap)} inside the firebox's side.",
            pieces=("wheel", "firebox"),
            clearance=gap - TYRE_HEAT,
            remedy="Shield it with plate and an air gap, spread the rails, or move the axle off the firebox.",
            source="common practice, no source",
        )


def _drain(draft: Draft, scene: Scene, axle: Axle) -> None:
    gap = abs(axle.x - scene.grates.drain_x)
    if gap < DRAIN_ROOM:
        draft.find(
            "wheels.drain",
            "warn",
            f"The drain stands {draft.tape.length(gap)} from the {axle.name}: hot grease runs on it and a bucket has no room.",
            pieces=("drain", "axle"),
            clearance=gap - DRAIN_ROOM,
            remedy="Pipe the drain to the side, or move it (drain.x).",
        )


def _over(scene: Scene, draft: Draft, axle: Axle, x0: float, x1: float) -> bool:
    half = _half_length(draft, scene, axle)
    return x0 < axle.x + half and x1 > axle.x - half


def _door_over_wheel(draft: Draft, scene: Scene, axle: Axle, door: DoorLayout) -> None:
    """The lower edge and its handle only rise as the door opens: they are lowest shut."""
    if not _over(scene, draft, axle, door.x0, door.x1):
        return
    tape, vessel = draft.tape, scene.vessel
    reach = vessel.outer_radius + draft.rules.doors.handle_out
    y, z = reach * math.sin(door.edge_clock), vessel.centre_z + reach * math.cos(door.edge_clock)
    top = _top(draft, scene, axle)
    gap = z - HAND - top
    if gap < 0.0 and y + HAND > scene.base.rails_outside / 2.0:
        draft.find(
            "wheels.under_door",
            "stop" if z < top else "warn",
            f"The handle of {door.name} shut is {tape.length(z)} off the floor, the {_named(scene)} under it {tape.length(top)}: "
            + ("it cannot shut." if z < top else "no room for a hand."),
            pieces=(door.name, _named(scene)),
            clearance=gap,
            remedy="Raise the grate, take smaller wheels, or move the axle from under the door.",
        )


def _slides_over_wheel(draft: Draft, scene: Scene, axle: Axle) -> None:
    top = _top(draft, scene, axle)
    for level in scene.grates.levels:
        low = level.z - 1.5 * INCH
        reach = level.travel + level.width / 2.0
        if level.slides and low < top and reach > scene.base.rails_outside / 2.0 and _over(scene, draft, axle, level.x0, level.x1):  # fmt: skip
            draft.find(
                "wheels.under_slide",
                "stop",
                f"{level.name} slides out {draft.tape.length(low)} off the floor, into the {_named(scene)} "
                f"({draft.tape.length(top)}).",
                pieces=(level.name, _named(scene)),
                clearance=low - top,
                remedy="Raise the grate, or take smaller wheels.",
            )


def _casters_and_firebox(draft: Draft, scene: Scene) -> None:
    box, rules, tape = scene.firebox, draft.rules.stand, draft.tape
    half = box.width / 2.0 + (box.double_gap + box.outer_skin if box.double_gap else 0.0)
    for support in scene.base.supports:
        if support.kind != "caster" or support.y < 0.0:
            continue
        swing = support.trail + rules.caster_wheel / 2.0
        near = box.x0 - swing < support.x < box.x1 + swing
        gap = support.y - swing - half
        if near and box.bottom_z < support.top and gap < 0.0:
            draft.find(
                "stand.caster_on_firebox",
                "stop",
                f"The wheel of {support.name} swings {tape.length(-gap)} into the firebox, whose bottom is "
                f"{tape.length(box.bottom_z)} off the floor.",
                pieces=("caster", "firebox"),
                clearance=gap,
                remedy="Set the casters further apart (stand.casters_apart), raise the firebox, or stand it on feet.",
            )


def _stretchers_and_drain(draft: Draft, scene: Scene) -> None:
    x, tape = scene.grates.drain_x, draft.tape
    for brace in scene.base.braces:
        gap = abs(brace.start[0] - x) - brace.profile.width / 2.0
        if brace.name.startswith("stretcher") and gap < DRAIN_HALF:
            draft.find(
                "stand.drain",
                "warn",
                f"The drain stands {'over' if gap <= 0.0 else tape.length(gap) + ' from'} the {brace.name}: no room for a valve "
                "and bucket.",
                pieces=("drain", brace.name),
                clearance=gap - DRAIN_HALF,
                remedy=f"Move the drain {tape.length(DRAIN_HALF - gap)} (drain.x), or leave that stretcher out.",
            )


def _end_x(scene: Scene, way: int) -> float:
    """The furthest hot steel at an end [m]."""
    vessel, stack = scene.vessel, scene.stack
    if way < 0:
        return scene.firebox.x0
    end = vessel.stack_tangent + (vessel.stack_head.depth if vessel.stack_head is not None else 0.0)
    return max(end, stack.x + stack.profile.height / 2.0)


def _tongue(draft: Draft, scene: Scene) -> None:
    tongue, tape = scene.base.tongue, draft.tape
    if tongue is None:
        return
    hot = _end_x(scene, tongue.end)
    ball = (tongue.coupler[0] - hot) * tongue.end
    if ball < TAILGATE:
        draft.find(
            "trailer.tailgate",
            "warn",
            f"The ball stands {tape.length(max(ball, 0.0))} ahead of the first steel behind it: a tailgate or a tight turn meets it.",
            pieces=("coupler", "shell" if tongue.end > 0 else "firebox"),
            clearance=ball - TAILGATE,
            remedy=f"Lengthen the tongue {tape.length(TAILGATE - ball)} (trailer.tongue_reach).",
            source="common practice, no source",
        )
    for jack in (s for s in scene.base.supports if s.kind == "jack"):
        gap = (jack.x - hot) * tongue.end
        if gap < CRANK:
            draft.find(
                "trailer.jack",
                "warn",
                f"The tongue jack stands {tape.length(max(gap, 0.0))} from the pit's end: its crank has no room.",
                pieces=("tongue jack",),
                clearance=gap - CRANK,
                remedy="Lengthen the tongue, or set the jack on its side.",
            )
    if tongue.end < 0:
        draft.find(
            "trailer.fire_ahead",
            "warn",
            "Towed by its fire end the tongue lies where a person stands to feed the fire, and the hot end is against the car.",
            pieces=("tongue beam", "fire door"),
            remedy='Lead the tongue past the stack end (trailer.tongue_end = "stack").',
            source="common practice, no source",
        )


def _handles(draft: Draft, scene: Scene) -> None:
    handles, stack, tape = scene.base.handles, scene.stack, draft.tape
    if handles is None or stack.place != "end":
        return
    gap = handles.half - handles.beam.height / 2.0 - abs(stack.y) - stack.profile.height / 2.0
    if stack.base_z < handles.grip[2] + 6.0 * INCH and gap < 4.0 * INCH:
        draft.find(
            "cart.stack_by_grips",
            "stop" if gap < 0.0 else "warn",
            f"The stack leaves the end {tape.length(max(gap, 0.0))} from the handles.",
            pieces=("stack", "handle bar"),
            clearance=gap,
            remedy='Take the stack through the top (stack.place = "top").',
        )
