"""The throat window at full size, with its centre line, hash marks and grease dam."""

from __future__ import annotations

from pitwright.layout.model import Pit
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.templates.record import Template, lettered
from pitwright.sheets.views.common import pit_sketch
from pitwright.sheets.views.throat import diagonal, half_width, hash_heights, window, window_issued

_CLOSE = 0.01  # a hash mark nearer the top than this is left off [m]
_OUT = 0.02  # centre line and dam line stand out of the window by this much [m]


def throat_templates(pit: Pit) -> tuple[Template, ...]:
    """The window where it may be shown."""
    if not window_issued(pit):
        return ()
    tape, throat, box = pit.tape, pit.throat, pit.firebox
    flat = box.joint == "cut" or (pit.vessel.fire_head is not None and pit.vessel.fire_head.kind == "flat")
    where = "throat plate" if box.joint == "cut" else "vessel's fire end"
    dam = tape.length(-throat.bottom)
    how = [
        f"Strike the plumb centre line and the dam line on the {where}: the dam line is {dam} under the spring line. Lay the cross "
        "on them, printed side to the fire. Left and right are alike.",
        f"Check both diagonals, dam corner to top, {tape.fine(diagonal(pit))} each, before cutting.",
        "Cut inside the line: the kerf lies in the window. Leave the line and dress to it.",
        f"Under the dam line the steel stays: it is the grease dam, {tape.length(throat.dam)} over the vessel's inside bottom.",
    ]
    if not flat:
        how.append(
            "The end is dished: this is the window as seen along the vessel, not as paper lies on the dish. Cut it from stiff board, "
            "hold the board plumb and square to the vessel against the dish, and carry points on with a level and a square."
        )
    return (
        Template(
            slug="throat-window",
            name="Throat window, seen from the fire",
            marks=tuple(p.mark for p in pit.parts if p.name in ("throat plate", "fire-end head")),
            drawing=_window(pit),
            how=tuple(how),
            check=("dam corner to top, both ways", tape.fine(diagonal(pit))),
        ),
    )


def _window(pit: Pit) -> Drawing:
    s, tape, throat = pit_sketch(pit), pit.tape, pit.throat
    outline, v0 = window(pit), throat.bottom
    s.outline(outline, "cut")
    foot, half = half_width(outline, v0), throat.widest / 2.0
    s.line((0.0, v0 - _OUT), (0.0, throat.top + _OUT), "centre")
    s.line((-half - _OUT, v0), (-foot, v0), "mark")
    s.line((foot, v0), (half + _OUT, v0), "mark")
    heights = hash_heights(pit)
    for up in (h for h in heights[1:-1] if heights[-1] - h > _CLOSE):
        w = half_width(outline, v0 + up)
        for sign in (-1.0, 1.0):
            s.line((sign * w, v0 + up), (sign * (w - 0.012), v0 + up), "mark")
        s.line((-0.006, v0 + up), (0.006, v0 + up), "mark")
        s.text((0.009, v0 + up), f"{tape.length(up)} up", height=2.6, seat="middle")
        s.text((w - 0.014, v0 + up), tape.length(w), height=2.6, anchor="right", seat="middle")
        s.text((-w + 0.014, v0 + up), tape.length(w), height=2.6, seat="middle")
    s.text((-0.006, v0 + 0.003), "dam line: steel stays below", height=3.0, anchor="right", bold=True)
    s.text((0.006, v0 + 0.003), f"{tape.length(-v0)} under the spring line", height=3.0)
    s.text((0.006, throat.top + 0.004), f"top: {tape.length(-throat.top)} under the spring line", height=2.6)
    lettered(s, [("throat window", 4.0, True), ("seen from the fire", 3.0, False), ("cut inside the line", 3.0, False)],
             -0.5 * half, v0 + 0.62 * (throat.top - v0), 0.4 * half)  # fmt: skip
    return s.drawing()
