"""The firebox: its throat, drop, fire grate and joint with the vessel's end.

Its size is settled in `firebox_size`, its fire grate and the openings of its outer end in `firebox_inside`.
"""

from __future__ import annotations

import dataclasses
import math

import numpy as np

from pitwright.errors import LayoutError
from pitwright.geometry.numeric import find_root
from pitwright.layout.draft import Draft
from pitwright.layout.firebox_inside import lay_out_inside
from pitwright.layout.firebox_size import FLAT_SPARE, FireSizes, Room, size_firebox, throat_area
from pitwright.layout.model import FireboxLayout, GrateLayout, Opening, ThroatLayout, VesselLayout
from pitwright.layout.throat import RECTANGLE, Section, flat_top, lens_drop, opening, widest
from pitwright.meridian import outer_face
from pitwright.parts import Outline
from pitwright.tape import FOOT, INCH

__all__ = [
    "FireSizes",
    "Room",
    "lay_out_firebox",
    "lay_out_throat",
    "size_firebox",
    "throat_opening",
]


def lay_out_throat(
    draft: Draft, vessel: VesselLayout, sizes: FireSizes, grate_above: float, head_depth: float
) -> tuple[ThroatLayout, float]:
    """The throat and the firebox drop that goes with it [m].

    head_depth  how far the throat's plane stands from the girth seam (0 for a plated end)
    Raises LayoutError where firebox and vessel do not overlap, or the wanted area cannot be had.
    """
    rules, fire_rules, ledger, tape = draft.rules.throat, draft.rules.firebox, draft.ledger, draft.tape
    inner = vessel.inner_radius
    wanted = ledger.choose(
        "throat.wanted",
        throat_area(draft, inner),
        "area",
        because="the shop's share of the chamber's section",
        formula="share x pi Ri^2",
        rests_on=("vessel.diameter", "vessel.wall"),
        limits=(6.0 * INCH**2, 0.6 * math.pi * inner**2),
    )
    dam = ledger.choose(
        "throat.dam",
        rules.dam,
        because="grease dam left standing at the bottom of the opening",
        limits=(0.0, inner),
    )
    low = -inner + dam
    shape = rules.shape if not (rules.shape == "lens" and sizes.shape == "box") else "segment"
    stated = None if fire_rules.drop is None else draft.share(fire_rules.drop, vessel.outer_radius, vessel.length)
    if stated is not None or ledger.overridden("firebox.drop"):
        drop = ledger.choose(
            "firebox.drop",
            stated or 0.0,
            because="the shop sets its firebox this far under the vessel's centre",
            limits=(0.0, 20.0 * inner),
        )
    elif sizes.shape == "round":
        share = wanted if shape == "lens" else FLAT_SPARE * wanted
        drop = ledger.choose(
            "firebox.drop",
            lens_drop(draft, inner, sizes.width / 2.0 - sizes.wall, dam, share),
            kind="solved",
            because="the drop at which the throat over the dam has the wanted area",
            formula="lens of two circles less the dam = wanted area",
            rests_on=("throat.wanted", "throat.dam", "firebox.width"),
        )
    else:
        # a box hangs so that its roof stands level with the throat's top line
        top = flat_top(inner, sizes.width - 2.0 * sizes.wall, low, wanted, rules.shape == "rectangle")
        drop = ledger.choose(
            "firebox.drop",
            sizes.height / 2.0 - sizes.wall - top,
            kind="solved",
            because="the box's roof stands level with the throat's top line",
            rests_on=("throat.wanted", "firebox.height"),
        )
    fire = sizes.section(drop)
    if fire.top <= -inner + 1e-6:
        apart = inner + (sizes.height / 2.0 - sizes.wall)
        what = "circles part" if sizes.shape == "round" else "they part"
        raise LayoutError(
            f"firebox does not touch the vessel at a drop of {tape.length(drop)}: {what} at {tape.length(apart)}. "
            "There is no opening",
            field="override.firebox.drop" if ledger.overridden("firebox.drop") else "proportions.firebox.drop",
            value=tape.length(drop),
            allowed=f"under {tape.length(apart)}",
            remedy="Raise the firebox.",
        )
    gross = opening(inner, fire, -math.inf, math.inf)
    width = math.inf
    top = fire.top
    if shape != "lens":
        top, width = _flat_top(draft, inner, fire, low, wanted, shape)
    outline = opening(inner, fire, low, top, width)
    if outline is None or gross is None:
        raise LayoutError(
            "the grease dam closes the whole throat",
            field="proportions.throat.dam",
            value=tape.length(dam),
            allowed=f"under {tape.length(max(fire.top + inner, 0.0))}",
            remedy="Lower the dam or raise the firebox.",
        )
    net = outline.area
    ledger.note(
        "throat.net",
        net,
        "area",
        because="open area over the dam",
        formula="exact area of the outline",
        rests_on=("firebox.drop", "throat.dam", "firebox.width", "vessel.diameter"),
    )
    wide, wide_at = widest(outline)
    _, v0, _, v1 = outline.bounds()
    if abs(net / wanted - 1.0) > 0.02:
        draft.find(
            "throat.area",
            "warn" if net < wanted else "note",
            f"The throat opens {tape.small_area(net)}; the shop's share asks for {tape.small_area(wanted)}.",
            remedy="Leave the drop blank and it is solved for that area.",
        )
    if v1 > grate_above - rules.under_grate + 1e-6:
        draft.find(
            "throat.over_grate",
            "warn",
            f"The throat's top is {tape.length(grate_above - v1)} under the main grate; the shop wants "
            f"{tape.length(rules.under_grate)}: the fire end will scorch.",
            remedy=f"Lower the firebox by {tape.length(v1 - grate_above + rules.under_grate)} or fit a deflector plate.",
            clearance=grate_above - v1,
        )
    return ThroatLayout(
        shape=shape,
        points=outline.points,
        bulges=outline.bulges,
        gross_area=gross.area,
        net_area=net,
        wanted_area=wanted,
        dam=dam,
        bottom=v0,
        top=v1,
        widest=wide,
        widest_at=wide_at,
        plate_x=-head_depth,
        plate_thickness=rules.plate,
        perimeter=outline.perimeter,
    ), drop


