"""The pit in time: warming up, a door opened, a split added, cooling.

Steel, gas and meat hold heat; the draw follows the temperatures of the moment. Wood goes through two stages: fresh
(drying) and burning. The state is the heat every piece holds, not its temperature, and heat to the weather, heat in
steam and heat set free are carried along as accounts; the method of integration keeps their sum to the last digits,
so the books close whatever the step.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any, Final

import numpy as np

from pitwright.fire.burn import Burn, Course, Dip, DoorOpened, Event, Reset, SplitAdded
from pitwright.fire.case import FireCase
from pitwright.fire.coefficients import Values
from pitwright.fire.gas import LATENT_HEAT_25C, Array
from pitwright.fire.moment import Fire, Flow, Rooms
from pitwright.fire.result import SteadyFire
from pitwright.fire.solve import Model, settle
from pitwright.fire.steady import steady

CHARRING: Final = {True: 0.50e-3 / 60.0, False: 0.65e-3 / 60.0}  # m/s, hardwood and softwood: EN 1995-1-2 table 3.1
NEAR: Final = 3.0  # K: this close counts as there
_BAND: Final = 8.0  # K over which a tender goes from the holding rate to nothing
_SHARPNESS: Final = 8.0  # of the smooth smaller-of-two
_AGREED: Final = 1e-5  # change of the flows at which fire and draw agree
_CRAWL: Final = 15.0  # s
_ACCOUNTS: Final = 7  # weather, steam, freed, fresh wood, burning wood, burnt, fed
_MAKE: Final = 4  # what the gas is made of: burnt wood and extra water in the firebox's gas, then in the chamber's
_GAS_DENSITY: Final = 0.9  # kg/m3, for how long a room's gas stays


class _Run:
    """One stretch without events: a model, and the right-hand side of its equations."""

    def __init__(self, model: Model, burn: Burn, hold: float) -> None:
        self.model, self.burn, self.hold = model, burn, hold
        fuel = model.case.fuel
        self.moisture = model.zones.moisture
        k = model.values.burn_time
        self.burn_time = 0.5 * (0.5 * fuel.thickness / CHARRING[fuel.hardwood]) * k
        self.dry_time = (180.0 + 600.0 * self.moisture) * k  # fresh wood steaming off; our judgement
        self.last: Rooms | None = None
        self.count = 0
        n = model.grid.pieces
        self.n = n
        at = np.arange(model.grid.zones)
        rows = np.zeros((model.grid.zones, n))
        rows[at, model.grid.lower] = 1.0 - model.grid.grate_upper
        rows[at, model.grid.upper] += model.grid.grate_upper
        self.rows = rows
        self.mean = rows.mean(axis=0)
        chamber = model.case.chamber
        section = chamber.flow_above + chamber.flow_below
        self.fire_mass = _GAS_DENSITY * model.case.firebox.volume
        self.room_mass = _GAS_DENSITY * section * chamber.length

    def feed(self, grate: float) -> tuple[float, float]:
        """Wood laid on [kg/s] and its slope with the grate's temperature."""
        if self.burn.tending == "events":
            return 0.0, 0.0
        if self.burn.tending == "even":
            return self.hold, 0.0
        rate = self.hold * (1.0 + (self.model.case.wanted.temperature - grate) / _BAND)
        if rate <= 0.0:
            return 0.0, 0.0
        return (rate, -self.hold / _BAND) if rate < self.burn.warm_rate else (self.burn.warm_rate, 0.0)

    def burning(self, alight: float, rooms: Rooms) -> float:
        """Dry wood burnt [kg/s]: by its own pace, but no more than the air allows (a smooth smaller-of-two)."""
        pace = max(alight, 0.0) / self.burn_time
        most = self.model.most_wood(rooms)
        if pace <= 1e-12:
            return pace
        return pace * float((1.0 + (pace / most) ** _SHARPNESS) ** (-1.0 / _SHARPNESS))

    def state(self, y: Array) -> tuple[Array, Fire, Flow]:
        """Temperatures (air last), fire and draw of a state; fire, draw and what the gas is made of agree."""
        t = self.model.with_air(self.model.zones.temperatures(y[: self.n]))
        water = self.moisture / (1.0 + self.moisture) * max(float(y[self.n + 3]), 0.0) / self.dry_time
        alight = float(y[self.n + 4])
        draw = self.model.draw
        made = y[self.n + _ACCOUNTS :]
        held = (draw.made_of(made[0], made[1]), draw.made_of(made[2], made[3]))
        pace = max(alight, 0.0) / self.burn_time
        rooms = self.last if self.last is not None else draw.rooms(t, Fire(pace, water), None, held)
        fire = Fire(self.burning(alight, rooms), water)
        before: tuple[float, float] | None = None
        for _ in range(30):
            new = draw.rooms(t, fire, rooms, held)
            burnt = self.burning(alight, new)
            off = burnt - fire.dry
            # the smoke of the round before only sets the pipe's friction, a twentieth part of what moves the flow
            moved = 0.05 * abs(new.smoke - rooms.smoke) + 8.0 * abs(off)
            rooms = new
            if moved <= _AGREED * (abs(new.smoke) + 1e-4):
                fire = Fire(burnt, water)
                break
            better = burnt
            if before is not None and abs(off - before[1]) > 1e-3 * abs(before[1]):
                secant = fire.dry - off * (fire.dry - before[0]) / (off - before[1])
                better = secant if 0.0 <= secant <= pace else burnt
            before = (fire.dry, off)
            fire = Fire(better, water)
        self.last = rooms
        return t, fire, draw.streams(t, rooms)

    def rate(self, _time: float, y: Array) -> Array:
        """d y / d time."""
        self.count += 1
        n = self.n
        t, fire, flow = self.state(y)
        balance = self.model.zones.balance(t, fire, flow)
        laid, _ = self.feed(float(self.mean @ t[:n]))
        drying = float(y[n + 3]) / self.dry_time
        dy = np.empty_like(y)
        dy[:n] = balance.gain[:n]
        dy[n] = balance.gain[n]
        dy[n + 1] = balance.latent
        dy[n + 2] = self.model.zones.freed_heat(fire)
        dy[n + 3] = laid - drying
        dy[n + 4] = drying / (1.0 + self.moisture) - fire.dry
        dy[n + 5] = fire.dry
        dy[n + 6] = laid
        dy[n + _ACCOUNTS :] = self._make(y[n + _ACCOUNTS :], fire, flow)
        return dy

    def _make(self, made: Array, fire: Fire, flow: Flow) -> Array:
        """How fast the make of the gas changes: what comes in with it, less what the gas carries out."""
        into_fire, into_room = self._changes(fire, flow)
        through, steam = max(flow.through, 0.0), flow.drying.steam
        return np.array(
            [
                (fire.dry - made[0] * into_fire) / self.fire_mass,
                (fire.water - made[1] * into_fire) / self.fire_mass,
                (through * made[0] - made[2] * into_room) / self.room_mass,
                (through * made[1] + steam - made[3] * into_room) / self.room_mass,
            ]
        )

    def _changes(self, fire: Fire, flow: Flow) -> tuple[float, float]:
        """Gas coming into the firebox and into the chamber [kg/s]."""
        into_fire = flow.fire_air + fire.dry * (1.0 - self.model.case.fuel.wood.ash) + fire.water
        into_room = max(flow.through, 0.0) + flow.taken_in - flow.fire_air + max(flow.drying.steam, 0.0)
        return max(into_fire, 1e-6), max(into_room, 1e-6)

    def slope(self, _time: float, y: Array) -> Array:
        """d rate / d y with films and flows held; the sums that close the books hold exactly in it too."""
        n = self.n
        t, fire, flow = self.state(y)
        zones, g = self.model.zones, self.model.grid
        balance = zones.balance(t, fire, flow)
        per_heat = 1.0 / zones.capacities(t[:n])
        j = np.zeros((len(y), len(y)))
        j[: n + 1, :n] = balance.slope[:, :n] * per_heat
        if len(g.meat):
            m = int(g.meat[0])
            j[n + 1, m] = flow.drying.slope * flow.drying.latent * per_heat[m]
        _, feed_slope = self.feed(float(self.mean @ t[:n]))
        j[n + 3, :n] = feed_slope * self.mean * per_heat
        j[n + 6, :n] = j[n + 3, :n]
        share = zones.fire_share() * zones.freed
        pace = max(float(y[n + 4]), 0.0) / self.burn_time
        eager = (fire.dry / pace) ** (_SHARPNESS + 1.0) / self.burn_time if pace > 0.0 else 1.0 / self.burn_time
        j[: n + 1, n + 4] = share * eager
        j[n + 2, n + 4] = zones.freed * eager
        j[n + 4, n + 4], j[n + 5, n + 4] = -eager, eager
        steamed = self.moisture / (1.0 + self.moisture) / self.dry_time * LATENT_HEAT_25C
        j[g.fire, n + 3] -= steamed
        j[n + 2, n + 3] = -steamed
        j[n + 3, n + 3] = -1.0 / self.dry_time
        j[n + 4, n + 3] = 1.0 / self.dry_time / (1.0 + self.moisture)
        into_fire, into_room = self._changes(fire, flow)
        first = n + _ACCOUNTS
        for k in (0, 1):
            j[first + k, first + k] = -into_fire / self.fire_mass
            j[first + 2 + k, first + 2 + k] = -into_room / self.room_mass
            j[first + 2 + k, first + k] = max(flow.through, 0.0) / self.room_mass
        j[first, n + 4] = eager / self.fire_mass
        return j


