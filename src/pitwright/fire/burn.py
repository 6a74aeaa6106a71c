"""How a pit is fired over time, and the course it then takes."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from pitwright.fire.case import Settings
from pitwright.fire.gas import Array


@dataclass(frozen=True, slots=True, kw_only=True)
class SplitAdded:
    """A piece of wood laid on at a time [s], as fired [kg]."""

    at: float
    mass: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DoorOpened:
    """A door, by name, opened at a time for so long [s]."""

    at: float
    door: str
    seconds: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Reset:
    """Inlet and damper set anew at a time [s]."""

    at: float
    settings: Settings


Event = SplitAdded | DoorOpened | Reset


@dataclass(frozen=True, slots=True, kw_only=True)
class Burn:
    """How the pit is fired.

    seconds    how long [s]
    start      cold, or from the steady fire
    tending    "tended": as much wood as warms it fast, easing off to what holds it; "even": the holding rate
               throughout; "events": only the splits listed
    warm_rate  most wood the tender lays on [kg/s as fired]
    kindling   dry wood alight at the start of a cold pit [kg]
    every      time between points of the curves [s]
    """

    seconds: float = 8 * 3600.0
    start: Literal["cold", "steady"] = "cold"
    tending: Literal["tended", "even", "events"] = "tended"
    warm_rate: float = 12.0 * 0.45359237 / 3600.0
    kindling: float = 0.8
    every: float = 60.0
    events: tuple[Event, ...] = field(default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Dip:
    """What a door did: grate before, coldest after [K], and how long until it was back within 3 K [s] (inf: never)."""

    door: str
    at: float
    before: float
    lowest: float
    recovery: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """The pit over time; all temperatures [K].

    x                middle of the zones [m]
    grate            gas at the main grate, time by zone; grate_mean its mean
    lower, upper     gas under and over the grate, time by zone
    walls            mean of the steel below and above, as a thermometer on the grate sees it, time by zone
    ready            first time the mean grate comes within 3 K of what is wanted [s]; inf if never
    ready_wood       wood laid on by then, as fired [kg]
    burning          dry wood burnt per second [kg/s]; fed: as fired, total [kg]
    energy_error     heat unaccounted for over heat set free [-]; wood_error the same of the wood
    steps            evaluations of the heat balance
    rough            True where the draw turned back and forth and part of the course was stepped coarsely
    """

    time: Array
    x: Array
    grate: Array
    lower: Array
    upper: Array
    walls: Array
    grate_mean: Array
    fire_gas: Array
    fire_wall: Array
    shell: Array
    stack: Array
    meat: Array
    burning: Array
    fed: Array
    ready: float
    ready_wood: float
    dips: tuple[Dip, ...]
    energy_error: float
    wood_error: float
    steps: int
    rough: bool
