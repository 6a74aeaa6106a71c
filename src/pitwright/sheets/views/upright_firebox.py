"""Firebox and window of a vessel on end: a cut along the firebox, its outer end, the window on the skin, the cope."""

from __future__ import annotations

import math
from functools import partial

from pitwright.geometry.curves import Saddle
from pitwright.layout.marks import skin_around
from pitwright.layout.model import Pit
from pitwright.sheets.blocks import Block, Notes
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, known, new_board, pit_sketch
from pitwright.sheets.views.firebox import outer_end
from pitwright.sheets.views.spread import spread, want_list, withheld
from pitwright.sheets.views.upright_details import piece_table
from pitwright.sheets.views.upright_wants import firebox_heights, of

STEPS = 16
BESIDE = 0.18  # shell drawn past the middle [m]


def section(pit: Pit) -> Drawing:
    """Cut along the firebox's middle, from the front: shell, window, pipe or box, fire grate, plate over the window."""
    s, vessel, box, own = pit_sketch(pit), pit.vessel, pit.firebox, of(pit)
    way = -float(vessel.hand)
    outer, inner, t = vessel.outer_radius, vessel.inner_radius, box.wall
    low, high = vessel.seam_z, vessel.seam_z + own.grates[0].x + 0.05
    x0, x1 = vessel.seam_z + own.window.x0, vessel.seam_z + own.window.x1

    def wall(a: float, b: float) -> None:
        s.rectangle(way * -outer, a, way * -inner, b, title="shell")

    wall(low, x0)
    wall(x1, high)
    s.line((way * BESIDE, low), (way * BESIDE, high), "thin")
    s.line((way * -outer, low), (way * BESIDE, low), "thin", title="bottom seam")
    top, bottom = box.centre_z + box.height / 2.0, box.centre_z - box.height / 2.0
    end = box.x0 + box.end_plate
    for a, b in ((bottom, bottom + t), (top - t, top)):
        s.rectangle(way * end, a, way * -outer, b, title="firebox body")
    s.rectangle(way * box.x0, bottom, way * end, top, title="end plate")
    s.line((way * (box.x0 - 0.04), box.centre_z), (way * BESIDE, box.centre_z), "centre")
    s.line((way * end, box.grate_z), (way * (end + box.grate_length), box.grate_z), "mark", title="fire grate")
    if own.spreader is not None:
        s.line(
            (way * -own.spreader.diameter / 2.0, own.spreader.z),
            (way * BESIDE, own.spreader.z),
            "mark",
            title=own.spreader.kind,
        )
        s.callout((way * -0.25 * own.spreader.diameter, own.spreader.z), f"{own.spreader.kind}, {pit.tape.length(own.spreader.z)} off the floor",
                  toward=math.pi / 2.0)  # fmt: skip
    right: bool = way * box.x0 > 0.0
    side = "right" if right else "left"
    s.dim((way * box.x0, bottom), (way * -outer, bottom), "below")
    s.dim((way * end, top), (way * -outer, top), "above", about=known(pit, "firebox.length"))
    s.dim(
        (way * box.x0, bottom),
        (way * box.x0, top),
        "right" if side == "right" else "left",
        about=known(pit, "firebox.width"),
    )
    s.callout((way * -outer, (x0 + bottom) / 2.0 + 0.005), f"dam, {pit.tape.length(own.window.dam)} of skin left standing",
              toward=math.pi + 0.5 if right else -0.5, about=known(pit, "throat.dam"))  # fmt: skip
    s.callout(
        (way * (end + 0.4 * box.grate_length), box.grate_z),
        f"fire grate, {pit.tape.length(box.grate_z)} off the floor",
        toward=-1.0,
    )
    return s.drawing()


def window_flat(pit: Pit) -> Drawing:
    """The window and the firebox's edge on the skin laid flat, seen from outside, up is up."""
    s, vessel, own, tape = pit_sketch(pit), pit.vessel, of(pit), pit.tape
    way, radius, window = -float(vessel.hand), pit.vessel.outer_radius, own.window
    middle = radius * window.clock

    def at(x: float, around: float) -> tuple[float, float]:
        return (way * (around - middle), x)

    s.lines([at(x, a) for x, a in window.joint], "thin", closed=True, title="outside of the firebox")
    s.lines(
        [at(x, a) for x, a in window.outline], "cut", closed=True, title="window", about=known(pit, "window.skin_area")
    )
    half = max(abs(a - middle) for _, a in window.joint)
    high = max(x for x, _ in window.joint)
    s.line((0.0, -0.02), (0.0, high + 0.04), "centre")
    centre = (window.x0 + window.x1) / 2.0
    s.line((-half - 0.04, centre), (half + 0.04, centre), "centre")
    s.line((-half - 0.04, 0.0), (half + 0.04, 0.0), "mark", title="bottom seam")
    s.callout((0.0, 0.0), "bottom seam", toward=-0.8)
    stops = [(0.0, window.x0), (0.0, centre), (0.0, window.x1)]
    s.running(
        (half, 0.0), [((half, x), tape.length(x)) for _, x in stops], "right", base=half + 0.02, datum_text="seam 0"
    )
    wide = window.half_clock * radius
    s.dim((-wide, centre), (wide, centre), "above", base=high, about=known(pit, "window.around"))
    s.dim((-half, centre), (half, centre), "below", base=-0.03)
    s.callout((0.0, window.x1), f"firebox line: around {tape.length(skin_around(vessel, window.clock))}", toward=1.0)
    return s.drawing()


