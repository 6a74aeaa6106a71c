"""Pieces at the saw, one at a time: the two settings large, which way round, and the figure that proves the cut."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.layout.model import Pit
from pitwright.saw import SawCut, SawEnd
from pitwright.shop.cuts import BarCut, bar_cuts
from pitwright.shop.order import Step
from pitwright.tape import Tape


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """One end at the saw. off: degrees off square, positive: the long point is on the marked face (for the sketch)."""

    name: str
    setting: str
    note: str
    off: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SawPiece:
    """Pieces of one step that are sawn alike.

    turn    what is done with the bar between the two cuts, large; chalk: which face is marked
    check   what is measured when it is cut, and what it must be
    height, length  of the marked side, for the sketch [m]
    """

    marks: tuple[str, ...]
    name: str
    count: int
    stock: str
    long_point: str
    short_point: str
    ends: tuple[End, End]
    turn: str
    chalk: str
    check: tuple[str, str]
    cut_already: bool
    to_length: bool
    height: float
    length: float


def saw_pieces(pit: Pit, step: Step) -> tuple[SawPiece, ...]:
    """Every kind of bar sawn for one step of the build order, those that are alike together; cut ones last."""
    marks = {part.mark for part in step.parts}
    found: dict[tuple[object, ...], list[BarCut]] = {}
    for cut in bar_cuts(pit):
        if cut.part.mark in marks:
            found.setdefault(_alike(pit.tape, cut), []).append(cut)
    return tuple(sorted((_piece(pit.tape, cuts) for cuts in found.values()), key=lambda p: p.cut_already))


def _alike(tape: Tape, cut: BarCut) -> tuple[object, ...]:
    ends = tuple(_setting(tape, e) + str(e.mitre < 0.0) for e in (cut.cut.start, cut.cut.finish))
    lengths = (tape.fine(cut.cut.long_point), tape.fine(cut.cut.short_point))
    leg = cut.part.name.startswith("leg, set")
    return (cut.part.stock, ends, lengths, cut.cut.shape, leg or cut.part.name, cut.cut_already)


def _piece(tape: Tape, cuts: list[BarCut]) -> SawPiece:
    one, saw = cuts[0], cuts[0].cut
    is_leg = one.part.name.startswith("leg, set")
    names = ("foot", "top") if is_leg else ("left end", "right end")
    kinds = list(dict.fromkeys(c.part.name.removeprefix("leg, ") for c in cuts))
    return SawPiece(
        marks=tuple(c.mark for c in cuts),
        name=("legs: " + "; ".join(kinds)) if is_leg else one.part.name,
        count=sum(c.quantity for c in cuts),
        stock=one.part.stock,
        long_point=tape.length(saw.long_point),
        short_point=tape.length(saw.short_point),
        ends=(_end(tape, names[0], saw, saw.start), _end(tape, names[1], saw, saw.finish)),
        turn=_turn(saw),
        chalk=_chalk(saw),
        check=_check(tape, saw),
        cut_already=one.cut_already,
        to_length=one.to_length,
        height=saw.face_size,
        length=saw.tip_to_tip,
    )


def _setting(tape: Tape, end: SawEnd) -> str:
    if not end.mitre and not end.tilt:
        return "square"
    text = tape.angle(abs(end.mitre))
    return text + (f" tilt {tape.angle(abs(end.tilt))}" if end.tilt else "")


def _end(tape: Tape, name: str, saw: SawCut, end: SawEnd) -> End:
    notes = []
    if end.mitre and saw.shape == "parallelogram":
        notes.append(f"long point on the {'chalked' if end.mitre > 0.0 else 'far'} face")
    if end.tilt:
        notes.append(f"blade tilted, longer on the {'far' if end.tilt > 0.0 else 'near'} side")
    if end.kind == "cope":
        notes.append(
            f"then cope to its template: round of {tape.length(2.0 * end.cope_radius)}, {tape.length(end.cope_depth)} deep"
        )
    return End(name=name, setting=_setting(tape, end), note="; ".join(notes), off=round(math.degrees(end.mitre), 3))


def _turn(saw: SawCut) -> str:
    match saw.shape:
        case "trapezoid":
            return "ROLL the bar half round between the cuts"
        case "parallelogram":
            return "Do NOT roll the bar between the cuts"
        case _:
            return ""


def _chalk(saw: SawCut) -> str:
    match saw.shape:
        case "trapezoid":
            return "Both long points on the chalked face"
        case "parallelogram":
            return "Long points on opposite faces; chalk one of them"
        case "one end mitred":
            return "Long point on the chalked face"
        case _:
            return ""


def _check(tape: Tape, saw: SawCut) -> tuple[str, str]:
    if tape.fine(saw.long_point) == tape.fine(saw.short_point):
        return ("alike on every side", tape.length(saw.long_point))
    return ("long point less short point", tape.fine(saw.long_point - saw.short_point))
