"""Leg sets: where they stand, how each leg stands and is cut, its pads, and what a shop should know about them."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence

from pitwright.errors import LayoutError
from pitwright.job.facts import LegMeasured
from pitwright.layout.asbuilt import ADD_IT, as_cut, measured_leg
from pitwright.layout.base_sizes import BaseSizes
from pitwright.layout.draft import Draft
from pitwright.layout.leg_notes import Said, report, say, write_down
from pitwright.layout.leg_parts import leg_bar, leg_parts, pad_parts
from pitwright.layout.leg_solve import LegSolved, sensitivity
from pitwright.layout.leg_stance import SIDES, Carried, PlannedSet, Side, Stance, Wanted, stand, usual_want, wanted
from pitwright.layout.model import FireboxLayout, LegLayout, LegSet, VesselLayout
from pitwright.layout.patches import Patch
from pitwright.layout.set_places import set_places
from pitwright.parts import State
from pitwright.saw import SawCut, saw_cut
from pitwright.stock import Profile, find_profile
from pitwright.tape import INCH

PAD_UNDER = 1.0 / 4.0 * INCH  # shell thinner than this gets pads where the shop says auto


def leg_profile(draft: Draft) -> Profile:
    """The legs' stock: square, rectangular or round tube."""
    text = draft.rules.legs.profile
    profile = find_profile(text, field="proportions.legs.profile")
    if profile.kind not in ("tube", "pipe"):
        raise LayoutError(
            "legs are made of tube",
            field="proportions.legs.profile",
            value=text,
            allowed="square, rectangular or round tube, or pipe",
            remedy="Name a tube such as 3 x 3 x 3/16 tube.",
        )
    return profile


def _pad(draft: Draft, wall: float) -> float:
    rules = draft.rules.legs
    padded = rules.pads == "always" or (rules.pads == "auto" and wall < PAD_UNDER - 1e-6)
    return rules.pad_thickness if padded else 0.0


def _carried(draft: Draft, vessel: VesselLayout, sizes: BaseSizes, firebox: FireboxLayout | None) -> Carried:
    if firebox is None:
        return Carried(
            name="shell",
            radius=vessel.outer_radius,
            centre_z=vessel.centre_z,
            height=vessel.centre_z - sizes.rail_top,
            pad=_pad(draft, vessel.wall),
            oval=vessel.oval,
            oval_clock=vessel.oval_clock,
        )
    if firebox.shape != "round":
        raise LayoutError(
            "legs to a box firebox are not leaned to a round",
            field="proportions.legs.sets",
            value="firebox",
            allowed="a round firebox",
            remedy="Stand the box on a cross member under its bottom, and take this set out.",
        )
    outer = firebox.width / 2.0 + (firebox.double_gap + firebox.outer_skin if firebox.double_gap else 0.0)
    return Carried(
        name="firebox",
        radius=outer,
        centre_z=firebox.centre_z,
        height=firebox.centre_z - sizes.rail_top,
        pad=_pad(draft, firebox.outer_skin if firebox.double_gap else firebox.wall),
        oval=0.0,
        oval_clock=0.0,
    )


