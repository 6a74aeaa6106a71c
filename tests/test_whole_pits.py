"""What holds for any whole pit, whatever the vessel, the order and the rules: mirrored, scaled, typed otherwise, measured."""

from __future__ import annotations

import copy
import dataclasses
import hashlib
import math
import os
import random
import subprocess
import sys
import typing
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import pits
from pitwright.errors import LayoutError, PitwrightError
from pitwright.job.file import job_from, read_toml
from pitwright.job.quantities import Quantity, Share, Strict
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.layout.standing import standing_parts
from pitwright.masses import combine, mass_of, placed_mass
from pitwright.parts import Bar, Bought, Head, Plate, Shell
from pitwright.record import record_bytes
from pitwright.shop.cuts import bar_cuts
from pitwright.solid.mesh import pit_solids, solid_of
from pitwright.tape import parse_figure

EXAMPLES = Path(__file__).parents[1] / "examples"
SOLVED = [seed for seed in range(60, 110) if pits.solved(seed) is not None]
SOME = SOLVED[:24]


def figures(pit: Pit) -> dict[str, float]:
    return {name: reason.value for name, reason in pit.reasons.items() if isinstance(reason.value, float)}


def words(pit: Pit) -> dict[str, str]:
    return {name: reason.value for name, reason in pit.reasons.items() if isinstance(reason.value, str)}


def assert_same_pit(one: Pit, other: Pit, *, but: tuple[str, ...] = ()) -> None:
    """Figures, pieces and marks alike to a nanometre."""
    first, second = figures(one), figures(other)
    assert first.keys() == second.keys()
    for name, value in first.items():
        if name not in but and math.isfinite(value):
            assert second[name] == pytest.approx(value, rel=1e-9, abs=1e-9), name
    assert words(one) == words(other)
    assert [(p.mark, p.name, p.stock, p.quantity) for p in one.parts] == [
        (p.mark, p.name, p.stock, p.quantity) for p in other.parts
    ]
    for a, b in zip(one.parts, other.parts, strict=True):
        assert mass_of(a).mass == pytest.approx(mass_of(b).mass, rel=1e-9), a.mark
    assert len(one.marks) == len(other.marks)
    for m, n in zip(one.marks, other.marks, strict=True):
        assert (m.on, m.what, m.needs) == (n.on, n.what, n.needs)
        assert (m.along, m.around) == pytest.approx((n.along, n.around), abs=1e-9), m.what


# ---------------------------------------------------------------- inches or millimetres


@pytest.mark.parametrize("seed", SOME)
def test_inches_or_millimetres_in_give_the_same_pit(seed):
    swapped = pits.facts(random.Random(seed), swapped=True)
    assert swapped != pits.facts(random.Random(seed))
    assert_same_pit(pits.solved(seed), solve(job_from(swapped)))


# ---------------------------------------------------------------- mirror


@pytest.mark.parametrize("seed", SOME)
def test_a_mirrored_order_gives_the_mirrored_pit(seed):
    """The vessel mirrored (arounds run the other way), turned as far the other way, the firebox on the other side."""
    first = pits.solved(seed)
    facts = pits.facts(random.Random(seed))
    system, around = facts["job"]["units"], first.vessel.around
    rules = facts["proportions"]["clock"]
    rules |= {"fire_end": first.vessel.fire_end, "top_from_seam": f"{first.vessel.top_from_seam!r} m"}
    other = copy.deepcopy(facts)
    other["order"]["firebox_side"] = "left" if facts["order"]["firebox_side"] == "right" else "right"
    other["proportions"]["clock"]["top_from_seam"] = f"{around - first.vessel.top_from_seam!r} m"
    for thing in other["vessel"]["seams"] + other["vessel"]["fittings"]:
        if "around" in thing:
            at = float(parse_figure(thing["around"], "length", system=system, field="around"))
            thing["around"] = f"{(around - at) % around!r} m"
    one, two = solve(job_from(facts)), solve(job_from(other))
    assert one.vessel.hand == -two.vessel.hand
    assert_same_pit(one, two, but=("clock.top_from_seam",))
    for a, b in zip(standing_parts(one), standing_parts(two), strict=True):
        for p, q in zip(a.placements, b.placements, strict=True):
            assert p.mirrored != q.mirrored
            for v, w in ((p.origin, q.origin), (p.x, q.x), (p.y, q.y), (p.z, q.z)):
                assert w == pytest.approx((-v[0], v[1], v[2]), abs=1e-9)
    weights = [combine([m for part in standing_parts(pit) for m in placed_mass(part)]) for pit in (one, two)]
    assert weights[0].centre[0] == pytest.approx(-weights[1].centre[0], abs=1e-9)
    assert weights[0].mass == pytest.approx(weights[1].mass, rel=1e-12)


