"""`pitwright stand`: how the pit stands, lifts and is dragged."""

from __future__ import annotations

import argparse
import dataclasses
import json
import math
import textwrap
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pitwright.layout.model import Pit
    from pitwright.strength.standing import StandReport


WIDTH = 100
"""Characters of a line in the terminal."""


def stand_command(options: argparse.Namespace) -> int:
    """Print (or give as JSON) every check of the pit on its base. Returns the exit code."""
    from pitwright.job.file import load_job
    from pitwright.layout.pit import solve
    from pitwright.strength.standing import stand

    pit = solve(load_job(Path(options.job)))
    report = stand(pit, options.state)
    if options.json:
        print(json.dumps(stand_record(report), ensure_ascii=False, indent=1))
    else:
        print("\n".join(line for said in stand_lines(pit, report) for line in fold(said)))
    return 1 if any(f.severity == "stop" for f in report.findings) else 0


def stand_record(report: StandReport) -> dict[str, object]:
    """The report's figures in SI, ready for JSON."""
    return {
        "state": report.state,
        "worst_ratio": _finite(report.worst),
        "checks": [{**dataclasses.asdict(c), "ratio": _finite(c.ratio)} for c in report.checks],
        "reactions": {case: dict(found) for case, found in report.reactions.items()},
        "tips": [
            {"state": t.state, "angle": t.side.angle, "push": t.push, "wind": t.wind, "mass": t.weight.mass}
            for t in report.floor.tips
        ],
        "slides": list(report.floor.slides),
        "casters": None if report.floor.casters is None else dataclasses.asdict(report.floor.casters),
        "shims": dict(report.floor.shims),
        "rock": None if report.floor.rock is None else dataclasses.asdict(report.floor.rock),
        "skew": None if report.floor.skew is None else dataclasses.asdict(report.floor.skew),
        "slings": [dataclasses.asdict(s) for s in report.lifting.slings],
        "forks": [{**dataclasses.asdict(w), "fits": w.fits} for w in report.lifting.forks],
        "growth": {"shell": report.growth.shell, "firebox": report.growth.firebox, "legs": dict(report.growth.moved)},
        "tongue": [dataclasses.asdict(t) for t in report.towing.states] if report.towing else [],
        "handles": dict(report.hands.states) if report.hands else {},
        "tie_downs": dataclasses.asdict(report.tie_downs),
        "findings": [
            {"code": f.code, "severity": f.severity, "text": f.text, "remedy": f.remedy, "source": f.source}
            for f in report.findings
        ],
        "not_made": list(report.not_made),
    }


def _finite(ratio: float) -> float | None:
    """A ratio for JSON, which has no word for one over any limit."""
    return ratio if math.isfinite(ratio) else None


def fold(line: str) -> list[str]:
    """A line in the width of a terminal; what runs over hangs two steps further in."""
    deep = len(line) - len(line.lstrip())
    return textwrap.wrap(
        line, WIDTH, subsequent_indent=" " * (deep + 4), break_on_hyphens=False, break_long_words=False
    )


def stand_lines(pit: Pit, report: StandReport) -> Iterator[str]:
    """The report in the shop's words."""
    from pitwright.strength.check import ratio_text

    tape = pit.tape
    yield f"{pit.job.job.name}, {report.state}: worst ratio {ratio_text(report.worst)} (1.00 is the limit)"
    for finding in report.findings:
        yield " ".join(
            s for s in (f"{finding.severity.upper():9}", finding.text, finding.remedy, f"[{finding.code}]") if s
        )
    yield "feet on a true floor"
    if not report.reactions["true floor"]:
        yield "  it does not stand"
    for name, force in report.reactions["true floor"].items():
        yield f"  {name:34} {tape.force(force)}"
    yield "worst check of each piece, by its ratio"
    for check in report.checks:
        yield f"  {ratio_text(check.ratio):>5}  {check.piece}: {check.name}, {check.case}: {check.measured(tape)}"
    yield "tipping"
    for tip in report.floor.tips:
        if tip.side.angle <= 0.0:
            yield f"  {tip.state:34} falls over by itself"
            continue
        yield f"  {tip.state:34} {tape.angle(tip.side.angle)}, push {tape.force(tip.push)}, wind {tape.wind(tip.wind)}"
    yield from _floor_lines(pit, report)
    yield from _lift_lines(pit, report)
    yield from _road_lines(pit, report)
    yield "heat"
    yield f"  {report.tied}"
    yield "not checked: " + "; ".join(report.not_made)
    yield from report.cautions


