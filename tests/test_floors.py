"""Imports run one way: a floor imports only floors under it, whatever the function."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1] / "src" / "pitwright"
FLOORS = (
    ("errors", "overtaken", "__init__"),
    ("findings", "tape"),
    ("stock", "reasons"),
    ("parts",),
    ("geometry",),
    ("meridian", "knives", "head_cuts", "remains"),
    ("masses", "saw"),
    ("job",),
    ("layout",),
    ("strength", "fire", "solid"),
    ("shop", "summary"),
    ("sheets",),
    ("record", "whole"),
    ("pack",),
    ("bench",),
    ("cli", "__main__"),
)
RANK = {name: i for i, names in enumerate(FLOORS) for name in names}
FILES = sorted(ROOT.rglob("*.py"))


def floor_of(module: str) -> str:
    return module.split(".")[1] if "." in module else "__init__"


def imported(path: Path) -> list[str]:
    out = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("pitwright"):
            out += [f"pitwright.{a.name}" if node.module == "pitwright" else node.module for a in node.names]
        elif isinstance(node, ast.Import):
            out += [a.name for a in node.names if a.name.startswith("pitwright")]
    return out


@pytest.mark.parametrize("path", FILES, ids=[str(p.relative_to(ROOT)) for p in FILES])
def test_no_floor_imports_one_over_it(path: Path) -> None:
    inside = path.relative_to(ROOT).parts[0].removesuffix(".py")
    for module in imported(path):
        name = floor_of(module)
        if name == "__version__":
            continue
        assert name in RANK, f"{module} stands on no floor"
        assert RANK[name] <= RANK[inside], f"{path.relative_to(ROOT)} imports {module}"


def test_no_module_grows_past_one_idea() -> None:
    long = {str(p.relative_to(ROOT)): n for p in FILES if (n := len(p.read_text(encoding="utf-8").splitlines())) > 560}
    assert not long
