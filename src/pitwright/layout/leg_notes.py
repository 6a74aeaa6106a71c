"""What is written down about leg sets: the reason of every figure, and what a shop should know before it cuts."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitwright.findings import Severity
from pitwright.layout.asbuilt import ADD_IT, WELD_IT, measured_leg
from pitwright.layout.base_sizes import BaseSizes
from pitwright.layout.draft import Draft
from pitwright.layout.leg_stance import PlannedSet
from pitwright.layout.model import LegLayout, LegSet
from pitwright.layout.patches import Patch, skin_gap
from pitwright.tape import INCH

TIGHT = math.radians(60.0)  # open corner inside that a torch still gets into (common practice, no source)
OVER_EDGE = 1.0 / 16.0 * INCH  # of a foot over its rail's edge that nobody minds
DRAIN_ROOM = 1.0 * INCH  # from a leg or its pad to the drain hole, for the nipple's weld
BENCH = "common practice, no source"


def write_down(draft: Draft, planned: PlannedSet, leg_set: LegSet) -> None:
    """The reasons of one set's figures, from its working leg."""
    ledger, leg, name = draft.ledger, leg_set.legs[0], leg_set.name
    got = measured_leg(draft.job, name, "working")
    solved = planned.legs[0].solved
    centre = "vessel.centre" if planned.carried.name == "shell" else "firebox.drop"

    def note(figure: str, value: float, measure: str, because: str, formula: str, *rests: str) -> None:
        full = f"legs.{name}.{figure}"
        ledger.note(
            full,
            value,
            "angle" if measure == "angle" else "length",
            because=because,
            formula=formula,
            rests_on=tuple(r if "." in r else f"legs.{name}.{r}" for r in rests),
            source="plane geometry of a line and a circle" if formula else "",
        )

    way = planned.want.way
    note(
        "height",
        leg_set.height,
        "length",
        "centre of what the legs carry over the rail top",
        "",
        centre,
        "base.rail_top",
    )
    if not ledger.overridden(f"legs.{name}.half_spread"):
        if got is not None and got.spread is not None:
            ledger.note(f"legs.{name}.half_spread", got.spread, kind="measured", because="foot centre as it stands")
        else:
            note(
                "half_spread",
                leg.foot_y,
                "length",
                "foot centre from the pit's centre line",
                "half over the rails - set in - w / (2 cos lean)",
                "base.rails_outside",
                "set_in",
            )
    if got is not None and got.lean is not None:
        ledger.note(f"legs.{name}.lean", got.lean, "angle", kind="measured", because="lean as it stands")
    elif way != "lean":
        note(
            "lean",
            leg.lean,
            "angle",
            "off plumb in the end view",
            "atan((spread - R sin contact) / (height - R cos contact))",
            "half_spread",
            "height",
            way,
            "vessel.diameter",
        )
    if way != "contact":
        note(
            "contact",
            leg.contact,
            "angle",
            "where the leg meets the skin, up from the bottom line",
            "lean + asin(miss / R), miss = spread cos lean - height sin lean"
            if way != "inboard"
            else "asin(1 - in / R)",
            way,
            "half_spread",
            "height",
            "vessel.diameter",
        )
    note("around", leg.around, "length", "contact from the bottom line by tape on the skin", "R x contact", "contact")
    note(
        "top_cut",
        leg.top_cut,
        "angle",
        "top cut off square, as the saw is set",
        "contact - lean" if leg.end == "straight" else "chord of the cope through its two edge marks",
        "contact",
        "lean",
    )
    note("foot_cut", leg.foot_cut, "angle", "foot cut off square", "lean", "lean")
    if way != "length":
        note(
            "length",
            leg.centre_length,
            "length",
            "along the centre line, rail top to skin",
            "(height - R cos contact) / cos lean",
            "height",
            "contact",
            "lean",
        )
    note(
        "long_point",
        leg.long_point,
        "length",
        "as sawn, along the longer face",
        "length + w/2 (tan top + tan foot); coped: to the round along that edge",
        "length",
        "top_cut",
        "foot_cut",
    )
    note(
        "short_point", leg.short_point, "length", "as sawn, along the shorter face", "", "length", "top_cut", "foot_cut"
    )
    note(
        "gap",
        leg.gap,
        "length",
        "at the edges of a straight top cut, off its face",
        "R - sqrt(R2 - (face/2)2)",
        "top_cut",
        "vessel.diameter",
    )
    ledger.note(
        f"legs.{name}.end",
        leg.end,
        "text",
        kind="proportion",
        because=f"coped where a straight cut leaves more than {draft.tape.length(ADD_IT)}"
        if draft.rules.legs.end == "auto"
        else "as the shop cuts its legs",
        rests_on=(f"legs.{name}.gap",),
        source=BENCH,
    )
    if solved.lean_along:
        note("true_lean", leg.true_lean, "angle", "lean in both views together", "atan(sqrt(tan2 + tan2))", "lean")


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What is to be said of a leg set; sets of which the same is to be said share a finding."""

    code: str
    severity: Severity
    text: str
    against: str = ""
    remedy: str = ""
    source: str = ""
    clearance: float | None = None


def report(draft: Draft, said: Sequence[tuple[str, Said]]) -> None:
    """Turn what was said of each set into findings, one for all sets it fits."""
    by_text: dict[tuple[str, str, str], list[tuple[str, Said]]] = {}
    for name, one in said:
        by_text.setdefault((one.code, one.text, one.remedy), []).append((name, one))
    for group in by_text.values():
        names, first = [name for name, _ in group], group[0][1]
        draft.find(
            first.code,
            first.severity,
            f"Leg set{'s' if len(names) > 1 else ''} {', '.join(names)}: {first.text}",
            pieces=(*(f"leg set {name}" for name in names), *((first.against,) if first.against else ())),
            remedy=first.remedy,
            source=first.source,
            clearance=first.clearance,
        )


def say(draft: Draft, planned: PlannedSet, leg_set: LegSet, sizes: BaseSizes) -> Iterator[Said]:
    """What is to be said of one set."""
    tape, place = draft.tape, planned.place
    leg, solved = leg_set.legs[0], planned.legs[0].solved
    if place.gave_way:
        yield Said(code="legs.moved", severity="note", text=f"{place.gave_way}.", source=BENCH)
    for keep, gap in place.blocked:
        yield Said(
            code="legs.on_seam",
            severity="warn",
            text=f"{tape.length(gap) + ' from' if gap > 0.0 else 'on'} the {keep.name}; the shop wants "
            f"{tape.length(keep.clear)}. A weld cap left under a leg's face lifts that leg and the pit rocks.",
            against=keep.name,
            clearance=gap,
            remedy="Turn the vessel, move the set, or relieve the cope over the weld cap.",
            source=BENCH,
        )
    yield from _crowded(draft, planned, leg_set)
    if planned.carried.oval:
        yield Said(
            code="legs.oval",
            severity="note",
            text="the vessel is out of round: each leg is cut to the skin as it was measured, so the two may differ. Keep them "
            "on their sides.",
        )
    if leg.end == "straight":
        yield _gap_said(draft, leg)
    open_inside = math.pi - solved.angle_shell
    if open_inside < TIGHT:
        yield Said(
            code="legs.tight",
            severity="note",
            text=f"the corner inside at the shell is {tape.angle(open_inside)}. Below 60° the inside weld is tight: prepare "
            "that toe before tacking.",
            source=BENCH,
        )
    if leg.lean < -1e-9:
        yield Said(
            code="legs.lean_out",
            severity="warn",
            text=f"the legs lean out: their feet stand {tape.length(leg.foot_y)} from the middle, inside their contacts. It "
            "stands narrower than it carries.",
            remedy="Spread the rails, or bring the contact in.",
        )
    foot = planned.profile.height / math.cos(leg.lean)
    out = leg.foot_y + foot / 2.0 - sizes.rails_outside / 2.0
    inside = sizes.rails_outside / 2.0 - sizes.rail.width - (leg.foot_y - foot / 2.0)
    over = max(out, inside)
    if over > OVER_EDGE:
        more, edge = ("more", "outer") if out >= inside else ("less", "inner")
        yield Said(
            code="legs.off_rail",
            severity="warn",
            text=f"the foot is {tape.length(foot)} across and stands {tape.length(over)} over the rail's {edge} edge.",
            against="rails",
            clearance=-over,
            remedy=f"Set it in {more}, or use wider rails.",
        )
    if planned.carried.name == "firebox":
        yield Said(
            code="legs.hot",
            severity="note",
            text="under the firebox these legs run hot: leave the feet free to creep on the rail, and keep paint and hands "
            "off them.",
        )
    if planned.carried.pad and leg_set.pad_size < solved.face_length + INCH:
        yield Said(
            code="legs.pad_small",
            severity="note",
            text=f"pads of {tape.length(leg_set.pad_size)} leave little round a leg end {tape.length(solved.face_length)} "
            "across.",
            remedy=f"Pads of {tape.length(solved.face_length + 2.0 * INCH)}.",
            source=BENCH,
        )


def _crowded(draft: Draft, planned: PlannedSet, leg_set: LegSet) -> Iterator[Said]:
    """Legs or pads that run into each other under the bottom line, or into the drain."""
    tape, radius = draft.tape, planned.carried.radius
    leg, solved = leg_set.legs[0], planned.legs[0].solved
    foot_print = solved.face_length / 2.0
    apart = 2.0 * (leg.around - max(foot_print, leg_set.pad_size / 2.0))
    if apart < 0.0:
        legs_meet = leg.around < foot_print
        yield Said(
            code="legs.meet",
            severity="stop" if legs_meet else "warn",
            text=f"the two {'legs' if legs_meet else 'pads'} run {tape.length(-apart)} into each other under the bottom line.",
            clearance=apart,
            remedy="Lean them less or spread the rails, so that they meet the shell further out"
            + ("." if legs_meet else ", or use smaller pads."),
        )
    if planned.carried.name == "firebox":
        return
    half_x = max(planned.profile.width, leg_set.pad_size) / 2.0
    half = max(foot_print, leg_set.pad_size / 2.0) / radius
    clock = math.pi - leg.contact
    here = Patch(name="", x0=leg_set.x - half_x, x1=leg_set.x + half_x, clock0=clock - half, clock1=clock + half)
    for opening in draft.openings:
        if opening.name != "drain":
            continue
        xs, arounds = [p[0] for p in opening.outline], [p[1] / radius for p in opening.outline]
        there = Patch(name="drain", x0=min(xs), x1=max(xs), clock0=min(arounds), clock1=max(arounds))
        gap = skin_gap(here, there, radius)
        if gap < DRAIN_ROOM:
            yield Said(
                code="legs.on_drain",
                severity="warn",
                text=f"the drain stands {tape.length(gap) + ' from' if gap > 0.0 else 'under'} a leg or its pad.",
                against="drain",
                clearance=gap,
                remedy="Move the set, or the drain.",
            )


def _gap_said(draft: Draft, leg: LegLayout) -> Said:
    severity: Severity = "note"
    remedy = ""
    if leg.gap <= WELD_IT:
        verdict = "weld it"
    elif leg.gap <= ADD_IT:
        verdict = "add it to the fillet's leg"
    else:
        verdict, severity, remedy = "too wide to weld", "warn", "Cope the top to the arc template."
    return Said(
        code="legs.gap",
        severity=severity,
        text=f"a straight top cut leaves {draft.tape.fine(leg.gap)} at the edges, off its face: {verdict}.",
        clearance=leg.gap,
        remedy=remedy,
        source=BENCH,
    )
