"""Changes that mend a finding, offered only where a trial showed that they do. The page shows the effect before it is done.

A way out (`ways.py`) is a guess at what mends; each is tried on the pit itself, the first that does is offered: the
finding is gone, or its clearance grew, and nothing worse came up.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, Final

from pydantic import ValidationError

from pitwright.bench.documents import Edit
from pitwright.bench.keep import Keep
from pitwright.bench.ways import Way, ways_out
from pitwright.errors import PitwrightError
from pitwright.findings import Finding
from pitwright.fire.checks import GRATE_MOST, THROAT_SHARE, TOUCH
from pitwright.fire.from_pit import fire_case
from pitwright.fire.of_pit import outcome_of
from pitwright.fire.result import NoFire, SteadyFire
from pitwright.job.facts import Job
from pitwright.job.faults import explained, measure_of
from pitwright.job.quantities import Strict
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.overtaken import breathe
from pitwright.strength.standing import stand

_TRIES: Final = 14  # ways out tried for one finding
_SLOW_TRIES: Final = 4  # where the whole standing report is made for each
_GREW: Final = 1e-4  # [m]
_offered: Keep[Offer | None] = Keep(128)


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A way out of a finding: what it does, in the shop's words, and the changes that do it."""

    label: str
    edits: tuple[Edit, ...]


def offer(pit: Pit, finding: Finding) -> Offer | None:
    """The changes that mend a finding; None where none was seen to."""
    if not worth_mending(finding):
        return None
    return _offered.made(pit, lambda: _found(pit, finding), (finding.code, finding.pieces, finding.text))


def worth_mending(finding: Finding) -> bool:
    """A note that asks for nothing needs no way out."""
    return finding.severity in ("stop", "warn") or bool(finding.remedy)


def _found(pit: Pit, finding: Finding) -> Offer | None:
    strength = finding not in pit.findings and not finding.code.startswith("fire.")
    if strength and finding not in stand(pit).findings:
        return None  # a report that is not made anew here
    for i, way in enumerate(ways_out(pit, finding)):
        if i >= (_SLOW_TRIES if strength else _TRIES):
            break
        breathe()
        if _mends(pit, finding, way):
            return Offer(label=way.label, edits=way.edits)
    return None


def _mends(pit: Pit, finding: Finding, way: Way) -> bool:
    try:
        after = trial(pit, way.edits)
    except PitwrightError:
        return False
    if _worse(pit, after):
        return False
    if finding in pit.findings:
        return less(finding, after.findings, room=not way.whole)
    if finding.code.startswith("fire."):
        return _fire_mended(pit, after, finding.code)
    return less(finding, stand(after).findings, room=not way.whole)


def less(finding: Finding, after: Iterable[Finding], *, room: bool = True) -> bool:
    """Whether a finding is gone afterwards, milder, or (where `room` counts) has more room."""
    rank = {"stop": 0, "warn": 1, "unchecked": 2, "note": 3}
    same = [f for f in after if f.code == finding.code and _of_one_thing(f, finding)]
    if not same:
        return True
    worst = min(same, key=lambda f: (rank[f.severity], 0.0 if f.clearance is None else f.clearance))
    if rank[worst.severity] != rank[finding.severity]:
        return rank[worst.severity] > rank[finding.severity]
    if not room:
        return False
    if finding.clearance is None or worst.clearance is None:
        return len(set(worst.pieces)) < len(set(finding.pieces))
    return worst.clearance > finding.clearance + _GREW


def _of_one_thing(a: Finding, b: Finding) -> bool:
    """Whether two findings of one code may be about the same piece; those about none are about the whole pit."""
    return not a.pieces or not b.pieces or bool(set(a.pieces) & set(b.pieces))


def _worse(pit: Pit, after: Pit) -> bool:
    """Whether a finding that stops the build, or a new kind of warning, came up."""

    def told(p: Pit) -> Counter[tuple[str, str]]:
        return Counter((f.severity, f.code) for f in p.findings if f.severity in ("stop", "warn"))

    before, now = told(pit), told(after)
    return any(n > before[key] for key, n in now.items() if key[0] == "stop" or key not in before)


