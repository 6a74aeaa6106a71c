"""From bar to saw: settings that make the bar's own planes, lengths, roll or not; lengths against points on the edges."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.parts import Bar, CylinderCut, HeadCut, PlaneCut
from pitwright.saw import corners, saw_cut
from pitwright.stock import angle, find_profile, pipe, tube
from pitwright.tape import INCH

DEG = math.pi / 180.0
TUBE = tube(3 * INCH, 2 * INCH, 3 / 16 * INCH)


def cut_end(x, slope_y, slope_z, way):
    """A plane end: x grows by slope_y per metre to the left and slope_z per metre up."""
    n = (way, -way * slope_y, -way * slope_z)
    size = math.sqrt(sum(c * c for c in n))
    return PlaneCut(point=(x, 0.0, 0.0), normal=tuple(c / size for c in n))


def bar(length, start=(0.0, 0.0), finish=(0.0, 0.0), profile=TUBE):
    return Bar(
        profile=profile, x0=0.0, x1=length, start=cut_end(0.0, *start, -1.0), finish=cut_end(length, *finish, 1.0)
    )


def test_square_piece():
    cut = saw_cut(Bar.square(TUBE, 1.0))
    assert (cut.long_point, cut.short_point, cut.tip_to_tip) == (1.0, 1.0, 1.0)
    assert (cut.shape, cut.roll, cut.start.kind, cut.turns) == ("square", False, "square", "any")


def test_trapezoid_is_rolled():
    """45 degree frame side, long face on top: the face marks are twice the section apart (closed form)."""
    cut = saw_cut(bar(1.0, start=(0.0, -1.0), finish=(0.0, 1.0)))
    assert cut.face == "top"
    assert cut.long_point == pytest.approx(1.0 + 3 * INCH)
    assert cut.short_point == pytest.approx(1.0 - 3 * INCH)
    assert cut.tip_to_tip == pytest.approx(cut.long_point)
    assert (cut.start.mitre, cut.finish.mitre) == pytest.approx((45 * DEG, 45 * DEG))
    assert (cut.shape, cut.roll) == ("trapezoid", True)
    assert cut.face_size == TUBE.height


def test_parallelogram_is_not_rolled():
    cut = saw_cut(bar(1.0, start=(0.0, 1.0), finish=(0.0, 1.0)))
    assert (cut.shape, cut.roll) == ("parallelogram", False)
    assert cut.long_point == pytest.approx(1.0)
    assert cut.short_point == pytest.approx(1.0)
    assert cut.tip_to_tip == pytest.approx(1.0 + 3 * INCH)
    assert cut.start.mitre == pytest.approx(-cut.finish.mitre)


def test_mitre_on_the_other_faces():
    cut = saw_cut(bar(1.0, finish=(math.tan(20 * DEG), 0.0)))
    assert (cut.face, cut.shape, cut.face_size) == ("left", "one end mitred", TUBE.width)
    assert cut.finish.mitre == pytest.approx(20 * DEG)
    assert cut.finish.tilt == 0.0
    assert cut.long_point == pytest.approx(1.0 + 1 * INCH * math.tan(20 * DEG))


def test_short_face_that_crosses_is_refused():
    with pytest.raises(LayoutError, match="cross inside"):
        saw_cut(bar(2 * INCH, start=(0.0, -1.0), finish=(0.0, 1.0)))


slopes = st.floats(-1.2, 1.2)


@given(slopes, slopes, slopes, slopes)
def test_settings_remake_the_planes(a, b, c, d):
    cut = saw_cut(bar(1.0, start=(a, b), finish=(c, d)))
    up = cut.face in ("top", "bottom")
    sign = 1.0 if cut.face in ("top", "left") else -1.0
    for end, (dy, dz), way in ((cut.start, (a, b), -1.0), (cut.finish, (c, d), 1.0)):
        # The cut's normal from mitre and tilt: along the face's direction, the far side, and the bar.
        n = (
            math.cos(end.tilt) * math.sin(end.mitre),
            math.sin(end.tilt),
            math.cos(end.tilt) * math.cos(end.mitre),
        )
        face, far = n[0] / n[2], n[1] / n[2]
        longer_y, longer_z = way * dy, way * dz
        if up:
            assert face == pytest.approx(sign * longer_z, abs=1e-8)
            assert far == pytest.approx(sign * longer_y, abs=1e-8)
        else:
            assert face == pytest.approx(sign * longer_y, abs=1e-8)
            assert far == pytest.approx(-sign * longer_z, abs=1e-8)


@given(slopes, slopes, slopes, slopes, st.sampled_from([TUBE, angle(2 * INCH, 2 * INCH, 0.25 * INCH)]))
def test_lengths_at_the_corners(a, b, c, d, profile):
    cut = saw_cut(bar(1.0, start=(a, b), finish=(c, d), profile=profile))
    lengths = [1.0 + (c - a) * y + (d - b) * z for y, z in corners(profile)]
    assert cut.long_point == pytest.approx(max(lengths), abs=1e-12)
    assert cut.short_point == pytest.approx(min(lengths), abs=1e-12)
    tips = [1.0 + c * y + d * z for y, z in corners(profile)]
    backs = [a * y + b * z for y, z in corners(profile)]
    assert cut.tip_to_tip == pytest.approx(max(tips) - min(backs), abs=1e-12)


def test_pipe_mitre_lengths():
    r = pipe(4 * INCH, 0.25 * INCH)
    cut = saw_cut(bar(1.0, finish=(0.3, 0.4), profile=r))
    assert cut.long_point == pytest.approx(1.0 + 2 * INCH * 0.5)
    assert cut.short_point == pytest.approx(1.0 - 2 * INCH * 0.5)


def coped(profile, miss, radius, length=0.8, along=0.0):
    """A bar from a square foot up to a round whose axis lies across it, `miss` below the bar's own axis."""
    axis = (math.sin(along), math.cos(along), 0.0)
    return Bar(
        profile=profile,
        x0=0.0,
        x1=length,
        start=PlaneCut(point=(0.0, 0.0, 0.0), normal=(-1.0, 0.0, 0.0)),
        finish=CylinderCut(point=(length + radius, 0.0, -miss), axis=axis, radius=radius),
    )


