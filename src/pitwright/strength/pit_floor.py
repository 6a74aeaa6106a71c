"""A solved pit on its floor: tipping, slides, what a kerb does, what casters must carry, rock and skew as measured, shims."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.errors import JobError
from pitwright.findings import Finding
from pitwright.layout.model import Pit
from pitwright.masses import Balance, mass_of
from pitwright.strength.check import Check
from pitwright.strength.floor import caster_check, floor_checks, floor_findings, pad_side
from pitwright.strength.frame_solve import Solved
from pitwright.strength.from_pit import PitFrame
from pitwright.strength.rock import FootHeight, Rock, Skew, rock, rock_findings, skew, skew_findings
from pitwright.strength.stability import (
    PRACTICE,
    Footing,
    MassPoint,
    Side,
    Slide,
    kerb_push,
    kerb_stop_angle,
    push_to_tip,
    sides,
    slide_findings,
    slides_out,
    tip_checks,
    tip_findings,
    wind_speed_to_tip,
)
from pitwright.tape import FOOT, INCH, STANDARD_GRAVITY, Tape

SOFT, HARD = "packed gravel", "concrete slab"
"""Ground a pit on rails or feet is put on, and what wheels and casters roll on."""

PUSH_HEIGHT = 34.0 * INCH  # a push at this height where there is no door handle (common practice, no source)
WALK = 1.0
"""Speed of a pit rolled by hand [m/s] (our judgement, no source)."""

GREASE_SLOPE = INCH / 8.0 / FOOT
"""Fall of the pit toward its drain: 1/8 in a foot (common practice, no source)."""

SILL = 0.5 * INCH


@dataclass(frozen=True, slots=True, kw_only=True)
class TipState:
    """How one state of loading stands: the side it would go over first, the push and the wind that tip it.

    push  [N] at `height` [m]; wind [m/s]
    """

    state: str
    weight: MassPoint
    side: Side
    push: float
    height: float
    wind: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Casters:
    """What casters must carry and do.

    wanted     rating of each [N]: a third of the heaviest state; most: what the worst floor puts on one [N]
    rating     what is stated of those bought [N], 0 where nothing is
    sill_push  level push that rolls the whole pit over a 1/2 in sill, two casters at a time [N]
    stopped    tip angle used up when it is stopped dead at a walk, and the tip angle it has [rad]
    """

    wanted: float
    most: float
    rating: float
    sill_push: float
    stopped: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class OnFloor:
    """The pit on its floor.

    slides   tip angle with 0, 1, 2 ... slides out [rad]
    shims    what to put under each foot so that grease runs to the drain [m]
    ground   what it is taken to stand on; pad: square pad the heaviest foot wants on packed gravel [m]
    rock, skew  as measured; None where nothing was typed
    """

    tips: tuple[TipState, ...]
    slides: tuple[float, ...]
    casters: Casters | None
    shims: tuple[tuple[str, float], ...]
    ground: str
    pad: float
    rock: Rock | None
    skew: Skew | None
    checks: tuple[Check, ...]
    findings: tuple[Finding, ...]


def point_of(balance: Balance) -> MassPoint:
    """A balance as one weight."""
    x, y, z = balance.centre
    return MassPoint(mass=balance.mass, x=x, y=y, z=z)


def floor_of(pit: Pit, made: PitFrame, solved: Solved) -> OnFloor:
    """All of it."""
    prints, tape = made.prints, pit.tape
    states = [(name, point_of(b)) for name, b in pit.balance.items()]
    checks = list(tip_checks(prints, states))
    findings = list(tip_findings(prints, states, tape))
    slides = slides_of(pit, prints)
    findings += slide_findings(slides, tape)
    level = solved.cases["true floor"]
    bearing = [(f.name, level.reactions.get(f.name, 0.0)) for f in made.feet] if level.stands else []
    area = _foot_area(pit)
    ground = HARD if pit.base.axles or any(s.kind == "caster" for s in pit.base.supports) else SOFT
    rolling = {f.name for f in made.feet if f.name.startswith("wheel")}
    pressing = [pair for pair in bearing if pair[0] not in rolling]  # tyres are bought by their rating
    if pressing:
        checks += floor_checks(pressing, area, ground, f"on {ground}")
        findings += floor_findings(pressing, area, ground, tape)
    casters = casters_of(pit, made, solved, states)
    if casters is not None:
        if casters.rating > 0.0:
            checks.append(caster_check(max(w.mass for _, w in states), casters.rating / STANDARD_GRAVITY))
        checks.append(_stopped_check(casters))
        findings += _caster_findings(casters, tape)
    rocks, skewed, more = _measured(pit, made)
    return OnFloor(
        tips=tuple(tip_state(pit, prints, name, weight) for name, weight in states),
        slides=slides,
        casters=casters,
        shims=grease_shims(pit, made),
        ground=ground,
        pad=pad_side(max((load for _, load in bearing), default=0.0), SOFT),
        rock=rocks,
        skew=skewed,
        checks=tuple(checks),
        findings=(*findings, *more),
    )


def _foot_area(pit: Pit) -> float:
    """What one foot bears on [m2]: its pad, else four rail widths of rail."""
    pads = [s.pad for s in pit.base.supports]
    return min(pads) ** 2 if pads else pit.base.rail.width * pit.base.rail.width * 4.0


# ---------------------------------------------------------------- tipping


def push_height(pit: Pit) -> float:
    """Height at which a person pushes: the door's lower edge, where its handle is [m]."""
    if not pit.doors:
        return PUSH_HEIGHT
    door = pit.doors[0]
    at = door.x0 if pit.upright is None else (door.x0 + door.x1) / 2.0
    return pit.vessel.skin(at, door.edge_clock)[2]


