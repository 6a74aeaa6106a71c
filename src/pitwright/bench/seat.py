"""What one open page of a job is shown, and what each of its messages does.

The pit a hand moves is always worked from the stored one that was there when it was taken, so the last place alone
decides: a drop stores exactly what the last drag showed there.
"""

from __future__ import annotations

import asyncio
import contextlib
import logging
import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, Protocol, cast

from starlette.websockets import WebSocketDisconnect

from pitwright.bench.documents import Document, Edit, apply_edits
from pitwright.bench.drawings import VIEWS, View
from pitwright.bench.replies import json_bytes, number_of, our_fault, text_of, told, whole_of
from pitwright.errors import JobError, LayoutError, PitwrightError
from pitwright.overtaken import as_long_as

if TYPE_CHECKING:
    from pitwright.bench.handles import Dragged
    from pitwright.bench.hub import Hub
    from pitwright.bench.live import Room
    from pitwright.bench.state import Desk
    from pitwright.bench.store import Done, Held
    from pitwright.layout.model import Pit

LINE_GONE = (WebSocketDisconnect, asyncio.CancelledError)
log = logging.getLogger("pitwright.bench")


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A hand's place on a view: what it holds and where it is [m on the view]; free: it snaps to the tape alone."""

    handle: str
    view: View
    u: float
    v: float
    free: bool

    @classmethod
    def of(cls, message: Mapping[str, Any]) -> Move:
        """The place a message tells. Raises JobError."""
        view = message.get("view")
        if view not in VIEWS:
            raise JobError("no such view", field="view", value=str(view)[:40], allowed=", ".join(VIEWS))
        return cls(
            handle=text_of(message, "handle"),
            view=cast(View, view),
            u=number_of(message, "u"),
            v=number_of(message, "v"),
            free=message.get("free") is True,
        )

    def on(self, pit: Pit) -> Dragged:
        """What it changes of the pit it was taken on. Raises JobError."""
        from pitwright.bench.handles import drag

        return drag(pit, self.handle, self.view, self.u, self.v, free=self.free)


class Hearer(Protocol):
    """Who hears what a seat has to say."""

    async def say(self, data: dict[str, Any]) -> None:
        """Send one message."""

    async def say_made(self, text: str) -> None:
        """Send one message that is text already."""


