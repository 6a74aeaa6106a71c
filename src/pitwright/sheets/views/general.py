"""The general sheets: side view, both end views, plan view, each with its check list."""

from __future__ import annotations

from collections.abc import Sequence

from pitwright.layout.model import Pit
from pitwright.sheets.blocks import Block, Notes
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.page import Board, Page, flow
from pitwright.sheets.paper import Area, Paper
from pitwright.sheets.views.common import Figure, new_board, side_by_side, wide
from pitwright.sheets.views.ends import end_heights, fire_end_view, stack_end_view
from pitwright.sheets.views.plan import plan_view
from pitwright.sheets.views.side import side_view
from pitwright.sheets.views.wants import (
    check_list,
    end_wants,
    fire_heights,
    heights,
    rail_wants,
    stack_station,
    stations,
)

SIDE, ENDS, PLAN = "SIDE", "ENDS", "PLAN"


def side_pages(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """The side view."""
    hand = "right" if pit.vessel.hand > 0 else "left"
    along = tuple(sorted((*stations(pit), *stack_station(pit)), key=lambda w: w.value))
    blocks = (
        check_list(pit, heights(pit), "Off the floor, cook chamber"),
        check_list(pit, fire_heights(pit), "Off the floor, firebox"),
        check_list(pit, along, f"Along, from the {pit.vessel.datum} seam"),
        _notes(pit, f"Seen from the working side, firebox on the {hand}."),
    )
    check = ("base, corner to corner", pit.tape.fine(pit.base.diagonal))
    views = [[("Side view, from the working side", side_view(pit))]]
    return _sheets(pit, paper, SIDE, "Side view", views, blocks, check)


def end_pages(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Both end views."""
    views = [
        [
            ("From the stack end, door and slides open", stack_end_view(pit)),
            ("From the firebox end", fire_end_view(pit)),
        ]
    ]
    blocks = (
        check_list(pit, end_wants(pit), "Across"),
        check_list(pit, end_heights(pit), "Off the floor"),
        _notes(pit, "Dash-dot grey: the door and the slides as they stand open."),
    )
    check = ("between foot marks, corner to corner", pit.tape.fine(pit.base.feet_diagonal))
    return _sheets(pit, paper, ENDS, "End views", views, blocks, check)


def plan_pages(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """The plan view."""
    blocks = (
        check_list(pit, rail_wants(pit), "Along each rail, from its stack end"),
        _notes(pit, "Seen from above, working side at the foot of the sheet. Dashed: the base under the vessel."),
    )
    check = ("base, corner to corner", pit.tape.fine(pit.base.diagonal))
    return _sheets(pit, paper, PLAN, "Plan view", [[("Plan view", plan_view(pit))]], blocks, check)


def _notes(pit: Pit, first: str) -> Notes:
    lines = [first, "Piece marks in balloons are those of the cut list. Thin boxes are bought things, size assumed."]
    if not pit.cleared:
        lines.append(
            "Nothing that places a cut on the vessel is dimensioned here: the make-safe record is not complete."
        )
    return Notes(tuple(lines), title="Notes")


def _sheets(
    pit: Pit,
    paper: Paper,
    code: str,
    title: str,
    views: Sequence[Sequence[tuple[str, Drawing]]],
    blocks: tuple[Block, ...],
    check: Figure,
) -> tuple[Page, ...]:
    """The views with their lists beside them, or on sheets of their own where the paper is small."""

    def board(name: str = title) -> Board:
        return new_board(pit, paper, code, name, check=check)

    first = board()
    area, waiting = first.area, blocks
    if wide(paper):
        area, text = side_by_side(first, 0.25)
        waiting = first.column(blocks, text)
    first.views(area, views)
    return (first.page(), *flow(waiting, lambda: board(f"{title}, check lists"), _columns))


def _columns(board: Board) -> tuple[Area, ...]:
    return board.area.columns((1.0, 1.0, 1.0) if wide(board.paper) else (1.0, 1.0), 8.0)
