"""The live line of one job (WebSocket): what the page says, in what order it is done, who hears of it.

One thread solves for one job. While a hand moves, only its newest place is worked on: a place that waits is replaced
by the next, and a drop is always done. A change is acknowledged after the store has it on disk. When the hand rests
the full picture follows, on another thread, so that it never holds up the next move.
"""

from __future__ import annotations

import asyncio
import contextlib
import logging
from collections import deque
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING, Any, ParamSpec, TypeVar

from starlette.websockets import WebSocket, WebSocketDisconnect, WebSocketState

from pitwright.bench.guard import JSON_LIMIT, Visitor, visitor_of
from pitwright.bench.merge import Conflict
from pitwright.bench.replies import json_bytes, our_fault, read_json, told
from pitwright.bench.seat import Seat
from pitwright.errors import JobError, PitwrightError

if TYPE_CHECKING:
    from pitwright.bench.hub import Hub

P = ParamSpec("P")
T = TypeVar("T")
REST = 0.15
"""How long a hand holds still before the full picture is made [s]."""
MOST_WAITING = 100
MOST_SEATS = 24
GONE, AWAY, FULL = 4404, 4401, 4429
log = logging.getLogger("pitwright.bench")


class Room:
    """Everybody who has one job open, and the thread that solves for them."""

    def __init__(self, job: str):
        self.job = job
        self.lines: set[Line] = set()
        self._thread = ThreadPoolExecutor(1, thread_name_prefix=f"job-{job[:6]}")

    async def solve(self, call: Callable[P, T], *args: P.args, **more: P.kwargs) -> T:
        """Work on the job's own thread. Raises what it raises."""
        return await asyncio.get_running_loop().run_in_executor(self._thread, lambda: call(*args, **more))

    def announce(self, by: str, but: object) -> None:
        """Let every open page but one show the job as it stands now."""
        for line in self.lines:
            if line is not but:
                line.push({"do": "news", "by": by})

    def close(self) -> None:
        """No more solving."""
        self._thread.shutdown(wait=False, cancel_futures=True)


