"""The fire sheet: will it draw, hold its heat, and cook the same from end to end; and what to set for the first burn."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Final

import numpy as np

from pitwright.findings import Finding
from pitwright.fire.chokes import Choke, Trial
from pitwright.fire.learned import known_from
from pitwright.fire.of_pit import bands_of, report_of, warm_up_of
from pitwright.fire.report import CAUTIONS, UNSURE, FireReport, first_burn
from pitwright.fire.result import GrateHeat, NoFire, SteadyFire
from pitwright.fire.uncertainty import Uncertainty
from pitwright.fire.warmup import Course
from pitwright.layout.model import Pit
from pitwright.sheets.blocks import BigFigure, BigFigures, Block, Notes
from pitwright.sheets.page import Board, Page
from pitwright.sheets.paper import Paper
from pitwright.sheets.table import Column, Table
from pitwright.sheets.views.chart import even_steps
from pitwright.sheets.views.common import SheetMaker, new_board
from pitwright.sheets.views.fire_charts import Axis, Curve, Curves, Flow, Step, Stream, Waterfall
from pitwright.sheets.views.fire_section import degree_steps, marks_along, section_view, shades_of
from pitwright.sheets.views.spread import spread
from pitwright.sheets.views.upright_fire import grates_chart, section_on_end
from pitwright.tape import LB, Tape, decimals, range_text

CODE, TITLE = "FIRE", "Fire and first burn"
_SWAYS: Final = 4  # lines of what to nail down
_MINUTE = 60.0


def fire_sheets(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """Section, grates, draw, heat, warm-up, chokes, settings, findings, cautions; why not where it will not burn."""
    report = report_of(pit)
    board = partial(_board, pit, paper, report)
    if isinstance(report.outcome, NoFire):
        return spread(board, (), (*_no_fire(pit, report.outcome), *_findings(report.findings), *_cautions()))
    fire, bands, warm = report.outcome, bands_of(pit), warm_up_of(pit)
    shades = shades_of(pit, fire)
    under = ("Under the plates: the plates' own steel.",) if pit.grates.plates else ()
    blocks: list[Block] = [
        shades.legend(pit.tape),
        *((Notes(under),) if under else ()),
        _main_figures(pit, fire, bands),
        *(
            (grates_chart(pit, fire, bands),)
            if pit.upright is not None
            else (_grate_chart(pit, fire, i, bands) for i in range(len(fire.grates)))
        ),
        draw_diagram(fire, pit.tape),
        heat_flow(fire, pit.tape),
    ]
    if warm is not None:
        blocks.append(_warm_up(pit, warm))
    blocks += [_settings(pit, report, fire, bands, warm), choke_table(report.chokes, fire, pit.tape)]
    blocks += [_how_sure(pit, bands), *_findings(report.findings), *_cautions()]
    view = (
        ("Cut along the axis, seen from the working side", section_view(pit, fire, shades))
        if pit.upright is None
        else ("Cut along the firebox, from the front", section_on_end(pit, fire, shades))
    )
    return spread(board, (view,), blocks, columns=2)


FIRE = SheetMaker(code=CODE, title=TITLE, whose="everyone", make=fire_sheets)


def _board(pit: Pit, paper: Paper, report: FireReport) -> Board:
    tape, found = pit.tape, report.outcome
    check = ("wood", tape.mass_rate(found.wood)) if isinstance(found, SteadyFire) else ("fire", "WILL NOT HOLD")
    return new_board(
        pit, paper, CODE, TITLE, key=("grate held at", tape.temperature(report.case.wanted.temperature)), check=check
    )


# ---------------------------------------------------------------- no fire


def _no_fire(pit: Pit, found: NoFire) -> tuple[Block, ...]:
    tape, wanted = pit.tape, pit.job.order.cook_temperature
    figures = [BigFigure("wanted at the grate", tape.temperature(wanted), "this pit will not hold it", role="wrong")]
    if found.hottest > pit.job.order.outside + 1.0:
        figures.append(BigFigure("hottest it gets", tape.temperature(found.hottest), "with all the air that comes in"))
    if found.wood_need > 0.0:
        figures.append(BigFigure("wood it takes, dry", tape.mass_rate(found.wood_need)))
        figures.append(BigFigure("wood its air burns, dry", tape.mass_rate(found.wood_air)))
    return (
        BigFigures(tuple(figures), across=2, size=7.0),
        Notes((found.text, "No settings card, curves or table are given for a pit that will not burn: mend it first, and "
               "they follow."), title="Why it will not burn", bold=True, size=2.6),
    )  # fmt: skip


# ---------------------------------------------------------------- figures


def band_text(bands: Uncertainty | None, name: str, write: Callable[[float], str]) -> str:
    """A figure's band, or how unsure it is where bands were not run."""
    if bands is None or not bands.bands:
        return UNSURE
    band = bands.band(name)
    return range_text(band.low, band.high, write)


