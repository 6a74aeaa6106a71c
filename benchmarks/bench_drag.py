"""How long a step of a drag takes over the page's own line, and a turn of a slider in the fire view.

    python benchmarks/bench_drag.py [--quick] [--job NAME] [--handle ID --view VIEW]

Starts the bench as a person does, brings in a demo job, takes hold of a thing and moves it in 200 steps, each as large
as a hand makes between two frames. Three ways of moving:

    steady   the next step is sent when the last is drawn, as the page does
    resting  the same, with a pause after every tenth step, so that the next moves meet a full picture in the making
    flood    a step every 8 ms whether or not the last was answered; then let go

Prints the median and the 95th of 100 of the time from sending a place to having the whole picture, against the mark
(50 ms for a step of a steady drag, 150 ms for a slider; resting is told without one), and checks that what was let go of is what is stored. Times are of the wall
clock, with server and this program on one machine; the last column is the server's own processor time for one of them
(Linux), which other work on the machine does not stretch. Exit code 1 where a mark is missed or a last place is lost.
"""

from __future__ import annotations

import argparse
import http.client
import io
import json
import math
import os
import statistics
import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import Any

from websockets.sync.client import ClientConnection, connect

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
STEP_MARK, FIRE_MARK = 50.0, 150.0  # ms, the 95th of 100
TAKEN = (("leg A foot", "stack end"), ("stack along", "side"), ("main grate", "side"), ("door 1 stack end", "side"))


class Bench:
    """A running bench and one job in it."""

    def __init__(self, host: str, process: int, example: str):
        self.host = host
        self.process = process
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w") as out:
            for name in (f"{example}.toml", "shop.toml"):
                out.write(EXAMPLES / name, name)
        answer = self.ask("POST", "/api/jobs/import?name=job.zip", packed.getvalue(), "application/zip")
        self.job = answer["job"]["id"]

    def worked(self) -> float:
        """Processor milliseconds the server has used so far; nothing where the system does not tell."""
        try:
            fields = Path(f"/proc/{self.process}/stat").read_text().rsplit(")", 1)[1].split()
        except OSError:
            return math.nan
        return 1000.0 * (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def ask(self, method: str, path: str, body: bytes | None = None, kind: str = "application/json") -> Any:
        """One request; its JSON."""
        line = http.client.HTTPConnection(self.host, timeout=60)
        line.request(method, path, body, {"origin": f"http://{self.host}", "content-type": kind})
        answer = line.getresponse()
        data = json.loads(answer.read())
        line.close()
        if answer.status >= 400:
            raise SystemExit(f"{path}: {data}")
        return data

    @contextmanager
    def live(self) -> Iterator[ClientConnection]:
        """The live line of the job."""
        with connect(f"ws://{self.host}/live/{self.job}", origin=f"http://{self.host}", max_size=None) as line:
            yield line


@contextmanager
def running(example: str) -> Iterator[Bench]:
    with tempfile.TemporaryDirectory() as store:
        command = [sys.executable, "-m", "pitwright", "bench", "--store", store, "--port", "0", "--no-browser"]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=os.environ) as server:
            try:
                assert server.stdout is not None
                first = server.stdout.readline()
                yield Bench(first.split("http://")[1].split("/")[0], server.pid, example)
            finally:
                server.terminate()


def heard(line: ClientConnection, **wanted: Any) -> dict[str, Any]:
    """The next message that carries these; the full pictures between are passed over."""
    while True:
        message: dict[str, Any] = json.loads(line.recv(timeout=30))
        if "refused" in message:
            raise SystemExit(f"refused: {message['refused']}")
        if all(message.get(k) == v for k, v in wanted.items()) and "picture" in message:
            return message


def places(handle: dict[str, Any], steps: int) -> Iterator[tuple[float, float]]:
    """A hand that moves a handle away and back, 10 cm at most, a hair off each time."""
    u, v = handle["at"]
    for n in range(1, steps + 1):
        off = 0.1 * math.sin(2.0 * math.pi * n / steps) + 1e-5 * n
        yield u + off, v + (off if handle["moves"] in ("across", "both", "arc") else 0.0)


def drag(bench: Bench, taken: tuple[str, str], steps: int, pause: float) -> list[float]:
    """Milliseconds of each step."""
    name, view = taken
    out = []
    with bench.live() as line:
        line.send(json.dumps({"do": "look", "views": [view], "hand": name, "seq": -1}))
        first = heard(line, seq=-1)["picture"]["views"][view]
        handle = next(h for h in first["handles"] if h["id"] == name)
        for n, (u, v) in enumerate(places(handle, steps)):
            if pause and n % 10 == 9:
                time.sleep(pause)
            sent = time.perf_counter()
            line.send(json.dumps({"do": "drag", "handle": name, "view": view, "u": u, "v": v, "free": True, "seq": n}))
            text = heard(line, seq=n)["picture"]
            out.append((time.perf_counter() - sent) * 1000.0)
            assert text["views"][view]["svg"]
        line.send(json.dumps({"do": "cancel"}))
    return out


