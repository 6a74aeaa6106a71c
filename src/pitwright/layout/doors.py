"""Chamber doors: where they are cut, what they weigh, how they swing, what they could hit and what holds them open.

A door is a piece of the vessel's own skin. Its swing is worked in `swing`, its pieces are made in `door_parts`.
"""

from __future__ import annotations

import dataclasses
import math

from pitwright.errors import JobError, LayoutError
from pitwright.geometry.skin import chord_across, wrap_diagonal
from pitwright.job.facts import DoorMeasured
from pitwright.layout.door_checks import check_door, check_sprung
from pitwright.layout.door_parts import DoorEdges, band_sizes, counterweight_parts, door_parts, polar, weigh
from pitwright.layout.draft import Draft
from pitwright.layout.grates import MESH
from pitwright.layout.model import DoorLayout, Opening, StackLayout, Touch, VesselLayout
from pitwright.layout.swing import Lift, swung, touch_round, touch_upright
from pitwright.parts import Point2
from pitwright.stock import find_profile
from pitwright.tape import INCH, LB, STANDARD_GRAVITY

__all__ = ["DoorEdges", "door_edges", "first_touches", "lay_out_door"]

SWINGS = 24  # steps of the pull curve
SKIN_POINTS = 48  # points along a door's outer skin when it is swung against something
LEAST_DOOR = 8.0 * INCH  # along the pit
LEAST_SWEEP = math.radians(20.0)  # round the skin
ARM_HALF = 3.0 * INCH  # half the room a counterweight takes along the pit
SLIDE_CLEAR = 0.25 * INCH  # a sliding main grate over the door's lower edge


def door_edges(draft: Draft, radius: float, length: float, grate_above: float) -> tuple[DoorEdges, ...]:
    """Door openings by the shop's rules: how many, how long, from hinge line to just under the grate.

    Raises LayoutError where no door fits.
    """
    rules, ledger, tape = draft.rules.doors, draft.ledger, draft.tape
    margin = ledger.choose(
        "doors.end_margin",
        draft.share(rules.end_margin, radius, length),
        because="door end to girth seam, the shop's margin",
    )
    room = length - 2.0 * margin
    if room < LEAST_DOOR:
        raise LayoutError(
            f"no room for a door: {tape.length(length)} of shell less the margins leaves {tape.length(max(room, 0.0))}",
            field="proportions.doors.end_margin",
            value=tape.length(margin),
            allowed=f"up to {tape.length((length - LEAST_DOOR) / 2.0)}",
            remedy="Lower the margin.",
        )
    count = rules.count or max(1, math.ceil((room + rules.mullion) / (rules.longest + rules.mullion) - 1e-9))
    if count > 3:
        draft.find(
            "doors.count",
            "note",
            f"{count} doors by the longest-door rule; three are built, longer than the shop's "
            f"{tape.length(rules.longest)}.",
            remedy="Watch weight and springing, or leave skin shut between doors.",
        )
        count = 3
    width = ledger.choose(
        "doors.width",
        (room - (count - 1) * rules.mullion) / count,
        because=f"{count} door{'s' if count > 1 else ''} share the shell between the margins, less the mullions",
        rests_on=("vessel.length", "doors.end_margin"),
        limits=(LEAST_DOOR, room / count),
    )
    if width < LEAST_DOOR:
        raise LayoutError(
            f"{count} doors between these margins are {tape.length(max(width, 0.0))} long each",
            field="proportions.doors.count",
            value=count,
            allowed=f"doors of {tape.length(LEAST_DOOR)} or more",
            remedy="Build fewer doors, or lower the margin or the mullion.",
        )
    mullion = 0.0 if count == 1 else (room - count * width) / (count - 1)
    hinge = ledger.choose(
        "doors.hinge_clock", rules.hinge_clock, "angle", because="the shop hangs its doors from this line"
    )
    below, gave = _edge_below_grate(draft)
    height = grate_above - below
    if abs(height) >= 0.95 * radius:
        raise LayoutError(
            "the door's lower edge would run under the vessel",
            field="proportions.doors.below_grate",
            value=tape.length(below),
            allowed=f"within {tape.length(0.95 * radius)} of the centre line",
            remedy="Raise the grate or the door edge.",
        )
    edge = ledger.choose(
        "doors.edge_clock",
        math.acos(height / radius),
        "angle",
        kind="solved",
        because="lower edge this far under the main grate, so that a grate slides out over it",
        formula="acos(height / R)",
        rests_on=("grates.below_centre", "vessel.diameter"),
        gave_way=gave,
        limits=(hinge + LEAST_SWEEP, math.radians(175.0)),
    )
    if edge - hinge < LEAST_SWEEP:
        raise LayoutError(
            f"the door would be {tape.length(radius * max(edge - hinge, 0.0))} round the skin",
            field="proportions.doors.hinge_clock",
            value=tape.angle(hinge),
            allowed=f"under {tape.angle(edge - LEAST_SWEEP)}",
            remedy="Move the hinge line up.",
        )
    measured = {d.door: d for d in draft.job.measured.doors}
    for number in measured:
        if number > count:
            raise JobError(
                f"this pit has {count} door{'s' if count > 1 else ''}",
                field="measured.doors",
                value=f"door = {number}",
                allowed=f"1 to {count}",
                remedy="Doors are counted from the fire end.",
            )
    out = []
    for i in range(count):
        x0 = margin + i * (width + mullion)
        out.append(_as_measured(measured.get(i + 1), DoorEdges(x0=x0, x1=x0 + width, hinge=hinge, edge=edge), radius))
    return tuple(out)


