"""Looking over a page: lettering over lettering, lettering off the sheet, lines through figures, work out of its room.

Every sheet is held against this in its tests: a page that clashes is not issued.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pitwright.parts import Point2
from pitwright.sheets.ink import Ink, Patch, Stroke, Words, extent
from pitwright.sheets.page import Page
from pitwright.sheets.stamp import MARGIN

_SLACK = 0.15  # lettering boxes may touch by this much [mm]
_LINE_SLACK = 0.3  # a line may graze a lettering box by this much [mm]
_ROOM_SLACK = 0.6  # half the heaviest line [mm]

Kind = Literal["over", "off the sheet", "line through", "out of its room"]


@dataclass(frozen=True, slots=True)
class Clash:
    """One thing on a page that cannot be read as it should: what, with what, and where [mm]."""

    kind: Kind
    what: str
    other: str
    at: Point2


def clashes(page: Page) -> tuple[Clash, ...]:
    """Everything on a page that stands in the way of something else; empty for a page that can be issued."""
    ink = page.all_ink()
    words = [i for i in ink if isinstance(i, Words) and not i.loose and i.text.strip()]
    return (
        *_over(words),
        *_off(words, page),
        *_struck(words, ink),
        *_out_of_rooms(page),
    )


def _over(words: Sequence[Words]) -> Iterator[Clash]:
    boxes = np.array([extent((w,)) for w in words]).reshape(-1, 4)
    for i, a in enumerate(words):
        later = boxes[i + 1 :]
        near = (
            (later[:, 0] < boxes[i, 2])
            & (later[:, 2] > boxes[i, 0])
            & (later[:, 1] < boxes[i, 3])
            & (later[:, 3] > boxes[i, 1])
        )
        for k in np.flatnonzero(near):
            b = words[i + 1 + int(k)]
            if _meet(a.corners(-_SLACK), b.corners(-_SLACK)):
                yield Clash("over", a.text, b.text, a.at)


def _off(words: Sequence[Words], page: Page) -> Iterator[Clash]:
    inner = page.sheet.inset(MARGIN if page.stamp else MARGIN / 2.0)
    for w in words:
        x0, y0, x1, y1 = extent((w,))
        if x0 < inner.x or y0 < inner.y or x1 > inner.x + inner.width or y1 > inner.y + inner.height:
            yield Clash("off the sheet", w.text, "", w.at)


def _struck(words: Sequence[Words], ink: Sequence[Ink]) -> Iterator[Clash]:
    pieces = [(*p, *q) for i in ink if isinstance(i, Stroke) for p, q in i.path.chords()]
    covers = [extent((i,)) for i in ink if isinstance(i, Patch) and i.tone == 0.0]
    lines = np.array(pieces, dtype=np.float64).reshape(-1, 4)
    for w in words:
        if w.plate or any(_inside(extent((w,)), c) for c in covers):
            continue
        if _crossed(w, lines):
            yield Clash("line through", w.text, "", w.at)


def _out_of_rooms(page: Page) -> Iterator[Clash]:
    for room in page.all_rooms():
        (x0, y0, x1, y1), (a0, b0, a1, b1) = room.box, room.reach
        if a0 < x0 - _ROOM_SLACK or b0 < y0 - _ROOM_SLACK or a1 > x1 + _ROOM_SLACK or b1 > y1 + _ROOM_SLACK:
            yield Clash("out of its room", room.name, "", (a0, b0))


def _crossed(w: Words, lines: NDArray[np.float64]) -> bool:
    """Whether a straight piece runs through the lettering's own box (worked in the lettering's own frame)."""
    if not len(lines):
        return False
    c, s = math.cos(w.angle), math.sin(w.angle)
    ax, ay = w.at
    dx, dy = lines[:, 0::2] - ax, lines[:, 1::2] - ay
    u, v = dx * c - dy * s, dx * s + dy * c
    half = {"left": 0.0, "middle": w.width / 2.0, "right": w.width}[w.anchor]
    x0, x1 = _LINE_SLACK - half, w.width - half - _LINE_SLACK
    y0, y1 = -w.height + _LINE_SLACK, -_LINE_SLACK
    near = (u.max(axis=1) > x0) & (u.min(axis=1) < x1) & (v.max(axis=1) > y0) & (v.min(axis=1) < y1)
    if not near.any():
        return False
    u, v = u[near], v[near]
    nx, ny = v[:, 0] - v[:, 1], u[:, 1] - u[:, 0]
    offset = nx * u[:, 0] + ny * v[:, 0]
    sides = np.stack([nx * x + ny * y - offset for x in (x0, x1) for y in (y0, y1)])
    return bool(((sides.min(axis=0) < 0.0) & (sides.max(axis=0) > 0.0)).any())


def _inside(box: tuple[float, float, float, float], cover: tuple[float, float, float, float]) -> bool:
    return cover[0] <= box[0] and cover[1] <= box[1] and box[2] <= cover[2] and box[3] <= cover[3]


def _meet(a: Sequence[Point2], b: Sequence[Point2]) -> bool:
    """Whether two turned boxes overlap (separating axes)."""
    for p, q in ((a[0], a[1]), (a[1], a[2]), (b[0], b[1]), (b[1], b[2])):
        nx, ny = p[1] - q[1], q[0] - p[0]
        first = [nx * x + ny * y for x, y in a]
        second = [nx * x + ny * y for x, y in b]
        if max(first) <= min(second) or max(second) <= min(first):
            return False
    return True
