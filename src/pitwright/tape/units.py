"""Unit factors to SI: NIST SP 811 (2008), Appendix B; those marked exact are so by definition."""

from __future__ import annotations

from typing import Literal

System = Literal["inch", "metric"]
LengthUnit = Literal["in", "mm"]

INCH = 0.0254  # m, exact (international yard and pound agreement, 1959)
FOOT = 0.3048  # m, exact
MILLIMETRE = 0.001  # m
LB = 0.45359237  # kg, exact (1959 agreement)
STANDARD_GRAVITY = 9.80665  # m/s2, exact (3rd CGPM, 1901)
LBF = LB * STANDARD_GRAVITY  # N
PSI = LBF / INCH**2  # Pa
KSI = 1000.0 * PSI  # Pa
INCH_OF_WATER = 1000.0 * STANDARD_GRAVITY * INCH  # Pa, conventional water of 1000 kg/m3
US_GALLON = 231.0 * INCH**3  # m3, exact
LITRE = 0.001  # m3
BTU = 1055.05585262  # J, exact (International Table)
DEGREE_F = 5.0 / 9.0  # K, exact
ZERO_CELSIUS = 273.15  # K, exact
ZERO_FAHRENHEIT = ZERO_CELSIUS - 32.0 * DEGREE_F  # K
HOUR = 3600.0  # s
MILE_PER_HOUR = 5280.0 * FOOT / HOUR  # m/s, exact
