"""Where on the drawings a finding or a figure is: a view and a point of it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from pitwright.bench.drawings import View, on_view
from pitwright.findings import Finding
from pitwright.layout.model import LegSet, Pit
from pitwright.parts import Part, Vec

Place = tuple[View, Vec]
_SET = re.compile(r"leg set ([A-Z])")
_LEG = re.compile(r"leg ([A-Z])\b")
_SADDLE = re.compile(r"saddle ([A-Z])")
_DOOR = re.compile(r"door (\d)")


def place_of(pit: Pit, finding: Finding) -> dict[str, Any] | None:
    """The view and the point [m] a finding is about; None where it is about the pit as a whole."""
    for piece in finding.pieces:
        found = _piece(pit, piece)
        if found is not None:
            return _as_json(pit, found)
    found = _topic(pit, finding.code)
    return None if found is None else _as_json(pit, found)


def _as_json(pit: Pit, place: Place) -> dict[str, Any]:
    u, v = on_view(pit, *place)
    return {"view": place[0], "at": [round(u, 4), round(v, 4)]}


def _leg(pit: Pit, one: LegSet) -> Place:
    leg = one.legs[0]
    return "stack end", (leg.x, leg.foot_y, leg.foot_z + 0.4 * leg.centre_length)


def _piece(pit: Pit, piece: str) -> Place | None:
    vessel, base = pit.vessel, pit.base
    match = _SET.match(piece) or _LEG.match(piece)
    if match:
        return next((_leg(pit, s) for s in pit.leg_sets if s.name == match[1]), None)
    match = _SADDLE.match(piece)
    if match:
        return next(
            (("side", (s.x, 0.0, base.rail_top + s.middle_height / 2.0)) for s in pit.saddles if s.name == match[1]),
            None,
        )
    match = _DOOR.match(piece)
    if match and int(match[1]) <= len(pit.doors):
        door = pit.doors[int(match[1]) - 1]
        return "side", vessel.skin((door.x0 + door.x1) / 2.0, (door.hinge_clock + door.edge_clock) / 2.0)
    plain = _plain(pit, piece)
    if plain is not None:
        return plain
    for fitting in vessel.fittings:
        if fitting.name == piece and fitting.on == "shell":
            return "wrap map", vessel.skin(fitting.x, fitting.clock)
    return _part(pit, (p for p in pit.parts if p.mark == piece or p.name == piece))


def _plain(pit: Pit, piece: str) -> Place | None:
    vessel, base, box, stack = pit.vessel, pit.base, pit.firebox, pit.stack
    rail_z = base.rail_top - base.rail.height / 2.0
    if piece in ("rails", "rail"):
        return "side", (base.rail_x1, base.rail_y, rail_z)
    if piece.startswith("fork pocket") and base.pockets:
        return "side", (base.pockets[0], base.rail_y, rail_z)
    if piece.startswith("firebox"):
        return "side", ((box.x0 + box.x1) / 2.0, 0.0, box.centre_z)
    if piece in ("fire door", "ash door", "inlets"):
        return "fire end", (box.x0, 0.0, box.door_z if piece == "fire door" else box.inlet_z)
    if piece == "throat":
        return "fire end", (0.0, 0.0, vessel.centre_z + (pit.throat.bottom + pit.throat.top) / 2.0)
    if piece.startswith("stack"):
        return "side", (stack.x, stack.y, (stack.base_z + stack.top_z) / 2.0)
    if piece == "drain":
        return "side", vessel.skin(pit.grates.drain_x, pit.grates.drain_clock)
    if piece == "long seam" and vessel.long_seam_clock is not None:
        return "wrap map", vessel.skin(vessel.length / 2.0, vessel.long_seam_clock)
    if piece == "girth seam" and vessel.girth_seams:
        return "side", vessel.skin(vessel.girth_seams[0], 1.57)
    running = _running(pit, piece)
    if running is not None:
        return running
    for level in pit.grates.levels:
        if piece == level.name:
            return "side", ((level.x0 + level.x1) / 2.0, 0.0, level.z)
    return None


def _running(pit: Pit, piece: str) -> Place | None:
    """What a pit stands, rolls, travels or hangs on."""
    base = pit.base
    if piece.startswith(("caster", "feet", "foot", "rest leg")) and base.supports:
        first = base.supports[0]
        return "side", (first.x, first.y, first.top / 2.0)
    if piece.startswith(("axle", "wheel", "fender", "spring")) and base.axles:
        return "side", (base.axles[0].x, base.axles[0].track / 2.0, base.axles[0].radius)
    if piece.startswith(("tongue", "coupler")) and base.tongue is not None:
        return "side", base.tongue.coupler
    if piece.startswith(("grip", "handle")) and base.handles is not None:
        return "side", base.handles.grip
    if piece.startswith(("sling", "lifting lug", "spreader")):
        return "side", pit.balance["empty"].centre
    return None


def _part(pit: Pit, parts: Iterable[Part]) -> Place | None:
    from pitwright.masses import mass_of

    for part in parts:
        return "side", part.placements[0].point(mass_of(part).centre)
    return None


def _topic(pit: Pit, code: str) -> Place | None:
    """By the topic of the finding's code, where it names no piece."""
    vessel, base = pit.vessel, pit.base
    topic = code.split(".")[0]
    if topic == "legs" and pit.leg_sets:
        return _leg(pit, pit.leg_sets[0])
    if topic == "saddles" and pit.saddles:
        return _piece(pit, f"saddle {pit.saddles[0].name}")
    if topic in ("doors", "door") and pit.doors:
        return _piece(pit, "door 1")
    if topic in ("firebox", "throat", "stack"):
        return _plain(pit, topic)
    if topic == "fire":
        return _plain(pit, "stack" if "stack" in code else "throat" if "throat" in code else "firebox")
    if topic == "grates":
        return _plain(pit, "main grate")
    if topic == "clock":
        return "wrap map", vessel.skin(vessel.length / 2.0, 0.0)
    if topic in ("base", "skid"):
        return "side", ((base.rail_x0 + base.rail_x1) / 2.0, base.rail_y, base.rail_top)
    if topic in ("stand", "tip", "lift"):
        return "side", pit.balance["empty"].centre
    return None
