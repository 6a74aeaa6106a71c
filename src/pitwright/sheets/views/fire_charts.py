"""Charts of the fire, drawn straight on the paper: curves with their band, the draw diagram, the heat as a flow.

Tones tell things apart as well as lines do, so that a cheap black printer is enough.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import KW_ONLY, dataclass

from pitwright.sheets import lettering
from pitwright.sheets.blocks import Block, heading
from pitwright.sheets.ink import Ink, Patch, Path, Stroke, Words, block, disc, line, rectangle
from pitwright.sheets.shapes import Role

Point = tuple[float, float]

_HEAD = 7.4  # from the top of a heading to what follows it [mm]
_LETTERS = 2.1
_LEFT, _RIGHT, _FOOT = 14.0, 7.0, 10.5


@dataclass(frozen=True, slots=True)
class Axis:
    """Even steps along an axis, and how a figure on it is written."""

    steps: tuple[float, ...]
    write: Callable[[float], str]
    name: str

    def share(self, value: float) -> float:
        """Where a value lies between the first and the last step, 0 to 1 (beyond them outside)."""
        return (value - self.steps[0]) / (self.steps[-1] - self.steps[0])


@dataclass(frozen=True, slots=True)
class Curve:
    """A line through points, its role and what it is; `right`: read on the right-hand axis."""

    points: tuple[Point, ...]
    role: Role
    name: str
    right: bool = False


@dataclass(frozen=True, slots=True)
class Curves:
    """Curves over one level axis, with a band, level lines and numbered marks.

    band    (x, low, high) along it, shaded; band_name: what it is
    levels  (value, name): level lines
    marks   (x, value): spots named by mark_names (numbered where not), an upright line dropped from each
    """

    title: str
    curves: tuple[Curve, ...]
    _: KW_ONLY
    across: Axis
    up: Axis
    right: Axis | None = None
    band: tuple[tuple[float, float, float], ...] = ()
    band_name: str = ""
    levels: tuple[tuple[float, str], ...] = ()
    marks: tuple[Point, ...] = ()
    mark_names: tuple[str, ...] = ()
    tall: float = 44.0

    def height(self, width: float) -> float:
        """How tall it is at a width [mm]."""
        return _HEAD + 4.4 + self.tall + _FOOT + _key_height(self._key(), width)

    def split(self, width: float, room: float) -> tuple[Block | None, Block | None]:
        """A chart is never cut."""
        return (self, None) if self.height(width) <= room + 1e-9 else (None, self)

    def draw(self, x: float, y: float, width: float) -> tuple[Ink, ...]:
        """Its ink with its top left corner at (x, y) [mm]."""
        right_room = _LEFT if self.right else _RIGHT
        left, right = x + _LEFT, x + width - right_room
        top, foot = y + _HEAD + 4.4, y + _HEAD + 4.4 + self.tall

        def at(px: float, value: float, axis: Axis = self.up) -> Point:
            return (left + self.across.share(px) * (right - left), foot - axis.share(value) * (foot - top))

        def held(p: Point) -> Point:
            return (min(max(p[0], left), right), min(max(p[1], top), foot))

        ink: list[Ink] = list(heading(self.title, x, y, width))
        if self.band:
            edge = [*(held(at(px, high)) for px, _, high in self.band), *(held(at(px, low)) for px, low, _ in reversed(self.band))]  # fmt: skip
            ink.append(Patch((Path(tuple(edge), closed=True),), 0.16))
        ink += self._axes(left, right, top, foot)
        ink.append(Words((x, y + _HEAD + _LETTERS), self.up.name, _LETTERS, bold=True))
        if self.right:
            ink.append(Words((x + width, y + _HEAD + _LETTERS), self.right.name, _LETTERS, anchor="right", bold=True))
        for value, name in self.levels:
            level = at(0.0, value)[1]
            if top - 1e-6 <= level <= foot + 1e-6:
                ink.append(line((left, level), (right, level), "bend"))
                if name:
                    ink.append(self._named(name, level, left, right, at))
        for curve in self.curves:
            axis = self.right if curve.right and self.right else self.up
            ink.append(Stroke(Path(tuple(held(at(px, v, axis)) for px, v in curve.points)), curve.role))
        for i, (px, value) in enumerate(self.marks, start=1):
            spot = held(at(px, value))
            ink += [line((spot[0], spot[1]), (spot[0], foot), "centre"), Stroke(disc(spot, 0.9), "outline")]
            ink.append(
                Words(
                    (spot[0], foot - 1.2),
                    self.mark_names[i - 1] if self.mark_names else str(i),
                    2.4,
                    anchor="middle",
                    bold=True,
                    plate=True,
                )
            )
        ink.append(Words((left, foot + 5.8 + _LETTERS), self.across.name, _LETTERS))
        ink += _key(self._key(), x, foot + _FOOT, width)
        return tuple(ink)

    def _named(self, name: str, level: float, left: float, right: float, at: Callable[[float, float], Point]) -> Words:
        """The name of a level line, at the end where the curves keep farther from it."""
        wide = lettering.width(name, _LETTERS) + 2.0
        spots = [at(px, v) for c in self.curves if not c.right for px, v in c.points]

        def free(x0: float, x1: float) -> float:
            return min((abs(py - level + 1.5) for px, py in spots if x0 <= px <= x1), default=1e9)

        if free(right - wide, right) >= free(left, left + wide):
            return Words((right - 1.0, level - 0.9), name, _LETTERS, anchor="right", plate=True)
        return Words((left + 1.0, level - 0.9), name, _LETTERS, plate=True)

    def _axes(self, left: float, right: float, top: float, foot: float) -> list[Ink]:
        ink: list[Ink] = []
        for step in self.up.steps:
            level = foot - self.up.share(step) * (foot - top)
            ink.append(line((left - 1.2, level), (right, level), "thin"))
            ink.append(Words((left - 2.0, level + _LETTERS / 2.0), self.up.write(step), _LETTERS, anchor="right"))
        for step in self.right.steps if self.right else ():
            level = foot - self.right.share(step) * (foot - top) if self.right else foot
            ink.append(line((right, level), (right + 1.2, level), "thin"))
            ink.append(
                Words((right + 2.0, level + _LETTERS / 2.0), self.right.write(step) if self.right else "", _LETTERS)
            )
        for step in self.across.steps:
            place = left + self.across.share(step) * (right - left)
            ink.append(line((place, foot), (place, foot + 1.2), "outline"))
            ink.append(Words((place, foot + 2.0 + _LETTERS), self.across.write(step), _LETTERS, anchor="middle"))
        return [*ink, line((left, top), (left, foot), "outline"), line((left, foot), (right, foot), "outline")]

    def _key(self) -> tuple[tuple[Role | None, str], ...]:
        named: list[tuple[Role | None, str]] = [(c.role, c.name) for c in self.curves if c.name]
        if self.band and self.band_name:
            named.append((None, self.band_name))
        return tuple(named)


def _key_lines(key: Sequence[tuple[Role | None, str]], width: float) -> list[tuple[Role | None, tuple[str, ...]]]:
    return [(role, lettering.wrap(name, width - 12.0, _LETTERS)) for role, name in key]


def _key_height(key: Sequence[tuple[Role | None, str]], width: float) -> float:
    return sum(3.6 + 2.9 * (len(lines) - 1) for _, lines in _key_lines(key, width))


def _key(key: Sequence[tuple[Role | None, str]], x: float, y: float, width: float) -> list[Ink]:
    """What each line and the shaded band are, under a chart."""
    ink: list[Ink] = []
    for role, lines in _key_lines(key, width):
        if role is None:
            ink.append(block((x, y + 0.3, x + 9.0, y + 2.5), 0.16))
        else:
            ink.append(line((x, y + 1.4), (x + 9.0, y + 1.4), role))
        for k, text in enumerate(lines):
            ink.append(Words((x + 11.0, y + _LETTERS + 0.3 + 2.9 * k), text, _LETTERS))
        y += 3.6 + 2.9 * (len(lines) - 1)
    return ink


# ---------------------------------------------------------------- draw


@dataclass(frozen=True, slots=True)
class Step:
    """One line of the draw diagram: pressure made or spent [Pa], and it written."""

    name: str
    made: float
    spent: float
    text: str


@dataclass(frozen=True, slots=True)
class Waterfall:
    """Where pressure is made (dark, to the right) and where it is spent (hatched, to the left), inlet to stack top.

    The bars hang one from another; the upright line is the pressure of the air outside.
    """

    title: str
    steps: tuple[Step, ...]
    row: float = 5.6

    def height(self, width: float) -> float:
        """How tall it is [mm]."""
        return _HEAD + self.row * len(self.steps) + 8.0

    def split(self, width: float, room: float) -> tuple[Block | None, Block | None]:
        """A diagram is never cut."""
        return (self, None) if self.height(width) <= room + 1e-9 else (None, self)

    def draw(self, x: float, y: float, width: float) -> tuple[Ink, ...]:
        """Its ink with its top left corner at (x, y) [mm]."""
        names = max(lettering.width(s.name, _LETTERS) for s in self.steps) + 3.0
        figures = max(lettering.width(s.text, _LETTERS) for s in self.steps) + 2.0
        left, right = x + names, x + width - figures
        sums = [0.0]
        for s in self.steps:
            sums.append(sums[-1] + s.made - s.spent)
        low, high = min(sums), max(sums)
        span = max(high - low, 1e-12)

        def across(value: float) -> float:
            return left + (value - low) / span * (right - left)

        ink: list[Ink] = list(heading(self.title, x, y, width))
        top = y + _HEAD
        foot = top + self.row * len(self.steps)
        ink.append(line((across(0.0), top - 0.6), (across(0.0), foot + 1.2), "centre"))
        for i, s in enumerate(self.steps):
            a, b = sorted((across(sums[i]), across(sums[i + 1])))
            down = top + self.row * i
            box = (a, down + 0.9, max(b, a + 0.25), down + self.row - 0.9)
            base = down + self.row / 2.0 + _LETTERS / 2.0
            ink += [block(box, 0.55)] if s.made else [block(box, 0.12), *_slanted(box)]
            ink += [rectangle(box, "outline"), line((across(sums[i + 1]), box[3]), (across(sums[i + 1]), down + self.row + 0.9), "thin")]  # fmt: skip
            ink.append(Words((x, base), s.name, _LETTERS))
            ink.append(Words((x + width, base), s.text, _LETTERS, anchor="right"))
        ink.append(Words((x, foot + 4.6), "dark: made by a rise; hatched: spent; broken line: air outside", _LETTERS))
        return tuple(ink)


def _slanted(box: tuple[float, float, float, float], pitch: float = 1.8) -> list[Ink]:
    """Slanting lines inside a box [mm]."""
    x0, y0, x1, y1 = box
    tall = y1 - y0
    ink: list[Ink] = []
    start = x0 - tall + pitch
    while start < x1:
        a, b = max(start, x0), min(start + tall, x1)
        ink.append(line((a, y1 - (a - start)), (b, y1 - (b - start)), "thin"))
        start += pitch
    return ink


# ---------------------------------------------------------------- heat


@dataclass(frozen=True, slots=True)
class Stream:
    """A share of the heat: where it goes, its part of the whole, and it written."""

    name: str
    share: float
    text: str


@dataclass(frozen=True, slots=True)
class Flow:
    """The heat of the wood parting into where it goes; each band as wide as its share."""

    title: str
    source: str
    streams: tuple[Stream, ...]
    tall: float = 46.0

    _SLOT = 4.4
    _SPLAY = 8.0

    def height(self, width: float) -> float:
        """How tall it is [mm]."""
        return _HEAD + sum(self._slots()) + 8.0

    def split(self, width: float, room: float) -> tuple[Block | None, Block | None]:
        """A picture is never cut."""
        return (self, None) if self.height(width) <= room + 1e-9 else (None, self)

    def _slots(self) -> list[float]:
        return [max(s.share * self.tall + 0.9, self._SLOT) for s in self.streams]

    def draw(self, x: float, y: float, width: float) -> tuple[Ink, ...]:
        """Its ink with its top left corner at (x, y) [mm]."""
        ink: list[Ink] = list(heading(self.title, x, y, width))
        label = max(
            lettering.width(s.name, _LETTERS) + lettering.width(s.text, _LETTERS, bold=True) for s in self.streams
        )
        slots = self._slots()
        top = y + _HEAD + 4.0
        end = max(x + width - label - 5.0, x + 16.0)
        trunk = min(x + max(8.0, 0.12 * width), end - self._SPLAY)
        start = top + (sum(slots) - self.tall) / 2.0
        ink.append(Words((x, y + _HEAD + _LETTERS), self.source, _LETTERS, bold=True))
        ink.append(block((x, start, trunk, start + self.tall), 0.30))
        ink.append(rectangle((x, start, trunk, start + self.tall), "outline"))
        here, down = start, top
        for i, (s, slot) in enumerate(zip(self.streams, slots, strict=True)):
            wide = s.share * self.tall
            out = down + (slot - wide) / 2.0
            edge = _ribbon((trunk, here), (end, out), wide)
            ink.append(Patch((Path(edge, closed=True),), 0.30 if i % 2 == 0 else 0.14))
            ink.append(Stroke(Path(edge, closed=True), "thin"))
            ink.append(Words((end + 1.6, down + slot / 2.0 + _LETTERS / 2.0), s.name, _LETTERS))
            ink.append(
                Words((x + width, down + slot / 2.0 + _LETTERS / 2.0), s.text, _LETTERS, anchor="right", bold=True)
            )
            here += wide
            down += slot
        return tuple(ink)


def _ribbon(a: Point, b: Point, wide: float, pieces: int = 12) -> tuple[Point, ...]:
    """The edge of a band of even height from one upright edge to another, swung smoothly between [mm]."""
    upper = []
    for k in range(pieces + 1):
        u = k / pieces
        swing = u * u * (3.0 - 2.0 * u)
        upper.append((a[0] + u * (b[0] - a[0]), a[1] + swing * (b[1] - a[1])))
    return (*upper, *((px, py + wide) for px, py in reversed(upper)))


# ---------------------------------------------------------------- tones


@dataclass(frozen=True, slots=True)
class Tones:
    """The legend of a shaded section: a box for each step, the limits written between them."""

    title: str
    limits: tuple[str, ...]
    tones: tuple[float, ...]

    def height(self, width: float) -> float:
        """How tall it is [mm]."""
        return 10.6

    def split(self, width: float, room: float) -> tuple[Block | None, Block | None]:
        """A legend is never cut."""
        return (self, None) if self.height(width) <= room + 1e-9 else (None, self)

    def draw(self, x: float, y: float, width: float) -> tuple[Ink, ...]:
        """Its ink with its top left corner at (x, y) [mm]."""
        each = width / len(self.tones)
        ink: list[Ink] = [Words((x, y + _LETTERS), self.title, _LETTERS, bold=True)]
        for i, tone in enumerate(self.tones):
            box = (x + i * each, y + 3.2, x + (i + 1) * each, y + 6.6)
            ink += [block(box, tone), rectangle(box, "thin")]
        for i, text in enumerate(self.limits, start=1):
            ink.append(Words((x + i * each, y + 9.6), text, _LETTERS, anchor="middle"))
        return tuple(ink)
