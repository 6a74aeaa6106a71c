"""The standing report of whole pits: what it says of lugs, forks, rock, heat, casters, carts, trailers, and that its remedies mend."""

from __future__ import annotations

import dataclasses
import functools
import json
import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import workbench
from pitwright.cli import main
from pitwright.errors import JobError
from pitwright.job.file import job_from, read_toml
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.layout.running import Axle
from pitwright.strength.frame_report import ratios
from pitwright.strength.from_pit import pit_frame
from pitwright.strength.pit_heat import growth_of
from pitwright.strength.pit_lifting import drag_told
from pitwright.strength.pit_road import behind, towing_of
from pitwright.strength.showing import showing
from pitwright.strength.standing import StandReport, stand
from pitwright.tape import FOOT, INCH, LB, STANDARD_GRAVITY

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
LUGS: dict[str, Any] = {"proportions": {"lift": {"lugs": True}}}


def pit(name: str, **changes: Any) -> Pit:
    return solve(job_from(workbench.merged(read_toml(EXAMPLES / f"{name}.toml"), changes), folder=EXAMPLES))


@functools.cache
def plain(name: str) -> Pit:
    return pit(name)


@functools.cache
def on_lugs(name: str) -> Pit:
    return pit(name, **LUGS)


def codes(report: StandReport) -> set[str]:
    return {f.code for f in report.findings}


# ---------------------------------------------------------------- lifting


@pytest.mark.parametrize(
    "name", ["orchard-30", "yard-37", "pipe-24-saddles", "receiver-metric", "reverse-36", "stand-24"]
)
def test_lugs_stand_clear_and_hang_it_level(name: str) -> None:
    """Slings meet over the weight; the frame's own pull in each is that of the lift sheet."""
    found = on_lugs(name)
    report = stand(found, "empty")
    a, b = found.lugs
    weight = found.balance["empty"]
    assert a.x < weight.centre[0] < b.x
    assert not any(f.code == "lift.lug_crowded" for f in found.findings)
    assert report.lifting.on_shell
    upright = sum(k.tension * math.sin(k.angle) for k in report.lifting.slings)
    assert upright == pytest.approx(weight.mass * STANDARD_GRAVITY, rel=1e-9)
    hung = report.reactions["hung on 2 slings"]
    for k in report.lifting.slings:
        assert hung[k.lug] == pytest.approx(k.tension, rel=5e-3)
    level = [k.tension * math.cos(k.angle) for k in report.lifting.slings]
    assert level[0] == pytest.approx(level[1], rel=1e-9)
    assert min(k.angle for k in report.lifting.slings) >= math.radians(44.9)


def test_lugs_are_pieces_with_weight() -> None:
    bare, lugged = plain("yard-37"), on_lugs("yard-37")
    marks = [p for p in lugged.parts if p.group == "lifting"]
    assert sorted((p.name, p.quantity) for p in marks) == [("lifting lug", 2), ("lifting lug pad", 2)]
    assert lugged.balance["empty"].mass > bare.balance["empty"].mass


def test_the_pad_a_lug_is_told_to_have_mends_the_wall() -> None:
    small = {"lugs": True, "pad_size": "6", "pad_around": "4", "pad_thickness": "1/4"}
    before = stand(pit("yard-37", proportions={"lift": small}))
    (told,) = [f for f in before.findings if f.code == "stand.wall" and "lug" in f.text]
    assert before.worst > 1.0
    size = told.remedy.split("Pad ")[1].split(" x ")
    rules = {"lugs": True, "pad_size": size[0], "pad_around": size[1], "pad_thickness": size[2].split(",")[0]}
    after = stand(pit("yard-37", proportions={"lift": rules}))
    assert not any(f.code == "stand.wall" for f in after.findings)
    assert after.worst <= 1.0


def test_a_thin_lug_is_told() -> None:
    report = stand(
        pit("trailer-48", proportions={"lift": {"lugs": True, "width": "2", "hole": "1 1/4", "thickness": "1/4"}})
    )
    assert "lift.lug" in codes(report)


