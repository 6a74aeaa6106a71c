"""What a vessel on end has of its own: the window to its firebox, its tall door, round grates, posts and square base.

Heights are over the floor where they are called z, over the bottom seam where they are called x; clocks run from the
front line, positive away from the firebox; plan figures are (x, y) in the pit frame [m, rad].
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pitwright.parts import Point2
from pitwright.stock import Profile


@dataclass(frozen=True, slots=True, kw_only=True)
class SideWindow:
    """Where the firebox opens into the shell, low at its side.

    outline      on the outside skin laid flat, round the firebox's inside: (height over the bottom seam, around) [m]
    joint        the same for its outside, where it is welded on
    x0, x1       lowest and highest point over the bottom seam
    clock        of its middle; half_clock from there to each side
    skin_area    cut out of the skin, laid flat; clear_area as the gas sees it, square to the firebox, over the dam
    dam          plate left standing at its foot, against ash and grease
    """

    shape: Literal["round", "box"]
    outline: tuple[Point2, ...]
    joint: tuple[Point2, ...]
    x0: float
    x1: float
    clock: float
    half_clock: float
    skin_area: float
    clear_area: float
    dam: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TallDoor:
    """What is its own of the one tall door; its size and swing stand in the pit's first `DoorLayout`.

    clear         straight across the opening, wanted and had
    hinge_side    +1: pins away from the firebox, -1: on its side
    sill_z, head_z  lower and upper edge over the floor
    hinge_x       heights of the hinges over the bottom seam
    strongbacks   clocks of the upright strongbacks it is cut under
    friction      torque that turns it on plumb pins [N m]
    lean_pull     hand pull with its pin line one degree out of plumb [N]
    shift         how far its own weight moves to the side, shut to stop, in plan
    """

    clear: float
    hinge_side: Literal[1, -1]
    sill_z: float
    head_z: float
    hinge_x: tuple[float, ...]
    strongbacks: tuple[float, ...]
    friction: float
    lean_pull: float
    shift: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundGrate:
    """One round grate, in two halves on ledges. z: its top over the floor; x: over the bottom seam."""

    name: str
    z: float
    x: float
    diameter: float
    halves: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Spreader:
    """The water pan or plate over the window. z: its top over the floor; passage: area left open round it [m2]."""

    kind: Literal["water pan", "plate"]
    z: float
    diameter: float
    passage: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Post:
    """One post from the base up the shell: where its middle stands in plan, its clock, its foot and its top over the floor."""

    x: float
    y: float
    clock: float
    z0: float
    z1: float


@dataclass(frozen=True, slots=True, kw_only=True)
class UprightLayout:
    """A vessel on end.

    square     base over the outside, both ways; diagonal: the check figure when squaring it up
    ledges     (middle clock, half angle) of the pieces of ledge under every grate
    ledge_in   how far they stand in from the wall
    bottom_z   lowest point of the vessel over the floor; overall_z: highest point of everything
    drain_z    mouth of the drain over the floor
    """

    window: SideWindow
    door: TallDoor
    grates: tuple[RoundGrate, ...]
    ledges: tuple[Point2, ...]
    ledge_in: float
    spreader: Spreader | None
    posts: tuple[Post, ...]
    post: Profile
    square: float
    diagonal: float
    bottom_z: float
    overall_z: float
    drain_z: float
