"""Learning from a burn: fit the few coefficients that a log can tell, and say how well it told them.

Least squares on the readings, with each coefficient's stated range as a prior, so that five thermometers read once
already help and nothing runs away where the readings are silent. Factors are fitted on a log scale. Limits are 90
percent, from the slopes at the answer.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np

from pitwright.errors import JobError
from pitwright.fire.burnlog import BurnLog, Probe
from pitwright.fire.case import FireCase
from pitwright.fire.coefficients import Coefficients, Values
from pitwright.fire.gas import Array
from pitwright.fire.solve import Model, State, settle, thermometer_share
from pitwright.fire.warmup import Burn, Course, course

NINETY: Final = 1.6449  # standard deviations to the ends of a 90 percent range
STEADY_FREE: Final = ("circulation", "inside_film", "layer_mixing", "door_gap")
COURSE_FREE: Final = ("circulation", "inside_film", "outside_film", "radiant_share", "burnout", "burn_time")
_SHARES: Final = frozenset({"burnout", "discharge"})  # cannot pass one
_LOG_SCALE: Final = frozenset(Values._fields) - {"wind_inlet", "wind_stack"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """One coefficient as learned: best value and 90 percent limits; the range before; how much the burn told [-].

    told  0: nothing beyond the range it had; 1: everything
    """

    name: str
    value: float
    low: float
    high: float
    before: float
    before_low: float
    before_high: float
    told: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibration:
    """What a burn taught.

    learned        one line a coefficient
    rms_before, rms_after  how far the model was and is from the readings [K]
    readings       how many were used
    fits           True where the model meets the readings within twice their own accuracy
    level          mean grate temperature the readings mean [K] (0 for a course)
    """

    learned: tuple[Learned, ...]
    rms_before: float
    rms_after: float
    readings: int
    fits: bool
    level: float

    def apply(self, coefficients: Coefficients, source: str = "learned from a burn") -> Coefficients:
        """The coefficients with the learned values and limits in place: that pit's own."""
        return coefficients.with_ranges({row.name: (row.value, row.low, row.high) for row in self.learned}, source)

    def as_dict(self) -> dict[str, Any]:
        """Plain words and numbers, ready for a file."""
        return {
            "readings": self.readings,
            "rms_before": self.rms_before,
            "rms_after": self.rms_after,
            "fits": self.fits,
            "level": self.level,
            "coefficients": {
                row.name: {
                    "value": row.value, "low": row.low, "high": row.high, "told": row.told,
                    "before": row.before, "before_low": row.before_low, "before_high": row.before_high,
                }
                for row in self.learned
            },
        }  # fmt: skip

    @staticmethod
    def from_dict(saved: Mapping[str, Any]) -> Calibration:
        """A calibration from what `as_dict` gave."""
        try:
            rows = tuple(
                Learned(name=str(name), **{key: float(value) for key, value in row.items()})
                for name, row in saved["coefficients"].items()
            )
            return Calibration(
                learned=rows,
                rms_before=float(saved["rms_before"]),
                rms_after=float(saved["rms_after"]),
                readings=int(saved["readings"]),
                fits=bool(saved["fits"]),
                level=float(saved["level"]),
            )
        except (KeyError, TypeError, ValueError, AttributeError) as error:
            raise JobError(
                "this is not a saved burn", field="calibration", value=error, allowed="what Pitwright saved"
            ) from error


