"""Job files: reading, faults in the shop's words, the shop file, writing whole or not at all."""

from __future__ import annotations

import contextlib
import copy
import os
import stat
import tomllib
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import JobError, OutputError, PitwrightError
from pitwright.job.facts import Job
from pitwright.job.file import SCHEMA, job_from, load_job, write_whole
from pitwright.job.template import job_text, write_new
from pitwright.tape import INCH, Tape

LEAST: dict[str, Any] = {
    "schema": 1,
    "job": {"name": "Bench pit"},
    "vessel": {"around": "94 1/2", "wall": "1/4", "length": "84"},
    "order": {"grate_height": "37"},
}


def tables(**changes: Any) -> dict[str, Any]:
    """The least job, with `heading__line=value` changed."""
    data = copy.deepcopy(LEAST)
    for path, value in changes.items():
        *headings, line = path.split("__")
        table = data
        for heading in headings:
            table = table.setdefault(heading, {})
        table[line] = value
    return data


def write(folder: Path, data: dict[str, Any], name: str = "job.toml") -> Path:
    path = folder / name
    path.write_text(tomlkit.dumps(data), encoding="utf-8")
    return path


# ---------------------------------------------------------------- reading


def test_what_is_written_is_what_is_read(tmp_path: Path) -> None:
    data = tables(
        proportions__legs__clock="45",
        proportions__base__rails_outside="34",
        measured__height="38 3/16",
        pieces__L1="cut",
        vessel__fittings=[{"name": "boss", "station": "70", "around": "47", "size": "2 1/2", "good_for": ["drain"]}],
    )
    job = load_job(write(tmp_path, data))
    assert job == job_from(data)
    assert job.vessel.around == pytest.approx(94.5 * INCH)
    assert job.measured.height == pytest.approx(38.1875 * INCH)
    assert job.pieces == {"L1": "cut"}


@pytest.mark.parametrize("units", ["inch", "metric"])
def test_a_new_job_file_reads_back(tmp_path: Path, units: Any) -> None:
    typed = {"inch": ("94 1/2", "1/4", "84", "37"), "metric": ("2400", "6", "2134", "940")}[units]
    facts = dict(zip(("around", "wall", "length", "grate_height"), typed, strict=True))
    path = write_new(tmp_path / "new.toml", job_text({"name": "New", **facts}, units), overwrite=False)
    job = load_job(path)
    assert job.job.units == units
    assert job.vessel.around == pytest.approx(2.400, abs=0.0005)
    assert job.order.grate_height == pytest.approx(0.940, abs=0.0005)


def test_inches_and_millimetres_are_the_same_job() -> None:
    inch = job_from(tables())
    metric = job_from(
        {
            "schema": 1,
            "job": {"name": "Bench pit", "units": "metric"},
            "vessel": {"around": 2400.3, "wall": 6.35, "length": 2133.6},
            "order": {"grate_height": 939.8},
        }
    )
    assert metric.vessel.around == pytest.approx(inch.vessel.around, rel=1e-15)
    assert metric.vessel.wall == pytest.approx(inch.vessel.wall, rel=1e-15)
    assert metric.proportions == inch.proportions


