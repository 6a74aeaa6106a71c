"""Leg and base sheets: figures of the worked vessel (trade notes B2, B3, S7: plane geometry), marks against the solid."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

import pits
from detail_sheets import EXAMPLES, VARIANTS, example, text, variant, wants, worked
from pitwright.layout.skid import skew
from pitwright.parts import Bar
from pitwright.sheets.lettered import Dimension, Running
from pitwright.sheets.paper import A4, LETTER, TABLOID
from pitwright.sheets.shapes import Polyline
from pitwright.sheets.views.base import (
    base_sheets,
    plan_view,
    rail_marks,
    saddle_points,
    saddle_view,
)
from pitwright.sheets.views.leg_marks import (
    arc_marks,
    arc_step,
    carried_round,
    chord_step,
    leg_edges,
    leg_pieces,
    proof_diagonal,
    table_marks,
)
from pitwright.sheets.views.legs import leg_sheets, saw_view, table_view
from pitwright.tape import INCH

B2 = {
    "proportions": {"legs": {"clock": "45", "profile": "3 x 3 x 3/16 tube", "end": "straight"}},
    "override": {"legs.A.half_spread": "15 1/2", "legs.B.half_spread": "15 1/2"},
}


def test_leg_of_the_worked_vessel() -> None:
    """B2: lean 11.3, top 33.7, long 26-1/8, short 23-9/16, gap 0.108, contact 11-13/16; foot 78.7 inside, 56.3 at the shell."""
    pages = leg_sheets(worked(B2), LETTER)
    found = wants(pages)
    shown = text(pages)
    assert found["long point"] == '26-1/8"'
    assert found["short point"] == '23-9/16"'
    assert found["foot cut, off square"] == "11.3°"
    assert found["top cut, off square"] == "33.7°"
    assert found["gap at the far edge"] == '0.11"'
    assert found["open corner at the foot, inside"] == "78.7° included"
    assert found["open corner at the shell, inside"] == "56.3° included"
    assert "ROLL IT 180" in shown
    assert any('11-13/16"' in t for t in shown)
    assert found["top cut 1/2° off: wedge at the edge"] == '0.031"'
    assert found["lean 1/2° off: at the foot"] == '0.221"'


@pytest.mark.parametrize("name", [*EXAMPLES, *VARIANTS])
def test_a_face_on_the_table_is_as_long_as_the_leg(name: str) -> None:
    """Foot mark to top mark along the outer face, from the solid, against the saw's long point (plain straight legs)."""
    pit = example(name) if name in EXAMPLES else variant(name)
    for piece in leg_pieces(pit):
        if piece.leg.lean_along or piece.leg.end == "coped" or piece.leg.state != "open":
            continue
        marks = {m.name.split(" (")[0]: m for m in table_marks(pit, piece)}
        for face, length in (("outer", piece.cut.long_point), ("inner", piece.cut.short_point)):
            foot, top = marks[f"foot, {face} face"], marks[f"top, {face} face"]
            assert math.hypot(top.out - foot.out, top.up - foot.up) == pytest.approx(length, abs=1e-9)
            assert foot.up == pytest.approx(pit.base.rail_top, abs=1e-9)


@pytest.mark.parametrize("name", [*EXAMPLES, *VARIANTS])
def test_coped_tops_lie_on_the_arc_and_straight_ones_touch_it(name: str) -> None:
    pit = example(name) if name in EXAMPLES else variant(name)
    for piece in leg_pieces(pit):
        radius, centre = carried_round(pit, piece)
        radius += piece.leg_set.pad_thickness
        off = [math.hypot(x, z - centre) - radius for x, z in leg_edges(piece)[1]]
        if pit.vessel.oval or piece.leg.state != "open":
            continue
        if piece.leg.end == "coped":
            assert max(map(abs, off)) < 1e-9
        else:
            assert min(off) == pytest.approx(0.0, abs=1e-9)
            assert max(off) <= piece.leg.gap + 1e-5


