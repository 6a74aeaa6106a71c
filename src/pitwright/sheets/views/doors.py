"""The door sheets: what to strike and in which order to cut, then how each door swings and what it weighs in the hand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial

from pitwright.layout.marks import skin_around
from pitwright.layout.model import DoorLayout, Pit
from pitwright.masses import mass_of
from pitwright.parts import Bar, Part, Shell
from pitwright.sheets.blocks import BigFigure, BigFigures, Block, Notes
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.shapes import Motion
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.chart import Chart, even_steps
from pitwright.sheets.views.common import SheetMaker, known, new_board, pit_sketch
from pitwright.sheets.views.spread import spread, verdicts, want_list, withheld
from pitwright.tape import LBF, STANDARD_GRAVITY

CODE, TITLE = "DOORS", "Doors"
STRONGBACK = 0.45  # a strongback at least this often along a door [m]; common practice, no source


def door_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """One sheet a door for the cutting, and one for each kind of door for its swing."""
    tape = pit.tape
    pages: tuple[Page, ...] = ()
    for door in pit.doors if pit.cleared else ():
        board = partial(
            new_board,
            pit,
            paper,
            CODE,
            f"{door.name.capitalize()}: marks and cutting",
            check=("wrap diagonal on the skin, both ways", tape.fine(door.diagonal)),
            key=("round the skin, hinge edge to lower edge", tape.length(door.arc)),
        )
        pages += spread(board, [("Door laid flat, seen from outside", flat_view(pit, door))], cutting_blocks(pit, door))
    common = partial(
        new_board,
        pit,
        paper,
        CODE,
        "Doors: cut order and pieces",
        check=("tape right round", tape.length(pit.vessel.around)),
    )
    held = withheld(pit, "Door edges, sizes on the skin and diagonals")
    pages += spread(common, (), (*held, _order(pit), *(_bands(pit, door) for door in pit.doors)))
    for alike in _alike(pit.doors):
        door = alike[0]
        names = " and ".join(d.name for d in alike) if len(alike) < 3 else f"{alike[0].name} to {alike[-1].name}"
        board = partial(
            new_board,
            pit,
            paper,
            CODE,
            f"{names.capitalize()}: swing and weight",
            key=("weight of one door", tape.mass(door.weight)),
            check=("pin to handle", tape.length(door.handle_radius)),
        )
        pages += spread(board, [("Swing, from the stack end", swing_view(pit, door))], swing_blocks(pit, door))
    return pages


DOORS = SheetMaker(code=CODE, title=TITLE, whose="vessel and doors", make=door_sheets)


def _alike(doors: Sequence[DoorLayout]) -> list[list[DoorLayout]]:
    """Doors that weigh and swing the same, together."""
    out: dict[tuple[object, ...], list[DoorLayout]] = {}
    for door in doors:
        touches = tuple((t.against, round(t.travel, 4) if math.isfinite(t.travel) else None) for t in door.touches)
        key = (round(door.arc, 5), round(door.weight, 3), round(door.stop, 4), touches)
        out.setdefault(key, []).append(door)
    return list(out.values())


def _pieces(pit: Pit, door: DoorLayout) -> list[Part]:
    return [p for p in pit.parts if p.moving == door.name and p.group == "doors"]


# ---------------------------------------------------------------- marks and cutting


def flat_view(pit: Pit, door: DoorLayout) -> Drawing:
    """The opening on the skin laid flat: hinge edge up, the fire on the side it is on at the working side."""
    s = pit_sketch(pit)
    vessel, tape = pit.vessel, pit.tape
    way = -float(vessel.hand)
    y1, y0 = -vessel.around_at(door.hinge_clock), -vessel.around_at(door.edge_clock)
    left, right = sorted((way * door.x0, way * door.x1))
    lap = pit.job.proportions.doors.band_overlap
    s.rectangle(left - lap, y0 - lap, right + lap, y1, "thin")
    s.rectangle(left, y0, right, y1, "cut")
    s.line((left, y0), (right, y1), "thin")
    s.line((left, y1), (right, y0), "thin")
    s.dim_aligned((left, y0), (right, y1), tape.fine(door.diagonal), gap=0.0)
    with s.about(known(pit, "doors.width")):
        s.dim((left, y0), (right, y0), "below", base=y0 - lap)
    s.dim((right, y0), (right, y1), "right", base=right + lap)
    for x in (door.x0, door.x1):
        px = way * x
        out = 1.0 if px == right else -1.0
        end = "fire end" if x == door.x0 else "stack end"
        s.callout((px, y1), f"station {tape.length(vessel.station(x))}\n{end}", toward=math.pi / 2.0 - 0.5 * out)
    s.callout(
        ((left + right) / 2.0, y1),
        f"hinge edge: around {tape.length(skin_around(vessel, door.hinge_clock))}",
        toward=1.2,
    )
    s.callout(
        ((left + 2.0 * right) / 3.0, y0),
        f"lower edge: around {tape.length(skin_around(vessel, door.edge_clock))}",
        toward=-1.2,
    )
    return s.drawing()


def cutting_blocks(pit: Pit, door: DoorLayout) -> tuple[Block, ...]:
    """Wants before the cut and after it."""
    tape, vessel = pit.tape, pit.vessel
    before = [
        ("fire end, station", tape.length(vessel.station(door.x0))),
        ("stack end, station", tape.length(vessel.station(door.x1))),
        ("hinge edge, around from the top line", tape.length(skin_around(vessel, door.hinge_clock))),
        ("lower edge, around from the top line", tape.length(skin_around(vessel, door.edge_clock))),
        ("along the pit", tape.length(door.x1 - door.x0)),
        ("round the skin", tape.length(door.arc)),
        ("straight across (chord)", tape.length(door.chord)),
        ("wrap diagonal on the skin, one way", tape.fine(door.diagonal)),
        ("wrap diagonal on the skin, the other way", tape.fine(door.diagonal)),
    ]
    after = [
        ("chord of the cut-out skin, fire end", tape.length(door.chord)),
        ("chord of the cut-out skin, stack end", tape.length(door.chord)),
        ("gap at the lower edge, middle", tape.length(pit.job.proportions.shop.plate_kerf)),
        ("pull at the handle, first lift", tape.force(door.first_pull)),
    ]
    out: list[Block] = [want_list("Before cutting", before), want_list("After the last tab", after)]
    got = next((d for d in pit.job.measured.doors if f"door {d.door}" == door.name), None)
    if got is not None and got.chord is not None:
        sprung = got.chord - door.chord
        way = "opened" if sprung > 0.0 else "closed"
        text = f"Measured chord {tape.length(got.chord)}: the skin has {way} {tape.length(abs(sprung))}. Pull it back that much before banding."
        out.append(Notes((text,), title="What was got", bold=True))
    return (*out, *verdicts(pit, [p.mark for p in _pieces(pit, door)]))


def _order(pit: Pit) -> Notes:
    count = max(3, *(math.ceil((d.x1 - d.x0) / STRONGBACK) for d in pit.doors))
    opens = "1/4 to 1/2 in" if pit.tape.inch else "6 to 12 mm"
    lines = (
        "Strike all four edges and both wrap diagonals. The diagonals must be alike before any cut.",
        "Hinges on first, while the skin is whole: pins in one line along the hinge edge, welded and cold.",
        f"Tack {count} strongbacks round the skin, evenly along each door, shaped to the round and clear of the lines.",
        "Cut both ends and the lower edge in short runs. Leave a tab at each corner and at mid-length of each cut.",
        "Fit the bands while the tabs hold: tack from the middle outwards, both sides in turn.",
        f"Cut the hinge edge, then the tabs, lower edge last. Never all four sides at once: it opens {opens}.",
        "Leave the line: the kerf lies on the door's side of it. Dress both edges to the line.",
        "Strongbacks off when all is cold. Measure the chord and the gaps, and write them down.",
    )
    return Notes(lines, title="Cut order that keeps it from springing (common practice, no source)", numbered=True)


def _bands(pit: Pit, door: DoorLayout) -> Table:
    rows = []
    for part in _pieces(pit, door):
        if isinstance(part.shape, Bar):
            size = f"{pit.tape.length(part.shape.x1 - part.shape.x0)}, straight"
        elif isinstance(part.shape, Shell) and "band" in part.name:
            middle = part.shape.outer_radius - part.shape.wall / 2.0
            size = f"{pit.tape.length(middle * (part.shape.clock1 - part.shape.clock0))}, rolled"
        else:
            size = "–"
        each = pit.tape.mass(mass_of(part).mass) + (" assumed" if part.assumed else "")
        rows.append((part.mark, part.name.removeprefix(f"{door.name} "), f"{part.quantity}", part.stock, size, each))
    columns = (
        Column("mark", bold=True),
        Column("piece", wrap=True),
        Column("off", align="right"),
        Column("stock", wrap=True),
        Column("cut length", align="right", bold=True, wrap=True),
        Column("each", align="right", wrap=True),
    )
    return Table(columns, tuple(rows), title=f"Pieces of {door.name}")


# ---------------------------------------------------------------- swing and weight


def swing_view(pit: Pit, door: DoorLayout) -> Drawing:
    """Shut, at the stop, and at the first touch, seen from the stack end; heights off the floor."""
    s = pit_sketch(pit)
    vessel, tape, stack = pit.vessel, pit.tape, pit.stack
    r, centre = vessel.outer_radius, (0.0, vessel.centre_z)
    start, sweep = math.pi / 2.0 - door.hinge_clock, door.hinge_clock - door.edge_clock
    s.arc(centre, r, start, 2.0 * math.pi + sweep)
    s.arc(centre, r, start, sweep, "accent")
    if stack.place == "top":
        half = stack.profile.height / 2.0
        foot = vessel.centre_z + math.sqrt(r * r - stack.y**2)
        tall = min(stack.top_z, vessel.centre_z + 2.2 * r)
        for y in (stack.y - half, stack.y + half):
            s.line((y, vessel.centre_z + math.sqrt(max(r * r - y * y, 0.0))), (y, tall))
        s.line((stack.y, foot), (stack.y, tall), "centre")
    handle = _from_pin(door, pit)

    def swung(angle: float, role: str) -> None:
        turn = Motion.turn(angle, door.pin)
        s.arc(turn.point(centre), r, start + angle, sweep, "wrong" if role == "wrong" else "ghost")
        s.line(turn.point(_on(pit, door.edge_clock)), turn.point(handle), "wrong" if role == "wrong" else "ghost")

    swung(door.stop, "ghost")
    first = min(door.touches, key=lambda t: t.travel, default=None)
    if first is not None and math.isfinite(first.travel) and first.travel < math.pi:
        swung(first.travel, "wrong")
        tip = Motion.turn(first.travel, door.pin).point(_on(pit, door.edge_clock))
        s.callout(tip, f"touches the {first.against}\nat {tape.angle(first.travel)}", toward=2.2)
    s.line(_on(pit, door.edge_clock), handle)
    s.symbol(door.pin, "punch")
    s.callout(door.pin, "pin", toward=1.9)
    at = math.atan2(handle[1] - door.pin[1], handle[0] - door.pin[0])
    s.arc(door.pin, door.handle_radius, at, door.stop, "thin")
    s.dim_angle(door.pin, at, door.stop, f"opens {tape.angle(door.stop)}", radius=20.0, within=0.8 * door.handle_radius)
    s.line((-r, 0.0), (max(1.25 * r, door.reach + 0.05), 0.0), "ground")
    top = Motion.turn(door.stop, door.pin).point(_on(pit, door.edge_clock))
    edge = max(r, door.reach, handle[0])
    s.dim((top[0], 0.0), (top[0], door.edge_top_z), "right", base=edge)
    if pit.cleared:
        s.dim((handle[0], 0.0), handle, "right", base=edge)
    s.dim((0.0, 0.0), (door.reach, 0.0), "below", base=0.0)
    s.centre_lines(centre, r, over=0.04)
    drawing = s.drawing()
    return drawing if vessel.hand > 0 else drawing.mirrored()


def _on(pit: Pit, clock: float) -> tuple[float, float]:
    _, y, z = pit.vessel.skin(0.0, clock)
    return (y, z)


def _from_pin(door: DoorLayout, pit: Pit) -> tuple[float, float]:
    """The handle when shut: the shop's distance off the skin at the lower edge."""
    _, y, z = pit.vessel.skin(0.0, door.edge_clock, pit.job.proportions.doors.handle_out)
    return (y, z)


