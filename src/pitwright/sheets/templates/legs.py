"""Leg tops at full size, face by face for square tube, as strips for pipe legs."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from pitwright.geometry.numeric import turning_values
from pitwright.geometry.tube_ends import End, FaceName, PlaneEnd, RoundEnd, face_curve
from pitwright.layout.model import Pit
from pitwright.parts import Bar, BarCutting, CylinderCut, PlaneCut, Point2
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.shapes import Motion
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.templates.record import Template, lettered, round_step
from pitwright.sheets.templates.strips import Strip, strip_drawing, strip_figures, strip_lines
from pitwright.sheets.views.common import pit_sketch
from pitwright.sheets.views.leg_marks import LegPiece, leg_pieces

_POINTS = 97  # along the edge of one face
_BACK = 0.03  # steel side of the template, at least [m]
_GAP = 0.012  # between two faces on the paper [m]
_LINES = 16
_ROUND: tuple[tuple[FaceName, float], ...] = (("front", 1.0), ("outer", -1.0), ("back", -1.0), ("inner", 1.0))
"""Faces from left to right as they follow round the tube, top end up; and whether `deep` or `across` grows to the right."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """One face of the tube on paper: its edge from left to right (place from the middle, reach along the tube) [m].

    round  the edge is a true arc of this radius [m]; 0 where it is not (or is straight)
    """

    name: FaceName
    width: float
    edge: tuple[Point2, ...]
    round: float


def leg_templates(pit: Pit) -> tuple[Template, ...]:
    """Tops of every kind of leg still to be cut; a leg that leans both ways has one for each hand."""
    out: list[Template] = []
    for piece in kinds(pit):
        drawn, mirrored = (sum(p.handed[k] for p in piece.parts) for k in (0, 1))
        for turned, count in ((False, drawn), (True, mirrored)):
            if not count:
                continue
            side = "" if is_plain(piece) else " back" if turned else " working side"
            if piece.bar.profile.kind == "pipe":
                out += _pipe(pit, piece, turned, count, side)
            else:
                out.append(_tube(pit, piece, turned, count, side))
    return tuple(out)


def is_plain(piece: LegPiece) -> bool:
    """Whether the leg leans one way only."""
    return piece.leg.true_lean - abs(piece.leg.lean) < 1e-6


def kinds(pit: Pit) -> tuple[LegPiece, ...]:
    """Kinds of legs still to be cut. Legs that lean both ways stay apart: those of the two ends are each other's mirror."""
    out: list[LegPiece] = []
    for piece in leg_pieces(pit):
        if piece.leg.state != "open":
            continue
        apart = [piece] if is_plain(piece) else [replace(piece, parts=(part,)) for part in piece.parts]
        out.extend(apart)
    return tuple(out)


def end_of(cut: BarCutting) -> End:
    """A leg's end in the tube's own axes (across, deep, along) [m]."""
    if isinstance(cut, CylinderCut):
        (px, py, pz), (ax, ay, az) = cut.point, cut.axis
        return RoundEnd(radius=cut.radius, point=(pz, py, px), axis=(az, ay, ax))
    assert isinstance(cut, PlaneCut)  # legs are laid out with no other end
    (px, py, pz), (nx, ny, nz) = cut.point, cut.normal
    return PlaneEnd(at=px + (ny * py + nz * pz) / nx, normal=(nz, ny, nx))


def faces(bar: Bar) -> tuple[Face, ...]:
    """The four faces of a tube leg's top, left to right round the tube, printed side out and top end up."""
    end = end_of(bar.finish)
    across, deep = bar.profile.height, bar.profile.width
    out = []
    for name, way in _ROUND:
        curve = face_curve(end, name, across, deep, _POINTS)
        edge = tuple(sorted((way * t, reach) for t, reach in curve))
        true = isinstance(end, RoundEnd) and abs(abs(end.axis[1]) - 1.0) < 1e-9 and name in ("front", "back")
        out.append(
            Face(
                name=name,
                width=across if name in ("front", "back") else deep,
                edge=edge,
                round=end.radius if true and isinstance(end, RoundEnd) else 0.0,
            )
        )
    return tuple(out)


