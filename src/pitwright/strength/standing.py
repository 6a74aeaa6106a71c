"""How a pit stands, lifts and travels: every check of one solved pit, gathered with what mends it."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from pitwright.findings import Finding, worst_first
from pitwright.layout.model import Pit
from pitwright.strength.check import Check, worst_by_piece
from pitwright.strength.frame_report import (
    ENGINEER,
    Ratios,
    door_findings,
    fallen_findings,
    member_findings,
    ratios,
    worst_checks,
)
from pitwright.strength.frame_solve import Solved
from pitwright.strength.from_pit import PitFrame
from pitwright.strength.from_upright import frame_of
from pitwright.strength.lifting import CAUTION as LIFT_CAUTION
from pitwright.strength.pit_doors import PINCH, DoorPull, door_pulls
from pitwright.strength.pit_engineer import engineer_findings
from pitwright.strength.pit_floor import OnFloor, floor_of
from pitwright.strength.pit_heat import Growth, Heat, firebox_tied, growth_of, heat_of, hot_legs
from pitwright.strength.pit_joints import (
    door_drift,
    feet_opened,
    leaning_legs,
    leg_joints,
    shell_beside_doors,
)
from pitwright.strength.pit_lifting import Lifting, drag_told, lifting_of
from pitwright.strength.pit_road import HandLift, Towing, hands_of, tied_down, towing_of
from pitwright.strength.spread import CASES, Spread, spread_findings, spreads
from pitwright.strength.towing import CAUTION as TOW_CAUTION
from pitwright.strength.towing import TieDowns


@dataclass(frozen=True, slots=True, kw_only=True)
class StandReport:
    """Everything about standing, lifting and travelling of one pit.

    made       the frame, its points of support and its cases; solved: the frame in all of them
    checks     the worst of each piece, worst piece first
    reactions  case -> foot, fork or sling -> force [N]; empty where it does not stand
    opened     case -> how much the feet of the worst leg set move apart [m]
    drift      of each door: the floor on which its opening goes most out of square, and by how much [m]
    growth     along the pit, hot; tied: what must not be welded solid, in words
    tie_downs  for the empty pit carried as cargo
    not_made   checks that were not made, in the shop's words
    """

    state: str
    made: PitFrame
    solved: Solved
    ratios: Ratios
    checks: tuple[Check, ...]
    reactions: Mapping[str, Mapping[str, float]]
    opened: Mapping[str, float]
    drift: Mapping[str, tuple[str, float]]
    floor: OnFloor
    spreads: Mapping[str, tuple[Spread, ...]]
    lifting: Lifting
    doors: tuple[DoorPull, ...]
    heat: Heat
    growth: Growth
    tied: str
    towing: Towing | None
    hands: HandLift | None
    tie_downs: TieDowns
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
    """All checks of a pit, lying or on end; the last few pits' reports are kept."""
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
    heat = heat_of(pit)
    made = frame_of(pit, state, hot_legs(pit, heat))
    solved = made.ready.solve(made.cases)
    found = ratios(solved, made.members)
    checks = list(worst_checks(solved, made.members, found))
    findings: list[Finding] = [
        *member_findings(solved, checks, made.members, pit.tape),
        *fallen_findings(solved),
    ]
    drift = door_drift(pit, solved)
    for door, (case, off) in drift.items():
        findings += door_findings(door, case, off, pit.tape)
    for check, told in (*leg_joints(pit, made, solved), *shell_beside_doors(pit, solved)):
        checks.append(check)
        findings += told
    leaning = leaning_legs(pit, made, solved)
    padded = any(s.pad_thickness for s in pit.leg_sets)
    for leg in leaning.values():
        findings += spread_findings(leg, pit.vessel.wall, padded, pit.tape)
    floor, lifting, growth = floor_of(pit, made, solved), lifting_of(pit, made), growth_of(pit, heat)
    towing, hands = towing_of(pit), hands_of(pit)
    ties, tie_check, told_ties = tied_down(pit, made.prints)
    for part in (floor, lifting, growth, towing, hands):
        if part is not None:
            checks += part.checks
            findings += part.findings
    checks.append(tie_check)
    findings += engineer_findings(pit, heat)
    dragged = solved.cases.get("dragged")
    eyes, told_eyes = drag_told(pit, dragged.reactions["drag"] if dragged is not None and dragged.stands else 0.0)
    checks += eyes
    findings += (*told_eyes, *told_ties)
    return StandReport(
        state=state,
        made=made,
        solved=solved,
        ratios=found,
        checks=worst_by_piece(checks),
        reactions={c.name: dict(c.reactions) if c.stands else {} for c in solved.cases.values()},
        opened=feet_opened(pit, made, solved),
        drift=drift,
        floor=floor,
        spreads={name: spreads(leg, CASES) for name, leg in leaning.items()},
        lifting=lifting,
        doors=door_pulls(pit),
        heat=heat,
        growth=growth,
        tied=firebox_tied(pit, growth),
        towing=towing,
        hands=hands,
        tie_downs=ties,
        findings=worst_first(findings),
        not_made=tuple(_not_made(pit)),
        cautions=tuple(_cautions(towing)),
    )


NOT_MADE = (
    "tube walls where tubes meet tubes (AISC 360 chapter K)",
    "stress in the corners of door and stack openings",
    "fatigue on the road",
    "earthquake",
)


def _not_made(pit: Pit) -> Iterator[str]:
    yield from NOT_MADE
    if any(s.x < 0.0 for s in pit.leg_sets):
        yield "the firebox wall where its own legs meet it"
    if pit.base.axles:
        yield "axles, springs, wheels and couplers: bought by their ratings"


def _cautions(towing: Towing | None) -> Iterator[str]:
    yield LIFT_CAUTION
    yield ENGINEER
    yield from PINCH
    if towing is not None:
        yield TOW_CAUTION