def plan_legs(
    draft: Draft,
    vessel: VesselLayout,
    sizes: BaseSizes,
    firebox: FireboxLayout | None,
    *,
    as_drawn: bool = False,
) -> tuple[PlannedSet, ...]:
    """Places and stances of all sets; no pieces, no findings. Without a firebox the sets under it are left out.

    as_drawn  leave out what was measured on the legs
    """
    rules = draft.rules.legs
    profile = leg_profile(draft)
    wanted_sets = [r for r in rules.sets if r.start != "firebox" or firebox is not None]
    shell = _carried(draft, vessel, sizes, None)
    half = max(profile.width, rules.pad_size if shell.pad else 0.0) / 2.0
    known: dict[tuple[Wanted, Carried, Side, int], Stance] = {}

    def as_rule(want: Wanted, carried: Carried, side: Side, sign: int) -> Stance:
        """A leg by the rules alone; sets alike are solved once, and so are both sides of a true round."""
        key = (want, carried, side if carried.oval else "working", sign if want.lean_along else 1)
        if key not in known:
            known[key] = stand(draft, want, carried, profile, key[2], None, key[3])
        return dataclasses.replace(known[key], side=side)

    usual = usual_want(draft, sizes.rails_outside)
    clocks = _clocks(draft, vessel, shell, profile, [as_rule(usual, shell, side, 1) for side in SIDES])
    places = set_places(
        draft, vessel, wanted_sets, "legs", half_along=half, clocks=clocks, firebox=firebox, as_drawn=as_drawn
    )
    out = []
    for place in places:
        carried = shell if place.on == "shell" else _carried(draft, vessel, sizes, firebox)
        want = wanted(draft, place.name, sizes.rails_outside)
        sign = -1 if place.x > vessel.length / 2.0 else 1
        drawn = as_rule(want, carried, "working", sign)
        legs = []
        for side in SIDES:
            got = None if as_drawn else measured_leg(draft.job, place.name, side)
            legs.append(
                as_rule(want, carried, side, sign)
                if got is None
                else stand(draft, want, carried, profile, side, got, sign)
            )
        out.append(
            PlannedSet(place=place, carried=carried, profile=profile, want=want, legs=(legs[0], legs[1]), drawn=drawn)
        )
    return tuple(out)


def _clocks(
    draft: Draft, vessel: VesselLayout, shell: Carried, profile: Profile, legs: Sequence[Stance]
) -> tuple[tuple[float, float], tuple[float, float]]:
    """The clocks a set by the shop's rule takes up on the shell (before any one set's own figures)."""
    reach = (
        max(profile.height / math.cos(legs[0].solved.top_cut), draft.rules.legs.pad_size if shell.pad else 0.0) / 2.0
    )
    half = reach / vessel.outer_radius
    working, back = math.pi - legs[0].contact, legs[1].contact - math.pi
    return ((working - half, working + half), (back - half, back + half))


def leg_zones(draft: Draft, vessel: VesselLayout, sizes: BaseSizes) -> list[Patch]:
    """Skin the legs need undisturbed, for turning the vessel: as drawn, so that a reading does not turn it again."""
    rules = draft.rules.legs
    out = []
    for planned in plan_legs(draft, vessel, sizes, None, as_drawn=True):
        pad = rules.pad_size if planned.carried.pad else 0.0
        half_x = max(planned.profile.width, pad) / 2.0
        for leg in planned.legs:
            half = max(leg.solved.face_length, pad) / 2.0 / vessel.outer_radius
            clock = math.pi - leg.contact if leg.side == "working" else leg.contact - math.pi
            out.append(
                Patch(
                    name=f"leg {planned.place.name} {leg.side}",
                    x0=planned.place.x - half_x,
                    x1=planned.place.x + half_x,
                    clock0=clock - half,
                    clock1=clock + half,
                )
            )
    return out


def lay_out_legs(
    draft: Draft, vessel: VesselLayout, sizes: BaseSizes, firebox: FireboxLayout | None
) -> tuple[LegSet, ...]:
    """All leg sets with their pieces, pads, reasons and findings.

    Raises LayoutError where a leg misses what it carries or cannot be cut.
    """
    planned_sets = plan_legs(draft, vessel, sizes, firebox)
    out = []
    said: list[tuple[str, Said]] = []
    second = len(planned_sets)
    for number, planned in enumerate(planned_sets, start=1):
        apart = _differ(draft, planned)
        marks = [f"L{number}", f"L{number}"]
        if apart:
            second += 1
            marks[1] = f"L{second}"
        # A second mark is new with what was measured: the first stood for both legs.
        first = draft.job.pieces.get(marks[0], "open")
        states = [first, draft.job.pieces.get(marks[1], first)]
        legs = tuple(_leg(draft, planned, stance, sizes, state) for stance, state in zip(planned.legs, states))
        leg_set = LegSet(
            name=planned.place.name,
            x=planned.place.x,
            rule=planned.place.rule,
            profile=planned.profile,
            legs=legs,
            pad_size=draft.rules.legs.pad_size if planned.carried.pad else 0.0,
            pad_thickness=planned.carried.pad,
            half_spread=legs[0].foot_y,
            height=planned.carried.height,
            relief=planned.place.relief,
            sensitivity=sensitivity(planned.legs[0].solved, draft.tape),
        )
        out.append(leg_set)
        write_down(draft, planned, leg_set)
        said += [(leg_set.name, one) for one in say(draft, planned, leg_set, sizes)]
    report(draft, said)
    leg_parts(draft, planned_sets, out, sizes)
    pad_parts(draft, planned_sets)
    return tuple(out)


