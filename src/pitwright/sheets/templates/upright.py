"""Full-size templates of a vessel on end: the firebox's cope, its window on the skin, the stack's cope, the door's corners."""

from __future__ import annotations

import math

from pitwright.geometry.curves import Saddle
from pitwright.layout.marks import skin_around
from pitwright.layout.model import Pit
from pitwright.layout.stack import STEPS
from pitwright.layout.upright_model import UprightLayout
from pitwright.parts import Point2
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.templates.doors import corner_arm, corner_cut, corner_words
from pitwright.sheets.templates.record import Template, lettered, traced
from pitwright.sheets.templates.stack import elbow_strip
from pitwright.sheets.templates.strips import Strip, strip_drawing, strip_figures, strip_lines
from pitwright.sheets.views.common import pit_sketch

LINES = 32  # round the firebox pipe
_ARM = 0.03  # centre lines stand out of the outline by this much [m]


def upright_templates(pit: Pit, own: UprightLayout) -> tuple[Template, ...]:
    """Copes always; what marks a cut on the vessel only with its make-safe record."""
    out: list[Template] = []
    if pit.firebox.shape == "round":
        out.append(_firebox_strip(pit))
    if pit.cleared:
        out.append(_window(pit, own))
    if pit.stack.place == "back":
        out += _stack_strips(pit)
    if pit.cleared:
        out += [_corner(pit, edge, end) for end in ("upper", "lower") for edge in ("hinge", "latch")]
    return tuple(out)


def firebox_strip(pit: Pit) -> Strip:
    """The strip of the firebox pipe coped to the shell; line 0 is its top."""
    saddle = Saddle(header_radius=pit.vessel.outer_radius, branch_radius=pit.firebox.width / 2.0)
    quarter = LINES // 4
    return Strip(
        title="firebox pipe to the shell",
        reach=saddle.reach,
        radius=pit.firebox.width / 2.0,
        lines=LINES,
        sides={0: "top", quarter: "side", 2 * quarter: "bottom", 3 * quarter: "side"},
        notes=("curve end against the shell", "both ways round are alike"),
    )


def _firebox_strip(pit: Pit) -> Template:
    strip, tape, box = firebox_strip(pit), pit.tape, pit.firebox
    figures = strip_figures(pit, strip)
    deep = pit.vessel.outer_radius - math.sqrt(pit.vessel.outer_radius**2 - (box.width / 2.0) ** 2)
    longest = box.depth_inside + deep
    return Template(
        slug="firebox-cope",
        name="Firebox pipe to the shell, strip round the pipe",
        marks=tuple(p.mark for p in pit.parts if p.name == "firebox body"),
        drawing=strip_drawing(pit, strip),
        how=(
            *strip_lines(pit, strip),
            f"The straight edge lies {tape.length(longest - figures.tall)} from the pipe's square outer end; the longest points, "
            f"at the sides, {tape.length(longest)}.",
            f"Line 0 is the top of the pipe, line {LINES // 2} its bottom. Put the pipe's own seam to one side, off both.",
            "The line is for the outside of the pipe. Hold the torch along the pipe, offer it up, then bevel.",
        ),
        check=("strip, once round", tape.fine(figures.girth)),
    )


def _window(pit: Pit, own: UprightLayout) -> Template:
    tape, vessel, window = pit.tape, pit.vessel, own.window
    middle = (window.x0 + window.x1) / 2.0
    around = 2.0 * window.half_clock * vessel.outer_radius
    return Template(
        slug="firebox-window",
        name="Firebox window, on the skin",
        marks=tuple(p.mark for p in pit.parts if p.name in ("shell", "firebox body", "firebox side")),
        drawing=window_drawing(pit, own),
        how=(
            f"Strike the window's centre: {tape.length(middle)} over the bottom seam, on the firebox line "
            f"({tape.length(skin_around(vessel, window.clock))} around from the front line). Lay the cross on it, the arrow to the "
            "top; tape it down flat on the skin.",
            "The heavy line is the window, inside the firebox and over its dam; the thin one is the outside of the firebox.",
            "Offer the coped firebox up on the thin line and scribe round before cutting. Cut inside the heavy line: the kerf lies "
            "in the window.",
            "Punch the line every finger's breadth before the paper burns. Never cut, grind or heat a vessel without its make-safe "
            "record; work with a second person and a fire watch.",
        ),
        check=("window, up x round", f"{tape.length(window.x1 - window.x0)} x {tape.length(around)}"),
    )


