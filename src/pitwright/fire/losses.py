"""Loss coefficients of every opening: which formula, from where, turned into ways of the flow network."""

from __future__ import annotations

import math
from typing import Final

import fluids

from pitwright.fire.case import Door, FireCase
from pitwright.fire.coefficients import Values
from pitwright.fire.network import OUTSIDE, Way

FIREBOX: Final = 0
CHAMBER: Final = 1
UNDER: Final = 2

EXIT: Final = 1.0  # velocity head lost into a large space; Crane TP-410
ENTRY: Final = {"flush": 0.50, "projecting": 0.78, "rounded": 0.10}  # Crane TP-410 A-29
CLOSED: Final = 1e-6  # an opening shut by hand still leaks a millionth
_PROFILE: Final = ((-0.7745966692, 5 / 18), (0.0, 8 / 18), (0.7745966692, 5 / 18))  # Gauss, three points
_SLICES: Final = 10  # of an open door


def opening_loss(discharge: float) -> float:
    """K of a sharp opening between large spaces, both heads lost: 1 / Cd^2 [-]."""
    return 1.0 / discharge**2


def throat_loss(area: float, upstream: float, downstream: float) -> float:
    """K on the throat's area: sharp contraction and sharp enlargement (Rennels; Borda and Carnot), from `fluids`."""
    throat, before, after = (math.sqrt(4.0 * a / math.pi) for a in (area, upstream, downstream))
    narrow = float(fluids.contraction_sharp(Di1=before, Di2=throat)) if throat < before else 0.0
    widen = float(fluids.diffuser_sharp(Di1=throat, Di2=after)) if throat < after else 0.0
    return max(narrow + widen, 0.05)


def damper_loss(open_share: float) -> float:
    """K of a plate closing part of a pipe: ((1 + 0.707 sqrt(1 - f) - f) / f)^2.

    Source: Idelchik, Handbook of Hydraulic Resistance, sharp-edged orifice in a straight pipe (from memory).
    """
    f = max(open_share, 1e-4)
    return ((1.0 + 0.707 * math.sqrt(max(1.0 - f, 0.0)) - f) / f) ** 2


def bed_losses(area: float, open_share: float, depth: float, lump: float, factor: float) -> tuple[float, float]:
    """K on the grate's area and linear resistance [Pa s/kg] of grate bars and coals.

    Bars: square-edged grill, `fluids.square_edge_grill` (Blevins 1984). Coals: Ergun 1952 with 55 percent voids,
    dp/L = 150 mu (1 - e)^2 u / (e^3 d^2) + 1.75 rho (1 - e) u^2 / (e^3 d); air at the grate 350 K.
    """
    bars = float(fluids.square_edge_grill(alpha=open_share, l=0.01, Dh=0.02, fd=0.05))
    voids = 0.55
    inertial = 2.0 * 1.75 * (1 - voids) * depth / (voids**3 * lump) * factor
    viscous = 150.0 * 2.08e-5 * (1 - voids) ** 2 * depth / (voids**3 * lump**2) * factor
    return bars + inertial, viscous / (1.009 * area)


def pipe_friction(flow: float, diameter: float, mu: float, roughness: float) -> float:
    """Darcy friction factor, all flow regimes in one smooth law: Churchill 1977, from `fluids`."""
    reynolds = max(4.0 * abs(flow) / (math.pi * diameter * mu), 50.0)
    return float(fluids.friction.Churchill_1977(reynolds, min(roughness / diameter, 0.05)))


def edge_ways(door: Door, gap: float, discharge: float) -> list[Way]:
    """The crack round a closed door: upper and lower edge, and each standing edge at three heights (Gauss)."""
    room = FIREBOX if door.room == "firebox" else CHAMBER
    k = opening_loss(discharge)
    pieces = [(door.z_low, door.width), (door.z_high, door.width)]
    middle, half = 0.5 * (door.z_low + door.z_high), 0.5 * (door.z_high - door.z_low)
    pieces += [(middle + half * at, 2.0 * door.side * weight) for at, weight in _PROFILE]
    return [
        Way(
            name=f"door edge: {door.name}",
            start=OUTSIDE,
            end=room,
            area=max(length * gap, 1e-9),
            losses=k,
            z=z,
            z_exit=z,
        )
        for z, length in pieces
    ]


