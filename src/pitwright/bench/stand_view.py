"""How a pit stands, tips, lifts and tows, as the page draws it: plain JSON of `strength.showing` and its report.

Lengths in metres of the pit frame for drawing, everything people read written by the tape.
"""

from __future__ import annotations

import math
from typing import Any

from pitwright.layout.model import Pit
from pitwright.parts import Vec
from pitwright.strength.pit_floor import TipState
from pitwright.strength.pit_lifting import ForkWay
from pitwright.strength.showing import Showing, showing
from pitwright.strength.standing import StandReport
from pitwright.strength.standing import stand as report_of
from pitwright.strength.towing import LEAST, MOST, REFUSE_OVER, REFUSE_UNDER
from pitwright.tape import STANDARD_GRAVITY, Tape


def stand(pit: Pit) -> dict[str, Any]:
    """Everything the stand view shows of a pit."""
    report = report_of(pit)
    shown, tape = showing(report), pit.tape
    return {
        "hand": pit.vessel.hand,
        "state": report.state,
        "worst": {"ratio": _plain(shown.worst), "text": shown.worst_said, "over": shown.worst > 1.0},
        "cases": list(shown.cases),
        "members": _members(shown),
        "reactions": _reactions(report, shown, tape),
        "vessel": _vessel(pit),
        "tip": _tip(report, shown, tape),
        "lift": _lift(pit),
        "tow": _tow(pit, report),
        "hands": _hands(report, tape),
        "checks": [
            {
                "piece": c.piece,
                "name": c.name,
                "case": c.case,
                "ratio": _plain(c.ratio),
                "passes": c.passes,
                "text": f"{c.amount(c.demand, tape)} of {c.amount(c.capacity, tape)}",
                "equation": c.equation,
                "source": c.source,
            }
            for c in report.checks
        ],
        "findings": [
            {"code": f.code, "severity": f.severity, "text": f.text, "remedy": f.remedy, "source": f.source}
            for f in report.findings
        ],
        "not_made": list(report.not_made),
        "cautions": list(report.cautions),
    }


def _vessel(pit: Pit) -> dict[str, Any]:
    """The round the legs hold up: its axis from seam to seam and its radius."""
    vessel, z = pit.vessel, pit.vessel.centre_z
    if pit.upright is None:
        ends: tuple[Vec, Vec] = ((0.0, 0.0, z), (vessel.length, 0.0, z))
    else:
        ends = ((0.0, 0.0, z - vessel.length / 2.0), (0.0, 0.0, z + vessel.length / 2.0))
    return {"radius": round(vessel.outer_radius, 4), "from": _spot(ends[0]), "to": _spot(ends[1])}


def _plain(value: float) -> float | None:
    return round(value, 4) if math.isfinite(value) else None


def _spot(at: Vec) -> list[float]:
    return [round(v, 4) for v in at]


def _members(shown: Showing) -> list[dict[str, Any]]:
    """Lines of the frame; `by` their ratios in the order of the cases, empty where nothing is checked."""
    return [
        {
            "name": line.name,
            "piece": line.piece,
            "from": _spot(line.start),
            "to": _spot(line.end),
            "worst": _plain(line.worst) if line.checked else None,
            "case": line.case,
            "by": [_plain(line.by_case.get(case, 0.0)) for case in shown.cases] if line.checked else [],
        }
        for line in shown.lines
    ]


def _reactions(report: StandReport, shown: Showing, tape: Tape) -> dict[str, list[dict[str, Any]]]:
    """What every point that bears carries, case by case: feet, forks and slings alike."""
    made = report.made
    at: dict[str, Vec] = {f.name: (f.x, f.y, 0.0) for f in made.feet}
    at |= {p.name: (p.x, p.y, p.z) for p in (*made.forks, *made.end_forks, *made.lugs)}
    return {
        case: [
            {
                "name": name,
                "at": _spot(at[name]) if name in at else None,
                "newtons": round(force, 1),
                "text": tape.force(force),
            }
            for name, force in report.reactions.get(case, {}).items()
        ]
        for case in shown.cases
    }


