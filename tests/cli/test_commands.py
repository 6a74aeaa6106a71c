"""The commands end to end: exit codes, what they print, what they write."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from pathlib import Path

import jsonschema
import pytest

from pitwright.cli import main
from pitwright.cli.main import STATES
from pitwright.job.file import load_job
from pitwright.layout import balance
from pitwright.layout.pit import solve

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
JOB = EXAMPLES / "orchard-30.toml"


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    code = main(list(arguments))
    out = capsys.readouterr()
    return code, out.out, out.err


def test_help_is_quick() -> None:
    started = time.perf_counter()
    subprocess.run([sys.executable, "-m", "pitwright", "--help"], check=True, capture_output=True)
    # the limit is 0.3 s on an idle machine; a busy one is given room
    assert time.perf_counter() - started < 1.5


def test_help_loads_nothing_heavy() -> None:
    code = "import sys, pitwright.cli; pitwright.cli.main.__module__; print('numpy' in sys.modules, 'pydantic' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert done.stdout.split() == ["False", "False"]


def test_check_prints_what_was_solved(capsys: pytest.CaptureFixture[str]) -> None:
    pit = solve(load_job(JOB))
    code, out, _ = run(capsys, "check", str(JOB))
    assert code == 0
    leg = pit.leg_sets[0].legs[0]
    for text in (
        pit.tape.mass(pit.balance["empty"].mass),
        pit.tape.length(leg.long_point),
        pit.tape.angle(leg.top_cut),
        pit.tape.small_area(pit.throat.net_area),
    ):
        assert text in out


def test_check_as_json_keeps_its_schema(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "check", str(JOB), "--json")
    _, schema, _ = run(capsys, "schema")
    record = json.loads(out)
    jsonschema.validate(record, json.loads(schema))
    assert code == 0
    assert record["cleared"] is True
    assert {p["mark"] for p in record["pieces"]} == {p.mark for p in solve(load_job(JOB)).parts}


def test_a_stop_is_told_by_the_exit_code(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    text = JOB.read_text().replace("signed_on = 2026-05-11\n", "")
    (tmp_path / "shop.toml").write_text((EXAMPLES / "shop.toml").read_text())
    job = tmp_path / "unsigned.toml"
    job.write_text(text)
    code, out, _ = run(capsys, "check", str(job))
    assert code == 1
    assert "STOP" in out
    assert "no date" in out
    _, record, _ = run(capsys, "check", str(job), "--json")
    assert not any("door 1" in m["what"] for m in json.loads(record)["marks"])


def test_unusable_input_exits_with_two(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    code, _, err = run(capsys, "check", str(tmp_path / "missing.toml"))
    assert code == 2
    assert "missing.toml" in err
    job = tmp_path / "bad.toml"
    job.write_text(
        '[job]\nname = "x"\n[vessel]\naround = "9-4-1/2"\nwall = "1/4"\nlength = "84"\n[order]\ngrate_height = "37"\n'
    )
    code, out, _ = run(capsys, "check", str(job), "--json")
    problem = json.loads(out)["error"]
    assert code == 2
    assert problem["field"] == "vessel.around"
    assert "94-1/2" in problem["remedy"]


def test_why_walks_down_to_facts(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "why", str(JOB), "legs.A.lean")
    assert code == 0
    for word in ("[solved]", "[proportion]", "[fixed]", "order.grate_height", "resting on it"):
        assert word in out
    code, out, _ = run(capsys, "why", str(JOB), "legs.A.lean", "--json")
    chain = json.loads(out)
    assert {c["name"] for c in chain["rests_on"]} >= {"legs.A.half_spread", "legs.A.height"}
    code, _, err = run(capsys, "why", str(JOB), "legs.A.leen")
    assert code == 2
    assert "legs.A.lean" in err


def test_new_writes_a_job_that_solves(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "hill.toml"
    facts = ["--name", "Hill job", "--around", "94 1/2", "--wall", "1/4", "--length", "84", "--grate-height", "37"]
    code, out, _ = run(capsys, "new", str(path), *facts)
    assert code == 0
    assert str(path) in out
    assert solve(load_job(path)).job.job.name == "Hill job"
    code, _, err = run(capsys, "new", str(path), *facts)
    assert code == 2
    assert "--overwrite" in err
    code, _, err = run(capsys, "new", str(tmp_path / "other.toml"), "--name", "x")
    assert code == 2
    assert "around" in err


def test_pack_writes_what_is_asked_for(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    code, out, _ = run(capsys, "pack", str(JOB), "--out", str(tmp_path), "--only", "record", "--only", "model")
    assert code == 0
    assert sorted(p.name for p in tmp_path.iterdir()) == ["pit.glb", "pit.json"]
    assert "pit.glb" in out.replace("\n", "")
    code, _, err = run(capsys, "pack", str(JOB), "--out", str(tmp_path), "--only", "modl")
    assert code == 2
    assert "model" in err
    code, out, _ = run(capsys, "pack", str(JOB), "--list")
    assert code == 0
    assert "plan-set" in out


def test_the_states_to_stand_in_are_those_every_pit_has() -> None:
    """The command names them itself, so that its help needs no layout; they are held together here."""
    assert STATES == balance.STATES
