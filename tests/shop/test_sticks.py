"""Stick plans: every piece once, nothing overfilled, the bound honest, the mitres where they say they are."""

from __future__ import annotations

import itertools
import math
from collections import Counter

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.errors import PitwrightError
from pitwright.shop.sticks import (
    PlannedStick,
    StickEnd,
    StickPiece,
    StickPlan,
    StickStock,
    alternatives,
    plan_sticks,
)
from pitwright.tape import INCH, Tape

KERF = INCH / 16
DEGREE = math.pi / 180.0


def mitre(degrees: float) -> StickEnd:
    return StickEnd(angle=degrees * DEGREE, kind="mitre") if degrees else StickEnd()


def leg(mark: str = "L1", quantity: int = 4, left: float = 11.3, right: float = 33.7, **other: object) -> StickPiece:
    return StickPiece(
        mark=mark,
        length=26.125 * INCH,
        quantity=quantity,
        left=mitre(left),
        right=mitre(right),
        height=3 * INCH,
        **other,  # type: ignore[arg-type]
    )


def outline(piece: StickPiece, turned: str, start: float, finish: float) -> shapely.Polygon:
    """The piece in the plane of its mitres, from its own figures alone: x along the stick, chalked face at y = 0."""
    left, right = piece.left.angle, piece.right.angle
    if "end for end" in turned:
        left, right = right, left
    if "rolled" in turned:
        left, right = -left, -right
    h = piece.height or 0.05
    x = [start, start, finish, finish]  # chalked left, opposite left, opposite right, chalked right
    x[1 if left > 0 else 0] += h * math.tan(abs(left))
    x[2 if right > 0 else 3] -= h * math.tan(abs(right))
    return shapely.Polygon([(x[0], 0.0), (x[1], h), (x[2], h), (x[3], 0.0)])


def check(plan: StickPlan, pieces: list[StickPiece], stocks: list[StickStock]) -> None:
    """Everything a plan promises, worked out afresh."""
    by_mark = {piece.mark: piece for piece in pieces}
    made = Counter(piece.mark for stick in plan.sticks for piece in stick.pieces)
    assert made == Counter({piece.mark: piece.quantity for piece in pieces})
    assert plan.sharing_bound <= plan.lower_bound <= plan.counted
    assert plan.proven == (plan.gap == 0.0)
    taken = Counter(stick.label for stick in plan.sticks)
    for stock in stocks:
        assert stock.on_hand is None or taken[stock.label] <= stock.on_hand
    assert plan.cost == pytest.approx(sum(line.cost for line in (*plan.buy, *plan.from_rack)))
    assert sum(line.count for line in (*plan.buy, *plan.from_rack)) == len(plan.sticks)
    setups = [cut for setup in plan.setups for cut in setup.cuts]
    assert sorted(setups) == [(stick.number, cut.number) for stick in plan.sticks for cut in stick.cuts]
    for stick in plan.sticks:
        check_stick(stick, by_mark, plan.kerf, 0.0 if stick.on_hand else plan.end_trim)


def check_stick(stick: PlannedStick, by_mark: dict[str, StickPiece], kerf: float, trim: float) -> None:
    shapes = [outline(by_mark[p.mark], p.turned, p.start, p.finish) for p in stick.pieces]
    for piece in stick.pieces:
        assert piece.finish - piece.start == pytest.approx(by_mark[piece.mark].length)
    assert min(shape.bounds[0] for shape in shapes) >= trim - 1e-9
    assert max(shape.bounds[2] for shape in shapes) <= stick.length - trim + 1e-9
    for first, second in itertools.combinations(shapes, 2):
        assert first.distance(second) >= kerf - 1e-9
    end = max(shape.bounds[2] for shape in shapes)
    assert stick.drop == 0.0 or stick.drop <= stick.length - end - kerf + 1e-9
    # every cut runs along the edge of a piece it makes, and its far side lies a kerf from the other piece it makes
    for cut in stick.cuts:
        marks = [mark for mark in (cut.finishes, cut.starts) if mark]
        height = by_mark[marks[0]].height or 0.05
        assert abs(cut.across - cut.at) == pytest.approx(height * math.tan(cut.angle), abs=1e-9)
        line = shapely.LineString([(cut.at, 0.0), (cut.across, height)])
        edges = [
            (piece, shape)
            for piece, shape in zip(stick.pieces, shapes)
            if piece.mark == marks[0]
            and all(shape.boundary.distance(shapely.Point(at)) < 1e-9 for at in ((cut.at, 0.0), (cut.across, height)))
        ]
        assert edges
        if cut.finishes and cut.starts:
            follower = stick.pieces[stick.pieces.index(edges[0][0]) + 1]
            assert follower.mark == cut.starts
            gap = line.distance(shapes[stick.pieces.index(follower)])
            assert gap == pytest.approx(kerf, abs=1e-9)
    # the roll story: the chalked face is where the rolls say, and a mitre wants the side its slope says
    up = True
    for cut in stick.cuts:
        up = up != cut.roll
        assert cut.chalk_up == up
        if cut.angle > 1e-9:
            assert cut.chalk_up == (cut.at > cut.across)


