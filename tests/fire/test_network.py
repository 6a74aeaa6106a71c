"""The flow network: closed forms, an independent root finder, and what must always hold."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from pitwright.fire.network import OUTSIDE, Network, Way

areas = st.floats(0.001, 0.2)
pressures = st.floats(-50.0, 50.0)


def chain(k: list[float], area: list[float]) -> Network:
    ends = [OUTSIDE, *range(len(k) - 1), OUTSIDE]
    return Network(
        len(k) - 1,
        tuple(
            Way(name=str(i), start=ends[i], end=ends[i + 1], area=a, losses=loss, z=0.0, z_exit=0.0)
            for i, (loss, a) in enumerate(zip(k, area))
        ),
    )


def solve(
    net: Network, drive: np.ndarray, rho: np.ndarray | None = None, sources: np.ndarray | None = None
) -> tuple[np.ndarray, np.ndarray]:
    density = np.full(len(net.ways), 1.0) if rho is None else rho
    return net.solve(
        drive=drive, density_start=density, density_end=density,
        sources=np.zeros(net.rooms) if sources is None else sources, guess=np.zeros(net.rooms), k=net.k,
    )  # fmt: skip


def test_openings_in_a_row_add_their_losses() -> None:
    net = chain([2.6, 1.2, 1.5], [0.02, 0.05, 0.03])
    flow, _ = solve(net, np.array([0.0, 0.0, 8.0]))
    total = sum(k / (2 * a * a) for k, a in zip((2.6, 1.2, 1.5), (0.02, 0.05, 0.03)))
    assert flow == pytest.approx(math.sqrt(8.0 / total), rel=1e-3)


def test_openings_side_by_side_add_their_flows() -> None:
    ways = tuple(
        Way(name=n, start=OUTSIDE, end=0, area=a, losses=2.6, z=0.0, z_exit=0.0) for n, a in (("a", 0.01), ("b", 0.02))
    )
    out = Way(name="c", start=0, end=OUTSIDE, area=50.0, losses=1.0, z=0.0, z_exit=0.0)
    flow, _ = solve(Network(1, (*ways, out)), np.array([5.0, 5.0, 0.0]))
    for m, a in zip(flow[:2], (0.01, 0.02)):
        assert m == pytest.approx(a * math.sqrt(2 * 5.0 / 2.6), rel=1e-3)


@given(st.lists(st.tuples(areas, areas, areas), min_size=2, max_size=2), st.lists(pressures, min_size=6, max_size=6))
def test_one_room_against_a_root_finder(size: list[tuple[float, float, float]], drive: list[float]) -> None:
    """Six openings to one room; the same balance by scipy's brentq."""
    flat = [a for row in size for a in row]
    net = Network(
        1,
        tuple(
            Way(name=str(i), start=OUTSIDE, end=0, area=a, losses=2.6, z=0.0, z_exit=0.0) for i, a in enumerate(flat)
        ),
    )
    flow, pressure = solve(net, np.array(drive))

    def balance(p: float) -> float:
        return sum(math.copysign(a * math.sqrt(2 * abs(d - p) / 2.6), d - p) for a, d in zip(flat, drive))

    if max(drive) - min(drive) < 1e-6:
        return
    root = brentq(balance, min(drive) - 1, max(drive) + 1, xtol=1e-12)
    assert float(pressure[0]) == pytest.approx(root, abs=0.02)
    assert float(flow.sum()) == pytest.approx(0.0, abs=1e-12 * float(np.abs(flow).max()))


@given(st.lists(areas, min_size=5, max_size=5), st.lists(pressures, min_size=5, max_size=5), st.floats(0, 0.01))
def test_every_room_balances(size: list[float], drive: list[float], source: float) -> None:
    net = chain([2.6, 1.0, 1.5, 2.0, 1.2], size)
    sources = np.array([source, 0.0, 0.0, source / 2])
    flow, _ = solve(net, np.array(drive), sources=sources)
    worst = np.abs(net.incidence @ flow + sources).max()
    assert worst <= 1e-9 * max(float(np.abs(flow).max()), 1e-9)


@given(st.lists(areas, min_size=3, max_size=3), st.floats(0.5, 40.0), st.floats(1.01, 3.0))
def test_more_draught_more_flow_and_reversed_draught_reversed_flow(
    size: list[float], drive: float, more: float
) -> None:
    net = chain([2.6, 1.0, 1.5], size)
    weak, _ = solve(net, np.array([0.0, 0.0, drive]))
    strong, _ = solve(net, np.array([0.0, 0.0, drive * more]))
    back, _ = solve(net, np.array([0.0, 0.0, -drive]))
    assert strong[0] > weak[0] > 0
    assert back == pytest.approx(-weak, rel=1e-9)
    same, _ = solve(net, np.zeros(3))
    assert np.all(same == 0.0)
