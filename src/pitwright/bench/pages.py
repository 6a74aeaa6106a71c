"""Files of the page: what lies in `static` and the lettering, and nothing else."""

from __future__ import annotations

import hashlib
import re
from functools import lru_cache
from pathlib import Path

from starlette.requests import Request
from starlette.responses import Response

from pitwright.bench.replies import NotHere
from pitwright.sheets.lettering import FONT_FOLDER

STATIC = Path(__file__).parent / "static"
KINDS = {
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".ico": "image/x-icon",
    ".ttf": "font/ttf",
    ".txt": "text/plain; charset=utf-8",
    ".json": "application/json",
    ".webmanifest": "application/manifest+json",
}
_NAME = re.compile(r"[A-Za-z0-9_][A-Za-z0-9_.\-]*")


def static_file(name: str) -> Path:
    """The file behind `/static/NAME`; `fonts/...` is the lettering of the sheets.

    Raises NotHere for anything that is none of our files.
    """
    parts = name.split("/")
    if not all(_NAME.fullmatch(part) for part in parts):
        raise NotHere("no such file", field="static", value=name[:80])
    root = STATIC
    if parts[0] == "fonts":
        root, parts = FONT_FOLDER, parts[1:]
    path = root.joinpath(*parts)
    if path.suffix not in KINDS or not path.is_file() or not path.resolve().is_relative_to(root.resolve()):
        raise NotHere("no such file", field="static", value=name[:80])
    return path


def page_bytes(name: str) -> bytes:
    """One of our pages.

    Raises NotHere.
    """
    return static_file(name).read_bytes()


@lru_cache(maxsize=512)
def _tag(path: Path, changed: int, size: int) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()[:20]


def file_answer(request: Request, name: str) -> Response:
    """A file of ours; asked again, only whether it changed.

    Raises NotHere.
    """
    path = static_file(name)
    seen = path.stat()
    tag = f'"{_tag(path, seen.st_mtime_ns, seen.st_size)}"'
    headers = {"etag": tag, "cache-control": "no-cache", "content-type": KINDS[path.suffix]}
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers=headers)
    return Response(path.read_bytes(), headers=headers)
