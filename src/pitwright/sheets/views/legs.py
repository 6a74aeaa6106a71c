"""The leg sheets: the layout struck full size on a table, and each leg as it goes to the saw."""

from __future__ import annotations

import math
from functools import partial

from pitwright.geometry.round import sagitta
from pitwright.geometry.tube_ends import RoundEnd, pipe_wrap
from pitwright.layout.asbuilt import ADD_IT, WELD_IT
from pitwright.layout.model import Pit
from pitwright.parts import CylinderCut
from pitwright.sheets.blocks import BigFigure, BigFigures, Block, Notes
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.lettered import Stop
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, known, new_board
from pitwright.sheets.views.leg_marks import (
    LegPiece,
    TableMark,
    arc_marks,
    arc_step,
    carried_round,
    chord_step,
    leg_edges,
    leg_pieces,
    proof_diagonal,
    side_out,
    skin_point,
    table_marks,
)
from pitwright.sheets.views.spread import spread, verdicts, want_list
from pitwright.sheets.views.wraps import wrap_table, wrap_view

CODE, TITLE = "LEGS", "Leg sets"
_WRAP = 16  # tape steps round a pipe leg
_FACES = {"top": "outer face", "bottom": "inner face", "left": "one side face", "right": "the other side face"}


def leg_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """For each kind of leg its table layout and its piece; none where the pit stands on saddles."""
    tape = pit.tape
    pages: tuple[Page, ...] = ()
    for piece in leg_pieces(pit):
        sets = f"set{'s' if len(piece.sets) > 1 else ''} {' and '.join(piece.sets)}"
        side = "" if piece.side == "both" else f", {piece.side} side"
        marks = " and ".join(piece.marks)
        board = partial(
            new_board,
            pit,
            paper,
            CODE,
            f"Table layout, leg {sets}{side}",
            key=("vessel centre over the floor", tape.length(carried_round(pit, piece)[1])),
            check=("diagonal between the parallels, both ways", tape.fine(proof_diagonal(pit, piece))),
        )
        pages += spread(
            board, [("Full size on the table, from the end", table_view(pit, piece))], _table_blocks(pit, piece)
        )
        board = partial(
            new_board,
            pit,
            paper,
            CODE,
            f"Leg {marks}, {piece.count} off ({sets}{side})",
            key=("long point", tape.length(piece.cut.long_point)),
            check=("long point less short point", tape.fine(piece.cut.long_point - piece.cut.short_point)),
        )
        pages += spread(board, [("At the saw, foot on your left", saw_view(pit, piece))], _piece_blocks(pit, piece))
        pages += _wrap_pages(pit, paper, piece, f"Leg {marks}: wrap of its coped top")
    return pages


