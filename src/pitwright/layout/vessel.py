"""The vessel from its survey: size from the tape, heads, height over the floor, what the survey says against it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pitwright.errors import JobError
from pitwright.geometry.formed_heads import torispherical_depth
from pitwright.geometry.skin import half_turn_clock
from pitwright.job.facts import EndName, SurveyHead
from pitwright.layout.clock import features_of, placed_features
from pitwright.layout.draft import Draft
from pitwright.layout.model import ClockChoice, VesselLayout
from pitwright.layout.survey import THIN_WALL, check_length, check_places, check_wall, taped_around, wall_text
from pitwright.meridian import head_form
from pitwright.parts import Head
from pitwright.reasons import Kind
from pitwright.tape import INCH


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """The vessel's size before it is turned and set: everything that does not depend on its clock [m]."""

    outer_radius: float
    wall: float
    length: float
    oval: float
    heads: dict[str, Head | None]

    @property
    def inner_radius(self) -> float:
        """Inside radius [m]."""
        return self.outer_radius - self.wall

    @property
    def around(self) -> float:
        """Tape right round the outside skin [m]."""
        return 2.0 * math.pi * self.outer_radius


def set_vessel(
    draft: Draft,
    body: Body,
    choice: ClockChoice | None,
    *,
    fire_end: EndName,
    fire_head: Head | None,
    centre_z: float,
    hand: int,
    datum: Literal["stack", "fire"],
    drain_x: tuple[float, float],
    on_end: bool = False,
) -> VesselLayout:
    """The vessel set at its height: turned as chosen, or still without its seams where there is no choice yet.

    drain_x  where along it a boss may serve as the drain [m]
    """
    job, rules, measured = draft.job, draft.rules.clock, draft.job.measured.long_seam
    keep, fittings, girths, seam = (
        ((), (), (0.0, body.length), None)
        if choice is None
        else placed_features(
            features_of(job.vessel, body.length, rules),
            job.vessel,
            choice,
            radius=body.outer_radius,
            length=body.length,
            hand=hand,
            rules=rules,
            drain_x=drain_x,
            seam_at=None if measured is None else half_turn_clock(measured / body.outer_radius),
        )
    )
    return VesselLayout(
        outer_radius=body.outer_radius,
        wall=body.wall,
        length=body.length,
        fire_head=fire_head,
        stack_head=body.heads[other_end(fire_end)],
        centre_z=centre_z,
        oval=abs(body.oval),
        oval_clock=(seam or 0.0) if body.oval >= 0.0 else (seam or 0.0) + math.pi / 2.0,
        hand=hand,
        datum=datum,
        fire_end=fire_end,
        top_from_seam=choice.top_from_seam if choice is not None else 0.0,
        long_seam_clock=seam,
        girth_seams=girths,
        fittings=fittings,
        keep_outs=keep,
        on_end=on_end,
    )


