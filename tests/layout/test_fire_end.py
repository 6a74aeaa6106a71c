"""What closes the fire end: outlines against polygons, and the pieces in the pit."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import Polygon, box
from shapely.geometry import Point
from shapely.ops import unary_union

from pitwright.layout.fire_end import box_past_disc, close_fire_end, crescent, union_of_rounds, union_with_box
from pitwright.parts import Head, Outline, Plate, PrismCut
from workbench import upper

FINE = 256


def disc(radius: float, v: float = 0.0) -> Polygon:
    return Point(0.0, v).buffer(radius, quad_segs=FINE)


def same(found: Outline | tuple[Outline, ...], wanted: Polygon) -> None:
    """Equal to the polygons within what their flat sides leave out."""
    outlines = (found,) if isinstance(found, Outline) else found
    drawn = [Polygon(o.flattened(1e-6)) for o in outlines]
    for piece, outline in zip(drawn, outlines, strict=True):
        assert piece.is_valid
        assert outline.area == pytest.approx(piece.area, rel=1e-3, abs=1e-6)
    assert unary_union(drawn).symmetric_difference(wanted).area < 3e-4


@pytest.mark.parametrize("fire", [0.2, 0.6, 1.0, 1.4])
@pytest.mark.parametrize("part", [0.0, 0.1, 0.3, 0.6, 0.9, 0.99])
def test_two_rounds_in_one_plate(fire: float, part: float) -> None:
    drop = part * (1.0 + fire)
    same(union_of_rounds(1.0, fire, drop), disc(1.0).union(disc(fire, -drop)))


@pytest.mark.parametrize("fire", [0.2, 0.6, 1.0, 1.4])
@pytest.mark.parametrize("part", [0.3, 0.6, 0.9, 0.99])
def test_the_crescent_under_the_vessel(fire: float, part: float) -> None:
    drop = part * (1.0 + fire)
    found = crescent(1.0, fire, drop)
    wanted = disc(fire, -drop).difference(disc(1.0))
    if found is None:
        assert wanted.area < 1e-4
    else:
        same(found, wanted)


@given(st.floats(0.2, 1.6), st.floats(-2.5, 0.8), st.floats(0.1, 2.5))
def test_vessel_and_box_in_one_plate(half: float, low: float, tall: float) -> None:
    half, low, top = round(half, 3), round(low, 3), round(low + tall, 3)
    both = disc(1.0), box(-half, low, half, top)
    assume(both[0].intersection(both[1]).area > 1e-3)
    assume(low <= 0.0)  # a firebox never hangs over the vessel's middle
    same(union_with_box(1.0, half, low, top), both[0].union(both[1]))


@given(st.floats(0.2, 1.6), st.floats(-2.5, -0.2), st.floats(0.1, 2.5))
def test_what_the_vessel_leaves_open_of_a_box(half: float, low: float, tall: float) -> None:
    half, low, top = round(half, 3), round(low, 3), round(low + tall, 3)
    assume(-0.99 < top < math.sqrt(max(1.0 - half**2, 0.0)) or (half > 1.001 and -0.99 < top < 0.99))
    both = disc(1.0), box(-half, low, half, top)
    assume(both[0].intersection(both[1]).area > 1e-3)
    same(box_past_disc(1.0, half, low, top), both[1].difference(both[0]))


def pieces(changes: dict[str, Any]) -> dict[str, Any]:
    pit = upper(changes)
    before = len(pit.draft.parts)
    close_fire_end(pit.draft, pit.vessel, pit.firebox, pit.throat)
    return {"pit": pit} | {p.name: p for p in pit.draft.parts[before:]}


def test_a_cut_end_is_closed_by_one_plate_with_the_throat_through_it() -> None:
    found = pieces({})
    pit, plate = found["pit"], found["throat plate"].shape
    assert isinstance(plate, Plate)
    whole = math.pi * pit.vessel.outer_radius**2
    assert plate.outline.holes[0].area == pytest.approx(pit.throat.net_area)
    assert whole - pit.throat.net_area < plate.outline.area < 2.0 * whole
    # its near face stands its own thickness before the seam, where the firebox ends
    (at,) = found["throat plate"].placements
    assert at.origin[0] == pytest.approx(-pit.throat.plate_thickness)
    assert pit.firebox.x1 == pytest.approx(-pit.throat.plate_thickness)


@pytest.mark.parametrize("shape", ["round", "box"])
@pytest.mark.parametrize(("joint", "head"), [("dished", "ellipsoidal"), ("dished", "hemispherical"), ("flat", "flat")])
def test_a_head_left_on_gets_the_throat_and_a_plate_under_it(shape: str, joint: str, head: str) -> None:
    changes = {"vessel": {"head_a": {"type": head, "flange": "1" if head == "ellipsoidal" else "0"}},
               "proportions": {"firebox": {"joint": joint, "shape": shape}}}  # fmt: skip
    found = pieces(changes)
    pit, made = found["pit"], found["fire-end head"]
    assert isinstance(made.shape, Head)
    (cut,) = made.shape.cuts
    assert isinstance(cut, PrismCut)
    assert cut.outline.area == pytest.approx(pit.throat.net_area)
    # the window, seen in the pit, is the throat's outline at the throat's height
    (at,) = made.placements
    seen = [at.point((0.0, y, v)) for y, v in cut.outline.flattened(1e-4)]
    wanted = Polygon(Outline(pit.throat.points, pit.throat.bulges).flattened(1e-4))
    in_pit = Polygon([(p[1], p[2] - pit.vessel.centre_z) for p in seen])
    assert in_pit.symmetric_difference(wanted).area < 1e-6
    assert not at.mirrored
    # the dish bulges out of the vessel, past its straight flange
    assert at.point((made.shape.depth, 0.0, 0.0))[0] == pytest.approx(-made.shape.depth - made.shape.flange)
    plate = found["closing plate"].shape
    assert isinstance(plate, Plate)
    assert plate.outline.bounds()[1] == pytest.approx(-pit.firebox.drop - pit.firebox.height / 2.0)
