"""A leg from any three of its figures, its cuts, and what is said when it cannot be.

The worked figures are the trade's own (common practice, no source): a vessel 94-1/2 in around on 3 in legs, and the
41 in vessel on 2 in legs. The independent check builds the leg's edges as points and measures them on the cylinder.
"""

import itertools
import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.layout.leg_solve import LegSolved, sensitivity, solve_leg
from pitwright.tape import INCH, Tape

R = 94.5 / (2.0 * math.pi) * INCH
DEG = math.pi / 180.0
TAPE = Tape.for_system("inch")
FIGURES = ("contact", "half_spread", "lean", "height", "length")


def worked(**more):
    given_ = {"contact": 45 * DEG, "half_spread": 15.5 * INCH, "height": 35 * INCH} | more
    return solve_leg(radius=R, width=3 * INCH, depth=3 * INCH, **given_)


def inches(x):
    return x / INCH


def test_worked_leg():
    leg = worked()
    assert leg.figures.lean / DEG == pytest.approx(11.3, abs=0.05)
    assert leg.foot_cut == pytest.approx(leg.figures.lean)
    assert leg.top_cut / DEG == pytest.approx(33.7, abs=0.05)
    assert inches(leg.figures.length) == pytest.approx(24.846, abs=5e-4)
    assert inches(leg.straight.long_point) == pytest.approx(26.146, abs=5e-4)
    assert inches(leg.straight.short_point) == pytest.approx(23.546, abs=5e-4)
    assert inches(leg.coped.long_point) == pytest.approx(26.288, abs=5e-4)
    assert inches(leg.coped.short_point) == pytest.approx(23.667, abs=5e-4)
    assert inches(leg.gap) == pytest.approx(0.108, abs=6e-4)
    assert inches(leg.face_length) == pytest.approx(3.606, abs=5e-4)
    assert inches(leg.miss) == pytest.approx(8.35, abs=5e-3)
    assert TAPE.length(leg.around) == '11-13/16"'
    assert leg.roll
    # Open corners inside: 78.7 at the foot, 56.3 at the shell.
    assert (math.pi - leg.angle_foot) / DEG == pytest.approx(78.7, abs=0.05)
    assert (math.pi - leg.angle_shell) / DEG == pytest.approx(56.3, abs=0.05)
    assert 1 / 8 - 1 / 64 < inches(leg.gap_inner) < inches(leg.gap_outer) < 9 / 64 + 1 / 64


def test_worked_sensitivity():
    slips = list(sensitivity(worked(), TAPE).values())
    assert [round(inches(x), 3) for x in slips] == [
        pytest.approx(0.031, abs=6e-4),
        pytest.approx(0.22, abs=2e-3),
        pytest.approx(0.074, abs=6e-4),
        pytest.approx(0.177, abs=6e-4),
    ]


def test_worked_compound_leg():
    leg = worked(lean_along=6 * DEG)
    assert leg.true_lean / DEG == pytest.approx(12.7, abs=0.05)
    assert leg.foot_cut / DEG == pytest.approx(11.35, abs=0.005)
    assert leg.foot_tilt / DEG == pytest.approx(5.77, abs=0.005)


