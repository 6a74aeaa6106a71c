"""The base sheets: the frame on the table with its marks and diagonals, and the plate saddles where it has them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import partial

from pitwright.layout.model import Pit, SaddleLayout
from pitwright.layout.skid import skew
from pitwright.masses import mass_of
from pitwright.parts import Bought, Plate
from pitwright.sheets.blocks import BigFigure, BigFigures, Block, Notes
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.lettered import Stop
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views import running
from pitwright.sheets.views.common import SheetMaker, known, new_board, pit_sketch
from pitwright.sheets.views.eye import from_above, from_stack_end
from pitwright.sheets.views.lists import size_text
from pitwright.sheets.views.seen import see
from pitwright.sheets.views.spread import spread, verdicts, want_list
from pitwright.tape import INCH, MILLIMETRE

CODE, TITLE = "BASE", "Base on the table"
_ALONG = (
    "fork pocket",
    "drag eye",
    "wiring",
    "tongue beam",
    "coupler",
    "safety chain",
    "tongue jack",
    "tail light",
    "plate bracket",
)
"""Pieces that say nothing from the end, or stand before what does."""

_SADDLE_POINTS = 6  # ordinates of a saddle's arc from its middle to its edge


@dataclass(frozen=True, slots=True)
class MarkAlong:
    """A mark on both rails: how far from their stack end [m], and what stands there."""

    along: float
    what: tuple[str, ...]


def base_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """The skid, then one sheet for each kind of saddle."""
    tape, base = pit.tape, pit.base
    board = partial(
        new_board,
        pit,
        paper,
        CODE,
        TITLE,
        key=("over the outside of the rails", tape.length(base.rails_outside)),
        check=("diagonal, outside corners, both ways", tape.fine(base.diagonal)),
    )
    if running.refused(pit):
        return spread(board, [("From the stack end", end_view(pit))], (running.refusal(pit), *running.blocks(pit)))
    frame = running.named_frame(pit)
    views = [(f"{frame} from above, working side at the foot", plan_view(pit)), ("From the stack end", end_view(pit))]
    pages = spread(board, views, _skid_blocks(pit), together=False)
    for saddles in _alike(pit.saddles):
        one = saddles[0]
        names = " and ".join(s.name for s in saddles)
        board = partial(
            new_board,
            pit,
            paper,
            CODE,
            f"Saddle{'s' if len(saddles) > 1 else ''} {names}",
            key=("chord across the ears of the arc", tape.length(one.chord)),
            check=("corner of the foot to the far end of the arc", tape.fine(saddle_diagonal(one))),
        )
        pages += spread(
            board, [(f"Saddle plate, {len(saddles)} off", saddle_view(pit, one))], _saddle_blocks(pit, saddles)
        )
    return pages


BASE = SheetMaker(code=CODE, title=TITLE, whose="base and legs", make=base_sheets)


def _alike(saddles: tuple[SaddleLayout, ...]) -> list[list[SaddleLayout]]:
    out: dict[tuple[float, ...], list[SaddleLayout]] = {}
    for s in saddles:
        key = tuple(round(v, 6) for v in (s.cut_radius, s.chord, s.edge_height, s.width, s.thickness))
        out.setdefault(key, []).append(s)
    return list(out.values())


# ---------------------------------------------------------------- skid


def plan_view(pit: Pit) -> Drawing:
    """Rails, cross members, pockets, eyes and the crosses the feet stand on; one pull from the rails' stack end."""
    s = pit_sketch(pit)
    base = pit.base
    eye = from_above(pit.vessel.hand)
    for part in pit.parts:
        if part.group == "base":
            for placement in part.placements:
                s.add(Drawing(see(part, placement, eye).edges))
    out = base.rails_outside / 2.0
    a, b = eye.point((base.rail_x1, 0.0, 0.0))[0], eye.point((base.rail_x0, 0.0, 0.0))[0]
    s.line((a, 0.0), (b, 0.0), "centre")
    for leg_set in pit.leg_sets:
        spots = [eye.point((leg.x, leg.foot_y, 0.0)) for leg in leg_set.legs]
        for spot in spots:
            s.symbol(spot, "target", size=3.5)
        s.callout(spots[0], f"feet {leg_set.name}", toward=-math.pi / 2.0)
    for saddle in pit.saddles:
        x = eye.point((saddle.x, 0.0, 0.0))[0]
        s.line((x, -out), (x, out), "mark")
        s.callout((x, -out), f"saddle {saddle.name}", toward=-math.pi / 2.0)
    s.line((a, -out), (b, out), "thin")
    s.dim_aligned((min(a, b), -out), (max(a, b), out), pit.tape.fine(base.diagonal), gap=0.0, about="base.diagonal")
    stops = [Stop((a + (1.0 if b > a else -1.0) * m.along, out), pit.tape.length(m.along)) for m in rail_marks(pit)]
    s.running((a, out), stops, "above", base=out)
    s.dim((a, -out), (b, -out), "below", about=known(pit, "base.rail_length"))
    far = max(a, b)
    s.dim((far, -out), (far, out), "right", about=known(pit, "base.rails_outside"))
    inner = base.rail_y - base.rail.width / 2.0
    s.dim((far, -inner), (far, inner), "right", about=known(pit, "base.cross_length"))
    running.dims(s, pit, eye)
    return s.drawing()


