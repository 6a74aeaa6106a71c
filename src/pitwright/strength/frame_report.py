"""What a solved frame says: the worst ratio of every member in every case, reactions, spread, doors that bind."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pitwright.findings import Finding
from pitwright.parts import Vec
from pitwright.stock import Profile
from pitwright.stock.tables import known_profiles
from pitwright.strength.bending import OMEGA
from pitwright.strength.check import CLOSE, Check
from pitwright.strength.frame_solve import Solved
from pitwright.strength.members import Member, allowable, checks_of, interaction
from pitwright.strength.shell_section import ShellSection
from pitwright.strength.steel import DAILY_LIMIT, Steel
from pitwright.tape import INCH, Tape

DOOR_ROOM = INCH / 8.0
"""Racking of a door opening over which the door binds in its seal band (common practice, no source)."""

ENGINEER = (
    "A licensed engineer must look at: any trailer for the road, lifting over people, a pit in a public place or on a "
    "building, a vessel with a corroded or cracked wall, anything with a ratio over 1 that is built all the same."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ratios:
    """Demand over capacity of every checked member in every case: rows cases, columns members."""

    cases: tuple[str, ...]
    beams: tuple[str, ...]
    pieces: tuple[str, ...]
    table: NDArray[np.float64]

    def worst(self) -> tuple[float, str, str]:
        """The highest ratio, its case and its piece; 0 of none."""
        if self.table.size == 0:
            return 0.0, "", ""
        case, beam = np.unravel_index(int(np.argmax(self.table)), self.table.shape)
        return float(self.table[case, beam]), self.cases[int(case)], self.pieces[int(beam)]


def ratios(solved: Solved, members: Mapping[str, Member]) -> Ratios:
    """Interaction ratio of each beam that has a member behind it (by beam name), worst cut, in every case that stands."""
    names = tuple(n for n in solved.beams if n in members)
    standing = [c for c in solved.cases.values() if c.stands]
    table = np.zeros((len(standing), len(names)))
    if standing and names:
        forces = np.stack([c.forces for c in standing])
        for column, name in enumerate(names):
            member = members[name]
            round_section = member.section.kind in ("pipe", "round")
            rows = forces[:, solved.beams.index(name)]
            table[:, column] = interaction(allowable(member), rows, round_section=round_section).max(axis=1)
    return Ratios(
        cases=tuple(c.name for c in standing),
        beams=names,
        pieces=tuple(members[n].piece for n in names),
        table=table,
    )


def worst_checks(solved: Solved, members: Mapping[str, Member], found: Ratios) -> tuple[Check, ...]:
    """All checks of each piece, in its own worst case and beam."""
    out: list[Check] = []
    if not found.cases:  # it stands on nothing, which is told by itself
        return ()
    for piece in dict.fromkeys(found.pieces):
        columns = [i for i, p in enumerate(found.pieces) if p == piece]
        case, column = np.unravel_index(int(np.argmax(found.table[:, columns])), (len(found.cases), len(columns)))
        beam = found.beams[columns[int(column)]]
        name = found.cases[int(case)]
        rows = solved.cases[name].forces[solved.beams.index(beam)]
        out += checks_of(members[beam], allowable(members[beam]), name, rows)
    return tuple(out)


ROOM = 0.65
"""Ratio a size is offered for: a stiffer bar draws more of the load to itself than the forces it is sized by show."""


def heavier(solved: Solved, members: Mapping[str, Member], piece: str, least: float = ROOM) -> str:
    """The lightest size of the same kind that carries a piece's forces with ease, in all cases; "" where none does.

    Thicker walls of the same outside come first, then larger sizes by weight. The forces are those of the size there is.
    """
    names = [n for n in members if members[n].piece == piece and n in solved.beams]
    here = members[names[0]]
    size = here.section
    known = [p for p in known_profiles() if p.kind == size.kind and p.mass_per_length > size.mass_per_length]
    if size.designation.endswith(f"mm {size.kind}"):
        known = [p for p in known if "mm" in p.designation]
    else:
        known = [p for p in known if "mm" not in p.designation]
    same = [p for p in known if abs(p.height - size.height) < 1e-4 and abs(p.width - size.width) < 1e-4]
    shape = size.height / size.width
    other = [
        p
        for p in known
        if p not in same
        and p.height >= size.height - 1e-4
        and p.wall_design >= 0.98 * size.wall_design
        and abs(p.height / p.width - shape) < 0.02
    ]
    rows = {n: np.stack([c.forces[solved.beams.index(n)] for c in solved.cases.values() if c.stands]) for n in names}
    for profile in (*sorted(same, key=_weight), *sorted(other, key=_weight)):
        worst = 0.0
        for name in names:
            member = dataclasses.replace(members[name], section=profile)
            round_section = profile.kind in ("pipe", "round")
            worst = max(worst, float(interaction(allowable(member), rows[name], round_section=round_section).max()))
            if worst > least:
                break
        if worst <= least:
            return profile.designation
    return ""


def _weight(profile: Profile) -> float:
    return profile.mass_per_length


def member_findings(solved: Solved, checks: Sequence[Check], members: Mapping[str, Member], tape: Tape) -> tuple[Finding, ...]:  # fmt: skip
    """Members over or near their limit with the size that carries it, and steel too hot for the figures."""
    out = []
    by_piece = {m.piece: m for m in members.values()}
    piece_of = {m.piece: name.split()[0] for name, m in members.items()}
    for check in checks:
        if check.ratio <= CLOSE or check.name not in ("all together", "slenderness"):
            continue
        size = by_piece[check.piece].section.designation
        slender = check.name == "slenderness"
        better = heavier(solved, members, check.piece)
        remedy = (f"{better} instead of {size}" if better else f"A larger size than {size}") + (
            ", or a cross member that shortens it." if piece_of.get(check.piece) == "rail" and not slender else "."
        )
        out.append(
            Finding(
                code="tow.member" if check.case.startswith("road") else "stand.member",
                severity="note" if slender else ("stop" if check.ratio > 1.0 else "warn"),
                text=f"{check.piece} ({size}), {check.case}: {check.name}, {check.text(tape)}.",
                pieces=(check.piece,),
                remedy=remedy,
                source=f"{check.equation}; {check.source}",
            )
        )
    for piece, member in by_piece.items():
        if member.temperature > DAILY_LIMIT:
            out.append(
                Finding(
                    code="stand.hot",
                    severity="warn",
                    text=f"{piece} runs at {tape.temperature(member.temperature)}: over "
                    f"{tape.temperature(DAILY_LIMIT)} steel creeps and scales, day by day, which no figure here covers.",
                    pieces=(piece,),
                    remedy="Move it out from under the fire, shield it with an air gap, or hang the firebox from the rails.",
                    source="EN 1993-1-2 Tables 3.1 and E.1 are for short times",
                )
            )
    return tuple(out)


def fallen_findings(solved: Solved) -> tuple[Finding, ...]:
    """Cases in which nothing holds the pit up, all in one."""
    fallen = [case.name for case in solved.cases.values() if not case.stands]
    if not fallen:
        return ()
    flat = "true floor" in fallen
    more = f", and {len(fallen) - 3} more" if len(fallen) > 3 else ""
    return (
        Finding(
            code="stand.falls",
            severity="stop" if flat else "unchecked",
            text=f"{'; '.join(fallen[:3])}{more}: what holds it cannot keep it level; it tips, swings or slides. "
            "Its bars are not checked there.",
            remedy="Bring the weight between the feet, forks or slings.",
            source="balance of forces",
        ),
    )


# ---------------------------------------------------------------- what moves


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A point of the pit: a joint, a stiff arm from it, and its place [m]."""

    joint: str
    arm: Vec
    place: Vec


