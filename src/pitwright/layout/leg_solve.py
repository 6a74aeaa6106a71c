"""One leg on a round: of contact clock, foot spread, lean, height and length any three settle the others.

The leg is solved on the working side, in the round's own frame: the vessel's axis is x, y runs to the working side, z
up, both from the axis. *Contact* is the clock up from the bottom line where the leg's centre line meets the skin,
*half_spread* the foot centre's distance from the pit's centre line, *height* the round's centre over the foot plane,
*lean* off plumb in the end view (positive: the top goes in), *length* along the centre line. *Miss* is how far the
centre line passes the round's centre. Lengths [m], angles [rad]; cuts are off square.

    R sin(contact) + (height - R cos(contact)) tan(lean) = half_spread
    length = (height - R cos(contact)) sqrt(1 + tan2(lean) + tan2(lean along))
    top cut = contact - lean, foot cut = lean (a leg that leans one way only)
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from pitwright.errors import LayoutError
from pitwright.geometry.curves import Template
from pitwright.geometry.numeric import find_root, lowest, require_positive, turning_values
from pitwright.geometry.planes import (
    TubeAxes,
    angle_between_faces,
    leaning_axes,
    saw_setting,
    true_lean,
)
from pitwright.geometry.round import sagitta
from pitwright.geometry.tube_ends import (
    ArcTemplate,
    End,
    PlaneEnd,
    RoundEnd,
    arc_template,
    pipe_wrap,
    plane_end,
    round_end,
    tube_lengths,
)
from pitwright.layout.leg_faults import BAD_FOOT, LegLimits, cannot_stand, refuse_cut, refuse_miss
from pitwright.parts import Vec, cross, dot, unit
from pitwright.tape import INCH, MILLIMETRE, Tape

Turn = Literal["square to pit", "square to skin"]
Section = Literal["tube", "round"]
UP: Vec = (0.0, 0.0, 1.0)
HALF_DEGREE = math.radians(0.5)
PLUMB = 1e-9  # lean that counts as none [rad]


@dataclass(frozen=True, slots=True, kw_only=True)
class LegFigures:
    """The five figures of a leg [m, rad]; the module header says what each is."""

    contact: float
    half_spread: float
    lean: float
    height: float
    length: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LegEnd:
    """The leg with one way of making its top end [m]: greatest and least length along its edges, on its two faces.

    outer, inner  along the middle of the face away from the pit's centre line, and of the one towards it
    """

    long_point: float
    short_point: float
    outer: float
    inner: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LegSolved:
    """A leg with its cuts.

    miss            the centre line passes the round's centre at this distance, positive on the outer side [m]
    around          contact on the skin from the bottom line, by tape [m]
    foot_cut, top_cut    mitre off square [rad], positive: the outer face is the longer
    foot_tilt, top_tilt  blade tilt [rad], positive: the face that a lean along the pit turns down is the longer
    foot_normal, top_normal  normals of the cut planes in the tube's axes, along it
    straight, coped      the leg with a straight top cut through the contact, and with a cope to the round
    gap             at the edge of a straight cut, square to the cut face [m]; gap_outer, gap_inner along the tube
    face_length     of the straight top cut, across [m]
    template        the arc of a cope (a true arc of the round on the side faces where `plain`)
    plain           leans one way only
    roll            both long points are on one face: roll the tube half round between the cuts on a one-way saw
    angle_foot, angle_shell  of the steel at its inner face; the open corner inside is half a turn less it
    checks          what each figure stated beyond three is off from the solved one (stated less solved)
    """

    radius: float
    width: float
    depth: float
    section: Section
    figures: LegFigures
    lean_along: float
    true_lean: float
    miss: float
    around: float
    axes: TubeAxes
    foot_cut: float
    foot_tilt: float
    top_cut: float
    top_tilt: float
    foot_normal: Vec
    top_normal: Vec
    straight: LegEnd
    coped: LegEnd
    gap: float
    gap_outer: float
    gap_inner: float
    face_length: float
    template: ArcTemplate
    plain: bool
    roll: bool
    angle_foot: float
    angle_shell: float
    checks: Mapping[str, float]

    @property
    def foot(self) -> Vec:
        """Foot centre in the round's frame [m]."""
        return (0.0, self.figures.half_spread, -self.figures.height)

    @property
    def cope_end(self) -> RoundEnd:
        """The coped top end, in the tube's axes from its foot centre."""
        return round_end(self.axes, self.foot, self.radius)

    def wrap(self, steps: int = 16) -> Template:
        """The wrap that marks the cope of a pipe leg; clock 0 is its outer side."""
        return pipe_wrap(self.cope_end, self.width / 2.0, steps, finish=True)