class Seat:
    """One page at one job.

    in_hand  something is being moved
    """

    CHANGES: ClassVar[frozenset[str]] = frozenset({"drop", "edit", "typed", "undo", "redo", "units"})
    CHANGES_SIGHT: ClassVar[frozenset[str]] = frozenset(CHANGES | {"look", "drag", "cancel", "news"})
    KNOWN: ClassVar[frozenset[str]] = (CHANGES_SIGHT - {"news"}) | {"try", "why", "inputs", "pin", "unpin", "compare"}

    def __init__(self, hub: Hub, room: Room, who: str, line: Hearer):
        self._hub = hub
        self._room = room
        self._who = who
        self._line = line
        self._views: list[str] = ["side"]
        self._hand: str | None = None
        self._held: Held | None = None
        self._desk: Desk | None = None
        self._beside: dict[str, bytes] = {}
        self._shown: Document | None = None
        self._seq: int | None = None
        self._wants_fields = False
        self._pinned: tuple[int, str, Document] | None = None
        self._quick = False
        self._owes_fields = False
        self.in_hand = False

    @property
    def owes_full(self) -> bool:
        """Only a quick picture was sent, or the fields do not follow yet."""
        return self._quick or (self._owes_fields and not self.in_hand)

    async def do(self, message: dict[str, Any]) -> None:
        """One message of the page.

        Raises what goes wrong with it; nothing was stored then.
        """
        what: dict[str, Callable[[dict[str, Any]], Any]] = {
            "look": self._look,
            "drag": self._drag,
            "drop": self._drop,
            "cancel": self._cancel,
            "edit": self._edit,
            "typed": self._typed,
            "undo": self._step,
            "redo": self._step,
            "units": self._units,
            "try": self._try,
            "why": self._why,
            "inputs": self._inputs,
            "pin": self._pin,
            "unpin": self._unpin,
            "compare": self._compare,
            "news": self._news,
            "bad": self._bad,
        }
        await what[message["do"]](message)

    def start_afresh(self) -> None:
        """Forget what was worked out: something went wrong in it."""
        self._desk = None

    def give_up_full(self) -> None:
        """The full picture could not be made: not again before something else is shown."""
        self._quick = self._owes_fields = False

    # ------------------------------------------------------------ looking

    async def _look(self, message: dict[str, Any]) -> None:
        views = message.get("views", self._views)
        if not isinstance(views, list) or not all(v in VIEWS for v in views):
            raise JobError("no such view", field="views", value=str(views)[:80], allowed=", ".join(VIEWS))
        hand = message.get("hand", self._hand)
        if hand is not None and (not isinstance(hand, str) or len(hand) > 120):
            raise JobError("there is nothing of that name", field="hand", value=str(hand)[:80])
        self._views, self._hand = list(dict.fromkeys(views)), hand
        held = await self._hold()
        await self._show(held.document, message)

    async def _news(self, message: dict[str, Any]) -> None:
        """Somebody else changed the job."""
        held = await self._hold(fresh=True)
        self.in_hand = False
        await self._show(held.document, {}, changed={"head": held.head, "by": message["by"]})

    async def _why(self, message: dict[str, Any]) -> None:
        from pitwright.bench.figures import why_record

        pit = await self._pit()
        await self._line.say({"why": why_record(pit, text_of(message, "name"))} | _back(message))

    async def _inputs(self, message: dict[str, Any]) -> None:
        self._wants_fields = True
        held = await self._hold()
        await self._line.say({"inputs": await self._fields(held.document)} | _back(message))

    # ------------------------------------------------------------ moving

    async def _drag(self, message: dict[str, Any]) -> None:
        move, held = Move.of(message), await self._hold()
        self.in_hand = True
        self._seq = message["seq"] if isinstance(message.get("seq"), int) else None
        beside = _standing(held) | _back(message)

        def moved() -> tuple[Document, str, bool]:
            """All of a step at once on the job's thread: every change of threads costs time."""
            desk = self._at_desk(held)
            found = move.on(desk.pit(held.document))
            document = apply_edits(held.document, found.edits)
            if found.snapped:
                beside["snapped"] = found.snapped
            return document, *self._picture(held, document, beside, full=False)

        self._shown, text, full = await self._room.solve(moved)
        self._quick, self._owes_fields = not full, self._wants_fields
        await self._line.say_made(text)

    async def _drop(self, message: dict[str, Any]) -> None:
        rid, move = text_of(message, "rid", most=80), Move.of(message)
        again = await self._hub.keep(self._hub.store.answered, rid)
        self.in_hand = False
        edits: Sequence[Edit] = ()
        if not again:
            held = await self._hold()
            desk = self._at_desk(held)
            edits = (await self._room.solve(move.on, await self._pit())).edits
            await self._room.solve(desk.pit, apply_edits(held.document, edits))
        await self._change(edits, text_of(message, "label", otherwise=f"{move.handle} moved"), message)

    async def _cancel(self, message: dict[str, Any]) -> None:
        self.in_hand = False
        held = await self._hold(fresh=True)
        await self._show(held.document, message)

    # ------------------------------------------------------------ changing

    async def _edit(self, message: dict[str, Any]) -> None:
        edits = message.get("edits")
        if not isinstance(edits, list) or not edits:
            raise JobError("nothing is changed", field="edits", allowed="a list of changed lines")
        await self._change(edits, text_of(message, "label", otherwise="changed"), message)

    async def _typed(self, message: dict[str, Any]) -> None:
        from pitwright.bench.figures import in_words
        from pitwright.bench.handles import typed

        name, text = text_of(message, "name"), text_of(message, "text", otherwise="")
        label = text_of(message, "label", otherwise=f"{in_words(name)}: {text or 'by the rule'}")
        rid = text_of(message, "rid", most=80)
        again = await self._hub.keep(self._hub.store.answered, rid)
        shown = text_of(message, "shown", otherwise="")
        edits: Sequence[Edit] = () if again else await self._room.solve(typed, await self._pit(), name, text, shown)
        await self._change(edits, label, message)

    async def _units(self, message: dict[str, Any]) -> None:
        from pitwright.bench.inputs import in_units

        held, units = await self._hold(), text_of(message, "units", most=20)
        edits = await self._room.solve(in_units, held.document, held.beside, units)
        await self._change(edits, f"shown in {units}", message)

    async def _change(self, edits: Sequence[Edit], label: str, message: dict[str, Any]) -> None:
        """Store one change and show what it does; acknowledged when it is on the disk."""
        job, store = self._room.job, self._hub.store
        rid, base = text_of(message, "rid", most=80), whole_of(message, "base")
        if not await self._hub.keep(store.answered, rid):
            await self._refuse_unreadable(edits)
        done = await self._hub.keep(store.edit, job, edits, base=base, rid=rid, label=label, who=self._who)
        await self._stored(done, message)

    async def _step(self, message: dict[str, Any]) -> None:
        job, store = self._room.job, self._hub.store
        call = store.undo if message["do"] == "undo" else store.redo
        done = await self._hub.keep(call, job, text_of(message, "rid", most=80), whole_of(message, "base"))
        await self._stored(done, message)

    async def _stored(self, done: Done, message: dict[str, Any]) -> None:
        before = self._held
        held = await self._hold(fresh=True)
        self.in_hand = False
        try:
            await self._show(held.document, message, merged=done.merged)
        except LINE_GONE:
            raise
        except Exception as problem:  # it is stored, and that is said, whatever became of the picture
            log.error("failed: the picture of a stored change of job %s", self._room.job, exc_info=problem)
            self.start_afresh()
            await self._line.say({"picture": self._no_picture(), **_standing(held), **_back(message)})
        finally:
            if before is None or before.head != held.head:
                await self._hub.announce(self._room.job, by=self._who, but=self._line)

    async def _refuse_unreadable(self, edits: Sequence[Edit]) -> None:
        """Refuse a change whose own lines cannot be read or are out of their limits; the job stays as it is.

        Raises JobError.
        """
        held = await self._hold()
        after = apply_edits(held.document, edits)
        try:
            await self._room.solve(self._at_desk(held).pit, after)
        except JobError as problem:
            if any(about(problem.field, edit["path"]) for edit in edits):
                raise
        except LayoutError:
            return

    # ------------------------------------------------------------ trying and comparing

    async def _try(self, message: dict[str, Any]) -> None:
        edits = message.get("edits")
        if not isinstance(edits, list) or not edits:
            raise JobError("nothing is tried", field="edits", allowed="a list of changed lines")
        held = await self._hold()
        desk = self._at_desk(held)
        tried = await self._hub.work(desk.tried, held.document, apply_edits(held.document, edits))
        await self._line.say({"tried": tried} | _back(message))

    async def _pin(self, message: dict[str, Any]) -> None:
        held = await self._hold()
        head, label, document = held.head, held.undo_label or "as begun", held.document
        if message.get("head") is not None and message["head"] != head:
            head = whole_of(message, "head")
            document = await self._hub.keep(self._hub.store.document, self._room.job, head)
        label = text_of(message, "label", otherwise=label)
        await self._room.solve(self._at_desk(held).pit, document)
        self._pinned = (head, label, document)
        await self._line.say({"pinned": {"head": head, "label": label}} | _back(message))

    async def _unpin(self, message: dict[str, Any]) -> None:
        self._pinned = None
        await self._line.say({"pinned": None} | _back(message))

    async def _compare(self, message: dict[str, Any]) -> None:
        from pitwright.bench.compare import compared

        if self._pinned is None:
            raise JobError("nothing is pinned", field="compare", remedy="Pin the pit as it stands first.")
        head, label, document = self._pinned
        held = await self._hold()
        before = await self._room.solve(self._at_desk(held).pit, document)
        found = await self._hub.work(compared, before, await self._pit(), self._views)
        await self._line.say({"compare": {"pinned": {"head": head, "label": label}, **found}} | _back(message))

    async def _bad(self, message: dict[str, Any]) -> None:
        await self._line.say({"refused": message["error"], **_back(message)})

    # ------------------------------------------------------------ pictures

    async def _hold(self, *, fresh: bool = False) -> Held:
        """The job as it is stored."""
        if self._held is None or fresh:
            self._held = await self._hub.keep(self._hub.store.get, self._room.job)
        return self._held

    def _at_desk(self, held: Held) -> Desk:
        from pitwright.bench.state import Desk

        if self._desk is None or held.beside != self._beside:
            self._desk, self._beside = Desk(held.document, held.beside), held.beside
        return self._desk

    async def _pit(self) -> Pit:
        """The pit of the job as it is stored. Raises JobError or LayoutError where there is none."""
        held = await self._hold()
        return await self._room.solve(self._at_desk(held).pit, held.document)

    async def _show(self, document: Document, message: Mapping[str, Any], **more: Any) -> None:
        """Send the quick picture of a document; the full one follows when the hand rests."""
        held = await self._hold()
        beside = _standing(held) | {k: v for k, v in more.items() if v} | _back(message)
        text, full = await self._room.solve(self._picture, held, document, beside, full=False)
        self._shown, self._quick, self._owes_fields = document, not full, self._wants_fields
        await self._line.say_made(text)

    async def show_full(self) -> None:
        """Send the full picture of what is shown, and the fields where the page asked for them once."""
        held, document = await self._hold(), self._shown
        if document is None:
            return
        if self._quick:
            beside = _standing(held)
            if self.in_hand and self._seq is not None:
                beside["seq"] = self._seq
            text = await self._full_picture(held, document, beside)
            self._quick = False
            await self._line.say_made(text)
        if self._owes_fields and not self.in_hand:
            self._owes_fields = False
            await self._line.say({"inputs": await self._fields(held.document)})

    async def _full_picture(self, held: Held, document: Document, beside: Mapping[str, Any]) -> str:
        """The full picture as text; its thread stops at once where this is cancelled, so that the next moves have room."""
        gone = threading.Event()

        def made() -> str:
            with as_long_as(lambda: not gone.is_set()):
                return self._picture(held, document, beside, full=True)[0]

        try:
            return await self._hub.work_slowly(made)
        except asyncio.CancelledError:
            gone.set()
            raise

    def _picture(self, held: Held, document: Document, beside: Mapping[str, Any], *, full: bool) -> tuple[str, bool]:
        """(the message with the picture of a document, whether it is the full one)."""
        picture = self._at_desk(held).show(
            document, views=list(self._views), full=full, hand=self._hand, stored=held.document
        )
        return json_bytes({"picture": picture.as_json(), **beside}).decode(), picture.full

    def _no_picture(self) -> dict[str, Any]:
        from pitwright.bench.state import Picture

        self._shown, self._quick = None, False
        return Picture(state="cannot", problem=told(our_fault()), full=True).as_json()

    async def _fields(self, document: Document) -> list[dict[str, Any]]:
        from pitwright.bench.inputs import groups

        pit: Pit | None = None
        with contextlib.suppress(PitwrightError):
            pit = await self._pit()
        return await self._hub.work(groups, document, pit)


def _standing(held: Held) -> dict[str, Any]:
    """Where the job stands: the change, and what undo and redo would do."""
    return {"head": held.head, "undo": held.undo_label, "redo": held.redo_label}


def _back(message: Mapping[str, Any]) -> dict[str, Any]:
    """What an answer carries back of the message it answers."""
    return {k: message[k] for k in ("rid", "seq") if isinstance(message.get(k), str | int)}


def about(field: str, path: Sequence[str | int]) -> bool:
    """Whether an error's field names the line of a path, a heading over it or a line under it."""
    from pitwright.bench.state import path_of

    ours, theirs = (".".join(map(str, steps)).split(".") for steps in (path, path_of(field) or ()))
    short = min(len(ours), len(theirs))
    return theirs != [""] and ours[:short] == theirs[:short]
