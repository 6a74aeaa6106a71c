"""The fire of one pit, whole: how it burns, what it finds, what chokes, how sure, and what to set for the first burn."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from pitwright.findings import Finding
from pitwright.fire.case import FireCase
from pitwright.fire.checks import findings
from pitwright.fire.chokes import Choke, chokes
from pitwright.fire.coefficients import Values
from pitwright.fire.result import Outcome, SteadyFire
from pitwright.fire.steady import steady
from pitwright.fire.uncertainty import Band, Uncertainty
from pitwright.fire.warmup import Course
from pitwright.tape import Tape, range_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """Something that can hurt, what to do, and where that comes from."""

    about: str
    text: str
    source: str


UNSURE: Final = "give or take 40 percent until one burn"

CAUTIONS: Final[tuple[Caution, ...]] = (
    Caution(
        about="carbon monoxide",
        text=(
            "Wood smoke carries carbon monoxide, which kills without smell. Burn outdoors only, never in a garage, tent "
            "or trailer, and keep people out of the smoke. At work 50 parts in a million over a shift is the legal limit."
        ),
        source="OSHA permissible exposure limit 50 ppm (8 h); NIOSH 35 ppm, ceiling 200 ppm",
    ),
    Caution(
        about="clearance",
        text=(
            "Keep anything that burns well clear of firebox and stack: 18 in from an unlisted single-wall pipe on solid "
            "fuel is a common rule. Local codes govern; ask the fire marshal."
        ),
        source="NFPA 211, unlisted single-wall connector, solid fuel, 18 in (from memory)",
    ),
    Caution(
        about="hot surfaces",
        text="Firebox, stack and much of the shell burn skin in seconds. Guard what people can reach; keep children away.",
        source="ASTM C1055 (design limit for 5 s contact drawn from it, 60 °C, from memory)",
    ),
    Caution(
        about="opening doors",
        text=(
            "Open damper and inlet before a firebox door, open it a hand's width, wait, and stand to the side: air let "
            "into hot smoke can flare."
        ),
        source="common practice, no source",
    ),
    Caution(
        about="food",
        text=(
            "Go by a thermometer in the meat: whole cuts 145 °F (63 °C) and 3 minutes' rest, ground meat 160 °F (71 °C), "
            "poultry and leftovers 165 °F (74 °C). The figures here are of the pit, not of the middle of the meat."
        ),
        source="USDA safe minimum internal temperatures (read in copies)",
    ),
    Caution(
        about="these figures",
        text=(
            "They rest on handbook laws and on a few things nobody knows before the first burn. Read them with their "
            "bands; five thermometers along the grate, read once, narrow them. Codes and licensed practice come first."
        ),
        source="docs/fire-model.md",
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One line of the first-burn card: what, how much, and how sure."""

    name: str
    value: str
    sure: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FireReport:
    """Everything about one fire that a sheet or a page shows."""

    case: FireCase
    outcome: Outcome
    chokes: tuple[Choke, ...]
    findings: tuple[Finding, ...]
    cautions: tuple[Caution, ...]


def report(case: FireCase, tape: Tape, values: Values | None = None) -> FireReport:
    """Solve a case and gather what it says; bands and the warm-up are asked for apart, they take seconds."""
    outcome = steady(case, values)
    return FireReport(
        case=case,
        outcome=outcome,
        chokes=chokes(case, outcome, values) if isinstance(outcome, SteadyFire) else (),
        findings=findings(case, outcome, tape, values),
        cautions=CAUTIONS,
    )


def first_burn(
    case: FireCase, fire: SteadyFire, tape: Tape, bands: Uncertainty | None = None, warm: Course | None = None
) -> tuple[Setting, ...]:
    """The card for the first burn: what to set, what to lay on, what to expect at five marks along the grate."""

    def sure(name: str, write: object) -> str:
        if bands is None or not bands.bands:
            return UNSURE
        band: Band = bands.band(name)
        assert callable(write)
        return range_text(band.low, band.high, write)

    inlet = sum(i.area for i in case.firebox.inlets) * case.settings.inlet_open
    rows = [
        Setting(name="air inlet", value=tape.small_area(inlet), sure="set"),
        Setting(name="damper", value=f"{100 * case.settings.damper_open:.0f} percent open", sure="set"),
        Setting(name="wood", value=tape.mass_rate(fire.wood), sure=sure("wood", tape.mass_rate)),
        Setting(
            name="splits",
            value=f"one of {tape.mass(case.fuel.split)} every {60.0 / fire.splits_per_hour:.0f} minutes",
            sure="as the wood",
        ),
        Setting(name="hottest to coldest on the grate" if case.rises_from is None else "lowest to highest grate", value=tape.temperature_difference(fire.spread),
                sure=sure("spread", tape.temperature_difference)),
        Setting(name="smoke at the stack", value=tape.temperature(fire.stack_in), sure=sure("stack_in", tape.temperature)),
        Setting(name="draft, all rises together", value=tape.pressure_draft(fire.draught),
                sure=sure("draught", tape.pressure_draft)),
    ]  # fmt: skip
    if warm is not None and np.isfinite(warm.ready):
        rows.append(
            Setting(
                name="ready after",
                value=f"{warm.ready / 60:.0f} minutes and {tape.mass(warm.ready_wood)} of wood",
                sure="longer with damp wood or wind",
            )
        )
    grate = fire.grates[0]
    for part in (0.0, 0.25, 0.5, 0.75, 1.0):
        at = float(grate.x[0] + part * (grate.x[-1] - grate.x[0]))
        gas, bare = float(np.interp(at, grate.x, grate.gas)), float(np.interp(at, grate.x, grate.reading))
        rows.append(
            Setting(
                name=f"grate, {tape.length(at)} from the fire end"
                if case.rises_from is None
                else f"grates, {tape.length(at + case.rises_from)} off the floor",
                value=f"gas {tape.temperature(gas)}, a bare thermometer {tape.temperature(bare)}",
                sure=(
                    range_text(
                        float(np.interp(at, bands.x, bands.grate_low)),
                        float(np.interp(at, bands.x, bands.grate_high)),
                        tape.temperature,
                    )
                    if bands is not None and bands.bands
                    else "read it and write it down"
                ),
            )
        )
    return tuple(rows)
