"""Requests about jobs: the list, new ones, copies, files in and out, history, and what a view shows of one pit."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from pitwright.bench.guard import visitor_of
from pitwright.bench.replies import (
    body_of,
    download,
    file_name,
    json_answer,
    picture,
    text_of,
    whole_of,
)
from pitwright.bench.shipping import missing_beside
from pitwright.bench.store import UnknownJob
from pitwright.errors import JobError, LayoutError, PitwrightError

if TYPE_CHECKING:
    from pitwright.bench.hub import Hub
    from pitwright.bench.store import Change, JobRow


def hub_of(request: Request) -> Hub:
    """The running bench behind a request."""
    found: Hub = request.app.state.hub
    return found


def job_of(request: Request) -> str:
    """The job a request's path names."""
    return str(request.path_params["job"])


async def jobs(request: Request) -> Response:
    """The list, the last touched first."""
    hub = hub_of(request)
    search = request.query_params.get("search", "")[:200]
    removed = request.query_params.get("removed") == "1"
    rows = await hub.keep(hub.store.jobs, search, removed=removed)
    return json_answer({"jobs": [row_record(r) for r in rows]})


async def new_job(request: Request) -> Response:
    """A job from the few fixed facts, or from a whole document."""
    from pitwright.bench.documents import new_document

    hub, body = hub_of(request), await body_of(request)
    facts, document = body.get("facts"), body.get("document")
    given = facts if document is None else document
    if not isinstance(given, dict):
        raise JobError("a job starts from facts", field="facts", value=str(given)[:80], allowed="a table of facts")
    made = given
    if document is None:
        made = new_document(given)
        await hub.work(_sound, made)
    rid, who = text_of(body, "rid", most=80), visitor_of(request.scope).name
    row = await hub.keep(hub.store.create, made, {}, rid, who)
    return json_answer({"job": row_record(row)}, 201)


def _sound(document: dict[str, Any]) -> None:
    """Refuse a new job of which a given fact cannot be read or is out of its limits; blanks are for later.

    Raises JobError.
    """
    from pitwright.bench.documents import read_job, value_at
    from pitwright.bench.state import path_of
    from pitwright.layout.pit import solve

    try:
        solve(read_job(document, {}))
    except JobError as problem:
        if value_at(document, path_of(problem.field) or ()) not in (None, ""):
            raise
    except LayoutError:
        return


async def take_in(request: Request) -> Response:
    """A job from a file of ours: a job file, or what `export` gave."""
    hub = hub_of(request)
    name = request.query_params.get("name", "")[:200]
    rid = request.query_params.get("rid") or None
    data = await request.body()
    row = await hub.keep(hub.store.import_, data, name, rid, visitor_of(request.scope).name)
    held = await hub.keep(hub.store.get, row.id)
    return json_answer({"job": row_record(row), "missing": missing_beside(held.document, held.beside)}, 201)


async def copy(request: Request) -> Response:
    """A second job like this one."""
    hub, body = hub_of(request), await body_of(request)
    rid, who = text_of(body, "rid", most=80), visitor_of(request.scope).name
    row = await hub.keep(hub.store.copy, job_of(request), rid, who)
    return json_answer({"job": row_record(row)}, 201)


async def remove(request: Request) -> Response:
    """Out of the list; nothing is thrown away."""
    hub, body = hub_of(request), await body_of(request)
    await hub.keep(hub.store.remove, job_of(request), text_of(body, "rid", most=80))
    return json_answer({"removed": True})


async def restore(request: Request) -> Response:
    """Back into the list."""
    hub, body = hub_of(request), await body_of(request)
    await hub.keep(hub.store.restore, job_of(request), text_of(body, "rid", most=80))
    return json_answer({"removed": False})


async def history(request: Request) -> Response:
    """Every change ever made, the newest first."""
    hub = hub_of(request)
    changes = await hub.keep(hub.store.history, job_of(request))
    return json_answer({"changes": [_change_record(c) for c in reversed(changes)]})


async def make_current(request: Request) -> Response:
    """An earlier state made the one that counts."""
    hub, body, job = hub_of(request), await body_of(request), job_of(request)
    rid, who = text_of(body, "rid", most=80), visitor_of(request.scope).name
    done = await hub.keep(hub.store.make_current, job, whole_of(body, "change"), rid, who)
    await hub.announce(job, by=who)
    return json_answer({"head": done.head})


async def job_file(request: Request) -> Response:
    """The job file, as the commands read it."""
    from pitwright.bench.documents import to_toml

    hub = hub_of(request)
    held = await hub.keep(hub.store.get, job_of(request))
    return download(to_toml(held.document), file_name(_name(held.document), ".toml"), "application/toml")


async def export(request: Request) -> Response:
    """The job with what lies beside it and its history, as one zip."""
    hub, job = hub_of(request), job_of(request)
    held = await hub.keep(hub.store.get, job)
    data = await hub.keep(hub.store.export, job)
    return download(data, file_name(_name(held.document), ".zip"), "application/zip")


async def list_picture(request: Request) -> Response:
    """The small side view in the list; an empty sheet where there is no pit yet."""
    from pitwright.bench.list_picture import EMPTY

    try:
        return picture(await hub_of(request).picture(job_of(request)))
    except UnknownJob:
        raise
    except PitwrightError:
        return picture(EMPTY)


async def why(request: Request) -> Response:
    """Where a figure comes from, down to the facts."""
    from pitwright.bench.figures import why_record

    pit = await hub_of(request).pit(job_of(request))
    return json_answer({"why": why_record(pit, request.query_params.get("name", ""))})


async def figures(request: Request) -> Response:
    """Every figure of the pit with its name, as the tape writes it."""
    from pitwright.bench.figures import all_figures

    pit = await hub_of(request).pit(job_of(request))
    return json_answer({"figures": all_figures(pit)})


def row_record(row: JobRow) -> dict[str, Any]:
    """A line of the list as JSON."""
    return {
        "id": row.id,
        "name": row.name,
        "customer": row.customer,
        "number": row.number,
        "touched": row.touched,
        "head": row.head,
        "removed": row.removed,
    }


def _change_record(change: Change) -> dict[str, Any]:
    return {
        "id": change.id,
        "label": change.label,
        "who": change.who,
        "at": change.at,
        "current": change.current,
        "on_line": change.standing,
    }


def _name(document: dict[str, Any]) -> str:
    job = document.get("job")
    return str(job.get("name", "")) if isinstance(job, dict) else ""


routes = [
    Route("/api/jobs", jobs, methods=["GET"]),
    Route("/api/jobs", new_job, methods=["POST"]),
    Route("/api/jobs/import", take_in, methods=["POST"]),
    Route("/api/jobs/{job}/copy", copy, methods=["POST"]),
    Route("/api/jobs/{job}/remove", remove, methods=["POST"]),
    Route("/api/jobs/{job}/restore", restore, methods=["POST"]),
    Route("/api/jobs/{job}/history", history, methods=["GET"]),
    Route("/api/jobs/{job}/current", make_current, methods=["POST"]),
    Route("/api/jobs/{job}/file", job_file, methods=["GET"]),
    Route("/api/jobs/{job}/export", export, methods=["GET"]),
    Route("/api/jobs/{job}/picture.svg", list_picture, methods=["GET"]),
    Route("/api/jobs/{job}/why", why, methods=["GET"]),
    Route("/api/jobs/{job}/figures", figures, methods=["GET"]),
]
