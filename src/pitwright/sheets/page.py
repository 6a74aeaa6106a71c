"""Pages: a board of paper on which views and blocks are placed, and the finished page.

    board = Board(LETTER.landscape(), stamp, system="inch")
    left, right = board.area.columns((3, 2))
    board.view(side_view, left, title="Side view")
    rest = board.column((Table(...), Notes(...)), right)
    page = board.page()
    pages = numbered(page, *flow(rest, more_board))

Everything is in millimetres from the sheet's top left corner.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from pitwright.errors import OutputError
from pitwright.sheets import lettering
from pitwright.sheets.blocks import Block, Gap
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.ink import Box, Ink, Scale, Words, block, extent, rectangle, shifted
from pitwright.sheets.paper import Area, Fitted, Paper, StatedScale, fit_scale, laid, largest
from pitwright.sheets.stamp import MARGIN, Stamp, frame, title_block, work_area
from pitwright.tape import System

_TITLE = 3.0
_CAPTION = 10.0  # height of a view's caption [mm]
_NARROW = 15.0  # the same, with the scale bar on a line of its own
_FOOT = 0.3048

_BARS: dict[System, tuple[tuple[float, str], ...]] = {
    "inch": tuple(
        (n * _FOOT / 12.0, f'{n}"' if n < 12 else f"{n // 12}'") for n in (1, 2, 3, 6, 12, 24, 36, 60, 120, 240)
    ),
    "metric": tuple((n / 1000.0, f"{n} mm") for n in (10, 20, 50, 100, 200, 500, 1000, 2000, 5000)),
}


@dataclass(frozen=True, slots=True)
class Room:
    """A part of a page given to one thing, and how far that thing's ink reaches [mm]."""

    name: str
    box: Box
    reach: Box


@dataclass(frozen=True, slots=True)
class Page:
    """A finished page: its work, its stamp, and its number in the set."""

    paper: Paper
    ink: tuple[Ink, ...]
    rooms: tuple[Room, ...] = ()
    stamp: Stamp | None = None
    scale: str = ""
    watermark: str = ""
    number: int = 1
    count: int = 1

    @property
    def sheet(self) -> Area:
        """The whole sheet [mm]."""
        return Area(0.0, 0.0, self.paper.width, self.paper.height)

    def all_ink(self) -> tuple[Ink, ...]:
        """Everything on the page in the order it is laid down: watermark, work, frame, title block.

        The watermark is written once more on the upper edge, so that a pale print still says it.
        """
        ink: list[Ink] = []
        if self.watermark:
            ink.append(_watermark(self.watermark, self.sheet))
        ink.extend(self.ink)
        if self.stamp:
            ink.extend(frame(self.sheet, self.stamp))
            for cell in title_block(self.sheet, self.stamp, self.scale, f"{self.number} of {self.count}"):
                ink.extend(cell.ink)
        if self.watermark:
            at = (self.sheet.width / 2.0, MARGIN + 1.3)
            ink.append(Words(at, self.watermark, 2.6, anchor="middle", bold=True, plate=True, loose=True))
        return tuple(ink)

    def all_rooms(self) -> tuple[Room, ...]:
        """The rooms of the work and the cells of the title block."""
        if not self.stamp:
            return self.rooms
        cells = title_block(self.sheet, self.stamp, self.scale, f"{self.number} of {self.count}")
        return self.rooms + tuple(Room(c.name, c.area.box, extent(c.ink)) for c in cells)


@dataclass(frozen=True, slots=True)
class View:
    """Where a drawing came to stand on a page and at what scale."""

    scale: StatedScale
    origin: tuple[float, float]

    def point(self, p: tuple[float, float]) -> tuple[float, float]:
        """A point of the drawing [m] on the page [mm]."""
        return Scale(self.scale.ratio, self.origin).point(p)


