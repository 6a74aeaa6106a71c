"""`pitwright fire` and `pitwright burn`, end to end in a folder of their own."""

from __future__ import annotations

import json
import shutil
import tomllib
from pathlib import Path

import pytest

from pitwright.cli import main
from pitwright.fire.coefficients import PUBLISHED
from pitwright.fire.from_pit import fire_case
from pitwright.fire.steady import steady
from pitwright.job.file import load_job
from pitwright.layout.pit import solve

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
FIVE = "296,268,247,231,218 F"
RUNS = "60"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A copy of the demo job and its shop file, where burns may be kept beside it."""
    for name in ("orchard-30.toml", "shop.toml"):
        shutil.copy(EXAMPLES / name, tmp_path / name)
    return tmp_path / "orchard-30.toml"


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    code = main([str(a) for a in arguments])
    out = capsys.readouterr()
    return code, out.out, out.err


def record(capsys: pytest.CaptureFixture[str], job: Path, *more: str) -> dict:
    _, out, _ = run(capsys, "fire", str(job), "--json", "--runs", RUNS, *more)
    return json.loads(out)


def band(found: dict, name: str) -> tuple[float, float]:
    one = next(b for b in found["bands"]["bands"] if b["name"] == name)
    return one["low"], one["high"]


def changed(job: Path, old: str, new: str) -> None:
    text = job.read_text()
    assert old in text
    job.write_text(text.replace(old, new, 1))


def test_fire_prints_what_was_solved(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    pit = solve(load_job(job))
    fire = steady(fire_case(pit))
    code, out, _ = run(capsys, "fire", str(job), "--runs", "0", "--warm-up")
    assert code == 0
    tape = pit.tape
    for text in (tape.mass_rate(fire.wood), tape.temperature_difference(fire.spread), tape.pressure_draft(fire.draught),
                 "what chokes", "stack height", "[fire.hot_skin]", "give or take 40 percent until one burn",
                 "warm-up from cold", "no burn yet"):  # fmt: skip
        assert text in out, text


def test_fire_as_json_is_the_outcome(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = record(capsys, job, "--warm-up")
    fire = steady(fire_case(solve(load_job(job))))
    assert found["burns"] is True
    assert found["outcome"]["wood"] == pytest.approx(fire.wood, rel=1e-9)
    assert found["outcome"]["grates"][0]["gas"] == pytest.approx(list(fire.grates[0].gas))
    low, high = band(found, "spread")
    assert low < fire.spread < high
    assert found["coefficients"]["circulation"]["source"] == PUBLISHED["circulation"].source
    assert len(found["warm_up"]["time"]) == len(found["warm_up"]["grate_mean"]) > 100


def test_five_thermometers_change_the_next_fire_and_narrow_its_band(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = record(capsys, job)
    code, out, _ = run(capsys, "burn", str(job), "--readings", FIVE)
    assert code == 0
    assert "kept beside the job" in out
    assert "after learning" in out
    kept = tomllib.loads(job.with_name("orchard-30.burn.toml").read_text())
    (burn,) = kept["burn"]
    assert kept["schema"] == 1
    assert burn["readings"] == 5
    assert burn["rms_after"] < burn["rms_before"]
    after = record(capsys, job)
    for name, learned in burn["coefficients"].items():
        assert after["coefficients"][name]["value"] == pytest.approx(learned["value"])
        assert learned["low"] < learned["value"] < learned["high"]
    assert after["outcome"]["wood"] != before["outcome"]["wood"]
    (low, high), (low0, high0) = band(after, "spread"), band(before, "spread")
    assert high - low < 0.8 * (high0 - low0)
    assert after["rests_on"] == "1 burn of this pit"
    _, out, _ = run(capsys, "check", str(job))
    assert "fitted to a burn of this pit" in out


def test_the_same_burn_counts_once(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    kept = job.with_name("orchard-30.burn.toml")
    run(capsys, "burn", str(job), "--readings", FIVE)
    first = tomllib.loads(kept.read_text())
    run(capsys, "burn", str(job), "--readings", "296, 268, 247, 231, 218 F")
    assert tomllib.loads(kept.read_text()) == first
    run(capsys, "burn", str(job), "--readings", "290,270,250,236,225 F")
    assert len(tomllib.loads(kept.read_text())["burn"]) == 2
    code, _, err = run(capsys, "burn", str(job), "--readings", FIVE)
    assert code == 2
    assert "learned from already" in err
    run(capsys, "burn", str(job), "--readings", FIVE, "--fresh")
    again = tomllib.loads(kept.read_text())["burn"]
    assert len(again) == 1
    assert again[0]["coefficients"]["circulation"] == pytest.approx(first["burn"][0]["coefficients"]["circulation"])


def test_looking_keeps_nothing(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "burn", str(job), "--readings", "140,131,121,113,106 C", "--wood", "9 lb/h", "--look")
    assert code == 0
    assert "nothing was saved" in out
    assert "284 °F" in out
    assert not job.with_name("orchard-30.burn.toml").exists()


def test_a_log_with_its_notes(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The first twenty minutes of the invented burn of the examples, three of its probes."""
    log = (EXAMPLES / "burns" / "orchard-30-log.csv").read_text().splitlines()
    (job.parent / "log.csv").write_text("\n".join(log[:9]) + "\n")
    notes = (EXAMPLES / "burns" / "orchard-30-notes.toml").read_text()
    head, *probes = notes.split("[[probes]]")
    short = head + "".join(f"[[probes]]{p}" for p in (probes[0], probes[2], probes[4]))
    (job.parent / "notes.toml").write_text(short)
    code, out, _ = run(
        capsys, "burn", str(job), str(job.parent / "log.csv"), "--probes", str(job.parent / "notes.toml")
    )
    assert code == 0
    assert "Grate 3 (F)" in out
    (burn,) = tomllib.loads(job.with_name("orchard-30.burn.toml").read_text())["burn"]
    assert burn["source"] == "log.csv"
    assert burn["rms_after"] < burn["rms_before"]


