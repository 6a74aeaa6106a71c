"""Joints, beams, members and weights of a frame as they are gathered from a pit."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence

from pitwright.masses import Balance, placed_mass
from pitwright.parts import Part, Vec
from pitwright.strength.frame import Beam, Joint, Weight, beam_of
from pitwright.strength.members import Member
from pitwright.strength.section import Section
from pitwright.strength.steel import TUBE_STEEL, Steel


class Gather:
    """What has been gathered so far."""

    def __init__(self) -> None:
        self.joints: dict[str, Joint] = {}
        self.beams: list[Beam] = []
        self.members: dict[str, Member] = {}

    def joint(self, name: str, at: Vec) -> str:
        """A new joint [m]; its name."""
        self.joints[name] = Joint(name=name, x=at[0], y=at[1], z=at[2])
        return name

    def near(self, at: Vec, among: Iterable[str] = ()) -> str:
        """The joint nearest to a place [m], of all but the vessel's or of those named."""
        names = tuple(among) or tuple(n for n in self.joints if not n.startswith("vessel"))
        return min(names, key=lambda n: math.dist(at, self.place(n)))

    def place(self, name: str) -> Vec:
        """Where a joint is [m]."""
        j = self.joints[name]
        return j.x, j.y, j.z

    def arm(self, name: str, to: Vec) -> Vec:
        """From a joint to a place [m]."""
        j = self.joints[name]
        return to[0] - j.x, to[1] - j.y, to[2] - j.z

    def bar(
        self,
        name: str,
        piece: str,
        ends: tuple[str, str],
        section: Section,
        length: float,
        *,
        k: float = 1.0,
        steel: Steel = TUBE_STEEL,
        hung: bool = False,
        **more: Vec,
    ) -> None:
        """A checked bar between two joints; hung: its weight is told with the other pieces, not by the beam."""
        extra: dict[str, Vec | float] = {**more}
        if hung:
            extra["mass_per_length"] = 0.0
        self.beams.append(beam_of(name, piece, ends[0], ends[1], section, **extra))
        self.members[name] = Member(piece=piece, section=section, steel=steel, length=length, k_x=k, k_y=k)

    def weights(
        self,
        hung: Iterable[Part],
        balance: Balance,
        *,
        on_base: Callable[[str, float], str],
        on_vessel: Callable[[Vec], str],
    ) -> Iterator[Weight]:
        """Every piece that is no beam of the frame, and what brings the sum to the pit's own balance.

        on_base, on_vessel  the joint that carries a piece of the base (its side and x), and any other (its centre)
        """
        total, moment = 0.0, [0.0, 0.0, 0.0]

        def count(mass: float, at: Sequence[float]) -> None:
            nonlocal total
            total += mass
            for k in range(3):
                moment[k] += mass * at[k]

        for beam in self.beams:
            p = [u + v for u, v in zip(self.place(beam.start), beam.arm_start, strict=True)]
            q = [u + v for u, v in zip(self.place(beam.end), beam.arm_end, strict=True)]
            count(beam.mass_per_length * math.dist(p, q), [(u + v) / 2.0 for u, v in zip(p, q, strict=True)])
        for part in hung:
            for mass in placed_mass(part):
                at = mass.centre
                side = "working" if at[1] >= 0.0 else "back"
                name = on_base(side, at[0]) if part.group == "base" else on_vessel(at)
                count(mass.mass, at)
                yield Weight(joint=name, mass=mass.mass, arm=self.arm(name, at))
        rest = balance.mass - total
        x, y, z = ((balance.mass * balance.centre[k] - moment[k]) / rest for k in range(3))
        name = on_vessel(balance.centre)
        yield Weight(joint=name, mass=rest, arm=self.arm(name, (x, y, z)))


def apart(places: Iterable[float], least: float = 0.02) -> list[float]:
    """The places in order, with those nearer than `least` to the one before left out [m]."""
    out: list[float] = []
    for x in sorted(places):
        if not out or x - out[-1] > least:
            out.append(x)
    return out
