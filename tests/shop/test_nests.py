"""Plate nests: every part once, inside the sheet, clear of the others, checked with another polygon library.

The nest itself is checked with shapely before it is returned; here manifold3d's cross-sections (Clipper2) look at it
again from the placements alone.
"""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import CrossSection, FillRule

from pitwright.errors import PitwrightError
from pitwright.parts import Outline
from pitwright.shop import _plate_shapes, _strips
from pitwright.shop._pockets import where_it_fits
from pitwright.shop.nests import (
    FlatPart,
    NestPlan,
    Placed,
    PlannedSheet,
    SheetStock,
    plan_nest,
    safe_ring,
)
from pitwright.tape import INCH, Tape

SHEET = SheetStock(label="4 x 8", width=48 * INCH, length=96 * INCH)
GAP, MARGIN = INCH / 4, INCH / 2
SCALE = 1000.0  # manifold3d works to about 1e-12 of its figures; millimetres keep slivers out


def box(mark: str, length: float, width: float, quantity: int = 1, **other: object) -> FlatPart:
    ring = ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))
    return FlatPart(mark=mark, outline=ring, quantity=quantity, **other)  # type: ignore[arg-type]


def disc(mark: str, diameter: float, quantity: int = 1, corners: int = 256) -> FlatPart:
    radius = 0.5 * diameter / math.cos(math.pi / corners)
    turns = [2.0 * math.pi * k / corners for k in range(corners)]
    ring = tuple((radius * math.cos(a), radius * math.sin(a)) for a in turns)
    return FlatPart(mark=mark, outline=ring, quantity=quantity)


def mixed() -> list[FlatPart]:
    """40 plate parts such as a pit has: discs, rings, gussets, saddles, angles, pads, sheets."""
    ring = Outline.circle(0.0, 0.0, 12 * INCH, (Outline.circle(0.0, 0.0, 9 * INCH),))
    pad = Outline.rectangle(0.0, 0.0, 4 * INCH, 4 * INCH, (Outline.circle(2 * INCH, 2 * INCH, INCH / 2),))
    saddle = Outline(
        ((-11.25 * INCH, 0.0), (-11.25 * INCH, 11 * INCH), (11.25 * INCH, 11 * INCH), (11.25 * INCH, 0.0)),
        (0.0, -0.35, 0.0, 0.0),
    )
    gusset = ((0.0, 0.0), (6.0, 0.0), (6.0, 2.0), (2.0, 6.0), (0.0, 6.0))
    angle = ((0.0, 0.0), (20.0, 0.0), (20.0, 3.0), (3.0, 3.0), (3.0, 14.0), (0.0, 14.0))
    triangle = ((0.0, 0.0), (8.0, 0.0), (0.0, 8.0))

    def polygon(mark: str, ring: tuple[tuple[float, float], ...], quantity: int) -> FlatPart:
        return FlatPart(mark=mark, outline=tuple((x * INCH, y * INCH) for x, y in ring), quantity=quantity)

    return [
        FlatPart.from_outline("D1", Outline.circle(0.0, 0.0, 12 * INCH), quantity=2),
        FlatPart.from_outline("R1", ring, quantity=2),
        FlatPart.from_outline("S1", saddle, quantity=2),
        FlatPart.from_outline("P1", pad, quantity=8),
        FlatPart.from_outline("W1", Outline.circle(0.0, 0.0, 3 * INCH), quantity=4),
        polygon("T1", triangle, 8),
        polygon("G1", gusset, 8),
        polygon("L1", angle, 4),
        box("B1", 30 * INCH, 18 * INCH, 2, allow_rotation="right angles"),
    ]


def section(part: FlatPart, placed: Placed) -> CrossSection:
    rings = [placed.ring(part.outline), *(placed.ring(hole) for hole in part.holes)]
    return CrossSection([[(x * SCALE, y * SCALE) for x, y in ring] for ring in rings], FillRule.EvenOdd)


