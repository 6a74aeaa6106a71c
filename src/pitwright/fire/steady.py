"""The steady fire: solve it, and read off every figure the shop asks for."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from pitwright.fire.case import Door, FireCase, Shelf
from pitwright.fire.coefficients import Values
from pitwright.fire.flow import Draw
from pitwright.fire.gas import GRAVITY, H2O, LATENT_HEAT_25C, Array, conductivity, dew_point
from pitwright.fire.grid import ZONES
from pitwright.fire.losses import CHAMBER, ENTRY, EXIT, FIREBOX, UNDER, cap_loss, damper_loss, stack_loss
from pitwright.fire.moment import Fire
from pitwright.fire.result import DoorCheck, DrawStep, GrateHeat, NoFire, Outcome, Share, Skin, SteadyFire
from pitwright.fire.solve import Model, State, hydrostatic, settle
from pitwright.overtaken import breathe

STATIONS: Final = 16  # points along a grate, whatever the number of zones
ACROSS: Final = 5  # points across it
_LEAK_REACH: Final = 1.0 / 3.0  # a cold leak at the working side is felt over a third of the width; our judgement


def steady(case: FireCase, values: Values | None = None, *, zones: int = ZONES, doors: bool = True) -> Outcome:
    """The pit held at its wanted grate temperature, or why it cannot be. `doors`: whether to try every door open too."""
    return steady_of(Model(case, values, zones), doors=doors)


def steady_of(model: Model, *, start: State | None = None, doors: bool = True) -> Outcome:
    """The same of a pit made ready before.

    start  a state of the same pit to begin from, such as that of the best values
    doors  whether to try every door open too, and to weigh what a starved fire would need (left out otherwise)
    Raises Overtaken where it is not wanted any more.
    """
    breathe()
    case = model.case
    if case.wanted.temperature <= model.air + 1.0:
        return NoFire(
            reason="not_hot",
            text="The wanted temperature is no warmer than the day: there is nothing to burn for.",
            hottest=model.air,
            air=0.0,
            wood_air=0.0,
            wood_need=0.0,
        )
    state = settle(model, start=start)
    if start is not None and not state.closed:
        state = settle(model)
    if not state.closed and not state.starved:
        state = settle(model, start=state, calm=True)
    if state.closed and not state.starved and state.fire.dry > 0.0 and state.flow.through > 0.0:
        out = float(state.flow.ways[model.draw.stack])
        inward = float(state.flow.ways[model.draw.inlets].sum())
        if out > 0.0 and inward > 0.0:
            return read_off(model, state, doors=doors)
    return _why_not(model, state, weigh=doors)


def _why_not(model: Model, state: State, *, weigh: bool) -> NoFire:
    """The reason no steady fire was found, looked up in a pit warmed to the wanted temperature.

    weigh  whether to work out how much wood it would take, in a pit that is not held to its air
    """
    t, rate = model.first_guess()
    flow = None
    for _ in range(3):
        flow = model.draw.solve(model.with_air(t), Fire(rate, rate * model.zones.moisture), flow)
    assert flow is not None
    at_fire = flow.ways[model.draw.fire_ways]
    air = float(np.maximum(at_fire, 0.0).sum())
    inlets = float(flow.ways[model.draw.inlets].sum())
    stack = float(flow.ways[model.draw.stack])
    most = model.most_wood(flow)
    balance = model.zones.balance(model.with_air(t), Fire(rate, rate * model.zones.moisture), flow)
    need = float(balance.outside.sum()) / model.zones.freed
    if state.starved and weigh:
        wish = settle(model, rationed=False)
        if wish.closed and wish.fire.dry > model.most_wood(wish.flow):
            need, most, air = wish.fire.dry, model.most_wood(wish.flow), wish.flow.fire_air
        else:
            need = max(need, most)
    elif state.starved:
        need = max(need, most)
    settled = state.closed and state.starved
    hottest = float(model.reading(state.t)[1].max()) if settled else model.air
    if stack <= 1e-9 or inlets <= 0.0:
        reason, text = "back_draught", (
            "Even hot, this pit would blow smoke out of its air inlet: the wind or a low stack turns the draw round."
        )  # fmt: skip
    elif air * 3600.0 < 0.02:
        reason, text = "no_draught", "Hardly any air gets through: an opening is shut or far too small."
    elif state.starved or most < need:
        reason, text = "starved", (
            "The air that comes in cannot burn the wood this temperature takes: "
            "open the air inlet, the damper, the throat or the stack, whichever the draw table shows as the choke."
        )  # fmt: skip
    else:
        reason, text = "unsettled", "No steady state was found; the figures for this pit cannot be trusted."
    return NoFire(
        reason=reason,  # type: ignore[arg-type]
        text=text,
        hottest=hottest,
        air=air,
        wood_air=most,
        wood_need=need,
    )


def read_off(model: Model, state: State, *, doors: bool = True) -> SteadyFire:
    """Every figure of a steady state."""
    case, g, draw, zones = model.case, model.grid, model.draw, model.zones
    t, flow, fire, balance = state.t, state.flow, state.fire, state.balance
    at_fire = flow.ways[draw.fire_ways]
    air = float(at_fire[at_fire > 0.0].sum())
    leaks = flow.ways[draw.chamber_ways]
    dry_air = air * (1.0 - float(draw.outside.mass_fractions[H2O]))
    smoke = float(flow.ways[draw.stack])
    stack_t = t[g.stack_gas]
    vapour = flow.chamber_gas.mole_fraction(H2O) * case.weather.pressure
    throat_density = flow.fire_gas.density(float(t[g.fire]), case.weather.pressure)
    wood = fire.dry + fire.water
    gas_in = (
        air + float(np.maximum(leaks, 0.0).sum()) + fire.dry * (1 - case.fuel.wood.ash) + fire.water + balance.steam
    )
    gas_out = smoke + float(np.maximum(-leaks, 0.0).sum() + np.maximum(-at_fire, 0.0).sum())
    freed = zones.freed_heat(fire)
    steps = draw_steps(model, state)
    return SteadyFire(
        wood=wood,
        wood_dry=fire.dry,
        splits_per_hour=3600.0 * wood / case.fuel.split,
        air=air,
        leaked_in=float(np.maximum(leaks, 0.0).sum()),
        leaked_out=float(np.maximum(-leaks, 0.0).sum()),
        smoke=smoke,
        excess_air=dry_air / (fire.dry * model.stoichiometric) - 1.0,
        grates=_grates(model, state),
        x=g.x,
        lower=t[g.lower],
        upper=t[g.upper],
        floor=t[g.floor],
        shell_lower=t[g.shell_lower],
        shell_upper=t[g.shell_upper],
        fire_gas=float(t[g.fire]),
        fire_wall=float(t[g.fire_wall]),
        stack_in=_mouth_temperature(model, state),
        stack_out=float(stack_t[-1]),
        stack_skin_inside=float(t[g.stack_wall].min()),
        dew_point=dew_point(vapour),
        meat=float(t[g.meat[0]]) if len(g.meat) else model.air,
        meat_heat=balance.meat,
        meat_steam=balance.steam,
        draught=sum(step.made for step in steps),
        draw=steps,
        doors=tuple(_door(model, state, door) for door in (*case.firebox.doors, *case.chamber.doors) if doors),
        neutral=neutral_level(model, state),
        loop=flow.loop,
        throat_velocity=flow.through / (throat_density * case.throat.area),
        stack_velocity=smoke / (flow.stack_density * case.stack.area),
        skins=_skins(model, state),
        shares=_shares(model, state),
        heat=fire.dry * zones.higher,
        energy_error=abs(float(balance.gain[:-1].sum())) / freed,
        mass_error=abs(gas_in - gas_out) / gas_out,
        rounds=state.rounds,
    )


def _mouth_temperature(model: Model, state: State) -> float:
    g, t = model.grid, state.t
    below = float((g.stack_zones * t[g.lower]).sum())
    above = float((g.stack_zones * t[g.upper]).sum())
    return g.stack_below * below + (1.0 - g.stack_below) * above


def _grates(model: Model, state: State) -> tuple[GrateHeat, ...]:
    case = model.case
    chamber = case.chamber
    main = Shelf(
        name="main grate", z=chamber.z_grate, x0=chamber.grate_x0, x1=chamber.grate_x1, width=chamber.grate_width
    )
    return tuple(_grate(model, state, shelf) for shelf in (main, *case.shelves))


def _grate(model: Model, state: State, shelf: Shelf) -> GrateHeat:
    """Along: straight between the layers' middles. Across: the wall's own film, and cold air leaking at the doors."""
    case, g, t = model.case, model.grid, state.t
    share = g.layer_share(shelf.z)
    n = g.zones
    rows = np.zeros((n, g.pieces + 1))
    at = np.arange(n)
    rows[at, g.lower] += 1.0 - share
    rows[at, g.upper] += share
    gas, reading = rows @ t, model.bare(rows, t) @ t
    offsets = np.linspace(-0.45, 0.45, ACROSS) * shelf.width
    half = 0.5 * case.chamber.grate_width
    wall = 0.5 * (t[g.shell_lower] + t[g.shell_upper])
    film = float(np.mean(state.balance.films[1 : 1 + n]))
    layer = float(conductivity(np.array([float(gas.mean())]))[0]) / film
    distance = np.maximum(half - np.abs(offsets), 0.0)
    near_wall = np.exp(-distance / layer)[None, :] * (wall - gas)[:, None]
    leak = np.maximum(state.flow.ways[model.draw.chamber_ways], 0.0) @ model.draw.door_shares
    carried = np.abs(state.flow.streams[2 : n + 1])
    passing = np.maximum(np.concatenate([carried[:1], carried]), 1e-6) * _LEAK_REACH
    cold = leak / (leak + passing) * (gas - model.air)
    reach = np.clip((offsets / half - (1.0 - 2.0 * _LEAK_REACH)) / (2.0 * _LEAK_REACH), 0.0, 1.0)
    across = near_wall - cold[:, None] * reach[None, :]
    x = stations(shelf.x0, shelf.x1)
    return GrateHeat(
        name=shelf.name,
        z=shelf.z,
        x=x,
        gas=np.interp(x, g.x, gas),
        reading=np.interp(x, g.x, reading),
        across=offsets,
        spread_across=np.array([np.interp(x, g.x, column) for column in across.T]).T,
    )


def stations(x0: float, x1: float) -> Array:
    """The places along a grate its temperatures are told at: the middles of sixteen equal parts [m]."""
    parts = np.linspace(x0, x1, STATIONS + 1)
    return 0.5 * (parts[1:] + parts[:-1])


def draw_steps(model: Model, state: State) -> tuple[DrawStep, ...]:
    """Pressure made and spent along the way of the gas, from the largest air inlet to the stack top."""
    case, draw, g, flow = model.case, model.draw, model.grid, state.flow
    net = draw.network
    inlet = max(range(draw.inlets.start, draw.inlets.stop), key=lambda e: float(flow.ways[e]))
    steps: list[DrawStep] = []

    def rise(name: str, made: float, z: float) -> None:
        steps.append(DrawStep(name=name, made=made, spent=0.0, z=z, flow=0.0, velocity=0.0, area=0.0))

    def spend(name: str, spent: float, z: float, e: int, density: float) -> None:
        area, m = net.ways[e].area, float(flow.ways[e])
        steps.append(DrawStep(name=name, made=0.0, spent=spent, z=z, flow=m, velocity=m / (density * area), area=area))

    def head(room: int, low: float, high: float) -> float:
        return hydrostatic(model, flow, room, high) - hydrostatic(model, flow, room, low)

    wind = float(draw.wind[inlet])
    z_in, z_throat = float(net.z[inlet]), case.throat.z
    if wind:
        rise("wind at the inlet", wind, z_in)
    p_fire = hydrostatic(model, flow, FIREBOX, z_in)
    open_share = net.ways[inlet]
    through_hole = (1.0 / model.values.discharge**2) / (2 * draw.outside_density * open_share.area**2)
    whole = wind - p_fire
    hole = min(through_hole * float(flow.ways[inlet]) ** 2, whole)
    spend(open_share.name, hole, z_in, inlet, draw.outside_density)
    if whole - hole > 1e-12:
        spend("fire grate and coals", whole - hole, z_in, inlet, draw.outside_density)
    rise("rise in the firebox", head(FIREBOX, z_in, z_throat), z_throat)
    into = UNDER if g.deck else CHAMBER
    throat_density = flow.fire_gas.density(float(state.t[g.fire]), case.weather.pressure)
    spent = hydrostatic(model, flow, FIREBOX, z_throat) - hydrostatic(model, flow, into, z_throat)
    spend("throat", spent, z_throat, draw.throat, throat_density)
    z_from = z_throat
    if g.deck:
        z_deck = case.chamber.decks[0].z
        rise("rise under the plates", head(UNDER, z_throat, z_deck), z_deck)
        under = float(np.mean(state.t[g.under]))
        spent = hydrostatic(model, flow, UNDER, z_deck) - hydrostatic(model, flow, CHAMBER, z_deck)
        spend(
            "pass and gaps of the plates",
            spent,
            z_deck,
            draw.gap,
            flow.chamber_gas.density(under, case.weather.pressure),
        )
        z_from = z_deck
    z_mouth, z_top = case.stack.z_mouth, case.stack.z_top
    rise("rise in the chamber", head(CHAMBER, z_from, z_mouth), z_mouth)
    column = GRAVITY * (draw.outside_density - flow.stack_density) * (z_top - z_mouth)
    rise("rise in the stack", column, z_top)
    suction = float(draw.wind[draw.stack])
    if suction:
        rise("wind at the stack top", suction, z_top)
    total = hydrostatic(model, flow, CHAMBER, z_mouth) + column + suction
    for name, part in _stack_parts(case, flow.stack_k):
        spend(name, total * part, z_top, draw.stack, flow.stack_density)
    return tuple(steps)


def _stack_parts(case: FireCase, whole: float) -> list[tuple[str, float]]:
    """The stack's loss by cause, as shares."""
    fixed = stack_loss(case)
    parts = [("stack mouth", ENTRY[case.stack.entry])]
    damper = damper_loss(case.settings.damper_open) if case.settings.damper_open < 1.0 else 0.0
    cap = cap_loss(case.stack.area, case.stack.cap) if math.isfinite(case.stack.cap) else 0.0
    bends = fixed - ENTRY[case.stack.entry] - EXIT - damper - cap
    if bends > 1e-9:
        parts.append(("stack bends", bends))
    if damper > 0.0:
        parts.append(("damper", damper))
    parts.append(("stack pipe", whole - fixed))
    if cap > 0.0:
        parts.append(("cap", cap))
    parts.append(("leaving the stack", EXIT))
    return [(name, k / whole) for name, k in parts]


