"""How sticks can be filled: the whole-number problem, the best single stick, and the bound no plan can beat.

The bound is the linear relaxation of Gilmore and Gomory ("A linear programming approach to the cutting stock
problem", Operations Research 9, 1961) by column generation. The dual prices are made exactly feasible before they are
believed (Farley, "A note on bounding a class of linear programming problems", Operations Research 38, 1990), so the
bound stays true whenever the search is stopped.
"""

from __future__ import annotations

import math
import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Pattern: TypeAlias = tuple[int, tuple[int, ...]]
"""A way to fill one stick: the stock's place in the list, and how many of each piece."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutProblem:
    """Pieces and sticks in whole units.

    need      length of each kind of piece with its kerf, longest first, all different [unit]
    demand    how many of each kind
    capacity  room on a stick of each stock, one kerf included [unit]
    price     price of a stick of each stock [money unit]
    limit     how many sticks of each stock there are (None: as many as wanted)
    """

    need: tuple[int, ...]
    demand: tuple[int, ...]
    capacity: tuple[int, ...]
    price: tuple[int, ...]
    limit: tuple[int | None, ...]

    @property
    def total(self) -> int:
        """All the pieces laid end to end [unit]."""
        return sum(n * d for n, d in zip(self.need, self.demand))

    def cost(self, patterns: Iterable[Pattern]) -> int:
        """What the sticks of `patterns` cost [money unit]."""
        return sum(self.price[stock] for stock, _ in patterns)


def best_fill(
    need: Sequence[int], most: Sequence[int], value: Sequence[float], capacities: Sequence[int]
) -> list[tuple[float, tuple[int, ...]]]:
    """The most valuable filling for each capacity: (value, how many of each kind).

    Bounded knapsack by dynamic programming over whole units, each kind split into 1, 2, 4, ... copies.
    """
    room = max(capacities)
    best: NDArray[np.float64] = np.zeros(room + 1)
    steps: list[tuple[int, int, NDArray[np.bool_]]] = []
    for kind, (width, worth) in enumerate(zip(need, value)):
        left = min(most[kind], room // width) if worth > 0 else 0
        copies = 1
        while left > 0:
            take = min(copies, left)
            left -= take
            copies *= 2
            wide = take * width
            offered = best[:-wide] + take * worth
            better = offered > best[wide:] + 1e-12
            best = best.copy()
            np.copyto(best[wide:], offered, where=better)
            steps.append((kind, take, better))
    answers = []
    for capacity in capacities:
        counts = [0] * len(need)
        at = capacity
        for kind, take, better in reversed(steps):
            wide = take * need[kind]
            if at >= wide and better[at - wide]:
                counts[kind] += take
                at -= wide
        answers.append((float(best[capacity]), tuple(counts)))
    return answers


def stick_sets(problem: CutProblem, low: int, high: int, most: int) -> tuple[list[tuple[int, tuple[int, ...]]], bool]:
    """Sets of sticks (cost, how many of each stock) long enough for all the pieces with low <= cost < high.

    Cheapest first, and whether the list is whole: it is cut short when more than `most` sets or too many dead ends
    are met. Free sticks on hand are in every set.
    """
    free = [k for k, price in enumerate(problem.price) if price == 0]
    counts = [problem.limit[k] or 0 if k in free else 0 for k in range(len(problem.price))]
    room = sum(counts[k] * problem.capacity[k] for k in free)
    paid = sorted((k for k in range(len(counts)) if k not in free), key=lambda k: -problem.capacity[k])
    rates = [min(problem.price[k] / max(1, problem.capacity[k]) for k in paid[place:]) for place in range(len(paid))]
    found: list[tuple[int, tuple[int, ...]]] = []
    looked = 0

    def extend(place: int, cost: int, room: int) -> None:
        nonlocal looked
        looked += 1
        if looked > 50 * most or len(found) > most:
            return
        if place == len(paid):
            if cost >= low and room >= problem.total:
                found.append((cost, tuple(counts)))
            return
        stock = paid[place]
        price, limit = problem.price[stock], problem.limit[stock]
        count = 0
        while cost < high and (limit is None or count <= limit):
            counts[stock] = count
            short = problem.total - room
            if short <= 0 or (place + 1 < len(paid) and cost + short * rates[place + 1] < high):
                extend(place + 1, cost, room)
            count += 1
            cost += price
            room += problem.capacity[stock]
        counts[stock] = 0

    extend(0, 0, room)
    return sorted(found)[:most], looked <= 50 * most and len(found) <= most


def trivial_bound(problem: CutProblem) -> int:
    """Money for the bare length at the best price a unit, free sticks first [money unit]."""
    left = float(problem.total)
    cost = 0.0
    stocks = [k for k, capacity in enumerate(problem.capacity) if capacity > 0]
    for stock in sorted(stocks, key=lambda k: problem.price[k] / problem.capacity[k]):
        limit = problem.limit[stock]
        count = left / problem.capacity[stock]
        if limit is not None:
            count = min(count, limit)
        cost += count * problem.price[stock]
        left -= count * problem.capacity[stock]
        if left <= 1e-9:
            break
    return math.ceil(cost - 1e-6)


@dataclass(slots=True)
class Columns:
    """What column generation leaves behind: the patterns it used and the bound it proved."""

    patterns: list[Pattern] = field(default_factory=list)
    bound: float = 0.0
    weights: tuple[float, ...] = ()
    finished: bool = False


def _true_bound(problem: CutProblem, duals: Sequence[float], fills: Sequence[tuple[float, tuple[int, ...]]]) -> float:
    """Farley's bound: scale the duals until no stick is worth more than it costs."""
    scale = 1.0
    for stock, (worth, _) in enumerate(fills):
        if problem.limit[stock] is None and worth > problem.price[stock]:
            scale = min(scale, problem.price[stock] / worth)
    bound = scale * sum(d * u for d, u in zip(problem.demand, duals))
    for stock, (worth, _) in enumerate(fills):
        limit = problem.limit[stock]
        if limit is not None:
            bound += limit * min(0.0, problem.price[stock] - scale * worth)
    return bound


