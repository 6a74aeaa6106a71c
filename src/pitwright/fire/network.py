"""The draw: which way the gas goes, and how much, for given temperatures.

Rooms (firebox, pass under the plates, chamber) hold one pressure each; ways (inlets, throat, gaps, door edges, stack)
join them to one another and to the open air. Pressures count from the still outside air at the same height, so the
buoyancy of every rise shows as the pressure a column of light gas gains with height:

    p(z) = p0 + g * integral of (rho_outside - rho) dz

A way at height z passes m kg/s for the pressure across it:  dp = R m |m| + r m,  with R = sum of K / (2 rho A^2).
The linear part r (coals, and a trace for smooth reversal) is small.

The pressures that balance every room are the minimum of a convex function, so there is one answer and Newton's
method, with each step cut or stretched along its line, finds it from anywhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from pitwright.fire.gas import GRAVITY, Array

OUTSIDE: Final = -1
_TRACE: Final = 1e-6  # Pa: under this a way passes gas in proportion, not by the root


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way for gas from room `start` to room `end` (OUTSIDE = -1).

    area       clear area [m2] on which `losses` count
    losses     sum of loss coefficients K on that area [-]
    z          height at which pressures are compared [m]
    z_exit     height at which it lets go [m]; a column of gas lies between (a stack), else the same as z
    bed        linear resistance [Pa s/kg], coals
    """

    name: str
    start: int
    end: int
    area: float
    losses: float
    z: float
    z_exit: float
    bed: float = 0.0


class Network:
    """The ways of one pit as arrays, ready to solve again and again."""

    def __init__(self, rooms: int, ways: tuple[Way, ...]) -> None:
        self.rooms = rooms
        self.ways = ways
        self.start = np.array([w.start for w in ways])
        self.end = np.array([w.end for w in ways])
        self.z = np.array([w.z for w in ways])
        self.rise = np.array([w.z_exit - w.z for w in ways])
        area = np.array([max(w.area, 1e-12) for w in ways])
        self.k = np.array([w.losses for w in ways]) / (2.0 * area * area)
        self.bed = np.array([w.bed for w in ways])
        self.incidence = np.zeros((rooms, len(ways)))
        for e, w in enumerate(ways):
            if w.start != OUTSIDE:
                self.incidence[w.start, e] -= 1.0
            if w.end != OUTSIDE:
                self.incidence[w.end, e] += 1.0

    def solve(
        self, *, drive: Array, density_start: Array, density_end: Array, sources: Array, guess: Array, k: Array
    ) -> tuple[Array, Array]:
        """Flow through every way [kg/s, start to end positive] and the pressure of every room [Pa].

        drive          pressure across each way when all rooms stand at nought [Pa] (buoyancy, wind)
        density_start  density of the gas that comes when it flows start to end [kg/m3]; density_end the other way
        sources        gas set free in each room [kg/s]
        guess          room pressures to begin from [Pa]
        k              losses over 2 A^2 [1/m4] (`self.k`, but for what changes with the flow)
        """
        a = self.incidence
        forward, backward = k / density_start, k / density_end
        p = guess
        scale = 0.0
        flow, slope = self._flow(drive - a.T @ p, forward, backward)
        error = a @ flow + sources
        for _ in range(200):
            size = float(np.abs(error).max())
            scale = max(scale, float(np.abs(flow).max()), 1e-12)
            if size <= 1e-13 * scale:
                break
            step = self._step((a * slope) @ a.T, error)
            downhill = float(error @ step)
            low, high, share = 0.0, np.inf, 1.0
            at_low, at_high = downhill, 0.0
            for _ in range(40):  # along the step: until the slope of the convex function has fallen by half
                flow, slope = self._flow(drive - a.T @ (p + share * step), forward, backward)
                error = a @ flow + sources
                along = float(error @ step)
                if abs(along) <= 0.5 * downhill or size <= 1e-9 * scale:
                    break
                if along > 0.0:
                    low, at_low = share, along
                    share = 2.0 * share if high == np.inf else 0.5 * (low + high)
                else:
                    high, at_high = share, along
                    share = low + (high - low) * min(max(at_low / (at_low - at_high), 0.1), 0.9)
            p = p + share * step
            new = float(np.abs(error).max())
            if new >= 0.1 * size and new <= 1e-11 * scale:
                break
        return flow, p

    def _step(self, matrix: Array, error: Array) -> Array:
        if self.rooms == 2:
            (p, q), (_, r) = matrix.tolist()
            one, two = error.tolist()
            det = p * r - q * q
            if det > 1e-12 * p * r:
                return np.array([(r * one - q * two) / det, (p * two - q * one) / det])
        return np.asarray(np.linalg.lstsq(matrix, error, rcond=None)[0], dtype=np.float64)

    def _flow(self, dp: Array, forward: Array, backward: Array) -> tuple[Array, Array]:
        root = np.where(dp > 0.0, forward, backward)
        linear = self.bed + np.sqrt(root * _TRACE)
        reach = np.sqrt(linear * linear + 4.0 * root * np.abs(dp))
        return 2.0 * dp / (linear + reach), 1.0 / reach


def buoyancy(outside: float, inside: float, rise: float) -> float:
    """Pressure gained by a rise of lighter gas, g (rho_outside - rho_inside) dz [Pa] (the stack effect)."""
    return GRAVITY * (outside - inside) * rise
