"""Lifting: hook over the centre of gravity, slings that hang it level, tensions, lugs and pins.

Lug and pin strength by ASME BTH-1, design category B (factor 3 on yield, 3.6 on rupture), from memory; slings by the
rule of ASME B30.9 and 29 CFR 1910.184: never under 30 degrees off level. A lift is planned on the day by someone
trained to rig: these figures are where that person starts.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.errors import LayoutError
from pitwright.findings import Finding
from pitwright.strength.check import Check, Measure
from pitwright.strength.stability import MassPoint
from pitwright.strength.steel import Steel
from pitwright.tape import STANDARD_GRAVITY, Tape

LEAST_ANGLE = math.radians(30.0)
GOOD_ANGLE = math.radians(60.0)
DESIGN_FACTOR = 3.0
RUPTURE_FACTOR = 1.2 * DESIGN_FACTOR
BTH = "ASME BTH-1 design category B, from memory"
SLING_RULE = "ASME B30.9 and 29 CFR 1910.184"

CAUTION = (
    "Nobody under the load or between it and a wall. Try the lift a hand's breadth off the floor, look at every sling "
    "and lug, then go on. Doors latched, slides out of the pit or pinned, ash and water out. Tag line on the fire end. "
    "A lift over people, from a vehicle crane near power lines, or over 3/4 of the crane's chart is for a qualified rigger."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lug:
    """A lifting point [m]."""

    name: str
    x: float
    y: float
    z: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Sling:
    """One leg of the hitch.

    length   lug to hook [m]; angle off level [rad]; factor 1 / sin(angle)
    share    of the weight, upright [N]; tension when all legs share [N]
    alone    tension when only this leg and the one across carry; the same as `tension` of a two-leg hitch [N]
    """

    lug: str
    length: float
    angle: float
    share: float
    tension: float
    alone: float

    @property
    def factor(self) -> float:
        """Tension over upright share."""
        return sling_factor(self.angle)


def sling_factor(angle: float) -> float:
    """Tension in a leg over the upright load it carries: 1 / sin(angle off level) [rad]."""
    if not 0.0 < angle <= math.pi / 2.0 + 1e-12:
        raise LayoutError("a sling must rise", field="sling angle", value=angle, allowed="over 0° to 90° off level")
    return 1.0 / math.sin(angle)


def hang(lugs: Sequence[Lug], weight: MassPoint, hook: float) -> tuple[Sling, ...]:
    """Two or four slings from a hook right over the centre of gravity, `hook` above the highest lug [m].

    Two legs must pass the centre of gravity in plan within the reach of a hand; of four, any two across may carry
    everything, for no four slings are ever cut true (common rigging practice).
    """
    if len(lugs) not in (2, 4):
        raise LayoutError("a hitch here has two or four legs", field="lugs", value=len(lugs), allowed="2 or 4")
    top = max(lug.z for lug in lugs) + hook
    force = weight.mass * STANDARD_GRAVITY
    shares = _two(lugs, weight) if len(lugs) == 2 else _four(lugs, weight)
    alone = shares if len(lugs) == 2 else _across(lugs, weight)
    out = []
    for lug, share, most in zip(lugs, shares, alone):
        if share <= 0.0:
            raise LayoutError(
                "the centre of gravity is not between the lifting points",
                field=lug.name,
                value=share,
                allowed="weight on every lug",
                remedy="Move the lugs so that the weight lies between them.",
            )
        run, rise = math.hypot(lug.x - weight.x, lug.y - weight.y), top - lug.z
        angle = math.atan2(rise, run)
        factor = sling_factor(angle)
        out.append(
            Sling(
                lug=lug.name,
                length=math.hypot(run, rise),
                angle=angle,
                share=share * force,
                tension=share * force * factor,
                alone=max(share, most) * force * factor,
            )
        )
    return tuple(out)


def _two(lugs: Sequence[Lug], weight: MassPoint) -> tuple[float, ...]:
    a, b = lugs
    dx, dy = b.x - a.x, b.y - a.y
    along = ((weight.x - a.x) * dx + (weight.y - a.y) * dy) / (dx * dx + dy * dy)
    return 1.0 - along, along


def _four(lugs: Sequence[Lug], weight: MassPoint) -> tuple[float, ...]:
    """Even-stiffness shares about the middle of the lugs (least squares)."""
    cx, cy = sum(u.x for u in lugs) / 4.0, sum(u.y for u in lugs) / 4.0
    xx, yy = sum((u.x - cx) ** 2 for u in lugs), sum((u.y - cy) ** 2 for u in lugs)
    xy = sum((u.x - cx) * (u.y - cy) for u in lugs)
    det = xx * yy - xy * xy
    if det <= 1e-9 * xx * xx:
        raise LayoutError("four lifting points in one line", field="lugs", value=4, allowed="two on either side")
    ex, ey = weight.x - cx, weight.y - cy
    a, b = (ex * yy - ey * xy) / det, (ey * xx - ex * xy) / det
    return tuple(0.25 + a * (u.x - cx) + b * (u.y - cy) for u in lugs)


def _across(lugs: Sequence[Lug], weight: MassPoint) -> tuple[float, ...]:
    """Share of each lug when only it and the one farthest across carry everything."""
    out = []
    for lug in lugs:
        other = max(lugs, key=lambda u: math.hypot(u.x - lug.x, u.y - lug.y))
        out.append(min(max(_two((lug, other), weight)[0], 0.0), 1.0))
    return tuple(out)


def tilt_with_equal(lugs: tuple[Lug, Lug], weight: MassPoint, length: float) -> float:
    """How far a pit hangs off level with two equal slings [rad], positive: the second lug's end hangs low.

    The hook stands over the middle of the lugs; the weight swings under it: atan(offset / drop).
    """
    a, b = lugs
    span = math.hypot(b.x - a.x, b.y - a.y)
    if length <= span / 2.0:
        raise LayoutError("the slings do not reach", field="length", value=length, allowed=f"over {span / 2.0:.3f} m")
    along = ((weight.x - a.x) * (b.x - a.x) + (weight.y - a.y) * (b.y - a.y)) / span
    drop = math.sqrt(length**2 - span**2 / 4.0) + (a.z + b.z) / 2.0 - weight.z
    if drop <= 0.0:
        raise LayoutError(
            "the hook would lie under the centre of gravity: it turns over",
            field="length",
            value=length,
            allowed="a hook well over the weight",
            remedy="Longer slings or higher lugs.",
        )
    return math.atan2(along - span / 2.0, drop)


def sling_checks(slings: Sequence[Sling], rating: float, case: str) -> tuple[Check, ...]:
    """Tension of each sling against its rating at any angle (straight-pull working load limit) [N]."""
    return tuple(
        Check(
            name="sling tension",
            piece=_sling(s),
            case=case,
            demand=s.alone,
            capacity=rating,
            measure="force",
            equation="share / sin(angle off level)",
            source=SLING_RULE,
        )
        for s in slings
    )


def _sling(sling: Sling) -> str:
    """What a sling is called: by its place under the rails, or by its lug."""
    return sling.lug if sling.lug.startswith("sling") else f"sling at {sling.lug}"


def sling_findings(slings: Sequence[Sling], tape: Tape) -> tuple[Finding, ...]:
    """Flat slings, and slings that must not be swapped."""
    out = []
    flat = min(slings, key=lambda s: s.angle)
    if flat.angle < GOOD_ANGLE - math.radians(0.5):
        run = flat.length * math.cos(flat.angle)
        rise = run * math.tan(GOOD_ANGLE)
        out.append(
            Finding(
                code="lift.flat_sling",
                severity="stop" if flat.angle < LEAST_ANGLE else "note",
                text=f"{_sling(flat)[0].upper()}{_sling(flat)[1:]}: {tape.angle(flat.angle, 0)} off level, "
                f"it pulls {flat.factor:.2f} times what it lifts.",
                pieces=(flat.lug,),
                remedy=f"A hook {tape.length(rise)} above where the sling takes hold makes it 60°; or a beam along the "
                "pit with a plumb sling to each end.",
                source=f"1 / sin(angle); {SLING_RULE}: never under 30°",
            )
        )
    longest, shortest = max(s.length for s in slings), min(s.length for s in slings)
    if longest - shortest > 0.02 * longest:
        out.append(
            Finding(
                code="lift.unequal",
                severity="note",
                text="The slings are not the same length: "
                + "; ".join(f"{s.lug.removeprefix('sling, ')} {tape.length(s.length)}" for s in slings)
                + ". Swapped or equal, it hangs off level.",
                remedy="Tag each sling with its lug, or take up the long one with a rated shortener.",
                source="hook over the centre of gravity",
            )
        )
    return tuple(out)


# ---------------------------------------------------------------- lugs and pins


@dataclass(frozen=True, slots=True, kw_only=True)
class LugPlate:
    """A flat lug with one hole.

    width       of the plate at its foot and at the hole [m]
    thickness   [m]; hole, pin: diameters [m]
    edge        hole middle to the top edge of the plate (round top: its radius) [m]
    height      hole middle over the weld [m]
    """

    width: float
    thickness: float
    hole: float
    pin: float
    edge: float
    height: float

    def __post_init__(self) -> None:
        if not self.pin <= self.hole < min(self.width, 2.0 * self.edge):
            raise LayoutError(
                "the hole does not fit the lug",
                field="hole",
                value=self.hole,
                allowed="at least the pin, less than the width and twice the edge distance",
            )


def lug_checks(
    piece: str, case: str, lug: LugPlate, steel: Steel, tension: float, angle: float, aside: float = 0.0
) -> tuple[Check, ...]:
    """A lug under a sling's tension [N] at an angle off level in its own plane, and off its plane by `aside` [rad]."""
    t, d, fy, fu = lug.thickness, lug.hole, steel.yield_stress, steel.tensile
    beside = (lug.width - d) / 2.0
    effective = min(beside, 4.0 * t, 0.6 * beside * math.sqrt(fu / fy * d / beside))
    shrink = 1.0 - 0.275 * math.sqrt(1.0 - (lug.pin / d) ** 2)
    beyond = lug.edge - d / 2.0
    shear_planes = 2.0 * (beyond + lug.pin / 2.0 * (1.0 - math.cos(math.radians(55.0) * lug.pin / d))) * t
    split = (1.13 * beyond + 0.92 * effective / (1.0 + effective / d)) * t
    in_plane = tension * math.cos(aside)
    area, bent, out = lug.width * t, lug.width**2 * t / 6.0, lug.width * t**2 / 6.0
    pull = in_plane * math.sin(angle) / area
    cross = in_plane * abs(math.cos(angle)) * lug.height / bent
    off = tension * math.sin(abs(aside)) * lug.height / out

    def check(name: str, demand: float, capacity: float, equation: str, measure: Measure = "force") -> Check:
        return Check(
            name=name,
            piece=piece,
            case=case,
            demand=demand,
            capacity=capacity,
            measure=measure,
            equation=equation,
            source=BTH,
        )

    return (
        check("lug beside the hole", tension, shrink * fu / RUPTURE_FACTOR * 2.0 * t * effective, "Cr Fu 2 t be / 3.6"),
        check("lug splitting over the hole", tension, shrink * fu / RUPTURE_FACTOR * split, "Cr Fu (1.13 a + 0.92 be / (1 + be/d)) t / 3.6"),
        check("lug tearing out", tension, 0.70 * fu / RUPTURE_FACTOR * shear_planes, "0.70 Fu Av / 3.6"),
        check("pin on the hole", tension, 1.25 * fy / DESIGN_FACTOR * lug.pin * t, "1.25 Fy d t / 3"),
        check("lug at its weld", pull + cross + off, fy / DESIGN_FACTOR, "P/A + M/S, Fy / 3", "stress"),
    )  # fmt: skip


def pin_check(piece: str, case: str, pin: float, steel: Steel, tension: float) -> Check:
    """A pin in double shear [N]: Fy / (3 sqrt 3) on two sections."""
    area = math.pi * pin**2 / 4.0
    return Check(
        name="pin shear",
        piece=piece,
        case=case,
        demand=tension,
        capacity=steel.yield_stress / (DESIGN_FACTOR * math.sqrt(3.0)) * 2.0 * area,
        measure="force",
        equation="Fy / (3 √3) x 2 A",
        source=BTH,
    )


def weld_load(tension: float) -> float:
    """The load to check a lug's weld with [N]: 1.8 times, so that factor 2.0 on the weld becomes 3.6."""
    return tension * RUPTURE_FACTOR / 2.0
