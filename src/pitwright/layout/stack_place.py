"""Which pipe the stack is, and how far behind the top line it has to stand for the doors."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pitwright.errors import LayoutError
from pitwright.layout.door_parts import DoorEdges
from pitwright.layout.doors import half_width_between, pin_and_skin
from pitwright.layout.draft import Draft
from pitwright.layout.model import VesselLayout
from pitwright.layout.swing import furthest_back
from pitwright.stock import Profile, find_profile
from pitwright.tape import INCH

PIPES = ("4 sch 40 pipe", "5 sch 40 pipe", "6 sch 40 pipe", "8 sch 20 pipe", "10 sch 20 pipe", "12 sch 20 pipe",
         "14 sch 20 pipe", "16 sch 20 pipe", "18 sch 20 pipe", "20 sch 20 pipe")  # fmt: skip
BEHIND_STEP, BEHIND_STEP_METRIC = 0.25 * INCH, 0.005  # how finely the stack is moved behind the top line [m]


def stack_pipe(draft: Draft, vessel: VesselLayout) -> Profile:
    """The stack's pipe: the shop's, or the stock size whose bore is nearest its share of the chamber's section."""
    rules, ledger = draft.rules.stack, draft.ledger
    if rules.profile is not None:
        profile = find_profile(rules.profile, field="proportions.stack.profile")
        if profile.kind != "pipe":
            raise LayoutError(
                "the stack is a pipe",
                field="proportions.stack.profile",
                value=rules.profile,
                allowed="round pipe or tube",
                remedy="Name a pipe such as 8 sch 20 pipe.",
            )
        ledger.note("stack.pipe", profile.designation, "text", kind="proportion", because="the shop's stack stock")
        return profile
    wanted = ledger.choose(
        "stack.area",
        rules.share * math.pi * vessel.inner_radius**2,
        "area",
        because="stack bore: the shop's share of the chamber's section",
        formula="share x pi Ri^2",
        rests_on=("vessel.diameter", "vessel.wall"),
        limits=(0.0, math.pi * vessel.inner_radius**2),
    )
    stock = [find_profile(name, field="stack") for name in PIPES]
    profile = min(stock, key=lambda p: abs(_bore(p) / wanted - 1.0) if wanted else _bore(p))
    ledger.note(
        "stack.pipe",
        profile.designation,
        "text",
        because=f"the pipe whose bore ({draft.tape.small_area(_bore(profile))}) comes nearest",
        rests_on=("stack.area",),
    )
    return profile


def _bore(pipe: Profile) -> float:
    """Open area of a pipe [m2]."""
    return math.pi / 4.0 * (pipe.height - 2.0 * pipe.wall) ** 2


def stack_behind(draft: Draft, vessel: VesselLayout, profile: Profile, x: float, doors: Sequence[DoorEdges]) -> float:
    """How far behind the top line the stack stands [m]: the shop's rule, or just far enough for the doors."""
    rules, ledger = draft.rules.stack, draft.ledger
    radius, r = vessel.outer_radius, profile.height / 2.0
    if rules.behind_top is not None:
        return ledger.choose("stack.behind_top", rules.behind_top, because="stack centre behind the top line")
    needed, because = 0.0, "on the top line: nothing is in its way"
    for number, door in enumerate(doors, start=1):
        for behind, what in (
            (_for_edge(draft, vessel, r, x, door), "edge"),
            (_for_swing(draft, vessel, r, x, door), "swing"),
        ):
            if behind > needed:
                needed, because = behind, f"just far enough behind the top line for the {what} of door {number}"
    step = BEHIND_STEP if draft.tape.inch else BEHIND_STEP_METRIC
    needed = min(math.ceil(needed / step - 1e-6) * step, 0.9 * radius - r)
    return ledger.choose(
        "stack.behind_top",
        max(needed, 0.0),
        kind="solved",
        because=because,
        rests_on=("doors.hinge_clock", "doors.width", "stack.x", "stack.pipe") if doors else ("stack.x", "stack.pipe"),
        limits=(r - radius, radius - r),
    )


def _for_edge(draft: Draft, vessel: VesselLayout, r: float, x: float, door: DoorEdges) -> float:
    """How far behind the top line leaves the shop's skin between the hole and a door's hinge edge [m]."""
    skin = draft.rules.shop.ligament
    if max(door.x0 - x, x - door.x1) >= r + skin:
        return -math.inf
    return r - vessel.outer_radius * math.sin(door.hinge - skin / vessel.outer_radius)


def _for_swing(draft: Draft, vessel: VesselLayout, r: float, x: float, door: DoorEdges) -> float:
    """How far behind the top line the stack clears a door up to its stop and the shop's margin past it [m]."""
    rules = draft.rules.doors
    half = half_width_between(r, x, door.x0 - rules.band_overlap, door.x1 + rules.band_overlap)
    if half is None:
        return -math.inf
    pin, skin = pin_and_skin(draft, vessel, door)
    return half - furthest_back(pin, skin, rules.open_stop + rules.touch_clear)
