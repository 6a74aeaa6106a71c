"""Bending strength by kind of section: AISC 360-16 chapter F, allowable strength (nominal over 1.67).

tube     F7: yield, wall buckling of flange and web, sideways twist of a tall tube
pipe     F8: yield and wall buckling
channel  F2 about the strong axis (warping from its sizes), F6 about the weak one
angle    F10: yield 1.5 My, free to twist: 0.8 My and its own twist limit, axes along the legs
flat, round bar   F11
"""

from __future__ import annotations

import math

from pitwright.errors import LayoutError
from pitwright.strength.section import Section
from pitwright.strength.steel import Steel

OMEGA = 1.67
"""Safety factor of allowable strength for yield and buckling (AISC 360)."""


def flat_width(outside: float, wall: float) -> float:
    """Flat of a tube wall, outside less three walls [m] (B4.1b(d), corner radius not known)."""
    return outside - 3.0 * wall


def moments(section: Section, steel: Steel, unbraced: float) -> tuple[float, float]:
    """Allowable moments about the section's x and y axis [N m], for an unbraced length [m]."""
    strong_x = section.ix >= section.iy * (1.0 - 1e-9)
    x = _nominal(section, steel, unbraced, about_x=True, strong=strong_x)
    y = _nominal(section, steel, unbraced, about_x=False, strong=not strong_x)
    return x / OMEGA, y / OMEGA


def equation(kind: str) -> str:
    """The clause a kind of section is bent by."""
    clause = {"tube": "F7", "pipe": "F8", "channel": "F2, F6", "angle": "F10"}.get(kind, "F11")
    return f"AISC 360-16 {clause}"


def _nominal(section: Section, steel: Steel, unbraced: float, *, about_x: bool, strong: bool) -> float:
    inertia, s, z = (section.ix, section.sx, section.zx) if about_x else (section.iy, section.sy, section.zy)
    depth, across = (section.height, section.width) if about_x else (section.width, section.height)
    if section.kind == "tube":
        return _tube(section, steel, depth, across, inertia, s, z, unbraced if strong else 0.0)
    if section.kind == "pipe":
        return _pipe(section, steel, s, z)
    if section.kind == "channel":
        return _channel_strong(section, steel, s, z, unbraced) if strong else min(z, 1.6 * s) * steel.yield_stress
    if section.kind == "angle":
        return _angle(section, steel, s, unbraced)
    if section.kind == "flat":
        return _flat(steel, depth, across, s, z, unbraced)
    return min(z, 1.6 * s) * steel.yield_stress


def _tube(section: Section, steel: Steel, depth: float, across: float, inertia: float, s: float, z: float, unbraced: float) -> float:  # fmt: skip
    t, fy, e = section.wall_design, steel.yield_stress, steel.stiffness
    root = math.sqrt(e / fy)
    flange, web = flat_width(across, t), flat_width(depth, t)
    plastic = fy * z
    found = [plastic]
    if flange / t > 1.40 * root:
        wide = min(1.92 * t * root * (1.0 - 0.38 * t / flange * root), flange)
        gone = flange - wide  # taken off both flanges, as the design examples do: on the safe side
        left = inertia - 2.0 * (gone * t**3 / 12.0 + gone * t * (depth / 2.0 - t / 2.0) ** 2)
        found.append(fy * left / (depth / 2.0))
    elif flange / t > 1.12 * root:
        found.append(plastic - (plastic - fy * s) * (3.57 * flange / t / root - 4.0))
    if web / t > 5.70 * root:
        raise LayoutError(
            f"the wall of {section.designation} is too thin for its height to be reckoned as a beam",
            field=section.designation,
            value=web / t,
            allowed=f"height over wall up to {5.70 * root:.0f}",
            remedy="Take a thicker wall.",
        )
    if web / t > 2.42 * root:
        found.append(plastic - (plastic - fy * s) * (0.305 * web / t / root - 0.738))
    if unbraced > 0.0 and depth > across:
        r_weak = min(section.rx, section.ry)
        short = 0.13 * e * r_weak * math.sqrt(section.j * section.area) / plastic
        long = 2.0 * e * r_weak * math.sqrt(section.j * section.area) / (0.7 * fy * s)
        if unbraced > long:
            found.append(2.0 * e * math.sqrt(section.j * section.area) / (unbraced / r_weak))
        elif unbraced > short:
            found.append(plastic - (plastic - 0.7 * fy * s) * (unbraced - short) / (long - short))
    return min(found)


