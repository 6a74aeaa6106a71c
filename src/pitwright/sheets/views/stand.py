"""The standing sheet: load paths on the frame, reactions, worst ratios, tipping, rock, heat, doors in the hand."""

from __future__ import annotations

import math
from functools import partial

from pitwright.layout.model import Pit
from pitwright.sheets.blocks import BigFigure, BigFigures, Block, Notes, Pairs
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.shapes import Role
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, new_board, pit_sketch, whole
from pitwright.sheets.views.eye import Eye, from_stack_end, from_working_side
from pitwright.sheets.views.spread import ByWidth, spread
from pitwright.strength.check import Check, ratio_text
from pitwright.strength.frame_cases import FootPoint
from pitwright.strength.pit_floor import TipState
from pitwright.strength.showing import Line3, shown_frame
from pitwright.strength.standing import StandReport, stand
from pitwright.tape import INCH

CODE, TITLE = "STAND", "How it stands"
HEAVY = 0.5  # a member over this share of its limit is drawn heavy
SHOWN = 16


def stand_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Frame with its loads, checks, tipping and what mends what fails."""
    report = stand(pit)
    board = partial(
        new_board, pit, paper, CODE, TITLE,
        key=("worst ratio", ratio_text(report.worst)), check=("tips at, least", _tips_at(pit, report)),
        note="Ratio: what is asked over what is allowed. Over 1.00: do not build it so.",
    )  # fmt: skip
    views = [
        ("Load paths, loaded, worst ratio of each bar", frame_view(pit, report, from_working_side(pit.vessel.hand))),
        ("Where it tips", tip_view(pit, report)),
    ]
    return spread(board, views, stand_blocks(pit, report))


STAND = SheetMaker(code=CODE, title=TITLE, whose="base and legs", make=stand_sheets)


def _tips_at(pit: Pit, report: StandReport) -> str:
    angle = _least(report).side.angle
    return pit.tape.angle(angle) if angle > 0.0 else "by itself"


def _least(report: StandReport) -> TipState:
    return min(report.floor.tips, key=lambda t: t.side.angle)


# ---------------------------------------------------------------- views


def frame_view(pit: Pit, report: StandReport, eye: Eye) -> Drawing:
    """The frame as lines, each piece's worst ratio and case on it, what each foot carries under it."""
    s = pit_sketch(pit)
    told: set[str] = set()
    lines = shown_frame(report)
    for line in lines:
        p, q = eye.point(line.start), eye.point(line.end)
        if math.dist(p, q) < 1e-6 or line.name.endswith("back"):
            continue
        s.line(p, q, _role(line))
        for joint, end in line.arms:
            s.line(eye.point(joint), eye.point(end), "thin")
        if line.checked and line.piece not in told:
            told.add(line.piece)
            worst = max(
                (k for k in lines if k.piece == line.piece and not k.name.endswith("back")), key=lambda k: k.worst
            )
            a, b = eye.point(worst.start), eye.point(worst.end)
            at = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
            s.callout(at, f"{line.piece}: {worst.worst:.2f}", toward=math.pi / 2.0, dot=True)
    s.rectangle(*vessel_box(pit, eye), role="ghost")
    _wheels(pit, s, eye)
    x0, _, x1, _ = s.bounds()
    s.line((x0, 0.0), (x1, 0.0), "ground")
    floor = report.reactions["true floor"]  # of none where it does not stand
    rows = {_row(f): eye.point((f.x, 0.0, 0.0))[0] for f in report.made.feet}
    before, deep = -math.inf, False
    for group in sorted(rows, key=lambda name: rows[name]):
        deep = not deep and rows[group] - before < 0.3 * (x1 - x0)  # beside its neighbour there is no room
        before = rows[group]
        row = [f for f in report.made.feet if _row(f) == group]
        at = eye.point((sum(f.x for f in row) / len(row), 0.0, 0.0))
        loads = [pit.tape.force(floor[f.name]) if floor else "does not stand" for f in sorted(row, key=lambda f: -f.y)]
        near = "working" if pit.upright is None else "front"
        named = loads if len(loads) == 1 else [f"{loads[0]} {near}", *loads[1:-1], f"{loads[-1]} back"]
        s.callout(at, "\n".join((group, *named)), offset=(4.0, -24.0 if deep else -9.0))
    s.symbol(eye.point(pit.balance[report.state].centre), "gravity", size=4.0)
    return s.drawing()


