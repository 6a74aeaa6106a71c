"""The standing and lifting sheets: load paths on the frame, reactions, worst ratios, tipping, the lift."""

from __future__ import annotations

import math
from functools import partial

from pitwright.layout.model import Pit
from pitwright.sheets.blocks import BigFigure, BigFigures, Block, Notes
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, new_board, pit_sketch
from pitwright.sheets.views.eye import Eye, from_stack_end, from_working_side
from pitwright.sheets.views.spread import ByWidth, spread
from pitwright.strength.check import Check
from pitwright.strength.standing import PUSH_HEIGHT, StandReport, stand
from pitwright.tape import INCH

CODE, TITLE = "STAND", "How it stands"
LIFT_CODE, LIFT_TITLE = "LIFT", "How it lifts"


def stand_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Frame with its loads, checks, tipping and what mends what fails."""
    report = stand(pit)
    tip = min(report.tips, key=lambda t: t.side.angle)
    board = partial(
        new_board, pit, paper, CODE, TITLE,
        key=("worst ratio", f"{report.worst:.2f}"), check=("tips at, least", pit.tape.angle(tip.side.angle)),
        note="Ratio: what is asked over what is allowed. Over 1.00: do not build it so.",
    )  # fmt: skip
    views = [
        ("Loads on a true floor, loaded", frame_view(pit, report, from_working_side(pit.vessel.hand))),
        ("Where it tips", tip_view(pit, report)),
    ]
    return spread(board, views, stand_blocks(pit, report))


def lift_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """The hook, unequal slings, their pull; forks; cautions."""
    report = stand(pit)
    weight = pit.balance["empty"]
    board = partial(
        new_board, pit, paper, LIFT_CODE, LIFT_TITLE,
        key=("weight empty", pit.tape.mass(weight.mass)),
        check=("hook over station", pit.tape.length(pit.vessel.station(weight.centre[0]))),
    )  # fmt: skip
    views = [("Slung level, from the working side", lift_view(pit, report, from_working_side(pit.vessel.hand)))]
    return spread(board, views, lift_blocks(pit, report))


STAND = SheetMaker(code=CODE, title=TITLE, whose="base and legs", make=stand_sheets)
LIFT = SheetMaker(code=LIFT_CODE, title=LIFT_TITLE, whose="everyone", make=lift_sheets)


def frame_view(pit: Pit, report: StandReport, eye: Eye) -> Drawing:
    """The frame as lines, each piece's worst ratio on it, what each foot carries under it."""
    s = pit_sketch(pit)
    joints = {j.name: j for j in report.made.frame.joints}
    worst: dict[str, float] = {}
    for column, piece in enumerate(report.ratios.pieces):
        worst[piece] = max(worst.get(piece, 0.0), float(report.ratios.table[:, column].max()))
    told: set[str] = set()
    for beam in report.made.frame.beams:
        a, b = joints[beam.start], joints[beam.end]
        p = eye.point((a.x + beam.arm_start[0], a.y + beam.arm_start[1], a.z + beam.arm_start[2]))
        q = eye.point((b.x + beam.arm_end[0], b.y + beam.arm_end[1], b.z + beam.arm_end[2]))
        if math.dist(p, q) < 1e-6 or beam.name.endswith("back"):
            continue
        s.line(p, q, "outline" if beam.piece in worst else "thin")
        if beam.piece in worst and beam.piece not in told:
            told.add(beam.piece)
            middle = ((p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0)
            s.callout(middle, f"{beam.piece}: {worst[beam.piece]:.2f}", toward=math.pi / 2.0, dot=True)
    r, c = pit.vessel.outer_radius, pit.vessel.centre_z
    s.rectangle(*eye.point((0.0, 0.0, c - r)), *eye.point((pit.vessel.length, 0.0, c + r)), role="ghost")
    x0, _, x1, _ = s.bounds()
    s.line((x0, 0.0), (x1, 0.0), "ground")
    floor = report.reactions["true floor"]
    for foot in report.made.feet:
        if foot.y < 0.0:
            continue
        pair = [floor.get(f.name, 0.0) for f in report.made.feet if f.leg_set == foot.leg_set]
        at = eye.point((foot.x, 0.0, 0.0))
        text = f"{foot.leg_set}\n{pit.tape.force(pair[0])} working\n{pit.tape.force(pair[-1])} back"
        s.callout(at, text, toward=-math.pi / 2.0)
    s.symbol(eye.point(pit.balance[report.state].centre), "gravity", size=4.0)
    return s.drawing()


def tip_view(pit: Pit, report: StandReport) -> Drawing:
    """End view: the base, the centre of gravity in its worst state, and the angle at which it goes over."""
    s = pit_sketch(pit)
    eye = from_stack_end(pit.vessel.hand)
    tip = min(report.tips, key=lambda t: t.side.angle)
    half = max(abs(f.y) for f in report.made.feet)
    out = pit.base.rails_outside / 2.0
    y, z = tip.weight.y, tip.weight.z
    sign = 1.0 if y >= 0.0 else -1.0
    s.circle(eye.point((0.0, 0.0, pit.vessel.centre_z)), pit.vessel.outer_radius, "thin")
    for side in (-1.0, 1.0):
        a = eye.point((0.0, side * out, pit.base.rail_top - pit.base.rail.height))
        b = eye.point((0.0, side * (out - pit.base.rail.width), pit.base.rail_top))
        s.rectangle(*a, *b)
    for leg in (leg for leg_set in pit.leg_sets[:1] for leg in leg_set.legs):
        clock = (math.pi - leg.contact) * (1.0 if leg.side == "working" else -1.0)
        s.line(eye.point((0.0, leg.foot_y, leg.foot_z)), eye.point(pit.vessel.skin(0.0, clock)))
    s.line(eye.point((0.0, -1.4 * out, 0.0)), eye.point((0.0, 1.4 * out, 0.0)), "ground")
    foot, weight = eye.point((0.0, sign * half, 0.0)), eye.point((0.0, y, z))
    s.line(foot, weight, "accent")
    s.line(foot, (foot[0], weight[1] + 0.1), "centre")
    s.symbol(weight, "gravity", size=4.0)
    s.callout(
        weight, f"{tip.state}: tips at {pit.tape.angle(tip.side.angle)}", toward=math.pi * 0.75 if foot[0] > weight[0] else 0.6
    )  # fmt: skip
    s.dim((weight[0], 0.0), (foot[0], 0.0), "below")
    s.dim((weight[0], 0.0), weight, "left" if weight[0] < foot[0] else "right")
    return s.drawing()


def lift_view(pit: Pit, report: StandReport, eye: Eye) -> Drawing:
    """Side view of the slung pit with its slings and the hook over the weight."""
    s = pit_sketch(pit)
    vessel, box, base = pit.vessel, pit.firebox, pit.base
    r, c = vessel.outer_radius, vessel.centre_z
    for x0, x1, z0, z1 in (
        (0.0, vessel.length, c - r, c + r),
        (box.x0, box.x1, box.centre_z - box.height / 2.0, box.centre_z + box.height / 2.0),
        (base.rail_x0, base.rail_x1, base.rail_top - base.rail.height, base.rail_top),
    ):
        s.rectangle(*eye.point((x0, 0.0, z0)), *eye.point((x1, 0.0, z1)))
    weight = pit.balance["empty"].centre
    hook = eye.point((weight[0], 0.0, report.made.hook[2]))
    for point, sling in zip(report.made.lugs, report.slings, strict=True):
        if point.y < 0.0:
            continue
        at = eye.point((point.x, 0.0, point.z))
        s.line(at, hook, "accent")
        middle = (at[0] + 0.55 * (hook[0] - at[0]), at[1] + 0.55 * (hook[1] - at[1]))
        s.callout(
            middle, f"{pit.tape.length(sling.length)}\n{pit.tape.angle(sling.angle)} off level",
            toward=0.5 if at[0] > hook[0] else math.pi - 0.5,
        )  # fmt: skip
    s.symbol(eye.point(weight), "gravity", size=4.0)
    s.line(eye.point(weight), hook, "centre")
    x0, _, x1, _ = s.bounds()
    s.line((x0, 0.0), (x1, 0.0), "ground")
    s.dim(eye.point((vessel.x_at(0.0), 0.0, 0.0)), (hook[0], 0.0), "below")
    for x in base.pockets:
        s.callout(eye.point((x, 0.0, base.rail_top - base.rail.height / 2.0)), "fork pocket", toward=-math.pi / 3.0)
    return s.drawing()


def stand_blocks(pit: Pit, report: StandReport) -> tuple[Block, ...]:
    """Figures, worst checks, tipping, reactions by case, spreading, what was not checked."""
    tape = pit.tape
    big = BigFigures(
        (
            BigFigure("worst ratio", f"{report.worst:.2f}", "1.00 is the limit", role="wrong" if report.worst > 1.0 else "dimension"),
            BigFigure("tips at, least", tape.angle(min(t.side.angle for t in report.tips)), "10 degrees wanted with everything out"),
        ),
        across=2, size=7.0,
    )  # fmt: skip
    shown = report.checks[:16]
    when = ByWidth(
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
            tuple((k.piece, f"{k.name}, {k.case}: {k.text(tape)}", f"{k.ratio:.2f}") for k in shown),
            title="Worst check of each piece",
        ),
        least=150.0,
    )
    tips = Table(
        (Column("state", bold=True, wrap=True), Column("tips at", align="right"), Column(f"push at {tape.length(PUSH_HEIGHT)} up", align="right", wrap=True),
         Column("wind", align="right")),
        tuple((t.state, tape.angle(t.side.angle), tape.force(t.push), tape.wind(t.wind)) for t in report.tips),
        title="What tips it",
    )  # fmt: skip
    blocks: list[Block] = [big, when, tips, _reactions(pit, report)]
    if report.spreads:
        blocks.append(_spread_table(pit, report))
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


