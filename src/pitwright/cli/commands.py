"""What each command does: read, solve, print."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pitwright.cli.bench import bench_command
from pitwright.cli.burn import burn_command
from pitwright.cli.fire import fire_command
from pitwright.cli.shop import hours_command, price_command, survey_command
from pitwright.cli.stand import stand_command
from pitwright.errors import JobError

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

    from pitwright.layout.model import Pit


def run(options: argparse.Namespace) -> int:
    """Dispatch one parsed command line. Returns the exit code."""
    return {
        "demo": demo,
        "new": new,
        "check": check,
        "pack": pack,
        "why": why,
        "bench": bench_command,
        "schema": schema,
        "stand": stand_command,
        "survey": survey_command,
        "price": price_command,
        "hours": hours_command,
        "fire": fire_command,
        "burn": burn_command,
    }[options.command](options)


def _solve(path: str) -> Pit:
    from pitwright.job.file import load_job
    from pitwright.layout.pit import solve

    return solve(load_job(Path(path)))


def _verdict(pit: Pit) -> int:
    return 1 if any(f.severity == "stop" for f in pit.findings) else 0


def demo(options: argparse.Namespace) -> int:
    """Write the pack of the demo job that ships inside the package."""
    from importlib.resources import as_file

    from pitwright.job.file import load_job
    from pitwright.layout.pit import solve

    with as_file(_examples()) as folder:
        pit = solve(load_job(Path(folder) / "orchard-30.toml"))
    return _write_pack(pit, Path(options.out), None)


def _examples() -> Traversable:
    """The example jobs: inside the installed package, or beside the source."""
    from importlib.resources import files

    inside = files("pitwright") / "examples"
    return inside if inside.is_dir() else files("pitwright").joinpath("..", "..", "examples")


def pack(options: argparse.Namespace) -> int:
    """Write a job's pack."""
    from pitwright.pack import PIECES

    if options.list:
        for piece in PIECES:
            print(f"{piece.name:12} {piece.what}")
        return 0
    path = Path(options.job)
    out = Path(options.out) if options.out else path.with_suffix("").with_name(path.stem + "-pack")
    return _write_pack(_solve(options.job), out, options.only, options.paper)


def _write_pack(pit: Pit, folder: Path, only: list[str] | None, paper: str = "") -> int:
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    from pitwright.pack import chosen, write_pack
    from pitwright.whole import with_all_findings

    console = Console(highlight=False)
    pieces = chosen(only)
    with Progress(
        TextColumn("{task.description:28}"), BarColumn(), TimeElapsedColumn(), console=console, transient=True
    ) as progress:
        task = progress.add_task("pack", total=len(pieces))

        def step(name: str) -> None:
            progress.update(task, advance=1, description=name)

        written = write_pack(pit, folder, pieces, step, paper)
    pit = with_all_findings(pit)
    failed = 0
    for item in written:
        if item.problem:
            failed = 1
            console.print(f"not made: {item.name}. {item.problem}", soft_wrap=True)
        else:
            console.print(f"{item.path}  {item.what}", soft_wrap=True)
    _print_findings(pit)
    return max(failed, _verdict(pit))


def check(options: argparse.Namespace) -> int:
    """Figures and findings of a job."""
    from pitwright.whole import with_all_findings

    pit = with_all_findings(_solve(options.job))
    if options.json:
        from pitwright.record import record_bytes

        sys.stdout.write(record_bytes(pit).decode())
        return _verdict(pit)
    from pitwright.summary import key_figures

    for name, rows in key_figures(pit):
        print(name)
        for label, text in rows:
            print(f"  {label:34} {text}")
    if pit.verdicts:
        print("already cut")
        for verdict in pit.verdicts:
            print(f"  {verdict.mark:8} {verdict.verdict}: {verdict.text}")
    if pit.moved:
        print(f"moved by what was measured, now revision {pit.revision}")
        for line in pit.moved:
            print(f"  {line}")
    _print_findings(pit)
    return _verdict(pit)


def _print_findings(pit: Pit) -> None:
    if not pit.findings:
        print("No findings.")
        return
    for f in pit.findings:
        print(f"{f.severity.upper():9} {f.text}" + (f" {f.remedy}" if f.remedy else "") + f"  [{f.code}]")


def why(options: argparse.Namespace) -> int:
    """The reason chain of one figure."""
    from pitwright.summary import reason_lines, reason_record

    pit = _solve(options.job)
    if options.name is None:
        if options.json:
            print(json.dumps(sorted(pit.reasons)))
        else:
            for name in sorted(pit.reasons):
                print(f"{name:34} {pit.tape.figure(pit.reasons[name].value, pit.reasons[name].measure)}")
        return 0
    if options.name not in pit.reasons:
        import difflib

        near = difflib.get_close_matches(options.name, pit.reasons, n=4, cutoff=0.3)
        raise JobError(
            "no figure of this pit has that name",
            field="NAME",
            value=options.name,
            allowed=", ".join(near) or "see `pitwright why JOB`",
            remedy="`pitwright why JOB` lists them all.",
        )
    if options.json:
        print(json.dumps(reason_record(pit, options.name), ensure_ascii=False, indent=1))
    else:
        print("\n".join(reason_lines(pit, options.name)))
    return 0


def schema(options: argparse.Namespace) -> int:
    """The JSON schema of pit.json."""
    from pitwright.record import record_schema

    print(json.dumps(record_schema(), indent=1, sort_keys=True))
    return 0


FACTS: tuple[tuple[str, str, str], ...] = (
    ("name", "What is the job called", ""),
    ("around", "Tape right round the outside skin", "94 1/2"),
    ("wall", "Wall by gauge", "1/4"),
    ("length", "Girth seam to girth seam", "84"),
    ("grate_height", "Main grate over the floor", "37"),
)


def new(options: argparse.Namespace) -> int:
    """Write a commented job file, asking for the facts that were not given."""
    from pitwright.job.template import job_text, write_new

    facts: dict[str, Any] = {}
    for key, question, example in FACTS:
        given = getattr(options, key)
        if given is None:
            if not sys.stdin.isatty():
                raise JobError(
                    "measure this: it is blank",
                    field=key,
                    allowed=f"--{key.replace('_', '-')} '{example or 'Hill job'}'",
                    remedy="Give it as an option, or run the command at a terminal and answer.",
                )
            given = input(f"{question}{f' (such as {example})' if example else ''}: ")
        facts[key] = given
    facts |= {"people": options.people, "heads": options.heads, "base": options.base}
    path = write_new(Path(options.file), job_text(facts, options.units), overwrite=options.overwrite)
    print(f"{path}  job file; fill in the survey and the make-safe record, then `pitwright check {path}`")
    return 0
