"""The side view: the pit as a person at the working side sees it, with heights off the floor and stations."""

from __future__ import annotations

import math

from pitwright.layout.model import Pit
from pitwright.parts import Point2
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.lettered import Side
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.views.common import known, pit_sketch
from pitwright.sheets.views.eye import Eye, from_working_side
from pitwright.sheets.views.scene import balloons, draw_pit
from pitwright.sheets.views.wants import fire_heights, heights, stack_station, stations, stops

_OVER = 0.06  # how far centre lines stand out [m]
_APART = 1e-3  # keeps a dimension out of the rows of another list [m]
_CURVE = 24  # points along the saddle curve


def side_view(pit: Pit, *, slack: float = 0.0) -> Drawing:
    """The pit from the working side, floor line at zero."""
    eye = from_working_side(pit.vessel.hand)
    sketch = pit_sketch(pit)
    seen = draw_pit(sketch, pit, eye, slack=slack)
    x0, _, x1, top = sketch.bounds()
    _inside(sketch, pit, eye)
    _centre_lines(sketch, pit, eye)
    sketch.line((x0 - _OVER, 0.0), (x1 + _OVER, 0.0), "ground")
    _along(sketch, pit, eye, (x0, x1))
    _up(sketch, pit, eye, (x0, x1))
    _stack_place(sketch, pit, eye)
    empty = pit.balance["empty"]
    sketch.symbol(eye.point(empty.centre), "gravity", size=4.0, about=known(pit, "weight.station"))
    sketch.callout(eye.point(empty.centre), "centre of gravity, empty", toward=-math.pi / 2.0)
    balloons(sketch, seen.shown, ((x0 + x1) / 2.0, top / 2.0))
    return sketch.drawing()


def _inside(sketch: Sketch, pit: Pit, eye: Eye) -> None:
    """What stands inside, as hidden lines: grates, plates under them, throat, fire grate, the saddle behind the skin."""
    vessel, box, throat = pit.vessel, pit.firebox, pit.throat

    def hidden(*points: Point2, about: str = "", title: str = "") -> None:
        on_paper = [eye.point((x, 0.0, z)) for x, z in points]
        sketch.lines(on_paper, "hidden", about=known(pit, about), title=title)

    for level in pit.grates.levels:
        hidden((level.x0, level.z), (level.x1, level.z), about=f"grates.{level.name}.height", title=level.name)
    for plate in pit.grates.plates:
        t = plate.thickness
        corners = ((plate.x0, plate.z0), (plate.x1, plate.z1), (plate.x1, plate.z1 - t), (plate.x0, plate.z0 - t))
        hidden(*corners, corners[0], about="baffle.under_grate", title=plate.name)
    low, high = vessel.centre_z + throat.bottom, vessel.centre_z + throat.top
    out = box.x1 - 0.02
    hidden((0.0, low), (out, low), about="throat.dam", title="top of the grease dam")
    hidden((0.0, high), (out, high), about="throat.net", title="top of the throat")
    hidden((0.0, low), (0.0, high), about="throat.net", title="throat")
    grate0 = box.x0 + box.end_plate
    hidden((grate0, box.grate_z), (grate0 + box.grate_length, box.grate_z), about="firebox.fire_grate")
    if pit.stack.place == "top" and not pit.stack.reach_in:
        hidden(*_saddle(pit), about="stack.cope", title="saddle on the shell")


def _saddle(pit: Pit) -> list[Point2]:
    """The near half of the curve in which the stack meets the skin, (x, z)."""
    stack, vessel = pit.stack, pit.vessel
    r = stack.profile.height / 2.0
    out = []
    for i in range(_CURVE + 1):
        a = math.pi * i / _CURVE
        y = stack.y + r * math.sin(a)
        out.append((stack.x + r * math.cos(a), vessel.centre_z + math.sqrt(vessel.outer_radius**2 - y * y)))
    return out


