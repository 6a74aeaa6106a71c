"""Placing dimensions: rows that do not overlap, running lists whose figures are pushed apart, angles, radii, slopes.

Everything on one side of a view shares one set of rows. Short dimensions lie near the view and long ones outside
them; a dimension too narrow for its figure carries it above the line or beside it. Worked in (s, t): s along the
dimension, t outward from the base line [mm of paper].
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from pitwright.parts import Point2
from pitwright.sheets import lettering
from pitwright.sheets.ink import Ink, Patch, Path, Scale, Stroke, Words, disc, line, seated
from pitwright.sheets.lettered import AngleDimension, Dimension, RoundDimension, Running, Slope
from pitwright.sheets.shapes import Primitive

ARROW = 2.6
"""Length of an arrow head [mm]."""
_HALF_ARROW = 0.42
_CLEAR = 1.2  # from the shape to the extension line, and past the dimension line
_TAIL = 4.0  # length of a dimension line outside its own arrows
_ABOVE = 1.7  # from the dimension line to a figure above it
_TOUCH = 0.05  # ends nearer than this meet


def tag(ink: Ink, primitive: Primitive) -> Ink:
    """Ink that carries the tags of the primitive it was made from."""
    if not (primitive.about or primitive.title or primitive.layer) or not isinstance(ink, Stroke | Patch | Words):
        return ink
    return replace(ink, about=primitive.about, title=primitive.title, layer=primitive.layer)


def arrow(tip: Point2, toward: Point2) -> Patch:
    """A slim arrow head; `toward` is the way it points on paper (unit length)."""
    x, y = tip
    u, v = toward
    bx, by = x - ARROW * u, y - ARROW * v
    corners = (tip, (bx - _HALF_ARROW * v, by + _HALF_ARROW * u), (bx + _HALF_ARROW * v, by - _HALF_ARROW * u))
    return Patch((Path(corners, closed=True),), 1.0, "dimension")


def readable(angle: float) -> tuple[float, bool]:
    """The angle turned so that lettering is read from below or from the right, and whether that took a half turn."""
    angle = math.remainder(angle, 2.0 * math.pi)
    if angle > math.pi / 2.0 + 1e-9:
        return angle - math.pi, True
    if angle <= -math.pi / 2.0 + 1e-9:
        return angle + math.pi, True
    return angle, False


def spread(wanted: Sequence[float], apart: float) -> list[float]:
    """Places in the same order, at least `apart` from each other, moved as little as can be (least squares).

    `wanted` must be rising. Pools neighbours that touch and sets each pool about its mean.
    """
    pools: list[tuple[float, int]] = []  # (sum of wanted - i * apart, count)
    for i, x in enumerate(wanted):
        total, count = x - i * apart, 1
        while pools and pools[-1][0] / pools[-1][1] > total / count:
            before = pools.pop()
            total, count = total + before[0], count + before[1]
        pools.append((total, count))
    out: list[float] = []
    for total, count in pools:
        first = len(out)
        out.extend(total / count + (first + k) * apart for k in range(count))
    return out


# ---------------------------------------------------------------- rows


@dataclass(slots=True)
class _Bench:
    """The (s, t) frame of one side of a view, on paper."""

    base: Point2
    along: Point2
    out: Point2
    angle: float

    def at(self, s: float, t: float) -> Point2:
        return (
            self.base[0] + s * self.along[0] + t * self.out[0],
            self.base[1] + s * self.along[1] + t * self.out[1],
        )

    def place(self, p: Point2) -> tuple[float, float]:
        dx, dy = p[0] - self.base[0], p[1] - self.base[1]
        return dx * self.along[0] + dy * self.along[1], dx * self.out[0] + dy * self.out[1]


@dataclass(slots=True)
class _Span:
    """One dimension on its bench: its line, and where its figure stands."""

    dimension: Dimension
    low: float
    high: float
    wide: float
    ends: tuple[tuple[float, float], tuple[float, float]]
    row: int = 0
    beside: int = 0  # figure 0 within, +1 beyond the high end, -1 beyond the low end
    above: bool = False
    tight: bool = False  # too narrow for its own arrow heads
    chained: tuple[bool, bool] = (False, False)  # whether another dimension goes on at its low and its high end

    def line(self) -> tuple[float, float]:
        low, high = (_TAIL if self.tight and not c else 0.0 for c in self.chained)
        return self.low - (low or self._stub(-1)), self.high + (high or self._stub(1))

    def _stub(self, hand: int) -> float:
        return _TAIL if self.beside == hand else 0.0

    def figure(self) -> tuple[float, float]:
        low, high = self.line()
        if self.beside > 0:
            return high + 0.6, high + 0.6 + self.wide
        if self.beside < 0:
            return low - 0.6 - self.wide, low - 0.6
        middle = (self.low + self.high) / 2.0
        return middle - self.wide / 2.0, middle + self.wide / 2.0


@dataclass(slots=True)
class _Side:
    bench: _Bench
    dimensions: list[Dimension] = field(default_factory=list)
    runnings: list[Running] = field(default_factory=list)


def rows(primitives: Iterable[Dimension | Running], scale: Scale) -> list[Ink]:
    """All straight and running dimensions of a drawing, stacked side by side of the views they belong to."""
    sides: dict[tuple[float, ...], _Side] = {}
    for p in primitives:
        bench = _bench(p, scale)
        level = bench.base[0] * bench.out[0] + bench.base[1] * bench.out[1]
        key = (
            round(bench.along[0], 6),
            round(bench.along[1], 6),
            round(bench.out[0], 6),
            round(bench.out[1], 6),
            round(level, 2),
        )
        side = sides.setdefault(key, _Side(bench))
        if isinstance(p, Running):
            side.runnings.append(p)
        else:
            side.dimensions.append(p)
    ink: list[Ink] = []
    for side in sides.values():
        depth = 0.0
        for running in side.runnings:
            drawn, depth = _running(running, side.bench, scale, depth)
            ink.extend(drawn)
        ink.extend(_stacked(side, scale, depth))
    return ink


def _bench(p: Dimension | Running, scale: Scale) -> _Bench:
    angle, turned = readable(math.atan2(p.along[1], p.along[0]))
    sign = -1.0 if turned else 1.0
    along = scale.way((sign * p.along[0], sign * p.along[1]))
    return _Bench(scale.point(p.base), along, scale.way(p.out), angle)


def _stacked(side: _Side, scale: Scale, depth: float) -> Iterator[Ink]:
    spans = sorted((_span(d, side.bench, scale) for d in side.dimensions), key=lambda s: (s.high - s.low, s.low))
    for span in spans:
        span.chained = (
            any(abs(s.high - span.low) < 0.3 for s in spans),
            any(abs(s.low - span.high) < 0.3 for s in spans),
        )
    placed: list[_Span] = []
    for span in (s for s in spans if s.dimension.row is not None):
        span.row = span.dimension.row or 0
        placed.append(span)
    for span in (s for s in spans if s.dimension.row is None):
        hands = (1, -1) if not span.chained[1] or span.chained[0] else (-1, 1)
        inner = (p.row for p in placed if _overlap(p.line(), span.line(), _TOUCH) and _shorter(p, span))
        span.row = max(inner, default=-1) + 1
        while not _fits(span, placed, hands):
            span.row += 1
        placed.append(span)
    if not spans:
        return
    pitch = 2.8 * max(s.dimension.height for s in spans)
    first = max(max(s.dimension.gap for s in spans), depth + 5.0 if depth else 0.0)
    for span in spans:
        level = span.dimension.gap if span.dimension.row == 0 and not depth else first
        for item in _drawn(span, side.bench, level + span.row * pitch):
            yield tag(item, span.dimension)


def _span(d: Dimension, bench: _Bench, scale: Scale) -> _Span:
    ends = (bench.place(scale.point(d.a)), bench.place(scale.point(d.b)))
    low, high = sorted((ends[0][0], ends[1][0]))
    wide = lettering.width(d.text, d.height, d.bold)
    span = _Span(d, low, high, wide, ends, tight=high - low < 2.0 * ARROW + 0.8)
    if high - low < wide + 2.0 * ARROW + 2.0:
        span.above = high - low >= wide + 0.6
        span.beside = 0 if span.above else 1
    return span


def _fits(span: _Span, placed: list[_Span], hands: tuple[int, ...]) -> bool:
    for beside in hands if span.beside else (0,):
        span.beside = beside
        if not any(p.row == span.row and _in_each_other(span, p) for p in placed):
            return True
    return False


def _in_each_other(a: _Span, b: _Span) -> bool:
    return (
        _overlap(a.line(), b.line(), _TOUCH)
        or _overlap(a.figure(), b.figure(), -1.2)
        or (a.beside != 0 and _overlap(a.figure(), b.line(), -0.6))
        or (b.beside != 0 and _overlap(b.figure(), a.line(), -0.6))
    )


def _overlap(a: tuple[float, float], b: tuple[float, float], slack: float) -> bool:
    return min(a[1], b[1]) - max(a[0], b[0]) > slack


def _shorter(a: _Span, b: _Span) -> bool:
    return a.high - a.low <= b.high - b.low


def _drawn(span: _Span, bench: _Bench, t: float) -> Iterator[Ink]:
    d = span.dimension
    for s, from_t in span.ends:
        if abs(t - from_t) > _CLEAR + 0.3:
            way = math.copysign(1.0, t - from_t)
            yield line(bench.at(s, from_t + way * _CLEAR), bench.at(s, t + way * _CLEAR), "dimension")
    u = bench.along
    back = (-u[0], -u[1])
    low, high = span.line()
    yield line(bench.at(low, t), bench.at(high, t), "dimension")
    for s, out, inward, chained in (
        (span.low, back, u, span.chained[0]),
        (span.high, u, back, span.chained[1]),
    ):
        if span.tight and chained:
            yield Patch((disc(bench.at(s, t), 0.5),), 1.0, "dimension")
        else:
            yield arrow(bench.at(s, t), inward if span.tight else out)
    first, last = span.figure()
    at = bench.at((first + last) / 2.0, t)
    if span.above:
        at = (at[0] - _ABOVE * math.sin(bench.angle), at[1] - _ABOVE * math.cos(bench.angle))
    else:
        at = seated(at, d.height, "middle", bench.angle)
    yield Words(at, d.text, d.height, anchor="middle", angle=bench.angle, bold=d.bold, plate=True)


# ---------------------------------------------------------------- running lists


def _running(r: Running, bench: _Bench, scale: Scale, depth: float) -> tuple[list[Ink], float]:
    """The ink of a running list and how deep it reaches from the base line."""
    zero, zero_t = bench.place(scale.point(r.datum))
    stops = sorted({(*bench.place(scale.point(s.at)), s.text): s for s in r.stops}.items(), key=lambda e: e[0][0])
    t = max(r.gap, depth + 5.0 if depth else 0.0)
    ink: list[Ink] = []

    def drop(s: float, from_t: float) -> None:
        if t - from_t > _CLEAR:
            ink.append(line(bench.at(s, from_t + _CLEAR), bench.at(s, t), "dimension"))

    figures: list[tuple[float, str, Primitive]] = [(zero, r.datum_text, r)]
    figures += [(s, text, stop) for (s, _, text), stop in stops if abs(s - zero) > _TOUCH]
    figures.sort(key=lambda f: f[0])
    ink.append(line(bench.at(min(figures[0][0], zero), t), bench.at(max(figures[-1][0], zero), t), "dimension"))
    ink.append(Patch((disc(bench.at(zero, t), 1.0),), 0.0, "dimension"))
    ink.append(Stroke(disc(bench.at(zero, t), 1.0), "dimension"))
    drop(zero, zero_t)
    before = {1: zero, -1: zero}
    for (s, from_t, _), stop in sorted(stops, key=lambda e: abs(e[0][0] - zero)):
        hand = 1 if s >= zero else -1
        drop(s, from_t)
        if abs(s - before[hand]) > ARROW + 0.8:
            toward = (hand * bench.along[0], hand * bench.along[1])
            ink.append(tag(arrow(bench.at(s, t), toward), stop))
        elif abs(s - before[hand]) > _TOUCH:
            ink.append(Patch((disc(bench.at(s, t), 0.5),), 1.0, "dimension"))
        before[hand] = s

    wanted = [f[0] for f in figures]
    places = spread(wanted, 1.6 * r.height)
    moved = max(abs(p - w) for p, w in zip(places, wanted, strict=True))
    jog = 1.2 if moved < 0.2 else min(12.0, 3.5 + 0.25 * moved)
    way, turned = readable(math.atan2(-bench.out[1], bench.out[0]))
    deepest = 0.0
    for place, (s, text, source) in zip(places, figures, strict=True):
        ink.append(line(bench.at(s, t + _CLEAR), bench.at(place, t + _CLEAR + jog), "dimension"))
        at = seated(bench.at(place, t + _CLEAR + jog + 0.8), r.height, "middle", way)
        words = Words(at, text, r.height, anchor="right" if turned else "left", angle=way)
        ink.append(tag(words, source if source.about else r))
        deepest = max(deepest, words.width)
    return ink, t + _CLEAR + jog + 0.8 + deepest


# ---------------------------------------------------------------- angles, radii, slopes


def angle(d: AngleDimension, scale: Scale) -> list[Ink]:
    """An angle: its two legs, the arc between them and the figure outside the arc."""
    vertex = scale.point(d.vertex)
    r = min(d.radius, max(8.0, d.within * scale.factor))

    def at(radius: float, a: float) -> Point2:
        return (vertex[0] + radius * math.cos(a), vertex[1] - radius * math.sin(a))

    end = d.start + d.sweep
    bulge = -math.tan(d.sweep / 4.0)
    ink: list[Ink] = [
        line(vertex, at(r + _CLEAR, d.start), "dimension"),
        line(vertex, at(r + _CLEAR, end), "dimension"),
        Stroke(Path((at(r, d.start), at(r, end)), (bulge,)), "dimension"),
    ]
    hand = math.copysign(1.0, d.sweep)
    if r * abs(d.sweep) > 2.0 * ARROW + 1.0:
        lean = hand * ARROW / (2.0 * r)  # an arrow head is a chord of the arc
        for a, way in ((d.start, -hand), (end, hand)):
            b = a - way * abs(lean)
            ink.append(arrow(at(r, a), (-way * math.sin(b), -way * math.cos(b))))
    middle = d.start + d.sweep / 2.0
    wide = lettering.width(d.text, d.height)
    clear = 1.4 + abs(math.cos(middle)) * wide / 2.0 + abs(math.sin(middle)) * d.height / 2.0
    centre = seated(at(r + clear, middle), d.height, "middle")
    ink.append(Words(centre, d.text, d.height, anchor="middle", plate=True))
    return ink


def round_dimension(d: RoundDimension, scale: Scale) -> list[Ink]:
    """A radius or a diameter with its leader."""
    centre, r = scale.point(d.centre), d.radius * scale.factor
    u = (math.cos(d.at), -math.sin(d.at))

    def at(distance: float) -> Point2:
        return (centre[0] + distance * u[0], centre[1] + distance * u[1])

    ink: list[Ink] = []
    if d.across:
        way, _ = readable(d.at)
        ink += [line(at(-r), at(r), "dimension"), arrow(at(r), u), arrow(at(-r), (-u[0], -u[1]))]
        ink.append(
            Words(
                seated(at(0.3 * r), d.height, "middle", way),
                d.text,
                d.height,
                anchor="middle",
                angle=way,
                plate=True,
            )
        )
        return ink
    if d.from_centre:
        ink.append(line(centre, at(r), "dimension"))
        ink.append(arrow(at(r), u))
    else:
        ink.append(arrow(at(r), (-u[0], -u[1])))
    elbow = at(r + d.reach_out)
    hand = 1.0 if u[0] >= 0.0 else -1.0
    shelf = (elbow[0] + 2.5 * hand, elbow[1])
    ink.append(Stroke(Path((at(r), elbow, shelf)), "dimension"))
    ink.append(
        Words(
            seated((shelf[0] + 0.8 * hand, shelf[1]), d.height, "middle"),
            d.text,
            d.height,
            anchor="left" if hand > 0 else "right",
            plate=True,
        )
    )
    return ink


def slope(d: Slope, scale: Scale) -> list[Ink]:
    """A small right triangle on a leaning line, with the fall written beside it."""
    x, y = scale.point(d.at)
    half = d.length / 2.0
    a = (x - half * math.cos(d.angle), y + half * math.sin(d.angle))
    b = (x + half * math.cos(d.angle), y - half * math.sin(d.angle))
    corner = (b[0], a[1])
    ink: list[Ink] = [Stroke(Path((a, b, corner), closed=True), "dimension")]
    below = a[1] >= b[1]
    seat = (corner[1] + 1.2 + d.height) if below else (corner[1] - 1.2)
    ink.append(Words(((a[0] + b[0]) / 2.0, seat), d.text, d.height, anchor="middle", plate=True))
    return ink
