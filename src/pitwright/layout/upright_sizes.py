"""A vessel on end, settled: what stands at which height, how wide the door is, how large the firebox.

Heights called x are over the bottom seam, those called z over the floor [m]. The vessel stands as low as its drain, the
base under it and the firebox beside the base allow; the promised height of the lowest grate is kept over that.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pitwright.errors import JobError, LayoutError
from pitwright.job.quantities import ShareLength
from pitwright.layout.clock import GIRTH_CAP
from pitwright.layout.door_parts import DoorEdges
from pitwright.layout.draft import Draft
from pitwright.layout.firebox_size import LEAST, FireSizes
from pitwright.layout.vessel import Body
from pitwright.meridian import outer_face
from pitwright.parts import Head
from pitwright.stock import Profile, find_profile
from pitwright.tape import FOOT, INCH

LEAST_DOOR = 12.0 * INCH  # height of the one door
HEAD_CLEAR = 0.5 * INCH  # a dished bottom over the cross members
FIRE_CLEAR = 1.0 * INCH  # firebox over the rail it crosses, and post beside it
BAND_CLEAR = 1.0 * INCH  # post top under the door's band
PAN_RIM = 3.0 * INCH  # height of a water pan
UNDER_GRATE = 2.0 * INCH  # least air between pan or plate and the lowest grate (common practice, no source)
WIDEST = math.radians(160.0)  # round the skin: a wider door leaves too little vessel behind it
LEAST_SWEEP = math.radians(20.0)
COPE = 0.98  # of the vessel's radius: a firebox pipe is no thicker, so that its cope does not run out to nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The square base and the posts on it.

    outside, rail_y, between  over the outside, half between the rails' middles, clear between them [m]
    support, rail_top         height of a foot or caster, and of the rails' upper face over the floor [m]
    post_clock                of the front pair from the front line; the back pair mirrors it [rad]
    cross_x                   cross members under the posts, from the vessel's axis [m]
    """

    rail: Profile
    cross: Profile
    post: Profile
    outside: float
    support: float
    rail_top: float
    post_clock: float
    cross_x: float

    @property
    def rail_y(self) -> float:
        """Half the distance between the middles of the rails [m]."""
        return (self.outside - self.rail.width) / 2.0

    @property
    def between(self) -> float:
        """Clear distance between the rails [m]."""
        return self.outside - 2.0 * self.rail.width


@dataclass(frozen=True, slots=True, kw_only=True)
class Heights:
    """What stands where, over the bottom seam [m]; seam_z is that seam over the floor.

    grates  names and heights of the grates' upper faces, lowest first
    """

    seam_z: float
    firebox: float
    window_low: float
    window_high: float
    pan_under: float
    pan_top: float
    grates: tuple[tuple[str, float], ...]


def refuse(draft: Draft) -> None:
    """Facts that no vessel on end can have.

    Raises JobError or LayoutError.
    """
    job, rules = draft.job, draft.rules
    if job.order.flow == "reverse":
        raise JobError(
            "a vessel on end has no reverse flow: the smoke goes straight up",
            field="order.flow",
            value="reverse",
            allowed="offset",
            remedy='Take the line out, or lay the vessel down (base = "skid").',
        )
    if job.measured.legs:
        raise JobError(
            "a vessel on end stands on plumb posts; it has no legs to measure",
            field="measured.legs",
            value=f"{len(job.measured.legs)} leg set{'s' if len(job.measured.legs) > 1 else ''}",
            allowed="nothing here",
            remedy="Take the lines out; measured.height is the middle of the shell over the floor.",
        )
    if rules.firebox.double_wall:
        raise LayoutError(
            "a double wall is not laid out on a firebox that is coped to the shell",
            field="proportions.firebox.double_wall",
            value=draft.tape.length(rules.firebox.double_wall),
            allowed="0",
            remedy="Take a thicker wall, or line the firebox with plate.",
        )


def bottom_end(body: Body, fixed: str | None) -> tuple[str, ...]:
    """Survey ends that may stand at the bottom: one with a head before an open one."""
    if fixed is not None:
        return (fixed,)
    closed = tuple(end for end in ("A", "B") if body.heads[end] is not None)
    return closed or ("A", "B")


def below_seam(head: Head | None, plate: float) -> float:
    """How far the bottom hangs under its seam: the head with its flange, or the plate that closes an open end [m]."""
    return plate if head is None else head.flange + head.depth


