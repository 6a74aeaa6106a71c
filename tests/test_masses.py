"""Weights and centres against tables, closed forms, fluids, and the meshes of random pieces."""

import math
import random

import fluids.geometry as fluids
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import sample_pieces as sample
from pitwright.errors import LayoutError
from pitwright.masses import Balance, Mass, combine, mass_of, placed_mass, section_area, volume_of
from pitwright.parts import (
    Bar,
    Bought,
    CylinderCut,
    Head,
    HeadCut,
    Outline,
    Part,
    Placement,
    PlaneCut,
    Plate,
    PrismCut,
    Shell,
    Window,
)
from pitwright.solid.mesh import solid_of, triangles
from pitwright.stock import STEEL_DENSITY, angle, find_profile, flat, known_profiles, pipe, round_bar, tube

INCH, FOOT, LB = 0.0254, 0.3048, 0.45359237
SQUARE = PlaneCut(point=(0.0, 0.0, 0.0), normal=(-1.0, 0.0, 0.0))


def piece(shape, **more):
    return Part(mark="A1", name="piece", group="base", shape=shape, stock="stock", placements=(Placement(),), **more)


def square_end(x):
    return PlaneCut(point=(x, 0.0, 0.0), normal=(1.0, 0.0, 0.0))


# ---------------------------------------------------------------- tables


@pytest.mark.parametrize(
    ("name", "pounds_per_foot"),
    # AISC Manual 15th ed., Part 1 (weights as published; see tests/published/test_sections.py).
    [("2 x 2 x 3/16 tube", 4.32), ("4 x 4 x 1/4 tube", 12.21), ("4 x 2 x 1/4 tube", 8.81)],
)
def test_a_foot_of_stock_weighs_what_the_table_says(name, pounds_per_foot):
    foot = Bar.square(find_profile(name, field="stock"), FOOT)
    assert mass_of(piece(foot)).mass / LB == pytest.approx(pounds_per_foot, abs=0.006)


def test_plate_and_shell_weights():
    # 490 lb/ft3 / 12 = 40.83 lb/ft2 an inch thick; 36 in OD x 1/4 x 96 in shell: 764.3 lb (calculated by hand).
    plate = Plate(outline=Outline.rectangle(0.0, 0.0, FOOT, FOOT), thickness=INCH)
    assert mass_of(piece(plate)).mass / LB == pytest.approx(490.0 / 12.0, rel=1e-9)
    shell = Shell(outer_radius=18 * INCH, wall=0.25 * INCH, length=96 * INCH)
    assert mass_of(piece(shell)).mass / LB == pytest.approx(764.3, abs=0.05)


def test_stated_weights_win():
    mesh = Plate(outline=Outline.rectangle(0.0, 0.0, 2.0, 1.0), thickness=0.004, mass_per_area=5.0)
    assert mass_of(piece(mesh)).mass == pytest.approx(10.0)
    wheel = Bought(mass=4.0, size=(0.1, 0.2, 0.2), centre=(0.0, 0.0, 0.1), form="cylinder")
    assert mass_of(piece(wheel)) == Mass(mass=4.0, centre=(0.0, 0.0, 0.1))


def test_density_of_the_piece_counts():
    bar = Bar.square(tube(0.05, 0.05, 0.004, system="metric"), 1.0)
    steel, light = mass_of(piece(bar)), mass_of(piece(bar, density=STEEL_DENSITY / 2.0))
    assert light.mass == pytest.approx(steel.mass / 2.0)


# ---------------------------------------------------------------- bars in closed form


@pytest.mark.parametrize("profile", known_profiles()[::7], ids=lambda p: p.designation)
def test_drawn_section_has_the_area_the_stock_is_sold_by(profile):
    # Rolled angles and channels have fillets the drawing leaves out; their table area differs by up to 4 %.
    within = 0.04 if profile.kind in ("angle", "channel") else 0.012
    assert section_area(profile) == pytest.approx(profile.area_nominal, rel=within)


