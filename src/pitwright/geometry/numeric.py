"""The few numerical tools the geometry needs: integrals, roots and turning values of smooth functions.

All work on plain floats and reach rounding level for the smooth functions met here.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache

import numpy as np

from pitwright.errors import LayoutError

_GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0
_ROUNDING = 2.0**-52


def require_positive(field: str, value: float) -> None:
    """Refuse a size that is not a finite number above zero."""
    if not (value > 0.0 and math.isfinite(value)):
        raise LayoutError("this size must be more than zero", field=field, value=value, allowed="more than 0")


def within(field: str, value: float, low: float, high: float, allowed: str) -> float:
    """The value, held to `low` .. `high`; refused when it lies outside by more than rounding.

    `allowed` says the range in words.
    """
    slack = 1e-12 * max(abs(value), *(abs(end) for end in (low, high) if math.isfinite(end)), 1e-300)
    if not (math.isfinite(value) and low - slack <= value <= high + slack):
        raise LayoutError("this value is out of range", field=field, value=value, allowed=allowed)
    return min(max(value, low), high)


@cache
def gauss_rule(order: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Nodes and weights of the Gauss-Legendre rule on -1 to 1."""
    nodes, weights = np.polynomial.legendre.leggauss(order)
    return tuple(map(float, nodes)), tuple(map(float, weights))


def integrate(function: Callable[[float], float], low: float, high: float, order: int = 48) -> float:
    """Integral of a smooth function by one Gauss-Legendre rule."""
    nodes, weights = gauss_rule(order)
    middle, half = (low + high) / 2.0, (high - low) / 2.0
    return half * math.fsum(w * function(middle + half * x) for x, w in zip(nodes, weights, strict=True))


def integrate_closely(
    function: Callable[[float], float], low: float, high: float, relative: float = 1e-14, depth: int = 40
) -> float:
    """Integral of a function that may bend sharply somewhere: halves the range until both halves agree."""

    def part(a: float, b: float, whole: float, scale: float, left: int) -> float:
        middle = (a + b) / 2.0
        first, second = integrate(function, a, middle, 16), integrate(function, middle, b, 16)
        if left == 0 or abs(first + second - whole) <= scale:
            return first + second
        return part(a, middle, first, scale, left - 1) + part(middle, b, second, scale, left - 1)

    whole = integrate(function, low, high, 16)
    return part(low, high, whole, relative * abs(whole), depth)


def find_root(function: Callable[[float], float], low: float, high: float, *, field: str = "") -> float:
    """Where a function changes sign between `low` and `high`, to rounding level.

    Chandrupatla's method (Advances in Engineering Software 28, 1997): inverse quadratic steps, bisection
    whenever they would not be safe. Raises LayoutError when both ends have the same sign.
    """
    a, b = high, low
    fa, fb = function(a), function(b)
    if fa == 0.0:
        return a
    if fb == 0.0:
        return b
    if not fa * fb < 0.0:
        raise LayoutError("no answer in the range searched", field=field, allowed=f"{low:g} to {high:g}")
    step = 0.5
    best = a
    for _ in range(200):
        x = a + step * (b - a)
        fx = function(x)
        if (fx > 0.0) == (fa > 0.0):
            c, fc = a, fa
        else:
            c, fc, b, fb = b, fb, a, fa
        a, fa = x, fx
        best, value = (a, fa) if abs(fa) < abs(fb) else (b, fb)
        limit = 2.0 * _ROUNDING * max(abs(best), 1e-30) / abs(b - c)
        if value == 0.0 or limit > 0.5:
            break
        xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
        if phi * phi < xi and (1.0 - phi) ** 2 < 1.0 - xi:
            step = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
        else:
            step = 0.5
        step = min(1.0 - limit, max(limit, step))
    return best


def lowest(function: Callable[[float], float], low: float, high: float) -> tuple[float, float]:
    """Place and value of the lowest point of a function with one valley in `low` to `high` (ends count)."""
    ends = min((function(low), low), (function(high), high))
    a, b = low, high
    c, d = b - _GOLDEN * (b - a), a + _GOLDEN * (b - a)
    fc, fd = function(c), function(d)
    for _ in range(60):
        if fc < fd:
            b, d, fd = d, c, fc
            c = b - _GOLDEN * (b - a)
            fc = function(c)
        else:
            a, c, fc = c, d, fd
            d = a + _GOLDEN * (b - a)
            fd = function(d)
        if abs(b - a) <= 1e-9 * (high - low):
            break
    value, place = min(ends, (fc, c), (fd, d))
    return place, value


def turning_values(function: Callable[[float], float], samples: int = 48) -> tuple[float, float, float, float]:
    """Lowest and highest of a function of a full turn: (lowest at, lowest, highest at, highest)."""
    step = 2.0 * math.pi / samples
    values = [function(k * step) for k in range(samples)]
    down, up = values.index(min(values)), values.index(max(values))
    low_at, low = lowest(function, (down - 1) * step, (down + 1) * step)
    high_at, negative = lowest(lambda x: -function(x), (up - 1) * step, (up + 1) * step)
    if values[down] <= low:
        low_at, low = down * step, values[down]
    if values[up] >= -negative:
        high_at, negative = up * step, -values[up]
    turn = 2.0 * math.pi
    return low_at % turn, low, high_at % turn, -negative
