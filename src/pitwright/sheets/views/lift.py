"""The lifting sheet: weight and where it lies, the hook, unequal slings and their pull, lugs, forks, tie-downs, cautions."""

from __future__ import annotations

import math
from functools import partial

from pitwright.layout.model import Pit
from pitwright.sheets.blocks import BigFigure, BigFigures, Block, Notes
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, new_board, pit_sketch, whole
from pitwright.sheets.views.eye import Eye, from_stack_end, from_working_side
from pitwright.sheets.views.spread import ByWidth, spread
from pitwright.sheets.views.stand import vessel_box
from pitwright.strength.pit_lifting import USUAL_TRUCK, sling_paths
from pitwright.strength.pit_road import CHAIN
from pitwright.strength.standing import StandReport, stand

CODE, TITLE = "LIFT", "How it lifts"


def lift_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """The hook, unequal slings, their pull; forks; cautions."""
    report = stand(pit)
    weight = pit.balance["empty"]
    board = partial(
        new_board, pit, paper, CODE, TITLE,
        key=("weight empty", pit.tape.mass(weight.mass)),
        check=("hook over station", pit.tape.length(pit.vessel.station(weight.centre[0])))
        if report.lifting.slings
        else ("weight off the floor", pit.tape.length(weight.centre[2])),
    )  # fmt: skip
    hand = pit.vessel.hand
    if not report.lifting.slings:
        views = [("On forks" if report.made.forks else "Not slung", fork_view(pit, report, from_working_side(hand)))]
        return spread(board, views, lift_blocks(pit, report))
    views = [
        ("Slung level, from the working side", lift_view(pit, report, from_working_side(hand))),
        ("From the stack end", end_view(pit, report, from_stack_end(hand))),
    ]
    return spread(board, views, lift_blocks(pit, report))


LIFT = SheetMaker(code=CODE, title=TITLE, whose="everyone", make=lift_sheets)


def fork_view(pit: Pit, report: StandReport, eye: Eye) -> Drawing:
    """A pit that is not slung: its outline, its weight, and where the forks go."""
    s = pit_sketch(pit)
    base = pit.base
    s.rectangle(*vessel_box(pit, eye))
    low, box = base.rail_top - base.rail.height, pit.firebox
    s.rectangle(*eye.point((base.rail_x0, 0.0, low)), *eye.point((base.rail_x1, 0.0, base.rail_top)))
    meets = box.x1
    if pit.upright is not None:
        meets = -math.sqrt(max(pit.vessel.outer_radius**2 - (box.width / 2.0) ** 2, 0.0))
    s.rectangle(
        *eye.point((box.x0, 0.0, box.centre_z - box.height / 2.0)),
        *eye.point((meets, 0.0, box.centre_z + box.height / 2.0)),
    )
    for support in base.supports:
        half = support.pad / 2.0
        s.rectangle(*eye.point((support.x - half, 0.0, 0.0)), *eye.point((support.x + half, 0.0, low)), role="thin")
    for x in sorted({round(p.x, 6) for p in report.made.forks}):
        s.callout(eye.point((x, 0.0, low)), "fork", toward=-math.pi / 3.0)
    s.symbol(eye.point(pit.balance["empty"].centre), "gravity", size=4.0)
    x0, _, x1, _ = s.bounds()
    s.line((x0, 0.0), (x1, 0.0), "ground")
    s.dim((eye.point(pit.balance["empty"].centre)[0], 0.0), eye.point(pit.balance["empty"].centre), "right")
    return s.drawing()


def _pipe_up(pit: Pit, s: Sketch, eye: Eye) -> None:
    """The stack's pipe, which slings must pass."""
    stack = pit.stack
    if stack.place != "top":
        return
    half = stack.profile.height / 2.0
    a, b = (
        eye.point((stack.x - half, stack.y - half, stack.base_z)),
        eye.point((stack.x + half, stack.y + half, stack.top_z)),
    )
    s.rectangle(*a, *b, role="thin")


