"""The end views: from beyond the stack end with the door and slides open, and from beyond the firebox."""

from __future__ import annotations

import math

from pitwright.layout.extent import box_of
from pitwright.layout.model import DoorLayout, LegLayout, Pit
from pitwright.parts import Outline, Point2
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.lettered import Side
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.views.common import known, pit_sketch
from pitwright.sheets.views.eye import Eye, from_fire_end, from_stack_end
from pitwright.sheets.views.scene import balloons, draw_pit
from pitwright.sheets.views.wants import Want, fire_heights, heights, issued, stops

_OVER = 0.06


def stack_end_view(pit: Pit, *, slack: float = 0.0) -> Drawing:
    """From beyond the stack end: legs, grates, and the door and slides as they stand open."""
    eye = from_stack_end(pit.vessel.hand)
    sketch = pit_sketch(pit)
    seen = draw_pit(sketch, pit, eye, slack=slack)
    x0, _, x1, top = sketch.bounds()
    vessel = pit.vessel
    _round_lines(sketch, pit, eye)
    for level in pit.grates.levels:
        half = level.width / 2.0
        about = known(pit, f"grates.{level.name}.width")
        sketch.line(eye.point((0.0, -half, level.z)), eye.point((0.0, half, level.z)), "hidden", about=about,
                    title=level.name)  # fmt: skip
        if level.travel:
            thick = 0.02
            a, b = (
                eye.point((0.0, -half + level.travel, level.z - thick)),
                eye.point((0.0, half + level.travel, level.z)),
            )
            sketch.rectangle(*a, *b, "ghost", title=f"{level.name}, pulled out")
    _open_door(sketch, pit, eye, pit.doors[0])
    gx0, _, gx1, _ = sketch.bounds()
    sketch.line((gx0 - _OVER, 0.0), (gx1 + _OVER, 0.0), "ground")
    _legs(sketch, pit, eye)
    _widths(sketch, pit, eye)
    back: Side = "left" if vessel.hand > 0 else "right"
    base = x0 if back == "left" else x1
    wants = end_heights(pit)
    points = [(base, w.at[1]) for w in wants]
    sketch.running((base, 0.0), stops(pit, wants, points), back, base=base, datum_text="floor  0")
    _door_lines(sketch, pit, eye)
    balloons(sketch, seen.shown, (0.0, top / 2.0))
    return sketch.drawing()


def fire_end_view(pit: Pit, *, slack: float = 0.0) -> Drawing:
    """From beyond the firebox: its doors and inlets, the throat behind them, and its drop under the vessel."""
    eye = from_fire_end(pit.vessel.hand)
    sketch = pit_sketch(pit)
    seen = draw_pit(sketch, pit, eye, slack=slack)
    x0, _, x1, top = sketch.bounds()
    vessel, box, throat = pit.vessel, pit.firebox, pit.throat
    _round_lines(sketch, pit, eye)
    sketch.line(eye.point((0.0, -box.width / 2.0 - _OVER, box.centre_z)),
                eye.point((0.0, box.width / 2.0 + _OVER, box.centre_z)), "centre")  # fmt: skip
    hand = eye.right[1]
    window = Outline(
        tuple((hand * y, vessel.centre_z + v) for y, v in throat.points), tuple(hand * b for b in throat.bulges)
    )
    sketch.outline(window, "hidden", about=known(pit, "throat.net"), title="throat")
    half = box.grate_width / 2.0
    sketch.line((-half, box.grate_z), (half, box.grate_z), "hidden", about=known(pit, "firebox.fire_grate"))
    sketch.line((x0 - _OVER, 0.0), (x1 + _OVER, 0.0), "ground")
    outer: Side = "right" if vessel.hand > 0 else "left"
    base = x1 if outer == "right" else x0
    wants = fire_heights(pit)
    points = [(base, w.at[1]) for w in wants]
    sketch.running((base, 0.0), stops(pit, wants, points), outer, base=base, datum_text="floor  0")
    other: Side = "left" if outer == "right" else "right"
    edge = x0 if other == "left" else x1
    sketch.dim((edge, box.centre_z), (edge, vessel.centre_z), other, bold=True, base=edge,
               about=known(pit, "firebox.drop"))  # fmt: skip
    _fire_sizes(sketch, pit, eye)
    balloons(sketch, seen.shown, (0.0, top / 2.0))
    return sketch.drawing()


