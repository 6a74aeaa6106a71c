"""The weld list of a pit: sizes, lengths, metal; every joint's pieces are pieces of the pit."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

import standing_pits
import workbench
from pitwright.layout.pit import solve
from pitwright.shop.welds import CROWN, Weld, around_section, totals, weld_list
from pitwright.stock import STEEL_DENSITY, find_profile, pipe
from pitwright.strength.welds import GAP_FREE, GAP_MOST, greatest_leg, least_leg
from pitwright.tape import INCH

PITS = sorted(standing_pits.FACTS)


@pytest.mark.parametrize("name", PITS)
def test_no_weld_is_under_its_least_size_and_each_joins_a_piece(name: str) -> None:
    pit = standing_pits.pit(name)
    marks = {p.mark for p in pit.parts}
    welds = weld_list(pit)
    assert len({w.name for w in welds}) == len(welds)
    for weld in welds:
        if weld.kind == "groove":
            continue
        assert weld.leg >= least_leg(weld.thinner) - 1e-12, weld.name
        assert weld.leg <= max(greatest_leg(weld.thinner), 0.25 * INCH) + weld.gap + 1e-12, weld.name
        assert set(weld.marks) <= marks
        assert weld.marks or weld.name.startswith("plug"), weld.name
        assert weld.run > 0.0


@pytest.mark.parametrize("name", PITS)
def test_every_fixed_steel_piece_is_welded_to_something(name: str) -> None:
    """Loose and swinging pieces apart, and what the others are welded to: the vessel and the rails."""
    pit = standing_pits.pit(name)
    welded = {mark for w in weld_list(pit) for mark in w.marks}
    loose = ("fire grate bar", "ash tray", "firebox insulation", "damper blade", "inlet slide", "tuning plate", "rail")
    for part in pit.parts:
        if part.stock == "of the vessel" or part.name.startswith(loose) or part.name.endswith("frame end"):
            continue
        assert part.mark in welded, (part.mark, part.name)


def test_a_gap_is_added_to_the_leg_until_it_is_too_wide() -> None:
    facts = workbench.merged(standing_pits.FACTS["worked"], {"proportions": {"legs": {"end": "straight"}}})
    pit = solve(workbench.job(facts))
    leg = pit.leg_sets[0].legs[0]
    (top,) = (w for w in weld_list(pit) if w.name == "leg A, working side, top")
    tight = max(least_leg(top.thinner), math.floor(min(top.thinner, 0.25 * INCH) * 16 / INCH + 1e-6) * INCH / 16)
    if leg.gap <= GAP_FREE:
        assert top.leg == pytest.approx(tight)
    elif leg.gap <= GAP_MOST:
        assert top.leg == pytest.approx(tight + leg.gap)
        assert "gap added" in top.note
    else:
        assert "cope" in top.note
    wide = solve(workbench.job(workbench.merged(facts, {"proportions": {"legs": {"profile": "4 x 4 x 1/4 tube"}}})))
    (top,) = (w for w in weld_list(wide) if w.name == "leg A, working side, top")
    assert wide.leg_sets[0].legs[0].gap > GAP_MOST
    assert "too wide to weld" in top.note


def test_weld_round_a_pipe_is_its_circle_square_and_its_ellipse_on_the_slant() -> None:
    """Ellipse perimeter against a fine polygon of the cut."""
    stock = pipe(0.2, 0.008)
    assert around_section(stock) == pytest.approx(math.pi * 0.2)
    slant = 0.6
    a, b = 0.1 / math.cos(slant), 0.1
    ring = [(a * math.cos(t), b * math.sin(t)) for t in (2 * math.pi * i / 7200 for i in range(7201))]
    fine = sum(math.dist(p, q) for p, q in itertools.pairwise(ring))
    assert around_section(stock, slant) == pytest.approx(fine, rel=1e-6)
    tube = find_profile("3 x 3 x 3/16 tube", field="test")
    assert around_section(tube) == pytest.approx(12.0 * INCH)


@given(leg=st.floats(0.002, 0.02), length=st.floats(0.01, 5.0), count=st.integers(1, 20))
def test_metal_is_section_times_run(leg: float, length: float, count: int) -> None:
    def of(kind: str) -> Weld:
        return Weld(name="x", kind=kind, leg=leg, length=length, count=count, thinner=leg, gap=0.0, stage="base")  # type: ignore[arg-type]

    fillet, groove = of("fillet"), of("groove")
    assert fillet.metal == pytest.approx(CROWN * leg * leg / 2.0 * length * count * STEEL_DENSITY)
    vee = (
        leg * (2.0 * leg * math.tan(math.radians(30.0))) / 2.0
    )  # a triangle as deep as the wall, 60 degrees at its root
    assert groove.metal == pytest.approx(CROWN * vee * length * count * STEEL_DENSITY)
    both = totals((fillet, groove))
    assert both.metal == pytest.approx(fillet.metal + groove.metal)
    assert both.wire > both.metal
    assert both.sticks > both.wire
    assert both.work > both.arc


def test_a_stitch_is_never_longer_than_its_joint() -> None:
    for name in PITS:
        pit = standing_pits.pit(name)
        for weld in weld_list(pit):
            if weld.kind == "stitch fillet":
                assert weld.length % (2.0 * INCH) == pytest.approx(0.0, abs=1e-9) or weld.length % (
                    2.0 * INCH
                ) == pytest.approx(2.0 * INCH)


def test_the_throat_ring_is_the_tape_around() -> None:
    pit = standing_pits.pit("worked")
    (ring,) = (w for w in weld_list(pit) if w.name == "throat plate to shell")
    assert ring.length == pytest.approx(94.5 * INCH, abs=1e-6)