def _centre_lines(sketch: Sketch, pit: Pit, eye: Eye) -> None:
    vessel, box, stack = pit.vessel, pit.firebox, pit.stack
    depth = vessel.stack_head.depth if vessel.stack_head else 0.0
    fire_depth = vessel.fire_head.depth if vessel.fire_head else 0.0

    def centre(x0: float, z0: float, x1: float, z1: float) -> None:
        sketch.line(eye.point((x0, 0.0, z0)), eye.point((x1, 0.0, z1)), "centre")

    centre(-fire_depth - _OVER, vessel.centre_z, vessel.length + depth + _OVER, vessel.centre_z)
    centre(box.x0 - _OVER, box.centre_z, box.x1 + _OVER, box.centre_z)
    centre(stack.x, stack.base_z - _OVER, stack.x, stack.top_z + _OVER)
    for leg_set in pit.leg_sets:
        x = leg_set.legs[0].x
        centre(x, leg_set.legs[0].foot_z - _OVER / 2.0, x, vessel.centre_z - 0.6 * vessel.outer_radius)


def _along(sketch: Sketch, pit: Pit, eye: Eye, edge: tuple[float, float]) -> None:
    """Stations in one pull from the datum seam, and the length over all."""
    vessel = pit.vessel
    wants = stations(pit)
    datum = eye.point((vessel.x_at(0.0), 0.0, vessel.centre_z - vessel.outer_radius))
    points = [eye.point((w.at[0], 0.0, w.at[1])) for w in wants]
    sketch.running(datum, stops(pit, wants, points), "below", base=0.0, datum_text="datum seam  0")
    overall = float(pit.reasons["overall.length"].value)
    far = edge[0] if vessel.hand > 0 else edge[1]
    other = far + vessel.hand * overall
    top = pit.stack.top_z
    sketch.dim((far, vessel.centre_z), (other, pit.firebox.centre_z), "above", base=top, bold=True,
               about="overall.length")  # fmt: skip


def _up(sketch: Sketch, pit: Pit, eye: Eye, edge: tuple[float, float]) -> None:
    """Heights in one pull from the floor at each end; the promised grate height and the firebox drop on their own."""
    vessel, box, hand = pit.vessel, pit.firebox, pit.vessel.hand
    at_stack: Side = "left" if hand > 0 else "right"
    at_fire: Side = "right" if hand > 0 else "left"
    outer: dict[Side, float] = {"left": edge[0], "right": edge[1]}
    for side, wants in ((at_stack, heights(pit)), (at_fire, fire_heights(pit))):
        base = outer[side]
        points = [(base, w.at[1]) for w in wants]
        sketch.running((base, 0.0), stops(pit, wants, points), side, base=base, gap=15.0, datum_text="floor  0")
    promised, base = pit.job.order.grate_height, outer[at_stack] + hand * _APART
    head = vessel.stack_head.depth if vessel.stack_head else 0.0
    tip = -hand * (vessel.length + head)
    sketch.dim((tip, 0.0), (tip, promised), at_stack, base=base, gap=6.0, bold=True, about="order.grate_height")
    seam = eye.point((0.0, 0.0, 0.0))[0] - hand * _APART
    sketch.dim((seam, box.centre_z), (seam, vessel.centre_z), at_fire, base=seam, gap=12.0, bold=True,
               about=known(pit, "firebox.drop"))  # fmt: skip


def _stack_place(sketch: Sketch, pit: Pit, eye: Eye) -> None:
    """How far in from its seam the stack stands, over the stack; left out where no cut marks are issued."""
    vessel, stack = pit.vessel, pit.stack
    for _ in stack_station(pit):
        seam = vessel.length if stack.x > vessel.length / 2.0 else 0.0
        a = eye.point((seam, 0.0, vessel.centre_z + vessel.outer_radius))
        b = eye.point((stack.x, 0.0, stack.top_z))
        sketch.dim(a, b, "above", base=stack.top_z, about=known(pit, "stack.x"))
