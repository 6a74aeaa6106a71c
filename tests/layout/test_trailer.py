"""The trailer: tongue weight, place of the axle, tongue, springs, fenders.

Tongue = W (axle - c.g.) / (axle - coupler): trade notes B12 (moments about the axle; the worked figures are the notes'
own). 10 to 15 % on the hitch: makers' towing instructions. 102 in: 23 CFR 658.15.
"""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.layout.trailer import frame_refused, square, tongue_share
from pitwright.masses import Balance, combine, placed_mass
from pitwright.tape import INCH, LB
from workbench import codes, found, job, merged

TRAILER = {
    "order": {"grate_height": "44", "base": "trailer"},
    "proportions": {"firebox": {"size": "20", "floor_clear": "3"}, "trailer": {"road_clear": "6"}},
}


def towed(changes: dict | None = None) -> Pit:
    return solve(job(merged(TRAILER, changes or {})))


def test_worked_tongue_of_1800_lb():
    """1,800 lb, 150 in to the coupler, c.g. 18 ahead of the axle: 216 lb, 12 %; 300 lb of wood 60 ahead: 16 % of 2,100."""
    base = towed().base
    ball = base.tongue.coupler[0]
    axle = sum(a.x for a in base.axles) / len(base.axles)
    reach = (ball - axle) / (150.0 * INCH)  # the notes' lengths scaled to this trailer

    def state(*loads):
        mass = sum(m for m, _ in loads)
        x = sum(m * (axle + ahead * INCH * reach) for m, ahead in loads) / mass
        return Balance(mass=mass * LB, centre=(x, 0.0, 1.0))

    assert tongue_share(base, state((1800, 18))) * 1800 == pytest.approx(216)
    full = tongue_share(base, state((1800, 18), (300, 60)))
    assert full * 2100 == pytest.approx(216 + 120)
    assert full == pytest.approx(0.16)


@pytest.mark.parametrize("share", [0.10, 0.12, 0.125, 0.15])
@pytest.mark.parametrize("end", ["stack", "fire"])
@pytest.mark.parametrize("hand", ["left", "right"])
def test_the_hitch_carries_what_was_ordered(share, end, hand):
    pit = towed(
        {"order": {"tongue_share": share, "firebox_side": hand}, "proportions": {"trailer": {"tongue_end": end}}}
    )
    # Moments of the finished pit about its axle, from its own balance: nothing here knows how the axle was found.
    loaded = pit.balance["loaded"]
    axle = sum(a.x for a in pit.base.axles) / len(pit.base.axles)
    force = loaded.mass * (loaded.centre[0] - axle) / (pit.base.tongue.coupler[0] - axle)
    assert force / loaded.mass == pytest.approx(share, abs=1e-6)


def test_the_balance_holds_every_piece():
    pit = towed()
    whole = combine(m for part in pit.parts for m in placed_mass(part))
    empty = pit.balance["empty"]
    assert empty.mass == pytest.approx(whole.mass * 1.04)
    assert empty.centre[0] == pytest.approx(whole.centre[0], abs=1e-9)
    names = {p.name for p in pit.parts if p.group == "base"}
    assert names >= {
        "rail", "cross member", "tongue beam", "coupler", "tongue jack", "safety chain", "tail light", "plate bracket",
        "wiring", "axle", "wheel and tyre", "leaf spring", "spring hanger", "fender back", "fender top", "fender end",
    }  # fmt: skip
    assert all(placed_mass(p)[0].mass > 0.0 for p in pit.parts)


@settings(max_examples=15, deadline=None)
@given(st.floats(20.0, 70.0), st.floats(1.0, 12.0))
def test_an_axle_further_back_raises_the_tongue(station, more):
    def share(at):
        return float(towed({"override": {"trailer.axle": f"{at!r} in"}}).reasons["trailer.share.loaded"].value)

    assert share(station + more) > share(station)


@pytest.mark.parametrize("count", [1, 2])
def test_axles_springs_and_tyres_stand_clear(count):
    pit = towed({"proportions": {"trailer": {"axles": count}}})
    base = pit.base
    assert len(base.axles) == count
    gap = draw = 33.0 * INCH
    if count == 2:
        gap = base.axles[0].x - base.axles[1].x
        assert gap == pytest.approx(draw)
        assert gap > 2.0 * base.axles[0].radius
        assert base.axles[0].hangers[1] > base.axles[1].hangers[0]
    for axle in base.axles:
        assert axle.track / 2.0 - axle.width / 2.0 > base.rails_outside / 2.0
        assert axle.fender > axle.track / 2.0 + axle.width / 2.0
        assert base.rail_x0 < min(axle.hangers) < max(axle.hangers) < base.rail_x1
    assert [p.quantity for p in pit.parts if p.name == "wheel and tyre"] == [2 * count]
    # Rail underside: half the tyre, less the drop, plus the ride (13-1/2 - 4 + 6).
    assert base.floor_gap / INCH == pytest.approx(15.5)