def _floor_lines(pit: Pit, report: StandReport) -> Iterator[str]:
    """Slides, casters, rock and skew, shims for the grease."""
    tape, floor = pit.tape, report.floor
    if len(floor.slides) > 1:
        yield "slides out at once, doors open"
        for count, angle in enumerate(floor.slides):
            yield f"  {count:<34} {tape.angle(angle)}"
    if floor.casters is not None:
        bought = f", {tape.force(floor.casters.rating)} stated" if floor.casters.rating else ""
        yield f"casters: each rated for {tape.force(floor.casters.wanted)} or more{bought}"
    if floor.rock is not None:
        yield "rock, as measured"
        yield f"  rests on {', '.join(floor.rock.rests_on)}; in winding by {tape.length(abs(floor.rock.winding))}"
        for name, gap in floor.rock.shims:
            yield f"  shim {name:29} {tape.length(gap)}"
        for name, more in floor.rock.trims:
            yield f"  or trim {name:26} {tape.length(more)}"
    if floor.skew is not None:
        yield f"skew, as measured: one rail runs {tape.decimal(abs(floor.skew.shift))} ahead"
    if floor.shims:
        yield "shims so that grease runs to the drain"
        for name, shim in floor.shims:
            yield f"  {name:34} {tape.length(shim)}"


def _lift_lines(pit: Pit, report: StandReport) -> Iterator[str]:
    from pitwright.strength.pit_lifting import USUAL_TRUCK

    tape, lifting = pit.tape, report.lifting
    if lifting.slings:
        yield from _sling_lines(pit, report)
    for way in lifting.forks:
        says = (
            f"a {tape.mass(USUAL_TRUCK.capacity)} truck takes it"
            if way.fits
            else f"no {tape.mass(USUAL_TRUCK.capacity)} truck takes it"
        )
        forks = f", forks {tape.length(way.reach)} long" if way.long_forks else ""
        yield f"forks {way.way}: load centre {tape.length(way.centre)}, {says} ({tape.mass(way.capacity)} there){forks}"


def _sling_lines(pit: Pit, report: StandReport) -> Iterator[str]:
    tape, lifting = pit.tape, report.lifting
    where = (
        "to lugs on the shell"
        if lifting.on_shell
        else f"under the rails, spreader {tape.length(lifting.spreader)} wide"
    )
    yield f"slings from a hook over the weight, {where}, pit empty"
    for sling in lifting.slings:
        yield f"  {sling.lug:34} {tape.length(sling.length)}, {tape.angle(sling.angle)} off level, {tape.force(sling.tension)}"
    yield f"  with equal slings it would hang {tape.angle(abs(lifting.equal))} off level"


def _road_lines(pit: Pit, report: StandReport) -> Iterator[str]:
    tape, towing, ties = pit.tape, report.towing, report.tie_downs
    if towing is not None:
        yield "tongue weight" if towing.fit else "tongue weight: NOT FIT TO TOW"
        for t in towing.states:
            yield f"  {t.state:34} {tape.mass(t.tongue)} of {tape.mass(t.mass)}, {t.share:.1%}"
        need = towing.needed
        yield (
            f"  buy: axle {tape.mass(need.axle)}, tyre {tape.mass(need.tyre)}, coupler {tape.mass(need.coupler)}, "
            f"jack {tape.mass(need.jack)}"
        )
    if report.hands is not None:
        yield f"at the handles: {'one person' if report.hands.people == 1 else 'two people'}"
        for state, lift in report.hands.states.items():
            yield f"  {state:34} {tape.mass(lift)}"
    yield (
        f"carried on a deck: at least {ties.count} tie-downs, their working load limits, halved, adding up to "
        f"{tape.mass(ties.aggregate)} or more"
    )
