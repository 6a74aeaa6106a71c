"""Answers of the page: JSON that is JSON, errors in the house's form, bodies read strictly, names made safe."""

from __future__ import annotations

import json
import math
import re
import unicodedata
from collections.abc import Mapping
from typing import Any
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response

from pitwright.errors import JobError, PitwrightError

FILE_POLICY = (
    "default-src 'none'; img-src data:; font-src data:; style-src 'unsafe-inline'; sandbox; frame-ancestors 'none'"
)
"""Policy of a file that is looked at by itself: it may be drawn and styled, and run nothing."""

_TAKEN = {"con", "prn", "aux", "nul"} | {f"{p}{n}" for p in ("com", "lpt") for n in range(10)}  # names Windows keeps


class NotHere(PitwrightError):
    """What was asked for is not here."""


def our_fault() -> PitwrightError:
    """What the page says where Pitwright itself failed; the details are for the terminal."""
    return PitwrightError(
        "Pitwright itself failed here",
        remedy="Nothing saved is lost. Undo the last change or load the page again; the terminal has the details.",
    )


def json_bytes(data: object) -> bytes:
    """Data as JSON text; endless figures go as null, for JSON has no word for them."""
    try:
        return json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()
    except ValueError:
        return json.dumps(_finite(data), ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()


def _finite(data: Any) -> Any:
    if isinstance(data, float):
        return data if math.isfinite(data) else None
    if isinstance(data, Mapping):
        return {str(k): _finite(v) for k, v in data.items()}
    if isinstance(data, list | tuple):
        return [_finite(v) for v in data]
    return data


def json_answer(data: object, status: int = 200) -> Response:
    """A JSON answer."""
    return Response(json_bytes(data), status, media_type="application/json")


def told(problem: PitwrightError) -> dict[str, Any]:
    """An error's parts, with the path of the line in the job it speaks of (None where it speaks of none)."""
    from pitwright.bench.state import path_of

    return {**problem.as_dict(), "path": path_of(problem.field)}


def error_of(problem: PitwrightError) -> dict[str, Any]:
    """An error as the page reads it."""
    return {"error": told(problem)}


def read_json(text: str | bytes) -> dict[str, Any]:
    """One JSON table, strictly read.

    Raises JobError for anything else.
    """
    try:
        found = json.loads(text, parse_constant=_no_constant)
    except (ValueError, RecursionError) as problem:
        raise JobError("this cannot be read", field="request", allowed="one JSON table") from problem
    if not isinstance(found, dict):
        raise JobError("this cannot be read", field="request", allowed="one JSON table")
    return found


def _no_constant(word: str) -> float:
    raise ValueError(word)


async def body_of(request: Request) -> dict[str, Any]:
    """The JSON table a request carries.

    Raises JobError.
    """
    kind = request.headers.get("content-type", "").split(";")[0].strip().lower()
    if kind != "application/json":
        raise JobError("this cannot be read", field="request", value=kind, allowed="application/json")
    return read_json(await request.body())


def text_of(data: Mapping[str, Any], name: str, *, most: int = 200, otherwise: str | None = None) -> str:
    """A text out of a request.

    Raises JobError where it is missing, no text, or too long.
    """
    found = data.get(name, otherwise)
    if not isinstance(found, str) or len(found) > most or (otherwise is None and not found):
        raise JobError("missing or no such text", field=name, value=str(found)[:80], allowed=f"up to {most} letters")
    return found


def number_of(data: Mapping[str, Any], name: str) -> float:
    """A finite number out of a request.

    Raises JobError.
    """
    found = data.get(name)
    if isinstance(found, bool) or not isinstance(found, int | float) or not math.isfinite(found):
        raise JobError("not a number", field=name, value=str(found)[:80], allowed="a number")
    return float(found)


def whole_of(data: Mapping[str, Any], name: str) -> int:
    """A whole number out of a request.

    Raises JobError.
    """
    found = data.get(name)
    if isinstance(found, bool) or not isinstance(found, int) or not 0 <= found < 2**53:
        raise JobError("not a whole number", field=name, value=str(found)[:80], allowed="0, 1, 2 and so on")
    return found


def file_name(name: str, ending: str) -> str:
    """A job's name as a file name that every system takes, such as "hill-job.toml"."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    plain = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:60].strip("-")
    if plain.split("-")[0] in _TAKEN:
        plain = f"job-{plain}"
    return (plain or "job") + ending


def download(data: bytes, name: str, kind: str) -> Response:
    """A file to keep, never to be run in our page."""
    headers = {
        "content-disposition": f"attachment; filename=\"{name}\"; filename*=UTF-8''{quote(name, safe='')}",
        "content-security-policy": FILE_POLICY,
    }
    return Response(data, media_type=kind, headers=headers)


def picture(data: str | bytes) -> Response:
    """An SVG picture, to be shown and not run."""
    return Response(data, media_type="image/svg+xml", headers={"content-security-policy": FILE_POLICY})