@pytest.mark.parametrize("name", EXAMPLES)
def test_arc_points_are_one_chord_step_apart(name: str) -> None:
    """Neighbouring points, by Pythagoras, against the chord of the step: 2 R sin(step / 2R)."""
    pit = example(name)
    for piece in leg_pieces(pit):
        points = arc_marks(pit, piece)
        radius, _ = carried_round(pit, piece)
        assert chord_step(pit, piece) == pytest.approx(2.0 * radius * math.sin(arc_step(pit, piece) / radius / 2.0))
        for a, b in pairwise(points[:-1]):
            apart = math.hypot(b.out - a.out, b.up - a.up)
            assert apart == pytest.approx(chord_step(pit, piece), abs=2.0 * pit.vessel.oval + 1e-9)


def test_figures_written_on_the_table_layout_are_where_they_are_drawn() -> None:
    pit = worked(B2)
    piece = leg_pieces(pit)[0]
    lists = [p for p in table_view(pit, piece).primitives if isinstance(p, Running)]
    assert len(lists) == 2
    for running in lists:
        for stop in running.stops:
            along = stop.at[0] if running.along[0] else stop.at[1]
            assert stop.text.endswith(pit.tape.length(along))
    spans = [p for p in table_view(pit, piece).primitives if isinstance(p, Dimension)]
    diagonal = max(spans, key=lambda d: math.dist(d.a, d.b))
    assert math.dist(diagonal.a, diagonal.b) == pytest.approx(proof_diagonal(pit, piece))
    assert diagonal.text == pit.tape.fine(math.hypot(94.5 / math.pi, 38.0) * INCH)


def test_leg_at_the_saw_is_drawn_true() -> None:
    """The outline of a plain leg: marked face and face opposite as long as the saw's figures."""
    pit = worked(B2)
    piece = leg_pieces(pit)[0]
    outline = next(p for p in saw_view(pit, piece).primitives if isinstance(p, Polyline) and p.closed)
    (a, b, c, d) = outline.points
    assert math.dist(a, d) == pytest.approx(piece.cut.long_point)
    assert math.dist(b, c) == pytest.approx(piece.cut.short_point)


def test_a_coped_leg_names_its_arc() -> None:
    pit = worked({"proportions": {"legs": {"profile": "3 x 3 x 3/16 tube", "end": "coped"}}})
    shown = " ".join(text(leg_sheets(pit, TABLOID.landscape())))
    assert f"arc of {pit.tape.length(pit.vessel.outer_radius)} radius" in shown
    assert "common practice, no source" in shown


def test_what_was_measured_gives_a_verdict_on_the_sheet() -> None:
    pit = variant("as built")
    assert pit.verdicts
    shown = " ".join(text(leg_sheets(pit, LETTER)))
    assert "Already cut" in shown
    assert pit.verdicts[0].verdict.upper() in shown


def test_every_leg_is_on_a_sheet() -> None:
    for name in (*EXAMPLES, *VARIANTS):
        pit = example(name) if name in EXAMPLES else variant(name)
        marks = {p.mark for p in pit.parts if p.group == "legs" and isinstance(p.shape, Bar)}
        assert {m for piece in leg_pieces(pit) for m in piece.marks} == marks


@given(seed=st.integers(0, 60))
def test_table_layout_of_any_pit(seed: int) -> None:
    """Every leg, however it leans: foot on the rail top, top at the round, contact between its two edges."""
    pit = pits.solved(seed)
    if pit is None:
        return
    for piece in leg_pieces(pit):
        foot, top = leg_edges(piece)
        assert all(z == pytest.approx(pit.base.rail_top, abs=1e-9) for _, z in foot)
        marks = {m.name.split(" (")[0]: m for m in table_marks(pit, piece)}
        slack = piece.leg_set.pad_thickness + 1e-9
        assert marks["top, inner face"].out - slack <= marks["contact on the skin"].out
        assert marks["contact on the skin"].out <= marks["top, outer face"].out + slack
        assert min(z for _, z in top) > pit.base.rail_top


# ---------------------------------------------------------------- base


