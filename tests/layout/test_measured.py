"""What I got: facts read off the build, frozen; the rest solved again for the promises that can still be kept."""

from __future__ import annotations

import math
from typing import Any

import pytest

from pitwright.errors import JobError
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.tape import INCH
from workbench import codes, found, job

SEAM = {"vessel": {"seams": [{"kind": "long"}], "fittings": [
    {"name": "boss", "station": "60", "around": "70", "size": "2"}]},
    "proportions": {"clock": {"top_from_seam": "40", "fire_end": "A"}}}  # fmt: skip


def built(**measured: Any) -> Pit:
    return solve(job({**SEAM, "measured": measured}))


@pytest.mark.parametrize(
    ("measured", "take"),
    [
        ({"around": "94 1/4"}, lambda p: p.vessel.around / INCH - 94.25),
        ({"wall": "15/64"}, lambda p: p.vessel.wall / INCH - 15.0 / 64.0),
        ({"length": "83 7/8"}, lambda p: p.vessel.length / INCH - 83.875),
        ({"height": "38 3/16"}, lambda p: p.vessel.centre_z / INCH - 38.1875),
    ],
)
def test_what_was_measured_stands_and_the_grate_height_is_kept(measured: dict[str, str], take: Any) -> None:
    pit = built(**measured)
    assert take(pit) == pytest.approx(0.0, abs=1e-9)
    assert pit.grates.levels[0].z == pytest.approx(37 * INCH, abs=1e-12)
    mesh = next(p for p in pit.parts if p.name == "main grate mesh")
    top = max(at.origin[2] + mesh.shape.thickness for at in mesh.placements)  # type: ignore[union-attr]
    assert top == pytest.approx(37 * INCH, abs=1e-12)
    assert pit.revision == "B"


def test_a_vessel_that_stands_high_gets_its_grate_lower_in_the_round() -> None:
    pit, drawn = built(height="38 3/16"), built()
    off = pit.vessel.centre_z - drawn.vessel.centre_z
    assert off == pytest.approx(3.0 / 16.0 * INCH)
    assert pit.grates.levels[0].above_centre == pytest.approx(drawn.grates.levels[0].above_centre - off)
    told = found(pit.findings, "vessel.stands_off")
    assert 'stands 3/16" high' in told.text
    assert "promised height is kept" in told.text
    # the door's lower edge follows the grate, the firebox keeps its drop under the centre
    sill = [p.vessel.outer_radius * math.cos(p.doors[0].edge_clock) for p in (pit, drawn)]
    assert sill[0] - sill[1] == pytest.approx(-off)
    assert pit.firebox.drop == pytest.approx(drawn.firebox.drop)


def test_a_seam_really_elsewhere_takes_seam_and_fittings_with_it() -> None:
    drawn = built()
    line, boss = drawn.vessel.long_seam_clock, drawn.vessel.fittings[0].clock
    assert line is not None
    moved_to = drawn.vessel.around_at(line) + 0.75 * INCH
    pit = built(long_seam=f"{moved_to / INCH}")
    assert pit.vessel.long_seam_clock == pytest.approx(moved_to / pit.vessel.outer_radius)
    assert pit.vessel.fittings[0].clock - boss == pytest.approx(0.75 * INCH / pit.vessel.outer_radius)
    keep = {k.name: (k.clock0 + k.clock1) / 2.0 for k in pit.vessel.keep_outs if k.name != "girth seam"}
    assert keep["long seam"] == pytest.approx(pit.vessel.long_seam_clock)
    assert keep["boss"] == pytest.approx(pit.vessel.fittings[0].clock)


def test_a_seam_that_really_lies_in_a_door_is_told() -> None:
    assert "skin.opening_on_seam" not in codes(built().findings)
    pit = built(long_seam="15")
    hits = [f for f in pit.findings if f.code == "skin.opening_on_seam"]
    assert {f.pieces for f in hits} == {("door 1", "long seam"), ("door 2", "long seam")}
    assert all("through the opening" in f.text for f in hits)


