"""Tidy lines for a picture: corners that bend nothing go, and no dashed line is drawn under a line already there."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Marked = tuple[Array, str]

_STRAIGHT = 2e-5
_CELLS = 3000
_WIDTH = _CELLS + 4
_RUN = 4
_NOBODY = np.iinfo(np.int32).max
_AROUND = (0, 1, -1, _WIDTH, -_WIDTH)


def straightened(points: Array) -> Array:
    """A line without the points that lie within 0.02 mm of the straight between their neighbours."""
    while len(points) > 2:
        a, b, c = points[:-2], points[1:-1], points[2:]
        d = c - a
        length = np.maximum(np.hypot(d[:, 0], d[:, 1]), 1e-12)
        off = np.abs(d[:, 0] * (b[:, 1] - a[:, 1]) - d[:, 1] * (b[:, 0] - a[:, 0])) / length
        onward = ((b - a) * (c - b)).sum(axis=1) > 0.0
        drop = np.concatenate([[False], (off < _STRAIGHT) & onward, [False]])
        drop[1:] &= ~drop[:-1]
        if not drop.any():
            break
        points = points[~drop]
    return points


def without_repeats(lines: Sequence[Marked], over: Sequence[Array]) -> list[Marked]:
    """The lines less the stretches that run along a line of `over`, or along a longer one of their own.

    Found on a fine grid, 3000 cells to the picture: a run of four or more cells already taken is left out, so lines
    that only cross stay whole.
    """
    if not lines:
        return []
    ordered = sorted(lines, key=lambda marked: -_along(marked[0])[-1])
    everything = np.concatenate([*over, *(points for points, _ in ordered)])
    low = everything.min(axis=0)
    size = float((everything.max(axis=0) - low).max()) / _CELLS + 1e-12
    owner = np.full(_WIDTH * _WIDTH, _NOBODY, dtype=np.int32)
    cells = [_sampled(points, low, size) for points, _ in ordered]
    for i in range(len(cells) - 1, -1, -1):
        owner[cells[i]] = i
    for points in over:
        owner[_sampled(points, low, size)] = -1
    every = np.concatenate(cells)
    first = np.minimum.reduce([owner[every + step] for step in _AROUND])
    number = np.repeat(np.arange(len(cells)), [len(c) for c in cells])
    taken = np.split(first < number, np.cumsum([len(c) for c in cells])[:-1])
    out: list[Marked] = []
    for (points, mark), covered in zip(ordered, taken, strict=True):
        if not covered.any():
            out.append((points, mark))
        elif not covered.all():
            out += [(piece, mark) for piece in _uncovered(points, covered)]
    return out


def _along(points: Array) -> Array:
    """Length along a line at each of its points."""
    steps = np.diff(points, axis=0)
    return np.concatenate([[0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))])


def _at(points: Array, along: Array, s: Array) -> Array:
    return np.column_stack([np.interp(s, along, points[:, 0]), np.interp(s, along, points[:, 1])])


def _sampled(points: Array, low: Array, size: float) -> NDArray[np.int64]:
    """Grid cells at even steps of about one cell along a line."""
    along = _along(points)
    count = max(1, round(along[-1] / size))
    spots = _at(points, along, (np.arange(count) + 0.5) * (along[-1] / count))
    cells = ((spots - low) / size).astype(np.int64) + 1
    return np.asarray(cells[:, 1] * _WIDTH + cells[:, 0])


def _uncovered(points: Array, covered: NDArray[np.bool_]) -> list[Array]:
    """The stretches of a line outside its covered runs."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], covered, [False]]).astype(np.int8)))
    runs = [(a, b) for a, b in edges.reshape(-1, 2).tolist() if b - a >= _RUN]
    along = _along(points)
    pitch = along[-1] / len(covered)
    stops = [0, *(stop for run in runs for stop in run), len(covered)]
    pieces = []
    for a, b in zip(stops[0::2], stops[1::2], strict=True):
        if b - a >= _RUN:
            inner = along[(along > a * pitch) & (along < b * pitch)]
            pieces.append(_at(points, along, np.concatenate([[a * pitch], inner, [b * pitch]])))
    return pieces
