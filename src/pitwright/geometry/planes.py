"""Plane cuts on a leaning tube: saw settings, compound cuts, angles between faces.

A tube has three axes of its own: *across* (the width seen in the end view), *deep* (the other section axis) and
*along*. A cut plane is given by its normal in these axes, turned so that it points along the tube.
Angles [rad]. Saw settings are off square: 0 cuts straight across.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.errors import LayoutError
from pitwright.parts import Vec, cross, dot, unit


@dataclass(frozen=True, slots=True, kw_only=True)
class TubeAxes:
    """Unit directions of a tube in the pit: across, deep, along (across x along = deep)."""

    across: Vec
    deep: Vec
    along: Vec

    def seen(self, direction: Vec) -> Vec:
        """A direction of the pit in the tube's own axes (across, deep, along)."""
        return dot(direction, self.across), dot(direction, self.deep), dot(direction, self.along)

    def placed(self, own: Vec) -> Vec:
        """A direction in the tube's own axes, in the pit."""
        a, b, c = self.across, self.deep, self.along
        return (
            own[0] * a[0] + own[1] * b[0] + own[2] * c[0],
            own[0] * a[1] + own[1] * b[1] + own[2] * c[1],
            own[0] * a[2] + own[1] * b[2] + own[2] * c[2],
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SawSetting:
    """How to set the saw for one plane cut.

    mitre  turn of the saw off square [rad], positive: the tube is shorter on its +across side
    tilt   tilt of the blade off upright [rad], positive: shorter on its +deep side; 0 for a plain mitre
    """

    mitre: float
    tilt: float

    @property
    def off_square(self) -> float:
        """Whole angle between the cut and a square cut [rad]."""
        return math.atan(math.hypot(math.tan(self.mitre), math.tan(self.tilt) / math.cos(self.mitre)))


def leaning_axes(lean_in: float, lean_along: float = 0.0) -> TubeAxes:
    """Axes of a leg on the working side (+y), from its foot up.

    lean_in     off plumb in the end view [rad], positive: the top goes towards the vessel's middle (-y)
    lean_along  off plumb in the side view [rad], positive: the top goes to +x
    The faces across the end view stay parallel to the vessel: `across` has no x.
    """
    for field, lean in (("lean_in", lean_in), ("lean_along", lean_along)):
        if not abs(lean) < math.pi / 2.0:
            raise LayoutError(
                "a leg cannot lie flat", field=field, value=lean, allowed="less than 90 degrees off plumb"
            )
    along = unit((math.tan(lean_along), -math.tan(lean_in), 1.0))
    across = (0.0, math.cos(lean_in), math.sin(lean_in))
    return TubeAxes(across=across, deep=cross(across, along), along=along)


def true_lean(lean_in: float, lean_along: float) -> float:
    """Lean off plumb [rad] of a leg that leans in both views: atan(sqrt(tan2 a + tan2 b))."""
    return math.atan(math.hypot(math.tan(lean_in), math.tan(lean_along)))


def cut_normal(axes: TubeAxes, normal: Vec) -> Vec:
    """A cut plane's normal in the tube's axes, at length one and pointing along the tube."""
    own = unit(axes.seen(normal))
    if abs(own[2]) < 1e-9:
        raise LayoutError(
            "the cut runs along the tube", field="normal", value=normal, allowed="a cut that crosses the tube"
        )
    return own if own[2] > 0.0 else (-own[0], -own[1], -own[2])


def saw_setting(normal: Vec) -> SawSetting:
    """Saw setting of a cut from its normal N in the tube's axes: mitre = atan(N1/N3), tilt = asin(N2)."""
    return SawSetting(mitre=math.atan2(normal[0], normal[2]), tilt=math.asin(max(-1.0, min(1.0, normal[1]))))


def angle_between_faces(one: Vec, other: Vec) -> float:
    """Angle [rad] of the corner between two faces, from their unit normals pointing out of the steel.

    For two faces of one piece it is the angle of the steel, for a piece standing on another that of the open corner.
    """
    return math.pi - math.atan2(math.sqrt(dot(cross(one, other), cross(one, other))), dot(one, other))
