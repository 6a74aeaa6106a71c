"""The fire as the page draws it: one pit, its own day or one tried with the sliders. Figures are written by the tape.

The quick answer (one steady fire) takes some tens of milliseconds; what takes longer is asked for apart, by flags in
the trial: `more` (what chokes, what was found), `bands` (how sure), `warm_up` (lit cold). Nothing here is stored.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from pitwright.errors import JobError
from pitwright.fire.case import FireCase, dry_basis
from pitwright.fire.chokes import Choke, Trial
from pitwright.fire.from_pit import WIND, fire_case
from pitwright.fire.learned import known_from
from pitwright.fire.of_pit import bands_of, outcome_of, report_of, warm_up_of
from pitwright.fire.report import UNSURE
from pitwright.fire.result import NoFire, SteadyFire
from pitwright.fire.uncertainty import Uncertainty
from pitwright.fire.warmup import Course
from pitwright.layout.model import Pit
from pitwright.sheets.views.chart import even_steps
from pitwright.tape import INCH, Tape, range_text
from pitwright.tape.units import DEGREE_F, ZERO_CELSIUS, ZERO_FAHRENHEIT

FLAGS: Final = ("more", "bands", "warm_up")
_PLACES: Final = 5  # marks along the grate in the table
_COLDEST, _HOTTEST = 240.0, 322.0  # K, weather of the slider; Weather's own limits are wider
_WET: Final = (5.0, 50.0)  # percent of the wood's weight
_WARM_POINTS: Final = 150

_WEATHER: Final = {"still": "still air", "breeze": "breeze", "wind": "wind"}


def fire(pit: Pit, trial: Mapping[str, Any]) -> dict[str, Any]:
    """How the pit burns, as JSON.

    trial  `outside` (a number in the job's degrees), `weather`, `wood_wetness` (percent of the wood's own weight that is
           water), `inlet` (percent open); the job's own day for what is not there; and the flags of FLAGS
    Raises JobError for a value that is none.
    """
    tape = pit.tape
    own = fire_case(pit)
    case = _tried(own, trial, tape)
    outcome = outcome_of(pit, case)
    answer: dict[str, Any] = {
        "burns": isinstance(outcome, SteadyFire),
        "text": outcome.text if isinstance(outcome, NoFire) else "",
        "rests_on": known_from(pit.job),
        "sliders": _sliders(case, tape),
        "own_day": case == own,
        "curve": None,
        "chokes": None,
        "findings": None,
        "warm_up": None,
    }
    if trial.get("more") is True:
        told = report_of(pit, case)
        answer["chokes"] = [_choke(c, tape) for c in told.chokes]
        answer["findings"] = [
            {"code": f.code, "severity": f.severity, "text": f.text, "remedy": f.remedy} for f in told.findings
        ]
    if isinstance(outcome, NoFire):
        return answer | {"figures": _cold_figures(outcome, case, tape)}
    bands = bands_of(pit, case=case) if trial.get("bands") is True else None
    before = outcome_of(pit, own) if case != own else None
    warm = warm_up_of(pit, case) if trial.get("warm_up") is True else None
    return answer | {
        "figures": _figures(outcome, before if isinstance(before, SteadyFire) else None, bands, case, tape),
        "sure": ""
        if bands is not None and bands.bands
        else ("fitted to a burn of this pit" if pit.job.burns.own else UNSURE),
        "curve": _curve(outcome, bands, case, tape),
        "draw": _draw(outcome, tape),
        "heat": [{"name": s.name, "share": round(s.share, 5), "text": tape.power(s.watts)} for s in outcome.shares],
        "warm_up": None if warm is None else _warming(warm, case, tape),
    }


# ---------------------------------------------------------------- the day that is tried


@dataclass(frozen=True, slots=True, kw_only=True)
class _Slider:
    """One slider in the shop's unit: limits, step, and how its value gets into the case."""

    key: str
    label: str
    low: float
    high: float
    step: float
    unit: str
    value: Callable[[FireCase], float]
    put: Callable[[FireCase, float], FireCase]


def _number_sliders(tape: Tape) -> tuple[_Slider, ...]:
    zero, degree, unit = (ZERO_FAHRENHEIT, DEGREE_F, "°F") if tape.inch else (ZERO_CELSIUS, 1.0, "°C")

    def outside(case: FireCase, value: float) -> FireCase:
        return dataclasses.replace(case, weather=dataclasses.replace(case.weather, temperature=zero + value * degree))

    def wet(case: FireCase, value: float) -> FireCase:
        return dataclasses.replace(case, fuel=dataclasses.replace(case.fuel, moisture=dry_basis(value / 100.0)))

    def inlet(case: FireCase, value: float) -> FireCase:
        return dataclasses.replace(case, settings=dataclasses.replace(case.settings, inlet_open=value / 100.0))

    return (
        _Slider(
            key="outside", label="Outside", unit=unit, step=1.0, put=outside,
            low=math.ceil((_COLDEST - zero) / degree), high=math.floor((_HOTTEST - zero) / degree),
            value=lambda case: (case.weather.temperature - zero) / degree,
        ),
        _Slider(
            key="wood_wetness", label="Water in the wood", unit="%", low=_WET[0], high=_WET[1], step=1.0, put=wet,
            value=lambda case: 100.0 * case.fuel.moisture / (1.0 + case.fuel.moisture),
        ),
        _Slider(
            key="inlet", label="Air inlet open", unit="%", low=5.0, high=100.0, step=1.0, put=inlet,
            value=lambda case: 100.0 * case.settings.inlet_open,
        ),
    )  # fmt: skip


