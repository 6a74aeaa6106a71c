"""Solved pits that show every family of templates. Each is solved once."""

from __future__ import annotations

from functools import cache
from typing import Any

import standing_pits
import workbench
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve

PIPE = "2-1/2 sch 40 pipe"
CHANGES: dict[str, dict[str, Any]] = {
    "coped": {"proportions": {"legs": {"end": "coped"}}},
    "leaning both ways": {"proportions": {"legs": {"end": "coped", "lean_along": "7"}}},
    "leaning, straight": {"proportions": {"legs": {"end": "straight", "lean_along": "7"}}},
    "pipe legs": {"proportions": {"legs": {"profile": PIPE, "end": "coped"}}},
    "pipe legs leaning both ways": {"proportions": {"legs": {"profile": PIPE, "end": "coped", "lean_along": "7"}}},
    "box on the dish": {"proportions": {"firebox": {"shape": "box", "size": "20", "height": "20", "joint": "dished"}}},
    "saddles with ears": {
        "order": {"base": "saddles"},
        "proportions": {"saddles": {"ears": "1", "pad_thickness": "1/4"}},
    },
    "end stack": {"proportions": {"stack": {"place": "end"}}},
    "double wall": {"proportions": {"firebox": {"size": "26", "joint": "dished", "double_wall": "2"}}},
}
NAMES = (*standing_pits.FACTS, *CHANGES)


@cache
def pit(name: str, *, cleared: bool = True, firebox_side: str = "") -> Pit:
    """A pit of the sheets' own set, or the worked one with changes; with or without its make-safe record."""
    if name in standing_pits.FACTS:
        return standing_pits.pit(name, cleared=cleared, firebox_side=firebox_side)
    safe = standing_pits.SIGNED if cleared else {"held": "", "signed_by": ""}
    facts = workbench.merged(CHANGES[name], {"make_safe": safe})
    if firebox_side:
        facts = workbench.merged(facts, {"order": {"firebox_side": firebox_side}})
    return solve(workbench.job(facts))
