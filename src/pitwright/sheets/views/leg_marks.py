"""What is struck on the table for a leg: its edges, the rail and the vessel's arc, out from the centre line and up."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pitwright.knives import end_knife
from pitwright.layout.model import LegLayout, LegSet, Pit
from pitwright.parts import Bar, Part, Placement, Point2
from pitwright.saw import SawCut, saw_cut
from pitwright.tape import INCH, MILLIMETRE

_EDGE = 13  # points along an end of the leg as drawn
_STEPS = (3.0, 4.0, 6.0, 8.0)  # arc steps of the table layout [in]
_METRIC_STEPS = (75.0, 100.0, 150.0, 200.0)  # [mm]
_MOST = 11  # arc points from the bottom line to the side


@dataclass(frozen=True, slots=True, kw_only=True)
class LegPiece:
    """A leg as one piece of work: every mark that is cut alike, and one leg it stands for.

    sets  names of the sets it belongs to
    side  `both` where the twin is the same piece
    """

    parts: tuple[Part, ...]
    leg: LegLayout
    leg_set: LegSet
    placement: Placement
    cut: SawCut
    sets: tuple[str, ...]
    side: str

    @property
    def marks(self) -> tuple[str, ...]:
        """Piece marks."""
        return tuple(p.mark for p in self.parts)

    @property
    def count(self) -> int:
        """How many to cut."""
        return sum(p.quantity for p in self.parts)

    @property
    def bar(self) -> Bar:
        """Its shape."""
        shape = self.parts[0].shape
        assert isinstance(shape, Bar)
        return shape


@dataclass(frozen=True, slots=True, kw_only=True)
class TableMark:
    """A point of the table layout: out from the centre line and up from the floor line [m]."""

    name: str
    out: float
    up: float


def leg_pieces(pit: Pit) -> tuple[LegPiece, ...]:
    """Every kind of leg once, in the order of their marks."""
    found: dict[tuple[object, ...], list[LegPiece]] = {}
    for leg_set in pit.leg_sets:
        for part in pit.parts:
            name, _, rest = part.name.partition(", set ")
            set_name, _, side = rest.partition(", ")
            if name != "leg" or set_name != leg_set.name or not isinstance(part.shape, Bar):
                continue
            leg = leg_set.legs[1] if side == "back" else leg_set.legs[0]
            cut = saw_cut(part.shape)
            one = LegPiece(
                parts=(part,),
                leg=leg,
                leg_set=leg_set,
                placement=part.placements[0],
                cut=cut,
                sets=(leg_set.name,),
                side=side.removesuffix(" side") or "both",
            )
            ends = (cut.start.mitre, cut.start.tilt, cut.finish.mitre, cut.finish.tilt)  # the tilt tells the two hands
            figures = (cut.long_point, cut.short_point, *ends, abs(leg.foot_y), leg.contact)
            key = (*(round(v, 6) for v in figures), round(leg_set.height, 6), one.side, leg.state)
            found.setdefault(key, []).append(one)
    return tuple(_joined(alike) for alike in found.values())


def _joined(alike: list[LegPiece]) -> LegPiece:
    one = alike[0]
    return LegPiece(
        parts=tuple(p for piece in alike for p in piece.parts),
        leg=one.leg,
        leg_set=one.leg_set,
        placement=one.placement,
        cut=one.cut,
        sets=tuple(s for piece in alike for s in piece.sets),
        side=one.side,
    )


def carried_round(pit: Pit, piece: LegPiece) -> tuple[float, float]:
    """(radius, centre over the floor) of the round a leg carries, the firebox for a set under it [m]."""
    box = pit.firebox
    if piece.leg_set.x >= 0.0:
        return pit.vessel.outer_radius, pit.vessel.centre_z
    more = box.double_gap + box.outer_skin if box.double_gap else 0.0
    return box.width / 2.0 + more, box.centre_z


def skin_point(pit: Pit, piece: LegPiece, contact: float) -> Point2:
    """The round's skin as measured, at a clock up from the bottom line: (out, up) [m]."""
    radius, centre = carried_round(pit, piece)
    if piece.leg_set.x >= 0.0:
        radius = pit.vessel.radius_at(math.pi - contact if piece.leg.side == "working" else contact - math.pi)
    return (radius * math.sin(contact), centre - radius * math.cos(contact))