def test_forks_from_the_end_want_long_forks() -> None:
    """The load centre is from the fire door's gear to the weight; the truck loses by it; forks reach a cross member beyond."""
    found = plain("orchard-30")
    ways = {w.way: w for w in stand(found).lifting.forks}
    side, weight = ways["from the side"], found.balance["empty"].centre
    assert side.centre == pytest.approx(found.base.rails_outside / 2.0 - weight[1])
    assert side.reach == pytest.approx(2.0 / 3.0 * found.base.rails_outside)
    end, base, x = ways["from the fire end"], found.base, found.balance["empty"].centre[0]
    assert end.centre == pytest.approx(x - min(base.rail_x0, found.firebox.x0 - 2.0 * INCH))
    assert end.capacity == pytest.approx(5000 * LB * 40 * INCH / (end.centre + 16 * INCH))
    assert end.long_forks
    assert any(c.x > x and c.x - base.rail_x0 <= end.reach for c in base.crosses)
    case = stand(found).solved.cases["long forks from the end"]
    assert case.stands
    assert sum(case.reactions.values()) == pytest.approx(found.balance["loaded"].mass * STANDARD_GRAVITY, rel=1e-6)


# ---------------------------------------------------------------- rock, skew, shims


FEET = ("A working", "A back", "B working", "B back")


def measured(**got: Any) -> StandReport:
    return stand(pit("orchard-30", measured=got))


def test_a_short_leg_is_shimmed() -> None:
    """One sole 3/16 over the line: it rocks, and that foot (or the one across) wants 3/16 or its share."""
    heights = {"A working": "0", "A back": "0", "B working": "3/16", "B back": "0"}
    report = measured(feet=[{"foot": n, "height": h} for n, h in heights.items()])
    assert report.floor.rock is not None
    assert abs(report.floor.rock.winding) / INCH == pytest.approx(3 / 16, abs=1e-6)
    (told,) = [f for f in report.findings if f.code == "stand.rocks"]
    assert '3/16"' in told.remedy
    shims = dict(report.floor.rock.shims)
    raised = [
        {"foot": n, "height": f"{(float(sum_of(h)) - shims.get(full(n), 0.0) / INCH):.6f} in"}
        for n, h in heights.items()
    ]
    again = measured(feet=raised)
    assert not any(f.code == "stand.rocks" for f in again.findings)


def sum_of(text: str) -> float:
    return 3 / 16 if "/" in text else float(text)


def full(name: str) -> str:
    row, side = name.split()
    return f"set {row}, {side}"


@pytest.mark.parametrize(
    "feet",
    [
        [{"foot": "Z working", "height": "0"}, *({"foot": n, "height": "0"} for n in FEET[:3])],
        [{"foot": n, "height": "0"} for n in FEET[:3]],
        [{"foot": "A working", "height": "0"}] * 4,
    ],
)
def test_feet_that_cannot_be(feet: list[dict[str, str]]) -> None:
    with pytest.raises(JobError) as problem:
        measured(feet=feet)
    assert problem.value.field == "measured.feet"
    assert problem.value.remedy


def test_diagonals_tell_the_skew() -> None:
    """A base pushed out of square by 1/4: its diagonals by geometry, its skew back from them."""
    base = plain("orchard-30").base
    long, wide, shift = base.rail_x1 - base.rail_x0, base.rails_outside, 0.25 * INCH
    across = math.sqrt(wide**2 - shift**2)
    first, second = math.hypot(long + shift, across), math.hypot(long - shift, across)
    report = measured(diagonals=[f"{first / INCH:.5f} in", f"{second / INCH:.5f} in"])
    assert report.floor.skew is not None
    assert report.floor.skew.shift == pytest.approx(shift, rel=1e-3)
    (told,) = [f for f in report.findings if f.code == "stand.skew"]
    assert told.severity == "warn"
    assert "working rail has run" in told.text
    true = measured(diagonals=[f"{base.diagonal / INCH:.5f} in"] * 2)
    assert "stand.skew" not in codes(true)


def test_shims_run_the_grease_to_the_drain() -> None:
    """1/8 in a foot, none under the feet at the drain."""
    found = plain("orchard-30")
    report = stand(found)
    at = {f.name: f.x for f in report.made.feet}
    low = min(at.values(), key=lambda x: abs(x - found.grates.drain_x))
    for name, shim in report.floor.shims:
        fall = abs(at[name] - found.grates.drain_x) - abs(low - found.grates.drain_x)
        assert shim == pytest.approx(fall * INCH / 8 / FOOT, abs=1e-9)
    assert min(s for _, s in report.floor.shims) == 0.0


