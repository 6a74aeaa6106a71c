"""Grips of the wrap map: the top line, and the drain at the bottom of the shell."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pitwright.bench.documents import Edit
from pitwright.bench.drawings import on_view
from pitwright.bench.grips.fire import one
from pitwright.bench.grips.grip import Grip, Snap, put, shares, state_of, written, x_of
from pitwright.layout.clock import sense
from pitwright.layout.model import ClockChoice, Pit


def skin_grips(pit: Pit) -> Iterator[Grip]:
    """All grips of the skin."""
    yield _top_line(pit)
    if "drain.x" in pit.reasons:
        yield _drain(pit)


def _top_line(pit: Pit) -> Grip:
    """Turning the vessel: where the top line is struck, by tape from the long seam.

    The map is cut open along the top line, so it is the long seam that is seen to move.
    """
    vessel, tape = pit.vessel, pit.tape
    way = sense(vessel.fire_end, vessel.hand)
    full = vessel.around

    def edits(new: float) -> tuple[Edit, ...]:
        return (
            put("proportions", "clock", "top_from_seam", value=written(tape, new % full, "length")),
            put("proportions", "clock", "fire_end", value=vessel.fire_end),
        )

    def near(at: float) -> float:
        """The same place of the skin, on this side of it."""
        return at + round((vessel.top_from_seam - at) / full) * full

    snaps = [
        Snap(value=near(c.top_from_seam), words=_searched(pit, c))
        for c in pit.clock_choices[:6]
        if c.fire_end == vessel.fire_end
    ]
    snaps += [Snap(value=near(s.value), words=s.words) for s in shares(full, "around from the long seam")]
    clock = vessel.long_seam_clock
    seam = 0.0 if clock is None else vessel.around_at(clock) % full
    turn = -way if clock is None else way
    return Grip(
        id="top line",
        label="turn the vessel: the top line" + ("" if clock is None else ", by its long seam"),
        name="clock.top_from_seam",
        places={"wrap map": (-vessel.hand * 0.8 * vessel.length, -seam)},
        value=vessel.top_from_seam,
        read=lambda view, u, v: turn * v,
        edits=edits,
        snaps=tuple(snaps),
        low=vessel.top_from_seam - full / 2.0,
        high=vessel.top_from_seam + full / 2.0,
        fixed=_cut(pit),
        text=f"{tape.length(vessel.top_from_seam)} clockwise of the long seam",
    )


def _searched(pit: Pit, choice: ClockChoice) -> str:
    if not math.isfinite(choice.least_clear):
        return f"searched: {choice.against}"
    return f"searched: {pit.tape.length(choice.least_clear)} least clear, {choice.against}"


def _cut(pit: Pit) -> str:
    if pit.job.measured.long_seam is not None:
        return "the long seam was measured from the top line: the top line is struck"
    return state_of(pit, groups=("vessel", "doors"))


def _drain(pit: Pit) -> Grip:
    vessel = pit.vessel
    bottom = vessel.skin(pit.grates.drain_x, math.pi)
    grip = one(
        pit,
        "drain",
        "drain along the bottom",
        "drain.x",
        bottom,
        ("side", "wrap map"),
        lambda view, u, v: x_of(pit, u),
        low=0.06,
        high=vessel.length - 0.06,
        fixed=state_of(pit, groups=("vessel",)),
        text=f"station {pit.tape.length(vessel.station(pit.grates.drain_x))}",
    )
    assert grip.places["side"] == on_view(pit, "side", bottom)
    return grip
