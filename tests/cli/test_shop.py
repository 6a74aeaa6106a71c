"""The shop's commands: the blank card, the money, the clock."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from pitwright.cli import main
from pitwright.job.file import load_job
from pitwright.layout.pit import solve
from pitwright.shop.price import change, change_text, price

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
JOB, OTHER = EXAMPLES / "orchard-30.toml", EXAMPLES / "reverse-36.toml"


@pytest.mark.parametrize("units", ["inch", "metric"])
def test_a_blank_card_is_one_pdf(units: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "card.pdf"
    assert main(["survey", "--units", units, "--out", str(path)]) == 0
    assert path.read_bytes().startswith(b"%PDF")
    assert str(path) in capsys.readouterr().out


def test_a_card_on_other_paper(tmp_path: Path) -> None:
    small, large = tmp_path / "a.pdf", tmp_path / "b.pdf"
    main(["survey", "--out", str(small)])
    main(["survey", "--out", str(large), "--paper", "tabloid"])
    assert small.read_bytes() != large.read_bytes()


def test_price_prints_every_stage_and_the_sum(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["price", str(JOB)]) == 0
    out = capsys.readouterr().out
    pit = solve(load_job(JOB))
    quote = price(pit)
    assert pit.tape.money(quote.price) in out
    for stage in quote.stages:
        if stage.price:
            assert stage.stage in out


def test_a_change_is_priced_against_the_job_before(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["price", str(OTHER), "--against", str(JOB)]) == 0
    out = capsys.readouterr().out
    before, after = solve(load_job(JOB)), solve(load_job(OTHER))
    for line in change(before, after)[:6]:
        assert change_text(after, line) in out


def test_hours_are_kept_and_taught(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "hours.toml"
    for hours in ("30", "28.5"):
        assert main(["hours", str(JOB), "doors", hours, "--file", str(path)]) == 0
    out = capsys.readouterr().out
    kept = tomllib.loads(path.read_text(encoding="utf-8"))["clocked"]
    assert [row["hours"] for row in kept] == [30.0, 28.5]
    assert "[rates.factors]" in out
    assert "2 clocked" in out


@pytest.mark.parametrize(("stage", "hours"), [("dors", "3"), ("doors", "three"), ("doors", "-1"), ("shelf", "4")])
def test_hours_that_are_none_are_refused(
    stage: str, hours: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "hours.toml"
    assert main(["hours", "--file", str(path), str(JOB), stage, "--", hours]) == 2
    assert not path.exists()
    assert "Allowed" in capsys.readouterr().err
