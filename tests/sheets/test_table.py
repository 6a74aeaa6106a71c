"""Tables and blocks of lettering."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import OutputError
from pitwright.sheets.blocks import BigFigure, BigFigures, Block, Notes, Pairs
from pitwright.sheets.clash import clashes
from pitwright.sheets.ink import Words, extent
from pitwright.sheets.page import Page, Room
from pitwright.sheets.paper import Paper
from pitwright.sheets.table import Column, Table

cells = st.text(alphabet='abcde 0123456789-/"', min_size=0, max_size=30).map(str.strip)


def page_of(block: Block, width: float) -> Page:
    tall = block.height(width)
    ink = block.draw(10.0, 10.0, width)
    room = Room("block", (10.0, 10.0, 10.0 + width, 10.0 + tall), extent(ink))
    return Page(Paper.roll(width + 20.0, tall + 20.0), ink, (room,))


@given(rows=st.lists(st.tuples(cells, cells, cells, cells), min_size=0, max_size=12), width=st.floats(90.0, 250.0))
def test_cells_keep_to_their_columns(rows: list[tuple[str, str, str, str]], width: float) -> None:
    columns = (
        Column("mark", bold=True),
        Column("want", align="right", wrap=True),
        Column("got", blank=True),
        Column("what to do with the piece", wrap=True, align="middle"),
    )
    table = Table(columns, tuple((a, b, "", d) for a, b, _, d in rows), title="List")
    assert clashes(page_of(table, width)) == ()


def test_a_blank_column_is_not_printed_and_is_high_enough_to_write_in() -> None:
    table = Table((Column("want"), Column("got", blank=True)), (('1"', "must not show"),))
    ink = table.draw(0.0, 0.0, 80.0)
    assert "must not show" not in [i.text for i in ink if isinstance(i, Words)]
    plain = Table((Column("want"), Column("got")), (('1"', ""),))
    assert table.height(80.0) - plain.height(80.0) == pytest.approx(7.2 - (2.3 + 2.6))


def test_figures_stand_under_each_other() -> None:
    table = Table((Column("n", align="right"),), (("1",), ("22",), ("333",)))
    ends = {i.at[0] for i in table.draw(0.0, 0.0, 40.0) if isinstance(i, Words) and i.text.isdigit()}
    assert len(ends) == 1


def test_a_crowded_table_is_set_smaller_and_then_refused() -> None:
    row = tuple("a figure of some length" for _ in range(4))
    table = Table(tuple(Column(f"c{i}") for i in range(4)), (row,), title="Wide")
    sizes = {i.height for i in table.draw(0.0, 0.0, 125.0) if isinstance(i, Words) and i.text in row}
    assert sizes.pop() < 2.3
    with pytest.raises(OutputError, match="Wide"):
        table.height(60.0)


def test_a_row_of_the_wrong_length_is_a_mistake() -> None:
    with pytest.raises(ValueError, match="as many cells"):
        Table((Column("a"), Column("b")), (("1",),))


def test_a_row_keeps_what_it_is_about() -> None:
    table = Table((Column("a"),), (("1",), ("2",)), about=("legs.A.length", "legs.B.length"))
    assert [i.about for i in table.draw(0.0, 0.0, 40.0) if isinstance(i, Words) and i.text in "12"] == [
        "legs.A.length",
        "legs.B.length",
    ]


@given(lines=st.lists(cells.filter(bool), min_size=1, max_size=8), width=st.floats(40.0, 160.0))
def test_notes_and_pairs_keep_to_their_rooms(lines: list[str], width: float) -> None:
    assert clashes(page_of(Notes(tuple(lines), title="Notes", numbered=True), width)) == ()
    pairs = Pairs(tuple((t, '37-1/2"') for t in lines), title="Figures", columns=2 if width > 90.0 else 1)
    assert clashes(page_of(pairs, width)) == ()


@given(room=st.floats(5.0, 80.0), n=st.integers(1, 12))
def test_splitting_notes_keeps_every_line_and_the_count(room: float, n: int) -> None:
    notes = Notes(tuple(f"line {i}" for i in range(n)), title="Notes", numbered=True)
    seen: list[str] = []
    waiting: Block | None = notes
    while waiting is not None:
        first, rest = waiting.split(60.0, room)
        if first is None:
            assert waiting.split(60.0, 200.0)[1] is None
            first, rest = waiting, None
        else:
            assert first.height(60.0) <= room + 1e-6
        seen += [i.text for i in first.draw(0.0, 0.0, 60.0) if isinstance(i, Words)]
        waiting = rest
    assert [t for t in seen if t.startswith("line")] == [f"line {i}" for i in range(n)]
    assert [t for t in seen if t.rstrip(".").isdigit()] == [f"{i}." for i in range(1, n + 1)]


def test_big_figures_are_big_and_fit() -> None:
    block = BigFigures(
        tuple(BigFigure(f"figure {i}", '137-15/16"', "plus or minus 1/16") for i in range(5)), across=3, size=8.0
    )
    page = page_of(block, 190.0)
    assert clashes(page) == ()
    assert max(i.height for i in page.ink if isinstance(i, Words)) > 7.5
    first, rest = block.split(190.0, block.height(190.0) - 1.0)
    assert isinstance(first, BigFigures)
    assert isinstance(rest, BigFigures)
    assert len(first.figures) == 3
