"""Bar sections by formula, for any size [m]. The tables are in `tables`; these serve the sizes not listed there."""

from __future__ import annotations

import math

from pitwright.errors import JobError
from pitwright.stock.profile import DESIGN_WALL_SHARE, STEEL_DENSITY, Profile, named, size_text
from pitwright.tape import System


def _positive(what: str, system: System, **sizes: float) -> None:
    for name, x in sizes.items():
        if not 0.0 < x < math.inf:
            raise JobError(f"a {what} needs a {name} above nothing", field=name, value=size_text(x, system))


def _hollow(what: str, system: System, wall: float, side: float) -> None:
    if wall >= side / 2.0:
        raise JobError(
            f"a wall of {size_text(wall, system)} leaves no hole in a {what} {size_text(side, system)} across",
            field="wall",
            value=size_text(wall, system),
            allowed=f"below {size_text(side / 2.0, system)}",
            remedy=f"A solid bar is named flat or round, not {what}.",
        )


def rounded_rectangle(height: float, width: float, radius: float) -> tuple[float, float, float]:
    """(area, second moment, plastic modulus) about the x axis of a rectangle with four round corners [m2, m4, m3].

    EN 10219-2 Annex B: the rectangle less four corner pieces, each (1 - pi/4) r2.
    """
    piece = (1.0 - math.pi / 4.0) * radius**2
    arm = height / 2.0 - (10.0 - 3.0 * math.pi) / (12.0 - 3.0 * math.pi) * radius
    own = (1.0 / 3.0 - math.pi / 16.0 - 1.0 / (3.0 * (12.0 - 3.0 * math.pi))) * radius**4
    area = width * height - 4.0 * piece
    second = width * height**3 / 12.0 - 4.0 * (own + piece * arm**2)
    return area, second, width * height**2 / 4.0 - 4.0 * piece * arm


def _hollow_rectangle(height: float, width: float, wall: float, outer: float, inner: float) -> tuple[float, ...]:
    a, i, z = rounded_rectangle(height, width, outer)
    a_hole, i_hole, z_hole = rounded_rectangle(height - 2.0 * wall, width - 2.0 * wall, inner)
    return a - a_hole, i - i_hole, z - z_hole


def tube(height: float, width: float, wall: float, *, system: System = "inch") -> Profile:
    """Square or rectangular tube of any size [m].

    inch: outside corners 2 t, inside t, design wall 0.93 t, J = 4 Am2 t / p on the middle line (AISC Manual practice;
    within 1 % of the printed figures; for walls up to a sixth of the side).
    metric: corners and formulas of EN 10219-2 Annex B (from memory), full wall.
    """
    _positive("tube", system, height=height, width=width, wall=wall)
    _hollow("tube", system, wall, min(height, width))
    if system == "inch":
        outside, inside, design = 2.0, 1.0, DESIGN_WALL_SHARE * wall
        source = "formula, AISC practice: corners 2 t, weight by the full wall, strength by 0.93 of it"
    else:
        outside = 2.0 if wall < 6.0005e-3 else 2.5 if wall < 10.0005e-3 else 3.0
        inside, design = outside - 1.0, wall
        source = "formula, EN 10219-2 Annex B (from memory)"
    most = min(height, width) / 2.0

    def corners(t: float) -> tuple[float, float]:
        outer = min(outside * t, most)
        return outer, max(min(inside * t, outer - t), 0.0)

    outer, inner = corners(design)
    area, ix, zx = _hollow_rectangle(height, width, design, outer, inner)
    _, iy, zy = _hollow_rectangle(width, height, design, outer, inner)
    middle = (outer + inner) / 2.0
    around = 2.0 * (height + width - 2.0 * design) - 2.0 * middle * (4.0 - math.pi)
    enclosed = (height - design) * (width - design) - middle**2 * (4.0 - math.pi)
    j = 4.0 * enclosed**2 * design / around + (design**3 * around / 3.0 if system == "metric" else 0.0)
    area_nominal = _hollow_rectangle(height, width, wall, *corners(wall))[0]
    sizes = " x ".join((size_text(height, system), size_text(width, system), size_text(wall, system, gauge=True)))
    return Profile(
        designation=named(sizes, "tube", system),
        kind="tube",
        system=system,
        height=height,
        width=width,
        wall=wall,
        wall_design=design,
        flange=wall,
        corner_radius=corners(wall)[0],
        area=area,
        area_nominal=area_nominal,
        mass_per_length=area_nominal * STEEL_DENSITY,
        centroid_height=height / 2.0,
        centroid_width=width / 2.0,
        ix=ix,
        iy=iy,
        sx=2.0 * ix / height,
        sy=2.0 * iy / width,
        zx=zx,
        zy=zy,
        rx=math.sqrt(ix / area),
        ry=math.sqrt(iy / area),
        r_least=math.sqrt(min(ix, iy) / area),
        j=j,
        source=source,
    )


