"""The detail sheets on every paper: nothing in the way of anything else, a key and a check figure, a blank to write in."""

from __future__ import annotations

import pytest

from detail_sheets import EXAMPLES, MAKERS, VARIANTS, example, papers, text, variant
from pitwright.layout.model import Pit
from pitwright.sheets.clash import clashes
from pitwright.sheets.paper import LETTER
from pitwright.sheets.views.common import NOT_CLEARED, SheetMaker


def check(maker: SheetMaker, pit: Pit) -> None:
    for paper in papers(pit):
        pages = maker.make(pit, paper)
        for page in pages:
            assert clashes(page) == (), (maker.code, paper.name, paper.width)
            assert page.stamp is not None
            assert page.stamp.key[1] not in ("", "–")
            assert page.stamp.check[1] not in ("", "–")
            assert page.stamp.title.startswith(maker.code)
        assert pages or (maker.code == "LEGS" and not pit.leg_sets)


@pytest.mark.parametrize("maker", MAKERS, ids=lambda m: m.code)
@pytest.mark.parametrize("name", EXAMPLES)
def test_sheets_of_the_examples_do_not_clash(maker: SheetMaker, name: str) -> None:
    check(maker, example(name))


@pytest.mark.parametrize("maker", MAKERS[:7], ids=lambda m: m.code)
@pytest.mark.parametrize("name", VARIANTS)
def test_sheets_of_other_builds_do_not_clash(maker: SheetMaker, name: str) -> None:
    pit = variant(name)
    for page in maker.make(pit, LETTER.landscape()):
        assert clashes(page) == ()


@pytest.mark.parametrize("maker", MAKERS, ids=lambda m: m.code)
def test_an_open_record_is_said_on_every_sheet(maker: SheetMaker) -> None:
    pages = maker.make(example("yard-37", cleared=False), LETTER)
    for page in pages:
        assert clashes(page) == ()
        assert page.watermark == NOT_CLEARED
        assert page.stamp is not None
        assert page.stamp.hold


@pytest.mark.parametrize("maker", MAKERS[:7], ids=lambda m: m.code)
def test_every_sheet_to_work_from_leaves_blanks(maker: SheetMaker) -> None:
    assert "got" in text(maker.make(example("orchard-30"), LETTER))


def test_marks_on_the_vessel_are_withheld_until_it_is_cleared() -> None:
    """Door edges, stack hole, drain and a window in the vessel's own end: on the sheet when cleared, not before."""
    cleared, held = example("yard-37"), example("yard-37", cleared=False)
    tape, vessel = cleared.tape, cleared.vessel
    door = cleared.doors[0]
    secret = {
        "DOORS": (tape.fine(door.diagonal), tape.length(vessel.station(door.x0)), tape.length(door.arc)),
        "STACK": ("stack centre, station", "Marks on the vessel", tape.length(cleared.stack.hole_around)),
        "GRATES": (f"drain: station {tape.length(vessel.station(cleared.grates.drain_x))}",),
        "FIREBOX": (tape.length(cleared.throat.widest),),
    }
    for maker in MAKERS:
        if maker.code not in secret:
            continue
        shown = " ".join(text(maker.make(cleared, LETTER)))
        kept = " ".join(text(maker.make(held, LETTER)))
        for figure in secret[maker.code]:
            assert figure in shown, (maker.code, figure)
        assert "make-safe record is not complete" in kept
        for figure in secret[maker.code]:
            assert f" {figure} " not in f" {kept} ", (maker.code, figure)