def test_mirrored_mitres_share_a_cut_and_the_gain_is_extra_drop() -> None:
    pieces = [leg(quantity=2)]
    stocks = [StickStock(label="10 ft", length=120 * INCH)]
    plan = plan_sticks("3 x 3", pieces, stocks, kerf=KERF)
    check(plan, pieces, stocks)
    (stick,) = plan.sticks
    assert stick.shared_mitres == 1
    assert stick.saved == pytest.approx(3 * INCH * math.tan(33.7 * DEGREE))  # the larger of the two gains
    assert len(stick.cuts) == 3
    plain = 120 * INCH - 2 * 26.125 * INCH - KERF / math.cos(33.7 * DEGREE) - KERF / math.cos(11.3 * DEGREE)
    assert stick.drop == pytest.approx(plain + stick.saved)
    assert any(finding.code == "sticks.shared_mitres" for finding in plan.findings)


def test_a_trapezoid_is_rolled_between_its_cuts_and_a_parallelogram_is_not() -> None:
    stocks = [StickStock(label="short", length=40 * INCH)]
    trapezoid, parallelogram = leg(quantity=1), leg(quantity=1, right=-33.7)
    assert (trapezoid.shape, parallelogram.shape) == ("trapezoid", "parallelogram")
    for piece, rolls in ((trapezoid, True), (parallelogram, False)):
        (stick,) = plan_sticks("3 x 3", [piece], stocks, kerf=KERF).sticks
        assert [cut.roll for cut in stick.cuts][1] is rolls
    # trade sums, exact geometry: cuts 11.3 and 33.7, section 3, outer 26.146 -> inner 23.546
    b2 = StickPiece(mark="L1", length=26.146 * INCH, left=mitre(11.3), right=mitre(33.7), height=3 * INCH)
    assert b2.short_length == pytest.approx(23.546 * INCH, abs=0.001 * INCH)


def test_the_saw_is_set_once_for_each_angle() -> None:
    pieces = [leg(), leg("L2", left=11.3, right=0.0), StickPiece(mark="X1", length=28 * INCH, quantity=4)]
    stocks = [StickStock(label="20 ft", length=240 * INCH)]
    plan = plan_sticks("3 x 3", pieces, stocks, kerf=KERF, end_trim=INCH / 4)
    check(plan, pieces, stocks)
    assert [round(setup.angle / DEGREE, 1) for setup in plan.setups] == [0.0, 11.3, 33.7]


def test_pieces_that_may_not_be_turned_are_not() -> None:
    pieces = [leg(turns="none"), leg("L2", left=-20.0, right=20.0, turns="end for end")]
    stocks = [StickStock(label="20 ft", length=240 * INCH)]
    plan = plan_sticks("angle 3 x 3", pieces, stocks, kerf=KERF)
    check(plan, pieces, stocks)
    turned = {(piece.mark, piece.turned) for stick in plan.sticks for piece in stick.pieces}
    assert {how for mark, how in turned if mark == "L1"} == {"as drawn"}
    assert {how for mark, how in turned if mark == "L2"} <= {"as drawn", "end for end"}


def test_a_cope_never_shares_its_cut() -> None:
    coped = StickPiece(
        mark="L1",
        length=0.7,
        quantity=4,
        left=mitre(11.3),
        right=StickEnd(angle=33.7 * DEGREE, kind="cope"),
        height=3 * INCH,
    )
    stocks = [StickStock(label="6 m", length=6.0)]
    plan = plan_sticks("3 x 3", [coped], stocks, kerf=KERF)
    check(plan, [coped], stocks)
    shared = [cut for stick in plan.sticks for cut in stick.cuts if cut.shared]
    assert shared
    assert all(cut.angle == pytest.approx(11.3 * DEGREE) for cut in shared)


