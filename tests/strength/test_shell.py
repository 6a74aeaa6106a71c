"""The shell under a leg, and the shell as a beam: printed limits and independent routes."""

from __future__ import annotations

import dataclasses
import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.strength import shell, shell_section, steel
from pitwright.strength.shell import PatchLoad, ShellPatch
from pitwright.tape import INCH, LBF, Tape

TAPE = Tape.for_system("inch")
V1 = ShellPatch(radius=14.92 * INCH, wall=INCH / 4, length=84 * INCH, station=8 * INCH, along=3 * INCH, around=3 * INCH)


def test_pinched_cylinder() -> None:
    """Pinched cylinder on round ends, R 300, L 600, t 3, E 3e6: 1.8248e-5 under the load (shell element benchmark of
    Belytschko and of MacNeal and Harder, from memory). 0.3 %: a small patch for the point load."""
    patch = ShellPatch(radius=300, wall=3, length=600, station=300, along=3.0, around=3.0, stiffness=3e6)
    both = shell.deflection(patch, 300, 0.0) + shell.deflection(patch, 300, math.pi * 300)
    assert both == pytest.approx(1.8248e-5, rel=3e-3)


def test_long_plate() -> None:
    """A vast radius is a long plate held on two edges: 0.01695 P a2 / D under a point load (Timoshenko and
    Woinowsky-Krieger, table of concentrated loads, from memory). 1 %: patch and curvature."""
    radius, a, t = 2000.0, 1.0, 0.3
    patch = ShellPatch(radius=radius, wall=t, length=a, station=a / 2, along=a / 25, around=a / 25)
    plate = steel.STIFFNESS * t**3 / (12 * (1 - 0.3**2))
    waves = np.arange(1, 80, 2) * math.pi / a
    line = float(np.sum((np.sin(waves * a / 2) * np.sinc(waves * a / 50 / math.pi)) ** 2 / waves**3) / (2 * a * plate))
    assert line == pytest.approx(0.01695 * a**2 / plate, rel=1e-2)
    # a shell of moderate radius with a wall so thick that its curve hardly matters
    flat = dataclasses.replace(patch, radius=8.0, wall=1.2)
    plate = steel.STIFFNESS * 1.2**3 / (12 * (1 - 0.3**2))
    assert shell.deflection(flat, a / 2, 0.0) == pytest.approx(0.01695 * a**2 / plate, rel=0.03)


def test_whole_beam_comes_out() -> None:
    """n = 1 is the vessel as a beam on its heads: a middle load gives P L3 / 48 E I and shear on top."""
    long = ShellPatch(radius=0.38, wall=0.006, length=20.0, station=10.0, along=0.3, around=0.3)
    beam = shell.deflection(long, 10.0, 0.0) - shell.deflection(long, 10.0, 0.0, beam=False)
    inertia = math.pi * 0.38**3 * 0.006
    assert beam == pytest.approx(20.0**3 / (48 * steel.STIFFNESS * inertia), rel=0.03)


def test_breathing() -> None:
    """All round evenly pressed far from the ends: p R2 / (E t), the hoop answer; here a ring of full arc."""
    ring = ShellPatch(radius=0.4, wall=0.006, length=8.0, station=4.0, along=4.0, around=2 * math.pi * 0.4 - 1e-9)
    pressure = 1.0 / (ring.along * ring.around)
    assert shell.deflection(ring, 4.0, 0.0) == pytest.approx(pressure * 0.4**2 / (steel.STIFFNESS * 0.006), rel=0.01)


def test_rolling_of_a_usual_leg() -> None:
    """2,230 in-lb on a 3 in leg, 30 in vessel, 1/4 wall: 0.1 to 0.5 degree (common practice estimate, no source)."""
    moment = 2230 * LBF * INCH
    found = shell.rolling_stiffness(V1)
    turns = [math.degrees(moment / k) for k in (found.high, found.best, found.low)]
    assert 0.1 < turns[0] < turns[1] < turns[2] < 0.5


@settings(max_examples=20)
@given(st.floats(0.004, 0.012), st.floats(0.0005, 0.004), st.floats(0.05, 0.15))
def test_thicker_and_wider_is_stiffer(wall: float, more: float, size: float) -> None:
    patch = dataclasses.replace(V1, wall=wall, along=size, around=size, station=0.5)
    thick, wide = (
        dataclasses.replace(patch, wall=wall + more),
        dataclasses.replace(patch, along=size * 1.3, around=size * 1.3),
    )
    for load in ("push", "roll", "pitch"):
        here = shell.local(patch, load)  # type: ignore[arg-type]
        assert here.movement > 0.0
        assert shell.local(thick, load).movement < here.movement  # type: ignore[arg-type]
        assert shell.local(wide, load).movement < here.movement  # type: ignore[arg-type]
        assert shell.local(thick, load).stress < here.stress  # type: ignore[arg-type]


@settings(max_examples=15)
@given(st.floats(0.2, 1.0))
def test_mirror_image_along_the_vessel(station: float) -> None:
    here = dataclasses.replace(V1, station=station)
    there = dataclasses.replace(V1, station=V1.length - station)
    for load in ("push", "roll", "pitch"):
        assert shell.local(here, load).movement == pytest.approx(shell.local(there, load).movement, rel=1e-9)  # type: ignore[arg-type]