def test_a_file_saved_by_a_plain_editor_reads(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_bytes(b"\xef\xbb\xbf" + tomlkit.dumps(LEAST).replace("\n", "\r\n").encode())
    assert load_job(path).job.name == "Bench pit"


def test_no_schema_line_is_the_first_schema() -> None:
    data = tables()
    del data["schema"]
    assert job_from(data) == job_from(tables())


def test_overrides_may_be_typed_with_or_without_quotation_marks(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text(
        tomlkit.dumps(LEAST) + '\n[override]\nfirebox.width = "26"\n"stack.height" = "40"\n"door 1.stop" = 100\n'
    )
    assert load_job(path).override == {"firebox.width": "26", "stack.height": "40", "door 1.stop": 100}


def test_several_wall_readings_or_one() -> None:
    assert job_from(tables(vessel__wall="1/4")).vessel.wall == (0.25 * INCH,)
    assert job_from(tables(vessel__wall=["1/4", "15/64"])).vessel.wall == (0.25 * INCH, 15.0 / 64.0 * INCH)


# ---------------------------------------------------------------- faults


def fault(data: dict[str, Any]) -> JobError:
    with pytest.raises(JobError) as caught:
        job_from(data)
    return caught.value


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        # unknown names: the nearest known one, or the heading they stand under
        ({"vessel__arround": "94"}, "vessel.arround", "did you mean around"),
        ({"orders__people": 3}, "orders", "did you mean order"),
        ({"proportions__doors__hinge": 3}, "proportions.doors.hinge", "did you mean hinges"),
        ({"vessel__grate_height": "37"}, "vessel.grate_height", "stands under [order]"),
        ({"vessel__fittings": [{"name": "a", "station": 1, "around": 1, "size": 1, "plann": "keep"}]},
         "vessel.fittings no. 1.plann", "did you mean plan"),
        # blanks are asked for, never guessed
        ({"vessel__rounds": [{"around": "94"}]}, "vessel.rounds no. 1.station", "measure this"),
        # lengths that cannot be read: what was probably meant
        ({"vessel__around": "9-4-1/2"}, "vessel.around", "94-1/2"),
        ({"vessel__wall": ["1/4", "11 ga"]}, "vessel.wall no. 2", "gauge"),
        ({"vessel__wall": "thick"}, "vessel.wall", "37-1/2"),
        # out of range: the range in the units of the job
        ({"order__grate_height": "9"}, "order.grate_height", '11-13/16" to 78-3/4"'),
        ({"proportions__legs__saw_limit": 80}, "proportions.legs.saw_limit", "74.5°"),
        # choices
        ({"order__base": "sled"}, "order.base", "skid, saddles"),
        ({"order__base": "saddle"}, "order.base", "Did you mean saddles?"),
        # the wrong kind of thing
        ({"vessel": 3}, "vessel", "heading with lines under it"),
        ({"vessel__seams": "long"}, "vessel.seams", "list"),
        ({"order__people": "many"}, "order.people", "whole number"),
        ({"order__people": 2.5}, "order.people", "whole number"),
        ({"order__grate_slides": "perhaps"}, "order.grate_slides", "true or false"),
        ({"make_safe__signed_on": "last week"}, "make_safe.signed_on", "2026-01-31"),
        ({"job__name": ""}, "job.name", "at least 1 letters"),
        ({"job__name": 7}, "job.name", "words in quotation marks"),
        ({"job__revision": "3"}, "job.revision", "revision letter"),
        ({"vessel__rounds": [{"station": i} for i in range(4)]}, "vessel.rounds", "up to 3"),
        ({"proportions": 1}, "proportions", "heading"),
        ({"proportions__throat__share": "much"}, "proportions.throat.share", "number"),
        ({"pieces__L1": "lost"}, "pieces.L1", "tacked"),
        ({"proportions__legs": {"inboard": "4", "clock": "45"}}, "proportions.legs", "said 2 ways (clock, inboard)"),
        ({"job__units": "cubits"}, "job.units", "inch, metric"),
        ({"schema": SCHEMA + 1}, "schema", "newer"),
        ({"schema": "one"}, "schema", "1 to 1"),
        ({"schema": True}, "schema", "1 to 1"),
        ({"vessel__nominal": "777 gal"}, "vessel.nominal", "250 gal"),
    ],
)  # fmt: skip
def test_faults_name_field_value_allowed_and_a_way_out(changes: dict[str, Any], field: str, words: str) -> None:
    problem = fault(tables(**changes))
    assert problem.field == field
    assert words in problem.text()
    assert problem.allowed
    assert problem.remedy
    for programmers in ("Input should", "dictionary", "instance", "pydantic", "validation", "None", "type="):
        assert programmers not in problem.text()


def test_metric_jobs_are_told_their_limits_in_millimetres() -> None:
    problem = fault({**tables(), "job": {"name": "m", "units": "metric"}})
    assert problem.field == "vessel.around" or "mm" in problem.text()
    metric = {"job": {"name": "m", "units": "metric"}, "vessel": {"around": 2400, "wall": 6, "length": 2134}}
    assert "300 mm to 2000 mm" in fault({**metric, "order": {"grate_height": 37}}).text()


def test_more_faults_are_counted() -> None:
    assert "After this one: 1 more." in fault(tables(vessel__arround="1", order__base="sled")).text()


