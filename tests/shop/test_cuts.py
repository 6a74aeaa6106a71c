"""Cut list: pieces as the parts have them, sticks of the worked vessel (trade notes B16), files that repeat."""

from __future__ import annotations

import csv
import dataclasses
import io
import math

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

import pits
from detail_sheets import EXAMPLES, VARIANTS, example, variant, worked
from pitwright.layout.model import Pit
from pitwright.masses import mass_of
from pitwright.parts import Bar, Part, Placement, PlaneCut
from pitwright.saw import saw_cut
from pitwright.shop.cut_files import cut_list_csv, cut_list_xlsx, rows, stick_rows
from pitwright.shop.cuts import bar_cuts, cut_plan, stick_piece
from pitwright.stock import find_profile
from pitwright.tape import INCH, LB

TUBE = find_profile("3 x 3 x 3/16 tube", field="test")


def piece(mark: str, bar: Bar, quantity: int, *, group: str = "base", state: str = "open") -> Part:
    where = tuple(Placement(origin=(0.0, 0.1 * i, 0.0)) for i in range(quantity))
    return Part(
        mark=mark,
        name=mark,
        group=group,  # type: ignore[arg-type]
        shape=bar,
        stock=bar.profile.designation,
        placements=where,
        state=state,  # type: ignore[arg-type]
    )


def leg(long_point: float, foot: float, top: float) -> Bar:
    """A leg whose two long points are on its upper face [m, rad off square]."""
    half = TUBE.height / 2.0
    length = long_point - half * (math.tan(foot) + math.tan(top))
    return Bar(
        profile=TUBE,
        x0=0.0,
        x1=length,
        start=PlaneCut(point=(0.0, 0.0, 0.0), normal=(-math.cos(foot), 0.0, -math.sin(foot))),
        finish=PlaneCut(point=(length, 0.0, 0.0), normal=(math.cos(top), 0.0, -math.sin(top))),
    )


def with_parts(parts: tuple[Part, ...], **shop: object) -> Pit:
    return dataclasses.replace(worked({"proportions": {"shop": shop}} if shop else {}), parts=parts)


B16 = (
    piece("R1", Bar.square(TUBE, 120.0 * INCH), 2),
    piece("C1", Bar.square(TUBE, 28.0 * INCH), 4),
    piece("L1", leg(26.3125 * INCH, math.radians(11.3), math.radians(33.7)), 4, group="legs"),
)


def test_two_sticks_of_twenty_feet_make_the_base_of_the_worked_vessel() -> None:
    """B16: 2 x 120, 4 x 28, 4 x 26-5/16 out of two 20 ft sticks, 95 % used; out of 24 ft sticks two are needed too, 79 %."""
    plan = cut_plan(with_parts(B16, sticks=[{"length": "20 ft"}]))
    (stock,) = plan.stocks
    assert stock.plan is not None
    assert [(line.label, line.count) for line in stock.plan.buy] == [("20'-0\"", 2)]
    assert stock.plan.proven
    assert round(stock.plan.used * 100) == 95
    longer = cut_plan(with_parts(B16, sticks=[{"length": "24 ft"}])).stocks[0].plan
    assert longer is not None
    assert [line.count for line in longer.buy] == [2]
    assert round(longer.used * 100) == 79
    both = cut_plan(with_parts(B16)).stocks[0].plan
    assert both is not None
    assert [(line.label, line.count) for line in both.buy] == [("20'-0\"", 2)]
    assert both.counted_by == "price"
    price = 2 * 20 * 12 * INCH * TUBE.mass_per_length * 2.4
    assert both.cost == pytest.approx(price)


def test_a_drop_on_the_rack_comes_first() -> None:
    shop = {"drops": [{"stock": "3 x 3 x 3/16 tube", "length": "130", "count": 2}], "sticks": [{"length": "20 ft"}]}
    plan = cut_plan(with_parts(B16, **shop)).stocks[0].plan
    assert plan is not None
    assert [line.count for line in plan.from_rack] == [2]
    assert [line.count for line in plan.buy] == [1]


