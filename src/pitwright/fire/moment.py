"""One moment of a fire: what the wood gives, and the draw that goes with it."""

from __future__ import annotations

from typing import Final, NamedTuple

from pitwright.fire.gas import CO2, H2O, Array, Gas
from pitwright.fire.meat import Drying


class Fire(NamedTuple):
    """What the wood gives at one moment: dry wood burnt [kg/s], water driven off it [kg/s]."""

    dry: float
    water: float


class Rooms(NamedTuple):
    """Pressures and flows between rooms and the open air at one moment.

    ways      flow of every way of the network [kg/s]
    pressure  of every room, at floor height [Pa]
    fire_gas, chamber_gas   what the gas is made of
    lighter_below, lighter_above  outside density less the room's, under and over the grate, by room [kg/m3]
    fire_density, low_density     of the gas in the firebox and under the grate [kg/m3]
    stack_density   mean in the pipe [kg/m3]
    stack_k         loss coefficient of the whole stack on its pipe area [-]
    through         gas from the fire into the chamber [kg/s]
    smoke           out of the stack [kg/s]
    fire_air        outside air drawn in by the firebox [kg/s]; taken_in by the whole pit
    drying          how the meat dries
    """

    ways: Array
    pressure: Array
    fire_gas: Gas
    chamber_gas: Gas
    lighter_below: Array
    lighter_above: Array
    fire_density: float
    low_density: float
    stack_density: float
    stack_k: float
    through: float
    smoke: float
    fire_air: float
    taken_in: float
    drying: Drying


class Flow(NamedTuple):
    """The draw at one moment: what `Rooms` holds, and the streams inside the chamber.

    streams   strength of every stream of the grid [kg/s]
    loop      gas carried round by jet and ceiling current at most [kg/s]
    """

    ways: Array
    pressure: Array
    fire_gas: Gas
    chamber_gas: Gas
    lighter_below: Array
    lighter_above: Array
    fire_density: float
    low_density: float
    stack_density: float
    stack_k: float
    through: float
    smoke: float
    fire_air: float
    taken_in: float
    drying: Drying
    streams: Array
    loop: float


NO_DRYING: Final = Drying(film=0.0, steam=0.0, slope=0.0, latent=0.0)


def participating(gas: Gas) -> float:
    """Share of CO2 and H2O by volume [-], the gases that glow."""
    return gas.mole_fraction(CO2) + gas.mole_fraction(H2O)
