"""A solved pit as the fire sees it: areas, heights, walls and weights, with the order's day and load.

What the pit's own burns and the shop's other pits taught (the job's `burns`) is in the coefficients.
"""

from __future__ import annotations

import dataclasses
import math
from itertools import pairwise

from pitwright.fire.case import (
    Chamber,
    Deck,
    Door,
    Firebox,
    FireCase,
    FireGrate,
    Gap,
    Inlet,
    Load,
    Shelf,
    Stack,
    Throat,
    Wall,
    Wanted,
    Weather,
    pressure_at,
    round_chamber,
)
from pitwright.fire.coefficients import Coefficients
from pitwright.fire.from_upright import path_start, upright_chamber, upright_shelves, upright_stack, upright_throat
from pitwright.fire.learned import coefficients_of
from pitwright.layout.model import Pit
from pitwright.masses import mass_of
from pitwright.meridian import head_form
from pitwright.parts import Group, Head
from pitwright.stock import find_profile

WIND = {"still": 0.0, "breeze": 3.0, "wind": 7.0}  # m/s, Beaufort 0, 2 to 3 and 4 (scale from memory)


def fire_case(pit: Pit, coefficients: Coefficients | None = None) -> FireCase:
    """The fire's whole input from a pit. `coefficients`: those learned from the job's burns where not given."""
    order = pit.job.order
    throat, chamber, stack, shelves = _on_end(pit) if pit.upright is not None else _lying(pit)
    return FireCase(
        name=pit.job.job.name,
        firebox=_firebox(pit),
        throat=throat,
        chamber=chamber,
        stack=stack,
        shelves=shelves,
        rises_from=None if pit.upright is None else path_start(pit),
        weather=Weather(temperature=order.outside, pressure=pressure_at(order.altitude), wind=WIND[order.weather]),
        load=Load(mass=min(pit.grates.meat_wanted, pit.grates.meat_capacity)),
        wanted=Wanted(temperature=order.cook_temperature, spread=order.spread, read_by="thermometer"),
        coefficients=coefficients or coefficients_of(pit.job),
    )


def _lying(pit: Pit) -> tuple[Throat, Chamber, Stack, tuple[Shelf, ...]]:
    throat = Throat(
        area=pit.throat.net_area,
        z_low=pit.vessel.centre_z + pit.throat.bottom,
        z_high=pit.vessel.centre_z + pit.throat.top,
    )
    shelves = tuple(
        Shelf(name=level.name, z=level.z, x0=level.x0, x1=level.x1, width=level.width)
        for level in pit.grates.levels[1:]
    )
    return throat, _chamber(pit), _stack(pit), shelves


def _on_end(pit: Pit) -> tuple[Throat, Chamber, Stack, tuple[Shelf, ...]]:
    chamber = upright_chamber(pit, group_mass(pit, "vessel", "doors"), group_mass(pit, "grates"))
    return upright_throat(pit), chamber, upright_stack(pit), upright_shelves(pit)


def group_mass(pit: Pit, *groups: Group) -> float:
    """Steel of some groups of pieces [kg]."""
    return sum(mass_of(part).mass * part.quantity for part in pit.parts if part.group in groups)


def _firebox(pit: Pit) -> Firebox:
    box = pit.firebox
    length = box.x1 - box.x0
    grown = 2.0 * (box.double_gap + box.outer_skin)
    wide, tall = box.width + grown, box.height + grown
    if box.shape == "round":
        around, end = math.pi * wide, math.pi / 4.0 * wide**2
        volume = math.pi / 4.0 * box.inside_width**2 * box.depth_inside
    else:
        around, end = 2.0 * (wide + tall), wide * tall
        volume = box.inside_width * box.inside_height * box.depth_inside
    behind = max(end - pit.throat.gross_area, 0.0)  # of the end at the vessel, what stands clear of it
    skin = around * length + end + behind
    bar = find_profile(pit.job.proportions.firebox.fire_grate, field="proportions.firebox.fire_grate")
    gap = pit.job.proportions.firebox.fire_grate_gap
    door = Door(
        name="fire door",
        room="firebox",
        x0=0.0,
        x1=0.0,
        z_low=box.door_z,
        z_high=box.door_z + box.door_height,
        width=box.door_width,
        side=box.door_height,
    )
    return Firebox(
        skin=skin,
        volume=volume,
        diameter=tall,
        z_low=box.centre_z - box.inside_height / 2.0,
        z_high=box.centre_z + box.inside_height / 2.0,
        steel=group_mass(pit, "firebox"),
        wall=Wall(thickness=box.wall, insulation=box.double_gap),
        grate=FireGrate(area=box.grate_width * box.grate_length, open_share=gap / (gap + bar.height)),
        inlets=tuple(
            Inlet(name=f"inlet {i + 1}", area=box.inlet_area / box.inlets, z=box.inlet_z) for i in range(box.inlets)
        ),
        doors=(door,),
    )


