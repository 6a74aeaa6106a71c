"""Vessel heads formed from plate: ellipsoidal, hemispherical and torispherical.

Lengths [m], areas [m2], volumes [m3]. A head is measured from its tangent line (height 0) outward along the vessel's
axis; `rho` is a distance from that axis. A straight flange runs back from the tangent line to the seam. The plate
keeps one thickness everywhere: the second face lies square to the first one, so only one face is a true ellipse.
Heights and depths are in closed form on the true face; areas, volumes and moments are exact for revolved plate,
summed along the meridian by a Gauss rule to rounding level.
"""

from __future__ import annotations

import math
from abc import ABC, abstractmethod
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from pitwright.errors import LayoutError
from pitwright.geometry.numeric import find_root, gauss_rule, require_positive, within

Face = Literal["inside", "outside"]

# One point of a meridian: radius, height, normal (outward, upward), length and turn of the normal per unit of the
# running angle. A face `offset` further out has the radius + offset x normal and the length + offset x turn.
MeridianPoint = tuple[float, float, float, float, float, float]
MeridianPiece = tuple[float, float, Callable[[float], MeridianPoint]]
# One point of an inside face: radius, height, and fall of the height per unit of the running angle.
ProfilePoint = tuple[float, float, float]
ProfilePiece = tuple[float, float, Callable[[float], ProfilePoint]]


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadFigures:
    """What a head holds and weighs, its straight flange included.

    inside_volume    [m3]; inside_area, middle_area, outside_area: of the faces and the middle of the plate [m2]
    plate_volume     of steel [m3]
    plate_centroid   height of the steel's centroid over the tangent line [m]
    volume_centroid  height of the inside volume's centroid over the tangent line [m]
    """

    inside_volume: float
    inside_area: float
    middle_area: float
    outside_area: float
    plate_volume: float
    plate_centroid: float
    volume_centroid: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FormedHead(ABC):
    """A head pressed or spun from plate; use one of its kinds below.

    thickness        of the plate [m]
    straight_flange  from the seam to the tangent line [m]
    """

    thickness: float
    straight_flange: float = 0.0

    def __post_init__(self) -> None:
        require_positive("thickness", self.thickness)
        within("straight_flange", self.straight_flange, 0.0, math.inf, "0 or more")

    @property
    def inside_offset(self) -> float:
        """Where the inside face lies, seen from the true face [m]."""
        return 0.0

    @property
    @abstractmethod
    def meridian(self) -> tuple[MeridianPiece, ...]:
        """The true face from crown to tangent line, in pieces (from, to, point at)."""

    def point(self, piece: MeridianPiece, angle: float, offset: float) -> tuple[float, float]:
        """Radius and height [m] of a face `offset` outside the true one."""
        radius, height, outward, upward, _, _ = piece[2](angle)
        return radius + offset * outward, height + offset * upward

    @property
    def inside_radius(self) -> float:
        """Inside radius at the tangent line [m]."""
        last = self.meridian[-1]
        return self.point(last, last[1], self.inside_offset)[0]

    @property
    def outside_radius(self) -> float:
        """Outside radius at the tangent line [m]."""
        return self.inside_radius + self.thickness

    @property
    def inside_depth(self) -> float:
        """Inside depth from the tangent line to the crown [m]."""
        first = self.meridian[0]
        return self.point(first, first[0], self.inside_offset)[1]

    @property
    def outside_depth(self) -> float:
        """Outside depth from the tangent line to the crown [m]."""
        return self.inside_depth + self.thickness

    @property
    def inside_profile(self) -> tuple[ProfilePiece, ...]:
        """The inside face from crown to tangent line, in pieces (from, to, point at)."""
        offset = self.inside_offset

        def face(at: Callable[[float], MeridianPoint]) -> Callable[[float], ProfilePoint]:
            def point(angle: float) -> ProfilePoint:
                radius, height, outward, upward, length, turn = at(angle)
                return (
                    radius + offset * outward,
                    height + offset * upward,
                    outward * (length + offset * turn),
                )

            return point

        return tuple((start, end, face(at)) for start, end, at in self.meridian)

    def inside_height(self, rho: float) -> float:
        """Height [m] of the inside face at a distance `rho` [m] from the axis."""
        rho = within("rho", rho, 0.0, self.inside_radius, "from 0 to the inside radius")
        return self.face_height(rho, self.inside_offset)

    def outside_height(self, rho: float) -> float:
        """Height [m] of the outside face at a distance `rho` [m] from the axis."""
        rho = within("rho", rho, 0.0, self.outside_radius, "from 0 to the outside radius")
        return self.face_height(rho, self.inside_offset + self.thickness)

    def face_height(self, rho: float, offset: float) -> float:
        """Height [m] at `rho` of the face `offset` outside the true one."""
        for piece in self.meridian:
            if rho <= self.point(piece, piece[1], offset)[0]:
                break
        start, end, _ = piece
        if rho <= self.point(piece, start, offset)[0]:
            return self.point(piece, start, offset)[1]
        if rho >= self.point(piece, end, offset)[0]:
            return self.point(piece, end, offset)[1]
        angle = find_root(lambda a: self.point(piece, a, offset)[0] - rho, start, end, field="rho")
        return self.point(piece, angle, offset)[1]

    def figures(self) -> HeadFigures:
        """Volume, surface, plate and centroids."""
        return _formed_figures(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class EllipsoidalHead(FormedHead):
    """A head whose inside (or outside) is half an ellipsoid of revolution; depth = radius is a hemisphere.

    radius, depth  half axes of the true face: across and along the vessel [m]
    true_face      which face is the ellipse; a head measured with tape and straightedge is true outside
    """

    radius: float
    depth: float
    true_face: Face = "inside"

    def __post_init__(self) -> None:
        FormedHead.__post_init__(self)
        require_positive("radius", self.radius)
        require_positive("depth", self.depth)
        tightest = min(self.depth**2 / self.radius, self.radius**2 / self.depth)
        if self.true_face == "outside" and self.thickness >= tightest:
            raise LayoutError(
                "the plate is thicker than the tightest bend of the head",
                field="thickness",
                value=self.thickness,
                allowed="less than depth squared over radius, and radius squared over depth",
            )

    @property
    def inside_offset(self) -> float:
        """Where the inside face lies, seen from the true face [m]."""
        return 0.0 if self.true_face == "inside" else -self.thickness

    @property
    def meridian(self) -> tuple[MeridianPiece, ...]:
        """The quarter ellipse."""
        a, b = self.radius, self.depth

        def at(angle: float) -> MeridianPoint:
            sine, cosine = math.sin(angle), math.cos(angle)
            length = math.hypot(a * cosine, b * sine)
            return a * sine, b * cosine, b * sine / length, a * cosine / length, length, a * b / length**2

        return ((0.0, math.pi / 2.0, at),)

    def face_height(self, rho: float, offset: float) -> float:
        """Height [m] at `rho`: b sqrt(1 - (rho/a)2) on the true face, found along the meridian on the other."""
        if offset == 0.0:
            return self.depth / self.radius * math.sqrt(max((self.radius - rho) * (self.radius + rho), 0.0))
        return FormedHead.face_height(self, rho, offset)


@dataclass(frozen=True, slots=True, kw_only=True)
class TorisphericalHead(FormedHead):
    """A dished head: a ball crown, then a tighter knuckle into the shell. Inside sizes.

    radius   inside radius at the tangent line [m]
    crown    inside crown radius [m], at least `radius`
    knuckle  inside knuckle radius [m]; 0 is a plain dished end without a knuckle
    """

    radius: float
    crown: float
    knuckle: float

    def __post_init__(self) -> None:
        FormedHead.__post_init__(self)
        require_positive("radius", self.radius)
        within("crown", self.crown, self.radius, math.inf, "the inside radius or more")
        within("knuckle", self.knuckle, 0.0, self.radius, "from 0 to the inside radius")

    @property
    def crown_angle(self) -> float:
        """Angle from the axis at which the crown meets the knuckle [rad]: asin((R - k)/(L - k))."""
        if self.crown == self.knuckle:
            return 0.0
        return math.asin(min(1.0, (self.radius - self.knuckle) / (self.crown - self.knuckle)))

    @property
    def inside_depth(self) -> float:
        """Inside depth [m]: L - sqrt((L - k)2 - (R - k)2)."""
        return torispherical_depth(2.0 * self.radius, self.crown, self.knuckle)

    @property
    def meridian(self) -> tuple[MeridianPiece, ...]:
        """The crown's arc and the knuckle's."""
        turn, ring = self.crown_angle, self.radius - self.knuckle
        low = self.crown - self.inside_depth

        def crown_at(angle: float) -> MeridianPoint:
            sine, cosine = math.sin(angle), math.cos(angle)
            return self.crown * sine, self.crown * cosine - low, sine, cosine, self.crown, 1.0

        def knuckle_at(angle: float) -> MeridianPoint:
            sine, cosine = math.sin(angle), math.cos(angle)
            return ring + self.knuckle * sine, self.knuckle * cosine, sine, cosine, self.knuckle, 1.0

        return ((0.0, turn, crown_at), (turn, math.pi / 2.0, knuckle_at))

    def face_height(self, rho: float, offset: float) -> float:
        """Height [m] at `rho`: on the crown's arc, or further out on the knuckle's."""
        crown, knuckle, ring = self.crown + offset, self.knuckle + offset, self.radius - self.knuckle
        if rho <= crown * math.sin(self.crown_angle):
            return math.sqrt((crown - rho) * (crown + rho)) - (self.crown - self.inside_depth)
        return math.sqrt(max((knuckle - rho + ring) * (knuckle + rho - ring), 0.0))


def torispherical_depth(diameter: float, crown: float, knuckle: float) -> float:
    """Depth [m] of a torispherical face, all sizes of that face [m]: L - sqrt((L - k)2 - (D/2 - k)2)."""
    radius = diameter / 2.0
    return crown - math.sqrt(max((crown - radius) * (crown + radius - 2.0 * knuckle), 0.0))


def with_flange(
    *,
    inside_radius: float,
    thickness: float,
    flange: float,
    volume: float,
    volume_moment: float,
    areas: Sequence[float],
    plate: float,
    plate_moment: float,
) -> HeadFigures:
    """The figures of a head: what lies above its tangent line, and its straight flange below it."""
    middle, outside = inside_radius + thickness / 2.0, inside_radius + thickness
    bore = math.pi * inside_radius * inside_radius * flange
    ring = 2.0 * math.pi * middle * thickness * flange
    return HeadFigures(
        inside_volume=volume + bore,
        inside_area=areas[0] + 2.0 * math.pi * inside_radius * flange,
        middle_area=areas[1] + 2.0 * math.pi * middle * flange,
        outside_area=areas[2] + 2.0 * math.pi * outside * flange,
        plate_volume=plate + ring,
        plate_centroid=(plate_moment - ring * flange / 2.0) / (plate + ring),
        volume_centroid=(volume_moment - bore * flange / 2.0) / (volume + bore),
    )


@lru_cache(maxsize=256)
def _formed_figures(head: FormedHead) -> HeadFigures:
    """Sums along the meridian: area 2 pi r ds, volume pi r2 dh, and their moments, at faces across the plate."""
    nodes, weights = gauss_rule(48)
    inside, thickness = head.inside_offset, head.thickness
    faces = (inside, inside + thickness / 2.0, inside + thickness)
    spread = thickness / (2.0 * math.sqrt(3.0))
    # Two layers integrate the plate exactly: its volume and moment are cubic across the thickness.
    layers = (faces[1] - spread, faces[1] + spread)
    areas = [0.0, 0.0, 0.0]
    volume = volume_moment = plate = plate_moment = 0.0
    for start, end, at in head.meridian:
        middle, half = (start + end) / 2.0, (end - start) / 2.0
        for x, w in zip(nodes, weights, strict=True):
            radius, height, outward, upward, length, turn = at(middle + half * x)
            w *= half
            for k, offset in enumerate(faces):
                areas[k] += w * 2.0 * math.pi * (radius + offset * outward) * (length + offset * turn)
            fall = w * math.pi * (radius + inside * outward) ** 2 * outward * (length + inside * turn)
            volume += fall
            volume_moment += fall * (height + inside * upward)
            for offset in layers:
                shell = w * math.pi * thickness * (radius + offset * outward) * (length + offset * turn)
                plate += shell
                plate_moment += shell * (height + offset * upward)
    return with_flange(
        inside_radius=head.inside_radius,
        thickness=thickness,
        flange=head.straight_flange,
        volume=volume,
        volume_moment=volume_moment,
        areas=areas,
        plate=plate,
        plate_moment=plate_moment,
    )