def pipe(od: float, wall: float, *, system: System = "inch", name: str = "pipe") -> Profile:
    """Pipe or round tube of any size by outside diameter and wall [m]; inch stock with a design wall of 0.93 t."""
    _positive(name, system, diameter=od, wall=wall)
    _hollow(name, system, wall, od)
    design = DESIGN_WALL_SHARE * wall if system == "inch" else wall
    bore = od - 2.0 * design
    area = math.pi / 4.0 * (od**2 - bore**2)
    second = math.pi / 64.0 * (od**4 - bore**4)
    plastic = (od**3 - bore**3) / 6.0
    area_nominal = math.pi * (od - wall) * wall
    radius = math.sqrt(second / area)
    sizes = f"{size_text(od, system)}{' OD' if system == 'inch' else ''} x {size_text(wall, system, gauge=True)}"
    return Profile(
        designation=named(sizes, name, system),
        kind="pipe",
        system=system,
        height=od,
        width=od,
        wall=wall,
        wall_design=design,
        flange=wall,
        corner_radius=od / 2.0,
        area=area,
        area_nominal=area_nominal,
        mass_per_length=area_nominal * STEEL_DENSITY,
        centroid_height=od / 2.0,
        centroid_width=od / 2.0,
        ix=second,
        iy=second,
        sx=2.0 * second / od,
        sy=2.0 * second / od,
        zx=plastic,
        zy=plastic,
        rx=radius,
        ry=radius,
        r_least=radius,
        j=2.0 * second,
        source="formula, AISC practice: weight by the full wall, strength by 0.93 of it"
        if system == "inch"
        else "formula, EN 10220 sizes (from memory), full wall",
    )


def flat(width: float, thickness: float, *, system: System = "inch") -> Profile:
    """Flat bar standing on edge: `width` upright, `thickness` across [m]; `turned()` lays it down.

    J = w t3 (1/3 - 0.21 t/w (1 - t4 / 12 w4)), Roark's Formulas for Stress and Strain, Table 10.7 (from memory).
    """
    _positive("flat", system, width=width, thickness=thickness)
    if thickness > width:
        width, thickness = thickness, width
    share = thickness / width
    area = width * thickness
    return Profile(
        designation=named(f"{size_text(width, system)} x {size_text(thickness, system)}", "flat", system),
        kind="flat",
        system=system,
        height=width,
        width=thickness,
        wall=thickness,
        wall_design=thickness,
        flange=thickness,
        corner_radius=0.0,
        area=area,
        area_nominal=area,
        mass_per_length=area * STEEL_DENSITY,
        centroid_height=width / 2.0,
        centroid_width=thickness / 2.0,
        ix=thickness * width**3 / 12.0,
        iy=width * thickness**3 / 12.0,
        sx=thickness * width**2 / 6.0,
        sy=width * thickness**2 / 6.0,
        zx=thickness * width**2 / 4.0,
        zy=width * thickness**2 / 4.0,
        rx=width / math.sqrt(12.0),
        ry=thickness / math.sqrt(12.0),
        r_least=thickness / math.sqrt(12.0),
        j=width * thickness**3 * (1.0 / 3.0 - 0.21 * share * (1.0 - share**4 / 12.0)),
        source="formula, sharp corners",
    )