def check(plan: NestPlan, parts: Sequence[FlatPart], sheets: Sequence[SheetStock]) -> None:
    """Everything a nest promises, worked out afresh."""
    known = {part.mark: part for part in parts}
    made = Counter(placed.mark for sheet in plan.sheets for placed in sheet.parts)
    assert made == Counter({part.mark: part.quantity for part in parts})
    assert 1 <= plan.lower_bound <= plan.sheets_used
    assert sum(line.count for line in (*plan.buy, *plan.from_rack)) == plan.sheets_used
    assert plan.cost == pytest.approx(sum(line.cost for line in (*plan.buy, *plan.from_rack)))
    taken = Counter(sheet.label for sheet in plan.sheets)
    for stock in sheets:
        assert stock.on_hand is None or taken[stock.label] <= stock.on_hand
    area = sum(
        section(part, Placed(mark=part.mark, x=0.0, y=0.0, rotation=0.0)).area() * part.quantity for part in parts
    )
    whole = sum(sheet.width * sheet.length for sheet in plan.sheets)
    assert plan.density == pytest.approx(area / SCALE**2 / whole, rel=1e-9)
    for sheet in plan.sheets:
        check_sheet(sheet, known, plan.gap, plan.margin)


def check_sheet(sheet: PlannedSheet, known: dict[str, FlatPart], gap: float, margin: float) -> None:
    shapes = [section(known[placed.mark], placed) for placed in sheet.parts]
    for placed, shape in zip(sheet.parts, shapes):
        x0, y0, x1, y1 = (edge / SCALE for edge in shape.bounds())
        assert min(x0, y0, sheet.length - x1, sheet.width - y1) >= margin - 2e-6, placed
        rule = known[placed.mark].allow_rotation
        step = {"right angles": math.pi / 2, "half turn": math.pi, "none": 2 * math.pi}.get(rule)
        assert step is None or abs(math.remainder(placed.rotation, step)) < 1e-6
    # nothing of one part lies on another, nor within the gap of it (the offset is drawn from the inside)
    wide = [shape.offset((gap - 4e-6) * SCALE, circular_segments=64) if gap > 4e-6 else shape for shape in shapes]
    spans = [shape.bounds() for shape in wide]
    for first, second in itertools.combinations(range(len(shapes)), 2):
        a, b = spans[first], spans[second]
        if a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1]:
            continue
        common = (wide[first] ^ shapes[second]).area() / SCALE**2
        assert common < 1e-7, (sheet.parts[first], sheet.parts[second], common)
    for drop in sheet.drops:
        corners = [(drop.x, drop.y), (drop.x + drop.length, drop.y)]
        corners += [(drop.x + drop.length, drop.y + drop.width), (drop.x, drop.y + drop.width)]
        left = CrossSection([[(x * SCALE, y * SCALE) for x, y in corners]])
        assert all((left ^ shape).area() < 1.0 for shape in shapes)


def test_forty_mixed_parts_are_nested_in_time_and_told_about() -> None:
    parts = mixed()
    assert sum(part.quantity for part in parts) == 40
    told: list[tuple[str, float]] = []
    plan = plan_nest(
        parts,
        [SHEET],
        gap=GAP,
        margin=MARGIN,
        time_budget=6.0,
        progress=lambda text, part: told.append((text, part)),
    )
    check(plan, parts, [SHEET])
    assert plan.sheets_used == 2
    assert len(told) > 5
    assert all(text and 0.0 <= part <= 1.0 for text, part in told)
    # the holes of the rings are not left empty
    assert any(placed.inside == "R1" for sheet in plan.sheets for placed in sheet.parts)


def test_boxes_give_the_same_layout_twice() -> None:
    parts = mixed()
    first, second = (plan_nest(parts, [SHEET], gap=GAP, margin=MARGIN, method="boxes") for _ in range(2))
    assert first == second
    assert first.repeatable
    check(first, parts, [SHEET])


