"""The page as one ASGI application: guard outermost, then pages, requests, and the live line of each job."""

from __future__ import annotations

import contextlib
from collections.abc import AsyncIterator, Awaitable, Callable, Iterable
from typing import TYPE_CHECKING

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route, WebSocketRoute

from pitwright.bench import floor_routes, routes_jobs, routes_packs, routes_share, routes_views
from pitwright.bench.guard import Guard
from pitwright.bench.hub import Hub
from pitwright.bench.live import live
from pitwright.bench.merge import Conflict
from pitwright.bench.packs import Packs
from pitwright.bench.pages import file_answer
from pitwright.bench.replies import NotHere, error_of, json_answer
from pitwright.bench.routes_share import NotYours
from pitwright.bench.store import UnknownJob
from pitwright.errors import OutputError, PitwrightError

if TYPE_CHECKING:
    from pitwright.bench.share import Share
    from pitwright.bench.store import Store

Asked = Callable[[Request], Awaitable[Response]]
PORT = 8321
HOSTS = (f"127.0.0.1:{PORT}", f"localhost:{PORT}")


def make_app(store: Store, *, share: Share | None = None, hosts: Iterable[str] = HOSTS) -> Starlette:
    """The whole page over a store. The application closes the store when it stops.

    hosts  the addresses it answers to, such as "127.0.0.1:8321"
    share  codes and sessions where it is shared on the shop's network
    """
    hub = Hub(store, Packs(), share)

    @contextlib.asynccontextmanager
    async def running(app: Starlette) -> AsyncIterator[None]:
        yield
        await hub.close()

    app = Starlette(
        routes=_routes(),
        middleware=[
            Middleware(Guard, hosts=tuple(hosts), share=share),
            Middleware(GZipMiddleware, minimum_size=2000, compresslevel=4),
        ],
        exception_handlers={PitwrightError: _told, HTTPException: _plain},
        lifespan=running,
    )
    app.state.hub = hub
    return app


def _routes() -> list[BaseRoute]:
    from pitwright.bench.floor_routes import routes as floor

    return [
        Route("/", _page("index.html")),
        Route("/job/{job}", _job_page("job.html")),
        Route("/static/{name:path}", _static),
        *routes_packs.routes,
        *routes_jobs.routes,
        *routes_views.routes,
        *routes_share.routes,
        *floor,
        *floor_routes.routes,
        WebSocketRoute("/live/{job}", live),
    ]


def _page(name: str) -> Asked:
    async def page(request: Request) -> Response:
        return file_answer(request, name)

    return page


def _job_page(name: str) -> Asked:
    async def page(request: Request) -> Response:
        hub: Hub = request.app.state.hub
        await hub.keep(hub.store.job, str(request.path_params["job"]))
        return file_answer(request, name)

    return page


async def _static(request: Request) -> Response:
    return file_answer(request, str(request.path_params["name"]))


async def _told(request: Request, problem: Exception) -> Response:
    """One of the house's errors."""
    assert isinstance(problem, PitwrightError)
    match problem:
        case NotHere() | UnknownJob():
            status = 404
        case NotYours():
            status = 403
        case Conflict():
            more = {"conflict": {"paths": problem.paths, "theirs": problem.theirs, "mine": problem.mine}}
            return json_answer(error_of(problem) | more, 409)
        case OutputError():
            status = 507
        case _:
            status = 400
    return json_answer(error_of(problem), status)


async def _plain(request: Request, problem: Exception) -> Response:
    """A path that leads nowhere, or a way of asking nobody knows."""
    assert isinstance(problem, HTTPException)
    words = {404: "there is nothing here", 405: "this cannot be asked that way"}
    return json_answer(error_of(PitwrightError(words.get(problem.status_code, "that went wrong"))), problem.status_code)
