"""The throat's outline, against polygons cut with each other."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import Polygon, box
from shapely.geometry import Point

from pitwright.errors import LayoutError
from pitwright.geometry.lens import lens, window_above
from pitwright.layout.throat import (
    FireBox,
    FireRound,
    Section,
    flat_top,
    lens_drop,
    opening,
    widest,
)
from pitwright.parts import Outline
from pitwright.tape import INCH
from workbench import draft_of

FINE = 192  # quarter-circle pieces of the polygons


def disc(radius: float, v: float) -> Polygon:
    return Point(0.0, v).buffer(radius, quad_segs=FINE)


def polygon_of(inner: float, fire: Section, low: float, high: float, width: float) -> Polygon:
    """The same opening from polygons."""
    if isinstance(fire, FireRound):
        hole = disc(fire.radius, -fire.drop)
    else:
        hole = box(-fire.width / 2.0, fire.bottom, fire.width / 2.0, fire.top)
    half = min(width / 2.0, 10.0)
    return disc(inner, 0.0).intersection(hole).intersection(box(-half, max(low, -10.0), half, min(high, 10.0)))


def same(found: Outline | None, wanted: Polygon, inner: float) -> None:
    if found is None:
        assert wanted.area < 1e-6 * inner**2
        return
    drawn = Polygon(found.flattened(1e-6 * inner))
    assert drawn.is_valid
    # polygons of 768 sides lie inside their circles by 1.1e-5 of the area
    assert found.area == pytest.approx(wanted.area, rel=1e-4, abs=1e-5 * inner**2)
    assert drawn.symmetric_difference(wanted).area < 1e-4 * inner**2
    # a sliver along a polygon's flat side may be off by the root of what the side cuts off
    assert found.bounds() == pytest.approx(wanted.bounds, abs=6e-3 * inner)
    # anticlockwise, as the drawing wants it
    assert Polygon(found.flattened(1e-3 * inner)).exterior.is_ccw


@pytest.mark.parametrize("inner", [0.25, 0.376, 0.6])
@pytest.mark.parametrize("ratio", [0.3, 0.78, 1.0, 1.3])
@pytest.mark.parametrize("part", [0.0, 0.2, 0.5, 0.8, 0.99])
@pytest.mark.parametrize("dam", [0.0, 0.05, 0.3])
def test_round_fireboxes_on_a_grid(inner: float, ratio: float, part: float, dam: float) -> None:
    # drops from concentric, through one circle inside the other, to circles that only just meet
    fire = FireRound(radius=ratio * inner, drop=part * (1.0 + ratio) * inner)
    low = -inner + dam * inner
    same(opening(inner, fire, low, math.inf), polygon_of(inner, fire, low, math.inf, math.inf), inner)


@pytest.mark.parametrize("wide", [0.4, 1.0, 1.6, 2.4])
@pytest.mark.parametrize("tall", [0.5, 1.2, 2.2])
@pytest.mark.parametrize("drop", [0.0, 0.4, 1.0, 1.5])
@pytest.mark.parametrize("width", [0.3, 1.2, math.inf])
def test_box_fireboxes_on_a_grid(wide: float, tall: float, drop: float, width: float) -> None:
    inner = 0.376
    fire = FireBox(width=wide * inner, height=tall * inner, drop=drop * inner)
    for low, high in ((-math.inf, math.inf), (-0.86 * inner, -0.3 * inner), (-0.5 * inner, 0.5 * inner)):
        same(opening(inner, fire, low, high, width * inner), polygon_of(inner, fire, low, high, width * inner), inner)


@given(
    st.floats(0.2, 0.8), st.floats(0.2, 1.5), st.floats(0.0, 1.2), st.floats(-1.1, 0.6), st.floats(-0.9, 1.1),
    st.floats(0.1, 2.5), st.booleans(),
)  # fmt: skip
def test_any_opening(
    inner: float, size: float, drop: float, low: float, high: float, width: float, is_box: bool
) -> None:
    low, high, drop = round(low, 4), round(high, 4), round(drop, 4)  # the polygon library is not for tinier steps
    assume(high - low > 1e-3)
    fire: Section
    if is_box:
        fire = FireBox(width=size * inner, height=1.3 * size * inner, drop=drop * inner)
    else:
        fire = FireRound(radius=size * inner, drop=drop * inner)
    args = (inner, fire, low * inner, high * inner, width * inner)
    same(opening(*args), polygon_of(*args), inner)


@given(st.floats(0.2, 1.5), st.floats(0.01, 0.99), st.floats(0.0, 0.9))
def test_lens_windows_agree_with_the_lens_formulas(ratio: float, part: float, dam: float) -> None:
    inner, radius = 0.37, ratio * 0.37
    drop = abs(inner - radius) + part * (inner + radius - abs(inner - radius))
    shape = lens(inner, radius, drop)
    line = shape.bottom + dam * shape.height
    window = window_above(shape, line)
    found = opening(inner, FireRound(radius=radius, drop=drop), line, math.inf)
    assert found is not None
    assert found.area == pytest.approx(window.area, rel=1e-9)
    across, at = widest(found)
    assert across == pytest.approx(window.widest, rel=1e-6)
    # a flat maximum: the height is found as well as the outline is flattened
    assert at == pytest.approx(window.widest_at, abs=0.02)


def test_nothing_opens_where_the_dam_is_over_the_top() -> None:
    assert opening(0.37, FireRound(radius=0.29, drop=0.45), 0.0, math.inf) is None
    assert opening(0.37, FireRound(radius=0.29, drop=0.70), -1.0, math.inf) is None
    assert opening(0.37, FireBox(width=0.5, height=0.5, drop=0.7), -1.0, math.inf) is None


@given(st.floats(0.2, 0.8), st.floats(0.5, 1.1), st.floats(0.02, 0.2), st.floats(0.0, 0.2))
def test_the_drop_leaves_the_wanted_area_over_the_dam(inner: float, ratio: float, share: float, dam: float) -> None:
    wanted = share * math.pi * inner**2
    drop = lens_drop(draft_of(), inner, ratio * inner, dam * inner, wanted)
    found = opening(inner, FireRound(radius=ratio * inner, drop=drop), -inner + dam * inner, math.inf)
    assert found is not None
    assert found.area == pytest.approx(wanted, rel=1e-9)


def test_a_firebox_too_small_for_its_throat_says_what_it_can_give() -> None:
    with pytest.raises(LayoutError) as caught:
        lens_drop(draft_of(), 14.79 * INCH, 3.0 * INCH, 2.0 * INCH, 90.0 * INCH**2)
    assert "at most" in caught.value.text()
    assert "90.0 in²" in caught.value.text()
    assert caught.value.remedy


@given(st.floats(0.3, 2.4), st.floats(0.03, 0.3), st.floats(0.0, 0.2), st.booleans())
def test_flat_tops(wide: float, share: float, dam: float, rectangle: bool) -> None:
    inner = 0.376
    wanted, low = share * math.pi * inner**2, -inner + dam * inner
    top = flat_top(inner, wide * inner, low, wanted, rectangle)
    fire = FireBox(width=wide * inner, height=4.0 * inner, drop=0.0)
    width = 1.2 * inner if rectangle else math.inf
    found, most = opening(inner, fire, low, top, width), opening(inner, fire, low, inner, width)
    assert found is not None
    assert most is not None
    assert found.area == pytest.approx(min(wanted, 0.98 * most.area), rel=1e-6)


@given(st.floats(0.5, 2.0))
def test_scaled_openings_scale(by: float) -> None:
    one = opening(0.376, FireRound(radius=0.29, drop=0.45), -0.32, math.inf)
    other = opening(0.376 * by, FireRound(radius=0.29 * by, drop=0.45 * by), -0.32 * by, math.inf)
    assert one is not None
    assert other is not None
    assert other.area == pytest.approx(one.area * by**2, rel=1e-9)
    assert other.bulges == pytest.approx(one.bulges, abs=1e-9)
