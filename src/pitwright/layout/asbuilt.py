"""What I got: measured facts against cut pieces. Cut steel is frozen; each cut leg gets a verdict, and what moved is told.

A cut leg that stands at a found spread and lean carries the round on its flat top: the round touches where its skin
faces as the cut does, so the vessel stands at
    H = up + (R - out sin(facing)) / cos(facing)
(out, up: middle of the top end from the pit's centre line and the foot plane; facing = lean + top cut), and the gap at
the far edge is the sagitta of the round from the touching point to that edge.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from pitwright.errors import LayoutError
from pitwright.geometry.numeric import lowest
from pitwright.geometry.round import sagitta
from pitwright.job.facts import Job, LegMeasured
from pitwright.layout.model import LegLayout, LegSet, Pit, Verdict
from pitwright.reasons import Reason
from pitwright.tape import INCH, Tape

WELD_IT = 1.0 / 16.0 * INCH
ADD_IT = 3.0 / 16.0 * INCH  # a wider gap is coped or cut again (common practice, no source)
LEVEL = 1.0 / 8.0 * INCH  # height a leg may be off without shims (common practice, no source)
EVEN = 1.0 / 64.0 * INCH


def measured_leg(job: Job, set_name: str, side: Literal["working", "back"]) -> LegMeasured | None:
    """What was measured on one leg, None where nothing was; a leg nobody measured stays as it was drawn."""
    found = {leg.side: leg for leg in job.measured.legs if leg.set == set_name}
    return found.get(side)


@dataclass(frozen=True, slots=True, kw_only=True)
class CutLeg:
    """A leg as it was cut [m, rad off square]."""

    long_point: float
    short_point: float
    top_cut: float
    foot_cut: float

    @property
    def centre_length(self) -> float:
        """Along the middle [m]."""
        return (self.long_point + self.short_point) / 2.0


def as_cut(
    got: LegMeasured | None, *, long_point: float, short_point: float, top_cut: float, foot_cut: float, width: float
) -> CutLeg:
    """The leg as drawn, with what was measured on it in its place.

    Where only some of it was measured the rest follows: long less short = w (tan top + tan foot), the foot cut first
    believed, then the top cut.
    """
    if got is None:
        return CutLeg(long_point=long_point, short_point=short_point, top_cut=top_cut, foot_cut=foot_cut)
    foot = foot_cut if got.foot_cut is None else got.foot_cut
    top = top_cut if got.top_cut is None else got.top_cut
    long, short = got.long_point, got.short_point
    if long is not None and short is not None:
        if got.top_cut is None:
            top = math.atan((long - short) / width - math.tan(foot))
    else:
        spread = width * (math.tan(top) + math.tan(foot)) if (got.top_cut or got.foot_cut) else long_point - short_point
        if long is None:
            long = short + spread if short is not None else (long_point + short_point + spread) / 2.0
        if short is None:
            short = long - spread
    assert short is not None
    return CutLeg(long_point=long, short_point=short, top_cut=top, foot_cut=foot)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A cut leg stood up under a round.

    height     of the round's centre over the foot plane, the leg left as it is [m]
    gap        at the edge of the top further from where the round touches, off the face [m]; near_gap at the other
    foot_gap   at the far edge of the foot, off the rail [m]
    """

    height: float
    gap: float
    near_gap: float
    foot_gap: float


