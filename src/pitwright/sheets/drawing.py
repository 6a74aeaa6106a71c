"""The drawing model: what is drawn, in real units, before any paper or scale is chosen.

Words
    primitive   one drawn thing: a line, an arc, a text, a dimension (pitwright.sheets.shapes, .lettered)
    role        what a line *is*; weight, dash and colour follow from it
    drawing     an unchanging tuple of primitives, in metres, x to the right and y up
    sketch      the pad a drawing is made on (pitwright.sheets.sketch)
    about       the dotted name of the figure a primitive shows (`legs.A.spread`), kept all the way to the screen
    ink         what a primitive becomes at one scale on paper (pitwright.sheets.ink), in millimetres

Shape is in metres; lettering, arrows and the distances between dimension lines are in millimetres of paper, so a
drawing can be put on any sheet at any scale. Scale is chosen when the drawing is placed (pitwright.sheets.page).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from pitwright.parts import Point2
from pitwright.sheets.lettered import Symbol, Text
from pitwright.sheets.shapes import Arc, Circle, Fill, Hatch, Line, Motion, Polyline, Primitive, Role

LAYERS: dict[Role, str] = {
    "outline": "OUTLINE",
    "hidden": "HIDDEN",
    "centre": "CENTRE",
    "thin": "THIN",
    "cut": "CUT",
    "mark": "MARK",
    "bend": "BEND",
    "dimension": "DIMENSION",
    "ground": "GROUND",
    "ghost": "OLD POSITION",
    "accent": "ACCENT",
    "wrong": "WRONG",
    "fill": "TONE",
}


def role_of(primitive: Primitive) -> Role:
    """The role a primitive is drawn in."""
    match primitive:
        case Line() | Polyline() | Arc() | Circle() | Hatch() | Text() | Symbol():
            return primitive.role
        case Fill():
            return "fill"
        case _:
            return "dimension"


def layer_of(primitive: Primitive) -> str:
    """The layer of the cut file a primitive lies on: its own, TEXT for lettering, or its role's."""
    if primitive.layer:
        return primitive.layer
    return "TEXT" if isinstance(primitive, Text) else LAYERS[role_of(primitive)]


@dataclass(frozen=True, slots=True)
class Drawing:
    """An unchanging drawing in metres. Made on a `Sketch`; moved, turned, mirrored and joined as a whole."""

    primitives: tuple[Primitive, ...] = ()

    def bounds(self) -> tuple[float, float, float, float]:
        """(x0, y0, x1, y1) of the shapes [m]; dimensions and lettering stand outside them (see `ink.extent`)."""
        return bounds_of(self.primitives)

    def through(self, motion: Motion) -> Drawing:
        """The drawing after a rigid motion."""
        return Drawing(tuple(p.through(motion) for p in self.primitives))

    def moved(self, dx: float, dy: float) -> Drawing:
        """Shifted [m]."""
        return self.through(Motion.move(dx, dy))

    def turned(self, angle: float, about: Point2 = (0.0, 0.0)) -> Drawing:
        """Turned to the left [rad] about a point."""
        return self.through(Motion.turn(angle, about))

    def mirrored(self, point: Point2 = (0.0, 0.0), direction: Point2 = (0.0, 1.0)) -> Drawing:
        """Reflected in the line through `point` along `direction` (left for right as it stands)."""
        return self.through(Motion.mirror(point, direction))

    def __add__(self, other: Drawing) -> Drawing:
        return Drawing(self.primitives + other.primitives)


def bounds_of(primitives: Iterable[Primitive]) -> tuple[float, float, float, float]:
    """(x0, y0, x1, y1) of the shapes of some primitives [m]; zeros where there are none."""
    points = [q for p in primitives for q in p.reach()]
    if not points:
        return (0.0, 0.0, 0.0, 0.0)
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)
