"""Sheets of a vessel on end: its round grates, its square base with posts, its stack."""

from __future__ import annotations

import math
from functools import partial

from pitwright.layout.grates import MESH, PANEL_GAP
from pitwright.layout.model import Pit
from pitwright.layout.upright_inside import BEARERS, LEDGE_THICK, RING_DEEP
from pitwright.masses import mass_of
from pitwright.parts import Bar, Outline, Plate, Point2, Shell
from pitwright.saw import saw_cut
from pitwright.sheets.blocks import Block, Notes
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, known, new_board, pit_sketch
from pitwright.sheets.views.spread import spread, want_list
from pitwright.sheets.views.upright_wants import of, widths

CURVE = 64


def piece_table(pit: Pit, title: str, names: tuple[str, ...], groups: tuple[str, ...]) -> Table:
    """Pieces of some groups whose names begin so: mark, count, stock, size, weight."""
    tape = pit.tape
    rows = []
    for part in pit.parts:
        if part.group not in groups or not (part.name.startswith(names) or not names):
            continue
        size = "bought"
        shape = part.shape
        if isinstance(shape, Bar):
            size = tape.length(saw_cut(shape).long_point)
        elif isinstance(shape, Shell):
            size = f"{tape.length(shape.outer_radius * (shape.clock1 - shape.clock0))} round"
        elif isinstance(shape, Plate):
            x0, y0, x1, y1 = shape.outline.bounds()
            size = f"{tape.length(x1 - x0)} x {tape.length(y1 - y0)}"
        rows.append((part.mark, part.name, str(part.quantity), part.stock, size, tape.mass(mass_of(part).mass)))
    columns = (
        Column("mark", bold=True),
        Column("piece", wrap=True),
        Column("no.", align="right"),
        Column("from", wrap=True),
        Column("size", wrap=True),
        Column("each", align="right"),
    )
    return Table(columns, tuple(rows), title=title)


# ---------------------------------------------------------------- grates


def grate_plan(pit: Pit) -> Drawing:
    """One grate from above on its ledges, front at the foot of the paper; the door's opening and the plate under it."""
    s, vessel, own, tape = pit_sketch(pit), pit.vessel, of(pit), pit.tape
    grate, inner, way = own.grates[0], vessel.inner_radius, -float(vessel.hand)

    def at(radius: float, clock: float) -> Point2:
        return (way * radius * math.sin(clock), -radius * math.cos(clock))

    for middle, half in own.ledges:
        ring = [at(inner, middle - half + 2.0 * half * i / CURVE) for i in range(CURVE + 1)]
        ring += [at(inner - own.ledge_in, middle + half - 2.0 * half * i / CURVE) for i in range(CURVE + 1)]
        s.fill(Outline.polygon(tuple(ring)), 0.18, title="ledge")
        s.lines(ring, "thin", closed=True, title="ledge")
    s.circle((0.0, 0.0), vessel.outer_radius)
    s.circle((0.0, 0.0), inner, "thin")
    s.circle((0.0, 0.0), grate.diameter / 2.0, title=grate.name)
    if grate.halves == 2:
        r = grate.diameter / 2.0
        for y in (-PANEL_GAP / 2.0, PANEL_GAP / 2.0):
            a = math.sqrt(r * r - y * y)
            s.line((-a, y), (a, y), title="parting line")
        s.callout((-0.3 * r, 0.0), f"parting line, {tape.fine(PANEL_GAP)} apart", toward=math.pi / 2.0 + 0.4)
    if own.spreader is not None:
        s.circle((0.0, 0.0), own.spreader.diameter / 2.0, "hidden", title=own.spreader.kind)
        s.callout((own.spreader.diameter / 2.0 * 0.7, own.spreader.diameter / 2.0 * 0.714), f"{own.spreader.kind} under it",
                  toward=0.8)  # fmt: skip
    door = pit.doors[0]
    ends = sorted((door.hinge_clock, door.edge_clock))
    s.lines(
        [at(vessel.outer_radius, ends[0] + (ends[1] - ends[0]) * i / CURVE) for i in range(CURVE + 1)],
        "cut",
        title="door",
    )
    s.callout(at(vessel.outer_radius, 0.0), "door, front", toward=-math.pi / 2.0)
    s.callout(at(vessel.outer_radius, -math.pi / 2.0), "firebox side", toward=0.0 if way < 0 else math.pi)
    side, back = own.ledges[0], own.ledges[1]
    for clock, text in (
        (side[0] - side[1], f"ledge from {tape.angle(side[0] - side[1], 0)}"),
        (side[0] + side[1], f"to {tape.angle(side[0] + side[1], 0)} round from the front"),
        (back[0], f"back ledge, {tape.angle(2.0 * back[1], 0)} of the round"),
    ):
        s.callout(
            at(inner - own.ledge_in / 2.0, clock), text, toward=math.atan2(-math.cos(clock), way * math.sin(clock))
        )
    s.dim_diameter((0.0, 0.0), grate.diameter / 2.0, math.radians(200.0), about=known(pit, "grates.diameter"))
    return s.drawing()


