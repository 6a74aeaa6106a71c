"""`pitwright burn`: compare a burn with what was expected, learn from it, keep what was learned beside the job."""

from __future__ import annotations

import argparse
import dataclasses
import datetime
import hashlib
import re
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from pitwright.cli.fire import left_table, table
from pitwright.errors import JobError

if TYPE_CHECKING:
    from pitwright.fire.burnlog import BurnLog
    from pitwright.fire.calibrate import Calibration, Reading
    from pitwright.fire.case import FireCase
    from pitwright.fire.coefficients import Coefficients
    from pitwright.fire.warmup import Burn
    from pitwright.job.burns import SavedBurn
    from pitwright.job.facts import Job
    from pitwright.job.probes import BurnNotes
    from pitwright.layout.model import Pit
    from pitwright.tape import Tape


def burn_command(options: argparse.Namespace) -> int:
    """Learn from five thermometers read once, or from a log with its notes."""
    from pitwright.fire.from_pit import fire_case
    from pitwright.fire.learned import coefficients_of
    from pitwright.job.burns import Burns, burn_file
    from pitwright.job.file import load_job
    from pitwright.layout.pit import solve

    path = Path(options.job)
    job = load_job(path)
    if bool(options.readings) == bool(options.log):
        raise JobError(
            "give a log with its notes, or thermometers read once", field="burn",
            allowed='LOG.csv --probes NOTES.toml, or --readings "296,268,247,231,218 F"',
        )  # fmt: skip
    signature = _signature(options)
    known = () if options.fresh else tuple(b for b in job.burns.own if b.signature != signature)
    if any(b.signature == signature for b in job.burns.own[:-1]) and not options.fresh:
        raise JobError(
            "this burn has been learned from already, and others since", field="burn",
            value=options.log or options.readings, allowed="a burn that is new",
            remedy="Learning it twice would make the bands narrower than they are; --fresh forgets all and starts again.",
        )  # fmt: skip
    job = job.with_burns(Burns(own=known, shop=job.burns.shop))
    pit = solve(job)
    case = fire_case(pit)
    if options.readings:
        taught, lines = _from_readings(pit, case, options)
    else:
        taught, lines = _from_log(pit, case, options)
    source = (
        f"{len(options.readings.split(','))} thermometers read once" if options.readings else Path(options.log).name
    )
    saved = _saved(taught, source, signature)
    _print(job, coefficients_of(job), taught, lines, pit.tape)
    if options.look:
        print("nothing was saved (--look)")
        return 0
    _save(burn_file(path), (*known, saved))
    print(f"{burn_file(path)}  kept beside the job; every figure of the fire rests on it from now on")
    return 0


def _signature(options: argparse.Namespace) -> str:
    """What the same burn would have again: the readings, and the notes to them."""
    digest = hashlib.sha256()
    if options.readings:
        digest.update(re.sub(r"\s+", "", options.readings).encode())
    for name in (options.log, options.probes):
        if name:
            try:
                digest.update(Path(name).read_bytes())
            except OSError as problem:
                raise JobError(
                    f"cannot be opened ({problem.strerror})", field=name, remedy="Check the name."
                ) from problem
    return digest.hexdigest()[:16]


# ---------------------------------------------------------------- thermometers read once


def _from_readings(pit: Pit, case: FireCase, options: argparse.Namespace) -> tuple[Calibration, list[str]]:
    from pitwright.fire.calibrate import learn_from_readings

    case = _that_day(case, pit, options)
    readings = readings_of(pit, case, options.readings, bare=not options.shielded)
    wood = None
    if options.wood:
        from pitwright.tape import HOUR, LB, parse_mass

        text = re.sub(r"\s*(/\s*h|an hour|per hour)\s*$", "", options.wood)
        wood = parse_mass(text, unit="lb" if pit.tape.inch else "kg", field="--wood") / HOUR
        if wood < 0.05 * LB / HOUR:
            raise JobError(
                "too little wood to be a fire", field="--wood", value=options.wood, allowed="wood in an hour"
            )
    taught = learn_from_readings(case, readings, wood=wood)
    return taught, _compared(pit, case, readings, taught)


