"""Steps of the build on base, legs, firebox and throat."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pitwright.layout.model import Pit
from pitwright.shop._order_steps import (
    BASE,
    IN_FIREBOX,
    IN_VESSEL,
    LEVEL_GIVE,
    PLATE,
    ROLL,
    TAPE_GIVE,
    UNDER_RAILS,
    UNDER_SKIN,
    Hold,
    Plan,
    opened,
)
from pitwright.shop.running import running_steps
from pitwright.shop.welds import named
from pitwright.strength.welds import GAP_FREE


def base_steps(pit: Pit) -> Iterator[Plan]:
    """Base on the table, then what the vessel stands on."""
    tape, base = pit.tape, pit.base
    yield Plan(
        key="base",
        title="Base on the table",
        who=BASE,
        do=(
            "Tack every joint, square up by the diagonals, check for winding with two straight edges, then weld.",
            "From the middle outward, sides in turn; turn it over for the underside.",
        ),
        needs=(UNDER_RAILS,),
        holds=(
            Hold(what="outside diagonals, both alike", want=tape.fine(base.diagonal), give=tape.length(TAPE_GIVE)),
            Hold(
                what="over the outside of the rails, both ends",
                want=tape.length(base.rails_outside),
                give=tape.length(TAPE_GIVE),
            ),
            Hold(what="rails in winding", want="0", give=tape.length(TAPE_GIVE)),
        ),
    )
    yield from running_steps(pit)
    holds: list[Hold] = []
    for leg_set in pit.leg_sets:
        leg, spread = leg_set.legs[0], max(g.foot_y for g in leg_set.legs) - min(g.foot_y for g in leg_set.legs)
        holds.append(
            Hold(
                what=f"set {leg_set.name}: foot centre to foot centre",
                want=tape.length(spread),
                give=tape.length(TAPE_GIVE),
            )
        )
        holds.append(Hold(what=f"set {leg_set.name}: lean off plumb, each leg", want=tape.angle(leg.lean), give="0.5°"))
    if pit.leg_sets:
        holds.append(
            Hold(
                what="feet of the end sets, corner to corner",
                want=tape.fine(base.feet_diagonal),
                give=tape.length(TAPE_GIVE),
            )
        )
    holds += [
        Hold(
            what=f"saddle {s.name}: height in the middle",
            want=tape.length(s.middle_height),
            give=tape.length(TAPE_GIVE),
        )
        for s in pit.saddles
    ]
    what = "Saddles" if pit.saddles else "Legs"
    yield Plan(
        key="legs",
        title=f"{what} cut and stood on the base",
        who=BASE,
        do=(
            "Cut one, try it on its marks, then cut the rest.",
            "Tack the feet on three sides. Tie each pair across before any weight comes on it.",
        ),
        after=("base", "running"),
        holds=tuple(holds),
    )


def set_steps(pit: Pit) -> Iterator[Plan]:
    """The vessel on its base."""
    tape, vessel = pit.tape, pit.vessel
    gap = [Hold(what="gap between leg top and shell", want="0", give=tape.length(GAP_FREE))] if pit.leg_sets else []
    yield Plan(
        key="set",
        title="Set the vessel on the base",
        who=BASE,
        do=(
            "Two baskets, hook over the station given; try it a hand's breadth off the floor first.",
            "Chock both sides before the slings go slack. Tack the tops in turn, corner to corner; weld nothing yet.",
        ),
        after=("legs", "marks", "open", "pads", *(("inside",) if opened(pit) else ())),
        needs=(),
        shuts=(ROLL, UNDER_RAILS),
        holds=(
            Hold(
                what="vessel centre off the floor, four corners",
                want=tape.length(vessel.centre_z),
                give=tape.length(TAPE_GIVE),
            ),
            Hold(what="spring lines level, end to end", want="0", give=tape.length(LEVEL_GIVE)),
            Hold(what="top line plumb over the middle of the base", want="0", give=tape.length(TAPE_GIVE)),
            *gap,
        ),
    )


def fire_steps(pit: Pit) -> Iterator[Plan]:
    """The firebox on the bench."""
    tape, box = pit.tape, pit.firebox
    if box.shape == "round":
        hold = Hold(
            what="firebox: two diameters at each end", want=tape.length(box.width), give=tape.length(LEVEL_GIVE)
        )
    else:
        want = tape.fine(math.hypot(box.width, box.height))
        hold = Hold(what="firebox: diagonals of each end, both alike", want=want, give=tape.length(TAPE_GIVE))
    yield Plan(
        key="firebox",
        title="Firebox body on the bench",
        who=PLATE,
        do=(
            "Tack, check square, weld corners in short runs from the middle.",
            "Fire grate bearers in, level, before the front goes on.",
        ),
        needs=(IN_FIREBOX, UNDER_SKIN),
        holds=(hold,),
    )
    if box.double_gap:
        yield Plan(
            key="outer skin",
            title="Insulation and outer skin",
            who=PLATE,
            do=(
                "Look at every weld of the inner box first, with light behind it.",
                "Blanket in with mask and gloves; skin on, stitched.",
            ),
            after=("firebox",),
            shuts=(UNDER_SKIN,),
        )
    yield Plan(
        key="front",
        title="Firebox front and its doors",
        who=PLATE,
        do=(
            "Cut the front's openings; hang the doors on it while it lies flat.",
            "Doors tight on their seats with a sheet of paper pinched all round; then weld the front on.",
        ),
        after=("firebox",),
        shuts=(IN_FIREBOX,),
        holds=(
            Hold(what="inside length of the firebox", want=tape.length(box.depth_inside), give=tape.length(LEVEL_GIVE)),
        ),
    )


def throat_steps(pit: Pit) -> Iterator[Plan]:
    """Vessel ends closed and the firebox hung."""
    tape, throat, box = pit.tape, pit.throat, pit.firebox
    if named(pit, "stack-end plate"):
        yield Plan(
            key="stack end",
            title="Close the stack end",
            who=PLATE,
            do=("Tack at eight places across from one another; weld short runs on opposite sides.",),
            after=("set", "inside"),
            shuts=() if box.joint == "cut" else (IN_VESSEL,),
        )
    plated = bool(named(pit, "throat plate", "closing plate"))
    if plated:
        yield Plan(
            key="throat",
            title="Throat plate on the vessel" if box.joint == "cut" else "Closing plate at the fire end",
            who=PLATE,
            do=(
                "Window cut and dressed on the bench, dam edge up.",
                "Grease tight along the bottom: try it with chalk and oil.",
            ),
            after=("set", *(("inside",) if opened(pit) else ())),
            needs=(),
            shuts=(IN_VESSEL,) if box.joint == "cut" else (),
            cuts=box.joint != "cut",
            holds=(
                Hold(
                    what="dam over the lowest inside of the vessel",
                    want=tape.length(throat.dam),
                    give=tape.length(TAPE_GIVE),
                    cut=True,
                ),
                Hold(what="window, widest", want=tape.length(throat.widest), give=tape.length(LEVEL_GIVE), cut=True),
            ),
        )
    yield Plan(
        key="hang",
        title="Hang the firebox",
        who=PLATE,
        do=(
            "Carry it on a jack or hoist until it is welded: the throat must not carry it on tacks.",
            "Short runs on opposite sides; look at the drop again after each round.",
        ),
        after=("throat" if plated else "set", "firebox", "set", *(("inside",) if opened(pit) else ())),
        cuts=not plated,
        holds=(
            Hold(
                what="firebox drop, spring line to firebox centre",
                want=tape.length(box.drop),
                give=tape.length(TAPE_GIVE),
            ),
            Hold(what="firebox centre off the floor", want=tape.length(box.centre_z), give=tape.length(TAPE_GIVE)),
            Hold(what="firebox level along and across", want="0", give=tape.length(TAPE_GIVE)),
        ),
    )
    yield Plan(
        key="fire grate",
        title="Fire grate and tray in",
        who=PLATE,
        do=("Lay the bars in loose, free at one end; tray slides out with the grate in.",),
        after=("hang", "front"),
        holds=(Hold(what="fire grate off the floor", want=tape.length(box.grate_z), give=tape.length(LEVEL_GIVE)),),
    )
