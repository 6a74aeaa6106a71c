"""The pieces of the firebox and of the vessel's fire end: body, end plates, throat plate, doors, fire grate."""

from __future__ import annotations

import numpy as np

from pitwright.layout.draft import Draft
from pitwright.layout.fire_end import close_fire_end
from pitwright.layout.fire_grate import fire_grate_parts
from pitwright.layout.firebox_front import INLET_FILL
from pitwright.layout.model import FireboxLayout, Opening, ThroatLayout, VesselLayout
from pitwright.layout.place import end_plate
from pitwright.meridian import outer_face
from pitwright.parts import (
    Bar,
    Bought,
    Head,
    HeadCut,
    Outline,
    Placement,
    PlaneCut,
    Plate,
    Point2,
    Shape,
    Shell,
)
from pitwright.stock import Profile, pipe
from pitwright.tape import INCH

LAP = 0.75 * INCH  # a firebox door laps its opening by this much
INSULATION_DENSITY = 128.0  # kg/m3, ceramic fibre blanket at 8 lb/ft3 (nominal trade density, from memory)


def firebox_parts(draft: Draft, vessel: VesselLayout, box: FireboxLayout, throat: ThroatLayout) -> None:
    """Add every piece of the firebox to the draft."""
    close_fire_end(draft, vessel, box, throat)
    if box.shape == "round":
        _round_body(draft, vessel, box)
    else:
        _box_body(draft, vessel, box)
    outer_end(draft, box)
    fire_grate_parts(draft, box)


def _pipe_to_vessel(stock: Profile, length: float, drop: float, head: Head | None) -> Bar:
    """A firebox pipe: square at its outer end, square or coped to a dished head at the vessel."""
    start = PlaneCut(point=(0.0, 0.0, 0.0), normal=(-1.0, 0.0, 0.0))
    if head is None:
        return Bar.square(stock, length)
    finish = HeadCut(
        point=(length, 0.0, drop),
        axis=(-1.0, 0.0, 0.0),
        radius=head.outer_radius,
        depth=head.depth,
        crown=head.crown,
        knuckle=head.knuckle,
    )
    return Bar(profile=stock, x0=0.0, x1=length - _head_out(head, 0.0, -drop), start=start, finish=finish)


def _round_body(draft: Draft, vessel: VesselLayout, box: FireboxLayout) -> None:
    stock = pipe(box.width, box.wall, system=draft.tape.system)
    length = box.x1 - box.x0 - box.end_plate
    head = vessel.fire_head if box.joint == "dished" else None
    at = Placement(origin=(box.x0 + box.end_plate, 0.0, box.centre_z))
    draft.add(
        "F",
        "firebox body",
        "firebox",
        _pipe_to_vessel(stock, length, box.drop, head),
        at,
        stock.designation,
        notes=("coped to the dished end; stops at the girth seam where it misses the head",) if head else (),
    )
    if not box.double_gap:
        return
    outer = pipe(box.width + 2.0 * (box.double_gap + box.outer_skin), box.outer_skin, system=draft.tape.system)
    draft.add(
        "F",
        "firebox outer skin",
        "firebox",
        _pipe_to_vessel(outer, length, box.drop, head),
        at,
        outer.designation,
        notes=("roll from sheet and close with one long seam",),
    )
    radius = box.width / 2.0 + box.double_gap
    nearest = max(box.drop - radius, 0.0)
    _insulation(
        draft,
        [
            (
                Shell(outer_radius=radius, wall=box.double_gap, length=length - _head_out(head, 0.0, nearest)),
                at,
            )
        ],
    )


def _insulation(draft: Draft, pieces: list[tuple[Shape, Placement]]) -> None:
    """Blanket in the gap of a double wall; its density is the trade's nominal one."""
    for shape, at in pieces:
        draft.add(
            "F",
            "firebox insulation",
            "firebox",
            shape,
            at,
            "ceramic fibre blanket",
            assumed=True,
            material="ceramic fibre",
            density=INSULATION_DENSITY,
            notes=("mask, gloves and long sleeves when handling ceramic fibre",),
        )


