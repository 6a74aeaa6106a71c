"""Grips of the stack: along the pit, behind the top line, its height."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pitwright.bench.drawings import View, on_view
from pitwright.bench.grips.fire import one
from pitwright.bench.grips.grip import Grip, Snap, by_rule, figure, override, shares, state_of, written, x_of, y_of
from pitwright.bench.grips.legs import along_snaps
from pitwright.layout.model import Pit


def stack_grips(pit: Pit) -> Iterator[Grip]:
    """All grips of the stack."""
    stack, vessel, tape = pit.stack, pit.vessel, pit.tape
    fixed = state_of(pit, groups=("stack",))
    if stack.place == "top":
        yield _along(pit, fixed)
        yield _behind(pit, fixed)
    else:
        room = vessel.inner_radius - stack.profile.height / 2.0 - 0.0254
        yield one(
            pit,
            "stack outlet",
            "where the stack leaves the end, up and down",
            "stack.end_height",
            (stack.x, stack.y, stack.base_z),
            ("side", "stack end"),
            lambda view, u, v: v,
            low=-room,
            high=room,
            fixed=fixed,
            snaps=(Snap(value=pit.grates.levels[0].above_centre, words="the main grate"),),
        )
    half = stack.profile.height / 2.0
    yield one(
        pit,
        "stack top",
        "top of the stack",
        "stack.height",
        (stack.x, stack.y - half, stack.top_z),
        ("side", "stack end"),
        lambda view, u, v: v,
        low=0.05,
        high=3.5,
        fixed=fixed,
        snaps=tuple(
            Snap(value=k * vessel.outer_radius, words=f"{w} over the shell")
            for k, w in ((1.0, "half the diameter"), (2.0, "one diameter"), (3.0, "one and a half diameters"))
        ),
        text=f"{tape.length(figure(pit, 'stack.height'))} over the shell",
    )


def _along(pit: Pit, fixed: str) -> Grip:
    """Along the pit: the figure is kept from the fire seam, a tape pulls it from the datum."""
    stack, vessel = pit.stack, pit.vessel
    r = stack.profile.height / 2.0
    high = (stack.base_z + stack.top_z) / 2.0
    views: tuple[View, ...] = ("side", "plan", "wrap map")
    at = (stack.x, stack.y, high)
    places = {view: on_view(pit, view, at) for view in views}
    places["wrap map"] = on_view(pit, "wrap map", vessel.skin(stack.x, stack.clock))
    datum_far = vessel.datum == "stack"
    stations = [
        Snap(value=vessel.x_at(s.value), words=s.words)
        for s in along_snaps(pit, "stack")
        if "seam length" not in s.words
    ]
    return Grip(
        id="stack along",
        label="stack along the pit",
        name="stack.x",
        places=places,
        value=stack.x,
        read=lambda view, u, v: x_of(pit, u),
        edits=lambda new: override(pit, "stack.x", written(pit.tape, new, "length")),
        zero=vessel.length if datum_far else 0.0,
        way=-1.0 if datum_far else 1.0,
        snaps=(*by_rule(pit, ["stack.x"]), *shares(vessel.length, "seam length"), *stations),
        low=r,
        high=vessel.length - r,
        fixed=fixed,
        text=f"station {pit.tape.length(vessel.station(stack.x))}",
    )


def _behind(pit: Pit, fixed: str) -> Grip:
    stack, vessel = pit.stack, pit.vessel
    r, radius = stack.profile.height / 2.0, vessel.outer_radius
    at = (stack.x, stack.y, (0.4 * stack.base_z + 0.6 * stack.top_z))
    value = figure(pit, "stack.behind_top")
    return Grip(
        id="stack behind top",
        label="stack behind the top line",
        name="stack.behind_top",
        places={view: on_view(pit, view, at) for view in ("stack end", "plan")},
        value=value,
        read=lambda view, u, v: -y_of(pit, view, u, v),
        edits=lambda new: override(pit, "stack.behind_top", written(pit.tape, new, "length")),
        snaps=(
            *by_rule(pit, ["stack.behind_top"]),
            Snap(value=0.0, words="the top line"),
            Snap(value=radius * math.sin(math.pi / 8.0), words="1/16 of the around behind the top line"),
        ),
        low=r - radius,
        high=radius - r,
        fixed=fixed,
        text=f"{pit.tape.length(value)} behind the top line",
    )
