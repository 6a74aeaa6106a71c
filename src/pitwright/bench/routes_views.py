"""Requests of the larger views: fire, stand, 3-D, the page for the customer. Each is worked out off the event loop."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from pitwright.bench.replies import body_of, download, file_name, json_answer
from pitwright.bench.routes_jobs import hub_of, job_of
from pitwright.errors import JobError


async def fire(request: Request) -> Response:
    """How it burns, as asked: weather, wood and inlet as the sliders stand."""
    from pitwright.bench.fire_view import fire as fire_view

    hub, body = hub_of(request), await body_of(request)
    trial = body.get("trial", {})
    if not isinstance(trial, dict):
        raise JobError("a trial is a table", field="trial", value=str(trial)[:80], allowed="outside, weather and so on")
    pit = await hub.pit(job_of(request))
    return json_answer(await hub.work(fire_view, pit, trial))


async def stand(request: Request) -> Response:
    """How it stands, tips, lifts and tows."""
    from pitwright.bench.stand_view import stand as stand_view

    hub = hub_of(request)
    pit = await hub.pit(job_of(request))
    return json_answer(await hub.work(stand_view, pit))


async def solid(request: Request) -> Response:
    """The pit in three dimensions."""
    from pitwright.bench.solid_view import solid as solid_view

    hub = hub_of(request)
    pit = await hub.pit(job_of(request))
    return json_answer(await hub.work(solid_view, pit))


async def customer(request: Request) -> Response:
    """The pit as one page to send to the customer; a file to keep, never a page of ours."""
    from pitwright.bench.export_html import customer_page

    hub = hub_of(request)
    pit = await hub.pit(job_of(request))
    text = await hub.work(customer_page, pit)
    return download(text.encode(), file_name(pit.job.job.name, ".html"), "text/html; charset=utf-8")


routes = [
    Route("/api/jobs/{job}/fire", fire, methods=["POST"]),
    Route("/api/jobs/{job}/stand", stand, methods=["GET"]),
    Route("/api/jobs/{job}/solid", solid, methods=["GET"]),
    Route("/api/jobs/{job}/customer.html", customer, methods=["GET"]),
]
