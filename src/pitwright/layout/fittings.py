"""Fittings the vessel brought: what becomes of them against the openings of the pit."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pitwright.layout.draft import Draft
from pitwright.layout.model import PlacedFitting, VesselLayout
from pitwright.layout.patches import Patch, fitting_patch, lies_inside, skin_gap
from pitwright.layout.scene import Scene
from pitwright.parts import Outline, Point2


def check_fittings(draft: Draft, scene: Scene, openings: Sequence[Patch]) -> None:
    """Fittings that fall into an opening, are not put to use, or leave a hole to patch."""
    check_shell_fittings(draft, scene.vessel, openings)
    for fitting in scene.vessel.fittings:
        if fitting.on != "shell":
            _on_head(draft, scene, fitting)


def check_shell_fittings(draft: Draft, vessel: VesselLayout, openings: Sequence[Patch]) -> None:
    """The same for what sits on the shell."""
    for fitting in vessel.fittings:
        if fitting.on == "shell":
            _on_shell(draft, vessel, fitting, openings)


def _on_shell(draft: Draft, vessel: VesselLayout, fitting: PlacedFitting, openings: Sequence[Patch]) -> None:
    tape, radius = draft.tape, vessel.outer_radius
    own, clear = fitting_patch(fitting, radius), draft.rules.clock.fitting_clear
    inside = next((o for o in openings if lies_inside(own, o, radius) >= 0.0), None)
    if fitting.plan == "keep" and inside is not None:
        draft.find(
            "fittings.cut_out",
            "stop",
            f"{fitting.name} is to be kept, but {inside.name} is cut where it sits.",
            pieces=(fitting.name, inside.name),
            remedy="Turn the vessel, move the opening, or let it go.",
        )
    if fitting.plan == "reuse" and not fitting.serves:
        draft.find(
            "fittings.not_used",
            "note",
            f"{fitting.name} lands at {tape.length(vessel.station(fitting.x))} along and "
            f"{tape.length(vessel.around_at(fitting.clock % (2.0 * math.pi)))} round, where it serves for nothing: plug it.",
            pieces=(fitting.name,),
        )
    if fitting.plan != "cut away" or inside is not None:
        return
    near = min(openings, key=lambda o: skin_gap(own, o, radius), default=None)
    gap = math.inf if near is None else skin_gap(own, near, radius)
    if near is not None and gap < clear - 1e-6:
        draft.find(
            "fittings.patch_on_edge",
            "warn",
            f"The patch of {fitting.name} {'runs over the edge' if gap < 0.0 else 'ends ' + tape.length(gap) + ' from the edge'} "
            f"of {near.name}; the shop wants {tape.length(clear)}.",
            pieces=(fitting.name, near.name),
            clearance=gap,
            remedy="Patch it and dress it flush before the opening is cut, turn the vessel, or move the opening.",
            source="common practice, no source",
        )
        return
    draft.find(
        "fittings.patch",
        "note",
        f"{fitting.name} is cut away and lies in no opening: it leaves a hole {tape.length(fitting.size)} wide to patch.",
        pieces=(fitting.name,),
    )


def _on_head(draft: Draft, scene: Scene, fitting: PlacedFitting) -> None:
    """Against the throat in a head left on, and an end stack. Its x is how far it sits from the vessel's axis."""
    tape, vessel = draft.tape, scene.vessel
    at = (fitting.x * math.sin(fitting.clock), fitting.x * math.cos(fitting.clock))
    clear, half = draft.rules.clock.fitting_clear, fitting.size / 2.0
    if fitting.on == "stack head" and scene.stack.place == "end":
        apart = math.dist(at, (scene.stack.y, scene.stack.base_z - vessel.centre_z))
        gap, name = apart - half - scene.stack.profile.height / 2.0, "the stack"
    elif fitting.on == "fire head" and vessel.fire_head is not None:
        edge = Outline(scene.throat.points, scene.throat.bulges).flattened(0.002)
        distance, contained = _to_edge(at, edge)
        if contained and distance >= half:
            return  # it goes with the cut
        gap, name = distance * (-1.0 if contained else 1.0) - half, "the throat"
    else:
        return
    if gap < clear - 1e-6:
        draft.find(
            "fittings.on_head",
            "stop" if gap < 0.0 else "warn",
            f"{fitting.name} on the {fitting.on} "
            + (
                f"runs into {name}."
                if gap < 0.0
                else f"stands {tape.length(gap)} from {name}; the shop wants {tape.length(clear)}."
            ),
            pieces=(fitting.name, name.removeprefix("the ")),
            clearance=gap,
            remedy="Cut the fitting away and patch it first, turn the vessel, or take the other end.",
        )


def _to_edge(point: Point2, edge: Sequence[Point2]) -> tuple[float, bool]:
    """Distance of a point from a closed line of points [m], and whether it lies inside."""
    least, inside = math.inf, False
    x, y = point
    for (x0, y0), (x1, y1) in zip(edge, (*edge[1:], edge[0]), strict=True):
        dx, dy = x1 - x0, y1 - y0
        along = ((x - x0) * dx + (y - y0) * dy) / (dx * dx + dy * dy) if dx or dy else 0.0
        along = min(max(along, 0.0), 1.0)
        least = min(least, math.hypot(x - x0 - along * dx, y - y0 - along * dy))
        if (y0 > y) != (y1 > y) and x < x0 + dx * (y - y0) / dy:
            inside = not inside
    return least, inside
