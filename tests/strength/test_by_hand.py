"""Standing, slinging, forking and towing of every example worked again by plain statics from its pieces and its feet.

Source of each sum: moments about a point or a line (statics). Outlines by scipy's convex hull; 1 / sin for slings; the
lever of a fork truck about its front axle; 49 CFR 393.106 and 393.110 for tie-downs. Nothing of pitwright.strength is
used to get a figure here.
"""

from __future__ import annotations

import functools
import json
import math
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.spatial import ConvexHull

import workbench
from pitwright.cli import main
from pitwright.job.file import job_from, read_toml
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.masses import mass_of
from pitwright.sheets.paper import LETTER, TABLOID
from pitwright.sheets.views.lift import LIFT
from pitwright.sheets.views.stand import STAND
from pitwright.shop.welds import weld_list
from pitwright.strength.standing import StandReport, stand
from pitwright.strength.welds import usual_leg
from pitwright.tape import FOOT, INCH, LB

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
NAMES = (
    "stand-24",
    "cart-20",
    "trailer-48",
    "upright-30",
    "yard-37",
    "pipe-24-saddles",
    "receiver-metric",
    "reverse-36",
    "orchard-30",
)
SLUNG = LYING = tuple(name for name in NAMES if name != "upright-30")
G = 9.80665


def pit(name: str, **changes: Any) -> Pit:
    return solve(job_from(workbench.merged(read_toml(EXAMPLES / f"{name}.toml"), changes), folder=EXAMPLES))


@functools.cache
def plain(name: str) -> Pit:
    return pit(name)


@functools.cache
def told(name: str) -> StandReport:
    return stand(plain(name))


def pieces(found: Pit) -> list[tuple[str, float, np.ndarray]]:
    """(what it moves with, mass, place) of every copy of every piece."""
    out = []
    for part in found.parts:
        own = mass_of(part)
        out += [(part.moving, own.mass, np.array(at.point(own.centre))) for at in part.placements]
    return out


def feet(found: Pit) -> np.ndarray:
    """Outline points on the floor: rail ends, tyres, casters swung in by their trail, outer corners of foot plates."""
    base = found.base
    points = [(a.x, s * a.track / 2.0) for a in base.axles for s in (1.0, -1.0)]
    middle = np.mean([s.x for s in base.supports]) if base.supports else 0.0
    for s in base.supports:
        if base.kind == "upright" and s.kind == "foot":
            points.append((s.x + math.copysign(s.pad / 2.0, s.x), s.y + math.copysign(s.pad / 2.0, s.y)))
        else:
            inward = s.trail if s.trail else 0.0
            points.append(
                (s.x - math.copysign(inward, s.x - middle), s.y - (math.copysign(inward, s.y) if inward else 0.0))
            )
    if not points:
        points = [(x, s * base.rail_y) for x in (base.rail_x0, base.rail_x1) for s in (1.0, -1.0)]
    return np.array(points)


@pytest.mark.parametrize("name", NAMES)
def test_weight_and_centre_by_moments(name: str) -> None:
    """All pieces, with the shop's 4 % for weld and paint lying where the steel lies."""
    found = plain(name)
    rows = pieces(found)
    mass = sum(m for _, m, _ in rows)
    centre = sum(m * c for _, m, c in rows) / mass
    empty = found.balance["empty"]
    assert empty.mass == pytest.approx(1.04 * mass)
    assert np.array(empty.centre) == pytest.approx(centre, abs=1e-6)


@pytest.mark.parametrize("name", LYING)
def test_open_doors_by_turning_them(name: str) -> None:
    """Each about its pins by its stop; the door of a vessel on end: test_uprights_stand.py."""
    found = plain(name)
    rows = pieces(found)
    steel = sum(m for _, m, _ in rows)
    moment = 0.04 * sum(m * c for _, m, c in rows)
    doors = {d.name: d for d in found.doors}
    for moves, mass, at in rows:
        if moves in doors:
            y0, z0 = doors[moves].pin
            a, (y, z) = doors[moves].stop, (at[1] - y0, at[2] - z0)
            at = np.array([at[0], y0 + y * math.cos(a) - z * math.sin(a), z0 + y * math.sin(a) + z * math.cos(a)])
        moment = moment + mass * at
    assert np.array(found.balance["doors open"].centre) == pytest.approx(moment / (1.04 * steel), abs=1e-6)


