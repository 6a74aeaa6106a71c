"""How a pit stands, lifts and is dragged: every check of one solved pit, gathered with what mends it."""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from pitwright.errors import LayoutError
from pitwright.findings import Finding, worst_first
from pitwright.layout.model import Pit
from pitwright.masses import Balance, mass_of
from pitwright.strength.check import Check, finding_of, worst_by_piece
from pitwright.strength.floor import floor_checks, floor_findings
from pitwright.strength.forks import Truck, pocket_shares, truck_check
from pitwright.strength.frame_report import (
    ENGINEER,
    Ratios,
    Spot,
    door_findings,
    fallen_findings,
    member_findings,
    opening,
    ratios,
    worst_checks,
)
from pitwright.strength.frame_solve import Solved
from pitwright.strength.from_pit import PitFrame, pit_frame, shell_patch
from pitwright.strength.lifting import CAUTION as LIFT_CAUTION
from pitwright.strength.lifting import Lug, Sling, hang, sling_findings, tilt_with_equal
from pitwright.strength.shell import PatchLoad, wall_check, wall_findings
from pitwright.strength.spread import CASES, LeaningLeg, Spread, spread_findings, spreads
from pitwright.strength.stability import (
    Footing,
    MassPoint,
    Side,
    Slide,
    push_to_tip,
    sides,
    slide_findings,
    slides_out,
    tip_checks,
    tip_findings,
    wind_speed_to_tip,
)
from pitwright.strength.steel import FOUND_STEEL, STIFFNESS
from pitwright.strength.welds import WeldLoad, box_group, leg_needed, round_group, weld_checks
from pitwright.tape import INCH, LB, STANDARD_GRAVITY

GROUND = "packed gravel"
PUSH_HEIGHT = 34.0 * INCH  # a person's push at the door handle (common practice, no source)
USUAL_TRUCK = Truck(capacity=5000.0 * LB)


@dataclass(frozen=True, slots=True, kw_only=True)
class TipState:
    """How one state of loading stands: its least tip angle and the side it would go over."""

    state: str
    weight: MassPoint
    side: Side
    push: float
    wind: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StandReport:
    """Everything about standing, lifting and dragging one pit.

    made       the frame, its points of support and its cases
    reactions  case -> foot, fork or sling -> force [N]
    opened     case -> how much the feet of the worst leg set move apart [m]
    slings     from a hook over the empty pit's centre of gravity; tilt: with two equal slings [rad]
    shares     of the weight on each fork
    not_made   checks that were not made, in the shop's words
    """

    state: str
    made: PitFrame
    ratios: Ratios
    checks: tuple[Check, ...]
    reactions: Mapping[str, Mapping[str, float]]
    opened: Mapping[str, float]
    tips: tuple[TipState, ...]
    slides: tuple[float, ...]
    spreads: Mapping[str, tuple[Spread, ...]]
    slings: tuple[Sling, ...]
    tilt: float
    shares: tuple[float, float] | None
    findings: tuple[Finding, ...]
    not_made: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def worst(self) -> float:
        """The highest ratio of all checks; over 1 the pack says so on its cover."""
        return max((c.ratio for c in self.checks), default=0.0)


_KEPT = 8
_reports: OrderedDict[tuple[int, str], tuple[Pit, StandReport]] = OrderedDict()


def stand(pit: Pit, state: str = "loaded") -> StandReport:
    """All checks of a pit that stands on a skid; the last few pits' reports are kept."""
    key = (id(pit), state)
    held = _reports.get(key)
    if held is not None and held[0] is pit:
        return held[1]
    report = _stand(pit, state)
    _reports[key] = (pit, report)
    if len(_reports) > _KEPT:
        _reports.popitem(last=False)
    return report


def _stand(pit: Pit, state: str) -> StandReport:
    made = pit_frame(pit, state)
    solved = made.ready.solve(made.cases)
    found = ratios(solved, made.members)
    members = worst_checks(solved, made.members, found)
    findings: list[Finding] = [
        *member_findings(members, made.members, pit.tape),
        *fallen_findings(solved),
        *_doors(pit, made, solved),
    ]
    checks = list(members)
    for check, extra in _joints(pit, made, solved):
        checks.append(check)
        findings += extra
    feet = [Footing(name=f.name, x=f.x, y=f.y) for f in made.feet]
    states = [(name, _point(b)) for name, b in pit.balance.items()]
    checks += tip_checks(feet, states)
    findings += tip_findings(feet, states, pit.tape)
    slides = _slides(pit, feet)
    findings += slide_findings(slides, pit.tape)
    leaning = _leaning(pit, made, solved)
    for leg in leaning.values():
        findings += spread_findings(leg, pit.vessel.wall, any(s.pad_thickness for s in pit.leg_sets), pit.tape)
    slings, tilt = _slings(pit, made)
    findings += sling_findings(slings, pit.tape)
    findings += _slings_on_shell(pit, made)
    checks.append(
        truck_check(USUAL_TRUCK, pit.balance["empty"].mass, pit.base.rails_outside / 2.0, "forks from the side")
    )
    bearing = [(f.name, solved.cases["true floor"].reactions.get(f.name, 0.0)) for f in made.feet]
    area = pit.base.rail.width * pit.base.rail.width * 4.0
    checks += floor_checks(bearing, area, GROUND, f"on {GROUND}")
    findings += floor_findings(bearing, area, GROUND, pit.tape)
    return StandReport(
        state=state,
        made=made,
        ratios=found,
        checks=worst_by_piece(checks),
        reactions={c.name: dict(c.reactions) for c in solved.cases.values()},
        opened=_opened(pit, made, solved),
        tips=tuple(_tip(pit, feet, name, point) for name, point in states),
        slides=slides,
        spreads={name: spreads(leg, CASES) for name, leg in leaning.items()},
        slings=slings,
        tilt=tilt,
        shares=_shares(pit),
        findings=worst_first(findings),
        not_made=NOT_MADE,
        cautions=(LIFT_CAUTION, ENGINEER),
    )


