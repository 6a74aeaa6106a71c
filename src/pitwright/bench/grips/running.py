"""Grips of bases that stand, roll or travel: casters apart, a cart's axle and grips, a trailer's axles, tongue and hitch."""

from __future__ import annotations

from collections.abc import Iterator

from pitwright.bench.drawings import View
from pitwright.bench.grips.fire import one
from pitwright.bench.grips.grip import Grip, Snap, figure, state_of, x_of, y_of
from pitwright.layout.model import Pit

_RAILS: tuple[View, ...] = ("side", "plan")
_FAR = (-12.0, 15.0)  # no axle stands further off the vessel than this [m]


def running_grips(pit: Pit) -> Iterator[Grip]:
    """All grips of feet, casters, wheels, handles and tongue."""
    if "stand.casters_apart" in pit.reasons and pit.base.supports:
        yield _apart(pit)
    for name, what in (("cart.axle", "axle"), ("trailer.axle", "axles")):
        if name in pit.reasons and pit.base.axles:
            yield _axle(pit, name, what)
    if "cart.grips" in pit.reasons and pit.base.handles is not None:
        yield from _handles(pit)
    if "trailer.tongue_reach" in pit.reasons and pit.base.tongue is not None:
        yield from _tongue(pit)


def _apart(pit: Pit) -> Grip:
    far = max(pit.base.supports, key=lambda s: (s.y, s.x))
    apart = figure(pit, "stand.casters_apart")
    casters = far.kind == "caster"
    return one(
        pit,
        "casters apart",
        "casters, swivel to swivel across the pit" if casters else "feet, middle to middle across the pit",
        "stand.casters_apart",
        (far.x, far.y, far.top / 2.0),
        ("stack end", "fire end", "plan"),
        lambda view, u, v: 2.0 * y_of(pit, view, u, v),
        low=0.15,
        high=4.0,
        fixed=state_of(pit, groups=("base",)),
        snaps=(
            Snap(value=2.0 * pit.base.rail_y, words="under the middle of the rails"),
            Snap(value=pit.base.rails_outside, words="under the rails' outer edges"),
        ),
        text=f"{pit.tape.length(apart)} apart",
    )


def _axle(pit: Pit, name: str, what: str) -> Grip:
    axles, vessel = pit.base.axles, pit.vessel
    middle = sum(a.x for a in axles) / len(axles)
    weight = float(pit.balance["loaded"].centre[0])
    return one(
        pit,
        "axle",
        f"{what} along the rails",
        name,
        (middle, pit.base.rail_y, axles[0].radius),
        _RAILS,
        lambda view, u, v: vessel.station(x_of(pit, u)),
        low=_FAR[0],
        high=_FAR[1],
        fixed=state_of(pit, groups=("base",)),
        snaps=(
            Snap(value=vessel.station(weight), words="under the loaded pit's centre of gravity"),
            Snap(value=vessel.station(0.0), words="under the fire seam"),
        ),
        text=f"station {pit.tape.length(figure(pit, name))}",
    )


def _handles(pit: Pit) -> Iterator[Grip]:
    vessel, tape = pit.vessel, pit.tape
    held = pit.base.handles
    assert held is not None
    x = vessel.x_at(figure(pit, "cart.grips"))
    z = figure(pit, "cart.grip_height")
    fixed = state_of(pit, groups=("base",))
    yield one(
        pit,
        "grips along",
        "grips of the handles, in or out",
        "cart.grips",
        (x, pit.base.rail_y, z),
        _RAILS,
        lambda view, u, v: vessel.station(x_of(pit, u)),
        low=_FAR[0],
        high=_FAR[1],
        fixed=fixed,
        text=f"station {tape.length(figure(pit, 'cart.grips'))}",
    )
    yield one(
        pit,
        "grips up",
        "grips of the handles, up or down",
        "cart.grip_height",
        (x, -pit.base.rail_y, z),
        ("side", "stack end"),
        lambda view, u, v: v,
        low=0.5,
        high=1.3,
        fixed=fixed,
        text=f"{tape.length(z)} over the floor",
    )


def _tongue(pit: Pit) -> Iterator[Grip]:
    base, tape = pit.base, pit.tape
    tongue = base.tongue
    assert tongue is not None
    ball = tongue.coupler
    ahead = 1.0 if ball[0] > base.rail_x1 else -1.0
    fixed = state_of(pit, groups=("base",))
    reach = figure(pit, "trailer.tongue_reach")
    yield one(
        pit,
        "tongue",
        "ball of the coupler ahead of the rails",
        "trailer.tongue_reach",
        ball,
        _RAILS,
        lambda view, u, v: ahead * x_of(pit, u),
        low=0.4,
        high=4.0,
        fixed=fixed,
        text=f"{tape.length(reach)} ahead of the rails",
    )
    yield one(
        pit,
        "hitch height",
        "ball of the coupler over the road",
        "trailer.hitch_height",
        (ball[0] - ahead * 0.15, ball[1], ball[2]),
        ("side",),
        lambda view, u, v: v,
        low=0.2,
        high=1.0,
        fixed=fixed,
        text=f"{tape.length(figure(pit, 'trailer.hitch_height'))} over the road",
    )
