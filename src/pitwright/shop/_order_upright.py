"""Steps of the build of a vessel on end: everything on the shell is done lying on rolls, it is stood up last."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pitwright.layout.grates import MESH
from pitwright.layout.model import Pit
from pitwright.layout.upright_inside import RING_DEEP
from pitwright.shop._order_base import fire_steps
from pitwright.shop._order_steps import BASE, LEVEL_GIVE, PLATE, ROLL, TAPE_GIVE, UNDER_RAILS, VESSEL, Hold, Plan
from pitwright.shop._order_vessel import make_safe
from pitwright.shop.welds import named


def upright_steps(pit: Pit) -> Iterator[Plan]:
    """All steps, in order."""
    yield from _vessel(pit)
    yield from _base(pit)
    yield from fire_steps(pit)
    yield from _stand(pit)
    yield from _last(pit)


def _vessel(pit: Pit) -> Iterator[Plan]:
    assert pit.upright is not None
    tape, vessel, door, own = pit.tape, pit.vessel, pit.doors[0], pit.upright
    quarter = vessel.around / 4.0
    give = tape.length(TAPE_GIVE)
    yield make_safe(pit)
    yield Plan(
        key="lines",
        title="On rolls: front line and three more",
        who=VESSEL,
        do=(
            f"Lay it on rolls, end {vessel.fire_end} is the bottom; write BOTTOM on it.",
            "Strike the front line, then a quarter round each: far side, back, firebox line; snap and punch both ends.",
        ),
        after=("safe",),
        needs=(ROLL,),
        holds=(
            Hold(what="front line, clockwise from the long seam at end A", want=tape.length(vessel.top_from_seam), give=give),
            Hold(what="quarter arounds at both ends", want=", ".join(tape.length(quarter * k) for k in (1, 2, 3)), give=give),
            Hold(what="closing around", want=tape.length(vessel.around), give=give),
            Hold(what="front line, twist end to end", want="0", give=give),
        ),
    )  # fmt: skip
    yield Plan(
        key="marks",
        title="Lay out door, window and posts on the skin, once",
        who=VESSEL,
        do=(
            "One pull of the tape from the bottom seam for every height, one from the front line for every around.",
            "A second person reads the list back from the top seam before anything is punched.",
        ),
        after=("lines",),
        needs=(ROLL,),
        holds=(
            Hold(what="door: wrap diagonal on the skin, both ways", want=tape.fine(door.diagonal), give=give, cut=True),
            Hold(what="window: middle over the bottom seam",
                 want=tape.length((own.window.x0 + own.window.x1) / 2.0), give=give, cut=True),
        ),
    )  # fmt: skip
    yield Plan(
        key=door.name,
        title="Cut and hang the door, lying",
        who=VESSEL,
        do=(
            f"{len(own.door.strongbacks)} strongbacks upright along the door, then hinges, all pins on one straight line.",
            "Cut both ends and the latch edge, leave tabs, then the hinge edge; leave the line on the shell.",
            "Bands on with the strongbacks still tacked; then cut the tabs.",
        ),
        after=("marks",),
        needs=(ROLL,),
        cuts=True,
        holds=(
            Hold(what="straight across the cut-out skin, before and after", want=tape.length(door.chord),
                 give=tape.length(LEVEL_GIVE), cut=True),
            Hold(what="pins: string from first to last, off by", want="0", give=give),
            Hold(what="opens to", want=tape.angle(door.stop, 0), give="5°"),
        ),
    )  # fmt: skip
    if named(pit, "bottom plate", "top plate"):
        yield Plan(
            key="stack end",
            title="Close the open end",
            who=PLATE,
            do=("Tack at eight places across from one another; weld short runs on opposite sides.",),
            after=("marks",),
        )
    ledges = tuple(
        Hold(
            what=f"{g.name}: top of its ledges over the bottom seam",
            want=tape.length(g.x - _grate_depth(pit)),
            give=give,
        )
        for g in own.grates
    )
    yield Plan(
        key="inside",
        title="Ledges and bearers, through the door",
        who=VESSEL,
        do=(
            "Set ledges square to the axis from the bottom seam, three pieces a level; try a grate half on them.",
            "Confined space: test the air, ventilate, a person outside.",
        ),
        after=(door.name,),
        holds=ledges,
    )


def _grate_depth(pit: Pit) -> float:
    return MESH + RING_DEEP


def _base(pit: Pit) -> Iterator[Plan]:
    assert pit.upright is not None
    tape, base, own = pit.tape, pit.base, pit.upright
    give = tape.length(TAPE_GIVE)
    yield Plan(
        key="base",
        title="Square base on the table",
        who=BASE,
        do=(
            "Tack every joint, square up by the diagonals, check for winding with two straight edges, then weld.",
            "Feet or casters on last, upside down on the table.",
        ),
        needs=(UNDER_RAILS,),
        holds=(
            Hold(what="outside diagonals, both alike", want=tape.fine(base.diagonal), give=give),
            Hold(what="over the outside, both ways", want=tape.length(own.square), give=give),
            Hold(what="rails in winding", want="0", give=give),
        ),
    )
    post, mate = own.posts[0], own.posts[2]
    yield Plan(
        key="legs",
        title="Posts on the base, plumb",
        who=BASE,
        do=(
            "Four alike, square both ends. Stand them on their marks, faces to the middle, tack on three sides.",
            "Slip a ring of the vessel's around inside them, or try them with a stick across the corners.",
        ),
        after=("base",),
        holds=(
            Hold(what="post length", want=tape.length(post.z1 - post.z0), give=give),
            Hold(what="face to face across the middle", want=tape.length(2.0 * pit.vessel.outer_radius), give=give),
            Hold(what="front pair, middle to middle", want=tape.length(math.dist((post.x, post.y), (mate.x, mate.y))), give=give),
            Hold(what="posts plumb both ways", want="0", give=give),
        ),
    )  # fmt: skip


def _stand(pit: Pit) -> Iterator[Plan]:
    assert pit.upright is not None
    tape, vessel, box, own = pit.tape, pit.vessel, pit.firebox, pit.upright
    give = tape.length(TAPE_GIVE)
    yield Plan(
        key="set",
        title="Stand it up on its base",
        who=BASE,
        do=(
            "A rigger turns it up: hoist at the top, bottom on timber, nobody under it or beside it. Door latched and tied.",
            "Lower it between the posts on blocks; turn the front line to the front; tack corner to corner, weld nothing yet.",
            "Keep it tied back to the hoist until all four posts are tacked.",
        ),
        after=("legs", "marks", "inside", pit.doors[0].name),
        shuts=(ROLL, UNDER_RAILS),
        holds=(
            Hold(what="bottom seam off the floor, four quarters", want=tape.length(vessel.seam_z), give=give),
            Hold(what="front line plumb, and a quarter round plumb", want="0", give=tape.length(LEVEL_GIVE)),
            Hold(what="hinge pins plumb both ways", want="0", give=give),
        ),
    )
    yield Plan(
        key="hang",
        title="Window and firebox",
        who=PLATE,
        do=(
            "Offer the coped firebox up on a jack, level; scribe its inside on the shell; check against the window's marks.",
            "Cut the window, the dam left standing; then tack at four quarters and weld short runs on opposite sides.",
        ),
        after=("firebox", "set", "inside"),
        cuts=True,
        holds=(
            Hold(what="firebox centre off the floor", want=tape.length(box.centre_z), give=give),
            Hold(what="firebox level along and across", want="0", give=give),
            Hold(what="window, widest round the skin", want=tape.length(2.0 * own.window.half_clock * vessel.outer_radius),
                 give=tape.length(LEVEL_GIVE), cut=True),
        ),
    )  # fmt: skip
    if own.spreader is not None:
        yield Plan(
            key="throat",
            title=f"{own.spreader.kind.capitalize()} over the window",
            who=PLATE,
            do=("On its bearers through the door; centre it by eye, even all round.",),
            after=("hang",),
            holds=(Hold(what="its top off the floor", want=tape.length(own.spreader.z), give=tape.length(LEVEL_GIVE)),),
        )
    yield Plan(
        key="fire grate",
        title="Fire grate and tray in",
        who=PLATE,
        do=("Lay the bars in loose, free at one end; tray slides out with the grate in.",),
        after=("hang", "front"),
        holds=(Hold(what="fire grate off the floor", want=tape.length(box.grate_z), give=tape.length(LEVEL_GIVE)),),
    )


def _last(pit: Pit) -> Iterator[Plan]:
    tape, stack, door = pit.tape, pit.stack, pit.doors[0]
    give, level = tape.length(TAPE_GIVE), tape.length(LEVEL_GIVE)
    yield Plan(
        key="stack",
        title="Stack",
        who=VESSEL,
        do=(
            "Set it on the middle of the top and scribe the hole from it; cut, then tack at four quarters."
            if stack.place == "head"
            else "Cope the stub, lay it on, scribe the hole from it, cut, then tack at four quarters.",
            "Work from a platform, not from the vessel.",
        ),
        after=("set",),
        cuts=True,
        holds=(
            Hold(what="stack plumb both ways over its length", want="0", give=level),
            Hold(
                what="top of the stack off the floor", want=tape.length(stack.top_z), give=tape.length(2 * LEVEL_GIVE)
            ),
        ),
    )
    yield Plan(
        key="grates",
        title="Grates",
        who=BASE,
        do=(
            "Rings rolled and clamped flat with their bars; mesh on from the middle outward; mark the halves as pairs.",
        ),
        after=("legs",),
        holds=(Hold(what="over the round, both ways", want=tape.length(pit.grates.levels[0].width), give=give),),
    )
    yield Plan(
        key="fittings",
        title="Drain, thermometers, plugs",
        who=VESSEL,
        do=(
            "Drain out of the middle of the bottom; run water through it before it is welded.",
            "Old bosses plugged or cut away as the survey says.",
        ),
        after=("set", door.name),
        cuts=True,
    )
    yield Plan(
        key="try",
        title="Try everything before it is welded out",
        who=VESSEL,
        do=(
            "Every grate half in and out through the door; door to its stop and back; damper and cap through their swing.",
        ),
        after=("grates", "fire grate", "stack", "fittings", "inside", "throat"),
        holds=(
            Hold(what="lowest grate off the floor, four quarters", want=tape.length(pit.grates.levels[0].z), give=give),
            Hold(what="pit stands on all its feet: rock", want="0", give=give),
        ),
    )
    yield Plan(
        key="weld out",
        title="Weld out",
        who=BASE,
        do=(
            "Posts first, corner to corner; then the stack. Let it cool between rounds.",
            "Look at the pins with a level after every round.",
        ),
        after=("try", "hang"),
        holds=(Hold(what="bottom seam off the floor, after welding", want=tape.length(pit.vessel.seam_z), give=level),),
    )
    yield Plan(key="dress", title="Dress welds and edges", who=BASE, after=("weld out",),
               do=("Guards on, face shield; dress the door's edges, the handle and all that a hand passes over.",))  # fmt: skip
    yield Plan(
        key="paint",
        title="Paint",
        who=PLATE,
        after=("dress",),
        do=("Degrease. High-heat paint on firebox and stack; shell paint on the vessel; ordinary on the base. Insides stay bare.",),
    )  # fmt: skip
    yield Plan(key="burn", title="First fires", who=VESSEL, after=("paint",),
               do=("Outdoors, door open, as the first-fire card says; a thermometer at every grate, written down.",))  # fmt: skip
    yield Plan(
        key="load",
        title="Weigh, load, hand over",
        who=BASE,
        after=("burn",),
        do=(
            "Scale ticket; placard on; door latched and tied, grates, ash and water out. Strap it high, to all four sides.",
        ),
        holds=(Hold(what="scale ticket", want=tape.mass(pit.balance["empty"].mass), give="5 %"),),
    )
