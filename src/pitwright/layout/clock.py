"""Turning the vessel: which clock goes up and which end gets the fire, so that seams and fittings land harmlessly.

A *zone* is skin that the pit needs undisturbed (a door opening, a leg's foot on the shell, the stack hole). A
*feature* is what the vessel brought along. Both are rectangles on the unrolled skin; the clearance between two is
the tape distance between their nearest edges, negative by the overlap.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pitwright.geometry.skin import half_turn_clock
from pitwright.job.facts import EndName, Vessel
from pitwright.job.proportions import ClockRules
from pitwright.layout.model import ClockChoice, KeepOut, PlacedFitting
from pitwright.layout.patches import Patch
from pitwright.parts import Head
from pitwright.tape import INCH

SERVES_WITHIN = INCH  # round the skin: how near the bottom line a boss must land to serve as the drain
NOTHING_NEAR = "nothing on the skin: any way up will do"
GIRTH_CAP = 0.25 * INCH  # half the width of a girth seam's weld cap


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """What the vessel brought, in survey terms: stations from end A and around from the long seam, clockwise at A [m].

    serves  what it may serve as; goes: it is cut away, so that a place well inside an opening is as good as any
    """

    name: str
    station0: float
    station1: float
    around: float
    width: float
    clear: float
    serves: tuple[str, ...] = ()
    goes: bool = False


def features_of(vessel: Vessel, length: float, rules: ClockRules) -> tuple[Feature, ...]:
    """The seams, patches and shell fittings of a survey."""
    out: list[Feature] = []
    patches = longs = 0
    for seam in (s for s in vessel.seams if s.kind != "girth"):
        start = 0.0 if seam.station is None else seam.station
        end = length if seam.to_station is None else seam.to_station
        if seam.kind == "long":
            longs += 1
            name = "long seam" if longs == 1 else f"long seam {longs}"
        else:
            patches += 1
            name = f"patch {patches}"
        out.append(
            Feature(
                name=name,
                station0=min(start, end),
                station1=max(start, end),
                around=seam.around,
                width=seam.width,
                clear=rules.long_seam_clear,
            )
        )
    for fitting, name in zip(vessel.fittings, fitting_names(vessel), strict=True):
        if fitting.on == "shell":
            out.append(
                Feature(
                    name=name,
                    station0=fitting.station - fitting.size / 2.0,
                    station1=fitting.station + fitting.size / 2.0,
                    around=fitting.around,
                    width=fitting.size,
                    clear=rules.fitting_clear,
                    serves=fitting.good_for if fitting.plan == "reuse" else (),
                    goes=fitting.plan == "cut away",
                )
            )
    return tuple(out)


def fitting_names(vessel: Vessel) -> tuple[str, ...]:
    """Names of the survey's fittings; the second of one name gets a number."""
    out: list[str] = []
    for fitting in vessel.fittings:
        again = sum(f.name == fitting.name for f in vessel.fittings[: len(out)])
        out.append(f"{fitting.name} {again + 1}" if again else fitting.name)
    return tuple(out)


def ends_for_fire(joint: str, heads: Mapping[str, Head | None]) -> tuple[EndName, ...]:
    """Ends that suit the joint between firebox and vessel; an open end is plated before a good head is cut off."""
    ends: tuple[EndName, ...] = ("A", "B")
    found: list[EndName] = []
    for end in ends:
        head = heads[end]
        if joint == "cut":
            suits = head is None
        else:
            suits = head is not None and (head.kind == "flat") == (joint == "flat")
        if suits:
            found.append(end)
    return tuple(found) or ends


def sense(fire_end: EndName, hand: int) -> int:
    """+1 where survey arounds (clockwise seen at end A) run to the working side, -1 where they run away from it.

    Seen from the stack end, arounds to the working side run clockwise when the firebox is on the right (hand +1).
    """
    at_stack = fire_end == "B"  # end A is the stack end
    return hand if at_stack else -hand


def clock_of(around: float, top_from_seam: float, radius: float, direction: int) -> float:
    """Clock of a survey around [rad], in (-pi, pi]."""
    angle = direction * (around - top_from_seam) / radius
    return math.pi - (math.pi - angle) % (2.0 * math.pi)


