"""A solved pit as a frame: vessel beam, legs on stiff arms, rails, cross members, what it runs on, every other weight.

The vessel is a beam along its centre line; where doors are cut out its section is what is left. A leg runs from the
rail's middle to the skin where it meets the shell, its top turning against the shell wall. A saddle is two struts from
its cross member to the quarter points of its contact. What is no beam hangs as a weight on the nearest joint, and the
sums are brought to the balance the pit itself tells. Feet, casters, axles, tongue and handles: `from_running`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from pitwright.layout.model import LegLayout, LegSet, Pit, SaddleLayout
from pitwright.masses import Balance
from pitwright.parts import Vec
from pitwright.stock import flat
from pitwright.strength import frame_cases
from pitwright.strength.forks import FORK_WIDTH
from pitwright.strength.frame import STILL, Beam, Case, Frame, Hold, Weight, beam_of
from pitwright.strength.frame_cases import FootPoint, LiftPoint
from pitwright.strength.frame_gather import Gather, apart
from pitwright.strength.frame_solve import Ready
from pitwright.strength.from_running import (
    SIDES,
    brace_beams,
    cross_places,
    end_fork_reach,
    handle_beams,
    spans,
    tongue_beams,
    under_frame,
)
from pitwright.strength.members import Member
from pitwright.strength.pit_patches import shell_patch
from pitwright.strength.shell import Band, rolling_stiffness
from pitwright.strength.shell_section import bending_about, shell_section, torsion_over
from pitwright.strength.stability import Footing
from pitwright.strength.steel import SHEAR_STIFFNESS, STIFFNESS, steel_for
from pitwright.tape import INCH, STANDARD_GRAVITY

HOOK_UP = 2.4
"""A hook this far over slings that go under the rails [m], and none under 45 degrees (common practice, no source)."""

HOOK_OVER_LUGS = 48.0 * INCH
"""A hook this far over lugs on the shell, and no sling under 45 degrees off level (common practice, no source)."""

END_FORKS = 24.0 * INCH
"""Forks from the end, middle to middle, where the rails leave the room (common practice, no source)."""

COLD = 293.15


@dataclass(frozen=True, slots=True, kw_only=True)
class PitFrame:
    """The frame of a pit, its points of support and lift, its cases, and the members behind its beams.

    prints     the outline it stands on when parked, casters with their trail
    forks      in the pockets, from the side; end_forks: under the cross members, from the end nearer the weight
    lugs       on the shell, or where slings go under the rails (then `spreader` is set)
    rolls      stiffness of the shell wall under one leg of each set, with its band [N m/rad]
    hook       where the hook hangs; askew: how far the pit hangs off level from side to side [rad]
    """

    frame: Frame
    ready: Ready
    feet: tuple[FootPoint, ...]
    prints: tuple[Footing, ...]
    forks: tuple[LiftPoint, ...]
    end_forks: tuple[LiftPoint, ...]
    lugs: tuple[LiftPoint, ...]
    spreader: bool
    cases: tuple[Case, ...]
    members: dict[str, Member]
    rolls: dict[str, Band]
    hook: Vec
    askew: float


def pit_frame(pit: Pit, state: str = "loaded", hot: Mapping[str, float] | None = None) -> PitFrame:
    """The frame of a pit in one state of its balance.

    hot: temperature of the steel of the legs of a set, where it is not cold [K].
    """
    return _Builder(pit, pit.balance[state], hot or {}).build()


class _Builder:
    """Gathers joints, beams and weights of one pit."""

    def __init__(self, pit: Pit, balance: Balance, hot: Mapping[str, float]):
        self.pit, self.balance, self.hot = pit, balance, hot
        self.g = Gather()
        self.rolls: dict[str, Band] = {}
        self.stations = self._stations()
        self.along = self._along_rails()

    def _stations(self) -> list[float]:
        """Where the vessel beam has joints [m]."""
        pit = self.pit
        found = {0.0, pit.vessel.length}
        found |= {min(max(s.x, 0.0), pit.vessel.length) for s in pit.leg_sets}
        found |= {s.x for s in pit.saddles} | {u.x for u in pit.lugs}
        for door in pit.doors:
            found |= {door.x0, door.x1}
        return apart(found)

    def _along_rails(self) -> list[float]:
        """Where the rails have joints [m]."""
        base = self.pit.base
        found = {base.rail_x0, base.rail_x1, *(c.x for c in base.crosses), *base.pockets}
        found |= {leg.x for s in self.pit.leg_sets for leg in s.legs} | {s.x for s in self.pit.saddles}
        found |= {s.x for s in base.supports} | {x for a in base.axles for x in a.hangers}
        if base.tongue is not None:
            found |= {root[0] for root in base.tongue.roots}
        return apart({min(max(x, base.rail_x0), base.rail_x1) for x in found})

    def _vessel_joint(self, x: float) -> str:
        i = min(range(len(self.stations)), key=lambda k: abs(self.stations[k] - x))
        return f"vessel {i}"

    def _rail_joint(self, side: str, x: float) -> str:
        i = min(range(len(self.along)), key=lambda k: abs(self.along[k] - x))
        return f"rail {side} {i}"

    def build(self) -> PitFrame:
        pit, g, base = self.pit, self.g, self.pit.base
        for i, x in enumerate(self.stations):
            g.joint(f"vessel {i}", (x, 0.0, pit.vessel.centre_z))
        z = base.rail_top - base.rail.height / 2.0
        for side, out in SIDES:
            for i, x in enumerate(self.along):
                g.joint(f"rail {side} {i}", (x, out * base.rail_y, z))
        fork_y = self._fork_y()
        self._vessel_beams()
        self._rail_beams(cross_places(base, fork_y))
        for leg_set in pit.leg_sets:
            for leg in leg_set.legs:
                self._leg(leg_set, leg)
        for saddle in pit.saddles:
            self._saddle(saddle)
        if base.tongue is not None:
            tongue_beams(g, base, base.tongue, self._mark("tongue"))
        hands = handle_beams(g, base, base.handles, self._mark("handle")) if base.handles is not None else ()
        brace_beams(g, base, self._mark("brace"))
        if base.supports or base.axles:
            feet, prints = under_frame(g, base, self.balance.mass * STANDARD_GRAVITY)
        else:
            feet = self._feet()
            prints = tuple(Footing(name=f.name, x=f.x, y=f.y) for f in feet)
        forks = tuple(self._rail_points("fork", base.pockets))
        end_forks = tuple(self._end_forks(fork_y)) if fork_y else ()
        lugs = tuple(self._lugs())
        hook, field = self._hook(lugs)
        frame = Frame(
            joints=tuple(g.joints.values()),
            beams=tuple(g.beams),
            holds=(
                *frame_cases.floor_holds(feet),
                *frame_cases.floor_holds(hands),
                *frame_cases.fork_holds((*forks, *end_forks)),
                *frame_cases.sling_holds(lugs, hook, spreader=not pit.lugs),
                *self._pulled(feet),
            ),
            weights=tuple(self._weights()),
        )
        ready = Ready(frame)
        cases = [*self._floor_cases(feet, hands)]
        if forks:
            cases.append(frame_cases.fork_case("forks from the side", forks))
        if end_forks:
            cases.append(frame_cases.fork_case("long forks from the end", end_forks))
        cases += frame_cases.sling_cases(lugs, field)
        if base.tongue is not None:
            cases += frame_cases.road_cases([h.name for h in frame.holds if h.name.startswith(("wheel", "coupler"))])
        elif not base.supports:
            cases.append(frame_cases.dragged(ready, feet, (1.0, 0.0, 0.0)))
        return PitFrame(
            frame=frame,
            ready=ready,
            feet=feet,
            prints=prints,
            forks=forks,
            end_forks=end_forks,
            lugs=lugs,
            spreader=not pit.lugs,
            cases=tuple(cases),
            members=g.members,
            rolls=self.rolls,
            hook=hook,
            askew=math.atan2(-field[1], -field[2]),
        )

    def _floor_cases(self, feet: tuple[FootPoint, ...], hands: tuple[FootPoint, ...]) -> Iterator[Case]:
        base = self.pit.base
        yield from frame_cases.floor_cases(feet)
        casters = [s.name for s in base.supports if s.kind == "caster"]
        yield from frame_cases.kerb_cases(casters, feet)
        wheels = [f.name for f in feet if f.name.startswith("wheel")]
        if base.tongue is not None:
            yield Case(name="coupled, level", holds=(*wheels, "coupler up"))
        if hands:
            yield Case(name="hands at the handles", holds=(*wheels, *(h.name for h in hands)))

    def _pulled(self, feet: tuple[FootPoint, ...]) -> Iterator[Hold]:
        """What drags a skid, or holds a trailer on the road."""
        base = self.pit.base
        if base.tongue is not None:
            coupler = FootPoint(name="coupler", joint="coupler", leg_set="", x=0.0, y=0.0)
            yield Hold(name="coupler up", joint="coupler", direction=frame_cases.UP, one_way=False)
            yield from frame_cases.road_holds([*(f for f in feet if f.name.startswith("wheel")), coupler])
        elif not base.supports:
            hitch = self._rail_joint("working", base.rail_x1)
            yield from frame_cases.drag_holds(hitch, feet[0], (1.0, 0.0, 0.0))

    def _rail_beams(self, inner: Mapping[int, tuple[float, ...]]) -> None:
        base, g = self.pit.base, self.g
        marks = {"rail": self._mark("rail"), "cross": self._mark("cross member")}
        reach = spans(tuple(c.x for c in base.crosses))
        for side, _ in SIDES:
            for i, (a, b) in enumerate(pairwise(self.along)):
                ends = (f"rail {side} {i}", f"rail {side} {i + 1}")
                g.bar(f"rail {side} {i}", marks["rail"], ends, base.rail, max(reach, b - a))
        for i, cross in enumerate(base.crosses):
            ends_y = inner.get(i, ())
            first, last = self._rail_joint("working", cross.x), self._rail_joint("back", cross.x)
            height = g.place(first)[2]
            chain = [first, *(g.joint(f"cross {i} at {k}", (cross.x, y, height)) for k, y in enumerate(ends_y)), last]
            for k, (one, other) in enumerate(pairwise(chain)):
                g.bar(
                    f"cross {i} {k}" if ends_y else f"cross {i}", marks["cross"], (one, other), base.cross, cross.length
                )

    def _mark(self, name: str) -> str:
        return next((p.mark for p in self.pit.parts if p.name.startswith(name) and p.group == "base"), name)

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
            self.g.beams.append(
                Beam(
                    name=f"vessel {i}", piece="shell", start=f"vessel {i}", end=f"vessel {i + 1}", area=section.area,
                    ix=up, iy=across, j=torsion_over(section, length, STIFFNESS, SHEAR_STIFFNESS),
                    shear_area_x=section.area / 2.0, shear_area_y=section.area / 2.0,
                )
            )  # fmt: skip

    def _leg(self, leg_set: LegSet, leg: LegLayout) -> None:
        pit, base = self.pit, self.pit.base
        out = 1.0 if leg.side == "working" else -1.0
        joint = self._rail_joint(leg.side, leg.x)
        top = self._vessel_joint(leg_set.x)
        seat = self.g.joints[top]
        rise = leg.centre_length * math.cos(leg.true_lean)
        tip = (leg_set.x, leg.foot_y - out * rise * math.tan(leg.lean), leg.foot_z + rise)
        foot = self.g.joints[joint]
        name = f"leg {leg_set.name} {leg.side}"
        piece = next(
            (p.mark for p in pit.parts if p.group == "legs" and p.name.startswith(f"leg, set {leg_set.name}")), name
        )
        roll: Band | None = None
        if leg_set.x >= 0.0:
            roll = rolling_stiffness(shell_patch(pit, leg_set, leg))
            self.rolls[leg_set.name] = roll
        self.g.beams.append(
            beam_of(
                name, piece, joint, top, leg_set.profile, up=(0.0, 1.0, 0.0),
                arm_start=(leg.x - foot.x, leg.foot_y - foot.y, base.rail.height / 2.0),
                arm_end=(tip[0] - seat.x, tip[1] - seat.y, tip[2] - seat.z),
                spring_end=(math.inf, math.inf if roll is None else roll.best, math.inf),
            )
        )  # fmt: skip
        self.g.members[name] = Member(
            piece=piece, section=leg_set.profile, steel=steel_for(leg_set.profile.kind), length=leg.centre_length,
            k_x=1.2, k_y=1.2, temperature=self.hot.get(leg_set.name, COLD),
        )  # fmt: skip

    def _saddle(self, saddle: SaddleLayout) -> None:
        """Two struts of saddle plate, each a third of the contact wide, to the quarter points of the contact."""
        strut = flat(saddle.chord / 3.0, saddle.thickness)
        top = self._vessel_joint(saddle.x)
        seat = self.g.joints[top]
        for side, out in SIDES:
            joint = self._rail_joint(side, saddle.x)
            foot = self.g.joints[joint]
            angle = saddle.contact / 4.0
            y = out * self.pit.vessel.outer_radius * math.sin(angle)
            z = seat.z - self.pit.vessel.outer_radius * math.cos(angle)
            name = f"saddle {saddle.name} {side}"
            self.g.beams.append(
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
                x=self.g.joints[self._rail_joint(side, x)].x, y=out * base.rail_y,
            )
            for name, x in places.items()
            for side, out in SIDES
        )  # fmt: skip

    def _rail_points(self, what: str, xs: tuple[float, ...]) -> Iterator[LiftPoint]:
        ends = ("fire end", "stack end") if len(xs) == 2 else tuple(f"place {i + 1}" for i in range(len(xs)))
        for end, x in zip(ends, sorted(xs), strict=True):
            for side, _ in SIDES:
                joint = self.g.joints[self._rail_joint(side, x)]
                yield LiftPoint(name=f"{what}, {end}, {side}", joint=joint.name, x=joint.x, y=joint.y, z=joint.z)

    def _fork_y(self) -> float:
        """Half the spread of forks from the end, 0 where they do not go in [m]."""
        base = self.pit.base
        if base.supports or base.axles or len(base.crosses) < 2:
            return 0.0
        room = base.rail_y - base.rail.width / 2.0 - FORK_WIDTH / 2.0
        return min(END_FORKS / 2.0, room) if room > FORK_WIDTH else 0.0

    def _end_forks(self, y: float) -> Iterator[LiftPoint]:
        """Two long forks under all cross members they reach, from the end nearer the weight."""
        base, x = self.pit.base, self.balance.centre[0]
        from_fire = x - base.rail_x0 <= base.rail_x1 - x
        face = base.rail_x0 if from_fire else base.rail_x1
        reach = end_fork_reach(base, face, x)
        for i, cross in enumerate(base.crosses):
            if math.isfinite(reach) and abs(cross.x - face) <= reach:
                for k, (side, out) in enumerate(SIDES):
                    at = (cross.x, out * y, base.rail_top - base.rail.height / 2.0)
                    name = f"cross {i} at {k}"
                    joint = name if math.dist(self.g.place(name), at) < 0.03 else self.g.near(at)
                    yield LiftPoint(name=f"long fork, cross {i + 1}, {side}", joint=joint, x=at[0], y=at[1], z=at[2])

    def _lugs(self) -> Iterator[LiftPoint]:
        pit, g = self.pit, self.g
        for lug in pit.lugs:
            joint = self._vessel_joint(lug.x)
            x, y, z = lug.hole
            yield LiftPoint(name=f"lug, {lug.name}", joint=joint, x=x, y=y, z=z, arm=g.arm(joint, lug.hole))
        if not pit.lugs:
            borne = [s.x for s in pit.leg_sets if s.x >= 0.0] or [s.x for s in pit.saddles]
            yield from self._rail_points("sling", (min(borne), max(borne)))

    def _hook(self, lugs: tuple[LiftPoint, ...]) -> tuple[Vec, Vec]:
        """The hook, and the pull of weight as it lies in the hanging pit: over the lugs' line, through the weight."""
        c = self.balance.centre
        if not self.pit.lugs:
            runs = [abs(u.x - self.pit.balance["empty"].centre[0]) for u in lugs]
            return (c[0], c[1], lugs[0].z + max(HOOK_UP, *runs)), STILL
        lug = lugs[0]
        runs = [abs(u.x - self.pit.balance["empty"].centre[0]) for u in lugs]
        up = max(HOOK_OVER_LUGS, *runs)
        aside, rise = lug.y - c[1], lug.z - c[2]
        long = math.hypot(aside, rise)
        hook = (c[0], lug.y + up * aside / long, lug.z + up * rise / long)
        pull = -STANDARD_GRAVITY / long
        return hook, (0.0, pull * aside, pull * rise)

    def _weights(self) -> Iterator[Weight]:
        hung = [p for p in self.pit.parts if not p.name.startswith(("rail", "cross member", "leg, set"))]
        return self.g.weights(
            hung, self.balance, on_base=self._rail_joint, on_vessel=lambda at: self._vessel_joint(at[0])
        )
