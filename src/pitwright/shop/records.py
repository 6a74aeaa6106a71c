"""Hours off the shop's clock, and what they teach: a factor for each stage, drawn towards 1 while there are few.

    factor = exp(sum of ln(clocked / reckoned) / (count + TRUST))

The shop's records are plain TOML, one `[[clocked]]` table a stage of a job; what they teach goes into the shop's rules
as `[rates.factors]`.
"""

from __future__ import annotations

import datetime
import json
import math
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pitwright.errors import JobError
from pitwright.job.rates import STAGES, Stage
from pitwright.layout.model import Pit
from pitwright.shop.hours import stage_hours

TRUST = 3.0
"""How many jobs' worth of trust the starting rates get; common practice, no source."""

USUAL_SCATTER = 0.3
"""Scatter of ln(clocked / reckoned) taken where there are too few jobs to see it; common practice, no source."""

_LEAST, _MOST = 0.1, 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Clocked:
    """Hours of one stage of one job [h]: off the clock, and as the rates reckoned them before any factor."""

    job: str
    stage: Stage
    hours: float
    reckoned: float
    date: datetime.date | None = None

    @property
    def ratio(self) -> float:
        """Clocked over reckoned."""
        return self.hours / self.reckoned


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """What the clock says of one stage: a factor on the reckoned hours, from how many jobs, and its likely range."""

    stage: Stage
    factor: float
    count: int
    low: float
    high: float


def clock_in(pit: Pit, stage: str, hours: float, date: datetime.date | None = None) -> Clocked:
    """A record of one stage of a pit as it was clocked.

    Raises JobError for a stage that is none or that this pit does not have, and for hours that are none.
    """
    reckoned = {s.stage: s.reckoned for s in stage_hours(pit)}
    return _checked(
        {
            "job": pit.job.job.name,
            "stage": stage,
            "hours": hours,
            "reckoned": reckoned.get(_stage(stage), 0.0),
            "date": date,
        }
    )


def learn(clocked: Iterable[Clocked], trust: float = TRUST) -> tuple[Learned, ...]:
    """The factor of every stage that was clocked, in build order.

    The range is two thirds likely if the logs of the ratios scatter evenly about their middle.
    """
    found: dict[Stage, list[float]] = {}
    for one in clocked:
        found.setdefault(one.stage, []).append(math.log(one.ratio))
    return tuple(_learned(stage, found[stage], trust) for stage in STAGES if stage in found)


def _learned(stage: Stage, logs: Sequence[float], trust: float) -> Learned:
    count = len(logs)
    middle = math.fsum(logs) / (count + trust)
    mean = math.fsum(logs) / count
    spread = math.fsum((v - mean) ** 2 for v in logs) + trust * USUAL_SCATTER**2
    scatter = math.sqrt(spread / (count + trust)) / math.sqrt(count + trust)
    return Learned(
        stage=stage,
        factor=_within(math.exp(middle)),
        count=count,
        low=_within(math.exp(middle - scatter)),
        high=_within(math.exp(middle + scatter)),
    )


def _within(factor: float) -> float:
    return min(max(factor, _LEAST * 1.001), _MOST)


def factors(learned: Iterable[Learned]) -> dict[Stage, float]:
    """The factors as the shop's rules take them, to three decimals."""
    return {one.stage: round(one.factor, 3) for one in learned}


# ---------------------------------------------------------------- plain TOML


def read_records(text: str) -> tuple[Clocked, ...]:
    """The records of a file.

    Raises JobError for text that is no TOML, an unknown line, a stage that is none, or hours that are none.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        raise JobError(f"the records cannot be read: {problem}", remedy="Put quotation marks round names.") from problem
    rows = data.pop("clocked", [])
    if data or not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise JobError(
            "no such line in the records", field=next(iter(data), "clocked"), allowed="[[clocked]] tables with job, stage, hours, reckoned, date"
        )  # fmt: skip
    return tuple(_checked(row) for row in rows)


def records_text(clocked: Iterable[Clocked]) -> str:
    """The records as TOML; read back they are the same."""
    tables = []
    for one in clocked:
        lines = [f"job = {_quoted(one.job)}", f"stage = {_quoted(one.stage)}"]
        lines += [f"date = {one.date.isoformat()}"] if one.date else []
        lines += [f"hours = {float(one.hours)!r}", f"reckoned = {float(one.reckoned)!r}"]
        tables.append("[[clocked]]\n" + "\n".join(lines) + "\n")
    return "\n".join(tables)


def factors_text(learned: Iterable[Learned]) -> str:
    """`[rates.factors]` for the shop's rules, with what each rests on beside it."""
    lines = [
        f"{_quoted(one.stage)} = {one.factor:.3f}  # {one.count} clocked; likely {one.low:.2f} to {one.high:.2f}"
        for one in learned
    ]
    return "[rates.factors]\n" + "".join(line + "\n" for line in lines)


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _stage(name: object) -> Stage:
    for stage in STAGES:
        if stage == name:
            return stage
    raise JobError("no such stage", field="stage", value=name, allowed=", ".join(STAGES))


def _checked(row: Mapping[str, Any]) -> Clocked:
    unknown = sorted(set(row) - {"job", "stage", "hours", "reckoned", "date"})
    if unknown:
        raise JobError("no such line", field=unknown[0], allowed="job, stage, hours, reckoned, date")
    date = row.get("date")
    if date is not None and not isinstance(date, datetime.date):
        raise JobError("not a date", field="date", value=date, allowed="2031-05-04, without quotation marks")
    return Clocked(
        job=str(row.get("job", "")),
        stage=_stage(row.get("stage")),
        hours=_hours(row.get("hours"), "hours"),
        reckoned=_hours(row.get("reckoned"), "reckoned"),
        date=date,
    )


def _hours(value: object, field: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0.0 < value < 10000.0:
        raise JobError("not a number of hours", field=field, value=value, allowed="over 0, a plain number",
                       remedy="Leave out a stage that took no time.")  # fmt: skip
    return float(value)
