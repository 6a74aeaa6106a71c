"""A pit's flat parts on its shop's sheets: each placed once, nothing over anything else, cut files as planned.

Overlap is checked with shapely, cut files with ezdxf's own auditor.
"""

from __future__ import annotations

import dataclasses
import io
import math
from collections import Counter
from functools import cache

import ezdxf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, box

import standing_pits
import workbench
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.pack import PIECES
from pitwright.sheets.dxf import dxf_bytes
from pitwright.sheets.plates import nest_drawing, nest_name
from pitwright.shop.nesting import (
    PlateNest,
    flat_parts,
    nest_findings,
    pieces_by_thickness,
    placed_outline,
    plan_plates,
)
from pitwright.shop.nests import Placed
from pitwright.tape import INCH


@cache
def with_shop(name: str, cutting: str, gap: int, margin: int, wide: int) -> Pit:
    facts = workbench.merged(standing_pits.FACTS[name], {"make_safe": standing_pits.SIGNED})
    shop = {
        "plate_cutting": cutting,
        "plate_gap": f"{gap / 16} in",
        "plate_margin": f"{margin / 16} in",
        "sheets": [{"width": f"{wide} in", "length": f"{2 * wide} in"}],
    }
    return solve(workbench.job(workbench.merged(facts, {"proportions": {"shop": shop}})))


def wanted(pit: Pit) -> Counter[str]:
    return Counter({part.mark: part.quantity for part, _ in flat_parts(pit) if part.state == "open"})


def check_laid(pit: Pit, nests: tuple[PlateNest, ...]) -> None:
    """Every part once; no two nearer than the gap; all within the margin (flattened 0.1 mm to the safe side)."""
    placed = Counter(p.mark for nest in nests if nest.plan for sheet in nest.plan.sheets for p in sheet.parts)
    assert placed == wanted(pit)
    for nest in nests:
        assert nest.plan is not None
        shapes = {p.mark: p.outline for p in nest.pieces}
        for sheet in nest.plan.sheets:
            lying = []
            for one in sheet.parts:
                outline = placed_outline(shapes[one.mark], one)
                lying.append(Polygon(outline.flattened(2e-5), [h.flattened(2e-5) for h in outline.holes]))
            inside = box(0.0, 0.0, sheet.length, sheet.width).buffer(-nest.plan.margin + 1e-6)
            for i, a in enumerate(lying):
                assert inside.covers(a)
                for b in lying[i + 1 :]:
                    assert a.distance(b) >= nest.plan.gap - 1e-6


@settings(max_examples=12)
@given(
    name=st.sampled_from(sorted(standing_pits.FACTS)),
    cutting=st.sampled_from(["table", "shear"]),
    gap=st.integers(0, 12),
    margin=st.integers(0, 24),
    wide=st.sampled_from([48, 60, 72]),
)
def test_every_flat_part_is_placed_exactly_once(name: str, cutting: str, gap: int, margin: int, wide: int) -> None:
    pit = with_shop(name, cutting, gap, margin, wide)
    check_laid(pit, plan_plates(pit, seconds=0.3))


def test_the_gap_has_the_kerf_in_it_and_the_margin_half() -> None:
    pit = with_shop("worked", "table", 4, 8, 48)
    kerf = pit.job.proportions.shop.plate_kerf
    for nest in plan_plates(pit):
        assert nest.plan is not None
        assert nest.plan.gap == pytest.approx(0.25 * INCH + kerf)
        assert nest.plan.margin == pytest.approx(0.5 * INCH + kerf / 2.0)


def test_the_same_pit_is_laid_out_once_for_paper_and_table() -> None:
    pit = standing_pits.pit("left pipe on saddles")
    assert plan_plates(pit) == plan_plates(dataclasses.replace(pit, revision="B"))


def test_a_cut_part_leaves_the_nest() -> None:
    pit = standing_pits.pit("worked")
    mark = next(part.mark for part, _ in flat_parts(pit) if part.name == "throat plate")
    parts = tuple(dataclasses.replace(p, state="cut") if p.mark == mark else p for p in pit.parts)
    left = {p.mark for _, pieces in pieces_by_thickness(dataclasses.replace(pit, parts=parts)).values() for p in pieces}
    assert mark not in left
    assert left == set(wanted(pit)) - {mark}


def test_insulation_is_not_laid_on_plate() -> None:
    facts = workbench.merged(
        standing_pits.FACTS["metric reverse"],
        {"proportions": {"firebox": {"double_wall": "25 mm"}}},
    )
    pit = solve(workbench.job(facts))
    names = {p.name for _, pieces in pieces_by_thickness(pit).values() for p in pieces}
    assert any(p.name == "firebox insulation" for p in pit.parts)
    assert "firebox insulation" not in names
    assert "firebox outer skin, side" in names


