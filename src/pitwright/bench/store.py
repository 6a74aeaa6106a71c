"""The bench's store: every job and every change ever made to it, in one file that survives a crash.

One SQLite file in a folder, written ahead and flushed to disk before a change is acknowledged. A change is one row
with the whole document after it; the job's *head* is the change it stands at. Undo moves the head to the change
before, redo forward to the newest change after, a new change after an undo begins a branch: nothing is ever deleted.
Every request carries an id made by whoever asks; a request that comes twice is answered as it was the first time.
"""

from __future__ import annotations

import base64
import json
import os
import secrets
import sqlite3
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from pitwright.bench.documents import Document, Edit, apply_edits, changed_name, checked
from pitwright.bench.merge import Conflict, changed, merged
from pitwright.bench.shipping import Told, history_in, shipped, unshipped
from pitwright.bench.store_file import FILE_NAME, StoreFile
from pitwright.bench.store_rows import (
    WORDS,
    Change,
    Done,
    Held,
    JobRow,
    Tick,
    UnknownJob,
    folded,
    has_words,
    job_row,
    now,
    short,
    sound_beside,
)
from pitwright.errors import JobError

__all__ = ["FILE_NAME", "Change", "Done", "Held", "JobRow", "Store", "Tick", "UnknownJob", "store_folder"]


def store_folder() -> Path:
    """Where the jobs of this user lie: PITWRIGHT_STORE, else the user's data folder."""
    named = os.environ.get("PITWRIGHT_STORE")
    if named:
        return Path(named)
    home = Path.home()
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local") / "pitwright"
    if sys.platform == "darwin":
        return home / "Library" / "Application Support" / "pitwright"
    return Path(os.environ.get("XDG_DATA_HOME") or home / ".local" / "share") / "pitwright"


