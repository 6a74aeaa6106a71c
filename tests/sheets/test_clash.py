"""The looking-over of a page finds each kind of trouble, and only trouble."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from pitwright.sheets.clash import clashes
from pitwright.sheets.ink import Ink, Patch, Words, disc, line
from pitwright.sheets.page import Page, Room
from pitwright.sheets.paper import LETTER


def kinds(*ink: Ink, rooms: tuple[Room, ...] = ()) -> list[str]:
    return [c.kind for c in clashes(Page(LETTER, ink, rooms))]


def test_lettering_over_lettering() -> None:
    assert kinds(Words((50, 50), "first", 3.0), Words((52, 51), "second", 3.0)) == ["over"]
    assert kinds(Words((50, 50), "first", 3.0), Words((50, 55), "second", 3.0)) == []


def test_lettering_off_the_sheet() -> None:
    assert kinds(Words((200, 50), "too far to the right", 3.0)) == ["off the sheet"]


def test_a_line_through_lettering_unless_it_has_a_plate() -> None:
    across = line((40, 49), (80, 48))
    assert kinds(Words((50, 50), "figure", 3.0), across) == ["line through"]
    assert kinds(Words((50, 50), "figure", 3.0, plate=True), across) == []
    assert kinds(Words((50, 50), "figure", 3.0), line((40, 51), (80, 51))) == []
    turned = Words((50, 50), "figure", 3.0, angle=math.pi / 2)
    assert kinds(turned, line((48.5, 60), (48.5, 30))) == ["line through"]
    assert kinds(turned, line((51, 60), (51, 30))) == []


def test_a_balloon_covers_the_line_behind_it() -> None:
    mark = Words((50, 51), "L1", 2.5, anchor="middle")
    assert kinds(Patch((disc((50, 50), 4.0),), 0.0, "dimension"), mark, line((40, 50), (60, 50))) == []


def test_work_out_of_its_room() -> None:
    assert kinds(rooms=(Room("view", (10, 10, 50, 50), (10, 10, 55, 50)),)) == ["out of its room"]


def test_a_watermark_is_not_counted() -> None:
    assert kinds(Words((50, 50), "first", 3.0), Words((20, 60), "NOT CLEARED", 20.0, loose=True)) == []


@given(
    x=st.floats(-25.0, 25.0),
    y=st.floats(-25.0, 25.0),
    a=st.floats(-3.14, 3.14),
    b=st.floats(-3.14, 3.14),
)
def test_turned_lettering_against_a_polygon_library(x: float, y: float, a: float, b: float) -> None:
    """Independent: shapely on the two boxes, away from the slack."""
    one = Words((100, 100), "37-1/2 off square", 3.0, angle=a)
    two = Words((100 + x, 100 + y), "34-1/4", 3.0, angle=b)
    shared = Polygon(one.corners()).intersection(Polygon(two.corners())).area
    apart = Polygon(one.corners()).distance(Polygon(two.corners()))
    found = "over" in kinds(one, two)
    if shared > 2.0:
        assert found
    if apart > 0.01:
        assert not found
