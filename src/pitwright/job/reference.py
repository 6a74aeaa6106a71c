"""The job file's reference: every table and line with its measure, limits, starting value and meaning."""

from __future__ import annotations

import typing
from collections.abc import Iterator
from typing import Any

from pydantic import BaseModel
from pydantic_core import PydanticUndefined

from pitwright.job.facts import Job
from pitwright.job.faults import limits_of, measure_of, model_in
from pitwright.job.quantities import Share

HEAD = """# The job file

One TOML file a job: only what somebody stated. Sizes stand in quotation marks in any shop way (`"37 1/2"`,
`"3' 1 1/2\\""`, `"952.5 mm"`); a bare number is read in the job's own units. `[shop] file = "shop.toml"` takes the
shop's proportions from beside the job; `[proportions]` in the job changes single rules; `[override]` sets any free
figure by its name (`pitwright why JOB` lists them). A blank in the *starts at* column of a fact means: measure this.

This page is written from the models (`python tools/write_docs.py`).
"""


def reference_text() -> str:
    """The whole page as Markdown."""
    return HEAD + "".join(f"\n## {title}\n\n{text}" for title, text in _tables(Job, ""))


def _tables(model: type[BaseModel], path: str) -> Iterator[tuple[str, str]]:
    rows = ["| line | measure | allowed | starts at | what it is |", "|---|---|---|---|---|"]
    inner: list[tuple[type[BaseModel], str]] = []
    for name, info in model.model_fields.items():
        key = info.alias or name
        table = model_in(info.annotation)
        if table is not None:
            many = "tuple" in str(info.annotation)
            inner.append(
                (table, f"{path}.{key}" if path else key) if not many else (table, f"{path}.{key} (many)".lstrip("."))
            )
            continue
        rows.append(f"| `{key}` | {_measure(info)} | {_allowed(info)} | {_start(info)} | {info.description or ''} |")
    if len(rows) > 2:
        title = (
            f"[{path}]" if not path.endswith("(many)") else f"[[{path.removesuffix(' (many)')}]], as many as there are"
        )
        about = (model.__doc__ or "").split("\n")[0]
        yield title if path else "top of the file", f"{about}\n\n" + "\n".join(rows) + "\n"
    for table, where in inner:
        yield from _tables(table, where.removesuffix(" (many)") if not where.endswith("(many)") else where)


def _measure(info: Any) -> str:
    return measure_of(info) or _plain(info.annotation)


def _plain(annotation: Any) -> str:
    if typing.get_origin(annotation) is typing.Literal:
        return "choice"
    names = {str: "text", int: "count", float: "number", bool: "true or false"}
    if annotation in names:
        return names[annotation]
    inner = [a for a in typing.get_args(annotation) if a is not type(None)]
    return _plain(inner[0]) if inner else "text"


def _choices(annotation: Any) -> list[str]:
    if typing.get_origin(annotation) is typing.Literal:
        return [str(a) for a in typing.get_args(annotation)]
    return [c for a in typing.get_args(annotation) for c in _choices(a)]


def _allowed(info: Any) -> str:
    return ", ".join(_choices(info.annotation)) or limits_of(info, "inch")


def _start(info: Any) -> str:
    if info.default is PydanticUndefined or info.default is None:
        return ""
    value = info.default
    if isinstance(value, Share):
        return value.text
    if isinstance(value, bool):
        return "true" if value else "false"
    if value == () or isinstance(value, tuple | dict):
        return "" if not value else f"`{value}`"
    return str(value)