def _crawl(run: _Run, low: float, y: Array, points: Array) -> Array:
    """Small steps of the linearly implicit Euler method to every point: it cannot stall, and keeps the books too.

    For stretches where the draw turns back and forth through nought (a pit shut down), which a method of variable
    steps tries in vain to resolve.
    """
    found = []
    unit = np.eye(len(y))
    now = low
    for point in points:
        while now < point - 1e-9:
            step = min(_CRAWL, point - now)
            y = y + np.linalg.solve(unit / step - run.slope(now, y), run.rate(now, y))
            now += step
        found.append(y)
    return np.array(found).T


def _stretches(burn: Burn) -> list[float]:
    """Times at which something changes by hand, from nought to the end [s]."""
    times = {0.0, burn.seconds}
    for event in burn.events:
        times.add(event.at)
        if isinstance(event, DoorOpened):
            times.add(event.at + event.seconds)
    return sorted(t for t in times if 0.0 <= t <= burn.seconds)


def _points(burn: Burn, low: float, high: float) -> Array:
    """Times to keep in a stretch, the last its end: every so often, and closer for half an hour after a door."""
    points = [np.arange(np.ceil(low / burn.every), np.floor(high / burn.every) + 1) * burn.every]
    for event in burn.events:
        if isinstance(event, DoorOpened):
            points.append(event.at + np.arange(0.0, event.seconds + 1800.0, 10.0))
    times = np.unique(np.concatenate(points))
    inside = times[(times >= low) & (times < high - 1e-6)]
    return np.append(inside, high)


