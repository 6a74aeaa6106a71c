"""The general views of a vessel on end: from the front, from the firebox's side, from above with its door open."""

from __future__ import annotations

import math

from pitwright.layout.model import Pit
from pitwright.layout.upright_place import turned_open
from pitwright.parts import Point2, Vec
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.lettered import Side
from pitwright.sheets.page import Board, Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.views.common import SheetMaker, known, new_board, pit_sketch
from pitwright.sheets.views.eye import Eye, from_above, from_fire_end, from_working_side
from pitwright.sheets.views.scene import balloons, draw_pit
from pitwright.sheets.views.spread import spread
from pitwright.sheets.views.upright_wants import chamber_heights, firebox_heights, of, widths
from pitwright.sheets.views.wants import check_list, stops

_OVER = 0.06
_CURVE = 32


def front_view(pit: Pit, *, slack: float = 0.0) -> Drawing:
    """From the front, heights off the floor."""
    eye = from_working_side(pit.vessel.hand)
    sketch = pit_sketch(pit)
    seen = draw_pit(sketch, pit, eye, slack=slack)
    x0, _, x1, top = sketch.bounds()
    _inside(sketch, pit, eye, (1.0, 0.0, 0.0))
    _ground_and_axis(sketch, pit, eye, (x0, x1))
    far: Side = "left" if pit.vessel.hand > 0 else "right"
    near: Side = "right" if pit.vessel.hand > 0 else "left"
    edge: dict[Side, float] = {"left": x0, "right": x1}
    for side, wants in ((far, chamber_heights(pit)), (near, firebox_heights(pit))):
        points = [(edge[side], w.at[1]) for w in wants]
        sketch.running(
            (edge[side], 0.0), stops(pit, wants, points), side, base=edge[side], gap=12.0, datum_text="floor  0"
        )
    half = pit.base.rails_outside / 2.0
    sketch.dim((-half, 0.0), (half, 0.0), "below", base=0.0, about=known(pit, "base.square"))
    out = sorted((eye.point((pit.firebox.x0, 0.0, 0.0))[0], eye.point((-pit.vessel.outer_radius, 0.0, 0.0))[0]))
    sketch.dim((out[0], 0.0), (out[1], 0.0), "below", base=0.0)
    balloons(sketch, seen.shown, ((x0 + x1) / 2.0, top / 2.0))
    return sketch.drawing()


def firebox_side_view(pit: Pit, *, slack: float = 0.0) -> Drawing:
    """From beyond the firebox: base, firebox front, the open door's handle side."""
    eye = from_fire_end(pit.vessel.hand)
    sketch = pit_sketch(pit)
    seen = draw_pit(sketch, pit, eye, slack=slack)
    x0, _, x1, top = sketch.bounds()
    _ground_and_axis(sketch, pit, eye, (x0, x1))
    half = pit.base.rails_outside / 2.0
    sketch.dim((-half, 0.0), (half, 0.0), "below", base=0.0, about=known(pit, "base.square"))
    r = pit.firebox.width / 2.0
    sketch.dim(
        (-r, pit.firebox.centre_z), (r, pit.firebox.centre_z), "below", base=0.0, about=known(pit, "firebox.width")
    )
    empty = pit.balance["empty"]
    sketch.symbol(eye.point(empty.centre), "gravity", size=4.0, about=known(pit, "weight.height"))
    sketch.callout(
        eye.point(empty.centre), f"centre of gravity, empty\n{pit.tape.length(empty.centre[2])} up", toward=0.5
    )
    balloons(sketch, seen.shown, ((x0 + x1) / 2.0, top / 2.0))
    return sketch.drawing()


