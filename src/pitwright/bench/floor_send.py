"""What a phone sends from the shop floor, taken in order: ticks, states of pieces, what was measured.

Every item carries its own request id, made when it was typed, and what the phone had *seen* in that place: an item is
taken where the place still holds something seen, so an old one that arrives late never silently overwrites a newer
one. An item that comes twice is done once. A measurement that leaves no pit is refused with the reason, never stored.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from pitwright.bench.documents import Document, Edit, apply_edits, value_at
from pitwright.bench.figures import in_words
from pitwright.bench.floor import STATES, check_key
from pitwright.bench.floor_measures import edits_for, feet_of, typed_at
from pitwright.bench.merge import Conflict
from pitwright.bench.replies import our_fault
from pitwright.bench.store import Held, Store
from pitwright.errors import JobError, PitwrightError
from pitwright.layout.asbuilt import moved_figures
from pitwright.layout.model import Pit

MOST_ITEMS: Final = 50
_TRIES: Final = 5
log = logging.getLogger("pitwright.bench")

Solve = Callable[[Mapping[str, Any], Mapping[str, bytes]], Pit]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What became of one item.

    taken  it is in the store; error: why not; now: what stands there instead, where somebody else set it meanwhile
    """

    rid: str
    taken: bool
    error: dict[str, str] | None = None
    now: list[str] | None = None

    def as_json(self) -> dict[str, Any]:
        """The answer as the phone reads it."""
        return {"rid": self.rid, "taken": self.taken, "error": self.error, "now": self.now}


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """What a whole sending did: answers in order, figures that read otherwise now, verdicts that are new."""

    answers: tuple[Answer, ...]
    moved: tuple[str, ...]
    verdicts: tuple[dict[str, str], ...]
    changed: bool


class _Stands(Exception):
    """Somebody else set the place meanwhile."""

    def __init__(self, now: Sequence[str]):
        super().__init__()
        self.now = list(now)