def solve_leg(
    *,
    radius: float,
    width: float,
    depth: float,
    contact: float | None = None,
    half_spread: float | None = None,
    lean: float | None = None,
    height: float | None = None,
    length: float | None = None,
    lean_along: float = 0.0,
    turn: Turn = "square to pit",
    section: Section = "tube",
    saw_limit: float = math.radians(60.0),
    tape: Tape | None = None,
    field: str = "proportions.legs",
) -> LegSolved:
    """A leg from any three of contact, half_spread, lean, height and length [m, rad]; more are checked.

    width    of the tube in the end view, depth the other way (the same for a pipe) [m]
    turn     how the tube is turned on its own axis: faces along the pit, or so that its top cut is a plain mitre
    tape     how lengths in messages read
    field    the rule that messages name
    Raises LayoutError where the leg misses the round, does not reach it, or cannot be cut.
    """
    for name, size in (("radius", radius), ("width", width), ("depth", depth)):
        require_positive(name, size)
    limits = LegLimits(
        radius=radius, width=width, saw_limit=saw_limit, tape=tape or Tape.for_system("inch"), field=field
    )
    stated = {
        "height": height,
        "half_spread": half_spread,
        "contact": contact,
        "lean": lean,
        "length": length,
    }
    given = {name: value for name, value in stated.items() if value is not None}
    figures = leg_figures(limits, given, lean_along)
    checks = {name: value - float(getattr(figures, name)) for name, value in list(given.items())[3:]}
    return _with_cuts(limits, figures, depth, lean_along, turn, section, checks)


