"""One size of bar stock: its name, sizes, weight and section figures.

Two walls matter in tube and pipe: the *nominal* wall says what the stock weighs, the *design* wall says how strong it
is. In American electric-welded tube and pipe the design wall is 0.93 of the nominal (AISC 360 B4.2), so weight is not
3.4 x area there. European stock is designed on the nominal wall (EN 10219-2).
"""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from pitwright.tape import FOOT, INCH, LB, MILLIMETRE, System

Kind = Literal["tube", "pipe", "angle", "channel", "flat", "round"]

STEEL_DENSITY = 490.0 * LB / FOOT**3
"""Mild steel, 490 lb/ft3 = 7849 kg/m3: the figure behind the weights of the AISC Manual (EN 10219-2 has 7850)."""

DESIGN_WALL_SHARE = 0.93
"""Design wall over nominal wall of electric-welded tube and pipe: AISC 360-10 and -16, B4.2."""

_TUBE_GAUGES = {0.180: 7, 0.134: 10, 0.120: 11, 0.109: 12, 0.095: 13, 0.083: 14, 0.065: 16}


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """A size of bar stock: straight, of one section, axes x across (bends the height) and y upright.

    designation       as a shop asks for it, such as `2 x 2 x 3/16 tube`
    kind              tube (square or rectangular), pipe (any round hollow), angle, channel, flat (bar), round (bar)
    system            the unit its size is named in
    height, width     outside sizes: first-named and second side; a round's diameter twice [m]
    wall              nominal wall, leg or bar thickness; a channel's web [m]
    wall_design       the wall to reckon strength with [m]
    flange            thickness of a channel's flange, elsewhere the wall [m]
    corner_radius     outside corner radius [m]
    area              design area, for strength [m2]
    area_nominal      area the stock is weighed by: mass_per_length = area_nominal x STEEL_DENSITY [m2]
    mass_per_length   weight of the stock [kg/m]
    centroid_height   centroid above the bottom; an angle's above its heel [m]
    centroid_width    centroid from the left; an angle's from its heel, a channel's from its back [m]
    ix, iy            second moments of area about x and y [m4]
    sx, sy            elastic section moduli [m3]
    zx, zy            plastic section moduli [m3]
    rx, ry, r_least   radii of gyration about x, about y, and the least about any axis [m]
    j                 torsion constant [m4]
    source            where the figures come from
    """

    designation: str
    kind: Kind
    system: System
    height: float
    width: float
    wall: float
    wall_design: float
    flange: float
    corner_radius: float
    area: float
    area_nominal: float
    mass_per_length: float
    centroid_height: float
    centroid_width: float
    ix: float
    iy: float
    sx: float
    sy: float
    zx: float
    zy: float
    rx: float
    ry: float
    r_least: float
    j: float
    source: str

    def turned(self) -> Profile:
        """The same stock a quarter turn round: height and width change places."""
        name = self.designation
        if self.kind in ("tube", "angle"):
            first, second, rest = name.split(" x ", 2)
            name = f"{second} x {first} x {rest}"
        return dataclasses.replace(
            self,
            designation=name,
            height=self.width,
            width=self.height,
            centroid_height=self.centroid_width,
            centroid_width=self.centroid_height,
            ix=self.iy,
            iy=self.ix,
            sx=self.sy,
            sy=self.sx,
            zx=self.zy,
            zy=self.zx,
            rx=self.ry,
            ry=self.rx,
        )

    @property
    def outside_perimeter(self) -> float:
        """Length of the outside edge of the section, for paint and sheet [m]."""
        if self.kind in ("pipe", "round"):
            return math.pi * self.height
        if self.kind == "channel":
            depth, leg = max(self.height, self.width), min(self.height, self.width)
            return 2.0 * depth + 4.0 * leg - 2.0 * self.wall
        return 2.0 * (self.height + self.width) - (8.0 - 2.0 * math.pi) * self.corner_radius


# ---------------------------------------------------------------- names


def size_text(x: float, system: System, *, gauge: bool = False) -> str:
    """A stock size as it is named: `2-1/2`, `3/16`, `0.237`, `11 ga` (walls), `168.3` [x in m]."""
    if system == "metric":
        return f"{round(x / MILLIMETRE, 2):g}"
    inches = x / INCH
    if gauge:
        for wall, number in _TUBE_GAUGES.items():
            if abs(inches - wall) < 3e-4:
                return f"{number} ga"
    near = Fraction(round(inches * 32), 32)
    if near and abs(float(near) - inches) < 6e-4:
        whole, part = divmod(near, 1)
        return f"{whole}-{part}" if whole and part else str(near)
    return f"{round(inches, 3):g}"


def named(sizes: str, kind: str, system: System) -> str:
    """Sizes and kind as one name; metric sizes say mm: `50 x 50 x 4 mm tube`."""
    return f"{sizes} {'mm ' if system == 'metric' else ''}{kind}"