NOT_MADE = (
    "tube walls where tubes meet tubes (AISC 360 chapter K)",
    "stress in the corners of door and stack openings",
    "fatigue on the road",
    "earthquake",
)


def _point(balance: Balance) -> MassPoint:
    x, y, z = balance.centre
    return MassPoint(mass=balance.mass, x=x, y=y, z=z)


def _tip(pit: Pit, feet: list[Footing], state: str, weight: MassPoint) -> TipState:
    side = min(sides(feet, weight), key=lambda s: s.angle)
    face = pit.vessel.length * 2.0 * pit.vessel.outer_radius
    return TipState(
        state=state,
        weight=weight,
        side=side,
        push=push_to_tip(side, weight, PUSH_HEIGHT),
        wind=wind_speed_to_tip(side, weight, face, pit.vessel.centre_z),
    )


def _slides(pit: Pit, feet: list[Footing]) -> tuple[float, ...]:
    out = []
    wanted = min(pit.grates.meat_wanted or pit.grates.meat_capacity, pit.grates.meat_capacity)
    for level in pit.grates.levels:
        if level.slides:
            own = sum(mass_of(p).mass * p.quantity for p in pit.parts if p.moving == level.name)
            meat = wanted * level.area / pit.grates.area
            out += [Slide(own=own / level.panels, meat=meat / level.panels, travel=level.travel)] * level.panels
    empty, opened = pit.balance["empty"], pit.balance["doors open"]
    doors = (opened.centre[1] * opened.mass - empty.centre[1] * empty.mass) * STANDARD_GRAVITY
    return slides_out(feet, _point(empty), out, max(doors, 0.0))


def _doors(pit: Pit, made: PitFrame, solved: Solved) -> Iterator[Finding]:
    """How far each door opening racks, from the vessel beam's own movement."""
    joints = {j.name: j for j in made.frame.joints}
    for door in pit.doors:
        corners = []
        for x, clock in (
            (door.x0, door.hinge_clock),
            (door.x1, door.hinge_clock),
            (door.x1, door.edge_clock),
            (door.x0, door.edge_clock),
        ):
            near = min((j for n, j in joints.items() if n.startswith("vessel")), key=lambda j: abs(j.x - x))
            place = pit.vessel.skin(x, clock)
            corners.append(Spot(joint=near.name, arm=(x - near.x, place[1] - near.y, place[2] - near.z), place=place))
        yield from door_findings(solved, door.name, (corners[0], corners[1], corners[2], corners[3]), pit.tape)


def _joints(pit: Pit, made: PitFrame, solved: Solved) -> Iterator[tuple[Check, list[Finding]]]:
    """Weld and shell wall of every leg in its worst case."""
    for leg_set in pit.leg_sets:
        for leg in leg_set.legs:
            name = f"leg {leg_set.name} {leg.side}"
            index = solved.beams.index(name)
            member = made.members[name]
            standing = [c for c in solved.cases.values() if c.stands]
            case = max(standing, key=lambda c: float(np.abs(c.forces[index]).max()))
            row = case.forces[index][-1]
            load = WeldLoad(x=row[1], y=row[2], z=row[0], moment_x=row[4], moment_y=row[5], twist=row[3])
            profile = leg_set.profile
            group = (
                round_group(profile.height)
                if profile.kind == "pipe"
                else box_group(profile.width, profile.height / math.cos(leg.top_cut))
            )
            seat = leg_set.pad_thickness or pit.vessel.wall
            thinner = min(profile.wall, seat)
            need = max(leg_needed(group, load), thinner)
            gap = leg.gap if leg.end == "straight" else 0.0
            try:
                for check in weld_checks(member.piece, case.name, group, load, need, thinner, member.steel, gap):
                    yield (
                        check,
                        list(finding_of(check, "stand.weld", pit.tape, "Run a larger fillet, or cope the leg.")),
                    )
            except LayoutError:
                pass  # a gap this wide is told by the leg's own finding: cope or recut
            if leg_set.x < 0.0:
                continue
            patch = shell_patch(pit, leg_set, leg)
            square = math.cos(leg.top_cut)
            push = PatchLoad(push=abs(float(row[0])) * square, roll=abs(float(row[4])), pitch=abs(float(row[5])))
            check = wall_check(member.piece, case.name, patch, push, FOUND_STEEL)
            yield check, list(wall_findings(check, patch, push, FOUND_STEEL, pit.tape))