def test_a_leg_that_leans_both_ways_is_set_by_mitre_and_tilt_and_shares_nothing() -> None:
    """Foot of a leg leaning 11.3 in and 6 along: mitre 11.35, blade tilt 5.77 (trade sums, exact geometry)."""
    foot = StickEnd(angle=11.35 * DEGREE, kind="mitre", tilt=5.77 * DEGREE)
    piece = StickPiece(mark="L1", length=0.6, quantity=3, left=foot, height=3 * INCH)
    plan = plan_sticks("3 x 3", [piece], [StickStock(label="2 m", length=2.0)], kerf=KERF)
    settings_ = {(round(s.angle / DEGREE, 2), round(s.tilt / DEGREE, 2)) for s in plan.setups}
    assert settings_ <= {(0.0, 0.0), (11.35, 5.77), (11.35, -5.77)}
    assert any(angle for angle, _ in settings_)
    assert all(not cut.shared for stick in plan.sticks for cut in stick.cuts)
    assert plan.saved == 0.0


def test_many_short_pieces_stay_quick() -> None:
    pieces = [StickPiece(mark="B1", length=2 * INCH, quantity=400)]
    plan = plan_sticks("flat", pieces, [StickStock(label="80 ft", length=960 * INCH)], kerf=INCH / 8)
    assert [len(stick.pieces) for stick in plan.sticks] == [400]
    assert plan.proven


def test_sharing_can_save_a_stick_and_is_used_for_it() -> None:
    """Two 26-1/8 legs fit 51 in only foot to foot: 52-1/4 less the shared 33.7 mitre (2 in) plus kerfs."""
    stocks = [StickStock(label="51 in", length=51 * INCH)]
    pieces = [leg(quantity=2)]
    plan = plan_sticks("3 x 3", pieces, stocks, kerf=KERF)
    check(plan, pieces, stocks)
    assert len(plan.sticks) == 1
    assert plan.proven


def test_what_more_sharing_might_save_is_told_apart() -> None:
    """Each piece alone fills its stick; on paper two legs with all four mitres shared would fit one of 49.8."""
    stocks = [StickStock(label="49 in", length=49.8 * INCH)]
    pieces = [leg(quantity=2)]
    plan = plan_sticks("3 x 3", pieces, stocks, kerf=KERF)
    check(plan, pieces, stocks)
    assert len(plan.sticks) == 2
    assert plan.proven
    assert plan.sharing_bound == pytest.approx(49.8 * INCH)
    assert [finding.code for finding in plan.findings] == ["sticks.sharing_open"]


def test_the_rack_comes_first_and_costs_nothing() -> None:
    pieces = [StickPiece(mark="X1", length=28 * INCH, quantity=4)]
    stocks = [
        StickStock(label="20 ft", length=240 * INCH, price=90.0, store="north yard"),
        StickStock(label="drop 5 ft", length=60 * INCH, on_hand=1, store="rack"),
        StickStock(label="drop 30", length=30 * INCH, on_hand=2, store="rack"),
    ]
    plan = plan_sticks("3 x 3", pieces, stocks, kerf=KERF, end_trim=INCH / 2)
    check(plan, pieces, stocks)
    assert plan.buy == ()
    assert plan.cost == 0.0
    assert sum(line.count for line in plan.from_rack) == 3
    more = plan_sticks("3 x 3", [StickPiece(mark="X1", length=28 * INCH, quantity=5)], stocks, kerf=KERF)
    assert [(line.label, line.store, line.count) for line in more.buy] == [("20 ft", "north yard", 1)]
    assert more.counted == 90.0


def test_last_cut_is_free_and_end_trim_is_taken() -> None:
    pieces = [StickPiece(mark="A1", length=1.0, quantity=3)]
    exact = [StickStock(label="exact", length=3.0 + 2 * 0.002)]
    plan = plan_sticks("bar", pieces, exact, kerf=0.002)
    assert len(plan.sticks) == 1
    assert plan.sticks[0].drop == 0.0
    assert len(plan.sticks[0].cuts) == 2
    assert len(plan_sticks("bar", pieces, exact, kerf=0.00201).sticks) == 2
    assert len(plan_sticks("bar", pieces, exact, kerf=0.002, end_trim=0.001).sticks) == 2


