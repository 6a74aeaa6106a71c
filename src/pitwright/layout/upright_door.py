"""The tall door of a vessel on end: its pieces, its plumb pin line, how it swings and what it moves as it opens.

Plan: x away from the firebox, y to the front [m]. A door on a plumb pin line lifts nothing: it is pulled against the
friction of its pins alone, and its own weight moves out to the side as it opens.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from pitwright.geometry.skin import chord_across, wrap_diagonal
from pitwright.layout.door_checks import check_sprung
from pitwright.layout.door_parts import DoorEdges, band_sizes
from pitwright.layout.draft import Draft
from pitwright.layout.model import DoorLayout, FireboxLayout, Opening, StackLayout, Touch, VesselLayout
from pitwright.layout.swing import touch_round
from pitwright.layout.upright_model import TallDoor
from pitwright.layout.upright_place import on_axis, plan, turned_open
from pitwright.masses import combine
from pitwright.parts import Bar, Bought, Part, Placement, Point2, Shell
from pitwright.stock import find_profile
from pitwright.tape import INCH, STANDARD_GRAVITY

SKIN_POINTS = 48
SWINGS = 24
FRICTION = 0.3  # steel pin in a steel barrel, dry (handbooks give 0.15 greased to 0.6 clean and dry, from memory)
OUT_OF_PLUMB = math.radians(1.0)
HINGE_IN = 6.0 * INCH  # first and last hinge in from the door's ends, nearer on a short door
STEP = math.radians(0.5)
FULL_TURN = math.radians(300.0)


def lay_out_tall_door(
    draft: Draft, vessel: VesselLayout, edges: DoorEdges, firebox: FireboxLayout, stack: StackLayout, clear: float
) -> tuple[DoorLayout, TallDoor]:
    """The one door: pieces, weight, swing, friction and first touches."""
    rules, own, ledger, tape = draft.rules.doors, draft.rules.upright, draft.ledger, draft.tape
    name, radius = "door 1", vessel.outer_radius
    side = 1 if edges.hinge > edges.edge else -1
    height, arc = edges.x1 - edges.x0, radius * abs(edges.hinge - edges.edge)
    pieces = _pieces(draft, vessel, edges, name)
    whole = combine(mass for part in pieces for mass in draft.placed(part))
    weight, centre = whole.mass, (whole.centre[0], whole.centre[1])
    pin = plan(radius + rules.pin_out, edges.hinge)
    handle = plan(radius + rules.handle_out, edges.edge)
    lever, handle_radius = math.dist(pin, centre), math.dist(pin, handle)
    stop = ledger.choose(
        f"{name}.stop", rules.open_stop, "angle", because="how far the shop lets a door open; a chain or a bar holds it",
        limits=(math.radians(60.0), math.radians(180.0)),
    )  # fmt: skip
    first = min(HINGE_IN, height / 6.0)
    hinges = tuple(edges.x0 + first + i * (height - 2.0 * first) / (own.hinges - 1) for i in range(own.hinges))
    apart = max(hinges[-1] - hinges[0], INCH)
    load = weight * STANDARD_GRAVITY
    friction = FRICTION * own.pin / 2.0 * load * (1.0 + 2.0 * lever / apart)
    pull = friction / handle_radius
    lean = load * lever * math.sin(OUT_OF_PLUMB) / handle_radius
    opened = turned_open(pin, centre, stop, side)
    clocks = [edges.hinge + (edges.edge - edges.hinge) * i / SKIN_POINTS for i in range(SKIN_POINTS + 1)]
    skin = [plan(radius, c) for c in clocks]
    ledger.note(
        f"{name}.weight", weight, "mass", because="skin, bands, latches and hardware of the door",
        rests_on=("vessel.wall", "vessel.diameter", "doors.width"),
        source="weights of its pieces; hardware and latches are assumed",
    )  # fmt: skip
    ledger.note(
        f"{name}.pull", pull, "force", because="hand pull against the pins' friction; a plumb pin line lifts nothing",
        formula="0.3 x pin radius x W (1 + 2 lever / hinge spread) / handle radius",
        source="moment equilibrium; friction 0.3 from memory", rests_on=(f"{name}.weight",),
        band=(pull / 2.0, pull * 2.0),
    )  # fmt: skip
    ledger.note(
        f"{name}.lean_pull", lean, "force", rests_on=(f"{name}.weight",),
        because="hand pull with its pin line one degree out of plumb: it swings by itself that way",
        formula="W x lever x sin(1 deg) / handle radius", source="moment equilibrium about the pin",
    )  # fmt: skip
    ledger.note(
        f"{name}.shift", math.dist(opened, centre), rests_on=(f"{name}.stop",),
        because="how far the door's own weight moves in plan, shut to its stop",
    )  # fmt: skip
    layout = DoorLayout(
        name=name,
        x0=edges.x0,
        x1=edges.x1,
        hinge_clock=edges.hinge,
        edge_clock=edges.edge,
        arc=arc,
        chord=chord_across(radius, arc),
        diagonal=wrap_diagonal(height, arc),
        weight=weight,
        pin=pin,
        lever=lever,
        lever_angle=math.atan2(centre[1] - pin[1], centre[0] - pin[0]),
        handle_radius=handle_radius,
        pulls=tuple((stop * i / SWINGS, pull) for i in range(SWINGS + 1)),
        first_pull=pull,
        worst_pull=pull,
        over_centre=math.inf,
        stop=stop,
        touches=_touches(draft, vessel, edges, firebox, stack, side),
        edge_top_z=vessel.seam_z + edges.x1,
        reach=max(turned_open(pin, p, stop, side)[1] for p in (*skin, handle)),
        hold="none",
        hold_needed=0.0,
    )
    _check(draft, layout, lean)
    check_sprung(draft, layout, 1)
    corners = ((edges.x0, edges.hinge), (edges.x1, edges.hinge), (edges.x1, edges.edge), (edges.x0, edges.edge))
    draft.openings.append(
        Opening(name=name, on="shell", outline=tuple((x, radius * c) for x, c in corners), area=height * arc)
    )
    count = own.strongbacks
    strong = tuple(edges.edge + (edges.hinge - edges.edge) * (i + 0.5) / count for i in range(count))
    had = 2.0 * radius * math.sin(arc / radius / 2.0)
    if abs(had - clear) > tape.step:
        draft.find(
            "doors.clear", "note",
            f"The door as cut is {tape.length(had)} clear straight across; {tape.length(clear)} was wanted.",
            pieces=(name,),
        )  # fmt: skip
    return layout, TallDoor(
        clear=had,
        hinge_side=1 if side > 0 else -1,
        sill_z=vessel.seam_z + edges.x0,
        head_z=vessel.seam_z + edges.x1,
        hinge_x=hinges,
        strongbacks=strong,
        friction=friction,
        lean_pull=lean,
        shift=math.dist(opened, centre),
    )


def _pieces(draft: Draft, vessel: VesselLayout, edges: DoorEdges, name: str) -> list[Part]:
    """Skin out of the vessel, bands on top, bottom and latch edge, hinges and handle, latches."""
    rules, own, radius = draft.rules.doors, draft.rules.upright, vessel.outer_radius
    kerf, height = draft.rules.shop.plate_kerf, edges.x1 - edges.x0
    band = find_profile(rules.band, field="proportions.doors.band")
    strip, thick = band_sizes(band)
    lap, side = rules.band_overlap, math.copysign(1.0, edges.hinge - edges.edge)
    low, high = sorted((edges.hinge, edges.edge))
    out = [
        draft.add(
            "D",
            f"{name} skin",
            "doors",
            Shell(
                outer_radius=radius,
                wall=vessel.wall,
                length=height - 2.0 * kerf,
                clock0=low + kerf / radius,
                clock1=high - kerf / radius,
            ),
            on_axis(vessel.seam_z + edges.x0 + kerf),
            "of the vessel",
            moving=name,
            notes=("hinges on first, strongbacks upright across the whole height, leave tabs; leave the line",),
        )
    ]
    ends = sorted((edges.hinge, edges.edge - side * (lap - strip) / radius))
    out.append(
        draft.add(
            "D",
            f"{name} end band",
            "doors",
            Shell(outer_radius=radius + thick, wall=thick, length=strip, clock0=ends[0], clock1=ends[1]),
            [on_axis(vessel.seam_z + x) for x in (edges.x0 - lap, edges.x1 + lap - strip)],
            band.designation,
            moving=name,
            notes=("roll the easy way to the outside of the skin; ends on the upright band",),
        )
    )
    middle = edges.edge - side * (lap - strip / 2.0) / radius
    s, c = math.sin(middle), math.cos(middle)
    outward, across = (s, c, 0.0), (c, -s, 0.0)
    flat = band.width > band.height
    out.append(
        draft.add(
            "D",
            f"{name} upright band",
            "doors",
            Bar.square(band, height + 2.0 * lap),
            Placement(
                origin=(*plan(radius + thick / 2.0, middle), vessel.seam_z + edges.x0 - lap),
                x=(0.0, 0.0, 1.0),
                y=across if flat else (-s, -c, 0.0),
                z=outward if flat else across,
            ),
            band.designation,
            moving=name,
        )
    )
    mid_z = vessel.seam_z + (edges.x0 + edges.x1) / 2.0
    grip = edges.edge + side * 2.0 * INCH / radius
    out.append(
        draft.add(
            "H",
            f"{name} hinges and handle",
            "doors",
            Bought(mass=rules.hardware, size=(2.0 * INCH, 2.0 * INCH, 0.3 * height)),
            Placement(origin=(*plan(radius + rules.handle_out / 2.0 + INCH, grip), mid_z)),
            "bought",
            assumed=True,
            moving=name,
            notes=("weight taken at the handle; all pins on one plumb line",),
        )
    )
    if own.latch_weight:
        out.append(
            draft.add(
                "H",
                f"{name} latch",
                "doors",
                Bought(mass=own.latch_weight, size=(3.0 * INCH, 1.5 * INCH, 1.5 * INCH)),
                [
                    Placement(
                        origin=(
                            *plan(radius + thick + 0.8 * INCH, middle),
                            vessel.seam_z + edges.x0 + height * (i + 0.5) / own.latches,
                        ),
                        x=across,
                        y=(-s, -c, 0.0),
                        z=(0.0, 0.0, -1.0),
                    )
                    for i in range(own.latches)
                ],
                "bought",
                assumed=True,
                moving=name,
            )
        )
    return out


def _touches(
    draft: Draft, vessel: VesselLayout, edges: DoorEdges, firebox: FireboxLayout, stack: StackLayout, side: int
) -> tuple[Touch, ...]:
    """First touch against the vessel's own skin, the firebox, and a stack at the back [rad]."""
    rules, radius = draft.rules.doors, vessel.outer_radius
    _, thick = band_sizes(find_profile(rules.band, field="proportions.doors.band"))
    clocks = [edges.hinge + (edges.edge - edges.hinge) * i / SKIN_POINTS for i in range(SKIN_POINTS + 1)]
    skin = [plan(radius + thick, c) for c in clocks]
    skin.append(plan(radius + rules.handle_out, edges.edge))
    pin = plan(radius + rules.pin_out, edges.hinge)
    flipped = [(-side * x, y) for x, y in skin]
    own = touch_round((-side * pin[0], pin[1]), flipped[1:], radius, (0.0, 0.0))
    out = [Touch(moving="door", against="vessel skin", travel=own)]
    lap = rules.band_overlap
    low, high = vessel.seam_z + edges.x0 - lap, vessel.seam_z + edges.x1 + lap
    half = firebox.width / 2.0
    if low < firebox.centre_z + firebox.height / 2.0 and high > firebox.bottom_z:
        out.append(
            Touch(
                moving="door",
                against="firebox",
                travel=first_inside(pin, skin, (firebox.x0, -half, firebox.x1, half), side),
            )
        )
    if stack.place == "back" and low < stack.top_z and high > stack.base_z:
        r = stack.profile.height / 2.0
        out.append(
            Touch(
                moving="door",
                against="stack",
                travel=first_inside(pin, skin, (stack.x - r, stack.y - r, stack.x + r, stack.y + r), side),
            )
        )
    return tuple(out)


