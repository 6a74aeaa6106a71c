"""Chamber doors: where they are cut, what they weigh, how they swing, what they could hit and what holds them open.

A door is a piece of the vessel's own skin. Swing is measured from shut; the moment of a part about the pin is its
weight times the level distance of its centre from the pin, so a figure is exact for any shape (moment equilibrium).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.errors import LayoutError
from pitwright.job.facts import DoorMeasured
from pitwright.layout.draft import Draft
from pitwright.layout.model import DoorLayout, Opening, StackLayout, Touch, VesselLayout
from pitwright.layout.skin import chord_across, wrap_diagonal
from pitwright.masses import mass_of
from pitwright.parts import Bar, Bought, Part, Placement, Point2, Shell
from pitwright.stock import Profile, find_profile
from pitwright.tape import INCH, STANDARD_GRAVITY

SWINGS = 24  # steps of the pull curve
SKIN_POINTS = 48  # points along a door's outer skin when it is swung against something


@dataclass(frozen=True, slots=True, kw_only=True)
class DoorEdges:
    """One door opening on the skin: x [m] and clock [rad]."""

    x0: float
    x1: float
    hinge: float
    edge: float


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
    if room < 8.0 * INCH:
        raise LayoutError(
            f"no room for a door: {tape.length(length)} of shell less the margins leaves {tape.length(max(room, 0.0))}",
            field="proportions.doors.end_margin",
            value=tape.length(margin),
            allowed=f"under {tape.length(length / 2 - 4 * INCH)}",
            remedy="Lower the margin.",
        )
    count = rules.count or max(1, math.ceil((room + rules.mullion) / (rules.longest + rules.mullion) - 1e-9))
    if count > 3:
        draft.find(
            "doors.count",
            "note",
            f"{count} doors by the longest-door rule; three are built, longer than the shop's {tape.length(rules.longest)}.",
            remedy="Watch weight and springing, or leave skin shut between doors.",
        )
        count = 3
    width = ledger.choose(
        "doors.width",
        (room - (count - 1) * rules.mullion) / count,
        because=f"{count} door{'s' if count > 1 else ''} share the shell between the margins, less the mullions",
        rests_on=("vessel.length", "doors.end_margin"),
    )
    mullion = 0.0 if count == 1 else (room - count * width) / (count - 1)
    hinge = ledger.choose(
        "doors.hinge_clock", rules.hinge_clock, "angle", because="the shop hangs its doors from this line"
    )
    height = grate_above - rules.below_grate
    if abs(height) >= 0.95 * radius:
        raise LayoutError(
            "the door's lower edge would run under the vessel",
            field="proportions.doors.below_grate",
            value=tape.length(rules.below_grate),
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
    )
    if edge - hinge < math.radians(20.0):
        raise LayoutError(
            f"the door would be {tape.length(radius * max(edge - hinge, 0.0))} round the skin",
            field="proportions.doors.hinge_clock",
            value=tape.angle(hinge),
            allowed=f"under {tape.angle(edge - math.radians(20.0))}",
            remedy="Move the hinge line up.",
        )
    measured = {d.door: d for d in draft.job.measured.doors}
    out = []
    for i in range(count):
        x0 = margin + i * (width + mullion)
        out.append(_as_measured(measured.get(i + 1), DoorEdges(x0=x0, x1=x0 + width, hinge=hinge, edge=edge), radius))
    return tuple(out)


def _as_measured(got: DoorMeasured | None, edges: DoorEdges, radius: float) -> DoorEdges:
    """The opening as it was cut, kept about the same middle line and hinge line."""
    if got is None:
        return edges
    middle = (edges.x0 + edges.x1) / 2.0
    half = (edges.x1 - edges.x0) / 2.0 if got.width is None else got.width / 2.0
    edge = edges.edge if got.arc is None else edges.hinge + got.arc / radius
    return DoorEdges(x0=middle - half, x1=middle + half, hinge=edges.hinge, edge=edge)


def lay_out_door(draft: Draft, vessel: VesselLayout, edges: DoorEdges, number: int, stack: StackLayout) -> DoorLayout:
    """One door: its pieces, weight, swing, pulls and first touches."""
    rules, ledger = draft.rules.doors, draft.ledger
    name = f"door {number}"
    radius = vessel.outer_radius
    width, arc = edges.x1 - edges.x0, radius * (edges.edge - edges.hinge)
    pieces = _door_parts(draft, vessel, edges, name)
    weight, cy, cz = _weigh(pieces)
    pin = _polar(vessel, radius + rules.pin_out, edges.hinge)
    handle = _polar(vessel, radius + rules.handle_out, edges.edge)
    dy, dz = cy - pin[0], cz - pin[1]
    lever, lever_angle = math.hypot(dy, dz), math.atan2(dz, dy)
    handle_radius = math.dist(pin, handle)
    stop = ledger.choose(f"{name}.stop", rules.open_stop, "angle", because="how far the shop lets a door open")
    load = weight * STANDARD_GRAVITY
    counter = rules.counterweight * STANDARD_GRAVITY * rules.counterweight_arm if rules.hold == "counterweight" else 0.0
    shut_arm = rules.counterweight_rise - stop

    def pull(swing: float) -> float:
        moment = load * lever * math.cos(lever_angle + swing) + counter * math.cos(shut_arm + swing)
        return moment / handle_radius

    pulls = tuple((stop * i / SWINGS, pull(stop * i / SWINGS)) for i in range(SWINGS + 1))
    worst = max(p for _, p in pulls)
    over = _over_centre(load * lever, lever_angle, counter, shut_arm)
    touches = _touches(vessel, edges, pin, stack, rules.handle_out)
    falls = load * lever * math.cos(lever_angle + stop)
    hold_needed = max(falls, 0.0)
    top = _swung(pin, _polar(vessel, radius, edges.edge), stop)
    front = max(_swung(pin, _polar(vessel, radius, c), stop)[0] for c in _clocks(edges))
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
        lever=lever,
        lever_angle=lever_angle,
        handle_radius=handle_radius,
        pulls=pulls,
        first_pull=pulls[0][1],
        worst_pull=worst,
        over_centre=over,
        stop=stop,
        touches=touches,
        edge_top_z=top[1],
        reach=front,
        hold=rules.hold,
        hold_needed=hold_needed,
    )
    _door_findings(draft, vessel, layout, counter, shut_arm, load)
    draft.openings.append(
        Opening(
            name=name,
            on="shell",
            outline=tuple(
                (x, vessel.around_at(c))
                for x, c in (
                    (edges.x0, edges.hinge),
                    (edges.x1, edges.hinge),
                    (edges.x1, edges.edge),
                    (edges.x0, edges.edge),
                )
            ),
            area=width * arc,
        )
    )
    return layout


def _polar(vessel: VesselLayout, radius: float, clock: float) -> Point2:
    return (radius * math.sin(clock), vessel.centre_z + radius * math.cos(clock))


def _swung(pin: Point2, point: Point2, swing: float) -> Point2:
    """A point of the door after it has swung open (the front comes up and back)."""
    c, s = math.cos(swing), math.sin(swing)
    dy, dz = point[0] - pin[0], point[1] - pin[1]
    return (pin[0] + dy * c - dz * s, pin[1] + dy * s + dz * c)


def _clocks(edges: DoorEdges) -> list[float]:
    return [edges.hinge + (edges.edge - edges.hinge) * i / SKIN_POINTS for i in range(SKIN_POINTS + 1)]


def _weigh(pieces: list[Part]) -> tuple[float, float, float]:
    """(mass, y, z) of the moving pieces together."""
    total = y = z = 0.0
    for part in pieces:
        mass = mass_of(part)
        for placement in part.placements:
            p = placement.point(mass.centre)
            total, y, z = total + mass.mass, y + mass.mass * p[1], z + mass.mass * p[2]
    return total, y / total, z / total


def _door_parts(draft: Draft, vessel: VesselLayout, edges: DoorEdges, name: str) -> list[Part]:
    """Skin (out of the vessel), bands on the lower edge and both ends, hinges and handle."""
    rules, shop = draft.rules.doors, draft.rules.shop
    radius, kerf = vessel.outer_radius, shop.plate_kerf
    band = find_profile(rules.band, field="proportions.doors.band")
    length = edges.x1 - edges.x0
    angle_kerf = kerf / radius
    at = Placement(origin=(edges.x0 + kerf / 2.0, 0.0, vessel.centre_z))
    skin = draft.add(
        "D",
        f"{name} skin",
        "doors",
        Shell(
            outer_radius=radius,
            wall=vessel.wall,
            length=length - kerf,
            clock0=edges.hinge + angle_kerf / 2.0,
            clock1=edges.edge - angle_kerf / 2.0,
        ),
        at,
        "of the vessel",
        moving=name,
        notes=("hinges on first, strongbacks across, leave tabs; leave the line",),
    )
    out = [skin]
    strip, thick = _band_sizes(band)
    lap = rules.band_overlap
    out.append(
        draft.add(
            "D",
            f"{name} end band",
            "doors",
            Shell(outer_radius=radius + thick, wall=thick, length=strip, clock0=edges.hinge, clock1=edges.edge),
            [Placement(origin=(x, 0.0, vessel.centre_z)) for x in (edges.x0 - lap, edges.x1 + lap - strip)],
            band.designation,
            moving=name,
            notes=("roll the easy way to the outside of the skin",),
        )
    )
    # the lower band lies flat on the skin, its middle a little past the edge so that it laps the gap
    middle = edges.edge + (lap - strip / 2.0) / radius
    c, s = math.cos(middle), math.sin(middle)
    r = radius + thick / 2.0
    out.append(
        draft.add(
            "D",
            f"{name} lower band",
            "doors",
            Bar.square(band, length + 2.0 * lap),
            Placement(
                origin=(edges.x0 - lap, r * s, vessel.centre_z + r * c),
                x=(1.0, 0.0, 0.0),
                y=(0.0, s, c) if _thick_is_width(band) else (0.0, c, -s),
                z=(0.0, -c, s) if _thick_is_width(band) else (0.0, s, c),
            ),
            band.designation,
            moving=name,
        )
    )
    mid = (edges.hinge + edges.edge) / 2.0
    grip = _polar(vessel, radius + rules.handle_out / 2.0, edges.edge - 0.5 * (edges.edge - mid) * 0.2)
    out.append(
        draft.add(
            "H",
            f"{name} hinges and handle",
            "doors",
            Bought(mass=rules.hardware, size=(0.6 * length, 2.0 * INCH, 2.0 * INCH)),
            Placement(origin=((edges.x0 + edges.x1) / 2.0, grip[0], grip[1])),
            "bought",
            assumed=True,
            moving=name,
        )
    )
    return out


def _band_sizes(band: Profile) -> tuple[float, float]:
    """(width, thickness) of a flat bar [m]."""
    return max(band.height, band.width), min(band.height, band.width)


def _thick_is_width(band: Profile) -> bool:
    return band.width <= band.height


def _over_centre(door: float, angle: float, counter: float, shut_arm: float) -> float:
    """Swing at which the door falls open by itself: where the summed moment passes zero [rad], inf if not within 180."""
    a = door * math.cos(angle) + counter * math.cos(shut_arm)
    b = door * math.sin(angle) + counter * math.sin(shut_arm)
    # a cos(s) - b sin(s) = 0
    swing = math.atan2(a, b) % math.pi
    return swing if 0.0 < swing < math.pi else math.inf


def _touches(
    vessel: VesselLayout, edges: DoorEdges, pin: Point2, stack: StackLayout, handle_out: float
) -> tuple[Touch, ...]:
    """First touch of the opening door against the stack and against the vessel's own skin [rad]."""
    skin = [_polar(vessel, vessel.outer_radius, c) for c in _clocks(edges)]
    skin.append(_polar(vessel, vessel.outer_radius + handle_out, edges.edge))
    name = "door"
    out = [Touch(moving=name, against="vessel skin", travel=_touch_vessel(vessel, pin, skin))]
    if stack.place == "top":
        radius = stack.profile.height / 2.0
        reach = 0.0 if edges.x0 <= stack.x <= edges.x1 else min(abs(edges.x0 - stack.x), abs(edges.x1 - stack.x))
        if reach < radius:
            face = stack.y + math.sqrt(radius**2 - reach**2)
            out.append(Touch(moving=name, against="stack", travel=_touch_wall(pin, skin, face, stack.top_z)))
    return tuple(out)