def _tip(report: StandReport, shown: Showing, tape: Tape) -> dict[str, Any]:
    """Outline of the feet, and every state of loading with its weight, tip angle, side, push and wind."""
    more: dict[str, TipState] = {t.state: t for t in report.floor.tips}
    return {
        "outline": [[round(x, 4), round(y, 4)] for x, y in shown.outline],
        "feet": [{"name": b.name, "at": _spot(b.at)[:2]} for b in shown.bearings],
        "ground": report.floor.ground,
        "states": [
            {
                "state": t.state,
                "at": _spot(t.centre)[:2],
                "height": tape.length(t.centre[2]),
                "mass": tape.mass(t.mass),
                "angle": tape.angle(t.angle),
                "over": f"{more[t.state].side.feet[0]} to {more[t.state].side.feet[1]}",
                "side": [[round(x, 4), round(y, 4)] for x, y in t.side],
                "push": f"{tape.force(more[t.state].push)} at {tape.length(more[t.state].height)}",
                "wind": tape.wind(more[t.state].wind),
            }
            for t in shown.tips
        ],
        "slides": [tape.angle(a) for a in report.floor.slides],
    }


def _lift(pit: Pit) -> dict[str, Any]:
    """Hook, slings and forks for the empty pit: it is lifted without meat, so the hook hangs over that weight."""
    report = report_of(pit, "empty")
    tape, lifting, empty, shown = pit.tape, report.lifting, pit.balance["empty"], showing(report)
    alone = {s.lug: s.alone for s in lifting.slings}
    return {
        "hook": None if shown.hook is None else _spot(shown.hook),
        "weight": tape.mass(empty.mass),
        "centre": _spot(empty.centre),
        "slings": [
            {
                "name": s.lug,
                "from": _spot(s.start),
                "to": _spot(s.end),
                "length": tape.length(s.length),
                "angle": tape.angle(s.angle),
                "tension": tape.force(s.tension),
                "alone": tape.force(alone[s.lug]),
            }
            for s in shown.slings
        ],
        "spreader": tape.length(lifting.spreader) if report.made.spreader and lifting.spreader else "",
        "equal": tape.angle(abs(lifting.equal)),
        "askew": tape.angle(abs(lifting.askew)),
        "rope": f"{tape.length(lifting.rope[0])} wire rope, {tape.force(lifting.rope[1])} straight pull",
        "forks": [_fork(way, tape) for way in lifting.forks],
        "shares": None if lifting.shares is None else [f"{share:.0%}" for share in lifting.shares],
    }


def _fork(way: ForkWay, tape: Tape) -> dict[str, Any]:
    return {
        "way": way.way,
        "centre": tape.length(way.centre),
        "reach": tape.length(way.reach),
        "capacity": tape.mass(way.capacity),
        "mass": tape.mass(way.mass),
        "fits": way.fits,
        "tilt": tape.angle(way.tilt),
    }


def _tow(pit: Pit, report: StandReport) -> dict[str, Any] | None:
    """Tongue weights by state against the range that tows, and what must be bought; None of what is not towed."""
    towing, base, tape = report.towing, pit.base, pit.tape
    if towing is None or base.tongue is None:
        return None
    need = towing.needed
    rows = [
        ("each axle", tape.mass(need.axle)),
        ("each tyre", tape.mass(need.tyre)),
        ("coupler, gross trailer weight", tape.mass(need.coupler)),
        ("tongue jack", tape.mass(need.jack)),
        ("each safety chain, breaking", tape.force(towing.chains * STANDARD_GRAVITY)),
    ]
    return {
        "coupler": _spot(base.tongue.coupler),
        "axles": [
            {"name": a.name, "at": [round(a.x, 4), 0.0, round(a.radius, 4)], "radius": a.radius} for a in base.axles
        ],
        "good": [LEAST, MOST],
        "refuse": [REFUSE_UNDER, REFUSE_OVER],
        "fit": towing.fit,
        "states": [
            {
                "state": t.state,
                "share": round(t.share, 4),
                "text": f"{t.share:.1%}",
                "tongue": tape.mass(t.tongue),
                "axle": tape.mass(t.axle),
                "mass": tape.mass(t.mass),
            }
            for t in towing.states
        ],
        "ratings": [{"label": label, "text": text} for label, text in rows],
        "place": f"{tape.length(towing.place)} behind the coupler",
        "best": f"{tape.length(towing.best)} behind the coupler",
        "roll": f"{towing.roll:.2f} of its weight",
    }


def _hands(report: StandReport, tape: Tape) -> dict[str, Any] | None:
    """What the hands at a cart's handles lift."""
    hands = report.hands
    if hands is None:
        return None
    return {
        "states": [{"state": state, "text": tape.mass(mass)} for state, mass in hands.states.items()],
        "people": hands.people,
        "advised": tape.mass(hands.advised),
    }
