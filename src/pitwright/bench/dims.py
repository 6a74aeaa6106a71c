"""The few dimensions of what is in hand, as data: the page draws them while the hand moves."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

from pitwright.bench.drawings import Live, View, on_view
from pitwright.layout.model import LegSet, Pit
from pitwright.parts import Vec

_LEG = re.compile(r"leg (?:set )?([A-Z])\b")


def leg_in_hand(pit: Pit, hand: str | None) -> LegSet | None:
    """The leg set a name speaks of; the first one where it speaks of none."""
    match = _LEG.search(hand or "")
    for one in pit.leg_sets:
        if match and one.name == match[1]:
            return one
    return pit.leg_sets[0] if pit.leg_sets else None


def live_dims(pit: Pit, hand: str | None) -> list[Live]:
    """The dimensions of what is in hand, on every view that shows them."""
    if not hand:
        return []
    if pit.upright is not None:
        return list(_on_end(pit))
    if _LEG.search(hand):
        leg_set = leg_in_hand(pit, hand)
        return list(_leg(pit, leg_set)) if leg_set is not None else []
    if hand.startswith("door ") or hand == "hinge line":
        return list(_doors(pit))
    if hand.startswith(("throat", "firebox", "fire grate")):
        return list(_fire_end(pit))
    if hand.startswith("stack"):
        return list(_stack(pit))
    if hand.startswith(("main grate", "grate ", "vessel", "baffle")):
        return list(_grates(pit))
    if hand.startswith(("rail", "fork", "saddle", "axle", "tongue", "hitch", "grips", "casters")):
        return list(_base(pit))
    return list(_skin(pit))


def _line(pit: Pit, view: View, a: Vec, b: Vec, text: str, name: str) -> Live:
    return Live(
        view=view,
        start=on_view(pit, view, a),
        end=on_view(pit, view, b),
        text=text,
        name=name if name in pit.reasons else "",
    )


def _leg(pit: Pit, leg_set: LegSet) -> Iterator[Live]:
    vessel, tape, leg = pit.vessel, pit.tape, leg_set.legs[0]
    name = f"legs.{leg_set.name}"
    on_shell = leg_set.x >= 0.0
    radius = vessel.outer_radius if on_shell else pit.firebox.width / 2.0
    centre = vessel.centre_z if on_shell else pit.firebox.centre_z
    y, z = radius * math.sin(leg.contact), centre - radius * math.cos(leg.contact)
    views: tuple[View, ...] = ("stack end", "fire end")
    for view in views:
        yield _line(pit, view, (leg.x, 0.0, leg.foot_z), (leg.x, leg.foot_y, leg.foot_z), tape.length(leg.foot_y),
                    f"{name}.half_spread")  # fmt: skip
        yield _line(pit, view, (leg.x, y, z), (leg.x, radius, z), tape.length(radius - y), f"{name}.inboard")
        yield _line(pit, view, (leg.x, leg.foot_y, leg.foot_z), (leg.x, y, z),
                    f"lean {tape.angle(leg.lean)}", f"{name}.lean")  # fmt: skip
    seam = vessel.x_at(0.0)
    low = vessel.centre_z - vessel.outer_radius
    for view in _SIDES:
        yield _line(pit, view, (seam, leg.foot_y, low), (leg.x, leg.foot_y, low),
                    tape.length(vessel.station(leg_set.x)), f"{name}.station")  # fmt: skip


_SIDES: tuple[View, ...] = ("side", "plan")


def _doors(pit: Pit) -> Iterator[Live]:
    vessel, tape = pit.vessel, pit.tape
    first, last = pit.doors[0], pit.doors[-1]
    views: tuple[View, ...] = ("side", "wrap map")
    for view in views:
        high = vessel.skin(0.0, first.hinge_clock + 0.15)

        def level(x0: float, x1: float, name: str, view: View = view, high: Vec = high) -> Live:
            return _line(pit, view, (x0, *high[1:]), (x1, *high[1:]), tape.length(abs(x1 - x0)), name)

        yield level(0.0, first.x0, "doors.end_margin")
        for door in pit.doors:
            yield level(door.x0, door.x1, "doors.width")
        yield level(last.x1, vessel.length, "doors.end_margin")
    for clock, name in ((first.hinge_clock, "doors.hinge_clock"), (first.edge_clock, "doors.edge_clock")):
        text = f"{tape.length(vessel.around_at(clock))} from the top line"
        out = vessel.skin(vessel.length, clock, 0.06)
        yield _line(pit, "stack end", vessel.skin(vessel.length, clock), out, text, name)
    edge = first.edge_top_z
    yield _line(pit, "stack end", (0.0, first.reach, 0.0), (0.0, first.reach, edge),
                f"open: {tape.length(edge)} up, {tape.length(first.reach)} out", "door 1.stop")  # fmt: skip


def _fire_end(pit: Pit) -> Iterator[Live]:
    vessel, box, tape, throat = pit.vessel, pit.firebox, pit.tape, pit.throat
    low = vessel.centre_z - vessel.inner_radius
    views: tuple[View, ...] = ("side", "fire end")
    x = box.x0
    for view in views:
        y = box.width / 2.0 if view == "fire end" else 0.0
        yield _line(pit, view, (x, y, box.centre_z), (x, y, vessel.centre_z), tape.length(box.drop), "firebox.drop")
        yield _line(pit, view, (0.0, 0.0, low), (0.0, 0.0, low + throat.dam), tape.length(throat.dam), "throat.dam")
        inside = box.grate_z - box.ash_depth
        at = (x + box.end_plate, 0.0)
        yield _line(pit, view, (*at, inside), (*at, box.grate_z), tape.length(box.ash_depth), "firebox.fire_grate")
        yield _line(pit, view, (x, -y, 0.0), (x, -y, box.bottom_z), tape.length(box.bottom_z), "")
    yield _line(pit, "side", (box.x0 + box.end_plate, 0.0, box.centre_z), (box.x1, 0.0, box.centre_z),
                tape.length(box.depth_inside), "firebox.length")  # fmt: skip
    half = box.width / 2.0
    yield _line(pit, "fire end", (x, -half, box.centre_z), (x, half, box.centre_z), tape.length(box.width),
                "firebox.width")  # fmt: skip
    yield _line(pit, "fire end", (0.0, 0.0, low + throat.dam), (0.0, 0.0, vessel.centre_z + throat.top),
                f"throat {tape.small_area(throat.net_area)}", "throat.net")  # fmt: skip


def _stack(pit: Pit) -> Iterator[Live]:
    vessel, stack, tape = pit.vessel, pit.stack, pit.tape
    top = vessel.centre_z + vessel.outer_radius
    views: tuple[View, ...] = ("side", "stack end")
    for view in views:
        side = (stack.x, stack.y + stack.profile.height)
        yield _line(pit, view, (*side, top), (*side, stack.top_z), tape.length(stack.top_z - top), "stack.height")
    if stack.place == "end":
        return
    seam = vessel.x_at(0.0)
    for view in _SIDES:
        yield _line(pit, view, (seam, stack.y, top), (stack.x, stack.y, top),
                    tape.length(abs(vessel.station(stack.x))), "stack.x")  # fmt: skip
    across: tuple[View, ...] = ("stack end", "plan")
    for view in across:
        yield _line(pit, view, (stack.x, 0.0, top), (stack.x, stack.y, top), tape.length(abs(stack.y)),
                    "stack.behind_top")  # fmt: skip


def _grates(pit: Pit) -> Iterator[Live]:
    vessel, tape = pit.vessel, pit.tape
    main = pit.grates.levels[0]
    views: tuple[View, ...] = ("side", "stack end")
    x = vessel.length * 0.5
    for view in views:
        at = (x, -0.3 * main.width)
        yield _line(pit, view, (*at, 0.0), (*at, main.z), tape.length(main.z), "order.grate_height")
        yield _line(pit, view, (x, 0.0, main.z), (x, 0.0, vessel.centre_z),
                    tape.length(abs(main.above_centre)), "grates.below_centre")  # fmt: skip
        for level in pit.grates.levels[1:]:
            yield _line(pit, view, (x, 0.2 * main.width, main.z), (x, 0.2 * main.width, level.z),
                        tape.length(level.z - main.z), f"grates.{level.name}.height")  # fmt: skip
    for plate in pit.grates.plates[:1]:
        yield _line(pit, "side", (plate.x0, 0.0, plate.z0), (plate.x0, 0.0, main.z),
                    tape.length(main.z - plate.z0), "baffle.under_grate")  # fmt: skip


def _base(pit: Pit) -> Iterator[Live]:
    vessel, base, tape = pit.vessel, pit.base, pit.tape
    seam, z = vessel.x_at(0.0), base.rail_top
    half = base.rails_outside / 2.0
    for view in _SIDES:
        for x, name in ((base.rail_x0, "base.rail_fire_end"), (base.rail_x1, "base.rail_stack_end")):
            yield _line(pit, view, (seam, half, z), (x, half, z), tape.length(vessel.station(x)), name)
        if base.pockets:
            low, high = base.pockets
            yield _line(pit, view, (low, half, z), (high, half, z), tape.length(high - low), "base.pocket_spread")
        for saddle in pit.saddles:
            yield _line(pit, view, (seam, 0.0, z), (saddle.x, 0.0, z), tape.length(abs(vessel.station(saddle.x))),
                        f"saddles.{saddle.name}.station")  # fmt: skip
    ends: tuple[View, ...] = ("stack end", "fire end", "plan")
    for view in ends:
        yield _line(pit, view, (0.0, -half, z), (0.0, half, z), tape.length(base.rails_outside), "base.rails_outside")


def _skin(pit: Pit) -> Iterator[Live]:
    vessel, tape = pit.vessel, pit.tape
    u = -vessel.hand * 0.5 * vessel.length
    if vessel.long_seam_clock is not None:
        around = vessel.around_at(vessel.long_seam_clock) % vessel.around
        yield Live(
            view="wrap map", start=(u, 0.0), end=(u, -around), text=tape.length(around), name="clock.top_from_seam"
        )
    drain = pit.grates.drain_x
    low = vessel.centre_z - vessel.outer_radius
    yield _line(pit, "side", (vessel.x_at(0.0), 0.0, low), (drain, 0.0, low),
                tape.length(abs(vessel.station(drain))), "drain.station")  # fmt: skip


def _on_end(pit: Pit) -> Iterator[Live]:
    """Of a vessel on end: heights, the firebox, the base."""
    vessel, box, tape = pit.vessel, pit.firebox, pit.tape
    views: tuple[View, ...] = ("side", "stack end")
    out = 1.15 * vessel.outer_radius
    for view in views:
        at = (out, -out)
        main = pit.grates.levels[0].z
        yield _line(pit, view, (*at, 0.0), (*at, main), tape.length(main), "order.grate_height")
        yield _line(pit, view, (0.0, 0.0, 0.0), (0.0, 0.0, vessel.seam_z), tape.length(vessel.seam_z), "vessel.seam")
        top = pit.stack.top_z
        over = float(pit.reasons["stack.height"].value)
        yield _line(pit, view, (0.0, 0.0, top - over), (0.0, 0.0, top), tape.length(over), "stack.height")
    inside = (box.x0 + box.end_plate, 0.0, box.centre_z)
    long = float(pit.reasons["firebox.length"].value)
    yield _line(pit, "side", inside, (inside[0] + long, 0.0, box.centre_z), tape.length(long), "firebox.length")
    if pit.upright is not None:
        half = pit.upright.square / 2.0
        yield _line(pit, "plan", (0.0, -half, 0.0), (0.0, half, 0.0), tape.length(2.0 * half), "base.square")
