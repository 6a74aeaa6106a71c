"""The heat balance of every piece of the pit: what comes in, what goes out, and how that changes with temperature.

Heat is booked as it flows from one piece to another, so whatever leaves one arrives at the next and the books close
by construction: the column sums of the slope matrix are nought once the open air and the meat's steam are counted.
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np

from pitwright.fire.films import (
    duct_film,
    outside_film,
    steel_energy,
    steel_heat_capacity,
    steel_temperature,
    turbulent_natural,
)
from pitwright.fire.gas import (
    LATENT_HEAT_25C,
    STEFAN_BOLTZMANN,
    Array,
    Gas,
    gas_emissivity,
    lower_heating_value,
)
from pitwright.fire.grid import Grid
from pitwright.fire.moment import Fire, Flow, participating

MEAT_EMISSIVITY: Final = 0.9
_STEP_LIMIT: Final = 2.0  # transfer units one zone may take by the exponential law


class Balance(NamedTuple):
    """Heat of every piece at one moment.

    gain      net heat into each piece, the last being the open air [W]
    slope     d gain / d temperature [W/K]
    outside   heat from each outer skin to the weather, in the order of `Grid.out` [W]
    skin      temperature of those outer skins [K]
    steam     water leaving the meat [kg/s]
    latent    heat that water takes with it beyond its warmth as vapour [W]
    meat      heat the meat takes up in all [W]
    enthalpy  sensible enthalpy of the gas of each piece [J/kg]
    films     inside film of every gas link [W/m2 K]
    """

    gain: Array
    slope: Array
    outside: Array
    skin: Array
    steam: float
    latent: float
    meat: float
    enthalpy: Array
    films: Array


class Zones:
    """The heat balance of one pit."""

    def __init__(self, grid: Grid, air: Gas) -> None:
        self.grid = grid
        self.air_gas = air
        case, v = grid.case, grid.values
        wood = case.fuel.wood
        self.moisture = case.fuel.moisture * v.wood_moisture
        self.higher = wood.higher_heating_value * v.heating_value
        self.lower = lower_heating_value(wood, self.higher)
        self.freed = self.lower * v.burnout  # J/kg dry, set free in the firebox
        g = grid
        a = np.concatenate([g.link_gas, g.rad_a, g.con_a])
        b = np.concatenate([g.link_wall, g.rad_b, g.con_b])
        self.exchange_a, self.exchange_b = a, b
        size = g.pieces + 1
        self.size = size
        sa, sb = g.stream_a, g.stream_b
        out, to_air = g.out, np.full(len(g.out), g.air)
        # where each derivative lands in the slope matrix: (row, column) pairs as flat places
        self.place = np.concatenate(
            [
                a * size + a, b * size + a, a * size + b, b * size + b,
                sa * size + sa, sb * size + sa, sa * size + sb, sb * size + sb,
                out * size + out, to_air * size + out,
            ]
        )  # fmt: skip
        self.gain_place = np.concatenate([a, b, sa, sb, out, to_air])
        self.gas_pieces = np.concatenate([g.lower, g.upper, g.under, g.stack_gas])

    def freed_heat(self, fire: Fire) -> float:
        """Heat set free in the firebox, the wood's water turned to vapour paid for [W]."""
        return fire.dry * self.freed - fire.water * LATENT_HEAT_25C

    def balance(self, t: Array, fire: Fire, flow: Flow) -> Balance:
        """Net heat into every piece and its slope. `t` has the air's temperature last [K]."""
        g, v = self.grid, self.grid.values
        size = self.size
        pressure = g.case.weather.pressure

        # gas against steel: natural and driven convection, joined as cubes, and the glow of the gas
        gas_t, wall_t = t[g.link_gas], t[g.link_wall]
        natural = turbulent_natural(gas_t, wall_t, g.link_constant, pressure)
        driven = duct_film(gas_t, self._mass_flux(flow), g.link_duct)
        film = g.link_factor * np.cbrt(natural**3 + driven**3)
        stiffen = 1.0 + natural**3 / (natural**3 + driven**3) / 3.0
        share = participating(flow.chamber_gas) * pressure / 101_325.0
        at_fire = participating(flow.fire_gas) * pressure / 101_325.0
        path = np.where(g.link_gas == g.fire, at_fire, share) * g.link_beam
        glow = np.minimum(gas_emissivity(gas_t, path) * v.gas_radiation, 0.95)
        glow = glow * (0.5 * (g.link_eps + 1.0))
        conv = film * g.link_area
        rad = glow * STEFAN_BOLTZMANN * g.link_area
        enthalpy, cp = self._enthalpy(t, flow)
        stretch = self._stretch(conv + 4.0 * rad * gas_t**3, cp, flow)
        conv, rad = conv * stretch, rad * stretch

        # one list of exchanges: gas links, then steel seeing steel, then conduction in the shell
        none_r, none_c = np.zeros(len(g.rad_a)), np.zeros(len(g.con_a))
        linear = np.concatenate([conv, none_r, g.con_g])
        fourth = np.concatenate([rad, g.rad_g, none_c])
        stiff = np.concatenate([conv * stiffen, none_r, g.con_g])
        ta, tb = t[self.exchange_a], t[self.exchange_b]
        heat = linear * (ta - tb) + fourth * (ta**4 - tb**4)
        da, db = stiff + 4.0 * fourth * ta**3, stiff + 4.0 * fourth * tb**3

        # streams: each carries the enthalpy of where it comes from
        up, down = np.maximum(flow.streams, 0.0), np.minimum(flow.streams, 0.0)
        carried = up * enthalpy[g.stream_a] + down * enthalpy[g.stream_b]
        ca, cb = up * cp[g.stream_a], -down * cp[g.stream_b]

        # the weather
        outside, lost, skin = self._outside(t)

        booked: Array = np.concatenate([-heat, heat, -carried, carried, -outside, outside])
        gain = np.bincount(self.gain_place, weights=booked, minlength=size).astype(np.float64, copy=False)
        slopes: Array = np.concatenate([-da, da, db, -db, -ca, ca, cb, -cb, -lost, lost])
        slope = np.bincount(self.place, weights=slopes, minlength=size * size).astype(np.float64, copy=False)
        slope = slope.reshape(size, size)

        self._add_fire(gain, fire)
        steam, latent, meat = self._add_meat(t, flow, gain, slope)
        return Balance(
            gain=gain, slope=slope, outside=outside, skin=skin, steam=steam, latent=latent, meat=meat,
            enthalpy=enthalpy, films=film,
        )  # fmt: skip

    def fire_share(self) -> Array:
        """Where the fire's heat lands, by piece: gas, firebox wall, and what shines through the throat [-]."""
        g, v = self.grid, self.grid.values
        share = np.zeros(self.size)
        share[g.fire] = 1.0 - v.radiant_share
        through = v.radiant_share * g.seen_through_throat
        share[g.fire_wall] = v.radiant_share - through
        share[g.floor] += through * g.look
        return share

    def _add_fire(self, gain: Array, fire: Fire) -> None:
        gain += self.fire_share() * fire.dry * self.freed
        gain[self.grid.fire] -= fire.water * LATENT_HEAT_25C

    def _enthalpy(self, t: Array, flow: Flow) -> tuple[Array, Array]:
        g = self.grid
        h, cp = flow.chamber_gas.enthalpy_and_cp(t)
        one = t[:1]
        h[g.fire], cp[g.fire] = (float(a[0]) for a in flow.fire_gas.enthalpy_and_cp(one))
        h[g.air], cp[g.air] = (float(a[0]) for a in self.air_gas.enthalpy_and_cp(t[-1:]))
        return h, cp

    def _mass_flux(self, flow: Flow) -> Array:
        """Mass flow over flow area past every gas link [kg/m2 s]."""
        g, n = self.grid, self.grid.zones
        flux = np.zeros(self.size)
        chamber = g.case.chamber
        along_upper = np.abs(flow.streams[2 : n + 1])
        along_lower = np.abs(flow.streams[n + 1 : 2 * n])
        flux[g.upper] = np.concatenate([along_upper[:1], along_upper]) / chamber.flow_above
        flux[g.lower] = np.concatenate([along_lower[:1], along_lower]) / g.flow_below
        flux[g.stack_gas] = abs(float(flow.ways[-1])) / g.case.stack.area
        if g.deck:
            first = len(flow.streams) - 2 * n
            under = np.abs(flow.streams[first : first + n])
            flux[g.under] = under / g.under_area
        result: Array = flux[g.link_gas]
        return result

    def _stretch(self, conductance: Array, cp: Array, flow: Flow) -> Array:
        """Makes a zone follow the exponential law of gas cooling along a wall: (e^N - 1)/N on its conductance.

        N = conductance over m cp of the zone, so that T_out - T_wall = (T_in - T_wall) e^-N holds exactly for one zone
        with one stream, whatever its length.
        """
        g = self.grid
        up, down = np.maximum(flow.streams, 0.0), np.maximum(-flow.streams, 0.0)
        leaving = np.bincount(g.stream_a, weights=up, minlength=self.size)
        leaving = leaving + np.bincount(g.stream_b, weights=down, minlength=self.size)
        total = np.bincount(g.link_gas, weights=conductance, minlength=self.size)
        units = total / np.maximum(leaving * cp, 1e-6)
        units = np.minimum(np.maximum(units, 1e-6), _STEP_LIMIT)
        factor = np.expm1(units) / units
        factor[g.fire] = 1.0
        result: Array = factor[g.link_gas]
        return result

    def _outside(self, t: Array) -> tuple[Array, Array, Array]:
        """Heat to the weather, its slope and the outer skin's temperature, for every outer skin."""
        g, v, weather = self.grid, self.grid.values, self.grid.case.weather
        steel, air = t[g.out], float(t[-1])
        skin = steel
        for _ in range(12 if g.wrapped else 1):
            film = v.outside_film * outside_film(skin, air, g.out_diameter, weather.wind, weather.pressure)
            glow = g.out_eps * STEFAN_BOLTZMANN * (skin + air) * (skin * skin + air * air)
            both = film + glow
            new = (steel + g.out_wrap * both * air) / (1.0 + g.out_wrap * both)
            moved = float(np.max(np.abs(new - skin)))
            skin = new
            if moved < 1e-10:
                break
        per_area = (steel - air) / (g.out_wrap + 1.0 / both)
        sharp = 1.3 * film + 4.0 * g.out_eps * STEFAN_BOLTZMANN * skin**3
        slope = g.out_area / (g.out_wrap + 1.0 / sharp)
        return g.out_area * per_area, slope, skin

    def _add_meat(self, t: Array, flow: Flow, gain: Array, slope: Array) -> tuple[float, float, float]:
        """Convection, radiation and drying of the meat, spread evenly along the grate."""
        g, case = self.grid, self.grid.case
        if not len(g.meat):
            return 0.0, 0.0, 0.0
        m = int(g.meat[0])
        n, area, dry = g.zones, case.load.surface, flow.drying
        tm = t[m]
        gas = np.concatenate([g.lower, g.upper])
        each = dry.film * area / (2 * n)
        heat = each * (t[gas] - tm)
        seen = np.concatenate([g.floor, g.shell_upper])
        glow = MEAT_EMISSIVITY * STEFAN_BOLTZMANN * area / (2 * n)
        shine = glow * (t[seen] ** 4 - tm**4)
        for pieces, q, dq, dm in ((gas, heat, np.full(2 * n, each), np.full(2 * n, each)),
                                  (seen, shine, 4 * glow * t[seen] ** 3, np.full(2 * n, 4 * glow * tm**3))):  # fmt: skip
            gain[pieces] -= q
            gain[m] += float(q.sum())
            slope[pieces, pieces] -= dq
            slope[pieces, m] += dm
            slope[m, pieces] += dq
            slope[m, m] -= float(dm.sum())
        taken = float(heat.sum() + shine.sum())
        warmth = float(_STEAM.enthalpy_and_cp(np.array([tm]))[0][0])
        latent = dry.steam * dry.latent
        gain[m] -= dry.steam * (warmth + dry.latent)
        slope[m, m] -= dry.slope * (warmth + dry.latent)
        gain[gas] += dry.steam * warmth / (2 * n)
        slope[gas, m] += dry.slope * warmth / (2 * n)
        return dry.steam, latent, taken

    # what the pieces hold -----------------------------------------------------------------------------------

    def stored(self, t: Array) -> Array:
        """Heat every piece holds above 273.15 K [J], from temperatures without the air's."""
        g = self.grid
        held: Array = g.steel * steel_energy(t) + g.other * (t - 273.15)
        return held

    def temperatures(self, stored: Array) -> Array:
        """Temperatures of the pieces from the heat they hold [K]; pieces along the last axis."""
        g = self.grid
        t = np.empty(stored.shape)
        steel = g.is_steel
        t[..., steel] = steel_temperature(stored[..., steel] / g.steel[steel])
        t[..., ~steel] = 273.15 + stored[..., ~steel] / g.other[~steel]
        return t

    def capacities(self, t: Array) -> Array:
        """Heat capacity of every piece [J/K]."""
        g = self.grid
        result: Array = g.steel * steel_heat_capacity(t) + g.other
        return result


_STEAM: Final = Gas(np.array([0.0, 0.0, 0.0, 0.0, 1.0]))
