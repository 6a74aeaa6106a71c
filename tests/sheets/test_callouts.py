"""Callouts find room."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.sheets.clash import clashes
from pitwright.sheets.ink import Words, extent, shifted
from pitwright.sheets.laying import lay
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.sketch import Sketch


@settings(max_examples=25)
@given(
    tips=st.lists(st.tuples(st.floats(0.0, 2.0), st.floats(0.0, 1.0)), min_size=1, max_size=12, unique=True),
    balloons=st.booleans(),
)
def test_callouts_never_lie_over_each_other_or_over_dimensions(tips: list[tuple[float, float]], balloons: bool) -> None:
    s = Sketch(length=lambda m: f"{m:.3f}")
    s.rectangle(0.0, 0.0, 2.0, 1.0)
    s.dim((0.0, 0.0), (2.0, 0.0), "below")
    s.dim((0.5, 0.0), (1.5, 0.0), "above", base=0.4)
    for i, tip in enumerate(tips):
        if balloons:
            s.balloon(tip, f"L{i}")
        else:
            s.callout(tip, f"strike line {i}\nand punch it")
    ink = lay(s.drawing(), 1 / 12)
    x0, y0, x1, y1 = extent(ink)
    page = Page(Paper.roll(x1 - x0 + 20.0, y1 - y0 + 20.0), shifted(ink, 10.0 - x0, 10.0 - y0))
    assert [c for c in clashes(page) if c.kind == "over"] == []


@pytest.mark.parametrize("degrees", [0, 60, 135, -90, -160])
def test_in_the_open_it_goes_where_it_likes_best(degrees: int) -> None:
    s = Sketch()
    s.balloon((0.0, 0.0), "R1", toward=math.radians(degrees))
    (mark,) = [i for i in lay(s.drawing(), 1.0) if isinstance(i, Words)]
    x, y = mark.at[0], mark.at[1] - mark.height / 2.0
    assert math.degrees(math.atan2(-y, x)) == pytest.approx(degrees, abs=0.5)


def test_a_fixed_offset_is_kept() -> None:
    s = Sketch()
    s.callout((0.1, 0.0), "here", offset=(20.0, 10.0))
    (note,) = [i for i in lay(s.drawing(), 1.0) if isinstance(i, Words)]
    assert note.at[0] == pytest.approx(100.0 + 20.0 + 2.5 + 0.8)
    assert note.at[1] - note.height / 2.0 == pytest.approx(-10.0)


def test_it_goes_round_an_outline_rather_than_over_it() -> None:
    s = Sketch()
    for k in range(12):
        s.line((0.01, 0.004 + 0.002 * k), (0.06, 0.004 + 0.002 * k))
    s.callout((0.0, 0.0), "clear", toward=math.radians(30))
    (note,) = [i for i in lay(s.drawing(), 1.0) if isinstance(i, Words)]
    x0, y0, x1, y1 = extent((note,))
    assert not any(x0 < 60.0 and x1 > 10.0 and y0 < -(4.0 + 2.0 * k) < y1 for k in range(12))