def test_a_part_larger_than_every_sheet_is_told_and_the_rest_goes_on() -> None:
    pit = with_shop("worked", "table", 4, 8, 24)
    nests = plan_plates(pit)
    lost = [n for n in nests if n.plan is None]
    assert len(lost) == 1
    assert lost[0].stock == "3/8 plate"
    assert lost[0].bought == pytest.approx(lost[0].area * lost[0].thickness * 7850.0, rel=2e-3)
    found = [f for f in nest_findings(nests) if f.code == "plates.no_sheet"]
    assert len(found) == 1
    assert "goes on no sheet" in found[0].text
    assert all(n.plan is not None for n in nests if n is not lost[0])


def test_two_large_discs_do_not_lie_side_by_side_on_narrow_plate() -> None:
    """Trade trap (geometry): two 24 in discs do not go side by side on 48 in plate; 3/8 apart they want 48-3/8."""
    pit = standing_pits.pit("left pipe on saddles")
    (nest,) = (n for n in plan_plates(pit) if n.stock == "3/8 plate")
    assert nest.plan is not None
    discs = {p.mark for p in nest.pieces if p.name in ("throat plate", "stack-end plate")}
    centres = []
    for sheet in nest.plan.sheets:
        for one in sheet.parts:
            if one.mark in discs:
                outline = next(p.outline for p in nest.pieces if p.mark == one.mark)
                x0, y0, x1, y1 = placed_outline(outline, one).bounds()
                centres.append((sheet.number, (x0 + x1) / 2.0, (y0 + y1) / 2.0))
    assert len(centres) == 2
    (first, ax, ay), (second, bx, by) = centres
    assert first != second or math.hypot(ax - bx, ay - by) >= 24.0 * INCH - 0.001


@given(turn=st.floats(0.0, 6.3), x=st.floats(-2.0, 2.0), y=st.floats(-2.0, 2.0))
def test_a_placed_outline_keeps_its_steel(turn: float, x: float, y: float) -> None:
    pit = standing_pits.pit("worked")
    outline = next(o for part, o in flat_parts(pit) if part.name == "firebox end plate")
    lying = placed_outline(outline, Placed(mark="F", x=x, y=y, rotation=turn))
    assert lying.area == pytest.approx(outline.area, rel=1e-9)
    assert lying.perimeter == pytest.approx(outline.perimeter, rel=1e-9)


def test_the_used_piece_holds_its_parts() -> None:
    pit = standing_pits.pit("worked")
    for nest in plan_plates(pit):
        assert nest.plan is not None
        for sheet in nest.plan.sheets:
            long, wide = nest.used(sheet)
            assert 0.0 < long <= sheet.length + 1e-9
            assert 0.0 < wide <= sheet.width + 1e-9


@pytest.mark.parametrize("cutting", ["table", "shear"])
def test_cut_files_hold_the_parts_and_pass_the_audit(cutting: str) -> None:
    pit = with_shop("left pipe on saddles", cutting, 4, 8, 60)
    for nest in plan_plates(pit):
        assert nest.plan is not None
        for sheet in nest.plan.sheets:
            data = dxf_bytes(nest_drawing(pit, nest, sheet), "in")
            document = ezdxf.read(io.StringIO(data.decode()))
            audit = document.audit()
            assert not audit.errors
            assert not audit.fixes
            space = document.modelspace()
            assert {e.dxf.layer for e in space} == {"CUT", "MARK", "TEXT"}
            edges = 1 + len(sheet.cuts)
            assert len(space.query('*[layer=="MARK"]')) == edges
            rings = {p.mark: 1 + len(p.outline.holes) for p in nest.pieces}
            assert len(space.query('*[layer=="CUT"]')) == sum(rings[p.mark] for p in sheet.parts)
            texts = Counter(t.dxf.text for t in space.query("TEXT"))
            assert texts == Counter(p.mark for p in sheet.parts)


def test_the_pack_has_one_file_a_part_and_one_a_sheet() -> None:
    pit = standing_pits.pit("worked")
    (piece,) = (p for p in PIECES if p.name == "plates")
    files = piece.make(pit, "letter")
    nested = [name for name in files if name.startswith("plates/nest-")]
    nests = plan_plates(pit)
    assert len(nested) == sum(len(n.plan.sheets) for n in nests if n.plan)
    assert len(files) - len(nested) == len(list(flat_parts(pit)))
    assert "plates/nest-3-8-plate-sheet-1.dxf" in nested


def test_progress_runs_from_nothing_to_all() -> None:
    told: list[tuple[str, float]] = []
    plan_plates(with_shop("worked", "table", 3, 9, 60), progress=lambda text, part: told.append((text, part)))
    assert told[0][1] == 0.0
    assert told[-1] == ("Plates laid out", 1.0)
    assert [p for _, p in told] == sorted(p for _, p in told)


def test_names_are_plain() -> None:
    nest = plan_plates(standing_pits.pit("metric reverse"))[0]
    assert nest.plan is not None
    assert nest_name(nest, nest.plan.sheets[0]) == "nest-12-7-mm-plate-sheet-1"