def _main_figures(pit: Pit, fire: SteadyFire, bands: Uncertainty | None) -> BigFigures:
    tape = pit.tape
    costs = max(fire.draw, key=lambda step: step.spent)
    return BigFigures(
        (
            BigFigure("wood", tape.mass_rate(fire.wood), band_text(bands, "wood", tape.mass_rate)),
            BigFigure("hottest to coldest on the grate" if pit.upright is None else "lowest to highest grate", tape.temperature_difference(fire.spread),
                      band_text(bands, "spread", tape.temperature_difference)),
            BigFigure("draft, all rises", tape.pressure_draft(fire.draught), band_text(bands, "draught", tape.pressure_draft)),
            BigFigure("dearest opening", f"{100 * costs.spent / fire.draught:.0f} %", f"of the draft: {costs.name.split(':')[0]}"),
        ),
        across=2,
        size=6.0,
    )  # fmt: skip


def _grate_chart(pit: Pit, fire: SteadyFire, which: int, bands: Uncertainty | None) -> Curves:
    tape, grate = pit.tape, fire.grates[which]
    band = _band_along(fire, grate, bands)
    limit = pit.job.order.spread
    middle = float(grate.gas.max() + grate.gas.min()) / 2.0
    lines = (
        (middle + limit / 2.0, f"order: {tape.temperature_difference(limit)} apart at most"),
        (middle - limit / 2.0, ""),
    )
    low = min([float(grate.reading.min()), middle - limit / 2.0, *(b[1] for b in band)])
    high = max([float(grate.gas.max()), middle + limit / 2.0, *(b[2] for b in band)])
    level = pit.grates.levels[which]
    unit = 0.3048 if tape.inch else 0.1
    curves = (
        Curve(tuple(zip(map(float, grate.x), map(float, grate.gas))), "accent", "gas at the grate"),
        Curve(tuple(zip(map(float, grate.x), map(float, grate.reading))), "hidden", "what a bare thermometer lying there reads"),
    )  # fmt: skip
    name = "nine burns in ten would lie in here" + (", taken as the main grate's" if which else "")
    marks = tuple((x, float(np.interp(x, grate.x, grate.reading))) for x in marks_along(fire, which))
    return Curves(
        f"{level.name.capitalize()}, along its length: spread {tape.temperature_difference(grate.spread)}",
        curves,
        across=Axis(even_steps(0.0, pit.vessel.length, unit, 5), tape.length, "from the fire-end seam; 1 to 5: thermometers"),
        up=Axis(degree_steps(tape, low, high), tape.temperature, "temperature"),
        band=band,
        band_name=name if band else "",
        levels=lines,
        marks=marks,
    )  # fmt: skip


def _band_along(
    fire: SteadyFire, grate: GrateHeat, bands: Uncertainty | None
) -> tuple[tuple[float, float, float], ...]:
    """(x, low, high) of the gas along a grate; a shelf's band is as wide as the main grate's at the same place."""
    if bands is None or not bands.bands:
        return ()
    main = fire.grates[0]
    out = []
    for x, gas in zip(map(float, grate.x), map(float, grate.gas)):
        best = float(np.interp(x, main.x, main.gas))
        low, high = float(np.interp(x, bands.x, bands.grate_low)), float(np.interp(x, bands.x, bands.grate_high))
        out.append((x, gas + low - best, gas + high - best))
    return tuple(out)


def draw_diagram(fire: SteadyFire, tape: Tape) -> Waterfall:
    """The pressure from inlet to stack top."""
    steps = tuple(
        Step(s.name.removeprefix("inlet: ").replace("inlet", "air inlet") if s.name.startswith("inlet:") else s.name,
             s.made, s.spent,
             f"+{_draft(tape, s.made)}" if s.made else f"−{_draft(tape, s.spent)}, {tape.speed(s.velocity)}")
        for s in fire.draw
    )  # fmt: skip
    return Waterfall(f"Draw: {tape.pressure_draft(fire.draught)} made and spent, inlet to stack top", steps)


def _draft(tape: Tape, pressure: float) -> str:
    """A pressure; one too small for the shop's last figure is told as under that figure."""
    text = tape.pressure_draft(pressure)
    return text if any(c in "123456789" for c in text) or not pressure else f"under {text.replace('0 ', '1 ', 1)}"


def heat_flow(fire: SteadyFire, tape: Tape) -> Flow:
    """Where the wood's heat goes; shares under a thousandth are left out."""
    streams = tuple(
        Stream(s.name, s.share, f"{100 * s.share:.0f} %, {tape.power(s.watts, 2)}")
        for s in sorted(fire.shares, key=lambda s: -s.share)
        if s.share >= 1e-3
    )
    return Flow(
        "Where the heat of the wood goes", f"{tape.mass_rate(fire.wood)} of wood: {tape.power(fire.heat, 2)}", streams
    )


