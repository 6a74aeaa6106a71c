"""Job in, pit out: the one order in which everything is settled and laid out."""

from __future__ import annotations

import dataclasses
import difflib
import math

from pitwright.errors import JobError, LayoutError
from pitwright.findings import worst_first
from pitwright.job.facts import Job, Measured
from pitwright.layout.asbuilt import leg_verdicts, moved_lines, next_revision
from pitwright.layout.balance import balances
from pitwright.layout.base import check_base, contact_zones, lay_out_base
from pitwright.layout.clock import ends_for_fire, features_of, search
from pitwright.layout.conflicts import find_conflicts
from pitwright.layout.doors import DoorEdges, door_edges, lay_out_door
from pitwright.layout.draft import Draft
from pitwright.layout.firebox import Room, lay_out_firebox, lay_out_throat, size_firebox, throat_opening
from pitwright.layout.firebox_parts import firebox_parts
from pitwright.layout.grates import DRAIN_IN, DRAIN_SIZE, DoorSpan, lay_out_grates, main_grate_offset
from pitwright.layout.lugs import lay_out_lugs
from pitwright.layout.marks import set_out
from pitwright.layout.model import ClockChoice, Pit, StackLayout, VesselLayout
from pitwright.layout.patches import Patch
from pitwright.layout.scene import Scene
from pitwright.layout.shelf import shelf_parts
from pitwright.layout.shell_parts import shell_parts
from pitwright.layout.stack import hole_clocks, lay_out_stack, stack_parts
from pitwright.layout.upright import lay_out_upright
from pitwright.layout.vessel import Body, measure_body, set_vessel, survey_findings
from pitwright.parts import Head
from pitwright.reasons import Figure, Ledger, Measure
from pitwright.tape import parse_figure


def solve(job: Job) -> Pit:
    """The whole pit of a job.

    Raises JobError or LayoutError where the stated facts allow no pit; everything else is a finding.
    """
    before = as_drawn(job)
    if job.measured == Measured() and not job.pieces:
        return before
    pit = _lay_out(job, before.vessel)
    _known_pieces(pit)
    moved = moved_lines(before, pit)
    return dataclasses.replace(
        pit,
        revision=next_revision(job.job.revision),
        moved=moved,
        verdicts=leg_verdicts(before, pit),
    )


def as_drawn(job: Job) -> Pit:
    """The pit before anything was measured: what the last revision's sheets show.

    Raises JobError or LayoutError as `solve` does.
    """
    return _lay_out(job.model_copy(update={"measured": Measured()}))


def _known_pieces(pit: Pit) -> None:
    """Refuse a state typed for a piece this pit does not have.

    Raises JobError.
    """
    marks = sorted({part.mark for part in pit.parts})
    for mark in pit.job.pieces:
        if mark not in marks:
            near = difflib.get_close_matches(mark, marks, n=3, cutoff=0.3)
            raise JobError(
                "this pit has no such piece",
                field=f"pieces.{mark}",
                value=pit.job.pieces[mark],
                allowed=", ".join(near or marks),
                remedy="Piece marks stand on the cut list; correct it or take the line out.",
            )


