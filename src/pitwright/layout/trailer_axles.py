"""What turns under a trailer: axles, wheels, springs on their hangers, fenders. All of it stands even about one middle."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from pitwright.errors import LayoutError
from pitwright.layout.base_sizes import BaseSizes
from pitwright.layout.draft import Draft
from pitwright.layout.model import BaseLayout
from pitwright.layout.running import Axle
from pitwright.layout.struts import across
from pitwright.masses import mass_of
from pitwright.parts import Bought, Outline, Part, Placement, Plate, Shape, Vec
from pitwright.tape import INCH, LB, STANDARD_GRAVITY

BEAM = 2.375 * INCH  # axle tube (common practice, no source)
LEAVES, LEAF_WIDTH = 1.25 * INCH, 1.75 * INCH  # spring pack (common practice, no source)
LEAST_HANGER = 0.75 * INCH
HANGER, EQUALIZER, BOUGHT_FENDER = 2.0 * LB, 6.0 * LB, 12.0 * LB  # common practice, no source
EIGHTH_TURN = math.tan(math.pi / 8.0)  # half a side of an eight-sided ring over its inside radius


@dataclass(frozen=True, slots=True, kw_only=True)
class Gear:
    """One kind of piece of the axle group, placed about the group's middle at x = 0."""

    letters: str
    name: str
    shape: Shape
    places: tuple[Placement, ...]
    stock: str
    assumed: bool = True
    notes: tuple[str, ...] = field(default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """The whole axle group about its middle.

    gear     its pieces; mass: of them all [kg]
    axles    at x about the middle
    over     highest point of the fenders over the road, half the length they take along the pit [m]
    """

    gear: tuple[Gear, ...]
    mass: float
    axles: tuple[Axle, ...]
    over: float
    half_length: float


def axle_group(draft: Draft, base: BaseLayout, sizes: BaseSizes, count: int) -> Group:
    """One axle or two with all that belongs to them, about x = 0.

    Raises LayoutError where the springs have no room under the rails.
    """
    rules, ledger = draft.rules.trailer, draft.ledger
    tyre = ledger.value("trailer.tyre") / 2.0
    drop = ledger.value("trailer.axle_drop")
    beam_z = tyre - drop
    hang = sizes.floor_gap - beam_z - BEAM / 2.0 - LEAVES
    if hang < LEAST_HANGER:
        raise LayoutError(
            "no room for springs and hangers between axle and rail",
            field="proportions.trailer.ride",
            value=draft.tape.length(sizes.floor_gap - beam_z),
            allowed=f"{draft.tape.length(BEAM / 2.0 + LEAVES + LEAST_HANGER)} or more",
            remedy="Give it more height over the axle, or take an axle with more drop.",
        )
    middles = (0.0,) if count == 1 else (rules.axle_gap / 2.0, -rules.axle_gap / 2.0)
    if count == 2 and rules.axle_gap < max(2.0 * tyre + 1.0 * INCH, rules.spring + 2.0 * INCH):
        raise LayoutError(
            "two axles that near run tyre on tyre, or spring on spring",
            field="proportions.trailer.axle_gap",
            value=draft.tape.length(rules.axle_gap),
            allowed=f"{draft.tape.length(max(2.0 * tyre + 1.0 * INCH, rules.spring + 2.0 * INCH))} or more",
            remedy="Set them further apart, or take smaller tyres.",
        )
    out = base.rails_outside / 2.0
    sheet = rules.fender_plate if rules.fenders == "plate" else 0.0
    inside = out + sheet + rules.tyre_clear
    track = 2.0 * inside + rules.tyre_width
    outside = inside + rules.tyre_width
    guard = outside + (0.0 if rules.fenders == "none" else rules.tyre_clear)
    ends = _hangers(middles, rules.spring)
    gear = [
        Gear(
            letters="AX", name="axle",
            shape=Bought(mass=rules.axle_weight, size=(2.0 * inside, BEAM, BEAM), form="cylinder"),
            places=tuple(across(x, 0.0, beam_z, _nth(draft, i, count)) for i, x in enumerate(middles)),
            stock=f"axle with hubs and brakes, {draft.tape.length(track)} track"
            + (f", {draft.tape.length(drop)} drop" if drop else ""),
        ),
        Gear(
            letters="WH", name="wheel and tyre",
            shape=Bought(mass=rules.tyre_weight, size=(rules.tyre_width, 2.0 * tyre, 2.0 * tyre), form="cylinder"),
            places=tuple(across(x, s * track / 2.0, tyre) for x in middles for s in (1.0, -1.0)),
            stock=f"trailer wheel and tyre, {draft.tape.length(2.0 * tyre)} x {draft.tape.length(rules.tyre_width)}",
            notes=("all tyres alike; pressure as the tyre's wall says",),
        ),
        Gear(
            letters="SG", name="leaf spring",
            shape=Bought(mass=rules.spring_weight, size=(rules.spring, LEAF_WIDTH, LEAVES)),
            places=tuple(
                Placement(origin=(x, s * base.rail_y, beam_z + BEAM / 2.0 + LEAVES / 2.0)) for x in middles for s in (1.0, -1.0)
            ),
            stock=f"leaf spring, {draft.tape.length(rules.spring)} eye to eye",
            notes=("plates and bolts to the axle with it",),
        ),
        _plain_hangers(base, ends, sizes.floor_gap, hang),
    ]  # fmt: skip
    if count == 2:
        gear.append(
            Gear(
                letters="EQ", name="equalizer",
                shape=Bought(mass=EQUALIZER, size=(rules.axle_gap - rules.spring, LEAF_WIDTH, hang)),
                places=tuple(Placement(origin=(0.0, s * base.rail_y, sizes.floor_gap - hang / 2.0)) for s in (1.0, -1.0)),
                stock="equalizer with its hanger", notes=("lets both axles carry alike",),
            )
        )  # fmt: skip
    ring = tyre + rules.tyre_over
    over, half_length = 2.0 * tyre, max(middles) + tyre
    if rules.fenders != "none":
        over, half_length = tyre + ring + sheet, max(middles) + ring
        gear += _fenders(draft, max(middles), tyre, ring, out, guard, sizes.floor_gap)
    rating = 0.0 if rules.axle_rating is None else rules.axle_rating * STANDARD_GRAVITY
    tyre_rating = 0.0 if rules.tyre_rating is None else rules.tyre_rating * STANDARD_GRAVITY
    axles = tuple(
        Axle(
            name=_nth(draft, i, count), x=x, track=track, radius=tyre, width=rules.tyre_width, sprung=True,
            hangers=(x + rules.spring / 2.0, x - rules.spring / 2.0), drop=drop, fender=guard, axle_rating=rating,
            tyre_rating=tyre_rating,
        )
        for i, x in enumerate(middles)
    )  # fmt: skip
    mass = sum(_mass(g) * len(g.places) for g in gear)
    return Group(gear=tuple(gear), mass=mass, axles=axles, over=over, half_length=half_length)


def _nth(draft: Draft, i: int, count: int) -> str:
    """What the shop calls an axle; they come the stack side first."""
    if count == 1:
        return "axle"
    front = i == (0 if draft.rules.trailer.tongue_end == "stack" else 1)
    return "front axle" if front else "rear axle"


def _mass(gear: Gear) -> float:
    return mass_of(
        Part(mark="", name=gear.name, group="base", shape=gear.shape, stock="", placements=gear.places[:1])
    ).mass


def _hangers(middles: tuple[float, ...], spring: float) -> tuple[float, float]:
    """The outermost spring eyes."""
    return max(middles) + spring / 2.0, min(middles) - spring / 2.0


def _plain_hangers(base: BaseLayout, ends: tuple[float, float], rail_low: float, hang: float) -> Gear:
    return Gear(
        letters="HG",
        name="spring hanger",
        shape=Bought(mass=HANGER, size=(2.0 * INCH, LEAF_WIDTH, hang)),
        places=tuple(
            Placement(origin=(x, s * base.rail_y, rail_low - hang / 2.0), where="rails' underside")
            for x in ends
            for s in (1.0, -1.0)
        ),
        stock="spring hanger with bolt",
        notes=("weld both sides square to the coupler, never on the spring's own weight",),
    )


def _fenders(
    draft: Draft, middle: float, tyre: float, ring: float, out: float, guard: float, rail_low: float
) -> list[Gear]:
    """A fender each side over all tyres: flat top and two slopes along an eight-sided ring, on a plate against the rail."""
    rules = draft.rules.trailer
    side = EIGHTH_TURN * ring
    top, low = tyre + ring, tyre + side
    if rules.fenders == "bought":
        thick = 1.0 * INCH
        return [
            Gear(
                letters="FD", name="fender",
                shape=Bought(mass=BOUGHT_FENDER, size=(2.0 * (middle + ring), guard - out, thick)),
                places=tuple(Placement(origin=(0.0, s * (out + guard) / 2.0, top + thick / 2.0)) for s in (1.0, -1.0)),
                stock="fender, bought" + (" for two axles" if middle else ""),
            )
        ]  # fmt: skip
    t = rules.fender_plate
    wide = guard - out - t
    flat = middle + side
    stock = draft.plate(t)

    def sheet(length: float, x: float, z: float, turn: float) -> list[Placement]:
        """A plate over the tyre from its under face's lower left corner, sloping by `turn` along the pit."""
        c, s = math.cos(turn), math.sin(turn)
        u: Vec = (c, 0.0, s)
        n: Vec = (-s, 0.0, c)
        return [Placement(origin=(x, y, z), x=u, y=(0.0, 1.0, 0.0), z=n, where="fender") for y in (out + t, -guard)]

    slope = 2.0 * side
    eighth = math.pi / 4.0
    back = [(-flat - slope * math.cos(eighth), low), (-flat, top), (flat, top), (flat + slope * math.cos(eighth), low)]
    foot = max(min(rail_low, low - 0.05), 0.0)
    back = [*back, (flat, foot), (-flat, foot)]
    outline = Outline.polygon(tuple(back[::-1]))
    return [
        Gear(
            letters="FD", name="fender back", shape=Plate(outline=outline, thickness=t), assumed=False,
            # Drawn along the pit and up; its thickness runs out from the rail's side.
            places=(
                Placement(origin=(0.0, out + t, 0.0), x=(1.0, 0.0, 0.0), y=(0.0, 0.0, 1.0), z=(0.0, -1.0, 0.0), where="working side"),
                Placement(origin=(0.0, -out, 0.0), x=(1.0, 0.0, 0.0), y=(0.0, 0.0, 1.0), z=(0.0, -1.0, 0.0), where="back"),
            ),
            stock=stock, notes=("against the rail's outside",),
        ),
        Gear(
            letters="FD", name="fender top", shape=Plate(outline=Outline.rectangle(0.0, 0.0, 2.0 * flat, wide), thickness=t),
            places=tuple(sheet(2.0 * flat, -flat, top, 0.0)), stock=stock, assumed=False,
        ),
        Gear(
            letters="FD", name="fender end", shape=Plate(outline=Outline.rectangle(0.0, 0.0, slope, wide), thickness=t),
            places=(
                *sheet(slope, -flat - slope * math.cos(eighth), low, eighth),
                *sheet(slope, flat, top, -eighth),
            ),
            stock=stock, assumed=False, notes=("inside edges meet: weld the open corner outside",),
        ),
    ]  # fmt: skip
