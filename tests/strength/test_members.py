"""Members: continuity at every border, symmetry, and what must only ever go one way."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.stock import find_profile, known_profiles
from pitwright.strength import bending, members, steel
from pitwright.strength.members import Force, Member
from pitwright.strength.steel import PLATE_STEEL, TUBE_STEEL

TUBE = find_profile("3x3x3/16")
lengths = st.floats(0.2, 4.0)
temperatures = st.floats(293.15, 1400.0)


def leg(length: float = 0.7, temperature: float = 293.15, **more: float) -> Member:
    return Member(piece="L1", section=TUBE, steel=TUBE_STEEL, length=length, temperature=temperature, **more)


@given(lengths, st.floats(0.01, 2.0))
def test_longer_carries_less(length: float, more: float) -> None:
    assert members.compression(leg(length + more)) < members.compression(leg(length))


@given(lengths, temperatures, st.floats(1.0, 300.0))
def test_hotter_never_carries_more(length: float, temperature: float, more: float) -> None:
    cool, warm = members.allowable(leg(length, temperature)), members.allowable(leg(length, temperature + more))
    for name in ("tension", "compression", "moment_x", "moment_y", "torsion"):
        assert getattr(warm, name) <= getattr(cool, name) * (1.0 + 1e-12)


def test_column_curve_meets_at_its_border() -> None:
    """E3-2 and E3-3 meet at Fy/Fe = 2.25 within the rounding of 0.658 and 0.877 (0.1 %)."""
    border = math.pi * math.sqrt(2.25 * steel.STIFFNESS / TUBE_STEEL.yield_stress)
    below, above = (members.buckling_stress(border * f, TUBE_STEEL) for f in (1.0 - 1e-9, 1.0 + 1e-9))
    assert below == pytest.approx(above, rel=1.5e-3)


def test_column_curve_against_its_own_limits() -> None:
    """Short: yield. Long: 0.877 of Euler, whatever the grade."""
    assert members.buckling_stress(1e-3, TUBE_STEEL) == pytest.approx(TUBE_STEEL.yield_stress, rel=1e-6)
    euler = math.pi**2 * steel.STIFFNESS / 180.0**2
    for grade in (TUBE_STEEL, PLATE_STEEL):
        assert members.buckling_stress(180.0, grade) == pytest.approx(0.877 * euler, rel=1e-12)


@pytest.mark.parametrize("shape", known_profiles()[::7], ids=lambda p: p.designation)
def test_bending_lies_between_elastic_and_plastic(shape: object) -> None:
    """Short members: at least 0.6 of first yield, never over the plastic moment, for every kind of stock."""
    try:
        x, y = bending.moments(shape, PLATE_STEEL, 0.1)  # type: ignore[arg-type]
    except LayoutError:
        return
    fy = PLATE_STEEL.yield_stress / bending.OMEGA
    for moment, s, z in ((x, shape.sx, shape.zx), (y, shape.sy, shape.zy)):  # type: ignore[attr-defined]
        assert 0.6 * fy * s <= moment <= fy * z * (1.0 + 1e-9)


def test_channel_twist_against_doubly_long_beam() -> None:
    """Elastic twist of a channel: a beam four times past the limit loses over half; the curve never rises."""
    channel = find_profile("C6x8.2")
    moments = [bending.moments(channel, PLATE_STEEL, length)[0] for length in np.linspace(0.1, 8.0, 60)]
    assert all(b <= a * (1.0 + 1e-9) for a, b in itertools.pairwise(moments))
    assert moments[-1] < 0.5 * moments[0]


def test_channel_warping_by_integration() -> None:
    """Warping constant in closed form against the sectorial area integrated wall by wall (an independent route)."""
    depth, width, web, flange = 0.1524, 0.0488, 0.0051, 0.0087
    b, h = width - web / 2, depth - flange
    # thin walls: toe, corner, corner, toe; s measured along the middle line
    n = 4001
    pts = np.vstack(
        [
            np.column_stack([np.linspace(b, 0, n), np.full(n, h / 2)]),
            np.column_stack([np.zeros(n), np.linspace(h / 2, -h / 2, n)])[1:],
            np.column_stack([np.linspace(0, b, n), np.full(n, -h / 2)])[1:],
        ]
    )
    step = np.diff(pts, axis=0)
    thick = np.where(np.abs(step[:, 0]) > 0, flange, web)
    area = thick * np.hypot(step[:, 0], step[:, 1])
    swept = np.concatenate([[0.0], np.cumsum(pts[:-1, 0] * step[:, 1] - pts[:-1, 1] * step[:, 0])])
    middle, w = (pts[:-1] + pts[1:]) / 2, (swept[:-1] + swept[1:]) / 2
    x, y = middle[:, 0] - np.average(middle[:, 0], weights=area), middle[:, 1]
    w = w - np.average(w, weights=area)
    for axis in (x, y):
        w = w - axis * np.sum(w * axis * area) / np.sum(axis * axis * area)
    by_parts = float(np.sum(w * w * area))
    ratio = (3 * b * flange + 2 * h * web) / (6 * b * flange + h * web)
    assert flange * b**3 * h**2 / 12 * ratio == pytest.approx(by_parts, rel=2e-3)


@given(st.lists(st.floats(-1e4, 1e4), min_size=6, max_size=6), st.floats(1.0, 3.0))
def test_more_load_is_never_better(row: list[float], more: float) -> None:
    limits = members.allowable(leg())
    forces = np.array([row, [v * more for v in row]])
    small, large = members.interaction(limits, forces)
    assert large >= small * (1.0 - 1e-12)


@given(st.lists(st.floats(-1e4, 1e4), min_size=5, max_size=5))
def test_signs_of_bending_do_not_matter(row: list[float]) -> None:
    limits = members.allowable(leg())
    forces = np.array([[100.0, *row], [100.0, *(-v for v in row)]])
    first, second = members.interaction(limits, forces)
    assert first == pytest.approx(second, rel=1e-12)


def test_checks_name_their_clause() -> None:
    found = members.member_checks(leg(), "true floor", [Force(axial=-2000.0, moment_x=250.0), Force(axial=-1900.0)])
    by_name = {c.name: c for c in found}
    assert by_name["push"].demand == 2000.0
    assert "E3" in by_name["push"].equation
    assert by_name["bending"].demand == 250.0
    assert by_name["all together"].ratio == pytest.approx(
        2000.0 / by_name["push"].capacity / 2 + 250.0 / by_name["bending"].capacity
    )
    assert members.member_checks(leg(), "true floor", []) == ()


def test_a_wall_like_foil_is_refused() -> None:
    class Foil:
        designation, kind, height, width, wall_design, flange = "foil", "pipe", 1.0, 1.0, 0.001, 0.001
        area = ix = iy = sx = sy = zx = zy = rx = ry = r_least = j = mass_per_length = 1.0

    with pytest.raises(LayoutError, match="too thin"):
        bending.moments(Foil(), PLATE_STEEL, 1.0)  # type: ignore[arg-type]
