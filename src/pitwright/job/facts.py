"""The stated facts of one job: vessel survey, make-safe record, order, what was measured, how far the build is.

Survey frame (before the vessel is clocked): *end A* is the end the tape is hooked on; stations run from the girth
seam at end A [m]; arounds run clockwise seen from end A, from the long seam (or from the survey's zero mark where
there is no long seam) on the outside skin [m].
"""

from __future__ import annotations

import datetime
from typing import Any, Literal

from pydantic import Field, PrivateAttr, field_validator

from pitwright.errors import JobError, TapeError
from pitwright.job.burns import Burns
from pitwright.job.proportions import Proportions
from pitwright.job.quantities import (
    Angle,
    Length,
    Mass,
    Strict,
    System,
    Temperature,
    TemperatureDifference,
    Volume,
    habit,
)
from pitwright.parts import State
from pitwright.tape import Tape

HeadType = Literal["ellipsoidal", "hemispherical", "torispherical", "flat", "none"]
Base = Literal["skid", "saddles", "stand", "cart", "upright", "trailer"]
EndName = Literal["A", "B"]


class SurveyHead(Strict):
    """One end of the vessel as found."""

    type: HeadType = habit("ellipsoidal", description="shape of the head; none = already cut off")
    depth: Length | None = Field(None, ge=0.0, le=3.0, description="outside depth from the girth seam, if measured")
    wall: Length | None = Field(None, gt=0.0, le=0.08, description="head thickness; as the shell where not measured")
    crown: Length | None = Field(None, gt=0.0, le=6.0, description="crown radius of a torispherical head")
    knuckle: Length | None = Field(None, gt=0.0, le=2.0, description="knuckle radius of a torispherical head")
    flange: Length = habit("0", ge=0.0, le=0.3, description="straight flange between seam and dish")


class Round(Strict):
    """The shell measured at one station."""

    station: Length = Field(description="from the girth seam at end A")
    around: Length | None = Field(None, gt=0.0, description="tape right round the outside skin")
    across_seam: Length | None = Field(None, gt=0.0, description="outside diameter through the long seam")
    across_side: Length | None = Field(None, gt=0.0, description="outside diameter square to that")


class Seam(Strict):
    """A weld seam of the shell as found."""

    kind: Literal["long", "girth", "patch"]
    station: Length | None = Field(None, description="girth seam: where; long seam or patch: where it starts")
    to_station: Length | None = Field(None, description="long seam or patch: where it ends (the far seam if blank)")
    around: Length = habit("0", description="long seam or patch: where round the skin (a patch: its middle)")
    width: Length = habit("1/2 in", gt=0.0, le=1.0, description="width of the weld cap, or of the patch round the skin")


class Fitting(Strict):
    """A boss, coupling, manway or leg already on the vessel."""

    name: str = Field(min_length=1, max_length=60)
    station: Length = Field(description="from the girth seam at end A; on a head: out from its middle")
    around: Length = Field(description="round the skin from the long seam, clockwise seen at end A")
    size: Length = Field(gt=0.0, le=1.5, description="outside diameter on the skin")
    on: Literal["shell", "head A", "head B"] = "shell"
    plan: Literal["reuse", "plug", "cut away", "keep"] = habit("plug", description="what becomes of it")
    good_for: tuple[Literal["drain", "thermometer", "inlet"], ...] = habit((), description="what it may serve as")


class Vessel(Strict):
    """The survey of the found vessel."""

    around: Length | None = Field(None, gt=0.0, description="tape right round the outside skin")
    outside_diameter: Length | None = Field(None, gt=0.0, description="outside diameter, where no tape-around exists")
    rounds: tuple[Round, ...] = habit((), max_length=3, description="tape-around and diameters at up to three stations")
    wall: tuple[Length, ...] = Field(min_length=1, max_length=12, description="wall by gauge, at one or several clocks")
    length: Length = Field(gt=0.0, le=30.0, description="girth seam to girth seam (or end to end of a plain pipe)")
    head_a: SurveyHead = SurveyHead()
    head_b: SurveyHead = SurveyHead()
    seams: tuple[Seam, ...] = ()
    fittings: tuple[Fitting, ...] = ()
    capacity: Volume | None = Field(None, gt=0.0, description="stated capacity, checked against the computed one")
    nominal: Volume | None = Field(
        None, gt=0.0, description="nominal size; fills blanks with usual sizes to start from"
    )
    assumed: tuple[Literal["outside_diameter", "wall", "length"], ...] = Field(
        (), description="filled from the nominal size, not measured (written by Pitwright)"
    )
    held: str = habit("unknown", description="what the vessel held")
    coating: Literal["bare", "painted", "galvanized", "lined", "unknown"] = "unknown"
    bow: Length = habit("0", ge=0.0, le=0.2, description="bow by string over the length")

    @field_validator("wall", mode="before")
    @classmethod
    def _one_or_many(cls, value: Any) -> Any:
        return value if isinstance(value, list | tuple) else (value,)