def _tried(own: FireCase, trial: Mapping[str, Any], tape: Tape) -> FireCase:
    """The pit's case with the trial's day in it.

    Raises JobError for a name or a value that is none.
    """
    sliders = {s.key: s for s in _number_sliders(tape)}
    case = own
    for key, value in trial.items():
        if key in FLAGS:
            continue
        if key == "weather":
            if not isinstance(value, str) or value not in WIND:
                raise JobError("no such weather", field=key, value=str(value)[:40], allowed=", ".join(WIND))
            case = dataclasses.replace(case, weather=dataclasses.replace(case.weather, wind=WIND[value]))
            continue
        slider = sliders.get(key)
        if slider is None:
            raise JobError(
                "nothing of that name can be tried", field=str(key)[:40], allowed=", ".join((*sliders, "weather"))
            )
        usable = isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
        if not usable or not slider.low <= value <= slider.high:
            raise JobError(
                "is out of its range" if usable else "is no number",
                field=slider.label,
                value=str(value)[:40],
                allowed=f"{slider.low:g} to {slider.high:g} {slider.unit}",
            )
        case = slider.put(case, float(value))
    return case


def _sliders(case: FireCase, tape: Tape) -> list[dict[str, Any]]:
    outside, wet, inlet = (
        {
            "key": s.key,
            "label": s.label,
            "low": s.low,
            "high": s.high,
            "step": s.step,
            "unit": s.unit,
            "value": round(s.value(case), 1),
        }
        for s in _number_sliders(tape)
    )
    now = min(WIND, key=lambda name: abs(WIND[name] - case.weather.wind))
    named = [[key, f"{_WEATHER[key]}, {tape.wind(speed)}" if speed else _WEATHER[key]] for key, speed in WIND.items()]
    return [outside, {"key": "weather", "label": "Weather", "value": now, "choices": named}, wet, inlet]


# ---------------------------------------------------------------- what is shown


def _figures(
    fire: SteadyFire, before: SteadyFire | None, bands: Uncertainty | None, case: FireCase, tape: Tape
) -> list[dict[str, str]]:
    """The main figures, with their bands where they are known and what they are on the job's own day."""
    told: list[tuple[str, str, Callable[[SteadyFire], float], Callable[[float], str]]] = [
        ("wood", "wood", lambda f: f.wood, tape.mass_rate),
        ("hottest to coldest on the grate", "spread", lambda f: f.spread, tape.temperature_difference),
        ("air through the fire", "air", lambda f: f.air, tape.mass_rate),
        ("draft, all rises", "draught", lambda f: f.draught, tape.pressure_draft),
        ("smoke at the stack", "stack_in", lambda f: f.stack_in, tape.temperature),
        ("fire gas", "fire_gas", lambda f: f.fire_gas, tape.temperature),
    ]
    out = []
    for label, name, value, write in told:
        band = None if bands is None or not bands.bands else bands.band(name)
        own = "" if before is None else write(value(before))
        text = write(value(fire))
        out.append(
            {
                "label": label,
                "text": text,
                "sure": "" if band is None else range_text(band.low, band.high, write),
                "own": "" if own == text else own,
            }
        )
    minutes = 60.0 / fire.splits_per_hour
    out.append(
        {"label": "one split", "text": f"every {minutes:.0f} min", "sure": tape.mass(case.fuel.split), "own": ""}
    )
    return out


def _cold_figures(found: NoFire, case: FireCase, tape: Tape) -> list[dict[str, str]]:
    rows = [
        ("hottest the grate gets", tape.temperature(found.hottest)),
        ("wanted", tape.temperature(case.wanted.temperature)),
    ]
    return [{"label": label, "text": text, "sure": "", "own": ""} for label, text in rows]


def _rounded(values: Any, places: int = 3) -> list[float]:
    return [round(float(v), places) for v in values]