def _leaning(pit: Pit, made: PitFrame, solved: Solved) -> dict[str, LeaningLeg]:
    """One leg of each set with what ties its foot, at its load on a true floor."""
    base, out = pit.base, {}
    crosses = sorted(c.x for c in base.crosses)
    floor = solved.cases["true floor"].reactions
    for leg_set in pit.leg_sets:
        if leg_set.name not in made.rolls:
            continue
        leg = leg_set.legs[0]
        near = sorted(abs(x - leg.x) for x in crosses)
        below, above = [x for x in crosses if x <= leg.x], [x for x in crosses if x > leg.x]
        bay = (above[0] - below[-1]) if below and above else math.inf
        if near and near[0] < INCH:  # a cross member right at the leg: its bay is the next one's
            bay = near[1] if len(near) > 1 else 1.0
        out[leg_set.name] = LeaningLeg(
            name=f"leg {leg_set.name}",
            load=max(floor.get(f"set {leg_set.name}, working", 0.0), floor.get(f"set {leg_set.name}, back", 0.0)),
            lean=leg.lean,
            height=leg.centre_length * math.cos(leg.true_lean),
            bend=STIFFNESS * leg_set.profile.ix,
            roll=made.rolls[leg_set.name],
            rail_bend=STIFFNESS * base.rail.iy,
            rail_twist=STIFFNESS / 2.6 * base.rail.j,
            bay=bay,
            tie=near[0] if near else math.inf,
            tie_stretch=STIFFNESS * base.cross.area / (2.0 * base.rail_y - base.rail.width),
        )
    return out


def _opened(pit: Pit, made: PitFrame, solved: Solved) -> dict[str, float]:
    """How much the two feet of each leg set move apart, worst set, case by case [m]."""
    joints = {j.name: j for j in made.frame.joints}
    beams = {b.name: b for b in made.frame.beams}
    out: dict[str, float] = {}
    for case in solved.cases.values():
        if not case.stands:
            continue
        most = 0.0
        for leg_set in pit.leg_sets:
            spots = []
            for side in ("working", "back"):
                beam = beams[f"leg {leg_set.name} {side}"]
                j = joints[beam.start]
                arm = beam.arm_start
                spots.append(Spot(joint=beam.start, arm=arm, place=(j.x + arm[0], j.y + arm[1], j.z + arm[2])))
            most = max(most, opening(solved, case.name, spots[0], spots[1]), key=abs)
        out[case.name] = most
    return out


def _slings(pit: Pit, made: PitFrame) -> tuple[tuple[Sling, ...], float]:
    """Four slings from a hook right over the empty pit's centre, and the tilt with one pair of equal ones."""
    weight = _point(pit.balance["empty"])
    lugs = [Lug(name=p.name, x=p.x, y=p.y, z=p.z) for p in made.lugs]
    above = made.hook[2] - lugs[0].z
    ends = sorted({round(u.x, 9) for u in lugs})
    pair = tuple(Lug(name=f"end {i + 1}", x=x, y=0.0, z=lugs[0].z) for i, x in enumerate(ends))
    length = math.hypot((ends[1] - ends[0]) / 2.0, above)
    return hang(lugs, weight, above), tilt_with_equal((pair[0], pair[1]), weight, length)


def _slings_on_shell(pit: Pit, made: PitFrame) -> Iterator[Finding]:
    """Whether a straight sling from rail to hook would bear on the vessel."""
    vessel, (hx, hy, hz) = pit.vessel, made.hook
    nearest = math.inf
    for lug in made.lugs:
        for t in np.linspace(0.0, 1.0, 101):
            if 0.0 <= lug.x + t * (hx - lug.x) <= vessel.length:
                y, z = lug.y + t * (hy - lug.y), lug.z + t * (hz - lug.z)
                nearest = min(nearest, math.hypot(y, z - vessel.centre_z))
    gap = nearest - vessel.outer_radius
    if gap < INCH:
        step = INCH if pit.tape.inch else 0.01
        wide = math.ceil(2.0 * (vessel.outer_radius + 2.0 * INCH) / step) * step
        yield Finding(
            code="lift.sling_on_shell",
            severity="note",
            text="Slings from the rails straight to one hook would bear on the shell and the doors.",
            pieces=("slings",),
            remedy=f"Use a spreader {pit.tape.length(wide)} wide or more over the shell; the slings then hang plumb "
            "in the end view and the lengths here are from the hook in the side view only.",
            source="straight lines from rail to hook",
            clearance=gap,
        )


def _shares(pit: Pit) -> tuple[float, float] | None:
    if len(pit.base.pockets) != 2:
        return None
    a, b = sorted(pit.base.pockets)
    return pocket_shares((a, b), pit.balance["empty"].centre[0])
