"""The file under the store: opening it, one transaction at a time, requests done once, rows read and written."""

from __future__ import annotations

import contextlib
import hashlib
import json
import re
import sqlite3
import threading
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any, Final, Self

from pitwright.bench.documents import Document, Edit
from pitwright.bench.schema import bring_up_to_date
from pitwright.bench.store_rows import UnknownJob, cannot, json_text, now, short
from pitwright.errors import JobError

FILE_NAME: Final = "pits.sqlite3"
_REQUEST = re.compile(r"[A-Za-z0-9_.:-]{1,80}")
_WAIT: Final = 10.0  # s that another program may hold the store before it counts as stuck


class StoreFile:
    """One SQLite file, one connection, one lock: whatever is done with it, one thread at a time does it."""

    def __init__(self, connection: sqlite3.Connection, path: Path):
        self._connection = connection
        self._lock = threading.RLock()
        self.path = path

    @classmethod
    def open(cls, folder: Path) -> Self:
        """Open the store of a folder, made where there is none.

        Raises OutputError where it cannot be opened, is no store, or was written by a newer Pitwright.
        """
        path = folder / FILE_NAME
        try:
            folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            connection = sqlite3.connect(path, timeout=_WAIT, isolation_level=None, check_same_thread=False)
        except (OSError, sqlite3.Error) as problem:
            raise cannot(path, problem) from problem
        try:
            connection.execute("PRAGMA journal_mode = WAL")
            connection.execute("PRAGMA synchronous = FULL")
            connection.execute("PRAGMA foreign_keys = ON")
            connection.execute("PRAGMA trusted_schema = OFF")
            bring_up_to_date(connection, path)
        except sqlite3.Error as problem:
            connection.close()
            raise cannot(path, problem) from problem
        except BaseException:
            connection.close()
            raise
        return cls(connection, path)

    def close(self) -> None:
        """Close the store; what is written in it is complete."""
        with self._lock:
            self._connection.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @contextlib.contextmanager
    def _writing(self) -> Iterator[None]:
        """One transaction: all of it is on disk when this ends, or none of it."""
        with self._lock:
            try:
                self._connection.execute("BEGIN IMMEDIATE")
                try:
                    yield
                    self._connection.execute("COMMIT")
                except BaseException:
                    if self._connection.in_transaction:
                        self._connection.execute("ROLLBACK")
                    raise
            except sqlite3.Error as problem:
                raise cannot(self.path, problem) from problem

    def _once(self, rid: str, kind: str, job: str | None, do: Callable[[], dict[str, Any]]) -> dict[str, Any]:
        """The answer of a request: done now, or as it was answered the first time. job: None where `do` makes it."""
        if not isinstance(rid, str) or not _REQUEST.fullmatch(rid):
            raise JobError(
                "not a request's id", field="rid", allowed="1 to 80 letters, digits, dots, dashes", remedy="Send again."
            )
        with self._writing():
            if job is not None:
                self._job(job)
            before = self._rows("SELECT * FROM requests WHERE rid = ?", rid)
            if before:
                if before[0]["kind"] != kind or job not in (None, before[0]["job"]):
                    raise JobError("this request's id was used for something else", field="rid", value=rid)
                answer: dict[str, Any] = json.loads(before[0]["answer"])
                return answer
            answer = do()
            self._connection.execute(
                "INSERT INTO requests (rid, kind, job, answer, at) VALUES (?, ?, ?, ?, ?)",
                (rid, kind, job or answer["job"], json.dumps(answer), now()),
            )
            return answer

    def _write(
        self,
        job: str,
        parent: int | None,
        document: Document,
        beside: str,
        edits: Sequence[Edit],
        label: str,
        who: str,
        rid: str,
    ) -> int:
        new = self._row(job, parent, document, beside, edits, label, who, rid, at=now())
        self._stand_at(job, new, document)
        return new

    def _row(
        self,
        job: str,
        parent: int | None,
        document: Document,
        beside: str,
        edits: Sequence[Edit],
        label: str,
        who: str,
        rid: str,
        *,
        at: str,
    ) -> int:
        new = self._connection.execute(
            "INSERT INTO changes (job, parent, document, beside, edits, label, who, at, rid) "
            "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (job, parent, json_text(document), beside, json_text(list(edits)), short(label), short(who), at, rid),
        ).lastrowid
        assert new is not None
        return new

    def _stand_at(self, job: str, change: int, document: Document) -> None:
        about = document.get("job")
        about = about if isinstance(about, dict) else {}
        name, customer, number = (short(str(about.get(key) or "")) for key in ("name", "customer", "number"))
        self._connection.execute(
            "UPDATE jobs SET head = ?, name = ?, customer = ?, number = ?, touched = ? WHERE id = ?",
            (change, name, customer, number, now(), job),
        )

    def _rows(self, sql: str, *values: object) -> list[sqlite3.Row]:
        with self._lock:
            try:
                cursor = self._connection.cursor()
                cursor.row_factory = sqlite3.Row
                return cursor.execute(sql, values).fetchall()
            except sqlite3.Error as problem:
                raise cannot(self.path, problem) from problem

    def _job(self, job: str) -> sqlite3.Row:
        found = self._rows("SELECT * FROM jobs WHERE id = ?", job)
        if not found:
            raise UnknownJob("there is no such job", field="job", remedy="Go back to the list of jobs.")
        return found[0]

    def _change(self, job: str, change: int) -> sqlite3.Row:
        found = self._rows("SELECT * FROM changes WHERE id = ? AND job = ?", change, job)
        if not found:
            raise UnknownJob("this job has no such change", field="change", value=change)
        return found[0]

    def _changes(self, job: str) -> list[sqlite3.Row]:
        self._job(job)
        return self._rows("SELECT * FROM changes WHERE job = ? ORDER BY id", job)

    def _newest_after(self, change: int) -> sqlite3.Row | None:
        found = self._rows("SELECT * FROM changes WHERE parent = ? ORDER BY id DESC LIMIT 1", change)
        return found[0] if found else None

    def _file(self, data: bytes) -> str:
        digest = hashlib.sha256(data).hexdigest()
        self._connection.execute("INSERT OR IGNORE INTO files (digest, data) VALUES (?, ?)", (digest, data))
        return digest

    def _files(self, names: str) -> dict[str, bytes]:
        wanted: dict[str, str] = json.loads(names)
        return {
            name: bytes(self._rows("SELECT data FROM files WHERE digest = ?", digest)[0]["data"])
            for name, digest in wanted.items()
        }
