"""The vessel from its survey: size, heads, what does not agree, what was measured again."""

from __future__ import annotations

import math
from typing import Any

import fluids
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import JobError
from pitwright.layout.draft import Draft
from pitwright.layout.vessel import Body, measure_body, survey_findings, vessel_volume
from pitwright.tape import INCH, US_GALLON
from workbench import codes, draft_of, found


def body_of(changes: dict[str, Any] | None = None) -> tuple[Draft, Body]:
    draft = draft_of(changes)
    return draft, measure_body(draft)


def refused(changes: dict[str, Any]) -> JobError:
    with pytest.raises(JobError) as caught:
        body_of(changes)
    assert caught.value.field
    assert caught.value.allowed
    assert caught.value.remedy
    return caught.value


# ---------------------------------------------------------------- size


def test_the_tape_around_gives_the_diameter() -> None:
    draft, body = body_of()
    assert body.around == pytest.approx(94.5 * INCH)
    assert body.outer_radius == pytest.approx(94.5 * INCH / (2.0 * math.pi))
    assert draft.ledger.value("vessel.diameter") == pytest.approx(30.080 * INCH, abs=1e-3 * INCH)
    assert (body.wall, body.length) == (pytest.approx(0.25 * INCH), pytest.approx(84 * INCH))


def test_an_outside_diameter_alone_will_do() -> None:
    _, body = body_of({"vessel": {"around": None, "outside_diameter": "30"}})
    assert body.outer_radius == pytest.approx(15 * INCH)


def test_rounds_alone_will_do() -> None:
    rounds = [{"station": "10", "around": "94 1/2"}, {"station": "70", "around": "94 5/8"}]
    _, body = body_of({"vessel": {"around": None, "rounds": rounds}})
    assert body.around == pytest.approx(94.5625 * INCH)
    across = [{"station": "10", "across_seam": "30 1/4", "across_side": "29 3/4"}]
    _, body = body_of({"vessel": {"around": None, "rounds": across}})
    assert body.outer_radius == pytest.approx(15 * INCH)


def test_tape_and_diameter_that_agree_pass() -> None:
    _, body = body_of({"vessel": {"outside_diameter": "30.08"}})
    assert body.around == pytest.approx(94.5 * INCH)


def test_a_round_whose_diameters_do_not_fit_its_tape_is_asked_about() -> None:
    rounds = [{"station": "10", "around": "94 1/2", "across_seam": "30 3/8", "across_side": "30 1/4"}]
    problem = refused({"vessel": {"around": None, "rounds": rounds}})
    assert problem.field == "vessel.rounds no. 1"
    assert "Which one was measured?" in problem.text()
    assert "30.08 in" in problem.text()
    assert "30.31 in" in problem.text()


def test_nothing_measured_is_asked_for() -> None:
    assert "measure this" in refused({"vessel": {"around": None}}).text()


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"around": "9450"}, "vessel.around", '94-1/2" (30.08 in OD)'),
        ({"around": "9.45"}, "vessel.around", '94-1/2"'),
        ({"around": None, "outside_diameter": "300"}, "vessel.outside_diameter", '30"'),
        ({"around": None, "rounds": [{"station": "1", "across_seam": "3"}]}, "vessel.rounds", '30"'),
        ({"length": "12"}, "vessel.length", "dish"),
        ({"wall": ["1/4", "25"]}, "vessel.wall", '25"'),
        ({"seams": [{"kind": "girth", "station": "90"}]}, "vessel.seams no. 1.station", "off the shell"),
        ({"fittings": [{"name": "b", "station": "10", "around": "120", "size": "2"}]}, "vessel.fittings no. 1.around",
         "more than once round"),
        ({"head_a": {"depth": "30"}}, "vessel.head_a.depth", '7-5/8"'),
        ({"head_a": {"depth": "1/4"}}, "vessel.head_a.depth", "flat"),
        ({"head_b": {"type": "torispherical", "crown": "10"}}, "vessel.head_b.crown", "at least the radius"),
        ({"head_b": {"wall": "3"}}, "vessel.head_b.wall", "under"),
    ],
)  # fmt: skip
def test_sizes_no_shop_meets_are_asked_about(changes: dict[str, Any], field: str, words: str) -> None:
    problem = refused({"vessel": changes})
    assert problem.field == field
    assert words in problem.text()


def test_metric_surveys_are_answered_in_millimetres() -> None:
    metric = {
        "job": {"units": "metric"},
        "vessel": {"around": 2400, "wall": 30, "length": 2100},
        "order": {"grate_height": 940},
    }
    text = refused(metric).text()
    assert "30.0 mm wall" in text
    assert "4.8 mm to 9.5 mm" in text
    assert '"' not in text


# ---------------------------------------------------------------- what the survey says