def _fire_mended(pit: Pit, after: Pit, code: str) -> bool:
    """Whether the steady fire keeps the limit the finding is about."""
    old, new = outcome_of(pit), outcome_of(after)
    if isinstance(new, NoFire):
        return False
    if isinstance(old, NoFire):
        return True
    kept = _KEPT.get(code)
    return kept is not None and kept(after, new)


def _throat_kept(pit: Pit, fire: SteadyFire) -> bool:
    return sum(s.spent for s in fire.draw if s.name == "throat") <= THROAT_SHARE * fire.draught


def _grate_kept(pit: Pit, fire: SteadyFire) -> bool:
    return fire.wood <= GRATE_MOST * fire_case(pit).firebox.grate.area


def _no_smoke_at_doors(pit: Pit, fire: SteadyFire) -> bool:
    return fire.neutral >= max(d.z_high for d in fire_case(pit).chamber.doors)


def _firebox_cool(pit: Pit, fire: SteadyFire) -> bool:
    return max(s.temperature for s in fire.skins if s.name.startswith("firebox")) <= TOUCH


_KEPT: Final[dict[str, Callable[[Pit, SteadyFire], bool]]] = {
    "fire.uneven": lambda pit, fire: fire.spread <= pit.job.order.spread,
    "fire.throat_starves": _throat_kept,
    "fire.grate_small": _grate_kept,
    "fire.stack_short": _no_smoke_at_doors,
    "fire.hot_skin": _firebox_cool,
    "fire.sooty": lambda pit, fire: fire.excess_air >= 0.5,
}


# ---------------------------------------------------------------- trials


def trial(pit: Pit, edits: Iterable[Edit]) -> Pit:
    """The pit with some changes made.

    Raises JobError or LayoutError where there is none.
    """
    return solve(with_edits(pit.job, edits))


def with_edits(job: Job, edits: Iterable[Edit]) -> Job:
    """A job with single lines changed, read as its file would read them.

    Raises JobError for what cannot be read.
    """
    out = job
    for edit in edits:
        path, value = list(edit["path"]), edit["value"]
        if path[0] == "override":
            own = {k: v for k, v in out.override.items() if k != path[1]}
            if value is not None:
                own[str(path[1])] = value
            out = out.model_copy(update={"override": own})
        else:
            out = out.model_copy(update={str(path[0]): _changed(getattr(out, str(path[0])), path[1:], value, job)})
    return out.with_burns(job.burns)


def _changed(table: Any, path: list[str | int], value: Any, job: Job) -> Any:
    """A table (or list of tables) with one line of it changed."""
    step, rest = path[0], path[1:]
    if isinstance(table, tuple):
        assert isinstance(step, int)
        items = list(table)
        items[step] = _changed(items[step], rest, value, job)
        return tuple(items)
    assert isinstance(table, Strict)
    name = next(n for n, f in type(table).model_fields.items() if step in (n, f.alias))
    if rest:
        inner = getattr(table, name)
        if isinstance(inner, tuple) and rest[0] == len(inner):
            return table.model_copy(update={name: (*inner, *_read(table, name, [{str(rest[1]): value}], job))})
        return table.model_copy(update={name: _changed(inner, rest, value, job)})
    if value is None:
        return table.model_copy(update={name: type(table).model_fields[name].get_default()})
    return table.model_copy(update={name: _read(table, name, value, job)})


def _read(table: Strict, name: str, value: Any, job: Job) -> Any:
    """One line of a table, read in the job's units."""
    model = type(table)
    key = model.model_fields[name].alias or name
    needed = {
        (f.alias or n): _as_typed(getattr(table, n), measure_of(f))
        for n, f in model.model_fields.items()
        if f.is_required() and n != name
    }
    data = {**needed, key: value}
    try:
        read = model.model_validate(data, context={"system": job.job.units})
    except ValidationError as problem:
        raise explained(problem, data, job.job.units, model) from problem
    return getattr(read, name)


def _as_typed(value: Any, measure: str) -> Any:
    """A value read before, as it may be typed again."""
    if isinstance(value, tuple):
        return [_as_typed(v, measure) for v in value]
    return f"{value!r} m" if measure == "length" and isinstance(value, float) else value
