"""Leg sets in the pit: where they stand, how they are cut, their pieces in place, what is said about them."""

import dataclasses
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.errors import JobError, LayoutError
from pitwright.layout.base import contact_zones
from pitwright.layout.base_sizes import base_sizes
from pitwright.layout.legs import lay_out_legs, plan_legs
from pitwright.layout.model import KeepOut
from pitwright.masses import mass_of
from pitwright.parts import CylinderCut, PlaneCut, Shell
from pitwright.saw import corners, saw_cut
from pitwright.tape import INCH
from workbench import codes, degrees, draft_of, found, upper

# The worked base of the trade notes: 3 in legs whose feet stand 31 apart under a vessel 94-1/2 around.
LEGS = {"profile": "3 x 3 x 3/16 tube", "clock": "45"}
BASE = {"rails_outside": "34"}


def stood(legs=None, override=None, vessel=None, **job):
    """(draft, vessel, sizes, leg sets) of the worked pit with the legs' rules changed."""
    changes = {"proportions": {"legs": LEGS | (legs or {}), "base": BASE}, **job}
    over = {} if override is None else override
    made = upper(changes | {"override": over})
    place = made.vessel if vessel is None else vessel(made.vessel)
    sizes = base_sizes(made.draft, place.outer_radius, place.length)
    return made.draft, place, sizes, lay_out_legs(made.draft, place, sizes, made.firebox)


def parts_named(draft, word):
    return [p for p in draft.parts if word in p.name]


def test_worked_legs():
    """Foot spread set to the worked 15-1/2: lean 11.3, top 33.7, long 26-1/8, short 23-9/16 (common practice, no source)."""
    draft, vessel, _, sets = stood(override={"legs.A.half_spread": "15 1/2", "legs.B.half_spread": "15 1/2"})
    assert [s.name for s in sets] == ["A", "B"]
    for leg_set in sets:
        for leg in leg_set.legs:
            assert degrees(leg.lean) == pytest.approx(11.3, abs=0.05)
            assert degrees(leg.top_cut) == pytest.approx(33.7, abs=0.05)
            assert draft.tape.length(leg.long_point) == '26-1/8"'
            assert draft.tape.length(leg.short_point) == '23-9/16"'
            assert leg.roll
            assert leg.end == "straight"
    # Half the radius in from each seam: the worked 8 and 76 are this rule rounded to the half inch.
    assert vessel.station(sets[0].x) == pytest.approx(vessel.outer_radius / 2)
    assert vessel.station(sets[1].x) == pytest.approx(vessel.length - vessel.outer_radius / 2)
    assert "add it to the fillet" in found(draft.findings, "legs.gap").text
    assert "56.3°" in found(draft.findings, "legs.tight").text


def test_seed_legs_of_a_41_inch_vessel():
    """The trade's own case (common practice, no source): 2 in square legs set in 1 in from the outer edge of rails under
    the side lines, meeting the shell 4 in in-board, about 22 long: about 95 at the foot and 140 at the shell."""
    draft, vessel, _, sets = stood(
        {"profile": "2 x 2 x 3/16 tube", "clock": None, "inboard": "4", "set_in": "1"},
        vessel=lambda v: dataclasses.replace(v, outer_radius=20.5 * INCH, centre_z=37.0 * INCH),
        override={"base.rails_outside": "41"},
    )
    leg = sets[0].legs[0]
    assert leg.centre_length / INCH == pytest.approx(22.0, abs=0.25)
    assert degrees(leg.angle_foot) == pytest.approx(95.0, abs=2.5)
    assert degrees(leg.angle_shell) == pytest.approx(140.0, abs=2.5)
    # The outer face stands one inch in from the rail's edge at the foot.
    assert leg.foot_y + 1.0 * INCH / math.cos(leg.lean) == pytest.approx(19.5 * INCH, abs=1e-12)
    assert vessel.outer_radius * math.sin(leg.contact) == pytest.approx(16.5 * INCH, abs=1e-12)
    assert draft.ledger.value("legs.A.inboard") == pytest.approx(4 * INCH)


