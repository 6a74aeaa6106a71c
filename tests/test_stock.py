"""Bar stock: finding it by the shop's names, and its section figures."""

from __future__ import annotations

import contextlib
import dataclasses
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright import stock
from pitwright.errors import JobError
from pitwright.stock import Profile, angle, find_profile, flat, known_profiles, pipe, round_bar, tube
from pitwright.tape import INCH

IN = INCH

ASKED = [
    ("2x2x3/16", "2 x 2 x 3/16 tube"), ("2 x 2 x 3/16 tube", "2 x 2 x 3/16 tube"), ("HSS2X2X3/16", "2 x 2 x 3/16 tube"),
    ("HSS2-1/2X2-1/2X3/16", "2-1/2 x 2-1/2 x 3/16 tube"), ("2.5x2.5x.188", "2-1/2 x 2-1/2 x 3/16 tube"),
    ('2" × 2" × 3/16" square tubing', "2 x 2 x 3/16 tube"), ("1½ × 1½ × ⅛", "1-1/2 x 1-1/2 x 1/8 tube"),
    ("square tube 2 x 3/16", "2 x 2 x 3/16 tube"), ("2 in square tube 3/16 wall", "2 x 2 x 3/16 tube"),
    ("4 x 2, 1/4 wall tube", "4 x 2 x 1/4 tube"), ("4 by 2 by 1/4 tube", "4 x 2 x 1/4 tube"),
    ("2x4x1/4", "2 x 4 x 1/4 tube"), ("A500 tube 6x2x1/4", "6 x 2 x 1/4 tube"),
    ("1-1/2 x 1-1/2 x 11 ga tube", "1-1/2 x 1-1/2 x 11 ga tube"), ("2x2x14ga", "2 x 2 x 14 ga tube"),
    ("pipe 6 sch 40", "6 in sch 40 pipe"), ("6 sch 40", "6 in sch 40 pipe"), ("6 in pipe", "6 in sch 40 pipe"),
    ('6" std. pipe', "6 in sch 40 pipe"), ("Pipe6STD", "6 in sch 40 pipe"), ("pipe 6 x .280", "6 in sch 40 pipe"),
    ("8 xs pipe", "8 in sch 80 pipe"), ("12 std", "12 in std pipe"), ("12 sch 40 pipe", "12 in sch 40 pipe"),
    ("1-1/2 pipe sch 80", "1-1/2 in sch 80 pipe"), ("24 x 3/8 pipe", "24 in std pipe"),
    ("HSS4.000X0.250", "4 OD x 1/4 round tube"), ("round tube 4 x 1/4", "4 OD x 1/4 round tube"),
    ("dom 2 x .250", "2 OD x 1/4 round tube"), ("23-1/2 OD x 3/8 pipe", "23-1/2 OD x 3/8 pipe"),
    ("L2x2x1/4", "2 x 2 x 1/4 angle"), ("angle 2 x 1/4", "2 x 2 x 1/4 angle"), ("l 3 x 2 x 1/4", "3 x 2 x 1/4 angle"),
    ("2 x 3 x 1/4 angle iron", "2 x 3 x 1/4 angle"), ("C4x5.4", "C4 x 5.4 channel"), ("channel 4 x 5.4", "C4 x 5.4 channel"),
    ("flat 2 x 1/4", "2 x 1/4 flat"), ("1/4 x 2 flat bar", "2 x 1/4 flat"), ("square bar 1/2", "1/2 x 1/2 flat"),
    ("round 1/2", "1/2 round"), ('1/2" round bar', "1/2 round"), ("3/4 rod", "3/4 round"),
    ("50x50x4 mm tube", "50 x 50 x 4 mm tube"), ("50x50x4", "50 x 50 x 4 mm tube"), ("pipe 168.3 x 7.1 mm", "168.3 x 7.1 mm pipe"),
    ("pipe 168.3 x 7.1", "168.3 x 7.1 mm pipe"), ("flat 50 x 6", "50 x 6 mm flat"), ("12 mm round", "12 mm round"),
    ("L50x50x5", "50 x 50 x 5 mm angle"), ("50.8 x 50.8 x 4.76 mm tube", "2 x 2 x 3/16 tube"),
]  # fmt: skip


