"""Grips of the cooking grates and of the vessel on its grate: the promised height stands, or is what moves."""

from __future__ import annotations

from collections.abc import Iterator

from pitwright.bench.documents import Edit
from pitwright.bench.drawings import View, on_view
from pitwright.bench.grips.fire import one
from pitwright.bench.grips.grip import Grip, Snap, put, state_of, written
from pitwright.bench.grips.legs import legs_stand
from pitwright.layout.model import Pit
from pitwright.tape import INCH

_VIEWS: tuple[View, ...] = ("side", "stack end")


def grate_grips(pit: Pit) -> Iterator[Grip]:
    """All grips of grates and vessel height."""
    yield _promised(pit)
    yield _centre(pit)
    yield from _levels(pit)


def _standing(pit: Pit) -> str:
    if pit.job.measured.height is not None:
        return "the vessel's height was measured: it stands as it stands"
    return legs_stand(pit)


def _promised(pit: Pit) -> Grip:
    """The promised height: the whole pit goes up and down with its grate."""
    level, tape = pit.grates.levels[0], pit.tape

    def edits(new: float) -> tuple[Edit, ...]:
        return (put("order", "grate_height", value=written(tape, new, "length")),)

    at = (level.x1 - 0.12 * pit.vessel.length, 0.6 * level.width / 2.0, level.z)
    return Grip(
        id="main grate",
        label="main grate with the whole pit: the promised height",
        name="order.grate_height",
        places={view: on_view(pit, view, at) for view in _VIEWS},
        value=pit.job.order.grate_height,
        read=lambda view, u, v: v,
        edits=edits,
        snaps=(Snap(value=36.0 * INCH if tape.inch else 0.9, words="elbow height"),),
        low=0.3,
        high=2.0,
        fixed=_standing(pit) if pit.job.measured.height is None else "",
        text=f"{tape.length(pit.job.order.grate_height)} off the floor",
    )


def _centre(pit: Pit) -> Grip:
    """The vessel on its grate: the promised height stands."""
    vessel = pit.vessel
    most = 0.85 * vessel.outer_radius
    below = -pit.grates.levels[0].above_centre
    return one(
        pit,
        "vessel centre",
        "vessel up and down round its grate: the promised height stays",
        "grates.below_centre",
        (0.5 * vessel.length, 0.0, vessel.centre_z),
        _VIEWS,
        lambda view, u, v: v,
        low=-most,
        high=most,
        fixed=_standing(pit),
        snaps=(Snap(value=0.0, words="grate on the centre line"),),
        text=f"grate {pit.tape.length(abs(below))} {'under' if below >= 0.0 else 'over'} the centre",
    )


def _levels(pit: Pit) -> Iterator[Grip]:
    tape, main = pit.tape, pit.grates.levels[0]
    order = sorted(range(len(pit.job.order.levels)), key=lambda i: pit.job.order.levels[i].above)
    for level, place in zip(pit.grates.levels[1:], order, strict=True):
        above = level.z - main.z

        def edits(new: float, place: int = place) -> tuple[Edit, ...]:
            return (put("order", "levels", place, "above", value=written(tape, new, "length")),)

        yield Grip(
            id=level.name,
            label=f"{level.name} over the main grate",
            name=f"grates.{level.name}.height",
            places={
                view: on_view(pit, view, (level.x1 - 0.12 * pit.vessel.length, 0.6 * level.width / 2.0, level.z))
                for view in _VIEWS
            },
            value=pit.job.order.levels[place].above,
            read=lambda view, u, v: v,
            edits=edits,
            snaps=(Snap(value=8.0 * INCH if tape.inch else 0.2, words="room for a whole bird"),),
            low=0.1,
            high=1.9,
            fixed=state_of(pit, groups=("grates",)),
            text=f"{tape.length(above)} over the main grate",
        )