def open_door_ways(door: Door, discharge: float) -> list[Way]:
    """An open door in slices, so that gas can leave at the top and air come in below."""
    room = FIREBOX if door.room == "firebox" else CHAMBER
    step = (door.z_high - door.z_low) / _SLICES
    return [
        Way(
            name=f"open door: {door.name}",
            start=OUTSIDE,
            end=room,
            area=door.opening / _SLICES,
            losses=opening_loss(discharge),
            z=door.z_low + (i + 0.5) * step,
            z_exit=door.z_low + (i + 0.5) * step,
        )
        for i in range(_SLICES)
    ]


def inlet_ways(case: FireCase, values: Values) -> list[Way]:
    """Every air inlet; those under the fire add the grate and the coals in series."""
    ways = []
    grate = case.firebox.grate
    primary = [i for i in case.firebox.inlets if i.under_grate and i.area > 0.0]
    total = sum(i.area for i in primary)
    for inlet in case.firebox.inlets:
        area = max(inlet.area * case.settings.inlet_open, inlet.area * CLOSED, 1e-9)
        k, bed = opening_loss(values.discharge), 0.0
        if inlet.under_grate and total > 0.0 and inlet.area > 0.0:
            share = grate.area * inlet.area / total
            on_grate, bed = bed_losses(share, grate.open_share, grate.bed, grate.lump, values.bed_resistance)
            k += on_grate * (area / share) ** 2
        ways.append(Way(name=f"inlet: {inlet.name}", start=OUTSIDE, end=FIREBOX, area=area, losses=k, z=inlet.z,
                        z_exit=inlet.z, bed=bed))  # fmt: skip
    return ways


def under_pass(case: FireCase) -> tuple[float, float]:
    """Flow area [m2] and hydraulic diameter [m] of the pass under the plates."""
    chamber, deck = case.chamber, case.chamber.decks[0]
    share = (deck.z - chamber.z_low) / (chamber.z_grate - chamber.z_low)
    area = chamber.flow_below * share**1.5  # a segment's area goes about as depth^1.5
    skin = chamber.skin_below * math.sqrt(share)
    return area, 4.0 * area / (skin + deck.width)


def deck_loss(case: FireCase) -> tuple[float, float]:
    """Total gap area [m2] and K on it: the pass's friction, the turn up (90 degree mitre) and the gaps themselves."""
    deck = case.chamber.decks[0]
    area, diameter = under_pass(case)
    total = sum(g.area for g in deck.gaps)
    run = sum(g.area * g.x for g in deck.gaps) / total
    turn = float(fluids.bend_miter(angle=90.0, Di=diameter, method="Rennels"))
    in_pass = 0.04 * run / diameter + turn
    return total, in_pass * (total / area) ** 2 + opening_loss(0.70)


def stack_loss(case: FireCase) -> float:
    """K on the pipe's area of all that does not change with the flow: mouth, mitred bends, damper, cap, exit."""
    stack = case.stack
    k = ENTRY[stack.entry] + EXIT
    if stack.mitres:
        k += stack.mitres * float(fluids.bend_miter(angle=90.0, Di=stack.diameter, method="Rennels"))
    if case.settings.damper_open < 1.0:
        k += damper_loss(case.settings.damper_open)
    if math.isfinite(stack.cap):
        k += cap_loss(stack.area, stack.cap)
    return k


def cap_loss(pipe: float, curtain: float) -> float:
    """K on the pipe's area of a cap: the gas must turn and squeeze through the clear curtain, (A / (0.7 A_curtain))^2.

    Held to at least 0.5, ASHRAE's figure for a low-resistance cap (chimney chapter).
    """
    return max((pipe / (0.7 * curtain)) ** 2, 0.5)
