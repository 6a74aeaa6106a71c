"""The standing, lifting and towing sheets, and the warning on the cover: readable on every paper, true to the report."""

from __future__ import annotations

import dataclasses
import functools
from pathlib import Path
from typing import Any

import pytest

import workbench
from detail_sheets import text
from pitwright.job.file import job_from, read_toml
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.sheets.clash import clashes
from pitwright.sheets.page import Page
from pitwright.sheets.paper import LETTER, TABLOID, Paper
from pitwright.sheets.views.cover import cover_pages
from pitwright.sheets.views.lift import LIFT
from pitwright.sheets.views.stand import STAND
from pitwright.sheets.views.tow import TOW
from pitwright.strength.standing import stand

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
PAPERS = (TABLOID.landscape(), LETTER.portrait())
LUGS: dict[str, Any] = {
    "proportions": {"lift": {"lugs": True, "pad_size": "6", "pad_around": "4", "pad_thickness": "1/4"}}
}


@functools.cache
def example(name: str, lugs: bool = False) -> Pit:
    changes = LUGS if lugs else {}
    return solve(job_from(workbench.merged(read_toml(EXAMPLES / f"{name}.toml"), changes), folder=EXAMPLES))


def axles_ahead(pit: Pit, by: float) -> Pit:
    tow = pit.base.tongue
    assert tow is not None
    axles = tuple(
        dataclasses.replace(a, x=a.x + tow.end * by, hangers=tuple(h + tow.end * by for h in a.hangers))
        for a in pit.base.axles
    )
    return dataclasses.replace(pit, base=dataclasses.replace(pit.base, axles=axles))


def joined(pages: tuple[Page, ...]) -> str:
    return " ".join(text(pages))


@pytest.mark.parametrize("paper", PAPERS, ids=lambda p: p.name)
@pytest.mark.parametrize(
    ("name", "lugs"),
    [("orchard-30", False), ("yard-37", True), ("pipe-24-saddles", True), ("stand-24", True), ("cart-20", False), ("trailer-48", True)],
)  # fmt: skip
def test_nothing_lies_on_anything(name: str, lugs: bool, paper: Paper) -> None:
    pit = example(name, lugs)
    pages = tuple(page for maker in (STAND, LIFT, TOW) for page in maker.make(pit, paper))
    assert pages
    for page in pages:
        assert not clashes(page), f"{name} on {paper.name}"


def test_the_standing_sheet_says_what_was_reckoned() -> None:
    pit = example("orchard-30")
    report, said = stand(pit), joined(STAND.make(pit, PAPERS[0]))
    assert f"{report.worst:.2f}" in said
    for foot in report.made.feet:
        assert foot.name in said
    assert "sole over a level line" in said
    assert pit.tape.fine(pit.base.diagonal) in said
    for part in ("Fingers are caught", "licensed engineer", "Not checked: earthquake"):
        assert part in said


def test_the_lifting_sheet_hangs_it_by_its_lugs() -> None:
    pit = example("yard-37", lugs=True)
    report, said = stand(pit), joined(LIFT.make(pit, PAPERS[0]))
    for sling in report.lifting.slings:
        assert pit.tape.length(sling.length) in said
    assert pit.tape.mass(pit.balance["empty"].mass) in said
    assert "Nobody under the load" in said
    assert "spreader" not in joined(LIFT.make(pit, PAPERS[0])).split("Cautions")[0].replace(
        "or use a spreader beam", ""
    )


def test_only_a_trailer_has_a_towing_sheet() -> None:
    assert TOW.make(example("orchard-30"), PAPERS[0]) == ()
    said = joined(TOW.make(example("trailer-48"), PAPERS[0]))
    towing = stand(example("trailer-48")).towing
    assert towing is not None
    assert example("trailer-48").tape.length(towing.place) in said
    for state in towing.states:
        assert f"{state.share:.1%}" in said
    for part in ("safety chain", "lights", "Road law differs by place", "licensed engineer", "never tow a lit pit"):
        assert part in said


def test_no_frame_figures_where_the_tongue_is_wrong() -> None:
    """Under 8 or over 18 percent: the sheet refuses, says how far the axle must go, and gives no place to build to."""
    wrong = axles_ahead(example("trailer-48"), 0.6)
    towing = stand(wrong).towing
    assert towing is not None
    assert not towing.fit
    said = joined(TOW.make(wrong, PAPERS[0]))
    assert "NOT FIT TO TOW" in said
    assert "Move the axle" in said
    assert "Axle and load" not in said
    assert wrong.tape.length(towing.place) not in said


def test_the_cover_says_so_when_a_ratio_passes_one() -> None:
    over, fine = example("yard-37", lugs=True), example("orchard-30")
    assert stand(over).worst > 1.0 >= stand(fine).worst
    for paper in PAPERS:
        front = joined(cover_pages(over, paper, [], [])[:1])
        assert "DO NOT BUILD OR MOVE IT SO" in front
        assert f"{stand(over).worst:.2f}" in front
        assert "Pad 7" in front
        assert "DO NOT BUILD" not in joined(cover_pages(fine, paper, [], []))
    assert "NOT FIT TO TOW" in joined(cover_pages(axles_ahead(example("trailer-48"), 0.6), PAPERS[0], [], [])[:1])


def test_soft_ground_asks_for_pads_not_for_another_pit() -> None:
    """A pit that only presses too hard on the ground is not told to be built otherwise."""
    heavy = example("reverse-36")
    balance = {name: dataclasses.replace(b, mass=1.3 * b.mass) for name, b in heavy.balance.items()}
    sunk = dataclasses.replace(heavy, balance=balance)
    over = [c for c in stand(sunk).checks if c.ratio > 1.0]
    assert over
    assert {c.name for c in over} == {"ground pressure"}
    front = joined(cover_pages(sunk, PAPERS[0], [], [])[:1])
    assert "SET IT ON PADS" in front
    assert "DO NOT BUILD" not in front
    assert "Set every foot on a pad" in front