def size_door(draft: Draft, radius: float) -> tuple[float, float]:
    """(clear opening straight across, angle round the skin) of the one door [m, rad].

    Raises LayoutError where the vessel is too narrow for it.
    """
    tape = draft.tape
    clear = draft.ledger.choose(
        "doors.clear",
        draft.rules.upright.door_clear,
        because="clear opening of the one door, straight across",
        limits=(2.0 * radius * math.sin(LEAST_SWEEP / 2.0), 2.0 * radius * math.sin(WIDEST / 2.0)),
    )
    most = 2.0 * radius * math.sin(WIDEST / 2.0)
    if clear > most:
        raise LayoutError(
            f"a door {tape.length(clear)} clear is wider than a vessel {tape.length(2.0 * radius)} across lets it be",
            field="proportions.upright.door_clear",
            value=tape.length(clear),
            allowed=f"up to {tape.length(most)}, {tape.angle(WIDEST)} of the round",
            remedy="Ask for a narrower opening, or find a larger vessel.",
        )
    if clear < 2.0 * radius * math.sin(LEAST_SWEEP / 2.0):
        raise LayoutError(
            f"a door {tape.length(clear)} clear is no door",
            field="proportions.upright.door_clear",
            value=tape.length(clear),
            allowed=f"over {tape.length(2.0 * radius * math.sin(LEAST_SWEEP / 2.0))}",
            remedy="Ask for a wider opening.",
        )
    arc = 2.0 * math.asin(clear / (2.0 * radius))
    draft.ledger.note(
        "doors.arc",
        radius * arc,
        because="the clear opening laid round the skin by tape",
        formula="OD asin(clear / OD)",
        rests_on=("doors.clear", "vessel.diameter"),
    )
    draft.ledger.note(
        "doors.sweep", arc, "angle", because="the same as an angle", formula="2 asin(clear / OD)",
        rests_on=("doors.clear", "vessel.diameter"),
    )  # fmt: skip
    return clear, arc


def size_upright_firebox(draft: Draft, radius: float, length: float) -> tuple[FireSizes, float]:
    """Outside sizes and inside length of the firebox, in the steps one can buy [m].

    Raises LayoutError where it is no firebox for this vessel.
    """
    rules, own, ledger, tape = draft.rules.firebox, draft.rules.upright, draft.ledger, draft.tape
    most = COPE * 2.0 * radius

    def stepped(share: ShareLength, name: str) -> float:
        wanted = draft.share(share, radius, length)
        size = ledger.choose(
            name,
            round(wanted / rules.round_to) * rules.round_to,
            because=f"the shop's firebox: {draft.said(share)}, in steps of {tape.length(rules.round_to)}",
            rests_on=("vessel.diameter",) if share.of else (),
            limits=(LEAST, most),
        )
        if not LEAST - 1e-9 <= size <= most:
            raise LayoutError(
                f"a firebox {tape.length(size)} across does not meet the side of a vessel {tape.length(2.0 * radius)} across",
                field="proportions.upright.firebox_size",
                value=share.text,
                allowed=f"{tape.length(LEAST)} to {tape.length(most)}",
                remedy="Type a size, or a share such as 0.6 diameter.",
            )
        return size

    width = stepped(own.firebox_size, "firebox.width")
    height = width
    if rules.shape == "box" and rules.height is not None:
        height = stepped(rules.height, "firebox.height")
    sizes = FireSizes(shape=rules.shape, width=width, height=height, wall=rules.wall)
    inside = ledger.choose(
        "firebox.length",
        draft.share(own.firebox_length, radius, length),
        because=f"inside length: {draft.said(own.firebox_length)}",
        rests_on=("vessel.diameter",) if own.firebox_length.of else (),
        limits=(6.0 * INCH, 12.0 * FOOT),
    )
    if not 6.0 * INCH <= inside <= 12.0 * FOOT:
        raise LayoutError(
            f"a firebox {tape.length(inside)} long inside is no firebox",
            field="proportions.upright.firebox_length",
            value=own.firebox_length.text,
            allowed=f"{tape.length(6.0 * INCH)} to {tape.length(12.0 * FOOT)}",
            remedy="Type a length, or a share such as 0.7 diameter.",
        )
    return sizes, inside


