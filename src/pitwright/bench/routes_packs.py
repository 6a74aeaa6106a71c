"""Requests about packs: start one, watch it, look at its pages, take its files."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import FileResponse, Response
from starlette.routing import Route

from pitwright.bench.packs import Pack
from pitwright.bench.replies import FILE_POLICY, NotHere, body_of, file_name, json_answer, text_of
from pitwright.bench.routes_jobs import hub_of, job_of
from pitwright.errors import JobError

KINDS = {
    ".pdf": "application/pdf",
    ".csv": "text/csv; charset=utf-8",
    ".svg": "image/svg+xml",
    ".json": "application/json",
    ".glb": "model/gltf-binary",
    ".zip": "application/zip",
}


def pack_of(request: Request) -> Pack:
    """The pack a request's path names.

    Raises NotHere.
    """
    return hub_of(request).packs.find(str(request.path_params["pack"]))


async def choices(request: Request) -> Response:
    """The pieces of a pack and the papers, to choose from."""
    from pitwright.pack import PAPERS, PIECES

    return json_answer({"pieces": [{"name": p.name, "what": p.what} for p in PIECES], "papers": list(PAPERS)})


async def start(request: Request) -> Response:
    """Put a pack in line; a job without a pit is told at once."""
    hub, job, body = hub_of(request), job_of(request), await body_of(request)
    rid, paper = text_of(body, "rid", most=80), text_of(body, "paper", most=40, otherwise="")
    pieces = body.get("pieces")
    if pieces is not None and not (isinstance(pieces, list) and all(isinstance(p, str) for p in pieces)):
        raise JobError("a pack is chosen by names", field="pieces", allowed="a list of names")
    pit = await hub.pit(job)
    held = await hub.keep(hub.store.get, job)
    name = file_name(f"{pit.job.job.name} {pit.revision}", "-pack.zip")
    pack = hub.packs.start(job, held.document, held.beside, pieces=pieces, paper=paper, rid=rid, name=name)
    return json_answer({"pack": pack.id}, 201)


async def progress(request: Request) -> Response:
    """How far a pack is."""
    return json_answer(pack_of(request).record())


async def cancel(request: Request) -> Response:
    """Stop a pack."""
    await body_of(request)
    return json_answer(hub_of(request).packs.cancel(str(request.path_params["pack"])).record())


async def page(request: Request) -> Response:
    """The picture of one printed page."""
    return _file(pack_of(request).page(int(request.path_params["n"])), "")


async def one_file(request: Request) -> Response:
    """One file of the pack, to keep."""
    name = str(request.path_params["name"])
    return _file(pack_of(request).file(name), name.rsplit("/", 1)[-1])


async def whole(request: Request) -> Response:
    """The whole pack as one file, to keep."""
    pack = pack_of(request)
    return _file(pack.zip(), pack.name)


def _file(path: Path, name: str) -> Response:
    """A file off the disk; with a name it is kept, without one it is looked at."""
    if not path.is_file():
        raise NotHere("this file is gone", field="file", value=name[:80])
    headers = {"content-security-policy": FILE_POLICY}
    if name:
        plain = "".join(c for c in name if c.isascii() and c.isprintable() and c not in '"\\')
        headers["content-disposition"] = f"attachment; filename=\"{plain}\"; filename*=UTF-8''{quote(name, safe='')}"
    return FileResponse(path, media_type=KINDS.get(path.suffix, "application/octet-stream"), headers=headers)


routes = [
    Route("/api/packs/choices", choices, methods=["GET"]),
    Route("/api/jobs/{job}/packs", start, methods=["POST"]),
    Route("/api/packs/{pack}", progress, methods=["GET"]),
    Route("/api/packs/{pack}/cancel", cancel, methods=["POST"]),
    Route("/api/packs/{pack}/page/{n:int}.svg", page, methods=["GET"]),
    Route("/api/packs/{pack}/file/{name:path}", one_file, methods=["GET"]),
    Route("/api/packs/{pack}/zip", whole, methods=["GET"]),
]