def readings_of(pit: Pit, case: FireCase, text: str, *, bare: bool) -> tuple[Reading, ...]:
    """Thermometers lying along the main grate, evenly from the fire end: five of them on the marks of the fire sheet.

    On a vessel on end one a grate, evenly from the lowest grate to the highest.

    Raises JobError.
    """
    from pitwright.fire.calibrate import Reading
    from pitwright.fire.steady import stations
    from pitwright.tape import parse_temperature

    unit = re.search(r"([FfCc])\s*$", text)
    kind = unit.group(1).upper() if unit else ("F" if pit.tape.inch else "C")
    cells = [c.strip(" °") for c in re.split(r"[,;\s]+", re.sub(r"°?\s*[FfCc]\s*$", "", text).strip()) if c.strip(" °")]
    if len(cells) < 2:
        raise JobError(
            "too few to learn from",
            field="--readings",
            value=text,
            allowed="2 or more, 5 is good: 296,268,247,231,218 F",
        )
    x = stations(case.chamber.grate_x0, case.chamber.grate_x1)
    step = (float(x[-1]) - float(x[0])) / (len(cells) - 1)
    return tuple(
        Reading(
            x=float(x[0]) + i * step,
            z=case.chamber.z_grate,
            temperature=parse_temperature(f"{cell} {kind}", unit="F" if kind == "F" else "C", field="--readings"),
            bare=bare,
        )
        for i, cell in enumerate(cells)
    )


def _that_day(case: FireCase, pit: Pit, options: argparse.Namespace) -> FireCase:
    """The case with the day, load and settings of the burn, where they were stated; the grates empty."""
    from pitwright.fire.case import Load, Settings
    from pitwright.fire.from_pit import WIND
    from pitwright.tape import parse_mass, parse_temperature

    weather = case.weather
    if options.outside:
        weather = dataclasses.replace(
            weather,
            temperature=parse_temperature(options.outside, unit="F" if pit.tape.inch else "C", field="--outside"),
        )
    if options.wind:
        weather = dataclasses.replace(weather, wind=WIND[options.wind])
    meat = parse_mass(options.meat, unit="lb" if pit.tape.inch else "kg", field="--meat") if options.meat else 0.0
    return dataclasses.replace(
        case,
        weather=weather,
        load=Load(mass=meat),
        settings=Settings(inlet_open=options.inlet / 100.0, damper_open=options.damper / 100.0),
    )


def _compared(pit: Pit, case: FireCase, readings: Sequence[Reading], taught: Calibration) -> list[str]:
    """Reading by reading: what it read, what was expected, what the fitted pit would read."""
    import numpy as np

    from pitwright.fire.result import SteadyFire
    from pitwright.fire.steady import steady

    tape = pit.tape
    level = sum(r.temperature for r in readings) / len(readings)

    def told(coefficients: Coefficients, held: float) -> list[str]:
        wanted = dataclasses.replace(case.wanted, temperature=held, at="mean")
        found = steady(dataclasses.replace(case, wanted=wanted, coefficients=coefficients), doors=False)
        if not isinstance(found, SteadyFire):
            return ["no fire"] * len(readings)
        grate = found.grates[0]
        return [
            tape.temperature(float(np.interp(r.x, grate.x, grate.reading if r.bare else grate.gas))) for r in readings
        ]

    before, after = told(case.coefficients, level), told(taught.apply(case.coefficients), taught.level)
    rows = [
        (f"{i}, {_where(case, r.x, tape)}", tape.temperature(r.temperature), b, a)
        for i, (r, b, a) in enumerate(zip(readings, before, after, strict=True), start=1)
    ]
    return table(("thermometer", "read", "expected", "after learning"), rows)


def _where(case: FireCase, x: float, tape: Tape) -> str:
    if case.rises_from is not None:
        return f"{tape.length(x + case.rises_from)} off the floor"
    return f"{tape.length(x)} from the fire end"


# ---------------------------------------------------------------- a log


def _from_log(pit: Pit, case: FireCase, options: argparse.Namespace) -> tuple[Calibration, list[str]]:
    from pitwright.fire.calibrate import learn_from_course
    from pitwright.job.probes import load_notes

    if not options.probes:
        raise JobError("a log needs its notes: where each probe hung", field="--probes", allowed="NOTES.toml",
                       remedy="examples/burns/orchard-30-notes.toml shows one.")  # fmt: skip
    notes = load_notes(Path(options.probes))
    case = _noted(case, notes)
    log = _read(pit, notes, Path(options.log))
    burn = _burn(notes, float(log.time[-1]))
    print(f"learning from {len(log.time)} lines of {len(log.probes)} probes; it takes a minute or so", file=sys.stderr)
    taught = learn_from_course(case, burn, log)
    return taught, _traced(pit, case, burn, log, taught)


def _noted(case: FireCase, notes: BurnNotes) -> FireCase:
    from pitwright.fire.case import Load, Settings
    from pitwright.fire.from_pit import WIND

    weather = case.weather
    if notes.outside is not None:
        weather = dataclasses.replace(weather, temperature=notes.outside)
    if notes.wind is not None:
        weather = dataclasses.replace(weather, wind=WIND[notes.wind])
    return dataclasses.replace(
        case,
        weather=weather,
        load=Load(mass=notes.meat),
        settings=Settings(inlet_open=notes.inlet / 100.0, damper_open=notes.damper / 100.0),
    )


