"""Pipe ends cut to fit: a branch on a header (saddle), on a flat plate (mitre), on a dished head; wraps and holes.

Lengths [m], areas [m2], angles [rad]. Going round the branch, its own *clock* starts at the side named in each class.
`reach` is the distance along the branch from a datum square to it, named in each class, to the end of the branch at
that clock; the branch lies beyond it. So the end is longest where the reach is least.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pitwright.errors import LayoutError
from pitwright.geometry.heads import Head
from pitwright.geometry.numeric import integrate_closely, require_positive, turning_values

Vec = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class TemplateStep:
    """One mark of a wrap.

    number    0 at the start of the tape; the last step closes on the first
    clock     round the branch [rad]; tape: the same on its skin [m]
    reach     from the datum to the end [m]
    ordinate  how far the end hangs past a square line round the branch at its shortest side [m]
    cut_back  what to take off a square end here [m]
    meets     False where the branch runs past what it should meet
    """

    number: int
    clock: float
    tape: float
    reach: float
    ordinate: float
    cut_back: float
    meets: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """A wrap to lay round a pipe: equal tape steps with the cut's distance at each.

    tape_step    [m]; girth: tape once round [m]; depth: least to greatest ordinate of the whole curve [m]
    longest_at, shortest_at  clocks of the pipe's longest and shortest sides [rad]
    """

    steps: tuple[TemplateStep, ...]
    tape_step: float
    girth: float
    depth: float
    longest_at: float
    shortest_at: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SkinHole:
    """The outline of a branch on the header's skin, laid flat; stations from the foot of the branch's axis [m].

    around_low, around_high    by tape from the line on the header that faces the branch [m]
    station_low, station_high  along the header [m]
    area                       on the flat skin [m2]
    """

    around_low: float
    around_high: float
    station_low: float
    station_high: float
    area: float

    @property
    def around(self) -> float:
        """Size by tape round the header [m]."""
        return self.around_high - self.around_low

    @property
    def along(self) -> float:
        """Size along the header [m]."""
        return self.station_high - self.station_low


def wrap_template(
    reach: Callable[[float], float],
    branch_radius: float,
    steps: int,
    meets: Callable[[float], bool] = lambda clock: True,
) -> Template:
    """A wrap of `steps` equal parts for any pipe end given by its reach [m] at each clock [rad]."""
    if steps < 4:
        raise LayoutError("a wrap needs more steps", field="steps", value=steps, allowed="4 or more")
    longest_at, least, shortest_at, most = turning_values(reach)
    marks = []
    for number in range(steps + 1):
        clock = 2.0 * math.pi * number / steps
        value = reach(clock % (2.0 * math.pi) if number < steps else 0.0)
        marks.append(
            TemplateStep(
                number=number,
                clock=clock,
                tape=branch_radius * clock,
                reach=value,
                ordinate=most - value,
                cut_back=value - least,
                meets=meets(clock),
            )
        )
    return Template(
        steps=tuple(marks),
        tape_step=2.0 * math.pi * branch_radius / steps,
        girth=2.0 * math.pi * branch_radius,
        depth=most - least,
        longest_at=longest_at,
        shortest_at=shortest_at,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Saddle:
    """A round branch set on a round header.

    header_radius, branch_radius  outside radii [m]
    angle   between the two axes [rad], half pi: square to the header
    offset  of the branch's axis to the side of the header's, positive towards clock +quarter [m]

    Header axis = x through the origin, z towards the branch, y to the side. The branch leans towards +x when the angle
    is under half pi; its clock starts on that side and turns towards +y. The datum of the reach is the point of the
    branch's axis level with the header's axis. Reach: (sqrt(R2 - y2) + r cos c cos a) / sin a with y = e + r sin c.
    """

    header_radius: float
    branch_radius: float
    angle: float = math.pi / 2.0
    offset: float = 0.0

    def __post_init__(self) -> None:
        require_positive("header_radius", self.header_radius)
        require_positive("branch_radius", self.branch_radius)
        if not 0.0 < self.angle < math.pi:
            raise LayoutError(
                "the branch runs along the header",
                field="angle",
                value=self.angle,
                allowed="between 0 and 180 degrees, neither included",
            )
        if not self.branch_radius + abs(self.offset) <= self.header_radius * (1.0 + 1e-12):
            raise LayoutError(
                "the branch hangs past the side of the header",
                field="branch_radius",
                value=self.branch_radius,
                allowed="branch radius plus offset up to the header's radius",
                remedy="Use a smaller pipe, or bring it nearer the middle.",
            )

    def _side(self, clock: float) -> tuple[float, float]:
        """Sideways position y and height z on the header [m]."""
        y = self.offset + self.branch_radius * math.sin(clock)
        return y, math.sqrt(max((self.header_radius - y) * (self.header_radius + y), 0.0))

    def reach(self, clock: float) -> float:
        """Distance [m] along the branch from its datum to the header's skin."""
        _, height = self._side(clock)
        return (height + self.branch_radius * math.cos(clock) * math.cos(self.angle)) / math.sin(self.angle)

    def station(self, clock: float) -> float:
        """Where the joint lies along the header [m]."""
        _, height = self._side(clock)
        return (height * math.cos(self.angle) + self.branch_radius * math.cos(clock)) / math.sin(self.angle)

    def point(self, clock: float) -> Vec:
        """The joint's point (x, y, z) [m]."""
        y, height = self._side(clock)
        return self.station(clock), y, height

    def template(self, steps: int = 16) -> Template:
        """The wrap that marks the branch's end."""
        return wrap_template(self.reach, self.branch_radius, steps)

    def hole(self) -> SkinHole:
        """Size and area of the branch's outline on the header's skin.

        Area = (2 r2 R / sin a) x integral of cos2 c / sqrt(R2 - (e + r sin c)2) over half a turn.
        """
        big, small, side = self.header_radius, self.branch_radius, self.offset
        _, low, _, high = turning_values(self.station)

        def strip(clock: float) -> float:
            _, height = self._side(clock)
            return math.cos(clock) ** 2 / max(height, 1e-9 * big)

        share = integrate_closely(strip, -math.pi / 2.0, math.pi / 2.0)
        return SkinHole(
            around_low=big * math.asin(max(-1.0, (side - small) / big)),
            around_high=big * math.asin(min(1.0, (side + small) / big)),
            station_low=low,
            station_high=high,
            area=2.0 * small * small * big / math.sin(self.angle) * share,
        )

    def outline(self, points: int = 96) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Stations and arounds [m] of `points` places on the joint, once round, for drawing the hole on the skin."""
        clock = np.linspace(0.0, 2.0 * math.pi, points, endpoint=False)
        y = self.offset + self.branch_radius * np.sin(clock)
        height = np.sqrt(np.maximum(self.header_radius**2 - y * y, 0.0))
        station = (height * math.cos(self.angle) + self.branch_radius * np.cos(clock)) / math.sin(self.angle)
        return station, self.header_radius * np.arctan2(y, height)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mitre:
    """A round branch cut by a plane or standing on a flat plate.

    angle  of the cut off square [rad]

    The clock starts at the short side. The datum is where the branch's axis meets the plane. Reach: r cos c tan a.
    """

    branch_radius: float
    angle: float

    def __post_init__(self) -> None:
        require_positive("branch_radius", self.branch_radius)
        if not -math.pi / 2.0 < self.angle < math.pi / 2.0:
            raise LayoutError(
                "the cut runs along the pipe",
                field="angle",
                value=self.angle,
                allowed="less than 90 degrees off square",
            )

    def reach(self, clock: float) -> float:
        """Distance [m] along the branch from its datum to the plane."""
        return self.branch_radius * math.cos(clock) * math.tan(self.angle)

    def template(self, steps: int = 16) -> Template:
        """The wrap that marks the branch's end."""
        return wrap_template(self.reach, self.branch_radius, steps)

    @property
    def hole_length(self) -> float:
        """Longest width of the branch's outline on the plate [m], an ellipse as wide as the branch: 2 r / cos a."""
        return 2.0 * self.branch_radius / math.cos(self.angle)

    @property
    def hole_area(self) -> float:
        """Area of that ellipse [m2]: pi r2 / cos a."""
        return math.pi * self.branch_radius**2 / math.cos(self.angle)


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadCope:
    """A round branch parallel to a vessel's axis, cut to the outside of its head (a pipe firebox on a dished end).

    head           of the vessel
    branch_radius  outside radius [m]
    drop           distance between the two axes [m]

    The clock starts on the side nearest the vessel's axis. The datum is the head's tangent line. The part of the
    branch outside the head's own circle misses it: there the end is square at the tangent line and wants an end plate.
    """

    head: Head
    branch_radius: float
    drop: float

    def __post_init__(self) -> None:
        require_positive("branch_radius", self.branch_radius)
        if not (self.drop >= 0.0 and self.drop - self.branch_radius < self.head.outside_radius):
            raise LayoutError(
                "the pipe passes beside the head",
                field="drop",
                value=self.drop,
                allowed="from 0 to less than the two radii together",
                remedy="Raise the pipe.",
            )

    def distance(self, clock: float) -> float:
        """Distance [m] of the branch's skin from the vessel's axis."""
        half = math.sin(clock / 2.0)
        return math.sqrt((self.drop - self.branch_radius) ** 2 + 4.0 * self.drop * self.branch_radius * half * half)

    def meets(self, clock: float) -> bool:
        """Whether the branch lands on the head at this clock."""
        return self.distance(clock) <= self.head.outside_radius

    @property
    def meets_to(self) -> float:
        """Clock up to which, both ways, the branch lands on the head [rad]; half a turn where it lands all round."""
        edge = self.head.outside_radius
        if self.drop + self.branch_radius <= edge:
            return math.pi
        room = edge * edge - (self.drop - self.branch_radius) ** 2
        # A branch wider than the head may miss it all round.
        if room <= 0.0:
            return 0.0
        return 2.0 * math.asin(math.sqrt(room / (4.0 * self.drop * self.branch_radius)))

    def reach(self, clock: float) -> float:
        """Height [m] of the head over its tangent line at this clock; 0 where the branch misses it."""
        return self.head.outside_height(self.distance(clock)) if self.meets(clock) else 0.0

    def template(self, steps: int = 16) -> Template:
        """The wrap that marks the branch's end; steps that miss the head are flagged."""
        return wrap_template(self.reach, self.branch_radius, steps, self.meets)