def _start(model: Model, burn: Burn, hold: float) -> Array:
    n, zones, g = model.grid.pieces, model.zones, model.grid
    y = np.zeros(n + _ACCOUNTS + _MAKE)
    run = _Run(model, burn, hold)
    if burn.start == "steady":
        found = settle(model)
        y[:n] = zones.stored(found.t[:n])
        y[n + 3] = hold * run.dry_time
        y[n + 4] = hold / (1.0 + run.moisture) * run.burn_time
        into_fire, into_room = run._changes(found.fire, found.flow)
        y[n + 7], y[n + 8] = found.fire.dry / into_fire, found.fire.water / into_fire
        through = max(found.flow.through, 0.0) / into_room
        y[n + 9] = through * y[n + 7]
        y[n + 10] = through * y[n + 8] + found.flow.drying.steam / into_room
    else:
        t = np.full(n, model.air)
        t[g.fire] = model.air + 150.0  # the lighter's flame
        t[g.meat] = model.case.load.temperature
        y[:n] = zones.stored(t)
        y[n + 4] = burn.kindling
    return y


def course(
    case: FireCase,
    burn: Burn,
    values: Values | None = None,
    *,
    zones: int = 16,
    method: str = "BDF",
    tight: float = 1e-4,
) -> Course:
    """The pit over time under a way of firing.

    method  of scipy.integrate.solve_ivp, an implicit one; tight its relative tolerance
    """
    from scipy import integrate

    solve_ivp: Any = integrate.solve_ivp

    model = Model(case, values, zones)
    outcome = steady(case, values, zones=zones)
    hold = outcome.wood if isinstance(outcome, SteadyFire) else burn.warm_rate
    n = model.grid.pieces
    y = _start(model, burn, hold)
    first = y.copy()
    capacity = model.zones.capacities(np.full(n, 350.0))
    tolerance = np.concatenate([0.02 * capacity, np.full(3, 2000.0), np.full(4, 1e-4), np.full(4, 1e-5)])
    settings = case.settings
    edges = _stretches(burn)
    times: list[Array] = []
    states: list[Array] = []
    count = 0
    ready, ready_wood, rough = np.inf, np.inf, False
    for low, high in pairwise(edges):
        for event in burn.events:
            if isinstance(event, SplitAdded) and event.at == low:
                y[n + 3] += event.mass
                y[n + 6] += event.mass
            if isinstance(event, Reset) and event.at == low:
                settings = event.settings
        opened = frozenset(e.door for e in burn.events if isinstance(e, DoorOpened) and e.at <= low < e.at + e.seconds)
        here = Model(replace(case, settings=settings), values, zones, opened)
        run = _Run(here, burn, hold)
        points = _points(burn, low, high)

        def reached(_t: float, state: Array, run: _Run = run) -> float:
            t = run.model.zones.temperatures(state[: run.n])
            return float(run.mean @ t) - (case.wanted.temperature - NEAR)

        solved = solve_ivp(
            run.rate, (low, high), y, method=method, jac=run.slope, t_eval=points, rtol=tight,
            atol=tolerance * (tight / 1e-4), events=reached if not np.isfinite(ready) else None, first_step=1.0,
        )  # fmt: skip
        at, found = solved.t, solved.y
        if not np.isfinite(ready) and solved.t_events is not None and len(solved.t_events[0]):
            ready = float(solved.t_events[0][0])
            ready_wood = float(solved.y_events[0][0][n + 6]) + (burn.kindling if burn.start == "cold" else 0.0)
        if not solved.success:
            rough = True
            rest = points[len(at) :]
            begin, y = (float(at[-1]), found[:, -1]) if len(at) else (low, y)
            crawled = _crawl(run, begin, y, rest)
            at, found = points, np.concatenate([found, crawled], axis=1) if len(at) else crawled
        count += run.count
        y = found[:, -1].copy()
        keep = slice(None) if high == edges[-1] else slice(0, -1)
        times.append(at[keep])
        states.append(found[:, keep])
    return _read(
        model, burn, np.concatenate(times), np.concatenate(states, axis=1), first, y, ready, ready_wood, count, rough
    )


