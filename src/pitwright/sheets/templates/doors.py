"""Corners of the doors on the skin laid flat: cut edges, laps of the bands, and the side the kerf lies on."""

from __future__ import annotations

import math

from pitwright.layout.marks import skin_around
from pitwright.layout.model import Pit
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.templates.record import Template, fire_arrow, lettered
from pitwright.sheets.views.common import pit_sketch
from pitwright.tape import INCH, MILLIMETRE

_ARM = 4.5 * INCH
_ARM_METRIC = 120.0 * MILLIMETRE
_PAST = 25.0 * MILLIMETRE  # struck lines go on past the corner by this much
_TICK = 6.0 * MILLIMETRE


def door_templates(pit: Pit) -> tuple[Template, ...]:
    """Four corners that serve every door; none before the make-safe record is complete."""
    if not pit.cleared or not pit.doors:
        return ()
    return tuple(_corner(pit, edge, end) for edge in ("hinge", "lower") for end in ("fire", "stack"))


def _corner(pit: Pit, edge: str, end: str) -> Template:
    tape, vessel = pit.tape, pit.vessel
    lap = pit.job.proportions.doors.band_overlap
    places = "; ".join(
        f"{d.name}: station {tape.length(vessel.station(d.x0 if end == 'fire' else d.x1))}, around "
        f"{tape.length(skin_around(vessel, d.hinge_clock if edge == 'hinge' else d.edge_clock))}"
        for d in pit.doors
    )
    laps = (
        f"The thin line is how far the end band laps the skin outside the cut ({tape.length(lap)}); nothing laps the hinge edge."
        if edge == "hinge"
        else f"The thin lines are how far the bands lap the skin outside the cuts ({tape.length(lap)})."
    )
    return Template(
        slug=f"door-corner-{edge}-{end}",
        name=f"Door corner, {edge} edge, {end} end",
        marks=tuple(p.mark for p in pit.parts if p.group == "doors" and p.name.endswith(" skin")),
        drawing=corner_drawing(pit, edge, end),
        how=(
            f"Lay the corner on the struck lines, printed side out, the arrow to the fire end. {places}. Arounds are by tape from the "
            "top line over the working side.",
            "The corner is square on the skin. Cut on the door's side of the line (the ticks): the kerf comes out of the door. Leave "
            "the line on the vessel and a tab at the corner.",
            laps,
            "Order of cutting, strongbacks and tabs: see the sheet DOORS. Hinges go on before any cut.",
        ),
        check=("each arm, corner to end", tape.length(corner_arm(pit))),
    )


def corner_arm(pit: Pit) -> float:
    """Length of each arm of a door corner [m]."""
    return _ARM if pit.tape.inch else _ARM_METRIC


def corner_cut(s: Sketch, arm: float, into_x: float, into_y: float) -> None:
    """Both cuts of a corner at (0, 0), the struck lines past it, and ticks on the door's side.

    into_x, into_y  the way to the door, +1 or -1 each
    """
    s.line((0.0, 0.0), (into_x * arm, 0.0), "cut")
    s.line((0.0, 0.0), (0.0, into_y * arm), "cut")
    s.line((0.0, 0.0), (-into_x * _PAST, 0.0), "mark")
    s.line((0.0, 0.0), (0.0, -into_y * _PAST), "mark")
    count = int(arm / 0.02)
    for i in range(1, count):
        at = i * arm / count
        s.line((into_x * at, 0.0), (into_x * (at + 0.7 * _TICK), into_y * _TICK), "thin")
        s.line((0.0, into_y * at), (into_x * _TICK, into_y * (at + 0.7 * _TICK)), "thin")


def corner_words(s: Sketch, arm: float, into_x: float, into_y: float, name: str) -> float:
    """The corner's outline, its name and what its lines mean, in the door; the height the words end at [m]."""
    x0, x1 = sorted((-into_x * (_PAST + 0.004), into_x * (arm + 0.004)))
    y0, y1 = sorted((-into_y * (_PAST + 0.004), into_y * (arm + 0.004)))
    s.rectangle(x0, y0, x1, y1, "outline")
    words = [
        (name, 3.8, True),
        ("door on this side: kerf on the ticks", 3.0, False),
        ("cross on the struck lines", 2.6, False),
    ]
    return lettered(s, words, min(0.0, into_x * arm) + 0.018, max(0.0, into_y * arm) - 0.018, arm - 0.036)


def corner_drawing(pit: Pit, edge: str, end: str) -> Drawing:
    """Seen from outside, the hinge edge up; the corner is at (0, 0)."""
    s, arm = pit_sketch(pit), corner_arm(pit)
    lap = pit.job.proportions.doors.band_overlap
    # Fire end to the right of a right-hand pit: the door lies on the other side of that corner.
    into_x = -float(pit.vessel.hand) if end == "fire" else float(pit.vessel.hand)
    into_y = -1.0 if edge == "hinge" else 1.0
    corner_cut(s, arm, into_x, into_y)
    out = -into_x * lap
    if edge == "hinge":
        s.line((out, 0.0), (out, into_y * arm), "thin")
    else:
        s.lines(((into_x * arm, -into_y * lap), (out, -into_y * lap), (out, into_y * arm)), "thin")
    s.text((out + 0.0015, into_y * 0.5 * arm), "end band laps to here", height=2.4, anchor="middle", seat="top",
           angle=math.pi / 2.0, plate=True)  # fmt: skip
    if edge == "lower":
        s.text((into_x * 0.5 * arm, -lap - 0.0015), "lower band laps to here", height=2.4, anchor="middle", seat="top",
               plate=True)  # fmt: skip
    foot = corner_words(s, arm, into_x, into_y, f"door corner: {edge} edge, {end} end")
    fire_arrow(s, pit, (into_x * 0.55 * arm, foot - 0.016))
    return s.drawing()
