"""The stack: its saddle strip and the hole on the skin, or the strips of a stack that leaves the end."""

from __future__ import annotations

import math
from functools import partial

import numpy as np

from pitwright.geometry.curves import HeadCope, Mitre, Saddle
from pitwright.layout.model import Pit
from pitwright.layout.stack import STEPS
from pitwright.meridian import head_form
from pitwright.parts import Bar, HeadCut, PlaneCut
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.templates.record import Template, fire_arrow, lettered, traced
from pitwright.sheets.templates.strips import Strip, strip_drawing, strip_figures, strip_lines
from pitwright.sheets.views.common import pit_sketch
from pitwright.sheets.views.stack import behind_text, saddle_of

_ARM = 0.03  # centre lines stand out of the outline by this much [m]


def stack_templates(pit: Pit) -> tuple[Template, ...]:
    """Strips of every cut end; the hole where cut marks are issued."""
    if pit.stack.place == "end":
        return _end_strips(pit)
    out: tuple[Template, ...] = () if pit.stack.reach_in else (_saddle_strip(pit),)
    return (*out, _hole(pit)) if pit.cleared else out


def inside_bite(saddle: Saddle, wall: float) -> float:
    """How far the inner edge of a pipe cut square through its wall would run into the header [m], at its worst clock."""
    inner = Saddle(
        header_radius=saddle.header_radius,
        branch_radius=saddle.branch_radius - wall,
        angle=saddle.angle,
        offset=saddle.offset,
    )
    clocks = np.linspace(0.0, 2.0 * math.pi, 361)
    return max(0.0, *(inner.reach(float(c)) - saddle.reach(float(c)) for c in clocks))


def saddle_strip(pit: Pit) -> Strip:
    """The strip of a stack set on the shell; line 0 is towards the stack-end seam, lines grow to the working side."""
    quarter = STEPS // 4
    return Strip(
        title="stack saddle",
        reach=saddle_of(pit).reach,
        radius=pit.stack.profile.height / 2.0,
        lines=STEPS,
        sides={
            0: "stack end",
            quarter: "working side",
            2 * quarter: "fire end",
            3 * quarter: "back",
        },
        notes=("curve end down, on the shell", "line 8 faces the fire end, line 4 the working side"),
    )


def _saddle_strip(pit: Pit) -> Template:
    strip, stack, tape = saddle_strip(pit), pit.stack, pit.tape
    bite = inside_bite(saddle_of(pit), stack.profile.wall)
    return Template(
        slug="stack-saddle",
        name="Stack saddle, strip round the pipe",
        marks=tuple(p.mark for p in pit.parts if p.name == "stack"),
        drawing=strip_drawing(pit, strip, turned_over=pit.vessel.hand < 0),
        how=(
            *strip_lines(pit, strip),
            "Line 8 faces the fire end, line 0 the stack end, line 4 the working side, line 12 the back. Roll the pipe's own "
            "seam to line 12 and strike lines 0 and 8 along the whole pipe.",
            f"The curve is where the outside of the pipe meets the skin. Dress the inner edge back, up to {tape.decimal(bite)} "
            "at the sides, until the outer edge sits.",
            f"The straight edge lies {tape.length(stack.length - strip_figures(pit, strip).tall)} from the pipe's top; the longest "
            f"point of the curve {tape.length(stack.length)}.",
        ),
        check=("strip, once round", tape.fine(strip_figures(pit, strip).girth)),
    )


def hole_saddle(pit: Pit) -> Saddle:
    """What the hole is cut to: the pipe's inside where it is set on the skin, its outside where it reaches in."""
    stack = pit.stack
    bore = stack.profile.height / 2.0 - (0.0 if stack.reach_in else stack.profile.wall)
    return Saddle(header_radius=pit.vessel.outer_radius, branch_radius=bore, offset=stack.y)


def skin_outline(saddle: Saddle, x: float) -> tuple[tuple[float, float], ...]:
    """The branch's outline on the skin: (x [m], around from the line the branch faces [m]), once round."""

    def at(clock: float) -> tuple[float, float]:
        px, y, z = saddle.point(clock)
        return x + px, saddle.header_radius * math.atan2(y, z)

    return traced(at, 0.0, 2.0 * math.pi, pieces=32)[:-1]


def _hole(pit: Pit) -> Template:
    tape, stack, vessel = pit.tape, pit.stack, pit.vessel
    figures = hole_saddle(pit).hole()
    station = tape.length(vessel.station(stack.x))
    kind = "the pipe's outside: it goes through" if stack.reach_in else "the pipe's inside; the thin line is its foot"
    return Template(
        slug="stack-hole",
        name="Stack hole, on the skin",
        marks=tuple(p.mark for p in pit.parts if p.name in ("shell", "stack")),
        drawing=_hole_drawing(pit),
        how=(
            f"Strike the stack's centre on the skin: station {station} and {behind_text(pit)}. Lay the cross on it, the arrow "
            "to the fire end, the top line (where shown) on the top line; tape it down flat on the skin.",
            f"The heavy line is {kind}. Cut inside it: leave the line, the kerf lies in the hole, and dress to it.",
            "Punch the line every finger's breadth before the paper burns. Set the pipe on it and scribe round before cutting.",
            "Never cut, grind or heat a vessel without its make-safe record; work with a second person and a fire watch.",
        ),
        check=("hole, along x round", f"{tape.length(figures.along)} x {tape.length(figures.around)}"),
    )