class Board:
    """A sheet while it is being filled. `area` is what the frame and the title block leave."""

    def __init__(self, paper: Paper, stamp: Stamp, *, system: System = "inch", watermark: str = ""):
        self.paper = paper
        self.system: System = system
        self._stamp = stamp
        self._watermark = watermark
        self._ink: list[Ink] = []
        self._rooms: list[Room] = []
        self._scales: list[str] = []
        self.area = work_area(Area(0.0, 0.0, paper.width, paper.height), stamp)

    def view(
        self,
        drawing: Drawing,
        area: Area,
        *,
        title: str = "",
        scale: StatedScale | None = None,
        caption: bool = True,
    ) -> View:
        """Place a drawing in the middle of an area, at the largest standard scale that fits or at a given one.

        caption: its title, stated scale and scale bar under it.
        """
        room = area.bottom(_caption_height(area, title))[1] if caption else area
        if scale:
            fitted = laid(drawing, scale)
        else:
            fitted = fit_scale(drawing, room.width, room.height, self.system)
        return self._set(fitted, area, room, title, caption)

    def views(
        self,
        area: Area,
        rows: Sequence[Sequence[tuple[str, Drawing]]],
        *,
        together: bool = True,
        gap: float = 8.0,
    ) -> tuple[View, ...]:
        """Place titled drawings in rows and columns at the largest one scale at which all fit.

        together: keep that scale for all; otherwise each then takes the largest its own room allows.
        """
        flat = [(title, drawing) for row in rows for title, drawing in row]
        drawings = [d for _, d in flat]

        def in_rows(fitted: Sequence[Fitted]) -> list[Sequence[Fitted]]:
            ends = [sum(len(row) for row in rows[: i + 1]) for i in range(len(rows))]
            return [fitted[end - len(row) : end] for row, end in zip(rows, ends, strict=True)]

        def cells(fitted: Sequence[Fitted]) -> tuple[Area, ...]:
            return _cells(area, in_rows(fitted), gap)

        def rooms(fitted: Sequence[Fitted]) -> Sequence[tuple[float, float]]:
            lined = in_rows(fitted)
            wide = max(sum(f.width for f in row) + gap * (len(row) - 1) for row in lined)
            tall = sum(max(f.height for f in row) + _NARROW for row in lined) + gap * (len(lined) - 1)
            if wide > area.width or tall > area.height:
                return ()
            return [(cell.width, cell.height - _NARROW) for cell in cells(fitted)]

        fitted = largest(drawings, rooms, self.system)
        placed: list[View] = []
        for one, cell, (title, drawing) in zip(fitted, cells(fitted), flat, strict=True):
            room = cell.bottom(_caption_height(cell, title))[1]
            if not together:
                one = fit_scale(drawing, room.width, room.height, self.system)
            placed.append(self._set(one, cell, room, title, True))
        return tuple(placed)

    def put(self, block: Block, area: Area, gap: float = 4.0) -> Area:
        """Draw a block at the top of an area; gives back what is left below it.

        Raises OutputError where the block is taller than the area; `column` splits instead.
        """
        tall = block.height(area.width)
        if tall > area.height + 1e-6:
            raise OutputError(
                "a block is taller than its room on the sheet",
                value=f"{tall:.0f} mm",
                allowed=f"{area.height:.0f} mm",
                remedy="Let it flow over sheets, or give it more room.",
            )
        ink = block.draw(area.x, area.y, area.width)
        self.add(type(block).__name__, ink, Area(area.x, area.y, area.width, tall))
        return area.top(tall, gap)[1]

    def column(self, blocks: Sequence[Block], area: Area, gap: float = 5.0) -> tuple[Block, ...]:
        """Draw blocks one under another; gives back what did not fit, for the next column or sheet."""
        waiting = list(blocks)
        while waiting:
            first, rest = waiting[0].split(area.width, area.height)
            if first is not None:
                space = 0.0 if isinstance(first, Gap) else gap
                area = self.put(first, area, space)
            if rest is None:
                waiting.pop(0)
                continue
            waiting[0] = rest
            break
        return tuple(waiting)

    def add(self, name: str, ink: Sequence[Ink], room: Area) -> None:
        """Ink made elsewhere, and the room it was given."""
        self._ink.extend(ink)
        self._rooms.append(Room(name, room.box, extent(ink)))

    def page(self) -> Page:
        """The finished page."""
        scales = sorted(set(self._scales))
        stated = scales[0] if len(scales) == 1 else ("as noted" if scales else "–")
        return Page(
            self.paper,
            tuple(self._ink),
            tuple(self._rooms),
            self._stamp,
            stated,
            self._watermark,
        )

    def _set(self, fitted: Fitted, area: Area, room: Area, title: str, caption: bool) -> View:
        x0, y0, x1, y1 = fitted.box
        origin = (room.x + room.width / 2.0 - (x0 + x1) / 2.0, room.y + room.height / 2.0 - (y0 + y1) / 2.0)
        self.add(title or "view", shifted(fitted.ink, *origin), room)
        self._scales.append(fitted.scale.text)
        if caption:
            strip = area.bottom(_caption_height(area, title))[0]
            self.add(f"{title} caption", _caption(strip, title, fitted.scale, self.system), strip)
        return View(fitted.scale, origin)