def swing_blocks(pit: Pit, door: DoorLayout) -> tuple[Block, ...]:
    """Weight, pulls over the swing, first touches, and what holds it open."""
    tape = pit.tape
    worst_at = max(door.pulls, key=lambda p: p[1])[0]
    big = BigFigures(
        (
            BigFigure("weight of the door", tape.mass(door.weight), "hardware assumed", f"{door.name}.weight"),
            BigFigure("first lift, at the handle", tape.force(door.first_pull), "shut"),
            BigFigure("hardest", tape.force(door.worst_pull), f"at {tape.angle(worst_at, 0)} of swing", f"{door.name}.pull"),
        ),
        size=6.0,
    )  # fmt: skip
    rows = [(f"meets the {t.against}", _swing_text(pit, t.travel), _left(pit, door, t.travel)) for t in door.touches]
    over = "not before its stop" if door.over_centre > door.stop else f"at {tape.angle(door.over_centre)}"
    rows += [
        ("falls over by itself", over if math.isfinite(door.over_centre) else "never", ""),
        ("lower edge off the floor, open", tape.length(door.edge_top_z), ""),
        ("stands out from the vessel's centre, open", tape.length(door.reach), ""),
        ("pin to handle", tape.length(door.handle_radius), ""),
        ("pin to the door's centre of gravity", tape.length(door.lever), ""),
    ]
    heads = (Column("swing", wrap=True), Column("figure", align="right", bold=True))
    title = f"Opens {tape.angle(door.stop)}"
    if any(row[2] for row in rows):
        table = Table((*heads, Column("past its stop", align="right", least=18.0)), tuple(rows), title=title)
    else:
        table = Table(heads, tuple(row[:2] for row in rows), title=title)
    lines = (
        *hold_lines(pit, door),
        "A door falls with its whole weight: keep hands off the edges, use the handle and gloves.",
    )
    return (big, _pull_chart(pit, door), table, Notes(lines, title="What holds it open"))


