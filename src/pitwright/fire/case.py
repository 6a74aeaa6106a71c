"""All the fire needs to know of a pit, a day, a load and a wish: complete, frozen, SI.

One frame: x along the vessel from the firebox end of the chamber [m], z up from the floor [m].
Areas are clear areas, lengths are hydraulic lengths; nothing here is looked up or guessed later.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal

from pitwright.errors import JobError
from pitwright.fire.coefficients import Coefficients
from pitwright.fire.day import Fuel, Load, Settings, Wanted, Weather, dry_basis, positive, pressure_at, share


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """A wall of steel, bare or wrapped.

    thickness                steel [m]
    insulation               thickness outside the steel [m], 0 for bare
    insulation_conductivity  [W/m K], at its working temperature
    emissivity               of the outer skin [-]
    emissivity_inside        of the sooted inside [-]
    """

    thickness: float
    insulation: float = 0.0
    insulation_conductivity: float = 0.06
    emissivity: float = 0.88
    emissivity_inside: float = 0.90

    def __post_init__(self) -> None:
        positive(self, "thickness", "insulation_conductivity", "emissivity", "emissivity_inside")
        share(self, "emissivity", "emissivity_inside")
        if self.insulation < 0.0:
            raise JobError("cannot be less than nought", field="insulation", value=self.insulation, allowed="0 or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class Inlet:
    """An air inlet of the firebox.

    area         clear area fully open [m2]
    z            height of its middle [m]
    under_grate  True where its air comes up through the fire grate
    """

    name: str
    area: float
    z: float
    under_grate: bool = True

    def __post_init__(self) -> None:
        if not (math.isfinite(self.area) and self.area >= 0.0):
            raise JobError("cannot be less than nought", field="area", value=self.area, allowed="0 or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class Door:
    """A door and its edges.

    room         which room it opens
    x0, x1       where it stands along the pit [m] (a firebox door: both 0)
    z_low, z_high  heights of its lower and upper edge [m]
    width        length of the upper and of the lower edge [m]
    side         length of each standing edge, along the skin [m]
    """

    name: str
    room: Literal["firebox", "chamber"]
    x0: float
    x1: float
    z_low: float
    z_high: float
    width: float
    side: float

    def __post_init__(self) -> None:
        positive(self, "width", "side")
        if self.z_high <= self.z_low:
            raise JobError("upper edge must stand over the lower", field=f"door {self.name}", value=self.z_high,
                           allowed=f"over {self.z_low}")  # fmt: skip

    @property
    def opening(self) -> float:
        """Clear area when open [m2], seen square on."""
        return self.width * (self.z_high - self.z_low)


@dataclass(frozen=True, slots=True, kw_only=True)
class FireGrate:
    """The grate the fire lies on.

    area        plan area [m2]
    open_share  free share of it [-]
    bed         depth of coals and ash [m]
    lump        size of the coals [m]
    """

    area: float
    open_share: float = 0.35
    bed: float = 0.06
    lump: float = 0.035

    def __post_init__(self) -> None:
        positive(self, "area", "open_share", "bed", "lump")
        share(self, "open_share")


@dataclass(frozen=True, slots=True, kw_only=True)
class Firebox:
    """The firebox.

    skin       outside area that loses heat [m2]
    volume     clear inside [m3]
    diameter   of its round, or the height of a box [m], for the film outside
    z_low, z_high  inside bottom and top [m]
    steel      mass of its steel, doors and grate included [kg]
    """

    skin: float
    volume: float
    diameter: float
    z_low: float
    z_high: float
    steel: float
    wall: Wall
    grate: FireGrate
    inlets: tuple[Inlet, ...]
    doors: tuple[Door, ...] = ()

    def __post_init__(self) -> None:
        positive(self, "skin", "volume", "diameter", "steel")


@dataclass(frozen=True, slots=True, kw_only=True)
class Throat:
    """The opening from firebox to chamber: net area [m2] over the grease dam, its lower and upper lip [m]."""

    area: float
    z_low: float
    z_high: float

    def __post_init__(self) -> None:
        positive(self, "area")
        if self.z_high <= self.z_low:
            raise JobError("upper lip must stand over the lower", field="throat", value=self.z_high,
                           allowed=f"over {self.z_low}")  # fmt: skip

    @property
    def z(self) -> float:
        """Height of its middle [m]."""
        return 0.5 * (self.z_low + self.z_high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """A way up past the plates: at x [m], clear area [m2]."""

    x: float
    area: float

    def __post_init__(self) -> None:
        positive(self, "area")


@dataclass(frozen=True, slots=True, kw_only=True)
class Deck:
    """Plates between the throat and the grate: a reverse-flow baffle (one gap at the far end) or tuning plates.

    z          height of the plates [m]
    thickness  of the steel [m]
    width      of the plates [m]
    gaps       every way up; their areas share out the flow
    """

    z: float
    thickness: float
    width: float
    gaps: tuple[Gap, ...]

    def __post_init__(self) -> None:
        positive(self, "thickness", "width")
        if not self.gaps:
            raise JobError("a deck needs a way up for the gas", field="gaps", value="none", allowed="one gap or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class Chamber:
    """The cook chamber. The grate level parts it into two layers.

    length                   inside [m]
    z_low, z_grate, z_high   inside bottom, main grate, inside top [m]
    flow_below, flow_above   cross-section under and over the grate [m2]
    skin_below, skin_above   shell round the section under and over the grate [m] (area per length)
    grate_width              of the section at the grate [m]
    grate_x0, grate_x1       ends of the main grate along the pit [m]
    ends                     area of each end wall [m2], at the fire and at the far end
    diameter                 outside [m], for the film outside
    steel                    mass of shell, ends and doors [kg]
    inner_steel              mass of grates and slides [kg]
    decks                    none (open floor) or one deck of plates
    """

    length: float
    z_low: float
    z_grate: float
    z_high: float
    flow_below: float
    flow_above: float
    skin_below: float
    skin_above: float
    grate_width: float
    grate_x0: float
    grate_x1: float
    ends: float
    diameter: float
    steel: float
    inner_steel: float
    wall: Wall
    doors: tuple[Door, ...] = ()
    decks: tuple[Deck, ...] = ()

    def __post_init__(self) -> None:
        positive(
            self, "length", "flow_below", "flow_above", "skin_below", "skin_above", "grate_width", "diameter", "steel"
        )  # fmt: skip
        if not 0.0 <= self.grate_x0 < self.grate_x1 <= self.length + 1e-9:
            raise JobError("the main grate must lie inside the chamber", field="grate_x1", value=self.grate_x1,
                           allowed=f"0 to {self.length}")  # fmt: skip
        if not self.z_low < self.z_grate < self.z_high:
            raise JobError("the grate must lie inside the chamber", field="z_grate", value=self.z_grate,
                           allowed=f"{self.z_low} to {self.z_high}")  # fmt: skip
        if len(self.decks) > 1:
            raise JobError("at most one deck of plates", field="decks", value=len(self.decks), allowed="0 or 1")
        for deck in self.decks:
            if not self.z_low < deck.z < self.z_grate:
                raise JobError("plates must lie under the grate", field="deck", value=deck.z,
                               allowed=f"{self.z_low} to {self.z_grate}")  # fmt: skip


def round_chamber(
    *,
    inside_diameter: float,
    length: float,
    z_centre: float,
    z_grate: float,
    ends: float,
    inner_steel: float,
    wall: Wall,
    doors: tuple[Door, ...] = (),
    decks: tuple[Deck, ...] = (),
    grate_ends: float = 0.0,
    steel_density: float = 7850.0,
) -> Chamber:
    """A chamber of round section lying down: areas and arcs by closed form (circle segment), steel by its wall.

    grate_ends  how far the main grate stays clear of either end [m]
    """
    radius = 0.5 * inside_diameter
    rise = z_grate - z_centre
    if abs(rise) >= radius:
        raise JobError("the grate must lie inside the round", field="z_grate", value=z_grate,
                       allowed=f"{z_centre - radius} to {z_centre + radius}")  # fmt: skip
    half_angle = math.acos(rise / radius)  # of the segment above the grate
    above = radius * radius * (half_angle - math.sin(half_angle) * math.cos(half_angle))
    outside = inside_diameter + 2 * wall.thickness
    shell = math.pi * (inside_diameter + wall.thickness) * wall.thickness * length
    return Chamber(
        length=length,
        z_low=z_centre - radius,
        z_grate=z_grate,
        z_high=z_centre + radius,
        flow_below=math.pi * radius * radius - above,
        flow_above=above,
        skin_below=2 * radius * (math.pi - half_angle),
        skin_above=2 * radius * half_angle,
        grate_width=2 * radius * math.sin(half_angle),
        grate_x0=grate_ends,
        grate_x1=length - grate_ends,
        ends=ends,
        diameter=outside + 2 * wall.insulation,
        steel=steel_density * (shell + 2 * ends * wall.thickness),
        inner_steel=inner_steel,
        wall=wall,
        doors=doors,
        decks=decks,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """The stack.

    x               where it leaves the chamber [m]
    z_mouth_low, z_mouth_high  lower and upper lip of its mouth inside the chamber [m] (a flush top mouth: both at the skin)
    z_top           top of the pipe [m]
    diameter        inside [m]
    entry           how its mouth is made
    mitres          number of 90 degree mitred bends
    cap             clear area under the cap [m2]; math.inf for an open top
    """

    x: float
    z_mouth_low: float
    z_mouth_high: float
    z_top: float
    diameter: float
    wall: Wall
    entry: Literal["flush", "projecting", "rounded"] = "flush"
    mitres: int = 0
    cap: float = math.inf

    def __post_init__(self) -> None:
        positive(self, "diameter")
        if self.z_top <= self.z_mouth:
            raise JobError("the stack must rise over its mouth", field="z_top", value=self.z_top,
                           allowed=f"over {self.z_mouth}")  # fmt: skip
        if not self.cap > 0.0:
            raise JobError("must be more than nought", field="cap", value=self.cap, allowed="a clear area, or open")

    @property
    def z_mouth(self) -> float:
        """Middle of its mouth [m]."""
        return 0.5 * (self.z_mouth_low + self.z_mouth_high)

    @property
    def area(self) -> float:
        """Clear area of the pipe [m2]."""
        return 0.25 * math.pi * self.diameter**2

    @property
    def height(self) -> float:
        """Pipe from mouth to top [m]."""
        return self.z_top - self.z_mouth


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """Another grate, besides the main one: name, height [m], ends along the pit [m], width [m]."""

    name: str
    z: float
    x0: float
    x1: float
    width: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FireCase:
    """One pit on one day with one order: the whole input of the fire.

    rises_from  height over the floor where x = 0 of a vessel on end, whose x is height; None for one that lies [m]
    """

    name: str
    firebox: Firebox
    throat: Throat
    chamber: Chamber
    stack: Stack
    shelves: tuple[Shelf, ...] = ()
    settings: Settings = field(default_factory=Settings)
    weather: Weather = field(default_factory=Weather)
    fuel: Fuel = field(default_factory=Fuel)
    load: Load = field(default_factory=Load)
    wanted: Wanted = field(default_factory=Wanted)
    coefficients: Coefficients = field(default_factory=Coefficients)
    rises_from: float | None = None

    def __post_init__(self) -> None:
        if not -0.05 <= self.stack.x <= self.chamber.length + 0.05:
            raise JobError("the stack must stand on the chamber", field="stack x", value=self.stack.x,
                           allowed=f"0 to {self.chamber.length}")  # fmt: skip
        if not self.firebox.inlets:
            raise JobError("a fire needs an air inlet", field="inlets", value="none", allowed="one or more")


__all__ = [
    "Chamber", "Deck", "Door", "FireCase", "FireGrate", "Firebox", "Fuel", "Gap", "Inlet", "Load", "Settings", "Shelf",
    "Stack", "Throat", "Wall", "Wanted", "Weather", "dry_basis", "pressure_at", "round_chamber",
]  # fmt: skip