def _edge_below_grate(draft: Draft) -> tuple[float, str]:
    """How far the lower edge lies under the main grate [m], and what the shop's rule gave way to."""
    rules, tape = draft.rules, draft.tape
    if not draft.job.order.grate_slides:
        return rules.doors.below_grate, ""
    frame = find_profile(rules.grates.frame, field="proportions.grates.frame")
    deep = frame.height + MESH + SLIDE_CLEAR
    if rules.doors.below_grate >= deep - 1e-9:
        return rules.doors.below_grate, ""
    return deep, (
        f"the shop's {tape.length(rules.doors.below_grate)} under the grate: it slides, and its frame comes out over the edge"
    )


def _as_measured(got: DoorMeasured | None, edges: DoorEdges, radius: float) -> DoorEdges:
    """The opening as it was cut, kept about the same middle line and hinge line."""
    if got is None:
        return edges
    middle = (edges.x0 + edges.x1) / 2.0
    half = (edges.x1 - edges.x0) / 2.0 if got.width is None else got.width / 2.0
    edge = edges.edge if got.arc is None else edges.hinge + got.arc / radius
    if half < LEAST_DOOR / 4.0 or not LEAST_SWEEP / 2.0 < edge - edges.hinge < math.radians(340.0):
        raise JobError(
            "no door is that size",
            field=f"measured.doors no. {got.door}",
            value=f"{got.width} x {got.arc}",
            allowed="the opening as cut: width along the pit, arc round the skin",
            remedy="Measure the opening again.",
        )
    return DoorEdges(x0=middle - half, x1=middle + half, hinge=edges.hinge, edge=edge)


def lay_out_door(draft: Draft, vessel: VesselLayout, edges: DoorEdges, number: int, stack: StackLayout) -> DoorLayout:
    """One door: its pieces, weight, swing, pulls and first touches."""
    rules, ledger = draft.rules.doors, draft.ledger
    name = f"door {number}"
    radius = vessel.outer_radius
    width, arc = edges.x1 - edges.x0, radius * (edges.edge - edges.hinge)
    weight, cy, cz = weigh(draft, door_parts(draft, vessel, edges, name))
    pin = polar(vessel, radius + rules.pin_out, edges.hinge)
    handle_radius = math.dist(pin, polar(vessel, radius + rules.handle_out, edges.edge))
    dy, dz = cy - pin[0], cz - pin[1]
    stop = ledger.choose(
        f"{name}.stop",
        rules.open_stop,
        "angle",
        because="how far the shop lets a door open",
        limits=(math.radians(30.0), math.radians(180.0)),
    )
    lift = Lift(load=weight * STANDARD_GRAVITY, lever=math.hypot(dy, dz), angle=math.atan2(dz, dy))
    if rules.hold == "counterweight":
        counter = _counterweight(draft, name, lift.moment(stop))
        moment = counter * STANDARD_GRAVITY * rules.counterweight_arm
        lift = dataclasses.replace(lift, counter=moment, arm_angle=rules.counterweight_rise - stop)
        counterweight_parts(draft, arm_place(edges, stack), name, pin, lift.arm_angle, counter)
    swings = [stop * i / SWINGS for i in range(SWINGS + 1)]
    pulls = tuple((swing, lift.moment(swing) / handle_radius) for swing in swings)
    worst = lift.worst(stop) / handle_radius
    skin = _clocks(edges)
    front = max(swung(pin, polar(vessel, radius, c), stop)[0] for c in skin)
    ledger.note(
        f"{name}.weight",
        weight,
        "mass",
        because="skin, bands and hardware of this door",
        rests_on=("vessel.wall", "vessel.diameter", "doors.width"),
        source="weights of its pieces; hardware is assumed",
    )
    ledger.note(
        f"{name}.pull",
        worst,
        "force",
        because="largest hand pull over the swing",
        formula="W x lever x cos(angle) / handle radius",
        source="moment equilibrium about the pin",
        rests_on=(f"{name}.weight", "doors.hinge_clock", f"{name}.stop"),
    )
    layout = DoorLayout(
        name=name,
        x0=edges.x0,
        x1=edges.x1,
        hinge_clock=edges.hinge,
        edge_clock=edges.edge,
        arc=arc,
        chord=chord_across(radius, arc),
        diagonal=wrap_diagonal(width, arc),
        weight=weight,
        pin=pin,
        lever=lift.lever,
        lever_angle=lift.angle,
        handle_radius=handle_radius,
        pulls=pulls,
        first_pull=pulls[0][1],
        worst_pull=worst,
        over_centre=lift.over_centre,
        stop=stop,
        touches=first_touches(draft, edges, vessel, stack, stop),
        edge_top_z=swung(pin, polar(vessel, radius, edges.edge), stop)[1],
        reach=front,
        hold=rules.hold,
        hold_needed=max(dataclasses.replace(lift, counter=0.0).moment(stop), 0.0),
    )
    check_door(draft, vessel, layout, lift)
    check_sprung(draft, layout, number)
    corners = ((edges.x0, edges.hinge), (edges.x1, edges.hinge), (edges.x1, edges.edge), (edges.x0, edges.edge))
    outline = tuple((x, vessel.around_at(clock)) for x, clock in corners)
    draft.openings.append(Opening(name=name, on="shell", outline=outline, area=width * arc))
    return layout


