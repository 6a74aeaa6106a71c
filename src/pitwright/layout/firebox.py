"""The firebox: its size, drop, throat, fire grate, doors and inlets, and its joint with the vessel's end."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.errors import LayoutError
from pitwright.layout.draft import Draft
from pitwright.layout.model import FireboxLayout, GrateLayout, Opening, ThroatLayout, VesselLayout
from pitwright.layout.throat import FireBox, FireRound, Section, lens_drop, opening, solve_increasing, widest
from pitwright.parts import Outline
from pitwright.tape import INCH

DOOR_EDGE = 1.0 * INCH  # steel left round a door opening in the end plate
DOOR_GAP = 1.5 * INCH  # between fire door and ash door openings
WEDGE_DOOR = 0.5 * INCH


@dataclass(frozen=True, slots=True, kw_only=True)
class FireSizes:
    """Outside sizes of the firebox before its drop is known [m]."""

    shape: str
    width: float
    height: float
    wall: float

    def section(self, drop: float) -> Section:
        """Its inside in the end view, at a drop."""
        if self.shape == "round":
            return FireRound(radius=self.width / 2.0 - self.wall, drop=drop)
        return FireBox(width=self.width - 2.0 * self.wall, height=self.height - 2.0 * self.wall, drop=drop)


def size_firebox(draft: Draft, radius: float, length: float) -> FireSizes:
    """Outside sizes from the shop's share, in the steps one can buy."""
    rules, ledger = draft.rules.firebox, draft.ledger

    def stepped(name: str, wanted: float, because: str) -> float:
        size = max(round(wanted / rules.round_to), 1) * rules.round_to
        return ledger.choose(name, size, because=f"{because}, in steps of {draft.tape.length(rules.round_to)}")

    width = stepped("firebox.width", draft.share(rules.size, radius, length), f"{rules.size.text} of the vessel")
    if rules.shape == "round":
        return FireSizes(shape="round", width=width, height=width, wall=rules.wall)
    tall = width if rules.height is None else draft.share(rules.height, radius, length)
    height = stepped("firebox.height", tall, "as the shop builds its boxes")
    return FireSizes(shape="box", width=width, height=height, wall=rules.wall)


