"""Pipe ends: joints that lie on both surfaces, holes against polygons and numeric sums, and the shop's own wraps."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from pitwright.errors import LayoutError
from pitwright.geometry import heads as hd
from pitwright.geometry.curves import HeadCope, Mitre, Saddle

CLOCKS = st.floats(0.0, 2.0 * math.pi)
ANGLES = st.floats(math.radians(25.0), math.radians(155.0))


@st.composite
def saddles(draw):
    header = draw(st.floats(0.1, 2.0))
    branch = header * draw(st.floats(0.05, 0.95))
    side = (header - branch) * draw(st.floats(-0.98, 0.98))
    return Saddle(header_radius=header, branch_radius=branch, angle=draw(ANGLES), offset=side)


@given(saddles(), CLOCKS)
def test_joint_lies_on_both_pipes(saddle, clock):
    x, y, z = saddle.point(clock)
    assert math.hypot(y, z) == pytest.approx(saddle.header_radius, rel=1e-13)
    # Distance from the branch's axis, the line through (0, offset, 0) along (cos a, 0, sin a).
    along = x * math.cos(saddle.angle) + z * math.sin(saddle.angle)
    across = math.dist((x, y, z), (along * math.cos(saddle.angle), saddle.offset, along * math.sin(saddle.angle)))
    assert across == pytest.approx(saddle.branch_radius, rel=1e-12)
    assert saddle.reach(clock) == pytest.approx(along, rel=1e-12, abs=1e-12)


@given(saddles(), CLOCKS)
def test_mirrored_offset_and_turned_lean(saddle, clock):
    mirrored = Saddle(
        header_radius=saddle.header_radius,
        branch_radius=saddle.branch_radius,
        angle=saddle.angle,
        offset=-saddle.offset,
    )
    assert mirrored.reach(-clock) == pytest.approx(saddle.reach(clock), rel=1e-12, abs=1e-13)
    turned = Saddle(
        header_radius=saddle.header_radius,
        branch_radius=saddle.branch_radius,
        angle=math.pi - saddle.angle,
        offset=saddle.offset,
    )
    assert turned.reach(math.pi - clock) == pytest.approx(saddle.reach(clock), rel=1e-9, abs=1e-12)
    assert turned.hole().area == pytest.approx(saddle.hole().area, rel=1e-10)


@given(saddles(), st.floats(0.1, 10.0))
def test_scale(saddle, scale):
    large = Saddle(
        header_radius=scale * saddle.header_radius,
        branch_radius=scale * saddle.branch_radius,
        angle=saddle.angle,
        offset=scale * saddle.offset,
    )
    assert large.hole().area == pytest.approx(scale**2 * saddle.hole().area, rel=1e-9)
    assert large.hole().along == pytest.approx(scale * saddle.hole().along, rel=1e-9)
    assert large.template().depth == pytest.approx(scale * saddle.template().depth, rel=1e-9, abs=1e-12)


@given(saddles())
def test_hole_against_its_drawn_outline(saddle):
    hole = saddle.hole()
    station, around = saddle.outline(2000)
    drawn = shapely.Polygon(np.column_stack([station, around]))
    assert hole.area == pytest.approx(drawn.area, rel=1e-4)
    assert (hole.station_low, hole.around_low, hole.station_high, hole.around_high) == pytest.approx(
        drawn.bounds, abs=2e-4 * saddle.header_radius
    )
    assert hole.area >= math.pi * saddle.branch_radius**2


@pytest.mark.parametrize("offset", [0.0, 0.5, 0.6999, 0.7])
def test_hole_area_close_to_the_side_of_the_header(offset):
    saddle = Saddle(header_radius=1.0, branch_radius=0.3, angle=1.0, offset=offset)
    low, high = offset - 0.3, offset + 0.3
    width = quad(
        lambda c: 2.0 * math.sqrt(max(0.09 - (math.sin(c) - offset) ** 2, 0.0)) / math.sin(1.0),
        math.asin(low),
        math.asin(min(high, 1.0)),
        limit=400,
        epsabs=1e-12,
    )[0]
    assert saddle.hole().area == pytest.approx(width, rel=1e-7)


@given(saddles(), st.integers(8, 48))
def test_wrap_figures(saddle, steps):
    wrap = saddle.template(steps)
    assert len(wrap.steps) == steps + 1
    assert wrap.steps[-1].tape == pytest.approx(wrap.girth)
    assert wrap.steps[-1].ordinate == pytest.approx(wrap.steps[0].ordinate, abs=1e-12)
    for step in wrap.steps:
        assert step.meets
        assert -1e-12 <= step.ordinate <= wrap.depth + 1e-12
        assert step.ordinate + step.cut_back == pytest.approx(wrap.depth)
    assert saddle.reach(wrap.shortest_at) - saddle.reach(wrap.longest_at) == pytest.approx(wrap.depth)


def sixteenths(wrap):
    return [round(step.ordinate * 16) for step in wrap.steps]


def test_worked_stack():
    """Shop sums: 8-5/8 pipe on a vessel 15.04 in outside radius, on the top line and 4 behind it."""
    middle = Saddle(header_radius=15.04, branch_radius=4.3125)
    wrap = middle.template(16)
    assert sixteenths(wrap)[:5] == [0, 1, 5, 9, 10]
    assert sixteenths(wrap)[:5] == sixteenths(wrap)[8:13]
    assert wrap.tape_step == pytest.approx(1.6875, abs=1 / 64)
    assert wrap.depth == pytest.approx(0.632, abs=0.0005)
    assert middle.hole().around == pytest.approx(8.75, abs=1 / 32)
    behind = Saddle(header_radius=15.04, branch_radius=4.3125, offset=4.0)
    assert sixteenths(behind.template(16))[:5] == [9, 18, 28, 37, 40]
    assert behind.template(16).depth == pytest.approx(2.506, abs=0.0005)
    assert behind.hole().around == pytest.approx(9.125, abs=1 / 32)


@given(st.floats(0.02, 0.5), st.floats(-1.3, 1.3), CLOCKS)
def test_mitre_lies_in_the_plane(radius, angle, clock):
    mitre = Mitre(branch_radius=radius, angle=angle)
    across = radius * math.cos(clock)
    # The plane's normal leans by the cut angle from the branch's axis.
    off = across * -math.sin(angle) + mitre.reach(clock) * math.cos(angle)
    assert off == pytest.approx(0.0, abs=1e-12)
    assert mitre.template().depth == pytest.approx(2.0 * radius * abs(math.tan(angle)), rel=1e-9, abs=1e-12)


def test_mitre_is_a_saddle_on_a_huge_header():
    plate = Mitre(branch_radius=0.1, angle=math.radians(30.0))
    pipe = Saddle(header_radius=1e6, branch_radius=0.1, angle=math.radians(60.0))
    assert pipe.template().depth == pytest.approx(plate.template().depth, rel=1e-5)
    assert pipe.hole().area == pytest.approx(plate.hole_area, rel=1e-9)
    assert pipe.hole().along == pytest.approx(plate.hole_length, rel=1e-6)
    assert plate.hole_area == pytest.approx(math.pi * 0.1 * plate.hole_length / 2.0)


HEADS = {
    "2:1": hd.head_from_outside("ellipsoidal", outer_radius=0.5, wall=0.01, depth=0.25),
    "hemisphere": hd.hemispherical_head(0.49, 0.01),
    "dished": hd.torispherical_head(0.98, 1.0, 0.06, 0.01),
}


@given(st.sampled_from(sorted(HEADS)), st.floats(0.0, 0.8), st.floats(0.05, 0.6), CLOCKS)
def test_cope_lies_on_head_and_pipe(name, drop, radius, clock):
    head = HEADS[name]
    if drop - radius >= 0.49:
        return
    cope = HeadCope(head=head, branch_radius=radius, drop=drop)
    # Clock 0 is the side nearest the vessel's axis: straight up from the pipe below it.
    y, z = radius * math.sin(clock), -drop + radius * math.cos(clock)
    assert cope.distance(clock) == pytest.approx(math.hypot(y, z), abs=1e-12)
    off = min(clock, 2.0 * math.pi - clock)
    if abs(off - cope.meets_to) > 1e-6:
        assert cope.meets(clock) == (off < cope.meets_to)
    if not cope.meets(clock):
        assert cope.reach(clock) == 0.0
    elif name == "2:1":
        assert (math.hypot(y, z) / 0.5) ** 2 + (cope.reach(clock) / 0.25) ** 2 == pytest.approx(1.0, abs=1e-12)
    elif name == "hemisphere":
        assert math.hypot(y, z, cope.reach(clock)) == pytest.approx(0.5, abs=1e-12)


def test_worked_firebox_on_a_dished_head():
    """Shop sum: 24 in pipe, 18 below the axis of a 15.04 in radius 2:1 head: 6-7/8 at its top, nothing from 15 out."""
    head = hd.head_from_outside("ellipsoidal", outer_radius=15.04, wall=0.25, depth=7.52)
    cope = HeadCope(head=head, branch_radius=12.0, drop=18.0)
    wrap = cope.template(16)
    assert cope.distance(0.0) == pytest.approx(6.0)
    assert wrap.steps[0].reach == pytest.approx(6.875, abs=1 / 32)
    assert cope.distance(cope.meets_to) == pytest.approx(15.04)
    assert cope.reach(cope.meets_to * (1.0 - 1e-12)) == pytest.approx(0.0, abs=1e-4)
    assert [step.meets for step in wrap.steps] == [k <= 2 or k >= 14 for k in range(17)]
    assert all(step.reach == 0.0 for step in wrap.steps if not step.meets)


def test_pipe_landing_all_round_and_passing_inside():
    assert HeadCope(head=HEADS["2:1"], branch_radius=0.2, drop=0.1).meets_to == math.pi
    central = HeadCope(head=HEADS["2:1"], branch_radius=0.2, drop=0.0)
    assert central.template().depth == pytest.approx(0.0, abs=1e-12)
    assert HeadCope(head=HEADS["2:1"], branch_radius=0.8, drop=0.1).meets_to == 0.0


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: Saddle(header_radius=1.0, branch_radius=0.6, offset=0.5), "branch_radius"),
        (lambda: Saddle(header_radius=1.0, branch_radius=0.6, offset=-0.5), "branch_radius"),
        (lambda: Saddle(header_radius=1.0, branch_radius=0.6, angle=0.0), "angle"),
        (lambda: Saddle(header_radius=0.0, branch_radius=0.6), "header_radius"),
        (lambda: Saddle(header_radius=1.0, branch_radius=0.5, offset=math.nan), "branch_radius"),
        (lambda: Saddle(header_radius=1.0, branch_radius=0.6).template(3), "steps"),
        (lambda: Mitre(branch_radius=0.1, angle=math.pi / 2.0), "angle"),
        (lambda: HeadCope(head=HEADS["2:1"], branch_radius=0.2, drop=0.8), "drop"),
    ],
)
def test_impossible_joints_are_refused(call, field):
    with pytest.raises(LayoutError) as error:
        call()
    assert error.value.field == field