def test_a_door_opening_as_cut_moves_its_marks_and_pieces() -> None:
    pit = built(doors=[{"door": 1, "width": "34 1/4", "arc": "21 1/2"}])
    door = pit.doors[0]
    assert door.x1 - door.x0 == pytest.approx(34.25 * INCH)
    assert door.arc == pytest.approx(21.5 * INCH)
    window = next(p for p in pit.parts if p.name == "shell").shape.cuts[0]  # type: ignore[union-attr]
    assert (window.x0, window.x1, window.clock1) == (door.x0, door.x1, door.edge_clock)
    marks = {m.what: m for m in pit.marks}
    assert marks["door 1 lower edge, fire end"].along == pytest.approx(pit.vessel.station(door.x0))
    assert marks["door 1 lower edge, fire end"].around == pytest.approx(pit.vessel.around_at(door.edge_clock))


def test_a_sprung_skin_is_told() -> None:
    chord = built().doors[1].chord
    pit = built(doors=[{"door": 2, "chord": f"{chord / INCH + 0.25}"}])
    assert found(pit.findings, "doors.sprung").pieces == ("door 2",)


def test_a_ticket_is_a_weight_that_was_measured() -> None:
    drawn = float(built().reasons["weight.pieces"].value)
    pit = built(weight=f"{drawn * 1.06} kg")
    assert pit.balance["empty"].mass == pytest.approx(drawn * 1.06)
    assert pit.reasons["weight.empty"].kind == "measured"


def test_states_of_pieces_reach_the_pieces_and_unknown_marks_are_told() -> None:
    pit = solve(job({**SEAM, "pieces": {"T1": "welded", "F2": "cut"}}))
    states = {p.mark: p.state for p in pit.parts}
    assert (states["T1"], states["F2"], states["V1"]) == ("welded", "cut", "open")
    with pytest.raises(JobError) as caught:
        solve(job({**SEAM, "pieces": {"T9": "cut"}}))
    assert caught.value.field == "pieces.T9"
    assert "T1" in caught.value.allowed


def test_nothing_measured_is_the_pit_as_drawn() -> None:
    pit = solve(job(SEAM))
    assert pit.revision == "A"
    assert pit.moved == ()


# ---------------------------------------------------------------- marks


def test_marks_stand_where_their_pieces_stand() -> None:
    pit = solve(job(SEAM))
    marks = {m.what: m for m in pit.marks if m.on == "shell"}
    around = pit.vessel.around
    for what, at in (("top line", 0.0), ("working spring line", around / 4), ("bottom line", around / 2),
                     ("back spring line", 3 * around / 4)):  # fmt: skip
        assert marks[f"{what}, stack seam"].around == pytest.approx(at)
        assert marks[f"{what}, stack seam"].along == pytest.approx(0.0)  # the datum is the stack-end seam
        assert marks[f"{what}, fire seam"].along == pytest.approx(pit.vessel.length)
        assert not marks[f"{what}, stack seam"].needs
    assert marks["stack centre"].along == pytest.approx(pit.vessel.length - pit.stack.x)
    assert marks["stack centre"].around == pytest.approx((pit.vessel.outer_radius * pit.stack.clock) % around)
    front, back = marks["stack footprint, working side"].around, marks["stack footprint, back"].around
    assert (front - back) % around == pytest.approx(pit.stack.hole_around)
    assert marks["drain"].needs
    for leg_set in pit.leg_sets:
        for leg in leg_set.legs:
            mark = marks[f"leg {leg_set.name} centre, {leg.side} side"]
            clock = math.pi - leg.contact if leg.side == "working" else math.pi + leg.contact
            assert mark.around == pytest.approx(pit.vessel.outer_radius * clock)
            # by tape from the bottom line the same figure the leg carries
            assert abs(mark.around - around / 2) == pytest.approx(leg.around)
    assert {m.what for m in pit.marks if m.needs} <= {m.what for m in pit.marks if m.on == "shell"}


def test_a_boss_that_drains_is_no_cut() -> None:
    changes = {"vessel": {"seams": [], "fittings": [{"name": "boss", "station": "76", "around": "20", "size": "2",
                                                     "plan": "reuse", "good_for": ["drain"]}]}}  # fmt: skip
    pit = solve(job(changes))
    assert pit.vessel.fittings[0].serves == "drain"
    mark = next(m for m in pit.marks if m.what == "drain")
    assert not mark.needs
    assert (mark.along, mark.around) == pytest.approx(
        (
            pit.vessel.station(pit.vessel.fittings[0].x),
            pit.vessel.outer_radius * (pit.vessel.fittings[0].clock % (2 * math.pi)),
        )
    )