def size_frame(draft: Draft, radius: float, sizes: FireSizes) -> Frame:
    """The square base, posts clear of the firebox, and what is under the rails.

    Raises LayoutError where rails and posts do not go together.
    """
    rules, own, ledger, tape = draft.rules.base, draft.rules.upright, draft.ledger, draft.tape
    rail = find_profile(rules.rail, field="proportions.base.rail")
    cross = find_profile(rules.cross, field="proportions.base.cross")
    post = find_profile(own.post, field="proportions.upright.post")
    got = draft.job.measured
    if got.rails_outside is not None:
        outside = got.rails_outside
        ledger.note("base.square", outside, kind="measured", because="over the outside of the rails as welded")
    else:
        step = 0.25 * INCH if tape.inch else 0.005
        wanted = math.ceil(2.0 * (radius + post.height) / step - 0.0625) * step  # a 64th over is no step
        outside = ledger.choose(
            "base.square",
            wanted if own.square is None else own.square,
            because="the shop's square base"
            if own.square is not None
            else "shell and a post each side, both ways alike",
            rests_on=("vessel.diameter",),
            limits=(0.2, 4.0),
        )
    ledger.note(
        "base.diagonal", math.hypot(outside, outside), because="corner to corner, both ways equal: the base is square",
        rests_on=("base.square",), source="Pythagoras",
    )  # fmt: skip
    if own.stands_on == "casters":
        support = ledger.choose(
            "base.feet", own.caster_height, because="floor to the base on casters", limits=(0.0, 0.6)
        )
    else:
        support = ledger.choose("base.feet", own.foot_height, because="foot plates under the base", limits=(0.0, 0.6))
    rail_top = support + rail.height
    if got.rail_top is not None:
        rail_top, support = got.rail_top, max(got.rail_top - rail.height, 0.0)
        ledger.note("base.rail_top", rail_top, kind="measured", because="rail top over the floor as it stands")
    else:
        ledger.note("base.rail_top", rail_top, because="rail height and what is under it", rests_on=("base.feet",))
    # a post turned to face the skin stands past its middle by half its corners; the firebox wants to go by it
    out, across = radius + post.height / 2.0, math.hypot(post.width, post.height) / 2.0
    beside = sizes.width / 2.0 + FIRE_CLEAR + across
    if beside > out * math.cos(math.radians(15.0)):
        raise LayoutError(
            f"a firebox {tape.length(sizes.width)} wide leaves no room for posts beside it",
            field="proportions.upright.firebox_size",
            value=tape.length(sizes.width),
            allowed=f"up to {tape.length(2.0 * (out * math.cos(math.radians(15.0)) - FIRE_CLEAR - across))}",
            remedy="Take a narrower firebox.",
        )
    clock = min(math.radians(45.0), math.acos(beside / out))
    clock = ledger.choose(
        "base.post_clock",
        clock,
        "angle",
        because="posts stand this far round from front and back, each way, clear of the firebox",
        rests_on=("firebox.width", "vessel.diameter"),
        limits=(math.radians(10.0), math.radians(45.0)),
    )
    cross_x = out * math.sin(clock)
    inside = outside / 2.0 - rail.width
    if cross_x + cross.width / 2.0 > inside + 1e-9 or out * math.cos(clock) + across > outside / 2.0 + 1e-9:
        need = 2.0 * max(cross_x + cross.width / 2.0 + rail.width, out * math.cos(clock) + across)
        raise LayoutError(
            f"posts and their cross members do not fit a base {tape.length(outside)} square",
            field="proportions.upright.square",
            value=tape.length(outside),
            allowed=f"at least {tape.length(need)}",
            remedy="Widen the base, or take narrower rails.",
        )
    return Frame(
        rail=rail, cross=cross, post=post, outside=outside, support=support, rail_top=rail_top, post_clock=clock,
        cross_x=cross_x,
    )  # fmt: skip