def test_a_thin_wall_is_told() -> None:
    draft, _ = body_of({"vessel": {"wall": "10 mm"}})
    assert "vessel.thin" not in codes(draft.findings)
    draft, _ = body_of({"vessel": {"wall": "5/32"}})
    assert found(draft.findings, "vessel.thin").severity == "warn"


def test_an_uneven_wall_is_told_and_worked_with_its_thinnest() -> None:
    draft, body = body_of({"vessel": {"wall": ["1/4", "1/4", "13/64"]}})
    assert body.wall == pytest.approx(13.0 / 64.0 * INCH)
    assert '13/64" to 1/4"' in found(draft.findings, "vessel.wall_uneven").text


def test_a_taper_is_told() -> None:
    rounds = [{"station": "10", "around": "94 1/2"}, {"station": "70", "around": "95"}]
    draft, _ = body_of({"vessel": {"around": None, "rounds": rounds}})
    assert '1/2"' in found(draft.findings, "vessel.taper").text


def test_a_bow_is_told() -> None:
    assert "vessel.bow" in codes(body_of({"vessel": {"bow": "1/4"}})[0].findings)
    assert "vessel.bow" not in codes(body_of({"vessel": {"bow": "1/8"}})[0].findings)


@pytest.mark.parametrize(("seam", "side", "oval"), [("30 3/8", "29 3/4", 0.15625), ("29 3/4", "30 3/8", -0.15625)])
def test_out_of_round(seam: str, side: str, oval: float) -> None:
    # radius runs from R - oval to R + oval, so the two diameters differ by 4 oval; positive: largest through the seam
    rounds = [{"station": "10", "across_seam": seam, "across_side": side}]
    draft, body = body_of({"vessel": {"around": "94 7/16", "rounds": rounds}})
    assert body.oval == pytest.approx(oval * INCH)
    assert '5/8"' in found(draft.findings, "vessel.oval").text


def test_round_vessels_say_nothing_of_out_of_round() -> None:
    draft, body = body_of()
    assert body.oval == 0.0
    assert not draft.findings


def test_an_unsigned_record_stops_the_cut_marks() -> None:
    draft, body = body_of({"make_safe": {"held": "", "signed_on": "2026-01-01", "signed_by": "A", "method": "washed"}})
    survey_findings(draft, body)
    stop = found(draft.findings, "vessel.not_cleared")
    assert stop.severity == "stop"
    assert "contents not stated" in stop.text
    assert "no date" not in stop.text


def test_contents_named_in_the_survey_do_not_stand_for_the_record() -> None:
    draft, body = body_of({"vessel": {"held": "air"}, "make_safe": {"held": ""}})
    survey_findings(draft, body)
    assert "contents not stated" in found(draft.findings, "vessel.not_cleared").text


def test_a_signed_record_says_nothing_and_calls_nothing_safe() -> None:
    draft, body = body_of()
    survey_findings(draft, body)
    assert not draft.findings


@pytest.mark.parametrize(("coating", "severity"), [("galvanized", "stop"), ("lined", "stop"), ("painted", "note")])
def test_coatings(coating: str, severity: str) -> None:
    draft, body = body_of({"vessel": {"coating": coating}})
    survey_findings(draft, body)
    assert found(draft.findings, "vessel.coating").severity == severity


# ---------------------------------------------------------------- heads and volume


@pytest.mark.parametrize(
    ("head", "depth"),
    [
        ({"type": "ellipsoidal"}, 7.645),  # 2:1 inside: Ri / 2 + t
        ({"type": "ellipsoidal", "depth": "9"}, 9.0),
        ({"type": "ellipsoidal", "depth": "9", "flange": "1 1/2"}, 7.5),  # taped from the seam, flange and all
        ({"type": "hemispherical"}, 15.040),
        ({"type": "flat"}, 0.25),
        ({"type": "flat", "wall": "3/8"}, 0.375),
    ],
)
def test_head_depth_from_the_tangent_line(head: dict[str, Any], depth: float) -> None:
    _, body = body_of({"vessel": {"head_b": head}})
    made = body.heads["B"]
    assert made is not None
    assert made.depth == pytest.approx(depth * INCH, abs=1e-3 * INCH)


def test_an_open_end_has_no_head() -> None:
    _, body = body_of({"vessel": {"head_a": {"type": "none"}}})
    assert body.heads["A"] is None


