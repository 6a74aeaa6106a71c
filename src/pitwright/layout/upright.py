"""A vessel on end laid out: the one order in which everything of it is settled and placed."""

from __future__ import annotations

import dataclasses
import math

from pitwright.findings import worst_first
from pitwright.job.facts import EndName
from pitwright.layout.balance import balances
from pitwright.layout.clock import features_of, search
from pitwright.layout.draft import Draft
from pitwright.layout.model import ClockChoice, DoorLayout, Pit, StackLayout, VesselLayout
from pitwright.layout.patches import Patch
from pitwright.layout.shell_parts import DRAIN_BORE
from pitwright.layout.upright_base import lay_out_square_base
from pitwright.layout.upright_checks import (
    door_opening,
    find_upright_conflicts,
    post_patches,
    set_out_upright,
    window_and_door,
    window_patch,
)
from pitwright.layout.upright_door import lay_out_tall_door
from pitwright.layout.upright_firebox import (
    lay_out_side_firebox,
    lay_out_side_throat,
    lay_out_window,
    side_firebox_parts,
    window_cut,
)
from pitwright.layout.upright_inside import (
    grate_parts,
    lay_out_drain,
    lay_out_round_grates,
    lay_out_spreader,
    ledge_places,
)
from pitwright.layout.upright_model import Post, SideWindow, UprightLayout
from pitwright.layout.upright_place import hanging, on_axis, plan, swung_upright
from pitwright.layout.upright_sizes import (
    Frame,
    Heights,
    below_seam,
    bottom_end,
    refuse,
    settle_heights,
    size_door,
    size_frame,
    size_upright_firebox,
    upright_edges,
)
from pitwright.layout.upright_stack import back_hole, lay_out_upright_stack, upright_stack_parts
from pitwright.layout.vessel import Body, measure_body, set_vessel, survey_findings
from pitwright.parts import CylinderCut, Outline, Placement, Plate, Shell, ShellCutting, Window

NO_DRAIN = (math.inf, math.inf)  # no boss on the shell serves as the drain of a vessel on end


