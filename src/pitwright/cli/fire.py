"""`pitwright fire`: how it burns, what chokes, what to set, what was found."""

from __future__ import annotations

import argparse
import dataclasses
import json
import math
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pitwright.fire.chokes import Trial
    from pitwright.fire.report import FireReport
    from pitwright.fire.result import SteadyFire
    from pitwright.fire.uncertainty import Uncertainty
    from pitwright.layout.model import Pit


def fire_command(options: argparse.Namespace) -> int:
    """Print the fire of a job; write its sheet where asked."""
    from pitwright.fire.of_pit import report_of
    from pitwright.fire.result import SteadyFire
    from pitwright.job.file import load_job
    from pitwright.layout.pit import solve

    pit = solve(load_job(Path(options.job)))
    report = report_of(pit)
    bands = _bands(pit, options)
    if options.json:
        print(json.dumps(_record(pit, report, bands, options), ensure_ascii=False, indent=1))
    elif isinstance(report.outcome, SteadyFire):
        _print_steady(pit, report, report.outcome, bands)
        if options.warm_up:
            _print_warm_up(pit)
        if options.size:
            _print_sizes(pit)
        if options.plates:
            _print_plates(pit)
        _print_findings(report)
    else:
        print(f"Will not hold {pit.tape.temperature(report.case.wanted.temperature)}: {report.outcome.text}")
        if options.size:
            _print_sizes(pit)
        _print_findings(report)
    if options.out:
        _write_sheet(pit, Path(options.out), options.paper)
    return 1 if any(f.severity == "stop" for f in report.findings) else 0


def _bands(pit: Pit, options: argparse.Namespace) -> Uncertainty | None:
    """The bands, with a progress bar where a person watches."""
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    from pitwright.fire.of_pit import bands_of

    if options.runs <= 0:
        return None
    console = Console(stderr=True)
    with Progress(
        TextColumn("bands, {task.completed} of {task.total} runs"), BarColumn(), TimeElapsedColumn(), console=console,
        transient=True, disable=options.json or not sys.stderr.isatty(),
    ) as bar:  # fmt: skip
        task = bar.add_task("", total=options.runs)
        workers = 2 if options.runs >= 250 else 1
        return bands_of(
            pit, options.runs, workers=workers, progress=lambda done, whole: bar.update(task, completed=done)
        )