def rail_marks(pit: Pit) -> list[MarkAlong]:
    """Every mark of the rails once, rising, with all that stands there."""
    found: dict[str, MarkAlong] = {}
    for mark in sorted((m for m in pit.marks if m.on == "rails" and m.along > 0.0), key=lambda m: m.along):
        text = pit.tape.length(mark.along)
        before = found[text].what if text in found else ()
        found[text] = MarkAlong(mark.along, (*before, mark.what))
    return list(found.values())


def end_view(pit: Pit) -> Drawing:
    """The frame from its stack end: rails, cross member, what is under them, heights."""
    s = pit_sketch(pit)
    base = pit.base
    eye = from_stack_end(pit.vessel.hand)
    for part in pit.parts:
        if part.group == "base" and part.name not in _ALONG:
            placements = part.placements[:1] if part.name == "cross member" else part.placements
            for placement in placements:
                s.add(Drawing(see(part, placement, eye).edges))
    out = base.rails_outside / 2.0
    s.line((-1.1 * out, 0.0), (1.1 * out, 0.0), "ground")
    s.line((0.0, -0.02), (0.0, base.rail_top + 0.04), "centre")
    s.dim((-out, base.rail_top), (out, base.rail_top), "above")
    s.dim((-base.rail_y, base.rail_top), (base.rail_y, base.rail_top), "above")
    far = max(out, s.bounds()[2])
    s.dim((out, 0.0), (out, base.rail_top), "right", base=far, about=known(pit, "base.rail_top"))
    if base.tongue is not None:
        s.dim((0.0, 0.0), (0.0, base.tongue.coupler[2]), "right", base=far, about=known(pit, "trailer.hitch_height"))
    running.across(s, pit)
    return s.drawing()


def _skid_blocks(pit: Pit) -> tuple[Block, ...]:
    tape, base = pit.tape, pit.base
    length = base.rail_x1 - base.rail_x0
    big = BigFigures(
        (
            BigFigure("diagonal, both ways", tape.fine(base.diagonal), "outside corner to outside corner", "base.diagonal"),
            BigFigure(_feet_name(pit), tape.fine(base.feet_diagonal), "both ways", "base.feet_diagonal"),
            *running.big(pit),
        ),
        across=2,
        size=6.0,
    )  # fmt: skip
    wants = [
        ("rail, long edge", tape.length(length)),
        ("over the outside of the rails, stack end", tape.length(base.rails_outside)),
        ("over the outside of the rails, fire end", tape.length(base.rails_outside)),
        ("cross member, between the rails", tape.length(2.0 * base.rail_y - base.rail.width)),
        ("diagonal, one way", tape.fine(base.diagonal)),
        ("diagonal, the other way", tape.fine(base.diagonal)),
        (f"{_feet_name(pit)}, one way", tape.fine(base.feet_diagonal)),
        (f"{_feet_name(pit)}, the other way", tape.fine(base.feet_diagonal)),
        ("rail top off the floor", tape.length(base.rail_top)),
        *running.wants(pit),
    ]
    return (
        big,
        want_list("Square it up", wants),
        _running_list(pit),
        *((_feet(pit),) if pit.leg_sets else ()),
        *running.blocks(pit),
        _skew(pit),
        _pieces(pit),
        _skid_notes(pit),
        *verdicts(pit, [p.mark for p in pit.parts if p.group == "base"]),
    )


