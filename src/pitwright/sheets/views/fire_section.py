"""The pit cut along its axis, shaded by temperature in grey steps that any printer shows."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from pitwright.fire.result import SteadyFire
from pitwright.layout.model import Pit
from pitwright.meridian import faces
from pitwright.parts import Outline, Point2
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.views.chart import even_steps
from pitwright.sheets.views.common import pit_sketch
from pitwright.sheets.views.eye import Eye, from_working_side
from pitwright.sheets.views.fire_charts import Tones
from pitwright.tape import DEGREE_F, ZERO_CELSIUS, ZERO_FAHRENHEIT, Tape

_ACROSS: Final = 72
_ROWS: Final = 9  # of each layer
_PALE, _DARK = 0.03, 0.62


def degree_steps(tape: Tape, low: float, high: float, count: int = 4) -> tuple[float, ...]:
    """Round steps of the shop's own degrees that cover low to high [K]."""
    zero, degree = (ZERO_FAHRENHEIT, DEGREE_F) if tape.inch else (ZERO_CELSIUS, 1.0)
    steps = even_steps((low - zero) / degree, (high - zero) / degree, 1.0, count)
    return tuple(zero + degree * step for step in steps)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shades:
    """Steps of temperature [K] and the grey each gets; what lies beyond the last step is the darkest."""

    limits: tuple[float, ...]

    def step(self, temperature: float) -> int:
        """Which step a temperature falls in."""
        return sum(temperature >= limit for limit in self.limits)

    def tone(self, step: int) -> float:
        """The grey of a step, 0 white to 1 black."""
        return _PALE + (_DARK - _PALE) * step / len(self.limits)

    def legend(self, tape: Tape) -> Tones:
        """Its legend."""
        return Tones(
            "gas, by temperature",
            tuple(tape.temperature(limit) for limit in self.limits),
            tuple(self.tone(i) for i in range(len(self.limits) + 1)),
        )


def shades_of(pit: Pit, fire: SteadyFire) -> Shades:
    """Steps that divide what the chamber holds; the firebox is hotter than all of them."""
    inside = np.concatenate([fire.lower, fire.upper])
    steps = degree_steps(pit.tape, float(inside.min()), float(inside.max()), 7)
    return Shades(limits=steps[1:-1] if len(steps) > 3 else steps)


def field_at(pit: Pit, fire: SteadyFire, x: float, z: float) -> float:
    """Gas in the chamber [K]: along the zones, and straight from the middle of one layer to that of the other."""
    vessel, grate = pit.vessel, pit.grates.levels[0].z
    plates = pit.grates.plates
    foot = plates[0].z0 if plates else vessel.centre_z - vessel.inner_radius
    low, high = (foot + grate) / 2.0, (grate + vessel.centre_z + vessel.inner_radius) / 2.0
    share = min(max((z - low) / (high - low), 0.0), 1.0)
    lower, upper = float(np.interp(x, fire.x, fire.lower)), float(np.interp(x, fire.x, fire.upper))
    return (1.0 - share) * lower + share * upper


def shown_at(pit: Pit, fire: SteadyFire, x: float, z: float) -> float:
    """What the section shows [K]: the gas, and under plates the plates' own steel."""
    plates = pit.grates.plates
    return float(np.interp(x, fire.x, fire.floor)) if plates and z < plates[0].z0 else field_at(pit, fire, x, z)


def section_view(pit: Pit, fire: SteadyFire, shades: Shades) -> Drawing:
    """The shaded section, as a person at the working side sees it, the floor line at zero."""
    s, eye = pit_sketch(pit), from_working_side(pit.vessel.hand)
    _fire_and_stack_tones(s, eye, pit, fire, shades)
    _chamber_tones(s, eye, pit, fire, shades)
    _outlines(s, eye, pit)
    _figures(s, eye, pit, fire)
    x0, _, x1, _ = s.bounds()
    s.line((x0 - 0.05, 0.0), (x1 + 0.05, 0.0), "ground")
    return s.drawing()


def _box(s: Sketch, eye: Eye, x0: float, z0: float, x1: float, z1: float, tone: float) -> None:
    (a, low), (b, high) = eye.point((x0, 0.0, z0)), eye.point((x1, 0.0, z1))
    s.fill(Outline.rectangle(min(a, b), low, max(a, b), high), tone)