def struck_line(pit: Pit, bar: Bar) -> tuple[float, float]:
    """(reach of the square line along the tube, the same from the foot along the middle of the outer face) [m]."""
    foot = end_of(bar.start).reach(bar.profile.height / 2.0, 0.0)
    low = min(y for face in faces(bar) for _, y in face.edge)
    up = round_step(pit, low - foot - _BACK)
    return foot + up, up


def _tube(pit: Pit, piece: LegPiece, turned: bool, count: int, side: str) -> Template:
    tape, leg = pit.tape, piece.leg
    _, up = struck_line(pit, piece.bar)
    marks = " and ".join(piece.marks)
    coped = leg.end == "coped"
    how = [
        f"{count} off. Strike a line square round the tube, {tape.length(up)} from the foot, measured along the middle of the outer "
        "face. Cut the four faces apart; lay each on its own face, foot of the paper on the line, edges on the tube's sides "
        "(sharp corners: let the paper hang over the rounding).",
        "Left to right they follow one another round the tube as you see it from outside, top end up. The outer face is the one "
        "away from the pit's middle.",
    ]
    if coped and is_plain(piece):
        how.append(
            f"Saw straight through the edge marks first (the thin line), then cut the side faces to the true arc of "
            f"{tape.fine(_radius(piece))}; outer and inner face are straight across."
        )
    elif coped:
        how.append(
            "It leans both ways: every face has a curve of its own and none is a true arc. Scribe all four, saw clear of them, cut "
            "to them."
        )
    else:
        how.append("A straight cut: the lines show where the saw must come out on every face. " + _gap(pit, piece))
    if piece.leg_set.relief:
        how.append(
            f"Relieve the top {tape.length(piece.leg_set.relief)} deep where it stands over the weld cap of the girth seam."
        )
    if side:
        how.append(f"This one is for the {side.strip()}; the other hand has a template of its own.")
    long, short = (f(y for face in faces(piece.bar) for _, y in face.edge) for f in (max, min))
    return Template(
        slug=f"leg-{'-'.join(piece.marks)}-top{side.replace(' ', '-')}",
        name=f"Leg {marks}, top{side and ',' + side}",
        marks=piece.marks,
        drawing=_faces_drawing(pit, piece, turned, side),
        how=tuple(how),
        check=("long edge less short edge of the top", tape.fine(long - short)),
    )


def _radius(piece: LegPiece) -> float:
    assert isinstance(piece.bar.finish, CylinderCut)
    return piece.bar.finish.radius


def _gap(pit: Pit, piece: LegPiece) -> str:
    gap = pit.tape.decimal(piece.leg.gap, 2 if pit.tape.inch else 1)
    return (
        f"It leaves a gap of {gap} at each edge; to close it lay the vessel's profile through the edge marks and cope."
    )


def face_names(piece: LegPiece) -> dict[FaceName, str]:
    """What the shop calls the faces; the sides are told apart where it matters."""
    front, back = ("side face", "side face") if is_plain(piece) else ("stack-end face", "fire-end face")
    return {"outer": "outer face", "inner": "inner face", "front": front, "back": back}


def _faces_drawing(pit: Pit, piece: LegPiece, turned: bool, side: str) -> Drawing:
    s, tape = pit_sketch(pit), pit.tape
    square, up = struck_line(pit, piece.bar)
    names = face_names(piece)
    x = 0.0
    for face in faces(piece.bar):
        _face(s, face, x + face.width / 2.0, square, names[face.name])
        x += face.width + _GAP
    wide = x - _GAP
    what = f"leg {' and '.join(piece.marks)}, top{side and ',' + side}"
    s.text((0.0, -0.006), what, height=3.5, seat="top", bold=True)
    lines = [
        (f"foot of the paper: square line {tape.length(up)} from the foot of the leg, along the outer face", 2.5, False)
    ]
    lettered(s, lines, 0.0, -0.013, wide)
    drawing = s.drawing()
    # A left-hand pit is the mirror image of its own figures, and so is the other hand of a leg that leans both ways.
    return drawing if turned == (pit.vessel.hand < 0) else drawing.through(Motion.mirror((wide / 2.0, 0.0)))


