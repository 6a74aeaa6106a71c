"""The shop floor: what each step shows, and that what a phone sends is taken once, in order, and never over another's."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from pitwright.bench.documents import Document, apply_edits, from_toml, read_job, value_at
from pitwright.bench.floor import check_key, floor_record
from pitwright.bench.floor_measures import edits_for, feet_of, typed_at
from pitwright.bench.floor_routes import solved
from pitwright.bench.floor_send import Clerk
from pitwright.bench.store import Held, Store
from pitwright.errors import JobError
from pitwright.layout.model import Pit

EXAMPLES = Path(__file__).parents[2] / "examples"
BESIDE = {"shop.toml": (EXAMPLES / "shop.toml").read_bytes()}
NAMES = sorted(p.stem for p in EXAMPLES.glob("*.toml") if p.name != "shop.toml")


def document_of(name: str) -> Document:
    return from_toml((EXAMPLES / f"{name}.toml").read_bytes())


def record_of(document: Document, **more: Any) -> dict[str, Any]:
    held = Held(document=document, beside=BESIDE, head=1, undo_label=None, redo_label=None)
    return floor_record("x", held, more.get("ticks", {}), solved(document, BESIDE))


def step(record: dict[str, Any], key: str) -> dict[str, Any]:
    return next(s for s in record["steps"] if s["key"] == key)


def pit_of(document: Document) -> Pit:
    return solved(document, BESIDE)


# ---------------------------------------------------------------- what is shown


@pytest.mark.parametrize("name", NAMES)
def test_every_example_has_steps_that_go_over_the_wire(name: str) -> None:
    record = record_of(document_of(name))
    assert json.loads(json.dumps(record))["steps"]
    assert [s["number"] for s in record["steps"]] == list(range(1, len(record["steps"]) + 1))
    marks = [p["mark"] for s in record["steps"] for p in s["pieces"]]
    assert sorted(marks) == sorted(p.mark for p in pit_of(document_of(name)).parts)  # every piece once
    for one in record["steps"]:
        for pull in one["pulls"]:
            assert pull["datum"]
            assert all(stop["text"] for stop in pull["stops"])
        for box in one["boxes"]:
            assert box["want"]
            edits_for(document_of(name), box["field"], ["1"] * len(box["got"]), box["parts"])


def test_the_two_saw_settings_of_a_leg_are_those_of_its_cut_list() -> None:
    document = document_of("orchard-30")
    pit, legs = pit_of(document), step(record_of(document), "legs")
    first = legs["saw"][0]
    leg = pit.leg_sets[0].legs[0]
    assert [e["name"] for e in first["ends"]] == ["foot", "top"]
    assert [e["setting"] for e in first["ends"]] == [pit.tape.angle(leg.foot_cut), pit.tape.angle(leg.top_cut)]
    assert first["long_point"] == pit.tape.length(leg.long_point)
    assert ("ROLL" in first["turn"]) == leg.roll
    assert first["check"] == ("long point less short point", pit.tape.fine(leg.long_point - leg.short_point))


def test_marks_are_pulled_from_one_datum_and_rise() -> None:
    document = document_of("orchard-30")
    pit = pit_of(document)
    along, around = step(record_of(document), "marks")["pulls"]
    assert along["datum"] == "stack seam, hooked once"
    for pull in (along, around):
        read = [pit.tape.length(v) for v in sorted(set(_figures(pit, pull is along)))]
        told = [s["text"] for s in pull["stops"]]
        assert set(told) <= set(read) | {pit.tape.length(pit.vessel.station(pit.firebox.x0))}
    assert around["stops"][0] == {"what": "top line", "text": '0"', "also": ""}
    assert along["closes"] == f"far seam at {pit.tape.length(pit.vessel.length)}"


def _figures(pit: Pit, along: bool) -> list[float]:
    feet = [pit.vessel.station(s.legs[0].x) for s in pit.leg_sets]
    shell = [m.along if along else m.around for m in pit.marks if m.on == "shell"]
    return shell + feet + [pit.vessel.length]


def test_nothing_that_places_a_cut_is_given_out_before_the_vessel_is_cleared() -> None:
    document = document_of("orchard-30")
    cleared, held = record_of(document), record_of(apply_edits(document, [{"path": ["make_safe"], "value": None}]))
    assert held["hold"].startswith("HOLD")
    pit = pit_of(document)
    door = pit.doors[0]
    secret = {pit.tape.length(pit.vessel.station(x)) for x in (door.x0, door.x1)} | {pit.tape.fine(door.diagonal)}
    secret |= {pit.tape.length(pit.vessel.around_at(c)) for c in (door.hinge_clock, door.edge_clock)}
    shown = json.dumps(cleared, ensure_ascii=False)
    hidden = json.dumps(held, ensure_ascii=False)
    for figure in secret:
        assert json.dumps(figure, ensure_ascii=False) in shown or figure in shown.replace('\\"', '"')
    for one in held["steps"]:
        if one["key"].startswith("door") or one["key"] == "marks":
            told = json.dumps([one["pulls"], one["checks"], one["boxes"]], ensure_ascii=False).replace('\\"', '"')
            for figure in secret:
                assert f'"{figure}"' not in told
        assert one["held"] == step(cleared, one["key"])["held"] or one["held"]
    assert "held back" in hidden


def test_the_feet_are_called_as_the_stand_sheet_calls_them() -> None:
    from pitwright.strength.from_pit import pit_frame

    for name in ("orchard-30", "pipe-24-saddles", "stand-24"):
        pit = pit_of(document_of(name))
        assert set(feet_of(pit)) <= {f.name for f in pit_frame(pit, "empty").feet}
        assert len(feet_of(pit)) == 4


def test_the_version_changes_with_what_is_shown_and_only_then() -> None:
    document = document_of("orchard-30")
    assert record_of(document)["version"] == record_of(document)["version"]
    moved = apply_edits(document, [{"path": ["measured", "around"], "value": "94"}])
    assert record_of(document)["version"] != record_of(moved)["version"]


def test_what_was_wanted_stays_beside_what_was_got() -> None:
    document = apply_edits(
        document_of("orchard-30"),
        [
            {"path": ["measured", "legs"], "value": [{"set": "A", "lean": "6"}]},
            {"path": ["pieces", "L1"], "value": "cut"},
        ],
    )
    record = record_of(document)
    box = next(b for b in step(record, "legs")["boxes"] if b["field"] == "legs.A.working.lean")
    assert box["want"] == pit_of(document_of("orchard-30")).tape.angle(
        pit_of(document_of("orchard-30")).leg_sets[0].legs[0].lean
    )
    assert box["got"] == ("6",)
    assert record["verdicts"][0]["mark"] == "L1"
    assert record["moved"]
    assert record["revision"] == "B"


def test_a_job_without_a_pit_says_why_and_gives_no_steps() -> None:
    document = apply_edits(document_of("orchard-30"), [{"path": ["order", "grate_height"], "value": None}])
    held = Held(document=document, beside=BESIDE, head=1, undo_label=None, redo_label=None)
    with pytest.raises(JobError) as why:
        solved(document, BESIDE)
    record = floor_record("x", held, {}, why.value)
    assert record["steps"] == []
    assert record["problem"]["field"] == "order.grate_height"


# ---------------------------------------------------------------- where figures go


def test_figures_go_to_their_lines_and_out_again() -> None:
    document = document_of("orchard-30")
    for field, value in (("height", "38 1/8"), ("legs.A.working.lean", "4.5"), ("doors.2.arc", "21 3/4")):
        after = apply_edits(document, edits_for(document, field, [value]))
        assert typed_at(after, field) == (value,)
        read_job(after, BESIDE)
        assert typed_at(apply_edits(after, edits_for(after, field, [""])), field) is None
    one = apply_edits(document, edits_for(document, "legs.A.working.lean", ["4.5"]))
    two = apply_edits(one, edits_for(one, "legs.A.back.lean", ["4.4"]))
    two = apply_edits(two, edits_for(two, "legs.A.working.spread", ["13"]))
    assert value_at(two, ("measured", "legs")) == [
        {"set": "A", "side": "working", "lean": "4.5", "spread": "13"},
        {"set": "A", "side": "back", "lean": "4.4"},
    ]
    out = apply_edits(two, edits_for(two, "legs.A.back.lean", [""]))
    assert len(value_at(out, ("measured", "legs"))) == 1


@pytest.mark.parametrize(
    ("field", "values", "says"),
    [
        ("height", ["about 38"], "Allowed"),
        ("height", ["1" * 41], "letters"),
        ("height", [], "1 of"),
        ("hight", ["38"], "nothing of that name"),
        ("legs.A.working.colour", ["38"], "nothing of that name"),
        ("legs.A.front.lean", ["4"], "nothing of that name"),
        ("doors.9.arc", ["4"], "nothing of that name"),
        ("diagonals", ["128", ""], "belong together"),
        ("weight", ["1 foot"], "Allowed"),
    ],
)
def test_what_no_tape_reads_is_refused(field: str, values: list[str], says: str) -> None:
    with pytest.raises(JobError, match=says):
        edits_for(document_of("orchard-30"), field, values)


# ---------------------------------------------------------------- sending


@pytest.fixture
def shop(tmp_path: Path) -> Any:
    with Store.open(tmp_path) as held:
        yield held


def begun(shop: Store) -> str:
    return shop.create(document_of("orchard-30"), BESIDE, "begin", "desk").id


def send(shop: Store, job: str, *items: Any) -> Any:
    return Clerk(shop, job, "phone", solved).take(list(items))


def got(rid: str, field: str, *value: str, seen: Any = ((("",)),)) -> dict[str, Any]:
    return {"rid": rid, "kind": "measure", "field": field, "value": list(value), "seen": [list(s) for s in seen]}


def test_items_are_taken_in_order_and_what_re_solved_is_told(shop: Store) -> None:
    job = begun(shop)
    sent = send(
        shop,
        job,
        {"rid": "a", "kind": "state", "mark": "L1", "state": "cut", "seen": ["open"]},
        got("b", "legs.A.working.lean", "6"),
        {"rid": "c", "kind": "tick", "step": "legs", "done": True},
        {"rid": "d", "kind": "state", "mark": "L1", "state": "tacked", "seen": ["open", "cut"]},
    )
    assert [a.taken for a in sent.answers] == [True] * 4
    assert any(line.startswith("legs A lean: was") for line in sent.moved)
    assert "L1" in {v["mark"] for v in sent.verdicts}
    held = shop.get(job)
    assert held.document["pieces"] == {"L1": "tacked"}
    assert shop.ticks(job)["legs"].who == "phone"
    assert [c.label for c in shop.history(job)][1:] == ["L1 cut", "measured legs A working lean: 6", "L1 tacked"]


def test_items_sent_twice_are_done_once(shop: Store) -> None:
    job = begun(shop)
    items = [got("a", "height", "38 1/8"), {"rid": "t", "kind": "tick", "step": "set", "done": True}]
    send(shop, job, *items)
    shop.edit(
        job,
        [{"path": ["measured", "height"], "value": "38 1/4"}],
        base=shop.get(job).head,
        rid="desk",
        label="",
        who="",
    )
    again = send(shop, job, *items)  # the answer was lost on the way; meanwhile the desk has set it otherwise
    assert [a.taken for a in again.answers] == [True, True]
    assert not again.moved
    assert typed_at(shop.get(job).document, "height") == ("38 1/4",)
    assert len(shop.history(job)) == 3


def test_a_late_item_never_overwrites_what_it_has_not_seen(shop: Store) -> None:
    job = begun(shop)
    send(shop, job, got("a", "height", "38 1/8"))
    late = send(shop, job, got("b", "height", "38 1/2")).answers[0]
    assert (late.taken, late.now) == (False, ["38 1/8"])
    assert typed_at(shop.get(job).document, "height") == ("38 1/8",)
    assert send(shop, job, got("c", "height", "38 1/8")).answers[0].taken  # the same figure is no quarrel
    assert send(shop, job, got("d", "height", "38 1/2", seen=[[""], ["38 1/8"]])).answers[0].taken
    assert send(shop, job, got("d2", "height", "", seen=[["38 1/2"]])).answers[0].taken
    assert typed_at(shop.get(job).document, "height") is None
    state = {"rid": "e", "kind": "state", "mark": "L1", "state": "cut", "seen": ["open"]}
    assert send(shop, job, state).answers[0].taken
    stale = send(shop, job, {**state, "rid": "f", "state": "tacked"}).answers[0]
    assert (stale.taken, stale.now) == (False, ["cut"])


def test_a_piece_that_goes_with_its_twin_can_be_opened_again(shop: Store) -> None:
    job = begun(shop)
    send(shop, job, {"rid": "a", "kind": "state", "mark": "L1", "state": "cut", "seen": ["open"]})
    states = {p["mark"]: p["state"] for p in step(record_of(shop.get(job).document), "legs")["pieces"]}
    for n, (mark, state) in enumerate(states.items()):
        back = {"rid": f"b{n}", "kind": "state", "mark": mark, "state": "open", "seen": [state]}
        assert send(shop, job, back).answers[0].taken
    after = step(record_of(shop.get(job).document), "legs")["pieces"]
    assert {p["state"] for p in after} == {"open"}


def test_a_figure_that_leaves_no_pit_is_refused_and_the_next_is_taken(shop: Store) -> None:
    job = begun(shop)
    sent = send(
        shop,
        job,
        got("a", "around", "9 1/4"),
        got("b", "height", "thirty"),
        {"rid": "c", "kind": "state", "mark": "X9", "state": "cut", "seen": ["open"]},
        {"rid": "d", "kind": "tick", "step": "no such", "done": True},
        {"rid": "e", "kind": "what"},
        17,
        got("", "height", "38"),
        got("f", "height", "38 1/8"),
    )
    assert [a.taken for a in sent.answers] == [False] * 7 + [True]
    assert all(a.error and a.error["message"] for a in sent.answers[:7])
    assert "9-1/4" in str(sent.answers[0].error)
    assert len(shop.history(job)) == 2


def test_feet_and_diagonals_go_whole(shop: Store) -> None:
    job = begun(shop)
    feet = got("a", "feet", "0", "0", "1/16", "0", seen=[["", "", "", ""]])
    assert send(shop, job, feet).answers[0].taken
    assert [f["height"] for f in shop.get(job).document["measured"]["feet"]] == ["0", "0", "1/16", "0"]
    assert not send(shop, job, got("b", "feet", "0", "0", "", "0", seen=[["0", "0", "1/16", "0"]])).answers[0].taken
    box = next(b for b in step(record_of(shop.get(job).document), "try")["boxes"] if b["field"] == "feet")
    assert box["got"] == ("0", "0", "1/16", "0")


def test_a_cutting_step_is_not_ticked_on_a_vessel_nobody_cleared(shop: Store) -> None:
    job = begun(shop)
    shop.edit(job, [{"path": ["make_safe"], "value": None}], base=shop.get(job).head, rid="x", label="", who="")
    tick = {"rid": "a", "kind": "tick", "step": "door 1", "done": True}
    assert not send(shop, job, tick).answers[0].taken
    assert send(shop, job, {**tick, "rid": "b", "step": "base"}).answers[0].taken
    hold = check_key("base", "rails in winding")
    assert send(shop, job, {**tick, "rid": "c", "step": hold}).answers[0].taken


def test_measurements_are_kept_even_while_the_job_has_no_pit(shop: Store) -> None:
    job = begun(shop)
    shop.edit(
        job, [{"path": ["order", "grate_height"], "value": None}], base=shop.get(job).head, rid="x", label="", who=""
    )
    assert send(shop, job, got("a", "height", "38")).answers[0].taken
    assert typed_at(shop.get(job).document, "height") == ("38",)