def _pipe(section: Section, steel: Steel, s: float, z: float) -> float:
    slender = section.height / section.wall_design
    fy, e = steel.yield_stress, steel.stiffness
    if slender > 0.45 * e / fy:
        raise LayoutError(
            f"the wall of {section.designation} is too thin to be reckoned as a beam",
            field=section.designation,
            value=slender,
            allowed=f"outside over wall up to {0.45 * e / fy:.0f}",
            remedy="Take a thicker wall.",
        )
    if slender <= 0.07 * e / fy:
        return fy * z
    if slender <= 0.31 * e / fy:
        return min(fy * z, (0.021 * e / slender + fy) * s)
    return min(fy * z, 0.33 * e / slender * s)


def _channel_strong(section: Section, steel: Steel, s: float, z: float, unbraced: float) -> float:
    fy, e = steel.yield_stress, steel.stiffness
    depth, width = max(section.height, section.width), min(section.height, section.width)
    web, flange = section.wall_design, section.flange
    b, h = width - web / 2.0, depth - flange
    weak, r_weak = min(section.ix, section.iy), min(section.rx, section.ry)
    ratio = (3.0 * b * flange + 2.0 * h * web) / (6.0 * b * flange + h * web)
    warping = flange * b**3 * h**2 / 12.0 * ratio
    r_ts = math.sqrt(math.sqrt(weak * warping) / s)
    c = h / 2.0 * math.sqrt(weak / warping)
    plastic = fy * z
    short = 1.76 * r_weak * math.sqrt(e / fy)
    if unbraced <= short:
        return plastic
    twist = section.j * c / (s * h)
    long = 1.95 * r_ts * e / (0.7 * fy) * math.sqrt(twist + math.sqrt(twist**2 + 6.76 * (0.7 * fy / e) ** 2))
    if unbraced <= long:
        return min(plastic, plastic - (plastic - 0.7 * fy * s) * (unbraced - short) / (long - short))
    slender = unbraced / r_ts
    return min(plastic, math.pi**2 * e / slender**2 * math.sqrt(1.0 + 0.078 * twist * slender**2) * s)


def _angle(section: Section, steel: Steel, s: float, unbraced: float) -> float:
    t, fy, e = section.wall_design, steel.yield_stress, steel.stiffness
    leg = max(section.height, section.width)
    found = 1.5 * fy * s
    if unbraced > 0.0:
        first = 0.8 * fy * s
        turn = math.sqrt(1.0 + 0.88 * (unbraced * t / leg**2) ** 2) - 1.0
        twist = 0.58 * e * leg**4 * t / unbraced**2 * turn
        twisted = (0.92 - 0.17 * twist / first) * twist if twist <= first else (1.92 - 1.17 * math.sqrt(first / twist)) * first  # fmt: skip
        found = min(found, 1.5 * first, twisted)
    slender, root = leg / t, math.sqrt(e / fy)
    if slender > 0.91 * root:
        found = min(found, 0.71 * e / slender**2 * 0.8 * s)
    elif slender > 0.54 * root:
        found = min(found, fy * 0.8 * s * (2.43 - 1.72 * slender / root))
    return found


def _flat(steel: Steel, depth: float, across: float, s: float, z: float, unbraced: float) -> float:
    fy, e = steel.yield_stress, steel.stiffness
    most = min(fy * z, 1.6 * fy * s)
    first = fy * s
    slender = unbraced * depth / across**2
    if depth <= across or slender <= 0.08 * e / fy:
        return most
    if slender <= 1.9 * e / fy:
        return min(most, (1.52 - 0.274 * slender * fy / e) * first)
    return min(most, 1.9 * e / slender * s)
