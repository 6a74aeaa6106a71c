"""The firebox sheets: throat, side section, outer end, fire grate, and the wrap of a pipe coped to a dished end."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pitwright.geometry.curves import HeadCope
from pitwright.layout.model import Pit
from pitwright.meridian import head_form, stands_out
from pitwright.parts import Bar, Head, Outline, Plate, Point2
from pitwright.sheets.blocks import BigFigure, BigFigures, Block, Notes
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.lettered import Side, Stop
from pitwright.sheets.page import Board, Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.views.common import SheetMaker, known, new_board, pit_sketch
from pitwright.sheets.views.spread import spread, verdicts, want_list, withheld
from pitwright.sheets.views.throat import diagonal, end_view, window_issued, window_table, window_view
from pitwright.sheets.views.wants import fire_heights
from pitwright.sheets.views.wraps import wrap_table, wrap_view

CODE, TITLE = "FIREBOX", "Firebox and throat"
_STEPS = 32  # tape steps round the firebox pipe; the stack's 16 would be a hand's breadth apart


def firebox_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Throat, then the firebox itself, then the wrap of a coped pipe where there is one."""
    tape, box = pit.tape, pit.firebox
    key = ("firebox centre under the spring line", tape.length(box.drop))

    def board(title: str, check: tuple[str, str]) -> Board:
        return new_board(pit, paper, CODE, title, key=key, check=check)

    corner = (
        ("dam corner to top of throat, both alike", tape.fine(diagonal(pit))) if window_issued(pit) else ("throat", "–")
    )
    views = [("Throat and firebox, seen from the fire", end_view(pit))]
    if window_issued(pit):
        views.append(("Throat window", window_view(pit)))
    pages = spread(lambda: board("Throat", corner), views, _throat_blocks(pit), together=False)
    closing = (
        "centre off floor + drop = vessel centre",
        f"{tape.length(box.centre_z)} + {tape.length(box.drop)} = {tape.length(pit.vessel.centre_z)}",
    )
    views = [
        ("Section along the middle, from the working side", section_view(pit)),
        ("Outer end, from the fire end", outer_end(pit)),
    ]
    pages += spread(lambda: board(TITLE, closing), views, _firebox_blocks(pit))
    return pages + _cope_pages(pit, board)


FIREBOX = SheetMaker(code=CODE, title=TITLE, whose="firebox and plate", make=firebox_sheets)


# ---------------------------------------------------------------- lettering


def _throat_blocks(pit: Pit) -> tuple[Block, ...]:
    tape, box, throat = pit.tape, pit.firebox, pit.throat
    top = box.drop - box.height / 2.0
    big = BigFigures(
        (
            BigFigure("firebox centre under the spring line", tape.length(box.drop), "down from the spring line", "firebox.drop"),
            BigFigure("the same, off the floor", tape.length(box.centre_z), "firebox centre", "firebox.centre"),
        ),
        across=2,
        size=7.0,
    )  # fmt: skip
    if not window_issued(pit):
        return (big, *withheld(pit, "The throat window's figures"))
    wants = [
        ("top of firebox under the spring line" if top >= 0.0 else "top of firebox over the spring line", tape.length(abs(top))),
        ("top of throat under the spring line", tape.length(-throat.top)),
        ("grease dam, up from the inside bottom of the vessel", tape.length(throat.dam)),
        ("height of the window over the dam", tape.length(throat.top - throat.bottom)),
        ("widest, across", tape.length(throat.widest)),
        ("widest, under the spring line", tape.length(-throat.widest_at)),
        ("dam corner to top, each side", tape.fine(diagonal(pit))),
    ]  # fmt: skip
    lines = [
        f"Opens {tape.small_area(throat.net_area)} over the dam (wanted {tape.small_area(throat.wanted_area)}; "
        f"{tape.small_area(throat.gross_area)} without the dam).",
        "Strike the centre line first. Every mark is pulled from it and from the dam line, none from another mark.",
        "Leave the line: cut inside it and dress to it. A patch costs half a day.",
        "Leave the dam standing: without it grease runs to the fire.",
    ]
    if box.joint != "cut":
        lines.append(
            "Cut in the vessel's end: sizes are seen along the vessel's axis. Carry them on with a level and a square."
        )
    return (
        big,
        want_list("Throat", wants, ("", "throat.net", "throat.dam")),
        window_table(pit),
        Notes(tuple(lines), title="Notes"),
        *verdicts(pit, [p.mark for p in pit.parts if p.group == "throat"]),
    )