def measure_body(draft: Draft) -> Body:
    """Diameter, wall, length and heads from the survey (or from what was measured after cleaning).

    Raises JobError where tape and diameter disagree, or a size is none a shop meets.
    """
    job, ledger, tape = draft.job, draft.ledger, draft.tape
    survey, got = job.vessel, job.measured
    around = taped_around(draft)
    radius = around / (2.0 * math.pi)
    wall = min(survey.wall) if got.wall is None else got.wall
    length = survey.length if got.length is None else got.length
    for reading in survey.wall if got.wall is None else (wall,):
        check_wall(draft, radius, reading, length)
    check_length(draft, radius, length)
    check_places(draft, around, length)

    if survey.assumed:
        draft.find(
            "vessel.nominal",
            "warn",
            f"Not measured yet: {', '.join(survey.assumed).replace('_', ' ')}. Usual values of the nominal size stand in.",
            remedy="Tape the vessel and type around, wall and length before any steel is cut.",
            source="common practice, no source",
        )
    assumed = set(survey.assumed)

    def origin(field: str, measured: object, because: str) -> tuple[Kind, str]:
        if measured is not None:
            return "measured", because
        if field in assumed:
            return "assumed", "usual for the nominal size: measure this"
        return "fixed", because

    taped = "taped again after cleaning" if got.around is not None else "tape right round the outside skin"
    kind, because = origin("outside_diameter", got.around, taped)
    ledger.note("vessel.around", around, kind=kind, because=because)
    ledger.note(
        "vessel.diameter",
        2.0 * radius,
        because="the tape-around divided by pi",
        formula="OD = around / pi",
        rests_on=("vessel.around",),
    )
    gauged = "the thinnest of the readings by gauge" if len(survey.wall) > 1 else "by gauge"
    kind, because = origin("wall", got.wall, gauged)
    ledger.note("vessel.wall", wall, kind=kind, because=because)
    kind, because = origin("length", got.length, "girth seam to girth seam")
    ledger.note("vessel.length", length, kind=kind, because=because)
    if len(survey.wall) > 1 and max(survey.wall) - min(survey.wall) > 0.15 * max(survey.wall):
        draft.find(
            "vessel.wall_uneven",
            "warn",
            f"The wall reads {wall_text(draft, min(survey.wall))} to {wall_text(draft, max(survey.wall))}: pitting or a rebuilt "
            "course. Strength is worked with the thinnest.",
            remedy=f"Gauge a grid round the thin spot; patch or choose another vessel below {wall_text(draft, THIN_WALL)}.",
        )
    if wall < THIN_WALL - 1e-6:
        draft.find(
            "vessel.thin",
            "warn",
            f"Wall {wall_text(draft, wall)} is under {wall_text(draft, THIN_WALL)}: legs, hinges and shelf brackets want pads "
            "everywhere.",
            remedy='Set legs.pads = "always".',
            source="common practice, no source",
        )
    oval = _oval(draft)
    heads = {
        "A": survey_head(draft, survey.head_a, radius, wall, "head_a"),
        "B": survey_head(draft, survey.head_b, radius, wall, "head_b"),
    }
    if survey.bow > length / 500.0:
        draft.find(
            "vessel.bow",
            "warn",
            f"The shell is bowed {tape.length(survey.bow)} over its length. Turn the bow up or down, never to a side, and "
            "strike the top line by string, not by the skin.",
        )
    return Body(outer_radius=radius, wall=wall, length=length, oval=oval, heads=heads)


def _oval(draft: Draft) -> float:
    """Mean of (across seam - across side) / 4 over the stations [m]; positive: largest through the long seam."""
    pairs = [
        (r.across_seam, r.across_side)
        for r in draft.job.vessel.rounds
        if r.across_seam is not None and r.across_side is not None
    ]
    if not pairs:
        return 0.0
    oval = sum(a - b for a, b in pairs) / (4.0 * len(pairs))
    tape = draft.tape
    draft.ledger.note(
        "vessel.out_of_round",
        abs(oval) * 4.0,
        kind="fixed",
        because="largest less smallest of the two diameters, mean over the stations measured",
    )
    if abs(oval) > 1.0 / 64.0 * INCH:
        draft.find(
            "vessel.oval",
            "note",
            f"Out of round by {tape.length(4.0 * abs(oval))} across. Mark the grate line by water level and door edges by "
            "tape; leg tops are cut to the way the skin really faces.",
        )
    return oval


def survey_head(draft: Draft, head: SurveyHead, radius: float, wall: float, field: str) -> Head | None:
    """The head of one end as found, with what was not measured taken from its kind.

    Its depth runs from the tangent line; the survey's is taped from the girth seam, straight flange and all.
    Raises JobError where no such head fits the vessel.
    """
    if head.type == "none":
        return None
    tape, t = draft.tape, wall if head.wall is None else head.wall
    crown = knuckle = 0.0
    if not t < radius / 8.0:
        raise JobError(
            "no head is that thick",
            field=f"vessel.{field}.wall",
            value=wall_text(draft, t),
            allowed=f"under {tape.length(radius / 8.0)}",
            remedy="Gauge the head's plate.",
        )
    if head.type == "flat":
        natural = t
    elif head.type == "ellipsoidal":
        natural = (radius - t) / 2.0 + t
    elif head.type == "hemispherical":
        natural = radius
    else:
        crown = 2.0 * radius if head.crown is None else head.crown
        knuckle = 0.06 * crown if head.knuckle is None else head.knuckle
        if not (t < knuckle < radius <= crown):
            raise JobError(
                "no torispherical head has that crown and knuckle",
                field=f"vessel.{field}.crown",
                value=tape.length(crown),
                allowed=f"crown at least the radius ({tape.length(radius)}), knuckle under it and over the wall",
                remedy="Measure the crown with a straightedge: R = c^2/(8 s) + s/2.",
            )
        natural = torispherical_depth(2.0 * radius, crown, knuckle)
    depth = natural
    if head.depth is not None and head.type in ("ellipsoidal", "torispherical"):
        depth = _measured_depth(draft, head.depth - head.flange, natural, head, radius, t, field)
    return Head(
        kind=head.type,
        outer_radius=radius,
        wall=t,
        depth=depth,
        flange=0.0 if head.type == "flat" else head.flange,
        crown=crown,
        knuckle=knuckle,
    )


