"""Straight members between two points of the pit, their ends cut by planes of the pit; wheels and posts."""

from __future__ import annotations

from pitwright.layout.place import bar_along
from pitwright.parts import Bar, Placement, PlaneCut, Vec, dot
from pitwright.stock import Profile

UP: Vec = (0.0, 0.0, 1.0)


def strut(
    profile: Profile, start: Vec, stop: Vec, up: Vec, cut_start: Vec | None, cut_stop: Vec | None, where: str = ""
) -> tuple[Bar, Placement]:
    """A bar whose centre line runs from `start` to `stop` [m], its ends in planes through these points.

    up        which way its section's height stands; cut_start, cut_stop: outward normals of the end planes in the pit
              frame, square cuts where None
    """
    at = bar_along(start, stop, up, where)
    length = dot(at.x, (stop[0] - start[0], stop[1] - start[1], stop[2] - start[2]))

    def own(normal: Vec | None, way: float) -> Vec:
        return (way, 0.0, 0.0) if normal is None else (dot(normal, at.x), dot(normal, at.y), dot(normal, at.z))

    return (
        Bar(
            profile=profile,
            x0=0.0,
            x1=length,
            start=PlaneCut(point=(0.0, 0.0, 0.0), normal=own(cut_start, -1.0)),
            finish=PlaneCut(point=(length, 0.0, 0.0), normal=own(cut_stop, 1.0)),
        ),
        at,
    )


def across(x: float, y: float, z: float, where: str = "") -> Placement:
    """A round thing whose axis lies across the pit, its middle at the point [m]."""
    return Placement(origin=(x, y, z), x=(0.0, 1.0, 0.0), y=(0.0, 0.0, 1.0), z=(1.0, 0.0, 0.0), where=where)


def upright(x: float, y: float, z: float, where: str = "") -> Placement:
    """A thing drawn along its own x, standing up from the point [m]."""
    return Placement(origin=(x, y, z), x=UP, y=(0.0, 1.0, 0.0), z=(-1.0, 0.0, 0.0), where=where)
