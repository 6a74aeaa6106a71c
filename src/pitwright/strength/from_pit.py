"""A solved pit on a skid as a frame: vessel beam, legs on stiff arms, rails, cross members, and every other weight.

The vessel is a beam along its centre line; where doors are cut out its section is what is left. A leg runs from the
rail's middle to the skin where it meets the shell, its top turning against the shell wall. A saddle is two struts from
its cross member to the quarter points of its contact. What is no beam hangs as a weight on the nearest joint, and the
sums are brought to the balance the pit itself tells.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from pitwright.layout.model import LegLayout, LegSet, Pit, SaddleLayout
from pitwright.masses import Balance, placed_mass
from pitwright.parts import Vec
from pitwright.stock import flat
from pitwright.strength import frame_cases
from pitwright.strength.frame import Beam, Case, Frame, Joint, Weight, beam_of
from pitwright.strength.frame_cases import FootPoint, LiftPoint
from pitwright.strength.members import Member
from pitwright.strength.shell import Band, ShellPatch, rolling_stiffness
from pitwright.strength.shell_section import bending_about, shell_section, torsion_over
from pitwright.strength.steel import SHEAR_STIFFNESS, STIFFNESS, TUBE_STEEL, steel_for

HOOK_UP = 2.4
"""A hook this far over the floor-side lifting points [m] (common practice, no source)."""
SIDES = (("working", 1.0), ("back", -1.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class PitFrame:
    """The frame of a pit, its points of support and lift, its cases, and the members behind its beams.

    rolls  stiffness of the shell wall under one leg of each set, with its band [N m/rad]
    """

    frame: Frame
    feet: tuple[FootPoint, ...]
    forks: tuple[LiftPoint, ...]
    lugs: tuple[LiftPoint, ...]
    cases: tuple[Case, ...]
    members: dict[str, Member]
    rolls: dict[str, Band]
    hook: Vec


def shell_patch(pit: Pit, leg_set: LegSet, leg: LegLayout) -> ShellPatch:
    """The skin under one leg (or under its pad)."""
    vessel = pit.vessel
    along = max(leg_set.profile.width, leg_set.pad_size if leg_set.pad_thickness else 0.0)
    around = max(leg_set.profile.height / math.cos(leg.top_cut), leg_set.pad_size if leg_set.pad_thickness else 0.0)
    return ShellPatch(
        radius=vessel.outer_radius - vessel.wall / 2.0,
        wall=vessel.wall,
        length=vessel.length,
        station=min(max(leg_set.x, along / 2.0), vessel.length - along / 2.0),
        along=along,
        around=around,
    )


def pit_frame(pit: Pit, state: str = "loaded") -> PitFrame:
    """The frame of a pit in one state of its balance."""
    return _Builder(pit, pit.balance[state]).build()


class _Builder:
    """Gathers joints, beams and weights of one pit."""

    def __init__(self, pit: Pit, balance: Balance):
        self.pit, self.balance = pit, balance
        self.joints: dict[str, Joint] = {}
        self.beams: list[Beam] = []
        self.members: dict[str, Member] = {}
        self.rolls: dict[str, Band] = {}
        self.stations = self._stations()
        self.along = self._along_rails()

    def _stations(self) -> list[float]:
        """Where the vessel beam has joints [m]."""
        pit = self.pit
        found = {0.0, pit.vessel.length}
        found |= {min(max(s.x, 0.0), pit.vessel.length) for s in pit.leg_sets}
        found |= {s.x for s in pit.saddles}
        for door in pit.doors:
            found |= {door.x0, door.x1}
        return _apart(found)

    def _along_rails(self) -> list[float]:
        """Where the rails have joints [m]."""
        base = self.pit.base
        found = {base.rail_x0, base.rail_x1, *(c.x for c in base.crosses), *base.pockets}
        found |= {leg.x for s in self.pit.leg_sets for leg in s.legs} | {s.x for s in self.pit.saddles}
        return _apart({min(max(x, base.rail_x0), base.rail_x1) for x in found})

    def _vessel_joint(self, x: float) -> str:
        i = min(range(len(self.stations)), key=lambda k: abs(self.stations[k] - x))
        return f"vessel {i}"

    def _rail_joint(self, side: str, x: float) -> str:
        i = min(range(len(self.along)), key=lambda k: abs(self.along[k] - x))
        return f"rail {side} {i}"

    def build(self) -> PitFrame:
        pit = self.pit
        for i, x in enumerate(self.stations):
            self._joint(f"vessel {i}", (x, 0.0, pit.vessel.centre_z))
        base = pit.base
        z = base.rail_top - base.rail.height / 2.0
        for side, out in SIDES:
            for i, x in enumerate(self.along):
                self._joint(f"rail {side} {i}", (x, out * base.rail_y, z))
        self._vessel_beams()
        self._rail_beams()
        for leg_set in pit.leg_sets:
            for leg in leg_set.legs:
                self._leg(leg_set, leg)
        for saddle in pit.saddles:
            self._saddle(saddle)
        feet = self._feet()
        forks = tuple(self._lift_points("fork", base.pockets))
        borne = [s.x for s in pit.leg_sets if s.x >= 0.0] or [s.x for s in pit.saddles]
        lugs = tuple(self._lift_points("sling", (min(borne), max(borne))))
        c = self.balance.centre
        hook = (c[0], c[1], z + HOOK_UP)
        hitch = self._rail_joint("working", base.rail_x1)
        frame = Frame(
            joints=tuple(self.joints.values()),
            beams=tuple(self.beams),
            holds=(
                *frame_cases.floor_holds(feet),
                *frame_cases.fork_holds(forks),
                *frame_cases.sling_holds(lugs, hook),
                *frame_cases.drag_holds(hitch, feet[0], (1.0, 0.0, 0.0)),
            ),
            weights=tuple(self._weights()),
        )
        cases = [*frame_cases.floor_cases(feet)]
        if forks:
            cases.append(frame_cases.fork_case("forks from the side", forks))
        cases += frame_cases.sling_cases(lugs)
        cases.append(frame_cases.dragged(frame, feet, (1.0, 0.0, 0.0)))
        return PitFrame(
            frame=frame,
            feet=feet,
            forks=forks,
            lugs=lugs,
            cases=tuple(cases),
            members=self.members,
            rolls=self.rolls,
            hook=hook,
        )

    def _joint(self, name: str, at: Vec) -> None:
        self.joints[name] = Joint(name=name, x=at[0], y=at[1], z=at[2])

    def _vessel_beams(self) -> None:
        vessel = self.pit.vessel
        whole = shell_section(vessel.outer_radius, vessel.wall)
        for i, (a, b) in enumerate(pairwise(self.stations)):
            middle = (a + b) / 2.0
            door = next((d for d in self.pit.doors if d.x0 < middle < d.x1), None)
            section, clock = whole, 0.0
            if door is not None:
                section = shell_section(vessel.outer_radius, vessel.wall, door.edge_clock - door.hinge_clock)
                clock = (door.edge_clock + door.hinge_clock) / 2.0
            up, across, _ = bending_about(section, clock)
            length = door.x1 - door.x0 if door is not None else b - a
            self.beams.append(
                Beam(
                    name=f"vessel {i}", piece="shell", start=f"vessel {i}", end=f"vessel {i + 1}", area=section.area,
                    ix=up, iy=across, j=torsion_over(section, length, STIFFNESS, SHEAR_STIFFNESS),
                    shear_area_x=section.area / 2.0, shear_area_y=section.area / 2.0,
                )
            )  # fmt: skip

    def _rail_beams(self) -> None:
        base = self.pit.base
        marks = {"rail": self._mark("rail"), "cross": self._mark("cross member")}
        reach = max(b - a for a, b in pairwise(sorted(c.x for c in base.crosses))) if len(base.crosses) > 1 else 0.0
        for side, _ in SIDES:
            for i, (a, b) in enumerate(pairwise(self.along)):
                name = f"rail {side} {i}"
                self.beams.append(beam_of(name, marks["rail"], f"rail {side} {i}", f"rail {side} {i + 1}", base.rail))
                self.members[name] = Member(
                    piece=marks["rail"], section=base.rail, steel=TUBE_STEEL, length=max(reach, b - a)
                )
        for i, cross in enumerate(base.crosses):
            name = f"cross {i}"
            self.beams.append(
                beam_of(name, marks["cross"], self._rail_joint("working", cross.x), self._rail_joint("back", cross.x), base.cross)
            )  # fmt: skip
            self.members[name] = Member(piece=marks["cross"], section=base.cross, steel=TUBE_STEEL, length=cross.length)

    def _mark(self, name: str) -> str:
        return next((p.mark for p in self.pit.parts if p.name.startswith(name) and p.group == "base"), name)

    def _leg(self, leg_set: LegSet, leg: LegLayout) -> None:
        pit, base = self.pit, self.pit.base
        out = 1.0 if leg.side == "working" else -1.0
        joint = self._rail_joint(leg.side, leg.x)
        top = self._vessel_joint(leg_set.x)
        seat = self.joints[top]
        rise = leg.centre_length * math.cos(leg.true_lean)
        tip = (leg_set.x, leg.foot_y - out * rise * math.tan(leg.lean), leg.foot_z + rise)
        foot = self.joints[joint]
        name = f"leg {leg_set.name} {leg.side}"
        piece = next(
            (p.mark for p in pit.parts if p.group == "legs" and p.name.startswith(f"leg, set {leg_set.name}")), name
        )
        roll: Band | None = None
        if leg_set.x >= 0.0:
            roll = rolling_stiffness(shell_patch(pit, leg_set, leg))
            self.rolls[leg_set.name] = roll
        self.beams.append(
            beam_of(
                name, piece, joint, top, leg_set.profile, up=(1.0, 0.0, 0.0),
                arm_start=(leg.x - foot.x, leg.foot_y - foot.y, base.rail.height / 2.0),
                arm_end=(tip[0] - seat.x, tip[1] - seat.y, tip[2] - seat.z),
                spring_end=(math.inf, math.inf, math.inf if roll is None else roll.best),
            )
        )  # fmt: skip
        self.members[name] = Member(
            piece=piece, section=leg_set.profile, steel=steel_for(leg_set.profile.kind), length=leg.centre_length,
            k_x=1.2, k_y=1.2,
        )  # fmt: skip

    def _saddle(self, saddle: SaddleLayout) -> None:
        """Two struts of saddle plate, each a third of the contact wide, to the quarter points of the contact."""
        strut = flat(saddle.chord / 3.0, saddle.thickness)
        top = self._vessel_joint(saddle.x)
        seat = self.joints[top]
        for side, out in SIDES:
            joint = self._rail_joint(side, saddle.x)
            foot = self.joints[joint]
            angle = saddle.contact / 4.0
            y = out * self.pit.vessel.outer_radius * math.sin(angle)
            z = seat.z - self.pit.vessel.outer_radius * math.cos(angle)
            name = f"saddle {saddle.name} {side}"
            self.beams.append(
                beam_of(
                    name, name, joint, top, strut, up=(1.0, 0.0, 0.0),
                    arm_start=(0.0, y - foot.y, self.pit.base.rail.height / 2.0),
                    arm_end=(saddle.x - seat.x, y - seat.y, z - seat.z), mass_per_length=0.0,
                )
            )  # fmt: skip

    def _feet(self) -> tuple[FootPoint, ...]:
        """The rails bear on the floor under every set and at their ends."""
        base = self.pit.base
        places = {f"set {s.name}": s.legs[0].x for s in self.pit.leg_sets}
        places |= {f"saddle {s.name}": s.x for s in self.pit.saddles}
        for name, x in (("fire end", base.rail_x0), ("stack end", base.rail_x1)):
            if all(abs(x - other) > 0.3 for other in places.values()):
                places[name] = x
        return tuple(
            FootPoint(
                name=f"{name}, {side}", joint=self._rail_joint(side, x), leg_set=name,
                x=self.joints[self._rail_joint(side, x)].x, y=out * base.rail_y,
            )
            for name, x in places.items()
            for side, out in SIDES
        )  # fmt: skip

    def _lift_points(self, what: str, xs: tuple[float, ...]) -> Iterator[LiftPoint]:
        ends = ("fire end", "stack end") if len(xs) == 2 else tuple(f"place {i + 1}" for i in range(len(xs)))
        for end, x in zip(ends, sorted(xs), strict=True):
            for side, _ in SIDES:
                joint = self.joints[self._rail_joint(side, x)]
                yield LiftPoint(name=f"{what}, {end}, {side}", joint=joint.name, x=joint.x, y=joint.y, z=joint.z)

    def _weights(self) -> Iterator[Weight]:
        """Every piece that is no beam of the frame, and what brings the sum to the pit's own balance."""
        total, moment = 0.0, [0.0, 0.0, 0.0]

        def count(mass: float, at: Vec) -> None:
            nonlocal total
            total += mass
            for k in range(3):
                moment[k] += mass * at[k]

        for beam in self.beams:
            a, b = self.joints[beam.start], self.joints[beam.end]
            p = (a.x + beam.arm_start[0], a.y + beam.arm_start[1], a.z + beam.arm_start[2])
            q = (b.x + beam.arm_end[0], b.y + beam.arm_end[1], b.z + beam.arm_end[2])
            count(beam.mass_per_length * math.dist(p, q), ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2, (p[2] + q[2]) / 2))
        for part in self.pit.parts:
            if part.name.startswith(("rail", "cross member", "leg, set")):
                continue
            for mass in placed_mass(part):
                at = mass.centre
                low = part.group == "base"
                side = "working" if at[1] >= 0.0 else "back"
                name = self._rail_joint(side, at[0]) if low else self._vessel_joint(at[0])
                count(mass.mass, at)
                yield self._hung(name, mass.mass, at)
        rest = self.balance.mass - total
        centre = self.balance.centre
        x, y, z = ((self.balance.mass * centre[k] - moment[k]) / rest for k in range(3))
        yield self._hung(self._vessel_joint(centre[0]), rest, (x, y, z))

    def _hung(self, name: str, mass: float, at: Vec) -> Weight:
        joint = self.joints[name]
        return Weight(joint=name, mass=mass, arm=(at[0] - joint.x, at[1] - joint.y, at[2] - joint.z))


def _apart(places: set[float], least: float = 0.02) -> list[float]:
    """The places in order, with those nearer than `least` to the one before left out [m]."""
    out: list[float] = []
    for x in sorted(places):
        if not out or x - out[-1] > least:
            out.append(x)
    return out