def _chamber_tones(s: Sketch, eye: Eye, pit: Pit, fire: SteadyFire, shades: Shades) -> None:
    vessel, grate, plates = pit.vessel, pit.grates.levels[0].z, pit.grates.plates
    bottom, top = vessel.centre_z - vessel.inner_radius, vessel.centre_z + vessel.inner_radius
    foot = plates[0].z0 if plates else bottom
    inner = [vessel.length * i / _ACROSS for i in range(1, _ACROSS)]
    for low, high in ((bottom, foot), (foot, grate), (grate, top)):
        for k in range(_ROWS if high > low else 0):
            z0, z1 = (low + (high - low) * i / _ROWS for i in (k, k + 1))
            up = abs((z0 + z1) / 2.0 - vessel.centre_z)
            edges = [_end(pit, -1, up), *inner, _end(pit, 1, up)]
            steps = [shades.step(shown_at(pit, fire, (a + b) / 2.0, (z0 + z1) / 2.0)) for a, b in pairwise(edges)]
            _runs(s, eye, edges, steps, (z0, z1), shades)


def _end(pit: Pit, way: int, up: float) -> float:
    """How far the chamber reaches toward the fire (-1) or the far end (1) at a height from its axis [m]."""
    vessel = pit.vessel
    seam, tangent, head = (
        (0.0, vessel.fire_tangent, vessel.fire_head)
        if way < 0
        else (vessel.length, vessel.stack_tangent, vessel.stack_head)
    )
    if head is None or head.kind == "flat":
        return seam
    rho, out = zip(*sorted(faces(head)[1]))
    return tangent + way * float(np.interp(up, rho, out)) if up < rho[-1] else seam


def _runs(s: Sketch, eye: Eye, edges: list[float], steps: list[int], z: tuple[float, float], shades: Shades) -> None:
    """One row of boxes, neighbours of the same step run together."""
    start = 0
    for i in range(1, len(steps) + 1):
        if i == len(steps) or steps[i] != steps[start]:
            _box(s, eye, edges[start], z[0], edges[i], z[1], shades.tone(steps[start]))
            start = i


def _stack_body(pit: Pit) -> tuple[float, float, float]:
    """(left, right, foot) of the pipe's bore, x and z [m]."""
    stack = pit.stack
    r = stack.profile.height / 2.0 - stack.profile.wall
    return stack.x - r, stack.x + r, stack.base_z if stack.place == "top" else stack.base_z - r


def _fire_and_stack_tones(s: Sketch, eye: Eye, pit: Pit, fire: SteadyFire, shades: Shades) -> None:
    box, stack = pit.firebox, pit.stack
    half = box.inside_height / 2.0
    _box(s, eye, box.x0 + box.end_plate, box.centre_z - half, box.x1, box.centre_z + half, shades.tone(shades.step(fire.fire_gas)))  # fmt: skip
    left, right, foot = _stack_body(pit)
    if stack.place == "end":
        r = (right - left) / 2.0
        _box(s, eye, pit.vessel.length, stack.base_z - r, left, stack.base_z + r, shades.tone(shades.step(fire.stack_in)))  # fmt: skip
    pieces = 6
    for i in range(pieces):
        low, high = (foot + (stack.top_z - foot) * k / pieces for k in (i, i + 1))
        gas = fire.stack_in + (fire.stack_out - fire.stack_in) * (i + 0.5) / pieces
        _box(s, eye, left, low, right, high, shades.tone(shades.step(gas)))


