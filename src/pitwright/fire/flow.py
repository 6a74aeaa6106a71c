"""From temperatures to streams: the draw through the network, then the paths of the gas inside the chamber.

In the chamber the gas that passes through is carried by both layers, and on top of it a loop turns: the jet from the
throat and the hot current under the top carry gas away from the fire above, and it comes back below.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from pitwright.fire.films import SIDE, turbulent_natural
from pitwright.fire.gas import (
    GAS_CONSTANT,
    GRAVITY,
    H2O,
    MOLAR_MASS,
    Array,
    Gas,
    combustion_products,
    moist_air,
    viscosity,
)
from pitwright.fire.grid import Grid, span_shares
from pitwright.fire.losses import (
    CHAMBER,
    FIREBOX,
    UNDER,
    deck_loss,
    edge_ways,
    inlet_ways,
    open_door_ways,
    pipe_friction,
    stack_loss,
    throat_loss,
)
from pitwright.fire.meat import Drying, drying
from pitwright.fire.moment import NO_DRYING, Fire, Flow, Rooms
from pitwright.fire.network import OUTSIDE, Network, Way

DOORWAY: Final = 0.2  # Q = (Cd/3) A sqrt(g' H), Cd 0.6: exchange through a doorway, Brown and Solvason 1962
SHEAR: Final = (
    0.05  # gas that crosses between two layers, as a share of the speed along them; 0.01 to 0.1 in the literature
)
WALL_DRAUGHT: Final = 4.0  # m = 4 h A / cp: gas falling along a cooled wall, 0.1463/0.0366 of Eckert and Jackson 1951
FLOORWAY: Final = 0.055  # Q = 0.055 A sqrt(g' D): exchange up through a level opening, Epstein 1988 (from memory)


_ENDLESS: Final = 1e6  # kg/s: a stream the meat's steam does not change
_SMOOTH: Final = 1.5  # K: exchange by differences smaller than this is faded out, so that it reverses smoothly


class Draw:
    """The flow network of one pit, and the shape of the streams inside it."""

    def __init__(self, grid: Grid, open_doors: frozenset[str] = frozenset()) -> None:
        case, v = grid.case, grid.values
        self.grid = grid
        chamber, throat, stack = case.chamber, case.throat, case.stack
        section = chamber.flow_below + chamber.flow_above
        fire_section = case.firebox.volume ** (2 / 3)
        into = UNDER if grid.deck else CHAMBER
        after = grid.under_area if grid.deck else section
        ways = inlet_ways(case, v)
        self.inlets = slice(0, len(ways))
        for door in case.firebox.doors:
            ways += (
                open_door_ways(door, v.discharge)
                if door.name in open_doors
                else edge_ways(door, v.door_gap, v.discharge)
            )
        self.fire_ways = slice(0, len(ways))
        self.throat = len(ways)
        ways.append(Way(name="throat", start=FIREBOX, end=into, area=throat.area,
                        losses=throat_loss(throat.area, fire_section, after), z=throat.z, z_exit=throat.z))  # fmt: skip
        if grid.deck:
            area, k = deck_loss(case)
            z = chamber.decks[0].z
            self.gap = len(ways)
            ways.append(Way(name="plates", start=UNDER, end=CHAMBER, area=area, losses=k, z=z, z_exit=z))
        first = len(ways)
        shares: list[Array] = []
        for door in chamber.doors:
            new = (
                open_door_ways(door, v.discharge)
                if door.name in open_doors
                else edge_ways(door, v.door_gap, v.discharge)
            )
            ways += new
            shares += [span_shares(grid.edges, door.x0, door.x1)] * len(new)
        self.chamber_ways = slice(first, len(ways))
        self.door_shares = np.array(shares) if shares else np.zeros((0, grid.zones))
        self.stack = len(ways)
        self.stack_fixed = stack_loss(case)
        ways.append(Way(name="stack", start=CHAMBER, end=OUTSIDE, area=stack.area, losses=self.stack_fixed,
                        z=stack.z_mouth, z_exit=stack.z_top))  # fmt: skip
        self.network = Network(3 if grid.deck else 2, tuple(ways))
        net, level = self.network, chamber.z_grate
        self.low = np.minimum(net.z, level)
        self.high = np.maximum(net.z - level, 0.0)
        self.over_grate = self.high > 0.0
        self.roughness = v.roughness
        self.above = (net.z[self.chamber_ways] >= level).astype(float)
        self.outside = moist_air(case.weather.temperature, case.weather.pressure, case.weather.humidity)
        self.outside_density = self.outside.density(case.weather.temperature, case.weather.pressure)
        dynamic = 0.5 * self.outside_density * case.weather.wind**2
        self.wind = np.zeros(len(ways))
        self.wind[self.inlets] = v.wind_inlet * dynamic
        self.wind[self.stack] = -v.wind_stack * dynamic
        self.guess = np.zeros(net.rooms)
        height = chamber.z_high - chamber.z_low
        self.jet_rise = max(chamber.z_grate - throat.z, 0.05 * height)
        self.products = combustion_products(case.fuel.wood, 0.0)
        self._shape_loop(section)

    def _shape_loop(self, section: float) -> None:
        """Where the loop runs. Thring and Newby 1953: from the throat to 3.12 (theta + 0.94) radii, fullest midway."""
        grid, chamber = self.grid, self.grid.case.chamber
        inner = grid.edges[1:-1]
        self.round = math.sqrt(section / math.pi)
        self.mouth = math.sqrt(grid.case.throat.area / math.pi)
        theta = min(self.mouth / self.round, 0.9)
        reach = min(3.12 * (theta + 0.94) * self.round, chamber.length)
        middle = 0.5 * reach
        self.half_reach = middle
        jet = np.minimum(inner / middle, (reach - inner) / (reach - middle))
        self.jet_shape = np.maximum(jet, 0.0) if not grid.deck else np.zeros_like(inner)
        turn = 0.5 * (chamber.z_high - chamber.z_low)
        self.current_shape = np.minimum(1.0, np.minimum(inner, chamber.length - inner) / turn)
        self.free_jet = max(0.32 * chamber.length / (2 * self.mouth) - 1.0, 0.0)  # Ricou and Spalding 1961

    def solve(self, t: Array, fire: Fire, last: Rooms | Flow | None = None) -> Flow:
        """The draw for temperatures of all pieces [K] and what the wood gives; gas as it was made of in `last`."""
        return self.streams(t, self.rooms(t, fire, last))

    def rooms(
        self, t: Array, fire: Fire, last: Rooms | Flow | None = None, held: tuple[Gas, Gas] | None = None
    ) -> Rooms:
        """Flows between the rooms. What the gas is made of, friction and drying are taken from the round before.

        held  gas of firebox and chamber, where something else keeps account of what they are made of
        """
        grid, case, net = self.grid, self.grid.case, self.network
        p = case.weather.pressure
        if last is None:
            fire_gas = chamber_gas = self.outside
            smoke = 0.05
        else:
            fire_gas, chamber_gas, smoke = last.fire_gas, last.chamber_gas, max(abs(last.smoke), 1e-6)
        if held is not None:
            fire_gas, chamber_gas = held
        f_fire = p * fire_gas.molar_mass / GAS_CONSTANT
        f_room = p * chamber_gas.molar_mass / GAS_CONSTANT
        over = 1.0 / t
        over_low, over_up = over[grid.lower], over[grid.upper]
        stack_t = t[grid.stack_gas]
        d_fire = f_fire * float(over[grid.fire])
        d_low, d_up = f_room * float(over_low.sum()) / grid.zones, f_room * float(over_up.sum()) / grid.zones
        out = self.outside_density
        below, above = [d_fire, d_low], [d_fire, d_up]
        if grid.deck:
            d_under = f_fire * float(over[grid.under].sum()) / grid.zones
            below.append(d_under)
            above.append(d_under)
        inside_below, inside_above = np.array([*below, out]), np.array([*above, out])  # last: the outside itself
        lighter_below, lighter_above = out - inside_below, out - inside_above
        mouth = f_room * float(
            grid.stack_zones @ over_low * grid.stack_below + grid.stack_zones @ over_up * (1 - grid.stack_below)
        )
        d_stack = f_room * float(over[grid.stack_gas].sum()) / len(stack_t)
        drive = GRAVITY * (
            (lighter_below[net.start] - lighter_below[net.end]) * self.low
            + (lighter_above[net.start] - lighter_above[net.end]) * self.high
        )
        drive[self.stack] += GRAVITY * (out - d_stack) * net.rise[self.stack]
        drive += self.wind

        middle = float(stack_t[len(stack_t) // 2])
        friction = pipe_friction(smoke, case.stack.diameter, float(viscosity(np.array([middle]))[0]), self.roughness)
        pipe = friction * case.stack.height / case.stack.diameter
        entry = 0.5 * (self.stack_fixed - 1.0)
        over_density = entry / mouth + (entry + pipe) / d_stack + float(stack_t[-1]) / f_room
        stack_k = self.stack_fixed + pipe
        k = net.k.copy()
        k[self.stack] = stack_k / (2.0 * case.stack.area**2)
        start = np.where(self.over_grate, inside_above[net.start], inside_below[net.start])
        end = np.where(self.over_grate, inside_above[net.end], inside_below[net.end])
        start[self.stack] = stack_k / over_density
        drying = self._drying(t, fire, last) if held is None else self._drying_in(t, chamber_gas, last)
        sources = np.zeros(net.rooms)
        sources[FIREBOX] = fire.dry * (1.0 - case.fuel.wood.ash) + fire.water
        sources[CHAMBER] = drying.steam
        flow, pressure = net.solve(
            drive=drive, density_start=start, density_end=end, sources=sources, guess=self.guess, k=k
        )
        self.guess = pressure

        at_fire, doors = flow[self.fire_ways], flow[self.chamber_ways]
        fire_air = float(at_fire[at_fire > 0.0].sum())
        leaked = float(doors[doors > 0.0].sum())
        through, smoke = float(flow[self.throat]), float(flow[self.stack])
        if held is None:
            fire_gas = self._mix(self.outside, fire_air, fire)
            entering = max(through, 0.0) * fire_gas.mass_fractions
            entering = entering + (leaked + max(-smoke, 0.0)) * self.outside.mass_fractions
            entering[H2O] = max(entering[H2O] + drying.steam, 0.0)
            total = float(entering.sum())
            chamber_gas = Gas(entering / total) if total > 1e-12 else fire_gas
        return Rooms(
            ways=flow,
            pressure=pressure,
            fire_gas=fire_gas,
            chamber_gas=chamber_gas,
            lighter_below=lighter_below,
            lighter_above=lighter_above,
            fire_density=d_fire,
            low_density=d_low,
            stack_density=d_stack,
            stack_k=stack_k,
            through=through,
            smoke=smoke,
            fire_air=fire_air,
            taken_in=fire_air + leaked + max(-smoke, 0.0),
            drying=drying,
        )

    def streams(self, t: Array, rooms: Rooms) -> Flow:
        """The paths of the gas inside the chamber, piece to piece."""
        grid, case, flow = self.grid, self.grid.case, rooms.ways
        d_fire, d_low, drying = rooms.fire_density, rooms.low_density, rooms.drying
        n, chamber = grid.zones, case.chamber
        at_fire = flow[self.fire_ways]
        fire_out = -float(at_fire[at_fire < 0].sum())
        through, out = rooms.through, rooms.smoke

        doors = flow[self.chamber_ways]
        inward, outward = np.maximum(doors, 0.0), np.maximum(-doors, 0.0)
        shares = self.door_shares
        in_upper, in_lower = (inward * self.above) @ shares, (inward * (1 - self.above)) @ shares
        out_upper, out_lower = (outward * self.above) @ shares, (outward * (1 - self.above)) @ shares
        stack_lower, stack_upper = (
            out * grid.stack_below * grid.stack_zones,
            out * (1 - grid.stack_below) * grid.stack_zones,
        )

        gain_lower, gain_upper = in_lower - out_lower - stack_lower, in_upper - out_upper - stack_upper
        gain_lower = gain_lower + 0.5 * drying.steam / n
        gain_upper = gain_upper + 0.5 * drying.steam / n
        if grid.deck:
            gap = float(flow[self.gap]) * grid.gap_shares
            gain_lower = gain_lower + gap
        else:
            landing = self._landing(through, d_fire, d_low)
            gain_lower = gain_lower + through * grid.throat_below * landing
            gain_upper = gain_upper + through * (1 - grid.throat_below) * landing
        net_flow = np.cumsum(gain_lower + gain_upper)[:-1]

        loop = self._loop(t, through, d_fire, d_low)
        along_upper = grid.upper_share * net_flow + loop
        along_lower = net_flow - along_upper
        padded = np.concatenate([[0.0], along_upper, [0.0]])
        rise = padded[1:] - padded[:-1] - gain_upper
        speed = (
            np.abs(np.concatenate([along_upper[:1], along_upper])) / chamber.flow_above
            + np.abs(np.concatenate([along_lower[:1], along_lower])) / grid.flow_below
        )
        warm = np.maximum(t[grid.lower] - t[grid.upper], 0.0)
        pull = np.sqrt(GRAVITY * chamber.grate_width / t[grid.upper]) * warm / np.sqrt(warm + _SMOOTH)
        tumble = FLOORWAY * d_low * pull
        film = turbulent_natural(t[grid.upper], t[grid.shell_upper], SIDE, case.weather.pressure)
        falling = WALL_DRAUGHT * film * grid.values.inside_film * grid.side_upper / 1020.0
        across = (SHEAR * speed + tumble) * chamber.grate_width * grid.dx
        mixing = grid.values.layer_mixing * (across + falling)
        parts = [
            np.array([rooms.fire_air, fire_out]),
            along_upper,
            along_lower,
            rise,
            mixing,
            mixing,
            in_lower,
            in_upper,
            out_lower,
            out_upper,
            stack_lower,
            stack_upper,
            np.full(len(grid.stack_gas), out),
        ]
        if grid.deck:
            under = through - np.cumsum(gap)[:-1]
            parts += [np.array([through]), under, gap]
        else:
            parts += [through * grid.throat_below * landing, through * (1 - grid.throat_below) * landing]

        return Flow(*rooms, streams=np.concatenate(parts), loop=float(np.abs(loop).max()))

    def _drying(self, t: Array, fire: Fire, last: Rooms | Flow | None) -> Drying:
        """How the meat dries, in the gas of the round before."""
        grid, case = self.grid, self.grid.case
        if not len(grid.meat):
            return NO_DRYING
        air = 0.05
        if last is not None:
            air = max(last.taken_in, 1e-9)
        gas = np.maximum(air * self.outside.mass_fractions + self.products * fire.dry, 0.0)
        gas[H2O] += fire.water
        total = float(gas.sum())
        around = 0.5 * float(np.mean(t[grid.lower]) + np.mean(t[grid.upper]))
        return drying(
            case.load,
            grid.values,
            meat=float(t[int(grid.meat[0])]),
            around=around,
            gas_flow=total,
            gas_steam=float(gas[H2O]),
            molar=total / float(np.sum(gas / MOLAR_MASS)),
            pressure=case.weather.pressure,
            guess=last.drying.steam if last is not None else 0.0,
        )

    def _drying_in(self, t: Array, gas: Gas, last: Rooms | Flow | None) -> Drying:
        """How the meat dries in gas of a known make, its own steam in it already."""
        grid, case = self.grid, self.grid.case
        if not len(grid.meat):
            return NO_DRYING
        return drying(
            case.load,
            grid.values,
            meat=float(t[int(grid.meat[0])]),
            around=0.5 * float(np.mean(t[grid.lower]) + np.mean(t[grid.upper])),
            gas_flow=_ENDLESS,
            gas_steam=_ENDLESS * float(gas.mass_fractions[H2O]),
            molar=gas.molar_mass,
            pressure=case.weather.pressure,
            guess=last.drying.steam if last is not None else 0.0,
        )

    def made_of(self, wood: float, water: float) -> Gas:
        """Air with so much burnt dry wood and so much extra water in a unit of gas [kg/kg]."""
        wood, water = max(wood, 0.0), max(water, 0.0)
        air = 1.0 - wood * float(self.products.sum()) - water
        mass = np.maximum(self.outside.mass_fractions * max(air, 0.0) + self.products * wood, 0.0)
        mass[H2O] += water
        return Gas(mass / float(mass.sum()))

    def _landing(self, through: float, d_fire: float, d_room: float) -> Array:
        """How the throat's gas is spread along the chamber while it flies and rises to the grate [-], by zone.

        A level jet of speed u0 from a mouth d, slowed by what it takes in (Ricou and Spalding 1961: u = u0 x1/x beyond
        x1 = d/0.32), its buoyancy g' kept: it has risen h where

            h = g'/u0^2 (x^2 / 2)                                    x under x1
            h = g'/u0^2 (x1^2/2 + x1 (x - x1)/2 + (x^3 - x1^3)/(6 x1))    beyond

        Its gas is taken to cross the grate about that x: a triangle from nought to twice x. A jet that has filled the
        chamber has crossed the grate whatever its rise, so x is held (smoothly) under half of Thring and Newby's reach.
        """
        grid = self.grid
        speed = abs(through) / (d_fire * grid.case.throat.area)
        lift = GRAVITY * max(d_room / d_fire - 1.0, 0.02)
        rise, near = self.jet_rise, 2.0 * self.mouth / 0.32
        bend = max(speed * speed / lift, 1e-6)
        x = math.sqrt(2.0 * rise * bend)
        if x > near:
            for _ in range(8):
                height = 0.5 * near**2 + 0.5 * near * (x - near) + (x**3 - near**3) / (6.0 * near) - rise * bend
                x -= height / (0.5 * near + 0.5 * x * x / near)
        x *= (1.0 + (x / self.half_reach) ** 4) ** -0.25
        edges = np.minimum(grid.edges, 2.0 * x)
        below = np.where(edges < x, 0.5 * (edges / x) ** 2, 1.0 - 0.5 * (2.0 - edges / x) ** 2)
        shares: Array = np.diff(below) / (below[-1] - below[0])
        return shares

    def _mix(self, air: Gas, air_flow: float, fire: Fire) -> Gas:
        added = self.products * fire.dry
        added[H2O] += fire.water
        flow = np.maximum(air.mass_fractions * max(air_flow, 1e-9) + added, 0.0)
        return Gas(flow / float(flow.sum()))

    def _loop(self, t: Array, through: float, d_fire: float, d_low: float) -> Array:
        """Gas carried away from the fire above the grate, over and above the through flow, at each zone's edge [kg/s].

        Jet: Thring and Newby 1953, m/m0 = 0.47/theta - 0.5 with theta on the density-corrected mouth, but no more than
        a free jet takes in (Ricou and Spalding 1961). Ceiling current: exchange of two bodies of gas as through a
        doorway, with the difference between the pit's halves.
        """
        grid, chamber = self.grid, self.grid.case.chamber
        loop = np.zeros(grid.zones - 1)
        if not grid.deck and through > 0.0:
            theta = self.mouth / self.round * math.sqrt(d_fire / d_low)
            carried = max(min(0.47 / theta - 0.5, self.free_jet), 0.0)
            loop = loop + carried * through * self.jet_shape
        half = grid.zones // 2
        both = 0.5 * (t[grid.lower] + t[grid.upper])
        warmer = float(both[:half].mean() - both[-half:].mean())
        pull = GRAVITY * (chamber.z_high - chamber.z_low) / float(both.mean())
        section = chamber.flow_above + grid.flow_below
        current = DOORWAY * d_low * section * math.sqrt(pull) * warmer / math.sqrt(abs(warmer) + _SMOOTH)
        result: Array = grid.values.circulation * (loop + current * self.current_shape)
        return result