def window_drawing(pit: Pit, own: UprightLayout) -> Drawing:
    """As seen from outside, up is up."""
    s, tape, vessel, window = pit_sketch(pit), pit.tape, pit.vessel, own.window
    way, middle = -float(vessel.hand), vessel.outer_radius * window.clock

    def shown(points: tuple[Point2, ...]) -> list[Point2]:
        return [(way * (a - middle), x) for x, a in points]

    if window.shape == "round":
        hole = shown(_traced(vessel.outer_radius, (window.x1 - window.x0) / 2.0, (window.x0 + window.x1) / 2.0, middle))
        low = pit.firebox.centre_z - vessel.seam_z
        rim = shown(_traced(vessel.outer_radius, pit.firebox.width / 2.0, low, middle))
    else:
        hole, rim = shown(window.outline), shown(window.joint)
    s.lines(hole, "cut", closed=True)
    s.lines(rim, "thin", closed=True)
    xs, ys = [p[0] for p in rim], [p[1] for p in rim]
    x0, x1, y0, y1 = min(xs) - _ARM, max(xs) + _ARM, min(ys) - _ARM, max(ys) + _ARM
    cy = (window.x0 + window.x1) / 2.0
    s.line((x0, cy), (x1, cy), "centre")
    s.line((0.0, y0), (0.0, y1), "centre")
    for x in (x0, x1):
        s.line((x, cy - 0.004), (x, cy + 0.004), "mark")
    for y in (y0, y1):
        s.line((-0.004, y), (0.004, y), "mark")
    s.rectangle(x0 - 0.003, y0 - 0.003, x1 + 0.003, y1 + 0.003, "outline")
    s.line((0.0, y1 - 0.035), (0.0, y1 - 0.005), "mark")
    s.text((0.006, y1 - 0.012), "top this way", height=3.0, bold=True, plate=True)
    s.text((x0 + 0.003, cy + 0.003), f"{tape.length(cy)} over the bottom seam", height=3.0, plate=True)
    words = [
        ("firebox window", 4.0, True),
        ("cut inside the heavy line", 3.0, False),
        ("thin: outside of the firebox", 3.0, False),
    ]
    lettered(s, words, 0.012, cy - 0.02, (x1 - x0) * 0.4)
    s.text((0.006, window.x0 - 0.008), "dam: skin stays below the heavy line", height=3.0, plate=True)
    return s.drawing()


def _traced(header: float, branch: float, height: float, around: float) -> tuple[Point2, ...]:
    """A branch's outline on the skin: (height, around), once round [m]."""
    saddle = Saddle(header_radius=header, branch_radius=branch)

    def at(clock: float) -> Point2:
        x, y, z = saddle.point(clock)
        return height + x, around + header * math.atan2(y, z)

    return traced(at, 0.0, 2.0 * math.pi, pieces=48)[:-1]