def _flat_top(draft: Draft, inner: float, fire: Section, low: float, wanted: float, shape: str) -> tuple[float, float]:
    """(top line, width limit) of a segment or rectangle for the wanted area, as near as the firebox allows [m]."""
    width = math.inf
    if shape == "rectangle":
        width = draft.ledger.choose(
            "throat.width",
            RECTANGLE * inner,
            because="a rectangle this wide clears the firebox corners",
            rests_on=("vessel.diameter", "vessel.wall"),
            limits=(2.0 * INCH, 2.0 * inner),
        )

    def area_at(top: float) -> float:
        found = opening(inner, fire, low, top, width)
        return 0.0 if found is None else found.area

    high = min(fire.top, inner)
    if area_at(high) <= wanted:
        return high, width
    return find_root(lambda top: area_at(top) - wanted, low, high, field="proportions.throat.share"), width


def lay_out_firebox(
    draft: Draft, vessel: VesselLayout, sizes: FireSizes, throat: ThroatLayout, drop: float, grates: GrateLayout
) -> FireboxLayout:
    """Length, fire grate, doors and inlets; what stands against them is a finding."""
    rules, ledger, tape = draft.rules.firebox, draft.ledger, draft.tape
    long = draft.share(rules.length, vessel.outer_radius, vessel.length)
    taken = min(long, rules.longest) if rules.length.of else long
    inside = ledger.choose(
        "firebox.length",
        taken,
        because=f"inside length: {rules.length.text} of the vessel" if rules.length.of else "the shop's inside length",
        rests_on=("vessel.length",) if rules.length.of else (),
        gave_way=f"{tape.length(long)}: longer than a log and an arm reach" if taken < long else "",
        limits=(6.0 * INCH, 12.0 * FOOT),
    )
    if not 6.0 * INCH <= inside <= 12.0 * FOOT:
        raise LayoutError(
            f"a firebox {tape.length(inside)} long inside is no firebox",
            field="proportions.firebox.length",
            value=rules.length.text,
            allowed=f"{tape.length(6.0 * INCH)} to {tape.length(12.0 * FOOT)}",
            remedy="Type a length, or a share such as 0.36 seam length.",
        )
    centre_z = vessel.centre_z - drop
    ledger.note(
        "firebox.centre",
        centre_z,
        because="vessel centre less the drop",
        rests_on=("firebox.drop", "grates.below_centre"),
    )
    joint = rules.joint
    x1 = vessel.fire_tangent if joint == "dished" else -_plate_out(vessel, throat, joint)
    if joint == "dished" and vessel.fire_head is not None and vessel.fire_head.kind == "torispherical":
        draft.find(
            "firebox.cope_head",
            "warn",
            "The firebox end is coped to an ellipsoid of the head's depth; a torispherical head departs from it at the knuckle.",
            remedy='Cut it long, offer it up and scribe, or cut the head off (joint = "cut").',
        )
    box = lay_out_inside(draft, vessel, sizes, inside=inside, x1=x1, drop=drop, joint=joint)
    outer = sizes.height / 2.0 + (rules.double_wall + rules.outer_skin if rules.double_wall else 0.0)
    low = centre_z - outer
    if low < rules.floor_clear - 1e-6:
        lowest = rules.floor_clear + outer + drop - (vessel.centre_z - draft.job.order.grate_height)
        draft.find(
            "firebox.floor",
            "stop" if low < -1e-6 else "warn",
            f"The firebox bottom {'stands' if low >= -1e-6 else 'reaches'} {tape.length(abs(low))} "
            f"{'over' if low >= -1e-6 else 'below'} the floor; the shop wants {tape.length(rules.floor_clear)} clear.",
            remedy=f"With this drop ({tape.length(drop)}) the lowest grate is {tape.length(lowest)}; or choose a smaller firebox.",
            clearance=low,
        )
    _under_the_plate(draft, vessel, throat, grates)
    return dataclasses.replace(
        box,
        double_gap=rules.double_wall,
        outer_skin=rules.outer_skin if rules.double_wall else 0.0,
        grate_length=box.grate_length - _head_over(vessel, joint, box.grate_z),
    )