@given(st.floats(-1.2, 1.2), st.floats(-1.2, 1.2), st.floats(-1.2, 1.2))
def test_mitred_tube_by_the_centroid_rule(a, b, c):
    # Volume between two planes is area x length on the centre line; the centroid leans by I / (A L) x slope.
    stock = tube(0.06, 0.04, 0.004, system="metric")
    bar = Bar(
        profile=stock,
        x0=0.0,
        x1=0.8,
        start=PlaneCut(point=(0.0, 0.0, 0.0), normal=(-1.0, c, 0.0)),
        finish=PlaneCut(point=(0.8, 0.0, 0.0), normal=(1.0, a, b)),
    )
    found = volume_of(bar)
    assert found.volume == pytest.approx(stock.area_nominal * 0.8, rel=1e-6)
    # EN 10219-2 second moments of the same section (tests/published/test_sections.py).
    assert found.centre[1] == pytest.approx(stock.iy / stock.area * (-a - c) / 0.8, rel=1e-4, abs=1e-9)
    assert found.centre[2] == pytest.approx(stock.ix / stock.area * -b / 0.8, rel=1e-4, abs=1e-9)


@given(st.floats(0.01, 0.1), st.floats(1.5, 4.0))
def test_round_bar_coped_to_its_own_size(r, far):
    # Half of Steinmetz's solid, 16 r3 / 3, reaches into the cope (Weisstein, CRC Encyclopedia, "Steinmetz Solid").
    bar = Bar(
        profile=round_bar(2.0 * r),
        x0=0.0,
        x1=far * r,
        start=SQUARE,
        finish=CylinderCut(point=(far * r, 0.0, 0.0), axis=(0.0, 0.6, 0.8), radius=r),
    )
    assert volume_of(bar).volume == pytest.approx(math.pi * r * r * far * r - 8.0 / 3.0 * r**3, rel=1e-4)


@given(st.floats(0.2, 1.0), st.floats(0.02, 0.15))
def test_flat_bar_coped_to_a_round(radius, width):
    # The cope runs R - sqrt(R2 - y2) deep; its mean over the width is a circle segment over the chord.
    bar = Bar(
        profile=flat(width, 0.01).turned(),
        x0=0.0,
        x1=1.0,
        start=SQUARE,
        finish=CylinderCut(point=(1.0 + radius, 0.0, 0.0), axis=(0.0, 0.0, 1.0), radius=radius),
    )
    half = math.asin(width / 2.0 / radius)
    rise = radius * (1.0 - math.cos(half))
    segment = radius * radius * (half - math.sin(half) * math.cos(half))
    mean = 1.0 + rise - segment / width
    assert volume_of(bar).volume == pytest.approx(mean * width * 0.01, rel=1e-7)


@given(st.floats(0.002, 0.015), st.floats(-0.02, 0.02))
def test_hole_through_a_flat(r, y):
    bar = Bar.square(flat(0.1, 0.012), 0.5)
    drilled = Bar(
        profile=bar.profile,
        x0=0.0,
        x1=0.5,
        start=bar.start,
        finish=bar.finish,
        cuts=(CylinderCut(point=(0.3, 0.0, y), axis=(0.0, 1.0, 0.0), radius=r),),
    )
    assert volume_of(bar).volume - volume_of(drilled).volume == pytest.approx(math.pi * r * r * 0.012, rel=1e-5)


