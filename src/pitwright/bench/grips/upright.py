"""Grips of a vessel on end: heights of grate, seam, firebox and stack, its door, its square base."""

from __future__ import annotations

from collections.abc import Iterator

from pitwright.bench.drawings import View, on_view
from pitwright.bench.grips.fire import one, outer_end
from pitwright.bench.grips.grip import Grip, Snap, figure, put, state_of, written, y_of
from pitwright.layout.model import Pit
from pitwright.parts import Vec

_UP: tuple[View, ...] = ("side", "stack end")


def upright_grips(pit: Pit) -> Iterator[Grip]:
    """All grips of a vessel on end."""
    vessel, box, tape = pit.vessel, pit.firebox, pit.tape
    r = vessel.outer_radius
    yield _promised(pit)

    def up(
        id: str, label: str, name: str, at: Vec, low: float, high: float, *, text: str = "", group: str = ""
    ) -> Grip:
        return one(pit, id, label, name, at, _UP, lambda view, u, v: v, low=low, high=high, text=text,
                   fixed=state_of(pit, groups=(group,)) if group else "")  # fmt: skip

    if "vessel.seam" in pit.reasons:
        z = vessel.seam_z
        yield up("vessel seam", "vessel up and down: its bottom seam", "vessel.seam", (0.5 * r, 0.0, z),
                 pit.base.rail_top, 3.0, text=f"{tape.length(z)} off the floor", group="base")  # fmt: skip
    if "grates.pitch" in pit.reasons and pit.upright is not None and len(pit.upright.grates) > 1:
        second = pit.upright.grates[1]
        yield up("grate pitch", "from one grate to the next", "grates.pitch", (0.4 * r, 0.0, second.z), 0.051, 1.0,
                 group="grates")  # fmt: skip
    if "firebox.over_seam" in pit.reasons:
        yield up("firebox up", "firebox over the bottom seam", "firebox.over_seam",
                 ((box.x0 + box.x1) / 2.0, 0.0, box.centre_z), 0.0, vessel.length, group="firebox")  # fmt: skip
    yield up("stack top", "top of the stack", "stack.height", (pit.stack.x, pit.stack.y, pit.stack.top_z), 0.05, 3.5,
             group="stack")  # fmt: skip
    yield outer_end(pit, state_of(pit, groups=("firebox",)), figure(pit, "firebox.length"))
    if "base.square" in pit.reasons and pit.upright is not None:
        half = pit.upright.square / 2.0
        views: tuple[View, ...] = ("stack end", "plan")
        yield one(
            pit,
            "base square",
            "square base, over the outside",
            "base.square",
            (0.0, half, pit.base.rail_top),
            views,
            lambda view, u, v: 2.0 * y_of(pit, view, u, v),
            low=0.2,
            high=3.0,
            fixed=state_of(pit, groups=("base",)),
            snaps=(Snap(value=2.0 * r, words="the vessel's diameter"),),
        )


def _promised(pit: Pit) -> Grip:
    grate = pit.grates.levels[0]
    return Grip(
        id="main grate",
        label="main grate: the promised height",
        name="order.grate_height",
        places={view: on_view(pit, view, (0.0, 0.0, grate.z)) for view in _UP},
        value=pit.job.order.grate_height,
        read=lambda view, u, v: v,
        edits=lambda new: (put("order", "grate_height", value=written(pit.tape, new, "length")),),
        low=0.3,
        high=2.0,
        fixed=state_of(pit, groups=("grates",)),
        text=f"{pit.tape.length(pit.job.order.grate_height)} off the floor",
    )
