"""The command: its port, its address, stopping it; over a real server and real sockets."""

from __future__ import annotations

import http.client
import json
import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from websockets.exceptions import ConnectionClosed, InvalidStatus
from websockets.sync.client import connect

from bench_kit import FACTS
from pitwright.bench import serve
from pitwright.bench.guard import JSON_LIMIT
from pitwright.bench.store import Store
from pitwright.cli import main
from pitwright.errors import OutputError

GRACE = 15.0


class Running:
    """A bench started as a person starts it."""

    def __init__(self, folder: Path, *more: str):
        command = [sys.executable, "-m", "pitwright", "bench", "--store", str(folder), "--no-browser", *more]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        assert self.process.stdout is not None
        self.first = self.process.stdout.readline()
        found = re.search(r"http://([\d.]+:\d+)/", self.first)
        assert found, self.first + (self.process.stderr.read() if self.process.stderr else "")
        self.host = found[1]

    def ask(self, method: str, path: str, body: Any = None, **headers: str) -> tuple[int, Any]:
        line = http.client.HTTPConnection(self.host, timeout=20)
        data = None if body is None else json.dumps(body)
        told = {"origin": f"http://{self.host}", "content-type": "application/json"} | headers
        line.request(method, path, data, told)
        answer = line.getresponse()
        text = answer.read()
        line.close()
        return answer.status, json.loads(text) if text[:1] in (b"{", b"[") else text.decode()

    def new_job(self) -> str:
        status, answer = self.ask("POST", "/api/jobs", {"facts": FACTS, "rid": f"n{time.time_ns()}"})
        assert status == 201, answer
        return str(answer["job"]["id"])

    def live(self, job: str, origin: str | None = None) -> Any:
        return connect(f"ws://{self.host}/live/{job}", origin=origin or f"http://{self.host}", max_size=None)


def drained(line: Any) -> None:
    """Hear everything until the other side hangs up."""
    while True:
        line.recv(timeout=GRACE)


@contextmanager
def running(folder: Path, *more: str) -> Iterator[Running]:
    one = Running(folder, "--port", "0", *more)
    try:
        yield one
    finally:
        if one.process.poll() is None:
            one.process.kill()
        one.process.communicate()


def test_it_says_where_it_is_and_answers_there_only(tmp_path: Path) -> None:
    with running(tmp_path / "store") as bench:
        assert str(tmp_path / "store") in bench.first
        host, port = bench.host.split(":")
        assert host == "127.0.0.1"
        assert bench.ask("GET", "/")[0] == 200
        assert bench.ask("GET", "/", Host=f"evil.example:{port}")[0] == 403
        assert bench.ask("POST", "/api/jobs", {"facts": FACTS, "rid": "x"}, origin="http://evil.example")[0] == 403
        outside = serve.shop_address()
        if outside is not None:
            with pytest.raises(OSError), socket.create_connection((outside, int(port)), timeout=2.0):
                pass


def test_stopping_it_keeps_what_was_acknowledged_and_hangs_up(tmp_path: Path) -> None:
    with running(tmp_path / "store") as bench:
        job = bench.new_job()
        with bench.live(job) as line:
            line.send(json.dumps({"do": "look", "views": ["side"]}))
            head = json.loads(line.recv(timeout=20))["head"]
            edits = [{"path": ["order", "people"], "value": 60}]
            line.send(json.dumps({"do": "edit", "edits": edits, "rid": "a", "base": head}))
            while json.loads(line.recv(timeout=20)).get("rid") != "a":
                pass
            bench.process.send_signal(signal.SIGINT)
            started = time.monotonic()
            with pytest.raises(ConnectionClosed):
                drained(line)
        assert bench.process.wait(GRACE) == 0
        assert time.monotonic() - started < GRACE
        assert bench.process.stderr is not None
        assert "Traceback" not in bench.process.stderr.read()
    with Store.open(tmp_path / "store") as store:
        assert store.get(job).document["order"]["people"] == 60


def test_a_pack_under_way_does_not_keep_it_from_stopping(tmp_path: Path) -> None:
    with running(tmp_path / "store") as bench:
        job = bench.new_job()
        assert bench.ask("POST", f"/api/jobs/{job}/packs", {"rid": "p"})[0] == 201
        time.sleep(0.5)
        bench.process.send_signal(signal.SIGTERM)
        bench.process.wait(GRACE)
        assert bench.process.poll() is not None


def test_messages_over_the_limit_are_cut_off_and_the_server_lives(tmp_path: Path) -> None:
    with running(tmp_path / "store") as bench:
        job = bench.new_job()
        with bench.live(job) as line:
            line.send("x" * (JSON_LIMIT + 10))
            with pytest.raises(ConnectionClosed) as cut:
                drained(line)
            assert cut.value.rcvd is not None
            assert cut.value.rcvd.code == 1009
        with bench.live(job) as line:
            line.send(b"\x00\x01")
            assert "refused" in json.loads(line.recv(timeout=20))
        assert bench.ask("GET", "/api/jobs")[0] == 200


