"""Good plans quickly: pieces put on sticks by rule, several rules, best one kept. Repeatable (the seed is fixed)."""

from __future__ import annotations

import random
import time
from collections.abc import Iterable, Sequence

from pitwright.shop._columns import CutProblem, Pattern


def fullest(pieces: Sequence[int], room: int) -> list[int]:
    """Places in `pieces` of a choice that fills `room` as full as can be.

    Among equally full choices the pieces that stand late in the list are taken first. Subset sum over the bits of one
    whole number.
    """
    mask = (1 << (room + 1)) - 1
    sums = [1]
    for piece in pieces:
        sums.append((sums[-1] | sums[-1] << piece) & mask)
    at = sums[-1].bit_length() - 1
    chosen = []
    for place in range(len(pieces) - 1, -1, -1):
        if at >= pieces[place] and sums[place] >> (at - pieces[place]) & 1:
            chosen.append(place)
            at -= pieces[place]
    return chosen


def first_fit(problem: CutProblem, order: Sequence[int]) -> list[Pattern] | None:
    """First fit, longest first: each piece goes on the first open stick with room.

    order  stocks in the order in which a new stick is taken; a stick too short for the piece is passed over
    Returns None when the sticks on hand run out.
    """
    open_stock: list[int] = []
    room: list[int] = []
    counts: list[list[int]] = []
    used = [0] * len(problem.capacity)
    for kind, need in enumerate(problem.need):
        for _ in range(problem.demand[kind]):
            stick = next((stick for stick, left in enumerate(room) if left >= need), -1)
            if stick < 0:
                stock = next((k for k in order if problem.capacity[k] >= need and _more(problem, k, used)), None)
                if stock is None:
                    return None
                used[stock] += 1
                open_stock.append(stock)
                room.append(problem.capacity[stock])
                counts.append([0] * len(problem.need))
            room[stick] -= need
            counts[stick][kind] += 1
    return [(stock, tuple(row)) for stock, row in zip(open_stock, counts)]


def _more(problem: CutProblem, stock: int, used: Sequence[int]) -> bool:
    limit = problem.limit[stock]
    return limit is None or used[stock] < limit


class _Pile:
    """The pieces still to be cut, in the order in which `fullest` looks at them."""

    def __init__(self, problem: CutProblem, chance: random.Random, noise: float):
        self.kinds = len(problem.need)
        rank = [(need * (1.0 + noise * (chance.random() - 0.5)), kind) for kind, need in enumerate(problem.need)]
        self.pieces = [(problem.need[kind], kind) for _, kind in sorted(rank) for _ in range(problem.demand[kind])]

    def choose(self, room: int) -> list[int]:
        return fullest([need for need, _ in self.pieces], room)

    def take(self, chosen: Iterable[int]) -> tuple[int, ...]:
        counts = [0] * self.kinds
        gone = set(chosen)
        for place in gone:
            counts[self.pieces[place][1]] += 1
        self.pieces = [piece for place, piece in enumerate(self.pieces) if place not in gone]
        return tuple(counts)


def tight_fill(problem: CutProblem, chance: random.Random, noise: float) -> list[Pattern] | None:
    """One stick at a time, each filled as full as can be, the price for the length deciding which stock.

    noise  how far the order of the pieces may stray from short-to-long (0: not at all)
    Returns None when the sticks on hand run out.
    """
    pile = _Pile(problem, chance, noise)
    used = [0] * len(problem.capacity)
    patterns: list[Pattern] = []
    while pile.pieces:
        total = sum(need for need, _ in pile.pieces)
        stocks = [k for k in range(len(problem.capacity)) if _more(problem, k, used)]
        whole = [k for k in stocks if problem.capacity[k] >= total]
        if whole:
            stock = min(whole, key=lambda k: (problem.price[k], problem.capacity[k]))
            return [*patterns, (stock, pile.take(range(len(pile.pieces))))]
        best: tuple[float, int, list[int]] | None = None
        for stock in stocks:
            chosen = pile.choose(problem.capacity[stock])
            filled = sum(pile.pieces[place][0] for place in chosen)
            if not filled:
                continue
            rate = problem.price[stock] / filled * (1.0 + 0.3 * noise * (chance.random() - 0.5))
            if best is None or rate < best[0]:
                best = (rate, stock, chosen)
        if best is None:
            return None
        used[best[1]] += 1
        patterns.append((best[1], pile.take(best[2])))
    return patterns


def fill_these(problem: CutProblem, sticks: Sequence[int], chance: random.Random, noise: float) -> list[Pattern] | None:
    """Every piece on exactly these sticks (stocks, in the order filled), or None when this try does not manage it."""
    pile = _Pile(problem, chance, noise)
    patterns: list[Pattern] = []
    for stock in sticks:
        patterns.append((stock, pile.take(pile.choose(problem.capacity[stock]))))
    return None if pile.pieces else patterns


def quick_plans(
    problem: CutProblem, *, enough: int, until: float, rounds: int
) -> tuple[list[Pattern] | None, list[Pattern]]:
    """The cheapest plan the rules find, and every stick filling they made (for column generation to begin with).

    enough  stop as soon as a plan costs no more than this [money unit]
    until   stop when the clock reads this [s]
    rounds  how many tries with a little chance in them
    """
    stocks = range(len(problem.capacity))
    chance = random.Random(1)
    best: list[Pattern] | None = None
    made: dict[Pattern, None] = {}
    orders = (
        sorted(stocks, key=lambda k: (problem.price[k] / max(1, problem.capacity[k]), problem.capacity[k])),
        sorted(stocks, key=lambda k: (problem.price[k] > 0, problem.capacity[k])),
        sorted(stocks, key=lambda k: (problem.price[k] > 0, -problem.capacity[k])),
    )
    for attempt in range(len(orders) + rounds):
        if attempt < len(orders):
            plan = first_fit(problem, orders[attempt])
        elif time.monotonic() > until:
            break
        else:
            plan = tight_fill(problem, chance, 0.0 if attempt == len(orders) else chance.random())
        if plan is None:
            continue
        made.update(dict.fromkeys(plan))
        if best is None or problem.cost(plan) < problem.cost(best):
            best = plan
        if problem.cost(best) <= enough:
            break
    return best, list(made)


def targeted_plans(
    problem: CutProblem, sets: Sequence[tuple[int, tuple[int, ...]]], *, until: float, rounds: int
) -> list[Pattern] | None:
    """A plan on the cheapest of `sets` (cost, how many of each stock) for which a try succeeds, or None."""
    chance = random.Random(2)
    for attempt in range(rounds):
        for _, counts in sets:
            if time.monotonic() > until:
                return None
            sticks = [stock for stock, count in enumerate(counts) for _ in range(count)]
            if attempt % 2:
                chance.shuffle(sticks)
            else:
                sticks.sort(key=lambda k: problem.capacity[k], reverse=attempt % 4 == 2)
            plan = fill_these(problem, sticks, chance, 0.0 if attempt == 0 else 1.5 * chance.random())
            if plan is not None:
                return plan
    return None