def test_a_fact_that_is_missing_is_asked_for() -> None:
    data = tables()
    del data["vessel"]["length"]
    problem = fault(data)
    assert problem.field == "vessel.length"
    assert "measure this" in problem.text()
    assert "girth seam to girth seam" in problem.allowed


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(JobError, match="cannot be opened"):
        load_job(tmp_path / "none.toml")
    binary = tmp_path / "photo.toml"
    binary.write_bytes(b"\xff\xd8\xff\xe0")
    with pytest.raises(JobError, match="not plain text"):
        load_job(binary)
    broken = tmp_path / "broken.toml"
    broken.write_text("[vessel]\naround = 94 1/2\n")
    with pytest.raises(JobError, match="quotation marks"):
        load_job(broken)


junk = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12) | st.dates(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)


@given(
    st.sampled_from(
        ["schema", "job", "vessel", "order", "shop", "override", "pieces", "measured", "proportions", "vessel__wall",
         "vessel__around", "vessel__rounds", "vessel__nominal", "vessel__head_a", "vessel__seams", "job__units",
         "order__levels", "proportions__legs__sets", "proportions__stack__at", "proportions__shop__sticks",
         "make_safe__signed_on", "measured__legs", "stray"]
    ),
    junk,
)  # fmt: skip
def test_whatever_is_typed_raises_only_our_own_errors(place: str, value: Any) -> None:
    with contextlib.suppress(PitwrightError):
        assert isinstance(job_from(tables(**{place: value})), Job)


# ---------------------------------------------------------------- the shop file


def test_a_job_inherits_the_shop_and_changes_single_rules(tmp_path: Path) -> None:
    write(tmp_path, {"schema": 1, "doors": {"longest": "38", "mullion": "5"}, "stack": {"height": "40"}}, "shop.toml")
    path = write(tmp_path, tables(shop__file="shop.toml", proportions__doors__mullion="6"))
    rules = load_job(path).proportions
    assert rules.doors.longest == pytest.approx(38 * INCH)
    assert rules.doors.mullion == pytest.approx(6 * INCH)
    assert rules.stack.height == pytest.approx(40 * INCH)
    assert rules.stack.at == job_from(tables()).proportions.stack.at


def test_the_jobs_way_to_say_the_contact_replaces_the_shops(tmp_path: Path) -> None:
    write(tmp_path, {"legs": {"inboard": "4", "set_in": "2"}}, "shop.toml")
    legs = load_job(write(tmp_path, tables(shop__file="shop.toml", proportions__legs__clock="45"))).proportions.legs
    assert legs.inboard is None
    assert legs.clock == pytest.approx(0.785398, abs=1e-6)
    assert legs.set_in == pytest.approx(2 * INCH)


def test_the_shop_file_is_read_in_the_shops_own_units(tmp_path: Path) -> None:
    write(tmp_path, {"units": "inch", "doors": {"mullion": 4}, "firebox": {"size": "24"}}, "shop.toml")
    metric = {
        "job": {"name": "m", "units": "metric"},
        "vessel": {"around": 2400, "wall": 6, "length": 2134},
        "order": {"grate_height": 940},
        "shop": {"file": "shop.toml"},
        "proportions": {"stack": {"height": 900}},
    }
    rules = load_job(write(tmp_path, metric)).proportions
    assert rules.doors.mullion == pytest.approx(4 * INCH)
    assert rules.firebox.size.factor == pytest.approx(24 * INCH)
    assert rules.stack.height == pytest.approx(0.9)


def test_the_tape_follows_the_units_of_the_job(tmp_path: Path) -> None:
    assert job_from(tables()).tape == Tape.for_system("inch")
    metric = {
        "job": {"name": "m", "units": "metric"},
        "vessel": {"around": 2400, "wall": 6, "length": 2134},
        "order": {"grate_height": 940},
    }
    assert job_from(metric).tape == Tape.for_system("metric")
    assert job_from({**metric, "proportions": {"shop": {"tape_step": 0.5}}}).tape.step == pytest.approx(0.0005)
    write(tmp_path, {"units": "inch", "shop": {"tape_step": "1/32"}}, "shop.toml")
    job = load_job(write(tmp_path, {**metric, "shop": {"file": "shop.toml"}}))
    with pytest.raises(JobError, match="Leave it blank and 1 mm is used") as caught:
        _ = job.tape
    assert caught.value.field == "proportions.shop.tape_step"


