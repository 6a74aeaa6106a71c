from __future__ import annotations

import contextlib
import json
import math
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bench_jobs import NAMES, beside, document, pit, solved
from pits import solved as random_pit
from pitwright.bench.documents import apply_edits, to_toml
from pitwright.bench.drawings import VIEWS
from pitwright.bench.grips.grip import SNAP, angle_text, length_text
from pitwright.bench.handles import ARROWS, drag, grip, grips, handles, nudge, typed
from pitwright.bench.remedies import with_edits
from pitwright.cli.main import main
from pitwright.errors import JobError, LayoutError, PitwrightError
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.tape import INCH, Tape, parse_figure

ALL = [(name, one.id) for name in NAMES for one in grips(pit(name))]


def after(before: Pit, edits: object) -> Pit:
    return solve(with_edits(before.job, edits))  # type: ignore[arg-type]


def test_every_base_can_be_taken_hold_of() -> None:
    ids = {name: {g.id for g in grips(pit(name))} for name in NAMES}
    for wanted in (
        "leg A foot", "leg A contact", "leg A station", "door 1 fire end", "door 1 stack end", "hinge line",
        "door lower edge", "throat dam", "firebox drop", "firebox length", "stack along", "stack behind top", "stack top",
        "main grate", "vessel centre", "top line", "rail fire end", "rail stack end", "fork pockets", "rails apart",
    ):  # fmt: skip
        assert wanted in ids["orchard-30"], wanted
    assert {"saddle A station", "saddle contact"} <= ids["pipe-24-saddles"]
    assert "baffle" in ids["reverse-36"]
    assert "casters apart" in ids["stand-24"]
    assert {"axle", "grips along", "grips up"} <= ids["cart-20"]
    assert {"axle", "tongue", "hitch height"} <= ids["trailer-48"]
    assert {"main grate", "vessel seam", "base square"} <= ids["upright-30"]
    for name in NAMES:
        assert len(ids[name]) == len(grips(pit(name))), "ids are their own"


@pytest.mark.parametrize("name", NAMES)
def test_taking_a_thing_and_letting_go_changes_nothing(name: str) -> None:
    for one in grips(pit(name)):
        for view, (u, v) in one.places.items():
            for free in (False, True):
                assert drag(pit(name), one.id, view, u, v, free=free).edits == ()


@pytest.mark.parametrize(("name", "handle"), ALL)
def test_a_drag_moves_the_figure_the_thing_stands_for_and_the_thing_follows(name: str, handle: str) -> None:
    """One big step of the keyboard, by the place the page would drag to: the figure goes there and so does the grip."""
    one, tape = grip(pit(name), handle), pit(name).tape
    if one.fixed:
        pytest.skip(one.fixed)
    for view in one.places:
        for way in (1.0, -1.0):
            wanted = one.value + way * one.great(tape)
            if not one.low <= wanted <= one.high:
                continue
            u, v = one.place_for(view, wanted)
            assert one.at(view, u, v) == pytest.approx(wanted, abs=1e-8)
            done = drag(pit(name), handle, view, u, v, free=True)
            try:
                moved = solved(apply_edits(document(name), list(done.edits)))
            except (JobError, LayoutError):
                continue  # no such pit: the page shows the last good one and says why
            new = grip(moved, handle)
            assert new.value == pytest.approx(one.on_tape(wanted, tape), abs=1e-6)
            gone = math.dist(new.places[view], one.places[view])
            assert gone > 1e-5, f"{handle} stands still on {view}"