def test_other_worked_legs():
    pipe_stand = solve_leg(
        radius=75.375 / 2 / math.pi * INCH,
        width=2.5 * INCH,
        depth=2.5 * INCH,
        contact=40 * DEG,
        half_spread=13 * INCH,
        height=29 * INCH,
    )
    assert pipe_stand.figures.lean / DEG == pytest.approx(14.9, abs=0.1)
    assert pipe_stand.top_cut / DEG == pytest.approx(25.1, abs=0.1)
    for got, want in (
        (pipe_stand.straight.long_point, 21 + 7 / 16),
        (pipe_stand.coped.long_point, 21.5),
        (pipe_stand.straight.short_point, 19 + 9 / 16),
        (pipe_stand.coped.short_point, 19 + 11 / 16),
        (pipe_stand.around, 8 + 3 / 8),
    ):
        assert inches(got) == pytest.approx(want, abs=1 / 16)
    assert inches(pipe_stand.gap) == pytest.approx(0.080, abs=1e-3)
    barrow = solve_leg(
        radius=10 * INCH, width=2 * INCH, depth=2 * INCH, contact=50 * DEG, half_spread=12 * INCH, height=26 * INCH
    )
    assert barrow.figures.lean / DEG == pytest.approx(12.5, abs=0.1)
    assert barrow.top_cut / DEG == pytest.approx(37.5, abs=0.1)
    assert inches(barrow.straight.long_point) == pytest.approx(21 + 1 / 16, abs=1 / 16)
    assert inches(barrow.coped.long_point) == pytest.approx(21 + 1 / 8, abs=1 / 16)
    assert inches(barrow.coped.short_point) == pytest.approx(19 + 1 / 8, abs=1 / 16)
    assert inches(barrow.gap) == pytest.approx(0.080, abs=1e-3)


def test_found_spread_and_lean():
    """Feet found 15-11/16 out, lean 12.4, height kept: long 25-15/16, short 23-7/16, top 31.3."""
    leg = solve_leg(
        radius=R, width=3 * INCH, depth=3 * INCH, half_spread=15.6875 * INCH, lean=12.4 * DEG, height=35 * INCH
    )
    assert leg.top_cut / DEG == pytest.approx(31.3, abs=0.05)
    assert inches(leg.straight.long_point) == pytest.approx(25 + 15 / 16, abs=1 / 64)
    assert inches(leg.straight.short_point) == pytest.approx(23 + 7 / 16, abs=1 / 32)


def test_set_in_legs_of_a_41_inch_vessel():
    """2 in legs, 1 in from the outer edge of rails under the side lines, meeting the shell 4 in in-board, 22 long."""
    radius = 20.5 * INCH
    lean = 0.0
    for _ in range(20):
        spread = 19.5 * INCH - 1.0 * INCH / math.cos(lean)
        leg = solve_leg(
            radius=radius,
            width=2 * INCH,
            depth=2 * INCH,
            contact=math.asin(16.5 / 20.5),
            half_spread=spread,
            length=22 * INCH,
        )
        lean = leg.figures.lean
    assert leg.angle_foot / DEG == pytest.approx(95.0, abs=2.5)
    assert leg.angle_shell / DEG == pytest.approx(140.0, abs=2.5)


@pytest.mark.parametrize(("radius", "width", "top", "gap"), [(10, 3, 0, 0.113), (10, 4, 40, 0.347), (24, 4, 30, 0.111)])
def test_straight_cut_gaps(radius, width, top, gap):
    # A plumb leg whose top cut equals its contact.
    leg = solve_leg(
        radius=radius * INCH,
        width=width * INCH,
        depth=width * INCH,
        contact=top * DEG,
        lean=0.0,
        height=3 * radius * INCH,
    )
    assert inches(leg.gap) == pytest.approx(gap, abs=6e-4)


@st.composite
def stances(draw, along=False):
    """A leg that can be: a round, a contact, a lean, a height over the rails, a tube that lands on it whole."""
    radius = draw(st.floats(0.2, 1.2))
    contact = draw(st.floats(0.15, 1.0))
    lean = draw(st.floats(-0.1, 0.45))
    top = contact - lean
    assume(abs(top) < 1.0)
    size = radius * draw(st.floats(0.05, 0.2))
    assume(abs(radius * math.sin(top)) + size < 0.95 * radius)
    height = radius * draw(st.floats(1.8, 3.0))
    slope = draw(st.floats(-0.25, 0.25)) if along else 0.0
    return {
        "radius": radius,
        "width": size,
        "depth": size * draw(st.floats(0.5, 1.0)),
        "contact": contact,
        "lean": lean,
        "height": height,
        "lean_along": slope,
    }