def _face(s: Sketch, face: Face, middle: float, square: float, name: str) -> None:
    half = face.width / 2.0
    edge = [(middle + x, y - square) for x, y in face.edge]
    a, b = edge[0], edge[-1]
    if face.round:
        s.lines((a, b), "cut", bulges=(math.tan(math.asin(min(1.0, math.dist(a, b) / 2.0 / face.round)) / 2.0),))
    elif _straight(edge):
        s.line(a, b, "cut")
    else:
        s.lines(edge, "cut")
    if not _straight(edge):
        s.line(a, b, "thin")
    s.lines((a, (middle - half, 0.0), (middle + half, 0.0), b), "outline")
    top = min(y for _, y in edge)
    s.line((middle, 0.0), (middle, edge[len(edge) // 2][1]), "centre")
    size = 2.6 if face.width > 0.06 else 2.0
    s.text((middle - 0.0015, 0.004), name, height=size, anchor="left", angle=math.pi / 2.0, bold=True, plate=True)
    s.text((middle + 0.0045, 0.004), "top end up", height=2.0, anchor="left", angle=math.pi / 2.0)
    assert top > 0.0


def _straight(edge: list[Point2]) -> bool:
    (ax, ay), (bx, by) = edge[0], edge[-1]
    return all(abs(y - ay - (x - ax) / (bx - ax) * (by - ay)) < 1e-6 for x, y in edge)


# ---------------------------------------------------------------- pipe legs


def pipe_strips(piece: LegPiece) -> tuple[tuple[str, Strip, bool], ...]:
    """(end, its strip, clock growing to the left) of a pipe leg; line 0 is its outer side.

    Square ends have none.
    """
    bar = piece.bar
    r = bar.profile.height / 2.0
    front, back = (face_names(piece)[name].removesuffix(" face") for name in ("front", "back"))
    out = []
    for where, cut, way in (("top", bar.finish, -1.0), ("foot", bar.start, 1.0)):
        end = end_of(cut)

        def reach(clock: float, end: End = end, way: float = way) -> float:
            return way * end.reach(r * math.cos(clock), r * math.sin(clock))

        _, low, _, high = turning_values(reach)
        if high - low < 1e-5:
            continue
        against = "on the shell" if where == "top" else "on the rail"
        strip = Strip(
            title=f"leg {' and '.join(piece.marks)}, {where}",
            reach=reach,
            radius=r,
            lines=_LINES,
            sides={0: "outer", _LINES // 4: front, _LINES // 2: "inner", 3 * _LINES // 4: back},
            notes=(f"curve end {against}",),
        )
        out.append((where, strip, where == "foot"))
    return tuple(out)


def _apart(pit: Pit, piece: LegPiece) -> str:
    """Where the strips' straight edges lie."""
    at = {where: strip_figures(pit, strip).straight for where, strip, _ in pipe_strips(piece)}
    top, foot = -at["top"], at.get("foot", 0.0)
    what = (
        "The straight edges of its two strips lie" if "foot" in at else "The straight edge lies, from the square foot,"
    )
    return f"{what} {pit.tape.length(top - foot)}"


def _pipe(pit: Pit, piece: LegPiece, turned: bool, count: int, side: str) -> list[Template]:
    tape, strips = pit.tape, pipe_strips(piece)
    apart = f"{_apart(pit, piece)} along the leg."
    out = []
    for where, strip, left in strips:
        out.append(
            Template(
                slug=f"leg-{'-'.join(piece.marks)}-{where}{side.replace(' ', '-')}",
                name=f"Leg {' and '.join(piece.marks)}, {where}{side and ',' + side}",
                marks=piece.marks,
                drawing=strip_drawing(pit, strip, turned_over=left != (turned != (pit.vessel.hand < 0))),
                how=(
                    f"{count} off. {apart}",
                    *strip_lines(pit, strip),
                    "Line 0 is the outer side, away from the pit's middle: chalk it along the whole leg, so that foot and top are cut to "
                    "the same line.",
                ),
                check=("strip, once round", tape.fine(strip_figures(pit, strip).girth)),
            )
        )
    return out
