"""Write docs/job-file.md and docs/pit.schema.json from the models themselves; tests compare them."""

from __future__ import annotations

import json
from pathlib import Path

from pitwright.job.reference import reference_text
from pitwright.record import record_schema

DOCS = Path(__file__).resolve().parents[1] / "docs"

if __name__ == "__main__":
    DOCS.mkdir(exist_ok=True)
    (DOCS / "job-file.md").write_text(reference_text(), encoding="utf-8")
    (DOCS / "pit.schema.json").write_text(
        json.dumps(record_schema(), indent=1, sort_keys=True) + "\n", encoding="utf-8"
    )