def neutral_level(model: Model, state: State) -> float:
    """Height at which the chamber's pressure equals the air's outside [m]; above it smoke leaks out."""
    flow, level = state.flow, model.case.chamber.z_grate
    at_grate = hydrostatic(model, flow, CHAMBER, level)
    lighter = flow.lighter_above[CHAMBER] if at_grate < 0.0 else flow.lighter_below[CHAMBER]
    return level - at_grate / (GRAVITY * max(float(lighter), 1e-9))


def _door(model: Model, state: State, door: Door) -> DoorCheck:
    room = FIREBOX if door.room == "firebox" else CHAMBER
    flow = state.flow
    edges = np.array(
        [float(f) for w, f in zip(model.draw.network.ways, flow.ways) if w.name == f"door edge: {door.name}"]
    )
    opened = Draw(model.grid, frozenset([door.name]))
    new = opened.solve(state.t, state.fire, flow)
    slices = np.array([float(f) for w, f in zip(opened.network.ways, new.ways) if w.name == f"open door: {door.name}"])
    top = slices[-1]
    hot = float(state.t[model.grid.fire]) if room == FIREBOX else float(np.mean(state.t[model.grid.upper]))
    density = flow.chamber_gas.density(hot, model.case.weather.pressure)
    return DoorCheck(
        name=door.name,
        room=door.room,
        lower=hydrostatic(model, flow, room, door.z_low),
        upper=hydrostatic(model, flow, room, door.z_high),
        leak_in=float(np.maximum(edges, 0.0).sum()),
        leak_out=float(np.maximum(-edges, 0.0).sum()),
        open_in=float(np.maximum(slices, 0.0).sum()),
        open_out=float(np.maximum(-slices, 0.0).sum()),
        open_speed=max(-float(top), 0.0) / (density * door.opening / len(slices)),
        open_neutral=door.z_low + (door.z_high - door.z_low) * float(np.mean(slices > 0.0)),
    )


