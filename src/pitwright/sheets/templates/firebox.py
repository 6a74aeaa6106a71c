"""The firebox against a dished end: strips for pipes, edge templates for the plates of a box."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from pitwright.geometry.curves import HeadCope
from pitwright.geometry.heads import Head
from pitwright.layout.model import Pit
from pitwright.meridian import head_form
from pitwright.parts import Point2
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.templates.record import Template, lettered, round_step, traced
from pitwright.sheets.templates.strips import Strip, strip_drawing, strip_figures, strip_lines
from pitwright.sheets.views.common import pit_sketch

LINES = 32  # round the firebox pipe, as in its table of ordinates
_BACK = 0.03  # steel side of an edge template, at least [m]


def firebox_templates(pit: Pit) -> tuple[Template, ...]:
    """Nothing for a square end: only a dished end asks for a template."""
    if pit.firebox.joint != "dished" or pit.vessel.fire_head is None:
        return ()
    if pit.firebox.shape == "box":
        return tuple(_edge_template(pit, edge) for edge in box_edges(pit) if meets(edge))
    return tuple(_wrap(pit, name, cope) for name, cope in copes(pit))


# ---------------------------------------------------------------- round


def copes(pit: Pit) -> tuple[tuple[str, HeadCope], ...]:
    """(piece, its cope) of the firebox pipe, and of its outer skin where it has a double wall."""
    box, head = pit.firebox, pit.vessel.fire_head
    assert head is not None
    form = head_form(head)
    out = [("firebox body", HeadCope(head=form, branch_radius=box.width / 2.0, drop=box.drop))]
    if box.double_gap:
        outer = box.width / 2.0 + box.double_gap + box.outer_skin
        out.append(("firebox outer skin", HeadCope(head=form, branch_radius=outer, drop=box.drop)))
    return tuple(out)


def cope_strip(name: str, cope: HeadCope) -> Strip:
    """The strip of a pipe coped to the dished end; line 0 is its top."""
    quarter = LINES // 4
    ends = () if cope.meets_to >= math.pi else (cope.meets_to, -cope.meets_to)
    return Strip(
        title=f"{name} to the dished end",
        reach=cope.reach,
        radius=cope.branch_radius,
        lines=LINES,
        sides={0: "top", quarter: "side", 2 * quarter: "bottom", 3 * quarter: "side"},
        breaks=ends,
        notes=("curve end against the vessel's end", "both ways round are alike"),
    )


def _wrap(pit: Pit, name: str, cope: HeadCope) -> Template:
    strip, tape = cope_strip(name, cope), pit.tape
    misses: tuple[str, ...] = ()
    if cope.meets_to < math.pi:
        reach = tape.length(cope.meets_to * cope.branch_radius)
        misses = (
            f"From {reach} each way round from line 0 the pipe misses the dish: there the line runs square at the girth seam, and "
            "the closing plate fills that part.",
        )
    return Template(
        slug=name.replace(" ", "-"),
        name=strip.title.capitalize(),
        marks=tuple(p.mark for p in pit.parts if p.name == name),
        drawing=strip_drawing(pit, strip),
        how=(
            *strip_lines(pit, strip),
            f"The straight edge lies {tape.length(_length(pit) - strip_figures(pit, strip).straight)} from the pipe's square outer end.",
            f"Line 0 is the top of the pipe, line {LINES // 2} its bottom. Put the pipe's own seam to one side, off both.",
            *misses,
            "The line is for the outside of the pipe. Hold the torch along the pipe, try it on the end, then bevel; the dish of a "
            "found vessel is never quite true.",
        ),
        check=("strip, once round", tape.fine(strip_figures(pit, strip).girth)),
    )


def _length(pit: Pit) -> float:
    """From the body's outer end to the vessel's girth seam [m]."""
    return pit.firebox.x1 - pit.firebox.x0 - pit.firebox.end_plate


# ---------------------------------------------------------------- box


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxEdge:
    """The vessel edge of one plate of a box firebox.

    side     which of two alike plates it is; face: the one it is scribed on
    width    along the edge [m]; ends: names of its two ends, left to right on that face with the vessel up
    stands   how far the dish stands out past the girth seam, by the place along the edge from its left end [m]
    length   the plate from its outer end to the girth seam [m]
    breaks   places where the edge leaves the dish [m]
    """

    piece: str
    side: str
    face: str
    width: float
    ends: tuple[str, str]
    stands: Callable[[float], float]
    length: float
    breaks: tuple[float, ...]

    @property
    def title(self) -> str:
        """What the shop calls it."""
        return f"{self.piece}, {self.side}" if self.side else self.piece


def box_edges(pit: Pit) -> tuple[BoxEdge, ...]:
    """Bottom, roof and sides, each on the face its outline is drawn on."""
    box, head = pit.firebox, pit.vessel.fire_head
    assert head is not None
    form, half, t = head_form(head), box.width / 2.0, box.wall
    low, high = -box.drop - box.height / 2.0, -box.drop + box.height / 2.0
    length = _length(pit)
    level = ("back", "working side") if pit.vessel.hand > 0 else ("working side", "back")
    up, down = (
        ((half, low + t), (half, high - t), ("bottom", "top")),
        ((half, high - t), (half, low + t), ("top", "bottom")),
    )
    one, other = (up, down) if pit.vessel.hand > 0 else (down, up)
    return (
        _edge(form, "firebox bottom", "", "under face", ((-half, low), (half, low), level), length),
        _edge(form, "firebox roof", "", "under face", ((-half, high - t), (half, high - t), level), length),
        _edge(form, "firebox side", "working side", "outer face", one, length),
        _edge(form, "firebox side", "back", "outer face", other, length),
    )


def _edge(
    form: Head, piece: str, side: str, face: str, run: tuple[Point2, Point2, tuple[str, str]], length: float
) -> BoxEdge:
    """An edge along a run (from, to, names of its ends), across and up from the vessel's centre.

    From left to right as seen on its face with the vessel's end of the plate up.
    """
    a, b, ends = run
    width = math.dist(a, b)
    way = ((b[0] - a[0]) / width, (b[1] - a[1]) / width)
    rim = form.outside_radius

    def stands(s: float) -> float:
        rho = math.hypot(a[0] + s * way[0], a[1] + s * way[1])
        return form.outside_height(rho) if rho < rim else 0.0

    along = a[0] * way[0] + a[1] * way[1]
    off = a[0] * a[0] + a[1] * a[1] - along * along
    root = math.sqrt(rim * rim - off) if rim * rim > off else 0.0
    return BoxEdge(
        piece=piece,
        side=side,
        face=face,
        width=width,
        ends=ends,
        stands=stands,
        length=length,
        breaks=(-along - root, root - along),
    )


def edge_curve(edge: BoxEdge) -> tuple[Point2, ...]:
    """The cut edge: place along it, and how far it stays back from the girth seam (0 or less) [m]."""
    return traced(lambda s: (s, -edge.stands(s)), 0.0, edge.width, edge.breaks)


def meets(edge: BoxEdge) -> bool:
    """Whether the edge lands on the dish at all; where it does not, the plate is cut square."""
    return any(y < -1e-6 for _, y in edge_curve(edge))


def _edge_template(pit: Pit, edge: BoxEdge) -> Template:
    tape = pit.tape
    part = next(p for p in pit.parts if p.name == edge.piece)
    curve = edge_curve(edge)
    deep = -min(p[1] for p in curve)
    line = _struck(pit, edge, deep)
    return Template(
        slug=f"{edge.piece} {edge.side}".strip().replace(" ", "-"),
        name=f"{edge.title.capitalize()}, edge on the dished end",
        marks=(part.mark,),
        drawing=_edge_drawing(pit, edge, curve, line),
        how=(
            f"Strike a line square across the plate, {tape.length(line)} from its outer end. Lay the straight edge of the template "
            f"on it, the curve towards the vessel, ends to the plate's sides as lettered ({edge.ends[0]}, {edge.ends[1]}).",
            f"Scribe the curve on the {edge.face}. The dish slopes through the plate's wall: bevel the other face until this one sits.",
            *(
                ("Where the line runs straight the plate misses the dish and stops square at the girth seam.",)
                if min(-p[1] for p in curve) < 1e-9
                else ()
            ),
        ),
        check=("straight edge, end to end", tape.length(edge.width)),
    )


def _struck(pit: Pit, edge: BoxEdge, deep: float) -> float:
    """Where the template's straight edge lies, from the plate's outer end: a round figure behind the deepest place [m]."""
    return round_step(pit, edge.length - deep - _BACK)


def _edge_drawing(pit: Pit, edge: BoxEdge, curve: tuple[Point2, ...], line: float) -> Drawing:
    """Seen on the face it is scribed on; the vessel is up."""
    s, tape = pit_sketch(pit), pit.tape
    back = line - edge.length
    s.lines(curve, "cut")
    s.lines(((0.0, curve[0][1]), (0.0, back), (edge.width, back), (edge.width, curve[-1][1])), "outline")
    middle = edge.width / 2.0
    s.line((middle, back), (middle, -edge.stands(middle)), "centre")
    for x, name, anchor in ((0.003, edge.ends[0], "left"), (edge.width - 0.003, edge.ends[1], "right")):
        s.text((x, back + 0.003), name, height=3.0, anchor=anchor, bold=True)  # type: ignore[arg-type]
    words = [
        (f"{edge.title}, {edge.face}", 3.5, True),
        (f"straight edge {tape.length(line)} from the outer end; curve to the vessel", 2.5, False),
    ]
    lettered(s, words, middle + 0.004, back + 0.022, middle - 0.03)
    return s.drawing()