@given(st.floats(0.1, 0.9), st.floats(-0.5, 0.5), st.sampled_from(["tube", "pipe", "angle", "round"]))
def test_cut_in_two_adds_up(share, slope, kind):
    profile = {
        "tube": tube(2 * INCH, 2 * INCH, 3 / 16 * INCH),
        "pipe": pipe(4.5 * INCH, 0.237 * INCH),
        "angle": angle(3 * INCH, 2 * INCH, 0.25 * INCH),
        "round": round_bar(INCH),
    }[kind]
    saw = PlaneCut(point=(share, 0.0, 0.0), normal=(1.0, slope, 0.3 * slope))
    other = PlaneCut(point=(share, 0.0, 0.0), normal=(-1.0, -slope, -0.3 * slope))
    cope = CylinderCut(point=(1.4, 0.05, 0.0), axis=(0.0, 0.3, 1.0), radius=0.4)
    whole = volume_of(Bar(profile=profile, x0=0.0, x1=1.0, start=SQUARE, finish=cope))
    first = volume_of(Bar(profile=profile, x0=0.0, x1=share, start=SQUARE, finish=saw))
    second = volume_of(Bar(profile=profile, x0=share, x1=1.0, start=other, finish=cope))
    assert first.volume + second.volume == pytest.approx(whole.volume, rel=1e-6)
    for k in range(3):
        both = first.volume * first.centre[k] + second.volume * second.centre[k]
        assert both == pytest.approx(whole.volume * whole.centre[k], rel=1e-5, abs=1e-9)


# ---------------------------------------------------------------- plates, shells, heads


@given(st.floats(0.2, 0.8), st.floats(-3.0, 0.0), st.floats(0.1, 3.0), st.floats(0.1, 0.9))
def test_window_and_its_door_make_a_whole_shell(radius, clock0, turn, share):
    wall, length = 0.006, 2.0
    window = Window(x0=0.3, x1=0.3 + share, clock0=clock0, clock1=clock0 + turn)
    shell = volume_of(Shell(outer_radius=radius, wall=wall, length=length, cuts=(window,)))
    door = volume_of(Shell(outer_radius=radius, wall=wall, length=share, clock0=clock0, clock1=clock0 + turn))
    whole = volume_of(Shell(outer_radius=radius, wall=wall, length=length))
    assert shell.volume + door.volume == pytest.approx(whole.volume, rel=1e-9)
    for k, shift in enumerate((0.3, 0.0, 0.0)):
        both = shell.volume * shell.centre[k] + door.volume * (door.centre[k] + shift)
        assert both == pytest.approx(whole.volume * whole.centre[k], rel=1e-8, abs=1e-12)


@given(st.floats(-0.6, 0.6), st.floats(-0.6, 0.6))
def test_sloping_end_of_a_shell(a, b):
    # A plane across a ring: volume is area x length on the axis, the centroid leans by I / (A L) x slope.
    outer, wall, length = 0.4, 0.008, 1.0
    cut = PlaneCut(point=(length, 0.0, 0.0), normal=(1.0, a, b))
    shell = volume_of(Shell(outer_radius=outer, wall=wall, length=2.0, cuts=(cut,)))
    inner = outer - wall
    area = math.pi * (outer**2 - inner**2)
    second = math.pi / 4.0 * (outer**4 - inner**4)
    assert shell.volume == pytest.approx(area * length, rel=1e-9)
    assert shell.centre[1] == pytest.approx(-a * second / (area * length), rel=1e-9, abs=1e-12)
    assert shell.centre[2] == pytest.approx(-b * second / (area * length), rel=1e-9, abs=1e-12)


def test_small_hole_in_a_shell_is_nearly_flat():
    hole = CylinderCut(point=(1.0, 0.0, 0.0), axis=(0.0, 0.0, 1.0), radius=0.01, reach=(0.0, math.inf))
    whole = volume_of(Shell(outer_radius=0.5, wall=0.006, length=2.0))
    drilled = volume_of(Shell(outer_radius=0.5, wall=0.006, length=2.0, cuts=(hole,)))
    assert whole.volume - drilled.volume == pytest.approx(math.pi * 0.01**2 * 0.006, rel=2e-4)


