"""The first-fire card: one page that goes out with the pit. Settings, what to expect, what to write down, what can hurt."""

from __future__ import annotations

from functools import partial

from pitwright.fire.of_pit import bands_of, report_of, warm_up_of
from pitwright.fire.report import CAUTIONS, Setting, first_burn
from pitwright.fire.result import NoFire
from pitwright.layout.model import Pit
from pitwright.sheets.blocks import Block, Notes
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import SheetMaker, new_board
from pitwright.sheets.views.spread import spread

CODE, TITLE = "FIRST", "First-fire card"


def first_fire_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Burn-in, settings with a box for what was read, cautions; none where the fire does not draw (the fire sheet says why)."""
    report = report_of(pit)
    if isinstance(report.outcome, NoFire):
        return ()
    settings = first_burn(report.case, report.outcome, pit.tape, bands_of(pit), warm_up_of(pit))
    board = partial(
        new_board,
        pit,
        paper,
        CODE,
        TITLE,
        key=("air inlet", settings[0].value),
        check=("wanted at the grate", pit.tape.temperature(pit.job.order.cook_temperature)),
    )
    return spread(board, (), (_burn_in(), settings_table(settings), _cautions()))


FIRST_FIRE = SheetMaker(code=CODE, title=TITLE, whose="everyone", make=first_fire_sheets)


def _burn_in() -> Block:
    lines = (
        "Outdoors, clear of anything that burns, water or an extinguisher at hand. Doors open, damper and inlets full open.",
        "A small fire first, one hour: oil, mill scale and paint smoke off, water sweats out of green steel. No food.",
        "Let it cool, wipe it out, oil the inside thinly with food oil.",
        "Second fire, slowly up to cooking heat, three hours. Look at every weld and the drain while it is warm.",
        "Then the settings below, and five thermometers along the main grate: read them once it has held for half an hour.",
    )
    return Notes(lines, title="Burn-in, in this order", numbered=True, size=2.6)


def settings_table(settings: tuple[Setting, ...]) -> Table:
    """What to set and expect, how sure that is, and a box for what was read."""
    columns = (
        Column("", wrap=True, bold=True),
        Column("set or expect", wrap=True, bold=True),
        Column("how sure", wrap=True),
        Column("got", blank=True, least=24.0),
    )
    return Table(
        columns,
        tuple((s.name, s.value, s.sure, "") for s in settings),
        title="Settings, and what came of them",
        size=2.5,
    )


def _cautions() -> Notes:
    return Notes(tuple(f"{c.about.capitalize()}: {c.text}" for c in CAUTIONS), title="What can hurt", size=2.4)
