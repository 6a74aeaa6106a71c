"""A temperature log of a burn: read from any logger's CSV, put on the fire's own clock.

One column is the time (a clock, a date and clock, or seconds, minutes or hours run), the others are probes. Commas,
semicolons or tabs; points or decimal commas; notes above the header and words such as `open` or `---` in place of a
reading are passed over.
"""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final, Literal

import numpy as np

from pitwright.errors import JobError
from pitwright.fire.gas import Array
from pitwright.tape import DEGREE_F, ZERO_CELSIUS, ZERO_FAHRENHEIT

Place = Literal["grate", "stack", "firebox"]
_CLOCK: Final = re.compile(r"^(\d{1,3}):(\d{2})(?::(\d{2}(?:[.,]\d+)?))?\s*([AaPp][Mm])?$")
_DATES: Final = ("%m/%d/%Y %H:%M:%S", "%m/%d/%Y %H:%M", "%d.%m.%Y %H:%M:%S", "%d.%m.%Y %H:%M", "%m/%d/%Y %I:%M:%S %p",
                 "%m/%d/%Y %I:%M %p", "%m/%d/%y %H:%M:%S", "%m/%d/%y %H:%M")  # fmt: skip
_DAY: Final = 86_400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Probe:
    """A probe and where it hangs.

    column  its name in the log
    place   on a grate, in the stack (just above its mouth), or in the firebox (gas)
    x, z    station and height [m], of a probe on a grate
    bare    True for a plain stem or dial, False for a shielded probe that reads the gas
    """

    column: str
    place: Place = "grate"
    x: float = 0.0
    z: float = 0.0
    bare: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class BurnLog:
    """Readings on the fire's clock: time since it was lit [s], one column a probe [K], nan where there is none."""

    probes: tuple[Probe, ...]
    time: Array
    readings: Array

    def since(self, lit: float) -> BurnLog:
        """The log on a clock that starts when the fire was lit, at `lit` on the present clock [s]."""
        return BurnLog(probes=self.probes, time=self.time - lit, readings=self.readings)

    def rise_at(self, rise: float = 5.0) -> float:
        """When the first probe has risen so far over its first reading [K]: a good guess at when it was lit [s]."""
        first = np.array([col[np.isfinite(col)][0] if np.isfinite(col).any() else np.nan for col in self.readings.T])
        up = np.nonzero((self.readings > first + rise).any(axis=1))[0]
        return float(self.time[up[0]]) if len(up) else float(self.time[0])

    def thinned(self, most: int = 40) -> BurnLog:
        """The log averaged into at most so many stretches of equal length: what the fit needs."""
        if len(self.time) <= most:
            return self
        edges = np.linspace(self.time[0], self.time[-1], most + 1)
        which = np.clip(np.searchsorted(edges, self.time, side="right") - 1, 0, most - 1)
        times, rows = [], []
        for k in range(most):
            inside = which == k
            if inside.any():
                times.append(float(self.time[inside].mean()))
                block = self.readings[inside]
                good = np.isfinite(block)
                total = np.where(good, block, 0.0).sum(axis=0)
                rows.append(np.where(good.any(axis=0), total / np.maximum(good.sum(axis=0), 1), np.nan))
        return BurnLog(probes=self.probes, time=np.array(times), readings=np.array(rows))


def read_log(
    text: str, probes: Sequence[Probe], *, unit: Literal["F", "C", "header"] = "header", time_column: str = ""
) -> BurnLog:
    """The log in a CSV text.

    unit         of the readings; "header" takes it from the column names, such as `Probe 1 (F)`
    time_column  name of the time column; empty: the first whose name speaks of time, else the first
    """
    rows = _rows(text)
    names = {p.column.strip().lower() for p in probes}
    head = next((i for i, row in enumerate(rows) if names <= {_plain(c) for c in row}), None)
    if head is None:
        head = next((i for i, row in enumerate(rows) if names & {_plain(c) for c in row}), None)
        seen = rows[head] if head is not None else (rows[0] if rows else [])
        missing = sorted(names - {_plain(c) for c in seen})
        raise JobError(
            f"the log has no column named {', '.join(missing) or 'so'}",
            field="probes",
            value=", ".join(missing),
            allowed=", ".join(c.strip() for c in seen if c.strip()) or "a header row",
            remedy="Give each probe the name its column has in the log.",
        )
    header = rows[head]
    plain = [_plain(c) for c in header]
    at_time = _time_column(plain, time_column)
    columns = [plain.index(p.column.strip().lower()) for p in probes]
    units = [_unit_of(header[c], unit) for c in columns]
    times: list[float] = []
    readings: list[list[float]] = []
    clock = _Clock(header[at_time])
    for row in rows[head + 1 :]:
        if len(row) <= at_time:
            continue
        seconds = clock.seconds(row[at_time])
        if seconds is None:
            continue
        times.append(seconds)
        readings.append([_kelvin(row[c], u) if c < len(row) else math.nan for c, u in zip(columns, units)])
    if len(times) < 1:
        raise JobError(
            "no row with a time that can be read",
            field="log",
            value=header[at_time],
            allowed="a clock (14:05), a date and clock, or seconds, minutes or hours run",
        )
    order = np.argsort(np.array(times), kind="stable")
    return BurnLog(probes=tuple(probes), time=np.array(times)[order], readings=np.array(readings)[order])