@given(stances(along=True))
def test_any_three_settle_the_others(stance):
    whole = solve_leg(**stance)
    f = whole.figures
    assert f.height == pytest.approx(stance["height"], rel=1e-14)  # the promised height is met exactly
    sizes = {k: stance[k] for k in ("radius", "width", "depth", "lean_along")}
    for three in itertools.combinations(FIGURES, 3):
        known = {name: getattr(f, name) for name in three}
        if {"lean", "half_spread", "contact"} == set(three) and abs(f.lean) < 1e-3:
            continue  # a plumb leg's height does not follow from where it stands
        if {"contact", "height", "length"} == set(three) and f.lean < 1e-3:
            continue  # two legs would do; the one leaning in is taken
        if {"half_spread", "height", "length"} == set(three):
            nearest = math.atan2(f.half_spread, f.height)
            if f.contact < nearest + 1e-2 or stance["lean_along"]:
                continue
        again = solve_leg(**sizes, **known).figures
        for name in FIGURES:
            assert getattr(again, name) == pytest.approx(getattr(f, name), rel=1e-6, abs=1e-6), (three, name)


@given(stances(), st.floats(0.01, 0.2))
def test_length_from_a_foot_with_a_lean_along(stance, slope):
    f = solve_leg(**(stance | {"lean_along": slope})).figures
    assume(f.contact > math.atan2(f.half_spread, f.height) + 0.05)
    again = solve_leg(
        radius=stance["radius"],
        width=stance["width"],
        depth=stance["depth"],
        half_spread=f.half_spread,
        height=f.height,
        length=f.length,
        lean_along=slope,
    ).figures
    assert again.length == pytest.approx(f.length, rel=1e-9)
    assert again.contact == pytest.approx(f.contact, abs=1e-6)


def edge_points(leg: LegSolved, u: float, v: float, straight: bool):
    """Both ends of a line along the tube, found by walking it: where it crosses the floor plane and the top."""
    foot, along = leg.foot, leg.axes.along
    off = leg.axes.placed((u, v, 0.0))
    base = tuple(f + o for f, o in zip(foot, off))
    low = (-leg.figures.height - base[2]) / along[2]
    psi = leg.figures.contact
    normal = (0.0, math.sin(psi), -math.cos(psi))

    def out(t):
        p = [b + t * a for b, a in zip(base, along)]
        if straight:
            return p[1] * normal[1] + p[2] * normal[2] - leg.radius
        return math.hypot(p[1], p[2]) - leg.radius

    a, b = low, low
    step = leg.figures.length / 400.0
    while out(b) > 0.0:
        a, b = b, b + step
        assert b < 3.0 * leg.figures.length
    for _ in range(80):
        middle = (a + b) / 2.0
        a, b = (middle, b) if out(middle) > 0.0 else (a, middle)
    return b - low, tuple(base[i] + b * along[i] for i in range(3))


@given(stances(along=True))
def test_edges_walked_as_points(stance):
    leg = solve_leg(**stance)
    half, other = leg.width / 2.0, leg.depth / 2.0
    for straight, end in ((True, leg.straight), (False, leg.coped)):
        lengths = []
        for u in (half, -half):
            for v in (other, -other):
                length, top = edge_points(leg, u, v, straight)
                lengths.append(length)
                if not straight:
                    assert math.hypot(top[1], top[2]) == pytest.approx(leg.radius, abs=1e-9)
        assert end.long_point == pytest.approx(max(lengths), abs=1e-9)
        assert end.short_point == pytest.approx(min(lengths), abs=1e-9)
    centre, top = edge_points(leg, 0.0, 0.0, False)
    assert centre == pytest.approx(leg.figures.length, abs=1e-9)
    assert math.atan2(top[1], -top[2]) == pytest.approx(leg.figures.contact, abs=1e-9)


@given(stances(along=True))
def test_gap_measured_at_the_corners(stance):
    leg = solve_leg(**stance)
    gaps = []
    psi = leg.figures.contact
    normal = (math.sin(psi), -math.cos(psi))
    for u, v in itertools.product((0.5, -0.5), repeat=2):
        _, top = edge_points(leg, u * leg.width, v * leg.depth, True)
        # From the corner along the face's normal inward to the round.
        a, b = top[1], top[2]
        p = a * normal[0] + b * normal[1]
        gaps.append(p - math.sqrt(p * p - (a * a + b * b - leg.radius**2)))
    assert leg.gap == pytest.approx(max(gaps), abs=1e-9)


