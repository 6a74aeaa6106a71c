"""From pieces and sticks in metres to whole units and back: the packing, the bound, and the order on every stick."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from pitwright.errors import PitwrightError
from pitwright.shop._columns import CutProblem, Pattern, trivial_bound
from pitwright.shop._cut_order import Lying, axial_kerf, best_order, end_of
from pitwright.shop._fill import fullest
from pitwright.shop._proof import CutAnswer, NoPlan, solve_cut_problem
from pitwright.shop._stick_records import StickPiece, StickStock

Progress: TypeAlias = Callable[[str, float], None]

FINE = 1.25e-7
"""Lengths are taken to an eighth of a micrometre: 1/64 in and 0.1 mm are both whole numbers of it [m]."""
COARSE = 1e-4
"""Lengths on no common grid are taken to this step, up for the plan and down for the bound [m]."""
MOST_UNITS = 300_000
"""A stick of more units than this is on no useful grid."""
FIT = 1e-9
"""Slack in a fit that is only arithmetic [m]."""


def usable(stock: StickStock, end_trim: float) -> float:
    """Length between the trimmed ends; drops from the rack are not trimmed [m]."""
    return stock.length - (2.0 * end_trim if stock.on_hand is None else 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class StickJob:
    """One profile's pieces and sticks, and what the saw takes."""

    pieces: tuple[StickPiece, ...]
    stocks: tuple[StickStock, ...]
    kerf: float
    end_trim: float

    @property
    def counted_by_price(self) -> bool:
        """Whether the least money is sought (prices are given), not the least length."""
        return any(stock.price for stock in self.stocks if stock.on_hand is None)

    def _raw(self, stock: StickStock) -> int:
        if self.counted_by_price:
            return round(stock.price * 100.0)
        return 0 if stock.on_hand is not None else round(stock.length * 1e6)

    @property
    def count_step(self) -> int:
        """What every count is a whole multiple of, in hundredths of money or micrometres."""
        return math.gcd(*(self._raw(stock) for stock in self.stocks)) or 1

    def counted(self, stock: StickStock) -> int:
        """What a stick counts: its price, or its length where no prices are given and it is bought."""
        return self._raw(stock) // self.count_step

    def in_full(self, count: int) -> float:
        """A count as money or metres."""
        return count * self.count_step / (100.0 if self.counted_by_price else 1e6)

    def safe_need(self, piece: StickPiece) -> float:
        """Length with kerf whatever the neighbours are [m]."""
        ends = ((end.angle, end.tilt) for end in (piece.left, piece.right))
        return piece.length + max(axial_kerf(end, self.kerf) for end in ends)

    def mitre_gain(self, piece: StickPiece) -> float:
        """What sharing both its mitres could save, half of each going to the neighbour [m]."""
        ends = (piece.left, piece.right)
        tangents = sum(math.tan(abs(end.angle)) for end in ends if end.kind == "mitre" and not end.tilt)
        return 0.5 * piece.height * tangents


@dataclass(frozen=True, slots=True)
class _Counted:
    """The job in whole units, and which piece lines share each kind."""

    problem: CutProblem
    lines: tuple[tuple[StickPiece, ...], ...]


