"""Burns beside a job: written, read back the same, and refused where they are not what they say."""

import datetime
import tomllib

import pytest

import workbench
from pitwright.errors import JobError
from pitwright.fire.coefficients import PUBLISHED, Coefficients
from pitwright.fire.learned import calibration_of, coefficients_of, known_from
from pitwright.job.burns import Burns, LearnedFigure, SavedBurn, burn_file, burn_text, burns_from
from pitwright.job.file import with_known_burns
from pitwright.job.probes import load_notes
from pitwright.tape import INCH, LB


def figure(value=1.2, low=0.9, high=1.6, told=0.8):
    return LearnedFigure(value=value, low=low, high=high, before=1.0, before_low=0.4, before_high=2.2, told=told)


def burn(signature="ab", **figures):
    return SavedBurn(
        learned_on=datetime.date(2031, 5, 4), source="5 thermometers read once", signature=signature, readings=5,
        rms_before=9.0, rms_after=2.5, fits=True, level=394.0, coefficients=figures or {"circulation": figure()},
    )  # fmt: skip


def test_what_is_written_is_read_back(tmp_path):
    burns = (burn("ab"), burn("cd", inside_film=figure(0.8, 0.6, 1.1), circulation=figure(1.3, 1.1, 1.5)))
    assert burns_from(tomllib.loads(burn_text(burns)), "x") == burns
    job = tmp_path / "hill.toml"
    assert burn_file(job).name == "hill.burn.toml"
    burn_file(job).write_text(burn_text(burns))
    known = with_known_burns(workbench.job(), job)
    assert known.burns == Burns(own=burns)
    assert workbench.job().burns == Burns()


def test_an_empty_file_of_burns_teaches_nothing():
    assert burns_from(tomllib.loads(burn_text(())), "x") == ()


@pytest.mark.parametrize("schema", [2, 99])
def test_a_newer_file_is_an_error(schema):
    with pytest.raises(JobError, match="newer Pitwright"):
        burns_from({"schema": schema, "burn": []}, "hill.burn.toml")


@pytest.mark.parametrize("schema", [None, "1", True, 0, 1.0])
def test_no_version_no_burns(schema):
    with pytest.raises(JobError, match="not a file of burns"):
        burns_from({"schema": schema}, "hill.burn.toml")


def test_a_misspelt_line_is_named():
    data = tomllib.loads(burn_text((burn(),)))
    data["burn"][0]["levle"] = 3.0
    with pytest.raises(JobError) as problem:
        burns_from(data, "hill.burn.toml")
    assert "levle" in str(problem.value)


def test_own_burns_stand_over_the_shop_s_and_both_over_the_published():
    job = workbench.job()
    assert coefficients_of(job) == Coefficients()
    assert "no burn yet" in known_from(job)
    shop = job.with_burns(Burns(shop=(burn(circulation=figure(0.7, 0.6, 0.8)),)))
    assert coefficients_of(shop)["circulation"].value == pytest.approx(0.7, rel=0.02)
    assert coefficients_of(shop)["inside_film"] == PUBLISHED["inside_film"]
    own = job.with_burns(Burns(own=(burn(),), shop=shop.burns.shop))
    one = coefficients_of(own)["circulation"]
    assert (one.value, one.low, one.high) == (1.2, 0.9, 1.6)
    assert coefficients_of(own, own=False) == coefficients_of(shop)
    assert known_from(own) == "1 burn of this pit and 1 other pit of the shop"
    assert calibration_of(burn()).learned[0].told == 0.8


def test_the_later_burn_counts_where_two_speak_of_the_same():
    job = workbench.job().with_burns(Burns(own=(burn("a"), burn("b", circulation=figure(1.5, 1.4, 1.6)))))
    assert coefficients_of(job)["circulation"].value == 1.5


def test_burns_stay_with_a_copied_job():
    """What was measured later makes a new job of the old one; its burns go with it."""
    job = workbench.job().with_burns(Burns(own=(burn(),)))
    assert job.model_copy(update={"pieces": {}}).burns == job.burns
    assert workbench.job() != job


NOTES = """
units = "inch"
outside = "58 F"
meat = "40"
[[probes]]
column = "A (F)"
station = "6"
[[probes]]
column = "S (F)"
place = "stack"
[[splits]]
minute = 20
wood = "3"
"""


def test_notes_to_a_log(tmp_path):
    path = tmp_path / "notes.toml"
    path.write_text(NOTES)
    notes = load_notes(path)
    assert notes.probes[0].station == pytest.approx(6.0 * INCH)
    assert notes.meat == pytest.approx(40.0 * LB)
    assert notes.splits[0].wood == pytest.approx(3.0 * LB)
    assert notes.outside == pytest.approx(287.594, abs=1e-3)
    assert notes.lit is None


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('station = "6"', 'statoin = "6"', "statoin"),
        ('place = "stack"', 'place = "roof"', "place"),
        ('units = "inch"', "schema = 7", "newer Pitwright"),
        ("minute = 20", "minute = -1", "minute"),
    ],
)
def test_notes_that_cannot_be_used_are_told(tmp_path, old, new, says):
    path = tmp_path / "notes.toml"
    path.write_text(NOTES.replace(old, new))
    with pytest.raises(JobError, match=says):
        load_notes(path)