def _row(foot: FootPoint) -> str:
    """The row of feet a foot stands in: its axle, or its set."""
    return foot.name.split(", ")[1] if foot.name.startswith("wheel") else foot.leg_set


def vessel_box(pit: Pit, eye: Eye) -> tuple[float, float, float, float]:
    """The vessel's outline in a side view as a rectangle, lying or on end [m]."""
    vessel, r = pit.vessel, pit.vessel.outer_radius
    low, high = (0.0, 0.0, vessel.centre_z - r), (vessel.length, 0.0, vessel.centre_z + r)
    if pit.upright is not None:
        across = r if abs(eye.right[0]) > 0.5 else 0.0
        low = (-across, across - r, vessel.seam_z)
        high = (across, r - across, vessel.seam_z + vessel.length)
    return (*eye.point(low), *eye.point(high))


def _role(line: Line3) -> Role:
    if not line.checked:
        return "thin"
    return "wrong" if line.worst > 1.0 else "accent" if line.worst > HEAVY else "outline"


def _wheels(pit: Pit, s: Sketch, eye: Eye) -> None:
    for axle in pit.base.axles:
        s.circle(eye.point((axle.x, 0.0, axle.radius)), axle.radius, "thin")
    for support in pit.base.supports:
        if support.y >= 0.0:
            half = support.pad / 2.0
            a, b = eye.point((support.x - half, 0.0, 0.0)), eye.point((support.x + half, 0.0, support.top))
            s.rectangle(*a, *b, role="thin")


def tip_view(pit: Pit, report: StandReport) -> Drawing:
    """The base seen along the side it tips over: the centre of gravity in its worst state, and the angle."""
    s, tip = pit_sketch(pit), _least(report)
    endwise = abs(math.cos(tip.side.facing)) > 0.7
    eye = from_working_side(pit.vessel.hand) if endwise else from_stack_end(pit.vessel.hand)
    base, axis = pit.base, 0 if endwise else 1
    if pit.upright is None and not endwise:
        s.circle(eye.point((0.0, 0.0, pit.vessel.centre_z)), pit.vessel.outer_radius, "thin")
        for leg in (leg for leg_set in pit.leg_sets[:1] for leg in leg_set.legs):
            clock = (math.pi - leg.contact) * (1.0 if leg.side == "working" else -1.0)
            s.line(eye.point((0.0, leg.foot_y, leg.foot_z)), eye.point(pit.vessel.skin(0.0, clock)))
    else:
        s.rectangle(*vessel_box(pit, eye), role="thin")
    low = base.rail_top - base.rail.height
    if endwise:
        s.rectangle(*eye.point((base.rail_x0, 0.0, low)), *eye.point((base.rail_x1, 0.0, base.rail_top)))
    else:
        out = base.rails_outside / 2.0
        for side in (-1.0, 1.0):
            a, b = (0.0, side * out, low), (0.0, side * (out - base.rail.width), base.rail_top)
            s.rectangle(*eye.point(a), *eye.point(b))
    at = math.copysign(1.0, math.cos(tip.side.facing) if endwise else math.sin(tip.side.facing))
    edge = _at(axis, (tip.weight.x, tip.weight.y)[axis] + at * tip.side.margin)
    foot, weight = eye.point(edge), eye.point((tip.weight.x, tip.weight.y, tip.weight.z))
    x0, _, x1, _ = s.bounds()
    more = 0.2 * (x1 - x0)
    s.line((min(x0, foot[0]) - more, 0.0), (max(x1, foot[0]) + more, 0.0), "ground")
    s.line(foot, weight, "accent")
    s.line(foot, (foot[0], weight[1] + 0.1), "centre")
    s.symbol(weight, "gravity", size=4.0)
    said = f"{tip.state}: " + (f"tips at {pit.tape.angle(tip.side.angle)}" if tip.side.angle > 0.0 else "falls over")
    s.callout(weight, said, toward=math.pi * 0.75 if foot[0] > weight[0] else 0.6)
    s.dim((weight[0], 0.0), (foot[0], 0.0), "below")
    s.dim((weight[0], 0.0), weight, "left" if weight[0] < foot[0] else "right")
    return s.drawing()


def _at(axis: int, value: float) -> tuple[float, float, float]:
    return (value, 0.0, 0.0) if axis == 0 else (0.0, value, 0.0)


# ---------------------------------------------------------------- lettering


