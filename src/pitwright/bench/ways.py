"""Ways out of a finding, the likeliest first: guesses, each to be tried before it is offered."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, Final

from pitwright.bench.documents import Edit
from pitwright.bench.grips.grip import length_text, override, put
from pitwright.bench.handles import grips
from pitwright.findings import Finding
from pitwright.layout.model import Pit
from pitwright.tape import INCH, parse_figure

_AREA: Final = re.compile(r"([\d.,]+) (in²|cm²|ft²|m²)")
_TALLER: Final = re.compile(r"Make the stack (.+?) taller")
_PAD: Final = re.compile(r"^Pad (\S+(?: mm)?) x .+ x (\S+(?: mm)?), corners")
_PADS: Final = re.compile(r"Pads of (.+)\.$")
_EARS: Final = re.compile(r"Ears of (.+?) at most")
_PIPE: Final = re.compile(r"Use (.+?) for the stack")
_FIGURES: Final = {"stack.height": "stack height over the shell"}
_PLACE: Final = re.compile(r"(: .*| up and down| along the .*)$")  # of a grip's label: how it goes
_REACH: Final = (1.0, 1.5, 2.5, 4.0)  # how much further than asked for is tried
_MOST_OWN: Final = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One guess: what it does, and the changes."""

    label: str
    edits: tuple[Edit, ...]
    whole: bool = False  # only worth offering where the finding goes or gets milder, not for a little more room


def ways_out(pit: Pit, finding: Finding) -> Iterator[Way]:
    """All guesses for a finding; none where only a hand can mend it."""
    yield from _own_lines(pit, finding)
    make = _WAYS.get(finding.code)
    if make is not None:
        yield from make(pit, finding)


def _own_lines(pit: Pit, finding: Finding) -> Iterator[Way]:
    """Figures the job sets itself: the shop's rule stands again."""
    called = {g.name: g.label for g in grips(pit)}
    for name in list(pit.job.override)[-_MOST_OWN:]:
        said = _called(name, called.get(name, name.replace(".", " ").replace("_", " ")))
        yield Way(label=f"Leave {said} to the shop's rule", edits=override(pit, name, None), whole=True)


def _called(name: str, label: str) -> str:
    """What a figure is called in an offer: a grip's label names a place, some figures are measured from elsewhere."""
    return _FIGURES.get(name) or _PLACE.sub("", label)


# ---------------------------------------------------------------- moving what can be dragged


def _moved(pit: Pit, handle: str, *amounts: float) -> Iterator[Way]:
    """A thing of the drawing moved by so much of its figure [m of tape]."""
    one = next((g for g in grips(pit) if g.id == handle), None)
    if one is None or one.fixed:
        return
    for amount in amounts:
        step = one.least(pit.tape)
        by = math.copysign(math.ceil(abs(amount / one.arm) / step - 1e-6) * step, amount)
        done = one.set_to(one.value + by, pit.tape, free=True)
        if not done.edits:
            continue
        new = next((e["value"] for e in done.edits if e["value"] is not None), "the shop's rule")
        station = "station " if one.text.startswith("station") else ""
        told = (
            f"to {station}{new}" if one.measure == "length" else f"by {pit.tape.length(abs(by) * one.arm)} on the skin"
        )
        yield Way(label=f"Set {_called(one.name, one.label)} {told}", edits=done.edits)


def _either_way(pit: Pit, handle: str, need: float) -> Iterator[Way]:
    for share in _REACH:
        yield from _moved(pit, handle, share * need, -share * need)


def _one_way(pit: Pit, handle: str, need: float) -> Iterator[Way]:
    for share in _REACH:
        yield from _moved(pit, handle, share * need)


def _short(finding: Finding, want: float) -> float:
    """How much room is missing [m]."""
    return max(want - (finding.clearance or 0.0), INCH / 16.0)


def _line(label: str, *path: str | int, value: Any) -> Way:
    return Way(label=label, edits=(put(*path, value=value),))


# ---------------------------------------------------------------- skin and doors


def _ligament(pit: Pit, finding: Finding) -> Iterator[Way]:
    need = _short(finding, pit.job.proportions.shop.ligament)
    if "stack hole" in finding.pieces:
        yield from _one_way(pit, "stack behind top", need)
        yield from _either_way(pit, "stack along", need)
    if "drain" in finding.pieces:
        yield from _either_way(pit, "drain", need)
    if sum(p.startswith("door ") for p in finding.pieces) > 1:
        yield from _one_way(pit, "door 1 stack end", -need)


