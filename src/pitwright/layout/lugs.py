"""Lifting lugs on the top of the shell: one toward each end, for two slings of unequal length to one hook.

Both stand at the weight's own offset from the middle, so that the pit hangs level from side to side; where the hinge line
or the stack is in the way they go back from it. Along the pit they stand over the end leg sets (or saddles), and move
toward the middle or the end where something stands there.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from pitwright.geometry.skin import blank_length
from pitwright.layout.draft import Draft
from pitwright.layout.marks import skin_around
from pitwright.layout.model import DoorLayout, LugLayout, Mark, StackLayout, VesselLayout
from pitwright.layout.patches import Patch, door_patch, fitting_patch, keep_patch, skin_gap
from pitwright.masses import combine
from pitwright.parts import Outline, Placement, Plate, Shell
from pitwright.tape import INCH

STEP = 0.5 * INCH
BACK = 6.0 * INCH  # farthest the lugs go behind the weight's own line
ASIDE = 4.0  # a step round the skin costs as much as this many along it: it lets the pit hang askew
CLEAR = 1.0 * INCH  # sling to stack, pad to hinge edge, pad to fitting
ARM = 1.5 * INCH  # half a counterweight arm and its weight's sweep
BESIDE = 12.0 * INCH  # least distance of each lug from the weight, along


def lay_out_lugs(
    draft: Draft, vessel: VesselLayout, doors: Sequence[DoorLayout], stack: StackLayout, sets: Sequence[float]
) -> tuple[LugLayout, ...]:
    """The lugs with their pieces, reasons and findings; none where the shop lifts under the rails.

    sets  stations of the leg sets or saddles [m]. The pieces laid out so far say where the weight lies.
    """
    rules = draft.rules.lift
    if not rules.lugs:
        return ()
    weight = combine(mass for part in draft.parts for mass in draft.placed(part)).centre
    over = draft.share(rules.by, vessel.outer_radius, vessel.length)
    borne = [x for x in sets if 0.0 <= x <= vessel.length] or [0.0, vessel.length]
    wanted = (min(borne) + over, max(borne) - over)
    places = _search(draft, vessel, doors, stack, wanted, weight[0], weight[1])
    out = tuple(
        _lug(draft, vessel, f"{end} end", x, places[2])
        for end, x in (("fire", places[0]), ("stack", places[1]))
    )  # fmt: skip
    _write_down(draft, vessel, out, wanted, weight[1], places[3])
    _parts(draft, vessel, out)
    for lug in out:
        at = skin_around(vessel, lug.clock)
        draft.marks.append(Mark(on="shell", along=vessel.station(lug.x), around=at, what=f"lifting lug, {lug.name}"))
    return out


def _search(
    draft: Draft,
    vessel: VesselLayout,
    doors: Sequence[DoorLayout],
    stack: StackLayout,
    wanted: tuple[float, float],
    weight_x: float,
    weight_y: float,
) -> tuple[float, float, float, float]:
    """(x at the fire end, x at the stack end, offset y, least clearance over what is wanted) [m]."""
    rules, radius = draft.rules.lift, vessel.outer_radius
    low, high = rules.pad_size / 2.0, vessel.length - rules.pad_size / 2.0
    ends = ((low, weight_x - BESIDE), (weight_x + BESIDE, high))
    obstacles = [(door_patch(d), CLEAR) for d in doors]
    obstacles += [(fitting_patch(f, radius), CLEAR) for f in vessel.fittings if f.on == "shell"]
    obstacles += [(keep_patch(k), 0.0) for k in vessel.keep_outs if "long seam" not in k.name]
    obstacles += [
        (_arm(part.placements[0].origin[0]), CLEAR) for part in draft.parts if part.name.endswith("weight arm")
    ]
    best: tuple[float, float, float, float, float] | None = None
    for back in range(int(BACK / STEP) + 1):
        y = weight_y - back * STEP
        clock = math.asin(max(min(y / radius, 0.9), -0.9))
        found: list[tuple[float, float, float]] = []
        for want, (first, last) in zip(wanted, ends, strict=True):
            if last < first:
                first = last = min(max(want, low), high)
            tries = [first + i * STEP for i in range(int((last - first) / STEP) + 1)]
            if first <= want <= last:
                tries.append(want)
            rated = [(_room(x, clock, y, vessel, obstacles, stack, weight_x, rules.pad_size, rules.pad_around), x) for x in tries]  # fmt: skip
            free = [(abs(x - want), x, room) for room, x in rated if room >= 0.0]
            if free:
                found.append(min(free))
            else:
                room, x = max(rated)
                found.append((abs(x - want) + 1e3 * -room, x, room))
        cost = sum(f[0] for f in found) + ASIDE * back * STEP
        if best is None or cost < best[0] - 1e-12:
            best = (cost, found[0][1], found[1][1], y, min(f[2] for f in found))
    assert best is not None
    return best[1:]


def _arm(x: float) -> Patch:
    """The strip over which a door's counterweight arm sweeps, from the hinges back."""
    return Patch(name="counterweight arm", x0=x - ARM, x1=x + ARM, clock0=-math.pi / 2.0, clock1=0.3)


