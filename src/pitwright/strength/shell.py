"""The shell wall where a leg, saddle or lug lands: how far it dents and rolls, and how hard it is bent.

Double Fourier series of a thin cylinder on round ends (the heads), a patch of pressure or of linear pressure on its
skin: the method of P. P. Bijlaard (1955) behind the usual nozzle charts, here with Morley's shell equation, which is
right from the breathing to the finest ripple. The beam share (n = 1) is left out of local figures: the frame has it.

How sure: a leg's stiff walls press unevenly, walls are not what they were, doors and seams are near. So rolling
stiffness is given as a band, 0.5 to 1.6 of the series (our judgement, no source). Within half a radius of an opening
or on a corroded wall, a licensed engineer must look.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pitwright.errors import LayoutError
from pitwright.findings import Finding
from pitwright.strength.bending import OMEGA
from pitwright.strength.check import Check
from pitwright.strength.steel import POISSON, STIFFNESS, Steel
from pitwright.tape import INCH, Tape

LOW, HIGH = 0.5, 1.6
"""Ends of the band on rolling stiffness, as shares of the series."""

Load = Literal["push", "roll", "pitch"]
"""push: square to the skin; roll: a moment round the vessel; pitch: a moment along the vessel."""

SERIES = "double Fourier series of a cylinder on round ends (Bijlaard 1955; Morley 1959)"


@dataclass(frozen=True, slots=True, kw_only=True)
class ShellPatch:
    """A patch of the skin that is loaded.

    radius         middle radius of the wall [m]
    wall           [m]
    length         between the heads or end plates [m]
    station        middle of the patch from one end [m]
    along, around  size of the patch [m]
    """

    radius: float
    wall: float
    length: float
    station: float
    along: float
    around: float
    stiffness: float = STIFFNESS

    def __post_init__(self) -> None:
        if min(self.radius, self.wall, self.length, self.along, self.around) <= 0.0:
            raise LayoutError(
                "every size of a patch must be over 0", field="patch", value=self.along, allowed="more than 0"
            )
        if not self.along / 2.0 <= self.station <= self.length - self.along / 2.0:
            raise LayoutError(
                "the patch runs past the end of the shell",
                field="station",
                value=self.station,
                allowed=f"{self.along / 2.0:.3f} to {self.length - self.along / 2.0:.3f} m",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A figure known only within a band."""

    low: float
    best: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Local:
    """What a unit load does: its own movement along the load (m/N or rad/(N m)) and the worst wall stress [Pa]."""

    movement: float
    stress: float


def _waves(patch: ShellPatch, load: Load) -> tuple[NDArray[np.float64], ...]:
    """Wave numbers and the pressure of a unit load in every wave."""
    r, c1, c2 = patch.radius, patch.along / 2.0, patch.around / 2.0
    m = np.arange(1, min(max(round(6.0 * patch.length / patch.along), 40), 600) + 1, dtype=float)
    n = np.arange(0, min(max(round(14.0 * r / patch.around), 40), 600) + 1, dtype=float)
    a, b = m * math.pi / patch.length, n / r
    if load == "pitch":
        along = 2.0 / patch.length * np.cos(a * patch.station) * _first_moment(a, c1) / (2.0 * c1**3 / 3.0)
    else:
        along = 2.0 / patch.length * np.sin(a * patch.station) * np.sinc(a * c1 / math.pi)
    if load == "roll":
        rounds = _first_moment(b, c2) / (2.0 * c2**3 / 3.0) / (math.pi * r)
    else:
        rounds = np.sinc(b * c2 / math.pi) / (math.pi * r)
        rounds[0] /= 2.0
    return a[:, None], b[None, :], along[:, None] * rounds[None, :]


def _first_moment(k: NDArray[np.float64], c: float) -> NDArray[np.float64]:
    """Integral of s sin(k s) from -c to c."""
    safe = np.where(k > 0.0, k, 1.0)
    return np.where(k > 0.0, 2.0 * (np.sin(safe * c) / safe**2 - c * np.cos(safe * c) / safe), 0.0)


def _movement(patch: ShellPatch, a: NDArray[np.float64], b: NDArray[np.float64]) -> NDArray[np.float64]:
    """Radial movement for unit pressure in a wave: Morley's equation."""
    plate = patch.stiffness * patch.wall**3 / (12.0 * (1.0 - POISSON**2))
    k = a**2 + b**2
    bent = plate * k**2 * (k - 1.0 / patch.radius**2) ** 2
    stretched = patch.stiffness * patch.wall / patch.radius**2 * a**4
    return k**2 / (bent + stretched)


def deflection(patch: ShellPatch, x: float, around: float, *, beam: bool = True) -> float:
    """Radial movement for a unit push, at a station and an arc from the patch's middle [m/N]."""
    a, b, p = _waves(patch, "push")
    w = _movement(patch, a, b) * p * np.sin(a * x) * np.cos(b * around)
    if not beam:
        w[:, 1] = 0.0
    return float(w.sum())


