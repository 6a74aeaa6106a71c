"""What burns taught, as a file beside the job: `JOB.burn.toml`.

Plain TOML with a schema version: one `[[burn]]` a burn, in the order they were learned, each with how it was read and
the coefficients as they stood after it. A file newer than this Pitwright is an error; an older one is brought up to
date when it is read.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from pydantic import Field, ValidationError

from pitwright.errors import JobError
from pitwright.job.quantities import Strict

SCHEMA: Final = 1
ENDING: Final = ".burn.toml"
_HEAD: Final = """# What Pitwright learned from burns of this pit. It is read whenever the job is; remove it to start afresh.
"""


class LearnedFigure(Strict):
    """One coefficient after a burn: best value and 90 percent limits, what was known before, how much the burn told."""

    value: float
    low: float
    high: float
    before: float
    before_low: float
    before_high: float
    told: float = Field(ge=0.0, le=1.0)


class SavedBurn(Strict):
    """One burn.

    signature  of its readings: the same burn is not learned from twice
    """

    learned_on: datetime.date | None = None
    source: str = Field("", max_length=200)
    signature: str = Field("", max_length=64)
    readings: int = Field(ge=1)
    rms_before: float = Field(ge=0.0)
    rms_after: float = Field(ge=0.0)
    fits: bool
    level: float = Field(ge=0.0)
    coefficients: dict[str, LearnedFigure]


class Burns(Strict):
    """Everything burns taught about one job: the pit's own, and the last of each of the shop's other pits."""

    own: tuple[SavedBurn, ...] = ()
    shop: tuple[SavedBurn, ...] = ()


def burn_file(job: Path) -> Path:
    """Where the burns of a job lie."""
    return job.with_name(job.stem + ENDING)


def burns_from(data: dict[str, Any], where: str) -> tuple[SavedBurn, ...]:
    """The burns of a file's tables.

    Raises JobError for a newer schema and for anything that is not a saved burn.
    """
    version = data.get("schema")
    if not isinstance(version, int) or isinstance(version, bool) or not 1 <= version <= SCHEMA:
        newer = isinstance(version, int) and version > SCHEMA
        raise JobError(
            "this file was written by a newer Pitwright" if newer else "this is not a file of burns",
            field=f"{where}: schema",
            value=version,
            allowed=f"up to {SCHEMA}" if newer else f"schema = {SCHEMA}",
            remedy="Bring Pitwright up to date." if newer else "Learn the burn again: `pitwright burn`.",
        )
    rows = data.get("burn", [])
    if not isinstance(rows, list):
        raise _unfit(where, "burn", rows)
    if unknown := set(data) - {"schema", "burn"}:
        raise _unfit(where, sorted(unknown)[0], data[sorted(unknown)[0]])
    try:
        return tuple(SavedBurn.model_validate(row) for row in rows)
    except ValidationError as problem:
        fault = problem.errors()[0]
        raise _unfit(where, ".".join(str(part) for part in fault["loc"]), fault["msg"]) from problem


def _unfit(where: str, field: str, value: object) -> JobError:
    return JobError(
        "this is not a saved burn",
        field=f"{where}: {field}",
        value=value,
        allowed="what `pitwright burn` writes",
        remedy="Learn the burn again, or remove the file.",
    )


def burn_text(burns: Sequence[SavedBurn]) -> str:
    """The file of these burns."""
    import tomlkit

    document = tomlkit.document()
    document.add("schema", tomlkit.item(SCHEMA))
    table = tomlkit.aot()
    for burn in burns:
        plain = burn.model_dump(exclude_none=True)
        table.append(tomlkit.item(plain))
    document.add("burn", table)
    return _HEAD + tomlkit.dumps(document)
