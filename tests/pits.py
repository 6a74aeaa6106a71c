"""Whole pits drawn at random over what a shop could mean: vessels of 20 to 48 in, every head, firebox, throat, base, hand.

    facts(random.Random(7))   the tables of one job file
    solved(7)                 the pit of seed 7, or None where its facts allow none
    jobs()                    a hypothesis strategy of jobs that can be solved

Sizes are stated as a shop states them: sixteenths of an inch on inch jobs, whole millimetres on metric ones.
"""

from __future__ import annotations

import math
import random
from functools import cache
from typing import Any

from hypothesis import assume
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.job.facts import Job
from pitwright.job.file import job_from
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.parts import Placement

SIGNED = {"held": "water", "method": "drained, washed, aired", "signed_by": "A. Clerk", "signed_on": "2026-01-01"}
LEG_STOCK = {
    "inch": ("2 x 2 x 3/16 tube", "2 x 2 x 1/4 tube", "3 x 3 x 3/16 tube", "3 x 2 x 3/16 tube", "2 sch 40 pipe",
             "2-1/2 x 2-1/2 x 1/4 tube", "3 sch 40 pipe"),
    "metric": ("50 x 50 x 4 mm tube", "60 x 60 x 4 mm tube", "80 x 50 x 4 mm tube", "60.3 x 4 mm pipe", "80 x 80 x 5 mm tube"),
}  # fmt: skip
RAIL_STOCK = {
    "inch": ("3 x 3 x 3/16 tube", "4 x 4 x 1/4 tube", "4 x 3 x 1/4 tube", "3 x 3 x 1/4 tube"),
    "metric": ("80 x 80 x 4 mm tube", "100 x 100 x 5 mm tube"),
}
STACKS = {
    "inch": ((5.0, "5 sch 40 pipe"), (6.0, "6 sch 40 pipe"), (8.0, "8 sch 20 pipe"), (10.0, "10 sch 20 pipe")),
    "metric": ((5.0, "139.7 x 4 mm pipe"), (6.0, "168.3 x 4.5 mm pipe"), (8.0, "219.1 x 6 mm pipe")),
}


class Typist:
    """Types lengths as the job's shop does; `inches` in, what stands in the file out.

    swapped  the same sizes typed in the other unit, written out: `952.5 mm` on an inch job, `3.5 in` on a metric one
    """

    def __init__(self, system: str, swapped: bool = False):
        self.system, self.swapped = system, swapped

    def length(self, inches: float) -> str | int:
        """To the tape's own step, exactly as written."""
        if self.system == "metric":
            return f"{round(inches * 25.4) / 25.4!r} in" if self.swapped else round(inches * 25.4)
        sixteenths = round(abs(inches) * 16)
        if self.swapped:
            return f"{math.copysign(sixteenths * 1.5875, inches)!r} mm"
        whole, part = divmod(sixteenths, 16)
        common = math.gcd(part, 16)
        text = f"{whole} {part // common}/{16 // common}" if part else f"{whole}"
        return ("-" if inches < 0 and sixteenths else "") + text


def facts(rng: random.Random, *, swapped: bool = False) -> dict[str, Any]:
    """The tables of a job file, drawn at random; what is chosen together fits together."""
    system = "metric" if rng.random() < 0.3 else "inch"
    typed = Typist(system, swapped).length
    across = rng.uniform(20.0, 48.0)
    wall = rng.choice((0.1875, 0.25, 0.25, 0.3125, 0.375))
    long = across * rng.uniform(2.0, 4.0)
    joint, heads = _ends(rng, typed, across, wall)
    reverse = rng.random() < 0.25
    vessel = _vessel(rng, typed, across, wall, long, heads)
    base = "saddles" if rng.random() < 0.25 else "skid"
    rail = rng.choice(RAIL_STOCK[system])
    box = rng.random() < 0.35
    size = across * rng.uniform(0.55, 0.8)
    floor = 1.15 * size + 0.45 * across if base == "skid" else 1.1 * size + 0.45 * across
    grate = max(rng.uniform(33.0, 42.0), floor, across / 2.0 + 11.0)
    below = rng.uniform(0.0, 3.0)
    doors = rng.choice((None, 1, 2, 3)) if long > 60.0 else rng.choice((None, 1))
    job: dict[str, Any] = {
        "schema": 1,
        "job": {"name": "Drawn pit", "units": system},
        "vessel": vessel,
        "make_safe": dict(SIGNED) if rng.random() < 0.85 else {},
        "order": {
            "grate_height": typed(grate),
            "grate_slides": rng.random() < 0.2,
            "base": base,
            "firebox_side": rng.choice(("left", "right")),
            "flow": "reverse" if reverse else "offset",
            "levels": [{"above": typed(rng.uniform(0.18, 0.24) * across), "slides": rng.random() < 0.7}]
            if rng.random() < 0.4
            else [],
        },
        "proportions": {
            "clock": {"fire_end": "A"} if joint != "cut" else {},
            "grates": {"below_centre": typed(below)},
            "doors": {
                "hinge_clock": rng.choice(("10", "15", "20")),
                "hold": rng.choice(("none", "counterweight", "prop")),
                "end_margin": typed(rng.uniform(5.0, 9.0)),
                **({"count": doors} if doors else {}),
            },
            "firebox": {
                "shape": "box" if box else "round",
                "size": typed(size),
                "wall": typed(rng.choice((0.25, 0.3125, 0.375))),
                "length": typed(rng.uniform(0.9, 1.25) * size),
                "joint": joint,
                **({"double_wall": typed(rng.uniform(1.0, 2.5))} if rng.random() < 0.2 else {}),
            },
            "throat": {"shape": rng.choice(("segment", "rectangle", "lens") if box else ("lens", "lens", "segment"))},
            "baffle": {"kind": "baffle" if reverse else rng.choice(("none", "tuning plates", "tuning plates"))},
            "stack": _stack(rng, system, typed, across, reverse),
            "legs": _legs(rng, system, typed, across, grate + below - 4.0, box),
            "base": {
                "rail": rail,
                "cross": rail,
                "rails_outside": rng.choice(("1 diameter", "0.95 diameter", "1.05 diameter")),
                "overhang": typed(rng.uniform(3.0, 8.0)),
                "end_cut": rng.choice(("0", "0", "30", "45")),
                "feet": rng.choice((0, typed(0.5))),
            },
            "saddles": {
                "contact": rng.choice(("100", "120", "140")),
                "ears": rng.choice((0, typed(1.0))),
                "pad_thickness": rng.choice((0, typed(0.25))),
            },
            "shelf": {"depth": typed(rng.uniform(9.0, 15.0))} if rng.random() < 0.4 else {},
            "shop": {"datum": rng.choice(("stack", "fire"))},
        },
    }  # fmt: skip
    return job