def _read(
    model: Model,
    burn: Burn,
    time: Array,
    y: Array,
    first: Array,
    last: Array,
    ready: float,
    ready_wood: float,
    count: int,
    rough: bool,
) -> Course:
    n, g = model.grid.pieces, model.grid
    t = model.zones.temperatures(np.ascontiguousarray(y[:n].T))
    rows = _Run(model, burn, 0.0).rows
    grate = t @ rows.T
    mean = grate.mean(axis=1)
    held = float(last[:n].sum() - first[:n].sum())
    freed = float(last[n + 2] - first[n + 2])
    energy = abs(held + float(last[n] - first[n]) + float(last[n + 1] - first[n + 1]) - freed) / max(abs(freed), 1.0)
    moisture = model.zones.moisture
    laid = float(last[n + 6] - first[n + 6]) / (1.0 + moisture)
    on_grate = float(last[n + 3] - first[n + 3]) / (1.0 + moisture) + float(last[n + 4] - first[n + 4])
    burnt = float(last[n + 5])
    return Course(
        time=time,
        x=g.x,
        grate=grate,
        lower=t[:, g.lower],
        upper=t[:, g.upper],
        walls=0.5 * (t[:, g.floor] + t[:, g.shell_upper]),
        grate_mean=mean,
        fire_gas=t[:, g.fire],
        fire_wall=t[:, g.fire_wall],
        shell=np.maximum(t[:, g.shell_lower].max(axis=1), t[:, g.shell_upper].max(axis=1)),
        stack=t[:, g.stack_gas[-1]],
        meat=t[:, g.meat[0]] if len(g.meat) else np.full(len(time), model.air),
        burning=np.gradient(y[n + 5], time),
        fed=y[n + 6],
        ready=ready,
        ready_wood=ready_wood,
        dips=tuple(_dip(e, time, mean) for e in burn.events if isinstance(e, DoorOpened)),
        energy_error=energy,
        wood_error=abs(laid - on_grate - burnt) / max(burnt, 1e-9),
        steps=count,
        rough=rough,
    )


def _dip(event: DoorOpened, time: Array, mean: Array) -> Dip:
    before = float(np.interp(event.at, time, mean))
    after = time >= event.at
    later = time[after]
    grate = mean[after]
    low = int(grate.argmin()) if len(grate) else 0
    back = np.nonzero(grate[low:] >= before - NEAR)[0] if len(grate) else np.array([])
    return Dip(
        door=event.door,
        at=event.at,
        before=before,
        lowest=float(grate.min()) if len(grate) else before,
        recovery=float(later[low + int(back[0])] - event.at) if len(back) else np.inf,
    )


__all__ = ["Burn", "Course", "Dip", "DoorOpened", "Event", "Reset", "SplitAdded", "course"]
