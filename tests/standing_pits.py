"""Solved pits of different vessels, hands and bases for the sheets' tests. Each is solved once."""

from __future__ import annotations

from functools import cache
from typing import Any

import workbench
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.sheets.paper import A3, A4, LETTER, TABLOID, Paper

SIGNED = {"held": "air", "method": "washed out and aired", "signed_by": "A. Clerk", "signed_on": "2026-01-01"}
FACTS: dict[str, dict[str, Any]] = {
    "worked": {
        "vessel": {
            "fittings": [
                {"name": "bottom boss", "station": "70", "around": "60", "size": "2 1/2", "plan": "reuse"},
            ]
        },
        "order": {"levels": [{"above": "8"}]},
        "proportions": {"stack": {"behind_top": "4"}},
    },
    "left pipe on saddles": {
        "vessel": {
            "around": "75 3/8",
            "wall": "3/8",
            "length": "60",
            "head_a": {"type": "none"},
            "head_b": {"type": "none"},
        },
        "order": {"grate_height": "34", "firebox_side": "left", "base": "saddles"},
        "proportions": {"stack": {"behind_top": "3", "profile": "6 sch 40 pipe"}},
    },
    "left forty-one": {
        "vessel": {"around": "128 13/16", "length": "144", "wall": "1/4"},
        "order": {"grate_height": "40", "firebox_side": "left", "levels": [{"above": "9"}]},
        "proportions": {
            "firebox": {"size": "28", "joint": "dished"},
            "stack": {"behind_top": "7"},
            "legs": {"inboard": "4"},
        },
    },
    "metric reverse": {
        "job": {"units": "metric"},
        "vessel": {
            "around": 2043,
            "wall": 5,
            "length": 1750,
            "head_a": {"type": "torispherical", "crown": 650, "knuckle": 65},
            "head_b": {"type": "torispherical", "crown": 650, "knuckle": 65},
        },
        "order": {"grate_height": 900, "flow": "reverse"},
        "proportions": {
            "firebox": {"shape": "box", "size": 500, "height": 520},
            "throat": {"shape": "segment"},
            "stack": {"profile": "168.3 x 4.5 mm pipe", "behind_top": 120},
        },
    },
}
PAPERS: tuple[Paper, ...] = tuple(p.landscape() for p in (TABLOID, LETTER, A3, A4))


@cache
def pit(name: str, *, cleared: bool = True, firebox_side: str = "") -> Pit:
    """The pit of some facts, with or without its make-safe record, or with the firebox on a given side."""
    facts = workbench.merged(FACTS[name], {"make_safe": SIGNED if cleared else {"held": "", "signed_by": ""}})
    if firebox_side:
        facts = workbench.merged(facts, {"order": {"firebox_side": firebox_side}})
    return solve(workbench.job(facts))
