"""Placing dimensions: rows, running lists, angles."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import isotonic_regression

from pitwright.sheets.clash import clashes
from pitwright.sheets.dimension import readable, spread
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.ink import Ink, Patch, Stroke, Words, extent, shifted
from pitwright.sheets.laying import lay
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.sketch import Sketch

inches = st.integers(0, 16 * 100).map(lambda n: n / 16.0 * 0.0254)


def on_page(drawing: Drawing, ratio: float) -> Page:
    """The drawing alone on a sheet that is large enough."""
    ink = lay(drawing, ratio)
    x0, y0, x1, y1 = extent(ink)
    return Page(Paper.roll(x1 - x0 + 20.0, y1 - y0 + 20.0), shifted(ink, 10.0 - x0, 10.0 - y0))


def words_of(ink: tuple[Ink, ...]) -> dict[str, Words]:
    return {i.text: i for i in ink if isinstance(i, Words)}


@given(wanted=st.lists(st.floats(0.0, 100.0), min_size=1, max_size=30).map(sorted), apart=st.floats(0.5, 8.0))
def test_spread_is_the_least_squares_answer(wanted: list[float], apart: float) -> None:
    """Independent: scipy's isotonic regression of the places less their least distances."""
    places = spread(wanted, apart)
    gaps = np.diff(places)
    assert (gaps >= apart - 1e-9).all()
    shift = np.arange(len(wanted)) * apart
    want = isotonic_regression(np.array(wanted) - shift).x + shift
    assert places == pytest.approx(want.tolist(), abs=1e-7)


def test_spread_leaves_what_does_not_touch() -> None:
    assert spread([1.0, 6.0, 11.0], 4.0) == pytest.approx([1.0, 6.0, 11.0])
    assert spread([5.0, 5.0], 4.0) == pytest.approx([3.0, 7.0])


@given(angle=st.floats(-10.0, 10.0))
def test_readable_is_from_below_or_from_the_right(angle: float) -> None:
    turned, flipped = readable(angle)
    assert -math.pi / 2.0 < turned <= math.pi / 2.0 + 1e-9
    want = angle + math.pi if flipped else angle
    assert math.cos(turned - want) == pytest.approx(1.0)


@settings(max_examples=40)
@given(
    spans=st.lists(st.tuples(inches, inches).filter(lambda s: abs(s[0] - s[1]) > 0.001), min_size=1, max_size=9),
    side=st.sampled_from(["below", "above", "left", "right"]),
    ratio=st.sampled_from([1 / 8, 1 / 12, 1 / 24]),
)
def test_stacked_dimensions_never_lie_over_each_other(
    spans: list[tuple[float, float]], side: str, ratio: float
) -> None:
    s = Sketch(length=lambda m: f'{m / 0.0254:.2f}"')
    s.rectangle(0.0, 0.0, 2.54, 2.54)
    for a, b in spans:
        if side in ("below", "above"):
            s.dim((a, 0.0), (b, 0.0), side)  # type: ignore[arg-type]
        else:
            s.dim((0.0, a), (0.0, b), side)  # type: ignore[arg-type]
    assert clashes(on_page(s.drawing(), ratio)) == ()


@settings(max_examples=40)
@given(
    stops=st.lists(inches, min_size=1, max_size=18, unique=True),
    side=st.sampled_from(["below", "above", "left", "right"]),
    datum=st.sampled_from([0.0, 1.27]),
)
def test_running_figures_never_lie_over_each_other(stops: list[float], side: str, datum: float) -> None:
    s = Sketch(length=lambda m: f'{m / 0.0254:.4f}"')
    s.rectangle(0.0, 0.0, 2.54, 2.54)
    level = side in ("below", "above")
    s.running((datum, 0.0) if level else (0.0, datum), [(x, 0.0) if level else (0.0, x) for x in stops], side)  # type: ignore[arg-type]
    page = on_page(s.drawing(), 1 / 12)
    assert clashes(page) == ()
    shown = [i.text for i in page.ink if isinstance(i, Words)]
    assert len(shown) == 1 + sum(abs(x - datum) * 1000.0 / 12.0 > 0.05 for x in stops)


def test_long_dimensions_lie_outside_short_ones_and_chains_in_one_row() -> None:
    s = Sketch()
    s.rectangle(0.0, 0.0, 2.4, 1.0)
    s.dim((0.0, 0.0), (2.4, 0.0), "below", "all")
    for k in range(3):
        s.dim((0.8 * k, 0.0), (0.8 * (k + 1), 0.0), "below", f"part {k}")
    w = words_of(lay(s.drawing(), 1 / 12))
    assert w["part 0"].at[1] == w["part 1"].at[1] == w["part 2"].at[1]
    assert w["all"].at[1] > w["part 0"].at[1] + 5.0


