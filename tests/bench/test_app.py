"""Requests about jobs: the list, in and out, history, figures; names are shown and never run."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from bench_kit import EXAMPLES, FACTS, bench, new_job, rid
from pitwright.bench.hub import Kept
from pitwright.bench.replies import file_name
from pitwright.job.file import job_from, read_toml
from pitwright.layout.pit import solve

NASTY = "<script>alert(1)</script>\"&'/../\\%00.toml"


@pytest.fixture
def page(tmp_path: Path) -> Iterator[Any]:
    with bench(tmp_path) as client:
        yield client


def test_a_newcomer_makes_a_pit_from_five_facts(page: Any) -> None:
    job = new_job(page)
    (row,) = page.get("/api/jobs").json()["jobs"]
    assert row["id"] == job
    assert row["name"] == "Hill job"
    assert page.get(f"/job/{job}").status_code == 200
    figures = {f["name"]: f["text"] for f in page.get(f"/api/jobs/{job}/figures").json()["figures"]}
    facts = {
        "job": {"name": "Hill job", "units": "inch"},
        "vessel": {"around": "94 1/2", "wall": "1/4", "length": "84"},
    }
    pit = solve(job_from(page.app.state.hub.store.get(job).document))
    assert facts["job"]["name"] == pit.job.job.name
    for name in ("legs.A.lean", "legs.A.foot_cut", "weight.empty"):
        assert figures[name] == pit.tape.figure(pit.reasons[name].value, pit.reasons[name].measure)


@pytest.mark.parametrize(
    ("fact", "typed"),
    [("around", "945"), ("around", "abc"), ("grate_height", "3"), ("wall", "4"), ("length", "-2"), ("units", "cubits")],
)
def test_a_fact_that_cannot_be_is_told_at_once_and_no_job_is_made(page: Any, fact: str, typed: str) -> None:
    answer = page.post("/api/jobs", json={"facts": FACTS | {fact: typed}, "rid": rid()})
    assert answer.status_code == 400
    error = answer.json()["error"]
    assert error["field"].endswith(fact)
    assert error["path"][-1] == fact
    assert error["allowed"]
    assert error["remedy"]
    assert page.get("/api/jobs").json()["jobs"] == []


def test_the_same_request_twice_makes_one_job(page: Any) -> None:
    body = {"facts": FACTS, "rid": "once"}
    first, second = (page.post("/api/jobs", json=body).json()["job"]["id"] for _ in range(2))
    assert first == second
    assert len(page.get("/api/jobs").json()["jobs"]) == 1


def test_search_copy_put_away_and_back(page: Any) -> None:
    job = new_job(page)
    other = new_job(page, name="Yard job")
    found = page.get("/api/jobs", params={"search": "yard"}).json()["jobs"]
    assert [r["id"] for r in found] == [other]
    copied = page.post(f"/api/jobs/{job}/copy", json={"rid": rid()}).json()["job"]
    assert copied["id"] not in (job, other)
    assert page.post(f"/api/jobs/{job}/remove", json={"rid": rid()}).status_code == 200
    assert job not in {r["id"] for r in page.get("/api/jobs").json()["jobs"]}
    assert [r["id"] for r in page.get("/api/jobs?removed=1").json()["jobs"]] == [job]
    assert page.post(f"/api/jobs/{job}/restore", json={"rid": rid()}).status_code == 200
    assert job in {r["id"] for r in page.get("/api/jobs").json()["jobs"]}


def test_a_job_goes_out_and_comes_back_the_same(page: Any) -> None:
    job = new_job(page, name="Hügel & Söhne")
    text = page.get(f"/api/jobs/{job}/file")
    assert text.headers["content-disposition"].startswith('attachment; filename="hugel-sohne.toml"')
    back = page.post("/api/jobs/import?name=a.toml", content=text.content).json()["job"]
    store = page.app.state.hub.store
    assert store.get(back["id"]).document == store.get(job).document
    packed = page.get(f"/api/jobs/{job}/export")
    assert packed.headers["content-type"] == "application/zip"
    assert "job.toml" in zipfile.ZipFile(io.BytesIO(packed.content)).namelist()
    again = page.post("/api/jobs/import?name=a.zip", content=packed.content).json()["job"]
    assert store.get(again["id"]).document == store.get(job).document


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("orchard*.toml")), ids=lambda p: p.stem)
def test_an_example_comes_in_and_shows_what_the_command_shows(page: Any, path: Path) -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as out:
        for name in (path.name, "shop.toml"):
            out.write(path.with_name(name), name)
    job = page.post("/api/jobs/import?name=orchard.zip", content=packed.getvalue()).json()["job"]["id"]
    pit = solve(job_from(read_toml(path), folder=path.parent))
    why = page.get(f"/api/jobs/{job}/why?name=legs.A.lean").json()["why"]
    assert why["text"] == pit.tape.figure(pit.reasons["legs.A.lean"].value, "angle")
    assert why["formula"] == pit.reasons["legs.A.lean"].formula
    assert [r["name"] for r in why["rests_on"]] == list(pit.reasons["legs.A.lean"].rests_on)


def test_a_job_that_comes_without_the_shop_file_it_builds_by_is_told_at_once(page: Any) -> None:
    alone = page.post("/api/jobs/import?name=a.toml", content=(EXAMPLES / "orchard-30.toml").read_bytes()).json()
    assert alone["missing"] == ["shop.toml"]
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as out:
        for name in ("orchard-30.toml", "shop.toml"):
            out.write(EXAMPLES / name, name)
    assert page.post("/api/jobs/import?name=a.zip", content=packed.getvalue()).json()["missing"] == []


def test_a_job_is_begun_with_a_name_alone_and_asks_for_the_rest(page: Any) -> None:
    facts = {"name": "Hill job", "around": "", "wall": "", "length": "", "grate_height": "", "units": "inch"}
    answer = page.post("/api/jobs", json={"facts": facts, "rid": rid()})
    assert answer.status_code == 201
    document = page.app.state.hub.store.get(answer.json()["job"]["id"]).document
    assert not document.get("vessel", {}).get("around")


@pytest.mark.parametrize(
    "data", [b"", b"\xff\xfe\x00", b"PK\x03\x04broken", b"name = ", b"[vessel]\nnope = 1\n", b"x" * 2_000_000]
)
def test_what_is_no_job_file_is_told(page: Any, data: bytes) -> None:
    answer = page.post("/api/jobs/import?name=a.toml", content=data)
    if data == b"[vessel]\nnope = 1\n":  # a job that cannot be read is kept and told on its page
        return
    assert answer.status_code == 400
    assert answer.json()["error"]["message"]


def test_names_are_shown_and_never_run(page: Any) -> None:
    job = new_job(page, name=NASTY, customer=NASTY)
    listed = page.get("/api/jobs")
    assert listed.headers["content-type"] == "application/json"
    assert listed.json()["jobs"][0]["name"] == NASTY
    assert NASTY not in page.get(f"/job/{job}").text
    picture = page.get(f"/api/jobs/{job}/picture.svg")
    assert "<script" not in picture.text
    assert "sandbox" in picture.headers["content-security-policy"]
    ElementTree.fromstring(picture.content)
    given = page.get(f"/api/jobs/{job}/file").headers["content-disposition"]
    assert given.startswith('attachment; filename="script-alert-1-script-')
    assert "<" not in given
    assert ".." not in given


@pytest.mark.parametrize(
    ("name", "want"),
    [
        ("Hill job", "hill-job.toml"),
        ("../../etc/passwd", "etc-passwd.toml"),
        ('a"; filename="b.exe', "a-filename-b-exe.toml"),
        ("\r\nset-cookie: x", "set-cookie-x.toml"),
        ("CON", "job-con.toml"),
        ("", "job.toml"),
        ("橙", "job.toml"),
        ("x" * 300, "x" * 60 + ".toml"),
    ],
)
def test_download_names_are_safe(name: str, want: str) -> None:
    assert file_name(name, ".toml") == want


def test_history_is_kept_and_an_earlier_state_comes_back(page: Any) -> None:
    job = new_job(page)
    store = page.app.state.hub.store
    first = store.get(job).head
    edits = [{"path": ["order", "grate_height"], "value": "38"}]
    store.edit(job, edits, base=first, rid=rid(), label="grate height typed", who="the bench")
    changes = page.get(f"/api/jobs/{job}/history").json()["changes"]
    assert [c["label"] for c in changes] == ["grate height typed", "job begun"]
    assert [c["current"] for c in changes] == [True, False]
    answer = page.post(f"/api/jobs/{job}/current", json={"change": first, "rid": rid()})
    assert answer.status_code == 200
    assert store.get(job).document["order"]["grate_height"] == "37"
    assert len(page.get(f"/api/jobs/{job}/history").json()["changes"]) == 3


@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("GET", "/api/jobs/nope/history"),
        ("GET", "/api/jobs/nope/file"),
        ("GET", "/api/jobs/nope/export"),
        ("GET", "/api/jobs/nope/picture.svg"),
        ("GET", "/api/jobs/nope/why?name=x"),
        ("GET", "/job/nope"),
        ("GET", "/job/..%2f..%2fetc"),
        ("POST", "/api/jobs/nope/copy"),
        ("POST", "/api/jobs/nope/packs"),
        ("GET", "/api/packs/nope"),
        ("GET", "/nothing"),
    ],
)
def test_what_is_not_there_is_told(page: Any, method: str, path: str) -> None:
    answer = page.request(method, path, **({"json": {"rid": rid()}} if method == "POST" else {}))
    assert answer.status_code == 404
    assert answer.json()["error"]["message"]


def test_a_job_with_blanks_has_an_empty_picture_and_says_what_to_measure(page: Any) -> None:
    job = page.post("/api/jobs", json={"facts": {"name": "Later"}, "rid": rid()}).json()["job"]["id"]
    picture = page.get(f"/api/jobs/{job}/picture.svg")
    assert picture.status_code == 200
    assert b"<path" not in picture.content
    error = page.get(f"/api/jobs/{job}/why?name=legs.A.lean")
    assert error.status_code == 400
    assert error.json()["error"]["field"]


def test_the_picture_in_the_list_follows_the_change(page: Any) -> None:
    job = new_job(page)
    store = page.app.state.hub.store
    before = page.get(f"/api/jobs/{job}/picture.svg").content
    edits = [{"path": ["order", "grate_height"], "value": "44"}]
    store.edit(job, edits, base=store.get(job).head, rid=rid(), label="higher", who="")
    after = page.get(f"/api/jobs/{job}/picture.svg").content
    assert before != after
    assert len(after) < 60_000
    ElementTree.fromstring(after)


def test_a_name_no_figure_has_is_told_with_those_near(page: Any) -> None:
    job = new_job(page)
    error = page.get(f"/api/jobs/{job}/why?name=legs.A.leen").json()["error"]
    assert "legs.A.lean" in error["allowed"]


def test_reasons_that_repeat_are_not_told_twice(page: Any) -> None:
    job = new_job(page)
    told: dict[str, int] = {}

    def walk(record: dict[str, Any]) -> None:
        if record["again"]:
            assert record["rests_on"] == []
        else:
            told[record["name"]] = told.get(record["name"], 0) + 1
        for below in record["rests_on"]:
            walk(below)

    walk(page.get(f"/api/jobs/{job}/why?name=legs.A.long_point").json()["why"])
    assert len(told) > 5
    assert set(told.values()) == {1}


# ---------------------------------------------------------------- larger views


def test_fire_stand_and_3d_are_of_the_same_pit(page: Any) -> None:
    job = new_job(page)
    pit = solve(job_from(page.app.state.hub.store.get(job).document))
    fire = page.post(f"/api/jobs/{job}/fire", json={"trial": {}})
    assert fire.status_code == 200, fire.text
    assert fire.json()["burns"]
    less = page.post(f"/api/jobs/{job}/fire", json={"trial": {"inlet": 60}}).json()
    assert less["figures"] != fire.json()["figures"]
    stand = page.get(f"/api/jobs/{job}/stand")
    assert stand.status_code == 200, stand.text
    assert stand.json()["checks"]
    solid = page.get(f"/api/jobs/{job}/solid").json()
    assert solid["weight"] == pit.tape.mass(pit.balance["empty"].mass)


@pytest.mark.parametrize(
    "body", [{"trial": []}, {"trial": "hot"}, {"trial": {"inlet": "wide"}}, {"trial": {"moon": 1}}]
)
def test_a_trial_that_is_none_is_told(page: Any, body: dict[str, Any]) -> None:
    job = new_job(page)
    answer = page.post(f"/api/jobs/{job}/fire", json=body)
    assert answer.status_code == 400
    assert answer.json()["error"]["message"]


def test_the_customers_page_is_a_file_and_never_a_page_of_ours(page: Any) -> None:
    job = new_job(page, name=NASTY)
    answer = page.get(f"/api/jobs/{job}/customer.html")
    assert answer.status_code == 200
    assert answer.headers["content-disposition"].startswith("attachment")
    assert "sandbox" in answer.headers["content-security-policy"]
    assert "<script>alert(1)" not in answer.text


def test_large_answers_travel_small(page: Any) -> None:
    job = new_job(page)
    answer = page.get(f"/api/jobs/{job}/solid", headers={"accept-encoding": "gzip"})
    assert answer.headers["content-encoding"] == "gzip"
    assert int(answer.headers["content-length"]) < 0.6 * len(answer.content)


def test_what_is_kept_is_what_was_used_last() -> None:
    kept: Kept[str] = Kept(2)
    kept.keep("a", "1")
    kept.keep("b", "2")
    assert kept.find("a") == "1"
    kept.keep("c", "3")
    assert [kept.find(k) for k in "abc"] == ["1", None, "3"]
