"""The pieces of the skid: rails with their fork openings, cross members, fork pockets, drag eyes."""

from __future__ import annotations

import math

from pitwright.layout.base_sizes import BaseSizes
from pitwright.layout.draft import Draft
from pitwright.layout.model import BaseLayout
from pitwright.layout.place import bar_along
from pitwright.parts import Bar, Outline, Placement, PlaneCut, Plate, PrismCut, bulge_of
from pitwright.tape import INCH

EYE_THICKNESS = 0.5 * INCH
EYE_OUT = 3.0 * INCH
EYE_HOLE = 1.25 * INCH


def skid_parts(draft: Draft, base: BaseLayout, sizes: BaseSizes) -> None:
    """Add the skid's pieces."""
    rail, length = base.rail, base.rail_x1 - base.rail_x0
    z = base.rail_top - rail.height / 2.0
    where = [
        Placement(origin=(base.rail_x0, side * base.rail_y, z), y=(0.0, flip, 0.0), where=f"{name} rail")
        for side, name, flip in (
            (1.0, "working", 1.0),
            (-1.0, "back", 1.0 if rail.kind in ("tube", "pipe", "flat", "round") else -1.0),
        )
    ]
    rake = draft.rules.base.end_cut
    draft.add(
        "R", "rail", "base", _rail_bar(base, length, rake), where, rail.designation, notes=_rail_notes(draft, base)
    )
    if base.crosses:
        level = base.rail_top - base.cross.height / 2.0
        draft.add(
            "C",
            "cross member",
            "base",
            Bar.square(base.cross, sizes.between),
            [
                bar_along(
                    (c.x, -sizes.between / 2.0, level), (c.x, sizes.between / 2.0, level), (0.0, 0.0, 1.0), c.under
                )
                for c in base.crosses
            ],
            base.cross.designation,
        )
    if base.pockets:
        draft.add(
            "K",
            "fork pocket",
            "base",
            Bar.square(base.pocket, sizes.between),
            [
                bar_along((x, -sizes.between / 2.0, z), (x, sizes.between / 2.0, z), (0.0, 0.0, 1.0), "fork pocket")
                for x in base.pockets
            ],
            base.pocket.designation,
            notes=("its opening goes through both rails; weld all round before the rails are cut out",),
        )
    if base.eyes:
        _eyes(draft, base)


def _rail_notes(draft: Draft, base: BaseLayout) -> tuple[str, ...]:
    notes = []
    if draft.rules.base.end_cut:
        notes.append("ends raked: the lower edge is the shorter")
    if base.pockets:
        notes.append("fork openings through both walls, after the pockets are welded in")
    return tuple(notes)


def _rail_bar(base: BaseLayout, length: float, rake: float) -> Bar:
    half = base.rail.height / 2.0
    back = half * math.tan(rake)
    c, s = math.cos(rake), math.sin(rake)
    cuts = []
    inner_w = base.pocket.width - 2.0 * base.pocket.wall
    inner_h = base.pocket.height - 2.0 * base.pocket.wall
    for x in base.pockets:
        along = x - base.rail_x0
        cuts.append(
            PrismCut(
                outline=Outline.rectangle(-inner_w / 2.0, -inner_h / 2.0, inner_w / 2.0, inner_h / 2.0),
                origin=(along, 0.0, 0.0),
                u=(1.0, 0.0, 0.0),
                v=(0.0, 0.0, 1.0),
            )
        )
    return Bar(
        profile=base.rail,
        x0=back,
        x1=length - back,
        start=PlaneCut(point=(0.0, 0.0, half), normal=(-c, 0.0, -s)),
        finish=PlaneCut(point=(length, 0.0, half), normal=(c, 0.0, -s)),
        cuts=tuple(cuts),
    )


def _eyes(draft: Draft, base: BaseLayout) -> None:
    """An upright eye plate on each rail end: flat side along the rail, round nose, a hole for a shackle."""
    h = base.rail.height
    nose = min(h / 2.0, EYE_OUT / 2.0)
    straight = EYE_OUT - nose
    quarter = bulge_of(math.pi / 2.0)
    points = [(0.0, -h / 2.0), (straight, -h / 2.0), (EYE_OUT, -h / 2.0 + nose), (EYE_OUT, h / 2.0 - nose)]
    points += [(straight, h / 2.0), (0.0, h / 2.0)]
    bulges = [0.0, quarter, 0.0, quarter, 0.0, 0.0]
    kept = [i for i in range(6) if points[i] != points[(i + 1) % 6]]
    hole = Outline.circle(straight, 0.0, min(EYE_HOLE, h / 2.0) / 2.0)
    outline = Outline(tuple(points[i] for i in kept), tuple(bulges[i] for i in kept), (hole,))
    z = base.rail_top - h / 2.0
    t = EYE_THICKNESS
    where = []
    for side in (1.0, -1.0):
        y = side * base.rail_y
        # Plate in the upright plane along the pit: its x outward from the rail's end, its thickness across.
        where.append(
            Placement(
                origin=(base.rail_x1, y + t / 2.0, z),
                x=(1.0, 0.0, 0.0),
                y=(0.0, 0.0, 1.0),
                z=(0.0, -1.0, 0.0),
                where="stack end",
            )
        )
        where.append(
            Placement(
                origin=(base.rail_x0, y - t / 2.0, z),
                x=(-1.0, 0.0, 0.0),
                y=(0.0, 0.0, 1.0),
                z=(0.0, 1.0, 0.0),
                where="fire end",
            )
        )
    draft.add(
        "E",
        "drag eye",
        "base",
        Plate(outline=outline, thickness=t),
        where,
        draft.plate(t),
        notes=("for dragging and tying down, not a lifting point",),
    )
