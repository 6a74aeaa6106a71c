"""The plan view: the pit from above, working side at the foot of the paper, its base in hidden lines."""

from __future__ import annotations

from pitwright.layout.model import Pit
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.lettered import Side
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.views.common import known, pit_sketch
from pitwright.sheets.views.eye import Eye, from_above
from pitwright.sheets.views.scene import balloons, draw_pit
from pitwright.sheets.views.wants import rail_wants, stops

_OVER = 0.06


def plan_view(pit: Pit, *, slack: float = 0.0) -> Drawing:
    """The pit from above with doors and slides in their open positions."""
    eye = from_above(pit.vessel.hand)
    sketch = pit_sketch(pit)
    seen = draw_pit(sketch, pit, eye, dashed=("base", "saddles"), slack=slack)
    x0, y0, x1, y1 = sketch.bounds()
    _centre_lines(sketch, pit, eye)
    _open_positions(sketch, pit, eye)
    _base(sketch, pit, eye, (y0, y1))
    _lengths(sketch, pit, eye, (x0, y0, x1, y1))
    empty = pit.balance["empty"]
    sketch.symbol(eye.point(empty.centre), "gravity", size=4.0, about=known(pit, "weight.station"))
    balloons(sketch, seen.shown, ((x0 + x1) / 2.0, 0.0))
    return sketch.drawing()


def _centre_lines(sketch: Sketch, pit: Pit, eye: Eye) -> None:
    vessel, box, stack = pit.vessel, pit.firebox, pit.stack
    depth = vessel.stack_head.depth if vessel.stack_head else 0.0
    sketch.line(eye.point((box.x0 - _OVER, 0.0, 0.0)), eye.point((vessel.length + depth + _OVER, 0.0, 0.0)), "centre")
    sketch.centre_lines(eye.point((stack.x, stack.y, 0.0)), stack.profile.height / 2.0, over=0.3)


def _open_positions(sketch: Sketch, pit: Pit, eye: Eye) -> None:
    """Doors at their stops and slides pulled out, as old positions are drawn."""
    for door in pit.doors:
        a, b = eye.point((door.x0, door.pin[0], 0.0)), eye.point((door.x1, door.reach, 0.0))
        sketch.rectangle(*a, *b, "ghost", title=f"{door.name}, open")
    for level in pit.grates.levels:
        if not level.travel:
            continue
        half = level.width / 2.0
        for door in pit.doors[: level.panels]:
            middle = (door.x0 + door.x1) / 2.0
            ends = (middle - level.panel_length / 2.0, middle + level.panel_length / 2.0)
            a = eye.point((ends[0], -half + level.travel, 0.0))
            b = eye.point((ends[1], half + level.travel, 0.0))
            sketch.rectangle(*a, *b, "ghost", title=f"{level.name}, pulled out")


def _base(sketch: Sketch, pit: Pit, eye: Eye, edge: tuple[float, float]) -> None:
    """Leg sets, saddles, cross members and pockets in one pull along the rail from its stack end."""
    wants = [w for w in rail_wants(pit) if w.value > pit.tape.step / 2.0]
    end = eye.point((pit.base.rail_x1, -pit.base.rails_outside / 2.0, 0.0))
    points = [eye.point((*w.at, 0.0)) for w in wants]
    sketch.running(end, stops(pit, wants, points), "above", base=edge[1], datum_text="rail end  0")


def _lengths(sketch: Sketch, pit: Pit, eye: Eye, box: tuple[float, float, float, float]) -> None:
    """Lengths under the view, widths at both ends."""
    vessel, fire, base, hand = pit.vessel, pit.firebox, pit.base, pit.vessel.hand
    at_stack: Side = "left" if hand > 0 else "right"
    at_fire: Side = "right" if hand > 0 else "left"
    x0, _, x1, _ = box
    edge: dict[Side, float] = {"left": x0, "right": x1}

    def along(a: float, b: float, about: str = "") -> None:
        low = -max(vessel.outer_radius, base.rails_outside / 2.0)
        sketch.dim((-hand * a, low), (-hand * b, low), "below", about=known(pit, about))

    def upright(a: float, b: float, x: float, side: Side, about: str) -> None:
        sketch.dim((x, -a), (x, -b), side, base=edge[side], about=known(pit, about))

    along(0.0, vessel.length, "vessel.length")
    along(fire.x0, 0.0)
    if vessel.stack_head and vessel.stack_head.kind != "flat":
        along(vessel.length, vessel.length + vessel.stack_head.depth)
    if base.tongue is not None:
        end = base.rail_x1 if base.tongue.end > 0 else base.rail_x0
        along(end, base.tongue.coupler[0], "trailer.tongue_reach")
    if base.axles:
        out, side = base.axles[0].fender, at_fire
        x = -hand * base.axles[-1].x
        sketch.dim((x, -out), (x, out), side, base=edge[side], about=known(pit, "trailer.width"))
    half = base.rails_outside / 2.0
    upright(-half, half, -hand * base.rail_x1, at_stack, "base.rails_outside")
    upright(-fire.width / 2.0, fire.width / 2.0, -hand * fire.x0, at_fire, "firebox.width")
    stack = pit.stack
    if stack.place == "top" and abs(stack.y) > 1e-6 and pit.cleared:
        sketch.dim(
            (-hand * stack.x, 0.0),
            (-hand * stack.x, -stack.y),
            at_stack,
            base=edge[at_stack],
            about=known(pit, "stack.behind_top"),
        )
