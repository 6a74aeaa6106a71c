"""A vessel on end as a frame: what it bears, that it balances, how it tips; the same through the whole pack's commands."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

import uprights
from pitwright.cli.main import main
from pitwright.strength.from_upright import frame_of
from pitwright.strength.stability import MassPoint, tip_angle
from pitwright.strength.standing import stand
from pitwright.tape import STANDARD_GRAVITY

EXAMPLE = Path(__file__).parents[2] / "examples" / "upright-30.toml"


@pytest.fixture(scope="module")
def tower():
    return uprights.small()


@pytest.mark.parametrize("state", ["empty", "loaded"])
def test_every_case_bears_the_whole_weight_where_it_lies(tower, state):
    made = frame_of(tower, state)
    solved = made.ready.solve(made.cases)
    balance = tower.balance[state]
    places = {f.name: (f.x, f.y) for f in made.feet} | {p.name: (p.x, p.y) for p in made.forks}
    for case in solved.cases.values():
        assert case.stands
        total = sum(case.reactions.values())
        assert total == pytest.approx(balance.mass * STANDARD_GRAVITY, rel=1e-6)
        for k in (0, 1):
            moment = sum(force * places[name][k] for name, force in case.reactions.items())
            assert moment / total == pytest.approx(balance.centre[k], abs=2e-6)


def test_tip_angles_are_those_of_its_balance_and_feet(tower):
    report = stand(tower)
    prints = report.made.prints
    for tip in report.floor.tips:
        x, y, z = tower.balance[tip.state].centre
        weight = MassPoint(mass=tower.balance[tip.state].mass, x=x, y=y, z=z)
        assert tip.side.angle == pytest.approx(tip_angle(prints, weight))
    centre = tower.balance["empty"].centre
    reach = min(f.x for f in prints)
    assert report.floor.tips[0].side.angle == pytest.approx(math.atan2(centre[0] - reach, centre[2]), rel=1e-6)


def test_the_open_door_moves_the_weight_to_its_own_side(tower):
    shut, opened = tower.balance["empty"].centre, tower.balance["doors open"].centre
    side = tower.upright.door.hinge_side
    assert side * (opened[0] - shut[0]) > 0.0
    assert opened[2] == pytest.approx(shut[2])
    door = tower.doors[0]
    moved = math.dist(shut[:2], opened[:2]) * tower.balance["empty"].mass
    assert moved == pytest.approx(door.weight * tower.upright.door.shift, rel=1e-6)


def test_a_wider_base_tips_later(tower):
    wider = uprights.small(proportions__upright={"square": "42"})
    assert min(t.side.angle for t in stand(wider).floor.tips) > min(t.side.angle for t in stand(tower).floor.tips)


def test_casters_stand_in_by_their_trail():
    pit = uprights.small(order__grate_height="42", proportions__upright={"stands_on": "casters"})
    feet = uprights.small(order__grate_height="42")
    trail = pit.base.supports[0].trail
    assert trail > 0.0
    on_casters, on_feet = (min(t.side.angle for t in stand(p).floor.tips) for p in (pit, feet))
    assert on_casters < on_feet


@pytest.mark.parametrize("command", ["check", "why", "fire", "stand", "price"])
def test_every_command_takes_it(command, capsys):
    assert main([command, str(EXAMPLE)]) == 0
    text = capsys.readouterr().out
    assert text.strip()
    assert "STOP" not in text


def test_the_example_makes_its_whole_pack(tmp_path, capsys):
    only = ["cut-list", "plates", "templates", "quote", "model", "pictures", "record"]
    args = [part for name in only for part in ("--only", name)]
    assert main(["pack", str(EXAMPLE), "--out", str(tmp_path / "out"), *args]) == 0
    capsys.readouterr()
    names = {p.name for p in (tmp_path / "out").iterdir()}
    assert {"cut-list.csv", "plates", "templates.pdf", "quote.pdf", "pit.glb", "pictures", "pit.json"} <= names
