"""An invented pit of about ninety pieces with every kind of shape and cut, and random pieces for comparisons."""

from __future__ import annotations

import math
import random

from pitwright.parts import (
    Bar,
    Bought,
    CylinderCut,
    Group,
    Head,
    HeadCut,
    Outline,
    Part,
    Placement,
    PlaneCut,
    Plate,
    PrismCut,
    Shape,
    Shell,
    Vec,
    Window,
    unit,
)
from pitwright.stock import angle, flat, pipe, round_bar, tube

INCH = 0.0254
RADIUS, WALL, LENGTH, CENTRE = 0.475, 0.006, 2.0, 1.05
SQUARE_START = PlaneCut(point=(0.0, 0.0, 0.0), normal=(-1.0, 0.0, 0.0))


def part(mark: str, name: str, group: Group, shape: Shape, *placements: Placement, moving: str = "") -> Part:
    return Part(mark=mark, name=name, group=group, shape=shape, stock="as drawn", placements=placements, moving=moving)


def at(x: float, y: float, z: float) -> Placement:
    return Placement(origin=(x, y, z))


def vessel() -> list[Part]:
    doors = [(0.25, 0.95), (1.05, 1.75)]
    low, high = math.radians(20.0), math.radians(105.0)
    cuts: list[PlaneCut | CylinderCut | PrismCut | Window] = [
        Window(x0=x0, x1=x1, clock0=low, clock1=high) for x0, x1 in doors
    ]
    cuts.append(CylinderCut(point=(1.8, -0.1, 0.0), axis=(0.0, 0.0, 1.0), radius=0.1, reach=(0.0, math.inf)))
    cuts.append(CylinderCut(point=(1.9, 0.0, 0.0), axis=(0.0, 0.0, -1.0), radius=0.03, reach=(0.0, math.inf)))
    pieces = [
        part(
            "V1",
            "shell",
            "vessel",
            Shell(outer_radius=RADIUS, wall=WALL, length=LENGTH, cuts=tuple(cuts)),
            at(0.0, 0.0, CENTRE),
        )
    ]
    throat = PrismCut(
        outline=Outline(((-0.3, -0.2), (0.3, -0.2), (0.3, 0.0), (-0.3, 0.0)), (0.3, 0.0, 0.0, 0.0)),
        origin=(0.0, 0.0, 0.0),
        u=(0.0, 1.0, 0.0),
        v=(0.0, 0.0, 1.0),
    )
    head = Head(kind="ellipsoidal", outer_radius=RADIUS, wall=WALL, depth=0.24, flange=0.0)
    pieces.append(
        part(
            "V2",
            "fire-end head",
            "vessel",
            Head(kind="ellipsoidal", outer_radius=RADIUS, wall=WALL, depth=0.24, cuts=(throat,)),
            Placement(origin=(0.0, 0.0, CENTRE), x=(-1.0, 0.0, 0.0), y=(0.0, -1.0, 0.0)),
        )
    )
    pieces.append(part("V3", "stack-end head", "vessel", head, at(LENGTH, 0.0, CENTRE)))
    for i, (x0, x1) in enumerate(doors):
        skin = Shell(outer_radius=RADIUS, wall=WALL, length=x1 - x0 - 0.004, clock0=low + 0.004, clock1=high - 0.004)
        moving = f"door {i + 1}"
        pieces.append(part(f"D{i + 1}", "door skin", "doors", skin, at(x0 + 0.002, 0.0, CENTRE), moving=moving))
        middle = (low + high) / 2.0
        out: Vec = (0.0, math.sin(middle), math.cos(middle))
        side: Vec = (0.0, math.cos(middle), -math.sin(middle))
        grip = Placement(
            origin=(x0 + 0.2, (RADIUS + 0.06) * out[1], CENTRE + (RADIUS + 0.06) * out[2]), y=side, z=out, x=(1, 0, 0)
        )
        pieces.append(
            part(f"D{i + 5}", "handle", "doors", Bar.square(round_bar(0.75 * INCH), 0.3), grip, moving=moving)
        )
    return pieces