def settle_heights(draft: Draft, body: Body, bottom: Head | None, sizes: FireSizes, frame: Frame) -> Heights:
    """Seam, firebox, window, plate and grates, lowest first.

    Raises LayoutError where the promised lowest grate would lie in the firebox's window, or leaves no room for a door.
    """
    rules, own, ledger, tape = draft.rules, draft.rules.upright, draft.ledger, draft.tape
    promised = draft.job.order.grate_height
    plate = rules.firebox.end_plate
    hangs = below_seam(bottom, plate)
    firebox = GIRTH_CAP + own.window_low + sizes.height / 2.0
    firebox = ledger.choose(
        "firebox.over_seam",
        firebox,
        because="firebox middle over the bottom seam: as low as the seam's cap allows",
        rests_on=("firebox.width",),
        limits=(sizes.height / 2.0, body.length - sizes.height / 2.0),
    )
    over_cross = 0.0
    if bottom is not None and bottom.kind != "flat":
        near = max(frame.cross_x - frame.cross.width / 2.0, 0.0)
        over_cross = bottom.flange + (
            float(outer_face(bottom, np.array([near]))[0]) if near < body.outer_radius else 0.0
        )
    else:
        over_cross = hangs
    wants = {
        "a bucket under the drain": own.drain_room + hangs,
        "the bottom over the cross members": frame.rail_top + HEAD_CLEAR + over_cross,
        "the firebox over the rail it crosses": frame.rail_top + FIRE_CLEAR + sizes.height / 2.0 - firebox,
        "room to weld the posts": frame.rail_top + 2.0 * INCH,
    }
    why = max(wants, key=lambda name: wants[name])
    stands = draft.job.measured.height
    if stands is None:
        seam_z = ledger.choose(
            "vessel.seam", wants[why], because=f"bottom seam over the floor: as low as {why} allows",
            rests_on=("base.rail_top",), limits=(frame.rail_top, 3.0),
        )  # fmt: skip
    else:
        seam_z = stands - body.length / 2.0
        ledger.note("vessel.seam", seam_z, kind="measured", because="as the vessel stands on its base")
    ledger.note(
        "vessel.centre", seam_z + body.length / 2.0, because="middle of the shell over the floor",
        rests_on=("vessel.seam", "vessel.length"),
    )  # fmt: skip
    window_low = firebox - sizes.height / 2.0 + sizes.wall + rules.throat.dam
    window_high = firebox + sizes.height / 2.0 - sizes.wall
    if window_high - window_low < 3.0 * INCH:
        raise LayoutError(
            "the dam closes the window to the firebox",
            field="proportions.throat.dam",
            value=tape.length(rules.throat.dam),
            allowed=f"under {tape.length(sizes.height - 2.0 * sizes.wall - 3.0 * INCH)}",
            remedy="Lower the dam, or take a larger firebox.",
        )
    pan_under = window_high + own.pan_over
    thick = {"none": 0.0, "plate": rules.baffle.thickness, "water pan": PAN_RIM}[own.pan]
    pan_top = pan_under + thick
    frame_deep = 1.25 * INCH  # ring and mesh of a grate
    least = seam_z + pan_top + UNDER_GRATE + frame_deep
    first = promised - seam_z
    if first + seam_z < least - 1e-9:
        raise LayoutError(
            f"a lowest grate {tape.length(promised)} off the floor lies too near the firebox's window, whose top stands "
            f"{tape.length(seam_z + window_high)} off the floor",
            field="order.grate_height",
            value=tape.length(promised),
            allowed=f"at least {tape.length(math.ceil(least / tape.step - 1e-6) * tape.step)} with this firebox, base and "
            "spreader plate",
            remedy="Raise the lowest grate, or take a smaller firebox, lower rails or a flatter bottom.",
        )
    ledger.note(
        "grates.over_seam",
        first,
        because="lowest grate over the bottom seam",
        rests_on=("order.grate_height", "vessel.seam"),
    )
    return Heights(
        seam_z=seam_z, firebox=firebox, window_low=window_low, window_high=window_high, pan_under=pan_under,
        pan_top=pan_top, grates=_grates(draft, body, first),
    )  # fmt: skip


