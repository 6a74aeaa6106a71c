"""Lifting a solved pit: slings that hang it level, lugs on the shell and what they stand on, forks from the side and the end."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitwright.findings import Finding
from pitwright.layout.model import Pit
from pitwright.layout.way_out import ends
from pitwright.parts import Plate, Vec
from pitwright.strength.bending import OMEGA
from pitwright.strength.check import Check, finding_of
from pitwright.strength.forks import (
    FORK_WIDTH,
    Truck,
    fork_findings,
    pocket_findings,
    pocket_shares,
    side_tip,
    truck_capacity,
    truck_check,
)
from pitwright.strength.from_pit import PitFrame
from pitwright.strength.from_running import end_fork_reach
from pitwright.strength.lifting import (
    DESIGN_FACTOR,
    Lug,
    LugPlate,
    Sling,
    hang,
    lug_checks,
    pin_check,
    sling_checks,
    sling_findings,
    tilt_with_equal,
    weld_load,
)
from pitwright.strength.pit_patches import lug_patch
from pitwright.strength.shell import PatchLoad, wall_check, wall_findings
from pitwright.strength.stability import MassPoint
from pitwright.strength.steel import FOUND_STEEL, PLATE_STEEL, Steel
from pitwright.strength.welds import WeldLoad, box_group, greatest_leg, least_leg, weld_checks
from pitwright.tape import INCH, KSI, LB, LBF, STANDARD_GRAVITY

USUAL_TRUCK = Truck(capacity=5000.0 * LB)
LEVEL_HUNG = math.radians(2.0)
"""Hanging off level by less than this is let be (our judgement, no source)."""

ROPES = tuple((INCH * size, LBF * load) for size, load in ((0.375, 2800.0), (0.5, 5000.0), (0.625, 7800.0), (0.75, 11200.0), (1.0, 19600.0)))  # fmt: skip
"""Wire rope slings by size, straight pull [m, N]: 6 strand, steel core, swaged eyes (ASME B30.9 tables, from memory)."""

PIN_STEEL = Steel(name="shackle pin, carbon steel", yield_stress=60 * KSI, tensile=90 * KSI, source="from memory")


@dataclass(frozen=True, slots=True, kw_only=True)
class ForkWay:
    """One way to take the pit on forks.

    centre    load centre, from the fork face [m]; reach: how long the forks must be [m]
    capacity  of the usual truck there [kg]; mass: of the pit [kg]
    tilt      side slope at which it rolls off the forks [rad]
    """

    way: str
    centre: float
    reach: float
    capacity: float
    mass: float
    tilt: float

    @property
    def fits(self) -> bool:
        """Whether the usual truck, with long enough forks, carries it this way."""
        return self.mass <= self.capacity

    @property
    def long_forks(self) -> bool:
        """Whether usual forks are too short for it."""
        return self.reach > USUAL_TRUCK.forks


@dataclass(frozen=True, slots=True, kw_only=True)
class Lifting:
    """How a pit is lifted.

    slings   from a hook right over the empty pit's weight; equal: how far off level it hangs with equal slings [rad]
    askew    how far off level from side to side it hangs [rad]
    rope     least size of wire rope sling, and its straight pull [m, N]
    forks    ways to take it on forks; shares: of the weight on each fork in the pockets
    """

    slings: tuple[Sling, ...]
    equal: float
    askew: float
    on_shell: bool
    spreader: float
    rope: tuple[float, float]
    forks: tuple[ForkWay, ...]
    shares: tuple[float, float] | None
    checks: tuple[Check, ...]
    findings: tuple[Finding, ...]


def lifting_of(pit: Pit, made: PitFrame) -> Lifting:
    """All of it, for the empty pit."""
    balance = pit.balance["empty"]
    weight = MassPoint(mass=balance.mass, x=balance.centre[0], y=balance.centre[1], z=balance.centre[2])
    ways = tuple(_ways(pit, made, weight))
    if not made.lugs:
        return _on_forks(pit, ways)
    if not min(p.x for p in made.lugs) < weight.x < max(p.x for p in made.lugs):
        return _on_forks(pit, ways, _past_the_slings(pit, made, weight))
    lugs = [Lug(name=p.name, x=p.x, y=p.y, z=p.z) for p in made.lugs]
    above = made.hook[2] - max(u.z for u in lugs)
    # With lugs on the shell the weight hangs in their own plane; with a spreader each pair of slings hangs plumb.
    flat = [dataclasses.replace(u, y=0.0 if made.spreader else u.y) for u in lugs]
    level = dataclasses.replace(weight, y=0.0 if made.spreader else lugs[0].y)
    slings = _paired(lugs, weight, above) if made.spreader else hang(flat, level, above)
    ends = sorted({round(u.x, 9) for u in lugs})
    pair = tuple(Lug(name=f"end {i + 1}", x=x, y=0.0, z=lugs[0].z) for i, x in enumerate(ends))
    length = math.hypot((ends[1] - ends[0]) / 2.0, above)
    most = max(s.alone for s in slings)
    rope = next((r for r in ROPES if most <= r[1]), ROPES[-1])
    checks = list(sling_checks(slings, rope[1], f"hung on {len(slings)} slings"))
    findings = list(sling_findings(slings, pit.tape))
    wide = 0.0
    if pit.lugs:
        for check, more in _lug_told(pit, slings):
            checks.append(check)
            findings += more
        findings += _hangs_askew(pit, made.askew)
    else:
        wide = _spreader(pit)
        findings.append(_spread_slings(pit, wide))
    checks += _truck(ways)
    findings += _fork_told(pit, ways)
    return Lifting(
        slings=slings,
        equal=tilt_with_equal((pair[0], pair[1]), level, length),
        askew=made.askew if pit.lugs else 0.0,
        on_shell=bool(pit.lugs),
        spreader=wide,
        rope=rope,
        forks=ways,
        shares=_shares(pit),
        checks=tuple(checks),
        findings=tuple(findings),
    )


def _past_the_slings(pit: Pit, made: PitFrame, weight: MassPoint) -> Finding:
    """Its weight lies past the points it would be slung by."""
    near = min((p.x for p in made.lugs), key=lambda x: abs(x - weight.x))
    tape = pit.tape
    return Finding(
        code="lift.outside",
        severity="stop",
        text=f"The weight lies {tape.length(abs(weight.x - near))} past the slings' points, at station "
        f"{tape.length(pit.vessel.station(weight.x))}: slung there it turns over. No slings are given.",
        pieces=("slings",),
        remedy=f"Set a leg set (and its slings) past station {tape.length(pit.vessel.station(weight.x))}.",
        source="moments about the slings' points",
    )


def _on_forks(pit: Pit, ways: tuple[ForkWay, ...], *told: Finding) -> Lifting:
    """A pit that is not slung: forks only."""
    return Lifting(
        slings=(), equal=0.0, askew=0.0, on_shell=False, spreader=0.0, rope=ROPES[0], forks=ways, shares=None,
        checks=_truck(ways), findings=(*told, *_fork_told(pit, ways)),
    )  # fmt: skip


def _truck(ways: tuple[ForkWay, ...]) -> tuple[Check, ...]:
    """The usual truck, the best way."""
    if not ways:
        return ()
    best = max(ways, key=lambda w: w.capacity)
    return (truck_check(USUAL_TRUCK, best.mass, best.centre, f"forks {best.way}"),)


def _paired(lugs: list[Lug], weight: MassPoint, above: float) -> tuple[Sling, ...]:
    """Four slings under a spreader: plumb in the end view, so each side is a pair of its own.

    A side carries its share by its lever about the middle, and each of its slings its share of that by its own lever.
    """
    out = []
    force = weight.mass * STANDARD_GRAVITY
    for lug, four in zip(lugs, hang(lugs, weight, above), strict=True):
        far_x = max((u.x for u in lugs), key=lambda x: abs(x - lug.x))
        far_y = max((u.y for u in lugs), key=lambda y: abs(y - lug.y))
        share = force * (weight.x - far_x) / (lug.x - far_x) * (weight.y - far_y) / (lug.y - far_y)
        run = abs(lug.x - weight.x)
        angle = math.atan2(above, run)
        tension = share / math.sin(angle)
        out.append(
            Sling(
                lug=lug.name, length=math.hypot(run, above), angle=angle, share=share, tension=tension,
                alone=max(tension, four.alone * math.sin(four.angle) / math.sin(angle)),
            )
        )  # fmt: skip
    return tuple(out)


def _spreader(pit: Pit) -> float:
    """Least width of the bar that keeps the slings off the shell [m]."""
    step = INCH if pit.tape.inch else 0.01
    wide = max(2.0 * (pit.vessel.outer_radius + 2.0 * INCH), 2.0 * pit.base.rail_y)
    return math.ceil(wide / step - 1e-9) * step


def _spread_slings(pit: Pit, wide: float) -> Finding:
    return Finding(
        code="lift.sling_on_shell",
        severity="note",
        text="Slings from the rails straight to one hook would bear on the shell and the doors.",
        pieces=("slings",),
        remedy=f"Use a spreader {pit.tape.length(wide)} wide or more over the shell, so that the slings hang plumb in the end "
        "view; or ask for lifting lugs on the shell (proportions.lift.lugs).",
        source="straight lines from rail to hook",
        clearance=None,
    )


def _hangs_askew(pit: Pit, askew: float) -> tuple[Finding, ...]:
    if abs(askew) < LEVEL_HUNG:
        return ()
    side = "back" if askew > 0.0 else "working"
    return (
        Finding(
            code="lift.askew",
            severity="note",
            text=f"On its lugs it hangs {pit.tape.angle(abs(askew))} off level, the {side} side high: something on top kept "
            "the lugs from standing in line with the weight.",
            pieces=("lifting lugs",),
            remedy="A tag line on the low side; set it down on that side first.",
            source="atan(offset / height of the lugs over the weight)",
        ),
    )


# ---------------------------------------------------------------- lugs


def _lug_told(pit: Pit, slings: tuple[Sling, ...]) -> Iterator[tuple[Check, list[Finding]]]:
    """Lug plate, pin, weld to the pad, pad to the shell, and the shell wall, under each sling's whole pull."""
    for lug, sling in zip(pit.lugs, slings, strict=True):
        case, piece = f"hung on {len(slings)} slings", f"lug, {lug.name}"
        plate = LugPlate(
            width=lug.width, thickness=lug.thickness, hole=lug.hole_size, pin=lug.pin, edge=lug.width / 2.0,
            height=lug.height,
        )  # fmt: skip
        pull = sling.alone
        for check in lug_checks(piece, case, plate, PLATE_STEEL, pull, sling.angle):
            yield check, list(finding_of(check, "lift.lug", pit.tape, "A thicker or wider lug plate."))
        pin = pin_check(piece, case, lug.pin, PIN_STEEL, pull)
        yield pin, list(finding_of(pin, "lift.pin", pit.tape, "A larger shackle."))
        up, along = pull * math.sin(sling.angle), pull * math.cos(sling.angle)
        factor = weld_load(1.0)
        for name, width, deep, arm, thinner in (
            ("lug to its pad", lug.width, lug.thickness, lug.height, min(lug.thickness, lug.pad_thickness)),
            ("pad to the shell", lug.pad_size, lug.pad_around, lug.height + lug.pad_thickness, min(lug.pad_thickness, pit.vessel.wall)),
        ):  # fmt: skip
            load = WeldLoad(x=along * factor, z=up * factor, moment_y=along * arm * factor)
            run = max(least_leg(thinner), greatest_leg(thinner))
            for check in weld_checks(piece, case, box_group(width, deep), load, run, thinner, PLATE_STEEL):
                told = dataclasses.replace(check, name=f"{check.name}, {name}")
                if check.name == "weld size" and check.passes:
                    yield told, []  # the least size is run: nothing to mend
                    continue
                yield told, list(finding_of(told, "lift.lug_weld", pit.tape, "A wider lug or a larger, thicker pad."))
        patch = lug_patch(pit, lug.x, lug.pad_size, lug.pad_around)
        more = DESIGN_FACTOR / OMEGA  # so that 1.67 on the wall becomes the lifting factor 3
        press = PatchLoad(push=up * more, pitch=along * (lug.height + lug.pad_thickness) * more)
        wall = dataclasses.replace(wall_check(piece, case, patch, press, FOUND_STEEL), name="shell wall at the lug")
        yield wall, list(wall_findings(wall, patch, press, FOUND_STEEL, pit.tape))


