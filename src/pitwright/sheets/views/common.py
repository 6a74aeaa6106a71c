"""What all sheets of one pit share: the stamp, the hold line, the watermark, and what may be issued at all."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pitwright import __version__
from pitwright.layout.model import Pit
from pitwright.sheets.page import Board, Page
from pitwright.sheets.paper import Area, Paper
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.stamp import Stamp

NOT_CLEARED = "NOT CLEARED: NO CUT MARKS"
"""Across every sheet of a vessel without a make-safe record."""

Figure = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetMaker:
    """One kind of sheet in the plan set.

    code   one word that other sheets refer to it by, such as `WRAP`
    title  what it shows
    whose  who works from it
    make   its pages on a paper; none where the pit has no such thing
    """

    code: str
    title: str
    whose: str
    make: Callable[[Pit, Paper], tuple[Page, ...]]


def new_board(
    pit: Pit,
    paper: Paper,
    code: str,
    title: str,
    *,
    check: Figure = ("", ""),
    key: Figure | None = None,
    note: str = "",
) -> Board:
    """An empty sheet of the set with its stamp filled.

    check  what proves the work on this sheet: a diagonal, a closing figure
    key    the figure that shows at a glance whether the sheet is of this vessel; its tape-around where not given
    """
    about = pit.job.job
    owner = " · ".join(p for p in (about.name, about.customer, about.number) if p)
    stamp = Stamp(
        shop=about.shop or "–",
        job=owner,
        title=f"{code}  {title}",
        revision=pit.revision,
        date=about.date.isoformat() if about.date else "not dated",
        who=f"Pitwright {__version__}",
        note=note,
        key=key or ("vessel, tape around", pit.tape.length(pit.vessel.around)),
        check=check,
        hold=hold_line(pit),
    )
    return Board(paper, stamp, system=pit.tape.system, watermark=watermark(pit))


def watermark(pit: Pit) -> str:
    """What is written across every sheet, empty for a vessel with its make-safe record."""
    return "" if pit.cleared else NOT_CLEARED


def hold_line(pit: Pit) -> str:
    """The hold-tag line over the title block; empty for a vessel with its make-safe record."""
    if pit.cleared:
        return ""
    held = pit.job.make_safe.held.strip() or pit.job.vessel.held.strip()
    known = "contents not stated" if held.lower() in ("", "unknown") else f"it held {held}"
    return f"HOLD: {known}; the make-safe record is not complete. Do not heat, cut or grind. No cut marks are issued."


def pit_sketch(pit: Pit) -> Sketch:
    """A sketch that writes sizes as this shop reads them."""
    return Sketch(length=pit.tape.length, angle=pit.tape.angle)


def known(pit: Pit, name: str) -> str:
    """The name of a figure where the pit has grounds for it, else nothing: what `about` of a dimension takes."""
    return name if name in pit.reasons else ""


def figure(pit: Pit, name: str) -> str:
    """A figure of the pit as the shop reads it."""
    reason = pit.reasons[name]
    return pit.tape.figure(reason.value, reason.measure)


def wide(paper: Paper) -> bool:
    """Whether drawings and lists go side by side on it: the long side of tabloid or A3 lies level."""
    return paper.width > 380.0


def side_by_side(board: Board, share: float, gap: float = 8.0) -> tuple[Area, Area]:
    """(room for the drawing, room for the lettering beside it) of a wide board."""
    right, left = board.area.right(board.area.width * share, gap)
    return left, right


def whole(figure: str) -> str:
    """A figure that is never broken between its number and its unit, in a column whose head may wrap."""
    return figure.replace(" ", "\N{NO-BREAK SPACE}")