def _legs(pit: Pit, s: Sketch, eye: Eye) -> None:
    for leg_set in pit.leg_sets:
        for leg in leg_set.legs:
            clock = (math.pi - leg.contact) * (1.0 if leg.side == "working" else -1.0)
            s.line(eye.point((leg.x, leg.foot_y, leg.foot_z)), eye.point(pit.vessel.skin(leg_set.x, clock)), "thin")


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
    _pipe_up(pit, s, eye)
    _legs(pit, s, eye)
    for lug in pit.lugs:
        half = lug.width / 2.0
        low = lug.hole[2] - lug.height
        a, b = eye.point((lug.x - half, 0.0, low)), eye.point((lug.x + half, 0.0, lug.hole[2] + half))
        s.rectangle(*a, *b)
    weight = pit.balance["empty"].centre
    slings = {k.lug: k for k in report.lifting.slings}
    hook = eye.point((weight[0], 0.0, report.made.hook[2]))
    for name, start, _ in sling_paths(report.made):
        if start[1] < 0.0 and report.made.spreader:
            continue
        at = eye.point(start)
        s.line(at, hook, "accent")
        middle = (at[0] + 0.55 * (hook[0] - at[0]), at[1] + 0.55 * (hook[1] - at[1]))
        s.callout(
            middle, f"{pit.tape.length(slings[name].length)}\n{pit.tape.angle(slings[name].angle)} off level",
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


def end_view(pit: Pit, report: StandReport, eye: Eye) -> Drawing:
    """End view: slings on the lugs, or plumb from the rails to a spreader over the shell."""
    s = pit_sketch(pit)
    vessel, base, made = pit.vessel, pit.base, report.made
    s.circle(eye.point((0.0, 0.0, vessel.centre_z)), vessel.outer_radius)
    for side in (-1.0, 1.0):
        y = side * base.rail_y
        a = eye.point((0.0, y - base.rail.width / 2.0, base.rail_top - base.rail.height))
        b = eye.point((0.0, y + base.rail.width / 2.0, base.rail_top))
        s.rectangle(*a, *b)
    _pipe_up(pit, s, eye)
    _legs(pit, s, eye)
    top = made.hook[2]
    if made.spreader:
        half = report.lifting.spreader / 2.0
        bar = min(vessel.centre_z + 1.6 * vessel.outer_radius, top - 0.3)
        s.line(eye.point((0.0, -half, bar)), eye.point((0.0, half, bar)), "outline")
        for side in (-1.0, 1.0):
            y = side * max(base.rail_y, half)
            s.line(
                eye.point((0.0, side * base.rail_y, base.rail_top - base.rail.height)),
                eye.point((0.0, y, bar)),
                "accent",
            )
            s.line(eye.point((0.0, y, bar)), eye.point((0.0, 0.0, top)), "accent")
        s.dim(eye.point((0.0, -half, bar)), eye.point((0.0, half, bar)), "below")
    else:
        lug = pit.lugs[0]
        half, low = lug.thickness / 2.0, lug.hole[2] - lug.height
        a, b = (
            eye.point((0.0, lug.hole[1] - half, low)),
            eye.point((0.0, lug.hole[1] + half, lug.hole[2] + lug.width / 2.0)),
        )
        s.rectangle(*a, *b)
        _, start, end = sling_paths(made)[0]
        s.line(eye.point((0.0, start[1], start[2])), eye.point((0.0, end[1], end[2])), "accent")
    s.symbol(eye.point((0.0, *pit.balance["empty"].centre[1:])), "gravity", size=4.0)
    x0, _, x1, _ = s.bounds()
    s.line((x0, 0.0), (x1, 0.0), "ground")
    return s.drawing()


def lift_blocks(pit: Pit, report: StandReport) -> tuple[Block, ...]:
    """Weight, slings, lugs, forks, tie-downs, cautions."""
    tape, lifting = pit.tape, report.lifting
    x, y, z = pit.balance["empty"].centre
    aside = (
        f", {tape.length(abs(y))} to the {'working side' if y > 0.0 else 'back'}" if abs(y) > tape.step / 2.0 else ""
    )
    figures = (
        BigFigure("weight, empty", tape.mass(pit.balance["empty"].mass), "weigh it; 3 to 5 % until then"),
        BigFigure(
            "centre of gravity", tape.length(pit.vessel.station(x) if pit.upright is None else z),
            f"station; {tape.length(z)} off the floor{aside}" if pit.upright is None else "off the floor",
        ),
    )  # fmt: skip
    big = ByWidth(
        BigFigures(figures, across=2, size=7.0), BigFigures(figures, across=1, size=6.0), least=105.0 if aside else 85.0
    )
    if not lifting.slings:
        why = [f"{f.text} {f.remedy}" for f in lifting.findings if f.code == "lift.outside"]
        unslung = Notes(
            tuple(why)
            or ("Not slung: it has no lugs. A vessel on end is moved upright on forks, or laid down by a rigger.",),
            bold=bool(why),
        )
        ways: tuple[Block, ...] = (_forks(pit, report),) if lifting.forks else ()
        return (big, unslung, *ways, _tied_down(pit, report), Notes(report.cautions[:2], title="Cautions", bold=True))
    count = "Two" if lifting.on_shell else "Four"
    columns = (Column("sling", bold=True, wrap=True), Column("length", align="right", bold=True), Column("off level", align="right"),
               Column("pull", align="right"), Column("if only two carry", align="right", wrap=True))  # fmt: skip
    shown = len(columns) - (1 if lifting.on_shell else 0)
    slings = Table(
        columns[:shown],
        tuple(
            (k.lug, tape.length(k.length), tape.angle(k.angle), tape.force(k.tension), whole(tape.force(k.alone)))[:shown]
            for k in lifting.slings
        ),
        title=f"{count} slings that hang it level, hook over the weight",
    )  # fmt: skip
    notes = [
        f"Slings of {tape.length(lifting.rope[0])} wire rope or more, each good for {tape.force(lifting.rope[1])} straight.",
        f"With equal slings it would hang {tape.angle(abs(lifting.equal))} off level: tag each sling with its lug.",
    ]
    if lifting.on_shell:
        notes.append("Slings go to the lugs on the shell and nowhere else.")
    else:
        notes.append(
            f"Slings go under the rails at the leg sets, over a spreader {tape.length(lifting.spreader)} wide."
        )
    if pit.base.eyes:
        pull = report.reactions.get("dragged", {}).get("drag", 0.0)
        drag = f" Dragging takes about {tape.force(pull)} (friction 0.6), loaded." if pull else ""
        notes.append(f"The drag eyes are for dragging and tying down, not for lifting.{drag}")
    if lifting.shares is not None:
        notes.append(f"Forks in the pockets carry {lifting.shares[0]:.0%} and {lifting.shares[1]:.0%} of it.")
    blocks: list[Block] = [big, slings, Notes(tuple(notes))]
    if pit.lugs:
        blocks.append(_lugs(pit, report))
    if lifting.forks:
        blocks.append(_forks(pit, report))
    blocks.append(_tied_down(pit, report))
    blocks.append(Notes(report.cautions[:2], title="Cautions", bold=True))
    return tuple(blocks)


def _off_top(pit: Pit, clock: float) -> str:
    """How far a lug stands off the top line, by tape, and to which side."""
    around = pit.vessel.around_at(clock)
    if abs(around) < pit.tape.step / 2.0:
        return "on it"
    return f"{pit.tape.length(abs(around))} {'working side' if around > 0.0 else 'back'}"


def _lugs(pit: Pit, report: StandReport) -> Table:
    tape = pit.tape
    worst = {c.piece: c for c in report.checks}
    rows = []
    for lug in pit.lugs:
        check = worst.get(f"lug, {lug.name}")
        size = f"{tape.length(lug.width)} x {tape.length(lug.thickness)}, hole {tape.length(lug.hole_size)}, pin {tape.length(lug.pin)}"
        rows.append(
            (lug.name, tape.length(pit.vessel.station(lug.x)), _off_top(pit, lug.clock), size,
             f"{check.ratio:.2f} {check.name}" if check else "")
        )  # fmt: skip
    columns = (Column("lug", bold=True), Column("station", align="right"), Column("off the top line", align="right", wrap=True),
               Column("plate", wrap=True), Column("worst ratio", wrap=True))  # fmt: skip
    return Table(columns, tuple(rows), title="Lugs on the shell")


def _forks(pit: Pit, report: StandReport) -> Table:
    tape = pit.tape
    rows = []
    for way in report.lifting.forks:
        says = "yes" if way.fits else "no"
        rows.append(
            (way.way, tape.length(way.centre), tape.mass(way.capacity), f"{says}{', long forks' if way.long_forks else ''}",
             tape.length(way.reach), tape.angle(way.tilt, 0))
        )  # fmt: skip
    columns = (Column("forks", bold=True, wrap=True), Column("load centre", align="right", wrap=True),
               Column(f"a {tape.mass(USUAL_TRUCK.capacity)} truck takes there", align="right", wrap=True), Column("takes it?", wrap=True),
               Column("forks at least", align="right", wrap=True), Column("rolls off at", align="right", wrap=True))  # fmt: skip
    return Table(columns, tuple(rows), title="On forks, empty: read the truck's own plate")


def _tied_down(pit: Pit, report: StandReport) -> Notes:
    tape, ties = pit.tape, report.tie_downs
    size, grade = CHAIN
    return Notes(
        (
            f"Carried on a deck: at least {ties.count} tie-downs of {size} in grade {grade} chain, from the rails to the deck.",
            f"Their working load limits, halved, add up to {tape.mass(ties.aggregate)} or more; they hold {tape.force(ties.forward)} forward, "
            f"{tape.force(ties.rearward)} back and {tape.force(ties.sideways)} to either side (49 CFR 393.102 to 393.110).",
        ),
        title="Tied down",
    )