def _ends(rng: random.Random, typed: Any, across: float, wall: float) -> tuple[str, list[dict[str, Any]]]:
    """How the firebox joins the vessel's end A, and the two heads."""
    heads = []
    for _ in range(2):
        kind = rng.choice(("ellipsoidal", "ellipsoidal", "hemispherical", "torispherical", "flat", "none"))
        head: dict[str, Any] = {"type": kind}
        if kind == "torispherical":
            head |= {
                "crown": typed(across * rng.uniform(0.8, 1.0)),
                "knuckle": typed(across * rng.uniform(0.07, 0.17)),
            }
        if kind == "ellipsoidal" and rng.random() < 0.3:
            head["depth"] = typed(across * rng.uniform(0.2, 0.3))
        if kind in ("ellipsoidal", "hemispherical", "torispherical") and rng.random() < 0.5:
            head["flange"] = typed(rng.uniform(0.5, 2.5))
        if kind == "flat" or rng.random() < 0.3:
            head["wall"] = typed(wall + 0.0625)
        heads.append(head)
    formed = heads[0]["type"] in ("ellipsoidal", "hemispherical", "torispherical")
    joint = "dished" if formed and rng.random() < 0.35 else "cut"
    if heads[0]["type"] == "flat" and rng.random() < 0.6:
        joint = "flat"
    return joint, heads


def _vessel(
    rng: random.Random, typed: Any, across: float, wall: float, long: float, heads: list[dict[str, Any]]
) -> dict[str, Any]:
    around = math.pi * across
    vessel: dict[str, Any] = {
        "wall": [typed(wall)],
        "length": typed(long),
        "head_a": heads[0],
        "head_b": heads[1],
        "held": "water",
        "coating": "bare",
    }
    how = rng.random()
    if how < 0.6:
        vessel["around"] = typed(around)
    elif how < 0.8:
        vessel["outside_diameter"] = typed(across)
    else:
        out = across * rng.uniform(0.001, 0.008) * rng.choice((-1, 1))
        vessel["rounds"] = [
            {
                "station": typed(long * 0.2),
                "around": typed(around),
                "across_seam": typed(across + out),
                "across_side": typed(across - out),
            },
            {"station": typed(long * 0.8), "around": typed(around)},
        ]
    seams: list[dict[str, Any]] = [{"kind": "long", "around": typed(0.0)}] if rng.random() < 0.85 else []
    if rng.random() < 0.25:
        seams.append({"kind": "girth", "station": typed(long * rng.uniform(0.4, 0.6))})
    if rng.random() < 0.15:
        seams.append({"kind": "patch", "station": typed(long * 0.2), "to_station": typed(long * 0.2 + 5.0),
                      "around": typed(around * rng.uniform(0.1, 0.9)), "width": typed(5.0)})  # fmt: skip
    fittings = [
        {
            "name": f"boss {i + 1}",
            "station": typed(long * rng.uniform(0.15, 0.85)),
            "around": typed(around * rng.uniform(0.05, 0.95)),
            "size": typed(rng.uniform(1.5, 4.0)),
            "plan": rng.choice(("reuse", "plug", "cut away")),
            "good_for": rng.choice(([], ["drain"], ["thermometer"])),
        }
        for i in range(rng.choice((0, 0, 1, 2)))
    ]
    return {**vessel, "seams": seams, "fittings": fittings}


