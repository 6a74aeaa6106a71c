"""Findings: the right one comes, and its remedy mends it."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from fire_pits import IN2, kelvin, random_pit, thirty_inch
from pitwright.findings import Finding
from pitwright.fire import change
from pitwright.fire.case import FireCase, FireGrate, Settings, Weather
from pitwright.fire.checks import TOUCH, findings
from pitwright.fire.report import CAUTIONS, first_burn, report
from pitwright.fire.result import SteadyFire
from pitwright.fire.steady import steady
from pitwright.fire.uncertainty import uncertainty
from pitwright.fire.warmup import Burn, course
from pitwright.tape import INCH, Tape

INCHES = Tape.for_system("inch")
METRIC = Tape.for_system("metric")


def found(case: FireCase, tape: Tape = INCHES) -> dict[str, Finding]:
    return {f.code: f for f in findings(case, steady(case), tape)}


def figure(text: str, before: str = "") -> float:
    match = re.search(before + r"\s*([\d.]+)", text)
    assert match, text
    return float(match.group(1))


def test_uneven_and_its_cure() -> None:
    case = thirty_inch()
    finding = found(case)["fire.uneven"]
    assert finding.severity == "warn"
    area = figure(finding.remedy, "air inlet")
    cured = steady(change.inlet_area(case, area * IN2))
    assert isinstance(cured, SteadyFire)
    assert cured.spread <= case.wanted.spread * 1.02
    assert "fire.uneven" not in found(replace(case, wanted=replace(case.wanted, spread=60.0)))


def test_uneven_by_a_closed_inlet_is_opened_first() -> None:
    case = replace(thirty_inch(inlet=70.0), settings=Settings(inlet_open=0.25))
    remedy = found(case)["fire.uneven"].remedy
    assert remedy.startswith("Open the air inlet to")
    cured = steady(change.inlet_open(case, figure(remedy, "inlet to") / 100))
    assert isinstance(cured, SteadyFire)
    assert cured.spread <= case.wanted.spread * 1.02


def test_starved_and_its_cure() -> None:
    case = thirty_inch(inlet=1.0)
    finding = found(case)["fire.starved"]
    assert finding.severity == "stop"
    area = figure(finding.remedy, "air inlet")
    assert isinstance(steady(change.inlet_area(case, area * IN2)), SteadyFire)


def test_throat_and_its_cure() -> None:
    case = thirty_inch(throat=12.0)
    finding = found(case)["fire.throat_starves"]
    cured = change.throat_area(case, figure(finding.remedy, "it to") * IN2)
    assert "fire.throat_starves" not in found(cured)


def test_short_stack_and_its_cure() -> None:
    case = thirty_inch()
    case = change.stack_height(case, 0.05)
    finding = found(case)["fire.stack_short"]
    more = re.search(r"Make the stack ([\d]+)(?:-(\d+)/(\d+))?\" taller", finding.remedy)
    assert more
    inches = float(more[1]) + (float(more[2]) / float(more[3]) if more[2] else 0.0)
    assert "fire.stack_short" not in found(change.stack_height(case, 0.05 + (inches + 0.1) * INCH))


def test_roll_out_and_its_cure() -> None:
    case = thirty_inch()
    finding = found(case)["fire.rolls_out"]
    assert "stand aside" in finding.remedy
    fire = steady(case)
    assert isinstance(fire, SteadyFire)
    neutral = next(d for d in fire.doors if d.room == "firebox").open_neutral
    door = case.firebox.doors[0]
    lower = replace(case, firebox=replace(case.firebox, doors=(replace(door, z_high=neutral),)))
    again = steady(lower)
    assert isinstance(again, SteadyFire)
    before = next(d for d in fire.doors if d.room == "firebox").open_out
    assert next(d for d in again.doors if d.room == "firebox").open_out < 0.5 * before


def test_hot_skin_and_its_cure() -> None:
    case = thirty_inch()
    firebox = next(
        f for f in findings(case, steady(case), METRIC) if f.code == "fire.hot_skin" and "firebox" in f.pieces
    )
    assert firebox.severity == "note"  # bare steel is hot; insulated and still hot is another matter
    wrap = figure(firebox.remedy) / 1000.0
    wall = replace(case.firebox.wall, insulation=wrap + 0.001)
    cured = steady(replace(case, firebox=replace(case.firebox, wall=wall)))
    assert isinstance(cured, SteadyFire)
    assert cured.skins[0].temperature < TOUCH + 0.5
    thin = replace(case, firebox=replace(case.firebox, wall=replace(case.firebox.wall, insulation=0.2 * wrap)))
    still = [f for f in findings(thin, steady(thin), METRIC) if f.code == "fire.hot_skin" and "firebox" in f.pieces]
    assert [f.severity for f in still] == ["warn"]


def test_cold_stack_condenses() -> None:
    case = thirty_inch(weather=Weather(temperature=kelvin(20.0)))
    assert "fire.condenses" in found(case)


def test_small_grate_reload_and_soot() -> None:
    case = thirty_inch()
    small = replace(case, firebox=replace(case.firebox, grate=FireGrate(area=0.05), volume=0.01))
    codes = found(small)
    assert "fire.grate_small" in codes
    assert "fire.reload" in codes
    sooty = thirty_inch(inlet=3.75)
    codes = found(sooty)
    assert "fire.sooty" in codes
    area = figure(codes["fire.sooty"].remedy, "air inlet of")
    cured = steady(change.inlet_area(sooty, area * IN2))
    assert isinstance(cured, SteadyFire)
    assert cured.excess_air == pytest.approx(0.5, abs=0.05)


def test_wind_that_turns_the_draw() -> None:
    case = thirty_inch(weather=Weather(temperature=283.0, wind=9.0))
    case = replace(case, coefficients=case.coefficients.with_values({"wind_inlet": -0.6, "wind_stack": 0.5}))
    finding = found(case)["fire.will_not_draw"]
    assert finding.severity == "stop"
    assert "wind" in finding.remedy


@pytest.mark.parametrize("seed", range(0, 30, 3))
def test_findings_of_pits_at_random_are_whole(seed: int) -> None:
    case = random_pit(seed)
    for finding in findings(case, steady(case), METRIC):
        assert finding.code.startswith("fire.")
        assert finding.text.endswith((".", "!"))
        assert finding.source
        assert "nan" not in (finding.text + finding.remedy).lower()
        assert " °F" not in finding.text


def test_report_and_card() -> None:
    case = thirty_inch()
    whole = report(case, INCHES)
    assert isinstance(whole.outcome, SteadyFire)
    assert whole.chokes
    assert whole.findings
    about = {c.about for c in CAUTIONS}
    assert {"carbon monoxide", "clearance", "hot surfaces", "food"} <= about
    assert all(c.source for c in CAUTIONS)
    assert any("165" in c.text for c in CAUTIONS)
    bands = uncertainty(case, runs=30)
    warm = course(case, Burn(seconds=2 * 3600.0))
    card = first_burn(case, whole.outcome, INCHES, bands, warm)
    names = [line.name for line in card]
    assert "ready after" in names
    assert sum(n.startswith("grate,") for n in names) == 5
    assert report(thirty_inch(inlet=1.0), INCHES).chokes == ()
