"""The process that makes one pack for the page: solve, make piece by piece, tell how far it is, zip.

It is started afresh for each pack and talks over a pipe; where nobody listens any more, it ends.
"""

from __future__ import annotations

import os
import signal
import zipfile
from collections.abc import Mapping, Sequence
from multiprocessing.connection import Connection
from pathlib import Path, PurePosixPath
from typing import Any

ZIP_TIME = (1980, 1, 1, 0, 0, 0)


def make_pack(
    to: Connection,
    folder: str,
    document: dict[str, Any],
    beside: Mapping[str, bytes],
    pieces: Sequence[str],
    paper: str,
    title: str,
) -> None:
    """Make a pack in a folder: `files/`, `pages/N.svg` and `pack.zip`; every step is told.

    pieces  names of pieces, in pack order
    paper   one of PAPERS, or empty for the usual one
    title   name of the folder inside the zip
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if hasattr(os, "nice"):
        os.nice(5)
    from pitwright.errors import PitwrightError

    try:
        _make(to, Path(folder), document, beside, pieces, paper, title)
        to.send({"end": True})
    except PitwrightError as problem:
        to.send({"error": problem.as_dict(), "end": True})
    except (BrokenPipeError, ConnectionError):
        os._exit(1)
    finally:
        to.close()


def _make(
    to: Connection,
    folder: Path,
    document: dict[str, Any],
    beside: Mapping[str, bytes],
    pieces: Sequence[str],
    paper: str,
    title: str,
) -> None:
    from pitwright.bench.documents import read_job
    from pitwright.errors import OutputError
    from pitwright.layout.pit import solve
    from pitwright.pack import chosen, default_paper, whole_files

    to.send({"doing": "solving"})
    pit = solve(read_job(document, beside))
    count = 0
    names: list[str] = []
    for done, piece in enumerate(chosen(pieces), start=1):
        to.send({"doing": piece.what})
        try:
            made = piece.make(pit, paper or default_paper(pit))
            files = whole_files(made)
        except OutputError as problem:
            to.send({"done": done, "problems": [f"{piece.name}: {problem}"]})
            continue
        pages = _pictures(folder, made, count)
        count += len(pages)
        for name, data in files.items():
            _write(folder / "files", name, data)
        names += files
        told = [{"name": name, "bytes": len(data), "what": piece.what} for name, data in files.items()]
        to.send({"done": done, "files": told, "pages": pages})
    to.send({"doing": "one file of all"})
    _zip(folder, names, title)


def _pictures(folder: Path, made: Mapping[str, Any], before: int) -> list[dict[str, Any]]:
    """Pictures of every printed page, numbered on from `before`."""
    from pitwright.pack import Booklet
    from pitwright.sheets.pdf import pictures

    told: list[dict[str, Any]] = []
    for name, booklet in made.items():
        if not isinstance(booklet, Booklet):
            continue
        for i, (page, data) in enumerate(zip(booklet.pages, pictures(booklet.pages), strict=True), start=1):
            n = before + len(told) + 1
            _write(folder / "pages", f"{n}.svg", data)
            title = page.stamp.title if page.stamp is not None else f"{booklet.title}, page {i}"
            told.append({"n": n, "title": title, "file": name, "number": i})
    return told


def _write(folder: Path, name: str, data: bytes) -> None:
    parts = PurePosixPath(name).parts
    if not parts or any(part in ("..", "/") or "\\" in part or ":" in part for part in parts):
        raise ValueError(f"not a file name of a pack: {name}")
    path = folder.joinpath(*parts)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)


def _zip(folder: Path, names: Sequence[str], title: str) -> None:
    from pitwright.bench.packs import ZIP

    part = folder / f"{ZIP}.part"
    with zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as out:
        for name in sorted(names):
            entry = zipfile.ZipInfo(f"{title}/{name}", ZIP_TIME)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            out.writestr(entry, (folder / "files" / name).read_bytes())
    os.replace(part, folder / ZIP)
