"""How each leg of a set stands: the shop's way of saying the contact, the rail it stands on, what was measured.

The foot: the leg's outer face stands `set_in` in from the rail's outer edge at the foot plane, so its centre is
half the width over the rails less set_in less w / (2 cos lean) from the pit's centre line (w: tube in the end view).
On an out-of-round vessel the leg is cut to the skin as it is: a round of the local radius is laid against the real
skin at the contact, and the leg is solved on that.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pitwright.errors import LayoutError
from pitwright.job.facts import LegMeasured
from pitwright.layout.draft import Draft
from pitwright.layout.leg_solve import LegSolved, solve_leg
from pitwright.layout.set_places import SetPlace
from pitwright.reasons import Measure
from pitwright.stock import Profile

Side = Literal["working", "back"]
SIDES: tuple[Side, Side] = ("working", "back")
Way = Literal["inboard", "contact", "lean", "length"]
WAYS: tuple[Way, ...] = ("inboard", "contact", "lean", "length")
USUAL_CONTACT = math.radians(45.0)  # where the shop says nothing (common practice, no source)
SETTLED = 1e-14
LIMITS: dict[Way, tuple[float, float]] = {
    "inboard": (1e-3, 3.0),
    "contact": (math.radians(2.0), math.radians(88.0)),
    "lean": (-0.5, 1.0),
    "length": (0.05, 5.0),
}
"""What a job may set of a set's own [m, rad]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """The round a leg carries: the vessel, or the firebox [m].

    radius   outside, pads not counted; pad: thickness of a pad between leg and skin, 0 for none
    height   its centre over the foot plane
    oval, oval_clock  as `VesselLayout` has them
    """

    name: Literal["shell", "firebox"]
    radius: float
    centre_z: float
    height: float
    pad: float
    oval: float
    oval_clock: float

    def skin(self, contact: float, side: Side) -> tuple[float, float, float]:
        """(radius, facing, local radius) of the skin under a leg: facing is the clock its normal shows [m, rad]."""
        if self.oval == 0.0:
            return self.radius, contact, self.radius
        clock = math.pi - contact if side == "working" else contact - math.pi
        swing = 2.0 * (clock - self.oval_clock)
        turned = 2.0 * self.oval / self.radius * math.sin(swing)
        facing = contact - turned if side == "working" else contact + turned
        return self.radius + self.oval * math.cos(swing), facing, self.radius - 3.0 * self.oval * math.cos(swing)

    def around(self, contact: float, side: Side) -> float:
        """Tape on the skin from the bottom line to a contact [m]."""
        if self.oval == 0.0:
            return self.radius * contact
        low = math.pi - contact if side == "working" else -math.pi
        high = math.pi if side == "working" else contact - math.pi
        swing = [math.sin(2.0 * (c - self.oval_clock)) for c in (low, high)]
        return self.radius * contact + self.oval / 2.0 * (swing[1] - swing[0])


@dataclass(frozen=True, slots=True, kw_only=True)
class Stance:
    """One leg as it stands.

    contact  clock up from the bottom line [rad]; facing: the clock the skin's normal shows there
    solved   the leg on the local round
    foot_y   foot centre from the pit's centre line [m]
    """

    side: Side
    contact: float
    facing: float
    around: float
    foot_y: float
    solved: LegSolved


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What settles a set before anything was measured.

    way, value   how the shop says the contact
    edge         leg's outer face from the pit's centre line at the foot [m]; half_spread instead where it is set
    """

    way: Way
    value: float
    edge: float
    half_spread: float | None
    lean_along: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedSet:
    """A set before its pieces are made: place, what it carries, and both legs; `drawn`: as before anything was measured."""

    place: SetPlace
    carried: Carried
    profile: Profile
    want: Wanted
    legs: tuple[Stance, Stance]
    drawn: Stance


def usual_want(draft: Draft, rails_outside: float) -> Wanted:
    """What the shop's rules say for every set."""
    rules = draft.rules.legs
    way: Way = "contact"
    value = USUAL_CONTACT
    stated: tuple[tuple[Way, float | None], ...] = (
        ("inboard", rules.inboard),
        ("contact", rules.clock),
        ("lean", rules.lean),
        ("length", rules.length),
    )
    for said, given in stated:
        if given is not None:
            way, value = said, given
    return Wanted(
        way=way, value=value, edge=rails_outside / 2.0 - rules.set_in, half_spread=None, lean_along=rules.lean_along
    )


def wanted(draft: Draft, name: str, rails_outside: float) -> Wanted:
    """The free choices of one set, written down; the job may set any of them for this set alone."""
    rules, ledger = draft.rules.legs, draft.ledger
    usual = usual_want(draft, rails_outside)
    way, value = usual.way, usual.value
    for other in WAYS:
        if ledger.overridden(f"legs.{name}.{other}"):
            way = other
    because: dict[Way, tuple[Measure, str]] = {
        "inboard": ("length", "the leg meets the shell this far in from its side line"),
        "contact": ("angle", "where the leg meets the shell, up from the bottom line"),
        "lean": ("angle", "the shop leans its legs this much"),
        "length": ("length", "the shop cuts its legs to this length"),
    }
    value = ledger.choose(
        f"legs.{name}.{way}",
        value,
        because[way][0],
        because=because[way][1],
        rests_on=("vessel.diameter",) if way == "inboard" else (),
        limits=LIMITS[way],
    )
    spread = None
    edge = 0.0
    if ledger.overridden(f"legs.{name}.half_spread"):
        spread = ledger.choose(
            f"legs.{name}.half_spread", 0.0, because="foot centre from the pit's centre line", limits=(0.01, 3.0)
        )
    else:
        set_in = ledger.choose(
            f"legs.{name}.set_in",
            rules.set_in,
            because="leg's outer face in from the rail's outer edge",
            limits=(-0.3, 0.5),
        )
        edge = rails_outside / 2.0 - set_in
    along = ledger.choose(
        f"legs.{name}.lean_along",
        rules.lean_along,
        "angle",
        because="lean along the pit, tops towards the middle",
        limits=(-0.5, 0.5),
    )
    return Wanted(way=way, value=value, edge=edge, half_spread=spread, lean_along=along)


