"""Full size on office paper."""

from __future__ import annotations

import math
from collections.abc import Callable
from types import ModuleType

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from pitwright.sheets.clash import clashes
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.ink import Clip, Stroke, Words
from pitwright.sheets.page import Page
from pitwright.sheets.paper import A4, LETTER, Paper
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.stamp import Stamp
from pitwright.sheets.tiles import one_piece, tile

STAMP = Stamp(
    shop="North Yard", job="Trial", title="Ring", revision="A", date="2031-05-04", who="R. Quill", key=("ring", "30″")
)
Render = Callable[[Page, int, float, float], NDArray[np.bool_]]


def ring(radius: float) -> Drawing:
    s = Sketch()
    s.circle((0.0, 0.0), radius, "cut")
    return s.drawing()


def crosses(page: Page) -> list[tuple[float, float]]:
    """Centres of the little registration rings [mm on the page]."""
    out = []
    for item in page.ink:
        if isinstance(item, Stroke) and item.path.closed and len(item.path.points) == 2:
            (ax, ay), (bx, by) = item.path.points
            out.append(((ax + bx) / 2.0, (ay + by) / 2.0))
    return out


def shown(page: Page) -> Clip:
    (clip,) = [i for i in page.ink if isinstance(i, Clip)]
    return clip


def centre(page: Page) -> tuple[float, float]:
    """Where the ring's centre lies for a tile [mm on the page]."""
    (stroke,) = [i for i in shown(page).ink if isinstance(i, Stroke)]
    (ax, ay), (bx, by) = stroke.path.points
    return ((ax + bx) / 2.0, (ay + by) / 2.0)


@pytest.mark.parametrize("paper", [LETTER, A4])
def test_crosses_of_neighbours_fall_on_one_another(paper: Paper) -> None:
    pages = tile(ring(0.3), paper, STAMP)
    assert len(pages) > 4
    places: dict[tuple[float, float], int] = {}
    for page in pages:
        cx, cy = centre(page)
        assert len(crosses(page)) == 4
        for x, y in crosses(page):
            key = (round(x - cx, 6) + 0.0, round(y - cy, 6) + 0.0)
            places[key] = places.get(key, 0) + 1
    assert max(places.values()) >= 3
    steps = sorted({k[0] for k in places})
    assert np.diff(steps) == pytest.approx([np.diff(steps)[0]] * (len(steps) - 1), abs=1e-6)


@settings(max_examples=20)
@given(radius=st.floats(0.05, 0.5), overlap=st.floats(5.0, 30.0))
def test_every_point_of_the_drawing_is_on_a_sheet(radius: float, overlap: float) -> None:
    pages = tile(ring(radius), LETTER, STAMP, overlap=overlap)
    windows = []
    for page in pages:
        cx, cy = centre(page)
        x0, y0, x1, y1 = shown(page).window
        windows.append((x0 - cx, y0 - cy, x1 - cx, y1 - cy))
    for k in range(360):
        x, y = radius * 1000.0 * math.cos(math.radians(k)), radius * 1000.0 * math.sin(math.radians(k))
        assert any(a <= x <= c and b <= y <= d for a, b, c, d in windows)


@pytest.mark.parametrize("paper", [LETTER, LETTER.landscape(), A4, A4.landscape()])
def test_proof_bars_measure_true(paper: Paper, printed: Render) -> None:
    page = tile(ring(0.2), paper, STAMP)[0]
    mm = 25.4 / 1200
    found = []
    for word in ("6 in", "150 mm"):
        (label,) = [i for i in page.ink if isinstance(i, Words) and i.text == word]
        below = label.at[1] + 0.9 + 1.5
        row = printed(page, 1200, below, below + 0.5)[10]
        dark = np.flatnonzero(row[: round((label.at[0] + 90.0) / mm)])
        runs = np.split(dark, np.flatnonzero(np.diff(dark) > 1) + 1)
        middles = [(r[0] + r[-1] + 1) / 2.0 * mm for r in runs]
        found.append(middles[-1] - middles[-2])
    assert found == pytest.approx([152.4, 150.0], abs=0.03)


def test_drawing_is_at_full_size() -> None:
    page = one_piece(ring(0.3), STAMP)
    (stroke,) = [i for i in shown(page).ink if isinstance(i, Stroke)]
    (ax, _), (bx, _) = stroke.path.points
    assert abs(bx - ax) == pytest.approx(600.0)
    assert page.paper.width >= 600.0 + 24.0
    assert clashes(page) == ()


def test_the_check_across_the_taped_sheets_is_the_distance_of_its_crosses() -> None:
    pages = tile(ring(0.3), LETTER, STAMP, length=lambda m: f"{m * 1000.0:.2f} mm")
    text = " ".join(i.text for i in pages[0].ink if isinstance(i, Words))
    stated = float(text.split("Taped together,")[1].split(":")[1].split(" mm")[0])
    every = [(x - centre(p)[0], y - centre(p)[1]) for p in pages for x, y in crosses(p)]
    assert stated == pytest.approx(max(math.dist(a, b) for a in every for b in every), abs=0.01)


def test_sheets_with_nothing_on_them_are_left_out() -> None:
    s = Sketch()
    s.line((0.0, 0.0), (0.9, 0.0), "cut")
    s.line((0.0, 0.0), (0.0, 0.9), "cut")
    pages = tile(s.drawing(), LETTER, STAMP)
    assert 0 < len(pages) < 20
    names = {i.text for p in pages for i in p.ink if isinstance(i, Words) and i.height == 8.0}
    assert len(names) == len(pages)
    assert "A1" in names
    assert [p.number for p in pages] == list(range(1, len(pages) + 1))


@pytest.mark.parametrize("paper", [LETTER, A4])
def test_tiles_are_clean_and_say_what_to_do(paper: Paper, sample: ModuleType) -> None:
    pages = tile(ring(0.25), paper, sample.STAMP, length=sample.TAPE.length, watermark="NOT CLEARED: no cutting")
    for page in pages:
        assert clashes(page) == ()
        text = " ".join(i.text for i in page.all_ink() if isinstance(i, Words))
        for words in ("actual size", "do not cut", "cross on cross", "revision B", "NOT CLEARED", "HOLD TAG"):
            assert words in text
