"""A door on its pins: where it swings, what it meets first, what it takes to lift it.

End view: y to the working side, z up [m]. Swing is measured from shut; the lower edge comes up and goes back over the
pin. Moments are about the pin, positive where the door wants to fall shut; the moment of a weight is the weight times
its level distance from the pin (moment equilibrium), so figures are exact for any shape.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.parts import Point2


def swung(pin: Point2, point: Point2, swing: float) -> Point2:
    """A point of the door after it has swung open by `swing` [rad]."""
    c, s = math.cos(swing), math.sin(swing)
    dy, dz = point[0] - pin[0], point[1] - pin[1]
    return (pin[0] + dy * c - dz * s, pin[1] + dy * s + dz * c)


def touch_upright(pin: Point2, points: Sequence[Point2], face: float, top: float) -> float:
    """Smallest swing at which any point comes back to an upright wall at y = `face`, at or under its top [rad].

    inf where none does.
    """
    best = math.inf
    for y, z in points:
        d = math.dist(pin, (y, z))
        if d < 1e-6 or abs(face - pin[0]) > d:
            continue
        swing = (math.acos((face - pin[0]) / d) - math.atan2(z - pin[1], y - pin[0])) % (2.0 * math.pi)
        if swing < best and swung(pin, (y, z), swing)[1] <= top:
            best = swing
    return best


def furthest_back(pin: Point2, points: Sequence[Point2], swing: float) -> float:
    """Least y any point reaches between shut and a swing of at most half a turn [m]."""
    least = math.inf
    for y, z in points:
        d, start = math.dist(pin, (y, z)), math.atan2(z - pin[1], y - pin[0])
        reached = -1.0 if start + swing >= math.pi else min(math.cos(start), math.cos(start + swing))
        least = min(least, pin[0] + d * reached)
    return least


def touch_round(pin: Point2, points: Sequence[Point2], radius: float, centre: Point2) -> float:
    """Smallest swing past a quarter turn at which a point comes down on a round behind the pin [rad].

    inf where none does. The round is the vessel's own skin; the pin stands on it or outside it.
    """
    reach = math.dist(pin, centre)
    to_centre = math.atan2(centre[1] - pin[1], centre[0] - pin[0])
    best = math.inf
    for y, z in points:
        d = math.dist(pin, (y, z))
        if d < 1e-6:
            continue
        cosine = (d * d + reach * reach - radius * radius) / (2.0 * d * reach)
        if abs(cosine) > 1.0:
            continue
        meet = to_centre - math.acos(cosine)  # of the two meeting points the one behind, reached from above
        swing = (meet - math.atan2(z - pin[1], y - pin[0])) % (2.0 * math.pi)
        if swing > math.pi / 2.0:
            best = min(best, swing)
    return best


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """What turns a door about its pins.

    load, lever, angle  weight of the moving piece [N], its centre from the pin [m], the direction of that shut, from
                        straight forward upward [rad]
    counter, arm_angle  counterweight times its arm [N m], direction of the arm with the door shut [rad]
    """

    load: float
    lever: float
    angle: float
    counter: float = 0.0
    arm_angle: float = 0.0

    def moment(self, swing: float) -> float:
        """Moment that pulls the door shut at a swing [N m]; negative: it wants to fall open."""
        door = self.load * self.lever * math.cos(self.angle + swing)
        return door + self.counter * math.cos(self.arm_angle + swing)

    @property
    def over_centre(self) -> float:
        """Swing from which the door falls open by itself [rad]; 0 where it does so from shut, inf where it never does."""
        a = self.load * self.lever * math.cos(self.angle) + self.counter * math.cos(self.arm_angle)
        b = self.load * self.lever * math.sin(self.angle) + self.counter * math.sin(self.arm_angle)
        if a < 0.0:
            return 0.0
        # a cos(s) - b sin(s) falls through zero at s = atan2(a, b)
        swing = math.atan2(a, b)
        return swing if 0.0 < swing < math.pi else math.inf

    def worst(self, stop: float) -> float:
        """Largest moment between shut and the stop [N m]."""
        a = self.load * self.lever * math.cos(self.angle) + self.counter * math.cos(self.arm_angle)
        b = self.load * self.lever * math.sin(self.angle) + self.counter * math.sin(self.arm_angle)
        level = math.atan2(-b, a)  # a cos(s) - b sin(s) is largest here
        ends = max(self.moment(0.0), self.moment(stop))
        return max(ends, math.hypot(a, b)) if 0.0 < level < stop else ends
