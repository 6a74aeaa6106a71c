"""What a survey says about the vessel's size, and whether it can be so: typing slips are asked about, not averaged."""

from __future__ import annotations

import math

from pitwright.errors import JobError
from pitwright.layout.draft import Draft
from pitwright.stock import STEEL_DENSITY
from pitwright.tape import INCH

# What a shop meets (common practice, no source): outside diameters and walls beyond these are typing slips.
DIAMETERS = (10.0 * INCH, 144.0 * INCH)
WALLS = (1.0 / 16.0 * INCH, 5.0 / 8.0 * INCH)
TAPE_AGREES = 1.0 / 32.0 * INCH  # on the diameter, tape against caliper
AROUND_AGREES = 0.5 * INCH  # survey against the tape after cleaning
THIN_WALL = 3.0 / 16.0 * INCH
USUAL_WALL = 3.0 / 8.0 * INCH


def taped_around(draft: Draft) -> float:
    """The tape-around the pit is worked from [m]."""
    survey, got, tape = draft.job.vessel, draft.job.measured, draft.tape
    taped = [r.around for r in survey.rounds if r.around is not None]
    if survey.around is not None:
        taped.insert(0, survey.around)
    surveyed = sum(taped) / len(taped) if taped else 0.0
    if got.around is not None:
        _plausible_around(draft, got.around, "measured.around")
        if taped and abs(got.around - surveyed) > AROUND_AGREES:
            draft.find(
                "vessel.around_moved",
                "warn",
                f"Cleaned, the tape reads {tape.length(got.around)}; the survey said {tape.length(surveyed)}. The pit is "
                "worked from the new reading.",
                remedy="Pull the tape once more, square to the shell, before anything is cut.",
            )
        return got.around
    if taped:
        for value in taped:
            _plausible_around(draft, value, "vessel.around")
        _agree_with_diameters(draft, surveyed)
        if max(taped) - min(taped) > 0.25 * INCH:
            draft.find(
                "vessel.taper",
                "warn",
                f"The tape-arounds differ by {tape.length(max(taped) - min(taped))} along the vessel; the pit is worked from "
                f"their mean, {tape.length(surveyed)}.",
                remedy="Tape each leg station and saddle again and enter it there.",
            )
        return surveyed
    if survey.outside_diameter is not None:
        _plausible_diameter(draft, survey.outside_diameter, "vessel.outside_diameter")
        return math.pi * survey.outside_diameter
    across = [d for r in survey.rounds for d in (r.across_seam, r.across_side) if d is not None]
    for diameter in across:
        _plausible_diameter(draft, diameter, "vessel.rounds")
    if across:
        return math.pi * sum(across) / len(across)
    raise JobError(
        "measure this: the vessel's size is blank",
        field="vessel.around",
        allowed="around (tape right round the outside), or outside_diameter",
        remedy="Run a tape round the outside skin, square to the shell, and type what it reads.",
    )


def _agree_with_diameters(draft: Draft, taped: float) -> None:
    """A tape-around and a diameter that say different sizes are asked about, never averaged.

    taped  the mean of the tape-arounds [m]
    """
    survey = draft.job.vessel
    pairs = [] if survey.outside_diameter is None else [("vessel.outside_diameter", taped, survey.outside_diameter)]
    for i, r in enumerate(survey.rounds, start=1):
        if r.across_seam is not None and r.across_side is not None:
            around = taped if r.around is None else r.around
            pairs.append((f"vessel.rounds no. {i}", around, (r.across_seam + r.across_side) / 2.0))
    for field, around, typed in pairs:
        agrees = TAPE_AGREES if field == "vessel.outside_diameter" else 2.0 * TAPE_AGREES
        if abs(around / math.pi - typed) <= agrees:
            continue
        mean = "" if field == "vessel.outside_diameter" else "as the mean of two diameters "
        raise JobError(
            f"tape says {decimal(draft, around / math.pi)}, you typed {mean}{decimal(draft, typed)} "
            f"(around would be {draft.tape.length(math.pi * typed)}). Which one was measured?",
            field=field,
            value=decimal(draft, typed),
            allowed=f"one of around and diameter, or both within {draft.tape.decimal(agrees)} on the diameter",
            remedy="Keep the one that was measured and take the other out.",
        )


def decimal(draft: Draft, x: float) -> str:
    """A diameter or an around in decimals, the way a calculator shows it."""
    return f"{x / INCH:.2f} in" if draft.tape.system == "inch" else f"{x * 1000.0:.0f} mm"


def wall_text(draft: Draft, x: float) -> str:
    """A wall as a gauge reads it."""
    return draft.tape.length(x, step=INCH / 64.0) if draft.tape.system == "inch" else draft.tape.decimal(x)


