"""The cut list of a pit: every bar with its saw figures, and for each stock the sticks it comes out of.

Pipe for stack, firebox and fittings is bought cut to length, as shops do; everything else comes out of sticks, flat bar
that is rolled afterwards included. Pieces that are cut already are listed and planned no more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from pitwright.errors import PitwrightError
from pitwright.findings import Finding
from pitwright.layout.model import Pit
from pitwright.parts import Bar, Part, Shell
from pitwright.saw import SawCut, SawEnd, saw_cut
from pitwright.shop.sticks import StickEnd, StickPiece, StickPlan, StickStock, plan_sticks
from pitwright.stock import Profile, find_profile
from pitwright.tape import Tape

FROM_STICKS = ("legs", "base")
"""Groups whose pipe comes out of sticks; other pipe is bought cut to length (common practice, no source)."""
_SECONDS = 4.0  # the search for one stock stops here with the best plan so far


@dataclass(frozen=True, slots=True, kw_only=True)
class BarCut:
    """A kind of bar at the saw.

    mark      piece mark; a mirrored copy that is not the same piece turned round has `mirror` after it
    quantity  how many of this kind
    profile   what it is cut from
    """

    mark: str
    part: Part
    profile: Profile
    cut: SawCut
    quantity: int

    @property
    def to_length(self) -> bool:
        """Whether it is bought cut to length."""
        return self.profile.kind == "pipe" and self.part.group not in FROM_STICKS

    @property
    def cut_already(self) -> bool:
        """Whether the shop has cut it."""
        return self.part.state != "open"


@dataclass(frozen=True, slots=True, kw_only=True)
class StockPlan:
    """All pieces of one stock and their sticks; `plan` is None where they do not come out of any stick the shop buys.

    problem  why there is no plan, in the shop's words
    """

    stock: str
    profile: Profile
    cuts: tuple[BarCut, ...]
    plan: StickPlan | None
    problem: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPlan:
    """The whole cut list: by stock, bought to length, and cut already."""

    stocks: tuple[StockPlan, ...]
    to_length: tuple[BarCut, ...]
    already: tuple[BarCut, ...]

    @property
    def cost(self) -> float:
        """Money for all sticks bought, where they have prices."""
        return sum(s.plan.cost for s in self.stocks if s.plan is not None and s.plan.counted_by == "price")

    @property
    def proven(self) -> bool:
        """Whether every plan is proven best."""
        return all(s.plan is not None and s.plan.proven for s in self.stocks)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What the plans have to say."""
        out: list[Finding] = []
        for stock in self.stocks:
            if stock.plan is not None:
                out.extend(stock.plan.findings)
            else:
                out.append(
                    Finding(
                        code="sticks.no_stick",
                        severity="stop",
                        text=stock.problem,
                        pieces=tuple(c.mark for c in stock.cuts),
                        remedy="Add a longer stick to the shop's list, or splice the piece.",
                    )
                )
        return tuple(out)


def bar_cuts(pit: Pit) -> tuple[BarCut, ...]:
    """Every bar of the pit at the saw, in the order of its pieces."""
    out: list[BarCut] = []
    for part in pit.parts:
        bar = _bar_of(part)
        if bar is None:
            continue
        cut, profile = saw_cut(bar), bar.profile
        drawn, mirrored = part.handed
        if mirrored and drawn and _tilted(cut):
            out.append(BarCut(mark=part.mark, part=part, profile=profile, cut=cut, quantity=drawn))
            other = _mirrored(cut)
            out.append(
                BarCut(mark=f"{part.mark} mirror", part=part, profile=profile, cut=other, quantity=mirrored)
            )  # fmt: skip
        else:
            shown = _mirrored(cut) if mirrored and _tilted(cut) else cut
            out.append(BarCut(mark=part.mark, part=part, profile=profile, cut=shown, quantity=part.quantity))
    return tuple(out)


def _bar_of(part: Part) -> Bar | None:
    """The bar a piece is sawn as: itself, or the flat bar a band is rolled from, its length along the middle."""
    shape = part.shape
    if isinstance(shape, Bar):
        return shape
    if isinstance(shape, Shell) and part.stock.endswith("flat"):
        middle = shape.outer_radius - shape.wall / 2.0
        profile = find_profile(part.stock, field=part.mark)
        return Bar.square(profile, middle * (shape.clock1 - shape.clock0))
    return None


def _tilted(cut: SawCut) -> bool:
    return bool(cut.start.tilt or cut.finish.tilt)


def _mirrored(cut: SawCut) -> SawCut:
    """The same piece turned over left for right: its blade tilts the other way."""

    def end(e: SawEnd) -> SawEnd:
        return SawEnd(
            kind=e.kind, mitre=e.mitre, tilt=-e.tilt, cope_radius=e.cope_radius, cope_depth=e.cope_depth
        )  # fmt: skip

    return SawCut(
        long_point=cut.long_point,
        short_point=cut.short_point,
        tip_to_tip=cut.tip_to_tip,
        start=end(cut.start),
        finish=end(cut.finish),
        face=cut.face,
        face_size=cut.face_size,
        shape=cut.shape,
        roll=cut.roll,
        turns=cut.turns,
    )