@pytest.mark.parametrize("name", NAMES)
def test_tip_angle_and_push_over_every_side(name: str) -> None:
    """Least of atan(distance to a side / height) over the hull of the feet; push x height = W x distance."""
    found, report = plain(name), told(name)
    hull = ConvexHull(feet(found))
    for tip in report.floor.tips:
        balance = found.balance[tip.state]
        inside = -(hull.equations[:, :2] @ np.array(balance.centre[:2]) + hull.equations[:, 2]).max()
        assert tip.side.angle == pytest.approx(math.atan2(inside, balance.centre[2]), abs=1e-9)
        assert tip.push == pytest.approx(balance.mass * G * inside / tip.height)


@pytest.mark.parametrize("name", SLUNG)
def test_slings_from_under_a_spreader_hold_it_still(name: str) -> None:
    """Pulls of all slings balance the weight, its moments both ways, and the pull along the pit at each spreader end."""
    found, report = plain(name), told(name)
    balance, hook = found.balance["empty"], report.made.hook
    points = {p.name: p for p in report.made.lugs}
    up = np.zeros(3)
    along = {1.0: 0.0, -1.0: 0.0}
    for sling in report.lifting.slings:
        p = points[sling.lug]
        run, rise = balance.centre[0] - p.x, hook[2] - p.z
        assert sling.length == pytest.approx(math.hypot(run, rise))
        assert sling.angle == pytest.approx(math.atan2(rise, abs(run)))
        lift = sling.tension * math.sin(sling.angle)
        up += (lift, lift * p.x, lift * p.y)
        along[math.copysign(1.0, p.y)] += sling.tension * math.cos(sling.angle) * math.copysign(1.0, run)
        assert sling.alone >= sling.tension
    weight = balance.mass * G
    assert up == pytest.approx([weight, weight * balance.centre[0], weight * balance.centre[1]], abs=1e-6 * weight)
    assert list(along.values()) == pytest.approx([0.0, 0.0], abs=1e-6 * weight)


@pytest.mark.parametrize("name", ["yard-37", "reverse-36", "orchard-30", "pipe-24-saddles", "receiver-metric"])
def test_a_truck_comes_no_nearer_than_what_stands_out(name: str) -> None:
    """Load centre from the fire door's gear, the head or the stack, whichever stands out over the rail's end."""
    found = plain(name)
    ways = {w.way: w for w in told(name).lifting.forks}
    x, vessel, stack = found.balance["empty"].centre[0], found.vessel, found.stack
    head = vessel.length + (vessel.stack_head.flange + vessel.stack_head.depth if vessel.stack_head else 0.0)
    last = max(head, stack.x + stack.profile.height / 2.0, found.base.rail_x1)
    assert last > found.base.rail_x1 + INCH  # it matters here
    way = ways["from the stack end"]
    assert way.centre == pytest.approx(last - x)
    assert way.capacity == pytest.approx(5000.0 * LB * 40.0 * INCH / (way.centre + 16.0 * INCH))
    assert ways["from the fire end"].centre == pytest.approx(x - min(found.firebox.x0 - 2.0 * INCH, found.base.rail_x0))


def test_a_shelf_keeps_the_truck_off_the_working_side() -> None:
    found = pit("orchard-30", proportions={"shelf": {"depth": "12"}})
    (way,) = [w for w in stand(found).lifting.forks if w.way == "from the side"]
    y = found.balance["empty"].centre[1]
    assert y > 0.2 * INCH  # the shelf draws the weight to its side
    assert way.centre == pytest.approx(max(found.base.rails_outside / 2.0, found.vessel.outer_radius) + y)