def _measured_depth(
    draft: Draft, depth: float, natural: float, head: SurveyHead, radius: float, wall: float, field: str
) -> float:
    """The depth over the tangent line to work with [m], from the one that was taped."""
    tape = draft.tape
    if head.type == "torispherical":
        if abs(depth - natural) > 0.5 * INCH:
            draft.find(
                "vessel.head_depth",
                "warn",
                f"{field.replace('_a', ' A').replace('_b', ' B')}: measured depth {tape.length(depth + head.flange)}, "
                f"crown and knuckle give {tape.length(natural + head.flange)}. Crown and knuckle are used.",
                remedy="Measure the crown again with a straightedge.",
            )
        return natural
    # An ellipse bends tightest at radius b^2/a or a^2/b; the plate has to be thinner than that.
    low, high = max(math.sqrt(1.05 * wall * radius), 0.1 * radius), min(1.2 * radius, radius**2 / (1.05 * wall))
    if not low <= depth <= high:
        raise JobError(
            f"no dished head of this vessel is {tape.length(depth + head.flange)} deep",
            field=f"vessel.{field}.depth",
            value=tape.length(depth + head.flange),
            allowed=f"{tape.length(low + head.flange)} to {tape.length(high + head.flange)}; "
            f"a 2:1 head is {tape.length(natural + head.flange)}",
            remedy='Tape it from the girth seam to the middle; a flat end is type = "flat".',
        )
    return depth


def survey_findings(draft: Draft, body: Body) -> None:
    """What the survey itself says: make-safe record, what it held, coating, stated capacity."""
    job, tape = draft.job, draft.tape
    if not job.make_safe.complete:
        held = job.make_safe.held
        missing = [
            name
            for name, there in (
                ("contents not stated", held.strip().lower() not in ("", "unknown")),
                ("no cleaning method", bool(job.make_safe.method.strip())),
                ("no signature", bool(job.make_safe.signed_by.strip())),
                ("no date", job.make_safe.signed_on is not None),
            )
            if not there
        ]
        draft.find(
            "vessel.not_cleared",
            "stop",
            f"No cut marks printed: {', '.join(missing)}. No heat, cutting or grinding on a used vessel until a competent "
            "person has cleared it and signed.",
            remedy="Fill the make-safe record from the signed hold tag. Pitwright records it; it cannot call a vessel safe.",
            source="29 CFR 1910.252(a)(3) (text from memory); AWS F4.1 scope",
        )
    if job.vessel.coating in ("galvanized", "lined"):
        draft.find(
            "vessel.coating",
            "stop",
            f"The vessel is {job.vessel.coating}. Zinc and linings give off toxic fume when heated and do not belong over food.",
            remedy="Choose another vessel, or have the coating removed to bright steel and recorded in the survey.",
            source="AWS Safety and Health Fact Sheet 25 (metal fume fever)",
        )
    elif job.vessel.coating in ("unknown", "painted"):
        draft.find(
            "vessel.coating",
            "note",
            "Old paint may hold lead: test it, strip back from every cut and weld, and ventilate.",
            source="common practice; local rules apply",
        )
    volume = vessel_volume(body)
    draft.ledger.note(
        "vessel.volume",
        volume,
        "volume",
        because="shell and heads, inside",
        formula="pi r^2 L + heads",
        rests_on=("vessel.diameter", "vessel.wall", "vessel.length"),
    )
    if job.vessel.capacity is not None and abs(volume / job.vessel.capacity - 1.0) > 0.07:
        draft.find(
            "vessel.capacity",
            "warn",
            f"Stated capacity {tape.volume(job.vessel.capacity)}, the sizes typed hold {tape.volume(volume)}. "
            "One of around, length and heads is not right.",
            remedy="Tape the around and the seam-to-seam length again.",
        )


def vessel_volume(body: Body) -> float:
    """Inside volume, shell and heads [m3]."""
    total = math.pi * body.inner_radius**2 * body.length
    for head in body.heads.values():
        if head is not None and head.kind != "flat":
            total += head_form(head).figures().inside_volume
    return total


def other_end(end: EndName) -> EndName:
    """The other survey end."""
    return "B" if end == "A" else "A"
