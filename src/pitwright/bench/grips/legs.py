"""Grips of the legs: foot, where it meets the round, and where a set stands along the pit."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from pitwright.bench.documents import Edit
from pitwright.bench.drawings import View, on_view
from pitwright.bench.grips.grip import (
    Grip,
    Ruled,
    Snap,
    by_rule,
    figure,
    override,
    overrides,
    shares,
    state_of,
    written,
    x_of,
    y_of,
)
from pitwright.layout.asbuilt import measured_leg
from pitwright.layout.model import LegSet, Pit
from pitwright.parts import Vec

_ALIKE = 5e-4  # sets whose feet stand this near each other move together [m]


def leg_grips(pit: Pit) -> Iterator[Grip]:
    """All grips of all leg sets."""
    for group in _alike(pit):
        yield _foot(pit, group)
        yield _contact(pit, group)
    for one in pit.leg_sets:
        yield _station(pit, one)


def _alike(pit: Pit) -> list[list[LegSet]]:
    """Sets that stand alike in the end view: a shop cuts their legs alike, so they move together."""
    out: list[list[LegSet]] = []
    for one in pit.leg_sets:
        for group in out:
            a, b = group[0].legs[0], one.legs[0]
            if abs(a.foot_y - b.foot_y) < _ALIKE and abs(a.contact - b.contact) < _ALIKE and on(group[0]) == on(one):
                group.append(one)
                break
        else:
            out.append([one])
    return out


def on(leg_set: LegSet) -> str:
    """What a set carries: the shell or the firebox."""
    return "firebox" if leg_set.x < 0.0 else "shell"


def _round(pit: Pit, leg_set: LegSet) -> tuple[float, float]:
    """(radius, centre height) of the round a set carries, pads not counted [m]."""
    if on(leg_set) == "shell":
        return pit.vessel.outer_radius, pit.vessel.centre_z
    box = pit.firebox
    return box.width / 2.0 + (box.double_gap + box.outer_skin if box.double_gap else 0.0), box.centre_z


def _called(group: list[LegSet]) -> str:
    names = [one.name for one in group]
    return f"leg set {names[0]}" if len(names) == 1 else f"leg sets {', '.join(names[:-1])} and {names[-1]}"


def _cut(pit: Pit, group: list[LegSet], *states: str) -> str:
    """Why a leg of a group cannot be moved."""
    for one in group:
        for leg in one.legs:
            if leg.state in states:
                return f"the {leg.side}-side leg of set {one.name} is {leg.state}: it stays as it is".replace(
                    "back-side", "back"
                )
    return ""


def _measured(pit: Pit, group: list[LegSet], what: str) -> str:
    for one in group:
        got = measured_leg(pit.job, one.name, "working")
        if got is not None and getattr(got, what) is not None:
            return f"the {'foot' if what == 'spread' else what} of set {one.name} was measured: it stands as it stands"
    return ""


def _foot(pit: Pit, group: list[LegSet]) -> Grip:
    first = group[0]
    leg, base = first.legs[0], pit.base
    names = [f"legs.{one.name}.half_spread" for one in group]
    ties = [f"legs.{one.name}.{n}" for one in group for n in ("half_spread", "set_in")]
    radius, _ = _round(pit, first)
    foot = first.profile.height / 2.0 / math.cos(leg.lean)
    snaps: list[Snap | Ruled] = [
        *by_rule(pit, ties, names[0]),
        Snap(value=radius * math.sin(leg.contact), words="plumb: the foot under where the leg meets the round"),
        Snap(value=base.rail_y, words="the middle of the rail"),
        Snap(value=base.rails_outside / 2.0 - foot, words="flush with the rail's outer edge"),
        *(
            Snap(value=other.legs[0].foot_y, words=f"as leg set {other.name}")
            for other in pit.leg_sets
            if other not in group
        ),
    ]
    at: Vec = (leg.x, leg.foot_y, leg.foot_z)
    return Grip(
        id=f"leg {first.name} foot",
        label=f"foot of {_called(group)}",
        name=names[0],
        places={view: on_view(pit, view, at) for view in _ENDS},
        value=leg.foot_y,
        read=lambda view, u, v: y_of(pit, view, u, v),
        edits=_both(overrides(pit, names, "length"), ()),
        snaps=tuple(snaps),
        low=0.02,
        high=2.9,
        fixed=_measured(pit, group, "spread") or _cut(pit, group, "cut", "tacked", "welded"),
        text=f"{pit.tape.length(leg.foot_y)} from the centre line",
    )


_ENDS: tuple[View, ...] = ("stack end", "fire end")


def _both(set_it: Callable[[float], tuple[Edit, ...]], more: tuple[Edit, ...]) -> Callable[[float], tuple[Edit, ...]]:
    return lambda value: (*set_it(value), *more)


def _contact(pit: Pit, group: list[LegSet]) -> Grip:
    """Where the leg meets the round: in from the side line, or by its clock, as the shop says it."""
    first = group[0]
    leg, tape = first.legs[0], pit.tape
    radius, centre = _round(pit, first)
    inboard = f"legs.{first.name}.inboard" in pit.reasons
    last = "inboard" if inboard else "contact"
    names = [f"legs.{one.name}.{last}" for one in group]
    ways = [f"legs.{one.name}.{w}" for one in group for w in ("inboard", "contact", "lean", "length")]
    around = math.pi - leg.contact
    at = (leg.x, radius * math.sin(around), centre + radius * math.cos(around))

    def contact_at(view: View, u: float, v: float) -> float:
        if view == "wrap map":
            return math.pi + v / radius
        return math.atan2(y_of(pit, view, u, v), centre - v)

    def read(view: View, u: float, v: float) -> float:
        contact = min(max(contact_at(view, u, v), 0.02), math.pi / 2.0 - 1e-3)
        return radius * (1.0 - math.sin(contact)) if inboard else contact

    def said(contact: float, words: str) -> Snap:
        return Snap(value=radius * (1.0 - math.sin(contact)) if inboard else contact, words=words)

    snaps: list[Snap | Ruled] = [*by_rule(pit, ways, names[0] if inboard else f"legs.{first.name}.contact")]
    for degrees in (30.0, 45.0, 60.0):
        snaps.append(said(math.radians(degrees), f"{degrees:g}° up from the bottom line"))
    if inboard:
        snaps += [Snap(value=radius * k, words=f"{w} of the radius in") for k, w in ((0.125, "1/8"), (0.25, "1/4"))]
    if 0.0 < leg.foot_y < radius:
        snaps.append(said(math.asin(leg.foot_y / radius), "plumb over the foot"))
    views: tuple[View, ...] = (*_ENDS, "wrap map") if on(first) == "shell" else _ENDS
    value = figure(pit, names[0]) if inboard else leg.contact
    return Grip(
        id=f"leg {first.name} contact",
        label=f"where {_called(group)} meet{'s' if len(group) == 1 else ''} the {on(first)}",
        name=names[0],
        places={view: on_view(pit, view, at) for view in views},
        value=value,
        read=read,
        edits=overrides(pit, names, "length" if inboard else "angle"),
        measure="length" if inboard else "angle",
        arm=1.0 if inboard else radius,
        snaps=tuple(snaps),
        low=tape.step if inboard else math.radians(4.0),
        high=radius - tape.step if inboard else math.radians(86.0),
        fixed=_measured(pit, group, "lean") or _cut(pit, group, "cut", "tacked", "welded"),
        text=f"{tape.length(value)} in from the side line" if inboard else f"{tape.angle(value)} up from the bottom",
        arc=True,
    )


def _station(pit: Pit, one: LegSet) -> Grip:
    leg, vessel = one.legs[0], pit.vessel
    name = f"legs.{one.name}.station"
    feet: Vec = (leg.x, leg.foot_y, leg.foot_z)
    value = figure(pit, name)
    low, high = (sorted((vessel.station(0.0), vessel.station(vessel.length)))) if on(one) == "shell" else (-9.0, 20.0)
    return Grip(
        id=f"leg {one.name} station",
        label=f"leg set {one.name} along the rail",
        name=name,
        places={view: on_view(pit, view, feet) for view in ("side", "plan")},
        value=value,
        read=lambda view, u, v: vessel.station(x_of(pit, u)),
        edits=lambda new: override(pit, name, written(pit.tape, new, "length")),
        snaps=(*by_rule(pit, [name]), *along_snaps(pit, f"leg set {one.name}")) if on(one) == "shell" else
        by_rule(pit, [name]),
        low=low,
        high=high,
        fixed=_measured(pit, [one], "station") or _cut(pit, [one], "tacked", "welded"),
        text=f"station {pit.tape.length(value)}",
    )  # fmt: skip


def along_snaps(pit: Pit, but: str) -> tuple[Snap, ...]:
    """What a station is drawn to: halves and quarters of the seam length, other sets, door ends, the same from the other end."""
    vessel = pit.vessel
    out = list(shares(vessel.length, "seam length"))
    sets = [(f"leg set {s.name}", s.x) for s in pit.leg_sets] + [(f"saddle {s.name}", s.x) for s in pit.saddles]
    for what, x in sets:
        if what != but and 0.0 <= x <= vessel.length:
            out.append(Snap(value=vessel.station(x), words=f"as {what}"))
            out.append(Snap(value=vessel.station(vessel.length - x), words=f"as far from its seam as {what}"))
    for door in pit.doors:
        for x, end in ((door.x0, "fire"), (door.x1, "stack")):
            out.append(Snap(value=vessel.station(x), words=f"{end} end of {door.name}"))
    out += [Snap(value=vessel.station(x), words="centred on the girth seam") for x in vessel.girth_seams]
    return tuple(out)


def legs_stand(pit: Pit) -> str:
    """Why the vessel cannot be set higher or lower on its legs; empty where all legs are open."""
    return _cut(pit, list(pit.leg_sets), "cut", "tacked", "welded") or state_of(pit, groups=("saddles",))
