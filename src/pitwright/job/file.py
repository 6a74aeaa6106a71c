"""Job files: read, check, bring up to date, write whole or not at all.

A job file is TOML. `[shop] file = "shop.toml"` names the shop's own proportions, read from beside the job in the
shop's own units (`units = "metric"` at its top; the job's where it does not say); the job's `[proportions]` change
single rules of it. What burns of the pit taught lies beside it as JOB.burn.toml and is read with it; `[fire] learned`
names those of the shop's other pits. A job that lies in no folder is read the same way with the files beside it handed
over as bytes. Every fault is a JobError that names the field, the value, what is allowed and the nearest known name.
"""

from __future__ import annotations

import os
import secrets
import tomllib
import typing
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from pitwright.errors import JobError, OutputError
from pitwright.job.burns import ENDING, Burns, SavedBurn, burn_file, burns_from
from pitwright.job.facts import Job
from pitwright.job.faults import explained
from pitwright.job.nominal import with_starting_values
from pitwright.job.proportions import CONTACT_WAYS, LegRules, Proportions
from pitwright.job.quantities import Strict, System
from pitwright.tape import parse_figure

SCHEMA = 1
KEPT_AS = "job"  # a job without a file: its own burns lie beside it as job.burn.toml


def load_job(path: Path) -> Job:
    """Read a job file, the shop file it names, and the burns that lie beside it.

    Raises JobError for anything that cannot be used.
    """
    return with_known_burns(job_from(read_toml(path), folder=path.parent), path)


def with_known_burns(job: Job, path: Path) -> Job:
    """The job of a file with what burns taught: its own JOB.burn.toml where there is one, and those it names.

    Raises JobError.
    """
    return _knowing(
        job,
        burn_file(path).name,
        there=lambda name: path.with_name(name).exists(),
        read=lambda name: read_toml(path.with_name(name)),
    )


def _knowing(job: Job, own: str, *, there: Callable[[str], bool], read: Callable[[str], dict[str, Any]]) -> Job:
    """The job with what burns taught: those of its own file where it is there, and the last of each it names."""
    shop: list[SavedBurn] = []
    for i, name in enumerate(job.fire.learned):
        if Path(name).name != name:
            raise JobError(
                "a burn file lies beside the job file",
                field=f"fire.learned[{i}]",
                value=name,
                allowed="a file name without a folder",
                remedy="Copy the burn file beside the job.",
            )
        if name != own:
            shop += burns_from(read(name), name)[-1:]
    if not there(own) and not shop:
        return job
    mine = burns_from(read(own), own) if there(own) else ()
    return job.with_burns(Burns(own=mine, shop=tuple(shop)))


def read_toml(path: Path) -> dict[str, Any]:
    """The tables of a TOML file.

    Raises JobError where it cannot be read.
    """
    try:
        data = path.read_bytes()
    except OSError as problem:
        raise JobError(
            f"cannot be opened ({problem.strerror})",
            field=str(path),
            remedy="Check the name; `pitwright new` makes one.",
        ) from problem
    return toml_tables(data, str(path))