def _slip(around: float) -> float | None:
    """What a slipped decimal point was probably meant to be [m]."""
    low, high = DIAMETERS
    return next((around * f for f in (0.1, 10.0, 0.01) if low <= around * f / math.pi <= high), None)


def _plausible_around(draft: Draft, around: float, field: str) -> None:
    low, high = DIAMETERS
    if low <= around / math.pi <= high:
        return
    tape = draft.tape
    text = f"an around of {tape.length(around)} is a {decimal(draft, around / math.pi)} tank"
    guess = _slip(around)
    if guess is not None:
        text += f". Did you mean {tape.length(guess)} ({decimal(draft, guess / math.pi)} OD)?"
    raise JobError(
        text,
        field=field,
        value=tape.length(around),
        allowed=f"arounds from {tape.length(math.pi * low)} to {tape.length(math.pi * high)}",
        remedy="Type what the tape reads.",
    )


def _plausible_diameter(draft: Draft, diameter: float, field: str) -> None:
    low, high = DIAMETERS
    if low <= diameter <= high:
        return
    text = f"{decimal(draft, diameter)} across is no vessel a shop meets"
    guess = _slip(math.pi * diameter)
    if guess is not None:
        text += f". Did you mean {draft.tape.length(guess / math.pi)}?"
    raise JobError(
        text,
        field=field,
        value=draft.tape.length(diameter),
        allowed=f"diameters from {draft.tape.length(low)} to {draft.tape.length(high)}",
        remedy="Measure across the outside again, or run a tape round it.",
    )


def check_wall(draft: Draft, radius: float, wall: float, length: float) -> None:
    """Refuse a wall that no vessel a shop meets has [m]."""
    if WALLS[0] <= wall <= WALLS[1]:
        return
    mass = math.pi * max(2.0 * radius - wall, 0.0) * wall * length * STEEL_DENSITY
    raise JobError(
        f"a {wall_text(draft, wall)} wall makes a {draft.tape.length(length)} long shell {draft.tape.mass(mass)}. "
        f"Vessels this size run {wall_text(draft, THIN_WALL)} to {wall_text(draft, USUAL_WALL)}",
        field="vessel.wall" if draft.job.measured.wall is None else "measured.wall",
        value=wall_text(draft, wall),
        allowed=f"{wall_text(draft, WALLS[0])} to {wall_text(draft, WALLS[1])}",
        remedy="Check with a thickness gauge or at a fitting.",
    )


def check_length(draft: Draft, radius: float, length: float) -> None:
    """Refuse a vessel shorter than half its diameter [m]."""
    if length < radius:
        raise JobError(
            f"a vessel {draft.tape.length(length)} long and {decimal(draft, 2 * radius)} across is a dish, not a pit",
            field="vessel.length" if draft.job.measured.length is None else "measured.length",
            value=draft.tape.length(length),
            allowed="seam to seam at least half the diameter",
            remedy="Check length and around; are they swapped?",
        )


def check_places(draft: Draft, around: float, length: float) -> None:
    """Seams, fittings and stations of the survey must lie on the vessel."""
    vessel, tape = draft.job.vessel, draft.tape
    stations: list[tuple[str, float | None]] = []
    arounds: list[tuple[str, float]] = []
    for i, seam in enumerate(vessel.seams, start=1):
        stations += [(f"seams no. {i}.station", seam.station), (f"seams no. {i}.to_station", seam.to_station)]
        arounds.append((f"seams no. {i}.around", seam.around))
    for i, fitting in enumerate(vessel.fittings, start=1):
        if fitting.on == "shell":
            stations.append((f"fittings no. {i}.station", fitting.station))
            arounds.append((f"fittings no. {i}.around", fitting.around))
    stations += [(f"rounds no. {i}.station", r.station) for i, r in enumerate(vessel.rounds, start=1)]
    for field, station in stations:
        if station is not None and not -INCH <= station <= length + INCH:
            raise JobError(
                f"station {tape.length(station)} is off the shell, which is {tape.length(length)} from seam to seam",
                field=f"vessel.{field}",
                value=tape.length(station),
                allowed=f"{tape.length(0.0)} to {tape.length(length)}",
                remedy="Stations are pulled from the girth seam at end A.",
            )
    for field, place in arounds:
        if abs(place) > around + INCH:
            raise JobError(
                f"an around of {tape.length(place)} is more than once round ({tape.length(around)})",
                field=f"vessel.{field}",
                value=tape.length(place),
                allowed=f"{tape.length(0.0)} to {tape.length(around)}",
                remedy="Arounds run clockwise from the long seam, seen from end A.",
            )
