"""The cautions sheet: where this work hurts people, and whose rules stand over it.

Sources marked "from memory" were not in hand when this was written: read the document itself before relying on it.
"""

from __future__ import annotations

from functools import partial

from pitwright.layout.model import Pit
from pitwright.masses import mass_of
from pitwright.sheets.blocks import Block, Notes
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.views.common import SheetMaker, new_board
from pitwright.sheets.views.spread import spread
from pitwright.tape import FOOT, INCH, LB

WATER = 998.0  # kg/m3 at room temperature
CODE, TITLE = "CARE", "Cautions: read before any work"


def caution_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Hold tag, then each kind of harm with its source."""
    board = partial(
        new_board,
        pit,
        paper,
        CODE,
        TITLE,
        key=("make-safe record", "complete" if pit.cleared else "NOT COMPLETE"),
        check=("vessel held", _held(pit)),
    )
    return spread(board, (), (_hold_tag(pit), *(Notes(lines, title=title, size=2.5) for title, lines in _harms(pit))))


CAUTIONS = SheetMaker(code=CODE, title=TITLE, whose="everyone", make=caution_sheets)


def _held(pit: Pit) -> str:
    return pit.job.make_safe.held.strip() or pit.job.vessel.held.strip() or "not stated"


def _hold_tag(pit: Pit) -> Block:
    record = pit.job.make_safe
    wants = [
        ("what it held", _held(pit)),
        ("how it was emptied, cleaned and tested", record.method.strip() or "not stated"),
        ("signed by", record.signed_by.strip() or "not signed"),
        ("on", record.signed_on.isoformat() if record.signed_on else "not dated"),
    ]
    lines = tuple(f"{what}: {said}" for what, said in wants)
    state = "as recorded" if pit.cleared else "NOT COMPLETE: do not heat, cut or grind"
    return Notes(
        (*lines, "This is a record of what was said and signed. Pitwright never calls a vessel safe."),
        title=f"Hold tag, {state}",
        bold=not pit.cleared,
        size=2.5,
    )


def _harms(pit: Pit) -> list[tuple[str, tuple[str, ...]]]:
    tape, vessel = pit.tape, pit.job.vessel
    coat = {"galvanized": "This vessel is GALVANISED.", "lined": "This vessel is LINED.", "painted": "This vessel is painted.",
            "unknown": "The coating of this vessel is not stated: find out first."}.get(vessel.coating, "")  # fmt: skip
    out: list[tuple[str, tuple[str, ...]]] = [
        (
            "Used vessels",
            (
                "No heat, cutting or grinding on a used container until it is cleaned so thoroughly that no flammable or "
                "poisonous vapour can come of it; lines blanked, hollow spaces vented "
                "(29 CFR 1910.252(a)(3), from memory; the same words in Cal. 8 CCR 5166(b)).",
                "Cleaning is needed in every case and no container may be presumed clean (AWS F4.1). That standard leaves out "
                "containers people can enter and compressed gas containers; NFPA 326 leaves out compressed and liquefied gas "
                "cylinders: for those ask the gas supplier or a licensed firm.",
                "Test with a combustible gas meter at bottom, middle and top before opening, and again during the work; at or "
                "under 10 % of the lower flammable limit (practice of API RP 1631, read at second hand; CSB 2009-01-SB).",
                f"Filled with water this vessel weighs about {tape.mass(_full(pit), 2)}: block it for that, or fill it on the ground.",
            ),
        ),
        (
            "Inside the vessel",
            (
                "Gas, fume or too little air kills without warning. Treat it as a confined space: test the air, ventilate, a "
                "person outside, no one alone (29 CFR 1910.146, from memory).",
                f"Mechanical ventilation where welding under {tape.length(16.0 * FOOT, feet=True)} of ceiling or in a confined space "
                "(29 CFR 1910.252(c), read at second hand).",
            ),
        ),
        (
            "Hot work",
            (
                "Hot-work permit, a fire watch that stays after the last spark, and an extinguisher at hand (NFPA 51B, from memory).",
                "Eyes, ears, gloves, leathers. Plasma and torch slag rolls: keep hoses and feet out from under the cut.",
            ),
        ),
        (
            "Zinc, paint and linings",
            (
                *((coat,) if coat else ()),
                "Zinc fume causes metal fume fever: keep the head out of the fume and ventilate (AWS Fact Sheet 25; OSHA limit "
                "5 mg/m3 over 8 h).",
                f"Strip coatings back {tape.length(4.0 * INCH)} from the heat, or wear air-line respirators (29 CFR 1926.354(d), from memory). "
                "Burning linings can be poisonous; a galvanised or lined vessel is better left alone for food.",
            ),
        ),
        (
            "Lifting and standing",
            (
                f"The pit weighs {tape.mass(pit.balance['empty'].mass)} empty. Slings within their load for the angle, none under 30 degrees "
                "from level, inspected before the lift (29 CFR 1910.184 and ASME B30.9, read at second hand). Nobody under the load.",
                f"By hand: {tape.mass(51.0 * LB, 2)} is the most for one person even in the best posture (NIOSH 94-110, revised 2021); "
                "the weights sheet names the pieces over it.",
                "Legs are tied by their cross member before the vessel's weight comes on them. Block and chock until it is welded.",
            ),
        ),
        (
            "Fire and smoke",
            (
                "Burning wood gives carbon monoxide: no smell, no warning. Fire it in the open air only, never in the shop, a tent "
                "or under a low roof (limits: OSHA 50 ppm over 8 h, NIOSH 200 ppm at any time).",
                "Keep drain, stack and inlets open: never shut a hot pit up tight. Stand aside when opening a firebox door.",
                "First fire outdoors with the doors open: mill scale, oil and paint smoke off.",
            ),
        ),
        (
            "Hot steel",
            (
                "The firebox skin runs hot enough to burn at a touch for hours. Handles stand off and stay cool; rails or a rope "
                "keep children back. How hot is too hot depends on time and material: ASTM C1055 and ISO 13732-1 give the method, "
                "not one number.",
            ),
        ),
        (
            "Food",
            (
                f"Least inside temperatures: whole cuts {tape.temperature(335.93)} and 3 minutes rest, ground meat "
                f"{tape.temperature(344.26)}, poultry and leftovers {tape.temperature(347.04)} (USDA, read at second hand). Use a probe, not the "
                "oven thermometer.",
                "Season with food oil before the first cook. No galvanised steel, solder or unknown coating where food or smoke goes.",
            ),
        ),
        (
            "Whose rules",
            (
                "Local codes, fire and health authorities and licensed practice stand over this pack. It is not a permit, a "
                "certificate, or the word of an engineer. Common practice is named as such and has no source.",
                "Figures are exact for the sizes typed in. Steel, heat and welding pull move it: measure, write down what was got, "
                "and have the rest solved again.",
            ),
        ),
    ]
    return out


def _full(pit: Pit) -> float:
    """The vessel filled with water, before anything is cut out of it [kg]."""
    steel = sum(mass_of(p).mass * p.quantity for p in pit.parts if p.stock == "of the vessel")
    return steel + WATER * float(pit.reasons["vessel.volume"].value)
