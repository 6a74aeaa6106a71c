"""Steps of the build on the vessel and its doors, and those that end the job."""

from __future__ import annotations

from collections.abc import Iterator

from pitwright.layout.model import Pit
from pitwright.shop._order_steps import (
    BASE,
    IN_VESSEL,
    LEVEL_GIVE,
    PLATE,
    ROLL,
    TAPE_GIVE,
    VESSEL,
    Hold,
    Plan,
    Space,
    opened,
)
from pitwright.shop.running import road_steps
from pitwright.shop.welds import named


def make_safe(pit: Pit) -> Plan:
    """The first step of any build: no heat before the hold tag is signed."""
    return Plan(
        key="safe",
        title="Make the vessel safe",
        who=VESSEL,
        do=(
            "Valves out, emptied, cleaned and tested by a competent person; no heat, cutting or grinding before.",
            "Wire the signed hold tag to the vessel.",
        ),
        holds=(Hold(what="make-safe record", want="complete" if pit.cleared else "NOT complete: stop here"),),
    )


def vessel_steps(pit: Pit) -> Iterator[Plan]:
    """From the hold tag to the shell ready to be set: safe, lines, marks, open end, pads, ledges."""
    tape, vessel = pit.tape, pit.vessel
    quarter = vessel.around / 4.0
    yield make_safe(pit)
    yield Plan(
        key="lines",
        title="Cradle, level, four lines",
        who=VESSEL,
        do=(
            "Set the vessel in cradles with the chosen line on top; level it along its bottom.",
            "Pull the four quarter arounds at both ends; snap and punch top, bottom and both spring lines.",
        ),
        after=("safe",),
        needs=(ROLL,),
        holds=(
            Hold(what="top line, clockwise from the long seam at end A", want=tape.length(vessel.top_from_seam), give=tape.length(TAPE_GIVE)),
            Hold(what="quarter arounds at both ends",
                 want=", ".join(tape.length(quarter * k) for k in (1, 2, 3)), give=tape.length(TAPE_GIVE)),
            Hold(what="closing around", want=tape.length(vessel.around), give=tape.length(TAPE_GIVE)),
            Hold(what="top line, twist end to end", want="0", give=tape.length(TAPE_GIVE)),
        ),
    )  # fmt: skip
    yield Plan(
        key="marks",
        title="Lay out everything on the skin, once",
        who=VESSEL,
        do=(
            "One pull of the tape from the datum seam for every station, one from the top line for every around.",
            "A second person reads the list back from the other end before anything is punched.",
        ),
        after=("lines",),
        needs=(ROLL,),
        holds=tuple(
            Hold(
                what=f"{d.name}: wrap diagonal on the skin, both ways",
                want=tape.fine(d.diagonal),
                give=tape.length(TAPE_GIVE),
                cut=True,
            )
            for d in pit.doors
        ),
    )
    if opened(pit):
        yield Plan(
            key="open",
            title="Open the end of the vessel",
            who=VESSEL,
            do=(
                "Cut square to the axis on a wrap line; leave three tabs until the head is held by the hoist.",
                "Dress the edge; true the round with a spider before any plate goes on.",
            ),
            after=("marks",),
            needs=(ROLL,),
            cuts=True,
            holds=(
                Hold(
                    what="two diameters of the open end, alike within",
                    want=tape.length(2.0 * vessel.outer_radius),
                    give=tape.length(LEVEL_GIVE),
                ),
                Hold(what="edge square to the axis: wrap meets itself", want="0", give=tape.length(TAPE_GIVE)),
            ),
        )
    if named(pit, "leg pad", "saddle wear pad", "lifting lug"):
        yield Plan(
            key="pads",
            title="Pads on the shell",
            who=VESSEL,
            do=(
                "Roll the pads to the shell, corners round, no corner on a seam.",
                "Weld round; leave the lowest corner open to vent.",
            ),
            after=("marks",),
            needs=(ROLL,),
        )
    if not opened(pit):
        return
    yield inside_step(pit, after=("open",), needs=(ROLL, IN_VESSEL))


def inside_step(pit: Pit, after: tuple[str, ...], needs: tuple[Space, ...]) -> Plan:
    """Ledges and plates inside the vessel."""
    tape, main = pit.tape, pit.grates.levels[0]
    return Plan(
        key="inside",
        title="Ledges and plates inside the vessel",
        who=VESSEL,
        do=(
            "Set ledges by water level from the spring lines, not from the skin.",
            "Stitch from the middle outward. Confined space: test the air, ventilate, a person outside.",
        ),
        after=after,
        needs=needs,
        holds=(
            Hold(
                what=f"main grate {'under' if main.above_centre < 0 else 'over'} the centre line",
                want=tape.length(abs(main.above_centre)),
                give=tape.length(TAPE_GIVE),
            ),
            Hold(
                what="wall to wall at the main grate", want=tape.length(main.chord), give=tape.length(2.0 * TAPE_GIVE)
            ),
        ),
    )


