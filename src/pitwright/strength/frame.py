"""The frame: joints, members, supports, weights and cases, as plain inputs. `frame_solve` solves them.

    Joint     a point that moves and turns
    Beam      a straight member between two joints; its ends may stand off their joints on stiff arms (a leg meets the
              skin, not the vessel's centre line) and may turn against springs (a shell wall that rolls)
    Hold      a direction in which something may hold a joint: the floor and forks only push, slings only pull (their
              direction runs from lug to hook), a hitch does both
    Weight    a lump on a joint by a stiff arm (doors, heads, firebox, meat)
    Case      which holds are there, how far the floor lies under each, the acceleration, extra loads

World axes as everywhere: x along, y to the working side, z up. Small movements; elastic.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pitwright.errors import LayoutError
from pitwright.parts import Vec
from pitwright.strength.section import Section
from pitwright.strength.steel import SHEAR_STIFFNESS, STIFFNESS
from pitwright.tape import STANDARD_GRAVITY

STILL: Vec = (0.0, 0.0, -STANDARD_GRAVITY)
"""Acceleration of a pit at rest, as a field that pulls on weights [m/s2]."""

NO_ARM: Vec = (0.0, 0.0, 0.0)
STIFF: Vec = (math.inf, math.inf, math.inf)
"""End springs of a welded end: torsion, bending about x, bending about y [N m/rad]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """A joint and its place [m]."""

    name: str
    x: float
    y: float
    z: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Beam:
    """A straight member.

    piece                   mark of the piece it is part of
    area, ix, iy, j         section, x across and y upright [m2, m4]
    stiffness, shear_stiffness  E and G [Pa]
    mass_per_length         [kg/m]
    up                      a direction in the plane of its length and its section's upright axis
    arm_start, arm_end      from the joint to the member's end, stiff [m]
    spring_start, spring_end  turning springs at its ends: torsion, about x, about y [N m/rad]
    shear_area_x, shear_area_y  for shear movement; infinite: none [m2]
    """

    name: str
    piece: str
    start: str
    end: str
    area: float
    ix: float
    iy: float
    j: float
    mass_per_length: float = 0.0
    stiffness: float = STIFFNESS
    shear_stiffness: float = SHEAR_STIFFNESS
    up: Vec = (0.0, 0.0, 1.0)
    arm_start: Vec = NO_ARM
    arm_end: Vec = NO_ARM
    spring_start: Vec = STIFF
    spring_end: Vec = STIFF
    shear_area_x: float = math.inf
    shear_area_y: float = math.inf


def beam_of(name: str, piece: str, start: str, end: str, section: Section, **more: Vec | float) -> Beam:
    """A beam of a bar's section; more: any other field of `Beam`."""
    figures = {"area": section.area, "ix": section.ix, "iy": section.iy, "j": section.j}
    figures["mass_per_length"] = section.mass_per_length
    return Beam(name=name, piece=piece, start=start, end=end, **{**figures, **more})  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """Something that may hold a joint in one direction.

    direction   the way it pushes (or a sling pulls) the joint
    one_way     it can only push that way: floor, fork, sling
    give        how far it gives for a unit force: spring hanger, tyre, sling [m/N]
    arm         from the joint to where it holds, stiff (a caster under a rail, a lug on the skin) [m]
    """

    name: str
    joint: str
    direction: Vec
    one_way: bool = True
    give: float = 0.0
    arm: Vec = NO_ARM


@dataclass(frozen=True, slots=True, kw_only=True)
class Weight:
    """A lump of weight [kg] on a joint by a stiff arm [m]."""

    joint: str
    mass: float
    arm: Vec = NO_ARM


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """A force [N] and a moment [N m] on a joint."""

    joint: str
    force: Vec
    moment: Vec = NO_ARM


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One way the pit stands, hangs or rolls.

    holds   names of the holds that are there
    gaps    how far what holds lies away from a joint at first (a settled floor under a foot) [m]
    field   acceleration that pulls on every weight [m/s2]
    """

    name: str
    holds: tuple[str, ...]
    field: Vec = STILL
    gaps: Mapping[str, float] = dataclasses.field(default_factory=dict)
    loads: tuple[Load, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The whole frame. Raises LayoutError where names do not meet or a member has no length."""

    joints: tuple[Joint, ...]
    beams: tuple[Beam, ...]
    holds: tuple[Hold, ...]
    weights: tuple[Weight, ...] = ()

    def __post_init__(self) -> None:
        known = {j.name for j in self.joints}
        _once("joint", [j.name for j in self.joints])
        _once("member", [b.name for b in self.beams])
        _once("hold", [h.name for h in self.holds])
        for what, joint in (
            *(("member " + b.name, b.start) for b in self.beams),
            *(("member " + b.name, b.end) for b in self.beams),
            *(("hold " + h.name, h.joint) for h in self.holds),
            *(("weight", w.joint) for w in self.weights),
        ):
            if joint not in known:
                raise LayoutError(
                    f"{what} ends at no joint", field="joint", value=joint, allowed=", ".join(sorted(known))
                )
        for b in self.beams:
            sizes = (b.area, b.ix, b.iy, b.j, b.stiffness, b.shear_stiffness, b.shear_area_x, b.shear_area_y)
            if min(sizes) <= 0.0:
                raise LayoutError("a member's section must be over 0", field=b.name, value=min(sizes), allowed="over 0")
        for h in self.holds:
            if not math.hypot(*h.direction) > 0.0:
                raise LayoutError("a hold needs a direction", field=h.name, value=h.direction, allowed="not all 0")


def _once(what: str, names: Sequence[str]) -> None:
    seen: set[str] = set()
    for name in names:
        if name in seen:
            raise LayoutError(f"two of one name: {what} {name}", field=what, value=name, allowed="each name once")
        seen.add(name)