def test_diagonals_and_skew_of_the_base() -> None:
    """B3: corner to corner by Pythagoras; 1/8 between the diagonals is 1/16 of skew. Skew by turning a real frame."""
    pit = example("orchard-30")
    base = pit.base
    length = base.rail_x1 - base.rail_x0
    found = wants(base_sheets(pit, LETTER))
    assert found["diagonal, one way"] == pit.tape.fine(math.hypot(length, base.rails_outside))
    assert found['1/8"'] == '1/16"'
    ahead = 0.004
    longer, shorter = (math.hypot(length + s * ahead, base.rails_outside) for s in (1.0, -1.0))
    assert skew(longer - shorter, base.diagonal, length) == pytest.approx(ahead, rel=1e-4)


@pytest.mark.parametrize("name", EXAMPLES)
def test_rail_marks_read_forward_and_back(name: str) -> None:
    pit = example(name)
    length = pit.base.rail_x1 - pit.base.rail_x0
    marks = rail_marks(pit)
    assert [m.along for m in marks] == sorted(m.along for m in marks)
    wanted = {pit.base.rail_x1 - c.x for c in pit.base.crosses} | {pit.base.rail_x1 - x for x in pit.base.pockets}
    wanted |= {pit.base.rail_x1 - s.x for s in (*pit.leg_sets, *pit.saddles)} | {length}
    wanted |= {pit.base.rail_x1 - a.x for a in pit.base.axles}
    wanted |= {pit.base.rail_x1 - x for a in pit.base.axles if a.sprung for x in a.hangers}
    rolls = pit.base.axles or pit.base.supports or pit.base.tongue or pit.base.handles  # these have marks of their own
    told, found = {pit.tape.length(w) for w in wanted if w > 0.0}, {pit.tape.length(m.along) for m in marks}
    assert told <= found if rolls else told == found
    running = next(p for p in plan_view(pit).primitives if isinstance(p, Running))
    for stop in running.stops:
        assert stop.text == pit.tape.length(abs(stop.at[0] - running.datum[0]))


def test_saddle_of_the_trade_notes() -> None:
    """S7: around 81-11/16, 120 degrees, centre 24 over the base bar: chord 22-1/2, sag 6-1/2, arc 27-1/4, 17-1/2 and 11 high."""
    pit = worked(
        {
            "order": {"grate_height": "26", "base": "saddles"},
            "vessel": {"around": "81 11/16", "length": "72"},
            "proportions": {
                "grates": {"below_centre": "1"},
                "firebox": {"shape": "box", "size": "16", "height": "16"},
                "throat": {"shape": "segment"},
                "stack": {"profile": "6 sch 40 pipe"},
            },
        }
    )
    found = wants(base_sheets(pit, TABLOID))
    assert found["chord"] == '22-1/2"'
    assert found["sag of the arc"] == '6-1/2"'
    assert found["arc, by tape"] == '27-1/4"'
    assert found["plate high at the ends of the arc"] == '17-1/2"'
    assert found["plate high in the middle"] == '11"'


def test_saddle_ordinates_lie_on_its_round() -> None:
    pit = example("pipe-24-saddles")
    saddle = pit.saddles[0]
    points = saddle_points(saddle)
    assert points[0] == (0.0, pytest.approx(saddle.middle_height))
    assert points[-1] == (pytest.approx(saddle.chord / 2.0), pytest.approx(saddle.edge_height))
    centre = saddle.middle_height + saddle.cut_radius
    assert all(math.hypot(x, y - centre) == pytest.approx(saddle.cut_radius) for x, y in points)
    dims = [p for p in saddle_view(pit, saddle).primitives if isinstance(p, Dimension)]
    assert {d.text for d in dims} >= {pit.tape.length(saddle.chord), pit.tape.length(saddle.edge_height)}


def test_metric_sheets_speak_millimetres() -> None:
    shown = text(leg_sheets(example("receiver-metric"), A4)) + text(base_sheets(example("receiver-metric"), A4))
    assert not any('"' in t for t in shown)