def opening(solved: Solved, case: str, a: Spot, b: Spot) -> float:
    """How much the distance between two points grows [m]: of two feet, the spread of the rails."""
    moved = np.array(solved.shift(case, b.joint, b.arm)) - np.array(solved.shift(case, a.joint, a.arm))
    between = np.array(b.place) - np.array(a.place)
    return float(moved @ between / np.linalg.norm(between))


def racking(solved: Solved, case: str, corners: tuple[Spot, Spot, Spot, Spot]) -> float:
    """How much the two diagonals of a door opening come to differ [m]; corners in order round it."""
    a, b, c, d = corners
    return opening(solved, case, a, c) - opening(solved, case, b, d)


def worst_racking(solved: Solved, corners: tuple[Spot, Spot, Spot, Spot]) -> tuple[str, float]:
    """The case, of all but those on the road, in which a door opening goes most out of square, and by how much [m]."""
    standing = [c.name for c in solved.cases.values() if c.stands and not c.name.startswith("road")]
    found = [(name, abs(racking(solved, name, corners))) for name in standing]
    return max(found, key=lambda pair: pair[1], default=("", 0.0))


def door_findings(door: str, case: str, off: float, tape: Tape, room: float = DOOR_ROOM) -> tuple[Finding, ...]:
    """A door that would bind: its opening out of square by `off` in a case [m]."""
    if off <= room:
        return ()
    return (
        Finding(
            code="stand.door",
            severity="warn",
            text=f"{door}: its opening goes {tape.decimal(off)} out of square, {case}. The door binds.",
            pieces=(door,),
            remedy="Shim the feet until the diagonals agree, fit a band round the opening, or a cross member under it.",
            source="frame; room for it: common practice, no source",
        ),
    )


def opening_checks(
    piece: str,
    case: str,
    section: ShellSection,
    outer_radius: float,
    clock: float,
    rows: NDArray[np.float64],
    steel: Steel,
) -> tuple[Check, ...]:
    """Vessel stress where a door is cut out, at its worst cut, against Fy / 1.67; rows as `CaseResult.forces`.

    The frame's beam bends about its level and upright axes; here about the axes of what is left of the shell.
    """
    c, s = math.cos(clock), math.sin(clock)
    across = np.abs(rows[:, 4] * c + rows[:, 5] * s) / min(section.s_edge, section.s_back)
    along = np.abs(-rows[:, 4] * s + rows[:, 5] * c) / (section.i_along / outer_radius)
    stress = float(np.max(np.abs(rows[:, 0]) / section.area + across + along))
    return (
        Check(
            name="vessel beside the door",
            piece=piece,
            case=case,
            demand=stress,
            capacity=steel.yield_stress / OMEGA,
            measure="stress",
            equation="N/A + M/S of the shell that is left; Fy / 1.67",
            source="beam theory; the corners of the opening need a radius and a band, which this does not check",
        ),
    )