@given(st.floats(-0.6, 0.6), st.floats(0.2, 0.8), st.floats(-0.4, 0.4))
def test_coped_tube_by_its_edges(share, radius, along):
    """The saw plane goes through (or just beyond) the four edge marks; each mark lies on the round."""
    made = coped(TUBE, share * radius, radius, along=along)
    cut = saw_cut(made)
    marks = []
    for y, z in corners(TUBE):
        # Walk up the edge to the round.
        lo, hi = 0.0, made.finish.point[0]

        def off(x, y=y, z=z):
            d = (x - made.finish.point[0], y, z - made.finish.point[2])
            s = sum(p * q for p, q in zip(d, made.finish.axis))
            return math.sqrt(sum(p * p for p in d) - s * s) - radius

        for _ in range(70):
            mid = (lo + hi) / 2
            lo, hi = (mid, hi) if off(mid) > 0 else (lo, mid)
        marks.append(lo)
    if along == 0.0:
        assert cut.long_point == pytest.approx(max(marks), abs=1e-9)
        assert cut.short_point == pytest.approx(min(marks), abs=1e-9)
        want = math.atan(abs(marks[0] - marks[3]) / TUBE.height)
        assert abs(cut.finish.mitre) == pytest.approx(want, abs=1e-8)
    assert cut.long_point >= max(marks) - 1e-9
    assert cut.long_point <= max(marks) + 0.01
    assert cut.finish.kind == "cope"
    assert cut.finish.cope_radius == radius
    assert cut.finish.cope_depth > 0.0


def test_depth_of_a_centred_cope_is_the_sagitta():
    cut = saw_cut(coped(TUBE, 0.0, 0.4))
    half = TUBE.height / 2
    assert cut.finish.cope_depth == pytest.approx(0.4 - math.sqrt(0.16 - half * half), rel=1e-9)
    assert cut.finish.mitre == 0.0


def test_coped_pipe_is_sawn_square_at_its_longest():
    p = pipe(4 * INCH, 0.25 * INCH)
    cut = saw_cut(coped(p, 0.0, 0.4))
    r = 2 * INCH
    sag = 0.4 - math.sqrt(0.16 - r * r)
    assert cut.finish.mitre == 0.0
    assert cut.finish.cope_depth == pytest.approx(sag, rel=1e-9)
    assert cut.long_point == pytest.approx(coped(p, 0.0, 0.4).x1 + sag, rel=1e-9)


def test_pipe_coped_to_a_head():
    """A firebox pipe on a dished end: depth of the wrap = what the ellipsoid stands out (closed form)."""
    p = pipe(0.2, 0.006)
    head = HeadCut(point=(1.0, 0.0, 0.1), axis=(-1.0, 0.0, 0.0), radius=0.4, depth=0.2)
    made = Bar(profile=p, x0=0.0, x1=0.8, start=PlaneCut(point=(0.0, 0.0, 0.0), normal=(-1.0, 0.0, 0.0)), finish=head)
    cut = saw_cut(made)
    near, far = 0.0, 0.2
    height = [0.2 * math.sqrt(1 - (d / 0.4) ** 2) for d in (near, far)]
    assert cut.finish.cope_depth == pytest.approx(height[0] - height[1], rel=1e-6)
    assert cut.long_point == pytest.approx(1.0 - height[1], rel=1e-9)


def test_ways_a_piece_may_be_turned():
    assert saw_cut(Bar.square(find_profile("C4x5.4"), 1.0)).turns == "end for end"
    assert saw_cut(Bar.square(angle(2 * INCH, 2 * INCH, 0.25 * INCH), 1.0)).turns == "none"


def test_lengthwise_cuts_are_refused():
    bad = Bar(
        profile=TUBE,
        x0=0.0,
        x1=1.0,
        start=PlaneCut(point=(0.0, 0.0, 0.0), normal=(0.0, 0.0, 1.0)),
        finish=PlaneCut(point=(1.0, 0.0, 0.0), normal=(1.0, 0.0, 0.0)),
    )
    with pytest.raises(LayoutError, match="lengthwise"):
        saw_cut(bad)
    along = Bar(
        profile=TUBE,
        x0=0.0,
        x1=1.0,
        start=PlaneCut(point=(0.0, 0.0, 0.0), normal=(-1.0, 0.0, 0.0)),
        finish=CylinderCut(point=(1.0, 0.0, 0.0), axis=(1.0, 0.0, 0.0), radius=0.3),
    )
    with pytest.raises(LayoutError, match="along the bar"):
        saw_cut(along)


def test_all_faces_get_named():
    found = set()
    for y, z in itertools.product((-0.3, 0.0, 0.3), repeat=2):
        found.add(saw_cut(bar(1.0, finish=(y, z))).face)
    assert found == {"top", "bottom", "left", "right"}
