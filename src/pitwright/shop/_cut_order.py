"""The order of the pieces along one stick, so that mirrored mitres share a cut and the saw is set seldom.

Two pieces can share a mitre where one's right end and the next one's left end are one plane. Their long points then
lie past one another by height x tan(angle), and that much is left over at the end of the stick.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from pitwright.shop._stick_records import CutPiece, PlannedStick, SawCut, StickEnd, StickPiece, StickStock

SAME_ANGLE = 1e-6
"""Angles closer than this are one saw setting [rad]."""

MOST_STATES = 6000
"""Above this many states the order is found step by step instead of by looking at every one."""

Setting = tuple[float, float]
Turned = Literal["as drawn", "rolled", "end for end", "rolled, end for end"]


@dataclass(frozen=True, slots=True)
class Lying:
    """A piece as turned in the stick: end planes as (angle, tilt) with the long point on the chalked face positive."""

    piece: StickPiece
    turned: Turned
    left: Setting
    right: Setting
    left_kind: str
    right_kind: str


def _lying(piece: StickPiece, turned: Turned) -> Lying:
    first, last = piece.left, piece.right
    face = side = 1.0
    if "end for end" in turned:
        first, last, side = last, first, -side
    if "rolled" in turned:
        face, side = -face, -side

    def setting(end: StickEnd) -> Setting:
        return face * end.angle + 0.0, side * end.tilt + 0.0

    return Lying(piece, turned, setting(first), setting(last), first.kind, last.kind)


def ways(piece: StickPiece) -> tuple[Lying, ...]:
    """The different ways the piece may lie."""
    turns: tuple[Turned, ...] = ("as drawn",)
    if piece.turns == "end for end":
        turns = ("as drawn", "end for end")
    elif piece.turns == "any":
        turns = ("as drawn", "rolled", "end for end", "rolled, end for end")
    found: dict[tuple[Setting, Setting, str, str], Lying] = {}
    for turned in turns:
        lying = _lying(piece, turned)
        found.setdefault((lying.left, lying.right, lying.left_kind, lying.right_kind), lying)
    return tuple(found.values())


def _same(a: float, b: float) -> bool:
    return abs(a - b) <= SAME_ANGLE


def shared_length(first: Lying, second: Lying) -> float:
    """Length saved where `second` follows `first` through one shared mitre, 0 where they cannot share [m]."""
    if first.right_kind != "mitre" or second.left_kind != "mitre" or first.piece.height != second.piece.height:
        return 0.0
    if first.right[1] or second.left[1] or not _same(first.right[0], -second.left[0]):
        return 0.0
    return first.piece.height * math.tan(abs(first.right[0]))


def _is_square(plane: Setting) -> bool:
    return _same(plane[0], 0.0) and _same(plane[1], 0.0)


def saw_setting(slope: Setting) -> Setting:
    """What the saw is set to for a cut plane, the stick rolled so that the angle is never negative."""
    angle, tilt = slope
    if angle < -SAME_ANGLE or (abs(angle) <= SAME_ANGLE and tilt < 0.0):
        angle, tilt = -angle, -tilt
    return round(max(angle, 0.0), 9) + 0.0, round(tilt, 9) + 0.0


def _changes(before: Setting | None, first: Lying | None, second: Lying) -> tuple[int, Setting]:
    """(how often the saw is set anew, its last setting) when `second` is cut after `first`."""
    count = 0
    start = saw_setting(second.left)
    one_cut = first is not None and _one_cut(first, second)
    if not one_cut and not (first is None and _is_square(second.left)):
        count += before is not None and start != before
        before = start
    finish = saw_setting(second.right)
    count += before is not None and finish != before
    return count, finish


def best_order(pieces: Sequence[StickPiece]) -> tuple[Lying, ...]:
    """The pieces (one entry a copy) in the order that saves most by shared mitres, then sets the saw least often."""
    kinds = sorted(set(pieces), key=lambda p: (-p.length, p.mark))
    counts = tuple(sum(p == kind for p in pieces) for kind in kinds)
    choices = [ways(kind) for kind in kinds]
    states = math.prod(c + 1 for c in counts) * sum(len(way) for way in choices)
    if states > MOST_STATES or len(pieces) > 300:
        return _step_by_step(choices, counts)
    memo: dict[tuple[tuple[int, ...], int, int], tuple[tuple[float, int], tuple[int, int]]] = {}

    def value(left: tuple[int, ...], kind: int, way: int) -> tuple[float, int]:
        """Best (saved, minus changes) from here on, `kind` in `way` having been laid last (kind -1: nothing yet)."""
        if not any(left):
            return 0.0, 0
        key = (left, kind, way)
        if key not in memo:
            last = choices[kind][way] if kind >= 0 else None
            before = saw_setting(last.right) if last is not None else None
            best = ((-1.0, 0), (-1, -1))
            for place, count in enumerate(left):
                if not count:
                    continue
                rest = (*left[:place], count - 1, *left[place + 1 :])
                for turn, lying in enumerate(choices[place]):
                    saved = shared_length(last, lying) if last is not None else 0.0
                    changes, _ = _changes(before, last, lying)
                    later, fewer = value(rest, place, turn)
                    offer = (round(saved + later, 9), fewer - changes)
                    if offer > best[0]:
                        best = (offer, (place, turn))
            memo[key] = best
        return memo[key][0]

    value(counts, -1, -1)
    order: list[Lying] = []
    left, kind, way = counts, -1, -1
    while any(left):
        place, turn = memo[(left, kind, way)][1]
        order.append(choices[place][turn])
        left = (*left[:place], left[place] - 1, *left[place + 1 :])
        kind, way = place, turn
    return tuple(order)


def _step_by_step(choices: Sequence[tuple[Lying, ...]], counts: Sequence[int]) -> tuple[Lying, ...]:
    """Always the next piece that saves most, then the one that leaves the saw as it is set."""
    left = list(counts)
    order: list[Lying] = []
    while any(left):
        last = order[-1] if order else None
        before = saw_setting(last.right) if last is not None else None
        options = [
            (-(shared_length(last, lying) if last is not None else 0.0), _changes(before, last, lying)[0], place, turn)
            for place, count in enumerate(left)
            if count
            for turn, lying in enumerate(choices[place])
        ]
        _, _, place, turn = min(options)
        order.append(choices[place][turn])
        left[place] -= 1
    return tuple(order)


def axial_kerf(plane: Setting, kerf: float) -> float:
    """Length a cut takes along the stick [m]: the kerf over the cosines of its two angles."""
    return kerf / (math.cos(plane[0]) * math.cos(plane[1]))


def end_of(order: Sequence[Lying], kerf: float, end_trim: float) -> float:
    """Where the last piece's long point comes [m]."""
    at = end_trim
    for place, lying in enumerate(order):
        if place:
            before = order[place - 1]
            at += axial_kerf(before.right, kerf) - shared_length(before, lying)
        at += lying.piece.length
    return at


