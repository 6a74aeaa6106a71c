"""What the documents say is what the code does."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

import pitwright
from pitwright.cli.main import build_parser
from pitwright.job.file import load_job
from pitwright.job.reference import reference_text
from pitwright.layout.pit import solve
from pitwright.pack import PIECES
from pitwright.record import record_schema
from pitwright.whole import all_findings

ROOT = Path(__file__).resolve().parents[1]
EXAMPLES = sorted(p for p in (ROOT / "examples").glob("*.toml") if p.stem != "shop" and ".burn" not in p.name)


def test_the_job_reference_is_written_from_the_models() -> None:
    assert (ROOT / "docs" / "job-file.md").read_text(encoding="utf-8") == reference_text()


def test_the_published_schema_is_the_records() -> None:
    assert json.loads((ROOT / "docs" / "pit.schema.json").read_text(encoding="utf-8")) == record_schema()


def test_the_readme_opens_with_the_job_and_links_to_what_is_there() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert text.split("\n\n")[1].startswith("A small metal shop builds")
    for link in re.findall(r"\]\(([^)]+)\)", text):
        assert (ROOT / link).exists(), link


def test_the_readme_names_only_commands_there_are() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    said = set(re.findall(r"pitwright (\w+)", text)) - {"is"}
    (commands,) = (a.choices for a in build_parser()._actions if a.dest == "command")  # type: ignore[union-attr]
    assert said <= set(commands or ())


def test_the_changelog_has_this_version() -> None:
    assert f"## {pitwright.__version__}" in (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    assert f'version = "{pitwright.__version__}"' in (ROOT / "pyproject.toml").read_text(encoding="utf-8")


def test_there_is_an_example_of_every_base_each_described() -> None:
    bases = {load_job(p).order.base for p in EXAMPLES}
    assert bases >= {"skid", "saddles", "stand", "cart", "trailer"}
    assert len({p.read_text(encoding="utf-8").splitlines()[0] for p in EXAMPLES}) == len(EXAMPLES)
    assert all(p.read_text(encoding="utf-8").startswith("# ") for p in EXAMPLES)


@pytest.mark.parametrize("path", EXAMPLES, ids=[p.stem for p in EXAMPLES])
def test_no_example_is_a_pit_not_to_build(path: Path) -> None:
    stops = [f for f in all_findings(solve(load_job(path))) if f.severity == "stop"]
    assert stops == []


def test_every_piece_of_the_pack_has_one_name() -> None:
    assert len({p.name for p in PIECES}) == len(PIECES)


def test_no_path_of_a_machine_is_in_the_project() -> None:
    for folder in ("src", "tests", "docs", "examples", "benchmarks", "tools"):
        for path in (ROOT / folder).rglob("*"):
            if path.suffix in (".py", ".md", ".toml", ".csv", ".json"):
                assert "/home/" not in path.read_text(encoding="utf-8") or path.name == "test_docs.py", path