def stand_blocks(pit: Pit, report: StandReport) -> tuple[Block, ...]:
    """Figures, worst checks, tipping, reactions by case, spreading, rock, heat, doors, what was not checked."""
    big = BigFigures(
        (
            BigFigure("worst ratio", ratio_text(report.worst), "1.00 is the limit", role="wrong" if report.worst > 1.0 else "dimension"),
            BigFigure("tips at, least", _tips_at(pit, report), "10 degrees wanted with everything out"),
        ),
        across=2, size=7.0,
    )  # fmt: skip
    blocks: list[Block] = [big, _checks(pit, report), _tips(pit, report), _reactions(pit, report)]
    if len(report.floor.slides) > 1:
        blocks.append(_slides(pit, report))
    if report.floor.casters is not None:
        blocks.append(_casters(pit, report))
    if report.hands is not None:
        blocks.append(_hands(pit, report))
    if report.spreads:
        blocks.append(_spread_table(pit, report))
    blocks += [_rock(pit, report), _heat(pit, report)]
    if report.doors:
        blocks.append(_doors(pit, report))
    if report.findings:
        blocks.append(
            Table(
                (Column("", bold=True), Column("what, and the way out", wrap=True)),
                tuple((f.severity, f"{f.text} {f.remedy}".strip()) for f in report.findings),
                title="What was found",
            )
        )
    blocks.append(Notes(tuple(f"Not checked: {n}." for n in report.not_made) + report.cautions[1:], title="Limits"))
    return tuple(blocks)


_CHECK = (
    Column("piece", bold=True, wrap=True),
    Column("check", wrap=True),
    Column("asked", align="right"),
    Column("allowed", align="right"),
    Column("ratio", align="right", bold=True),
)


def _checks(pit: Pit, report: StandReport) -> Block:
    shown = report.checks[:SHOWN]
    return ByWidth(
        wide=Table(
            (*_CHECK, Column("when", wrap=True), Column("by", wrap=True)),
            tuple((*_check_row(pit, k), k.case, f"{k.equation}; {k.source}") for k in shown),
            title="Worst check of each piece",
        ),
        narrow=Table(
            (
                Column("piece", bold=True, wrap=True),
                Column("check and when", wrap=True),
                Column("ratio", align="right", bold=True),
            ),
            tuple((k.piece, f"{k.name}, {k.case}: {k.measured(pit.tape)}", ratio_text(k.ratio)) for k in shown),
            title="Worst check of each piece",
        ),
        least=150.0,
    )


def _check_row(pit: Pit, check: Check) -> tuple[str, ...]:
    def text(value: float) -> str:
        return check.amount(value, pit.tape)

    return (check.piece, check.name, text(check.demand), text(check.capacity), ratio_text(check.ratio))


def _tips(pit: Pit, report: StandReport) -> Table:
    tape, height = pit.tape, report.floor.tips[0].height
    return Table(
        (Column("state", bold=True, wrap=True), Column("tips at", align="right"),
         Column(f"push {tape.length(height)} up tips it", align="right", wrap=True), Column("wind tips it", align="right", wrap=True)),
        tuple(
            (t.state, tape.angle(t.side.angle), tape.force(t.push), tape.wind(t.wind)) if t.side.angle > 0.0
            else (t.state, "falls over", "", "")
            for t in report.floor.tips
        ),
        title="What tips it",
    )  # fmt: skip


def _slides(pit: Pit, report: StandReport) -> Table:
    rows = tuple(
        (str(count), pit.tape.angle(max(angle, 0.0)), "yes" if angle >= math.radians(10.0) else "no")
        for count, angle in enumerate(report.floor.slides)
    )
    columns = (Column("slides out", align="right", bold=True), Column("tips at", align="right"), Column("allowed"))
    return Table(columns, rows, title="Slides out with their meat, doors open")


def _casters(pit: Pit, report: StandReport) -> Pairs:
    found, tape = report.floor.casters, pit.tape
    assert found is not None
    rows = [
        ("each caster rated for, at least", tape.force(found.wanted)),
        ("one carries on the worst floor", tape.force(found.most)),
        ("of those bought", tape.force(found.rating) if found.rating else "not stated"),
        (f"push over a {tape.length(0.5 * INCH)} sill", tape.force(found.sill_push)),
        ("stopped dead at a walk takes", f"{tape.angle(found.stopped[0])} of {tape.angle(found.stopped[1])}"),
    ]
    return Pairs(tuple(rows), title="On casters")


def _hands(pit: Pit, report: StandReport) -> Table:
    found, tape = report.hands, pit.tape
    assert found is not None
    rows = tuple((state, tape.mass(lift)) for state, lift in found.states.items())
    people = "one person" if found.people == 1 else "two people"
    return Table(
        (Column("state", bold=True), Column("hands lift", align="right")),
        rows,
        title=f"At the handles: {people}, and never loaded",
    )


