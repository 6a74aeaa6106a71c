"""The stack sheets: the wrap of its cut end, the hole, its length, damper and cap; mitres where it leaves the end."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from functools import partial

from pitwright.geometry.curves import HeadCope, Mitre, Saddle, Template
from pitwright.layout.model import Opening, Pit
from pitwright.layout.stack import HOLE_POINTS, STEPS
from pitwright.masses import mass_of
from pitwright.meridian import head_form
from pitwright.parts import Bar, HeadCut, Part, PlaneCut, Plate
from pitwright.saw import saw_cut
from pitwright.sheets.blocks import BigFigure, BigFigures, Block, Notes
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.lettered import Side
from pitwright.sheets.page import Board, Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, known, new_board, pit_sketch
from pitwright.sheets.views.eye import from_working_side
from pitwright.sheets.views.seen import see
from pitwright.sheets.views.spread import spread, verdicts, want_list, withheld
from pitwright.sheets.views.wraps import wrap_table, wrap_view

CODE, TITLE = "STACK", "Stack"


def stack_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Pipe and hole, then the wrap or wraps."""
    girth = 2.0 * math.pi * pit.stack.profile.height / 2.0

    def board(title: str) -> Board:
        return new_board(
            pit, paper, CODE, title, key=_key(pit), check=("tape once round the pipe", pit.tape.length(girth))
        )

    views = [("Stack from the stack end" if pit.stack.place == "top" else "Stack from the side", elevation(pit))]
    if pit.stack.place == "top" and pit.cleared:
        views.append(("Hole on the skin, laid flat", hole_view(pit)))
    pages = spread(lambda: board(TITLE), views, _blocks(pit), together=False)
    for title, template, reach, sides, lines in _wraps(pit):
        pages += spread(
            partial(board, title),
            [("Cut end laid flat", wrap_view(pit, template, reach, sides))],
            (wrap_table(pit, template, "From the square line to the cut", "misses"), Notes(lines, title="Notes")),
        )
    return pages


STACK = SheetMaker(code=CODE, title=TITLE, whose="vessel and doors", make=stack_sheets)


def _key(pit: Pit) -> tuple[str, str]:
    stack, tape = pit.stack, pit.tape
    if stack.place == "end" or not pit.cleared:
        return ("top of the stack off the floor", tape.length(stack.top_z))
    return ("stack centre, station", tape.length(pit.vessel.station(stack.x)))


# ---------------------------------------------------------------- wraps


def saddle_of(pit: Pit) -> Saddle:
    """The stack's outside on the vessel's skin."""
    stack = pit.stack
    return Saddle(header_radius=pit.vessel.outer_radius, branch_radius=stack.profile.height / 2.0, offset=stack.y)


Wrap = tuple[str, Template, Callable[[float], float], Mapping[int, str], tuple[str, ...]]
_HOW = "Strike a square line round the pipe. At each tape step measure from it towards the end to be cut and punch; join the punches."


