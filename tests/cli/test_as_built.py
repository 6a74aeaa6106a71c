"""What I got, on the terminal and on paper: verdicts, what moved, sheets that died, the next revision."""

from __future__ import annotations

from pathlib import Path

import pytest

from pitwright.cli import main
from pitwright.job.file import job_from, read_toml
from pitwright.layout.model import Pit
from pitwright.layout.pit import as_drawn, solve
from pitwright.sheets.paper import TABLOID
from pitwright.sheets.planset import dead_sheets
from pitwright.sheets.views.general import SIDE
from pitwright.sheets.views.grates import GRATES
from pitwright.sheets.views.legs import LEGS

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
MEASURED = """
[[measured.legs]]
set = "A"
spread = "12 1/2"
lean = "3"
[pieces]
L1 = "tacked"
"""


def crooked() -> Pit:
    data = read_toml(EXAMPLES / "reverse-36.toml")
    data["measured"] = {"legs": [{"set": "A", "spread": "15", "lean": "2"}]}
    data["pieces"] = {"L1": "tacked"}
    return solve(job_from(data, folder=EXAMPLES))


def test_the_terminal_tells_verdicts_and_moves(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    (tmp_path / "shop.toml").write_text((EXAMPLES / "shop.toml").read_text())
    job = tmp_path / "job.toml"
    job.write_text((EXAMPLES / "reverse-36.toml").read_text() + MEASURED)
    main(["check", str(job)])
    out = capsys.readouterr().out
    assert "revision B" in out
    assert "already cut" in out
    assert "L1" in out
    assert "legs.A.lean: was" in out


def test_sheets_that_show_what_moved_die_and_others_live() -> None:
    after = crooked()
    before = as_drawn(after.job)
    assert before.revision == "A"
    assert after.revision == "B"
    dead = " ".join(dead_sheets(before, after, TABLOID.landscape(), (LEGS, SIDE, GRATES)))
    assert "LEGS" in dead
    assert "GRATES" not in dead
    assert dead_sheets(before, before, TABLOID.landscape(), (LEGS, SIDE, GRATES)) == ()


def test_the_promised_height_and_the_struck_top_line_stand() -> None:
    after = crooked()
    before = as_drawn(after.job)
    assert after.grates.levels[0].z == before.grates.levels[0].z
    assert after.vessel.top_from_seam == before.vessel.top_from_seam
    assert after.vessel.fire_end == before.vessel.fire_end
