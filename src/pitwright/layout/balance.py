"""Weight and centre of gravity of the whole pit, in the states it is met in.

States: `empty` (all shut), `doors open`, `fire door open` (and the others), `slides out` (doors open), `carrying` (what
rides along is aboard, where anything does), `loaded` (that and meat, all shut) and `loaded, all out` (doors open and
every slide pulled with its meat). A scale ticket, where there is one, scales the steel of them all.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from pitwright.layout.draft import Draft
from pitwright.layout.model import DoorLayout, GrateLayout, VesselLayout
from pitwright.layout.swing import swung
from pitwright.masses import Balance, Mass, combine
from pitwright.parts import Vec

STATES = ("empty", "doors open", "fire door open", "slides out", "loaded", "loaded, all out")
"""The states every pit has."""


def swung_lying(mass: Mass, door: DoorLayout) -> Mass:
    """A weight of a door that stands open at its stop, its pins along the pit."""
    y, z = swung(door.pin, (mass.centre[1], mass.centre[2]), door.stop)
    return Mass(mass=mass.mass, centre=(mass.centre[0], y, z))


def carried_along(draft: Draft, vessel: VesselLayout) -> list[Mass]:
    """What the order says rides along, in the pit frame."""
    return [
        Mass(mass=c.mass, centre=(c.station if vessel.on_end else vessel.x_at(c.station), c.aside, c.height))
        for c in draft.job.order.carried
    ]


def _fire_door_open(door: Sequence[Mass], hinges: Mass | None) -> list[Mass]:
    """The fire door a quarter turn open about its hinges, out past the firebox's end (-x)."""
    if hinges is None:
        return list(door)
    x, y, _ = hinges.centre
    way = 1.0 if sum(m.mass * (m.centre[1] - y) for m in door) > 0.0 else -1.0  # which side of its hinges it hangs
    return [
        Mass(mass=m.mass, centre=(x - way * (m.centre[1] - y), y + way * (m.centre[0] - x), m.centre[2])) for m in door
    ]


def balances(
    draft: Draft,
    vessel: VesselLayout,
    doors: Sequence[DoorLayout],
    grates: GrateLayout,
    opened_to: Callable[[Mass, DoorLayout], Mass] = swung_lying,
) -> Mapping[str, Balance]:
    """Balance by state, in the pit frame; the weld, scale and paint share and any scale ticket are in it.

    opened_to  where a weight of a door goes when the door stands open
    """
    fixed: list[Mass] = []
    on_door: dict[str, list[Mass]] = {d.name: [] for d in doors}
    on_slide: dict[str, list[Mass]] = {level.name: [] for level in grates.levels if level.slides}
    fire_door: list[Mass] = []
    hinges: Mass | None = None
    assumed = 0.0
    for part in draft.parts:
        group = fire_door if part.moving == "fire door" else on_door.get(part.moving)
        if part.moving == "fire door" and part.group == "fittings":
            (hinges,) = draft.placed(part)
        if group is None:
            group = on_slide.get(part.moving)
        (fixed if group is None else group).extend(draft.placed(part))
        if part.assumed:
            assumed += draft.mass(part).mass * part.quantity
    opened = {d.name: [opened_to(m, d) for m in on_door[d.name]] for d in doors}
    pulled: list[Mass] = []
    shut: list[Mass] = []
    meat_in: list[Mass] = []
    meat_out: list[Mass] = []
    wanted = min(grates.meat_wanted or grates.meat_capacity, grates.meat_capacity)
    for level in grates.levels:
        load = wanted * level.area / grates.area
        middle = (level.x0 + level.x1) / 2.0
        z = level.z + 0.05
        meat_in.append(Mass(mass=load, centre=(middle, 0.0, z)))
        meat_out.append(Mass(mass=load, centre=(middle, level.travel, z)))
        for m in on_slide.get(level.name, []):
            shut.append(m)
            pulled.append(Mass(mass=m.mass, centre=(m.centre[0], m.centre[1] + level.travel, m.centre[2])))
    doors_shut = [m for d in doors for m in on_door[d.name]]
    doors_open = [m for d in doors for m in opened[d.name]]
    frame = combine(fixed)
    still = combine([frame, *fire_door]) if fire_door else frame
    aboard = carried_along(draft, vessel)
    states: dict[str, list[Mass | Balance]] = {
        "empty": [still, *doors_shut, *shut],
        "doors open": [still, *doors_open, *shut],
        "fire door open": [frame, *_fire_door_open(fire_door, hinges), *doors_open, *shut],
        "slides out": [still, *doors_open, *pulled],
    }
    if aboard:
        states["carrying"] = [still, *doors_shut, *shut, *aboard]
    states["loaded"] = [still, *doors_shut, *shut, *aboard, *meat_in]
    states["loaded, all out"] = [still, *doors_open, *pulled, *aboard, *meat_out]
    steel = combine(states["empty"])
    share = 1.0 + draft.rules.shop.weld_and_paint
    ticket = draft.job.measured.weight
    factor = share if ticket is None else ticket / steel.mass
    out: dict[str, Balance] = {}
    for name, masses in states.items():
        whole = combine(masses)
        extra = (factor - 1.0) * steel.mass  # lies where the steel lies
        total = whole.mass + extra
        centre: Vec = (
            (whole.mass * whole.centre[0] + extra * steel.centre[0]) / total,
            (whole.mass * whole.centre[1] + extra * steel.centre[1]) / total,
            (whole.mass * whole.centre[2] + extra * steel.centre[2]) / total,
        )
        out[name] = Balance(mass=total, centre=centre, assumed=assumed)
    _write_down(draft, vessel, out, steel.mass, factor)
    return out


def _write_down(
    draft: Draft, vessel: VesselLayout, states: Mapping[str, Balance], solved: float, factor: float
) -> None:
    ledger, ticket = draft.ledger, draft.job.measured.weight
    empty = states["empty"]
    ledger.note("weight.pieces", solved, "mass", because="sum of the pieces, from their true shapes")
    if ticket is None:
        ledger.note(
            "weight.empty",
            empty.mass,
            "mass",
            kind="assumed",
            because="pieces and the shop's share for weld, scale and paint",
            rests_on=("weight.pieces",),
            band=(solved * 0.97, solved * (2.0 * factor - 0.98)),
            source="share: common practice, no source",
        )
    else:
        ledger.note(
            "weight.empty", ticket, "mass", kind="measured", because="scale ticket", rests_on=("weight.pieces",)
        )
        off = ticket / (solved * (1.0 + draft.rules.shop.weld_and_paint)) - 1.0
        draft.find(
            "weight.ticket",
            "warn" if abs(off) > 0.1 else "note",
            f"The scale ticket is {abs(off):.0%} {'over' if off > 0 else 'under'} the solved weight; every weight here is "
            "corrected to it.",
            remedy="Over 10 % off: check the wall by gauge, and what was added." if abs(off) > 0.1 else "",
        )
    if not vessel.on_end:
        ledger.note(
            "weight.station",
            vessel.station(empty.centre[0]),
            because="centre of gravity along the pit, empty, from the datum",
            rests_on=("weight.pieces",),
        )
    ledger.note(
        "weight.height", empty.centre[2], because="centre of gravity over the floor, empty", rests_on=("weight.pieces",)
    )
