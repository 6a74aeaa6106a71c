"""Finding the steady state: the temperatures of every piece, the draw, and the wood it takes, all at once.

Newton's method on the heat balance with the draw carried along: every round solves the flow network for the
temperatures at hand, then moves all temperatures (and the burning rate, when a grate temperature is wanted) by the
linearised balance. Films and flows are taken from the round before, so it closes in on the answer by a steady factor
rather than doubling digits; some fifteen rounds reach the last digits.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from pitwright.fire.case import FireCase
from pitwright.fire.coefficients import Values
from pitwright.fire.flow import Draw
from pitwright.fire.gas import GRAVITY, H2O, LATENT_HEAT_25C, STEFAN_BOLTZMANN, Array, stoichiometric_air
from pitwright.fire.grid import ZONES, Grid
from pitwright.fire.moment import Fire, Flow, Rooms
from pitwright.fire.zones import Balance, Zones

LEAST_AIR: Final = (
    1.15  # air over stoichiometric below which wood smoulders rather than burns; common practice, no source
)
ROUNDS: Final = 150
_CALM_ROUNDS: Final = 600
_CALM_STEP: Final = 0.25
CLOSED: Final = 4e-11  # change of temperature per kelvin, and of burning rate, at which the answer stands
_ROUGHLY: Final = 1e-6  # the same for a starved fire, of which only the hottest it gets is told
_PATIENCE: Final = 8  # rounds before a fire is held to the air it can get
_DYING: Final = 45  # rounds a starved fire may go on sinking
_STEM_FILM: Final = 21.0  # W/m2 K
_STEM_EMISSIVITY: Final = 0.3
_LARGEST_STEP: Final = 250.0  # K


def thermometer_share(gas: Array, walls: Array) -> Array:
    """How much of a bare thermometer's reading is the gas's temperature; the rest is that of the walls it sees [-]."""
    glow = _STEM_EMISSIVITY * STEFAN_BOLTZMANN * (gas + walls) * (gas**2 + walls**2)
    share: Array = _STEM_FILM / (_STEM_FILM + glow)
    return share


class Model:
    """One pit made ready to solve: its pieces, its draw and its heat balance."""

    def __init__(
        self,
        case: FireCase,
        values: Values | None = None,
        zones: int = ZONES,
        open_doors: frozenset[str] = frozenset(),
    ) -> None:
        self.case = case
        self.values = values if values is not None else case.coefficients.values()
        self.grid = Grid(case, self.values, zones)
        self.draw = Draw(self.grid, open_doors)
        self.zones = Zones(self.grid, self.draw.outside)
        self.air = case.weather.temperature
        self.stoichiometric = stoichiometric_air(case.fuel.wood)

    def with_air(self, t: Array) -> Array:
        """Temperatures of the pieces with the open air's added at the end [K]."""
        return np.append(t, self.air)

    def reading(self, t: Array, balance: Balance | None = None) -> tuple[Array, Array]:
        """Weights that turn temperatures into the wanted grate temperature, and the grate along its zones [K].

        A bare thermometer settles between the gas and the walls it sees: h (Tg - T) = sum of hr (T - Tw), taken for a
        6 mm bright stem (emissivity 0.3) in 0.2 m/s, h = 21 W/m2 K by Churchill and Bernstein; the walls below and above
        share its view.
        """
        g, wanted = self.grid, self.case.wanted
        n = g.zones
        rows = np.zeros((n, g.pieces + 1))
        at = np.arange(n)
        rows[at, g.lower] += 1.0 - g.grate_upper
        rows[at, g.upper] += g.grate_upper
        if wanted.read_by == "thermometer":
            rows = self.bare(rows, t)
        along = rows @ t
        if wanted.at == "middle":
            weights = 0.5 * (rows[n // 2] + rows[(n - 1) // 2])
        else:
            weights = rows.mean(axis=0)
        return weights, along

    def bare(self, rows: Array, t: Array) -> Array:
        """Rows of a bare thermometer from rows of the gas about it."""
        g = self.grid
        at = np.arange(g.zones)
        share = thermometer_share(rows @ t, 0.5 * (t[g.floor] + t[g.shell_upper]))
        rows = rows * share[:, None]
        rows[at, g.floor] += 0.5 * (1 - share)
        rows[at, g.shell_upper] += 0.5 * (1 - share)
        return rows

    def most_wood(self, flow: Rooms | Flow) -> float:
        """The most dry wood the air now coming in can burn cleanly enough to be called a fire [kg/s]."""
        dry = flow.fire_air * (1.0 - float(self.draw.outside.mass_fractions[H2O]))
        return max(dry / (LEAST_AIR * self.stoichiometric), 1e-9)

    def first_guess(self) -> tuple[Array, float]:
        """Plausible temperatures and burning rate to start from [K, kg/s]."""
        g, case = self.grid, self.case
        air, want = self.air, case.wanted.temperature
        t = np.full(g.pieces, want)
        above = want - air
        t[g.fire] = want + 0.7 * above
        t[g.fire_wall] = want + 0.2 * above
        fall = np.linspace(0.2, -0.15, g.zones) * above
        t[g.lower] += fall
        t[g.upper] += fall
        for shell in (g.shell_lower, g.shell_upper):
            t[shell] = air + 0.5 * (above + fall)
        t[g.stack_gas] = air + 0.75 * above
        t[g.stack_wall] = air + 0.4 * above
        t[g.meat] = 340.0
        area = case.chamber.length * (case.chamber.skin_below + case.chamber.skin_above)
        return t, max(6.0 * area * above / self.zones.freed, 1e-7)


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """A steady state as found: temperatures [K] (air last), wood, draw, balance, and how closely it closed.

    starved  True where the fire takes all the air it can get and the wanted temperature is still not reached
    """

    t: Array
    fire: Fire
    flow: Flow
    balance: Balance
    rounds: int
    closed: bool
    starved: bool


class _Mixer:
    """Anderson's mixing of the last few rounds: takes the wobble out of a fixed-point iteration (window of five)."""

    def __init__(self, depth: int = 5) -> None:
        self.depth = depth
        self.points: list[Array] = []
        self.steps: list[Array] = []

    def restart(self) -> None:
        """Forget the past."""
        self.points.clear()
        self.steps.clear()

    def next(self, point: Array, step: Array) -> Array:
        """The next point from this point and the step the iteration would take there."""
        self.points.append(point)
        self.steps.append(step)
        if len(self.points) > self.depth + 1:
            self.points.pop(0)
            self.steps.pop(0)
        if len(self.points) < 2:
            return point + step
        d_steps = np.diff(np.array(self.steps), axis=0).T
        d_points = np.diff(np.array(self.points), axis=0).T
        weights = np.linalg.lstsq(d_steps, step, rcond=1e-9)[0]
        if float(np.abs(weights).max()) > 1e4:
            self.restart()
            return point + step
        result: Array = point + step - (d_points + d_steps) @ weights
        return result


def settle(
    model: Model, *, burn: float | None = None, start: State | None = None, rationed: bool = True, calm: bool = False
) -> State:
    """The steady state at the wanted grate temperature, or at a given burning rate [kg/s dry].

    Never raises for want of an answer: `closed` tells whether it stands. A burning rate of nought or less is an answer
    too (the pit would have to be cooled); the caller judges. Where the wanted temperature asks for more wood than the
    air that comes in can burn, the state is that of the most the air can burn, and `starved` is set; unless the fire is
    not `rationed`, and the state tells how much wood it would take. `calm` takes short steps without mixing, for the rare
    pit whose gas turns back and forth.
    """
    g, zones = model.grid, model.zones
    n = g.pieces
    if start is not None:
        t, rate = start.t[:-1].copy(), start.fire.dry
    else:
        t, rate = model.first_guess()
    if burn is not None:
        rate = burn
    per_dry = zones.fire_share() * zones.freed
    per_dry[g.fire] -= zones.moisture * LATENT_HEAT_25C
    flow: Flow | None = start.flow if start is not None else None
    unit = max(abs(rate), 1e-7) / 300.0  # burning rate that counts like a kelvin
    mixer = _Mixer()
    closed = starved = False
    best, relax, rounds = np.inf, 1.0, 0
    for rounds in range(1, (_CALM_ROUNDS if calm else ROUNDS) + 1):
        full = model.with_air(t)
        fire = Fire(max(rate, 0.0), max(rate, 0.0) * zones.moisture)
        flow = model.draw.solve(full, fire, flow)
        balance = zones.balance(full, fire, flow)
        gain = balance.gain[:n]
        slope = balance.slope[:n, :n]
        pinned = False
        if burn is None:
            gain = gain + per_dry[:n] * min(rate, 0.0)
            weights, _ = model.reading(full)
            matrix = np.empty((n + 1, n + 1))
            matrix[:n, :n] = slope
            matrix[:n, n] = per_dry[:n]
            matrix[n, :n] = weights[:n]
            matrix[n, n] = 0.0
            step = np.linalg.solve(matrix, np.append(-gain, model.case.wanted.temperature - float(weights @ full)))
            most = model.most_wood(flow)
            if rationed and rounds > _PATIENCE and rate + float(step[n]) > most:
                pinned = True
                step[n] = most - rate
                step[:n] = np.linalg.solve(slope, -gain - per_dry[:n] * step[n])
            step[n] /= unit
        else:
            step = np.append(np.linalg.solve(slope, -gain), 0.0)
        if pinned != starved:
            starved = pinned
            mixer.restart()
        change = float(np.abs(step).max()) / 300.0
        if change <= (_ROUGHLY if pinned else CLOSED):
            closed = True
            break
        if pinned and rounds > _DYING:
            break
        if change > 10.0 * best and change > 1e-6:
            mixer.restart()
            relax = max(0.7 * relax, 0.3)
            best = change
        elif change < best:
            best = change
            relax = min(1.0, 1.3 * relax)
        largest = float(np.abs(step[:n]).max())
        point = np.append(t, rate / unit)
        if largest > _LARGEST_STEP:
            mixer.restart()
            new = point + step * (relax * _LARGEST_STEP / largest)
        else:
            new = point + _CALM_STEP * step if calm else mixer.next(point, relax * step)
        t = np.clip(new[:n], 0.6 * model.air, 4000.0)
        if burn is None:
            rate = float(new[n]) * unit
    assert flow is not None
    return State(
        t=model.with_air(t), fire=Fire(rate, max(rate, 0.0) * zones.moisture), flow=flow, balance=balance,
        rounds=rounds, closed=closed, starved=starved,
    )  # fmt: skip


def hydrostatic(model: Model, flow: Flow, room: int, z: float) -> float:
    """Pressure of a room against the outside air at a height [Pa]."""
    level = model.case.chamber.z_grate
    low, high = min(z, level), max(z - level, 0.0)
    return float(flow.pressure[room] + GRAVITY * (flow.lighter_below[room] * low + flow.lighter_above[room] * high))
