"""What runs and carries under the rails as part of the frame: feet and casters, axles on springs, tongue, handles, braces.

A foot or caster holds its rail up where it stands. A sprung axle is a beam from wheel to wheel under two leaf springs, each
resting on its hangers; one fixed to the rails is held stiffly. Wheels only push. The tongue is its own beams from the
coupler to where they meet the frame, the handles run from the rail ends to the hands.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from itertools import pairwise

from pitwright.layout.model import BaseLayout
from pitwright.layout.running import Axle, Handles, Tongue
from pitwright.parts import Vec
from pitwright.stock import find_profile
from pitwright.strength.forks import FORK_WIDTH
from pitwright.strength.frame import Beam
from pitwright.strength.frame_cases import FootPoint
from pitwright.strength.frame_gather import Gather
from pitwright.strength.stability import Footing
from pitwright.strength.steel import STIFFNESS

SIDES = (("working", 1.0), ("back", -1.0))
SAG = 0.075
"""How far a leaf spring goes down under its share of the weight [m] (common practice, no source)."""

AXLE_TUBE = "2-1/2 sch 80 pipe"
"""Taken for the axle beam's stiffness; the axle itself is bought by its rating."""


def under_frame(g: Gather, base: BaseLayout, weight: float) -> tuple[tuple[FootPoint, ...], tuple[Footing, ...]]:
    """Points of support and the outline they make on the floor, for a base with supports or axles; weight [N]."""
    feet: list[FootPoint] = []
    prints: list[Footing] = []
    wheels = max(2 * len(base.axles), 1)
    rockers = dict(_rockers(g, base, weight / wheels / SAG))
    for axle in base.axles:
        feet += _axle(g, base, axle, weight / wheels / SAG, rockers)
        prints += [Footing(name=f.name, x=f.x, y=f.y) for f in feet[-2:]]
    for s in base.supports:
        at = (s.x, s.y, 0.0)
        joint = g.near((s.x, s.y, s.top))
        group = "jack" if s.kind == "jack" else _group(base, s.x)
        feet.append(FootPoint(name=s.name, joint=joint, leg_set=group, x=s.x, y=s.y, arm=g.arm(joint, at)))
        prints.append(Footing(name=s.name, x=s.x, y=s.y, trail=s.trail))
    if base.tongue is not None and not any(s.kind == "jack" for s in base.supports):
        c = base.tongue.coupler
        feet.append(FootPoint(name="coupler", joint="coupler", leg_set="coupler", x=c[0], y=c[1]))
        prints.append(Footing(name="coupler", x=c[0], y=c[1]))
    return tuple(feet), tuple(prints)


def _group(base: BaseLayout, x: float) -> str:
    """The row of feet a foot stands in, by its place along the base."""
    rows = sorted({round(s.x, 2) for s in base.supports if s.kind != "jack"})
    at = min(range(len(rows)), key=lambda i: abs(rows[i] - x))
    if len(rows) == 1:
        return "feet"
    first, last = ("firebox side", "far side") if base.kind == "upright" else ("fire end", "stack end")
    return first if at == 0 else last if at == len(rows) - 1 else f"row {at + 1}"


def _rockers(g: Gather, base: BaseLayout, rate: float) -> Iterator[tuple[tuple[str, float], str]]:
    """The equalizer between two sprung axles on either side: (side, x of a spring's eye on it) and its joint.

    It turns about its pin under the rail and carries both inner eyes, so that both axles carry alike. The pin keeps a
    fiftieth of what the springs (of a rate [N/m]) would hold it with: rubbing, and no loose part for the solver.
    """
    for a, b in pairwise(sorted(base.axles, key=lambda axle: axle.x)):
        if not (a.sprung and b.sprung):
            continue
        eyes = (max(a.hangers), min(b.hangers))
        for side, out in SIDES:
            pin: Vec = (sum(eyes) / 2.0, out * base.rail_y, (a.radius + b.radius) / 2.0)
            joint = g.joint(f"equalizer {a.name} {side}", pin)
            rail = g.near((pin[0], pin[1], base.rail_top), (n for n in g.joints if n.startswith(f"rail {side}")))
            g.beams.append(
                Beam(
                    name=f"equalizer {a.name} {side}", piece="axle bracket", start=rail, end=joint,
                    area=4e-3, ix=8e-6, iy=8e-6, j=8e-6, up=(1.0, 0.0, 0.0),
                    arm_start=g.arm(rail, (pin[0], pin[1], pin[2] + 0.05)), spring_end=(math.inf, 0.02 * rate * ((eyes[1] - eyes[0]) / 2.0) ** 2, math.inf),
                )
            )  # fmt: skip
            for x in eyes:
                yield (side, x), joint


