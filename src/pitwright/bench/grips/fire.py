"""Grips of the fire end: grease dam, firebox drop and size, fire grate; and of the plates under the main grate."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from pitwright.bench.drawings import View, on_view
from pitwright.bench.grips.grip import (
    Grip,
    Snap,
    by_rule,
    figure,
    override,
    shares,
    state_of,
    written,
    x_of,
    y_of,
)
from pitwright.layout.model import Pit
from pitwright.parts import Vec

Read = Callable[[View, float, float], float]


def fire_grips(pit: Pit) -> Iterator[Grip]:
    """All grips of throat, firebox, fire grate and baffle."""
    yield _dam(pit)
    yield _drop(pit)
    yield _length(pit)
    yield _width(pit)
    if "firebox.height" in pit.reasons:
        yield _height(pit)
    yield _fire_grate(pit)
    if pit.grates.plates and "baffle.under_grate" in pit.reasons:
        yield _baffle(pit)


def one(
    pit: Pit,
    id: str,
    label: str,
    name: str,
    at: Vec,
    views: tuple[View, ...],
    read: Read,
    *,
    low: float,
    high: float,
    fixed: str = "",
    snaps: tuple[Snap, ...] = (),
    step: float = 0.0,
    text: str = "",
) -> Grip:
    """A grip of one length the job may set."""
    value = figure(pit, name)
    return Grip(
        id=id,
        label=label,
        name=name,
        places={view: on_view(pit, view, at) for view in views},
        value=value,
        read=read,
        edits=lambda new: override(pit, name, written(pit.tape, new, "length")),
        snaps=(*by_rule(pit, [name]), *snaps),
        low=low,
        high=high,
        fixed=fixed,
        step=step,
        text=text or pit.tape.length(value),
    )


def _box_cut(pit: Pit) -> str:
    return state_of(pit, groups=("firebox", "throat"))


def _dam(pit: Pit) -> Grip:
    vessel, throat = pit.vessel, pit.throat
    at = (0.0, 0.0, vessel.centre_z - vessel.inner_radius + throat.dam)
    return one(
        pit,
        "throat dam",
        "lip of the throat: the grease dam",
        "throat.dam",
        at,
        ("fire end", "side"),
        lambda view, u, v: v,
        low=0.0,
        high=0.95 * vessel.inner_radius,
        fixed=state_of(pit, groups=("throat",)),
        text=f"{pit.tape.length(throat.dam)} high",
    )


def _drop(pit: Pit) -> Grip:
    box, vessel, tape = pit.firebox, pit.vessel, pit.tape
    r = vessel.outer_radius
    snaps = (
        Snap(value=r / 2.0, words="half the radius down"),
        Snap(value=0.75 * r, words="three quarters of the radius down"),
        Snap(value=r, words="level with the bottom of the shell"),
    )
    at = ((box.x0 + box.x1) / 2.0, 0.0, box.centre_z)
    return one(
        pit,
        "firebox drop",
        "firebox up and down",
        "firebox.drop",
        at,
        ("side", "fire end"),
        lambda view, u, v: -v,
        low=0.0,
        high=vessel.inner_radius + box.height / 2.0,
        fixed=_box_cut(pit),
        snaps=snaps,
        text=f"{tape.length(box.drop)} under the vessel's centre",
    )


def _length(pit: Pit) -> Grip:
    box, x_end = pit.firebox, pit.base.rail_x0
    snaps = [
        *shares(pit.vessel.length, "seam length", 4)[:2],
        Snap(value=pit.vessel.length / 3.0, words="1/3 of the seam length"),
    ]
    if x_end < box.x1 - 0.3:
        snaps.append(Snap(value=box.x1 - x_end - box.end_plate, words="the rail's end"))
    return outer_end(pit, _box_cut(pit), box.depth_inside, tuple(snaps))


def outer_end(pit: Pit, fixed: str, inside: float, snaps: tuple[Snap, ...] = ()) -> Grip:
    """The firebox by its outer end; `inside` is its length inside [m], `fixed` why it cannot be moved, or empty."""
    box = pit.firebox
    return one(
        pit,
        "firebox length",
        "outer end of the firebox",
        "firebox.length",
        (box.x0, 0.0, box.centre_z),
        ("side", "plan"),
        lambda view, u, v: -x_of(pit, u),
        low=0.1524,
        high=3.65,
        fixed=fixed,
        snaps=snaps,
        text=f"{pit.tape.length(inside)} inside",
    )


def _width(pit: Pit) -> Grip:
    box = pit.firebox
    at = (box.x0, box.width / 2.0, box.centre_z)
    return one(
        pit,
        "firebox width",
        "firebox across" if box.shape == "round" else "firebox width",
        "firebox.width",
        at,
        ("fire end", "plan"),
        lambda view, u, v: 2.0 * y_of(pit, view, u, v),
        low=0.1524,
        high=4.0 * pit.vessel.outer_radius,
        fixed=_box_cut(pit),
        step=pit.job.proportions.firebox.round_to,
    )


def _height(pit: Pit) -> Grip:
    """The box hangs by its roof, unless the shop sets its centre."""
    box = pit.firebox
    hung = pit.job.proportions.firebox.drop is None and "firebox.drop" not in pit.job.override
    return one(
        pit,
        "firebox height",
        "firebox height",
        "firebox.height",
        (box.x0, 0.0, box.centre_z - box.height / 2.0),
        ("fire end",),
        lambda view, u, v: -(1.0 if hung else 2.0) * v,
        low=0.1524,
        high=4.0 * pit.vessel.outer_radius,
        fixed=_box_cut(pit),
        step=pit.job.proportions.firebox.round_to,
    )


def _fire_grate(pit: Pit) -> Grip:
    box = pit.firebox
    at = (box.x0 + box.end_plate + box.grate_length / 2.0, 0.25 * box.grate_width, box.grate_z)
    return one(
        pit,
        "fire grate",
        "fire grate up and down",
        "firebox.fire_grate",
        at,
        ("side", "fire end"),
        lambda view, u, v: v,
        low=0.0254,
        high=0.9 * box.inside_height,
        text=f"{pit.tape.length(box.ash_depth)} over the firebox bottom",
    )


def _baffle(pit: Pit) -> Grip:
    plate = pit.grates.plates[0]
    return one(
        pit,
        "baffle",
        f"{plate.name} up and down",
        "baffle.under_grate",
        (plate.x0 + 0.1 * (plate.x1 - plate.x0), 0.0, plate.z0),
        ("side",),
        lambda view, u, v: -v,
        low=0.0,
        high=2.0 * pit.vessel.inner_radius,
        fixed=state_of(pit, groups=("grates",)),
        text=f"{pit.tape.length(figure(pit, 'baffle.under_grate'))} under the main grate",
    )
