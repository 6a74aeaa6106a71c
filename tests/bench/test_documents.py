"""Documents of the bench: lines changed one at a time, blanks named, TOML there and back, files from outside refused."""

from __future__ import annotations

import contextlib
import copy
import io
import tomllib
import tracemalloc
import zipfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.bench.documents import (
    FILE_LIMIT,
    Document,
    apply_edits,
    blanks,
    dotted,
    from_toml,
    new_document,
    read_job,
    to_toml,
    value_at,
)
from pitwright.bench.merge import Conflict, changed, merged
from pitwright.bench.shipping import HISTORY_LIMIT, READ_LIMIT, history_in, shipped, unshipped
from pitwright.errors import JobError
from pitwright.job.burns import SavedBurn, burn_text
from pitwright.job.file import load_job
from pitwright.job.template import job_text

EXAMPLES = Path(__file__).parents[2] / "examples"
FIVE = {"name": "Hill job", "around": "94 1/2", "wall": "1/4", "length": "84", "grate_height": "37"}
LEAST: Document = {
    "schema": 1,
    "job": {"name": "Bench pit"},
    "vessel": {"around": "94 1/2", "wall": "1/4", "length": "84"},
    "order": {"grate_height": "37"},
}


def edit(path: str, value: Any) -> Any:
    return {"path": [int(s) if s.isdigit() else s for s in path.split("/")], "value": value}


def a_burn(signature: str) -> SavedBurn:
    return SavedBurn(
        signature=signature, readings=5, rms_before=2.0, rms_after=1.0, fits=True, level=0.5, coefficients={}
    )


# ---------------------------------------------------------------- edits


def test_a_line_is_set_and_taken_out_and_the_given_document_stays() -> None:
    before = copy.deepcopy(LEAST)
    after = apply_edits(LEAST, [edit("order/grate_height", "38"), edit("measured/legs/0/set", "A")])
    assert before == LEAST
    assert value_at(after, ("order", "grate_height")) == "38"
    assert after["measured"] == {"legs": [{"set": "A"}]}
    assert "grate_height" not in apply_edits(after, [edit("order/grate_height", None)])["order"]
    assert apply_edits(after, [edit("measured/legs/0", None)])["measured"]["legs"] == []
    assert apply_edits(LEAST, [edit("measured/legs/3/lean", None)]) == LEAST


def test_an_override_typed_with_dots_or_under_headings_is_one_line() -> None:
    one = apply_edits(LEAST, [{"path": ["override", "stack.height"], "value": "40"}])
    other = apply_edits(LEAST, [{"path": ["override", "stack", "height"], "value": "40"}])
    assert one == other
    assert one["override"] == {"stack.height": "40"}


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        ("order/grate_hieght", "38", "did you mean grate_height"),
        ("oder", {"x": 1}, "did you mean order"),
        ("order", "38", "heading with lines under it"),
        ("order/grate_height/deep", "38", "nothing under this line"),
        ("order/grate_height", {"a": 1}, "one line, not a heading"),
        ("measured/legs/2/lean", "4", "up to no. 1"),
        ("measured/legs/lean", "4", "this is a list"),
        ("measured/legs", [{"set": "A", "leen": "4"}], "did you mean lean"),
        ("shop/fil", "shop.toml", "did you mean file"),
        ("order/people", float("inf"), "no tape reads that"),
        ("order/people", 10**30, "no tape reads that"),
        ("job/name", "x" * 5000, "too long"),
        ("job/name", "bell \x07", "cannot be printed"),
        ("job/name", "half a letter \ud800", "cannot be printed"),
        ("job/name", object(), "no job file holds that"),
        ("order/levels", [None], "no job file holds that"),
    ],
)
def test_what_no_job_file_has_is_refused_with_the_way_out(path: str, value: Any, says: str) -> None:
    with pytest.raises(JobError, match=says):
        apply_edits(LEAST, [edit(path, value)])