def end_heights(pit: Pit) -> tuple[Want, ...]:
    """Heights shown in the stack-end view: those of the side view, and where each leg meets the shell."""
    vessel = pit.vessel
    out = list(heights(pit))
    for leg in {round(g.contact, 6): g for s in pit.leg_sets for g in s.legs}.values():
        z = vessel.centre_z - vessel.outer_radius * math.cos(leg.contact)
        out.append(Want(what="leg meets shell", value=z, at=(0.0, z), short="leg contact"))
    return issued(pit, out)


def _round_lines(sketch: Sketch, pit: Pit, eye: Eye) -> None:
    """The centre lines of the vessel."""
    vessel = pit.vessel
    centre = eye.point((0.0, 0.0, vessel.centre_z))
    sketch.centre_lines(centre, vessel.outer_radius)


def _swung(pin: Point2, p: Point2, swing: float) -> Point2:
    c, s = math.cos(swing), math.sin(swing)
    dy, dz = p[0] - pin[0], p[1] - pin[1]
    return (pin[0] + dy * c - dz * s, pin[1] + dy * s + dz * c)


def _open_door(sketch: Sketch, pit: Pit, eye: Eye, door: DoorLayout) -> None:
    """The first door at its stop, the way its lower edge takes, and the stop angle."""
    vessel, hand = pit.vessel, eye.right[1]
    centre = (0.0, vessel.centre_z)

    def on_paper(p: Point2) -> Point2:
        return (hand * p[0], p[1])

    def skin(radius: float, clock: float) -> Point2:
        return (radius * math.sin(clock), vessel.centre_z + radius * math.cos(clock))

    swung_centre = _swung(door.pin, centre, door.stop)
    for radius in (vessel.outer_radius, vessel.inner_radius):
        start = math.pi / 2.0 - door.hinge_clock + door.stop
        sweep = -(door.edge_clock - door.hinge_clock)
        if hand < 0.0:
            start, sweep = math.pi - start, -sweep
        sketch.arc(on_paper(swung_centre), radius, start, sweep, "ghost", title=f"{door.name}, open")
    for clock in (door.hinge_clock, door.edge_clock):
        out, within = (
            on_paper(_swung(door.pin, skin(r, clock), door.stop)) for r in (vessel.outer_radius, vessel.inner_radius)
        )
        sketch.line(out, within, "ghost", title=f"{door.name}, open")
    edge = skin(vessel.outer_radius, door.edge_clock)
    shut = math.atan2(edge[1] - door.pin[1], edge[0] - door.pin[0])
    reach = math.dist(edge, door.pin)
    pin = on_paper(door.pin)
    start, sweep = (shut, door.stop) if hand > 0.0 else (math.pi - shut, -door.stop)
    sketch.arc(pin, reach, start, sweep, "ghost", title="way of the lower edge")
    sketch.dim_angle(pin, start, sweep, f"stop {pit.tape.angle(door.stop)}", radius=20.0, within=0.6 * reach,
                     about=known(pit, f"{door.name}.stop"))  # fmt: skip
    sketch.symbol(pin, "centre", size=2.4, title="hinge pin")
    tip = on_paper(_swung(door.pin, edge, door.stop))
    text = f"open: {pit.tape.length(door.edge_top_z)} off the floor,\n{pit.tape.length(door.reach)} out from the centre"
    sketch.callout(tip, text, toward=0.5 if hand > 0.0 else math.pi - 0.5, about=known(pit, f"{door.name}.stop"))


def _legs(sketch: Sketch, pit: Pit, eye: Eye) -> None:
    """Centre lines of the near legs, their lean, and where they meet the shell."""
    if not pit.leg_sets:
        return
    for leg in near_set(pit):
        foot = eye.point((0.0, leg.foot_y, leg.foot_z))
        top = eye.point(leg_contact(pit, leg))
        sketch.line(foot, top, "centre")
        if leg.side == "working":
            way = math.atan2(top[1] - foot[1], top[0] - foot[0])
            sketch.dim_angle(
                foot,
                way,
                math.pi / 2.0 - way,
                f"lean {pit.tape.angle(leg.lean)}",
                radius=26.0,
                within=0.8 * math.dist(foot, top),
            )
            text = f"meets the shell {pit.tape.length(leg.around)}\nfrom the bottom line"
            sketch.callout(top, text, toward=-0.4 if eye.right[1] > 0 else math.pi + 0.4)