def door_steps(pit: Pit) -> Iterator[Plan]:
    """Doors one by one; ledges through them where no end was open."""
    tape, before = pit.tape, "set"
    for door in pit.doors:
        yield Plan(
            key=door.name,
            title=f"Cut and hang {door.name}",
            who=VESSEL,
            do=(
                "Hinges and strongbacks on first, while the shell is whole.",
                "Cut the lower edge and both ends, leave tabs, then the hinge edge; leave the line on the shell.",
                "Bands on with the strongbacks still tacked; then cut the tabs.",
            ),
            after=(before,),
            cuts=True,
            holds=(
                Hold(
                    what="straight across the cut-out skin, before and after",
                    want=tape.length(door.chord),
                    give=tape.length(LEVEL_GIVE),
                    cut=True,
                ),
                Hold(what="hand pull, worst", want=tape.force(door.worst_pull)),
                Hold(what="opens to", want=tape.angle(door.stop, 0), give="5°"),
            ),
        )
        before = door.name
    if not opened(pit):
        yield inside_step(pit, after=(before,), needs=())


def last_steps(pit: Pit) -> Iterator[Plan]:
    """Everything from the stack to the scale ticket."""
    tape, stack = pit.tape, pit.stack
    last = pit.doors[-1].name
    yield Plan(
        key="stack",
        title="Stack",
        who=VESSEL,
        do=(
            "Cope, lay on, scribe the hole from the fitted pipe, cut, then tack at four quarters.",
            "Swing every door past it before it is tacked all round.",
        ),
        after=("set", last),
        cuts=True,
        holds=(
            Hold(what="stack plumb both ways over its length", want="0", give=tape.length(LEVEL_GIVE)),
            Hold(
                what="top of the stack off the floor", want=tape.length(stack.top_z), give=tape.length(2.0 * LEVEL_GIVE)
            ),
        ),
    )
    main = pit.grates.levels[0]
    yield Plan(
        key="grates",
        title="Grates",
        who=BASE,
        do=("Frames flat on the table, clamped; mesh on from the middle outward.",),
        after=("legs",),
        holds=tuple(
            Hold(what=f"{g.name}: width", want=tape.length(g.width), give=tape.length(TAPE_GIVE))
            for g in pit.grates.levels
        ),
    )
    if named(pit, "shelf"):
        yield Plan(
            key="shelf",
            title="Shelf",
            who=BASE,
            do=("Brackets on pads, level by string, shelf last.",),
            after=("set", last),
        )
    yield Plan(
        key="fittings",
        title="Drain, thermometers, plugs",
        who=VESSEL,
        do=(
            "Drain at the lowest point; run water through it before it is welded.",
            "Old bosses plugged or cut away as the survey says.",
        ),
        after=("set", last),
        cuts=True,
    )
    yield Plan(
        key="try",
        title="Try everything before it is welded out",
        who=VESSEL,
        do=("Grates in, slides out, doors open together, damper and cap through their swing: nothing touches.",),
        after=("grates", "fire grate", "stack", "fittings", "inside", last, *(d.name for d in pit.doors)),
        holds=(
            Hold(what="main grate off the floor, four corners", want=tape.length(main.z), give=tape.length(TAPE_GIVE)),
            Hold(what="pit stands on all its feet: rock", want="0", give=tape.length(TAPE_GIVE)),
        ),
    )
    yield Plan(
        key="weld out",
        title="Weld out",
        who=BASE,
        do=(
            "Leg feet first, then tops: one side of a leg, then the same side of the leg across the corner. Stack last.",
            "Let it cool between rounds; look at the heights after every second round.",
        ),
        after=("try", "shelf", "hang", "outer skin"),
        holds=(
            Hold(
                what="vessel centre off the floor, four corners, after welding",
                want=tape.length(pit.vessel.centre_z),
                give=tape.length(LEVEL_GIVE),
            ),
        ),
    )
    yield Plan(key="dress", title="Dress welds and edges", who=BASE, after=("weld out",),
               do=("Guards on, face shield; dress handles, rails and all that a hand passes over.",))  # fmt: skip
    yield Plan(
        key="paint",
        title="Paint",
        who=PLATE,
        after=("dress",),
        do=(
            "Degrease. High-heat paint on firebox, throat and stack; shell paint on the vessel; ordinary on the base. Insides stay bare.",
        ),
    )
    yield Plan(key="burn", title="First fires", who=VESSEL, after=("paint",),
               do=("Outdoors, doors open, as the first-fire card says; write down the five thermometers.",))  # fmt: skip
    yield from road_steps(pit)
    yield Plan(
        key="load",
        title="Weigh, load, hand over",
        who=BASE,
        after=("burn", "road"),
        do=("Scale ticket; placard on; slides pinned, doors latched, ash and water out.",),
        holds=(Hold(what="scale ticket", want=tape.mass(pit.balance["empty"].mass), give="5 %"),),
    )
