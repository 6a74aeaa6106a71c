"""The cheapest stick plan, with how far it is proven: rules first, then the bound, then whole-number programming.

Whole-number programmes by HiGHS: (1) a choice among the stick fillings that column generation used; (2) the arc-flow
model (Valerio de Carvalho, Annals of Operations Research 86, 1999) where the units are coarse; (3) pieces assigned to
sticks, where the units are fine or the stocks are several.
"""

from __future__ import annotations

import itertools
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np

from pitwright.shop._columns import (
    Columns,
    CutProblem,
    Pattern,
    cannot_hold,
    generate_columns,
    stick_sets,
    trivial_bound,
)
from pitwright.shop._fill import quick_plans, targeted_plans

MOST_ARCS = 15_000
"""Above this many arcs the arc-flow model is slower than assigning pieces (measured)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutAnswer:
    """Stick fillings that make every piece, what they cost, and the bound below which no plan can go [money unit]."""

    patterns: tuple[Pattern, ...]
    cost: int
    bound: int

    @property
    def proven(self) -> bool:
        """Whether no cheaper plan exists."""
        return self.cost <= self.bound


class NoPlan(Exception):
    """The sticks there are cannot make the pieces (or no way was found in the time)."""


def solve_cut_problem(
    problem: CutProblem, *, time_limit: float, progress: Callable[[str, float], None] | None = None
) -> CutAnswer:
    """The cheapest plan found within `time_limit` [s] and the bound that goes with it."""
    begun = time.monotonic()
    until = begun + time_limit

    def tell(text: str) -> None:
        if progress is not None:
            progress(text, min(1.0, (time.monotonic() - begun) / time_limit))

    def share(part: float) -> float:
        now = time.monotonic()
        return now + part * max(0.0, until - now)

    tell("Filling sticks by rule")
    floor = _reach(problem, trivial_bound(problem))
    best, made = quick_plans(problem, enough=floor, until=share(0.1), rounds=30)
    if best is not None and problem.cost(best) <= floor:
        return _answer(problem, best, floor)

    tell("Finding the bound no plan can beat")
    below = float("inf") if best is None else problem.cost(best) - _step(problem) + 1e-3
    columns = generate_columns(problem, made, until=share(0.5), enough=below)
    floor = max(floor, _reach(problem, _up(columns.bound)))

    def open_still() -> bool:
        return best is None or problem.cost(best) > floor

    if open_still():
        tell("Trying other fillings")
        best = _cheaper(problem, best, _targeted(problem, best, floor, share(0.1), 4))
    if open_still():
        tell("Proving that no plan is cheaper")
        floor = _raise(problem, columns, best, floor, share(0.3))
    if open_still():
        tell("Choosing among the best stick fillings")
        best = _cheaper(problem, best, _targeted(problem, best, floor, share(0.05), 1000))
    if open_still():
        best = _cheaper(problem, best, _choose(problem, columns, best, floor, share(0.4)))
    if open_still():
        tell("Searching all fillings")
        floor = _raise(problem, columns, best, floor, share(0.3))
    if open_still():
        arcs = _arcs(problem)
        exact = _arc_flow if arcs is not None else _assign
        found, proved = exact(problem, arcs, best, floor, until)
        best = _cheaper(problem, best, found)
        if proved and best is not None:
            floor = problem.cost(best)
    if best is None:
        raise NoPlan
    tell("Done")
    return _answer(problem, best, floor)


MOST_SETS = 400


def _sets(
    problem: CutProblem, best: list[Pattern] | None, floor: int
) -> tuple[list[tuple[int, tuple[int, ...]]], bool]:
    high = 2 * floor + 2 * max(problem.price) if best is None else problem.cost(best)
    return stick_sets(problem, floor, high, MOST_SETS)


def _targeted(
    problem: CutProblem, best: list[Pattern] | None, floor: int, until: float, rounds: int
) -> list[Pattern] | None:
    """Tries on the sets of sticks between the bound and the plan in hand, again after every gain."""
    found: list[Pattern] | None = None
    while True:
        sets, _ = _sets(problem, found or best, floor)
        plan = targeted_plans(problem, sets, until=until, rounds=rounds)
        if plan is None:
            return found
        found = plan


def _raise(problem: CutProblem, columns: Columns, best: list[Pattern] | None, floor: int, until: float) -> int:
    """The bound lifted over every set of sticks that the relaxation shows to be too little."""
    sets, whole = _sets(problem, best, floor)
    if not whole or best is None:
        return floor
    for cost, counts in sets:
        if time.monotonic() > until or not cannot_hold(problem, counts, columns.patterns, until):
            return cost
    return problem.cost(best)


def _reach(problem: CutProblem, floor: int) -> int:
    """The least total at or above `floor` for which long enough sticks can be had."""
    sets, whole = stick_sets(problem, floor, floor + max(problem.price) + 1, MOST_SETS)
    return sets[0][0] if sets and whole else floor


def _answer(problem: CutProblem, patterns: Sequence[Pattern], bound: int) -> CutAnswer:
    """The plan with surplus pieces and empty sticks taken off."""
    left = list(problem.demand)
    kept: list[Pattern] = []
    for stock, counts in patterns:
        take = tuple(min(c, d) for c, d in zip(counts, left))
        left = [d - t for d, t in zip(left, take)]
        if any(take):
            kept.append((stock, take))
    cost = problem.cost(kept)
    return CutAnswer(patterns=tuple(kept), cost=cost, bound=min(bound, cost))


def _up(bound: float) -> int:
    return int(np.ceil(bound * (1.0 - 1e-9) - 1e-6))


def _step(problem: CutProblem) -> int:
    return int(np.gcd.reduce(problem.price)) or 1


def _cheaper(problem: CutProblem, first: list[Pattern] | None, second: list[Pattern] | None) -> list[Pattern] | None:
    plans = [plan for plan in (first, second) if plan is not None]
    return min(plans, key=problem.cost) if plans else None


@dataclass(slots=True)
class _Model:
    """A whole-number programme put together row by row."""

    cost: list[float]
    upper: list[float]
    low: list[float]
    high: list[float]
    rows: list[list[tuple[int, float]]]

    def add(self, entries: list[tuple[int, float]], low: float, high: float) -> None:
        self.rows.append(entries)
        self.low.append(low)
        self.high.append(high)

    def solve(self, until: float) -> tuple[list[int] | None, bool]:
        """(whole-number values or None, whether the search came to its end) before the clock reads `until`."""
        import highspy

        left = until - time.monotonic()
        if left < 0.05:
            return None, False
        lp: Any = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.cost), len(self.rows)
        lp.col_cost_ = np.array(self.cost)
        lp.col_lower_ = np.zeros(len(self.cost))
        lp.col_upper_ = np.array(self.upper)
        lp.row_lower_, lp.row_upper_ = np.array(self.low), np.array(self.high)
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = np.cumsum([0, *(len(row) for row in self.rows)]).astype(np.int32)
        lp.a_matrix_.index_ = np.array([c for row in self.rows for c, _ in row], dtype=np.int32)
        lp.a_matrix_.value_ = np.array([v for row in self.rows for _, v in row])
        lp.integrality_ = [highspy.HighsVarType.kInteger] * len(self.cost)
        solver: Any = getattr(highspy, "_Highs", highspy.Highs)()  # the plain class: the friendly one prints a banner
        for name, value in (
            ("output_flag", False),
            ("threads", 1),
            ("random_seed", 1),
            ("time_limit", left),
            ("mip_rel_gap", 0.0),
            ("mip_abs_gap", 0.9),
        ):
            solver.setOptionValue(name, value)
        solver.passModel(lp)
        solver.run()
        status = solver.getModelStatus()
        ended = status in (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kInfeasible)
        if solver.getInfo().primal_solution_status != highspy.kSolutionStatusFeasible:
            return None, ended
        return [round(x) for x in solver.getSolution().col_value], ended


def _window(problem: CutProblem, best: list[Pattern] | None, floor: int) -> tuple[float, float]:
    """Costs worth looking for: from the bound to one step below the plan in hand."""
    high = float("inf") if best is None else float(problem.cost(best) - _step(problem))
    return float(floor), high


def _covers(problem: CutProblem, patterns: Sequence[Pattern]) -> bool:
    """Whether a plan makes every piece, overfills no stick and takes no stick that is not there."""
    made = [sum(counts[k] for _, counts in patterns) for k in range(len(problem.need))]
    fits = all(sum(n * c for n, c in zip(problem.need, cs)) <= problem.capacity[s] for s, cs in patterns)
    there = all(
        limit is None or sum(s == stock for s, _ in patterns) <= limit for stock, limit in enumerate(problem.limit)
    )
    return fits and there and all(m >= d for m, d in zip(made, problem.demand))


def _choose(
    problem: CutProblem, columns: Columns, best: list[Pattern] | None, floor: int, until: float
) -> list[Pattern] | None:
    patterns = columns.patterns
    model = _Model(
        [float(problem.price[s]) for s, _ in patterns], [float(max(problem.demand))] * len(patterns), [], [], []
    )
    for kind, wanted in enumerate(problem.demand):
        row = [(c, float(counts[kind])) for c, (_, counts) in enumerate(patterns) if counts[kind]]
        model.add(row, float(wanted), float("inf"))
    for stock, limit in enumerate(problem.limit):
        if limit is not None:
            model.add([(c, 1.0) for c, (s, _) in enumerate(patterns) if s == stock], 0.0, float(limit))
    model.add(list(enumerate(model.cost)), *_window(problem, best, floor))
    values, _ = model.solve(until)
    if values is None:
        return None
    plan = [pattern for pattern, times in zip(patterns, values) for _ in range(times)]
    return plan if _covers(problem, plan) else None


_Arcs: TypeAlias = list[tuple[int, int, int]]


def _arcs(problem: CutProblem) -> _Arcs | None:
    """Arcs (from, to, kind) of the flow model, pieces in falling length, or None when there are too many."""
    room = max(problem.capacity)
    reached = {0}
    arcs: dict[tuple[int, int, int], None] = {}
    for kind, (need, demand) in enumerate(zip(problem.need, problem.demand)):
        front = set(reached)
        for _ in range(min(demand, room // need)):
            after = set()
            for place in front:
                if place + need <= room:
                    arcs[(place, place + need, kind)] = None
                    after.add(place + need)
            if len(arcs) > MOST_ARCS:
                return None
            front = after - front
            reached |= after
    return list(arcs)


def _arc_flow(
    problem: CutProblem, arcs: _Arcs | None, best: list[Pattern] | None, floor: int, until: float
) -> tuple[list[Pattern] | None, bool]:
    """Fewest money units as a flow from 0 to the ends of the sticks; every unit of flow is one stick."""
    arcs = arcs or []
    places = sorted({0, *(a for a, _, _ in arcs), *(b for _, b, _ in arcs), *problem.capacity})
    loss = list(itertools.pairwise(places))
    sinks = len(arcs) + len(loss)
    many = float(sum(problem.demand))
    model = _Model([0.0] * sinks + [float(p) for p in problem.price], [many] * (sinks + len(problem.price)), [], [], [])
    for c, (_, _, kind) in enumerate(arcs):
        model.upper[c] = float(problem.demand[kind])
    for stock, limit in enumerate(problem.limit):
        if limit is not None:
            model.upper[sinks + stock] = float(limit)
    flow: dict[int, list[tuple[int, float]]] = {place: [] for place in places}
    for c, (a, b) in enumerate([*((a, b) for a, b, _ in arcs), *loss]):
        flow[a].append((c, -1.0))
        flow[b].append((c, 1.0))
    for stock, capacity in enumerate(problem.capacity):
        flow[capacity].append((sinks + stock, -1.0))
        flow[0].append((sinks + stock, 1.0))
    for place in places:
        model.add(flow[place], 0.0, 0.0)
    for kind, wanted in enumerate(problem.demand):
        model.add([(c, 1.0) for c, (_, _, k) in enumerate(arcs) if k == kind], float(wanted), float("inf"))
    model.add([(sinks + s, float(p)) for s, p in enumerate(problem.price)], *_window(problem, best, floor))
    values, ended = model.solve(until)
    if values is None:
        return None, ended
    plan = _walk(problem, arcs, loss, values, sinks)
    return (plan, ended) if _covers(problem, plan) else (None, False)


def _walk(
    problem: CutProblem, arcs: _Arcs, loss: list[tuple[int, int]], values: list[int], sinks: int
) -> list[Pattern]:
    """The flow taken apart into sticks, shortest stock first, each walked back from its end to 0."""
    into: dict[int, list[list[int]]] = {}
    for c, (a, b, kind) in enumerate([*arcs, *((a, b, -1) for a, b in loss)]):
        if values[c]:
            into.setdefault(b, []).append([a, kind, values[c]])
    plan: list[Pattern] = []
    for stock in sorted(range(len(problem.capacity)), key=lambda k: problem.capacity[k]):
        for _ in range(values[sinks + stock]):
            counts = [0] * len(problem.need)
            at = problem.capacity[stock]
            while at > 0:
                arc = next((arc for arc in into.get(at, []) if arc[2]), None)
                if arc is None:
                    return []
                arc[2] -= 1
                if arc[1] >= 0:
                    counts[arc[1]] += 1
                at = arc[0]
            plan.append((stock, tuple(counts)))
    return plan


def _assign(
    problem: CutProblem, _: _Arcs | None, best: list[Pattern] | None, floor: int, until: float
) -> tuple[list[Pattern] | None, bool]:
    """Pieces assigned to numbered sticks; like sticks are opened in order."""
    low, high = _window(problem, best, floor)
    kinds = len(problem.need)
    sticks: list[int] = []
    for stock, price in enumerate(problem.price):
        limit = problem.limit[stock]
        count = sum(problem.demand) if price == 0 or high == float("inf") else int(high // price)
        sticks += [stock] * (count if limit is None else min(count, limit))
    model = _Model([float(problem.price[s]) for s in sticks], [1.0] * len(sticks), [], [], [])
    place: list[dict[int, int]] = []
    for stick, stock in enumerate(sticks):
        here: dict[int, int] = {}
        for kind in range(kinds):
            most = min(problem.demand[kind], problem.capacity[stock] // problem.need[kind])
            if most:
                here[kind] = len(model.cost)
                model.cost.append(0.0)
                model.upper.append(float(most))
        place.append(here)
        load = [(column, float(problem.need[kind])) for kind, column in here.items()]
        model.add([*load, (stick, -float(problem.capacity[stock]))], -float("inf"), 0.0)
        if stick and sticks[stick - 1] == stock:
            model.add([(stick - 1, 1.0), (stick, -1.0)], 0.0, float("inf"))
    for kind, wanted in enumerate(problem.demand):
        model.add([(here[kind], 1.0) for here in place if kind in here], float(wanted), float(wanted))
    model.add([(stick, float(problem.price[s])) for stick, s in enumerate(sticks)], low, high)
    values, ended = model.solve(until)
    if values is None:
        return None, ended
    plan = [
        (stock, tuple(values[here[kind]] if kind in here else 0 for kind in range(kinds)))
        for stock, here in zip(sticks, place)
    ]
    plan = [(stock, counts) for stock, counts in plan if any(counts)]
    return (plan, ended) if _covers(problem, plan) else (None, False)
