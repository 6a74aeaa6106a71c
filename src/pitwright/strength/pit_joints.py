"""Where members meet a solved pit: welds and shell wall under legs, the shell beside its doors, spreading of the legs."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from pitwright.errors import LayoutError
from pitwright.findings import Finding
from pitwright.layout.model import LegLayout, LegSet, Pit
from pitwright.strength.check import Check, finding_of
from pitwright.strength.frame_report import Spot, opening, opening_checks, worst_racking
from pitwright.strength.frame_solve import CaseResult, Solved
from pitwright.strength.from_pit import PitFrame
from pitwright.strength.pit_patches import shell_patch
from pitwright.strength.shell import PatchLoad, ShellPatch, wall_check, wall_findings
from pitwright.strength.shell_section import shell_section
from pitwright.strength.spread import LeaningLeg
from pitwright.strength.steel import FOUND_STEEL, STIFFNESS
from pitwright.strength.welds import (
    GAP_FREE,
    WeldGroup,
    WeldLoad,
    box_group,
    least_leg,
    leg_for_gap,
    leg_needed,
    next_leg,
    round_group,
    usual_leg,
    weld_checks,
)
from pitwright.tape import INCH

Told = tuple[Check, list[Finding]]


def standing(solved: Solved) -> list[CaseResult]:
    """The cases in which something holds the pit up."""
    return [c for c in solved.cases.values() if c.stands]


def leg_joints(pit: Pit, made: PitFrame, solved: Solved) -> Iterator[Told]:
    """Weld and shell wall of every leg in its worst case; twins under one mark are told once, as the worst of them."""
    walls: dict[str, tuple[Check, ShellPatch, PatchLoad]] = {}
    welds: dict[tuple[str, str], tuple[Check, list[Finding]]] = {}
    if not standing(solved):
        return
    for leg_set in pit.leg_sets:
        for leg in leg_set.legs:
            name = f"leg {leg_set.name} {leg.side}"
            index = solved.beams.index(name)
            case = max(standing(solved), key=lambda c: float(np.abs(c.forces[index]).max()))
            row = case.forces[index][-1]
            load = WeldLoad(x=row[1], y=row[2], z=row[0], moment_x=row[4], moment_y=row[5], twist=row[3])
            for told in _leg_weld(pit, made, name, leg_set, leg, load, case.name):
                kind = (told[0].piece, told[0].name)
                if kind not in welds or told[0].ratio > welds[kind][0].ratio:
                    welds[kind] = told
            if leg_set.x < 0.0:
                continue
            patch = shell_patch(pit, leg_set, leg)
            push = PatchLoad(
                push=abs(float(row[0])) * math.cos(leg.top_cut), roll=abs(float(row[4])), pitch=abs(float(row[5]))
            )
            piece = made.members[name].piece
            check = wall_check(piece, case.name, patch, push, FOUND_STEEL)
            if piece not in walls or check.ratio > walls[piece][0].ratio:
                walls[piece] = (check, patch, push)
    yield from welds.values()
    for check, patch, push in walls.values():
        yield check, list(wall_findings(check, patch, push, FOUND_STEEL, pit.tape))


def _leg_weld(
    pit: Pit, made: PitFrame, name: str, leg_set: LegSet, leg: LegLayout, load: WeldLoad, case: str
) -> Iterator[Told]:
    """The fillet the weld list gives (the thinner wall's own size, its gap added), held to what the load asks."""
    profile, member = leg_set.profile, made.members[name]
    group: WeldGroup = (
        round_group(profile.height)
        if profile.kind == "pipe"
        else box_group(profile.width, profile.height / math.cos(leg.top_cut))
    )
    thinner = min(profile.wall, leg_set.pad_thickness or pit.vessel.wall)
    gap = leg.gap if leg.end == "straight" else 0.0
    run = usual_leg(thinner, gap)
    try:
        more = pit.tape.length(next_leg(leg_for_gap(max(leg_needed(group, load), least_leg(thinner)), gap)))
        ways = {
            "weld": f"Run a {more} fillet" + (", its gap counted in; or cope the leg." if gap > GAP_FREE else "."),
            "wall beside the weld": "A thicker wall or a larger leg: more weld alone does not help.",
            "weld size": f"Run a {more} fillet.",
        }
        for check in weld_checks(member.piece, case, group, load, run, thinner, member.steel, gap):
            yield check, list(finding_of(check, "stand.weld", pit.tape, ways[check.name]))
    except LayoutError:
        return  # a gap this wide is told by the leg's own finding: cope or recut


def shell_beside_doors(pit: Pit, solved: Solved) -> Iterator[Told]:
    """The shell that is left beside each door, in its worst case."""
    vessel = pit.vessel
    for door in pit.doors:
        section = shell_section(vessel.outer_radius, vessel.wall, abs(door.edge_clock - door.hinge_clock))
        clock = (door.edge_clock + door.hinge_clock) / 2.0
        worst: Check | None = None
        for i in _beams_of(pit, solved, door.x0, door.x1):
            for case in standing(solved):
                (check,) = opening_checks(
                    f"shell at {door.name}", case.name, section, vessel.outer_radius, clock, case.forces[i], FOUND_STEEL
                )
                if worst is None or check.ratio > worst.ratio:
                    worst = check
        if worst is not None:
            yield (
                worst,
                list(
                    finding_of(
                        worst, "stand.opening", pit.tape,
                        "Band the opening with bar all round, narrow the door, or put a leg set under its end.",
                    )
                ),
            )  # fmt: skip


def _beams_of(pit: Pit, solved: Solved, x0: float, x1: float) -> list[int]:
    """Vessel beams that lie within a stretch along the vessel: they are named in order from its own nought."""
    first = solved.places["vessel 0"]
    stations = [math.dist(first, solved.places[n]) for n in solved.joints if n.startswith("vessel ")]
    out = []
    for i, name in enumerate(solved.beams):
        if name.startswith("vessel "):
            k = int(name.split()[1])
            middle = (stations[k] + stations[k + 1]) / 2.0
            if x0 < middle < x1:
                out.append(i)
    return out


# ---------------------------------------------------------------- doors


def door_drift(pit: Pit, solved: Solved) -> dict[str, tuple[str, float]]:
    """How far each door opening racks, from the vessel beam's own movement: the worst case and by how much [m]."""
    out = {}
    for door in pit.doors:
        corners = [
            _spot(pit, solved, x, clock)
            for x, clock in (
                (door.x0, door.hinge_clock),
                (door.x1, door.hinge_clock),
                (door.x1, door.edge_clock),
                (door.x0, door.edge_clock),
            )
        ]
        out[door.name] = worst_racking(solved, (corners[0], corners[1], corners[2], corners[3]))
    return out


def _spot(pit: Pit, solved: Solved, x: float, clock: float) -> Spot:
    place, first = pit.vessel.skin(x, clock), solved.places["vessel 0"]
    name = min(
        (n for n in solved.joints if n.startswith("vessel ")), key=lambda n: abs(math.dist(first, solved.places[n]) - x)
    )
    near = solved.places[name]
    return Spot(joint=name, arm=(place[0] - near[0], place[1] - near[1], place[2] - near[2]), place=place)


# ---------------------------------------------------------------- spreading


def leaning_legs(pit: Pit, made: PitFrame, solved: Solved) -> dict[str, LeaningLeg]:
    """One leg of each set with what ties its foot, at its load on a true floor."""
    base, out = pit.base, {}
    crosses = sorted(c.x for c in base.crosses)
    case = solved.cases["true floor"]
    if not case.stands:
        return {}
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
            load=max(_down(solved, case, f"leg {leg_set.name} {side}") for side in ("working", "back")),
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


def _down(solved: Solved, case: CaseResult, leg: str) -> float:
    """What a leg sets down on its rail [N]: the upright part of its force at the foot."""
    i = solved.beams.index(leg)
    row, axes = case.forces[i][0], solved.axes[i]
    return float(-(row[0] * axes[0][2] + row[1] * axes[1][2] + row[2] * axes[2][2]))


def feet_opened(pit: Pit, made: PitFrame, solved: Solved) -> dict[str, float]:
    """How much the two feet of each leg set move apart, worst set, case by case [m]."""
    beams = {b.name: b for b in made.frame.beams}
    out: dict[str, float] = {}
    for case in standing(solved):
        most = 0.0
        for leg_set in pit.leg_sets:
            spots = []
            for side in ("working", "back"):
                beam = beams[f"leg {leg_set.name} {side}"]
                at, arm = solved.places[beam.start], beam.arm_start
                spots.append(Spot(joint=beam.start, arm=arm, place=(at[0] + arm[0], at[1] + arm[1], at[2] + arm[2])))
            most = max(most, opening(solved, case.name, spots[0], spots[1]), key=abs)
        out[case.name] = most
    return out