def stand(
    draft: Draft, want: Wanted, carried: Carried, profile: Profile, side: Side, got: LegMeasured | None, lean_sign: int
) -> Stance:
    """One leg of a set; what was measured wins.

    lean_sign  +1 where a lean along the pit takes the top towards the stack end
    Raises LayoutError where no such leg can be.
    """
    radius = carried.radius
    spread = want.half_spread
    way, value = want.way, want.value
    if got is not None and got.spread is not None:
        spread = got.spread
    if got is not None and got.lean is not None:
        way, value = "lean", got.lean
    if way == "inboard":
        if not 0.0 < value <= radius:
            raise LayoutError(
                "the leg would meet the shell past its side line or past its middle",
                field="proportions.legs.inboard",
                value=draft.tape.length(value),
                allowed=f"more than 0, up to {draft.tape.length(radius)}",
                remedy="Take a quarter of the radius to start with.",
            )
        way, value = "contact", math.asin((radius - value) / radius)
    start = value if way == "contact" else USUAL_CONTACT
    contact = start
    for _ in range(60):
        stance = _on_local_round(draft, want, carried, profile, side, way, value, spread, lean_sign, contact)
        if way == "contact" or carried.oval == 0.0 or abs(stance.contact - contact) < SETTLED:
            break
        contact = stance.contact
    return stance


def _on_local_round(
    draft: Draft,
    want: Wanted,
    carried: Carried,
    profile: Profile,
    side: Side,
    way: Way,
    value: float,
    spread: float | None,
    lean_sign: int,
    contact: float,
) -> Stance:
    r, facing, local = carried.skin(contact, side)
    local += carried.pad
    # Middle of the local round, from the middle of what is carried: the pad follows the skin.
    if carried.oval == 0.0:
        middle = (0.0, 0.0)
    else:
        skin = (r * math.sin(contact), -r * math.cos(contact))
        back = local - carried.pad
        middle = (skin[0] - back * math.sin(facing), skin[1] + back * math.cos(facing))
    height = carried.height + middle[1]
    width = profile.height
    if way == "contact":
        lean = None
        foot = (
            spread
            if spread is not None
            else _set_in_foot(
                draft,
                want.edge - middle[0],
                width,
                local * math.sin(facing),
                height - local * math.cos(facing),
            )
            + middle[0]
        )
        known = {"contact": facing, "half_spread": foot - middle[0], "height": height}
    elif way == "lean":
        foot = spread if spread is not None else want.edge - width / 2.0 / math.cos(value)
        known = {"lean": value, "half_spread": foot - middle[0], "height": height}
    else:
        known = {"length": value, "height": height}
    field = f"proportions.legs.{'clock' if way == 'contact' else way}"

    def solved(**known: float) -> LegSolved:
        return solve_leg(
            radius=local,
            width=width,
            depth=profile.width,
            lean_along=lean_sign * want.lean_along,
            turn=draft.rules.legs.turn,
            section="tube" if profile.kind == "tube" else "round",
            saw_limit=draft.rules.legs.saw_limit,
            tape=draft.tape,
            field=field,
            **known,
        )

    if way == "length":
        lean = 0.0
        for _ in range(80):
            foot = spread if spread is not None else want.edge - width / 2.0 / math.cos(lean)
            leg = solved(half_spread=foot - middle[0], **known)
            if spread is not None or abs(leg.figures.lean - lean) < SETTLED:
                break
            lean = leg.figures.lean
    else:
        leg = solved(**known)
    f = leg.figures
    if carried.oval == 0.0:
        met = f.contact
    else:
        # The point on the skin itself, under any pad.
        bare = local - carried.pad
        met = math.atan2(
            middle[0] + bare * math.sin(f.contact),
            -(middle[1] - bare * math.cos(f.contact)),
        )
    return Stance(
        side=side,
        contact=met,
        facing=f.contact,
        around=carried.around(met, side),
        foot_y=f.half_spread + middle[0],
        solved=leg,
    )


def _set_in_foot(draft: Draft, edge: float, width: float, across: float, rise: float) -> float:
    """Foot centre of a leg whose outer face stands at `edge` and that reaches `across` out, `rise` up [m].

    rise sin b + w/2 = (edge - across) cos b, solved for the lean b.
    """
    run = edge - across
    reach = math.hypot(run, rise)
    if rise <= 0.0 or reach <= width / 2.0:
        tape = draft.tape
        raise LayoutError(
            f"there is no room for the legs: the skin they meet lies {tape.length(max(-rise, 0.0))} under the rail top",
            field="order.grate_height",
            value=tape.length(draft.job.order.grate_height),
            allowed=f"at least {tape.length(draft.job.order.grate_height - rise + width)}",
            remedy="Raise the grate, use lower rails, or set the vessel on saddles.",
        )
    lean = math.acos(width / 2.0 / reach) - math.atan2(rise, run)
    return edge - width / 2.0 / math.cos(lean)
