"""What one layout run gathers: parts, openings, marks, reasons, findings. Frozen into a Pit at the end."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from pitwright.findings import Finding, Severity
from pitwright.job.facts import Job
from pitwright.job.proportions import Proportions
from pitwright.job.quantities import Share
from pitwright.layout.model import Mark, Opening
from pitwright.masses import Mass, mass_of
from pitwright.parts import Group, Outline, Part, Placement, Shape, State
from pitwright.reasons import Ledger
from pitwright.stock import STEEL_DENSITY, plate_name
from pitwright.tape import Tape


@dataclass(slots=True)
class Draft:
    """The running state of one layout. Modules add to it in build order; nothing is ever taken back."""

    job: Job
    tape: Tape
    ledger: Ledger
    parts: list[Part] = field(default_factory=list)
    openings: list[Opening] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    _counts: dict[str, int] = field(default_factory=dict)
    _masses: dict[str, Mass] = field(default_factory=dict)
    _placed: dict[str, tuple[Mass, ...]] = field(default_factory=dict)

    @property
    def rules(self) -> Proportions:
        """The shop's proportions of this job."""
        return self.job.proportions

    def add(
        self,
        letters: str,
        name: str,
        group: Group,
        shape: Shape,
        placements: Placement | Iterable[Placement],
        stock: str,
        *,
        assumed: bool = False,
        moving: str = "",
        flat: Outline | None = None,
        notes: tuple[str, ...] = (),
        material: str = "mild steel",
        density: float = STEEL_DENSITY,
        state: State | None = None,
    ) -> Part:
        """Add a piece; its mark is the letters and the next number. Twins come in one call, as placements.

        state: how far the shop has got with it, where the job says it under another mark.
        """
        number = self._counts.get(letters, 0) + 1
        self._counts[letters] = number
        mark = f"{letters}{number}"
        state = self.job.pieces.get(mark, "open") if state is None else state
        part = Part(
            mark=mark,
            name=name,
            group=group,
            shape=shape,
            stock=stock,
            placements=(placements,) if isinstance(placements, Placement) else tuple(placements),
            material=material,
            density=density,
            assumed=assumed,
            moving=moving,
            state=state,
            flat=flat,
            notes=notes,
        )
        self.parts.append(part)
        return part

    def mass(self, part: Part) -> Mass:
        """Weight and centre of gravity of one copy of a piece of this draft, in its own frame; worked out once."""
        if part.mark not in self._masses:
            self._masses[part.mark] = mass_of(part)
        return self._masses[part.mark]

    def placed(self, part: Part) -> tuple[Mass, ...]:
        """The same for every copy, in the pit frame."""
        if part.mark not in self._placed:
            own = self.mass(part)
            self._placed[part.mark] = tuple(Mass(mass=own.mass, centre=at.point(own.centre)) for at in part.placements)
        return self._placed[part.mark]

    def next_mark(self, letters: str) -> str:
        """The mark the next piece with these letters will get."""
        return f"{letters}{self._counts.get(letters, 0) + 1}"

    def find(
        self,
        code: str,
        severity: Severity,
        text: str,
        *,
        pieces: tuple[str, ...] = (),
        remedy: str = "",
        source: str = "",
        clearance: float | None = None,
    ) -> None:
        """Note a finding."""
        self.findings.append(
            Finding(
                code=code,
                severity=severity,
                text=text,
                pieces=pieces,
                remedy=remedy,
                source=source,
                clearance=clearance,
            )
        )

    def plate(self, thickness: float) -> str:
        """How a plate thickness [m] is asked for at the yard."""
        return plate_name(thickness, self.tape.system)

    def share(self, value: Share, vessel_radius: float, vessel_length: float) -> float:
        """A share of the vessel as a length [m]."""
        return value.length(radius=vessel_radius, seam_length=vessel_length, around=2.0 * math.pi * vessel_radius)

    def said(self, value: Share) -> str:
        """A share in the shop's words, a plain length as a tape reads it."""
        return value.text if value.of else self.tape.length(value.factor)