@pytest.mark.parametrize(("asked", "found"), ASKED)
def test_names_a_shop_writes(asked: str, found: str) -> None:
    assert find_profile(asked).designation == found


@pytest.mark.parametrize("profile", known_profiles(), ids=lambda p: p.designation)
def test_every_known_size_is_found_by_its_own_name(profile: Profile) -> None:
    assert find_profile(profile.designation) == profile
    assert find_profile(profile.turned().designation) in (profile, profile.turned())


def test_names_are_not_shared() -> None:
    names = [p.designation for p in known_profiles()]
    assert len(names) == len(set(names))


def test_bare_numbers_follow_the_shop() -> None:
    assert find_profile("flat 10 x 2", unit="mm").designation == "10 x 2 mm flat"
    assert find_profile("flat 10 x 2", unit="in").designation == "10 x 2 flat"
    assert find_profile("2x2x3/16", unit="mm").designation == "2 x 2 x 3/16 tube"


REFUSED = [
    ("", ""), ("tube", "height x width x wall"), ("2x2", "Say what it is"), ("tube 2 x 3/16", "Square or round"),
    ("C4x5", "C4 x 5.4 channel"), ("C11x20", "No channel"), ("pipe 7", "Nominal pipe sizes"), ("pipe 6 sch 35", "5, 10, 40"),
    ("2x2x1", "solid bar"), ("pipe 6 x .3", "6 OD x .3 pipe"), ("2x2x3/16 pipe", "OD x wall"), ("round 2 x 1/4", "round tube"),
    ("banana", "Say what it is"), ("2 x 2 mm x 3/16 in", "mixes"), ("2x2x0", ""), ("2x2x-1/4", ""),
    ("2 x 2 x 99 ga", "thickness"), ("2x2x1/4 tube pipe", "both"), ("2 x 2 x 1/3 tube", '5/16"'), ("flat 2", "width x thickness"),
    ("2 x 2 x 3 angle", ""), ("x" * 61, ""),
]  # fmt: skip


@pytest.mark.parametrize(("asked", "hint"), REFUSED)
def test_what_is_not_in_stock_says_what_to_write(asked: str, hint: str) -> None:
    with pytest.raises(JobError) as caught:
        find_profile(asked, field="legs.stock")
    assert hint in caught.value.remedy
    assert caught.value.field == "legs.stock"
    assert caught.value.allowed


@given(st.text(alphabet='0123456789 x/.-"xxmin tubepiflatCLschod', max_size=20))
def test_any_text_finds_stock_or_our_own_error(text: str) -> None:
    with contextlib.suppress(JobError):
        assert find_profile(text).mass_per_length > 0.0


# ---------------------------------------------------------------- sections

sixteenths = st.integers(8, 160).map(lambda n: n * IN / 16)
shares = st.floats(0.02, 0.45)


@given(sixteenths, sixteenths, shares, st.floats(0.2, 5.0), st.sampled_from(["inch", "metric"]))
def test_tube_scales_and_turns(height: float, width: float, share: float, k: float, system: str) -> None:
    wall = share * min(height, width)
    if system == "metric":
        k = 1.0 + (k - 1.0) * 1e-9  # European corners change at 6 and 10 mm
    one, big = tube(height, width, wall, system=system), tube(k * height, k * width, k * wall, system=system)
    for names, power in ((("area", "area_nominal", "mass_per_length"), 2), (("ix", "iy", "j"), 4), (("sx", "sy", "zx", "zy"), 3),
                         (("rx", "ry", "r_least", "corner_radius"), 1)):  # fmt: skip
        for name in names:
            assert getattr(big, name) == pytest.approx(getattr(one, name) * k**power, rel=1e-6)
    other = tube(width, height, wall, system=system)
    for field in dataclasses.fields(Profile):
        ours, theirs = getattr(one.turned(), field.name), getattr(other, field.name)
        assert ours == (pytest.approx(theirs, rel=1e-12) if isinstance(theirs, float) else theirs), field.name
    assert one.turned().turned() == one