def _on_seam(pit: Pit, finding: Finding) -> Iterator[Way]:
    clock = pit.job.proportions.clock
    if clock.top_from_seam is not None:
        edits = (
            put("proportions", "clock", "top_from_seam", value=None),
            put("proportions", "clock", "fire_end", value=None),
        )
        yield Way(label="Turn the vessel as searched", edits=edits)
    want = max((k.clear for k in pit.vessel.keep_outs if k.name in finding.pieces), default=INCH)
    need = _short(finding, want)
    if "stack hole" in finding.pieces:
        yield from _either_way(pit, "stack along", need)
        yield from _one_way(pit, "stack behind top", need)
    if "drain" in finding.pieces:
        yield from _either_way(pit, "drain", need)
    if any(p.startswith("door ") for p in finding.pieces):
        if "girth seam" in finding.pieces:
            yield from _one_way(pit, "door 1 fire end", need)
        yield from _one_way(pit, "door lower edge", -need)
        yield from _one_way(pit, "hinge line", need)


def _past_end(pit: Pit, finding: Finding) -> Iterator[Way]:
    need = _short(finding, INCH)
    if any(p.startswith("door ") for p in finding.pieces):
        yield from _one_way(pit, "door 1 fire end", need)
    for handle in ("stack along", "drain"):
        if handle.split(" ")[0] in " ".join(finding.pieces):
            yield from _either_way(pit, handle, need)


def _over_leg(pit: Pit, finding: Finding) -> Iterator[Way]:
    need = _short(finding, 2.0 * INCH)
    for name in _sets(finding):
        yield from _either_way(pit, f"leg {name} station", need)
    yield from _one_way(pit, "door lower edge", -need)
    for name in _sets(finding):
        yield from _one_way(pit, f"leg {name} contact", _lower(pit, name, need))


def _sets(finding: Finding) -> list[str]:
    return [m[1] for p in finding.pieces if (m := re.match(r"(?:leg set|leg) ([A-Z])\b", p))]


def _lower(pit: Pit, name: str, by: float) -> float:
    """A leg's contact brought down the round, as its figure counts: in from the side line, or up from the bottom."""
    return by if f"legs.{name}.inboard" in pit.reasons else -by


def _heavy(pit: Pit, finding: Finding) -> Iterator[Way]:
    count = len(pit.doors)
    if count < 3:
        yield _line(f"{count + 1} doors instead of {count}", "proportions", "doors", "count", value=count + 1)
    more = pit.job.proportions.doors.handle_out
    for inches in (2.0, 4.0):
        out = length_text(pit.tape, more + inches * INCH)
        yield _line(f"Handle {out} off the skin", "proportions", "doors", "handle_out", value=out)


def _touch(pit: Pit, finding: Finding) -> Iterator[Way]:
    rules = pit.job.proportions.doors
    if "stack" in finding.pieces:
        for more in (0.5, 1.0, 2.0, 3.0):
            yield from _moved(pit, "stack behind top", more * INCH)
    doors = [d for d in pit.doors if d.name in finding.pieces]
    first = min((t.travel for d in doors for t in d.touches), default=math.inf)
    stop = first - rules.touch_clear
    if math.isfinite(stop) and stop > math.radians(30.0):
        degrees = math.floor(math.degrees(stop))
        edits = tuple(e for d in doors for e in override(pit, f"{d.name}.stop", f"{degrees} deg"))
        yield Way(label=f"Stop the door at {degrees}°", edits=edits)


def _prop(pit: Pit, finding: Finding) -> Iterator[Way]:
    yield _line("Fit a prop instead", "proportions", "doors", "hold", value="prop")


def _door_count(pit: Pit, finding: Finding) -> Iterator[Way]:
    wide = length_text(pit.tape, math.ceil((pit.doors[0].x1 - pit.doors[0].x0) / INCH) * INCH)
    yield _line(f"Let doors be up to {wide} long", "proportions", "doors", "longest", value=wide)


def _sill(pit: Pit, finding: Finding) -> Iterator[Way]:
    yield from _one_way(pit, "door lower edge", _short(finding, 0.0))
    for level in finding.pieces:
        yield from _one_way(pit, level, _short(finding, 0.0))


def _head(pit: Pit, finding: Finding) -> Iterator[Way]:
    need = _short(finding, 4.0 * INCH)
    for piece in finding.pieces:
        if piece.startswith("grate "):
            yield from _one_way(pit, piece, -need)
    yield from _one_way(pit, "hinge line", -need)


def _slide_leg(pit: Pit, finding: Finding) -> Iterator[Way]:
    for name in _sets(finding):
        yield from _one_way(pit, f"leg {name} contact", _lower(pit, name, _short(finding, 1.5 * INCH)))


