"""The outline of a vessel head as it is turned: points along its faces, and how far each face stands out.

A head's plate has one thickness; its outside is the true ellipse (or the stated crown and knuckle), as in
`pitwright.geometry.heads`. `rho` is the distance from the vessel's axis, x from the tangent line outward [m].
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pitwright.geometry.formed_heads import EllipsoidalHead, FormedHead, TorisphericalHead
from pitwright.geometry.heads import Head as HeadForm
from pitwright.geometry.heads import head_from_outside
from pitwright.parts import Head, Point2

Array = NDArray[np.float64]


def head_form(head: Head) -> HeadForm:
    """The head's geometry, as `pitwright.geometry.heads` knows it."""
    return head_from_outside(
        head.kind,
        outer_radius=head.outer_radius,
        wall=head.wall if head.kind != "flat" else head.depth,
        depth=head.depth,
        flange=head.flange,
        crown=head.crown,
        knuckle=head.knuckle,
    )


def bends(head: Head) -> tuple[float, ...]:
    """Radii between the axis and the rim at which the faces change their curve [m]."""
    if head.kind == "flat":
        return ()
    found = [head.outer_radius - head.wall]
    form = head_form(head)
    if isinstance(form, TorisphericalHead):
        sine = math.sin(form.crown_angle)
        found += [form.crown * sine, (form.crown + form.thickness) * sine]
    return tuple(found)


def stands_out(head: Head, rho: Array) -> tuple[Array, Array]:
    """Where lines along x, `rho` from the axis, enter and leave the steel of an uncut head [m]."""
    if head.kind == "flat":
        return np.zeros_like(rho), np.full_like(rho, head.depth)
    form = head_form(head)
    bore = head.outer_radius - head.wall
    in_bore = np.minimum(rho, bore)
    if isinstance(form, TorisphericalHead):
        inside = _ball_height(form, in_bore, 0.0)
    else:
        assert isinstance(form, EllipsoidalHead)  # head_from_outside makes no other formed kind
        inside = _even_height(form, in_bore)
    return np.where(rho < bore, inside, -head.flange), outer_face(head, rho)


def outer_face(head: Head, rho: Array) -> Array:
    """How far the outside of a head stands out past its tangent line, `rho` from the axis [m]."""
    if head.kind == "flat":
        return np.full_like(rho, head.depth)
    form = head_form(head)
    if isinstance(form, TorisphericalHead):
        return _ball_height(form, rho, head.wall)
    assert isinstance(form, EllipsoidalHead)  # head_from_outside makes no other formed kind
    return np.asarray(form.depth * np.sqrt(np.maximum(1.0 - (rho / form.radius) ** 2, 0.0)))


def _ball_height(form: TorisphericalHead, rho: Array, offset: float) -> Array:
    crown, knuckle, ring = form.crown + offset, form.knuckle + offset, form.radius - form.knuckle
    on_crown = np.sqrt(np.maximum(crown * crown - rho * rho, 0.0)) - (form.crown - form.inside_depth)
    on_knuckle = np.sqrt(np.maximum(knuckle * knuckle - (rho - ring) ** 2, 0.0))
    return np.where(rho <= crown * math.sin(form.crown_angle), on_crown, on_knuckle)


def _even_height(form: EllipsoidalHead, rho: Array) -> Array:
    """Height of the inside face under a true ellipse: halving along the meridian until rho is met."""
    a, b, t = form.radius, form.depth, form.thickness
    low, high = np.zeros_like(rho), np.full_like(rho, math.pi / 2.0)
    for _ in range(46):
        angle = (low + high) / 2.0
        sine = np.sin(angle)
        within = sine * (a - t * b / np.hypot(a * np.cos(angle), b * sine)) < rho
        low, high = np.where(within, angle, low), np.where(within, high, angle)
    sine, cosine = np.sin(low), np.cos(low)
    return np.asarray(cosine * (b - t * a / np.hypot(a * cosine, b * sine)))


def faces(head: Head, points: int = 48) -> tuple[list[Point2], list[Point2]]:
    """Outside and inside face as points (rho, x) from the axis to the end of the straight flange [m]."""
    radius, t = head.outer_radius, head.wall
    if head.kind == "flat":
        return [(0.0, head.depth), (radius, head.depth), (radius, 0.0)], [(0.0, 0.0), (radius, 0.0)]
    form = head_form(head)
    assert isinstance(form, FormedHead)  # every kind but the flat one
    outside: list[Point2] = []
    inside: list[Point2] = []
    for k, piece in enumerate(form.meridian):
        for i in range(min(k, 1), points + 1):
            angle = _share_of(form, piece[0], piece[1], i / points)
            outside.append(form.point(piece, angle, form.inside_offset + t))
            inside.append(form.point(piece, angle, form.inside_offset))
    if head.flange > 0.0:
        outside.append((radius, -head.flange))
        inside.append((radius - t, -head.flange))
    return outside, inside


def face_lines(head: Head, offset: float, shares: Array) -> list[tuple[Array, Array, Array]]:
    """Each bend of a formed head's face at shares 0 to 1 of its running angle: rho, x, d(rho)/d(share) [m].

    offset: from the inside face outward.
    """
    form = head_form(head)
    if isinstance(form, TorisphericalHead):
        turn, ring, low = form.crown_angle, form.radius - form.knuckle, form.crown - form.inside_depth
        rest = math.pi / 2.0 - turn
        on_crown, on_knuckle = turn * shares, turn + rest * shares
        crown, knuckle = form.crown + offset, form.knuckle + offset
        return [
            (crown * np.sin(on_crown), crown * np.cos(on_crown) - low, crown * np.cos(on_crown) * turn),
            (ring + knuckle * np.sin(on_knuckle), knuckle * np.cos(on_knuckle), knuckle * np.cos(on_knuckle) * rest),
        ]
    assert isinstance(form, EllipsoidalHead)  # head_from_outside makes no other formed kind
    a, b, o = form.radius, form.depth, offset + form.inside_offset
    angle = math.pi / 2.0 * shares
    sine, cosine = np.sin(angle), np.cos(angle)
    length = np.hypot(a * cosine, b * sine)
    slope = math.pi / 2.0 * a * cosine * (1.0 + o * a * b / length**3)
    return [(sine * (a + o * b / length), cosine * (b + o * a / length), slope)]


def _share_of(form: FormedHead, start: float, end: float, share: float) -> float:
    """The running angle at a share of a meridian piece; on an ellipse closer together where it bends more."""
    even = start + (end - start) * share
    if isinstance(form, EllipsoidalHead) and 0.0 < share < 1.0:
        return (even + math.atan(form.radius / form.depth * math.tan(even))) / 2.0
    return even
