"""A solved vessel on end as a frame: the shell as a standing beam on four posts, the square base under them.

A post runs from its cross member to the skin at the middle of its lap past the bottom seam. What is no beam hangs as a
weight on the nearest joint, and the sums are brought to the balance the pit itself tells.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from pitwright.layout.model import BaseLayout, Pit
from pitwright.layout.upright_model import UprightLayout
from pitwright.masses import Balance
from pitwright.parts import Vec
from pitwright.strength import frame_cases
from pitwright.strength.forks import FORK_WIDTH
from pitwright.strength.frame import Beam, Case, Frame, Weight
from pitwright.strength.frame_cases import LiftPoint
from pitwright.strength.frame_gather import Gather, apart
from pitwright.strength.frame_solve import Ready
from pitwright.strength.from_pit import PitFrame, pit_frame
from pitwright.strength.from_running import SIDES, under_frame
from pitwright.strength.shell_section import bending_about, shell_section, torsion_over
from pitwright.strength.stability import Footing
from pitwright.strength.steel import SHEAR_STIFFNESS, STIFFNESS, steel_for
from pitwright.tape import INCH, STANDARD_GRAVITY

FORK_SPREAD = 24.0 * INCH  # forks from the front, middle to middle, where the base leaves the room
BASE_PIECES = ("rail", "end rail", "cross member", "post")


def frame_of(pit: Pit, state: str = "loaded", hot: dict[str, float] | None = None) -> PitFrame:
    """The frame of any pit, lying or on end, in one state of its balance; hot: see `pit_frame`."""
    if pit.upright is None:
        return pit_frame(pit, state, hot)
    return _Builder(pit, pit.upright, pit.balance[state]).build()


def fork_half(pit: Pit) -> float:
    """Half the distance between forks that go in from the front, under both rails [m]."""
    base = pit.base
    room = base.rails_outside / 2.0 - base.rail.width - FORK_WIDTH / 2.0
    return min(FORK_SPREAD / 2.0, room)


def _edge_of(footing: Footing, base: BaseLayout) -> Footing:
    """A foot plate tips over its outer corner, a caster over its wheel."""
    support = next(s for s in base.supports if s.name == footing.name)
    if support.kind != "foot":
        return footing
    out = support.pad / 2.0
    return replace(footing, x=footing.x + math.copysign(out, footing.x), y=footing.y + math.copysign(out, footing.y))


class _Builder:
    """Gathers joints, beams and weights of one vessel on end."""

    def __init__(self, pit: Pit, own: UprightLayout, balance: Balance):
        self.pit, self.own, self.balance = pit, own, balance
        self.g = Gather()
        lap = (own.posts[0].z1 - pit.vessel.seam_z) / 2.0
        self.seat = lap
        self.stations = apart({0.0, lap, pit.vessel.length, *(x for d in pit.doors for x in (d.x0, d.x1))})
        half = fork_half(pit)
        self.along = apart({*(c.x for c in pit.base.crosses), half, -half})

    def build(self) -> PitFrame:
        pit, g, base = self.pit, self.g, self.pit.base
        for i, x in enumerate(self.stations):
            g.joint(f"vessel {i}", (0.0, 0.0, pit.vessel.seam_z + x))
        z = base.rail_top - base.rail.height / 2.0
        for side, out in SIDES:
            for i, x in enumerate(self.along):
                g.joint(f"rail {side} {i}", (x, out * base.rail_y, z))
        self._rails()
        self._crosses(z)
        self._posts()
        self._vessel()
        feet, prints = under_frame(g, base, self.balance.mass * STANDARD_GRAVITY)
        prints = tuple(_edge_of(p, base) for p in prints)
        forks = tuple(self._forks())
        frame = Frame(
            joints=tuple(g.joints.values()),
            beams=tuple(g.beams),
            holds=(*frame_cases.floor_holds(feet), *frame_cases.fork_holds(forks)),
            weights=tuple(self._weights()),
        )
        casters = [s.name for s in base.supports if s.kind == "caster"]
        cases: list[Case] = [*frame_cases.floor_cases(feet), *frame_cases.kerb_cases(casters, feet)]
        cases.append(frame_cases.fork_case("forks from the front", forks))
        return PitFrame(
            frame=frame,
            ready=Ready(frame),
            feet=feet,
            prints=prints,
            forks=forks,
            end_forks=(),
            lugs=(),
            spreader=False,
            cases=tuple(cases),
            members=g.members,
            rolls={},
            hook=self.balance.centre,
            askew=0.0,
        )

    def _mark(self, name: str) -> str:
        return next((p.mark for p in self.pit.parts if p.name == name), name)

    def _rail_joint(self, side: str, x: float) -> str:
        i = min(range(len(self.along)), key=lambda k: abs(self.along[k] - x))
        return f"rail {side} {i}"

    def _rails(self) -> None:
        base = self.pit.base
        reach = max(b - a for a, b in pairwise([c.x for c in base.crosses]))
        for side, _ in SIDES:
            for i in range(len(self.along) - 1):
                ends = (f"rail {side} {i}", f"rail {side} {i + 1}")
                self.g.bar(ends[0], self._mark("rail"), ends, base.rail, reach)

    def _crosses(self, z: float) -> None:
        base, g = self.pit.base, self.g
        for i, cross in enumerate(base.crosses):
            outer = i in (0, len(base.crosses) - 1)
            section, mark = (base.rail, "end rail") if outer else (base.cross, "cross member")
            ys = [] if outer else sorted({p.y for p in self.own.posts if (p.x > 0.0) == (cross.x > 0.0)}, reverse=True)
            middle = [g.joint(f"cross {i} at {k}", (cross.x, y, z)) for k, y in enumerate(ys)]
            chain = [self._rail_joint("working", cross.x), *middle, self._rail_joint("back", cross.x)]
            for k, (one, other) in enumerate(pairwise(chain)):
                g.bar(f"cross {i} {k}", self._mark(mark), (one, other), section, cross.length)

    def _posts(self) -> None:
        g, own, vessel = self.g, self.own, self.pit.vessel
        top = f"vessel {min(range(len(self.stations)), key=lambda k: abs(self.stations[k] - self.seat))}"
        for i, post in enumerate(own.posts, start=1):
            foot = g.near((post.x, post.y, post.z0), (n for n in g.joints if n.startswith("cross")))
            low: Vec = (post.x, post.y, post.z0)
            high: Vec = (post.x, post.y, vessel.seam_z + self.seat)
            g.bar(
                f"post {i}", self._mark("post"), (foot, top), own.post, high[2] - low[2], k=1.2,
                steel=steel_for(own.post.kind), up=(post.x, post.y, 0.0), arm_start=g.arm(foot, low),
                arm_end=g.arm(top, high),
            )  # fmt: skip

    def _vessel(self) -> None:
        vessel = self.pit.vessel
        whole = shell_section(vessel.outer_radius, vessel.wall)
        for i, (a, b) in enumerate(pairwise(self.stations)):
            middle = (a + b) / 2.0
            door = next((d for d in self.pit.doors if d.x0 < middle < d.x1), None)
            section, clock, length = whole, 0.0, b - a
            if door is not None:
                section = shell_section(vessel.outer_radius, vessel.wall, abs(door.edge_clock - door.hinge_clock))
                clock, length = (door.edge_clock + door.hinge_clock) / 2.0, door.x1 - door.x0
            up, across, _ = bending_about(section, clock)
            self.g.beams.append(
                Beam(
                    name=f"vessel {i}", piece="shell", start=f"vessel {i}", end=f"vessel {i + 1}", area=section.area,
                    ix=up, iy=across, j=torsion_over(section, length, STIFFNESS, SHEAR_STIFFNESS), up=(0.0, 1.0, 0.0),
                    shear_area_x=section.area / 2.0, shear_area_y=section.area / 2.0,
                )
            )  # fmt: skip

    def _forks(self) -> Iterator[LiftPoint]:
        half = fork_half(self.pit)
        for end, x in (("firebox side", -half), ("far side", half)):
            for side, _ in SIDES:
                joint = self.g.joints[self._rail_joint(side, x)]
                where = "front" if side == "working" else "back"
                yield LiftPoint(name=f"fork, {end}, {where}", joint=joint.name, x=joint.x, y=joint.y, z=joint.z)

    def _weights(self) -> Iterator[Weight]:
        hung = [p for p in self.pit.parts if p.name not in BASE_PIECES]
        return self.g.weights(
            hung, self.balance, on_base=self._rail_joint, on_vessel=lambda at: self._vessel_joint(at[2])
        )

    def _vessel_joint(self, z: float) -> str:
        at = z - self.pit.vessel.seam_z
        return f"vessel {min(range(len(self.stations)), key=lambda k: abs(self.stations[k] - at))}"
