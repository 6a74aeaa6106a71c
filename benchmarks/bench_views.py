"""How long the bench's larger views take on the server: fire by a slider, stand, 3-D, the customer's file.

    python benchmarks/bench_views.py [JOB ...]

Prints the median and the 95th of 100 in milliseconds, and sizes. Marks: a slider of the fire under 150 ms, 3-D under
250 ms with nothing kept from before.
"""

from __future__ import annotations

import gzip
import json
import os
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
TIMES = 60


def timed(work: Callable[[int], object], times: int) -> list[float]:
    """Milliseconds of each of so many calls."""
    took = []
    for i in range(times):
        start = time.perf_counter()
        work(i)
        took.append(1000.0 * (time.perf_counter() - start))
    return sorted(took)


def told(what: str, took: list[float], more: str = "") -> None:
    p95 = took[min(len(took) - 1, round(0.95 * len(took)))]
    print(f"  {what:34} median {statistics.median(took):7.1f} ms   95th {p95:7.1f} ms   {more}")


def main() -> None:
    from pitwright.bench.export_html import customer_page
    from pitwright.bench.fire_view import fire
    from pitwright.bench.solid_view import shape_record, solid
    from pitwright.bench.stand_view import stand
    from pitwright.job.file import load_job
    from pitwright.layout.pit import solve
    from pitwright.solid.mesh import solid_of

    for path in [Path(p) for p in sys.argv[1:]] or [EXAMPLES / "orchard-30.toml", EXAMPLES / "trailer-48.toml"]:
        job = load_job(path)
        pit = solve(job)
        print(path.name)
        fire(pit, {})
        told("fire, a slider moved", timed(lambda i: json.dumps(fire(pit, {"outside": 10 + i})), TIMES))  # noqa: B023

        def afresh(_: int) -> None:
            shape_record.cache_clear()
            solid_of.cache_clear()
            json.dumps(solid(pit))  # noqa: B023

        text = json.dumps(solid(pit), separators=(",", ":")).encode()
        size = f"{len(text) / 1000:.0f} kB, packed {len(gzip.compress(text, 6)) / 1000:.0f} kB"
        told("3-D, nothing kept", timed(afresh, 10), size)
        told("3-D, shapes kept", timed(lambda _: json.dumps(solid(pit)), 20))  # noqa: B023
        told("stand", timed(lambda _: json.dumps(stand(solve(job))), 6))  # noqa: B023
        page = customer_page(pit)
        told("customer's file", timed(lambda _: customer_page(pit), 3), f"{len(page.encode()) / 1e6:.2f} MB")  # noqa: B023


if __name__ == "__main__":
    main()