def legs() -> list[Part]:
    """Leaning square legs coped to the vessel's underside, standing on two rails."""
    stock = tube(2 * INCH, 2 * INCH, 3 / 16 * INCH)
    lean = math.radians(8.0)
    foot_y, foot_z = 0.42, 0.1
    along: Vec = (0.0, -math.sin(lean), math.cos(lean))
    across: Vec = (0.0, math.cos(lean), math.sin(lean))
    # In the leg's frame: x up the leg, y along the pit, z outward.
    centre = (
        (0.0 - foot_y) * along[1] + (CENTRE - foot_z) * along[2],
        (0.0 - foot_y) * across[1] + (CENTRE - foot_z) * across[2],
    )
    leg = Bar(
        profile=stock,
        x0=0.0,
        x1=0.6,
        start=PlaneCut(point=(0.0, 0.0, 0.0), normal=(-math.cos(lean), 0.0, -math.sin(lean))),
        finish=CylinderCut(point=(centre[0], 0.0, centre[1]), axis=(0.0, 1.0, 0.0), radius=RADIUS),
    )
    places = []
    for x in (0.2, 1.0, 1.8):
        for side in (1.0, -1.0):
            places.append(
                Placement(
                    origin=(x, side * foot_y, foot_z),
                    x=(0.0, side * along[1], along[2]),
                    y=(1.0, 0.0, 0.0),
                    z=(0.0, side * across[1], across[2]),
                )
            )
    rail = tube(0.1, 0.05, 0.005, system="metric")
    rails = Bar.square(rail, 2.9)
    cross = Bar.square(tube(0.05, 0.05, 0.004, system="metric"), 0.79)
    return [
        part("L1", "leg", "legs", leg, *places),
        part("B1", "rail", "base", rails, *(at(-0.7, y, 0.05) for y in (foot_y, -foot_y))),
        part(
            "B2",
            "cross member",
            "base",
            cross,
            *(Placement(origin=(x, -0.395, 0.05), x=(0, 1, 0), y=(-1, 0, 0)) for x in (-0.4, 0.35, 1.1, 1.9)),
        ),
    ]


def stack() -> list[Part]:
    stock = pipe(8.625 * INCH, 0.322 * INCH)
    tube_up = Bar(
        profile=stock,
        x0=0.0,
        x1=1.0,
        start=CylinderCut(point=(-RADIUS, 0.1, 0.0), axis=(0.0, 0.0, 1.0), radius=RADIUS),
        finish=PlaneCut(point=(1.0, 0.0, 0.0), normal=(1.0, 0.0, 0.0)),
    )
    up = Placement(origin=(1.8, -0.1, CENTRE + RADIUS), x=(0.0, 0.0, 1.0), y=(0.0, 1.0, 0.0), z=(-1.0, 0.0, 0.0))
    cap = Plate(outline=Outline.circle(0.0, 0.0, 0.12), thickness=0.003)
    tilt = math.radians(35.0)
    lid = Placement(
        origin=(1.8, -0.1, CENTRE + RADIUS + 1.09),
        x=(math.cos(tilt), 0.0, math.sin(tilt)),
        z=(-math.sin(tilt), 0.0, math.cos(tilt)),
    )
    return [part("S1", "stack", "stack", tube_up, up), part("S2", "cap", "stack", cap, lid)]


def firebox() -> list[Part]:
    body = pipe(0.6, 0.008, system="metric")
    drop = 0.3
    tube_in = Bar(
        profile=body,
        x0=0.0,
        x1=0.7,
        start=SQUARE_START,
        finish=HeadCut(point=(0.7, 0.0, drop), axis=(-1.0, 0.0, 0.0), radius=RADIUS, depth=0.24),
        cuts=(
            PrismCut(
                outline=Outline.rectangle(0.2, -0.12, 0.45, 0.12),
                origin=(0.0, 0.0, 0.0),
                u=(1.0, 0.0, 0.0),
                v=(0.0, 0.0, 1.0),
            ),
        ),
    )
    end = Plate(outline=Outline.circle(0.0, 0.0, 0.3, (Outline.rectangle(-0.15, -0.1, 0.15, 0.15),)), thickness=0.008)
    return [
        part("F1", "firebox body", "firebox", tube_in, at(-0.7, 0.0, CENTRE - drop)),
        part(
            "F2",
            "firebox end",
            "firebox",
            end,
            Placement(origin=(-0.708, 0.0, CENTRE - drop), x=(0, 1, 0), y=(0, 0, 1), z=(1, 0, 0)),
        ),
    ]


def inside() -> list[Part]:
    frame = angle(1.25 * INCH, 1.25 * INCH, 0.125 * INCH)
    panel = 0.62
    bars = Bar.square(round_bar(0.375 * INCH), 0.8)
    places = [
        Placement(origin=(0.06 + 0.03 * i, -0.4, CENTRE + 0.02), x=(0.0, 1.0, 0.0), y=(-1.0, 0.0, 0.0))
        for i in range(62)
    ]
    return [
        part(
            "G1",
            "grate side",
            "grates",
            Bar.square(frame, panel),
            *(
                Placement(origin=(0.05 + i * (panel + 0.01), s * 0.42, CENTRE), y=(0.0, s, 0.0))
                for i in range(3)
                for s in (1.0, -1.0)
            ),
        ),
        part("G2", "grate bar", "grates", bars, *places),
        part(
            "G3",
            "baffle",
            "grates",
            Plate(outline=Outline.rectangle(0, -0.38, 1.9, 0.38), thickness=0.006),
            at(0.05, 0, CENTRE - 0.2),
        ),
    ]


