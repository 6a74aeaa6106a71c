"""How fast stick plans are, and how near the bound no plan can beat.

    python benchmarks/bench_sticks.py [--quick]

Shop jobs: 80 pieces of 24 lengths from 6 to 90 in, 1/16 in steps, kerf 1/8, sticks of 20, 24 and 40 ft; counted by
length, by prices in cents, with drops on the rack, with mitres, and in metric lengths on no common grid.
Published: Falkenauer u250 and t120 (tests/data/cutting). Every line: instances, proven, mean and worst seconds, worst
ratio of plan to bound.
"""

from __future__ import annotations

import argparse
import math
import random
import sys
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from pitwright.shop.sticks import StickEnd, StickPiece, StickPlan, StickStock, plan_sticks
from pitwright.tape import INCH

DATA = Path(__file__).parents[1] / "tests" / "data" / "cutting"
FEET = (20, 24, 40)


def shop_job(seed: int, kind: str) -> StickPlan:
    chance = random.Random(seed)
    prices = dict.fromkeys(FEET, 0.0) if kind == "length" else {20: 85.49, 24: 104.25, 40: 168.99}
    stocks = [StickStock(label=f"{feet} ft", length=feet * 12 * INCH, price=prices[feet]) for feet in FEET]
    if kind == "drops":
        stocks += [
            StickStock(label=f"drop {at}", length=chance.randint(40, 140) * INCH, on_hand=chance.randint(1, 3))
            for at in range(4)
        ]
    lengths = [chance.randint(6 * 16, 90 * 16) * INCH / 16 for _ in range(24)]
    if kind == "no grid":
        lengths = [chance.uniform(0.15, 2.3) for _ in range(24)]
    count = Counter(chance.choice(range(24)) for _ in range(80))
    pieces = []
    for at, quantity in count.items():
        ends = [StickEnd(), StickEnd()]
        if kind == "mitres" and at % 2:
            ends = [StickEnd(angle=math.radians(a), kind="mitre") for a in chance.choices((11.3, 33.7, 45.0), k=2)]
            lengths[at] = max(lengths[at], 8 * INCH)
        pieces.append(
            StickPiece(
                mark=f"P{at}", length=lengths[at], quantity=quantity, left=ends[0], right=ends[1], height=3 * INCH
            )
        )
    return plan_sticks("3 x 3 x 3/16", pieces, stocks, kerf=INCH / 8)


def published(name: str, times: int) -> list[Callable[[], StickPlan]]:
    words = iter((DATA / name).read_text().split())
    jobs = []
    for _ in range(int(next(words))):
        next(words)
        capacity, count, _ = float(next(words)), int(next(words)), next(words)
        sizes = Counter(round(float(next(words)) * times) for _ in range(count))
        pieces = [StickPiece(mark=f"P{size}", length=size / 1000, quantity=q) for size, q in sizes.items()]
        stocks = [StickStock(label="bin", length=round(capacity * times) / 1000)]
        jobs.append(lambda p=pieces, s=stocks: plan_sticks("bin", p, s, kerf=0.0, time_limit=20.0))
    return jobs


def line(name: str, jobs: list[Callable[[], StickPlan]]) -> bool:
    seconds, ratios, proven = [], [], 0
    for job in jobs:
        begun = time.perf_counter()
        plan = job()
        seconds.append(time.perf_counter() - begun)
        proven += plan.proven
        ratios.append(plan.counted / plan.lower_bound if plan.lower_bound else 1.0)
    print(
        f"{name:28} {len(jobs):3} jobs  {proven:3} proven  mean {sum(seconds) / len(seconds):6.2f} s  "
        f"worst {max(seconds):6.2f} s  worst ratio {max(ratios):.4f}",
        flush=True,
    )
    return proven == len(jobs) and max(seconds) < 2.0


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--quick", action="store_true", help="five jobs a line")
    few = 5 if parser.parse_args().quick else 20
    good = line("80 pieces, 3 lengths", [lambda s=seed: shop_job(s, "length") for seed in range(few)])
    for kind in ("prices", "drops", "no grid", "mitres"):
        line(f"80 pieces, 3 lengths, {kind}", [lambda s=seed, k=kind: shop_job(s, k) for seed in range(few)])
    line("Falkenauer u250", published("falkenauer_u250.txt", 1)[:few])
    line("Falkenauer t120", published("falkenauer_t120.txt", 10)[:few])
    print("80 pieces in three lengths proven in under 2 s:", "yes" if good else "NO")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