@pytest.mark.parametrize("name", NAMES)
def test_tie_downs_go_by_the_whole_length(name: str) -> None:
    """49 CFR 393.110(b): 2 to 10 ft, one more for each 10 ft begun; 393.106(d): half the weight, each chain counted half."""
    found, ties = plain(name), told(name).tie_downs
    feet_long = float(found.reasons["overall.length"].value) / FOOT
    pounds = found.balance["empty"].mass / LB
    by_rule = 2 + max(0, math.ceil((feet_long - 10.0) / 10.0))
    if feet_long <= 5.0 and pounds <= 1100.0:
        by_rule = 1
    assert ties.by_rule == by_rule
    assert ties.count == max(2, by_rule, math.ceil(pounds / 2.0 / 3300.0))
    assert ties.aggregate / LB == pytest.approx(pounds / 2.0)


def test_a_trailer_is_as_long_as_from_coupler_to_end() -> None:
    """23 ft 4 in wants four; its rails alone, 18 ft 7 in, would have let three pass."""
    found = plain("trailer-48")
    assert found.base.rail_x1 - found.base.rail_x0 < 20.0 * FOOT < float(found.reasons["overall.length"].value)
    assert told("trailer-48").tie_downs.count == 4


def test_what_tips_in_a_bend_on_a_deck_is_told() -> None:
    """Held at the far side by W (0.5 z - margin) / across, moments about the side it tips over."""
    found, report = plain("cart-20"), told("cart-20")
    (finding,) = [f for f in report.findings if f.code == "tow.deck"]
    (tip,) = [t for t in report.floor.tips if t.state == "empty"]
    assert f"{math.tan(tip.side.angle):.2f} g" in finding.text
    balance, points = found.balance["empty"], feet(found)
    hull = ConvexHull(points)
    worst = hull.equations[int(np.argmax(hull.equations[:, :2] @ np.array(balance.centre[:2]) + hull.equations[:, 2]))]
    inside = -(worst[:2] @ np.array(balance.centre[:2]) + worst[2])
    across = (-(points @ worst[:2]) - worst[2]).max()
    held = balance.mass * G * (0.5 * balance.centre[2] - inside) / across
    assert found.tape.force(held) in finding.remedy
    assert "tow.deck" not in {f.code for f in told("yard-37").findings}  # it stands 0.6 g
    assert "tow.deck" not in {f.code for f in told("trailer-48").findings}


def test_tongue_by_moments_about_the_axles() -> None:
    found, towing = plain("trailer-48"), told("trailer-48").towing
    assert towing is not None
    assert found.base.tongue is not None
    ball, axle = found.base.tongue.coupler[0], float(np.mean([a.x for a in found.base.axles]))
    for t in towing.states:
        balance = found.balance[t.state.split(",")[0]]
        mass, x = balance.mass, balance.centre[0]
        if "wood" in t.state:
            mass, x = mass + 300.0 * LB, (mass * x + 300.0 * LB * towing.wood_x) / (mass + 300.0 * LB)
        assert t.tongue == pytest.approx(mass * (axle - x) / (axle - ball))
    heaviest = max(t.axle for t in towing.states)
    assert towing.needed.axle == pytest.approx(1.15 * heaviest / len(found.base.axles))


def test_hands_and_caster_loads_by_moments() -> None:
    cart, hands = plain("cart-20"), told("cart-20").hands
    assert hands is not None
    assert cart.base.handles is not None
    axle, grip = cart.base.axles[0].x, cart.base.handles.grip[0]
    for state, lift in hands.states.items():
        balance = cart.balance[state]
        assert lift == pytest.approx(balance.mass * (axle - balance.centre[0]) / (axle - grip))
    casters = told("stand-24").floor.casters
    assert casters is not None
    assert casters.wanted == pytest.approx(max(b.mass for b in plain("stand-24").balance.values()) * G / 3.0)
    floor = told("stand-24").reactions["true floor"]
    balance = plain("stand-24").balance["loaded"]
    at = {s.name: s for s in plain("stand-24").base.supports}
    assert sum(floor[n] * at[n].x for n in floor) == pytest.approx(balance.mass * G * balance.centre[0], rel=1e-5)
    assert sum(floor[n] * at[n].y for n in floor) == pytest.approx(balance.mass * G * balance.centre[1], rel=1e-4)


# ---------------------------------------------------------------- bad pits: true, once, and mended by what they are told


