"""Fillet welds: strength, least and greatest size, what a gap costs, and a weld group under any load.

AISC 360-16 J2 and J4, allowable strength (over 2.0); gap allowance by AWS D1.1 fit-up of fillet joints. The rise of
strength with the angle of pull (1 + 0.5 sin^1.5) is there but not used for tube ends, where the published tests say it
may be unsafe (McFadden, Sun and Packer, weld design for rectangular hollow sections).

A weld is only as good as its start, its root and the hand that ran it: none of that can be reckoned here.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pitwright.errors import LayoutError
from pitwright.strength.check import Check
from pitwright.strength.steel import Steel
from pitwright.tape import INCH, KSI

OMEGA_WELD = 2.0
ROOT_HALF = math.sqrt(0.5)
E70 = 70.0 * KSI
"""Tensile strength of E70 filler metal [Pa]."""

SIXTEENTH = INCH / 16.0
GAP_FREE = SIXTEENTH
"""Gap that costs nothing: 1/16 in (AWS D1.1)."""

GAP_MOST = 3.0 * SIXTEENTH
"""Gap above which the joint is fitted again: 3/16 in (AWS D1.1)."""

_J2 = "AISC 360-16 J2.4"
_LEAST = ((0.25, 2), (0.5, 3), (0.75, 4), (math.inf, 5))  # thinner part up to [in], least leg [1/16 in]


def fillet_strength(leg: float, filler: float = E70, angle: float = 0.0) -> float:
    """Allowable load by length of a fillet [N/m]: 0.60 FEXX (1 + 0.50 sin^1.5 angle) 0.707 leg / 2.0 (J2-4, J2-5).

    leg [m], filler: tensile strength of the filler [Pa], angle of the pull off the weld's run [rad].
    """
    return 0.60 * filler * (1.0 + 0.50 * float(abs(math.sin(angle)) ** 1.5)) * ROOT_HALF * leg / OMEGA_WELD


def beside_strength(thickness: float, steel: Steel) -> float:
    """Allowable shear by length of the plate beside a weld [N/m]: 0.60 Fu t / 2.0 (J4-4)."""
    return 0.60 * steel.tensile * thickness / OMEGA_WELD


def least_leg(thinner: float) -> float:
    """Least fillet leg for the thinner part joined [m]: AISC 360 Table J2.4."""
    if thinner <= 0.0:
        raise LayoutError("a plate must have a thickness", field="thickness", value=thinner, allowed="more than 0")
    inches = thinner / INCH
    for most, sixteenths in _LEAST:
        if inches <= most + 1e-6:
            return sixteenths * SIXTEENTH
    raise AssertionError("the table ends at infinity")


def greatest_leg(edge: float) -> float:
    """Greatest fillet leg along an edge of this thickness [m]: all of it under 1/4 in, else 1/16 in less (J2.2b)."""
    return edge if edge < 0.25 * INCH - 1e-9 else edge - SIXTEENTH


def leg_for_gap(leg: float, gap: float) -> float:
    """Leg to run so that a joint with a gap is as strong as a tight one [m]: gaps over 1/16 in are added.

    Raises LayoutError over 3/16 in: fit again or cope.
    """
    if gap <= GAP_FREE + 1e-12:
        return leg
    if gap > GAP_MOST + 1e-12:
        raise LayoutError(
            f"a gap of {gap / INCH:.3f} in ({gap * 1000:.1f} mm) is too wide for a fillet",
            field="gap",
            value=gap,
            allowed="up to 3/16 in (4.8 mm)",
            remedy="Cope the end or cut the piece again; do not fill it with rod or wire.",
        )
    return leg + gap


USUAL_LEG = 0.25 * INCH
"""A shop runs the wall's own size up to this (common practice, no source)."""


def usual_leg(thinner: float, gap: float = 0.0) -> float:
    """The fillet the shop runs for a thinner part [m]: its own size in whole 1/16 in up to 1/4, never under the least
    size, a gap over 1/16 in added. A gap too wide to weld is left out: it is told by itself."""
    usual = math.floor(min(thinner, USUAL_LEG) / SIXTEENTH + 1e-6) * SIXTEENTH
    leg = max(least_leg(thinner), usual)
    return leg_for_gap(leg, gap) if GAP_FREE < gap <= GAP_MOST else leg


def next_leg(leg: float) -> float:
    """The next 1/16 in up [m]."""
    return math.ceil(leg / SIXTEENTH - 1e-6) * SIXTEENTH


# ---------------------------------------------------------------- weld groups


@dataclass(frozen=True, slots=True, kw_only=True)
class WeldGroup:
    """Welds of one joint as lines in its plane, about their own centroid (x, y in the plane, z out of it).

    length      of all lines [m]
    ix, iy, ixy moments of the lines [m3]
    points      where the weld is reckoned [m, m], about the centroid
    """

    length: float
    ix: float
    iy: float
    ixy: float
    points: tuple[tuple[float, float], ...]

    @property
    def polar(self) -> float:
        """Polar moment of the lines [m3]."""
        return self.ix + self.iy