def search(
    *,
    features: tuple[Feature, ...],
    zones: tuple[Patch, ...],
    radius: float,
    length: float,
    hand: int,
    drain_x: tuple[float, float],
    rules: ClockRules,
    ends: tuple[EndName, ...] = ("A", "B"),
) -> tuple[ClockChoice, ...]:
    """Ways to turn the vessel, best first: all clearances kept, then most fittings put to use, then most clear.

    drain_x  where along the pit a boss at the bottom may serve as the drain [m]
    ends     ends that may get the fire, unless the shop fixes it
    One choice per local best, so that a runner-up is a different way up, not a hair's turn of the first.
    """
    if rules.fire_end is not None:
        ends = (rules.fire_end,)
    around = 2.0 * math.pi * radius
    if not features:
        return (
            ClockChoice(
                fire_end=ends[0],
                top_from_seam=0.0 if rules.top_from_seam is None else rules.top_from_seam,
                least_clear=math.inf,
                against=NOTHING_NEAR,
                serves=(),
                score=math.inf,
            ),
        )
    if rules.top_from_seam is not None:
        turns = np.array([rules.top_from_seam])
    else:
        steps = max(round(around / rules.turn_step), 12)  # even steps: a mirrored pit tries the mirrored turns
        turns = around * np.arange(steps) / steps
    choices: list[ClockChoice] = []
    for end in ends:
        choices += _rank(features, zones, turns, radius, length, hand, end, drain_x)
    # To a micrometre, so that rounding never decides between two ways alike: the first end, then the least turn.
    choices.sort(
        key=lambda c: (
            -round(min(c.score, 0.0), 6),
            -len(c.serves),
            -round(c.score, 6),
            ends.index(c.fire_end),
            c.top_from_seam,
        )
    )
    return tuple(choices[:5])


def use_of(
    feature: Feature, x0: float, x1: float, place: NDArray[np.float64], around: float, drain_x: tuple[float, float]
) -> dict[str, NDArray[np.bool_]]:
    """Where a fitting put at `place` (around from the top line, -half to half the around [m]) would serve, by use."""
    out: dict[str, NDArray[np.bool_]] = {}
    if "drain" in feature.serves and x1 >= drain_x[0] and x0 <= drain_x[1]:
        out["drain"] = np.abs(np.abs(place) - around / 2.0) <= SERVES_WITHIN
    if "thermometer" in feature.serves:
        out["thermometer"] = (place > around * 0.125) & (place < around * 0.25)
    return out


def _rank(
    features: tuple[Feature, ...],
    zones: tuple[Patch, ...],
    turns: NDArray[np.float64],
    radius: float,
    length: float,
    hand: int,
    end: EndName,
    drain_x: tuple[float, float],
) -> list[ClockChoice]:
    around = 2.0 * math.pi * radius
    direction = sense(end, hand)
    spare = np.full(len(turns), np.inf)
    clear = np.full(len(turns), np.inf)
    against = np.full(len(turns), -1, dtype=int)
    served: list[tuple[str, NDArray[np.bool_]]] = []
    middle = np.array([(z.clock0 + z.clock1) / 2.0 * radius for z in zones])[:, None]
    half = np.array([(z.clock1 - z.clock0) / 2.0 * radius for z in zones])[:, None]
    is_door = np.array([z.name.startswith("door") for z in zones])[:, None]
    is_drain = np.array([z.name == "drain" for z in zones])[:, None]
    for n, feature in enumerate(features):
        x0, x1 = _along(feature.station0, feature.station1, end, length)
        place = _wrapped(direction * (feature.around - turns), around)
        useful = np.zeros(len(turns), dtype=bool)
        for mask in use_of(feature, x0, x1, place, around, drain_x).values():
            useful |= mask
        if useful.any():
            served.append((feature.name, useful))
        if not zones:
            continue
        dx = np.array([max(z.x0 - x1, x0 - z.x1) for z in zones])[:, None]
        apart = np.abs(_wrapped(place[None, :] - middle, around))
        da = apart - half - feature.width / 2.0
        gap = np.where((dx > 0) & (da > 0), np.hypot(np.maximum(dx, 0.0), np.maximum(da, 0.0)), np.maximum(dx, da))
        # a fitting put to use may sit in a door, well inside its edges
        inside = np.minimum(-dx - (x1 - x0), half - apart - feature.width / 2.0)
        gap = np.where(useful[None, :] & (is_drain | is_door & (inside >= feature.clear)), np.inf, gap)
        if feature.goes:
            gap = np.where(is_door & (inside >= 0.0), np.inf, gap)
        worst = np.argmin(gap, axis=0)
        least = gap[worst, np.arange(len(turns))]
        worse = least - feature.clear < spare
        spare = np.where(worse, least - feature.clear, spare)
        clear = np.where(worse, least, clear)
        against = np.where(worse, n * len(zones) + worst, against)
    uses = np.zeros(len(turns), dtype=int)
    for _, mask in served:
        uses += mask
    out = []
    for i in _peaks(spare, uses):
        pair = int(against[i])
        near = f"{features[pair // len(zones)].name} and {zones[pair % len(zones)].name}" if pair >= 0 else NOTHING_NEAR
        out.append(
            ClockChoice(
                fire_end=end,
                top_from_seam=float(turns[i]),
                least_clear=float(clear[i]),
                against=near,
                serves=tuple(name for name, mask in served if mask[i]),
                score=float(spare[i]),
            )
        )
    return out