def stand_cut_leg(
    cut: CutLeg,
    *,
    radius: float,
    width: float,
    half_spread: float,
    lean: float,
    coped: bool = False,
    seen: float = 1.0,
) -> Standing:
    """Where a cut leg carries a round at a found foot spread and lean.

    coped  its top is an arc of the round's radius through the two edge marks, else it is flat
    seen   share of its length that shows in the end view (1 for a leg that leans one way)
    Raises LayoutError where its top faces no round above it.
    """
    facing = lean + cut.top_cut
    if not abs(facing) < math.radians(89.0):
        raise LayoutError(
            "the leg's top faces sideways",
            field="measured.legs",
            value=f"{math.degrees(facing):.1f}",
            allowed="lean and top cut together under 89 degrees",
            remedy="Measure the lean again.",
        )
    length = seen * cut.centre_length
    out, up = half_spread - length * math.sin(lean), length * math.cos(lean)
    half = width / 2.0 / math.cos(cut.top_cut)
    foot_gap = width / math.cos(cut.foot_cut) * math.tan(abs(lean - cut.foot_cut))
    c, s = math.cos(facing), math.sin(facing)
    edges = tuple((out + t * c, up + t * s) for t in (half, -half))
    # Along the cut face, from its middle, to where the round touches a flat top.
    slide = (radius * s - out) / c
    if not coped and abs(slide) <= half:
        far, near = half + abs(slide), half - abs(slide)
        return Standing(
            height=up + (radius - out * s) / c,
            gap=sagitta(radius, 2.0 * min(far, radius)),
            near_gap=sagitta(radius, 2.0 * near),
            foot_gap=foot_gap,
        )
    if any(abs(y) >= radius for y, _ in edges):
        raise LayoutError(
            "the leg stands outside the round",
            field="measured.legs",
            value=f"{half_spread:.3f} m",
            allowed="a top under the round",
            remedy="Measure the foot spread again.",
        )

    def carried(y: float, z: float) -> float:
        return z + math.sqrt(radius * radius - y * y)

    if coped:
        dip = math.sqrt(max(radius * radius - half * half, 0.0))
        middle = (out - dip * s, up + dip * c)  # of the cope's own arc
        sweep = math.asin(min(half / radius, 1.0))

        def on_arc(turn: float) -> float:
            a = facing + turn
            return -carried(middle[0] + radius * math.sin(a), middle[1] - radius * math.cos(a))

        height = -lowest(on_arc, -sweep, sweep)[1]
    else:
        height = max(carried(*edge) for edge in edges)
    gaps = sorted(math.hypot(y, height - z) - radius for y, z in edges)
    return Standing(height=height, gap=gaps[1], near_gap=max(gaps[0], 0.0), foot_gap=foot_gap)


def leg_verdicts(before: Pit, after: Pit) -> tuple[Verdict, ...]:
    """A verdict on every cut, tacked or welded leg, now that something was measured.

    before  the pit as drawn, after: as it is solved with what was measured.
    """
    drawn = {s.name: s for s in before.leg_sets}
    out = []
    for leg_set in after.leg_sets:
        for leg in leg_set.legs:
            if leg.state == "open" or (leg.side == "back" and not _own_back(leg_set)):
                continue
            out.append(_verdict(after, drawn[leg_set.name], leg_set, leg))
    return tuple(out)


def _own_back(leg_set: LegSet) -> bool:
    one, other = leg_set.legs
    return (one.long_point, one.lean, one.foot_y, one.state) != (
        other.long_point,
        other.lean,
        -other.foot_y,
        other.state,
    )


def _mark(pit: Pit, leg_set: LegSet, leg: LegLayout) -> str:
    for part in pit.parts:
        named = f"leg, set {leg_set.name}"
        side = ", back" if leg.side == "back" else ", working side"
        if part.group == "legs" and part.name in (named, named + side):
            return part.mark
    return f"leg {leg_set.name}"


