"""The drawing model: motions, bounds, layers, and the sketch pad."""

from __future__ import annotations

import math
from dataclasses import FrozenInstanceError

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.parts import Outline, arc_of
from pitwright.sheets.drawing import Drawing, layer_of
from pitwright.sheets.lettered import Dimension, Text
from pitwright.sheets.shapes import Arc, Circle, Line, Motion, Polyline
from pitwright.sheets.sketch import Sketch

near = st.floats(-3.0, 3.0)
points = st.tuples(near, near)
angles = st.floats(-math.pi, math.pi)


@given(p=points, q=points, dx=near, dy=near, a=angles, about=points)
def test_motion_keeps_distances(
    p: tuple[float, float], q: tuple[float, float], dx: float, dy: float, a: float, about: tuple[float, float]
) -> None:
    for m in (Motion.move(dx, dy), Motion.turn(a, about), Motion.mirror(about, (math.cos(a), math.sin(a)))):
        assert math.dist(m.point(p), m.point(q)) == pytest.approx(math.dist(p, q), abs=1e-9)
    assert Motion.turn(a, about).point(about) == pytest.approx(about)
    assert Motion.mirror(about, (math.cos(a), math.sin(a))).flips
    assert not Motion.turn(a, about).flips


@given(centre=points, r=st.floats(0.1, 2.0), start=angles, sweep=st.floats(-6.2, 6.2), a=angles, t=st.floats(0, 1))
def test_arc_goes_where_its_points_go(
    centre: tuple[float, float], r: float, start: float, sweep: float, a: float, t: float
) -> None:
    arc = Arc(centre, r, start, sweep)
    for m in (Motion.turn(a, (0.3, -0.2)), Motion.mirror((0.1, 0.4), (math.cos(a), math.sin(a)))):
        there = arc.through(m)
        want = m.point(arc.at(start + t * sweep))
        assert there.at(there.start + t * there.sweep) == pytest.approx(want, abs=1e-9)


@given(bulge=st.floats(-3.0, 3.0).filter(lambda b: abs(b) > 0.01), a=angles)
def test_bulged_edge_mirrors_onto_its_mirrored_arc(bulge: float, a: float) -> None:
    run = Polyline(((0.0, 0.0), (1.0, 0.5)), (bulge,))
    m = Motion.mirror((0.2, 0.1), (math.cos(a), math.sin(a)))
    before = arc_of(*run.points, bulge)
    moved = run.through(m)
    after = arc_of(*moved.points, moved.bulges[0])
    assert after[0] == pytest.approx(m.point(before[0]), abs=1e-9)
    assert after[1] == pytest.approx(before[1])


@given(centre=points, r=st.floats(0.1, 2.0), start=angles, sweep=st.floats(-6.2, 6.2))
def test_bounds_hold_every_point_of_an_arc_and_no_more(
    centre: tuple[float, float], r: float, start: float, sweep: float
) -> None:
    arc = Arc(centre, r, start, sweep)
    x0, y0, x1, y1 = Drawing((arc,)).bounds()
    dense = [arc.at(start + sweep * k / 720.0) for k in range(721)]
    xs, ys = [p[0] for p in dense], [p[1] for p in dense]
    step = r * (1.0 - math.cos(abs(sweep) / 1440.0)) + 1e-9
    assert x0 == pytest.approx(min(xs), abs=step)
    assert x1 == pytest.approx(max(xs), abs=step)
    assert y0 == pytest.approx(min(ys), abs=step)
    assert y1 == pytest.approx(max(ys), abs=step)


def test_text_never_turns_into_mirror_writing() -> None:
    text = Text((1.0, 2.0), "37-1/2", anchor="left")
    across = Drawing((text,)).mirrored((0.0, 0.0), (0.0, 1.0)).primitives[0]
    assert isinstance(across, Text)
    assert across.at == pytest.approx((-1.0, 2.0))
    assert across.anchor == "right"
    assert across.angle == pytest.approx(0.0)


