"""What lies in the firebox: the fire grate's bars on their bearers, and the ash tray under them."""

from __future__ import annotations

import math

from pitwright.layout.draft import Draft
from pitwright.layout.model import FireboxLayout
from pitwright.layout.place import across_pit
from pitwright.layout.throat import FireRound
from pitwright.parts import Bar, Bought, Placement
from pitwright.stock import STEEL_DENSITY, find_profile
from pitwright.tape import INCH


def fire_grate_parts(draft: Draft, box: FireboxLayout) -> None:
    """Bars along the firebox on two cross bearers, and an ash tray on the bottom."""
    rules = draft.rules.firebox
    bar = find_profile(rules.fire_grate, field="proportions.firebox.fire_grate")
    pitch = bar.height + rules.fire_grate_gap
    count = max(2, int((box.grate_width + rules.fire_grate_gap) // pitch))
    x0 = box.x0 + box.end_plate + 0.25 * INCH
    span = (count - 1) * pitch
    draft.add(
        "F",
        "fire grate bar",
        "firebox",
        Bar.square(bar, box.grate_length),
        [Placement(origin=(x0, -span / 2.0 + i * pitch, box.grate_z - bar.height / 2.0)) for i in range(count)],
        bar.designation,
        notes=("loose: it grows; leave it free at one end",),
    )
    bearer = find_profile("1-1/2 x 1-1/2 x 3/16 angle", field="fire grate bearer")
    inner = box.inside_width / 2.0
    z_top = box.grate_z - bar.height
    if box.shape == "round":
        section = FireRound(radius=inner, drop=0.0)
        half = min(section.half_width(z_top - box.centre_z), section.half_width(z_top - bearer.height - box.centre_z))
    else:
        half = inner
    length = 2.0 * half - 0.125 * INCH
    draft.add(
        "F",
        "fire grate bearer",
        "firebox",
        Bar.square(bearer, length),
        [
            across_pit(x0 + box.grate_length * f, -length / 2.0, length / 2.0, z_top - bearer.height / 2.0)
            for f in (0.12, 0.88)
        ],
        bearer.designation,
    )
    tray_w = min(box.grate_width, 1.2 * inner) * 0.8
    depth = 1.5 * INCH
    sheet = 0.1046 * INCH  # 12 gauge
    area = tray_w * box.grate_length * 0.95 + 2.0 * depth * (tray_w + box.grate_length * 0.95)
    draft.add(
        "F",
        "ash tray",
        "firebox",
        Bought(
            mass=area * sheet * STEEL_DENSITY,
            size=(box.grate_length * 0.95, tray_w, depth),
            centre=(box.grate_length * 0.475, 0.0, depth / 2.0),
        ),
        Placement(origin=(x0, 0.0, _tray_z(box, tray_w))),
        "12 gauge sheet, folded",
        assumed=True,
        moving="ash tray",
    )


def _tray_z(box: FireboxLayout, tray_w: float) -> float:
    """Where a tray of this width comes to rest on the firebox bottom [m]."""
    if box.shape == "box":
        return box.centre_z - box.inside_height / 2.0
    r = box.inside_width / 2.0
    return box.centre_z - math.sqrt(max(r * r - tray_w * tray_w / 4.0, 0.0))
