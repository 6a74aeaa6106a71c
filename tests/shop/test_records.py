"""Clocked hours and what they teach."""

from __future__ import annotations

import datetime
import math
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

import standing_pits
import workbench
from pitwright.errors import JobError
from pitwright.job.rates import STAGES
from pitwright.layout.pit import solve
from pitwright.shop.hours import stage_hours
from pitwright.shop.records import (
    TRUST,
    Clocked,
    clock_in,
    factors,
    factors_text,
    learn,
    read_records,
    records_text,
)

some = st.builds(
    Clocked,
    job=st.text(st.characters(codec="utf-8", exclude_categories=("Cs",)), max_size=20),
    stage=st.sampled_from(STAGES),
    hours=st.floats(0.25, 400.0),
    reckoned=st.floats(0.25, 400.0),
    date=st.none() | st.dates(datetime.date(2020, 1, 1), datetime.date(2060, 1, 1)),
)


@given(st.lists(some, max_size=8))
def test_records_come_back_as_they_were_written(rows: list[Clocked]) -> None:
    assert read_records(records_text(rows)) == tuple(rows)


def doors(*ratios: float) -> list[Clocked]:
    return [Clocked(job=f"job {i}", stage="doors", hours=20.0 * r, reckoned=20.0) for i, r in enumerate(ratios)]


def test_one_job_moves_a_factor_a_quarter_of_the_way() -> None:
    (one,) = learn(doors(1.5))
    assert one.factor == pytest.approx(1.5 ** (1.0 / (1.0 + TRUST)))
    assert one.count == 1
    assert one.low < one.factor < one.high


def test_many_jobs_are_believed() -> None:
    (many,) = learn(doors(*([1.5] * 60)))
    assert many.factor == pytest.approx(1.5, rel=0.02)
    (few,) = learn(doors(1.5, 1.5))
    assert many.high / many.low < few.high / few.low


def test_over_and_under_cancel() -> None:
    (both,) = learn(doors(2.0, 0.5))
    assert both.factor == pytest.approx(1.0)


@given(st.lists(st.floats(0.3, 3.0), min_size=1, max_size=12))
def test_the_factor_lies_between_one_and_the_shops_own_middle(ratios: list[float]) -> None:
    (one,) = learn(doors(*ratios))
    own = math.exp(math.fsum(map(math.log, ratios)) / len(ratios))
    assert min(1.0, own) - 1e-9 <= one.factor <= max(1.0, own) + 1e-9
    assert one.low <= one.factor <= one.high


def test_what_was_learned_goes_into_the_rules_and_into_the_next_price() -> None:
    learned = learn(doors(1.4, 1.3, 1.5))
    table = tomllib.loads(factors_text(learned))["rates"]["factors"]
    assert table == factors(learned)
    pit = solve(workbench.job({"proportions": {"rates": {"factors": table}}}))
    (stage,) = (s for s in stage_hours(pit) if s.stage == "doors")
    assert stage.hours == pytest.approx(stage.reckoned * table["doors"])


def test_a_clocked_stage_keeps_what_was_reckoned_before_any_factor() -> None:
    pit = solve(workbench.job({"proportions": {"rates": {"factors": {"doors": 1.5}}}}))
    one = clock_in(pit, "doors", 31.0, datetime.date(2031, 5, 4))
    (stage,) = (s for s in stage_hours(pit) if s.stage == "doors")
    assert one.reckoned == pytest.approx(stage.reckoned)
    assert one.reckoned != pytest.approx(stage.hours)


def test_a_stage_the_pit_does_not_have_cannot_be_clocked() -> None:
    with pytest.raises(JobError):
        clock_in(standing_pits.pit("worked"), "shelf", 3.0)


@pytest.mark.parametrize(
    "text",
    [
        "[[clocked",
        "hours = 3",
        '[[clocked]]\njob = "a"\nstage = "dors"\nhours = 3\nreckoned = 3',
        '[[clocked]]\njob = "a"\nstage = "doors"\nhours = 0\nreckoned = 3',
        '[[clocked]]\njob = "a"\nstage = "doors"\nhours = "3"\nreckoned = 3',
        '[[clocked]]\njob = "a"\nstage = "doors"\nhours = 3\nreckoned = 3\nwho = "me"',
        '[[clocked]]\njob = "a"\nstage = "doors"\nhours = nan\nreckoned = 3',
        '[[clocked]]\njob = "a"\nstage = "doors"\nhours = 3\nreckoned = 3\ndate = "May"',
        "clocked = 3",
    ],
)
def test_bad_records_are_refused(text: str) -> None:
    with pytest.raises(JobError):
        read_records(text)
