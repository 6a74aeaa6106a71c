"""The shop's habits: every free choice of a pit as a rule that can be applied to any vessel.

A `shop.toml` sets them once; a job may change any of them. Values that stand here are the starting habits of no
shop in particular (common practice, no source); a shop replaces them with its own.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from pitwright.errors import JobError
from pitwright.job.quantities import Angle, Length, Mass, ShareLength, Strict, habit
from pitwright.job.rates import RateRules
from pitwright.job.running import CartRules, StandRules, TrailerRules

SetPlace = Literal["stack seam", "fire seam", "middle", "fire door end", "stack door end", "firebox", "vertical middle"]


CONTACT_WAYS = frozenset({"inboard", "clock", "lean", "length"})  # ways to say where a leg meets the shell


class SetRule(Strict):
    """Where one leg set (or saddle) likes to stand."""

    start: SetPlace = Field(alias="from", description="what it is measured from")
    by: ShareLength = habit("0", description="how far in from there (towards the middle)")


class ClockRules(Strict):
    """Turning the found vessel."""

    top_from_seam: Length | None = Field(
        None, description="top line, clockwise from the long seam seen at end A; fixes the clock"
    )
    fire_end: Literal["A", "B"] | None = Field(None, description="which end gets the fire; fixes it")
    long_seam_clear: Length = habit("2 in", ge=0.0, le=0.3, description="opening edge to long seam, at least")
    girth_seam_clear: Length = habit("2 in", ge=0.0, le=0.3, description="opening edge or leg to girth seam, at least")
    fitting_clear: Length = habit("1 in", ge=0.0, le=0.3, description="opening edge or leg to a fitting, at least")
    turn_step: Length = habit("1/4 in", gt=0.0, le=0.1, description="how finely the turn is searched")


class GrateRules(Strict):
    """Cooking grates."""

    below_centre: ShareLength = habit("1 in", description="main grate under the vessel's centre line")
    side_clear: Length = habit("1/4 in", ge=0.0, le=0.1, description="grate edge to wall, each side, cold")
    growth_gap: Length = habit("1/4 in", ge=0.0, le=0.1, description="gap left at the ends for growth")
    panel_longest: Length = habit("30 in", gt=0.1, le=2.0, description="longest single grate panel")
    frame: str = habit("1 x 1 x 1/8 angle", description="grate frame stock")
    mesh_weight: float = Field(
        14.6,
        gt=0.0,
        le=60.0,
        description="weight of expanded metal [kg/m2]; 3/4 No. 9 raised, about 3.0 lb/ft2",
    )
    support: str = habit("1-1/2 x 1-1/2 x 3/16 angle", description="ledge stock along the wall")
    slide_travel: float = Field(0.6, ge=0.0, le=0.9, description="part of the grate depth a slide pulls out")
    slide_pull: Mass = habit("17 lb", ge=0.0, le=100.0, description="pull to move a loaded slide, as a weight")
    meat_per_area: float = Field(49.0, gt=0.0, le=200.0, description="raw meat a grate takes [kg/m2]; about 10 lb/ft2")
    meat_per_person: Mass = habit("1 lb", gt=0.0, le=3.0, description="raw meat bought per person")


class DoorRules(Strict):
    """Cook chamber doors."""

    count: int | None = Field(None, ge=1, le=3, description="doors; by length where blank")
    longest: Length = habit("40 in", gt=0.3, le=2.0, description="longest door before another is added")
    end_margin: ShareLength = habit("6 in", description="door end to girth seam")
    mullion: Length = habit("4 in", ge=0.03, le=0.6, description="skin left between two doors")
    hinge_clock: Angle = habit("15", ge=-0.6, le=1.2, description="hinge edge from the top line")
    below_grate: Length = habit(
        "1/2 in", ge=-0.2, le=0.3, description="lower edge under the main grate line, as height"
    )
    band: str = habit("flat 1-1/2 x 1/4", description="banding stock round the opening")
    band_overlap: Length = habit("3/4 in", ge=0.0, le=0.1, description="band over the gap, seal side")
    hinges: int = Field(2, ge=2, le=4, description="hinges a door")
    pin_out: Length = habit("3/4 in", ge=0.0, le=0.15, description="hinge pin centre off the skin")
    handle_out: Length = habit("3 in", ge=0.0, le=0.3, description="handle off the skin at the lower edge")
    hardware: Mass = habit("5 lb", ge=0.0, le=60.0, description="hinges and handle of one door, assumed")
    open_stop: Angle = habit("105", ge=0.5, le=2.6, description="how far it opens")
    hold: Literal["none", "counterweight", "prop"] = habit("prop", description="what keeps it open")
    counterweight: Mass | None = Field(
        None, ge=0.0, le=400.0, description="weight on its arm; what it takes to stay open where blank"
    )
    counterweight_arm: Length = habit("12 in", ge=0.0, le=1.0, description="arm from hinge pin")
    counterweight_rise: Angle = habit("155", ge=1.6, le=4.0, description="arm from straight forward, at the open stop")
    pull_limit: Mass = habit("35 lb", gt=0.0, le=200.0, description="hand pull wanted at most, as a weight")
    touch_clear: Angle = habit("10", ge=0.0, le=0.8, description="swing left before first touch, at least")


class FireboxRules(Strict):
    """Firebox and what is in it."""

    shape: Literal["round", "box"] = "round"
    size: ShareLength = habit("0.8 diameter", description="outside diameter, or outside width of a box")
    height: ShareLength | None = Field(None, description="outside height of a box; as wide where blank")
    round_to: Length = habit("2 in", gt=0.0, le=0.2, description="sizes one can buy: firebox size comes in these steps")
    length: ShareLength = habit("0.36 seam length", description="inside length")
    longest: Length = habit("40 in", gt=0.2, le=3.0, description="most that a share of the seam length makes it")
    wall: Length = habit("3/8 in", gt=0.002, le=0.03)
    end_plate: Length = habit("3/8 in", gt=0.002, le=0.03)
    double_wall: Length = habit("0", ge=0.0, le=0.15, description="insulation gap of a double wall, 0 = single")
    outer_skin: Length = habit("1/8 in", gt=0.0, le=0.02, description="outer skin of a double wall")
    joint: Literal["cut", "dished", "flat"] = habit(
        "cut", description="vessel end: head cut off and plated, head left on, flat end"
    )
    drop: ShareLength | None = Field(
        None, description="firebox centre under vessel centre; solved from the throat where blank"
    )
    fire_grate_up: ShareLength = habit(
        "0.6 radius", description="fire grate over the firebox bottom, inside; a share is one of the firebox"
    )
    fire_grate: str = habit("round 3/4", description="fire grate bars")
    fire_grate_gap: Length = habit("3/4 in", gt=0.0, le=0.1, description="gap between the bars")
    door_width: Length = habit("16 in", gt=0.1, le=1.2)
    door_height: Length = habit("14 in", gt=0.1, le=1.2)
    ash_height: Length = habit("7 in", ge=0.0, le=0.5, description="ash door and ash space height, 0 = none")
    inlets: int = Field(2, ge=1, le=4, description="air inlets")
    inlet_share: float = Field(0.045, gt=0.0, le=0.3, description="open inlet area over chamber section area")
    floor_clear: Length = habit("3 in", ge=0.0, le=0.5, description="firebox bottom over the floor, at least")


class ThroatRules(Strict):
    """Opening from firebox to cook chamber."""

    shape: Literal["lens", "segment", "rectangle"] = "lens"
    share: float = Field(0.13, gt=0.0, le=0.5, description="net throat area over chamber section area")
    dam: Length = habit("2 in", ge=0.0, le=0.2, description="grease dam left at the bottom")
    plate: Length = habit("3/8 in", gt=0.002, le=0.03)
    under_grate: Length = habit("2 in", ge=0.0, le=0.5, description="throat top under the main grate, at least")


class BaffleRules(Strict):
    """Tuning plates, or the full baffle of a reverse flow pit."""

    kind: Literal["none", "tuning plates", "baffle"] = "none"
    thickness: Length = habit("1/4 in", gt=0.001, le=0.02)
    under_grate: Length = habit("4 in", ge=0.0, le=0.6, description="plate under the main grate")
    plates: int = Field(4, ge=1, le=12, description="tuning plates")
    gap: Length = habit("3/4 in", ge=0.0, le=0.2, description="gap between tuning plates, middle of the range")
    slope: float = Field(1.0 / 96.0, ge=0.0, le=0.1, description="grease slope away from the fire; 1/8 in a foot")
    end_gap: Length = habit("1/4 in", ge=0.0, le=0.1, description="growth gap")
    return_share: float = Field(
        0.16, gt=0.0, le=0.5, description="return passage at the far end over chamber section area"
    )


class StackRules(Strict):
    """Stack, damper, cap."""

    profile: str | None = Field(None, description="stack stock; by its share of the chamber where blank")
    share: float = Field(0.075, gt=0.0, le=0.5, description="stack bore area over chamber section area")
    place: Literal["top", "end"] = habit("top", description="through the shell, or out of the stack end")
    at: ShareLength = habit("9 in", description="stack centre in from its seam")
    behind_top: Length | None = Field(
        None, ge=-0.5, le=0.8, description="stack centre behind the top line; as far as the doors need where blank"
    )
    height: Length = habit("36 in", gt=0.1, le=3.0, description="over the top of the shell")
    reach_in: Length = habit("0", ge=0.0, le=0.6, description="how far it reaches in, from the inside skin")
    damper: Literal["flap", "none"] = "flap"
    cap: Literal["hinged", "none"] = "hinged"


class LegRules(Strict):
    """Legs: where the sets stand and how each leg leans. Exactly one of the ways to say the contact."""

    sets: tuple[SetRule, ...] = habit(
        ({"from": "stack seam", "by": "1/2 radius"}, {"from": "fire seam", "by": "1/2 radius"}),
        min_length=1,
        max_length=6,
    )
    profile: str = habit("2 x 2 x 3/16 tube", description="leg stock")
    set_in: Length = habit("1 in", ge=-0.3, le=0.5, description="leg's outer face in from the rail's outer edge")
    inboard: Length | None = Field(None, description="where the leg meets the shell, in from the vessel's side line")
    clock: Angle | None = Field(None, description="where the leg meets the shell, up from the bottom line")
    lean: Angle | None = Field(None, description="lean in off plumb")
    length: Length | None = Field(None, gt=0.0, description="centre length of the leg")
    lean_along: Angle = habit("0", ge=-0.5, le=0.5, description="lean along the pit, tops towards the middle")
    turn: Literal["square to pit", "square to skin"] = "square to pit"
    end: Literal["auto", "straight", "coped"] = habit(
        "auto", description="top end; auto copes where the gap is too wide"
    )
    pads: Literal["auto", "always", "never"] = habit("auto", description="auto: on shell thinner than 1/4 in")
    pad_size: Length = habit("6 in", gt=0.02, le=0.5)
    pad_thickness: Length = habit("1/4 in", gt=0.001, le=0.02)
    saw_limit: Angle = habit("60", gt=0.5, le=1.3, description="most the saw can be set off square")

    @model_validator(mode="after")
    def _one_way(self) -> LegRules:
        said = sorted(n for n in CONTACT_WAYS if getattr(self, n) is not None)
        if len(said) > 1:
            raise JobError(
                f"the leg's contact is said {len(said)} ways ({', '.join(said)})",
                allowed="one of inboard, clock, lean, length",
                remedy="Keep the one the shop works by; the others come out as answers.",
            )
        return self


class BaseRules(Strict):
    """Skid, or the base bars under saddles."""

    rail: str = habit("3 x 3 x 3/16 tube", description="rail stock")
    rails_outside: ShareLength = habit("1 diameter", description="over the outside of the rails")
    overhang: ShareLength = habit("6 in", description="rail past the last leg set, at each end")
    end_cut: Angle = habit("0", ge=0.0, le=1.05, description="rail ends off square, lower edge shorter")
    cross: str = habit("3 x 3 x 3/16 tube", description="cross member stock")
    cross_reach: Length = habit("12 in", ge=0.0, le=1.0, description="a cross member this near every leg set")
    cross_longest: Length = habit("48 in", gt=0.2, le=3.0, description="longest rail between two cross members")
    pockets: bool = Field(True, description="fork pockets")
    pocket: str = habit("7 x 3 x 3/16 tube", description="fork pocket stock")
    pocket_spread: Length = habit("28 in", gt=0.2, le=1.5, description="fork pockets, centre to centre")
    drag_eyes: bool = Field(True, description="an eye at each rail end")
    feet: Length = habit("0", ge=0.0, le=0.5, description="foot or skid plate under the rails")


class SaddleRules(Strict):
    """Plate saddles instead of legs."""

    sets: tuple[SetRule, ...] = habit(
        ({"from": "stack seam", "by": "1/4 seam length"}, {"from": "fire seam", "by": "1/4 seam length"}),
        min_length=2,
        max_length=4,
    )
    contact: Angle = habit("120", ge=1.0, le=2.8, description="angle of shell each saddle carries")
    thickness: Length = habit("3/8 in", gt=0.003, le=0.04)
    ears: Length = habit("0", ge=0.0, le=0.2, description="plate past the contact, each side")
    pad_thickness: Length = habit("0", ge=0.0, le=0.03, description="wear pad between saddle and shell, 0 = none")
    stiffener: bool = True


class UprightRules(Strict):
    """A vessel on end: one tall door, round grates, a square base."""

    firebox_size: ShareLength = habit("0.6 diameter", description="outside diameter, or outside width of a box")
    firebox_length: ShareLength = habit("0.7 diameter", description="inside length of the firebox")
    door_clear: Length = habit("22 in", gt=0.2, le=2.0, description="clear opening of the door, straight across")
    door_below: Length = habit("2 in", ge=0.0, le=0.4, description="door's lower edge under the lowest grate")
    door_above: Length = habit("8 in", ge=0.05, le=1.0, description="door's upper edge over the highest grate, at most")
    hinge: Literal["away from the firebox", "firebox side"] = "away from the firebox"
    hinges: int = Field(3, ge=2, le=6, description="hinges of the tall door, pins on one plumb line")
    latches: int = Field(2, ge=1, le=4, description="latches on the edge away from the hinges")
    latch_weight: Mass = habit("2 lb", ge=0.0, le=20.0, description="one latch, assumed")
    strongbacks: int = Field(3, ge=2, le=6, description="upright strongbacks tacked on before the door is cut")
    pin: Length = habit("3/4 in", gt=0.005, le=0.06, description="hinge pin diameter")
    pitch: Length = habit("8 in", ge=0.05, le=1.0, description="from one grate to the next, as height")
    grates: int | None = Field(None, ge=1, le=12, description="grates; as many as fit behind the door where blank")
    headroom: Length = habit("6 in", ge=0.02, le=1.0, description="over the highest grate to the door's upper edge")
    ledge: Length = habit("1-1/4 in", ge=0.01, le=0.1, description="how far grate ledges stand in from the wall")
    pan: Literal["water pan", "plate", "none"] = habit("plate", description="what spreads the fire over the window")
    pan_share: float = Field(0.75, ge=0.3, le=0.95, description="pan or plate over the inside diameter")
    pan_over: Length = habit("1-1/2 in", ge=0.0, le=0.5, description="pan or plate over the window's upper edge")
    window_low: Length = habit("2 in", ge=0.0, le=0.6, description="firebox over the bottom seam's cap, at least")
    stack: Literal["head", "shell"] = habit("head", description="out of the top, or out of the back near the top")
    square: Length | None = Field(
        None, gt=0.2, le=4.0, description="base over the outside, each way; shell and a post each side where blank"
    )
    post: str = habit("2 x 2 x 3/16 tube", description="posts between base and shell")
    post_lap: Length = habit("4 in", ge=0.02, le=0.5, description="post up the shell past the bottom seam")
    stands_on: Literal["feet", "casters"] = "feet"
    foot_height: Length = habit("1/2 in", ge=0.0, le=0.5, description="foot plates under the base")
    caster_height: Length = habit("6-1/2 in", gt=0.03, le=0.5, description="floor to the base on casters")
    caster_trail: Length = habit("1-3/4 in", ge=0.0, le=0.2, description="wheel beside its swivel")
    drain_room: Length = habit("6 in", ge=0.0, le=0.6, description="under the bottom of the vessel for a bucket")


class ShelfRules(Strict):
    """Work shelf along the doors."""

    depth: Length = habit("0", ge=0.0, le=0.6, description="0 = no shelf")
    thickness: Length = habit("3/16 in", gt=0.001, le=0.02)
    below_door: Length = habit("2 in", ge=0.0, le=0.4)


class LiftRules(Strict):
    """Lifting lugs on the shell, for two slings to one hook; without them it is slung under the rails with a spreader."""

    lugs: bool = Field(False, description="a lug on the top of the shell over each end leg set or saddle")
    by: ShareLength = habit("0", description="how far in from that set (towards the middle)")
    thickness: Length = habit("1/2 in", ge=0.006, le=0.05, description="lug plate")
    width: Length = habit("4 in", ge=0.05, le=0.3, description="lug plate along the pit; its top is round")
    height: Length = habit("2-1/2 in", ge=0.03, le=0.3, description="middle of the hole over the pad")
    hole: Length = habit("1-1/4 in", ge=0.01, le=0.1)
    pin: Length = habit("1-1/8 in", ge=0.01, le=0.1, description="pin of the shackle that goes through it")
    pad_size: Length = habit("8 in", ge=0.05, le=0.5, description="pad along the pit")
    pad_around: Length = habit("4 in", ge=0.03, le=0.5, description="pad round the skin")
    pad_thickness: Length = habit("3/8 in", ge=0.003, le=0.02)


class StickRule(Strict):
    """A stick length the shop can buy."""

    length: Length = Field(gt=0.5, le=20.0)
    price_per_length: float | None = Field(None, ge=0.0, description="money for one stick; by weight where blank")
    store: str = Field("", max_length=40, description="who sells it")


class SheetRule(Strict):
    """A sheet size the shop can buy."""

    width: Length = Field(gt=0.3, le=4.0)
    length: Length = Field(gt=0.3, le=15.0)


class PlateDropRule(Strict):
    """A piece of plate left over from another job."""

    thickness: Length = Field(gt=0.0005, le=0.08)
    width: Length = Field(gt=0.05, le=4.0)
    length: Length = Field(gt=0.05, le=15.0)
    count: int = Field(1, ge=1, le=100)


class DropRule(Strict):
    """A drop on the rack."""

    stock: str
    length: Length = Field(gt=0.05, le=20.0)
    count: int = Field(1, ge=1, le=100)


class ShopRules(Strict):
    """Saw, table, steel."""

    kerf: Length = habit("1/16 in", ge=0.0, le=0.01, description="saw kerf")
    plate_kerf: Length = habit("1/8 in", ge=0.0, le=0.01, description="torch or plasma kerf")
    end_trim: Length = habit("0", ge=0.0, le=0.2, description="trimmed off a new stick's end")
    keep_drop: Length = habit("12 in", ge=0.0, le=2.0, description="shortest drop worth keeping")
    sticks: tuple[StickRule, ...] = habit(({"length": "20 ft"}, {"length": "24 ft"}), min_length=1, max_length=6)
    sheets: tuple[SheetRule, ...] = habit(
        ({"width": "48 in", "length": "96 in"}, {"width": "60 in", "length": "120 in"}),
        min_length=1,
        max_length=6,
    )
    drops: tuple[DropRule, ...] = ()
    plate_drops: tuple[PlateDropRule, ...] = ()
    plate_gap: Length = habit("1/4 in", ge=0.0, le=0.05, description="steel left between parts on a plate")
    plate_margin: Length = habit("1/2 in", ge=0.0, le=0.1, description="steel left at the plate's edge")
    plate_cutting: Literal["table", "shear"] = Field(
        "table", description="table: any shape; shear: straight cuts from edge to edge, shapes cut by hand afterwards"
    )
    steel_price: float = Field(2.4, ge=0.0, le=50.0, description="steel, money per kg")
    tape_step: Length | None = Field(
        None, gt=0.0002, le=0.02, description="finest mark of the shop's tape; 1/16 in or 1 mm where blank"
    )
    datum: Literal["stack", "fire"] = habit("stack", description="girth seam that all stations are pulled from")
    weld_and_paint: float = Field(0.04, ge=0.0, le=0.2, description="weld, scale and paint over the solved weight")
    ligament: Length = habit("1-1/2 in", ge=0.0, le=0.3, description="skin left between two openings, at least")


class Proportions(Strict):
    """All the shop's rules."""

    clock: ClockRules = ClockRules()
    grates: GrateRules = GrateRules()
    doors: DoorRules = DoorRules()
    firebox: FireboxRules = FireboxRules()
    throat: ThroatRules = ThroatRules()
    baffle: BaffleRules = BaffleRules()
    stack: StackRules = StackRules()
    legs: LegRules = LegRules()
    base: BaseRules = BaseRules()
    saddles: SaddleRules = SaddleRules()
    upright: UprightRules = UprightRules()
    stand: StandRules = StandRules()
    cart: CartRules = CartRules()
    trailer: TrailerRules = TrailerRules()
    shelf: ShelfRules = ShelfRules()
    lift: LiftRules = LiftRules()
    shop: ShopRules = ShopRules()
    rates: RateRules = RateRules()