class Store(StoreFile):
    """Jobs, changes and ticks. Safe to use from several threads; several programs may have the same store open."""

    # ------------------------------------------------------------ jobs

    def jobs(self, search: str = "", *, removed: bool = False) -> list[JobRow]:
        """Jobs with every word of the search in name, customer or number; newest first. removed: the hidden ones."""
        words = folded(search).split()
        rows = self._rows(
            "SELECT * FROM jobs WHERE head IS NOT NULL AND removed = ? ORDER BY touched DESC, id", removed
        )
        return [row for row in map(job_row, rows) if has_words(row, words)]

    def job(self, job: str) -> JobRow:
        """One job's row. Raises UnknownJob."""
        return job_row(self._job(job))

    def create(self, document: Document, beside: Mapping[str, bytes], rid: str, who: str) -> JobRow:
        """A new job. Raises JobError for a document or files that no job can have."""
        checked(document)
        sound_beside(beside)
        return self._created(rid, "create", lambda: (document, beside, "job begun", who))

    def copy(self, job: str, rid: str, who: str = "") -> JobRow:
        """A new job like another: its document and the files beside it, none of its ticks. Raises UnknownJob."""

        def like() -> tuple[Document, Mapping[str, bytes], str, str]:
            held = self.get(job)
            name = changed_name(held.document, " (copy)")
            return name, held.beside, f"copied from {self.job(job).name}", who

        return self._created(rid, "copy", like)

    def remove(self, job: str, rid: str) -> None:
        """Hide a job from the list; nothing of it is lost. Raises UnknownJob."""
        self._show(job, rid, removed=True)

    def restore(self, job: str, rid: str) -> None:
        """Bring a removed job back to the list. Raises UnknownJob."""
        self._show(job, rid, removed=False)

    def import_(self, data: bytes, name: str, rid: str | None = None, who: str = "") -> JobRow:
        """A new job from a job file, or from a zip with one, the files beside it and its history. Raises JobError."""
        document, beside = unshipped(data, name)
        sound_beside(beside)
        rid = rid or secrets.token_hex(16)
        told = history_in(data, document) if data[:2] == b"PK" else ()
        row = self._created(rid, "import", lambda: (document, beside, f"read from {short(name)}", who), told)
        return row

    def export(self, job: str) -> bytes:
        """A zip of the job file, the files beside it, and its history as JSON. Raises UnknownJob."""
        with self._lock:
            held, history = self.get(job), self.history(job)
            documents = {row["id"]: json.loads(row["document"]) for row in self._changes(job)}
        told = [
            {
                "id": c.id,
                "after": c.parent,
                "at": c.at,
                "who": c.who,
                "label": c.label,
                "current": c.current,
                "edits": c.edits,
                "document": documents[c.id],
            }
            for c in history
        ]
        return shipped(held.document, held.beside, told)

    # ------------------------------------------------------------ one job

    def get(self, job: str) -> Held:
        """What a job stands at. Raises UnknownJob."""
        with self._lock:
            head = self._change(job, self._job(job)["head"])
            newer = self._newest_after(head["id"])
            return Held(
                document=json.loads(head["document"]),
                beside=self._files(head["beside"]),
                head=head["id"],
                undo_label=head["label"] if head["parent"] is not None else None,
                redo_label=newer["label"] if newer is not None else None,
            )

    def document(self, job: str, change: int) -> Document:
        """The document as it was after a change. Raises UnknownJob."""
        with self._lock:
            document: Document = json.loads(self._change(job, change)["document"])
            return document

    def edit(self, job: str, edits: Sequence[Edit], *, base: int, rid: str, label: str, who: str) -> Done:
        """One change of a job.

        base  the change whoever edits had before him. Where the job has moved on since, the edits go on top of it if
              they touch none of the lines that differ.
        Raises Conflict where they do; JobError for edits no job can have; UnknownJob.
        """

        def do() -> dict[str, Any]:
            head = self._change(job, self._job(job)["head"])
            standing: Document = json.loads(head["document"])
            if base == head["id"]:
                after = apply_edits(standing, edits)
            else:
                after = merged(json.loads(self._change(job, base)["document"]), standing, edits)
            if after == standing and not changed(standing, after):
                return {"head": head["id"], "merged": base != head["id"]}
            new = self._write(job, head["id"], after, head["beside"], edits, label, who, rid)
            return {"head": new, "merged": base != head["id"]}

        return self._done(job, self._once(rid, "edit", job, do))

    def put_beside(self, job: str, name: str, data: bytes | None, *, base: int, rid: str, who: str) -> Done:
        """Put a file beside the job (shop file, burn file), or take it away; one change like any other.

        Raises Conflict where somebody else changed that file since `base`; JobError; UnknownJob.
        """

        def do() -> dict[str, Any]:
            head = self._change(job, self._job(job)["head"])
            names: dict[str, str] = json.loads(head["beside"])
            before: dict[str, str] = json.loads(self._change(job, base)["beside"])
            if names.get(name) != before.get(name):
                raise Conflict([{"path": [name], "value": None}], [{"path": [name], "value": None}], [[name]])
            if data is None:
                names.pop(name, None)
            else:
                sound_beside({**dict.fromkeys(names, b""), name: data})
                names[name] = self._file(data)
            document: Document = json.loads(head["document"])
            label = f"{short(name)} {'taken away' if data is None else 'put beside the job'}"
            new = self._write(job, head["id"], document, json.dumps(names), [], label, who, rid)
            return {"head": new, "merged": base != head["id"]}

        return self._done(job, self._once(rid, "beside", job, do))

    def undo(self, job: str, rid: str, base: int) -> Done:
        """Back to the change before. Raises JobError where there is none, Conflict where the job moved on since base."""

        def to(head: sqlite3.Row) -> int:
            if head["parent"] is None:
                raise JobError("there is nothing to undo", field="undo", remedy="This is how the job began.")
            parent: int = head["parent"]
            return parent

        return self._moved(job, rid, base, "undo", to)

    def redo(self, job: str, rid: str, base: int) -> Done:
        """Forward to the newest change after this. Raises as undo."""

        def to(head: sqlite3.Row) -> int:
            newer = self._newest_after(head["id"])
            if newer is None:
                raise JobError("there is nothing to redo", field="redo", remedy="This is the newest change.")
            new: int = newer["id"]
            return new

        return self._moved(job, rid, base, "redo", to)

    def make_current(self, job: str, change: int, rid: str, who: str = "") -> Done:
        """Bring back the job as it was after a change, as a new change on top: undo leads back. Raises UnknownJob."""

        def do() -> dict[str, Any]:
            head, wanted = self._change(job, self._job(job)["head"]), self._change(job, change)
            if (head["document"], head["beside"]) == (wanted["document"], wanted["beside"]):
                return {"head": head["id"], "merged": False}
            document: Document = json.loads(wanted["document"])
            label = f"brought back: {wanted['label'].removeprefix('brought back: ')}"
            new = self._write(job, head["id"], document, wanted["beside"], [], label, who, rid)
            return {"head": new, "merged": False}

        return self._done(job, self._once(rid, "bring back", job, do))

    def history(self, job: str) -> list[Change]:
        """Every change ever made, oldest first. Raises UnknownJob."""
        with self._lock:
            head: int = self._job(job)["head"]
            rows = self._changes(job)
        parents = {row["id"]: row["parent"] for row in rows}
        standing: set[int] = set()
        here: int | None = head
        while here is not None:
            standing.add(here)
            here = parents[here]
        return [
            Change(
                id=row["id"],
                parent=row["parent"],
                edits=json.loads(row["edits"]),
                label=row["label"],
                who=row["who"],
                at=row["at"],
                current=row["id"] == head,
                standing=row["id"] in standing,
            )
            for row in rows
        ]

    # ------------------------------------------------------------ ticks

    def ticks(self, job: str) -> dict[str, Tick]:
        """Ticks of the shop floor by step; a tick taken back is there with done = False. Raises UnknownJob."""
        with self._lock:
            self._job(job)
            rows = self._rows("SELECT * FROM ticks WHERE job = ? ORDER BY step", job)
        return {r["step"]: Tick(step=r["step"], done=bool(r["done"]), who=r["who"], at=r["at"]) for r in rows}

    def tick(self, job: str, step: str, done: bool, rid: str, who: str) -> dict[str, Tick]:
        """Tick a step off, or take the tick back; all ticks after it. Raises UnknownJob, JobError."""
        if not step or step != short(step):
            raise JobError("this names no step", field="step", allowed=f"1 to {WORDS} letters")

        def do() -> dict[str, Any]:
            self._connection.execute(
                "INSERT INTO ticks (job, step, done, who, at) VALUES (?, ?, ?, ?, ?) "
                "ON CONFLICT (job, step) DO UPDATE SET done = excluded.done, who = excluded.who, at = excluded.at",
                (job, step, int(done), short(who), now()),
            )
            return {}

        self._once(rid, "tick", job, do)
        return self.ticks(job)

    def answered(self, rid: str) -> bool:
        """Whether a request of this id has been done already."""
        return bool(self._rows("SELECT 1 FROM requests WHERE rid = ?", rid))

    # ------------------------------------------------------------ inside

    def _created(
        self,
        rid: str,
        kind: str,
        what: Callable[[], tuple[Document, Mapping[str, bytes], str, str]],
        told: Sequence[Told] = (),
    ) -> JobRow:
        """A new job; told: the history it came with, which goes before its first change here."""

        def do() -> dict[str, Any]:
            document, beside, label, who = what()
            job = base64.b32encode(secrets.token_bytes(10)).decode().lower()
            self._connection.execute(
                "INSERT INTO jobs (id, name, customer, number, made, touched) VALUES (?, '', '', '', ?, ?)",
                (job, now(), now()),
            )
            files = json.dumps({name: self._file(data) for name, data in beside.items()})
            self._write(job, self._retold(job, told, files, rid), document, files, [], label, who, rid)
            return {"job": job}

        return self.job(self._once(rid, kind, None, do)["job"])

    def _retold(self, job: str, told: Sequence[Told], files: str, rid: str) -> int | None:
        """Write down a history that came with a job; the change it stands at, None where there is none."""
        new: dict[int | None, int | None] = {None: None}
        current: int | None = None
        for i, c in enumerate(told):
            parent, name = new[c.after], f"{rid}:{i}:{secrets.token_hex(8)}"
            new[c.id] = self._row(job, parent, c.document, files, c.edits, c.label, c.who, name, at=c.at[:30])
            current = new[c.id] if c.current else current
        return current

    def _show(self, job: str, rid: str, *, removed: bool) -> None:
        def do() -> dict[str, Any]:
            self._connection.execute("UPDATE jobs SET removed = ? WHERE id = ?", (int(removed), job))
            return {}

        self._once(rid, "remove" if removed else "restore", job, do)

    def _moved(self, job: str, rid: str, base: int, kind: str, to: Callable[[sqlite3.Row], int]) -> Done:
        def do() -> dict[str, Any]:
            head = self._change(job, self._job(job)["head"])
            if base != head["id"]:
                before, now = (json.loads(c["document"]) for c in (self._change(job, base), head))
                raise Conflict([], [], changed(before, now))
            new = to(head)
            self._stand_at(job, new, json.loads(self._change(job, new)["document"]))
            return {"head": new, "merged": False}

        return self._done(job, self._once(rid, kind, job, do))

    def _done(self, job: str, answer: dict[str, Any]) -> Done:
        return Done(head=answer["head"], document=self.document(job, answer["head"]), merged=answer["merged"])
