"""What can be taken on the drawings, what a drag of it changes, and what a value typed on a dimension changes.

    handles(pit, view)                        what a view offers, in the order the keyboard walks through it
    drag(pit, id, view, u, v, free=False)     the changes for a place of the pointer [m on the view]
    nudge(pit, id, view, arrow, far=False)    the changes for one key: an arrow is one step of the tape, with Shift
                                              an inch or 10 mm
    typed(pit, name, text)                    the changes for a value typed on a dimension

All are pure. A drag is always worked from the pit that was there when the thing was taken.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final, Literal, get_args

from pitwright.bench.documents import Edit
from pitwright.bench.drawings import View
from pitwright.bench.grips.base import base_grips
from pitwright.bench.grips.doors import door_grips
from pitwright.bench.grips.fire import fire_grips
from pitwright.bench.grips.grates import grate_grips
from pitwright.bench.grips.grip import Dragged, Grip, angle_text, length_text, override, put
from pitwright.bench.grips.legs import leg_grips
from pitwright.bench.grips.running import running_grips
from pitwright.bench.grips.skin import skin_grips
from pitwright.bench.grips.stack import stack_grips
from pitwright.bench.grips.upright import upright_grips
from pitwright.bench.keep import Keep
from pitwright.errors import JobError
from pitwright.layout.model import Pit
from pitwright.reasons import Reason
from pitwright.tape import parse_figure

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


# ---------------------------------------------------------------- typed values


def typed(pit: Pit, name: str, text: str) -> tuple[Edit, ...]:
    """The changes that a value typed on a dimension asks for; an empty text lets the shop's rule stand again.

    Raises JobError where the figure follows from others (it names what to set instead), was measured, or the text
    cannot be read; LayoutError where no such pit can be.
    """
    reason = pit.reasons.get(name)
    if reason is None:
        raise JobError("no figure of this pit has that name", field=name, remedy="Pick it on the drawing.")
    if not isinstance(text, str):
        raise JobError("this is not a value", field=name, value=text, allowed="text as typed")
    if reason.kind == "measured":
        raise JobError(
            "this was measured on the build",
            field=name,
            value=text,
            allowed=_shown(pit, reason),
            remedy="Change what was measured, or take it out.",
        )
    said = text.strip()
    fact = _fact(pit, name, said)
    if fact is not None:
        return fact
    if not said:
        return override(pit, name, None)
    parse_figure(said, reason.measure, system=pit.tape.system, field=name)
    edits = override(pit, name, said)
    _try(pit, reason, edits)
    return edits


def _shown(pit: Pit, reason: Reason) -> str:
    return pit.tape.figure(reason.value, reason.measure)


def _fact(pit: Pit, name: str, said: str) -> tuple[Edit, ...] | None:
    """The changes for a figure that is a stated fact, or that a free figure stands for; None for all others."""
    tape, vessel = pit.tape, pit.vessel

    def read(measure: str = "length") -> float:
        return float(parse_figure(said, measure, system=tape.system, field=name))

    def stated(*path: str | int) -> tuple[Edit, ...]:
        read()
        return (put(*path, value=said),)

    if name in ("order.grate_height", "grates.main grate.height"):
        return stated("order", "grate_height")
    if name in ("vessel.length", "vessel.wall"):
        return stated(*name.split("."))
    if name == "vessel.around" and pit.job.vessel.around is not None:
        return stated("vessel", "around")
    if name in ("vessel.around", "vessel.diameter"):
        raise JobError(
            "this follows from the survey",
            field=name,
            value=said,
            allowed="vessel.around" if pit.job.vessel.around is not None else "vessel.rounds",
            remedy="Change what the tape read.",
        )
    if name == "clock.top_from_seam":
        clock = ("proportions", "clock")
        if not said:
            return (put(*clock, "top_from_seam", value=None), put(*clock, "fire_end", value=None))
        return (*stated(*clock, "top_from_seam"), put(*clock, "fire_end", value=vessel.fire_end))
    if name.startswith("grates.grate ") and name.endswith(".height"):
        order = sorted(range(len(pit.job.order.levels)), key=lambda i: pit.job.order.levels[i].above)
        place = order[int(name.split(" ")[1].split(".")[0]) - 2]
        above = read() - pit.grates.levels[0].z
        return (put("order", "levels", place, "above", value=length_text(tape, above)),)
    if said and name == "drain.station" and "drain.x" in pit.reasons:
        return override(pit, "drain.x", length_text(tape, vessel.x_at(read())))
    if said and name == "firebox.centre":
        return override(pit, "firebox.drop", length_text(tape, vessel.centre_z - read()))
    if said and name.startswith("legs.") and name.endswith(".around"):
        one = next(s for s in pit.leg_sets if s.name == name.split(".")[1])
        contact = one.legs[0].contact + (read() - one.legs[0].around) * one.legs[0].contact / one.legs[0].around
        return override(pit, f"legs.{one.name}.contact", angle_text(contact))
    return None


def _try(pit: Pit, reason: Reason, edits: tuple[Edit, ...]) -> None:
    """Lay the pit out with the value, so that what follows from others is told apart from what the shop may set.

    Raises JobError or LayoutError.
    """
    from pitwright.layout.pit import as_drawn

    left = dict(pit.job.override)
    for edit in edits:
        left.pop(str(edit["path"][1]), None)
        if edit["value"] is not None:
            left[str(edit["path"][1])] = edit["value"]
    try:
        as_drawn(pit.job.model_copy(update={"override": left}))
    except JobError as problem:
        if problem.field == f"override.{reason.name}" and problem.message == "this figure follows from others":
            raise JobError(
                problem.message,
                field=reason.name,
                value=edits[0]["value"],
                allowed=", ".join(reason.rests_on) or "what it rests on",
                remedy="Set one of these instead.",
            ) from problem
        raise
