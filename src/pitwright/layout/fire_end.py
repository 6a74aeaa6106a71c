"""What closes the vessel towards the fire: throat plate, or the head left on and a plate under it."""

from __future__ import annotations

import dataclasses
import math

from pitwright.layout.draft import Draft
from pitwright.layout.model import FireboxLayout, ThroatLayout, VesselLayout
from pitwright.layout.place import end_plate
from pitwright.parts import Outline, Placement, Plate, Point2, PrismCut, bulge_of


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


def crescent(radius_vessel: float, radius_fire: float, drop: float) -> Outline | None:
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
            outer = union_with_box(radius, *_box_edges(box))
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
        dataclasses.replace(head, cuts=(cut,)),
        Placement(
            origin=(vessel.fire_tangent, 0.0, vessel.centre_z),
            x=(-1.0, 0.0, 0.0),
            y=(0.0, -1.0, 0.0),
            z=(0.0, 0.0, 1.0),
        ),
        "of the vessel",
    )
    rests: tuple[Outline, ...]
    if box.shape == "round":
        under = crescent(radius, fire_r, box.drop)
        rests = () if under is None else (under,)
    else:
        rests = box_past_disc(radius, *_box_edges(box))
    for rest in rests:
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


def _arc(a: Point2, b: Point2) -> float:
    """Bulge of the anticlockwise arc about the origin from a to b."""
    return bulge_of((math.atan2(b[1], b[0]) - math.atan2(a[1], a[0])) % (2.0 * math.pi))


def _over(radius: float, half: float, v: float) -> bool:
    """Whether a level edge at v, reaching `half` to both sides, has the disc standing out past it in its middle."""
    return abs(v) < radius and half * half + v * v >= radius * radius


def union_with_box(radius: float, half: float, low: float, top: float) -> Outline:
    """Disc about the origin and a box (half width, bottom, top) in one outline, arcs exact [m].

    Where the box lies inside the disc, the disc alone. The two must overlap.
    """
    side = math.sqrt(max(radius**2 - half**2, 0.0))  # where the disc meets the box's sides
    under, over = low < -side or half >= radius, top > side or half >= radius  # box edges past the disc's sides
    if not (under or over):
        return Outline.circle(0.0, 0.0, radius)
    # anticlockwise; True: the edge leaving this vertex is an arc of the disc
    edges: list[tuple[Point2, bool]] = []
    if under:
        edges.append(((-half, low), False))
        if _over(radius, half, low):
            w = math.sqrt(radius**2 - low**2)
            edges += [((-w, low), True), ((w, low), False)]
        edges.append(((half, low), False))
        if half < radius and top > -side:
            edges.append(((half, -side), True))
    if half < radius and not over and top > -side:
        edges.append(((-half, -side), False))
    else:
        if half < radius and over:
            edges.append(((half, side), False))
        edges.append(((half, top), False))
        if _over(radius, half, top):
            w = math.sqrt(radius**2 - top**2)
            edges += [((w, top), True), ((-w, top), False)]
        edges.append(((-half, top), False))
        if half < radius and over:
            edges.append(((-half, side), True))
            if under:
                edges.append(((-half, -side), False))
    points = tuple(p for p, _ in edges)
    bulges = tuple(_arc(p, points[(i + 1) % len(points)]) if arc else 0.0 for i, (p, arc) in enumerate(edges))
    return Outline(points, bulges)


def box_past_disc(radius: float, half: float, low: float, top: float) -> tuple[Outline, ...]:
    """The parts of a box (half width, bottom, top) that a disc about the origin does not cover, arcs exact [m].

    For a box that hangs under the vessel: what stands out below it, and beside it where the box is wider. Nothing of
    it may stand out over the vessel's middle.
    """
    side = math.sqrt(max(radius**2 - half**2, 0.0))
    within = half < radius and top > -side  # the box's sides end on the disc, else its roof does
    if within and low >= -side:
        return ()
    ends: tuple[Point2, ...] = ((half, -side),) if within else ((half, top), (math.sqrt(radius**2 - top**2), top))
    last = ends[-1]
    if low < -radius:
        mirrored = tuple((-y, v) for y, v in reversed(ends))
        bulges = [0.0] * (2 + 2 * len(ends))
        bulges[1 + len(ends)] = -_arc(mirrored[0], last)
        return (Outline(((-half, low), (half, low), *ends, *mirrored), tuple(bulges)),)
    foot = (math.sqrt(radius**2 - low**2), low)
    bulge = -_arc(foot, last)
    right = Outline((foot, (half, low), *ends), (0.0,) * (1 + len(ends)) + (bulge,))
    left = Outline(
        ((-half, low), (-foot[0], low), *((-y, v) for y, v in reversed(ends))), (0.0, bulge) + (0.0,) * len(ends)
    )
    return right, left