# ---------------------------------------------------------------- heat


SETS = [
    {"from": "stack seam", "by": "1/2 radius"},
    {"from": "fire seam", "by": "1/2 radius"},
    {"from": "firebox", "by": "0"},
]


def test_legs_under_the_fire_are_reckoned_hot() -> None:
    """A set under the firebox: told hot, and closer to its limit than the same set cold."""
    found = pit("orchard-30", proportions={"legs": {"sets": SETS}})
    hot = [s for s in found.leg_sets if s.x < 0.0]
    assert len(hot) == 1
    report = stand(found)
    cold = pit_frame(found)
    for leg_set in found.leg_sets:
        member = report.made.members[f"leg {leg_set.name} working"]
        assert member.temperature == pytest.approx(report.heat.hottest if leg_set in hot else 293.15)
    assert report.heat.hottest >= 640.0
    warm, cool = ratios(report.solved, report.made.members), ratios(report.solved, cold.members)
    column = warm.beams.index(f"leg {hot[0].name} working")
    assert warm.table[:, column].max() > 1.2 * cool.table[:, column].max()
    other = warm.beams.index(f"leg {found.leg_sets[0].name} working")
    assert warm.table[:, other].max() == pytest.approx(cool.table[:, other].max())


def test_growth_is_that_of_the_steel() -> None:
    """Between sets: 12e-6 x length x mean rise; end sets move apart by it, about a point that stays."""
    found = plain("orchard-30")
    report = stand(found)
    a, b = sorted(found.leg_sets, key=lambda s: s.x)
    heat = report.heat
    inside = [t for x, t in zip(heat.x, heat.shell) if a.x <= x <= b.x]
    mean = sum(inside) / len(inside) - heat.outside
    apart = report.growth.moved[b.name] - report.growth.moved[a.name]
    assert apart == pytest.approx(12e-6 * (b.x - a.x) * mean, rel=0.02)
    assert report.growth.moved[a.name] < 0.0 < report.growth.moved[b.name]


def test_legs_that_cannot_flex_want_a_slot() -> None:
    """A hotter shell on the same legs: the end that must not be welded solid is named, with its slot."""
    found = plain("trailer-48")
    heat = stand(found).heat
    fierce = dataclasses.replace(heat, shell=tuple(heat.outside + 8.0 * (t - heat.outside) for t in heat.shell))
    growth = growth_of(found, fierce)
    (told,) = growth.findings
    assert told.severity == "warn"
    assert "Do not weld that end solid: slot" in told.remedy
    assert max(c.ratio for c in growth.checks) > 1.0
    assert growth_of(found, heat).findings[0].severity == "note"


# ---------------------------------------------------------------- casters, carts, trailers


def test_casters_want_a_third_each() -> None:
    found = plain("stand-24")
    report = stand(found)
    assert report.floor.casters is not None
    heaviest = max(b.mass for b in found.balance.values())
    assert report.floor.casters.wanted == pytest.approx(heaviest * STANDARD_GRAVITY / 3.0)
    prints = {p.name: p for p in report.made.prints}
    assert all(prints[s.name].trail == s.trail > 0.0 for s in found.base.supports)
    strong = dataclasses.replace(
        found, base=dataclasses.replace(found.base, supports=tuple(dataclasses.replace(s, rating=1e6) for s in found.base.supports))
    )  # fmt: skip
    weak = dataclasses.replace(
        found, base=dataclasses.replace(found.base, supports=tuple(dataclasses.replace(s, rating=500.0) for s in found.base.supports))
    )  # fmt: skip
    assert "stand.caster_floor" not in codes(stand(strong))
    assert "stand.caster_floor" in codes(stand(weak))
    assert any(c.piece == "casters" and c.ratio > 1.0 for c in stand(weak).checks)


def test_a_raised_caster_carries_more() -> None:
    report = stand(plain("stand-24"))
    for s in plain("stand-24").base.supports:
        assert report.reactions[f"kerb under {s.name}"][s.name] > report.reactions["true floor"][s.name]
        assert report.reactions[f"floor settled under {s.name}"][s.name] < report.reactions["true floor"][s.name]


