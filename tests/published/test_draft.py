"""Draft and flow against printed worked examples, the stack-effect equation and `fluids`."""

from __future__ import annotations

import math

import fluids
import numpy as np
import pytest

from pitwright.fire.gas import DRY_AIR_MASS, GRAVITY, Gas
from pitwright.fire.losses import ENTRY, EXIT, cap_loss, damper_loss, opening_loss, pipe_friction, throat_loss
from pitwright.fire.network import OUTSIDE, Network, Way, buoyancy
from pitwright.tape import FOOT, INCH_OF_WATER

AIR = Gas(DRY_AIR_MASS)


def rankine(r: float) -> float:
    return r / 1.8


def test_ashrae_worked_example() -> None:
    """25 ft, 530 and 710 R, 29.92 inHg: 0.091 in wc (exhaust-fan manual p. 40 quoting ASHRAE), 1 percent."""
    made = buoyancy(AIR.density(rankine(530), 101325), AIR.density(rankine(710), 101325), 25 * FOOT)
    assert made / INCH_OF_WATER == pytest.approx(0.091, rel=0.01)


def test_ashrae_si_form() -> None:
    """Dt = 0.03413 B H (1/To - 1/Tm) [Pa]: ASHRAE S35 sheet, 0.15 percent."""
    made = buoyancy(AIR.density(288.0, 95_000), AIR.density(450.0, 95_000), 6.0)
    assert made == pytest.approx(0.03413 * 95_000 * 6.0 * (1 / 288.0 - 1 / 450.0), rel=1.5e-3)


def test_steam_formula_24() -> None:
    """100 ft, 60 and 500 F, 14.7 psi: 0.67 in wc (Babcock & Wilcox, Steam, 1919, formula 24), 0.5 percent."""
    made = buoyancy(AIR.density(rankine(521), 101353), AIR.density(rankine(961), 101353), 100 * FOOT)
    assert made / INCH_OF_WATER == pytest.approx(0.67, rel=5e-3)


def test_engineering_toolbox_chimney() -> None:
    """20 m, 200 C inside, 0 C outside: 107 Pa, 0.3 percent."""
    assert buoyancy(AIR.density(273.15, 101325), AIR.density(473.15, 101325), 20.0) == pytest.approx(107, rel=3e-3)


@pytest.mark.parametrize("height", [0.5, 2.0, 10.0])
@pytest.mark.parametrize("hot", [320.0, 400.0, 700.0])
def test_stack_effect_flow(height: float, hot: float) -> None:
    """One hot column, one opening: Q = C A sqrt(2 g h (Ti - To)/Ti) (stack effect page, SI form), 0.1 percent.

    Q is outside air where the opening is at the foot (the whole loss on the cold side, dp = rho_out g h (Ti - To)/Ti).
    """
    cold, area, c = 290.0, 0.02, 0.65
    rho_out, rho_in = AIR.density(cold, 101325), AIR.density(hot, 101325)
    ways = (
        Way(name="foot", start=OUTSIDE, end=0, area=area, losses=opening_loss(c), z=0.0, z_exit=0.0),
        Way(name="wide open top", start=0, end=OUTSIDE, area=10.0, losses=1.0, z=height, z_exit=height),
    )
    net = Network(1, ways)
    flow, _ = net.solve(
        drive=GRAVITY * (rho_out - rho_in) * np.array([0.0, height]),
        density_start=np.array([rho_out, rho_in]),
        density_end=np.array([rho_in, rho_out]),
        sources=np.zeros(1),
        guess=np.zeros(1),
        k=net.k,
    )
    assert flow[0] / rho_out == pytest.approx(c * area * math.sqrt(2 * GRAVITY * height * (hot - cold) / hot), rel=1e-3)
    assert flow.sum() == pytest.approx(2 * flow[0], rel=1e-9)


def test_no_difference_no_flow() -> None:
    ways = (
        Way(name="foot", start=OUTSIDE, end=0, area=0.01, losses=2.6, z=0.0, z_exit=0.0),
        Way(name="stack", start=0, end=OUTSIDE, area=0.03, losses=1.5, z=1.0, z_exit=3.0),
    )
    net = Network(1, ways)
    same = np.full(2, 1.2)
    flow, pressure = net.solve(
        drive=np.zeros(2), density_start=same, density_end=same, sources=np.zeros(1), guess=np.zeros(1), k=net.k
    )
    assert np.all(flow == 0.0)
    assert np.all(pressure == 0.0)


def test_crane_entries() -> None:
    """Crane TP-410: sharp entrance 0.50, inward projecting 0.78, exit 1.0."""
    assert ENTRY["flush"] == 0.50
    assert ENTRY["projecting"] == 0.78
    assert EXIT == 1.0


def test_sharp_slot() -> None:
    """The ideal slot, Cd = pi/(pi + 2) = 0.611, lies in the range of the discharge coefficient."""
    from pitwright.fire.coefficients import Coefficients

    c = Coefficients()["discharge"]
    assert c.low < math.pi / (math.pi + 2) < c.high
    assert opening_loss(math.pi / (math.pi + 2)) == pytest.approx(2.679, rel=1e-3)


@pytest.mark.parametrize(
    ("reynolds", "rough", "f"), [(1e5, 0.0, 0.017990), (1e5, 1e-4, 0.018514), (1000.0, 0.0, 0.0640)]
)
def test_friction_factor(reynolds: float, rough: float, f: float) -> None:
    """Churchill's one law against Colebrook and the laminar law (fluids.friction_factor), 2 percent."""
    d, mu = 0.2, 2e-5
    flow = reynolds * math.pi * d * mu / 4
    assert pipe_friction(flow, d, mu, rough * d) == pytest.approx(f, rel=0.02)
    assert f == pytest.approx(fluids.friction_factor(Re=reynolds, eD=rough), rel=1e-3)


def test_borda_and_carnot() -> None:
    """A throat into a very large room loses its whole velocity head; one as wide as both rooms next to nothing."""
    small = throat_loss(0.01, 10.0, 10.0)
    assert small == pytest.approx(1.0 + 0.57, abs=0.08)  # exit 1.0 and Rennels' sharp entrance 0.57
    assert throat_loss(1.0, 1.0, 1.0) == pytest.approx(0.05)


@pytest.mark.parametrize(("f", "k"), [(1.0, 0.0), (0.5, 4.0)])
def test_damper(f: float, k: float) -> None:
    """Idelchik's orifice in a pipe: 0 wide open, 4.0 at half (from memory)."""
    assert damper_loss(f) == pytest.approx(k, rel=0.01, abs=1e-9)


def test_cap_is_no_better_than_ashrae_low_resistance() -> None:
    """0.5 velocity heads for a low-resistance cap: ASHRAE chimney chapter."""
    assert cap_loss(0.03, 10.0) == 0.5
    assert cap_loss(0.03, 0.03) == pytest.approx((1 / 0.7) ** 2)