def _touch_wall(pin: Point2, points: list[Point2], face: float, top: float) -> float:
    """Smallest swing at which any point comes back to an upright wall at y = face, under its top [rad]."""
    best = math.inf
    for y, z in points:
        d = math.dist(pin, (y, z))
        if d < 1e-6 or abs((face - pin[0]) / d) > 1.0:
            continue
        swing = (math.acos((face - pin[0]) / d) - math.atan2(z - pin[1], y - pin[0])) % (2.0 * math.pi)
        if swing < best and _swung(pin, (y, z), swing)[1] <= top:
            best = swing
    return best


def _touch_vessel(vessel: VesselLayout, pin: Point2, points: list[Point2]) -> float:
    """Smallest swing (past a quarter turn) at which a point of the door meets the skin on the far side [rad]."""
    centre = (0.0, vessel.centre_z)
    reach = math.dist(pin, centre)
    best = math.inf
    to_centre = math.atan2(centre[1] - pin[1], centre[0] - pin[0])
    for y, z in points[1:]:
        d = math.dist(pin, (y, z))
        cosine = (d * d + reach * reach - vessel.outer_radius**2) / (2.0 * d * reach)
        if abs(cosine) > 1.0:
            continue
        meet = to_centre - math.acos(cosine)  # the far meeting point, reached from above
        swing = (meet - math.atan2(z - pin[1], y - pin[0])) % (2.0 * math.pi)
        if swing > math.pi / 2.0:
            best = min(best, swing)
    return best