def test_the_frame_holds_a_cart_at_its_hands_as_the_moment_says() -> None:
    found = plain("cart-20")
    report = stand(found)
    assert report.hands is not None
    hands = report.reactions["hands at the handles"]
    lifted = sum(v for k, v in hands.items() if k.startswith("hand"))
    assert lifted == pytest.approx(report.hands.states["loaded"] * STANDARD_GRAVITY, rel=1e-6)
    wheels = sum(v for k, v in hands.items() if k.startswith("wheel"))
    assert wheels + lifted == pytest.approx(found.balance["loaded"].mass * STANDARD_GRAVITY, rel=1e-6)


def test_the_axle_a_cart_is_told_to_have_mends_the_lift() -> None:
    found = plain("cart-20")
    report = stand(found)
    (told,) = [f for f in report.findings if f.code == "lift.handles"]
    assert "nearer the weight" in told.remedy
    weight, axle, grip = found.balance["empty"], found.base.axles[0].x, found.base.handles.grip[0]  # type: ignore[union-attr]
    best = (weight.mass * weight.centre[0] - 50 * LB * grip) / (weight.mass - 50 * LB)
    assert abs(best - weight.centre[0]) < abs(axle - weight.centre[0])
    assert weight.mass * (best - weight.centre[0]) / (best - grip) == pytest.approx(50 * LB)
    assert found.tape.length(abs(best - axle)) in told.remedy


def test_the_frame_and_the_moment_agree_on_the_tongue() -> None:
    """Coupled and level: the coupler of the frame carries what the moment about the axles says (one axle: exactly)."""
    found = plain("trailer-48")
    one = moved_axles(found, 0.0, single=True)
    report = stand(one)
    assert report.towing is not None
    loaded = next(t for t in report.towing.states if t.state == "loaded")
    coupled = report.reactions["coupled, level"]
    assert coupled["coupler up"] == pytest.approx(loaded.tongue * STANDARD_GRAVITY, rel=1e-6)
    assert sum(coupled.values()) == pytest.approx(found.balance["loaded"].mass * STANDARD_GRAVITY, rel=1e-6)


def moved_axles(found: Pit, back: float, *, single: bool = False) -> Pit:
    """The same trailer with its axles moved away from the coupler [m]."""
    tow = found.base.tongue
    assert tow is not None

    def moved(a: Axle, x: float) -> Axle:
        return dataclasses.replace(a, x=x, hangers=tuple(h + x - a.x for h in a.hangers))

    axles = tuple(moved(a, a.x - tow.end * back) for a in found.base.axles)
    if single:
        middle = sum(a.x for a in axles) / len(axles)
        axles = (moved(axles[0], middle),)
    return dataclasses.replace(found, base=dataclasses.replace(found.base, axles=axles))


@settings(max_examples=25)
@given(st.floats(-0.4, 0.4), st.floats(0.01, 0.3))
def test_axle_back_raises_the_tongue(at: float, more: float) -> None:
    here, there = (towing_of(moved_axles(plain("trailer-48"), b)) for b in (at, at + more))
    assert here is not None
    assert there is not None
    assert there.place == pytest.approx(here.place + more)
    for name in ("empty", "loaded"):
        a, b = (next(t for t in x.states if t.state == name) for x in (here, there))
        assert b.tongue > a.tongue


@pytest.mark.parametrize("station", ["96", "110", "150", "160"])
def test_the_axle_place_it_is_told_mends_the_tongue(station: str) -> None:
    """Applied to the job itself: wheels, springs and fenders go along, and the worst state comes nearest to 12-1/2 %."""
    wrong = pit("trailer-48", override={"trailer.axle": station})
    report = stand(wrong)
    towing = report.towing
    assert towing is not None
    assert not towing.fit
    (told,) = [f for f in report.findings if f.code == "tow.tongue"]
    assert told.severity == "stop"
    back = towing.best - towing.place
    assert f"Move the axle {wrong.tape.length(abs(back))} {'back' if back > 0.0 else 'forward'}" in told.remedy
    assert wrong.base.tongue is not None
    there = wrong.vessel.station(wrong.base.tongue.coupler[0] - wrong.base.tongue.end * towing.best)
    mended = towing_of(pit("trailer-48", override={"trailer.axle": f"{there / INCH} in"}))
    assert mended is not None
    assert mended.fit
    # The frame and the wood's place settle anew with the axle, hence the half per cent.
    still = [t.share for t in mended.states if "wood" not in t.state]
    assert all(0.10 <= share <= 0.15 for share in still)
    assert mended.best - mended.place == pytest.approx(0.0, abs=2.5 * INCH)