def extras() -> list[Part]:
    shelf = Plate(outline=Outline.rectangle(0.0, 0.0, 1.2, 0.3), thickness=0.003)
    bracket = Plate(outline=Outline.polygon(((0.0, 0.0), (0.28, 0.0), (0.0, -0.2))), thickness=0.006)
    return [
        part("H1", "shelf", "shelf", shelf, at(0.3, RADIUS + 0.08, CENTRE - 0.15)),
        part(
            "H2",
            "bracket",
            "shelf",
            bracket,
            *(
                Placement(origin=(x, RADIUS + 0.08, CENTRE - 0.15), x=(0, 1, 0), y=(0, 0, 1), z=(1, 0, 0))
                for x in (0.4, 0.9, 1.4)
            ),
        ),
        part(
            "X1",
            "thermometer",
            "fittings",
            Bought(mass=0.3, size=(0.05, 0.08, 0.08), form="cylinder"),
            at(0.6, 0.3, 1.6),
        ),
        part("X2", "counterweight", "fittings", Bar.square(flat(0.1, 0.05), 0.2), at(0.5, -0.6, CENTRE + 0.3)),
    ]


def sample_pit() -> list[Part]:
    """Ninety-odd copies."""
    return vessel() + legs() + stack() + firebox() + inside() + extras()


# ---------------------------------------------------------------- random pieces


def _direction(rng: random.Random, lean: float) -> Vec:
    """A unit direction at most `lean` off the y-z plane, any way round."""
    a, e = rng.uniform(-math.pi, math.pi), rng.uniform(-lean, lean)
    return (math.sin(e), math.cos(e) * math.sin(a), math.cos(e) * math.cos(a))


def _end(rng: random.Random, way: float, x: float) -> PlaneCut | CylinderCut | HeadCut:
    kind = rng.choice(("plane", "plane", "round", "head"))
    if kind == "plane":
        tilt = rng.uniform(0.0, 1.0)
        _, ny, nz = _direction(rng, 0.0)
        return PlaneCut(point=(x, 0.0, 0.0), normal=(way, ny * tilt, nz * tilt))
    radius = rng.uniform(0.25, 0.7)
    off = (rng.uniform(-0.1, 0.1), rng.uniform(-0.1, 0.1))
    if kind == "round":
        return CylinderCut(point=(x + way * radius, *off), axis=_direction(rng, 0.6), radius=radius)
    depth = radius * rng.uniform(0.4, 1.0)
    if rng.random() < 0.5:
        axis = unit((-way, rng.uniform(-0.3, 0.3), rng.uniform(-0.3, 0.3)))
        return HeadCut(point=(x + way * depth, *off), axis=axis, radius=radius, depth=depth)
    return HeadCut(point=(x + way * radius, *off), axis=_direction(rng, 0.2), radius=radius, depth=depth)


def _outline(rng: random.Random, size: float) -> Outline:
    kind = rng.choice(("box", "circle", "slot", "star"))
    if kind == "box":
        return Outline.rectangle(-size, -size * rng.uniform(0.3, 1.0), size, size)
    if kind == "circle":
        return Outline.circle(0.0, 0.0, size, (Outline.circle(0.1 * size, 0.0, 0.4 * size),))
    if kind == "slot":
        w = 0.4 * size
        return Outline(((-size, -w), (size, -w), (size, w), (-size, w)), (0.0, 1.0, 0.0, 1.0))
    n = rng.randint(5, 8)
    points = []
    for i in range(n):
        r = size * rng.uniform(0.6, 1.0)
        points.append((r * math.cos(2 * math.pi * i / n), r * math.sin(2 * math.pi * i / n)))
    return Outline(tuple(points), tuple(rng.uniform(-0.15, 0.3) for _ in range(n)))


def _prism(rng: random.Random, origin: Vec, size: float) -> PrismCut:
    w = _direction(rng, 0.5)
    u = unit((w[1] - w[2], w[2] - w[0], w[0] - w[1]))
    v = (w[1] * u[2] - w[2] * u[1], w[2] * u[0] - w[0] * u[2], w[0] * u[1] - w[1] * u[0])
    return PrismCut(outline=_outline(rng, size), origin=origin, u=u, v=v)


