"""The sample set, on every paper: nothing clashes, everything is there."""

from __future__ import annotations

from types import ModuleType

import pytest

from pitwright.sheets.clash import clashes
from pitwright.sheets.ink import Words
from pitwright.sheets.paper import A3, A4, LETTER, TABLOID, Paper

PAPERS = [LETTER, LETTER.landscape(), A4, A4.landscape(), TABLOID.landscape(), A3.landscape()]


@pytest.mark.parametrize("paper", PAPERS, ids=lambda p: f"{p.name} {p.width:.0f}")
@pytest.mark.parametrize("rows", [3, 9, 40])
def test_no_sheet_clashes(sample: ModuleType, paper: Paper, rows: int) -> None:
    pages = sample.sample(paper, rows)
    for page in pages:
        assert clashes(page) == ()
    text = [i.text for p in pages for i in p.all_ink() if isinstance(i, Words)]
    assert text.count("Cautions") == 1
    assert [t for t in text if t == f"L{rows}"]
    assert text.count("NOT CLEARED: no cutting") == 2 * len(pages)
