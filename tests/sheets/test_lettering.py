"""Lettering: what the fonts can show, how wide it is, how it breaks."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageFont

from pitwright.sheets import lettering

TEXTS = ["37-1/2″", "LEGS and RAILS", "11.3° off square", 'Ø 8-5/8" → ±1/16', "WAVE To AV.", "µ ∠ ½ ⅞ ≤ ≥ ×"]
words = st.text(alphabet='abc DEF 0123456789-/"°', min_size=1, max_size=60)


def test_the_fonts_show_every_sign_a_sheet_uses() -> None:
    signs = "0123456789-/.,:;()[]+=%&'\"″′½¼¾⅛⅜⅝⅞Ø⌀°±→←↑↓≤≥µμ∠×–—·•√²³⁄−≈Δ□☐▲▼✓⊥éöñç"
    assert lettering.unprintable(signs) == ""
    assert lettering.unprintable("37 漢") == "漢"


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("text", TEXTS)
def test_width_is_what_a_font_renderer_measures(text: str, bold: bool) -> None:
    """Independent: FreeType through Pillow, at one unit to a font unit."""
    path = lettering.FONT_FOLDER / f"PitwrightSans-{'Bold' if bold else 'Regular'}.ttf"
    font = ImageFont.truetype(str(path), 1000)
    want = font.getlength(text) / 1000.0 * lettering.font_size(2.5)
    assert lettering.width(text, 2.5, bold) == pytest.approx(want, rel=1e-3)


def test_height_is_the_height_of_capitals() -> None:
    """Independent: the box FreeType draws an H in."""
    font = ImageFont.truetype(str(lettering.FONT_FOLDER / "PitwrightSans-Regular.ttf"), 1000)
    _, top, _, bottom = font.getbbox("H")
    assert (bottom - top) / 1000.0 == pytest.approx(lettering.CAPITAL, abs=0.002)


def test_figures_are_all_as_wide_so_that_columns_stand_straight() -> None:
    for bold in (False, True):
        assert len({lettering.width(d, 2.5, bold) for d in "0123456789"}) == 1


@given(text=words, room=st.floats(8.0, 60.0))
def test_wrapped_lines_fit_and_nothing_is_lost(text: str, room: float) -> None:
    lines = lettering.wrap(text, room, 2.5)
    assert all(lettering.width(line, 2.5) <= room + 1e-9 or len(line) <= 1 for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_wrap_keeps_line_ends() -> None:
    assert lettering.wrap("one\ntwo", 100.0, 2.5) == ("one", "two")


@given(text=words, room=st.floats(10.0, 60.0))
def test_shrunk_fits_unless_it_would_be_too_small(text: str, room: float) -> None:
    size = lettering.shrunk(text, room, 5.0, 1.8)
    assert 1.8 <= size <= 5.0
    assert lettering.width(text, size) <= room + 1e-9 or size == 1.8


def test_shortened_ends_in_an_ellipsis() -> None:
    short = lettering.shortened("a long line of words", 20.0, 2.5)
    assert short.endswith("…")
    assert lettering.width(short, 2.5) <= 20.0
    assert lettering.shortened("short", 50.0, 2.5) == "short"
