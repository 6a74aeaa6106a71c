"""Stick plans against published cutting and packing instances with known optima.

Sources: Falkenauer's uniform and triplet classes (OR-Library, ESICUP data sets; see tests/data/cutting/SOURCE.md),
with the improved optima of BPPLIB's `Bounds.txt`; Waescher and Gau's TEST0022 (BPPLIB), whose optimum lies one above
the rounded bound; the stick sums of the trade (common practice, no source).
"""

from __future__ import annotations

import math
import time
from collections import Counter
from pathlib import Path

import pytest

from pitwright.shop._columns import CutProblem, generate_columns
from pitwright.shop._fill import first_fit
from pitwright.shop.sticks import StickPiece, StickPlan, StickStock, alternatives, plan_sticks
from pitwright.tape import INCH

DATA = Path(__file__).parents[1] / "data" / "cutting"

IMPROVED = {"u120_08": 50, "u120_19": 49, "u250_07": 103, "u250_12": 105}
"""Optima found after the instance files were written (BPPLIB, Bounds.txt)."""

TEST0022 = (
    *(4812, 4812, 4812, 4783, 4778, 4769, 4769, 4738, 4199, 4199, 4122, 4122, 3959, 3787, 3534, 3534, 3534, 3412),
    *(3412, 3412, 3326, 3326, 3168, 3168, 3168, 3168, 2649, 2317, 2317, 2156, 2067, 2067, 1912, 1897, 1762, 1762),
    *(1762, 1594, 1574, 1492, 1492, 1308, 1308, 1274, 1274, 724, 511, 511, 468, 246, 246, 117, 117, 63, 63, 55, 26),
)


def instances(name: str, times: int = 1) -> list[tuple[str, int, tuple[int, ...], int]]:
    """(name, capacity, sizes, optimum) of every instance in a file; sizes are multiplied by `times`."""
    words = iter((DATA / name).read_text().split())
    found = []
    for _ in range(int(next(words))):
        label, capacity, count, best = next(words), float(next(words)), int(next(words)), int(next(words))
        sizes = tuple(round(float(next(words)) * times) for _ in range(count))
        found.append((label, round(capacity * times), sizes, IMPROVED.get(label, best)))
    return found


def problem(sizes: tuple[int, ...], capacity: int) -> CutProblem:
    count = Counter(sizes)
    kinds = sorted(count, reverse=True)
    return CutProblem(
        need=tuple(kinds),
        demand=tuple(count[kind] for kind in kinds),
        capacity=(capacity,),
        price=(1,),
        limit=(None,),
    )


def plan_of(sizes: tuple[int, ...], capacity: int, time_limit: float = 30.0) -> StickPlan:
    """The instance as sticks: one unit is a millimetre, no kerf."""
    pieces = [
        StickPiece(mark=f"P{size}", length=size / 1000.0, quantity=count) for size, count in Counter(sizes).items()
    ]
    plan = plan_sticks(
        "instance",
        pieces,
        [StickStock(label="bin", length=capacity / 1000.0)],
        kerf=0.0,
        time_limit=time_limit,
    )
    assert Counter(piece.mark for stick in plan.sticks for piece in stick.pieces) == Counter(f"P{s}" for s in sizes)
    return plan


@pytest.mark.parametrize(
    ("label", "capacity", "sizes", "optimum"),
    [
        *instances("falkenauer_u120.txt"),
        *instances("falkenauer_u250.txt"),
        *instances("falkenauer_t120.txt", times=10)[:4],
    ],
)
def test_published_optimum_is_reached_and_proven(
    label: str, capacity: int, sizes: tuple[int, ...], optimum: int
) -> None:
    plan = plan_of(sizes, capacity)
    assert len(plan.sticks) == optimum, label
    assert plan.proven
    assert plan.gap == 0.0


@pytest.mark.parametrize(
    ("file", "place", "bound"),
    [("falkenauer_u120.txt", 0, 47.266), ("falkenauer_u250.txt", 0, 98.553), ("falkenauer_u250.txt", 13, 102.041)],
)
def test_linear_bound_has_the_published_value(file: str, place: int, bound: float) -> None:
    _, capacity, sizes, _ = instances(file)[place]
    counted = problem(sizes, capacity)
    start = first_fit(counted, [0]) or []
    columns = generate_columns(counted, start, until=time.monotonic() + 20.0, enough=math.inf)
    assert columns.finished
    assert columns.bound == pytest.approx(bound, abs=6e-4)


def test_first_fit_has_the_published_counts() -> None:
    for file, place, count in [
        ("falkenauer_u120.txt", 0, 49),
        ("falkenauer_u250.txt", 0, 100),
        ("falkenauer_u250.txt", 13, 104),
    ]:
        _, capacity, sizes, _ = instances(file)[place]
        assert len(first_fit(problem(sizes, capacity), [0]) or []) == count


def test_the_gap_of_a_hard_instance_is_told() -> None:
    """TEST0022: optimum 15, linear bound 13.9999. The plan reaches 15 and says that 14 is not ruled out."""
    plan = plan_of(TEST0022, 10000, time_limit=2.0)
    assert len(plan.sticks) == 15
    if not plan.proven:
        assert plan.lower_bound == pytest.approx(14 * 10.0)
        assert plan.gap == pytest.approx(1 / 15)
        assert any(finding.code == "sticks.not_proven" for finding in plan.findings)


def test_rails_cross_members_and_legs_on_20_and_24_foot_sticks() -> None:
    """2 x 120, 4 x 28, 4 x 26-5/16 with 1/16 kerf: two 20-ft sticks 95 % used, two 24-ft sticks 79 %."""
    pieces = [
        StickPiece(mark="R1", length=120 * INCH, quantity=2),
        StickPiece(mark="X1", length=28 * INCH, quantity=4),
        StickPiece(mark="L1", length=26.3125 * INCH, quantity=4),
    ]
    twenty = StickStock(label="20 ft", length=240 * INCH)
    twenty_four = StickStock(label="24 ft", length=288 * INCH)
    sets = {"20 ft only": [twenty], "24 ft only": [twenty_four], "both": [twenty, twenty_four]}
    table = alternatives("3 x 3 x 3/16", pieces, sets, kerf=INCH / 16)
    plans = dict(table.plans)
    assert [len(plans[label].sticks) for label in sets] == [2, 2, 2]
    assert round(100 * plans["20 ft only"].used) == 95
    assert math.floor(100 * plans["24 ft only"].used) == 79
    assert plans["both"].counted == pytest.approx(480 * INCH)
    assert all(plan.proven for plan in plans.values())
    taken = sorted((240 * INCH - stick.drop) / INCH for stick in plans["20 ft only"].sticks)
    assert taken == pytest.approx([225 + 9 / 16, 232 + 5 / 16])


def test_80_pieces_in_three_lengths_are_proven_in_under_two_seconds() -> None:
    pieces = [
        StickPiece(mark=f"P{place}", length=(9 + 5.3125 * place % 79) * INCH, quantity=4) for place in range(1, 21)
    ]
    stocks = [StickStock(label=f"{feet} ft", length=feet * 12 * INCH) for feet in (20, 24, 40)]
    begun = time.monotonic()
    plan = plan_sticks("2 x 2 x 1/8", pieces, stocks, kerf=INCH / 8)
    assert plan.proven
    assert time.monotonic() - begun < 2.0