@dataclass(frozen=True, slots=True, kw_only=True)
class WeldLoad:
    """What a joint passes on at the weld's centroid: forces along x, y, z [N] and moments about them [N m]."""

    x: float = 0.0
    y: float = 0.0
    z: float = 0.0
    moment_x: float = 0.0
    moment_y: float = 0.0
    twist: float = 0.0


def weld_group(lines: Sequence[tuple[float, float, float, float]]) -> WeldGroup:
    """The group of straight welds (x0, y0, x1, y1) [m]."""
    at = np.array(lines, dtype=float).reshape(-1, 4)
    step = at[:, 2:] - at[:, :2]
    lengths = np.hypot(step[:, 0], step[:, 1])
    total = float(lengths.sum())
    if total <= 0.0:
        raise LayoutError("a weld group needs a length", field="welds", value=total, allowed="more than 0")
    middles = (at[:, :2] + at[:, 2:]) / 2.0
    centre = (lengths[:, None] * middles).sum(axis=0) / total
    arm = middles - centre
    xx = float((lengths * (step[:, 0] ** 2 / 12.0 + arm[:, 0] ** 2)).sum())
    yy = float((lengths * (step[:, 1] ** 2 / 12.0 + arm[:, 1] ** 2)).sum())
    xy = float((lengths * (step[:, 0] * step[:, 1] / 12.0 + arm[:, 0] * arm[:, 1])).sum())
    ends = np.vstack([at[:, :2], at[:, 2:]]) - centre
    return WeldGroup(length=total, ix=yy, iy=xx, ixy=xy, points=tuple((float(a), float(b)) for a, b in ends))


def box_group(width: float, height: float) -> WeldGroup:
    """Welds right round a tube of these sizes [m]; a slanted end gives the longer side of its face."""
    x, y = width / 2.0, height / 2.0
    return weld_group([(-x, -y, x, -y), (x, -y, x, y), (x, y, -x, y), (-x, y, -x, -y)])


def round_group(diameter: float) -> WeldGroup:
    """A weld right round a pipe [m]: pi d long, pi d^3 / 8 about either axis."""
    r = diameter / 2.0
    inertia = math.pi * r**3
    turn = [2.0 * math.pi * i / 72 for i in range(72)]
    points = tuple((r * math.cos(a), r * math.sin(a)) for a in turn)
    return WeldGroup(length=math.pi * diameter, ix=inertia, iy=inertia, ixy=0.0, points=points)


def _flows(group: WeldGroup, load: WeldLoad) -> NDArray[np.float64]:
    at = np.array(group.points)
    x, y = at[:, 0], at[:, 1]
    polar, bend = group.polar, group.ix * group.iy - group.ixy**2
    along_x = load.x / group.length - (load.twist * y / polar if polar > 0.0 else 0.0)
    along_y = load.y / group.length + (load.twist * x / polar if polar > 0.0 else 0.0)
    out = np.full_like(x, load.z / group.length)
    if load.moment_x or load.moment_y:
        if bend <= 1e-12 * group.polar**2:
            raise LayoutError(
                "one straight weld line cannot take bending across it",
                field="welds",
                value=group.length,
                allowed="welds on more than one side",
                remedy="Weld all round.",
            )
        a = (load.moment_x * group.iy + load.moment_y * group.ixy) / bend
        b = (load.moment_y * group.ix + load.moment_x * group.ixy) / bend
        out = out + a * y - b * x
    return np.sqrt(along_x**2 + along_y**2 + out**2)


def worst_flow(group: WeldGroup, load: WeldLoad) -> float:
    """Highest load by length in the group [N/m], elastic vector method (AISC Manual part 8)."""
    return float(np.max(_flows(group, load)))


def leg_needed(group: WeldGroup, load: WeldLoad, filler: float = E70) -> float:
    """Fillet leg the load asks for [m], before least sizes and gaps."""
    return worst_flow(group, load) / fillet_strength(1.0, filler)


def weld_checks(
    piece: str, case: str, group: WeldGroup, load: WeldLoad, leg: float, thinner: float, steel: Steel, gap: float = 0.0
) -> tuple[Check, ...]:
    """Strength of the fillet and of the wall beside it, and the least leg for the thinner part.

    leg: as run [m]; a gap over 1/16 in is taken off it first. thinner: the thinner part joined [m].
    """
    flow = worst_flow(group, load)
    left = leg if gap <= GAP_FREE + 1e-12 else max(leg - gap, 0.0)

    def check(name: str, demand: float, capacity: float, equation: str, *, size: bool = False) -> Check:
        return Check(
            name=name,
            piece=piece,
            case=case,
            demand=demand,
            capacity=capacity,
            measure="length" if size else "force",
            equation=equation,
            source="AISC 360-16, allowable strength; elastic vector method",
        )

    return (
        check("weld", flow * group.length, fillet_strength(left) * group.length, f"{_J2}: 0.60 FEXX 0.707 w / 2.0"),
        check(
            "wall beside the weld",
            flow * group.length,
            beside_strength(thinner, steel) * group.length,
            "AISC 360-16 J4.2: 0.60 Fu t / 2.0",
        ),
        check("weld size", least_leg(thinner), leg, "AISC 360-16 Table J2.4", size=True),
    )