class MakeSafe(Strict):
    """Who emptied and cleared the vessel, how, and when. Pitwright records it; it never calls a vessel safe."""

    held: str = habit("", max_length=200, description="what it held")
    method: str = habit("", max_length=400, description="how it was emptied, cleaned and tested")
    signed_by: str = habit("", max_length=100, description="who signs for it")
    signed_on: datetime.date | None = Field(None, description="the date of the signature")

    @property
    def complete(self) -> bool:
        """Whether every blank of the record is filled."""
        known = self.held.strip().lower() not in ("", "unknown")
        return bool(known and self.method.strip() and self.signed_by.strip() and self.signed_on)


class Level(Strict):
    """One more cooking level over the main grate."""

    above: Length = Field(gt=0.0, le=2.0, description="height over the main grate")
    slides: bool = Field(True, description="pulls out on slides")


class Passage(Strict):
    """A gate, lift or lane on the way out of the shop or into the yard."""

    name: str = Field(min_length=1, max_length=60)
    width: Length | None = Field(None, gt=0.0)
    height: Length | None = Field(None, gt=0.0)
    weight: Mass | None = Field(None, gt=0.0)


class Carried(Strict):
    """Something that rides along when it is in use or on the road: a tank of water, a rack of wood, a cold box."""

    name: str = Field(min_length=1, max_length=60)
    mass: Mass = Field(gt=0.0, le=5000.0, description="with what is in it")
    station: Length = Field(
        ge=-15.0,
        le=30.0,
        description="its middle along the pit, from the datum seam; of a vessel on end, from its middle away from the firebox",
    )
    height: Length = Field(ge=0.0, le=4.0, description="its middle over the floor")
    aside: Length = habit("0", ge=-3.0, le=3.0, description="its middle off the pit's middle, to the working side")


class Order(Strict):
    """What the customer fixes."""

    grate_height: Length = Field(ge=0.3, le=2.0, description="main grate over the floor")
    grate_slides: bool = Field(False, description="the main grate pulls out")
    levels: tuple[Level, ...] = habit((), max_length=4, description="further levels over the main grate")
    people: int | None = Field(None, ge=1, le=5000, description="people to feed from one cook")
    meat: Mass | None = Field(None, gt=0.0, description="raw meat to cook at once")
    base: Base = habit("skid", description="how it stands and travels")
    tongue_share: float = Field(
        0.12, ge=0.10, le=0.15, description="trailer: part of the loaded weight wanted on the hitch, 0.10 to 0.15"
    )
    hitch_height: Length | None = Field(
        None, ge=0.2, le=1.0, description="trailer: ball over the road; the shop's habit where blank"
    )
    firebox_side: Literal["left", "right"] = habit("right", description="firebox end, seen from the working side")
    flow: Literal["offset", "reverse"] = habit("offset", description="smoke leaves at the far end, or turns back")
    passages: tuple[Passage, ...] = ()
    carried: tuple[Carried, ...] = habit((), max_length=8, description="what rides along, aboard wherever it is loaded")
    cook_temperature: Temperature = habit("250 F", ge=325.0, le=590.0, description="wanted at the grate")
    spread: TemperatureDifference = habit(
        "50 F", gt=0.0, le=150.0, description="hottest to coldest along the main grate, at most"
    )
    outside: Temperature = habit("50 F", ge=230.0, le=325.0, description="weather it must cook in")
    altitude: Length = habit("0", ge=-500.0, le=5000.0, description="height over the sea")
    weather: Literal["still", "breeze", "wind"] = "still"