def _swing_text(pit: Pit, travel: float) -> str:
    return pit.tape.angle(travel) if math.isfinite(travel) and travel < math.pi else "never"


def _left(pit: Pit, door: DoorLayout, travel: float) -> str:
    return pit.tape.angle(travel - door.stop) if math.isfinite(travel) and travel < math.pi else ""


def _pull_chart(pit: Pit, door: DoorLayout) -> Chart:
    tape = pit.tape
    unit = LBF if tape.inch else 1.0
    limit = pit.job.proportions.doors.pull_limit * STANDARD_GRAVITY
    worst = max(door.pulls, key=lambda p: p[1])
    low, high = min(0.0, *(p for _, p in door.pulls)), max(limit, worst[1])
    step = math.radians(15.0)
    ticks = tuple(i * step for i in range(int(door.stop / step + 1e-6) + 1))
    if door.stop - ticks[-1] > 1e-6:
        ticks = (*ticks[:-1], door.stop) if door.stop - ticks[-1] < 0.6 * step else (*ticks, door.stop)
    return Chart(
        "Pull at the handle over the swing",
        door.pulls,
        across=lambda a: tape.angle(a, 0),
        up=tape.force,
        steps_x=ticks,
        steps_y=even_steps(low, high, unit),
        name_x="opened",
        name_y="pull",
        limit=(limit, f"the shop's limit {tape.force(limit)}"),
        spots=(door.pulls[0], worst, door.pulls[-1]),
    )