def test_cheapest_money_is_not_always_least_steel() -> None:
    pieces = [StickPiece(mark="A1", length=2.9, quantity=4)]
    stocks = [StickStock(label="6 m", length=6.0, price=100.0), StickStock(label="12 m", length=12.0, price=150.0)]
    plan = plan_sticks("bar", pieces, stocks, kerf=0.002)
    assert [(line.label, line.count) for line in plan.buy] == [("12 m", 1)]
    dear = [StickStock(label="6 m", length=6.0, price=100.0), StickStock(label="12 m", length=12.0, price=250.0)]
    assert [(line.label, line.count) for line in plan_sticks("bar", pieces, dear, kerf=0.002).buy] == [("6 m", 2)]


def test_what_is_left_is_gathered_in_one_drop() -> None:
    pieces = [StickPiece(mark="A1", length=1.0, quantity=7)]
    plan = plan_sticks("bar", pieces, [StickStock(label="6 m", length=6.0)], kerf=0.002, keep_drop=0.5)
    assert sorted(len(stick.pieces) for stick in plan.sticks) == [2, 5]
    assert plan.drops[0][1] == pytest.approx(6.0 - 2.0 - 2 * 0.002)


def test_alternatives_say_what_cannot_be_done() -> None:
    pieces = [StickPiece(mark="R1", length=250 * INCH, quantity=2)]
    sets = {
        "20 ft only": [StickStock(label="20 ft", length=240 * INCH)],
        "24 ft only": [StickStock(label="24 ft", length=288 * INCH)],
    }
    table = alternatives("3 x 3", pieces, sets, kerf=KERF)
    assert [label for label, _ in table.plans] == ["24 ft only"]
    ((label, why),) = table.refused
    assert label == "20 ft only"
    assert 'R1 is 250" long' in why
    assert 'gives 240"' in why


def test_unusable_inputs_are_told_with_the_way_out() -> None:
    stock = StickStock(label="20 ft", length=240 * INCH)
    piece = StickPiece(mark="R1", length=250 * INCH)
    with pytest.raises(PitwrightError, match=r"6350 mm long .* gives 6096 mm"):
        plan_sticks("3 x 3", [piece], [stock], kerf=KERF, tape=Tape.for_system("metric"))
    with pytest.raises(PitwrightError, match="trimmed off each end"):
        plan_sticks("3 x 3", [StickPiece(mark="R1", length=240 * INCH)], [stock], kerf=KERF, end_trim=INCH)
    with pytest.raises(PitwrightError, match="nothing to cut"):
        plan_sticks("3 x 3", [], [stock], kerf=KERF)
    with pytest.raises(PitwrightError, match="no stick"):
        plan_sticks("3 x 3", [leg()], [StickStock(label="none", length=1.0, on_hand=0)], kerf=KERF)
    with pytest.raises(PitwrightError, match="not enough"):
        plan_sticks("3 x 3", [leg()], [StickStock(label="drop", length=1.0, on_hand=2)], kerf=KERF)
    with pytest.raises(PitwrightError, match="listed twice"):
        plan_sticks("3 x 3", [leg(), leg()], [stock], kerf=KERF)
    with pytest.raises(PitwrightError, match="no price"):
        plan_sticks("3 x 3", [leg()], [stock, StickStock(label="24 ft", length=7.3, price=80.0)], kerf=KERF)
    with pytest.raises(PitwrightError, match="kerf"):
        plan_sticks("3 x 3", [leg()], [stock], kerf=-0.001)
    with pytest.raises(PitwrightError, match="cross inside"):
        StickPiece(mark="L1", length=0.05, left=mitre(45), right=mitre(45), height=0.075)
    with pytest.raises(PitwrightError, match="no height"):
        StickPiece(mark="L1", length=0.5, left=mitre(45))
    with pytest.raises(PitwrightError, match="degrees off square"):
        mitre(86)
    with pytest.raises(PitwrightError, match="square end"):
        StickEnd(angle=0.2)
    with pytest.raises(PitwrightError, match="wanted 0 times"):
        StickPiece(mark="L1", length=0.5, quantity=0)
    with pytest.raises(PitwrightError, match="no length"):
        StickPiece(mark="L1", length=math.nan)
    with pytest.raises(PitwrightError, match="no length"):
        StickStock(label="x", length=0.0)


