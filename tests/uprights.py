"""Vessels on end drawn at random from a seed, and one small job that tests start from."""

from __future__ import annotations

import copy
import random
from functools import lru_cache

from pitwright.errors import PitwrightError
from pitwright.job.file import job_from
from pitwright.layout.pit import solve

SMALL = {
    "schema": 1,
    "job": {"name": "tower", "units": "inch"},
    "vessel": {
        "around": "94 1/4",
        "wall": ["1/4"],
        "length": "54",
        "held": "air",
        "head_a": {"type": "ellipsoidal"},
        "head_b": {"type": "ellipsoidal"},
        "seams": [{"kind": "long", "around": "0"}],
    },
    "make_safe": {"held": "air", "method": "washed", "signed_by": "J. Pellow", "signed_on": "2026-09-10"},
    "order": {"grate_height": "40", "base": "upright", "people": 60},
    "proportions": {"firebox": {"wall": "1/4", "end_plate": "1/4", "ash_height": "5"}},
}


def data(**changes):
    """The small job with changes by dotted path, __ for the dots."""
    out = copy.deepcopy(SMALL)
    for path, value in changes.items():
        at = out
        *heads, last = path.split("__")
        for head in heads:
            at = at.setdefault(head, {})
        at[last] = value
    return out


def job(**changes):
    return job_from(data(**changes))


def small(**changes):
    return solve(job(**changes))


def drawn(seed):
    """A random vessel on end as job data."""
    rng = random.Random(seed)
    around = rng.uniform(75.0, 126.0)
    diameter = around / 3.14159265
    firebox = round(rng.uniform(0.5, 0.68) * diameter)
    return data(
        vessel__around=f"{around:.3f}",
        vessel__length=f"{rng.uniform(52.0, 80.0):.2f}",
        vessel__wall=[rng.choice(["3/16", "1/4", "5/16", "3/8"])],
        vessel__head_a={"type": rng.choice(["ellipsoidal", "torispherical", "flat", "none"])},
        vessel__head_b={"type": rng.choice(["ellipsoidal", "torispherical", "flat", "none"])},
        order__grate_height=f"{rng.uniform(38.0, 52.0):.2f}",
        order__firebox_side=rng.choice(["left", "right"]),
        proportions__upright={
            "firebox_size": f"{firebox} in",
            "door_clear": f"{rng.uniform(0.5, 0.85) * diameter:.2f}",
            "hinge": rng.choice(["away from the firebox", "firebox side"]),
            "stack": rng.choice(["head", "shell"]),
            "pan": rng.choice(["plate", "water pan", "none"]),
            "stands_on": rng.choice(["feet", "casters"]),
            "pitch": rng.choice(["7 in", "9 in"]),
        },
        proportions__firebox={
            "shape": rng.choice(["round", "box"]),
            "wall": "1/4",
            "end_plate": "1/4",
            "ash_height": "5",
            "round_to": "1 in",
        },
        proportions__stack={"profile": rng.choice(["5 sch 40 pipe", "6 sch 40 pipe", "8 sch 20 pipe"])},
    )


@lru_cache(maxsize=64)
def solved(seed):
    """The pit of a seed; None where its facts allow none, told by an error of the family."""
    try:
        return solve(job_from(drawn(seed)))
    except PitwrightError:
        return None
