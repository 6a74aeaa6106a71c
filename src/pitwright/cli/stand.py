"""`pitwright stand`: how the pit stands, lifts and is dragged."""

from __future__ import annotations

import argparse
import dataclasses
import json
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pitwright.layout.model import Pit
    from pitwright.strength.standing import StandReport


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
        print("\n".join(stand_lines(pit, report)))
    return 1 if any(f.severity == "stop" for f in report.findings) else 0


def stand_record(report: StandReport) -> dict[str, object]:
    """The report's figures in SI, ready for JSON."""
    return {
        "state": report.state,
        "worst_ratio": report.worst,
        "checks": [{**dataclasses.asdict(c), "ratio": c.ratio} for c in report.checks],
        "reactions": {case: dict(found) for case, found in report.reactions.items()},
        "tips": [
            {"state": t.state, "angle": t.side.angle, "push": t.push, "wind": t.wind, "mass": t.weight.mass}
            for t in report.tips
        ],
        "slings": [dataclasses.asdict(s) for s in report.slings],
        "findings": [
            {"code": f.code, "severity": f.severity, "text": f.text, "remedy": f.remedy, "source": f.source}
            for f in report.findings
        ],
        "not_made": list(report.not_made),
    }


def stand_lines(pit: Pit, report: StandReport) -> Iterator[str]:
    """The report in the shop's words."""
    tape = pit.tape
    yield f"{pit.job.job.name}, {report.state}: worst ratio {report.worst:.2f} (1.00 is the limit)"
    yield "feet on a true floor"
    for name, force in report.reactions["true floor"].items():
        yield f"  {name:34} {tape.force(force)}"
    yield "worst check of each piece"
    for check in report.checks:
        yield f"  {check.piece:22} {check.name}, {check.case}: {check.text(tape)}"
    yield "tipping"
    for tip in report.tips:
        yield f"  {tip.state:34} {tape.angle(tip.side.angle)}, push {tape.force(tip.push)}, wind {tape.wind(tip.wind)}"
    yield "slings from a hook over the weight, pit empty"
    for sling in report.slings:
        yield f"  {sling.lug:34} {tape.length(sling.length)}, {tape.angle(sling.angle)} off level, {tape.force(sling.tension)}"
    yield f"  with two equal slings it would hang {tape.angle(abs(report.tilt))} off level"
    if report.shares is not None:
        yield f"forks from the side carry {report.shares[0]:.0%} and {report.shares[1]:.0%}"
    yield "not checked: " + "; ".join(report.not_made)
    for finding in report.findings:
        yield f"{finding.severity.upper():9} {finding.text} {finding.remedy}  [{finding.code}]"
    yield from report.cautions