@given(sixteenths, sixteenths, shares, shares)
def test_thicker_is_heavier_and_stiffer(height: float, width: float, a: float, b: float) -> None:
    """Tube up to a wall of a sixth of its side, where the 2 t corners stop eating the section."""
    side = min(height, width)
    thin, thick = (share * side for share in sorted((a, b)))
    for make, share in (
        (lambda t: tube(height, width, t / 2.7), 1 / 6),
        (lambda t: pipe(side, t), 0.5),
        (lambda t: angle(height, width, t), 1.0),
    ):
        less, more = make(thin), make(thick)
        assert more.wall <= share * side * (1 + 1e-9)
        for name in ("area", "mass_per_length", "ix", "iy", "zx", "zy", "j"):
            assert getattr(less, name) <= getattr(more, name) * (1 + 1e-9)


@given(st.sampled_from(range(len(known_profiles()))))
def test_figures_of_a_section_agree_with_each_other(index: int) -> None:
    """Formula sizes exactly; printed figures within 2.5 % of each other, areas within 6 % of the weight (C3 x 3.5)."""
    p = known_profiles()[index]
    loose = 0.025 if p.source.startswith("AISC") else 1e-9
    assert p.mass_per_length == pytest.approx(p.area_nominal * stock.STEEL_DENSITY, rel=1e-12)
    assert p.rx**2 * p.area == pytest.approx(p.ix, rel=loose)
    assert p.ry**2 * p.area == pytest.approx(p.iy, rel=loose)
    assert p.sx * max(p.centroid_height, p.height - p.centroid_height) == pytest.approx(p.ix, rel=loose)
    assert p.sy * max(p.centroid_width, p.width - p.centroid_width) == pytest.approx(p.iy, rel=loose)
    assert p.sx < p.zx < 2.6 * p.sx
    assert 0.0 < p.r_least <= min(p.rx, p.ry)
    assert p.area <= p.area_nominal * 1.06
    assert p.wall_design <= p.wall


def test_thin_tube_tends_to_the_thin_wall_formulas() -> None:
    """Square tube: A = 4 a t, I = 2/3 a3 t, J = a3 t; round: A = pi d t, I = pi/8 d3 t (any handbook)."""
    a, t = 0.1, 1e-5
    square, ring = tube(a, a, t, system="metric"), pipe(a, t, system="metric")
    assert square.area == pytest.approx(4 * a * t, rel=1e-3)
    assert square.ix == pytest.approx(2 / 3 * a**3 * t, rel=1e-3)
    assert square.j == pytest.approx(a**3 * t, rel=1e-3)
    assert ring.area == pytest.approx(math.pi * a * t, rel=1e-3)
    assert ring.ix == pytest.approx(math.pi / 8 * a**3 * t, rel=1e-3)


def test_solid_bars_have_the_closed_forms() -> None:
    bar, rod = flat(0.06, 0.01), round_bar(0.02)
    assert (bar.ix, bar.iy) == (pytest.approx(0.01 * 0.06**3 / 12), pytest.approx(0.06 * 0.01**3 / 12))
    assert bar.zx / bar.sx == pytest.approx(1.5)
    assert rod.zx / rod.sx == pytest.approx(16 / (3 * math.pi))
    assert flat(0.01, 0.06) == bar
    assert flat(0.01, 0.01).j == pytest.approx(0.1406 * 0.01**4, rel=5e-3)


