"""Cross members of the skid: one by every set, at the rail ends and in long bays; what they give way to."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from pitwright.layout.base_sizes import BaseSizes
from pitwright.layout.draft import Draft
from pitwright.layout.model import CrossMember, FireboxLayout
from pitwright.tape import INCH

CLEAR = 0.5 * INCH  # steel to steel between a cross member and a fork pocket (common practice, no source)
DRAIN_CLEAR = 2.25 * INCH  # half a drain and a hand beside it


@dataclass(frozen=True, slots=True, kw_only=True)
class Borne:
    """A leg set or saddle on the rails: its name, x of its feet, foot centre from the pit's centre line [m].

    tied   how near a cross member must be [m]
    label  what it is where it is no set
    """

    name: str
    x: float
    foot_y: float
    tied: float
    label: str = ""

    @property
    def said(self) -> str:
        """What the shop calls it."""
        return self.label or f"set {self.name}"


def cross_members(
    draft: Draft,
    firebox: FireboxLayout,
    sizes: BaseSizes,
    borne: Sequence[Borne],
    pockets: Sequence[float],
    ends: tuple[float, float],
) -> tuple[CrossMember, ...]:
    """Places of all cross members, from the stack end; ends: the rails' [m]."""
    rules, tape = draft.rules.base, draft.tape
    half = sizes.cross.width / 2.0
    x0, x1 = ends
    low_box = firebox.bottom_z < sizes.rail_top
    blocked = [
        (p - sizes.pocket.width / 2.0 - CLEAR - half, p + sizes.pocket.width / 2.0 + CLEAR + half) for p in pockets
    ]
    if low_box:
        blocked.append((firebox.x0 - CLEAR - half, firebox.x1 + CLEAR + half))
    drains = _drains(draft)
    soft = [(d - DRAIN_CLEAR - half, d + DRAIN_CLEAR + half) for d in drains]
    found: list[tuple[float, str]] = []
    for b in sorted(borne, key=lambda one: -one.x):
        name = b.said
        near = [x for x, _ in found if abs(x - b.x) <= 2.0 * half]
        if near:
            continue
        x = _nearest_clear(b.x, [*blocked, *soft], (x0 + half, x1 - half))
        if x is None or abs(x - b.x) > b.tied + 1e-9:
            x = _nearest_clear(b.x, blocked, (x0 + half, x1 - half))
        if x is None or abs(x - b.x) > b.tied + 1e-9:
            draft.find(
                "base.cross_reach",
                "warn",
                f"No cross member within {tape.length(b.tied)} of {name}: "
                f"{'the rails can roll there' if b.label else 'its feet can spread'}.",
                pieces=(name, "cross member"),
                clearance=b.tied - abs((x if x is not None else math.inf) - b.x),
                remedy="Move the fork pockets (base.pocket_middle, base.pocket_spread) or the set.",
            )
            if x is None:
                continue
        if any(abs(x - other) < 2.0 * half - 1e-9 for other, _ in found):
            continue  # moved beside one that stands there already: that one ties it
        if abs(x - b.x) > 1e-9:
            why = (
                "drain"
                if any(lo < b.x < hi for lo, hi in soft)
                else "firebox"
                if low_box and not pockets
                else "fork pocket"
            )
            draft.find(
                "base.cross_moved",
                "note",
                f"The cross member of {name} moves {tape.length(abs(x - b.x))} aside for the {why}, still within "
                f"{tape.length(b.tied)} of {'it' if b.label else 'the set'}.",
                pieces=(name, "cross member"),
                clearance=abs(x - b.x),
            )
        found.append((x, name))
    for x in (x1 - half, x0 + half):
        nearest = min((abs(x - other) for other, _ in found), default=math.inf)
        if nearest > max(rules.cross_reach, 3.0 * half) and not any(lo < x < hi for lo, hi in blocked):
            found.append((x, "rail end"))
    found = _filled(draft, found, blocked, soft, half)
    crosses = tuple(CrossMember(x=x, length=sizes.between, under=under) for x, under in sorted(found, reverse=True))
    _long_bays(draft, crosses)
    draft.ledger.note("base.crosses", len(crosses), "count", because="one by every set, rail ends, and in long bays")
    return crosses


def _drains(draft: Draft) -> list[float]:
    """Where along the pit the shell drains [m]."""
    out = []
    for opening in draft.openings:
        if opening.name == "drain":
            xs = [p[0] for p in opening.outline]
            out.append((min(xs) + max(xs)) / 2.0)
    return out


def _nearest_clear(x: float, blocked: Sequence[tuple[float, float]], room: tuple[float, float]) -> float | None:
    """The place nearest to x that no blocked range takes, within the room; None where there is none."""
    tries = [x, *(edge for pair in blocked for edge in pair)]
    fit = [
        t
        for t in tries
        if room[0] - 1e-9 <= t <= room[1] + 1e-9 and not any(lo + 1e-9 < t < hi - 1e-9 for lo, hi in blocked)
    ]
    return min(fit, key=lambda t: abs(t - x), default=None)


def _filled(
    draft: Draft,
    found: list[tuple[float, str]],
    blocked: Sequence[tuple[float, float]],
    soft: Sequence[tuple[float, float]],
    half: float,
) -> list[tuple[float, str]]:
    """More cross members where a bay of rail is longer than the shop likes."""
    longest = draft.rules.base.cross_longest
    out = sorted(found)
    for (a, _), (b, _) in pairwise(sorted(found)):
        parts = math.ceil((b - a) / longest - 1e-9)
        for k in range(1, parts):
            wanted = a + (b - a) * k / parts
            room = (a + 2.0 * half, b - 2.0 * half)
            x = _nearest_clear(wanted, [*blocked, *soft], room)
            x = _nearest_clear(wanted, blocked, room) if x is None else x
            if x is not None and all(abs(x - other) > 2.0 * half for other, _ in out):
                out.append((x, "long bay"))
    return out


def _long_bays(draft: Draft, crosses: Sequence[CrossMember]) -> None:
    tape, longest = draft.tape, draft.rules.base.cross_longest
    for one, other in pairwise(crosses):
        bay = one.x - other.x
        if bay > longest + 1e-6:
            draft.find(
                "base.long_bay",
                "note",
                f"A bay of {tape.length(bay)} stays between two cross members; the shop wants {tape.length(longest)} at most. "
                "Pockets or the firebox stand where one more would go.",
                pieces=("cross member",),
                clearance=longest - bay,
            )