def flow(
    blocks: Sequence[Block],
    new_board: Callable[[], Board],
    areas: Callable[[Board], Sequence[Area]] = lambda board: (board.area,),
) -> tuple[Page, ...]:
    """Pages for blocks that follow one another, columns and sheets being filled in turn.

    Raises OutputError where a block's smallest piece is taller than a whole column.
    """
    waiting = tuple(blocks)
    pages: list[Page] = []
    while waiting:
        board = new_board()
        before = waiting
        for area in areas(board):
            waiting = board.column(waiting, area)
        if waiting == before:
            raise OutputError(
                "a block does not fit on a whole sheet", remedy="Choose larger paper, or wrap more of its columns."
            )
        pages.append(board.page())
    return tuple(pages)


def numbered(*pages: Page) -> tuple[Page, ...]:
    """The pages as one set: 1 of n to n of n."""
    return tuple(replace(p, number=i, count=len(pages)) for i, p in enumerate(pages, 1))


def scale_bar(x: float, y: float, ratio: float, most: float, system: System) -> tuple[Ink, ...]:
    """A bar of a round true length, at most so long on paper [mm], from its left end; `y` is its lower edge."""
    factor = 1000.0 * ratio
    length, text = max((b for b in _BARS[system] if b[0] * factor <= most), default=_BARS[system][0])
    long = length * factor
    ink: list[Ink] = [rectangle((x, y - 1.5, x + long, y), "thin")]
    ink += [block((x + k * long / 4.0, y - 1.5, x + (k + 1) * long / 4.0, y)) for k in (0, 2)]
    ink.append(Words((x + long + 1.2, y), text, 1.8))
    ink.append(Words((x - 1.0, y), "0", 1.8, anchor="right"))
    return tuple(ink)


def _caption_height(area: Area, title: str) -> float:
    return _CAPTION if _beside(area, title) >= 24.0 else _NARROW


def _beside(area: Area, title: str) -> float:
    """Room for a scale bar beside the caption's lettering [mm]."""
    taken = max(lettering.width(title, _TITLE, bold=True), lettering.width('1-1/2" = 1\'-0" (1:192)', 2.1))
    return area.width - taken - 22.0


def _caption(strip: Area, title: str, scale: StatedScale, system: System) -> tuple[Ink, ...]:
    size = lettering.shrunk(title, strip.width, _TITLE, 1.8, bold=True)
    ink: list[Ink] = [
        Words((strip.x, strip.y + 2.2 + _TITLE), title, size, bold=True),
        Words((strip.x, strip.y + 9.2), scale.text, 2.1),
    ]
    room = _beside(strip, title)
    if room >= 24.0:
        bar = scale_bar(0.0, 0.0, scale.ratio, min(room, 60.0), system)
        ink.extend(shifted(bar, strip.x + strip.width - extent(bar)[2], strip.y + 9.2))
    else:
        ink.extend(scale_bar(strip.x + 3.0, strip.y + 13.6, scale.ratio, min(strip.width - 18.0, 60.0), system))
    return tuple(ink)


def _cells(area: Area, rows: Sequence[Sequence[Fitted]], gap: float) -> tuple[Area, ...]:
    """Rooms for views: what each needs on paper, and an even share of what is over."""
    tall = [max(f.height for f in row) + _NARROW for row in rows]
    spare = (area.height - sum(tall) - gap * (len(rows) - 1)) / len(rows)
    out: list[Area] = []
    for row, band in zip(rows, area.rows([t + spare for t in tall], gap), strict=True):
        over = (area.width - sum(f.width for f in row) - gap * (len(row) - 1)) / len(row)
        out.extend(band.columns([f.width + over for f in row], gap))
    return tuple(out)


def _watermark(text: str, sheet: Area) -> Words:
    lean = math.atan2(sheet.height, sheet.width)
    room = 0.72 * math.hypot(sheet.width, sheet.height)
    size = lettering.shrunk(text, room, 22.0, 5.0, bold=True)
    x, y = sheet.x + sheet.width / 2.0, sheet.y + sheet.height / 2.0 - 10.0
    at = (x + size / 2.0 * math.sin(lean), y + size / 2.0 * math.cos(lean))
    return Words(at, text, size, anchor="middle", angle=lean, bold=True, tone=0.10, loose=True)
