"""Packs made by their own process: progress, pages, files, one zip, stopping, and nothing else to be had from the folder."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import tempfile
import time
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from bench_kit import bench, new_job, rid
from pitwright.bench import pack_work, packs
from pitwright.bench.packs import PREFIX, Packs
from pitwright.cli import main

SLOW = 120.0


@pytest.fixture
def page(tmp_path: Path) -> Iterator[Any]:
    with bench(tmp_path) as client:
        yield client


def asked(page: Any, job: str, **more: Any) -> str:
    answer = page.post(f"/api/jobs/{job}/packs", json={"rid": rid()} | more)
    assert answer.status_code == 201, answer.text
    return str(answer.json()["pack"])


def ended(page: Any, pack: str) -> dict[str, Any]:
    until = time.monotonic() + SLOW
    while time.monotonic() < until:
        record: dict[str, Any] = page.get(f"/api/packs/{pack}").json()
        if record["state"] not in ("waiting", "making"):
            return record
        time.sleep(0.05)
    raise AssertionError("the pack did not end")


def test_a_pack_is_made_watched_looked_at_and_taken(page: Any, tmp_path: Path) -> None:
    job = new_job(page)
    pack = asked(page, job, pieces=["quote", "cut-list", "roll"])
    seen: list[int] = []
    page.get("/api/jobs")  # the page stays live while it is made
    while not seen or page.get(f"/api/packs/{pack}").json()["state"] in ("waiting", "making"):
        record = page.get(f"/api/packs/{pack}").json()
        seen.append(record["done"])
        assert record["total"] == 3
        time.sleep(0.05)
    assert seen == sorted(seen)
    record = ended(page, pack)
    assert record["state"] == "done", record
    assert record["done"] == 3
    assert record["problems"] == []
    names = [f["name"] for f in record["files"]]
    assert {"quote.pdf", "cut-list.csv", "cut-list.xlsx"} <= set(names)
    assert any(n.startswith("roll/") for n in names)

    (tmp_path / "job.toml").write_bytes(page.get(f"/api/jobs/{job}/file").content)
    main(["pack", str(tmp_path / "job.toml"), "--out", str(tmp_path / "out"),
          "--only", "quote", "--only", "cut-list", "--only", "roll"])  # fmt: skip
    for name in names:
        data = page.get(f"/api/packs/{pack}/file/{name}")
        assert data.headers["content-disposition"].startswith("attachment")
        assert data.headers["x-content-type-options"] == "nosniff"
        if not name.endswith(".xlsx"):  # a spreadsheet carries the time it was written
            assert data.content == (tmp_path / "out" / name).read_bytes(), name

    whole = page.get(f"/api/packs/{pack}/zip")
    assert whole.headers["content-disposition"].startswith('attachment; filename="hill-job-a-pack.zip"')
    inside = zipfile.ZipFile(io.BytesIO(whole.content))
    assert inside.testzip() is None
    assert sorted(inside.namelist()) == sorted(f"hill-job-a-pack/{n}" for n in names)

    assert [p["n"] for p in record["pages"]] == list(range(1, len(record["pages"]) + 1))
    assert {p["file"] for p in record["pages"]} == {"quote.pdf", "price-for-the-shop.pdf"}
    for n in range(1, len(record["pages"]) + 1):
        picture = page.get(f"/api/packs/{pack}/page/{n}.svg")
        assert picture.headers["content-type"].startswith("image/svg+xml")
        assert "sandbox" in picture.headers["content-security-policy"]
        root = ElementTree.fromstring(picture.content)
        assert root.tag.endswith("svg")
        assert b'font-family="Pitwright Sans"' in picture.content  # and the letters to go with it
        assert picture.content.count(b'src:url("data:font/ttf;base64,') == 2
        assert not re.search(rb"(?:src|href)=.https?:|url\(.?https?:", picture.content)


def pages_in(data: bytes) -> int:
    """Pages of a PDF as poppler counts them."""
    told = subprocess.run(["pdfinfo", "-"], input=data, capture_output=True, check=True).stdout.decode()
    return next(int(line.split(":")[1]) for line in told.splitlines() if line.startswith("Pages:"))


@pytest.mark.skipif(shutil.which("pdfinfo") is None, reason="poppler-utils is not installed")
def test_every_printed_page_has_its_picture(page: Any) -> None:
    job = new_job(page)
    pack = asked(page, job, pieces=["templates", "quote"])
    record = ended(page, pack)
    for name in ("templates.pdf", "quote.pdf"):
        data = page.get(f"/api/packs/{pack}/file/{name}").content
        assert sum(p["file"] == name for p in record["pages"]) == pages_in(data)


def test_only_listed_files_can_be_had(page: Any) -> None:
    job = new_job(page)
    pack = asked(page, job, pieces=["cut-list"])
    ended(page, pack)
    for name in ("../pack.zip", "..%2f..%2fpack.zip", "/etc/passwd", "%2fetc%2fpasswd", "pages/1.svg", "", "quote"):
        assert page.get(f"/api/packs/{pack}/file/{name}").status_code == 404, name
    for n in ("0", "1", "-1", "x", "9" * 40):
        assert page.get(f"/api/packs/{pack}/page/{n}.svg").status_code == 404, n


@pytest.mark.parametrize("name", ["../x", "/x", "a/../../x", "a\\..\\x", "C:x", ""])
def test_a_pack_never_writes_outside_its_folder(tmp_path: Path, name: str) -> None:
    with pytest.raises(ValueError, match="not a file name"):
        pack_work._write(tmp_path / "files", name, b"x")
    assert list(tmp_path.iterdir()) == []


def test_the_same_request_makes_one_pack(page: Any) -> None:
    job = new_job(page)
    body = {"pieces": ["cut-list"], "rid": "twice"}
    first, second = (page.post(f"/api/jobs/{job}/packs", json=body).json()["pack"] for _ in range(2))
    assert first == second


def test_a_pack_can_be_stopped_and_the_next_goes_on(page: Any) -> None:
    job = new_job(page)
    first, second = asked(page, job), asked(page, job, pieces=["cut-list"])
    until = time.monotonic() + SLOW
    while page.get(f"/api/packs/{first}").json()["state"] == "waiting" and time.monotonic() < until:
        time.sleep(0.02)
    assert page.get(f"/api/packs/{second}").json()["state"] == "waiting"
    assert page.post(f"/api/packs/{first}/cancel", json={"rid": rid()}).json()["state"] == "cancelled"
    assert ended(page, second)["state"] == "done"
    assert page.get(f"/api/packs/{first}/zip").status_code == 404
    assert page.get(f"/api/packs/{first}").json()["state"] == "cancelled"


@pytest.mark.parametrize(
    ("asking", "field"),
    [
        ({"pieces": ["nothing"]}, "--only"),
        ({"pieces": []}, "pieces"),
        ({"pieces": "plan-set"}, "pieces"),
        ({"paper": "foolscap"}, "paper"),
        ({"rid": ""}, "rid"),
    ],
)
def test_what_cannot_be_made_is_told(page: Any, asking: dict[str, Any], field: str) -> None:
    job = new_job(page)
    answer = page.post(f"/api/jobs/{job}/packs", json={"rid": rid()} | asking)
    assert answer.status_code == 400
    assert answer.json()["error"]["field"] == field


def test_a_job_without_a_pit_has_no_pack(page: Any) -> None:
    job = page.post("/api/jobs", json={"facts": {"name": "Later"}, "rid": rid()}).json()["job"]["id"]
    answer = page.post(f"/api/jobs/{job}/packs", json={"rid": rid()})
    assert answer.status_code == 400


def test_a_process_that_dies_is_told(page: Any) -> None:
    job = new_job(page)
    pack = asked(page, job, pieces=["plan-set"])
    until = time.monotonic() + SLOW
    packs_of: Packs = page.app.state.hub.packs
    while time.monotonic() < until and (packs_of.find(pack).process is None or not packs_of.find(pack).doing):
        time.sleep(0.02)
    process = packs_of.find(pack).process
    assert process is not None
    process.kill()
    record = ended(page, pack)
    assert record["state"] == "failed"
    assert record["error"]["message"]
    assert ended(page, asked(page, job, pieces=["cut-list"]))["state"] == "done"


def test_choices_are_those_of_the_command(page: Any, capsys: pytest.CaptureFixture[str]) -> None:
    main(["pack", "any.toml", "--list"])
    listed = [line.split()[0] for line in capsys.readouterr().out.splitlines()]
    assert [p["name"] for p in page.get("/api/packs/choices").json()["pieces"]] == listed


def test_nothing_is_left_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    home = tmp_path / "temporary"
    home.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(home))
    with bench(tmp_path) as page:
        job = new_job(page)
        ended(page, asked(page, job, pieces=["cut-list"]))
        (folder,) = home.glob(f"{PREFIX}*")
        assert folder.stat().st_mode & 0o077 == 0
        asked(page, job)  # still under way when the bench stops
    assert list(home.iterdir()) == []


def test_packs_nobody_looks_at_are_thrown_away(page: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    job = new_job(page)
    old = asked(page, job, pieces=["cut-list"])
    ended(page, old)
    folder = page.app.state.hub.packs.find(old).folder
    assert folder.is_dir()
    monkeypatch.setattr(packs, "KEPT_FOR", -1.0)
    new = asked(page, job, pieces=["cut-list"])
    assert page.get(f"/api/packs/{old}").status_code == 404
    assert not folder.exists()
    assert ended(page, new)["state"] == "done"
