"""The skid: rails, cross members, pockets, eyes, and the figures that prove it square.

Worked figures of the trade notes (common practice, no source): rails 120 long, 34 outside, 31 between centres.
"""

import dataclasses
import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.layout.base_sizes import base_sizes
from pitwright.layout.cross_members import Borne
from pitwright.layout.model import Opening
from pitwright.layout.skid import check_pockets, lay_out_skid, skew
from pitwright.masses import combine, mass_of, placed_mass
from pitwright.saw import saw_cut
from pitwright.tape import INCH
from workbench import codes, found, upper

BASE = {"rails_outside": "34"}


def laid(base=None, borne=None, override=None, firebox=None, before=None):
    made = upper({"proportions": {"base": BASE | (base or {})}, "override": override or {}})
    vessel = made.vessel
    sizes = base_sizes(made.draft, vessel.outer_radius, vessel.length)
    box = made.firebox if firebox is None else firebox(made.firebox)
    sets = borne or [
        Borne(name="A", x=vessel.x_at(8 * INCH), foot_y=15.5 * INCH, tied=12 * INCH),
        Borne(name="B", x=vessel.x_at(76 * INCH), foot_y=15.5 * INCH, tied=12 * INCH),
    ]
    if before is not None:
        before(made.draft)
    return made.draft, vessel, sizes, lay_out_skid(made.draft, vessel, box, sizes, sets), box


def test_worked_base():
    draft, vessel, sizes, base, _ = laid(override={"base.rail_stack_end": "-6", "base.rail_fire_end": "114"})
    assert (base.rail_x1 - base.rail_x0) / INCH == pytest.approx(120)
    assert draft.tape.fine(base.diagonal) == '124-23/32"'
    assert draft.tape.fine(base.feet_diagonal) == '74-23/32"'
    assert 2 * base.rail_y / INCH == pytest.approx(31)
    assert {round(c.length / INCH, 6) for c in base.crosses} == {28.0}
    # 1/8 between the diagonals is 1/16 of skew.
    assert draft.tape.length(draft.ledger.value("base.skew")) == '1/16"'
    assert vessel.station(base.rail_x1) / INCH == pytest.approx(-6)
    assert sizes.rail_top / INCH == pytest.approx(3)


@given(st.floats(1.0, 5.0), st.floats(0.3, 1.5), st.floats(0.0001, 0.01))
def test_skew_against_a_pushed_frame(length, width, ahead):
    """A frame whose one rail runs ahead: its two diagonals measured as points."""
    long, short = math.hypot(length + ahead, width), math.hypot(length - ahead, width)
    assert skew(long - short, math.hypot(length, width), length) == pytest.approx(ahead, rel=1e-3)


def test_every_set_is_tied_and_no_cross_stands_in_a_pocket():
    for middle in range(20, 80, 3):
        draft, _, sizes, base, _ = laid(override={"base.pocket_middle": str(middle)})
        for x in base.pockets:
            for cross in base.crosses:
                gap = abs(cross.x - x) - (sizes.pocket.width + sizes.cross.width) / 2
                assert gap >= 0.5 * INCH - 1e-9
        xs = sorted(c.x for c in base.crosses)
        assert all(b - a > sizes.cross.width for a, b in itertools.pairwise(xs))
        if "base.cross_reach" not in codes(draft.findings):
            for at in (8, 76):
                assert min(abs(base_x - draft_x) for base_x in xs for draft_x in [(84 - at) * INCH]) <= 12 * INCH + 1e-9
        if "base.long_bay" not in codes(draft.findings):
            assert max(b - a for a, b in itertools.pairwise(xs)) <= 48 * INCH + 1e-6


def test_a_cross_member_gives_way_to_a_pocket_and_says_so():
    draft, vessel, _, base, _ = laid(override={"base.pocket_middle": "62"})  # a pocket at 76, over set B's cross member
    moved = found([f for f in draft.findings if "set B" in f.text], "base.cross_moved")
    assert "fork pocket" in moved.text
    near = min(base.crosses, key=lambda c: abs(vessel.station(c.x) - 76 * INCH))
    assert abs(vessel.station(near.x) - 76 * INCH) / INCH == pytest.approx(5.5)  # half of 7 and 3, and 1/2 clear


def test_pocket_too_wide_to_step_round():
    draft, _, _, _, _ = laid(
        override={"base.pocket_middle": "62"},
        borne=[
            Borne(name="A", x=76 * INCH, foot_y=15 * INCH, tied=12 * INCH),
            Borne(name="B", x=8 * INCH, foot_y=15 * INCH, tied=2 * INCH),
        ],
    )
    assert "feet can spread" in found(draft.findings, "base.cross_reach").text


def test_pockets_stand_about_the_weight():
    draft, _, sizes, base, _ = laid()
    carried = combine([m for p in draft.parts if p.group != "base" for m in placed_mass(p)])
    assert sum(base.pockets) / 2 == pytest.approx(carried.centre[0], abs=1e-9)
    assert base.pockets[1] - base.pockets[0] == pytest.approx(28 * INCH)
    (pocket,) = [p for p in draft.parts if p.name == "fork pocket"]
    (rail,) = [p for p in draft.parts if p.name == "rail"]
    # The forks' way through both rails: the pockets' own opening, seen along y.
    for where in pocket.placements:
        mouth = where.point((0.0, 0.0, 0.0))
        for rail_at, side in zip(rail.placements, (1.0, -1.0)):
            holes = [rail_at.point(cut.origin) for cut in rail.shape.cuts]
            assert min(math.hypot(h[0] - mouth[0], h[2] - mouth[2]) for h in holes) < 1e-9
            assert rail_at.origin[1] == pytest.approx(side * sizes.rail_y)
    outline = rail.shape.cuts[0].outline
    x0, y0, x1, y1 = outline.bounds()
    assert (x1 - x0, y1 - y0) == pytest.approx(
        (sizes.pocket.width - 2 * sizes.pocket.wall, sizes.pocket.height - 2 * sizes.pocket.wall)
    )