def _along(station0: float, station1: float, fire_end: EndName, length: float) -> tuple[float, float]:
    """Stations from end A as x from the fire-end seam [m]."""
    return (station0, station1) if fire_end == "A" else (length - station1, length - station0)


def _wrapped(place: NDArray[np.float64], around: float) -> NDArray[np.float64]:
    """Arounds between minus and plus half once round [m]."""
    return (place + around / 2.0) % around - around / 2.0


def _peaks(spare: NDArray[np.float64], served: NDArray[np.int_]) -> list[int]:
    """Middles of the flat or pointed local bests, round the circle, on what is kept and what is put to use."""
    n = len(spare)
    if n < 3:
        return [int(np.argmax(spare))]
    value = np.where(np.isinf(spare), 1e6, spare) + served * 1e3
    out: list[int] = []
    start = int(np.argmin(value))
    i = 0
    while i < n:
        j = i
        here = value[(start + i) % n]
        while j + 1 < n and abs(value[(start + j + 1) % n] - here) < 1e-12:
            j += 1
        before, after = value[(start + i - 1) % n], value[(start + j + 1) % n]
        if here > before and here > after:
            out.append((start + (i + j) // 2) % n)
        i = j + 1
    return out or [int(np.argmax(value))]


def placed_features(
    features: tuple[Feature, ...],
    vessel: Vessel,
    choice: ClockChoice,
    *,
    radius: float,
    length: float,
    hand: int,
    rules: ClockRules,
    drain_x: tuple[float, float] = (-math.inf, math.inf),
    seam_at: float | None = None,
) -> tuple[tuple[KeepOut, ...], tuple[PlacedFitting, ...], tuple[float, ...], float | None]:
    """Keep-outs, fittings, girth seams (x) and the long seam's clock, in the turned pit.

    seam_at  the long seam's clock as measured on the turned vessel [rad]; everything else turns with it
    """
    direction = sense(choice.fire_end, hand)
    off = 0.0
    if seam_at is not None:
        seam = next((f for f in features if f.name == "long seam"), None)
        off = seam_at - (0.0 if seam is None else clock_of(seam.around, choice.top_from_seam, radius, direction))

    def clock_at(around: float) -> float:
        return half_turn_clock(clock_of(around, choice.top_from_seam, radius, direction) + off)

    keep: list[KeepOut] = []
    serves: dict[str, str] = {}
    for feature in features:
        clock = clock_at(feature.around)
        half = feature.width / 2.0 / radius
        x0, x1 = _along(feature.station0, feature.station1, choice.fire_end, length)
        if not feature.goes:
            keep.append(
                KeepOut(name=feature.name, x0=x0, x1=x1, clock0=clock - half, clock1=clock + half, clear=feature.clear)
            )
        around = 2.0 * math.pi * radius
        uses = use_of(feature, x0, x1, np.array([radius * clock]), around, drain_x)
        serves[feature.name] = next((use for use, mask in uses.items() if mask[0]), "")
    girths = {0.0, length}
    for girth in vessel.seams:
        if girth.kind == "girth" and girth.station is not None:
            x, _ = _along(girth.station, girth.station, choice.fire_end, length)
            if GIRTH_CAP < x < length - GIRTH_CAP:
                girths.add(x)
    for x in sorted(girths):
        keep.append(
            KeepOut(
                name="girth seam",
                x0=x - GIRTH_CAP,
                x1=x + GIRTH_CAP,
                clock0=-math.pi,
                clock1=math.pi,
                clear=rules.girth_seam_clear,
            )
        )
    fittings: list[PlacedFitting] = []
    for fitting, name in zip(vessel.fittings, fitting_names(vessel), strict=True):
        on: Literal["shell", "fire head", "stack head"] = "shell"
        x, _ = _along(fitting.station, fitting.station, choice.fire_end, length)
        if fitting.on != "shell":
            on, x = ("fire head" if fitting.on[-1] == choice.fire_end else "stack head"), fitting.station
        fittings.append(
            PlacedFitting(
                name=name,
                on=on,
                x=x,
                clock=clock_at(fitting.around),
                size=fitting.size,
                plan=fitting.plan,
                serves=serves.get(name, ""),
            )
        )
    long_seam = next((clock_at(f.around) for f in features if f.name == "long seam"), seam_at)
    return tuple(keep), tuple(fittings), tuple(sorted(girths)), long_seam
