"""What the base sheets say of casters, feet, axles, tongue and handles: figures to square up by, marks, notes."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pitwright.layout.model import Pit
from pitwright.layout.trailer import LEAST, MOST, ROAD_STATES, frame_refused, square, tongue_share
from pitwright.masses import mass_of
from pitwright.parts import Bought
from pitwright.sheets.blocks import BigFigure, Block, Notes
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.common import known
from pitwright.sheets.views.eye import Eye

FRAMES = {
    "skid": "Skid",
    "saddles": "Skid",
    "stand": "Stand",
    "cart": "Cart frame",
    "trailer": "Trailer frame",
}
"""What the frame is called by kind of base."""

ROAD = (
    "Lights, brakes, chains, plates and width go by the law of the place: ask before it is towed. "
    "Fire out and ash out before it moves."
)


def named_frame(pit: Pit) -> str:
    """What the shop calls the frame of this pit."""
    return FRAMES.get(pit.base.kind, "Base")


def refused(pit: Pit) -> bool:
    """Whether the frame may not be printed: the hitch carries too little or too much."""
    return frame_refused(pit.base, pit.balance)


def refusal(pit: Pit) -> Notes:
    """In place of the frame: why there is none, and what mends it."""
    lines = [f"{f.text} {f.remedy}" for f in pit.findings if f.code == "trailer.tongue"]
    return Notes(tuple(lines), title="No frame is drawn")


def dims(s: Sketch, pit: Pit, eye: Eye) -> None:
    """On the plan of the frame: ball to every tyre, both sides; casters apart; grips."""
    base = pit.base
    if base.tongue is not None:
        ball = eye.point((base.tongue.coupler[0], 0.0, 0.0))
        s.symbol(ball, "target", size=3.0)
        for i, axle in enumerate(base.axles):
            ends = [eye.point((axle.x, side * axle.track / 2.0, 0.0)) for side in (1.0, -1.0)]
            for end in ends:
                s.symbol(end, "centre", size=2.4)
            if i == 0:
                for end in ends:
                    s.line(ball, end, "thin")
                s.dim_aligned(ball, ends[0], pit.tape.fine(square(base, 0)), gap=0.0, about=known(pit, "trailer.square_1"))  # fmt: skip
    for support in base.supports:
        if support.kind != "jack":
            s.symbol(eye.point((support.x, support.y, 0.0)), "centre", size=2.4)


def across(s: Sketch, pit: Pit) -> None:
    """On the view from the end: track, width over all, ball height."""
    base = pit.base
    for axle in base.axles[:1]:
        half = axle.track / 2.0
        s.dim((-half, 0.0), (half, 0.0), "below", about=known(pit, f"{base.kind}.track"))
        s.dim((-axle.fender, 0.0), (axle.fender, 0.0), "below", about=known(pit, "trailer.width"))
    outer = sorted({round(abs(one.y), 9) for one in base.supports if one.kind != "jack"})
    for y in outer if not base.axles else ():
        s.dim((-y, 0.0), (y, 0.0), "below", about=known(pit, "stand.casters_apart"))


def big(pit: Pit) -> Iterator[BigFigure]:
    """The check figures of what is under the frame, in large letters."""
    tape, base = pit.tape, pit.base
    if base.tongue is not None:
        yield BigFigure(f"ball to the {base.axles[0].name}'s ends", tape.fine(square(base, 0)), "to each tyre's middle, both alike", "trailer.square_1")  # fmt: skip
    elif base.handles is not None:
        yield BigFigure("grip to wheel, each side", tape.fine(float(pit.reasons["cart.square"].value)), "middle to middle, in plan", "cart.square")  # fmt: skip
    elif feet := [one for one in base.supports if one.kind in ("caster", "foot")]:
        yield BigFigure(f"{feet[0].kind}s, corner to corner", tape.fine(corners(pit)), "both ways", "stand.casters_apart")  # fmt: skip


def corners(pit: Pit) -> float:
    """Between the end casters or feet, corner to corner [m]."""
    feet = pit.base.supports
    xs = [one.x for one in feet]
    return math.hypot(max(xs) - min(xs), 2.0 * abs(feet[0].y))


def wants(pit: Pit) -> list[tuple[str, str]]:
    """Figures to hold a tape to, beside the frame's own."""
    tape, base = pit.tape, pit.base
    out: list[tuple[str, str]] = []
    if base.tongue is not None:
        for i, axle in enumerate(base.axles):
            reach = tape.fine(square(base, i))
            out += [(f"ball to {axle.name}, working side", reach), (f"ball to {axle.name}, back", reach)]
        out += [
            ("ball off the road, frame level", tape.length(base.tongue.coupler[2])),
            ("axle, tyre middle to tyre middle", tape.length(base.axles[0].track)),
            ("over the fenders", tape.length(2.0 * base.axles[0].fender)),
        ]
    elif base.handles is not None:
        reach = tape.fine(float(pit.reasons["cart.square"].value))
        out += [
            ("grip to wheel, working side", reach),
            ("grip to wheel, back", reach),
            ("wheel middle to wheel middle", tape.length(base.axles[0].track)),
            ("grips off the floor", tape.length(base.handles.grip[2])),
            ("rest leg, with its plate", tape.length(base.supports[0].top)),
        ]
    elif base.supports:
        kind = base.supports[0].kind
        out += [
            (f"{kind} to {kind} across", tape.length(2.0 * abs(base.supports[0].y))),
            (f"{kind}s, corner to corner, one way", tape.fine(corners(pit))),
            (f"{kind}s, corner to corner, the other way", tape.fine(corners(pit))),
            ("floor to the rail's underside", tape.length(base.floor_gap)),
        ]
    return out