def shop_prior(coefficients: Coefficients, burns: Iterable[Calibration]) -> Coefficients:
    """The shop's own ranges for its next pit, from the pits it has learned from.

    For each coefficient the pits' values are averaged by how well each was told; the new range holds that average's own
    doubt and the scatter from pit to pit, and never gets narrower than a third of the published one.
    """
    learned: dict[str, tuple[float, float, float]] = {}
    rows: dict[str, list[Learned]] = {}
    for burn in burns:
        for row in burn.learned:
            rows.setdefault(row.name, []).append(row)
    for name, group in rows.items():
        told = [row for row in group if row.told > 0.05]
        if not told:
            continue
        to, back = _scale(name)
        centre = np.array([to(row.value) for row in told])
        sigma = np.array([max((to(row.high) - to(row.low)) / (2 * NINETY), 1e-6) for row in told])
        weight = 1.0 / sigma**2
        mean = float((weight * centre).sum() / weight.sum())
        scatter = float(np.sqrt(((centre - mean) ** 2).mean())) if len(told) > 1 else 0.0
        old = coefficients[name]
        published = (to(old.high) - to(old.low)) / (2 * NINETY)
        doubt = max(math.hypot(1.0 / math.sqrt(float(weight.sum())), scatter), published / 3.0)
        learned[name] = (back(mean), back(mean - NINETY * doubt), back(mean + NINETY * doubt))
    return coefficients.with_ranges(learned, "learned from the shop's own burns")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One thermometer read once: station and height [m], temperature [K], bare stem or shielded."""

    x: float
    z: float
    temperature: float
    bare: bool = True


def _scale(name: str) -> tuple[Callable[[float], float], Callable[[float], float]]:
    if name in _LOG_SCALE:
        return math.log, math.exp
    return (lambda v: v), (lambda v: v)


def _at(x: Array, along: Array, station: float) -> float:
    return float(np.interp(station, x, along))


def learn_from_readings(
    case: FireCase,
    readings: Sequence[Reading],
    *,
    accuracy: float = 4.0,
    wood: float | None = None,
    free: Sequence[str] = STEADY_FREE,
) -> Calibration:
    """Thermometers along the grate, read once while the pit burned steadily.

    The pit's settings, weather and load are those of the case; how hot it was held is taken from the readings.
    accuracy  of a reading, thermometer and model together [K, one standard deviation]
    wood      as fired, if it was weighed over some hours [kg/s] (10 percent)
    """
    if len(readings) < 2:
        raise JobError("too few to learn from", field="readings", value=len(readings), allowed="2 or more, 5 is good")
    mean = float(np.mean([r.temperature for r in readings]))
    last: list[State] = []

    def predict(values: Values, level: float) -> Array:
        held = replace(
            case, wanted=replace(case.wanted, temperature=max(level, case.weather.temperature + 5.0), at="mean")
        )
        model = Model(held, values)
        state = settle(model, start=last[0] if last else None)
        if not state.closed:
            state = settle(model)
        last[:] = [state] if state.closed else []
        g, t = model.grid, state.t
        walls = 0.5 * (t[g.floor] + t[g.shell_upper])
        out = []
        for r in readings:
            share = g.layer_share(r.z)
            gas = (1 - share) * t[g.lower] + share * t[g.upper]
            felt = thermometer_share(gas, walls)
            out.append(_at(g.x, gas * felt + walls * (1 - felt) if r.bare else gas, r.x))
        if wood is not None:
            fired = state.fire.dry * (1.0 + model.zones.moisture)
            out.append(math.log(max(fired, 1e-9) / wood) / 0.10 * accuracy)
        return np.array(out)

    measured = np.array([r.temperature for r in readings] + ([0.0] if wood is not None else []))
    fit = _fit(case.coefficients, free, predict, measured, accuracy, level=(mean, 60.0))
    return fit


def learn_from_course(
    case: FireCase,
    burn: Burn,
    log: BurnLog,
    *,
    accuracy: float = 6.0,
    free: Sequence[str] = COURSE_FREE,
    stretches: int = 40,
) -> Calibration:
    """A log over time, on the fire's clock, with the burn's events.

    accuracy   of a reading, thermometer and model together [K, one standard deviation]
    stretches  the log is averaged into so many
    """
    thin = log.thinned(stretches)
    inside = (thin.time >= 0.0) & (thin.time <= burn.seconds)
    if int(inside.sum()) < 2:
        raise JobError(
            "the log and the burn do not overlap in time", field="log", value=f"{thin.time[0]:.0f} s",
            allowed=f"0 to {burn.seconds:.0f} s after lighting", remedy="Put the log on the fire's clock first.",
        )  # fmt: skip
    times, measured = thin.time[inside], thin.readings[inside]
    good = np.isfinite(measured)
    layer = Model(case).grid.layer_share

    def predict(values: Values, _level: float) -> Array:
        run = course(case, burn, values)
        return np.column_stack([probe_course(run, p, layer(p.z), times) for p in thin.probes])[good]

    # neighbouring readings are not independent: a stretch of a slow pit counts as one in four
    return _fit(case.coefficients, free, predict, measured[good], accuracy * 2.0, level=None)


def probe_course(run: Course, probe: Probe, layer_share: float, times: Array) -> Array:
    """What a probe would have read at these times [K]."""
    if probe.place == "stack":
        whole = run.stack
    elif probe.place == "firebox":
        whole = run.fire_gas
    else:
        gas = (1 - layer_share) * run.lower + layer_share * run.upper
        if probe.bare:
            felt = thermometer_share(gas, run.walls)
            gas = gas * felt + run.walls * (1 - felt)
        position = np.interp(probe.x, run.x, np.arange(len(run.x)))
        low = min(int(position), len(run.x) - 2)
        part = position - low
        whole = gas[:, low] * (1 - part) + gas[:, low + 1] * part
    result: Array = np.interp(times, run.time, whole)
    return result


def _fit(
    coefficients: Coefficients,
    free: Sequence[str],
    predict: Callable[[Values, float], Array],
    measured: Array,
    accuracy: float,
    level: tuple[float, float] | None,
) -> Calibration:
    from scipy import optimize

    least_squares: Any = optimize.least_squares
    scales = [_scale(name) for name in free]
    centre = np.array([to(coefficients[name].value) for name, (to, _) in zip(free, scales)])
    sigma = np.array(
        [
            max((to(coefficients[n].high) - to(coefficients[n].low)) / (2 * NINETY), 1e-9)
            for n, (to, _) in zip(free, scales)
        ]
    )
    base = coefficients.values()
    k = len(free)

    def values_of(p: Array) -> Values:
        new = {name: back(float(centre[i] + sigma[i] * p[i])) for i, (name, (_, back)) in enumerate(zip(free, scales))}
        return base._replace(**{name: min(v, 1.0) if name in _SHARES else v for name, v in new.items()})

    def level_of(p: Array) -> float:
        return level[0] + level[1] * float(p[k]) if level else 0.0

    def residual(p: Array) -> Array:
        return np.concatenate([(predict(values_of(p), level_of(p)) - measured) / accuracy, p[:k]])

    start = np.zeros(k + (1 if level else 0))
    first = residual(start)[: len(measured)]
    solved = least_squares(residual, start, diff_step=1e-3, bounds=(-4.0, 4.0), xtol=1e-6, ftol=1e-6, max_nfev=30)
    after = solved.fun[: len(measured)]
    covariance = np.linalg.pinv(solved.jac.T @ solved.jac)
    best = values_of(solved.x)
    rows = []
    for i, (name, (to, back)) in enumerate(zip(free, scales)):
        doubt = float(sigma[i] * math.sqrt(max(covariance[i, i], 0.0)))
        old, value = coefficients[name], getattr(best, name)
        rows.append(
            Learned(
                name=name,
                value=value,
                low=back(to(value) - NINETY * doubt),
                high=min(back(to(value) + NINETY * doubt), 1.0 if name in _SHARES else math.inf),
                before=old.value,
                before_low=old.low,
                before_high=old.high,
                told=float(min(max(1.0 - covariance[i, i], 0.0), 1.0)),
            )
        )
    return Calibration(
        learned=tuple(rows),
        rms_before=float(np.sqrt(np.mean(first**2)) * accuracy),
        rms_after=float(np.sqrt(np.mean(after**2)) * accuracy),
        readings=len(measured),
        fits=bool(np.sqrt(np.mean(after**2)) < 2.0),
        level=level_of(solved.x),
    )