def _box_body(draft: Draft, vessel: VesselLayout, box: FireboxLayout) -> None:
    """Bottom and roof run full width; sides stand between them. Against a dished head their edges are coped."""
    t = box.wall
    length = box.x1 - box.x0 - box.end_plate
    x0 = box.x0 + box.end_plate
    name = draft.plate(t)
    half = box.width / 2.0
    head = vessel.fire_head if box.joint == "dished" else None
    side_h = box.height - 2.0 * t

    def flat(v: float, wide: float = half, thick: float = t) -> Outline:
        """Bottom or roof with its under face at v: local x along the pit, y across; its edge clears the head."""
        near = min(max(0.0, v), v + thick)
        ys = _steps(-wide, wide, head)
        outs = _heads_out(head, [(y, near) for y in ys])
        return Outline.polygon(((0.0, -wide), *((length - o, y) for o, y in zip(outs, ys)), (0.0, wide)))

    def side_of(low: float, tall: float, y: float) -> Outline:
        """A side from `low` up, its inner face at y: local x along the pit, y up; its edge clears the head."""
        ups = _steps(0.0, tall, head)
        outs = _heads_out(head, [(y, low + up) for up in ups])
        return Outline.polygon(((0.0, 0.0), *((length - o, up) for o, up in zip(outs, ups)), (0.0, tall)))

    bottom_v, roof_v = -box.drop - box.height / 2.0, -box.drop + box.height / 2.0
    draft.add(
        "F",
        "firebox bottom",
        "firebox",
        Plate(outline=flat(bottom_v), thickness=t),
        Placement(origin=(x0, 0.0, vessel.centre_z + bottom_v)),
        name,
    )
    draft.add(
        "F",
        "firebox roof",
        "firebox",
        Plate(outline=flat(roof_v - t), thickness=t),
        Placement(origin=(x0, 0.0, vessel.centre_z + roof_v - t)),
        name,
    )
    low = bottom_v + t
    draft.add(
        "F",
        "firebox side",
        "firebox",
        Plate(outline=side_of(low, side_h, half - t), thickness=t),
        [
            Placement(
                origin=(x0, y, vessel.centre_z + low), x=(1.0, 0.0, 0.0), y=(0.0, 0.0, 1.0), z=(0.0, -1.0, 0.0), where=w
            )
            for y, w in ((half, "working side"), (-half + t, "back"))
        ],
        name,
    )
    if box.double_gap:
        g, s = box.double_gap, box.outer_skin
        wide, tall = box.width + 2.0 * (g + s), box.height + 2.0 * (g + s)
        skin_name = draft.plate(s)
        flats: dict[Outline, list[Placement]] = {}
        for z in (-tall / 2.0, tall / 2.0 - s):
            outline = flat(z - box.drop, wide / 2.0, s)
            flats.setdefault(outline, []).append(Placement(origin=(x0, 0.0, box.centre_z + z)))
        for outline, places in flats.items():
            draft.add(
                "F", "firebox outer skin, flat", "firebox", Plate(outline=outline, thickness=s), places, skin_name
            )
        draft.add(
            "F",
            "firebox outer skin, side",
            "firebox",
            Plate(outline=side_of(s - tall / 2.0 - box.drop, tall - 2.0 * s, wide / 2.0 - s), thickness=s),
            [
                Placement(
                    origin=(x0, y, box.centre_z - tall / 2.0 + s),
                    x=(1.0, 0.0, 0.0),
                    y=(0.0, 0.0, 1.0),
                    z=(0.0, -1.0, 0.0),
                )
                for y in (wide / 2.0, -wide / 2.0 + s)
            ],
            skin_name,
        )
        low = -box.drop - tall / 2.0 + s  # inside of the outer skin, from the vessel's centre
        high = -box.drop + tall / 2.0 - s
        trimmed = length - _head_out(head, 0.0, max(-high, low, 0.0))
        slab = Plate(outline=Outline.rectangle(0.0, -wide / 2.0 + s, trimmed, wide / 2.0 - s), thickness=g)
        flank = Plate(outline=Outline.rectangle(0.0, 0.0, trimmed, box.height), thickness=g)
        _insulation(
            draft,
            [
                *((slab, Placement(origin=(x0, 0.0, vessel.centre_z + v))) for v in (low, high - g)),
                *(
                    (
                        flank,
                        Placement(
                            origin=(x0, y, box.centre_z - box.height / 2.0),
                            x=(1.0, 0.0, 0.0),
                            y=(0.0, 0.0, 1.0),
                            z=(0.0, -1.0, 0.0),
                        ),
                    )
                    for y in (box.width / 2.0 + g, -box.width / 2.0)
                ),
            ],
        )


def _steps(a: float, b: float, head: Head | None) -> list[float]:
    n = 1 if head is None else 48
    return [a + (b - a) * i / n for i in range(n + 1)]


def _heads_out(head: Head | None, points: list[Point2]) -> list[float]:
    """How far a dished head stands out at each (y, v) [m]; 0 where the plate misses it."""
    if head is None:
        return [0.0] * len(points)
    rho = np.hypot(*np.array(points).T)
    return [float(x) for x in np.where(rho < head.outer_radius, outer_face(head, rho), 0.0)]


def _head_out(head: Head | None, y: float, v: float) -> float:
    return _heads_out(head, [(y, v)])[0]


