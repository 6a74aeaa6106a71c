"""The stand: the frame of rails on casters or feet, with ties between its legs where the shop wants them.

Casters stand under the rails, or further out on outriggers, or further in under their cross members: the shop says how
far apart. Where a cross member is lower than the rails a caster further in has nothing to bolt to.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping, Sequence

from pitwright.errors import LayoutError
from pitwright.layout.base_sizes import BaseSizes
from pitwright.layout.cross_members import Borne
from pitwright.layout.draft import Draft
from pitwright.layout.leg_ties import knees, stretchers
from pitwright.layout.model import BaseLayout, FireboxLayout, LegSet, VesselLayout
from pitwright.layout.place import bar_along, level_plate
from pitwright.layout.running import Brace, Support
from pitwright.layout.skid import Frame, lay_out_skid
from pitwright.layout.struts import across, upright
from pitwright.masses import Balance
from pitwright.parts import Bar, Bought, Outline, Placement, Plate, Vec
from pitwright.tape import INCH, STANDARD_GRAVITY

WHEEL_SHARE = 0.6  # part of a caster's weight that is wheel (common practice, no source)
SHARE_EACH = 3.0  # a caster must carry a third of the whole: on a poor floor three of four carry it (common practice)
SCREW = 1.0 * INCH  # levelling screw


def lay_out_stand(
    draft: Draft,
    vessel: VesselLayout,
    firebox: FireboxLayout,
    sizes: BaseSizes,
    borne: Sequence[Borne],
    leg_sets: Sequence[LegSet],
) -> BaseLayout:
    """The frame, what it stands on, and its ties. The legs must be laid out.

    Raises LayoutError where a caster has nothing to bolt to.
    """
    rules, plate = draft.rules.stand, _plate_side(draft)
    at_ends = rules.at == "rail ends"

    def also(x0: float, x1: float) -> list[Borne]:
        ends = (x1 - plate / 2.0, x0 + plate / 2.0) if at_ends else ()
        return [Borne(name="", x=x, foot_y=0.0, tied=plate / 2.0, label=f"the {_called(draft)}s") for x in ends]

    base = lay_out_skid(
        draft, vessel, firebox, sizes, borne, Frame(kind="stand", pockets=rules.pockets, eyes=False, also=also)
    )
    supports = _supports(draft, base, sizes, leg_sets, plate)
    _outriggers(draft, base, supports, plate)
    _pieces(draft, sizes, supports, plate)
    ties: list[Brace] = []
    if rules.stretcher is not None:
        ties += stretchers(draft, leg_sets, sizes, rules.stretcher)
    if rules.knee is not None:
        ties += knees(draft, leg_sets, sizes, rules.knee)
    return dataclasses.replace(base, supports=supports, braces=tuple(ties))


def _called(draft: Draft) -> str:
    return {"casters": "caster", "levelling feet": "levelling foot", "foot plates": "foot plate"}[draft.rules.stand.on]


def _plate_side(draft: Draft) -> float:
    rules = draft.rules.stand
    return rules.caster_plate if rules.on == "casters" else rules.foot_size


def _supports(
    draft: Draft, base: BaseLayout, sizes: BaseSizes, leg_sets: Sequence[LegSet], plate: float
) -> tuple[Support, ...]:
    """Four or more of them, the stack end first, the working side before the back."""
    rules, ledger, tape = draft.rules.stand, draft.ledger, draft.tape
    radius = draft.ledger.value("vessel.diameter") / 2.0
    usual = 2.0 * base.rail_y
    wanted = rules.casters_apart
    apart = ledger.choose(
        "stand.casters_apart",
        usual if wanted is None else draft.share(wanted, radius, ledger.value("vessel.length")),
        because="under the middle of the rails" if wanted is None else f"swivel to swivel: {draft.said(wanted)}",
        rests_on=("base.rails_outside",),
        limits=(0.15, 4.0),
    )
    half = apart / 2.0
    under_rail = base.rail_y - base.rail.width / 2.0
    if half < under_rail and (base.cross.height < base.rail.height - 1e-6 or half < plate / 2.0):
        raise LayoutError(
            f"a {_called(draft)} that far in has nothing to bolt to",
            field="proportions.stand.casters_apart",
            value=tape.length(apart),
            allowed=f"{tape.length(2.0 * under_rail)} or more",
            remedy="Set them under the rails, bring the rails together, or take cross members as tall as the rails.",
        )
    xs = _along(draft, base, leg_sets, plate)
    kind = _called(draft)
    caster = rules.on == "casters"
    rating = 0.0 if rules.caster_rating is None or not caster else rules.caster_rating * STANDARD_GRAVITY
    return tuple(
        Support(
            kind="caster" if caster else "foot",
            name=f"{kind} {i}, {side}",
            x=x,
            y=sign * half,
            top=sizes.floor_gap,
            trail=rules.caster_trail if caster else 0.0,
            pad=rules.caster_width if caster else rules.foot_size,
            rating=rating,
        )
        for i, x in enumerate(xs, start=1)
        for sign, side in ((1.0, "working side"), (-1.0, "back"))
    )


def _along(draft: Draft, base: BaseLayout, leg_sets: Sequence[LegSet], plate: float) -> list[float]:
    """Where they stand along the rails, the stack end first."""
    rules = draft.rules.stand
    ends = [base.rail_x1 - plate / 2.0, base.rail_x0 + plate / 2.0]
    feet = sorted((s.legs[0].x for s in leg_sets), reverse=True)
    if rules.at == "rail ends" or len(feet) < 2:
        found = ends
    elif rules.at == "end sets":
        found = [feet[0], feet[-1]]
    else:
        found = feet
    return [min(max(x, ends[1]), ends[0]) for x in found]


def _outriggers(draft: Draft, base: BaseLayout, supports: Sequence[Support], plate: float) -> None:
    """Where they stand further out than the rails: a stub of rail stock from the rail out over the caster's plate."""
    out = base.rails_outside / 2.0
    half = abs(supports[0].y)
    if half <= base.rail_y + base.rail.width / 2.0 - plate / 4.0:
        return
    length = half + plate / 2.0 - out
    z = base.rail_top - base.rail.height / 2.0
    draft.add(
        "Q",
        "outrigger",
        "base",
        Bar.square(base.rail, length),
        [
            bar_along(
                (s.x, math.copysign(out, s.y), z),
                (s.x, math.copysign(out + length, s.y), z),
                (0.0, 0.0, 1.0),
                s.name,
            )
            for s in supports
        ],
        base.rail.designation,
        notes=("cap its open end; gusset it where no cross member stands behind the rail",),
    )
    draft.ledger.note(
        "stand.outrigger",
        length,
        because="from the rail's outside to the far edge of the caster's plate",
        rests_on=("stand.casters_apart", "base.rails_outside"),
    )