def local(patch: ShellPatch, load: Load) -> Local:
    """Movement and worst wall stress for a unit load (1 N or 1 N m), the beam share left out."""
    a, b, p = _waves(patch, load)
    w = _movement(patch, a, b) * p
    w[:, 1] = 0.0
    share = np.full(b.shape, math.pi * patch.radius * patch.length / 2.0)
    if load != "roll":
        share[0, 0] *= 2.0
    movement = float((w * p * share).sum())
    plate = patch.stiffness * patch.wall**3 / (12.0 * (1.0 - POISSON**2))
    k = a**2 + b**2
    stretch = patch.stiffness * patch.wall / patch.radius * a**2 / k**2 * w
    parts = (
        plate * (b**2 + POISSON * a**2) * w,  # bending round
        plate * (a**2 + POISSON * b**2) * w,  # bending along
        stretch * a**2,  # tension round
        stretch * b**2,  # tension along
    )
    worst = 0.0
    for x, s in _edges(patch):
        wave = np.sin(a * x) * (np.sin(b * s) if load == "roll" else np.cos(b * s))
        m_round, m_along, n_round, n_along = (float((part * wave).sum()) for part in parts)
        worst = max(
            worst,
            abs(n_round) / patch.wall + 6.0 * abs(m_round) / patch.wall**2,
            abs(n_along) / patch.wall + 6.0 * abs(m_along) / patch.wall**2,
        )
    return Local(movement=movement, stress=worst)


def _edges(patch: ShellPatch) -> tuple[tuple[float, float], ...]:
    """Middle, ends and side of the patch: where the wall is bent most."""
    x, dx, ds = patch.station, patch.along / 2.0, patch.around / 2.0
    return (x, 0.0), (x, ds), (x - dx, 0.0), (x + dx, 0.0), (x - dx, ds), (x + dx, ds)


def rolling_stiffness(patch: ShellPatch, load: Load = "roll") -> Band:
    """How stiffly the wall holds a leg against rolling (or pitching), as a band [N m/rad]."""
    best = 1.0 / local(patch, load).movement
    return Band(low=LOW * best, best=best, high=HIGH * best)


@dataclass(frozen=True, slots=True, kw_only=True)
class PatchLoad:
    """What a leg passes to the skin: push square to it [N], roll and pitch moments [N m]."""

    push: float
    roll: float = 0.0
    pitch: float = 0.0


def patch_stress(patch: ShellPatch, load: PatchLoad) -> float:
    """Wall stress of all three loads, their worst places taken together (on the safe side) [Pa]."""
    total = 0.0
    for kind, amount in (("push", load.push), ("roll", load.roll), ("pitch", load.pitch)):
        if amount:
            total += abs(amount) * local(patch, kind).stress  # type: ignore[arg-type]
    return total


def wall_check(piece: str, case: str, patch: ShellPatch, load: PatchLoad, steel: Steel) -> Check:
    """Wall stress beside a leg against 1.5 Fy / 1.67: bending of a plate reaches 1.5 times first yield."""
    return Check(
        name="shell wall at the leg",
        piece=piece,
        case=case,
        demand=patch_stress(patch, load),
        capacity=1.5 * steel.yield_stress / OMEGA,
        measure="stress",
        equation="N/t + 6 M/t² of the series; limit 1.5 Fy / 1.67",
        source=f"{SERIES}; 1.5 is the shape factor of a plate",
    )


def pad_needed(patch: ShellPatch, load: PatchLoad, steel: Steel, *, most: float = 0.4) -> tuple[float, float] | None:
    """Least square pad (side, thickness) that brings the wall within its limit; None where none up to `most` does.

    At the pad's edge the shell alone is bent by the pad as patch; inside, wall and pad together by the leg. [m]
    """
    limit = 1.5 * steel.yield_stress / OMEGA
    room = 2.0 * min(patch.station, patch.length - patch.station)
    side = max(patch.along, patch.around) + INCH
    while side <= min(most, room, patch.radius):
        spread = _sized(patch, side, side, patch.wall)
        if patch_stress(spread, load) <= limit:
            for sixteenths in range(3, 9):
                thickness = sixteenths * INCH / 16.0
                # wall and pad are welded at the rim only: they bend side by side
                both = (patch.wall**3 + thickness**3) ** (1.0 / 3.0)
                inside = _sized(patch, patch.along, patch.around, both)
                if patch_stress(inside, load) * max(patch.wall, thickness) / both <= limit:
                    return side, thickness
        side += INCH
    return None


def _sized(patch: ShellPatch, along: float, around: float, wall: float) -> ShellPatch:
    return ShellPatch(
        radius=patch.radius,
        wall=wall,
        length=patch.length,
        station=patch.station,
        along=along,
        around=around,
        stiffness=patch.stiffness,
    )


def wall_findings(check: Check, patch: ShellPatch, load: PatchLoad, steel: Steel, tape: Tape) -> tuple[Finding, ...]:
    """The pad that mends an overloaded wall."""
    if check.passes:
        return ()
    pad = pad_needed(patch, load, steel)
    remedy = (
        f"Pad {tape.length(pad[0])} x {tape.length(pad[0])} x {tape.length(pad[1])}, corners rounded, welded all round."
        if pad
        else "No pad of a usual size is enough: add a leg set, a saddle, or ask a licensed engineer."
    )
    return (
        Finding(
            code="stand.wall",
            severity="stop",
            text=f"The shell wall at {check.piece} is bent past its limit, {check.case}: {check.text(tape)}.",
            pieces=(check.piece,),
            remedy=remedy,
            source=f"{check.equation}; {check.source}",
        ),
    )