@pytest.mark.parametrize("flange", [0.0, 0.05])
@pytest.mark.parametrize("kind", ["ellipsoidal", "hemispherical", "torispherical"])
def test_head_plate_against_the_middle_surface_of_fluids(kind, flange):
    # Plate of even thickness about a middle surface: A t + 2 pi t3 / 12 (Steiner; the normals cover half a ball).
    radius, wall = 0.45, 0.012
    middle = 2.0 * (radius - wall / 2.0)
    crown, knuckle = 0.9, 0.1
    head = Head(kind=kind, outer_radius=radius, wall=wall, depth=0.24, flange=flange, crown=crown, knuckle=knuckle)
    ring = math.pi * middle * wall * flange
    if kind == "torispherical":
        area = fluids.SA_torispheroidal(middle, (crown - wall / 2.0) / middle, (knuckle - wall / 2.0) / middle)
        within = 1e-9
    elif kind == "hemispherical":
        area = fluids.SA_ellipsoidal_head(middle, middle / 2.0)
        within = 1e-9
    else:
        # The middle of an ellipsoidal head is not quite an ellipsoid: the outer face is.
        area = fluids.SA_ellipsoidal_head(middle, 0.24 - wall / 2.0)
        within = 2e-4
        inner = fluids.V_vertical_ellipsoidal(2.0 * (radius - wall), 0.24 - wall, 0.24 - wall)
        outer = fluids.V_vertical_ellipsoidal(2.0 * radius, 0.24, 0.24)
        assert outer - inner < volume_of(head).volume - ring < 1.05 * (outer - inner)
        within = 6e-3
    expected = area * wall + 2.0 * math.pi * wall**3 / 12.0 + ring
    assert volume_of(head).volume == pytest.approx(expected, rel=within)


@given(st.floats(0.02, 0.15), st.floats(-0.2, 0.2), st.floats(-0.2, 0.2), st.sampled_from(["prism", "drill"]))
def test_hole_in_a_flat_head(r, y, z, how):
    if how == "drill":
        cut = CylinderCut(point=(0.0, y, z), axis=(-1.0, 0.0, 0.0), radius=r)
    else:
        cut = PrismCut(outline=Outline.circle(y, z, r), origin=(0.0, 0.0, 0.0), u=(0.0, 1.0, 0.0), v=(0.0, 0.0, 1.0))
    head = volume_of(Head(kind="flat", outer_radius=0.5, wall=0.01, depth=0.01, cuts=(cut,)))
    left = math.pi * (0.25 - r * r) * 0.01
    assert head.volume == pytest.approx(left, rel=1e-9)
    assert head.centre == pytest.approx((0.005, -y * math.pi * r * r * 0.01 / left, -z * math.pi * r * r * 0.01 / left))


def test_hole_on_the_axis_of_a_ball():
    # A cylinder of radius a through a ball of radius R takes 2 pi/3 (R3 - (R2 - a2)^1.5) of each half.
    radius, wall, a = 0.4, 0.01, 0.1
    head = Head(kind="hemispherical", outer_radius=radius, wall=wall, depth=radius)
    cut = Head(
        kind="hemispherical",
        outer_radius=radius,
        wall=wall,
        depth=radius,
        cuts=(CylinderCut(point=(0.0, 0.0, 0.0), axis=(1.0, 0.0, 0.0), radius=a),),
    )

    def core(r):
        return 2.0 * math.pi / 3.0 * (r**3 - (r * r - a * a) ** 1.5)

    assert volume_of(head).volume - volume_of(cut).volume == pytest.approx(core(radius) - core(radius - wall), rel=2e-6)


# ---------------------------------------------------------------- every shape against its mesh


def mesh_volume(shape):
    corners, faces = triangles(solid_of(shape))
    a, b, c = (corners[faces[:, k]] for k in range(3))
    parts = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6.0
    volume = parts.sum()
    return volume, (parts[:, None] * (a + b + c)).sum(axis=0) / (4.0 * volume)


MAKERS = {
    "bar": sample.random_bar,
    "plate": sample.random_plate,
    "shell": sample.random_shell,
    "head": sample.random_head,
}


@pytest.mark.parametrize("kind", list(MAKERS))
@given(seed=st.integers(0, 10**6))
def test_random_pieces_against_their_meshes(kind, seed):
    shape = MAKERS[kind](random.Random(seed))
    exact = volume_of(shape)
    volume, centre = mesh_volume(shape)
    assert exact.volume == pytest.approx(volume, rel=2e-3)
    assert exact.centre == pytest.approx(tuple(centre), abs=2.5e-4)


