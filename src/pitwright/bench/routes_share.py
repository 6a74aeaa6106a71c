"""Requests about sharing: a device that has a code, and the bench's own page that shows it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from pitwright.bench.guard import visitor_of
from pitwright.bench.replies import NotHere, body_of, error_of, json_answer, text_of
from pitwright.bench.routes_jobs import hub_of
from pitwright.bench.share import SESSION_LIFE, CodeError, Share, TooManyTries
from pitwright.errors import PitwrightError


class NotYours(PitwrightError):
    """Something only the bench itself may do."""


def _share_at_host(request: Request) -> Share | None:
    """Sharing as the bench sees it; None where it is off.

    Raises NotYours for a device.
    """
    if not visitor_of(request.scope).host:
        raise NotYours("only the bench itself shows codes", field="share")
    return hub_of(request).share


def share_record(share: Share | None) -> dict[str, Any]:
    """What the bench shows: where a device finds it, the code, who was let in."""
    if share is None:
        return {"on": False}
    code, left = share.code()
    now = datetime.now(UTC)
    return {
        "on": True,
        "address": share.addresses[0] if share.addresses else None,
        "addresses": list(share.addresses),
        "code": code,
        "seconds": round(left),
        "until": (now + timedelta(seconds=left)).isoformat(timespec="seconds"),
        "devices": [
            {"key": d.key, "name": d.name, "minutes": round((share.clock() - d.seen) / 60.0)} for d in share.devices()
        ],
    }


async def shown(request: Request) -> Response:
    """The code and who was let in."""
    return json_answer(share_record(_share_at_host(request)))


async def fresh(request: Request) -> Response:
    """A new code; the one before is void."""
    await body_of(request)
    share = _share_at_host(request)
    if share is not None:
        share.new_code()
    return json_answer(share_record(share))


async def revoke(request: Request) -> Response:
    """Send a device away, or all; its open pages are cut off."""
    body, share = await body_of(request), _share_at_host(request)
    if share is None:
        raise NotHere("the bench is not shared", field="share")
    key = text_of(body, "key", most=40, otherwise="")
    share.revoke(key)
    await hub_of(request).send_away(key)
    return json_answer(share_record(share))


async def enter(request: Request) -> Response:
    """A device types the code and gets its session."""
    hub, body = hub_of(request), await body_of(request)
    if hub.share is None:
        raise NotHere("the bench is not shared", field="share")
    address = request.client.host if request.client else ""
    try:
        token = hub.share.enter(text_of(body, "code", most=40), text_of(body, "name", most=80, otherwise=""), address)
    except TooManyTries as problem:
        return json_answer(error_of(problem), 429)
    except CodeError as problem:
        return json_answer(error_of(problem), 403)
    answer = json_answer({"in": True})
    answer.set_cookie(
        hub.share.cookie, token, max_age=int(SESSION_LIFE), path="/", httponly=True, samesite="strict", secure=False
    )
    return answer


routes = [
    Route("/api/share", shown, methods=["GET"]),
    Route("/api/share", fresh, methods=["POST"]),
    Route("/api/share/revoke", revoke, methods=["POST"]),
    Route("/api/enter", enter, methods=["POST"]),
]
