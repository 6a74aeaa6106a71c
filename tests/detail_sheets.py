"""Pits and helpers for the tests of the detail sheets."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable
from functools import cache
from itertools import pairwise
from pathlib import Path

import workbench
from pitwright.job.file import load_job
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.sheets.ink import Words
from pitwright.sheets.page import Page
from pitwright.sheets.paper import A3, A4, LETTER, TABLOID, Paper
from pitwright.sheets.views.base import BASE
from pitwright.sheets.views.cautions import CAUTIONS
from pitwright.sheets.views.common import SheetMaker
from pitwright.sheets.views.cuts import CUTS
from pitwright.sheets.views.doors import DOORS
from pitwright.sheets.views.firebox import FIREBOX
from pitwright.sheets.views.grates import GRATES
from pitwright.sheets.views.legs import LEGS
from pitwright.sheets.views.lists import PARTS, WEIGHTS
from pitwright.sheets.views.stack import STACK

MAKERS: tuple[SheetMaker, ...] = (LEGS, BASE, FIREBOX, STACK, DOORS, GRATES, CUTS, WEIGHTS, PARTS, CAUTIONS)
EXAMPLES = (
    "orchard-30",
    "pipe-24-saddles",
    "receiver-metric",
    "reverse-36",
    "yard-37",
    "stand-24",
    "cart-20",
    "trailer-48",
)
_FOLDER = Path(__file__).parents[1] / "examples"
_VARIANTS: dict[str, dict[str, object]] = {
    "end stack, counterweight": {
        "proportions": {
            "stack": {"place": "end", "profile": "6 sch 40 pipe"},
            "doors": {"hold": "counterweight"},
            "legs": {"end": "coped"},
        }
    },
    "pipe legs, lean both ways": {
        "proportions": {"legs": {"profile": "3 sch 40 pipe", "end": "coped", "lean_along": "6"}},
    },
    "tube leans both ways": {
        "proportions": {"legs": {"profile": "3 x 3 x 3/16 tube", "end": "coped", "lean_along": "-5"}},
    },
    "as built": {
        "measured": {"legs": [{"set": "A", "side": "working", "lean": "7", "long_point": "25 3/4"}],
                     "doors": [{"door": 1, "chord": "20 1/4"}]},
        "pieces": {"L1": "cut"},
    },
    "tuning plates, reaching stack": {
        "proportions": {"baffle": {"kind": "tuning plates"}, "stack": {"reach_in": "3", "profile": "6 sch 40 pipe"}},
    },
}  # fmt: skip
VARIANTS = tuple(_VARIANTS)


@cache
def example(name: str, *, cleared: bool = True) -> Pit:
    """One of the example jobs, or the same with its make-safe record open."""
    pit = solve(load_job(_FOLDER / f"{name}.toml"))
    return pit if cleared else dataclasses.replace(pit, cleared=False)


@cache
def variant(name: str) -> Pit:
    """The worked vessel built another way."""
    return solve(workbench.job(_VARIANTS[name]))


def worked(changes: dict[str, object]) -> Pit:
    """The worked vessel with changes."""
    return solve(workbench.job(changes))


def papers(pit: Pit) -> tuple[Paper, ...]:
    """The papers a shop of its units prints on."""
    small, large = (LETTER, TABLOID) if pit.tape.inch else (A4, A3)
    return small, small.landscape(), large.landscape()


def text(pages: Iterable[Page]) -> list[str]:
    """Every line of lettering on the pages, stamps included."""
    return [i.text for page in pages for i in page.all_ink() if isinstance(i, Words)]


def wants(pages: Iterable[Page]) -> dict[str, str]:
    """What is wanted, by the text before it on the same row; a later row of the same name wins."""
    out: dict[str, str] = {}
    for page in pages:
        rows: dict[float, list[Words]] = {}
        for item in page.ink:
            if isinstance(item, Words) and item.angle == 0.0:
                rows.setdefault(round(item.at[1], 2), []).append(item)
        for row in rows.values():
            row.sort(key=lambda w: w.at[0])
            for left, right in pairwise(row):
                out[left.text] = right.text
    return out
