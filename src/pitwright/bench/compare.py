"""Two states of a job side by side: every figure that differs, and both drawn over each other, the pinned one dashed."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator
from typing import Any, Final

from pitwright.bench.drawings import VIEWS, View, as_svg, quick, ratio_for
from pitwright.bench.figures import in_words
from pitwright.bench.state import everything
from pitwright.bench.strip import strip
from pitwright.layout.model import Pit
from pitwright.reasons import Reason
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.lettered import Symbol, Text
from pitwright.sheets.shapes import Arc, Circle, Fill, Hatch, Line, Polyline, Primitive

_FIRE: Final = ("spread", "wood", "chokes")
_SAME: Final = 1e-9  # relative


def compared(pinned: Pit, now: Pit, views: Iterable[str]) -> dict[str, Any]:
    """As the page takes it: rows of figures that differ, findings gone and new among them, and a drawing of each view."""
    wanted: list[View] = [v for v in VIEWS if v in set(views)] or ["side"]
    return {
        "rows": list(differences(pinned, now)),
        "views": {view: as_svg(overlay(pinned, now, view), ratio_for(now, view)) for view in wanted},
    }


def differences(pinned: Pit, now: Pit) -> Iterator[dict[str, Any]]:
    """Every figure that differs, the fire and the findings first; both written as the job reads now."""
    yield from _fire(pinned, now)
    yield from _findings(pinned, now)
    names = [*now.reasons, *(n for n in pinned.reasons if n not in now.reasons)]
    for name in names:
        a, b = pinned.reasons.get(name), now.reasons.get(name)
        if a is not None and b is not None and _alike(a, b):
            continue
        first, second = _text(now, a), _text(now, b)
        if first == second:
            continue
        group, _, label = name.partition(".")
        yield _row(in_words(group), in_words(label), first, second, _move(now, a, b))


def _row(group: str, label: str, pinned: str, now: str, move: str | None) -> dict[str, Any]:
    return {"group": group, "label": label, "pinned": pinned, "now": now, "move": move}


def _alike(a: Reason, b: Reason) -> bool:
    if isinstance(a.value, str) or isinstance(b.value, str):
        return a.value == b.value
    return abs(a.value - b.value) <= _SAME * max(abs(a.value), abs(b.value), 1e-6)


def _text(now: Pit, reason: Reason | None) -> str:
    return "none" if reason is None else now.tape.figure(reason.value, reason.measure)


def _move(now: Pit, a: Reason | None, b: Reason | None) -> str | None:
    if a is None or b is None or isinstance(a.value, str) or isinstance(b.value, str) or a.measure != b.measure:
        return None
    off = b.value - a.value
    text = now.tape.figure(abs(off), b.measure)
    return f"{'+' if off > 0.0 else '-'}{text}" if any(c in "123456789" for c in text) else None


def _fire(pinned: Pit, now: Pit) -> Iterator[dict[str, Any]]:
    old = {item.key: item for item in strip(pinned, None, ())}
    for item in strip(now, None, ()):
        before = old.get(item.key)
        if item.key not in _FIRE or before is None:
            continue
        first = before.text if before.value is None else item.write(before.value)
        if first != item.text:
            move = item.move(before)
            yield _row("fire", item.label, first, item.text, None if move is None or move.startswith("was") else move)


def _findings(pinned: Pit, now: Pit) -> Iterator[dict[str, Any]]:
    first, second = (
        {(f.code, f.pieces, f.severity): f.text for f in everything(p) if f.severity in ("stop", "warn")}
        for p in (pinned, now)
    )
    for key in [*first, *(k for k in second if k not in first)]:
        was, reads = first.get(key, "none"), second.get(key, "none")
        if was != reads:
            label = "gone" if key not in second else "new" if key not in first else "reads"
            yield _row("findings", label, was, reads, None)


def overlay(pinned: Pit, now: Pit, view: View) -> Drawing:
    """Both on one drawing: the pinned one as an old position, the one now over it."""
    old = tuple(ghost for p in quick(pinned, view).primitives if (ghost := _ghost(p)) is not None)
    return Drawing(old + quick(now, view).primitives)


def _ghost(primitive: Primitive) -> Primitive | None:
    """A line of the pinned pit as an old position; nothing for its tones, lettering and signs."""
    if isinstance(primitive, Line | Polyline | Arc | Circle) and primitive.role not in ("centre", "ground"):
        return dataclasses.replace(primitive, role="ghost", about="")
    assert isinstance(primitive, Line | Polyline | Arc | Circle | Fill | Hatch | Text | Symbol)
    return None
