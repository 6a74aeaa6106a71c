"""The pit cut into zones: which pieces of gas and steel there are, and what touches what.

The chamber is cut along its length into equal zones, each with gas below and above the grate, shell below and above,
and, where there are plates, plate and gas under them. The firebox is one piece of gas and one of steel, the stack a
few of each, the meat one. The open air is the last piece; it never changes.

Links (gas to steel, steel to steel) and streams (gas from piece to piece) are fixed lists; only their strengths
change as the pit warms.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pitwright.fire.case import FireCase
from pitwright.fire.coefficients import Values
from pitwright.fire.films import CEILING, LOWER_HALF, SIDE, STEEL_CONDUCTIVITY, UPPER_HALF
from pitwright.fire.gas import STEFAN_BOLTZMANN, Array
from pitwright.fire.losses import under_pass

Index = NDArray[np.int64]

ZONES: Final = 16
STACK_PIECES: Final = 3
GRATE_SEES: Final = 0.65  # share of the grate plane radiation passes: expanded metal, common practice, no source
_END_REACH: Final = 0.25  # of the chamber's height; our judgement
_SHEET: Final = 0.2  # half-width a rising sheet of gas gains a unit of height; free plumes 0.1 to 0.2
_STEEL_DENSITY: Final = 7850.0
_GAS_HEAT: Final = 900.0  # J/m3 K, gas at 120 C; the gas holds under a thousandth of what the steel holds


def span_shares(edges: Array, low: float, high: float) -> Array:
    """How a stretch low..high along the pit falls on the zones [-], summing to one."""
    low, high = max(low, float(edges[0])), min(high, float(edges[-1]))
    if high - low < 1e-9:
        middle = min(max(0.5 * (low + high), float(edges[0])), float(edges[-1]))
        shares = np.zeros(len(edges) - 1)
        shares[min(int(np.searchsorted(edges, middle, side="right")) - 1, len(edges) - 2)] = 1.0
        return shares
    overlap = np.minimum(edges[1:], high) - np.maximum(edges[:-1], low)
    overlap = np.maximum(overlap, 0.0)
    result: Array = overlap / overlap.sum()
    return result


def below_share(low: float, high: float, level: float) -> float:
    """The share of an opening low..high that lies under a level [-]."""
    if high - low < 1e-9:
        return 1.0 if low < level else 0.0
    return min(max((level - low) / (high - low), 0.0), 1.0)


class Grid:
    """The pieces of one pit and everything about them that does not change while it burns."""

    def __init__(self, case: FireCase, values: Values, zones: int = ZONES) -> None:
        self.case = case
        self.values = values
        self.zones = n = zones
        chamber = case.chamber
        self.dx = chamber.length / n
        self.edges = np.linspace(0.0, chamber.length, n + 1)
        self.x = 0.5 * (self.edges[1:] + self.edges[:-1])
        self.deck = bool(chamber.decks)

        at = 2
        blocks = ["lower", "upper", "shell_lower", "shell_upper"]
        if self.deck:
            blocks += ["plate", "under"]
        index: dict[str, Index] = {}
        for name in blocks:
            index[name] = np.arange(at, at + n)
            at += n
        for name in ("stack_gas", "stack_wall"):
            index[name] = np.arange(at, at + STACK_PIECES)
            at += STACK_PIECES
        self.fire, self.fire_wall = 0, 1
        self.lower, self.upper = index["lower"], index["upper"]
        self.shell_lower, self.shell_upper = index["shell_lower"], index["shell_upper"]
        self.floor = index["plate"] if self.deck else index["shell_lower"]  # what lies under the grate
        self.under = index.get("under", np.arange(0))
        self.plate = index.get("plate", np.arange(0))
        self.stack_gas, self.stack_wall = index["stack_gas"], index["stack_wall"]
        self.meat = np.arange(at, at + 1) if case.load.mass > 0.0 else np.arange(0)
        at += len(self.meat)
        self.air = self.pieces = at

        self._steel()
        self._gas_links()
        self._wall_links()
        self._outside()
        self._streams()
        self._grate()

    # what each piece holds -----------------------------------------------------------------------------------

    def _steel(self) -> None:
        case, n, chamber = self.case, self.zones, self.case.chamber
        self.steel = np.zeros(self.pieces)
        skin = chamber.skin_below + chamber.skin_above
        end_below = chamber.ends * chamber.flow_below / (chamber.flow_below + chamber.flow_above)
        near = _END_REACH * (chamber.z_high - chamber.z_low)  # the stretch of gas an end wall cools
        ends = span_shares(self.edges, 0.0, near) + span_shares(self.edges, chamber.length - near, chamber.length)
        self.area_lower = chamber.skin_below * self.dx + ends * end_below
        self.area_upper = chamber.skin_above * self.dx + ends * (chamber.ends - end_below)
        self.side_upper = 0.5 * chamber.skin_above * self.dx + ends * (chamber.ends - end_below)  # standing walls
        total = float(self.area_lower.sum() + self.area_upper.sum())
        self.steel[self.shell_lower] = chamber.steel * self.area_lower / total
        self.steel[self.shell_upper] = chamber.steel * self.area_upper / total
        self.steel[self.shell_lower] += 0.5 * chamber.inner_steel / n
        self.steel[self.shell_upper] += 0.5 * chamber.inner_steel / n
        self.steel[self.fire_wall] = case.firebox.steel
        stack = case.stack
        per_piece = stack.height / STACK_PIECES
        self.steel[self.stack_wall] = (
            _STEEL_DENSITY * math.pi * (stack.diameter + stack.wall.thickness) * stack.wall.thickness * per_piece
        )
        if self.deck:
            deck = chamber.decks[0]
            self.steel[self.plate] = _STEEL_DENSITY * deck.thickness * deck.width * self.dx
        self.skin_round = skin

        self.other = np.zeros(self.pieces)  # J/K of what is not steel
        self.other[self.fire] = _GAS_HEAT * case.firebox.volume
        below = chamber.flow_below
        if self.deck:
            area, _ = under_pass(case)
            area = min(area, 0.95 * below)
            self.other[self.under] = _GAS_HEAT * area * self.dx
            below -= area
        self.flow_below = below
        self.other[self.lower] = _GAS_HEAT * below * self.dx
        self.other[self.upper] = _GAS_HEAT * chamber.flow_above * self.dx
        self.other[self.stack_gas] = _GAS_HEAT * stack.area * per_piece
        self.other[self.meat] = case.load.mass * case.load.heat_capacity
        self.is_steel = self.steel > 0.0

    # gas against steel ---------------------------------------------------------------------------------------

    def _gas_links(self) -> None:
        case, v, chamber = self.case, self.values, self.case.chamber
        rows: list[tuple[Index, Index, Array, float, float, float, float]] = []

        def add(
            gas: Index, wall: Index, area: Array | float, constant: float, factor: float, beam: float, eps: float
        ) -> None:
            rows.append(
                (gas, wall, np.broadcast_to(np.asarray(area, float), gas.shape).copy(), constant, factor, beam, eps)
            )

        firebox = case.firebox
        beam_fire = 3.6 * firebox.volume / firebox.skin
        add(np.array([self.fire]), np.array([self.fire_wall]), firebox.skin, CEILING, v.firebox_film, beam_fire,
            firebox.wall.emissivity_inside)  # fmt: skip
        section = chamber.flow_below + chamber.flow_above
        beam = 3.6 * section / (chamber.skin_below + chamber.skin_above)
        eps = chamber.wall.emissivity_inside
        add(self.upper, self.shell_upper, self.area_upper, UPPER_HALF, v.inside_film, beam, eps)
        if self.deck:
            deck = chamber.decks[0]
            share = math.sqrt((deck.z - chamber.z_low) / (chamber.z_grate - chamber.z_low))
            area, diameter = under_pass(case)
            top = deck.width * self.dx
            add(self.lower, self.shell_lower, self.area_lower * (1 - share), SIDE, v.inside_film, beam, eps)
            add(self.lower, self.plate, top, CEILING, v.inside_film, beam, eps)
            add(self.under, self.shell_lower, self.area_lower * share, LOWER_HALF, v.inside_film, 0.9 * diameter, eps)
            add(self.under, self.plate, top, CEILING, v.inside_film, 0.9 * diameter, eps)
            self.under_area, self.under_diameter = area, diameter
        else:
            add(self.lower, self.shell_lower, self.area_lower, LOWER_HALF, v.inside_film, beam, eps)
            self.under_area, self.under_diameter = 1.0, 1.0
        stack = case.stack
        inner = math.pi * stack.diameter * stack.height / STACK_PIECES
        add(
            self.stack_gas,
            self.stack_wall,
            inner,
            SIDE,
            v.inside_film,
            0.9 * stack.diameter,
            stack.wall.emissivity_inside,
        )

        self.link_gas = np.concatenate([r[0] for r in rows])
        self.link_wall = np.concatenate([r[1] for r in rows])
        sizes = [len(r[0]) for r in rows]
        self.link_area = np.concatenate([r[2] for r in rows])
        self.link_constant = np.repeat([r[3] for r in rows], sizes)
        self.link_factor = np.repeat([r[4] for r in rows], sizes)
        self.link_beam = np.repeat([r[5] for r in rows], sizes)
        self.link_eps = np.repeat([r[6] for r in rows], sizes)
        self.link_duct = np.concatenate([self._duct_sizes(r[0]) for r in rows])
        self.link_stepped = self.link_gas != self.fire  # gas that changes along its way through the piece

    def _duct_sizes(self, gas: Index) -> Array:
        """Hydraulic diameter for the driven film [m], by piece of gas."""
        chamber = self.case.chamber
        if np.array_equal(gas, self.stack_gas):
            return np.full(len(gas), self.case.stack.diameter)
        if self.deck and np.array_equal(gas, self.under):
            return np.full(len(gas), self.under_diameter)
        if len(gas) == 1:
            return np.full(1, self.case.firebox.diameter)
        width = chamber.grate_width
        if np.array_equal(gas, self.upper):
            return np.full(len(gas), 4 * chamber.flow_above / (chamber.skin_above + width))
        return np.full(len(gas), 4 * self.flow_below / (chamber.skin_below + width))

    # steel against steel -------------------------------------------------------------------------------------

    def _wall_links(self) -> None:
        chamber, n = self.case.chamber, self.zones
        eps = chamber.wall.emissivity_inside
        blind = (1 - eps) / eps

        def exchange(plane: float, one: Array, other: Array) -> Array:
            return STEFAN_BOLTZMANN / (1.0 / plane + blind * (1.0 / one + 1.0 / other))

        plane = chamber.grate_width * self.dx
        radiant: list[tuple[Index, Index, Array]] = []
        if self.deck:
            deck = chamber.decks[0]
            face = deck.width * self.dx
            faces = np.full(n, face)
            share = math.sqrt((deck.z - chamber.z_low) / (chamber.z_grate - chamber.z_low))
            radiant.append((self.plate, self.shell_upper, exchange(face * GRATE_SEES, faces, self.area_upper)))
            radiant.append((self.plate, self.shell_lower, exchange(face, faces, self.area_lower * share)))
        else:
            radiant.append(
                (self.shell_lower, self.shell_upper, exchange(plane * GRATE_SEES, self.area_lower, self.area_upper))
            )
        self.rad_a = np.concatenate([r[0] for r in radiant])
        self.rad_b = np.concatenate([r[1] for r in radiant])
        self.rad_g = np.concatenate([r[2] for r in radiant])

        t = chamber.wall.thickness
        along = STEEL_CONDUCTIVITY * t / self.dx
        half_round = 0.25 * (chamber.skin_below + chamber.skin_above)
        across = np.full(n, 2 * STEEL_CONDUCTIVITY * t * self.dx / half_round)
        self.con_a = np.concatenate([self.shell_lower[:-1], self.shell_upper[:-1], self.shell_lower])
        self.con_b = np.concatenate([self.shell_lower[1:], self.shell_upper[1:], self.shell_upper])
        self.con_g = np.concatenate(
            [np.full(n - 1, along * chamber.skin_below), np.full(n - 1, along * chamber.skin_above), across]
        )

    # steel against the weather -------------------------------------------------------------------------------

    def _outside(self) -> None:
        case, v, chamber, stack = self.case, self.values, self.case.chamber, self.case.stack
        n = self.zones
        wider = chamber.diameter * math.pi / max(self.skin_round, 1e-9)
        wider = min(max(wider, 1.0), 1.6)
        stack_outside = stack.diameter + 2 * (stack.wall.thickness + stack.wall.insulation)
        self.out = np.concatenate([[self.fire_wall], self.shell_lower, self.shell_upper, self.stack_wall])
        walls = [case.firebox.wall] + [chamber.wall] * (2 * n) + [stack.wall] * STACK_PIECES
        self.out_area = np.concatenate(
            [
                [case.firebox.skin],
                self.area_lower * wider,
                self.area_upper * wider,
                np.full(STACK_PIECES, math.pi * stack_outside * stack.height / STACK_PIECES),
            ]
        )
        self.out_diameter = np.concatenate(
            [[case.firebox.diameter], np.full(2 * n, chamber.diameter), np.full(STACK_PIECES, stack_outside)]
        )
        self.out_eps = np.minimum(np.array([w.emissivity for w in walls]) * v.skin_emissivity, 1.0)
        self.out_wrap = np.array([w.insulation / (w.insulation_conductivity * v.insulation) for w in walls])
        self.wrapped = bool(np.any(self.out_wrap > 0.0))

    # streams of gas ------------------------------------------------------------------------------------------

    def _streams(self) -> None:
        """Pairs of pieces gas flows between. `flow.py` fills in the strengths in this very order."""
        n, air = self.zones, self.air
        many = np.full(n, air)
        pairs: list[tuple[Index, Index]] = [
            (np.array([air, self.fire]), np.array([self.fire, air])),  # in and out of the firebox
            (self.upper[:-1], self.upper[1:]),
            (self.lower[:-1], self.lower[1:]),
            (self.lower, self.upper),  # net rise
            (self.lower, self.upper),  # mixing up
            (self.upper, self.lower),  # mixing down
            (many, self.lower),  # cold air in at the doors
            (many, self.upper),
            (self.lower, many),  # smoke out at the doors
            (self.upper, many),
            (self.lower, np.full(n, self.stack_gas[0])),
            (self.upper, np.full(n, self.stack_gas[0])),
            (self.stack_gas, np.append(self.stack_gas[1:], air)),
        ]
        if self.deck:
            pairs += [
                (np.array([self.fire]), self.under[:1]),
                (self.under[:-1], self.under[1:]),
                (self.under, self.lower),
            ]
        else:
            fire = np.full(n, self.fire)
            pairs += [(fire, self.lower), (fire, self.upper)]
        self.stream_a = np.concatenate([p[0] for p in pairs])
        self.stream_b = np.concatenate([p[1] for p in pairs])

        chamber, stack, throat = self.case.chamber, self.case.stack, self.case.throat
        half = 0.5 * stack.diameter
        self.stack_zones = span_shares(self.edges, stack.x - half, stack.x + half)
        self.stack_below = below_share(stack.z_mouth_low, stack.z_mouth_high, chamber.z_grate)
        self.throat_below = below_share(throat.z_low, throat.z_high, chamber.z_grate)
        self.upper_share = chamber.flow_above / (chamber.flow_above + self.flow_below)
        if self.deck:
            gaps = np.zeros(n)
            for gap in chamber.decks[0].gaps:
                # the hot sheet that rises from a gap is as wide as the gap and spreads a fifth of its height each way
                half = 0.5 * gap.area / chamber.decks[0].width + _SHEET * (chamber.z_grate - chamber.decks[0].z)
                gaps += gap.area * span_shares(self.edges, gap.x - half, gap.x + half)
            self.gap_shares = gaps / gaps.sum()
        inside = self.case.firebox.skin + self.case.throat.area
        self.seen_through_throat = self.case.throat.area / inside
        reach = math.sqrt(4 * throat.area / math.pi)
        look = 1.0 / (1.0 + (self.x / reach) ** 2)
        self.look = look / look.sum()

    # the grate -----------------------------------------------------------------------------------------------

    def _grate(self) -> None:
        chamber = self.case.chamber
        low = chamber.decks[0].z if self.deck else chamber.z_low
        self.z_lower = 0.5 * (low + chamber.z_grate)
        self.z_upper = 0.5 * (chamber.z_grate + chamber.z_high)
        self.grate_upper = self.layer_share(chamber.z_grate)

    def layer_share(self, z: float) -> float:
        """How much of the upper layer's temperature is felt at a height [-]: straight between the layers' middles."""
        return min(max((z - self.z_lower) / (self.z_upper - self.z_lower), 0.0), 1.0)
