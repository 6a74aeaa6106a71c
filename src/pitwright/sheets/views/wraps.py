"""A wrap laid flat: the curve of a pipe's cut end over its tape-around, and the ordinates to mark it by."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from pitwright.geometry.curves import Template
from pitwright.layout.model import Pit
from pitwright.parts import Outline
from pitwright.sheets.blocks import Block
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import pit_sketch
from pitwright.sheets.views.spread import ByWidth

_FINE = 12  # points of the curve from one tape step to the next


def wrap_view(pit: Pit, template: Template, reach: Callable[[float], float], sides: Mapping[int, str]) -> Drawing:
    """The curve with its tape steps numbered; `sides` names some of them (which side of the pipe they stand on).

    reach  of the same end, as `wrap_template` takes it [m]
    """
    s = pit_sketch(pit)
    count = len(template.steps) - 1
    most = max(step.reach + step.ordinate for step in template.steps)
    points = [
        (template.girth * i / (count * _FINE), most - reach(2.0 * math.pi * i / (count * _FINE) % (2.0 * math.pi)))
        for i in range(count * _FINE + 1)
    ]
    tall = max(template.depth, 0.02 * template.girth)
    back = -0.55 * max(tall, 0.06 * template.girth)
    s.fill(Outline.polygon(((0.0, back), *points, (template.girth, back))), 0.08)
    every = 1 if count <= 16 else 2
    for step in template.steps:
        s.line((step.tape, back), (step.tape, step.ordinate), "thin")
        if step.number % every:
            continue
        s.text((step.tape, back), str(step.number), anchor="middle", seat="middle", plate=True, bold=True)
    s.line((0.0, 0.0), (template.girth, 0.0), "mark")
    s.lines(points, "cut")
    last = template.steps[-1]
    stops = [((step.tape, step.ordinate), pit.tape.length(step.tape)) for step in template.steps[1:]]
    s.running((0.0, template.steps[0].ordinate), stops, "above", base=tall)
    for number, name in sides.items():
        step = template.steps[number]
        s.callout((step.tape, back), name, toward=-math.pi / 2.0)
    s.dim((last.tape, 0.0), (last.tape, template.depth), "right", pit.tape.length(template.depth), base=last.tape)
    return s.drawing()


def wrap_table(pit: Pit, template: Template, title: str, misses: str = "") -> Block:
    """Ordinates from the square line, with blanks, in two halves side by side where there is room for them.

    misses  what is added at steps where the end lands on nothing
    """
    tape = pit.tape
    half = (len(template.steps) - 1) // 2

    def cells(number: int) -> tuple[str, ...]:
        step = template.steps[number]
        want = tape.length(step.ordinate) + ("" if step.meets else f" {misses}")
        return (str(step.number), tape.length(step.tape), want, "")

    head = (
        Column("step", align="right"),
        Column("tape round", align="right"),
        Column("from the line", align="right", bold=True),
        Column("got", blank=True),
    )
    halves = Table((*head, *head), tuple(cells(i) + cells(i + half) for i in range(half + 1)), title=title)
    return ByWidth(halves, Table(head, tuple(cells(i) for i in range(2 * half + 1)), title=title), 125.0)