def drag_told(pit: Pit, pull: float) -> tuple[tuple[Check, ...], tuple[Finding, ...]]:
    """The eye a skid is dragged by, under the whole pull [N], level; nothing of a base with no eyes."""
    eye = next((p for p in pit.parts if p.name == "drag eye"), None)
    if eye is None or pull <= 0.0 or not isinstance(eye.shape, Plate) or not eye.shape.outline.holes:
        return (), ()
    x0, y0, x1, y1 = eye.shape.outline.bounds()
    h0, _, h1, _ = eye.shape.outline.holes[0].bounds()
    hole, middle = h1 - h0, (h0 + h1) / 2.0
    plate = LugPlate(
        width=y1 - y0, thickness=eye.shape.thickness, hole=hole, pin=0.9 * hole, edge=x1 - middle, height=middle - x0
    )
    # Pulled straight out from the rail's end: along the plate, as a lug is pulled straight up.
    checks = lug_checks(eye.mark, "dragged by one eye", plate, PLATE_STEEL, pull, math.pi / 2.0)
    named = tuple(dataclasses.replace(c, name=c.name.replace("lug", "drag eye")) for c in checks)
    told = (
        f
        for c in named
        for f in finding_of(c, "lift.eye", pit.tape, "Drag it by both eyes with a bridle, or a thicker eye.")
    )
    return named, tuple(told)


