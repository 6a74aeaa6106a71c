"""Bands and sensitivities."""

from __future__ import annotations

import numpy as np
import pytest

from fire_pits import LB_H, thirty_inch
from pitwright.fire import change
from pitwright.fire.coefficients import Coefficients, Values
from pitwright.fire.uncertainty import FIGURES, draw_values, quantile, uncertainty


@pytest.fixture(scope="module")
def bands() -> object:
    return uncertainty(thirty_inch(), runs=120, seed=4)


def test_ninety_percent_lie_in_the_stated_range() -> None:
    c = Coefficients()["circulation"]
    chance = (np.arange(20_000) + 0.5) / 20_000
    values = quantile(c, chance)
    assert np.mean((values >= c.low) & (values <= c.high)) == pytest.approx(0.90, abs=0.01)
    assert np.all(np.diff(values) >= 0)
    assert float(np.median(values)) == pytest.approx(c.value, abs=1e-3)


def test_a_latin_hypercube_uses_every_slice_once() -> None:
    sets = draw_values(thirty_inch(), 50, 3)
    assert len(sets) == 50
    assert len({s.circulation for s in sets}) == 50
    low = [s.inside_film for s in sets if s.inside_film < 1.0]
    assert len(low) == 25


def test_bands_hold_the_best_figure_and_the_trade_notes(bands: object) -> None:
    wood, spread, air = (bands.band(n) for n in ("wood", "spread", "air"))  # type: ignore[attr-defined]
    assert wood.low / LB_H < 6.7 < wood.high / LB_H
    assert spread.low * 1.8 < 77 < spread.high * 1.8
    assert air.low / LB_H < 340 < air.high / LB_H
    for name in FIGURES:
        band = bands.band(name)  # type: ignore[attr-defined]
        assert band.low <= band.middle <= band.high


def test_what_sways_what(bands: object) -> None:
    sways = bands.sways  # type: ignore[attr-defined]
    assert sways["spread"][0].coefficient == "circulation"
    assert sways["spread"][0].correlation < 0
    assert sways["air"][0].coefficient == "discharge"
    assert sum(s.share for s in sways["wood"]) == pytest.approx(1.0)


def test_grate_band_wraps_its_middle(bands: object) -> None:
    assert np.all(bands.grate_low <= bands.grate_middle)  # type: ignore[attr-defined]
    assert np.all(bands.grate_middle <= bands.grate_high)  # type: ignore[attr-defined]


def test_same_seed_same_bands_whoever_works_and_progress_is_told() -> None:
    told: list[tuple[int, int]] = []
    one = uncertainty(thirty_inch(), runs=40, seed=9, progress=lambda done, of: told.append((done, of)))
    two = uncertainty(thirty_inch(), runs=40, seed=9, workers=2)
    assert told[-1] == (40, 40)
    assert one.bands == two.bands
    assert one.burning == 40


def test_a_pool_of_ones_own() -> None:
    import joblib

    pool = joblib.Parallel(n_jobs=1, return_as="generator")
    assert uncertainty(thirty_inch(), runs=25, parallel=pool).runs == 25


def test_a_dead_pit_tells_why_in_every_run() -> None:
    found = uncertainty(change.inlet_open(thirty_inch(), 0.0), runs=10)
    assert found.burning == 0
    assert sum(found.no_fire.values()) == 10


def test_every_coefficient_has_a_source_and_a_place() -> None:
    table = Coefficients()
    assert [name for name, _ in table.items()] == list(Values._fields)
    for _, c in table.items():
        assert c.source
        assert c.what
        assert c.low <= c.value <= c.high