def test_two_discs_do_not_lie_side_by_side_on_their_own_diameters() -> None:
    """Two 24 in discs on plate 48 wide (common practice, no source; the geometry is checked here).

    With 1/8 between parts and 1/16 along the edges each disc takes 24-1/8: side by side they want 48-1/4. Staggered,
    the centres stand 23-7/8 apart across and sqrt(24-1/8^2 - 23-7/8^2) = 3.464 along: 27.589, on the tape 27-5/8.
    """
    gap, margin = INCH / 8, INCH / 16
    across = 48.0 - 2 * 0.0625 - 24.0
    along = math.sqrt((24.0 + 0.125) ** 2 - across**2)
    length = along + 24.0 + 2 * 0.0625
    assert length == pytest.approx(27.589, abs=0.001)
    assert math.ceil(length * 16) / 16 == 27.625
    parts = [disc("D1", 24 * INCH, 2)]
    for size, count in ((24.5, 2), (27.5, 2), (27.625, 1)):
        sheet = SheetStock(label=f"48 x {size}", width=48 * INCH, length=size * INCH)
        plan = plan_nest(parts, [sheet], gap=gap, margin=margin, method="boxes")
        check(plan, parts, [sheet])
        assert plan.sheets_used == count, size


def test_saddle_blanks_side_by_side_only_up_to_half_the_sheet() -> None:
    """Blanks 23-7/8 wide go two across a 48 sheet; 24-1/2 do not (trade notes, exact)."""
    sheet = SheetStock(label="48 x 18", width=48 * INCH, length=18 * INCH)
    for wide, count in ((23.875, 1), (24.5, 2)):
        parts = [box("S1", 17.5 * INCH, wide * INCH, 2)]
        plan = plan_nest(parts, [sheet], gap=INCH / 8, margin=INCH / 16, method="boxes")
        check(plan, parts, [sheet])
        assert plan.sheets_used == count


