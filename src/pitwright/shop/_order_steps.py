"""The steps of the build, before they are numbered: who, what is done, after what, what is measured, what is shut off."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from pitwright.job.rates import Stage
from pitwright.layout.model import Pit
from pitwright.parts import Part
from pitwright.shop.welds import Weld, named
from pitwright.tape import INCH

Person = Literal["vessel and doors", "base and legs", "firebox and plate"]
PEOPLE: tuple[Person, ...] = ("vessel and doors", "base and legs", "firebox and plate")
VESSEL, BASE, PLATE = PEOPLE

Space = Literal[
    "the vessel can be rolled",
    "inside of the vessel by its open end",
    "inside of the firebox with its front off",
    "firebox skin under the outer skin",
    "rails from below",
]
SPACES: tuple[Space, ...] = get_args(Space)
ROLL, IN_VESSEL, IN_FIREBOX, UNDER_SKIN, UNDER_RAILS = SPACES

TAPE_GIVE = INCH / 16.0  # what a mark or a height may be off (common practice, no source)
LEVEL_GIVE = INCH / 8.0  # level over the whole length (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """A hold point: what is measured, what it must be, what it may be off. cut: the figure places a cut on the vessel."""

    what: str
    want: str
    give: str = ""
    cut: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """One step as it is written, by keys instead of numbers."""

    key: str
    title: str
    who: Person
    do: tuple[str, ...]
    after: tuple[str, ...] = ()
    holds: tuple[Hold, ...] = ()
    needs: tuple[Space, ...] = ()
    shuts: tuple[Space, ...] = ()
    cuts: bool = False


SHARES: dict[str, dict[Stage, float]] = {
    "safe": {"make safe": 1.0},
    "lines": {"layout": 0.35},
    "marks": {"layout": 0.65},
    "open": {"throat": 0.25},
    "pads": {"legs": 0.1},
    "inside": {"grates": 0.3},
    "base": {"base": 1.0},
    "running": {"base": 0.8},
    "road": {"load": 0.8},
    "legs": {"legs": 0.6},
    "set": {"legs": 0.3},
    "firebox": {"firebox": 0.45},
    "front": {"firebox": 0.4},
    "outer skin": {"firebox": 0.15},
    "fire grate": {"firebox": 0.05},
    "stack end": {"throat": 0.2},
    "throat": {"throat": 0.35},
    "hang": {"throat": 0.35},
    "door": {"doors": 1.0},
    "stack": {"stack": 1.0},
    "grates": {"grates": 0.7},
    "shelf": {"shelf": 1.0},
    "fittings": {"fittings": 0.7},
    "try": {"fittings": 0.3},
    "dress": {"grind": 1.0},
    "paint": {"paint": 1.0},
    "burn": {"burn-in": 1.0},
    "load": {"load": 1.0},
}
"""What share of a stage's hours a step takes; made to add up over the steps a pit has."""


ON_THE_TABLE = (
    "rail",
    "cross member",
    "fork pocket",
    "drag eye",
    "outrigger",
    "tongue beam",
    "foot plate",
    "end rail",
    "base caster",
)
"""Pieces of the base that are welded while it lies on the table."""


def step_of(part: Part) -> str:
    """Key of the step a piece is needed at."""
    name = part.name
    if name.startswith("spreader "):
        return "inside" if name.endswith("bearer") else "throat"
    if part.group == "base":
        if name in ON_THE_TABLE:
            return "base"
        if name.startswith(("stretcher", "knee brace")):
            return "legs"
        return "road" if name in ("tail light", "plate bracket", "wiring", "safety chain") else "running"
    if part.group == "vessel":
        return "lines" if part.stock == "of the vessel" else "stack end"
    if part.group == "doors":
        return " ".join(name.split()[:2])
    if part.group == "firebox" or name.startswith("fire door"):
        if name in ("fire grate bar", "ash tray"):
            return "fire grate"
        if name.startswith(("firebox outer skin", "firebox insulation")):
            return "outer skin"
        if name.startswith(("firebox end plate", "fire door", "ash door", "inlet slide")):
            return "front"
        return "firebox"
    if part.group == "grates":
        return "inside" if " ledge" in name or name == "baffle" else "grates"
    if part.group in ("legs", "saddles"):
        return "pads" if name in ("leg pad", "saddle wear pad") else "legs"
    return {"throat": "throat", "stack": "stack", "shelf": "shelf", "base": "base", "lifting": "pads"}.get(
        part.group, "fittings"
    )


def weld_step(weld: Weld) -> str:
    """Key of the step a weld is run at; legs, saddles and stack are tacked first and run when everything stands right."""
    if weld.stage == "throat":
        if weld.name.startswith("firebox to"):
            return "hang"
        return "stack end" if weld.name.startswith("stack-end") else "throat"
    if weld.stage == "firebox":
        return "front" if weld.name.startswith(("firebox end plate", "fire door", "ash door")) else "firebox"
    if weld.stage == "doors":
        return " ".join(weld.name.split()[:2])
    if weld.stage == "fittings":
        return "shelf" if weld.name.startswith("shelf") else "fittings"
    if weld.stage in ("legs", "stack"):
        return "weld out"
    return {
        "inside the vessel": "inside",
        "outer skin": "outer skin",
        "pads": "pads",
        "base": "base",
        "running gear": "running",
        "grates": "grates",
    }[weld.stage]


def opened(pit: Pit) -> bool:
    """Whether an end of the vessel stands open before plates close it."""
    return pit.firebox.joint == "cut" or bool(named(pit, "stack-end plate"))
