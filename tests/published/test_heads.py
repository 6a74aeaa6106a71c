"""Heads and tanks against published worked examples and a reference library."""

import math

import fluids.geometry as fluids
import pytest

from pitwright.geometry import fill
from pitwright.geometry import heads as hd

GALLON = 231.0  # cubic inches; all sizes here in inches
PLATE = 0.25


def jones(head):
    """D. Jones, "Calculating Tank Volume": 108 in diameter, 156 in shell, two heads; values as kept in the tests of
    the fluids library ("Two examples from [1]")."""
    return lambda level: fill.lying_volume(54.0, 156.0, (head, head), level) / GALLON


@pytest.mark.parametrize(
    ("head", "level", "gallons"),
    [
        (hd.EllipsoidalHead(radius=54.0, depth=42.0, thickness=PLATE), 36.0, 2380.9565),
        (hd.EllipsoidalHead(radius=54.0, depth=42.0, thickness=PLATE), 84.0, 7103.4452),
        (hd.EllipsoidalHead(radius=54.0, depth=42.0, thickness=PLATE), 108.0, 8407.3915),
        (hd.dished_head(54.0, 42.0, PLATE), 36.0, 2303.9615),
        (hd.dished_head(54.0, 42.0, PLATE), 84.0, 6935.1634),
        (hd.torispherical_head(108.0, 1.0, 0.06, PLATE), 36.0, 2028.6267),
        (hd.torispherical_head(108.0, 1.0, 0.06, PLATE), 84.0, 5939.8979),
        (hd.torispherical_head(108.0, 1.0, 0.06, PLATE), 108.0, 7069.9947),
        (hd.ConicalHead(radius=54.0, depth=42.0, thickness=PLATE), 36.0, 2041.1924),
        (hd.ConicalHead(radius=54.0, depth=42.0, thickness=PLATE), 84.0, 6180.5408),
    ],
)
def test_jones_lying_tanks(head, level, gallons):
    assert jones(head)(level) == pytest.approx(gallons, rel=1e-6)


@pytest.mark.parametrize(("level", "gallons"), [(24.0, 783.3582), (60.0, 2902.8316)])
def test_jones_standing_tank(level, gallons):
    """The same paper: 132 in diameter standing on an ellipsoidal bottom 33 in deep."""
    bottom = hd.EllipsoidalHead(radius=66.0, depth=33.0, thickness=PLATE)
    cover = hd.FlatHead(radius=66.0, plate_radius=66.0, thickness=PLATE)
    assert fill.standing_volume(66.0, 120.0, bottom, cover, level) / GALLON == pytest.approx(gallons, rel=1e-6)


def test_standing_tank_with_a_sloped_bottom_and_a_dished_top():
    """HP Museum forum, thread 11553: 144 in diameter, bottom sloping 12 in across, ball top of 90 in radius, level 6 in
    into the top: 3,120,581 in3, 13,509 gal."""
    top = hd.TorisphericalHead(radius=72.0, crown=90.0, knuckle=0.0, thickness=PLATE)
    assert top.inside_depth == pytest.approx(36.0)
    bottom = hd.FlatHead(radius=72.0, plate_radius=72.0, thickness=PLATE)
    sloped = math.pi * 72.0**2 * 12.0 / 2.0
    volume = sloped + fill.standing_volume(72.0, 180.0, bottom, top, 186.0)
    assert volume == pytest.approx(3120581.0, abs=1.0)
    assert volume / GALLON == pytest.approx(13509.0, abs=0.5)


@pytest.mark.parametrize(
    ("head", "share"),
    [
        (hd.two_to_one_head(0.5, 0.01), 0.13090),
        (hd.hemispherical_head(0.5, 0.01), 0.26180),
        (hd.torispherical_head(1.0, 1.0, 0.06, 0.01), 0.08100),
        (hd.torispherical_head(1.0, 1.0, 0.1, 0.01), 0.09897),
        (hd.torispherical_head(1.0, 0.8, 0.154, 0.01), 0.13077),
        (hd.torispherical_head(1.0, 0.9, 0.17, 0.01), 0.13284),
    ],
)
def test_volume_of_one_head_over_diameter_cubed(head, share):
    """fluids.V_horiz_torispherical; pi D3/24 for a 2:1 head is usual vessel practice (from memory)."""
    assert head.figures().inside_volume == pytest.approx(share, abs=1e-5)


def test_surface_of_one_head_over_diameter_squared():
    """fluids.SA_ellipsoidal_head, SA_torispheroidal and a_torispherical."""
    dished = hd.torispherical_head(1.0, 1.0, 0.06, 0.01)
    assert hd.two_to_one_head(0.5, 0.01).figures().inside_area == pytest.approx(1.08399, abs=1e-5)
    assert dished.figures().inside_area == pytest.approx(0.93058, abs=1e-5)
    assert hd.hemispherical_head(0.5, 0.01).figures().inside_area == pytest.approx(1.57080, abs=1e-5)
    assert dished.inside_depth == pytest.approx(0.16934, abs=1e-5)


def test_tank_with_two_ellipsoidal_heads():
    """fluids.geometry.TANK(D=36, L=96, two 2:1 heads): volumes and inside area, inches."""
    heads = (hd.two_to_one_head(18.0, PLATE), hd.two_to_one_head(18.0, PLATE))
    reference = fluids.TANK(D=36.0, L=96.0, sideA="ellipsoidal", sideB="ellipsoidal", sideA_a=9.0, sideB_a=9.0)
    assert fill.vessel_volume(18.0, 96.0, heads) / GALLON == pytest.approx(475.890, rel=1e-6)
    assert fill.vessel_volume(18.0, 96.0, heads) == pytest.approx(reference.V_total, rel=1e-9)
    assert fill.lying_volume(18.0, 96.0, heads, 18.0) / GALLON == pytest.approx(237.945, rel=1e-6)
    assert fill.lying_volume(18.0, 96.0, heads, 9.0) / GALLON == pytest.approx(90.9616, rel=1e-6)
    area = math.pi * 36.0 * 96.0 + sum(head.figures().inside_area for head in heads)
    assert area == pytest.approx(13667.03, rel=1e-6)
    assert area == pytest.approx(reference.A, rel=1e-9)


@pytest.mark.parametrize(("diameter", "gallons"), [(24.0, 23.5007), (30.0, 36.7199), (36.0, 52.8767), (48.0, 94.0030)])
def test_shell_gallons_a_foot(diameter, gallons):
    """pi D2/4 x 12 / 231, the gallon as in the tank examples above."""
    cover = hd.FlatHead(radius=diameter / 2.0, plate_radius=diameter / 2.0, thickness=PLATE)
    volume = fill.vessel_volume(diameter / 2.0, 12.0, (cover, cover))
    assert volume / GALLON == pytest.approx(gallons, rel=1e-5)
