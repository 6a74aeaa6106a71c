"""Hidden lines against rays through boxes, closed forms of outlines, and the rules of drawing."""

import math
import random
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import sample_pieces as sample
from pitwright.parts import Bar, CylinderCut, Head, Outline, Part, Placement, Plate, Shell, cross, unit
from pitwright.solid.features import features_of, head_outline
from pitwright.solid.hidden import hidden_lines
from pitwright.solid.tidy import straightened, without_repeats
from pitwright.solid.view import BACK, FIRE_END, ISOMETRIC, PLAN, SIDE, STACK_END, View
from pitwright.stock import round_bar, tube

VIEWS = {"side": SIDE, "back": BACK, "fire end": FIRE_END, "stack end": STACK_END, "plan": PLAN, "isometric": ISOMETRIC}


def part(mark, shape, *placements):
    return Part(
        mark=mark, name="piece", group="base", shape=shape, stock="stock", placements=placements or (Placement(),)
    )


def length_of(lines):
    return sum(math.dist(p, q) for line in lines for p, q in pairwise(line.points))


def box(a, b, c):
    return Plate(outline=Outline.rectangle(0.0, 0.0, a, b), thickness=c)


# ---------------------------------------------------------------- where one looks


def test_sides_of_the_paper():
    # Working side: fire end (x = 0) right of the stack end. Fire end: working side left. Plan lines up over the side.
    for view, right, up in (
        (SIDE, (-1.0, 0.0, 0.0), (0.0, 0.0, 1.0)),
        (BACK, (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)),
        (FIRE_END, (0.0, -1.0, 0.0), (0.0, 0.0, 1.0)),
        (STACK_END, (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
        (PLAN, (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0)),
    ):
        found = view.frame()
        assert found[0] == pytest.approx(right)
        assert found[1] == pytest.approx(up)


@given(st.tuples(st.floats(-1, 1), st.floats(-1, 1), st.floats(-0.9, 0.9)))
def test_paper_is_square_to_the_eye(toward):
    if math.hypot(*toward[:2]) < 0.1:
        return
    right, up, away = View(toward=toward).frame()
    assert cross(right, up) == pytest.approx(tuple(-c for c in away))
    assert up[2] > 0.0


# ---------------------------------------------------------------- boxes against rays


def ray_blocked(point, toward, boxes):
    """Whether a box lies between a point and the eye (slab test)."""
    for origin, axes, size in boxes:
        local = axes @ (point - origin)
        ray = axes @ -toward
        near, far = 2e-3, math.inf
        for k in range(3):
            if abs(ray[k]) < 1e-12:
                if not -1e-9 < local[k] < size[k] + 1e-9:
                    near = math.inf
                continue
            a, b = sorted(((-local[k]) / ray[k], (size[k] - local[k]) / ray[k]))
            near, far = max(near, a), min(far, b)
        if near < far - 1e-9:
            return True
    return False


@settings(max_examples=12)
@given(st.integers(0, 10**6))
def test_boxes_in_front_of_boxes(seed):
    # Every edge of every box is sampled and a ray sent from each sample to the eye: same seen length within 2 %.
    rng = random.Random(seed)
    view = View(toward=(rng.uniform(-1, 1), -1.0, rng.uniform(-0.8, 0.8)))
    away = np.array(view.frame()[2])
    parts, boxes = [], []
    for i in range(5):
        size = tuple(rng.uniform(0.1, 0.6) for _ in range(3))
        x = unit((rng.uniform(-1, 1), rng.uniform(-1, 1), rng.uniform(-1, 1)))
        y = unit(cross((0.3, 0.5, 0.81), x))
        origin = (rng.uniform(0, 1), 0.9 * i, rng.uniform(0, 1))
        placement = Placement(origin=origin, x=x, y=y, z=cross(x, y))
        parts.append(part(f"A{i}", box(*size), placement))
        boxes.append((np.array(origin), np.array([x, y, cross(x, y)]), size))
    seen = total = 0.0
    for origin, axes, size in boxes:
        corners = [np.array(c) for c in np.ndindex(2, 2, 2)]
        for p in corners:
            for q in corners:
                if (q - p).sum() != 1 or np.abs(q - p).sum() != 1:
                    continue
                a, b = (origin + (np.array(c) * size) @ axes for c in (p, q))
                flat = b - a - ((b - a) @ away) * away
                share = [not ray_blocked(a + (b - a) * (k + 0.5) / 60, away, boxes) for k in range(60)]
                seen += float(np.linalg.norm(flat)) * sum(share) / 60
                total += float(np.linalg.norm(flat))
    picture = hidden_lines(parts, view)
    assert length_of(picture.visible) == pytest.approx(seen, abs=0.02 * total)
    assert length_of(picture.hidden) <= total - seen + 0.02 * total


def test_a_plate_hides_exactly_its_shadow():
    # A bar 1 m long behind a plate 0.4 m wide, looked at square on: 0.6 m of each long edge is seen.
    bar = part("A", box(1.0, 0.02, 0.02), Placement(origin=(0.0, -1.0, 0.0)))
    plate = part("B", box(0.4, 0.01, 1.0), Placement(origin=(0.3, 0.0, -0.5)))
    picture = hidden_lines([bar, plate], SIDE)
    own = [line for line in picture.visible if line.mark == "A"]
    along = sum(abs(p[0] - q[0]) for line in own for p, q in pairwise(line.points))
    assert along == pytest.approx(2 * 0.6, abs=1e-5)
    behind = [line for line in picture.hidden if line.mark == "A"]
    assert sum(abs(p[0] - q[0]) for line in behind for p, q in pairwise(line.points)) == pytest.approx(0.8, abs=5e-3)
    assert min(p[0] for line in behind for p in line.points) == pytest.approx(-0.7, abs=3e-3)


def test_clear_pieces_hide_nothing():
    bar = part("A", box(1.0, 0.02, 0.02), Placement(origin=(0.0, -1.0, 0.0)))
    plate = part("B", box(0.4, 0.01, 1.0), Placement(origin=(0.3, 0.0, -0.5)))
    picture = hidden_lines([bar, plate], SIDE, clear={"B"})
    along = sum(abs(p[0] - q[0]) for line in picture.visible if line.mark == "A" for p, q in pairwise(line.points))
    assert along == pytest.approx(2.0, abs=1e-6)


def test_an_edge_resting_on_a_face_is_seen():
    ground = part("A", box(1.0, 1.0, 0.05))
    block = part("B", box(0.2, 0.2, 0.2), Placement(origin=(0.4, 0.4, 0.05)))
    picture = hidden_lines([ground, block], ISOMETRIC)
    seen = [line for line in picture.visible if line.mark == "B"]
    # Of a block's twelve edges nine are seen; each comes out at sqrt(2/3) of its length in an isometric view.
    assert length_of(seen) == pytest.approx(9 * 0.2 * math.sqrt(2.0 / 3.0), rel=1e-3)


# ---------------------------------------------------------------- rounds


def test_a_shell_from_the_side_is_four_straight_lines():
    shell = part("A", Shell(outer_radius=0.4, wall=0.006, length=1.5))
    picture = hidden_lines([shell], SIDE)
    assert length_of(picture.visible) == pytest.approx(2 * 1.5 + 2 * 0.8, rel=1e-3)
    assert sum(len(line.points) - 1 for line in picture.visible) <= 8
    assert (picture.low, picture.high) == (
        pytest.approx((-1.5, -0.4), abs=3e-4),
        pytest.approx((0.0, 0.4), abs=3e-4),
    )


def test_a_round_bar_end_on_is_one_smooth_circle():
    bar = part("A", Bar.square(round_bar(0.1), 0.5))
    picture = hidden_lines([bar], FIRE_END)
    (circle,) = picture.visible
    assert len(circle.points) > 60
    assert circle.points[0] == pytest.approx(circle.points[-1], abs=1e-9)
    assert length_of([circle]) == pytest.approx(math.pi * 0.1, rel=2e-3)
    assert picture.hidden == ()


@pytest.mark.parametrize("kind", ["ellipsoidal", "hemispherical", "torispherical"])
@given(st.floats(-1, 1), st.floats(-1, 1), st.floats(-1, 1))
def test_head_outline_is_where_the_eye_grazes(kind, a, b, c):
    if math.hypot(b, c) < 0.05:
        return
    toward = unit((a, b, c))
    head = Head(kind=kind, outer_radius=0.5, wall=0.01, depth=0.26, crown=1.0, knuckle=0.08)
    (points,) = head_outline(head, toward)
    depth = {"ellipsoidal": 0.26, "hemispherical": 0.5}.get(kind)
    if depth is not None:
        # On the ellipsoid, and its normal (x/d2, y/R2, z/R2) square to the eye.
        assert (points[:, 0] / depth) ** 2 + (points[:, 1] ** 2 + points[:, 2] ** 2) / 0.25 == pytest.approx(
            1.0, abs=1e-9
        )
        normals = points / np.array([depth**2, 0.25, 0.25])
        normals /= np.linalg.norm(normals, axis=1)[:, None]
        assert normals @ np.array(toward) == pytest.approx(0.0, abs=1e-6)
    # Ends on the tangent line, a whole diameter apart; no jump between.
    assert points[0, 0] == pytest.approx(0.0, abs=1e-9)
    assert np.linalg.norm(points[0] - points[-1]) == pytest.approx(1.0, abs=1e-6)
    assert np.linalg.norm(np.diff(points, axis=0), axis=1).max() < 0.09


def test_head_outline_stops_at_its_openings():
    hole = CylinderCut(point=(0.0, 0.0, 0.45), axis=(1.0, 0.0, 0.0), radius=0.1)
    head = Head(kind="ellipsoidal", outer_radius=0.5, wall=0.01, depth=0.26, cuts=(hole,))
    pieces = head_outline(head, (0.0, 1.0, 0.0))
    ends = [piece[k] for piece in pieces for k in (0, -1)]
    on_hole = [p for p in ends if abs(math.hypot(p[1], p[2] - 0.45) - 0.1) < 1e-4]
    assert len(on_hole) == 1
    assert on_hole[0][2] == pytest.approx(0.35, abs=1e-4)


def test_facet_lines_never_show():
    # Sharp edges only: a coped, drilled tube has its long edges, ends and holes, nothing between facets.
    leg = next(p for p in sample.sample_pit() if p.mark == "L1").shape
    features = features_of(leg)
    bends = np.arccos(
        np.clip(
            np.einsum(
                "ij,ij->i", features.normals[features.path_faces[:, 0]], features.normals[features.path_faces[:, 1]]
            ),
            -1,
            1,
        )
    )
    assert np.degrees(bends).min() > 30.0
    shell = features_of(Shell(outer_radius=0.4, wall=0.006, length=1.5))
    assert len(shell.path_ends) == 4


# ---------------------------------------------------------------- the whole pit


@pytest.fixture(scope="module")
def pictures():
    parts = sample.sample_pit()
    return {name: hidden_lines(parts, view) for name, view in VIEWS.items()}


def test_both_ends_and_both_sides_have_one_outline(pictures):
    for one, other in (("side", "back"), ("fire end", "stack end")):
        a, b = pictures[one], pictures[other]
        assert (a.low[0], a.high[0]) == pytest.approx((-b.high[0], -b.low[0]), abs=1e-6)
        assert (a.low[1], a.high[1]) == pytest.approx((b.low[1], b.high[1]), abs=1e-6)


def test_lines_are_long_and_no_crumbs_are_left(pictures):
    for name, picture in pictures.items():
        lengths = [length_of([line]) for line in picture.visible]
        assert min(lengths) > 1e-4, name
        assert np.median(lengths) > 0.04, name
        assert all(math.dist(p, q) > 0.0 for line in picture.visible for p, q in pairwise(line.points)), name


def test_hidden_lines_can_be_left_out(pictures):
    picture = hidden_lines(sample.sample_pit(), SIDE, hidden=False)
    assert picture.hidden == ()
    assert picture.visible == pictures["side"].visible


def test_the_grate_is_hidden_in_the_shell_and_seen_without_it(pictures):
    # Through the open joint round each door a sliver of the bars under it is seen, no more.
    assert length_of([line for line in pictures["plan"].visible if line.mark == "G2"]) < 0.3
    bare = [p for p in sample.sample_pit() if p.group not in ("vessel", "doors", "stack")]
    assert sum(line.mark == "G2" for line in hidden_lines(bare, PLAN).visible) > 62


def test_mirrored_pieces_mirror_the_picture():
    rail = tube(0.1, 0.05, 0.005, system="metric")
    parts = [
        part("A", Bar.square(rail, 1.0), Placement(origin=(0.0, 0.3, 0.0))),
        part("B", box(0.3, 0.2, 0.1), Placement(origin=(0.2, -0.4, 0.1))),
    ]
    over = [
        part(
            p.mark,
            p.shape,
            *(
                Placement(
                    origin=(-q.origin[0], *q.origin[1:]),
                    x=(-q.x[0], *q.x[1:]),
                    y=(-q.y[0], *q.y[1:]),
                    z=(-q.z[0], *q.z[1:]),
                )
                for q in p.placements
            ),
        )
        for p in parts
    ]
    one, other = hidden_lines(parts, SIDE), hidden_lines(over, SIDE)
    assert length_of(one.visible) == pytest.approx(length_of(other.visible), rel=1e-9)
    assert one.low == pytest.approx((-other.high[0], other.low[1]), abs=1e-9)


def test_an_empty_pit_is_an_empty_picture():
    picture = hidden_lines([], SIDE)
    assert (picture.visible, picture.hidden, picture.low, picture.high) == ((), (), (0.0, 0.0), (0.0, 0.0))


# ---------------------------------------------------------------- tidying


@given(st.lists(st.floats(0.0, 1.0), min_size=1, max_size=30))
def test_points_along_a_straight_go(shares):
    points = np.array([(s, 2.0 * s) for s in sorted({0.0, 1.0, *shares})])
    left = straightened(points)
    assert len(left) == 2
    assert (left[0] == points[0]).all()
    assert (left[-1] == points[-1]).all()


def test_corners_and_bends_stay():
    corner = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0)])
    assert len(straightened(corner)) == 3
    angle = np.linspace(0.0, math.pi, 97)
    arc = np.column_stack([np.cos(angle), np.sin(angle)])
    assert len(straightened(arc)) > 60
    back = np.array([(0.0, 0.0), (1.0, 0.0), (0.5, 0.0)])
    assert len(straightened(back)) == 3


def test_dashes_are_not_drawn_under_a_seen_line_or_twice():
    seen = [np.array([(0.0, 0.0), (1.0, 0.0)])]
    under = (np.array([(0.25, 0.0), (1.5, 0.0)]), "A")
    crossing = (np.array([(0.5, -1.0), (0.5, 1.0)]), "B")
    twice = (np.array([(0.5, -0.5), (0.5, 0.5)]), "C")
    left = without_repeats([under, crossing, twice], seen)
    assert sorted(mark for _, mark in left) == ["A", "B"]
    (points,) = [p for p, mark in left if mark == "A"]
    assert points[0] == pytest.approx((1.0, 0.0), abs=3e-3)
    assert points[-1] == pytest.approx((1.5, 0.0), abs=1e-9)
    (whole,) = [p for p, mark in left if mark == "B"]
    assert (whole == crossing[0]).all()