def _firebox_blocks(pit: Pit) -> tuple[Block, ...]:
    tape, box = pit.tape, pit.firebox
    bars = next(p for p in pit.parts if p.name == "fire grate bar")
    size = (
        f"Ø {tape.length(box.width)}" if box.shape == "round" else f"{tape.length(box.width)} x {tape.length(box.height)}"
    )  # fmt: skip
    wants = [
        ("firebox, outside", size),
        ("length inside", tape.length(box.depth_inside)),
        ("bottom off the floor", tape.length(box.bottom_z)),
        ("fire grate, top off the floor", tape.length(box.grate_z)),
        ("fire grate over the inside bottom", tape.length(box.ash_depth)),
        ("fire grate, wide x long", f"{tape.length(box.grate_width)} x {tape.length(box.grate_length)}"),
        (f"bars, {bars.stock}", f"{bars.quantity} off"),
        ("fire door opening, wide x high", f"{tape.length(box.door_width)} x {tape.length(box.door_height)}"),
        ("fire door sill off the floor", tape.length(box.door_z)),
    ]
    if box.ash_height:
        wants.append(("ash door, high", tape.length(box.ash_height)))
    wants += [
        (f"each of {box.inlets} inlets, wide x high", f"{tape.length(box.inlet_width)} x {tape.length(box.inlet_height)}"),
        ("middle of the inlets off the floor", tape.length(box.inlet_z)),
        ("inlets open, together", tape.small_area(box.inlet_area)),
    ]  # fmt: skip
    lines = [
        "The grate bars lie loose: leave them free at one end, they grow.",
        "Hang the firebox from the end plate and a leg or rail under it, not from the throat plate alone: it cracks.",
        "The firebox skin burns at a touch when fired. Keep hands, hoses and timber off it.",
    ]
    if box.double_gap:
        lines.append(
            f"Double wall: {tape.length(box.double_gap)} of blanket under a {tape.length(box.outer_skin)} skin. Mask, "
            "gloves and long sleeves when handling ceramic fibre. Leave one end of the outer skin free to move."
        )
    return (
        want_list("Firebox", wants),
        Notes(tuple(lines), title="Notes"),
        *verdicts(pit, [p.mark for p in pit.parts if p.group == "firebox"]),
    )


# ---------------------------------------------------------------- the wrap of a coped pipe


