"""Make the lettering the sheets are set in, from an open-licence condensed sans-serif.

Cuts the fonts down to what a shop sheet needs, adds the few drawing signs they lack, and takes kerning out, so that a
line's width is exactly the sum of its letters' widths everywhere it is shown. The licence asks for a new name.

    python tools/make_font.py FOLDER_WITH_TTF src/pitwright/sheets/fonts

FOLDER_WITH_TTF is `fontpkg_ibm_plex_sans_condensed/files` of the PyPI wheel `fontpkg-ibm-plex-sans-condensed` 1.3.
"""

from __future__ import annotations

import sys
from pathlib import Path

from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

FAMILY = "Pitwright Sans"
WEIGHTS = {"Regular": (400, 80), "Bold": (700, 132)}  # name: (weight, pen width in font units)
RANGES = ((0x20, 0x7E), (0xA0, 0x17F), (0x2010, 0x2044), (0x2070, 0x209F), (0x2150, 0x215F), (0x2190, 0x2199))
SIGNS = "ˆ˜˚μ€№™∂∆∏∑−∕∙√∞∫≈≠≤≥■●✓✗"
SAME_AS = {"⌀": "Ø", "Δ": "∆", "μ": "µ"}


def main(source: Path, target: Path) -> None:
    """Write both weights into `target`."""
    for style, (weight, pen_width) in WEIGHTS.items():
        font = TTFont(source / f"IBMPlexSansCondensed-{style}.ttf", recalcTimestamp=False)
        cut_down(font)
        add_signs(font, pen_width)
        rename(font, style, weight)
        font.save(target / f"PitwrightSans-{style}.ttf")


def cut_down(font: TTFont) -> None:
    """Keep the letters of `RANGES` and `SIGNS`; drop kerning, alternates and hinting."""
    options = Options()
    options.layout_features = []
    options.hinting = False
    options.name_IDs = ["*"]
    options.notdef_outline = True
    options.drop_tables += ["GPOS", "GSUB", "GDEF", "DSIG", "meta", "gasp"]
    subsetter = Subsetter(options)
    codes = {c for low, high in RANGES for c in range(low, high + 1)} | {ord(c) for c in SIGNS}
    subsetter.populate(unicodes=codes)
    subsetter.subset(font)


def add_signs(font: TTFont, pen: int) -> None:
    """Draw the signs the fonts lack: angle, square, square to."""
    for sign, like in SAME_AS.items():
        code = font.getBestCmap().get(ord(like))
        if code:
            map_to(font, sign, code)
    draw(font, "∠", 620, [[(60, 0), (560, 0), (560, pen), (60 + 1.6 * pen, pen), (470, 560), (400, 610), (60, pen)]])
    draw(font, "⊥", 600, [[(60, 0), (540, 0), (540, pen), (300 + pen / 2, pen), (300 + pen / 2, 698),
                           (300 - pen / 2, 698), (300 - pen / 2, pen), (60, pen)]])  # fmt: skip
    square(font, "□", 698, pen, 60)
    square(font, "☐", 698, pen, 60)
    draw(font, "▲", 640, [[(40, 0), (600, 0), (320, 560)]])
    draw(font, "▼", 640, [[(40, 560), (600, 560), (320, 0)]])


def square(font: TTFont, sign: str, width: int, pen: int, side: int) -> None:
    """An empty square standing on the base line."""
    low, high = side, width - side
    draw(
        font,
        sign,
        width,
        [
            [(low, 0), (high, 0), (high, high - low), (low, high - low)],
            [(low + pen, pen), (low + pen, high - low - pen), (high - pen, high - low - pen), (high - pen, pen)],
        ],
    )


def draw(font: TTFont, sign: str, width: int, contours: list[list[tuple[float, float]]]) -> None:
    """Add one glyph made of straight contours (solid ones anticlockwise, holes clockwise)."""
    pen = TTGlyphPen(None)
    for contour in contours:
        points = [(round(x), round(y)) for x, y in reversed(contour)]
        pen.moveTo(points[0])
        for p in points[1:]:
            pen.lineTo(p)
        pen.closePath()
    name = f"uni{ord(sign):04X}"
    glyph = pen.glyph()
    font.setGlyphOrder([*font.getGlyphOrder(), name])
    font["glyf"][name] = glyph
    glyph.recalcBounds(font["glyf"])
    font["hmtx"][name] = (width, glyph.xMin)
    map_to(font, sign, name)


def map_to(font: TTFont, sign: str, glyph: str) -> None:
    """Show `glyph` for a sign."""
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap[ord(sign)] = glyph


def rename(font: TTFont, style: str, weight: int) -> None:
    """The new name, with the old copyright kept."""
    names = font["name"]
    copyright_ = str(names.getName(0, 3, 1, 0x409))
    names.names = []
    postscript = FAMILY.replace(" ", "") + "-" + style
    for key, text in {
        0: copyright_ + " Cut down, extended and renamed for Pitwright.",
        1: FAMILY,
        2: style,
        3: f"1.0;{postscript}",
        4: f"{FAMILY} {style}",
        5: "Version 1.0",
        6: postscript,
        13: "This Font Software is licensed under the SIL Open Font License, Version 1.1.",
        14: "https://openfontlicense.org",
    }.items():
        names.setName(text, key, 3, 1, 0x409)
    font["OS/2"].usWeightClass = weight
    font["OS/2"].achVendID = "NONE"


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