def _rows(text: str) -> list[list[str]]:
    body = text.lstrip("\ufeff")
    counts: Mapping[str, int] = {d: sum(min(line.count(d), 1) for line in body.splitlines()) for d in (";", "\t", ",")}
    delimiter = max(counts, key=lambda d: (counts[d], d == ";", d == "\t"))
    return [row for row in csv.reader(io.StringIO(body), delimiter=delimiter) if any(c.strip() for c in row)]


def _plain(cell: str) -> str:
    return cell.strip().lower()


def _time_column(plain: list[str], wanted: str) -> int:
    if wanted:
        if wanted.strip().lower() not in plain:
            raise JobError(
                f"the log has no column named {wanted}", field="time column", value=wanted, allowed=", ".join(plain)
            )
        return plain.index(wanted.strip().lower())
    for i, name in enumerate(plain):
        if re.search(r"time|date|elapsed|minute|second|hour|\bmin\b|\bsec\b", name):
            return i
    return 0


def _unit_of(name: str, unit: str) -> str:
    if unit != "header":
        return unit
    found = re.search(r"(?:°|deg|\(|\[|\s|_)\s*([FfCcKk])(?:\)|\]|\s|$)", name)
    if not found:
        raise JobError(
            "the header does not tell degrees F or C",
            field="unit",
            value=name,
            allowed="F or C",
            remedy="Say which the logger writes.",
        )
    return found.group(1).upper()


def _number(cell: str) -> float | None:
    found = re.search(r"[-+]?\d+(?:[.,]\d+)?", cell)
    if not found or re.search(r"[A-Za-z]{3,}", cell):
        return None
    return float(found.group().replace(",", "."))


def _kelvin(cell: str, unit: str) -> float:
    value = _number(cell)
    if value is None:
        return math.nan
    kelvin = {"F": value * DEGREE_F + ZERO_FAHRENHEIT, "C": value + ZERO_CELSIUS, "K": value}[unit]
    return kelvin if 200.0 < kelvin < 1800.0 else math.nan


class _Clock:
    """Turns time cells into seconds: a clock that passes midnight goes on into the next day."""

    def __init__(self, header: str) -> None:
        name = header.lower()
        self.scale = 1.0
        if re.search(r"min", name):
            self.scale = 60.0
        elif re.search(r"hour|\bh\b|hrs?", name):
            self.scale = 3600.0
        self.day = 0.0
        self.last = -math.inf

    def seconds(self, cell: str) -> float | None:
        """Seconds on the log's own clock, or None where the cell is no time."""
        cell = cell.strip()
        clock = _CLOCK.match(cell)
        if clock:
            hours, minutes, rest, half = clock.groups()
            hour = int(hours) % 12 + (12 if half.lower() == "pm" else 0) if half else int(hours)
            value = hour * 3600.0 + int(minutes) * 60.0 + (float(rest.replace(",", ".")) if rest else 0.0) + self.day
            if value < self.last - 0.5 * _DAY:
                self.day += _DAY
                value += _DAY
            self.last = value
            return value
        try:
            return datetime.fromisoformat(cell.replace("Z", "+00:00")).timestamp()
        except ValueError:
            pass
        for form in _DATES:
            try:
                return datetime.strptime(cell, form).timestamp()
            except ValueError:
                continue
        value_run = _number(cell)
        return None if value_run is None or re.search(r"[A-Za-z/:]", cell) else value_run * self.scale
