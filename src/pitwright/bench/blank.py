"""What is shown of a job before its facts are known: what to measure, and whatever can be drawn already."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, Final

from pitwright.bench.drawings import View
from pitwright.errors import PitwrightError
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.shapes import Role
from pitwright.sheets.sketch import Sketch
from pitwright.tape import Tape, parse_figure

ASK: Final = "measure this"
FACTS: Final[dict[str, tuple[str, str]]] = {
    "job.name": ("what the job is called", "name it"),
    "vessel.around": ("tape right round the outside skin", ASK),
    "vessel.wall": ("wall by gauge", ASK),
    "vessel.length": ("girth seam to girth seam", ASK),
    "order.grate_height": ("main grate over the floor", "ask the customer"),
}
_AROUND, _LENGTH, _GRATE = 2.4, 2.1, 0.94  # of the sketch where nothing is known: not to scale, and said so [m]


def blank_rows(names: list[str]) -> list[dict[str, Any]]:
    """The facts still to be stated, as the page takes them."""
    out = []
    for name in names:
        label, ask = FACTS.get(name, (name.replace(".", " ").replace("_", " "), ASK))
        out.append({"path": name.split("."), "label": label, "ask": ask})
    return out


def blank_drawing(document: Mapping[str, Any], tape: Tape, view: View) -> Drawing:
    """The bare vessel and its grate line: known figures written, unknown ones asked for; old-position lines where guessed."""
    vessel = document.get("vessel") if isinstance(document.get("vessel"), Mapping) else {}
    order = document.get("order") if isinstance(document.get("order"), Mapping) else {}
    assert isinstance(vessel, Mapping)
    assert isinstance(order, Mapping)
    around = _read(vessel.get("around"), tape)
    across = _read(vessel.get("outside_diameter"), tape)
    if around is None and across is not None:
        around = math.pi * across
    length = _read(vessel.get("length"), tape)
    grate = _read(order.get("grate_height"), tape)
    sketch = Sketch(length=tape.length, angle=tape.angle)
    radius = (around or _AROUND) / (2.0 * math.pi)
    long, high = length or _LENGTH, grate or max(_GRATE, radius + 0.3)

    def said(value: float | None, what: str, name: str) -> str:
        return f"{what}: {tape.length(value)}" if value is not None else f"{what}: {FACTS[name][1]}"

    if view in ("stack end", "fire end"):
        role: Role = "ghost" if around is None else "outline"
        sketch.circle((0.0, high), radius, role)
        sketch.centre_lines((0.0, high), radius)
        corner = (radius * math.cos(0.8), high + radius * math.sin(0.8))
        sketch.callout(corner, said(around, "tape around", "vessel.around"), toward=0.8, about="")
        inner = (radius * math.cos(2.3), high + radius * math.sin(2.3))
        wall = vessel.get("wall")
        sketch.callout(inner, f"wall by gauge: {wall if wall else ASK}", toward=2.3)
        half = radius
    else:
        role = "ghost" if around is None or length is None else "outline"
        half = long / 2.0
        if view == "plan":
            high = 0.0
        sketch.rectangle(-half, high - radius, half, high + radius, role)
        sketch.line((-half - 0.05, high), (half + 0.05, high), "centre")
        if view == "wrap map":
            sketch.text((0.0, high), "the skin laid flat comes with the survey", anchor="middle", plate=True)
        sketch.dim(
            (-half, high + radius), (half, high + radius), "above", said(length, "seam to seam", "vessel.length")
        )
        sketch.callout((0.4 * half, high + radius), said(around, "tape around", "vessel.around"), toward=1.2)
    if view in ("side", "stack end", "fire end"):
        sketch.line((-half - 0.3, 0.0), (half + 0.3, 0.0), "ground")
        sketch.line((-0.9 * half, high - 0.03), (0.9 * half, high - 0.03), "hidden")
        text = said(grate, "main grate", "order.grate_height")
        sketch.dim((-half - 0.1, 0.0), (-half - 0.1, high - 0.03), "left", text)
    if None in (around, length, grate):
        sketch.text((0.0, -0.12 if high else -radius - 0.12), "not to scale: dashed lines are only for looks",
                    anchor="middle", seat="top")  # fmt: skip
    return sketch.drawing()


def _read(value: Any, tape: Tape) -> float | None:
    """A typed length; None where it is blank or cannot be read yet."""
    if value is None or isinstance(value, Mapping | list | bool):
        return None
    try:
        read = float(parse_figure(value, "length", system=tape.system, field=""))
    except PitwrightError:
        return None
    return read if 0.01 < read < 60.0 else None
