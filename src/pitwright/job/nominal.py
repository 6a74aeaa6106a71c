"""Starting values for a vessel known only by its nominal size in US gallons, until somebody puts a tape on it.

Common practice, no source: vessels of one nominal size differ by maker and age. Each value can be set in the survey;
the ones taken from here are told as assumed, and the shell length is what the capacity asks for with 2:1 heads.
"""

from __future__ import annotations

import math
from typing import Any

from pitwright.errors import JobError
from pitwright.tape import INCH, US_GALLON

# US gallons -> (outside diameter, wall) [in]
SIZES: dict[int, tuple[float, float]] = {
    60: (20.0, 3.0 / 16.0),
    120: (24.0, 3.0 / 16.0),
    250: (30.0, 1.0 / 4.0),
    330: (30.0, 1.0 / 4.0),
    500: (37.5, 1.0 / 4.0),
    1000: (41.0, 5.0 / 16.0),
}


def starting_values(capacity: float) -> dict[str, float]:
    """Outside diameter, wall and seam-to-seam length for a nominal capacity [m3] -> [m].

    Raises JobError where no usual size is within a tenth of it.
    """
    gallons = capacity / US_GALLON
    size = min(SIZES, key=lambda g: abs(g - gallons))
    if abs(size - gallons) > 0.1 * size:
        raise JobError(
            f"no usual vessel holds {gallons:.0f} US gallons",
            field="vessel.nominal",
            value=f"{gallons:.0f} gal",
            allowed=", ".join(f"{g} gal" for g in SIZES),
            remedy="Type around, wall and length from the tape instead.",
        )
    diameter, wall = (x * INCH for x in SIZES[size])
    bore = diameter - 2.0 * wall
    heads = math.pi * bore**3 / 12.0  # two 2:1 heads hold pi D^3 / 24 each
    return {
        "outside_diameter": diameter,
        "wall": wall,
        "length": (capacity - heads) / (math.pi / 4.0 * bore**2),
    }


def with_starting_values(vessel: dict[str, Any], capacity: float) -> dict[str, Any]:
    """The survey table with its blanks filled from the nominal size, and `assumed` naming which."""
    found = starting_values(capacity)
    sized = any(vessel.get(k) is not None for k in ("around", "outside_diameter", "rounds"))
    blanks = [k for k in found if vessel.get(k) is None and not (k == "outside_diameter" and sized)]
    filled = {k: f"{found[k]!r} m" for k in blanks}
    return {**vessel, **filled, "assumed": tuple(blanks)}
