"""How sure: many runs with every uncertain figure drawn from its range, bands on what comes out, and what to nail down.

Latin hypercube: each coefficient's range is cut into as many equal chances as there are runs and every slice is used
once, so a few hundred runs cover twenty coefficients well. Each figure is drawn from a triangle-shaped chance, its
best value the likeliest and 5 percent of chance beyond either end of its stated range.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from pitwright.fire.case import FireCase
from pitwright.fire.coefficients import Coefficient, Values
from pitwright.fire.gas import Array
from pitwright.fire.result import NoFire, SteadyFire
from pitwright.fire.solve import Model, settle
from pitwright.fire.steady import stations, steady_of

RUNS: Final = 500
_AHEAD: Final = 25  # runs handed to a worker at a time

FIGURES: Final[tuple[str, ...]] = (
    "wood",
    "air",
    "spread",
    "end_to_end",
    "excess_air",
    "draught",
    "fire_gas",
    "stack_in",
    "stack_out",
    "firebox_skin",
    "chamber_skin",
    "splits_per_hour",
    "meat_steam",
)


def figures_of(found: SteadyFire) -> list[float]:
    """The figures of one run, in the order of FIGURES (SI)."""
    skin = {s.name: s.temperature for s in found.skins}
    return [
        found.wood,
        found.air,
        found.spread,
        found.grates[0].end_to_end,
        found.excess_air,
        found.draught,
        found.fire_gas,
        found.stack_in,
        found.stack_out,
        skin["firebox"],
        max(skin["chamber below the grate"], skin["chamber above the grate"]),
        found.splits_per_hour,
        found.meat_steam,
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A figure's band: 5, 50 and 95 percent of the runs lie under low, middle and high."""

    name: str
    low: float
    middle: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Sway:
    """How strongly one coefficient sways one figure: rank correlation [-], and what knowing it would take off the band."""

    coefficient: str
    what: str
    correlation: float
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Uncertainty:
    """Bands and sensitivities.

    bands       of every figure of FIGURES
    x           stations along the grate [m]; grate_low, grate_middle, grate_high its band there [K]
    sways       for every figure, the coefficients that sway it, the strongest first
    runs        how many; burning how many held a fire; no_fire counts the reasons of the others
    """

    bands: tuple[Band, ...]
    x: Array
    grate_low: Array
    grate_middle: Array
    grate_high: Array
    sways: dict[str, tuple[Sway, ...]]
    runs: int
    burning: int
    no_fire: dict[str, int]

    def band(self, name: str) -> Band:
        """The band of one figure."""
        return next(b for b in self.bands if b.name == name)


def quantile(coefficient: Coefficient, chance: Array) -> Array:
    """The value of a coefficient at a chance, 0 to 1: two half triangles meeting at the best value.

    The stated range is taken to hold 90 percent: its ends are stretched by 1/(1 - sqrt(0.1)) from the best value, and
    values are then held to positive ones where the best value is positive.
    """
    stretch = 1.0 / (1.0 - math.sqrt(0.10))
    down = (coefficient.value - coefficient.low) * stretch
    up = (coefficient.high - coefficient.value) * stretch
    low_half = chance < 0.5
    value = np.where(
        low_half,
        coefficient.value - down * (1.0 - np.sqrt(2.0 * np.minimum(chance, 0.5))),
        coefficient.value + up * (1.0 - np.sqrt(2.0 * np.minimum(1.0 - chance, 0.5))),
    )
    if coefficient.value > 0.0:
        value = np.maximum(value, 0.2 * coefficient.low if coefficient.low > 0.0 else 0.0)
    return value


_MOST: Final = {"burnout": 1.0, "radiant_share": 0.8, "wetness": 1.5, "discharge": 1.0}


def draw_values(case: FireCase, runs: int, seed: int) -> tuple[Values, ...]:
    """Sets of coefficients, a Latin hypercube over all of them."""
    from scipy.stats import qmc

    table = case.coefficients.items()
    chances = qmc.LatinHypercube(d=len(table), rng=np.random.default_rng(seed)).random(runs)
    columns = []
    for i, (name, coefficient) in enumerate(table):
        columns.append(np.minimum(quantile(coefficient, chances[:, i]), _MOST.get(name, math.inf)))
    return tuple(Values(*(float(v) for v in row)) for row in np.array(columns).T)