# ---------------------------------------------------------------- scale

POWER = {"length": 1, "share": 1, "volume": 3, "mass": 3}
TIMES = 1.5
STOCK = {  # rule: (stock, the same one and a half times as large)
    ("legs", "profile"): ("50 x 50 x 4 mm tube", "75 x 75 x 6 mm tube"),
    ("stack", "profile"): ("168.3 x 4 mm pipe", "252.45 x 6 mm pipe"),
    ("base", "rail"): ("80 x 80 x 4 mm tube", "120 x 120 x 6 mm tube"),
    ("base", "cross"): ("80 x 80 x 4 mm tube", "120 x 120 x 6 mm tube"),
    ("base", "pocket"): ("150 x 80 x 4 mm tube", "225 x 120 x 6 mm tube"),
    ("grates", "frame"): ("25 x 25 x 3 mm angle", "37.5 x 37.5 x 4.5 mm angle"),
    ("grates", "support"): ("40 x 40 x 4 mm angle", "60 x 60 x 6 mm angle"),
    ("doors", "band"): ("40 x 6 mm flat", "60 x 9 mm flat"),
    ("firebox", "fire_grate"): ("20 mm round", "30 mm round"),
}
# Not among them: what follows a size that does not grow with the pit (a 2 in drain, an inch of steel left beside a
# door, weights to the next pound).
SCALES = (
    "vessel.diameter", "vessel.around", "vessel.length", "vessel.wall", "vessel.volume", "vessel.centre",
    "order.grate_height", "grates.below_centre", "grates.main grate.chord", "grates.main grate.height",
    "throat.wanted", "throat.net", "throat.dam", "throat.width", "firebox.width", "firebox.height", "firebox.drop",
    "firebox.centre", "firebox.length", "firebox.fire_grate", "firebox.inlet_area", "stack.x", "stack.height",
    "doors.width", "doors.hinge_clock", "doors.end_margin", "base.rails_outside", "base.rail_top", "base.cross_length",
    "overall.width", "legs.{}.contact", "legs.{}.around", "legs.{}.lean", "legs.{}.true_lean", "legs.{}.lean_along",
    "legs.{}.foot_cut", "legs.{}.top_cut", "legs.{}.length", "legs.{}.long_point", "legs.{}.short_point",
    "legs.{}.half_spread", "legs.{}.height", "legs.{}.gap", "saddles.contact", "saddles.chord", "saddles.sag",
    "saddles.arc", "saddles.width", "saddles.edge_height", "saddles.middle_height", "saddles.cut_radius",
)  # fmt: skip
SCALING_PIECES = (
    "stack-end head", "throat plate", "firebox body", "firebox end plate", "saddle plate", "cross member",
    "leg, set A", "leg, set B", "fork pocket",
)  # fmt: skip


def _measure(info: Any) -> str | None:
    def inside(found: Any) -> str | None:
        for note in getattr(found, "__metadata__", ()):
            if isinstance(note, Quantity):
                return note.measure
        return next((m for t in typing.get_args(found) if (m := inside(t))), None)

    return next((m.measure for m in info.metadata if isinstance(m, Quantity)), None) or inside(info.annotation)


def larger(value: Any, times: float, measure: str | None = None) -> Any:
    """A job with every stated length, volume and weight of it made larger."""
    if isinstance(value, Strict):
        fields = type(value).model_fields
        return value.model_copy(
            update={n: larger(getattr(value, n), times, _measure(i)) for n, i in fields.items() if n != "tape_step"}
        )
    if isinstance(value, tuple):
        return tuple(larger(v, times, measure) for v in value)
    if isinstance(value, Share):
        return value if value.of else Share(value.factor * times, value.of, value.text)
    return value * times ** POWER[measure] if isinstance(value, float) and measure in POWER else value


def with_stock(job: Any, which: int) -> Any:
    rules = job.proportions
    for (table, rule), names in STOCK.items():
        changed = getattr(rules, table).model_copy(update={rule: names[which]})
        rules = rules.model_copy(update={table: changed})
    return job.model_copy(update={"proportions": rules})