def test_an_angle_the_saw_does_not_reach_is_a_stop() -> None:
    steep = StickPiece(mark="L9", length=1.0, right=mitre(65), height=0.075)
    plan = plan_sticks("3 x 3", [steep], [StickStock(label="6 m", length=6.0)], kerf=KERF)
    (finding,) = plan.findings
    assert (finding.severity, finding.pieces) == ("stop", ("L9",))
    assert "65.0°" in finding.text


def test_progress_is_told() -> None:
    told: list[tuple[str, float]] = []
    pieces = [StickPiece(mark=f"P{n}", length=0.3 + 0.0737 * n, quantity=3) for n in range(12)]
    plan_sticks(
        "bar",
        pieces,
        [StickStock(label="6 m", length=6.0)],
        kerf=0.002,
        progress=lambda text, part: told.append((text, part)),
    )
    assert told
    assert all(text and 0.0 <= part <= 1.0 for text, part in told)


def least_cost(needs: list[int], capacities: list[int], prices: list[int]) -> int:
    """Cheapest packing by looking at every one: pieces into groups, every group on its cheapest stick."""
    best = [10**9]

    def price(load: int) -> int:
        return min((p for c, p in zip(capacities, prices) if c >= load), default=10**9)

    def place(index: int, groups: list[int]) -> None:
        if index == len(needs):
            best[0] = min(best[0], sum(price(group) for group in groups))
            return
        for at in range(len(groups)):
            if groups[at] + needs[index] <= max(capacities):
                groups[at] += needs[index]
                place(index + 1, groups)
                groups[at] -= needs[index]
        place(index + 1, [*groups, needs[index]])

    place(0, [])
    return best[0]


@settings(max_examples=60)
@given(
    lengths=st.lists(st.integers(5, 60), min_size=1, max_size=7),
    stocks=st.lists(st.tuples(st.integers(60, 110), st.integers(5, 20)), min_size=1, max_size=3),
    kerf=st.integers(0, 3),
)
def test_small_plans_are_the_cheapest_there_are(lengths: list[int], stocks: list[tuple[int, int]], kerf: int) -> None:
    count = Counter(lengths)
    pieces = [StickPiece(mark=f"P{n}", length=n / 100.0, quantity=q) for n, q in count.items()]
    sticks = [
        StickStock(label=f"S{place}", length=length / 100.0, price=float(price))
        for place, (length, price) in enumerate(stocks)
    ]
    plan = plan_sticks("bar", pieces, sticks, kerf=kerf / 100.0, keep_drop=0.1)
    check(plan, pieces, sticks)
    truth = least_cost([n + kerf for n in lengths], [c + kerf for c, _ in stocks], [p for _, p in stocks])
    assert plan.cost == truth
    assert plan.proven


@settings(max_examples=40)
@given(
    made=st.lists(
        st.tuples(
            st.floats(0.3, 2.0),
            st.integers(1, 4),
            st.sampled_from((-33.7, -11.3, 0.0, 11.3, 33.7)),
            st.sampled_from((-33.7, -11.3, 0.0, 11.3, 33.7)),
            st.sampled_from(("any", "end for end", "none")),
        ),
        min_size=1,
        max_size=5,
    ),
    drops=st.lists(st.floats(0.4, 3.0), max_size=3),
    kerf=st.floats(0.0, 0.004),
    trim=st.floats(0.0, 0.01),
)
def test_every_piece_once_and_no_two_in_the_same_steel(
    made: list[tuple[float, int, float, float, str]], drops: list[float], kerf: float, trim: float
) -> None:
    pieces = [
        StickPiece(
            mark=f"P{place}",
            length=length,
            quantity=count,
            left=mitre(left),
            right=mitre(right),
            height=3 * INCH,
            turns=turns,  # type: ignore[arg-type]
        )
        for place, (length, count, left, right, turns) in enumerate(made)
    ]
    stocks = [
        StickStock(label="6 m", length=6.0, price=88.0),
        StickStock(label="7.3 m", length=7.3152, price=104.5),
        *(StickStock(label=f"drop {place}", length=length, on_hand=1) for place, length in enumerate(drops)),
    ]
    plan = plan_sticks("3 x 3", pieces, stocks, kerf=kerf, end_trim=trim, time_limit=1.0)
    check(plan, pieces, stocks)
