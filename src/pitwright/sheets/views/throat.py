"""The throat: the window between firebox and chamber, seen from the firebox and laid out from its centre line."""

from __future__ import annotations

import math
from itertools import pairwise

from pitwright.layout.model import Pit
from pitwright.parts import Outline, arc_of
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.shapes import Role
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import known, pit_sketch
from pitwright.tape import INCH, MILLIMETRE

_MOST_HASHES = 14


def window(pit: Pit) -> Outline:
    """The throat's outline: y across, v up from the vessel's centre [m]."""
    return Outline(pit.throat.points, pit.throat.bulges)


def window_issued(pit: Pit) -> bool:
    """Whether the window may be shown: cut in the vessel's own head it waits for the make-safe record."""
    return pit.cleared or pit.firebox.joint == "cut"


def half_width(outline: Outline, v: float) -> float:
    """How far an outline reaches to the right of its centre line at a height [m]; arcs exact, 0 outside it."""
    most = 0.0
    for (a, b), bulge in zip(pairwise((*outline.points, outline.points[0])), outline.bulges, strict=True):
        if not bulge:
            if min(a[1], b[1]) - 1e-12 <= v <= max(a[1], b[1]) + 1e-12:
                share = (v - a[1]) / (b[1] - a[1]) if abs(b[1] - a[1]) > 1e-12 else 0.0
                most = max(most, a[0] + share * (b[0] - a[0]), b[0] if abs(b[1] - a[1]) <= 1e-12 else 0.0)
            continue
        centre, radius, start, sweep = arc_of(a, b, bulge)
        square = radius * radius - (v - centre[1]) ** 2
        if square < 0.0:
            continue
        for x in (math.sqrt(square), -math.sqrt(square)):
            turn = math.remainder(math.atan2(v - centre[1], x) - start, 2.0 * math.pi)
            span = turn if sweep > 0.0 else -turn
            if -1e-9 <= span <= abs(sweep) + 1e-9 or -1e-9 <= span + 2.0 * math.pi <= abs(sweep) + 1e-9:
                most = max(most, centre[0] + x)
    return most


def hash_heights(pit: Pit) -> tuple[float, ...]:
    """Heights of the window's hash marks over the dam [m]: round steps of the shop's tape, and the top."""
    tall = pit.throat.top - pit.throat.bottom
    steps = (1.0, 2.0, 4.0) if pit.tape.inch else (25.0, 50.0, 100.0)
    unit = INCH if pit.tape.inch else MILLIMETRE
    step = next((s * unit for s in steps if tall / (s * unit) <= _MOST_HASHES), steps[-1] * unit)
    marks = [i * step for i in range(int(tall / step - 0.2) + 1)]
    return (*marks, tall)


def diagonal(pit: Pit) -> float:
    """From the dam's corner to the top on the centre line; the same on both sides of a window that is true [m]."""
    throat = pit.throat
    return math.hypot(half_width(window(pit), throat.bottom), throat.top - throat.bottom)