def test_a_pad_mends_the_wall() -> None:
    thin = dataclasses.replace(V1, wall=INCH / 8, station=0.5)
    load = PatchLoad(push=4000.0, roll=500.0)
    check = shell.wall_check("L1", "true floor", thin, load, steel.FOUND_STEEL)
    assert not check.passes
    pad = shell.pad_needed(thin, load, steel.FOUND_STEEL)
    assert pad is not None
    (found,) = shell.wall_findings(check, thin, load, steel.FOUND_STEEL, TAPE)
    assert found.remedy.startswith("Pad ")
    wide = dataclasses.replace(thin, along=pad[0], around=pad[0])
    assert shell.wall_check("L1", "true floor", wide, load, steel.FOUND_STEEL).passes
    assert shell.wall_findings(shell.wall_check("L1", "x", V1, PatchLoad(push=10.0), steel.FOUND_STEEL), V1, load, steel.FOUND_STEEL, TAPE) == ()  # fmt: skip
    hopeless = PatchLoad(push=4e6)
    assert shell.pad_needed(thin, hopeless, steel.FOUND_STEEL) is None
    bad = shell.wall_check("L1", "x", thin, hopeless, steel.FOUND_STEEL)
    assert "engineer" in shell.wall_findings(bad, thin, hopeless, steel.FOUND_STEEL, TAPE)[0].remedy


def test_refusals() -> None:
    with pytest.raises(LayoutError, match="past the end"):
        dataclasses.replace(V1, station=0.0)
    with pytest.raises(LayoutError, match="over 0"):
        dataclasses.replace(V1, wall=0.0)
    with pytest.raises(LayoutError, match="right round"):
        shell_section.shell_section(1.0, 0.01, 7.0)
    with pytest.raises(LayoutError, match="thinner"):
        shell_section.shell_section(1.0, 1.0)


# ---------------------------------------------------------------- the shell as a beam


@settings(max_examples=30)
@given(st.floats(0.0, 4.0), st.floats(0.002, 0.02))
def test_open_shell_by_adding_up(arc: float, wall: float) -> None:
    """Area, centroid and both second moments against a fine sum over the ring."""
    radius, n = 0.38, 4000
    found = shell_section.shell_section(radius, wall, arc)
    angle = np.linspace(arc / 2, 2 * math.pi - arc / 2, n + 1)
    mid, step = (angle[:-1] + angle[1:]) / 2, np.diff(angle)
    rings = np.linspace(radius - wall, radius, 17)
    area = first = toward = away = 0.0
    for r0, r1 in itertools.pairwise(rings):
        r, dr = (r0 + r1) / 2, r1 - r0
        d = r * dr * step
        area += d.sum()
        first += (d * r * np.cos(mid)).sum()
        toward += (d * (r * np.sin(mid)) ** 2).sum()
        away += (d * (r * np.cos(mid)) ** 2).sum()
    assert found.area == pytest.approx(area, rel=1e-6)
    assert found.offset == pytest.approx(-first / area, rel=1e-4, abs=1e-9)
    assert found.i_along == pytest.approx(toward, rel=1e-4)
    assert found.i_across == pytest.approx(away - first**2 / area, rel=1e-3)


@pytest.mark.parametrize("arc", [0.3, 0.9, 1.4, 2.2, 3.1, 4.5])
def test_warping_and_shear_centre_by_sectorial_area(arc: float) -> None:
    """Roark's closed forms against the sectorial area summed along the wall (thin)."""
    r, t, n = 0.38, 0.004, 20000
    found = shell_section.shell_section(r + t / 2, t, arc)
    angle = np.linspace(arc / 2, 2 * math.pi - arc / 2, n + 1)
    mid, d = (angle[:-1] + angle[1:]) / 2, np.diff(angle) * r * t
    x, y = r * np.cos(mid), r * np.sin(mid)
    swept = r * r * (mid - math.pi)
    # move the pole along the axis of symmetry until the sectorial area is square to y
    shift = np.sum(swept * y * d) / np.sum(y * y * d)
    w = swept - shift * y
    assert found.warping == pytest.approx(float(np.sum(w * w * d)), rel=2e-3)
    assert found.shear_centre == pytest.approx(abs(float(shift)), rel=2e-3)
    assert x.size == n


@given(st.floats(0.2, 2.5), st.floats(0.01, 0.5))
def test_a_wider_door_weakens(arc: float, more: float) -> None:
    narrow, wide = (shell_section.shell_section(0.38, 0.006, a) for a in (arc, arc + more))
    for name in ("area", "i_across", "i_along", "torsion"):
        assert getattr(wide, name) < getattr(narrow, name)


@given(st.floats(0.2, 3.0), st.floats(-3.0, 3.0))
def test_turned_moments_keep_their_sum(arc: float, clock: float) -> None:
    found = shell_section.shell_section(0.38, 0.006, arc)
    up, side, product = shell_section.bending_about(found, clock)
    assert up + side == pytest.approx(found.i_across + found.i_along)
    assert up * side - product**2 == pytest.approx(found.i_across * found.i_along, rel=1e-9)
    assert shell_section.bending_about(found, 0.0)[0] == pytest.approx(found.i_across)


def test_door_torsion_limits() -> None:
    """Short door: warping only, 12 E Cw / L2; long door: Saint-Venant alone; closed: untouched."""
    found, e, g = shell_section.shell_section(0.38, 0.006, 1.4), steel.STIFFNESS, steel.SHEAR_STIFFNESS
    short = shell_section.torsion_over(found, 0.05, e, g)
    assert short == pytest.approx(12 * e * found.warping / 0.05**2 / g, rel=1e-3)
    assert shell_section.torsion_over(found, 5000.0, e, g) == pytest.approx(found.torsion, rel=0.02)
    lengths = np.linspace(0.1, 10, 200)
    all_of_them = [shell_section.torsion_over(found, float(v), e, g) for v in lengths]
    assert all(b < a for a, b in itertools.pairwise(all_of_them))
    whole = shell_section.shell_section(0.38, 0.006)
    assert shell_section.torsion_over(whole, 1.0, e, g) == whole.torsion