def _verdict(pit: Pit, drawn: LegSet, leg_set: LegSet, leg: LegLayout) -> Verdict:
    tape = pit.tape
    mark = _mark(pit, leg_set, leg)
    cut = CutLeg(long_point=leg.long_point, short_point=leg.short_point, top_cut=leg.top_cut, foot_cut=leg.foot_cut)
    # The round under this leg, from where the leg should meet it.
    radius = leg_set.pad_thickness + (
        pit.vessel.outer_radius
        if leg_set.x >= 0.0
        else pit.firebox.width / 2.0
        + (pit.firebox.double_gap + pit.firebox.outer_skin if pit.firebox.double_gap else 0.0)
    )
    rise = leg.centre_length * math.cos(leg.true_lean)
    middle_y = abs(leg.foot_y) - rise * math.tan(leg.lean) - radius * math.sin(leg.skin_faces)
    middle_z = rise + radius * math.cos(leg.skin_faces)
    stands = stand_cut_leg(
        cut,
        radius=radius,
        width=leg_set.profile.height,
        half_spread=abs(leg.foot_y) - middle_y,
        lean=leg.lean,
        coped=leg.end == "coped",
        seen=math.cos(leg.true_lean) / math.cos(leg.lean),
    )
    off = stands.height - middle_z
    coped = leg.end == "coped"
    wanted = (leg.coped_long, leg.coped_short) if coped else (leg.straight_long, leg.straight_short)
    spare = [cut.long_point - wanted[0], cut.short_point - wanted[1]]
    was = drawn.legs[0].lean
    where = f"{mark} (set {leg_set.name}, {leg.side} side" + (
        f", drawn for a lean of {tape.angle(was)}, stands at {tape.angle(leg.lean)})"
        if abs(was - leg.lean) > 1e-3
        else ")"
    )
    stand_text = (
        f"left as cut the vessel stands {tape.length(leg_set.height + off)} over the rail top"
        + (
            f", {tape.length(abs(off))} {'high' if off > 0.0 else 'low'}"
            if abs(off) > tape.step / 2.0
            else ", as promised"
        )
        + f", far edge gap {tape.decimal(stands.gap, 2 if tape.inch else 1)}"
    )
    width = leg_set.profile.height
    top = math.atan((wanted[0] - wanted[1]) / width - math.tan(leg.lean)) if coped else leg.skin_faces - leg.lean
    to_make = f"top {tape.angle(top)}, long point {tape.length(wanted[0])}, short point {tape.length(wanted[1])}"
    slope = _slope_text(pit, leg_set, off)
    if abs(off) <= LEVEL and stands.gap <= WELD_IT:
        return Verdict(mark=mark, verdict="fits", text=f"{where} fits: {stand_text}.", gap=stands.gap, trim=0.0)
    if abs(off) <= LEVEL and stands.gap <= ADD_IT:
        text = f"{where} fits with a gap: {stand_text}. Add the gap to the fillet's leg.{slope}"
        return Verdict(mark=mark, verdict="fits with gap", text=text, gap=stands.gap, trim=0.0)
    if min(spare) >= -EVEN and max(spare) > 0.0:
        text = (
            f"{where} fits loose: {stand_text}. Cope it, or cut its top again: {to_make}; "
            f"{tape.length(max(spare))} comes off.{slope}"
        )
        return Verdict(mark=mark, verdict="trim", text=text, gap=stands.gap, trim=max(spare))
    text = f"{where} is too short to cut again: {stand_text}. Cut a new one: {to_make}.{slope}"
    return Verdict(mark=mark, verdict="recut", text=text, gap=stands.gap, trim=0.0)


def _slope_text(pit: Pit, leg_set: LegSet, off: float) -> str:
    """What it does to the vessel when this end only stands off."""
    others = [s for s in pit.leg_sets if s.name != leg_set.name and s.x >= 0.0]
    if not others or abs(off) <= pit.tape.step / 2.0:
        return ""
    span = max(abs(s.x - leg_set.x) for s in others)
    if span <= 0.0:
        return ""
    tape, length = pit.tape, pit.vessel.length
    return f" The other end must match, or the vessel slopes {tape.length(abs(off) * length / span)} in {tape.length(length)}."


# ---------------------------------------------------------------- what moved


def next_revision(revision: str) -> str:
    """The revision letter after this one: A, B, ... Z, AA, AB, ..."""
    letters = list(revision)
    for i in range(len(letters) - 1, -1, -1):
        if letters[i] != "Z":
            letters[i] = chr(ord(letters[i]) + 1)
            return "".join(letters)
        letters[i] = "A"
    return "A" + "".join(letters)


def moved_lines(before: Pit, after: Pit) -> tuple[str, ...]:
    """Every figure a tape or an angle finder would read differently now, in the shop's words, old first."""
    return moved_figures(before.reasons, after.reasons, after.tape)


def moved_figures(before: Mapping[str, Reason], after: Mapping[str, Reason], tape: Tape) -> tuple[str, ...]:
    """`name: old -> new` for each figure that reads differently; new and dropped figures too."""
    out = []
    for name in sorted(before.keys() | after.keys()):
        old, new = before.get(name), after.get(name)
        reads = [None if r is None else tape.figure(r.value, r.measure) for r in (old, new)]
        if reads[0] == reads[1]:
            continue
        if reads[0] is None:
            out.append(f"{name}: now {reads[1]}")
        elif reads[1] is None:
            out.append(f"{name}: was {reads[0]}, no longer there")
        else:
            out.append(f"{name}: was {reads[0]}, now {reads[1]}")
    return tuple(out)
