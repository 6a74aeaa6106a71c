"""From a piece of bar to the saw: lengths, settings, which face to mark, roll or do not roll.

Every length of a cut list comes from here. A coped end is sawn straight first, through its edge marks (a pipe: square,
at its longest side), and coped to its template afterwards; lengths are of the piece as sawn. Tube is measured over
sharp corners.

Faces are named seen from the start of the bar, looking along it: top, bottom, left, right (its own z and y).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Literal

import numpy as np

from pitwright.errors import LayoutError
from pitwright.geometry.numeric import lowest, turning_values
from pitwright.geometry.planes import saw_setting
from pitwright.knives import end_knife
from pitwright.parts import Bar, BarCutting, CylinderCut, PlaneCut, Point2, unit
from pitwright.stock import Profile

Face = Literal["top", "bottom", "left", "right"]
EndKind = Literal["square", "mitre", "cope"]
PieceShape = Literal["square", "one end mitred", "trapezoid", "parallelogram"]
Turns = Literal["any", "end for end", "none"]
Reach = Callable[[float, float], float]

SQUARE_ENOUGH = 1e-9  # rise over run that counts as square


@dataclass(frozen=True, slots=True, kw_only=True)
class SawEnd:
    """How one end is sawn.

    mitre        off square [rad], positive: the long point is on the marked face, negative: on the face opposite
    tilt         of the blade [rad], positive: the long point is on the far side, the marked face up and the start on
                 your left
    cope_radius  of the round it is coped to afterwards [m], 0 where it is not
    cope_depth   how deep the cope goes in from the saw cut, along the bar [m]
    """

    kind: EndKind
    mitre: float
    tilt: float
    cope_radius: float
    cope_depth: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SawCut:
    """One piece at the saw [m].

    long_point   greatest length along the bar on any line of its outside; short_point the least
    tip_to_tip   what it takes of the stick, from its one end to its other (more than the long point where the long
                 points are on opposite faces)
    start, finish  the two ends, `start` on your left
    face         the face to mark: the one with the long point
    face_size    section size from the marked face to the face opposite [m]
    shape        trapezoid: both long points on one face; parallelogram: on opposite faces
    roll         roll the bar half round between the cuts (a saw that swings one way only)
    turns        ways it may be turned in the stick and still be the same piece
    """

    long_point: float
    short_point: float
    tip_to_tip: float
    start: SawEnd
    finish: SawEnd
    face: Face
    face_size: float
    shape: PieceShape
    roll: bool
    turns: Turns


@dataclass(frozen=True, slots=True)
class _Sawn:
    """A plane x = at + dy y + dz z, and the cope behind it."""

    at: float
    dy: float
    dz: float
    cope_radius: float = 0.0
    cope_depth: float = 0.0

    def reach(self, y: float, z: float) -> float:
        return self.at + self.dy * y + self.dz * z


def saw_cut(bar: Bar) -> SawCut:
    """The saw's figures of a bar.

    Raises LayoutError where its ends cross inside it or run along it.
    """
    start, finish = _sawn(bar.start, -1, bar.profile), _sawn(bar.finish, 1, bar.profile)
    # How much longer the piece gets per metre towards left and top, at each end.
    longer = ((-start.dy, -start.dz), (finish.dy, finish.dz))
    upright = any(abs(z) > SQUARE_ENOUGH for _, z in longer) or all(abs(y) <= SQUARE_ENOUGH for y, _ in longer)
    along, side = (1, 0) if upright else (0, 1)
    both = longer[0][along] + longer[1][along]
    sign = math.copysign(1.0, both if abs(both) > SQUARE_ENOUGH else longer[0][along])
    face: Face = ("top" if sign > 0.0 else "bottom") if upright else ("left" if sign > 0.0 else "right")
    away = sign if upright else -sign  # the far side is the marked face's direction x the bar's
    ends = [
        _end(s, g[along] * sign, g[side] * away, cut)
        for s, g, cut in zip((start, finish), longer, (bar.start, bar.finish))
    ]
    lengths = _extremes(bar.profile, finish.at - start.at, finish.dy - start.dy, finish.dz - start.dz)
    _, high = _extremes(bar.profile, finish.at, finish.dy, finish.dz)
    low, _ = _extremes(bar.profile, start.at, start.dy, start.dz)
    if not lengths[0] > 0.0:
        raise LayoutError(
            "cannot be cut: the two end cuts cross inside the piece",
            field="bar",
            value=lengths[0],
            allowed="a shorter face longer than nothing",
            remedy="Make it longer or the angles smaller.",
        )
    product = ends[0].mitre * ends[1].mitre
    mitred = any(e.mitre or e.tilt for e in ends)
    shape: PieceShape = (
        "trapezoid" if product > 0.0 else "parallelogram" if product < 0.0 else "one end mitred" if mitred else "square"
    )
    return SawCut(
        long_point=lengths[1],
        short_point=lengths[0],
        tip_to_tip=high - low,
        start=ends[0],
        finish=ends[1],
        face=face,
        face_size=bar.profile.height if upright else bar.profile.width,
        shape=shape,
        roll=shape == "trapezoid",
        turns=_turns(bar.profile),
    )


def _turns(profile: Profile) -> Turns:
    if profile.kind == "channel":
        return "end for end"
    return "none" if profile.kind == "angle" else "any"


def _end(sawn: _Sawn, towards_face: float, away: float, cut: BarCutting) -> SawEnd:
    setting = saw_setting(unit((towards_face, away, 1.0)))
    mitre = setting.mitre if abs(towards_face) > SQUARE_ENOUGH else 0.0
    tilt = setting.tilt if abs(away) > SQUARE_ENOUGH else 0.0
    kind: EndKind = "cope" if not isinstance(cut, PlaneCut) else "mitre" if mitre or tilt else "square"
    return SawEnd(kind=kind, mitre=mitre, tilt=tilt, cope_radius=sawn.cope_radius, cope_depth=sawn.cope_depth)


def corners(profile: Profile) -> tuple[Point2, ...]:
    """Outside corners (y, z) of a section about its middle [m]; none where it is round."""
    b, h, t = profile.width / 2.0, profile.height / 2.0, profile.wall
    if profile.kind in ("pipe", "round"):
        return ()
    if profile.kind == "angle":
        return ((b, -h), (b, h), (b - t, h), (-b, -h + t), (-b, -h))
    return ((b, h), (-b, h), (-b, -h), (b, -h))


def _extremes(profile: Profile, at: float, dy: float, dz: float) -> tuple[float, float]:
    """Least and greatest of at + dy y + dz z over a section."""
    points = corners(profile)
    if not points:
        swing = profile.height / 2.0 * math.hypot(dy, dz)
        return at - swing, at + swing
    values = [at + dy * y + dz * z for y, z in points]
    return min(values), max(values)


def _sawn(cut: BarCutting, way: int, profile: Profile) -> _Sawn:
    if isinstance(cut, PlaneCut):
        nx, ny, nz = cut.normal
        if nx * way <= 1e-6:
            raise LayoutError(
                "cannot be cut: this end is cut lengthwise or faces the wrong way",
                field="bar",
                value=cut.normal,
                allowed="an end that crosses the bar",
                remedy="Turn the cut so that it crosses the bar.",
            )
        px, py, pz = cut.point
        return _Sawn(px + (ny * py + nz * pz) / nx, -ny / nx, -nz / nx)
    reach = _cope_reach(cut, way)
    points = corners(profile)
    if not points:
        r = profile.height / 2.0
        _, low, _, high = turning_values(lambda c: reach(r * math.cos(c), r * math.sin(c)))
        return _Sawn(high if way > 0 else low, 0.0, 0.0, cut.radius, high - low)
    dy, dz = _slopes(profile, reach)
    off = [reach(y, z) - dy * y - dz * z for y, z in points]
    at = max(off) if way > 0 else min(off)
    sawn = _Sawn(at, dy, dz, cut.radius)
    return _Sawn(at, dy, dz, cut.radius, _deepest(points, partial(_under, sawn, reach, way)))


def _slopes(profile: Profile, reach: Reach) -> tuple[float, float]:
    """Slopes of the saw cut through a cope's edge marks."""
    b, h = profile.width / 2.0, profile.height / 2.0
    left, right = reach(b, h) + reach(b, -h), reach(-b, h) + reach(-b, -h)
    top, bottom = reach(b, h) + reach(-b, h), reach(b, -h) + reach(-b, -h)
    return (left - right) / (4.0 * b), (top - bottom) / (4.0 * h)