def lay_out_upright(draft: Draft, drawn: VesselLayout | None = None) -> Pit:
    """One layout run; `drawn` is the vessel whose front line is struck already.

    Raises JobError or LayoutError where the stated facts allow no pit; everything else is a finding.
    """
    job, ledger = draft.job, draft.ledger
    refuse(draft)
    body = measure_body(draft)
    survey_findings(draft, body)
    radius, length = body.outer_radius, body.length
    ledger.note(
        "order.grate_height", job.order.grate_height, kind="fixed", because="lowest grate, promised to the customer"
    )
    clear, sweep = size_door(draft, radius)
    sizes, inside = size_upright_firebox(draft, radius, length)
    frame = size_frame(draft, radius, sizes)
    ends = bottom_end(body, draft.rules.clock.fire_end)
    heights = settle_heights(draft, body, body.heads[ends[0]], sizes, frame)
    edges = upright_edges(draft, body, heights, sweep)
    window = lay_out_window(draft, radius, body.wall, sizes, heights)
    low, high = sorted((edges.hinge, edges.edge))
    door_patch = Patch(name="door 1", x0=edges.x0, x1=edges.x1, clock0=low, clock1=high)
    window_and_door(draft, radius, length, window_patch(window, radius), door_patch)
    choices, vessel = _turned(draft, body, ends, heights, frame, door_patch, window, drawn)
    stack = lay_out_upright_stack(draft, vessel)
    throat = lay_out_side_throat(draft, vessel, window, sizes)
    firebox = lay_out_side_firebox(draft, vessel, sizes, inside, heights)
    grates, rounds = lay_out_round_grates(draft, vessel, heights, clear)
    ledges = ledge_places(draft, radius, sweep)
    grate_parts(draft, vessel, rounds, ledges, draft.rules.upright.ledge)
    spreader = lay_out_spreader(draft, vessel, heights, clear, throat.net_area)
    upright_stack_parts(draft, vessel, stack)
    door, tall = lay_out_tall_door(draft, vessel, edges, firebox, stack, clear)
    bottom_z = heights.seam_z - below_seam(vessel.fire_head, draft.rules.firebox.end_plate)
    drain_z = lay_out_drain(draft, bottom_z)
    _vessel_parts(draft, vessel, door, window, stack)
    side_firebox_parts(draft, vessel, firebox)
    base, posts = lay_out_square_base(draft, radius, frame, heights.seam_z, edges.x0)
    states = balances(draft, vessel, (door,), grates, swung_upright)
    find_upright_conflicts(draft, vessel, door, window, stack, firebox, base, posts, stack.top_z)
    set_out_upright(draft, vessel, door, window, stack, base, posts)
    return Pit(
        job=job,
        tape=draft.tape,
        revision=job.job.revision,
        cleared=job.make_safe.complete,
        vessel=vessel,
        clock_choices=choices,
        grates=grates,
        firebox=firebox,
        throat=throat,
        stack=stack,
        doors=(door,),
        leg_sets=(),
        saddles=(),
        base=base,
        parts=tuple(draft.parts),
        openings=tuple(draft.openings),
        marks=tuple(draft.marks),
        verdicts=(),
        moved=(),
        dead_sheets=(),
        balance=states,
        reasons=ledger.close(),
        findings=worst_first(draft.findings),
        upright=UprightLayout(
            window=window,
            door=tall,
            grates=rounds,
            ledges=ledges,
            ledge_in=draft.rules.upright.ledge,
            spreader=spreader,
            posts=posts,
            post=frame.post,
            square=frame.outside,
            diagonal=base.diagonal,
            bottom_z=bottom_z,
            overall_z=stack.top_z,
            drain_z=drain_z,
        ),
    )


def _turned(
    draft: Draft,
    body: Body,
    ends: tuple[str, ...],
    heights: Heights,
    frame: Frame,
    door: Patch,
    window: SideWindow,
    drawn: VesselLayout | None,
) -> tuple[tuple[ClockChoice, ...], VesselLayout]:
    """The vessel turned about its axis so that its seams and fittings clear door, window and posts."""
    job, rules, ledger, tape = draft.job, draft.rules.clock, draft.ledger, draft.tape
    if drawn is not None:
        rules = rules.model_copy(update={"top_from_seam": drawn.top_from_seam, "fire_end": drawn.fire_end})
    hand = 1 if job.order.firebox_side == "right" else -1
    radius = body.outer_radius
    zones = [door, window_patch(window, radius)]
    out = radius + frame.post.height / 2.0
    clocks = (frame.post_clock, math.pi - frame.post_clock, -frame.post_clock, frame.post_clock - math.pi)
    bare = _vessel(draft, body, heights, hand, None, ends[0])
    lap = heights.seam_z + draft.rules.upright.post_lap
    posts = tuple(Post(x=plan(out, c)[0], y=plan(out, c)[1], clock=c, z0=frame.rail_top, z1=lap) for c in clocks)
    zones += post_patches(posts, bare, frame.post.width)
    allowed: tuple[EndName, ...] = tuple(end for end in ("A", "B") if end in ends)
    choices = search(
        features=features_of(job.vessel, body.length, rules),
        zones=tuple(zones),
        radius=radius,
        length=body.length,
        hand=hand,
        drain_x=NO_DRAIN,
        rules=rules,
        ends=allowed,
    )
    # the heights were settled for the first end's bottom; a way up that stands on the other is taken only where alike
    alike = [c for c in choices if body.heads[c.fire_end] == body.heads[ends[0]]] or list(choices)
    best = alike[0]
    fixed = rules.top_from_seam is not None
    because = f"least clear: {best.against}"
    if fixed:
        because = "fixed by the shop" if drawn is None else "as it was drawn: the front line is struck already"
    ledger.note(
        "clock.top_from_seam", best.top_from_seam, kind="proportion" if fixed else "solved",
        because=f"front line from the long seam, clockwise seen at end A; {because}",
        formula="" if fixed else "all turns tried; clearances kept first, fittings put to use next, most clear last",
    )  # fmt: skip
    ledger.note(
        "clock.fire_end", best.fire_end, "text", kind="proportion" if rules.fire_end else "solved",
        because="survey end that stands at the bottom",
    )  # fmt: skip
    if math.isfinite(best.score) and best.score < 0.0:
        draft.find(
            "clock.tight",
            "warn",
            f"No turn keeps every clearance; the best leaves {tape.length(best.least_clear)} between {best.against}.",
            clearance=best.least_clear,
            remedy="Ask for a narrower door, or take another vessel.",
        )
    rest = tuple(c for c in choices if c is not best)
    return (best, *rest), _vessel(draft, body, heights, hand, best, best.fire_end)


