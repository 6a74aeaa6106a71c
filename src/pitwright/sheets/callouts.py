"""Finding a free spot for a note or a piece mark: near its tip, off other lettering, off the lines if it can be."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from pitwright.parts import Point2
from pitwright.sheets import lettering
from pitwright.sheets.dimension import arrow, tag
from pitwright.sheets.ink import Box, Ink, Patch, Scale, Stroke, Words, disc, extent, line, seated
from pitwright.sheets.lettered import Callout

_RINGS = (9.0, 13.0, 18.0, 25.0, 34.0, 46.0, 62.0)  # distance from the tip [mm]
_TURNS = tuple(sign * k * math.pi / 12.0 for k in range(13) for sign in ((1.0, -1.0) if k % 12 else (1.0,)))
_SHELF = 2.5
_GAP = 0.8
_TIP = 0.6  # half the room a leader's tip takes
_ON_LETTERING = 1000.0
_ON_LINE = 6.0
_LEADER_OVER_LETTERING = 400.0
_LEADERS_CROSS = 60.0
_LEADER_OVER_LINE = 1.5
_OUT_OF_ROOM = 500.0
_FURTHER = 3.0  # each ring out
_TURNED = 1.5  # each radian from the wanted direction

Floats = NDArray[np.float64]


class Room:
    """What already stands on the paper round a drawing: boxes of lettering, and straight pieces of lines.

    most: (width, height) the whole drawing may come to [mm]
    """

    def __init__(self, ink: Sequence[Ink], most: tuple[float, float] = (math.inf, math.inf)):
        self._most = most
        self._reach = extent(ink)
        self._boxes: list[Box] = []
        self._leaders: list[tuple[float, float, float, float]] = []
        pieces: list[tuple[float, float, float, float]] = []
        for item in ink:
            if isinstance(item, Words):
                self._boxes.append(extent((item,)))
            elif isinstance(item, Stroke):
                pieces.extend((*p, *q) for p, q in item.path.chords())
        self._lines: Floats = np.array(pieces, dtype=np.float64).reshape(-1, 4)

    def price(self, box: Box, leader: tuple[Point2, Point2], limit: float = math.inf) -> float:
        """What it costs to put lettering into a box and lead it to a tip; 0 is a free spot.

        Past `limit` the sum is given back as far as it got.
        """
        grown = (box[0] - _GAP, box[1] - _GAP, box[2] + _GAP, box[3] + _GAP)
        run = (*leader[0], *leader[1])
        x0, y0, x1, y1 = _union(self._reach, box)
        price = 0.0 if x1 - x0 <= self._most[0] and y1 - y0 <= self._most[1] else _OUT_OF_ROOM
        for other in self._boxes:
            if grown[0] < other[2] and other[0] < grown[2] and grown[1] < other[3] and other[1] < grown[3]:
                price += _ON_LETTERING
            elif _touches(run, other):
                price += _LEADER_OVER_LETTERING
        if price >= limit:
            return price
        if len(self._lines):
            price += _ON_LINE * min(8, _through(self._lines, grown))
            price += _LEADER_OVER_LINE * min(12, _crossing(self._lines, run))
        for a in self._leaders:
            if _cross(a, run):
                price += _LEADERS_CROSS
            if _touches(a, grown):
                price += _LEADER_OVER_LETTERING
        return price

    def spare(self, tips: Iterable[Point2]) -> None:
        """Nothing should stand on the tips of leaders."""
        self._boxes.extend((x - _TIP, y - _TIP, x + _TIP, y + _TIP) for x, y in tips)

    def take(self, box: Box, leader: tuple[Point2, Point2]) -> None:
        """Lettering now stands there."""
        self._reach = _union(self._reach, box)
        self._boxes.append(box)
        self._leaders.append((*leader[0], *leader[1]))


def place(
    callouts: Sequence[Callout],
    scale: Scale,
    standing: Sequence[Ink],
    most: tuple[float, float] = (math.inf, math.inf),
) -> list[Ink]:
    """The ink of all callouts, each where it disturbs least; those with a fixed offset are set first.

    most: (width, height) that they and what stands there may come to, where it can be done [mm].
    """
    room = Room(standing, most)
    room.spare(scale.point(c.tip) for c in callouts)
    ink: list[Ink] = []
    for callout in sorted(callouts, key=lambda c: c.offset is None):
        tip = scale.point(callout.tip)
        elbow = _fixed(callout, tip) if callout.offset is not None else _free(callout, tip, room)
        box = _box(callout, elbow, tip)
        room.take(box, (tip, elbow))
        ink.extend(tag(item, callout) for item in _drawn(callout, tip, elbow, box))
    return ink


def _fixed(callout: Callout, tip: Point2) -> Point2:
    dx, dy = callout.offset or (0.0, 0.0)
    return (tip[0] + dx, tip[1] - dy)


def _free(callout: Callout, tip: Point2, room: Room) -> Point2:
    best, least = tip, math.inf
    for ring, reach in enumerate(_RINGS):
        for turn in _TURNS:
            a = callout.toward + turn
            elbow = (tip[0] + reach * math.cos(a), tip[1] - reach * math.sin(a))
            leaning = _FURTHER * ring + _TURNED * abs(turn)
            if leaning >= least:
                continue
            price = leaning + room.price(_box(callout, elbow, tip), (tip, elbow), least - leaning)
            if price < least:
                best, least = elbow, price
    return best


def _box(callout: Callout, elbow: Point2, tip: Point2) -> Box:
    lines = callout.text.split("\n")
    wide = max(lettering.width(t, callout.height, callout.bold) for t in lines)
    if callout.balloon:
        r = _balloon_radius(callout)
        return (elbow[0] - r, elbow[1] - r, elbow[0] + r, elbow[1] + r)
    tall = callout.height * (1.0 + (len(lines) - 1) * lettering.LINE) + lettering.hang(lines[-1], callout.height)
    low = elbow[1] - callout.height / 2.0
    if elbow[0] >= tip[0]:
        x0 = elbow[0] + _SHELF + 0.8
        return (x0, low, x0 + wide, low + tall)
    x1 = elbow[0] - _SHELF - 0.8
    return (x1 - wide, low, x1, low + tall)


def _balloon_radius(callout: Callout) -> float:
    wide = lettering.width(callout.text, callout.height, callout.bold)
    return math.hypot(wide, callout.height) / 2.0 + 0.9


def _drawn(callout: Callout, tip: Point2, elbow: Point2, box: Box) -> list[Ink]:
    ink: list[Ink] = []
    length = math.hypot(elbow[0] - tip[0], elbow[1] - tip[1])
    if length > 0.0:
        back = ((tip[0] - elbow[0]) / length, (tip[1] - elbow[1]) / length)
        ink.append(Patch((disc(tip, 0.55),), 1.0, "dimension") if callout.dot else arrow(tip, back))
    else:
        back = (0.0, 0.0)
    if callout.balloon:
        r = _balloon_radius(callout)
        if length > r:
            ink.append(line(tip, (elbow[0] + r * back[0], elbow[1] + r * back[1]), "dimension"))
        ink += [Patch((disc(elbow, r),), 0.0, "dimension"), Stroke(disc(elbow, r), "mark")]
        at = seated(elbow, callout.height, "middle")
        ink.append(Words(at, callout.text, callout.height, anchor="middle", bold=True))
        return ink
    hand = 1.0 if elbow[0] >= tip[0] else -1.0
    shelf = (elbow[0] + _SHELF * hand, elbow[1])
    ink += [line(tip, elbow, "dimension"), line(elbow, shelf, "dimension")]
    for i, text in enumerate(callout.text.split("\n")):
        base = box[1] + callout.height * (1.0 + lettering.LINE * i)
        ink.append(
            Words(
                (box[0] if hand > 0 else box[2], base),
                text,
                callout.height,
                anchor="left" if hand > 0 else "right",
                bold=callout.bold,
                plate=True,
            )
        )
    return ink


def _union(a: Box, b: Box) -> Box:
    return (min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3]))


def _through(lines: Floats, box: Box) -> int:
    """How many straight pieces touch a box (separating axes: x, y and the piece's own normal)."""
    x0, y0, x1, y1 = lines.T
    near = (
        (np.maximum(x0, x1) >= box[0])
        & (np.minimum(x0, x1) <= box[2])
        & (np.maximum(y0, y1) >= box[1])
        & (np.minimum(y0, y1) <= box[3])
    )
    x0, y0, x1, y1 = lines[near].T
    nx, ny = y0 - y1, x1 - x0
    sides = [nx * (x - x0) + ny * (y - y0) for x in (box[0], box[2]) for y in (box[1], box[3])]
    return int(np.count_nonzero((np.minimum.reduce(sides) <= 0.0) & (np.maximum.reduce(sides) >= 0.0)))


def _crossing(lines: Floats, run: tuple[float, float, float, float]) -> int:
    """How many straight pieces a leader crosses."""
    x0, y0, x1, y1 = lines.T
    a, b, c, d = run
    ends = (x0 - a) * (d - b) - (y0 - b) * (c - a), (x1 - a) * (d - b) - (y1 - b) * (c - a)
    tips = (a - x0) * (y1 - y0) - (b - y0) * (x1 - x0), (c - x0) * (y1 - y0) - (d - y0) * (x1 - x0)
    return int(np.count_nonzero((ends[0] * ends[1] < 0.0) & (tips[0] * tips[1] < 0.0)))


def _touches(piece: Sequence[float], box: Box) -> bool:
    """Whether a straight piece touches a box."""
    x0, y0, x1, y1 = piece
    if max(x0, x1) < box[0] or min(x0, x1) > box[2] or max(y0, y1) < box[1] or min(y0, y1) > box[3]:
        return False
    nx, ny = y0 - y1, x1 - x0
    sides = [nx * (x - x0) + ny * (y - y0) for x in (box[0], box[2]) for y in (box[1], box[3])]
    return min(sides) <= 0.0 <= max(sides)


def _cross(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> bool:
    def side(s: tuple[float, float, float, float], x: float, y: float) -> float:
        return (s[2] - s[0]) * (y - s[1]) - (s[3] - s[1]) * (x - s[0])

    return side(a, b[0], b[1]) * side(a, b[2], b[3]) < 0.0 and side(b, a[0], a[1]) * side(b, a[2], a[3]) < 0.0
