"""DXF for a cutting table or another drawing office: one drawing at true size, layers in plain words.

Lines, arcs and circles go out as such and outlines as closed polylines whose round pieces are bulges, so nothing is
approximated. Grey tones stay on paper. The same drawing always gives the same bytes.
"""

from __future__ import annotations

import io
import math
import threading
from collections.abc import Iterable
from typing import Any, Literal

from pitwright.parts import Point2, arc_of
from pitwright.sheets.drawing import LAYERS, Drawing
from pitwright.sheets.ink import Ink, Patch, Path, Stroke, Words
from pitwright.sheets.laying import lay

_UNITS: dict[str, tuple[float, int, int]] = {"mm": (1.0, 4, 1), "in": (1.0 / 25.4, 1, 0)}
_COLOURS = {"CUT": 1, "MARK": 5, "BEND": 3, "TEXT": 7, "DIMENSION": 8, "ACCENT": 30, "WRONG": 6}
_LINES = {"HIDDEN": "DASHED", "CENTRE": "CENTER", "OLD POSITION": "PHANTOM", "BEND": "DIVIDE"}
_WEIGHTS = {"CUT": 50, "OUTLINE": 50, "GROUND": 50, "MARK": 35}
_ANCHORS = {"left": "LEFT", "middle": "CENTER", "right": "RIGHT"}
_one_at_a_time = threading.Lock()


def dxf_bytes(drawing: Drawing, unit: Literal["mm", "in"] = "mm", *, ratio: float = 1.0) -> bytes:
    """A drawing as DXF R2010 at true size.

    unit   what one drawing unit is; also told to the reader ($INSUNITS)
    ratio  the paper scale lettering is sized for: at 1/8 a 2.5 mm figure comes out 20 mm high beside the true-size shape
    """
    import ezdxf as library

    ezdxf: Any = library  # it does not name its own exports
    size, insert, measurement = _UNITS[unit]
    with _one_at_a_time:
        before = ezdxf.options.write_fixed_meta_data_for_testing
        ezdxf.options.write_fixed_meta_data_for_testing = True
        try:
            document = ezdxf.new("R2010", setup=["linetypes"])
            document.header["$INSUNITS"] = insert
            document.header["$MEASUREMENT"] = measurement
            document.header["$LTSCALE"] = 10.0 * size / ratio
            _Writer(document, size / ratio).write(lay(drawing, ratio))
            for kind in sorted({entity.dxftype() for entity in document.entitydb.values()}):
                document.classes.add_class(kind)  # left to itself the library lists them in no fixed order
            stream = io.StringIO()
            document.write(stream)
        finally:
            ezdxf.options.write_fixed_meta_data_for_testing = before
    return stream.getvalue().encode("utf-8")


class _Writer:
    def __init__(self, document: Any, factor: float):
        self._document = document
        self._space = document.modelspace()
        self._factor = factor

    def write(self, ink: Iterable[Ink]) -> None:
        for item in ink:
            if isinstance(item, Stroke):
                self._stroke(item.path, self._layer(item.layer or LAYERS[item.role]))
            elif isinstance(item, Words):
                self._words(item)
            elif isinstance(item, Patch) and item.tone == 1.0 and len(item.paths[0].points) == 3:
                a, b, c = (self._at(p) for p in item.paths[0].points)
                self._space.add_solid((a, b, c, c), dxfattribs={"layer": self._layer(LAYERS[item.role])})

    def _layer(self, name: str) -> str:
        if name not in self._document.layers:
            self._document.layers.add(
                name,
                color=_COLOURS.get(name, 7),
                linetype=_LINES.get(name, "CONTINUOUS"),
                lineweight=_WEIGHTS.get(name, 18),
            )
        return name

    def _at(self, p: Point2) -> Point2:
        return (p[0] * self._factor, -p[1] * self._factor)

    def _stroke(self, path: Path, layer: str) -> None:
        attributes = {"layer": layer}
        points = [self._at(p) for p in path.points]
        bulges = [-b for b in path.bulges] or [0.0] * len(points)
        if path.closed and len(points) == 2 and all(abs(abs(b) - 1.0) < 1e-12 for b in bulges):
            (ax, ay), (bx, by) = points
            radius = math.hypot(bx - ax, by - ay) / 2.0
            self._space.add_circle(((ax + bx) / 2.0, (ay + by) / 2.0), radius, dxfattribs=attributes)
        elif len(points) == 2 and not path.closed and not bulges[0]:
            self._space.add_line(points[0], points[1], dxfattribs=attributes)
        elif len(points) == 2 and not path.closed:
            centre, radius, start, sweep = arc_of(points[0], points[1], bulges[0])
            low, high = (start, start + sweep) if sweep > 0.0 else (start + sweep, start)
            self._space.add_arc(centre, radius, math.degrees(low), math.degrees(high), dxfattribs=attributes)
        else:
            bulges += [0.0] * (len(points) - len(bulges))
            rows = [(x, y, b) for (x, y), b in zip(points, bulges, strict=True)]
            self._space.add_lwpolyline(rows, format="xyb", close=path.closed, dxfattribs=attributes)

    def _words(self, words: Words) -> None:
        from ezdxf.enums import TextEntityAlignment

        text = self._space.add_text(
            words.text,
            height=words.height * self._factor,
            rotation=math.degrees(words.angle),
            dxfattribs={"layer": self._layer(words.layer or "TEXT")},
        )
        text.set_placement(self._at(words.at), align=TextEntityAlignment[_ANCHORS[words.anchor]])