def flood(bench: Bench, taken: tuple[str, str], steps: int) -> tuple[int, bool]:
    """(steps that were drawn, whether the last place is what is stored)."""
    name, view = taken
    with bench.live() as line:
        line.send(json.dumps({"do": "look", "views": [view], "hand": name, "seq": -1}))
        first = heard(line, seq=-1)
        handle = next(h for h in first["picture"]["views"][view]["handles"] if h["id"] == name)
        move = {"handle": name, "view": view, "free": True}
        for n, (u, v) in enumerate(places(handle, steps)):
            line.send(json.dumps({"do": "drag", "u": u, "v": v, "seq": n, **move}))
            time.sleep(0.008)
        u, v = handle["at"][0] + 0.0531, handle["at"][1] + (0.0531 if handle["moves"] != "along" else 0.0)
        line.send(json.dumps({"do": "drop", "u": u, "v": v, "rid": f"flood-{time.time_ns()}", "base": first["head"], **move}))  # fmt: skip
        drawn, last = 0, None
        while last is None:
            message = json.loads(line.recv(timeout=30))
            drawn += "seq" in message and message["seq"] >= 0
            if "refused" in message:
                raise SystemExit(f"refused: {message['refused']}")
            last = message if "rid" in message else None
        stored = next(h for h in last["picture"]["views"][view]["handles"] if h["id"] == name)
        line.send(json.dumps({"do": "drag", "u": u, "v": v, "seq": 10_000, **move}))
        again = heard(line, seq=10_000)["picture"]["views"][view]["handles"]
        same = next(h for h in again if h["id"] == name)
        kept = last["head"] != first["head"] and math.dist(stored["at"], same["at"]) < 1e-4
    return drawn, kept


def fire(bench: Bench, steps: int) -> list[float]:
    """Milliseconds of each turn of a slider of the fire view."""
    out = []
    for n in range(steps):
        trial = {"inlet": 40 + 60 * n // steps, "outside": 30 + n % 50}
        sent = time.perf_counter()
        bench.ask("POST", f"/api/jobs/{bench.job}/fire", json.dumps({"trial": trial}).encode())
        out.append((time.perf_counter() - sent) * 1000.0)
    return out


def told(bench: Bench, what: str, run: Callable[[], list[float]], mark: float = math.inf) -> bool:
    """Time something and print its row. Returns whether the mark is kept."""
    before = bench.worked()
    times = run()
    each = (bench.worked() - before) / len(times)
    ninety_five = statistics.quantiles(times, n=20)[-1]
    against = f"{mark:5.0f}" if math.isfinite(mark) else "    -"
    print(f"{what:44} {statistics.median(times):7.1f} {ninety_five:7.1f} {max(times):7.1f}   {against} {each:7.1f}"
          f"{'' if ninety_five <= mark else '  MISSED'}")  # fmt: skip
    return ninety_five <= mark


def main() -> int:
    ask = argparse.ArgumentParser(description="Time a drag and a slider over the page's own line.")
    ask.add_argument("--quick", action="store_true", help="a quarter of the steps")
    ask.add_argument("--job", default="orchard-30", help="a demo job (orchard-30)")
    ask.add_argument("--handle", help="what is taken")
    ask.add_argument("--view", default="side", help="on which view")
    said = ask.parse_args()
    steps = 50 if said.quick else 200
    things = ((said.handle, said.view),) if said.handle else TAKEN
    good = True
    print(f"{'ms':44} {'median':>7} {'95th':>7} {'most':>7}   {'mark':>5} {'server':>7}")
    with running(said.job) as bench:
        for taken in things:
            name = f"{taken[0]} ({taken[1]})"
            good &= told(bench, f"{name}, steady", partial(drag, bench, taken, steps, 0.0), STEP_MARK)
            told(bench, f"{name}, resting", partial(drag, bench, taken, steps // 2, 0.2))
            drawn, kept = flood(bench, taken, steps)
            print(f"{taken[0]} ({taken[1]}), flood: {drawn} of {steps} drawn, last place {'kept' if kept else 'LOST'}")
            good &= kept
        fire(bench, 3)
        good &= told(bench, "fire view, a slider turned", partial(fire, bench, steps // 2), FIRE_MARK)
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
