"""What a whole job costs: solved, rebuilt by the B-rep kernel, and packed.

    python benchmarks/bench_pits.py [JOB.toml ...]

For every job (all of examples/ unless named): `solve`, the median of twenty in processor milliseconds, each with the
grate a hair higher so that nothing whole comes from a cache; `kernel`, the B-rep kernel making and weighing the same
pieces once; `ratio`, kernel over solve; and `pack`, seconds on the clock for every file of the pack into an empty
folder, with the seconds of its slowest pieces. The marks: solve under 10 ms, pack under 15 s on two idle cores.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import tempfile
import time
from pathlib import Path

from pitwright.errors import OutputError
from pitwright.job.facts import Job
from pitwright.job.file import load_job
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.pack import write_pack
from pitwright.solid.brep import brep_mass, brep_of
from pitwright.solid.kernel import kernel

EXAMPLES = Path(__file__).parents[1] / "examples"
RUNS = 20
SLOWEST = 3


def solve_time(job: Job) -> float:
    """Median processor time of a solve [ms]."""
    took = []
    for run in range(RUNS):
        order = job.order.model_copy(update={"grate_height": job.order.grate_height + 1e-5 * (run + 1)})
        one = job.model_copy(update={"order": order})
        begin = time.process_time()
        solve(one)
        took.append(time.process_time() - begin)
    return 1e3 * statistics.median(took)


def kernel_time(pit: Pit) -> float:
    """Processor time of the B-rep kernel making and weighing every piece once [ms]."""
    brep_of.cache_clear()
    begin = time.process_time()
    for shape in {part.shape for part in pit.parts}:
        brep_mass(brep_of(shape))
    return 1e3 * (time.process_time() - begin)


def pack_time(pit: Pit) -> tuple[float, list[tuple[str, float]]]:
    """Seconds for the whole pack, and of each of its pieces."""
    stops: list[tuple[str, float]] = []
    begin = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        write_pack(pit, Path(folder), step=lambda name: stops.append((name, time.perf_counter())))
    took, last = [], begin
    for name, stop in stops:
        took.append((name, stop - last))
        last = stop
    return last - begin, took


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("jobs", nargs="*", type=Path)
    jobs = parser.parse_args().jobs or sorted(p for p in EXAMPLES.glob("*.toml") if p.stem != "shop")
    try:
        kernel()
        exact = True
    except OutputError as missing:
        print(missing, file=sys.stderr)
        exact = False
    print(f"{'job':18}{'solve ms':>9}{'kernel ms':>10}{'ratio':>7}{'pack s':>8}   slowest pieces")
    for path in jobs:
        job = load_job(path)
        pit = solve(job)
        fast = solve_time(job)
        slow = kernel_time(pit) if exact else float("nan")
        whole, pieces = pack_time(pit)
        slowest = sorted(pieces, key=lambda p: -p[1])[:SLOWEST]
        said = ", ".join(f"{name} {seconds:.1f}" for name, seconds in slowest)
        print(f"{path.stem:18}{fast:9.1f}{slow:10.0f}{slow / fast:7.0f}{whole:8.1f}   {said}")


if __name__ == "__main__":
    main()
