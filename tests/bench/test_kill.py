"""Killed at 200 random moments while it writes, the store opens clean and holds every acknowledged change."""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path
from typing import IO

import pytest

from pitwright.bench.documents import new_document
from pitwright.bench.store import FILE_NAME, Store

KILLS = 200
A_STORE = 25  # kills one store goes through
MOST = 14  # changes a life makes at least before it may end, drawn from 0 to this
LONGEST = 0.01  # s it lives on after them


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork")
def test_no_acknowledged_change_is_lost_over_200_kills(tmp_path: Path) -> None:
    chance = random.Random(6)
    changes = in_flight = 0
    for number in range(KILLS // A_STORE):
        told, untold = killed_over_and_over(tmp_path / str(number), chance)
        changes, in_flight = changes + told, in_flight + untold
    assert changes > 3 * KILLS  # the lives were busy ones
    assert in_flight > 0  # and some were cut between writing and telling


def killed_over_and_over(folder: Path, chance: random.Random) -> tuple[int, int]:
    """(changes told, changes written but not told any more) of one store after A_STORE kills."""
    with Store.open(folder) as shop:
        job = shop.create(new_document({"name": "Kill me"}), {}, "begin", "test").id
    acknowledged: dict[str, int] = {}
    in_flight = 0
    program = [sys.executable, str(Path(__file__).with_name("killed_store.py")), str(folder), "0", str(A_STORE)]
    with subprocess.Popen(program, stdin=subprocess.PIPE, stdout=subprocess.PIPE, bufsize=0) as parent:
        assert parent.stdin is not None
        assert parent.stdout is not None
        for run in range(A_STORE):
            parent.stdin.write(b"go\n")
            told = bytearray()
            while b"pid " not in told or b"ready\n" not in told:
                told += line_of(parent.stdout)
            pid = next(int(line[4:]) for line in told.split(b"\n") if line.startswith(b"pid "))
            for _ in range(chance.randint(0, MOST)):
                told += line_of(parent.stdout)
            time.sleep(chance.uniform(0.0, LONGEST))
            os.kill(pid, signal.SIGKILL)
            while not told.endswith(b"gone\n"):
                told += parent.stdout.read(4096)
            lines = [line.split() for line in told.decode().splitlines() if line.count(".") == 1]
            acknowledged |= {rid: int(head) for rid, head in lines}
            in_flight += looked_at(folder, job, run, lines, acknowledged)
        parent.stdin.close()
    return len(acknowledged), in_flight


def line_of(pipe: IO[bytes]) -> bytes:
    line = bytearray()
    while not line.endswith(b"\n"):
        line += pipe.read(1)
    return bytes(line)


def looked_at(folder: Path, job: str, run: int, lines: list[list[str]], acknowledged: dict[str, int]) -> int:
    """Check the store after a kill; how many changes were written but not told any more (0 or 1)."""
    with Store.open(folder) as shop:
        held, history = shop.get(job), {c.id: c for c in shop.history(job)}
    path = folder / FILE_NAME
    with sqlite3.connect(path) as plain:
        assert plain.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
        assert plain.execute("PRAGMA foreign_key_check").fetchall() == []
        done = [r[0] for r in plain.execute("SELECT rid FROM requests WHERE rid LIKE ?", (f"{run}.%",))]
        everything = {r[0] for r in plain.execute("SELECT rid FROM requests")}
    plain.close()
    assert set(acknowledged) <= everything
    told = [rid for rid, _ in lines]
    untold = set(done) - set(told)
    assert len(untold) <= 1  # only the one in hand when it died
    assert untold <= {f"{run}.{len(told) + 1}"}
    if lines and not untold:
        assert held.head == int(lines[-1][1])  # it stands where the last answer said
    assert history[held.head].current
    standing = history[held.head]
    if standing.edits:  # a change is there whole: its row and its document agree
        (line,) = standing.edits
        assert held.document["pieces"][line["path"][1]] == line["value"] == standing.label
    return len(untold)
