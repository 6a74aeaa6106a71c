"""Learning from burns: five thermometers, a whole log, and the shop's prior."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fire_pits import thirty_inch
from pitwright.errors import JobError
from pitwright.fire.burnlog import BurnLog, Probe
from pitwright.fire.calibrate import (
    Calibration,
    Reading,
    learn_from_course,
    learn_from_readings,
    probe_course,
    shop_prior,
)
from pitwright.fire.case import FireCase
from pitwright.fire.result import SteadyFire
from pitwright.fire.solve import Model
from pitwright.fire.steady import steady
from pitwright.fire.warmup import Burn, course


def truth(**values: float) -> FireCase:
    case = thirty_inch()
    return replace(case, coefficients=case.coefficients.with_values(values))


def five(case: FireCase, noise: float = 0.0, bare: bool = True) -> list[Reading]:
    found = steady(case)
    assert isinstance(found, SteadyFire)
    grate = found.grates[0]
    along = grate.reading if bare else grate.gas
    rng = np.random.default_rng(8)
    return [
        Reading(
            x=float(x), z=grate.z, temperature=float(np.interp(x, grate.x, along)) + noise * rng.normal(), bare=bare
        )
        for x in np.linspace(0.1, 2.0, 5)
    ]


def row(found: Calibration, name: str) -> tuple[float, float, float]:
    r = next(r for r in found.learned if r.name == name)
    return r.low, r.value, r.high


@pytest.fixture(scope="module")
def learned() -> Calibration:
    return learn_from_readings(thirty_inch(), five(truth(circulation=0.5), noise=1.0))


def test_five_thermometers_help(learned: Calibration) -> None:
    """They move the loop's strength toward the truth, halve its doubt, and meet the readings."""
    low, value, high = row(learned, "circulation")
    assert value < 0.85
    assert low < 0.5 * 1.2 < high
    before = np.log(2.2 / 0.4)
    assert np.log(high / low) < 0.75 * before
    assert learned.rms_after < 0.5 * learned.rms_before
    assert learned.fits


def test_the_prediction_with_the_learned_figures_is_nearer(learned: Calibration) -> None:
    real = steady(truth(circulation=0.5))
    guess = steady(thirty_inch())
    better = steady(replace(thirty_inch(), coefficients=learned.apply(thirty_inch().coefficients)))
    assert isinstance(real, SteadyFire)
    assert isinstance(guess, SteadyFire)
    assert isinstance(better, SteadyFire)
    assert abs(better.spread - real.spread) < 0.4 * abs(guess.spread - real.spread)


def test_readings_that_agree_change_little() -> None:
    found = learn_from_readings(thirty_inch(), five(thirty_inch()))
    assert row(found, "circulation")[1] == pytest.approx(1.0, rel=0.03)
    assert found.rms_after < 1.0
    assert found.level == pytest.approx(thirty_inch().wanted.temperature, abs=1.0)


def test_weighed_wood_tells_of_losses() -> None:
    real = steady(truth(inside_film=1.5))
    assert isinstance(real, SteadyFire)
    readings = five(truth(inside_film=1.5))
    without = learn_from_readings(thirty_inch(), readings)
    with_wood = learn_from_readings(thirty_inch(), readings, wood=real.wood)
    assert abs(row(with_wood, "inside_film")[1] - 1.5) <= abs(row(without, "inside_film")[1] - 1.5) + 0.02
    told = {r.name: r.told for r in with_wood.learned}
    assert told["inside_film"] > {r.name: r.told for r in without.learned}["inside_film"]


def test_saved_and_read_again(learned: Calibration) -> None:
    import tomlkit

    text = tomlkit.dumps(learned.as_dict())
    assert Calibration.from_dict(tomlkit.parse(text).unwrap()) == learned
    with pytest.raises(JobError):
        Calibration.from_dict({"coefficients": {"circulation": {"value": "much"}}})


def test_the_shops_prior(learned: Calibration) -> None:
    """Two pits that differ leave a wider prior than one learned twice; it never gets too sure of itself."""
    base = thirty_inch().coefficients
    other = learn_from_readings(thirty_inch(), five(truth(circulation=1.8)))
    twice, mixed = (
        shop_prior(base, [learned, learned])["circulation"],
        shop_prior(base, [learned, other])["circulation"],
    )
    assert twice.value == pytest.approx(row(learned, "circulation")[1], rel=1e-6)
    assert np.log(mixed.high / mixed.low) > np.log(twice.high / twice.low)
    assert learned.learned[0].value < mixed.value < other.learned[0].value
    assert np.log(twice.high / twice.low) >= np.log(2.2 / 0.4) / 3.0 - 1e-9
    assert "burns" in twice.source


def test_too_few_readings() -> None:
    with pytest.raises(JobError, match="too few"):
        learn_from_readings(thirty_inch(), five(thirty_inch())[:1])


def test_a_whole_log_tells_loop_and_film() -> None:
    real = truth(circulation=0.6, inside_film=1.3)
    burn = Burn(seconds=2 * 3600.0)
    run = course(real, burn)
    z = real.chamber.z_grate
    probes = (Probe(column="a", x=0.2, z=z), Probe(column="b", x=1.8, z=z), Probe(column="s", place="stack"))
    share = Model(real).grid.layer_share(z)
    times = np.arange(0.0, burn.seconds, 120.0)
    rng = np.random.default_rng(1)
    readings = np.column_stack([probe_course(run, p, share, times) for p in probes]) + rng.normal(
        0, 1.0, (len(times), 3)
    )
    readings[5, 1] = np.nan
    log = BurnLog(probes=probes, time=times, readings=readings)
    found = learn_from_course(thirty_inch(), burn, log, free=("circulation", "inside_film"), stretches=20)
    low, value, high = row(found, "inside_film")
    assert low < 1.3 < high
    assert value == pytest.approx(1.3, rel=0.12)
    assert row(found, "circulation")[1] < 0.85
    assert found.fits
    with pytest.raises(JobError, match="overlap"):
        learn_from_course(thirty_inch(), burn, log.since(99_999.0))
