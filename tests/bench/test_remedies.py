"""Every offer is applied, the pit solved anew: the finding is gone, milder, or has more room."""

from __future__ import annotations

import math
from collections import Counter

import pytest

from bench_jobs import NAMES, beside, document, pit, solved
from pits import solved as random_pit
from pitwright.bench.documents import Edit, apply_edits
from pitwright.bench.places import place_of
from pitwright.bench.remedies import less, offer, trial, with_edits
from pitwright.bench.state import Desk, everything
from pitwright.findings import Finding
from pitwright.fire.of_pit import report_of
from pitwright.layout.model import Pit
from pitwright.tape import LB

RANK = {"stop": 0, "warn": 1, "unchecked": 2, "note": 3}
MENDED: Counter[str] = Counter()


def put(*path: str | int, value: object) -> Edit:
    return {"path": list(path), "value": value}


def find(p: Pit, code: str) -> Finding:
    return next(f for f in p.findings if f.code == code)


def mended(p: Pit, finding: Finding) -> bool:
    """Whether an offer is there and does what it says, by the findings of the pit laid out anew."""
    found = offer(p, finding)
    if found is None:
        return False
    after = trial(p, found.edits)
    now = after.findings if finding in p.findings else everything(after)
    alike = [f for f in now if f.code == finding.code and (not f.pieces or set(f.pieces) & set(finding.pieces))]
    roomier = all((f.clearance or 0.0) > (finding.clearance or 0.0) for f in alike)
    milder = all(RANK[f.severity] > RANK[finding.severity] for f in alike)
    fewer = bool(alike) and all(set(f.pieces) < set(finding.pieces) for f in alike)
    assert not alike or roomier or milder or fewer, (finding.code, found.label)
    assert less(finding, now)
    MENDED[finding.code] += 1
    return True


BROKEN: tuple[tuple[str, str, tuple[Edit, ...]], ...] = (
    ("orchard-30", "skin.ligament", (put("override", "stack.x", value="60"), put("proportions", "stack", "behind_top", value="0"))),
    ("orchard-30", "doors.touch", (put("proportions", "doors", "open_stop", value="148"),)),
    ("orchard-30", "doors.over_leg", (put("override", "doors.edge_clock", value="130 deg"),)),
    ("orchard-30", "legs.off_rail", (put("override", "legs.A.half_spread", value="17"),)),
    ("yard-37", "doors.falls", (put("proportions", "doors", "hold", value="none"),)),
    ("yard-37", "firebox.floor", (put("order", "grate_height", value="31"),)),
    ("yard-37", "firebox.inlet_room", (put("proportions", "firebox", "inlet_share", value=0.07),)),
    ("orchard-30", "slides.sill", (put("override", "doors.edge_clock", value="60 deg"),)),
    ("orchard-30", "base.pockets_off", (put("override", "base.pocket_middle", value="40"),)),
    ("orchard-30", "throat.area", (put("override", "firebox.drop", value="21"),)),
    ("pipe-24-saddles", "drain.on_saddle", (put("override", "drain.x", value="49 1/2"),)),
    ("reverse-36", "doors.heavy", ()),
    ("orchard-30", "grates.close", (put("order", "levels", 0, "above", value="3"),)),
)  # fmt: skip


@pytest.mark.parametrize(("name", "code", "edits"), BROKEN, ids=[f"{n}-{c}" for n, c, _ in BROKEN])
def test_what_was_broken_is_mended_by_its_offer(name: str, code: str, edits: tuple[Edit, ...]) -> None:
    broken = solved(apply_edits(document(name), list(edits)))
    finding = find(broken, code)
    assert mended(broken, finding)


def test_too_little_grate_gets_one_more_level() -> None:
    start = pit("pipe-24-saddles")
    meat = f"{math.ceil(1.3 * start.grates.meat_capacity / LB)} lb"
    short = solved(apply_edits(document("pipe-24-saddles"), [put("order", "meat", value=meat)]))
    finding = find(short, "grates.meat")
    found = offer(short, finding)
    assert found is not None
    assert len(trial(short, found.edits).grates.levels) == 2
    assert mended(short, finding)


def test_what_a_hand_did_is_undone_by_the_shops_rule_first() -> None:
    changed = apply_edits(document("orchard-30"), [put("override", "base.pocket_middle", value="40")])
    broken = solved(changed)
    found = offer(broken, find(broken, "base.pockets_off"))
    assert found is not None
    assert found.edits == (put("override", "base.pocket_middle", value=None),)