def tip_state(pit: Pit, prints: Sequence[Footing], state: str, weight: MassPoint) -> TipState:
    """One state of loading: the least over all sides of tip angle, push and wind, each for itself."""
    found, height, vessel = sides(prints, weight), push_height(pit), pit.vessel
    across = 2.0 * vessel.outer_radius
    middle = vessel.centre_z if pit.upright is None else vessel.seam_z + vessel.length / 2.0

    def face(side: Side) -> float:
        if pit.upright is not None:
            return across * vessel.length
        return across * (vessel.length * abs(math.sin(side.facing)) + across * abs(math.cos(side.facing)))

    return TipState(
        state=state,
        weight=weight,
        side=min(found, key=lambda s: s.angle),
        push=min(push_to_tip(s, weight, height) for s in found),
        height=height,
        wind=min(wind_speed_to_tip(s, weight, max(face(s), 1e-6), middle) for s in found),
    )


def slides_of(pit: Pit, prints: Sequence[Footing]) -> tuple[float, ...]:
    """Tip angles with one slide after another pulled out with its meat, doors open [rad]."""
    out = []
    wanted = min(pit.grates.meat_wanted or pit.grates.meat_capacity, pit.grates.meat_capacity)
    for level in pit.grates.levels:
        if level.slides:
            own = sum(mass_of(p).mass * p.quantity for p in pit.parts if p.moving == level.name)
            meat = wanted * level.area / pit.grates.area
            out += [Slide(own=own / level.panels, meat=meat / level.panels, travel=level.travel)] * level.panels
    empty, opened = pit.balance["empty"], pit.balance["doors open"]
    doors = (opened.centre[1] * opened.mass - empty.centre[1] * empty.mass) * STANDARD_GRAVITY
    return slides_out(prints, point_of(empty), out, max(doors, 0.0))


# ---------------------------------------------------------------- casters and wheels


def casters_of(pit: Pit, made: PitFrame, solved: Solved, states: Sequence[tuple[str, MassPoint]]) -> Casters | None:
    """What the casters of a stand must carry, and how it takes a sill."""
    names = [s.name for s in pit.base.supports if s.kind == "caster"]
    if not names:
        return None
    heaviest = max((w for _, w in states), key=lambda w: w.mass)
    level = [c for c in solved.cases.values() if c.stands and all(h in names for h in c.reactions)]
    most = max((c.reactions[n] for c in level for n in names), default=0.0)
    radius = pit.job.proportions.stand.caster_wheel / 2.0
    side = min(sides(made.prints, heaviest), key=lambda s: s.angle - kerb_stop_angle(s, heaviest, WALK))
    return Casters(
        wanted=heaviest.mass * STANDARD_GRAVITY / 3.0,
        most=most,
        rating=min(s.rating for s in pit.base.supports if s.kind == "caster"),
        sill_push=kerb_push(heaviest.mass * STANDARD_GRAVITY / 2.0, radius, SILL),
        stopped=(kerb_stop_angle(side, heaviest, WALK), side.angle),
    )


