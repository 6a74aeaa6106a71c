"""Every mark on the skin as a person pulls it: station from the datum seam, around from the top line.

Marks that place a cut are left out where the vessel's make-safe record is not complete. What the vessel brought along
(its long seam, its fittings) is listed too, to check the top line and the datum by.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from pitwright.layout.model import Pit

CLOSES = "top line again: it must close"
CLOSES_ON_END = "front line again: it must close"
_SEAMS = ("fire seam", "stack seam", "bottom seam", "top seam")


@dataclass(frozen=True, slots=True, kw_only=True)
class SkinPoint:
    """One mark: station and around [m] as the tape reads them, rounded once.

    there  it is on the vessel already: a check, not a mark to make
    """

    station: float
    around: float
    what: str
    cut: bool = False
    there: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Pull:
    """One figure of one pull of the tape: the figure, the same read from the far end, and what is marked there [m]."""

    figure: float
    back: float
    what: tuple[str, ...]
    there: bool


def skin_points(pit: Pit) -> tuple[SkinPoint, ...]:
    """All marks on the shell that are issued, by rising station and then around."""
    tape, vessel = pit.tape, pit.vessel
    out = [
        SkinPoint(station=tape.rounded(m.along), around=tape.rounded(m.around), what=m.what, cut=m.needs)
        for m in pit.marks
        if m.on == "shell" and (pit.cleared or not m.needs)
    ]
    if vessel.long_seam_clock is not None:
        around = tape.rounded(positive_around(pit, vessel.long_seam_clock))
        ends = ("bottom seam", "top seam") if vessel.on_end else ("fire seam", "stack seam")
        for x, end in zip((0.0, vessel.length), ends, strict=True):
            out.append(
                SkinPoint(station=tape.rounded(vessel.station(x)), around=around, what=f"long seam, {end}", there=True)
            )
    for fitting in vessel.fittings:
        if fitting.on == "shell":
            station, around = vessel.station(fitting.x), positive_around(pit, fitting.clock)
            what = f"{fitting.name} ({fitting.plan})"
            out.append(SkinPoint(station=tape.rounded(station), around=tape.rounded(around), what=what, there=True))
    return tuple(sorted(out, key=lambda p: (p.station, p.around, p.what)))


def positive_around(pit: Pit, clock: float) -> float:
    """Around of a clock, from 0 to once round [m]."""
    return pit.vessel.outer_radius * (clock % (2.0 * math.pi))


def along_pulls(pit: Pit) -> tuple[Pull, ...]:
    """The one pull along the top line: every station once, rising."""
    return _pulls(skin_points(pit), lambda p: p.station, along_name, pit.tape.rounded(pit.vessel.length))


def round_pulls(pit: Pit) -> tuple[Pull, ...]:
    """The one pull round the skin from the top line: every around once, rising, and the closing figure."""
    full = pit.tape.rounded(pit.vessel.around)
    pulls = _pulls(skin_points(pit), lambda p: p.around, around_name, full)
    return (*pulls, Pull(figure=full, back=0.0, what=(CLOSES_ON_END if pit.vessel.on_end else CLOSES,), there=False))


def _pulls(
    points: Iterable[SkinPoint], figure: Callable[[SkinPoint], float], name: Callable[[str], str], whole: float
) -> tuple[Pull, ...]:
    found: dict[float, dict[str, bool]] = {}
    for p in points:
        found.setdefault(round(figure(p), 9), {}).setdefault(name(p.what), p.there)
    return tuple(
        Pull(figure=f, back=whole - f, what=tuple(names), there=all(names.values()))
        for f, names in sorted(found.items())
    )


def along_name(what: str) -> str:
    """What a mark is called on the pull along: the side it lies on left out."""
    head, _, tail = what.partition(", ")
    if tail in _SEAMS:
        return tail
    if head.endswith((" hinge edge", " lower edge", " latch edge")):
        return f"{head.rsplit(' ', 2)[0]}, {tail}"
    if head == "stack footprint":
        return "stack centre" if tail in ("working side", "back") else f"stack, {tail}"
    if tail in ("working side", "back side", "front side"):
        return head.removesuffix(" centre").removesuffix(" edge")
    return "firebox window" if what == "firebox window centre" else what


def around_name(what: str) -> str:
    """What a mark is called on the pull round: the station it lies at left out."""
    head, _, tail = what.partition(", ")
    if tail in _SEAMS:
        return head
    for edge in ("hinge edge", "lower edge", "latch edge"):
        if head.endswith(f" {edge}"):
            return f"doors, {edge}"
    if head == "stack footprint":
        return "stack centre" if tail in ("fire side", "stack side", "lower edge", "upper edge") else f"stack, {tail}"
    if what == "firebox window centre" or (head == "firebox window" and tail in ("lower edge", "upper edge")):
        return "firebox window"
    return what