def lay_out(
    order: Sequence[Lying], stock: StickStock, *, number: int, kerf: float, end_trim: float, keep_drop: float
) -> PlannedStick:
    """The stick with every position, cut and roll worked out."""
    pieces: list[CutPiece] = []
    cuts: list[SawCut] = []
    chalk_up = True
    saved = 0.0
    finish = end_trim

    def cut(slope: Setting, long_point: float, height: float, finishes: str, starts: str) -> None:
        nonlocal chalk_up
        angle, tilt = saw_setting(slope)
        wanted = (
            chalk_up
            if angle == 0.0 and tilt == 0.0
            else (angle, tilt) == (round(slope[0], 9), round(slope[1], 9) + 0.0)
        )
        reach = height * math.tan(abs(slope[0]))
        away = long_point - reach if finishes else long_point + reach
        chalk_long = slope[0] >= 0.0 if finishes else slope[0] <= 0.0
        cuts.append(
            SawCut(
                number=len(cuts) + 1,
                at=long_point if chalk_long else away,
                across=away if chalk_long else long_point,
                kerf="beyond" if finishes else "before",
                angle=angle,
                tilt=tilt,
                roll=wanted != chalk_up,
                chalk_up=wanted,
                finishes=finishes,
                starts=starts,
                shared=bool(finishes and starts) and not _is_square(slope),
            )
        )
        chalk_up = wanted

    for place, lying in enumerate(order):
        mark, height = lying.piece.mark, lying.piece.height
        before = order[place - 1] if place else None
        after = order[place + 1] if place + 1 < len(order) else None
        start = finish
        if before is not None:
            gained = shared_length(before, lying)
            saved += gained
            start += axial_kerf(before.right, kerf) - gained
        if not (before is not None and _one_cut(before, lying)) and (
            before is not None or end_trim > 0.0 or not _is_square(lying.left)
        ):
            cut((-lying.left[0], -lying.left[1]), start, height, "", mark)
        finish = start + lying.piece.length
        pieces.append(CutPiece(mark=mark, start=start, finish=finish, turned=lying.turned))
        at_the_end = after is None and stock.length - finish <= 1e-9 and _is_square(lying.right)
        if not at_the_end:
            follower = after.piece.mark if after is not None and _one_cut(lying, after) else ""
            cut(lying.right, finish, height, mark, follower)
    drop = max(0.0, stock.length - finish - axial_kerf(order[-1].right, kerf))
    return PlannedStick(
        number=number,
        label=stock.label,
        store=stock.store,
        length=stock.length,
        on_hand=stock.on_hand is not None,
        pieces=tuple(pieces),
        cuts=tuple(cuts),
        drop=drop,
        keep=drop > 0.0 and drop >= keep_drop,
        saved=saved,
    )


def _one_cut(first: Lying, second: Lying) -> bool:
    return shared_length(first, second) > 0.0 or (_is_square(first.right) and _is_square(second.left))
