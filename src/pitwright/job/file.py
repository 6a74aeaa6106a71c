"""Job files: read, check, bring up to date, write whole or not at all.

A job file is TOML. `[shop] file = "shop.toml"` names the shop's own proportions, read from beside the job; the job's
`[proportions]` change single rules of it. Every fault is a JobError that names the field, the value, what is allowed
and the nearest known name.
"""

from __future__ import annotations

import difflib
import os
import tempfile
import tomllib
import typing
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from pitwright.errors import JobError, OutputError, TapeError
from pitwright.job.facts import Job
from pitwright.job.nominal import with_starting_values
from pitwright.job.quantities import Quantity, System
from pitwright.tape import Tape, parse_figure

SCHEMA = 1


def load_job(path: Path) -> Job:
    """Read a job file and the shop file it names.

    Raises JobError for anything that cannot be used.
    """
    return job_from(read_toml(path), folder=path.parent)


def read_toml(path: Path) -> dict[str, Any]:
    """The tables of a TOML file.

    Raises JobError where it cannot be read.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError as problem:
        raise JobError("this file is not plain text", field=str(path), remedy="Save it as UTF-8 text.") from problem
    except OSError as problem:
        raise JobError(
            f"cannot be opened ({problem.strerror})",
            field=str(path),
            remedy="Check the name; `pitwright new` makes one.",
        ) from problem
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        raise JobError(
            f"not a job file as it stands: {problem}",
            field=str(path),
            allowed='lines such as around = "94 1/2" under headings such as [vessel]',
            remedy="Sizes with fractions or marks stand in quotation marks.",
        ) from problem


def job_from(data: Mapping[str, Any], *, folder: Path | None = None) -> Job:
    """A checked job from the tables of its file.

    folder  where the shop file named by the job lies
    Raises JobError.
    """
    data = bring_up_to_date(dict(data))
    shop = data.pop("shop", {})
    own = data.get("proportions", {})
    system = _system(data)
    if shop:
        data["proportions"] = _merged(_shop_rules(shop, folder), own)
    vessel = data.get("vessel")
    if isinstance(vessel, dict) and vessel.get("nominal") is not None:
        nominal = parse_figure(vessel["nominal"], "volume", system=system, field="vessel.nominal")
        data["vessel"] = with_starting_values(vessel, float(nominal))
    try:
        return Job.model_validate(data, context={"system": system})
    except ValidationError as problem:
        raise _explained(problem, data, system) from problem


def _system(data: Mapping[str, Any]) -> System:
    about = data.get("job", {})
    units = about.get("units", "inch") if isinstance(about, Mapping) else "inch"
    if units not in typing.get_args(System):
        raise JobError(
            "no such unit system", field="job.units", value=units, allowed="inch, metric", remedy="Pick one."
        )
    return typing.cast(System, units)


def _shop_rules(shop: Any, folder: Path | None) -> dict[str, Any]:
    if not isinstance(shop, Mapping) or set(shop) - {"file"} or not isinstance(shop.get("file"), str):
        raise JobError(
            "the [shop] table takes one line",
            field="shop",
            value=shop,
            allowed='file = "shop.toml"',
            remedy="Put single rules of this job under [proportions].",
        )
    name = shop["file"]
    if folder is None or Path(name).name != name:
        raise JobError(
            "the shop file lies beside the job file",
            field="shop.file",
            value=name,
            allowed="a file name without a folder",
            remedy="Copy the shop file beside the job.",
        )
    rules = read_toml(folder / name)
    rules.pop("schema", None)
    return rules


def _merged(under: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    """Tables laid over tables; a value of `over` wins. One way to say the leg contact replaces the shop's."""
    out = dict(under)
    ways = {"inboard", "clock", "lean", "length"}
    for key, value in over.items():
        below = out.get(key)
        if isinstance(below, Mapping) and isinstance(value, Mapping):
            if key == "legs" and ways & set(value):
                below = {k: v for k, v in below.items() if k not in ways}
            out[key] = _merged(below, value)
        else:
            out[key] = value
    return out


def bring_up_to_date(data: dict[str, Any]) -> dict[str, Any]:
    """Older files in the newest form.

    Raises JobError for a file newer than this Pitwright.
    """
    version = data.get("schema", 1)
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise JobError(
            "not a version", field="schema", value=version, allowed=f"1 to {SCHEMA}", remedy=f"Write schema = {SCHEMA}."
        )
    if version > SCHEMA:
        raise JobError(
            "this file was written by a newer Pitwright",
            field="schema",
            value=version,
            allowed=f"up to {SCHEMA}",
            remedy="Bring Pitwright up to date.",
        )
    data["schema"] = SCHEMA
    return data


# ---------------------------------------------------------------- faults in the shop's words