def _grates(draft: Draft, body: Body, first: float) -> tuple[tuple[str, float], ...]:
    """Every grate's height over the bottom seam: ordered levels, or one every pitch as far as the door reaches [m]."""
    own, order, ledger, tape = draft.rules.upright, draft.job.order, draft.ledger, draft.tape
    margin = ledger.choose(
        "doors.end_margin",
        draft.share(draft.rules.doors.end_margin, body.outer_radius, body.length),
        because="door to girth seam, the shop's margin",
        limits=(0.0, body.length / 2.0),
    )
    room = body.length - margin - first - own.headroom
    if room < -1e-9 or body.length - margin - first + own.door_below < LEAST_DOOR:
        raise LayoutError(
            f"the lowest grate stands {tape.length(first)} up a shell {tape.length(body.length)} long: no room for a door over it",
            field="order.grate_height",
            value=tape.length(order.grate_height),
            allowed=f"at most {tape.length(order.grate_height + min(room, 0.0))}",
            remedy="Lower the lowest grate, or find a longer vessel.",
        )
    ledger.note("grates.main grate.height", order.grate_height, kind="fixed", because="promised to the customer")
    if order.levels:
        levels = [("main grate", first)]
        for i, level in enumerate(sorted(order.levels, key=lambda one: one.above), start=2):
            levels.append((f"grate {i}", first + level.above))
            ledger.note(
                f"grates.grate {i}.height", order.grate_height + level.above, because="ordered over the lowest grate"
            )
        if levels[-1][1] > first + room + 1e-9:
            raise LayoutError(
                f"{levels[-1][0]} lies {tape.length(levels[-1][1] - first)} over the lowest, behind the shell over the door",
                field="order.levels",
                value=tape.length(levels[-1][1] - first),
                allowed=f"up to {tape.length(room)}",
                remedy="Lower it, or find a longer vessel.",
            )
        return tuple(levels)
    pitch = ledger.choose("grates.pitch", own.pitch, because="from one grate to the next", limits=(2.0 * INCH, 1.0))
    fits = 1 + int((room + 1e-9) // pitch)
    count = fits if own.grates is None else own.grates
    if count > fits:
        raise LayoutError(
            f"{count} grates {tape.length(pitch)} apart do not fit behind the door",
            field="proportions.upright.grates",
            value=count,
            allowed=f"up to {fits}",
            remedy="Set them nearer each other, or find a longer vessel.",
        )
    ledger.note(
        "grates.count", count, "count", rests_on=("grates.pitch", "vessel.length", "doors.end_margin"),
        because="the shop's number of grates" if own.grates is not None else "as many as fit behind the door",
    )  # fmt: skip
    for i in range(1, count):
        ledger.note(
            f"grates.grate {i + 1}.height", order.grate_height + i * pitch, because="one pitch over the one below",
            rests_on=("grates.pitch",),
        )  # fmt: skip
    return tuple(("main grate" if i == 0 else f"grate {i + 1}", first + i * pitch) for i in range(count))


def upright_edges(draft: Draft, body: Body, heights: Heights, arc: float) -> DoorEdges:
    """The door's opening: from under the lowest grate to over the highest, even about the front line."""
    own, ledger = draft.rules.upright, draft.ledger
    side = 1.0 if own.hinge == "away from the firebox" else -1.0
    margin = ledger.value("doors.end_margin")
    low = heights.grates[0][1] - own.door_below
    high = min(float(body.length - margin), heights.grates[-1][1] + own.door_above)
    got = next((d for d in draft.job.measured.doors if d.door == 1), None)
    if got is not None and got.width is not None:
        middle = (low + high) / 2.0
        low, high = middle - got.width / 2.0, middle + got.width / 2.0
    if got is not None and got.arc is not None:
        arc = got.arc / body.outer_radius
        if not LEAST_SWEEP / 2.0 < arc < math.radians(340.0):
            raise JobError(
                "no door is that wide", field="measured.doors", value=draft.tape.length(got.arc),
                allowed="the opening as cut, round the skin", remedy="Measure the opening again.",
            )  # fmt: skip
    ledger.note(
        "doors.hinge_clock", side * arc / 2.0, "angle", rests_on=("doors.sweep",),
        because=f"hinge edge, {own.hinge}, plumb: the door is even about the front line",
    )  # fmt: skip
    ledger.note(
        "doors.edge_clock", -side * arc / 2.0, "angle", because="the edge with the latches", rests_on=("doors.sweep",)
    )
    ledger.note(
        "doors.width", high - low, because="height of the one door: from under the lowest grate to over the highest",
        rests_on=("grates.over_seam", "doors.end_margin"),
    )  # fmt: skip
    ledger.note(
        "doors.sill", heights.seam_z + low, because="door's lower edge over the floor", rests_on=("vessel.seam",)
    )
    return DoorEdges(x0=low, x1=high, hinge=side * arc / 2.0, edge=-side * arc / 2.0)