def _hole_drawing(pit: Pit) -> Drawing:
    """As seen from outside, the working side at the foot of the page."""
    s, tape = pit_sketch(pit), pit.tape
    stack, vessel = pit.stack, pit.vessel
    way = -float(vessel.hand)

    def shown(points: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
        return [(way * x, -a) for x, a in points]

    hole = shown(skin_outline(hole_saddle(pit), stack.x))
    rim = shown(skin_outline(saddle_of(pit), stack.x))
    s.lines(hole, "cut", closed=True)
    if not stack.reach_in:
        s.lines(rim, "thin", closed=True)
    xs, ys = [p[0] for p in rim], [p[1] for p in rim]
    x0, x1, y0, y1 = min(xs) - _ARM, max(xs) + _ARM, min(ys) - _ARM, max(ys) + _ARM
    cx, cy = way * stack.x, -vessel.around_at(stack.clock)
    s.line((x0, cy), (x1, cy), "centre")
    s.line((cx, y0), (cx, y1), "centre")
    for x in (x0, x1):
        s.line((x, cy - 0.004), (x, cy + 0.004), "mark")
    for y in (y0, y1):
        s.line((cx - 0.004, y), (cx + 0.004, y), "mark")
    s.rectangle(x0 - 0.003, y0 - 0.003, x1 + 0.003, y1 + 0.003, "outline")
    if y0 < 0.0 < y1 and abs(cy) > 0.008:
        s.line((x0, 0.0), (x1, 0.0), "mark")
        s.text((x0 + 0.002, 0.002), "top line", height=3.0, bold=True, plate=True)
    elif abs(cy) <= 0.008:
        s.text(
            (x0 + 0.002, cy + 0.002), "top line" if abs(cy) < tape.step / 2.0 else "", height=3.0, bold=True, plate=True
        )
    s.text((cx - 0.002, y1 - 0.002), f"station {tape.length(vessel.station(stack.x))}", height=3.0, anchor="right",
           seat="top", plate=True)  # fmt: skip
    room = (x1 - x0) * 0.3
    lettered(s, [("stack hole", 4.0, True), ("cut inside the line", 3.0, False), (f"centre {behind_text(pit)}", 2.6, False)],
             cx + 0.006, cy + 0.45 * (y1 - cy), room)  # fmt: skip
    s.text((cx + 0.006, y0 + 0.003), "working side this way", height=3.0, bold=True, plate=True)
    fire_arrow(s, pit, (cx - 0.25 * (x1 - x0), cy - 0.3 * (cy - y0)))
    return s.drawing()


def end_strips(pit: Pit) -> tuple[Strip, ...]:
    """Strips of a stack out of the end: stub to the head where it is dished, then both halves of the elbow."""
    stack, r = pit.stack, pit.stack.profile.height / 2.0
    stub = next(p.shape for p in pit.parts if p.name == "stack stub")
    riser = next(p.shape for p in pit.parts if p.name == "stack riser")
    assert isinstance(stub, Bar)
    assert isinstance(riser, Bar)
    assert isinstance(riser.start, PlaneCut)
    out: list[Strip] = []
    head = pit.vessel.stack_head
    if isinstance(stub.start, HeadCut) and head is not None:
        up = stack.base_z - pit.vessel.centre_z
        cope = HeadCope(head=head_form(head), branch_radius=r, drop=abs(up))
        near, far = ("bottom", "top") if up >= 0.0 else ("top", "bottom")
        out.append(
            Strip(
                title="stack stub to the dished end",
                reach=cope.reach,
                radius=r,
                lines=STEPS,
                sides={0: near, STEPS // 2: far},
                notes=("curve end against the vessel's end", "both ways round are alike"),
            )
        )
    out.append(elbow_strip(r, math.acos(min(1.0, abs(riser.start.normal[0])))))
    return tuple(out)


def elbow_strip(radius: float, angle: float) -> Strip:
    """The strip of a stack's elbow, cut at an angle off square [rad]."""
    return Strip(
        title="stack elbow, both halves",
        reach=Mitre(branch_radius=radius, angle=angle).reach,
        radius=radius,
        lines=STEPS,
        sides={0: "inside of bend", STEPS // 2: "outside of bend"},
        notes=("one strip for stub and riser", "both ways round are alike"),
    )


def _end_strips(pit: Pit) -> tuple[Template, ...]:
    tape = pit.tape
    marks = tuple(p.mark for p in pit.parts if p.name in ("stack stub", "stack riser"))
    wants = {
        "stack elbow, both halves": (
            "stack-elbow",
            "Line 0 is the inside of the bend on both pieces: keep both lines 0 in one plane when tacking, short side to short side. "
            "Lengths of both pieces: see the sheet STACK.",
        ),
        "stack stub to the dished end": (
            "stack-stub",
            "Line 0 is the side nearest the vessel's middle. Try it on the end before beveling; the dish of a found vessel is never quite true.",
        ),
    }  # fmt: skip
    make = partial(strip_drawing, pit)
    return tuple(
        Template(
            slug=wants[strip.title][0],
            name=strip.title.capitalize(),
            marks=marks,
            drawing=make(strip),
            how=(*strip_lines(pit, strip), wants[strip.title][1]),
            check=("strip, once round", tape.fine(strip_figures(pit, strip).girth)),
        )
        for strip in end_strips(pit)
    )