def table(head: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> list[str]:
    """Columns made even: the first to the left, the others to the right."""
    wide = [max(len(row[i]) for row in (head, *rows)) for i in range(len(head))]

    def lined(row: tuple[str, ...]) -> str:
        return "  ".join(c.ljust(w) if i == 0 else c.rjust(w) for i, (c, w) in enumerate(zip(row, wide))).rstrip()

    return [lined(head), *(lined(row) for row in rows)]


def _print_steady(pit: Pit, report: FireReport, fire: SteadyFire, bands: Uncertainty | None) -> None:
    from pitwright.fire.learned import known_from
    from pitwright.fire.of_pit import warm_up_of
    from pitwright.fire.report import first_burn

    tape = pit.tape
    print(f"{pit.job.job.name}: held at {tape.temperature(report.case.wanted.temperature)} on the main grate")
    print(f"rests on {known_from(pit.job)}")
    if bands is not None and bands.bands:
        print(f"bands from {bands.runs} runs: nine in ten lie inside")
    print()
    rows = first_burn(report.case, fire, tape, bands, warm_up_of(pit))
    print("\n".join(left_table(("first burn", "set or expect", "how sure"), [(r.name, r.value, r.sure) for r in rows])))
    print("\nwhat chokes, the dearest first")
    print(
        "\n".join(table(("", "size", "of the draft", "spread", "wood", "air", "draft"), _choke_rows(pit, report, fire)))
    )


def left_table(head: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> list[str]:
    """Columns made even, all to the left."""
    wide = [max(len(row[i]) for row in (head, *rows)) for i in range(len(head))]
    return ["  ".join(c.ljust(w) for c, w in zip(row, wide)).rstrip() for row in (head, *rows)]


def _choke_rows(pit: Pit, report: FireReport, fire: SteadyFire) -> list[tuple[str, ...]]:
    tape = pit.tape

    def cells(tried: Trial | SteadyFire) -> tuple[str, str, str, str]:
        return (tape.temperature_difference(tried.spread), tape.mass_rate(tried.wood), tape.mass_rate(tried.air),
                tape.pressure_draft(tried.draught))  # fmt: skip

    rows: list[tuple[str, ...]] = [("as it is", "", "", *cells(fire))]
    for row in report.chokes:
        write = tape.small_area if row.measure == "area" else tape.length
        cost = f"{'makes' if row.made else 'takes'} {100.0 * row.share:.0f} %"
        rows.append((row.name, write(row.size), cost, "", "", "", ""))
        for word, tried in (("smaller", row.smaller), ("larger", row.larger)):
            told = cells(tried) if tried.burns else ("will not burn", "", "", "")
            rows.append((f"  {word}", tried.name or write(tried.size), "", *told))
    return rows


def _print_warm_up(pit: Pit) -> None:
    from pitwright.fire.of_pit import warm_up_of

    warm, tape = warm_up_of(pit), pit.tape
    assert warm is not None  # only asked of a pit that burns
    print("\nwarm-up from cold, tended")
    rows = []
    for minute in range(0, int(warm.time[-1] / 60.0) + 1, 15):
        i = min(int((warm.time < 60.0 * minute).sum()), len(warm.time) - 1)
        rows.append((f"{minute} min", tape.temperature(float(warm.grate_mean[i])), tape.temperature(float(warm.fire_gas[i])),
                     tape.mass(float(warm.fed[i]), 2)))  # fmt: skip
        if 60.0 * minute > warm.ready + 1800.0:
            break
    print("\n".join(table(("after", "grate", "fire gas", "wood laid on"), rows)))
    if math.isfinite(warm.ready):
        print(f"ready after {warm.ready / 60.0:.0f} minutes and {tape.mass(warm.ready_wood, 2)} of wood")
    else:
        print(f"not ready within {warm.time[-1] / 3600.0:.0f} hours")


def _print_sizes(pit: Pit) -> None:
    from pitwright.fire.from_pit import fire_case
    from pitwright.fire.sizing import size

    tape, sized = pit.tape, size(fire_case(pit))
    print("\nsized for the order" + ("" if sized.met else f": not met. {sized.why}"))
    rows = [
        (s.name, s.label or (tape.length(s.chosen) if s.name.startswith("stack") else tape.small_area(s.chosen)),
         *(tape.temperature_difference(t.spread) if t.burns else "no fire" for t in (s.smaller, s.larger)))
        for s in sized.sizes
    ]  # fmt: skip
    if rows:
        print("\n".join(table(("", "take", "spread, size under", "spread, size over"), rows)))
        print(
            f"firebox: {tape.volume(sized.firebox_volume)} holds one reload; it has {tape.volume(sized.firebox_volume_now)}"
        )


def _print_plates(pit: Pit) -> None:
    from pitwright.fire.from_pit import fire_case
    from pitwright.fire.plates import plate_layouts
    from pitwright.fire.result import SteadyFire
    from pitwright.fire.sizing import compare_plates

    tape, case = pit.tape, fire_case(pit)
    print("\nplates under the grate, the most even first")
    rows = [
        (p.name, tape.temperature_difference(p.outcome.spread), tape.mass_rate(p.outcome.wood))
        if isinstance(p.outcome, SteadyFire)
        else (p.name, "no fire", "")
        for p in compare_plates(case, plate_layouts(case))
    ]
    print("\n".join(table(("", "spread", "wood"), rows)))


def _print_findings(report: FireReport) -> None:
    print()
    if not report.findings:
        print("No findings.")
    for f in report.findings:
        print(f"{f.severity.upper():9} {f.text}" + (f" {f.remedy}" if f.remedy else "") + f"  [{f.code}]")
    print("Cautions: carbon monoxide, clearance, hot surfaces, food: they stand on the sheet FIRE of the pack.")


def _write_sheet(pit: Pit, path: Path, paper: str) -> None:
    from pitwright.job.file import write_whole
    from pitwright.pack import default_paper
    from pitwright.sheets import paper as papers
    from pitwright.sheets.page import numbered
    from pitwright.sheets.pdf import pdf
    from pitwright.sheets.views.fire import fire_sheets

    sizes = {"letter": papers.LETTER, "tabloid": papers.TABLOID, "A4": papers.A4, "A3": papers.A3}
    pages = numbered(*fire_sheets(pit, sizes[paper or default_paper(pit)].landscape()))
    write_whole(path, pdf(pages, f"{pit.job.job.name}: fire"))
    print(f"{path}  fire sheet", file=sys.stderr)


# ---------------------------------------------------------------- JSON


def plain(value: object) -> Any:
    """Any result as plain lists, numbers and words (SI); what is no number is null."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {f.name: plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
    if isinstance(value, dict):
        return {str(k): plain(v) for k, v in value.items()}
    if isinstance(value, tuple | list):
        return [plain(v) for v in value]
    if hasattr(value, "tolist"):
        return plain(value.tolist())
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value


def _record(pit: Pit, report: FireReport, bands: Uncertainty | None, options: argparse.Namespace) -> dict[str, Any]:
    from pitwright.fire.learned import known_from
    from pitwright.fire.of_pit import warm_up_of
    from pitwright.fire.result import SteadyFire
    from pitwright.fire.sizing import size

    burns = isinstance(report.outcome, SteadyFire)
    record: dict[str, Any] = {
        "name": pit.job.job.name,
        "units": "SI",
        "burns": burns,
        "rests_on": known_from(pit.job),
        "outcome": plain(report.outcome),
        "bands": plain(bands),
        "chokes": plain(report.chokes),
        "findings": plain(report.findings),
        "coefficients": {name: plain(c) for name, c in report.case.coefficients.items()},
    }
    if options.warm_up and burns:
        record["warm_up"] = plain(warm_up_of(pit))
    if options.size:
        sized = size(report.case)
        record["sizing"] = {"met": sized.met, "why": sized.why, "sizes": plain(sized.sizes)}
    return record