# ---------------------------------------------------------------- forks


def _ways(pit: Pit, made: PitFrame, weight: MassPoint) -> Iterator[ForkWay]:
    """From the side where there are pockets; from either end under the cross members; from the front of one on end."""
    base = pit.base
    if pit.upright is not None:
        spread = max(p.x for p in made.forks) - min(p.x for p in made.forks)
        deep = base.rails_outside
        yield _way("from the front", deep / 2.0 - weight.y, 2.0 / 3.0 * deep, weight, spread)
        return
    if len(base.pockets) == 2:
        spread = abs(base.pockets[1] - base.pockets[0])
        deep, wide = base.rails_outside, max(base.rails_outside / 2.0, pit.vessel.outer_radius)
        shelf = any(p.group == "shelf" for p in pit.parts)
        centre = wide + weight.y if shelf else wide - weight.y  # a shelf keeps the truck off the working side
        yield _way("from the side", centre, 2.0 / 3.0 * deep + wide - deep / 2.0, weight, spread)
    if base.supports or base.axles or len(base.crosses) < 2:
        return
    length = base.rail_x1 - base.rail_x0
    spread = min(24.0 * INCH, 2.0 * base.rail_y - base.rail.width - FORK_WIDTH)
    first, last = ends(pit.firebox, pit.vessel, pit.stack)
    for end, rail, stands in (("fire", base.rail_x0, first), ("stack", base.rail_x1, last)):
        # The truck comes no nearer than what stands out over the rail's end: fire door, head or stack.
        out = max((stands - rail) * (-1.0 if end == "fire" else 1.0), 0.0)
        centre, reach = abs(weight.x - rail) + out, end_fork_reach(base, rail, weight.x) + out
        if centre - out < length and math.isfinite(reach):
            yield _way(f"from the {end} end", centre, reach, weight, spread)