def stick_piece(cut: BarCut) -> StickPiece:
    """The piece as it lies in a stick."""
    saw = cut.cut
    return StickPiece(
        mark=cut.mark,
        length=saw.tip_to_tip,
        quantity=cut.quantity,
        left=_stick_end(saw.start),
        right=_stick_end(saw.finish),
        height=saw.face_size if saw.start.mitre or saw.finish.mitre else 0.0,
        turns=saw.turns,
    )


def _stick_end(end: SawEnd) -> StickEnd:
    return StickEnd(angle=end.mitre, kind=end.kind, tilt=end.tilt)


def cut_plan(pit: Pit) -> CutPlan:
    """The sticks of every stock. The same pieces and the same shop give the same plan, found once."""
    cuts = bar_cuts(pit)
    open_cuts = [c for c in cuts if not c.cut_already]
    by_stock: dict[str, list[BarCut]] = {}
    for cut in open_cuts:
        if not cut.to_length:
            by_stock.setdefault(cut.profile.designation, []).append(cut)
    return CutPlan(
        stocks=tuple(_stock_plan(pit, stock, tuple(found)) for stock, found in by_stock.items()),
        to_length=tuple(c for c in open_cuts if c.to_length),
        already=tuple(c for c in cuts if c.cut_already),
    )


def _stock_plan(pit: Pit, stock: str, cuts: tuple[BarCut, ...]) -> StockPlan:
    shop, profile = pit.job.proportions.shop, cuts[0].profile
    pieces = tuple(stick_piece(c) for c in cuts)
    limit = pit.job.proportions.legs.saw_limit
    try:
        plan = _planned(
            stock, pieces, _sticks(pit, profile), shop.kerf, shop.end_trim, shop.keep_drop, limit, pit.tape
        )  # fmt: skip
    except PitwrightError as problem:
        return StockPlan(stock=stock, profile=profile, cuts=cuts, plan=None, problem=problem.message)
    return StockPlan(stock=stock, profile=profile, cuts=cuts, plan=plan, problem="")


def _sticks(pit: Pit, profile: Profile) -> tuple[StickStock, ...]:
    """What the shop has on its rack, then what it can buy; prices by weight where none is stated."""
    shop, tape = pit.job.proportions.shop, pit.tape
    out = [
        StickStock(label=f"drop {tape.length(d.length)}", length=d.length, on_hand=d.count, store="rack")
        for d in shop.drops
        if find_profile(d.stock, field="proportions.shop.drops").designation == profile.designation
    ]
    by_weight = profile.mass_per_length * shop.steel_price
    prices = [
        s.price_per_length if s.price_per_length is not None else by_weight * s.length for s in shop.sticks
    ]  # fmt: skip
    priced = all(p > 0.0 for p in prices)
    for stick, price in zip(shop.sticks, prices, strict=True):
        label = tape.length(stick.length, feet=True)
        out.append(StickStock(label=label, length=stick.length, price=price if priced else 0.0, store=stick.store))
    return tuple(out)


@dataclass(frozen=True, slots=True, kw_only=True)
class StickChoice:
    """All bars from one length of stick (or from any): sticks bought, cost, and stocks it is too short for."""

    label: str
    sticks: int
    cost: float
    too_short: tuple[str, ...]


def stick_choices(pit: Pit, plan: CutPlan) -> tuple[StickChoice, ...]:
    """Buying one stick length only against buying whichever is best, for all stocks together; one where there is one."""
    shop, out = pit.job.proportions.shop, []
    lengths = {pit.tape.length(s.length, feet=True): s.length for s in shop.sticks}
    wanted = [("any", tuple(lengths.values()))]
    wanted += [(f"{label} only", (length,)) for label, length in lengths.items()] if len(lengths) > 1 else []
    for label, kept in wanted:
        sticks, cost, short = 0, 0.0, []
        for stock in plan.stocks:
            bought = tuple(s for s in _sticks(pit, stock.profile) if s.on_hand or s.length in kept)
            pieces = tuple(stick_piece(c) for c in stock.cuts)
            limit = pit.job.proportions.legs.saw_limit
            try:
                found = _planned(stock.stock, pieces, bought, shop.kerf, shop.end_trim, shop.keep_drop, limit, pit.tape)
            except PitwrightError:
                short.append(stock.stock)
                continue
            sticks += sum(entry.count for entry in found.buy)
            cost += found.cost
        out.append(StickChoice(label=label, sticks=sticks, cost=cost, too_short=tuple(short)))
    return tuple(out)


@lru_cache(maxsize=256)
def _planned(
    stock: str,
    pieces: tuple[StickPiece, ...],
    sticks: Sequence[StickStock],
    kerf: float,
    end_trim: float,
    keep_drop: float,
    saw_limit: float,
    tape: Tape,
) -> StickPlan:
    return plan_sticks(
        stock,
        pieces,
        sticks,
        kerf=kerf,
        end_trim=end_trim,
        keep_drop=keep_drop,
        time_limit=_SECONDS,
        saw_limit=saw_limit,
        tape=tape,
    )
