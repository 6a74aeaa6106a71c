"""Flat parts and nested sheets as drawings for the cutting table: cut lines, piece marks, and the sheet's edge."""

from __future__ import annotations

import re

from pitwright.layout.model import Pit
from pitwright.parts import Outline, Part, Point2
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.sketch import Sketch
from pitwright.shop.nesting import PlateNest, flat_parts, placed_outline
from pitwright.shop.nests import PlannedSheet

__all__ = ["flat_parts", "inside_point", "nest_drawing", "nest_name", "plate_drawing"]


def plate_drawing(pit: Pit, part: Part, outline: Outline) -> Drawing:
    """One flat part at true size, its mark inside it; layers CUT, MARK and TEXT."""
    sketch = Sketch(length=pit.tape.length)
    sketch.outline(outline, "cut", layer="CUT")
    sketch.text(
        inside_point(outline),
        f"{part.mark}  {part.quantity} off",
        height=_letters(outline),
        anchor="middle",
        layer="TEXT",
    )
    return sketch.drawing()


def nest_drawing(pit: Pit, nest: PlateNest, sheet: PlannedSheet) -> Drawing:
    """A nested sheet at true size: CUT the parts, MARK the sheet's edge and shear cuts, TEXT the piece marks."""
    sketch = Sketch(length=pit.tape.length)
    sketch.rectangle(0.0, 0.0, sheet.length, sheet.width, "mark", layer="MARK")
    known = {p.mark: p.outline for p in nest.pieces}
    for placed in sheet.parts:
        outline = placed_outline(known[placed.mark], placed)
        sketch.outline(outline, "cut", layer="CUT")
        sketch.text(inside_point(outline), placed.mark, height=_letters(outline), anchor="middle", layer="TEXT")
    for ends in shear_lines(sheet):
        sketch.line(*ends, "mark", layer="MARK")
    return sketch.drawing()


def shear_lines(sheet: PlannedSheet) -> tuple[tuple[Point2, Point2], ...]:
    """Both ends of every shear cut of a sheet, in order [m]."""
    out: list[tuple[Point2, Point2]] = []
    for cut in sheet.cuts:
        x0, y0, x1, y1 = cut.piece
        if cut.across == "width":
            out.append(((x0 + cut.at, y0), (x0 + cut.at, y1)))
        else:
            out.append(((x0, y0 + cut.at), (x1, y0 + cut.at)))
    return tuple(out)


def nest_name(nest: PlateNest, sheet: PlannedSheet) -> str:
    """The cut file's name, without folder and ending: `nest-3-8-plate-sheet-1`."""
    return f"nest-{re.sub(r'[^a-z0-9]+', '-', nest.stock.lower()).strip('-')}-sheet-{sheet.number}"


def inside_point(outline: Outline) -> Point2:
    """A point well inside the steel of an outline (a hole may cover its centre)."""
    from shapely import Polygon

    steel = Polygon(outline.flattened(1e-3), [h.flattened(1e-3) for h in outline.holes])
    point = steel.representative_point() if not steel.contains(steel.centroid) else steel.centroid
    return float(point.x), float(point.y)


def _letters(outline: Outline) -> float:
    """Height of a piece mark that stands well inside its part [mm]."""
    x0, y0, x1, y1 = outline.bounds()
    return min(max(min(x1 - x0, y1 - y0) * 1000.0 / 8.0, 3.0), 25.0)