def _reactions(pit: Pit, report: StandReport) -> Table:
    """What each foot carries: on a true floor, and the most and least over all floors."""
    names = [f.name for f in report.made.feet]
    floors = {case: found for case, found in report.reactions.items() if found and all(k in names for k in found)}
    floors = {case: found for case, found in floors.items() if not case.startswith(("road", "coupled"))}
    rows = []
    for name in names:
        loads = {case: found.get(name, 0.0) for case, found in floors.items()}
        most = max(loads, key=lambda case: loads[case], default="")
        flat, least, high = (
            "" if load is None else pit.tape.force(load)
            for load in (loads.get("true floor"), min(loads.values(), default=None), loads.get(most))
        )
        rows.append((name, whole(flat) or "does not stand", least, high, most))
    columns = (
        Column("foot", bold=True, wrap=True),
        Column("true floor", align="right", wrap=True),
        Column("least", align="right"),
        Column("most", align="right"),
        Column("most when", wrap=True),
    )
    return Table(columns, tuple(rows), title="What each foot carries")


def _tiny(pit: Pit, opened: float) -> str:
    """A very small opening, never as a bare nought."""
    least = 0.001 * INCH
    return f"under {pit.tape.decimal(least, 3)}" if opened < least else pit.tape.decimal(opened, 3)


def _spread_table(pit: Pit, report: StandReport) -> Table:
    tape = pit.tape
    return Table(
        (Column("leg set", bold=True, wrap=True), Column("case", wrap=True), Column("thrust", align="right", wrap=True),
         Column("free foot opens", align="right", wrap=True), Column("tied", align="right", wrap=True)),
        tuple(
            (name, one.case, tape.force(one.thrust),
             f"{tape.decimal(one.loose.low, 3)} to {tape.decimal(one.loose.high, 3)}", _tiny(pit, one.tied.high))
            for name, found in report.spreads.items()
            for one in found
        ),
        title="How far a leaning leg opens at the foot",
    )  # fmt: skip


def _rock(pit: Pit, report: StandReport) -> Block:
    """Boxes for the foot heights and diagonals, with what was typed, and the shims that let the grease run."""
    tape, floor = pit.tape, report.floor
    shims = dict(floor.shims)
    want = {name: tape.length(g) for name, g in (floor.rock.shims if floor.rock else ())}
    rows = [
        (
            f.name,
            "",
            want.get(f.name, tape.length(0.0) if floor.rock else ""),
            tape.length(shims[f.name]) if f.name in shims else "",
        )
        for f in report.made.feet
    ]
    rows.append(("diagonals of the base", "", tape.fine(pit.base.diagonal) + " both ways", ""))
    return Table(
        (Column("foot", bold=True, wrap=True), Column("sole over a level line", blank=True, least=22.0, wrap=True),
         Column("shim to stop a rock", align="right", wrap=True), Column("shim so grease runs", align="right", wrap=True)),
        tuple(rows),
        title="Rock and fall: every foot over one level line",
    )  # fmt: skip


def _heat(pit: Pit, report: StandReport) -> Notes:
    tape, heat = pit.tape, report.heat
    lines = [report.tied]
    hot = [s.name for s in pit.leg_sets if s.x < 0.0]
    if hot:
        lines.append(
            f"Legs of set {', '.join(hot)} stand under the fire: reckoned as steel at {tape.temperature(heat.hottest)}."
        )
    for door, (case, off) in report.drift.items():
        if off > 0.0005:
            lines.append(f"{door}: its opening goes {tape.decimal(off, 3)} out of square at most ({case}).")
    return Notes(tuple(lines), title="Heat and drift")


def _doors(pit: Pit, report: StandReport) -> Table:
    tape = pit.tape
    rows = tuple(
        (d.door, tape.force(d.first), f"{tape.force(d.worst)} at {tape.angle(d.worst_at, 0)}",
         tape.force(d.at_stop), tape.angle(d.over_centre, 0) if math.isfinite(d.over_centre) else "never")
        for d in report.doors
    )  # fmt: skip
    return Table(
        (Column("door", bold=True), Column("first pull", align="right", wrap=True), Column("most", align="right", wrap=True),
         Column("at the stop", align="right", wrap=True), Column("goes over at", align="right", wrap=True)),
        rows,
        title="Hand pull over the swing",
    )  # fmt: skip
