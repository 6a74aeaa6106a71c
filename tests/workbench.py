"""A small bench for layout tests: jobs from a few facts, and layouts run up to the piece under test."""

from __future__ import annotations

import copy
import dataclasses
import math
from collections.abc import Mapping, Sequence
from typing import Any

from pitwright.findings import Finding
from pitwright.job.facts import Job
from pitwright.job.file import job_from
from pitwright.layout.doors import DoorEdges, door_edges, lay_out_door
from pitwright.layout.draft import Draft
from pitwright.layout.firebox import Room, lay_out_firebox, lay_out_throat, size_firebox
from pitwright.layout.grates import DoorSpan, lay_out_grates, main_grate_offset
from pitwright.layout.model import DoorLayout, FireboxLayout, GrateLayout, StackLayout, ThroatLayout, VesselLayout
from pitwright.layout.stack import lay_out_stack
from pitwright.layout.vessel import Body, measure_body
from pitwright.reasons import Ledger
from pitwright.tape import parse_figure

# The worked vessel of the trade notes: tape around 94-1/2, wall 1/4, 84 seam to seam, grate 37 off the floor.
WORKED: dict[str, Any] = {
    "schema": 1,
    "job": {"name": "Bench pit"},
    "vessel": {"around": "94 1/2", "wall": "1/4", "length": "84", "seams": [{"kind": "long"}], "coating": "bare"},
    "order": {"grate_height": "37"},
    "make_safe": {"held": "air", "method": "washed", "signed_by": "A. Clerk", "signed_on": "2026-01-01"},
}


def job(changes: Mapping[str, Any] | None = None, base: Mapping[str, Any] = WORKED) -> Job:
    """The worked job with changes laid over it, table by table."""
    return job_from(merged(base, changes or {}))


def merged(under: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    out = copy.deepcopy(dict(under))
    for key, value in over.items():
        out[key] = merged(out[key], value) if isinstance(value, Mapping) and isinstance(out.get(key), dict) else value
    return out


def draft_of(changes: Mapping[str, Any] | None = None, base: Mapping[str, Any] = WORKED) -> Draft:
    """An empty draft of a job."""
    made = job(changes, base)
    system = made.job.units
    ledger = Ledger(made.override, lambda v, m, f: parse_figure(v, m, system=system, field=f), made.tape.figure)
    return Draft(job=made, tape=made.tape, ledger=ledger)


@dataclasses.dataclass(frozen=True, kw_only=True)
class Upper:
    """A pit without its base, laid out by the modules themselves."""

    draft: Draft
    body: Body
    vessel: VesselLayout
    edges: tuple[DoorEdges, ...]
    stack: StackLayout
    throat: ThroatLayout
    grates: GrateLayout
    firebox: FireboxLayout
    doors: tuple[DoorLayout, ...]


def vessel_of(draft: Draft, body: Body, above: float) -> VesselLayout:
    """The vessel at its height, its seams and fittings left out."""
    fire_end = draft.rules.clock.fire_end or "A"
    keep_head = draft.rules.firebox.joint != "cut"
    return VesselLayout(
        outer_radius=body.outer_radius,
        wall=body.wall,
        length=body.length,
        fire_head=body.heads[fire_end] if keep_head else None,
        stack_head=body.heads["B" if fire_end == "A" else "A"],
        centre_z=draft.job.order.grate_height - above,
        oval=abs(body.oval),
        oval_clock=0.0,
        hand=1 if draft.job.order.firebox_side == "right" else -1,
        datum=draft.rules.shop.datum,
        fire_end=fire_end,
        top_from_seam=0.0,
        long_seam_clock=None,
        girth_seams=(0.0, body.length),
        fittings=(),
        keep_outs=(),
    )


def upper(changes: Mapping[str, Any] | None = None, base: Mapping[str, Any] = WORKED) -> Upper:
    """Everything over the base, from the vessel to the doors."""
    draft = draft_of(changes, base)
    body = measure_body(draft)
    above = main_grate_offset(draft, body.outer_radius, body.length)
    draft.ledger.note("order.grate_height", draft.job.order.grate_height, because="", kind="fixed")
    edges = door_edges(draft, body.outer_radius, body.length, above)
    vessel = vessel_of(draft, body, above)
    room = Room(
        outer_radius=body.outer_radius, inner_radius=body.inner_radius, length=body.length, centre_z=vessel.centre_z
    )
    sizes = size_firebox(draft, room)
    stack = lay_out_stack(draft, vessel, above, edges)
    throat, drop = lay_out_throat(draft, vessel, sizes, above, 0.0)
    grates = lay_out_grates(draft, vessel, [DoorSpan(x0=e.x0, x1=e.x1) for e in edges], vessel.fittings, throat.top)
    firebox = lay_out_firebox(draft, vessel, sizes, throat, drop, grates)
    doors = tuple(lay_out_door(draft, vessel, e, i, stack) for i, e in enumerate(edges, start=1))
    return Upper(
        draft=draft,
        body=body,
        vessel=vessel,
        edges=edges,
        stack=stack,
        throat=throat,
        grates=grates,
        firebox=firebox,
        doors=doors,
    )


def found(findings: Sequence[Finding], code: str) -> Finding:
    """The one finding of a code."""
    hits = [f for f in findings if f.code == code]
    assert len(hits) == 1, [f.code for f in findings]
    return hits[0]


def codes(findings: Sequence[Finding]) -> set[str]:
    return {f.code for f in findings}


def degrees(x: float) -> float:
    return math.degrees(x)
