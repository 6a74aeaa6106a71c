"""The plan set: every sheet of a pit, numbered, in the order the work meets them.

A sheet is added by one line in `SHEETS`. Sheets refer to one another by code (`see WRAP`), the cover says on which
pages each code stands.
"""

from __future__ import annotations

from collections.abc import Sequence

from pitwright.layout.model import Pit
from pitwright.parts import Point2
from pitwright.sheets.page import Page, numbered
from pitwright.sheets.paper import Paper
from pitwright.sheets.views import (
    cover,
    upright_crew,
    upright_details,
    upright_doors,
    upright_firebox,
    upright_general,
)
from pitwright.sheets.views.base import BASE
from pitwright.sheets.views.cautions import CAUTIONS
from pitwright.sheets.views.check import CHECK
from pitwright.sheets.views.common import SheetMaker
from pitwright.sheets.views.cover import ContentsLine, cover_pages
from pitwright.sheets.views.crew import MAN_BASE, MAN_PLATE, MAN_VESSEL
from pitwright.sheets.views.cuts import CUTS
from pitwright.sheets.views.doors import DOORS
from pitwright.sheets.views.fire import FIRE
from pitwright.sheets.views.firebox import FIREBOX
from pitwright.sheets.views.first_fire import FIRST_FIRE
from pitwright.sheets.views.general import ENDS, PLAN, SIDE
from pitwright.sheets.views.grates import GRATES
from pitwright.sheets.views.legs import LEGS
from pitwright.sheets.views.lift import LIFT
from pitwright.sheets.views.lists import PARTS, WEIGHTS
from pitwright.sheets.views.nests import NESTS
from pitwright.sheets.views.order import ORDER
from pitwright.sheets.views.placard import PLACARD
from pitwright.sheets.views.pulls import PULLS
from pitwright.sheets.views.stack import STACK
from pitwright.sheets.views.stand import STAND
from pitwright.sheets.views.survey import SURVEY
from pitwright.sheets.views.tow import TOW
from pitwright.sheets.views.welds import WELDS
from pitwright.sheets.views.wrap import WRAP

SHEETS: tuple[SheetMaker, ...] = (
    CAUTIONS,
    SURVEY,
    ORDER,
    MAN_VESSEL,
    MAN_BASE,
    MAN_PLATE,
    SIDE,
    ENDS,
    PLAN,
    WRAP,
    PULLS,
    CUTS,
    NESTS,
    BASE,
    LEGS,
    FIREBOX,
    DOORS,
    STACK,
    GRATES,
    WELDS,
    CHECK,
    FIRE,
    STAND,
    LIFT,
    TOW,
    PARTS,
    WEIGHTS,
    PLACARD,
    FIRST_FIRE,
)
"""Every sheet of a pit that lies, in the order the work meets them."""

ON_END: dict[str, SheetMaker] = {
    maker.code: maker
    for maker in (
        upright_crew.MAN_VESSEL,
        upright_crew.MAN_BASE,
        upright_crew.MAN_PLATE,
        upright_general.SIDE,
        upright_general.PLAN,
        upright_details.BASE,
        upright_firebox.FIREBOX,
        upright_doors.DOORS,
        upright_details.STACK,
        upright_details.GRATES,
        upright_crew.CHECK,
    )
}
"""Sheets that are made otherwise for a vessel on end, by their code."""

NOT_ON_END = (ENDS, LEGS, TOW)
"""Sheets a vessel on end does not have."""


def sheets_of(pit: Pit) -> tuple[SheetMaker, ...]:
    """Every sheet this pit may have, in order."""
    if pit.upright is None:
        return SHEETS
    return tuple(ON_END.get(maker.code, maker) for maker in SHEETS if maker not in NOT_ON_END)


def plan_set(
    pit: Pit,
    paper: Paper,
    picture: Sequence[Sequence[Point2]] = (),
    sheets: Sequence[SheetMaker] | None = None,
) -> tuple[Page, ...]:
    """All pages, numbered: the cover first, then every sheet the pit has.

    picture  lines of the finished pit as it stands, for the cover, in the plane of their view [m]
    sheets   which sheets, in order; all this pit has where not given
    """
    made = [
        (maker, pages) for maker in (sheets_of(pit) if sheets is None else sheets) if (pages := maker.make(pit, paper))
    ]
    before = 1
    while True:
        front = cover_pages(pit, paper, picture, _contents(made, before))
        if len(front) == before:
            return numbered(*front, *(page for _, pages in made for page in pages))
        before = len(front)


def dead_sheets(before: Pit, after: Pit, paper: Paper, sheets: Sequence[SheetMaker] | None = None) -> tuple[str, ...]:
    """Sheets of the last revision that no longer hold: those whose work is drawn or lettered otherwise now."""
    out = []
    for maker in sheets_of(after) if sheets is None else sheets:
        old, new = (tuple(page.ink for page in maker.make(pit, paper)) for pit in (before, after))
        if old and old != new:
            out.append(f"{maker.code}  {maker.title}, revision {before.revision}")
    return tuple(out)


def _contents(made: Sequence[tuple[SheetMaker, tuple[Page, ...]]], before: int) -> tuple[ContentsLine, ...]:
    """The contents list where the cover takes the first `before` pages."""
    lines = [ContentsLine(pages=_span(1, before), code=cover.CODE, title=cover.TITLE, whose="everyone")]
    first = before + 1
    for maker, pages in made:
        last = first + len(pages) - 1
        lines.append(ContentsLine(pages=_span(first, last), code=maker.code, title=maker.title, whose=maker.whose))
        first = last + 1
    return tuple(lines)


def _span(first: int, last: int) -> str:
    return str(first) if first == last else f"{first}–{last}"
