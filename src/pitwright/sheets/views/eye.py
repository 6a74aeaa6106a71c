"""Where a view is looked at from, and how a point of the pit comes to lie on the paper.

A person at the working side sees the firebox on the right when the vessel's hand is 1, on the left when it is -1; all
views follow from that, so a pit of the other hand is drawn the other way round with its lettering still readable.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from pitwright.parts import Point2, Vec, dot


@dataclass(frozen=True, slots=True)
class Eye:
    """Unit ways in the pit frame: to the right and up on the paper, and toward the person who looks."""

    right: Vec
    up: Vec
    toward: Vec

    def point(self, p: Vec) -> Point2:
        """A point of the pit on the paper [m]."""
        return (dot(p, self.right), dot(p, self.up))

    def points(self, ps: Iterable[Vec]) -> list[Point2]:
        """Points of the pit on the paper [m]."""
        return [self.point(p) for p in ps]

    def near(self, p: Vec) -> float:
        """How near a point is to the eye, larger is nearer [m]."""
        return dot(p, self.toward)


def from_working_side(hand: int) -> Eye:
    """The side view: as a person at the doors sees it."""
    return Eye((-float(hand), 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, 1.0, 0.0))


def from_stack_end(hand: int) -> Eye:
    """The end view from beyond the stack end."""
    return Eye((0.0, float(hand), 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))


def from_fire_end(hand: int) -> Eye:
    """The end view from beyond the firebox."""
    return Eye((0.0, -float(hand), 0.0), (0.0, 0.0, 1.0), (-1.0, 0.0, 0.0))


def from_above(hand: int) -> Eye:
    """The plan view, working side at the foot of the paper."""
    return Eye((-float(hand), 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0))
