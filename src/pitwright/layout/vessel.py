"""The vessel from its survey: size from the tape, heads, height over the floor, what the survey says against it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.errors import JobError
from pitwright.job.facts import EndName, SurveyHead
from pitwright.layout.draft import Draft
from pitwright.layout.formed_heads import torispherical_depth
from pitwright.meridian import head_form
from pitwright.parts import Head
from pitwright.reasons import Kind
from pitwright.stock import STEEL_DENSITY
from pitwright.tape import INCH

# What a shop meets (common practice, no source): outside diameters and walls beyond these are typing slips.
DIAMETERS = (10.0 * INCH, 144.0 * INCH)
WALLS = (1.0 / 16.0 * INCH, 5.0 / 8.0 * INCH)
TAPE_AGREES = 1.0 / 32.0 * INCH  # on the diameter, tape against caliper
THIN_WALL = 3.0 / 16.0 * INCH


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


def measure_body(draft: Draft) -> Body:
    """Diameter, wall, length and heads from the survey (or from what was measured after cleaning).

    Raises JobError where tape and diameter disagree, or a size is none a shop meets.
    """
    job, ledger, tape = draft.job, draft.ledger, draft.tape
    survey, got = job.vessel, job.measured
    around = _around(draft)
    radius = around / (2.0 * math.pi)
    wall = min(survey.wall) if got.wall is None else got.wall
    length = survey.length if got.length is None else got.length
    _check_sizes(draft, radius, wall, length)

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
            f"The wall reads {tape.length(min(survey.wall), step=INCH / 64)} to "
            f"{tape.length(max(survey.wall), step=INCH / 64)}: pitting or a rebuilt course. Strength is worked with the thinnest.",
            remedy="Gauge a grid round the thin spot; patch or choose another vessel below 3/16 in.",
        )
    if wall < THIN_WALL - 1e-6:
        draft.find(
            "vessel.thin",
            "warn",
            f"Wall {tape.length(wall, step=INCH / 64)} is under 3/16 in: legs, hinges and shelf brackets want pads everywhere.",
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


def _around(draft: Draft) -> float:
    """The tape-around the pit is worked from [m]."""
    survey, got, tape = draft.job.vessel, draft.job.measured, draft.tape
    if got.around is not None:
        return got.around
    taped = [r.around for r in survey.rounds if r.around is not None]
    if survey.around is not None:
        taped.insert(0, survey.around)
    if taped:
        for value in taped:
            _plausible_around(draft, value)
        mean = sum(taped) / len(taped)
        if max(taped) - min(taped) > 0.25 * INCH:
            draft.find(
                "vessel.taper",
                "warn",
                f"The tape-arounds differ by {tape.length(max(taped) - min(taped))} along the vessel; the pit is worked from "
                f"their mean, {tape.length(mean)}.",
                remedy="Tape each leg station and saddle again and enter it there.",
            )
        if survey.outside_diameter is not None and abs(mean / math.pi - survey.outside_diameter) > TAPE_AGREES:
            typed = survey.outside_diameter
            raise JobError(
                f"tape says {_decimal(draft, mean / math.pi)}, you typed {_decimal(draft, typed)} "
                f"(around would be {tape.length(math.pi * typed)}). Which one was measured?",
                field="vessel.outside_diameter",
                value=_decimal(draft, typed),
                allowed="one of around and outside_diameter, or both within 1/32 in",
                remedy="Keep the one that was measured and take the other out.",
            )
        return mean
    if survey.outside_diameter is not None:
        _plausible_around(draft, math.pi * survey.outside_diameter)
        return math.pi * survey.outside_diameter
    across = [d for r in survey.rounds for d in (r.across_seam, r.across_side) if d is not None]
    if across:
        return math.pi * sum(across) / len(across)
    raise JobError(
        "measure this: the vessel's size is blank",
        field="vessel.around",
        allowed="around (tape right round the outside), or outside_diameter",
        remedy="Run a tape round the outside skin, square to the shell, and type what it reads.",
    )


def _decimal(draft: Draft, x: float) -> str:
    return f"{x / INCH:.2f} in" if draft.tape.system == "inch" else f"{x * 1000.0:.0f} mm"


def _plausible_around(draft: Draft, around: float) -> None:
    low, high = DIAMETERS
    if low <= around / math.pi <= high:
        return
    tape = draft.tape
    guess = next((f for f in (0.1, 10.0, 0.01) if low <= around * f / math.pi <= high), None)
    text = f"an around of {_decimal(draft, around)} is a {_decimal(draft, around / math.pi)} tank"
    if guess is not None:
        text += f". Did you mean {tape.length(around * guess)} ({_decimal(draft, around * guess / math.pi)} OD)?"
    raise JobError(
        text,
        field="vessel.around",
        value=tape.length(around),
        allowed=f"arounds from {tape.length(math.pi * low)} to {tape.length(math.pi * high)}",
        remedy="Type what the tape reads.",
    )


def _check_sizes(draft: Draft, radius: float, wall: float, length: float) -> None:
    tape = draft.tape
    if not WALLS[0] <= wall <= WALLS[1]:
        mass = math.pi * (2.0 * radius - wall) * wall * length * STEEL_DENSITY
        raise JobError(
            f"a {tape.length(wall, step=INCH / 64)} wall makes a {tape.length(length)} long shell {tape.mass(mass)}. "
            "Vessels this size run 3/16 to 3/8 in",
            field="vessel.wall",
            value=tape.length(wall, step=INCH / 64),
            allowed=f"{tape.length(WALLS[0])} to {tape.length(WALLS[1])}",
            remedy="Check with a thickness gauge or at a fitting.",
        )
    if length < radius:
        raise JobError(
            f"a vessel {tape.length(length)} long and {_decimal(draft, 2 * radius)} across is a dish, not a pit",
            field="vessel.length",
            value=tape.length(length),
            allowed="seam to seam at least half the diameter",
            remedy="Check length and around; are they swapped?",
        )


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
    """The head of one end as found, with what was not measured taken from its kind."""
    if head.type == "none":
        return None
    t = wall if head.wall is None else head.wall
    inner = radius - t
    crown = knuckle = 0.0
    if head.type == "ellipsoidal":
        natural = inner / 2.0 + t
    elif head.type == "hemispherical":
        natural = radius
    elif head.type == "torispherical":
        crown = 2.0 * radius if head.crown is None else head.crown
        knuckle = 0.06 * crown if head.knuckle is None else head.knuckle
        if not (knuckle < radius <= crown):
            raise JobError(
                "no torispherical head has that crown and knuckle",
                field=f"vessel.{field}.crown",
                value=draft.tape.length(crown),
                allowed=f"crown at least the radius ({draft.tape.length(radius)}), knuckle under it",
                remedy="Measure the crown with a straightedge: R = c^2/(8 s) + s/2.",
            )
        natural = torispherical_depth(2.0 * radius, crown, knuckle)
    else:
        natural = t
    depth = natural if head.depth is None or head.type in ("flat", "hemispherical") else head.depth
    if head.depth is not None and head.type == "torispherical" and abs(head.depth - natural) > 0.5 * INCH:
        draft.find(
            "vessel.head_depth",
            "warn",
            f"{field.replace('_', ' ').replace('a', 'A').replace('b', 'B')}: measured depth {draft.tape.length(head.depth)}, "
            f"crown and knuckle give {draft.tape.length(natural)}. The crown and knuckle are used.",
            remedy="Measure the crown again with a straightedge.",
        )
        depth = natural
    return Head(
        kind=head.type, outer_radius=radius, wall=t, depth=depth, flange=head.flange, crown=crown, knuckle=knuckle
    )


def survey_findings(draft: Draft, body: Body) -> None:
    """What the survey itself says: make-safe record, what it held, coating, stated capacity."""
    job, tape = draft.job, draft.tape
    if not job.make_safe.complete:
        held = job.make_safe.held or job.vessel.held
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
            remedy="Fill [make_safe] from the signed hold tag. Pitwright records it; it cannot call a vessel safe.",
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
