"""The lists: what it weighs and where its weight lies, state by state; and every piece with its stock and size."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import partial

from pitwright.layout.model import Pit
from pitwright.masses import Balance, mass_of
from pitwright.parts import Bar, Bought, Head, Outline, Part, Plate, Shell
from pitwright.saw import saw_cut
from pitwright.sheets.blocks import BigFigure, BigFigures, Block, Notes
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, new_board, pit_sketch
from pitwright.sheets.views.eye import Eye, from_stack_end, from_working_side
from pitwright.sheets.views.spread import spread, want_list
from pitwright.sheets.views.stand import vessel_box
from pitwright.tape import range_text

WEIGHT_CODE, WEIGHT_TITLE = "WEIGHT", "Weights and balance"
PARTS_CODE, PARTS_TITLE = "PARTS", "Parts list"


def _weight(part: Part) -> float:
    return mass_of(part).mass * part.quantity


def group_weights(pit: Pit) -> list[tuple[str, int, float, float]]:
    """(group, pieces, weight, of which assumed) [kg], heaviest first; their sum is what the pieces weigh."""
    found: dict[str, list[Part]] = {}
    for part in pit.parts:
        found.setdefault(part.group, []).append(part)
    rows = [
        (
            group,
            sum(p.quantity for p in parts),
            sum(_weight(p) for p in parts),
            sum(_weight(p) for p in parts if p.assumed),
        )
        for group, parts in found.items()
    ]
    return sorted(rows, key=lambda row: -row[2])


# ---------------------------------------------------------------- weights


def weight_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Weights by group and by state, where the weight lies, and which weights are assumed."""
    tape, empty = pit.tape, pit.balance["empty"]
    board = partial(
        new_board,
        pit,
        paper,
        WEIGHT_CODE,
        WEIGHT_TITLE,
        key=("weight empty", tape.mass(empty.mass)),
        check=balance_check(pit),
    )
    views = [
        ("Where the weight lies, from the working side", balance_view(pit, from_working_side(pit.vessel.hand))),
        (
            "From the stack end" if pit.upright is None else "From the side away from the firebox",
            balance_view(pit, from_stack_end(pit.vessel.hand)),
        ),
    ]
    return spread(board, views, weight_blocks(pit))


WEIGHTS = SheetMaker(code=WEIGHT_CODE, title=WEIGHT_TITLE, whose="everyone", make=weight_sheets)


def balance_check(pit: Pit) -> tuple[str, str]:
    """The figure that proves where the weight lies: its station, or of a vessel on end its height."""
    x, _, z = pit.balance["empty"].centre
    if pit.upright is not None:
        return "centre of gravity, off the floor", pit.tape.length(z)
    return "centre of gravity, station", pit.tape.length(pit.vessel.station(x))


def balance_view(pit: Pit, eye: Eye) -> Drawing:
    """The pit in plain boxes with its centres of gravity; what it stands on is drawn heavy."""
    s = pit_sketch(pit)
    vessel, box, base = pit.vessel, pit.firebox, pit.base
    r, c = vessel.outer_radius, vessel.centre_z
    across = abs(eye.toward[0]) > 0.5
    tall = box.height / 2.0
    if across:
        if pit.upright is None:
            s.circle((0.0, c), r)
        else:
            s.rectangle(*vessel_box(pit, eye))
        if box.shape == "round":
            s.circle((0.0, box.centre_z), tall, "hidden")
        else:
            s.rectangle(-box.width / 2.0, box.centre_z - tall, box.width / 2.0, box.centre_z + tall, "hidden")
        out = base.rails_outside / 2.0
        for y0, y1 in ((-out, -out + base.rail.width), (out - base.rail.width, out)):
            s.rectangle(y0, base.rail_top - base.rail.height, y1, base.rail_top)
    else:
        if pit.upright is not None:
            s.rectangle(*vessel_box(pit, eye))
            for post in pit.upright.posts:
                s.line(eye.point((post.x, post.y, post.z0)), eye.point((post.x, post.y, post.z1)))
        lying = ((0.0, vessel.length, c - r, c + r),) if pit.upright is None else ()
        for x0, x1, z0, z1 in (*lying, (box.x0, box.x1, box.centre_z - tall, box.centre_z + tall),
                               (base.rail_x0, base.rail_x1, base.rail_top - base.rail.height, base.rail_top)):  # fmt: skip
            s.rectangle(*eye.point((x0, 0.0, z0)), *eye.point((x1, 0.0, z1)))
    for leg in (leg for leg_set in pit.leg_sets for leg in leg_set.legs):
        clock = (math.pi - leg.contact) * (1.0 if leg.side == "working" else -1.0)
        s.line(eye.point((leg.x, leg.foot_y, leg.foot_z)), eye.point(vessel.skin(leg.x, clock)))
    x0, _, x1, _ = s.bounds()
    s.line((x0, 0.0), (x1, 0.0), "ground")
    shown: dict[tuple[float, float], list[str]] = {}
    for state in ("empty", "loaded", "loaded, all out"):
        p = eye.point(pit.balance[state].centre)
        shown.setdefault((round(p[0], 3), round(p[1], 3)), []).append(state)
    for spot, names in shown.items():
        s.symbol(spot, "gravity", size=4.0)
        s.callout(spot, "\n".join(names), toward=1.0 if "empty" in names else 2.2)
    middle = eye.point(pit.balance["empty"].centre)
    s.dim((middle[0], 0.0), middle, "right" if across else "left")
    if not across and pit.upright is None:
        s.dim(eye.point((vessel.x_at(0.0), 0.0, 0.0)), (middle[0], 0.0), "below")
    elif not across:
        s.dim((0.0, 0.0), (middle[0], 0.0), "below")
    return s.drawing()


