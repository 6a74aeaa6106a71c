"""Who may speak to the page, and how: every request passes here before anything else sees it.

The page is for this machine's own browser. A request must name one of our own addresses (a name that was pointed at
this machine by somebody else is turned away), a change must come from our own page, bodies are limited, and every
answer carries headers that keep foreign script out. Where the page is shared on the shop's network, a device needs a
session as well (`share`).
"""

from __future__ import annotations

import logging
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from pitwright.bench.replies import error_of, json_bytes, our_fault
from pitwright.bench.share import Share
from pitwright.errors import PitwrightError

JSON_LIMIT = 256 * 1024
IMPORT_LIMIT = 5 * 1024 * 1024
VISITOR = "pitwright.visitor"
OPEN_PATHS = frozenset(
    {"/api/enter", "/static/code.js", "/static/code.css", "/static/css/base.css", "/static/icon.svg"}
)
log = logging.getLogger("pitwright.bench")
_HOST = re.compile(r"[A-Za-z0-9.\-]+(:\d{1,5})?|\[[0-9A-Fa-f:]+\](:\d{1,5})?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Visitor:
    """Who asks: the machine the page runs on, or a device of the shop.

    host     it sits at this machine
    name     how history names it
    session  key of the device's session (empty at the host)
    """

    host: bool
    name: str
    session: str = ""


def visitor_of(scope: Scope) -> Visitor:
    """Who asks in a request the guard let through."""
    found = scope.get(VISITOR)
    return found if isinstance(found, Visitor) else Visitor(host=False, name="unknown")


def content_policy(host: str) -> str:
    """What a page of ours may load and run: its own files, nothing written into a page, nothing foreign."""
    return (
        "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
        f"connect-src 'self' ws://{host}; object-src 'none'; base-uri 'none'; form-action 'self'; "
        "frame-ancestors 'none'"
    )


class Guard:
    """The outermost layer of the page (ASGI).

    hosts  addresses by which the page may be called, such as "127.0.0.1:8321"
    share  codes and sessions where the page is shared; None: this machine only
    """

    def __init__(self, app: ASGIApp, hosts: Iterable[str], share: Share | None = None):
        self._app = app
        self._hosts = frozenset(h.lower() for h in hosts)
        self._share = share

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let one request through, or turn it away."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        host = _only(headers, "host").lower()
        if not _HOST.fullmatch(host) or host not in self._hosts:
            await _turn_away(scope, receive, send, 403, "this page answers only to its own address")
            return
        refusal = _foreign(scope, headers, host)
        if refusal:
            await _turn_away(scope, receive, send, 403, refusal)
            return
        visitor = self._visitor(scope, headers)
        if visitor is None and scope["path"] not in OPEN_PATHS:
            await self._ask_for_code(scope, receive, send, host)
            return
        scope[VISITOR] = visitor or Visitor(host=False, name="a device without a code")
        if scope["type"] == "websocket":
            await self._app(scope, receive, send)
            return
        await self._limited(scope, receive, _with_headers(send, host), headers)

    def _visitor(self, scope: Scope, headers: Mapping[str, str]) -> Visitor | None:
        """Who asks; None for a device that has no session."""
        if self._share is None or self._share.at_host(scope.get("client")):
            return Visitor(host=True, name="the bench")
        device = self._share.device_of(headers.get("cookie", ""))
        return None if device is None else Visitor(host=False, name=device.name, session=device.key)

    async def _ask_for_code(self, scope: Scope, receive: Receive, send: Send, host: str) -> None:
        if scope["type"] == "websocket" or scope["method"] != "GET" or scope["path"].startswith(("/api/", "/static/")):
            await _turn_away(scope, receive, send, 401, "this device needs the code shown at the bench")
            return
        from pitwright.bench.pages import page_bytes

        await _answer(_with_headers(send, host), 401, page_bytes("code.html"), "text/html; charset=utf-8")

    async def _limited(self, scope: Scope, receive: Receive, send: Send, headers: Headers) -> None:
        limit = IMPORT_LIMIT if scope["path"] == "/api/jobs/import" else JSON_LIMIT
        stated = headers.get("content-length", "0")
        if not stated.isdigit() or int(stated) > limit:
            await _turn_away(scope, receive, send, 413, "too much at once", allowed=f"{limit // 1024} kB")
            return
        got, begun = 0, False

        async def counted() -> Message:
            nonlocal got
            message = await receive()
            got += len(message.get("body", b"")) if message["type"] == "http.request" else 0
            if got > limit:
                raise _TooMuch
            return message

        async def watched(message: Message) -> None:
            nonlocal begun
            begun = begun or message["type"] == "http.response.start"
            await send(message)

        try:
            await self._app(scope, counted, watched)
        except _TooMuch:
            if not begun:
                await _turn_away(scope, receive, send, 413, "too much at once", allowed=f"{limit // 1024} kB")
        except Exception as problem:
            log.error("failed: %s %s", scope["method"], scope["path"], exc_info=problem)
            if begun:
                raise
            await _answer(send, 500, json_bytes(error_of(our_fault())), "application/json")


class _TooMuch(Exception):
    """A body went over its limit while it was read."""


def _only(headers: Headers, name: str) -> str:
    """The one header of a name; empty where there is none or more than one."""
    found = headers.getlist(name)
    return found[0] if len(found) == 1 else ""


def _foreign(scope: Scope, headers: Headers, host: str) -> str:
    """Why a request is not from our own page; empty where it is."""
    changing = scope["type"] == "websocket" or scope["method"] not in ("GET", "HEAD")
    if scope["type"] == "http" and scope["method"] not in ("GET", "HEAD", "POST"):
        return "the page asks with GET and POST only"
    if (changing or "origin" in headers) and _only(headers, "origin").lower() != f"http://{host}":
        return "this was not asked by our own page"
    site = headers.get("sec-fetch-site", "none")
    if site in ("same-origin", "none"):
        return ""
    to_a_page = headers.get("sec-fetch-mode") == "navigate" and headers.get("sec-fetch-dest") == "document"
    plain = not changing and not scope["path"].startswith("/api/")
    return "" if to_a_page and plain else "this was not asked by our own page"


def _with_headers(send: Send, host: str) -> Send:
    """The same way to answer, with the headers every answer carries."""

    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            headers.setdefault("content-security-policy", content_policy(host))
            headers.setdefault("cache-control", "no-store")
            headers["x-content-type-options"] = "nosniff"
            headers["referrer-policy"] = "no-referrer"
            headers["x-frame-options"] = "DENY"
            headers["cross-origin-resource-policy"] = "same-origin"
            if host.startswith(("127.0.0.1", "localhost")):  # elsewhere, without encryption, a browser only complains
                headers["cross-origin-opener-policy"] = "same-origin"
            headers["permissions-policy"] = "camera=(), microphone=(), geolocation=(), payment=(), usb=()"
        await send(message)

    return sent


async def _turn_away(scope: Scope, receive: Receive, send: Send, status: int, why: str, *, allowed: str = "") -> None:
    """Refuse: a handshake is closed, a request gets an error in the house's form."""
    if scope["type"] == "websocket":
        await receive()
        await send({"type": "websocket.close", "code": 1008, "reason": why})
        return
    body = json_bytes(error_of(PitwrightError(why, allowed=allowed)))
    await _answer(_with_headers(send, "127.0.0.1"), status, body, "application/json")


async def _answer(send: Send, status: int, body: bytes, kind: str) -> None:
    headers = [(b"content-type", kind.encode()), (b"content-length", str(len(body)).encode())]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
