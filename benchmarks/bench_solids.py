"""How fast weights, solids, pictures and solid files of whole pits are, and how near the B-rep kernel.

    python benchmarks/bench_solids.py [--quick] [JOB.toml ...]

For every job (all of examples/ unless named): pieces and copies, then milliseconds: `weights` of all pieces with nothing
remembered, `solids` and `overlaps` of all copies, one hidden-line picture from the side, the fire end, above and
isometric, GLB and STEP. `kernel` is the B-rep kernel building the same pieces and weighing them once; `ratio` is kernel
over weights. `worst` is the largest difference in a piece's volume and centroid between the two. Best of three, meshes
and kernel solids made anew; where the kernel does not start its columns stay empty.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from pitwright.errors import OutputError
from pitwright.job.file import load_job
from pitwright.layout.pit import solve
from pitwright.masses import mass_of, volume_of
from pitwright.parts import Part
from pitwright.solid import brep, features, glb, mesh, step, view
from pitwright.solid.hidden import hidden_lines
from pitwright.solid.kernel import kernel

VIEWS = {"side": view.SIDE, "end": view.FIRE_END, "plan": view.PLAN, "iso": view.ISOMETRIC}
EXAMPLES = Path(__file__).parents[1] / "examples"


def forget() -> None:
    for remembered in (volume_of, mesh.solid_of, features.features_of, glb.shaded, brep.brep_of):
        remembered.cache_clear()


def best(work: Callable[[], object], times: int) -> float:
    """Least time of several runs [ms], nothing remembered between them."""
    took = []
    for _ in range(times):
        forget()
        begin = time.perf_counter()
        work()
        took.append(time.perf_counter() - begin)
    return 1e3 * min(took)


def starts() -> bool:
    try:
        kernel()
    except OutputError as missing:
        print(missing, file=sys.stderr)
        return False
    return True


def differences(parts: Sequence[Part]) -> tuple[float, float]:
    """Largest difference of a piece between the two ways: share of its volume, and centroid [mm]."""
    volume = centroid = 0.0
    for part in parts:
        exact, found = volume_of(part.shape), brep.brep_mass(brep.brep_of(part.shape))
        volume = max(volume, abs(exact.volume / found.volume - 1.0))
        centroid = max(centroid, *(abs(a - b) for a, b in zip(exact.centre, found.centre, strict=True)))
    return volume, 1e3 * centroid


def figures_of(parts: Sequence[Part], times: int, exact: bool) -> str:
    """The columns of one pit."""
    figures = [
        best(lambda: [mass_of(part) for part in parts], times),
        best(lambda: [solid.num_tri() for _, _, solid in mesh.pit_solids(parts)], times),
        best(lambda: mesh.overlaps(parts), times),
        *(best(partial(hidden_lines, parts, side), times) for side in VIEWS.values()),
        best(lambda: glb.glb_bytes(parts), times),
    ]
    line = "".join(f"{figure:9.1f}" for figure in figures)
    if exact:
        with tempfile.TemporaryDirectory() as scratch:
            line += f"{best(lambda: step.write_step(parts, Path(scratch) / 'pit.step'), times):9.0f}"
        alone = best(lambda: [brep.brep_mass(brep.brep_of(part.shape)) for part in parts], times)
        volume, centroid = differences(parts)
        line += f"{alone:9.0f}{alone / figures[0]:9.0f}   {volume:.0e} {centroid:.3f} mm"
    return line


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("jobs", nargs="*", type=Path)
    parser.add_argument("--quick", action="store_true", help="one run of each instead of three")
    chosen = parser.parse_args()
    jobs = chosen.jobs or sorted(p for p in EXAMPLES.glob("*.toml") if p.stem != "shop")
    begin = time.perf_counter()
    exact = starts()
    print(f"kernel start {1e3 * (time.perf_counter() - begin):.0f} ms")
    names = ["weights", "solids", "overlaps", *VIEWS, "GLB", "STEP", "kernel", "ratio", "worst"]
    print(f"{'job':18}{'pieces':>7}{'copies':>7}" + "".join(f"{name:>9}" for name in names))
    for job in jobs:
        parts = solve(load_job(job)).parts
        copies = sum(part.quantity for part in parts)
        print(f"{job.stem:18}{len(parts):7}{copies:7}{figures_of(parts, 1 if chosen.quick else 3, exact)}")


if __name__ == "__main__":
    main()