WAYS = [
    {"clock": "45"},
    {"clock": None, "inboard": "5"},
    {"clock": None, "lean": "9"},
    {"clock": None, "length": "25"},
]


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(
    "extra", [{}, {"end": "coped"}, {"lean_along": "7"}, {"lean_along": "7", "turn": "square to skin"}]
)
@pytest.mark.parametrize("profile", ["3 x 2 x 1/4 tube", "2-1/2 sch 40 pipe"])
def test_every_leg_touches_the_shell_and_stands_on_its_rail(way, extra, profile):
    """Placed pieces, measured as points: the foot lies in the rail's top, the top end on the skin, both sides mirrored."""
    draft, vessel, sizes, sets = stood({**way, **extra, "profile": profile, "pads": "never"})
    for part in parts_named(draft, "leg, set"):
        assert part.quantity == 2
        bar, size = part.shape, part.shape.profile
        points = corners(size) or tuple(
            (size.width / 2 * math.cos(a), size.width / 2 * math.sin(a)) for a in (0.0, 1.0, 2.0, 3.0, 4.0, 5.0)
        )
        for where in part.placements:
            for y, z in points:
                foot = where.point((_on_plane(bar.start, y, z), y, z))
                assert foot[2] == pytest.approx(sizes.rail_top, abs=1e-9)
            if isinstance(bar.finish, CylinderCut):
                for y, z in points:
                    top = where.point((_on_round(bar.finish, y, z), y, z))
                    assert math.hypot(top[1], top[2] - vessel.centre_z) == pytest.approx(vessel.outer_radius, abs=1e-9)
            else:
                top = where.point((bar.x1, 0.0, 0.0))
                assert math.hypot(top[1], top[2] - vessel.centre_z) == pytest.approx(vessel.outer_radius, abs=1e-9)
                out = where.direction(bar.finish.normal)
                facing = (0.0, -top[1] / vessel.outer_radius, (vessel.centre_z - top[2]) / vessel.outer_radius)
                assert out == pytest.approx(facing, abs=1e-9)
        # Both legs are each other's mirror image across the pit's middle.
        one, other = part.placements
        for y, z in points:
            a = one.point((0.3, y, z))
            images = [other.point((0.3, y * s, z)) for s in (1.0, -1.0)]
            assert min(math.dist((a[0], -a[1], a[2]), i) for i in images) < 1e-12
        plain = "lean_along" not in extra
        assert part.handed == ((2, 0) if plain else (1, 1))
    for leg_set in sets:
        made = next(p for p in draft.parts if p.name == f"leg, set {leg_set.name}")
        cut = saw_cut(made.shape)
        assert leg_set.legs[0].long_point == cut.long_point
        assert leg_set.legs[0].short_point == cut.short_point
        if leg_set.legs[0].end == "straight":
            assert cut.long_point == pytest.approx(leg_set.legs[0].straight_long, abs=1e-12)
            assert cut.short_point == pytest.approx(leg_set.legs[0].straight_short, abs=1e-12)
        assert cut.roll == leg_set.legs[0].roll or "pipe" in profile
        assert cut.start.mitre == pytest.approx(leg_set.legs[0].foot_cut, abs=1e-12)
    tops = [s.x - s.legs[0].x for s in sets]
    if "lean_along" in extra:  # tops towards the middle
        assert tops[0] < 0.0 < tops[1]
    else:
        assert tops == pytest.approx([0.0, 0.0], abs=1e-12)


def _on_plane(cut, y, z):
    assert isinstance(cut, PlaneCut)
    n, p = cut.normal, cut.point
    return p[0] - (n[1] * (y - p[1]) + n[2] * (z - p[2])) / n[0]


def _on_round(cut, y, z):
    """First meeting of a line along the bar with the cylinder, by bisection from well before it."""

    def off(x):
        d = (x - cut.point[0], y - cut.point[1], z - cut.point[2])
        s = sum(a * b for a, b in zip(d, cut.axis))
        return math.sqrt(sum(a * a for a in d) - s * s) - cut.radius

    lo, hi = 0.0, cut.point[0]
    for _ in range(80):
        mid = (lo + hi) / 2
        lo, hi = (mid, hi) if off(mid) > 0 else (lo, mid)
    return hi


