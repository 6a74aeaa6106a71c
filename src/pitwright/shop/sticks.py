"""Which pieces to cut from which stick, in which order, and what to buy.

A piece takes its length (long point to long point) and the kerf along the stick; the last cut on a stick costs nothing
where it falls on the end. Sticks and drops from the rack come first because they cost nothing. The plan is proven by
a bound that no plan can beat with the pieces long point to long point; where the bound is not reached the gap is
told. Mitres are shared afterwards, for longer drops, and beforehand where that saves a stick.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pitwright.errors import PitwrightError
from pitwright.findings import Finding, worst_first
from pitwright.shop._cut_order import lay_out
from pitwright.shop._stick_records import (
    SQUARE,
    CutPiece,
    PlannedStick,
    SawCut,
    SawSetup,
    StickEnd,
    StickLine,
    StickPiece,
    StickPlan,
    StickStock,
)
from pitwright.shop._stick_solving import FIT, Progress, StickAnswer, StickJob, StickOrders, solve_sticks, usable
from pitwright.tape import Tape

__all__ = [
    "SQUARE",
    "CutPiece",
    "PlannedStick",
    "SawCut",
    "SawSetup",
    "StickAlternatives",
    "StickEnd",
    "StickLine",
    "StickPiece",
    "StickPlan",
    "StickStock",
    "alternatives",
    "plan_sticks",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class StickAlternatives:
    """Plans for several ways of buying, cheapest first, and the ways that cannot make the pieces, with the reason."""

    plans: tuple[tuple[str, StickPlan], ...]
    refused: tuple[tuple[str, str], ...]


def plan_sticks(
    profile_name: str,
    pieces: Sequence[StickPiece],
    stocks: Sequence[StickStock],
    *,
    kerf: float,
    end_trim: float = 0.0,
    keep_drop: float = 0.3,
    time_limit: float = 10.0,
    saw_limit: float = math.radians(60.0),
    tape: Tape | None = None,
    progress: Progress | None = None,
) -> StickPlan:
    """The cheapest way to cut the pieces of one profile from the sticks that can be had.

    kerf        what the blade takes, square to itself [m]
    end_trim    taken off each end of a store stick [m]; drops from the rack are used as they lie
    keep_drop   least length of a drop worth keeping [m]
    time_limit  the search stops here with the best plan so far [s]
    saw_limit   steepest angle off square the saw can be set to [rad]
    tape        how lengths in messages read (inches when not given)
    progress    told now and then what is going on and how far it is (0 to 1)
    """
    tape = tape or Tape.for_system("inch")
    stocks = tuple(stock for stock in stocks if stock.on_hand != 0)
    _check(profile_name, pieces, stocks, kerf, end_trim, keep_drop, time_limit, tape)
    shortest = min(piece.length for piece in pieces)
    useful = tuple(stock for stock in stocks if usable(stock, end_trim) + FIT >= shortest)
    job = StickJob(pieces=tuple(pieces), stocks=useful, kerf=kerf, end_trim=end_trim)
    answer = solve_sticks(job, profile_name, time_limit, progress)
    sticks = _lay_out_all(job, answer.orders, keep_drop)
    return _plan(profile_name, job, sticks, answer, saw_limit, tape)


def alternatives(
    profile_name: str,
    pieces: Sequence[StickPiece],
    stock_sets: Mapping[str, Sequence[StickStock]],
    *,
    kerf: float,
    end_trim: float = 0.0,
    keep_drop: float = 0.3,
    time_limit: float = 10.0,
    tape: Tape | None = None,
    progress: Progress | None = None,
) -> StickAlternatives:
    """The plan for each set of sticks (20 ft only, 24 ft only, both), side by side. `time_limit` is for each [s]."""
    plans: list[tuple[str, StickPlan]] = []
    refused: list[tuple[str, str]] = []
    for place, (label, stocks) in enumerate(stock_sets.items()):
        if progress is not None:
            progress(f"Trying {label}", place / len(stock_sets))
        try:
            plan = plan_sticks(
                profile_name,
                pieces,
                stocks,
                kerf=kerf,
                end_trim=end_trim,
                keep_drop=keep_drop,
                time_limit=time_limit,
                tape=tape,
            )
        except PitwrightError as error:
            refused.append((label, str(error)))
        else:
            plans.append((label, plan))
    plans.sort(key=lambda named: (named[1].counted_by, named[1].counted, -named[1].used))
    return StickAlternatives(plans=tuple(plans), refused=tuple(refused))


def _check(
    profile: str,
    pieces: Sequence[StickPiece],
    stocks: Sequence[StickStock],
    kerf: float,
    end_trim: float,
    keep_drop: float,
    time_limit: float,
    tape: Tape,
) -> None:
    for name, value in (("kerf", kerf), ("end_trim", end_trim), ("keep_drop", keep_drop), ("time_limit", time_limit)):
        if not (math.isfinite(value) and value >= 0.0):
            raise PitwrightError(f"{value} is no size", field=name, value=value, allowed="0 or more")
    if not pieces:
        raise PitwrightError(f"nothing to cut from {profile}", field="pieces", remedy="Add a piece.")
    if not stocks:
        raise PitwrightError(f"no stick of {profile} to cut from", field="stocks", remedy="Add a stick length.")
    marks = Counter(piece.mark for piece in pieces)
    twice = next((mark for mark, count in marks.items() if count > 1), None)
    if twice is not None:
        raise PitwrightError(f"{twice} is listed twice", field="pieces", value=twice,
                             remedy="Give one mark one line, with how many.")  # fmt: skip
    bought = [stock for stock in stocks if stock.on_hand is None]
    if any(stock.price for stock in bought) and not all(stock.price for stock in bought):
        free = next(stock.label for stock in bought if not stock.price)
        raise PitwrightError(f"stick {free} has no price and others have", field="price", value=0.0,
                             remedy="Give every stick of the store a price, or none.")  # fmt: skip
    longest = max(stocks, key=lambda stock: usable(stock, end_trim))
    room = usable(longest, end_trim)
    for piece in pieces:
        if piece.length > room + FIT:
            trimmed = f" after {tape.length(end_trim)} is trimmed off each end" if room < longest.length else ""
            raise PitwrightError(
                f"{piece.mark} is {tape.length(piece.length)} long and the longest stick of {profile} "
                f"({longest.label}) gives {tape.length(room)}{trimmed}",
                field="pieces",
                value=piece.length,
                allowed=f"up to {tape.length(room)}",
                remedy="Buy a longer stick, or splice the piece.",
            )


def _lay_out_all(job: StickJob, orders: StickOrders, keep_drop: float) -> tuple[PlannedStick, ...]:
    return tuple(
        lay_out(
            order,
            stock,
            number=number,
            kerf=job.kerf,
            end_trim=job.end_trim if stock.on_hand is None else 0.0,
            keep_drop=keep_drop,
        )
        for number, (stock, order) in enumerate(orders, start=1)
    )


def _setups(sticks: Sequence[PlannedStick]) -> tuple[SawSetup, ...]:
    """One set-up for each saw setting, square first."""
    groups: dict[tuple[float, float], list[tuple[int, int]]] = {}
    for stick in sticks:
        for cut in stick.cuts:
            groups.setdefault((cut.angle, cut.tilt), []).append((stick.number, cut.number))
    return tuple(SawSetup(angle=a, tilt=t, cuts=tuple(cuts)) for (a, t), cuts in sorted(groups.items()))


def _lines(job: StickJob, sticks: Sequence[PlannedStick], *, rack: bool) -> tuple[StickLine, ...]:
    count = Counter((stick.label, stick.store, stick.length) for stick in sticks if stick.on_hand == rack)
    lines: list[StickLine] = []
    for stock in job.stocks:
        taken = count.pop((stock.label, stock.store, stock.length), 0) if (stock.on_hand is not None) == rack else 0
        if taken:
            lines.append(
                StickLine(
                    label=stock.label,
                    store=stock.store,
                    length=stock.length,
                    count=taken,
                    price=stock.price,
                    cost=taken * stock.price,
                )
            )
    return tuple(sorted(lines, key=lambda line: (line.store, -line.length)))


def _plan(
    profile: str,
    job: StickJob,
    sticks: tuple[PlannedStick, ...],
    answer: StickAnswer,
    saw_limit: float,
    tape: Tape,
) -> StickPlan:
    buy, rack = _lines(job, sticks, rack=False), _lines(job, sticks, rack=True)
    cost = sum(line.cost for line in (*buy, *rack))
    by_price = job.counted_by_price
    counted = cost if by_price else sum(line.count * line.length for line in buy)
    lower = counted if answer.cost <= answer.bound else min(counted, job.in_full(answer.bound))
    sharing = min(lower, job.in_full(answer.sharing_bound))
    proven = answer.cost <= answer.bound
    lengths = sum(piece.length * piece.quantity for piece in job.pieces)
    saved = sum(stick.saved for stick in sticks)
    shared = sum(stick.shared_mitres for stick in sticks)
    findings: list[Finding] = []

    def what(amount: float) -> str:
        return f"{amount:.2f}" if by_price else f"{tape.length(amount)} of stick"

    if not proven:
        findings.append(
            Finding(
                code="sticks.not_proven",
                severity="note",
                text=f"This plan for {profile} comes to {what(counted)}; no plan can come to less than {what(lower)}. "
                f"A plan {100.0 * (counted - lower) / counted:.1f} % better may exist.",
                remedy="Give the search more time, or cut as planned.",
            )
        )
    elif answer.sharing_bound < answer.cost:
        findings.append(
            Finding(
                code="sticks.sharing_open",
                severity="note",
                text=f"No plan for {profile} with the pieces long point to long point is cheaper than {what(counted)}. "
                f"One that shares many more mitres might be; it could not come to less than {what(sharing)}.",
            )
        )
    if shared:
        findings.append(
            Finding(
                code="sticks.shared_mitres",
                severity="note",
                text=f"{shared} {'mitre is' if shared == 1 else 'mitres are'} shared by two pieces each: "
                f"{shared} fewer {'cut' if shared == 1 else 'cuts'} and {tape.length(saved)} more drop in all.",
                source="common practice, no source",
            )
        )
    steep = {
        piece.mark: max(abs(piece.left.angle), abs(piece.right.angle))
        for piece in job.pieces
        if max(abs(piece.left.angle), abs(piece.right.angle)) > saw_limit + 1e-9
    }
    for mark, angle in steep.items():
        findings.append(
            Finding(
                code="sticks.saw_limit",
                severity="stop",
                text=f"{mark} cannot be cut on this saw: {tape.angle(angle)} off square, and it stops at "
                f"{tape.angle(saw_limit)}.",
                pieces=(mark,),
                remedy="Change the lean or where the piece lands, or cut that end by hand to a template.",
                source="common practice, no source",
            )
        )
    return StickPlan(
        profile=profile,
        sticks=sticks,
        buy=buy,
        from_rack=rack,
        setups=_setups(sticks),
        counted_by="price" if by_price else "length",
        counted=counted,
        lower_bound=lower,
        sharing_bound=sharing,
        proven=proven,
        gap=0.0 if proven or counted == 0.0 else (counted - lower) / counted,
        cost=cost,
        used=lengths / sum(stick.length for stick in sticks),
        saved=saved,
        kerf=job.kerf,
        end_trim=job.end_trim,
        findings=worst_first(findings),
    )
