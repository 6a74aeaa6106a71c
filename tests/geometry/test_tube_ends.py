"""Leg ends: edges that lie on the round, the shop's worked leg, templates, gaps, wraps."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.geometry import tube_ends as te
from pitwright.geometry.curves import Saddle
from pitwright.geometry.planes import TubeAxes, leaning_axes

UP = (0.0, 0.0, 1.0)
R = 94.5 / (2.0 * math.pi)
PSI = math.radians(45.0)
LEAN = math.atan((15.5 - R * math.sin(PSI)) / (35.0 - R * math.cos(PSI)))
TOP = PSI - LEAN
FOOT = (0.0, 15.5, -35.0)


def worked_leg(lean_along=0.0):
    """Vessel 94-1/2 around, contact clock 45 from the bottom, centre 35 over the rails, feet 31 apart, 3 in tube."""
    axes = leaning_axes(LEAN, lean_along)
    foot = te.plane_end(axes, FOOT, FOOT, UP)
    coped = te.round_end(axes, FOOT, R)
    touch = (0.0, R * math.sin(PSI), -R * math.cos(PSI))
    straight = te.plane_end(axes, FOOT, touch, touch)
    return axes, foot, coped, straight


@st.composite
def legs(draw):
    """A round, a leg with both leans, a tube small enough to land on it whole."""
    radius = draw(st.floats(0.2, 1.0))
    clock = draw(st.floats(0.2, 0.9))
    axes = leaning_axes(draw(st.floats(-0.2, 0.5)), draw(st.floats(-0.4, 0.4)))
    height = radius * draw(st.floats(1.6, 2.5))
    contact = (0.0, radius * math.sin(clock), -radius * math.cos(clock))
    run = (height + contact[2]) / axes.along[2]
    foot = tuple(c - run * d for c, d in zip(contact, axes.along, strict=True))
    size = radius * draw(st.floats(0.05, 0.25))
    assume(math.hypot(*axes.along[1:]) > 0.0)
    return radius, axes, foot, size


@given(legs(), st.floats(-0.5, 0.5), st.floats(-0.5, 0.5))
def test_coped_edges_lie_on_the_round(leg, across, deep):
    radius, axes, foot, size = leg
    end = te.round_end(axes, foot, radius)
    try:
        reach = end.reach(across * size, deep * size)
    except LayoutError:
        return
    offset = axes.placed((across * size, deep * size, reach))
    point = tuple(f + o for f, o in zip(foot, offset, strict=True))
    assert math.hypot(point[1], point[2]) == pytest.approx(radius, rel=1e-12)
    # The first time it meets the round: the point a little lower is outside.
    lower = tuple(p - 1e-6 * d for p, d in zip(point, axes.along, strict=True))
    assert math.hypot(lower[1], lower[2]) > radius


@given(legs(), st.floats(-0.5, 0.5), st.floats(-0.5, 0.5))
def test_plane_ends_lie_in_the_plane(leg, across, deep):
    radius, axes, foot, size = leg
    normal = (0.3, radius * 0.7, -radius)
    end = te.plane_end(axes, foot, (0.1, 0.2, 0.3), normal)
    offset = axes.placed((across * size, deep * size, end.reach(across * size, deep * size)))
    point = [f + o for f, o in zip(foot, offset, strict=True)]
    off = sum(n * (p - q) for n, p, q in zip(normal, point, (0.1, 0.2, 0.3), strict=True))
    assert off == pytest.approx(0.0, abs=1e-11)


@given(legs())
def test_both_hits_of_a_line(leg):
    radius, axes, foot, _ = leg
    near, far = (te.round_end(axes, foot, radius, far=side).reach(0.0, 0.0) for side in (False, True))
    assert near <= far
    for distance in (near, far):
        point = [f + distance * d for f, d in zip(foot, axes.along, strict=True)]
        assert math.hypot(point[1], point[2]) == pytest.approx(radius, rel=1e-12)


@given(legs(), st.floats(0.1, 10.0))
def test_scale_and_mirror(leg, scale):
    radius, axes, foot, size = leg
    try:
        one = te.tube_lengths(te.plane_end(axes, foot, foot, UP), te.round_end(axes, foot, radius), size, 0.6 * size)
    except LayoutError:
        return
    big_foot = tuple(scale * f for f in foot)
    large = te.tube_lengths(
        te.plane_end(axes, big_foot, big_foot, UP),
        te.round_end(axes, big_foot, scale * radius),
        scale * size,
        scale * 0.6 * size,
    )
    assert large.corners == pytest.approx([scale * c for c in one.corners], rel=1e-9)
    assert large.short_point == pytest.approx(scale * one.short_point, rel=1e-9)
    # The same leg leaning the other way along: front and back change places.
    mirrored = TubeAxes(
        across=axes.across,
        deep=(axes.deep[0], -axes.deep[1], -axes.deep[2]),
        along=(-axes.along[0], axes.along[1], axes.along[2]),
    )
    twin = te.tube_lengths(
        te.plane_end(mirrored, foot, (foot[0], foot[1], foot[2]), UP),
        te.round_end(mirrored, foot, radius),
        size,
        0.6 * size,
    )
    assert twin.corners == pytest.approx([one.corners[k] for k in (3, 2, 1, 0)], rel=1e-9)


@given(legs())
def test_long_and_short_points_hold_everywhere(leg):
    radius, axes, foot, size = leg
    start, finish = te.plane_end(axes, foot, foot, UP), te.round_end(axes, foot, radius)
    try:
        lengths = te.tube_lengths(start, finish, size, size)
        along = [
            finish.reach(*at) - start.reach(*at)
            for t in [k / 20 - 0.5 for k in range(21)]
            for at in ((size * t, size / 2), (size * t, -size / 2), (size / 2, size * t), (-size / 2, size * t))
        ]
    except LayoutError:
        return
    assert max(along) <= lengths.long_point * (1.0 + 1e-12)
    assert min(along) >= lengths.short_point * (1.0 - 1e-12)
    assert min(along) == pytest.approx(lengths.short_point, rel=2e-3)


def test_worked_leg_coped_and_straight():
    """Shop sums: lean 11.3, top 33.7; coped 26.288 and 23.667, straight 26.146 and 23.546, centre 24.846 in."""
    _, foot, coped, straight = worked_leg()
    assert math.degrees(LEAN) == pytest.approx(11.3, abs=0.05)
    assert math.degrees(TOP) == pytest.approx(33.7, abs=0.05)
    cope = te.tube_lengths(foot, coped, 3.0, 3.0)
    plain = te.tube_lengths(foot, straight, 3.0, 3.0)
    assert cope.centre == pytest.approx(24.846, abs=0.001)
    assert plain.centre == pytest.approx(cope.centre, rel=1e-12)
    assert (cope.long_point, cope.corners[1]) == pytest.approx((26.288, 23.667), abs=0.001)
    assert (plain.long_point, plain.short_point) == pytest.approx((26.146, 23.546), abs=0.001)
    closed = 24.846 + 1.5 * (math.tan(TOP) + math.tan(LEAN))
    assert plain.long_point == pytest.approx(closed, abs=0.001)
    # One lean only: both long edges alike.
    assert cope.corners[0] == pytest.approx(cope.corners[3], rel=1e-12)


def test_leg_leaning_both_ways_has_both_ends_sloped_alike():
    """On a level base the two edges of one face stay equal: each end slopes by the same amount along the vessel."""
    _, foot, coped, _ = worked_leg(math.radians(6.0))
    lengths = te.tube_lengths(foot, coped, 3.0, 3.0)
    assert lengths.corners[0] == pytest.approx(lengths.corners[3], rel=1e-12)
    assert lengths.corners[1] == pytest.approx(lengths.corners[2], rel=1e-12)
    slope = foot.reach(1.5, 1.5) - foot.reach(1.5, -1.5)
    assert slope == pytest.approx(coped.reach(1.5, 1.5) - coped.reach(1.5, -1.5), rel=1e-12)
    # Blade tilt of 5.77 degrees over 3 in, seen along the mitred face.
    assert slope == pytest.approx(3.0 * math.tan(math.radians(5.77)) / math.cos(LEAN), rel=2e-3)


def test_worked_gap_along_the_leg():
    """Shop sum: a straight cut leaves 1/8 at the inner face and 9/64 at the outer one, along the leg."""
    _, _, coped, straight = worked_leg()
    gaps = [coped.reach(across, 0.0) - straight.reach(across, 0.0) for across in (-1.5, 1.5)]
    assert gaps == pytest.approx((1 / 8, 9 / 64), abs=0.005)
    assert coped.reach(0.0, 0.0) == pytest.approx(straight.reach(0.0, 0.0), rel=1e-12)


def test_arc_template_is_the_side_face():
    _, _, coped, _ = worked_leg()
    arc = te.arc_template(R, R * math.sin(TOP), 3.0)
    curve = te.face_curve(coped, "front", 3.0, 3.0, 41)
    (u0, s0), (u1, s1) = curve[0], curve[-1]
    assert (u1 - u0, s1 - s0) == pytest.approx((3.0, arc.difference), rel=1e-9)
    assert math.dist(curve[0], curve[-1]) == pytest.approx(arc.chord, rel=1e-12)
    assert arc.off_square == pytest.approx(math.atan2(s1 - s0, u1 - u0), rel=1e-9)
    # Every point at the arc's radius from its centre, and the greatest rise over the chord is the template's.
    middle = ((u0 + u1) / 2.0, (s0 + s1) / 2.0)
    square = (-(s1 - s0) / arc.chord, (u1 - u0) / arc.chord)
    lift = R - arc.rise
    centre = tuple(m + lift * n for m, n in zip(middle, square, strict=True))
    for point in curve:
        assert math.dist(point, centre) == pytest.approx(R, rel=1e-12)
    # The faces across are cut by straight lines.
    outer = te.face_curve(coped, "outer", 3.0, 3.0)
    assert [s for _, s in outer] == pytest.approx([outer[0][1]] * len(outer), rel=1e-12)
    assert len(te.face_curve(coped, "inner", 3.0, 2.0, 2)) == 2


def test_square_tube_on_the_middle_dips_between_its_corners():
    end = te.RoundEnd(radius=10.0, point=(0.0, 0.0, 30.0), axis=(0.0, 1.0, 0.0))
    lengths = te.tube_lengths(te.PlaneEnd(at=0.0, normal=UP), end, 4.0, 4.0)
    assert lengths.short_point == pytest.approx(20.0)
    assert lengths.long_point == pytest.approx(30.0 - math.sqrt(96.0))
    arc = te.arc_template(10.0, 0.0, 4.0)
    assert (arc.difference, arc.chord, arc.off_square) == (0.0, 4.0, 0.0)
    assert arc.rise == pytest.approx(10.0 - math.sqrt(96.0))


@given(st.floats(0.02, 0.3), st.floats(-0.5, 0.5), st.floats(0.5, 2.6), st.floats(0.0, 6.2))
def test_pipe_end_is_the_saddle(branch, side, angle, clock):
    """The general cope against the saddle's closed form: header of radius 1 along x."""
    saddle = Saddle(header_radius=1.0, branch_radius=branch, angle=angle, offset=side)
    sine, cosine = math.sin(angle), math.cos(angle)
    axes = TubeAxes(across=(sine, 0.0, -cosine), deep=(0.0, 1.0, 0.0), along=(cosine, 0.0, sine))
    end = te.round_end(axes, (0.0, side, 0.0), 1.0, far=True)
    reach = end.reach(branch * math.cos(clock), branch * math.sin(clock))
    assert reach == pytest.approx(saddle.reach(clock), rel=1e-11, abs=1e-12)


