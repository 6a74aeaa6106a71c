"""How much steel the cuts leave: volumes and first moments by lines parallel to a piece's x axis.

The section of a piece is laid out in *threads*: short curves (walls, rounded corners, rings) that carry Gauss points.
Through each point runs a line along x. A cut takes exact lengths out of that line (`pitwright.knives`), and what is
left is added up. Every thread is first parted where a cut begins or ends to meet the lines, so between the partings
the sums are smooth and converge fast: about 1e-6 of the volume cut away for holes, copes and windows, 1e-4 where two
cuts cross each other. Nothing is faceted.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from pitwright.knives import FAR, Array, Knife
from pitwright.parts import Vec

Row = tuple[float, ...]
Left = tuple[float, float, float, float]
"""Volume and the integrals of x, y and z over it [m3, m4]."""


def _graded(order: int) -> tuple[Array, Array]:
    """Nodes and weights on 0 to 1, crowded at both ends so that square-root starts come out smooth."""
    g, w = np.polynomial.legendre.leggauss(order)
    return 0.5 + g * (3.0 - g * g) / 4.0, w * 0.75 * (1.0 - g * g)


NODES, WEIGHTS = _graded(10)
TWO_NODES = (0.5 - 0.5 / math.sqrt(3.0), 0.5 + 0.5 / math.sqrt(3.0))


@dataclass(frozen=True, slots=True)
class Threads:
    """Curves of a section that carry the lines: straight ones (turn = 0) and arcs (clock from z towards y).

    y, z    start of a straight thread, centre of an arc; dy, dz its whole length
    radius, clock, turn  of an arc
    area    section area the thread stands for [m2]
    """

    y: Array
    z: Array
    dy: Array
    dz: Array
    radius: Array
    clock: Array
    turn: Array
    area: Array

    @staticmethod
    def of(rows: Sequence[Row]) -> Threads:
        """From rows (y, z, dy, dz, radius, clock, turn, area)."""
        return Threads(*np.array(rows, dtype=float).T)

    def at(self, share: Array) -> tuple[Array, Array]:
        """Points at shares 0 to 1 of each thread; share is n by anything."""
        wide = (slice(None),) + (None,) * (share.ndim - 1)
        clock = self.clock[wide] + self.turn[wide] * share
        radius = self.radius[wide]
        return (
            self.y[wide] + self.dy[wide] * share + radius * np.sin(clock),
            self.z[wide] + self.dz[wide] * share + radius * np.cos(clock),
        )

    def partings(self, knives: Sequence[Knife], pieces: int = 1) -> Array:
        """Shares at which each thread is parted, sorted, with 0 and 1: n by k. pieces: at least so many, evenly."""
        n = len(self.y)
        pieces = max(pieces, math.ceil(float(np.abs(self.turn).max()) / (math.pi / 2.0) - 1e-9))
        found = [np.broadcast_to(np.linspace(0.0, 1.0, pieces + 1), (n, pieces + 1))]
        lines = [line for knife in knives for line in knife.lines]
        circles = [circle for knife in knives for circle in knife.circles]
        with np.errstate(divide="ignore", invalid="ignore"):
            if lines:
                found += self._on_lines(np.array(lines))
            if circles:
                found += self._on_circles(np.array(circles))
        shares = np.concatenate(found, axis=1)
        return np.sort(np.clip(np.nan_to_num(shares, nan=0.0, posinf=0.0, neginf=0.0), 0.0, 1.0), axis=1)

    def _on_lines(self, lines: Array) -> list[Array]:
        a, b, g = lines.T
        y, z = self.y[:, None], self.z[:, None]
        found = []
        straight = self.radius == 0.0
        if straight.any():
            found.append((g - a * y - b * z) / (a * self.dy[:, None] + b * self.dz[:, None]))
        if not straight.all():
            reach = np.hypot(a, b) * self.radius[:, None]
            open_by = np.arccos((g - a * y - b * z) / reach)
            found += self._turned(np.arctan2(a, b) - open_by, np.arctan2(a, b) + open_by)
        return found

    def _on_circles(self, circles: Array) -> list[Array]:
        cy, cz, r = circles.T
        y, z = self.y[:, None] - cy, self.z[:, None] - cz
        found = []
        straight = self.radius == 0.0
        if straight.any():
            dy, dz = self.dy[:, None], self.dz[:, None]
            a, b, c = dy * dy + dz * dz, y * dy + z * dz, y * y + z * z - r * r
            root = np.sqrt(b * b - a * c)
            found += [(-b - root) / a, (-b + root) / a]
        if not straight.all():
            own = self.radius[:, None]
            apart = np.hypot(y, z)
            open_by = np.arccos((r * r - apart * apart - own * own) / (2.0 * apart * own))
            towards = np.arctan2(y, z)
            found += self._turned(towards - open_by, towards + open_by)
        return found

    def _turned(self, *clocks: Array) -> list[Array]:
        start, turn = self.clock[:, None], self.turn[:, None]
        way = np.sign(turn)
        return [np.mod((c - start) * way, 2.0 * math.pi) / np.abs(turn) for c in clocks]


def ring_threads(
    inner: float,
    outer: float,
    clock0: float,
    clock1: float,
    y: float = 0.0,
    z: float = 0.0,
    lines: Iterable[Vec] = (),
) -> list[Row]:
    """Threads of a thin ring or part of one about (y, z); parted across the wall where a line touches inside it."""
    touching = (abs(g - a * y - b * z) / math.hypot(a, b) for a, b, g in lines)
    rows: list[Row] = []
    for r, weight in _across(inner, outer, touching, (inner + outer) * abs(clock1 - clock0) / 2.0):
        rows.append((y, z, 0.0, 0.0, r, clock0, clock1 - clock0, r * (clock1 - clock0) * weight))
    return rows


def disc_threads(stops: Sequence[float]) -> list[Row]:
    """Threads of a whole disc or ring parted at the radii `stops` (rising)."""
    rows: list[Row] = []
    for a, b in pairwise(stops):
        for share, weight in zip(NODES.tolist(), WEIGHTS.tolist(), strict=True):
            r = a + share * (b - a)
            rows.append((0.0, 0.0, 0.0, 0.0, r, -math.pi, 2.0 * math.pi, 2.0 * math.pi * r * weight * (b - a)))
    return rows


def wall_threads(y0: float, z0: float, y1: float, z1: float, thick: float, lines: Iterable[Vec] = ()) -> list[Row]:
    """Threads of a straight wall about the line (y0, z0) to (y1, z1); parted across where a line runs inside it."""
    dy, dz = y1 - y0, z1 - z0
    length = math.hypot(dy, dz)
    ny, nz = -dz / length, dy / length
    inside = (
        (g - a * y0 - b * z0) / (a * ny + b * nz)
        for a, b, g in lines
        if abs(a * dy + b * dz) < 1e-3 * length * math.hypot(a, b)
    )
    return [
        (y0 + s * ny, z0 + s * nz, dy, dz, 0.0, 0.0, 0.0, length * weight)
        for s, weight in _across(-thick / 2.0, thick / 2.0, inside, length)
    ]


def _across(low: float, high: float, partings: Iterable[float], length: float) -> list[tuple[float, float]]:
    """Places across a wall and their weights [m]: two are exact where nothing parts a thin wall."""
    stops = sorted({low, high, *(s for s in partings if low < s < high)})
    if len(stops) == 2 and high - low < 0.3 * length:
        return [(low + s * (high - low), (high - low) / 2.0) for s in TWO_NODES]
    return [
        (a + s * (b - a), w * (b - a))
        for a, b in pairwise(stops)
        for s, w in zip(NODES.tolist(), WEIGHTS.tolist(), strict=True)
    ]


def _spread(value: Array | float, share: Array) -> Array:
    """A value of each thread handed to every line on it, as one column."""
    column = np.reshape(value, (-1, 1, 1)) if isinstance(value, np.ndarray) else value
    return np.broadcast_to(column, share.shape).reshape(-1, 1)


def left_over(
    threads: Threads,
    knives: Sequence[Knife],
    first: Array | float = -FAR,
    last: Array | float = FAR,
    pieces: int = 1,
) -> Left:
    """Volume and first moments of what the knives leave of the lines.

    first, last: where the lines of each thread start and end before any cut [m]; left out, the knives must close
    both ends. pieces: how finely the threads are parted at least.
    """
    stops = threads.partings(knives, pieces)
    width = np.diff(stops, axis=1)
    share = stops[:, :-1, None] + width[:, :, None] * NODES
    weight = (threads.area[:, None, None] * width[:, :, None] * WEIGHTS).ravel()
    used = weight > 0.0
    y, z = (c.ravel()[used] for c in threads.at(share))
    weight = weight[used]
    begin = _spread(first, share)[used]
    close = np.maximum(_spread(last, share)[used], begin)
    cuts = [knife.taken(y, z) for knife in knives]
    if cuts:
        start = np.concatenate([np.clip(c[0], begin, close) for c in cuts], axis=1)
        end = np.concatenate([np.clip(c[1], begin, close) for c in cuts], axis=1)
        order = np.argsort(start, axis=1)
        start = np.take_along_axis(start, order, axis=1)
        end = np.maximum.accumulate(np.take_along_axis(end, order, axis=1), axis=1)
        kept_from = np.concatenate([begin, end], axis=1)
        kept_to = np.maximum(np.concatenate([start, close], axis=1), kept_from)
    else:
        kept_from, kept_to = begin, close
    length = kept_to - kept_from
    per_line = length.sum(axis=1) * weight
    arm = (length * (kept_to + kept_from)).sum(axis=1) * 0.5
    return float(per_line.sum()), float(arm @ weight), float(per_line @ y), float(per_line @ z)
