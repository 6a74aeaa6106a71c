"""Figures and their reasons: overrides, limits, names nobody knows."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import JobError, PitwrightError
from pitwright.reasons import Figure, Ledger, Measure
from pitwright.tape import INCH, Tape, parse_figure

TAPE = Tape.for_system("inch")


def read(typed: object, measure: Measure, field: str) -> Figure:
    return parse_figure(typed, measure, system="inch", field=field)


def ledger(**overrides: Any) -> Ledger:
    return Ledger({name.replace("__", "."): value for name, value in overrides.items()}, read, TAPE.figure)


def test_a_choice_stands_with_its_reason() -> None:
    book = ledger()
    assert book.choose("stack.height", 0.9, because="the shop's height", rests_on=("vessel.diameter",)) == 0.9
    reason = book.close()["stack.height"]
    assert (reason.value, reason.kind, reason.rests_on) == (0.9, "proportion", ("vessel.diameter",))


def test_an_override_wins_and_says_what_it_replaced() -> None:
    book = ledger(stack__height="40")
    taken = book.choose("stack.height", 0.9, because="the shop's height", rests_on=("vessel.diameter",))
    reason = book.close()["stack.height"]
    assert taken == pytest.approx(40 * INCH)
    assert reason.kind == "override"
    assert "the shop's height" in reason.because
    assert reason.rests_on == ()
    assert book.overridden("stack.height")
    assert book.value("stack.height") == taken


def test_a_plain_number_is_read_in_the_units_of_the_job() -> None:
    assert ledger(doors__width=30).choose("doors.width", 1.0, because="") == pytest.approx(30 * INCH)
    assert ledger(doors__hinge_clock="20").choose("doors.hinge_clock", 0.2, "angle", because="") == pytest.approx(
        math.radians(20)
    )


@pytest.mark.parametrize("typed", ["wide", None, [3], "", True, "nan"])
def test_what_is_no_figure_names_the_override(typed: object) -> None:
    with pytest.raises(PitwrightError) as caught:
        ledger(doors__width=typed).choose("doors.width", 1.0, because="")
    assert caught.value.field == "override.doors.width"
    assert caught.value.allowed


def test_an_override_outside_its_limits_is_told_in_tape_form() -> None:
    with pytest.raises(JobError) as caught:
        ledger(doors__width="-5").choose("doors.width", 1.0, because="", limits=(8 * INCH, 72 * INCH))
    assert 'override.doors.width: -5 is out of range. Allowed: 8" to 72".' in caught.value.text()
    with pytest.raises(JobError, match='8" or more'):
        ledger(doors__width="2").choose("doors.width", 1.0, because="", limits=(8 * INCH, math.inf))
    assert ledger(doors__width="8").choose("doors.width", 1.0, because="", limits=(8 * INCH, 72 * INCH)) > 0.2


def test_the_shops_own_rule_is_not_held_to_the_limits_of_an_override() -> None:
    assert ledger().choose("doors.width", 0.1, because="", limits=(0.2, 1.0)) == 0.1


def test_an_override_that_no_pit_uses_is_told_with_the_nearest_names() -> None:
    book = ledger(stack__hight="40")
    book.choose("stack.height", 0.9, because="")
    book.choose("throat.dam", 0.05, because="", kind="solved")
    with pytest.raises(JobError) as caught:
        book.close()
    assert caught.value.field == "override.stack.hight"
    assert "stack.height" in caught.value.allowed
    assert caught.value.remedy


def test_a_solved_choice_is_among_the_nearest_names() -> None:
    book = ledger(firebox__dropp="17")
    book.choose("firebox.drop", 0.4, because="", kind="solved")
    with pytest.raises(JobError, match=r"firebox\.drop"):
        book.close()


def test_a_figure_that_follows_from_others_cannot_be_set() -> None:
    book = ledger(vessel__diameter="30")
    book.note("vessel.diameter", 0.76, because="around over pi", rests_on=("vessel.around",))
    with pytest.raises(JobError) as caught:
        book.close()
    assert "follows from others" in caught.value.text()
    assert "Set what it rests on" in caught.value.remedy


def test_the_last_note_of_a_name_stands() -> None:
    book = ledger()
    book.note("a", 1.0, because="first")
    book.note("a", 2.0, because="then", band=(1.9, 2.1))
    assert book.close()["a"].value == 2.0
    assert book.close()["a"].band == (1.9, 2.1)


@given(st.floats(allow_nan=False, allow_infinity=False, width=32).filter(lambda x: abs(x) < 1000.0))
def test_any_length_within_its_limits_is_taken(metres: float) -> None:
    low, high = -10.0, 10.0
    book = ledger(some__length=f"{metres:.6f} m")
    if low <= round(metres, 6) <= high:
        assert book.choose("some.length", 0.0, because="", limits=(low, high)) == pytest.approx(metres, abs=1e-6)
    else:
        with pytest.raises(JobError):
            book.choose("some.length", 0.0, because="", limits=(low, high))
