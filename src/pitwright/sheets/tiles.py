"""Full-size drawings on office paper: tiles to be laid over each other by their crosses, or one piece off a roll.

Every tile carries a 6 in and a 150 mm bar to be measured before anything is cut, a map of the tiles, and crosses at
the corners that fall on one another where two tiles overlap.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from pitwright.parts import Point2
from pitwright.sheets import lettering
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.ink import (
    Box,
    Clip,
    Ink,
    Path,
    Stroke,
    Words,
    block,
    disc,
    extent,
    line,
    rectangle,
    shifted,
)
from pitwright.sheets.laying import lay
from pitwright.sheets.lettering import LINE
from pitwright.sheets.page import Page, Room, numbered
from pitwright.sheets.paper import FULL_SIZE, Area, Paper
from pitwright.sheets.stamp import Stamp

EDGE = 12.0
"""From the paper's edge to the window the drawing is seen through [mm]."""
FOOT = 38.0
"""Height of the foot with the bars and the map [mm]."""
_LABEL_WIDE = 34.0
_CROSS = 4.0
_BARS: tuple[tuple[float, str, int], ...] = ((152.4, "6 in", 6), (150.0, "150 mm", 15))
_TELL = (
    "Measure both bars with your own tape before you cut. If they are not 6 in and 150 mm, print again at actual size "
    "(100 %, not fitted to the page) and do not cut from this print."
)
_JOIN = "Tape the sheets together cross on cross."


@dataclass(frozen=True, slots=True)
class _Grid:
    """Tiles over a drawing: window size, step from tile to tile, counts, and where the first window starts [mm]."""

    paper: Paper
    window: Area
    overlap: float
    columns: int
    rows: int
    start: Point2

    @property
    def step(self) -> Point2:
        return (self.window.width - self.overlap, self.window.height - self.overlap)

    def seen(self, row: int, column: int) -> Box:
        """The part of the drawing a tile shows."""
        x = self.start[0] + column * self.step[0]
        y = self.start[1] + row * self.step[1]
        return (x, y, x + self.window.width, y + self.window.height)

    def cross(self, row: int, column: int) -> Point2:
        """A cross of the lattice, in the drawing."""
        half = self.overlap / 2.0
        return (self.start[0] + half + column * self.step[0], self.start[1] + half + row * self.step[1])


def tile(
    drawing: Drawing,
    paper: Paper,
    stamp: Stamp,
    *,
    overlap: float = 15.0,
    length: Callable[[float], str] | None = None,
    watermark: str = "",
) -> tuple[Page, ...]:
    """A drawing at full size over as few sheets as can be, upright or level; sheets with nothing on them are left out.

    length  writes the check from the first cross to the last [m], to be measured when all is taped together
    """
    ink = lay(drawing, FULL_SIZE.ratio)
    return _tiled(ink, _best(extent(ink), paper, overlap), stamp, length, watermark)


def one_piece(drawing: Drawing, stamp: Stamp, *, watermark: str = "") -> Page:
    """A drawing at full size on one piece of paper off a roll, with the same bars."""
    ink = lay(drawing, FULL_SIZE.ratio)
    x0, y0, x1, y1 = extent(ink)
    wide = max(x1 - x0 + 8.0, _LABEL_WIDE + 160.0)
    paper = Paper.roll(math.ceil(wide + 2.0 * EDGE), math.ceil(y1 - y0 + 8.0 + 2.0 * EDGE + FOOT))
    return _tiled(ink, _grid((x0, y0, x1, y1), paper, 0.0), stamp, None, watermark)[0]


def _best(box: Box, paper: Paper, overlap: float) -> _Grid:
    ways = [_grid(box, p, overlap) for p in (paper.portrait(), paper.landscape())]
    return min(ways, key=lambda g: g.rows * g.columns)


def _grid(box: Box, paper: Paper, overlap: float) -> _Grid:
    window = Area(EDGE, EDGE, paper.width - 2.0 * EDGE, paper.height - 2.0 * EDGE - FOOT)
    wide, tall = box[2] - box[0] + 2.0, box[3] - box[1] + 2.0
    columns = max(1, math.ceil((wide - overlap) / (window.width - overlap)))
    rows = max(1, math.ceil((tall - overlap) / (window.height - overlap)))
    over_x = columns * (window.width - overlap) + overlap - wide
    over_y = rows * (window.height - overlap) + overlap - tall
    start = (box[0] - 1.0 - over_x / 2.0, box[1] - 1.0 - over_y / 2.0)
    return _Grid(paper, window, overlap, columns, rows, start)


