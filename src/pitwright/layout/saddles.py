"""Plate saddles instead of legs: the arc cut, plate heights over the base, wear pads, stiffeners, blanks."""

from __future__ import annotations

import math

from pitwright.errors import LayoutError
from pitwright.geometry.round import segment_from_angle
from pitwright.geometry.skin import blank_length
from pitwright.layout.base_sizes import BaseSizes
from pitwright.layout.draft import Draft
from pitwright.layout.model import SaddleLayout, VesselLayout
from pitwright.layout.patches import Patch
from pitwright.layout.place import end_plate
from pitwright.layout.set_places import SetPlace, set_places
from pitwright.parts import Outline, Placement, Plate, Shell, bulge_of
from pitwright.tape import INCH

PAD_ALONG = 4.0 * INCH  # wear pad along the pit (common practice, no source)
STIFFENER_SHORT = 0.5 * INCH  # a stiffener stops this short of the shell
FITS_SHEETS = 1e-6


def saddle_places(draft: Draft, vessel: VesselLayout) -> tuple[SetPlace, ...]:
    """Where the saddles stand; no finding is made here."""
    rules = draft.rules.saddles
    half = max(rules.thickness, PAD_ALONG if rules.pad_thickness else 0.0) / 2.0
    contact = rules.contact
    clocks = ((math.pi - contact / 2.0, math.pi + contact / 2.0),)
    return set_places(draft, vessel, rules.sets, "saddles", half_along=half, clocks=clocks, firebox=None)


def saddle_zones(draft: Draft, vessel: VesselLayout) -> list[Patch]:
    """Skin the saddles need undisturbed, for turning the vessel."""
    rules = draft.rules.saddles
    half = max(rules.thickness, PAD_ALONG if rules.pad_thickness else 0.0) / 2.0
    return [
        Patch(
            name=f"saddle {place.name}",
            x0=place.x - half,
            x1=place.x + half,
            clock0=math.pi - rules.contact / 2.0,
            clock1=math.pi + rules.contact / 2.0,
        )
        for place in saddle_places(draft, vessel)
    ]


def saddle_figures(*, radius: float, pad: float, contact: float, height: float, ears: float) -> dict[str, float]:
    """The arc and heights of a saddle plate [m].

    radius   outside, of the vessel; pad: wear pad between (the cut radius is both together)
    contact  whole angle of shell carried [rad]; height: vessel centre over the base
    chord = 2 Rc sin(a/2), sag = Rc (1 - cos(a/2)), arc = Rc a, edge height = H - Rc cos(a/2), middle = H - Rc
    """
    cut = radius + pad
    segment = segment_from_angle(cut, contact)
    return {
        "cut_radius": cut,
        "chord": segment.chord,
        "sag": segment.rise,
        "arc": segment.arc,
        "width": segment.chord + 2.0 * ears,
        "edge_height": height - cut * math.cos(contact / 2.0),
        "middle_height": height - cut,
    }


def lay_out_saddles(draft: Draft, vessel: VesselLayout, sizes: BaseSizes) -> tuple[SaddleLayout, ...]:
    """All saddles with their pieces, reasons and findings.

    Raises LayoutError where the vessel hangs at or under the base.
    """
    rules, ledger, tape = draft.rules.saddles, draft.ledger, draft.tape
    contact = ledger.choose(
        "saddles.contact", rules.contact, "angle", because="angle of shell each saddle carries", limits=(1.0, 2.8)
    )
    height = vessel.centre_z - sizes.rail_top
    figures = saddle_figures(
        radius=vessel.outer_radius, pad=rules.pad_thickness, contact=contact, height=height, ears=rules.ears
    )
    if figures["middle_height"] <= 0.0:
        low = draft.job.order.grate_height - figures["middle_height"]
        raise LayoutError(
            f"no room for saddles: the shell bottom lies {tape.length(-figures['middle_height'])} under the base",
            field="order.grate_height",
            value=tape.length(draft.job.order.grate_height),
            allowed=f"more than {tape.length(low)}",
            remedy="Raise the grate, or use lower base bars.",
        )
    ledger.note(
        "saddles.height", height, because="vessel centre over the base", rests_on=("vessel.centre", "base.rail_top")
    )
    for name, formula in (
        ("cut_radius", "R + pad"),
        ("chord", "2 Rc sin(a/2)"),
        ("sag", "Rc (1 - cos(a/2))"),
        ("arc", "Rc a"),
        ("width", "chord + 2 ears"),
        ("edge_height", "height - Rc cos(a/2)"),
        ("middle_height", "height - Rc"),
    ):
        ledger.note(
            f"saddles.{name}",
            figures[name],
            because=name.replace("_", " ") + " of the saddle plate",
            formula=formula,
            source="circular segment",
            rests_on=("vessel.diameter", "saddles.contact") + (("saddles.height",) if "height" in name else ()),
        )
    places = saddle_places(draft, vessel)
    out = tuple(
        SaddleLayout(
            name=place.name,
            x=place.x,
            rule=place.rule,
            contact=contact,
            cut_radius=figures["cut_radius"],
            chord=figures["chord"],
            sag=figures["sag"],
            arc=figures["arc"],
            width=figures["width"],
            edge_height=figures["edge_height"],
            middle_height=figures["middle_height"],
            thickness=rules.thickness,
            pad_thickness=rules.pad_thickness,
            blank=(figures["width"], figures["edge_height"]),
        )
        for place in places
    )
    _findings(draft, vessel, places, out)
    _parts(draft, vessel, sizes, out)
    return out


