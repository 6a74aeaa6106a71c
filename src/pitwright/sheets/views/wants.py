"""The figures a view shows and its check list asks for, so that both always say the same.

A *want* is one figure a tape is held to; the sheet leaves a blank beside it for what was got. Wants that place a cut
on the vessel are left out where its make-safe record is not complete.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from pitwright.layout.model import Pit
from pitwright.parts import Point2
from pitwright.sheets.lettered import Stop
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import known


@dataclass(frozen=True, slots=True, kw_only=True)
class Want:
    """One figure.

    what   in the shop's words      value  [m]
    at     the point it is pulled to: (x, z) along the pit and over the floor, or (y, z) across it [m]
    short  a few letters for the drawing, where the whole name is too long
    cut    it places a cut on the vessel
    """

    what: str
    value: float
    at: Point2
    about: str = ""
    short: str = ""
    cut: bool = False


def issued(pit: Pit, wants: Iterable[Want]) -> tuple[Want, ...]:
    """The wants that may be shown, rising."""
    return tuple(sorted((w for w in wants if pit.cleared or not w.cut), key=lambda w: w.value))


def stations(pit: Pit) -> tuple[Want, ...]:
    """Everything along the pit, pulled from the datum seam."""
    vessel = pit.vessel
    low = vessel.centre_z - vessel.outer_radius

    def want(what: str, x: float, z: float, about: str = "", short: str = "", *, cut: bool = False) -> Want:
        return Want(what=what, value=vessel.station(x), at=(x, z), about=known(pit, about), short=short, cut=cut)

    far = 0.0 if vessel.datum == "stack" else vessel.length
    out = [
        want("far seam", far, low, "vessel.length", "seam"),
        want("firebox, outer end", pit.firebox.x0, pit.firebox.bottom_z, short="firebox end"),
    ]
    for door in pit.doors:
        foot = vessel.centre_z + vessel.outer_radius * math.cos(door.edge_clock)
        for x, end in ((door.x0, "fire end"), (door.x1, "stack end")):
            out.append(want(f"{door.name}, {end}", x, foot, short=door.name, cut=True))
    for leg_set in pit.leg_sets:
        foot_x, foot_z = leg_set.legs[0].x, leg_set.legs[0].foot_z
        about = f"legs.{leg_set.name}.station"
        out.append(want(f"leg set {leg_set.name}, foot", foot_x, foot_z, about, f"legs {leg_set.name}"))
    for saddle in pit.saddles:
        z = pit.base.rail_top
        out.append(
            want(f"saddle {saddle.name}", saddle.x, z, f"saddles.{saddle.name}.station", f"saddle {saddle.name}")
        )
    base = pit.base
    for i, axle in enumerate(base.axles):
        about = f"{base.kind}.axle" if len(base.axles) == 1 else ""
        out.append(want(axle.name, axle.x, 0.0, about if i == 0 else ""))
    if base.tongue is not None:
        out.append(want("middle of the ball", base.tongue.coupler[0], base.tongue.coupler[2], short="ball"))
    if base.handles is not None:
        out.append(want("middle of the grips", base.handles.grip[0], base.handles.grip[2], "cart.grips", "grips"))
    feet = {round(s.x, 9): s for s in base.supports if s.kind in ("caster", "foot")}
    for x, support in feet.items():
        out.append(want(support.name.partition(",")[0], x, 0.0))
    served = any(f.serves == "drain" for f in vessel.fittings)
    out.append(want("drain", pit.grates.drain_x, low, "drain.station", "drain", cut=not served))
    return issued(pit, out)


def stack_station(pit: Pit) -> tuple[Want, ...]:
    """The stack's centre along the pit, where it stands on the shell and may be shown."""
    stack, vessel = pit.stack, pit.vessel
    if stack.place == "end":
        return ()
    at = (stack.x, stack.top_z)
    one = Want(what="stack centre", value=vessel.station(stack.x), at=at, about=known(pit, "stack.x"), cut=True)
    return issued(pit, (one,))


def heights(pit: Pit) -> tuple[Want, ...]:
    """Everything off the floor on the cook chamber, pulled up from the floor."""
    vessel, r = pit.vessel, pit.vessel.outer_radius

    def want(what: str, z: float, about: str = "", short: str = "", *, cut: bool = False) -> Want:
        return Want(what=what, value=z, at=(0.0, z), about=known(pit, about), short=short, cut=cut)

    out = [
        want("rail top", pit.base.rail_top, "base.rail_top"),
        want("bottom of shell", vessel.centre_z - r, short="shell bottom"),
        want("vessel centre (spring lines)", vessel.centre_z, "vessel.centre", "centre"),
        want("top of shell", vessel.centre_z + r, short="shell top"),
        want("top of stack", pit.stack.top_z, "stack.height", "stack top"),
    ]
    if pit.base.tongue is not None:
        out.append(want("ball of the hitch", pit.base.tongue.coupler[2], "trailer.hitch_height", "ball"))
    if pit.base.handles is not None:
        out.append(want("grips", pit.base.handles.grip[2], "cart.grip_height"))
    out += [want(level.name, level.z, f"grates.{level.name}.height") for level in pit.grates.levels]
    out += [want(f"lower edge of {d.name}, level", vessel.centre_z + r * math.cos(d.edge_clock), "doors.edge_clock",
                 "door edge", cut=True) for d in pit.doors[:1]]  # fmt: skip
    return issued(pit, out)