def _under(sawn: _Sawn, reach: Reach, way: int, y: float, z: float) -> float:
    return way * (sawn.reach(y, z) - reach(y, z))


def _deepest(points: tuple[Point2, ...], under: Reach) -> float:
    """Deepest place of a cope along the section's outside [m]."""
    found = 0.0
    for (y0, z0), (y1, z1) in zip(points, points[1:] + points[:1]):

        def along(s: float, y0: float = y0, z0: float = z0, y1: float = y1, z1: float = z1) -> float:
            return -under(y0 + s * (y1 - y0), z0 + s * (z1 - z0))

        found = max(found, -lowest(along, 0.0, 1.0)[1])
    return found


def _cope_reach(cut: BarCutting, way: int) -> Reach:
    """Where lines along the bar stop on a round: closed form on a cylinder, by the same knife as the weights on a head."""
    if isinstance(cut, CylinderCut):
        ax, ay, az = unit(cut.axis)
        px, py, pz = cut.point
        across = 1.0 - ax * ax
        if across < 1e-8:
            raise LayoutError(
                "cannot be cut: the round runs along the bar",
                field="bar",
                value=cut.axis,
                allowed="a round that crosses the bar",
                remedy="Cut this end square.",
            )

        def reach(y: float, z: float) -> float:
            dy, dz = y - py, z - pz
            offset = dy * ay + dz * az
            middle = px + ax * offset / across
            half = cut.radius**2 - (dy * dy + dz * dz - offset * offset / across)
            return middle - way * math.sqrt(max(half, 0.0) / across)

        return reach
    knife = end_knife(cut, way)
    side = 0 if way > 0 else 1

    def met(y: float, z: float) -> float:
        return float(knife.taken(np.array([y]), np.array([z]))[side][0, 0])

    return met