@settings(max_examples=40)
@given(
    st.floats(34.0, 44.0), st.floats(25.0, 70.0), st.floats(20.0, 40.0), st.sampled_from(["straight", "coped", "auto"])
)
def test_promised_height_is_met_exactly(grate, clock, spread, end):
    """Rail top, up the leg, to the skin, to the vessel's centre: the height the grate wants."""
    draft = draft_of(
        {
            "order": {"grate_height": f"{grate} in"},
            "proportions": {"legs": {"clock": f"{clock}", "end": end}, "base": {"rails_outside": f"{spread} in"}},
        }
    )
    vessel = upper().vessel
    vessel = dataclasses.replace(vessel, centre_z=grate * INCH + INCH)
    sizes = base_sizes(draft, vessel.outer_radius, vessel.length)
    try:
        planned = plan_legs(draft, vessel, sizes, None)
    except LayoutError:
        return
    for one in planned:
        for leg in one.legs:
            rise = leg.solved.figures.length * math.cos(leg.solved.figures.lean)
            centre = sizes.rail_top + rise + vessel.outer_radius * math.cos(leg.contact)
            assert centre == pytest.approx(vessel.centre_z, abs=1e-12)


def test_legs_coped_where_the_gap_is_wide():
    draft, _, _, sets = stood(
        {"profile": "4 x 4 x 1/4 tube"}, vessel=lambda v: dataclasses.replace(v, outer_radius=10 * INCH)
    )
    assert sets[0].legs[0].end == "coped"
    assert "legs.gap" not in codes(draft.findings)
    forced, _, _, _ = stood(
        {"profile": "4 x 4 x 1/4 tube", "end": "straight"},
        vessel=lambda v: dataclasses.replace(v, outer_radius=10 * INCH),
    )
    assert found(forced.findings, "legs.gap").severity == "warn"


def test_pads_are_part_of_the_skin():
    draft, vessel, sizes, sets = stood({"pads": "always"})
    (pad,) = parts_named(draft, "leg pad")
    assert isinstance(pad.shape, Shell)
    assert pad.quantity == 4
    thick = pad.shape.wall
    leg = next(p for p in draft.parts if p.name == "leg, set A")
    for where, pad_at in zip(leg.placements, [p for p in pad.placements if p.where.startswith("leg A")]):
        top = where.point((leg.shape.x1, 0.0, 0.0))
        assert math.hypot(top[1], top[2] - vessel.centre_z) == pytest.approx(vessel.outer_radius + thick, abs=1e-12)
        # The pad's middle lies under the leg's end.
        middle = pad_at.point((pad.shape.length / 2, 0.0, pad.shape.outer_radius))
        assert math.dist(middle, top) < 1e-9
    # Flat blank: neutral line half way through the plate (closed form).
    arc = (vessel.outer_radius + thick / 2) * (pad.shape.clock1 - pad.shape.clock0)
    assert pad.flat.area == pytest.approx(pad.shape.length * arc)
    # Weight = area of the blank x thickness: rolling adds none.
    assert mass_of(pad).mass == pytest.approx(pad.flat.area * thick * pad.density, rel=1e-9)
    assert sets[0].pad_thickness == thick
    assert sizes.rail_top < vessel.centre_z