# ---------------------------------------------------------------- legs, base


def _stations(pit: Pit, finding: Finding) -> Iterator[Way]:
    want = max((k.clear for k in pit.vessel.keep_outs if k.name in finding.pieces), default=2.0 * INCH)
    for name in _sets(finding):
        yield from _either_way(pit, f"leg {name} station", _short(finding, want))
    for piece in finding.pieces:
        if piece.startswith("saddle "):
            yield from _either_way(pit, f"{piece} station", _short(finding, want))


def _gap(pit: Pit, finding: Finding) -> Iterator[Way]:
    if finding.severity != "note":
        yield _line("Cope the tops of the legs", "proportions", "legs", "end", value="coped")


def _pads(pit: Pit, finding: Finding) -> Iterator[Way]:
    if match := _PADS.search(finding.remedy):
        yield _line(f"Pads of {match[1]}", "proportions", "legs", "pad_size", value=match[1])


def _wall(pit: Pit, finding: Finding) -> Iterator[Way]:
    """Wear pads under the legs, as large as the wall asks for or larger, in whole inches or 10 mm."""
    match = _PAD.search(finding.remedy)
    if match is None or not pit.leg_sets:
        return
    size, thick = (float(parse_figure(match[n], "length", system=pit.tape.system)) for n in (1, 2))
    whole = INCH if pit.tape.inch else 0.01
    sizes = dict.fromkeys(math.ceil(size * more / whole) * whole for more in (1.0, 1.3, 1.7))
    for side in sizes:
        text, plate = length_text(pit.tape, side), length_text(pit.tape, thick)
        yield Way(
            label=f"Wear pads under the legs, {text} square, {plate} thick",
            edits=(
                put("proportions", "legs", "pads", value="always"),
                put("proportions", "legs", "pad_size", value=text),
                put("proportions", "legs", "pad_thickness", value=plate),
            ),
        )


def _lugs(pit: Pit, finding: Finding) -> Iterator[Way]:
    yield _line("Lifting lugs on the shell", "proportions", "lift", "lugs", value=True)


def _off_rail(pit: Pit, finding: Finding) -> Iterator[Way]:
    for name in _sets(finding):
        yield from _either_way(pit, f"leg {name} foot", _short(finding, 0.0))
    yield from _one_way(pit, "rails apart", 2.0 * _short(finding, 0.0))


def _lean_out(pit: Pit, finding: Finding) -> Iterator[Way]:
    for name in _sets(finding):
        for inches in (1.0, 2.0, 3.0):
            yield from _moved(pit, f"leg {name} foot", inches * INCH)
    for inches in (2.0, 4.0, 6.0):
        yield from _moved(pit, "rails apart", inches * INCH)
    for name in _sets(finding):
        for inches in (1.0, 2.0, 3.0):
            yield from _moved(pit, f"leg {name} contact", _lower(pit, name, inches * INCH))


def _meet(pit: Pit, finding: Finding) -> Iterator[Way]:
    need = _short(finding, 0.0) / 2.0
    for name in _sets(finding):
        yield from _one_way(pit, f"leg {name} contact", _lower(pit, name, -need))


def _on_drain(pit: Pit, finding: Finding) -> Iterator[Way]:
    yield from _either_way(pit, "drain", _short(finding, INCH))
    for name in _sets(finding):
        yield from _either_way(pit, f"leg {name} station", _short(finding, INCH))


def _drain(pit: Pit, finding: Finding) -> Iterator[Way]:
    yield from _either_way(pit, "drain", _short(finding, INCH))


def _pockets_off(pit: Pit, finding: Finding) -> Iterator[Way]:
    station = pit.vessel.station(float(pit.balance["empty"].centre[0]))
    text = length_text(pit.tape, pit.tape.rounded(station))
    yield Way(label=f"Fork pockets about the weight, station {text}", edits=override(pit, "base.pocket_middle", text))


def _pocket_tall(pit: Pit, finding: Finding) -> Iterator[Way]:
    yield _line("Leave the fork pockets out", "proportions", "base", "pockets", value=False)


def _pocket_off_rail(pit: Pit, finding: Finding) -> Iterator[Way]:
    for inches in (4.0, 8.0, 12.0):
        text = length_text(pit.tape, pit.job.proportions.base.pocket_spread - inches * INCH)
        yield Way(label=f"Fork pockets {text} apart", edits=override(pit, "base.pocket_spread", text))


