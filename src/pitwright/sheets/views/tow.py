"""The towing sheet: tongue weight and its range, where the axle is, ratings to buy, chains and lights, what road law asks."""

from __future__ import annotations

import math
from functools import partial

from pitwright.layout.model import Pit
from pitwright.sheets.blocks import BigFigure, BigFigures, Block, Notes, Pairs
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, new_board, pit_sketch, whole
from pitwright.sheets.views.eye import Eye, from_working_side
from pitwright.sheets.views.spread import spread
from pitwright.strength.pit_road import Towing
from pitwright.strength.standing import StandReport, stand
from pitwright.tape import STANDARD_GRAVITY

CODE, TITLE = "TOW", "How it tows"

LAW = (
    "Road law differs by place: weight, width, brakes, lights, plates, inspection and insurance are the owner's duty to ask "
    "about before the first mile. A licensed engineer looks at any trailer for the road.",
)
CHECKLIST = (
    "coupler on its ball, latched and pinned; ball of the size stamped on the coupler",
    "two safety chains, crossed under the tongue, each as strong as the whole trailer",
    "breakaway cable and battery where there are brakes",
    "tail, stop and turn lights, side markers, reflectors, plate light: tried",
    "tyres cold at their stated pressure, wheel nuts to torque, again after 50 miles",
    "brakes tried at a walk",
    "fire out and cold, ash out, damper and inlets shut",
    "doors latched, slides pinned, stack cap tied, nothing loose",
    "tongue weighed on a scale as it is loaded today",
)


def tow_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """The trailer's figures; none of a pit that is not towed. Out of 8 to 18 % it gives no axle place to build to."""
    report = stand(pit)
    towing = report.towing
    if towing is None:
        return ()
    low, high = (f(t.share for t in towing.states) for f in (min, max))
    board = partial(
        new_board, pit, paper, CODE, TITLE,
        key=("tongue", f"{low:.1%} to {high:.1%}"),
        check=("coupler to axle", pit.tape.length(towing.place) if towing.fit else "none: see the tongue"),
    )  # fmt: skip
    views = [("Towed, level", tow_view(pit, towing, from_working_side(pit.vessel.hand)))]
    return spread(board, views, tow_blocks(pit, report, towing))


TOW = SheetMaker(code=CODE, title=TITLE, whose="everyone", make=tow_sheets)


def tow_view(pit: Pit, towing: Towing, eye: Eye) -> Drawing:
    """Side view: frame, tongue, wheels, where the weight lies empty, and where the wood goes."""
    s = pit_sketch(pit)
    base, vessel, box = pit.base, pit.vessel, pit.firebox
    assert base.tongue is not None
    r, c = vessel.outer_radius, vessel.centre_z
    s.rectangle(*eye.point((0.0, 0.0, c - r)), *eye.point((vessel.length, 0.0, c + r)), role="thin")
    half = box.height / 2.0
    s.rectangle(
        *eye.point((box.x0, 0.0, box.centre_z - half)), *eye.point((box.x1, 0.0, box.centre_z + half)), role="thin"
    )
    low = base.rail_top - base.rail.height
    s.rectangle(*eye.point((base.rail_x0, 0.0, low)), *eye.point((base.rail_x1, 0.0, base.rail_top)))
    coupler = eye.point(base.tongue.coupler)
    for root in base.tongue.roots:
        if root[1] >= 0.0:
            s.line(eye.point(root), coupler, "outline")
    for axle in base.axles:
        s.circle(eye.point((axle.x, 0.0, axle.radius)), axle.radius)
    x0, _, x1, _ = s.bounds()
    s.line((x0, 0.0), (x1, 0.0), "ground")
    s.symbol(eye.point(pit.balance["empty"].centre), "gravity", size=4.0)
    if towing.wood_at is not None:
        a, b = (eye.point((x, 0.0, base.rail_top + 0.04)) for x in towing.wood_at)
        s.line(a, b, "accent")
        s.callout(((a[0] + b[0]) / 2.0, a[1]), "wood here", toward=math.pi / 3.0)
    s.callout(coupler, "coupler", toward=math.pi / 2.0)
    if towing.fit:
        middle = sum(a.x for a in base.axles) / len(base.axles)
        s.dim((coupler[0], 0.0), eye.point((middle, 0.0, 0.0)), "below")
        s.dim(eye.point((pit.balance["empty"].centre[0], 0.0, 0.0)), eye.point((middle, 0.0, 0.0)), "below")
    s.dim((coupler[0], 0.0), coupler, "left" if coupler[0] < eye.point((middle_of(pit), 0.0, 0.0))[0] else "right")
    return s.drawing()


