"""All strength cases of a three-set skid: frame, ratios and checks; the whole standing report of solved pits; and one
solve by the kept frame library.

    python benchmarks/bench_strength.py

Target: all cases in under 0.25 s.
"""

from __future__ import annotations

import dataclasses
import os
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))

import sample_frame
from pitwright.job.file import job_from, read_toml
from pitwright.layout.pit import solve as solve_pit
from pitwright.strength.frame_report import ratios, worst_checks
from pitwright.strength.frame_solve import solve
from pitwright.strength.shell import rolling_stiffness
from pitwright.strength.standing import stand

TARGET = 0.25
EXAMPLES = Path(__file__).resolve().parents[1] / "examples"


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


def report(name: str, sets: bool = False) -> float:
    """Median time of a whole standing report of an example, fire known [s]; sets: on three leg sets."""
    data = read_toml(EXAMPLES / f"{name}.toml")
    if sets:
        places = [("stack seam", "1/2 radius"), ("middle", "0"), ("fire seam", "1/2 radius")]
        rules = data.setdefault("proportions", {}).setdefault("legs", {})
        rules["sets"] = [{"from": start, "by": by} for start, by in places]
    pit = solve_pit(job_from(data, folder=EXAMPLES))
    stand(pit)
    median, _ = timed(lambda: stand(dataclasses.replace(pit)))
    return median


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
    whole = report("orchard-30", sets=True)
    print(f"whole report of a solved skid on three leg sets: {whole * 1e3:.0f} ms")
    for name in ("orchard-30", "stand-24", "cart-20", "trailer-48"):
        print(f"  {name}: {report(name) * 1e3:.0f} ms")
    good = max(median, whole) < TARGET
    print("within the target" if good else f"OVER the target of {TARGET} s")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
