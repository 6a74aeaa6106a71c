"""Lettering: how wide a line of text is on paper, and how it breaks.

Widths come from the shipped fonts, which have no kerning: a line is as wide as its letters' widths added up.
Heights are the height of figures and capitals [mm of paper], as a drawing office states them.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

FAMILY = "Pitwright Sans"
FONT_FOLDER = Path(__file__).parent / "fonts"
CAPITAL = 0.698
"""Height of capitals over font size (the fonts' own figure: 698 of 1000 units)."""
LINE = 1.75
"""Distance between lines of text over the height of capitals."""
_BELOW = 0.30  # how far tails hang below the base line, over the height of capitals
_TAILS = frozenset("gjpqyQ,;()[]{}/|@_ç§µμ⁄½¼¾⅛⅜⅝⅞")


def font_size(height: float) -> float:
    """Font size for capitals of a height [mm]."""
    return height / CAPITAL


@lru_cache(maxsize=20_000)
def width(text: str, height: float, bold: bool = False) -> float:
    """Width of one line of text [mm]. A letter the font lacks counts as its empty box."""
    advance, missing = _advances(bold)
    return sum(advance.get(c, missing) for c in text) * font_size(height)


def unprintable(text: str) -> str:
    """The letters of a text that the fonts cannot show."""
    return "".join(c for c in text if c not in _advances(False)[0])


def hang(text: str, height: float) -> float:
    """How far a line's tails hang below its base line [mm]."""
    return _BELOW * height if any(c in _TAILS for c in text) else 0.02 * height


def wrap(text: str, room: float, height: float, bold: bool = False) -> tuple[str, ...]:
    """The text in lines no wider than `room` [mm]; line ends in it are kept, a word too long for a line is broken."""
    out: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in paragraph.split(" "):
            longer = f"{line} {word}" if line else word
            if width(longer, height, bold) <= room:
                line = longer
                continue
            if line:
                out.append(line)
            while width(word, height, bold) > room and len(word) > 1:
                cut = _break(word, room, height, bold)
                out.append(word[:cut])
                word = word[cut:]
            line = word
        out.append(line)
    return tuple(out)


def shortened(text: str, room: float, height: float, bold: bool = False) -> str:
    """The text, or as much of it as fits with an ellipsis."""
    if width(text, height, bold) <= room:
        return text
    while text and width(text + "…", height, bold) > room:
        text = text[:-1]
    return text.rstrip() + "…"


def shrunk(text: str, room: float, height: float, least: float, bold: bool = False) -> float:
    """The height at which one line fits into `room` [mm], not above `height` and not under `least`."""
    wide = width(text, height, bold)
    return height if wide <= room else max(least, height * room / wide)


def _break(word: str, room: float, height: float, bold: bool) -> int:
    cut = len(word)
    while cut > 1 and width(word[:cut], height, bold) > room:
        cut -= 1
    return cut


@lru_cache(maxsize=2)
def _advances(bold: bool) -> tuple[dict[str, float], float]:
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    style = "Bold" if bold else "Regular"
    with TTFont(FONT_FOLDER / f"PitwrightSans-{style}.ttf", lazy=True) as font:
        units = font["head"].unitsPerEm
        advances = font["hmtx"].metrics
        letters = {chr(code): advances[glyph][0] / units for code, glyph in font.getBestCmap().items()}
        return letters, advances[".notdef"][0] / units
