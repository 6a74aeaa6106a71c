"""What can be taken on the drawings, what a drag of it changes, and what a value typed on a dimension changes.

    handles(pit, view)                        what a view offers, in the order the keyboard walks through it
    drag(pit, id, view, u, v, free=False)     the changes for a place of the pointer [m on the view]
    nudge(pit, id, view, arrow, far=False)    the changes for one key: an arrow is one step of the tape, with Shift
                                              an inch or 10 mm
    typed(pit, name, text, shown)             the changes for a value typed on a dimension that showed something

All are pure. A drag is always worked from the pit that was there when the thing was taken.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final, Literal, get_args

from pitwright.bench.drawings import View
from pitwright.bench.grips.base import base_grips
from pitwright.bench.grips.doors import door_grips
from pitwright.bench.grips.fire import fire_grips
from pitwright.bench.grips.grates import grate_grips
from pitwright.bench.grips.grip import Dragged, Grip
from pitwright.bench.grips.legs import leg_grips
from pitwright.bench.grips.running import running_grips
from pitwright.bench.grips.skin import skin_grips
from pitwright.bench.grips.stack import stack_grips
from pitwright.bench.grips.upright import upright_grips
from pitwright.bench.keep import Keep
from pitwright.bench.readings import typed
from pitwright.errors import JobError
from pitwright.layout.model import Pit

__all__ = ["Dragged", "Grip", "drag", "grip", "grips", "handles", "nudge", "typed"]

Arrow = Literal["left", "right", "up", "down"]
ARROWS: Final[tuple[Arrow, ...]] = get_args(Arrow)
_WAYS: Final = {"left": (-1.0, 0.0), "right": (1.0, 0.0), "up": (0.0, 1.0), "down": (0.0, -1.0)}
_DULL: Final = 0.2  # an arrow along which a figure changes less than this share of its best way does nothing
_known: Keep[tuple[Grip, ...]] = Keep(8)


def grips(pit: Pit) -> tuple[Grip, ...]:
    """Everything that can be taken, in the order a pit is thought out: grates, doors, fire end, stack, what it stands on."""
    return _known.made(pit, lambda: tuple(_made(pit)))


def _made(pit: Pit) -> Iterator[Grip]:
    if pit.upright is not None:
        yield from upright_grips(pit)
        return
    for some in (grate_grips, door_grips, fire_grips, stack_grips, leg_grips, base_grips, running_grips, skin_grips):
        yield from some(pit)


def grip(pit: Pit, handle_id: str) -> Grip:
    """The grip of an id.

    Raises JobError where this pit has no such thing.
    """
    for one in grips(pit):
        if one.id == handle_id:
            return one
    raise JobError(
        "there is nothing of that name to take",
        field="handle",
        value=handle_id,
        allowed=", ".join(g.id for g in grips(pit)),
        remedy="The pit has changed: take hold again.",
    )


def handles(pit: Pit, view: View, *, keys: bool = True) -> list[dict[str, Any]]:
    """What a view offers, as the page takes it.

    keys  with `arrows`: for each arrow key the places that stand for one step and for one big step, to be dragged to
          with `free`; left out while a hand moves
    """
    return [_as_json(pit, one, view, keys) for one in grips(pit) if view in one.places]


def _as_json(pit: Pit, one: Grip, view: View, keys: bool) -> dict[str, Any]:
    tape = pit.tape
    u, v = one.places[view]
    small, big = (
        ("1/2°", "5°") if one.step and one.measure == "angle" else (tape.length(tape.step), "1" if tape.inch else "10")
    )
    if one.step:
        small = tape.figure(one.step, one.measure)
        big = tape.figure(one.great(tape), one.measure)
    return {
        "id": one.id,
        "label": one.label,
        "at": [round(u, 5), round(v, 5)],
        "moves": one.moves(view),
        "text": one.text,
        "name": one.name if one.name in pit.reasons else "",
        "fixed": one.fixed or None,
        "keys": f"arrows move it by {small} (Shift: {big})" if not one.fixed else "",
        "step": _reach(one, view, one.least(tape)),
        "big_step": _reach(one, view, one.great(tape)),
        "arrows": _arrows(pit, one, view) if keys and not one.fixed else {},
    }  # fmt: skip


def _reach(one: Grip, view: View, change: float) -> float:
    """How far a grip goes on a view for a change of its figure [m]."""
    du, dv = one.slope(view)
    steep = (du * du + dv * dv) ** 0.5
    return round(change / steep, 6) if steep > 1e-9 else change


def _arrows(pit: Pit, one: Grip, view: View) -> dict[str, list[list[float]]]:
    out: dict[str, list[list[float]]] = {}
    for arrow in ARROWS:
        way = _sign(one, view, arrow)
        if way:
            steps = (one.least(pit.tape), one.great(pit.tape))
            places = [one.place_for(view, one.value + way * step) for step in steps]
            out[arrow] = [[round(u, 6), round(v, 6)] for u, v in places]
    return out


def _sign(one: Grip, view: View, arrow: Arrow) -> float:
    """Which way an arrow takes the figure: +1, -1, or 0 where it does nothing."""
    du, dv = one.slope(view)
    wu, wv = _WAYS[arrow]
    rise = du * wu + dv * wv
    steep = (du * du + dv * dv) ** 0.5
    if steep == 0.0 or abs(rise) < _DULL * steep:
        return 0.0
    return 1.0 if rise > 0.0 else -1.0


def _on(one: Grip, view: View) -> None:
    if view not in one.places:
        raise JobError(
            "that stands on another view", field="view", value=view, allowed=", ".join(one.places), remedy="Go there."
        )


def drag(pit: Pit, handle_id: str, view: View, u: float, v: float, *, free: bool = False) -> Dragged:
    """The changes a drag to a place of a view asks for [m on the view].

    free  snap to the tape's step alone
    Raises JobError where there is no such thing, or it is cut, tacked, welded or measured.
    """
    one = grip(pit, handle_id)
    _on(one, view)
    if not (abs(u) < 1e3 and abs(v) < 1e3):
        raise JobError("that lies off the drawing", field="u, v", value=(u, v), remedy="Take hold again.")
    return one.taken_to(view, u, v, pit.tape, free=free)


def nudge(pit: Pit, handle_id: str, view: View, arrow: Arrow, *, far: bool = False) -> Dragged:
    """The changes one arrow key asks for: a step of the tape, or an inch (10 mm) with `far`; nothing snaps.

    Raises JobError as `drag` does.
    """
    one = grip(pit, handle_id)
    _on(one, view)
    one.refuse()
    way = _sign(one, view, arrow)
    step = one.great(pit.tape) if far else one.least(pit.tape)
    return one.set_to(one.value + way * step, pit.tape, free=True)
