"""What to say when a leg cannot be: it misses the round, or the saw cannot make its cut; with a leg that would do."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.errors import LayoutError
from pitwright.tape import Tape

EASY_TOP = math.radians(35.0)  # a top cut a shop likes: not steeper than this (common practice, no source)
TRIED = 5  # degrees between the ways that are tried
BAD_FOOT = "Bring the foot in."


@dataclass(frozen=True, slots=True, kw_only=True)
class LegLimits:
    """What a leg is cut from and to [m, rad], and how messages read."""

    radius: float
    width: float
    saw_limit: float
    tape: Tape
    field: str

    def lands(self, lean: float, top: float) -> bool:
        """Whether a leg with these cuts can be cut and lands on the round with its whole width."""
        return (
            max(abs(lean), abs(top)) <= self.saw_limit + 1e-12
            and abs(self.radius * math.sin(top)) + self.width / 2.0 <= self.radius
        )


def lean_of(radius: float, contact: float, spread: float, height: float) -> float:
    """Lean in the end view of the leg from a foot to a contact [rad]."""
    return math.atan2(spread - radius * math.sin(contact), height - radius * math.cos(contact))


def cannot_stand(limits: LegLimits, contact: float, height: float) -> LayoutError:
    """The skin is no higher than the foot plane."""
    tape, under = limits.tape, limits.radius * math.cos(contact) - height
    return LayoutError(
        f"there is no room for that leg: at a contact of {tape.angle(contact)} the skin lies {tape.length(max(under, 0.0))} "
        "under the rail top",
        field=limits.field,
        value=tape.length(height),
        allowed=f"a vessel centre more than {tape.length(limits.radius * math.cos(contact))} over the rail top",
        remedy="Raise the grate, use lower rails, or set the vessel on saddles.",
    )


def refuse_miss(limits: LegLimits, spread: float, lean: float, height: float, miss: float) -> LayoutError:
    """The leg's centre line passes the round by."""
    tape, radius = limits.tape, limits.radius
    away, towards = math.hypot(spread, height), math.atan2(spread, height)
    remedy = BAD_FOOT
    for degrees in sorted(range(-60, 61, TRIED), key=lambda d: abs(math.radians(d) - lean)):
        tried = math.radians(degrees)
        sine = away / radius * math.sin(towards - tried)
        if abs(sine) < 1.0 and limits.lands(tried, math.asin(sine)):
            more = "more" if miss > 0.0 else "less"
            remedy = f"Lean it {degrees} or {more}, or {'bring the foot in' if miss > 0.0 else 'move the foot out'}."
            break
    return LayoutError(
        f"that leg misses the shell: its centre line passes {tape.length(abs(miss))} from vessel centre and the skin is at "
        f"{tape.length(radius)}",
        field=limits.field,
        value=tape.angle(lean),
        allowed="a centre line that meets the round",
        remedy=remedy,
    )


def refuse_cut(limits: LegLimits, contact: float, spread: float, lean: float, height: float) -> None:
    """Raise LayoutError where the leg's cuts are steeper than the saw goes or a face runs past the skin."""
    radius, tape = limits.radius, limits.tape
    top = contact - lean
    if abs(top) >= math.pi / 2.0:
        raise LayoutError(
            "that leg would come through the vessel to its contact",
            field=limits.field,
            value=tape.angle(contact),
            allowed="a contact on the side the foot is on",
            remedy=_other_contact(limits, contact, spread, height),
        )
    if limits.lands(lean, top):
        return
    steep = max((lean, top), key=abs)
    edge = abs(radius * math.sin(top)) + limits.width / 2.0
    reasons = []
    if abs(steep) > limits.saw_limit + 1e-12:
        reasons.append(f"the saw stops at {tape.angle(limits.saw_limit, 0)}")
    if edge > radius:
        reasons.append(
            f"the {'outer' if top > 0.0 else 'inner'} face runs past the skin ({tape.length(edge)} out, "
            f"skin at {tape.length(radius)})"
        )
    raise LayoutError(
        f"cannot be cut: {tape.angle(abs(steep))} off square; " + " and ".join(reasons),
        field=limits.field,
        value=tape.angle(contact),
        allowed=f"cuts up to {tape.angle(limits.saw_limit, 0)} off square, both faces on the round",
        remedy=_other_contact(limits, contact, spread, height),
    )


def _other_contact(limits: LegLimits, contact: float, spread: float, height: float) -> str:
    """The nearest contact that gives an easy cut from the same foot, or failing that any cut, in words."""
    radius, tape = limits.radius, limits.tape
    side = 1 if spread >= 0.0 else -1
    tries = sorted((side * d for d in range(TRIED, 90, TRIED)), key=lambda d: abs(math.radians(d) - contact))
    for easiest in (EASY_TOP, limits.saw_limit):
        for degrees in tries:
            psi = math.radians(degrees)
            if height - radius * math.cos(psi) <= 0.0:
                continue
            lean = lean_of(radius, psi, spread, height)
            top = psi - lean
            if abs(top) <= easiest and limits.lands(lean, top):
                return f"Contact at {degrees} gives top {tape.angle(top)}, lean {tape.angle(lean)}."
    return BAD_FOOT