@pytest.mark.parametrize(
    ("shop", "field", "words"),
    [
        ({"doors": {"longst": "38"}}, "shop.toml: doors.longst", "longest"),
        ({"doors": {"longest": "3 miles"}}, "shop.toml: doors.longest", "cannot read"),
        ({"legs": {"inboard": "4", "lean": "5"}}, "shop.toml: legs", "said 2 ways"),
        ({"units": "ells"}, "shop.toml: units", "inch, metric"),
        ({"schema": 99}, "schema", "newer"),
    ],
)
def test_faults_of_the_shop_file_say_which_file(tmp_path: Path, shop: dict[str, Any], field: str, words: str) -> None:
    write(tmp_path, shop, "shop.toml")
    with pytest.raises(JobError) as caught:
        load_job(write(tmp_path, tables(shop__file="shop.toml")))
    assert caught.value.field == field
    assert words in caught.value.text()


@pytest.mark.parametrize(
    "shop", [{"file": "../shop.toml"}, {"file": 3}, {"files": "x"}, "shop.toml", {"file": "gone.toml"}]
)
def test_the_shop_file_lies_beside_the_job(tmp_path: Path, shop: Any) -> None:
    with pytest.raises(JobError):
        load_job(write(tmp_path, tables(shop=shop)))


# ---------------------------------------------------------------- writing


def test_a_file_is_written_whole(tmp_path: Path) -> None:
    path = tmp_path / "new folder" / "out.bin"
    write_whole(path, b"one")
    write_whole(path, b"two")
    assert path.read_bytes() == b"two"
    assert [p.name for p in path.parent.iterdir()] == ["out.bin"]
    plain = tmp_path / "plain.bin"
    plain.write_bytes(b"")
    assert stat.S_IMODE(path.stat().st_mode) == stat.S_IMODE(plain.stat().st_mode)


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_write_that_fails_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    path = tmp_path / "out.bin"
    write_whole(path, b"old")

    def full(*_: Any, **__: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, step, full)
    with pytest.raises(OutputError) as caught:
        write_whole(path, b"new")
    assert "No space left" in caught.value.text()
    assert str(path) in caught.value.field
    assert caught.value.remedy
    assert path.read_bytes() == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["out.bin"]


def test_an_interrupted_write_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "out.bin"
    write_whole(path, b"old")

    def stop(*_: Any) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", stop)
    with pytest.raises(KeyboardInterrupt):
        write_whole(path, b"new")
    assert path.read_bytes() == b"old"
    assert len(list(tmp_path.iterdir())) == 1


def test_a_folder_of_that_name_is_told(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    with pytest.raises(OutputError):
        write_whole(tmp_path / "out", b"x")
    (tmp_path / "file").write_text("")
    with pytest.raises(OutputError):
        write_whole(tmp_path / "file" / "under", b"x")


@pytest.mark.parametrize("base", ["stand", "cart", "trailer"])
def test_the_lines_ready_to_use_for_a_base_can_be_used(base: str) -> None:
    facts = {"name": "One", "around": "94 1/2", "wall": "1/4", "length": "84", "grate_height": "44", "base": base}
    text = job_text(facts, "inch")
    ready = "".join(
        line.removeprefix("# ") + "\n"
        for line in text.split(f"# [proportions.{base}]")[1].split("\n\n")[0].splitlines()
        if "=" in line
    )
    said = tomllib.loads(f"[proportions.{base}]\n{ready}")
    if base == "trailer":
        hitch = [
            line.removeprefix("# ") for line in text.splitlines() if line.startswith(("# tongue_share", "# hitch"))
        ]
        assert len(hitch) == 2
        said["order"] = tomllib.loads("\n".join(hitch))
    job = job_from(merged_text(tomllib.loads(text), said))
    rules = getattr(job.proportions, base)
    assert len(rules.model_fields_set) >= 4


def merged_text(under: dict[str, Any], over: dict[str, Any]) -> dict[str, Any]:
    """A job file with lines taken out of comment."""
    out = dict(under)
    for key, value in over.items():
        out[key] = merged_text(out.get(key, {}), value) if isinstance(value, dict) else value
    return out