def _wraps(pit: Pit) -> list[Wrap]:
    stack, r = pit.stack, pit.stack.profile.height / 2.0
    if stack.place == "top":
        if stack.reach_in:
            return []
        saddle = saddle_of(pit)
        quarter = STEPS // 4
        sides = {0: "stack-seam side", quarter: "working side", 2 * quarter: "fire-seam side", 3 * quarter: "back"}
        lines = (
            _HOW,
            "Step 0 stands towards the stack-end seam; step 4 is the working side, step 12 the back.",
            "Put the pipe's own seam to the back. Fit it, scribe round it, and cut the hole from the fitted pipe.",
        )
        return [("Stack coped to the shell", saddle.template(STEPS), saddle.reach, sides, lines)]
    out: list[Wrap] = []
    stub = next(p.shape for p in pit.parts if p.name == "stack stub")
    head = pit.vessel.stack_head
    if isinstance(stub, Bar) and isinstance(stub.start, HeadCut) and head is not None:
        up = stack.base_z - pit.vessel.centre_z
        cope = HeadCope(head=head_form(head), branch_radius=r, drop=abs(up))
        near, far = ("bottom", "top") if up >= 0.0 else ("top", "bottom")
        sides = {0: f"{near} of the stub", STEPS // 2: f"{far} of the stub"}
        out.append(
            (
                "Stack stub coped to the dished end",
                cope.template(STEPS),
                cope.reach,
                sides,
                (_HOW, f"Step 0 is the {near} of the stub."),
            )
        )
    angle = _elbow(pit)
    mitre = Mitre(branch_radius=r, angle=angle)
    sides = {0: "short side, inside of the bend", STEPS // 2: "long side, outside of the bend"}
    lines = (
        _HOW,
        f"Both halves of the elbow are cut alike, {pit.tape.angle(angle)} off square: one saw setting, stub and riser.",
        "Short side to short side. Keep both marks in one line when tacking.",
    )
    out.append(("Elbow of the end stack", mitre.template(STEPS), mitre.reach, sides, lines))
    return out


def _elbow(pit: Pit) -> float:
    """How each half of an end stack's elbow is cut, off square [rad]."""
    riser = next(p.shape for p in pit.parts if p.name == "stack riser")
    assert isinstance(riser, Bar)
    assert isinstance(riser.start, PlaneCut)
    return math.acos(min(1.0, abs(riser.start.normal[0])))


# ---------------------------------------------------------------- lettering


def lengths(pit: Pit) -> tuple[float, float]:
    """(long side, short side) of a stack through the shell [m]."""
    stack = pit.stack
    depth = 0.0 if stack.reach_in else saddle_of(pit).template(STEPS).depth
    return stack.length, stack.length - depth


def _piece(pit: Pit, name: str) -> Part | None:
    return next((p for p in pit.parts if p.name == name), None)


def _hole(pit: Pit) -> Opening:
    return next(o for o in pit.openings if o.name == "stack hole")


def _span(values: Sequence[float]) -> float:
    return max(values) - min(values)


def behind_text(pit: Pit) -> str:
    """Where the stack's centre line meets the skin, by tape from the top line."""
    around = pit.vessel.around_at(pit.stack.clock)
    if abs(around) < pit.tape.step / 2.0:
        return "on the top line"
    return f"{pit.tape.length(abs(around))} to the {'working side' if around > 0.0 else 'back'}"


def _blocks(pit: Pit) -> tuple[Block, ...]:
    stack, tape = pit.stack, pit.tape
    wants = [("pipe", stack.profile.designation), ("top off the floor", tape.length(stack.top_z))]
    lines = ["Measure the pipe's tape-around before marking: the steps are for the pipe as listed."]
    big: tuple[Block, ...] = ()
    if stack.place == "top":
        long, short = lengths(pit)
        if pit.cleared:
            big = (_big(pit),)
        wants += [("length, long side", tape.length(long)), ("length, short side", tape.length(short))]
        wants.append(
            ("top over the top of the shell", tape.length(stack.top_z - pit.vessel.centre_z - pit.vessel.outer_radius))
        )
        if stack.reach_in:
            wants.append(("reaches in past the inside skin", tape.length(stack.reach_in)))
            lines.append("The pipe goes through the hole and is cut square at both ends.")
    else:
        wants += _end_wants(pit)
    damper, cap = _piece(pit, "damper blade"), _piece(pit, "rain cap")
    if damper is not None and isinstance(damper.shape, Plate):
        x0, _, x1, _ = damper.shape.outline.bounds()
        up = damper.placements[0].origin[2]
        wants += [
            (f"damper blade {damper.mark}, across", tape.length(x1 - x0)),
            ("damper rod over the short side of the cut" if stack.place == "top" else "damper rod off the floor",
             tape.length(up - (stack.top_z - lengths(pit)[1] if stack.place == "top" else 0.0))),
        ]  # fmt: skip
        lines.append("Never let the damper shut the stack full: leave it a gap or a notch.")
    if cap is not None and isinstance(cap.shape, Plate):
        x0, _, x1, _ = cap.shape.outline.bounds()
        wants.append((f"rain cap {cap.mark}, across", tape.length(x1 - x0)))
        lines.append("Open the rain cap before lighting.")
    weight = sum(mass_of(p).mass * p.quantity for p in pit.parts if p.group == "stack")
    wants.append(("stack with damper and cap, weight", tape.mass(weight)))
    lines.append("Smoke holds carbon monoxide: light it in the open air only, never under a roof or in the shop.")
    out: list[Block] = [*big, want_list("Stack", wants)]
    if stack.place == "top":
        out += _marks(pit)
    else:
        out += withheld(pit, "The stack's hole in the vessel's end and its height")
    return (*out, Notes(tuple(lines), title="Notes"), *verdicts(pit, [p.mark for p in pit.parts if p.group == "stack"]))


def _big(pit: Pit) -> BigFigures:
    tape, stack = pit.tape, pit.stack
    return BigFigures(
        (
            BigFigure("stack centre, station", tape.length(pit.vessel.station(stack.x)), "from the datum seam", known(pit, "stack.x")),
            BigFigure("from the top line, by tape", behind_text(pit), "centre line on the skin", known(pit, "stack.behind_top")),
        ),
        across=2,
        size=6.0,
    )  # fmt: skip


def _marks(pit: Pit) -> list[Block]:
    """Where the pipe stands on the skin, by tape; and the hole inside it."""
    if not pit.cleared:
        return list(withheld(pit, "The stack's marks on the vessel and its hole"))
    tape, stack, hole = pit.tape, pit.stack, _hole(pit)
    rows = tuple(
        (m.what, tape.length(m.along), "", tape.length(m.around), "")
        for m in pit.marks
        if m.on == "shell" and m.what.startswith("stack ") and "seam" not in m.what
    )
    columns = (
        Column("mark", wrap=True),
        Column("station", align="right", bold=True),
        Column("got", blank=True),
        Column("around", align="right", bold=True),
        Column("got", blank=True),
    )
    along, around = (_span([p[k] for p in hole.outline]) for k in (0, 1))
    sizes = [
        ("pipe's foot on the skin, along x around", f"{tape.length(stack.hole_along)} x {tape.length(stack.hole_around)}"),
        ("hole inside it, along x around", f"{tape.length(along)} x {tape.length(around)}"),
        ("hole opens", tape.small_area(hole.area)),
    ]  # fmt: skip
    return [Table(columns, rows, title="Marks on the vessel"), want_list("Hole", sizes)]


def _end_wants(pit: Pit) -> list[tuple[str, str]]:
    stack, tape = pit.stack, pit.tape
    up = stack.base_z - pit.vessel.centre_z
    out = []
    if pit.cleared:
        out += [
            ("stub's centre off the floor", tape.length(stack.base_z)),
            (f"stub's centre {'over' if up >= 0.0 else 'under'} the vessel's centre", tape.length(abs(up))),
            (
                "hole in the end, inside of the pipe",
                f"Ø {tape.length(stack.profile.height - 2.0 * stack.profile.wall)}",
            ),
        ]
    out += [
        ("riser's centre out from the stack-end seam", tape.length(stack.x - pit.vessel.length)),
        ("elbow, each half", f"{tape.angle(_elbow(pit))} off square"),
    ]
    for name in ("stack stub", "stack riser"):
        part = _piece(pit, name)
        if part is not None and isinstance(part.shape, Bar):
            cut = saw_cut(part.shape)
            out += [
                (f"{name}, long point", tape.length(cut.long_point)),
                (f"{name}, short point", tape.length(cut.short_point)),
            ]
    return out


# ---------------------------------------------------------------- views


def elevation(pit: Pit) -> Drawing:
    """Through the shell: seen from the stack end, with the round it stands on. Out of the end: seen from the side."""
    return _on_shell(pit) if pit.stack.place == "top" else _out_of_end(pit)


def _on_shell(pit: Pit) -> Drawing:
    s = pit_sketch(pit)
    stack, vessel, tape = pit.stack, pit.vessel, pit.tape
    hand = float(vessel.hand)
    radius, r, bore = vessel.outer_radius, stack.profile.height / 2.0, stack.profile.height / 2.0 - stack.profile.wall
    centre = (0.0, vessel.centre_z)
    s.arc(centre, radius, math.radians(20.0), math.radians(140.0))
    s.arc(centre, vessel.inner_radius, math.radians(20.0), math.radians(140.0), "hidden")
    c, top = hand * stack.y, stack.top_z

    def skin(y: float) -> float:
        return stack.inlet_z if stack.reach_in else vessel.centre_z + math.sqrt(radius**2 - y**2)

    sides = [(hand * y, skin(y)) for y in (stack.y - r, stack.y + r)]
    for x, z in sides:
        s.line((x, z), (x, top))
    s.line((c - r, top), (c + r, top))
    for y in (stack.y - bore, stack.y + bore):
        s.line((hand * y, skin(y)), (hand * y, top), "hidden")
    s.line((c, vessel.centre_z + 0.8 * radius), (c, top + 0.06), "centre")
    s.line(
        (0.0, vessel.centre_z + 0.8 * radius),
        (0.0, vessel.centre_z + radius + 0.25 * (top - vessel.centre_z - radius)),
        "centre",
    )
    damper, cap = _piece(pit, "damper blade"), _piece(pit, "rain cap")
    if damper is not None:
        z = damper.placements[0].origin[2]
        s.line((c - bore, z), (c + bore, z), "outline")
        s.callout((c, z), "damper rod", toward=0.3)
    if cap is not None and isinstance(cap.shape, Plate):
        x0, _, x1, _ = cap.shape.outline.bounds()
        s.rectangle(c + x0, top, c + x1, top + cap.shape.thickness)
    low, high = sorted(sides, key=lambda p: p[1])
    left = min(p[0] for p in sides)
    right = max(p[0] for p in sides)
    for x, z in {low, high}:
        s.dim((x, z), (x, top), "left" if x == left else "right", base=left if x == left else right)
    s.dim((right, vessel.centre_z + radius), (right, top), "right", base=right, about=known(pit, "stack.height"))
    if abs(stack.y) > tape.step / 2.0 and pit.cleared:
        s.dim((0.0, top), (c, top), "above", about=known(pit, "stack.behind_top"))
    edge = hand * radius * math.cos(math.radians(25.0))
    s.callout(
        (edge, vessel.centre_z + radius * math.sin(math.radians(25.0))),
        "working side",
        toward=math.pi / 2.0 - hand * 0.8,
    )
    return s.drawing()


def _out_of_end(pit: Pit) -> Drawing:
    s = pit_sketch(pit)
    stack, vessel = pit.stack, pit.vessel
    way, r = -float(vessel.hand), stack.profile.height / 2.0
    for name in ("stack-end head", "stack stub", "stack riser"):
        for part in (p for p in pit.parts if p.name == name):
            for placement in part.placements:
                s.add(Drawing(see(part, placement, from_working_side(vessel.hand)).edges))
    tall = stack.base_z
    s.line((way * (vessel.length - 0.2), tall), (way * (stack.x + 2.0 * r), tall), "centre")
    s.line((way * stack.x, tall - 1.5 * r), (way * stack.x, stack.top_z + 0.06), "centre")
    side: Side = "right" if way > 0.0 else "left"
    far = way * (stack.x + r)
    s.dim((far, tall), (far, stack.top_z), side, base=far)
    s.dim((way * vessel.length, tall), (way * stack.x, tall), "below")
    return s.drawing()


def hole_view(pit: Pit) -> Drawing:
    """Pipe's foot and the hole inside it on the skin laid flat, seen from above with the working side at the foot."""
    s = pit_sketch(pit)
    stack, vessel, tape = pit.stack, pit.vessel, pit.tape
    way = -float(vessel.hand)
    stations, arounds = saddle_of(pit).outline(HOLE_POINTS)
    foot = [(way * (stack.x + float(x)), -float(a)) for x, a in zip(stations, arounds, strict=True)]
    hole = [(way * x, -a) for x, a in _hole(pit).outline]
    if not stack.reach_in:
        s.lines(foot, "mark", closed=True)
    s.lines(hole, "cut", closed=True)
    xs, ys = [p[0] for p in foot], [p[1] for p in foot]
    x0, x1, y0, y1 = min(xs), max(xs), min(ys), max(ys)
    c = (way * stack.x, -vessel.around_at(stack.clock))
    s.line((x0 - 0.04, c[1]), (x1 + 0.04, c[1]), "centre")
    s.line((c[0], min(y0, 0.0) - 0.04), (c[0], max(y1, 0.0) + 0.04), "centre")
    s.line((x0 - 0.08, 0.0), (x1 + 0.08, 0.0), "mark")
    s.callout((x0 - 0.06, 0.0), "top line", toward=math.radians(150.0))
    s.callout((c[0], y1), f"station {tape.length(vessel.station(stack.x))}", toward=math.radians(60.0))
    s.dim((x0, c[1]), (x1, c[1]), "below")
    s.dim((c[0], y0), (c[0], y1), "left")
    if abs(c[1]) > tape.step / 2.0:
        s.dim((x1, 0.0), (x1, c[1]), "right")
    for edge in (y0, y1):
        if abs(edge) > tape.step / 2.0:
            s.dim((x1, 0.0), (x1, edge), "right")
    return s.drawing()
