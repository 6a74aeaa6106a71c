"""How long the bench's pictures take, by example: one step of a drag (solve, redraw, strip), and the full picture at rest.

    python benchmarks/bench_pictures.py [--steps N] [--job NAME] [--cpu]

A step is a place of the pointer turned into changes, the changed document laid out, the view drawn without lettering and
written as the page takes it. The full picture is the first one of a changed pit: every finding, each with its way out, and
the lettered view. Prints median and 95th of 100 in milliseconds; exit code 1 where a step's 95th passes 50 ms.
"""

from __future__ import annotations

import argparse
import functools
import json
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pitwright.bench  # noqa: F401  (one thread for the linear algebra, before numpy is loaded)
from pitwright.bench.documents import Document, apply_edits, from_toml
from pitwright.bench.drawings import VIEWS, View, as_svg, lettered, quick, ratio_for
from pitwright.bench.handles import drag, grips
from pitwright.bench.state import Desk
from pitwright.layout.model import Pit

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
MARK = 50.0
_clock = time.perf_counter
TAKEN: tuple[tuple[str, View], ...] = (
    ("leg A foot", "stack end"),
    ("main grate", "side"),
    ("stack along", "side"),
    ("firebox drop", "fire end"),
    ("rails apart", "plan"),
    ("door lower edge", "wrap map"),
)


def clocked(call: Callable[[], object]) -> float:
    start = _clock()
    call()
    return 1e3 * (_clock() - start)


def told(times: list[float]) -> str:
    ordered = sorted(times)
    last = ordered[min(len(ordered) - 1, int(0.95 * len(ordered)))]
    return f"{statistics.median(ordered):7.1f} {last:7.1f}"


def steps(desk: Desk, stored: Document, handle: str, view: View, count: int) -> list[float]:
    """Times of the steps of one drag; places where no pit can be count too."""
    pit = desk.pit(stored)
    one = next((g for g in grips(pit) if g.id == handle and view in g.places), None)
    if one is None or one.fixed:
        return []
    u, v = one.places[view]
    out = []
    for i in range(1, count + 1):

        def step(i: int = i) -> None:
            done = drag(pit, handle, view, u + 0.0007 * i, v + 0.0007 * i)
            changed = apply_edits(stored, list(done.edits))
            picture = desk.show(changed, views=[view], full=False, hand=handle, stored=stored)
            json.dumps(picture.as_json())

        out.append(clocked(step))
    return out


def full_pictures(desk: Desk, stored: Document) -> list[float]:
    """Times of full pictures of pits not seen before."""
    out = []
    for i in range(3):
        height = f"{960 + 3 * i} mm"
        changed = apply_edits(stored, [{"path": ["order", "grate_height"], "value": height}])
        out.append(clocked(functools.partial(desk.show, changed, views=["side"], full=True)))
    return out


def drawn(pit: Pit, view: View) -> str:
    """Milliseconds to draw a view without and with its lettering."""
    ratio = ratio_for(pit, view)
    return f"{view} {clocked(lambda: as_svg(quick(pit, view), ratio)):.0f}/{clocked(lambda: as_svg(lettered(pit, view), ratio)):.0f}"


def main() -> int:
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    options.add_argument("--steps", type=int, default=40)
    options.add_argument("--job", default="")
    options.add_argument(
        "--cpu", action="store_true", help="time of the processor alone, where the machine has other work"
    )
    chosen = options.parse_args()
    global _clock
    _clock = time.process_time if chosen.cpu else time.perf_counter
    shop = {"shop.toml": (EXAMPLES / "shop.toml").read_bytes()}
    names = sorted(p.stem for p in EXAMPLES.glob("*.toml") if p.stem != "shop")
    missed = False
    print(f"{'':18} {'step of a drag':>15}  {'full picture':>15}   each view: quick / lettered, ms")
    for name in [n for n in names if chosen.job in n]:
        stored = from_toml((EXAMPLES / f"{name}.toml").read_bytes(), name)
        desk = Desk(stored, shop)
        desk.show(stored, views=["side"], stored=stored)
        times = [t for handle, view in TAKEN for t in steps(desk, stored, handle, view, chosen.steps)]
        full = full_pictures(desk, stored)
        views = "  ".join(drawn(desk.pit(stored), view) for view in VIEWS)
        print(f"{name:18} {told(times) if times else '':>15}  {told(full):>15}   {views}")
        missed |= bool(times) and sorted(times)[int(0.95 * (len(times) - 1))] > MARK
    return int(missed)


if __name__ == "__main__":
    sys.exit(main())