class Clerk:
    """Takes the items of one sending into one job.

    solve  makes the pit of a document and the files beside it; raises PitwrightError where there is none
    """

    def __init__(self, store: Store, job: str, who: str, solve: Solve):
        self._store, self._job, self._who, self._solve = store, job, who, solve
        self._known: tuple[int, Pit | PitwrightError] | None = None

    def take(self, items: Any) -> Sent:
        """Take items in order; one that is refused does not hold up the next.

        Raises JobError where it is no list of items, UnknownJob.
        """
        if not isinstance(items, list) or len(items) > MOST_ITEMS:
            raise JobError("this is no list of items", field="items", allowed=f"up to {MOST_ITEMS}")
        held = self._store.get(self._job)
        before = self._pit(held)
        answers = tuple(self._answer(item) for item in items)
        after_held = self._store.get(self._job)
        after = self._pit(after_held)
        moved: tuple[str, ...] = ()
        verdicts: tuple[dict[str, str], ...] = ()
        if isinstance(after, Pit):
            known = before.verdicts if isinstance(before, Pit) else ()
            verdicts = tuple(
                {"mark": v.mark, "verdict": v.verdict, "text": v.text} for v in after.verdicts if v not in known
            )
            if isinstance(before, Pit):
                moved = tuple(map(_said, moved_figures(before.reasons, after.reasons, after.tape)))
        changed = after_held.head != held.head or any(a.taken for a in answers)
        return Sent(answers=answers, moved=moved, verdicts=verdicts, changed=changed)

    def _answer(self, item: Any) -> Answer:
        rid = item.get("rid") if isinstance(item, Mapping) else None
        rid = rid if isinstance(rid, str) else ""
        try:
            if rid and self._store.answered(rid):
                return Answer(rid=rid, taken=True)
            kind = item.get("kind") if isinstance(item, Mapping) else None
            match kind:
                case "tick":
                    self._tick(item, rid)
                case "state":
                    self._state(item, rid)
                case "measure":
                    self._measure(item, rid)
                case _:
                    raise JobError("nothing of that kind is taken", field="kind", allowed="tick, state, measure")
        except _Stands as found:
            told = JobError(
                "somebody else set this meanwhile",
                value=", ".join(found.now),
                remedy="Keep theirs, or send yours again.",
            )
            return Answer(rid=rid, taken=False, error=told.as_dict(), now=found.now)
        except PitwrightError as problem:
            return Answer(rid=rid, taken=False, error=problem.as_dict())
        except Exception as problem:  # one bad item must not keep a phone from sending the others
            log.error("failed: an item from the shop floor of job %s", self._job, exc_info=problem)
            return Answer(rid=rid, taken=False, error=our_fault().as_dict())
        return Answer(rid=rid, taken=True)

    def _tick(self, item: Mapping[str, Any], rid: str) -> None:
        step, done = item.get("step"), item.get("done")
        if not isinstance(step, str) or not isinstance(done, bool):
            raise JobError("this is no tick", field="step", allowed="a step, and done or not")
        pit = self._pit(self._store.get(self._job))
        if isinstance(pit, Pit):
            _may_tick(pit, step, done)
        self._store.tick(self._job, step, done, rid, self._who)

    def _state(self, item: Mapping[str, Any], rid: str) -> None:
        mark, state, seen = item.get("mark"), item.get("state"), item.get("seen")
        if not isinstance(mark, str) or state not in STATES or not isinstance(seen, list):
            raise JobError("this is no state of a piece", field="state", allowed=", ".join(STATES))

        def make(held: Held) -> list[Edit]:
            stands = _stands(self._pit(held), held, mark)
            if stands != state and stands not in seen:
                raise _Stands([stands])
            bare: list[Edit] = [{"path": ["pieces", mark], "value": None}]
            if state == "open":  # a piece that goes with its twin is open only where that is said
                after = apply_edits(held.document, bare)
                if _stands(_solved(self._solve, after, held.beside), held, mark) == "open":
                    return bare
            return [{"path": ["pieces", mark], "value": state}]

        self._change(rid, f"{mark} {state}", make)

    def _measure(self, item: Mapping[str, Any], rid: str) -> None:
        field, value, seen = item.get("field"), item.get("value"), item.get("seen")
        if not isinstance(field, str) or not isinstance(value, list) or not isinstance(seen, list):
            raise JobError("this is no measurement", field="field", allowed="a field, its figures and what was seen")
        named = ", ".join(str(v).strip() for v in value)

        def make(held: Held) -> list[Edit]:
            pit = self._pit(held) if field == "feet" else None
            names = feet_of(pit) if isinstance(pit, Pit) else ()
            edits = edits_for(held.document, field, value, names)
            stands = list(typed_at(held.document, field) or [""] * len(value))
            if stands != [str(v).strip() for v in value] and stands not in seen:
                raise _Stands(stands)
            return edits

        words = field.replace(".", " ").replace("_", " ")
        self._change(rid, f"measured {words}: {named.strip(', ') or 'taken out'}", make)

    def _change(self, rid: str, label: str, make: Callable[[Held], list[Edit]]) -> None:
        """Store one change that still leaves a pit; tried again where the job moved on between looking and storing."""
        for last in range(_TRIES, 0, -1):
            held = self._store.get(self._job)
            edits = make(held)
            if isinstance(self._pit(held), Pit):
                self._solve(apply_edits(held.document, edits), held.beside)
            try:
                self._store.edit(self._job, edits, base=held.head, rid=rid, label=label, who=self._who)
                return
            except Conflict:
                if last == 1:
                    raise

    def _pit(self, held: Held) -> Pit | PitwrightError:
        if self._known is None or self._known[0] != held.head:
            self._known = (held.head, _solved(self._solve, held.document, held.beside))
        return self._known[1]


def _stands(pit: Pit | PitwrightError, held: Held, mark: str) -> str:
    """The state of a piece; as the job file says where there is no pit."""
    if isinstance(pit, Pit):
        return next((p.state for p in pit.parts if p.mark == mark), "open")
    return str(value_at(held.document, ("pieces", mark)) or "open")


def _solved(solve: Solve, document: Document, beside: Mapping[str, bytes]) -> Pit | PitwrightError:
    try:
        return solve(document, beside)
    except PitwrightError as problem:
        return problem


def _may_tick(pit: Pit, step: str, done: bool) -> None:
    """Refuse a tick of a step the job does not have, and of one that cuts a vessel nobody has cleared. Raises JobError."""
    from pitwright.shop.order import build_order

    for one in build_order(pit).steps:
        if step == one.key or step in {check_key(one.key, hold.what) for hold in one.holds}:
            if done and one.cuts and not pit.cleared:
                raise JobError(
                    "the make-safe record is not complete: nothing is cut",
                    field="make_safe",
                    remedy="Fill and sign the record at the bench first.",
                )
            return
    raise JobError("the job has no such step any more", field="step", value=step[:80], remedy="Look at the list again.")


def _said(line: str) -> str:
    """`legs.A.lean: was 4.1°, now 4.3°` with the figure's name in words."""
    name, _, rest = line.partition(": ")
    return f"{in_words(name)}: {rest}"