def _skins(model: Model, state: State) -> tuple[Skin, ...]:
    g, b, n = model.grid, state.balance, model.grid.zones
    lower, upper = slice(1, n + 1), slice(n + 1, 2 * n + 1)

    def skin(name: str, part: slice) -> Skin:
        return Skin(name=name, temperature=float(b.skin[part].max()), watts=float(b.outside[part].sum()))

    return (
        skin("firebox", slice(0, 1)),
        skin("chamber below the grate", lower),
        skin("chamber above the grate", upper),
        skin("stack", slice(2 * n + 1, 2 * n + 1 + len(g.stack_wall))),
    )


def _shares(model: Model, state: State) -> tuple[Share, ...]:
    """Where the wood's heat goes, counted on its higher heating value."""
    g, zones = model.grid, model.zones
    b, fire, flow, n = state.balance, state.fire, state.flow, model.grid.zones
    whole = fire.dry * zones.higher
    h = b.enthalpy
    h_air = float(h[g.air])
    out_by_stack = float(flow.ways[model.draw.stack]) * float(h[g.stack_gas[-1]])
    at_fire = flow.ways[model.draw.fire_ways]
    leaks = flow.ways[model.draw.chamber_ways]
    air_in = float(np.maximum(at_fire, 0.0).sum() + np.maximum(leaks, 0.0).sum()) * h_air
    streams, a, to = flow.streams, g.stream_a, g.stream_b
    carried = np.maximum(streams, 0.0) * h[a] + np.minimum(streams, 0.0) * h[to]
    out_by_doors = float(carried[(to == g.air) & (a != g.stack_gas[-1])].sum())
    rows = [
        ("firebox skin", float(b.outside[0])),
        ("chamber skin", float(b.outside[1 : 2 * n + 1].sum())),
        ("stack skin", float(b.outside[2 * n + 1 :].sum())),
        ("warm smoke out of the stack", out_by_stack - air_in),
        ("smoke leaking at doors", out_by_doors),
        ("drying the meat", b.latent),
        ("steam from the wood", fire.dry * (zones.higher - zones.lower) + fire.water * LATENT_HEAT_25C),
        ("unburnt", fire.dry * (zones.lower - zones.freed)),
    ]
    return tuple(Share(name=name, watts=w, share=w / whole) for name, w in rows)
