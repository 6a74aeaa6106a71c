"""Grips of the doors: their ends along the pit, hinge line, lower edge, and how far they open."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pitwright.bench.drawings import View, on_view
from pitwright.bench.grips.grip import (
    Grip,
    Ruled,
    Snap,
    by_rule,
    clock_of,
    figure,
    override,
    overrides,
    shares,
    state_of,
    written,
    x_of,
    y_of,
)
from pitwright.layout.model import DoorLayout, Pit

_EIGHTHS = (0.125, 0.25, 0.375)


def door_grips(pit: Pit) -> Iterator[Grip]:
    """All grips of the chamber doors."""
    if not pit.doors:
        return
    yield from _ends(pit)
    yield _hinge(pit)
    yield _lower_edge(pit)
    yield _stop(pit)


def _cut(pit: Pit) -> str:
    if any(d.width is not None or d.arc is not None for d in pit.job.measured.doors):
        return "a door opening was measured: it is cut"
    return state_of(pit, groups=("doors",))


def _ends(pit: Pit) -> Iterator[Grip]:
    vessel, tape, doors = pit.vessel, pit.tape, pit.doors
    first, last = doors[0], doors[-1]
    middle = (first.hinge_clock + first.edge_clock) / 2.0
    fixed = _cut(pit)
    margin, width = figure(pit, "doors.end_margin"), figure(pit, "doors.width")
    mullion = pit.job.proportions.doors.mullion
    views: tuple[View, ...] = ("side", "wrap map")

    def grip(door: DoorLayout, end: str, name: str, value: float, way: float, high: float, snaps: list[Snap]) -> Grip:
        x = door.x0 if end == "fire" else door.x1
        point = vessel.skin(x, middle)
        return Grip(
            id=f"{door.name} {end} end",
            label=f"{end} end of {door.name}: " + ("door end to girth seam" if name == "doors.end_margin" else "width"),
            name=name,
            places={view: on_view(pit, view, point) for view in views},
            value=value,
            read=lambda view, u, v: way * x_of(pit, u),
            edits=lambda new: override(pit, name, written(tape, new, "length")),
            snaps=(*by_rule(pit, [name]), *snaps),
            low=0.0 if name == "doors.end_margin" else 0.2032,
            high=high,
            fixed=fixed,
            text=f"{tape.length(value)} {'from the seam' if name == 'doors.end_margin' else 'wide'}",
        )

    sets = [(f"leg set {s.name}", s.x) for s in pit.leg_sets] + [(f"saddle {s.name}", s.x) for s in pit.saddles]
    at_fire = [Snap(value=x, words=f"over {what}") for what, x in sets if 0.0 < x < vessel.length / 2.0]
    at_stack = [
        Snap(value=vessel.length - x, words=f"over {what}")
        for what, x in sets
        if vessel.length / 2.0 < x < vessel.length
    ]
    most = (vessel.length - 0.2032) / 2.0
    yield grip(first, "fire", "doors.end_margin", margin, 1.0, most, at_fire)
    room = (vessel.length - 2.0 * margin) / len(doors)
    whole = [
        Snap(value=(vessel.length - 2.0 * margin - (len(doors) - 1) * mullion) / len(doors),
             words=f"a mullion of {tape.length(mullion)}, the shop's rule"),
        *shares(vessel.length, "seam length", 4),
    ]  # fmt: skip
    yield grip(first, "stack", "doors.width", width, 1.0, room, whole)
    if len(doors) > 1:
        yield grip(last, "fire", "doors.width", width, -1.0, room, whole)
        yield grip(last, "stack", "doors.end_margin", margin, -1.0, most, at_stack)


def _round(pit: Pit) -> list[Snap]:
    return [
        Snap(value=2.0 * math.pi * k, words=f"{w} of the around from the top line")
        for k, w in zip(_EIGHTHS, ("1/8", "1/4", "3/8"), strict=True)
    ]


def _hinge(pit: Pit) -> Grip:
    vessel, door = pit.vessel, pit.doors[0]
    views: tuple[View, ...] = ("stack end", "fire end", "wrap map")
    return Grip(
        id="hinge line",
        label="hinge line of the doors",
        name="doors.hinge_clock",
        places={view: _on_skin(pit, view, door.hinge_clock) for view in views},
        value=door.hinge_clock,
        read=lambda view, u, v: clock_of(pit, view, u, v),
        edits=overrides(pit, ["doors.hinge_clock"], "angle"),
        measure="angle",
        arm=vessel.outer_radius,
        snaps=(*by_rule(pit, ["doors.hinge_clock"]), Snap(value=0.0, words="the top line"), *_round(pit)),
        low=-0.6,
        high=min(1.2, door.edge_clock - math.radians(21.0)),
        fixed=_cut(pit),
        text=f"{pit.tape.length(vessel.around_at(door.hinge_clock))} from the top line",
        arc=True,
    )


def _lower_edge(pit: Pit) -> Grip:
    vessel, door = pit.vessel, pit.doors[0]
    main = pit.grates.levels[0]
    snaps: list[Snap | Ruled] = [*by_rule(pit, ["doors.edge_clock"])]
    if abs(main.above_centre) < vessel.outer_radius:
        snaps.append(Snap(value=math.acos(main.above_centre / vessel.outer_radius), words="the main grate line"))
    views: tuple[View, ...] = ("stack end", "fire end", "wrap map", "side")
    return Grip(
        id="door lower edge",
        label="lower edge of the doors",
        name="doors.edge_clock",
        places={view: _on_skin(pit, view, door.edge_clock) for view in views},
        value=door.edge_clock,
        read=lambda view, u, v: clock_of(pit, view, u, v),
        edits=overrides(pit, ["doors.edge_clock"], "angle"),
        measure="angle",
        arm=vessel.outer_radius,
        snaps=(*snaps, *_round(pit)),
        low=door.hinge_clock + math.radians(21.0),
        high=math.radians(174.0),
        fixed=_cut(pit),
        text=f"{pit.tape.length(vessel.around_at(door.edge_clock))} from the top line",
        arc=True,
    )


def _on_skin(pit: Pit, view: View, clock: float) -> tuple[float, float]:
    """A clock on the skin at the middle of the first door; on the wrap map as it lies there."""
    vessel, door = pit.vessel, pit.doors[0]
    x = (door.x0 + door.x1) / 2.0
    if view == "wrap map":
        return (-vessel.hand * x, -vessel.around_at(clock))
    return on_view(pit, view, vessel.skin(x, clock))


def _stop(pit: Pit) -> Grip:
    vessel, door = pit.vessel, pit.doors[0]
    edge = vessel.skin(0.0, door.edge_clock)
    dy, dz = edge[1] - door.pin[0], edge[2] - door.pin[1]
    c, s = math.cos(door.stop), math.sin(door.stop)
    tip = (vessel.length, door.pin[0] + dy * c - dz * s, door.pin[1] + dy * s + dz * c)
    names = [f"{d.name}.stop" for d in pit.doors]

    def read(view: View, u: float, v: float) -> float:
        turn = math.atan2(v - door.pin[1], y_of(pit, view, u, v) - door.pin[0]) - math.atan2(dz, dy)
        return turn % (2.0 * math.pi)

    return Grip(
        id="door stop",
        label="how far the doors open",
        name=names[0],
        places={"stack end": on_view(pit, "stack end", tip)},
        value=door.stop,
        read=read,
        edits=overrides(pit, names, "angle"),
        measure="angle",
        step=math.radians(0.5),
        far=math.radians(5.0),
        arm=math.hypot(dy, dz) / 4.0,
        snaps=(*by_rule(pit, names), Snap(value=math.pi / 2.0, words="square open")),
        low=math.radians(30.0),
        high=math.radians(180.0),
        text=f"stop {pit.tape.angle(door.stop)}",
        arc=True,
    )
