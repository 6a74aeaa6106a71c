"""`pitwright survey`, `price` and `hours`: the blank card for a found vessel, the money, and the shop's clock."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from pitwright.errors import JobError

if TYPE_CHECKING:
    from pitwright.layout.model import Pit
    from pitwright.shop.price import Quote


def survey_command(options: argparse.Namespace) -> int:
    """Write the blank survey card. Returns the exit code."""
    from pitwright.job.file import write_whole
    from pitwright.sheets.paper import PAPERS
    from pitwright.sheets.pdf import pdf
    from pitwright.sheets.views.survey import blank_survey

    names = {p.lower(): PAPERS[p] for p in PAPERS}
    paper = names[options.paper.lower()] if options.paper else None
    path = Path(options.out)
    write_whole(path, pdf(blank_survey(options.units, paper), "Survey card of the vessel"))
    print(f"{path}  survey card of a found vessel, to print and fill in")
    return 0


def price_command(options: argparse.Namespace) -> int:
    """Print the price of a job by stage, or what it moves by against another job. Returns the exit code."""
    from pitwright.shop.price import change, change_text, price

    pit = _solve(options.job)
    print("\n".join(price_lines(pit, price(pit))))
    if options.against:
        print(f"against {options.against}:")
        for line in change(_solve(options.against), pit):
            print(f"  {line.name:34} {change_text(pit, line)}")
    return 0


def _solve(path: str) -> Pit:
    from pitwright.job.file import load_job
    from pitwright.layout.pit import solve

    return solve(load_job(Path(path)))


def price_lines(pit: Pit, quote: Quote) -> Iterator[str]:
    """The price in the shop's words."""
    sign = pit.job.proportions.rates.currency

    def money(value: float) -> str:
        return pit.tape.money(value, sign)

    yield f"{pit.job.job.name}, revision {pit.revision}: {money(quote.price)} (likely {money(quote.low)} to {money(quote.high)})"
    for stage in quote.stages:
        if stage.price > 0.0:
            yield f"  {stage.stage:12} {stage.hours:6.1f} h  goods {money(stage.goods):>8}  price {money(stage.price):>8}  {stage.why}"
    yield f"  {'all':12} {quote.hours:6.1f} h  goods {money(quote.material):>8}  price {money(quote.price):>8}"
    yield f"  margin {money(quote.margin)}; steel bought {pit.tape.mass(quote.steel)}; rates are common practice until the shop sets its own"


def hours_command(options: argparse.Namespace) -> int:
    """Write clocked hours into the shop's records and print what all of them teach. Returns the exit code."""
    from pitwright.job.file import write_whole
    from pitwright.shop.records import clock_in, factors_text, learn, read_records, records_text

    path = Path(options.file)
    try:
        kept = read_records(path.read_text(encoding="utf-8")) if path.exists() else ()
    except (OSError, UnicodeDecodeError) as problem:
        raise JobError(f"the records cannot be read: {problem}", field="--file", value=str(path)) from problem
    try:
        hours = float(options.hours)
    except ValueError:
        raise JobError(
            "not a number of hours", field="HOURS", value=options.hours, allowed="a plain number, such as 27.5"
        ) from None
    kept = (*kept, clock_in(_solve(options.job), options.stage, hours))
    write_whole(path, records_text(kept).encode("utf-8"))
    print(f"{path}  {len(kept)} kept; put this into the shop's file:")
    print(factors_text(learn(kept)), end="")
    return 0
