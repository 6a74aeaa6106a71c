"""The vessel's profile: a gauge to lay on the skin, and the true arc for leg tops and saddles."""

from __future__ import annotations

import math

from pitwright.geometry.round import sagitta
from pitwright.layout.model import Pit
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.templates.record import Template, lettered
from pitwright.sheets.views.common import pit_sketch
from pitwright.tape import INCH, MILLIMETRE

_CHORD = 1.2  # of the radius, at most
_LONGEST = 18.0 * INCH
_BAND = 40.0 * MILLIMETRE
_TICK = math.radians(5.0)


def profile_templates(pit: Pit) -> tuple[Template, ...]:
    """The vessel's outside arc; the firebox's too where legs stand under it."""
    out = [_profile(pit, "vessel", pit.vessel.outer_radius)]
    box = pit.firebox
    if box.shape == "round" and any(s.x < 0.0 for s in pit.leg_sets):
        more = box.double_gap + box.outer_skin if box.double_gap else 0.0
        out.append(_profile(pit, "firebox", box.width / 2.0 + more))
    return tuple(out)


def gauge_half(radius: float) -> float:
    """Half the angle the gauge spans [rad]."""
    return math.asin(min(_CHORD * radius, _LONGEST) / 2.0 / radius)


def _profile(pit: Pit, what: str, radius: float) -> Template:
    tape, half = pit.tape, gauge_half(radius)
    chord = 2.0 * radius * math.sin(half)
    rise = sagitta(radius, chord)
    oval = what == "vessel" and pit.vessel.oval > pit.tape.step / 4.0
    how = [
        f"Cut along the heavy arc, glue it to stiff card or plate, and lay the hollow edge on the outside skin, square to the "
        f"{what}'s length.",
        f"Daylight over {tape.length(tape.step)} under it is a flat or a bulge: mark the place, keep legs and door edges off it.",
        "Leg tops and saddles: lay the arc through the two edge marks of the piece and scribe; the hollow is the steel's.",
    ]
    if oval:
        how.append(
            f"This vessel is out of round by {tape.decimal(pit.vessel.oval)} either way of its mean radius: the gauge rocks a "
            "little where it is flattest and opens at its ends where it is sharpest."
        )
    return Template(
        slug=f"{what}-profile",
        name=f"{what.capitalize()} profile, outside",
        marks=tuple(p.mark for p in pit.parts if p.name == ("shell" if what == "vessel" else "firebox body")),
        drawing=_gauge(pit, what, radius, half),
        how=tuple(how),
        check=(
            "point to point of the hollow, and its depth",
            f"{tape.length(chord)}, {tape.decimal(rise, 2 if tape.inch else 1)}",
        ),
    )


def _gauge(pit: Pit, what: str, radius: float, half: float) -> Drawing:
    s, tape = pit_sketch(pit), pit.tape
    x, low = radius * math.sin(half), radius * math.cos(half) - radius
    s.arc((0.0, -radius), radius, math.pi / 2.0 - half, 2.0 * half, "cut")
    s.lines(((x, low), (x, _BAND), (-x, _BAND), (-x, low)), "outline")
    s.line((0.0, 0.0), (0.0, _BAND), "centre")
    count = int(half / _TICK)
    for i in range(-count, count + 1):
        if not i:
            continue
        a = math.pi / 2.0 - i * _TICK
        c, n = math.cos(a), math.sin(a)
        long = 0.008 if i % 2 == 0 else 0.005
        s.line((radius * c, radius * n - radius), ((radius + long) * c, (radius + long) * n - radius), "mark")
    lines = [
        (f"{what} profile, outside: radius {tape.fine(radius)}", 3.5, True),
        (f"tape around {tape.length(2.0 * math.pi * radius)}; ticks every 5 degrees, each {tape.fine(radius * _TICK)} of skin", 2.5, False),
    ]  # fmt: skip
    lettered(s, lines, 0.004, _BAND - 0.005, x - 0.012)
    lettered(
        s,
        [("hollow edge on the skin", 3.5, True), ("square to its length", 2.5, False)],
        0.008 - x,
        _BAND - 0.005,
        x - 0.02,
    )
    return s.drawing()
