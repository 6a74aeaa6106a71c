"""The steady fire: the trade's own figures, closed books, monotone truths, and pits at random."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fire_pits import IN2, LB_H, fahrenheit, kelvin, random_pit, reverse_flow, thirty_inch, with_plates
from pitwright.fire import change
from pitwright.fire.case import FireCase, Fuel, Gap, Settings, Stack, Wall, Weather, round_chamber
from pitwright.fire.gas import WOODS
from pitwright.fire.result import NoFire, SteadyFire
from pitwright.fire.solve import Model, settle
from pitwright.fire.steady import steady
from pitwright.tape import INCH, INCH_OF_WATER, LB

BAND = 0.40  # the trade notes' own: heat figures within 40 percent (common practice, no source)


def burning(case: FireCase) -> SteadyFire:
    found = steady(case)
    assert isinstance(found, SteadyFire), found
    return found


# the worked pit of the trade notes (common practice, no source)


def test_trade_notes_worked_pit() -> None:
    fire = burning(thirty_inch())
    assert fire.draught / INCH_OF_WATER == pytest.approx(0.027, rel=BAND)
    assert fire.air / LB_H == pytest.approx(325, rel=BAND)
    assert fahrenheit(fire.fire_gas) - 50 == pytest.approx(380 - 50, rel=BAND)
    assert 45 <= fire.spread * 1.8 <= 110
    assert 5 <= fire.wood / LB_H <= 9
    # here the paper and the model part: the paper's film (1.1 Btu/h ft2 F) takes more from the chamber, so its smoke
    # leaves at 160 F; ours leaves warmer and the shell is cooler. See docs/fire-model.md.
    assert fahrenheit(fire.stack_in) > 160
    assert fahrenheit(fire.stack_in) / 160 == pytest.approx(1.0, abs=0.45)


@pytest.mark.parametrize(
    ("changed", "spread"),
    [
        ({"stack": 6.065}, 97),
        ({"stack": 10.02}, 70),
        ({"inlet": 50.0}, 58),
        ({"inlet": 15.0}, 141),
        ({"throat": 60.0}, 82),
    ],
)
def test_trade_notes_choke_line(changed: dict[str, float], spread: float) -> None:
    assert burning(thirty_inch(**changed)).spread * 1.8 == pytest.approx(spread, rel=BAND)


def test_trade_notes_taller_stack() -> None:
    case = thirty_inch()
    assert burning(change.stack_height(case, case.stack.height + 24 * INCH)).spread * 1.8 == pytest.approx(70, rel=BAND)


@pytest.mark.parametrize(
    ("case", "wood"),
    [
        (thirty_inch(weather=Weather(temperature=kelvin(50.0), wind=3.0)), 7.3),
        (thirty_inch(weather=Weather(temperature=kelvin(95.0))), 4.7),
        (thirty_inch(firebox_wrap=0.05), 5.1),
        (thirty_inch(inlet=50.0), 7.9),
    ],
    ids=["breeze", "hot day", "wrapped firebox", "even"],
)
def test_trade_notes_wood(case: FireCase, wood: float) -> None:
    assert burning(case).wood / LB_H == pytest.approx(wood, rel=BAND)


def test_at_eight_inches_the_inlet_is_the_choke() -> None:
    fire = burning(thirty_inch())
    spent = {step.name: step.spent for step in fire.draw}
    assert max(spent, key=lambda name: spent[name]) == "inlet: slide"


def test_trade_notes_small_stand() -> None:
    """24 in pipe of 3/8 wall, 60 long, 6 in stack 40 tall, inlet 20, throat 60: wood 3 to 6 lb/h, spread 40 to 100 F.

    The notes do not state the firebox; here 20 in round, 1/4 wall, 24 long.
    """
    base = thirty_inch()
    centre = 34 * INCH
    inside = (23.99 - 0.75) * INCH
    chamber = round_chamber(
        inside_diameter=inside, length=60 * INCH, z_centre=centre, z_grate=centre - 0.5 * INCH,
        ends=math.pi / 4 * inside**2, inner_steel=25.0, wall=Wall(thickness=0.375 * INCH),
        doors=(replace(base.chamber.doors[0], x1=50 * INCH, z_low=centre, z_high=centre + 11 * INCH, width=44 * INCH),),
    )  # fmt: skip
    skin = math.pi * 20 * 24 * IN2 + 2 * math.pi * 100 * IN2
    firebox = replace(
        base.firebox, skin=skin, volume=math.pi * 9.75**2 * 24 * INCH**3, diameter=20 * INCH, steel=180 * LB,
        wall=Wall(thickness=0.25 * INCH), inlets=(replace(base.firebox.inlets[0], area=20 * IN2, z=centre - 20 * INCH),),
        doors=(),
    )  # fmt: skip
    top = centre + 12 * INCH
    case = replace(
        base,
        firebox=firebox,
        throat=replace(base.throat, area=60 * IN2, z_low=centre - 10 * INCH, z_high=centre - 4 * INCH),
        chamber=chamber,
        stack=Stack(x=56 * INCH, z_mouth_low=top, z_mouth_high=top + 0.001, z_top=top + 40 * INCH, diameter=6.065 * INCH,
                    wall=Wall(thickness=0.28 * INCH)),
        load=replace(base.load, mass=15.0),
    )  # fmt: skip
    fire = burning(case)
    assert 3.0 <= fire.wood / LB_H <= 6.0
    assert 40 <= fire.spread * 1.8 <= 100


# closed books


@pytest.mark.parametrize(
    "case", [thirty_inch(), reverse_flow(), thirty_inch(meat=0.0)], ids=["offset", "reverse", "no meat"]
)
def test_energy_mass_and_draught_close(case: FireCase) -> None:
    fire = burning(case)
    assert fire.energy_error < 1e-9
    assert fire.mass_error < 1e-9
    assert sum(s.share for s in fire.shares) == pytest.approx(1.0, abs=1e-9)
    assert sum(s.made for s in fire.draw) == pytest.approx(sum(s.spent for s in fire.draw), rel=1e-9)
    assert sum(s.watts for s in fire.skins) == pytest.approx(
        sum(s.watts for s in fire.shares if s.name.endswith("skin")), rel=1e-12
    )
    wanted = case.wanted.temperature
    assert fire.grate_mean == pytest.approx(wanted, abs=1e-6)


def test_wanted_can_be_read_at_the_middle_or_by_a_bare_thermometer() -> None:
    case = thirty_inch()
    middle = burning(replace(case, wanted=replace(case.wanted, at="middle")))
    grate = middle.grates[0]
    assert float(np.interp(case.chamber.length / 2, grate.x, grate.gas)) == pytest.approx(
        case.wanted.temperature, abs=1e-6
    )
    bare = burning(replace(case, wanted=replace(case.wanted, read_by="thermometer")))
    assert float(bare.grates[0].reading.mean()) == pytest.approx(case.wanted.temperature, abs=1e-6)
    assert bare.grate_mean > case.wanted.temperature  # it sees cool walls and reads low
    assert bare.wood > burning(case).wood


def test_same_answer_from_a_given_burning_rate() -> None:
    model = Model(thirty_inch())
    wanted = settle(model)
    given_rate = settle(Model(thirty_inch()), burn=wanted.fire.dry)
    assert given_rate.closed
    assert given_rate.t == pytest.approx(wanted.t, abs=1e-4)


# why there is no fire


def test_shut_inlet_starves_or_will_not_draw() -> None:
    found = steady(change.inlet_open(thirty_inch(), 0.0))
    assert isinstance(found, NoFire)
    assert found.reason in ("starved", "no_draught")
    assert found.hottest < thirty_inch().wanted.temperature
    assert found.wood_need > found.wood_air


def test_shut_damper_gives_no_fire() -> None:
    case = thirty_inch(zones_doors=False)
    assert isinstance(steady(replace(case, settings=Settings(damper_open=0.0))), NoFire)


def test_wanted_no_warmer_than_the_day() -> None:
    found = steady(replace(thirty_inch(), wanted=replace(thirty_inch().wanted, temperature=280.0)))
    assert isinstance(found, NoFire)
    assert found.reason == "not_hot"


def test_wind_into_the_stack_and_out_of_the_inlet() -> None:
    case = thirty_inch(weather=Weather(temperature=283.0, wind=9.0))
    case = replace(case, coefficients=case.coefficients.with_values({"wind_inlet": -0.6, "wind_stack": 0.5}))
    found = steady(case)
    assert isinstance(found, NoFire)
    assert found.reason == "back_draught"


# monotone truths, each over pits at random that burn both ways

seeds = st.integers(0, 100_000)
few = settings(max_examples=15)


def both(
    seed: int, alter: Callable[[FireCase], FireCase], first: Callable[[FireCase], FireCase] = lambda c: c
) -> tuple[SteadyFire, SteadyFire] | None:
    case = first(replace(random_pit(seed), weather=replace(random_pit(seed).weather, wind=0.0)))
    before = steady(case)
    after = steady(alter(case))
    if isinstance(before, SteadyFire) and isinstance(after, SteadyFire):
        return before, after
    return None


@given(seeds)
@few
def test_a_taller_stack_draws_more(seed: int) -> None:
    if pair := both(seed, lambda c: change.stack_height(c, c.stack.height + 0.5)):
        assert pair[1].smoke > pair[0].smoke
        assert pair[1].draught > pair[0].draught


@given(seeds)
@few
def test_a_smaller_throat_lowers_the_flow(seed: int) -> None:
    if pair := both(seed, lambda c: change.throat_area(c, 0.6 * c.throat.area)):
        assert pair[1].air < pair[0].air * 1.001


@given(seeds)
@few
def test_insulation_lowers_the_wood(seed: int) -> None:
    def wrap(case: FireCase) -> FireCase:
        wall = replace(case.firebox.wall, insulation=case.firebox.wall.insulation + 0.05)
        return replace(case, firebox=replace(case.firebox, wall=wall))

    if pair := both(seed, wrap):
        assert pair[1].wood < pair[0].wood


@given(seeds)
@few
def test_wetter_wood_burns_more_of_it(seed: int) -> None:
    """Without meat: damp smoke dries the meat a little less, which can hide a part in a thousand."""

    def wet(case: FireCase) -> FireCase:
        return replace(case, fuel=replace(case.fuel, moisture=case.fuel.moisture + 0.2))

    if pair := both(seed, wet, lambda c: replace(c, load=replace(c.load, mass=0.0))):
        assert pair[1].wood > pair[0].wood
        assert pair[1].wood_dry > pair[0].wood_dry


@given(seeds)
@few
def test_a_colder_day_takes_more_wood(seed: int) -> None:
    def colder(case: FireCase) -> FireCase:
        return replace(case, weather=replace(case.weather, temperature=case.weather.temperature - 15))

    if pair := both(seed, colder):
        assert pair[1].wood > pair[0].wood


@given(seeds)
@few
def test_a_closing_damper_lowers_the_smoke(seed: int) -> None:
    if pair := both(seed, lambda c: change.damper_open(c, 0.5 * c.settings.damper_open)):
        assert pair[1].smoke < pair[0].smoke


def test_more_inlet_evens_the_grate_and_costs_wood() -> None:
    fires = [burning(thirty_inch(inlet=a)) for a in (12.0, 20.0, 30.0, 45.0, 60.0)]
    spreads = [f.spread for f in fires]
    assert spreads == sorted(spreads, reverse=True)
    assert fires[-1].wood > fires[1].wood


def test_plates_move_heat_where_their_gaps_are() -> None:
    """Open the way up at the far end and the far end warms; at the fire end, the fire end does."""
    case = thirty_inch()
    length = case.chamber.length
    far = burning(with_plates(case, (Gap(x=0.1 * length, area=0.01), Gap(x=0.9 * length, area=0.05))))
    near = burning(with_plates(case, (Gap(x=0.1 * length, area=0.05), Gap(x=0.9 * length, area=0.01))))
    assert far.grates[0].end_to_end < near.grates[0].end_to_end
    between = burning(with_plates(case, (Gap(x=0.1 * length, area=0.03), Gap(x=0.9 * length, area=0.03))))
    assert far.grates[0].end_to_end < between.grates[0].end_to_end < near.grates[0].end_to_end


def test_reverse_flow_is_hottest_where_the_gas_turns() -> None:
    fire = burning(reverse_flow())
    assert fire.grates[0].gas.argmax() == len(fire.grates[0].gas) - 1
    assert fire.floor[0] > fire.floor[5]  # the plate is hottest over the throat


def test_altitude_thins_the_draught() -> None:
    sea = burning(thirty_inch())
    high = burning(thirty_inch(weather=Weather(temperature=kelvin(50.0), pressure=80_000.0)))
    assert high.draught == pytest.approx(sea.draught * 80_000 / 101_325, rel=0.03)
    assert high.air < sea.air


def test_doors_roll_smoke_when_the_pit_is_hot() -> None:
    fire = burning(thirty_inch())
    cook = [d for d in fire.doors if d.room == "chamber"]
    assert all(d.open_out > 0 and d.open_in > 0 for d in cook)
    for d in fire.doors:
        assert d.upper > d.lower  # hot gas presses harder higher up
        assert (
            d.open_neutral <= max(x.z_high for x in (*thirty_inch().chamber.doors, *thirty_inch().firebox.doors)) + 1e-9
        )


def test_across_the_grate_the_door_side_is_the_cold_side() -> None:
    fire = burning(thirty_inch())
    across = fire.grates[0].spread_across
    assert float(across[:, -1].mean()) <= float(across[:, 0].mean()) <= 0.0
    assert across[:, 2] == pytest.approx(0.0, abs=1.0)


@pytest.mark.parametrize("wood", sorted(WOODS))
def test_every_wood_burns(wood: str) -> None:
    assert burning(replace(thirty_inch(), fuel=Fuel(wood=WOODS[wood], hardwood=wood != "pine"))).wood > 0


@pytest.mark.parametrize("block", range(6))
def test_pits_at_random_burn_or_say_why(block: int) -> None:
    """150 pits here; the benchmark runs 2,000."""
    for seed in range(25 * block, 25 * block + 25):
        found = steady(random_pit(seed))
        if isinstance(found, NoFire):
            assert found.reason != "unsettled", seed
            assert found.text
        else:
            assert found.energy_error < 1e-9
            assert found.mass_error < 1e-9
            assert found.wood > 0
            assert found.excess_air > 0