@given(seed=st.integers(0, 10**6), scale=st.floats(0.5, 2.0))
def test_scaled_pieces_scale(seed, scale):
    shell = sample.random_shell(random.Random(seed))
    bigger = Shell(
        outer_radius=shell.outer_radius * scale,
        wall=shell.wall * scale,
        length=shell.length * scale,
        clock0=shell.clock0,
        clock1=shell.clock1,
    )
    plain = Shell(
        outer_radius=shell.outer_radius,
        wall=shell.wall,
        length=shell.length,
        clock0=shell.clock0,
        clock1=shell.clock1,
    )
    assert volume_of(bigger).volume == pytest.approx(volume_of(plain).volume * scale**3, rel=1e-9)


# ---------------------------------------------------------------- sums


def test_copies_are_placed_and_mirrored():
    plate = Plate(outline=Outline.rectangle(0.0, 0.0, 0.4, 0.2), thickness=0.01)
    part = Part(
        mark="A1",
        name="plate",
        group="base",
        shape=plate,
        stock="plate",
        placements=(Placement(origin=(1.0, 0.0, 0.0)), Placement(origin=(1.0, 0.0, 0.0), y=(0.0, -1.0, 0.0))),
    )
    first, second = placed_mass(part)
    assert first.mass == second.mass == pytest.approx(0.4 * 0.2 * 0.01 * STEEL_DENSITY)
    assert first.centre == pytest.approx((1.2, 0.1, 0.005))
    assert second.centre == pytest.approx((1.2, -0.1, 0.005))
    assert combine((first, second)).centre == pytest.approx((1.2, 0.0, 0.005))


@given(st.lists(st.tuples(st.floats(0.1, 100.0), st.floats(-5.0, 5.0)), min_size=1, max_size=6), st.integers(0, 6))
def test_combining_by_halves_is_combining_at_once(weights, split):
    items = [Mass(mass=m, centre=(x, 2.0 * x, -x)) for m, x in weights]
    whole = combine(items)
    halves = combine((combine(items[:split]), combine(items[split:])))
    assert halves.mass == pytest.approx(whole.mass)
    assert halves.centre == pytest.approx(whole.centre, abs=1e-9)


def test_assumed_weights_stay_told_apart():
    total = combine((Balance(mass=3.0, centre=(0.0, 0.0, 0.0), assumed=1.0), Mass(mass=1.0, centre=(4.0, 0.0, 0.0))))
    assert total == Balance(mass=4.0, centre=(1.0, 0.0, 0.0), assumed=1.0)
    assert combine(()).mass == 0.0


# ---------------------------------------------------------------- pieces that cannot be


def test_an_end_along_the_bar_is_refused():
    stock = tube(0.05, 0.05, 0.004, system="metric")
    lengthwise = PlaneCut(point=(0.0, 0.0, 0.0), normal=(0.0, 1.0, 0.0))
    with pytest.raises(LayoutError, match="lengthwise"):
        volume_of(Bar(profile=stock, x0=0.0, x1=1.0, start=lengthwise, finish=square_end(1.0)))
    along = CylinderCut(point=(1.0, 0.0, 0.0), axis=(1.0, 0.0, 0.0), radius=0.3)
    with pytest.raises(LayoutError, match="cannot be cut"):
        volume_of(Bar(profile=stock, x0=0.0, x1=1.0, start=SQUARE, finish=along))


def test_a_piece_cut_away_altogether_is_refused():
    stock = tube(0.05, 0.05, 0.004, system="metric")
    inside = HeadCut(point=(0.0, 0.0, 0.0), axis=(-1.0, 0.0, 0.0), radius=0.5, depth=0.3)
    with pytest.raises(LayoutError, match="nothing of this piece"):
        volume_of(Bar(profile=stock, x0=0.0, x1=0.1, start=SQUARE, finish=inside))
