"""What the fire's solver hands back: complete, frozen, SI.

SteadyFire   a pit burning steadily at the wanted grate temperature
NoFire       why it will not, as data
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pitwright.fire.gas import Array

Reason = Literal["not_hot", "no_draught", "back_draught", "starved", "unsettled"]


@dataclass(frozen=True, slots=True, kw_only=True)
class NoFire:
    """No steady fire holds the wanted temperature, and why.

    reason     not_hot: the wanted temperature is no warmer than the day
               no_draught: hot gas would not rise through this pit (openings shut, or the stack no higher than the inlet)
               back_draught: wind or a low stack drives the smoke out of the inlet
               starved: the air that comes in cannot burn the wood it takes
               unsettled: the solver found no steady state (never met in the random pits of the tests)
    text       the same in the shop's words
    hottest    grate temperature this pit reaches with all the air it gets [K]; the day's temperature if the fire dies
    air        air through the fire at that state [kg/s]
    wood_air   dry wood that air can burn [kg/s]
    wood_need  dry wood the wanted temperature takes [kg/s]; 0 where that is not the trouble
    """

    reason: Reason
    text: str
    hottest: float
    air: float
    wood_air: float
    wood_need: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawStep:
    """One line of the draw diagram, from air inlet to stack top.

    made, spent   pressure a rise (or the wind) makes, and what an opening costs [Pa]
    z             height at its end [m]
    flow          gas through it [kg/s]
    velocity      in its clear area [m/s] (0 for a rise)
    area          clear area [m2] (0 for a rise)
    """

    name: str
    made: float
    spent: float
    z: float
    flow: float
    velocity: float
    area: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DoorCheck:
    """How one door behaves.

    lower, upper     pressure at its lower and upper edge, closed; above nought smoke leaks out [Pa]
    leak_in, leak_out  air in and smoke out at its closed edges [kg/s]
    open_in, open_out  the same with the door open, the pit still hot [kg/s]
    open_speed       of the smoke at the upper edge when open [m/s]; 0 where none comes out
    open_neutral     height in the open door over which smoke comes out [m]; the upper edge where none does
    """

    name: str
    room: Literal["firebox", "chamber"]
    lower: float
    upper: float
    leak_in: float
    leak_out: float
    open_in: float
    open_out: float
    open_speed: float
    open_neutral: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GrateHeat:
    """Temperature over one grate.

    x        stations [m]
    gas      of the gas [K], along the middle line
    reading  of a bare thermometer lying there [K]
    across   offsets from the middle line [m], positive to the working side
    spread_across  gas at those offsets less the middle line [K], per station
    """

    name: str
    z: float
    x: Array
    gas: Array
    reading: Array
    across: Array
    spread_across: Array

    @property
    def mean(self) -> float:
        """Mean gas temperature [K]."""
        return float(self.gas.mean())

    @property
    def spread(self) -> float:
        """Hottest less coldest along the grate [K]."""
        return float(self.gas.max() - self.gas.min())

    @property
    def end_to_end(self) -> float:
        """Fire end less far end [K]."""
        return float(self.gas[0] - self.gas[-1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One share of the wood's heat: what takes it, how much [W], and as a share of the higher heating value [-]."""

    name: str
    watts: float
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Skin:
    """An outer surface: where, temperature [K], and heat it loses [W]."""

    name: str
    temperature: float
    watts: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SteadyFire:
    """A pit burning steadily.

    wood            as fired [kg/s]; wood_dry without its water
    splits_per_hour how often a split goes in
    air             through the fire [kg/s]; leaked in at the chamber's doors
    smoke           out of the stack [kg/s]
    excess_air      air over what the wood needs, less one [-]
    grates          temperature over every grate, the main one first
    x               middle of the zones [m]; lower, upper, floor, shell_lower, shell_upper [K] along them
    fire_gas, fire_wall, stack_in, stack_out, meat  temperatures [K]; meat is the day's where there is none
    dew_point       of the smoke [K]; stack_skin_inside the coldest steel it meets in the stack [K]
    draught         pressure all rises make together, inlet to stack top [Pa]
    draw            where pressure is made and where it is spent
    neutral         height at which the chamber's pressure is that of the air outside [m]
    loop            gas carried round inside the chamber [kg/s]
    shares          where the wood's heat goes; they sum to one
    energy_error    heat unaccounted for over heat set free [-]
    mass_error      gas unaccounted for over gas through [-]
    rounds          of the solver
    """

    wood: float
    wood_dry: float
    splits_per_hour: float
    air: float
    leaked_in: float
    leaked_out: float
    smoke: float
    excess_air: float
    grates: tuple[GrateHeat, ...]
    x: Array
    lower: Array
    upper: Array
    floor: Array
    shell_lower: Array
    shell_upper: Array
    fire_gas: float
    fire_wall: float
    stack_in: float
    stack_out: float
    stack_skin_inside: float
    dew_point: float
    meat: float
    meat_heat: float
    meat_steam: float
    draught: float
    draw: tuple[DrawStep, ...]
    doors: tuple[DoorCheck, ...]
    neutral: float
    loop: float
    throat_velocity: float
    stack_velocity: float
    skins: tuple[Skin, ...]
    shares: tuple[Share, ...]
    heat: float
    energy_error: float
    mass_error: float
    rounds: int

    @property
    def spread(self) -> float:
        """Hottest less coldest along the main grate [K]."""
        return self.grates[0].spread

    @property
    def grate_mean(self) -> float:
        """Mean gas temperature of the main grate [K]."""
        return self.grates[0].mean


Outcome = SteadyFire | NoFire