def _feet_name(pit: Pit) -> str:
    return "feet, corner to corner" if pit.leg_sets else "saddle plates, corner to corner"


def _running_list(pit: Pit) -> Table:
    tape = pit.tape
    length = pit.base.rail_x1 - pit.base.rail_x0
    rows = tuple(
        (", ".join(m.what), tape.length(m.along), "", tape.length(length - m.along), "") for m in rail_marks(pit)
    )
    columns = (
        Column("both rails alike", wrap=True),
        Column("from the stack end", align="right", bold=True, wrap=True, least=14.0),
        Column("got", blank=True),
        Column("from the fire end", align="right", wrap=True, least=14.0),
        Column("got", blank=True),
    )
    return Table(columns, rows, title="One pull along the rails")


def _feet(pit: Pit) -> Table:
    tape, base = pit.tape, pit.base
    rows = []
    for leg_set in pit.leg_sets:
        one, other = leg_set.legs
        same = tape.length(abs(one.foot_y)) == tape.length(abs(other.foot_y))
        for leg in leg_set.legs[: 1 if same else 2]:
            where = "both sides" if same else f"{leg.side} side"
            edge = base.rail_y + base.rail.width / 2.0 - abs(leg.foot_y)
            rows.append((f"{leg_set.name}, {where}", tape.length(abs(leg.foot_y)), tape.length(edge), ""))
    columns = (
        Column("foot centres", wrap=True),
        Column("from the centre line", align="right", bold=True, wrap=True, least=16.0),
        Column("in from the rail edge", align="right", wrap=True, least=16.0),
        Column("got", blank=True),
    )
    return Table(columns, tuple(rows), title="Crosses the feet stand on")


def _skew(pit: Pit) -> Table:
    tape, base = pit.tape, pit.base
    steps = (1.0 / 16.0, 1.0 / 8.0, 1.0 / 4.0, 1.0 / 2.0) if tape.inch else (2.0, 4.0, 8.0, 15.0)
    unit = INCH if tape.inch else MILLIMETRE
    length = base.rail_x1 - base.rail_x0
    rows = tuple(
        (tape.length(d * unit, tape.step), tape.length(skew(d * unit, base.diagonal, length), tape.step / 4.0 if tape.inch else 0.5 * MILLIMETRE))
        for d in steps
    )  # fmt: skip
    columns = (
        Column("the diagonals differ by", bold=True),
        Column("one rail runs ahead by", align="right", bold=True),
    )
    return Table(columns, rows, title="Out of square")


def _pieces(pit: Pit) -> Table:
    rows = tuple(
        (p.mark, p.name, str(p.quantity), p.stock, size_text(pit, p), pit.tape.mass(mass_of(p).mass))
        for p in pit.parts
        if p.group == "base" and not isinstance(p.shape, Bought)
    )
    columns = (
        Column("mark", bold=True),
        Column("piece", wrap=True),
        Column("off", align="right"),
        Column("stock", wrap=True),
        Column("size", wrap=True),
        Column("each", align="right"),
    )
    return Table(columns, rows, title="Pieces of the base")


def _skid_notes(pit: Pit) -> Notes:
    base = pit.base
    lines = [
        "Lay the rails on a flat table, tops level with each other: rails in winding rock on three feet.",
        "Tack, take both diagonals, pull square, tack again. Weld crosswise, the same amount on each side in turn.",
        "A cross member ties every leg set before the vessel's weight comes on it.",
        "Do not lock the firebox and both leg sets to one stiff frame with no give: the shell grows when hot.",
    ]
    if base.pockets:
        lines.append(
            "Fork pockets are welded in before the rails' sides are opened for them. Forks go right through both rails."
        )
    if base.eyes:
        lines.append("Drag eyes are for dragging and tying down. They are not lifting points.")
    lines += running.notes(pit)
    return Notes(tuple(lines), title="Notes")