def _vessel(
    draft: Draft, body: Body, heights: Heights, hand: int, choice: ClockChoice | None, bottom: str
) -> VesselLayout:
    """The vessel stood on its bottom end: turned as chosen, or still without its seams."""
    end: EndName = "A" if bottom == "A" else "B"
    return set_vessel(
        draft,
        body,
        choice,
        fire_end=end,
        fire_head=body.heads[end],
        centre_z=heights.seam_z + body.length / 2.0,
        hand=hand,
        datum="fire",
        drain_x=NO_DRAIN,
        on_end=True,
    )


def _vessel_parts(draft: Draft, vessel: VesselLayout, door: DoorLayout, window: SideWindow, stack: StackLayout) -> None:
    """Shell with its openings, bottom and top."""
    opening = door_opening(door)
    cuts: list[ShellCutting] = [
        Window(x0=opening.x0, x1=opening.x1, clock0=opening.clock0, clock1=opening.clock1),
        window_cut(window, vessel.outer_radius),
    ]
    hole = back_hole(stack, vessel)
    if hole is not None:
        cuts.append(hole)
    draft.add(
        "V",
        "shell",
        "vessel",
        Shell(outer_radius=vessel.outer_radius, wall=vessel.wall, length=vessel.length, cuts=tuple(cuts)),
        on_axis(vessel.seam_z),
        "of the vessel",
    )
    bore = stack.profile.height / 2.0 - stack.profile.wall
    for head, name, z, up, radius in (
        (vessel.fire_head, "bottom", vessel.seam_z + vessel.fire_tangent, False, DRAIN_BORE),
        (vessel.stack_head, "top", vessel.seam_z + vessel.stack_tangent, True, bore if stack.place == "head" else 0.0),
    ):
        at = on_axis(z) if up else hanging(z)
        if head is None:
            thickness = draft.rules.firebox.end_plate
            holes = (Outline.circle(0.0, 0.0, radius),) if radius else ()
            draft.add(
                "V",
                f"{name} plate",
                "vessel",
                Plate(outline=Outline.circle(0.0, 0.0, vessel.outer_radius, holes), thickness=thickness),
                _level(z, up),
                draft.plate(thickness),
                notes=("closes the open end",),
            )
            continue
        hole_cut = (CylinderCut(point=(0.0, 0.0, 0.0), axis=(1.0, 0.0, 0.0), radius=radius),) if radius else ()
        draft.add(
            "V",
            f"{name} head",
            "vessel",
            dataclasses.replace(head, cuts=hole_cut),
            at,
            "of the vessel",
        )


def _level(z: float, up: bool) -> Placement:
    """A level plate that closes an end: on it, or under it [m]."""
    if up:
        return Placement(origin=(0.0, 0.0, z))
    return Placement(origin=(0.0, 0.0, z), y=(0.0, -1.0, 0.0), z=(0.0, 0.0, -1.0))
