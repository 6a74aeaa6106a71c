"""Every point a person pulls with a tape: on the skin by station and around, on the rails from the rail's end."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pitwright.layout.draft import Draft
from pitwright.layout.model import (
    BaseLayout,
    DoorLayout,
    GrateLayout,
    LegSet,
    Mark,
    SaddleLayout,
    StackLayout,
    VesselLayout,
)


def skin_around(vessel: VesselLayout, clock: float) -> float:
    """The around a tape reads for a clock: from the top line towards the working side, 0 to once round [m]."""
    return vessel.outer_radius * (clock % (2.0 * math.pi))


def set_out(
    draft: Draft,
    vessel: VesselLayout,
    doors: Sequence[DoorLayout],
    stack: StackLayout,
    grates: GrateLayout,
    leg_sets: Sequence[LegSet],
    saddles: Sequence[SaddleLayout],
    base: BaseLayout,
) -> None:
    """Add all marks to the draft."""
    radius = vessel.outer_radius

    def skin(x: float, clock: float, what: str, *, cut: bool = False) -> None:
        draft.marks.append(
            Mark(on="shell", along=vessel.station(x), around=skin_around(vessel, clock), what=what, needs=cut)
        )

    for name, clock in (
        ("top line", 0.0),
        ("working spring line", math.pi / 2.0),
        ("bottom line", math.pi),
        ("back spring line", -math.pi / 2.0),
    ):
        skin(0.0, clock, f"{name}, fire seam")
        skin(vessel.length, clock, f"{name}, stack seam")
    for door in doors:
        for x, end in ((door.x0, "fire end"), (door.x1, "stack end")):
            skin(x, door.hinge_clock, f"{door.name} hinge edge, {end}", cut=True)
            skin(x, door.edge_clock, f"{door.name} lower edge, {end}", cut=True)
    if stack.place == "top":
        half = stack.hole_along / 2.0
        skin(stack.x, stack.clock, "stack centre", cut=True)
        for x, end in ((stack.x - half, "fire side"), (stack.x + half, "stack side")):
            skin(x, stack.clock, f"stack footprint, {end}", cut=True)
        r = stack.profile.height / 2.0
        for y, side in ((stack.y + r, "working side"), (stack.y - r, "back")):
            skin(stack.x, math.asin(max(-1.0, min(1.0, y / radius))), f"stack footprint, {side}", cut=True)
    boss = any(f.serves == "drain" for f in vessel.fittings)  # there already, nothing to cut
    skin(grates.drain_x, grates.drain_clock, "drain", cut=not boss)
    for leg_set in leg_sets:
        if leg_set.x < 0.0:
            continue
        for leg in leg_set.legs:
            clock = (math.pi - leg.contact) * (1.0 if leg.side == "working" else -1.0)
            skin(leg_set.x, clock, f"leg {leg_set.name} centre, {leg.side} side")
    for saddle in saddles:
        for sign, side in ((1.0, "working"), (-1.0, "back")):
            skin(saddle.x, math.pi - sign * saddle.contact / 2.0, f"saddle {saddle.name} edge, {side} side")
    _rail_marks(draft, leg_sets, saddles, base)


def _rail_marks(draft: Draft, leg_sets: Sequence[LegSet], saddles: Sequence[SaddleLayout], base: BaseLayout) -> None:
    """Running figures from the rails' stack end, both rails alike."""
    end = base.rail_x1
    found: list[tuple[float, str]] = [(0.0, "rail end (stack end)"), (end - base.rail_x0, "rail end (fire end)")]
    for leg_set in leg_sets:
        foot_x = leg_set.legs[0].x
        found.append((end - foot_x, f"leg set {leg_set.name}, foot centre"))
    for saddle in saddles:
        found.append((end - saddle.x, f"saddle {saddle.name}"))
    for cross in base.crosses:
        found.append((end - cross.x, f"cross member, {cross.under}"))
    for x in base.pockets:
        found.append((end - x, "fork pocket centre"))
    found += [(end - x, what) for x, what in _running(base)]
    for along, what in sorted(found):
        draft.marks.append(Mark(on="rails", along=along, around=0.0, what=what))
    _tongue_marks(draft, base)


def _running(base: BaseLayout) -> list[tuple[float, str]]:
    """(x, what) of everything under the frame that has its middle on the rails: alike on both, said once [m]."""
    out: dict[tuple[float, str], None] = {}
    for s in base.supports:
        if s.kind != "jack":
            out[(round(s.x, 9), f"{s.name.partition(',')[0]} middle")] = None
    for axle in base.axles:
        out[(axle.x, f"{axle.name} middle")] = None
        if axle.sprung:
            for i, x in enumerate(sorted(axle.hangers, reverse=True)):
                out[(x, f"spring eye, {axle.name}, {('stack', 'fire')[i % 2]} side")] = None
    for brace in base.braces:
        if brace.name.startswith("knee"):
            out[(round(brace.start[0], 9), f"{brace.name.partition(',')[0]}, foot middle")] = None
    if base.tongue is not None:
        found = sorted({round(root[0], 9) for root in base.tongue.roots}, reverse=base.tongue.end > 0)
        for x in found:
            if base.rail_x0 <= x <= base.rail_x1:
                out[(x, "tongue, its weld" if x == found[0] else "tongue, its inner end")] = None
    return list(out)


def _tongue_marks(draft: Draft, base: BaseLayout) -> None:
    """Along the tongue, from the rails' end it stands out of."""
    tongue = base.tongue
    if tongue is None:
        return
    end = base.rail_x1 if tongue.end > 0 else base.rail_x0
    jack = next(s.x for s in base.supports if s.kind == "jack")
    for x, what in ((jack, "tongue jack middle"), (tongue.coupler[0], "middle of the ball")):
        draft.marks.append(Mark(on="tongue", along=abs(x - end), around=0.0, what=what))