# ---------------------------------------------------------------- saddles


def saddle_diagonal(saddle: SaddleLayout) -> float:
    """From a foot corner of the plate to the far end of its arc [m]."""
    return math.hypot((saddle.width + saddle.chord) / 2.0, saddle.edge_height)


def saddle_points(saddle: SaddleLayout) -> tuple[tuple[float, float], ...]:
    """(out from the middle, height of the plate) along the arc, from its middle to its end [m]."""
    bottom = saddle.middle_height + saddle.cut_radius
    out = []
    for i in range(_SADDLE_POINTS + 1):
        x = saddle.chord / 2.0 * i / _SADDLE_POINTS
        out.append((x, bottom - math.sqrt(saddle.cut_radius**2 - x * x)))
    return tuple(out)


def saddle_view(pit: Pit, saddle: SaddleLayout) -> Drawing:
    """The plate on its base bar: the true outline, chord, sag, heights at edge and middle."""
    s = pit_sketch(pit)
    plate = next(p for p in pit.parts if p.name == "saddle plate").shape
    assert isinstance(plate, Plate)
    x0, y0, x1, _ = plate.outline.bounds()
    middle = (x0 + x1) / 2.0
    s.outline(plate.outline, "cut")
    edge, low = y0 + saddle.edge_height, y0 + saddle.middle_height
    half = saddle.chord / 2.0
    s.line((middle, y0 - 0.02), (middle, edge + 0.02), "centre")
    s.line((middle - half, edge), (middle + half, edge), "thin")
    s.dim((middle - half, edge), (middle + half, edge), "above")
    s.dim((x0, y0), (x1, y0), "below")
    s.dim((x0, y0), (x0, edge), "left")
    s.dim((middle, y0), (middle, low), "right", base=x1)
    s.dim((middle, low), (middle, edge), "right", pit.tape.length(saddle.sag) + " sag", base=x1)
    centre = (middle, low + saddle.cut_radius)
    s.dim_radius(centre, saddle.cut_radius, -math.pi / 2.0 - 0.35, reach_out=-14.0)
    return s.drawing()


def _saddle_blocks(pit: Pit, saddles: list[SaddleLayout]) -> tuple[Block, ...]:
    tape, one, vessel = pit.tape, saddles[0], pit.vessel
    wants = [(f"saddle {s.name}, station", tape.length(vessel.station(s.x))) for s in saddles]
    wants += [
        ("arc, radius to cut", tape.length(one.cut_radius)),
        ("chord", tape.length(one.chord)),
        ("sag of the arc", tape.length(one.sag)),
        ("arc, by tape", tape.length(one.arc)),
        ("plate high at the ends of the arc", tape.length(one.edge_height)),
        ("plate high in the middle", tape.length(one.middle_height)),
        ("foot corner to the far end of the arc", tape.fine(saddle_diagonal(one))),
        ("plate, thick", tape.decimal(one.thickness)),
        ("blank, wide x high", f"{tape.length(one.blank[0])} x {tape.length(one.blank[1])}"),
    ]
    if one.pad_thickness:
        wants.append(("wear pad, thick", tape.decimal(one.pad_thickness)))
    columns = (
        Column("out from the middle", bold=True),
        Column("plate high", align="right", bold=True),
        Column("got", blank=True),
    )
    points = tuple((tape.length(x), tape.length(y), "") for x, y in saddle_points(one))
    lines = [
        f"The shell lies on {tape.angle(one.contact, 0)} of its round. Try the arc on the shell before welding: a found vessel is not quite round.",
        "Both saddles level with each other by water level; packers under the plate, not under the shell.",
        "Weld one saddle; leave the other free to slide along the pit: the shell grows when hot.",
    ]
    if one.pad_thickness:
        lines.append("The arc is cut to the pad's outside. Weld the pad all round before the saddle.")
    return (
        want_list("Saddle", wants),
        Table(columns, points, title="Height of the arc, both sides alike"),
        Notes(tuple(lines), title="Notes"),
        *verdicts(pit, [p.mark for p in pit.parts if p.group == "saddles"]),
    )
