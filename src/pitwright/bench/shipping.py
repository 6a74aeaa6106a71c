"""A job on its way: zip files and job files from outside, looked at before anything is kept.

Nothing from inside a zip is ever written to disk or run; of the names in it only the last part is used. Sizes are
counted while reading, not believed.
"""

from __future__ import annotations

import datetime
import io
import json
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import Any, Final

from pitwright.bench.documents import FILE_LIMIT, Document, Edit, bounded_tables, checked, from_toml, to_toml
from pitwright.errors import JobError
from pitwright.job.burns import ENDING
from pitwright.job.file import KEPT_AS

MOST_FILES: Final = 2_000  # entries of a zip
MOST_TOML: Final = 40  # job, shop and burn files in it
READ_LIMIT: Final = 5_000_000  # bytes of all of them unpacked
HISTORY_LIMIT: Final = 20_000_000  # bytes of a history unpacked; a longer one is left out
MOST_CHANGES: Final = 20_000
JOB_FILE: Final = f"{KEPT_AS}.toml"
HISTORY_FILE: Final = "history.json"


def shipped(document: Document, beside: Mapping[str, bytes], history: list[dict[str, Any]]) -> bytes:
    """A zip of a job: job.toml, the files beside it, history.json."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as pack:
        for name, data in {JOB_FILE: to_toml(document), **beside}.items():
            pack.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), data, zipfile.ZIP_DEFLATED)
        told = json.dumps(history, indent=1, ensure_ascii=False).encode()
        pack.writestr(zipfile.ZipInfo(HISTORY_FILE, (1980, 1, 1, 0, 0, 0)), told, zipfile.ZIP_DEFLATED)
    return out.getvalue()


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One change of a history that came with a job. after: the change it was made on, None for the first."""

    id: int
    after: int | None
    document: Document
    edits: list[Edit]
    label: str
    who: str
    at: str
    current: bool


def history_in(data: bytes, document: Document) -> tuple[Told, ...]:
    """The history in a zip of ours, every document of it looked at like a file from outside; empty where there is none.

    A history that does not lead to `document`, or is not whole, is none: the job is then taken in as it stands.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as pack, pack.open(HISTORY_FILE) as inside:
            text = inside.read(HISTORY_LIMIT + 1)
        told = json.loads(text) if len(text) <= HISTORY_LIMIT else []
        found = tuple(_told(row) for row in told[:MOST_CHANGES]) if isinstance(told, list) else ()
    except (KeyError, TypeError, ValueError, RecursionError, OSError, EOFError, zlib.error, zipfile.BadZipFile):
        return ()
    known: set[int] = set()
    for change in found:
        if change.id in known or (change.after is None) != (not known) or (known and change.after not in known):
            return ()
        known.add(change.id)
    standing = [c.document for c in found if c.current]
    return found if standing == [document] else ()


def _told(row: Any) -> Told:
    """Raises ValueError (JobError is one), KeyError or TypeError where it is no change of ours."""
    checked(row["document"])
    texts = [row[key] for key in ("label", "who", "at")]
    after = row["after"]
    if type(row["id"]) is not int or (after is not None and type(after) is not int) or type(row["current"]) is not bool:
        raise ValueError("no change")
    if not all(isinstance(text, str) for text in texts) or not isinstance(row["edits"], list):
        raise ValueError("no change")
    datetime.datetime.fromisoformat(row["at"])
    checked({"edits": row["edits"]}, spare=True)
    return Told(
        id=row["id"],
        after=after,
        document=row["document"],
        edits=row["edits"],
        label=row["label"],
        who=row["who"],
        at=row["at"],
        current=row["current"],
    )


def unshipped(data: bytes, name: str) -> tuple[Document, dict[str, bytes]]:
    """(document, files beside it) of a job file or of a zip with one.

    Raises JobError for anything that is neither, is too large, or holds no job or several.
    """
    if data[:4] not in (b"PK\x03\x04", b"PK\x05\x06"):
        return from_toml(data, name), {}
    files = _toml_files(data, name)
    jobs = [n for n in files if not n.endswith(ENDING) and _is_job(files[n], n)]
    if len(jobs) != 1:
        raise JobError(
            "this zip holds no job file" if not jobs else "this zip holds several job files",
            field=name,
            value=", ".join(jobs),
            allowed="one job file and the files it names",
            remedy="Bring in the job files one by one." if jobs else "Put the job's .toml file into it.",
        )
    document = from_toml(files[jobs[0]], jobs[0])
    return document, _beside(document, jobs[0], files)


def _beside(document: Document, job: str, files: Mapping[str, bytes]) -> dict[str, bytes]:
    """The files a job names, and its own burns under the name the store keeps them by."""
    out = {n: files[n] for n in _named(document) if n in files}
    own = job.removesuffix(".toml") + ENDING
    if own in files:
        out[KEPT_AS + ENDING] = files[own]
    return out


def missing_beside(document: Document, beside: Mapping[str, bytes]) -> list[str]:
    """The files a job names that did not come with it."""
    return [n for n in _named(document) if n not in beside]


def _named(document: Document) -> list[str]:
    """The shop's own file and the burns a job names."""
    shop, fire = document.get("shop"), document.get("fire")
    named = [shop.get("file")] if isinstance(shop, dict) else []
    learned = fire.get("learned") if isinstance(fire, dict) else None
    named += learned if isinstance(learned, list) else []
    return [n for n in named if isinstance(n, str)]


def _is_job(data: bytes, name: str) -> bool:
    tables = bounded_tables(data, name)
    return isinstance(tables.get("job"), dict) or isinstance(tables.get("vessel"), dict)


def _toml_files(data: bytes, name: str) -> dict[str, bytes]:
    out: dict[str, bytes] = {}
    left = READ_LIMIT
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as pack:
            entries = pack.infolist()
            if len(entries) > MOST_FILES:
                raise _refused("this zip holds too many files", name, f"up to {MOST_FILES}")
            wanted = [e for e in entries if _base_name(e).endswith(".toml") and not e.is_dir()]
            if len(wanted) > MOST_TOML:
                raise _refused("this zip holds too many files", name, f"up to {MOST_TOML} that end in .toml")
            for entry in wanted:
                if entry.flag_bits & 1:
                    raise _refused("this zip is locked with a password", name, "an open zip")
                base = _base_name(entry)
                if base in out:
                    raise _refused(f"this zip holds {base} twice", name, "each file once")
                with pack.open(entry) as inside:
                    out[base] = inside.read(min(FILE_LIMIT, left) + 1)
                left -= len(out[base])
                if len(out[base]) > FILE_LIMIT or left < 0:
                    raise _refused(
                        "what this zip holds is too large",
                        base,
                        f"up to {FILE_LIMIT} bytes a file, {READ_LIMIT} in all",
                    )
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, OSError, ValueError) as problem:
        if isinstance(problem, JobError):
            raise
        raise _refused("this zip cannot be read", name, "a whole zip file") from problem
    return out


def _base_name(entry: zipfile.ZipInfo) -> str:
    base = PurePosixPath(entry.filename.replace("\\", "/")).name
    return "" if base.startswith(".") else base


def _refused(message: str, name: str, allowed: str) -> JobError:
    return JobError(message, field=name, allowed=allowed, remedy="Pack it again, or bring in the job file alone.")