def test_another_page_gets_no_live_line(tmp_path: Path) -> None:
    with running(tmp_path / "store") as bench:
        job = bench.new_job()
        for origin in ("http://evil.example", "http://127.0.0.1:1", "null"):
            with pytest.raises(InvalidStatus) as turned, bench.live(job, origin):
                pass
            assert turned.value.response.status_code == 403


def test_paths_are_not_tidied_by_the_server(tmp_path: Path) -> None:
    with running(tmp_path / "store") as bench:
        for path in (
            "/static/../app.py",
            "/static/..%2f..%2fpyproject.toml",
            "//etc/passwd",
            "/static/%2e%2e/store.py",
        ):
            line = http.client.HTTPConnection(bench.host, timeout=20)
            line.putrequest("GET", path, skip_host=True)
            line.putheader("host", bench.host)
            line.endheaders()
            assert line.getresponse().status == 404
            line.close()


def test_two_benches_at_one_store_both_write(tmp_path: Path) -> None:
    with running(tmp_path / "store") as one, running(tmp_path / "store") as two:
        assert one.host != two.host
        first, second = one.new_job(), two.new_job()
        assert {j["id"] for j in one.ask("GET", "/api/jobs")[1]["jobs"]} == {first, second}


@pytest.mark.skipif(serve.shop_address() is None, reason="this machine is on no network")
def test_shared_it_answers_on_the_network_behind_a_code(tmp_path: Path) -> None:
    with running(tmp_path / "store", "--share") as bench:
        assert bench.process.stdout is not None
        lines = [bench.process.stdout.readline() for _ in range(3)]
        network = re.search(r"http://([\d.]+:\d+)/", lines[0])
        code = re.search(r"(\d{4} \d{4})", lines[1])
        assert network
        assert code
        assert "not encrypted" in lines[2]
        here, device = bench.host, Running.__new__(Running)
        device.host = network[1]
        assert device.ask("GET", "/api/jobs")[0] == 401
        assert device.ask("GET", "/api/jobs", Host=here)[0] in (401, 403)
        line = http.client.HTTPConnection(device.host, timeout=20)
        told = {"origin": f"http://{device.host}", "content-type": "application/json"}
        line.request("POST", "/api/enter", json.dumps({"code": code[1], "name": "phone"}), told)
        answer = line.getresponse()
        answer.read()
        assert answer.status == 200
        cookie = str(answer.getheader("set-cookie")).split(";")[0]
        assert device.ask("GET", "/api/jobs", cookie=cookie)[0] == 200
        assert device.ask("GET", "/api/share", cookie=cookie)[0] == 403
        (phone,) = bench.ask("GET", "/api/share")[1]["devices"]
        assert phone["name"] == "phone"

        job = bench.new_job()
        origin, where = f"http://{device.host}", f"ws://{device.host}/live/{job}"
        with pytest.raises(InvalidStatus), connect(where, origin=origin):
            pass
        with connect(where, origin=origin, additional_headers={"cookie": cookie}, max_size=None) as live:
            live.send(json.dumps({"do": "look", "views": ["side"]}))
            assert "picture" in json.loads(live.recv(timeout=20))
            assert bench.ask("POST", "/api/share/revoke", {"key": phone["key"], "rid": "away"})[1]["devices"] == []
            with pytest.raises(ConnectionClosed) as away:
                drained(live)
            assert away.value.rcvd is not None
            assert away.value.rcvd.code == 4401
        assert device.ask("GET", "/api/jobs", cookie=cookie)[0] == 401


def test_a_port_that_is_taken_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen(1)
        port = taken.getsockname()[1]
        assert main(["bench", "--port", str(port), "--no-browser", "--store", str(tmp_path)]) == 2
    assert "taken" in capsys.readouterr().err
    assert main(["bench", "--port", "99999", "--no-browser"]) == 2


def test_the_usual_port_gives_way_to_the_next(monkeypatch: pytest.MonkeyPatch) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen(1)
        monkeypatch.setattr(serve, "PORT", taken.getsockname()[1])
        found = serve.listen(None, ("127.0.0.1",))
        try:
            assert 0 < found[0].getsockname()[1] - taken.getsockname()[1] < serve.PORTS_TRIED
        finally:
            for s in found:
                s.close()


def test_a_store_that_cannot_be_opened_is_told(tmp_path: Path) -> None:
    (tmp_path / "store").write_text("a file, not a folder")
    with pytest.raises(OutputError, match="store"):
        serve.serve(folder=tmp_path / "store", port=0, browser=False)


def test_no_network_no_sharing(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(serve, "shop_address", lambda: None)
    with pytest.raises(OutputError, match="no network"):
        serve.serve(folder=tmp_path, port=0, browser=False, share="")


@pytest.mark.parametrize("address", ["0.0.0.0", "::", "127.0.0.1", "shop", "8.8.8.8.8", "203.0.113.9"])
def test_it_is_shared_at_an_address_of_this_machine_only(tmp_path: Path, address: str) -> None:
    with pytest.raises(OutputError):
        serve.serve(folder=tmp_path, port=0, browser=False, share=address)


def test_help_is_quick_and_loads_no_server() -> None:
    code = (
        "import sys\nfrom pitwright.cli.main import build_parser\nbuild_parser().format_help()\n"
        "assert not {'starlette', 'uvicorn', 'websockets', 'numpy'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True, env=os.environ)
