"""The door sheets of a vessel on end: what to strike, in which order to cut, how the tall door swings on its plumb pins."""

from __future__ import annotations

import math
from functools import partial

from pitwright.layout.marks import skin_around
from pitwright.layout.model import DoorLayout, Pit
from pitwright.layout.upright_place import turned_open
from pitwright.masses import mass_of
from pitwright.parts import Bar, Point2, Shell
from pitwright.sheets.blocks import BigFigure, BigFigures, Block, Notes
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, known, new_board, pit_sketch
from pitwright.sheets.views.spread import spread, verdicts, want_list, withheld
from pitwright.sheets.views.upright_wants import of

CODE, TITLE = "DOORS", "Door"
CURVE = 40


def door_pages(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Marks and cutting, then swing and weight."""
    tape, door, own = pit.tape, pit.doors[0], of(pit)
    pages: tuple[Page, ...] = ()
    if pit.cleared:
        cut = partial(
            new_board, pit, paper, CODE, "Door: marks and cutting",
            check=("wrap diagonal on the skin, both ways", tape.fine(door.diagonal)),
            key=("round the skin, hinge edge to latch edge", tape.length(door.arc)),
        )  # fmt: skip
        pages += spread(cut, [("Door laid flat, seen from outside", flat_door(pit))], _cutting(pit))
    else:
        cut = partial(new_board, pit, paper, CODE, "Door: cut order and pieces")
        held = withheld(pit, "Door edges, sizes on the skin and diagonals")
        pages += spread(cut, (), (*held, _cut_order(pit), _pieces(pit, door)))
    swing = partial(
        new_board, pit, paper, CODE, "Door: swing and weight", key=("weight of the door", tape.mass(door.weight)),
        check=("pins to handle", tape.length(door.handle_radius)),
    )  # fmt: skip
    view = ("Swing, seen from above", swing_plan(pit))
    return (*pages, *spread(swing, [view], (*verdicts(pit, {p.mark for p in pit.parts if p.moving == door.name}),
                                            *_swing(pit, door, own.door.lean_pull))))  # fmt: skip


DOORS = SheetMaker(code=CODE, title=TITLE, whose="vessel and doors", make=door_pages)


def _u(pit: Pit, around: float) -> float:
    """Where an around lies on the paper, seen from outside: away from the firebox is to the left on a right-hand pit."""
    return -pit.vessel.hand * around


def flat_door(pit: Pit) -> Drawing:
    """The opening on the skin laid flat, upright as it stands: hinges, strongbacks, latches."""
    s, vessel, tape, door, own = pit_sketch(pit), pit.vessel, pit.tape, pit.doors[0], of(pit)
    lap = pit.job.proportions.doors.band_overlap
    hinge, edge = (_u(pit, vessel.around_at(c)) for c in (door.hinge_clock, door.edge_clock))
    left, right = sorted((hinge, edge))
    out = math.copysign(1.0, edge - hinge)
    band = sorted((hinge, edge + out * lap))
    s.rectangle(band[0], door.x0 - lap, band[1], door.x1 + lap, "thin", title="outside of the bands")
    s.rectangle(left, door.x0, right, door.x1, "cut")
    for clock in own.door.strongbacks:
        u = _u(pit, vessel.around_at(clock))
        s.line((u, door.x0 - 2.0 * lap), (u, door.x1 + 2.0 * lap), "hidden", title="strongback")
    top = _u(pit, vessel.around_at(own.door.strongbacks[0]))
    s.callout((top, door.x1 + 2.0 * lap), f"{len(own.door.strongbacks)} strongbacks, upright", toward=math.pi / 2.0)
    for i, x in enumerate(own.door.hinge_x, start=1):
        s.symbol((hinge, x), "punch", size=3.0, title=f"hinge {i}")
        s.callout((hinge, x), f"hinge {i}: {tape.length(x)} over the seam", toward=math.pi if hinge < edge else 0.0)
    s.line((left, door.x0), (right, door.x1), "thin")
    s.line((left, door.x1), (right, door.x0), "thin")
    s.dim_aligned((left, door.x0), (right, door.x1), tape.fine(door.diagonal), gap=0.0)
    side = "right" if edge > hinge else "left"
    s.dim((edge, door.x0), (edge, door.x1), "right" if side == "right" else "left", about=known(pit, "doors.width"))
    s.dim((left, door.x0), (right, door.x0), "below", about=known(pit, "doors.arc"))
    for x, name in ((door.x0, "lower edge"), (door.x1, "upper edge")):
        s.callout(((left + 2.0 * right) / 3.0, x), f"{name}: {tape.length(x)} over the bottom seam",
                  toward=-1.2 if x == door.x0 else 1.2)  # fmt: skip
    for u, clock, name in ((hinge, door.hinge_clock, "hinge edge"), (edge, door.edge_clock, "latch edge")):
        text = f"{name}: around {tape.length(skin_around(vessel, clock))}"
        s.callout((u, door.x0 + 0.12 * (door.x1 - door.x0)), text, toward=math.pi + 0.4 if u == left else -0.4)
    return s.drawing()


def _cutting(pit: Pit) -> tuple[Block, ...]:
    tape, vessel, door, own = pit.tape, pit.vessel, pit.doors[0], of(pit)
    edges = want_list(
        "Strike, from the bottom seam and the front line",
        (
            ("lower edge, over the bottom seam", tape.length(door.x0)),
            ("upper edge, over the bottom seam", tape.length(door.x1)),
            ("hinge edge, around from the front line", tape.length(skin_around(vessel, door.hinge_clock))),
            ("latch edge, around from the front line", tape.length(skin_around(vessel, door.edge_clock))),
            ("round the skin, edge to edge", tape.length(door.arc)),
            ("straight across: clear opening", tape.length(own.door.clear)),
            ("wrap diagonal, one way", tape.fine(door.diagonal)),
            ("wrap diagonal, other way", tape.fine(door.diagonal)),
        ),
    )
    return (edges, _cut_order(pit), _pieces(pit, door))


def _cut_order(pit: Pit) -> Notes:
    own = of(pit)
    lines = (
        "Vessel on rolls, the door's middle up. Strike all four edges and prove the diagonals.",
        f"Tack {len(own.door.strongbacks)} strongbacks upright over the whole height, past both ends: the skin wants to open.",
        f"Hang {len(own.door.hinge_x)} hinges, all pins on one string line along the hinge edge, before anything is cut.",
        "Cut lower and upper end, then the latch edge, tabs left every foot; leave the line on the shell, the kerf in the door.",
        "Cut the hinge edge last. Bands on with the strongbacks still tacked, then cut the tabs, then the strongbacks off.",
        "Measure straight across the cut-out skin: more than the opening means it sprang; pull it in before the bands go on.",
        "Stand the vessel up and set the pins plumb both ways by level; a pin line out of plumb makes the door swing by itself.",
    )
    return Notes(lines, title="Order of cutting", numbered=True)


def _pieces(pit: Pit, door: DoorLayout) -> Table:
    tape = pit.tape
    rows = []
    for part in pit.parts:
        if part.moving != door.name or part.group != "doors":
            continue
        size = "bought"
        if isinstance(part.shape, Shell):
            arc = part.shape.outer_radius * (part.shape.clock1 - part.shape.clock0)
            size = f"{tape.length(part.shape.length)} x {tape.length(arc)} round"
        elif isinstance(part.shape, Bar):
            size = tape.length(part.shape.x1 - part.shape.x0)
        weight = tape.mass(mass_of(part).mass * part.quantity) + (" assumed" if part.assumed else "")
        rows.append((part.mark, part.name, str(part.quantity), part.stock, size, weight))
    columns = (
        Column("mark", bold=True),
        Column("piece", wrap=True),
        Column("no.", align="right"),
        Column("from", wrap=True),
        Column("size", wrap=True),
        Column("weight", align="right"),
    )
    return Table(columns, tuple(rows), title="Pieces of the door")


def swing_plan(pit: Pit) -> Drawing:
    """Shell, firebox and base from above; the door shut, half open and at its stop."""
    s, vessel, door, own, box = pit_sketch(pit), pit.vessel, pit.doors[0], of(pit), pit.firebox
    way, side = -float(vessel.hand), own.door.hinge_side

    def on_paper(p: Point2) -> Point2:
        return (way * p[0], -p[1])

    r, half = vessel.outer_radius, own.square / 2.0
    s.rectangle(-half, -half, half, half, "hidden", title="base")
    s.circle((0.0, 0.0), r, title="shell")
    a, b = on_paper((box.x0, -box.width / 2.0)), on_paper((box.x1, box.width / 2.0))
    s.rectangle(*a, *b, "thin", title="firebox")
    s.centre_lines((0.0, 0.0), r)
    skin = [
        (r * math.sin(c), r * math.cos(c))
        for c in (door.hinge_clock + (door.edge_clock - door.hinge_clock) * i / CURVE for i in range(CURVE + 1))
    ]
    handle = vessel.skin(0.0, door.edge_clock, pit.job.proportions.doors.handle_out)
    for swing, role in ((0.0, "cut"), (door.stop / 2.0, "ghost"), (door.stop, "outline")):
        run = [on_paper(turned_open(door.pin, p, swing, side)) for p in skin]
        s.lines(run, "cut" if role == "cut" else "ghost" if role == "ghost" else "outline", title="door")
        grip = on_paper(turned_open(door.pin, (handle[0], handle[1]), swing, side))
        s.line(run[-1], grip, "thin", title="handle")
        if swing == door.stop:
            s.callout(run[len(run) // 2], f"at its stop, {pit.tape.angle(door.stop, 0)}", toward=-1.2)
    pin = on_paper(door.pin)
    s.symbol(pin, "centre", size=3.0, title="pins")
    s.callout(pin, "pins, plumb", toward=math.pi - 0.3 if pin[0] < 0.0 else 0.3)
    for name, state in (("empty", "shut"), ("doors open", "open")):
        centre = pit.balance[name].centre
        spot = on_paper((centre[0], centre[1]))
        s.symbol(spot, "gravity", size=3.5, title=f"weight of the pit, door {state}")
    s.callout(on_paper((pit.balance["doors open"].centre[0], pit.balance["doors open"].centre[1])),
              "weight of the whole pit: it moves as the door opens", toward=0.9)  # fmt: skip
    s.dim(
        (0.0, 0.0), (0.0, -door.reach), "right" if way * side < 0.0 else "left", about=known(pit, f"{door.name}.stop")
    )
    return s.drawing()


def _swing(pit: Pit, door: DoorLayout, lean: float) -> tuple[Block, ...]:
    tape, own = pit.tape, of(pit)
    big = BigFigures(
        (
            BigFigure("weight", tape.mass(door.weight), "hardware and latches assumed", known(pit, f"{door.name}.weight")),
            BigFigure("pull, pins plumb", tape.force(door.worst_pull), "friction of the pins alone, give or take half",
                      known(pit, f"{door.name}.pull")),
            BigFigure("pull, 1° out of plumb", tape.force(lean), "it swings by itself that way", known(pit, f"{door.name}.lean_pull")),
            BigFigure("opens to", tape.angle(door.stop, 0), "held by a chain or a bar"),
        ),
        across=2,
    )  # fmt: skip
    rows = tuple(
        (t.moving, t.against, tape.angle(t.travel, 0) if math.isfinite(t.travel) else "never",
         tape.angle(t.travel - door.stop, 0) if math.isfinite(t.travel) else "–")
        for t in door.touches
    )  # fmt: skip
    touches = Table(
        (
            Column("moving"),
            Column("meets"),
            Column("at", align="right", bold=True),
            Column("past its stop", align="right"),
        ),
        rows,
        title="First touches over its swing",
    )
    heights = want_list(
        "Off the floor",
        (
            ("lower edge", tape.length(own.door.sill_z)),
            ("upper edge", tape.length(own.door.head_z)),
            *((f"hinge {i}", tape.length(pit.vessel.seam_z + x)) for i, x in enumerate(own.door.hinge_x, start=1)),
        ),
    )
    notes = Notes(
        (
            f"Its own weight moves {tape.length(own.door.shift)} as it opens: the pit leans that way. Tip angles: see STAND.",
            "Fingers are caught at the hinge edge and under the latches: one hand on the handle, the other off the pit.",
            "In wind an open door is a sail: chain it or shut it. Never leave it swinging beside a hot shell.",
            "Open damper and inlet first, open the door a hand's width, wait, and stand to the hinge side.",
        ),
        title="Mind",
    )
    return (big, touches, heights, notes)