def _cope_pages(pit: Pit, board: Callable[[str, tuple[str, str]], Board]) -> tuple[Page, ...]:
    box, head = pit.firebox, pit.vessel.fire_head
    if box.joint != "dished" or box.shape != "round" or head is None:
        return ()
    cope = HeadCope(head=head_form(head), branch_radius=box.width / 2.0, drop=box.drop)
    wrap = cope.template(_STEPS)
    tape = pit.tape
    sides = {0: "top of the pipe", _STEPS // 4: "one side", _STEPS // 2: "bottom", 3 * _STEPS // 4: "other side"}
    lines = (
        "Strike a square line round the pipe. At each tape step measure from it towards the vessel's end and punch; join the punches.",
        "Step 0 is the top of the pipe, on its centre line. Both ways round are alike.",
        f"From {tape.length(cope.meets_to * box.width / 2.0)} each way round from the top line of the pipe it misses the "
        "dished end: there it stops square at the girth seam, and the closing plate fills that part.",
        "Try it on the end before beveling; the dish of a found vessel is never quite true.",
    )
    closing = ("tape once round the pipe", tape.length(wrap.girth))
    return spread(
        lambda: board("Firebox pipe coped to the dished end", closing),
        [("Cut end laid flat", wrap_view(pit, wrap, cope.reach, sides))],
        (wrap_table(pit, wrap, "From the square line to the cut", "square"), Notes(lines, title="Notes")),
    )


# ---------------------------------------------------------------- section


@dataclass(frozen=True, slots=True)
class _Section:
    """Cutting steel along the middle, as a person at the working side sees it: `way` is -1 where x runs to the left."""

    sketch: Sketch
    way: float

    def wall(self, x0: float, z0: float, x1: float, z1: float) -> None:
        a, b = sorted((self.way * x0, self.way * x1))
        if z1 - z0 > 1e-6:
            self.sketch.hatch(Outline.rectangle(a, z0, b, z1), pitch=1.2)
            self.sketch.rectangle(a, z0, b, z1)

    def at(self, x: float, z: float) -> Point2:
        return (self.way * x, z)


def section_view(pit: Pit) -> Drawing:
    """Floor, firebox, throat and the vessel's end, cut along the middle."""
    s = pit_sketch(pit)
    box, vessel = pit.firebox, pit.vessel
    cut = _Section(s, -float(vessel.hand))
    z = box.centre_z
    top, bottom = z + box.height / 2.0, z - box.height / 2.0
    start, reach = box.x0 + box.end_plate, 0.5 * vessel.outer_radius
    cut.wall(start, bottom, _lands(pit, bottom), bottom + box.wall)
    cut.wall(start, top - box.wall, _lands(pit, top), top)
    if box.double_gap:
        for edge, sign in ((top, 1.0), (bottom, -1.0)):
            a, b = sorted((edge + sign * box.double_gap, edge + sign * (box.double_gap + box.outer_skin)))
            cut.wall(start, a, box.x1, b)
    door_top = box.door_z + box.door_height
    half = box.ash_height / 2.0 if box.ash_height else box.inlet_height / 2.0
    levels = [bottom, box.inlet_z - half, box.inlet_z + half, box.door_z, door_top, top]
    for low, high in zip(levels[::2], levels[1::2], strict=True):
        cut.wall(box.x0, low, start, high)
    for low, high in ((-vessel.outer_radius, -vessel.inner_radius), (vessel.inner_radius, vessel.outer_radius)):
        cut.wall(0.0, vessel.centre_z + low, reach, vessel.centre_z + high)
    _vessel_end(cut, pit)
    grate = start + 0.5 * (box.depth_inside - box.grate_length)
    bar = next(p.shape for p in pit.parts if p.name == "fire grate bar")
    thick = bar.profile.height if isinstance(bar, Bar) else 0.0
    cut.wall(grate, box.grate_z - thick, grate + box.grate_length, box.grate_z)
    s.line(cut.at(box.x0 - 0.05, vessel.centre_z), cut.at(reach, vessel.centre_z), "centre")
    s.line(cut.at(box.x0 - 0.05, z), cut.at(box.x1, z), "centre")
    s.line(cut.at(box.x0 - 0.1, 0.0), cut.at(reach, 0.0), "ground")
    _section_sizes(cut, pit, reach)
    return s.drawing()


def _section_sizes(cut: _Section, pit: Pit, reach: float) -> None:
    s, box, vessel, tape = cut.sketch, pit.firebox, pit.vessel, pit.tape
    near, far = cut.way * box.x0, cut.way * reach
    outer: Side = "left" if cut.way > 0.0 else "right"
    inner: Side = "right" if cut.way > 0.0 else "left"
    stops = [
        Stop((near, w.value), f"{w.short or w.what}  {tape.length(w.value)}", about=w.about) for w in fire_heights(pit)
    ]
    s.running((near, 0.0), stops, outer, base=near)
    start = box.x0 + box.end_plate
    about = known(pit, "firebox.length")
    a, b = cut.at(start, 0.0), cut.at(start + box.depth_inside, 0.0)
    s.dim(a, b, "below", tape.length(box.depth_inside) + " inside", base=0.0, about=about)
    s.dim((far, box.centre_z), (far, vessel.centre_z), inner, base=far, about=known(pit, "firebox.drop"))
    s.dim((far, 0.0), (far, box.centre_z), inner, base=far, about=known(pit, "firebox.centre"))
    s.dim((far, 0.0), (far, vessel.centre_z), inner, base=far, about=known(pit, "vessel.centre"))
    if window_issued(pit):
        lip = vessel.centre_z + pit.throat.bottom
        s.callout(cut.at(0.0, lip), "grease dam", toward=math.radians(40.0 if cut.way > 0.0 else 140.0))


def _lands(pit: Pit, z: float) -> float:
    """Where the firebox's wall at a height off the floor ends against the vessel [m]."""
    head, rho = pit.vessel.fire_head, abs(z - pit.vessel.centre_z)
    if pit.firebox.joint != "dished" or head is None or rho >= head.outer_radius:
        return pit.firebox.x1
    return -_stands(head, rho)[1]


def _stands(head: Head, rho: float) -> tuple[float, float]:
    """How far a head's two faces stand out, `rho` from its axis [m]."""
    inside, outside = stands_out(head, np.array([min(rho, head.outer_radius)]))
    return float(inside[0]), float(outside[0])


def _vessel_end(cut: _Section, pit: Pit) -> None:
    """What closes the vessel, in two pieces with the throat between them; whole where the throat is held back."""
    box, vessel, throat = pit.firebox, pit.vessel, pit.throat
    low, thick = -box.drop - box.height / 2.0, throat.plate_thickness
    r = vessel.outer_radius
    opening = (throat.bottom, throat.top) if window_issued(pit) else (-r, -r)
    if box.joint == "cut":
        for v0, v1 in ((min(low, -r), opening[0]), (opening[1], r)):
            cut.wall(-thick, vessel.centre_z + v0, 0.0, vessel.centre_z + v1)
        return
    head = vessel.fire_head
    assert head is not None  # these joints are only laid out on a head
    for v0, v1 in ((-r, opening[0]), (opening[1], r)):
        if v1 - v0 > 1e-6:
            rows = [v0 + (v1 - v0) * i / 40 for i in range(41)]
            faces = [_stands(head, abs(v)) for v in rows]
            ring = [cut.at(-x, vessel.centre_z + v) for v, (_, x) in zip(rows, faces, strict=True)]
            ring += [cut.at(-x, vessel.centre_z + v) for v, (x, _) in reversed(list(zip(rows, faces, strict=True)))]
            cut.sketch.hatch(Outline.polygon(tuple(ring)), pitch=1.2)
            cut.sketch.lines(ring, closed=True)
    if low < -r:
        x1 = box.x1 if box.joint == "flat" else 0.0
        cut.wall(x1 - thick, vessel.centre_z + low, x1, vessel.centre_z - r)


# ---------------------------------------------------------------- outer end


def outer_end(pit: Pit) -> Drawing:
    """The outer end plate as seen from beyond the fire, with its doors and inlets; heights off the floor."""
    s = pit_sketch(pit)
    box, tape = pit.firebox, pit.tape
    c = box.centre_z
    if box.shape == "round":
        s.circle((0.0, c), box.width / 2.0)
    else:
        s.rectangle(-box.width / 2.0, c - box.height / 2.0, box.width / 2.0, c + box.height / 2.0)
    holes = {o.name: [(y, v + c) for y, v in o.outline] for o in pit.openings if o.on == "firebox end"}
    for part in pit.parts:
        if part.name in ("fire door", "ash door") and isinstance(part.shape, Plate):
            s.lines([(y, v + c) for y, v in part.shape.outline.points], "ghost", closed=True)
    for points in holes.values():
        s.lines(points, "cut", closed=True)
    s.line((0.0, box.bottom_z - 0.03), (0.0, c + box.height / 2.0 + 0.03), "centre")
    s.line((-box.width / 2.0 - 0.03, c), (box.width / 2.0 + 0.03, c), "centre")
    s.line((-0.56 * box.width, 0.0), (0.56 * box.width, 0.0), "ground")
    right = box.width / 2.0
    stops = []
    for name in ("ash door", "fire door"):
        if name in holes:
            ys, zs = [p[0] for p in holes[name]], [p[1] for p in holes[name]]
            stops += [
                Stop((max(ys), z), f"{name} {end}  {tape.length(z)}")
                for end, z in (("sill", min(zs)), ("top", max(zs)))
            ]
            side: Side = "below" if name == "ash door" else "above"
            level = min(zs) if name == "ash door" else max(zs)
            base = 0.0 if name == "ash door" else c + box.height / 2.0
            s.dim((min(ys), level), (max(ys), level), side, f"{name} {tape.length(max(ys) - min(ys))}", base=base)
    stops.append(Stop((0.5 * right, box.inlet_z), f"inlets, middle  {tape.length(box.inlet_z)}"))
    stops.append(Stop((0.9 * right, box.grate_z), f"fire grate  {tape.length(box.grate_z)}"))
    s.line((-0.9 * right, box.grate_z), (0.9 * right, box.grate_z), "hidden")
    s.running((right, 0.0), stops, "right", base=right)
    return s.drawing()