def _differ(draft: Draft, planned: PlannedSet) -> bool:
    """Whether the two legs of a set are different pieces (one side was measured, or the skin differs)."""
    one, other = (leg.solved for leg in planned.legs)
    got = [measured_leg(draft.job, planned.place.name, side) for side in SIDES]
    if _cut_measured(got[0]) != _cut_measured(got[1]):
        return True
    return any(
        abs(a - b) > 1e-7
        for a, b in (
            (one.figures.length, other.figures.length),
            (one.top_cut, other.top_cut),
            (one.foot_cut, other.foot_cut),
            (one.figures.half_spread, other.figures.half_spread),
        )
    )


def _end(draft: Draft, stance: Stance) -> str:
    wanted_end = draft.rules.legs.end
    if wanted_end != "auto":
        return wanted_end
    return "coped" if stance.solved.gap > ADD_IT else "straight"


def _leg(draft: Draft, planned: PlannedSet, stance: Stance, sizes: BaseSizes, state: State) -> LegLayout:
    solved, f = stance.solved, stance.solved.figures
    end = "coped" if _end(draft, planned.drawn) == "coped" else "straight"
    cut = saw_cut(leg_bar(solved, planned.profile, end == "coped"))
    leg = LegLayout(
        side=stance.side,
        x=planned.place.x - f.length * solved.axes.along[0],
        foot_y=stance.foot_y if stance.side == "working" else -stance.foot_y,
        foot_z=sizes.rail_top,
        contact=stance.contact,
        around=stance.around,
        lean=f.lean,
        lean_along=solved.lean_along,
        true_lean=solved.true_lean,
        foot_cut=solved.foot_cut,
        top_cut=_set_top(solved, cut, end),
        foot_tilt=solved.foot_tilt,
        top_tilt=solved.top_tilt,
        centre_length=f.length,
        long_point=cut.long_point,
        short_point=cut.short_point,
        straight_long=solved.straight.long_point,
        straight_short=solved.straight.short_point,
        coped_long=solved.coped.long_point,
        coped_short=solved.coped.short_point,
        gap=solved.gap,
        end="coped" if end == "coped" else "straight",
        roll=solved.roll,
        angle_foot=solved.angle_foot,
        angle_shell=solved.angle_shell,
        skin_faces=stance.facing,
        state=state,
    )
    got = measured_leg(draft.job, planned.place.name, stance.side)
    if state == "open" and not _cut_measured(got):
        return leg
    drawn = planned.drawn.solved
    drawn_cut = saw_cut(leg_bar(drawn, planned.profile, end == "coped"))
    frozen = as_cut(
        got,
        long_point=drawn_cut.long_point,
        short_point=drawn_cut.short_point,
        top_cut=_set_top(drawn, drawn_cut, end),
        foot_cut=drawn.foot_cut,
        width=planned.profile.height,
    )
    return dataclasses.replace(
        leg,
        long_point=frozen.long_point,
        short_point=frozen.short_point,
        top_cut=frozen.top_cut,
        foot_cut=frozen.foot_cut,
        roll=frozen.top_cut * frozen.foot_cut > 0.0,
        state="cut" if state == "open" else state,
    )


def _set_top(solved: LegSolved, cut: SawCut, end: str) -> float:
    """What the saw is set to for the top [rad]: a coped tube is sawn through its edge marks, along the cope's chord."""
    if end != "coped" or solved.section == "round":
        return solved.top_cut
    return cut.finish.mitre if cut.face == "top" else -cut.finish.mitre


def _cut_measured(got: LegMeasured | None) -> tuple[float | None, ...]:
    """What a leg was found to be cut to; empty where nobody measured it."""
    found = () if got is None else (got.long_point, got.short_point, got.top_cut, got.foot_cut)
    return found if any(v is not None for v in found) else ()