@pytest.mark.parametrize(
    "edits",
    [
        "x",
        [1],
        [{"path": ["order"]}],
        [{"path": [], "value": 1}],
        [{"path": ["a"] * 9, "value": 1}],
        [{"path": [True], "value": 1}],
        [{"path": ["measured", "legs", -1], "value": {}}],
        [{"path": ["measured", "legs", 10**9], "value": {}}],
        [{"path": "order", "value": 1}],
        [edit("order/people", 1)] * 201,
    ],
)
def test_edits_of_the_wrong_shape_are_refused(edits: Any) -> None:
    with pytest.raises(JobError):
        apply_edits(LEAST, edits)


def test_a_line_nobody_knows_can_still_be_taken_out() -> None:
    odd = {**LEAST, "order": {**LEAST["order"], "colour": "black"}}
    with pytest.raises(JobError, match="no such line"):
        read_job(odd, {})
    assert read_job(apply_edits(odd, [edit("order/colour", None)]), {}) == read_job(LEAST, {})


# ---------------------------------------------------------------- reading


def test_the_five_facts_make_the_same_job_as_the_command_line() -> None:
    assert read_job(new_document(FIVE), {}) == read_job(tomllib.loads(job_text(FIVE, "inch")), {})
    assert blanks(new_document(FIVE)) == []


def test_blank_facts_are_named_in_the_order_of_the_file() -> None:
    assert blanks(new_document({"name": "x"})) == [
        "vessel.around",
        "vessel.wall",
        "vessel.length",
        "order.grate_height",
    ]
    assert blanks(new_document({"name": " ", "nominal": "250 gal", "grate_height": "37"})) == ["job.name"]
    for line in ("vessel/wall", "vessel/length", "order/grate_height", "job/name"):
        short = apply_edits(LEAST, [edit(line, None)])
        assert blanks(short) == [line.replace("/", ".")]
        with pytest.raises(JobError, match="measure this"):
            read_job(short, {})
    taped = apply_edits(LEAST, [edit("vessel/around", None), edit("vessel/rounds/0", {"station": 6, "around": 94})])
    assert blanks(taped) == []


def test_shop_and_burn_files_are_read_from_memory_as_from_disk() -> None:
    path = EXAMPLES / "orchard-30.toml"
    document, shop = from_toml(path.read_bytes()), (EXAMPLES / "shop.toml").read_bytes()
    assert read_job(document, {"shop.toml": shop}) == load_job(path)
    own, others = burn_text([a_burn("own")]).encode(), burn_text([a_burn("first"), a_burn("last")]).encode()
    document = apply_edits(document, [edit("fire/learned", ["hill.burn.toml"])])
    known = read_job(document, {"shop.toml": shop, "job.burn.toml": own, "hill.burn.toml": others})
    assert [b.signature for b in known.burns.own] == ["own"]
    assert [b.signature for b in known.burns.shop] == ["last"]


@pytest.mark.parametrize("name", sorted(p.name for p in EXAMPLES.glob("*.toml") if p.name != "shop.toml"))
def test_every_example_reads_the_same_from_memory(name: str) -> None:
    path = EXAMPLES / name
    beside = {"shop.toml": (EXAMPLES / "shop.toml").read_bytes()}
    document = from_toml(path.read_bytes())
    assert read_job(document, beside) == load_job(path)
    assert from_toml(to_toml(document)) == document
    assert read_job(from_toml(to_toml(document)), beside) == load_job(path)


def test_files_beside_are_asked_for_by_name_and_never_looked_for_on_disk(tmp_path: Path) -> None:
    (tmp_path / "shop.toml").write_text("schema = 1\n")
    for name in ("shop.toml", str(tmp_path / "shop.toml"), "../shop.toml"):
        with pytest.raises(JobError, match="beside"):
            read_job({**LEAST, "shop": {"file": name}}, {"other.toml": b""})
    with pytest.raises(JobError, match="beside"):
        read_job({**LEAST, "fire": {"learned": ["other.burn.toml"]}}, {})


# ---------------------------------------------------------------- TOML there and back