def test_a_hitch_that_lifts_is_refused() -> None:
    """Bad input: axles well ahead of the weight."""
    report = stand(moved_axles(plain("trailer-48"), -0.9))
    assert report.towing is not None
    assert min(t.share for t in report.towing.states) < 0.0
    assert any("The hitch lifts and it will sway" in f.text and "back" in f.remedy for f in report.findings)


def test_wood_lies_where_the_tongue_stays_in_range() -> None:
    report = stand(plain("trailer-48"))
    towing, found = report.towing, plain("trailer-48")
    assert towing is not None
    assert towing.wood_at is not None
    tow = found.base.tongue
    assert tow is not None
    for x in towing.wood_at:
        for name in ("empty", "loaded"):
            b = found.balance[name]
            own = b.mass * (towing.place - behind(tow, b.centre[0]))
            share = (own + towing.wood * (towing.place - behind(tow, x))) / towing.place / (b.mass + towing.wood)
            assert 0.0999 <= share <= 0.1501


def test_ratings_that_are_too_small_are_checked() -> None:
    found = plain("trailer-48")
    axles = tuple(dataclasses.replace(a, axle_rating=1e3, tyre_rating=1e3) for a in found.base.axles)
    report = stand(dataclasses.replace(found, base=dataclasses.replace(found.base, axles=axles)))
    assert {"axle", "tyre"} <= {c.piece for c in report.checks if c.ratio > 1.0}


def test_the_size_a_rail_is_told_to_have_mends_it() -> None:
    light = {"base": {"rail": "2 x 2 x 1/8 tube", "cross": "2 x 2 x 1/8 tube", "pockets": False}}
    before = stand(pit("trailer-48", proportions=light))
    told = [f for f in before.findings if f.code == "tow.member" and "instead of 2 x 2 x 1/8 tube" in f.remedy]
    rail = next(f for f in told if "cross member that shortens" in f.remedy)
    better = rail.remedy.split(" instead of")[0]
    mended = stand(pit("trailer-48", proportions={"base": {**light["base"], "rail": better, "cross": better}}))
    assert not any(f.code == "tow.member" and f.severity == "stop" and f.pieces == rail.pieces for f in mended.findings)


# ---------------------------------------------------------------- what is shown


@pytest.mark.parametrize("name", ["orchard-30", "stand-24", "cart-20", "trailer-48"])
def test_what_is_shown_is_the_report(name: str) -> None:
    report = stand(plain(name))
    shown = showing(report)
    assert len(shown.lines) == len(report.made.frame.beams)
    carried = sum(b.reactions.get("true floor", 0.0) for b in shown.bearings)
    assert carried == pytest.approx(plain(name).balance["loaded"].mass * STANDARD_GRAVITY, rel=1e-6)
    assert max(line.worst for line in shown.lines) == pytest.approx(report.ratios.worst()[0])
    assert shown.worst == report.worst
    xs, ys = zip(*shown.outline, strict=True)
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(shown.outline, (*shown.outline[1:], shown.outline[0]))) / 2.0
    assert area > 0.0
    for tip in shown.tips:
        assert min(xs) < tip.centre[0] < max(xs)
        assert min(ys) < tip.centre[1] < max(ys)
    assert {k.lug for k in shown.slings} == {k.lug for k in report.lifting.slings}


def test_mirrored_pits_stand_alike() -> None:
    for name in ("stand-24", "trailer-48", "cart-20"):
        right, left = (stand(pit(name, order={"firebox_side": side})) for side in ("right", "left"))
        assert left.worst == pytest.approx(right.worst, rel=1e-9)
        for a, b in zip(left.floor.tips, right.floor.tips, strict=True):
            assert a.side.angle == pytest.approx(b.side.angle, rel=1e-9)


