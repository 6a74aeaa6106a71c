"""The whole bench killed while somebody works at it: what the page was told is kept, is kept."""

from __future__ import annotations

import contextlib
import json
import random
import threading
import time
import urllib.request
from pathlib import Path
from typing import Any

from websockets.exceptions import ConnectionClosed
from websockets.sync.client import connect

from windows import Bench, start_bench

KILLS = 12
LONGEST = 0.5  # s it lives once the first change is kept


def ask(bench: Bench, path: str, body: dict[str, Any] | None = None) -> Any:
    headers = {"Origin": bench.address, "Content-Type": "application/json"}
    data = None if body is None else json.dumps(body).encode()
    with urllib.request.urlopen(urllib.request.Request(bench.address + path, data, headers), timeout=20) as answer:
        return json.loads(answer.read())


def work(bench: Bench, job: str, run: int, told: list[str]) -> None:
    """Change the customer's name again and again; write down each change once the page would know it is kept."""
    with (
        contextlib.suppress(ConnectionClosed, OSError, TimeoutError),
        connect(bench.address.replace("http", "ws") + f"/live/{job}", origin=bench.address, max_size=None) as line,  # type: ignore[arg-type]
    ):
        line.send(json.dumps({"do": "look", "views": ["side"]}))
        head = json.loads(line.recv(timeout=20))["head"]
        for n in range(1000):
            name = f"{run}.{n}"
            edits = [{"path": ["job", "customer"], "value": name}]
            line.send(json.dumps({"do": "edit", "edits": edits, "label": name, "rid": name, "base": head}))
            while True:
                answer = json.loads(line.recv(timeout=20))
                if answer.get("rid") == name:
                    break
            assert "picture" in answer, answer
            head = answer["head"]
            told.append(name)


def test_a_killed_bench_has_every_change_it_told_of(tmp_path: Path) -> None:
    chance, told = random.Random(4), list[str]()
    bench = start_bench(tmp_path / "store")
    facts = {"name": "Plug job", "around": "94 1/2", "wall": "1/4", "length": "84", "grate_height": "36"}
    job = ask(bench, "/api/jobs", {"facts": facts, "rid": "new"})["job"]["id"]
    for run in range(KILLS):
        mine: list[str] = []
        person = threading.Thread(target=work, args=(bench, job, run, mine))
        person.start()
        while not mine and person.is_alive():
            time.sleep(0.01)
        time.sleep(chance.uniform(0.0, LONGEST))
        bench.process.kill()
        bench.process.wait(timeout=15)
        person.join(timeout=40)
        told += mine
        bench = start_bench(tmp_path / "store")
        labels = [c["label"] for c in ask(bench, f"/api/jobs/{job}/history")["changes"]]
        assert set(told) <= set(labels)
        assert len(labels) == len(set(labels)), "nothing is done twice"
        untold = [name for name in labels if name.startswith(f"{run}.") and name not in mine]
        assert len(untold) <= 1, "only the change in hand may be kept without a word"
        assert mine, "it was at work when the plug was pulled"
    bench.stop()
    assert len(told) > KILLS