class LegMeasured(Strict):
    """What a tape and an angle finder read on a leg set that stands."""

    set: str = Field(min_length=1, max_length=4, description="leg set letter")
    side: Literal["working", "back"] = "working"
    spread: Length | None = Field(None, description="foot centre from the pit's centre line, as it stands")
    lean: Angle | None = Field(None, description="lean off plumb, as it stands")
    long_point: Length | None = Field(None, gt=0.0, description="long point as cut")
    short_point: Length | None = Field(None, gt=0.0, description="short point as cut")
    top_cut: Angle | None = Field(None, description="top cut as cut, off square")
    foot_cut: Angle | None = Field(None, description="foot cut as cut, off square")
    station: Length | None = Field(None, description="station as tacked")


class DoorMeasured(Strict):
    """A door opening as cut."""

    door: int = Field(ge=1, le=3)
    width: Length | None = Field(None, gt=0.0, description="along the pit")
    arc: Length | None = Field(None, gt=0.0, description="round the skin")
    chord: Length | None = Field(None, gt=0.0, description="straight across the cut-out skin, after it sprang")


class FootMeasured(Strict):
    """How high one foot's sole (or the rail's under side there) stands over one level line."""

    foot: str = Field(
        min_length=1, max_length=60, description="the foot as the STAND sheet calls it, such as A working"
    )
    height: Length = Field(ge=-0.5, le=2.0, description="over the level line; a high floor read from above: negative")


class Measured(Strict):
    """What I got: facts read off the build. They are frozen; the rest is solved again."""

    around: Length | None = Field(None, gt=0.0, description="tape-around after cleaning")
    wall: Length | None = Field(None, gt=0.0)
    length: Length | None = Field(None, gt=0.0, description="seam to seam, cleaned")
    long_seam: Length | None = Field(None, description="long seam really at: around from the top line")
    height: Length | None = Field(None, description="vessel centre over the floor as it stands")
    rail_top: Length | None = Field(None, gt=0.0, description="rail top over the floor as it stands")
    rails_outside: Length | None = Field(None, gt=0.0, description="over the outside of the rails as welded")
    legs: tuple[LegMeasured, ...] = ()
    doors: tuple[DoorMeasured, ...] = ()
    feet: tuple[FootMeasured, ...] = habit((), max_length=12, description="four or more feet over one level line")
    diagonals: tuple[Length, Length] | None = Field(
        None,
        description="base, outside corner to outside corner: from the fire end's back corner first, then the other",
    )
    weight: Mass | None = Field(None, gt=0.0, description="scale ticket of the finished pit")


class About(Strict):
    """Whose job it is."""

    name: str = Field(min_length=1, max_length=80)
    customer: str = habit("", max_length=80)
    shop: str = habit("", max_length=80)
    number: str = habit("", max_length=30)
    date: datetime.date | None = None
    revision: str = habit("A", pattern=r"^[A-Z]{1,2}$", description="revision letter")
    units: System = habit("inch", description="how this job is read and printed")


class FireFacts(Strict):
    """What other pits taught about the fire."""

    learned: tuple[str, ...] = habit(
        (), max_length=20, description="burn files of the shop's other pits, beside the job, such as other.burn.toml"
    )


class Job(Strict):
    """One job file: only what someone stated."""

    schema_version: int = Field(1, alias="schema", description="version of the job file")
    job: About
    vessel: Vessel
    make_safe: MakeSafe = MakeSafe()
    order: Order
    proportions: Proportions = Proportions()
    override: dict[str, Any] = Field(default_factory=dict, description="figures the shop sets itself, by name")
    measured: Measured = Measured()
    fire: FireFacts = FireFacts()
    pieces: dict[str, State] = Field(default_factory=dict, description="piece mark -> open, cut, tacked or welded")

    _burns: Burns = PrivateAttr(default=Burns())

    @property
    def burns(self) -> Burns:
        """What burns taught, from the files beside the job; never typed into the job file itself."""
        return self._burns

    def with_burns(self, burns: Burns) -> Job:
        """The same job with these burns known."""
        job = self.model_copy()
        job._burns = burns
        return job

    @property
    def tape(self) -> Tape:
        """The tape this job is read and printed with.

        Raises JobError where the step is on no tape of its units (a shop file in inches, a job in millimetres).
        """
        step, usual = self.proportions.shop.tape_step, Tape.for_system(self.job.units)
        if step is None:
            return usual
        try:
            return Tape(system=self.job.units, step=step)
        except TapeError as problem:
            raise JobError(
                problem.message,
                field="proportions.shop.tape_step",
                value=usual.decimal(step, 4),
                allowed=problem.allowed,
                remedy=f"Leave it blank and {usual.length(usual.step)} is used.",
            ) from problem