def test_a_piece_longer_than_any_stick_is_told_and_the_rest_is_planned() -> None:
    flat = find_profile("flat 1-1/2 x 1/4", field="test")
    parts = (
        piece("R1", Bar.square(TUBE, 300.0 * INCH), 1),
        piece("D1", Bar.square(flat, 20.0 * INCH), 2, group="doors"),
    )
    plan = cut_plan(with_parts(parts))
    failed, fine = plan.stocks
    assert failed.plan is None
    assert '300"' in failed.problem
    assert fine.plan is not None
    assert not plan.proven
    (finding,) = [f for f in plan.findings if f.code == "sticks.no_stick"]
    assert finding.severity == "stop"
    assert finding.pieces == ("R1",)


def test_pieces_cut_already_take_no_stick() -> None:
    parts = (*B16[:2], dataclasses.replace(B16[2], state="cut"))
    plan = cut_plan(with_parts(parts))
    assert [c.mark for c in plan.already] == ["L1"]
    assert {c.mark for s in plan.stocks for c in s.cuts} == {"R1", "C1"}


def test_a_mirrored_compound_piece_is_a_line_of_its_own() -> None:
    pit = variant("tube leans both ways")
    legs = [p for p in pit.parts if p.group == "legs" and isinstance(p.shape, Bar)]
    assert any(min(p.handed) for p in legs)
    cuts = {c.mark: c for c in bar_cuts(pit)}
    for part in legs:
        drawn, mirrored = part.handed
        if not (drawn and mirrored):
            continue
        one, other = cuts[part.mark], cuts[f"{part.mark} mirror"]
        assert (one.quantity, other.quantity) == (drawn, mirrored)
        assert other.cut.start.tilt == -one.cut.start.tilt
        assert other.cut.start.mitre == one.cut.start.mitre
        turned = dataclasses.replace(part.shape, start=_flipped(part.shape.start))
        assert saw_cut(turned).start.tilt == pytest.approx(other.cut.start.tilt)


def _flipped(cut: PlaneCut) -> PlaneCut:
    """The same plane seen in the mirror y -> -y."""
    (x, y, z), (nx, ny, nz) = cut.point, cut.normal
    return PlaneCut(point=(x, -y, z), normal=(nx, -ny, nz))


def everything() -> list[str]:
    return [*EXAMPLES, *VARIANTS]


def of(name: str) -> Pit:
    return example(name) if name in EXAMPLES else variant(name)


@pytest.mark.parametrize("name", everything())
def test_bars_cut_are_the_bars_of_the_pit(name: str) -> None:
    """Quantities by mark; lengths by the saw; bands that are rolled from flat are cut too, their weight the flat's."""
    pit = of(name)
    by_mark: dict[str, int] = {}
    for cut in bar_cuts(pit):
        by_mark[cut.part.mark] = by_mark.get(cut.part.mark, 0) + cut.quantity
        if not isinstance(cut.part.shape, Bar):
            flat = cut.cut.long_point * cut.profile.mass_per_length
            assert mass_of(cut.part).mass == pytest.approx(flat, rel=0.01)
    bars = {p.mark: p.quantity for p in pit.parts if isinstance(p.shape, Bar)}
    assert {m: n for m, n in by_mark.items() if m in bars} == bars
    assert all("band" in next(p.name for p in pit.parts if p.mark == m) for m in by_mark if m not in bars)


