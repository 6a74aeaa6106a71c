"""The drawbar of a trailer: its beams under the frame, coupler, jack, chains, lights and wiring.

An A-frame's beams run under the rails from `bite` behind their end and meet at the nose, side by side, cut square to the
pit: no saw has to make the long sliver of beams cut along the middle. A straight tongue runs under two cross members.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pitwright.errors import LayoutError
from pitwright.layout.base_sizes import BaseSizes
from pitwright.layout.draft import Draft
from pitwright.layout.model import BaseLayout, VesselLayout
from pitwright.layout.running import Support, Tongue
from pitwright.layout.struts import strut, upright
from pitwright.parts import Bought, Placement, Vec
from pitwright.stock import Profile, find_profile
from pitwright.tape import INCH, LB, STANDARD_GRAVITY

NOSE = 8.0 * INCH  # ball's middle ahead of the beams (common practice, no source)
JACK_BACK = 16.0 * INCH  # jack behind the ball (common practice, no source)
BOX_BACK = 5.0 * INCH  # far end of the junction box behind the nose
JACK_SIDE = 2.25 * INCH
JACK_OVER = 14.0 * INCH
COUPLER, JACK, CHAIN, LIGHT, BRACKET, WIRING = (m * LB for m in (14.0, 18.0, 4.0, 1.2, 2.5, 6.0))
"""Weights of bought gear (common practice, no source)."""

HITCH_OVER, HITCH_UNDER = 6.0 * INCH, 3.0 * INCH
"""How far the ball may stand over the top and under the bottom of the tongue (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """The tongue with what the coupler's end carries: levels of its beams over the road [m]."""

    tongue: Tongue
    jack: Support
    top: float
    bottom: float


def lay_out_tongue(draft: Draft, vessel: VesselLayout, base: BaseLayout, sizes: BaseSizes) -> Drawn:
    """The tongue with its pieces and reasons.

    Raises LayoutError where its beams cannot be cut or have no cross members to run under.
    """
    rules, ledger = draft.rules.trailer, draft.ledger
    beam = find_profile(rules.tongue_stock, field="proportions.trailer.tongue_stock")
    way: Literal[1, -1] = 1 if rules.tongue_end == "stack" else -1
    end = base.rail_x1 if way > 0 else base.rail_x0
    reach = ledger.choose(
        "trailer.tongue_reach",
        draft.share(rules.tongue_reach, vessel.outer_radius, vessel.length),
        because=f"ball ahead of the rails' {rules.tongue_end} end: {draft.said(rules.tongue_reach)}",
        limits=(0.4, 4.0),
    )
    asked = draft.job.order.hitch_height
    height = ledger.choose(
        "trailer.hitch_height",
        rules.coupler_height if asked is None else asked,
        kind="proportion" if asked is None else "fixed",
        because="ball over the road, the shop's habit" if asked is None else "ball over the road, as the order says",
        limits=(0.2, 1.0),
    )
    ball: Vec = (end + way * reach, 0.0, height)
    straight = rules.tongue == "straight"
    top = base.rail_top - (base.cross.height if straight else base.rail.height)
    level = top - beam.height / 2.0
    nose = ball[0] - way * NOSE
    if straight:
        roots, length = _straight(draft, base, beam, way, end, nose, level)
    else:
        roots, length = _a_frame(draft, base, beam, way, end, nose, level)
    ledger.note("trailer.tongue_length", length, because="each beam of the tongue along its middle", rests_on=("trailer.tongue_reach",))  # fmt: skip
    rating = 0.0 if rules.coupler_rating is None else rules.coupler_rating * STANDARD_GRAVITY
    tongue = Tongue(
        end=way,
        beam=beam,
        coupler=ball,
        roots=roots,
        length=length,
        wanted=draft.job.order.tongue_share,
        rating=rating,
    )
    jack = _gear(draft, base, tongue, nose, level)
    _hitch(draft, height, top, top - beam.height)
    return Drawn(tongue=tongue, jack=jack, top=top, bottom=top - beam.height)


def _a_frame(
    draft: Draft, base: BaseLayout, beam: Profile, way: int, end: float, nose: float, level: float
) -> tuple[tuple[Vec, ...], float]:
    bite = draft.rules.trailer.tongue_bite
    root = end - way * min(bite, 0.8 * (base.rail_x1 - base.rail_x0))
    turn, run = 0.0, abs(nose - root)
    for _ in range(60):  # the beams' half width at the nose depends on their own angle; settles in a few rounds
        turn = math.atan2(base.rail_y - beam.width / 2.0 / math.cos(turn), run)
    limit = draft.rules.legs.saw_limit
    if turn <= 0.0:
        raise LayoutError(
            "the rails stand too near together for two tongue beams",
            field="proportions.trailer.tongue",
            value="a-frame",
            allowed=f"rails over {draft.tape.length(base.rail.width + beam.width)} over the outside",
            remedy="Take a straight tongue, or spread the rails.",
        )
    if turn > limit:
        raise LayoutError(
            f"the tongue's beams would be cut {draft.tape.angle(turn)} off square",
            field="proportions.trailer.tongue_reach",
            value=draft.tape.length(abs(nose - end) + NOSE),
            allowed=f"a cut of {draft.tape.angle(limit)} or less",
            remedy="Take a longer tongue, or a straight one.",
        )
    tip = beam.width / 2.0 / math.cos(turn)
    where: list[Placement] = []
    roots: list[Vec] = []
    bar = None
    under = end - way * base.cross.width / 2.0
    for side, up in ((1.0, 1.0), (-1.0, -1.0)):
        start: Vec = (root, side * base.rail_y, level)
        stop: Vec = (nose, side * tip, level)
        # The back beam is the working one turned half round its own length.
        made, at = strut(
            beam, start, stop, (0.0, 0.0, up), (-float(way), 0.0, 0.0), (float(way), 0.0, 0.0),
            "working side" if side > 0.0 else "back",
        )  # fmt: skip
        bar = made if bar is None else bar
        where.append(at)
        roots.append((root, side * base.rail_y, level + beam.height / 2.0))
        y = base.rail_y - (abs(under - root)) * math.tan(turn)
        roots.append((under, side * y, level + beam.height / 2.0))
    assert bar is not None
    draft.add("TG", "tongue beam", "base", bar, where, beam.designation,
              notes=("under the rails and the end cross member; weld along both sides",))  # fmt: skip
    draft.ledger.note("trailer.tongue_angle", turn, "angle", because="each beam off the pit's middle line; both its ends are cut so")  # fmt: skip
    return tuple(roots), bar.x1


def _straight(
    draft: Draft, base: BaseLayout, beam: Profile, way: int, end: float, nose: float, level: float
) -> tuple[tuple[Vec, ...], float]:
    rules = draft.rules.trailer
    order = sorted((c.x for c in base.crosses), key=lambda x: abs(x - end))
    behind = [x for x in order[1:] if abs(x - end) >= rules.tongue_bite] or order[1:]
    if not behind:
        raise LayoutError(
            "a straight tongue runs under two cross members, and there are not two",
            field="proportions.trailer.tongue",
            value="straight",
            allowed="a-frame",
            remedy="Take an A-frame tongue, or set cross members nearer together (base.cross_longest).",
        )
    root = behind[0] - way * base.cross.width / 2.0
    bar, at = strut(beam, (root, 0.0, level), (nose, 0.0, level), (0.0, 0.0, 1.0), None, None, "in the middle")
    draft.add("TG", "tongue beam", "base", bar, at, beam.designation,
              notes=("under the cross members; gusset it to both sides of the first",))  # fmt: skip
    top = level + beam.height / 2.0
    return ((behind[0], 0.0, top), (order[0], 0.0, top)), bar.x1


def _gear(draft: Draft, base: BaseLayout, tongue: Tongue, nose: float, level: float) -> Support:
    """Coupler, jack, chains, lights, plate bracket and wiring, each with its place; gives back the jack."""
    rules, way, ball = draft.rules.trailer, float(tongue.end), tongue.coupler
    half = tongue.beam.height / 2.0
    low, high = min(level - half, ball[2] - 1.5 * INCH), max(level + half, ball[2] + 2.0 * INCH)
    reach = NOSE + 1.5 * INCH
    wide = 2.0 * tongue.beam.width if rules.tongue == "a-frame" else tongue.beam.width

    def buy(letters: str, name: str, mass: float, size: Vec, places: list[Vec], stock: str, *notes: str) -> None:
        draft.add(letters, name, "base", Bought(mass=mass, size=size), [Placement(origin=p) for p in places], stock,
                  assumed=True, notes=notes)  # fmt: skip

    buy("CP", "coupler", COUPLER, (reach, min(wide, 5.0 * INCH), high - low),
        [(nose + way * reach / 2.0, 0.0, (low + high) / 2.0)], f"coupler for a {rules.ball} ball, with safety pin",
        "rated for the gross weight; height set so that the frame stands level")  # fmt: skip
    side = tongue.beam.width / 2.0 + JACK_SIDE / 2.0
    flank = tongue.beam.width / 2.0  # the tongue's side where the junction box hangs
    if rules.tongue == "a-frame":  # between the beams where they stand far enough apart, else on the side of one
        turn = draft.ledger.value("trailer.tongue_angle")
        behind = JACK_BACK - NOSE
        flank = tongue.beam.width / math.cos(turn) + BOX_BACK * math.tan(turn)
        fits = behind * math.sin(turn) > JACK_SIDE / 2.0 + 0.125 * INCH
        side = 0.0 if fits else tongue.beam.width / math.cos(turn) + behind * math.tan(turn) + JACK_SIDE
    x, over = ball[0] - way * JACK_BACK, level + half + JACK_OVER
    draft.add("JK", "tongue jack", "base", Bought(mass=JACK, size=(over, JACK_SIDE, JACK_SIDE), form="cylinder",
              centre=(over / 2.0, 0.0, 0.0)), upright(x, side, 0.0), "tongue jack, swivel or drop foot", assumed=True,
              notes=("drawn with its foot down; swings or pulls up for the road",))  # fmt: skip
    chain_y = min(wide, 5.0 * INCH) / 2.0 + 0.75 * INCH
    buy("CH", "safety chain", CHAIN, (9.0 * INCH, 1.0 * INCH, 1.0 * INCH),
        [(nose + way * 5.0 * INCH, s * chain_y, level) for s in (1.0, -1.0)],
        "safety chain with latched hook", "each rated for the gross weight; crossed under the coupler")  # fmt: skip
    rear = base.rail_x0 if tongue.end > 0 else base.rail_x1
    z, out = base.rail_top - base.rail.height / 2.0, base.rails_outside / 2.0
    back = rear - way * 1.0 * INCH
    buy("LT", "tail light", LIGHT, (2.0 * INCH, min(4.0 * INCH, base.rail.width), 3.0 * INCH),
        [(back, s * base.rail_y, z) for s in (1.0, -1.0)], "stop, tail and turn light",
        "keep it a hand's breadth off the firebox, or shield it")  # fmt: skip
    buy("PB", "plate bracket", BRACKET, (1.0 * INCH, 12.0 * INCH, 6.0 * INCH), [(rear - way * 0.5 * INCH, -(out + 6.0 * INCH), z)],
        "number plate bracket with lamp")  # fmt: skip
    buy("WR", "wiring", WIRING, (4.0 * INCH, 3.0 * INCH, 2.0 * INCH),
        [(nose - way * (BOX_BACK - 2.0 * INCH), flank + 1.5 * INCH, level)],
        "wiring with plug and junction box", "through the rail, grommet at each hole; brakes as the axles have them")  # fmt: skip
    return Support(kind="jack", name="tongue jack", x=x, y=side, top=level + half, pad=6.0 * INCH)


def _hitch(draft: Draft, height: float, top: float, bottom: float) -> None:
    tape = draft.tape
    over, under = height - top, bottom - height
    if over <= HITCH_OVER + 1e-9 and under <= HITCH_UNDER + 1e-9:
        return
    draft.find(
        "trailer.hitch",
        "warn",
        f"The ball is to stand {tape.length(height)} over the road, the tongue lies from {tape.length(bottom)} to "
        f"{tape.length(top)}: {tape.length(over) + ' over its top' if over > 0.0 else tape.length(under) + ' under it'}. "
        "Coupled like that it rides nose up or nose down.",
        pieces=("coupler", "tongue beam"),
        clearance=min(HITCH_OVER - over, HITCH_UNDER - under),
        remedy="Use a ball mount with drop or rise, other tyres, or another axle drop (trailer.axle_drop, trailer.ride).",
        source="common practice, no source",
    )
