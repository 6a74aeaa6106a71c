"""The fire of a solved pit, solved once: the sheet, the cover, the terminal and the bench all ask for the same figures.

Everything here follows from the pit alone, so what was worked out is kept and handed out again; the last few pits are
kept and older ones forgotten.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import replace
from typing import Any, Final, TypeVar

from pitwright.findings import worst_first
from pitwright.fire.case import FireCase
from pitwright.fire.from_pit import fire_case
from pitwright.fire.from_upright import upright_fire_findings
from pitwright.fire.report import FireReport, report
from pitwright.fire.result import Outcome, SteadyFire
from pitwright.fire.steady import steady
from pitwright.fire.uncertainty import Uncertainty, uncertainty
from pitwright.fire.warmup import Burn, Course, course
from pitwright.layout.model import Pit

SHEET_RUNS: Final = 120
"""Runs behind the bands of a sheet: enough to put the ends of a band within a tenth of its width."""
_WARM_UP: Final = 5 * 3600.0  # s
_BRISK: Final = 1.8  # wood laid on while warming, against what holds it; common practice, no source
_KEPT: Final = 48

_Found = TypeVar("_Found")
_found: OrderedDict[tuple[Any, ...], Any] = OrderedDict()
_lock = threading.Lock()


def _once(key: tuple[Any, ...], work: Callable[[], _Found]) -> _Found:
    with _lock:
        if key in _found:
            _found.move_to_end(key)
            kept: _Found = _found[key]
            return kept
    made = work()
    with _lock:
        _found[key] = made
        if len(_found) > _KEPT:
            _found.popitem(last=False)
    return made


def outcome_of(pit: Pit, case: FireCase | None = None) -> Outcome:
    """How it burns, doors not tried: some twenty milliseconds. `case`: this pit on another day, here and below."""
    case = case or fire_case(pit)
    return _once(("outcome", repr(case)), lambda: steady(case, doors=False))


def report_of(pit: Pit, case: FireCase | None = None) -> FireReport:
    """How it burns, what chokes, and what was found, each with its remedy: about a second."""
    case, tape = case or fire_case(pit), pit.tape
    found = _once(("report", repr(case), tape), lambda: report(case, tape))
    assumed = upright_fire_findings(pit)
    return replace(found, findings=worst_first((*found.findings, *assumed))) if assumed else found


def bands_of(
    pit: Pit,
    runs: int = SHEET_RUNS,
    *,
    case: FireCase | None = None,
    workers: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> Uncertainty | None:
    """Bands on every figure; None where no steady fire holds at all."""
    case = case or fire_case(pit)
    if not isinstance(outcome_of(pit, case), SteadyFire):
        return None
    return _once(("bands", repr(case), runs), lambda: uncertainty(case, runs=runs, workers=workers, progress=progress))


def warm_up_of(pit: Pit, case: FireCase | None = None) -> Course | None:
    """The pit lit cold and tended to its wanted temperature; None where no steady fire holds."""
    case = case or fire_case(pit)
    found = outcome_of(pit, case)
    if not isinstance(found, SteadyFire):
        return None
    burn = Burn(seconds=_WARM_UP)
    burn = replace(burn, warm_rate=max(burn.warm_rate, _BRISK * found.wood))
    return _once(("warm-up", repr(case)), lambda: course(case, burn))
