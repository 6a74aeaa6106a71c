from __future__ import annotations

import json
from typing import Any

import pytest

from bench_jobs import NAMES, beside, document, pit, solved
from pitwright.bench.documents import apply_edits, new_document, value_at
from pitwright.bench.fields import with_unit
from pitwright.bench.inputs import groups, in_units
from pitwright.errors import JobError


def fields(told: list[dict[str, Any]]) -> dict[tuple[str | int, ...], dict[str, Any]]:
    return {tuple(f["path"]): f for group in told for f in group["fields"]}


@pytest.mark.parametrize("name", NAMES)
def test_groups_come_in_the_order_a_pit_is_thought_out(name: str) -> None:
    told = groups(document(name), pit(name))
    json.dumps(told, allow_nan=False)
    assert [g["group"] for g in told if g["group"] != "own"] == [
        "vessel", "grates", "fire", "doors", "stand", "shop", "measured",
    ]  # fmt: skip
    by_path = fields(told)
    assert len(by_path) == sum(len(g["fields"]) for g in told), "no line twice"
    labels = [(g["group"], f["label"]) for g in told for f in g["fields"]]
    assert len(set(labels)) == len(labels)


@pytest.mark.parametrize("name", NAMES)
def test_every_stated_line_has_its_field_with_what_was_typed(name: str) -> None:
    stated = document(name)
    by_path = fields(groups(stated, pit(name)))

    def walk(here: Any, path: tuple[str | int, ...]) -> None:
        if isinstance(here, dict):
            for key, value in here.items():
                walk(value, (*path, key))
        elif isinstance(here, list):
            for i, value in enumerate(here):
                walk(value, (*path, i))
        elif path[0] not in ("schema", "shop", "pieces", "fire") and path != ("job", "units"):
            field = by_path.get(path)
            assert field is not None, path
            assert field["text"] == (here if isinstance(here, str | bool) else str(here))
            assert field["blank"] is None

    walk(stated, ())


def test_what_is_in_force_stands_beside_a_blank() -> None:
    by_path = fields(groups(document("orchard-30"), pit("orchard-30")))
    share = by_path["proportions", "firebox", "size"]
    assert share["text"] is None
    assert share["shown"] == '0.8 diameter = 24"'
    assert share["why"] == "firebox.width"
    assert by_path["proportions", "legs", "sets"]["shown"] == (
        'stack seam, 1/2 radius = 7-1/2"; fire seam, 1/2 radius = 7-1/2"'
    )
    solved_drop = by_path["proportions", "firebox", "drop"]
    assert solved_drop["shown"] == pit("orchard-30").tape.length(pit("orchard-30").firebox.drop)
    assert by_path["order", "cook_temperature"]["shown"] is None, "what only repeats the typed text is left out"
    assert by_path["proportions", "doors", "hold"]["choices"] == ["none", "counterweight", "prop"]
    assert by_path["order", "grate_slides"]["kind"] == "yes-no"
    assert by_path["proportions", "doors", "hinge_clock"]["unit_hint"] == "°"


def test_a_blank_fact_says_measure_this_and_nothing_is_guessed() -> None:
    bare = new_document({"name": "Hill job"})
    by_path = fields(groups(bare, None))
    for path in (("vessel", "around"), ("vessel", "wall"), ("vessel", "length")):
        assert by_path[path]["blank"] == "measure this"
        assert by_path[path]["shown"] is None
        assert by_path[path]["text"] is None
    assert by_path["order", "grate_height"]["blank"]
    assert by_path["proportions", "legs", "profile"]["shown"] == "2 x 2 x 3/16 tube"


def test_a_begun_entry_asks_for_the_rest_of_it() -> None:
    begun = apply_edits(document("orchard-30"), [{"path": ["vessel", "fittings", 2, "name"], "value": "vent"}])
    by_path = fields(groups(begun, None))
    assert by_path["vessel", "fittings", 2, "name"]["text"] == "vent"
    assert by_path["vessel", "fittings", 2, "station"]["blank"] == "measure this"
    assert by_path["vessel", "fittings", 3, "name"]["label"].startswith("one more fitting")


@pytest.mark.parametrize("name", NAMES)
def test_every_field_can_be_changed_where_it_points(name: str) -> None:
    """Its path leads to a line of a job file; a value typed there stands in the document."""
    for path, field in fields(groups(document(name), pit(name))).items():
        if field["kind"] == "said":
            continue
        if field.get("none") == "take it out":
            before = value_at(document(name), path[:-1])
            out = apply_edits(document(name), [{"path": list(path), "value": None}])
            assert len(value_at(out, path[:-1])) == len(before) - 1
            continue
        value = field["choices"][0] if field["choices"] else True if field["kind"] == "yes-no" else "3"
        changed = apply_edits(document(name), [{"path": list(path), "value": value}])
        assert value_at(changed, path) == value


def test_only_the_rules_of_the_base_it_stands_on_are_asked() -> None:
    tables = {
        name: {
            f["path"][1]
            for g in groups(document(name), pit(name))
            for f in g["fields"]
            if f["path"][0] == "proportions"
        }
        for name in NAMES
    }
    assert "cart" in tables["cart-20"]
    assert "cart" not in tables["orchard-30"]
    assert "saddles" in tables["pipe-24-saddles"]
    assert "legs" not in tables["pipe-24-saddles"]
    assert "trailer" in tables["trailer-48"]