def test_what_other_pits_taught_is_the_starting_point(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(capsys, "burn", str(job), "--readings", FIVE)
    job.with_name("orchard-30.burn.toml").rename(job.with_name("other.burn.toml"))
    job.write_text(job.read_text() + '\n[fire]\nlearned = ["other.burn.toml"]\n')
    known = fire_case(solve(load_job(job))).coefficients["circulation"]
    published = PUBLISHED["circulation"]
    assert published.high - published.low > known.high - known.low
    assert known.source == "learned from the shop's own burns"
    changed(job, "other.burn.toml", "nobody.burn.toml")
    code, _, err = run(capsys, "check", str(job))
    assert code == 2
    assert "nobody.burn.toml" in err
    changed(job, "nobody.burn.toml", "../other.burn.toml")
    code, _, err = run(capsys, "check", str(job))
    assert code == 2
    assert "beside the job" in err


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("schema = 2\n", "newer Pitwright"),
        ("burn = []\n", "not a file of burns"),
        ('schema = 1\n[[burn]]\nsource = "x"\n', "not a saved burn"),
        ("schema = 1\nburns = 3\n", "not a saved burn"),
        ("schema = \n", "not a job file"),
    ],
)
def test_a_file_of_burns_that_cannot_be_used_is_told(
    job: Path, capsys: pytest.CaptureFixture[str], text: str, says: str
) -> None:
    job.with_name("orchard-30.burn.toml").write_text(text)
    code, _, err = run(capsys, "check", str(job))
    assert code == 2
    assert says in err
    assert "orchard-30.burn.toml" in err


@pytest.mark.parametrize(
    "arguments",
    [
        ("burn",),
        ("burn", "--readings", "296"),
        ("burn", "--readings", "hot, cold F"),
        ("burn", "log.csv"),
        ("burn", "missing.csv", "--probes", "missing.toml"),
        ("burn", "--readings", FIVE, "--wood", "0 lb"),
        ("burn", "--readings", FIVE, "--outside", "warm"),
    ],
)
def test_bad_input_names_what_is_wanted(
    job: Path, capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...]
) -> None:
    command, *rest = arguments
    code, _, err = run(capsys, command, str(job), *rest)
    assert code == 2
    assert err.startswith("pitwright: ")
    assert not job.with_name("orchard-30.burn.toml").exists()


def test_a_pit_that_will_not_burn_says_why_and_stops(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job.write_text(job.read_text() + "\n[proportions.firebox]\ninlet_share = 0.002\n")
    found = steady(fire_case(solve(load_job(job))))
    code, out, _ = run(capsys, "fire", str(job))
    assert code == 1
    assert found.text in out
    assert "STOP" in out
    assert "Make the air inlet" in out
    code, out, _ = run(capsys, "check", str(job))
    assert code == 1
    assert "will not hold 250 °F" in out
    assert record(capsys, job)["bands"] is None


def test_the_sheet_alone(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = job.parent / "fire.pdf"
    code, _, err = run(capsys, "fire", str(job), "--out", str(out), "--paper", "letter")
    assert code == 0
    assert out.read_bytes().startswith(b"%PDF")
    assert "fire.pdf" in err


def test_sizes_and_plates_are_told(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "fire", str(job), "--runs", "0", "--size", "--plates")
    assert code == 0
    assert "sized for the order" in out
    assert "open floor, no plates" in out
    assert "holds one reload" in out
