"""The wrap map: the outside skin laid flat, as a person standing at the working side sees it unrolled.

Stations run along the paper with the fire on the side it really is on; the upper edge is the top line, and the tape
runs down the paper: over the working side, under the belly, up the back, to the top line again at the lower edge.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import Any

from pitwright.layout.model import Pit
from pitwright.layout.upright_model import UprightLayout
from pitwright.parts import Bar, Outline, Placement, Point2, Shell, Vec
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.lettered import Side, Stop
from pitwright.sheets.shapes import Role
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.views.common import known, pit_sketch
from pitwright.sheets.views.seen import bar_ends
from pitwright.sheets.views.skin_points import CLOSES, CLOSES_ON_END, Pull, along_pulls, round_pulls

_SEAM_TONE = 0.42
_KEEP_TONE = 0.14
_CURVE = 64


def wrap_map(pit: Pit) -> Drawing:
    """The skin laid flat. Openings and their figures are left out where no cut marks are issued."""
    page = _Skin(pit)
    sketch = page.sketch
    page.keep_outs()
    page.lines()
    page.standing()
    page.fittings()
    if pit.cleared:
        page.openings()
    else:
        at = (page.u(pit.vessel.length / 2.0), -pit.vessel.around * 0.17)
        sketch.text(at, "NO CUT MARKS ISSUED", height=7.0, anchor="middle", bold=True, plate=True)
        at = (at[0], at[1] - 0.06 * pit.vessel.around)
        sketch.text(at, "make-safe record not complete", height=3.5, anchor="middle", plate=True)
    page.tape_lists()
    return sketch.drawing()


class _Skin:
    """The flat skin of one pit: u to the right, v up, both in metres; (0, 0) is the top line at the fire seam."""

    def __init__(self, pit: Pit):
        self.pit = pit
        self.vessel = pit.vessel
        self.full = pit.vessel.around
        self.sketch: Sketch = pit_sketch(pit)

    def u(self, x: float) -> float:
        return -self.vessel.hand * x

    def at(self, x: float, around: float) -> Point2:
        return (self.u(x), -around)

    # ------------------------------------------------ what lies where

    def keep_outs(self) -> None:
        """Seams and fittings dark, the room they want round them light."""
        sketch, vessel, r = self.sketch, self.vessel, self.vessel.outer_radius
        boxes = [(k, k.x0, k.x1, r * k.clock0, r * k.clock1) for k in vessel.keep_outs]
        for k, x0, x1, a0, a1 in boxes:
            for box in self._split(x0 - k.clear, x1 + k.clear, a0 - k.clear, a1 + k.clear):
                sketch.fill(Outline.rectangle(*box), _KEEP_TONE, title=f"{k.name}: keep out")
        for k, x0, x1, a0, a1 in boxes:
            for box in self._split(x0, x1, a0, a1):
                sketch.fill(Outline.rectangle(*box), _SEAM_TONE, title=k.name)

    def _split(self, x0: float, x1: float, a0: float, a1: float) -> Iterator[tuple[float, float, float, float]]:
        """A patch of skin as one or two boxes of the map (u0, v0, u1, v1)."""
        x0, x1 = max(x0, 0.0), min(x1, self.vessel.length)
        if x1 <= x0:
            return
        if a1 - a0 >= self.full:
            a0, a1 = 0.0, self.full
        turn = math.floor(a0 / self.full) * self.full
        for shift in (turn, turn + self.full):
            lo, hi = max(a0 - shift, 0.0), min(a1 - shift, self.full)
            if hi - lo > 1e-6:
                u0, u1 = sorted((self.u(x0), self.u(x1)))
                yield u0, -hi, u1, -lo

    def lines(self) -> None:
        """The edges of the map, the quarter lines and the grate line."""
        sketch, vessel, full = self.sketch, self.vessel, self.full
        length, tape = vessel.length, self.pit.tape
        u0, u1 = sorted((0.0, self.u(length)))
        sketch.rectangle(u0, -full, u1, 0.0, "mark")
        for x in vessel.girth_seams:
            sketch.line(self.at(x, 0.0), self.at(x, full), "thin", title="girth seam")
        for quarter in (0.25, 0.5, 0.75):
            sketch.line((u0, -quarter * full), (u1, -quarter * full), "centre")
        if self.pit.upright is not None:
            self._grates_on_end(self.pit.upright)
        else:
            self._grate_line()
        if vessel.long_seam_clock is not None:
            around = self._in_map(vessel.around_at(vessel.long_seam_clock))
            text = f"long seam, {tape.length(around)}"
            sketch.callout((self.u(0.3 * length), -around), text, toward=math.pi / 2.0)

    def _grates_on_end(self, own: UprightLayout) -> None:
        """A vessel on end: every grate's height as a line round the skin."""
        for grate in own.grates:
            u = self.u(grate.x)
            self.sketch.line((u, 0.0), (u, -self.full), "ghost", title=f"{grate.name}: strike it from the bottom seam")
        self.sketch.callout((self.u(own.grates[0].x), -0.62 * self.full), "lowest grate", toward=0.8,
                            about=known(self.pit, "grates.over_seam"))  # fmt: skip

    def _grate_line(self) -> None:
        """The main grate's line, level along both sides."""
        sketch, vessel, full = self.sketch, self.vessel, self.full
        length = vessel.length
        u0, u1 = sorted((0.0, self.u(length)))
        main = self.pit.grates.levels[0]
        clock = math.acos(main.above_centre / vessel.outer_radius)
        for around in (vessel.around_at(clock), full - vessel.around_at(clock)):
            sketch.line((u0, -around), (u1, -around), "ghost", title="grate line: strike it by water level")
        sketch.callout((self.u(0.5 * length), -vessel.around_at(clock)), "grate line: by water level",
                       toward=-math.pi / 2.0, about=known(self.pit, "grates.main grate.height"))  # fmt: skip

    def standing(self) -> None:
        """Where legs, their pads and saddles meet the skin."""
        pit, sketch, vessel = self.pit, self.sketch, self.vessel
        if pit.upright is not None:
            self._posts(pit.upright)
            return
        for part in pit.parts:
            if part.group != "legs":
                continue
            for placement in part.placements:
                if isinstance(part.shape, Shell):
                    self._skin_ring(_pad_corners(part.shape, placement), part.name)
                elif isinstance(part.shape, Bar):
                    self._skin_ring([placement.point(p) for p in bar_ends(part.shape)[1]], part.name)
        for saddle in pit.saddles:
            half = vessel.outer_radius * saddle.contact / 2.0
            a0, a1 = self.full / 2.0 - half, self.full / 2.0 + half
            x0, x1 = saddle.x - saddle.thickness / 2.0, saddle.x + saddle.thickness / 2.0
            self._ring([(x0, a0), (x1, a0), (x1, a1), (x0, a1)], "mark", f"saddle {saddle.name}")
        for mark in pit.marks:
            if mark.on == "shell" and mark.what.startswith("leg "):
                at = self.at(vessel.x_at(mark.along), mark.around)
                sketch.symbol(at, "punch", size=3.0, title=mark.what)
                sketch.callout(at, mark.what.split(",")[0].removesuffix(" centre"), toward=0.6)
        for saddle in pit.saddles:
            sketch.callout(self.at(saddle.x, self.full / 2.0), f"saddle {saddle.name}", toward=0.6)

    def _posts(self, own: UprightLayout) -> None:
        """Where the posts lie on the skin of a vessel on end."""
        half = own.post.width / 2.0
        for i, post in enumerate(own.posts, start=1):
            around = self.vessel.around_at(post.clock)
            top = post.z1 - self.vessel.seam_z
            ring = [(0.0, around - half), (top, around - half), (top, around + half), (0.0, around + half)]
            self._ring(ring, "mark", f"post {i}")
            self.sketch.callout(self.at(top, self._in_map(around)), f"post {i}", toward=2.4)

    def fittings(self) -> None:
        """The fittings the vessel brought, and what becomes of each."""
        for fitting in self.vessel.fittings:
            if fitting.on != "shell":
                continue
            at = self.at(fitting.x, self._in_map(self.vessel.around_at(fitting.clock)))
            self.sketch.circle(at, fitting.size / 2.0, "thin", title=fitting.name)
            use = f"serves as {fitting.serves}" if fitting.serves else fitting.plan
            tape, station = self.pit.tape, self.vessel.station(fitting.x)
            text = f"{fitting.name}: {use}\n{tape.length(station)} along, {tape.length(-at[1])} round"
            self.sketch.callout(at, text, toward=-0.6)

    def openings(self) -> None:
        """Everything that is cut: doors with their wrap diagonals, stack hole and footprint, drain."""
        pit, sketch, tape = self.pit, self.sketch, self.pit.tape
        for opening in pit.openings:
            if opening.on == "shell":
                self._ring(list(opening.outline), "cut", opening.name)
        for door in pit.doors if pit.upright is None else ():
            low, high = pit.vessel.around_at(door.hinge_clock), pit.vessel.around_at(door.edge_clock)
            ends = sorted((self.u(door.x0), self.u(door.x1)))
            middle = ((ends[0] + ends[1]) / 2.0, -(low + high) / 2.0)
            sketch.line((ends[0], -high), (ends[1], -low), "thin", title=f"{door.name}, wrap diagonal")
            sketch.line((ends[0], -low), (ends[1], -high), "thin", title=f"{door.name}, wrap diagonal")
            step = 0.025 * (high - low)
            over, under = (middle[0], middle[1] + step), (middle[0], middle[1] - step)
            sketch.text(over, door.name, height=3.0, anchor="middle", bold=True, plate=True)
            sketch.text(under, f"wrap {tape.fine(door.diagonal)}", anchor="middle", seat="top", plate=True)
        stack = pit.stack
        if stack.place == "top":
            r, skin = stack.profile.height / 2.0, pit.vessel.outer_radius
            turns = [2.0 * math.pi * i / _CURVE for i in range(_CURVE)]
            ring = [(stack.x + r * math.cos(t), skin * math.asin((stack.y + r * math.sin(t)) / skin)) for t in turns]
            self._ring(ring, "mark", "footprint of the stack")
            centre = self.at(stack.x, self._in_map(pit.vessel.around_at(stack.clock)))
            sketch.symbol(centre, "punch", size=3.0, title="stack centre")
            sketch.callout(centre, "stack", toward=math.pi / 2.0, about=known(pit, "stack.x"))
        if pit.upright is not None:
            door, window = pit.doors[0], pit.upright.window
            reach = pit.vessel.around_at(abs(door.hinge_clock))
            for around, text in (
                (0.5 * reach, f"door, wrap {tape.fine(door.diagonal)}"),
                (self.full - 0.5 * reach, "door"),
            ):
                at = self.at((door.x0 + door.x1) / 2.0, around)
                sketch.text(at, text, height=2.6, anchor="middle", seat="middle", bold=True, plate=True)
            self._ring(list(window.joint), "mark", "outside of the firebox")
            middle = self.at((window.x0 + window.x1) / 2.0, self._in_map(pit.vessel.around_at(window.clock)))
            sketch.text(middle, "window", height=2.6, anchor="middle", seat="middle", bold=True, plate=True)
            return
        drain = self.at(pit.grates.drain_x, self._in_map(pit.vessel.around_at(pit.grates.drain_clock)))
        sketch.symbol(drain, "centre", size=3.0)
        sketch.callout(drain, "drain", toward=-0.8, about=known(pit, "drain.station"))

    def _in_map(self, around: float) -> float:
        return around % self.full

    def _skin_ring(self, points: list[Vec], title: str) -> None:
        """What stands on the shell, by points of the pit; nothing for what stands on the firebox."""
        vessel = self.vessel
        if max(p[0] for p in points) < 0.0:
            return
        ring = [(x, vessel.outer_radius * math.atan2(y, z - vessel.centre_z)) for x, y, z in points]
        self._ring(_unwound(ring, self.full), "mark", title)

    def _ring(self, ring: list[tuple[float, float]], role: Role, title: str) -> None:
        """A closed ring of (x, around), parted where it crosses the top line."""
        from shapely import Polygon, box

        arounds = [a for _, a in ring]
        window = box(0.0, 0.0, self.vessel.length, self.full)
        for turn in range(math.floor(min(arounds) / self.full), math.floor(max(arounds) / self.full) + 1):
            shape: Any = Polygon([(x, a - turn * self.full) for x, a in ring])
            if window.contains(shape):
                self.sketch.lines([self.at(x, a - turn * self.full) for x, a in ring], role, closed=True, title=title)
                continue
            edge = shape.exterior.intersection(window)
            for piece in getattr(edge, "geoms", [edge]):
                if piece.geom_type == "LineString" and piece.length > 1e-6:
                    self.sketch.lines([self.at(float(x), float(a)) for x, a in piece.coords], role, title=title)

    # ------------------------------------------------ the two pulls

    def tape_lists(self) -> None:
        """Stations in one pull along the lower edge, arounds in one pull beside the datum seam; the ends named."""
        pit, vessel, full = self.pit, self.vessel, self.full
        tape = pit.tape

        def stop(at: Point2, pull: Pull, name: Callable[[str], str]) -> Stop:
            return Stop(at, f"{_short(pull, name)}  {tape.length(pull.figure)}")

        datum = (self.u(vessel.x_at(0.0)), -full)
        pulls = [p for p in along_pulls(pit) if not p.there and p.figure > tape.step / 2.0]
        stops = [stop((self.u(vessel.x_at(p.figure)), -full), p, _brief_along) for p in pulls]
        self.sketch.running(datum, stops, "below", base=-full, datum_text="datum seam  0")
        side: Side = "left" if (vessel.hand > 0) == (vessel.datum == "stack") else "right"
        edges: dict[Side, float] = {"left": min(0.0, self.u(vessel.length)), "right": max(0.0, self.u(vessel.length))}
        pulls = [p for p in round_pulls(pit) if not p.there and p.figure > tape.step / 2.0]
        stops = [stop((edges[side], -p.figure), p, _brief_round) for p in pulls]
        self.sketch.running(
            (edges[side], 0.0),
            stops,
            side,
            base=edges[side],
            datum_text="top line  0" if pit.upright is None else "front line  0",
        )
        away: Side = "right" if side == "left" else "left"
        way = 1.0 if away == "right" else -1.0
        end = "fire" if vessel.datum == "stack" else "stack"
        sides = ((0.3, f"working side,\n{end} end"), (0.7, f"back,\n{end} end"))
        if pit.upright is not None:
            sides = ((0.25, "far side,\ntop"), (0.75, "firebox side,\ntop"))
        for share, text in sides:
            self.sketch.callout((edges[away], -share * full), text, offset=(8.0 * way, 0.0), bold=True)


