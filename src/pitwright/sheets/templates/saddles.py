"""Plate saddles at full size, and the flat blanks of pads that are rolled to the skin."""

from __future__ import annotations

import math

from pitwright.layout.model import Pit
from pitwright.layout.saddles import saddle_outline
from pitwright.parts import Outline, Part, Shell
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.templates.record import Template, arrow, lettered
from pitwright.sheets.views.common import pit_sketch


def saddle_templates(pit: Pit) -> tuple[Template, ...]:
    """The saddle plate where there are saddles; they are all cut alike."""
    parts = [p for p in pit.parts if p.name == "saddle plate"]
    if not parts:
        return ()
    saddle, tape = pit.saddles[0], pit.tape
    pad = saddle.pad_thickness
    how = [
        "Lay the foot of the template on the plate's straight edge, the centre line on the plate's own. Scribe the arc and the "
        "ears; cut outside the line and dress to it.",
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


def _saddle(pit: Pit) -> Drawing:
    s, saddle, tape = pit_sketch(pit), pit.saddles[0], pit.tape
    s.outline(saddle_outline(saddle), "cut")
    s.line((0.0, 0.0), (0.0, saddle.middle_height), "centre")
    half = saddle.chord / 2.0
    for x in (-half, half):
        if saddle.width / 2.0 - half > 1e-6:
            s.line((x, 0.0), (x, 0.008), "mark")
    words = [
        ("saddle plate", 4.0, True),
        (f"arc radius {tape.fine(saddle.cut_radius)}", 3.0, False),
        ("foot, on the base", 2.6, False),
    ]
    lettered(s, words, 0.006, 0.026, half - 0.02)
    s.text((0.004, saddle.middle_height - 0.003), f"middle {tape.length(saddle.middle_height)}", height=2.6, seat="top")
    for sign, anchor in ((-1.0, "left"), (1.0, "right")):
        at = (sign * (saddle.width / 2.0 - 0.003), saddle.edge_height * 0.6)
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