def generate_columns(problem: CutProblem, start: Iterable[Pattern], *, until: float, enough: float) -> Columns:
    """Column generation until it is done, `until` (clock) is reached, or the bound passes `enough`.

    start   patterns to begin with; kinds they leave out get an artificial column
    enough  a bound that already proves the plan in hand [money unit]
    """
    import highspy

    kinds = len(problem.need)
    limited = [k for k, limit in enumerate(problem.limit) if limit is not None]
    row_of = {stock: kinds + i for i, stock in enumerate(limited)}
    solver: Any = getattr(highspy, "_Highs", highspy.Highs)()  # the plain class: the friendly one prints a banner
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    infinity = highspy.kHighsInf
    for kind in range(kinds):
        solver.addRow(float(problem.demand[kind]), infinity, 0, np.array([], dtype=np.int32), np.array([]))
    for stock in limited:
        solver.addRow(-infinity, float(problem.limit[stock] or 0), 0, np.array([], dtype=np.int32), np.array([]))
    huge = 10.0 * (sum(problem.price) + 1) * (1 + max(problem.demand))
    for kind in range(kinds):
        solver.addCol(huge, 0.0, infinity, 1, np.array([kind], dtype=np.int32), np.array([1.0]))

    result = Columns()
    known: set[Pattern] = set()

    def add(pattern: Pattern) -> None:
        stock, counts = pattern
        rows = [kind for kind in range(kinds) if counts[kind]]
        entries = [float(counts[kind]) for kind in rows]
        if stock in row_of:
            rows.append(row_of[stock])
            entries.append(1.0)
        cost = float(problem.price[stock])
        solver.addCol(cost, 0.0, infinity, len(rows), np.array(rows, dtype=np.int32), np.array(entries))
        known.add(pattern)
        result.patterns.append(pattern)

    for pattern in start:
        if pattern not in known:
            add(pattern)
    while True:
        solver.run()
        duals = list(solver.getSolution().row_dual)
        worth = [max(0.0, u) for u in duals[:kinds]]
        fills = best_fill(problem.need, problem.demand, worth, problem.capacity)
        result.bound = max(result.bound, _true_bound(problem, worth, fills))
        added = False
        for stock, (value, counts) in enumerate(fills):
            charge = problem.price[stock] - (duals[row_of[stock]] if stock in row_of else 0.0)
            if value > charge + 1e-7 * (1.0 + charge) and (stock, counts) not in known:
                add((stock, counts))
                added = True
        if not added:
            result.finished = True
            break
        if result.bound > enough or time.monotonic() > until:
            break
    solution = list(solver.getSolution().col_value)
    result.weights = tuple(solution[kinds : kinds + len(result.patterns)])
    result.weights += (0.0,) * (len(result.patterns) - len(result.weights))
    return result


def cannot_hold(problem: CutProblem, counts: Sequence[int], start: Iterable[Pattern], until: float) -> bool:
    """Whether the relaxation already shows that no plan exists on these sticks (how many of each stock)."""
    feasible = CutProblem(
        need=problem.need,
        demand=problem.demand,
        capacity=problem.capacity,
        price=(0,) * len(problem.price),
        limit=tuple(counts),
    )
    return generate_columns(feasible, start, until=until, enough=1e-6).bound > 1e-6