def test_a_heavy_pit_gets_two_axles():
    assert len(towed().base.axles) == 1
    heavy = towed({"vessel": {"around": "131", "wall": "3/8", "length": "150"}, "order": {"grate_height": "50"}})
    assert heavy.balance["loaded"].mass > 3500 * LB
    assert len(heavy.base.axles) == 2


def test_both_ends_of_an_axle_are_as_far_from_the_ball():
    base = towed({"proportions": {"trailer": {"axles": 2}}}).base
    for i, axle in enumerate(base.axles):
        for side in (1.0, -1.0):
            reach = math.dist(base.tongue.coupler[:2], (axle.x, side * axle.track / 2.0))
            assert square(base, i) == pytest.approx(reach)


@pytest.mark.parametrize("kind", ["a-frame", "straight"])
def test_the_tongue_meets_coupler_and_frame(kind):
    pit = towed({"proportions": {"trailer": {"tongue": kind}}})
    base, tongue = pit.base, pit.base.tongue
    (beam,) = [p for p in pit.parts if p.name == "tongue beam"]
    assert beam.quantity == (2 if kind == "a-frame" else 1)
    assert beam.handed[1] == 0  # both beams are one piece, one of them turned half round
    for at in beam.placements:
        tip = at.point((beam.shape.x1, 0.0, 0.0))
        assert tongue.coupler[0] - tip[0] == pytest.approx(8.0 * INCH)
        root = at.point((0.0, 0.0, 0.0))
        assert min(math.dist(root[:2], r[:2]) for r in tongue.roots) < 2.5 * INCH
    if kind == "a-frame":
        a, b = (at.point((beam.shape.x1, 0.0, 0.0))[1] for at in beam.placements)
        assert a == pytest.approx(-b)
        # Side by side at the nose: half the section, along its slant.
        assert a == pytest.approx(1.5 * INCH / math.cos(float(pit.reasons["trailer.tongue_angle"].value)))
        # Its top lies against the rails' underside.
        assert at.origin[2] + tongue.beam.height / 2.0 == pytest.approx(base.floor_gap)


def test_the_hitch_height_is_the_orders():
    low = towed({"order": {"hitch_height": "30"}})
    assert low.base.tongue.coupler[2] / INCH == pytest.approx(30)
    assert "nose up or nose down" in found(low.findings, "trailer.hitch").text
    assert "trailer.hitch" not in codes(towed().findings)


def test_wider_than_the_road_allows():
    wide = towed({"proportions": {"base": {"rails_outside": "70"}, "trailer": {"tyre_width": "14"}}})
    assert found(wide.findings, "trailer.wide").severity == "warn"
    assert "102" in found(wide.findings, "trailer.wide").text or "8'" in found(wide.findings, "trailer.wide").text
    assert float(wide.reasons["trailer.width"].value) == pytest.approx(2.0 * wide.base.axles[0].fender)


def test_no_frame_sheet_outside_8_to_18():
    good = towed()
    assert not frame_refused(good.base, good.balance)
    bad = towed({"override": {"trailer.axle": "31"}})
    assert frame_refused(bad.base, bad.balance)


def test_springs_without_room_are_refused():
    with pytest.raises(LayoutError, match="no room for springs") as caught:
        towed({"proportions": {"trailer": {"ride": "2 1/2", "axle_drop": "0"}}})
    assert caught.value.field == "proportions.trailer.ride"
    with pytest.raises(LayoutError, match="tyre on tyre"):
        towed({"proportions": {"trailer": {"axles": 2, "axle_gap": "26"}}})


def test_fender_plates_keep_off_the_tyre():
    pit = towed({"proportions": {"trailer": {"axles": 2}}})
    radius = pit.base.axles[0].radius
    for part in pit.parts:
        if part.name not in ("fender top", "fender end"):
            continue
        x0, _, x1, _ = part.shape.outline.bounds()
        for at, share in itertools.product(part.placements, (0.0, 0.25, 0.5, 0.75, 1.0)):
            x, _, z = at.point((x0 + (x1 - x0) * share, 0.0, 0.0))
            for axle in pit.base.axles:
                assert math.hypot(x - axle.x, z - radius) >= radius + 3.0 * INCH - 1e-6


def test_a_water_tank_over_the_tongue_moves_the_axle_to_it():
    """The hitch still carries what was ordered with the tank aboard; the tongue without it is told, not guessed."""
    tank = {"name": "water tank", "mass": "210 lb", "station": "-20", "height": "40"}
    plain, pit = towed(), towed({"order": {"carried": [tank]}})
    before, after = (sum(a.x for a in p.base.axles) / len(p.base.axles) for p in (plain, pit))
    assert (after - before) * pit.base.tongue.end > 0.0
    assert tongue_share(pit.base, pit.balance["loaded"]) == pytest.approx(pit.base.tongue.wanted, abs=1e-3)
    shares = [tongue_share(pit.base, pit.balance[s]) for s in ("empty", "carrying", "loaded")]
    assert shares[0] < shares[1]
    assert {"trailer.share.carrying", "trailer.tongue.carrying"} <= set(pit.reasons)
