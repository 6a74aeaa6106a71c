"""`pitwright`: the commands and their options. Heavy imports stay inside the commands, so that --help is quick.

Exit codes: 0 done; 1 done, and a finding says stop (or a file of the pack could not be made); 2 the input cannot be
used; 3 Pitwright itself failed.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence

from pitwright import __version__
from pitwright.errors import PitwrightError

STATES = ("empty", "doors open", "fire door open", "slides out", "loaded", "loaded, all out")
EPILOG = """exit codes: 0 done; 1 done, but a finding says stop or a file could not be made; 2 the input cannot be used;
3 Pitwright itself failed.

Pitwright lays out and checks; it cannot call a vessel safe, and it is no licensed engineer. Local codes come first."""


def build_parser() -> argparse.ArgumentParser:
    """All commands."""
    parser = argparse.ArgumentParser(
        prog="pitwright",
        description="Lay out, prove and build large wood-fired barbecue pits from found round steel vessels.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"pitwright {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)

    demo = commands.add_parser("demo", help="solve the demo job and write its pack")
    demo.add_argument("--out", default="out/demo", metavar="FOLDER", help="where the pack goes (out/demo)")

    new = commands.add_parser("new", help="start a job file from the few fixed facts")
    new.add_argument("file", metavar="FILE", help="job file to write, such as smith.toml")
    new.add_argument("--name", help="what the job is called")
    new.add_argument("--around", help="tape right round the outside skin, such as '94 1/2'")
    new.add_argument("--wall", help="wall by gauge, such as '1/4'")
    new.add_argument("--length", help="girth seam to girth seam")
    new.add_argument("--grate-height", help="main grate over the floor")
    new.add_argument("--people", help="people to feed from one cook")
    new.add_argument("--heads", help="ends as found: ellipsoidal, hemispherical, torispherical, flat, none")
    new.add_argument("--base", help="skid, saddles, stand, cart, upright or trailer")
    new.add_argument("--units", choices=("inch", "metric"), default="inch", help="how the job is read and printed")
    new.add_argument("--overwrite", action="store_true", help="replace a file of that name")

    check = commands.add_parser("check", help="solve a job; print its figures and findings")
    check.add_argument("job", metavar="JOB", help="job file")
    check.add_argument("--json", action="store_true", help="print one JSON record instead")

    pack = commands.add_parser("pack", help="solve a job; write everything the shop takes away")
    pack.add_argument("job", metavar="JOB", help="job file")
    pack.add_argument("--out", metavar="FOLDER", help="where the pack goes (beside the job file)")
    pack.add_argument("--paper", choices=("letter", "tabloid", "A4", "A3"), default="", help="paper of the drawings")
    pack.add_argument("--only", metavar="PIECE", action="append", help="only this piece of the pack; may be repeated")
    pack.add_argument("--list", action="store_true", help="list the pieces of a pack and stop")

    bench = commands.add_parser("bench", help="design the pit by moving it: a local page in the browser")
    bench.add_argument("--store", metavar="FOLDER", help="where the jobs lie (the user's data folder)")
    bench.add_argument("--port", type=int, metavar="N", help="port of the page (8321, or the next free one)")
    bench.add_argument("--no-browser", action="store_true", help="do not open the browser")
    bench.add_argument("--share", nargs="?", const="", metavar="ADDRESS",
                       help="also let phones and tablets on the shop's network in, each with a one-time code")  # fmt: skip

    why = commands.add_parser("why", help="where a figure comes from")
    why.add_argument("job", metavar="JOB", help="job file")
    why.add_argument("name", metavar="NAME", nargs="?", help="figure, such as legs.A.lean; all names where left out")
    why.add_argument("--json", action="store_true", help="print JSON instead")

    stand = commands.add_parser("stand", help="how it stands, lifts and is dragged: every check with what mends it")
    stand.add_argument("job", metavar="JOB", help="job file")
    stand.add_argument("--state", default="loaded", choices=STATES, help="how it is loaded for the frame (loaded)")
    stand.add_argument("--json", action="store_true", help="print JSON instead")

    fire = commands.add_parser("fire", help="will it draw, hold its heat, cook even: figures, chokes, first burn")
    fire.add_argument("job", metavar="JOB", help="job file")
    fire.add_argument("--json", action="store_true", help="print JSON instead")
    fire.add_argument(
        "--runs", type=int, default=120, metavar="N", help="runs behind the bands; 0 leaves them out (120)"
    )
    fire.add_argument("--warm-up", action="store_true", help="the warm-up from cold, quarter hour by quarter hour")
    fire.add_argument("--size", action="store_true", help="sizes that would meet the order")
    fire.add_argument("--plates", action="store_true", help="plate layouts under the grate, side by side")
    fire.add_argument("--out", metavar="SHEET.pdf", help="write the fire sheet too")
    fire.add_argument("--paper", choices=("letter", "tabloid", "A4", "A3"), default="", help="paper of the sheet")

    burn = commands.add_parser("burn", help="learn from a burn; what was learned is kept beside the job")
    burn.add_argument("job", metavar="JOB", help="job file")
    burn.add_argument("log", metavar="LOG.csv", nargs="?", help="temperature log of any logger")
    burn.add_argument("--probes", metavar="NOTES.toml", help="notes to the log: where each probe hung, what was done")
    burn.add_argument("--readings", metavar="'296,268,247,231,218 F'",
                      help="thermometers on the marks of the main grate, the fire end first, read once while it held")  # fmt: skip
    burn.add_argument("--shielded", action="store_true", help="they are shielded and read the gas, not bare stems")
    burn.add_argument("--wood", metavar="WEIGHT", help="wood burnt in an hour while it held, where it was weighed")
    burn.add_argument("--meat", metavar="WEIGHT", help="meat on the grates (none)")
    burn.add_argument("--outside", metavar="TEMPERATURE", help="air that day (the order's)")
    burn.add_argument("--wind", choices=("still", "breeze", "wind"), help="wind that day (the order's)")
    burn.add_argument("--inlet", type=float, default=100.0, metavar="PERCENT", help="air inlet open (100)")
    burn.add_argument("--damper", type=float, default=100.0, metavar="PERCENT", help="damper open (100)")
    burn.add_argument("--fresh", action="store_true", help="forget what earlier burns of this pit taught")
    burn.add_argument("--look", action="store_true", help="compare and print, keep nothing")

    survey = commands.add_parser("survey", help="write a blank survey card for a found vessel, to print and fill in")
    survey.add_argument("--out", required=True, metavar="FILE.pdf", help="where the card goes")
    survey.add_argument("--units", choices=("inch", "metric"), default="inch", help="how it will be measured (inch)")
    survey.add_argument("--paper", choices=("letter", "tabloid", "A4", "A3"), default="", help="paper of the card")

    price = commands.add_parser("price", help="the price of a job by stage, with its range")
    price.add_argument("job", metavar="JOB", help="job file")
    price.add_argument("--against", metavar="JOB", help="job file as it was before: print what the change costs")

    hours = commands.add_parser("hours", help="keep hours off the clock and learn from them")
    hours.add_argument("job", metavar="JOB", help="job file")
    hours.add_argument("stage", metavar="STAGE", help="stage that was clocked, such as doors")
    hours.add_argument("hours", metavar="HOURS", help="hours it took")
    hours.add_argument("--file", default="hours.toml", metavar="FILE", help="the shop's records (hours.toml)")

    schema = commands.add_parser("schema", help="print the JSON schema of pit.json")
    schema.set_defaults(json=True)
    return parser


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command. Returns the exit code."""
    options = build_parser().parse_args(arguments)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # small matrices: more threads only get in each other's way
    from pitwright.cli import commands

    try:
        return commands.run(options)
    except PitwrightError as problem:
        if getattr(options, "json", False):
            import json

            print(json.dumps({"error": problem.as_dict()}, ensure_ascii=False))
        else:
            print(f"pitwright: {problem}", file=sys.stderr)
        return 2
    except BrokenPipeError:
        return 0
