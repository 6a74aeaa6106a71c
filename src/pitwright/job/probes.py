"""The notes to a burn log: where each probe hung, how the pit was set, and what happened when.

One TOML file beside the log. Times are minutes since the fire was lit.
"""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from pydantic import Field, ValidationError

from pitwright.errors import JobError
from pitwright.job.faults import explained
from pitwright.job.file import read_toml
from pitwright.job.quantities import Length, Mass, Strict, System, Temperature, habit

SCHEMA = 1


class LoggedProbe(Strict):
    """One column of the log."""

    column: str = Field(min_length=1, description="its name in the log")
    place: Literal["grate", "stack", "firebox"] = habit("grate", description="where it hangs")
    station: Length | None = Field(
        None, description="from the fire-end seam, of a probe on a grate; on end: none, its height says it"
    )
    height: Length | None = Field(None, description="over the floor; the main grate where blank")
    bare: bool = Field(True, description="a plain stem or dial; false for a shielded probe that reads the gas")


class SplitLaid(Strict):
    """Wood laid on."""

    minute: float = Field(ge=0.0)
    wood: Mass = Field(gt=0.0)


class DoorOpen(Strict):
    """A door opened."""

    minute: float = Field(ge=0.0)
    door: str = Field(min_length=1, description="its name, such as door 1 or fire door")
    minutes: float = Field(gt=0.0, description="for how long")


class SetAnew(Strict):
    """Inlet and damper set anew, as open percent."""

    minute: float = Field(ge=0.0)
    inlet: float = Field(100.0, ge=0.0, le=100.0)
    damper: float = Field(100.0, ge=0.0, le=100.0)


class BurnNotes(Strict):
    """The whole file."""

    schema_version: int = Field(1, alias="schema")
    units: System = habit("inch", description="how bare numbers are read")
    readings: Literal["F", "C", "header"] = habit(
        "header", description="degrees of the log; header: as its columns say"
    )
    time_column: str = habit("", description="name of the time column; found where blank")
    lit: float | None = Field(None, description="minute of the log at which it was lit; found from the first rise")
    start: Literal["cold", "steady"] = "cold"
    kindling: Mass = habit("1.8 lb", gt=0.0, description="dry wood alight at the start")
    outside: Temperature | None = Field(None, description="air that day; the order's where blank")
    wind: Literal["still", "breeze", "wind"] | None = None
    meat: Mass = habit("0", ge=0.0, description="meat on the grates")
    inlet: float = Field(100.0, gt=0.0, le=100.0, description="air inlet, open percent")
    damper: float = Field(100.0, gt=0.0, le=100.0, description="damper, open percent")
    probes: tuple[LoggedProbe, ...] = Field(min_length=1)
    splits: tuple[SplitLaid, ...] = ()
    doors: tuple[DoorOpen, ...] = ()
    settings: tuple[SetAnew, ...] = ()


def load_notes(path: Path) -> BurnNotes:
    """Read the notes to a log.

    Raises JobError.
    """
    data = read_toml(path)
    version = data.get("schema", 1)
    if isinstance(version, int) and version > SCHEMA:
        raise JobError(
            "this file was written by a newer Pitwright", field=f"{path.name}: schema", value=version,
            allowed=f"up to {SCHEMA}", remedy="Bring Pitwright up to date.",
        )  # fmt: skip
    system: System = "metric" if data.get("units") == "metric" else "inch"
    try:
        return BurnNotes.model_validate(data, context={"system": system})
    except ValidationError as problem:
        raise explained(problem, data, system, BurnNotes, where=f"{path.name}: ") from problem