def _tiled(
    ink: tuple[Ink, ...], grid: _Grid, stamp: Stamp, length: Callable[[float], str] | None, watermark: str
) -> tuple[Page, ...]:
    printed = {
        (r, c): tuple(i for i in ink if _seen(i, grid.seen(r, c)))
        for r in range(grid.rows)
        for c in range(grid.columns)
    }
    printed = {key: seen for key, seen in printed.items() if seen}
    several = len(printed) > 1
    check = _check(grid, list(printed), length) if several and length else ""
    pages: list[Page] = []
    for count, (key, seen) in enumerate(printed.items(), 1):
        window = grid.window
        x0, y0, _, _ = grid.seen(*key)
        body: list[Ink] = [Clip(window.box, shifted(seen, window.x - x0, window.y - y0))]
        if several:
            body.extend(_crosses(grid, key))
            body.extend(_neighbours(grid, key, printed))
        foot = Area(window.x, window.y + window.height + 4.0, window.width, FOOT - 4.0)
        text = _foot(foot, grid, key, printed, stamp, check, f"sheet {count} of {len(printed)}")
        body.append(rectangle(window.box, "thin"))
        rooms = (Room("tile foot", foot.box, extent(text)),)
        pages.append(Page(grid.paper, (*body, *text), rooms, scale=FULL_SIZE.text, watermark=watermark))
    return numbered(*pages)


def _seen(item: Ink, window: Box) -> bool:
    """Whether any of it falls into a window."""
    if isinstance(item, Stroke):
        return any(_meets(p, q, window) for p, q in item.path.chords())
    x0, y0, x1, y1 = extent((item,))
    return x0 <= window[2] and x1 >= window[0] and y0 <= window[3] and y1 >= window[1]


def _meets(p: Point2, q: Point2, box: Box) -> bool:
    if max(p[0], q[0]) < box[0] or min(p[0], q[0]) > box[2]:
        return False
    if max(p[1], q[1]) < box[1] or min(p[1], q[1]) > box[3]:
        return False
    nx, ny = p[1] - q[1], q[0] - p[0]
    sides = [nx * (x - p[0]) + ny * (y - p[1]) for x in (box[0], box[2]) for y in (box[1], box[3])]
    return min(sides) <= 0.0 <= max(sides)


def _name(key: tuple[int, int]) -> str:
    """Rows are letters, columns figures: A1 at the top left."""
    row, letters = key[0], ""
    while row >= 0:
        letters = chr(ord("A") + row % 26) + letters
        row = row // 26 - 1
    return f"{letters}{key[1] + 1}"


_CORNERS = {"top left": (0, 0), "top right": (0, 1), "bottom left": (1, 0), "bottom right": (1, 1)}


def _check(grid: _Grid, keys: list[tuple[int, int]], length: Callable[[float], str]) -> str:
    """The longest distance between two crosses that are both printed."""
    crosses = [
        (grid.cross(r + dr, c + dc), f"{corner} cross of {_name((r, c))}")
        for r, c in keys
        for corner, (dr, dc) in _CORNERS.items()
    ]
    a, b = max(
        ((a, b) for i, a in enumerate(crosses) for b in crosses[i + 1 :]),
        key=lambda pair: round(math.dist(pair[0][0], pair[1][0]), 6),
    )
    return f"Taped together, {a[1]} to {b[1]}: {length(math.dist(a[0], b[0]) / 1000.0)}."


def _crosses(grid: _Grid, key: tuple[int, int]) -> Iterator[Ink]:
    x0, y0, _, _ = grid.seen(*key)
    for dr, dc in _CORNERS.values():
        cx, cy = grid.cross(key[0] + dr, key[1] + dc)
        x, y = cx - x0 + grid.window.x, cy - y0 + grid.window.y
        yield Stroke(disc((x, y), _CROSS / 2.0), "thin")
        yield line((x - _CROSS, y), (x + _CROSS, y), "thin")
        yield line((x, y - _CROSS), (x, y + _CROSS), "thin")