def test_true_shape_saves_a_sheet_where_boxes_waste_half() -> None:
    """Sixteen right triangles with legs of 1 m cover 8 m2; as boxes they take 16."""
    triangle = FlatPart(mark="T1", outline=((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), quantity=16)
    sheet = SheetStock(label="2 x 4 m", width=2.4, length=4.8)
    plan = plan_nest([triangle], [sheet], gap=0.004, margin=0.01, time_budget=4.0)
    check(plan, [triangle], [sheet])
    assert plan.method == "true shape"
    assert not plan.repeatable
    assert plan.sheets_used == 1
    assert "saves 1 sheet" in plan.why


def test_parts_that_fill_their_boxes_are_not_nested_for_long() -> None:
    parts = [box("B1", 0.6, 0.4, 6), box("B2", 0.3, 0.2, 8)]
    plan = plan_nest(parts, [SHEET], gap=0.004, margin=0.01, time_budget=60.0)
    check(plan, parts, [SHEET])
    assert (plan.method, plan.sheets_used) == ("boxes", 1)


def test_rack_first_and_the_cheaper_sheet_for_the_rest() -> None:
    parts = [box("B1", 0.5, 0.4, 5)]
    sheets = [
        SheetStock(label="big", width=1.2, length=2.4, price=300.0, store="north yard"),
        SheetStock(label="small", width=0.6, length=1.2, price=80.0, store="north yard"),
        SheetStock(label="drop", width=0.9, length=1.1, on_hand=1, store="rack"),
    ]
    plan = plan_nest(parts, sheets, gap=0.004, margin=0.01)
    check(plan, parts, sheets)
    assert [(line.label, line.count) for line in plan.from_rack] == [("drop", 1)]
    assert [(line.label, line.count) for line in plan.buy] == [("small", 1)]
    assert plan.cost == 80.0
    assert plan.sheets[0].on_hand


def test_shear_cuts_go_from_edge_to_edge_and_free_every_part() -> None:
    parts = mixed()
    plan = plan_nest(parts, [SHEET], gap=0.0, margin=0.0, method="shear")
    check(plan, parts, [SHEET])
    known = {part.mark: part for part in parts}
    for sheet in plan.sheets:
        pieces = [(0.0, 0.0, sheet.length, sheet.width)]
        for cut in sheet.cuts:
            place = next(k for k, piece in enumerate(pieces) if piece == pytest.approx(cut.piece))
            x0, y0, x1, y1 = pieces.pop(place)
            if cut.across == "width":
                assert 0.0 < cut.at < x1 - x0
                pieces += [(x0, y0, x0 + cut.at, y1), (x0 + cut.at, y0, x1, y1)]
            else:
                assert 0.0 < cut.at < y1 - y0
                pieces += [(x0, y0, x1, y0 + cut.at), (x0, y0 + cut.at, x1, y1)]
        for placed in sheet.parts:
            ring = placed.ring(known[placed.mark].outline)
            bounds = (*map(min, zip(*ring)), *map(max, zip(*ring)))
            assert any(piece == pytest.approx(bounds, abs=2e-5) for piece in pieces), placed
    blanks = {finding.pieces[0] for finding in plan.findings if finding.code == "nest.shear_blank"}
    assert blanks == {"D1", "R1", "S1", "W1", "T1", "G1", "L1"}


def test_drops_worth_keeping_are_listed() -> None:
    parts = [box("B1", 1.0, 1.2)]
    plan = plan_nest(parts, [SheetStock(label="s", width=1.22, length=2.44)], gap=0.01, margin=0.01, keep_drop=0.3)
    (drop,) = plan.sheets[0].drops
    assert (drop.length, drop.width) == (pytest.approx(1.42), pytest.approx(1.22))
    assert plan.sheets[0].used_length == pytest.approx(1.02)


def test_a_part_in_the_hole_of_a_part_in_a_hole() -> None:
    def ring(mark: str, outer: float, inner: float) -> FlatPart:
        hole = tuple((x, y) for x, y in disc("x", 1.0).outline)
        return FlatPart(
            mark=mark,
            outline=disc("x", outer).outline,
            holes=(tuple((x * inner * 0.999, y * inner * 0.999) for x, y in hole),),
        )

    parts = [ring("A1", 0.9, 0.7), ring("B1", 0.6, 0.4), disc("C1", 0.3)]
    sheet = SheetStock(label="1 m", width=1.0, length=1.0)
    plan = plan_nest(parts, [sheet], gap=0.01, margin=0.01, method="boxes")
    check(plan, parts, [sheet])
    assert plan.sheets_used == 1
    assert {placed.mark: placed.inside for placed in plan.sheets[0].parts} == {"A1": "", "B1": "A1", "C1": "B1"}


def test_where_it_fits_is_the_closed_form_for_boxes() -> None:
    import shapely

    region = where_it_fits(shapely.box(0.0, 0.0, 3.0, 2.0), shapely.box(0.0, 0.0, 1.0, 0.5))
    assert region.bounds == pytest.approx((0.0, 0.0, 2.0, 1.5), abs=1e-6)
    assert region.area == pytest.approx(2.0 * 1.5, abs=1e-5)
    around = shapely.box(0.0, 0.0, 3.0, 3.0).difference(shapely.box(1.0, 1.0, 2.0, 2.0))
    ring = where_it_fits(around, shapely.box(0.0, 0.0, 0.5, 0.5))
    assert ring.area == pytest.approx(2.5**2 - 1.5**2, abs=1e-5)
    assert where_it_fits(shapely.box(0.0, 0.0, 1.0, 1.0), shapely.box(0.0, 0.0, 1.1, 0.5)).is_empty


@pytest.mark.parametrize("outward", [True, False])
def test_flattened_arcs_err_on_the_safe_side(outward: bool) -> None:
    """Against the exact areas of a disc, a half disc and a notched square (arc outward and inward)."""
    sweep, radius = 4.0 * math.atan(0.5), 0.625  # bulge 1/2 on a chord of 1: radius (1 + b^2) / 4b
    segment = 0.5 * radius**2 * (sweep - math.sin(sweep))
    shapes = {
        Outline.circle(0.1, 0.2, 0.3): math.pi * 0.09,
        Outline(((-0.3, 0.0), (0.3, 0.0)), (0.0, 1.0)): 0.5 * math.pi * 0.09,
        Outline(((0.3, 0.0), (-0.3, 0.0)), (0.0, -1.0)): 0.5 * math.pi * 0.09,
        Outline(((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)), (-0.5, 0.0, 0.0, 0.0)): 1.0 - segment,
    }
    import shapely

    for outline, exact in shapes.items():
        polygon = shapely.Polygon(safe_ring(outline, 1e-4, outward=outward))
        assert polygon.is_valid
        true = shapely.Polygon(outline.flattened(1e-9)).buffer(0)
        assert true.area == pytest.approx(exact, rel=1e-4)
        if outward:
            assert exact <= polygon.area < exact + 1.2e-4 * polygon.length
            assert polygon.buffer(1e-9).contains(true)
        else:
            assert exact - 1.2e-4 * polygon.length < polygon.area <= exact
            assert true.buffer(1e-7).contains(polygon)


def test_the_check_finds_what_is_wrong() -> None:
    part = box("B1", 0.5, 0.5, 2, allow_rotation="right angles")
    near = [Placed(mark="B1", x=0.1, y=0.1, rotation=0.0), Placed(mark="B1", x=0.605, y=0.1, rotation=0.0)]

    def told(placed: list[Placed], gap: float = 0.01) -> str:
        return " ".join(_plate_shapes.faults([part], [(2.0, 1.0, placed)], gap=gap, margin=0.01))

    assert "too close" in told(near)
    assert told(near, gap=0.004) == ""
    assert "1 times instead of 2" in told(near[:1])
    assert "too close" in told([near[0], near[0]], gap=0.0)
    assert "outside" in told([near[0], Placed(mark="B1", x=1.6, y=0.1, rotation=0.0)])
    assert "may not" in told([near[0], Placed(mark="B1", x=1.2, y=0.1, rotation=0.1)])


def test_a_broken_nester_leaves_the_boxes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Overlapping true shapes never reach the shop."""
    parts = [FlatPart(mark="T1", outline=((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), quantity=6)]
    sheet = SheetStock(label="s", width=2.1, length=4.2)

    def heap(items: Sequence[_plate_shapes.Item], *_: object, **__: object) -> list[tuple[object, ...]]:
        return [(item, 0.5, 0.5, 0.0) for item in items]

    monkeypatch.setattr(_strips, "solve_strip", heap)
    plan = plan_nest(parts, [sheet], gap=0.004, margin=0.01, time_budget=3.0)
    check(plan, parts, [sheet])
    assert plan.method == "boxes"


def test_a_panic_of_the_nester_is_caught() -> None:
    """A widened part taller than the strip: the library panics, the answer is None."""
    bad = _plate_shapes.Item(box("B1", 1.0, 1.0))
    assert _strips.solve_strip([bad], 0.5, gap=0.004, seconds=1.0) is None


def test_unusable_inputs_are_told_with_the_way_out() -> None:
    part = box("B1", 0.5, 0.4)
    with pytest.raises(PitwrightError, match=r"B1 is 98-7/16\" x 49-3/16\" and goes on no sheet"):
        plan_nest([box("B1", 2.5, 1.25)], [SHEET], gap=GAP, margin=MARGIN)
    with pytest.raises(PitwrightError, match="2500 mm x 1250 mm"):
        plan_nest([box("B1", 2.5, 1.25)], [SHEET], gap=GAP, margin=MARGIN, tape=Tape.for_system("metric"))
    with pytest.raises(PitwrightError, match="goes on no sheet"):
        plan_nest([box("B1", 1.0, 2.0, allow_rotation="none")], [SHEET], gap=GAP, margin=MARGIN)
    with pytest.raises(PitwrightError, match="no parts"):
        plan_nest([], [SHEET], gap=GAP, margin=MARGIN)
    with pytest.raises(PitwrightError, match="no sheet"):
        plan_nest([part], [], gap=GAP, margin=MARGIN)
    with pytest.raises(PitwrightError, match="listed twice"):
        plan_nest([part, part], [SHEET], gap=GAP, margin=MARGIN)
    with pytest.raises(PitwrightError, match="gap"):
        plan_nest([part], [SHEET], gap=-0.1, margin=MARGIN)
    with pytest.raises(PitwrightError, match="no price"):
        plan_nest([part], [SHEET, SheetStock(label="b", width=2, length=2, price=5.0)], gap=GAP, margin=MARGIN)
    with pytest.raises(PitwrightError, match="not enough"):
        plan_nest(
            [box("B1", 0.5, 0.4, 9)],
            [SheetStock(label="drop", width=0.6, length=0.6, on_hand=2)],
            gap=GAP,
            margin=0.0,
            method="boxes",
        )
    with pytest.raises(PitwrightError, match="crosses itself"):
        FlatPart(mark="X1", outline=((0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0)))
    with pytest.raises(PitwrightError, match="three corners"):
        FlatPart(mark="X1", outline=((0.0, 0.0), (1.0, 1.0)))
    with pytest.raises(PitwrightError, match="has no width"):
        SheetStock(label="s", width=0.0, length=1.0)


part_lists = st.lists(
    st.tuples(
        st.sampled_from(("box", "disc", "triangle", "angle", "ring")),
        st.floats(0.05, 0.6),
        st.floats(0.3, 1.0),
        st.integers(1, 3),
        st.sampled_from(("any", "right angles", "half turn", "none")),
    ),
    min_size=1,
    max_size=6,
)


def made(kind: str, mark: str, size: float, ratio: float, quantity: int, rule: str) -> FlatPart:
    a, b = size, size * ratio
    rings: dict[str, tuple[tuple[float, float], ...]] = {
        "box": ((0, 0), (a, 0), (a, b), (0, b)),
        "triangle": ((0, 0), (a, 0), (0.3 * a, b)),
        "angle": ((0, 0), (a, 0), (a, 0.3 * b), (0.3 * a, 0.3 * b), (0.3 * a, b), (0, b)),
        "disc": disc("x", a, corners=48).outline,
        "ring": disc("x", a, corners=48).outline,
    }
    hole = tuple((0.7 * x, 0.7 * y) for x, y in rings["ring"])
    return FlatPart(
        mark=mark,
        outline=rings[kind],
        holes=(hole,) if kind == "ring" else (),
        quantity=quantity,
        allow_rotation=rule,  # type: ignore[arg-type]
    )


def test_a_ring_inside_a_ring_takes_no_small_part_twice() -> None:
    """Both holes have room for the same two discs: each disc is laid once."""
    parts = [
        made("ring", "A", 0.6, 1.0, 1, "any"),
        made("ring", "B", 0.2, 1.0, 1, "any"),
        made("disc", "C", 0.03, 1.0, 2, "any"),
    ]
    sheets = [SheetStock(label="store", width=0.7, length=1.4)]
    check(plan_nest(parts, sheets, gap=0.003, margin=0.01, method="boxes", time_budget=5.0), parts, sheets)


@settings(max_examples=30)
@given(drawn=part_lists, gap=st.sampled_from((0.0, 0.003, 0.01)), shear=st.booleans())
def test_every_part_once_inside_and_clear(
    drawn: list[tuple[str, float, float, int, str]], gap: float, shear: bool
) -> None:
    parts = [made(kind, f"P{k}", *rest) for k, (kind, *rest) in enumerate(drawn)]
    sheets = [
        SheetStock(label="store", width=0.7, length=1.4),
        SheetStock(label="drop", width=0.4, length=0.4, on_hand=1),
    ]
    plan = plan_nest(parts, sheets, gap=gap, margin=0.01, method="shear" if shear else "boxes", time_budget=5.0)
    check(plan, parts, sheets)


@settings(max_examples=3)
@given(drawn=part_lists, gap=st.sampled_from((0.0, 0.005)))
def test_true_shapes_once_inside_and_clear(drawn: list[tuple[str, float, float, int, str]], gap: float) -> None:
    parts = [made(kind, f"P{k}", *rest) for k, (kind, *rest) in enumerate(drawn)]
    sheet = SheetStock(label="store", width=0.7, length=1.4)
    plan = plan_nest(parts, [sheet], gap=gap, margin=0.01, time_budget=2.5)
    check(plan, parts, [sheet])
