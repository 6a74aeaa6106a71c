"""The check sheet: every dimension that matters, what it may be off, and an empty box for what was got."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial

from pitwright.layout.model import Pit
from pitwright.sheets.blocks import Block, Notes
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views import running
from pitwright.sheets.views.common import SheetMaker, known, new_board
from pitwright.sheets.views.spread import spread, withheld
from pitwright.sheets.views.wants import Want, end_wants, fire_heights, heights, rail_wants, stack_station, stations
from pitwright.shop.order import LEVEL_GIVE, TAPE_GIVE

CODE, TITLE = "CHECK", "Check sheet"
ANGLE_GIVE = "0.5°"


def check_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """One table a place of measuring."""
    board = partial(
        new_board,
        pit,
        paper,
        CODE,
        TITLE,
        check=("outside diagonal of the rails", pit.tape.fine(pit.base.diagonal)),
    )
    blocks = (*withheld(pit, "Stations and arounds of cuts"), *check_tables(pit), _notes())
    return spread(board, (), blocks)


CHECK = SheetMaker(code=CODE, title=TITLE, whose="everyone", make=check_sheets)


def check_tables(pit: Pit) -> tuple[Block, ...]:
    """Every table that has something in it."""
    tape = pit.tape
    mark, level = tape.length(TAPE_GIVE), tape.length(LEVEL_GIVE)
    tables = [
        ("Vessel, by tape", _vessel(pit)),
        (f"Stations, from the {pit.vessel.datum} seam", given(pit, (*stations(pit), *stack_station(pit)), mark)),
        ("Heights off the floor", given(pit, heights(pit), mark)),
        ("Base: outside and diagonals", _base(pit)),
        ("Along the rails, from their stack end", given(pit, rail_wants(pit), mark)),
        ("Legs, as cut", tuple(_legs(pit))),
        ("Across the pit", given(pit, end_wants(pit), level)),
        ("Doors", tuple(_doors(pit))),
        ("Firebox and throat", (*given(pit, fire_heights(pit), level), *_fire(pit))),
        ("Stack", _stack(pit)),
    ]
    return tuple(want_table(title, rows) for title, rows in tables if rows)


Row = tuple[str, str, str, str]
"""What, want, within, and the name of the figure."""


def want_table(title: str, rows: Iterable[Row]) -> Table:
    """What is wanted and within what, with room to write what was got."""
    rows = tuple(rows)
    columns = (
        Column("what", wrap=True),
        Column("want", align="right", bold=True),
        Column("within", align="right"),
        Column("got", blank=True),
    )
    return Table(columns, tuple((a, b, c, "") for a, b, c, _ in rows), title=title, about=tuple(r[3] for r in rows))


def given(pit: Pit, wants: Iterable[Want], give: str) -> tuple[Row, ...]:
    """Rows of lengths to be kept, all within the same."""
    return tuple((w.what, pit.tape.length(w.value), give, w.about) for w in wants)


def _vessel(pit: Pit) -> tuple[Row, ...]:
    tape, vessel = pit.tape, pit.vessel
    mark = tape.length(TAPE_GIVE)
    quarter = vessel.around / 4.0
    return (
        ("tape around, both ends and middle", tape.length(vessel.around), mark, known(pit, "vessel.around")),
        ("seam to seam", tape.length(vessel.length), mark, known(pit, "vessel.length")),
        ("wall by gauge, thinnest", tape.decimal(vessel.wall), "10 %", known(pit, "vessel.wall")),
        *((f"top line to quarter line {k}, both ends", tape.length(quarter * k), mark, "") for k in (1, 2, 3)),
    )


def _base(pit: Pit) -> tuple[Row, ...]:
    tape, base = pit.tape, pit.base
    mark = tape.length(TAPE_GIVE)
    rows: list[Row] = [
        ("rails, each", tape.length(base.rail_x1 - base.rail_x0), mark, known(pit, "base.rail_length")),
        ("outside corners, one way", tape.fine(base.diagonal), mark, ""),
        ("outside corners, other way", tape.fine(base.diagonal), mark, ""),
    ]
    if base.feet_diagonal:
        what = "saddles" if pit.saddles else "feet of the end sets"
        rows += [(f"{what}, corner to corner, both ways", tape.fine(base.feet_diagonal), mark, "")]
    rows += [(what, want, mark, "") for what, want in running.wants(pit)]
    return tuple(rows)


def _legs(pit: Pit) -> Iterator[Row]:
    tape = pit.tape
    mark = tape.length(TAPE_GIVE)
    for leg_set in pit.leg_sets:
        for leg in leg_set.legs:
            name = f"set {leg_set.name}, {leg.side} side"
            yield (
                f"{name}: long point",
                tape.length(leg.long_point),
                mark,
                known(pit, f"legs.{leg_set.name}.long_point"),
            )
            yield (f"{name}: short point", tape.length(leg.short_point), mark, "")
            yield (f"{name}: top cut, off square", tape.angle(leg.top_cut), ANGLE_GIVE, "")
            yield (f"{name}: foot cut, off square", tape.angle(leg.foot_cut), ANGLE_GIVE, "")
            yield (
                f"{name}: lean off plumb, standing",
                tape.angle(leg.lean),
                ANGLE_GIVE,
                known(pit, f"legs.{leg_set.name}.lean"),
            )


def _doors(pit: Pit) -> Iterator[Row]:
    tape = pit.tape
    mark, level = tape.length(TAPE_GIVE), tape.length(LEVEL_GIVE)
    for door in pit.doors:
        if pit.cleared:
            yield (f"{door.name}: along", tape.length(door.x1 - door.x0), mark, "")
            yield (f"{door.name}: round the skin", tape.length(door.arc), mark, "")
            yield (f"{door.name}: wrap diagonals, both", tape.fine(door.diagonal), mark, "")
            yield (f"{door.name}: straight across", tape.length(door.chord), level, "")
        yield (f"{door.name}: opens to", tape.angle(door.stop, 0), "5°", known(pit, f"{door.name}.stop"))


def _fire(pit: Pit) -> tuple[Row, ...]:
    tape, box, throat = pit.tape, pit.firebox, pit.throat
    level = tape.length(LEVEL_GIVE)
    rows: list[Row] = [
        (
            "firebox drop, spring line to its centre",
            tape.length(box.drop),
            tape.length(TAPE_GIVE),
            known(pit, "firebox.drop"),
        ),
        ("firebox, inside length", tape.length(box.depth_inside), level, ""),
        ("fire grate", f"{tape.length(box.grate_width)} x {tape.length(box.grate_length)}", level, ""),
    ]
    if pit.cleared:
        rows += [
            ("throat window, widest", tape.length(throat.widest), level, known(pit, "throat.widest")),
            ("grease dam, high", tape.length(throat.dam), tape.length(TAPE_GIVE), known(pit, "throat.dam")),
        ]
    return tuple(rows)


def _stack(pit: Pit) -> tuple[Row, ...]:
    tape, stack = pit.tape, pit.stack
    rows: list[Row] = [
        ("stack pipe, long point", tape.length(stack.length), tape.length(LEVEL_GIVE), known(pit, "stack.length")),
        ("plumb over its length, both ways", "0", tape.length(LEVEL_GIVE), ""),
    ]
    if stack.place == "top" and pit.cleared:
        rows.append(
            (
                "behind the top line" if stack.y < 0.0 else "in front of the top line",
                tape.length(abs(stack.y)),
                tape.length(TAPE_GIVE),
                "",
            )
        )
    return tuple(rows)


def _notes() -> Notes:
    lines = (
        "Tape hooked on the datum seam and pulled once; never one mark off another.",
        "“Within” is what shops hold by hand (common practice, no source). A figure outside it: write it in and have the rest solved "
        "again before anything more is cut.",
        "Signed and dated by who measured, one line under the table.",
    )
    return Notes(lines, title="How to use it")