def _room(
    x: float,
    clock: float,
    y: float,
    vessel: VesselLayout,
    obstacles: Sequence[tuple[Patch, float]],
    stack: StackLayout,
    weight_x: float,
    pad_size: float,
    pad_around: float,
) -> float:
    """Clearance of a pad and its sling over what is wanted, the least of all [m]."""
    radius = vessel.outer_radius
    half, turn = pad_size / 2.0, pad_around / 2.0 / radius
    pad = Patch(name="lug", x0=x - half, x1=x + half, clock0=clock - turn, clock1=clock + turn)
    gaps = [skin_gap(pad, patch, radius) - wanted for patch, wanted in obstacles]
    if stack.place == "top":  # the pipe, and the sling's way past it to the hook
        pipe = stack.profile.height / 2.0 + CLEAR
        a, b = min(x - half, weight_x), max(x + half, weight_x)
        past = max(a - stack.x, stack.x - b, 0.0)
        near = max(abs(y - stack.y) - (pad_around / 2.0 if abs(x - stack.x) < half + pipe else 0.0), 0.0)
        gaps.append(math.hypot(past, near) - pipe)
    return min(gaps, default=math.inf)


def _lug(draft: Draft, vessel: VesselLayout, name: str, x: float, y: float) -> LugLayout:
    rules = draft.rules.lift
    clock = math.asin(y / vessel.outer_radius)
    foot = vessel.skin(x, clock, rules.pad_thickness)
    return LugLayout(
        name=name,
        x=x,
        clock=clock,
        hole=(x, y, foot[2] + rules.height),
        width=rules.width,
        thickness=rules.thickness,
        height=rules.height,
        hole_size=rules.hole,
        pin=rules.pin,
        pad_size=rules.pad_size,
        pad_around=rules.pad_around,
        pad_thickness=rules.pad_thickness,
    )


def _write_down(
    draft: Draft,
    vessel: VesselLayout,
    lugs: Sequence[LugLayout],
    wanted: tuple[float, float],
    weight_y: float,
    room: float,
) -> None:
    ledger, tape = draft.ledger, draft.tape
    for lug, want in zip(lugs, wanted, strict=True):
        moved = abs(lug.x - want) > STEP / 4.0
        ledger.note(
            f"lift.{lug.name.split()[0]}_lug",
            vessel.station(lug.x),
            kind="solved",
            because="over the end leg set" + (", moved clear of doors, stack, seams and fittings" if moved else ""),
            rests_on=("vessel.length",),
        )
    ledger.note(
        "lift.lug_offset",
        lugs[0].hole[1],
        kind="solved",
        because="in line with the weight, so that it hangs level from side to side"
        if abs(lugs[0].hole[1] - weight_y) < STEP / 4.0
        else "back from the weight's line, clear of hinges and stack",
    )
    if room < -1e-9:
        draft.find(
            "lift.lug_crowded",
            "stop" if room < -CLEAR else "warn",
            f"No place on the top of the shell keeps both lugs and their slings clear; the best is {tape.length(-room)} short.",
            pieces=("lifting lugs",),
            clearance=room,
            remedy="Set the stack farther behind the top line, take narrower pads, or lift under the rails with a spreader.",
            source="pads and slings against doors, stack, seams and fittings",
        )


def _parts(draft: Draft, vessel: VesselLayout, lugs: Sequence[LugLayout]) -> None:
    first, tape = lugs[0], draft.tape
    w, h = first.width / 2.0, first.height
    outline = Outline(
        ((-w, 0.0), (w, 0.0), (w, h), (-w, h)),
        (0.0, 0.0, 1.0, 0.0),
        (Outline.circle(0.0, h, first.hole_size / 2.0),),
    )
    where = [
        Placement(
            origin=(lug.x, lug.hole[1] + lug.thickness / 2.0, lug.hole[2] - lug.height),
            x=(1.0, 0.0, 0.0),
            y=(0.0, 0.0, 1.0),
            z=(0.0, -1.0, 0.0),
            where=lug.name,
        )
        for lug in lugs
    ]
    draft.add(
        "U",
        "lifting lug",
        "lifting",
        Plate(outline=outline, thickness=first.thickness),
        where,
        draft.plate(first.thickness),
        notes=(
            f"drill the hole, do not burn it; pin {tape.length(first.pin)}",
            "stands along the pit, plumb; weld round, inspected before it is loaded",
        ),
    )
    outer = vessel.outer_radius + first.pad_thickness
    turn = first.pad_around / 2.0 / vessel.outer_radius
    pads = []
    for lug in lugs:
        c, s = math.cos(lug.clock), math.sin(lug.clock)
        pads.append(
            Placement(
                origin=(lug.x - lug.pad_size / 2.0, 0.0, vessel.centre_z), y=(0.0, c, -s), z=(0.0, s, c), where=lug.name
            )
        )
    draft.add(
        "U",
        "lifting lug pad",
        "lifting",
        Shell(outer_radius=outer, wall=first.pad_thickness, length=first.pad_size, clock0=-turn, clock1=turn),
        pads,
        draft.plate(first.pad_thickness),
        flat=Outline.rectangle(0.0, 0.0, first.pad_size, blank_length(outer, first.pad_thickness, 2.0 * turn)),
        notes=(f"roll to {tape.length(vessel.outer_radius)} inside radius; round the corners",),
    )
