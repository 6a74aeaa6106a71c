"""What goes into a plate nest and what comes out of it.

A sheet lies with its length along x and its width along y, one corner at (0, 0). A part is placed by turning it about
its own (0, 0) and then moving it: x' = x cos - y sin + at_x, y' = x sin + y cos + at_y.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, TypeAlias

from pitwright.errors import PitwrightError
from pitwright.findings import Finding
from pitwright.parts import Outline, arc_of

Point: TypeAlias = tuple[float, float]
Ring: TypeAlias = tuple[Point, ...]
Rotation = Literal["any", "right angles", "half turn", "none"]
Method = Literal["true shape", "boxes", "shear"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatPart:
    """A part cut from plate, with how many.

    outline         corners of the outer edge, arcs already flattened outward (never inside the true part) [m]
    holes           corners of its holes, arcs flattened inward (never outside the true hole) [m]
    allow_rotation  how it may be turned on the sheet; with a grain to follow, `half turn` or `none`
    """

    mark: str
    outline: Ring
    holes: tuple[Ring, ...] = ()
    quantity: int = 1
    allow_rotation: Rotation = "any"

    def __post_init__(self) -> None:
        from shapely import Polygon

        if not self.mark:
            raise PitwrightError("a part needs a mark", field="mark")
        if self.quantity < 1:
            raise PitwrightError(f"{self.mark} is wanted {self.quantity} times", field="quantity",
                                 value=self.quantity, allowed="1 or more")  # fmt: skip
        for ring in (self.outline, *self.holes):
            if len(ring) < 3 or not all(math.isfinite(c) for point in ring for c in point):
                raise PitwrightError(f"{self.mark} has an edge that is not closed by three corners or more",
                                     field="outline", value=len(ring))  # fmt: skip
        shape = Polygon(self.outline, self.holes)
        if not shape.is_valid or shape.area <= 0.0:
            raise PitwrightError(
                f"{self.mark} cannot be cut: its edge crosses itself or a hole leaves the part",
                field="outline",
                value=self.mark,
            )

    @staticmethod
    def from_outline(
        mark: str, outline: Outline, *, quantity: int = 1, allow_rotation: Rotation = "any", step: float = 1e-4
    ) -> FlatPart:
        """A part from an exact outline, arcs flattened to the safe side within `step` [m]."""
        return FlatPart(
            mark=mark,
            outline=safe_ring(outline, step, outward=True),
            holes=tuple(safe_ring(hole, step, outward=False) for hole in outline.holes),
            quantity=quantity,
            allow_rotation=allow_rotation,
        )


def safe_ring(outline: Outline, step: float, *, outward: bool) -> Ring:
    """Corners that hold the outline inside (`outward`) or lie inside it, about `step` off the arcs at most [m].

    An arc that bulges to the wanted side is replaced by its tangents, one that bulges the other way by its chords.
    """
    count = len(outline.points)
    edges = [
        (outline.points[place], outline.points[(place + 1) % count], outline.bulges[place]) for place in range(count)
    ]
    twice_area = 0.0
    for (x0, y0), (x1, y1), bulge in edges:
        twice_area += x0 * y1 - x1 * y0
        if bulge:
            _, radius, _, sweep = arc_of((x0, y0), (x1, y1), bulge)
            twice_area += radius * radius * (sweep - math.sin(sweep))
    corners: list[Point] = []
    for start, end, bulge in edges:
        corners.append(start)
        if not bulge:
            continue
        centre, radius, angle, sweep = arc_of(start, end, bulge)
        pieces = max(2, math.ceil(abs(sweep) / (2.0 * math.acos(max(-1.0, 1.0 - step / radius)))))
        if ((bulge > 0.0) == (twice_area > 0.0)) != outward:
            at = [(radius, angle + sweep * k / pieces) for k in range(1, pieces)]
        else:
            pieces = max(pieces, math.ceil(abs(sweep) / 1.0))
            reach = radius / math.cos(0.5 * sweep / pieces)
            at = [(reach, angle + sweep * (k + 0.5) / pieces) for k in range(pieces)]
        corners += [(centre[0] + r * math.cos(a), centre[1] + r * math.sin(a)) for r, a in at]
    return tuple(corners)


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetStock:
    """A sheet that can be had.

    width, length  [m]
    price          money for one sheet; 0 on every sheet of the store means prices are not known, and area is counted
    on_hand        how many lie on the rack (drops of earlier jobs); None: as many as are wanted
    """

    label: str
    width: float
    length: float
    price: float = 0.0
    on_hand: int | None = None
    store: str = ""

    def __post_init__(self) -> None:
        for name, value in (("width", self.width), ("length", self.length)):
            if not (math.isfinite(value) and value > 0.0):
                raise PitwrightError(f"sheet {self.label} has no {name}", field=name, value=value, allowed="above 0")
        if not (math.isfinite(self.price) and self.price >= 0.0):
            raise PitwrightError(f"sheet {self.label} has no price", field="price", value=self.price,
                                 allowed="0 or more")  # fmt: skip
        if self.on_hand is not None and self.on_hand < 0:
            raise PitwrightError(f"sheet {self.label} cannot lie on the rack {self.on_hand} times", field="on_hand",
                                 value=self.on_hand, allowed="0 or more")  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One copy of a part on a sheet.

    x, y      where the part's own (0, 0) comes [m]
    rotation  turned to the left [rad]
    inside    mark of the part in whose hole it lies, empty for none
    """

    mark: str
    x: float
    y: float
    rotation: float
    inside: str = ""

    def ring(self, ring: Ring) -> Ring:
        """A ring of the part, as it lies on the sheet [m]."""
        c, s = math.cos(self.rotation), math.sin(self.rotation)
        return tuple((x * c - y * s + self.x, x * s + y * c + self.y) for x, y in ring)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateDrop:
    """A rectangle left over that is worth keeping: its corner nearest (0, 0), and its size along x and y [m]."""

    x: float
    y: float
    length: float
    width: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ShearCut:
    """One straight cut through a piece, from edge to edge.

    piece   (x0, y0, x1, y1) of the piece that is cut, as it lay on the sheet [m]
    across  `width`: the blade runs along y, at `at` from the piece's near edge; `length`: along x
    at      distance from the piece's edge nearest (0, 0) [m]
    """

    number: int
    piece: tuple[float, float, float, float]
    across: Literal["width", "length"]
    at: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedSheet:
    """One sheet with its parts.

    density      area of the parts over area of the sheet
    used_length  how far along x the parts reach, the margin included [m]
    cuts         shear cuts in order, empty where the sheet goes to a table
    """

    number: int
    label: str
    store: str
    width: float
    length: float
    on_hand: bool
    parts: tuple[Placed, ...]
    density: float
    used_length: float
    drops: tuple[PlateDrop, ...]
    cuts: tuple[ShearCut, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLine:
    """A line of the buy list (or of what to take from the rack)."""

    label: str
    store: str
    width: float
    length: float
    count: int
    price: float
    cost: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NestPlan:
    """Every sheet of one thickness.

    method        how the chosen layout was made
    why           why this one, in a sentence for the sheet
    repeatable    whether the same parts give the same layout again (a true-shape layout does not: keep it)
    lower_bound   fewest sheets that the bare area of the parts needs
    density       area of the parts over area of the sheets
    strip_density area of the parts over the area used: whole sheets, and the last one as far as it is used
    cost          money for what is bought
    """

    sheets: tuple[PlannedSheet, ...]
    buy: tuple[SheetLine, ...]
    from_rack: tuple[SheetLine, ...]
    method: Method
    why: str
    repeatable: bool
    lower_bound: int
    density: float
    strip_density: float
    cost: float
    gap: float
    margin: float
    findings: tuple[Finding, ...]

    @property
    def sheets_used(self) -> int:
        """How many sheets, rack and store together."""
        return len(self.sheets)