def _warm_up(pit: Pit, warm: Course) -> Curves:
    tape = pit.tape
    last = warm.time[-1] if not np.isfinite(warm.ready) else min(warm.time[-1], max(2.0 * warm.ready, 3600.0))
    shown = warm.time <= last + 1.0
    minutes, grate, fed = warm.time[shown] / _MINUTE, warm.grate_mean[shown], warm.fed[shown]
    unit = LB if tape.inch else 1.0
    ready = (
        f"ready after {warm.ready / _MINUTE:.0f} min and {tape.mass(warm.ready_wood, 2)} of wood"
        if np.isfinite(warm.ready)
        else f"not ready within {warm.time[-1] / 3600.0:.0f} hours"
    )
    marks = ((warm.ready / _MINUTE, float(np.interp(warm.ready, warm.time, warm.grate_mean))),)
    return Curves(
        f"Warm-up from cold: {ready}",
        (
            Curve(tuple(zip(map(float, minutes), map(float, grate))), "accent", "gas at the main grate"),
            Curve(tuple(zip(map(float, minutes), map(float, fed))), "hidden", "wood laid on, all told (right)", right=True),
        ),
        across=Axis(even_steps(0.0, float(minutes[-1]), 1.0, 6), lambda m: decimals(m, 0), "minutes after lighting"),
        up=Axis(degree_steps(tape, float(grate.min()), float(grate.max())), tape.temperature, "temperature"),
        right=Axis(even_steps(0.0, float(fed.max()), unit, 4), lambda m: tape.mass(m, 2), "wood"),
        marks=marks if np.isfinite(warm.ready) else (),
        mark_names=("ready",),
        tall=38.0,
    )  # fmt: skip


# ---------------------------------------------------------------- tables


def _settings(pit: Pit, report: FireReport, fire: SteadyFire, bands: Uncertainty | None, warm: Course | None) -> Table:
    rows = first_burn(report.case, fire, pit.tape, bands, warm)
    return Table(
        (Column("first burn", wrap=True), Column("set or expect", wrap=True, bold=True), Column("how sure", wrap=True),
         Column("got", blank=True)),
        tuple((row.name, row.value, row.sure, "") for row in rows),
        title="Settings for the first burn: write down what you got",
    )  # fmt: skip


def choke_table(rows: tuple[Choke, ...], fire: SteadyFire, tape: Tape) -> Table:
    """Every opening and rise, what it costs, and the pit with the size below and above."""
    lines: list[tuple[str, ...]] = [("as it is", "", "", *_trial_cells(fire, tape))]
    starts = [1]
    for row in rows:
        write = tape.small_area if row.measure == "area" else tape.length
        cost = f"makes {100 * row.share:.0f} %" if row.made else f"{_draft(tape, row.spent)}, {100 * row.share:.0f} %"
        lines.append((row.name, f"now {write(row.size)}", cost, "", "", "", ""))
        for word, tried in (("smaller", row.smaller), ("larger", row.larger)):
            size = tried.name or write(tried.size)
            cells = _trial_cells(tried, tape) if tried.burns else ("will not burn", "", "", "")
            lines.append(("", f"{word}: {size}", "", *cells))
        starts.append(len(lines))
    return Table(
        (Column("opening or rise", bold=True, wrap=True), Column("size", wrap=True), Column("of the draft", wrap=True),
         Column("spread", align="right"), Column("wood", align="right"), Column("air", align="right"),
         Column("draft", align="right")),
        tuple(lines),
        title="What chokes, the dearest first: the next size down and up",
        rules=tuple(starts[:-1]),
        size=2.2,
    )  # fmt: skip


def _trial_cells(tried: Trial | SteadyFire, tape: Tape) -> tuple[str, str, str, str]:
    return (
        tape.temperature_difference(tried.spread),
        tape.mass_rate(tried.wood),
        tape.mass_rate(tried.air),
        tape.pressure_draft(tried.draught),
    )


# ---------------------------------------------------------------- words


def _how_sure(pit: Pit, bands: Uncertainty | None) -> Notes:
    lines = [f"These figures rest on {known_from(pit.job)}."]
    if bands is None or not bands.bands:
        lines.append(f"Bands were not run: read every figure as {UNSURE}.")
    else:
        lines.append(
            f"Bands: {bands.runs} runs with every figure that is not known well drawn from its range; nine in ten lie inside."
        )
        if bands.burning < bands.runs:
            lines.append(f"In {bands.runs - bands.burning} of them no steady fire held: the pit is near its limit.")
        sways = bands.sways.get("spread", ())[:_SWAYS]
        if sways:
            told = "; ".join(f"{s.what} ({100 * s.share:.0f} %)" for s in sways)
            lines.append(f"What sways the spread most: {told}. Read five thermometers along the grate once and give them to "
                         '"pitwright burn": the bands narrow.')  # fmt: skip
    return Notes(tuple(lines), title="How sure")


def _findings(findings: tuple[Finding, ...]) -> tuple[Block, ...]:
    if not findings:
        return (Notes(("Nothing found against it.",), title="Findings"),)
    rows = tuple(
        (f.severity.upper(), f.text, " ".join(p for p in (f.remedy, f"[{f.source}]" if f.source else "") if p))
        for f in findings
    )
    columns = (
        Column("", bold=True),
        Column("found", wrap=True),
        Column("the change that mends it, and by how much", wrap=True),
    )
    return (Table(columns, rows, title="Findings, worst first", size=2.2),)


def _cautions() -> tuple[Block, ...]:
    lines = tuple(f"{c.about.capitalize()}: {c.text} ({c.source})" for c in CAUTIONS)
    return (Notes(lines, title="Cautions"),)