def first_inside(pin: Point2, points: Sequence[Point2], box: tuple[float, float, float, float], side: int) -> float:
    """Smallest swing at which a point of the door comes into a rectangle (x0, y0, x1, y1) in plan [rad]; inf where none.

    Found in half-degree steps, then halved to a thousandth of a degree.
    """
    x0, y0, x1, y1 = box

    def inside(swing: float) -> bool:
        for point in points:
            x, y = turned_open(pin, point, swing, side)
            if x0 < x < x1 and y0 < y < y1:
                return True
        return False

    steps = round(FULL_TURN / STEP)
    for i in range(1, steps + 1):
        if inside(i * STEP):
            low, high = (i - 1) * STEP, i * STEP
            while high - low > math.radians(1e-3):
                middle = (low + high) / 2.0
                low, high = (low, middle) if inside(middle) else (middle, high)
            return high
    return math.inf


def _check(draft: Draft, door: DoorLayout, lean: float) -> None:
    """First touch, a heavy pull on pins out of plumb, and what holds it."""
    rules, tape = draft.rules.doors, draft.tape
    first = min(door.touches, key=lambda touch: touch.travel)
    if first.travel < door.stop + rules.touch_clear - 1e-9:
        stop_at = max(first.travel - rules.touch_clear, 0.0)
        draft.find(
            "doors.touch",
            "stop" if first.travel < door.stop else "warn",
            f"{door.name}: the door meets the {first.against} at {tape.angle(first.travel)}; it is to open "
            f"{tape.angle(door.stop)} and the shop wants {tape.angle(rules.touch_clear)} more.",
            pieces=(door.name, first.against),
            clearance=first.travel - door.stop,
            remedy=f"Stop the door at {tape.angle(stop_at)}, or hang it on the other side.",
        )
    limit = rules.pull_limit * STANDARD_GRAVITY
    draft.find(
        "doors.plumb",
        "warn" if lean > limit else "note",
        f"{door.name}: {tape.mass(door.weight)} on a plumb pin line; it is pulled with {tape.force(door.worst_pull)} "
        f"(friction alone). One degree out of plumb, on a yard that slopes, it swings by itself with {tape.force(lean)} at "
        "the handle.",
        pieces=(door.name,),
        remedy="Set the pins by level both ways, and give the open door a chain or a bar: a door that swings in the wind "
        "breaks fingers.",
        source="moment equilibrium about the pin",
    )