def leg_edges(piece: LegPiece) -> tuple[tuple[Point2, ...], tuple[Point2, ...]]:
    """(foot, top): the leg's two ends in the end view, from the outer face to the inner, as (out, up) [m]."""
    bar = piece.bar
    half = bar.profile.height / 2.0
    z = np.linspace(half, -half, _EDGE)
    y = np.zeros_like(z)
    ends = (end_knife(bar.start, -1).taken(y, z)[1][:, 0], end_knife(bar.finish, 1).taken(y, z)[0][:, 0])
    out = []
    for xs in ends:
        placed = [piece.placement.point((float(x), 0.0, float(h))) for x, h in zip(xs, z, strict=True)]
        out.append(tuple((abs(p[1]), p[2]) for p in placed))
    return out[0], out[1]


def table_marks(pit: Pit, piece: LegPiece) -> tuple[TableMark, ...]:
    """Foot and top of the leg and the rail's edges."""
    foot, top = leg_edges(piece)
    base, leg = pit.base, piece.leg
    half = base.rail.width / 2.0
    contact = skin_point(pit, piece, leg.contact)
    longer, shorter = ("long", "short") if piece.cut.face == "top" else ("short", "long")
    return (
        TableMark(name="rail, inner edge", out=base.rail_y - half, up=base.rail_top),
        TableMark(name="rail, outer edge", out=base.rail_y + half, up=base.rail_top),
        TableMark(name="foot, inner face", out=foot[-1][0], up=foot[-1][1]),
        TableMark(name="foot, outer face", out=foot[0][0], up=foot[0][1]),
        TableMark(name=f"top, inner face ({shorter} point)", out=top[-1][0], up=top[-1][1]),
        TableMark(name="contact on the skin", out=contact[0], up=contact[1]),
        TableMark(name=f"top, outer face ({longer} point)", out=top[0][0], up=top[0][1]),
    )


def arc_step(pit: Pit, piece: LegPiece) -> float:
    """Steps of the vessel's arc by tape, round figures of the shop's tape [m]."""
    quarter = carried_round(pit, piece)[0] * math.pi / 2.0
    unit, steps = (INCH, _STEPS) if pit.tape.inch else (MILLIMETRE, _METRIC_STEPS)
    smaller = [1.0, 2.0] if pit.tape.inch else [25.0, 50.0]
    return next((s * unit for s in (*smaller, *steps) if quarter / (s * unit) <= _MOST), steps[-1] * unit)


def chord_step(pit: Pit, piece: LegPiece) -> float:
    """What the dividers are set to for one arc step [m]."""
    radius = carried_round(pit, piece)[0]
    return 2.0 * radius * math.sin(arc_step(pit, piece) / radius / 2.0)


def arc_marks(pit: Pit, piece: LegPiece) -> tuple[TableMark, ...]:
    """Points of the vessel's arc from the bottom line to its side, one arc step apart; the last at the side."""
    radius, _ = carried_round(pit, piece)
    step = arc_step(pit, piece) / radius
    count = int(math.pi / 2.0 / step - 0.15)
    out = []
    for i in range(count + 1):
        x, z = skin_point(pit, piece, i * step)
        out.append(TableMark(name=str(i), out=x, up=z))
    x, z = skin_point(pit, piece, math.pi / 2.0)
    return (*out, TableMark(name="side", out=x, up=z))


def side_out(pit: Pit, piece: LegPiece) -> float:
    """The round's side out from the centre line, where the parallels are struck [m]."""
    return skin_point(pit, piece, math.pi / 2.0)[0]


def proof_diagonal(pit: Pit, piece: LegPiece) -> float:
    """Corner to corner between the two parallels, floor line to spring line [m]."""
    return math.hypot(2.0 * side_out(pit, piece), carried_round(pit, piece)[1])