def _pieces(draft: Draft, sizes: BaseSizes, supports: Sequence[Support], plate: float) -> None:
    rules, tape = draft.rules.stand, draft.tape
    up = sizes.floor_gap
    if rules.on == "casters":
        radius = rules.caster_wheel / 2.0
        body = max(up - 2.0 * radius, 0.1 * INCH)
        middle = sum(s.x for s in supports) / len(supports)
        draft.add(
            "CA",
            "caster",
            "base",
            Bought(mass=(1.0 - WHEEL_SHARE) * rules.caster_weight, size=(plate, plate, body)),
            [Placement(origin=(s.x, s.y, up - body / 2.0), where=s.name) for s in supports],
            f"swivel caster, {tape.length(rules.caster_wheel)} wheel, {tape.length(up)} high",
            assumed=True,
            notes=(f"lock on two of them; bolt or weld the plate; trail {tape.length(rules.caster_trail)}",),
        )
        draft.add(
            "CW",
            "wheel of a caster",
            "base",
            Bought(
                mass=WHEEL_SHARE * rules.caster_weight,
                size=(rules.caster_width, 2.0 * radius, 2.0 * radius),
                form="cylinder",
            ),
            [across(s.x + math.copysign(rules.caster_trail, middle - s.x), s.y, radius, s.name) for s in supports],
            "comes with the caster",
            assumed=True,
        )
        return
    thick = rules.foot_plate if rules.on == "levelling feet" else up
    thick = min(thick, up)
    draft.add(
        "FT",
        "floor plate",
        "base",
        Plate(outline=Outline.rectangle(0.0, 0.0, plate, plate), thickness=thick),
        [level_plate(s.x - plate / 2.0, s.y - plate / 2.0, 0.0, s.name) for s in supports],
        draft.plate(thick),
    )
    if up > thick + 1e-6:
        draft.add(
            "FS",
            "levelling screw",
            "base",
            Bought(
                mass=0.7 + 3.9 * (up - thick), size=(up - thick, SCREW, SCREW), form="cylinder",
                centre=((up - thick) / 2.0, 0.0, 0.0),
            ),
            [upright(s.x, s.y, thick, s.name) for s in supports],
            "levelling screw with nuts",
            assumed=True,
            notes=("screwed half out; lock nut up when it stands level",),
        )  # fmt: skip


