"""Unit factors against NIST SP 811 (2008), Appendix B.8, to the digits printed there (from memory)."""

from __future__ import annotations

import pytest
from scipy import constants

from pitwright import tape

SP_811 = [
    (tape.LB, "4.535924e-01"), (tape.LBF, "4.448222e+00"), (tape.PSI, "6.894757e+03"), (tape.KSI, "6.894757e+06"), (tape.BTU, "1.055056e+03"),
    (tape.INCH_OF_WATER, "2.490889e+02"), (tape.US_GALLON, "3.785412e-03"), (tape.MILE_PER_HOUR, "4.470400e-01"),
    (tape.LB / tape.FOOT**3, "1.601846e+01"), (tape.LB / tape.FOOT, "1.488164e+00"), (tape.BTU / tape.HOUR, "2.930711e-01"),
    (tape.FOOT**2, "9.290304e-02"), (tape.INCH**2, "6.451600e-04"), (tape.LBF * tape.INCH, "1.129848e-01"), (tape.DEGREE_F, "5.555556e-01"),
]  # fmt: skip


@pytest.mark.parametrize(("ours", "printed"), SP_811)
def test_factors_as_printed(ours: float, printed: str) -> None:
    assert f"{ours:.6e}" == printed


def test_factors_against_scipy() -> None:
    """scipy.constants 1.x, an independent table."""
    pairs = [(tape.INCH, constants.inch), (tape.FOOT, constants.foot), (tape.LB, constants.lb), (tape.LBF, constants.lbf),
             (tape.PSI, constants.psi), (tape.BTU, constants.Btu_IT), (tape.US_GALLON, constants.gallon_US),
             (tape.MILE_PER_HOUR, constants.mph), (tape.STANDARD_GRAVITY, constants.g),
             (tape.ZERO_CELSIUS, constants.zero_Celsius), (tape.DEGREE_F, constants.degree_Fahrenheit)]  # fmt: skip
    for ours, theirs in pairs:
        assert ours == pytest.approx(theirs, rel=1e-11)