def fire_heights(pit: Pit) -> tuple[Want, ...]:
    """Everything off the floor on the firebox."""
    box = pit.firebox

    def want(what: str, z: float, about: str = "", short: str = "") -> Want:
        return Want(what=what, value=z, at=(box.x0, z), about=known(pit, about), short=short)

    out = [
        want("firebox bottom", box.bottom_z, short="bottom"),
        want("fire grate", box.grate_z, "firebox.fire_grate", "grate"),
        want("firebox centre", box.centre_z, "firebox.centre", "centre"),
        want("firebox top", box.centre_z + box.height / 2.0, short="top"),
    ]
    if box.door_height:
        out.append(want("fire door sill", box.door_z, short="door sill"))
    return issued(pit, out)


def rail_wants(pit: Pit) -> tuple[Want, ...]:
    """Everything along a rail, pulled from its stack end; both rails alike."""
    base = pit.base
    y = -base.rails_outside / 2.0
    out = []
    for mark in pit.marks:
        if mark.on == "rails":
            brief = mark.what.replace("leg set ", "legs ").split(",")[0].replace(" centre", "")
            brief = brief.replace("fork pocket", "pocket").replace("cross member", "cross")
            about = known(pit, "base.rail_length") if mark.what == "rail end (fire end)" else ""
            at = (base.rail_x1 - mark.along, y)
            out.append(Want(what=mark.what, value=mark.along, at=at, about=about, short=brief))
    return issued(pit, out)


def end_wants(pit: Pit) -> tuple[Want, ...]:
    """Widths across the pit, and what swings or slides out of it."""
    base = pit.base

    def want(what: str, value: float, about: str = "") -> Want:
        return Want(what=what, value=value, at=(0.0, 0.0), about=known(pit, about))

    out = [want("over the outside of the rails", base.rails_outside, "base.rails_outside")]
    for leg_set in pit.leg_sets:
        feet = [leg.foot_y for leg in leg_set.legs]
        about = f"legs.{leg_set.name}.half_spread"
        out.append(want(f"leg set {leg_set.name}, foot centre to foot centre", max(feet) - min(feet), about))
        out += [
            want(f"leg set {leg_set.name}, {leg.side} side: contact from the bottom line, on the skin", leg.around,
                 f"legs.{leg_set.name}.around")
            for leg in leg_set.legs
        ]  # fmt: skip
    for saddle in pit.saddles:
        out.append(want(f"saddle {saddle.name}: chord of the round", saddle.chord, "saddles.chord"))
        out.append(want(f"saddle {saddle.name}: height at its edges", saddle.edge_height, "saddles.edge_height"))
        out.append(want(f"saddle {saddle.name}: height in the middle", saddle.middle_height, "saddles.middle_height"))
    for door in pit.doors:
        out.append(want(f"{door.name} open: lower edge off the floor", door.edge_top_z, f"{door.name}.stop"))
        out.append(want(f"{door.name} open: stands out from the vessel's centre", door.reach, f"{door.name}.stop"))
    for level in pit.grates.levels:
        out.append(want(f"{level.name}: width", level.width, f"grates.{level.name}.width"))
        if level.travel:
            out.append(want(f"{level.name}: slides out", level.travel))
    return tuple(out)


def stops(pit: Pit, wants: Iterable[Want], at: Iterable[Point2], *, named: bool = True) -> tuple[Stop, ...]:
    """The wants as stops of a running list, each at its point on the paper [m]."""
    out = []
    for want, point in zip(wants, at, strict=True):
        text = pit.tape.length(want.value)
        out.append(Stop(point, f"{want.short or want.what}  {text}" if named else text, about=want.about))
    return tuple(out)


def check_list(pit: Pit, wants: Iterable[Want], title: str) -> Table:
    """What is wanted, and a blank for what was got."""
    wants = tuple(wants)
    return Table(
        (Column("what", wrap=True), Column("want", align="right", bold=True), Column("got", blank=True)),
        tuple((w.what, pit.tape.length(w.value), "") for w in wants),
        title=title,
        about=tuple(w.about for w in wants),
    )