@given(stances(along=True), st.floats(0.1, 20.0))
def test_scale(stance, scale):
    one = solve_leg(**stance)
    sized = {k: v * (scale if k in ("radius", "width", "depth", "height") else 1.0) for k, v in stance.items()}
    big = solve_leg(**sized)
    for name in ("gap", "around", "face_length", "miss"):
        assert getattr(big, name) == pytest.approx(scale * getattr(one, name), rel=1e-6, abs=1e-12)
    assert big.coped.long_point == pytest.approx(scale * one.coped.long_point, rel=1e-9)
    assert big.top_cut == pytest.approx(one.top_cut, abs=1e-12)


@given(stances(along=True))
def test_mirror(stance):
    """The back leg: spread, contact and lean change sign; leaning the other way along only turns the tilts."""
    one = solve_leg(**stance)
    f = one.figures
    back = solve_leg(
        **(stance | {"contact": -f.contact, "lean": -f.lean}),
    )
    assert back.figures.half_spread == pytest.approx(-f.half_spread, rel=1e-12)
    assert back.coped.long_point == pytest.approx(one.coped.long_point, rel=1e-12)
    assert (back.foot_cut, back.top_cut) == pytest.approx((-one.foot_cut, -one.top_cut), abs=1e-12)
    assert (back.coped.outer, back.coped.inner) == pytest.approx((one.coped.inner, one.coped.outer), rel=1e-12)
    other = solve_leg(**(stance | {"lean_along": -stance["lean_along"]}))
    assert other.coped.long_point == pytest.approx(one.coped.long_point, rel=1e-12)
    assert other.foot_tilt == pytest.approx(-one.foot_tilt, abs=1e-12)


@given(stances())
def test_sensitivity_by_solving_again(stance):
    leg = solve_leg(**stance)
    f = leg.figures
    assume(abs(leg.miss) < 0.7 * leg.radius and f.contact < 0.8)
    _, at_foot, up_long, up_radius = sensitivity(leg, TAPE).values()
    sizes = {k: stance[k] for k in ("radius", "width", "depth")}
    # Slips a hundredth of the stated ones, so that only the first order is left.
    longer = solve_leg(**sizes, half_spread=f.half_spread, lean=f.lean, length=f.length + INCH / 1600)
    assert (longer.figures.height - f.height) * 100 == pytest.approx(up_long, rel=2e-2)
    more = solve_leg(
        **(sizes | {"radius": leg.radius + INCH / 800}), half_spread=f.half_spread, lean=f.lean, length=f.length
    )
    assert (more.figures.height - f.height) * 100 == pytest.approx(up_radius, rel=2e-2)
    leaned = solve_leg(**sizes, contact=f.contact, height=f.height, lean=f.lean + 0.005 * DEG)
    assert (leaned.figures.half_spread - f.half_spread) * 100 == pytest.approx(at_foot, rel=2e-2)


def test_parallelogram_is_not_rolled():
    """Contact nearer the bottom line than the lean: the top cut turns over."""
    leg = solve_leg(radius=R, width=2 * INCH, depth=2 * INCH, contact=10 * DEG, lean=25 * DEG, height=35 * INCH)
    assert leg.top_cut < 0.0 < leg.foot_cut
    assert not leg.roll


def test_turned_square_to_the_skin_the_top_is_a_plain_mitre():
    leg = worked(lean_along=8 * DEG, turn="square to skin")
    assert leg.top_tilt == pytest.approx(0.0, abs=1e-12)
    assert abs(leg.foot_tilt) > 1 * DEG
    plain = worked(turn="square to skin")
    assert plain.coped.long_point == pytest.approx(worked().coped.long_point, rel=1e-12)