def leg_figures(limits: LegLimits, given: Mapping[str, float], lean_along: float = 0.0) -> LegFigures:
    """All five figures from the first three given.

    Where two legs would do, the one whose feet spread (lean in) or that lands outside the straight line from its
    foot to the round's centre is taken.
    """
    for name, value in given.items():
        if not math.isfinite(value):
            raise LayoutError("this is not a size", field=name, value=value, allowed="a finite number")
    if len(given) < 3:
        raise LayoutError(
            f"a leg needs three figures, {len(given)} are given ({', '.join(given) or 'none'})",
            field=limits.field,
            allowed="any three of contact, half spread, lean, height, length",
            remedy="State one more.",
        )
    names = frozenset(list(given)[:3])
    radius, tape = limits.radius, limits.tape
    slant = 1.0 / math.cos(lean_along)  # sqrt(1 + tan2)

    def stretch(lean: float) -> float:
        return math.hypot(math.tan(lean), slant)

    if "contact" in names:
        psi = given["contact"]
        across, up = radius * math.sin(psi), radius * math.cos(psi)
        if {"half_spread", "height"} <= names:
            rise = given["height"] - up
            if rise <= 0.0:
                raise cannot_stand(limits, psi, given["height"])
            lean = math.atan((given["half_spread"] - across) / rise)
        elif {"half_spread", "lean"} <= names:
            run, lean = given["half_spread"] - across, given["lean"]
            if abs(lean) < PLUMB or run / math.tan(lean) <= 0.0:
                raise LayoutError(
                    f"a leg that leans {tape.angle(lean)} never comes from a foot {tape.length(given['half_spread'])} out "
                    f"to a contact {tape.length(across)} out",
                    field=limits.field,
                    value=tape.angle(lean),
                    allowed="a lean towards the contact, or the height instead of it",
                    remedy="Give the height and let the lean come out.",
                )
            rise = run / math.tan(lean)
        elif {"half_spread", "length"} <= names:
            run = given["half_spread"] - across
            if given["length"] <= abs(run):
                raise _short(limits, given["length"], abs(run))
            rise = math.sqrt(given["length"] ** 2 - run * run) / slant
            lean = math.atan(run / rise)
        elif {"lean", "height"} <= names:
            rise, lean = given["height"] - up, given["lean"]
        elif {"lean", "length"} <= names:
            lean = given["lean"]
            rise = given["length"] / stretch(lean)
        else:
            rise = given["height"] - up
            if given["length"] < rise * slant:
                raise _short(limits, given["length"], rise * slant)
            lean = math.atan(math.sqrt(given["length"] ** 2 - (rise * slant) ** 2) / rise) if rise > 0.0 else 0.0
    elif {"half_spread", "lean", "height"} <= names:
        spread, lean, height = given["half_spread"], given["lean"], given["height"]
        miss = spread * math.cos(lean) - height * math.sin(lean)
        if abs(miss) >= radius:
            raise refuse_miss(limits, spread, lean, height, miss)
        psi = lean + math.asin(miss / radius)
        rise = height - radius * math.cos(psi)
    elif {"half_spread", "lean", "length"} <= names:
        lean = given["lean"]
        rise = given["length"] / stretch(lean)
        across = given["half_spread"] - rise * math.tan(lean)
        if abs(across) >= radius:
            raise LayoutError(
                f"that leg misses the shell: its top ends {tape.length(abs(across))} from the pit's centre line and the skin "
                f"is at {tape.length(radius)}",
                field=limits.field,
                value=tape.length(given["half_spread"]),
                allowed="a top end under the round",
                remedy=BAD_FOOT,
            )
        psi = math.asin(across / radius)
    elif {"half_spread", "height", "length"} <= names:
        psi = _contact_of_length(limits, given["half_spread"], given["height"], given["length"], slant)
        rise = given["height"] - radius * math.cos(psi)
        lean = math.atan((given["half_spread"] - radius * math.sin(psi)) / rise)
    else:
        lean = given["lean"]
        rise = given["length"] / stretch(lean)
        up = given["height"] - rise
        if not 0.0 <= up < radius:
            raise LayoutError(
                f"a leg {tape.length(given['length'])} long ends {tape.length(abs(up))} "
                f"{'under' if up >= 0.0 else 'over'} the vessel's centre: it does not end on the lower half of the round",
                field=limits.field,
                value=tape.length(given["length"]),
                allowed=f"{tape.length((given['height'] - radius) * stretch(lean))} to "
                f"{tape.length(given['height'] * stretch(lean))} at this lean",
                remedy="Give the contact or the spread instead of the length.",
            )
        psi = math.acos(up / radius)
    if not rise > 0.0:
        raise cannot_stand(limits, psi, rise + radius * math.cos(psi))
    if not abs(psi) < math.pi / 2.0:
        raise LayoutError(
            "a leg lands on the lower half of the round",
            field=limits.field,
            value=tape.angle(psi),
            allowed="a contact less than 90 degrees up from the bottom line",
            remedy="Bring the contact in.",
        )
    return LegFigures(
        contact=psi,
        half_spread=radius * math.sin(psi) + rise * math.tan(lean),
        lean=lean,
        height=rise + radius * math.cos(psi),
        length=rise * stretch(lean),
    )


def _contact_of_length(limits: LegLimits, spread: float, height: float, length: float, slant: float) -> float:
    """Contact of a leg of a given length from a given foot, outside the line from the foot to the centre."""
    radius = limits.radius
    away = math.hypot(spread, height)
    if away <= radius:
        raise cannot_stand(limits, math.atan2(spread, height), height)

    def square(psi: float) -> float:
        return (spread - radius * math.sin(psi)) ** 2 + (slant * (height - radius * math.cos(psi))) ** 2

    towards = math.atan2(spread, height)
    grazing = towards + math.acos(radius / away)
    nearest = towards if slant == 1.0 else lowest(square, towards - math.pi / 2.0, grazing)[0]
    least, most = math.sqrt(square(nearest)), math.sqrt(square(grazing))
    if length < least:
        raise _short(limits, length, least)
    if length > most:
        raise LayoutError(
            f"that leg runs past the round: from this foot the skin is out of sight beyond {limits.tape.length(most)}",
            field=limits.field,
            value=limits.tape.length(length),
            allowed=f"{limits.tape.length(least)} to {limits.tape.length(most)}",
            remedy="Shorten it, or bring the foot in.",
        )
    if length == least:
        return nearest
    return find_root(lambda psi: square(psi) - length * length, nearest, grazing, field=limits.field)