def weight_blocks(pit: Pit) -> tuple[Block, ...]:
    """Figures, groups, states, and what is assumed."""
    tape, reason = pit.tape, pit.reasons["weight.empty"]
    empty, loaded = pit.balance["empty"], pit.balance["loaded"]
    band = "by scale ticket" if reason.band is None else range_text(*reason.band, tape.mass)
    big = BigFigures(
        (
            BigFigure("empty", tape.mass(empty.mass), band, "weight.empty"),
            BigFigure("loaded", tape.mass(loaded.mass), "with its meat on"),
        ),
        across=2,
        size=7.0,
    )
    return (big, _states(pit), _groups(pit), *_assumed(pit), _check(pit), _weight_notes(pit))


def _states(pit: Pit) -> Table:
    tape, vessel = pit.tape, pit.vessel

    def side(b: Balance) -> str:
        y = b.centre[1]
        return tape.length(abs(y)) + ("" if abs(y) < tape.step / 2.0 else " work" if y > 0.0 else " back")

    columns = (
        Column("state", wrap=True, bold=True),
        Column("weight", align="right", bold=True),
        Column("station" if pit.upright is None else "to the firebox", align="right", wrap=pit.upright is not None),
        Column("off the floor", align="right", wrap=True),
        Column("off the middle", align="right", wrap=True),
    )
    rows = tuple(
        (
            state,
            tape.mass(pit.balance[state].mass),
            tape.length(
                vessel.station(pit.balance[state].centre[0]) if pit.upright is None else -pit.balance[state].centre[0]
            ),
            tape.length(pit.balance[state].centre[2]),
            side(pit.balance[state]),
        )
        for state in pit.balance
    )
    return Table(columns, rows, title="Centre of gravity by state")


def _groups(pit: Pit) -> Table:
    tape = pit.tape
    groups = group_weights(pit)
    pieces, assumed = sum(g[2] for g in groups), sum(g[3] for g in groups)
    rows = [(name, str(count), tape.mass(mass), tape.mass(part) if part else "–") for name, count, mass, part in groups]
    rows.append(("all pieces", str(sum(g[1] for g in groups)), tape.mass(pieces), tape.mass(assumed)))
    over = pit.balance["empty"].mass - pieces
    ticket = pit.job.measured.weight is not None
    rows.append(
        (
            "to the scale ticket" if ticket else "weld, scale and paint",
            "",
            tape.mass(over),
            "" if ticket else tape.mass(over),
        )
    )
    columns = (
        Column("group", bold=True),
        Column("pieces", align="right"),
        Column("weight", align="right", bold=True),
        Column("of which assumed", align="right", wrap=True),
    )
    return Table(columns, tuple(rows), title="Weight by group", rules=(len(groups),))


def _assumed(pit: Pit) -> tuple[Block, ...]:
    tape = pit.tape
    rows = tuple(
        (p.mark, p.name, str(p.quantity), tape.mass(mass_of(p).mass), "") for p in pit.parts if p.assumed
    )  # fmt: skip
    if not rows:
        return ()
    columns = (
        Column("mark", bold=True),
        Column("piece", wrap=True),
        Column("off", align="right"),
        Column("each, assumed", align="right", wrap=True, least=17.0),
        Column("got", blank=True),
    )
    return (Table(columns, rows, title="Assumed weights: weigh them"),)


