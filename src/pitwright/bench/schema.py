"""The store's tables, and how an older store is brought up to date.

`PRAGMA user_version` says which steps of MIGRATIONS a store has had. Steps are only ever added at the end. Before an
older store is changed, a copy of it is written beside it.
"""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Final

from pitwright.errors import OutputError

APPLICATION: Final = 0x50495457  # "PITW" in the file's head: whose store this is

MIGRATIONS: Final[tuple[str, ...]] = (
    """
    CREATE TABLE jobs (
        id TEXT PRIMARY KEY,
        name TEXT NOT NULL, customer TEXT NOT NULL, number TEXT NOT NULL,
        made TEXT NOT NULL, touched TEXT NOT NULL,
        removed INTEGER NOT NULL DEFAULT 0,
        head INTEGER REFERENCES changes(id)
    ) STRICT;
    CREATE TABLE changes (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        job TEXT NOT NULL REFERENCES jobs(id),
        parent INTEGER REFERENCES changes(id),
        document TEXT NOT NULL,
        beside TEXT NOT NULL,
        edits TEXT NOT NULL,
        label TEXT NOT NULL, who TEXT NOT NULL, at TEXT NOT NULL,
        rid TEXT NOT NULL UNIQUE
    ) STRICT;
    CREATE INDEX changes_of_job ON changes(job);
    CREATE INDEX changes_after ON changes(parent);
    CREATE TABLE files (digest TEXT PRIMARY KEY, data BLOB NOT NULL) STRICT;
    CREATE TABLE requests (
        rid TEXT PRIMARY KEY, kind TEXT NOT NULL, job TEXT NOT NULL REFERENCES jobs(id),
        answer TEXT NOT NULL, at TEXT NOT NULL
    ) STRICT;
    CREATE TABLE ticks (
        job TEXT NOT NULL REFERENCES jobs(id), step TEXT NOT NULL,
        done INTEGER NOT NULL, who TEXT NOT NULL, at TEXT NOT NULL,
        PRIMARY KEY (job, step)
    ) STRICT;
    """,
)


def bring_up_to_date(connection: sqlite3.Connection, path: Path, steps: tuple[str, ...] = MIGRATIONS) -> None:
    """Make the tables of a new store, or bring an older one to the newest form; each step whole or not at all.

    Raises OutputError for a store of a newer Pitwright and for a file that is no store of ours.
    """
    connection.execute("BEGIN")  # the three are read as of one moment
    application, version = _said(connection)
    tables = connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]
    connection.execute("COMMIT")
    if application != APPLICATION and (application or version or tables):
        raise OutputError(
            "this file is not a store of jobs", field=str(path), remedy="Name another folder with --store."
        )
    if version > len(steps):
        raise OutputError(
            "this store was written by a newer Pitwright", field=str(path), remedy="Bring Pitwright up to date."
        )
    if 0 < version < len(steps):
        _keep_copy(connection, path.with_name(f"{path.stem}-before-{len(steps)}{path.suffix}"))
    for number, step in enumerate(steps[version:], start=version + 1):
        connection.execute("BEGIN IMMEDIATE")
        try:
            if _said(connection)[1] < number:  # another process may have been quicker
                for statement in step.split(";"):
                    connection.execute(statement)
                connection.execute(f"PRAGMA application_id = {APPLICATION}")
                connection.execute(f"PRAGMA user_version = {number}")
            connection.execute("COMMIT")
        except BaseException:
            connection.execute("ROLLBACK")
            raise


def _said(connection: sqlite3.Connection) -> tuple[int, int]:
    application: int = connection.execute("PRAGMA application_id").fetchone()[0]
    version: int = connection.execute("PRAGMA user_version").fetchone()[0]
    return application, version


def _keep_copy(connection: sqlite3.Connection, copy: Path) -> None:
    if not copy.exists():
        connection.execute("VACUUM INTO ?", (str(copy),))