def _stack(rng: random.Random, system: str, typed: Any, across: float, reverse: bool) -> dict[str, Any]:
    fitting = [name for bore, name in STACKS[system] if 0.16 * across <= bore <= 0.3 * across]
    stack: dict[str, Any] = {"height": typed(rng.uniform(24.0, 48.0)), "at": typed(rng.uniform(8.0, 13.0))}
    if rng.random() < 0.8 and fitting:
        stack["profile"] = rng.choice(fitting)
    if not reverse and rng.random() < 0.25:
        stack["place"] = "end"
    elif rng.random() < 0.3:
        stack["reach_in"] = typed(rng.uniform(1.0, 0.2 * across))
    return stack


def _legs(rng: random.Random, system: str, typed: Any, across: float, height: float, box: bool) -> dict[str, Any]:
    """Leg rules. The contact is said one of four ways, all about the same leg."""
    radius = across / 2.0
    contact = math.radians(rng.uniform(36.0, 52.0))
    spread = radius - 2.0
    lean = math.atan2(spread - radius * math.sin(contact), height - radius * math.cos(contact))
    length = math.hypot(spread - radius * math.sin(contact), height - radius * math.cos(contact))
    said: dict[str, Any] = rng.choice(
        (
            {"inboard": typed(radius * (1.0 - math.sin(contact)))},
            {"clock": f"{math.degrees(contact):.1f}"},
            {"lean": f"{math.degrees(lean):.1f}"},
            {"length": typed(length)},
        )
    )
    sets = [{"from": "stack seam", "by": rng.choice(("1/2 radius", "0.6 radius"))}]
    sets.append(rng.choice(({"from": "fire seam", "by": "1/2 radius"}, {"from": "fire door end", "by": typed(3.0)})))
    if rng.random() < 0.15 and not box:
        sets.append({"from": "firebox", "by": typed(0.0)})
    if rng.random() < 0.15:
        sets.append({"from": "middle", "by": typed(0.0)})
    return {
        "profile": rng.choice(LEG_STOCK[system]),
        "set_in": typed(rng.uniform(0.5, 1.5)),
        "sets": sets,
        "lean_along": rng.choice(("0", "0", "0", "4", "8", "-5")),
        "turn": rng.choice(("square to pit", "square to pit", "square to skin")),
        "end": rng.choice(("auto", "straight", "coped", "coped")),
        "pads": rng.choice(("auto", "always", "never")),
        **said,
    }


def at(x: float, y: float, z: float) -> Placement:
    """A piece moved, not turned."""
    return Placement(origin=(x, y, z))


@cache
def solved(seed: int) -> Pit | None:
    """The pit of a seed; None where its facts allow none (a leg that cannot be cut, say)."""
    try:
        return solve(job_from(facts(random.Random(seed))))
    except LayoutError:
        return None


@st.composite
def jobs(draw: Any) -> Job:
    """Jobs that can be solved."""
    job = job_from(facts(draw(st.randoms(use_true_random=False))))
    try:
        solve(job)
    except LayoutError:
        assume(False)
    return job


RUNNING = {
    "stand": {
        "stand": ({}, {"on": "levelling feet"}, {"on": "foot plates", "stretcher": "6 in"}, {"at": "rail ends", "knee": "5 in"},
                  {"at": "every set", "casters_apart": "1.25 diameter"}),
    },
    "cart": {"cart": ({}, {"wheel": "20 in"}, {"axle_in": "1/5 seam length", "grips_past": "30 in"})},
    "trailer": {
        "trailer": ({}, {"tongue": "straight"}, {"axles": 2}, {"tongue_end": "fire", "fenders": "bought"},
                    {"fenders": "none", "axle_drop": "0"}),
    },
}  # fmt: skip
"""What a shop could ask of the bases that stand, roll or travel: rules drawn by `running`."""


@cache
def running(base: str, seed: int) -> Pit | None:
    """The pit of a seed on another base, raised by what is under its rails; None where its facts allow none."""
    rng = random.Random(1000 + seed)
    tables = facts(random.Random(seed))
    typed = Typist(tables["job"]["units"]).length
    ((table, ways),) = RUNNING[base].items()
    tables["order"]["base"] = base
    tables["proportions"][table] = dict(rng.choice(ways))
    if "stretcher" in tables["proportions"][table] or "knee" in tables["proportions"][table]:
        tables["proportions"]["legs"] |= {"lean_along": "0", "turn": "square to pit", "profile": "2 x 2 x 3/16 tube"}
    more = {"stand": 7.5, "cart": 10.0, "trailer": 15.5}[base]
    tables["order"]["grate_height"] = typed(_inches(tables["order"]["grate_height"]) + more)
    try:
        return solve(job_from(tables))
    except LayoutError:
        return None


def _inches(said: str | int) -> float:
    if isinstance(said, int):
        return said / 25.4
    whole, _, part = said.partition(" ")
    top, _, bottom = part.partition("/")
    return float(whole) + (int(top) / int(bottom) if part else 0.0)
