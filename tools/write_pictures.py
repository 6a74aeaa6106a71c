"""Write docs/pictures/*.png: pages of the demo job's plan set, as the README shows them."""

from __future__ import annotations

from pathlib import Path

from pitwright.job.file import load_job
from pitwright.layout.pit import solve
from pitwright.layout.standing import standing_parts
from pitwright.sheets.paper import TABLOID
from pitwright.sheets.pdf import png
from pitwright.sheets.planset import plan_set
from pitwright.solid.hidden import hidden_lines
from pitwright.solid.view import ISOMETRIC
from pitwright.whole import with_all_findings

ROOT = Path(__file__).resolve().parents[1]
WANTED = {"cover": "COVER", "side": "SIDE", "wrap": "WRAP", "legs": "LEGS", "fire": "FIRE"}
DOTS = 110.0

if __name__ == "__main__":
    pit = with_all_findings(solve(load_job(ROOT / "examples" / "orchard-30.toml")))
    picture = hidden_lines(standing_parts(pit), ISOMETRIC, hidden=False)
    pages = plan_set(pit, TABLOID.landscape(), [line.points for line in picture.visible])
    folder = ROOT / "docs" / "pictures"
    folder.mkdir(parents=True, exist_ok=True)
    for name, code in WANTED.items():
        page = next(p for p in pages if p.stamp.title.split()[0] == code)
        (folder / f"{name}.png").write_bytes(png([page], DOTS)[0])