def _check(pit: Pit) -> Block:
    tape, vessel, empty = pit.tape, pit.vessel, pit.balance["empty"]
    wants = [
        ("scale ticket, empty", tape.mass(empty.mass)),
        ("balances at station", tape.length(vessel.station(empty.centre[0])))
        if pit.upright is None
        else ("balances, off the middle to the firebox", tape.length(-empty.centre[0])),
    ]
    if len(pit.base.pockets) == 2:
        low, high = sorted(vessel.station(x) for x in pit.base.pockets)
        off = vessel.station(empty.centre[0]) - (low + high) / 2.0
        wants += [
            ("fork pockets at stations", f"{tape.length(low)} and {tape.length(high)}"),
            ("weight off the middle of the pockets", tape.length(abs(off))),
        ]
    return want_list("Weigh and balance it", wants)


def _weight_notes(pit: Pit) -> Notes:
    heavy = sorted({p.name for p in pit.parts if not p.assumed and mass_of(p).mass > 23.0})
    lines = [
        "Weights come from the true shapes; a computed weight is good to a few parts in a hundred. Weigh every finished pit.",
        "Forks and slings go either side of the station above, never by guess."
        if pit.upright is None
        else "It is tall: forks under the base with the mast close, strapped to it, never slung from the base.",
    ]
    if heavy:
        lines.append(f"Two people or a hoist (over {pit.tape.mass(23.0)} each): " + ", ".join(heavy) + ".")
    return Notes(tuple(lines), title="Notes")


# ---------------------------------------------------------------- parts


def parts_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Every piece once, with its copies."""
    total = sum(p.quantity for p in pit.parts)
    board = partial(
        new_board,
        pit,
        paper,
        PARTS_CODE,
        PARTS_TITLE,
        key=("pieces in all", str(total)),
        check=("all pieces together", pit.tape.mass(sum(_weight(p) for p in pit.parts))),
    )
    return spread(board, (), (parts_table(pit),), columns=1)


PARTS = SheetMaker(code=PARTS_CODE, title=PARTS_TITLE, whose="everyone", make=parts_sheets)


def parts_table(pit: Pit) -> Table:
    """Mark, how many, what, stock, size, weights and how far the shop has got; groups parted by a heavier rule."""
    tape = pit.tape
    ordered = [p for group in dict.fromkeys(q.group for q in pit.parts) for p in pit.parts if p.group == group]
    rows = tuple(
        (p.mark, copies(p), p.name, p.stock, size_text(pit, p), tape.mass(mass_of(p).mass) + ("*" if p.assumed else ""),
         tape.mass(_weight(p)), p.state)
        for p in ordered
    )  # fmt: skip
    columns = (
        Column("mark", bold=True),
        Column("off", align="right", wrap=True),
        Column("piece", wrap=True),
        Column("stock", wrap=True),
        Column("size", wrap=True),
        Column("each", align="right"),
        Column("all", align="right"),
        Column("state"),
    )
    starts = tuple(i for i in range(1, len(ordered)) if ordered[i].group != ordered[i - 1].group)
    return Table(columns, rows, title="Every piece (* weight assumed)", rules=starts)


def copies(part: Part) -> str:
    """How many, and how many of them turned over left for right."""
    drawn, mirrored = part.handed
    return f"{drawn} + {mirrored} mirrored" if mirrored and drawn else str(part.quantity)


def size_text(pit: Pit, part: Part) -> str:
    """The size a piece is bought or cut to, in a few figures; not of the vessel while its make-safe record is open."""
    tape, shape = pit.tape, part.shape
    if part.stock == "of the vessel" and not pit.cleared:
        return "held back"
    if isinstance(shape, Bar):
        return f"{tape.length(saw_cut(shape).long_point)} long point"
    if isinstance(shape, Plate):
        return f"{_across(pit, shape.outline)} x {tape.decimal(shape.thickness)}"
    if isinstance(shape, Shell):
        arc = shape.outer_radius * (shape.clock1 - shape.clock0)
        return f"{tape.length(shape.length)} x {tape.length(arc)} round, {tape.decimal(shape.wall)} thick"
    if isinstance(shape, Head):
        return f"Ø {tape.length(2.0 * shape.outer_radius)}, {tape.length(shape.depth)} deep, {tape.decimal(shape.wall)} thick"
    assert isinstance(shape, Bought)
    return "as bought"


def _across(pit: Pit, outline: Outline) -> str:
    x0, y0, x1, y1 = outline.bounds()
    sizes: Iterable[float] = sorted((x1 - x0, y1 - y0), reverse=True)
    return " x ".join(pit.tape.length(v) for v in sizes)