def test_pipe_leg():
    leg = worked(section="round")
    assert leg.coped.long_point == pytest.approx(worked().coped.long_point, rel=1e-9)  # its longest side is the outer
    wrap = leg.wrap()
    assert wrap.depth == pytest.approx(max(s.reach for s in wrap.steps) - min(s.reach for s in wrap.steps), rel=2e-2)
    # 16 steps: at step 0 the pipe is as long as the outer side, at half way as the inner.
    outer, inner = (leg.cope_end.reach(s * 1.5 * INCH, 0.0) for s in (1, -1))
    assert wrap.steps[0].reach == pytest.approx(-outer)
    assert wrap.steps[8].reach == pytest.approx(-inner)


def test_a_fourth_figure_is_checked():
    leg = worked(lean=11.3 * DEG)
    assert leg.checks["lean"] / DEG == pytest.approx(11.3 - 11.292, abs=1e-3)
    assert worked().checks == {}


def refused(**given_):
    with pytest.raises(LayoutError) as caught:
        solve_leg(radius=R, width=3 * INCH, depth=3 * INCH, **given_)
    return str(caught.value)


def test_leg_that_misses_the_shell():
    text = refused(half_spread=24 * INCH, lean=5 * DEG, height=35 * INCH)
    assert 'passes 20-7/8" from vessel centre and the skin is at 15-1/16"' in text
    assert "Lean it 20 or more, or bring the foot in." in text
    solve_leg(radius=R, width=3 * INCH, depth=3 * INCH, half_spread=24 * INCH, lean=20 * DEG, height=35 * INCH)


def test_top_that_cannot_be_cut():
    text = refused(contact=75 * DEG, half_spread=20 * INCH, height=35 * INCH)
    assert "cannot be cut: 65.0° off square" in text
    assert "the saw stops at 60°" in text
    assert '(15-1/8" out, skin at 15-1/16")' in text
    assert "Contact at 50 gives top 31.5°, lean 18.5°." in text


@pytest.mark.parametrize(
    ("given_", "word"),
    [
        ({"contact": 45 * DEG, "height": 35 * INCH}, "three figures"),
        ({"contact": 45 * DEG, "half_spread": 15 * INCH, "height": 10 * INCH}, "no room"),
        ({"contact": 45 * DEG, "half_spread": 15 * INCH, "length": 3 * INCH}, "does not reach"),
        ({"half_spread": 15 * INCH, "height": 35 * INCH, "length": 10 * INCH}, "does not reach"),
        ({"half_spread": 15 * INCH, "height": 35 * INCH, "length": 50 * INCH}, "runs past"),
        ({"half_spread": 15 * INCH, "height": 12 * INCH, "length": 50 * INCH}, "through the vessel|no room|runs past"),
        ({"lean": 0.1, "height": 35 * INCH, "length": 60 * INCH}, "lower half"),
        ({"contact": 45 * DEG, "half_spread": 15 * INCH, "lean": -0.2}, "never comes"),
        ({"half_spread": 40 * INCH, "lean": 0.1, "length": 20 * INCH}, "misses"),
        ({"contact": 0.2, "half_spread": 4 * INCH, "height": 15.2 * INCH}, "cross inside|cannot be cut"),
        ({"contact": math.nan, "half_spread": 4 * INCH, "height": 1.0}, "not a size"),
        ({"contact": 45 * DEG, "lean": 0.2, "height": 1.0, "lean_along": 1.2}, "stops at|cross|beside"),
    ],
)
def test_refusals_speak_plainly(given_, word):
    with pytest.raises(LayoutError, match=word):
        solve_leg(radius=R, width=3 * INCH, depth=3 * INCH, **given_)


@given(
    st.floats(0.1, 1.5),
    st.dictionaries(st.sampled_from(FIGURES), st.floats(-2.0, 3.0), min_size=0, max_size=5),
    st.floats(-1.0, 1.0),
)
def test_only_our_own_errors(radius, given_, along):
    try:
        leg = solve_leg(radius=radius, width=0.05, depth=0.08, lean_along=along, **given_)
    except LayoutError:
        return
    assert leg.coped.long_point >= leg.figures.length - 0.3
    assert abs(leg.top_cut) <= 60.0 * DEG + 1e-9
