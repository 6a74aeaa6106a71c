"""Where leg sets and saddles stand along the vessel: the shop's rule, and what it gives way to.

Keeping clear of seams and fittings beats the preferred station: the set moves to the nearest clear station, or is
centred on a girth seam with a relief for the weld cap where that is nearer. The reason says what gave way.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from string import ascii_uppercase
from typing import Literal

from pitwright.errors import LayoutError
from pitwright.job.proportions import SetRule
from pitwright.layout.draft import Draft
from pitwright.layout.model import FireboxLayout, KeepOut, VesselLayout
from pitwright.layout.patches import Patch, skin_gap
from pitwright.tape import INCH

RELIEF = 1.0 / 8.0 * INCH  # depth of the relief over a girth seam's cap (common practice, no source)
NEAR = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class SetPlace:
    """One set's place.

    x        along the vessel, where it meets the skin [m]
    rule     the shop's rule in words
    on       what it carries
    relief   depth of the relief for a weld cap under it [m], 0 where it stands clear of seams
    gave_way what the preferred station gave way to, and the cost; empty where it stands as the shop likes it
    blocked  what it still is too near to, with the clearance [m]
    """

    name: str
    x: float
    rule: str
    on: Literal["shell", "firebox"]
    relief: float
    gave_way: str
    blocked: tuple[tuple[KeepOut, float], ...]


def set_places(
    draft: Draft,
    vessel: VesselLayout,
    rules: Sequence[SetRule],
    topic: Literal["legs", "saddles"],
    *,
    half_along: float,
    clocks: Sequence[tuple[float, float]],
    firebox: FireboxLayout | None,
    as_drawn: bool = False,
) -> tuple[SetPlace, ...]:
    """Places of all sets, A nearest the stack end. No finding is made here.

    as_drawn  leave out what was measured

    half_along  half of what a set takes up along the skin [m]
    clocks      the clock ranges it takes up [rad]
    Raises LayoutError where a rule puts a set past the end of what it carries.
    """
    wanted = sorted(
        ((_preferred(draft, vessel, rule, topic, firebox), rule) for rule in rules), key=lambda pair: -pair[0]
    )
    out = []
    for name, (x, rule) in zip(ascii_uppercase, wanted):
        out.append(_settled(draft, vessel, name, x, rule, topic, half_along, clocks, firebox, as_drawn))
    return tuple(out)


def _preferred(
    draft: Draft,
    vessel: VesselLayout,
    rule: SetRule,
    topic: str,
    firebox: FireboxLayout | None,
) -> float:
    by = draft.share(rule.by, vessel.outer_radius, vessel.length)
    margin = draft.share(draft.rules.doors.end_margin, vessel.outer_radius, vessel.length)
    length = vessel.length
    field = f"proportions.{topic}.sets"
    if rule.start == "vertical middle" or (rule.start == "firebox" and topic == "saddles"):
        raise LayoutError(
            f"no {topic} stand from there",
            field=field,
            value=rule.start,
            allowed="stack seam, fire seam, middle, fire door end, stack door end"
            + (", firebox" if topic == "legs" else ""),
            remedy="Name another place.",
        )
    if rule.start == "firebox":
        return by - 0.5 * length if firebox is None else (firebox.x0 + firebox.x1) / 2.0 + by
    places = {
        "stack seam": length - by,
        "fire seam": by,
        "middle": length / 2.0 + by,
        "fire door end": margin + by,
        "stack door end": length - margin - by,
    }
    return places[rule.start]


def _settled(
    draft: Draft,
    vessel: VesselLayout,
    name: str,
    x: float,
    rule: SetRule,
    topic: Literal["legs", "saddles"],
    half_along: float,
    clocks: Sequence[tuple[float, float]],
    firebox: FireboxLayout | None,
    as_drawn: bool,
) -> SetPlace:
    ledger, tape = draft.ledger, draft.tape
    on: Literal["shell", "firebox"] = "firebox" if rule.start == "firebox" else "shell"
    words = _in_words(draft, rule)
    figure = f"{topic}.{name}.station"
    measured = [leg.station for leg in draft.job.measured.legs if leg.set == name and leg.station is not None]
    said = f"the shop stands it {words}"
    if topic == "legs" and measured and not as_drawn:
        x = vessel.x_at(measured[0])
        ledger.note(figure, measured[0], kind="measured", because="station as tacked")
        return SetPlace(
            name=name,
            x=x,
            rule=words,
            on=on,
            relief=0.0,
            gave_way="",
            blocked=_blocked(vessel, x, half_along, clocks) if on == "shell" else (),
        )
    if on == "firebox" or ledger.overridden(figure):
        x = vessel.x_at(ledger.choose(figure, vessel.station(x), because=said, rests_on=("vessel.length",)))
        low, high = (0.0, vessel.length) if on == "shell" else (-math.inf, 0.0)
        if firebox is not None and on == "firebox":
            low, high = firebox.x0, firebox.x1
        if not low - NEAR <= x - half_along and x + half_along <= high + NEAR and (on == "shell" or firebox):
            raise _past_end(draft, vessel, name, x, rule, topic, (low + half_along, high - half_along))
        blocked = _blocked(vessel, x, half_along, clocks) if on == "shell" else ()
        return SetPlace(name=name, x=x, rule=words, on=on, relief=0.0, gave_way="", blocked=blocked)
    if not half_along - NEAR <= x <= vessel.length - half_along + NEAR:
        raise _past_end(draft, vessel, name, x, rule, topic, (half_along, vessel.length - half_along))
    moved, relief = _clear_station(vessel, x, half_along, clocks)
    gave_way = ""
    if moved != x or relief:
        against = ", ".join(sorted({keep.name for keep, _ in _blocked(vessel, x, half_along, clocks)}))
        gave_way = f"the shop's station {tape.length(vessel.station(x))} lies too near the {against}: " + (
            f"centred on the seam with a relief {tape.length(RELIEF)} deep, {tape.length(abs(moved - x))} off the rule"
            if relief
            else f"moved {tape.length(abs(moved - x))}"
        )
    ledger.choose(figure, vessel.station(moved), because=said, rests_on=("vessel.length",), gave_way=gave_way)
    blocked = () if relief else _blocked(vessel, moved, half_along, clocks)
    return SetPlace(name=name, x=moved, rule=words, on=on, relief=relief, gave_way=gave_way, blocked=blocked)


def _in_words(draft: Draft, rule: SetRule) -> str:
    if rule.by.factor == 0.0:
        return "under the firebox" if rule.start == "firebox" else f"at the {rule.start}"
    return f"{draft.said(rule.by)} in from the {rule.start}"


def _past_end(
    draft: Draft,
    vessel: VesselLayout,
    name: str,
    x: float,
    rule: SetRule,
    topic: str,
    room: tuple[float, float],
) -> LayoutError:
    tape = draft.tape
    ends = sorted(vessel.station(v) for v in room)
    station = f"station {tape.length(vessel.station(x))}"
    own = draft.ledger.overridden(f"{topic}.{name}.station")
    return LayoutError(
        f"{topic} {name} would stand past the end: {station if own else f'{_in_words(draft, rule)} is {station}'}",
        field=f"proportions.{topic}.sets",
        value=rule.by.text,
        allowed=f"stations {tape.length(ends[0])} to {tape.length(ends[1])}",
        remedy="Move it in.",
    )


def _gaps(
    vessel: VesselLayout, x: float, half_along: float, clocks: Sequence[tuple[float, float]]
) -> list[tuple[KeepOut, float]]:
    """Clearance to every keep-out [m]."""
    out = []
    for keep in vessel.keep_outs:
        there = Patch(name=keep.name, x0=keep.x0, x1=keep.x1, clock0=keep.clock0, clock1=keep.clock1)
        gap = min(
            skin_gap(
                Patch(name="", x0=x - half_along, x1=x + half_along, clock0=c0, clock1=c1), there, vessel.outer_radius
            )
            for c0, c1 in clocks
        )
        out.append((keep, gap))
    return out


def _blocked(
    vessel: VesselLayout, x: float, half_along: float, clocks: Sequence[tuple[float, float]]
) -> tuple[tuple[KeepOut, float], ...]:
    return tuple((keep, gap) for keep, gap in _gaps(vessel, x, half_along, clocks) if gap < keep.clear - NEAR)


def _clear_station(
    vessel: VesselLayout, x: float, half_along: float, clocks: Sequence[tuple[float, float]]
) -> tuple[float, float]:
    """(nearest station with every clearance kept, relief where it is centred on a girth seam); x itself if none is."""
    if not _blocked(vessel, x, half_along, clocks):
        return x, 0.0
    tries: list[tuple[float, KeepOut | None]] = []
    for keep in vessel.keep_outs:
        tries += [(keep.x0 - keep.clear - half_along, None), (keep.x1 + keep.clear + half_along, None)]
        if keep.name == "girth seam":
            tries.append(((keep.x0 + keep.x1) / 2.0, keep))
    for place, seam in sorted(tries, key=lambda t: abs(t[0] - x)):
        if not half_along <= place <= vessel.length - half_along:
            continue
        against = [keep for keep, _ in _blocked(vessel, place, half_along, clocks)]
        if not against:
            return place, 0.0
        if seam is not None and against == [seam]:
            return place, RELIEF
    return x, 0.0
