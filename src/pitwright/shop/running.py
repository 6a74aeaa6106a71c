"""Welds and build steps of what a base stands, rolls or travels on."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pitwright.layout.model import Pit
from pitwright.layout.trailer import square
from pitwright.parts import Bar, Plate
from pitwright.shop._order_steps import BASE, TAPE_GIVE, UNDER_RAILS, Hold, Plan
from pitwright.shop.welds import Weld, around_section, fillet, marks_of, named, thickness_of
from pitwright.tape import INCH

PLATE = 0.25 * INCH  # top plate of a caster, lug of a hanger (common practice, no source)


def running_welds(pit: Pit) -> Iterator[Weld]:
    """Every joint of casters, feet, axle, handles, tongue, hangers and fenders; ties between legs come with the legs."""
    base = pit.base
    rail = base.rail.wall
    for part in named(pit, "caster"):
        side = pit.job.proportions.stand.caster_plate
        yield fillet("caster plate to rail", 2.0 * side, min(PLATE, rail), "running gear", marks=(part.mark,), count=part.quantity,
                     note="or bolted: then two bolts through a plate welded on")  # fmt: skip
    for part in named(pit, "floor plate"):
        if base.floor_gap <= thickness_of(part, 1.0) + 1e-6:
            yield fillet("floor plate to rail", 2.0 * base.rail.width, thickness_of(part, rail), "running gear",
                         marks=(part.mark,), count=part.quantity)  # fmt: skip
    for part in named(pit, "levelling screw"):
        yield fillet("screw's nut to rail", 3.0 * INCH, rail, "running gear", marks=(part.mark,), count=part.quantity)
    for part in named(pit, "outrigger"):
        yield fillet(
            "outrigger to rail", around_section(base.rail), rail, "base", marks=(part.mark,), count=part.quantity
        )
    yield from _ties(pit)
    if base.kind == "cart":
        yield from _cart(pit)
    if base.tongue is not None:
        yield from _trailer(pit)


def _ties(pit: Pit) -> Iterator[Weld]:
    for brace in pit.base.braces:
        kind = "stretcher" if brace.name.startswith("stretcher") else "knee brace"
        marks = marks_of(pit, brace.name.replace("stretcher ", "stretcher, set "), brace.name.replace("knee ", "knee brace, set ").removesuffix(" side"))  # fmt: skip
        thinner = min(brace.profile.wall, *(s.profile.wall for s in pit.leg_sets))
        slant = math.pi / 4.0 if kind == "knee brace" else max(g.lean for s in pit.leg_sets for g in s.legs)
        yield fillet(
            f"{brace.name}, each end", around_section(brace.profile, slant), thinner, "legs", marks=marks, count=2
        )


def _cart(pit: Pit) -> Iterator[Weld]:
    base = pit.base
    yield fillet("axle to rail", 4.0 * base.rail.width, base.rail.wall, "running gear", marks=marks_of(pit, "axle"), count=2,
                 note="both sides of the axle; wheels off, axle cool between runs")  # fmt: skip
    for part in named(pit, "rest leg"):
        assert isinstance(part.shape, Bar)
        profile = part.shape.profile
        yield fillet("rest leg to rail", around_section(profile), min(profile.wall, base.rail.wall), "running gear",
                     marks=(part.mark,), count=part.quantity)  # fmt: skip
        for foot in named(pit, "rest foot"):
            yield fillet("rest leg to its foot", around_section(profile), thickness_of(foot, profile.wall), "running gear",
                         marks=(part.mark, foot.mark), count=foot.quantity)  # fmt: skip
    assert base.handles is not None
    beam = base.handles.beam
    slope = float(pit.reasons["cart.handle_slope"].value)
    yield fillet("handle bar to rail", around_section(beam, math.pi / 2.0 - slope), min(beam.wall, base.rail.wall),
                 "running gear", marks=marks_of(pit, "handle bar"), count=2)  # fmt: skip
    yield fillet("handle bar to grip bar", around_section(beam, slope / 2.0), beam.wall, "running gear",
                 marks=marks_of(pit, "handle bar", "grip bar"), count=2)  # fmt: skip


def _trailer(pit: Pit) -> Iterator[Weld]:
    base, rules = pit.base, pit.job.proportions.trailer
    tongue = base.tongue
    assert tongue is not None
    beam, marks = tongue.beam, marks_of(pit, "tongue beam")
    if rules.tongue == "a-frame":
        end = base.rail_x1 if tongue.end > 0 else base.rail_x0
        bite = max(abs(end - root[0]) for root in tongue.roots)
        yield fillet("tongue beam to rail", 2.0 * bite + beam.width, min(beam.wall, base.rail.wall), "base", marks=marks,
                     count=2, note="both sides, full run; a towed frame hangs on these")  # fmt: skip
        yield fillet("tongue beam to end cross member", 2.0 * base.cross.width, min(beam.wall, base.cross.wall), "base",
                     marks=marks, count=2)  # fmt: skip
    else:
        yield fillet("tongue beam to cross member", 2.0 * base.cross.width, min(beam.wall, base.cross.wall), "base",
                     marks=marks, count=2, note="with gussets at the first")  # fmt: skip
    yield fillet("coupler to tongue", around_section(beam), min(beam.wall, PLATE), "running gear",
                 marks=(*marks, *marks_of(pit, "coupler")), note="as its maker says; bolts as well where it has holes")  # fmt: skip
    for part in named(pit, "spring hanger", "equalizer"):
        yield fillet(f"{part.name} to rail", 6.0 * INCH, min(PLATE, base.rail.wall), "running gear", marks=(part.mark,),
                     count=part.quantity, note="tacked, axle squared to the ball, then welded")  # fmt: skip
    for part in named(pit, "fender back"):
        assert isinstance(part.shape, Plate)
        x0, _, x1, _ = part.shape.outline.bounds()
        thin = part.shape.thickness
        yield fillet(
            "fender back to rail", x1 - x0, thin, "running gear", marks=(part.mark,), count=part.quantity, stitch=True
        )
        seam = part.shape.outline.perimeter / 2.0
        yield fillet("fender seams", seam, thin, "running gear", marks=marks_of(pit, "fender"), count=part.quantity,
                     stitch=True)  # fmt: skip


def running_steps(pit: Pit) -> Iterator[Plan]:
    """What goes under the frame, on the table, before the legs."""
    tape, base = pit.tape, pit.base
    if base.kind == "stand":
        yield Plan(
            key="running",
            title="Casters or feet under the frame",
            who=BASE,
            do=("Frame on its back. Lay out from the rail's end, square across, then weld or bolt.",
                "Turn it over: all of them on the floor at once, none to be pushed down."),
            after=("base",), needs=(UNDER_RAILS,),
            holds=(
                Hold(what="across, middle to middle", want=tape.length(2.0 * abs(base.supports[0].y)), give=tape.length(TAPE_GIVE)),
                Hold(what="rail top off the floor, four corners", want=tape.length(base.rail_top), give=tape.length(TAPE_GIVE)),
            ),
        )  # fmt: skip
    elif base.kind == "cart":
        grips = tape.fine(float(pit.reasons["cart.square"].value))
        yield Plan(
            key="running",
            title="Axle, rest legs and handles",
            who=BASE,
            do=("Axle square across both rails, wheels on and spinning free, then weld with the wheels off.",
                "Rest legs with the frame level; handles last, both alike to the wheels."),
            after=("base",), needs=(UNDER_RAILS,),
            holds=(
                Hold(what="grip to wheel, both sides alike", want=grips, give=tape.length(TAPE_GIVE)),
                Hold(what="grips off the floor", want=tape.length(base.handles.grip[2] if base.handles else 0.0), give=tape.length(TAPE_GIVE)),
                Hold(what="rail top off the floor, four corners", want=tape.length(base.rail_top), give=tape.length(TAPE_GIVE)),
            ),
        )  # fmt: skip
    elif base.kind == "trailer":
        yield Plan(
            key="running",
            title="Axles, coupler and fenders",
            who=BASE,
            do=("Frame on its back. Coupler on; hangers tacked on their marks with springs and axles in.",
                "Pull from the ball to both ends of each axle; shift the hangers until both read alike, then weld.",
                "Wheels on, turn it over, fenders on with the tyres loaded or blocked up to their travel."),
            after=("base",), needs=(UNDER_RAILS,),
            holds=tuple(
                Hold(what=f"ball to {axle.name}, both sides alike", want=tape.fine(square(base, i)), give=tape.length(TAPE_GIVE))
                for i, axle in enumerate(base.axles)
            ),
        )  # fmt: skip


def road_steps(pit: Pit) -> Iterator[Plan]:
    """What goes on a trailer after paint, and what is tried before the road."""
    if pit.base.kind != "trailer":
        return
    share = pit.job.order.tongue_share
    hitch = float(pit.reasons["trailer.tongue.empty"].value)
    yield Plan(
        key="road",
        title="Lights, chains, brakes; tongue weighed",
        who=BASE,
        do=(
            "Wire, plug, lights and plate; chains crossed under the coupler; brakes set as their maker says.",
            "Try every light from the car. Wheel nuts to the maker's torque, again after the first miles.",
            "Weigh it whole and at the hitch, cold and empty; move nothing until both are written down.",
        ),
        after=("paint",),
        holds=(
            Hold(
                what=f"on the hitch, empty ({share:.0%} loaded was ordered)",
                want=pit.tape.mass(hitch),
                give="10 to 15 %",
            ),
        ),
    )