def _lay_out(job: Job, drawn: VesselLayout | None = None) -> Pit:
    """One layout run; `drawn` is the vessel whose top line is struck already."""
    system = job.job.units
    tape = job.tape

    def read(typed: object, measure: Measure, field: str) -> Figure:
        return parse_figure(typed, measure, system=system, field=field)

    ledger = Ledger(job.override, read, tape.figure)
    draft = Draft(job=job, tape=tape, ledger=ledger)
    if job.order.base == "upright":
        return lay_out_upright(draft, drawn)
    body = measure_body(draft)
    survey_findings(draft, body)
    radius, length = body.outer_radius, body.length
    ledger.note("order.grate_height", job.order.grate_height, kind="fixed", because="promised to the customer")
    above, centre_z = _heights(draft, body)
    edges = door_edges(draft, radius, length, above)
    room = Room(outer_radius=radius, inner_radius=body.inner_radius, length=length, centre_z=centre_z)
    sizes = size_firebox(draft, room)
    choices, vessel, stack = _turned(draft, body, edges, above, centre_z, drawn)
    throat, drop = lay_out_throat(draft, vessel, sizes, above, 0.0)
    grates = lay_out_grates(draft, vessel, [DoorSpan(x0=e.x0, x1=e.x1) for e in edges], vessel.fittings, throat.top)
    firebox = lay_out_firebox(draft, vessel, sizes, throat, drop, grates)
    draft.openings.append(throat_opening(throat))
    stack_parts(draft, vessel, stack)
    doors = tuple(lay_out_door(draft, vessel, e, i, stack) for i, e in enumerate(edges, start=1))
    shell_parts(draft, vessel, doors, stack, grates)
    firebox_parts(draft, vessel, firebox, throat)
    shelf_parts(draft, vessel, doors)
    base, leg_sets, saddles = lay_out_base(draft, vessel, firebox, doors, grates)
    lugs = lay_out_lugs(draft, vessel, doors, stack, [*(s.x for s in leg_sets), *(s.x for s in saddles)])
    states = balances(draft, vessel, doors, grates)
    check_base(draft, vessel, base, states)
    scene = Scene(
        vessel=vessel,
        doors=doors,
        stack=stack,
        grates=grates,
        firebox=firebox,
        leg_sets=leg_sets,
        saddles=saddles,
        base=base,
        throat=throat,
    )
    find_conflicts(draft, scene)
    set_out(draft, vessel, doors, stack, grates, leg_sets, saddles, base)
    return Pit(
        job=job,
        tape=tape,
        revision=job.job.revision,
        cleared=job.make_safe.complete,
        vessel=vessel,
        clock_choices=choices,
        grates=grates,
        firebox=firebox,
        throat=throat,
        stack=stack,
        doors=doors,
        leg_sets=leg_sets,
        saddles=saddles,
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
        lugs=lugs,
    )


def _heights(draft: Draft, body: Body) -> tuple[float, float]:
    """(main grate over the vessel's centre, centre over the floor) [m]. The promised grate height is kept either way."""
    job, ledger = draft.job, draft.ledger
    above = main_grate_offset(draft, body.outer_radius, body.length)
    centre_z = job.order.grate_height - above
    stands = job.measured.height
    if stands is None:
        ledger.note(
            "vessel.centre",
            centre_z,
            because="grate height less where the grate lies in the round",
            rests_on=("order.grate_height", "grates.below_centre"),
        )
        return above, centre_z
    ledger.note("vessel.centre", stands, kind="measured", because="as the vessel stands on its base")
    off = stands - centre_z
    if abs(off) > draft.tape.step / 2.0:
        draft.find(
            "vessel.stands_off",
            "note",
            f"The vessel stands {draft.tape.length(abs(off))} {'high' if off > 0 else 'low'}. The grate is set "
            f"{'lower' if off > 0 else 'higher'} in the round by as much: the promised height is kept.",
            clearance=off,
        )
    return job.order.grate_height - stands, stands


