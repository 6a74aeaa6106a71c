"""Grips of what the pit stands on: rails, fork pockets, saddles."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pitwright.bench.drawings import View, on_view
from pitwright.bench.grips.fire import one
from pitwright.bench.grips.grip import (
    Grip,
    Snap,
    by_rule,
    figure,
    override,
    overrides,
    state_of,
    written,
    x_of,
    y_of,
)
from pitwright.bench.grips.legs import along_snaps
from pitwright.layout.model import Pit, SaddleLayout
from pitwright.parts import Vec

_RAILS: tuple[View, ...] = ("side", "plan")


def base_grips(pit: Pit) -> Iterator[Grip]:
    """All grips of rails, pockets and saddles."""
    if "base.rails_outside" in pit.reasons:
        yield _spread(pit)
    for end in ("fire", "stack"):
        if f"base.rail_{end}_end" in pit.reasons:
            yield _rail_end(pit, end)
    if pit.base.pockets and "base.pocket_middle" in pit.reasons:
        yield from _pockets(pit)
    for saddle in pit.saddles:
        yield _saddle(pit, saddle)
    if pit.saddles:
        yield _saddle_contact(pit)


def _welded(pit: Pit) -> str:
    return state_of(pit, groups=("base",))


def _middle_z(pit: Pit) -> float:
    return pit.base.rail_top - pit.base.rail.height / 2.0


def _spread(pit: Pit) -> Grip:
    base = pit.base
    at = ((base.rail_x0 + base.rail_x1) / 2.0, base.rails_outside / 2.0, _middle_z(pit))
    measured = pit.job.measured.rails_outside is not None
    return one(
        pit,
        "rails apart",
        "rails, over the outside",
        "base.rails_outside",
        at,
        ("stack end", "fire end", "plan"),
        lambda view, u, v: 2.0 * y_of(pit, view, u, v),
        low=0.15,
        high=4.5,
        fixed="the rails were measured as welded" if measured else _welded(pit),
        snaps=tuple(
            Snap(value=k * pit.vessel.outer_radius, words=w)
            for k, w in ((2.0, "the vessel's diameter"), (2.5, "a quarter more than the diameter"), (1.5, "3/4 of the diameter"))
        ),
    )  # fmt: skip


def _rail_end(pit: Pit, end: str) -> Grip:
    base, vessel, box = pit.base, pit.vessel, pit.firebox
    name = f"base.rail_{end}_end"
    x = base.rail_x0 if end == "fire" else base.rail_x1
    over = pit.job.proportions.base.overhang.length(
        radius=vessel.outer_radius, seam_length=vessel.length, around=vessel.around
    )
    sets = [s.x for s in pit.leg_sets] + [s.x for s in pit.saddles]
    snaps = [Snap(value=vessel.station(0.0 if end == "fire" else vessel.length), words=f"the {end} seam")]
    if end == "fire":
        snaps.append(Snap(value=vessel.station(box.x0), words="the firebox's outer end"))
    if sets:
        last = min(sets) - over if end == "fire" else max(sets) + over
        snaps.append(Snap(value=vessel.station(last), words="the shop's overhang past the last set"))
    lows = (-6.0, 12.0)
    return one(
        pit,
        f"rail {end} end",
        f"{end} end of the rails",
        name,
        (x, base.rail_y, _middle_z(pit)),
        _RAILS,
        lambda view, u, v: vessel.station(x_of(pit, u)),
        low=lows[0],
        high=lows[1],
        fixed=_welded(pit),
        snaps=tuple(snaps),
        text=f"station {pit.tape.length(figure(pit, name))}",
    )


def _pockets(pit: Pit) -> Iterator[Grip]:
    base, vessel = pit.base, pit.vessel
    low, high = base.pockets
    weight = float(pit.balance["empty"].centre[0])
    fixed = _welded(pit)
    yield one(
        pit,
        "fork pockets",
        "fork pockets together along the rails",
        "base.pocket_middle",
        ((low + high) / 2.0, base.rail_y, _middle_z(pit)),
        _RAILS,
        lambda view, u, v: vessel.station(x_of(pit, u)),
        low=-6.0,
        high=12.0,
        fixed=fixed,
        snaps=(Snap(value=vessel.station(weight), words="the pit's centre of gravity"),),
        text=f"middle at station {pit.tape.length(vessel.station((low + high) / 2.0))}",
    )
    yield one(
        pit,
        "fork pocket spread",
        "fork pockets apart",
        "base.pocket_spread",
        (high, base.rail_y, _middle_z(pit)),
        _RAILS,
        lambda view, u, v: 2.0 * x_of(pit, u),
        low=0.2,
        high=1.5,
        fixed=fixed,
        text=f"{pit.tape.length(high - low)} centre to centre",
    )


def _saddle(pit: Pit, saddle: SaddleLayout) -> Grip:
    vessel = pit.vessel
    name = f"saddles.{saddle.name}.station"
    at: Vec = (saddle.x, saddle.width / 2.0, pit.base.rail_top + saddle.middle_height / 2.0)
    half = saddle.thickness
    return Grip(
        id=f"saddle {saddle.name} station",
        label=f"saddle {saddle.name} along the base",
        name=name,
        places={view: on_view(pit, view, at) for view in _RAILS},
        value=figure(pit, name),
        read=lambda view, u, v: vessel.station(x_of(pit, u)),
        edits=lambda new: override(pit, name, written(pit.tape, new, "length")),
        snaps=(*by_rule(pit, [name]), *along_snaps(pit, f"saddle {saddle.name}")),
        low=half,
        high=vessel.length - half,
        fixed=state_of(pit, groups=("saddles",)),
        text=f"station {pit.tape.length(figure(pit, name))}",
    )


def _saddle_contact(pit: Pit) -> Grip:
    vessel, saddle = pit.vessel, pit.saddles[0]
    half = saddle.contact / 2.0
    at = vessel.skin(saddle.x, math.pi - half)
    return Grip(
        id="saddle contact",
        label="how much of the shell the saddles carry",
        name="saddles.contact",
        places={view: on_view(pit, view, at) for view in ("stack end", "fire end", "wrap map")},
        value=saddle.contact,
        read=lambda view, u, v: 2.0 * _from_bottom(pit, view, u, v),
        edits=overrides(pit, ["saddles.contact"], "angle"),
        measure="angle",
        step=math.radians(1.0),
        far=math.radians(10.0),
        arm=vessel.outer_radius / 2.0,
        snaps=(
            *by_rule(pit, ["saddles.contact"]),
            *(Snap(value=math.radians(d), words=f"{d:g}° of the shell") for d in (90.0, 120.0, 150.0)),
        ),
        low=1.0,
        high=2.8,
        fixed=state_of(pit, groups=("saddles",)),
        text=f"{pit.tape.angle(saddle.contact)} carried",
        arc=True,
    )


def _from_bottom(pit: Pit, view: View, u: float, v: float) -> float:
    if view == "wrap map":
        return math.pi + v / pit.vessel.outer_radius
    return math.atan2(y_of(pit, view, u, v), pit.vessel.centre_z - v)
