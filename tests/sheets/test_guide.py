"""The example of the guide runs as it is printed."""

from __future__ import annotations

from pathlib import Path
from typing import Any


def test_the_guide_runs() -> None:
    guide = Path(__file__).parents[2] / "docs" / "drawing-kit.md"
    program = guide.read_text(encoding="utf-8").split("```python\n")[1].split("```")[0]
    names: dict[str, Any] = {}
    exec(compile(program, str(guide), "exec", dont_inherit=True), names)
    assert names["data"].startswith(b"%PDF")
    assert len(names["pages"]) == 1
