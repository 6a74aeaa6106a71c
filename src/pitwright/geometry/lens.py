"""Where two round ends overlap: the throat window between a firebox pipe and a vessel, above a grease dam.

The upper circle (the vessel) has its centre at the origin, the lower one (the firebox) hangs `drop` [m] below it.
Heights [m] are measured from the upper centre, negative below. The overlap is two circle segments on one chord:
below its corners the upper circle is its edge, above them the lower circle is.
Formula: E. W. Weisstein, CRC Concise Encyclopedia of Mathematics, "Lens" (as the sum of the two segments).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from pitwright.errors import LayoutError
from pitwright.geometry.numeric import find_root, require_positive
from pitwright.geometry.round import chord_at, segment_area

Overlap = Literal["lens", "lower inside upper", "upper inside lower"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lens:
    """The overlap of two circles.

    upper, lower   radii [m]; drop: lower centre below the upper one [m]
    kind           a true lens, or one circle wholly inside the other
    area           [m2]
    centroid       height of the area's centroid [m]
    top, bottom    heights of the highest and lowest points [m]
    corner         height of the two corners [m] (of the inner circle's centre where one lies inside the other)
    half_width     half the distance between the corners [m]
    widest         greatest width [m], found at the height `widest_at` [m]
    """

    upper: float
    lower: float
    drop: float
    kind: Overlap
    area: float
    centroid: float
    top: float
    bottom: float
    corner: float
    half_width: float
    widest: float
    widest_at: float

    @property
    def height(self) -> float:
        """From the lowest to the highest point [m]."""
        return self.top - self.bottom

    def width_at(self, height: float) -> float:
        """Width [m] at a height [m]; 0 above the top and below the bottom."""
        if not self.bottom < height < self.top:
            return 0.0
        radius, centre = self._edge_above if height > self.corner else self._edge_below
        return chord_at(radius, height - centre)

    @property
    def _edge_below(self) -> tuple[float, float]:
        """Radius and centre height of the circle that is the edge below the corners."""
        return (self.lower, -self.drop) if self.kind == "lower inside upper" else (self.upper, 0.0)

    @property
    def _edge_above(self) -> tuple[float, float]:
        """Radius and centre height of the circle that is the edge above the corners."""
        return (self.upper, 0.0) if self.kind == "upper inside lower" else (self.lower, -self.drop)


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """The part of a lens above a dam.

    area      net open area [m2]
    closed    area the dam closes [m2]
    centroid  height of the net area's centroid [m]
    dam       height of the dam's top edge [m]
    dam_width width of the window along the dam [m]
    top       height of the highest point [m]
    widest    greatest width [m], at the height `widest_at` [m]
    """

    area: float
    closed: float
    centroid: float
    dam: float
    dam_width: float
    top: float
    widest: float
    widest_at: float

    @property
    def height(self) -> float:
        """From the dam to the highest point [m]."""
        return self.top - self.dam


def lens(upper: float, lower: float, drop: float) -> Lens:
    """The overlap of two circles of radii `upper` and `lower` [m], centres `drop` [m] apart, one above the other."""
    require_positive("upper", upper)
    require_positive("lower", lower)
    if not 0.0 <= drop < upper + lower:
        raise LayoutError(
            "the two circles do not overlap: there is no opening",
            field="drop",
            value=drop,
            allowed="from 0 to less than the sum of the two radii",
            remedy="Raise the lower circle.",
        )
    if drop <= abs(upper - lower):
        inner = min(upper, lower)
        centre = -drop if lower <= upper else 0.0
        return Lens(
            upper=upper,
            lower=lower,
            drop=drop,
            kind="lower inside upper" if lower <= upper else "upper inside lower",
            area=math.pi * inner * inner,
            centroid=centre,
            top=centre + inner,
            bottom=centre - inner,
            corner=centre,
            half_width=inner,
            widest=2.0 * inner,
            widest_at=centre,
        )
    below = (lower - drop + upper) * (lower + drop - upper) / (2.0 * drop)
    above = (upper - drop + lower) * (upper + drop - lower) / (2.0 * drop)
    corner = below - upper
    half_width = math.sqrt(below * (2.0 * upper - below))
    upper_part, lower_part = segment_area(upper, below), segment_area(lower, above)
    area = upper_part + lower_part
    if corner > 0.0:
        widest, widest_at = 2.0 * upper, 0.0
    elif corner < -drop:
        widest, widest_at = 2.0 * lower, -drop
    else:
        widest, widest_at = 2.0 * half_width, corner
    return Lens(
        upper=upper,
        lower=lower,
        drop=drop,
        kind="lens",
        area=area,
        # The two segments share a chord, so their first moments about their own centres cancel.
        centroid=-drop * lower_part / area,
        top=lower - drop,
        bottom=-upper,
        corner=corner,
        half_width=half_width,
        widest=widest,
        widest_at=widest_at,
    )


def window_above(shape: Lens, dam: float) -> Window:
    """The part of a lens above a dam whose top edge is at the height `dam` [m] (at or below the bottom: no dam)."""
    if not dam < shape.top:
        raise LayoutError(
            "the dam closes the whole opening", field="dam", value=dam, allowed="below the top of the opening"
        )
    dam = max(dam, shape.bottom)
    dam_width = shape.width_at(dam)
    if dam <= shape.corner:
        radius, centre = shape._edge_below
        closed = segment_area(radius, dam - shape.bottom)
        area = shape.area - closed
        moment = shape.area * shape.centroid - (closed * centre - dam_width**3 / 12.0)
    else:
        radius, centre = shape._edge_above
        area = segment_area(radius, shape.top - dam)
        closed = shape.area - area
        moment = area * centre + dam_width**3 / 12.0
    # Width falls from its greatest place both ways, so a dam above that place is itself the widest line.
    covered = dam > shape.widest_at
    return Window(
        area=area,
        closed=closed,
        centroid=moment / area,
        dam=dam,
        dam_width=dam_width,
        top=shape.top,
        widest=dam_width if covered else shape.widest,
        widest_at=dam if covered else shape.widest_at,
    )


@lru_cache(maxsize=128)
def drop_for_area(upper: float, lower: float, area: float, dam: float) -> float:
    """Drop [m] of the lower circle that leaves a net `area` [m2] above a dam fixed at the height `dam` [m].

    The net area only shrinks as the lower circle goes down; the highest place searched is the one where one circle
    just touches the other from inside. Raises LayoutError where even that leaves too little.
    """
    require_positive("area", area)
    highest = abs(upper - lower)

    def net(drop: float) -> float:
        shape = lens(upper, lower, min(drop, (upper + lower) * (1.0 - 1e-15)))
        return window_above(shape, dam).area if dam < shape.top else 0.0

    most = net(highest)
    if area > most:
        raise LayoutError(
            "no drop leaves that much open",
            field="area",
            value=area,
            allowed="up to what the lower circle leaves open at its highest place",
            remedy="Use a larger firebox, a lower dam, or ask for less.",
        )
    return find_root(lambda drop: net(drop) - area, highest, upper + lower, field="drop")
