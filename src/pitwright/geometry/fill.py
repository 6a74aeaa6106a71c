"""How much a round vessel holds, whole or filled to a level, lying or standing.

Lengths [m], volumes [m3]. `length` is the shell from seam to seam; a head's straight flange is added to it. Levels
are measured inside, from the lowest point.
Formulas: D. Jones, "Calculating Tank Volume"; heads without a closed form are summed in slices along their depth.
"""

from __future__ import annotations

import math

from pitwright.geometry.heads import EllipsoidalHead, Head, ProfilePiece
from pitwright.geometry.numeric import find_root, integrate, require_positive, within
from pitwright.geometry.round import segment_area


def vessel_volume(radius: float, length: float, heads: tuple[Head, Head]) -> float:
    """Inside volume [m3] of a shell of inside `radius` [m] and its two heads."""
    require_positive("radius", radius)
    require_positive("length", length)
    return math.pi * radius * radius * length + math.fsum(head.figures().inside_volume for head in heads)


def lying_volume(radius: float, length: float, heads: tuple[Head, Head], level: float) -> float:
    """Volume [m3] in a lying vessel filled to a `level` [m] over its lowest inside point."""
    require_positive("radius", radius)
    require_positive("length", length)
    level = within("level", level, 0.0, 2.0 * radius, "from 0 to the inside diameter")
    straight = length + math.fsum(head.straight_flange for head in heads)
    return segment_area(radius, level) * straight + math.fsum(lying_head_volume(head, level) for head in heads)


def lying_level(radius: float, length: float, heads: tuple[Head, Head], volume: float) -> float:
    """Level [m] at which a lying vessel holds a `volume` [m3]; inverse of `lying_volume`."""
    whole = vessel_volume(radius, length, heads)
    volume = within("volume", volume, 0.0, whole, "from 0 to what the vessel holds")
    if volume >= whole:
        return 2.0 * radius
    return find_root(
        lambda level: lying_volume(radius, length, heads, level) - volume, 0.0, 2.0 * radius, field="volume"
    )


def standing_volume(radius: float, length: float, bottom: Head, top: Head, level: float) -> float:
    """Volume [m3] in a standing vessel filled to a `level` [m] over its lowest inside point."""
    require_positive("radius", radius)
    require_positive("length", length)
    straight = length + bottom.straight_flange + top.straight_flange
    # The inside of a flat plate set into the shell lies at the end of the shortened straight part.
    low = bottom.inside_depth if bottom.inside_profile else 0.0
    high = top.inside_depth if top.inside_profile else 0.0
    level = within("level", level, 0.0, low + straight + high, "from 0 to the inside height")
    volume = 0.0
    if bottom.inside_profile:
        volume += crown_volume(bottom, max(low - level, 0.0))
    volume += math.pi * radius * radius * min(max(level - low, 0.0), straight)
    if top.inside_profile and level > low + straight:
        volume += crown_volume(top, 0.0) - crown_volume(top, level - low - straight)
    return volume


def crown_volume(head: Head, height: float) -> float:
    """Inside volume [m3] of a head between its crown and the plane `height` [m] over its tangent line."""
    depth = head.inside_depth
    height = within("height", height, 0.0, max(depth, 0.0), "from the tangent line to the inside depth")
    if isinstance(head, EllipsoidalHead) and head.true_face == "inside":
        part = depth - height
        return math.pi * (head.radius / depth) ** 2 * part * part * (depth - part / 3.0)
    return math.fsum(_crown_piece(piece, height) for piece in head.inside_profile)


def lying_head_volume(head: Head, level: float) -> float:
    """Volume [m3] in one head of a lying vessel, from its tangent line out, filled to a `level` [m].

    Ellipsoidal: pi a h2 (1 - h/3R)/2, depth a; cone, torispherical and plain dished heads in slices.
    """
    if not head.inside_profile:
        return 0.0
    radius = head.inside_radius
    level = within("level", level, 0.0, 2.0 * radius, "from 0 to the inside diameter")
    if isinstance(head, EllipsoidalHead) and head.true_face == "inside":
        return math.pi * head.depth * level * level * (1.0 - level / (3.0 * radius)) / 2.0
    if level > radius:
        return crown_volume(head, 0.0) - lying_head_volume(head, 2.0 * radius - level)
    return math.fsum(_lying_piece(piece, radius - level) for piece in head.inside_profile)


def _crown_piece(piece: ProfilePiece, height: float) -> float:
    """Volume [m3] inside one piece of a head's face, above a plane square to its axis."""
    start, end, at = piece
    if at(start)[1] <= height:
        return 0.0
    stop = end
    if at(end)[1] < height:
        stop = find_root(lambda angle: at(angle)[1] - height, start, end, field="height")

    def slice_at(angle: float) -> float:
        rho, _, fall = at(angle)
        return math.pi * rho * rho * fall

    return integrate(slice_at, start, stop)


def _lying_piece(piece: ProfilePiece, dry: float) -> float:
    """Volume [m3] inside one piece of a lying head's face, lower than `dry` [m] under the axis."""
    start, end, at = piece
    if at(end)[0] <= dry:
        return 0.0
    first = start
    if at(start)[0] < dry:
        first = find_root(lambda angle: at(angle)[0] - dry, start, end, field="level")

    def slice_at(share: float) -> float:
        # The first slice is nothing, with a sharp edge; running by the share squared rounds it off.
        rho, _, fall = at(first + (end - first) * share * share)
        return segment_area(rho, max(rho - dry, 0.0)) * fall * 2.0 * share * (end - first) if rho > 0.0 else 0.0

    return integrate(slice_at, 0.0, 1.0)
