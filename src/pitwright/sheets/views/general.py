"""The general sheets: side view, both end views, plan view, each with its check list."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from pitwright.errors import OutputError
from pitwright.layout.model import Pit
from pitwright.sheets.blocks import Block
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.lettered import Callout
from pitwright.sheets.page import Board, Page, flow
from pitwright.sheets.paper import Area, Paper, fit_scale
from pitwright.sheets.views.common import Figure, SheetMaker, new_board, side_by_side, wide
from pitwright.sheets.views.ends import fire_end_view, stack_end_view
from pitwright.sheets.views.plan import plan_view
from pitwright.sheets.views.side import side_view
from pitwright.sheets.views.wants import (
    check_list,
    end_wants,
    fire_heights,
    heights,
    rail_wants,
    stations,
)

Views = Sequence[Sequence[tuple[str, Drawing]]]

_BESIDE = 0.22  # share of a wide sheet for the lists beside a view
_CAPTION = 15.0  # room for a view's caption [mm]
_MARKS = "Balloons: piece marks of the cut list. Thin boxes: bought things, size assumed."


def side_pages(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """The side view."""
    hand = "right" if pit.vessel.hand > 0 else "left"
    along = tuple(w for w in stations(pit) if not w.cut)  # cuts are checked off on the wrap lists
    blocks = (
        check_list(pit, heights(pit), "Off the floor, cook chamber"),
        check_list(pit, fire_heights(pit), "Off the floor, firebox"),
        check_list(pit, along, f"Along, from the {pit.vessel.datum} seam"),
    )
    check = ("base, corner to corner", pit.tape.fine(pit.base.diagonal))
    views = [[("Side view, from the working side", side_view(pit))]]
    note = f"Seen from the working side: the firebox is on the {hand}. {_MARKS}"
    return _sheets(pit, paper, "SIDE", "Side view", views, blocks, check, note)


def end_pages(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Both end views."""
    views = [
        [
            ("From the stack end, door and slides open", stack_end_view(pit)),
            ("From the firebox end", fire_end_view(pit)),
        ]
    ]
    check = ("foot marks, corner to corner", pit.tape.fine(pit.base.feet_diagonal))
    note = f"Dash-dot grey: door and slides as they stand open. {_MARKS}"
    return _sheets(pit, paper, "ENDS", "End views", views, (check_list(pit, end_wants(pit), "Across"),), check, note)


def plan_pages(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """The plan view."""
    blocks = (check_list(pit, rail_wants(pit), "Along each rail, from its stack end"),)
    check = ("base, corner to corner", pit.tape.fine(pit.base.diagonal))
    note = "Seen from above, working side at the foot of the sheet. Dashed: the base under the vessel."
    return _sheets(pit, paper, "PLAN", "Plan view", [[("Plan view", plan_view(pit))]], blocks, check, note)


SIDE = SheetMaker(code="SIDE", title="Side view", whose="everyone", make=side_pages)
ENDS = SheetMaker(code="ENDS", title="End views, door and slides open", whose="everyone", make=end_pages)
PLAN = SheetMaker(code="PLAN", title="Plan view", whose="base and legs", make=plan_pages)


def _sheets(
    pit: Pit,
    paper: Paper,
    code: str,
    title: str,
    views: Views,
    blocks: tuple[Block, ...],
    check: Figure,
    note: str,
) -> tuple[Page, ...]:
    """The views with their lists beside them; the lists on sheets of their own where that shows the views larger."""

    def board(name: str = title) -> Board:
        return new_board(pit, paper, code, name, check=check, note=note)

    first = board()
    area, waiting = first.area, blocks
    for views_room, list_rooms in _ways(first, board, blocks):
        if _as_large(views, views_room, area, pit):
            area = views_room
            for room in list_rooms:
                waiting = first.column(waiting, room)
            break
    first.views(area, views)
    return (first.page(), *flow(waiting, lambda: board(f"{title}, check lists"), _columns))


def _ways(first: Board, new: Callable[[], Board], blocks: Sequence[Block]) -> Iterator[tuple[Area, tuple[Area, ...]]]:
    """Rooms for views and lists on one wide sheet: lists beside the views, or in columns under them."""
    if not wide(first.paper):
        return
    beside, text = side_by_side(first, _BESIDE)
    yield beside, (text,)
    for tall in range(30, 90, 8):
        strip, over = first.area.bottom(float(tall), 6.0)
        rooms = strip.columns((1.0,) * 3, 8.0)
        trial, waiting = new(), tuple(blocks)
        for room in rooms:
            waiting = trial.column(waiting, room)
        if not waiting:
            yield over, rooms
            return


def _as_large(views: Views, beside: Area, whole: Area, pit: Pit) -> bool:
    """Whether a lone view comes out as large beside its lists as on the whole sheet."""
    if sum(len(row) for row in views) > 1:
        return True
    bare = Drawing(tuple(p for p in views[0][0][1].primitives if not isinstance(p, Callout)))
    try:
        small, large = (fit_scale(bare, a.width, a.height - _CAPTION, pit.tape.system) for a in (beside, whole))
    except OutputError:
        return False
    return small.scale == large.scale


def _columns(board: Board) -> tuple[Area, ...]:
    return board.area.columns((1.0, 1.0, 1.0) if wide(board.paper) else (1.0, 1.0), 8.0)