def test_mirrored_twice_is_as_before() -> None:
    s = Sketch(length=str)
    s.line((0.0, 0.0), (1.0, 2.0))
    s.arc((0.5, 0.5), 0.3, 0.2, 1.1)
    s.dim((0.0, 0.0), (1.0, 2.0), "left", "2")
    drawing = s.drawing()
    again = drawing.mirrored((0.3, 0.0)).mirrored((0.3, 0.0))
    assert again.bounds() == pytest.approx(drawing.bounds())
    first, back = drawing.primitives[2], again.primitives[2]
    assert isinstance(first, Dimension)
    assert isinstance(back, Dimension)
    assert back.out == pytest.approx(first.out)
    assert back.a == pytest.approx(first.a)


def test_dimension_without_base_stands_outside_everything_drawn() -> None:
    s = Sketch()
    s.dim((0.0, 0.0), (1.0, 0.0), "below", "1")
    s.rectangle(0.0, -0.7, 1.0, 0.4)
    d = s.drawing().primitives[0]
    assert isinstance(d, Dimension)
    assert d.base[1] == pytest.approx(-0.7)


def test_sketch_writes_lengths_as_its_tape_does() -> None:
    s = Sketch(length=lambda m: f"{m * 1000:.0f}")
    s.dim((0.0, 0.0), (0.3, 0.4), "below")
    s.dim((0.0, 0.0), (0.3, 0.4), "left")
    s.dim_aligned((0.0, 0.0), (0.3, 0.4))
    assert [p.text for p in s.drawing().primitives if isinstance(p, Dimension)] == ["300", "400", "500"]
    with pytest.raises(ValueError, match="formatter"):
        Sketch().dim((0.0, 0.0), (1.0, 0.0), "below")


def test_running_stops_are_measured_from_the_datum() -> None:
    s = Sketch(length=lambda m: f"{m * 1000:.0f}")
    s.running((1.0, 0.0), [(0.5, 0.0), (1.25, 0.0), ((2.0, 0.0), "end")], "above")
    (running,) = s.drawing().primitives
    assert [stop.text for stop in running.stops] == ["-500", "250", "end"]  # type: ignore[attr-defined]


def test_layers_are_plain_words() -> None:
    s = Sketch()
    s.circle((0.0, 0.0), 1.0, "cut")
    s.line((0.0, 0.0), (1.0, 0.0), "mark")
    s.text((0.0, 0.0), "L1")
    s.line((0.0, 0.0), (1.0, 0.0), "mark", layer="MARK OTHER SIDE")
    assert [layer_of(p) for p in s.drawing().primitives] == ["CUT", "MARK", "TEXT", "MARK OTHER SIDE"]


def test_outline_keeps_full_circles_and_holes() -> None:
    s = Sketch()
    s.outline(Outline.rectangle(0.0, 0.0, 1.0, 1.0, (Outline.circle(0.5, 0.5, 0.2),)), "cut")
    plate, hole = s.drawing().primitives
    assert isinstance(plate, Polyline)
    assert plate.closed
    assert isinstance(hole, Circle)
    assert hole.radius == pytest.approx(0.2)


def test_about_is_given_to_everything_inside() -> None:
    s = Sketch()
    with s.about("legs.A.spread", "Foot spread"):
        s.line((0.0, 0.0), (1.0, 0.0))
        s.line((0.0, 1.0), (1.0, 1.0), about="legs.B.spread")
    s.line((0.0, 2.0), (1.0, 2.0))
    assert [(p.about, p.title) for p in s.drawing().primitives] == [
        ("legs.A.spread", "Foot spread"),
        ("legs.B.spread", "Foot spread"),
        ("", ""),
    ]


def test_a_drawing_does_not_change() -> None:
    drawing = Drawing((Line((0.0, 0.0), (1.0, 0.0)),))
    with pytest.raises(FrozenInstanceError):
        drawing.primitives = ()  # type: ignore[misc]
    assert len((drawing + drawing.moved(1.0, 0.0)).primitives) == 2
    assert len(drawing.primitives) == 1
