"""All strength cases of a three-set skid: frame, ratios and checks; and one solve by the kept frame library.

    python benchmarks/bench_strength.py

Target: all cases in under 0.25 s.
"""

from __future__ import annotations

import os
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))

import sample_frame
from pitwright.strength.frame_report import ratios, worst_checks
from pitwright.strength.frame_solve import solve
from pitwright.strength.shell import rolling_stiffness

TARGET = 0.25


def timed(what: Callable[[], object], rounds: int = 15) -> tuple[float, float]:
    """Median and longest time [s]."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        what()
        times.append(time.perf_counter() - start)
    return statistics.median(times), max(times)


def everything() -> None:
    """A three-set skid from its sizes to the checks of every piece."""
    pit = sample_frame.skid()
    solved = solve(pit.frame, pit.cases)
    worst_checks(solved, pit.members, ratios(solved, pit.members))


def main() -> int:
    start = time.perf_counter()
    everything()
    first = time.perf_counter() - start
    pit = sample_frame.skid()
    median, longest = timed(everything)
    solving, _ = timed(lambda: solve(pit.frame, pit.cases))
    print(f"{len(pit.frame.joints)} joints, {len(pit.frame.beams)} members, {len(pit.cases)} cases")
    print(f"everything: median {median * 1e3:.0f} ms, longest {longest * 1e3:.0f} ms, first {first * 1e3:.0f} ms")
    print(f"  of it the frame: {solving * 1e3:.0f} ms")
    frame, case = sample_frame.held(pit)
    start = time.perf_counter()
    sample_frame.in_pynite(frame, case)
    loading = time.perf_counter() - start
    one, _ = timed(lambda: sample_frame.in_pynite(frame, case), 5)
    print(f"PyNite: {one * 1e3:.0f} ms for one case of the same frame without lift-off, {loading:.1f} s the first time")
    patch = sample_frame.leg_patch()
    print(f"shell wall at one leg: {timed(lambda: rolling_stiffness(patch))[0] * 1e3:.1f} ms")
    print("within the target" if median < TARGET else f"OVER the target of {TARGET} s")
    return 0 if median < TARGET else 1


if __name__ == "__main__":
    sys.exit(main())