def toml_tables(data: bytes, where: str) -> dict[str, Any]:
    """The tables of TOML text.

    where  the file's name, for messages
    Raises JobError where it cannot be read.
    """
    try:
        return tomllib.loads(data.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n"))
    except UnicodeDecodeError as problem:
        raise JobError(
            "this file is not plain text", field=where, remedy="Pick a job file, or save it as plain text (UTF-8)."
        ) from problem
    except (tomllib.TOMLDecodeError, RecursionError) as problem:
        why = "brackets within brackets without end" if isinstance(problem, RecursionError) else str(problem)
        raise JobError(
            f"not a job file as it stands: {why}",
            field=where,
            allowed='lines such as around = "94 1/2" under headings such as [vessel]',
            remedy="Sizes with fractions or marks stand in quotation marks.",
        ) from problem


def job_from(data: Mapping[str, Any], *, folder: Path | None = None, beside: Mapping[str, bytes] | None = None) -> Job:
    """A checked job from the tables of its file.

    folder  where the shop file named by the job lies
    beside  instead of a folder: the files beside the job by name; shop file and burns are read from here, none from disk
    Raises JobError.
    """
    data = bring_up_to_date(dict(data))
    shop = data.pop("shop", {})
    system = _system(data.get("job"), "job.units", "inch")
    vessel = data.get("vessel")
    if isinstance(vessel, dict) and vessel.get("nominal") is not None:
        nominal = parse_figure(vessel["nominal"], "volume", system=system, field="vessel.nominal")
        data["vessel"] = with_starting_values(vessel, float(nominal))
    if isinstance(data.get("override"), Mapping):
        data["override"] = _dotted(data["override"])
    try:
        job = Job.model_validate(data, context={"system": system})
    except ValidationError as problem:
        raise explained(problem, data, system, Job) from problem
    if shop:
        rules = laid_over(_shop_rules(shop, folder, beside, system), job.proportions)
        job = job.model_copy(update={"proportions": rules})
    if beside is None:
        return job
    return _knowing(
        job,
        KEPT_AS + ENDING,
        there=lambda name: name in beside,
        read=lambda name: _tables_beside(beside, name, "fire.learned"),
    )


def _tables_beside(beside: Mapping[str, bytes], name: str, field: str) -> dict[str, Any]:
    if name not in beside:
        raise JobError(
            f"{name} is not beside this job",
            field=field,
            value=name,
            allowed=", ".join(sorted(beside)),
            remedy=f"Bring the job in again and pick {name} together with it, or take the line that names it out of the file.",
        )
    return toml_tables(beside[name], name)


def _system(table: Any, field: str, otherwise: System) -> System:
    units = table.get("units", otherwise) if isinstance(table, Mapping) else otherwise
    if units not in typing.get_args(System):
        raise JobError("no such units", field=field, value=units, allowed="inch, metric", remedy="Pick one.")
    return typing.cast(System, units)


def _dotted(table: Mapping[str, Any], before: str = "") -> dict[str, Any]:
    """Overrides by their full name, also where they were typed without quotation marks: stack.height = 40."""
    out: dict[str, Any] = {}
    for key, value in table.items():
        if isinstance(value, Mapping):
            out |= _dotted(value, f"{before}{key}.")
        else:
            out[f"{before}{key}"] = value
    return out


def _shop_rules(shop: Any, folder: Path | None, beside: Mapping[str, bytes] | None, system: System) -> Proportions:
    if not isinstance(shop, Mapping) or set(shop) - {"file"} or not isinstance(shop.get("file"), str):
        raise JobError(
            "the [shop] table takes one line",
            field="shop",
            value=shop,
            allowed='file = "shop.toml"',
            remedy="Put single rules of this job under [proportions].",
        )
    name = shop["file"]
    if (folder is None and beside is None) or Path(name).name != name:
        raise JobError(
            "the shop file lies beside the job file",
            field="shop.file",
            value=name,
            allowed="a file name without a folder",
            remedy="Copy the shop file beside the job.",
        )
    if beside is not None:
        tables = _tables_beside(beside, name, "shop.file")
    else:
        assert folder is not None
        tables = read_toml(folder / name)
    rules = bring_up_to_date(tables)
    system = _system(rules, f"{name}: units", system)
    rules = {key: value for key, value in rules.items() if key not in ("schema", "units")}
    try:
        return Proportions.model_validate(rules, context={"system": system})
    except ValidationError as problem:
        raise explained(problem, rules, system, Proportions, where=f"{name}: ") from problem


_Table = typing.TypeVar("_Table", bound=Strict)


def laid_over(under: _Table, over: _Table) -> _Table:
    """A table laid over another: a line stated in `over` wins. One way to say the leg contact replaces another."""
    update: dict[str, Any] = {}
    if isinstance(over, LegRules) and CONTACT_WAYS & over.model_fields_set:
        update |= dict.fromkeys(CONTACT_WAYS)
    for name in over.model_fields_set:
        value, below = getattr(over, name), getattr(under, name)
        both = isinstance(value, Strict) and type(value) is type(below)
        update[name] = laid_over(below, value) if both else value
    return under.model_copy(update=update)


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


# ---------------------------------------------------------------- writing


def write_whole(path: Path, data: bytes) -> None:
    """Write a file whole or not at all: temporary file beside it, flush to disk, rename.

    Raises OutputError.
    """
    temporary = path.with_name(f".{path.name}.{secrets.token_hex(4)}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            with temporary.open("xb") as out:
                out.write(data)
                out.flush()
                os.fsync(out.fileno())
            os.replace(temporary, path)
        except BaseException:
            temporary.unlink(missing_ok=True)
            raise
    except OSError as problem:
        raise OutputError(
            f"cannot be written ({problem.strerror})",
            field=str(path),
            remedy="Check that the folder exists, is yours, and has room.",
        ) from problem
