"""Bars as members: allowable strength by AISC 360-16 (tension D2, compression E3 and E7, shear G, torsion H3, together H1).

Allowable strength design throughout: nominal over 1.67, tensile rupture over 2.0. Tube walls are the design walls.
Not covered here: twist buckling of open sections in compression (E4); single angles loaded through one leg (E5).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pitwright.errors import LayoutError
from pitwright.strength import bending
from pitwright.strength.bending import OMEGA, flat_width
from pitwright.strength.check import Check
from pitwright.strength.section import Section
from pitwright.strength.steel import Steel, hot

OMEGA_RUPTURE = 2.0
SLENDER_LIMIT = 200.0
"""Length over least radius of gyration a member in compression had better keep under (AISC 360 E2, user note)."""

SPECIFICATION = "AISC 360-16"


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """A bar between its joints.

    piece         its mark
    section       its size, see `Section`
    steel         its grade, cold
    length        joint to joint [m]
    k_x, k_y      effective length factors for buckling about x and y; a leaning leg that is fixed to the shell and
                  stands on a floor that does not hold it sideways sways: 2.0; between a rail and the shell: 1.2
    unbraced      length over which it can twist when bent, the same as `length` where 0 [m]
    temperature   steel temperature [K]
    """

    piece: str
    section: Section
    steel: Steel
    length: float
    k_x: float = 1.0
    k_y: float = 1.0
    unbraced: float = 0.0
    temperature: float = 293.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowable:
    """What a member may carry [N, N m]."""

    tension: float
    compression: float
    shear_x: float
    shear_y: float
    torsion: float
    moment_x: float
    moment_y: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Force:
    """Forces on a cut through a member: axial (tension positive), shears along the section's x and y [N]; torsion,
    moments about x (bends the height) and y [N m]."""

    axial: float
    shear_x: float = 0.0
    shear_y: float = 0.0
    torsion: float = 0.0
    moment_x: float = 0.0
    moment_y: float = 0.0


# ---------------------------------------------------------------- strengths


def buckling_stress(slenderness: float, steel: Steel) -> float:
    """Critical stress of a column [Pa] at a slenderness KL/r: E3-2, E3-3; the yield stress at nought."""
    fy = steel.yield_stress
    if slenderness <= 0.0:
        return fy
    elastic = math.pi**2 * steel.stiffness / slenderness**2
    return float(0.658 ** (fy / elastic)) * fy if fy / elastic <= 2.25 else 0.877 * elastic


def wall_limits(section: Section, steel: Steel) -> tuple[tuple[float, float], ...]:
    """Walls of a section in compression: (width over wall, limit above which it buckles first), Table B4.1a."""
    t, root = section.wall_design, math.sqrt(steel.stiffness / steel.yield_stress)
    if section.kind == "tube":
        return tuple((flat_width(side, t) / t, 1.40 * root) for side in (section.width, section.height))
    if section.kind == "pipe":
        return ((section.height / t, 0.11 * steel.stiffness / steel.yield_stress),)
    if section.kind == "angle":
        return tuple((side / t, 0.45 * root) for side in (section.width, section.height))
    if section.kind == "channel":
        deep, wide = max(section.height, section.width), min(section.height, section.width)
        return (((deep - 2.0 * section.flange) / t, 1.49 * root), (wide / section.flange, 0.56 * root))
    return ()


def effective_area(section: Section, steel: Steel, critical: float) -> float:
    """Area left when thin walls buckle first [m2], at a column stress [Pa]: E7-1 to E7-7."""
    area, t, fy = section.area, section.wall_design, steel.yield_stress
    limits = wall_limits(section, steel)
    if section.kind == "pipe":
        slender, limit = limits[0]
        ratio = steel.stiffness / (fy * slender)
        if slender >= 0.45 * steel.stiffness / fy:
            raise LayoutError(
                f"the wall of {section.designation} is too thin to be reckoned as a column",
                field=section.designation,
                value=slender,
                allowed=f"outside over wall under {0.45 * steel.stiffness / fy:.0f}",
                remedy="Take a thicker wall.",
            )
        return area if slender <= limit else (0.038 * ratio + 2.0 / 3.0) * area
    for number, (slender, limit) in enumerate(limits):
        if slender <= limit * math.sqrt(fy / critical):
            continue
        if section.kind == "tube":
            c1, c2, copies, wall = 0.20, 1.38, 2, t
        elif section.kind == "channel" and number == 0:
            c1, c2, copies, wall = 0.18, 1.31, 1, t
        else:
            c1, c2, copies, wall = 0.22, 1.49, 2 if section.kind == "channel" else 1, section.flange
        ratio = math.sqrt((c2 * limit / slender) ** 2 * fy / critical)
        area -= copies * slender * wall * wall * (1.0 - ratio * (1.0 - c1 * ratio))
    return area


def slenderness(member: Member) -> float:
    """Effective length over radius of gyration, the worse of the two ways."""
    section = member.section
    if section.kind in ("angle", "channel"):
        return max(member.k_x, member.k_y) * member.length / section.r_least
    return max(member.k_x * member.length / section.rx, member.k_y * member.length / section.ry)


def compression(member: Member) -> float:
    """Allowable compression [N]: E3 with E7."""
    steel = hot(member.steel, member.temperature)
    critical = buckling_stress(slenderness(member), steel)
    return critical * effective_area(member.section, steel, critical) / OMEGA


def tension(member: Member) -> float:
    """Allowable tension [N]: yield D2-1, rupture D2-2 of the whole section (welded all round, U = 1)."""
    steel = hot(member.steel, member.temperature)
    area = member.section.area
    return min(steel.yield_stress * area / OMEGA, steel.tensile * area / OMEGA_RUPTURE)


def shears(section: Section, steel: Steel) -> tuple[float, float]:
    """Allowable shear along x and y [N]: G4 tube, G5 pipe, G2 channel, G3 angle; 0.6 Fy A of a solid bar."""
    t, fy, e = section.wall_design, steel.yield_stress, steel.stiffness
    if section.kind == "pipe":
        stress = min(0.6 * fy, 0.78 * e / (section.height / t) ** 1.5)
        return (stress * section.area / 2.0 / OMEGA,) * 2
    if section.kind == "tube":
        walls = [(flat_width(side, t), 2.0, t, 5.0) for side in (section.width, section.height)]
    elif section.kind == "angle":
        walls = [(side, 1.0, t, 1.2) for side in (section.width, section.height)]
    elif section.kind == "channel":
        web = (max(section.height, section.width), 1.0, t, 5.34)
        flange = (min(section.height, section.width), 2.0, section.flange, 1.2)
        walls = [flange, web] if section.height >= section.width else [web, flange]
    else:
        return (0.6 * fy * section.area / OMEGA,) * 2
    out = []
    for width, copies, wall, kv in walls:
        slender, limit = width / wall, math.sqrt(kv * e / fy)
        if slender <= 1.10 * limit:
            share = 1.0
        elif slender <= 1.37 * limit:
            share = 1.10 * limit / slender
        else:
            share = 1.51 * kv * e / (slender**2 * fy)
        out.append(0.6 * fy * copies * width * wall * share / OMEGA)
    return out[0], out[1]


def torsion(section: Section, steel: Steel, length: float) -> float:
    """Allowable torsion [N m]: H3-1 to H3-5 of tube and pipe; open and solid bars by 0.6 Fy J / thickness."""
    t, fy, e = section.wall_design, steel.yield_stress, steel.stiffness
    if section.kind == "pipe":
        slender = section.height / t
        stress = float(0.60 * e / slender**1.5)
        if length > 0.0:
            stress = max(stress, 1.23 * e / (math.sqrt(length / section.height) * slender**1.25))
        return min(stress, 0.6 * fy) * math.pi * (section.height - t) ** 2 * t / 2.0 / OMEGA
    if section.kind == "tube":
        constant = 2.0 * (section.width - t) * (section.height - t) * t - 4.5 * (4.0 - math.pi) * t**3
        slender = flat_width(max(section.width, section.height), t) / t
        root = math.sqrt(e / fy)
        stress = 0.6 * fy
        if slender > 3.07 * root:
            stress = 0.458 * math.pi**2 * e / slender**2
        elif slender > 2.45 * root:
            stress *= 2.45 * root / slender
        return stress * constant / OMEGA
    thick = section.height / 2.0 if section.kind == "round" else max(t, section.flange)
    return 0.6 * fy * section.j / thick / OMEGA


def allowable(member: Member) -> Allowable:
    """Everything a member may carry at its temperature."""
    steel = hot(member.steel, member.temperature)
    moment_x, moment_y = bending.moments(member.section, steel, member.unbraced or member.length)
    shear_x, shear_y = shears(member.section, steel)
    return Allowable(
        tension=tension(member),
        compression=compression(member),
        shear_x=shear_x,
        shear_y=shear_y,
        torsion=torsion(member.section, steel, member.length),
        moment_x=moment_x,
        moment_y=moment_y,
    )


# ---------------------------------------------------------------- together


def interaction(limits: Allowable, forces: NDArray[np.float64], *, round_section: bool = False) -> NDArray[np.float64]:
    """Ratio of every row of forces (axial, shear x, shear y, torsion, moment x, moment y along the last axis).

    H1-1 with axial force and bending; H3-6 as well where torsion is over a fifth of what is allowed. A round section
    adds its two moments and its two shears as arrows.
    """
    axial, torque = forces[..., 0], np.abs(forces[..., 3])
    p = np.where(axial > 0.0, axial / limits.tension, -axial / limits.compression)
    mx, my = np.abs(forces[..., 4]) / limits.moment_x, np.abs(forces[..., 5]) / limits.moment_y
    vx, vy = np.abs(forces[..., 1]) / limits.shear_x, np.abs(forces[..., 2]) / limits.shear_y
    m = np.hypot(mx, my) if round_section else mx + my
    v = np.hypot(vx, vy) if round_section else np.maximum(vx, vy)
    together = np.where(p >= 0.2, p + 8.0 / 9.0 * m, p / 2.0 + m)
    t = torque / limits.torsion
    twisted = p + m + (v + t) ** 2
    return np.maximum(np.maximum(together, v), np.maximum(t, np.where(t > 0.2, twisted, 0.0)))


def member_checks(member: Member, case: str, forces: Sequence[Force]) -> tuple[Check, ...]:
    """The strength checks of a member in one case, each at its worst cut; slenderness last where it is pressed."""
    if not forces:
        return ()
    limits = allowable(member)
    rows = np.array([(f.axial, f.shear_x, f.shear_y, f.torsion, f.moment_x, f.moment_y) for f in forces])
    return checks_of(member, limits, case, rows)


def checks_of(member: Member, limits: Allowable, case: str, rows: NDArray[np.float64]) -> tuple[Check, ...]:
    """As `member_checks`, from rows of forces and the strengths already worked out."""
    is_round = member.section.kind in ("pipe", "round")
    ratio = float(np.max(interaction(limits, rows, round_section=is_round)))
    pull, push = float(np.max(rows[:, 0])), float(-np.min(rows[:, 0]))

    def check(name: str, demand: float, capacity: float, measure: str, equation: str) -> Check:
        return Check(
            name=name,
            piece=member.piece,
            case=case,
            demand=demand,
            capacity=capacity,
            measure=measure,  # type: ignore[arg-type]
            equation=equation,
            source=f"{SPECIFICATION}, allowable strength",
        )

    out = []
    if pull > 0.0:
        out.append(check("pull", pull, limits.tension, "force", "AISC 360-16 D2"))
    if push > 0.0:
        out.append(check("push", push, limits.compression, "force", "AISC 360-16 E3, E7"))
    bent = bending.equation(member.section.kind)
    out += [
        check("bending", float(np.max(np.abs(rows[:, 4]))), limits.moment_x, "moment", bent),
        check("bending sideways", float(np.max(np.abs(rows[:, 5]))), limits.moment_y, "moment", bent),
        check("all together", ratio, 1.0, "figure", "AISC 360-16 H1-1, H3-6"),
    ]
    if push > 0.01 * limits.compression:
        out.append(check("slenderness", slenderness(member), SLENDER_LIMIT, "figure", "KL/r, AISC 360-16 E2 note"))
    return tuple(out)