def _curve(fire: SteadyFire, bands: Uncertainty | None, case: FireCase, tape: Tape) -> dict[str, Any]:
    """Gas and a bare thermometer along the main grate, with the band where it is known."""
    grate = fire.grates[0]
    start = float(grate.x[0])
    sure = bands if bands is not None and bands.bands else None
    wanted = case.wanted.temperature
    every = [*grate.gas, *grate.reading, wanted]
    if sure is not None:
        every += [*sure.grate_low, *sure.grate_high]
    rows = []
    for at in np.linspace(start, float(grate.x[-1]), _PLACES).tolist():
        rows.append(
            {
                "at": tape.length(at - start),
                "gas": tape.temperature(float(np.interp(at, grate.x, grate.gas))),
                "bare": tape.temperature(float(np.interp(at, grate.x, grate.reading))),
                "band": ""
                if sure is None
                else range_text(
                    float(np.interp(at, sure.x, sure.grate_low)),
                    float(np.interp(at, sure.x, sure.grate_high)),
                    tape.temperature,
                ),
            }
        )
    return {
        "x": _rounded(grate.x, 4),
        "gas": _rounded(grate.gas),
        "reading": _rounded(grate.reading),
        "band_x": None if sure is None else _rounded(sure.x, 4),
        "low": None if sure is None else _rounded(sure.grate_low),
        "high": None if sure is None else _rounded(sure.grate_high),
        "wanted": wanted,
        "wanted_text": tape.temperature(wanted),
        "read_by": case.wanted.read_by,
        "along": _along(start, float(grate.x[-1]), tape),
        "up": _up(min(every), max(every), tape),
        "rows": rows,
    }


def _along(start: float, end: float, tape: Tape) -> list[dict[str, Any]]:
    unit = INCH * 12.0 if tape.inch else 0.25
    count = int((end - start) / unit + 1e-9)
    return [{"at": round(start + k * unit, 4), "text": tape.length(k * unit)} for k in range(count + 1)]


def _up(low: float, high: float, tape: Tape) -> list[dict[str, Any]]:
    """Even temperatures of the shop's degrees round a range [K]."""
    zero, degree = (ZERO_FAHRENHEIT, DEGREE_F) if tape.inch else (ZERO_CELSIUS, 1.0)
    return [
        {"at": round(zero + step, 3), "text": tape.temperature(zero + step)}
        for step in even_steps(low - zero, high - zero, degree, 5)
    ]


def _draw(fire: SteadyFire, tape: Tape) -> list[dict[str, Any]]:
    """Where pressure is made and where it is spent; the dearest opening is what chokes."""
    dearest = max(fire.draw, key=lambda step: step.spent)
    out = []
    for step in fire.draw:
        size = max(step.made, step.spent)
        out.append(
            {
                "name": step.name.split(": ")[-1],
                "made": round(step.made, 4),
                "spent": round(step.spent, 4),
                "text": tape.pressure_draft(size),
                "share": round(size / fire.draught, 4) if fire.draught > 0.0 else None,
                "chokes": step is dearest,
            }
        )
    return out


def _choke(row: Choke, tape: Tape) -> dict[str, Any]:
    write = tape.small_area if row.measure == "area" else tape.length

    def tried(trial: Trial) -> dict[str, str]:
        size = trial.name or write(trial.size)
        if not trial.burns:
            return {"size": size, "why": "will not burn"}
        return {
            "size": size,
            "spread": tape.temperature_difference(trial.spread),
            "wood": tape.mass_rate(trial.wood),
            "air": tape.mass_rate(trial.air),
            "draft": tape.pressure_draft(trial.draught),
        }

    return {
        "name": row.name,
        "size": write(row.size),
        "cost": f"{'makes' if row.made else 'takes'} {100.0 * row.share:.0f} %",
        "smaller": tried(row.smaller),
        "larger": tried(row.larger),
    }


def _warming(warm: Course, case: FireCase, tape: Tape) -> dict[str, Any]:
    """The pit lit cold: grate and fire over time, and when it is ready."""
    step = max(len(warm.time) // _WARM_POINTS, 1)
    ready = math.isfinite(warm.ready)
    end = min(float(warm.time[-1]), (warm.ready if ready else float(warm.time[-1])) + 5400.0)
    rows = []
    for minute in range(0, int(end / 60.0) + 1, 15):
        at = 60.0 * minute
        rows.append(
            {
                "after": f"{minute} min",
                "grate": tape.temperature(float(np.interp(at, warm.time, warm.grate_mean))),
                "fire": tape.temperature(float(np.interp(at, warm.time, warm.fire_gas))),
                "wood": tape.mass(float(np.interp(at, warm.time, warm.fed)), 2),
            }
        )
    grate = warm.grate_mean[::step]
    wanted = case.wanted.temperature
    return {
        "t": _rounded(warm.time[::step], 1),
        "grate": _rounded(grate, 2),
        "fire": _rounded(warm.fire_gas[::step], 2),
        "up": _up(float(grate.min()), max(float(grate.max()), wanted), tape),
        "ready": {
            "at": round(float(warm.ready), 1) if ready else None,
            "text": f"Ready after {warm.ready / 60.0:.0f} minutes and {tape.mass(warm.ready_wood, 2)} of wood, tended."
            if ready
            else f"Not ready within {float(warm.time[-1]) / 3600.0:.0f} hours.",
        },
        "rows": rows,
    }
