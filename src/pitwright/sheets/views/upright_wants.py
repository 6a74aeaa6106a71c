"""Figures the sheets of a vessel on end show and their check lists ask for: heights off the floor and over the bottom seam."""

from __future__ import annotations

import math

from pitwright.layout.model import Pit
from pitwright.layout.upright_model import UprightLayout
from pitwright.sheets.blocks import BigFigure
from pitwright.sheets.views.common import known
from pitwright.sheets.views.wants import Want, issued

HELD = "held back"


def of(pit: Pit) -> UprightLayout:
    """What the vessel on end has of its own."""
    assert pit.upright is not None
    return pit.upright


def chamber_heights(pit: Pit) -> tuple[Want, ...]:
    """Off the floor, on the standing vessel."""
    own, vessel = of(pit), pit.vessel

    def want(what: str, z: float, about: str = "", short: str = "", *, cut: bool = False) -> Want:
        return Want(what=what, value=z, at=(0.0, z), about=known(pit, about), short=short, cut=cut)

    out = [
        want("rail top", pit.base.rail_top, "base.rail_top"),
        want("bottom of the vessel", own.bottom_z, short="bottom"),
        want("bottom seam", vessel.seam_z, "vessel.seam", "seam"),
        want("post tops", own.posts[0].z1, "base.post_lap", "posts"),
        want("top seam", vessel.seam_z + vessel.length, short="top seam"),
        want("top of the stack", pit.stack.top_z, "stack.height", "stack top"),
        want("door's lower edge", own.door.sill_z, "doors.sill", "door", cut=True),
        want("door's upper edge", own.door.head_z, short="door", cut=True),
    ]
    out += [want(g.name, g.z, f"grates.{g.name}.height") for g in own.grates]
    if own.spreader is not None:
        out.append(want(own.spreader.kind, own.spreader.z, "spreader.diameter"))
    return issued(pit, out)


def firebox_heights(pit: Pit) -> tuple[Want, ...]:
    """Off the floor, on the firebox and its window."""
    box, own, vessel = pit.firebox, of(pit), pit.vessel

    def want(what: str, z: float, about: str = "", short: str = "", *, cut: bool = False) -> Want:
        return Want(what=what, value=z, at=(box.x0, z), about=known(pit, about), short=short, cut=cut)

    out = [
        want("firebox bottom", box.bottom_z, short="bottom"),
        want("fire grate", box.grate_z, "firebox.fire_grate", "grate"),
        want("firebox centre", box.centre_z, "firebox.centre", "centre"),
        want("firebox top", box.centre_z + box.height / 2.0, short="top"),
        want("fire door sill", box.door_z, short="door sill"),
        want("window's lower edge, top of the dam", vessel.seam_z + own.window.x0, "throat.dam", "window", cut=True),
        want("window's upper edge", vessel.seam_z + own.window.x1, "throat.net", "window", cut=True),
    ]
    return issued(pit, out)


def seam_heights(pit: Pit) -> tuple[Want, ...]:
    """Over the bottom seam, as the tape is pulled with the vessel lying on rolls."""
    own, door = of(pit), pit.doors[0]

    def want(what: str, x: float, about: str = "", *, cut: bool = False) -> Want:
        return Want(what=what, value=x, at=(0.0, x), about=known(pit, about), cut=cut)

    out = [
        want("top seam", pit.vessel.length, "vessel.length"),
        want("door's lower edge", door.x0, cut=True),
        want("door's upper edge", door.x1, cut=True),
        want("window's lower edge", own.window.x0, cut=True),
        want("firebox centre", pit.firebox.centre_z - pit.vessel.seam_z, "firebox.over_seam"),
        want("window's upper edge", own.window.x1, cut=True),
    ]
    return issued(pit, out)


def widths(pit: Pit) -> tuple[Want, ...]:
    """Level sizes."""
    own, door = of(pit), pit.doors[0]

    def want(what: str, value: float, about: str = "") -> Want:
        return Want(what=what, value=value, at=(0.0, 0.0), about=known(pit, about))

    front, back = own.posts[0], own.posts[2]
    return (
        want("base, over the outside, both ways", own.square, "base.square"),
        want("front posts, middle to middle", math.dist((front.x, front.y), (back.x, back.y))),
        want("posts, face to face across the middle", 2.0 * pit.vessel.outer_radius, "vessel.diameter"),
        want("grates, over the round", own.grates[0].diameter, "grates.diameter"),
        want("door, clear straight across", own.door.clear, "doors.clear"),
        want("open door stands out in front of the middle", door.reach, f"{door.name}.stop"),
    )


def upright_wall(pit: Pit) -> tuple[BigFigure, ...]:
    """The four figures where the crew of a vessel on end meets: base and posts, firebox, door, window against the door."""
    own, tape, vessel, box = of(pit), pit.tape, pit.vessel, pit.firebox
    post = own.posts[0]
    base = BigFigure(
        "base square / post length",
        f"{tape.length(own.square)} / {tape.length(post.z1 - post.z0)}",
        f"posts face to face {tape.length(2.0 * vessel.outer_radius)} across the middle",
        about=known(pit, "base.square"),
    )
    fire = BigFigure(
        "firebox centre off the floor",
        tape.length(box.centre_z),
        f"{tape.length(box.centre_z - vessel.seam_z)} over the bottom seam",
        about=known(pit, "firebox.centre"),
    )
    seam = BigFigure(
        "bottom seam off the floor",
        tape.length(vessel.seam_z),
        f"lowest grate {tape.length(own.grates[0].z)} off the floor",
        about=known(pit, "vessel.seam"),
    )
    if not pit.cleared:
        return base, fire, seam, BigFigure("firebox top / door's lower edge", HELD, "not before the vessel is cleared")
    top = max(x for x, _ in own.window.joint)
    gap = BigFigure(
        "firebox top / door's lower edge, over the seam",
        f"{tape.length(top)} / {tape.length(pit.doors[0].x0)}",
        f"{tape.length(tape.rounded(pit.doors[0].x0) - tape.rounded(top))} of height between them",
    )
    return base, fire, seam, gap