@pytest.mark.parametrize("seed", SOME)
def test_a_pit_made_larger_has_all_its_lengths_larger(seed):
    facts = pits.facts(random.Random(seed))
    facts["proportions"]["legs"] |= {"pads": "never", "end": "coped"}
    facts["proportions"]["clock"] |= {"top_from_seam": "10 in", "fire_end": "A"}
    facts["vessel"]["wall"] = ["0.2 in"]
    job = job_from(facts)
    try:
        small, large = solve(with_stock(job, 0)), solve(with_stock(larger(job, TIMES), 1))
    except LayoutError as problem:
        pytest.skip(f"these legs cannot be cut from other tube: {problem.message}")
    one, two = figures(small), figures(large)
    names = [n for pattern in SCALES for s in "ABCD" if (n := pattern.format(s)) in one]
    assert len(set(names)) >= 25
    power = {"length": 1, "area": 2, "small area": 2, "volume": 3, "angle": 0}
    for name in names:
        factor = TIMES ** power[small.reasons[name].measure]
        assert two[name] == pytest.approx(one[name] * factor, rel=1e-7, abs=1e-9), name
    pieces = {part.name: part for part in large.parts}
    weighed = [part for part in small.parts if part.name in SCALING_PIECES and part.name in pieces]
    assert len(weighed) >= 2
    for part in weighed:
        if part.shape.__class__ is Plate and part.shape.outline.holes and part.name == "firebox end plate":
            continue  # its door keeps an inch of steel round it, whatever its size
        assert mass_of(pieces[part.name]).mass == pytest.approx(mass_of(part).mass * TIMES**3, rel=2e-6), part.name


# ---------------------------------------------------------------- promises


def top_of(pit: Pit, name: str) -> float:
    """The highest point of the pieces of a grate, from their solids [m]."""
    found = [p for p in pit.parts if p.group == "grates" and p.name.startswith(f"{name} ") and "ledge" not in p.name]
    return max(solid.bounding_box()[5] for _, _, solid in pit_solids(found))


@settings(max_examples=40)
@given(pits.jobs())
def test_the_grate_lies_exactly_at_the_height_promised(job):
    pit = solve(job)
    assert pit.grates.levels[0].z == pytest.approx(job.order.grate_height, abs=1e-12)
    assert top_of(pit, "main grate") == pytest.approx(job.order.grate_height, abs=1e-9)
    for level, wanted in zip(pit.grates.levels[1:], job.order.levels, strict=True):
        assert top_of(pit, level.name) == pytest.approx(job.order.grate_height + wanted.above, abs=1e-9)


@settings(max_examples=40)
@given(pits.jobs(), st.floats(-0.012, 0.012), st.floats(-0.02, 0.02), st.sampled_from(["cut", "tacked", "welded"]))
def test_what_was_measured_is_kept_and_the_grate_height_with_it(job, spread, lean, state):
    before = solve(job)
    if not before.leg_sets:
        return
    leg = before.leg_sets[0].legs[0]
    measured = job.measured.model_copy(
        update={
            "around": before.vessel.around * (1.0 + spread / 10.0),
            "rail_top": before.base.rail_top + spread / 2.0,
            "legs": (
                job_from(
                    pits.facts(random.Random(0))
                    | {
                        "measured": {
                            "legs": [
                                {
                                    "set": "A",
                                    "side": "working",
                                    "spread": f"{leg.foot_y + spread!r} m",
                                    "lean": f"{math.degrees(leg.lean + lean)!r}",
                                }
                            ]
                        }
                    }
                ).measured.legs[0],
            ),
        }
    )
    again = job.model_copy(update={"measured": measured, "pieces": {"L1": state}})
    try:
        after = solve(again)
    except LayoutError:
        return  # a leg found so far off that nothing reaches the skin
    assert after.revision != before.revision
    assert after.vessel.around == pytest.approx(measured.around)
    assert after.base.rail_top == pytest.approx(measured.rail_top)
    assert top_of(after, "main grate") == pytest.approx(job.order.grate_height, abs=1e-9)
    found = after.leg_sets[0].legs[0]
    assert found.state == state
    assert abs(found.foot_y) == pytest.approx(leg.foot_y + spread, abs=1e-9)
    assert found.lean == pytest.approx(leg.lean + lean, abs=1e-9)
    one = next(p for p in after.parts if p.group == "legs")
    was = next(p for p in before.parts if p.group == "legs")
    assert one.state == state
    frozen, drawn = found.long_point - leg.long_point, found.short_point - leg.short_point
    remade = solve(job.model_copy(update={"measured": measured.model_copy(update={"legs": ()})}))
    if remade.leg_sets[0].legs[0].long_point == pytest.approx(leg.long_point, abs=1e-12):
        assert frozen == pytest.approx(0.0, abs=1e-9)
        assert drawn == pytest.approx(0.0, abs=1e-9)
    assert one.mark == was.mark
    assert [v for v in after.verdicts if v.mark == one.mark]