def _head_over(vessel: VesselLayout, joint: str, z: float) -> float:
    """How far a dished end stands out into the firebox at a height over the floor [m]; fire grate bars stop short of it."""
    head, rho = vessel.fire_head, abs(z - vessel.centre_z)
    if joint != "dished" or head is None or rho >= head.outer_radius:
        return 0.0
    return float(outer_face(head, np.array([rho]))[0])


def _under_the_plate(draft: Draft, vessel: VesselLayout, throat: ThroatLayout, grates: GrateLayout) -> None:
    """The fire has to enter under the baffle or the tuning plates."""
    if not grates.plates:
        return
    plate = grates.plates[0]
    room = plate.z0 - plate.thickness - vessel.centre_z - throat.top
    if room >= -1e-9:
        return
    baffle = grates.return_area > 0.0
    draft.find(
        "throat.over_baffle",
        "stop" if baffle else "warn",
        f"The throat's top stands {draft.tape.length(-room)} over the underside of the {plate.name}: "
        + ("smoke goes straight up to the stack." if baffle else "fire goes over the plates, not under them."),
        pieces=("throat", plate.name),
        clearance=room,
        remedy=f"Lower the firebox, or set the plate {draft.tape.length(-room)} nearer the grate.",
    )


def _plate_out(vessel: VesselLayout, throat: ThroatLayout, joint: str) -> float:
    """How far the plated vessel end stands out from the girth seam [m]."""
    if joint == "flat" and vessel.fire_head is not None and vessel.fire_head.kind == "flat":
        return vessel.fire_head.depth
    return throat.plate_thickness


def throat_opening(throat: ThroatLayout) -> Opening:
    """The throat as an opening in the vessel's fire end, (y, v) points."""
    outline = Outline(throat.points, throat.bulges)
    return Opening(name="throat", on="fire plate", outline=outline.flattened(1e-4), area=throat.net_area)