def hold_lines(pit: Pit, door: DoorLayout) -> tuple[str, ...]:
    """What keeps the door open, in plain words; whether a counterweight helps or hinders the first lift."""
    tape, rules = pit.tape, pit.job.proportions.doors
    need = tape.moment(door.hold_needed)
    at_handle = tape.force(door.hold_needed / door.handle_radius)
    stop = tape.angle(door.stop)
    if door.hold != "counterweight":
        what = "A prop or latch holds it" if door.hold == "prop" else "Nothing holds it yet"
        if door.hold_needed <= 0.0:
            return (f"It is over its balance at the stop ({stop}) and lies open by itself.",)
        return (
            f"{what} at {stop}: it must carry {need} about the pin ({at_handle} at the handle).",
            "No counterweight is fitted: the first lift is the door's own weight.",
        )
    bare = door.weight * STANDARD_GRAVITY * door.lever * math.cos(door.lever_angle) / door.handle_radius
    weight = tape.mass(float(pit.reasons[f"{door.name}.counterweight"].value))
    arm = tape.length(rules.counterweight_arm)
    verdict = "HEAVIER" if door.first_pull > bare else "lighter"
    return (
        f"Counterweight {weight} at {arm} from the pin, its arm {tape.angle(rules.counterweight_rise)} up from straight "
        f"forward at the open stop.",
        f"It makes the first lift {verdict}: {tape.force(bare)} without it, {tape.force(door.first_pull)} with it.",
        f"To stay open at {stop} the door needs {need} behind the pin.",
    )
