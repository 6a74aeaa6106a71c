"""Tipping, floor, rock: mirror images, independent routes, and what only goes one way."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.strength import floor, rock, stability
from pitwright.strength.stability import Footing, MassPoint
from pitwright.tape import STANDARD_GRAVITY, Tape

TAPE = Tape.for_system("inch")
FEET = [Footing(name=n, x=x, y=y) for n, x, y in (("A", 0.0, 0.0), ("B", 2.0, 0.0), ("C", 2.0, 0.9), ("D", 0.0, 0.9))]
weights = st.builds(
    MassPoint, mass=st.floats(50, 4000), x=st.floats(0.1, 1.9), y=st.floats(0.1, 0.8), z=st.floats(0.2, 2)
)


@given(weights)
def test_mirror_image_tips_alike(weight: MassPoint) -> None:
    other = MassPoint(mass=weight.mass, x=weight.x, y=0.9 - weight.y, z=weight.z)
    assert stability.tip_angle(FEET, other) == pytest.approx(stability.tip_angle(FEET, weight), rel=1e-9)


@given(weights)
def test_tip_angle_by_turning_the_base(weight: MassPoint) -> None:
    """Turn the pit by the tip angle about the side: its weight then stands right over the side."""
    side = min(stability.sides(FEET, weight), key=lambda s: s.angle)
    turned = side.margin * math.cos(side.angle) - weight.z * math.sin(side.angle)
    assert turned == pytest.approx(0.0, abs=1e-9)


@given(weights, st.floats(0.01, 0.5))
def test_higher_weight_tips_sooner(weight: MassPoint, more: float) -> None:
    higher = MassPoint(mass=weight.mass, x=weight.x, y=weight.y, z=weight.z + more)
    assert stability.tip_angle(FEET, higher) < stability.tip_angle(FEET, weight)


@given(weights, st.floats(0.0, 0.1))
def test_casters_never_widen_a_base(weight: MassPoint, trail: float) -> None:
    casters = [Footing(name=f.name, x=f.x, y=f.y, trail=trail) for f in FEET]
    assert stability.tip_angle(casters, weight) <= stability.tip_angle(FEET, weight) + 1e-12


def test_a_middle_foot_changes_nothing() -> None:
    weight = MassPoint(mass=100.0, x=1.0, y=0.3, z=0.8)
    more = [*FEET, Footing(name="M", x=1.0, y=0.45), Footing(name="E", x=1.0, y=0.0)]
    assert stability.tip_angle(more, weight) == pytest.approx(stability.tip_angle(FEET, weight))


def test_gather_and_refusals() -> None:
    whole = stability.gather([MassPoint(mass=1.0, x=0, y=0, z=0), MassPoint(mass=3.0, x=4.0, y=0, z=2.0)])
    assert (whole.mass, whole.x, whole.z) == (4.0, 3.0, 1.5)
    with pytest.raises(LayoutError):
        stability.gather([])
    with pytest.raises(LayoutError, match="three feet"):
        stability.outline(FEET[:2])
    with pytest.raises(LayoutError, match="one line"):
        stability.outline([Footing(name=str(i), x=float(i), y=0.0) for i in range(4)])


def test_kerb_against_energy() -> None:
    """The push over a kerb is the moment balance about its edge; at a tenth of the radius: sqrt(0.19)/0.9 of the load."""
    assert stability.kerb_push(1000.0, 0.1, 0.01) == pytest.approx(1000.0 * math.sqrt(0.19) / 0.9)
    assert math.isinf(stability.kerb_push(1000.0, 0.1, 0.1))
    assert stability.kerb_push(1000.0, 0.1, 0.0) == 0.0


@given(weights, st.floats(0.1, 3.0))
def test_a_dead_stop_by_stepping(weight: MassPoint, speed: float) -> None:
    """Closed form against stepping the turning motion in time."""
    side = min(stability.sides(FEET, weight), key=lambda s: s.angle)
    found = stability.kerb_stop_angle(side, weight, speed)
    assert 0.0 <= found <= side.angle + 1e-12
    r2 = side.margin**2 + weight.z**2
    spin, angle, dt = speed * weight.z / r2, math.atan2(weight.z, side.margin), 2e-4
    start = angle
    while spin > 0.0 and angle < math.pi / 2:
        spin -= STANDARD_GRAVITY / math.sqrt(r2) * math.cos(angle) * dt
        angle += spin * dt
    assert found == pytest.approx(min(angle, math.pi / 2) - start, abs=8e-3)


def test_wind_closes_its_loop() -> None:
    weight = MassPoint(mass=800.0, x=1.0, y=0.45, z=0.8)
    side = min(stability.sides(FEET, weight), key=lambda s: s.angle)
    speed = stability.wind_speed_to_tip(side, weight, 1.5, 0.9)
    assert stability.wind_push(1.5, speed) == pytest.approx(stability.push_to_tip(side, weight, 0.9))
    assert stability.wind_push(2.0, 10.0, 1.0) == pytest.approx(0.5 * 1.225 * 100 * 2.0)


def test_findings_say_how_much_wider() -> None:
    weight = MassPoint(mass=500.0, x=1.0, y=0.45, z=3.5)
    (found,) = stability.tip_findings(FEET, [("loaded", weight)], TAPE)
    assert found.code == "stand.tips"
    wider = [Footing(name=f.name, x=f.x, y=f.y + math.copysign(weight.z * math.tan(math.radians(10)) - 0.45 + 1e-6, f.y - 0.45)) for f in FEET]  # fmt: skip
    assert stability.tip_findings(wider, [("loaded", weight)], TAPE) == ()
    assert not stability.tip_checks(FEET, [("loaded", weight)])[0].passes


def test_pads_by_ground() -> None:
    side = floor.pad_side(5000.0, "firm lawn")
    assert floor.pressure(5000.0, side**2) == pytest.approx(floor.allowed("firm lawn"))
    (found,) = floor.floor_findings([("A", 5000.0), ("B", 4000.0)], 0.005, "firm lawn", TAPE)
    assert found.pieces == ("A",)
    assert floor.floor_findings([("A", 100.0)], 0.01, "concrete slab", TAPE) == ()
    with pytest.raises(LayoutError, match="no ground"):
        floor.allowed("cheese")


@given(st.lists(st.floats(-0.01, 0.01), min_size=6, max_size=6), st.floats(0.2, 1.8), st.floats(0.1, 0.8))
def test_shims_take_the_rock_out(heights: list[float], cx: float, cy: float) -> None:
    """With the shims in, or the trims cut, every foot touches one plane; no gap is negative."""
    places = ((0, 0), (1, 0), (2, 0), (2, 0.9), (1, 0.9), (0, 0.9))
    feet = [rock.FootHeight(name=str(i), x=x, y=y, height=h) for i, ((x, y), h) in enumerate(zip(places, heights))]
    found = rock.rock(feet, (cx, cy))
    assert len(found.rests_on) == 3
    assert min(g for _, g in found.gaps) >= 0.0
    for change, sign in ((dict(found.shims), -1.0), (dict(found.trims), 1.0)):
        level = [f.height + sign * change.get(f.name, 0.0) for f in feet]
        a = np.array([(1.0, f.x, f.y) for f in feet])
        left = np.linalg.lstsq(a, np.array(level), rcond=None)[0]
        assert np.max(np.abs(a @ left - level)) < 1e-7


def test_rock_findings_and_refusals() -> None:
    feet = [rock.FootHeight(name=n, x=x, y=y, height=h) for n, x, y, h in (("A", 0, 0, 0), ("B", 2, 0, 0.004), ("C", 2, 1, 0), ("D", 0, 1, 0))]  # fmt: skip
    found = rock.rock(feet, (0.9, 0.6))
    assert [f.code for f in rock.rock_findings(found, TAPE)] == ["stand.rocks"]
    level = rock.rock([rock.FootHeight(name=f.name, x=f.x, y=f.y, height=0.0) for f in feet], (0.9, 0.6))
    assert rock.rock_findings(level, TAPE) == ()
    with pytest.raises(LayoutError, match="cannot rock"):
        rock.rock(feet[:3], (0.5, 0.5))
    with pytest.raises(LayoutError, match="not over"):
        rock.rock(feet, (5.0, 5.0))
    with pytest.raises(LayoutError, match="diagonals"):
        rock.skew(2.0, 0.5, 3.0, 1.0)


@given(st.floats(-0.3, 0.3), st.floats(1.0, 4.0), st.floats(0.4, 1.2))
def test_skew_of_a_drawn_base(shift: float, length: float, width: float) -> None:
    high = math.sqrt(width**2 - shift**2)
    found = rock.skew(length, width, math.hypot(length + shift, high), math.hypot(length - shift, high))
    assert found.shift == pytest.approx(shift, abs=1e-9)
