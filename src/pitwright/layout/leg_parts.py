"""The pieces of the leg sets: tubes with their true ends, and pads."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pitwright.geometry.skin import blank_length
from pitwright.layout.base_sizes import BaseSizes
from pitwright.layout.draft import Draft
from pitwright.layout.leg_solve import LegSolved
from pitwright.layout.leg_stance import PlannedSet, Stance
from pitwright.layout.model import LegLayout, LegSet
from pitwright.parts import Bar, CylinderCut, Outline, Part, Placement, PlaneCut, Shell, Vec
from pitwright.saw import saw_cut
from pitwright.stock import Profile
from pitwright.tape import MILLIMETRE

SAME = 1e-7


def _own(across_deep_along: Vec) -> Vec:
    """From the tube's axes (across, deep, along) to the bar's own (x along, y deep, z across)."""
    return (across_deep_along[2], across_deep_along[1], across_deep_along[0])


def _turned(v: Vec) -> Vec:
    return (-v[0], -v[1], -v[2])


def leg_bar(leg: LegSolved, profile: Profile, coped: bool) -> Bar:
    """A leg from its foot centre up: outer face on top (z), width of the section in the end view upright."""
    length = leg.figures.length
    start = PlaneCut(point=(0.0, 0.0, 0.0), normal=_turned(_own(leg.foot_normal)))
    if not coped:
        finish: PlaneCut | CylinderCut = PlaneCut(point=(length, 0.0, 0.0), normal=_own(leg.top_normal))
    else:
        cope = leg.cope_end
        finish = CylinderCut(point=_own(cope.point), axis=_own(cope.axis), radius=leg.radius)
    return Bar(profile=profile, x0=0.0, x1=length, start=start, finish=finish)


def _frozen_bar(drawn: LegSolved, leg: LegLayout, profile: Profile) -> Bar:
    """The leg as it was cut: its own lengths and angles, whatever the pit has become since."""
    bar = leg_bar(drawn, profile, leg.end == "coped")
    if leg.end == "straight" and drawn.plain:
        length = (leg.long_point + leg.short_point) / 2.0
        return Bar(
            profile=profile,
            x0=0.0,
            x1=length,
            start=PlaneCut(point=(0.0, 0.0, 0.0), normal=(-math.cos(leg.foot_cut), 0.0, -math.sin(leg.foot_cut))),
            finish=PlaneCut(point=(length, 0.0, 0.0), normal=(math.cos(leg.top_cut), 0.0, -math.sin(leg.top_cut))),
        )
    cut = saw_cut(bar)
    more = (leg.long_point + leg.short_point - cut.long_point - cut.short_point) / 2.0
    end, point = bar.finish, (bar.finish.point[0] + more, *bar.finish.point[1:])
    if isinstance(end, CylinderCut):
        moved: PlaneCut | CylinderCut = CylinderCut(point=point, axis=end.axis, radius=end.radius)
    else:
        moved = PlaneCut(point=point, normal=_own(drawn.top_normal))
    return Bar(profile=profile, x0=0.0, x1=bar.x1 + more, start=bar.start, finish=moved)


def leg_parts(
    draft: Draft, planned_sets: Sequence[PlannedSet], leg_sets: Sequence[LegSet], sizes: BaseSizes
) -> tuple[Part, ...]:
    """Add the legs: one mark a set, and after them the second leg of every set whose two legs differ."""
    later: list[tuple[PlannedSet, Stance, LegLayout, LegSet]] = []
    out: list[Part] = []
    for planned, leg_set in zip(planned_sets, leg_sets):
        working, back = planned.legs
        one, other = leg_set.legs
        same = _same_piece(one, other)
        where = [_placement(working, one, sizes)]
        if same:
            where.append(_placement(back, other, sizes))
        else:
            later.append((planned, back, other, leg_set))
        name = f"leg, set {leg_set.name}" + ("" if same else ", working side")
        out.append(_add(draft, planned, working, one, leg_set, where, name))
    for planned, stance, leg, leg_set in later:
        name = f"leg, set {leg_set.name}, back"
        out.append(_add(draft, planned, stance, leg, leg_set, [_placement(stance, leg, sizes)], name))
    return tuple(out)


def _same_piece(one: LegLayout, other: LegLayout) -> bool:
    return all(
        abs(a - b) < SAME
        for a, b in (
            (one.long_point, other.long_point),
            (one.short_point, other.short_point),
            (one.top_cut, other.top_cut),
            (one.foot_cut, other.foot_cut),
            (one.centre_length, other.centre_length),
            (one.foot_y, -other.foot_y),
        )
    )


def _add(
    draft: Draft,
    planned: PlannedSet,
    stance: Stance,
    leg: LegLayout,
    leg_set: LegSet,
    where: Sequence[Placement],
    name: str,
) -> Part:
    profile = planned.profile
    frozen = leg.state != "open"
    bar = (
        _frozen_bar(planned.drawn.solved, leg, profile)
        if frozen
        else leg_bar(stance.solved, profile, leg.end == "coped")
    )
    return draft.add(
        "L",
        name,
        "legs",
        bar,
        where,
        profile.designation,
        state=leg.state,
        notes=_notes(draft, stance.solved, leg, leg_set, mirrored=any(p.mirrored for p in where)),
    )


def _notes(draft: Draft, solved: LegSolved, leg: LegLayout, leg_set: LegSet, mirrored: bool) -> tuple[str, ...]:
    tape = draft.tape
    way = "roll 180 between the cuts" if leg.roll else "do not roll between the cuts"
    notes = [f"{way}; mark the outer face"]
    if leg.end == "coped":
        notes.append(
            f"cope the top to a radius of {tape.length(solved.radius)}"
            + ("" if solved.section == "tube" and solved.plain else ", by the wrap")
        )
    if leg_set.relief:
        notes.append(f"relieve the top 1 in wide x {tape.length(leg_set.relief)} deep over the weld cap")
    if solved.lean_along:
        notes.append("one leg of the set is the mirror of the other" if mirrored else "leans both ways")
    return tuple(notes)


def _placement(stance: Stance, leg: LegLayout, sizes: BaseSizes) -> Placement:
    """The working leg as solved; the back leg the same piece turned half round, or its mirror where it leans both ways."""
    axes = stance.solved.axes
    where = f"set {stance.side}"
    if stance.side == "working":
        return Placement(
            origin=(leg.x, leg.foot_y, sizes.rail_top), x=axes.along, y=axes.deep, z=axes.across, where=where
        )

    def across(v: Vec) -> Vec:
        return (v[0], -v[1], v[2])

    along, deep, out = across(axes.along), across(axes.deep), across(axes.across)
    if stance.solved.plain:
        deep = _turned(deep)
    return Placement(origin=(leg.x, leg.foot_y, sizes.rail_top), x=along, y=deep, z=out, where=where)


def pad_parts(draft: Draft, planned_sets: Sequence[PlannedSet]) -> None:
    """Add the pads: one mark for the shell's, one for the firebox's; cut flat, rolled to the skin."""
    size = draft.rules.legs.pad_size
    for kind in ("shell", "firebox"):
        sets = [p for p in planned_sets if p.carried.name == kind and p.carried.pad]
        if not sets:
            continue
        carried = sets[0].carried
        half = size / 2.0 / carried.radius
        outer = carried.radius + carried.pad
        shape = Shell(outer_radius=outer, wall=carried.pad, length=size, clock0=-half, clock1=half)
        blank = blank_length(outer, carried.pad, 2.0 * half)
        where = []
        for planned in sets:
            for leg in planned.legs:
                clock = math.pi - leg.contact if leg.side == "working" else leg.contact - math.pi
                c, s = math.cos(clock), math.sin(clock)
                where.append(
                    Placement(
                        origin=(planned.place.x - size / 2.0, 0.0, carried.centre_z),
                        y=(0.0, c, -s),
                        z=(0.0, s, c),
                        where=f"leg {planned.place.name}, {leg.side} side",
                    )
                )
        draft.add(
            "P",
            "leg pad" if kind == "shell" else "leg pad, firebox",
            "legs",
            shape,
            where,
            draft.plate(carried.pad),
            flat=Outline.rectangle(0.0, 0.0, size, blank),
            notes=(
                f"roll to {draft.tape.length(carried.radius)} inside radius; round the corners",
                f"flat {draft.tape.length(size)} x {draft.tape.length(blank, MILLIMETRE if not draft.tape.inch else None)}",
            ),
        )