def test_station_gives_way_to_a_seam():
    """A girth seam half under the leg: it moves to the nearest clear station and says what that cost."""

    def seam_at(x):
        return lambda v: dataclasses.replace(
            v,
            keep_outs=(
                KeepOut(
                    name="girth seam",
                    x0=x - 0.25 * INCH,
                    x1=x + 0.25 * INCH,
                    clock0=-math.pi,
                    clock1=math.pi,
                    clear=2 * INCH,
                ),
            ),
        )

    draft, vessel, _, sets = stood(vessel=seam_at(10 * INCH))  # the fire-end set stands at 7.52
    toe = sets[1].x + 1.5 * INCH
    assert 10 * INCH - 0.25 * INCH - toe == pytest.approx(2 * INCH)
    text = found(draft.findings, "legs.moved").text
    assert "girth seam" in text
    assert "moved" in text
    moved = abs(sets[1].x - vessel.outer_radius / 2)
    assert moved / INCH == pytest.approx(1.27, abs=0.01)
    centred, vessel, _, sets = stood(vessel=seam_at(8 * INCH))  # nearer to stand on it than beside it
    assert sets[1].x == pytest.approx(8 * INCH)
    assert sets[1].relief == pytest.approx(INCH / 8)
    assert "relief" in found(centred.findings, "legs.moved").text
    fixed, _, _, sets = stood(vessel=seam_at(8 * INCH), override={"legs.B.station": "75 1/2"})
    assert sets[1].x == pytest.approx(8.5 * INCH)
    assert "girth seam" in found(fixed.findings, "legs.on_seam").text


def test_a_long_seam_under_the_legs_is_told():
    seam = KeepOut(
        name="long seam", x0=0.0, x1=84 * INCH, clock0=math.radians(134), clock1=math.radians(136), clear=2 * INCH
    )
    draft, _, _, _ = stood(vessel=lambda v: dataclasses.replace(v, keep_outs=(seam,)))
    assert "Turn the vessel" in found(draft.findings, "legs.on_seam").remedy


def test_legs_under_the_firebox():
    draft, vessel, sizes, sets = stood(
        {"sets": [{"from": "stack seam", "by": "1/2 radius"}, {"from": "firebox"}], "profile": "2 x 2 x 1/4 tube"}
    )
    under = sets[1]
    assert under.x < 0.0
    assert "legs.hot" in codes(draft.findings)
    box = upper().firebox
    assert under.height == pytest.approx(box.centre_z - sizes.rail_top)
    part = next(p for p in draft.parts if p.name == "leg, set B")
    top = part.placements[0].point((part.shape.x1, 0.0, 0.0))
    assert math.hypot(top[1], top[2] - box.centre_z) == pytest.approx(box.width / 2, abs=1e-9)
    assert vessel.centre_z > box.centre_z


def test_out_of_round_legs_meet_the_skin_as_it_is():
    """The end of each leg lies on r = R + e cos 2(clock - at), and its cut faces along that curve's own normal."""
    oval, at = 0.2 * INCH, 0.6
    _, vessel, sizes, sets = stood(
        {"clock": None, "lean": "10"}, vessel=lambda v: dataclasses.replace(v, oval=oval, oval_clock=at)
    )
    for leg in sets[0].legs:
        side = 1.0 if leg.side == "working" else -1.0
        y = side * leg.foot_y - leg.centre_length * math.sin(leg.lean)
        z = sizes.rail_top + leg.centre_length * math.cos(leg.lean) - vessel.centre_z
        clock = side * math.atan2(y, z)
        assert math.hypot(y, z) == pytest.approx(vessel.radius_at(clock), abs=1e-9)
        step = 1e-6
        a, b = (
            (vessel.radius_at(c) * math.sin(c), vessel.radius_at(c) * math.cos(c)) for c in (clock - step, clock + step)
        )
        faces = math.atan2(side * (a[1] - b[1]), b[0] - a[0])  # normal of the curve, as a clock from the top
        facing = math.atan2(math.sin(faces), -math.cos(faces))
        assert leg.skin_faces == pytest.approx(abs(facing), abs=2e-3)
        # Tape from the bottom line: the curve walked in small chords.
        n = 4000
        end = math.pi if side > 0 else -math.pi
        walk = 0.0
        last = None
        for i in range(n + 1):
            c = clock + (end - clock) * i / n
            p = (vessel.radius_at(c) * math.sin(c), vessel.radius_at(c) * math.cos(c))
            walk += 0.0 if last is None else math.dist(last, p)
            last = p
        assert leg.around == pytest.approx(walk, abs=oval**2 / vessel.outer_radius * 1.5)  # first order in the oval
    assert sets[0].legs[0].long_point != pytest.approx(sets[0].legs[1].long_point, abs=1e-4)