_TEXT = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=20)
_VALUE = st.one_of(
    st.booleans(),
    st.integers(-(2**53), 2**53),
    st.floats(allow_nan=False, allow_infinity=False),
    _TEXT,
    st.lists(st.one_of(_TEXT, st.integers(-5, 5)), max_size=3),
)
_NAME = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=12)
_TABLE = st.dictionaries(_NAME, _VALUE, max_size=4)
_DOCUMENT = st.fixed_dictionaries(
    {"job": st.dictionaries(st.sampled_from(["name", "customer", "date"]), st.one_of(_TEXT, st.just("2026-02-28")))},
    optional={
        "vessel": st.recursive(
            _TABLE,
            lambda inner: st.dictionaries(_NAME, st.one_of(inner, st.lists(inner, max_size=3), _VALUE), max_size=4),
            max_leaves=8,
        ),
        "override": _TABLE,
        "pieces": _TABLE,
    },
)


@given(_DOCUMENT)
def test_any_document_comes_back_from_toml_the_same(document: Document) -> None:
    back = from_toml(to_toml(document))
    assert back == document
    assert changed(back, document) == []


def test_dates_stand_as_dates_in_the_file() -> None:
    text = to_toml({**LEAST, "make_safe": {"signed_on": "2026-05-11"}, "job": {"name": "2026-05-11", "date": "soon"}})
    assert b"signed_on = 2026-05-11" in text
    assert b'name = "2026-05-11"' in text
    assert b'date = "soon"' in text


# ---------------------------------------------------------------- files from outside


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"\xff\xfe", "not plain text"),
        (b"a = ", "not a job file"),
        (b"a = 1", "no job file"),
        (b"job = 3\nvessel = 4", "no job file"),
        (b"# " + b"x" * FILE_LIMIT, "too large"),
        (b"[" + b"a." * 20_000 + b"a]", "too long"),
        (b"a = \n" + b"[\n" * 5_000, "not a job file"),
        (b"[job]\nname = inf", "no tape reads that"),
        (b'[job]\nname = "\\u0007"', "cannot be printed"),
        (b"[job]\nx = " + b"[\n" * 12 + b"]" * 12, "headings within headings"),
        (b"[job]\nx = [" + b"1,\n" * 25_000 + b"]", "too much"),
    ],
)
def test_files_that_are_no_job_are_refused(data: bytes, says: str) -> None:
    with pytest.raises(JobError, match=says):
        unshipped(data, "found.toml")