def _way(way: str, centre: float, reach: float, weight: MassPoint, spread: float) -> ForkWay:
    return ForkWay(
        way=way, centre=centre, reach=reach, capacity=truck_capacity(USUAL_TRUCK, centre), mass=weight.mass,
        tilt=side_tip(spread + FORK_WIDTH, weight.z),
    )  # fmt: skip


def _fork_told(pit: Pit, ways: tuple[ForkWay, ...]) -> Iterator[Finding]:
    """What no usual truck can do, and pockets on cross members; an end that will not do is only told on the lift sheet."""
    base, vessel = pit.base, pit.vessel
    if ways and not any(w.fits for w in ways):
        best = max(ways, key=lambda w: w.capacity)
        yield from fork_findings(USUAL_TRUCK, best.mass, best.centre, best.reach, f"forks {best.way}", pit.tape)
    if len(base.pockets) == 2:
        a, b = sorted(vessel.station(x) for x in base.pockets)
        crosses = [(vessel.station(c.x), base.cross.width) for c in base.crosses]
        centre = vessel.station(pit.balance["empty"].centre[0])
        told = {f.code for f in pit.findings}
        for finding in pocket_findings((a, b), base.pocket.width, crosses, centre, pit.tape):
            if finding.code != "lift.uneven_forks" or "base.pockets_off" not in told:
                yield finding


def _shares(pit: Pit) -> tuple[float, float] | None:
    if len(pit.base.pockets) != 2:
        return None
    a, b = sorted(pit.base.pockets)
    return pocket_shares((a, b), pit.balance["empty"].centre[0])


def sling_paths(made: PitFrame) -> tuple[tuple[str, Vec, Vec], ...]:
    """Each sling as a line from its lug to the hook (or to the spreader's end over it)."""
    x, y, z = made.hook
    return tuple((p.name, (p.x, p.y, p.z), (x, p.y if made.spreader else y, z)) for p in made.lugs)