def test_weight_off_the_pockets_is_told():
    draft, vessel, _, base, _ = laid()
    middle = sum(base.pockets) / 2
    check_pockets(draft, vessel, base, middle + INCH)
    assert "base.pockets_off" not in codes(draft.findings)
    check_pockets(draft, vessel, base, middle - 5 * INCH)
    off = found(draft.findings, "base.pockets_off")
    assert off.severity == "warn"
    assert "fire end" in off.text
    other, vessel, _, base, _ = laid()
    check_pockets(other, vessel, base, middle + 20 * INCH)
    assert found(other.findings, "base.pockets_off").severity == "stop"


def test_tall_pockets_are_left_out():
    draft, _, _, base, _ = laid({"rail": "2 x 2 x 3/16 tube", "cross": "2 x 2 x 3/16 tube"})
    assert base.pockets == ()
    assert "base.pocket_tall" in codes(draft.findings)


def test_rails_reach_under_the_firebox_or_say_why_not():
    _, _, _, base, box = laid()
    assert base.rail_x0 == pytest.approx(box.x0)
    low, vessel, _, base, box = laid(
        firebox=lambda f: dataclasses.replace(f, centre_z=12 * INCH, width=36 * INCH, height=36 * INCH)
    )
    assert base.rail_x0 >= box.x1
    assert base.rail_x0 < vessel.x_at(76 * INCH)
    assert "hangs on the throat plate" in found(low.findings, "base.firebox_hangs").text


def test_rail_shorter_than_its_legs_is_told():
    draft, _, _, _, _ = laid(override={"base.rail_stack_end": "12"})
    assert found(draft.findings, "base.rail_short").severity == "stop"
    with pytest.raises(LayoutError, match="no rail between"):
        laid(override={"base.rail_stack_end": "114", "base.rail_fire_end": "114"})


def test_raked_ends():
    draft, _, sizes, base, _ = laid({"end_cut": "30", "pockets": False})
    (rail,) = [p for p in draft.parts if p.name == "rail"]
    cut = saw_cut(rail.shape)
    assert cut.long_point == pytest.approx(base.rail_x1 - base.rail_x0)
    assert cut.short_point == pytest.approx(cut.long_point - 2 * sizes.rail.height * math.tan(math.radians(30)))
    assert (cut.face, cut.roll) == ("top", True)
    assert math.degrees(cut.start.mitre) == pytest.approx(30)
    # Mean length x weight per length (closed form for a plane-ended bar).
    assert mass_of(rail).mass == pytest.approx(
        sizes.rail.mass_per_length * (cut.long_point + cut.short_point) / 2, rel=1e-6
    )


def test_cross_members_keep_off_the_drain():
    def drain(draft):
        draft.openings[:] = [o for o in draft.openings if o.name != "drain"]
        points = ((76 * INCH - 0.02, 0.0), (76 * INCH + 0.02, 0.0))
        draft.openings.append(Opening(name="drain", on="shell", outline=points, area=1e-3))

    draft, _, sizes, base, _ = laid(before=drain)
    for cross in base.crosses:
        assert abs(cross.x - 76 * INCH) >= sizes.cross.width / 2 + 2 * INCH
    assert "drain" in found([f for f in draft.findings if "set A" in f.text], "base.cross_moved").text


def test_eyes_stand_on_the_rail_ends():
    draft, _, sizes, base, _ = laid()
    (eye,) = [p for p in draft.parts if p.name == "drag eye"]
    assert eye.quantity == 4
    assert eye.handed == (4, 0)
    x0, y0, x1, y1 = eye.shape.outline.bounds()
    for where in eye.placements:
        root, tip = where.point((x0, 0.0, 0.0)), where.point((x1, 0.0, 0.0))
        end = base.rail_x1 if where.where == "stack end" else base.rail_x0
        assert root[0] == pytest.approx(end)
        assert abs(tip[0] - end) == pytest.approx(3 * INCH)
        middle = where.point((0.0, 0.0, eye.shape.thickness / 2))
        assert abs(middle[1]) == pytest.approx(base.rail_y)
        assert where.point((0.0, y1, 0.0))[2] == pytest.approx(sizes.rail_top)
        assert where.point((0.0, y0, 0.0))[2] == pytest.approx(0.0, abs=1e-12)


def test_channel_rails_turn_their_backs_out():
    draft, _, _, _, _ = laid({"rail": "C4x5.4", "cross": "2 x 2 x 3/16 tube", "pockets": False})
    (rail,) = [p for p in draft.parts if p.name == "rail"]
    assert rail.handed == (1, 1)
    for where, side in zip(rail.placements, (1.0, -1.0)):
        back = where.point((0.0, rail.shape.profile.width / 2, 0.0))
        assert side * back[1] > side * where.origin[1]


def test_measured_rails_win():
    made = upper({"measured": {"rail_top": "3 1/4", "rails_outside": "34 1/8"}})
    sizes = base_sizes(made.draft, made.vessel.outer_radius, made.vessel.length)
    assert sizes.rail_top / INCH == pytest.approx(3.25)
    assert sizes.floor_gap / INCH == pytest.approx(0.25)
    assert sizes.rails_outside / INCH == pytest.approx(34.125)
    with pytest.raises(LayoutError, match="between them"):
        base_sizes(upper({"proportions": {"base": {"rails_outside": "8"}}}).draft, 0.4, 2.0)
