"""What the shop has and what it may buy: one stick length only, plate left over from another job."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from pitwright.job.file import job_from, read_toml
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.shop.cuts import cut_plan, stick_choices
from pitwright.shop.nesting import plan_plates
from pitwright.tape import INCH

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def pit_with(**shop: Any) -> Pit:
    data = read_toml(EXAMPLES / "orchard-30.toml")
    data["proportions"] = {"shop": shop}
    return solve(job_from(data, folder=EXAMPLES))


def test_any_length_costs_no_more_than_one_length_only() -> None:
    pit = pit_with(sticks=[{"length": "20 ft", "store": "yard"}, {"length": "24 ft"}])
    plan = cut_plan(pit)
    found = {c.label: c for c in stick_choices(pit, plan)}
    assert set(found) == {"any", "20'-0\" only", "24'-0\" only"}
    best = found.pop("any")
    assert best.cost == pytest.approx(plan.cost)
    assert not best.too_short
    assert all(c.too_short or c.cost >= best.cost - 1e-9 for c in found.values())


def test_a_stick_too_short_is_told() -> None:
    pit = pit_with(sticks=[{"length": "8 ft"}, {"length": "24 ft"}])
    short = next(c for c in stick_choices(pit, cut_plan(pit)) if c.label == "8'-0\" only")
    assert "3 x 3 x 3/16 tube" in short.too_short


def test_one_length_leaves_no_choice() -> None:
    pit = pit_with(sticks=[{"length": "24 ft"}])
    assert [c.label for c in stick_choices(pit, cut_plan(pit))] == ["any"]


def test_plate_on_the_rack_is_laid_out_first() -> None:
    bare = {n.thickness: n for n in plan_plates(pit_with())}
    drop = {"thickness": "1/4", "width": "40", "length": "40", "count": 1}
    racked = {n.thickness: n for n in plan_plates(pit_with(plate_drops=[drop]))}
    quarter = next(t for t in racked if abs(t - 0.25 * INCH) < 1e-6)
    assert any(s.on_hand for s in racked[quarter].plan.sheets)  # type: ignore[union-attr]
    assert racked[quarter].bought < bare[quarter].bought
    others = [t for t in racked if t != quarter]
    assert all(not any(s.on_hand for s in racked[t].plan.sheets) for t in others)  # type: ignore[union-attr]
