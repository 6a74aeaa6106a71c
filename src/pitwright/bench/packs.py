"""Packs for the page: each made by a process of its own, so that the page stays live while sheets are drawn.

One pack is made at a time; the others wait. What is ready lies in a folder only this user can read, is listed file by
file (nothing else in the folder can be asked for), and is thrown away half an hour after it was last looked at.
"""

from __future__ import annotations

import asyncio
import contextlib
import multiprocessing
import os
import secrets
import shutil
import tempfile
import time
from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Any, Literal

from pitwright.bench.replies import NotHere
from pitwright.errors import JobError

State = Literal["waiting", "making", "done", "failed", "cancelled"]
PREFIX = "pitwright-packs-"
KEPT_FOR = 1800.0
MOST = 8
LONGEST = 900.0
OLD = 2 * 86400.0
ZIP = "pack.zip"


@dataclass(slots=True, kw_only=True)
class Pack:
    """One pack: what is asked for, how far it is, what is there.

    files  {"name", "bytes", "what"} of every file ready
    pages  {"n", "title", "file", "number"} of every printed page that can be looked at
    """

    id: str
    job: str
    name: str
    folder: Path
    pieces: tuple[str, ...]
    state: State = "waiting"
    done: int = 0
    doing: str = ""
    files: list[dict[str, Any]] = field(default_factory=list)
    pages: list[dict[str, Any]] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)
    error: dict[str, str] | None = None
    touched: float = 0.0
    process: BaseProcess | None = None

    def record(self) -> dict[str, Any]:
        """How far it is, as the page reads it."""
        return {
            "id": self.id,
            "job": self.job,
            "state": self.state,
            "done": self.done,
            "total": len(self.pieces),
            "doing": self.doing,
            "files": self.files,
            "pages": self.pages,
            "problems": self.problems,
            "error": self.error,
            "zip": self.name if self.state == "done" else "",
        }

    def page(self, n: int) -> Path:
        """The picture of one page, counted from 1.

        Raises NotHere.
        """
        if not 1 <= n <= len(self.pages):
            raise NotHere("this pack has no such page", field="page", value=n, allowed=f"1 to {len(self.pages)}")
        return self.folder / "pages" / f"{n}.svg"

    def file(self, name: str) -> Path:
        """One file of the pack by its listed name.

        Raises NotHere.
        """
        if name not in {f["name"] for f in self.files}:
            raise NotHere("this pack has no such file", field="file", value=name[:80])
        return self.folder / "files" / name

    def zip(self) -> Path:
        """The whole pack as one file.

        Raises NotHere where it is not ready.
        """
        if self.state != "done":
            raise NotHere("this pack is not ready", field="pack", value=self.state)
        return self.folder / ZIP