def blocks(pit: Pit) -> Iterator[Block]:
    """Tables of the tongue, of tongue weight, and of what is bought."""
    tape, base = pit.tape, pit.base
    along = [m for m in pit.marks if m.on == "tongue"]
    if along:
        reach = (Column("from the rails' end", wrap=True), Column("want", align="right", bold=True), Column("got", blank=True))  # fmt: skip
        yield Table(reach, tuple((m.what, tape.length(m.along), "") for m in along), title="Along the tongue")
    if base.tongue is not None:
        rows = []
        for name in (n for n in ROAD_STATES if n in pit.balance):
            state = pit.balance[name]
            share = tongue_share(base, state)
            rows.append((name, tape.mass(state.mass), tape.mass(share * state.mass), f"{share:.1%}", ""))
        states = (
            Column("state"),
            Column("whole", align="right"),
            Column("on the hitch", align="right", bold=True, wrap=True),
            Column("share", align="right"),
            Column("got", blank=True),
        )
        yield Table(states, tuple(rows), title=f"Tongue weight, {LEAST:.0%} to {MOST:.0%} wanted")
    bought = [p for p in pit.parts if p.group == "base" and isinstance(p.shape, Bought)]
    if bought:
        columns = (Column("mark", bold=True), Column("off", align="right"), Column("to buy", wrap=True), Column("each", align="right"), Column("got", blank=True))  # fmt: skip
        rows_ = tuple((p.mark, str(p.quantity), p.stock, tape.mass(mass_of(p).mass), "") for p in bought)
        yield Table(columns, rows_, title="Bought for the base, weights as taken")


def notes(pit: Pit) -> list[str]:
    """What to mind."""
    base = pit.base
    if base.kind == "trailer":
        return [
            "Tack the hangers last, when the tongue is welded: measure the ball to both ends of each axle, make them alike, "
            "then weld. An axle out of square wears its tyres and tows crooked.",
            "Weigh the tongue with a scale before the first mile and after every change of load.",
            "Springs are drawn loaded: the frame stands higher until the vessel is on.",
            ROAD,
        ]
    if base.kind == "cart":
        return [
            "Weld the axle square to the rails; try it with both wheels on before the rest legs are cut.",
            "Hot steel: lift by the grips only, fire out and ash out before it is rolled.",
        ]
    if base.kind == "stand":
        return [
            "All four level by water level before the legs are tacked; a lock on the two working-side ones.",
            "On casters roll it cold and empty, pushed low, over smooth floor: a kerb under one wheel can tip it.",
        ]
    return []