def _check_row(pit: Pit, check: Check) -> tuple[str, ...]:
    def text(value: float) -> str:
        return f"{value:.2f}" if check.measure == "figure" else pit.tape.figure(value, check.measure)

    return (check.piece, check.name, text(check.demand), text(check.capacity), f"{check.ratio:.2f}")


def _reactions(pit: Pit, report: StandReport) -> Table:
    """What each foot carries: on a true floor, and the most and least over all floors."""
    names = [f.name for f in report.made.feet]
    floors = {case: found for case, found in report.reactions.items() if all(k in names for k in found)}
    rows = []
    for name in names:
        loads = {case: found.get(name, 0.0) for case, found in floors.items()}
        most = max(loads, key=lambda case: loads[case])
        rows.append(
            (
                name,
                pit.tape.force(loads["true floor"]),
                pit.tape.force(min(loads.values())),
                pit.tape.force(loads[most]),
                most,
            )
        )
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


def lift_blocks(pit: Pit, report: StandReport) -> tuple[Block, ...]:
    """Slings, forks, cautions."""
    tape = pit.tape
    slings = Table(
        (Column("sling", bold=True, wrap=True), Column("length", align="right", bold=True), Column("off level", align="right"),
         Column("pull", align="right"), Column("if only two carry", align="right", wrap=True)),
        tuple(
            (s.lug, tape.length(s.length), tape.angle(s.angle), tape.force(s.tension), tape.force(s.alone)) for s in report.slings
        ),
        title="Four slings that hang it level, hook over the weight",
    )  # fmt: skip
    notes = [
        f"With two equal slings it would hang {tape.angle(abs(report.tilt))} off level: tag each sling with its lug."
    ]
    if report.shares is not None:
        notes.append(f"Forks from the side carry {report.shares[0]:.0%} and {report.shares[1]:.0%} of it.")
    notes.append(
        "Slings go under the rails at the leg sets. The drag eyes are for dragging and tying down, not for lifting."
    )
    return (slings, Notes(tuple(notes)), Notes(report.cautions, title="Cautions"))
