"""Figures of a pit for the page: all of them by name, and the chain of reasons behind one."""

from __future__ import annotations

import difflib
from typing import Any

from pitwright.errors import JobError
from pitwright.layout.model import Pit
from pitwright.reasons import Reason
from pitwright.summary import rests_on_it


def all_figures(pit: Pit) -> list[dict[str, str]]:
    """Every figure with its name, as the tape writes it, by name."""
    return [
        {"name": name, "text": pit.tape.figure(r.value, r.measure), "kind": r.kind, "because": r.because}
        for name, r in sorted(pit.reasons.items())
    ]


def why_record(pit: Pit, name: str) -> dict[str, Any]:
    """One figure, what it rests on to the ground, and what rests on it. A figure met before says `again`.

    Raises JobError for a name no figure has.
    """
    if name not in pit.reasons:
        near = difflib.get_close_matches(name, pit.reasons, n=4, cutoff=0.3)
        raise JobError(
            "no figure of this pit has that name",
            field="name",
            value=name[:80],
            allowed=", ".join(near),
            remedy="Pick it on the drawing or in the list of figures.",
        )
    below = [_short(pit, n) for n in rests_on_it(pit, name)]
    return {**_chain(pit, pit.reasons[name], set()), "rests_here": below}


def _short(pit: Pit, name: str) -> dict[str, Any]:
    reason = pit.reasons[name]
    return {"name": name, "label": in_words(name), "text": pit.tape.figure(reason.value, reason.measure)}


def _chain(pit: Pit, reason: Reason, seen: set[str]) -> dict[str, Any]:
    again = reason.name in seen
    seen.add(reason.name)
    band = None
    if reason.band is not None:
        low, high = (pit.tape.figure(b, reason.measure) for b in reason.band)
        band = f"{low} to {high}"
    on = [] if again else [_chain(pit, pit.reasons[n], seen) for n in reason.rests_on if n in pit.reasons]
    return {
        **_short(pit, reason.name),
        "kind": reason.kind,
        "because": reason.because,
        "formula": reason.formula,
        "source": reason.source,
        "gave_way": reason.gave_way,
        "band": band,
        "again": again,
        "rests_on": on,
    }


def in_words(name: str) -> str:
    """A figure's name as words: `legs.A.foot_cut` is "legs A foot cut"."""
    return name.replace(".", " ").replace("_", " ")
