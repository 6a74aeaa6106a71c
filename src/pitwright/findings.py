"""Findings: what a check has to say, as data. They never stop a solve and are never printed from below.

Severity, worst first: `stop` (do not build this), `warn` (build only with open eyes), `note` (good to know),
`unchecked` (a check that was not made, and why).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Severity = Literal["stop", "warn", "note", "unchecked"]
_RANK: dict[str, int] = {"stop": 0, "warn": 1, "unchecked": 2, "note": 3}


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One finding.

    code      short stable name, `<topic>.<what>`, such as `door.over_leg`
    severity  see the module header
    text      one or two sentences in the shop's words, figures already as a tape reads them
    pieces    marks or names of the pieces it speaks of
    remedy    the change that mends it (empty where there is none)
    source    formula, standard or "common practice, no source"
    clearance the measured clearance [m], where the finding is about one (negative: overlap)
    """

    code: str
    severity: Severity
    text: str
    pieces: tuple[str, ...] = ()
    remedy: str = ""
    source: str = ""
    clearance: float | None = None


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings sorted by severity, then code (stable)."""
    return tuple(sorted(findings, key=lambda f: (_RANK[f.severity], f.code)))
