"""The ways a pit stands, is carried and rolls: holds and cases for the frame.

The floor is smooth here: feet are held up, not sideways, so nothing but the base itself keeps the legs from spreading.
That is the worst a floor can do to a skid.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.errors import LayoutError
from pitwright.parts import Vec
from pitwright.strength.frame import NO_ARM, STILL, Case, Hold, Load
from pitwright.strength.frame_solve import Ready
from pitwright.strength.towing import ROAD
from pitwright.tape import INCH, STANDARD_GRAVITY

SETTLED = INCH / 4.0
"""How far a settled floor has gone from under a foot (common practice, no source)."""

KERB = INCH / 2.0
"""A sill, cable or joint a caster is rolled on to (common practice, no source)."""

FRICTION = 0.6
"""Steel rails dragged over concrete or gravel (handbook range 0.4 to 0.7, from memory)."""

UP: Vec = (0.0, 0.0, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class FootPoint:
    """A foot, caster or wheel: its joint, the leg set it belongs to, its place in plan, and its arm from the joint [m]."""

    name: str
    joint: str
    leg_set: str
    x: float
    y: float
    arm: Vec = NO_ARM


@dataclass(frozen=True, slots=True, kw_only=True)
class LiftPoint:
    """A lug, a sling or a fork: its joint, its place, and its arm from the joint [m]."""

    name: str
    joint: str
    x: float
    y: float
    z: float
    arm: Vec = NO_ARM


# ---------------------------------------------------------------- on the floor


def floor_holds(feet: Sequence[FootPoint]) -> tuple[Hold, ...]:
    """The floor under every foot: it only pushes up."""
    return tuple(Hold(name=f.name, joint=f.joint, direction=UP, arm=f.arm) for f in feet)


def floor_cases(feet: Sequence[FootPoint], settled: float = SETTLED) -> tuple[Case, ...]:
    """True floor; the floor gone from under each foot; each two sets carrying all; each diagonal carrying all.

    Three feet always stand: for them only the true floor.
    """
    if len(feet) < 4:
        return (Case(name="true floor", holds=tuple(f.name for f in feet)),)
    names = tuple(f.name for f in feet)
    cases = [Case(name="true floor", holds=names)]
    cases += [Case(name=f"floor settled under {n}", holds=names, gaps={n: settled}) for n in names]
    sets = list(dict.fromkeys(f.leg_set for f in sorted(feet, key=lambda f: f.x)))
    if len(sets) > 2:
        for i, first in enumerate(sets):
            for second in sets[i + 1 :]:
                gone = {f.name: settled for f in feet if f.leg_set not in (first, second)}
                cases.append(Case(name=f"only {first} and {second} carry", holds=names, gaps=gone))
    for one, other in _diagonals(feet):
        gone = {n: settled for n in names if n not in (one, other)}
        cases.append(Case(name=f"rocking on {one} and {other}", holds=names, gaps=gone))
    return tuple(cases)


def kerb_cases(casters: Sequence[str], feet: Sequence[FootPoint], kerb: float = KERB) -> tuple[Case, ...]:
    """A kerb, cable or sill under one caster at a time: the floor is high there."""
    names = tuple(f.name for f in feet)
    return tuple(Case(name=f"kerb under {n}", holds=names, gaps={n: -kerb}) for n in casters)


def _diagonals(feet: Sequence[FootPoint]) -> tuple[tuple[str, str], ...]:
    """The two pairs of corner feet farthest across from each other."""
    mid_y = sum(f.y for f in feet) / len(feet)
    rows = [sorted((f for f in feet if (f.y > mid_y) == side), key=lambda f: f.x) for side in (False, True)]
    if min(len(row) for row in rows) < 2:
        return ()
    back, front = rows
    return (back[0].name, front[-1].name), (front[0].name, back[-1].name)


# ---------------------------------------------------------------- lifted


def fork_holds(points: Sequence[LiftPoint]) -> tuple[Hold, ...]:
    """Forks under the base: they only push up."""
    return tuple(Hold(name=p.name, joint=p.joint, direction=UP, arm=p.arm) for p in points)


def fork_case(name: str, points: Sequence[LiftPoint]) -> Case:
    """The pit on the forks."""
    return Case(name=name, holds=tuple(p.name for p in points))


def sling_holds(lugs: Sequence[LiftPoint], hook: Vec, give: float = 0.0, *, spreader: bool = False) -> tuple[Hold, ...]:
    """Slings from lugs to a hook [m]: each pulls its lug toward the hook and never pushes; give: of a sling [m/N].

    spreader  a bar under the hook keeps them plumb in the end view
    """
    out = []
    for lug in lugs:
        toward = (hook[0] - lug.x, 0.0 if spreader else hook[1] - lug.y, hook[2] - lug.z)
        if toward[2] <= 0.0:
            raise LayoutError("the hook hangs under a lug", field=lug.name, value=toward[2], allowed="a higher hook")
        out.append(Hold(name=lug.name, joint=lug.joint, direction=toward, give=give, arm=lug.arm))
    return tuple(out)


def sling_cases(lugs: Sequence[LiftPoint], field: Vec = STILL) -> tuple[Case, ...]:
    """All slings taut; with four, only each two across from each other as well, the others 1/4 in slack.

    field: the pull of weight as it lies in the pit when it hangs, where it hangs a little askew [m/s2].
    """
    names = tuple(lug.name for lug in lugs)
    cases = [Case(name=f"hung on {len(names)} slings", holds=names, field=field)]
    if len(lugs) == 4:
        for one, other in _diagonals([FootPoint(name=u.name, joint=u.joint, leg_set="", x=u.x, y=u.y) for u in lugs]):
            slack = {n: SETTLED for n in names if n not in (one, other)}
            cases.append(Case(name=f"hung with the others slack: {one} and {other}", holds=names, gaps=slack))
    return tuple(cases)


# ---------------------------------------------------------------- dragged and on the road


def drag_holds(hitch: str, far: FootPoint, toward: Vec) -> tuple[Hold, ...]:
    """What drags it: pull and sideways hold at the hitch joint, sideways hold at the far foot."""
    aside = (-toward[1], toward[0], 0.0)
    return (
        Hold(name="drag", joint=hitch, direction=toward, one_way=True),
        Hold(name="drag aside", joint=hitch, direction=aside, one_way=False),
        Hold(name="far foot aside", joint=far.joint, direction=aside, one_way=False),
    )


def dragged(ready: Ready, feet: Sequence[FootPoint], toward: Vec, friction: float = FRICTION) -> Case:
    """The pit dragged by its hitch over a true floor: each foot held back by friction times what it carries.

    The frame must have `floor_holds` and `drag_holds`. Friction and foot loads are made to agree in a few rounds.
    """
    names = (*(f.name for f in feet), "drag", "drag aside", "far foot aside")
    length = math.hypot(*toward)
    case = Case(name="dragged", holds=names)
    before: dict[str, float] = {}
    for _ in range(6):
        carried = ready.solve([case]).cases[case.name].reactions
        if before and all(abs(carried[n] - before[n]) < 1e-6 * abs(carried["drag"]) for n in carried):
            break
        before = dict(carried)
        loads = tuple(
            Load(
                joint=f.joint,
                force=tuple(-friction * carried[f.name] * t / length for t in toward),  # type: ignore[arg-type]
            )
            for f in feet
        )
        case = dataclasses.replace(case, loads=loads)
    return case


def road_holds(points: Sequence[LiftPoint | FootPoint]) -> tuple[Hold, ...]:
    """What holds a trailer on the road along and across: its wheels and its coupler."""
    ways: tuple[tuple[str, Vec], ...] = (("along", (1.0, 0.0, 0.0)), ("across", (0.0, 1.0, 0.0)))
    return tuple(
        Hold(name=f"{p.name} held {way}", joint=p.joint, direction=direction, one_way=False, arm=p.arm)
        for p in points
        for way, direction in ways
    )


def road_cases(names: Sequence[str]) -> tuple[Case, ...]:
    """A bad hole, braking and setting off, both bends: accelerations of `towing.ROAD`. names: the holds there are."""
    g = STANDARD_GRAVITY
    brake, bend = ROAD["braking"] * g, ROAD["cornering"] * g
    fields: tuple[tuple[str, Vec], ...] = (
        (f"road, {ROAD['down']:g} g down", (0.0, 0.0, ROAD["down"] * STILL[2])),
        (f"road, braking {ROAD['braking']:g} g, fire end first", (-brake, 0.0, STILL[2])),
        (f"road, braking {ROAD['braking']:g} g, stack end first", (brake, 0.0, STILL[2])),
        (f"road, bend {ROAD['cornering']:g} g to the working side", (0.0, bend, STILL[2])),
        (f"road, bend {ROAD['cornering']:g} g to the back", (0.0, -bend, STILL[2])),
    )
    return tuple(Case(name=name, holds=tuple(names), field=field) for name, field in fields)