@pytest.mark.parametrize("name", NAMES)
def test_a_dragged_figure_reads_what_the_command_line_prints(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The file of the changed document, read by `pitwright why`: the same figure, to the letter."""
    (tmp_path / "shop.toml").write_bytes(beside()["shop.toml"])
    told = 0
    for one in grips(pit(name)):
        view = next(iter(one.places))
        u, v = one.place_for(view, one.value + one.least(pit(name).tape))
        done = drag(pit(name), one.id, view, u, v, free=True)
        if not done.edits:
            continue  # it stands at its limit
        changed = apply_edits(document(name), list(done.edits))
        try:
            here = solved(changed)
        except PitwrightError:
            continue
        if one.name not in here.reasons:
            continue
        path = tmp_path / "job.toml"
        path.write_bytes(to_toml(changed))
        assert main(["why", str(path), one.name, "--json"]) == 0
        record = json.loads(capsys.readouterr().out)
        reason = here.reasons[one.name]
        assert record["text"] == here.tape.figure(reason.value, reason.measure)
        assert record["value"] == pytest.approx(reason.value)
        before = pit(name).reasons[one.name]
        assert record["value"] != before.value
        told += 1
    assert told >= 5


def test_a_leg_dragged_out_leans_as_plane_geometry_says() -> None:
    """Lean off plumb = atan((foot - R sin psi) / (H - R cos psi)); the metric job's vessel is a true round."""
    start = pit("receiver-metric")
    one = grip(start, "leg A foot")
    u, v = one.places["stack end"]
    done = drag(start, "leg A foot", "stack end", u + start.vessel.hand * 0.030, v, free=True)
    moved = after(start, done.edits)
    leg = moved.leg_sets[0].legs[0]
    assert leg.foot_y == pytest.approx(round(one.value * 1e3 + 30.0) / 1e3, abs=1e-9)
    r = moved.vessel.outer_radius + moved.leg_sets[0].pad_thickness
    rise = moved.vessel.centre_z - moved.base.rail_top - r * math.cos(leg.contact)
    assert leg.lean == pytest.approx(math.atan((leg.foot_y - r * math.sin(leg.contact)) / rise), abs=1e-9)
    assert leg.lean > start.leg_sets[0].legs[0].lean


def test_sets_that_stand_alike_move_together_and_a_typed_figure_parts_them() -> None:
    start = pit("orchard-30")
    one = grip(start, "leg A foot")
    assert "A and B" in one.label
    u, v = one.places["stack end"]
    moved = after(start, drag(start, "leg A foot", "stack end", u + 0.02, v).edits)
    assert moved.leg_sets[0].half_spread == moved.leg_sets[1].half_spread != start.leg_sets[0].half_spread
    parted = after(start, typed(start, "legs.B.half_spread", "14"))
    assert parted.leg_sets[1].half_spread == pytest.approx(14.0 * INCH)
    assert {"leg A foot", "leg B foot"} <= {g.id for g in grips(parted)}


# ---------------------------------------------------------------- snaps


def test_a_drag_snaps_to_the_tape() -> None:
    start = pit("orchard-30")
    one = grip(start, "stack top")
    u, v = one.places["side"]
    done = drag(start, "stack top", "side", u, v + 0.0813)
    inches = parse_figure(done.edits[0]["value"], "length", system="inch") / INCH * 16.0  # type: ignore[operator]
    assert inches == pytest.approx(round(inches), abs=1e-6)


def test_a_leg_set_snaps_to_a_quarter_of_the_seam_length_and_says_so() -> None:
    start = pit("orchard-30")
    vessel = start.vessel
    one = grip(start, "leg A station")
    quarter = vessel.length / 4.0
    u, v = one.place_for("side", quarter + 0.4 * SNAP)
    done = drag(start, one.id, "side", u, v)
    assert done.snapped == "1/4 of the seam length"
    assert after(start, done.edits).reasons["legs.A.station"].value == pytest.approx(quarter, abs=1e-6)
    free = drag(start, one.id, "side", u, v, free=True)
    assert free.snapped is None
    assert free.edits != done.edits


def test_the_shops_own_rule_draws_a_thing_back_and_takes_the_jobs_line_out() -> None:
    start = pit("orchard-30")
    ruled = start.reasons["legs.A.station"].value
    one = grip(start, "leg A station")
    away = after(start, drag(start, one.id, "side", *one.place_for("side", ruled + 0.30), free=True).edits)
    assert "legs.A.station" in away.job.override
    moved = grip(away, "leg A station")
    back = drag(away, moved.id, "side", *moved.place_for("side", ruled + 0.3 * SNAP))
    assert back.snapped is not None
    assert "1/2 radius" in back.snapped
    assert back.edits == ({"path": ["override", "legs.A.station"], "value": None},)
    assert "legs.A.station" not in after(away, back.edits).job.override


def test_a_contact_set_by_clock_takes_out_a_lean_set_before() -> None:
    start = pit("yard-37")
    leaned = after(start, typed(start, "legs.A.lean", "8"))
    assert leaned.leg_sets[0].legs[0].lean == pytest.approx(math.radians(8.0))
    one = grip(leaned, "leg A contact")
    u, v = one.place_for("stack end", one.value + 0.05)
    done = drag(leaned, one.id, "stack end", u, v, free=True)
    again = after(leaned, done.edits)
    assert "legs.A.lean" not in again.job.override


# ---------------------------------------------------------------- what may not be moved


@pytest.mark.parametrize(
    ("state", "handle"), [("tacked", "leg A foot"), ("cut", "leg A contact"), ("welded", "leg A station")]
)
def test_steel_that_stands_is_not_dragged(state: str, handle: str) -> None:
    changed = apply_edits(document("yard-37"), [{"path": ["pieces", "L1"], "value": state}])
    stands = solved(changed)
    one = grip(stands, handle)
    with pytest.raises(JobError, match=state):
        drag(stands, handle, "stack end" if "station" not in handle else "side", 0.0, 0.0)
    assert state in one.fixed


def test_a_measured_foot_is_not_dragged() -> None:
    changed = apply_edits(
        document("yard-37"),
        [{"path": ["measured", "legs", 0, "set"], "value": "A"}, {"path": ["measured", "legs", 0, "spread"], "value": "17"}],
    )  # fmt: skip
    stands = solved(changed)
    fixed = [g for g in grips(stands) if g.id.startswith("leg A foot")]
    with pytest.raises(JobError, match="measured"):
        drag(stands, fixed[0].id, "stack end", 0.0, 0.0)


def test_what_is_not_there_is_told() -> None:
    with pytest.raises(JobError, match="nothing of that name"):
        drag(pit("yard-37"), "left wing", "side", 0.0, 0.0)
    with pytest.raises(JobError, match="another view"):
        drag(pit("yard-37"), "leg A foot", "plan", 0.0, 0.0)
    with pytest.raises(JobError, match="off the drawing"):
        drag(pit("yard-37"), "leg A foot", "stack end", math.nan, 0.0)


# ---------------------------------------------------------------- keyboard


@pytest.mark.parametrize("name", NAMES)
def test_every_grip_is_reached_by_keys_and_an_arrow_is_one_step(name: str) -> None:
    for view in VIEWS:
        for data in handles(pit(name), view):
            if data["fixed"]:
                continue
            one = grip(pit(name), data["id"])
            assert data["arrows"], f"{data['id']} on {view} has no arrow"
            assert data["step"] > 0.0
            assert data["big_step"] >= data["step"]
            for arrow, (small, _) in data["arrows"].items():
                by_place = drag(pit(name), data["id"], view, *small, free=True)
                by_key = nudge(pit(name), data["id"], view, arrow)
                assert by_place == by_key
                if by_key.edits:
                    assert one.least(pit(name).tape) <= one.great(pit(name).tape)


def test_arrows_go_the_way_they_point() -> None:
    start = pit("orchard-30")
    ways = {"left": (-1.0, 0.0), "right": (1.0, 0.0), "up": (0.0, 1.0), "down": (0.0, -1.0)}
    for handle, view in (("stack along", "side"), ("leg A foot", "stack end"), ("main grate", "side")):
        for arrow in ARROWS:
            done = nudge(start, handle, view, arrow, far=True)
            if not done.edits:
                continue
            a, b = grip(start, handle).places[view], grip(after(start, done.edits), handle).places[view]
            w = ways[arrow]
            assert (b[0] - a[0]) * w[0] + (b[1] - a[1]) * w[1] > 0.02


# ---------------------------------------------------------------- typed values


def test_a_typed_value_is_kept_as_typed() -> None:
    start = pit("orchard-30")
    assert typed(start, "stack.height", "40 1/2") == ({"path": ["override", "stack.height"], "value": "40 1/2"},)
    assert typed(start, "order.grate_height", "38") == ({"path": ["order", "grate_height"], "value": "38"},)
    assert typed(start, "grates.main grate.height", "38")[0]["path"] == ["order", "grate_height"]
    upper = typed(start, "grates.grate 2.height", "46")
    assert after(start, upper).grates.levels[1].z == pytest.approx(46.0 * INCH)
    assert after(start, typed(start, "firebox.centre", "20")).firebox.centre_z == pytest.approx(20.0 * INCH)
    around = typed(start, "legs.A.around", "12")
    assert after(pit("yard-37"), typed(pit("yard-37"), "legs.A.around", "12")).reasons[
        "legs.A.around"
    ].value == pytest.approx(12.0 * INCH, abs=INCH / 16)
    assert around[0]["path"] == ["override", "legs.A.contact"]


def test_a_figure_that_follows_names_what_to_set_instead() -> None:
    with pytest.raises(JobError, match="follows from others") as told:
        typed(pit("orchard-30"), "weight.empty", "900 lb")
    assert "weight.pieces" in told.value.allowed
    with pytest.raises(JobError, match="survey"):
        typed(pit("orchard-30"), "vessel.diameter", "30")
    with pytest.raises(PitwrightError):
        typed(pit("orchard-30"), "stack.height", "tall")
    with pytest.raises(JobError, match="out of range"):
        typed(pit("orchard-30"), "door 1.stop", "190")


def test_an_empty_text_lets_the_shops_rule_stand_again() -> None:
    start = after(pit("orchard-30"), typed(pit("orchard-30"), "stack.height", "40"))
    assert typed(start, "stack.height", "  ") == ({"path": ["override", "stack.height"], "value": None},)


# ---------------------------------------------------------------- any place, any pit


@settings(max_examples=120, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    name=st.sampled_from(NAMES),
    pick=st.integers(0, 60),
    u=st.floats(-8.0, 8.0),
    v=st.floats(-8.0, 8.0),
    free=st.booleans(),
    data=st.data(),
)
def test_no_drag_raises_anything_but_the_houses_errors(
    name: str, pick: int, u: float, v: float, free: bool, data: st.DataObject
) -> None:
    start = pit(name)
    one = grips(start)[pick % len(grips(start))]
    view = data.draw(st.sampled_from(sorted(one.places)))
    with contextlib.suppress(PitwrightError):
        done = drag(start, one.id, view, u, v, free=free)
        solved(apply_edits(document(name), list(done.edits)))


@pytest.mark.parametrize("seed", range(12))
def test_random_pits_have_grips_that_hold_still_until_moved(seed: int) -> None:
    start = random_pit(seed)
    if start is None:
        pytest.skip("no pit of that seed")
    for one in grips(start):
        for view, place in one.places.items():
            assert not drag(start, one.id, view, *place).edits if not one.fixed else True
            assert all(math.isfinite(c) for c in place)


@given(value=st.floats(-50.0, 200.0))
def test_what_is_written_reads_back(value: float) -> None:
    for system in ("inch", "metric"):
        tape = Tape.for_system(system)  # type: ignore[arg-type]
        marked = tape.rounded(value * INCH)
        assert parse_figure(length_text(tape, marked), "length", system=system) == pytest.approx(marked, abs=1e-9)  # type: ignore[arg-type]
        assert parse_figure(length_text(tape, value * INCH), "length", system=system) == pytest.approx(  # type: ignore[arg-type]
            value * INCH, abs=1e-6
        )
    angle = math.radians(value)
    assert parse_figure(angle_text(angle), "angle", system="inch") == pytest.approx(angle, abs=1e-7)