def _rail_short(pit: Pit, finding: Finding) -> Iterator[Way]:
    need = _short(finding, 3.0 * INCH)
    yield from _either_way(pit, "rail fire end", need)
    yield from _either_way(pit, "rail stack end", need)


def _door_and_rail(pit: Pit, finding: Finding) -> Iterator[Way]:
    text = length_text(pit.tape, pit.tape.rounded(pit.vessel.station(pit.firebox.x0)))
    yield Way(label=f"End the rails at the firebox, station {text}", edits=override(pit, "base.rail_fire_end", text))


def _on_rail(pit: Pit, finding: Finding) -> Iterator[Way]:
    yield from _one_way(pit, "rails apart", 2.0 * _short(finding, 0.0))


def _raise(pit: Pit, need: float) -> Iterator[Way]:
    """The whole pit higher: the promised height changes with it."""
    yield from _one_way(pit, "main grate", need)


def _hangs(pit: Pit, finding: Finding) -> Iterator[Way]:
    yield from _smaller_box(pit)
    yield from _raise(pit, _short(finding, 0.0))


def _smaller_box(pit: Pit) -> Iterator[Way]:
    step = pit.job.proportions.firebox.round_to
    for n in (1, 2, 3):
        yield from _moved(pit, "firebox width", -n * step)


def _floor(pit: Pit, finding: Finding) -> Iterator[Way]:
    yield from _smaller_box(pit)
    yield from _raise(pit, _short(finding, pit.job.proportions.firebox.floor_clear))


def _shell_low(pit: Pit, finding: Finding) -> Iterator[Way]:
    yield from _raise(pit, _short(finding, 6.0 * INCH))


# ---------------------------------------------------------------- grates, throat, firebox


def _close(pit: Pit, finding: Finding) -> Iterator[Way]:
    for level in pit.grates.levels[1:]:
        yield from _moved(pit, level.name, 2.0 * INCH, 3.0 * INCH, 4.0 * INCH)


def _meat(pit: Pit, finding: Finding) -> Iterator[Way]:
    levels = pit.job.order.levels
    highest = max((one.above for one in levels), default=0.0)
    for inches in (8.0, 7.0, 6.0):
        above = length_text(pit.tape, highest + inches * INCH)
        yield _line(
            f"One more level, {above} over the main grate", "order", "levels", len(levels), "above", value=above
        )


def _ledge(pit: Pit, finding: Finding) -> Iterator[Way]:
    for stock in ("2 x 2 x 3/16 angle", "2-1/2 x 2-1/2 x 3/16 angle", "3 x 3 x 3/16 angle"):
        yield _line(f"Ledges of {stock}", "proportions", "grates", "support", value=stock)


def _throat_area(pit: Pit, finding: Finding) -> Iterator[Way]:
    for inches in (0.5, 1.0, 2.0, 3.0):
        yield from _moved(pit, "firebox drop", -inches * INCH)
    yield from _moved(pit, "firebox width", pit.job.proportions.firebox.round_to)


def _over_baffle(pit: Pit, finding: Finding) -> Iterator[Way]:
    yield from _one_way(pit, "baffle", -_short(finding, 0.0))
    yield from _one_way(pit, "firebox drop", _short(finding, 0.0))


def _inlet_room(pit: Pit, finding: Finding) -> Iterator[Way]:
    yield from _moved(pit, "fire grate", *(n * INCH for n in (1.0, 2.0, 3.0, 4.0)))
    count = pit.job.proportions.firebox.inlets
    if count < 4:
        yield _line(f"{count + 1} inlets", "proportions", "firebox", "inlets", value=count + 1)


def _ears(pit: Pit, finding: Finding) -> Iterator[Way]:
    if match := _EARS.search(finding.remedy):
        yield _line(f"Ears of {match[1]}", "proportions", "saddles", "ears", value=match[1])


def _clock(pit: Pit, finding: Finding) -> Iterator[Way]:
    if pit.job.proportions.clock.top_from_seam is not None:
        yield Way(
            label="Turn the vessel as searched",
            edits=(
                put("proportions", "clock", "top_from_seam", value=None),
                put("proportions", "clock", "fire_end", value=None),
            ),
        )


# ---------------------------------------------------------------- fire


def _area_text(remedy: str) -> str | None:
    match = _AREA.search(remedy)
    if match is None:
        return None
    return f"{match[1].replace(',', '')} {match[2].replace('²', '2')}"