def plan_of(pit: Pit, *, slack: float = 0.0) -> Drawing:
    """From above: base dashed, the door at its stop, sizes over all."""
    vessel, own, door = pit.vessel, of(pit), pit.doors[0]
    eye = from_above(vessel.hand)
    sketch = pit_sketch(pit)
    seen = draw_pit(sketch, pit, eye, dashed=("base",), slack=slack)
    x0, y0, x1, y1 = sketch.bounds()
    sketch.centre_lines((0.0, 0.0), vessel.outer_radius, over=0.2)
    low, high = door.hinge_clock, door.edge_clock
    side = own.door.hinge_side
    open_skin = []
    for i in range(_CURVE + 1):
        c = low + (high - low) * i / _CURVE
        x, y = turned_open(
            door.pin, (vessel.outer_radius * math.sin(c), vessel.outer_radius * math.cos(c)), door.stop, side
        )
        open_skin.append(eye.point((x, y, 0.0)))
    sketch.lines(open_skin, "ghost", title="door, open")
    pin = eye.point((*door.pin, 0.0))
    sketch.symbol(pin, "centre", size=3.0, title="hinge pins")
    sketch.callout(pin, "hinge pins, one plumb line", toward=0.15 if pin[0] > 0 else math.pi - 0.15)
    sketch.callout(open_skin[-1], f"door at its stop, {pit.tape.angle(door.stop, 0)}", toward=-1.2)
    post = own.posts[1]
    sketch.callout(eye.point((post.x, post.y, 0.0)), f"posts {pit.tape.angle(own.posts[0].clock)}\nround from front and back",
                   toward=2.4 if vessel.hand > 0 else 0.7, about=known(pit, "base.post_clock"))  # fmt: skip
    half = own.square / 2.0
    away: Side = "left" if vessel.hand > 0 else "right"
    sketch.dim((-half, -half), (half, -half), "above", base=y1, about=known(pit, "base.square"))
    sketch.dim((0.0, -half), (0.0, half), away, base=x0 if away == "left" else x1, about=known(pit, "base.square"))
    fire = sorted((eye.point((pit.firebox.x0, 0.0, 0.0))[0], 0.0))
    sketch.dim((fire[0], 0.0), (fire[1], 0.0), "above", base=y1)
    empty = pit.balance["empty"]
    sketch.symbol(eye.point((empty.centre[0], empty.centre[1], 0.0)), "gravity", size=4.0)
    balloons(sketch, seen.shown, ((x0 + x1) / 2.0, (y0 + y1) / 2.0))
    return sketch.drawing()


def _inside(sketch: Sketch, pit: Pit, eye: Eye, way: Vec) -> None:
    """Grates, plate over the window, the window's edge and the fire grate as hidden lines."""
    own, vessel, box = of(pit), pit.vessel, pit.firebox

    def level(z: float, half: float, title: str, about: str = "") -> None:
        a = eye.point((-half * way[0], -half * way[1], z))
        b = eye.point((half * way[0], half * way[1], z))
        sketch.line(a, b, "hidden", title=title, about=known(pit, about))

    for grate in own.grates:
        level(grate.z, grate.diameter / 2.0, grate.name, f"grates.{grate.name}.height")
    if own.spreader is not None:
        level(own.spreader.z, own.spreader.diameter / 2.0, own.spreader.kind, "spreader.diameter")
    edge = [eye.point(vessel.skin(x, a / vessel.outer_radius)) for x, a in own.window.outline]
    if pit.cleared:
        sketch.lines(edge, "hidden", closed=True, title="window", about=known(pit, "window.skin_area"))
    grate0 = box.x0 + box.end_plate
    a, b = eye.point((grate0, 0.0, box.grate_z)), eye.point((grate0 + box.grate_length, 0.0, box.grate_z))
    sketch.line(a, b, "hidden", title="fire grate", about=known(pit, "firebox.fire_grate"))


def _ground_and_axis(sketch: Sketch, pit: Pit, eye: Eye, edge: Point2) -> None:
    own, box = of(pit), pit.firebox
    sketch.line((edge[0] - _OVER, 0.0), (edge[1] + _OVER, 0.0), "ground")
    sketch.line((0.0, own.bottom_z - _OVER), (0.0, pit.stack.top_z + _OVER), "centre")
    ends = [eye.point((x, 0.0, box.centre_z)) for x in (box.x0 - _OVER, -pit.vessel.inner_radius)]
    if math.dist(*ends) > 0.01:
        sketch.line(ends[0], ends[1], "centre")


def side_pages(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Front and firebox side, with their heights."""
    hand = "right" if pit.vessel.hand > 0 else "left"

    def board() -> Board:
        return new_board(
            pit, paper, "SIDE", "Front and firebox side", check=("base, corner to corner", pit.tape.fine(pit.base.diagonal)),
            note=f"Seen from the front the firebox is on the {hand}. Balloons: piece marks of the cut list. Thin boxes: bought "
            "things, size assumed.",
        )  # fmt: skip

    blocks = (
        check_list(pit, chamber_heights(pit), "Off the floor, vessel"),
        check_list(pit, firebox_heights(pit), "Off the floor, firebox"),
    )
    views = [("From the front", front_view(pit)), ("From the firebox's side", firebox_side_view(pit))]
    return spread(board, views, blocks, share=0.24)


def plan_pages(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """The plan view."""

    def board() -> Board:
        return new_board(
            pit, paper, "PLAN", "Plan view", check=("base, corner to corner", pit.tape.fine(pit.base.diagonal)),
            note="Seen from above, front at the foot of the sheet. Dashed: the base under the vessel. Dash-dot grey: the door "
            "as it stands open.",
        )  # fmt: skip

    return spread(board, [("Plan view", plan_of(pit))], (check_list(pit, widths(pit), "Level sizes"),), share=0.3)


SIDE = SheetMaker(code="SIDE", title="Front and firebox side", whose="everyone", make=side_pages)
PLAN = SheetMaker(code="PLAN", title="Plan view", whose="everyone", make=plan_pages)
