"""Logs as loggers write them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import JobError
from pitwright.fire.burnlog import Probe, read_log

A, B = Probe(column="Grate L", x=0.2, z=0.9), Probe(column="Grate R", x=1.8, z=0.9)


def test_clock_past_midnight_and_open_probes() -> None:
    log = read_log(
        "Model X\nserial,123\nTime,Grate L,Grate R,Batt\n23:50,200,---,88\n23:55:30,210,150 ,88\n0:05,open,160,87\n",
        [A, B], unit="F",
    )  # fmt: skip
    assert log.time - log.time[0] == pytest.approx([0, 330, 900])
    assert np.isnan(log.readings[0, 1])
    assert np.isnan(log.readings[2, 0])
    assert log.readings[0, 0] == pytest.approx((200 - 32) / 1.8 + 273.15)


def test_semicolons_and_decimal_commas() -> None:
    log = read_log("Minuten;Grate L (°C);Grate R (°C)\n0;20,5;21,0\n1,5;30,5;31\n", [
        Probe(column="Grate L (°C)"), Probe(column="Grate R (°C)")])  # fmt: skip
    assert log.time == pytest.approx([0, 90])
    assert log.readings[1, 0] == pytest.approx(273.15 + 30.5)


@pytest.mark.parametrize(
    ("cells", "gap"),
    [
        (("2024-05-01T10:00:00", "2024-05-01T10:01:00"), 60),
        (("5/1/2024 10:00", "5/1/2024 10:02"), 120),
        (("01.05.2024 10:00:00", "01.05.2024 10:00:30"), 30),
        (("11:59 AM", "12:01 PM"), 120),
    ],
)
def test_dates(cells: tuple[str, str], gap: float) -> None:
    log = read_log(f"date\tGrate L\tGrate R\n{cells[0]}\t100\t101\n{cells[1]}\t102\t103\n", [A, B], unit="C")
    assert log.time[1] - log.time[0] == pytest.approx(gap)


@pytest.mark.parametrize(("header", "scale"), [("elapsed (s)", 1), ("time min", 60), ("hours", 3600)])
def test_time_run(header: str, scale: float) -> None:
    log = read_log(f"{header},Grate L,Grate R\n0,100,100\n2,101,101\n", [A, B], unit="C")
    assert log.time == pytest.approx([0, 2 * scale])


def test_unit_from_the_header() -> None:
    log = read_log("time (s),Pit 1 (F),Pit 2 [F]\n0,212,32\n", [Probe(column="Pit 1 (F)"), Probe(column="Pit 2 [F]")])
    assert log.readings[0] == pytest.approx([373.15, 273.15])


def test_what_cannot_be_read_says_what_is_wanted() -> None:
    with pytest.raises(JobError, match="grate l"):
        read_log("time,a,b\n0,1,2\n", [A], unit="F")
    with pytest.raises(JobError, match="F or C"):
        read_log("time,Grate L\n0,100\n", [A])
    with pytest.raises(JobError, match="time"):
        read_log("time,Grate L\nnoon,100\n", [A], unit="F")
    with pytest.raises(JobError):
        read_log("", [A], unit="F")
    with pytest.raises(JobError, match="column"):
        read_log("t,Grate L\n0,100\n", [A], unit="F", time_column="clock")


@given(st.text(max_size=300))
def test_any_text_gives_a_log_or_our_own_error(text: str) -> None:
    try:
        log = read_log(text, [A], unit="F")
    except JobError:
        return
    assert len(log.time) == len(log.readings)


def test_thinning_and_the_fires_clock() -> None:
    rows = "\n".join(f"{i * 10},{70 if i < 30 else 70 + i},{70}" for i in range(300))
    log = read_log(f"seconds,Grate L,Grate R\n{rows}\n", [A, B], unit="F")
    assert log.rise_at() == pytest.approx(300.0)
    late = log.since(300.0)
    assert late.time[0] == -300.0
    thin = log.thinned(30)
    assert len(thin.time) == 30
    assert np.nanmean(thin.readings) == pytest.approx(np.nanmean(log.readings), rel=1e-3)
