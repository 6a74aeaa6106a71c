"""What the store hands out, and the small words it is written in."""

from __future__ import annotations

import datetime
import json
import sqlite3
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from pitwright.bench.documents import FILE_LIMIT, Document, Edit
from pitwright.bench.shipping import HISTORY_FILE, JOB_FILE
from pitwright.errors import JobError, OutputError

MOST_BESIDE: Final = 20  # files beside one job
WORDS: Final = 120  # letters of a label, a name of who did it, a step


class UnknownJob(JobError):
    """No such job, change or file in the store."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRow:
    """One job of the list. touched: when it last changed (UTC, ISO 8601); head: the change it stands at."""

    id: str
    name: str
    customer: str
    number: str
    touched: str
    removed: bool
    head: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """What the store holds of a job. undo_label, redo_label: what undo and redo would undo and redo, None where nothing."""

    document: Document
    beside: dict[str, bytes]
    head: int
    undo_label: str | None
    redo_label: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """An acknowledged request. merged: others had changed the job meanwhile, in other lines."""

    head: int
    document: Document
    merged: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One change of a job's history. parent: the change it was made on; standing: undo leads back to it from the head."""

    id: int
    parent: int | None
    edits: list[Edit]
    label: str
    who: str
    at: str
    current: bool
    standing: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A step of the shop floor ticked off, or the tick taken back: who, and when (UTC, ISO 8601)."""

    step: str
    done: bool
    who: str
    at: str


def sound_beside(beside: Mapping[str, bytes]) -> None:
    """Refuse files that cannot lie beside a job: too many, too large, names that are none. Raises JobError."""
    if len(beside) > MOST_BESIDE:
        raise JobError("too many files beside the job", field="beside", allowed=f"up to {MOST_BESIDE}")
    for name, data in beside.items():
        plain = isinstance(name, str) and name == short(name) and not set(name) & set("/\\\0:") and name[:1] != "."
        if not plain or not name or name.casefold() in (JOB_FILE, HISTORY_FILE):
            raise JobError("not a file's name", field="beside", allowed=f"up to {WORDS} letters, no folder")
        if len(data) > FILE_LIMIT:
            raise JobError("this file is too large", field=name, allowed=f"up to {FILE_LIMIT} bytes")


def job_row(row: sqlite3.Row) -> JobRow:
    """A job of the list, from its row."""
    return JobRow(
        id=row["id"],
        name=row["name"],
        customer=row["customer"],
        number=row["number"],
        touched=row["touched"],
        removed=bool(row["removed"]),
        head=row["head"],
    )


def has_words(row: JobRow, words: Sequence[str]) -> bool:
    """Whether every word (folded) is in the job's name, customer or number."""
    text = folded(f"{row.name}\n{row.customer}\n{row.number}")
    return all(word in text for word in words)


def folded(text: str) -> str:
    """Text as it is searched: letters alike whatever their case and width."""
    return unicodedata.normalize("NFKC", text).casefold()


def short(text: str) -> str:
    """Text as a line of the store: one line, printable, not too long."""
    return "".join(c if c.isprintable() else " " for c in text[:WORDS]).strip()


def json_text(value: Any) -> str:
    """A value as JSON, as small as it goes."""
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def now() -> str:
    """The time (UTC, ISO 8601)."""
    return datetime.datetime.now(datetime.UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def cannot(path: Path, problem: Exception) -> OutputError:
    """What is told where the store cannot be used."""
    return OutputError(
        f"the store cannot be used ({problem})",
        field=str(path),
        remedy="Check that the folder exists, is yours, has room, and that no other program holds it.",
    )