def test_a_push_and_a_wind_tip_it_no_sooner_than_statics() -> None:
    report = stand(plain("yard-37"))
    for tip in report.floor.tips:
        weight = tip.weight.mass * STANDARD_GRAVITY
        assert tip.push == pytest.approx(weight * tip.side.margin / tip.height, rel=0.5)
        assert tip.push <= weight * tip.side.margin / tip.height + 1e-6


def test_lugs_are_on_the_running_lists() -> None:
    """Station and around of each lug, from the same datum as everything else on the skin."""
    found = on_lugs("orchard-30")
    marks = {m.what: m for m in found.marks if m.on == "shell"}
    for lug in found.lugs:
        mark = marks[f"lifting lug, {lug.name}"]
        assert mark.along == pytest.approx(found.vessel.station(lug.x))
        assert math.remainder(mark.around - found.vessel.around_at(lug.clock), found.vessel.around) == pytest.approx(
            0.0, abs=1e-9
        )


def test_the_cross_member_it_is_told_to_have_ties_the_legs() -> None:
    """Cross members far from the legs are told; one within the distance told mends it."""
    found = plain("orchard-30")
    legs = sorted(s.legs[0].x for s in found.leg_sets)
    middle = sum(legs) / 2.0
    far = dataclasses.replace(found.base.crosses[0], x=middle)
    bare = dataclasses.replace(found, base=dataclasses.replace(found.base, crosses=(far,), pockets=()))
    told = [f for f in stand(bare).findings if f.code == "stand.spread"]
    assert told
    assert '12"' in told[0].remedy
    near = tuple(dataclasses.replace(far, x=x + 11.0 * INCH) for x in legs)
    tied = dataclasses.replace(found, base=dataclasses.replace(found.base, crosses=(*near, far), pockets=()))
    assert "stand.spread" not in codes(stand(tied))
    assert abs(stand(tied).opened["true floor"]) < abs(stand(bare).opened["true floor"])


def test_the_eye_carries_the_drag() -> None:
    """Friction 0.6 of the whole loaded weight on one eye; a light eye is told."""
    found = plain("orchard-30")
    report = stand(found)
    pull = report.reactions["dragged"]["drag"]
    assert pull == pytest.approx(0.6 * found.balance["loaded"].mass * STANDARD_GRAVITY, rel=1e-3)
    mark = next(p.mark for p in found.parts if p.name == "drag eye")
    (check,) = [c for c in report.checks if c.piece == mark]
    assert check.demand > 0.0
    assert check.passes
    assert any(c.ratio > check.ratio for c in drag_told(found, 100.0 * pull)[0])
    assert drag_told(found, 100.0 * pull)[1]
    assert drag_told(plain("stand-24"), pull) == ((), ())


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("stand-24", ("casters: each rated for", "shims so that grease runs")),
        ("cart-20", ("at the handles: two people",)),
        ("trailer-48", ("tongue weight", "buy: axle", "wood aboard", "never tow a lit pit")),
        ("orchard-30", ("forks from the fire end", "carried on a deck", "slings from a hook over the weight")),
    ],
)
def test_the_command_says_it(name: str, said: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    main(["stand", str(EXAMPLES / f"{name}.toml")])
    printed = capsys.readouterr().out
    for part in said:
        assert part in printed
    main(["stand", str(EXAMPLES / f"{name}.toml"), "--json"])
    record = json.loads(capsys.readouterr().out)
    report = stand(plain(name))
    assert record["worst_ratio"] == pytest.approx(report.worst)
    assert len(record["checks"]) == len(report.checks)
    assert [t["share"] for t in record["tongue"]] == [t.share for t in report.towing.states] if report.towing else True


def test_where_an_engineer_must_look() -> None:
    """One note for all legs near a door, one for the road; none of a pit with neither."""
    near = [f for f in stand(plain("orchard-30")).findings if f.code == "stand.engineer"]
    assert len(near) == 1
    assert "leg A working" in near[0].text
    assert "licensed engineer" in near[0].text
    road = [f for f in stand(plain("trailer-48")).findings if f.code == "stand.engineer"]
    assert any("trailer for the road" in f.text for f in road)
    assert "stand.engineer" not in codes(stand(plain("stand-24")))
    hot = pit("orchard-30", proportions={"legs": {"sets": SETS}})
    assert any("firebox wall" in n for n in stand(hot).not_made)