def _in_units(job: StickJob, needs: Sequence[float], *, up: bool, snug: bool = False) -> _Counted:
    """The job on the coarsest grid that is exact, or else on `COARSE`, needs rounded up or down.

    snug  a piece as long as a stick is counted as filling it, though its mitred cut takes more than a square one
    """
    rooms = [usable(stock, job.end_trim) + job.kerf for stock in job.stocks]
    own = [
        min((room for room in rooms if snug and piece.length + job.kerf <= room + FIT), default=math.inf)
        for piece in job.pieces
    ]
    fine_room = [int((room + FIT) / FINE) for room in rooms]
    fine = [min(round(need / FINE), int(min(most, 1e9) / FINE + 0.5)) for need, most in zip(needs, own)]
    unit = math.gcd(*fine)
    if max(rooms) / (unit * FINE) <= MOST_UNITS:
        whole = [value // unit for value in fine]
        capacity = [room // unit for room in fine_room]
    elif up:
        capacity = [math.floor((room + FIT) / COARSE) for room in rooms]
        whole = [
            math.ceil((need - FIT) / COARSE) if need <= most else math.floor((most + FIT) / COARSE)
            for need, most in zip(needs, own)
        ]
    else:
        whole = [math.floor((need + FIT) / COARSE) for need in needs]
        capacity = [math.ceil((room - FIT) / COARSE) for room in rooms]
    lines: dict[int, list[StickPiece]] = {}
    for piece, need in zip(job.pieces, whole):
        lines.setdefault(need, []).append(piece)
    kinds = sorted(lines, reverse=True)
    return _Counted(
        CutProblem(
            need=tuple(kinds),
            demand=tuple(sum(piece.quantity for piece in lines[kind]) for kind in kinds),
            capacity=tuple(capacity),
            price=tuple(job.counted(stock) for stock in job.stocks),
            limit=tuple(stock.on_hand for stock in job.stocks),
        ),
        tuple(tuple(lines[kind]) for kind in kinds),
    )


StickOrders: TypeAlias = list[tuple[StickStock, tuple[Lying, ...]]]


@dataclass(frozen=True, slots=True, kw_only=True)
class StickAnswer:
    """Every stick with its pieces in order, and two bounds in counted units.

    bound          no plan of this kind is cheaper (pieces long point to long point; mitres shared where the plan
                   needs it)
    sharing_bound  no plan at all is cheaper, every mitre shared that could be
    """

    orders: StickOrders
    cost: int
    bound: int
    sharing_bound: int


def solve_sticks(job: StickJob, profile: str, time_limit: float, progress: Progress | None) -> StickAnswer:
    """The cheapest plan, packed long point to long point; tighter where shared mitres save a stick."""

    def solved(counted: _Counted, part: float) -> CutAnswer | None:
        try:
            return solve_cut_problem(counted.problem, time_limit=part * time_limit, progress=progress)
        except NoPlan:
            return None

    straight = [piece.length + job.kerf for piece in job.pieces]
    gains = [job.mitre_gain(piece) for piece in job.pieces]
    orders: StickOrders | None = None
    cost, bound = 0, 0
    below = _in_units(job, straight, up=False)
    for snug in (True, False):
        safe = _in_units(job, [job.safe_need(piece) for piece in job.pieces], up=True, snug=snug)
        alike = safe.problem == below.problem
        answer = solved(safe, 1.0 if alike and not any(gains) else 0.5)
        orders = None if answer is None else _ordered(job, safe, _gathered(safe.problem, answer.patterns))
        if answer is not None and orders is not None:
            cost, bound = answer.cost, answer.bound
            if not alike:
                lower = solved(below, 0.2)
                bound = min(cost, trivial_bound(below.problem) if lower is None else lower.bound)
            break
    sharing_bound = bound
    if any(gains):
        for share in (1.0, 0.5):
            tight = _in_units(job, [need - share * gain for need, gain in zip(straight, gains)], up=False)
            hoped = solved(tight, 0.15)
            if share == 1.0:
                sharing_bound = trivial_bound(tight.problem) if hoped is None else hoped.bound
            if hoped is None or (orders is not None and hoped.cost >= cost):
                continue
            closer = _ordered(job, tight, hoped.patterns)
            if closer is not None:
                orders, cost, bound = closer, hoped.cost, sharing_bound
                break
    if orders is None:
        raise PitwrightError(
            f"the sticks of {profile} on the rack are not enough for these pieces",
            field="stocks",
            remedy="Add a stick that the store has, or more from the rack.",
        )
    return StickAnswer(orders=orders, cost=cost, bound=bound, sharing_bound=min(bound, sharing_bound))


def _gathered(problem: CutProblem, patterns: Sequence[Pattern]) -> list[Pattern]:
    """The same sticks with what is left over gathered at one end: one long drop instead of several short ones.

    The emptiest bought stick gives its pieces to the others as far as they can be filled fuller, by swapping.
    """
    plan = [list(counts) for _, counts in patterns]
    stocks = [stock for stock, _ in patterns]

    def load(stick: int) -> int:
        return sum(n * c for n, c in zip(problem.need, plan[stick]))

    last = max(range(len(plan)), key=lambda s: (problem.price[stocks[s]] > 0, problem.capacity[stocks[s]] - load(s)))
    for stick in range(len(plan)):
        if stick == last:
            continue
        pool = [k for k, _ in reversed(list(enumerate(problem.need))) for _ in range(plan[stick][k] + plan[last][k])]
        chosen = fullest([problem.need[k] for k in pool], problem.capacity[stocks[stick]])
        if sum(problem.need[pool[place]] for place in chosen) <= load(stick):
            continue
        total = [a + b for a, b in zip(plan[stick], plan[last])]
        plan[stick] = [0] * len(problem.need)
        for place in chosen:
            plan[stick][pool[place]] += 1
        plan[last] = [t - c for t, c in zip(total, plan[stick])]
    return [(stock, tuple(counts)) for stock, counts in zip(stocks, plan) if any(counts)]


def _ordered(job: StickJob, counted: _Counted, patterns: Sequence[Pattern]) -> StickOrders | None:
    """Real pieces dealt to the sticks and put in order; None when a stick does not hold them after all."""
    waiting = [[piece for piece in line for _ in range(piece.quantity)] for line in counted.lines]
    orders: StickOrders = []
    known: dict[tuple[StickPiece, ...], tuple[Lying, ...]] = {}
    for stock_place, counts in sorted(patterns, key=lambda p: (job.stocks[p[0]].on_hand is None, p[0], p[1])):
        stock = job.stocks[stock_place]
        here: list[StickPiece] = []
        for kind, count in enumerate(counts):
            here += waiting[kind][:count]
            del waiting[kind][:count]
        key = tuple(here)
        if key not in known:
            known[key] = best_order(here)
        trim = job.end_trim if stock.on_hand is None else 0.0
        if end_of(known[key], job.kerf, trim) > stock.length - trim + FIT:
            return None
        orders.append((stock, known[key]))
    return orders
