"""Heads against closed forms of half ellipsoids and balls, fluids, and a numeric turn of their own outline."""

import math

import fluids.geometry as fluids
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from pitwright.errors import LayoutError
from pitwright.geometry import heads as hd

INCH = 0.0254
RADII = st.floats(0.1, 2.0)
SHARES = st.floats(0.25, 1.5)


def all_kinds(radius=0.5, thickness=0.01, flange=0.0):
    return {
        "2:1": hd.two_to_one_head(radius, thickness, flange),
        "hemisphere": hd.hemispherical_head(radius, thickness, flange),
        "deep": hd.EllipsoidalHead(radius=radius, depth=1.4 * radius, thickness=thickness, straight_flange=flange),
        "outside 2:1": hd.head_from_outside(
            "ellipsoidal", outer_radius=radius, wall=thickness, depth=radius / 2.0, flange=flange
        ),
        "dished knuckle": hd.torispherical_head(2.0 * radius, 1.0, 0.06, thickness, flange),
        "deep knuckle": hd.torispherical_head(2.0 * radius, 0.8, 0.154, thickness, flange),
        "plain dished": hd.dished_head(radius, 0.3 * radius, thickness),
        "cone": hd.ConicalHead(radius=radius, depth=0.6 * radius, thickness=thickness, straight_flange=flange),
    }


KINDS = list(all_kinds())
SMOOTH = [name for name in KINDS if name != "cone"]


@given(RADII, SHARES, st.floats(1e-4, 0.02))
def test_ellipsoid_closed_forms(radius, share, thin):
    depth, thickness = radius * share, thin * radius
    head = hd.EllipsoidalHead(radius=radius, depth=depth, thickness=thickness)
    figures = head.figures()
    assert figures.inside_volume == pytest.approx(2.0 / 3.0 * math.pi * radius**2 * depth, rel=1e-12)
    assert figures.volume_centroid == pytest.approx(3.0 / 8.0 * depth, rel=1e-12)
    area = math.pi * radius**2 + _spheroid_rest(radius, depth)
    assert figures.inside_area == pytest.approx(area, rel=1e-9)
    # Thin plate: integral of height over the face is 2 pi a b (a2 + a b + b2) / (3 (a + b)).
    moment = 2.0 * math.pi * radius * depth * (radius**2 + radius * depth + depth**2) / (3.0 * (radius + depth))
    thin_head = hd.EllipsoidalHead(radius=radius, depth=depth, thickness=1e-9 * radius).figures()
    assert thin_head.plate_centroid == pytest.approx(moment / area, rel=1e-7)
    # Plate with square faces: A t + M t2 + 2 pi t3/3, M the mean curvature of half a spheroid.
    volume = area * thickness + _mean_curvature(radius, depth) * thickness**2 + 2.0 * math.pi * thickness**3 / 3.0
    assert figures.plate_volume == pytest.approx(volume, rel=1e-9)


def _spheroid_rest(a, b):
    e = math.sqrt(abs(1.0 - (b / a) ** 2)) if b < a else math.sqrt(1.0 - (a / b) ** 2)
    if e < 1e-4:
        return math.pi * b * b
    return math.pi * b * b / e * math.atanh(e) if b < a else math.pi * a * b / e * math.asin(e)


def _mean_curvature(a, b):
    gap = math.sqrt(abs(a * a - b * b))
    if gap < 1e-4 * a:
        return math.pi * (a + b)
    return math.pi * (b + a * a / gap * (math.asin(gap / a) if b < a else math.asinh(gap / a)))


@pytest.mark.parametrize(("crown", "knuckle"), [(1.0, 0.06), (1.0, 0.1), (0.8, 0.154), (0.9, 0.17), (1.0, 0.001)])
def test_torispherical_against_fluids(crown, knuckle):
    diameter = 0.9
    head = hd.torispherical_head(diameter, crown, knuckle, 0.006)
    figures = head.figures()
    assert head.inside_depth == pytest.approx(fluids.a_torispherical(diameter, crown, knuckle), rel=1e-12)
    assert figures.inside_area == pytest.approx(fluids.SA_torispheroidal(diameter, crown, knuckle), rel=1e-12)
    volume = fluids.V_vertical_torispherical(diameter, crown, knuckle, head.inside_depth)
    assert figures.inside_volume == pytest.approx(volume, rel=1e-12)


