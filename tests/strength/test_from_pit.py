"""The solved pit as a frame: weights kept, balance of forces, mirror, and what changes when the base does."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import numpy as np
import pytest

from pitwright.cli import main
from pitwright.job.file import job_from, load_job, read_toml
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve as solve_pit
from pitwright.strength.frame_solve import solve
from pitwright.strength.from_upright import frame_of
from pitwright.strength.standing import stand
from pitwright.tape import STANDARD_GRAVITY

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
NAMES = sorted(p.stem for p in EXAMPLES.glob("*.toml") if p.stem != "shop")


def pit_of(name: str, **changes: object) -> Pit:
    data = read_toml(EXAMPLES / f"{name}.toml")
    data["order"] = {**data["order"], **changes}
    return solve_pit(job_from(data, folder=EXAMPLES))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("state", ["empty", "loaded"])
def test_what_the_floor_carries_is_the_pit(name: str, state: str) -> None:
    pit = solve_pit(load_job(EXAMPLES / f"{name}.toml"))
    made = frame_of(pit, state)
    solved = solve(made.frame, made.cases)
    balance = pit.balance[state]
    where = {f.name: (f.x, f.y) for f in made.feet}
    for case in solved.cases.values():
        if not case.name.startswith(("true", "floor", "rocking", "only")):
            continue
        assert case.stands
        total = sum(case.reactions.values())
        assert total == pytest.approx(balance.mass * STANDARD_GRAVITY, rel=1e-6)
        for k in (0, 1):
            moment = sum(force * where[foot][k] for foot, force in case.reactions.items())
            assert moment == pytest.approx(total * balance.centre[k], abs=1e-6 * total)


def test_a_mirrored_pit_stands_alike() -> None:
    right, left = (stand(pit_of("reverse-36", firebox_side=side)) for side in ("right", "left"))
    assert left.worst == pytest.approx(right.worst, rel=1e-9)
    for case, found in right.reactions.items():
        assert left.reactions[case] == pytest.approx(found, rel=1e-9, abs=1e-6)


def test_fewer_cross_members_never_spread_less() -> None:
    pit = pit_of("orchard-30")
    tied = stand(pit).opened["true floor"]
    for keep in range(len(pit.base.crosses)):
        bare = dataclasses.replace(pit, base=dataclasses.replace(pit.base, crosses=(pit.base.crosses[keep],)))
        assert abs(stand(bare).opened["true floor"]) >= abs(tied) - 1e-9


def test_heavier_meat_presses_harder_everywhere() -> None:
    light, heavy = stand(pit_of("yard-37", people=60)), stand(pit_of("yard-37", people=300))
    assert all(
        heavy.reactions["true floor"][foot] > force
        for foot, force in light.reactions["true floor"].items()
        if foot.startswith("set")
    )


def test_slings_carry_the_empty_pit() -> None:
    pit = pit_of("orchard-30")
    report = stand(pit)
    upright = sum(s.tension * np.sin(s.angle) for s in report.lifting.slings)
    assert upright == pytest.approx(pit.balance["empty"].mass * STANDARD_GRAVITY, rel=1e-9)


def test_a_pad_mends_the_wall() -> None:
    data = read_toml(EXAMPLES / "orchard-30.toml")
    data["proportions"] = {"legs": {"pads": "never"}}
    bare = stand(solve_pit(job_from(data, folder=EXAMPLES)))
    padded = stand(pit_of("orchard-30"))
    assert any(f.code == "stand.wall" and "Pad" in f.remedy for f in bare.findings)
    assert not any(f.code == "stand.wall" for f in padded.findings)
    assert padded.worst < bare.worst


def test_the_command_tells_a_stop_by_its_exit_code(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert main(["stand", str(EXAMPLES / "orchard-30.toml")]) == 0
    out = capsys.readouterr().out
    assert "not checked" in out
    assert "licensed engineer" in out
    (tmp_path / "shop.toml").write_text(
        (EXAMPLES / "shop.toml").read_text().replace('pads = "always"', 'pads = "never"')
    )
    (tmp_path / "job.toml").write_text((EXAMPLES / "orchard-30.toml").read_text())
    assert main(["stand", str(tmp_path / "job.toml")]) == 1
    assert "STOP" in capsys.readouterr().out
