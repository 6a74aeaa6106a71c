"""The example jobs as documents of the bench, with the files beside them, solved once."""

from __future__ import annotations

import functools
from pathlib import Path

from pitwright.bench.documents import Document, from_toml, read_job
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
NAMES = tuple(sorted(p.stem for p in EXAMPLES.glob("*.toml") if p.stem != "shop"))


@functools.cache
def beside() -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in EXAMPLES.glob("shop.toml")}


@functools.cache
def _document(name: str) -> Document:
    return from_toml((EXAMPLES / f"{name}.toml").read_bytes(), name)


def document(name: str) -> Document:
    import copy

    return copy.deepcopy(_document(name))


@functools.cache
def pit(name: str) -> Pit:
    return solve(read_job(document(name), beside()))


def solved(changed: Document) -> Pit:
    return solve(read_job(changed, beside()))
