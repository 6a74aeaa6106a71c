"""Which one-way holds press, and how hard: floor, forks and slings that can only push or pull one way."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldTable:
    """Who moves whom: unit forces at every hold of a frame clamped at one joint."""

    table: Array  # movement at hold i for a unit force at hold j
    free: Array  # movement of all joints for a unit force at each hold
    rigid: Array  # rigid motions
    unit: Array  # hold directions
    give: Array


def holding(
    t: HoldTable, active: Sequence[int], one_way: NDArray[np.bool_], gaps: Array, load: Array, moved: Array
) -> tuple[Array, Array, bool]:
    """Holding forces, rigid motion and whether it balances."""
    a = t.table[np.ix_(active, active)] + np.diag(t.give[active])
    ride = t.unit[:, active].T @ t.rigid
    start = t.unit[:, active].T @ moved + gaps
    push = t.rigid.T @ load
    most_give = max(float(np.abs(np.diag(a)).max(initial=0.0)), 1e-300)
    force = max(float(np.abs(push[:3]).max()), float(np.abs(start).max(initial=0.0)) / most_give * 1e-6, 1e-9)
    on = _pressing(a * force, ride, start, push / force, one_way)
    forces, q, left = np.zeros(len(active)), np.zeros(6), math.inf
    for _ in range(2 * len(active) + 2):
        forces, q, left = _balance(a, ride, start, push, force, on)
        pulls = np.where(on & one_way, -forces, 0.0)
        sinks = np.where(~on, -(start + a @ forces + ride @ q), 0.0)
        if float(pulls.max(initial=0.0)) > 1e-9 * force:
            on[int(np.argmax(pulls))] = False
        elif float(sinks.max(initial=0.0)) > 1e-9:
            on[int(np.argmax(sinks))] = True
        else:
            return forces, q, left <= 1e-7
    return forces, q, False


def _pressing(a: Array, ride: Array, start: Array, push: Array, one_way: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Which holds press: least energy with no one-way hold pulling, balance by a penalty raised until it holds.

    Augmented Lagrangian over the six balances; inside it the active set of C. L. Lawson and R. J. Hanson (Solving Least
    Squares Problems, 1974), which cannot cycle.
    """
    n = len(start)
    stiff = 1e4 * max(float(np.abs(np.diag(a)).max(initial=0.0)), 1e-9)
    square = a + stiff * ride @ ride.T
    square += np.eye(n) * 1e-13 * max(float(np.trace(square)), 1e-300)
    on, found, motion = ~one_way, np.zeros(n), np.zeros(6)
    for _ in range(25):
        right = -(start + ride @ (motion + stiff * push))
        on, found = _least_energy(square, right, on, found, one_way)
        left = ride.T @ found + push
        if float(np.abs(left).max()) < 1e-9:
            break
        motion = motion + stiff * left
    return on


def _least_energy(
    square: Array, right: Array, on: NDArray[np.bool_], found: Array, one_way: NDArray[np.bool_]
) -> tuple[NDArray[np.bool_], Array]:
    """Least of x square x / 2 - right x with no one-way x under nought, from a set already on."""
    n = len(right)
    on = on.copy()
    small = 1e-10 * float(np.abs(right).max(initial=0.0))
    for _ in range(6 * n + 6):
        while np.any(on):
            pick = np.flatnonzero(on)
            new = np.zeros(n)
            new[pick] = np.linalg.solve(square[np.ix_(pick, pick)], right[pick])
            falls = on & one_way & (new <= 0.0)
            if not np.any(falls):
                found = new
                break
            steps = found[falls] / np.maximum(found[falls] - new[falls], 1e-300)
            found = found + float(steps.min()) * (new - found)
            on &= ~(one_way & (found <= 1e-15 * max(float(np.abs(found).max()), 1e-300)))
            found[~on] = 0.0
        slope = np.where(on, -np.inf, right - square @ found)
        best = int(np.argmax(slope))
        if slope[best] <= small:
            break
        on[best] = True
    return on, found


def _balance(
    a: Array, ride: Array, start: Array, push: Array, force: float, on: NDArray[np.bool_]
) -> tuple[Array, Array, float]:
    """Forces of the holds that are on, and the rigid motion: contact and balance together, in units of the weight.

    Least squares: a pit that hangs or stands on a smooth floor may still swing or slide, and needs no force to stay.
    """
    pick = np.flatnonzero(on)
    n = len(pick)
    square = np.zeros((n + 6, n + 6))
    square[:n, :n] = a[np.ix_(pick, pick)] * force
    square[:n, n:] = ride[pick]
    square[n:, :n] = ride[pick].T
    right = np.concatenate([-start[pick], -push / force])
    found, *_ = np.linalg.lstsq(square, right, rcond=1e-12)
    forces = np.zeros(len(on))
    forces[pick] = found[:n] * force
    left = ride.T @ forces + push
    return forces, found[n:], float(np.abs(left).max()) / force