def _several(case: FireCase, sets: tuple[Values, ...]) -> list[tuple[str, list[float], list[float]]]:
    """Runs of a worker: reason why not (or nothing), figures, grate temperatures."""
    rows: list[tuple[str, list[float], list[float]]] = []
    best = settle(Model(case))
    start = best if best.closed and not best.starved else None
    for values in sets:
        found = steady_of(Model(case, values), start=start, doors=False)
        if isinstance(found, NoFire):
            rows.append((found.reason, [], []))
        else:
            rows.append(("", figures_of(found), [float(t) for t in found.grates[0].gas]))
    return rows


def uncertainty(
    case: FireCase,
    *,
    runs: int = RUNS,
    seed: int = 1,
    workers: int = 1,
    progress: Callable[[int, int], None] | None = None,
    parallel: Any = None,
) -> Uncertainty:
    """Bands on every figure.

    workers   processes to share the runs between
    progress  called with runs done and runs in all
    parallel  a joblib.Parallel of one's own with return_as="generator" (say, on a Dask cluster), in place of workers
    """
    sets = draw_values(case, runs, seed)
    parts = [sets[i : i + _AHEAD] for i in range(0, runs, _AHEAD)]
    rows: list[tuple[str, list[float], list[float]]] = []
    if parallel is None and workers <= 1:
        results = (_several(case, part) for part in parts)
    else:
        import joblib

        pool = parallel if parallel is not None else joblib.Parallel(n_jobs=workers, return_as="generator")
        results = pool(joblib.delayed(_several)(case, part) for part in parts)
    for part_rows in results:
        rows += part_rows
        if progress is not None:
            progress(len(rows), runs)
    return _digest(case, sets, rows)


def _digest(case: FireCase, sets: tuple[Values, ...], rows: list[tuple[str, list[float], list[float]]]) -> Uncertainty:
    reasons: dict[str, int] = {}
    for reason, _, _ in rows:
        if reason:
            reasons[reason] = reasons.get(reason, 0) + 1
    good = [i for i, (reason, _, _) in enumerate(rows) if not reason]
    x = stations(case.chamber.grate_x0, case.chamber.grate_x1)
    if not good:
        nothing = np.full(len(x), case.weather.temperature)
        return Uncertainty(
            bands=(), x=x, grate_low=nothing, grate_middle=nothing, grate_high=nothing, sways={}, runs=len(rows),
            burning=0, no_fire=reasons,
        )  # fmt: skip
    figures = np.array([rows[i][1] for i in good])
    grate = np.array([rows[i][2] for i in good])
    low, middle, high = np.percentile(grate, [5, 50, 95], axis=0)
    bands = tuple(
        Band(name=name, low=float(a), middle=float(b), high=float(c))
        for name, (a, b, c) in zip(FIGURES, np.percentile(figures, [5, 50, 95], axis=0).T)
    )
    inputs = np.array([sets[i] for i in good])
    return Uncertainty(
        bands=bands, x=x, grate_low=low, grate_middle=middle, grate_high=high, sways=_sways(case, inputs, figures),
        runs=len(rows), burning=len(good), no_fire=reasons,
    )  # fmt: skip


def _sways(case: FireCase, inputs: Array, figures: Array) -> dict[str, tuple[Sway, ...]]:
    """Spearman's rank correlation of every coefficient with every figure; shares are its squares, made to sum to one."""
    if len(inputs) < 10:
        return {}
    ranks_in = _ranks(inputs)
    ranks_out = _ranks(figures)
    sways: dict[str, tuple[Sway, ...]] = {}
    table = case.coefficients.items()
    for j, figure in enumerate(FIGURES):
        correlation = ranks_in.T @ ranks_out[:, j] / len(inputs)
        squares = correlation**2
        whole = float(squares.sum()) or 1.0
        rows = [
            Sway(coefficient=name, what=c.what, correlation=float(r), share=float(q) / whole)
            for (name, c), r, q in zip(table, correlation, squares)
        ]
        sways[figure] = tuple(sorted(rows, key=lambda s: -s.share))
    return sways


def _ranks(columns: Array) -> Array:
    """Ranks by column, centred and scaled to unit spread (a column that does not vary: noughts)."""
    ranks = np.argsort(np.argsort(columns, axis=0), axis=0).astype(np.float64)
    ranks -= ranks.mean(axis=0)
    ranks[:, np.ptp(columns, axis=0) <= 1e-15] = 0.0
    spread = ranks.std(axis=0)
    result: Array = ranks / np.where(spread > 0.0, spread, 1.0)
    return result