# ---------------------------------------------------------------- the books close


@pytest.mark.parametrize("seed", SOME)
def test_every_piece_is_on_one_list_and_the_lists_weigh_what_the_pit_weighs(seed):
    """Cut list = parts = drawing = solid, by weight."""
    from pitwright.sheets.plates import flat_parts

    pit = pits.solved(seed)
    sawn: dict[str, list[Any]] = {}
    for cut in bar_cuts(pit):
        sawn.setdefault(cut.part.mark, []).append(cut)
    flat = {part.mark: outline for part, outline in flat_parts(pit)}
    assert len({part.mark for part in pit.parts}) == len(pit.parts)
    total = 0.0
    for part in pit.parts:
        each = mass_of(part).mass
        if part.mark in sawn:
            assert part.mark not in flat
            assert isinstance(part.shape, Bar) or part.stock.endswith("flat")  # a band is sawn, then rolled
            assert sum(cut.quantity for cut in sawn[part.mark]) == part.quantity
            assert all(mass_of(cut.part).mass == each for cut in sawn[part.mark])
            total += sum(cut.quantity * mass_of(cut.part).mass for cut in sawn[part.mark])
        elif isinstance(part.shape, Plate):
            if part.mark in flat:
                drawn = flat[part.mark].area * part.shape.thickness * part.density
                assert drawn == pytest.approx(each, rel=1e-9), part.mark
            else:
                assert part.shape.mass_per_area is not None or part.material != "mild steel", part.name
            total += part.quantity * each
        else:
            assert isinstance(part.shape, Bought | Shell | Head), part.name
            total += part.quantity * each
        if not isinstance(part.shape, Bought) and not (
            isinstance(part.shape, Plate) and part.shape.mass_per_area is not None
        ):
            assert solid_of(part.shape).volume() * part.density == pytest.approx(each, rel=4e-3), part.name
    assert total == pytest.approx(pit.reasons["weight.pieces"].value, rel=1e-12)
    share = 1.0 + pit.job.proportions.shop.weld_and_paint
    assert pit.balance["empty"].mass == pytest.approx(total * share, rel=1e-12)
    assert sum(part.quantity for part in pit.parts) == sum(len(part.placements) for part in standing_parts(pit))


@pytest.mark.parametrize("seed", SOME)
def test_every_length_printed_reads_back_within_the_tape_step(seed):
    pit = pits.solved(seed)
    tape, system = pit.tape, pit.job.job.units
    lengths = [r for r in pit.reasons.values() if r.measure == "length" and math.isfinite(r.value)]
    assert len(lengths) > 30
    for reason in lengths:
        typed = float(parse_figure(tape.figure(reason.value, "length"), "length", system=system, field=reason.name))
        assert typed == pytest.approx(reason.value, abs=tape.step / 2.0 + 1e-12), reason.name
        again = float(parse_figure(tape.figure(typed, "length"), "length", system=system, field=reason.name))
        assert again == pytest.approx(typed, abs=1e-12), reason.name


# ---------------------------------------------------------------- same in, same out


@pytest.mark.parametrize("seed", SOME[:8])
def test_the_same_facts_give_the_same_record_twice(seed):
    facts = pits.facts(random.Random(seed))
    one, two = (record_bytes(solve(job_from(copy.deepcopy(facts)))) for _ in range(2))
    assert one == two