def _stack_strips(pit: Pit) -> list[Template]:
    """Stub to the shell, and the elbow."""
    tape, stack = pit.tape, pit.stack
    r, quarter = stack.profile.height / 2.0, STEPS // 4
    saddle = Saddle(header_radius=pit.vessel.outer_radius, branch_radius=r)
    marks = tuple(p.mark for p in pit.parts if p.name in ("stack stub", "stack riser"))
    stub = Strip(
        title="stack stub to the shell",
        reach=saddle.reach,
        radius=r,
        lines=STEPS,
        sides={0: "top", quarter: "side", 2 * quarter: "bottom", 3 * quarter: "side"},
        notes=("curve end against the shell", "both ways round are alike"),
    )
    elbow = elbow_strip(r, math.pi / 4.0)
    told = {
        "stack stub to the shell": "Lay the stub level on the back line, scribe its inside on the skin: that is the hole.",
        "stack elbow, both halves": "Line 0 is the inside of the bend on both pieces: keep both in one plane when tacking.",
    }
    return [
        Template(
            slug=strip.title.split(",")[0].replace(" ", "-"),
            name=strip.title.capitalize(),
            marks=marks,
            drawing=strip_drawing(pit, strip),
            how=(*strip_lines(pit, strip), told[strip.title]),
            check=("strip, once round", tape.fine(strip_figures(pit, strip).girth)),
        )
        for strip in (stub, elbow)
    ]


def _corner(pit: Pit, edge: str, end: str) -> Template:
    tape, vessel, door = pit.tape, pit.vessel, pit.doors[0]
    clock = door.hinge_clock if edge == "hinge" else door.edge_clock
    height = door.x0 if end == "lower" else door.x1
    lap = pit.job.proportions.doors.band_overlap
    laps = "nothing laps the hinge edge" if edge == "hinge" else "and the latch edge"
    return Template(
        slug=f"door-corner-{edge}-{end}",
        name=f"Door corner, {edge} edge, {end} end",
        marks=tuple(p.mark for p in pit.parts if p.group == "doors" and p.name.endswith(" skin")),
        drawing=corner_drawing(pit, edge, end),
        how=(
            f"Lay the corner on the struck lines, printed side out, the arrow to the top seam: {tape.length(height)} over the bottom "
            f"seam, around {tape.length(skin_around(vessel, clock))} from the front line.",
            "The corner is square on the skin. Cut on the door's side of the line (the ticks): the kerf comes out of the door. Leave "
            "the line on the vessel and a tab at the corner.",
            f"The thin line is how far the bands lap the skin outside the cuts ({tape.length(lap)}): the {end} end, {laps}.",
            "Order of cutting, strongbacks and tabs: see the sheet DOORS. Hinges go on before any cut.",
        ),
        check=("each arm, corner to end", tape.length(corner_arm(pit))),
    )


def corner_drawing(pit: Pit, edge: str, end: str) -> Drawing:
    """Seen from outside, up is up; the corner is at (0, 0)."""
    s, arm, own = pit_sketch(pit), corner_arm(pit), pit.upright
    assert own is not None
    lap = pit.job.proportions.doors.band_overlap
    # seen from outside, away from the firebox is left on a right-hand pit; the pins stand on hinge_side
    hinge_left = (own.door.hinge_side > 0) == (pit.vessel.hand > 0)
    left = hinge_left if edge == "hinge" else not hinge_left
    into_x, into_y = (1.0 if left else -1.0), (1.0 if end == "lower" else -1.0)
    corner_cut(s, arm, into_x, into_y)
    out_y, out_x = -into_y * lap, -into_x * lap
    if edge == "hinge":
        s.line((0.0, out_y), (into_x * arm, out_y), "thin")
    else:
        s.lines(((into_x * arm, out_y), (out_x, out_y), (out_x, into_y * arm)), "thin")
    seat_y = out_y - 0.0015 if out_y < 0.0 else out_y + 0.0015
    s.text((into_x * 0.5 * arm, seat_y), "end band laps to here", height=2.4, anchor="middle",
           seat="top" if out_y < 0.0 else "base", plate=True)  # fmt: skip
    foot = corner_words(s, arm, into_x, into_y, f"door corner: {edge} edge, {end} end")
    x = into_x * 0.55 * arm
    s.line((x, foot - 0.034), (x, foot - 0.008), "mark")
    s.lines(((x - 0.003, foot - 0.015), (x, foot - 0.008), (x + 0.003, foot - 0.015)), "mark")
    s.text((x + 0.006, foot - 0.024), "top seam this way", height=2.6, plate=True)
    return s.drawing()
