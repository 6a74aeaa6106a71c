"""Plate saddles at full size, and the flat blanks of pads that are rolled to the skin."""

from __future__ import annotations

import math

from pitwright.layout.model import Pit
from pitwright.parts import Outline, Part, Shell, bulge_of
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.templates.record import Template, arrow, lettered, round_step
from pitwright.sheets.views.common import pit_sketch

_BACK = 0.03  # steel under the arc's lowest place that the template shows, at least [m]


def saddle_templates(pit: Pit) -> tuple[Template, ...]:
    """The saddle plate where there are saddles; they are all cut alike."""
    parts = [p for p in pit.parts if p.name == "saddle plate"]
    if not parts:
        return ()
    saddle, tape = pit.saddles[0], pit.tape
    pad = saddle.pad_thickness
    how = [
        f"Cut the plate {tape.length(saddle.width)} wide and {tape.length(saddle.edge_height)} high, square. Strike a line "
        f"{tape.length(saddle_line(pit))} up from its foot and its plumb centre line. Lay the template's straight edge on that line, centre "
        "on centre, and scribe the arc; leave the line and dress to it.",
        f"Arc: radius {tape.fine(saddle.cut_radius)}, {tape.length(saddle.chord)} straight across, {tape.length(saddle.sag)} deep, "
        f"{tape.length(saddle.arc)} along the arc.",
        f"{sum(p.quantity for p in parts)} off: cut one, try it on the shell, scribe the rest from it.",
    ]
    if pad:
        how.append(
            f"The wear pad ({tape.decimal(pad)} thick) lies between: the arc is that much larger than the shell."
        )
    return (
        Template(
            slug="saddle-plate",
            name="Saddle plate",
            marks=tuple(p.mark for p in parts),
            drawing=_saddle(pit),
            how=tuple(how),
            check=(
                "foot to the arc in the middle, and at its edges",
                f"{tape.length(saddle.middle_height)}, {tape.length(saddle.edge_height)}",
            ),
        ),
    )


def saddle_line(pit: Pit) -> float:
    """Where the template's foot lies, up from the plate's foot: a round figure under the arc's lowest place [m]."""
    return max(round_step(pit, pit.saddles[0].middle_height - _BACK), 0.0)


def _saddle(pit: Pit) -> Drawing:
    """The arc, the ears and the edges from the struck line up; the rest of the plate is a plain rectangle."""
    s, saddle, tape = pit_sketch(pit), pit.saddles[0], pit.tape
    line, half, out = saddle_line(pit), saddle.chord / 2.0, saddle.width / 2.0
    top, low = saddle.edge_height - line, saddle.middle_height - line
    ears = out - half > 1e-6
    right, left = ((out, top),) if ears else (), ((-out, top),) if ears else ()
    points = (*right, (half, top), (-half, top), *left)
    arc = (-bulge_of(saddle.contact),)
    s.lines(points, "cut", bulges=(0.0,) * len(right) + arc + (0.0,) * len(left))
    s.lines(((-out, top), (-out, 0.0), (out, 0.0), (out, top)), "outline")
    s.line((0.0, 0.0), (0.0, low), "centre")
    words = [
        (f"saddle plate: arc radius {tape.fine(saddle.cut_radius)}", 3.5, True),
        (f"this edge on a line {tape.length(line)} up from the plate's foot", 2.6, False),
    ]
    lettered(s, words, 0.006, 0.022, out - 0.02)
    s.text((-0.004, 0.006), f"middle {tape.length(saddle.middle_height)} from the foot", height=2.6, anchor="right")
    for sign, anchor in ((-1.0, "left"), (1.0, "right")):
        at = (sign * (out - 0.003), 0.5 * top)
        s.text(at, f"edge {tape.length(saddle.edge_height)}", height=2.6, anchor=anchor)  # type: ignore[arg-type]
    return s.drawing()


def pad_templates(pit: Pit) -> tuple[Template, ...]:
    """Flat blanks of every pad that is rolled to a skin."""
    return tuple(
        _pad(pit, part, part.flat)
        for part in pit.parts
        if part.flat is not None and "pad" in part.name and isinstance(part.shape, Shell)
    )


def _pad(pit: Pit, part: Part, flat: Outline) -> Template:
    tape, shape = pit.tape, part.shape
    assert isinstance(shape, Shell)
    inside = shape.outer_radius - shape.wall
    x0, y0, x1, y1 = flat.bounds()
    s = pit_sketch(pit)
    s.outline(flat, "cut")
    cx, cy = (x0 + x1) / 2.0, (y0 + y1) / 2.0
    s.line((x0, cy), (x1, cy), "centre")
    s.line((cx, y0), (cx, y1), "centre")
    room = (x1 - x0) / 2.0 - 0.008
    lettered(s, [(f"{part.mark} {part.name}", 3.5, True), (f"{part.quantity} off, {part.stock}", 2.5, False)],
             x0 + 0.004, y1 - 0.004, room)  # fmt: skip
    tail = (cx + 0.15 * (x1 - x0), cy + 0.12 * (y1 - y0))
    arrow(s, tail, (tail[0] + 0.22 * (x1 - x0), tail[1]))
    s.text((tail[0], tail[1] + 0.002), "along the pit", height=2.6)
    lettered(s, [(f"roll to {tape.fine(inside)} inside radius", 2.5, False)], x0 + 0.004, cy - 0.004, room)
    drop = math.hypot(x1 - x0, y1 - y0)
    return Template(
        slug=part.name.replace(" ", "-").replace(",", ""),
        name=f"{part.name.capitalize()}, flat blank",
        marks=(part.mark,),
        drawing=s.drawing(),
        how=(
            f"{part.quantity} off. Scribe round it on {part.stock}, punch both centre lines at the edges, round the corners after cutting.",
            f"Roll it across the arrow to {tape.fine(inside)} inside radius. The blank is that long in mid-wall, so it comes out right.",
            "Set it with its punched centre lines on the struck ones; weld it all round before the leg or saddle stands on it.",
        ),
        check=("corner to corner, both ways", tape.fine(drop)),
    )
