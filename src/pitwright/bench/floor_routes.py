"""Requests of the shop floor's page: the page itself, its steps, and what it sends."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Final

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from pitwright.bench.documents import read_job
from pitwright.bench.guard import visitor_of
from pitwright.bench.pages import file_answer, page_bytes
from pitwright.bench.replies import body_of, json_answer
from pitwright.errors import PitwrightError

if TYPE_CHECKING:
    from pitwright.bench.hub import Hub
    from pitwright.bench.store import Held, Tick
    from pitwright.layout.model import Pit

RECORDS_KEPT: Final = 16
Key = tuple[str, int, frozenset[Any]]


class Records:
    """The last few records made: phones ask again and again whether anything changed."""

    def __init__(self) -> None:
        self._kept: OrderedDict[Key, dict[str, Any]] = OrderedDict()

    def find(self, key: Key) -> dict[str, Any] | None:
        """The record of a job as it stands; None where it is not kept."""
        return self._kept.get(key)

    def keep(self, key: Key, record: dict[str, Any]) -> dict[str, Any]:
        """Keep a record. Returns it."""
        self._kept[key] = record
        while len(self._kept) > RECORDS_KEPT:
            self._kept.popitem(last=False)
        return record


async def page(request: Request) -> Response:
    """The page. A job that is not there is told so."""
    hub = _hub(request)
    await hub.keep(hub.store.job, _job(request))
    return file_answer(request, "floor.html")


async def worker(request: Request) -> Response:
    """The page's helper that keeps it at hand without a connection; served from here, so that it may."""
    headers = {"content-type": "text/javascript; charset=utf-8", "cache-control": "no-cache"}
    return Response(page_bytes("floor/worker.js"), headers=headers)


async def steps(request: Request) -> Response:
    """All steps of the job; asked again with the version it has, only whether it changed."""
    record = await _record(request)
    tag = f'"{record["version"]}"'
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers={"etag": tag, "cache-control": "no-cache"})
    answer = json_answer(record)
    answer.headers["etag"] = tag
    answer.headers["cache-control"] = "no-cache"
    return answer


async def send(request: Request) -> Response:
    """Take what was typed and ticked, in order; what became of each, what re-solved, and the steps as they are now."""
    from pitwright.bench.floor_send import Clerk

    hub, job, body = _hub(request), _job(request), await body_of(request)
    who = visitor_of(request.scope).name
    clerk = Clerk(hub.store, job, who, solved)
    sent = await hub.work(clerk.take, body.get("items"))
    if sent.changed:
        await hub.announce(job, by=who)
    return json_answer(
        {
            "answers": [a.as_json() for a in sent.answers],
            "moved": list(sent.moved),
            "verdicts": list(sent.verdicts),
            "floor": await _record(request),
        }
    )


routes = [
    Route("/floor/worker.js", worker),
    Route("/floor/{job}", page),
    Route("/api/floor/{job}", steps),
    Route("/api/floor/{job}/send", send, methods=["POST"]),
]


def solved(document: Mapping[str, Any], beside: Mapping[str, bytes]) -> Pit:
    """The pit of a document. Raises JobError, LayoutError."""
    from pitwright.layout.pit import solve

    return solve(read_job(document, beside))


async def _record(request: Request) -> dict[str, Any]:
    hub, job = _hub(request), _job(request)
    held, ticks = await hub.keep(_as_it_stands, hub, job)
    kept = request.app.state
    records: Records = getattr(kept, "floor_records", None) or Records()
    kept.floor_records = records
    key = (job, held.head, frozenset((t.step, t.done, t.at) for t in ticks.values()))
    return records.find(key) or records.keep(key, await hub.work(_made, job, held, ticks))


def _as_it_stands(hub: Hub, job: str) -> tuple[Held, dict[str, Tick]]:
    return hub.store.get(job), hub.store.ticks(job)


def _made(job: str, held: Held, ticks: Mapping[str, Tick]) -> dict[str, Any]:
    from pitwright.bench.floor import floor_record

    try:
        found: Pit | PitwrightError = solved(held.document, held.beside)
    except PitwrightError as problem:
        found = problem
    return floor_record(job, held, ticks, found)


def _hub(request: Request) -> Hub:
    found: Hub = request.app.state.hub
    return found


def _job(request: Request) -> str:
    return str(request.path_params["job"])