def test_a_narrow_dimension_at_the_end_of_a_chain_keeps_the_chain_in_one_row() -> None:
    s = Sketch()
    s.rectangle(0.0, 0.0, 1.2, 1.0)
    s.dim((0.0, 0.0), (0.03, 0.0), "below", '1-3/16"')
    s.dim((0.03, 0.0), (0.6, 0.0), "below", "a")
    s.dim((0.6, 0.0), (1.2, 0.0), "below", "b")
    ink = lay(s.drawing(), 1 / 12)
    w = words_of(ink)
    assert w['1-3/16"'].at[1] == pytest.approx(w["a"].at[1])
    assert extent((w['1-3/16"'],))[2] < 0.0


def test_a_dimension_spans_its_points_at_scale() -> None:
    """10 ft at 1/8 in to the inch is 381 mm of paper (by hand: 3048 / 8)."""
    s = Sketch()
    s.dim((0.0, 0.0), (3.048, 0.5), "below", "10 ft")
    rows = [i for i in lay(s.drawing(), 1 / 8) if isinstance(i, Stroke) and i.path.points[0][1] == i.path.points[1][1]]
    (row,) = [r for r in rows if abs(r.path.points[1][0] - r.path.points[0][0]) > 1.0]
    assert row.path.points[1][0] - row.path.points[0][0] == pytest.approx(381.0)


def test_running_list_shares_the_side_with_dimensions() -> None:
    s = Sketch(length=lambda m: f"{m:.3f}")
    s.rectangle(0.0, 0.0, 2.0, 1.0)
    s.running((0.0, 0.0), [(0.5, 0.0), (2.0, 0.0)], "below")
    s.dim((0.0, 0.0), (2.0, 0.0), "below", "over all")
    w = words_of(lay(s.drawing(), 1 / 10))
    deepest = max(extent((w[t],))[3] for t in ("0", "0.500", "2.000"))
    assert extent((w["over all"],))[1] > deepest


def test_mirrored_drawing_lays_down_a_mirrored_picture() -> None:
    s = Sketch()
    s.rectangle(0.0, 0.0, 1.0, 0.5)
    s.dim((0.0, 0.0), (0.7, 0.0), "below", "70")
    s.dim_angle((0.2, 0.1), 0.1, 0.9, "a")
    drawing = s.drawing()
    x0, y0, x1, y1 = extent([i for i in lay(drawing, 0.1) if not isinstance(i, Words)])
    u0, v0, u1, v1 = extent([i for i in lay(drawing.mirrored(), 0.1) if not isinstance(i, Words)])
    assert (u0, v0, u1, v1) == pytest.approx((-x1, y0, -x0, y1), abs=1e-6)


@given(start=st.floats(-3.0, 3.0), sweep=st.floats(0.3, 3.0), turn=st.sampled_from([1.0, -1.0]))
def test_angle_arc_stands_between_its_legs(start: float, sweep: float, turn: float) -> None:
    s = Sketch()
    s.dim_angle((0.0, 0.0), start, turn * sweep, "x", radius=20.0)
    ink = lay(s.drawing(), 1.0)
    (arc,) = [i for i in ink if isinstance(i, Stroke) and i.path.bulges]
    middle = start + turn * sweep / 2.0
    chords = list(arc.path.chords(0.2))
    halfway = min((p for p, _ in chords), key=lambda p: abs(math.remainder(math.atan2(-p[1], p[0]) - middle, math.tau)))
    assert math.hypot(*halfway) == pytest.approx(20.0, abs=1e-6)
    assert abs(math.remainder(math.atan2(-halfway[1], halfway[0]) - middle, math.tau)) < 0.02
    heads = [i for i in ink if isinstance(i, Patch)]
    tips = sorted(math.atan2(-h.paths[0].points[0][1], h.paths[0].points[0][0]) for h in heads)
    want = sorted(math.remainder(a, math.tau) for a in (start, start + turn * sweep))
    assert tips == pytest.approx(want, abs=1e-6) or not heads


def test_angle_keeps_within_a_small_thing() -> None:
    s = Sketch()
    s.dim_angle((0.0, 0.0), 0.0, 1.0, "x", radius=30.0, within=0.2)
    arcs = [i for i in lay(s.drawing(), 1 / 20) if isinstance(i, Stroke) and i.path.bulges]
    assert math.hypot(*arcs[0].path.points[0]) == pytest.approx(10.0)