def _outlines(s: Sketch, eye: Eye, pit: Pit) -> None:
    vessel, box, stack = pit.vessel, pit.firebox, pit.stack
    top, bottom = vessel.centre_z + vessel.outer_radius, vessel.centre_z - vessel.outer_radius

    def lines(*points: Point2, closed: bool = False) -> None:
        s.lines([eye.point((x, 0.0, z)) for x, z in points], closed=closed)

    lines((0.0, bottom), (vessel.length, bottom))
    lines((0.0, top), (vessel.length, top))
    for seam, tangent, head, way in ((0.0, vessel.fire_tangent, vessel.fire_head, -1.0),
                                     (vessel.length, vessel.stack_tangent, vessel.stack_head, 1.0)):  # fmt: skip
        if head is not None:
            half = [(tangent + way * x, rho) for rho, x in faces(head)[0]]
            lines(*((x, vessel.centre_z + rho) for x, rho in reversed(half)), *((x, vessel.centre_z - rho) for x, rho in half))  # fmt: skip
        elif way > 0.0:
            lines((seam, bottom), (seam, top))
    low, high = vessel.centre_z + pit.throat.bottom, vessel.centre_z + pit.throat.top
    if vessel.fire_head is None:
        lines((0.0, bottom), (0.0, low))
        lines((0.0, high), (0.0, top))
    tall = box.height / 2.0
    meets = [min(box.x1, _end(pit, -1, abs(box.centre_z + side * tall - vessel.centre_z))) for side in (1.0, -1.0)]
    lines((meets[0], box.centre_z + tall), (box.x0, box.centre_z + tall), (box.x0, box.centre_z - tall), (meets[1], box.centre_z - tall))  # fmt: skip
    if vessel.fire_head is None or meets[1] == box.x1:
        lines((box.x1, min(bottom, box.centre_z + tall)), (box.x1, box.centre_z - tall))
    bars = box.x0 + box.end_plate
    lines((bars, box.grate_z), (bars + box.grate_length, box.grate_z))
    for level in pit.grates.levels:
        lines((level.x0, level.z), (level.x1, level.z))
    for plate in pit.grates.plates:
        t = plate.thickness
        lines((plate.x0, plate.z0), (plate.x1, plate.z1), (plate.x1, plate.z1 - t), (plate.x0, plate.z0 - t), closed=True)  # fmt: skip
    left, right, foot = _stack_body(pit)
    wall = stack.profile.wall
    for x in (left - wall, right + wall):
        lines(
            (x, foot if stack.place == "top" or x > stack.x else stack.base_z + (right - left) / 2.0), (x, stack.top_z)
        )
    if stack.place == "end":
        r = (right - left) / 2.0
        for z, x in ((stack.base_z - r, right + wall), (stack.base_z + r, left - wall)):
            lines((_end(pit, 1, abs(z - vessel.centre_z)), z), (x, z))


def marks_along(fire: SteadyFire, grate: int = 0) -> tuple[float, ...]:
    """The five places along a grate where thermometers lie, the fire end first [m]."""
    x = fire.grates[grate].x
    return tuple(float(x[0] + part * (x[-1] - x[0])) for part in (0.0, 0.25, 0.5, 0.75, 1.0))


def _figures(s: Sketch, eye: Eye, pit: Pit, fire: SteadyFire) -> None:
    tape, vessel, box, stack = pit.tape, pit.vessel, pit.firebox, pit.stack
    grate = pit.grates.levels[0].z
    top, bottom = vessel.centre_z + vessel.inner_radius, vessel.centre_z - vessel.inner_radius
    plates = pit.grates.plates
    foot = plates[0].z0 if plates else bottom
    for i, x in enumerate(marks_along(fire), start=1):
        for z in ((grate + 3.0 * top) / 4.0, (bottom + foot) / 2.0 if plates else (foot + grate) / 2.0):
            gas = tape.temperature(shown_at(pit, fire, x, z))
            s.text(eye.point((x, 0.0, z)), gas, anchor="middle", seat="middle", height=2.1, plate=True)
        s.text(eye.point((x, 0.0, grate)), str(i), anchor="middle", seat="middle", bold=True, plate=True)
    skins = {skin.name: skin.temperature for skin in fire.skins}
    s.text(eye.point(((box.x0 + box.x1) / 2.0, 0.0, box.centre_z)), tape.temperature(fire.fire_gas), anchor="middle", seat="middle", bold=True, plate=True)  # fmt: skip
    s.text(eye.point(((box.x0 + box.x1) / 2.0, 0.0, box.centre_z - box.height / 2.0 - 0.03)), f"skin {tape.temperature(skins['firebox'])}", anchor="middle", seat="top", plate=True)  # fmt: skip
    clear = (0.42 if stack.x > 0.5 * vessel.length else 0.58) * vessel.length
    s.text(eye.point((clear, 0.0, top + vessel.wall + 0.05)),
           f"skin {tape.temperature(skins['chamber above the grate'])} above, "
           f"{tape.temperature(skins['chamber below the grate'])} below the grate", anchor="middle", plate=True)  # fmt: skip
    s.callout(eye.point((stack.x, 0.0, stack.top_z)),
              f"smoke leaves at {tape.temperature(fire.stack_out)},\nentered the stack at {tape.temperature(fire.stack_in)}")  # fmt: skip
    if bottom < fire.neutral < top:
        a, b = eye.point((0.0, 0.0, fire.neutral)), eye.point((vessel.length, 0.0, fire.neutral))
        s.line(a, b, "ghost")
        s.callout(eye.point((0.9 * vessel.length, 0.0, fire.neutral)), "above this line the chamber presses outward")