@pytest.mark.parametrize("name", KINDS)
def test_figures_against_a_turned_outline(name):
    """Volumes and moments from the face heights alone, a second way round: shells about the axis."""
    head = all_kinds(0.5, 0.02)[name]
    figures = head.figures()

    def turned(face, radius, power):
        return quad(lambda r: 2.0 * math.pi * r * face(min(r, radius)) ** power, 0.0, radius, limit=400)[0]

    inside = turned(head.inside_height, head.inside_radius, 1)
    assert figures.inside_volume == pytest.approx(inside, rel=1e-7)
    assert figures.inside_volume * figures.volume_centroid == pytest.approx(
        turned(head.inside_height, head.inside_radius, 2) / 2.0, rel=1e-7
    )
    if name == "cone":
        return
    steel = turned(head.outside_height, head.outside_radius, 1) - inside
    moment = (
        turned(head.outside_height, head.outside_radius, 2) - turned(head.inside_height, head.inside_radius, 2)
    ) / 2
    assert figures.plate_volume == pytest.approx(steel, rel=1e-6)
    assert figures.plate_volume * figures.plate_centroid == pytest.approx(moment, rel=1e-6)


@pytest.mark.parametrize("name", SMOOTH)
def test_plate_is_the_same_thickness_everywhere(name):
    head = all_kinds(0.5, 0.02)[name]
    assert head.outside_depth - head.inside_depth == pytest.approx(head.thickness)
    assert head.outside_radius - head.inside_radius == pytest.approx(head.thickness)
    inside = [(k / 400 * head.inside_radius) for k in range(401)]
    points = [(rho, head.inside_height(rho)) for rho in inside]
    for share in (0.0, 0.2, 0.5, 0.8, 0.95, 1.0):
        rho = share * head.outside_radius
        nearest = min(math.dist((rho, head.outside_height(rho)), p) for p in points)
        assert nearest == pytest.approx(head.thickness, rel=0.01)


@pytest.mark.parametrize("name", KINDS)
def test_height_falls_to_nothing_at_the_edge(name):
    head = all_kinds()[name]
    heights = [head.outside_height(k / 50 * head.outside_radius) for k in range(51)]
    assert heights == sorted(heights, reverse=True)
    assert heights[0] == pytest.approx(head.outside_depth)
    assert heights[-1] == pytest.approx(0.0, abs=1e-7)
    assert head.inside_height(0.0) == pytest.approx(head.inside_depth)


@pytest.mark.parametrize("name", [name for name in KINDS if name != "plain dished"])
def test_straight_flange_is_a_short_cylinder(name):
    plain, flanged = all_kinds()[name], all_kinds(flange=0.05)[name]
    a, b = plain.figures(), flanged.figures()
    radius, t = plain.inside_radius, plain.thickness
    assert b.inside_volume - a.inside_volume == pytest.approx(math.pi * radius**2 * 0.05)
    assert b.inside_area - a.inside_area == pytest.approx(2.0 * math.pi * radius * 0.05)
    ring = math.pi * ((radius + t) ** 2 - radius**2) * 0.05
    assert b.plate_volume - a.plate_volume == pytest.approx(ring)
    assert b.plate_centroid * b.plate_volume == pytest.approx(a.plate_centroid * a.plate_volume - ring * 0.025)


@given(st.floats(0.1, 10.0))
def test_scale(scale):
    small, large = all_kinds(), all_kinds(0.5 * scale, 0.01 * scale)
    for name in KINDS:
        a, b = small[name].figures(), large[name].figures()
        assert b.inside_volume == pytest.approx(scale**3 * a.inside_volume, rel=1e-10)
        assert b.plate_volume == pytest.approx(scale**3 * a.plate_volume, rel=1e-10)
        assert b.middle_area == pytest.approx(scale**2 * a.middle_area, rel=1e-10)
        assert b.plate_centroid == pytest.approx(scale * a.plate_centroid, rel=1e-10)