def outer_end(draft: Draft, box: FireboxLayout) -> None:
    """The outer end plate with fire door and ash door openings, and the doors."""
    c = box.centre_z
    door = Outline.rectangle(
        -box.door_width / 2.0, box.door_z - c, box.door_width / 2.0, box.door_z + box.door_height - c
    )
    holes = [door]
    draft.openings.append(
        Opening(name="fire door", on="firebox end", outline=door.points, area=box.door_width * box.door_height)
    )
    ash_w = box.inlets * box.inlet_width / INLET_FILL
    inlets = _inlet_outlines(box)
    if box.ash_height:
        z0 = box.inlet_z - box.ash_height / 2.0 - c
        ash = Outline.rectangle(-ash_w / 2.0, z0, ash_w / 2.0, z0 + box.ash_height)
        holes.append(ash)
        draft.openings.append(
            Opening(name="ash door", on="firebox end", outline=ash.points, area=ash_w * box.ash_height)
        )
        lap = min(LAP, box.door_z - c - z0 - box.ash_height)
        leaf = Outline.rectangle(
            -ash_w / 2.0 - LAP,
            z0 - min(LAP, 0.25 * INCH),
            ash_w / 2.0 + LAP,
            z0 + box.ash_height + lap * 0.4,
            tuple(inlets),
        )
        draft.add(
            "F",
            "ash door",
            "firebox",
            Plate(outline=leaf, thickness=0.25 * INCH),
            end_plate(box.x0 - 0.25 * INCH, c),
            draft.plate(0.25 * INCH),
            moving="ash door",
            notes=("carries the air inlets and their slides",),
        )
    else:
        holes += inlets
    for i, inlet in enumerate(inlets):
        draft.openings.append(Opening(name=f"inlet {i + 1}", on="firebox end", outline=inlet.points, area=inlet.area))
    between = box.inlet_width * (1.0 / INLET_FILL - 1.0)
    slide_w = box.inlet_width + (0.5 * INCH if box.inlets == 1 else min(0.5 * INCH, 0.75 * between))
    slide_h = box.inlet_height + 0.75 * INCH
    face = box.x0 - 0.125 * INCH - (0.25 * INCH if box.ash_height else 0.0)
    draft.add(
        "F",
        "inlet slide",
        "firebox",
        Plate(
            outline=Outline.rectangle(-slide_w / 2.0, -slide_h / 2.0, slide_w / 2.0, slide_h / 2.0),
            thickness=0.125 * INCH,
        ),
        [_moved(end_plate(face, c), (i0[0] + i1[0]) / 2.0, (i0[1] + i1[1]) / 2.0) for i0, i1 in _corners(inlets)],
        draft.plate(0.125 * INCH),
        moving="inlets",
    )
    if box.shape == "round":
        disc = Outline.circle(0.0, 0.0, box.width / 2.0, tuple(holes))
    else:
        disc = Outline.rectangle(-box.width / 2.0, -box.height / 2.0, box.width / 2.0, box.height / 2.0, tuple(holes))
    draft.add(
        "F",
        "firebox end plate",
        "firebox",
        Plate(outline=disc, thickness=box.end_plate),
        end_plate(box.x0, c),
        draft.plate(box.end_plate),
    )
    leaf = Outline.rectangle(
        -box.door_width / 2.0 - LAP,
        box.door_z - c - LAP * 0.4,
        box.door_width / 2.0 + LAP,
        box.door_z - c + box.door_height + LAP,
    )
    draft.add(
        "F",
        "fire door",
        "firebox",
        Plate(outline=leaf, thickness=0.25 * INCH),
        end_plate(box.x0 - 0.25 * INCH, c),
        draft.plate(0.25 * INCH),
        moving="fire door",
    )
    draft.add(
        "H",
        "fire door hinges and latch",
        "fittings",
        Bought(mass=3.6, size=(2.0 * INCH, 2.0 * INCH, box.door_height), centre=(0.0, 0.0, box.door_height / 2.0)),
        Placement(origin=(box.x0 - 1.5 * INCH, -box.door_width / 2.0 - 2.0 * INCH, box.door_z)),
        "bought",
        assumed=True,
        moving="fire door",
    )


def _inlet_outlines(box: FireboxLayout) -> list[Outline]:
    pitch = box.inlet_width / INLET_FILL
    z = box.inlet_z - box.centre_z
    out = []
    for i in range(box.inlets):
        y = (i - (box.inlets - 1) / 2.0) * pitch
        out.append(
            Outline.rectangle(
                y - box.inlet_width / 2.0,
                z - box.inlet_height / 2.0,
                y + box.inlet_width / 2.0,
                z + box.inlet_height / 2.0,
            )
        )
    return out


def _corners(outlines: list[Outline]) -> list[tuple[Point2, Point2]]:
    return [(o.points[0], o.points[2]) for o in outlines]


def _moved(at: Placement, y: float, z: float) -> Placement:
    o = at.origin
    return Placement(origin=(o[0], o[1] + y, o[2] + z), x=at.x, y=at.y, z=at.z, where=at.where)