def near_set(pit: Pit) -> tuple[LegLayout, ...]:
    """The legs of the set nearest the stack end."""
    return max(pit.leg_sets, key=lambda s: s.x).legs


def leg_contact(pit: Pit, leg: LegLayout) -> tuple[float, float, float]:
    """Where a leg's centre line meets the shell, in the pit frame [m]."""
    clock = (math.pi - leg.contact) * (1.0 if leg.side == "working" else -1.0)
    return pit.vessel.skin(leg.x, clock)


def _widths(sketch: Sketch, pit: Pit, eye: Eye) -> None:
    """Between foot centres, over the rails, and over all."""
    base = pit.base

    def level(a: float, b: float, about: str, *, bold: bool = False) -> None:
        p, q = eye.point((0.0, a, 0.0)), eye.point((0.0, b, 0.0))
        sketch.dim(p, q, "below", base=0.0, about=known(pit, about), bold=bold)

    if pit.leg_sets:
        ys = [leg.foot_y for leg in near_set(pit)]
        level(min(ys), max(ys), "", bold=True)
    half = base.rails_outside / 2.0
    level(-half, half, "base.rails_outside")
    opened = float(pit.reasons["overall.width_open"].value)
    out = max(max((d.reach for d in pit.doors), default=0.0), box_of(p for p in pit.parts if p.group == "base")[1][1],
              max((v.travel + v.width / 2.0 for v in pit.grates.levels), default=0.0))  # fmt: skip
    level(out - opened, out, "overall.width_open")


def _door_lines(sketch: Sketch, pit: Pit, eye: Eye) -> None:
    """Hinge line and lower edge of the doors by tape from the top line; left out where no cut marks are issued."""
    vessel, tape, hand = pit.vessel, pit.tape, eye.right[1]
    if not pit.cleared:
        return
    door = pit.doors[0]
    for clock, what, about in (
        (door.hinge_clock, "hinge edge", "doors.hinge_clock"),
        (door.edge_clock, "lower edge", "doors.edge_clock"),
    ):
        at = eye.point(vessel.skin(vessel.length, clock))
        text = f"{what}\n{tape.length(vessel.around_at(clock))} from the top line"
        way = math.pi / 2.0 - clock
        sketch.callout(at, text, toward=way if hand > 0 else math.pi - way, about=known(pit, about))


def _fire_sizes(sketch: Sketch, pit: Pit, eye: Eye) -> None:
    """Sizes of firebox, doors and throat."""
    vessel, box, tape = pit.vessel, pit.firebox, pit.tape

    def across(centre_z: float, radius: float, turn: float, about: str) -> None:
        at = (radius * math.cos(turn), centre_z + radius * math.sin(turn))
        sketch.callout(at, f"Ø {tape.length(2.0 * radius)}", toward=turn, about=known(pit, about))

    if box.shape == "round":
        across(box.centre_z, box.width / 2.0, math.radians(-50.0), "firebox.width")
    else:
        half = box.width / 2.0
        sketch.dim((-half, box.bottom_z), (half, box.bottom_z), "below", base=0.0, about=known(pit, "firebox.width"))
    across(vessel.centre_z, vessel.outer_radius, math.radians(40.0), "vessel.diameter")
    text = f"fire door opening\n{tape.length(box.door_width)} x {tape.length(box.door_height)}"
    sketch.callout((box.door_width / 2.0, box.door_z + 0.6 * box.door_height), text, toward=0.2,
                   about=known(pit, "firebox.door_width"))  # fmt: skip
    text = f"{box.inlets} inlets, open {tape.small_area(box.inlet_area)}"
    sketch.callout((-box.inlet_width / 4.0, box.inlet_z), text, toward=math.pi + 0.5, dot=True,
                   about=known(pit, "firebox.inlet_area"))  # fmt: skip
    throat = pit.throat
    at = (-throat.widest / 2.0, vessel.centre_z + throat.widest_at)
    text = f"throat {tape.small_area(throat.net_area)} net,\nover a {tape.length(throat.dam)} dam"
    sketch.callout(at, text, toward=math.pi - 0.4, about=known(pit, "throat.net"))
