from __future__ import annotations

import re

from bench_jobs import beside, document, pit, solved
from pitwright.bench.compare import compared
from pitwright.bench.documents import apply_edits
from pitwright.bench.state import Desk


def test_nothing_differs_between_a_pit_and_itself() -> None:
    found = compared(pit("orchard-30"), solved(document("orchard-30")), ["side"])
    assert found["rows"] == []


def test_every_figure_that_differs_is_told_and_no_other() -> None:
    changed = apply_edits(document("orchard-30"), [{"path": ["order", "grate_height"], "value": "40"}])
    before, after = pit("orchard-30"), solved(changed)
    told = {f"{r['group']} {r['label']}": r for r in compared(before, after, ["side"])["rows"]}
    tape = after.tape
    for name in after.reasons:
        a, b = before.reasons[name], after.reasons[name]
        differs = tape.figure(a.value, a.measure) != tape.figure(b.value, b.measure)
        label = name.replace(".", " ").replace("_", " ")
        assert (label in told) == differs, name
        if differs:
            assert told[label]["pinned"] == tape.figure(a.value, a.measure)
            assert told[label]["now"] == tape.figure(b.value, b.measure)
    assert told["order grate height"]["move"] == '+3-1/2"'


def test_the_fire_is_compared_too() -> None:
    open_wide = apply_edits(
        document("orchard-30"), [{"path": ["proportions", "firebox", "inlet_share"], "value": 0.08}]
    )
    rows = compared(pit("orchard-30"), solved(open_wide), ["side"])["rows"]
    wood = next(r for r in rows if r["group"] == "fire" and r["label"] == "wood")
    assert wood["move"].startswith("+")
    assert wood["pinned"].endswith("lb/h")


def test_both_are_written_as_the_job_reads_now() -> None:
    metric = apply_edits(document("receiver-metric"), [{"path": ["override", "stack.height"], "value": "1000"}])
    rows = compared(pit("receiver-metric"), solved(metric), ["side"])["rows"]
    assert all("in" not in (r["now"], r["pinned"]) for r in rows)
    stack = next(r for r in rows if r["label"] == "height" and r["group"] == "stack")
    assert stack["now"] == "1000 mm"


def test_the_pinned_pit_is_drawn_dashed_under_the_one_now() -> None:
    changed = apply_edits(document("orchard-30"), [{"path": ["override", "stack.x"], "value": "60"}])
    views = compared(pit("orchard-30"), solved(changed), ["side", "plan"])["views"]
    assert set(views) == {"side", "plan"}
    ghost = re.search(r'<g class="ghost">(.*?)</g>', views["side"], re.S)
    assert ghost is not None
    assert "S1  stack" in ghost[1]
    assert views["side"].count("S1  stack") > ghost[1].count("S1  stack")


def test_findings_that_came_and_went_are_told() -> None:
    worse = apply_edits(document("orchard-30"), [{"path": ["override", "base.pocket_middle"], "value": "40"}])
    rows = compared(pit("orchard-30"), solved(worse), ["side"])["rows"]
    assert any(r["group"] == "findings" and r["label"] == "new" and "fork pockets" in r["now"] for r in rows)
    at = Desk(document("orchard-30"), beside())
    assert any("fork pockets" in t for t in at.tried(document("orchard-30"), worse)["new"])
