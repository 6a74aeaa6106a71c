"""Does it stay up: tip angles about every side, push, wind, and a kerb under a caster.

A base is the outline of its feet on the floor (the hull of the points); casters stand in by their trail, for a caster
that has swung inward stands there. Weights are point masses; the pit tips about the side it is nearest to falling over.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pitwright.errors import LayoutError
from pitwright.findings import Finding
from pitwright.strength.check import Check, Measure
from pitwright.tape import STANDARD_GRAVITY, Tape

TIP_WANTED = math.radians(10.0)
"""Least tip angle with everything out (common practice, no source)."""

GROUND_SLOPE = math.radians(5.0)
"""Yard slope a parked pit must stand on (our judgement, no source)."""

AIR_DENSITY = 1.225
DRAG_FLAT = 2.0
"""Drag coefficient of a flat face (handbook value, from memory); doors, shelf and stack are no smooth round."""

PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class MassPoint:
    """A weight [kg] and where it acts [m]: x along the pit, y to the working side, z over the floor."""

    mass: float
    x: float
    y: float
    z: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Footing:
    """A foot or caster on the floor [m]; trail: how far its wheel can swing in from its stem [m]."""

    name: str
    x: float
    y: float
    trail: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One side of the base it can tip over.

    feet    the two feet the side runs between
    margin  from the centre of gravity to the side, level; negative when it lies outside [m]
    angle   tip angle [rad]
    """

    feet: tuple[str, str]
    facing: float
    margin: float
    angle: float


def gather(points: Iterable[MassPoint]) -> MassPoint:
    """All weights as one at their centre of gravity."""
    found = list(points)
    mass = sum(p.mass for p in found)
    if mass <= 0.0:
        raise LayoutError("nothing weighs anything here", field="weights", value=mass, allowed="more than 0")
    return MassPoint(
        mass=mass,
        x=sum(p.mass * p.x for p in found) / mass,
        y=sum(p.mass * p.y for p in found) / mass,
        z=sum(p.mass * p.z for p in found) / mass,
    )


def outline(feet: Sequence[Footing]) -> tuple[Footing, ...]:
    """The feet on the rim of the base, anticlockwise seen from above, each drawn in by its trail."""
    if len(feet) < 3:
        raise LayoutError("a base needs three feet", field="feet", value=len(feet), allowed="3 or more")
    cx, cy = sum(f.x for f in feet) / len(feet), sum(f.y for f in feet) / len(feet)

    def inward(value: float, middle: float, trail: float) -> float:
        gap = value - middle
        return value - math.copysign(min(trail, abs(gap)), gap) if gap else value

    drawn = sorted(
        (Footing(name=f.name, x=inward(f.x, cx, f.trail), y=inward(f.y, cy, f.trail), trail=f.trail) for f in feet),
        key=lambda f: (f.x, f.y),
    )

    def half(points: Iterable[Footing]) -> list[Footing]:
        hull: list[Footing] = []
        for p in points:
            while len(hull) > 1:
                a, b = hull[-2], hull[-1]
                if (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x) > 1e-12:
                    break
                hull.pop()
            hull.append(p)
        return hull

    rim = (*half(drawn)[:-1], *half(reversed(drawn))[:-1])
    if len(rim) < 3:
        raise LayoutError("the feet stand in one line", field="feet", value=len(feet), allowed="feet on two sides")
    return rim


def sides(feet: Sequence[Footing], weight: MassPoint) -> tuple[Side, ...]:
    """Every side of the base with its margin and tip angle: atan(margin / height of the centre of gravity)."""
    rim = outline(feet)
    out = []
    for a, b in zip(rim, (*rim[1:], rim[0])):
        dx, dy = b.x - a.x, b.y - a.y
        length = math.hypot(dx, dy)
        margin = (dx * (weight.y - a.y) - dy * (weight.x - a.x)) / length
        out.append(
            Side(feet=(a.name, b.name), facing=math.atan2(-dx, dy), margin=margin, angle=math.atan2(margin, weight.z))
        )
    return tuple(out)


def tip_angle(feet: Sequence[Footing], weight: MassPoint) -> float:
    """The least tip angle over all sides [rad]; negative: it falls over by itself."""
    return min(side.angle for side in sides(feet, weight))


def push_to_tip(side: Side, weight: MassPoint, height: float) -> float:
    """Level push at a height that starts to tip it over a side [N]: W x margin / height."""
    return weight.mass * STANDARD_GRAVITY * side.margin / height


def kerb_push(weight_on_wheel: float, wheel_radius: float, kerb: float) -> float:
    """Level push to roll a wheel over a kerb [N]: load x sqrt(2 r h - h2) / (r - h); no push does it at h >= r.

    weight_on_wheel [N], wheel_radius and kerb [m].
    """
    if kerb <= 0.0:
        return 0.0
    if kerb >= wheel_radius:
        return math.inf
    return weight_on_wheel * math.sqrt(2.0 * wheel_radius * kerb - kerb**2) / (wheel_radius - kerb)


def kerb_stop_angle(side: Side, weight: MassPoint, speed: float) -> float:
    """Tip angle used up when a wheel is stopped dead at a walking speed [rad].

    The pit turns about the stopped wheels; the share of its motion that stays as turning is the part of the momentum
    about that line (all mass at the centre of gravity): it rises v^2 z^2 / (2 g r^2), r^2 = margin^2 + z^2.
    """
    r2 = side.margin**2 + weight.z**2
    rise = speed**2 * weight.z**2 / (2.0 * STANDARD_GRAVITY * r2)
    top = math.sqrt(r2) - weight.z
    if rise >= top:
        return side.angle
    start = math.atan2(weight.z, side.margin)
    return math.asin(min((weight.z + rise) / math.sqrt(r2), 1.0)) - start


