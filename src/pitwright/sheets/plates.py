"""Flat parts as drawings for the cutting table: cut line, piece mark, and where the part is bent or rolled."""

from __future__ import annotations

from collections.abc import Iterator

from pitwright.layout.model import Pit
from pitwright.parts import Outline, Part, Plate
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.sketch import Sketch


def flat_parts(pit: Pit) -> Iterator[tuple[Part, Outline]]:
    """Every part cut flat from plate, with its outline (a rolled part's developed blank); mesh is not burned."""
    for part in pit.parts:
        if part.flat is not None:
            yield part, part.flat
        elif isinstance(part.shape, Plate) and part.shape.mass_per_area is None:
            yield part, part.shape.outline


def plate_drawing(pit: Pit, part: Part, outline: Outline) -> Drawing:
    """One flat part at true size, its mark inside it; layers CUT, MARK and TEXT."""
    sketch = Sketch(length=pit.tape.length)
    sketch.outline(outline, "cut", layer="CUT")
    x0, y0, x1, y1 = outline.bounds()
    size = max(min(x1 - x0, y1 - y0) * 1000.0 / 8.0, 3.0)
    at = _inside(outline)
    sketch.text(at, f"{part.mark}  {part.quantity} off", height=min(size, 25.0), anchor="middle", layer="TEXT")
    return sketch.drawing()


def _inside(outline: Outline) -> tuple[float, float]:
    """A point well inside the steel of an outline (a hole may cover its centre)."""
    from shapely import Polygon

    steel = Polygon(outline.flattened(1e-3), [h.flattened(1e-3) for h in outline.holes])
    point = steel.representative_point() if not steel.contains(steel.centroid) else steel.centroid
    return float(point.x), float(point.y)