@pytest.mark.parametrize("name", everything())
def test_every_piece_lies_in_a_stick_with_its_length(name: str) -> None:
    pit = of(name)
    plan = cut_plan(pit)
    for stock in plan.stocks:
        assert stock.plan is not None, stock.problem
        wanted = {c.mark: (c.quantity, stick_piece(c).length) for c in stock.cuts}
        found: dict[str, list[float]] = {}
        for stick in stock.plan.sticks:
            for p in stick.pieces:
                found.setdefault(p.mark, []).append(p.finish - p.start)
            assert max(p.finish for p in stick.pieces) <= stick.length + 1e-9
        assert {m: len(v) for m, v in found.items()} == {m: n for m, (n, _) in wanted.items()}
        for mark, lengths in found.items():
            assert lengths == pytest.approx([wanted[mark][1]] * len(lengths), abs=1e-6)
    lines = stick_rows(pit, plan)
    assert sum(1 for r in lines if r[3] != "") == sum(len(k.cuts) for s in plan.stocks for k in s.plan.sticks)  # type: ignore[union-attr]


@given(seed=st.integers(0, 40))
def test_cut_list_of_any_pit_weighs_what_its_parts_weigh(seed: int) -> None:
    """Column sums of the file against the parts by their solid; sticks weigh at least their pieces."""
    pit = pits.solved(seed)
    if pit is None:
        return
    pieces = sum(mass_of(p).mass * p.quantity for p in pit.parts)
    unit = LB if pit.tape.inch else 1.0
    assert sum(float(r[-1]) for r in rows(pit)) * unit == pytest.approx(pieces, rel=1e-4)
    assert sum(int(r[1]) for r in rows(pit)) == sum(p.quantity for p in pit.parts)
    for stock in cut_plan(pit).stocks:
        if stock.plan is None:
            continue
        sticks = sum(s.length for s in stock.plan.sticks) * stock.profile.mass_per_length
        solid = sum(mass_of(c.part).mass * c.quantity for c in stock.cuts)
        assert solid <= sticks * 1.03
        assert stock.plan.lower_bound <= stock.plan.counted + 1e-9


def test_csv_reads_back_row_by_row() -> None:
    pit = of("orchard-30")
    data = cut_list_csv(pit)
    lines = list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"))))
    assert len(lines) == len(rows(pit))
    by_mark = {r["mark"]: r for r in lines}
    for cut in bar_cuts(pit):
        row = by_mark[cut.mark]
        assert int(row["quantity"]) == cut.quantity
        assert row["long point"] == pit.tape.length(cut.cut.long_point)
        assert float(row["long point, in"]) * INCH == pytest.approx(cut.cut.long_point, abs=3e-6)
        assert float(row["left cut, degrees off square"]) == pytest.approx(
            math.degrees(abs(cut.cut.start.mitre)), abs=0.051
        )
        if cut.cut.shape == "trapezoid":
            assert row["roll"] == "roll 180 between the cuts"
    assert cut_list_csv(pit) == data


def test_workbook_repeats_and_holds_the_same_figures() -> None:
    pit = of("receiver-metric")
    data = cut_list_xlsx(pit)
    book = openpyxl.load_workbook(io.BytesIO(data))
    assert book.sheetnames == ["Cut list", "Sticks", "Buy"]
    heads, *lines = list(book["Cut list"].values)
    assert heads[0] == "mark"
    for line, row in zip(lines, rows(pit), strict=True):
        assert [v if v is not None else "" for v in line] == list(row)
    assert all(cell.data_type != "f" for sheet in book for row in sheet.iter_rows() for cell in row)
    assert book.properties.modified.year == 1980
    assert cut_list_xlsx(pit) == data


def test_a_text_that_looks_like_a_sum_stays_a_text() -> None:
    part = dataclasses.replace(B16[0], name="=1+1")
    book = openpyxl.load_workbook(io.BytesIO(cut_list_xlsx(with_parts((part,)))))
    cell = book["Cut list"]["C2"]
    assert cell.value == "=1+1"
    assert cell.data_type == "s"


def test_sizes_of_the_vessel_are_held_back() -> None:
    held = {r[0]: r for r in rows(example("yard-37", cleared=False))}
    assert held["V1"][-3] == "held back"