def strips(
    height: float, chord: list[tuple[float, float, float]], n: int = 40000
) -> tuple[float, float, float, float, float]:
    """(area, centroid, I, plastic modulus, I from the bottom) of a section given by its chord over bands (from, to, width)."""
    step = height / n
    at = [((i + 0.5) * step) for i in range(n)]
    widths = [sum(w for a, b, w in chord if a <= y < b) for y in at]
    area = sum(widths) * step
    up = sum(w * y for w, y in zip(widths, at)) * step / area
    second = sum(w * (y - up) ** 2 for w, y in zip(widths, at)) * step
    run, middle = 0.0, 0.0
    for w, y in zip(widths, at):
        run += w * step
        if run >= area / 2:
            middle = y
            break
    plastic = sum(w * abs(y - middle) for w, y in zip(widths, at)) * step
    return area, up, second, plastic, second + area * up**2


@pytest.mark.parametrize(
    ("height", "width", "wall"), [(50, 50, 5), (80, 30, 6), (30, 80, 6), (40, 120, 14), (100, 60, 25)]
)
def test_angle_against_strips(height: float, width: float, wall: float) -> None:
    made = angle(height / 1e3, width / 1e3, wall / 1e3, system="metric")
    area, up, second, plastic, _ = strips(height, [(0, wall, width), (wall, height, wall)])
    assert made.area == pytest.approx(area * 1e-6, rel=1e-4)
    assert made.centroid_height == pytest.approx(up * 1e-3, rel=1e-4)
    assert made.ix == pytest.approx(second * 1e-12, rel=1e-3)
    assert made.zx == pytest.approx(plastic * 1e-9, rel=1e-3)
    assert made.r_least**2 * made.area == pytest.approx(_least_by_turning(height, width, wall) * 1e-12, rel=1e-3)


def _least_by_turning(a: float, b: float, t: float) -> float:
    """Least second moment found by turning the axis in steps over rectangles cut into cells."""
    n = 120
    cells = [(t * (i + 0.5) / n, t + (a - t) * (k + 0.5) / n, t / n * (a - t) / n) for i in range(n) for k in range(n)]
    cells += [(b * (i + 0.5) / n, t * (k + 0.5) / n, b / n * t / n) for i in range(n) for k in range(n)]
    area = sum(c[2] for c in cells)
    x0, y0 = (sum(c[j] * c[2] for c in cells) / area for j in (0, 1))
    xx, yy, xy = (sum(f(x - x0, y - y0) * da for x, y, da in cells)
                  for f in (lambda x, y: x * x, lambda x, y: y * y, lambda x, y: x * y))  # fmt: skip
    turns = [math.radians(d / 10) for d in range(1800)]
    return min(yy * math.cos(u) ** 2 + xx * math.sin(u) ** 2 - 2 * xy * math.sin(u) * math.cos(u) for u in turns)


def test_surface_for_paint() -> None:
    assert find_profile("2x2x3/16").outside_perimeter == pytest.approx((8 - (8 - 2 * math.pi) * 0.375) * IN)
    assert find_profile("6 sch 40").outside_perimeter == pytest.approx(math.pi * 6.625 * IN)
    assert flat(0.05, 0.006).outside_perimeter == pytest.approx(0.112)
    channel = find_profile("C4x5.4")
    assert channel.outside_perimeter == pytest.approx((2 * 4 + 4 * 1.58 - 2 * 0.184) * IN)
    assert channel.turned().outside_perimeter == channel.outside_perimeter


# ---------------------------------------------------------------- plate


@pytest.mark.parametrize(
    ("inches", "name"),
    [(0.25, "1/4 plate"), (0.1345, "10 ga sheet"), (0.375, "3/8 plate"), (0.1793, "7 ga sheet"), (0.1875, "3/16 plate"),
     (0.125, "1/8 sheet")],
)  # fmt: skip
def test_plate_names(inches: float, name: str) -> None:
    assert stock.plate_name(inches * INCH, "inch") == name


def test_metric_plate_names() -> None:
    assert stock.plate_name(0.006, "metric") == "6 mm plate"
    assert stock.plate_name(0.0015, "metric") == "1.5 mm sheet"
