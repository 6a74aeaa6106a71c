"""The four numbers that go on the wall: where the three men of a crew meet."""

from __future__ import annotations

import math

from pitwright.layout.model import DoorLayout, Pit
from pitwright.sheets.blocks import BigFigure
from pitwright.sheets.views.common import known
from pitwright.sheets.views.upright_wants import upright_wall

HELD = "held back"


def wall_figures(pit: Pit) -> tuple[BigFigure, ...]:
    """Leg-feet stations and spread, firebox drop, stack against the nearest door, leg clock against the doors' lower edge."""
    if pit.upright is not None:
        return upright_wall(pit)
    return (_feet(pit), _drop(pit), _stack(pit), _clock(pit))


def _feet(pit: Pit) -> BigFigure:
    tape, vessel = pit.tape, pit.vessel
    if pit.saddles:
        places = sorted(vessel.station(s.x) for s in pit.saddles)
        figure = " and ".join(tape.length(p) for p in places)
        note = f"from the {vessel.datum} seam; contact {tape.angle(pit.saddles[0].contact)} of shell"
        return BigFigure("saddles at stations", figure, note)
    places = sorted(vessel.station(s.legs[0].x) for s in pit.leg_sets)
    figure = " and ".join(tape.length(p) for p in places)
    spreads = {tape.length(max(leg.foot_y for leg in s.legs) - min(leg.foot_y for leg in s.legs)) for s in pit.leg_sets}
    note = f"from the {vessel.datum} seam; spread {' and '.join(sorted(spreads))}, foot centre to foot centre"
    return BigFigure("leg feet at stations", figure, note, about=known(pit, "legs.A.half_spread"))


def _drop(pit: Pit) -> BigFigure:
    tape, box = pit.tape, pit.firebox
    note = f"spring line down to firebox centre; centre {tape.length(box.centre_z)} off the floor"
    return BigFigure("firebox drop", tape.length(box.drop), note, about=known(pit, "firebox.drop"))


def _stack(pit: Pit) -> BigFigure:
    tape, vessel, stack = pit.tape, pit.vessel, pit.stack
    door = min(pit.doors, key=lambda d: min(abs(stack.x - d.x0), abs(stack.x - d.x1)))
    if stack.place == "end":
        figure = tape.length(stack.base_z)
        return BigFigure("stack out of the end, centre off the floor", figure, f"{door.name} {_ends(pit, door)}")
    if not pit.cleared:
        return BigFigure(f"stack station, against {door.name}", HELD, "no cut marks before the vessel is cleared")
    behind = "on the top line"
    if abs(stack.y) > 1e-6:
        behind = f"{tape.length(abs(stack.y))} {'behind' if stack.y < 0.0 else 'in front of'} the top line"
    figure = tape.length(vessel.station(stack.x))
    return BigFigure(
        f"stack station, against {door.name}",
        figure,
        f"{behind}; {door.name} {_ends(pit, door)}",
        known(pit, "stack.x"),
    )


def _ends(pit: Pit, door: DoorLayout) -> str:
    if not pit.cleared:
        return HELD
    ends = sorted(pit.vessel.station(x) for x in (door.x0, door.x1))
    return f"from {pit.tape.length(ends[0])} to {pit.tape.length(ends[1])}"


def _clock(pit: Pit) -> BigFigure:
    tape, vessel = pit.tape, pit.vessel
    edge = vessel.around_at(pit.doors[0].edge_clock)
    if pit.saddles:
        what, low = "saddle edge / door lower edge, round from top", math.pi - max(s.contact for s in pit.saddles) / 2.0
    else:
        on_shell = [leg for s in pit.leg_sets if s.x > 0.0 for leg in s.legs if leg.side == "working"]
        what, low = "leg centre / door lower edge, round from top", math.pi - max(leg.contact for leg in on_shell)
    around = vessel.around_at(low)
    if not pit.cleared:
        return BigFigure(what, f"{tape.length(around)} / {HELD}", "no cut marks before the vessel is cleared")
    note = f"{tape.length(tape.rounded(around) - tape.rounded(edge))} of skin between them"
    return BigFigure(what, f"{tape.length(around)} / {tape.length(edge)}", note, about=known(pit, "doors.edge_clock"))