def round_bar(diameter: float, *, system: System = "inch") -> Profile:
    """Round bar of any diameter [m]."""
    _positive("round", system, diameter=diameter)
    area = math.pi / 4.0 * diameter**2
    second = math.pi / 64.0 * diameter**4
    return Profile(
        designation=named(size_text(diameter, system), "round", system),
        kind="round",
        system=system,
        height=diameter,
        width=diameter,
        wall=diameter / 2.0,
        wall_design=diameter / 2.0,
        flange=diameter / 2.0,
        corner_radius=diameter / 2.0,
        area=area,
        area_nominal=area,
        mass_per_length=area * STEEL_DENSITY,
        centroid_height=diameter / 2.0,
        centroid_width=diameter / 2.0,
        ix=second,
        iy=second,
        sx=2.0 * second / diameter,
        sy=2.0 * second / diameter,
        zx=diameter**3 / 6.0,
        zy=diameter**3 / 6.0,
        rx=diameter / 4.0,
        ry=diameter / 4.0,
        r_least=diameter / 4.0,
        j=2.0 * second,
        source="formula",
    )


def angle(height: float, width: float, wall: float, *, system: System = "inch") -> Profile:
    """Angle of any size, sharp corners; heel at the bottom left [m]. J = (a + b - t) t3 / 3, thin-walled."""
    _positive("angle", system, height=height, width=width, thickness=wall)
    if wall >= min(height, width):
        raise JobError(
            f"a leg {size_text(wall, system)} thick is no angle of {size_text(min(height, width), system)}",
            field="thickness",
            value=size_text(wall, system),
            allowed=f"below {size_text(min(height, width), system)}",
        )
    area = wall * (height + width - wall)
    up, ix, sx, zx = _angle_about(height, width, wall)
    out, iy, sy, zy = _angle_about(width, height, wall)
    upright, foot = wall * height, wall * (width - wall)
    product = upright * (height / 2.0 - up) * (wall / 2.0 - out) + foot * (wall / 2.0 - up) * (
        (width + wall) / 2.0 - out
    )
    least = (ix + iy) / 2.0 - math.hypot((ix - iy) / 2.0, product)
    sizes = " x ".join(size_text(x, system) for x in (height, width, wall))
    return Profile(
        designation=named(sizes, "angle", system),
        kind="angle",
        system=system,
        height=height,
        width=width,
        wall=wall,
        wall_design=wall,
        flange=wall,
        corner_radius=0.0,
        area=area,
        area_nominal=area,
        mass_per_length=area * STEEL_DENSITY,
        centroid_height=up,
        centroid_width=out,
        ix=ix,
        iy=iy,
        sx=sx,
        sy=sy,
        zx=zx,
        zy=zy,
        rx=math.sqrt(ix / area),
        ry=math.sqrt(iy / area),
        r_least=math.sqrt(least / area),
        j=(height + width - wall) * wall**3 / 3.0,
        source="formula, sharp corners",
    )


def _angle_about(height: float, width: float, wall: float) -> tuple[float, float, float, float]:
    """(centroid above the heel, second moment, elastic and plastic modulus) about the axis along `width`."""
    upright, foot = wall * (height - wall), wall * width
    area = upright + foot
    up = (upright * (height + wall) / 2.0 + foot * wall / 2.0) / area
    second = wall * (height - wall) ** 3 / 12.0 + upright * ((height + wall) / 2.0 - up) ** 2
    second += width * wall**3 / 12.0 + foot * (wall / 2.0 - up) ** 2
    if foot >= area / 2.0:  # the equal-area axis runs in the foot
        axis = area / 2.0 / width
        plastic = width * (axis**2 + (wall - axis) ** 2) / 2.0 + upright * ((height + wall) / 2.0 - axis)
    else:
        axis = height - area / 2.0 / wall
        plastic = wall * ((height - axis) ** 2 + (axis - wall) ** 2) / 2.0 + foot * (axis - wall / 2.0)
    return up, second, second / (height - up), plastic
