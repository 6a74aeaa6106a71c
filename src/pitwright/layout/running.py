"""What a base stands on besides its rails: feet, casters, wheels, the tongue it is towed by, the handles it is lifted by.

Same frame as the pit: x along the vessel from the fire-end girth seam, y to the working side, z up from the floor [m].
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pitwright.parts import Vec
from pitwright.stock import Profile

SupportKind = Literal["foot", "caster", "rest leg", "jack"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Support:
    """One point that bears on the floor.

    x, y    where it stands (the swivel's middle for a caster)
    top     where it meets the frame, over the floor
    trail   how far the wheel of a caster may stand beside its swivel, 0 for the rest
    pad     side of the square it bears on (contact patch of a wheel)
    rating  what its maker allows [N]; 0 where nobody has stated it
    """

    kind: SupportKind
    name: str
    x: float
    y: float
    top: float
    trail: float = 0.0
    pad: float
    rating: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Axle:
    """One axle with its two wheels.

    track       tyre middle to tyre middle
    radius      rolling radius of the tyre; width: of the tyre
    sprung      leaf springs on hangers (True) or fixed to the rails
    hangers     x of the points where the springs (or the axle itself) meet each rail
    drop        how far the beam lies under the hubs
    fender      outside of the fender (of the tyre where there is none) from the pit's centre line
    rating      stated load of axle and of one tyre, cold [N]; 0 where nobody has stated it
    """

    name: str
    x: float
    track: float
    radius: float
    width: float
    sprung: bool
    hangers: tuple[float, ...]
    drop: float = 0.0
    fender: float = 0.0
    axle_rating: float = 0.0
    tyre_rating: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Tongue:
    """The drawbar of a trailer: one middle beam, or two that meet at the coupler.

    end      +1: it leads past the stack end, -1: past the fire end
    coupler  middle of the ball, coupled and level
    roots    where its beams meet the frame (rail or cross member), one point a beam and fixing
    wanted   share of the weight the order asks for at the coupler, loaded
    rating   stated load of the coupler [N] (gross trailer); 0 where nobody has stated it
    """

    end: Literal[1, -1]
    beam: Profile
    coupler: Vec
    roots: tuple[Vec, ...]
    length: float
    wanted: float
    rating: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Handles:
    """The handles of a cart: where two hands take hold.

    end   +1: they reach past the stack end, -1: past the fire end
    grip  middle between the hands; half: half the distance between them
    """

    end: Literal[1, -1]
    beam: Profile
    grip: Vec
    half: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Brace:
    """A straight brace of the base between two points of it."""

    name: str
    profile: Profile
    start: Vec
    stop: Vec