def test_a_torispherical_head_is_as_deep_as_its_crown_and_knuckle_make_it() -> None:
    head = {"type": "torispherical", "crown": "30", "knuckle": "1.8"}
    draft, body = body_of({"vessel": {"head_b": head}})
    made = body.heads["B"]
    assert made is not None
    # fluids.geometry works with crown = f D and knuckle = k D of the same face
    diameter = body.outer_radius * 2.0
    depth = fluids.geometry.a_torispherical(D=diameter, f=30 * INCH / diameter, k=1.8 * INCH / diameter)
    assert made.depth == pytest.approx(depth, rel=1e-9)
    draft, _ = body_of({"vessel": {"head_b": {**head, "depth": "9"}}})
    assert found(draft.findings, "vessel.head_depth").text.startswith('head B: measured depth 9"')


@given(
    st.sampled_from(["ellipsoidal", "hemispherical", "torispherical", "flat", "none"]),
    st.sampled_from(["ellipsoidal", "hemispherical", "torispherical", "flat", "none"]),
    st.floats(60.0, 150.0),
    st.floats(40.0, 200.0),
)
def test_volume_against_a_library(kind_a: str, kind_b: str, around: float, length: float) -> None:
    _, body = body_of(
        {"vessel": {"around": around, "length": length, "head_a": {"type": kind_a}, "head_b": {"type": kind_b}}}
    )
    inner = body.inner_radius
    volume = math.pi * inner**2 * body.length
    for kind, end in ((kind_a, "A"), (kind_b, "B")):
        head = body.heads[end]  # type: ignore[index]
        if kind == "torispherical":
            assert head is not None
            d, t = 2.0 * inner, head.wall
            f, k = (head.crown - t) / d, (head.knuckle - t) / d
            depth = fluids.geometry.a_torispherical(D=d, f=f, k=k)
            volume += fluids.geometry.V_vertical_torispherical(D=d, f=f, k=k, h=depth)
        elif kind in ("ellipsoidal", "hemispherical"):
            assert head is not None
            # half an ellipsoid of the bore; plate of even thickness under a true outside ellipse holds a little less
            volume += 2.0 / 3.0 * math.pi * inner**2 * (head.depth - head.wall)
    formed = {"ellipsoidal"} & {kind_a, kind_b}
    assert vessel_volume(body) == pytest.approx(volume, rel=3e-3 if formed else 1e-6)


def test_a_stated_capacity_that_does_not_fit_is_told() -> None:
    draft, body = body_of({"vessel": {"capacity": "500 gal"}})
    survey_findings(draft, body)
    assert "vessel.capacity" in codes(draft.findings)
    gallons = vessel_volume(body) / US_GALLON
    draft, body = body_of({"vessel": {"capacity": f"{gallons:.0f} gal"}})
    survey_findings(draft, body)
    assert "vessel.capacity" not in codes(draft.findings)


def test_a_nominal_vessel_says_that_it_is_not_measured() -> None:
    draft, body = body_of({"vessel": {"around": None, "wall": None, "length": None, "nominal": "500 gal"}})
    assert "outside diameter, wall, length" in found(draft.findings, "vessel.nominal").text
    # the blanks are filled so that it holds what it is called (2:1 heads)
    assert vessel_volume(body) == pytest.approx(500 * US_GALLON, rel=0.01)


# ---------------------------------------------------------------- what I got


def test_the_tape_after_cleaning_wins() -> None:
    draft, body = body_of({"measured": {"around": "94 1/4", "wall": "15/64", "length": "83 7/8"}})
    assert body.around == pytest.approx(94.25 * INCH)
    assert body.wall == pytest.approx(15.0 / 64.0 * INCH)
    assert body.length == pytest.approx(83.875 * INCH)
    reasons = draft.ledger.close()
    assert {reasons[n].kind for n in ("vessel.around", "vessel.wall", "vessel.length")} == {"measured"}
    assert not draft.findings


def test_a_tape_after_cleaning_that_is_far_off_is_asked_about() -> None:
    draft, body = body_of({"measured": {"around": "95 1/2"}})
    assert body.around == pytest.approx(95.5 * INCH)
    assert "The pit is worked from the new reading" in found(draft.findings, "vessel.around_moved").text
    assert refused({"measured": {"around": "955"}}).field == "measured.around"
    assert refused({"measured": {"wall": "2"}}).field == "measured.wall"
    assert refused({"measured": {"length": "8"}}).field == "measured.length"


@given(st.floats(32.0, 440.0), st.floats(1.0 / 16.0, 0.6))
def test_inches_or_millimetres_are_the_same_body(around: float, wall: float) -> None:
    _, inch = body_of({"vessel": {"around": around, "wall": wall, "length": 2.0 * around}})
    _, metric = body_of(
        {
            "job": {"units": "metric"},
            "vessel": {"around": around * 25.4, "wall": wall * 25.4, "length": 2.0 * around * 25.4},
            "order": {"grate_height": 940},
        }
    )
    assert metric.outer_radius == pytest.approx(inch.outer_radius, rel=1e-12)
    assert metric.wall == pytest.approx(inch.wall, rel=1e-12)