def test_hemisphere_is_exact():
    head = hd.hemispherical_head(0.5, 0.02)
    figures = head.figures()
    assert figures.plate_volume == pytest.approx(2.0 * math.pi / 3.0 * (0.52**3 - 0.5**3), rel=1e-13)
    centroid = 3.0 / 8.0 * (0.52**4 - 0.5**4) / (0.52**3 - 0.5**3)
    assert figures.plate_centroid == pytest.approx(centroid, rel=1e-13)
    as_dished = hd.TorisphericalHead(radius=0.5, crown=0.5, knuckle=0.5, thickness=0.02)
    assert as_dished.figures().plate_volume == pytest.approx(figures.plate_volume, rel=1e-13)
    assert as_dished.outside_height(0.3) == pytest.approx(head.outside_height(0.3), rel=1e-12)


def test_cone_and_flat_plate():
    cone = all_kinds()["cone"].figures()
    assert cone.inside_area == pytest.approx(fluids.SA_conical_head(1.0, 0.3), rel=1e-12)
    assert cone.inside_volume == pytest.approx(math.pi * 0.25 * 0.3 / 3.0)
    assert cone.volume_centroid == pytest.approx(0.075)
    cover = hd.head_from_outside("flat", outer_radius=0.5, wall=0.01, depth=0.0)
    assert cover.figures().plate_volume == pytest.approx(math.pi * 0.25 * 0.01)
    assert cover.figures().plate_centroid == pytest.approx(0.005)
    assert (cover.inside_depth, cover.outside_depth, cover.straight_flange) == (0.0, 0.01, 0.0)
    let_in = hd.FlatHead(radius=0.49, plate_radius=0.49, thickness=0.01, set_in=0.03)
    assert let_in.inside_height(0.2) == -0.03
    assert let_in.outside_height(0.2) == pytest.approx(-0.02)
    assert let_in.figures().inside_volume == pytest.approx(-math.pi * 0.49**2 * 0.03)
    assert let_in.figures().plate_centroid == pytest.approx(-0.025)


def test_measured_from_outside():
    head = hd.head_from_outside("torispherical", outer_radius=0.5, wall=0.01, depth=0.0, crown=1.0, knuckle=0.06)
    assert head.outside_depth == pytest.approx(hd.torispherical_depth(1.0, 1.0, 0.06), rel=1e-12)
    ball = hd.head_from_outside("hemispherical", outer_radius=0.5, wall=0.01, depth=0.0)
    assert ball.figures().inside_volume == pytest.approx(2.0 / 3.0 * math.pi * 0.49**3, rel=1e-12)
    assert (ball.outside_radius, ball.outside_depth) == pytest.approx((0.5, 0.5))


def test_worked_head_height():
    # Shop sum: a 2:1 head 15.04 in outside radius stands out 6-7/8 at 6 in from the axis, and nothing at the edge.
    head = hd.head_from_outside("ellipsoidal", outer_radius=15.04, wall=0.25, depth=7.52)
    assert head.outside_height(6.0) == pytest.approx(6.875, abs=1 / 32)
    assert head.outside_height(15.04) == 0.0


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: hd.two_to_one_head(0.5, 0.0), "thickness"),
        (lambda: hd.two_to_one_head(-0.5, 0.01), "radius"),
        (lambda: hd.torispherical_head(1.0, 0.4, 0.06, 0.01), "crown"),
        (lambda: hd.torispherical_head(1.0, 1.0, 0.6, 0.01), "knuckle"),
        (lambda: hd.two_to_one_head(0.5, 0.01, -0.1), "straight_flange"),
        (lambda: hd.two_to_one_head(0.5, 0.01).inside_height(0.6), "rho"),
        (lambda: hd.head_from_outside("ellipsoidal", outer_radius=0.1, wall=0.03, depth=0.05), "thickness"),
        (lambda: hd.dished_head(0.5, 0.6, 0.01), "depth"),
        (lambda: hd.ConicalHead(radius=0.5, depth=0.0, thickness=0.01), "depth"),
        (lambda: hd.FlatHead(radius=0.5, plate_radius=0.5, thickness=0.01, set_in=-1.0), "set_in"),
    ],
)
def test_impossible_heads_are_refused(call, field):
    with pytest.raises(LayoutError) as error:
        call()
    assert error.value.field == field
