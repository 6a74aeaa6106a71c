"""Who may speak to the page. The rules are those of the web platform: RFC 9110 (Host, Origin), RFC 6265bis (cookies),
W3C Content Security Policy Level 3, Fetch Metadata; DNS rebinding is met by the Host rule."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from bench_kit import HOST, bench, live_at, new_job, rid
from pitwright.bench.guard import IMPORT_LIMIT, JSON_LIMIT
from pitwright.bench.pages import KINDS, STATIC
from pitwright.bench.share import CODE_LIFE, SESSION_LIFE, WRONG_FOR_A_CODE, CodeError, Share, TooManyTries

PHONE = "192.168.7.31"
SHOP = "192.168.7.20:8321"


@pytest.fixture
def page(tmp_path: Path) -> Iterator[Any]:
    with bench(tmp_path) as client:
        yield client


# ---------------------------------------------------------------- whose address


@pytest.mark.parametrize(
    "host",
    [
        "evil.example:8321",  # a name somebody pointed at this machine (DNS rebinding)
        "127.0.0.1.evil.example:8321",
        "127.0.0.1:9999",
        "127.0.0.1",
        "0.0.0.0:8321",
        "169.254.169.254",
        "127.0.0.1:8321@evil.example",
        "127.0.0.1:8321\\evil.example",
        "",
    ],
)
def test_another_address_is_turned_away(page: Any, host: str) -> None:
    answer = page.get("/api/jobs", headers={"host": host})
    assert answer.status_code == 403
    assert "jobs" not in answer.json()


def test_two_hosts_are_none(page: Any) -> None:
    assert page.get("/", headers=[("host", HOST), ("host", "evil.example")]).status_code == 403


def test_its_own_names_are_answered(page: Any) -> None:
    assert page.get("/").status_code == 200
    assert page.get("/", headers={"host": "localhost:8321", "origin": "http://localhost:8321"}).status_code == 200


# ---------------------------------------------------------------- whose page


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "http://127.0.0.1:3000", "https://127.0.0.1:8321", "null", "", "file://"]
)
def test_a_change_asked_by_another_page_is_turned_away(page: Any, origin: str) -> None:
    answer = page.post("/api/jobs", json={"facts": {"name": "x"}, "rid": rid()}, headers={"origin": origin})
    assert answer.status_code == 403
    assert page.get("/api/jobs").json()["jobs"] == []


def test_a_change_without_an_origin_is_turned_away(page: Any) -> None:
    del page.headers["origin"]
    assert page.post("/api/jobs", json={"facts": {"name": "x"}, "rid": rid()}).status_code == 403


def test_a_form_of_another_site_cannot_post(page: Any) -> None:
    # a form needs no permission to cross sites, but it cannot say application/json
    for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data"):
        answer = page.post("/api/jobs", content=b'{"facts":{"name":"x"},"rid":"r"}', headers={"content-type": kind})
        assert answer.status_code == 400


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_another_site_cannot_embed_or_read(page: Any, site: str) -> None:
    asked = {"sec-fetch-site": site, "sec-fetch-mode": "no-cors", "sec-fetch-dest": "image"}
    job = new_job(page)
    assert page.get(f"/api/jobs/{job}/picture.svg", headers=asked).status_code == 403
    assert page.get("/static/css/base.css", headers=asked).status_code == 403
    framed = {"sec-fetch-site": site, "sec-fetch-mode": "navigate", "sec-fetch-dest": "iframe"}
    assert page.get("/", headers=framed).status_code == 403
    followed = {"sec-fetch-site": site, "sec-fetch-mode": "navigate", "sec-fetch-dest": "document"}
    assert page.get("/", headers=followed).status_code == 200


def test_other_ways_of_asking_are_refused(page: Any) -> None:
    for method in ("PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"):
        answer = page.request(method, "/api/jobs")
        assert answer.status_code == 403
        assert "access-control-allow-origin" not in answer.headers


@pytest.mark.parametrize(
    "headers", [{"origin": "http://evil.example"}, {"origin": "null"}, {"host": "evil.example:8321"}]
)
def test_the_live_line_is_for_our_page_only(page: Any, headers: dict[str, str]) -> None:
    from starlette.websockets import WebSocketDisconnect

    job = new_job(page)
    with page.websocket_connect(live_at(job)) as line:
        line.send_text('{"do":"look","views":["side"]}')
        assert '"picture"' in line.receive_text()
    with pytest.raises(WebSocketDisconnect) as turned, page.websocket_connect(live_at(job), headers=headers) as line:
        line.receive_text()
    assert turned.value.code == 1008


# ---------------------------------------------------------------- how much


def test_a_body_over_its_limit_is_refused(page: Any) -> None:
    answer = page.post("/api/jobs", content=b"x" * (JSON_LIMIT + 1), headers={"content-type": "application/json"})
    assert answer.status_code == 413
    assert page.post("/api/jobs/import?name=a.toml", content=b"#" * (IMPORT_LIMIT + 1)).status_code == 413


def test_a_body_that_lies_about_its_size_is_refused(page: Any) -> None:
    def pieces() -> Iterator[bytes]:
        for _ in range(JSON_LIMIT // 1000 + 2):
            yield b"x" * 1000

    answer = page.post("/api/jobs", content=pieces(), headers={"content-type": "application/json"})
    assert answer.status_code == 413
    assert page.get("/", headers={"content-length": "-1"}).status_code == 413


@pytest.mark.parametrize(
    "body", ['{"facts":NaN}', "[1]", '"x"', "{", "[" * 100_000, '{"rid":Infinity}', "\ufeff{}", '{"facts":{}}']
)
def test_what_is_no_json_table_is_told(page: Any, body: str) -> None:
    answer = page.post("/api/jobs", content=body.encode(), headers={"content-type": "application/json"})
    assert answer.status_code == 400
    assert answer.json()["error"]["message"]


# ---------------------------------------------------------------- what every answer carries


def test_headers_of_every_answer(page: Any) -> None:
    job = new_job(page)
    for path in ("/", f"/job/{job}", "/static/css/base.css", "/api/jobs", "/api/nothing", f"/api/jobs/{job}/file"):
        answer = page.get(path)
        policy = answer.headers["content-security-policy"]
        assert "unsafe-eval" not in policy
        assert "http:" not in policy.replace(f"ws://{HOST}", "")
        assert "frame-ancestors 'none'" in policy
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["referrer-policy"] == "no-referrer"
        assert answer.headers["cross-origin-resource-policy"] == "same-origin"
    policy = page.get("/").headers["content-security-policy"]
    assert "default-src 'self'" in policy
    assert "script-src 'self';" in policy
    assert "style-src 'self';" in policy
    assert "unsafe" not in policy


def test_a_fault_of_ours_keeps_its_insides(page: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("inside secret")

    monkeypatch.setattr(page.app.state.hub.store, "jobs", broken)
    answer = page.get("/api/jobs")
    assert answer.status_code == 500
    assert "secret" not in answer.text
    assert "Traceback" not in answer.text
    assert answer.headers["x-content-type-options"] == "nosniff"


# ---------------------------------------------------------------- files


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py",
        "/static/..%2fapp.py",
        "/static/%2e%2e/app.py",
        "/static/....//app.py",
        "/static//etc/passwd",
        "/static/%2fetc%2fpasswd",
        "/static/css/../../store.py",
        "/static/..%5capp.py",
        "/static/fonts/../lettering.py",
        "/static/fonts/README.md",
        "/static/.hidden",
        "/static/css",
        "/static/index.html%00.css",
        "/static/",
    ],
)
def test_no_path_leaves_the_static_folder(page: Any, path: str) -> None:
    answer = page.get(path)
    assert answer.status_code == 404
    assert "def " not in answer.text


def test_a_link_out_of_the_folder_is_not_followed(page: Any, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    from pitwright.bench import pages

    inside, outside = tmp_path / "static", tmp_path / "secret.css"
    inside.mkdir()
    outside.write_text("secret")
    (inside / "a.css").symlink_to(outside)
    monkeypatch.setattr(pages, "STATIC", inside)
    assert page.get("/static/a.css").status_code == 404


def test_static_files_say_what_they_are_and_are_asked_once(page: Any) -> None:
    first = page.get("/static/css/base.css")
    assert first.headers["content-type"].startswith("text/css")
    again = page.get("/static/css/base.css", headers={"if-none-match": first.headers["etag"]})
    assert again.status_code == 304
    assert again.content == b""
    assert page.get("/static/fonts/PitwrightSans-Regular.ttf").headers["content-type"] == "font/ttf"


TEXTS = [p for p in sorted(STATIC.rglob("*")) if p.suffix in (".html", ".css", ".js", ".svg")]
NAMESPACES = ("http://www.w3.org/", "https://www.w3.org/")
OURS = [p for p in TEXTS if p.name != "three.js"]


def outside(text: str) -> list[str]:
    """Addresses outside the page that a browser could load or open a line to."""
    found = re.findall(r"(?:https?:|wss?:)?//[A-Za-z0-9\[][^\s\"'`)<>]*", re.sub(r"^\s*//.*$", "", text, flags=re.M))
    return [a for a in found if not a.startswith(NAMESPACES) and "$" not in a and "." in a]


@pytest.mark.parametrize("path", OURS, ids=[str(p.relative_to(STATIC)) for p in OURS])
def test_no_file_of_ours_names_an_address_outside(path: Path) -> None:
    assert outside(path.read_text(encoding="utf-8")) == []


def test_the_search_for_addresses_finds_them() -> None:
    assert outside('<script src="https://cdn.example.com/x.js">')
    assert outside("@import url(//fonts.example.com/a.css)")
    assert outside('new WebSocket("ws://example.com/")')
    assert outside('el("svg", {xmlns: "http://www.w3.org/2000/svg"})') == []


def test_the_bundle_loads_nothing_by_itself() -> None:
    text = (STATIC / "three.js").read_text(encoding="utf-8")
    assert not re.search(r"import\s*\(\s*[\"'`]https?:", text)
    assert not re.search(r"from\s*[\"']https?:", text)
    assert not re.search(r"importScripts|document\.write|\beval\s*\(|new Function", text)


@pytest.mark.parametrize("path", OURS, ids=[str(p.relative_to(STATIC)) for p in OURS])
def test_pages_carry_no_script_or_style_inside(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".html":
        assert not re.search(r"<script(?![^>]*\bsrc=)", text)
        assert "<style" not in text
        assert not re.search(r"\son[a-z]+\s*=", text)
        assert not re.search(r"\sstyle\s*=", text)
        assert "javascript:" not in text
    if path.suffix == ".js":
        assert not re.search(r"\beval\s*\(|new Function|document\.write|insertAdjacentHTML|outerHTML\s*=", text)


def test_only_known_kinds_lie_in_the_folder() -> None:
    assert {p.suffix for p in STATIC.rglob("*") if p.is_file()} <= set(KINDS)


# ---------------------------------------------------------------- sharing


class Clock:
    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def share(clock: Clock) -> Share:
    return Share(addresses=(SHOP,), cookie="pitwright_8321", clock=clock)


def phone(tmp_path: Path, share: Share) -> Any:
    return bench(tmp_path, share=share, client=PHONE, host=SHOP, hosts=(HOST, SHOP))


def test_a_device_without_a_code_sees_only_the_door(tmp_path: Path, share: Share) -> None:
    with phone(tmp_path, share) as device:
        door = device.get("/floor/anything")
        assert door.status_code == 401
        assert "Let this device in" in door.text
        assert "script-src 'self'" in door.headers["content-security-policy"]
        for path in ("/api/jobs", "/api/share", "/static/js/list.js", "/api/packs/choices"):
            assert device.get(path).status_code == 401
        for path in ("/static/code.js", "/static/code.css", "/static/css/base.css"):
            assert device.get(path).status_code == 200
        assert device.post("/api/jobs", json={"facts": {"name": "x"}, "rid": rid()}).status_code == 401


def test_the_code_lets_one_device_in_once(tmp_path: Path, share: Share) -> None:
    code, left = share.code()
    assert len(code) >= 6
    assert left == CODE_LIFE
    with phone(tmp_path, share) as device:
        answer = device.post("/api/enter", json={"code": f" {code[:4]} {code[4:]}", "name": "welder's phone"})
        assert answer.status_code == 200
        cookie = answer.headers["set-cookie"].lower()
        assert "httponly" in cookie
        assert "samesite=strict" in cookie
        assert "path=/" in cookie
        assert device.get("/api/jobs").status_code == 200
        assert device.get("/api/share").status_code == 403
        assert device.post("/api/share", json={"rid": rid()}).status_code == 403
        assert device.post("/api/share/revoke", json={"rid": rid()}).status_code == 403
        device.cookies.clear()
        assert device.post("/api/enter", json={"code": code, "name": "another"}).status_code == 403
        assert device.get("/api/jobs").status_code == 401


def test_the_bench_needs_no_code_and_shows_it(tmp_path: Path, share: Share) -> None:
    with bench(tmp_path, share=share, hosts=(HOST, SHOP)) as page:
        shown = page.get("/api/share").json()
        assert shown["on"]
        assert shown["address"] == SHOP
        assert shown["code"] == share.code()[0]
        fresh = page.post("/api/share", json={"rid": rid()}).json()
        assert fresh["code"] == share.code()[0] != shown["code"]
        share.enter(fresh["code"], "<b>tablet</b>\n", PHONE)
        (device,) = page.get("/api/share").json()["devices"]
        assert device["name"] == "<b>tablet</b>"
        assert page.post("/api/share/revoke", json={"key": device["key"], "rid": rid()}).json()["devices"] == []


def test_a_device_sent_away_is_out(tmp_path: Path, share: Share) -> None:
    with phone(tmp_path, share) as device:
        device.post("/api/enter", json={"code": share.code()[0]})
        assert device.get("/api/jobs").status_code == 200
        share.revoke()
        assert device.get("/api/jobs").status_code == 401


def test_not_shared_there_is_no_door(tmp_path: Path) -> None:
    with bench(tmp_path) as page:
        assert page.get("/api/share").json() == {"on": False}
        assert page.post("/api/enter", json={"code": "12345678"}).status_code == 404
        assert page.post("/api/share/revoke", json={"rid": rid()}).status_code == 404


def test_a_loopback_name_over_the_network_is_no_host(tmp_path: Path, share: Share) -> None:
    with bench(tmp_path, share=share, client=PHONE, hosts=(HOST, SHOP)) as device:
        assert device.get("/api/jobs").status_code == 401  # it says Host: 127.0.0.1, but comes from elsewhere
        assert device.get("/api/jobs", headers={"x-forwarded-for": "127.0.0.1"}).status_code == 401


def test_a_code_lapses(share: Share, clock: Clock) -> None:
    code, _ = share.code()
    clock.now += CODE_LIFE + 1.0
    with pytest.raises(CodeError, match="lapsed"):
        share.enter(code, "", PHONE)
    assert share.code()[0] != code


def test_guessing_is_slowed_and_burns_the_code(share: Share, clock: Clock) -> None:
    code, _ = share.code()
    wrong = f"{(int(code) + 1) % 10**8:08d}"
    for _ in range(5):
        with pytest.raises(CodeError):
            share.enter(wrong, "", PHONE)
    with pytest.raises(TooManyTries):
        share.enter(code, "", PHONE)
    clock.now += 61.0
    tries = 5
    while tries < WRONG_FOR_A_CODE:
        with pytest.raises(CodeError):
            share.enter(wrong, "", f"10.0.0.{tries}")
        tries += 1
    clock.now += 61.0
    with pytest.raises(CodeError):  # the right one, too late
        share.enter(code, "", "10.0.0.99")
    assert share.code()[0] != code


def test_all_devices_together_are_slowed(share: Share) -> None:
    share.code()
    for i in range(20):
        with pytest.raises(CodeError):
            share.enter("no", "", f"10.0.1.{i}")
    with pytest.raises(TooManyTries):
        share.enter(share.code()[0], "", "10.0.2.1")


def test_a_request_too_often_is_told_as_such(tmp_path: Path, share: Share) -> None:
    share.code()
    with phone(tmp_path, share) as device:
        got = [device.post("/api/enter", json={"code": "00000000x"}).status_code for _ in range(6)]
    assert got == [403] * 5 + [429]


def test_a_session_ends_when_unused(share: Share, clock: Clock) -> None:
    token = share.enter(share.code()[0], "phone", PHONE)
    header = f"pitwright_8321={token}"
    clock.now += SESSION_LIFE - 1.0
    assert share.device_of(header) is not None
    clock.now += SESSION_LIFE - 1.0
    assert share.device_of(header) is not None
    clock.now += SESSION_LIFE + 1.0
    assert share.device_of(header) is None
    assert share.devices() == ()


def test_codes_differ_and_tokens_are_not_kept(share: Share) -> None:
    assert len({share.new_code()[0] for _ in range(50)}) > 45
    token = share.enter(share.code()[0], "phone", PHONE)
    assert len(token) >= 40
    assert token not in repr(share)
    assert share.device_of("pitwright_8321=") is None
    assert share.device_of("; ;=;pitwright_8321") is None
