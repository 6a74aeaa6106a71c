"""Pits for the fire's tests: the thirty-inch tank of the trade notes, its plate variants, and pits drawn at random."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from pitwright.fire.case import (
    Deck,
    Door,
    Firebox,
    FireCase,
    FireGrate,
    Fuel,
    Gap,
    Inlet,
    Load,
    Settings,
    Stack,
    Throat,
    Wall,
    Wanted,
    Weather,
    round_chamber,
)
from pitwright.tape import INCH, LB

IN2 = INCH**2
LB_H = LB / 3600.0


def fahrenheit(t: float) -> float:
    return (t - 273.15) * 1.8 + 32.0


def kelvin(f: float) -> float:
    return (f - 32.0) / 1.8 + 273.15


def thirty_inch(
    *,
    stack: float = 7.981,
    throat: float = 91.0,
    inlet: float = 30.0,
    firebox_wrap: float = 0.0,
    chamber_wrap: float = 0.0,
    meat: float = 27.0,
    weather: Weather | None = None,
    zones_doors: bool = True,
) -> FireCase:
    """A 30.08 in tank of 1/4 in wall, 84 in long, grate 37 in and centre 38 in from the floor; firebox 24 x 30 in.

    Throat and inlet in square inches, stack inside in inches; the stack tops out 85 in over the inlet.
    """
    centre = 38 * INCH
    outside = 15.04 * INCH
    doors = tuple(
        Door(name=f"cook door {i + 1}", room="chamber", x0=a * INCH, x1=b * INCH, z_low=centre - 1.6 * INCH,
             z_high=centre + 14.5 * INCH, width=34 * INCH, side=21.25 * INCH)
        for i, (a, b) in enumerate([(6, 40), (44, 78)])
    )  # fmt: skip
    chamber = round_chamber(
        inside_diameter=2 * 14.79 * INCH,
        length=84 * INCH,
        z_centre=centre,
        z_grate=37 * INCH,
        ends=math.pi * outside**2,
        inner_steel=118 * LB,
        wall=Wall(thickness=0.25 * INCH, insulation=chamber_wrap),
        doors=doors if zones_doors else (),
    )
    low = centre - 18 * INCH
    radius = 11.625 * INCH
    firebox = Firebox(
        skin=math.pi * 24 * INCH * 30 * INCH + 2 * math.pi * (12 * INCH) ** 2,
        volume=math.pi * radius**2 * 30 * INCH,
        diameter=24 * INCH,
        z_low=low - radius,
        z_high=low + radius,
        steel=364 * LB,
        wall=Wall(thickness=0.375 * INCH, insulation=firebox_wrap),
        grate=FireGrate(area=24 * 18 * IN2),
        inlets=(Inlet(name="slide", area=inlet * IN2, z=low - 8 * INCH),),
        doors=(
            Door(name="fire door", room="firebox", x0=0, x1=0, z_low=low - 6 * INCH, z_high=low + 10 * INCH,
                 width=16 * INCH, side=16 * INCH),
        ),
    )  # fmt: skip
    return FireCase(
        name="thirty-inch tank",
        firebox=firebox,
        throat=Throat(area=throat * IN2, z_low=centre - 12.79 * INCH, z_high=centre - 6.4 * INCH),
        chamber=chamber,
        stack=Stack(
            x=80 * INCH,
            z_mouth_low=centre + 14.5 * INCH,
            z_mouth_high=centre + 14.6 * INCH,
            z_top=low - 8 * INCH + 85 * INCH,
            diameter=stack * INCH,
            wall=Wall(thickness=0.25 * INCH),
        ),
        weather=weather or Weather(temperature=kelvin(50.0)),
        fuel=Fuel(),
        load=Load(mass=meat),
        wanted=Wanted(temperature=kelvin(250.0), spread=60.0 / 1.8),
    )


def with_plates(case: FireCase, gaps: tuple[Gap, ...], drop: float = 0.15) -> FireCase:
    deck = Deck(z=case.chamber.z_grate - drop, thickness=0.006, width=0.7, gaps=gaps)
    return replace(case, chamber=replace(case.chamber, decks=(deck,)))


def reverse_flow(case: FireCase | None = None) -> FireCase:
    case = case or thirty_inch()
    turned = with_plates(case, (Gap(x=case.chamber.length - 0.1, area=0.08),))
    return replace(turned, stack=replace(turned.stack, x=0.1))


def random_pit(seed: int) -> FireCase:
    """A pit of any sensible kind: sizes over a factor of four, all three floors, all weathers, all settings."""
    rng = np.random.default_rng(seed)

    def u(low: float, high: float) -> float:
        return float(rng.uniform(low, high))

    d = u(0.35, 1.3)
    length = d * u(1.2, 5.0)
    centre = u(0.8, 1.3) + d / 2
    grate = centre + d * u(-0.2, 0.2)
    floor = int(rng.integers(3))
    decks: tuple[Deck, ...] = ()
    under = min(d * u(0.05, 0.2), grate - (centre - d / 2) - 0.05 * d)
    if floor == 1:
        decks = (
            Deck(
                z=grate - under,
                thickness=0.006,
                width=0.8 * d,
                gaps=(Gap(x=length * u(0.8, 0.99), area=d * d * u(0.03, 0.2)),),
            ),
        )
    elif floor == 2:
        k = int(rng.integers(2, 7))
        gaps = tuple(Gap(x=length * (i + 0.5) / k, area=d * d * u(0.004, 0.05)) for i in range(k))
        decks = (Deck(z=grate - under, thickness=0.006, width=0.8 * d, gaps=gaps),)
    doors = tuple(
        Door(name=f"door {i}", room="chamber", x0=length * (i + 0.1) / 2, x1=length * (i + 0.9) / 2, z_low=grate - 0.02,
             z_high=centre + 0.45 * d, width=0.4 * length, side=0.7 * d)
        for i in range(int(rng.integers(1, 3)))
    )  # fmt: skip
    chamber = round_chamber(
        inside_diameter=d, length=length, z_centre=centre, z_grate=grate, ends=math.pi / 4 * d * d, inner_steel=u(5, 100),
        wall=Wall(thickness=u(0.003, 0.012), insulation=float(rng.choice([0.0, 0.0, 0.05]))), doors=doors, decks=decks,
    )  # fmt: skip
    fd = d * u(0.5, 1.0)
    fl = fd * u(0.9, 1.6)
    fz = centre - d * u(0.3, 0.7)
    throat = d * d * 10 ** u(-1.7, -0.7)
    firebox = Firebox(
        skin=math.pi * fd * fl + math.pi / 2 * fd * fd,
        volume=math.pi / 4 * fd * fd * fl,
        diameter=fd,
        z_low=fz - fd / 2,
        z_high=fz + fd / 2,
        steel=u(30, 400),
        wall=Wall(thickness=0.008, insulation=float(rng.choice([0.0, 0.05]))),
        grate=FireGrate(area=0.5 * fd * fl, bed=u(0.02, 0.12)),
        inlets=(
            Inlet(name="slide", area=throat * 10 ** u(-1.2, 0.5), z=fz - 0.3 * fd),
            Inlet(name="upper", area=throat * 10 ** u(-3.0, -0.7), z=fz + 0.1 * fd, under_grate=False),
        ),
        doors=(
            Door(name="fire door", room="firebox", x0=0, x1=0, z_low=fz - 0.2 * fd, z_high=fz + 0.3 * fd,
                 width=0.5 * fd, side=0.5 * fd),
        ),
    )  # fmt: skip
    mouth = grate - 0.02 if rng.random() < 0.3 else centre + d / 2
    middle = centre - 0.4 * d
    return FireCase(
        name="random",
        firebox=firebox,
        throat=Throat(area=throat, z_low=middle - 0.1 * d, z_high=middle + 0.1 * d),
        chamber=chamber,
        stack=Stack(
            x=length * (u(0.02, 0.2) if floor == 1 else u(0.6, 1.0)),
            z_mouth_low=mouth,
            z_mouth_high=mouth + 0.01,
            z_top=mouth + u(0.2, 3.0),
            diameter=d * u(0.15, 0.35),
            wall=Wall(thickness=0.004),
            entry="flush" if rng.random() < 0.5 else "projecting",
            mitres=int(rng.integers(0, 2)),
        ),
        settings=Settings(
            inlet_open=1.0 if rng.random() < 0.6 else u(0.0, 1.0), damper_open=1.0 if rng.random() < 0.6 else u(0.0, 1.0)
        ),
        weather=Weather(
            temperature=u(255, 312), pressure=u(75e3, 102e3), humidity=u(0.1, 1.0),
            wind=0.0 if rng.random() < 0.6 else u(0.0, 10.0),
        ),
        fuel=Fuel(moisture=u(0.1, 0.8)),
        load=Load(mass=0.0 if rng.random() < 0.5 else u(1, 200)),
        wanted=Wanted(temperature=u(340, 470), read_by="gas" if rng.random() < 0.5 else "thermometer"),
    )  # fmt: skip