class Line:
    """One open page: what waits to be done for it, and the one at it."""

    def __init__(self, hub: Hub, room: Room, socket: WebSocket, visitor: Visitor):
        self._hub = hub
        self._room = room
        self._socket = socket
        self._visitor = visitor
        self._waiting: deque[dict[str, Any]] = deque()
        self._wake = asyncio.Event()
        self._full: asyncio.Task[None] | None = None
        self._seat = Seat(hub, room, visitor.name, self)

    @property
    def session(self) -> str:
        """The device's session; empty at the bench itself."""
        return self._visitor.session

    async def run(self) -> None:
        """Listen and work until either side is gone."""
        worker = asyncio.create_task(self._work())
        try:
            while (text := await self._next()) is not None:
                if not self._still_welcome():
                    await self.close(AWAY, "this device was sent away")
                    break
                self._hear(text)
                if worker.done():
                    break
        except (WebSocketDisconnect, RuntimeError):
            pass
        finally:
            worker.cancel()
            self._drop_full()
            with contextlib.suppress(asyncio.CancelledError):
                await worker

    async def close(self, code: int, why: str) -> None:
        """Hang up."""
        if self._socket.application_state is not WebSocketState.DISCONNECTED:
            with contextlib.suppress(RuntimeError, WebSocketDisconnect):
                await self._socket.close(code, why)

    def push(self, message: dict[str, Any]) -> None:
        """Put a message in line. A place of the hand gives way to the next; a drop or a let-go ends the moving."""
        if message["do"] in ("drag", "drop", "cancel") and self._waiting and self._waiting[-1]["do"] == "drag":
            self._waiting.pop()
        if message["do"] == "news" and any(m["do"] == "news" for m in self._waiting):
            return
        self._waiting.append(message)
        self._wake.set()

    async def say(self, data: dict[str, Any]) -> None:
        """Send one message."""
        await self._socket.send_text(json_bytes(data).decode())

    async def say_made(self, text: str) -> None:
        """Send one message that is text already."""
        await self._socket.send_text(text)

    async def _next(self) -> str | None:
        """What the page says next; nothing of use where it is no text; None when it hung up."""
        message = await self._socket.receive()
        if message["type"] == "websocket.disconnect":
            return None
        text = message.get("text")
        return text if isinstance(text, str) else ""

    def _still_welcome(self) -> bool:
        share = self._hub.share
        return share is None or self._visitor.host or share.holds(self._visitor.session)

    def _hear(self, text: str) -> None:
        """Take in one message; what is no message of ours is answered as such, under its own ids where it has them."""
        message: dict[str, Any] = {}
        try:
            if len(text) > JSON_LIMIT:
                raise JobError("too much at once", field="request")
            message = read_json(text)
            if message.get("do") not in Seat.KNOWN:
                raise JobError("no such request", field="do", value=str(message.get("do"))[:40])
            if len(self._waiting) >= MOST_WAITING:
                raise JobError("too many requests wait", field="request", remedy="Wait a moment.")
        except PitwrightError as problem:
            ids: dict[str, Any] = {k: message[k] for k in ("rid", "seq") if k in message}
            self._waiting.append({"do": "bad", "error": told(problem), **ids})
            self._wake.set()
            return
        self.push(message)

    async def _work(self) -> None:
        """Do what waits, one after the other; when the hand rests, the full picture."""
        try:
            while True:
                while not self._waiting:
                    self._wake.clear()
                    if self._seat.owes_full and self._full is None:
                        try:
                            await asyncio.wait_for(self._wake.wait(), REST if self._seat.in_hand else 0.0)
                        except TimeoutError:
                            self._full = asyncio.create_task(self._make_full())
                    else:
                        await self._wake.wait()
                message = self._waiting.popleft()
                if message["do"] in Seat.CHANGES_SIGHT:
                    self._drop_full()
                await self._do(message)
        except (WebSocketDisconnect, RuntimeError):
            await self.close(1001, "gone")

    async def _do(self, message: dict[str, Any]) -> None:
        """One message; whatever goes wrong is told, and the line stays open."""
        back = {k: message[k] for k in ("rid", "seq") if isinstance(message.get(k), str | int)}
        try:
            await self._seat.do(message)
            return
        except Conflict as problem:
            lines = {"paths": problem.paths, "theirs": problem.theirs, "mine": problem.mine}
            await self.say({"conflict": lines, "error": told(problem), **back})
        except PitwrightError as problem:
            await self.say({"refused": told(problem), **back})
        except (WebSocketDisconnect, asyncio.CancelledError):
            raise
        except Exception as problem:
            if isinstance(problem, RuntimeError) and self._socket.client_state is WebSocketState.DISCONNECTED:
                raise
            log.error("failed: %s in job %s", message["do"], self._room.job, exc_info=problem)
            self._seat.start_afresh()
            await self.say({"refused": told(our_fault()), **back})
        if message["do"] in Seat.CHANGES:
            self.push({"do": "cancel"})  # the page shows what it tried: show it how the job stands

    async def _make_full(self) -> None:
        """The full picture of what is shown, unless something else is shown by then."""
        try:
            await self._seat.show_full()
        except (WebSocketDisconnect, asyncio.CancelledError):
            raise
        except Exception as problem:
            if self._socket.client_state is WebSocketState.DISCONNECTED:
                return
            self._seat.give_up_full()
            log.error("failed: the full picture of job %s", self._room.job, exc_info=problem)
            await self.say({"refused": told(our_fault())})
        finally:
            self._full = None
            self._wake.set()

    def _drop_full(self) -> None:
        """What is being made in full is not wanted any more."""
        if self._full is not None:
            self._full.cancel()
            self._full = None


async def live(socket: WebSocket) -> None:
    """One page of one job on the line (the guard has let it through)."""
    hub: Hub = socket.app.state.hub
    job = str(socket.path_params["job"])
    await socket.accept()
    try:
        await hub.keep(hub.store.job, job)
    except PitwrightError as problem:
        await socket.send_text(json_bytes({"refused": told(problem)}).decode())
        await socket.close(GONE, "there is no such job")
        return
    room = hub.rooms.get(job) or hub.rooms.setdefault(job, Room(job))
    if len(room.lines) >= MOST_SEATS:
        await socket.close(FULL, "too many pages have this job open")
        return
    line = Line(hub, room, socket, visitor_of(socket.scope))
    room.lines.add(line)
    try:
        await line.run()
    finally:
        room.lines.discard(line)
        if not room.lines and hub.rooms.get(job) is room:
            del hub.rooms[job]
            room.close()
