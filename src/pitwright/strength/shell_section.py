"""The vessel as a beam: a thin round shell, whole or with a door cut out of it. Closed forms, exact in wall thickness
for area and bending, thin-wall for torsion and warping (Roark, table of thin sections: sector of a thin circular tube).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.errors import LayoutError


@dataclass(frozen=True, slots=True, kw_only=True)
class ShellSection:
    """A round shell with one opening of arc 2 alpha, its axes turned so that x is the axis of symmetry.

    area        [m2]
    offset      centroid from the vessel's centre, away from the opening [m]
    i_across    about the centroid, for bending that lifts and drops the opening's side (axis square to symmetry) [m4]
    i_along     about the axis of symmetry, for bending toward an edge of the opening [m4]
    torsion     Saint-Venant constant: closed 2 pi r3 t, open t3 x arc / 3 [m4]
    warping     warping constant [m6]; 0 of a closed shell
    shear_centre from the vessel's centre, away from the opening [m]
    s_edge      section modulus at the edges of the opening, s_back at the far side, for `i_across` [m3]
    """

    area: float
    offset: float
    i_across: float
    i_along: float
    torsion: float
    warping: float
    shear_centre: float
    s_edge: float
    s_back: float


def shell_section(outer_radius: float, wall: float, arc: float = 0.0) -> ShellSection:
    """Section of a shell with an opening of this arc [rad], 0 to under 2 pi."""
    if not 0.0 <= arc < 2.0 * math.pi:
        raise LayoutError("an opening cannot go right round", field="arc", value=arc, allowed="0 to under 360°")
    if not 0.0 < wall < outer_radius:
        raise LayoutError(
            "a wall must be thinner than the vessel", field="wall", value=wall, allowed=f"under {outer_radius}"
        )
    inner, mean = outer_radius - wall, outer_radius - wall / 2.0
    half = arc / 2.0  # alpha
    left = math.pi - half  # beta, half of what is left
    area = left * (outer_radius**2 - inner**2)
    first = 2.0 / 3.0 * (outer_radius**3 - inner**3) * math.sin(half)
    offset = first / area
    quartic = (outer_radius**4 - inner**4) / 4.0
    toward = quartic * (left + math.sin(2.0 * half) / 2.0)  # about the axis of symmetry
    away = quartic * (left - math.sin(2.0 * half) / 2.0)  # about the square axis through the centre
    across = away - area * offset**2
    if arc == 0.0:
        return ShellSection(
            area=area,
            offset=0.0,
            i_across=across,
            i_along=toward,
            torsion=2.0 * math.pi * mean**3 * wall,
            warping=0.0,
            shear_centre=0.0,
            s_edge=across / outer_radius,
            s_back=across / outer_radius,
        )
    bottom = left + math.sin(half) * math.cos(half)
    top = math.sin(half) + left * math.cos(half)
    # the opening's edge lies at cos(pi - beta') from the centre toward the opening
    reach = outer_radius * math.cos(half) + offset
    return ShellSection(
        area=area,
        offset=offset,
        i_across=across,
        i_along=toward,
        torsion=2.0 / 3.0 * wall**3 * mean * left,
        warping=2.0 / 3.0 * wall * mean**5 * (left**3 - 6.0 * top**2 / bottom),
        shear_centre=2.0 * mean * top / bottom,
        s_edge=across / max(abs(reach), abs(inner * math.cos(half) + offset)),
        s_back=across / (outer_radius - offset),
    )


def bending_about(section: ShellSection, clock: float) -> tuple[float, float, float]:
    """Second moments about the level axis (up and down bending), the upright axis (sideways), and their product [m4],
    for an opening centred at a clock from the top line [rad]."""
    mean = (section.i_across + section.i_along) / 2.0
    half = (section.i_across - section.i_along) / 2.0
    return mean + half * math.cos(2.0 * clock), mean - half * math.cos(2.0 * clock), half * math.sin(2.0 * clock)


def torsion_over(section: ShellSection, length: float, stiffness: float, shear_stiffness: float) -> float:
    """Torsion constant that acts over a door's length, warping held at both its ends [m4].

    Vlasov: J_eff = J k L / (k L - 2 tanh(k L / 2)), k2 = G J / (E Cw). A closed shell keeps its own constant.
    """
    if section.warping <= 0.0:
        return section.torsion
    ratio = length * math.sqrt(shear_stiffness * section.torsion / (stiffness * section.warping))
    if ratio < 1e-2:  # the series of x / (x - 2 tanh(x / 2)) about nought: 12 / x2 + 6 / 5
        return section.torsion * (12.0 / ratio**2 + 1.2)
    return section.torsion * ratio / (ratio - 2.0 * math.tanh(ratio / 2.0))