class Packs:
    """The packs of one running bench."""

    def __init__(self) -> None:
        self._root: Path | None = None
        self._packs: dict[str, Pack] = {}
        self._asked: dict[str, str] = {}
        self._line = ThreadPoolExecutor(1, thread_name_prefix="packs")

    def start(
        self,
        job: str,
        document: Mapping[str, Any],
        beside: Mapping[str, bytes],
        *,
        pieces: Sequence[str] | None,
        paper: str,
        rid: str,
        name: str,
    ) -> Pack:
        """Put a pack in line. The same request id gives the same pack.

        pieces  names of pieces; all where None
        name    file name of its zip
        Raises JobError for a piece or a paper that is none.
        """
        from pitwright.pack import PAPERS, chosen

        if rid in self._asked and self._asked[rid] in self._packs:
            return self._packs[self._asked[rid]]
        if pieces is not None and not pieces:
            raise JobError("nothing is chosen", field="pieces", remedy="Tick at least one piece of the pack.")
        if paper and paper not in PAPERS:
            raise JobError("no such paper", field="paper", value=paper[:40], allowed=", ".join(PAPERS))
        names = tuple(p.name for p in chosen(pieces))
        self._clean()
        if sum(p.state in ("waiting", "making") for p in self._packs.values()) >= MOST:
            raise JobError("too many packs are under way", field="pack", remedy="Wait for one, or stop one.")
        key = secrets.token_urlsafe(12)
        pack = Pack(id=key, job=job, name=name, folder=self._home() / key, pieces=names, touched=time.monotonic())
        pack.folder.mkdir(mode=0o700)
        self._packs[key] = pack
        self._asked[rid] = key
        self._line.submit(self._make, pack, dict(document), dict(beside), paper)
        return pack

    def find(self, key: str) -> Pack:
        """A pack by its id.

        Raises NotHere.
        """
        pack = self._packs.get(key)
        if pack is None:
            raise NotHere("this pack is gone", field="pack", value=key[:40], remedy="Make it again.")
        pack.touched = time.monotonic()
        return pack

    def cancel(self, key: str) -> Pack:
        """Stop a pack that is not done yet.

        Raises NotHere.
        """
        pack = self.find(key)
        if pack.state in ("waiting", "making"):
            pack.state = "cancelled"
            self._stop(pack)
        return pack

    async def close(self) -> None:
        """Stop all and throw everything away."""
        for pack in self._packs.values():
            if pack.state in ("waiting", "making"):
                pack.state = "cancelled"
            self._stop(pack)
        await asyncio.get_running_loop().run_in_executor(None, self._line.shutdown)
        self._packs.clear()
        if self._root is not None:
            shutil.rmtree(self._root, ignore_errors=True)

    def _home(self) -> Path:
        if self._root is None:
            _throw_old_away()
            self._root = Path(tempfile.mkdtemp(prefix=PREFIX))
        return self._root

    def _clean(self) -> None:
        """Throw away what nobody looked at for long, and the oldest where there are many."""
        ready = sorted(
            (p for p in self._packs.values() if p.state not in ("waiting", "making")), key=lambda p: p.touched
        )
        now = time.monotonic()
        for i, pack in enumerate(ready):
            if now - pack.touched > KEPT_FOR or i < len(ready) - MOST:
                del self._packs[pack.id]
                shutil.rmtree(pack.folder, ignore_errors=True)
        self._asked = {rid: key for rid, key in self._asked.items() if key in self._packs}

    def _stop(self, pack: Pack) -> None:
        if pack.process is not None and pack.process.is_alive():
            pack.process.terminate()

    def _make(self, pack: Pack, document: dict[str, Any], beside: dict[str, bytes], paper: str) -> None:
        """Start the process and listen to it until it ends (on the packs' own thread)."""
        from pitwright.bench.pack_work import make_pack

        if pack.state != "waiting":
            return
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe(duplex=False)
        process = context.Process(
            target=make_pack,
            args=(theirs, str(pack.folder), document, beside, pack.pieces, paper, Path(pack.name).stem),
            daemon=True,
        )
        pack.state, pack.process = "making", process
        try:
            process.start()
            theirs.close()
            told_end = self._listen(pack, ours)
            process.join(10.0)
        except Exception as problem:
            told_end = False
            pack.problems.append(f"The pack could not be started: {problem}")
        finally:
            ours.close()
            if process.is_alive():
                process.kill()
        if pack.state == "making":
            pack.state = "done" if told_end and pack.error is None else "failed"
            if not told_end and pack.error is None:
                pack.error = {
                    "message": "making the pack broke off",
                    "field": "pack",
                    "value": pack.doing,
                    "allowed": "",
                    "remedy": "Try it again, or leave that piece out.",
                }
        pack.doing = ""
        pack.touched = time.monotonic()

    def _listen(self, pack: Pack, ours: Connection) -> bool:
        """Take in what the process says. Returns whether it said that it is done."""
        until = time.monotonic() + LONGEST
        while time.monotonic() < until and pack.state == "making":
            try:
                if not ours.poll(0.5):
                    continue
                word: dict[str, Any] = ours.recv()
            except (EOFError, OSError):
                return False
            pack.doing = word.get("doing", pack.doing)
            pack.done = word.get("done", pack.done)
            pack.files = [*pack.files, *word.get("files", ())]
            pack.pages = [*pack.pages, *word.get("pages", ())]
            pack.problems = [*pack.problems, *word.get("problems", ())]
            pack.error = word.get("error", pack.error)
            if word.get("end"):
                return True
        return False


def _throw_old_away() -> None:
    """Folders of packs that a bench which died left behind."""
    for folder in Path(tempfile.gettempdir()).glob(f"{PREFIX}*"):
        with contextlib.suppress(OSError):
            seen = folder.lstat()
            mine = not hasattr(os, "getuid") or seen.st_uid == os.getuid()
            if mine and not folder.is_symlink() and time.time() - seen.st_mtime > OLD:
                shutil.rmtree(folder, ignore_errors=True)
