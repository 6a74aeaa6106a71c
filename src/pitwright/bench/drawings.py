"""Drawings for the page: quick ones while a hand moves, and the fully lettered ones of the plan set when it rests.

Both come from the same functions as the printed sheets. A quick drawing is the printed view with its lettering left
out: laying dimensions so that none overlaps takes most of the time. The page draws the few figures of what is in hand
itself (`Live`).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final, Literal, get_args

from pitwright.layout.model import Pit
from pitwright.parts import Point2, Vec
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.lettered import AngleDimension, Callout, Dimension, RoundDimension, Running, Slope
from pitwright.sheets.svg import screen
from pitwright.sheets.views.common import known, pit_sketch
from pitwright.sheets.views.ends import fire_end_view, stack_end_view
from pitwright.sheets.views.eye import Eye, from_above, from_fire_end, from_stack_end, from_working_side
from pitwright.sheets.views.plan import plan_view
from pitwright.sheets.views.scene import draw_pit
from pitwright.sheets.views.side import side_view
from pitwright.sheets.views.upright_general import firebox_side_view, front_view, plan_of
from pitwright.sheets.views.wrap_map import wrap_map

View = Literal["side", "stack end", "fire end", "plan", "wrap map"]
VIEWS: Final[tuple[View, ...]] = get_args(View)
SLACK: Final = 3e-4  # a rim of a piece narrower than this is not drawn on the screen [m]
_OVER: Final = 0.06  # how far lines of the floor and the axis stand out [m]
_STANDING: Final = 1.15
_WIDE: Final = 130.0  # how wide a drawing is meant to come out, in its own millimetres
_RATIOS: Final = (0.2, 0.125, 0.1, 0.08, 0.0625, 0.05, 0.04, 0.03125, 0.025, 0.02, 0.0125, 0.01)
_LETTERED: Final = (Dimension, Running, AngleDimension, RoundDimension, Slope, Callout)

_PRINTED: Final[Mapping[View, Callable[..., Drawing]]] = MappingProxyType(
    {
        "side": side_view,
        "stack end": stack_end_view,
        "fire end": fire_end_view,
        "plan": plan_view,
    }
)
_EYES: Final[Mapping[View, Callable[[int], Eye]]] = MappingProxyType(
    {"side": from_working_side, "stack end": from_stack_end, "fire end": from_fire_end, "plan": from_above}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Live:
    """One dimension of what is in hand: from here to there on a view [m], its text, and the figure it shows."""

    view: View
    start: Point2
    end: Point2
    text: str
    name: str

    def as_json(self) -> dict[str, Any]:
        """As the page takes it."""
        return {
            "view": self.view,
            "from": [round(c, 5) for c in self.start],
            "to": [round(c, 5) for c in self.end],
            "text": self.text,
            "name": self.name,
        }


def eye_of(pit: Pit, view: View) -> Eye | None:
    """Where a view is looked at from; None for the wrap map, which lies flat."""
    return _EYES[view](pit.vessel.hand) if view in _EYES else None


def on_view(pit: Pit, view: View, point: Vec) -> Point2:
    """A point of the pit on a view [m]; on the wrap map a point of the skin."""
    eye = eye_of(pit, view)
    if eye is not None:
        return eye.point(point)
    vessel = pit.vessel
    if vessel.on_end:
        around = vessel.outer_radius * math.atan2(point[0], point[1])
        return (-vessel.hand * (point[2] - vessel.seam_z), -(around % vessel.around))
    around = vessel.outer_radius * math.atan2(point[1], point[2] - vessel.centre_z)
    return (-vessel.hand * point[0], -(around % vessel.around))


def quick(pit: Pit, view: View) -> Drawing:
    """A view without its lettering: some milliseconds."""
    whole = _printed(pit, view, SLACK)
    return Drawing(tuple(p for p in whole.primitives if not isinstance(p, _LETTERED)))


def lettered(pit: Pit, view: View) -> Drawing:
    """A view with every dimension and callout, as the plan set prints it, but for the piece marks.

    Laying it takes some hundred milliseconds.
    """
    whole = _printed(pit, view, 0.0)
    return Drawing(tuple(p for p in whole.primitives if not (isinstance(p, Callout) and p.balloon)))


def _printed(pit: Pit, view: View, slack: float) -> Drawing:
    if view == "wrap map":
        return wrap_map(pit)
    if pit.upright is None:
        return _PRINTED[view](pit, slack=slack)
    return _ON_END[view](pit, slack=slack)


def _far_side(pit: Pit, *, slack: float = 0.0) -> Drawing:
    """A vessel on end from the side away from the firebox: its pieces, the floor, its axis and its grates."""
    sketch, eye = pit_sketch(pit), from_stack_end(pit.vessel.hand)
    draw_pit(sketch, pit, eye, slack=slack)
    x0, _, x1, top = sketch.bounds()
    sketch.line((x0 - _OVER, 0.0), (x1 + _OVER, 0.0), "ground")
    sketch.line((0.0, pit.vessel.seam_z - 2.0 * _OVER), (0.0, top + _OVER), "centre")
    for level in pit.grates.levels:
        half = level.width / 2.0
        about = f"grates.{level.name}.height"
        sketch.line((-half, level.z), (half, level.z), "hidden", title=level.name, about=known(pit, about))
        sketch.dim((x0, 0.0), (x0, level.z), "left", base=x0, about=known(pit, about))
    return sketch.drawing()


_ON_END: Final[Mapping[View, Callable[..., Drawing]]] = MappingProxyType(
    {"side": front_view, "stack end": _far_side, "fire end": firebox_side_view, "plan": plan_of}
)


def ratio_for(pit: Pit, view: View = "side") -> float:
    """The scale at which a view is laid for the screen, so that its lettering reads well beside the pit."""
    tall = float(pit.reasons["overall.height"].value)
    if view == "wrap map":
        return ratio_of(pit.vessel.length, pit.vessel.around, _STANDING)
    if view in ("stack end", "fire end") or pit.upright is not None:
        return ratio_of(float(pit.reasons["overall.width_open"].value), tall, _STANDING)
    return ratio_of(float(pit.reasons["overall.length"].value), tall)


def ratio_of(wide: float, tall: float, upright: float = 1.5) -> float:
    """The scale for a drawing so wide and so tall [m]; `upright`: how much dearer height is than width on the page."""
    size = max(wide, upright * tall, 1e-3)
    return next((r for r in _RATIOS if 1000.0 * r * size <= _WIDE), _RATIOS[-1])


def as_svg(drawing: Drawing, ratio: float) -> str:
    """The drawing as an `<svg>` element of the page."""
    return screen(drawing, ratio)