def _explained(problem: ValidationError, data: Mapping[str, Any], system: System) -> JobError:
    """The first fault of a job as our own error; the number of further ones is told."""
    faults = problem.errors(include_url=False)
    first = faults[0]
    loc = tuple(first["loc"])
    field = ".".join(str(step) for step in loc if not str(step).startswith("function-"))
    more = f" ({len(faults) - 1} more after this one.)" if len(faults) > 1 else ""
    kind = first["type"]
    value = first.get("input")
    if kind == "extra_forbidden":
        known = sorted(_fields_at(loc[:-1]))
        near = difflib.get_close_matches(str(loc[-1]), known, n=1, cutoff=0.5)
        allowed = f"did you mean {near[0]}" if near else ", ".join(known)
        return JobError(
            f"no such line{more}",
            field=field,
            value=value,
            allowed=allowed,
            remedy="Correct the name or take the line out.",
        )
    if kind == "missing":
        return JobError(
            f"measure this: it is blank{more}",
            field=field,
            allowed=_help_at(loc) or "a value",
            remedy="Pitwright does not guess a fact; put a tape on it and type what it reads.",
        )
    cause = first.get("ctx", {}).get("error")
    if isinstance(cause, TapeError):
        return JobError(cause.message + more, field=field, value=value, allowed=cause.allowed, remedy=cause.remedy)
    if kind in ("greater_than", "greater_than_equal", "less_than", "less_than_equal"):
        return JobError(
            f"{_typed_at(data, loc)} is out of range{more}",
            field=field,
            value=value,
            allowed=_limits(loc, system),
            remedy=f"({_help_at(loc)})" if _help_at(loc) else "Check what was typed.",
        )
    if kind == "literal_error":
        allowed = str(first.get("ctx", {}).get("expected", "")).replace("'", "")
        near = difflib.get_close_matches(str(value), allowed.replace(" or ", ", ").split(", "), n=1, cutoff=0.5)
        return JobError(
            f"{value!r} is not one of the choices{more}",
            field=field,
            value=value,
            allowed=allowed,
            remedy=f"Did you mean {near[0]}?" if near else "Pick one of them.",
        )
    return JobError(
        first["msg"].removeprefix("Value error, ") + more, field=field, value=value, allowed=_help_at(loc), remedy=""
    )


def _typed_at(data: Any, loc: tuple[Any, ...]) -> Any:
    """What was typed at a location."""
    for step in loc:
        try:
            data = data[step]
        except (KeyError, IndexError, TypeError):
            return data
    return data


def _walk(loc: tuple[Any, ...]) -> tuple[type[BaseModel] | None, Any]:
    """(model, field info) a location leads to; list positions are stepped over."""
    model: type[BaseModel] | None = Job
    info: Any = None
    for step in loc:
        if model is None:
            return None, None
        if isinstance(step, int) or str(step).startswith("function-"):
            continue
        info = next((f for n, f in model.model_fields.items() if step in (n, f.alias)), None)
        model = _model_in(info.annotation) if info is not None else None
    return model, info


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for inner in typing.get_args(annotation):
        found = _model_in(inner)
        if found is not None:
            return found
    return None


def _fields_at(loc: tuple[Any, ...]) -> list[str]:
    model, _ = _walk(loc)
    return [f.alias or n for n, f in model.model_fields.items()] if model is not None else []


def _help_at(loc: tuple[Any, ...]) -> str:
    _, info = _walk(loc)
    return info.description or "" if info is not None else ""


def measure_of(info: Any) -> str:
    """The measure of a field (`length`, `angle`, ...), empty for plain values and tables."""
    for mark in _marks(info.annotation, info.metadata):
        return mark
    return ""


def _marks(annotation: Any, metadata: Any) -> list[str]:
    found = [m.measure for m in metadata if isinstance(m, Quantity)]
    for inner in typing.get_args(annotation):
        found += [m.measure for m in getattr(inner, "__metadata__", ()) if isinstance(m, Quantity)]
        found += _marks(inner, ()) if typing.get_args(inner) else []
    return found


def _bound(value: float, measure: str, system: System) -> str:
    return Tape.for_system(system).figure(value, "length" if measure == "share" else measure or "ratio")


def _limits(loc: tuple[Any, ...], system: System) -> str:
    """The field's range in the shop's units."""
    _, info = _walk(loc)
    if info is None:
        return ""
    measure = measure_of(info)
    bounds: list[Any] = list(info.metadata)
    low = next((m for m in bounds if hasattr(m, "ge") or hasattr(m, "gt")), None)
    high = next((m for m in bounds if hasattr(m, "le") or hasattr(m, "lt")), None)
    out = []
    if low is not None:
        bound = low.ge if hasattr(low, "ge") else low.gt
        out.append(("from " if hasattr(low, "ge") else "over ") + _bound(float(bound), measure, system))
    if high is not None:
        bound = high.le if hasattr(high, "le") else high.lt
        out.append(("to " if hasattr(high, "le") else "under ") + _bound(float(bound), measure, system))
    return " ".join(out)


# ---------------------------------------------------------------- writing


def write_whole(path: Path, data: bytes) -> None:
    """Write a file whole or not at all: temporary file beside it, flush to disk, rename.

    Raises OutputError.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        try:
            with os.fdopen(handle, "wb") as out:
                out.write(data)
                out.flush()
                os.fsync(out.fileno())
            os.replace(temporary, path)
        except BaseException:
            Path(temporary).unlink(missing_ok=True)
            raise
    except OSError as problem:
        raise OutputError(
            f"cannot be written ({problem.strerror})",
            field=str(path),
            remedy="Check that the folder exists, is yours, and has room.",
        ) from problem
