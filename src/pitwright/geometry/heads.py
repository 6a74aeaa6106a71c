"""Vessel heads of every kind: depth, volume, surface, plate, centroid, and how far they stand out.

Lengths [m], areas [m2], volumes [m3]. Every head answers the same questions: `inside_radius`, `outside_radius`,
`inside_depth`, `outside_depth`, `straight_flange`, `inside_height(rho)`, `outside_height(rho)` and `figures()`;
heights are measured from the tangent line outward, `rho` from the vessel's axis.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pitwright.geometry.formed_heads import (
    EllipsoidalHead,
    HeadFigures,
    ProfilePiece,
    TorisphericalHead,
    torispherical_depth,
    with_flange,
)
from pitwright.geometry.numeric import require_positive, within

__all__ = [
    "ConicalHead",
    "EllipsoidalHead",
    "FlatHead",
    "Head",
    "HeadFigures",
    "HeadKind",
    "ProfilePiece",
    "TorisphericalHead",
    "dished_head",
    "head_from_outside",
    "hemispherical_head",
    "torispherical_depth",
    "torispherical_head",
    "two_to_one_head",
]

HeadKind = Literal["ellipsoidal", "hemispherical", "torispherical", "flat"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ConicalHead:
    """A cone of plate. The middle of its plate is similar to its inside and meets the tangent line in mid-wall.

    radius     inside radius at the tangent line [m]
    depth      inside depth to the point [m]
    """

    radius: float
    depth: float
    thickness: float
    straight_flange: float = 0.0

    def __post_init__(self) -> None:
        for field in ("radius", "depth", "thickness"):
            require_positive(field, getattr(self, field))
        within("straight_flange", self.straight_flange, 0.0, math.inf, "0 or more")

    @property
    def inside_radius(self) -> float:
        """Inside radius at the tangent line [m]."""
        return self.radius

    @property
    def outside_radius(self) -> float:
        """Outside radius at the tangent line [m]."""
        return self.radius + self.thickness

    @property
    def inside_profile(self) -> tuple[ProfilePiece, ...]:
        """The inside face from the point to the tangent line, by its distance from the axis."""
        slope = self.depth / self.radius
        return ((0.0, self.radius, lambda rho: (rho, self.depth - slope * rho, slope)),)

    @property
    def inside_depth(self) -> float:
        """Inside depth to the point [m]."""
        return self.depth

    @property
    def outside_depth(self) -> float:
        """Outside depth to the point [m]."""
        return self.depth * self.outside_radius / self.radius

    def inside_height(self, rho: float) -> float:
        """Height [m] of the inside face at a distance `rho` [m] from the axis."""
        rho = within("rho", rho, 0.0, self.radius, "from 0 to the inside radius")
        return self.depth * (1.0 - rho / self.radius)

    def outside_height(self, rho: float) -> float:
        """Height [m] of the outside face at a distance `rho` [m] from the axis."""
        rho = within("rho", rho, 0.0, self.outside_radius, "from 0 to the outside radius")
        return self.depth * (self.outside_radius - rho) / self.radius

    def figures(self) -> HeadFigures:
        """Closed forms of the cone; plate = middle surface x thickness."""
        middle = self.radius + self.thickness / 2.0
        plate = self._side(middle) * self.thickness
        return with_flange(
            inside_radius=self.radius,
            thickness=self.thickness,
            flange=self.straight_flange,
            volume=math.pi * self.radius**2 * self.depth / 3.0,
            volume_moment=math.pi * self.radius**2 * self.depth**2 / 12.0,
            areas=(self._side(self.radius), self._side(middle), self._side(self.outside_radius)),
            plate=plate,
            plate_moment=plate * self.depth * middle / (3.0 * self.radius),
        )

    def _side(self, radius: float) -> float:
        return math.pi * radius * radius * math.hypot(1.0, self.depth / self.radius)


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatHead:
    """A flat end plate.

    radius        inside radius of the vessel [m]
    plate_radius  of the plate itself [m]: the vessel's outside radius where it covers the end
    set_in        from the seam back to the plate's inside face [m]; 0: the plate covers the end
    """

    radius: float
    plate_radius: float
    thickness: float
    set_in: float = 0.0

    def __post_init__(self) -> None:
        for field in ("radius", "plate_radius", "thickness"):
            require_positive(field, getattr(self, field))
        within("set_in", self.set_in, 0.0, math.inf, "0 or more")

    @property
    def inside_radius(self) -> float:
        """Inside radius of the vessel [m]."""
        return self.radius

    @property
    def outside_radius(self) -> float:
        """Radius of the plate [m]."""
        return self.plate_radius

    @property
    def straight_flange(self) -> float:
        """Length it adds to the vessel [m]: none, or less by the set-in."""
        return -self.set_in

    @property
    def inside_profile(self) -> tuple[ProfilePiece, ...]:
        """No face stands out from the seam."""
        return ()

    @property
    def inside_depth(self) -> float:
        """Height of the inside face [m]."""
        return -self.set_in

    @property
    def outside_depth(self) -> float:
        """Height of the outside face [m]."""
        return self.thickness - self.set_in

    def inside_height(self, rho: float) -> float:
        """Height [m] of the inside face at a distance `rho` [m] from the axis."""
        within("rho", rho, 0.0, self.radius, "from 0 to the inside radius")
        return self.inside_depth

    def outside_height(self, rho: float) -> float:
        """Height [m] of the outside face at a distance `rho` [m] from the axis."""
        within("rho", rho, 0.0, self.plate_radius, "from 0 to the radius of the plate")
        return self.outside_depth

    def figures(self) -> HeadFigures:
        """Closed forms of the disc. The inside volume is what the set-in takes away (0 or less)."""
        face, disc = math.pi * self.radius**2, math.pi * self.plate_radius**2
        return HeadFigures(
            inside_volume=-face * self.set_in,
            inside_area=face,
            middle_area=disc,
            outside_area=disc,
            plate_volume=disc * self.thickness,
            plate_centroid=self.thickness / 2.0 - self.set_in,
            volume_centroid=-self.set_in / 2.0,
        )


Head = EllipsoidalHead | TorisphericalHead | ConicalHead | FlatHead


def two_to_one_head(radius: float, thickness: float, straight_flange: float = 0.0) -> EllipsoidalHead:
    """A 2:1 ellipsoidal head of an inside `radius` [m]: inside depth half the radius."""
    return EllipsoidalHead(radius=radius, depth=radius / 2.0, thickness=thickness, straight_flange=straight_flange)


def hemispherical_head(radius: float, thickness: float, straight_flange: float = 0.0) -> EllipsoidalHead:
    """A hemispherical head of an inside `radius` [m]."""
    return EllipsoidalHead(radius=radius, depth=radius, thickness=thickness, straight_flange=straight_flange)


def torispherical_head(
    diameter: float, crown: float, knuckle: float, thickness: float, straight_flange: float = 0.0
) -> TorisphericalHead:
    """A torispherical head by its shares of the inside `diameter` [m]: crown 1.0, knuckle 0.06 is a common one."""
    return TorisphericalHead(
        radius=diameter / 2.0,
        crown=crown * diameter,
        knuckle=knuckle * diameter,
        thickness=thickness,
        straight_flange=straight_flange,
    )


def dished_head(radius: float, depth: float, thickness: float) -> TorisphericalHead:
    """A plain dished end (one ball face, no knuckle) of an inside `radius` and `depth` [m], depth up to the radius."""
    require_positive("radius", radius)
    depth = within("depth", depth, math.ulp(radius), radius, "more than 0, up to the radius")
    crown = (radius * radius + depth * depth) / (2.0 * depth)
    return TorisphericalHead(radius=radius, crown=max(crown, radius), knuckle=0.0, thickness=thickness)


def head_from_outside(
    kind: HeadKind,
    *,
    outer_radius: float,
    wall: float,
    depth: float,
    flange: float = 0.0,
    crown: float = 0.0,
    knuckle: float = 0.0,
) -> Head:
    """The head a shop measures from outside [m]; `depth` counts for ellipsoidal heads only, the rest follow.

    crown, knuckle are outside radii of a torispherical head. A flat plate covers the end.
    """
    if kind == "torispherical":
        return TorisphericalHead(
            radius=outer_radius - wall,
            crown=crown - wall,
            knuckle=knuckle - wall,
            thickness=wall,
            straight_flange=flange,
        )
    if kind == "flat":
        return FlatHead(radius=outer_radius - wall, plate_radius=outer_radius, thickness=wall)
    return EllipsoidalHead(
        radius=outer_radius,
        depth=outer_radius if kind == "hemispherical" else depth,
        thickness=wall,
        straight_flange=flange,
        true_face="outside",
    )
