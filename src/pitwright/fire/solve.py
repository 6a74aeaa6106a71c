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
from pitwright.fire.flow import Draw, Fire, Flow
from pitwright.fire.gas import GRAVITY, STEFAN_BOLTZMANN, Array
from pitwright.fire.grid import ZONES, Grid
from pitwright.fire.zones import Balance, Zones

ROUNDS: Final = 150
CLOSED: Final = 1e-11  # change of temperature per kelvin, and of burning rate, at which the answer stands
_LARGEST_STEP: Final = 250.0  # K


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

    def with_air(self, t: Array) -> Array:
        """Temperatures of the pieces with the open air's added at the end [K]."""
        return np.append(t, self.air)

    def reading(self, t: Array, balance: Balance | None = None) -> tuple[Array, Array]:
        """Weights that turn temperatures into the wanted grate temperature, and the grate along its zones [K].

        A bare thermometer settles between the gas and the walls it sees: h (Tg - T) = sum of hr (T - Tw), taken for a
        6 mm stem in 0.2 m/s, h = 25 W/m2 K; the walls below and above share its view.
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
        film = 25.0
        gas = rows @ t
        seen = 0.5 * (t[g.floor] + t[g.shell_upper])
        glow = 0.9 * STEFAN_BOLTZMANN * (gas + seen) * (gas**2 + seen**2)
        share = film / (film + glow)
        rows = rows * share[:, None]
        rows[at, g.floor] += 0.5 * (1 - share)
        rows[at, g.shell_upper] += 0.5 * (1 - share)
        return rows

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
    """A steady state as found: temperatures [K] (air last), wood, draw, balance, and how closely it closed."""

    t: Array
    fire: Fire
    flow: Flow
    balance: Balance
    rounds: int
    closed: bool


def settle(model: Model, *, burn: float | None = None, start: State | None = None) -> State:
    """The steady state at the wanted grate temperature, or at a given burning rate [kg/s dry].

    Never raises for want of an answer: `closed` tells whether it stands. A negative burning rate is an answer too
    (the pit would have to be cooled); the caller judges.
    """
    g, zones = model.grid, model.zones
    if start is not None:
        t, rate = start.t[:-1].copy(), start.fire.dry
    else:
        t, rate = model.first_guess()
    if burn is not None:
        rate = burn
    share = zones.fire_share()
    per_dry = share * zones.freed
    per_dry[g.fire] -= zones.moisture * 2_441_700.0
    n = g.pieces
    flow: Flow | None = start.flow if start is not None else None
    steam = start.fire.steam if start is not None else 0.0
    closed = False
    relax = 1.0
    last_change = np.inf
    rounds = 0
    for rounds in range(1, ROUNDS + 1):
        full = model.with_air(t)
        fire = Fire(max(rate, 0.0), max(rate, 0.0) * zones.moisture, steam)
        flow = model.draw.solve(full, fire, flow)
        balance = zones.balance(full, fire, flow)
        steam = balance.steam
        gain = balance.gain[:n]
        if burn is None:
            if rate < 0.0:
                gain = gain + per_dry[:n] * rate
            weights, _ = model.reading(full)
            matrix = np.empty((n + 1, n + 1))
            matrix[:n, :n] = balance.slope[:n, :n]
            matrix[:n, n] = per_dry[:n]
            matrix[n, :n] = weights[:n]
            matrix[n, n] = 0.0
            right = np.append(-gain, model.case.wanted.temperature - float(weights @ full))
            step = np.linalg.solve(matrix, right)
            move, faster = step[:n], float(step[n])
        else:
            move, faster = np.linalg.solve(balance.slope[:n, :n], -gain), 0.0
        largest = float(np.abs(move).max())
        change = max(largest / 300.0, abs(faster) / max(abs(rate), 1e-7))
        if change <= CLOSED:
            closed = True
            break
        if rounds > 12:
            relax = max(0.3, 0.85 * relax) if change > 0.7 * last_change else min(1.0, 1.1 * relax)
        last_change = change
        scale = relax * min(1.0, _LARGEST_STEP / largest)
        t = np.clip(t + scale * move, 0.6 * model.air, 6000.0)
        rate = rate + scale * faster
    full = model.with_air(t)
    fire = Fire(rate, max(rate, 0.0) * zones.moisture, steam)
    assert flow is not None
    return State(t=full, fire=fire, flow=flow, balance=balance, rounds=rounds, closed=closed)


def hydrostatic(model: Model, flow: Flow, room: int, z: float) -> float:
    """Pressure of a room against the outside air at a height [Pa]."""
    level = model.case.chamber.z_grate
    low, high = min(z, level), max(z - level, 0.0)
    return float(
        flow.pressure[room] + GRAVITY * (flow.lighter_below[room] * low + flow.lighter_above[room] * high)
    )
