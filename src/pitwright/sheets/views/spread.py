"""Filling the sheets of one piece of work: its views and, beside or under them, its figures, lists and notes."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass

from pitwright.errors import OutputError
from pitwright.layout.model import Pit
from pitwright.sheets.blocks import Block, Notes, total_height
from pitwright.sheets.clash import clashes
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.ink import Ink
from pitwright.sheets.page import Board, Page, flow
from pitwright.sheets.paper import Area
from pitwright.sheets.table import Column, Table

Views = Sequence[tuple[str, Drawing]]
Rows = list[list[tuple[str, Drawing]]]

_GAP = 8.0  # between views and lettering [mm]
_APART = 5.0  # between two blocks of a column [mm]
_UNDER = 0.52  # lettering goes under the views where it takes no more than this of the sheet
_SMALLER = 0.45  # lettering may make the views so much smaller than a sheet of their own would show them
_BESIDE = 80.0  # least width of a column of lettering [mm]


def spread(
    new_board: Callable[[], Board],
    views: Views,
    blocks: Sequence[Block],
    *,
    share: float = 0.36,
    together: bool = True,
    columns: int | None = None,
) -> tuple[Page, ...]:
    """Pages with the views first; lettering beside them, under them or after them, on as few sheets as can be.

    Views are set in whichever rows give the largest scale with nothing in the way of anything else; each gets a
    sheet of its own where no such way is found.

    share     of the sheet's width for lettering beside the views
    together  all views at one scale
    columns   of lettering on sheets without views; as few as need the fewest sheets where not given
    """
    blocks = tuple(blocks)
    if not views:
        return _lettered(new_board, blocks, columns)
    found: list[tuple[Page, ...]] = []
    whole = _set(new_board(), new_board, new_board().area, views, together)
    for room, lettering in _divisions(new_board().area, blocks, share):
        board = new_board()
        scale = _set(board, new_board, room, views, together)
        if scale <= _SMALLER * whole:
            continue
        waiting = blocks
        for area in lettering:
            waiting = board.column(waiting, area, _APART)
        found.append((board.page(), *_lettered(new_board, waiting, columns)))
        if len(found[-1]) == 1:
            break
    if found:
        return min(found, key=len)
    alone = tuple(page for one in views for page in _alone(new_board, one))
    return (*alone, *_lettered(new_board, blocks, columns))


def _alone(new_board: Callable[[], Board], view: tuple[str, Drawing]) -> tuple[Page]:
    board = new_board()
    board.view(view[1], board.area, title=view[0])
    return (board.page(),)


def _lettered(new_board: Callable[[], Board], blocks: tuple[Block, ...], columns: int | None) -> tuple[Page, ...]:
    """Pages of lettering alone, in the number of columns that needs the fewest pages."""
    most = max(1, int((new_board().area.width + _GAP) // (_BESIDE + _GAP)))
    best: tuple[Page, ...] | None = None
    for count in (columns,) if columns else range(1, most + 1):
        try:
            pages = flow(blocks, new_board, lambda board, n=count: board.area.columns((1.0,) * n, _GAP))  # type: ignore[misc]
        except OutputError:
            if best is None and count == (columns or most):
                raise
            continue
        if best is None or len(pages) < len(best):
            best = pages
    assert best is not None  # the last count either made pages or raised
    return best


def _divisions(area: Area, blocks: tuple[Block, ...], share: float) -> Iterator[tuple[Area, tuple[Area, ...]]]:
    """(room for the views, columns for the lettering), the likeliest first; the last has no room for lettering."""
    if blocks:
        if area.width > 1.2 * area.height:
            beside, views = area.right(max(area.width * share, _BESIDE), _GAP)
            yield views, (beside,)
        for count in range(1, int((area.width + _GAP) // (_BESIDE + _GAP)) + 1):
            tall = _column_height(blocks, (area.width - _GAP * (count - 1)) / count, count, _UNDER * area.height)
            if tall:
                under, views = area.bottom(tall, _GAP)
                yield views, under.columns((1.0,) * count, _GAP)
    yield area, ()


def _column_height(blocks: tuple[Block, ...], width: float, count: int, most: float) -> float:
    """Least height at which the blocks go into so many columns [mm]; 0 where they do not within `most`."""
    try:
        tall = max(total_height(blocks, width) / count, 30.0)
        while tall <= most:
            waiting: list[Block] = list(blocks)
            for _ in range(count):
                waiting = _poured(waiting, width, tall)
            if not waiting:
                return tall + 0.5
            tall += 4.0
    except OutputError:  # a table is wider than the column
        pass
    return 0.0


def _poured(blocks: list[Block], width: float, room: float) -> list[Block]:
    """What is left of the blocks when a column of a height is filled with them, as `Board.column` fills it."""
    waiting = list(blocks)
    while waiting:
        first, rest = waiting[0].split(width, room)
        if first is not None:
            room -= first.height(width) + _APART
        if rest is not None:
            return [rest, *waiting[1:]]
        waiting.pop(0)
    return []


def _set(board: Board, new_board: Callable[[], Board], area: Area, views: Views, together: bool) -> float:
    """Place the views in the best rows that leave everything readable.

    Gives back their scale (the geometric mean), 0 where there are no such rows.
    """
    tried: list[tuple[float, Rows, Page]] = []
    for rows in _arrangements(views):
        trial = new_board()
        try:
            placed = trial.views(area, rows, together=together)
        except OutputError:
            continue
        mean = math.exp(math.fsum(math.log(v.scale.ratio) for v in placed) / len(placed))
        tried.append((mean, rows, trial.page()))
    for mean, rows, page in sorted(tried, key=lambda t: -t[0]):
        if not clashes(page):
            board.views(area, rows, together=together)
            return mean
    return 0.0


def _arrangements(views: Views) -> list[Rows]:
    """Ways to set views in rows, in their order: one row, one column, and pairs."""
    every = list(views)
    ways: list[Rows] = [[every]]
    if len(every) > 1:
        ways.append([[one] for one in every])
    if len(every) > 2:
        ways.append([every[i : i + 2] for i in range(0, len(every), 2)])
        ways.append([every[:1], every[1:]])
    return ways


@dataclass(frozen=True, slots=True)
class ByWidth:
    """A block that is set one way where there is room for it [mm] and another way where there is not."""

    wide: Block
    narrow: Block
    least: float

    def _one(self, width: float) -> Block:
        return self.wide if width >= self.least else self.narrow

    def height(self, width: float) -> float:
        """How tall it is at a width [mm]."""
        return self._one(width).height(width)

    def draw(self, x: float, y: float, width: float) -> tuple[Ink, ...]:
        """Its ink with its top left corner at (x, y) [mm]."""
        return self._one(width).draw(x, y, width)

    def split(self, width: float, room: float) -> tuple[Block | None, Block | None]:
        """(what fits into a room [mm], what is left)."""
        first, rest = self._one(width).split(width, room)
        return first, self if first is None else rest


def want_list(title: str, wants: Sequence[tuple[str, str]], about: Sequence[str] = ()) -> Table:
    """Figures as they are wanted, and a blank beside each for what was got."""
    return Table(
        (Column("what", wrap=True), Column("want", align="right", bold=True), Column("got", blank=True)),
        tuple((what, want, "") for what, want in wants),
        title=title,
        about=tuple(about),
    )


def verdicts(pit: Pit, pieces: Collection[str]) -> tuple[Block, ...]:
    """What has become of pieces that are already cut, where something has been measured; nothing otherwise."""
    lines = tuple(f"{v.mark}: {v.verdict.upper()}. {v.text}" for v in pit.verdicts if v.mark in pieces)
    return (Notes(lines, title="Already cut", bold=True),) if lines else ()


def withheld(pit: Pit, what: str) -> tuple[Block, ...]:
    """Says which figures are kept back while the vessel's make-safe record is open; nothing once it is complete."""
    if pit.cleared:
        return ()
    line = f"{what} are not on this sheet: the vessel's make-safe record is not complete. Fill and sign the hold tag."
    return (Notes((line,), title="Held back", bold=True),)
