"""The welds of a vessel on end: posts, window, round grates on their ledges, the one door."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from pitwright.geometry.curves import Saddle
from pitwright.layout.model import Pit
from pitwright.layout.upright_model import UprightLayout
from pitwright.parts import Plate, Shell
from pitwright.shop.welds import (
    SHORT,
    Weld,
    around_section,
    base_welds,
    fillet,
    inside_welds,
    marks_of,
    named,
    small_welds,
    thickness_of,
)
from pitwright.tape import INCH

CURVE = 181


def upright_welds(pit: Pit, own: UprightLayout) -> Iterator[Weld]:
    """Every joint, in build order."""
    yield from base_welds(pit)
    yield from _feet(pit)
    yield from _ends(pit)
    yield from inside_welds(pit)
    yield from _inside(pit)
    yield from _window(pit)
    yield from _firebox(pit)
    yield from _posts(pit, own)
    yield from _stack(pit)
    yield from _door(pit)
    yield from small_welds(pit)


def saddle_run(header: float, branch: float) -> float:
    """Weld round a pipe set square on a round [m], along the curve in which they meet."""
    saddle = Saddle(header_radius=header, branch_radius=branch)
    curve = np.array([saddle.point(float(c)) for c in np.linspace(0.0, 2.0 * math.pi, CURVE)])
    return float(np.linalg.norm(np.diff(curve, axis=0), axis=1).sum())


def _feet(pit: Pit) -> Iterator[Weld]:
    for part in named(pit, "foot plate"):
        side = pit.base.rail.width
        yield fillet("foot plate to rail", 2.0 * side, thickness_of(part, pit.base.rail.wall), "base", marks=(part.mark,),
                     count=part.quantity)  # fmt: skip


def _ends(pit: Pit) -> Iterator[Weld]:
    ring = 2.0 * math.pi * pit.vessel.outer_radius
    for part in named(pit, "bottom plate", "top plate"):
        yield fillet(f"{part.name} to shell", ring, thickness_of(part, pit.vessel.wall), "throat", marks=(part.mark,),
                     note="short runs on opposite sides")  # fmt: skip


def _inside(pit: Pit) -> Iterator[Weld]:
    wall = pit.vessel.wall
    for part in pit.parts:
        shape, marks = part.shape, (part.mark,)
        if " ledge, " in part.name and isinstance(shape, Plate):
            x0, y0, x1, y1 = shape.outline.bounds()
            yield fillet(part.name, max(x1 - x0, y1 - y0), min(shape.thickness, wall), "inside the vessel", marks=marks,
                         count=part.quantity, stitch=True, note="under it, through the door; ventilate")  # fmt: skip
        elif part.name == "spreader bearer":
            yield fillet("spreader bearer", SHORT, wall, "inside the vessel", marks=marks, count=part.quantity,
                         note="to the wall, all three level")  # fmt: skip
        elif part.name == "spreader pan rim" and isinstance(shape, Shell):
            yield fillet("spreader pan rim", 2.0 * math.pi * shape.outer_radius, shape.wall, "inside the vessel", marks=marks,
                         note="water tight, on the bench")  # fmt: skip
        elif part.name.endswith(" ring") and isinstance(shape, Shell):
            yield fillet(f"{part.name} to its bars", SHORT / 2.0, shape.wall, "grates", marks=marks,
                         count=4 * part.quantity, note="clamp flat")  # fmt: skip


def _window(pit: Pit) -> Iterator[Weld]:
    box, radius = pit.firebox, pit.vessel.outer_radius
    body = marks_of(pit, "firebox body", "firebox side", "firebox bottom")
    if box.shape == "round":
        run = saddle_run(radius, box.width / 2.0)
    else:
        run = 2.0 * box.height + 2.0 * 2.0 * radius * math.asin(box.width / 2.0 / radius)
    yield fillet("firebox to shell", run, min(box.wall, pit.vessel.wall), "throat", marks=body,
                 note="smoke tight; short runs on opposite sides, level looked at after each")  # fmt: skip


def _firebox(pit: Pit) -> Iterator[Weld]:
    box = pit.firebox
    body = marks_of(pit, "firebox body", "firebox side", "firebox bottom")
    ring = math.pi * box.width if box.shape == "round" else 2.0 * (box.width + box.height)
    if box.shape == "box":
        yield fillet("firebox corner", box.x1 - box.x0, box.wall, "firebox", marks=body, count=4)
    yield fillet(
        "firebox end plate", ring, min(box.wall, box.end_plate), "firebox", marks=marks_of(pit, "firebox end plate")
    )
    yield fillet("fire grate bearer", box.grate_width, box.wall, "firebox", marks=marks_of(pit, "fire grate bearer"),
                 count=sum(p.quantity for p in named(pit, "fire grate bearer")), stitch=True)  # fmt: skip
    for what in ("fire door", "ash door"):
        hung = [p for p in named(pit, what) if p.name == what]
        yield fillet(f"{what} hinges and latch", SHORT, box.end_plate, "firebox", marks=marks_of(pit, what),
                     count=3 * len(hung))  # fmt: skip


def _posts(pit: Pit, own: UprightLayout) -> Iterator[Weld]:
    post, marks = own.post, marks_of(pit, "post")
    foot = min(post.wall, pit.base.cross.wall)
    yield fillet("post to cross member", around_section(post), foot, "legs", marks=marks, count=len(own.posts))
    lap = own.posts[0].z1 - pit.vessel.seam_z
    yield fillet("post to shell, each side", lap, min(post.wall, pit.vessel.wall), "legs", marks=marks,
                 count=2 * len(own.posts), note="down both edges of the face; corner to corner")  # fmt: skip


def _stack(pit: Pit) -> Iterator[Weld]:
    stack, vessel = pit.stack, pit.vessel
    thinner = min(stack.profile.wall, vessel.wall)
    if stack.place == "head":
        yield fillet("stack to the top", math.pi * stack.profile.height, thinner, "stack",
                     marks=tuple(p.mark for p in pit.parts if p.name == "stack"), note="tack at four quarters, plumb, then weld")  # fmt: skip
    else:
        marks = marks_of(pit, "stack stub", "stack riser")
        run = saddle_run(vessel.outer_radius, stack.profile.height / 2.0)
        yield fillet(
            "stack to shell", run, thinner, "stack", marks=marks, note="tack at four quarters, level, then weld"
        )
        elbow = around_section(stack.profile, math.pi / 4.0)
        yield fillet("stack elbow", elbow, stack.profile.wall, "stack", marks=marks)
    for part in named(pit, "rain cap"):
        yield fillet("rain cap hinge", SHORT, thickness_of(part, stack.profile.wall), "stack", marks=(part.mark,))


def _door(pit: Pit) -> Iterator[Weld]:
    wall, door = pit.vessel.wall, pit.doors[0]
    bands = marks_of(pit, f"{door.name} end band", f"{door.name} upright band")
    yield fillet(f"{door.name} hinges", 3.0 * INCH, wall, "doors", count=2 * pit.job.proportions.upright.hinges,
                 marks=marks_of(pit, f"{door.name} hinges"), note="first, on one plumb line: before the last side is cut")  # fmt: skip
    yield fillet(f"{door.name} latches and handle", SHORT, wall, "doors", count=2 * pit.job.proportions.upright.latches + 2,
                 marks=marks_of(pit, f"{door.name} latch"))  # fmt: skip
    yield fillet(f"{door.name} bands", door.x1 - door.x0 + 2.0 * door.arc, wall, "doors", marks=bands, stitch=True,
                 note="strongbacks stay until the bands are on")  # fmt: skip