def random_bar(rng: random.Random) -> Bar:
    profile = rng.choice(
        (
            tube(2 * INCH, 2 * INCH, 3 / 16 * INCH),
            tube(4 * INCH, 2 * INCH, 0.25 * INCH),
            tube(0.08, 0.04, 0.004, system="metric"),
            pipe(4.5 * INCH, 0.237 * INCH),
            pipe(8.625 * INCH, 0.322 * INCH),
            angle(3 * INCH, 2 * INCH, 0.25 * INCH),
            flat(4 * INCH, 0.5 * INCH),
            round_bar(1 * INCH),
        )
    )
    length = rng.uniform(0.5, 1.5)
    cuts: list[CylinderCut | PrismCut] = []
    if rng.random() < 0.5:
        size = rng.uniform(0.2, 0.45) * min(profile.height, profile.width)
        spot = (length * rng.uniform(0.4, 0.6), rng.uniform(-0.01, 0.01), rng.uniform(-0.01, 0.01))
        if rng.random() < 0.5:
            cuts.append(CylinderCut(point=spot, axis=_direction(rng, 0.4), radius=size))
        else:
            cuts.append(_prism(rng, spot, size))
    return Bar(
        profile=profile,
        x0=0.0,
        x1=length,
        start=_end(rng, -1.0, 0.0),
        finish=_end(rng, 1.0, length),
        cuts=tuple(cuts),
    )


def random_plate(rng: random.Random) -> Plate:
    outline = _outline(rng, rng.uniform(0.2, 0.6))
    return Plate(outline=outline, thickness=rng.uniform(0.003, 0.02))


def random_shell(rng: random.Random) -> Shell:
    radius, length = rng.uniform(0.25, 0.6), rng.uniform(0.5, 2.0)
    start = rng.uniform(-3.0, 1.0)
    clocks = (-math.pi, math.pi) if rng.random() < 0.6 else (start, start + rng.uniform(1.2, 2.5))
    middle = (clocks[0] + clocks[1]) / 2.0
    out: Vec = (0.0, math.sin(middle), math.cos(middle))
    choices = (
        Window(x0=0.2 * length, x1=0.5 * length, clock0=middle - 0.5, clock1=middle + 0.4),
        CylinderCut(
            point=(0.6 * length, 0.0, 0.0),
            axis=(rng.uniform(-0.3, 0.3), out[1], out[2]),
            radius=rng.uniform(0.03, 0.15),
            reach=(0.0, math.inf),
        ),
        PlaneCut(point=(0.9 * length, 0.0, 0.0), normal=(1.0, rng.uniform(-0.2, 0.2), rng.uniform(-0.2, 0.2))),
        _prism(rng, (0.5 * length, radius * out[1], radius * out[2]), rng.uniform(0.05, 0.2)),
    )
    cuts = tuple(cut for cut in choices if rng.random() < 0.5)
    return Shell(
        outer_radius=radius,
        wall=rng.uniform(0.004, 0.012),
        length=length,
        clock0=clocks[0],
        clock1=clocks[1],
        cuts=cuts,
    )


def random_head(rng: random.Random) -> Head:
    radius, wall = rng.uniform(0.25, 0.6), rng.uniform(0.004, 0.012)
    kind = rng.choice(("ellipsoidal", "hemispherical", "torispherical", "flat"))
    crown = 2.0 * radius * rng.uniform(0.8, 1.1) if kind == "torispherical" else 0.0
    cuts: list[PrismCut | CylinderCut] = []
    spot = (0.0, rng.uniform(-0.5, 0.5) * radius, rng.uniform(-0.5, 0.5) * radius)
    choice = rng.random()
    if choice < 0.25:
        cuts.append(CylinderCut(point=spot, axis=(1.0, 0.0, 0.0), radius=rng.uniform(0.03, 0.2)))
    elif choice < 0.5:
        cuts.append(
            PrismCut(outline=_outline(rng, rng.uniform(0.1, 0.4) * radius), origin=spot, u=(0, 1, 0), v=(0, 0, 1))
        )
    elif choice < 0.7:
        cuts.append(CylinderCut(point=spot, axis=(1.0, rng.uniform(-1, 1), rng.uniform(-1, 1)), radius=0.05))
    return Head(
        kind=kind,
        outer_radius=radius,
        wall=wall,
        depth=wall if kind == "flat" else radius * rng.uniform(0.45, 0.6),
        flange=rng.choice((0.0, 0.04)) if kind != "flat" else 0.0,
        crown=crown,
        knuckle=0.12 * radius if kind == "torispherical" else 0.0,
        cuts=tuple(cuts),
    )


def random_shapes(seed: int, each: int) -> list[Shape]:
    """So many bars, plates, shells and heads."""
    rng = random.Random(seed)
    makers = (random_bar, random_plate, random_shell, random_head)
    return [maker(rng) for _ in range(each) for maker in makers]