def _neighbours(grid: _Grid, key: tuple[int, int], printed: dict[tuple[int, int], tuple[Ink, ...]]) -> Iterator[Ink]:
    """Which tile joins on at each edge, written outside the window."""
    w = grid.window
    r, c = key
    middle = (w.x + w.width / 2.0, w.y + w.height / 2.0)
    for other, at, angle in (
        ((r - 1, c), (middle[0], w.y - 1.5), 0.0),
        ((r + 1, c), (middle[0], w.y + w.height + 3.3), 0.0),
        ((r, c - 1), (w.x - 1.5, middle[1]), math.pi / 2.0),
        ((r, c + 1), (w.x + w.width + 3.3, middle[1]), math.pi / 2.0),
    ):
        if other in printed:
            yield Words(at, f"{_name(other)} joins here", 1.8, anchor="middle", angle=angle)


def _foot(
    foot: Area,
    grid: _Grid,
    key: tuple[int, int],
    printed: dict[tuple[int, int], tuple[Ink, ...]],
    stamp: Stamp,
    check: str,
    count: str,
) -> tuple[Ink, ...]:
    label, rest = foot.left(_LABEL_WIDE)
    several = len(printed) > 1
    ink: list[Ink] = [
        Words((label.x, label.y + 8.0), _name(key) if several else "1:1", 8.0, bold=True),
        Words((label.x, label.y + 12.2), count if several else "full size", 2.0),
    ]
    if several:
        ink += _map(Area(label.x, label.y + 14.5, label.width - 5.0, label.height - 15.5), grid, key, printed)
    y = rest.y
    for long, text, parts in _BARS:
        ink.extend(_bar(rest.x, y + 3.6, long, text, parts))
        y += 7.0
    y += 0.8
    who = f"{stamp.shop} · {stamp.job} · {stamp.title}"
    when = f"revision {stamp.revision} · {stamp.date} · {stamp.who} · {stamp.key[0]} {stamp.key[1]}".rstrip(" ·")
    room = rest.width - 1.0
    for text, bold in ((who, True), (when, False), (stamp.hold, True)):
        if text:
            size = lettering.shrunk(text, room, 2.0, 1.5, bold)
            ink.append(Words((rest.x, y + 2.0), text, size, bold=bold))
            y += 3.3
    tell = f"{_TELL} {_JOIN} {check}".strip() if several else _TELL
    for i, text in enumerate(lettering.wrap(tell, room, 1.7)):
        ink.append(Words((rest.x, y + 1.7 * (1.0 + (LINE - 0.15) * i)), text, 1.7))
    return tuple(ink)


def _bar(x: float, y: float, long: float, text: str, parts: int) -> Iterator[Ink]:
    """A proof bar: true from the first upright tick to the last."""
    yield line((x, y), (x + long, y), "thin")
    for k in range(parts + 1):
        tall = 2.4 if k in (0, parts) else 1.0
        yield line((x + k * long / parts, y - tall), (x + k * long / parts, y + (tall if tall > 1.0 else 0.0)), "thin")
    yield Words((x + long / 2.0 + long / parts / 2.0, y - 0.9), text, 2.0, anchor="middle", bold=True, plate=True)


def _map(
    area: Area, grid: _Grid, key: tuple[int, int], printed: dict[tuple[int, int], tuple[Ink, ...]]
) -> Iterator[Ink]:
    """Where this tile lies among the others: black here, outlined where there is a sheet, dashed where none is needed."""
    wide, tall = grid.window.width, grid.window.height
    unit = min(area.width / (wide * grid.columns), area.height / (tall * grid.rows))
    for r in range(grid.rows):
        for c in range(grid.columns):
            x, y = area.x + c * wide * unit, area.y + r * tall * unit
            box = (x, y, x + wide * unit, y + tall * unit)
            if (r, c) == key:
                yield block(box, 0.85)
            elif (r, c) in printed:
                yield rectangle(box, "mark")
            else:
                yield Stroke(Path(((box[0], box[3]), (box[2], box[1]))), "thin")