def _short(limits: LegLimits, length: float, least: float) -> LayoutError:
    tape = limits.tape
    return LayoutError(
        f"that leg does not reach the skin: it is {tape.length(length)} long and the skin is {tape.length(least)} away",
        field=limits.field,
        value=tape.length(length),
        allowed=f"more than {tape.length(least)}",
        remedy="Make it longer, or lower the vessel.",
    )


def _with_cuts(
    limits: LegLimits,
    figures: LegFigures,
    depth: float,
    lean_along: float,
    turn: Turn,
    section: Section,
    checks: Mapping[str, float],
) -> LegSolved:
    radius, width = limits.radius, limits.width
    miss = figures.half_spread * math.cos(figures.lean) - figures.height * math.sin(figures.lean)
    refuse_cut(limits, figures.contact, figures.half_spread, figures.lean, figures.height)
    out: Vec = (0.0, math.sin(figures.contact), -math.cos(figures.contact))
    axes = leaning_axes(figures.lean, lean_along)
    if turn == "square to skin":
        axes = _square_to_skin(axes, out)
    foot: Vec = (0.0, figures.half_spread, -figures.height)
    touch = (axes.along[0] * figures.length, radius * out[1], radius * out[2])
    bottom = plane_end(axes, foot, foot, UP)
    flat = plane_end(axes, foot, touch, out)
    cope = round_end(axes, foot, radius)
    foot_saw, top_saw = saw_setting(bottom.normal), saw_setting(flat.normal)
    for name, saw in (("foot", foot_saw), ("top", top_saw)):
        if abs(saw.mitre) > limits.saw_limit + 1e-9:
            raise LayoutError(
                f"the {name} cut cannot be cut: {limits.tape.angle(saw.mitre)} off square and the saw stops at "
                f"{limits.tape.angle(limits.saw_limit)}",
                field=limits.field,
                value=limits.tape.angle(saw.mitre),
                allowed=f"up to {limits.tape.angle(limits.saw_limit)}",
                remedy="Lean it less along the pit." if lean_along else BAD_FOOT,
            )
    try:
        straight, coped = (_lengths(bottom, top, width, depth, section) for top in (flat, cope))
    except LayoutError as problem:
        raise LayoutError(
            "an edge of that leg passes beside the round",
            field=limits.field,
            value=limits.tape.length(abs(miss) + width / 2.0),
            allowed=f"every edge within {limits.tape.length(radius)} of the vessel's centre",
            remedy="Lean it less along the pit, or bring the contact in.",
        ) from problem
    if straight.short_point <= 0.0:
        raise LayoutError(
            "the leg cannot be cut: its two cuts cross inside the tube",
            field=limits.field,
            value=limits.tape.length(straight.short_point),
            allowed="an inner face longer than nothing",
            remedy="Raise the vessel, lower the rails, or use a smaller tube.",
        )
    inner_face = (-axes.across[0], -axes.across[1], -axes.across[2])
    half = width / 2.0
    return LegSolved(
        radius=radius,
        width=width,
        depth=depth,
        section=section,
        figures=figures,
        lean_along=lean_along,
        true_lean=true_lean(figures.lean, lean_along),
        miss=miss,
        around=radius * figures.contact,
        axes=axes,
        foot_cut=foot_saw.mitre + 0.0,
        foot_tilt=-foot_saw.tilt + 0.0,
        top_cut=-top_saw.mitre + 0.0,
        top_tilt=top_saw.tilt + 0.0,
        foot_normal=bottom.normal,
        top_normal=flat.normal,
        straight=straight,
        coped=coped,
        gap=_gap(axes, foot, flat, out, touch, radius, half, depth / 2.0, section),
        gap_outer=cope.reach(half, 0.0) - flat.reach(half, 0.0),
        gap_inner=cope.reach(-half, 0.0) - flat.reach(-half, 0.0),
        face_length=width / math.cos(top_saw.mitre),
        template=arc_template(radius, miss, width),
        plain=lean_along == 0.0,
        roll=foot_saw.mitre * top_saw.mitre < -1e-12,
        angle_foot=angle_between_faces(inner_face, (0.0, 0.0, -1.0)),
        angle_shell=angle_between_faces(inner_face, (-out[0], -out[1], -out[2])),
        checks=checks,
    )


