"""The strip: the few figures that stay in view, and how each moved with the last change."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from pitwright.bench.dims import leg_in_hand
from pitwright.findings import Finding
from pitwright.fire.of_pit import outcome_of
from pitwright.fire.result import NoFire, Outcome
from pitwright.layout.model import Pit

UNSURE: Final = "give or take 40 % until one burn"
_RANK: Final = {"stop": "stop", "warn": "watch", "unchecked": "not checked", "note": "note"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One figure of the strip.

    value  SI, None where it is text alone; write: how the tape writes a difference of it
    units  it is written in: a text in other units has not moved
    """

    key: str
    label: str
    text: str
    value: float | None = None
    write: Callable[[float], str] = str
    why: str = ""
    sure: str = ""
    severity: str = ""
    units: str = ""

    def as_json(self, before: Item | None) -> dict[str, Any]:
        """As the page takes it, with how it moved since an earlier strip."""
        out: dict[str, Any] = {
            "key": self.key,
            "label": self.label,
            "text": self.text,
            "move": self.move(before),
            "why": self.why or None,
            "sure": self.sure or None,
        }
        if self.severity:
            out["severity"] = self.severity
        return out

    def move(self, before: Item | None) -> str | None:
        """How it moved: `+48 lb`, `-0.4°`, `was inlet`; None where it reads the same."""
        if before is None or before.label != self.label or before.units != self.units:
            return None
        if self.value is None or before.value is None:
            return None if before.text == self.text else f"was {before.text}"
        if before.text == self.text:
            return None
        off = self.value - before.value
        text = self.write(abs(off))
        if not any(c in "123456789" for c in text):
            return None
        return f"{'+' if off > 0.0 else '-'}{text}"


def strip(pit: Pit, hand: str | None, findings: Sequence[Finding], *, whole: bool = True) -> tuple[Item, ...]:
    """The strip of a pit; lean and cuts are of the leg in hand.

    whole  these are all findings, not only those of the layout
    """
    items = (*_weight(pit), *_legs(pit, hand), *_fire(pit, outcome_of(pit)), _worst(findings, whole=whole))
    return tuple(dataclasses.replace(item, units=pit.tape.system) for item in items)


def _figure(pit: Pit, key: str, label: str, name: str, sure: str = "") -> Item:
    reason, tape = pit.reasons[name], pit.tape
    return Item(
        key=key,
        label=label,
        text=tape.figure(reason.value, reason.measure),
        value=float(reason.value),
        write=lambda v: tape.figure(v, reason.measure),
        why=name,
        sure=sure,
    )


def _weight(pit: Pit) -> tuple[Item, ...]:
    empty, tape = pit.balance["empty"], pit.tape
    weight = _figure(pit, "weight", "weight empty", "weight.empty", f"{tape.mass(empty.assumed)} of it assumed")
    return weight, _figure(pit, "height", "height over all", "overall.height")


def _legs(pit: Pit, hand: str | None) -> tuple[Item, ...]:
    one = leg_in_hand(pit, hand)
    if one is None:
        if not pit.saddles:
            return ()
        return (_figure(pit, "saddle edge", "saddle, height at its edges", "saddles.edge_height"),)
    name = f"legs.{one.name}"
    roll = "roll 180 between cuts" if one.legs[0].roll else "do not roll"
    return (
        _figure(pit, "lean", f"lean, leg {one.name}", f"{name}.lean"),
        _figure(pit, "top cut", f"top cut, leg {one.name}", f"{name}.top_cut", "off square"),
        _figure(pit, "foot cut", f"foot cut, leg {one.name}", f"{name}.foot_cut", "off square"),
        _figure(pit, "long point", f"long point, leg {one.name}", f"{name}.long_point", roll),
    )


def _fire(pit: Pit, fire: Outcome) -> tuple[Item, ...]:
    tape = pit.tape
    sure = "fitted to a burn of this pit" if pit.job.burns.own else UNSURE
    if isinstance(fire, NoFire):
        text = f"will not hold {tape.temperature(pit.job.order.cook_temperature)}"
        return tuple(
            Item(key=key, label=label, text=text, severity="stop")
            for key, label in (("spread", "end to end"), ("wood", "wood"), ("chokes", "chokes"))
        )
    dearest = max(fire.draw, key=lambda step: step.spent)
    share = 100.0 * dearest.spent / fire.draught if fire.draught > 0.0 else math.nan
    return (
        Item(
            key="spread",
            label="end to end",
            text=tape.temperature_difference(fire.spread),
            value=fire.spread,
            write=tape.temperature_difference,
            sure=sure,
        ),
        Item(
            key="wood", label="wood", text=tape.mass_rate(fire.wood), value=fire.wood, write=tape.mass_rate, sure=sure
        ),
        Item(key="chokes", label="chokes", text=dearest.name.split(":")[0], sure=f"takes {share:.0f} % of the draft"),
    )


def _worst(findings: Sequence[Finding], *, whole: bool) -> Item:
    if not whole and not any(f.severity in ("stop", "warn") for f in findings):
        return Item(key="worst", label="worst finding", text="checking …")
    if not findings:
        return Item(key="worst", label="worst finding", text="nothing found")
    first = findings[0]
    alike = sum(f.severity == first.severity for f in findings)
    return Item(
        key="worst",
        label=f"worst finding: {_RANK[first.severity]}" if first.severity != "note" else "worst finding: a note",
        text=first.text.split(". ")[0].rstrip("."),
        severity=first.severity,
        sure="" if alike == 1 else f"and {alike - 1} more like it",
    )
