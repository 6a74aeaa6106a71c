"""The frame and the title block: what every sheet says about itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pitwright.sheets import lettering
from pitwright.sheets.ink import Ink, Words, line, rectangle
from pitwright.sheets.lettering import LINE
from pitwright.sheets.paper import Area

MARGIN = 10.0
"""From the paper's edge to the frame [mm]; office printers leave about 6 mm white."""
STRIP = 25.0
"""Height of the title block [mm]."""
HOLD = 6.0
"""Height of the hold line above it [mm]."""
_LABEL = 1.6
_SIDE = 1.6


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """What the title block says.

    key    (what it is, the figure): the one figure that shows at a glance whether a sheet is of this pit
    check  (what it is, the figure): the diagonal or closing figure that proves the work on the sheet
    hold   the hold-tag line; empty where nothing is held
    """

    shop: str
    job: str
    title: str
    revision: str
    date: str
    who: str
    note: str = ""
    key: tuple[str, str] = ("", "")
    check: tuple[str, str] = ("", "")
    hold: str = ""


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of the title block and the ink in it."""

    name: str
    area: Area
    ink: tuple[Ink, ...]


def work_area(sheet: Area, stamp: Stamp) -> Area:
    """What the frame and the title block leave for the work [mm]."""
    inner = sheet.inset(MARGIN)
    taken = STRIP + (HOLD if stamp.hold else 0.0)
    return inner.bottom(taken)[1].inset(5.0)


def frame(sheet: Area, stamp: Stamp) -> tuple[Ink, ...]:
    """The frame round the sheet and the lines of the title block."""
    inner = sheet.inset(MARGIN)
    strip, _ = inner.bottom(STRIP)
    ink: list[Ink] = [rectangle(inner.box, "outline")]
    ink.append(line((strip.x, strip.y), (strip.x + strip.width, strip.y), "outline"))
    for cell in _cells(strip):
        ink.append(rectangle(cell.box, "thin"))
    if stamp.hold:
        ink.append(line((strip.x, strip.y - HOLD), (strip.x + strip.width, strip.y - HOLD), "outline"))
    return tuple(ink)


def title_block(sheet: Area, stamp: Stamp, scale: str, number: str) -> tuple[Cell, ...]:
    """The cells of the title block. scale: as stated; number: `3 of 12`."""
    strip, above = sheet.inset(MARGIN).bottom(STRIP)
    shop, title, proof, stated, revision, date, who, sheet_no = _cells(strip)
    cells = [
        Cell("shop", shop, tuple(_shop(shop, stamp))),
        Cell("title", title, tuple(_title(title, stamp))),
        Cell("key figure", proof, tuple(_proof(proof, stamp))),
        Cell("scale", stated, tuple(_small(stated, "scale", scale, 2.2))),
        Cell("revision", revision, tuple(_small(revision, "revision", stamp.revision, 2.6))),
        Cell("date", date, tuple(_small(date, "date", stamp.date, 2.2))),
        Cell("by", who, tuple(_small(who, "by", stamp.who, 2.2))),
        Cell("sheet", sheet_no, tuple(_small(sheet_no, "sheet", number, 3.2))),
    ]
    if stamp.hold:
        band = above.bottom(HOLD)[0]
        size = lettering.shrunk(stamp.hold, band.width - 2.0 * _SIDE, 2.8, 1.8, bold=True)
        at = (band.x + band.width / 2.0, band.y + (HOLD + size) / 2.0)
        cells.append(Cell("hold", band, (Words(at, stamp.hold, size, anchor="middle", bold=True),)))
    return tuple(cells)


def _cells(strip: Area) -> tuple[Area, ...]:
    shop, title, proof, small = strip.columns((25.0, 29.0, 22.0, 24.0), gap=0.0)
    first, second, third = small.rows((1.0, 1.0, 1.0), gap=0.0)
    stated, revision = first.columns((62.0, 38.0), gap=0.0)
    date, who = second.columns((50.0, 50.0), gap=0.0)
    return shop, title, proof, stated, revision, date, who, third


def _label(area: Area, text: str, down: float = 0.0) -> Words:
    return Words((area.x + _SIDE, area.y + 1.2 + _LABEL + down), text, _LABEL)


def _small(area: Area, label: str, text: str, size: float) -> Iterator[Ink]:
    yield _label(area, label)
    fitted = lettering.shrunk(text, area.width - 2.0 * _SIDE, size, 1.5, bold=True)
    yield Words((area.x + _SIDE, area.y + area.height - 1.6), text, fitted, bold=True)


def _lines(area: Area, text: str, top: float, size: float, most: int, *, bold: bool) -> Iterator[Ink]:
    """Text wrapped into at most so many lines, made smaller until it goes in."""
    room = area.width - 2.0 * _SIDE
    while len(lettering.wrap(text, room, size, bold)) > most and size > 1.6:
        size -= 0.1
    for i, t in enumerate(lettering.wrap(text, room, size, bold)):
        yield Words((area.x + _SIDE, area.y + top + size * (1.0 + LINE * i)), t, size, bold=bold)


def _shop(area: Area, stamp: Stamp) -> Iterator[Ink]:
    yield _label(area, "shop")
    yield from _lines(area, stamp.shop, 4.0, 2.8, 1, bold=True)
    yield _label(area, "job", 8.6)
    yield from _lines(area, stamp.job, 12.6, 2.8, 2, bold=False)


def _title(area: Area, stamp: Stamp) -> Iterator[Ink]:
    yield _label(area, "sheet shows")
    yield from _lines(area, stamp.title, 4.4, 3.8, 2, bold=True)
    if stamp.note:
        yield from _lines(area, stamp.note, 17.4, 1.9, 2, bold=False)


def _proof(area: Area, stamp: Stamp) -> Iterator[Ink]:
    for (label, figure), down, fallback in ((stamp.key, 0.0, "key figure"), (stamp.check, 12.5, "check")):
        yield _label(area, label or fallback, down)
        size = lettering.shrunk(figure or "–", area.width - 2.0 * _SIDE, 4.2, 1.8, bold=True)
        yield Words((area.x + _SIDE, area.y + down + 10.0), figure or "–", size, bold=True)