def _draw(pit: Pit, finding: Finding) -> Iterator[Way]:
    """What the fire's own remedy names: inlet, stack, throat."""
    remedy = finding.remedy
    area = _area_text(remedy)
    inlet = override(pit, "firebox.inlet_area", area) if area is not None else ()
    if (pipe := _PIPE.search(remedy)) and area is not None:
        profile = put("proportions", "stack", "profile", value=pipe[1])
        yield Way(label=f"Stack of {pipe[1]}, air inlet {area}", edits=(profile, *inlet))
    elif area is not None and "air inlet" in remedy:
        yield Way(label=f"Air inlet {area}", edits=inlet)
    if taller := _TALLER.search(remedy):
        more = float(parse_figure(taller[1], "length", system=pit.tape.system))
        yield from _moved(pit, "stack top", more, 1.1 * more)
    for more in (1.25, 1.5, 2.0):
        wider = pit.firebox.inlet_area * more
        text = f"{wider / 1e-4:.0f} cm2" if not pit.tape.inch else f"{wider / INCH**2:.1f} in2"
        yield Way(label=f"Air inlet {text}", edits=override(pit, "firebox.inlet_area", text))


def _throat_fire(pit: Pit, finding: Finding) -> Iterator[Way]:
    area = _area_text(finding.remedy)
    if area is not None:
        yield Way(label=f"Throat of {area}", edits=override(pit, "throat.wanted", area))


def _stack_short(pit: Pit, finding: Finding) -> Iterator[Way]:
    yield from (w for w in _draw(pit, finding) if "stack" in w.label)
    yield from _moved(pit, "stack top", *(n * INCH for n in (6.0, 12.0, 18.0, 24.0, 36.0)))


def _grate_small(pit: Pit, finding: Finding) -> Iterator[Way]:
    yield from _moved(pit, "firebox length", *(n * INCH for n in (2.0, 4.0, 6.0, 10.0)))


def _hot_skin(pit: Pit, finding: Finding) -> Iterator[Way]:
    if "firebox" in finding.pieces and not pit.firebox.double_gap:
        for gap in ("1 in", "2 in", "3 in", "4 in") if pit.tape.inch else ("25 mm", "50 mm", "75 mm", "100 mm"):
            text = length_text(pit.tape, float(parse_figure(gap, "length", system="inch")))
            yield _line(
                f"Double-walled firebox, {text} of insulation", "proportions", "firebox", "double_wall", value=text
            )


_WAYS: Final[dict[str, Callable[[Pit, Finding], Iterator[Way]]]] = {
    "skin.ligament": _ligament,
    "skin.opening_on_seam": _on_seam,
    "skin.past_end": _past_end,
    "doors.over_leg": _over_leg,
    "doors.heavy": _heavy,
    "doors.touch": _touch,
    "doors.opens_itself": _prop,
    "doors.falls": _prop,
    "doors.will_not_stay": _prop,
    "doors.counterweight_heavier": _prop,
    "doors.arm_hits_shell": _prop,
    "doors.count": _door_count,
    "slides.sill": _sill,
    "slides.head": _head,
    "slides.leg": _slide_leg,
    "legs.on_seam": _stations,
    "saddles.on_seam": _stations,
    "legs.gap": _gap,
    "legs.pad_small": _pads,
    "stand.wall": _wall,
    "lift.sling_on_shell": _lugs,
    "legs.off_rail": _off_rail,
    "legs.lean_out": _lean_out,
    "legs.meet": _meet,
    "legs.on_drain": _on_drain,
    "drain.on_cross": _drain,
    "drain.on_saddle": _drain,
    "base.pockets_off": _pockets_off,
    "base.pocket_tall": _pocket_tall,
    "base.pocket_off_rail": _pocket_off_rail,
    "base.rail_short": _rail_short,
    "base.firebox_hangs": _hangs,
    "base.shell_low": _shell_low,
    "firebox.door_and_rail": _door_and_rail,
    "firebox.on_rail": _on_rail,
    "firebox.on_cross": _hangs,
    "firebox.floor": _floor,
    "firebox.inlet_room": _inlet_room,
    "throat.area": _throat_area,
    "throat.over_baffle": _over_baffle,
    "grates.close": _close,
    "grates.meat": _meat,
    "grates.ledge": _ledge,
    "saddles.blanks": _ears,
    "clock.tight": _clock,
    "fire.uneven": _draw,
    "fire.sooty": _draw,
    "fire.starved": _draw,
    "fire.will_not_draw": _draw,
    "fire.hot_skin": _hot_skin,
    "fire.throat_starves": _throat_fire,
    "fire.stack_short": _stack_short,
    "fire.grate_small": _grate_small,
}
"""Finding code -> what may mend it. A test applies every offer of many pits and sees the finding gone or less."""
