"""The square base of a vessel on end: two rails, two end rails, two cross members, four posts, feet or casters."""

from __future__ import annotations

import math

from pitwright.layout.draft import Draft
from pitwright.layout.model import BaseLayout, CrossMember
from pitwright.layout.place import bar_along
from pitwright.layout.running import Support
from pitwright.layout.upright_model import Post
from pitwright.layout.upright_place import plan
from pitwright.layout.upright_sizes import BAND_CLEAR, Frame
from pitwright.parts import Bar, Bought, Outline, Placement, Plate
from pitwright.stock import find_profile
from pitwright.tape import INCH, LB

FOOT_SIDE = 4.0 * INCH
CASTER_WEIGHT = 9.0 * LB  # a 5 in swivel caster with a plate (common practice, no source)
CASTER_PAD = 1.0 * INCH


def lay_out_square_base(
    draft: Draft, radius: float, frame: Frame, seam_z: float, door_low: float
) -> tuple[BaseLayout, tuple[Post, ...]]:
    """Base and posts; their pieces too.

    door_low  the door's lower edge over the bottom seam, which the posts keep under [m]
    """
    own, ledger = draft.rules.upright, draft.ledger
    post = frame.post
    half = frame.outside / 2.0
    lap = min(own.post_lap, door_low - draft.rules.doors.band_overlap - BAND_CLEAR)
    lap = ledger.choose(
        "base.post_lap",
        lap,
        because="posts run this far up the shell past the bottom seam",
        gave_way="" if lap == own.post_lap else "the shop's lap: the door's band comes down to there",
        limits=(0.5 * INCH, 1.0),
    )
    ledger.note(
        "base.post_length", seam_z + lap - frame.rail_top, because="posts, square both ends: cross member to over the seam",
        rests_on=("vessel.seam", "base.rail_top", "base.post_lap"),
    )  # fmt: skip
    out = radius + post.height / 2.0
    clocks = (frame.post_clock, math.pi - frame.post_clock, -frame.post_clock, frame.post_clock - math.pi)
    posts = tuple(
        Post(x=plan(out, c)[0], y=plan(out, c)[1], clock=c, z0=frame.rail_top, z1=seam_z + lap) for c in clocks
    )
    corner = half - max(frame.rail.width, FOOT_SIDE) / 2.0
    kind = "caster" if own.stands_on == "casters" else "foot"
    base = BaseLayout(
        kind="upright",
        rail=frame.rail,
        cross=frame.cross,
        rail_x0=-half,
        rail_x1=half,
        rail_y=frame.rail_y,
        rails_outside=frame.outside,
        rail_top=frame.rail_top,
        floor_gap=frame.support,
        crosses=tuple(
            CrossMember(x=x, length=frame.between, under=under)
            for x, under in (
                (-half + frame.rail.width / 2.0, "firebox side"),
                (-frame.cross_x, "posts, firebox side"),
                (frame.cross_x, "posts, far side"),
                (half - frame.rail.width / 2.0, "far side"),
            )
        ),
        pockets=(),
        pocket=find_profile(draft.rules.base.pocket, field="proportions.base.pocket"),
        eyes=False,
        diagonal=math.hypot(frame.outside, frame.outside),
        feet_diagonal=2.0 * math.hypot(corner, corner),
        supports=tuple(
            Support(
                kind="caster" if kind == "caster" else "foot",
                name=f"{kind}, {side}, {end}",
                x=sx * corner,
                y=sy * corner,
                top=frame.support,
                trail=own.caster_trail if kind == "caster" else 0.0,
                pad=CASTER_PAD if kind == "caster" else FOOT_SIDE,
            )
            for sy, side in ((1.0, "front"), (-1.0, "back"))
            for sx, end in ((-1.0, "firebox side"), (1.0, "far side"))
        ),
    )
    _parts(draft, base, frame, posts)
    return base, posts


def _parts(draft: Draft, base: BaseLayout, frame: Frame, posts: tuple[Post, ...]) -> None:
    half, z = frame.outside / 2.0, frame.rail_top - frame.rail.height / 2.0
    draft.add(
        "R",
        "rail",
        "base",
        Bar.square(frame.rail, frame.outside),
        [
            Placement(
                origin=(-half, side * frame.rail_y, z),
                y=(0.0, 1.0 if side > 0.0 or frame.rail.kind in ("tube", "pipe", "flat", "round") else -1.0, 0.0),
                where=f"{name} rail",
            )
            for side, name in ((1.0, "front"), (-1.0, "back"))
        ],
        frame.rail.designation,
    )
    ends = (base.crosses[0], base.crosses[-1])
    for crosses, profile, name in ((ends, frame.rail, "end rail"), (base.crosses[1:-1], frame.cross, "cross member")):
        level = frame.rail_top - profile.height / 2.0
        draft.add(
            "R" if name == "end rail" else "C",
            name,
            "base",
            Bar.square(profile, frame.between),
            [
                bar_along(
                    (c.x, -frame.between / 2.0, level), (c.x, frame.between / 2.0, level), (0.0, 0.0, 1.0), c.under
                )
                for c in crosses
            ],
            profile.designation,
        )
    draft.add(
        "L",
        "post",
        "legs",
        Bar.square(frame.post, posts[0].z1 - posts[0].z0),
        [
            Placement(
                origin=(p.x, p.y, p.z0),
                x=(0.0, 0.0, 1.0),
                y=(math.cos(p.clock), -math.sin(p.clock), 0.0),
                z=(math.sin(p.clock), math.cos(p.clock), 0.0),
                where=f"{'front' if p.y > 0.0 else 'back'}, {'far side' if p.x > 0.0 else 'firebox side'}",
            )
            for p in posts
        ],
        frame.post.designation,
        notes=("plumb, a face flat against the shell; square both ends, no leg cuts",),
    )
    if not frame.support:
        return
    if draft.rules.upright.stands_on == "feet":
        draft.add(
            "B",
            "foot plate",
            "base",
            Plate(
                outline=Outline.rectangle(-FOOT_SIDE / 2.0, -FOOT_SIDE / 2.0, FOOT_SIDE / 2.0, FOOT_SIDE / 2.0),
                thickness=frame.support,
            ),
            [Placement(origin=(s.x, s.y, 0.0), where=s.name) for s in base.supports],
            draft.plate(frame.support),
        )
        return
    draft.add(
        "H",
        "base caster",
        "base",
        Bought(
            mass=CASTER_WEIGHT,
            size=(FOOT_SIDE, FOOT_SIDE, frame.support),
            centre=(0.0, 0.0, frame.support / 2.0),
        ),
        [Placement(origin=(s.x, s.y, 0.0), where=s.name) for s in base.supports],
        "bought",
        assumed=True,
        notes=("each rated for a third of the weight or more; two with brakes",),
    )
