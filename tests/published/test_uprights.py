"""A vessel on end against geometry and physics from outside the project.

- Two round pipes whose axes meet square (Steinmetz's curve for unlike radii): points of the joint lie on y2 + z2 = R2 and
  on x2 + y2 = r2 at once (any descriptive geometry text).
- The joint laid flat has the area of the double integral R dclock dheight over it: done here by scipy's quadrature.
- Draft: pressure = g x sum of height x (outside density less inside), ideal gas at the temperatures reported (ASHRAE
  Handbook, Fundamentals, chimney draft; the law from memory).
"""

from __future__ import annotations

import math

import pytest
from scipy import integrate

import uprights
from pitwright.fire.from_pit import fire_case
from pitwright.fire.of_pit import outcome_of, report_of
from pitwright.fire.result import SteadyFire
from pitwright.tape import INCH


@pytest.fixture(scope="module")
def tower():
    return uprights.small()


def test_window_lies_on_both_rounds_at_once(tower):
    window, radius = tower.upright.window, tower.vessel.outer_radius
    r, middle = (window.x1 - window.x0) / 2.0, (window.x0 + window.x1) / 2.0
    for height, around in window.outline:
        turn = around / radius - window.clock
        across, out = radius * math.sin(turn), radius * math.cos(turn)
        assert across**2 + out**2 == pytest.approx(radius**2, rel=1e-12)
        assert across**2 + (height - middle) ** 2 == pytest.approx(r**2, rel=1e-9)


@pytest.mark.parametrize("size", ["12 in", "16 in", "20 in"])
def test_window_area_against_quadrature(size):
    pit = uprights.small(order__grate_height="44", proportions__upright={"firebox_size": size})
    window, radius = pit.upright.window, pit.vessel.outer_radius
    r = (window.x1 - window.x0) / 2.0
    half = math.asin(r / radius)
    area, _ = integrate.dblquad(
        lambda height, clock: radius,
        -half,
        half,
        lambda clock: -math.sqrt(max(r * r - (radius * math.sin(clock)) ** 2, 0.0)),
        lambda clock: math.sqrt(max(r * r - (radius * math.sin(clock)) ** 2, 0.0)),
    )
    assert window.skin_area == pytest.approx(area, rel=1e-6)
    assert window.skin_area > window.clear_area == pytest.approx(math.pi * r * r)


def test_box_window_developed_on_the_skin():
    pit = uprights.small(
        order__grate_height="44",
        proportions__firebox={"shape": "box", "wall": "1/4", "end_plate": "1/4", "ash_height": "5"},
    )
    window, radius, box = pit.upright.window, pit.vessel.outer_radius, pit.firebox
    assert 2.0 * radius * math.sin(window.half_clock) == pytest.approx(box.inside_width, rel=1e-12)
    assert window.skin_area == pytest.approx(2.0 * radius * window.half_clock * (window.x1 - window.x0), rel=1e-12)


def test_cope_of_the_firebox_is_the_sagitta_of_its_width(tower):
    """R - sqrt(R2 - r2), and the pipe's longest side is its middle length and the cope."""
    radius, r = tower.vessel.outer_radius, tower.firebox.width / 2.0
    deep = float(tower.reasons["firebox.cope"].value)
    assert deep == pytest.approx(radius - math.sqrt(radius**2 - r**2), rel=1e-9)


def test_draft_is_the_whole_hot_column_from_inlet_to_stack_top(tower):
    fire = outcome_of(tower)
    assert isinstance(fire, SteadyFire)
    case = fire_case(tower)
    column = case.stack.z_top - case.firebox.inlets[0].z
    outside = case.weather.pressure / (287.05 * case.weather.temperature)
    coldest, hottest = min(fire.stack_out, fire.lower.min()), fire.fire_gas
    least, most = (
        9.80665 * column * outside * (1.0 - case.weather.temperature / t) for t in (float(coldest), float(hottest))
    )
    assert least * 0.97 <= fire.draught <= most * 1.03
    rises = sum(step.made for step in fire.draw)
    assert rises == pytest.approx(fire.draught, rel=1e-6)


def test_a_taller_stack_draws_harder_and_a_smaller_inlet_chokes(tower):
    base = outcome_of(tower)
    tall = outcome_of(uprights.small(proportions__stack={"height": "60"}))
    assert tall.draught > base.draught + 1.0
    report = report_of(tower)
    assert {c.name.split(":")[0] for c in report.chokes} >= {"stack pipe", "air inlet"}


def test_spread_runs_from_the_lowest_grate_to_the_highest(tower):
    fire, case = outcome_of(tower), fire_case(tower)
    low, high = tower.upright.grates[0].z, tower.upright.grates[-1].z
    assert case.rises_from + case.chamber.grate_x0 == pytest.approx(low)
    assert case.rises_from + case.chamber.grate_x1 == pytest.approx(high)
    assert fire.grates[0].spread > 0.0
    assert any(f.code == "fire.on_end" and f.severity == "unchecked" for f in report_of(tower).findings)


def test_whole_standing_skin_loses_heat(tower):
    """Skin of the case against the shell's own area: shell less window and the two heads' insides."""
    chamber, vessel = fire_case(tower).chamber, tower.vessel
    skin = (chamber.skin_below + chamber.skin_above) * chamber.length + 2.0 * chamber.ends
    shell = 2.0 * math.pi * vessel.inner_radius * vessel.length
    ratio = 1.0844  # inside area of a 2:1 ellipsoidal head over its inside diameter squared, handbook value
    heads = 2.0 * ratio * (2.0 * vessel.inner_radius) ** 2
    assert skin == pytest.approx(shell + heads - tower.throat.gross_area, rel=0.01)
    assert chamber.z_high - chamber.z_low == pytest.approx(
        vessel.length + 2.0 * vessel.inner_radius / 2.0, abs=0.5 * INCH
    )