def _wrap_pages(pit: Pit, paper: Paper, piece: LegPiece, title: str) -> tuple[Page, ...]:
    """The wrap that marks the cope of a pipe leg."""
    bar = piece.bar
    if bar.profile.kind != "pipe" or not isinstance(bar.finish, CylinderCut):
        return ()
    (px, py, pz), (ax, ay, az) = bar.finish.point, bar.finish.axis
    end, r = RoundEnd(radius=bar.finish.radius, point=(pz, py, px), axis=(az, ay, ax)), bar.profile.height / 2.0
    wrap = pipe_wrap(end, r, _WRAP, finish=True)
    sides = {0: "outer side", _WRAP // 4: "one side", _WRAP // 2: "inner side", 3 * _WRAP // 4: "other side"}
    lines = (
        "Strike a square line round the pipe. At each tape step measure from it towards the top end and punch; join the punches.",
        "Step 0 is the outer side, away from the pit's middle: chalk it along the whole leg before cutting.",
    )
    board = partial(new_board, pit, paper, CODE, title, check=("tape once round the pipe", pit.tape.length(wrap.girth)))
    view = wrap_view(pit, wrap, lambda clock: -end.reach(r * math.cos(clock), r * math.sin(clock)), sides)
    table = wrap_table(pit, wrap, "From the square line to the cut")
    return spread(board, [("Top end laid flat", view)], (table, Notes(lines, title="Notes")))


LEGS = SheetMaker(code=CODE, title=TITLE, whose="base and legs", make=leg_sheets)


# ---------------------------------------------------------------- table layout


def table_view(pit: Pit, piece: LegPiece) -> Drawing:
    """Floor line, centre line, the parallels at the vessel's sides, the arc, rails, the leg and its twin."""
    s = Sketch(length=pit.tape.length, angle=pit.tape.angle, lettering=2.8)
    radius, centre = carried_round(pit, piece)
    base = pit.base
    over = 0.06 * radius
    far = max(radius, base.rails_outside / 2.0) + over
    s.line((-far, 0.0), (far, 0.0), "ground")
    s.line((0.0, -over), (0.0, centre + over), "centre")
    side = side_out(pit, piece)
    for x in (-side, side):
        s.line((x, 0.0), (x, centre), "mark")
    s.line((-side, centre), (side, centre), "centre")
    s.line((-side, 0.0), (side, centre), "thin")
    s.line((side, 0.0), (-side, centre), "thin")
    turns = [math.pi / 2.0 * i / 45 for i in range(-45, 46)]
    s.lines(
        [
            ((1.0 if t >= 0.0 else -1.0) * skin_point(pit, piece, abs(t))[0], skin_point(pit, piece, abs(t))[1])
            for t in turns
        ]
    )
    for way in (-1.0, 1.0):
        a, b = sorted((way * (base.rail_y - base.rail.width / 2.0), way * (base.rail_y + base.rail.width / 2.0)))
        s.rectangle(a, base.rail_top - base.rail.height, b, base.rail_top)
    foot, top = leg_edges(piece)
    outline = (*foot, *reversed(top))
    s.lines([(-x, z) for x, z in outline], "ghost", closed=True)
    s.lines(outline, "accent", closed=True)
    if piece.leg_set.pad_thickness:
        half = piece.leg_set.pad_size / 2.0 / radius
        out = radius + piece.leg_set.pad_thickness
        s.arc((0.0, centre), out, piece.leg.contact - math.pi / 2.0 - half, 2.0 * half, "thin")
    for mark in arc_marks(pit, piece):
        s.symbol((mark.out, mark.up), "centre", size=2.2)
        inward = (0.94 * mark.out, centre + 0.94 * (mark.up - centre))
        if mark.name.isdigit() and int(mark.name) > 1:
            s.text(inward, mark.name, height=1.8, anchor="middle", seat="middle", plate=True)
    s.dim_aligned((-side, 0.0), (side, centre), pit.tape.fine(proof_diagonal(pit, piece)), gap=0.0)
    s.dim((-side, centre), (side, centre), "above", about=known(pit, "vessel.diameter"))
    marks = table_marks(pit, piece)
    side_mark = TableMark(name="parallel", out=side, up=0.0)
    s.running((0.0, 0.0), _stops(pit, (*marks, side_mark), level=True), "below", base=0.0, datum_text="centre line  0")
    rail = TableMark(name="rail top", out=base.rail_y + base.rail.width / 2.0, up=base.rail_top)
    heights = (rail, *marks[4:], TableMark(name="spring line", out=side, up=centre))
    s.running((far, 0.0), _stops(pit, heights, level=False), "right", base=far, datum_text="floor line  0")
    return s.drawing()


def _stops(pit: Pit, marks: tuple[TableMark, ...], *, level: bool) -> list[Stop]:
    """Stops of a running list; marks that read the same on the tape share one."""
    tape = pit.tape
    found: dict[str, list[TableMark]] = {}
    for mark in marks:
        found.setdefault(tape.length(mark.out if level else mark.up), []).append(mark)
    return [
        Stop((alike[0].out, 0.0 if level else alike[0].up), f"{', '.join(_short(m.name) for m in alike)}  {text}")
        for text, alike in found.items()
    ]


def _short(name: str) -> str:
    words = {"top, inner face (short point)": "short point", "top, outer face (long point)": "long point",
             "top, inner face (long point)": "long point", "top, outer face (short point)": "short point",
             "rail, inner edge": "rail in", "rail, outer edge": "rail out", "foot, inner face": "foot in",
             "foot, outer face": "foot out", "contact on the skin": "contact"}  # fmt: skip
    return words.get(name, name)


def _table_blocks(pit: Pit, piece: LegPiece) -> tuple[Block, ...]:
    tape, leg = pit.tape, piece.leg
    rows = tuple((m.name, tape.length(m.out), "", tape.length(m.up), "") for m in table_marks(pit, piece))
    columns = (
        Column("mark", wrap=True),
        Column("out from the centre line", align="right", bold=True, wrap=True, least=14.0),
        Column("got", blank=True),
        Column("up from the floor line", align="right", bold=True, wrap=True, least=14.0),
        Column("got", blank=True),
    )
    arcs = tuple((m.name, tape.length(m.out), tape.length(m.up)) for m in arc_marks(pit, piece))
    step = tape.length(arc_step(pit, piece))
    arc_table = Table(
        (
            Column("point", align="right"),
            Column("out from the centre line", align="right", bold=True, wrap=True),
            Column("up from the floor line", align="right", bold=True, wrap=True),
        ),
        arcs,
        title=f"Vessel's arc: every {step} of skin, dividers at {tape.fine(chord_step(pit, piece))}",
    )
    lines = [
        "Strike the floor line and the centre line square to it, then both parallels. The two diagonals must be alike.",
        "Pull every mark from the centre line and from the floor line, in one pull; none from another mark.",
        f"Step the arc off from the bottom point with the dividers at {tape.fine(chord_step(pit, piece))}; the points check it. "
        "Join them with a bent batten.",
        "Lay one leg down, tack stops round it, cut and try it; lay its twin on top, turned over, and scribe it alike.",
        f"Contact by tape on the skin: {tape.length(leg.around)} up from the bottom line.",
    ]
    if _leans_along(piece):
        lines.append(
            "This leg leans along the pit as well: on the table it shows shorter than it is. Its lengths are on its own sheet."
        )
    if piece.leg_set.pad_thickness:
        lines.append(
            f"The leg stands on a pad {tape.decimal(piece.leg_set.pad_thickness)} thick: its top stays that far off the arc."
        )
    return (
        Table(columns, rows, title="Marks on the table"),
        arc_table,
        Notes(tuple(lines), title="How to strike it"),
        *verdicts(pit, piece.marks),
    )


# ---------------------------------------------------------------- the piece at the saw


def saw_view(pit: Pit, piece: LegPiece) -> Drawing:
    """The leg lying at the saw: marked face up, foot on the left; cuts off square at both ends."""
    s = Sketch(length=pit.tape.length, angle=pit.tape.angle, lettering=3.5)
    cut, tape = piece.cut, pit.tape
    h, length = cut.face_size, cut.tip_to_tip
    rise = [h * math.tan(abs(e.mitre)) for e in (cut.start, cut.finish)]
    top0, low0 = (0.0, rise[0]) if cut.start.mitre >= 0.0 else (rise[0], 0.0)
    top1, low1 = (length, length - rise[1]) if cut.finish.mitre >= 0.0 else (length - rise[1], length)
    bulge = 0.0
    if cut.finish.cope_radius:
        chord = math.hypot(h, top1 - low1)
        bulge = -math.tan(math.asin(min(1.0, chord / 2.0 / cut.finish.cope_radius)) / 2.0)
    s.lines(((top0, h), (low0, 0.0), (low1, 0.0), (top1, h)), bulges=(0.0, 0.0, bulge, 0.0), closed=True)
    s.line((min(top0, low0) - 0.02, h / 2.0), (length + 0.02, h / 2.0), "centre")
    for top, low, end in ((top0, low0, cut.start), (top1, low1, cut.finish)):
        if abs(end.mitre) < 1e-9:
            continue
        tip = (
            (top, h)
            if ((end is cut.start) == (top < low) and end.mitre > 0.0) or (end is cut.finish and end.mitre > 0.0)
            else (low, 0.0)
        )
        down = tip[1] > 0.0
        s.line(tip, (tip[0], 0.0 if down else h), "thin")
        other = (low, 0.0) if down else (top, h)
        start = -math.pi / 2.0 if down else math.pi / 2.0
        sweep = math.remainder(math.atan2(other[1] - tip[1], other[0] - tip[0]) - start, 2.0 * math.pi)
        s.dim_angle(tip, start, sweep, f"{tape.angle(abs(end.mitre))} off square", radius=24.0)
    lengths = (top1 - top0, low1 - low0)
    longer = lengths[0] >= lengths[1]
    if cut.start.tilt or cut.finish.tilt:  # the faces end slantwise: their corners are what is measured
        lengths = (cut.long_point, cut.short_point) if longer else (cut.short_point, cut.long_point)
    names = ("long point", "short point") if longer else ("short point", "long point")
    s.dim((top0, h), (top1, h), "above", f"{names[0]} {tape.length(lengths[0])}", base=h)
    s.dim((low0, 0.0), (low1, 0.0), "below", f"{names[1]} {tape.length(lengths[1])}", base=0.0)
    s.callout(((top0 + top1) / 2.0, h), f"mark this face: the {_FACES[cut.face]}", toward=0.6)
    return s.drawing()


def _piece_blocks(pit: Pit, piece: LegPiece) -> tuple[Block, ...]:
    tape, cut, leg = pit.tape, piece.cut, piece.leg
    no_matter = cut.shape in ("square", "one end mitred")
    roll = "no roll needed" if no_matter else "ROLL IT 180" if cut.roll else "DO NOT ROLL"
    set_name = piece.leg_set.name
    big = BigFigures(
        (
            BigFigure("long point", tape.length(cut.long_point), f"on the {_FACES[cut.face]}", known(pit, f"legs.{set_name}.long_point")),
            BigFigure("short point", tape.length(cut.short_point), "on the face opposite", known(pit, f"legs.{set_name}.short_point")),
            BigFigure("foot cut, off square", tape.angle(abs(cut.start.mitre)), _tilt(pit, cut.start.tilt), known(pit, f"legs.{set_name}.foot_cut")),
            BigFigure("top cut, off square", tape.angle(abs(cut.finish.mitre)), _tilt(pit, cut.finish.tilt), known(pit, f"legs.{set_name}.top_cut")),
            BigFigure("between the cuts", roll, cut.shape),
            BigFigure("top end", leg.end, _end_note(pit, piece)),
        ),
        across=2,
        size=9.0,
    )  # fmt: skip
    wants = [
        ("long point", tape.length(cut.long_point)),
        ("short point", tape.length(cut.short_point)),
        ("foot cut, off square", tape.angle(abs(cut.start.mitre))),
        ("top cut, off square", tape.angle(abs(cut.finish.mitre))),
        ("along the centre line", tape.length(leg.centre_length)),
        ("lean off plumb, standing", tape.angle(leg.lean)),
        ("foot centre from the pit's centre line", tape.length(abs(leg.foot_y))),
        ("gap at the far edge", tape.decimal(leg.gap if leg.end == "straight" else 0.0, 2 if tape.inch else 1)),
    ]
    if _leans_along(piece):
        wants.insert(6, ("lean along the pit, standing", tape.angle(abs(leg.lean_along))))
    angles = [
        ("steel at the foot, inner face", f"{tape.angle(leg.angle_foot)} included"),
        ("open corner at the foot, inside", f"{tape.angle(math.pi - leg.angle_foot)} included"),
        ("steel at the shell, inner face", f"{tape.angle(leg.angle_shell)} included"),
        ("open corner at the shell, inside", f"{tape.angle(math.pi - leg.angle_shell)} included"),
    ]
    slips = tuple((what, tape.decimal(value)) for what, value in piece.leg_set.sensitivity.items())
    return (
        big,
        *verdicts(pit, piece.marks),
        want_list(f"{' and '.join(piece.marks)}, {piece.count} off: {piece.leg_set.profile.designation}", wants),
        want_list("Angles between faces", angles),
        Table(
            (Column("a small slip", wrap=True), Column("does this", align="right", bold=True)),
            slips,
            title="What a slip does",
        ),
        Notes(_piece_lines(pit, piece), title="How to cut and fit it"),
    )


def _tilt(pit: Pit, tilt: float) -> str:
    return f"and tilt the blade {pit.tape.angle(abs(tilt))}" if abs(tilt) > 1e-9 else "blade upright"


def _end_note(pit: Pit, piece: LegPiece) -> str:
    leg, tape = piece.leg, pit.tape
    if leg.end == "coped":
        return f"to an arc of {tape.length(piece.cut.finish.cope_radius)} radius"
    return f"gap {tape.decimal(leg.gap, 2 if tape.inch else 1)} at each edge"


def gap_rule(pit: Pit) -> str:
    """What to do with a gap at the fit-up."""
    small, large = pit.tape.length(WELD_IT), pit.tape.length(ADD_IT)
    return f"Gap up to {small}: weld it. {small} to {large}: add the gap to the fillet's leg. Over {large}: cope or cut again (common practice, no source)."


def _cope_lines(pit: Pit, piece: LegPiece) -> list[str]:
    tape, cut = pit.tape, piece.cut
    if piece.bar.profile.kind == "pipe":
        return ["Saw the top end square first, then cope it by the wrap on the next sheet."]
    radius = cut.finish.cope_radius
    chord = cut.face_size / math.cos(cut.finish.mitre)
    if _leans_along(piece):
        return [
            "Saw straight through the edge marks first, then cope it. It leans both ways: no cardboard arc fits the side faces, "
            f"use the full-size template or scribe it to a drum of {tape.length(radius)} radius."
        ]
    return [
        f"Saw straight through the two edge marks first. Then lay a cardboard arc of {tape.length(radius)} radius through both "
        f"marks on each side face (rise {tape.decimal(sagitta(radius, chord))} over {tape.length(chord)}) and cut to it; the two "
        "other faces are cut straight across."
    ]


def _leans_along(piece: LegPiece) -> bool:
    return piece.leg.true_lean - abs(piece.leg.lean) > 1e-6


def _piece_lines(pit: Pit, piece: LegPiece) -> tuple[str, ...]:
    tape, cut, leg = pit.tape, piece.cut, piece.leg
    lines = [f"Chalk the {_FACES[cut.face]} and lay it up, foot on your left. Both lengths are tip to tip on one face."]
    if cut.roll:
        lines.append(
            "Both long points are on one face: roll the tube half round between the two cuts on a saw that swings one way."
        )
    elif cut.shape == "parallelogram":
        lines.append(
            "The long points are on opposite faces. Do not roll the tube between the cuts: rolled, it is scrap."
        )
    if leg.end == "coped":
        lines += _cope_lines(pit, piece)
    if piece.leg_set.relief:
        lines.append(
            f"It stands over a girth seam: relieve the top {tape.length(piece.leg_set.relief)} deep over the weld cap."
        )
    if math.pi - leg.angle_shell < math.radians(60.0):
        lines.append("The inside corner at the shell is under 60 degrees: prepare that toe before tacking.")
    lines.append(gap_rule(pit))
    lines.append(
        "Out-of-round shell: set an angle finder on the skin where the leg lands; the top cut follows what it reads."
    )
    lines.append("Block the vessel. Tie each set with its cross member before the weight comes on it.")
    return tuple(lines)
