from __future__ import annotations

import json
import re
from typing import Any
from xml.etree import ElementTree

import pytest

from bench_jobs import NAMES, beside, document, pit
from pitwright.bench.documents import apply_edits, new_document
from pitwright.bench.drawings import VIEWS, on_view
from pitwright.bench.handles import drag, grip, typed
from pitwright.bench.inputs import in_units
from pitwright.bench.state import Desk, path_of
from pitwright.sheets.views.side import side_view
from pitwright.summary import key_figures


def desk(name: str) -> Desk:
    return Desk(document(name), beside())


def by_key(picture: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {item["key"]: item for item in picture["strip"]}


@pytest.mark.parametrize("name", NAMES)
def test_a_full_picture_of_every_example(name: str) -> None:
    shown = desk(name).show(document(name), views=["side", "stack end"], full=True).as_json()
    json.dumps(shown, allow_nan=False)
    assert shown["state"] == "solved"
    assert shown["full"]
    assert shown["problem"] is None
    assert [i["key"] for i in shown["strip"]][:2] == ["weight", "height"]
    assert {"spread", "wood", "chokes", "worst"} <= set(by_key(shown))
    assert all(i["move"] is None for i in shown["strip"])
    assert shown["figures"]
    for view in ("side", "stack end"):
        svg = ElementTree.fromstring(shown["views"][view]["svg"])
        assert svg.get("class") == "drawing"
        assert shown["views"][view]["handles"]


@pytest.mark.parametrize("name", NAMES)
def test_every_why_of_a_picture_is_a_figure_of_the_pit(name: str) -> None:
    shown = desk(name).show(document(name), views=list(VIEWS), full=True).as_json()
    known = pit(name).reasons
    whys = [i["why"] for i in shown["strip"]] + [r["why"] for g in shown["figures"] for r in g["rows"]]
    whys += [h["name"] or None for v in shown["views"].values() for h in v["handles"]]
    for view in shown["views"].values():
        whys += re.findall(r'data-about="([^"]+)"', view["svg"])
    told = [w for w in whys if w is not None]
    assert len(told) > 20
    assert not [w for w in told if w not in known]


def test_the_figures_are_those_the_command_line_prints() -> None:
    shown = desk("orchard-30").show(document("orchard-30"), views=[], full=True).as_json()
    told = [(g["heading"], [(r["label"], r["text"]) for r in g["rows"]]) for g in shown["figures"]]
    assert told == key_figures(pit("orchard-30"))
    strip = by_key(shown)
    leg = pit("orchard-30").leg_sets[0].legs[0]
    assert strip["lean"]["text"] == pit("orchard-30").tape.angle(leg.lean)
    assert strip["top cut"]["text"] == pit("orchard-30").tape.angle(leg.top_cut)


def test_the_strip_tells_how_each_figure_moved_with_the_last_change() -> None:
    stored = document("orchard-30")
    at = Desk(stored, beside())
    at.show(stored, views=["side"], stored=stored)
    taller = apply_edits(stored, [{"path": ["override", "stack.height"], "value": "50"}])
    tried = by_key(at.show(taller, views=["side"], hand="stack top", stored=stored).as_json())
    assert tried["height"]["move"] == '+12"'
    assert tried["weight"]["move"].startswith("+")
    dropped = by_key(at.show(taller, views=["side"], stored=taller).as_json())
    assert dropped["height"]["move"] == '+12"'
    rested = by_key(at.show(taller, views=["side"], full=True, stored=taller).as_json())
    assert rested["height"]["move"] == '+12"'
    back = by_key(at.show(stored, views=["side"], stored=stored).as_json())
    assert back["height"]["move"] == '-12"'


def test_a_change_of_units_moves_nothing() -> None:
    stored = document("orchard-30")
    at = Desk(stored, beside())
    at.show(stored, views=[], stored=stored)
    other = apply_edits(stored, list(in_units(stored, beside(), "metric")))
    at.show(other, views=[], stored=other)
    shown = at.show(other, views=[], full=True).as_json()
    assert shown["units"] == "metric"
    assert all(i["move"] is None for i in shown["strip"])


def test_the_leg_in_hand_is_the_one_the_strip_shows() -> None:
    stored = document("orchard-30")
    parted = apply_edits(stored, list(typed(pit("orchard-30"), "legs.B.half_spread", "16")))
    at = Desk(parted, beside())
    a, b = (by_key(at.show(parted, views=[], hand=f"leg {n} foot").as_json())["lean"] for n in "AB")
    assert (a["label"], b["label"]) == ("lean, leg A", "lean, leg B")
    assert a["text"] != b["text"]


def test_a_quick_picture_has_live_dimensions_and_no_lettering() -> None:
    stored = document("orchard-30")
    shown = desk("orchard-30").show(stored, views=["stack end"], hand="leg A foot").as_json()
    assert not shown["full"]
    assert "<text" not in shown["views"]["stack end"]["svg"]
    live = {d["name"]: d for d in shown["live"] if d["view"] == "stack end"}
    leg = pit("orchard-30").leg_sets[0].legs[0]
    assert live["legs.A.half_spread"]["text"] == pit("orchard-30").tape.length(leg.foot_y)
    u, v = on_view(pit("orchard-30"), "stack end", (leg.x, leg.foot_y, leg.foot_z))
    assert live["legs.A.half_spread"]["to"] == pytest.approx([u, v], abs=1e-4)
    assert all(f["offer"] is None for f in shown["findings"])


@pytest.mark.parametrize("name", NAMES)
def test_what_is_in_hand_has_dimensions_where_it_lies(name: str) -> None:
    at = desk(name)
    for handle in (
        "leg A foot",
        "door 1 fire end",
        "stack along",
        "main grate",
        "firebox drop",
        "rail stack end",
        "drain",
    ):
        live = at.show(document(name), views=[], hand=handle).as_json()["live"]
        for line in live:
            assert line["view"] in VIEWS
            assert line["text"]
            assert max(abs(c) for c in (*line["from"], *line["to"])) < 20.0


def test_the_frame_of_a_drawing_holds_still_from_quick_to_lettered() -> None:
    at, stored = desk("orchard-30"), document("orchard-30")

    def frame(full: bool) -> list[float]:
        svg = at.show(stored, views=["side"], full=full).views["side"]["svg"]
        box = re.search(r'viewBox="([^"]+)"', svg)
        assert box is not None
        return [float(v) for v in box[1].split()]

    frame(True)
    assert frame(False) == pytest.approx(frame(True), abs=0.01)


# ---------------------------------------------------------------- blanks and problems


def test_a_job_with_only_a_name_says_what_to_measure_and_draws_what_it_can() -> None:
    bare = new_document({"name": "Hill job"})
    shown = Desk(bare, {}).show(bare, views=list(VIEWS), full=True).as_json()
    assert shown["state"] == "blank"
    assert [b["path"] for b in shown["blanks"]] == [
        ["vessel", "around"], ["vessel", "wall"], ["vessel", "length"], ["order", "grate_height"],
    ]  # fmt: skip
    assert shown["blanks"][0]["ask"] == "measure this"
    assert shown["strip"] == []
    assert "measure this" in shown["views"]["side"]["svg"]
    known = apply_edits(bare, [{"path": ["vessel", "around"], "value": "94 1/2"}])
    after = Desk(known, {}).show(known, views=["stack end"], full=True).as_json()
    assert 'tape around: 94-1/2"' in re.sub(r"&quot;", '"', after["views"]["stack end"]["svg"])
    assert len(after["blanks"]) == 3


def test_where_no_pit_can_be_the_last_good_one_is_shown_with_the_reason() -> None:
    stored = document("orchard-30")
    at = Desk(stored, beside())
    good = at.show(stored, views=["side"])
    bad = apply_edits(stored, [{"path": ["override", "firebox.drop"], "value": "40"}])
    shown = at.show(bad, views=["side"], hand="main grate", stored=stored).as_json()
    assert shown["state"] == "cannot"
    assert shown["problem"]["message"]
    assert shown["problem"]["remedy"]
    assert shown["views"]["side"]["svg"] == good.views["side"]["svg"]
    never = Desk(bad, beside()).show(bad, views=["side"]).as_json()
    assert never["state"] == "cannot"
    assert never["views"]["side"]["svg"].startswith("<svg")
    assert never["strip"] == []


def test_a_word_that_is_no_size_is_told_at_its_line() -> None:
    bad = apply_edits(document("orchard-30"), [{"path": ["vessel", "length"], "value": "long"}])
    shown = Desk(bad, beside()).show(bad, views=["side"]).as_json()
    assert shown["problem"]["path"] == ["vessel", "length"]


@pytest.mark.parametrize(
    ("field", "path"),
    [
        ("order.grate_height", ["order", "grate_height"]),
        ("order.levels no. 2.above", ["order", "levels", 1, "above"]),
        ("override.legs.A.station", ["override", "legs.A.station"]),
        ("proportions.legs.inboard", ["proportions", "legs", "inboard"]),
        ("measured.legs[0].lean", ["measured", "legs", 0, "lean"]),
        ("arc", None),
        ("shop.toml: legs.inboard", None),
    ],
)
def test_an_errors_field_is_a_path_of_the_document(field: str, path: list[str | int] | None) -> None:
    assert path_of(field) == path


def test_a_trial_tells_its_effect_before_it_is_made() -> None:
    stored = document("orchard-30")
    at = Desk(stored, beside())
    told = at.tried(stored, apply_edits(stored, [{"path": ["proportions", "firebox", "double_wall"], "value": "2"}]))
    assert told["problem"] is None
    assert any(i["key"] == "weight" and i["move"].startswith("+") for i in told["strip"])
    assert any("firebox skin" in text for text in told["gone"])
    assert at.tried(stored, apply_edits(stored, [{"path": ["override", "firebox.drop"], "value": "40"}]))["problem"][
        "message"
    ]
    assert (
        "blank"
        in at.tried(stored, apply_edits(stored, [{"path": ["vessel", "wall"], "value": None}]))["problem"]["message"]
    )


# ---------------------------------------------------------------- the drawing


def test_a_quick_drawing_shows_the_pieces_the_printed_one_shows() -> None:
    """The same pieces, seen in the same places: the quick one only leaves out rims narrower than a hair."""
    printed = {p.title for p in side_view(pit("orchard-30")).primitives if p.title and "  " in p.title}
    shown = desk("orchard-30").show(document("orchard-30"), views=["side"]).views["side"]["svg"]
    quick = {t.replace("&quot;", '"') for t in re.findall(r"<title>([^<]*)</title>", shown)}
    missing = {t for t in printed if t not in quick}
    assert len(missing) <= 1, missing


def test_a_drop_shows_exactly_what_the_drag_showed() -> None:
    stored = document("orchard-30")
    at = Desk(stored, beside())
    one = grip(pit("orchard-30"), "stack along")
    u, v = one.places["side"]
    moved = apply_edits(stored, list(drag(pit("orchard-30"), "stack along", "side", u + 0.2, v).edits))
    first = at.show(moved, views=["side"], hand="stack along", stored=stored)
    second = at.show(moved, views=["side"], hand="stack along", stored=moved)
    assert first.views["side"]["svg"] == second.views["side"]["svg"]
    assert [i["text"] for i in first.strip] == [i["text"] for i in second.strip]


def test_a_figure_the_job_sets_itself_is_where_its_error_is_told() -> None:
    start = document("orchard-30")
    desk = Desk(start, beside())
    desk.show(start, views=["side"])
    typed = apply_edits(start, [{"path": ["override", "legs.A.contact"], "value": "75 deg"}])
    told = desk.show(typed, views=["side"]).as_json()
    assert told["state"] == "cannot"
    assert told["problem"]["path"] == ["override", "legs.A.contact"]
    ruled = apply_edits(start, [{"path": ["proportions", "firebox", "drop"], "value": "40"}])
    assert desk.show(ruled, views=["side"]).as_json()["problem"]["path"] == ["proportions", "firebox", "drop"]


def test_the_make_safe_finding_leads_to_its_record() -> None:
    bare = apply_edits(document("orchard-30"), [{"path": ["make_safe"], "value": None}])
    shown = Desk(bare, beside()).show(bare, views=[], full=True).as_json()
    held = next(f for f in shown["findings"] if f["code"] == "vessel.not_cleared")
    assert held["go"]["path"][0] == "make_safe"
    assert "[" not in held["remedy"]
    assert all(f["go"] is None for f in shown["findings"] if f is not held)