def test_what_chokes_the_fire_is_opened() -> None:
    narrow = solved(apply_edits(document("orchard-30"), [put("proportions", "firebox", "inlet_share", value=0.03)]))
    finding = next(f for f in report_of(narrow).findings if f.code == "fire.uneven")
    found = offer(narrow, finding)
    assert found is not None
    assert trial(narrow, found.edits).firebox.inlet_area > narrow.firebox.inlet_area
    assert mended(narrow, finding)


@pytest.mark.parametrize("name", NAMES)
def test_every_offer_of_every_example_does_what_it_says(name: str) -> None:
    for finding in everything(pit(name)):
        mended(pit(name), finding)


@pytest.mark.parametrize("seed", range(40))
def test_every_offer_of_a_random_pit_does_what_it_says(seed: int) -> None:
    p = random_pit(seed)
    if p is None:
        pytest.skip("no pit of that seed")
    for finding in p.findings:
        mended(p, finding)


def test_a_blank_make_safe_record_is_mended_by_no_line_of_the_drawing() -> None:
    bare = apply_edits(
        document("orchard-30"), [put("make_safe", value=None), put("override", "legs.A.station", value="12")]
    )
    held = solved(bare)
    assert offer(held, find(held, "vessel.not_cleared")) is None


def test_a_shell_bent_past_its_limit_is_mended_only_by_what_the_standing_report_says() -> None:
    """Feet dragged far out bend the shell of the trailer; a line that has nothing to do with it is not offered."""
    edits = [put("override", f"legs.{n}.half_spread", value="29 15/16") for n in "ABC"]
    edits.append(put("proportions", "legs", "pads", value="never"))
    bent = solved(apply_edits(document("trailer-48"), edits))
    stops = [f for f in everything(bent) if f.severity == "stop" and f not in bent.findings]
    assert stops
    for finding in stops:
        mended(bent, finding)


def test_a_newcomers_shell_bent_under_a_leg_gets_its_wear_pads_in_one_click() -> None:
    facts = {"around": "94 1/2", "wall": ["1/4"], "length": "84"}
    start = solved({"schema": 1, "job": {"name": "Hill job"}, "vessel": facts, "order": {"grate_height": "36"}})
    bent = [f for f in everything(start) if f.code == "stand.wall"]
    assert bent
    for finding in bent:
        assert mended(start, finding)
        found = offer(start, finding)
        assert found is not None
        assert found.label.startswith("Wear pads under the legs")


def test_a_line_of_the_jobs_own_is_not_taken_out_for_a_hairs_room() -> None:
    """Only a finding that goes or gets milder is worth another figure of the user's."""
    for seed in range(12):
        p = random_pit(seed)
        for finding in () if p is None else p.findings:
            found = offer(p, finding) if p is not None else None
            if found is not None and p is not None and found.label.endswith("to the shop's rule"):
                assert less(finding, trial(p, found.edits).findings, room=False)


def test_an_offer_never_brings_something_worse() -> None:
    for seed in range(20):
        p = random_pit(seed)
        if p is None:
            continue
        stops = sum(f.severity == "stop" for f in p.findings)
        for finding in p.findings:
            found = offer(p, finding)
            if found is not None:
                assert sum(f.severity == "stop" for f in trial(p, found.edits).findings) <= stops


@pytest.mark.parametrize("name", NAMES)
def test_a_change_tried_is_the_change_made(name: str) -> None:
    """Lines changed on the job give the job its changed file would give."""
    for edits in (
        (put("order", "grate_height", value="41 in"),),
        (put("proportions", "throat", "dam", value="60 mm"), put("override", "stack.height", value="900 mm")),
        (put("proportions", "doors", "hold", value="none"),),
    ):
        by_file = solved(apply_edits(document(name), list(edits)))
        assert with_edits(pit(name).job, edits) == by_file.job


@pytest.mark.parametrize("name", NAMES)
def test_findings_lie_where_their_pieces_do(name: str) -> None:
    shown = Desk(document(name), beside()).show(document(name), views=[], full=True).as_json()["findings"]
    assert shown
    placed = 0
    for finding in everything(pit(name)):
        place = place_of(pit(name), finding)
        if place is None:
            continue
        placed += 1
        u, v = place["at"]
        assert abs(u) < 8.0
        assert abs(v) < 8.0
    assert placed >= 2
    ids = [f["id"] for f in shown]
    assert len(set(ids)) == len(ids)