def _counterweight(draft: Draft, name: str, falls: float) -> float:
    """The weight on the arm [kg]: the shop's, or what it takes to hold the door open, to the next pound or half kilogram.

    falls  moment that would shut the door from its stop [N m]
    """
    rules, step = draft.rules.doors, LB if draft.tape.inch else 0.5
    because, value = "the shop's counterweight", rules.counterweight
    if value is None:
        reach = rules.counterweight_arm * -math.cos(rules.counterweight_rise)
        needed = max(falls, 0.0) / (STANDARD_GRAVITY * reach) if reach > 0.0 else 0.0
        value, because = math.ceil(needed / step - 1e-9) * step, "just enough to hold the door open at its stop"
    return draft.ledger.choose(
        f"{name}.counterweight",
        value,
        "mass",
        because=because,
        source="moment equilibrium about the pin",
        rests_on=(f"{name}.stop", f"{name}.weight"),
        limits=(0.0, 400.0),
    )


def _clocks(edges: DoorEdges) -> list[float]:
    return [edges.hinge + (edges.edge - edges.hinge) * i / SKIN_POINTS for i in range(SKIN_POINTS + 1)]


def pin_and_skin(draft: Draft, vessel: VesselLayout, edges: DoorEdges) -> tuple[Point2, list[Point2]]:
    """The pin, and points along what moves: the outside of the bands from hinge edge to lower edge, then the handle [m]."""
    rules, radius = draft.rules.doors, vessel.outer_radius
    _, thick = band_sizes(find_profile(rules.band, field="proportions.doors.band"))
    skin = [polar(vessel, radius + thick, c) for c in _clocks(edges)]
    skin.append(polar(vessel, radius + rules.handle_out, edges.edge))
    return polar(vessel, radius + rules.pin_out, edges.hinge), skin


def first_touches(
    draft: Draft, edges: DoorEdges, vessel: VesselLayout, stack: StackLayout, stop: float
) -> tuple[Touch, ...]:
    """First touch of the opening door against the vessel's own skin and against the stack [rad].

    stop  how far it is to open, which sets how the counterweight's arm stands [rad]
    """
    rules = draft.rules.doors
    pin, skin = pin_and_skin(draft, vessel, edges)
    centre = (0.0, vessel.centre_z)
    out = [Touch(moving="door", against="vessel skin", travel=touch_round(pin, skin[1:], vessel.outer_radius, centre))]
    if stack.place != "top":
        return tuple(out)
    r = stack.profile.height / 2.0
    half = half_width_between(r, stack.x, edges.x0 - rules.band_overlap, edges.x1 + rules.band_overlap)
    if half is not None:
        travel = touch_upright(pin, skin, stack.y + half, stack.top_z)
        out.append(Touch(moving="door", against="stack", travel=travel))
    arm_x = arm_place(edges, stack)
    half = half_width_between(r, stack.x, arm_x - ARM_HALF, arm_x + ARM_HALF)
    if rules.hold == "counterweight" and half is not None:
        angle, arm = rules.counterweight_rise - stop, rules.counterweight_arm
        tip = (pin[0] + arm * math.cos(angle), pin[1] + arm * math.sin(angle))
        travel = touch_upright(pin, [tip], stack.y + half, stack.top_z)
        out.append(Touch(moving="counterweight", against="stack", travel=travel))
    return tuple(out)


def arm_place(edges: DoorEdges, stack: StackLayout) -> float:
    """Where along the pit a counterweight's arm stands: the door's middle, or an end of it where the stack is in the way."""
    middle = (edges.x0 + edges.x1) / 2.0
    clear = stack.profile.height / 2.0 + ARM_HALF
    if stack.place != "top" or abs(middle - stack.x) >= clear:
        return middle
    ends = (edges.x0 + ARM_HALF, edges.x1 - ARM_HALF)
    return max((middle, *ends), key=lambda x: min(abs(x - stack.x), clear))


def half_width_between(radius: float, x: float, x0: float, x1: float) -> float | None:
    """Half the width of an upright pipe at x, seen along the pit between x0 and x1 [m]; None where it stands aside."""
    aside = max(x0 - x, x - x1, 0.0)
    return math.sqrt(radius**2 - aside**2) if aside < radius else None
