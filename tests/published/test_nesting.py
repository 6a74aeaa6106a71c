"""Plate nests against published irregular instances and their record lengths.

Shirts and trousers (ESICUP data sets, see tests/data/nesting/SOURCE.md) as one long sheet: how far along it the parts
reach, against the shortest published layouts (sparrow, arXiv 2509.13329). A few seconds here; the benchmark
`benchmarks/bench_nests.py` gives the nester 40 s and holds it to 0.93 of the record density.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
import shapely

from pitwright.shop.nests import FlatPart, SheetStock, plan_nest

DATA = Path(__file__).parents[1] / "data" / "nesting"

INSTANCES = {
    # name: strip width, pieces, area of all pieces, record length (all in the instance's own unit)
    "shirts": (40.0, 99, 2160.0, 59.393),
    "trousers": (79.0, 64, 17206.5, 235.172),
}
LIGHT_BAR = 0.87
"""Share of the record density asked for after a few seconds on a busy machine."""


def pieces(name: str, scale: float) -> list[FlatPart]:
    """The pieces, turned by 0 or 180 degrees, one unit being `scale` metres."""
    parts: list[FlatPart] = []
    for block in (DATA / f"{name}.txt").read_text().split("PIECE")[1:]:
        words = block.split()
        count = int(words[words.index("QUANTITY") + 1])
        figures = [float(word) * scale for word in words[words.index("(X,Y)") + 1 :]]
        parts.append(
            FlatPart(
                mark=f"P{words[0]}",
                outline=tuple(zip(figures[0::2], figures[1::2])),
                quantity=count,
                allow_rotation="half turn",
            )
        )
    return parts


@pytest.mark.parametrize("name", INSTANCES)
def test_the_instances_are_the_published_ones(name: str) -> None:
    _, count, area, _ = INSTANCES[name]
    parts = pieces(name, 1.0)
    assert sum(part.quantity for part in parts) == count
    assert sum(shapely.Polygon(part.outline).area * part.quantity for part in parts) == pytest.approx(area)


@pytest.mark.parametrize("name", INSTANCES)
def test_a_few_seconds_come_near_the_record(name: str) -> None:
    width, count, area, record = INSTANCES[name]
    parts = pieces(name, 0.01)
    sheet = SheetStock(label="strip", width=0.01 * width, length=0.01 * record * 1.6)
    plan = plan_nest(parts, [sheet], gap=0.0, margin=0.0, time_budget=7.0)
    (only,) = plan.sheets
    assert Counter(placed.mark for placed in only.parts) == Counter({part.mark: part.quantity for part in parts})
    assert len(only.parts) == count
    length = only.used_length / 0.01
    assert record / length > LIGHT_BAR
    assert plan.strip_density == pytest.approx(area / (width * length), rel=1e-6)
    assert plan.strip_density < 0.99