def _axle(
    g: Gather, base: BaseLayout, axle: Axle, rate: float, rockers: Mapping[tuple[str, float], str]
) -> list[FootPoint]:
    """One axle with its two wheels; rate: of one spring [N/m]; rockers: the eyes that hang on an equalizer."""
    tube = find_profile(AXLE_TUBE)
    ends, feet = [], []
    called = axle.name if "axle" in axle.name else f"axle {axle.name}"
    for side, out in SIDES:
        middle = g.joint(f"axle {axle.name} {side}", (axle.x, out * base.rail_y, axle.radius))
        ends.append(middle)
        for i, x in enumerate(axle.hangers):
            rail = rockers.get((side, x)) or g.near(
                (x, out * base.rail_y, base.rail_top), (n for n in g.joints if n.startswith(f"rail {side}"))
            )
            # A spring lies level, its eye at the axle's height: inclined ones would prop each other like a roof.
            foot: Vec = (x, g.place(rail)[1], axle.radius if axle.sprung else base.floor_gap)
            g.beams.append(_spring(f"axle {axle.name} {side} {i}", axle, middle, rail, g.arm(rail, foot), g.place(middle), foot, rate))  # fmt: skip
        wheel = (axle.x, out * axle.track / 2.0, 0.0)
        feet.append(
            FootPoint(
                name=f"wheel, {called}, {side}", joint=middle, leg_set="axles" if rockers else called, x=wheel[0], y=wheel[1],
                arm=g.arm(middle, wheel),
            )
        )  # fmt: skip
    g.beams.append(
        Beam(
            name=f"axle {axle.name}", piece=f"axle {axle.name}", start=ends[0], end=ends[1],
            area=tube.area, ix=tube.ix, iy=tube.iy, j=tube.j,
        )
    )  # fmt: skip
    return feet


def _spring(
    name: str, axle: Axle, middle: str, rail: str, arm: Vec, low: Vec, high: Vec, rate: float
) -> Beam:  # fmt: skip
    """Half of a leaf spring from axle to hanger, free to turn there; or a stiff bracket of a fixed axle."""
    a = math.dist(low, high)
    if not axle.sprung or abs(high[0] - low[0]) < 0.05:
        return Beam(
            name=name, piece="axle bracket", start=middle, end=rail, area=4e-3, ix=8e-6, iy=8e-6, j=8e-6,
            up=(0.0, 1.0, 0.0), arm_end=arm if a > 0.01 else (arm[0], arm[1], 0.0),
        )  # fmt: skip
    inertia = rate * a**3 / (6.0 * STIFFNESS)  # two such halves: k = 6 E I / a3
    return Beam(
        name=name, piece="spring", start=middle, end=rail, area=1e-3, ix=inertia, iy=4e-6, j=5e-8,
        arm_end=arm, spring_end=(math.inf, 0.0, math.inf),
    )  # fmt: skip


def cross_places(base: BaseLayout, fork_y: float) -> dict[int, tuple[float, ...]]:
    """Where each cross member wants joints between the rails: under forks from the end, and where the tongue meets it [m]."""
    out: dict[int, set[float]] = {i: ({fork_y, -fork_y} if fork_y else set()) for i in range(len(base.crosses))}
    if base.tongue is not None and base.crosses:
        for root in base.tongue.roots:
            if abs(abs(root[1]) - base.rail_y) > base.rail.width:
                i = min(range(len(base.crosses)), key=lambda k: abs(base.crosses[k].x - root[0]))
                out[i].add(root[1])
    return {i: tuple(sorted(ys, reverse=True)) for i, ys in out.items()}