def check_stand(draft: Draft, vessel: VesselLayout, base: BaseLayout, states: Mapping[str, Balance]) -> None:
    """Findings that want the finished pit's weight: caster ratings, and weight over an end."""
    _caster_rating(draft, base, states)
    _between(draft, vessel, base, states)


def _caster_rating(draft: Draft, base: BaseLayout, states: Mapping[str, Balance]) -> None:
    """Ask for casters that carry a third of the heaviest state each, and say where those bought do not."""
    ledger, tape = draft.ledger, draft.tape
    heaviest = max(b.mass for b in states.values())
    if not base.supports or base.supports[0].kind != "caster":
        return
    asked = heaviest / SHARE_EACH
    ledger.note(
        "stand.caster_rating",
        asked,
        "mass",
        because="least rating of each caster: on a poor floor three of four carry it all",
        formula="heaviest state / 3",
        source="common practice, no source",
        rests_on=("weight.empty",),
    )
    has = draft.rules.stand.caster_rating
    if has is None:
        draft.find(
            "stand.ask_rating",
            "note",
            f"Buy casters rated {tape.mass(asked)} or more each (a third of the {tape.mass(heaviest)} it weighs with meat on).",
            pieces=("caster",),
            source="common practice, no source",
            remedy="Write their rating under stand.caster_rating.",
        )
    elif has < asked:
        draft.find(
            "stand.weak_caster",
            "stop" if has * len(base.supports) < heaviest else "warn",
            f"Casters rated {tape.mass(has)} each are asked to carry {tape.mass(asked)}: a third of the heaviest state.",
            pieces=("caster",),
            source="common practice, no source",
            remedy=f"Take casters rated {tape.mass(asked)} or more, or stand it on six.",
        )


def _between(draft: Draft, vessel: VesselLayout, base: BaseLayout, states: Mapping[str, Balance]) -> None:
    """Note where the weight of any state does not lie well between the supports along the pit [m]."""
    xs = [s.x for s in base.supports]
    tape = draft.tape
    worst: tuple[float, str, Vec] | None = None
    trail = max(s.trail for s in base.supports)
    for name, state in states.items():
        room = min(state.centre[0] - (min(xs) + trail), (max(xs) - trail) - state.centre[0])
        if worst is None or room < worst[0]:
            worst = (room, name, state.centre)
    assert worst is not None
    room, name, centre = worst
    if room < 4.0 * INCH:
        draft.find(
            "stand.overhang",
            "stop" if room <= 0.0 else "warn",
            f"{name}: the weight lies at station {tape.length(vessel.station(centre[0]))}, "
            + (
                f"{tape.length(-room)} outside the {_called(draft)}s: it tips over its end."
                if room <= 0.0
                else f"only {tape.length(room)} inside the {_called(draft)}s at its end."
            ),
            pieces=(_called(draft),),
            clearance=room,
            remedy='Stand it on the rail ends (stand.at = "rail ends"), or put a leg set under the firebox.',
        )
