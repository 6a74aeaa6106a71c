"""Plates under the main grate: tuning plates, or the full baffle of a reverse-flow pit and its return passage."""

from __future__ import annotations

import math

from pitwright.errors import LayoutError
from pitwright.geometry.round import chord_at
from pitwright.layout.draft import Draft
from pitwright.layout.model import BafflePlate, GrateLevel, VesselLayout
from pitwright.layout.place import bar_along, tilted_along
from pitwright.parts import Bar, Outline, Placement, Plate
from pitwright.stock import find_profile
from pitwright.tape import INCH


def lay_out_baffle(
    draft: Draft, vessel: VesselLayout, main: GrateLevel, grate_depth: float, throat_top: float = -math.inf
) -> tuple[tuple[BafflePlate, ...], float]:
    """Tuning plates, or the baffle of a reverse-flow pit, and the return passage at its far end [m2].

    grate_depth  from the top of the main grate to the underside of its ledges [m]
    throat_top   highest point of the throat over the vessel's centre, which the plate has to keep over [m]
    Raises LayoutError where no plate fits.
    """
    rules, ledger = draft.rules.baffle, draft.ledger
    reverse = draft.job.order.flow == "reverse"
    kind = "baffle" if reverse else rules.kind
    if kind == "none":
        return (), 0.0
    inner = vessel.inner_radius
    under_shop = rules.under_grate
    if under_shop < grate_depth:
        raise LayoutError(
            f"a plate {draft.tape.length(under_shop)} under the main grate lies in its frame and ledges",
            field="proportions.baffle.under_grate",
            value=draft.tape.length(under_shop),
            allowed=f"{draft.tape.length(grate_depth)} or more",
            remedy="Set it lower, or take lower frames and ledges.",
        )
    over_throat = main.above_centre - rules.thickness - throat_top
    taken = max(min(under_shop, over_throat), grate_depth)
    top = ledger.choose(
        "baffle.under_grate",
        taken,
        because="plate this far under the main grate",
        rests_on=("firebox.drop",) if taken < under_shop else (),
        gave_way=f"the shop's {draft.tape.length(under_shop)}: the fire would come in over the plate"
        if taken < under_shop
        else "",
        limits=(grate_depth, 2.0 * inner),
    )
    z0 = main.z - top
    ledge = find_profile(draft.rules.grates.support, field="proportions.grates.support")
    fall = rules.slope * vessel.length
    lowest = z0 - fall - rules.thickness - ledge.height - vessel.centre_z  # bottom of the ledges at the low end
    if lowest <= -0.97 * inner:
        raise LayoutError(
            f"the plate, its fall and its ledges reach {draft.tape.length(-lowest)} under the centre line",
            field="proportions.baffle.under_grate",
            value=draft.tape.length(top),
            allowed=f"up to {draft.tape.length(max(top + lowest + 0.97 * inner, 0.0))} with this fall",
            remedy="Bring it nearer the grate, or give it less slope.",
        )
    section = math.pi * inner**2
    gap_x = rules.end_gap
    passage = 0.0
    if kind == "baffle":
        chord = chord_at(inner, z0 - vessel.centre_z)
        passage = rules.return_share * section
        gap_x = ledger.choose(
            "baffle.return_gap",
            passage / chord,
            because="return passage at the far end: its share of the chamber section",
            formula="gap = share x section / chord at the plate",
            rests_on=("vessel.diameter", "vessel.wall", "baffle.under_grate"),
            limits=(0.0, 0.5 * vessel.length),
        )
        passage = gap_x * chord
        if gap_x > 0.35 * vessel.length:
            draft.find(
                "baffle.short",
                "warn",
                f"The return passage takes {draft.tape.length(gap_x)} of a {draft.tape.length(vessel.length)} vessel.",
                remedy="Lower baffle.return_share, or set the plate nearer the centre.",
            )
    x0, x1 = rules.end_gap, vessel.length - gap_x
    count = 1 if kind == "baffle" else rules.plates
    gap = 0.0 if kind == "baffle" else rules.gap
    length = (x1 - x0 - gap * (count - 1)) / count
    if length < 2.0 * INCH:
        raise LayoutError(
            f"{count} plate{'s' if count > 1 else ''} in this vessel would be {draft.tape.length(max(length, 0.0))} long",
            field="proportions.baffle.plates" if count > 1 else "proportions.baffle.return_share",
            value=count if count > 1 else f"{rules.return_share:.2f}",
            allowed=f"plates of {draft.tape.length(2.0 * INCH)} or more",
            remedy="Take fewer plates, or a smaller return passage.",
        )
    z_end = z0 - rules.slope * (x1 - x0)
    low_chord = chord_at(inner, z_end - rules.thickness - vessel.centre_z)
    width = min(chord_at(inner, z0 - vessel.centre_z), low_chord) - 2.0 * draft.rules.grates.side_clear
    ledger.note(
        "baffle.width",
        width,
        because="chord at the low end of the plate less clearance each side",
        rests_on=("vessel.diameter", "vessel.wall", "baffle.under_grate"),
    )
    angle = math.atan(rules.slope)
    plates = []
    for i in range(count):
        a = x0 + i * (length + gap)
        b = a + length
        plates.append(
            BafflePlate(
                name="baffle" if kind == "baffle" else f"tuning plate {i + 1}",
                x0=a,
                x1=b,
                z0=z0 - rules.slope * (a - x0),
                z1=z0 - rules.slope * (b - x0),
                width=width,
                thickness=rules.thickness,
            )
        )
    run = length / math.cos(angle)
    draft.add(
        "B",
        "baffle" if kind == "baffle" else "tuning plate",
        "grates",
        Plate(outline=Outline.rectangle(0.0, 0.0, run, width), thickness=rules.thickness),
        [
            tilted_along(
                p.x0 - rules.thickness * math.sin(angle),
                -width / 2.0,
                p.z0 - rules.thickness * math.cos(angle),
                angle,
                p.name,
            )
            for p in plates
        ],
        draft.plate(rules.thickness),
        notes=("lies loose on its ledges: do not weld, it grows",)
        if kind != "baffle"
        else ("seal weld the sides only after fit-up",),
    )
    drop = z_end - rules.thickness - ledge.height - vessel.centre_z
    y = chord_at(inner, drop) / 2.0 - ledge.width / 2.0 - 1e-4
    y = min(y, width / 2.0 - ledge.width / 2.0 + draft.rules.grates.side_clear)
    slope_length = (x1 - x0) / math.cos(angle)
    under = rules.thickness + ledge.height / 2.0
    draft.add(
        "B",
        "plate ledge",
        "grates",
        Bar.square(ledge, slope_length),
        [
            _fallen_ledge(
                x0 - under * math.sin(angle), z0 - under * math.cos(angle), slope_length, side * y, angle, side
            )
            for side in (1, -1)
        ],
        ledge.designation,
    )
    return tuple(plates), passage


def _fallen_ledge(x: float, z: float, length: float, y: float, fall: float, side: int) -> Placement:
    """An angle under a falling plate, heel up and out."""
    dx, dz = length * math.cos(fall), -length * math.sin(fall)
    high, low = (x, y, z), (x + dx, y, z + dz)
    start, finish = (low, high) if side > 0 else (high, low)
    return bar_along(start, finish, (-math.sin(fall), 0.0, -math.cos(fall)))
