"""The sides a pit is drawn from."""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.parts import Vec, cross, unit


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """Where one looks: `toward` from the eye into the picture, `up` on the paper (made square to it)."""

    toward: Vec
    up: Vec = (0.0, 0.0, 1.0)

    def frame(self) -> tuple[Vec, Vec, Vec]:
        """Unit directions to the right, up and away, in the pit frame."""
        away = unit(self.toward)
        right = unit(cross(away, self.up))
        return right, cross(right, away), away


SIDE = View(toward=(0.0, -1.0, 0.0))
"""From the working side; the fire end (x = 0) is on the right."""
BACK = View(toward=(0.0, 1.0, 0.0))
FIRE_END = View(toward=(1.0, 0.0, 0.0))
STACK_END = View(toward=(-1.0, 0.0, 0.0))
PLAN = View(toward=(0.0, 0.0, -1.0), up=(0.0, -1.0, 0.0))
"""From above, working side at the foot of the sheet: it lines up over the side view."""
ISOMETRIC = View(toward=(1.0, -1.0, -1.0))
"""From the working side and the fire end, 35.26 degrees above level."""