def window_points(pit: Pit) -> Table:
    """The window's edge point by point: height over the seam and around, to punch it by tape."""
    tape, vessel, window = pit.tape, pit.vessel, of(pit).window
    rows = []
    if window.shape == "round":
        r = (window.x1 - window.x0) / 2.0
        saddle = Saddle(header_radius=vessel.outer_radius, branch_radius=r)
        for i in range(STEPS):
            x, y, z = saddle.point(2.0 * math.pi * i / STEPS)
            clock = window.clock + math.atan2(y, z)
            height = (window.x0 + window.x1) / 2.0 + x
            rows.append((str(i), tape.length(height), tape.length(skin_around(vessel, clock)), ""))
    else:
        for i, (x, a) in enumerate(window.outline):
            rows.append((str(i + 1), tape.length(x), tape.length(skin_around(vessel, a / vessel.outer_radius)), ""))
    columns = (
        Column("point", align="right"),
        Column("over the bottom seam", align="right", bold=True, wrap=True),
        Column("around from the front line", align="right", bold=True, wrap=True),
        Column("got", blank=True),
    )
    title = "Window, point by point (0 on top, round toward the front)"
    if window.shape == "box":
        title = "Window, corner by corner: point by point from the back, below"
    return Table(columns, tuple(rows), title=title)


def cope_table(pit: Pit) -> Table:
    """Ordinates of the firebox pipe's cope, 16 steps round it."""
    tape, box = pit.tape, pit.firebox
    wrap = Saddle(header_radius=pit.vessel.outer_radius, branch_radius=box.width / 2.0).template(STEPS)
    rows = tuple((str(s.number), tape.length(s.tape), tape.fine(s.cut_back), "") for s in wrap.steps[:-1])
    columns = (
        Column("step", align="right"),
        Column("tape round the pipe", align="right", wrap=True),
        Column("cut back from a square end", align="right", bold=True, wrap=True),
        Column("got", blank=True),
    )
    return Table(columns, rows, title="Cope of the firebox pipe (0 on top; the sides are longest)")


def firebox_pages(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Firebox, then window and cope."""
    tape, box, own = pit.tape, pit.firebox, of(pit)
    board = partial(
        new_board, pit, paper, "FIREBOX", "Firebox", key=("firebox centre off the floor", tape.length(box.centre_z)),
        check=("inside length", tape.length(box.depth_inside)),
    )  # fmt: skip
    round_box = box.shape == "round"
    sizes = want_list(
        "Firebox",
        (
            (
                "outside",
                tape.length(box.width) if round_box else f"{tape.length(box.width)} x {tape.length(box.height)}",
            ),
            ("wall, end plate", f"{tape.decimal(box.wall)}, {tape.decimal(box.end_plate)}"),
            ("inside length on the middle", tape.length(box.depth_inside)),
            ("fire grate", f"{tape.length(box.grate_width)} x {tape.length(box.grate_length)}"),
            ("fire door opening", f"{tape.length(box.door_width)} x {tape.length(box.door_height)}"),
            ("air inlets, open", tape.small_area(box.inlet_area)),
            *((w.what, tape.length(w.value)) for w in firebox_heights(pit)),
        ),
    )
    pieces = piece_table(pit, "Pieces", (), ("firebox",))
    notes = Notes(
        (
            "Carry the firebox on a jack, level, until its last weld is run: the shell must not carry it on tacks.",
            "Weld nothing from its outer end to the base: it grows when it is hot and must be free to move.",
            "The dam is skin left standing: it keeps ash in and grease out of the fire.",
        ),
        title="Mind",
    )
    views = [
        ("Cut along the firebox, from the front", section(pit)),
        ("Outer end, from the firebox's side", outer_end(pit)),
    ]
    pages = spread(board, views, (sizes, pieces, notes))
    second = partial(
        new_board, pit, paper, "FIREBOX", "Window and cope", key=("window, cut out of the skin", tape.small_area(own.window.skin_area)),
        check=("window, widest round the skin", tape.length(2.0 * own.window.half_clock * pit.vessel.outer_radius)),
    )  # fmt: skip
    blocks: list[Block] = [*withheld(pit, "The window's figures")]
    shown = []
    if pit.cleared:
        shown.append(("Window on the skin laid flat, from outside", window_flat(pit)))
        blocks.append(window_points(pit))
    if round_box:
        blocks.append(cope_table(pit))
    blocks.append(
        Notes(
            (
                "Offer the coped firebox up first and scribe its inside: the window is cut to the scribe, the dam left.",
                "Open area square to the firebox: "
                + tape.small_area(pit.throat.net_area)
                + ". Full-size: see the templates.",
            ),
            title="Mind",
        )
    )
    return (*pages, *spread(second, shown, blocks))


FIREBOX = SheetMaker(code="FIREBOX", title="Firebox and window", whose="firebox and plate", make=firebox_pages)
