"""Standing and lifting sheets: clean pages, and the report's own figures on them."""

from __future__ import annotations

from pathlib import Path

import pytest

from pitwright.job.file import load_job
from pitwright.layout.pit import solve
from pitwright.sheets.clash import clashes
from pitwright.sheets.ink import Words
from pitwright.sheets.page import Page
from pitwright.sheets.paper import A3, A4, LETTER, TABLOID, Paper
from pitwright.sheets.views.stand import lift_sheets, stand_sheets
from pitwright.strength.standing import stand

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
NAMES = sorted(p.stem for p in EXAMPLES.glob("*.toml") if p.stem != "shop")
PAPERS = {"letter": LETTER, "tabloid": TABLOID, "A4": A4, "A3": A3}


def words(pages: tuple[Page, ...]) -> str:
    return " ".join(w.text for page in pages for w in page.all_ink() if isinstance(w, Words))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
def test_pages_are_clean(name: str, paper: Paper) -> None:
    pit = solve(load_job(EXAMPLES / f"{name}.toml"))
    for page in (*stand_sheets(pit, paper.landscape()), *lift_sheets(pit, paper.landscape())):
        assert clashes(page) == ()


@pytest.mark.parametrize("name", NAMES)
def test_sheets_say_what_the_report_says(name: str) -> None:
    pit = solve(load_job(EXAMPLES / f"{name}.toml"))
    report = stand(pit)
    shown = words(stand_sheets(pit, TABLOID.landscape()))
    assert f"{report.worst:.2f}" in shown
    assert pit.tape.angle(min(t.side.angle for t in report.tips)) in shown
    for force in report.reactions["true floor"].values():
        assert pit.tape.force(force) in shown
    assert "nan" not in shown
    lifted = words(lift_sheets(pit, TABLOID.landscape()))
    for sling in report.slings:
        assert pit.tape.length(sling.length) in lifted
    assert "Nobody under the load" in lifted