def test_off_the_rail_is_told():
    draft, _, _, _ = stood({"set_in": "2"})
    assert "inner edge" in found(draft.findings, "legs.off_rail").text


def test_reasons_name_what_they_rest_on():
    draft, _, _, sets = stood()
    reasons = draft.ledger.close()
    lean = reasons["legs.A.lean"]
    assert lean.kind == "solved"
    assert set(lean.rests_on) == {"legs.A.half_spread", "legs.A.height", "legs.A.contact", "vessel.diameter"}
    for name in ("contact", "set_in", "lean_along", "station"):
        assert reasons[f"legs.A.{name}"].kind == "proportion"
    for name in ("half_spread", "around", "top_cut", "foot_cut", "length", "long_point", "short_point", "gap", "end"):
        assert f"legs.A.{name}" in reasons
    assert reasons["legs.A.long_point"].value == sets[0].legs[0].long_point


def test_one_set_may_be_said_another_way():
    _, _, _, sets = stood(override={"legs.B.lean": "15"})
    assert degrees(sets[1].legs[0].lean) == pytest.approx(15.0)
    assert degrees(sets[0].legs[0].contact) == pytest.approx(45.0)


@pytest.mark.parametrize(
    ("legs", "more", "word"),
    [
        ({"profile": "2 x 2 x 1/4 angle"}, {}, "made of tube"),
        ({"clock": None, "inboard": "40"}, {}, "side line"),
        ({"clock": "80"}, {}, "cannot be cut"),
        ({"clock": None, "lean": "-20"}, {}, "misses|cannot be cut"),
        ({"sets": [{"from": "stack seam", "by": "90"}]}, {}, "past the end"),
        ({"sets": [{"from": "vertical middle"}]}, {}, "stand from there"),
        ({}, {"order": {"grate_height": "12"}}, "no room"),
    ],
)
def test_refusals(legs, more, word):
    with pytest.raises(LayoutError, match=word):
        stood(legs, **more)


def test_overrides_have_limits():
    with pytest.raises(JobError, match="out of range"):
        stood(override={"legs.A.contact": "100"})


def test_contact_zones_are_where_the_legs_land():
    made = upper({"proportions": {"legs": LEGS, "base": BASE}})
    zones = {z.name: z for z in contact_zones(made.draft, made.vessel)}
    assert set(zones) == {"leg A working", "leg A back", "leg B working", "leg B back"}
    one, other = zones["leg A working"], zones["leg A back"]
    assert (one.clock0 + one.clock1) / 2 == pytest.approx(math.radians(135))
    assert (one.clock0 + one.clock1) == pytest.approx(-(other.clock0 + other.clock1))
    assert not [f for f in made.draft.findings if f.code.startswith("legs")]


def test_legs_that_meet_are_told():
    draft, _, _, _ = stood({"clock": "4", "set_in": "8"}, override={"base.rails_outside": "30"})
    assert found(draft.findings, "legs.meet").severity == "stop"
    padded, _, _, _ = stood({"clock": "9", "set_in": "8", "pads": "always"}, override={"base.rails_outside": "30"})
    assert found(padded.findings, "legs.meet").severity == "warn"
    assert "smaller pads" in found(padded.findings, "legs.meet").remedy


def test_a_drain_beside_a_leg_is_told():
    made = upper({"proportions": {"legs": LEGS | {"clock": "12", "pads": "always"}, "base": BASE}})
    drain = next(o for o in made.draft.openings if o.name == "drain")
    middle = sum(p[0] for p in drain.outline) / len(drain.outline)
    over = {"legs.A.station": f"{made.vessel.station(middle) / INCH} in"}
    beside, _, _, _ = stood({"clock": "12", "pads": "always"}, override=over)
    assert found(beside.findings, "legs.on_drain").clearance < 1 * INCH
    clear, _, _, _ = stood({"pads": "always"}, override=over)
    assert "legs.on_drain" not in codes(clear.findings)
