"""What the lines of a job file are called on the page, under which heading they stand, and which come first.

The words are the shop's. A line with no word of its own is called by its name in the file.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from pitwright.bench.fields import in_words

PARTS: Final[dict[str, str]] = {
    "job": "Name, customer, date",
    "make_safe": "Make-safe record: the hold tag",
    "vessel.head_a": "End A",
    "vessel.head_b": "End B",
    "vessel.rounds": "Out of round: taped at several stations",
    "vessel.seams": "Seams as found",
    "vessel.fittings": "Bosses and fittings as found",
    "order.levels": "More grates over the main one",
    "order.passages": "Gates it must pass",
    "order.carried": "What rides along",
    "proportions.clock": "How the vessel is turned",
    "proportions.grates": "How grates are built",
    "proportions.baffle": "Baffle and tuning plates",
    "proportions.firebox": "Firebox",
    "proportions.throat": "Throat",
    "proportions.stack": "Stack",
    "proportions.doors": "Doors",
    "proportions.shelf": "Work shelf",
    "proportions.legs": "Legs",
    "proportions.base": "Rails and cross members",
    "proportions.saddles": "Saddles",
    "proportions.stand": "Casters and feet",
    "proportions.cart": "Wheels and handles",
    "proportions.trailer": "Axles, tyres and tongue",
    "proportions.upright": "Standing on end",
    "proportions.lift": "Lifting lugs",
    "proportions.shop": "Steel, saw and tape",
    "proportions.rates": "Prices and hours",
    "measured.legs": "Legs as they stand",
    "measured.doors": "Door openings as cut",
    "measured.feet": "Feet over one level line",
}

_WORDS: Final[dict[str, str]] = {
    "job.name": "name of the job",
    "job.shop": "name of the shop",
    "job.number": "job number",
    "job.revision": "revision letter",
    "vessel.around": "tape around",
    "vessel.wall": "wall by gauge",
    "vessel.wall.#": "wall by gauge, reading #",
    "vessel.length": "seam to seam",
    "vessel.outside_diameter": "outside diameter",
    "vessel.capacity": "capacity on the plate",
    "vessel.nominal": "sold as",
    "vessel.held": "what it held",
    "vessel.bow": "bow by string",
    "vessel.head.type": "shape of the head",
    "vessel.head.depth": "depth of the head",
    "vessel.head.wall": "wall of the head",
    "vessel.head.crown": "crown radius",
    "vessel.head.knuckle": "knuckle radius",
    "vessel.head.flange": "straight flange",
    "vessel.rounds.#.across_seam": "across, through the long seam",
    "vessel.rounds.#.across_side": "across, square to that",
    "vessel.seams.#.kind": "kind of seam",
    "vessel.seams.#.station": "station, or where it starts",
    "vessel.seams.#.to_station": "station where it ends",
    "vessel.seams.#.width": "width of the weld cap",
    "vessel.fittings.#.on": "sits on the",
    "vessel.fittings.#.plan": "what becomes of it",
    "vessel.fittings.#.good_for.#": "could serve as, no. #",
    "make_safe.held": "what it held, as the tag says",
    "make_safe.method": "how it was cleaned and tested",
    "order.grate_height": "main grate over the floor",
    "order.grate_slides": "main grate pulls out",
    "order.levels.#.above": "over the main grate",
    "order.levels.#.slides": "pulls out",
    "order.people": "people to feed",
    "order.meat": "raw meat at once",
    "order.base": "stands on",
    "order.tongue_share": "share of the weight on the hitch",
    "order.hitch_height": "ball over the road",
    "order.firebox_side": "firebox on the",
    "order.flow": "smoke runs",
    "order.spread": "hottest to coldest, at most",
    "order.outside": "coldest day it cooks in",
    "order.altitude": "height over the sea",
    "order.weather": "wind",
    "proportions.clock.top_from_seam": "top line from the long seam",
    "proportions.clock.fire_end": "fire goes at end",
    "proportions.clock.long_seam_clear": "openings off the long seam",
    "proportions.clock.girth_seam_clear": "openings and legs off a girth seam",
    "proportions.clock.fitting_clear": "openings and legs off a fitting",
    "proportions.clock.turn_step": "try turns every",
    "proportions.grates.below_centre": "main grate under the centre line",
    "proportions.grates.side_clear": "gap to the wall, each side",
    "proportions.grates.growth_gap": "gap at the ends for growth",
    "proportions.grates.panel_longest": "longest panel",
    "proportions.grates.frame": "frame stock",
    "proportions.grates.mesh_weight": "weight of the expanded metal",
    "proportions.grates.support": "ledge stock",
    "proportions.grates.slide_travel": "share of its depth a slide comes out",
    "proportions.grates.slide_pull": "pull on a loaded slide",
    "proportions.grates.meat_per_area": "raw meat on the grate",
    "proportions.grates.meat_per_person": "raw meat for each person",
    "proportions.baffle.kind": "what turns the gas",
    "proportions.baffle.thickness": "plate thickness",
    "proportions.baffle.under_grate": "plate under the main grate",
    "proportions.baffle.plates": "number of tuning plates",
    "proportions.baffle.gap": "gap between tuning plates",
    "proportions.baffle.slope": "fall for the grease, rise over run",
    "proportions.baffle.end_gap": "gap at the ends for growth",
    "proportions.baffle.return_share": "way back at the far end, share of the chamber",
    "proportions.firebox.size": "outside size",
    "proportions.firebox.height": "outside height of a box",
    "proportions.firebox.length": "inside length",
    "proportions.firebox.round_to": "sold in steps of",
    "proportions.firebox.longest": "longest it may be",
    "proportions.firebox.double_wall": "gap of a double wall",
    "proportions.firebox.joint": "vessel's end at the firebox",
    "proportions.firebox.drop": "centre under the vessel's centre",
    "proportions.firebox.fire_grate_up": "fire grate over the firebox bottom",
    "proportions.firebox.fire_grate": "fire grate bars",
    "proportions.firebox.fire_grate_gap": "gap between fire grate bars",
    "proportions.firebox.door_width": "fire door width",
    "proportions.firebox.door_height": "fire door height",
    "proportions.firebox.ash_height": "ash door height",
    "proportions.firebox.inlets": "number of air inlets",
    "proportions.firebox.inlet_share": "air inlets, share of the chamber",
    "proportions.firebox.floor_clear": "firebox off the floor, at least",
    "proportions.throat.share": "throat, share of the chamber",
    "proportions.throat.dam": "grease dam",
    "proportions.throat.plate": "throat plate thickness",
    "proportions.throat.under_grate": "throat top under the main grate",
    "proportions.stack.profile": "stack pipe",
    "proportions.stack.share": "stack bore, share of the chamber",
    "proportions.stack.place": "leaves through the",
    "proportions.stack.at": "centre in from its seam",
    "proportions.stack.behind_top": "centre behind the top line",
    "proportions.stack.height": "height over the shell",
    "proportions.stack.reach_in": "reaches into the chamber",
    "proportions.doors.count": "number of doors",
    "proportions.doors.longest": "longest door",
    "proportions.doors.end_margin": "door end to girth seam",
    "proportions.doors.mullion": "skin between two doors",
    "proportions.doors.hinge_clock": "hinge edge from the top line",
    "proportions.doors.below_grate": "lower edge under the main grate",
    "proportions.doors.band": "door banding stock",
    "proportions.doors.band_overlap": "banding over the gap",
    "proportions.doors.hinges": "hinges on a door",
    "proportions.doors.pin_out": "hinge pin off the skin",
    "proportions.doors.handle_out": "handle off the skin",
    "proportions.doors.hardware": "weight of hinges and handle",
    "proportions.doors.open_stop": "opens to",
    "proportions.doors.hold": "held open by",
    "proportions.doors.counterweight_arm": "counterweight arm",
    "proportions.doors.counterweight_rise": "counterweight arm, from straight forward",
    "proportions.doors.pull_limit": "hardest pull by hand",
    "proportions.doors.touch_clear": "swing left before it touches",
    "proportions.shelf.below_door": "under the door's lower edge",
    "proportions.legs.sets.#.from": "measured from the",
    "proportions.legs.sets.#.by": "in from there",
    "proportions.legs.profile": "leg stock",
    "proportions.legs.set_in": "outer face in from the rail's edge",
    "proportions.legs.inboard": "meets the shell in from the side line",
    "proportions.legs.clock": "meets the shell up from the bottom line",
    "proportions.legs.lean": "lean off plumb",
    "proportions.legs.length": "centre length of the leg",
    "proportions.legs.lean_along": "lean along the pit",
    "proportions.legs.turn": "leg stands",
    "proportions.legs.end": "top end",
    "proportions.legs.pads": "wear pads",
    "proportions.legs.pad_size": "wear pad size",
    "proportions.legs.pad_thickness": "wear pad thickness",
    "proportions.legs.saw_limit": "most the saw sets off square",
    "proportions.base.rail": "rail stock",
    "proportions.base.rails_outside": "over the outside of the rails",
    "proportions.base.overhang": "rail past the last set",
    "proportions.base.end_cut": "rail ends off square",
    "proportions.base.cross": "cross member stock",
    "proportions.base.cross_reach": "cross member within, of every set",
    "proportions.base.cross_longest": "longest rail with no cross member",
    "proportions.base.pockets": "fork pockets",
    "proportions.base.pocket": "fork pocket stock",
    "proportions.base.pocket_spread": "fork pockets, centre to centre",
    "proportions.base.feet": "plate under the rails",
    "proportions.saddles.contact": "shell each saddle carries",
    "proportions.saddles.thickness": "saddle plate thickness",
    "proportions.saddles.ears": "plate past the contact, each side",
    "proportions.saddles.pad_thickness": "wear pad thickness",
    "proportions.stand.on": "what is under the rails",
    "proportions.stand.at": "casters or feet under",
    "proportions.cart.axle_in": "axle in from the fire seam",
    "proportions.cart.wheel": "wheel diameter",
    "proportions.cart.lift": "grips are lifted by",
    "proportions.trailer.tongue_end": "towed by the end with the",
    "proportions.trailer.axles": "axles, one or two",
    "proportions.trailer.ride": "axle to the rail's underside, loaded",
    "proportions.lift.lugs": "lifting lugs on the shell",
    "proportions.lift.by": "in from the end set",
    "proportions.lift.thickness": "lug plate thickness",
    "proportions.lift.width": "lug along the pit",
    "proportions.lift.height": "hole over the pad",
    "proportions.lift.hole": "hole",
    "proportions.lift.pin": "shackle pin",
    "proportions.lift.pad_size": "pad along the pit",
    "proportions.lift.pad_around": "pad round the skin",
    "proportions.lift.pad_thickness": "pad thickness",
    "proportions.shop.kerf": "saw kerf",
    "proportions.shop.plate_kerf": "torch kerf",
    "proportions.shop.end_trim": "trim off a new stick",
    "proportions.shop.keep_drop": "shortest drop worth keeping",
    "proportions.shop.sticks": "stick lengths sold",
    "proportions.shop.sheets": "sheet sizes sold",
    "proportions.shop.plate_gap": "steel left between parts",
    "proportions.shop.plate_margin": "steel left at the plate's edge",
    "proportions.shop.plate_cutting": "plate is cut on the",
    "proportions.shop.steel_price": "price of steel",
    "proportions.shop.tape_step": "finest mark of the tape",
    "proportions.shop.datum": "stations are pulled from the seam at the",
    "proportions.shop.weld_and_paint": "weld, scale and paint, share of the weight",
    "proportions.shop.ligament": "skin left between two openings",
    "proportions.rates.hour": "an hour of the shop",
    "proportions.rates.margin": "share of the price kept",
    "proportions.rates.vessel": "what the vessel cost",
    "proportions.rates.steel_over": "steel bought over, share",
    "measured.around": "tape around, cleaned",
    "measured.wall": "wall by gauge, cleaned",
    "measured.length": "seam to seam, cleaned",
    "measured.long_seam": "long seam from the top line",
    "measured.height": "vessel centre over the floor",
    "measured.rail_top": "rail top over the floor",
    "measured.rails_outside": "over the outside of the rails",
    "measured.diagonals.#": "base diagonal #",
    "measured.weight": "weight on the scale ticket",
    "measured.legs.#.set": "leg set letter",
    "measured.legs.#.spread": "foot off the centre line",
    "measured.doors.#.door": "door number",
    "measured.doors.#.arc": "round the skin",
    "measured.doors.#.chord": "straight across the cut-out skin",
}

_ENTRY: Final[dict[str, str]] = {
    "rounds": "round", "seams": "seam", "fittings": "fitting", "levels": "grate", "passages": "gate", "carried": "load",
    "sets": "set", "sticks": "stick", "sheets": "sheet", "drops": "drop", "plate_drops": "plate drop",
    "legs": "leg", "doors": "door", "feet": "foot",
}  # fmt: skip

_FIRST: Final[dict[str, tuple[str, ...]]] = {
    "vessel": ("around", "wall", "length", "held", "coating"),
    "job": ("name", "customer", "number"),
    "vessel.head_a": ("type", "depth"),
    "vessel.head_b": ("type", "depth"),
    "proportions.clock": ("top_from_seam", "fire_end"),
    "proportions.grates": ("below_centre", "panel_longest"),
    "proportions.baffle": ("kind", "under_grate"),
    "proportions.firebox": ("shape", "size", "length", "drop", "fire_grate_up", "door_width", "door_height"),
    "proportions.throat": ("shape", "share", "dam"),
    "proportions.stack": ("profile", "height", "at", "behind_top"),
    "proportions.doors": ("count", "end_margin", "mullion", "hinge_clock", "below_grate", "open_stop", "hold"),
    "proportions.legs": ("sets", "profile", "set_in", "inboard", "clock", "lean", "length", "pads"),
    "proportions.base": ("rail", "rails_outside", "overhang", "cross", "pockets"),
    "proportions.saddles": ("sets", "contact", "thickness"),
    "proportions.stand": ("on", "at", "caster_height", "caster_rating"),
    "proportions.cart": ("axle_in", "wheel", "grips_past", "grip_height"),
    "proportions.trailer": ("tongue", "tongue_reach", "axles", "axle_rating", "tyre_rating", "coupler_rating"),
    "proportions.upright": ("door_clear", "grates", "pitch", "firebox_size", "stack", "stands_on"),
    "proportions.lift": ("lugs",),
    "proportions.shop": ("kerf", "sticks", "sheets", "steel_price", "tape_step", "datum"),
    "proportions.rates": ("currency", "hour", "margin", "vessel"),
    "measured": ("around", "wall", "length", "height", "rail_top", "rails_outside", "long_seam", "diagonals", "weight"),
}  # fmt: skip

Path = Sequence[str | int]


def part_of(path: Path) -> str:
    """The heading a line stands under; empty for those that stand first in their group."""
    for depth in (2, 1):
        found = PARTS.get(".".join(str(s) for s in path[:depth]))
        if found is not None:
            return found
    return in_words(str(path[1])) if len(path) > 2 and isinstance(path[1], str) and path[0] == "proportions" else ""


def plain_label(path: Path) -> str:
    """What a line is called under its heading: `crown radius`; in a list with the entry before it: `seam 1, station`."""
    said = _word(path)
    entry = next((i for i, s in enumerate(path) if isinstance(s, int)), None)
    if entry is None:
        return said
    called = _ENTRY.get(str(path[entry - 1]))
    if called is None:
        return said
    number = f"{called} {int(path[entry]) + 1}"
    return number if entry == len(path) - 1 else f"{number}, {said}"


def label_of(path: Path) -> str:
    """What a line is called where no heading stands over it: `End A: crown radius`."""
    part, plain = part_of(path), plain_label(path)
    return f"{part.partition(':')[0]}: {plain}" if part else plain


def one_more(path: Path, first: str) -> str:
    """The line that begins one more entry of the list at `path`."""
    return f"one more {_ENTRY.get(str(path[-1]), in_words(str(path[-1])))}: {_word((*path, 0, first))}"


def comes_first(path: Path) -> bool:
    """Whether a line is of those in view before `more` is pressed."""
    for depth in (2, 1):
        table = ".".join(str(s) for s in path[:depth])
        if table in _FIRST and len(path) > depth:
            return path[depth] in _FIRST[table] or (table == "vessel" and table_has_own_heading(path))
    return True


def table_has_own_heading(path: Path) -> bool:
    """Whether a line stands under a heading of its own inside its group."""
    return f"{path[0]}.{path[1]}" in PARTS


def order_of(path: Path) -> int:
    """Where a line comes under its heading: those of `comes_first` in their order, then the rest."""
    for depth in (2, 1):
        first = _FIRST.get(".".join(str(s) for s in path[:depth]))
        if first is not None and len(path) > depth:
            return first.index(str(path[depth])) if path[depth] in first else len(first)
    return 0


def _word(path: Path) -> str:
    steps = ["#" if isinstance(s, int) else str(s) for s in path]
    if steps[:1] == ["vessel"] and len(steps) > 2 and steps[1] in ("head_a", "head_b"):
        steps[1] = "head"
    found = _WORDS.get(".".join(steps))
    last = next((s for s in reversed(path) if isinstance(s, str)), "")
    number = next((s + 1 for s in reversed(path) if isinstance(s, int)), 0)
    if found is not None:
        return found.replace("#", str(number))
    return in_words(last) if not isinstance(path[-1], int) else f"{in_words(last)} {number}"