def lay_out_throat(
    draft: Draft, vessel: VesselLayout, sizes: FireSizes, grate_above: float, head_depth: float
) -> tuple[ThroatLayout, float]:
    """The throat and the firebox drop that goes with it [m].

    head_depth  how far the throat's plane stands from the girth seam (0 for a plated end)
    Raises LayoutError where firebox and vessel do not overlap, or the wanted area cannot be had.
    """
    rules, fire_rules, ledger, tape = draft.rules.throat, draft.rules.firebox, draft.ledger, draft.tape
    inner = vessel.inner_radius
    section_area = math.pi * inner**2
    wanted = ledger.choose(
        "throat.wanted",
        rules.share * section_area,
        "area",
        because="the shop's share of the chamber's section",
        formula="share x pi Ri^2",
        rests_on=("vessel.diameter", "vessel.wall"),
    )
    dam = ledger.choose("throat.dam", rules.dam, because="grease dam left standing at the bottom of the opening")
    low = -inner + dam
    shape = rules.shape if not (rules.shape == "lens" and sizes.shape == "box") else "segment"
    stated = None if fire_rules.drop is None else draft.share(fire_rules.drop, vessel.outer_radius, vessel.length)
    if stated is not None or ledger.overridden("firebox.drop"):
        drop = ledger.choose(
            "firebox.drop", stated or 0.0, because="the shop sets its firebox this far under the vessel's centre"
        )
    elif sizes.shape == "round":
        share = wanted if shape == "lens" else 1.25 * wanted
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
        top = _top_for(inner, sizes, low, wanted, rules.shape == "rectangle")
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
        raise LayoutError(
            f"firebox does not touch the vessel: at a drop of {tape.length(drop)} their insides part "
            f"(they meet up to {tape.length(apart)}). There is no opening",
            field="proportions.firebox.drop",
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


def _top_for(inner: float, sizes: FireSizes, low: float, wanted: float, rectangle: bool) -> float:
    """Top line of a segment (or rectangle) as wide as a box allows, for an area [m]."""
    tall = FireBox(width=sizes.width - 2.0 * sizes.wall, height=4.0 * inner, drop=0.0)
    width = 1.2 * inner if rectangle else math.inf

    def area_at(top: float) -> float:
        found = opening(inner, tall, low, top, width)
        return 0.0 if found is None else found.area

    return solve_increasing(area_at, low, inner, min(wanted, 0.98 * area_at(inner)))


def _flat_top(draft: Draft, inner: float, fire: Section, low: float, wanted: float, shape: str) -> tuple[float, float]:
    """(top line, width limit) of a segment or rectangle for the wanted area, as near as the firebox allows [m]."""
    width = math.inf
    if shape == "rectangle":
        width = draft.ledger.choose(
            "throat.width", 1.2 * inner, because="a rectangle this wide clears the firebox corners"
        )

    def area_at(top: float) -> float:
        found = opening(inner, fire, low, top, width)
        return 0.0 if found is None else found.area

    high = min(fire.top, inner)
    if area_at(high) <= wanted:
        return high, width
    return solve_increasing(area_at, low, high, wanted), width


def lay_out_firebox(
    draft: Draft, vessel: VesselLayout, sizes: FireSizes, throat: ThroatLayout, drop: float, grates: GrateLayout
) -> FireboxLayout:
    """Length, fire grate, doors and inlets; what stands against them is a finding."""
    rules, ledger, tape = draft.rules.firebox, draft.ledger, draft.tape
    inside = ledger.choose(
        "firebox.length",
        draft.share(rules.length, vessel.outer_radius, vessel.length),
        because="inside length: split length and the shop's share of the vessel",
    )
    centre_z = vessel.centre_z - drop
    ledger.note(
        "firebox.centre",
        centre_z,
        because="vessel centre less the drop",
        rests_on=("firebox.drop", "grates.below_centre"),
    )
    joint = rules.joint
    x1 = 0.0 if joint == "dished" else -_plate_out(vessel, throat, joint)
    x0 = x1 - inside - rules.end_plate
    bottom_inside = centre_z - sizes.height / 2.0 + sizes.wall
    up = draft.share(rules.fire_grate_up, sizes.width / 2.0, vessel.length)
    ash = rules.ash_height
    grate_up = ledger.choose(
        "firebox.fire_grate", max(up, ash), because="fire grate over the inside bottom: ash room and air under the fire"
    )
    grate_z = bottom_inside + grate_up
    section = sizes.section(drop)
    half = section.half_width(grate_z - vessel.centre_z)
    if half <= 0.0:
        raise LayoutError(
            "the fire grate would lie over the firebox",
            field="proportions.firebox.fire_grate_up",
            value=tape.length(grate_up),
            allowed=f"under {tape.length(sizes.height - 2 * sizes.wall)}",
            remedy="Lower the fire grate.",
        )
    door_w, door_h, ash_h, door_z, ash_z = _doors(draft, section, vessel.centre_z, grate_z, grate_up)
    inlet_wanted = ledger.choose(
        "firebox.inlet_area",
        rules.inlet_share * math.pi * vessel.inner_radius**2,
        "area",
        because="open inlets: the shop's share of the chamber's section",
        rests_on=("vessel.diameter",),
    )
    iw, ih, iz, area = _inlets(
        draft, section, vessel.centre_z, inlet_wanted, door_w, ash_h, ash_z, grate_z, bottom_inside
    )
    outer = sizes.height / 2.0 + (rules.double_wall + rules.outer_skin if rules.double_wall else 0.0)
    low = centre_z - outer
    if low < rules.floor_clear:
        lowest = rules.floor_clear + outer + drop - (vessel.centre_z - draft.job.order.grate_height)
        draft.find(
            "firebox.floor",
            "stop" if low < 0.0 else "warn",
            f"The firebox bottom stands {tape.length(low)} over the floor; the shop wants {tape.length(rules.floor_clear)}.",
            remedy=f"With this drop ({tape.length(drop)}) the lowest grate is {tape.length(lowest)}; or choose a smaller firebox.",
            clearance=low,
        )
    return FireboxLayout(
        shape=rules.shape,
        width=sizes.width,
        height=sizes.height,
        wall=sizes.wall,
        end_plate=rules.end_plate,
        double_gap=rules.double_wall,
        outer_skin=rules.outer_skin if rules.double_wall else 0.0,
        x0=x0,
        x1=x1,
        drop=drop,
        centre_z=centre_z,
        joint=joint,
        grate_z=grate_z,
        grate_width=2.0 * half - 0.5 * INCH,
        grate_length=inside - 0.5 * INCH,
        ash_depth=grate_up,
        door_width=door_w,
        door_height=door_h,
        door_z=door_z,
        ash_height=ash_h,
        inlets=rules.inlets,
        inlet_area=area,
        inlet_width=iw,
        inlet_height=ih,
        inlet_z=iz,
    )


def _plate_out(vessel: VesselLayout, throat: ThroatLayout, joint: str) -> float:
    """How far the plated vessel end stands out from the girth seam [m]."""
    if joint == "flat" and vessel.fire_head is not None and vessel.fire_head.kind == "flat":
        return vessel.fire_head.wall + vessel.fire_head.flange
    return throat.plate_thickness


def _doors(
    draft: Draft, section: Section, centre_z: float, grate_z: float, grate_up: float
) -> tuple[float, float, float, float, float]:
    """(width, height, ash height, fire door sill z, ash sill z): the shop's sizes, taken in where the end is too small."""
    rules, ledger, tape = draft.rules.firebox, draft.ledger, draft.tape
    sill = grate_z + WEDGE_DOOR
    roof = centre_z + section.top - DOOR_EDGE
    height = min(rules.door_height, roof - sill)
    if height < 3.0 * INCH:
        raise LayoutError(
            f"no room for a fire door over the fire grate ({tape.length(max(height, 0.0))} left)",
            field="proportions.firebox.size",
            value=tape.length(section.top - section.bottom),
            allowed="a firebox that leaves at least 3 in",
            remedy="Choose a larger firebox or a lower fire grate.",
        )

    def room(z0: float, z1: float) -> float:
        return 2.0 * (min(section.half_width(z0 - centre_z), section.half_width(z1 - centre_z)) - DOOR_EDGE)

    width = min(rules.door_width, room(sill, sill + height))
    while width < 0.6 * rules.door_width and height > 4.0 * INCH:
        height -= 0.5 * INCH
        width = min(rules.door_width, room(sill, sill + height))
    gave = ""
    if width < rules.door_width - 1e-6 or height < rules.door_height - 1e-6:
        gave = f"the shop's {tape.length(rules.door_width)} x {tape.length(rules.door_height)} does not fit this firebox end"
    width = ledger.choose("firebox.door_width", width, because="fire door opening", gave_way=gave)
    height = ledger.choose("firebox.door_height", height, because="fire door opening", gave_way=gave)
    ash_z, ash = _ash_door(section, centre_z, grate_z - grate_up, sill - DOOR_GAP, rules.ash_height)
    return width, height, ash, sill, ash_z


def _ash_door(section: Section, centre_z: float, bottom: float, top: float, tallest: float) -> tuple[float, float]:
    """(sill z, height) of the ash door that opens the largest area under the fire door; height 0 where none fits [m]."""
    best = (bottom, 0.0)
    area = 0.0
    for i in range(40):
        sill = bottom + 0.25 * INCH + i / 40.0 * (top - bottom)
        height = min(tallest, top - sill)
        if height < 1.0 * INCH:
            break
        half = min(section.half_width(sill - centre_z), section.half_width(sill + height - centre_z)) - DOOR_EDGE
        if half * height > area and half > 1.5 * INCH:
            best, area = (sill, height), half * height
    return best


def _inlets(
    draft: Draft,
    section: Section,
    centre_z: float,
    wanted: float,
    door_w: float,
    ash_h: float,
    ash_z: float,
    grate_z: float,
    bottom: float,
) -> tuple[float, float, float, float]:
    """(width, height, middle z, total area) of the inlets, on the ash door where there is one, else under the grate."""
    count, tape = draft.rules.firebox.inlets, draft.tape
    z0, z1 = (ash_z, ash_z + ash_h) if ash_h else (bottom + 0.5 * INCH, grate_z - 0.5 * INCH)
    middle = (z0 + z1) / 2.0
    tall = 0.8 * (z1 - z0)
    across = 2.0 * max(min(section.half_width(z0 - centre_z), section.half_width(z1 - centre_z)) - DOOR_EDGE, 0.0)
    across = min(across, max(door_w, across * 0.6)) if ash_h else across
    most = 0.85 * across * tall
    area = min(wanted, most)
    if area < wanted - 1e-9:
        draft.find(
            "firebox.inlet_room",
            "warn",
            f"Under the fire grate there is room for {tape.small_area(most)} of inlet, the shop's share asks for "
            f"{tape.small_area(wanted)}: the inlet will choke the fire.",
            remedy="Raise the fire grate, widen the ash door, or add inlets in the firebox side.",
        )
    width = 0.85 * across / count
    return width, area / (count * width) if width else 0.0, middle, area


def throat_opening(throat: ThroatLayout) -> Opening:
    """The throat as an opening in the vessel's fire end, (y, v) points."""
    outline = Outline(throat.points, throat.bulges)
    return Opening(name="throat", on="fire plate", outline=outline.flattened(1e-4), area=throat.net_area)
