"""How fast the fire answers, and that it always does.

    python benchmarks/bench_fire.py [--quick]

Wanted: a steady fire in 25 ms (median), eight hours of warm-up in 0.5 s, 500 runs of uncertainty in 8 s on two cores,
and 2,000 pits at random that burn or say why. `OPENBLAS_NUM_THREADS=1` is set: the matrices are small.
"""

from __future__ import annotations

import argparse
import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import statistics
import sys
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from fire_pits import random_pit, reverse_flow, thirty_inch
from pitwright.fire.calibrate import Reading, learn_from_readings
from pitwright.fire.case import FireCase
from pitwright.fire.chokes import chokes
from pitwright.fire.result import NoFire, SteadyFire
from pitwright.fire.sizing import size
from pitwright.fire.steady import steady
from pitwright.fire.uncertainty import uncertainty
from pitwright.fire.warmup import Burn, course


def timed(work: Callable[[], object], times: int) -> tuple[float, float]:
    """Median seconds by the wall and by this process's own clock."""
    wall, own = [], []
    for _ in range(times):
        a, b = time.perf_counter(), time.process_time()
        work()
        wall.append(time.perf_counter() - a)
        own.append(time.process_time() - b)
    return statistics.median(wall), statistics.median(own)


def line(name: str, wall: float, own: float, target: float | None) -> None:
    wanted = "" if target is None else f"  wanted {target:g} s: {'met' if wall <= target else 'MISSED'}"
    print(f"{name:44s} {wall:8.4f} s   own clock {own:8.4f} s{wanted}")


def at_random(count: int) -> None:
    why: Counter[str] = Counter()
    worst = 0.0
    times = []
    for seed in range(count):
        case = random_pit(seed)
        begin = time.perf_counter()
        found = steady(case)
        times.append(time.perf_counter() - begin)
        if isinstance(found, NoFire):
            why[found.reason] += 1
        else:
            why["burns"] += 1
            worst = max(worst, found.energy_error, found.mass_error)
    times.sort()
    print(f"{count} pits at random: {dict(why)}")
    print(f"  worst energy or mass left over {worst:.1e} of throughput; median {1e3 * times[count // 2]:.1f} ms, "
          f"99 of 100 under {1e3 * times[int(0.99 * count)]:.0f} ms")  # fmt: skip
    if why["unsettled"]:
        print(f"  {why['unsettled']} WITHOUT AN ANSWER")


def readings(case: FireCase) -> list[Reading]:
    found = steady(case)
    assert isinstance(found, SteadyFire)
    grate = found.grates[0]
    return [Reading(x=float(grate.x[i]), z=grate.z, temperature=float(grate.reading[i])) for i in (0, 4, 8, 12, 15)]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--quick", action="store_true", help="a tenth of the work")
    quick = parser.parse_args().quick
    case = thirty_inch()
    base = steady(case)
    assert isinstance(base, SteadyFire)
    line("steady fire, offset pit", *timed(lambda: steady(case), 9 if quick else 41), 0.025)
    line("steady fire, reverse flow", *timed(lambda: steady(reverse_flow()), 9 if quick else 41), None)
    course(case, Burn(seconds=600.0))
    line("warm-up, eight hours", *timed(lambda: course(case, Burn()), 3 if quick else 7), 0.5)
    line("choke table", *timed(lambda: chokes(case, base), 3), None)
    line("sizing", *timed(lambda: size(case), 1), None)
    line("five thermometers", *timed(lambda: learn_from_readings(case, readings(case)), 1), None)
    runs = 50 if quick else 500
    uncertainty(case, runs=50, workers=2)
    begin = time.perf_counter()
    uncertainty(case, runs=runs, workers=2)
    line(f"uncertainty, {runs} runs, two workers", time.perf_counter() - begin, 0.0, 0.8 if quick else 8.0)
    at_random(200 if quick else 2000)


if __name__ == "__main__":
    main()