def sets(*places: tuple[str, str]) -> dict[str, Any]:
    return {"legs": {"sets": [{"from": start, "by": by} for start, by in places]}}


def test_weight_past_its_casters_is_told_not_lost() -> None:
    """Both leg sets under the stack end: it falls over by itself, no sling hangs it, and no load of a foot is made up."""
    found = pit("stand-24", proportions=sets(("stack seam", "6"), ("stack seam", "34")))
    report = stand(found)
    by_code = {f.code: f for f in report.findings if f.severity == "stop"}
    assert {"stand.falls", "stand.tips", "lift.outside"} <= set(by_code)
    assert "falls over by itself" in by_code["stand.tips"].text
    assert report.reactions["true floor"] == {}
    assert report.lifting.slings == ()
    assert math.isinf(report.worst)
    assert not [f for f in report.findings if f.code in ("stand.sinks", "stand.kerb", "tow.deck")]
    # The leg sets as the shop's rules place them mend it.
    assert not [f for f in told("stand-24").findings if f.severity == "stop"]


def test_the_stand_command_tells_it_and_says_stop(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    job = (EXAMPLES / "stand-24.toml").read_text(encoding="utf-8")
    job += '\n[[proportions.legs.sets]]\nfrom = "stack seam"\nby = "6"\n[[proportions.legs.sets]]\nfrom = "stack seam"\nby = "34"\n'
    (tmp_path / "shop.toml").write_bytes((EXAMPLES / "shop.toml").read_bytes())
    (tmp_path / "over.toml").write_text(job, encoding="utf-8")
    assert main(["stand", str(tmp_path / "over.toml")]) == 1
    said = capsys.readouterr().out
    assert "does not stand" in said
    assert "worst ratio over any limit" in said
    assert "falls over by itself" in said
    assert all(len(line) <= 100 for line in said.splitlines())
    assert said.index("STOP") < said.index("worst check of each piece")
    assert main(["stand", str(tmp_path / "over.toml"), "--json"]) == 1
    record = json.loads(capsys.readouterr().out, parse_constant=lambda word: pytest.fail(f"{word} is not JSON"))
    assert record["worst_ratio"] is None


def test_the_sheets_of_a_pit_that_does_not_stand_say_so() -> None:
    found = pit("stand-24", proportions=sets(("stack seam", "6"), ("stack seam", "34")))
    for paper in (TABLOID, LETTER):
        said = json.dumps([repr(page) for maker in (STAND, LIFT) for page in maker.make(found, paper.landscape())])
        assert "falls over" in said
        assert "slung there it turns over" in said
        assert "inf" not in re.findall(r"[a-z]+", said)


def test_a_narrow_base_is_told_once_and_wider_mends_it() -> None:
    narrow = pit("stand-24", proportions={"stand": {"casters_apart": "12"}})
    (finding,) = [f for f in stand(narrow).findings if f.code == "stand.tips"]
    assert finding.text.startswith("loaded, all out: tips at")
    assert "Also empty at" in finding.text
    more = re.search(r'Set these ([^ ]+)" farther out\.', finding.remedy)
    assert more is not None
    wider = pit("stand-24", proportions={"stand": {"casters_apart": f"{12.0 + 2.0 * float(more[1])}"}})
    assert not [f for f in stand(wider).findings if f.code == "stand.tips"]


def test_light_rails_are_told_with_sizes_that_carry() -> None:
    light = {"base": {"rail": "2 x 2 x 1/8 tube", "cross": "2 x 2 x 1/8 tube"}}
    report = stand(pit("trailer-48", proportions=light))
    sizes = {f.pieces[0]: f.remedy.split(" instead")[0] for f in report.findings if f.code == "tow.member"}
    assert set(sizes) == {"R1", "C1"}
    mended = stand(pit("trailer-48", proportions={"base": {"rail": sizes["R1"], "cross": sizes["C1"]}}))
    assert mended.worst < 1.0
    welds = [f for f in report.findings if f.code == "stand.weld"]
    assert len({f.pieces for f in welds}) == len(welds)  # twins under one mark are told once
    assert all(re.search(r'Run a [-/0-9]+" fillet', f.remedy) for f in welds)


def test_a_weld_of_the_least_size_is_no_warning() -> None:
    """AISC Table J2.4 asks 1/8 in for thin pads and 1/8 in is run."""
    lugs = {"lift": {"lugs": True, "pad_size": "3", "pad_thickness": "1/8"}}
    codes = [f.code for f in stand(pit("yard-37", proportions=lugs)).findings]
    assert "lift.lug_weld" not in codes
    assert "stand.wall" in codes  # the small thin pad itself is


@pytest.mark.parametrize("base", ["skid", "stand", "cart", "trailer"])
def test_inches_and_millimetres_stand_alike(base: str) -> None:
    """The same facts in both tapes: only what is rounded to the tape's own steps may differ."""

    def made(units: str) -> Pit:
        vessel = {"around": "94 1/2 in", "wall": "1/4 in", "length": "84 in"}
        return solve(
            workbench.job({"job": {"units": units}, "vessel": vessel, "order": {"grate_height": "40 in", "base": base}})
        )

    inch, metric = made("inch"), made("metric")
    assert metric.balance["loaded"].mass == pytest.approx(inch.balance["loaded"].mass, rel=1e-3)
    ours, theirs = stand(inch), stand(metric)
    assert theirs.worst == pytest.approx(ours.worst, rel=5e-3)
    for a, b in zip(ours.floor.tips, theirs.floor.tips, strict=True):
        assert b.side.angle == pytest.approx(a.side.angle, rel=5e-3)
    assert {(f.code, f.severity) for f in theirs.findings} == {(f.code, f.severity) for f in ours.findings}


def test_two_axles_share_by_their_equalizer_and_the_springs_go_down() -> None:
    """Moments about the middle of the two axles, as an equalizer that turns freely makes it; springs 3 in under load."""
    found, report = plain("trailer-48"), told("trailer-48")
    assert found.base.tongue is not None
    balance, ball = found.balance["loaded"], found.base.tongue.coupler[0]
    middle = float(np.mean([a.x for a in found.base.axles]))
    (jack,) = found.base.supports
    for case, x, name in (("coupled, level", ball, "coupler up"), ("true floor", jack.x, jack.name)):
        loads = report.reactions[case]
        tongue = balance.mass * G * (middle - balance.centre[0]) / (middle - x)
        assert loads[name] == pytest.approx(tongue, rel=0.01)
        wheels = [load for foot, load in loads.items() if foot.startswith("wheel")]
        assert len(wheels) == 4
        assert wheels == pytest.approx([(balance.mass * G - tongue) / 4.0] * 4, rel=0.02)
    for axle in found.base.axles:
        hub = report.solved.shift("coupled, level", f"axle {axle.name} working")[2]
        rail = min(
            (n for n in report.solved.joints if n.startswith("rail working")),
            key=lambda n: abs(report.solved.places[n][0] - axle.x),
        )
        down = hub - report.solved.shift("coupled, level", rail)[2]
        assert down == pytest.approx(3.0 * INCH, rel=0.2)
    # 1/4 in under one wheel is a twelfth of 3 in: springs take it up, and no row of wheels carries for the other.
    uneven = [found for case, found in report.reactions.items() if case.startswith("floor settled under wheel")]
    assert len(uneven) == 4
    share = balance.mass * G / 4.0
    assert all(0.75 * share < load < share for case in uneven for name, load in case.items() if "wheel" in name)
    assert not [case for case in report.reactions if case.startswith("only")]


def test_the_weld_checked_is_the_weld_on_the_list() -> None:
    """One fillet: what the weld list tells the shop to run at a leg's top is what its strength is reckoned with."""
    found = plain("trailer-48")
    (leg,) = {round(w.leg, 9) for w in weld_list(found) if w.name.startswith("leg B") and w.name.endswith("top")}
    thinner = min(found.leg_sets[1].profile.wall, found.leg_sets[1].pad_thickness or found.vessel.wall)
    assert leg == pytest.approx(usual_leg(thinner, found.leg_sets[1].legs[0].gap))
    assert leg == pytest.approx((1 / 4 + 1 / 8) * INCH, abs=INCH / 64)
