"""Pages: scales, placing, flowing, numbering."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.errors import OutputError
from pitwright.sheets.blocks import Heading, Notes, Pairs
from pitwright.sheets.clash import clashes
from pitwright.sheets.ink import Words, extent
from pitwright.sheets.page import Board, Page, flow, numbered, scale_bar
from pitwright.sheets.paper import (
    A3,
    A4,
    INCH_SCALES,
    LETTER,
    METRIC_SCALES,
    TABLOID,
    Area,
    Paper,
    fit_scale,
    laid,
)
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.stamp import Stamp
from pitwright.sheets.table import Column, Table

STAMP = Stamp(shop="North Yard", job="Trial", title="Trial sheet", revision="A", date="2031-05-04", who="R. Quill")


def box(width: float, height: float) -> Sketch:
    s = Sketch()
    s.rectangle(0.0, 0.0, width, height)
    return s


def texts(page: Page) -> list[str]:
    return [i.text for i in page.all_ink() if isinstance(i, Words)]


def test_paper_sizes() -> None:
    """ANSI/ASME Y14.1 A and B (8.5 x 11, 11 x 17 in); ISO 216 A4 and A3. From memory."""
    assert (LETTER.width, LETTER.height) == pytest.approx((8.5 * 25.4, 11 * 25.4))
    assert (TABLOID.width, TABLOID.height) == pytest.approx((11 * 25.4, 17 * 25.4))
    assert (A4.width, A4.height, A3.width, A3.height) == (210.0, 297.0, 297.0, 420.0)
    assert TABLOID.landscape().width == pytest.approx(431.8)


def test_inch_scales_say_what_they_are() -> None:
    """Read back from the text: so many inches to a foot of twelve."""
    for scale in INCH_SCALES[1:]:
        head = scale.text.split('"')[0]
        whole, _, part = head.partition("-") if "-" in head else ("0", "", head) if "/" in head else (head, "", "")
        inches = float(whole) + (float(part.split("/")[0]) / float(part.split("/")[1]) if part else 0.0)
        assert scale.ratio == pytest.approx(inches / 12.0)
        assert scale.text.endswith(f"(1:{12.0 / inches:.0f})")


def test_metric_scales_hold_the_standard_ones() -> None:
    """ISO 5455 reduction scales 1:2, 1:5, 1:10, 1:20, 1:50, 1:100, 1:200. From memory."""
    assert {"1:2", "1:5", "1:10", "1:20", "1:50", "1:100", "1:200"} <= {s.text for s in METRIC_SCALES}
    assert all(s.ratio == pytest.approx(1.0 / int(s.text[2:])) for s in METRIC_SCALES[1:])


@settings(max_examples=30)
@given(w=st.floats(0.2, 6.0), h=st.floats(0.2, 6.0), system=st.sampled_from(["inch", "metric"]))
def test_fit_scale_takes_the_largest_that_fits(w: float, h: float, system: str) -> None:
    s = box(w, h)
    s.dim((0.0, 0.0), (w, 0.0), "below", "wide")
    d = s.drawing()
    fitted = fit_scale(d, 200.0, 150.0, system)  # type: ignore[arg-type]
    assert fitted.width <= 200.0
    assert fitted.height <= 150.0
    for scale in METRIC_SCALES if system == "metric" else INCH_SCALES:
        if scale.ratio > fitted.scale.ratio:
            larger = laid(d, scale)
            assert larger.width > 200.0 or larger.height > 150.0


def test_a_drawing_too_large_for_any_scale_is_refused_in_plain_words() -> None:
    with pytest.raises(OutputError, match="does not fit on the sheet"):
        fit_scale(box(400.0, 1.0).drawing(), 200.0, 150.0)


def test_a_placed_view_stands_at_its_stated_scale() -> None:
    board = Board(LETTER.landscape(), STAMP)
    view = board.view(box(1.0, 0.5).drawing(), board.area, title="Plan")
    a, b = view.point((0.0, 0.0)), view.point((1.0, 0.0))
    assert b[0] - a[0] == pytest.approx(1000.0 * view.scale.ratio)
    page = board.page()
    assert page.scale == view.scale.text
    assert view.scale.text in texts(page)
    assert "Plan" in texts(page)
    assert clashes(page) == ()


def test_two_scales_on_a_sheet_are_as_noted() -> None:
    board = Board(TABLOID.landscape(), STAMP)
    left, right = board.area.columns((1, 1))
    board.view(box(1.0, 1.0).drawing(), left, title="a")
    board.view(box(9.0, 9.0).drawing(), right, title="b")
    assert board.page().scale == "as noted"


def test_views_together_share_one_scale_and_do_not_touch() -> None:
    board = Board(TABLOID.landscape(), STAMP, system="metric")
    rows = [[("Side", box(2.5, 1.2).drawing()), ("End", box(1.0, 1.2).drawing())], [("Plan", box(2.5, 1.0).drawing())]]
    views = board.views(board.area, rows)
    assert len({v.scale.text for v in views}) == 1
    page = board.page()
    assert clashes(page) == ()
    reach = [r.reach for r in page.rooms if "caption" not in r.name]
    for i, a in enumerate(reach):
        for b in reach[i + 1 :]:
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


@pytest.mark.parametrize("paper", [LETTER, LETTER.landscape(), A4, A4.landscape(), TABLOID, A3.landscape()])
def test_title_block_holds_long_names(paper: Paper) -> None:
    stamp = Stamp(
        shop="Upper Valley Welding, Repair and Fabrication Company",
        job="Thirty-seven and a half inch vessel with a long name and longer customer",
        title="Table layout of the leg set under the fire end, seen from the fire end",
        revision="AB",
        date="2031-05-04",
        who="Quillington-Smythe",
        note="A long note on how this sheet is to be read that must still go into its cell below the title",
        key=("vessel outside diameter, tape divided by pi", "37-1/2″ (952.5 mm)"),
        check=("diagonal across all four feet, both ways", "123-15/16″"),
        hold="HOLD TAG: contents not stated; no cutting, grinding or heating before it is cleared and signed for",
    )
    page = Board(paper, stamp, watermark="NOT CLEARED: no cutting").page()
    assert clashes(page) == ()
    shown = " ".join(texts(page))
    for word in ("Fabrication", "customer", "AB", "2031-05-04", "123-15/16″", "HOLD", "no cutting"):
        assert word in shown


def test_scale_bar_is_as_long_as_it_says() -> None:
    """A 3 ft bar at 1:16 is 57.15 mm (914.4 / 16)."""
    bar = scale_bar(0.0, 0.0, 1 / 16, 60.0, "inch")
    x0, _, x1, _ = extent(bar[:1])
    assert x1 - x0 == pytest.approx(57.15)
    assert [i.text for i in bar if isinstance(i, Words)] == ["3'", "0"]


def long_table(rows: int) -> Table:
    columns = (Column("mark"), Column("got", blank=True), Column("how", wrap=True))
    return Table(columns, tuple((f"M{i}", "", "cut square " * (i % 7)) for i in range(rows)), title="List")


@settings(max_examples=15)
@given(rows=st.integers(1, 120))
def test_a_table_flows_over_sheets_and_loses_no_row(rows: int) -> None:
    pages = numbered(*flow((long_table(rows), Notes(("end",), title="Notes")), lambda: Board(LETTER, STAMP)))
    shown = [t for p in pages for t in texts(p) if t.startswith("M") and t[1:].isdigit()]
    assert shown == [f"M{i}" for i in range(rows)]
    for i, page in enumerate(pages, 1):
        assert clashes(page) == ()
        assert f"{i} of {len(pages)}" in texts(page)
    assert all("List (continued)" in texts(p) for p in pages[1:-1])


def test_columns_are_filled_in_turn() -> None:
    pages = flow((long_table(40),), lambda: Board(TABLOID.landscape(), STAMP), lambda b: b.area.columns((1, 1, 1)))
    assert len(pages) == 1
    tops = sorted({i.at[0] for i in pages[0].ink if isinstance(i, Words) and i.text.startswith("List")})
    assert len(tops) >= 2


def test_what_can_never_fit_is_refused() -> None:
    tall = Pairs(tuple((f"name {i}", "1") for i in range(200)))
    with pytest.raises(OutputError, match="whole sheet"):
        flow((tall,), lambda: Board(LETTER, STAMP))
    board = Board(LETTER, STAMP)
    with pytest.raises(OutputError, match="taller than its room"):
        board.put(tall, board.area)


def test_a_heading_is_not_left_alone_at_the_foot() -> None:
    board = Board(LETTER, STAMP)
    strip, _ = board.area.top(12.0)
    assert board.column((Heading("Alone"), Notes(("x",))), strip) == (Heading("Alone"), Notes(("x",)))


def test_areas_divide_without_loss() -> None:
    area = Area(10.0, 20.0, 100.0, 60.0)
    left, right = area.columns((1, 3), gap=4.0)
    assert left.width + right.width + 4.0 == pytest.approx(100.0)
    assert right.width == pytest.approx(3.0 * left.width)
    top, rest = area.top(15.0, 5.0)
    assert top.height + rest.height + 5.0 == pytest.approx(60.0)
    strip, above = area.bottom(15.0, 5.0)
    assert strip.y + strip.height == pytest.approx(80.0)
    assert above.height == pytest.approx(40.0)