def end_view(pit: Pit) -> Drawing:
    """Vessel and firebox end-on from the fire, with the throat between them; (0, 0) is the vessel's centre."""
    s = pit_sketch(pit)
    vessel, box, throat = pit.vessel, pit.firebox, pit.throat
    r = vessel.outer_radius
    low = -box.drop - box.height / 2.0
    if window_issued(pit):
        s.fill(window(pit), 0.14)
    with s.about(known(pit, "vessel.diameter")):
        s.circle((0.0, 0.0), r)
        s.circle((0.0, 0.0), vessel.inner_radius, "hidden")
    _firebox_end(s, pit)
    s.centre_lines((0.0, 0.0), r, over=0.06)
    s.line((0.0, -r), (0.0, low - 0.05 * r), "centre")
    s.line((-0.55 * box.width, -box.drop), (0.55 * box.width, -box.drop), "centre")
    out = max(r, box.width / 2.0)
    with s.about(known(pit, "firebox.drop")):
        s.dim((0.0, -box.drop), (0.0, 0.0), "left", base=-out)
    s.dim((0.0, -box.drop), (0.0, -box.drop + box.height / 2.0), "left", base=-out)
    s.dim((-r, 0.0), (r, 0.0), "above", pit.tape.length(2.0 * r), base=r, about=known(pit, "vessel.diameter"))
    s.dim((-box.width / 2.0, -box.drop), (box.width / 2.0, -box.drop), "below", base=low, about="firebox.width")
    if window_issued(pit):
        s.outline(window(pit), "cut", about=known(pit, "throat.net"))
        s.dim((0.0, throat.top), (0.0, 0.0), "right", base=out)
        s.dim((0.0, throat.bottom), (0.0, throat.top), "right", base=out)
        with s.about(known(pit, "throat.dam")):
            s.dim((0.0, -vessel.inner_radius), (0.0, throat.bottom), "right", base=out)
    hand = -vessel.hand
    s.callout((hand * r, 0.0), "spring line,\nworking side", toward=math.pi / 2.0 - hand * 0.6)
    s.callout((-hand * r, 0.0), "spring line,\nback", toward=math.pi / 2.0 + hand * 0.6)
    return s.drawing()


def _firebox_end(s: Sketch, pit: Pit) -> None:
    box = pit.firebox
    sizes: list[tuple[float, float, Role]] = [
        (box.width, box.height, "outline"),
        (box.inside_width, box.inside_height, "hidden"),
    ]
    if box.double_gap:
        more = 2.0 * (box.double_gap + box.outer_skin)
        sizes.append((box.width + more, box.height + more, "thin"))
    for width, height, role in sizes:
        if box.shape == "round":
            s.circle((0.0, -box.drop), width / 2.0, role)
        else:
            half, tall = width / 2.0, height / 2.0
            s.rectangle(-half, -box.drop - tall, half, -box.drop + tall, role)


def window_view(pit: Pit) -> Drawing:
    """The window alone, seen from the fire: dam line at the foot, hash marks across its centre line."""
    s = pit_sketch(pit)
    throat, outline = pit.throat, window(pit)
    v0 = throat.bottom
    s.fill(outline, 0.08)
    for up in hash_heights(pit)[1:-1]:
        w = half_width(outline, v0 + up)
        s.line((-w, v0 + up), (w, v0 + up), "thin")
    s.outline(outline, "cut")
    foot = half_width(outline, v0)
    s.line((0.0, v0 - 0.02), (0.0, throat.top + 0.02), "centre")
    x = throat.widest / 2.0
    s.running((-foot, v0), [((-half_width(outline, v0 + u), v0 + u), pit.tape.length(u)) for u in hash_heights(pit)[1:]],
              "left", base=-x)  # fmt: skip
    s.dim((0.0, v0), (foot, v0), "below", base=v0)
    s.dim((-foot, v0), (foot, v0), "below", base=v0)
    if throat.widest > 2.0 * foot + 1e-6:
        s.dim((-x, throat.widest_at), (x, throat.widest_at), "above", base=throat.top)
    s.dim_aligned((foot, v0), (0.0, throat.top), pit.tape.fine(diagonal(pit)), gap=0.0)
    return s.drawing()


def window_table(pit: Pit) -> Table:
    """Half widths of the window at its hash marks."""
    tape, outline = pit.tape, window(pit)
    heights = hash_heights(pit)
    rows = []
    for up in heights:
        half = half_width(outline, pit.throat.bottom + min(up, heights[-1] - 1e-9))
        name = "0, dam line" if up == 0.0 else tape.length(up) + (", top" if up == heights[-1] else "")
        rows.append((name, tape.length(half), ""))
    return Table(
        (
            Column("up from the dam"),
            Column("each side of the centre line", align="right", bold=True, wrap=True),
            Column("got", blank=True),
        ),
        tuple(rows),
        title="Throat window by hash marks",
    )
