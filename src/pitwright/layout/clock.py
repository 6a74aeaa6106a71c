"""Turning the vessel: which clock goes up and which end gets the fire, so that seams and fittings land harmlessly.

A *zone* is skin that the pit needs undisturbed (a door opening, a leg's foot on the shell, the stack hole). A
*feature* is what the vessel brought along. Both are rectangles on the unrolled skin; the clearance between two is
the tape distance between their nearest edges, negative by the overlap.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from pitwright.job.facts import EndName, Vessel
from pitwright.job.proportions import ClockRules
from pitwright.layout.model import ClockChoice, KeepOut, PlacedFitting

SERVES_WITHIN = 0.0254  # m round the skin: how near its place a boss must land to serve


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """Skin the pit needs: x range [m] and clock range [rad]."""

    name: str
    x0: float
    x1: float
    clock0: float
    clock1: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """What the vessel brought, in survey terms: stations from end A and around from the long seam, clockwise at A [m]."""

    name: str
    station0: float
    station1: float
    around: float
    width: float
    clear: float
    serves: tuple[str, ...] = ()
    harmless: bool = False


def features_of(vessel: Vessel, length: float, rules: ClockRules) -> tuple[Feature, ...]:
    """The seams, patches and shell fittings of a survey."""
    out: list[Feature] = []
    for i, seam in enumerate(s for s in vessel.seams if s.kind != "girth"):
        start = 0.0 if seam.station is None else seam.station
        end = length if seam.to_station is None else seam.to_station
        out.append(
            Feature(
                name=f"{seam.kind} seam" if seam.kind == "long" else f"patch {i + 1}",
                station0=min(start, end),
                station1=max(start, end),
                around=seam.around,
                width=seam.width,
                clear=rules.long_seam_clear,
            )
        )
    for fitting in vessel.fittings:
        if fitting.on == "shell" and fitting.plan != "cut away":
            out.append(
                Feature(
                    name=fitting.name,
                    station0=fitting.station - fitting.size / 2.0,
                    station1=fitting.station + fitting.size / 2.0,
                    around=fitting.around,
                    width=fitting.size,
                    clear=rules.fitting_clear,
                    serves=fitting.good_for if fitting.plan == "reuse" else (),
                )
            )
    return tuple(out)


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
    zones: tuple[Zone, ...],
    radius: float,
    length: float,
    hand: int,
    drain_x: tuple[float, float],
    rules: ClockRules,
) -> tuple[ClockChoice, ...]:
    """Ways to turn the vessel, best first: all clearances kept, then most fittings put to use, then most clear.

    drain_x  where along the pit a boss at the bottom may serve as the drain [m]
    One choice per local best, so that a runner-up is a different way up, not a hair's turn of the first.
    """
    ends: tuple[EndName, ...] = (rules.fire_end,) if rules.fire_end is not None else ("A", "B")
    around = 2.0 * math.pi * radius
    if not features:
        end = ends[0]
        return (
            ClockChoice(
                fire_end=end,
                top_from_seam=0.0 if rules.top_from_seam is None else rules.top_from_seam,
                least_clear=math.inf,
                against="nothing on the skin: any way up will do",
                serves=(),
                score=0.0,
            ),
        )
    if rules.top_from_seam is not None:
        turns = np.array([rules.top_from_seam])
    else:
        turns = np.arange(0.0, around, rules.turn_step)
    choices: list[ClockChoice] = []
    for end in ends:
        choices += _rank(features, zones, turns, radius, length, hand, end, drain_x)
    choices.sort(key=lambda c: (-min(c.score, 0.0), -len(c.serves), -c.score))
    return tuple(choices[:5])


def _rank(
    features: tuple[Feature, ...],
    zones: tuple[Zone, ...],
    turns: np.ndarray,
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
    against = np.zeros(len(turns), dtype=int)
    names: list[str] = [""]
    served = [[] for _ in turns]  # type: list[list[str]]
    for feature in features:
        x0, x1 = (
            (feature.station0, feature.station1)
            if end == "A"
            else (length - feature.station1, length - feature.station0)
        )
        place = direction * (feature.around - turns)  # around of its middle in the pit [m]
        place = (place + around / 2.0) % around - around / 2.0
        useful = np.zeros(len(turns), dtype=bool)
        if "drain" in feature.serves and x1 >= drain_x[0] and x0 <= drain_x[1]:
            useful |= np.abs(np.abs(place) - around / 2.0) <= SERVES_WITHIN
        if "thermometer" in feature.serves:
            useful |= (place > around * 0.125) & (place < around * 0.25)
        for i in np.flatnonzero(useful):
            served[i].append(feature.name)
        for zone in zones:
            dx = max(zone.x0 - x1, x0 - zone.x1)
            middle = (zone.clock0 + zone.clock1) / 2.0 * radius
            half = (zone.clock1 - zone.clock0) / 2.0 * radius
            apart = np.abs((place - middle + around / 2.0) % around - around / 2.0)
            da = apart - half - feature.width / 2.0
            gap = np.where((dx > 0) & (da > 0), np.hypot(max(dx, 0.0), np.maximum(da, 0.0)), np.maximum(dx, da))
            gap = np.where(useful & (zone.name.startswith("door") | ("drain" in zone.name)), np.inf, gap)
            rest = gap - feature.clear
            names.append(f"{feature.name} and {zone.name}")
            worse = rest < spare
            spare = np.where(worse, rest, spare)
            clear = np.where(worse, gap, clear)
            against = np.where(worse, len(names) - 1, against)
    peaks = _peaks(spare, np.array([len(s) for s in served]))
    return [
        ClockChoice(
            fire_end=end,
            top_from_seam=float(turns[i]),
            least_clear=float(clear[i]),
            against=names[int(against[i])],
            serves=tuple(served[i]),
            score=float(spare[i]),
        )
        for i in peaks
    ]


def _peaks(spare: np.ndarray, served: np.ndarray) -> list[int]:
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
) -> tuple[tuple[KeepOut, ...], tuple[PlacedFitting, ...], tuple[float, ...], float | None]:
    """Keep-outs, fittings, girth seams (x) and the long seam's clock, in the turned pit."""
    direction = sense(choice.fire_end, hand)

    def x_of(station: float) -> float:
        return station if choice.fire_end == "A" else length - station

    keep: list[KeepOut] = []
    long_seam: float | None = None
    for feature in features:
        clock = clock_of(feature.around, choice.top_from_seam, radius, direction)
        half = feature.width / 2.0 / radius
        a, b = sorted((x_of(feature.station0), x_of(feature.station1)))
        keep.append(
            KeepOut(name=feature.name, x0=a, x1=b, clock0=clock - half, clock1=clock + half, clear=feature.clear)
        )
        if feature.name == "long seam" and long_seam is None:
            long_seam = clock
    girths = {0.0, length}
    for seam in vessel.seams:
        if seam.kind == "girth" and seam.station is not None:
            girths.add(x_of(seam.station))
    for x in sorted(girths):
        keep.append(
            KeepOut(
                name="girth seam",
                x0=x - 0.00635,
                x1=x + 0.00635,
                clock0=-math.pi,
                clock1=math.pi,
                clear=rules.girth_seam_clear,
            )
        )
    fittings: list[PlacedFitting] = []
    for fitting in vessel.fittings:
        on: Literal["shell", "fire head", "stack head"] = "shell"
        if fitting.on != "shell":
            on = "fire head" if fitting.on[-1] == choice.fire_end else "stack head"
        fittings.append(
            PlacedFitting(
                name=fitting.name,
                on=on,
                x=x_of(fitting.station),
                clock=clock_of(fitting.around, choice.top_from_seam, radius, direction),
                size=fitting.size,
                plan=fitting.plan,
                serves=fitting.good_for[0] if fitting.name in choice.serves and fitting.good_for else "",
            )
        )
    return tuple(keep), tuple(fittings), tuple(sorted(girths)), long_seam