def middle_of(pit: Pit) -> float:
    """Middle of the vessel along the pit [m]."""
    return pit.vessel.length / 2.0


def tow_blocks(pit: Pit, report: StandReport, towing: Towing) -> tuple[Block, ...]:
    """Tongue range, ratings, axle place, wood, checklist, cautions."""
    tape = pit.tape
    shares = [t.share for t in towing.states]
    wrong = not towing.fit
    blocks: list[Block] = [
        BigFigures(
            (
                BigFigure("tongue, least and most", f"{min(shares):.1%} to {max(shares):.1%}", "10 to 15 % wanted", role="wrong" if wrong else "dimension"),
                BigFigure("gross, heaviest", tape.mass(max(t.mass for t in towing.states)), "everything aboard"),
            ),
            across=2, size=7.0,
        )
    ]  # fmt: skip
    if wrong:
        blocks.append(
            Notes(
                ("NOT FIT TO TOW. No frame figures are given below 8 % or over 18 % at the tongue: it sways, or it overloads "
                 "the hitch. Mend this first, then draw the sheet again.",
                 *dict.fromkeys(f.text for f in towing.findings if f.code == "tow.tongue"), *dict.fromkeys(f.remedy for f in towing.findings if f.code == "tow.tongue")),
                title="Stop", bold=True,
            )
        )  # fmt: skip
    blocks.append(
        Table(
            (Column("state", bold=True, wrap=True), Column("gross", align="right"), Column("tongue", align="right"),
             Column("share", align="right", bold=True), Column("on the axles", align="right", wrap=True),
             Column("got, on a scale", blank=True, wrap=True)),
            tuple((t.state, tape.mass(t.mass), tape.mass(t.tongue), f"{t.share:.1%}", whole(tape.mass(t.axle)), "") for t in towing.states),
            title="Tongue weight in every state",
        )
    )  # fmt: skip
    if towing.fit:
        blocks.append(_ratings(pit, towing))
        blocks.append(_place(pit, towing))
    blocks.append(Notes(CHECKLIST, title="Before every mile", numbered=True))
    blocks.append(Notes((*report.cautions[-1:], *LAW), title="Cautions", bold=True))
    return tuple(blocks)


def _ratings(pit: Pit, towing: Towing) -> Table:
    tape, need, base = pit.tape, towing.needed, pit.base
    assert base.tongue is not None
    given = (
        min(a.axle_rating for a in base.axles) / STANDARD_GRAVITY, min(a.tyre_rating for a in base.axles) / STANDARD_GRAVITY, base.tongue.rating / STANDARD_GRAVITY, 0.0, 0.0,
    )  # fmt: skip
    name = f"coupler, class {need.coupler_class}" if need.coupler_class else "coupler: none of the usual classes"
    rows = tuple(
        (what, tape.mass(wanted), tape.mass(has) if has else "not stated", "")
        for (what, wanted), has in zip(
            (("each axle", need.axle), ("each tyre", need.tyre), (name, need.coupler), ("tongue jack", need.jack),
             ("each safety chain, breaking", towing.chains)),
            given, strict=True,
        )
    )  # fmt: skip
    columns = (Column("buy", bold=True, wrap=True), Column("rated at least", align="right", wrap=True),
               Column("bought", align="right"), Column("got, off its plate", blank=True, wrap=True))  # fmt: skip
    return Table(columns, rows, title="Ratings, 15 % over the heaviest state")


def _place(pit: Pit, towing: Towing) -> Pairs:
    tape, vessel = pit.tape, pit.vessel
    first, last = towing.window
    window = (
        f"{tape.length(first)} to {tape.length(last)}" if first <= last else "no place keeps all states in 10 to 15 %"
    )
    rows = [
        ("coupler to axle (middle of two)", tape.length(towing.place)),
        ("it may lie from the coupler", window),
        ("turns over in a bend at", f"{towing.roll:.2f} g"),
        (f"wood, {tape.mass(towing.wood)}, between stations",
         " and ".join(tape.length(vessel.station(x)) for x in towing.wood_at) if towing.wood_at else "nowhere: leave it at home"),
    ]  # fmt: skip
    return Pairs(tuple(rows), title="Axle and load")