def _chamber(pit: Pit) -> Chamber:
    vessel, main = pit.vessel, pit.grates.levels[0]
    radius = vessel.outer_radius
    doors = tuple(
        Door(
            name=d.name,
            room="chamber",
            x0=d.x0,
            x1=d.x1,
            z_low=vessel.centre_z + radius * math.cos(d.edge_clock),
            z_high=vessel.centre_z + radius * math.cos(d.hinge_clock),
            width=d.x1 - d.x0,
            side=d.arc,
        )
        for d in pit.doors
    )
    chamber = round_chamber(
        inside_diameter=2.0 * vessel.inner_radius,
        length=vessel.length,
        z_centre=vessel.centre_z,
        z_grate=main.z,
        ends=_mean_end(pit),
        inner_steel=group_mass(pit, "grates"),
        wall=Wall(thickness=vessel.wall),
        doors=doors,
        decks=_decks(pit),
    )
    return dataclasses.replace(
        chamber,
        steel=group_mass(pit, "vessel", "doors", "throat"),
        grate_x0=max(main.x0, 0.0),
        grate_x1=min(main.x1, vessel.length),
    )


def _mean_end(pit: Pit) -> float:
    """Wall of an end of the chamber [m2]: mean of the far end and of the fire end round its opening to the firebox."""
    disc = math.pi * pit.vessel.inner_radius**2

    def inside(head: Head | None) -> float:
        return disc if head is None else head_form(head).figures().inside_area

    at_fire = inside(pit.vessel.fire_head) - pit.throat.gross_area
    return 0.5 * (max(at_fire, 0.0) + inside(pit.vessel.stack_head))


def _decks(pit: Pit) -> tuple[Deck, ...]:
    plates = pit.grates.plates
    if not plates:
        return ()
    first, last = plates[0], plates[-1]
    length = pit.vessel.length
    far = (last.x1 + length) / 2.0
    if pit.grates.return_area:
        ways = [(far, pit.grates.return_area)]
    else:
        between = [((a.x1 + b.x0) / 2.0, (b.x0 - a.x1) * a.width) for a, b in pairwise(plates)]
        ways = [(first.x0 / 2.0, first.x0 * first.width), *between, (far, (length - last.x1) * last.width)]
    gaps = tuple(Gap(x=x, area=area) for x, area in ways if area > 0.0)
    z = (first.z0 + last.z1) / 2.0 - first.thickness / 2.0
    return (Deck(z=z, thickness=first.thickness, width=first.width, gaps=gaps),)


def _stack(pit: Pit) -> Stack:
    stack = pit.stack
    bore = stack.profile.height - 2.0 * stack.profile.wall
    wall = Wall(thickness=stack.profile.wall)
    if stack.place == "end":
        return Stack(
            x=pit.vessel.length,
            z_mouth_low=stack.base_z - bore / 2.0,
            z_mouth_high=stack.base_z + bore / 2.0,
            z_top=stack.top_z,
            diameter=bore,
            wall=wall,
            mitres=1,
        )
    mouth = stack.inlet_z if stack.reach_in else pit.vessel.centre_z + pit.vessel.inner_radius * math.cos(stack.clock)
    return Stack(
        x=stack.x,
        z_mouth_low=mouth,
        z_mouth_high=mouth,
        z_top=stack.top_z,
        diameter=bore,
        wall=wall,
        entry="projecting" if stack.reach_in else "flush",
    )
