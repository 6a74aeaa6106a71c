"""Ties between the legs of a stand: stretchers across each set, knee braces from the rail up to each leg."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pitwright.errors import LayoutError
from pitwright.layout.base_sizes import BaseSizes
from pitwright.layout.draft import Draft
from pitwright.layout.model import LegLayout, LegSet
from pitwright.layout.running import Brace
from pitwright.layout.struts import strut
from pitwright.parts import Vec
from pitwright.stock import Profile, find_profile


def _stock(draft: Draft) -> Profile:
    return find_profile(draft.rules.stand.brace, field="proportions.stand.brace")


def _plain(draft: Draft, leg_set: LegSet, field: str) -> None:
    """Refuse ties on legs whose side faces do not stand square to the pit."""
    if leg_set.profile.kind == "tube" and not any(leg.lean_along for leg in leg_set.legs):
        return
    raise LayoutError(
        f"the ties of set {leg_set.name} are cut to flat leg faces",
        field=f"proportions.stand.{field}",
        value=draft.tape.length(getattr(draft.rules.stand, field)),
        allowed="legs of square or rectangular tube that lean one way only",
        remedy="Take the line out, or change the legs.",
    )


def _inner(leg: LegLayout, profile: Profile, up: float) -> float:
    """How far from the middle the leg's inner face stands, `up` over its foot plane [m]."""
    return abs(leg.foot_y) - up * math.tan(leg.lean) - profile.height / 2.0 / math.cos(leg.lean)


def stretchers(draft: Draft, leg_sets: Sequence[LegSet], sizes: BaseSizes, up: float) -> list[Brace]:
    """A level tie between the two legs of each set, its middle `up` over the rails [m]."""
    profile, out = _stock(draft), []
    for leg_set in leg_sets:
        _plain(draft, leg_set, "stretcher")
        ends: list[Vec] = []
        cuts: list[Vec] = []
        for leg in sorted(leg_set.legs, key=lambda g: g.foot_y):
            side = math.copysign(1.0, leg.foot_y)
            ends.append((leg.x, side * _inner(leg, leg_set.profile, up), sizes.rail_top + up))
            cuts.append((0.0, side * math.cos(leg.lean), math.sin(leg.lean)))
        top = min(g.centre_length * math.cos(g.lean) for g in leg_set.legs)
        if ends[1][1] - ends[0][1] < 2.0 * profile.width or up + profile.height > top:
            raise LayoutError(
                f"a stretcher that high has no room between the legs of set {leg_set.name}",
                field="proportions.stand.stretcher",
                value=draft.tape.length(up),
                allowed=f"under {draft.tape.length(top - profile.height)}",
                remedy="Set it lower.",
            )
        bar, at = strut(profile, ends[0], ends[1], (0.0, 0.0, 1.0), cuts[0], cuts[1], f"set {leg_set.name}")
        draft.add("BS", f"stretcher, set {leg_set.name}", "base", bar, at, profile.designation)
        out.append(Brace(name=f"stretcher {leg_set.name}", profile=profile, start=ends[0], stop=ends[1]))
    return out


def knees(draft: Draft, leg_sets: Sequence[LegSet], sizes: BaseSizes, reach: float) -> list[Brace]:
    """A brace from the rail's top to each leg's face, `reach` along the rail and as far up the leg [m]."""
    profile, out = _stock(draft), []
    middle = sum(s.legs[0].x for s in leg_sets) / len(leg_sets)
    for leg_set in leg_sets:
        _plain(draft, leg_set, "knee")
        where = []
        for leg in leg_set.legs:
            way = 1.0 if leg.x <= middle else -1.0
            side = math.copysign(1.0, leg.foot_y)
            face = leg.x + way * leg_set.profile.width / 2.0
            start: Vec = (face + way * reach, leg.foot_y, sizes.rail_top)
            stop: Vec = (
                face,
                leg.foot_y - side * reach * math.sin(leg.lean),
                sizes.rail_top + reach * math.cos(leg.lean),
            )
            up: Vec = (0.0, side * math.cos(leg.lean), math.sin(leg.lean))
            if reach + profile.height > leg.centre_length:
                raise LayoutError(
                    f"a knee brace that long stands over leg {leg_set.name}",
                    field="proportions.stand.knee",
                    value=draft.tape.length(reach),
                    allowed=f"under {draft.tape.length(leg.centre_length - profile.height)}",
                    remedy="Take a shorter one.",
                )
            bar, at = strut(profile, start, stop, up, (0.0, 0.0, -1.0), (-way, 0.0, 0.0), f"{leg.side} side")
            where.append((bar, at, leg.side))
            out.append(Brace(name=f"knee {leg_set.name}, {leg.side} side", profile=profile, start=start, stop=stop))
        for bar, at, side_name in where:
            draft.add("BK", f"knee brace, set {leg_set.name}, {side_name}", "base", bar, at, profile.designation)
    return out