def grate_pages(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Grates, ledges and the plate over the window."""
    own, tape, vessel = of(pit), pit.tape, pit.vessel
    board = partial(
        new_board, pit, paper, "GRATES", "Round grates, ledges, plate over the window",
        key=("over the round", tape.length(own.grates[0].diameter)),
        check=("wall to wall inside", tape.length(2.0 * vessel.inner_radius)),
    )  # fmt: skip
    deep = MESH + RING_DEEP
    rows = tuple(
        (g.name, tape.length(g.z), tape.length(g.x), tape.length(g.x - deep), "", tape.area(level.area),
         tape.mass(level.area * pit.job.proportions.grates.meat_per_area))
        for g, level in zip(own.grates, pit.grates.levels, strict=True)
    )  # fmt: skip
    levels = Table(
        (
            Column("grate", bold=True),
            Column("off the floor", align="right", bold=True, wrap=True),
            Column("over the bottom seam", align="right", wrap=True),
            Column("ledge top over the seam", align="right", bold=True, wrap=True),
            Column("got", blank=True),
            Column("area", align="right"),
            Column("meat, about", align="right", wrap=True),
        ),
        rows,
        title="Levels",
    )
    blocks: list[Block] = [levels]
    if own.spreader is not None:
        sp = own.spreader
        blocks.append(
            want_list(
                f"{sp.kind.capitalize()} over the window",
                (
                    ("its top off the floor", tape.length(sp.z)),
                    ("over the round", tape.length(sp.diameter)),
                    ("open round it", tape.small_area(sp.passage)),
                    ("bearers under it, even round the wall", str(BEARERS)),
                ),
            )
        )
    notes = [
        f"Ledges are {tape.length(own.ledge_in)} wide by {tape.decimal(LEDGE_THICK)} plate, three pieces a level, none across the door.",
        "Each half rests on the side ledges, the parting line lying on both; the back half on the back ledge too.",
        "Cold clearance and growth are in the diameter: do not roll the rings to the wall.",
        "Every grate lifts out through the door, half by half. Nothing slides.",
        "Meat a grate takes: common practice, no source.",
    ]
    blocks += [
        piece_table(pit, "Pieces", (), ("grates",)),
        Notes(tuple(notes), title="Mind"),
    ]
    return spread(board, [("A grate from above, front at the foot", grate_plan(pit))], blocks)


GRATES = SheetMaker(code="GRATES", title="Round grates", whose="base and legs", make=grate_pages)


# ---------------------------------------------------------------- base and posts


def base_plan(pit: Pit) -> Drawing:
    """The base from above, front at the foot of the paper, with the posts and the round of the shell."""
    s, own, base, tape = pit_sketch(pit), of(pit), pit.base, pit.tape
    way, half, w = -float(pit.vessel.hand), own.square / 2.0, base.rail.width
    for y0, y1 in ((-half, -half + w), (half - w, half)):
        s.rectangle(-half, y0, half, y1, title="rail")
    inside = half - w
    for i, cross in enumerate(base.crosses):
        wide = base.rail.width if i in (0, len(base.crosses) - 1) else base.cross.width
        s.rectangle(way * cross.x - wide / 2.0, -inside, way * cross.x + wide / 2.0, inside, title=cross.under)
    s.circle((0.0, 0.0), pit.vessel.outer_radius, "hidden", title="round of the shell")
    s.centre_lines((0.0, 0.0), pit.vessel.outer_radius, over=0.05)
    for post in own.posts:
        c, n = math.cos(post.clock), math.sin(post.clock)
        a, b = own.post.width / 2.0, own.post.height / 2.0
        corners = [
            (way * (post.x + u * c + v * n), -(post.y - u * n + v * c)) for u, v in ((-a, -b), (a, -b), (a, b), (-a, b))
        ]
        s.lines(corners, "cut", closed=True, title="post")
        s.symbol((way * post.x, -post.y), "centre", size=2.0)
    s.dim((-half, -half), (half, -half), "below", about=known(pit, "base.square"))
    s.dim((half, -half), (half, half), "right", about=known(pit, "base.square"))
    front, mate = own.posts[0], own.posts[2]
    s.dim((-abs(front.x), -front.y), (abs(mate.x), -mate.y), "below")
    s.dim((-abs(front.x), -front.y), (-abs(front.x), front.y), "left")
    s.line((-half, -half), (half, half), "thin")
    s.dim_aligned((-half, half), (half, -half), tape.fine(own.diagonal), gap=0.0)
    s.callout(
        (way * front.x, -front.y),
        f"post turned {tape.angle(front.clock)}:\nface flat to the middle",
        toward=-2.4 if way * front.x < 0 else -0.7,
    )
    fire = way * -half
    s.callout((fire, 0.0), "firebox side", toward=0.0 if fire > 0 else math.pi)
    return s.drawing()


def base_pages(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Base on the table, posts on it."""
    own, tape, base = of(pit), pit.tape, pit.base
    board = partial(
        new_board, pit, paper, "BASE", "Square base and posts", key=("over the outside, both ways", tape.length(own.square)),
        check=("corner to corner, both ways", tape.fine(own.diagonal)),
    )  # fmt: skip
    post = own.posts[0]
    marks = [m for m in pit.marks if m.on == "rails"]
    along = want_list("Along each rail, from its far-side end", tuple((m.what, tape.length(m.along)) for m in marks))
    posts = want_list(
        "Posts",
        (
            ("length, square both ends", tape.length(post.z1 - post.z0)),
            ("up the shell past the bottom seam", tape.length(post.z1 - pit.vessel.seam_z)),
            ("round from front and back, each", tape.angle(post.clock)),
            *((w.what, tape.length(w.value)) for w in widths(pit)[:3]),
            ("rail top off the floor", tape.length(base.rail_top)),
            ("bottom seam off the floor", tape.length(pit.vessel.seam_z)),
        ),
    )
    notes = Notes(
        (
            "Leg rules do not apply: no lean, no leg cut, no spreading. Four posts alike, plumb, a face flat against the shell.",
            "Square the base by its diagonals; try for winding with two straight edges before it is welded.",
            "Tack each post on three sides, check face to face across the middle, then lower the vessel between them.",
            "Weld post to shell down both edges of the face, corner to corner, only when seam and front line are level and plumb.",
        ),
        title="Mind",
    )
    pieces = piece_table(
        pit, "Pieces", ("rail", "end rail", "cross member", "post", "foot plate", "base caster"), ("base", "legs")
    )
    return spread(board, [("Base from above, front at the foot", base_plan(pit))], (along, posts, pieces, notes))


BASE = SheetMaker(code="BASE", title="Square base and posts", whose="base and legs", make=base_pages)


# ---------------------------------------------------------------- stack


def stack_view(pit: Pit) -> Drawing:
    """The stack and the top it stands on, cut along the middle, from the firebox's side."""
    s, vessel, stack = pit_sketch(pit), pit.vessel, pit.stack
    r, bore, radius = stack.profile.height / 2.0, stack.profile.height / 2.0 - stack.profile.wall, vessel.outer_radius
    top_seam = vessel.seam_z + vessel.length
    way = float(vessel.hand)  # seen from the firebox's side the front is on the left of a right-hand pit
    x = -way * stack.y
    if stack.place == "head":
        for side in (-1.0, 1.0):
            s.rectangle(side * bore, stack.base_z, side * r, stack.top_z, title="stack")
        s.line((0.0, top_seam), (0.0, stack.top_z + 0.05), "centre")
        s.dim((r, stack.base_z), (r, stack.top_z), "right", about=known(pit, "stack.length"))
    else:
        run = math.copysign(radius, x)
        z = stack.base_z
        for off in (-r, -bore, bore, r):
            wall = x - math.copysign(1.0, x) * off
            s.line((run, z + off), (wall, z + off), title="stub")
            s.line((wall, z + off), (wall, stack.top_z), title="riser")
        s.line((run, z), (x, z), "centre")
        s.line((x, z), (x, stack.top_z + 0.05), "centre")
        s.dim((run, z - r), (x, z - r), "below")
        s.dim((x, z), (x, stack.top_z), "right" if x > 0.0 else "left")
    s.line((-radius, top_seam - 0.3), (-radius, top_seam), title="shell")
    s.line((radius, top_seam - 0.3), (radius, top_seam), title="shell")
    s.line((-radius, top_seam), (radius, top_seam), "thin", title="top seam")
    head = vessel.stack_head
    deep = stack.base_z - top_seam if stack.place == "head" else (0.0 if head is None else head.flange + head.depth)
    if head is not None and head.kind != "flat":
        points = [
            (radius * math.cos(math.pi * i / CURVE), top_seam + deep * math.sin(math.pi * i / CURVE))
            for i in range(CURVE + 1)
        ]
        s.lines(points, title="top")
    else:
        s.rectangle(-radius, top_seam, radius, top_seam + max(deep, vessel.wall), title="top")
    s.dim((-radius, top_seam - 0.3), (radius, top_seam - 0.3), "below", about=known(pit, "vessel.diameter"))
    s.dim_diameter((x, stack.top_z), r, 0.6)
    return s.drawing()


def stack_pages(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """The stack: out of the top, or out of the back."""
    tape, stack = pit.tape, pit.stack
    board = partial(
        new_board, pit, paper, "STACK", "Stack", key=("pipe", stack.profile.designation),
        check=("top of the stack off the floor", tape.length(stack.top_z)),
    )  # fmt: skip
    rows = [
        ("pipe", stack.profile.designation),
        ("top of the stack off the floor", tape.length(stack.top_z)),
        ("bore", tape.length(2.0 * (stack.profile.height / 2.0 - stack.profile.wall))),
        ("open area", tape.small_area(stack.inside_area)),
        ("plumb both ways over its length", "0"),
    ]
    if stack.place == "head":
        rows.insert(1, ("pipe length", tape.length(stack.length)))
        how = "Set the pipe on the middle of the top, plumb, and scribe its inside: that is the hole. Never larger than the bore."
    else:
        rows.insert(1, ("riser, long point of the mitre to the top", tape.length(stack.length)))
        rows.insert(2, ("stub's middle over the bottom seam", tape.length(stack.base_z - pit.vessel.seam_z)))
        how = "Cope the stub by its wrap, lay it level on the back line, scribe its inside: that is the hole."
    blocks: list[Block] = [want_list("Stack", tuple(rows))]
    if stack.ordinates:
        ords = Table(
            (Column("step", align="right"), Column("tape round", align="right"), Column("off the square line", align="right", bold=True),
             Column("got", blank=True)),
            tuple((str(i), tape.length(i * stack.step), tape.fine(o), "") for i, o in enumerate(stack.ordinates)),
            title="Cope of the stub, 16 steps round the pipe",
        )  # fmt: skip
        blocks.append(ords)
    notes = [
        how,
        "Damper: never shut it full; smoke and carbon monoxide come out of every gap.",
        "Cap open before lighting. The pipe burns skin and dry grass: keep 18 in clear of anything that burns; local codes govern.",
    ]
    blocks += [piece_table(pit, "Pieces", (), ("stack",)), Notes(tuple(notes), title="Mind")]
    return spread(board, [("Along the middle, from the firebox's side", stack_view(pit))], blocks)


STACK = SheetMaker(code="STACK", title="Stack", whose="vessel and doors", make=stack_pages)