def _stopped_check(casters: Casters) -> Check:
    return Check(
        name="stopped dead at a walk",
        piece="casters",
        case="a kerb under the leading casters",
        demand=casters.stopped[0],
        capacity=max(casters.stopped[1], 0.0),
        measure="angle",
        equation="rise v² z² / (2 g r²) of the centre of gravity about the stopped wheels",
        source=f"statics and angular momentum; 1 m/s: {PRACTICE}",
    )


def _caster_findings(casters: Casters, tape: Tape) -> tuple[Finding, ...]:
    """A floor that asks more of one caster than its maker allows, and a kerb that tips it."""
    found: tuple[Finding, ...] = ()
    if 0.0 < casters.rating < casters.most:
        found = (
            Finding(
                code="stand.caster_floor",
                severity="warn",
                text=f"On an uneven floor one caster carries {tape.force(casters.most)}, over its {tape.force(casters.rating)}.",
                pieces=("casters",),
                remedy=f"Casters rated {tape.force(casters.most)} each; or roll it only on a true floor, and park it on shims.",
                source="frame: 1/4 in settled, 1/2 in sill",
            ),
        )
    return (*found, *_stopped_findings(casters, tape))


def _stopped_findings(casters: Casters, tape: Tape) -> tuple[Finding, ...]:
    if casters.stopped[0] < casters.stopped[1] or casters.stopped[1] <= 0.0:
        return ()  # what falls over by itself is told so
    return (
        Finding(
            code="stand.kerb",
            severity="warn",
            text="Rolled at a walk and stopped dead by a kerb it goes over: it has "
            f"{tape.angle(max(casters.stopped[1], 0.0))} and the stop takes {tape.angle(casters.stopped[0])}.",
            pieces=("casters",),
            remedy="Set the casters farther apart, larger wheels, and roll it end first, two people, slides in.",
            source=f"angular momentum about the stopped wheels; {PRACTICE}",
        ),
    )


# ---------------------------------------------------------------- shims, rock, skew


def grease_shims(pit: Pit, made: PitFrame) -> tuple[tuple[str, float], ...]:
    """What to put under each foot so that the pit falls 1/8 in a foot toward its drain [m]; nothing on wheels."""
    if pit.base.axles or pit.upright is not None:
        return ()
    drain = pit.grates.drain_x
    low = min((f.x for f in made.feet), key=lambda x: abs(x - drain))
    shims = [(f.name, GREASE_SLOPE * (abs(f.x - drain) - abs(low - drain))) for f in made.feet]
    return tuple((name, max(shim, 0.0)) for name, shim in shims)


def foot_called(name: str) -> str:
    """A foot's name as it is typed, whatever commas and words stand round it."""
    words = re.sub(r"[^a-z0-9]+", " ", name.lower()).split()
    return " ".join(w for w in words if w not in ("set", "side", "the"))


def _measured(pit: Pit, made: PitFrame) -> tuple[Rock | None, Skew | None, tuple[Finding, ...]]:
    """Rock from typed foot heights, winding and skew from typed diagonals.

    Raises JobError where a foot is not one of the base's, or fewer than four were typed.
    """
    got, tape, base = pit.job.measured, pit.tape, pit.base
    found: list[Finding] = []
    rocks = skewed = None
    if got.feet:
        known = {foot_called(f.name): f for f in made.feet}
        heights = []
        for typed in got.feet:
            foot = known.get(foot_called(typed.foot))
            if foot is None:
                raise JobError(
                    "the base has no such foot",
                    field="measured.feet",
                    value=typed.foot,
                    allowed=", ".join(f.name for f in made.feet),
                    remedy="Call it as the STAND sheet does.",
                )
            heights.append(FootHeight(name=foot.name, x=foot.x, y=foot.y, height=typed.height))
        if len(heights) < 4 or len({h.name for h in heights}) < len(heights):
            raise JobError(
                "a rock shows over four different feet or more",
                field="measured.feet",
                value=len({h.name for h in heights}),
                allowed="4 or more, each foot once",
                remedy="Measure every foot of the base over the same level line.",
            )
        centre = pit.balance["empty"].centre
        rocks = rock(heights, (centre[0], centre[1]))
        found += rock_findings(rocks, tape)
    if got.diagonals is not None:
        skewed = skew(base.rail_x1 - base.rail_x0, base.rails_outside, *got.diagonals)
        found += skew_findings(skewed, tape)
    return rocks, skewed, tuple(found)