def _square_to_skin(axes: TubeAxes, out: Vec) -> TubeAxes:
    """The same tube turned on its axis until the skin's normal lies in its end view."""
    along = axes.along
    slope = dot(out, along)
    left = (out[0] - slope * along[0], out[1] - slope * along[1], out[2] - slope * along[2])
    if dot(left, left) < 1e-12:
        return axes
    across = unit(left)
    if dot(across, axes.across) < 0.0:
        across = (-across[0], -across[1], -across[2])
    return TubeAxes(across=across, deep=cross(across, along), along=along)


def _lengths(bottom: PlaneEnd, top: End, width: float, depth: float, section: Section) -> LegEnd:
    half = width / 2.0
    outer, inner = (top.reach(u, 0.0) - bottom.reach(u, 0.0) for u in (half, -half))
    if section == "tube":
        corners = tube_lengths(bottom, top, width, depth).corners
        return LegEnd(long_point=max(corners), short_point=min(corners), outer=outer, inner=inner)

    def at(clock: float) -> float:
        u, v = half * math.cos(clock), half * math.sin(clock)
        return top.reach(u, v) - bottom.reach(u, v)

    _, least, _, most = turning_values(at)
    return LegEnd(long_point=most, short_point=least, outer=outer, inner=inner)


def _gap(
    axes: TubeAxes,
    foot: Vec,
    flat: PlaneEnd,
    out: Vec,
    touch: Vec,
    radius: float,
    half: float,
    other: float,
    section: Section,
) -> float:
    """Widest gap of the straight cut, off its face: the sagitta of the round at the edge furthest round it."""
    level: Vec = (0.0, -out[2], out[1])  # along the skin, square to the vessel's axis

    def round_way(u: float, v: float) -> float:
        own = axes.placed((u, v, flat.reach(u, v)))
        return abs(dot((foot[0] + own[0] - touch[0], foot[1] + own[1] - touch[1], foot[2] + own[2] - touch[2]), level))

    if section == "tube":
        furthest = max(round_way(u, v) for u in (half, -half) for v in (other, -other))
    else:
        furthest = turning_values(lambda c: round_way(half * math.cos(c), half * math.sin(c)))[3]
    return sagitta(radius, 2.0 * min(furthest, radius))


def sensitivity(leg: LegSolved, tape: Tape) -> dict[str, float]:
    """What a small slip does [m], in the shop's words.

    A top cut half a degree off leaves a wedge at the edge of the face; a lean half a degree off moves the foot; legs
    all a little long lift the vessel by cos(top) / cos(contact) of it, a larger radius by 1 / cos(contact) of it
    (foot and lean kept).
    """
    f = leg.figures
    long, more = (INCH / 16.0, INCH / 8.0) if tape.inch else (2.0 * MILLIMETRE, 3.0 * MILLIMETRE)
    seen = 1.0 / math.cos(f.lean) / math.hypot(math.tan(f.lean), 1.0 / math.cos(leg.lean_along))
    rise = f.height - leg.radius * math.cos(f.contact)
    top = f.contact - f.lean
    return {
        "top cut 1/2° off: wedge at the edge": leg.face_length * math.tan(HALF_DEGREE),
        "lean 1/2° off: at the foot": rise / math.cos(f.lean) ** 2 * HALF_DEGREE,
        f"all legs {tape.length(long)} long: vessel up": long * seen * math.cos(top) / math.cos(f.contact),
        f"{tape.length(more)} more on the radius: vessel up": more / math.cos(f.contact),
    }
