"""The solved pit: what every report, drawing and check reads. Frozen; nothing downstream invents a dimension.

Pit frame: x along the vessel from the fire-end girth seam (0) to the stack-end one (`length`), y to the working
side, z up from the floor [m]. *Clock* is the angle from the top line, positive to the working side [rad]; *around*
is the same on the outside skin by tape [m]. *Station* is what a tape hooked on the datum seam reads [m].
The pit frame is right-handed when the firebox stands on the right of a person at the working side; otherwise the
real pit is its mirror image along x (`Vessel.hand` = -1).

A vessel on end (`Pit.upright`): its own x runs up its axis from the bottom seam, its clock from the front line,
positive away from the firebox; the pit's x is level, from the firebox's side to the other, with 0 on the axis.
Figures of the vessel, its openings and its door use the vessel's; everything else stands in the pit frame.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from pitwright.findings import Finding
from pitwright.job.facts import Job
from pitwright.layout.running import Axle, Brace, Handles, Support, Tongue
from pitwright.layout.upright_model import UprightLayout
from pitwright.layout.vessel_model import ClockChoice as ClockChoice
from pitwright.layout.vessel_model import KeepOut as KeepOut
from pitwright.layout.vessel_model import PlacedFitting as PlacedFitting
from pitwright.layout.vessel_model import VesselLayout as VesselLayout
from pitwright.masses import Balance
from pitwright.parts import Part, Point2, Vec
from pitwright.reasons import Reason
from pitwright.stock import Profile
from pitwright.tape import Tape


@dataclass(frozen=True, slots=True, kw_only=True)
class GrateLevel:
    """One cooking level. y is across, x along; z is the top of the grate over the floor [m]."""

    name: str
    z: float
    above_centre: float
    chord: float
    width: float
    x0: float
    x1: float
    panels: int
    panel_length: float
    slides: bool
    travel: float
    area: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BafflePlate:
    """A tuning plate or baffle under the grate: top face heights at both ends [m]."""

    name: str
    x0: float
    x1: float
    z0: float
    z1: float
    width: float
    thickness: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GrateLayout:
    """Grates, their ledges, plates under them, and the drain.

    return_area: passage left for the smoke at the far end of a reverse-flow baffle [m2], 0 for one-pass pits.
    """

    levels: tuple[GrateLevel, ...]
    plates: tuple[BafflePlate, ...]
    drain_x: float
    drain_clock: float
    return_area: float
    area: float
    meat_capacity: float
    meat_wanted: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ThroatLayout:
    """The opening from firebox to chamber, in the end view (y across, v up from the vessel centre) [m].

    outline    closed list of vertices with bulges (the DXF rule), as Outline
    bottom     v of the dam's top edge; top: v of its highest point; widest: width at widest_at
    gross_area before the dam; net_area after
    """

    shape: Literal["lens", "segment", "rectangle", "window"]
    points: tuple[Point2, ...]
    bulges: tuple[float, ...]
    gross_area: float
    net_area: float
    wanted_area: float
    dam: float
    bottom: float
    top: float
    widest: float
    widest_at: float
    plate_x: float
    plate_thickness: float
    perimeter: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FireboxLayout:
    """The firebox: a round pipe or box along x from `x0` (outer end) to `x1` (at the vessel) [m].

    width, height  outside sizes (both the outside diameter where round)
    drop           its centre under the vessel's centre
    depth_inside   inside length
    grate_z        fire grate top over the floor; ash_depth from there down to the inside bottom
    inlet_area     open inlet area, all inlets [m2]; inlet_z their middle height
    """

    shape: Literal["round", "box"]
    width: float
    height: float
    wall: float
    end_plate: float
    double_gap: float
    outer_skin: float
    x0: float
    x1: float
    drop: float
    centre_z: float
    joint: Literal["cut", "dished", "flat", "side"]
    grate_z: float
    grate_width: float
    grate_length: float
    ash_depth: float
    door_width: float
    door_height: float
    door_z: float
    ash_height: float
    inlets: int
    inlet_area: float
    inlet_width: float
    inlet_height: float
    inlet_z: float

    @property
    def inside_width(self) -> float:
        """Inside width (or diameter) [m]."""
        return self.width - 2.0 * self.wall

    @property
    def inside_height(self) -> float:
        """Inside height (or diameter) [m]."""
        return self.height - 2.0 * self.wall

    @property
    def depth_inside(self) -> float:
        """Inside length [m]."""
        return self.x1 - self.x0 - self.end_plate

    @property
    def bottom_z(self) -> float:
        """Lowest outside point over the floor [m]."""
        return self.centre_z - self.height / 2.0 - (self.double_gap + self.outer_skin if self.double_gap else 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class StackLayout:
    """The stack. Through the shell: at x, offset y (positive to the working side), saddle on the skin.

    ordinates  cope depth round the pipe at 16 equal tape steps, from the lowest point of the cope up [m]; empty
               where the stack leaves the end
    hole_around, hole_along  size of the hole on the skin [m]
    top_z, inlet_z           top of the pipe and where smoke enters it, over the floor
    reach_in                 how far the pipe goes in past the inside skin; 0 = set on the skin and coped
    place                    through the shell, out of the end; a vessel on end: out of its top head, or of its back
    """

    place: Literal["top", "end", "head", "back"]
    profile: Profile
    x: float
    y: float
    clock: float
    length: float
    ordinates: tuple[float, ...]
    step: float
    hole_around: float
    hole_along: float
    base_z: float
    top_z: float
    inlet_z: float
    reach_in: float
    damper: Literal["flap", "none"]
    cap: Literal["hinged", "none"]

    @property
    def inside_area(self) -> float:
        """Open area of the pipe [m2]."""
        return math.pi / 4.0 * (self.profile.height - 2.0 * self.profile.wall) ** 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Touch:
    """First touch of a moving piece against a fixed one. travel [rad or m]; inf where it never touches."""

    moving: str
    against: str
    travel: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DoorLayout:
    """One chamber door: a piece of the shell between x0, x1 and two clocks, swinging on pins along x.

    On a vessel on end x0 and x1 are heights over the bottom seam, the pins stand plumb, `pin` is (x, y) in plan, pulls
    are friction alone, and hinge_clock may be the larger of the two.

    arc, chord, diagonal  the skin by tape, straight across, and the wrap diagonal [m]
    weight                the moving piece with bands and hardware [kg]
    pin                   (y, z) of the pin line
    lever                 from pin to the door's centre of gravity [m]; lever_angle its direction shut, from
                          straight forward (+y) upward
    handle_radius         pin to handle
    pulls                 (swing, hand pull [N]) over the travel, counterweight in
    worst_pull, over_centre  the largest pull, and the swing where it falls over by itself (inf: never)
    stop                  how far it is to open; touches: first touches over a full turn
    edge_top_z            height of the lower edge when stopped open
    reach                 how far the open door stands in front of the vessel's centre
    """

    name: str
    x0: float
    x1: float
    hinge_clock: float
    edge_clock: float
    arc: float
    chord: float
    diagonal: float
    weight: float
    pin: Point2
    lever: float
    lever_angle: float
    handle_radius: float
    pulls: tuple[tuple[float, float], ...]
    first_pull: float
    worst_pull: float
    over_centre: float
    stop: float
    touches: tuple[Touch, ...]
    edge_top_z: float
    reach: float
    hold: Literal["none", "counterweight", "prop"]
    hold_needed: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LegLayout:
    """One leg, worked in its own end view: foot on the rail, top against the round [m, rad].

    foot_y, foot_z   centre of the foot (half spread, negative on the back; foot plane); x its station in the pit frame
    contact          clock up from the bottom line where the centre line meets the shell
    around           that point on the skin from the bottom line by tape
    lean, lean_along off plumb; true_lean both together
    foot_cut, top_cut degrees off square as the saw is set (mitre); foot_tilt, top_tilt: blade tilt (0 for plain legs)
    centre_length    along the centre line
    long_point, short_point  the piece as cut with the chosen end; straight_long, straight_short: with straight cuts;
                     coped_long, coped_short: with the coped end
    gap              gap at each edge of a straight cut, off the face
    end              what the top end is: straight or coped; roll: whether to roll the tube 180 degrees between cuts
    angle_foot, angle_shell  included angles inside the leg
    """

    side: Literal["working", "back"]
    x: float
    foot_y: float
    foot_z: float
    contact: float
    around: float
    lean: float
    lean_along: float
    true_lean: float
    foot_cut: float
    top_cut: float
    foot_tilt: float
    top_tilt: float
    centre_length: float
    long_point: float
    short_point: float
    straight_long: float
    straight_short: float
    coped_long: float
    coped_short: float
    gap: float
    end: Literal["straight", "coped"]
    roll: bool
    angle_foot: float
    angle_shell: float
    skin_faces: float
    state: Literal["open", "cut", "tacked", "welded"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LegSet:
    """One pair of legs. arc_points: chord steps of the vessel arc for the table layout are made from the pit."""

    name: str
    x: float
    rule: str
    profile: Profile
    legs: tuple[LegLayout, ...]
    pad_size: float
    pad_thickness: float
    half_spread: float
    height: float
    relief: float
    sensitivity: Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class SaddleLayout:
    """One plate saddle: chord, sag and arc of the contact, plate heights over the base bar [m]."""

    name: str
    x: float
    rule: str
    contact: float
    cut_radius: float
    chord: float
    sag: float
    arc: float
    width: float
    edge_height: float
    middle_height: float
    thickness: float
    pad_thickness: float
    blank: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossMember:
    """A cross member between the rails."""

    x: float
    length: float
    under: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BaseLayout:
    """Rails and cross members. rail_top is the foot plane of the legs (or of the saddles) over the floor [m].

    rails_outside  over the outside of the rails; rail_y half the distance between their centre lines
    diagonal       outside corner to outside corner, the check figure when squaring up
    feet_diagonal  between the foot marks of the two end leg sets, corner to corner
    supports, axles  what it bears on; a skid or saddle base has neither and bears on its rails
    """

    kind: Literal["skid", "saddles", "stand", "cart", "upright", "trailer"]
    rail: Profile
    cross: Profile
    rail_x0: float
    rail_x1: float
    rail_y: float
    rails_outside: float
    rail_top: float
    floor_gap: float
    crosses: tuple[CrossMember, ...]
    pockets: tuple[float, ...]
    pocket: Profile
    eyes: bool
    diagonal: float
    feet_diagonal: float
    supports: tuple[Support, ...] = ()
    axles: tuple[Axle, ...] = ()
    tongue: Tongue | None = None
    handles: Handles | None = None
    braces: tuple[Brace, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LugLayout:
    """A lifting lug on the shell: a plate standing along the pit on a pad, its top round about the hole [m].

    clock         where it stands on the skin; hole: the middle of its hole in the pit
    width         along the pit; height: hole over the pad; hole_size, pin: diameters
    pad_size      along the pit; pad_around: round the skin
    """

    name: str
    x: float
    clock: float
    hole: Vec
    width: float
    thickness: float
    height: float
    hole_size: float
    pin: float
    pad_size: float
    pad_around: float
    pad_thickness: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A hole through a skin or plate.

    on       `shell`, `fire plate`, `stack end`, `firebox`
    outline  developed on the outside skin: (x, around) points for the shell; (y, v) for a flat end [m]
    area     open area [m2]
    """

    name: str
    on: str
    outline: tuple[Point2, ...]
    area: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A point a person pulls with a tape.

    on       `shell` (station, around), `rail working`, `rail back` (running from the rail's stack end, -), or a
             piece mark (running from its end)
    along    the running figure along the piece or the vessel [m]; around: on the skin, else 0
    what     what it is
    needs    the make-safe record must stand before this mark is issued (a cut on the vessel)
    """

    on: str
    along: float
    around: float
    what: str
    needs: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What has become of a piece that is already cut, after what was measured."""

    mark: str
    verdict: Literal["fits", "fits with gap", "trim", "recut"]
    text: str
    gap: float
    trim: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Pit:
    """The whole solved pit. `upright` is what a vessel on end has of its own, None for one that lies."""

    job: Job
    tape: Tape
    revision: str
    cleared: bool
    vessel: VesselLayout
    clock_choices: tuple[ClockChoice, ...]
    grates: GrateLayout
    firebox: FireboxLayout
    throat: ThroatLayout
    stack: StackLayout
    doors: tuple[DoorLayout, ...]
    leg_sets: tuple[LegSet, ...]
    saddles: tuple[SaddleLayout, ...]
    base: BaseLayout
    parts: tuple[Part, ...]
    openings: tuple[Opening, ...]
    marks: tuple[Mark, ...]
    verdicts: tuple[Verdict, ...]
    moved: tuple[str, ...]
    dead_sheets: tuple[str, ...]
    balance: Mapping[str, Balance]
    reasons: Mapping[str, Reason]
    findings: tuple[Finding, ...]
    upright: UprightLayout | None = None
    lugs: tuple[LugLayout, ...] = ()