def test_a_figure_the_job_sets_itself_can_be_taken_out_in_its_own_group() -> None:
    changed = apply_edits(document("yard-37"), [{"path": ["override", "stack.height"], "value": "41"}])
    told = groups(changed, solved(changed))
    own = next(g for g in told if g["group"] == "own")
    assert own["fields"][0]["path"] == ["override", "stack.height"]
    assert own["fields"][0]["why"] == "stack.height"
    assert "shop's rule" in own["fields"][0]["help"]


# ---------------------------------------------------------------- the other units


@pytest.mark.parametrize("name", [n for n in NAMES if not n.startswith("upright")])
def test_changing_the_units_moves_no_figure(name: str) -> None:
    """Every figure of the pit is the same to a thousandth of a millimetre; only how it is written changes."""
    there = "metric" if pit(name).tape.inch else "inch"
    stated = apply_edits(
        document(name), [{"path": ["override", "stack.height"], "value": "900" if there == "inch" else "40 1/2"}]
    )
    before = solved(stated)
    after = solved(apply_edits(stated, list(in_units(stated, beside(), there))))
    assert after.tape.system == there
    for figure, reason in before.reasons.items():
        if isinstance(reason.value, float):
            assert after.reasons[figure].value == pytest.approx(reason.value, rel=1e-9, abs=1e-9), figure
    assert in_units(stated, beside(), before.tape.system) == ()


def test_a_shop_file_without_its_units_would_be_read_anew_so_it_is_refused() -> None:
    bare = {"shop.toml": beside()["shop.toml"].replace(b'units = "inch"\n', b"")}
    with pytest.raises(JobError, match="units") as told:
        in_units(document("orchard-30"), bare, "metric")
    assert "units" in told.value.allowed
    with pytest.raises(JobError, match="no such units"):
        in_units(document("orchard-30"), beside(), "cubits")


@pytest.mark.parametrize(
    ("value", "measure", "system", "wanted"),
    [
        ("94 1/2", "length", "inch", "94 1/2 in"),
        (37, "length", "inch", "37 in"),
        ("952", "length", "metric", "952 mm"),
        ("37 1/2 in", "length", "inch", None),
        ("952.5 mm", "length", "inch", None),
        ("3' 1\"", "length", "inch", None),
        ("1/2 radius", "share", "inch", None),
        ("8", "share", "metric", "8 mm"),
        ("300", "volume", "inch", "300 gal"),
        ("250", "temperature", "inch", "250 F"),
        ("45", "angle", "inch", None),
        (True, "length", "inch", None),
    ],
)
def test_a_bare_number_gets_the_unit_it_was_typed_in(
    value: object, measure: str, system: str, wanted: str | None
) -> None:
    assert with_unit(value, measure, system) == wanted


# ---------------------------------------------------------------- words and order


@pytest.mark.parametrize("name", NAMES)
def test_fields_speak_as_a_shop_does_with_a_unit_by_every_bare_number(name: str) -> None:
    """The words to keep off the screen; a number with no unit is a count, or says by name what it is a share of."""
    for group in groups(document(name), pit(name)):
        for field in group["fields"]:
            label = field["label"].lower()
            assert not (
                {"mesh", "head a", "head b", "config", "default", "parameter", "node"} & {label, *label.split()}
            )
            assert "_" not in label
            assert not field["help"].endswith("]"), field["help"]
            if field["kind"] == "number" and field["path"][:2] != ["proportions", "rates"]:
                assert field["unit_hint"] or "rise over run" in label, field


def test_what_matters_first_stands_first_and_the_rest_is_folded() -> None:
    told = groups(document("yard-37"), pit("yard-37"))
    vessel = [f for f in told[0]["fields"] if not f["part"] and not f["more"]]
    assert [f["path"][1] for f in vessel[:5]] == ["around", "wall", "length", "held", "coating"]
    by_path = fields(told)
    assert by_path["vessel", "head_a", "knuckle"]["more"]
    assert by_path["vessel", "head_a", "knuckle"]["plain"] == "knuckle radius"
    assert by_path["vessel", "head_a", "knuckle"]["part"] == "End A"
    assert by_path["order", "levels", 0, "above"]["plain"] == "grate 1, over the main grate"
    assert by_path["proportions", "grates", "mesh_weight"]["more"]
    assert not by_path["proportions", "firebox", "double_wall"]["more"], "what the job states is not folded away"
    stated = fields(groups(apply_edits(document("yard-37"), [{"path": ["vessel", "bow"], "value": "1/8"}]), None))
    assert not stated["vessel", "bow"]["more"]
    bare = fields(groups(new_document({"name": "Hill job"}), None))
    assert not any(f["more"] for f in bare.values() if f["blank"])


def test_a_weight_by_area_and_a_share_are_told_in_the_shops_own_figures() -> None:
    by_path = fields(groups(document("orchard-30"), pit("orchard-30")))
    assert by_path["proportions", "grates", "mesh_weight"]["shown"] == "14.6 kg/m² = 2.99 lb/ft²"
    assert by_path["proportions", "grates", "mesh_weight"]["unit_hint"] == "kg/m²"
    assert by_path["proportions", "throat", "share"]["shown"].endswith(" %")