def _door_findings(
    draft: Draft, vessel: VesselLayout, door: DoorLayout, counter: float, shut_arm: float, load: float
) -> None:
    rules, tape = draft.rules.doors, draft.tape
    limit = rules.pull_limit * STANDARD_GRAVITY
    if door.worst_pull > limit:
        draft.find(
            "doors.heavy",
            "warn",
            f"{door.name} weighs {tape.mass(door.weight)} and wants {tape.force(door.worst_pull)} at the handle; the shop's limit is "
            f"{tape.force(limit)}.",
            pieces=(door.name,),
            remedy="Shorten the door, add a door, put a longer handle bar out, or fit a counterweight that works shut.",
            source="moment equilibrium about the pin",
        )
    first = min(door.touches, key=lambda t: t.travel)
    if first.travel < door.stop + rules.touch_clear:
        draft.find(
            "doors.touch",
            "stop" if first.travel < door.stop else "warn",
            f"{door.name} meets the {first.against} at {tape.angle(first.travel)}; it is to open {tape.angle(door.stop)}.",
            pieces=(door.name, first.against),
            clearance=first.travel - door.stop,
            remedy="Set the stack further behind the top line, move it past the door's end, or stop the door at "
            f"{tape.angle(max(first.travel - rules.touch_clear, 0.0))}.",
        )
    if counter and math.cos(shut_arm) > 0.0:
        bare = load * door.lever * math.cos(door.lever_angle) / door.handle_radius
        draft.find(
            "doors.counterweight_heavier",
            "warn",
            f"The counterweight makes the first lift of {door.name} heavier: {tape.force(bare)} without it, "
            f"{tape.force(door.first_pull)} with it. It only holds the door open.",
            pieces=(door.name,),
            source="moment equilibrium about the pin",
            remedy="It lightens a shut door only where the arm stands more than 90 degrees back when shut; use a prop or latch instead.",
        )
    if rules.hold == "counterweight":
        have = counter * -math.cos(rules.counterweight_rise)
        if have < door.hold_needed:
            draft.find(
                "doors.will_not_stay",
                "warn",
                f"{door.name} will not stay open at {tape.angle(door.stop)}: it needs {tape.moment(door.hold_needed)} behind the pin, "
                f"the counterweight gives {tape.moment(have)}.",
                pieces=(door.name,),
                remedy="Heavier weight, longer arm, or a prop.",
            )
        tip = (
            door.pin[0] + rules.counterweight_arm * math.cos(rules.counterweight_rise),
            door.pin[1] + rules.counterweight_arm * math.sin(rules.counterweight_rise),
        )
        clear = math.dist(tip, (0.0, vessel.centre_z)) - vessel.outer_radius
        if clear < 2.0 * INCH:
            draft.find(
                "doors.arm_hits_shell",
                "stop",
                f"The counterweight arm of {door.name} runs into the shell at the open stop.",
                pieces=(door.name,),
                clearance=clear,
                remedy="Keep the arm above the skin: a smaller angle at the open stop.",
            )
    if rules.hold == "none" and door.hold_needed > 0.0:
        draft.find(
            "doors.falls",
            "warn",
            f"{door.name} falls shut from its stop at {tape.angle(door.stop)}: hands are pinched and burnt that way.",
            pieces=(door.name,),
            remedy="Fit a prop, a latch or a counterweight.",
        )
