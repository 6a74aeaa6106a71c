"""What closes the vessel towards the fire: throat plate, or the head left on and a plate under it."""

from __future__ import annotations

import math

from pitwright.layout.draft import Draft
from pitwright.layout.model import FireboxLayout, ThroatLayout, VesselLayout
from pitwright.layout.place import end_plate
from pitwright.parts import Head, Outline, Placement, Plate, PrismCut, bulge_of


def union_of_rounds(radius_a: float, radius_b: float, drop: float) -> Outline:
    """Outline of two overlapping discs, b's centre `drop` under a's at the origin [m]; arcs exact.

    Where one lies inside the other, the larger alone.
    """
    if drop <= abs(radius_a - radius_b):
        return Outline.circle(0.0, 0.0, radius_a) if radius_a >= radius_b else Outline.circle(0.0, -drop, radius_b)
    v = (radius_b**2 - drop**2 - radius_a**2) / (2.0 * drop)
    half = math.sqrt(max(radius_a**2 - v * v, 0.0))
    right, left = (half, v), (-half, v)
    upper = (math.atan2(v, -half) - math.atan2(v, half)) % (2.0 * math.pi)
    lower = (math.atan2(v + drop, half) - math.atan2(v + drop, -half)) % (2.0 * math.pi)
    return Outline((right, left), (bulge_of(upper), bulge_of(lower)))


def _crescent(radius_vessel: float, radius_fire: float, drop: float) -> Outline | None:
    """The part of the firebox disc under the vessel's disc, None where there is none [m]."""
    if drop + radius_fire <= radius_vessel or drop >= radius_vessel + radius_fire:
        return None
    v = (radius_fire**2 - drop**2 - radius_vessel**2) / (2.0 * drop)
    half = math.sqrt(max(radius_vessel**2 - v * v, 0.0))
    left, right = (-half, v), (half, v)
    lower = (math.atan2(v + drop, half) - math.atan2(v + drop, -half)) % (2.0 * math.pi)
    upper = (math.atan2(v, half) - math.atan2(v, -half)) % (2.0 * math.pi)
    return Outline((left, right), (bulge_of(lower), -bulge_of(upper)))


def close_fire_end(draft: Draft, vessel: VesselLayout, box: FireboxLayout, throat: ThroatLayout) -> None:
    """What closes the vessel towards the fire, with the throat through it."""
    hole = Outline(throat.points, throat.bulges)
    radius = vessel.outer_radius
    fire_r = box.width / 2.0
    if box.joint == "cut":
        if box.shape == "round":
            outer = union_of_rounds(radius, fire_r, box.drop)
        else:
            outer = _vessel_and_box(radius, box)
        plate = Plate(outline=Outline(outer.points, outer.bulges, (hole,)), thickness=throat.plate_thickness)
        draft.add(
            "T",
            "throat plate",
            "throat",
            plate,
            end_plate(-throat.plate_thickness, vessel.centre_z),
            draft.plate(throat.plate_thickness),
            notes=("closes vessel and firebox in one piece",),
        )
        return
    head = vessel.fire_head
    assert head is not None  # lay_out_firebox is not reached without the head this joint needs
    cut = PrismCut(
        outline=Outline(tuple((-p[0], p[1]) for p in reversed(hole.points)), _reversed_bulges(hole.bulges)),
        origin=(0.0, 0.0, 0.0),
        u=(0.0, 1.0, 0.0),
        v=(0.0, 0.0, 1.0),
    )
    # the head bulges to -x of the pit: local x = -x, local y = -y keeps it right-handed, z up
    draft.add(
        "V",
        "fire-end head",
        "vessel",
        Head(
            kind=head.kind,
            outer_radius=head.outer_radius,
            wall=head.wall,
            depth=head.depth,
            flange=head.flange,
            crown=head.crown,
            knuckle=head.knuckle,
            cuts=(cut,),
        ),
        Placement(
            origin=(vessel.fire_tangent, 0.0, vessel.centre_z),
            x=(-1.0, 0.0, 0.0),
            y=(0.0, -1.0, 0.0),
            z=(0.0, 0.0, 1.0),
        ),
        "of the vessel",
    )
    if box.shape == "round":
        rest = _crescent(radius, fire_r, box.drop)
    else:
        rest = _box_under(radius, box)
    if rest is not None:
        draft.add(
            "T",
            "closing plate",
            "throat",
            Plate(outline=rest, thickness=throat.plate_thickness),
            end_plate(box.x1, vessel.centre_z),
            draft.plate(throat.plate_thickness),
            notes=("closes the firebox under the vessel",),
        )


def _reversed_bulges(bulges: tuple[float, ...]) -> tuple[float, ...]:
    """Bulges of an outline mirrored and walked backwards: the edge order reverses, the turn stays to the left."""
    n = len(bulges)
    return tuple(bulges[(n - 2 - i) % n] for i in range(n))


def _box_edges(box: FireboxLayout) -> tuple[float, float, float]:
    """(half width, bottom v, top v) of the box's outside from the vessel's centre [m]."""
    return box.width / 2.0, -box.drop - box.height / 2.0, -box.drop + box.height / 2.0


def _vessel_and_box(radius: float, box: FireboxLayout) -> Outline:
    """Vessel disc and box rectangle in one outline [m]; the box reaches below the vessel."""
    half, low, top = _box_edges(box)
    if half >= radius:
        # box wider than the vessel: a rectangle up to its roof and the disc over it
        v = min(max(top, -radius), radius)
        w = math.sqrt(max(radius**2 - v * v, 0.0))
        sweep = (math.atan2(v, -w) - math.atan2(v, w)) % (2.0 * math.pi)
        return Outline(
            ((-half, low), (half, low), (half, v), (w, v), (-w, v), (-half, v)),
            (0.0, 0.0, 0.0, bulge_of(sweep), 0.0, 0.0),
        )
    meet = -math.sqrt(radius**2 - half**2)
    if low >= meet:
        return Outline.circle(0.0, 0.0, radius)
    sweep = (math.atan2(meet, -half) - math.atan2(meet, half)) % (2.0 * math.pi)
    return Outline(((-half, low), (half, low), (half, meet), (-half, meet)), (0.0, 0.0, bulge_of(sweep), 0.0))


def _box_under(radius: float, box: FireboxLayout) -> Outline | None:
    """The part of the box's end that the vessel does not close, under the vessel [m]."""
    half, low, _ = _box_edges(box)
    w = min(half, radius * 0.999)
    meet = -math.sqrt(radius**2 - w * w)
    if low >= meet:
        return None
    sweep = (math.atan2(meet, w) - math.atan2(meet, -w)) % (2.0 * math.pi)
    return Outline(((-half, low), (half, low), (w, meet), (-w, meet)), (0.0, 0.0, -bulge_of(sweep), 0.0))