def _read(pit: Pit, notes: BurnNotes, path: Path) -> BurnLog:
    from pitwright.fire.burnlog import Probe, read_log
    from pitwright.fire.from_upright import path_start

    main = pit.grates.levels[0]

    def place(station: float | None, height: float | None) -> tuple[float, float]:
        """(x, z) of a probe as the fire's case has them: of a vessel on end x is its height over the window's middle."""
        z = main.z if height is None else height
        if pit.upright is not None:
            return z - path_start(pit), main.z
        return (main.x0 + main.x1) / 2.0 if station is None else station, z

    probes = [
        Probe(column=p.column, place=p.place, x=at[0], z=at[1], bare=p.bare)
        for p in notes.probes
        for at in (place(p.station, p.height),)
    ]
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as problem:
        raise JobError("this log is not plain text", field=str(path), remedy="Save it as CSV, UTF-8.") from problem
    log = read_log(text, probes, unit=notes.readings, time_column=notes.time_column)
    return log.since(60.0 * notes.lit if notes.lit is not None else log.rise_at())


def _burn(notes: BurnNotes, seconds: float) -> Burn:
    from pitwright.fire.case import Settings
    from pitwright.fire.warmup import Burn, DoorOpened, Event, Reset, SplitAdded

    events: list[Event] = [SplitAdded(at=60.0 * s.minute, mass=s.wood) for s in notes.splits]
    events += [DoorOpened(at=60.0 * d.minute, door=d.door, seconds=60.0 * d.minutes) for d in notes.doors]
    events += [
        Reset(at=60.0 * s.minute, settings=Settings(inlet_open=s.inlet / 100.0, damper_open=s.damper / 100.0))
        for s in notes.settings
    ]
    return Burn(
        seconds=seconds,
        start=notes.start,
        tending="events" if notes.splits else "tended",
        kindling=notes.kindling,
        events=tuple(sorted((e for e in events if e.at < seconds), key=lambda e: e.at)),
    )


def _traced(pit: Pit, case: FireCase, burn: Burn, log: BurnLog, taught: Calibration) -> list[str]:
    """Probe by probe: its mean, and how far off the pit was as expected and as fitted."""
    import numpy as np

    from pitwright.fire.calibrate import probe_course
    from pitwright.fire.solve import Model
    from pitwright.fire.warmup import course

    tape, share = pit.tape, Model(case).grid.layer_share
    inside = (log.time >= 0.0) & (log.time <= burn.seconds)
    times, measured = log.time[inside], log.readings[inside]
    runs = [course(case, burn, c.values()) for c in (case.coefficients, taught.apply(case.coefficients))]
    rows = []
    for k, probe in enumerate(log.probes):
        good = np.isfinite(measured[:, k])
        if not good.any():
            continue
        off = [float(np.sqrt(np.mean((probe_course(run, probe, share(probe.z), times) - measured[:, k])[good] ** 2))) for run in runs]  # fmt: skip
        rows.append((probe.column, tape.temperature(float(measured[good, k].mean())), *(tape.temperature_difference(o) for o in off)))  # fmt: skip
    return table(("probe", "mean read", "off, as expected", "off, after learning"), rows)


# ---------------------------------------------------------------- kept and told


def _saved(taught: Calibration, source: str, signature: str) -> SavedBurn:
    from pitwright.job.burns import SavedBurn

    return SavedBurn.model_validate(
        {**taught.as_dict(), "learned_on": datetime.date.today(), "source": source, "signature": signature}
    )


def _save(path: Path, burns: Sequence[SavedBurn]) -> None:
    from pitwright.job.burns import burn_text
    from pitwright.job.file import write_whole

    write_whole(path, burn_text(burns).encode())


def _print(job: Job, known: Coefficients, taught: Calibration, lines: Sequence[str], tape: Tape) -> None:
    print(f"{job.job.name}: {taught.readings} readings")
    print("\n".join(lines))
    print(
        f"off by {tape.temperature_difference(taught.rms_before)} before, {tape.temperature_difference(taught.rms_after)} after"
        + (
            ""
            if taught.fits
            else "; the pit as drawn does not meet these readings: check where they were read, and the doors"
        )
    )
    print("\nlearned, with 90 percent limits")
    rows = [
        (known[row.name].what, f"{row.value:.3g} ({row.low:.3g} to {row.high:.3g})",
         f"{row.before:.3g} ({row.before_low:.3g} to {row.before_high:.3g})", f"{100.0 * row.told:.0f} %")
        for row in sorted(taught.learned, key=lambda r: -r.told)
    ]  # fmt: skip
    print("\n".join(left_table(("", "now", "before", "told by this burn"), rows)))