def wind_push(area: float, speed: float, drag: float = DRAG_FLAT) -> float:
    """Wind force on a face [N]: 1/2 x 1.225 x v2 x drag x area."""
    return 0.5 * AIR_DENSITY * speed**2 * drag * area


def wind_speed_to_tip(side: Side, weight: MassPoint, area: float, height: float, drag: float = DRAG_FLAT) -> float:
    """Wind that tips it over a side [m/s], with the face's area and its middle height; 0 where it cannot stand."""
    if side.margin <= 0.0:
        return 0.0
    return math.sqrt(push_to_tip(side, weight, height) / wind_push(area, 1.0, drag))


@dataclass(frozen=True, slots=True, kw_only=True)
class Slide:
    """A grate on slides: its own weight and the meat on it [kg], and how far its middle comes out [m]."""

    own: float
    meat: float
    travel: float


def slides_out(
    feet: Sequence[Footing], empty: MassPoint, slides: Sequence[Slide], doors: float = 0.0
) -> tuple[float, ...]:
    """Tip angle with 0, 1, 2 ... slides pulled out to the working side [rad].

    empty: the whole pit, shut, slides in, no meat; only the slides that are out carry meat, which is the worst way.
    doors: moment added by open doors toward the working side [N m].
    """
    mass, moment = empty.mass, empty.mass * empty.y + doors / STANDARD_GRAVITY
    out = []
    for slide in (None, *slides):
        if slide is not None:
            mass += slide.meat
            moment += (slide.own + slide.meat) * slide.travel
        out.append(tip_angle(feet, MassPoint(mass=mass, x=empty.x, y=moment / mass, z=empty.z)))
    return tuple(out)


def slide_limit(angles: Sequence[float], wanted: float = TIP_WANTED) -> int:
    """How many slides may be out at once: -1 where it is not even safe shut."""
    count = -1
    for number, angle in enumerate(angles):
        if angle < wanted:
            break
        count = number
    return count


def tip_checks(feet: Sequence[Footing], states: Sequence[tuple[str, MassPoint]]) -> tuple[Check, ...]:
    """Tip angle of every state of loading against the angle wanted."""

    def check(case: str, angle: float, measure: Measure = "angle") -> Check:
        return Check(
            name="tip angle",
            piece="base",
            case=case,
            demand=TIP_WANTED,
            capacity=max(angle, 0.0),
            measure=measure,
            equation="atan(margin / height of the centre of gravity)",
            source=f"statics; 10° wanted: {PRACTICE}",
        )

    return tuple(check(name, tip_angle(feet, weight)) for name, weight in states)


def tip_findings(feet: Sequence[Footing], states: Sequence[tuple[str, MassPoint]], tape: Tape) -> tuple[Finding, ...]:
    """What the tip angles have to say, one for each side it goes over, with how much wider the base must be there."""
    over: dict[tuple[str, str], list[tuple[str, Side, float]]] = {}
    for name, weight in states:
        side = min(sides(feet, weight), key=lambda s: s.angle)
        if side.angle < TIP_WANTED:
            more = weight.z * math.tan(TIP_WANTED) - side.margin
            over.setdefault(side.feet, []).append((name, side, more))
    found = []
    for pair, told in over.items():
        name, side, _ = min(told, key=lambda row: row[1].angle)
        others = [f"{other} at {tape.angle(max(s.angle, 0.0))}" for other, s, _ in told if other != name]
        where = f"{pair[0]} and {pair[1]}"
        says = f"tips at {tape.angle(side.angle)} over" if side.angle > 0.0 else "falls over by itself, past"
        slides = len(told) < len(states) and all("out" in other for other, _, _ in told)
        found.append(
            Finding(
                code="stand.tips",
                severity="stop" if side.angle < GROUND_SLOPE else "warn",
                text=f"{name}: {says} {where}; {tape.angle(TIP_WANTED, 0)} is wanted."
                + (f" Also {', '.join(others)}." if others and side.angle > 0.0 else ""),
                pieces=pair,
                remedy=f"Set these {tape.length(max(more for _, _, more in told))} farther out"
                + (", or let fewer slides out at once." if slides else "."),
                source=f"atan(margin / height); {PRACTICE}",
            )
        )
    return tuple(found)


def slide_findings(angles: Sequence[float], tape: Tape) -> tuple[Finding, ...]:
    """The placard for the slides: how many at once, or nothing where all of them may be out."""
    limit = slide_limit(angles)
    if limit >= len(angles) - 1 or len(angles) < 2:  # no slides: how it tips with none out is told elsewhere
        return ()
    says = "No slide may come out" if limit <= 0 else f"At most {limit} of {len(angles) - 1} slides out at once"
    return (
        Finding(
            code="stand.slides",
            severity="stop" if limit <= 0 else "warn",
            text=f"{says}: with {max(limit, 0) + 1} out it tips at {tape.angle(max(angles[max(limit, 0) + 1], 0.0))}.",
            remedy="Widen the base toward the working side, or say so on a plate beside the doors.",
            source=f"atan(margin / height); 10° wanted: {PRACTICE}",
        ),
    )