def _short(pull: Pull, name: Callable[[str], str]) -> str:
    names = list(dict.fromkeys(name(w) for w in pull.what if "(" not in w)) or [name(w) for w in pull.what]
    return names[0] if len(names) == 1 else f"{names[0]}, {names[1]}" + (" ..." if len(names) > 2 else "")


def _brief_along(what: str) -> str:
    """A station's name on the map, where the drawing shows the rest."""
    head, _, tail = what.partition(", ")
    if head == "stack":
        return "stack edge"
    return "seam" if what in ("fire seam", "stack seam", "bottom seam", "top seam") else head if tail else what


def _brief_round(what: str) -> str:
    """An around's name on the map."""
    head, _, tail = what.partition(", ")
    if head.startswith("leg "):
        return f"legs, {tail.removesuffix(' side')}"
    if head.startswith("saddle "):
        return f"saddles, {tail.removesuffix(' side')}"
    if head == "stack":
        return "stack edge"
    return {CLOSES: "top line, closes", CLOSES_ON_END: "front line, closes"}.get(what, what)


def _pad_corners(pad: Shell, placement: Placement) -> list[Vec]:
    """The corners of a pad, in the pit frame."""
    r = pad.outer_radius
    corners = ((0.0, pad.clock0), (pad.length, pad.clock0), (pad.length, pad.clock1), (0.0, pad.clock1))
    return [placement.point((x, r * math.sin(c), r * math.cos(c))) for x, c in corners]


def _unwound(ring: list[tuple[float, float]], full: float) -> list[tuple[float, float]]:
    """A ring whose arounds do not jump by once round."""
    first = ring[0][1]
    return [(x, first + math.remainder(a - first, full)) for x, a in ring]