def test_the_record_does_not_depend_on_the_run():
    """Another process with another order of sets and dictionaries writes the same bytes."""
    line = (
        "import sys, hashlib, random; sys.path.insert(0, sys.argv[1]); import pits;"
        "from pitwright.record import record_bytes;"
        "print(hashlib.sha256(b''.join(record_bytes(p) for s in range(60, 66) if (p := pits.solved(s)))).hexdigest())"
    )
    here = hashlib.sha256(b"".join(record_bytes(p) for s in range(60, 66) if (p := pits.solved(s)))).hexdigest()
    there = subprocess.run(
        [sys.executable, "-c", line, str(Path(__file__).parent)],
        env={**os.environ, "PYTHONHASHSEED": "4711"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert there.stdout.strip() == here


# ---------------------------------------------------------------- bad files

JUNK = st.one_of(
    st.sampled_from(
        ["", " ", "0", "-3", "1/0", "37-1/2-1/2", "9" * 400, "1e400", "nan", "inf", "½", "NaN mm", "\u0000", "12 stone",
         "half the moon", "1 1 1", "0x10", "-1/4 in", "1e-320 mm", "3 ft 14 in 2 ft", "999999 in"]
    ),
    st.sampled_from([0, -1, 1, 10**30, -(10**30), 1.5e308, float("nan"), float("inf"), -0.0, 1e-310, 2.5]),
    st.sampled_from([True, False, [], {}, [[]], {"a": 1}, ["1", {"x": []}], [{}], [{"from": "moon"}]]),
)  # fmt: skip


def places(table: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place in the tables of a job file."""
    out = [path] if path else []
    items = table.items() if isinstance(table, dict) else enumerate(table) if isinstance(table, list) else ()
    for key, value in items:
        out += places(value, (*path, key))
    return out


@settings(max_examples=250)
@given(st.data())
def test_bad_files_raise_only_our_own_errors(data):
    whole = [p for p in sorted(EXAMPLES.glob("*.toml")) if p.stem != "shop"]
    if data.draw(st.booleans()):
        tables = read_toml(data.draw(st.sampled_from(whole)))
    else:
        tables = pits.facts(random.Random(data.draw(st.integers(0, 40))))
    for _ in range(data.draw(st.integers(1, 4))):
        spots = places(tables)
        *path, last = data.draw(st.sampled_from(spots))
        at = tables
        for key in path:
            at = at[key]
        change = data.draw(st.sampled_from(["drop", "junk", "junk", "rename", "huge"]))
        if change == "junk":
            at[last] = data.draw(JUNK)
        elif change == "huge" and isinstance(at[last], int | float) and not isinstance(at[last], bool):
            at[last] = at[last] * data.draw(st.sampled_from([1e3, 1e6, -1.0, 1e-6, 0.1, 3.0]))
        elif change == "rename" and isinstance(at, dict):
            at[f"{last}x"] = at.pop(last)
        else:
            del at[last]
        if not isinstance(tables, dict) or not tables:
            break
    refused: PitwrightError | None = None
    try:
        pit = solve(job_from(tables, folder=EXAMPLES))
    except PitwrightError as problem:
        refused = problem
    if refused is not None:
        assert refused.message
        return
    assert record_bytes(pit)
    assert all(math.isfinite(mass_of(part).mass) for part in pit.parts)


@settings(max_examples=120)
@given(st.integers(0, 30), st.data())
def test_any_size_of_a_job_made_absurd_is_solved_or_refused(seed, data):
    """One stated size at a time taken from a millimetre to a kilometre: never a crash, never an endless figure."""
    facts = pits.facts(random.Random(seed))
    tables = {"vessel": facts["vessel"], "order": facts["order"], "proportions": facts["proportions"]}
    spots = [
        p
        for p in places(tables)
        if isinstance(_value(tables, p), str | int) and not isinstance(_value(tables, p), bool)
    ]
    *path, last = data.draw(st.sampled_from(spots))
    _value(tables, tuple(path))[last] = data.draw(
        st.sampled_from(
            ["1 mm", "10 mm", "0.1 m", "0.4 m", "1 m", "2 m", "5 m", "20 m", "1000 m", "-0.3 m", 1, 3, 12, 90]
        )
    )
    try:
        pit = solve(job_from(facts))
    except PitwrightError:
        return
    for name, value in figures(pit).items():
        assert not math.isnan(value), name
    assert all(math.isfinite(c) for part in pit.parts for p in part.placements for c in p.origin)


def _value(tables: Any, path: tuple[Any, ...]) -> Any:
    for key in path:
        tables = tables[key]
    return tables


# ---------------------------------------------------------------- findings


@settings(max_examples=30)
@given(pits.jobs())
def test_every_finding_says_something_and_names_pieces_that_are_there(job):
    pit = solve(job)
    marks = {part.mark for part in pit.parts}
    for finding in pit.findings:
        assert finding.text.strip().endswith((".", "?", "!"))
        assert "nan" not in finding.text.split()
        for piece in finding.pieces:
            if piece[:1].isupper() and piece[1:].isdigit():
                assert piece in marks, (finding.code, piece)
    assert dataclasses.asdict(pit.balance["empty"])["mass"] > 0.0
