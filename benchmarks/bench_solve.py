"""How long a whole pit takes to solve: job in, pit out with weights, conflicts and reasons.

    python benchmarks/bench_solve.py [--quick] [--profile JOB]

Each run changes the grate height by a hair, as dragging it would, so that nothing whole can come from a cache. Prints
the median, the fastest and the ninth tenth in milliseconds for a plain pit, one with slides, fittings and a dished
double-wall firebox, and a reverse-flow pit; in processor time of this process, so that other work on the machine does
not count. The mark is a median under 10 ms.
"""

from __future__ import annotations

import argparse
import cProfile
import pstats
import statistics
import sys
import time
from typing import Any

from pitwright.job.facts import Job
from pitwright.job.file import job_from
from pitwright.layout.pit import solve

PLAIN: dict[str, Any] = {
    "job": {"name": "Bench pit"},
    "vessel": {"around": "94 1/2", "wall": "1/4", "length": "84", "seams": [{"kind": "long"}]},
    "order": {"grate_height": "37"},
    "make_safe": {"held": "air", "method": "washed", "signed_by": "A. Clerk", "signed_on": "2026-01-01"},
}
FULL: dict[str, Any] = {
    **PLAIN,
    "vessel": {
        **PLAIN["vessel"],
        "around": "117 3/4",
        "length": "101",
        "fittings": [
            {
                "name": "drain boss",
                "station": "90",
                "around": "60",
                "size": "2 1/2",
                "plan": "reuse",
                "good_for": ["drain"],
            },
            {"name": "collar", "station": "32", "around": "59", "size": "9", "plan": "cut away"},
        ],
    },
    "order": {"grate_height": "39", "people": 200, "levels": [{"above": "9"}]},
    "proportions": {"firebox": {"joint": "dished", "double_wall": "2"}},
}
REVERSE: dict[str, Any] = {**PLAIN, "order": {"grate_height": "37", "flow": "reverse"}}
JOBS = {"plain": PLAIN, "full": FULL, "reverse": REVERSE}
MARK = 10.0  # ms


def moved(job: Job, run: int) -> Job:
    """The job with its grate a hair higher at each run."""
    order = job.order.model_copy(update={"grate_height": job.order.grate_height + 1e-5 * (run + 1)})
    return job.model_copy(update={"order": order})


def times(job: Job, runs: int) -> list[float]:
    """Processor milliseconds of each run."""
    out = []
    for run in range(runs):
        one = moved(job, run)
        start = time.process_time()
        solve(one)
        out.append((time.process_time() - start) * 1000.0)
    return out


def main() -> int:
    ask = argparse.ArgumentParser(description="Time the solving of whole pits.")
    ask.add_argument("--quick", action="store_true", help="a fifth of the runs")
    ask.add_argument("--profile", choices=sorted(JOBS), help="show where the time of one of them goes")
    said = ask.parse_args()
    runs = 20 if said.quick else 100
    slow = False
    for name, tables in JOBS.items():
        job = job_from(tables)
        solve(job)
        found = sorted(times(job, runs))
        median = statistics.median(found)
        slow |= median > MARK
        print(
            f"{name:8s} median {median:6.2f} ms   fastest {found[0]:6.2f}   ninth tenth {found[int(0.9 * runs)]:6.2f}"
        )
    if said.profile:
        job = job_from(JOBS[said.profile])
        watch = cProfile.Profile()
        watch.enable()
        for run in range(runs):
            solve(moved(job, 1000 + run))
        watch.disable()
        pstats.Stats(watch).sort_stats("cumulative").print_stats(45)
    return 1 if slow else 0


if __name__ == "__main__":
    sys.exit(main())
