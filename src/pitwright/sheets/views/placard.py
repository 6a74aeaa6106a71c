"""The placard: what the pit weighs, where that weight lies, and where it may be picked up; one page on the pit itself."""

from __future__ import annotations

from functools import partial

from pitwright.layout.model import Pit
from pitwright.sheets.blocks import BigFigure, BigFigures, Block, Notes
from pitwright.sheets.page import Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.views.common import SheetMaker, known, new_board
from pitwright.sheets.views.eye import from_working_side
from pitwright.sheets.views.lists import balance_check, balance_view
from pitwright.sheets.views.spread import ByWidth, spread
from pitwright.strength.from_upright import fork_half
from pitwright.strength.standing import stand
from pitwright.tape import range_text

CODE, TITLE = "PLACARD", "Weight and lifting placard"


def placard_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Big figures, a picture with the centre of gravity, and what not to do."""
    tape = pit.tape
    board = partial(
        new_board,
        pit,
        paper,
        CODE,
        TITLE,
        key=("weight empty", tape.mass(pit.balance["empty"].mass)),
        check=balance_check(pit),
    )
    view = ("Where the weight lies, from the working side", balance_view(pit, from_working_side(pit.vessel.hand)))
    return spread(board, (view,), (placard_figures(pit), _notes(pit)), share=0.44)


PLACARD = SheetMaker(code=CODE, title=TITLE, whose="everyone", make=placard_sheets)


def placard_figures(pit: Pit) -> Block:
    """Weight, centre of gravity, pick points; big."""
    tape, vessel, base = pit.tape, pit.vessel, pit.base
    empty, loaded = pit.balance["empty"], pit.balance["loaded"]
    reason = pit.reasons["weight.empty"]
    band = "by scale ticket" if reason.band is None else f"{range_text(*reason.band, tape.mass)} until it is weighed"
    figures = [
        BigFigure("weight, empty", tape.mass(empty.mass), band, known(pit, "weight.empty")),
        BigFigure("weight, loaded", tape.mass(loaded.mass), "meat on and wood in; not for lifting"),
        BigFigure(
            f"balances, from the {vessel.datum} seam",
            tape.length(vessel.station(empty.centre[0])),
            f"{tape.length(base.rail_x1 - empty.centre[0])} from the rails' stack end",
        )
        if pit.upright is None
        else BigFigure(
            "balances, off the middle",
            tape.length(abs(empty.centre[0])),
            f"to the {'firebox' if empty.centre[0] < 0.0 else 'side away from the firebox'}",
        ),
        BigFigure("balances, off the floor", tape.length(empty.centre[2]), _off_middle(pit)),
    ]
    if pit.upright is not None:
        return _on_end(pit, figures)
    if len(base.pockets) == 2:
        low, high = sorted(base.rail_x1 - x for x in base.pockets)
        figures += [
            BigFigure("forks, from the rails' stack end", f"{tape.length(low)} and {tape.length(high)}", "pocket centres; from the side only"),
            BigFigure("load centre on the forks", tape.length(base.rails_outside / 2.0 + abs(empty.centre[1])), "from the fork's face, pit up against it"),
        ]  # fmt: skip
    else:
        figures.append(BigFigure("forks", "none", "no pockets: jacks or rollers under the rails"))
    figures.append(_how_it_goes(pit))
    return ByWidth(
        BigFigures(tuple(figures), across=2, size=9.0), BigFigures(tuple(figures), across=2, size=6.6), least=130.0
    )


def _how_it_goes(pit: Pit) -> BigFigure:
    """What moves it along: tongue, handles, casters, or nothing of its own."""
    tape, report = pit.tape, stand(pit)
    if report.towing is not None:
        weights = [state.tongue for state in report.towing.states]
        shares = [100.0 * state.share for state in report.towing.states]
        return BigFigure(
            "on the tongue, least and most",
            range_text(min(weights), max(weights), tape.mass),
            f"{min(shares):.0f} to {max(shares):.0f} % of the whole; weighed before every road",
        )
    if report.hands is not None:
        people = "one person" if report.hands.people == 1 else f"{report.hands.people} people"
        return BigFigure(
            "at the handles, heaviest", tape.mass(max(report.hands.states.values())), f"{people}; doors shut, ash out"
        )
    if report.floor.casters is not None:
        return BigFigure(
            "each caster rated for",
            tape.force(report.floor.casters.wanted),
            "rolled empty and cold, on level floor only",
        )
    return BigFigure("tongue", "none", "no wheels: carried on a truck, tied by the rails")


def _on_end(pit: Pit, figures: list[BigFigure]) -> Block:
    """Forks and tip angles of a vessel on end: it is tall, and the open door moves its weight."""
    tape, report = pit.tape, stand(pit)
    tips = {t.state: t for t in report.floor.tips}
    shut, opened = tips["empty"], tips["doors open"]
    figures = [
        *figures,
        BigFigure("tips at, door shut", tape.angle(shut.side.angle), f"over {shut.side.feet[0]} and {shut.side.feet[1]}"),
        BigFigure("tips at, door open", tape.angle(opened.side.angle), f"push of {tape.force(opened.push)} {tape.length(opened.height)} up"),
        BigFigure("forks", f"{tape.length(2.0 * fork_half(pit))} apart", "from the front, both rails; strapped to the mast"),
        BigFigure("slings", "none", "never by the base: a rigger turns it up"),
    ]  # fmt: skip
    return ByWidth(
        BigFigures(tuple(figures), across=2, size=9.0), BigFigures(tuple(figures), across=2, size=6.6), least=130.0
    )


def _off_middle(pit: Pit) -> str:
    y = pit.balance["empty"].centre[1]
    if abs(y) < pit.tape.step / 2.0:
        return "over the middle of the base"
    return f"{pit.tape.length(abs(y))} to the {'working side' if y > 0.0 else 'back'} of the middle"


def _notes(pit: Pit) -> Notes:
    if pit.upright is not None:
        lines: tuple[str, ...] = (
            "Cold, ash and water out, grates out, door latched and tied. Two people walk with it, nobody beside its fall.",
            "Mast close, straps round shell and mast, base a hand's breadth off the floor, dead slow, no slope.",
            "On the road it lies down on timber, or stands strapped high to all four sides.",
            "Weight and balance are computed; the scale ticket goes over this line: ______________________",
        )
        return Notes(lines, title="Before it moves", size=2.4)
    eyes = ("Drag eyes are for dragging and tying down, never for lifting.",) if pit.base.eyes else ()
    lines = (
        "Cold, ash and water out, doors latched, slides pinned. Tag line on the fire end.",
        "Slings only with spreaders that keep them off shell, doors and stack, under the rails beside cross members, set out by "
        "someone trained to rig: none under 30 degrees off level (ASME B30.9 and 29 CFR 1910.184, read at second hand).",
        *eyes,
        "Lift a hand's breadth, look, then go on. Nobody under it, nobody between it and a wall.",
        "Weight and balance are computed; the scale ticket goes over this line: ______________________",
    )
    return Notes(lines, title="Before it moves", size=2.4)
