"""The shop floor's page of one job: the steps of the build order, one at a time, as data for a phone or a tablet.

Everything is read from the solved pit; texts are written by its tape. Nothing that places a cut on the vessel is given
out before its make-safe record is complete.
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any, Final

from pitwright.bench.floor_measures import boxes
from pitwright.bench.floor_pulls import pulls_of
from pitwright.bench.floor_saw import saw_pieces
from pitwright.errors import PitwrightError
from pitwright.layout.model import Pit
from pitwright.parts import Bar
from pitwright.sheets.blocks import BigFigure
from pitwright.sheets.views.common import hold_line
from pitwright.sheets.views.wall import HELD, wall_figures
from pitwright.shop.order import Hold, Order, Step, build_order

if TYPE_CHECKING:
    from pitwright.bench.store import Held, Tick

STATES: Final = ("open", "cut", "tacked", "welded")
CODES: Final = "Local codes and licensed practice come first."
_LIFTED: Final = ("set", "hang")
_INSIDE: Final = ("inside", "throat", "stack end")


def floor_record(job: str, held: Held, ticks: Mapping[str, Tick], found: Pit | PitwrightError) -> dict[str, Any]:
    """All a phone needs of a job: steps, verdicts, what moved; `version` changes whenever anything of it does.

    found  the solved pit, or why there is none: then there are no steps, and the phone keeps those it has
    """
    about = held.document.get("job")
    about = about if isinstance(about, dict) else {}
    record: dict[str, Any] = {
        "job": job,
        "head": held.head,
        "name": str(about.get("name") or ""),
        "customer": str(about.get("customer") or ""),
        "number": str(about.get("number") or ""),
        "units": "metric" if about.get("units") == "metric" else "inch",
        "states": list(STATES),
        "codes": CODES,
        "problem": None,
        "steps": [],
    }
    if isinstance(found, PitwrightError):
        record["problem"] = found.as_dict()
    else:
        record |= _solved(found, held.document, ticks)
    text = json.dumps(record, sort_keys=True, ensure_ascii=False, default=str)
    return {"version": hashlib.sha256(text.encode()).hexdigest()[:20], **record}


def _solved(pit: Pit, document: Mapping[str, Any], ticks: Mapping[str, Tick]) -> dict[str, Any]:
    from pitwright.layout.pit import as_drawn

    order, drawn = build_order(pit), pit if pit.revision == pit.job.job.revision else as_drawn(pit.job)
    return {
        "revision": pit.revision,
        "cleared": pit.cleared,
        "hold": hold_line(pit),
        "four": [{"label": f.label, "figure": f.figure, "note": f.note} for f in _four(pit)],
        "steps": [_step(pit, drawn, document, ticks, order, step) for step in order.steps],
        "verdicts": [{"mark": v.mark, "verdict": v.verdict, "text": v.text} for v in pit.verdicts],
        "moved": list(pit.moved),
        "stops": [{"text": f.text, "remedy": f.remedy} for f in pit.findings if f.severity == "stop"],
    }


def _four(pit: Pit) -> tuple[BigFigure, ...]:
    """The numbers on the wall; a vessel on end is built by one crew at one place and has none."""
    return () if pit.vessel.on_end else wall_figures(pit)


def _step(
    pit: Pit, drawn: Pit, document: Mapping[str, Any], ticks: Mapping[str, Tick], order: Order, step: Step
) -> dict[str, Any]:
    steps = {s.number: s for s in order.steps}
    held = step.cuts and not pit.cleared
    return {
        "key": step.key,
        "number": step.number,
        "title": step.title,
        "who": step.who,
        "done": step.done,
        "held": held,
        "do": ["Held back: no cut marks before the vessel is cleared."] if held else list(step.do),
        "tack": [w.name for w in step.tacked],
        "weld": [w.name for w in step.welds],
        "last_chance": [_said(s) for s in step.shuts],
        "after": [{"key": steps[n].key, "text": f"{n} {steps[n].title}"} for n in step.after],
        "pieces": [
            {"mark": p.mark, "name": p.name, "count": p.quantity, "stock": p.stock, "state": p.state}
            for p in step.parts
        ],
        "lift": _lift(pit, step),
        "pulls": [dataclasses.asdict(p) for p in pulls_of(pit, step.key)],
        "saw": [dataclasses.asdict(p) for p in saw_pieces(pit, step)],
        "checks": [_check(pit, ticks, step, hold) for hold in step.holds],
        "boxes": [dataclasses.asdict(b) for b in boxes(pit, drawn, document, step.key)],
        "cautions": list(cautions(pit, step)),
        "tick": _tick(ticks, step.key),
    }


def _check(pit: Pit, ticks: Mapping[str, Tick], step: Step, hold: Hold) -> dict[str, Any]:
    key = check_key(step.key, hold.what)
    want = HELD if hold.cut and not pit.cleared else hold.want
    return {"key": key, "what": hold.what, "want": want, "within": hold.give, "tick": _tick(ticks, key)}


def check_key(step: str, what: str) -> str:
    """Under which name a hold point of a step is ticked off."""
    return f"{step} / {what}"[:120].strip()


def _tick(ticks: Mapping[str, Tick], key: str) -> dict[str, Any]:
    tick = ticks.get(key)
    if tick is None or not tick.done:
        return {"done": False, "who": "", "at": ""}
    return {"done": True, "who": tick.who, "at": tick.at}


def _said(space: str) -> str:
    return {"the vessel can be rolled": "round the vessel (it cannot be rolled any more)"}.get(space, f"the {space}")


def _lift(pit: Pit, step: Step) -> str:
    if step.lift is None:
        return ""
    return f"{step.lift.what}, {pit.tape.mass(step.lift.mass)}: {step.lift.how}"


def cautions(pit: Pit, step: Step) -> Iterator[str]:
    """Where this step hurts people; the cautions sheet has the whole and its sources."""
    if step.cuts or step.key in ("safe", "open", "pads", "throat"):
        yield (
            "No heat, cutting or grinding on the vessel before its make-safe record is signed. Test the air again, "
            "ventilate, keep a fire watch."
        )
    if step.welds or step.tacked:
        yield "Weld: hood, gloves, leathers; head out of the fume; fire watch after the last spark."
        coat = {"galvanized": "galvanised", "lined": "lined"}.get(pit.job.vessel.coating)
        if coat:
            yield f"This vessel is {coat}: its fume is poisonous. Strip it back or leave it alone."
    if any(isinstance(p.shape, Bar) for p in step.parts):
        yield "Saw: piece clamped, guards on, hands clear until the blade stands."
    if step.key in _INSIDE:
        yield "Inside the vessel is a confined space: test the air, ventilate, a person outside, no one alone."
    if step.key in _LIFTED or (step.lift is not None and "hoist" in step.lift.how):
        yield "Lift: rated gear, slings within their load for the angle, nobody under it. Block and chock until it is welded."
    if step.key == "dress":
        yield "Grinder: guard on, face shield, nobody in the line of the sparks."
    if step.key in ("paint", "burn"):
        yield "Outdoors only: paint smoke and wood smoke carry poison; carbon monoxide has no smell."