def zipped(files: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as pack:
        for name, data in files.items():
            pack.writestr(name, data)
    return out.getvalue()


def test_a_zip_brings_the_job_and_the_files_it_names_by_their_last_name() -> None:
    job = to_toml({**LEAST, "shop": {"file": "shop.toml"}, "fire": {"learned": ["b.burn.toml"]}})
    document, beside = unshipped(
        zipped(
            {
                "../../etc/hill.toml": job,
                "C:\\shop\\shop.toml": b"schema = 1",
                "x/hill.burn.toml": b"schema = 1",
                "/b.burn.toml": b"schema = 1",
                "stray.burn.toml": b"schema = 1",
                "run.py": b"import os",
                ".hidden.toml": b"[job]",
            }
        ),
        "hill.zip",
    )
    assert document["job"] == LEAST["job"]
    assert sorted(beside) == ["b.burn.toml", "job.burn.toml", "shop.toml"]


def test_a_job_shipped_comes_in_again() -> None:
    document = {**LEAST, "shop": {"file": "shop.toml"}}
    beside = {"shop.toml": b"schema = 1\n", "job.burn.toml": b"schema = 1\n"}
    assert unshipped(shipped(document, beside, [{"label": "x"}]), "x.zip") == (document, beside)


def test_zips_that_swell_or_lie_are_refused() -> None:
    job = to_toml(LEAST)
    many = {f"{i}.toml": b"a = 1" for i in range(60)}
    with pytest.raises(JobError, match="too many"):
        unshipped(zipped(many), "x.zip")
    with pytest.raises(JobError, match="too many"):
        unshipped(zipped({f"{i}.txt": b"" for i in range(2_100)}), "x.zip")
    bomb = zipped({"job.toml": job, "bomb.toml": b"#" * 100_000_000, "history.json": b" " * 100_000_000})
    tracemalloc.start()
    with pytest.raises(JobError, match="too large"):
        unshipped(bomb, "x.zip")
    assert tracemalloc.get_traced_memory()[1] < 2 * READ_LIMIT
    assert history_in(bomb, LEAST) == ()
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 3 * HISTORY_LIMIT  # the rest was never unpacked
    with pytest.raises(JobError, match="too large"):
        unshipped(zipped({f"{i}.toml": b"#" * (READ_LIMIT // 8) for i in range(9)}), "x.zip")
    with pytest.raises(JobError, match="twice"):
        unshipped(zipped({"a/job.toml": job, "b/job.toml": job}), "x.zip")
    with pytest.raises(JobError, match="several"):
        unshipped(zipped({"a.toml": job, "b.toml": job}), "x.zip")
    with pytest.raises(JobError, match="no job file"):
        unshipped(zipped({"a.txt": job}), "x.zip")


@given(st.binary(max_size=200), st.integers(0, 400))
def test_a_spoilt_zip_is_an_error_of_ours_or_the_job(noise: bytes, at: int) -> None:
    whole = bytearray(zipped({"job.toml": to_toml(LEAST)}))
    whole[4 + at : 4 + at + len(noise)] = noise
    with contextlib.suppress(JobError):
        assert unshipped(bytes(whole), "x.zip")[0] == LEAST


# ---------------------------------------------------------------- two at one job

_PATHS = [
    ("order", "grate_height"),
    ("order", "people"),
    ("override", "stack.height"),
    ("measured", "around"),
    ("measured", "legs", 0, "set"),
    ("measured", "legs", 0, "lean"),
    ("pieces", "L1"),
    ("job", "name"),
]
_EDITS = st.lists(
    st.tuples(st.sampled_from(_PATHS), st.sampled_from(["1", "2", None])).map(
        lambda e: {"path": [*e[0]], "value": e[1]}
    ),
    max_size=4,
)
_LEGS = apply_edits(LEAST, [edit("measured/legs/0", {"set": "A", "lean": "9"})])


@given(_EDITS, _EDITS)
def test_edits_of_two_meet_in_a_conflict_or_both_stand(theirs: Any, mine: Any) -> None:
    head = apply_edits(_LEGS, theirs)
    moved = {dotted(p) for p in changed(_LEGS, head)}
    met: Conflict | None = None
    try:
        both = merged(_LEGS, head, mine)
    except Conflict as conflict:
        met = conflict
    if met is not None:
        assert met.paths
        assert {dotted(p) for p in met.paths} <= moved
        return
    assert both == apply_edits(head, mine)
    alone = apply_edits(_LEGS, mine)
    for path in changed(_LEGS, head):  # nothing of theirs is lost
        assert value_at(both, path) == value_at(head, path)
    for path in changed(_LEGS, alone):  # nor of mine
        assert value_at(both, path) == value_at(alone, path)


def test_a_list_that_grew_is_one_line() -> None:
    grew = apply_edits(_LEGS, [edit("measured/legs/1/set", "B")])
    assert changed(_LEGS, grew) == [["measured", "legs"]]
    with pytest.raises(Conflict):
        merged(_LEGS, grew, [edit("measured/legs/0/lean", "10")])
    with pytest.raises(Conflict) as met:
        merged(_LEGS, apply_edits(_LEGS, [edit("measured/legs", None)]), [edit("measured/legs/0/lean", "10")])
    assert met.value.theirs == [{"path": ["measured", "legs"], "value": None}]


def test_the_same_value_from_two_is_no_conflict_but_a_place_taken_out_twice_is() -> None:
    head = apply_edits(_LEGS, [edit("order/grate_height", "38")])
    assert merged(_LEGS, head, [edit("order/grate_height", "38")]) == head
    gone = apply_edits(_LEGS, [edit("measured/legs/0", None)])
    with pytest.raises(Conflict):
        merged(_LEGS, gone, [edit("measured/legs/0", None)])
