"""What a standing report has to show, as plain data to draw: frame lines, supports, tip outline, slings. No drawing here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pitwright.parts import Vec
from pitwright.strength.pit_lifting import sling_paths
from pitwright.strength.stability import outline
from pitwright.strength.standing import StandReport


@dataclass(frozen=True, slots=True, kw_only=True)
class Line3:
    """One line of the frame [m].

    name    of the frame member; piece: its mark
    checked whether it is a bar with ratios; worst: its highest ratio, in `case`
    by_case ratio in every case
    arms    stiff arms at its ends, each from its joint to the end of the line [m]
    """

    name: str
    piece: str
    start: Vec
    end: Vec
    checked: bool
    worst: float
    case: str
    by_case: Mapping[str, float]
    arms: tuple[tuple[Vec, Vec], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearing:
    """One point that bears, and what it carries in every case it is part of [m, N]."""

    name: str
    at: Vec
    reactions: Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class TipShown:
    """A state of loading: its weight's place, least tip angle [rad] and the side it goes over, from and to [m]."""

    state: str
    mass: float
    centre: Vec
    angle: float
    side: tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class SlingShown:
    """A sling from its lug to the hook or spreader [m], its pull [N], length and angle off level."""

    lug: str
    start: Vec
    end: Vec
    tension: float
    length: float
    angle: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Showing:
    """All of it, for one report.

    cases    of the frame that stand, in order
    outline  the feet's outline on the floor, anticlockwise, casters drawn in [m]
    hook     where the hook hangs [m]; None of a pit that is not slung
    worst    highest ratio of all checks, with its piece, check and case in words
    """

    cases: tuple[str, ...]
    lines: tuple[Line3, ...]
    bearings: tuple[Bearing, ...]
    outline: tuple[tuple[float, float], ...]
    tips: tuple[TipShown, ...]
    slings: tuple[SlingShown, ...]
    hook: Vec | None
    worst: float
    worst_said: str


def shown_frame(report: StandReport) -> tuple[Line3, ...]:
    """Every member of the frame as a line with its ratios."""
    made, found = report.made, report.ratios
    joints = {j.name: (j.x, j.y, j.z) for j in made.frame.joints}
    column = {name: i for i, name in enumerate(found.beams)}
    out = []
    for beam in made.frame.beams:
        a, b = joints[beam.start], joints[beam.end]
        p, q = beam.arm_start, beam.arm_end
        by_case: dict[str, float] = {}
        if beam.name in column:
            by_case = {
                case: float(r) for case, r in zip(found.cases, found.table[:, column[beam.name]].tolist(), strict=True)
            }
        case = max(by_case, key=lambda name: by_case[name], default="")
        start, end = (a[0] + p[0], a[1] + p[1], a[2] + p[2]), (b[0] + q[0], b[1] + q[1], b[2] + q[2])
        out.append(
            Line3(
                name=beam.name,
                piece=beam.piece,
                start=start,
                end=end,
                checked=bool(by_case),
                worst=by_case.get(case, 0.0),
                case=case,
                by_case=by_case,
                arms=tuple(pair for pair in ((a, start), (b, end)) if pair[0] != pair[1]),
            )
        )
    return tuple(out)


def showing(report: StandReport) -> Showing:
    """Everything a page or a screen draws of a report."""
    made = report.made
    feet = {p.name: (p.x, p.y) for p in outline(made.prints)}
    standing = [c for c in report.solved.cases.values() if c.stands]
    bearings = [
        Bearing(
            name=f.name,
            at=(f.x, f.y, 0.0),
            reactions={c.name: c.reactions[f.name] for c in standing if f.name in c.reactions},
        )
        for f in made.feet
    ]
    paths = {name: (a, b) for name, a, b in sling_paths(made)}
    worst = max(report.checks, key=lambda c: c.ratio, default=None)
    return Showing(
        cases=tuple(c.name for c in standing),
        lines=shown_frame(report),
        bearings=tuple(bearings),
        outline=tuple(feet.values()),
        tips=tuple(
            TipShown(
                state=t.state,
                mass=t.weight.mass,
                centre=(t.weight.x, t.weight.y, t.weight.z),
                angle=t.side.angle,
                side=(feet[t.side.feet[0]], feet[t.side.feet[1]]),
            )
            for t in report.floor.tips
        ),
        slings=tuple(
            SlingShown(
                lug=s.lug,
                start=paths[s.lug][0],
                end=paths[s.lug][1],
                tension=s.tension,
                length=s.length,
                angle=s.angle,
            )
            for s in report.lifting.slings
        ),
        hook=made.hook if made.lugs else None,
        worst=report.worst,
        worst_said="" if worst is None else f"{worst.piece}, {worst.case}: {worst.name}",
    )