def _turned(
    draft: Draft,
    body: Body,
    edges: tuple[DoorEdges, ...],
    above: float,
    centre_z: float,
    drawn: VesselLayout | None,
) -> tuple[tuple[ClockChoice, ...], VesselLayout, StackLayout]:
    """The vessel turned for the best, with its seams and fittings where they come to lie; and the stack on it."""
    job, rules, ledger, tape = draft.job, draft.rules.clock, draft.ledger, draft.tape
    if drawn is not None:
        rules = rules.model_copy(update={"top_from_seam": drawn.top_from_seam, "fire_end": drawn.fire_end})
    hand = 1 if job.order.firebox_side == "right" else -1
    bare = _vessel(draft, body, centre_z, hand, None)
    stack = lay_out_stack(draft, bare, above, edges)
    features = features_of(job.vessel, body.length, rules)
    zones = [
        Patch(name=f"door {i}", x0=e.x0, x1=e.x1, clock0=e.hinge, clock1=e.edge) for i, e in enumerate(edges, start=1)
    ]
    if stack.place == "top":
        back, front = hole_clocks(stack, bare)
        half = stack.hole_along / 2.0
        zones.append(Patch(name="stack hole", x0=stack.x - half, x1=stack.x + half, clock0=back, clock1=front))
    zones += contact_zones(draft, bare)
    drain_x = body.length - DRAIN_IN
    half = DRAIN_SIZE / 2.0
    zones.append(
        Patch(
            name="drain",
            x0=drain_x - half,
            x1=drain_x + half,
            clock0=math.pi - half / body.outer_radius,
            clock1=math.pi + half / body.outer_radius,
        )
    )
    choices = search(
        features=features,
        zones=tuple(zones),
        radius=body.outer_radius,
        length=body.length,
        hand=hand,
        drain_x=_low_end(body),
        rules=rules,
        ends=ends_for_fire(draft.rules.firebox.joint, body.heads),
    )
    best = choices[0]
    fixed = rules.top_from_seam is not None
    ledger.note(
        "clock.top_from_seam",
        best.top_from_seam,
        kind="proportion" if fixed else "solved",
        because=_why_turned(draft, drawn) or f"least clear: {best.against}",
        formula=""
        if fixed
        else "all turns and both ends tried; clearances kept first, fittings put to use next, most clear last",
    )
    ledger.note(
        "clock.fire_end",
        best.fire_end,
        "text",
        kind="proportion" if rules.fire_end else "solved",
        because="survey end that gets the fire",
    )
    if math.isfinite(best.score) and best.score < 0.0:
        draft.find(
            "clock.tight",
            "warn",
            f"No way up keeps every clearance; the best leaves {tape.length(best.least_clear)} between {best.against}.",
            clearance=best.least_clear,
            remedy="Move a door, a leg set or the stack, or take another vessel.",
        )
    vessel = _vessel(draft, body, centre_z, hand, best)
    if stack.place == "end":  # it leaves through the head that has come to the stack end
        stack = lay_out_stack(draft, vessel, above, edges)
    return choices, vessel, stack


def _low_end(body: Body) -> tuple[float, float]:
    """Where along the pit a boss at the bottom may serve as the drain [m]."""
    return 0.55 * body.length, body.length


def _why_turned(draft: Draft, drawn: VesselLayout | None) -> str:
    """Why the turn was not searched for; empty where it was."""
    if draft.rules.clock.top_from_seam is not None:
        return "fixed by the shop"
    return "" if drawn is None else "as it was drawn: the top line is struck already"


def _vessel(draft: Draft, body: Body, centre_z: float, hand: int, choice: ClockChoice | None) -> VesselLayout:
    """The vessel set at its height: turned as chosen, or still without its seams."""
    rules = draft.rules
    ends = ends_for_fire(rules.firebox.joint, body.heads)
    fire_end = choice.fire_end if choice is not None else rules.clock.fire_end or ends[0]
    return set_vessel(
        draft,
        body,
        choice,
        fire_end=fire_end,
        fire_head=_fire_head(draft, body, fire_end),
        centre_z=centre_z,
        hand=hand,
        datum=rules.shop.datum,
        drain_x=_low_end(body),
    )


def _fire_head(draft: Draft, body: Body, fire_end: str) -> Head | None:
    """The head that stays on the fire end; None where it is cut off or was never there.

    Raises LayoutError where the joint asked for needs a head that is not there.
    """
    joint, head = draft.rules.firebox.joint, body.heads[fire_end]
    if joint == "cut":
        return None
    if head is None or (joint == "flat") != (head.kind == "flat"):
        found = "none" if head is None else head.kind
        raise LayoutError(
            f"the fire end has {'no' if head is None else 'a ' + found} head",
            field="proportions.firebox.joint",
            value=joint,
            allowed="cut" if head is None else ("flat" if head.kind == "flat" else "cut, dished"),
            remedy='Take joint = "cut": the head is cut off and a throat plate closes the end.',
        )
    return head