def tongue_beams(g: Gather, base: BaseLayout, tongue: Tongue, piece: str) -> None:
    """The tongue's beams, one for each line of roots, from the coupler back."""
    g.joint("coupler", tongue.coupler)
    jacks = [s for s in base.supports if s.kind == "jack"]
    rows: dict[float, list[Vec]] = {}
    for root in tongue.roots:
        sign = 0.0 if abs(root[1]) < 0.05 else math.copysign(1.0, root[1])
        rows.setdefault(sign, []).append(root)
    for sign, roots in rows.items():
        start, part = "coupler", 0
        name = {0.0: "tongue", 1.0: "tongue working", -1.0: "tongue back"}[sign]
        if sign == 0.0 and jacks:
            c, j = tongue.coupler, jacks[0]
            if (j.x - c[0]) * (roots[0][0] - j.x) > 0.0:  # between coupler and frame
                start = g.joint("jack", (j.x, c[1], c[2]))
                _tongue_bar(g, f"{name} {part}", piece, ("coupler", start), tongue, (0.0, 0.0, 0.0))
                part += 1
        for root in sorted(roots, key=lambda r: math.dist(r, tongue.coupler)):
            joint = g.near(root, (n for n in g.joints if n.startswith(("rail", "cross"))))
            _tongue_bar(g, f"{name} {part}", piece, (start, joint), tongue, g.arm(joint, root))
            start, part = joint, part + 1


def _tongue_bar(g: Gather, name: str, piece: str, ends: tuple[str, str], tongue: Tongue, arm: Vec) -> None:
    reach = math.dist(g.place(ends[0]), tuple(p + a for p, a in zip(g.place(ends[1]), arm, strict=True)))
    if reach > 0.01:
        start: Vec = (0.0, 0.0, 0.0)
        if ends[0] not in ("coupler", "jack"):  # the beam runs on at its own height, not at the joint's
            start = (0.0, 0.0, arm[2])
        g.bar(name, piece, ends, tongue.beam, tongue.length, k=2.0, hung=True, arm_start=start, arm_end=arm)


def handle_beams(g: Gather, base: BaseLayout, handles: Handles, piece: str) -> tuple[FootPoint, ...]:
    """The handles from the rail ends to the hands, and the hands."""
    hands = []
    end = base.rail_x1 if handles.end > 0 else base.rail_x0
    for side, out in SIDES:
        rail = g.near((end, out * base.rail_y, base.rail_top), (n for n in g.joints if n.startswith(f"rail {side}")))
        grip: Vec = (handles.grip[0], out * handles.half, handles.grip[2])
        joint = g.joint(f"hand {side}", grip)
        g.bar(f"handle {side}", piece, (rail, joint), handles.beam, math.dist(g.place(rail), grip), k=2.0, hung=True)
        hands.append(FootPoint(name=f"hand, {side}", joint=joint, leg_set="hands", x=grip[0], y=grip[1]))
    return tuple(hands)


def brace_beams(g: Gather, base: BaseLayout, mark: str) -> None:
    """Braces between the joints nearest to their ends."""
    for i, brace in enumerate(base.braces):
        ends = (g.near(brace.start, g.joints), g.near(brace.stop, g.joints))
        if ends[0] == ends[1]:
            continue
        g.bar(
            f"brace {i}", mark, ends, brace.profile, math.dist(brace.start, brace.stop), hung=True,
            arm_start=g.arm(ends[0], brace.start), arm_end=g.arm(ends[1], brace.stop), up=_across(brace.start, brace.stop),
        )  # fmt: skip


def _across(a: Vec, b: Vec) -> Vec:
    run = tuple(q - p for p, q in zip(a, b, strict=True))
    return (1.0, 0.0, 0.0) if abs(run[0]) < 0.7 * math.hypot(*run) else (0.0, 0.0, 1.0)


def spans(xs: tuple[float, ...]) -> float:
    """The longest bay between places [m]; 0 for fewer than two."""
    return max((b - a for a, b in pairwise(sorted(xs))), default=0.0)


def end_fork_reach(base: BaseLayout, face: float, weight: float) -> float:
    """How long forks from an end of the rails must be [m]: two thirds of the base, and under a cross member beyond the
    weight; infinite where none is beyond it (two thirds: common practice)."""
    centre = abs(weight - face)
    beyond = [abs(c.x - face) + base.cross.width / 2.0 for c in base.crosses if abs(c.x - face) > centre + FORK_WIDTH]
    return max(2.0 / 3.0 * (base.rail_x1 - base.rail_x0), min(beyond, default=math.inf))
