"""Weld groups: balance of the flows, turning the joint, and fine chords against the closed ring."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.strength import welds
from pitwright.strength.steel import PLATE_STEEL
from pitwright.strength.welds import WeldLoad
from pitwright.tape import INCH

loads = st.builds(
    WeldLoad,
    x=st.floats(-1e4, 1e4),
    y=st.floats(-1e4, 1e4),
    z=st.floats(-1e4, 1e4),
    moment_x=st.floats(-500, 500),
    moment_y=st.floats(-500, 500),
    twist=st.floats(-500, 500),
)


@given(loads, st.floats(0.0, 6.0))
def test_turning_the_joint_changes_nothing(load: WeldLoad, turn: float) -> None:
    """The group and the load turned together: the same worst flow (tests the product of inertia)."""
    lines = np.array([(0.0, 0.0, 0.1, 0.0), (0.1, 0.0, 0.1, 0.06), (0.02, 0.05, -0.03, 0.09)])
    c, s = math.cos(turn), math.sin(turn)
    spin = np.array([[c, -s], [s, c]])
    turned = np.hstack([lines[:, :2] @ spin.T, lines[:, 2:] @ spin.T])
    fx, fy = spin @ (load.x, load.y)
    mx, my = spin @ (load.moment_x, load.moment_y)
    plain = welds.worst_flow(welds.weld_group([tuple(r) for r in lines]), load)
    other = welds.worst_flow(
        welds.weld_group([tuple(r) for r in turned]),
        WeldLoad(x=fx, y=fy, z=load.z, moment_x=mx, moment_y=my, twist=load.twist),
    )
    assert other == pytest.approx(plain, rel=1e-7, abs=1e-6)


@given(loads)
def test_many_chords_come_to_the_ring(load: WeldLoad) -> None:
    n, r = 360, 0.05
    at = [(r * math.cos(2 * math.pi * i / n), r * math.sin(2 * math.pi * i / n)) for i in range(n + 1)]
    chords = welds.weld_group([(*a, *b) for a, b in itertools.pairwise(at)])
    assert welds.worst_flow(chords, load) == pytest.approx(
        welds.worst_flow(welds.round_group(2 * r), load), rel=2e-3, abs=1e-3
    )


@given(loads, st.floats(1.0, 4.0))
def test_flow_grows_with_the_load(load: WeldLoad, more: float) -> None:
    group = welds.box_group(0.076, 0.091)
    bigger = WeldLoad(**{name: getattr(load, name) * more for name in ("x", "y", "z", "moment_x", "moment_y", "twist")})
    assert welds.worst_flow(group, bigger) == pytest.approx(more * welds.worst_flow(group, load), rel=1e-9, abs=1e-9)


def test_needed_leg_closes_the_loop() -> None:
    group, load = welds.box_group(0.076, 0.091), WeldLoad(y=2000.0, z=-3000.0, moment_x=400.0)
    leg = welds.leg_needed(group, load)
    first = welds.weld_checks("L1", "true floor", group, load, leg, 0.0045, PLATE_STEEL)[0]
    assert first.ratio == pytest.approx(1.0, rel=1e-12)
    assert welds.next_leg(leg) >= leg
    assert welds.next_leg(3 * INCH / 16) == pytest.approx(3 * INCH / 16)


def test_a_gap_weakens_a_weld_not_made_bigger() -> None:
    group, load = welds.box_group(0.076, 0.091), WeldLoad(z=-3000.0)
    tight, loose = (
        welds.weld_checks("L1", "true floor", group, load, INCH / 4, 0.0045, PLATE_STEEL, gap)[0]
        for gap in (0.0, INCH / 8)
    )
    assert loose.ratio == pytest.approx(2.0 * tight.ratio)


def test_one_line_takes_no_bending_across() -> None:
    line = welds.weld_group([(0.0, 0.0, 0.1, 0.0)])
    with pytest.raises(LayoutError, match="one straight weld"):
        welds.worst_flow(line, WeldLoad(moment_x=10.0))
    with pytest.raises(LayoutError):
        welds.weld_group([(0.0, 0.0, 0.0, 0.0)])