def _findings(
    draft: Draft, vessel: VesselLayout, places: tuple[SetPlace, ...], saddles: tuple[SaddleLayout, ...]
) -> None:
    tape, shop = draft.tape, draft.rules.shop
    for place in places:
        if place.gave_way:
            draft.find(
                "saddles.moved", "note", f"Saddle {place.name}: {place.gave_way}.", pieces=(f"saddle {place.name}",)
            )
        for keep, gap in place.blocked:
            crosses = keep.name == "long seam"
            draft.find(
                "saddles.on_seam",
                "warn",
                f"Saddle {place.name} stands {tape.length(gap) + ' from' if gap > 0.0 else 'on'} the {keep.name}; the shop wants "
                f"{tape.length(keep.clear)}.",
                pieces=(f"saddle {place.name}", keep.name),
                clearance=gap,
                remedy="Turn the vessel so that the seam is up, or notch the arc for the weld cap."
                if crosses
                else "Move the saddle.",
            )
    width = saddles[0].width
    sheet = min(s.width for s in shop.sheets)
    most = (sheet - shop.plate_gap) / 2.0
    if width > most + FITS_SHEETS and 2.0 * saddles[0].chord + shop.plate_gap <= sheet:
        text = (
            f"Two saddle blanks side by side on a {tape.length(sheet)} sheet may be {tape.length(most)} wide each; with ears they "
            f"are {tape.length(width)} and do not fit."
        )
        remedy = f"Ears of {tape.length((most - saddles[0].chord) / 2.0)} at most, or weld the ears on."
    elif width > most + FITS_SHEETS:
        text = (
            f"Two saddle blanks {tape.length(width)} wide do not lie side by side on a {tape.length(sheet)} sheet (each may be "
            f"{tape.length(most)})."
        )
        remedy = "Turn them on the sheet, or carry less of the shell."
    else:
        return
    draft.find("saddles.blanks", "note", text, pieces=("saddles",), clearance=most - width, remedy=remedy)


def saddle_outline(saddle: SaddleLayout) -> Outline:
    """The plate in the end view, from the middle of its foot: level foot, upright sides, true arc."""
    half, chord = saddle.width / 2.0, saddle.chord / 2.0
    edge = saddle.edge_height
    arc = -bulge_of(saddle.contact)  # the arc sags: walked from the right it turns to the right
    points = [(-half, 0.0), (half, 0.0), (half, edge)]
    bulges = [0.0, 0.0, 0.0]
    if half > chord:
        points += [(chord, edge), (-chord, edge)]
        bulges += [arc, 0.0]
    else:
        bulges[2] = arc
    points.append((-half, edge))
    bulges.append(0.0)
    return Outline(tuple(points), tuple(bulges))


def _parts(draft: Draft, vessel: VesselLayout, sizes: BaseSizes, saddles: tuple[SaddleLayout, ...]) -> None:
    rules, first = draft.rules.saddles, saddles[0]
    t = first.thickness
    draft.add(
        "SP",
        "saddle plate",
        "saddles",
        Plate(outline=saddle_outline(first), thickness=t),
        [end_plate(s.x - t / 2.0, sizes.rail_top, f"saddle {s.name}") for s in saddles],
        draft.plate(t),
        notes=(f"arc cut to a radius of {draft.tape.length(first.cut_radius)}",),
    )
    if rules.pad_thickness:
        half = first.contact / 2.0
        draft.add(
            "SW",
            "saddle wear pad",
            "saddles",
            Shell(outer_radius=first.cut_radius, wall=rules.pad_thickness, length=PAD_ALONG, clock0=-half, clock1=half),
            [
                Placement(
                    origin=(s.x - PAD_ALONG / 2.0, 0.0, vessel.centre_z),
                    y=(0.0, -1.0, 0.0),
                    z=(0.0, 0.0, -1.0),
                    where=f"saddle {s.name}",
                )
                for s in saddles
            ],
            draft.plate(rules.pad_thickness),
            flat=Outline.rectangle(
                0.0, 0.0, PAD_ALONG, blank_length(first.cut_radius, rules.pad_thickness, first.contact)
            ),
            notes=("weld to the shell before it is set down",),
        )
    if rules.stiffener:
        _stiffeners(draft, vessel, sizes, saddles)


def _stiffeners(draft: Draft, vessel: VesselLayout, sizes: BaseSizes, saddles: tuple[SaddleLayout, ...]) -> None:
    """Two upright plates on the inner face of each saddle, square to it, standing on the base."""
    first = saddles[0]
    t = first.thickness
    deep = (sizes.cross.width - t) / 2.0
    y = first.chord / 4.0
    rise = vessel.centre_z - sizes.rail_top - math.sqrt(first.cut_radius**2 - (y - t / 2.0) ** 2)
    tall = rise - STIFFENER_SHORT
    if deep <= 0.25 * INCH or tall <= INCH:
        return
    where = []
    for s in saddles:
        inward = 1.0 if s.x < vessel.length / 2.0 else -1.0
        for side in (1.0, -1.0):
            # Plate drawn in (along the pit, up); thickness across.
            where.append(
                Placement(
                    origin=(s.x + inward * t / 2.0, side * y + inward * t / 2.0, sizes.rail_top),
                    x=(inward, 0.0, 0.0),
                    y=(0.0, 0.0, 1.0),
                    z=(0.0, -inward, 0.0),
                    where=f"saddle {s.name}",
                )
            )
    draft.add(
        "SR",
        "saddle stiffener",
        "saddles",
        Plate(outline=Outline.rectangle(0.0, 0.0, deep, tall), thickness=t),
        where,
        draft.plate(t),
    )