def test_pipe_wrap_of_both_ends():
    _, foot, coped, _ = worked_leg()
    top = te.pipe_wrap(coped, 1.5, 16, finish=True)
    # Longest on the outside, at clock 0 (across); shortest on the inside.
    assert top.steps[0].ordinate == pytest.approx(top.depth, rel=1e-9)
    assert top.depth == pytest.approx(coped.reach(1.5, 0.0) - coped.reach(-1.5, 0.0), rel=1e-9)
    bottom = te.pipe_wrap(foot, 1.5, 16, finish=False)
    assert bottom.depth == pytest.approx(3.0 * math.tan(LEAN), rel=1e-9)
    assert bottom.steps[0].ordinate == pytest.approx(bottom.depth, rel=1e-9)


def test_leg_that_misses_the_shell():
    """Shop sum: foot 24 out, lean 5: the centreline passes 20-7/8 from the vessel's centre."""
    axes = leaning_axes(math.radians(5.0))
    with pytest.raises(LayoutError) as error:
        te.round_end(axes, (0.0, 24.0, -35.0), R).reach(0.0, 0.0)
    assert error.value.field == "line"


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: te.RoundEnd(radius=1.0, point=(0.0, 0.0, 0.0), axis=(0.0, 0.0, 1.0)).reach(0.0, 0.0), "line"),
        (lambda: te.arc_template(1.0, 0.9, 0.3), "miss"),
        (lambda: te.face_curve(te.PlaneEnd(at=0.0, normal=UP), "outer", 1.0, 1.0, 1), "points"),
        (
            lambda: te.tube_lengths(
                te.PlaneEnd(at=0.0, normal=UP),
                te.RoundEnd(radius=1.0, point=(0.0, 0.0, 3.0), axis=(0.0, 1.0, 0.0), far=True),
                0.1,
                0.1,
            ),
            "end",
        ),
    ],
)
def test_impossible_ends_are_refused(call, field):
    with pytest.raises(LayoutError) as error:
        call()
    assert error.value.field == field
