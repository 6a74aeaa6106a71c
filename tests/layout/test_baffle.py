"""Tuning plates and the baffle of a reverse-flow pit."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.errors import PitwrightError
from pitwright.parts import Bar, Part, Plate
from pitwright.tape import FOOT, INCH
from workbench import Upper, codes, found, upper

REVERSE = {"order": {"flow": "reverse"}}
TUNING = {"proportions": {"baffle": {"kind": "tuning plates"}}}


def pieces(pit: Upper) -> dict[str, Part]:
    return {p.name: p for p in pit.draft.parts if p.name in ("baffle", "tuning plate", "plate ledge")}


def inside(pit: Upper) -> None:
    """All corners of plates and ledges lie in the round and between the seams."""
    for part in pieces(pit).values():
        for at in part.placements:
            if isinstance(part.shape, Plate):
                own = [(x, y, z) for x, y in part.shape.outline.points for z in (0.0, part.shape.thickness)]
            else:
                assert isinstance(part.shape, Bar)
                w, h = part.shape.profile.width / 2.0, part.shape.profile.height / 2.0
                own = [(x, y, z) for x in (0.0, part.shape.x1) for y in (-w, w) for z in (-h, h)]
            for x, y, z in map(at.point, own):
                assert math.hypot(y, z - pit.vessel.centre_z) < pit.vessel.inner_radius
                assert -0.05 * INCH < x < pit.vessel.length + 0.05 * INCH


def test_no_plates_unless_asked() -> None:
    assert upper().grates.plates == ()
    assert upper().grates.return_area == 0.0
    assert not pieces(upper())


def test_tuning_plates_share_the_length_and_fall_away_from_the_fire() -> None:
    pit = upper(TUNING)
    plates = pit.grates.plates
    assert [p.name for p in plates] == [f"tuning plate {i}" for i in (1, 2, 3, 4)]
    assert plates[0].x0 == pytest.approx(0.25 * INCH)
    assert plates[-1].x1 == pytest.approx(pit.vessel.length - 0.25 * INCH)
    for a, b in pairwise(plates):
        assert b.x0 - a.x1 == pytest.approx(0.75 * INCH)
    assert plates[0].z0 == pytest.approx(pit.grates.levels[0].z - 4 * INCH)
    # an eighth of an inch in a foot, common practice, no source
    assert (plates[0].z0 - plates[-1].z1) / (plates[-1].x1 - plates[0].x0) == pytest.approx(0.125 * INCH / FOOT)
    assert pit.grates.return_area == 0.0
    inside(pit)


def test_plates_lie_on_their_ledges() -> None:
    pit = upper(TUNING)
    plate, ledge = pieces(pit)["tuning plate"], pieces(pit)["plate ledge"]
    assert isinstance(ledge.shape, Bar)
    half = ledge.shape.profile.height / 2.0
    for at in ledge.placements:
        for x in (0.0, ledge.shape.x1):
            p = at.point((x, 0.0, 0.0))
            plane = plate.placements[0]
            # distance of the ledge's upper face from the plates' underside
            over = sum((a - o) * n for a, o, n in zip(p, plane.origin, plane.z, strict=True))
            assert over + half == pytest.approx(0.0, abs=1e-9)
        assert plate.shape.outline.bounds()[3] / 2.0 > abs(at.origin[1]) - ledge.shape.profile.width / 2.0 + 0.25 * INCH


@pytest.mark.parametrize("share", [0.08, 0.16, 0.25])
def test_a_reverse_flow_baffle_leaves_its_return_passage(share: float) -> None:
    pit = upper({**REVERSE, "proportions": {"baffle": {"return_share": share}}})
    (baffle,) = pit.grates.plates
    assert baffle.name == "baffle"
    gap = pit.vessel.length - baffle.x1
    z = baffle.z0 - pit.vessel.centre_z
    chord = 2.0 * math.sqrt(pit.vessel.inner_radius**2 - z**2)
    assert pit.grates.return_area == pytest.approx(gap * chord)
    assert pit.grates.return_area == pytest.approx(share * math.pi * pit.vessel.inner_radius**2)
    assert pit.stack.x < pit.vessel.length / 2.0  # the stack stands over the fire end
    inside(pit)


def test_a_short_vessel_with_a_large_passage_is_told() -> None:
    pit = upper({**REVERSE, "vessel": {"length": "34"}, "proportions": {"baffle": {"return_share": 0.5}}})
    assert found(pit.draft.findings, "baffle.short").severity == "warn"


def test_the_plate_gives_way_to_the_throat() -> None:
    small = {"vessel": {"around": "75 3/8", "length": "60"}, "order": {"flow": "reverse", "grate_height": "36"}}
    pit = upper(small)
    (plate,) = pit.grates.plates
    assert plate.z0 - plate.thickness - pit.vessel.centre_z == pytest.approx(pit.throat.top)
    reason = pit.draft.ledger.close()["baffle.under_grate"]
    assert "over the plate" in reason.gave_way
    assert "throat.over_baffle" not in codes(pit.draft.findings)


@pytest.mark.parametrize(("changes", "severity"), [(REVERSE, "stop"), (TUNING, "warn")])
def test_a_throat_over_the_plate_is_told(changes: dict[str, Any], severity: str) -> None:
    assert "throat.over_baffle" not in codes(upper(changes).draft.findings)
    low = {**changes, "proportions": {**changes.get("proportions", {}), "firebox": {"drop": "14", "size": "24"}}}
    assert found(upper(low).draft.findings, "throat.over_baffle").severity == severity


@pytest.mark.parametrize(
    ("rules", "field"),
    [
        ({"kind": "tuning plates", "under_grate": "13"}, "proportions.baffle.under_grate"),
        ({"kind": "tuning plates", "under_grate": "2"}, "proportions.baffle.under_grate"),
        ({"kind": "baffle", "slope": 0.1, "under_grate": "6"}, "proportions.baffle.under_grate"),
        ({"kind": "tuning plates", "plates": 12, "gap": "6"}, "proportions.baffle.plates"),
    ],
)
def test_plates_that_cannot_be(rules: dict[str, Any], field: str) -> None:
    deep = {"size": "30", "drop": "27"}  # a throat so low that the plate need not give way to it
    changes = {
        "vessel": {"length": "60"},
        "order": {"grate_height": 45},
        "proportions": {"baffle": rules, "firebox": deep},
    }
    with pytest.raises(PitwrightError) as caught:
        upper(changes)
    assert caught.value.field == field
    assert caught.value.allowed
    assert caught.value.remedy


@pytest.mark.parametrize(("name", "typed"), [("baffle.under_grate", "-1"), ("baffle.return_gap", "90")])
def test_overrides_are_held(name: str, typed: str) -> None:
    with pytest.raises(PitwrightError) as caught:
        upper({**REVERSE, "override": {name: typed}})
    assert caught.value.field == f"override.{name}"


def test_a_stated_gap_is_kept() -> None:
    pit = upper({**REVERSE, "override": {"baffle.return_gap": "5"}})
    assert pit.vessel.length - pit.grates.plates[0].x1 == pytest.approx(5 * INCH)


@given(
    st.floats(60.0, 150.0), st.floats(36.0, 200.0), st.floats(2.0, 12.0), st.floats(0.0, 0.05), st.integers(1, 12),
    st.booleans(),
)  # fmt: skip
@settings(max_examples=40)
def test_any_plates_keep_inside_or_are_refused(
    around: float, length: float, under: float, slope: float, plates: int, reverse: bool
) -> None:
    changes = {"vessel": {"around": around, "length": length},
               "order": {"grate_height": 45, "flow": "reverse" if reverse else "offset"},
               "proportions": {"baffle": {"kind": "tuning plates", "under_grate": under, "slope": slope, "plates": plates}}}  # fmt: skip
    try:
        pit: Upper | None = upper(changes)
    except PitwrightError as problem:
        pit = None
        text = problem.text()
    if pit is None:
        assert "Allowed" in text
    else:
        inside(pit)
