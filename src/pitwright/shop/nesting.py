"""The flat parts of a pit on the shop's sheets, one thickness at a time.

Parts that are cut already and blankets of insulation are not laid out. The same parts on the same sheets are laid out
once: a true-shape layout is never found twice the same, so the paper and the cut file must come from one plan.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from pitwright.errors import PitwrightError
from pitwright.findings import Finding
from pitwright.layout.model import Pit
from pitwright.parts import Outline, Part, Plate, Point2, Shell
from pitwright.shop._nest_records import Method
from pitwright.shop.nests import FlatPart, NestPlan, Placed, PlannedSheet, SheetStock, plan_nest
from pitwright.stock import STEEL_DENSITY
from pitwright.tape import Tape

PLATE_ALIKE = 0.2e-3  # m: plates nearer in thickness than this are one thickness
SECONDS = 1.5
"""About how long one thickness may take [s]."""

Progress = Callable[[str, float], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatPiece:
    """One flat part with its exact outline [m] and how many."""

    mark: str
    name: str
    outline: Outline
    quantity: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateNest:
    """All flat parts of one thickness.

    thickness  [m]; stock: what the store calls it
    plan       None where a part goes on none of the shop's sheets; problem then says which
    """

    thickness: float
    stock: str
    pieces: tuple[FlatPiece, ...]
    plan: NestPlan | None
    problem: str = ""

    @property
    def area(self) -> float:
        """Steel of the parts, holes out [m2]."""
        return sum(p.outline.area * p.quantity for p in self.pieces)

    def used(self, sheet: PlannedSheet) -> tuple[float, float]:
        """Length and width of the smallest piece of plate, from the corner, that its parts and the margin need [m]."""
        assert self.plan is not None
        known = {p.mark: p.outline for p in self.pieces}
        corners = [placed_outline(known[placed.mark], placed).bounds() for placed in sheet.parts]
        margin = self.plan.margin
        return max(c[2] for c in corners) + margin, max(c[3] for c in corners) + margin

    @property
    def bought(self) -> float:
        """Weight of the sheets to buy [kg]; of the bare parts where there is no plan."""
        if self.plan is None:
            return self.area * self.thickness * STEEL_DENSITY
        return sum(s.width * s.length for s in self.plan.sheets if not s.on_hand) * self.thickness * STEEL_DENSITY


def flat_parts(pit: Pit) -> Iterator[tuple[Part, Outline]]:
    """Every part cut flat from plate, with its outline (a rolled part's developed blank); mesh is not burned."""
    for part in pit.parts:
        if part.flat is not None:
            yield part, part.flat
        elif isinstance(part.shape, Plate) and part.shape.mass_per_area is None:
            yield part, part.shape.outline


def placed_outline(outline: Outline, placed: Placed) -> Outline:
    """The exact outline as it lies on its sheet: turned, then moved; arcs stay arcs [m]."""
    c, s = math.cos(placed.rotation), math.sin(placed.rotation)

    def at(p: Point2) -> Point2:
        return (p[0] * c - p[1] * s + placed.x, p[0] * s + p[1] * c + placed.y)

    holes = tuple(placed_outline(h, placed) for h in outline.holes)
    return Outline(tuple(at(p) for p in outline.points), outline.bulges, holes)


def plate_thickness(part: Part) -> float:
    """Thickness a flat part is cut from [m]."""
    shape = part.shape
    if isinstance(shape, Plate):
        return shape.thickness
    assert isinstance(shape, Shell)  # a rolled piece with a flat blank
    return shape.wall


def pieces_by_thickness(pit: Pit) -> dict[float, tuple[str, tuple[FlatPiece, ...]]]:
    """Thickness [m] -> (stock, its open parts), thickest first."""
    found: dict[float, tuple[str, list[FlatPiece]]] = {}
    for part, outline in flat_parts(pit):
        if part.state != "open" or part.density < 0.5 * STEEL_DENSITY:
            continue
        key = round(plate_thickness(part), 6)
        piece = FlatPiece(mark=part.mark, name=part.name, outline=outline, quantity=part.quantity)
        found.setdefault(key, (part.stock, []))[1].append(piece)
    return {key: (found[key][0], tuple(found[key][1])) for key in sorted(found, reverse=True)}


def plan_plates(pit: Pit, *, seconds: float = SECONDS, progress: Progress | None = None) -> tuple[PlateNest, ...]:
    """Every thickness on the fewest of the shop's sheets, thickest first.

    seconds   about how long one thickness may take
    progress  told which thickness is laid out and how far all of it is (0 to 1)
    """
    rules = pit.job.proportions.shop
    sheets = tuple(
        SheetStock(label=f"{pit.tape.length(s.width)} x {pit.tape.length(s.length)}", width=s.width, length=s.length)
        for s in rules.sheets
    )
    shear = rules.plate_cutting == "shear"
    gap, margin = rules.plate_gap + rules.plate_kerf, rules.plate_margin + rules.plate_kerf / 2.0
    groups = pieces_by_thickness(pit)
    out: list[PlateNest] = []
    for number, (thickness, (stock, pieces)) in enumerate(groups.items()):
        if progress is not None:
            progress(f"Laying out {stock}", number / len(groups))
        out.append(
            _nest(
                thickness,
                stock,
                pieces,
                (*_drops(pit, thickness), *sheets),
                gap,
                margin,
                "shear" if shear else "true shape",
                seconds,
                rules.keep_drop,
                pit.tape,
            )
        )
    if progress is not None:
        progress("Plates laid out", 1.0)
    return tuple(out)


def _drops(pit: Pit, thickness: float) -> tuple[SheetStock, ...]:
    """Plate of this thickness that lies on the rack."""
    tape = pit.tape
    return tuple(
        SheetStock(
            label=f"drop {tape.length(d.width)} x {tape.length(d.length)}",
            width=min(d.width, d.length),
            length=max(d.width, d.length),
            on_hand=d.count,
            store="rack",
        )
        for d in pit.job.proportions.shop.plate_drops
        if abs(d.thickness - thickness) < PLATE_ALIKE
    )


@lru_cache(maxsize=64)
def _nest(
    thickness: float,
    stock: str,
    pieces: tuple[FlatPiece, ...],
    sheets: tuple[SheetStock, ...],
    gap: float,
    margin: float,
    method: Method,
    seconds: float,
    keep_drop: float,
    tape: Tape,
) -> PlateNest:
    parts = [FlatPart.from_outline(p.mark, p.outline, quantity=p.quantity) for p in pieces]
    try:
        plan = plan_nest(
            parts, sheets, gap=gap, margin=margin, time_budget=seconds, method=method, keep_drop=keep_drop, tape=tape
        )
    except PitwrightError as problem:
        return PlateNest(thickness=thickness, stock=stock, pieces=pieces, plan=None, problem=str(problem))
    return PlateNest(thickness=thickness, stock=stock, pieces=pieces, plan=plan)


def nest_findings(nests: tuple[PlateNest, ...]) -> tuple[Finding, ...]:
    """What the layouts have to say; a thickness that goes on no sheet is a warning."""
    out: list[Finding] = []
    for nest in nests:
        if nest.plan is None:
            marks = tuple(p.mark for p in nest.pieces)
            out.append(
                Finding(code="plates.no_sheet", severity="warn", text=f"{nest.stock}: {nest.problem}", pieces=marks)
            )
        else:
            out.extend(nest.plan.findings)
    return tuple(out)
